//! Phases, and what stands on their stop cards.

use super::pair::Pairs;
use super::{Changes, quoted};
use crate::procedure::Procedure;

/// Compares them.
pub(super) fn compare(old: &Procedure, new: &Procedure, pairs: &Pairs<'_>, changes: &mut Changes) {
    for was in &old.phases {
        let id = &was.id;
        let Some(is) = new.phases.iter().find(|phase| &phase.id == id) else {
            changes.told(
                format!("phase:{id}"),
                format!("The phase {} is gone.", quoted(&was.title)),
            );
            continue;
        };
        let title = quoted(&is.title);
        changes.words(
            &format!("phase_title:{id}"),
            "A phase",
            &was.title,
            &is.title,
        );
        if pairs.now(&was.stop) != &is.stop {
            let to = new
                .step(&is.stop)
                .map_or(is.stop.as_str(), |step| &step.title);
            changes.told(
                format!("stop:{id}"),
                format!(
                    "Stop work in the phase {title} leads to {} now.",
                    quoted(to)
                ),
            );
        }
        let gone = was
            .stop_card
            .iter()
            .any(|line| !is.stop_card.contains(line));
        if gone && is.stop_card.len() < was.stop_card.len() {
            changes.less(
                format!("stop_card:{id}"),
                format!(
                    "The stop card of the phase {title} says less now of what to do at the truck."
                ),
            );
        }
        changes.lines(
            &format!("stop_card_text:{id}"),
            &format!("The stop card of the phase {title}"),
            &was.stop_card,
            &is.stop_card,
        );
        for (name, what, was, is) in [
            ("aside", "stands aside", was.aside, is.aside),
            ("route", "is a stop-work route", was.route, is.route),
        ] {
            if was != is {
                let verb = if is { "now" } else { "no longer" };
                changes.told(
                    format!("{name}:{id}"),
                    format!("The phase {title} {what}: {verb}."),
                );
            }
        }
    }
    for is in &new.phases {
        if !old.phases.iter().any(|phase| phase.id == is.id) {
            changes.told(
                format!("new_phase:{}", is.id),
                format!("The phase {} is new.", quoted(&is.title)),
            );
        }
    }
}

//! Two states of a list of instruments. It has no revision and asks nothing by
//! itself: what changed is told, and nothing of it counts as a demand.

use super::{Changes, quoted};
use crate::procedure::Instruments;
use crate::quantity::System;

/// What changed in a list of instruments.
pub fn compare_instruments(old: &Instruments, new: &Instruments) -> Changes {
    let mut changes = Changes::default();
    changes.words("title", "The list's title", &old.title, &new.title);
    for (id, was) in &old.list {
        let Some(is) = new.list.get(id) else {
            changes.told(
                format!("gone_instrument:{id}"),
                format!("{} is gone.", quoted(&was.title)),
            );
            continue;
        };
        let title = quoted(&is.title);
        changes.words(
            &format!("instrument_title:{id}"),
            "An instrument",
            &was.title,
            &is.title,
        );
        if was.kind != is.kind || was.metrology != is.metrology {
            changes.told(
                format!("instrument:{id}"),
                format!(
                    "{title} was {}, {}, and is {}, {} now.",
                    was.kind,
                    was.metrology.sentence(System::Metric),
                    is.kind,
                    is.metrology.sentence(System::Metric)
                ),
            );
        }
        if was.roles != is.roles {
            changes.told(
                format!("instrument_for:{id}"),
                format!("{title} is meant for other uses now."),
            );
        }
    }
    for (id, is) in new
        .list
        .iter()
        .filter(|(id, _)| !old.list.contains_key(*id))
    {
        changes.told(
            format!("new_instrument:{id}"),
            format!(
                "{} is new: {}.",
                quoted(&is.title),
                is.metrology.sentence(System::Metric)
            ),
        );
    }
    changes
}

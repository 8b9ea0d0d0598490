//! What a procedure declares for all its steps: conditions, groups, the safe list,
//! acts, hazards, duties.

use std::collections::BTreeSet;

use super::limit::{Spot, compare as compare_limits};
use super::order::condition;
use super::pair::Pairs;
use super::{Changes, counted, quoted};
use crate::procedure::{Act, Condition, ConditionId, Hazard, Lasts, Procedure, Series};

/// Compares them.
pub(super) fn compare(old: &Procedure, new: &Procedure, pairs: &Pairs<'_>, changes: &mut Changes) {
    for id in old.safe.difference(&new.safe) {
        changes.less(
            format!("safe:{id}"),
            format!(
                "The safe list no longer has {}: an end may be reached without it.",
                condition(old, id)
            ),
        );
    }
    for id in new.safe.difference(&old.safe) {
        changes.told(
            format!("new_safe:{id}"),
            format!("The safe list has {} now.", condition(new, id)),
        );
    }
    conditions(old, new, changes);
    groups(old, new, changes);
    acts(old, new, changes);
    hazards(old, new, changes);
    duties(old, new, changes);
    if old.hand_over.as_ref().map(|id| pairs.now(id)) != new.hand_over.as_ref() {
        changes.told(
            "hand_over",
            "The end that a job is handed over at is another one.",
        );
    }
}

fn conditions(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, was) in &old.conditions {
        match new.conditions.get(id) {
            Some(is) => one_condition((old, was), (new, is), id, changes),
            None => changes.told(
                format!("condition:{id}"),
                format!("The condition {} is gone.", quoted(&was.title)),
            ),
        }
    }
    for (id, is) in new
        .conditions
        .iter()
        .filter(|(id, _)| !old.conditions.contains_key(*id))
    {
        changes.told(
            format!("new_condition:{id}"),
            format!(
                "The condition {} is new; it lasts {}.",
                quoted(&is.title),
                lasts(is.lasts)
            ),
        );
    }
}

fn acts(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, was) in &old.acts {
        match new.acts.get(id) {
            Some(is) => act((old, was), (new, is), id.as_str(), changes),
            None => changes.told(
                format!("gone_act:{id}"),
                format!("The act {} is gone.", quoted(&was.title)),
            ),
        }
    }
    for (id, is) in new
        .acts
        .iter()
        .filter(|(id, _)| !old.acts.contains_key(*id))
    {
        changes.told(
            format!("new_act:{id}"),
            format!("The act {} is new.", quoted(&is.title)),
        );
    }
}

fn hazards(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, was) in &old.hazards {
        match new.hazards.get(id) {
            Some(is) => hazard((old, was), (new, is), id.as_str(), changes),
            None => changes.told(
                format!("gone_hazard:{id}"),
                format!("The caution {} is gone.", quoted(&was.title)),
            ),
        }
    }
    for (id, is) in new
        .hazards
        .iter()
        .filter(|(id, _)| !old.hazards.contains_key(*id))
    {
        changes.told(
            format!("new_hazard:{id}"),
            format!("The caution {} is new.", quoted(&is.title)),
        );
    }
}

fn one_condition(
    (old, was): (&Procedure, &Condition),
    (new, is): (&Procedure, &Condition),
    id: &ConditionId,
    changes: &mut Changes,
) {
    let title = quoted(&is.title);
    changes.words(
        &format!("condition_title:{id}"),
        "A condition",
        &was.title,
        &is.title,
    );
    if was.lasts != is.lasts {
        changes.either(
            outlasts(is.lasts, was.lasts),
            format!("lasts:{id}"),
            format!(
                "{title} lasts {} now; it lasted {}.",
                lasts(is.lasts),
                lasts(was.lasts)
            ),
        );
    }
    ask((old, was), (new, is), id, changes);
    let acts = |set: &BTreeSet<_>| {
        let ids: Vec<String> = set.iter().map(ToString::to_string).collect();
        if ids.is_empty() {
            "any step".to_owned()
        } else {
            ids.join(", ")
        }
    };
    if was.by != is.by {
        let less = !was.by.is_empty() && (is.by.is_empty() || !is.by.is_subset(&was.by));
        changes.either(
            less,
            format!("by:{id}"),
            format!(
                "{title} can be made true by {} now; it was {}.",
                acts(&is.by),
                acts(&was.by)
            ),
        );
    }
    if was.series != is.series {
        let told = |s: &Option<Series>| {
            s.as_ref().map_or_else(
                || "not watched".to_owned(),
                |s| {
                    format!(
                        "read {} in all, every {} s, and marked late after {} s",
                        counted(s.points as usize, "time", "times"),
                        s.every_ms as f64 / 1000.0,
                        s.late_after_ms as f64 / 1000.0
                    )
                },
            )
        };
        changes.either(
            watches_less(was.series.as_ref(), is.series.as_ref()),
            format!("series:{id}"),
            format!(
                "While {title} holds it is {} now; it was {}.",
                told(&is.series),
                told(&was.series)
            ),
        );
    }
}

fn watches_less(was: Option<&Series>, is: Option<&Series>) -> bool {
    let Some(was) = was else { return false };
    is.is_none_or(|is| {
        is.every_ms > was.every_ms
            || is.points < was.points
            || is.late_after_ms > was.late_after_ms
            || was.readings.iter().any(|id| !is.readings.contains(id))
    })
}

/// What is asked when a condition is attested again.
fn ask(
    (old, was): (&Procedure, &Condition),
    (new, is): (&Procedure, &Condition),
    id: &ConditionId,
    changes: &mut Changes,
) {
    let title = quoted(&is.title);
    match (&was.ask, &is.ask) {
        (Some(_), None) => {
            changes.less(
                format!("ask:{id}"),
                format!("{title} is no longer asked again."),
            );
        }
        (None, Some(ask)) => {
            changes.told(
                format!("new_ask:{id}"),
                format!("{title} is asked again now: {}", quoted(&ask.question)),
            );
        }
        (Some(was), Some(is)) => {
            changes.words(
                &format!("ask_text:{id}"),
                &format!("What is asked again for {title}"),
                &was.question,
                &is.question,
            );
            if was.reading != is.reading {
                let value = |id: &crate::procedure::ValueId, p: &Procedure| {
                    quoted(p.value(id).map_or(id.as_str(), |(t, _)| t))
                };
                let now = is
                    .reading
                    .as_ref()
                    .map_or_else(|| "nothing".to_owned(), |id| value(id, new));
                let before = was
                    .reading
                    .as_ref()
                    .map_or_else(|| "nothing".to_owned(), |id| value(id, old));
                changes.either(
                    was.reading.is_some(),
                    format!("ask_reading:{id}"),
                    format!("When {title} is asked again, {now} is read now; it was {before}."),
                );
            }
            let spot = Spot {
                kind: "ask",
                owner: id.as_str(),
                title: format!("{title}, asked again"),
            };
            compare_limits(&spot, (old, &was.limits), (new, &is.limits), changes);
        }
        (None, None) => {}
    }
}

/// Whether the first lasts longer than the second, or might.
const fn outlasts(is: Lasts, was: Lasts) -> bool {
    match (is, was) {
        (Lasts::Step, _)
        | (Lasts::For(_) | Lasts::Resume | Lasts::Job, Lasts::Job)
        | (Lasts::For(_) | Lasts::Resume, Lasts::Resume) => false,
        (Lasts::For(is), Lasts::For(was)) => is > was,
        (_, Lasts::Step) | (Lasts::Resume, Lasts::For(_)) | (Lasts::Job, _) => true,
    }
}

fn lasts(lasts: Lasts) -> String {
    match lasts {
        Lasts::Job => "to the end of the job".to_owned(),
        Lasts::Resume => "until the job is opened again".to_owned(),
        Lasts::For(ms) if ms % 60_000 == 0 => format!("{} min", ms / 60_000),
        Lasts::For(ms) => format!("{} s", ms as f64 / 1000.0),
        Lasts::Step => "for the next step only".to_owned(),
    }
}

/// Groups of which one at most holds. A condition that left its group no longer ends
/// when another of it begins.
fn groups(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    let together = |p: &Procedure, a: &ConditionId, b: &ConditionId| {
        p.exclusive.iter().any(|g| g.contains(a) && g.contains(b))
    };
    let mut each = |from: &Procedure, other: &Procedure, gone: bool| {
        for group in &from.exclusive {
            for (n, a) in group.iter().enumerate() {
                for b in group.iter().skip(n + 1).filter(|b| !together(other, a, b)) {
                    let (x, y) = (condition(from, a), condition(from, b));
                    if gone {
                        changes.less(
                            format!("exclusive:{a}+{b}"),
                            format!("{x} and {y} no longer end each other."),
                        );
                    } else {
                        changes.told(
                            format!("new_exclusive:{a}+{b}"),
                            format!("{x} and {y} end each other now."),
                        );
                    }
                }
            }
        }
    };
    each(old, new, true);
    each(new, old, false);
}

fn act(
    (old, was): (&Procedure, &Act),
    (new, is): (&Procedure, &Act),
    id: &str,
    changes: &mut Changes,
) {
    let title = quoted(&is.title);
    changes.words(&format!("act_title:{id}"), "An act", &was.title, &is.title);
    let asked = |act: &Act, p: &Procedure| {
        let hazards = act.hazards.iter().filter_map(|h| p.hazards.get(h));
        hazards
            .flat_map(|h| h.needs.clone())
            .collect::<BTreeSet<_>>()
    };
    let through = asked(is, new);
    for need in was.needs.difference(&is.needs) {
        let what = condition(old, need);
        changes.either(
            !through.contains(need),
            format!("act_need:{id}:{need}"),
            format!("The act {title} no longer needs {what} itself."),
        );
    }
    for need in is.needs.difference(&was.needs) {
        changes.told(
            format!("new_act_need:{id}:{need}"),
            format!("The act {title} needs {} now.", condition(new, need)),
        );
    }
    for hazard in was.hazards.difference(&is.hazards) {
        let what = old.hazards.get(hazard).map_or("", |h| h.title.as_str());
        changes.less(
            format!("act_hazard:{id}:{hazard}"),
            format!("The act {title} no longer warns: {}", quoted(what)),
        );
    }
    for hazard in is.hazards.difference(&was.hazards) {
        let what = new.hazards.get(hazard).map_or("", |h| h.title.as_str());
        changes.told(
            format!("new_act_hazard:{id}:{hazard}"),
            format!("The act {title} warns now: {}", quoted(what)),
        );
    }
    act_ends((old, was), (new, is), id, &title, changes);
}

/// What an act ends, changes and moves.
fn act_ends(
    (old, was): (&Procedure, &Act),
    (new, is): (&Procedure, &Act),
    id: &str,
    title: &str,
    changes: &mut Changes,
) {
    for over in was.clears.difference(&is.clears) {
        changes.less(
            format!("act_clear:{id}:{over}"),
            format!("The act {title} no longer ends {}.", condition(old, over)),
        );
    }
    for over in is.clears.difference(&was.clears) {
        changes.told(
            format!("new_act_clear:{id}:{over}"),
            format!("The act {title} ends {} now.", condition(new, over)),
        );
    }
    for setting in was.changes.difference(&is.changes) {
        changes.less(format!("act_change:{id}:{setting}"), format!("The act {title} no longer counts as changing a setting ({setting}); as found and as left are not asked for any more."));
    }
    for setting in is.changes.difference(&was.changes) {
        changes.told(
            format!("new_act_change:{id}:{setting}"),
            format!("The act {title} counts as changing a setting now ({setting})."),
        );
    }
    if was.moves != is.moves {
        let sentence = if is.moves {
            format!("The act {title} moves the frame now.")
        } else {
            format!(
                "The act {title} no longer counts as moving the frame: no gate, no hold is asked for it."
            )
        };
        changes.either(was.moves, format!("moves:{id}"), sentence);
    }
}

fn hazard(
    (old, was): (&Procedure, &Hazard),
    (new, is): (&Procedure, &Hazard),
    id: &str,
    changes: &mut Changes,
) {
    let title = quoted(&is.title);
    if was.signal != is.signal {
        changes.either(
            is.signal < was.signal,
            format!("signal:{id}"),
            format!(
                "The caution {title} says {} now; it said {}.",
                is.signal.word(),
                was.signal.word()
            ),
        );
    }
    for need in was.needs.difference(&is.needs) {
        changes.less(
            format!("hazard_need:{id}:{need}"),
            format!(
                "Where {title} is met, {} is no longer needed.",
                condition(old, need)
            ),
        );
    }
    for need in is.needs.difference(&was.needs) {
        changes.told(
            format!("new_hazard_need:{id}:{need}"),
            format!(
                "Where {title} is met, {} is needed now.",
                condition(new, need)
            ),
        );
    }
    changes.words(
        &format!("hazard_title:{id}"),
        "A caution",
        &was.title,
        &is.title,
    );
    changes.words(
        &format!("consequence:{id}"),
        &format!("The caution {title}, what happens"),
        &was.consequence,
        &is.consequence,
    );
    changes.lines(
        &format!("avoid:{id}"),
        &format!("The caution {title}, how to avoid it"),
        &was.avoid,
        &is.avoid,
    );
}

fn duties(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, was) in &old.duties {
        match new.duties.get(id) {
            None => changes.told(
                format!("gone_duty:{id}"),
                format!("The duty {} is gone.", quoted(&was.title)),
            ),
            Some(is) => {
                changes.words(&format!("duty_title:{id}"), "A duty", &was.title, &is.title);
                changes.lines(
                    &format!("duty_hand_over:{id}"),
                    &format!(
                        "The duty {}, what stands on the first page",
                        quoted(&is.title)
                    ),
                    &was.hand_over,
                    &is.hand_over,
                );
            }
        }
    }
    for (id, is) in new
        .duties
        .iter()
        .filter(|(id, _)| !old.duties.contains_key(*id))
    {
        changes.told(
            format!("new_duty:{id}"),
            format!("The duty {} is new.", quoted(&is.title)),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_ends_later_lasts_longer() {
        let order = [
            Lasts::Step,
            Lasts::For(1_000),
            Lasts::For(2_000),
            Lasts::Resume,
            Lasts::Job,
        ];
        for (n, a) in order.iter().enumerate() {
            for (m, b) in order.iter().enumerate() {
                assert_eq!(outlasts(*a, *b), n > m, "{a:?} against {b:?}");
            }
        }
    }
}

//! Steps that are new, gone, renamed, or stand elsewhere.

use std::collections::BTreeSet;

use super::pair::Pairs;
use super::{Changes, counted, quoted};
use crate::procedure::{ConditionId, Confirm, Procedure, Step, StepId};

/// Compares which steps there are, and where.
pub(super) fn compare(old: &Procedure, new: &Procedure, pairs: &Pairs<'_>, changes: &mut Changes) {
    for step in pairs.gone() {
        let asked = asks(old, step);
        let title = quoted(&step.title);
        if asked.is_empty() {
            let name = format!("step:{}", step.id);
            changes.told(name, format!("The step {title} ({}) is gone.", step.id));
        } else {
            let what = asked.join(", ");
            changes.less(
                format!("step:{}", step.id),
                format!(
                    "The step {title} ({}) is gone, and what it asked with it: {what}.",
                    step.id
                ),
            );
        }
    }
    for step in pairs.added() {
        let before = new.steps.iter().take_while(|s| s.id != step.id).last();
        let after = before.map_or_else(
            || "; the job begins with it".to_owned(),
            |before| format!(", after {}", quoted(&before.title)),
        );
        let makes: Vec<String> = step
            .may_establish()
            .into_iter()
            .map(|id| condition(new, id))
            .collect();
        let makes = if makes.is_empty() {
            String::new()
        } else {
            format!(" It makes true: {}.", makes.join(", "))
        };
        changes.told(
            format!("new_step:{}", step.id),
            format!(
                "The step {} ({}) is new{after}.{makes}",
                quoted(&step.title),
                step.id
            ),
        );
    }
    for (before, after) in pairs.both().filter(|(before, after)| before.id != after.id) {
        changes.told(
            format!("renamed:{}", before.id),
            format!(
                "The step {} was named {} and is named {} now; what it asks is the same.",
                quoted(&after.title),
                before.id,
                after.id
            ),
        );
    }
    moved(old, new, pairs, changes);
}

/// Steps that no longer stand in the order of the others, or in another phase.
fn moved(old: &Procedure, new: &Procedure, pairs: &Pairs<'_>, changes: &mut Changes) {
    let at = |id: &StepId| new.steps.iter().position(|s| &s.id == id).unwrap_or(0);
    let places: Vec<usize> = pairs.both().map(|(_, after)| at(&after.id)).collect();
    let in_order = longest_rise(&places);
    for ((before, after), place) in pairs.both().zip(places) {
        let phase =
            |p: &Procedure, s: &Step| p.phase_of(s).map(|p| (p.id.clone(), p.title.clone()));
        let (was, is) = (phase(old, before), phase(new, after));
        let elsewhere = was.as_ref().map(|p| &p.0) != is.as_ref().map(|p| &p.0);
        if in_order.contains(&place) && !elsewhere {
            continue;
        }
        let follows = new.steps.iter().take_while(|s| s.id != after.id).last();
        let follows = follows.map_or_else(
            || "first of all".to_owned(),
            |step| format!("after {}", quoted(&step.title)),
        );
        let phase = match (&was, &is) {
            (Some((_, was)), Some((_, is))) if elsewhere => format!(
                ", in the phase {} and no longer in {}; stop work leads where that phase says",
                quoted(is),
                quoted(was)
            ),
            _ => String::new(),
        };
        changes.told(
            format!("moved:{}", after.id),
            format!(
                "The step {} stands {follows} now{phase}.",
                quoted(&after.title)
            ),
        );
    }
}

/// The values of a longest rising row among these, all different.
fn longest_rise(values: &[usize]) -> BTreeSet<usize> {
    // For each length the row with the least last value.
    let mut rows: Vec<(usize, usize)> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::new();
    for (index, value) in values.iter().enumerate() {
        let length = rows.partition_point(|(last, _)| last < value);
        let parent = length
            .checked_sub(1)
            .and_then(|l| rows.get(l))
            .map(|row| row.1);
        before.push(parent);
        match rows.get_mut(length) {
            Some(row) => *row = (*value, index),
            None => rows.push((*value, index)),
        }
    }
    let mut rise = BTreeSet::new();
    let mut at = rows.last().map(|row| row.1);
    while let Some(index) = at {
        rise.extend(values.get(index));
        at = before.get(index).copied().flatten();
    }
    rise
}

/// What a step asks, in a few words each.
fn asks(procedure: &Procedure, step: &Step) -> Vec<String> {
    let mut asked = Vec::new();
    let mut add = |count: usize, one: &str, more: &str| {
        if count > 0 {
            asked.push(counted(count, one, more));
        }
    };
    add(step.needs.len(), "need", "needs");
    add(step.acts.len(), "act", "acts");
    add(procedure.hazards_of(step).len(), "caution", "cautions");
    add(step.ticks.len(), "tick", "ticks");
    add(step.readings.len(), "reading", "readings");
    add(step.limits.len(), "limit", "limits");
    add(step.incurs.len(), "duty", "duties");
    add(
        step.clears.len(),
        "thing that is over",
        "things that are over",
    );
    match step.confirm() {
        Confirm::Hold { .. } => asked.push("a hold".to_owned()),
        Confirm::Wait { .. } => asked.push("a wait".to_owned()),
        Confirm::Pulse { .. } => asked.push("presses in time".to_owned()),
        Confirm::None | Confirm::Enter => {}
    }
    if !step.choices().is_empty() {
        asked.push(format!("a look with {} choices", step.choices().len()));
    }
    asked
}

/// A condition's title, or its id where it is not known.
pub(super) fn condition(procedure: &Procedure, id: &ConditionId) -> String {
    let known = procedure.conditions.get(id);
    quoted(known.map_or(id.as_str(), |condition| &condition.title))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_two_that_changed_places_one_is_moved() {
        assert_eq!(longest_rise(&[0, 2, 1, 3]).len(), 3);
        assert_eq!(longest_rise(&[3, 0, 1, 2]), BTreeSet::from([0, 1, 2]));
        assert_eq!(longest_rise(&[]), BTreeSet::new());
    }
}

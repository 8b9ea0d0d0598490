//! Two revisions of a sheet: values that changed, and what procedures ask with them.

use std::collections::{BTreeMap, BTreeSet};

use super::limit::{asks_less, said, subject_title};
use super::{Changes, quoted};
use crate::procedure::{
    Body, BoundSpec, Confirm, Procedure, Sheet, SheetEntry, SheetKey, SheetValue, Side, WorkInput,
};
use crate::quantity::Quantity;

/// What changed from one revision of a sheet to another; `procedures` are those that
/// may be done with it: a value shrinks a demand where one of them rests a limit or a
/// time on it.
pub fn compare_sheets<'p>(
    old: &Sheet,
    new: &Sheet,
    procedures: impl IntoIterator<Item = &'p Procedure>,
) -> Changes {
    let mut changes = Changes::default();
    changes.words("title", "The sheet's title", &old.title, &new.title);
    changes.lines(
        "identify",
        "How the vehicle is told from its look-alikes",
        &old.identify,
        &new.identify,
    );
    if old.system != new.system {
        changes.told("system", "The sheet is written in other units now.");
    }
    let mut less: BTreeMap<SheetKey, Vec<String>> = BTreeMap::new();
    let mut used: BTreeMap<SheetKey, BTreeSet<String>> = BTreeMap::new();
    for procedure in procedures {
        uses(procedure, &mut used);
        for (bound, what) in demands(procedure) {
            let si = |sheet: &Sheet, key: &SheetKey| sheet.quantity(key).map(Quantity::si);
            if asks_less((&bound, &|key| si(old, key)), (&bound, &|key| si(new, key))) {
                for side in bound.sides() {
                    if let Side::Sheet(key) = side {
                        less.entry(key.clone()).or_default().push(what.clone());
                    }
                }
            }
        }
        for (key, what) in worked(procedure) {
            if old.quantity(key) != new.quantity(key) {
                less.entry(key.clone()).or_default().push(what);
            }
        }
    }
    for (key, was) in &old.values {
        let Some(is) = new.values.get(key) else {
            changes.told(
                format!("gone_value:{key}"),
                format!("{} ({key}, {}) is gone.", quoted(&was.title), was.written),
            );
            continue;
        };
        one(key, was, is, (&less, &used), &mut changes);
    }
    for (key, is) in new
        .values
        .iter()
        .filter(|(key, _)| !old.values.contains_key(*key))
    {
        changes.told(
            format!("new_value:{key}"),
            format!("{} ({key}, {}) is new.", quoted(&is.title), is.written),
        );
    }
    changes
}

/// What rests on each value: demands that shrank, and every use.
type Resting<'a> = (
    &'a BTreeMap<SheetKey, Vec<String>>,
    &'a BTreeMap<SheetKey, BTreeSet<String>>,
);

/// One value in both revisions.
fn one(
    key: &SheetKey,
    was: &SheetEntry,
    is: &SheetEntry,
    (less, used): Resting<'_>,
    changes: &mut Changes,
) {
    changes.words(
        &format!("value_title:{key}"),
        "A value",
        &was.title,
        &is.title,
    );
    changes.words(
        &format!("source:{key}"),
        &format!("The source of {}", quoted(&is.title)),
        &was.source,
        &is.source,
    );
    if let (SheetValue::Text(was), SheetValue::Text(now)) = (&was.value, &is.value) {
        changes.lines(&format!("value:{key}"), &quoted(&is.title), was, now);
    } else if was.value != is.value {
        let both = format!(
            "{} ({key}) was {} and is {} now",
            quoted(&is.title),
            was.written,
            is.written
        );
        match (less.get(key), used.get(key)) {
            (Some(demands), _) => changes.less(
                format!("value:{key}"),
                format!(
                    "{both}; less is asked, or something else, of {}.",
                    demands.join("; of ")
                ),
            ),
            (None, Some(uses)) => {
                let uses: Vec<&str> = uses.iter().map(String::as_str).collect();
                changes.told(
                    format!("value:{key}"),
                    format!("{both}. It is used for {}.", uses.join("; for ")),
                );
            }
            (None, None) => changes.told(format!("value:{key}"), format!("{both}.")),
        }
    }
}

/// Values of the sheet that go into something worked out on which a limit rests:
/// which way a limit moves with them nobody can tell, so that each counts.
fn worked(procedure: &Procedure) -> Vec<(&SheetKey, String)> {
    let workings = procedure.workings.iter();
    let judged = workings.filter(|(id, _)| procedure.rests_on(id));
    let inputs = judged.flat_map(|(_, working)| working.inputs.iter().map(move |i| (i, working)));
    inputs
        .filter_map(|(input, working)| match input {
            WorkInput::Sheet(key) => Some((
                key,
                format!(
                    "what rests on {} in {}",
                    quoted(&working.title),
                    quoted(&procedure.title)
                ),
            )),
            WorkInput::Value(_)
            | WorkInput::Series(_)
            | WorkInput::Literal(_)
            | WorkInput::Word(_) => None,
        })
        .collect()
}

/// What a procedure asks with values of the sheet in it.
fn demands(procedure: &Procedure) -> Vec<(BoundSpec, String)> {
    let mut all = Vec::new();
    let within = |title: &str| format!("{} in {}", quoted(title), quoted(&procedure.title));
    for step in &procedure.steps {
        let place = within(&step.title);
        for limit in &step.limits {
            let subject = subject_title(procedure, &limit.subject);
            all.push((
                limit.bound.clone(),
                format!("{subject} at {place} ({})", said(&limit.bound)),
            ));
        }
        if let Body::Ordinary { confirm, .. } = &step.body {
            match confirm {
                Confirm::Wait { at_least, at_most } => {
                    all.push((
                        BoundSpec::AtLeast(at_least.clone()),
                        format!("the wait at {place}"),
                    ));
                    all.extend(at_most.iter().map(|most| {
                        (
                            BoundSpec::AtMost(most.clone()),
                            format!("the longest wait at {place}"),
                        )
                    }));
                }
                Confirm::Pulse { within, .. } => all.push((
                    BoundSpec::AtMost(within.clone()),
                    format!("the presses at {place}"),
                )),
                Confirm::None | Confirm::Enter | Confirm::Hold { .. } => {}
            }
        }
    }
    for condition in procedure.conditions.values() {
        for limit in condition.ask.iter().flat_map(|ask| &ask.limits) {
            let subject = subject_title(procedure, &limit.subject);
            all.push((
                limit.bound.clone(),
                format!("{subject}, asked again for {}", within(&condition.title)),
            ));
        }
    }
    for reading in procedure.readings.values() {
        if let Some((low, high)) = &reading.plausible {
            all.push((
                BoundSpec::Between(low.clone(), high.clone()),
                format!("what is asked for twice: {}", within(&reading.title)),
            ));
        }
    }
    all.retain(|(bound, _)| {
        bound
            .sides()
            .iter()
            .any(|side| matches!(side, Side::Sheet(_)))
    });
    all
}

/// What a procedure does with values of the sheet.
fn uses(procedure: &Procedure, used: &mut BTreeMap<SheetKey, BTreeSet<String>>) {
    let mut note = |key: &SheetKey, what: String| {
        used.entry(key.clone()).or_default().insert(what);
    };
    for (bound, what) in demands(procedure) {
        for side in bound.sides() {
            if let Side::Sheet(key) = side {
                note(key, what.clone());
            }
        }
    }
    for working in procedure.workings.values() {
        for input in &working.inputs {
            if let WorkInput::Sheet(key) = input {
                note(
                    key,
                    format!("{} in {}", quoted(&working.title), quoted(&procedure.title)),
                );
            }
        }
    }
    for step in &procedure.steps {
        if let Body::Look {
            by_sheet: Some(key),
            ..
        } = &step.body
        {
            note(
                key,
                format!(
                    "the way at {} in {}",
                    quoted(&step.title),
                    quoted(&procedure.title)
                ),
            );
        }
    }
}

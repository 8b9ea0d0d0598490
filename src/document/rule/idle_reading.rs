//! A reading is looked at: judged, worked with or kept, before it is taken again.
//!
//! One that no way looks at makes a person crawl for nothing, and mostly a limit
//! was forgotten. It may be used elsewhere in the procedure; what counts is this
//! taking of it.

use std::collections::{BTreeMap, BTreeSet};

use crate::document::code::IDLE_READING;
use crate::finding::{Finding, Subject};
use crate::procedure::{
    Body, Procedure, Reading, Step, StepId, Subject as Judged, ValueId, WorkInput,
};

/// Readings taken where nothing can come of them.
pub(super) fn idle_reading(procedure: &Procedure) -> Vec<Finding> {
    let places: BTreeMap<&StepId, usize> = procedure
        .steps
        .iter()
        .enumerate()
        .map(|(at, step)| (&step.id, at))
        .collect();
    let series: BTreeSet<&ValueId> = procedure
        .conditions
        .values()
        .filter_map(|c| c.series.as_ref())
        .flat_map(|s| &s.readings)
        .collect();
    let mut found = Vec::new();
    for (at, step) in procedure.steps.iter().enumerate() {
        for id in &step.readings {
            let kept = procedure.readings.get(id).is_none_or(is_kept) || series.contains(id);
            if kept || uses(procedure, step, id) || used_after(procedure, &places, at, id) {
                continue;
            }
            let sentence = format!(
                "{id} is taken here, and on no way is it looked at before it is taken again"
            );
            let subject = Subject::step(&step.id).field("take");
            found.push(
                Finding::error(IDLE_READING, subject, sentence)
                    .help("put a limit on it here or later, or don't take it here")
                    .help("if it is only kept for the record, write \"for\": \"record\" at the reading"),
            );
        }
    }
    found
}

fn is_kept(reading: &Reading) -> bool {
    reading.for_record || reading.when.is_some() || reading.zero_check
}

/// Whether a limit or a working of the step takes the value in.
fn uses(procedure: &Procedure, step: &Step, id: &ValueId) -> bool {
    let judged = step.limits.iter().any(|limit| match &limit.subject {
        Judged::Value(v) => v == id,
        Judged::Difference(a, b) => a == id || b == id,
        Judged::Age(_) => false,
    });
    let works = step.works.iter().filter_map(|w| procedure.workings.get(w));
    let mut inputs = works.flat_map(|w| &w.inputs);
    judged
        || inputs.any(|input| match input {
            WorkInput::Value(v) | WorkInput::Series(v) => v == id,
            WorkInput::Sheet(_) | WorkInput::Literal(_) | WorkInput::Word(_) => false,
        })
}

/// Whether some way from a step leads to one that uses the value, before it is
/// taken again.
fn used_after(
    procedure: &Procedure,
    places: &BTreeMap<&StepId, usize>,
    from: usize,
    id: &ValueId,
) -> bool {
    let mut seen = BTreeSet::new();
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        let Some(step) = procedure.steps.get(at) else {
            continue;
        };
        let stop = procedure.phase_of(step).map(|p| &p.stop);
        let stop = stop.filter(|_| !matches!(step.body, Body::End(_)));
        for to in step.targets().into_iter().chain(stop) {
            let Some(next) = places.get(to).copied().filter(|to| seen.insert(*to)) else {
                continue;
            };
            let Some(step) = procedure.steps.get(next) else {
                continue;
            };
            if step.readings.contains(id) {
                continue;
            }
            if uses(procedure, step, id) {
                return true;
            }
            open.push(next);
        }
    }
    false
}

//! A look has no limits; a look by the sheet has no screen; an end has no work (S1).

use crate::document::code::STEP_SHAPE;
use crate::finding::{Finding, Subject};
use crate::procedure::{Body, Procedure, Step};

/// Steps with something that their kind can't have.
pub(super) fn step_shape(procedure: &Procedure) -> Vec<Finding> {
    procedure.steps.iter().flat_map(misfits).collect()
}

fn misfits(step: &Step) -> Vec<Finding> {
    let asked = [
        ("ticks", !step.ticks.is_empty()),
        ("take", !step.readings.is_empty()),
        ("work", !step.works.is_empty()),
        ("limits", !step.limits.is_empty()),
    ];
    let passed = [
        ("establishes", !step.establishes.is_empty()),
        ("settles", !step.settles.is_empty()),
    ];
    let done = [
        ("acts", !step.acts.is_empty()),
        ("incurs", !step.incurs.is_empty()),
        ("changes", !step.changes.is_empty()),
    ];
    let (fields, why): (Vec<(&str, bool)>, &str) = match &step.body {
        Body::Ordinary { .. } => return Vec::new(),
        Body::Look {
            by_sheet: Some(_), ..
        } => (
            asked.into_iter().chain(passed).chain(done).collect(),
            "a look answered by the sheet has no screen; its choices carry what they make true",
        ),
        Body::Look { by_sheet: None, .. } => (
            asked.into_iter().skip(3).chain(passed).collect(),
            "a look is decided by what is seen; its choices carry what they make true",
        ),
        Body::End(_) => (
            asked.into_iter().chain(passed).chain(done).collect(),
            "the job is over here; do it in a step before",
        ),
    };
    fields
        .into_iter()
        .filter(|(_, there)| *there)
        .map(|(field, _)| {
            let subject = Subject::step(&step.id).field(field);
            Finding::error(STEP_SHAPE, subject, format!("{field:?} can't stand here")).help(why)
        })
        .collect()
}

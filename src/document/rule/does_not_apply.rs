//! "Does not apply" stays closed where what protects people is made (S12).

use crate::document::code::DOES_NOT_APPLY;
use crate::finding::{Finding, Subject};
use crate::procedure::{Procedure, Step};

/// Ticks that may not apply in steps that make something hazards or acts need.
pub(super) fn does_not_apply(procedure: &Procedure) -> Vec<Finding> {
    let steps = procedure.steps.iter();
    steps.flat_map(|step| open_ticks(procedure, step)).collect()
}

fn open_ticks(procedure: &Procedure, step: &Step) -> Vec<Finding> {
    let made = step.may_establish();
    let Some(condition) = made.into_iter().find(|c| procedure.protects(c)) else {
        return Vec::new();
    };
    step.ticks
        .iter()
        .filter(|tick| tick.may_not_apply)
        .map(|tick| {
            let subject = Subject::tick(&step.id, &tick.id).field("may_not_apply");
            let sentence = format!(
                "this tick may not apply, and {condition}, which protects people, hangs on it"
            );
            Finding::error(DOES_NOT_APPLY, subject, sentence)
                .help("leave \"may_not_apply\" out, or ask it in a step of its own")
        })
        .collect()
}

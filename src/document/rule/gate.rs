//! What lasts one step is made by a gate: a hold that makes nothing else (S1, S7).

use crate::document::code::GATE_SHAPE;
use crate::finding::{Finding, Subject};
use crate::procedure::{ConditionId, Lasts, Procedure, Step};

/// Steps that make a condition for one step and are no gate.
pub(super) fn gate_shape(procedure: &Procedure) -> Vec<Finding> {
    let of_step = |step: &Step| {
        step.may_establish()
            .into_iter()
            .find(|c| lasts_a_step(procedure, c))
            .cloned()
    };
    procedure
        .steps
        .iter()
        .filter(|step| !procedure.is_gate(step))
        .filter_map(|step| Some((step, of_step(step)?)))
        .map(|(step, condition)| {
            let sentence = format!(
                "this step makes {condition} true, which lasts one step only, and is no gate"
            );
            Finding::error(GATE_SHAPE, Subject::step(&step.id), sentence)
                .help("a gate is confirmed by a hold and establishes only what lasts one step")
                .help("confirm it with {\"hold\": \"danger\"}, and establish the rest in a step before")
        })
        .collect()
}

fn lasts_a_step(procedure: &Procedure, condition: &ConditionId) -> bool {
    let found = procedure.conditions.get(condition);
    found.is_some_and(|c| c.lasts == Lasts::Step)
}

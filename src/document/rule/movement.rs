//! Where the frame moves, what was seen is confirmed by a hold (S1).

use crate::document::code::MOVEMENT_SHAPE;
use crate::finding::{Finding, Subject};
use crate::procedure::{Confirm, Procedure, StepKind};

/// Movements that are no ordinary step with a hold.
pub(super) fn movement_shape(procedure: &Procedure) -> Vec<Finding> {
    procedure
        .steps
        .iter()
        .filter(|step| step.kind() != StepKind::End && procedure.is_movement(step))
        .filter(|step| !matches!(step.confirm(), Confirm::Hold { .. }))
        .map(|step| {
            let sentence = match step.kind() {
                StepKind::Look => "the frame moves in this look",
                StepKind::Ordinary | StepKind::End => {
                    "the frame moves in this step, and it is not confirmed by a hold"
                }
            };
            Finding::error(MOVEMENT_SHAPE, Subject::step(&step.id), sentence)
                .help("a movement is a gate, then one ordinary step with the act, ended by a hold: what was seen")
                .help("write \"confirm\": {\"hold\": \"caution\"}")
        })
        .collect()
}

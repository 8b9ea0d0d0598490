//! What moves the truck asks for something that was made true just before: a condition
//! that lasts one step, so that a gate stands before each movement (S1).

use crate::document::code::MOVEMENT_UNGATED;
use crate::finding::{Finding, Subject};
use crate::procedure::{Act, ConditionId, Lasts, Procedure};

/// Acts that move and ask for nothing that is only just true.
pub(super) fn movement_ungated(procedure: &Procedure) -> Vec<Finding> {
    let moving = procedure.acts.iter().filter(|(_, act)| act.moves);
    moving
        .filter(|(_, act)| !asked(procedure, act).any(|id| is_fresh(procedure, id)))
        .map(|(id, act)| {
            let sentence = format!(
                "\"{}\" moves the truck and needs nothing that was asked just before",
                act.title
            );
            Finding::error(MOVEMENT_UNGATED, Subject::Act(id.to_string()), sentence)
                .help("need a condition with \"lasts\": \"step\", here or in one of its hazards")
                .help("a gate before each movement makes it true: both sides answered clear")
        })
        .collect()
}

/// What an act and its hazards need.
fn asked<'p>(procedure: &'p Procedure, act: &'p Act) -> impl Iterator<Item = &'p ConditionId> {
    let hazards = act.hazards.iter();
    let hazards = hazards.filter_map(|id| procedure.hazards.get(id));
    act.needs.iter().chain(hazards.flat_map(|h| &h.needs))
}

fn is_fresh(procedure: &Procedure, id: &ConditionId) -> bool {
    let condition = procedure.conditions.get(id);
    condition.is_some_and(|c| c.lasts == Lasts::Step)
}

//! What is declared to move the frame, or to make a condition so, is done by a step:
//! else the act was left out of one, and with it its hazards and needs (S15).

use std::collections::BTreeSet;

use crate::document::code::ACT_UNDONE;
use crate::finding::{Finding, Subject, listed};
use crate::procedure::{ActId, Procedure};

/// Movements that no step does, and conditions whose acts no step does.
pub(super) fn undone_act(procedure: &Procedure) -> Vec<Finding> {
    let done: BTreeSet<&ActId> = procedure.steps.iter().flat_map(|s| &s.acts).collect();
    let acts = procedure.acts.iter();
    let moves = acts.filter(|(id, act)| act.moves && !done.contains(id));
    let mut found: Vec<Finding> = moves
        .map(|(id, _)| {
            let sentence = format!("the frame moves in {id}, and no step does it");
            Finding::error(ACT_UNDONE, Subject::Act(id.to_string()), sentence)
                .help("name it in \"acts\" of the step where the frame moves: its hazards, needs and clears count only there")
                .help("if the job has no such movement, take the act out")
        })
        .collect();
    let undone = |by: &BTreeSet<ActId>| !by.is_empty() && by.iter().all(|act| !done.contains(act));
    let conditions = procedure.conditions.iter();
    found.extend(conditions.filter(|(_, c)| undone(&c.by)).map(|(id, c)| {
        let acts = listed(c.by.iter().map(ActId::as_str));
        let sentence = format!("{id} comes by {acts} only, and no step does that");
        let subject = Subject::Condition(id.to_string()).field("by");
        Finding::error(ACT_UNDONE, subject, sentence)
            .help("name the act in \"acts\" of the step that does it")
            .help("if it is only ever found so by a look, take \"by\" out")
    }));
    found
}

//! A condition that says by which acts it comes is made by one of them (S15).

use crate::document::code::MISSING_ACT;
use crate::finding::{Finding, Subject, listed};
use crate::procedure::{ActId, Procedure, StepKind};

/// Ordinary steps that make such a condition without its act.
pub(super) fn missing_act(procedure: &Procedure) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in procedure
        .steps
        .iter()
        .filter(|s| s.kind() == StepKind::Ordinary)
    {
        for id in &step.establishes {
            let Some(condition) = procedure.conditions.get(id) else {
                continue;
            };
            if condition.by.is_empty() || !condition.by.is_disjoint(&step.acts) {
                continue;
            }
            let acts = listed(condition.by.iter().map(ActId::as_str));
            let sentence = format!("this step makes {id} true without doing what makes it so");
            let subject = Subject::step(&step.id).field("establishes");
            found.push(Finding::error(MISSING_ACT, subject, sentence).help(format!(
                "name the act in \"acts\" ({acts}), or find out by a look whether it is so"
            )));
        }
    }
    found
}

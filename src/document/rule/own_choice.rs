//! A choice that leads back to its own look asks the same again with nothing done.

use crate::document::code::CHOICE_TO_ITSELF;
use crate::finding::{Finding, Subject};
use crate::procedure::Procedure;

/// Choices that lead to the look they stand in.
pub(super) fn choice_to_itself(procedure: &Procedure) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in &procedure.steps {
        for choice in step.choices().iter().filter(|c| c.to == step.id) {
            let sentence = format!(
                "the choice {} leads back to the look it stands in, with nothing done between",
                choice.id
            );
            let subject = Subject::choice(&step.id, &choice.id).field("to");
            found.push(
                Finding::error(CHOICE_TO_ITSELF, subject, sentence)
                    .help("lead to the step in which something is done about what was seen"),
            );
        }
    }
    found
}

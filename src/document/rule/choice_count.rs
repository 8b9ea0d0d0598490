//! A look has at least two choices, and one of them is never used up (S1, S5).

use crate::document::code::{ALL_CHOICES_COUNTED, FEW_CHOICES};
use crate::finding::{Finding, Subject};
use crate::procedure::{Body, Procedure};

/// Looks with too few choices.
pub(super) fn choice_count(procedure: &Procedure) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in &procedure.steps {
        let Body::Look { choices, .. } = &step.body else {
            continue;
        };
        let subject = Subject::step(&step.id).field("choices");
        if choices.len() < 2 {
            let sentence = format!(
                "a look has at least two choices; this one has {}",
                choices.len()
            );
            let finding = Finding::error(FEW_CHOICES, subject, sentence)
                .help("add what else may be seen, or make it an ordinary step");
            found.push(finding);
        } else if choices.iter().all(|c| c.tries.is_some()) {
            let sentence = "every choice here has \"tries\": when all are used up, nothing is left";
            let finding = Finding::error(ALL_CHOICES_COUNTED, subject, sentence)
                .help("leave \"tries\" out of at least one");
            found.push(finding);
        }
    }
    found
}

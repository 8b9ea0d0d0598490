//! A procedure can be completed, and names the end at which it is handed over (S10).

use crate::document::code::{HAND_OVER, NO_END};
use crate::finding::{Finding, Subject};
use crate::procedure::{Body, EndKind, Procedure};

/// A missing complete end, and a hand-over end that is none.
pub(super) fn ends(procedure: &Procedure) -> Vec<Finding> {
    let complete = Body::End(EndKind::Complete);
    let mut found = Vec::new();
    if !procedure.steps.iter().any(|s| s.body == complete) {
        let sentence = "no step ends this procedure as complete";
        let finding = Finding::error(NO_END, Subject::Document.field("phases"), sentence)
            .help("add a step with \"end\": \"complete\"");
        found.push(finding);
    }
    let subject = Subject::Document.field("hand_over");
    match &procedure.hand_over {
        None => found.push(
            Finding::error(HAND_OVER, subject, "the procedure names no \"hand_over\" end")
                .help("a job that owes something at its end is handed over; name the step with \"end\": \"handed_over\""),
        ),
        Some(id) => {
            let step = procedure.step(id);
            if step.is_some_and(|s| s.body != Body::End(EndKind::HandedOver)) {
                let sentence = format!("{id} is no hand-over end");
                found.push(
                    Finding::error(HAND_OVER, subject, sentence)
                        .help("name a step with \"end\": \"handed_over\""),
                );
            }
        }
    }
    found
}

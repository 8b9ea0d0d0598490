//! What gets stale on resume or with time carries its question (S7).

use crate::document::code::NO_QUESTION;
use crate::finding::{Finding, Subject};
use crate::procedure::{Lasts, Procedure};

/// Conditions that get stale and can't be asked again.
pub(super) fn no_question(procedure: &Procedure) -> Vec<Finding> {
    procedure
        .conditions
        .iter()
        .filter(|(_, c)| matches!(c.lasts, Lasts::Resume | Lasts::For(_)) && c.ask.is_none())
        .map(|(id, _)| {
            let sentence = format!("{id} gets stale and has no question to ask it again");
            Finding::error(NO_QUESTION, Subject::Condition(id.to_string()), sentence)
                .help("add \"ask\": the question that must be answered before work goes on")
        })
        .collect()
}

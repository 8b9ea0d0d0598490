//! A question belongs to what gets stale (S7): what lasts the job is never asked again.

use crate::document::code::IDLE_QUESTION;
use crate::finding::{Finding, Subject};
use crate::procedure::{Lasts, Procedure};

/// Conditions with a question that nobody will ever be asked.
pub(super) fn idle_question(procedure: &Procedure) -> Vec<Finding> {
    procedure
        .conditions
        .iter()
        .filter(|(_, c)| c.lasts == Lasts::Job && c.ask.is_some())
        .map(|(id, _)| {
            let sentence = format!("{id} lasts the whole job, so its question is never asked");
            let subject = Subject::Condition(id.to_string()).field("ask");
            Finding::error(IDLE_QUESTION, subject, sentence)
                .help("if it can end unseen, write how long it lasts: \"lasts\": \"resume\", \"step\" or a time")
                .help("if it can't, take the question out")
        })
        .collect()
}

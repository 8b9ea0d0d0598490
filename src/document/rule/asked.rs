//! What protects people is made true by an answer, a reading or a hold, never by going
//! on alone.

use crate::document::code::NOTHING_ASKED;
use crate::finding::{Finding, Subject};
use crate::procedure::{Confirm, Procedure, Step, StepKind};

/// Steps that make true what protects people, and ask nothing.
pub(super) fn nothing_asked(procedure: &Procedure) -> Vec<Finding> {
    let steps = procedure.steps.iter();
    let bare = steps.filter(|step| step.kind() == StepKind::Ordinary && is_bare(step));
    bare.filter_map(|step| {
        let made = step.establishes.iter().find(|c| procedure.protects(c))?;
        let sentence =
            format!("this step makes {made} true, which protects people, and asks nothing");
        let subject = Subject::step(&step.id).field("establishes");
        let finding = Finding::error(NOTHING_ASKED, subject, sentence);
        Some(finding.help("ask for what is seen: a tick, a reading with its limit, or a hold"))
    })
    .collect()
}

/// Whether going on is all that is done.
fn is_bare(step: &Step) -> bool {
    let going_on = matches!(step.confirm(), Confirm::None | Confirm::Enter);
    going_on && step.ticks.is_empty() && step.readings.is_empty() && step.limits.is_empty()
}

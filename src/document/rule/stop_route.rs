//! Stop work leads into a stop-work route (S9).

use crate::document::code::STOP_ROUTE;
use crate::finding::{Finding, Subject};
use crate::procedure::Procedure;

/// Phases whose stop step lies in no route.
pub(super) fn stop_route(procedure: &Procedure) -> Vec<Finding> {
    procedure
        .phases
        .iter()
        .filter_map(|phase| {
            let step = procedure.step(&phase.stop)?;
            let to = procedure.phase_of(step)?;
            (!to.route).then_some((phase, to))
        })
        .map(|(phase, to)| {
            let subject = Subject::Phase(phase.id.to_string()).field("stop");
            let sentence = format!(
                "stop work leads to {}, and its phase {} is no stop-work route",
                phase.stop, to.id
            );
            Finding::error(STOP_ROUTE, subject, sentence)
                .help("lead to the first step of a phase with \"route\": true")
        })
        .collect()
}

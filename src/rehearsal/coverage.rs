//! Which ways there are, and which were walked.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "only two of the events tell of a way"
)]

use std::collections::BTreeSet;
use std::fmt;

use crate::job::{Event, Way};
use crate::procedure::{PhaseId, Procedure, StepId};

/// One way through a procedure.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Walk {
    /// An outcome of a step, by its word.
    Outcome(StepId, &'static str),
    /// A choice of a look.
    Choice(StepId, String),
    /// Stop work from a phase.
    Stop(PhaseId),
}

impl fmt::Display for Walk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Outcome(step, outcome) => write!(f, "{step}: {outcome}"),
            Self::Choice(step, choice) => write!(f, "{step}: chosen {choice}"),
            Self::Stop(phase) => write!(f, "stop work in phase {phase}"),
        }
    }
}

/// Every way of a procedure: each outcome of each step, each choice of each
/// look, stop work from each phase that has a step to stop at.
pub fn every_way(procedure: &Procedure) -> BTreeSet<Walk> {
    let mut ways = BTreeSet::new();
    for step in &procedure.steps {
        for outcome in crate::procedure::Outcome::ALL {
            if step.way(outcome).is_some() {
                ways.insert(Walk::Outcome(step.id.clone(), outcome.key()));
            }
        }
        for choice in step.choices() {
            let choice = choice.id.to_string();
            ways.insert(Walk::Choice(step.id.clone(), choice));
        }
    }
    let stoppable = procedure
        .steps
        .iter()
        .filter(|s| s.kind() != crate::procedure::StepKind::End)
        .filter(|s| !answered_by_sheet(s))
        .filter_map(|s| procedure.phase_of(s));
    ways.extend(stoppable.map(|p| Walk::Stop(p.id.clone())));
    ways
}

/// A look that the sheet answers has no screen to stop at.
fn answered_by_sheet(step: &crate::procedure::Step) -> bool {
    matches!(
        step.body,
        crate::procedure::Body::Look {
            by_sheet: Some(_),
            ..
        }
    )
}

/// The ways that some events walked.
pub(super) fn walked(procedure: &Procedure, events: &[Event]) -> BTreeSet<Walk> {
    let mut ways = BTreeSet::new();
    for event in events {
        match event {
            Event::Left { step, way, .. } => {
                ways.insert(match way {
                    Way::Outcome(outcome) => Walk::Outcome(step.clone(), outcome.key()),
                    Way::Choice(choice) => Walk::Choice(step.clone(), choice.to_string()),
                });
            }
            Event::StopTaken { step } => {
                let phase = procedure.step(step).and_then(|s| procedure.phase_of(s));
                ways.extend(phase.map(|p| Walk::Stop(p.id.clone())));
            }
            _ => {}
        }
    }
    ways
}

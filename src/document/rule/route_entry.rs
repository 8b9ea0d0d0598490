//! A stop-work route is entered where it begins (S9): past its first questions
//! people would be led on by what nobody has looked at.

use std::collections::{BTreeMap, BTreeSet};

use crate::document::code::ROUTE_ENTRY;
use crate::finding::{Finding, Subject};
use crate::procedure::{Procedure, Step, StepId, StepKind};

/// Ways from outside into the middle of a route.
pub(super) fn route_entry(procedure: &Procedure) -> Vec<Finding> {
    let steps: BTreeMap<&StepId, &Step> = procedure.steps.iter().map(|s| (&s.id, s)).collect();
    let begins: BTreeSet<&StepId> = procedure.phases.iter().map(|p| &p.stop).collect();
    let in_route = |step: &Step| procedure.phase_of(step).is_some_and(|p| p.route);
    let mut found = Vec::new();
    for step in procedure.steps.iter().filter(|s| !in_route(s)) {
        let targets: BTreeSet<&StepId> = step.targets().into_iter().collect();
        for to in targets {
            let middle = steps
                .get(to)
                .is_some_and(|to| in_route(to) && to.kind() != StepKind::End);
            if middle && !begins.contains(to) {
                let sentence =
                    format!("this step leads to {to}, into the middle of a stop-work route");
                found.push(
                    Finding::error(ROUTE_ENTRY, Subject::step(&step.id), sentence).help(
                        "lead to where a route begins: a step that a phase names as \"stop\"",
                    ),
                );
            }
        }
    }
    found
}

//! Finding 5: a stop-work route that does not stay a stop-work route (S9).
//!
//! Stop work leads into a phase of a route; from there only steps of routes and
//! `made_safe` ends are reached.

use super::plan::Plan;
use super::word;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{Body, EndKind, Step};

pub(super) fn find(plan: &Plan<'_>) -> Vec<Finding> {
    let mut findings = stops(plan);
    for (_, step, node) in plan.all().filter(|(_, s, _)| is_route(plan, s)) {
        if let Body::End(EndKind::Complete | EndKind::HandedOver) = step.body {
            let sentence = format!(
                "{} ends a stop-work route, but not as made_safe",
                word::step(step)
            );
            let finding = word::at_step("route-ends-otherwise", step, sentence);
            findings.push(finding.help("end it as made_safe; a new job carries the work on"));
        }
        for exit in node.exits.iter().filter(|e| e.is_drawn()) {
            let Some(to) = plan.step(exit.to) else {
                continue;
            };
            if !is_route(plan, to) && !matches!(to.body, Body::End(EndKind::MadeSafe)) {
                let sentence = format!(
                    "{} belongs to a stop-work route, but leads out of it to {}",
                    word::step(step),
                    word::step(to)
                );
                let help = "from a route only its own steps and made_safe ends are reached";
                findings.push(word::at_step("route-left", step, sentence).help(help));
            }
        }
    }
    findings
}

/// Phases whose stop work does not lead into a route.
fn stops(plan: &Plan<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for phase in &plan.procedure.phases {
        let stop = plan.steps.number(&phase.stop).and_then(|at| plan.step(at));
        if let Some(stop) = stop.filter(|s| !is_route(plan, s)) {
            let sentence = format!(
                "stop work in the phase {} leads to {}, which belongs to no stop-work route",
                word::named(&phase.title, &phase.id),
                word::step(stop)
            );
            let subject = Subject::Phase(phase.id.to_string()).field("stop");
            let finding = Finding::error(Code::new("stop-route"), subject, sentence);
            findings.push(finding.help("lead it to the first step of a phase marked route"));
        }
    }
    findings
}

fn is_route(plan: &Plan<'_>, step: &Step) -> bool {
    plan.procedure.phase_of(step).is_some_and(|p| p.route)
}

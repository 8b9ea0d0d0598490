//! Finding 7, first part: a condition made true without the act that makes it so.
//!
//! An act brings its hazards and needs. A step that establishes a condition with
//! `by` but does none of those acts would have forgotten them (S15). A look only
//! sees what is so, and needs no act.

use super::plan::Plan;
use super::word;
use crate::finding::Finding;

pub(super) fn find(plan: &Plan<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, step, _) in plan.all() {
        // What a look sees stands at its choices, not at the step.
        for id in &step.establishes {
            let Some(condition) = plan.procedure.conditions.get(id) else {
                continue;
            };
            if condition.by.is_empty() || !condition.by.is_disjoint(&step.acts) {
                continue;
            }
            let acts = condition.by.iter().map(|a| word::act(plan.procedure, a));
            let acts: Vec<String> = acts.collect();
            let sentence = format!(
                "{} establishes {} without an act that can make it true",
                word::step(step),
                word::condition(plan.procedure, id)
            );
            let help = format!("name one of these under acts: {}", acts.join(", "));
            findings.push(word::at_field("missing-act", step, "establishes", sentence).help(help));
        }
    }
    findings
}

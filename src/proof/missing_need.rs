//! Finding 1: something must hold, and on some way it does not.
//!
//! `need-not-held`: what the step itself or the safe list needs, looked at before
//! anything is cleared. `protection-not-held`: what acts and hazards need, looked
//! at after the clears, since it must hold while the step is done.

use std::collections::BTreeMap;

use super::flow::Facts;
use super::plan::{Node, Plan};
use super::trail::{Held, Trails};
use super::word;
use crate::finding::Finding;
use crate::procedure::{ConditionId, Step};

/// A need not met: of which condition, at which step, looked at when.
struct Gap<'p> {
    at: usize,
    step: &'p Step,
    /// Whether it did hold on arrival.
    ended_here: bool,
    /// Needed by the step or the safe list, not by an act or hazard.
    on_entry: bool,
}

pub(super) fn find(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Finding> {
    let mut gaps: BTreeMap<usize, Vec<Gap<'_>>> = BTreeMap::new();
    for ((at, step, node), facts) in plan.all().zip(facts) {
        let Some(arrived) = facts else { continue };
        for (condition, gap) in gaps_of(at, step, node, arrived) {
            gaps.entry(condition).or_default().push(gap);
        }
    }
    let mut findings = Vec::new();
    for (condition, gaps) in gaps {
        let Some(id) = plan.conditions.name(condition) else {
            continue;
        };
        let trails = Trails::new(plan, Held { plan, condition });
        for gap in gaps {
            let path = trails.to(gap.at, |arrived, entered| {
                if gap.on_entry {
                    arrived == 0
                } else {
                    entered == 0
                }
            });
            findings.push(finding(plan, id, &gap).along(path));
        }
    }
    findings
}

fn gaps_of<'p>(at: usize, step: &'p Step, node: &Node, arrived: &Facts) -> Vec<(usize, Gap<'p>)> {
    let gap = |on_entry, ended_here| Gap {
        at,
        step,
        ended_here,
        on_entry,
    };
    let entry = node
        .entry_needs
        .iter()
        .filter(|c| !arrived.held.contains(**c));
    let mut gaps: Vec<_> = entry.map(|c| (*c, gap(true, false))).collect();
    for condition in &node.standing_needs {
        let held = arrived.held.contains(*condition);
        let cleared = node.clears.binary_search(condition).is_ok();
        if cleared || !held {
            gaps.push((*condition, gap(false, cleared && held)));
        }
    }
    gaps
}

fn finding(plan: &Plan<'_>, id: &ConditionId, gap: &Gap<'_>) -> Finding {
    let what = word::condition(plan.procedure, id);
    let step = word::step(gap.step);
    let code = if gap.on_entry {
        "need-not-held"
    } else {
        "protection-not-held"
    };
    let how = if gap.ended_here {
        "the step itself ends it on entry"
    } else {
        "there is a way to it on which it does not hold"
    };
    let sentence = format!("{step} needs {what}, but {how}");
    let owners = owners(plan, gap, id);
    let field = owners.first().map_or("needs", |(field, _)| field);
    let owners: Vec<String> = owners.into_iter().map(|(_, owner)| owner).collect();
    word::at_field(code, gap.step, field, sentence)
        .help(format!("it is needed by {}", owners.join(", ")))
        .help(word::makers(plan, id))
        .help(
            "make it true on this way, lead the way elsewhere, or take the need out if it is none",
        )
}

/// Who asks for the condition in this step, each with the field that names it.
fn owners(plan: &Plan<'_>, gap: &Gap<'_>, id: &ConditionId) -> Vec<(&'static str, String)> {
    let mut owners = Vec::new();
    if gap.on_entry {
        if gap.step.needs.contains(id) {
            owners.push(("needs", "the step itself".to_owned()));
        }
        if plan.procedure.safe.contains(id) && !gap.step.needs.contains(id) {
            let owner = "the safe list, which every end needs";
            owners.push(("end", owner.to_owned()));
        }
        return owners;
    }
    let done = plan.done(gap.step);
    for act in &done.acts {
        let known = plan.procedure.acts.get(*act);
        if known.is_some_and(|a| a.needs.contains(id)) {
            let owner = format!("the act {}", word::act(plan.procedure, act));
            owners.push(("acts", owner));
        }
    }
    for hazard in &done.hazards {
        let known = plan.procedure.hazards.get(*hazard);
        if known.is_some_and(|h| h.needs.contains(id)) {
            let field = if gap.step.hazards.contains(*hazard) {
                "hazards"
            } else {
                "acts"
            };
            let owner = format!("the hazard {}", word::hazard(plan.procedure, hazard));
            owners.push((field, owner));
        }
    }
    owners
}

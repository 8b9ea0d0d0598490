//! Where the outcomes of a step lead in two revisions.
//!
//! Invariant: an outcome other than pass that leads to another step now counts as less
//! where it comes nearer to what a pass leads to, or leaves an end or a stop route.

use std::collections::{BTreeMap, BTreeSet};

use super::pair::Pairs;
use super::{Changes, quoted};
use crate::procedure::{Body, Outcome, Procedure, StepId};

type Ways = BTreeMap<Outcome, StepId>;

/// Compares the ways of one step; the step by its id and its title.
pub(super) fn compare(
    (old, new, pairs): (&Procedure, &Procedure, &Pairs<'_>),
    (id, title): (&str, &str),
    (before, after): (&Ways, &Ways),
    changes: &mut Changes,
) {
    for outcome in Outcome::ALL {
        let word = quoted(&outcome.key().replace('_', " "));
        let name = format!("way:{id}:{}", outcome.key());
        match (before.get(&outcome), after.get(&outcome)) {
            (Some(was), Some(is)) if pairs.now(was) != is => {
                let (from, to) = (called(old, was), called(new, is));
                let pass = after.get(&Outcome::Pass);
                if outcome == Outcome::Pass {
                    changes.told(
                        name,
                        format!("{title}: {word} leads to {to} now; it led to {from}."),
                    );
                    continue;
                }
                // A bad outcome that leads where a good one does stops nobody.
                let more = if pass == Some(is) {
                    ", just as if it had passed"
                } else {
                    ""
                };
                let less = leaves_safety((old, was), (new, is))
                    || pass.is_some_and(|pass| is_nearer(new, pairs.now(was), is, pass));
                changes.leads(
                    less,
                    name,
                    format!("{title}: {word} leads elsewhere now: from {from} to {to}{more}."),
                );
            }
            (Some(was), None) => changes.told(
                name,
                format!("{title}: the way {word}, to {}, is gone.", called(old, was)),
            ),
            (None, Some(is)) => changes.told(
                name,
                format!("{title}: the way {word}, to {}, is new.", called(new, is)),
            ),
            (Some(_), Some(_)) | (None, None) => {}
        }
    }
}

/// A step's title, or its id where there is no such step.
pub(super) fn called(procedure: &Procedure, id: &StepId) -> String {
    quoted(
        procedure
            .step(id)
            .map_or(id.as_str(), |step| step.title.as_str()),
    )
}

/// Whether what led to an end or into a stop route leads to neither now.
pub(super) fn leaves_safety(
    (old, was): (&Procedure, &StepId),
    (new, is): (&Procedure, &StepId),
) -> bool {
    is_safe(old, was) && !is_safe(new, is)
}

fn is_safe(procedure: &Procedure, id: &StepId) -> bool {
    procedure.step(id).is_some_and(|step| {
        matches!(step.body, Body::End(_))
            || procedure.phase_of(step).is_some_and(|phase| phase.route)
            || procedure.phases.iter().any(|phase| &phase.stop == id)
    })
}

/// Whether fewer steps lie between a step and a goal than between another and the goal.
fn is_nearer(procedure: &Procedure, was: &StepId, is: &StepId, goal: &StepId) -> bool {
    match (far(procedure, is, goal), far(procedure, was, goal)) {
        (Some(is), Some(was)) => is < was,
        (Some(_), None) => true,
        (None, _) => false,
    }
}

/// How many ways are walked at least from one step to another.
fn far(procedure: &Procedure, from: &StepId, to: &StepId) -> Option<usize> {
    let mut seen = BTreeSet::from([from.clone()]);
    let mut ring = vec![from.clone()];
    let mut walked = 0;
    while !ring.is_empty() {
        if ring.contains(to) {
            return Some(walked);
        }
        walked += 1;
        let steps = ring.iter().filter_map(|id| procedure.step(id));
        let next: BTreeSet<StepId> = steps
            .flat_map(|step| match &step.body {
                Body::Ordinary { ways, .. } => ways.values().cloned().collect(),
                Body::Look { choices, .. } => choices.iter().map(|c| c.to.clone()).collect(),
                Body::End(_) => Vec::new(),
            })
            .collect();
        ring = next
            .into_iter()
            .filter(|id| seen.insert(id.clone()))
            .collect();
    }
    None
}

//! From the titles of a finding's path back to its steps. Steps out of one fragment
//! share a title; which of them is meant follows from the ways between them.

use std::collections::BTreeMap;

use super::way;
use crate::procedure::{Procedure, Step, StepId};

/// Steps that may stand at one place of a path, each with the one before it.
type Layer = BTreeMap<usize, Option<usize>>;

/// The step of each title; `None` where steps are left out or none is meant. The last
/// is `about` where that may stand there.
pub(super) fn steps(
    path: &[String],
    procedure: &Procedure,
    about: Option<&StepId>,
) -> Vec<Option<StepId>> {
    let layers = layers(path, procedure);
    let place = |id: &StepId| procedure.steps.iter().position(|s| &s.id == id);
    let mut next = about.and_then(place);
    let mut found = Vec::new();
    for layer in layers.iter().rev() {
        let here = next.filter(|n| layer.contains_key(n));
        let here = here.or(layer.keys().next().copied());
        next = here.and_then(|n| layer.get(&n).copied().flatten());
        found.push(
            here.and_then(|n| procedure.steps.get(n))
                .map(|s| s.id.clone()),
        );
    }
    found.reverse();
    found
}

fn layers(path: &[String], procedure: &Procedure) -> Vec<Layer> {
    let places: BTreeMap<&StepId, usize> = procedure
        .steps
        .iter()
        .enumerate()
        .map(|(n, s)| (&s.id, n))
        .collect();
    let mut layers: Vec<Layer> = Vec::new();
    let mut before: Option<&String> = None;
    for leg in path {
        let mut layer = Layer::new();
        if let (Some(said), Some(from)) = (before, layers.last()) {
            for n in from.keys() {
                let Some(step) = procedure.steps.get(*n) else {
                    continue;
                };
                for (word, to) in way::out(procedure, step) {
                    let to = places.get(&to).copied();
                    let to = to.filter(|to| fits(procedure.steps.get(*to), leg));
                    if let Some(to) = to.filter(|_| says(step, &word, said)) {
                        layer.entry(to).or_insert(Some(*n));
                    }
                }
            }
        }
        if layer.is_empty() {
            layer = anywhere(procedure, leg, before.is_none());
        }
        layers.push(layer);
        before = Some(leg);
    }
    layers
}

/// Every step of that title; at the start of a path the first step before all others.
fn anywhere(procedure: &Procedure, leg: &str, start: bool) -> Layer {
    let all = procedure.steps.iter().enumerate();
    let all = all.filter(|(_, s)| fits(Some(s), leg)).map(|(n, _)| n);
    let most = if start && fits(procedure.steps.first(), leg) {
        1
    } else {
        usize::MAX
    };
    all.take(most).map(|n| (n, None)).collect()
}

/// Whether a leg begins with the step's title.
fn fits(step: Option<&Step>, leg: &str) -> bool {
    let rest = step.and_then(|s| leg.strip_prefix(s.title.as_str()));
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(" ("))
}

/// Whether a leg is that step left by that way.
fn says(step: &Step, word: &str, leg: &str) -> bool {
    let rest = leg.strip_prefix(step.title.as_str());
    rest.is_some_and(|rest| match rest {
        "" => word == "pass",
        rest => rest.strip_prefix(" (").and_then(|r| r.strip_suffix(')')) == Some(word),
    })
}

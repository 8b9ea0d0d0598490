//! Wrong turns stand side by side (S5): where one ends, the next must not begin by
//! itself.
//!
//! In a phase that stands aside, a step to which another leads by name is the head
//! of a turn of its own. If the step before it falls through to it as well, a way
//! was mostly forgotten; a way that is meant can be written.

use std::collections::{BTreeMap, BTreeSet};

use super::code::FALLS_INTO_TURN;
use super::reader::Reader;
use super::step::{BodyText, Read, To};
use crate::finding::{Finding, Subject};
use crate::procedure::{Outcome, Phase, StepId};

impl Reader {
    /// Steps of wrong turns that fall through to where another step leads by name.
    pub(super) fn fallen_into_turns(&mut self, read: &[Read], phases: &[Phase]) {
        let mut named: BTreeMap<&StepId, BTreeSet<&StepId>> = BTreeMap::new();
        for one in read {
            for to in written(&one.body) {
                named.entry(to).or_default().insert(&one.step.id);
            }
        }
        let mut found = Vec::new();
        for (one, next) in read.iter().zip(read.iter().skip(1)) {
            let aside = phases.get(one.step.phase).is_some_and(|p| p.aside);
            let beside = one.step.phase == next.step.phase;
            let end = matches!(next.body, BodyText::End(_));
            let within = place(&one.step.id).is_some_and(|p| place(&next.step.id) == Some(p));
            if !aside || !beside || end || within || !falls(&one.body) {
                continue;
            }
            let others = named.get(&next.step.id).into_iter().flatten();
            if let Some(other) = others.into_iter().find(|id| **id != &one.step.id) {
                let sentence = format!(
                    "this step falls through to {}, where {other} leads too: is that meant?",
                    next.step.id
                );
                let help = format!(
                    "write the way that it takes; if it is meant, \"pass\": \"{}\"",
                    next.step.id
                );
                let subject = Subject::step(&one.step.id);
                found.push(Finding::error(FALLS_INTO_TURN, subject, sentence).help(help));
            }
        }
        for finding in found {
            self.push(finding);
        }
    }
}

/// The place of a step that came out of a fragment; such steps are written to follow
/// each other, wherever the fragment is used.
fn place(id: &StepId) -> Option<&str> {
    id.as_str().split_once("__").map(|(place, _)| place)
}

/// Every step that a body names as a way.
fn written(body: &BodyText) -> Vec<&StepId> {
    match body {
        BodyText::Ordinary { ways, .. } => ways.values().flatten().collect(),
        BodyText::Look { choices, .. } => choices
            .iter()
            .filter_map(|choice| match &choice.to {
                To::Step(to) => Some(to),
                To::Next | To::Unread => None,
            })
            .collect(),
        BodyText::End(_) => Vec::new(),
    }
}

/// Whether some way of it is not written and goes to what follows.
fn falls(body: &BodyText) -> bool {
    match body {
        BodyText::Ordinary { ways, .. } => !ways.contains_key(&Outcome::Pass),
        BodyText::Look { choices, .. } => choices.iter().any(|c| matches!(c.to, To::Next)),
        BodyText::End(_) => false,
    }
}

//! Which step of the old revision is which of the new: by its id, or, where only the
//! id changed, by its content.
//!
//! Invariant: a step is paired once, and the pairs stand in the old order.

use std::collections::{BTreeMap, BTreeSet};

use crate::procedure::{Body, Procedure, Step, StepId};

/// The steps of two revisions, paired.
pub(super) struct Pairs<'p> {
    both: Vec<(&'p Step, &'p Step)>,
    gone: Vec<&'p Step>,
    new: Vec<&'p Step>,
    renamed: BTreeMap<StepId, StepId>,
}

impl<'p> Pairs<'p> {
    /// Pairs them.
    pub(super) fn of(old: &'p Procedure, new: &'p Procedure) -> Self {
        let kept = |id: &StepId| old.step(id).is_some() && new.step(id).is_some();
        let gone: Vec<&Step> = old.steps.iter().filter(|s| !kept(&s.id)).collect();
        let added: Vec<&Step> = new.steps.iter().filter(|s| !kept(&s.id)).collect();
        let mut renamed = BTreeMap::new();
        let mut taken = BTreeSet::new();
        for before in &gone {
            let alike: Vec<&&Step> = added
                .iter()
                .filter(|after| same_content(before, after))
                .filter(|after| !taken.contains(&after.id))
                .collect();
            // Steps that look all alike are told apart by nothing but their order.
            if let Some(after) = alike.first() {
                taken.insert(after.id.clone());
                renamed.insert(before.id.clone(), after.id.clone());
            }
        }
        let now = |id: &StepId| renamed.get(id).unwrap_or(id).clone();
        let both = old.steps.iter();
        let both = both
            .filter_map(|before| Some((before, new.step(&now(&before.id))?)))
            .collect();
        Self {
            both,
            gone: gone
                .into_iter()
                .filter(|s| !renamed.contains_key(&s.id))
                .collect(),
            new: added
                .into_iter()
                .filter(|s| !taken.contains(&s.id))
                .collect(),
            renamed,
        }
    }

    /// Steps of both, the old one first.
    pub(super) fn both(&self) -> impl Iterator<Item = (&'p Step, &'p Step)> {
        self.both.iter().copied()
    }

    /// Steps only of the old revision.
    pub(super) fn gone(&self) -> &[&'p Step] {
        &self.gone
    }

    /// Steps only of the new one.
    pub(super) fn added(&self) -> &[&'p Step] {
        &self.new
    }

    /// What an old step is called now.
    pub(super) fn now<'a>(&'a self, id: &'a StepId) -> &'a StepId {
        self.renamed.get(id).unwrap_or(id)
    }
}

/// Whether two steps ask the same, wherever they stand and lead.
fn same_content(a: &Step, b: &Step) -> bool {
    let plain = |step: &Step| {
        let mut step = step.clone();
        step.phase = 0;
        step.id = a.id.clone();
        match &mut step.body {
            Body::Ordinary { ways, .. } => {
                for to in ways.values_mut() {
                    to.clone_from(&a.id);
                }
            }
            Body::Look { choices, .. } => {
                for choice in choices {
                    choice.to = a.id.clone();
                }
            }
            Body::End(_) => {}
        }
        step
    };
    plain(a) == plain(b)
}

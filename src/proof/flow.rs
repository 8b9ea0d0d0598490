//! What holds, is owed and has a value at every step, whatever way led there.
//!
//! Forward analysis over all ways and stop edges with counts left free: what holds
//! and what has a value by intersection, what is owed by union. Every transfer
//! adds and takes names one by one, so the meet over all paths is exactly what
//! the worklist finds.

use std::collections::BTreeSet;

use super::plan::{Exit, Node, Plan, Way};
use super::set::Set;
use crate::procedure::Outcome;

/// What is known at one point of a step.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Facts {
    /// Conditions that hold on every path.
    pub(super) held: Set,
    /// Duties owed on some path.
    pub(super) owed: Set,
    /// Readings and workings that have a value on every path.
    pub(super) known: Set,
    /// As-left readings that, on some path, have no value although their setting
    /// was changed on that path.
    pub(super) left_open: Set,
    /// As-left readings that, on some path, have a value and their setting was
    /// changed on that path.
    pub(super) left_taken: Set,
}

impl Facts {
    /// After the effects of entering (S2).
    pub(super) fn entered(&self, node: &Node) -> Self {
        let mut facts = self.clone();
        facts.held.remove_all(&node.clears);
        facts.owed.insert_all(&node.incurs);
        facts.known.remove_all(&node.forgets);
        shift(&mut facts.left_taken, &mut facts.left_open, &node.forgets);
        facts.left_taken.remove_all(&node.as_left);
        facts.left_open.insert_all(&node.as_left);
        facts
    }

    /// After an exit; `self` is what was known on arrival, `entered` after the
    /// effects of entering.
    fn left(&self, entered: &Self, node: &Node, exit: &Exit, fleeting: &Set) -> Self {
        match exit.way {
            Way::Stop => Self {
                held: Set::default(),
                ..entered.clone()
            },
            Way::HandOver => self.clone(),
            Way::Choice(_) | Way::Outcome(_) => {
                let mut facts = entered.clone();
                facts.known.insert_all(&node.takes);
                shift(&mut facts.left_open, &mut facts.left_taken, &node.takes);
                facts.held.subtract(fleeting);
                facts.held.insert_all(&exit.establishes);
                facts.owed.insert_all(&exit.incurs);
                if matches!(exit.way, Way::Choice(_) | Way::Outcome(Outcome::Pass)) {
                    facts.owed.remove_all(&exit.settles);
                }
                facts
            }
        }
    }

    /// Takes in another path; tells whether anything changed.
    fn meet(&mut self, other: &Self) -> bool {
        let mut changed = self.held.intersect(&other.held);
        changed |= self.owed.unite(&other.owed);
        changed |= self.known.intersect(&other.known);
        changed |= self.left_open.unite(&other.left_open);
        changed | self.left_taken.unite(&other.left_taken)
    }
}

/// Moves those of `members` that are in `from` to `to`.
fn shift(from: &mut Set, to: &mut Set, members: &[usize]) {
    for member in members.iter().copied() {
        if from.contains(member) {
            from.remove(member);
            to.insert(member);
        }
    }
}

/// The facts on arrival at each step; `None` where no way leads.
pub(super) fn run(plan: &Plan<'_>) -> Vec<Option<Facts>> {
    let rank = ranks(plan);
    let mut facts: Vec<Option<Facts>> = vec![None; plan.nodes.len()];
    let mut work = BTreeSet::new();
    if let Some(first) = facts.first_mut() {
        *first = Some(Facts::default());
        work.insert((0, 0));
    }
    while let Some((_, at)) = work.pop_first() {
        let (Some(node), Some(Some(arrived))) = (plan.nodes.get(at), facts.get(at)) else {
            continue;
        };
        let arrived = arrived.clone();
        let entered = arrived.entered(node);
        for exit in &node.exits {
            let out = arrived.left(&entered, node, exit, &plan.fleeting);
            let Some(slot) = facts.get_mut(exit.to) else {
                continue;
            };
            let changed = if let Some(known) = slot {
                known.meet(&out)
            } else {
                *slot = Some(out);
                true
            };
            if changed {
                work.insert((rank.get(exit.to).copied().unwrap_or(0), exit.to));
            }
        }
    }
    facts
}

/// The place of each step in reverse postorder from the first: a step comes after
/// all that lead to it, loops apart, so that most steps are looked at once.
fn ranks(plan: &Plan<'_>) -> Vec<usize> {
    let mut rank = vec![usize::MAX; plan.nodes.len()];
    let mut seen = vec![false; plan.nodes.len()];
    let mut next = plan.nodes.len();
    let mut path = vec![(0, 0)];
    seen.first_mut().into_iter().for_each(|s| *s = true);
    while let Some((at, exit)) = path.last_mut() {
        let Some(node) = plan.nodes.get(*at) else {
            break;
        };
        if let Some(exit_now) = node.exits.get(*exit) {
            *exit += 1;
            if let Some(new) = seen.get_mut(exit_now.to).filter(|s| !**s) {
                *new = true;
                path.push((exit_now.to, 0));
            }
        } else {
            next -= 1;
            rank.get_mut(*at).into_iter().for_each(|r| *r = next);
            path.pop();
        }
    }
    rank
}

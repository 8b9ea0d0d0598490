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

    /// Once the step has an outcome, before what the exit itself does.
    fn taken(mut self, node: &Node, fleeting: &Set) -> Self {
        self.known.insert_all(&node.takes);
        shift(&mut self.left_open, &mut self.left_taken, &node.takes);
        self.held.subtract(fleeting);
        self
    }

    /// After an outcome or choice.
    fn left(mut self, exit: &Exit) -> Self {
        self.held.insert_all(&exit.establishes);
        self.owed.insert_all(&exit.incurs);
        if matches!(
            exit.way,
            Way::Choice(_) | Way::Door(_) | Way::Outcome(Outcome::Pass)
        ) {
            self.owed.remove_all(&exit.settles);
        }
        self
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
        let mut outs: Vec<(usize, Facts)> = Vec::with_capacity(node.exits.len());
        let mut entered = arrived.entered(node);
        for exit in node.exits.iter().filter(|e| e.way == Way::HandOver) {
            outs.push((exit.to, arrived.clone()));
        }
        let mut changed = Vec::new();
        // Most steps have a stop edge, and mostly it tells nothing new: it is met
        // without a copy. Nothing holds after it.
        let held = std::mem::take(&mut entered.held);
        for exit in node.exits.iter().filter(|e| e.way == Way::Stop) {
            changed.extend(arrive(&mut facts, exit.to, &entered).then_some(exit.to));
        }
        entered.held = held;
        let mut left = Some(entered.taken(node, &plan.fleeting));
        for exit in &node.exits {
            if let (Way::Door(_), Some(left)) = (exit.way, &left) {
                let mut out = left.clone().left(exit);
                out.held = Set::default();
                outs.push((exit.to, out));
            }
        }
        let mut drawn = node.exits.iter().filter(|e| e.is_drawn()).peekable();
        while let Some(exit) = drawn.next() {
            let out = match drawn.peek() {
                Some(_) => left.clone(),
                None => left.take(),
            };
            outs.extend(out.map(|facts| (exit.to, facts.left(exit))));
        }
        for (to, out) in outs {
            changed.extend(bring(&mut facts, to, out).then_some(to));
        }
        work.extend(
            changed
                .into_iter()
                .map(|to| (rank.get(to).copied().unwrap_or(0), to)),
        );
    }
    facts
}

/// Meets what a path brings to a step; tells whether anything changed.
fn arrive(facts: &mut [Option<Facts>], to: usize, out: &Facts) -> bool {
    match facts.get_mut(to) {
        Some(Some(known)) => known.meet(out),
        Some(slot @ None) => {
            *slot = Some(out.clone());
            true
        }
        None => false,
    }
}

/// As [`arrive`], for facts that are given away.
fn bring(facts: &mut [Option<Facts>], to: usize, out: Facts) -> bool {
    match facts.get_mut(to) {
        Some(slot @ None) => {
            *slot = Some(out);
            true
        }
        Some(Some(_)) | None => arrive(facts, to, &out),
    }
}

/// The place of each step in reverse postorder from the first: a step comes after
/// all that lead to it, loops apart, so that most steps are looked at once.
fn ranks(plan: &Plan<'_>) -> Vec<usize> {
    if plan.leads_on() {
        return (0..plan.nodes.len()).collect();
    }
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

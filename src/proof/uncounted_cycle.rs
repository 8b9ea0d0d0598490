//! Finding 4, second part: a cycle that a job may go round for ever.
//!
//! A cycle is bounded if one of its ways can be taken only so many times: a bad
//! outcome of a step with tries, or a choice with tries. Without those ways, and
//! without stop work, the steps reached must have no cycle; then every job ends,
//! whatever is answered. `spent` does not count: once the tries are used, it may
//! come again and again.

use std::collections::{BTreeMap, VecDeque};

use super::flow::Facts;
use super::plan::{Exit, Plan};
use super::trail::{cut, leg, title};
use super::word;
use crate::finding::Finding;

pub(super) fn find(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Finding> {
    if plan.leads_on() {
        return Vec::new();
    }
    let group = groups(plan, facts);
    // For each group, under its root, its first step and how many it has.
    let mut sizes = vec![(0, 0); group.len()];
    for (at, root) in group.iter().enumerate() {
        if let Some((first, size)) = root.and_then(|root| sizes.get_mut(root)) {
            if *size == 0 {
                *first = at;
            }
            *size += 1;
        }
    }
    let alone = |at: usize| open_exits(plan, at).all(|exit| exit.to != at);
    let mut findings = Vec::new();
    for (first, size) in sizes {
        if size == 0 || (size == 1 && alone(first)) {
            continue;
        }
        let Some(cycle) = shortest_cycle(plan, &group, first) else {
            continue;
        };
        let Some(step) = plan.step(first) else {
            continue;
        };
        let sentence = format!(
            "a job can go round {} for ever: no way of this cycle is counted",
            word::step(step)
        );
        let finding = word::at_step("cycle-uncounted", step, sentence)
            .along(cycle)
            .help("give tries to a step whose bad outcome leads back, or to the choice that does");
        let finding = if size > 1 {
            finding.help(format!("{size} steps lie on such cycles together"))
        } else {
            finding
        };
        findings.push(finding);
    }
    findings
}

fn open_exits<'a>(plan: &'a Plan<'_>, at: usize) -> impl Iterator<Item = &'a Exit> {
    let exits = plan.nodes.get(at).map_or(&[][..], |n| &n.exits);
    exits.iter().filter(|e| e.is_drawn() && !e.counted)
}

/// One step of the depth-first search.
struct Visit {
    at: usize,
    next: usize,
}

/// What the search has seen of each step.
struct Search {
    number: Vec<Option<usize>>,
    low: Vec<usize>,
    open: Vec<usize>,
    group: Vec<Option<usize>>,
    count: usize,
}

impl Search {
    fn begin(&mut self, at: usize) -> Visit {
        self.number
            .get_mut(at)
            .into_iter()
            .for_each(|n| *n = Some(self.count));
        self.low
            .get_mut(at)
            .into_iter()
            .for_each(|l| *l = self.count);
        self.count += 1;
        self.open.push(at);
        Visit { at, next: 0 }
    }

    fn lower(&mut self, at: usize, to: usize) {
        self.low
            .get_mut(at)
            .into_iter()
            .for_each(|l| *l = (*l).min(to));
    }

    fn low_of(&self, at: usize) -> usize {
        self.low.get(at).copied().unwrap_or(usize::MAX)
    }

    /// Closes a group if `at` is its first step.
    fn finish(&mut self, at: usize) {
        if self.number.get(at).copied().flatten() != Some(self.low_of(at)) {
            return;
        }
        while let Some(member) = self.open.pop() {
            self.group
                .get_mut(member)
                .into_iter()
                .for_each(|g| *g = Some(at));
            if member == at {
                return;
            }
        }
    }
}

/// The strongly connected group of every step that is reached, over uncounted
/// ways, named by one of its steps (Tarjan 1972, without recursion).
fn groups(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Option<usize>> {
    let size = plan.nodes.len();
    let mut search = Search {
        number: vec![None; size],
        low: vec![usize::MAX; size],
        open: Vec::new(),
        group: vec![None; size],
        count: 0,
    };
    let reached = facts.iter().enumerate().filter(|(_, f)| f.is_some());
    for (root, _) in reached {
        if search.number.get(root).copied().flatten().is_some() {
            continue;
        }
        let mut path = vec![search.begin(root)];
        while let Some(visit) = path.last_mut() {
            let at = visit.at;
            let exit = open_exits(plan, at).nth(visit.next).map(|e| e.to);
            visit.next += 1;
            let Some(to) = exit else {
                search.finish(at);
                path.pop();
                if let Some(under) = path.last() {
                    let low = search.low_of(at);
                    search.lower(under.at, low);
                }
                continue;
            };
            match search.number.get(to).copied().flatten() {
                None => path.push(search.begin(to)),
                Some(number) if search.group.get(to).copied().flatten().is_none() => {
                    search.lower(at, number);
                }
                Some(_) => {}
            }
        }
    }
    search.group
}

/// The titles round the shortest cycle through `first` within its group.
fn shortest_cycle(plan: &Plan<'_>, group: &[Option<usize>], first: usize) -> Option<Vec<String>> {
    let mut came = BTreeMap::new();
    let mut open = VecDeque::from([first]);
    while let Some(at) = open.pop_front() {
        for exit in open_exits(plan, at).filter(|e| group.get(e.to) == group.get(first)) {
            came.entry(exit.to).or_insert_with(|| {
                open.push_back(exit.to);
                (at, exit.way)
            });
        }
        if came.contains_key(&first) {
            break;
        }
    }
    let mut titles = vec![title(plan, first)];
    let mut spot = first;
    loop {
        let (from, way) = came.get(&spot)?;
        titles.push(leg(plan, *from, *way));
        spot = *from;
        if spot == first {
            titles.reverse();
            return Some(cut(titles));
        }
    }
}

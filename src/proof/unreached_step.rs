//! Finding 4, first part: steps to which nothing leads, and steps from which,
//! without stop work, no end is reached.

use super::flow::Facts;
use super::plan::Plan;
use super::trail::{Track, Trails};
use super::word;
use crate::finding::Finding;
use crate::procedure::Body;

/// Follows no name: paths only.
struct Nothing;

impl Track for Nothing {
    const MARKS: u8 = 0;

    fn enter(&self, _: usize, state: u8) -> u8 {
        state
    }

    fn leave(&self, _: usize, _: &super::plan::Exit, state: u8) -> u8 {
        state
    }
}

pub(super) fn find(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Finding> {
    let mut findings = Vec::new();
    let ending = ending(plan);
    let mut trails = None;
    for ((at, step, _), facts) in plan.all().zip(facts) {
        if facts.is_none() {
            let sentence = format!("no way leads to {}", word::step(step));
            let finding = word::at_step("step-unreached", step, sentence);
            findings.push(finding.help("lead a way there, or take the step out"));
        } else if !ending.get(at).copied().unwrap_or(false) {
            let sentence = format!("from {} no end can be reached", word::step(step));
            let trails = trails.get_or_insert_with(|| Trails::new(plan, Nothing));
            let finding = word::at_step("step-trapped", step, sentence)
                .along(trails.to(at, |_, _| true))
                .help("lead some way of it, or of a step after it, on towards an end");
            findings.push(finding);
        }
    }
    findings
}

/// For each step, whether its own ways can lead to an end.
fn ending(plan: &Plan<'_>) -> Vec<bool> {
    // For each step those that lead to it, in one row: where each one's part begins
    // is the sum of the parts before.
    let mut begin = vec![0; plan.nodes.len() + 1];
    let mut open = Vec::new();
    for (at, step, node) in plan.all() {
        if matches!(step.body, Body::End(_)) {
            open.push(at);
        }
        for exit in node.exits.iter().filter(|e| e.is_drawn()) {
            begin.get_mut(exit.to).into_iter().for_each(|n| *n += 1);
        }
    }
    let mut sum = 0;
    for slot in &mut begin {
        sum += *slot;
        *slot = sum;
    }
    let mut back = vec![0; sum];
    for (at, _, node) in plan.all() {
        for exit in node.exits.iter().filter(|e| e.is_drawn()) {
            if let Some(slot) = begin.get_mut(exit.to) {
                *slot -= 1;
                back.get_mut(*slot).into_iter().for_each(|b| *b = at);
            }
        }
    }
    let mut ending = vec![false; plan.nodes.len()];
    while let Some(at) = open.pop() {
        if let Some(mark) = ending.get_mut(at).filter(|m| !**m) {
            *mark = true;
            if let (Some(from), Some(to)) = (begin.get(at), begin.get(at + 1)) {
                open.extend(back.get(*from..*to).unwrap_or_default());
            }
        }
    }
    ending
}

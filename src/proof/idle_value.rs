//! Finding 7, second part: a value that nothing judges, uses or asks to keep.
//!
//! As-found and as-left readings are asked for by every change of their setting,
//! and the zero of an instrument goes into its uncertainty: both are kept.

use std::collections::BTreeSet;

use super::missing_value::judged;
use super::plan::Plan;
use super::set::Set;
use super::word;
use crate::finding::{Code, Finding};
use crate::procedure::{Procedure, Reading, ValueId, WorkInput};

pub(super) fn find(plan: &Plan<'_>) -> Vec<Finding> {
    let procedure = plan.procedure;
    let used = used(procedure);
    let taken = taken(plan);
    let is_taken = |id| plan.values.number(id).is_some_and(|n| taken.contains(n));
    let readings = procedure.readings.iter().filter(|(_, r)| !is_kept(r));
    let workings = procedure.workings.iter().filter(|(_, w)| !w.for_record);
    let names = readings.map(|(id, _)| id).chain(workings.map(|(id, _)| id));
    let mut findings = Vec::new();
    for id in names.filter(|id| is_taken(id) && !used.contains(id)) {
        let sentence = format!(
            "nothing judges or uses {}, and nothing asks to keep it",
            word::value(procedure, id)
        );
        let subject = word::value_subject(procedure, id);
        let finding = Finding::error(Code::new("value-idle"), subject, sentence);
        let help =
            "put a limit on it, use it in a sum, mark it \"for\": \"record\", or don't ask for it";
        findings.push(finding.help(help));
    }
    findings
}

const fn is_kept(reading: &Reading) -> bool {
    reading.for_record || reading.zero_check || (reading.of.is_some() && reading.when.is_some())
}

/// Values that a limit judges or a working takes in.
fn used(procedure: &Procedure) -> BTreeSet<&ValueId> {
    let asks = procedure.conditions.values().filter_map(|c| c.ask.as_ref());
    let limits = asks.flat_map(|a| &a.limits);
    let limits = limits.chain(procedure.steps.iter().flat_map(|s| &s.limits));
    let mut used: BTreeSet<&ValueId> = limits.flat_map(|l| judged(&l.subject)).collect();
    for input in procedure.workings.values().flat_map(|w| &w.inputs) {
        if let WorkInput::Value(id) | WorkInput::Series(id) = input {
            used.insert(id);
        }
    }
    used
}

/// Values that some step, question or series takes.
pub(super) fn taken(plan: &Plan<'_>) -> Set {
    let mut taken = Set::default();
    for node in &plan.nodes {
        taken.insert_all(&node.takes);
    }
    let mut take = |id: &ValueId| taken.insert_all(plan.values.number(id).as_slice());
    for condition in plan.procedure.conditions.values() {
        let asked = condition.ask.iter().filter_map(|a| a.reading.as_ref());
        asked.for_each(&mut take);
        let series = condition.series.iter().flat_map(|s| &s.readings);
        series.for_each(&mut take);
    }
    taken
}

//! Names that lead nowhere.
//!
//! A procedure read from a document has none. One put together otherwise may, and
//! a way or a need left out of account unseen would make the proof worthless.

use std::fmt::Display;

use super::missing_value::judged;
use super::plan::Plan;
use super::word;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{Procedure, Step, Subject as Judged, ValueId, WorkInput};

pub(super) fn find(plan: &Plan<'_>) -> Vec<Finding> {
    let procedure = plan.procedure;
    let mut findings = Vec::new();
    let stops = procedure.phases.iter().map(|p| &p.stop);
    for to in stops.chain(&procedure.hand_over) {
        if plan.steps.number(to).is_none() {
            let sentence = format!("stop work or a handing over leads to {to}, which is no step");
            findings.push(unknown("unknown-step", Subject::Document, sentence));
        }
    }
    let has_twins = plan.steps.has_twins();
    for (at, step, node) in plan.all() {
        if has_twins && plan.steps.number(&step.id) != Some(at) {
            let sentence = format!("two steps are named {}", step.id);
            findings.push(unknown("duplicate-name", Subject::step(&step.id), sentence));
        }
        if !node.has_unknown {
            continue;
        }
        for name in names_of(plan, step) {
            let sentence = format!("{} names {name}, which is not declared", word::step(step));
            let code = "unknown-name";
            findings.push(unknown(code, Subject::step(&step.id), sentence));
        }
    }
    for name in declared_names(plan) {
        let sentence = format!("a declaration names {name}, which is not declared");
        findings.push(unknown("unknown-name", Subject::Document, sentence));
    }
    findings
}

fn unknown(code: &'static str, subject: Subject, sentence: String) -> Finding {
    Finding::error(Code::new(code), subject, sentence).help("declare it, or correct the name")
}

/// Adds those of `names` that `known` does not accept.
fn add<'n, T: Display + 'n>(
    unknown: &mut Vec<String>,
    names: impl IntoIterator<Item = &'n T>,
    known: impl Fn(&T) -> bool,
) {
    let missing = names.into_iter().filter(|name| !known(name));
    unknown.extend(missing.map(ToString::to_string));
}

/// The unknown names in one step.
fn names_of(plan: &Plan<'_>, step: &Step) -> Vec<String> {
    let procedure = plan.procedure;
    let mut unknown = Vec::new();
    if procedure.phase_of(step).is_none() {
        unknown.push(format!("phase number {}", step.phase));
    }
    let choices = step.choices();
    let conditions = step.needs.iter().chain(&step.clears);
    let ages = step.limits.iter().filter_map(|l| match &l.subject {
        Judged::Age(id) => Some(id),
        Judged::Value(_) | Judged::Difference(..) => None,
    });
    let conditions = conditions.chain(step.may_establish()).chain(ages);
    add(&mut unknown, conditions, |c| {
        procedure.conditions.contains_key(c)
    });
    let duties = step.incurs.iter().chain(&step.settles);
    let of_choices = choices
        .iter()
        .flat_map(|c| c.incurs.iter().chain(&c.settles));
    let duties = duties.chain(of_choices);
    add(&mut unknown, duties, |d| procedure.duties.contains_key(d));
    add(&mut unknown, &step.acts, |a| procedure.acts.contains_key(a));
    add(&mut unknown, &step.hazards, |h| {
        procedure.hazards.contains_key(h)
    });
    add(&mut unknown, &step.changes, |s| {
        procedure.settings.contains_key(s)
    });
    add(&mut unknown, &step.readings, |v| {
        procedure.readings.contains_key(v)
    });
    add(&mut unknown, &step.works, |v| {
        procedure.workings.contains_key(v)
    });
    let subjects = step.limits.iter().flat_map(|l| judged(&l.subject));
    add(&mut unknown, subjects, |v| is_value(procedure, v));
    add(&mut unknown, step.targets(), |to| {
        plan.steps.number(to).is_some()
    });
    unknown
}

/// The unknown names in the declarations.
fn declared_names(plan: &Plan<'_>) -> Vec<String> {
    let procedure = plan.procedure;
    let mut unknown = Vec::new();
    let groups = procedure.exclusive.iter().flatten();
    let conditions = plan.protective.iter().copied().chain(groups);
    let clears = procedure.acts.values().flat_map(|a| &a.clears);
    let conditions = conditions.chain(clears);
    add(&mut unknown, conditions, |c| {
        procedure.conditions.contains_key(c)
    });
    let hazards = procedure.acts.values().flat_map(|a| &a.hazards);
    add(&mut unknown, hazards, |h| procedure.hazards.contains_key(h));
    let by = procedure.conditions.values().flat_map(|c| &c.by);
    add(&mut unknown, by, |a| procedure.acts.contains_key(a));
    let changes = procedure.acts.values().flat_map(|a| &a.changes);
    let settings = changes.chain(procedure.readings.values().filter_map(|r| r.of.as_ref()));
    add(&mut unknown, settings, |s| {
        procedure.settings.contains_key(s)
    });
    let inputs = procedure.workings.values().flat_map(|w| &w.inputs);
    let inputs = inputs.filter_map(|input| match input {
        WorkInput::Value(id) | WorkInput::Series(id) => Some(id),
        WorkInput::Sheet(_) | WorkInput::Literal(_) | WorkInput::Word(_) => None,
    });
    add(&mut unknown, inputs, |v| is_value(procedure, v));
    unknown
}

fn is_value(procedure: &Procedure, id: &ValueId) -> bool {
    procedure.readings.contains_key(id) || procedure.workings.contains_key(id)
}

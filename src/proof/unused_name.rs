//! Finding 8: names that are declared and never used, as warnings.

use std::collections::BTreeSet;

use super::idle_value::taken;
use super::plan::Plan;
use super::set::Set;
use super::word;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{
    Body, Confirm, Limit, Procedure, SheetKey, Side, Step, Subject as Judged, WorkInput, sheet_keys,
};

pub(super) fn find(plan: &Plan<'_>) -> Vec<Finding> {
    let mut findings = unneeded_conditions(plan);
    findings.extend(untaken_values(plan));
    findings.extend(unused_doings(plan));
    findings.extend(unread_keys(plan.procedure));
    findings
}

fn unused(subject: Subject, what: &str) -> Finding {
    let sentence = format!("{what} is declared and never used");
    let finding = Finding::warning(Code::new("name-unused"), subject, sentence);
    finding.help("use it, or take it out")
}

fn unneeded_conditions(plan: &Plan<'_>) -> Vec<Finding> {
    let procedure = plan.procedure;
    let (mut needed, mut made) = (Set::default(), Set::default());
    for (_, step, node) in plan.all() {
        needed.insert_all(&node.entry_needs);
        for exit in &node.exits {
            made.insert_all(&exit.establishes);
        }
        for limit in &step.limits {
            if let Judged::Age(id) = &limit.subject {
                needed.insert_all(plan.conditions.number(id).as_slice());
            }
        }
    }
    for id in &plan.protective {
        needed.insert_all(plan.conditions.number(id).as_slice());
    }
    let mut findings = Vec::new();
    for id in procedure.conditions.keys() {
        let number = plan.conditions.number(id);
        if number.is_none_or(|n| needed.contains(n)) {
            continue;
        }
        let what = word::condition(procedure, id);
        let subject = Subject::Condition(id.to_string());
        if number.is_some_and(|n| !made.contains(n)) {
            findings.push(unused(subject, &format!("the condition {what}")));
            continue;
        }
        let sentence = format!("the condition {what} is established, but nothing needs it");
        let finding = Finding::warning(Code::new("condition-unneeded"), subject, sentence);
        findings.push(finding.help("name it where it must hold, or take it out"));
    }
    findings
}

fn untaken_values(plan: &Plan<'_>) -> Vec<Finding> {
    let procedure = plan.procedure;
    let taken = taken(plan);
    let names = procedure.readings.keys().chain(procedure.workings.keys());
    let is_taken = |id| plan.values.number(id).is_some_and(|n| taken.contains(n));
    let untaken = names.filter(|id| !is_taken(id));
    let finding = |id| {
        let what = word::value(procedure, id);
        unused(word::value_subject(procedure, id), &what)
    };
    untaken.map(finding).collect()
}

fn unused_doings(plan: &Plan<'_>) -> Vec<Finding> {
    let procedure = plan.procedure;
    let mut acts = BTreeSet::new();
    let mut hazards = BTreeSet::new();
    let mut changes = BTreeSet::new();
    for (_, step, _) in plan.all() {
        let done = plan.done(step);
        acts.extend(done.acts);
        hazards.extend(done.hazards);
        changes.extend(done.changes);
    }
    let read = procedure.readings.values();
    changes.extend(read.clone().filter_map(|r| r.of.as_ref()));
    let roles: BTreeSet<_> = read.filter_map(|r| r.role.as_ref()).collect();
    let mut findings = Vec::new();
    // A movement that no step does is an error; the rules of documents tell it.
    let idle = procedure.acts.iter().filter(|(_, act)| !act.moves);
    for id in idle.map(|(id, _)| id).filter(|id| !acts.contains(id)) {
        let what = format!("the act {}", word::act(procedure, id));
        findings.push(unused(Subject::Act(id.to_string()), &what));
    }
    for id in procedure.hazards.keys().filter(|id| !hazards.contains(id)) {
        let what = format!("the hazard {}", word::hazard(procedure, id));
        findings.push(unused(Subject::Hazard(id.to_string()), &what));
    }
    for id in procedure.settings.keys().filter(|id| !changes.contains(id)) {
        let what = format!("the setting {}", word::setting(procedure, id));
        findings.push(unused(Subject::Setting(id.to_string()), &what));
    }
    for (id, role) in procedure.roles.iter().filter(|(id, _)| !roles.contains(id)) {
        let what = format!("the role {}", word::named(&role.title, id));
        findings.push(unused(Subject::Role(id.to_string()), &what));
    }
    findings
}

/// Values of the sheet that are asked for, and that no limit, sum, look or text uses.
fn unread_keys(procedure: &Procedure) -> Vec<Finding> {
    let mut read: BTreeSet<&str> = BTreeSet::new();
    for step in &procedure.steps {
        read.extend(step_sides(step).filter_map(key).map(SheetKey::as_str));
        if let Body::Look {
            by_sheet: Some(key),
            ..
        } = &step.body
        {
            read.insert(key.as_str());
        }
        let lines = step.instructions.iter().chain(&step.see).chain(&step.why);
        let ticks = step.ticks.iter().map(|t| &t.text);
        let lines = lines.chain(ticks);
        let lines = lines.chain(step.choices().iter().map(|c| &c.text));
        read.extend(lines.flat_map(|line| sheet_keys(line)));
    }
    let asks = procedure.conditions.values().filter_map(|c| c.ask.as_ref());
    let sides = asks.flat_map(|a| &a.limits).flat_map(sides);
    let plausible = procedure
        .readings
        .values()
        .filter_map(|r| r.plausible.as_ref());
    let sides = sides.chain(plausible.flat_map(|(low, high)| [low, high]));
    read.extend(sides.filter_map(key).map(SheetKey::as_str));
    for input in procedure.workings.values().flat_map(|w| &w.inputs) {
        if let WorkInput::Sheet(key) = input {
            read.insert(key.as_str());
        }
    }
    let avoid = procedure.hazards.values().flat_map(|h| &h.avoid);
    let cards = procedure.phases.iter().flat_map(|p| &p.stop_card);
    read.extend(avoid.chain(cards).flat_map(|line| sheet_keys(line)));
    let unread = procedure
        .sheet
        .keys()
        .filter(|k| !read.contains(k.as_str()));
    let finding = |key: &SheetKey| {
        let what = format!("the sheet value {key}");
        unused(Subject::SheetNeed(key.to_string()), &what)
    };
    unread.map(finding).collect()
}

fn sides(limit: &Limit) -> Vec<&Side> {
    limit.bound.sides()
}

fn step_sides(step: &Step) -> impl Iterator<Item = &Side> {
    let confirm = match step.confirm() {
        Confirm::Pulse { within, .. } => vec![within],
        Confirm::Wait { at_least, at_most } => at_most.iter().chain([at_least]).collect(),
        Confirm::None | Confirm::Enter | Confirm::Hold { .. } => Vec::new(),
    };
    step.limits.iter().flat_map(sides).chain(confirm)
}

const fn key(side: &Side) -> Option<&SheetKey> {
    match side {
        Side::Sheet(key) => Some(key),
        Side::Literal(_) => None,
    }
}

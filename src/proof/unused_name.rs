//! Finding 8: names that are declared and never used, as warnings.

use std::collections::BTreeSet;

use super::idle_value::taken;
use super::plan::Plan;
use super::word;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{Procedure, Subject as Judged};

pub(super) fn find(plan: &Plan<'_>) -> Vec<Finding> {
    let mut findings = unneeded_conditions(plan);
    findings.extend(untaken_values(plan.procedure));
    findings.extend(unused_doings(plan));
    findings
}

fn unused(subject: Subject, what: &str) -> Finding {
    let sentence = format!("{what} is declared and never used");
    let finding = Finding::warning(Code::new("name-unused"), subject, sentence);
    finding.help("use it, or take it out")
}

fn unneeded_conditions(plan: &Plan<'_>) -> Vec<Finding> {
    let procedure = plan.procedure;
    let steps = procedure.steps.iter();
    let mut needed: BTreeSet<_> = steps.clone().flat_map(|s| &s.needs).collect();
    needed.extend(&plan.protective);
    for limit in steps.clone().flat_map(|s| &s.limits) {
        if let Judged::Age(id) = &limit.subject {
            needed.insert(id);
        }
    }
    let made: BTreeSet<_> = steps.flat_map(|s| s.may_establish()).collect();
    let mut findings = Vec::new();
    for id in procedure
        .conditions
        .keys()
        .filter(|id| !needed.contains(id))
    {
        let what = word::condition(procedure, id);
        let subject = Subject::Condition(id.to_string());
        if !made.contains(id) {
            findings.push(unused(subject, &format!("the condition {what}")));
            continue;
        }
        let sentence = format!("the condition {what} is established, but nothing needs it");
        let finding = Finding::warning(Code::new("condition-unneeded"), subject, sentence);
        findings.push(finding.help("name it where it must hold, or take it out"));
    }
    findings
}

fn untaken_values(procedure: &Procedure) -> Vec<Finding> {
    let taken = taken(procedure);
    let names = procedure.readings.keys().chain(procedure.workings.keys());
    let untaken = names.filter(|id| !taken.contains(id));
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
    for id in procedure.acts.keys().filter(|id| !acts.contains(id)) {
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

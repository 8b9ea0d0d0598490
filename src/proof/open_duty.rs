//! Finding 2: duties that a complete end would leave owed, and duties that are
//! paid where they can't be owed or lack one of their two sides.

use std::collections::{BTreeMap, BTreeSet};

use super::flow::Facts;
use super::plan::{Exit, Plan, Way};
use super::trail::{Owed, Trails};
use super::word;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{Body, EndKind, Step};

pub(super) fn find(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Finding> {
    let mut findings = owed_at_complete(plan, facts);
    findings.extend(settles_nothing(plan, facts));
    findings.extend(one_sided(plan));
    findings
}

fn owed_at_complete(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Finding> {
    let mut open: BTreeMap<usize, Vec<(usize, &Step)>> = BTreeMap::new();
    for ((at, step, node), facts) in plan.all().zip(facts) {
        if let (Some(facts), Body::End(EndKind::Complete)) = (facts, &step.body) {
            for duty in facts.entered(node).owed.iter() {
                open.entry(duty).or_default().push((at, step));
            }
        }
    }
    let mut findings = Vec::new();
    for (duty, ends) in open {
        let Some(id) = plan.duties.name(duty) else {
            continue;
        };
        let what = word::duty(plan.procedure, id);
        let trails = Trails::new(plan, Owed { plan, duty });
        for (at, step) in ends {
            let sentence = format!(
                "{} says all is done, but {what} may still be owed there",
                word::step(step)
            );
            let finding = word::at_step("duty-owed-at-complete", step, sentence)
                .along(trails.to(at, |_, entered| entered == 1))
                .help("settle it on this way, or lead the way to an end that hands it over");
            findings.push(finding);
        }
    }
    findings
}

fn settles_nothing(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for ((_, step, node), facts) in plan.all().zip(facts) {
        let Some(facts) = facts else { continue };
        if node.exits.iter().all(|exit| exit.settles.is_empty()) {
            continue;
        }
        let owed = facts.entered(node).owed;
        for exit in node.exits.iter().filter(|e| e.is_drawn()) {
            for duty in &exit.settles {
                let can_be_owed = owed.contains(*duty) || exit.incurs.contains(duty);
                if let (false, Some(id)) = (can_be_owed, plan.duties.name(*duty)) {
                    let sentence = format!(
                        "{} settles {}, but on no way is it owed there",
                        word::step(step),
                        word::duty(plan.procedure, id)
                    );
                    let subject = exit_subject(step, exit);
                    let finding = Finding::error(Code::new("settles-nothing"), subject, sentence);
                    let help = "incur it where it begins to be owed, or take the settling out";
                    findings.push(finding.help(help));
                }
            }
        }
    }
    findings
}

fn exit_subject(step: &Step, exit: &Exit) -> Subject {
    match exit.way {
        Way::Choice(at) => step.choices().get(at).map_or_else(
            || Subject::step(&step.id),
            |c| Subject::choice(&step.id, &c.id),
        ),
        Way::Outcome(_) | Way::Stop | Way::Door(_) | Way::HandOver => Subject::step(&step.id),
    }
    .field("settles")
}

fn one_sided(plan: &Plan<'_>) -> Vec<Finding> {
    let mut incurred: BTreeSet<usize> = BTreeSet::new();
    let mut settled = BTreeSet::new();
    for (_, _, node) in plan.all() {
        incurred.extend(&node.incurs);
        for exit in &node.exits {
            incurred.extend(&exit.incurs);
            settled.extend(exit.settles.iter().copied());
        }
    }
    let mut findings = Vec::new();
    for (number, id) in (0..plan.duties.len()).filter_map(|n| Some((n, plan.duties.name(n)?))) {
        let (code, gap, help) = match (incurred.contains(&number), settled.contains(&number)) {
            (true, true) => continue,
            (true, false) => (
                "duty-never-settled",
                "is incurred but never settled",
                "name it under settles of the step that pays it",
            ),
            (false, true) => (
                "duty-never-incurred",
                "is settled but never incurred",
                "name it under incurs of the step from which it is owed",
            ),
            (false, false) => (
                "duty-never-incurred",
                "is neither incurred nor settled anywhere",
                "name it under incurs and settles, or take it out",
            ),
        };
        let sentence = format!("the duty {} {gap}", word::duty(plan.procedure, id));
        let subject = Subject::Duty(id.to_string());
        findings.push(Finding::error(Code::new(code), subject, sentence).help(help));
    }
    findings
}

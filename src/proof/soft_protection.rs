//! A step that makes true what protects people must not be got round: its limits
//! are interlocks (S14), and none of its ticks may be "does not apply" (S12).

use super::plan::Plan;
use super::word;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{ConditionId, Grade, Step};

pub(super) fn find(plan: &Plan<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, step, _) in plan.all() {
        let made = step.may_establish();
        let protects = made.into_iter().find(|c| plan.protective.contains(*c));
        if let Some(condition) = protects {
            findings.extend(soft_limits(plan, step, condition));
            findings.extend(soft_ticks(plan, step, condition));
        }
    }
    findings
}

fn soft_limits(plan: &Plan<'_>, step: &Step, condition: &ConditionId) -> Vec<Finding> {
    let limits = step.limits.iter().enumerate();
    let soft = limits.filter(|(_, l)| l.grade == Grade::Advice);
    let finding = |(index, _)| {
        let sentence = format!(
            "{} establishes {}, which protects people, but this limit may be overridden",
            word::step(step),
            word::condition(plan.procedure, condition)
        );
        let subject = Subject::limit(&step.id, index);
        Finding::error(Code::new("protection-overridable"), subject, sentence)
            .help("make the limit an interlock, or judge it in another step")
    };
    soft.map(finding).collect()
}

fn soft_ticks(plan: &Plan<'_>, step: &Step, condition: &ConditionId) -> Vec<Finding> {
    let soft = step.ticks.iter().filter(|t| t.may_not_apply);
    let finding = |tick: &crate::procedure::Tick| {
        let sentence = format!(
            "{} establishes {}, which protects people, but \"{}\" may be passed as not applying",
            word::step(step),
            word::condition(plan.procedure, condition),
            tick.text
        );
        let subject = Subject::tick(&step.id, &tick.id);
        Finding::error(Code::new("protection-may-not-apply"), subject, sentence)
            .help("a look that decides whether it applies, and a step of its own, say it plainly")
    };
    soft.map(finding).collect()
}

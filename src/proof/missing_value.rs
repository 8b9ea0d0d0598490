//! Finding 3: a reading or working is used where it may have no value.
//!
//! In a step its readings come first, then its workings in order, then its limits
//! (S2): each may use what came before it, and what has a value on entry.
//!
//! As-found readings must have a value when a step begins that changes their
//! setting. A reading taken in that very step is too late: nobody can tell
//! afterwards whether it was taken before the change or after.

use std::collections::BTreeMap;

use super::flow::Facts;
use super::plan::{Node, Plan};
use super::trail::{Known, Trails};
use super::word;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{Body, EndKind, Step, Subject as Judged, ValueId, WorkInput};

/// A value that is missing: at which step, for what.
struct Gap<'p> {
    at: usize,
    step: &'p Step,
    code: &'static str,
    subject: Subject,
    why: String,
    help: &'static str,
    /// Counts only on paths on which the setting was changed.
    after_change: bool,
}

pub(super) fn find(plan: &Plan<'_>, facts: &[Option<Facts>]) -> Vec<Finding> {
    let mut gaps: BTreeMap<usize, Vec<Gap<'_>>> = BTreeMap::new();
    let mut findings = ask_limits(plan);
    for ((at, step, node), facts) in plan.all().zip(facts) {
        let Some(arrived) = facts else { continue };
        if !asks(step, node) {
            continue;
        }
        let entered = arrived.entered(node);
        let mut met = uses(plan, at, step, &entered);
        met.extend(settings(at, step, node, &entered));
        for (value, gap) in met {
            gaps.entry(value).or_default().push(gap);
        }
        findings.extend(ages(plan, step, &entered));
    }
    for (value, gaps) in gaps {
        let Some(id) = plan.values.name(value) else {
            continue;
        };
        let trails = Trails::new(plan, Known { plan, value });
        for gap in gaps {
            let goal = if gap.after_change { 2 } else { 0 };
            let path = trails.to(gap.at, |_, entered| entered & (1 | goal) == goal);
            let what = word::value(plan.procedure, id);
            let sentence = format!(
                "{} {} {what}, but on some way it has no value there",
                word::step(gap.step),
                gap.why
            );
            let finding = Finding::error(Code::new(gap.code), gap.subject, sentence);
            findings.push(finding.along(path).help(gap.help));
        }
    }
    findings
}

/// Whether anything here needs a value at all.
fn asks(step: &Step, node: &Node) -> bool {
    !(step.works.is_empty() && step.limits.is_empty() && node.as_found.is_empty())
        || matches!(step.body, Body::End(_))
}

/// What workings and limits of the step use although it may be missing.
fn uses<'p>(plan: &Plan<'_>, at: usize, step: &'p Step, entered: &Facts) -> Vec<(usize, Gap<'p>)> {
    let mut known = entered.known.clone();
    let take = |known: &mut super::set::Set, id: &ValueId| {
        plan.values
            .number(id)
            .into_iter()
            .for_each(|n| known.insert(n));
    };
    step.readings.iter().for_each(|id| take(&mut known, id));
    let mut gaps = Vec::new();
    let mut need = |known: &super::set::Set, id: &ValueId, why: String, subject: Subject| {
        let missing = plan.values.number(id).filter(|n| !known.contains(*n));
        gaps.extend(missing.map(|value| {
            let gap = Gap {
                at,
                step,
                code: "value-missing",
                subject,
                why,
                help: "take it on this way before it is used, or use it in a later step",
                after_change: false,
            };
            (value, gap)
        }));
    };
    for made in &step.works {
        let working = plan.procedure.workings.get(made);
        for input in working.iter().flat_map(|w| &w.inputs) {
            if let WorkInput::Value(id) | WorkInput::Series(id) = input {
                let why = format!("works out {made} from");
                need(&known, id, why, Subject::step(&step.id));
            }
        }
        take(&mut known, made);
    }
    for (index, limit) in step.limits.iter().enumerate() {
        for id in judged(&limit.subject) {
            let subject = Subject::limit(&step.id, index);
            need(&known, id, "judges".to_owned(), subject);
        }
    }
    gaps
}

/// The values that a limit is put on.
pub(super) fn judged(subject: &Judged) -> Vec<&ValueId> {
    match subject {
        Judged::Value(id) => vec![id],
        Judged::Difference(a, b) => vec![a, b],
        Judged::Age(_) => Vec::new(),
    }
}

/// As-found readings at a change, as-left readings at a complete end (S10, S11).
fn settings<'p>(at: usize, step: &'p Step, node: &Node, entered: &Facts) -> Vec<(usize, Gap<'p>)> {
    let gap = |code, why: &str, help, after_change| Gap {
        at,
        step,
        code,
        subject: Subject::step(&step.id),
        why: why.to_owned(),
        help,
        after_change,
    };
    let as_found = node.as_found.iter().copied();
    let mut gaps: Vec<_> = as_found
        .filter(|v| !entered.known.contains(*v))
        .map(|v| {
            let why = "changes the setting of the as-found reading";
            let help =
                "take every as-found reading in a step before the one that changes the setting";
            (v, gap("as-found-missing", why, help, false))
        })
        .collect();
    if matches!(step.body, Body::End(EndKind::Complete)) {
        gaps.extend(entered.left_open.iter().map(|v| {
            let why =
                "says all is done and its setting was changed, so it needs the as-left reading";
            let help = "take it after the last change of its setting on this way";
            (v, gap("as-left-missing", why, help, true))
        }));
    }
    gaps
}

/// Limits on the age of a condition that may not hold.
fn ages(plan: &Plan<'_>, step: &Step, entered: &Facts) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, limit) in step.limits.iter().enumerate() {
        if let Judged::Age(id) = &limit.subject
            && let Some(number) = plan.conditions.number(id)
            && !entered.held.contains(number)
        {
            let sentence = format!(
                "{} judges how long {} has held, but on some way it does not hold there",
                word::step(step),
                word::condition(plan.procedure, id)
            );
            let subject = Subject::limit(&step.id, index);
            let finding = Finding::error(Code::new("age-without-condition"), subject, sentence)
                .help("the condition must hold on entry and the step must not end it")
                .help(word::makers(plan, id));
            let trails = Trails::new(
                plan,
                super::trail::Held {
                    plan,
                    condition: number,
                },
            );
            let at = plan.steps.number(&step.id).unwrap_or_default();
            findings.push(finding.along(trails.to(at, |_, entered| entered == 0)));
        }
    }
    findings
}

/// Limits of a question that judge something else than its own reading: the
/// question may be asked at any step, so nothing else is sure to have a value.
fn ask_limits(plan: &Plan<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (id, condition) in &plan.procedure.conditions {
        let Some(ask) = &condition.ask else { continue };
        for (index, limit) in ask.limits.iter().enumerate() {
            let alien = match &limit.subject {
                Judged::Age(_) => true,
                Judged::Value(_) | Judged::Difference(..) => judged(&limit.subject)
                    .iter()
                    .any(|v| Some(*v) != ask.reading.as_ref()),
            };
            if alien {
                let sentence = format!(
                    "the question of the condition {} judges more than its own reading",
                    word::condition(plan.procedure, id)
                );
                let subject = Subject::AskLimit {
                    condition: id.to_string(),
                    index,
                };
                let finding = Finding::error(Code::new("ask-judges-other"), subject, sentence);
                findings
                    .push(finding.help("put the limit on the reading that answers the question"));
            }
        }
    }
    findings
}

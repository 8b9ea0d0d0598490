//! How findings name things: what people see first, the name in the document after.

use super::plan::Plan;
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{ActId, ConditionId, DutyId, HazardId, Procedure, SettingId, Step, ValueId};

/// "title" (name).
pub(super) fn named(title: &str, id: impl std::fmt::Display) -> String {
    format!("\"{title}\" ({id})")
}

pub(super) fn condition(procedure: &Procedure, id: &ConditionId) -> String {
    let title = procedure.conditions.get(id).map(|c| c.title.as_str());
    named(title.unwrap_or_default(), id)
}

pub(super) fn duty(procedure: &Procedure, id: &DutyId) -> String {
    let title = procedure.duties.get(id).map(|d| d.title.as_str());
    named(title.unwrap_or_default(), id)
}

pub(super) fn value(procedure: &Procedure, id: &ValueId) -> String {
    named(procedure.value(id).map_or("", |(title, _)| title), id)
}

pub(super) fn setting(procedure: &Procedure, id: &SettingId) -> String {
    let title = procedure.settings.get(id).map(|s| s.title.as_str());
    named(title.unwrap_or_default(), id)
}

pub(super) fn hazard(procedure: &Procedure, id: &HazardId) -> String {
    let title = procedure.hazards.get(id).map(|h| h.title.as_str());
    named(title.unwrap_or_default(), id)
}

pub(super) fn act(procedure: &Procedure, id: &ActId) -> String {
    let title = procedure.acts.get(id).map(|a| a.title.as_str());
    named(title.unwrap_or_default(), id)
}

pub(super) fn step(step: &Step) -> String {
    format!("the step \"{}\"", step.title)
}

/// Whether a value is a reading or a working, as a subject.
pub(super) fn value_subject(procedure: &Procedure, id: &ValueId) -> Subject {
    if procedure.readings.contains_key(id) {
        Subject::Reading(id.to_string())
    } else {
        Subject::Working(id.to_string())
    }
}

/// The titles of the steps that make a condition true, as a line of help.
pub(super) fn makers(plan: &Plan<'_>, id: &ConditionId) -> String {
    let number = plan.conditions.number(id);
    let titles = number.into_iter().flat_map(|n| plan.makers(n));
    let titles = titles.map(|s| s.title.as_str());
    list_or(titles, "no step establishes it", "it is established by")
}

/// "lead first, second", cut after the first eight; `none` for an empty list.
pub(super) fn list_or<'t>(titles: impl Iterator<Item = &'t str>, none: &str, lead: &str) -> String {
    let mut titles: Vec<String> = titles.map(|t| format!("\"{t}\"")).collect();
    let more = titles.len().saturating_sub(8);
    titles.truncate(8);
    match (titles.is_empty(), more) {
        (true, _) => none.to_owned(),
        (false, 0) => format!("{lead} {}", titles.join(", ")),
        (false, _) => format!("{lead} {} and {more} more", titles.join(", ")),
    }
}

/// An error at a step.
pub(super) fn at_step(code: &'static str, step: &Step, sentence: String) -> Finding {
    Finding::error(Code::new(code), Subject::step(&step.id), sentence)
}

/// An error at a field of a step.
pub(super) fn at_field(code: &'static str, step: &Step, field: &str, sentence: String) -> Finding {
    let subject = Subject::step(&step.id).field(field);
    Finding::error(Code::new(code), subject, sentence)
}

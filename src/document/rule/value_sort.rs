//! Readings are taken, workings are worked out; neither stands for the other.

use crate::document::code::{ASK_LIMIT, NOT_A_READING, NOT_A_WORKING};
use crate::finding::{Code, Finding, Subject};
use crate::procedure::{Procedure, Step, Subject as Limited, ValueId};

/// Workings where a reading is wanted, and the reverse.
pub(super) fn value_sort(procedure: &Procedure) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in &procedure.steps {
        in_step(procedure, step, &mut found);
    }
    for (id, condition) in &procedure.conditions {
        let subject = || Subject::Condition(id.to_string());
        let asked = condition.ask.iter().filter_map(|a| a.reading.as_ref());
        found.extend(readings(procedure, asked, &|| {
            subject().field("ask_reading")
        }));
        let series = condition.series.iter().flat_map(|s| &s.readings);
        found.extend(readings(procedure, series, &|| subject().field("series")));
        if let Some(ask) = &condition.ask {
            for (index, limit) in ask.limits.iter().enumerate() {
                let asked = ask.reading.clone().map(Limited::Value);
                if asked.is_some_and(|asked| asked != limit.subject) {
                    let condition = id.to_string();
                    found.push(other_than_asked(Subject::AskLimit { condition, index }));
                }
            }
        }
    }
    found
}

fn in_step(procedure: &Procedure, step: &Step, found: &mut Vec<Finding>) {
    let subject = || Subject::step(&step.id);
    found.extend(readings(procedure, &step.readings, &|| {
        subject().field("take")
    }));
    for id in step
        .works
        .iter()
        .filter(|id| procedure.readings.contains_key(*id))
    {
        let sentence = format!("{id} is read off an instrument, not worked out");
        let help = "name it in \"take\"";
        found.push(finding(
            NOT_A_WORKING,
            subject().field("work"),
            sentence,
            help,
        ));
    }
}

fn readings<'a>(
    procedure: &Procedure,
    ids: impl IntoIterator<Item = &'a ValueId>,
    subject: &impl Fn() -> Subject,
) -> Vec<Finding> {
    ids.into_iter()
        .filter(|id| procedure.workings.contains_key(*id) && !procedure.readings.contains_key(*id))
        .map(|id| {
            let sentence = format!("{id} is worked out; a reading is wanted here");
            let help = "name a reading; a working stands in \"work\" and in limits";
            finding(NOT_A_READING, subject(), sentence, help)
        })
        .collect()
}

fn other_than_asked(subject: Subject) -> Finding {
    let sentence = "this limit is on something else than the reading that is asked for".to_owned();
    finding(
        ASK_LIMIT,
        subject,
        sentence,
        "put it on the value of \"ask_reading\"",
    )
}

fn finding(code: Code, subject: Subject, sentence: String, help: &str) -> Finding {
    Finding::error(code, subject, sentence).help(help)
}

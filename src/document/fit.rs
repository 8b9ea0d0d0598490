//! Whether a procedure, a sheet and instruments go together.

use super::code::{
    INSTRUMENT_KIND, MISSING_SHEET_VALUE, NO_INSTRUMENT, SHEET_VALUE_KIND, SHEET_WORD,
    UNPROVABLE_LIMIT,
};
use super::rule::{bound, meets_nothing};
use crate::finding::{Finding, Subject, listed, near};
use crate::procedure::{
    Instruments, Limit, Procedure, Sheet, SheetKey, SheetNeed, SheetValue, Side, Subject as Limited,
};
use crate::quantity::{Bound, Quantity, Rule};

/// Everything that keeps these three from being used together.
///
/// Subjects are values of the sheet where it has them, else what the procedure
/// needs; so places are looked for in the sheet first.
pub fn fit(procedure: &Procedure, sheet: &Sheet, instruments: &Instruments) -> Vec<Finding> {
    let mut found: Vec<Finding> = procedure
        .sheet
        .iter()
        .filter_map(|(key, need)| value(key, need, sheet))
        .collect();
    found.extend(roles(procedure, instruments));
    let side = |side: &Side| match side {
        Side::Literal(quantity) => Some(*quantity),
        Side::Sheet(key) => of_right_kind(procedure, sheet, key),
    };
    let whose = format!(" with the values of {}", sheet.title);
    found.extend(meets_nothing(procedure, &side, &whose));
    found.extend(unprovable(procedure, instruments, &side));
    found
}

/// The value of the sheet, if it is of the kind that the procedure expects.
fn of_right_kind(procedure: &Procedure, sheet: &Sheet, key: &SheetKey) -> Option<Quantity> {
    match procedure.sheet.get(key)? {
        SheetNeed::Quantity(kind) => sheet.quantity(key)?.of_kind(*kind).ok(),
        SheetNeed::Word(_) | SheetNeed::Text => None,
    }
}

fn value(key: &SheetKey, need: &SheetNeed, sheet: &Sheet) -> Option<Finding> {
    let Some(entry) = sheet.values.get(key) else {
        return Some(missing(key, need, sheet));
    };
    let subject = Subject::SheetValue(key.to_string());
    let wrong = |found: String| {
        let sentence = format!("{key} is {found}; the procedure needs {}", wanted(need));
        Some(Finding::error(SHEET_VALUE_KIND, subject.clone(), sentence).help(fix(need)))
    };
    match (need, &entry.value) {
        (SheetNeed::Quantity(kind), SheetValue::Quantity(quantity)) => {
            if quantity.kind() == *kind {
                return None;
            }
            wrong(quantity.kind().with_article())
        }
        (SheetNeed::Word(words), SheetValue::Word(word)) => {
            if words.contains(word) {
                return None;
            }
            let sentence = format!("{key} says {word:?}, which the procedure does not know");
            let words = || words.iter().map(String::as_str);
            let finding = Finding::error(SHEET_WORD, subject.field("word"), sentence)
                .help_near(word, words());
            Some(finding)
        }
        (SheetNeed::Text, SheetValue::Text(_)) => None,
        (_, SheetValue::Quantity(quantity)) => wrong(quantity.kind().with_article()),
        (_, SheetValue::Word(_)) => wrong("a word".to_owned()),
        (_, SheetValue::Text(_)) => wrong("text".to_owned()),
    }
}

fn missing(key: &SheetKey, need: &SheetNeed, sheet: &Sheet) -> Finding {
    let sentence = format!(
        "the sheet {} has no {key}; the procedure needs {} there",
        sheet.id,
        wanted(need)
    );
    let subject = Subject::SheetNeed(key.to_string());
    let mut finding = Finding::error(MISSING_SHEET_VALUE, subject, sentence);
    let known = sheet.values.keys().map(SheetKey::as_str);
    if let Some(near) = near(key.as_str(), known) {
        finding = finding.help(format!("the sheet has {near}; is that it?"));
    }
    finding.help(format!("add {key} to the sheet, with its source"))
}

fn wanted(need: &SheetNeed) -> String {
    match need {
        SheetNeed::Quantity(kind) => kind.with_article(),
        SheetNeed::Word(words) => format!(
            "one of the words {}",
            listed(words.iter().map(String::as_str))
        ),
        SheetNeed::Text => "text".to_owned(),
    }
}

fn fix(need: &SheetNeed) -> String {
    match need {
        SheetNeed::Quantity(kind) => format!("write \"value\" and \"kind\": \"{}\"", kind.key()),
        SheetNeed::Word(_) => "write \"word\"".to_owned(),
        SheetNeed::Text => "write \"text\"".to_owned(),
    }
}

fn roles(procedure: &Procedure, instruments: &Instruments) -> Vec<Finding> {
    let mut found = Vec::new();
    for (id, role) in &procedure.roles {
        let meant: Vec<_> = instruments
            .list
            .values()
            .filter(|i| i.roles.contains(id))
            .collect();
        if meant.is_empty() {
            let sentence = format!(
                "no instrument of {} is meant for {id} ({})",
                instruments.title, role.title
            );
            let finding = Finding::error(NO_INSTRUMENT, Subject::Role(id.to_string()), sentence)
                .help(format!(
                    "add {id} to \"for\" of an instrument that measures {}",
                    role.kind.with_article()
                ));
            found.push(finding);
        }
        for instrument in meant.into_iter().filter(|i| i.kind != role.kind) {
            let subject = Subject::Instrument(instrument.id.to_string()).field("kind");
            let sentence = format!(
                "{} measures {}; as {id} it must measure {}",
                instrument.id,
                instrument.kind.with_article(),
                role.kind.with_article()
            );
            found.push(
                Finding::error(INSTRUMENT_KIND, subject, sentence)
                    .help(format!("take {id} out of its \"for\", or correct its kind")),
            );
        }
    }
    found
}

/// Guarded limits on readings that the instrument at hand can never prove.
fn unprovable(
    procedure: &Procedure,
    instruments: &Instruments,
    side: &impl Fn(&Side) -> Option<Quantity>,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in &procedure.steps {
        for (index, limit) in step.limits.iter().enumerate() {
            let finding = beyond(procedure, instruments, limit, side)
                .map(|title| unprovable_finding(&title, Subject::limit(&step.id, index)));
            found.extend(finding);
        }
    }
    found
}

fn unprovable_finding(instrument: &str, subject: Subject) -> Finding {
    let sentence = format!("{instrument} is too uncertain to prove this limit, whatever it reads");
    Finding::warning(UNPROVABLE_LIMIT, subject, sentence)
        .help("it would always be too close to call: take a better instrument, or widen the limit")
}

/// The instrument, if it can't prove the limit.
fn beyond(
    procedure: &Procedure,
    instruments: &Instruments,
    limit: &Limit,
    side: &impl Fn(&Side) -> Option<Quantity>,
) -> Option<String> {
    let Limited::Value(value) = &limit.subject else {
        return None;
    };
    if limit.rule != Rule::Guarded {
        return None;
    }
    let role = procedure.readings.get(value)?.role.as_ref()?;
    let instrument = instruments.for_role(role)?;
    let bound = bound(&limit.bound, side)?;
    if bound.is_empty() {
        return None;
    }
    let middle = match bound {
        Bound::Near { target, .. } => target,
        Bound::AtMost(a) | Bound::AtLeast(a) | Bound::Between { low: a, .. } => a,
    };
    let u = instrument.metrology.standard_uncertainty(middle).ok()?;
    (!bound.provable_with(u).ok()?).then(|| instrument.title.clone())
}

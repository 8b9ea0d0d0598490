//! Reports as one JSON object on one line; its fields are told in the verb's help.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::look::Report;
use crate::finding::{Place, Placed, Severity, is_steering};
use crate::proof::{ActFact, Proof};

/// All reports.
pub(super) fn object(reports: &[Report], exit: u8) -> String {
    let errors: usize = reports.iter().map(Report::errors).sum();
    let warnings: usize = reports.iter().map(Report::warnings).sum();
    let looked_at: Vec<Value> = reports.iter().map(one).collect();
    let whole = json!({
        "format": "levelhand check 1",
        "looked_at": looked_at,
        "errors": errors,
        "warnings": warnings,
        "exit": exit,
    });
    plain(&whole.to_string())
}

fn one(report: &Report) -> Value {
    let findings: Vec<Value> = report.placed.iter().map(finding).collect();
    json!({
        "files": report.files,
        "unread": report.unread,
        "notes": report.notes,
        "errors": report.errors(),
        "warnings": report.warnings(),
        "findings": findings,
        "proved": report.proof.as_ref().map(proved),
    })
}

fn finding(placed: &Placed) -> Value {
    let finding = &placed.finding;
    let place = placed.place.as_ref();
    json!({
        "code": finding.code.as_str(),
        "severity": match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        },
        "sentence": finding.sentence,
        "help": finding.help,
        "path": finding.path,
        "file": place.map(|p| &p.file),
        "line": place.map(|p| p.line),
        "column": place.map(|p| p.column),
        "span": place.map(|p| [p.span.0, p.span.1]),
        "used_at": placed.used_at.as_ref().map(spot),
    })
}

fn spot(place: &Place) -> Value {
    json!({
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "span": [place.span.0, place.span.1],
    })
}

fn proved(proof: &Proof) -> Value {
    let [steps, conditions, duties, values] = proof.facts.counts();
    let acts: Vec<Value> = proof.facts.acts.iter().map(act).collect();
    json!({
        "holds": proof.holds(),
        "steps": steps,
        "conditions": conditions,
        "duties": duties,
        "values": values,
        "acts": acts,
    })
}

fn act(act: &ActFact) -> Value {
    let done = act.done.iter().map(|doing| {
        json!({
            "step": doing.step.as_str(),
            "title": doing.title,
            "reached": doing.reached,
            "protected": doing.protected,
            "not_protected": doing.unprotected,
            "words_only": doing.words_only,
        })
    });
    let done: Vec<Value> = done.collect();
    json!({ "id": act.id.as_str(), "title": act.title, "done": done })
}

/// The same text with everything that could steer a terminal as a JSON escape. Such
/// a character stands in strings only, so the meaning stays.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if is_steering(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                // Writing to a string can't fail.
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out
}

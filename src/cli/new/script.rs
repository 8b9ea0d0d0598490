//! The text of a new rehearsal: a move a line, as people write them.

use std::fmt::Write as _;

use serde_json::{Map, Value, json};

use super::Head;
use crate::job::Setup;
use crate::procedure::{ProcedureId, SheetId, StepId};
use crate::rehearsal::{ConfirmWord, Draft, Move, Rehearsal, draft};

/// When a new rehearsal begins: a Monday, 2 March 2026, eight in the morning, in ms.
const START_MS: i64 = 1_772_438_400_000;

/// The rehearsal, and why it is not whole, if it isn't.
pub(super) fn write(
    setup: &Setup,
    head: &Head,
    of: &[String; 3],
) -> Result<(String, Option<String>), String> {
    let [procedure, sheet, instruments] = of;
    let wrong = |what: crate::procedure::IdError| what.to_string();
    let begin = Rehearsal {
        id: head.id.clone(),
        title: head.title.clone(),
        procedure: ProcedureId::new(procedure).map_err(wrong)?,
        sheet: SheetId::new(sheet).map_err(wrong)?,
        instruments: instruments.clone(),
        like: None,
        start_ms: START_MS,
        end: StepId::new("unknown").map_err(wrong)?,
        owed_at_end: None,
        moves: Vec::new(),
    };
    let Some(draft) = draft(setup, &begin) else {
        return Err(format!(
            "{procedure} has no complete end that a rehearsal could reach. levelhand check says more."
        ));
    };
    let stuck = draft.stuck.as_ref().map(|why| {
        let at = draft.moves.last().map_or("the start", |m| m.at.as_str());
        format!(
            "The straight way could be guessed up to {at} only: {why}.\nA note stands there; write on from it by hand."
        )
    });
    Ok((text(head, of, &draft), stuck))
}

fn text(head: &Head, [procedure, sheet, instruments]: &[String; 3], draft: &Draft) -> String {
    let fields = [
        ("format", json!("levelhand rehearsal 1")),
        ("$schema", json!(head.schema)),
        ("id", json!(head.id)),
        ("title", json!(head.title)),
        (
            "note",
            json!(
                "The straight way, guessed from the procedure: good answers, first choices, values within their limits. Put in what you expect; for a wrong turn write another that is \"like\" this one."
            ),
        ),
        ("procedure", json!(procedure)),
        ("sheet", json!(sheet)),
        ("instruments", json!(instruments)),
        ("end", json!(draft.end.as_str())),
    ];
    let mut out = String::from("{\n");
    for (name, value) in fields {
        // Writing to a string can't fail.
        let _ = writeln!(out, "  {}: {value},", json!(name));
    }
    out.push_str("  \"moves\": [\n");
    let last = draft.moves.len();
    let lines: Vec<String> = draft
        .moves
        .iter()
        .enumerate()
        .map(|(index, made)| {
            let why = draft.stuck.as_ref().filter(|_| index + 1 == last);
            format!("    {}", line(made, why))
        })
        .collect();
    out.push_str(&lines.join(",\n"));
    out.push_str("\n  ]\n}\n");
    out
}

/// A move on one line, in the order in which it is played.
fn line(made: &Move, stuck: Option<&String>) -> String {
    let mut parts: Vec<(&str, Value)> = vec![("at", json!(made.at.as_str()))];
    if let Some(why) = stuck {
        parts.push(("note", json!(format!("From here by hand: {why}"))));
    }
    if made.after_ms > 0 {
        parts.push((
            "after",
            json!(format!("{} s", made.after_ms.div_ceil(1000))),
        ));
    }
    let mut add = |name, members: Map<String, Value>| {
        if !members.is_empty() {
            parts.push((name, Value::Object(members)));
        }
    };
    let attest = made.attest.iter();
    let said = |typed: &Option<String>| typed.as_ref().map_or(json!(true), |t| json!(t));
    add(
        "attest",
        attest
            .map(|(c, typed)| (c.to_string(), said(typed)))
            .collect(),
    );
    let all = made.all_ticks.iter();
    add(
        "ticks",
        all.map(|_| ("*".to_owned(), json!("yes"))).collect(),
    );
    let read = made.read.iter();
    add(
        "read",
        read.map(|(r, typed)| (r.to_string(), json!(typed)))
            .collect(),
    );
    let second = made.witness.iter();
    add(
        "witness",
        second
            .map(|(r, w)| (r.to_string(), json!({ "by": w.by, "value": w.value })))
            .collect(),
    );
    let taken = made.hand_over_to.iter();
    add(
        "hand_over_to",
        taken.map(|(d, who)| (d.to_string(), json!(who))).collect(),
    );
    let confirm = made.confirm.map(|word| json!(confirmed(word)));
    parts.extend(confirm.map(|word| ("confirm", word)));
    parts.extend(made.choose.as_ref().map(|c| ("choose", json!(c.as_str()))));
    let members: Vec<String> = parts
        .iter()
        .map(|(name, value)| format!("\"{name}\": {}", spaced(value)))
        .collect();
    format!("{{ {} }}", members.join(", "))
}

/// Members with the spaces that people put there.
fn spaced(value: &Value) -> String {
    let Value::Object(members) = value else {
        return value.to_string();
    };
    let members: Vec<String> = members
        .iter()
        .map(|(name, inner)| format!("{}: {}", json!(name), spaced(inner)))
        .collect();
    format!("{{ {} }}", members.join(", "))
}

const fn confirmed(word: ConfirmWord) -> &'static str {
    match word {
        ConfirmWord::Enter => "enter",
        ConfirmWord::Hold => "hold",
        ConfirmWord::Pulse => "pulse",
        ConfirmWord::Wait => "wait",
        ConfirmWord::Lapse => "lapse",
        ConfirmWord::GoOn => "go_on",
    }
}

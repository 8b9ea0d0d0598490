//! The reference of the sums, as text and as data.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::option;
use crate::calc::{Gives, Input, Output, REGISTRY, Shape, Sum, Takes};
use crate::quantity::{Kind, System};

/// What a sum is, for its help.
pub(super) fn about(sum: &Sum) -> String {
    let mut lines = vec![sum.title.to_owned(), String::new()];
    lines.extend(sum.formula.iter().map(|line| format!("  {line}")));
    lines.push(String::new());
    lines.push(format!("Holds for: {}.", sum.range.trim_end_matches('.')));
    lines.push(format!("Source: {}.", sum.source.trim_end_matches('.')));
    lines.push(String::new());
    lines.push("Gives:".to_owned());
    for output in sum.outputs {
        lines.push(format!("  {}: {}", output.key, gives(sum, output)));
    }
    lines.join("\n")
}

/// The example as a command.
pub(super) fn example(sum: &Sum) -> String {
    let mut line = format!("Example:\n  levelhand calc {}", sum.name);
    for (key, text) in sum.example {
        let _fits = write!(line, " --{} \"{text}\"", option(key));
    }
    line
}

/// One input in a line: title, kind, units, bounds.
pub(super) fn input(sum: &Sum, input: &Input) -> String {
    let mut line = input.title.to_owned();
    match input.takes {
        Takes::Is(kind) => {
            let _fits = write!(line, " [{}: {}]", kind.name(), units(kind));
            line.push_str(&bounds(input, kind));
        }
        Takes::AnyOf([]) => line.push_str(" [any kind]"),
        Takes::AnyOf(kinds) => {
            let names: Vec<String> = kinds
                .iter()
                .map(|kind| format!("{}: {}", kind.name(), units(*kind)))
                .collect();
            let _fits = write!(line, " [{}]", names.join("; or "));
        }
        Takes::Like(at) => {
            let like = sum.inputs.get(at).map_or("", |i| i.key);
            let _fits = write!(line, " [of the kind of {}]", option(like));
        }
        Takes::Word(words) => {
            let _fits = write!(line, " [one of {}]", words.join(", "));
        }
    }
    match input.shape {
        Shape::One => {}
        Shape::Optional => line.push_str("; may be left out"),
        Shape::Several { least: 0, most } => {
            let _fits = write!(line, "; up to {most} values, or none");
        }
        Shape::Several { least, most } if least == most => {
            let _fits = write!(line, "; {least} values");
        }
        Shape::Several { least, most } => {
            let _fits = write!(line, "; {least} to {most} values");
        }
        Shape::Series { least } => {
            let _fits = write!(line, "; {least} readings or more, each with its time");
        }
    }
    if input.shared.is_some() {
        line.push_str("; taken as read with one instrument with its like");
    }
    line
}

fn units(kind: Kind) -> String {
    let symbols = kind.units().iter().map(|u| u.symbol_for(kind));
    let symbols: Vec<String> = symbols.filter(|s| !s.is_empty()).collect();
    if symbols.is_empty() {
        "a plain number".to_owned()
    } else if kind == Kind::Ratio {
        format!("a plain number or {}", symbols.join(", "))
    } else {
        symbols.join(", ")
    }
}

fn bounds(input: &Input, kind: Kind) -> String {
    let unit = kind.shown(System::Metric);
    let shown = |q: Option<crate::quantity::Quantity>| q.map(|q| q.show_plain(unit));
    let (least, most) = input.bounds(kind);
    match (shown(least), shown(most)) {
        (Some(least), Some(most)) => format!(", {least} to {most}: {}", input.why),
        (Some(least), None) => format!(", {least} or more: {}", input.why),
        (None, Some(most)) => format!(", {most} or less: {}", input.why),
        (None, None) => String::new(),
    }
}

fn gives(sum: &Sum, output: &Output) -> String {
    let what = match output.gives {
        Gives::Is(kind) => kind.name().to_owned(),
        Gives::Like(at) => format!(
            "of the kind of {}",
            sum.inputs.get(at).map_or("", |i| i.key)
        ),
        Gives::ChangeOf(at) => format!(
            "difference of two of {}",
            sum.inputs.get(at).map_or("", |i| i.key)
        ),
        Gives::Word(texts) => texts.join(" / "),
    };
    let whether = if output.optional {
        "; not with every input"
    } else {
        ""
    };
    format!("{} [{what}{whether}]", output.title)
}

/// The whole reference.
pub(super) fn all() -> String {
    let mut lines = vec![
        format!("{} sums. Each: levelhand calc NAME --help", REGISTRY.len()),
        "The vehicle maker's instructions come before anything worked out here.".to_owned(),
    ];
    let mut subject = "";
    for sum in REGISTRY {
        if sum.subject != subject {
            subject = sum.subject;
            lines.push(String::new());
            lines.push(subject.to_uppercase());
        }
        lines.push(String::new());
        lines.push(format!("{}: {}", sum.name, sum.title));
        for (at, line) in sum.formula.iter().enumerate() {
            let head = if at == 0 { "formula" } else { "" };
            lines.push(format!("  {head:<8} {line}"));
        }
        for (at, i) in sum.inputs.iter().enumerate() {
            let head = if at == 0 { "in" } else { "" };
            lines.push(format!("  {head:<8} {}: {}", i.key, input(sum, i)));
        }
        for (at, o) in sum.outputs.iter().enumerate() {
            let head = if at == 0 { "out" } else { "" };
            lines.push(format!("  {head:<8} {}: {}", o.key, gives(sum, o)));
        }
        lines.push(format!("  {:<8} {}", "range", sum.range));
        lines.push(format!("  {:<8} {}", "source", sum.source));
    }
    lines.join("\n")
}

/// The whole reference as data.
pub(super) fn data() -> String {
    let sums: Vec<Value> = REGISTRY.iter().map(|sum| one(sum)).collect();
    let all = json!({ "format": "levelhand sums 1", "sums": sums });
    serde_json::to_string_pretty(&all).unwrap_or_default()
}

fn one(sum: &Sum) -> Value {
    let inputs: Vec<Value> = sum.inputs.iter().map(|i| takes(sum, i)).collect();
    let outputs: Vec<Value> = sum.outputs.iter().map(|o| given_out(sum, o)).collect();
    let example: serde_json::Map<String, Value> = sum
        .example
        .iter()
        .map(|(key, text)| ((*key).to_owned(), json!(text)))
        .collect();
    json!({
        "name": sum.name, "subject": sum.subject, "title": sum.title,
        "formula": sum.formula, "source": sum.source, "range": sum.range,
        "inputs": inputs, "outputs": outputs, "example": example,
    })
}

fn key_of(sum: &Sum, at: usize) -> Option<&'static str> {
    sum.inputs.get(at).map(|i| i.key)
}

fn given_out(sum: &Sum, output: &Output) -> Value {
    let (mut kind, mut like, mut change_of, mut texts) = (None, None, None, None);
    match output.gives {
        Gives::Is(is) => kind = Some(is.key()),
        Gives::Like(at) => like = key_of(sum, at),
        Gives::ChangeOf(at) => change_of = key_of(sum, at),
        Gives::Word(those) => texts = Some(those),
    }
    json!({ "key": output.key, "title": output.title, "always": !output.optional,
        "kind": kind, "like": like, "change_of": change_of, "texts": texts })
}

fn takes(sum: &Sum, input: &Input) -> Value {
    let (least, most) = input.count();
    let (mut kinds, mut like, mut words) = (Vec::new(), None, None);
    match input.takes {
        Takes::Is(kind) => kinds.push(kind.key()),
        Takes::AnyOf([]) => kinds.extend(Kind::ALL.iter().map(|k| k.key())),
        Takes::AnyOf(those) => kinds.extend(those.iter().map(|k| k.key())),
        Takes::Like(at) => like = key_of(sum, at),
        Takes::Word(those) => words = Some(those),
    }
    json!({
        "key": input.key, "title": input.title, "least_values": least,
        "most_values": (most < usize::MAX).then_some(most), "times": input.is_series(),
        "least_si": input.least, "most_si": input.most, "why": input.why,
        "kinds": kinds, "like": like, "words": words,
    })
}

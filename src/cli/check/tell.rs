//! Reports in words: findings on standard error, the rest on standard output.

use super::look::Report;
use crate::cli::output::{complain, complain_drawn, say};
use crate::finding::draw_all;
use crate::proof::Proof;

/// Tells one report.
pub(super) fn report(report: &Report, coloured: bool) {
    if let Some(why) = &report.unread {
        complain(why);
        return;
    }
    if !report.placed.is_empty() {
        complain_drawn(&draw_all(&report.placed, coloured));
    }
    for note in &report.notes {
        complain(&format!("note: {note}"));
    }
    if let Some(told) = report.proof.as_ref().map(Proof::summary) {
        say(&told);
    }
    say(&counts(report));
}

/// "a.json: no errors, 1 warning".
pub(super) fn counts(report: &Report) -> String {
    let name = match report.files.split_first() {
        Some((first, [])) => first.clone(),
        Some((first, rest)) => format!("{first} with {}", rest.join(" and ")),
        None => String::new(),
    };
    format!(
        "{name}: {}, {}",
        counted(report.errors(), "error"),
        counted(report.warnings(), "warning")
    )
}

fn counted(count: usize, what: &str) -> String {
    match count {
        0 => format!("no {what}s"),
        1 => format!("1 {what}"),
        more => format!("{more} {what}s"),
    }
}

//! `levelhand check`: everything found in documents, and what was proved.

use std::path::PathBuf;

use clap::Args;

use super::library::check_procedure;
use super::output::{complain, say};
use super::shipped::{Shelf, shelf};
use crate::document;
use crate::finding::{Placed, draw_all};
use crate::io::{exit, shop};

/// Looks documents through: what is wrong, where, and what would mend it; for a
/// procedure also what was proved.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  levelhand check procedures/ride_height.json procedures/sheets/bw_07.json\n\nExit codes: 0 no errors (warnings may be there), 1 errors were found, 2 a file can't be read."
)]
pub(crate) struct Check {
    /// The files: procedures, sheets, instruments, rehearsals.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
}

/// Checks every file.
pub(crate) fn run(verb: &Check) -> u8 {
    let mut code = exit::OK;
    for file in &verb.files {
        code = code.max(one(file));
    }
    code.max(together(&verb.files))
}

/// Holds each procedure against each sheet and list of instruments given with it.
fn together(files: &[PathBuf]) -> u8 {
    let read: Vec<(String, Vec<u8>)> = files
        .iter()
        .filter_map(|file| Some((file.display().to_string(), shop::read(file).ok()?)))
        .collect();
    let of = |wanted: Shelf| read.iter().filter(move |(_, b)| shelf(b) == Some(wanted));
    let mut code = exit::OK;
    for (procedure, graph) in of(Shelf::Procedure) {
        let graph = document::procedure(procedure, graph);
        for (sheet, values) in of(Shelf::Sheet) {
            let values = document::sheet(sheet, values);
            for (bench, list) in of(Shelf::Instruments) {
                let list = document::instruments(bench, list);
                let (Some(p), Some(s), Some(i)) = (&graph.value, &values.value, &list.value) else {
                    continue;
                };
                let findings = document::fit(p, s, i);
                let placed: Vec<Placed> = findings.iter().map(|f| values.places.place(f)).collect();
                let name = format!("{procedure} with {sheet} and {bench}");
                code = code.max(tell(&name, &placed, None));
            }
        }
    }
    code
}

fn one(file: &std::path::Path) -> u8 {
    let name = file.display().to_string();
    let bytes = match shop::read(file) {
        Ok(bytes) => bytes,
        Err(error) => {
            complain(&format!(
                "{name} can't be read: {error}. Give the path of a document."
            ));
            return exit::USAGE;
        }
    };
    let shelf = shelf(&bytes);
    let (placed, told) = match shelf {
        Some(Shelf::Sheet) => (document::sheet(&name, &bytes).placed(), None),
        Some(Shelf::Instruments) => (document::instruments(&name, &bytes).placed(), None),
        Some(Shelf::Rehearsal) => (document::rehearsal(&name, &bytes).placed(), None),
        Some(Shelf::Procedure) | None => {
            let checked = check_procedure(&name, &bytes);
            let told = checked.proof.as_ref().map(crate::proof::Proof::summary);
            (checked.placed, told)
        }
    };
    tell(&name, &placed, told.as_deref())
}

fn tell(name: &str, placed: &[Placed], told: Option<&str>) -> u8 {
    let errors = placed.iter().filter(|p| p.finding.is_error()).count();
    let warnings = placed.len() - errors;
    if !placed.is_empty() {
        complain(&draw_all(placed, false));
    }
    if let Some(told) = told {
        say(told);
    }
    say(&format!(
        "{name}: {}, {}",
        counted(errors, "error"),
        counted(warnings, "warning")
    ));
    if errors > 0 { exit::FINDINGS } else { exit::OK }
}

fn counted(count: usize, what: &str) -> String {
    match count {
        0 => format!("no {what}s"),
        1 => format!("1 {what}"),
        more => format!("{more} {what}s"),
    }
}

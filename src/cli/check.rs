//! `levelhand check`: everything found in documents, and what was proved.
//!
//! Looking (`look`) is apart from telling (`tell`, `data`), so that words and JSON
//! say the same; `watch` looks again when a file is saved.

mod data;
mod look;
mod practice;
mod tell;
#[cfg(test)]
mod tests;
mod watch;

use std::path::PathBuf;

use clap::Args;

pub(super) use self::practice::Hall;
use super::Colour;
use super::library::Library;
use super::output::{complain, complain_drawn, is_heard};
use crate::finding::{Placed, draw_all};
use crate::io::place::Place;
use crate::io::{exit, terminal};

/// Looks documents through: what is wrong, where, and what would mend it; for a
/// procedure also what was proved.
///
/// Files given together are held against each other: a procedure against a sheet and
/// instruments, and the names in a rehearsal against its procedure, which is taken
/// from the files, the shop's own documents or the built-in ones. What a truck, a
/// fault, a drill, its script or a timetable names is looked for there and beside the
/// file.
#[derive(Debug, Args)]
#[command(after_help = HELP)]
pub(crate) struct Check {
    /// The files: procedures, sheets, instruments, rehearsals, trucks, faults, drills and
    /// their scripts, timetables.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// One JSON object on standard output, on one line, and no other words.
    #[arg(long)]
    json: bool,
    /// Look again whenever one of the files is saved. Ctrl-C ends it.
    #[arg(long)]
    watch: bool,
}

const HELP: &str = "\
Examples:
  levelhand check procedures/ride_height.json procedures/sheets/bw_07.json \\
                  procedures/instruments/demo_bench.json
  levelhand check --watch my_truck.json

Findings go to standard error, what was proved and the counts to standard output.
Errors bar a procedure from real work; warnings don't.

Exit codes: 0 no errors (warnings may be there), 1 errors were found, 2 a file can't be read.

With --json:
  format      \"levelhand check 1\"
  looked_at   one entry a file, then one for each set of files held together:
    files       their names
    unread      why the file can't be read, or null
    notes       what could not be looked at, and why
    errors, warnings
                how many
    findings    code, severity (\"error\" or \"warning\"), sentence, help (lines), path
                (titles of the steps that lead there), file, line and column (from 1),
                span (first byte and the byte after the last), and used_at (file, line,
                column, span of the use of the fragment, or null); file, line, column
                and span are null where no file is to blame
    proved      for a procedure that could be read, else null: holds (true or false), steps,
                conditions, duties, values (how many), acts: id, title, done (step, title,
                reached, protected, not_protected, words_only)
  errors, warnings
              how many in all
  exit        the exit code";

/// Checks every file.
pub(crate) fn run(verb: &Check, colour: Colour, data: Option<PathBuf>) -> u8 {
    let shop = Place::find(data).ok().map(|place| place.documents());
    let library = Library::of_verb(shop);
    if verb.watch {
        return watch::run(verb, colour, &library);
    }
    once(verb, colour, &library).0
}

/// Looks at all files and tells what came of it; gives the exit code, and whether
/// someone still listens.
fn once(verb: &Check, colour: Colour, library: &Library) -> (u8, bool) {
    let reports = look::at(&verb.files, library);
    let code = code(&reports);
    if verb.json {
        return (code, is_heard(&data::object(&reports, code)));
    }
    let coloured = colour.is_wanted() && terminal::error_is_shown();
    for report in &reports {
        tell::report(report, coloured);
    }
    (code, true)
}

/// Tells what was found in one document on standard error, for a verb that has other
/// things to print.
pub(super) fn complain_of(name: &str, placed: Vec<Placed>, colour: Colour) {
    let report = look::Report::of(name, placed);
    if report.placed.is_empty() {
        return;
    }
    let coloured = colour.is_wanted() && terminal::error_is_shown();
    complain_drawn(&draw_all(&report.placed, coloured));
    complain(&tell::counts(&report));
}

fn code(reports: &[look::Report]) -> u8 {
    let unread = reports.iter().any(|r| r.unread.is_some());
    let errors = reports.iter().any(|r| r.errors() > 0);
    match (unread, errors) {
        (true, _) => exit::USAGE,
        (false, true) => exit::FINDINGS,
        (false, false) => exit::OK,
    }
}

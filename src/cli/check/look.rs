//! Looks at documents, each alone and those that belong together; says nothing.

use std::path::{Path, PathBuf};

use super::practice::Hall;
use crate::cli::library::{Library, check_procedure};
use crate::cli::shipped::{Shelf, shelf};
use crate::document::{self, Loaded};
use crate::finding::{Finding, Placed};
use crate::io::shop;
use crate::procedure::{Instruments, Procedure, ProcedureId, Sheet};
use crate::proof::Proof;

/// What came of one file, or of files held together.
#[derive(Debug, Default)]
pub(super) struct Report {
    /// The files, as they were named.
    pub(super) files: Vec<String>,
    /// Why the file can't be read.
    pub(super) unread: Option<String>,
    /// What could not be looked at, and why.
    pub(super) notes: Vec<String>,
    /// What was found.
    pub(super) placed: Vec<Placed>,
    /// What was proved of a procedure.
    pub(super) proof: Option<Proof>,
}

impl Report {
    /// How many errors there are.
    pub(super) fn errors(&self) -> usize {
        self.placed.iter().filter(|p| p.finding.is_error()).count()
    }

    /// How many warnings there are.
    pub(super) fn warnings(&self) -> usize {
        self.placed.len() - self.errors()
    }

    /// Of one file.
    pub(super) fn of(file: &str, placed: Vec<Placed>) -> Self {
        Self {
            files: vec![file.to_owned()],
            placed,
            ..Self::default()
        }
    }
}

/// What could be read of the files, by kind; with their names.
#[derive(Default)]
struct Read {
    procedures: Vec<(String, Loaded<Procedure>)>,
    sheets: Vec<(String, Loaded<Sheet>)>,
    instruments: Vec<(String, Loaded<Instruments>)>,
}

/// Looks at each file, then at those that belong together.
pub(super) fn at(files: &[PathBuf], library: &Library) -> Vec<Report> {
    let mut read = Read::default();
    let mut reports = Vec::new();
    let mut scripts = Vec::new();
    let mut practice = Vec::new();
    for file in files {
        let name = file.display().to_string();
        match shop::read(file).map(|bytes| (shelf(&bytes), bytes)) {
            Ok((Some(Shelf::Rehearsal), bytes)) => {
                // Its procedure may stand further on among the files.
                scripts.push((reports.len(), bytes));
                reports.push(Report::of(&name, Vec::new()));
            }
            Ok((
                Some(
                    shelf @ (Shelf::Truck
                    | Shelf::Fault
                    | Shelf::Drill
                    | Shelf::DrillScript
                    | Shelf::Timetable),
                ),
                bytes,
            )) => {
                practice.push((reports.len(), shelf, file.as_path(), bytes));
                reports.push(Report::of(&name, Vec::new()));
            }
            Ok((shelf, bytes)) => reports.push(alone(&name, &bytes, shelf, &mut read)),
            Err(error) => reports.push(Report {
                unread: Some(format!(
                    "{name} can't be read: {error}. Give the path of a document."
                )),
                ..Report::of(&name, Vec::new())
            }),
        }
    }
    for (at, bytes) in scripts {
        if let Some(report) = reports.get_mut(at) {
            rehearsal(report, &bytes, &read, library);
        }
    }
    if !practice.is_empty() {
        for_practice(&practice, &mut reports, files, library);
    }
    reports.extend(together(&read));
    reports
}

/// Trucks, faults, drills, scripts of drills and timetables, each with what is at hand.
fn for_practice(
    practice: &[(usize, Shelf, &Path, Vec<u8>)],
    reports: &mut [Report],
    files: &[PathBuf],
    library: &Library,
) {
    let mine = practice
        .iter()
        .map(|(_, _, path, bytes)| (*path, bytes.clone()));
    let others = files
        .iter()
        .filter(|f| practice.iter().all(|(_, _, p, _)| p != f));
    let others = others.filter_map(|f| Some((f.as_path(), shop::read(f).ok()?)));
    let given: Vec<(&Path, Vec<u8>)> = mine.chain(others).collect();
    let texts: Vec<(&Path, &[u8])> = given.iter().map(|(p, b)| (*p, b.as_slice())).collect();
    let hall = Hall::of(&texts, library);
    for (at, shelf, _, bytes) in practice {
        if let Some(report) = reports.get_mut(*at) {
            hall.look(report, *shelf, bytes);
        }
    }
}

fn alone(name: &str, bytes: &[u8], shelf: Option<Shelf>, read: &mut Read) -> Report {
    let mut report = Report::of(name, Vec::new());
    match shelf {
        Some(Shelf::Sheet) => {
            let sheet = document::sheet(name, bytes);
            report.placed = sheet.placed();
            read.sheets.push((name.to_owned(), sheet));
        }
        Some(Shelf::Instruments) => {
            let list = document::instruments(name, bytes);
            report.placed = list.placed();
            read.instruments.push((name.to_owned(), list));
        }
        Some(
            Shelf::Procedure
            | Shelf::Rehearsal
            | Shelf::Truck
            | Shelf::Fault
            | Shelf::Drill
            | Shelf::DrillScript
            | Shelf::Timetable,
        )
        | None => {
            let checked = check_procedure(name, bytes);
            report.placed = checked.placed;
            report.proof = checked.proof;
            read.procedures.push((name.to_owned(), checked.loaded));
        }
    }
    report
}

/// A rehearsal, its names held against its procedure where that can be had.
fn rehearsal(report: &mut Report, bytes: &[u8], read: &Read, library: &Library) {
    let name = report.files.first().cloned().unwrap_or_default();
    let plain = document::rehearsal(&name, bytes);
    let Some(script) = &plain.value else {
        report.placed = plain.placed();
        return;
    };
    match graph(&script.procedure, read, library) {
        Ok(graph) => report.placed = document::rehearsal_of(&name, bytes, &graph).placed(),
        Err(note) => {
            report.placed = plain.placed();
            report.notes.push(format!("{name}: {note}"));
        }
    }
}

/// The procedure of that id: from the files, else from the library.
fn graph(id: &ProcedureId, read: &Read, library: &Library) -> Result<Procedure, String> {
    let values = read.procedures.iter().filter_map(|(_, p)| p.value.as_ref());
    if let Some(graph) = values.into_iter().find(|p| p.id == *id) {
        return Ok(graph.clone());
    }
    if let Some((name, _)) = read.procedures.iter().find(|(_, p)| p.value.is_none()) {
        return Err(format!(
            "the names in it were not looked at, because {name} has errors; mend those first"
        ));
    }
    let Some(found) = library.find(Shelf::Procedure, id.as_str()) else {
        return Err(format!(
            "the names in it were not looked at, because the procedure {id} is not here; give its file too"
        ));
    };
    let loaded = document::procedure(&found.name, &found.bytes);
    loaded.value.ok_or_else(|| {
        format!(
            "the names in it were not looked at, because {} has errors",
            found.name
        )
    })
}

/// Each procedure with each sheet and list of instruments.
fn together(read: &Read) -> Vec<Report> {
    let mut reports = Vec::new();
    for (procedure, graph) in &read.procedures {
        for (sheet, values) in &read.sheets {
            for (bench, list) in &read.instruments {
                let (Some(p), Some(s), Some(i)) = (&graph.value, &values.value, &list.value) else {
                    continue;
                };
                let place = |finding: &Finding| {
                    let found = [&values.places, &list.places, &graph.places]
                        .into_iter()
                        .map(|places| places.place(finding))
                        .find(|placed| placed.place.is_some());
                    found.unwrap_or_else(|| finding.clone().into())
                };
                reports.push(Report {
                    files: vec![procedure.clone(), sheet.clone(), bench.clone()],
                    placed: document::fit(p, s, i).iter().map(place).collect(),
                    ..Report::default()
                });
            }
        }
    }
    reports
}

//! Trucks, faults, drills, scripts of drills and timetables: each held against the
//! documents that are at hand, which are those given, those in the same directory, the
//! shop's own and those built in.

use std::path::Path;

use super::look::Report;
use crate::cli::library::Library;
use crate::cli::shipped::{self, Shelf, head, member};
use crate::document::{self, AtHand, Loaded, TimedRun};
use crate::finding::Placed;
use crate::io::shop;

/// A text with what it says of itself.
struct Text {
    shelf: Shelf,
    id: String,
    bytes: Vec<u8>,
}

/// Everything at hand.
pub(in crate::cli) struct Hall {
    texts: Vec<Text>,
    names: AtHand,
}

impl Hall {
    /// Of the texts given, what lies beside them, and the library.
    pub(in crate::cli) fn of(given: &[(&Path, &[u8])], library: &Library) -> Self {
        let mut hall = Self {
            texts: Vec::new(),
            names: AtHand::default(),
        };
        for (_, bytes) in given {
            hall.add(bytes);
        }
        let mut seen: Vec<&Path> = Vec::new();
        for beside in given.iter().filter_map(|(path, _)| path.parent()) {
            if seen.contains(&beside) {
                continue;
            }
            seen.push(beside);
            let here = if beside.as_os_str().is_empty() {
                Path::new(".")
            } else {
                beside
            };
            // What can't be read there was not asked for.
            for (_, bytes) in shop::documents(here, &mut Vec::new()) {
                hall.add(&bytes);
            }
        }
        for shelf in SHELVES {
            for (_, found) in library.own(shelf) {
                hall.add(&found.bytes);
            }
        }
        for built_in in shipped::all().filter(|d| SHELVES.contains(&d.shelf)) {
            hall.add(built_in.bytes);
        }
        hall.name_all();
        hall
    }

    /// The first of an id counts.
    fn add(&mut self, bytes: &[u8]) {
        let Some((shelf, id)) = head(bytes).filter(|(shelf, _)| SHELVES.contains(shelf)) else {
            return;
        };
        if self.text(shelf, &id).is_none() {
            let bytes = bytes.to_vec();
            self.texts.push(Text { shelf, id, bytes });
        }
    }

    fn text(&self, shelf: Shelf, id: &str) -> Option<&[u8]> {
        let found = self.texts.iter().find(|t| t.shelf == shelf && t.id == id);
        found.map(|t| t.bytes.as_slice())
    }

    fn name_all(&mut self) {
        let mut names = AtHand::default();
        for text in &self.texts {
            let list = match text.shelf {
                Shelf::Procedure => {
                    let loaded = document::procedure(&text.id, &text.bytes);
                    // One with errors is known by its steps all the same.
                    let read = loaded.value.or(loaded.draft);
                    if let Some(procedure) = &read {
                        names.add_procedure(procedure);
                    }
                    &mut names.procedures
                }
                Shelf::Truck => {
                    let truck = document::truck(&text.id, &text.bytes, &|id| self.truck(id), None);
                    if let Some(truck) = &truck.value {
                        names.add_truck(truck);
                    }
                    &mut names.trucks
                }
                Shelf::Sheet => &mut names.sheets,
                Shelf::Instruments => &mut names.instruments,
                Shelf::Fault => &mut names.faults,
                Shelf::Drill => &mut names.drills,
                Shelf::DrillScript => &mut names.scripts,
                Shelf::Rehearsal | Shelf::Timetable => continue,
            };
            list.insert(text.id.clone());
        }
        self.names = names;
    }

    fn truck(&self, id: &str) -> Option<Vec<u8>> {
        self.text(Shelf::Truck, id).map(<[u8]>::to_vec)
    }

    /// Looks at one of these documents.
    pub(super) fn look(&self, report: &mut Report, shelf: Shelf, bytes: &[u8]) {
        let name = report.files.first().cloned().unwrap_or_default();
        let hand = Some(&self.names);
        report.placed = match shelf {
            Shelf::Truck => document::truck(&name, bytes, &|id| self.truck(id), hand).placed(),
            Shelf::Fault => document::fault(&name, bytes, hand).placed(),
            Shelf::Drill => document::drill(&name, bytes, hand).placed(),
            Shelf::Timetable => self.timetable(&name, bytes).placed(),
            Shelf::Procedure
            | Shelf::Sheet
            | Shelf::Instruments
            | Shelf::Rehearsal
            | Shelf::DrillScript => self.script(report, &name, bytes),
        };
    }

    /// A timetable, with the truck that it names.
    pub(in crate::cli) fn timetable(&self, name: &str, bytes: &[u8]) -> Loaded<TimedRun> {
        document::timetable(name, bytes, &|id| self.truck(id), Some(&self.names))
    }

    /// A script, what is entered held against the procedure of its drill.
    fn script(&self, report: &mut Report, name: &str, bytes: &[u8]) -> Vec<Placed> {
        let procedure = member(bytes, "drill")
            .and_then(|drill| member(self.text(Shelf::Drill, &drill)?, "procedure"))
            .and_then(|id| Some((self.text(Shelf::Procedure, &id)?, id)));
        let graph = procedure.and_then(|(text, id)| {
            let graph = document::procedure(&id, text).value;
            if graph.is_none() {
                report.notes.push(format!(
                    "{name}: the steps in it were not looked at, because the procedure {id} has errors; mend those first"
                ));
            }
            graph
        });
        document::drill_script(name, bytes, graph.as_ref(), Some(&self.names)).placed()
    }
}

/// What may be named by one of these documents.
const SHELVES: [Shelf; 7] = [
    Shelf::Procedure,
    Shelf::Sheet,
    Shelf::Instruments,
    Shelf::Truck,
    Shelf::Fault,
    Shelf::Drill,
    Shelf::DrillScript,
];

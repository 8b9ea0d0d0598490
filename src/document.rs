//! JSON text to procedures, sheets, instruments, trucks, drills and timetables, with
//! everything that is wrong.
//!
//! A document is scanned to a tree that knows its places, then read field by field
//! by a reader that collects findings instead of stopping, then judged by the rules
//! in `rule`. A value comes out only if nothing found is an error. Nothing here
//! reads a file; flow over the steps is judged by `proof`.

mod at_hand;
mod code;
mod declare;
mod drill;
mod drill_script;
mod fault;
mod fit;
mod form;
mod fragment;
mod graph;
mod instrument;
mod json;
mod measure;
mod name;
mod place;
mod reader;
mod rehearsal;
mod rule;
pub mod schema;
mod sheet;
mod step;
mod timetable;
mod truck;
mod turn;
mod way;
mod work;

pub use at_hand::AtHand;
pub use code::CODES;
pub use fit::fit;
pub use form::{FORMS, Form};
pub use place::Places;
pub use timetable::TimedRun;

use crate::finding::{Finding, Placed, Subject};
use crate::procedure::{Instruments, Procedure, Sheet};
use crate::rehearsal::{DrillScript, Rehearsal};
use crate::rig::{Fault, Plan, Truck};
use json::{Node, Span};
use reader::Reader;

/// What came of reading a document.
#[derive(Debug, Clone)]
pub struct Loaded<T> {
    /// The value; `None` if any finding is an error.
    pub value: Option<T>,
    /// What was read whole although rules found errors in it: good for nothing but to
    /// find more. `None` where `value` is there, and where something could not be read.
    pub draft: Option<T>,
    /// Everything that was found, in the order of the text.
    pub findings: Vec<Finding>,
    /// Where things stand in the text.
    pub places: Places,
}

impl<T> Loaded<T> {
    /// The findings with their places.
    pub fn placed(&self) -> Vec<Placed> {
        self.findings.iter().map(|f| self.places.place(f)).collect()
    }
}

/// Reads a procedure; `name` is what people call the file.
pub fn procedure(name: &str, bytes: &[u8]) -> Loaded<Procedure> {
    load(name, bytes, Reader::procedure)
}

/// Reads a sheet.
pub fn sheet(name: &str, bytes: &[u8]) -> Loaded<Sheet> {
    load(name, bytes, |reader, root| (reader.sheet(root), Vec::new()))
}

/// Reads a list of instruments.
pub fn instruments(name: &str, bytes: &[u8]) -> Loaded<Instruments> {
    load(name, bytes, |reader, root| {
        (reader.instruments(root), Vec::new())
    })
}

/// Reads a rehearsal.
pub fn rehearsal(name: &str, bytes: &[u8]) -> Loaded<Rehearsal> {
    load(name, bytes, |reader, root| {
        (reader.rehearsal(root), Vec::new())
    })
}

/// Reads a rehearsal and holds every name in it against its procedure.
pub fn rehearsal_of(name: &str, bytes: &[u8], graph: &Procedure) -> Loaded<Rehearsal> {
    load(name, bytes, |reader, root| {
        reader.hold_against(graph);
        (reader.rehearsal(root), Vec::new())
    })
}

/// Reads a truck to practise on; `find` gives the text of the trucks that it is like, by
/// their ids. Names are held against what is at hand, if that is given.
pub fn truck(
    name: &str,
    bytes: &[u8],
    find: &dyn Fn(&str) -> Option<Vec<u8>>,
    at_hand: Option<&AtHand>,
) -> Loaded<Truck> {
    load(name, bytes, |reader, root| {
        reader.at_hand = at_hand.cloned().map(Box::new);
        (reader.truck(root, find, &[]), Vec::new())
    })
}

/// Reads a fault; its steps and cards are held against what is at hand.
pub fn fault(name: &str, bytes: &[u8], at_hand: Option<&AtHand>) -> Loaded<Fault> {
    load(name, bytes, |reader, root| {
        reader.at_hand = at_hand.cloned().map(Box::new);
        (reader.fault(root), Vec::new())
    })
}

/// Reads a drill; every name in it is held against what is at hand.
pub fn drill(name: &str, bytes: &[u8], at_hand: Option<&AtHand>) -> Loaded<Plan> {
    load(name, bytes, |reader, root| {
        reader.at_hand = at_hand.cloned().map(Box::new);
        (reader.drill(root), Vec::new())
    })
}

/// Reads a script of a drill; what is entered is held against the drill's procedure, if
/// that is given, and other names against what is at hand.
pub fn drill_script(
    name: &str,
    bytes: &[u8],
    graph: Option<&Procedure>,
    at_hand: Option<&AtHand>,
) -> Loaded<DrillScript> {
    load(name, bytes, |reader, root| {
        reader.at_hand = at_hand.cloned().map(Box::new);
        if let Some(graph) = graph {
            reader.hold_against(graph);
        }
        (reader.drill_script(root), Vec::new())
    })
}

/// Reads a timetable; `find` gives the text of a truck that it names, by its id. That
/// name is held against what is at hand, if that is given.
pub fn timetable(
    name: &str,
    bytes: &[u8],
    find: &dyn Fn(&str) -> Option<Vec<u8>>,
    at_hand: Option<&AtHand>,
) -> Loaded<TimedRun> {
    load(name, bytes, |reader, root| {
        reader.at_hand = at_hand.cloned().map(Box::new);
        (reader.timetable(root, find), Vec::new())
    })
}

/// What a reader makes of a tree: the value, and the bodies of fragments with the
/// first use of each.
type Made<T> = (Option<T>, Vec<(Span, Span)>);

fn load<T>(
    name: &str,
    bytes: &[u8],
    read: impl FnOnce(&mut Reader, &Node) -> Made<T>,
) -> Loaded<T> {
    let mut places = Places::new(name, bytes);
    let (root, mut findings) = json::scan(bytes);
    let mut value = None;
    let mut is_whole = findings.is_empty();
    if let Some(root) = root {
        let mut reader = Reader::default();
        reader.told = findings
            .iter()
            .filter(|f| f.code == code::CONTROL_CHARACTER)
            .map(|f| places.start(&f.subject))
            .collect();
        let (made, bodies) = read(&mut reader, &root);
        value = made;
        places.spots = reader.spots;
        places.bodies = bodies;
        is_whole &= !reader.is_cut;
        findings.append(&mut reader.findings);
    }
    let (value, draft) = if findings.iter().any(Finding::is_error) {
        (None, value.filter(|_| is_whole))
    } else {
        (value, None)
    };
    // By place, and in the order found where two stand at one place.
    findings.sort_by_cached_key(|f| places.start(&f.subject));
    shorten(&mut findings);
    Loaded {
        value,
        draft,
        findings,
        places,
    }
}

/// The most findings that are told of one document. Nobody reads more, and each
/// costs a walk through the text.
const MOST: usize = 200;

/// Cuts what nobody would read, and says so.
fn shorten(findings: &mut Vec<Finding>) {
    let more = findings.len().saturating_sub(MOST);
    if more > 0 {
        findings.truncate(MOST);
        let sentence = format!("{more} more findings are left out here");
        findings.push(
            Finding::error(code::TOO_MANY, Subject::Document, sentence)
                .help("mend the first ones; the others often go with them"),
        );
    }
}

#[cfg(test)]
mod tests;

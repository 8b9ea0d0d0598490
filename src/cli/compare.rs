//! `levelhand compare`: what changed between two revisions, the demands that shrank
//! first, and whether a job that was done would still have passed.

mod job;

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::{Value, json};

use super::library::Library;
use super::output::{complain, say};
use super::shipped::{self, Shelf};
use crate::document::{self, Loaded};
use crate::finding::draw_all;
use crate::io::disk::Disk;
use crate::io::place::Place;
use crate::io::released::{self, Release};
use crate::io::{exit, shop};
use crate::procedure::{Instruments, Procedure, Sheet};
use crate::revision::{Change, Changes, compare_instruments, compare_procedures, compare_sheets};

/// Says in sentences what changed from one revision of a document to another. Demands
/// that shrank come first, each with the name by which a release confirms it.
#[derive(Debug, Args)]
#[command(
    after_help = "OLD and NEW are files, or ids of documents: the shop's own, or those built in. Where\nboth have one, say which: shop:ID, shipped:ID. released:ID is the last release.\n\nExamples:\n  levelhand compare shipped:height_check my_check.json\n  levelhand compare released:small_truck shop:small_truck\n  levelhand compare shipped:height_check my_check.json --job 7F3K\n\nExit codes: 0 no demand shrank, and the job would still have passed; 1 one did, or the job\nwould not, or nobody can tell; 2 a document or the job can't be used."
)]
pub(crate) struct Compare {
    /// The revision before.
    #[arg(value_name = "OLD")]
    old: String,
    /// The revision after.
    #[arg(value_name = "NEW")]
    new: String,
    /// Would this job still have passed? Its id, a part of it that only one job has,
    /// or the path of a journal.jsonl with its "documents" directory beside it.
    #[arg(long, value_name = "JOB")]
    job: Option<String>,
    /// One JSON object on standard output.
    #[arg(long)]
    json: bool,
}

/// A document with what it is.
pub(super) enum Read {
    /// A procedure.
    Procedure(Box<Procedure>),
    /// A sheet.
    Sheet(Box<Sheet>),
    /// A list of instruments.
    Instruments(Box<Instruments>),
}

/// Compares.
pub(crate) fn run(verb: &Compare, data: Option<PathBuf>) -> u8 {
    let place = match Place::find(data) {
        Ok(place) => place,
        Err(failure) => {
            complain(&failure.to_string());
            return failure.exit_code();
        }
    };
    match compared(verb, &place) {
        Ok(code) => code,
        Err(what) => {
            complain(&what);
            exit::USAGE
        }
    }
}

fn compared(verb: &Compare, place: &Place) -> Result<u8, String> {
    let old = read(&resolve(place, &verb.old)?)?;
    let new = read(&resolve(place, &verb.new)?)?;
    let changes = changes(&old, &new, place)?;
    let past = match &verb.job {
        Some(job) => Some(job::look(place, job, &new)?),
        None => None,
    };
    if verb.json {
        let mut value = as_json(&old, &new, &changes);
        if let (Some(past), Value::Object(map)) = (&past, &mut value) {
            map.insert("job".to_owned(), past.as_json());
        }
        say(&value.to_string());
    } else {
        let mut text = heading(&old, &new);
        text.push_str(&told(&changes));
        if let Some(past) = &past {
            text.push('\n');
            text.push_str(&past.told());
        }
        say(text.trim_end());
    }
    let passes = past.is_none_or(|past| past.would_pass() == Some(true));
    if changes.shrank().next().is_none() && passes {
        Ok(exit::OK)
    } else {
        Ok(exit::FINDINGS)
    }
}

/// What changed. Only documents of one kind are compared.
pub(super) fn changes(old: &Read, new: &Read, place: &Place) -> Result<Changes, String> {
    match (old, new) {
        (Read::Procedure(old), Read::Procedure(new)) => Ok(compare_procedures(old, new)),
        (Read::Sheet(old), Read::Sheet(new)) => {
            let procedures = procedures(place);
            Ok(compare_sheets(old, new, &procedures))
        }
        (Read::Instruments(old), Read::Instruments(new)) => Ok(compare_instruments(old, new)),
        (old, new) => Err(format!(
            "A {} can't be compared with a {}. Give two documents of one kind.",
            old.shelf().word(),
            new.shelf().word()
        )),
    }
}

/// Every procedure that there is: what a sheet is used for is told from them.
fn procedures(place: &Place) -> Vec<Procedure> {
    let (library, _unreadable) = Library::with_shop(Some(place.documents()));
    let own = library.own(Shelf::Procedure);
    let own = own.map(|(_, found)| document::procedure(&found.name, &found.bytes).value);
    let built_in = shipped::all().filter(|d| d.shelf == Shelf::Procedure);
    let built_in = built_in.map(|d| document::procedure(d.path, d.bytes).value);
    own.chain(built_in).flatten().collect()
}

impl Read {
    pub(super) const fn shelf(&self) -> Shelf {
        match self {
            Self::Procedure(_) => Shelf::Procedure,
            Self::Sheet(_) => Shelf::Sheet,
            Self::Instruments(_) => Shelf::Instruments,
        }
    }

    pub(super) fn id(&self) -> &str {
        match self {
            Self::Procedure(p) => p.id.as_str(),
            Self::Sheet(s) => s.id.as_str(),
            Self::Instruments(i) => &i.id,
        }
    }

    pub(super) fn title(&self) -> &str {
        match self {
            Self::Procedure(p) => &p.title,
            Self::Sheet(s) => &s.title,
            Self::Instruments(i) => &i.title,
        }
    }

    pub(super) const fn revision(&self) -> Option<u32> {
        match self {
            Self::Procedure(p) => Some(p.revision),
            Self::Sheet(s) => Some(s.revision),
            Self::Instruments(_) => None,
        }
    }

    /// Title, id and revision.
    pub(super) fn called(&self) -> String {
        let revision = self.revision();
        let revision = revision.map_or_else(String::new, |n| format!(", revision {n}"));
        format!("{} ({}{revision})", self.title(), self.id())
    }
}

/// A document's name and bytes.
pub(super) struct Bytes {
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}

/// Finds what was named: a file, or an id.
fn resolve(place: &Place, typed: &str) -> Result<Bytes, String> {
    let (from, id) = typed.split_once(':').unwrap_or(("", typed));
    let library = Library::of_verb(Some(place.documents()));
    let shelves = [Shelf::Procedure, Shelf::Sheet, Shelf::Instruments];
    let own = || {
        let all = shelves.into_iter().flat_map(|shelf| library.own(shelf));
        let mut all = all.filter(|(known, _)| *known == id);
        all.next().map(|(_, found)| Bytes {
            name: found.name.clone(),
            bytes: found.bytes.clone(),
        })
    };
    let built_in = || {
        let mut all = shipped::all().filter(|d| shelves.contains(&d.shelf));
        all.find(|d| d.id == id).map(|d| Bytes {
            name: d.path.to_owned(),
            bytes: d.bytes.to_vec(),
        })
    };
    let found = match from {
        "shop" => own(),
        "shipped" => built_in(),
        "released" => last_release(place, id)?,
        _ if Path::new(typed).exists() => return file(Path::new(typed)),
        "" => match (own(), built_in()) {
            (Some(_), Some(_)) => {
                return Err(format!(
                    "{id} is the shop's own and built in too. Say which: shop:{id} or shipped:{id}."
                ));
            }
            (own, built_in) => own.or(built_in),
        },
        _ => None,
    };
    found.ok_or_else(|| {
        format!("There is no file and no document named {typed}. Give a path, an id, shop:ID, shipped:ID or released:ID.")
    })
}

/// A kind in the list of releases, with its article.
fn called(kind: &str) -> String {
    let shelves = [Shelf::Procedure, Shelf::Sheet, Shelf::Instruments];
    let found = shelves.into_iter().find(|shelf| shelf.word() == kind);
    found.map_or_else(|| kind.to_owned(), |shelf| shelf.called().to_owned())
}

fn last_release(place: &Place, id: &str) -> Result<Option<Bytes>, String> {
    let register = released::read(&Disk, place).map_err(|failure| failure.to_string())?;
    if let Some(what) = &register.damage {
        return Err(format!(
            "The list of releases is damaged ({what}), so nobody can say what was released last. levelhand release --list tells what can be read."
        ));
    }
    let shelves = [Shelf::Procedure, Shelf::Sheet, Shelf::Instruments];
    let all = shelves.into_iter();
    let mut all = all.filter_map(|shelf| register.last(shelf.word(), id));
    let Some(last) = all.next() else {
        return Ok(None);
    };
    if let Some(other) = all.next() {
        return Err(format!(
            "{id} is released as {} and as {}. Give the file that is meant: {}.json or {}.json in {}.",
            called(&last.kind),
            called(&other.kind),
            last.sha256,
            other.sha256,
            place.root().join("released").display()
        ));
    }
    let bytes = released_bytes(place, last)?;
    Ok(Some(Bytes {
        name: format!("{id} as released"),
        bytes,
    }))
}

/// The kept bytes of a release, or what to do.
pub(super) fn released_bytes(place: &Place, last: &Release) -> Result<Vec<u8>, String> {
    released::kept(&Disk, place, last).ok_or_else(|| {
        format!(
            "The bytes that {} released on {} are not in {} any more, or are others now, so nobody can say what changed since. Put {}.json back there.",
            last.by,
            last.day(),
            place.root().join("released").display(),
            last.sha256
        )
    })
}

/// Reads a file.
pub(super) fn file(path: &Path) -> Result<Bytes, String> {
    let name = path.display().to_string();
    let bytes = shop::read(path)
        .map_err(|error| format!("{name} can't be read: {error}. Give the path of a document."))?;
    Ok(Bytes { name, bytes })
}

/// Reads a document; what is wrong with it is said whole.
pub(super) fn read(from: &Bytes) -> Result<Read, String> {
    fn value<T>(mut loaded: Loaded<T>) -> Result<Box<T>, String> {
        let value = loaded.value.take();
        value.map(Box::new).ok_or_else(|| {
            let mut wrong = loaded.placed();
            wrong.retain(|placed| placed.finding.is_error());
            format!("This document can't be used.\n{}", draw_all(&wrong, false))
        })
    }
    let Bytes { name, bytes } = from;
    match shipped::shelf(bytes) {
        Some(Shelf::Procedure) => value(document::procedure(name, bytes)).map(Read::Procedure),
        Some(Shelf::Sheet) => value(document::sheet(name, bytes)).map(Read::Sheet),
        Some(Shelf::Instruments) => {
            value(document::instruments(name, bytes)).map(Read::Instruments)
        }
        Some(
            shelf @ (Shelf::Rehearsal
            | Shelf::Truck
            | Shelf::Fault
            | Shelf::Drill
            | Shelf::DrillScript
            | Shelf::Timetable),
        ) => Err(format!(
            "{name} is {}. Give a procedure, a sheet or a list of instruments.",
            shelf.called()
        )),
        None => Err(format!(
            "{name} is no document of this program; levelhand check says what is wrong."
        )),
    }
}

fn heading(old: &Read, new: &Read) -> String {
    format!("From {}\nto   {}\n\n", old.called(), new.called())
}

/// What changed, as text.
pub(super) fn told(changes: &Changes) -> String {
    if changes.is_empty() {
        return "Nothing that a person meets has changed.\n".to_owned();
    }
    let mut text = String::new();
    let shrank: Vec<&Change> = changes.shrank().collect();
    // Writing to a string can't fail.
    if shrank.is_empty() {
        text.push_str("NO DEMAND SHRANK\n");
    } else {
        let _ = writeln!(text, "DEMANDS THAT SHRANK: {}", shrank.len());
        for change in shrank {
            let _ = writeln!(text, "  {}\n      {}", change.name, change.sentence);
        }
    }
    let leading: Vec<&Change> = changes.leading().collect();
    if !leading.is_empty() {
        let _ = writeln!(text, "\nLEADS ELSEWHERE NOW: {}", leading.len());
        for change in leading {
            let _ = writeln!(text, "  {}", change.sentence);
        }
    }
    let other: Vec<&Change> = changes.other().filter(|change| !change.leads).collect();
    if !other.is_empty() {
        let _ = writeln!(text, "\nALSO CHANGED: {}", other.len());
        for change in other {
            let _ = writeln!(text, "  {}", change.sentence);
        }
    }
    text
}

fn as_json(old: &Read, new: &Read, changes: &Changes) -> Value {
    let document = |read: &Read| {
        json!({
            "kind": read.shelf().word(),
            "id": read.id(),
            "title": read.title(),
            "revision": read.revision(),
        })
    };
    let list = |list: Vec<&Change>| -> Vec<Value> {
        let each = list.into_iter();
        each.map(|c| json!({ "name": c.name, "sentence": c.sentence }))
            .collect()
    };
    json!({
        "old": document(old),
        "new": document(new),
        "shrank": list(changes.shrank().collect()),
        "changed": list(changes.other().collect()),
    })
}

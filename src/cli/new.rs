//! `levelhand new`: a small document to begin with, which passes `check`.
//!
//! Nothing that is there already is written over.

mod script;

use std::path::{Path, PathBuf};

use clap::Args;

use super::library::{Found, Library};
use super::output::{complain, say};
use super::schema::Sort;
use super::shipped::{self, Shelf};
use crate::document::schema::Format;
use crate::finding::escape;
use crate::io::place::Place;
use crate::io::{exit, shop};
use crate::procedure::is_plain_id;

/// The directory beside a new document that its schema lies in.
const SCHEMAS: &str = "schemas";
/// The longest title.
const TITLE: usize = 60;

/// Writes a small document to begin with: it passes check, and its notes tell how it
/// is made. A rehearsal walks the straight way of a procedure that is there.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  levelhand new procedure my_job.json --title \"Height sensor, drive axle\"\n  levelhand new sheet my_truck.json\n  levelhand new instruments my_bench.json\n  levelhand new rehearsal my_run.json --of my_job.json --sheet my_truck.json --instruments my_bench.json\n  levelhand new fault my_fault.json --title \"right gauge out of date\"\n\nExit codes: 0 written; 1 written, but not whole (what is missing is said); 2 wrong use, or the\nfile is there already; 3 the disk refused."
)]
pub(crate) struct New {
    /// What to begin.
    #[arg(value_enum)]
    sort: Sort,
    /// The file to write.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Its name for the program; else the name of the file.
    #[arg(long)]
    id: Option<String>,
    /// Its title for people.
    #[arg(long)]
    title: Option<String>,
    /// A rehearsal's procedure: a file, or the id of one that is known.
    #[arg(long, value_name = "PROCEDURE")]
    of: Option<String>,
    /// A rehearsal's sheet: a file, or an id.
    #[arg(long, value_name = "SHEET")]
    sheet: Option<String>,
    /// A rehearsal's instruments: a file, or an id.
    #[arg(long, value_name = "INSTRUMENTS")]
    instruments: Option<String>,
}

/// What a new document is called.
struct Head {
    id: String,
    title: String,
    schema: String,
}

/// Writes it.
pub(crate) fn run(verb: &New, data: Option<PathBuf>) -> u8 {
    let made = fitting(verb)
        .and_then(|()| head(verb))
        .and_then(|head| match verb.sort {
            Sort::Procedure => Ok((filled(PROCEDURE, &head), None)),
            Sort::Sheet => Ok((filled(SHEET, &head), None)),
            Sort::Instruments => Ok((filled(INSTRUMENTS, &head), None)),
            Sort::Rehearsal => rehearsal(verb, &head, data),
            Sort::Truck => Ok((filled(TRUCK, &head), None)),
            Sort::Fault => Ok((filled(FAULT, &head), None)),
            Sort::Drill => Ok((filled(DRILL, &head), None)),
            Sort::DrillScript => Ok((filled(SCRIPT, &head), None)),
            Sort::Timetable => Ok((filled(TIMETABLE, &head), None)),
        });
    let (text, stuck) = match made {
        Ok(made) => made,
        Err(what) => {
            complain(&what);
            return exit::USAGE;
        }
    };
    if let Err(code) = put(verb, &text) {
        return code;
    }
    say(&format!("written  {}", verb.file.display()));
    say(&next(verb));
    match stuck {
        None => exit::OK,
        Some(why) => {
            complain(&why);
            exit::FINDINGS
        }
    }
}

const PROCEDURE: &str = include_str!("../../assets/new/procedure.json");
const SHEET: &str = include_str!("../../assets/new/sheet.json");
const INSTRUMENTS: &str = include_str!("../../assets/new/instruments.json");
const TRUCK: &str = include_str!("../../assets/new/truck.json");
const FAULT: &str = include_str!("../../assets/new/fault.json");
const DRILL: &str = include_str!("../../assets/new/drill.json");
const SCRIPT: &str = include_str!("../../assets/new/script.json");
const TIMETABLE: &str = include_str!("../../assets/new/timetable.json");

fn filled(text: &str, head: &Head) -> String {
    let quoted = |text: &str| serde_json::Value::from(text).to_string();
    text.replacen("{SCHEMA}", &quoted(&head.schema), 1)
        .replacen("{ID}", &quoted(&head.id), 1)
        .replacen("{TITLE}", &quoted(&head.title), 1)
}

/// Refuses what only a rehearsal is made of, and an id for what has none.
fn fitting(verb: &New) -> Result<(), String> {
    let given = [
        ("--of", &verb.of),
        ("--sheet", &verb.sheet),
        ("--instruments", &verb.instruments),
    ];
    if verb.sort == Sort::Timetable && verb.id.is_some() {
        return Err("A timetable has no id, because nothing names it. Leave --id out.".to_owned());
    }
    let extra = given.into_iter().find(|(_, value)| value.is_some());
    match extra {
        Some((option, _)) if verb.sort != Sort::Rehearsal => Err(format!(
            "{option} says what a rehearsal is of, and this is none. Leave it out, or write levelhand new rehearsal FILE."
        )),
        _ => Ok(()),
    }
}

fn head(verb: &New) -> Result<Head, String> {
    let stem = verb.file.file_stem().and_then(|s| s.to_str()).unwrap_or("");
    let id = verb.id.as_deref().unwrap_or(stem);
    if verb.sort != Sort::Timetable && !is_plain_id(id) {
        let from = if verb.id.is_some() {
            ""
        } else {
            " (the name of the file)"
        };
        return Err(format!(
            "{id:?}{from} can't be the id of a document. Give one with --id: 1 to 48 small letters, figures and single underscores, a letter first, such as \"my_truck\"."
        ));
    }
    let shelf = match verb.sort {
        Sort::Procedure => Shelf::Procedure,
        Sort::Sheet => Shelf::Sheet,
        Sort::Instruments => Shelf::Instruments,
        Sort::Rehearsal => Shelf::Rehearsal,
        Sort::Truck => Shelf::Truck,
        Sort::Fault => Shelf::Fault,
        Sort::Drill => Shelf::Drill,
        Sort::DrillScript => Shelf::DrillScript,
        Sort::Timetable => Shelf::Timetable,
    };
    if shipped::all().any(|d| d.shelf == shelf && d.id == id) {
        return Err(format!(
            "A {} named {id} is built in, and yours would stand in its place. Give another id with --id, such as \"my_{id}\".",
            shelf.word()
        ));
    }
    let title = verb.title.clone().unwrap_or_else(|| id.replace('_', " "));
    let length = title.chars().count();
    let why = if title.trim().is_empty() {
        "there is nothing in it".to_owned()
    } else if length > TITLE {
        format!("it has {length} letters")
    } else if escape(&title) != title {
        "there is a control character in it".to_owned()
    } else {
        String::new()
    };
    if !why.is_empty() {
        return Err(format!(
            "This can't be a title: {why}. Give 1 to {TITLE} plain letters with --title."
        ));
    }
    let format = Format::from(verb.sort);
    Ok(Head {
        id: id.to_owned(),
        title,
        schema: format!("{SCHEMAS}/{}", format.file_name()),
    })
}

/// Writes the document, and its schema beside it if that is not there.
fn put(verb: &New, text: &str) -> Result<(), u8> {
    let name = verb.file.display();
    if let Err(error) = shop::put(&verb.file, text.as_bytes(), false) {
        if error.kind() == std::io::ErrorKind::AlreadyExists {
            complain(&format!(
                "{name} is there already, and nothing is written over. Give another name, or move that file away."
            ));
            return Err(exit::USAGE);
        }
        complain(&format!(
            "{name} can't be written: {error}. Give a place where you may write."
        ));
        return Err(exit::STORAGE);
    }
    let format = Format::from(verb.sort);
    let dir = verb.file.parent().unwrap_or_else(|| Path::new(""));
    let path = dir.join(SCHEMAS).join(format.file_name());
    match shop::put(&path, format.schema().as_bytes(), false) {
        Ok(()) => say(&format!("written  {} (for your editor)", path.display())),
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
        Err(error) => complain(&format!(
            "{} can't be written: {error}. Your editor will not help until \"levelhand schema --all\" has written it.",
            path.display()
        )),
    }
    Ok(())
}

/// What to do next.
fn next(verb: &New) -> String {
    let name = verb.file.display();
    match verb.sort {
        Sort::Procedure => format!(
            "Next: open it in a text editor, change a piece, and run\n  levelhand check {name}"
        ),
        Sort::Sheet => format!(
            "Next: write the vehicle's own values, and hold it against a procedure with\n  levelhand check PROCEDURE {name} INSTRUMENTS"
        ),
        Sort::Instruments => format!(
            "Next: write your own instruments, and hold them against a procedure with\n  levelhand check PROCEDURE SHEET {name}"
        ),
        Sort::Truck | Sort::Fault | Sort::Drill | Sort::DrillScript => format!(
            "Next: open it in a text editor, write your own, and run\n  levelhand check {name}"
        ),
        Sort::Timetable => format!(
            "Next: open it in a text editor, write what you want to try, and run\n  levelhand check {name}\n  levelhand rig run {name}"
        ),
        Sort::Rehearsal => {
            let papers = [&verb.of, &verb.sheet, &verb.instruments];
            let files = papers
                .into_iter()
                .flatten()
                .filter(|p| Path::new(p).exists());
            let files: Vec<&str> = files.map(String::as_str).collect();
            let files = files
                .iter()
                .fold(String::new(), |all, f| format!("{all}{f} "));
            format!(
                "Next: play it, and see which ways are left, with\n  levelhand rehearse --ways {files}{name}"
            )
        }
    }
}

/// A rehearsal of a procedure that is there; and why it is not whole, if it isn't.
fn rehearsal(
    verb: &New,
    head: &Head,
    data: Option<PathBuf>,
) -> Result<(String, Option<String>), String> {
    let shop = Place::find(data).ok().map(|place| place.documents());
    let mut library = Library::of_verb(shop);
    let mut id = |given: &Option<String>, shelf, option: &str, what: &str| {
        let given = given.as_ref().ok_or_else(|| {
            format!("A rehearsal needs {what}. Give its file or its id with {option}.")
        })?;
        known(&mut library, shelf, given, what)
    };
    let of = [
        id(&verb.of, Shelf::Procedure, "--of", "a procedure")?,
        id(&verb.sheet, Shelf::Sheet, "--sheet", "a sheet")?,
        id(
            &verb.instruments,
            Shelf::Instruments,
            "--instruments",
            "instruments",
        )?,
    ];
    let setup = super::rehearse::setup(&library, &of)?;
    script::write(&setup, head, &of)
}

/// The id of a document that is given by its file or its id.
fn known(library: &mut Library, shelf: Shelf, given: &str, what: &str) -> Result<String, String> {
    if let Some(id) = given.strip_prefix("shipped:") {
        let mut all = shipped::all().filter(|d| d.shelf == shelf);
        let built_in = all.find(|d| d.id == id).ok_or_else(|| {
            format!("Nothing named {id} is built in that is {what}. Give its file, or an id that is known.")
        })?;
        let name = built_in.path.to_owned();
        let bytes = built_in.bytes.to_vec();
        library.add(shelf, id.to_owned(), Found { name, bytes });
        return Ok(id.to_owned());
    }
    if let Some(id) = given.strip_prefix("shop:") {
        let own = library.own(shelf).any(|(known, _)| known == id);
        return own.then(|| id.to_owned()).ok_or_else(|| {
            format!("The shop has nothing named {id} that is {what}. Give its file, or an id that is known.")
        });
    }
    if library.find(shelf, given).is_some() {
        return Ok(given.to_owned());
    }
    let bytes = shop::read(Path::new(given)).map_err(|error| {
        format!("{given} is no id that is known here, and as a file it can't be read: {error}. Give {what}.")
    })?;
    match shipped::head(&bytes) {
        Some((found, id)) if found == shelf => {
            let name = given.to_owned();
            library.add(shelf, id.clone(), Found { name, bytes });
            Ok(id)
        }
        Some(_) | None => Err(format!(
            "{given} is not {what}. levelhand check says what it is."
        )),
    }
}

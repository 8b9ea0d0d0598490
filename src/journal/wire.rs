//! Commands and events as JSON, and back: mirror records, so that the engine's
//! types can change their names without any old journal noticing.
//!
//! Invariants: what is written is read back equal, floats to the last bit.
//! Nothing unknown is passed over: a word or member that this version does not
//! know refuses the entry, by its number.
//!
//! *Old reader, new data*: a later version that needs a new command, event or
//! member makes every older reader refuse such a job, with the entry and the
//! word it does not know. That is meant: to skip an event would fold a state
//! that never was. The chain can still be checked, because it rests on bytes.
//! *New reader, old data*: a member added later is an `Option` (or has a
//! default) that is not written when empty; no member is ever renamed, given
//! another meaning or taken away under this format's name. What can't be done
//! so gets a new name of the format in entry 0.
//!
//! Must not know what a command does. Names ids of `procedure` and nothing else
//! of it, because events carry them.

mod begin;
mod command;
mod event;
mod value;

#[cfg(test)]
mod tests;

use std::fmt;

use serde_json::value::RawValue;

use super::{Entry, Failure};
use crate::job::{At, Command, Event};

pub use begin::{JOURNAL_FORMAT, Pins};

/// An entry that can't be understood by this version.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotUnderstood {
    /// The entry.
    pub entry: u64,
    /// Which part of it: the command or what came of it.
    pub part: Part,
    /// What was found, in the words of the reader.
    pub what: String,
}

/// A part of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// `do`.
    Command,
    /// `ev`.
    Events,
}

impl fmt::Display for NotUnderstood {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let part = match self.part {
            Part::Command => "its command",
            Part::Events => "what came of it",
        };
        let what = crate::finding::escape(&self.what);
        write!(
            f,
            "Entry {}: {part} can't be understood: {what}. \
             This program reads \u{201c}{JOURNAL_FORMAT}\u{201d}; open the job with the version that wrote it.",
            self.entry
        )
    }
}

impl std::error::Error for NotUnderstood {}

/// An entry as the engine sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Its place.
    pub seq: u64,
    /// When.
    pub at: At,
    /// Who gave the command.
    pub by: String,
    /// What was done.
    pub command: Command,
    /// What came of it.
    pub events: Vec<Event>,
    /// What entry 0 pins; `None` in all others.
    pub pins: Option<Pins>,
    /// The program's version, in entries in which a program opens the job.
    pub program: Option<String>,
}

/// The instant of an entry.
pub fn at_of(entry: &Entry) -> At {
    At {
        wall_ms: entry.at.wall_ms,
        offset_min: entry.at.offset_min,
        mono_ms: entry.at.mono_ms,
        session: entry.session,
    }
}

/// Understands an entry.
///
/// # Errors
/// With the entry's number, when it holds a word, member or value that this
/// version does not know, or when what only entry 0 may hold stands elsewhere.
pub fn understand(entry: &Entry) -> Result<Told, NotUnderstood> {
    let misfit = |part: Part| {
        move |what: String| NotUnderstood {
            entry: entry.seq,
            part,
            what,
        }
    };
    let (command, pins, program) =
        begin::read(entry.command.get(), entry.seq == 0).map_err(misfit(Part::Command))?;
    let events = event::read(entry.events.get()).map_err(misfit(Part::Events))?;
    Ok(Told {
        seq: entry.seq,
        at: at_of(entry),
        by: entry.by.clone(),
        command,
        events,
        pins,
        program,
    })
}

/// What entry 0 pins, without looking further.
///
/// # Errors
/// As [`understand`].
pub fn pins(first: &Entry) -> Result<Pins, NotUnderstood> {
    let told = understand(first)?;
    told.pins.ok_or(NotUnderstood {
        entry: first.seq,
        part: Part::Command,
        what: "it pins no documents, as the first entry of a job must".to_owned(),
    })
}

/// A command as text; `program` stands in entries in which a program opens the job again.
///
/// # Errors
/// `Unwritable`, a fault of the program: for [`Command::Open`], which is
/// written with its pins by [`write_open`].
pub fn write_command(command: &Command, program: &str) -> Result<Box<RawValue>, Failure> {
    command::write(command, program)
}

/// The first command as text, with what it pins.
///
/// # Errors
/// `Unwritable`, a fault of the program: for any other command.
pub fn write_open(command: &Command, pins: &Pins) -> Result<Box<RawValue>, Failure> {
    begin::write(command, pins)
}

/// Events as text.
///
/// # Errors
/// `Unwritable`, a fault of the program: never for events that the engine makes.
pub fn write_events(events: &[Event]) -> Result<Box<RawValue>, Failure> {
    event::write(events)
}

/// Writes a record.
fn raw<T: serde::Serialize>(record: &T) -> Result<Box<RawValue>, Failure> {
    serde_json::value::to_raw_value(record).map_err(|_never| Failure::Unwritable {
        what: "its command or what came of it is not JSON",
    })
}

/// An id out of its text.
fn id<T>(
    make: impl Fn(&str) -> Result<T, crate::procedure::IdError>,
    text: &str,
) -> Result<T, String> {
    make(text).map_err(|error| error.to_string())
}

/// Ids out of their texts.
fn ids<T, C: FromIterator<T>>(
    make: impl Fn(&str) -> Result<T, crate::procedure::IdError>,
    texts: &[String],
) -> Result<C, String> {
    texts.iter().map(|text| id(&make, text)).collect()
}

/// The texts of ids.
fn texts<'i, T: fmt::Display + 'i>(ids: impl IntoIterator<Item = &'i T>) -> Vec<String> {
    ids.into_iter().map(ToString::to_string).collect()
}

/// What a word of the journal names, or that nothing bears that name.
fn word<T>(found: Option<T>, what: &str, text: &str) -> Result<T, String> {
    found.ok_or_else(|| format!("{what} {text:?} is not known"))
}

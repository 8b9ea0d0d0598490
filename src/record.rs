//! A job as people read it: the status sheet, the page, the data, the check.
//!
//! Invariants: everything shown comes from the journal and the documents it
//! pins; nothing is judged here. Text that came from a document or a keyboard
//! is escaped before it stands on a page (P9). Practice says so on every page
//! (P11).
//!
//! Must not know of files, terminals or clocks.

mod chronicle;
mod data;
mod page;
mod paper;
mod show;
mod status;
mod story;
mod verify;
mod walk;

use crate::job::{Setup, State};
use crate::journal::{Agreement, Head, Pins, Told};

pub use data::data;
pub use page::page;
pub use show::instant;
pub use status::{GENERAL_STOP, status_sheet};
pub use story::{
    Against, Change, Document, Hold, Instrument, Line, Owed, Point, Revision, Stop, Story, Value,
    Verdict, story,
};
pub use verify::{Exhibit, Flaw, Report, Seal, SealError, UNDETECTABLE, verify};

/// A job, as it stands after some entry.
#[derive(Debug, Clone, Copy)]
pub struct Account<'a> {
    /// The documents it is pinned to.
    pub setup: &'a Setup,
    /// What entry 0 pins.
    pub pins: &'a Pins,
    /// Its state.
    pub state: &'a State,
    /// Its entries.
    pub told: &'a [Told],
    /// Count and last hash.
    pub head: Head,
    /// Whether the engine agrees with the record; `None` while the job runs and
    /// everything in it was just decided.
    pub agreement: Option<&'a Agreement>,
}

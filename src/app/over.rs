//! What lies over a step: help, the route, a reason being typed, the review.

use super::field::Field;
use super::review::Review;
use crate::procedure::{DutyId, InstrumentId, RoleId, TickId, ValueId};

/// What a line of words is typed for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// Why an advice limit is overridden.
    Override(usize),
    /// Why a tick does not apply.
    NotApplicable(TickId),
    /// The words that a tick asks for.
    Words(TickId),
    /// Who reads a second time.
    WitnessName(ValueId),
    /// Who takes a duty on.
    HandOver(DutyId),
    /// Who sees to the repeats.
    HandOverRepeats,
    /// A remark.
    Note,
    /// Who has the keyboard now.
    SignOn,
    /// Why another instrument is used.
    Instrument(RoleId, InstrumentId),
    /// Its zero.
    Zero(RoleId, InstrumentId, String),
    /// Where a copy of the record goes.
    Copy,
}

/// A line of words being typed over a step.
#[derive(Debug, Clone)]
pub struct Reason {
    /// What for.
    pub purpose: Purpose,
    /// What is asked, in a sentence.
    pub asks: String,
    /// The line.
    pub field: Field,
    /// What is wrong with it.
    pub message: Option<String>,
}

/// A row of the menu under help.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MenuRow {
    /// Why this step, and all its cautions.
    Why,
    /// The route: what was done, what comes.
    Route,
    /// What was given so far, and corrections.
    Values,
    /// Which instrument is used for what.
    Instruments,
    /// A remark.
    Note,
    /// Someone else has the keyboard.
    SignOn,
    /// The bell.
    Bell,
    /// Two keys in turn instead of a hold.
    Turns,
    /// Try the hold key.
    Trial,
    /// A copy of the record.
    Copy,
    /// Leave it for now.
    Leave,
}

impl MenuRow {
    /// All rows, in order.
    pub const ALL: [Self; 11] = [
        Self::Why,
        Self::Route,
        Self::Values,
        Self::Instruments,
        Self::Note,
        Self::SignOn,
        Self::Bell,
        Self::Turns,
        Self::Trial,
        Self::Copy,
        Self::Leave,
    ];

    /// Its letter and its words.
    pub const fn label(self) -> (char, &'static str) {
        match self {
            Self::Why => ('w', "why this step, and all its cautions"),
            Self::Route => ('r', "route: what is done and what comes"),
            Self::Values => ('v', "values given so far, and corrections"),
            Self::Instruments => ('i', "instruments in use"),
            Self::Note => ('n', "note: keep a remark"),
            Self::SignOn => ('p', "person: someone else has the keyboard"),
            Self::Bell => ('b', "bell when a time is up: on or off"),
            Self::Turns => ('t', "two keys in turn instead of a hold: on or off"),
            Self::Trial => ('k', "try the hold key of this keyboard"),
            Self::Copy => ('c', "copy the record to another place"),
            Self::Leave => ('q', "leave this job for now"),
        }
    }
}

/// What lies over a step.
#[derive(Debug, Clone, Default)]
pub enum Over {
    /// Nothing.
    #[default]
    None,
    /// The menu, with the row in focus.
    Menu(usize),
    /// Why this step, and its cautions; first line shown.
    Why(usize),
    /// The route; first line shown.
    Route(usize),
    /// What was given, with corrections.
    Review(Box<Review>),
    /// A line of words.
    Reason(Box<Reason>),
    /// The instruments; the row in focus.
    Instruments(usize),
    /// Leave it for now? What is left behind is told.
    Leaving,
    /// The trial of the hold key.
    Trial(Box<super::trial::Trial>),
}

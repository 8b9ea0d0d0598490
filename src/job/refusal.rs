//! Why the engine says no: what is missing and where it comes from.

use std::fmt;

use crate::procedure::{InstrumentId, StepId};
use crate::quantity::{Day, Kind};

/// Why a command changes nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// The job is over.
    Over,
    /// The job was opened already, or not yet.
    Opened(bool),
    /// The stop card is up.
    StopCardUp,
    /// There is no carrying on from this stop card.
    NoCarryingOn,
    /// The stop card is not up.
    NoStopCard,
    /// Stop work is not offered here.
    NoStopHere,
    /// The job waits before a step.
    Waiting {
        /// What must be attested, as titles.
        attest: Vec<String>,
    },
    /// These must be attested again before the step can be passed.
    Stale {
        /// Titles.
        attest: Vec<String>,
    },
    /// A need does not hold.
    Needs {
        /// The step that can't be entered.
        step: String,
        /// Each need that does not hold, with the steps that make it true.
        missing: Vec<(String, Vec<String>)>,
    },
    /// As-found or as-left readings are missing.
    Unread {
        /// The step that can't be entered.
        step: String,
        /// Titles of the readings.
        missing: Vec<String>,
    },
    /// The step asks for no such thing.
    NotAsked {
        /// What was given.
        what: String,
        /// What the step asks for.
        asked: Vec<String>,
    },
    /// Not everything is answered.
    Unanswered {
        /// What is open.
        open: Vec<String>,
    },
    /// A bad answer, and no way from it: change it, or stop work.
    BadAnswer {
        /// The ticks.
        ticks: Vec<String>,
    },
    /// A limit is not met.
    LimitNotMet {
        /// What was judged.
        of: String,
    },
    /// The tick asks for words.
    WordsWanted {
        /// The tick.
        tick: String,
    },
    /// "Does not apply" is not open here.
    Applies {
        /// The tick.
        tick: String,
    },
    /// A reason is wanted.
    ReasonWanted,
    /// The value is of another kind.
    Kind {
        /// The reading.
        reading: String,
        /// What it takes.
        wanted: Kind,
        /// What was given.
        found: Kind,
    },
    /// Beyond what the instrument can show.
    BeyondSpan {
        /// The reading.
        reading: String,
        /// The instrument.
        instrument: String,
    },
    /// Outside what is usual: type it again if it is meant.
    Unusual {
        /// The reading.
        reading: String,
    },
    /// No instrument is named for this use.
    NoInstrument {
        /// The use.
        role: String,
    },
    /// The instrument is past its date and the limit is an interlock.
    Overdue {
        /// The instrument.
        instrument: String,
        /// Its date.
        due: Day,
    },
    /// The gauge's zero is off by more than half its limit of error.
    ZeroRefused {
        /// The gauge.
        instrument: String,
    },
    /// The gauge's zero has not been looked at.
    ZeroWanted {
        /// The gauge.
        instrument: String,
    },
    /// The instrument can't be used for this.
    WrongInstrument {
        /// The instrument.
        instrument: InstrumentId,
        /// What it is wanted for.
        role: String,
    },
    /// The second person must be another one.
    SamePerson,
    /// The first person reads before the second.
    FirstReadingMissing {
        /// The reading.
        reading: String,
    },
    /// There is no such limit, or it can't be overridden.
    NoOverride,
    /// The step is confirmed in another way.
    WrongConfirm {
        /// How it is confirmed.
        wanted: &'static str,
    },
    /// The hold is too short or of a kind that is not taken here.
    WeakHold {
        /// What is wrong with it.
        what: &'static str,
    },
    /// The time is not up.
    TooSoon {
        /// How many ms are left.
        left_ms: u64,
    },
    /// The pulse or wait does not run, or has not lapsed.
    NotRunning,
    /// The choice is withdrawn.
    Withdrawn {
        /// The choice.
        choice: String,
    },
    /// The condition does not hold, or holds without being asked.
    NotToAttest {
        /// The condition.
        condition: String,
    },
    /// The condition is attested with a reading.
    ReadingWanted {
        /// The condition.
        condition: String,
        /// The reading.
        reading: String,
    },
    /// No watch asks for it.
    NotDue {
        /// The reading.
        reading: String,
    },
    /// There is nothing to correct.
    NothingToCorrect {
        /// What.
        what: String,
    },
    /// The step can't be repeated in place.
    NoRepeat {
        /// The step.
        step: String,
        /// Why not.
        why: &'static str,
    },
    /// A repeat is under way, or none is.
    Repeating(bool),
    /// The duty is not owed at an end.
    NotOwed,
    /// A sum gave nothing.
    NoWorking {
        /// The working.
        working: String,
        /// What the sum says.
        why: String,
    },
    /// The sheet lacks a value; the job can't have been opened with it.
    SheetLacks {
        /// The key.
        key: String,
    },
    /// The step is not in the procedure; the journal is not of this procedure.
    NoSuchStep(StepId),
}

/// Titles may hold commas ("gauge, left"), so a list of them is parted otherwise.
fn list(items: &[String]) -> String {
    items.join(" · ")
}

impl fmt::Display for Refusal {
    #[expect(clippy::too_many_lines, reason = "one sentence a variant")]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Over => write!(f, "this job is over; open a new one that names it"),
            Self::Opened(true) => write!(f, "this job is open already"),
            Self::Opened(false) => write!(f, "this job is not open yet"),
            Self::StopCardUp => {
                write!(f, "the stop card is up; carry on or take the stop first")
            }
            Self::NoCarryingOn => write!(
                f,
                "a correction undid what made this place safe; take the stop"
            ),
            Self::NoStopCard => write!(f, "work is not stopped; nothing to carry on from"),
            Self::NoStopHere => write!(f, "the job is at its end; there is nothing to stop"),
            Self::Waiting { attest } => write!(
                f,
                "first look again and say so: {}; or stop work",
                list(attest)
            ),
            Self::Stale { attest } => write!(
                f,
                "before this can be passed, look again and say so: {}",
                list(attest)
            ),
            Self::Needs { step, missing } => {
                write!(f, "\"{step}\" can't be begun; not true now:")?;
                for (need, from) in missing {
                    write!(f, " {need}")?;
                    if !from.is_empty() {
                        write!(f, " (made true by: {})", list(from))?;
                    }
                    write!(f, ";")?;
                }
                write!(f, " stop work")
            }
            Self::Unread { step, missing } => write!(
                f,
                "\"{step}\" can't be begun before these are read: {}",
                list(missing)
            ),
            Self::NotAsked { what, asked } => write!(
                f,
                "{what} is not asked for here; open now: {}",
                if asked.is_empty() {
                    "nothing".to_owned()
                } else {
                    list(asked)
                }
            ),
            Self::Unanswered { open } => write!(f, "still open: {}", list(open)),
            Self::BadAnswer { ticks } => write!(
                f,
                "answered badly: {}; put it right and change the answer, or stop work",
                list(ticks)
            ),
            Self::LimitNotMet { of } => write!(
                f,
                "{of} is not within its limit; read again, or take the way shown"
            ),
            Self::WordsWanted { tick } => {
                write!(f, "\"{tick}\" asks for words, not only a yes")
            }
            Self::Applies { tick } => {
                write!(f, "\"{tick}\" always applies here; answer it, or stop work")
            }
            Self::ReasonWanted => write!(f, "give a reason; it is kept in the record"),
            Self::Kind {
                reading,
                wanted,
                found,
            } => write!(
                f,
                "{reading} takes {}; {} was given",
                wanted.with_article(),
                found.with_article()
            ),
            Self::BeyondSpan {
                reading,
                instrument,
            } => write!(
                f,
                "{reading}: {instrument} can't show that; read again, or use an instrument that can"
            ),
            Self::Unusual { reading } => write!(
                f,
                "{reading}: that is unusual here; look again, and give the same value a second time if it is meant"
            ),
            Self::NoInstrument { role } => write!(
                f,
                "no instrument is named for {role}; choose one from the list"
            ),
            Self::Overdue { instrument, due } => write!(
                f,
                "{instrument} was due for calibration on {due}; this limit has no way past it, use another instrument"
            ),
            Self::ZeroRefused { instrument } => write!(
                f,
                "{instrument}: its zero is off by more than half its limit of error; use another gauge"
            ),
            Self::ZeroWanted { instrument } => write!(
                f,
                "{instrument}: look at its zero first, open to the air, and give what it shows"
            ),
            Self::WrongInstrument { instrument, role } => write!(
                f,
                "{instrument} is not in the shop's list or can't measure {role}"
            ),
            Self::SamePerson => write!(f, "a second person must read this, by another name"),
            Self::FirstReadingMissing { reading } => {
                write!(f, "{reading}: the first reading comes first")
            }
            Self::NoOverride => write!(
                f,
                "this limit has no way past it; put it right, or take the way shown"
            ),
            Self::WrongConfirm { wanted } => write!(f, "this step is passed {wanted}"),
            Self::WeakHold { what } => write!(f, "the hold was not taken: {what}; try again"),
            Self::TooSoon { left_ms } => {
                write!(f, "not yet: {} s to go", left_ms.div_ceil(1000))
            }
            Self::NotRunning => write!(
                f,
                "no clock runs here that could be over; start it first, or let it run"
            ),
            Self::Withdrawn { choice } => write!(
                f,
                "\"{choice}\" has been used as often as it may; choose another"
            ),
            Self::NotToAttest { condition } => {
                write!(f, "\"{condition}\" is not asked again now")
            }
            Self::ReadingWanted { condition, reading } => {
                write!(f, "\"{condition}\" is said again with a reading: {reading}")
            }
            Self::NotDue { reading } => write!(f, "{reading} is not asked for by a watch now"),
            Self::NothingToCorrect { what } => write!(
                f,
                "{what} was not given yet, or is answered in the step at hand; change it there"
            ),
            Self::NoRepeat { step, why } => {
                write!(f, "\"{step}\" can't be repeated here: {why}")
            }
            Self::Repeating(true) => {
                write!(f, "a step is being repeated; finish or leave it first")
            }
            Self::Repeating(false) => write!(f, "no step is being repeated"),
            Self::NotOwed => write!(f, "nothing by that name is still to do here"),
            Self::NoWorking { working, why } => {
                write!(f, "{working} can't be worked out: {why}")
            }
            Self::SheetLacks { key } => write!(
                f,
                "the sheet has no value for {key}; this job can't go on, stop work and mend the sheet"
            ),
            Self::NoSuchStep(step) => write!(
                f,
                "step {step} is not in the procedure of this job; the journal belongs to another one"
            ),
        }
    }
}

impl std::error::Error for Refusal {}

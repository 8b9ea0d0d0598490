//! What a person does. One command is one atomic change and one journal entry.

use std::collections::BTreeMap;
use std::fmt;

use crate::procedure::{
    ChoiceId, ConditionId, DutyId, InstrumentId, RoleId, StepId, TickId, ValueId,
};
use crate::quantity::{Quantity, System};

/// A name that can't be used for a person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonError {
    /// What was typed.
    pub found: String,
}

impl fmt::Display for PersonError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} can't be a name here; type 1 to 40 letters, without line breaks",
            self.found
        )
    }
}

impl std::error::Error for PersonError {}

/// A person by the name they sign with; names are not proved.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Person(String);

impl Person {
    /// Takes a name.
    ///
    /// # Errors
    /// When it is empty, longer than 40 characters or holds a control character.
    pub fn new(name: &str) -> Result<Self, PersonError> {
        let name = name.trim();
        let count = name.chars().count();
        if count == 0 || count > 40 || name.chars().any(char::is_control) {
            return Err(PersonError {
                found: name.to_owned(),
            });
        }
        Ok(Self(name.to_owned()))
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Person {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The answer to a tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// The good answer, with words where the tick asks for them.
    Yes(String),
    /// The bad answer.
    No,
    /// Does not apply, because.
    NotApplicable(String),
}

/// A value as it was typed and as it was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What was typed, as typed.
    pub typed: String,
    /// What it means.
    pub value: Quantity,
    /// Typed a second time after being asked: an unusual value is meant.
    pub again: bool,
}

/// Which way a hold was proved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tier {
    /// The letting go was seen.
    Release,
    /// The auto-repeat of the key was seen.
    Repeat,
    /// Two keys in turn.
    Turns,
    /// A script; taken in rehearsals and practice only.
    Script,
}

impl Tier {
    /// All tiers.
    pub const ALL: [Self; 4] = [Self::Release, Self::Repeat, Self::Turns, Self::Script];

    /// The word in journals.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Release => "release",
            Self::Repeat => "repeat",
            Self::Turns => "turns",
            Self::Script => "script",
        }
    }
}

/// What the hold judge saw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evidence {
    /// Which way.
    pub tier: Tier,
    /// How long, in ms.
    pub held_ms: u64,
    /// How many key events.
    pub events: u32,
    /// Their median interval in ms; 0 when there were fewer than two.
    pub median_ms: u64,
    /// How often a hold broke off before at this prompt.
    pub cancels: u32,
    /// What the terminal calls itself.
    pub terminal: String,
}

/// What is corrected.
#[derive(Debug, Clone, PartialEq)]
pub enum Correction {
    /// A reading.
    Reading {
        /// Which.
        reading: ValueId,
        /// Its new value.
        entry: Entry,
    },
    /// A tick of a step that was left.
    Tick {
        /// The step.
        step: StepId,
        /// The tick.
        tick: TickId,
        /// The new answer.
        answer: Answer,
    },
    /// A choice of a look that was left; noted only.
    Choice {
        /// The look.
        step: StepId,
        /// What should have been chosen.
        choice: ChoiceId,
    },
}

/// What a person does.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Opens a job.
    Open {
        /// Who opens it.
        by: Person,
        /// Who else is there.
        with: Vec<Person>,
        /// Why the job is done.
        why: String,
        /// Which instrument is used for what.
        roles: BTreeMap<RoleId, InstrumentId>,
        /// Units shown.
        system: System,
        /// The job this one carries on, by its id.
        earlier: Option<String>,
    },
    /// A program opened the job again.
    Resume {
        /// Who is there now.
        by: Person,
    },
    /// What was cut off the journal's end when it was opened.
    Recovered {
        /// How many bytes.
        bytes: u64,
        /// Their SHA-256.
        hash: String,
    },
    /// Another person takes over the keyboard.
    SignOn {
        /// Who.
        by: Person,
    },
    /// Answers a tick.
    Tick {
        /// Which.
        tick: TickId,
        /// How.
        answer: Answer,
    },
    /// Gives a reading.
    Read {
        /// Which.
        reading: ValueId,
        /// The value.
        entry: Entry,
    },
    /// A second person gives the same reading.
    Witness {
        /// Which.
        reading: ValueId,
        /// Who.
        by: Person,
        /// The value.
        entry: Entry,
    },
    /// Gives a reading that a watch asks for.
    Watch {
        /// The condition that is watched.
        condition: ConditionId,
        /// Which reading.
        reading: ValueId,
        /// The value.
        entry: Entry,
    },
    /// Overrides an advice limit.
    Override {
        /// Which limit of the step, from 0.
        limit: usize,
        /// Why.
        reason: String,
    },
    /// Starts a pulse or a wait.
    Begin,
    /// One press of a pulse.
    Press,
    /// Says that a pulse or a wait was not kept.
    Lapse,
    /// Passes the step with Enter, or ends a wait.
    Confirm,
    /// Passes the step with a hold.
    Hold(Evidence),
    /// Takes the outcome that the answers give.
    GoOn,
    /// Chooses what was seen.
    Choose {
        /// Which.
        choice: ChoiceId,
    },
    /// Puts the stop card up.
    CallStop,
    /// Takes the stop card down again.
    CarryOn,
    /// Leaves for the stop-work route.
    TakeStop,
    /// Says again that a condition holds.
    Attest {
        /// Which.
        condition: ConditionId,
        /// The reading, where the condition asks for one.
        entry: Option<Entry>,
    },
    /// Corrects something given earlier.
    Correct {
        /// What.
        what: Correction,
        /// Why.
        reason: String,
    },
    /// Repeats a step in place.
    Repeat {
        /// Which.
        step: StepId,
    },
    /// Leaves a repeated step without passing it.
    LeaveRepeat,
    /// Uses another instrument.
    UseInstrument {
        /// For what.
        role: RoleId,
        /// Which.
        instrument: InstrumentId,
        /// Its zero, where the procedure has zeros checked.
        zero: Option<Entry>,
        /// Why.
        reason: String,
    },
    /// Names who takes on a duty at an end.
    HandOver {
        /// The duty, or a step to be repeated.
        duty: DutyId,
        /// Who.
        to: Person,
    },
    /// Names who sees to the steps that must be repeated.
    HandOverRepeats {
        /// Who.
        to: Person,
    },
    /// Keeps a remark.
    Note {
        /// The words.
        text: String,
    },
}

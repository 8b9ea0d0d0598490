//! The state of a job: the fold of its events, and nothing else.

use std::collections::{BTreeMap, BTreeSet};

use super::at::At;
use super::command::{Answer, Person};
use super::event::{Judged, Taken, Way};
use crate::procedure::{
    ChoiceId, ConditionId, DutyId, EndKind, InstrumentId, RoleId, StepId, TickId, ValueId,
};
use crate::quantity::{Quantity, System};

/// Where the job stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Place {
    /// Not opened yet.
    #[default]
    Nowhere,
    /// Before a step, until these are attested again.
    Door {
        /// The step.
        step: StepId,
        /// What must be attested.
        stale: BTreeSet<ConditionId>,
    },
    /// In a step.
    In(StepId),
}

/// A condition that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// Since when.
    pub since: At,
    /// When it was last attested.
    pub attested: At,
    /// Must be attested again before it counts.
    pub stale: bool,
    /// The step that made it true.
    pub by: StepId,
}

/// A duty that is owed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Owed {
    /// The step that made it owed.
    pub by: StepId,
    /// Who took it on at the end.
    pub to: Option<Person>,
}

/// A step that was left.
#[derive(Debug, Clone, PartialEq)]
pub struct Passed {
    /// How.
    pub way: Way,
    /// When.
    pub at: At,
    /// Its answers.
    pub ticks: BTreeMap<TickId, Answer>,
    /// Its overrides.
    pub overrides: BTreeMap<usize, String>,
    /// What a second person read in it.
    pub witnessed: BTreeMap<ValueId, Taken>,
    /// It made some condition true.
    pub established: bool,
    /// How often it was entered and left.
    pub times: u32,
}

/// What was answered in the step at hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Current {
    /// Answers.
    pub ticks: BTreeMap<TickId, Answer>,
    /// Accepted readings.
    pub readings: BTreeSet<ValueId>,
    /// Second readings.
    pub witnessed: BTreeMap<ValueId, Taken>,
    /// Verdicts.
    pub judged: Vec<Judged>,
    /// Overrides.
    pub overrides: BTreeMap<usize, String>,
    /// A pulse or wait runs since.
    pub begun: Option<At>,
    /// The last press of a pulse.
    pub pressed: Option<At>,
    /// Presses so far.
    pub presses: u32,
}

/// A watch that runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// Since when.
    pub since: At,
    /// What is read.
    pub readings: Vec<ValueId>,
}

/// How a job ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ended {
    /// How.
    pub kind: EndKind,
    /// When.
    pub at: At,
}

/// A step that is repeated in place.
#[derive(Debug, Clone, PartialEq)]
pub struct Repeating {
    /// Which.
    pub step: StepId,
    /// Its answers.
    pub current: Current,
    /// Its values, kept apart until it passes.
    pub values: BTreeMap<ValueId, Taken>,
}

/// The state of a job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct State {
    /// Where it stands.
    pub place: Place,
    /// The stop card is up since; with whether there is no carrying on.
    pub stop: Option<(At, bool)>,
    /// Conditions that hold.
    pub conditions: BTreeMap<ConditionId, Held>,
    /// Duties owed.
    pub duties: BTreeMap<DutyId, Owed>,
    /// Steps that must be repeated (S13).
    pub repeats: BTreeSet<StepId>,
    /// Who took the repeats on.
    pub repeats_to: Option<Person>,
    /// Readings and workings that have a value.
    pub values: BTreeMap<ValueId, Taken>,
    /// Since when each reading stands: correcting it or repeating its step in place
    /// does not begin it anew, taking it elsewhere does.
    pub read_since: BTreeMap<ValueId, At>,
    /// The points of watches.
    pub series: BTreeMap<ValueId, Vec<Taken>>,
    /// Watches.
    pub watches: BTreeMap<ConditionId, Watch>,
    /// Bad outcomes a step.
    pub counts: BTreeMap<StepId, u32>,
    /// Uses a choice.
    pub chosen: BTreeMap<(StepId, ChoiceId), u32>,
    /// What was answered in the step at hand.
    pub current: Current,
    /// A step that is repeated in place.
    pub repeating: Option<Repeating>,
    /// Steps that were left, each as it was left last.
    pub passed: BTreeMap<StepId, Passed>,
    /// Steps in the order in which they were entered.
    pub trail: Vec<StepId>,
    /// Who is there.
    pub people: Vec<Person>,
    /// Who has the keyboard.
    pub by: Option<Person>,
    /// Why the job is done.
    pub why: String,
    /// The job this one carries on.
    pub earlier: Option<String>,
    /// Which instrument is used for what.
    pub roles: BTreeMap<RoleId, InstrumentId>,
    /// Zeros found.
    pub zeros: BTreeMap<InstrumentId, Quantity>,
    /// Units shown.
    pub system: Option<System>,
    /// The last instant seen.
    pub last: Option<At>,
    /// The session.
    pub session: u32,
    /// How it ended.
    pub ended: Option<Ended>,
    /// Corrections so far.
    pub corrections: u32,
}

impl State {
    /// The step at hand: the repeated one, the one it is in, or the one it is
    /// about to enter.
    pub fn step(&self) -> Option<&StepId> {
        if let Some(repeating) = &self.repeating {
            return Some(&repeating.step);
        }
        match &self.place {
            Place::Nowhere => None,
            Place::Door { step, .. } | Place::In(step) => Some(step),
        }
    }

    /// The step it is in, not one it waits for.
    pub fn inside(&self) -> Option<&StepId> {
        if let Some(repeating) = &self.repeating {
            return Some(&repeating.step);
        }
        match &self.place {
            Place::In(step) => Some(step),
            Place::Nowhere | Place::Door { .. } => None,
        }
    }

    /// The answers of the step at hand.
    pub fn current(&self) -> &Current {
        self.repeating
            .as_ref()
            .map_or(&self.current, |r| &r.current)
    }

    /// A value; of a repeated step first.
    pub fn value(&self, id: &ValueId) -> Option<&Taken> {
        self.repeating
            .as_ref()
            .and_then(|r| r.values.get(id))
            .or_else(|| self.values.get(id))
    }

    /// Whether anything is still to be named at an end before it is final.
    pub fn owes_names(&self) -> bool {
        self.duties.values().any(|d| d.to.is_none())
            || (!self.repeats.is_empty() && self.repeats_to.is_none())
    }
}

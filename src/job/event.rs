//! What followed from a command: results, not causes.

use std::collections::BTreeMap;

use super::at::At;
use super::command::{Answer, Evidence, Person};
use crate::procedure::{
    ChoiceId, ConditionId, DutyId, EndKind, InstrumentId, Outcome, RoleId, StepId, TickId, ValueId,
};
use crate::quantity::{Judgement, Measured, Quantity, System};

/// How a step was left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Way {
    /// An ordinary step.
    Outcome(Outcome),
    /// A look.
    Choice(ChoiceId),
}

/// A value that was read or worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// The value and its uncertainty.
    pub measured: Measured,
    /// What was typed; empty for a working.
    pub typed: String,
    /// What it was read with.
    pub instrument: Option<InstrumentId>,
    /// When.
    pub at: At,
    /// By whom.
    pub by: Person,
    /// In which step.
    pub step: StepId,
    /// The instrument was past its calibration date.
    pub overdue: bool,
    /// Outside the plausible band, and typed twice.
    pub unusual: bool,
    /// Later than a watch asked for it.
    pub late: bool,
}

/// A limit as it was judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Which limit of the step, from 0.
    pub limit: usize,
    /// The verdict and what it rests on.
    pub judgement: Judgement,
}

/// What followed.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// The job is open.
    Opened {
        /// When.
        at: At,
        /// Who is there; the first has the keyboard.
        people: Vec<Person>,
        /// Why the job is done.
        why: String,
        /// Which instrument is used for what.
        roles: BTreeMap<RoleId, InstrumentId>,
        /// Units shown.
        system: System,
        /// The job this one carries on.
        earlier: Option<String>,
    },
    /// The job was opened again, or carried on from the stop card.
    Resumed {
        /// When.
        at: At,
        /// Who is there now.
        by: Person,
        /// Conditions that must be attested again.
        stale: Vec<ConditionId>,
    },
    /// The wall clock went back.
    ClockWentBack {
        /// By so many ms.
        by_ms: u64,
        /// Timed conditions that must be attested again.
        stale: Vec<ConditionId>,
    },
    /// Something was cut off the journal's end.
    Recovered {
        /// How many bytes.
        bytes: u64,
        /// Their SHA-256.
        hash: String,
    },
    /// Another person has the keyboard.
    SignedOn {
        /// Who.
        by: Person,
    },
    /// A step was left.
    Left {
        /// Which.
        step: StepId,
        /// How.
        way: Way,
        /// When.
        at: At,
        /// Conditions of the step before that are over.
        over: Vec<ConditionId>,
        /// Conditions that are now true.
        established: Vec<ConditionId>,
        /// Duties that are now owed.
        incurred: Vec<DutyId>,
        /// Duties that are paid.
        settled: Vec<DutyId>,
        /// How often it ended badly, or the choice was used, this time included.
        count: u32,
    },
    /// The next step waits until these are attested again.
    AtDoor {
        /// The next step.
        step: StepId,
        /// What must be attested.
        stale: Vec<ConditionId>,
    },
    /// A step was entered.
    Entered {
        /// Which.
        step: StepId,
        /// Conditions that are over.
        cleared: Vec<ConditionId>,
        /// Duties owed from now on.
        owed: Vec<DutyId>,
        /// Values that are gone.
        forgotten: Vec<ValueId>,
    },
    /// A tick was answered.
    Ticked {
        /// Which.
        tick: TickId,
        /// How.
        answer: Answer,
    },
    /// A reading was accepted.
    Read {
        /// Which.
        reading: ValueId,
        /// The value.
        taken: Taken,
    },
    /// A second person's reading was accepted.
    Witnessed {
        /// Which.
        reading: ValueId,
        /// The value.
        taken: Taken,
    },
    /// A gauge's zero was looked at.
    ZeroFound {
        /// The gauge.
        instrument: InstrumentId,
        /// What it showed.
        value: Quantity,
    },
    /// A value was worked out.
    Worked {
        /// Which.
        working: ValueId,
        /// The value.
        taken: Taken,
    },
    /// The limits of the step were judged, all that could be.
    Judged(Vec<Judged>),
    /// A watch began with the values just read.
    WatchBegun {
        /// What is watched.
        condition: ConditionId,
        /// When.
        at: At,
        /// What is read.
        readings: Vec<ValueId>,
    },
    /// A watch has one more value.
    Watched {
        /// What is watched.
        condition: ConditionId,
        /// Which reading.
        reading: ValueId,
        /// The value.
        taken: Taken,
    },
    /// An advice limit was overridden.
    Overridden {
        /// Which limit, from 0.
        limit: usize,
        /// Why.
        reason: String,
    },
    /// A pulse or wait runs.
    Begun {
        /// Since when.
        at: At,
    },
    /// A pulse was pressed.
    Pressed {
        /// When.
        at: At,
        /// How many presses so far.
        count: u32,
    },
    /// A hold was seen.
    Held(Evidence),
    /// The stop card is up.
    StopCalled {
        /// When.
        at: At,
        /// There is no carrying on from it.
        forced: bool,
    },
    /// The job left for the stop-work route: no condition holds any more.
    StopTaken {
        /// From which step.
        step: StepId,
    },
    /// A condition was attested again.
    Attested {
        /// Which.
        condition: ConditionId,
        /// When.
        at: At,
    },
    /// Something given earlier was corrected; `was` and `now` are for people.
    Corrected {
        /// What it is about.
        subject: String,
        /// The old value.
        was: String,
        /// The new value.
        now: String,
        /// Why.
        reason: String,
    },
    /// A correction put a new value in place of an old one.
    Replaced {
        /// Which.
        value: ValueId,
        /// The new value.
        taken: Taken,
    },
    /// A correction put a new answer in place of an old one.
    ReTicked {
        /// The step.
        step: StepId,
        /// The tick.
        tick: TickId,
        /// The answer.
        answer: Answer,
    },
    /// A step must be repeated.
    RepeatOwed {
        /// Which.
        step: StepId,
    },
    /// A step is being repeated in place.
    RepeatBegun {
        /// Which.
        step: StepId,
    },
    /// A repeated step was passed, or left (then nothing changed).
    RepeatEnded {
        /// Which.
        step: StepId,
        /// Passed.
        passed: bool,
    },
    /// Another instrument is used.
    InstrumentUsed {
        /// For what.
        role: RoleId,
        /// Which.
        instrument: InstrumentId,
        /// Why.
        reason: String,
    },
    /// Someone took a duty on.
    HandedOver {
        /// The duty.
        duty: DutyId,
        /// Who.
        to: Person,
    },
    /// Someone took the steps to be repeated on.
    RepeatsHandedOver {
        /// Who.
        to: Person,
    },
    /// A remark.
    Noted {
        /// The words.
        text: String,
    },
    /// The job is over.
    Ended {
        /// How.
        kind: EndKind,
        /// When.
        at: At,
    },
}

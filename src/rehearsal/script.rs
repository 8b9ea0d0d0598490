//! What a rehearsal says.

use std::collections::{BTreeMap, BTreeSet};

use crate::procedure::{
    ChoiceId, ConditionId, DutyId, InstrumentId, Outcome, ProcedureId, RoleId, SheetId, StepId,
    TickId, ValueId,
};
use crate::rig::Deed;

/// A scripted run.
#[derive(Debug, Clone, PartialEq)]
pub struct Rehearsal {
    /// Its name.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// The procedure it runs.
    pub procedure: ProcedureId,
    /// The sheet it runs on.
    pub sheet: SheetId,
    /// The name of the instrument list.
    pub instruments: String,
    /// The rehearsal it differs from; see [`Move`].
    pub like: Option<String>,
    /// When it starts, UTC ms.
    pub start_ms: i64,
    /// The end that must be reached.
    pub end: StepId,
    /// What must be owed there, if it is said.
    pub owed_at_end: Option<BTreeSet<DutyId>>,
    /// What the person does, in order. Of a rehearsal that is like another these
    /// are the moves that differ; at every other step the person does what they do
    /// there in the other.
    pub moves: Vec<Move>,
}

/// The answer to a tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TickWord {
    /// The good answer, with words if any.
    Yes(String),
    /// The bad answer.
    No,
    /// Does not apply, because.
    Not(String),
}

/// How a step is passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConfirmWord {
    /// Enter.
    Enter,
    /// A hold.
    Hold,
    /// All presses of a pulse in time.
    Pulse,
    /// The wait to its end.
    Wait,
    /// Begun, and not kept.
    Lapse,
    /// On the way that the answers give.
    GoOn,
}

/// Stop work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopWord {
    /// Called and taken.
    Taken,
    /// Called and carried on.
    CarryOn,
}

/// What must be so.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Expect {
    /// Conditions that hold on arrival.
    pub holds: Vec<ConditionId>,
    /// Conditions that don't.
    pub not: Vec<ConditionId>,
    /// Duties owed.
    pub owed: Vec<DutyId>,
    /// Duties not owed.
    pub not_owed: Vec<DutyId>,
    /// Exactly what is asked again, if it is said.
    pub asked_again: Option<BTreeSet<ConditionId>>,
    /// Values that are known.
    pub known: Vec<ValueId>,
    /// Verdicts after the readings: by the value a limit is put on, or `limit N`.
    pub verdicts: BTreeMap<String, String>,
}

/// A second person's reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Witnessed {
    /// Who.
    pub by: String,
    /// What was typed.
    pub value: String,
}

/// One round of a watch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeriesPoint {
    /// How long after the last thing done, ms.
    pub after_ms: u64,
    /// What was typed.
    pub read: Vec<(ValueId, String)>,
}

/// A correction of a reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correct {
    /// Which.
    pub value: ValueId,
    /// What was typed.
    pub to: String,
    /// Why.
    pub reason: String,
}

/// Another instrument.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Swap {
    /// Which.
    pub instrument: InstrumentId,
    /// Its zero as typed, if it is looked at.
    pub zero: Option<String>,
    /// Why.
    pub reason: String,
}

/// What the person does at one step.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// At which step.
    pub at: StepId,
    /// The title it must have.
    pub title: Option<String>,
    /// Only at the n-th coming to the step, from 1.
    pub visit: Option<u32>,
    /// What must be so.
    pub expect: Expect,
    /// The clock goes on first, ms.
    pub after_ms: u64,
    /// The program was started again just before.
    pub resume: bool,
    /// What is attested, with the reading where one is asked for.
    pub attest: BTreeMap<ConditionId, Option<String>>,
    /// Instruments changed.
    pub swaps: BTreeMap<RoleId, Swap>,
    /// The answer to every tick not named.
    pub all_ticks: Option<TickWord>,
    /// Answers.
    pub ticks: BTreeMap<TickId, TickWord>,
    /// Readings as typed, in order.
    pub read: Vec<(ValueId, String)>,
    /// Readings typed a second time because they are unusual.
    pub again: BTreeSet<ValueId>,
    /// Second readings.
    pub witness: BTreeMap<ValueId, Witnessed>,
    /// Rounds of a watch.
    pub series: Vec<SeriesPoint>,
    /// Overrides, by limit from 1.
    pub overrides: BTreeMap<usize, String>,
    /// Corrections.
    pub correct: Vec<Correct>,
    /// A step repeated in place.
    pub repeat: Option<StepId>,
    /// How the step is passed.
    pub confirm: Option<ConfirmWord>,
    /// What was seen.
    pub choose: Option<ChoiceId>,
    /// Who takes what on.
    pub hand_over_to: BTreeMap<DutyId, String>,
    /// Stop work.
    pub stop: Option<StopWord>,
    /// The move must be refused, with these words.
    pub refused: Option<String>,
    /// The outcome it must have.
    pub outcome: Option<Outcome>,
    /// Where it must lead.
    pub to: Option<StepId>,
    /// In a drill: what is done at the truck before anything is entered.
    pub hands: Vec<Deed>,
    /// In a drill: what the step asks about is looked at, typed as shown, ticked as seen.
    pub careful: bool,
}

impl Move {
    /// A move at a step that does nothing yet.
    pub fn at(step: StepId) -> Self {
        Self {
            at: step,
            title: None,
            visit: None,
            expect: Expect::default(),
            after_ms: 0,
            resume: false,
            attest: BTreeMap::new(),
            swaps: BTreeMap::new(),
            all_ticks: None,
            ticks: BTreeMap::new(),
            read: Vec::new(),
            again: BTreeSet::new(),
            witness: BTreeMap::new(),
            series: Vec::new(),
            overrides: BTreeMap::new(),
            correct: Vec::new(),
            repeat: None,
            confirm: None,
            choose: None,
            hand_over_to: BTreeMap::new(),
            stop: None,
            refused: None,
            outcome: None,
            to: None,
            hands: Vec::new(),
            careful: false,
        }
    }
}

/// A drill played from a script: what is done at the truck and what is entered, step by
/// step.
#[derive(Debug, Clone, PartialEq)]
pub struct DrillScript {
    /// Its name.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// The drill.
    pub drill: String,
    /// The seed.
    pub seed: u64,
    /// Who plays; invented.
    pub by: String,
    /// Faults instead of those of the drill.
    pub faults: Option<Vec<String>>,
    /// The script it differs from, as rehearsals do.
    pub like: Option<String>,
    /// What the person does, in order.
    pub moves: Vec<Move>,
    /// What the debrief must say.
    pub expect: DrillExpect,
}

/// What a debrief must say.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DrillExpect {
    /// Faults that were found.
    pub found: Vec<String>,
    /// Faults that were not.
    pub missed: Vec<String>,
    /// Unsafe acts, by their names, each at least once; `None`: nothing is said of them.
    pub acts: Option<Vec<String>>,
    /// Whether the drill is passed, if it is said.
    pub passed: Option<bool>,
}

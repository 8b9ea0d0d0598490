//! One step: what is asked, what it needs, what it changes, where it leads.

use std::collections::{BTreeMap, BTreeSet};

use super::graph::Signal;
use super::id::{
    ActId, ChoiceId, ConditionId, DutyId, HazardId, SettingId, SheetKey, StepId, TickId, ValueId,
};
use super::limit::{Limit, Side};

/// A list item that is answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tick {
    /// Its name within the step.
    pub id: TickId,
    /// What is asked or called.
    pub text: String,
    /// The word for the good answer ("tight"); "yes" if the author gave none.
    pub yes: String,
    /// The word for the bad answer ("loose").
    pub no: String,
    /// Whether "does not apply" is open (S12).
    pub may_not_apply: bool,
    /// Whether the answer must carry words (a name, a code, what was seen).
    pub words: bool,
}

impl Tick {
    /// The keys that give the good and the bad answer.
    pub fn keys(&self) -> (char, char) {
        (key(&self.yes, 'y'), key(&self.no, 'n'))
    }
}

/// The key that gives an answer: the first letter of its word, unless that letter
/// is taken by the whole screen.
fn key(word: &str, plain: char) -> char {
    let first = word.chars().next().map(|c| c.to_ascii_lowercase());
    match first {
        Some(c) if c.is_ascii_alphanumeric() && c != 'q' && c != 'd' => c,
        _ => plain,
    }
}

/// How a step is confirmed (S4).
#[derive(Debug, Clone, PartialEq)]
pub enum Confirm {
    /// The last answer passes the step.
    None,
    /// One press of Enter.
    Enter,
    /// A key held down, or the slower way.
    Hold {
        /// Caution or danger: which ways of holding are taken.
        signal: Signal,
        /// How long, in ms.
        for_ms: u32,
    },
    /// A press repeated, each within the interval of the last.
    Pulse {
        /// The longest gap between two presses (a time).
        within: Side,
        /// How many presses end it.
        presses: u32,
    },
    /// A time that must pass.
    Wait {
        /// At least this long (a time).
        at_least: Side,
        /// And no longer than this (a time).
        at_most: Option<Side>,
    },
}

/// What a step ends in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// All good.
    Pass,
    /// A limit outside, or a no.
    Fail,
    /// A limit too close to call.
    TooClose,
    /// A pulse or wait not kept.
    Lapsed,
    /// The last of the tries is used.
    Spent,
}

impl Outcome {
    /// All outcomes, in the order in which people read them.
    pub const ALL: [Self; 5] = [
        Self::Pass,
        Self::Fail,
        Self::TooClose,
        Self::Lapsed,
        Self::Spent,
    ];

    /// The word in documents and journals.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::TooClose => "too_close",
            Self::Lapsed => "lapsed",
            Self::Spent => "spent",
        }
    }

    /// The outcome for a word.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|o| o.key() == key)
    }
}

/// How a job may end (S10).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EndKind {
    /// Done: nothing owed.
    Complete,
    /// Passed on with duties, each with a name.
    HandedOver,
    /// Stopped and left safe.
    MadeSafe,
}

impl EndKind {
    /// The word in documents and journals.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Complete => "complete",
            Self::HandedOver => "handed_over",
            Self::MadeSafe => "made_safe",
        }
    }

    /// The end for a word.
    pub fn from_key(key: &str) -> Option<Self> {
        [Self::Complete, Self::HandedOver, Self::MadeSafe]
            .into_iter()
            .find(|e| e.key() == key)
    }
}

/// One way out of a look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Its name within the look; for a look answered by the sheet, the word there.
    pub id: ChoiceId,
    /// What was seen.
    pub text: String,
    /// Where it leads.
    pub to: StepId,
    /// What it makes true.
    pub establishes: BTreeSet<ConditionId>,
    /// What it makes owed.
    pub incurs: BTreeSet<DutyId>,
    /// What it pays.
    pub settles: BTreeSet<DutyId>,
    /// Withdrawn after so many uses.
    pub tries: Option<u32>,
}

/// What kind of step it is, with what only that kind has (S1).
#[derive(Debug, Clone, PartialEq)]
pub enum Body {
    /// A step with a pass.
    Ordinary {
        /// How it is confirmed.
        confirm: Confirm,
        /// The n-th bad outcome becomes `spent`.
        tries: Option<u32>,
        /// Where each outcome that can occur leads; fall-through filled in.
        ways: BTreeMap<Outcome, StepId>,
    },
    /// What is seen decides.
    Look {
        /// Answered by this value of the sheet instead of a person.
        by_sheet: Option<SheetKey>,
        /// At least two.
        choices: Vec<Choice>,
    },
    /// The job ends here.
    End(EndKind),
}

/// The kind alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepKind {
    /// A step with a pass.
    Ordinary,
    /// What is seen decides.
    Look,
    /// The job ends here.
    End,
}

/// One step of a procedure.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Its name.
    pub id: StepId,
    /// Index of its phase in the procedure.
    pub phase: usize,
    /// What people see, verb first.
    pub title: String,
    /// Where the person stands or works.
    pub place: Option<String>,
    /// What to bring; shown on the step before.
    pub bring: Option<String>,
    /// What to do, in this order.
    pub instructions: Vec<String>,
    /// What you should see now.
    pub see: Vec<String>,
    /// Why the step is there; shown by help.
    pub why: Vec<String>,
    /// Conditions that must hold on entry (S2).
    pub needs: BTreeSet<ConditionId>,
    /// Conditions that end on entry, besides those of acts and groups.
    pub clears: BTreeSet<ConditionId>,
    /// Acts done here (S15).
    pub acts: BTreeSet<ActId>,
    /// Hazards besides those of the acts.
    pub hazards: BTreeSet<HazardId>,
    /// Duties owed from entry.
    pub incurs: BTreeSet<DutyId>,
    /// Conditions that a pass makes true.
    pub establishes: BTreeSet<ConditionId>,
    /// Duties that a pass pays.
    pub settles: BTreeSet<DutyId>,
    /// Settings changed here, besides those of the acts.
    pub changes: BTreeSet<SettingId>,
    /// Ticks, in order.
    pub ticks: Vec<Tick>,
    /// Readings taken here, in order.
    pub readings: Vec<ValueId>,
    /// Workings made here, in order.
    pub works: Vec<ValueId>,
    /// Limits judged here.
    pub limits: Vec<Limit>,
    /// What only its kind has.
    pub body: Body,
}

impl Step {
    /// Its kind.
    pub const fn kind(&self) -> StepKind {
        match self.body {
            Body::Ordinary { .. } => StepKind::Ordinary,
            Body::Look { .. } => StepKind::Look,
            Body::End(_) => StepKind::End,
        }
    }

    /// How it is confirmed; a look and an end are not.
    pub const fn confirm(&self) -> &Confirm {
        match &self.body {
            Body::Ordinary { confirm, .. } => confirm,
            Body::Look { .. } | Body::End(_) => &Confirm::None,
        }
    }

    /// Where an outcome leads.
    pub fn way(&self, outcome: Outcome) -> Option<&StepId> {
        match &self.body {
            Body::Ordinary { ways, .. } => ways.get(&outcome),
            Body::Look { .. } | Body::End(_) => None,
        }
    }

    /// The choices of a look; none for other kinds.
    pub fn choices(&self) -> &[Choice] {
        match &self.body {
            Body::Look { choices, .. } => choices,
            Body::Ordinary { .. } | Body::End(_) => &[],
        }
    }

    /// Every step that a way or choice leads to, with repeats.
    pub fn targets(&self) -> Vec<&StepId> {
        match &self.body {
            Body::Ordinary { ways, .. } => ways.values().collect(),
            Body::Look { choices, .. } => choices.iter().map(|c| &c.to).collect(),
            Body::End(_) => Vec::new(),
        }
    }

    /// Everything that some outcome of the step may make true.
    pub fn may_establish(&self) -> BTreeSet<&ConditionId> {
        self.establishes
            .iter()
            .chain(self.choices().iter().flat_map(|c| &c.establishes))
            .collect()
    }
}

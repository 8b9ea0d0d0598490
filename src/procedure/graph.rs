//! The procedure as a whole and what it declares.

use std::collections::{BTreeMap, BTreeSet};

use super::id::{
    ActId, ConditionId, DutyId, HazardId, PhaseId, ProcedureId, RoleId, SettingId, SheetKey,
    StepId, ValueId,
};
use super::limit::{Limit, Side, Subject};
use super::step::{Confirm, Step};
use crate::quantity::{Kind, Quantity, Unit};

/// Signal words, least first.
///
/// # Source
/// ANSI Z535.4-2007 4.14 (read in public copies): danger will, warning could
/// cause death or serious injury; caution minor or moderate injury; notice is not
/// about injury.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Property only.
    Notice,
    /// Minor or moderate injury could result.
    Caution,
    /// Death or serious injury could result.
    Warning,
    /// Death or serious injury will result if not avoided.
    Danger,
}

impl Signal {
    /// The word as it is written on a sign.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Notice => "NOTICE",
            Self::Caution => "CAUTION",
            Self::Warning => "WARNING",
            Self::Danger => "DANGER",
        }
    }
}

/// What a procedure expects of a sheet under one key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SheetNeed {
    /// A quantity of this kind.
    Quantity(Kind),
    /// One of these words.
    Word(Vec<String>),
    /// Words for people.
    Text,
}

/// What an instrument is used for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Role {
    /// What people see ("gauge, left").
    pub title: String,
    /// What it must measure.
    pub kind: Kind,
}

/// How long a condition lasts (S7).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lasts {
    /// To the end of the job.
    Job,
    /// Until the job is resumed.
    Resume,
    /// So many ms, or until the job is resumed.
    For(u64),
    /// In the next step only.
    Step,
}

/// How a condition is attested again (S7).
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// The question.
    pub question: String,
    /// A reading to be taken for the answer.
    pub reading: Option<ValueId>,
    /// What that reading must meet.
    pub limits: Vec<Limit>,
}

/// Readings that are due at intervals while a condition holds (S7).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Series {
    /// What is read each time, in order.
    pub readings: Vec<ValueId>,
    /// The interval in ms.
    pub every_ms: u64,
    /// How many points in all, the opening one included.
    pub points: u32,
    /// Later than this after it is due, a reading is marked late (ms).
    pub late_after_ms: u64,
}

/// A fact about truck or bay that protects people or the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// What is true when it holds ("front wheels chocked").
    pub title: String,
    /// How long it lasts.
    pub lasts: Lasts,
    /// How it is attested again; one that lasts the whole job needs none.
    pub ask: Option<Ask>,
    /// The acts that can make it true; empty: any step may.
    pub by: BTreeSet<ActId>,
    /// Readings due while it holds.
    pub series: Option<Series>,
}

/// Something the job now owes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Duty {
    /// What is still to do ("put the mudguards back").
    pub title: String,
    /// What must stand on the first page if it is handed over.
    pub hand_over: Vec<String>,
}

/// A setting of the vehicle that the job may change (S11).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// What people see.
    pub title: String,
}

/// On which side of a change a reading stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// Before anything was changed.
    AsFound,
    /// After.
    AsLeft,
}

/// A value that a person reads off an instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// What people see.
    pub title: String,
    /// What kind of value.
    pub kind: Kind,
    /// Shown units, metric then US; `None` takes those of the kind.
    pub shown: Option<(Unit, Unit)>,
    /// What it is read with.
    pub role: Option<RoleId>,
    /// Where it is read; readings are grouped by it.
    pub place: Option<String>,
    /// Outside this it is asked for twice.
    pub plausible: Option<(Side, Side)>,
    /// The setting it is a reading of.
    pub of: Option<SettingId>,
    /// As found or as left.
    pub when: Option<When>,
    /// Kept for the record only (finding 7).
    pub for_record: bool,
    /// A second person reads it too, without seeing the first value (S14).
    pub witness: bool,
    /// This is the zero found of the instrument, not a value of the truck.
    pub zero_check: bool,
    /// How to read it.
    pub how: Vec<String>,
}

/// Where a sum gets one of its inputs.
#[derive(Debug, Clone, PartialEq)]
pub enum WorkInput {
    /// A reading or an earlier working.
    Value(ValueId),
    /// All points of a series, by its reading.
    Series(ValueId),
    /// A value of the sheet.
    Sheet(SheetKey),
    /// A value in the procedure.
    Literal(Quantity),
    /// One of the sum's words.
    Word(String),
}

/// A value that the program works out.
#[derive(Debug, Clone, PartialEq)]
pub struct Working {
    /// What people see.
    pub title: String,
    /// The sum's name in the registry.
    pub sum: String,
    /// Which of the sum's results, by its key.
    pub gives: String,
    /// Its inputs, in the registry's order.
    pub inputs: Vec<WorkInput>,
    /// Which input of the sum each of `inputs` is for, by its place there.
    pub slots: Vec<usize>,
    /// The kind of what comes out.
    pub kind: Kind,
    /// Shown units, metric then US; `None` takes those of the kind.
    pub shown: Option<(Unit, Unit)>,
    /// Kept for the record only (finding 7).
    pub for_record: bool,
}

/// A source of harm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hazard {
    /// The signal word.
    pub signal: Signal,
    /// What kind of hazard.
    pub title: String,
    /// What happens to people.
    pub consequence: String,
    /// How to avoid it.
    pub avoid: Vec<String>,
    /// What must hold where it is met.
    pub needs: BTreeSet<ConditionId>,
}

/// Something done to the truck (S15).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Act {
    /// What people see.
    pub title: String,
    /// Whether the frame moves: such a step is a movement (S1).
    pub moves: bool,
    /// The hazards it brings.
    pub hazards: BTreeSet<HazardId>,
    /// What must hold where it is done.
    pub needs: BTreeSet<ConditionId>,
    /// What it ends.
    pub clears: BTreeSet<ConditionId>,
    /// The settings it changes.
    pub changes: BTreeSet<SettingId>,
}

/// A run of steps with one way to stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phase {
    /// Its name.
    pub id: PhaseId,
    /// What people see.
    pub title: String,
    /// Never fallen into, out of, or past its own last step (S5).
    pub aside: bool,
    /// Where stop work leads.
    pub stop: StepId,
    /// What the stop card says to do at the truck, after the general words.
    pub stop_card: Vec<String>,
    /// Whether the phase belongs to a stop-work route (S9).
    pub route: bool,
}

/// A step graph.
#[derive(Debug, Clone, PartialEq)]
pub struct Procedure {
    /// Its name.
    pub id: ProcedureId,
    /// What people see.
    pub title: String,
    /// Counts up with every release.
    pub revision: u32,
    /// What it is for, who may do it, what it does not cover.
    pub scope: Vec<String>,
    /// What it expects of a sheet.
    pub sheet: BTreeMap<SheetKey, SheetNeed>,
    /// What instruments are used for.
    pub roles: BTreeMap<RoleId, Role>,
    /// Conditions.
    pub conditions: BTreeMap<ConditionId, Condition>,
    /// Groups of which one at most holds (S3).
    pub exclusive: Vec<BTreeSet<ConditionId>>,
    /// Duties.
    pub duties: BTreeMap<DutyId, Duty>,
    /// Settings.
    pub settings: BTreeMap<SettingId, Setting>,
    /// Readings.
    pub readings: BTreeMap<ValueId, Reading>,
    /// Workings.
    pub workings: BTreeMap<ValueId, Working>,
    /// Hazards.
    pub hazards: BTreeMap<HazardId, Hazard>,
    /// Acts.
    pub acts: BTreeMap<ActId, Act>,
    /// Phases, in document order.
    pub phases: Vec<Phase>,
    /// Steps, in document order; the first is where a job starts.
    pub steps: Vec<Step>,
    /// What every end needs besides its own (S10).
    pub safe: BTreeSet<ConditionId>,
    /// The end to which a complete end with a run-time duty leads (S10, S13).
    pub hand_over: Option<StepId>,
}

impl Procedure {
    /// Looks a step up by name. Linear: `job` asks a few times a command.
    pub fn step(&self, id: &StepId) -> Option<&Step> {
        self.steps.iter().find(|s| &s.id == id)
    }

    /// The phase of a step.
    pub fn phase_of(&self, step: &Step) -> Option<&Phase> {
        self.phases.get(step.phase)
    }

    /// Title and kind of a reading or working.
    pub fn value(&self, id: &ValueId) -> Option<(&str, Kind)> {
        if let Some(r) = self.readings.get(id) {
            return Some((&r.title, r.kind));
        }
        self.workings.get(id).map(|w| (w.title.as_str(), w.kind))
    }

    /// The hazards met in a step: its own and those of its acts.
    pub fn hazards_of(&self, step: &Step) -> BTreeSet<HazardId> {
        let acts = step.acts.iter().filter_map(|a| self.acts.get(a));
        acts.flat_map(|a| &a.hazards)
            .chain(&step.hazards)
            .cloned()
            .collect()
    }

    /// Whether the frame moves in this step (S1).
    pub fn is_movement(&self, step: &Step) -> bool {
        step.acts
            .iter()
            .any(|a| self.acts.get(a).is_some_and(|a| a.moves))
    }

    /// Whether this is a stop-and-check: confirmed by a hold, establishing only
    /// conditions that last one step (S1).
    pub fn is_gate(&self, step: &Step) -> bool {
        matches!(step.confirm(), Confirm::Hold { .. })
            && !step.establishes.is_empty()
            && step.establishes.iter().all(|c| {
                self.conditions
                    .get(c)
                    .is_some_and(|c| c.lasts == Lasts::Step)
            })
    }

    /// What leaves on entry: the step's and its acts' clears, and the partners of
    /// everything an outcome may make true (S3).
    pub fn effective_clears(&self, step: &Step) -> BTreeSet<ConditionId> {
        let mut clears = step.clears.clone();
        for act in step.acts.iter().filter_map(|a| self.acts.get(a)) {
            clears.extend(act.clears.iter().cloned());
        }
        for made in step.may_establish() {
            for group in self.exclusive.iter().filter(|g| g.contains(made)) {
                clears.extend(group.iter().filter(|c| *c != made).cloned());
            }
        }
        clears
    }

    /// What must hold on entry before anything is cleared: the step's own needs,
    /// and at an end the safe list (S2, S10).
    pub fn entry_needs(&self, step: &Step) -> BTreeSet<ConditionId> {
        let mut needs = step.needs.clone();
        if matches!(step.body, super::step::Body::End(_)) {
            needs.extend(self.safe.iter().cloned());
        }
        needs
    }

    /// What must hold while the step is done, after the clears: the needs of its
    /// acts and of all its hazards (S2, S15).
    pub fn standing_needs(&self, step: &Step) -> BTreeSet<ConditionId> {
        let acts = step.acts.iter().filter_map(|a| self.acts.get(a));
        let mut needs: BTreeSet<_> = acts.flat_map(|a| &a.needs).cloned().collect();
        for hazard in self.hazards_of(step) {
            if let Some(hazard) = self.hazards.get(&hazard) {
                needs.extend(hazard.needs.iter().cloned());
            }
        }
        needs
    }

    /// The settings changed in a step: its own and those of its acts (S11).
    pub fn changes_of(&self, step: &Step) -> BTreeSet<SettingId> {
        let acts = step.acts.iter().filter_map(|a| self.acts.get(a));
        acts.flat_map(|a| &a.changes)
            .chain(&step.changes)
            .cloned()
            .collect()
    }

    /// The values that a step forgets on entry: its own readings, everything
    /// worked out from them, and the as-left readings of what it changes (S2).
    pub fn forgotten_by(&self, step: &Step) -> BTreeSet<ValueId> {
        let changes = self.changes_of(step);
        let as_left = self.readings.iter().filter(|(_, r)| {
            r.when == Some(When::AsLeft) && r.of.as_ref().is_some_and(|s| changes.contains(s))
        });
        let mut gone: BTreeSet<ValueId> = step.readings.iter().cloned().collect();
        gone.extend(as_left.map(|(id, _)| id.clone()));
        gone.extend(step.works.iter().cloned());
        self.with_dependents(gone)
    }

    /// Whether a limit judges a value or a working takes it in.
    pub fn rests_on(&self, value: &ValueId) -> bool {
        let asks = self.conditions.values().filter_map(|c| c.ask.as_ref());
        let limits = self.steps.iter().flat_map(|s| &s.limits);
        let judged = |limit: &Limit| match &limit.subject {
            Subject::Value(id) => id == value,
            Subject::Difference(a, b) => a == value || b == value,
            Subject::Age(_) => false,
        };
        let takes_in = |w: &Working| {
            w.inputs.iter().any(|input| match input {
                WorkInput::Value(v) | WorkInput::Series(v) => v == value,
                WorkInput::Sheet(_) | WorkInput::Literal(_) | WorkInput::Word(_) => false,
            })
        };
        asks.flat_map(|a| &a.limits).chain(limits).any(judged)
            || self.workings.values().any(takes_in)
    }

    /// `values` and every working made from them, directly or not.
    pub fn with_dependents(&self, mut values: BTreeSet<ValueId>) -> BTreeSet<ValueId> {
        loop {
            let more: Vec<ValueId> = self
                .workings
                .iter()
                .filter(|(id, w)| {
                    !values.contains(*id)
                        && w.inputs.iter().any(|i| match i {
                            WorkInput::Value(v) | WorkInput::Series(v) => values.contains(v),
                            WorkInput::Sheet(_) | WorkInput::Literal(_) | WorkInput::Word(_) => {
                                false
                            }
                        })
                })
                .map(|(id, _)| id.clone())
                .collect();
            if more.is_empty() {
                return values;
            }
            values.extend(more);
        }
    }

    /// Whether some hazard, act or the safe list needs `condition`: a step that
    /// establishes it carries interlocks only (S14).
    pub fn protects(&self, condition: &ConditionId) -> bool {
        self.hazards.values().any(|h| h.needs.contains(condition))
            || self.acts.values().any(|a| a.needs.contains(condition))
            || self.safe.contains(condition)
    }
}

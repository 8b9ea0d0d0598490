//! A drill: a job on a practice truck. The truck knows what is true, the job what was
//! said; here the two are laid side by side.
//!
//! What is unsafe is judged by what the truck knows, never by ticks. A drill is never a
//! job: it runs a job in practice mode only, and its record says PRACTICE.
//!
//! Pure: the same plan, seed, deeds and entries give the same debrief.
//!
//! Must not know: keys, screens, files.

mod ahead;
mod answer;
mod choice;
mod data;
mod debrief;
mod doing;
mod left;
mod look;
mod mark;
mod page;
mod plot;
mod script;
mod unsafe_act;
mod watch;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::job::{Command, Event, Setup, State};
use crate::procedure::{EndKind, StepId};
use crate::rig::{Bay, Deed, Fault, Hand, Happening, Plan, Refused, Seen, Spot, Truck};

pub use ahead::{Ahead, deeds_by_step};
pub use answer::{Said, SaidTick};
pub use choice::{choose_faults, fault_titles};
pub use data::{Kept, kept, read_kept};
pub use debrief::{Debrief, FaultStory, PhaseTime, debrief, unexpected};
pub use doing::{Doing, doings};
pub use left::{LeftOn, Stands};
pub use look::Look;
pub use mark::{Mark, Row, marks};
pub use page::page;
pub use plot::plot;
pub use script::{Script, play, play_to};
pub use unsafe_act::{Act, Seriousness};
pub use watch::Sample;

use watch::step_name;

/// The fault that is no fault of the truck: the sheet handed out is another truck's.
pub const WRONG_SHEET: &str = "wrong_sheet";

/// What people read when they name it.
pub const WRONG_SHEET_TITLE: &str = "the sheet is another truck's";

/// The sight that says whether plate and sheet agree; only the drill knows both.
pub const PLATE: &str = "plate";

/// One thing that happened in a drill.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// When, ms since the start of the drill.
    pub at_ms: u64,
    /// What.
    pub what: What,
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// Something was done at the truck.
    Done(Hand),
    /// It could not be done, because.
    Refused(Hand, String),
    /// Something happened at the truck.
    Happened(Happening),
    /// A step was opened.
    Step(StepId),
    /// Something unsafe was done.
    Unsafe(Act, String),
    /// Stop work was taken.
    Stopped,
    /// The job ended.
    Ended(EndKind),
}

/// An unsafe act, with its moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Committed {
    /// When, ms.
    pub at_ms: u64,
    /// Which.
    pub act: Act,
    /// What exactly, with figures.
    pub what: String,
    /// The step at hand.
    pub step: Option<StepId>,
}

/// What a drill is made of.
#[derive(Debug, Clone)]
pub struct Ground {
    /// The plan.
    pub plan: Arc<Plan>,
    /// The truck.
    pub truck: Arc<Truck>,
    /// Its faults.
    pub faults: Vec<Arc<Fault>>,
    /// Every fault there is to name.
    pub known: Vec<Arc<Fault>>,
    /// What a careful person does at each step, for the coach; empty where there is none.
    pub coach: BTreeMap<StepId, Vec<Deed>>,
    /// The seed.
    pub seed: u64,
    /// Who practises.
    pub by: String,
}

/// A drill under way.
#[derive(Debug, Clone)]
pub struct Drill {
    /// What it is made of.
    pub ground: Ground,
    /// The truck in its bay.
    pub bay: Bay,
    /// Everything that happened.
    pub lines: Vec<Line>,
    /// What was unsafe.
    pub unsafe_acts: Vec<Committed>,
    /// Readings that were typed, beside what was shown and what was true.
    pub said: Vec<Said>,
    /// Ticks and choices that the truck can judge.
    pub ticked: Vec<SaidTick>,
    /// Last looks, by sight.
    pub looks: BTreeMap<String, Look>,
    /// When each fault could first be seen, by the step at hand.
    pub visible: BTreeMap<String, (u64, StepId)>,
    /// When each fault was named rightly.
    pub named: BTreeMap<String, u64>,
    /// Faults named or mended that are not there, each once.
    pub misnamed: Vec<(u64, String)>,
    /// When each fault was mended.
    pub mended: BTreeMap<String, u64>,
    /// Height and pressures over the drill.
    pub trace: Vec<Sample>,
    /// The steps, with the instant at which each was opened.
    pub steps: Vec<(u64, StepId, String)>,
    /// How it ended, and when.
    pub ended: Option<(u64, EndKind)>,
    /// When stop work was taken.
    pub stopped: Option<u64>,
    /// Until when the lead hand did it.
    pub handed_ms: Option<u64>,
    entered_ms: u64,
    moved_ms: u64,
    at_stop_ms: u64,
}

impl Drill {
    /// A drill before anything is done.
    pub fn new(ground: Ground) -> Self {
        let scatter = ground.plan.scatter.then_some(ground.seed);
        let bay = Bay::new(Arc::clone(&ground.truck), ground.faults.clone(), scatter);
        Self {
            ground,
            bay,
            lines: Vec::new(),
            unsafe_acts: Vec::new(),
            said: Vec::new(),
            ticked: Vec::new(),
            looks: BTreeMap::new(),
            visible: BTreeMap::new(),
            named: BTreeMap::new(),
            misnamed: Vec::new(),
            mended: BTreeMap::new(),
            trace: Vec::new(),
            steps: Vec::new(),
            ended: None,
            stopped: None,
            handed_ms: None,
            entered_ms: 0,
            moved_ms: 0,
            at_stop_ms: 0,
        }
    }

    /// Milliseconds since the start.
    pub const fn now_ms(&self) -> u64 {
        self.bay.now_ms()
    }

    /// The step at hand.
    pub fn step(&self) -> Option<&StepId> {
        self.steps.last().map(|(_, step, _)| step)
    }

    /// Whether the sheet handed out is not the truck's own.
    pub fn wrong_sheet(&self) -> bool {
        self.ground.plan.sheet != self.ground.truck.sheet
    }

    /// What is seen under a name: the truck's, and what only the drill knows.
    pub fn sees(&self, name: &str) -> Option<Seen> {
        if name == PLATE {
            let word = if self.wrong_sheet() { "other" } else { "same" };
            return Some(Seen::Word {
                word: word.to_owned(),
                good: !self.wrong_sheet(),
            });
        }
        self.bay.sees(name)
    }

    /// Where something is looked at.
    pub fn spot_of(&self, name: &str) -> Option<Spot> {
        if name == PLATE {
            return Some(Spot::Front);
        }
        self.bay.spot_of(name)
    }

    /// Everything that is seen at a place: name, title, what is seen.
    pub fn seen_at(&self, spot: Spot) -> Vec<(String, String, Seen)> {
        let mut seen = self.bay.seen_at(spot);
        if self.spot_of(PLATE) == Some(spot) {
            // Whoever reads the plate sees it; that it is another's is theirs to tell.
            let plate = self.sees(PLATE);
            seen.extend(plate.map(|plate| (PLATE.to_owned(), String::new(), plate)));
        }
        seen
    }

    /// Does one thing at the truck.
    ///
    /// # Errors
    /// When it can't be done; the truck is as it was.
    pub fn act(&mut self, setup: &Setup, hand: &Hand) -> Result<Vec<Happening>, Refused> {
        let judged = self.judge_before(setup, hand);
        // A valve that is shut already is no new line.
        let is_idle = matches!(hand, Hand::LetGo) && self.bay.held.is_none();
        match self.known(hand).and_then(|()| self.bay.act(hand)) {
            Ok(happened) => {
                if !is_idle {
                    self.note(What::Done(hand.clone()));
                }
                // A valve that only the evidence of a key opens again is one act.
                for (act, what) in judged {
                    self.once(act, || what);
                }
                self.take_happenings(&happened);
                if let Hand::Look(spot) = hand {
                    self.look_round(*spot);
                }
                Ok(happened)
            }
            Err(refused) => {
                if let (Hand::Mend(fault), Refused::InOrder { .. }) = (hand, &refused) {
                    self.miss(fault);
                }
                self.note(What::Refused(hand.clone(), refused.to_string()));
                Err(refused)
            }
        }
    }

    /// A fault was named or mended that is not there, nor was before it was mended.
    fn miss(&mut self, fault: &str) {
        let twice = self.misnamed.iter().any(|(_, name)| name == fault);
        if !twice && !self.mended.contains_key(fault) {
            self.misnamed.push((self.now_ms(), fault.to_owned()));
        }
    }

    /// A fault that is named or mended is one that there is.
    fn known(&self, hand: &Hand) -> Result<(), Refused> {
        if let Hand::Name(fault) | Hand::Mend(fault) = hand
            && fault != WRONG_SHEET
            && self.ground.known.iter().all(|f| &f.id != fault)
        {
            return Err(Refused::UnknownFault {
                name: fault.clone(),
            });
        }
        Ok(())
    }

    fn take_happenings(&mut self, happened: &[Happening]) {
        let now = self.now_ms();
        for one in happened {
            match one {
                Happening::Named(fault, right) => {
                    if *right || (fault == WRONG_SHEET && self.wrong_sheet()) {
                        self.named.entry(fault.clone()).or_insert(now);
                    } else {
                        self.miss(fault);
                    }
                }
                Happening::Mended(fault) => {
                    self.mended.entry(fault.clone()).or_insert(now);
                    self.named.entry(fault.clone()).or_insert(now);
                }
                Happening::Jumped(mm) => self.judge_jump(*mm),
                Happening::Stored(level, _) => self.judge_store(*level),
                Happening::WriteStopped => {
                    self.commit(Act::WriteLapsed, "It broke off before its end.".to_owned());
                }
                Happening::NotStored(..)
                | Happening::WriteBegan
                | Happening::WriteRefused(_)
                | Happening::WriteFinished
                | Happening::SettingsTaken
                | Happening::LevellingWoke => {}
            }
            self.note(What::Happened(one.clone()));
        }
    }

    /// Takes what followed from an entry of the job.
    pub fn entered(&mut self, setup: &Setup, before: &State, command: &Command, events: &[Event]) {
        self.judge_answers(setup, before, command);
        let now = self.now_ms();
        for event in events {
            if let Event::Entered { step, .. } = event {
                self.arrive(setup, step);
            }
            if let Event::Ended { kind, .. } = event {
                self.ended = Some((now, *kind));
                self.note(What::Ended(*kind));
            }
        }
        if matches!(command, Command::TakeStop) {
            self.stopped.get_or_insert(now);
            self.note(What::Stopped);
        }
    }

    /// The lead hand's part is over: what was done till now is nobody's mark. The trace
    /// and the steps stay.
    pub(super) fn hand_over(&mut self) {
        self.unsafe_acts.clear();
        self.said.clear();
        self.ticked.clear();
        self.misnamed.clear();
        self.handed_ms = Some(self.now_ms());
        self.bay.spot = Spot::Line;
        let (now, step) = (self.now_ms(), self.step().cloned());
        // What could be seen before could not be seen by this person.
        self.visible.clear();
        if let Some(step) = step {
            self.see_what_shows(&step);
        }
        self.entered_ms = now;
    }

    /// The job stands at its first step.
    pub fn arrive(&mut self, setup: &Setup, step: &StepId) {
        let now = self.now_ms();
        let phase = setup.step(step).and_then(|s| setup.procedure.phase_of(s));
        let phase = phase.map_or_else(String::new, |p| p.title.clone());
        self.steps.push((now, step.clone(), phase));
        self.entered_ms = now;
        self.note(What::Step(step.clone()));
        self.see_what_shows(step);
    }

    /// A fault can be seen from the first step on at which a careful person finds it.
    fn see_what_shows(&mut self, step: &StepId) {
        let now = self.now_ms();
        let plain = step_name(step.as_str());
        for fault in &self.ground.faults {
            let here = |at: &String| at == step.as_str() || at == plain;
            if fault.found_at.iter().any(here) {
                let first = (now, step.clone());
                self.visible.entry(fault.id.clone()).or_insert(first);
            }
        }
        if self.wrong_sheet() && plain == "sheet" {
            let first = (now, step.clone());
            self.visible.entry(WRONG_SHEET.to_owned()).or_insert(first);
        }
    }

    fn note(&mut self, what: What) {
        self.lines.push(Line {
            at_ms: self.bay.now_ms(),
            what,
        });
    }

    fn commit(&mut self, act: Act, what: String) {
        let at_ms = self.now_ms();
        let step = self.step().cloned();
        self.unsafe_acts.push(Committed {
            at_ms,
            act,
            what: what.clone(),
            step,
        });
        self.note(What::Unsafe(act, what));
    }
}

//! A job on the screen.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "only two ways of confirming can lapse"
)]

use std::sync::Arc;
use std::time::Duration;

use super::action::{Effect, OpenedJob};
use super::field::Field;
use super::item::{Item, ItemKind, items};
use super::over::Over;
use super::practise::{List, Practise};
use crate::hold::{Judge, Prompt, Session, Severity};
use crate::input::Stamp;
use crate::job::{At, Command, Event, Place, Refusal, Setup, State, decide, due_readings, evolve};
use crate::procedure::{Body, Confirm, Phase, Signal, Step, StepId, ValueId};
use crate::quantity::System;

/// The two pages of a movement (S1).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Page {
    /// Move it now.
    Move,
    /// What was seen.
    Answers,
}

/// An entry on its way to the disk.
#[derive(Debug, Clone)]
pub struct Pending {
    /// What was asked.
    pub command: Command,
    /// What follows from it.
    pub events: Vec<Event>,
    /// When it was given.
    pub at: At,
    /// When it was sent, to show "saving" after a while.
    pub since: Stamp,
}

/// How long an entry may take before "saving" is shown.
pub(crate) const SAVING_AFTER: Duration = Duration::from_millis(100);

/// How long the stop card stands before *carry on* is taken.
pub(crate) const CARRY_ON_AFTER: Duration = Duration::from_secs(1);

/// A job on the screen.
#[derive(Debug)]
pub struct Work {
    /// Its id, whole.
    pub id: String,
    /// What it runs on.
    pub setup: Arc<Setup>,
    /// The last state that is on disk.
    pub state: State,
    /// Counts up each time it is opened.
    pub session: u32,
    /// What the person must be told once.
    pub notices: Vec<String>,
    /// It can be read only, because.
    pub read_only: Option<String>,
    /// The record is not safe, because.
    pub failed: Option<String>,
    /// An entry on its way to the disk.
    pub pending: Option<Pending>,
    /// Stop work was called while an entry was on its way.
    pub stop_waits: bool,
    /// When the stop card came up.
    pub stop_shown: Option<Stamp>,
    /// What lies over the step.
    pub over: Over,
    /// Which page of a movement.
    pub page: Page,
    /// The item in focus, by its place in the list; `None`: none yet.
    pub focus: Option<usize>,
    /// What that item is, so that it stays in focus when the list changes.
    focus_on: Option<ItemKind>,
    /// The line being typed.
    pub field: Field,
    /// What was refused or should be known.
    pub message: Option<String>,
    /// The last refusal of the engine.
    pub refused: Option<Refusal>,
    /// An unusual value that was typed once.
    pub unusual: Option<(ValueId, String)>,
    /// A value typed over an accepted one, entered once.
    pub replacing: Option<(ValueId, String)>,
    /// Who reads a second time.
    pub witness: Option<String>,
    /// The judge of the hold in focus.
    pub judge: Option<Judge>,
    /// First instruction line shown where not all fit.
    pub top: usize,
    /// The bell was sounded for the timer that runs.
    pub rung: bool,
    /// The last instant seen; in a drill the truck's, which may be ahead of the wall.
    pub now: Stamp,
    /// The practice truck, in a drill.
    pub practise: Option<Box<Practise>>,
    /// The terminal is asked to tell of keys let go.
    releases: bool,
}

impl Work {
    /// A job that was opened.
    pub fn new(job: OpenedJob, now: Stamp) -> Self {
        let mut work = Self {
            id: job.id,
            setup: job.setup,
            state: job.state,
            session: job.session,
            notices: job.notices,
            read_only: job.read_only,
            failed: None,
            pending: None,
            stop_waits: false,
            stop_shown: None,
            over: Over::None,
            page: Page::Answers,
            focus: None,
            focus_on: None,
            field: Field::default(),
            message: None,
            refused: None,
            unusual: None,
            replacing: None,
            witness: None,
            judge: None,
            top: 0,
            rung: false,
            now,
            practise: None,
            releases: false,
        };
        if work.state.stop.is_some() {
            work.stop_shown = Some(now);
        }
        work.arrive();
        work
    }

    /// Units shown.
    pub fn system(&self) -> System {
        self.state.system.unwrap_or(self.setup.sheet.system)
    }

    /// A text of the procedure, with the sheet's values in it.
    pub fn say(&self, text: &str) -> String {
        self.setup.say(&self.state, text)
    }

    /// The step at hand.
    pub fn step(&self) -> Option<&Step> {
        self.state.step().and_then(|s| self.setup.step(s))
    }

    /// The phase of the step at hand.
    pub fn phase(&self) -> Option<&Phase> {
        self.step().and_then(|s| self.setup.procedure.phase_of(s))
    }

    /// The instant as the engine takes it.
    pub fn at(&self, offset_min: i32) -> At {
        At {
            wall_ms: self.now.wall_ms,
            offset_min,
            mono_ms: u64::try_from(self.now.mono.as_millis()).unwrap_or(u64::MAX),
            session: self.session,
        }
    }

    /// Everything the step asks now.
    pub fn items(&self) -> Vec<Item> {
        items(&self.setup, &self.state, &self.at(0), self.page)
    }

    /// The item in focus.
    pub fn focused(&self) -> Option<Item> {
        self.focus.and_then(|at| self.items().get(at).cloned())
    }

    /// Whether the stop card is on the screen: called, or called and on its way.
    pub const fn stopped(&self) -> bool {
        self.state.stop.is_some() || self.stop_waits
    }

    /// Whether a line is being typed into the step itself.
    pub fn typing(&self) -> bool {
        !self.stopped()
            && matches!(self.over, Over::None)
            && self.focused().is_some_and(|i| i.is_field())
    }

    /// A step was entered, or the job was opened: pages, focus and lines anew.
    pub(super) fn arrive(&mut self) {
        self.field.clear();
        self.unusual = None;
        self.witness = None;
        self.judge = None;
        self.top = 0;
        self.rung = false;
        let fresh = {
            let current = self.state.current();
            current.ticks.is_empty() && current.readings.is_empty()
        };
        let moves = self.state.inside().is_some()
            && self.state.repeating.is_none()
            && self
                .step()
                .is_some_and(|s| self.setup.procedure.is_movement(s));
        self.page = if moves && fresh {
            Page::Move
        } else {
            Page::Answers
        };
        self.focus_open(0);
    }

    /// The focus goes to the first open item from `from` on, else to the first
    /// open one at all. Choices are never in focus by themselves: there is no
    /// default.
    pub(super) fn focus_open(&mut self, from: usize) {
        let items = self.items();
        let wanted = |item: &Item| item.open && !matches!(item.kind, ItemKind::Choice(_));
        let after = items.iter().enumerate().skip(from);
        let found = after
            .clone()
            .find(|(_, i)| wanted(i))
            .or_else(|| items.iter().enumerate().find(|(_, i)| wanted(i)));
        self.set_focus(found.map(|(at, _)| at));
    }

    /// Puts the focus on an item; a line being typed into another is dropped.
    pub(super) fn set_focus(&mut self, to: Option<usize>) {
        if self.focus != to {
            self.field.clear();
            self.judge = None;
            self.unusual = None;
        }
        self.focus = to;
        self.focus_on = self.focused().map(|i| i.kind);
    }

    /// The list may have changed with time: a watch asks, a clock ran out. What was
    /// in focus stays in focus; where nothing was, what comes is.
    pub(super) fn keep_focus(&mut self) {
        let items = self.items();
        let now = self.focus.and_then(|at| items.get(at)).map(|i| &i.kind);
        if now.is_some() && now == self.focus_on.as_ref() {
            return;
        }
        let found = self
            .focus_on
            .as_ref()
            .and_then(|kind| items.iter().position(|i| &i.kind == kind));
        match found {
            Some(at) => self.focus = Some(at),
            None => self.focus_open(0),
        }
    }

    /// Moves the focus by one; round at the ends.
    pub(super) fn step_focus(&mut self, by: isize) {
        let count = self.items().len();
        if count == 0 {
            self.set_focus(None);
            return;
        }
        let ways = self.items().iter().position(|i| {
            matches!(
                i.kind,
                ItemKind::Choice(_) | ItemKind::Override(_) | ItemKind::GoOn(_)
            )
        });
        let next = match (self.focus, by > 0) {
            (None, true) => ways.unwrap_or(0),
            (None, false) => count - 1,
            (Some(at), true) => (at + 1) % count,
            (Some(at), false) => (at + count - 1) % count,
        };
        self.set_focus(Some(next));
    }

    /// Asks the engine; what follows goes to the disk first.
    pub(super) fn submit(&mut self, command: Command, offset_min: i32) -> Vec<Effect> {
        if let Some(why) = self.read_only.as_ref().or(self.failed.as_ref()) {
            self.message = Some(format!("Nothing can be entered: {why}"));
            return Vec::new();
        }
        if self.pending.is_some() {
            self.message = Some("The last entry is being saved; only stop work is taken.".into());
            return Vec::new();
        }
        let at = self.at(offset_min);
        match decide(&self.setup, &self.state, &command, at) {
            Ok(events) => {
                self.message = None;
                self.refused = None;
                self.pending = Some(Pending {
                    command: command.clone(),
                    events: events.clone(),
                    at,
                    since: self.now,
                });
                vec![Effect::Append {
                    command: Box::new(command),
                    events,
                    at,
                }]
            }
            Err(refusal) => {
                self.message = Some(sentence(&refusal.to_string()));
                self.refused = Some(refusal);
                Vec::new()
            }
        }
    }

    /// The entry in flight is not safe, and none will be.
    pub(super) fn fail(&mut self, why: String) {
        self.pending = None;
        self.stop_waits = false;
        self.over = Over::None;
        self.judge = None;
        self.failed = Some(why);
    }

    /// The entry in flight is on disk: what followed from it is so now.
    pub(super) fn durable(&mut self, offset_min: i32) -> Vec<Effect> {
        let Some(pending) = self.pending.take() else {
            return Vec::new();
        };
        let before = (self.state.step().cloned(), self.state.trail.len());
        let stopped = self.state.stop.is_some();
        let focus = self.focus.unwrap_or(0);
        let was = self.practise.is_some().then(|| self.state.clone());
        for event in &pending.events {
            evolve(&mut self.state, event);
        }
        if let (Some(practise), Some(was)) = (&mut self.practise, was) {
            practise.entered(&self.setup, &was, &pending.command, &pending.events);
        }
        self.state.last = Some(pending.at);
        self.notices.clear();
        let after = (self.state.step().cloned(), self.state.trail.len());
        if self.state.stop.is_some() && self.stop_shown.is_none() {
            self.stop_shown = Some(self.now);
        }
        if self.state.stop.is_none() && stopped {
            self.stop_shown = None;
        }
        if before != after || (stopped && self.state.stop.is_none()) {
            self.arrive();
        } else if self.state.stop.is_none() {
            self.settle(focus);
        }
        if std::mem::take(&mut self.stop_waits) && self.state.stop.is_none() {
            return self.submit(Command::CallStop, offset_min);
        }
        Vec::new()
    }

    /// After an answer in the same step: on to the next open item.
    fn settle(&mut self, focus: usize) {
        self.field.clear();
        self.unusual = None;
        self.judge = None;
        self.focus = None;
        self.focus_open(focus);
    }

    /// Calls stop work, whatever else goes on.
    pub(super) fn call_stop(&mut self, offset_min: i32) -> Vec<Effect> {
        if self.state.ended.is_some() || self.stopped() {
            return Vec::new();
        }
        self.over = Over::None;
        self.judge = None;
        self.stop_shown = Some(self.now);
        if self.pending.is_some() {
            self.stop_waits = true;
            return Vec::new();
        }
        let effects = self.submit(Command::CallStop, offset_min);
        if effects.is_empty() {
            self.stop_shown = None;
        } else {
            // The card is drawn at once; its entry is on its way.
            self.stop_waits = true;
        }
        effects
    }

    /// Opens a judge when a hold comes into focus, closes it when it goes.
    pub(super) fn tend_judge(
        &mut self,
        session: &Session,
        number: u16,
        clock: Stamp,
    ) -> Vec<Effect> {
        let wanted = !self.stopped()
            && !self.truck_front()
            && self.pending.is_none()
            && matches!(self.over, Over::None)
            && self.focused().is_some_and(|i| i.kind == ItemKind::Hold);
        match (&self.judge, wanted) {
            (None, true) => {
                let prompt = self.prompt(number);
                self.judge = Some(Judge::new(session, prompt, clock));
            }
            (Some(_), false) => self.judge = None,
            (None, false) | (Some(_), true) => {}
        }
        self.tend_releases()
    }

    /// Asks the terminal to tell of keys let go while a hold or a valve needs it.
    fn tend_releases(&mut self) -> Vec<Effect> {
        let wanted = self.judge.is_some() || self.truck_front();
        if wanted == self.releases {
            return Vec::new();
        }
        self.releases = wanted;
        vec![Effect::KeyReleases(wanted)]
    }

    fn prompt(&self, number: u16) -> Prompt {
        let (signal, for_ms) = match self.step().map(Step::confirm) {
            Some(Confirm::Hold { signal, for_ms }) => (*signal, *for_ms),
            _ => (Signal::Danger, 2_500),
        };
        let severity = match signal {
            Signal::Danger => Severity::Danger,
            Signal::Notice | Signal::Caution | Signal::Warning => Severity::Caution,
        };
        let hold = Some(Duration::from_millis(u64::from(for_ms)));
        Prompt::new(severity, hold, number)
    }

    /// How soon the program must be woken although no key is pressed.
    pub(super) fn wake_in(&self, at: &At) -> Option<Duration> {
        let own = self.own_wake(at);
        let truck = self.practise.as_ref().filter(|p| !p.over);
        match (own, truck.map(|p| p.wake_in())) {
            (Some(own), Some(truck)) => Some(own.min(truck)),
            (own, truck) => own.or(truck),
        }
    }

    /// What is shown of a drill that rests, while nothing else of the job needs time.
    pub(super) fn face(&self, at: &At) -> Option<[i64; 10]> {
        if self.own_wake(at).is_some() {
            return None;
        }
        self.practise.as_ref()?.face()
    }

    /// See [`App::around_truck`](super::App::around_truck).
    pub(super) fn around_truck(&self, at: &At) -> Option<(List, bool)> {
        let practise = self.practise.as_ref().filter(|p| p.front && !p.over)?;
        let bare = matches!(self.over, Over::None) && !self.stopped() && self.failed.is_none();
        (bare && self.own_wake(at).is_none()).then(|| (practise.list, practise.alarm.is_some()))
    }

    fn own_wake(&self, at: &At) -> Option<Duration> {
        if self.judge.is_some() || matches!(self.over, Over::Trial(_)) {
            return Some(Duration::from_millis(50));
        }
        if self.pending.is_some() {
            return Some(SAVING_AFTER);
        }
        let card = self.stop_shown.is_some_and(|shown| {
            self.stopped() && self.now.mono.saturating_sub(shown.mono) < CARRY_ON_AFTER
        });
        if card {
            return Some(Duration::from_millis(250));
        }
        let timed = self.state.current().begun.is_some()
            || !due_readings(&self.setup, &self.state, at).is_empty()
            || self.waits_for_age();
        (timed && self.state.ended.is_none()).then_some(Duration::from_millis(500))
    }

    /// Whether a limit of this step is on the age of a condition.
    fn waits_for_age(&self) -> bool {
        self.step().is_some_and(|s| {
            s.limits
                .iter()
                .any(|l| matches!(l.subject, crate::procedure::Subject::Age(_)))
        })
    }

    /// What is left of the wait that runs: (left, whole) in ms.
    pub fn countdown(&self) -> Option<(u64, u64)> {
        let step = self.step()?;
        let Confirm::Wait { at_least, .. } = step.confirm() else {
            return None;
        };
        let whole = self.setup.side_ms(at_least)?;
        let begun = self.state.current().begun?;
        let gone = begun.at_least_until(&self.at(0));
        Some((whole.saturating_sub(gone), whole))
    }

    /// What is left until a condition is as old as a limit of this step asks.
    pub fn age_left(&self) -> Option<u64> {
        let step = self.step()?;
        step.limits.iter().find_map(|l| {
            let crate::procedure::Subject::Age(condition) = &l.subject else {
                return None;
            };
            let crate::procedure::BoundSpec::AgeAtLeast(side) = &l.bound else {
                return None;
            };
            let wanted = self.setup.side_ms(side)?;
            let held = self.state.conditions.get(condition)?;
            let gone = held.since.at_least_until(&self.at(0));
            Some(wanted.saturating_sub(gone))
        })
    }

    /// Whether the pulse or wait that runs can no longer be kept.
    pub(super) fn lapsed(&self) -> bool {
        let Some(step) = self.step() else {
            return false;
        };
        let current = self.state.current();
        let (from, most) = match step.confirm() {
            Confirm::Pulse { within, .. } => (
                current.pressed.or(current.begun),
                self.setup.side_ms(within),
            ),
            Confirm::Wait {
                at_most: Some(most),
                ..
            } => (current.begun, self.setup.side_ms(most)),
            _ => return false,
        };
        let (Some(from), Some(most)) = (from, most) else {
            return false;
        };
        from.at_most_until(&self.at(0)).is_none_or(|gap| gap > most)
    }

    /// Where stop work would lead from here.
    pub fn stop_step(&self) -> Option<&Step> {
        self.stop_phase().and_then(|p| self.setup.step(&p.stop))
    }

    /// The phase whose stop card counts: at a door that of the step just left, for
    /// there the person still stands (S9).
    pub fn stop_phase(&self) -> Option<&Phase> {
        let left = match &self.state.place {
            Place::Door { .. } => self.state.trail.last(),
            Place::In(_) | Place::Nowhere => None,
        };
        let left = left.and_then(|id| self.setup.step(id));
        match left {
            Some(step) => self.setup.procedure.phase_of(step),
            None => self.phase(),
        }
    }

    /// The step that most likely comes next, for "next: bring …".
    pub fn next_step(&self) -> Option<&Step> {
        let step = self.step()?;
        let next: Option<&StepId> = match &step.body {
            Body::Ordinary { ways, .. } => ways.get(&crate::procedure::Outcome::Pass),
            Body::Look { .. } | Body::End(_) => None,
        };
        next.and_then(|id| self.setup.step(id))
    }
}

/// A message as a sentence: a capital at its start, a stop at its end.
pub(crate) fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let mut out: String = match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => return String::new(),
    };
    if !out.ends_with(['.', '?', '!']) {
        out.push('.');
    }
    out
}

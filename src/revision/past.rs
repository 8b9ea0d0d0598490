//! A job that was done, looked at again with a later revision: would it still have
//! passed?
//!
//! Invariants: what was recorded is judged by the engine's own judge against the new
//! limits; what was never asked is never guessed, it is said to be unknown. Must not
//! know of journals: entries come in as instants with what followed.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::limit::side as said;
use super::order::condition;
use super::pair::Pairs;
use super::quoted;
use crate::job::{At, Event, Evidence, Setup, State, Tier, Way, evolve, judge_limits};
use crate::procedure::{
    Body, ChoiceId, ConditionId, Confirm, Outcome, Procedure, SheetKey, Side, Signal, Step, StepId,
    Subject, ValueId, WorkInput,
};
use crate::quantity::{System, Verdict};

/// One entry of a job: when, and what followed.
#[derive(Debug, Clone, Copy)]
pub struct Visit<'a> {
    /// When.
    pub at: At,
    /// What followed.
    pub events: &'a [Event],
}

/// What a job comes to under a later revision.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Past {
    /// It is over; one that is not is looked at as far as it came.
    pub ended: bool,
    /// What would not have been let through.
    pub refused: Vec<String>,
    /// What nobody can tell, since it was never asked, read or done.
    pub unknown: Vec<String>,
}

impl Past {
    /// Yes, no, or `None`: it can't be told.
    pub fn would_pass(&self) -> Option<bool> {
        if !self.refused.is_empty() {
            Some(false)
        } else if self.unknown.is_empty() {
            Some(true)
        } else {
            None
        }
    }
}

/// A step as it was left last.
struct Left {
    state: State,
    at: At,
    held: Option<Evidence>,
    pace: Option<Pace>,
}

/// How presses followed each other.
#[derive(Debug, Clone, Copy)]
struct Pace {
    last: At,
    /// The longest time between two, at the most, in ms; `None` where the clock went
    /// back between them.
    longest_ms: Option<u64>,
}

/// Which way the job took out of a step.
enum Took {
    Way(Way),
    Stop,
}

#[derive(Default)]
struct Trace {
    state: State,
    left: BTreeMap<StepId, Left>,
    entered: BTreeMap<StepId, BTreeSet<ConditionId>>,
    took: BTreeMap<StepId, VecDeque<Took>>,
    pace: Option<Pace>,
}

/// Looks back at a job done under `old`.
pub fn look_back<'a>(
    old: &Setup,
    new: &Setup,
    entries: impl IntoIterator<Item = Visit<'a>>,
) -> Past {
    let mut trace = Trace::default();
    for entry in entries {
        trace.take(entry);
    }
    let pairs = Pairs::of(&old.procedure, &new.procedure);
    let mut look = Look {
        old,
        new,
        trace: &trace,
        reworked: reworked(old, new),
        past: Past {
            ended: trace.state.ended.is_some(),
            ..Past::default()
        },
    };
    for (before, after) in pairs.both() {
        if let Some(left) = trace.left.get(&before.id) {
            look.step(before, after, left);
        }
        if let Some(held) = trace.entered.get(&before.id) {
            look.needs(after, held);
        }
    }
    look.duties();
    look.walk(&pairs);
    look.past
}

impl Trace {
    fn take(&mut self, entry: Visit<'_>) {
        let mut held = None;
        for event in entry.events {
            self.note(event, entry.at, &mut held);
            evolve(&mut self.state, event);
        }
        self.state.last = Some(entry.at);
    }

    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "only these events tell of a way or of what stood when it was taken"
    )]
    fn note(&mut self, event: &Event, at: At, held: &mut Option<Evidence>) {
        match event {
            Event::Held(evidence) => *held = Some(evidence.clone()),
            Event::Begun { at } => {
                self.pace = Some(Pace {
                    last: *at,
                    longest_ms: Some(0),
                });
            }
            Event::Pressed { at, .. } => {
                if let Some(pace) = &mut self.pace {
                    let now = pace.last.at_most_until(at);
                    pace.longest_ms = pace.longest_ms.zip(now).map(|(was, now)| was.max(now));
                    pace.last = *at;
                }
            }
            Event::Left { step, way, .. } => {
                let took = self.took.entry(step.clone()).or_default();
                took.push_back(Took::Way(way.clone()));
                let passed = matches!(way, Way::Outcome(Outcome::Pass) | Way::Choice(_));
                if passed {
                    let left = Left {
                        state: self.state.clone(),
                        at,
                        held: held.take(),
                        pace: self.pace,
                    };
                    self.left.insert(step.clone(), left);
                }
            }
            Event::StopTaken { step } => {
                self.took
                    .entry(step.clone())
                    .or_default()
                    .push_back(Took::Stop);
            }
            Event::Entered { step, .. } => {
                let held = self.state.conditions.keys().cloned().collect();
                self.entered.insert(step.clone(), held);
            }
            Event::Replaced { value, taken } => {
                for left in self.left.values_mut() {
                    if let Some(kept) = left.state.values.get_mut(value) {
                        *kept = taken.clone();
                    }
                }
            }
            Event::ReTicked { step, tick, answer } => {
                if let Some(left) = self.left.get_mut(step) {
                    left.state
                        .current
                        .ticks
                        .insert(tick.clone(), answer.clone());
                }
            }
            _ => {}
        }
    }
}

/// Workings that would come out otherwise now: made of other inputs, or of values of
/// the sheet that changed.
fn reworked(old: &Setup, new: &Setup) -> BTreeSet<ValueId> {
    let differs = |key: &SheetKey| old.sheet.quantity(key) != new.sheet.quantity(key);
    let changed = new.procedure.workings.iter().filter(|(id, is)| {
        let same = old.procedure.workings.get(*id).is_some_and(|was| {
            (&was.sum, &was.gives, &was.inputs, &was.slots)
                == (&is.sum, &is.gives, &is.inputs, &is.slots)
        });
        let sheet = |input: &WorkInput| matches!(input, WorkInput::Sheet(key) if differs(key));
        !same || is.inputs.iter().any(sheet)
    });
    let changed = changed.map(|(id, _)| id.clone()).collect();
    new.procedure.with_dependents(changed)
}

struct Look<'a> {
    old: &'a Setup,
    new: &'a Setup,
    trace: &'a Trace,
    reworked: BTreeSet<ValueId>,
    past: Past,
}

impl Look<'_> {
    fn procedure(&self) -> &Procedure {
        &self.new.procedure
    }

    fn system(&self) -> System {
        self.trace.state.system.unwrap_or(self.new.sheet.system)
    }

    fn unknown(&mut self, sentence: String) {
        self.past.unknown.push(sentence);
    }

    fn refused(&mut self, sentence: String) {
        self.past.refused.push(sentence);
    }

    /// A step that the job passed: its answers, readings, limits and hold.
    fn step(&mut self, before: &Step, after: &Step, left: &Left) {
        let title = quoted(&after.title);
        let answers = &left.state.current.ticks;
        for tick in &after.ticks {
            match answers.get(&tick.id) {
                None => self.unknown(format!("{title}: {} was never asked.", quoted(&tick.text))),
                Some(crate::job::Answer::NotApplicable(_)) if !tick.may_not_apply => {
                    self.refused(format!(
                        "{title}: {} was answered \"does not apply\", which is no answer now.",
                        quoted(&tick.text)
                    ));
                }
                Some(crate::job::Answer::Yes(words)) if tick.words && words.trim().is_empty() => {
                    self.unknown(format!(
                        "{title}: {} was answered without words.",
                        quoted(&tick.text)
                    ));
                }
                Some(_) => {}
            }
        }
        for reading in &after.readings {
            let name = quoted(
                self.procedure()
                    .value(reading)
                    .map_or("", |(title, _)| title),
            );
            if left.state.value(reading).is_none() {
                self.unknown(format!("{title}: {name} was never read."));
            } else if self
                .procedure()
                .readings
                .get(reading)
                .is_some_and(|r| r.witness)
                && !left.state.current.witnessed.contains_key(reading)
            {
                self.unknown(format!(
                    "{title}: {name} was never read by a second person."
                ));
            }
        }
        self.limits(before, after, left);
        self.hold(after, left);
        if let Body::Ordinary {
            tries: Some(tries), ..
        } = &after.body
            && self
                .trace
                .state
                .counts
                .get(&before.id)
                .is_some_and(|n| n >= tries)
        {
            self.refused(format!("{title}: it ended badly as often as it may be tried now, and would not have been offered again."));
        }
    }

    fn limits(&mut self, before: &Step, after: &Step, left: &Left) {
        let title = quoted(&after.title);
        let judged = judge_limits(self.new, &left.state, after, &left.state.current, &left.at);
        for (index, limit) in after.limits.iter().enumerate() {
            let subject = super::limit::subject_title(&self.new.procedure, &limit.subject);
            if self.rests_on_reworked(&limit.subject) {
                self.unknown(format!(
                    "{title}: {subject} is worked out otherwise now, so its old value says nothing."
                ));
                continue;
            }
            let Some(judged) = judged.iter().find(|judged| judged.limit == index) else {
                self.unknown(format!(
                    "{title}: {subject} has no value in the record to hold against {}.",
                    super::limit::said(&limit.bound)
                ));
                continue;
            };
            // Overridden is overridden, as long as the limit is still advice.
            let overridden = before.limits.iter().enumerate().any(|(n, was)| {
                was.subject == limit.subject && left.state.current.overrides.contains_key(&n)
            });
            let advice = limit.grade == crate::procedure::Grade::Advice;
            if judged.judgement.verdict != Verdict::Within && !(overridden && advice) {
                let sentence = judged.judgement.sentence(self.system());
                self.refused(format!("{title}: {subject}: {sentence}."));
            }
        }
    }

    fn rests_on_reworked(&self, subject: &Subject) -> bool {
        match subject {
            Subject::Value(id) => self.reworked.contains(id),
            Subject::Difference(a, b) => self.reworked.contains(a) || self.reworked.contains(b),
            Subject::Age(_) => false,
        }
    }

    fn hold(&mut self, after: &Step, left: &Left) {
        let title = quoted(&after.title);
        let (signal, for_ms) = match after.confirm() {
            Confirm::Hold { signal, for_ms } => (signal, for_ms),
            Confirm::Wait { at_least, at_most } => {
                return self.waited(&title, left, at_least, at_most.as_ref());
            }
            Confirm::Pulse { presses, within } => {
                return self.pressed(&title, left, *presses, within);
            }
            Confirm::None | Confirm::Enter => return,
        };
        match &left.held {
            None => self.unknown(format!(
                "{title}: it was confirmed without a hold, and now a hold is asked for."
            )),
            Some(held) => {
                if *signal == Signal::Danger && held.tier == Tier::Repeat {
                    self.refused(format!("{title}: the hold was seen by the repeat of the key only, which a danger does not take."));
                }
                let timed = matches!(held.tier, Tier::Release | Tier::Repeat);
                if timed && held.held_ms < u64::from(*for_ms) {
                    self.refused(format!(
                        "{title}: the key was held for {} s, and now {} s are asked for.",
                        held.held_ms as f64 / 1000.0,
                        f64::from(*for_ms) / 1000.0
                    ));
                }
            }
        }
    }

    /// A time that was waited, against the one that is asked now.
    fn waited(&mut self, title: &str, left: &Left, at_least: &Side, at_most: Option<&Side>) {
        let Some(begun) = left.state.current.begun else {
            return self.unknown(format!(
                "{title}: no time was kept there, and now one must be."
            ));
        };
        let least = self.new.side_ms(at_least);
        if least.is_some_and(|least| begun.at_least_until(&left.at) < least) {
            self.refused(format!(
                "{title}: less than {} was waited there.",
                said(at_least)
            ));
        }
        let Some(most) = at_most else { return };
        match (begun.at_most_until(&left.at), self.new.side_ms(most)) {
            (Some(waited), Some(ms)) if waited > ms => {
                self.refused(format!("{title}: more than {} went by there.", said(most)));
            }
            (None, Some(_)) => self.unknown(format!(
                "{title}: how long it took at the most is not known, and now no more than {} may go by.",
                said(most)
            )),
            _ => {}
        }
    }

    /// Presses in time, against those that are asked now.
    fn pressed(&mut self, title: &str, left: &Left, presses: u32, within: &Side) {
        let were = left.state.current.presses;
        let Some(pace) = left.pace.filter(|_| were > 0) else {
            return self.unknown(format!(
                "{title}: no presses were kept there, and now some must be."
            ));
        };
        if were < presses {
            self.refused(format!(
                "{title}: {} kept there, and now {presses} are asked for.",
                super::counted(were as usize, "press was", "presses were")
            ));
        }
        match (pace.longest_ms, self.new.side_ms(within)) {
            (Some(longest), Some(ms)) if longest > ms => self.refused(format!(
                "{title}: more than {} went by before a press there.",
                said(within)
            )),
            (None, Some(_)) => self.unknown(format!(
                "{title}: how quickly the presses followed is not known, and now each must come within {}.",
                said(within)
            )),
            _ => {}
        }
    }

    /// What a step needs now, against what held when it was entered.
    fn needs(&mut self, after: &Step, held: &BTreeSet<ConditionId>) {
        let procedure = &self.new.procedure;
        let cleared = procedure.effective_clears(after);
        let own = procedure.entry_needs(after);
        let standing = procedure.standing_needs(after);
        let missing: BTreeSet<ConditionId> = own
            .iter()
            .filter(|id| !held.contains(*id))
            .chain(
                standing
                    .iter()
                    .filter(|id| !held.contains(*id) || cleared.contains(*id)),
            )
            .cloned()
            .collect();
        for id in missing {
            let what = condition(procedure, &id);
            let title = quoted(&after.title);
            if self.old.procedure.conditions.contains_key(&id) {
                self.refused(format!(
                    "{title}: {what} did not hold when it was entered, and is needed now."
                ));
            } else {
                self.unknown(format!(
                    "{title}: {what} is needed now, and nobody asked for it."
                ));
            }
        }
    }

    /// Duties that the job would owe now and that nothing in it paid.
    fn duties(&mut self) {
        let procedure = &self.new.procedure;
        let complete = self
            .trace
            .state
            .ended
            .is_some_and(|end| end.kind == crate::procedure::EndKind::Complete);
        if !complete {
            return;
        }
        let mut owed: BTreeSet<_> = BTreeSet::new();
        for step in procedure
            .steps
            .iter()
            .filter(|s| self.trace.entered.contains_key(&s.id))
        {
            owed.extend(step.incurs.iter().cloned());
            for id in step
                .choices()
                .iter()
                .filter(|c| self.chose(&step.id, c.id.as_str()))
            {
                owed.extend(id.incurs.iter().cloned());
            }
        }
        for step in procedure
            .steps
            .iter()
            .filter(|s| self.trace.left.contains_key(&s.id))
        {
            owed.retain(|id| !step.settles.contains(id));
            for choice in step
                .choices()
                .iter()
                .filter(|c| self.chose(&step.id, c.id.as_str()))
            {
                owed.retain(|id| !choice.settles.contains(id));
            }
        }
        for id in owed {
            let what = procedure
                .duties
                .get(&id)
                .map_or("", |duty| duty.title.as_str());
            self.refused(format!(
                "The job ended complete, and {} would still have been owed.",
                quoted(what)
            ));
        }
    }

    fn chose(&self, step: &StepId, choice: &str) -> bool {
        let took = self.trace.took.get(step);
        took.is_some_and(|took| {
            took.iter()
                .any(|took| matches!(took, Took::Way(Way::Choice(id)) if id.as_str() == choice))
        })
    }

    /// Walks the new graph the way the job went, to find the steps it never did.
    fn walk(&mut self, pairs: &Pairs<'_>) {
        let names: BTreeMap<&StepId, &StepId> =
            pairs.both().map(|(old, new)| (&new.id, &old.id)).collect();
        let mut used: BTreeMap<&StepId, usize> = BTreeMap::new();
        let mut asked: BTreeSet<&StepId> = BTreeSet::new();
        let new = self.new;
        let most =
            self.trace.took.values().map(VecDeque::len).sum::<usize>() + new.procedure.steps.len();
        let mut at = new.procedure.steps.first();
        for _ in 0..=most {
            let Some(step) = at else { return };
            if let Body::End(kind) = step.body {
                let ended = self.trace.state.ended;
                if let Some(ended) = ended.filter(|ended| ended.kind != kind) {
                    let word = |kind: crate::procedure::EndKind| kind.key().replace('_', " ");
                    self.refused(format!(
                        "The same answers would have ended in {}: {}; the job ended {}.",
                        quoted(&step.title),
                        word(kind),
                        word(ended.kind)
                    ));
                }
                return;
            }
            let took = names.get(&step.id).and_then(|old| {
                let count = used.entry(*old).or_default();
                let took = self.trace.took.get(*old)?.get(*count);
                *count += 1;
                took
            });
            at = match took {
                Some(Took::Way(Way::Outcome(outcome))) => {
                    step.way(*outcome).and_then(|to| new.procedure.step(to))
                }
                Some(Took::Way(Way::Choice(id))) if !self.sheet_says(step, id) => return,
                Some(Took::Way(Way::Choice(id))) => step
                    .choices()
                    .iter()
                    .find(|c| &c.id == id)
                    .and_then(|c| new.procedure.step(&c.to)),
                Some(Took::Stop) => new
                    .procedure
                    .phase_of(step)
                    .and_then(|phase| new.procedure.step(&phase.stop)),
                None if self.trace.state.ended.is_none() && !self.comes_later(&names, step) => {
                    return;
                }
                None => {
                    if !asked.insert(&step.id) {
                        return;
                    }
                    self.never_done(step);
                    step.way(Outcome::Pass)
                        .and_then(|to| new.procedure.step(to))
                }
            };
        }
    }

    /// Whether a look that the sheet answers is answered by it as it was; what would
    /// have followed another answer nobody can tell.
    fn sheet_says(&mut self, step: &Step, chosen: &ChoiceId) -> bool {
        let Body::Look {
            by_sheet: Some(key),
            ..
        } = &step.body
        else {
            return true;
        };
        let same = self.new.sheet.word(key) == Some(chosen.as_str());
        if !same {
            self.unknown(format!(
                "{}: the sheet answers otherwise now, and where that leads was not done.",
                quoted(&step.title)
            ));
        }
        same
    }

    /// Whether a step that the job never left is one it should have passed already: it
    /// is new, and the job is further on.
    fn comes_later(&self, names: &BTreeMap<&StepId, &StepId>, step: &Step) -> bool {
        let mut at = step.way(Outcome::Pass);
        let mut seen = BTreeSet::new();
        while let Some(id) = at {
            if !seen.insert(id) {
                return false;
            }
            if names
                .get(id)
                .is_some_and(|old| self.trace.entered.contains_key(*old))
            {
                return !names.contains_key(&step.id);
            }
            at = self
                .procedure()
                .step(id)
                .and_then(|step| step.way(Outcome::Pass));
        }
        false
    }

    fn never_done(&mut self, step: &Step) {
        let title = quoted(&step.title);
        let acts: Vec<String> = step
            .acts
            .iter()
            .filter_map(|id| self.procedure().acts.get(id))
            .map(|act| quoted(&act.title))
            .collect();
        if step.kind() == crate::procedure::StepKind::Look {
            self.unknown(format!("{title} was never looked at; where the job would have gone from there can't be told."));
        } else if acts.is_empty() {
            self.unknown(format!("{title} was never done."));
        } else {
            self.unknown(format!(
                "{title} was never done, and so not the act {}.",
                acts.join(", ")
            ));
        }
        let owed: Vec<String> = step
            .incurs
            .iter()
            .filter_map(|id| self.procedure().duties.get(id))
            .map(|duty| quoted(&duty.title))
            .collect();
        if !owed.is_empty() {
            self.unknown(format!(
                "{title} would have made owed: {}.",
                owed.join(", ")
            ));
        }
    }
}

//! Judging the limits of a step, and what its answers come to (S4).

use super::Turn;
use crate::job::at::At;
use crate::job::command::Answer;
use crate::job::event::{Event, Judged, Taken};
use crate::job::setup::Setup;
use crate::job::state::{Current, State};
use crate::procedure::{Body, BoundSpec, Grade, Limit, Outcome, Step, StepKind, Subject, ValueId};
use crate::quantity::{Bound, Judgement, Kind, Measured, Quantity, Verdict, difference, judge};

/// What the answers of a step come to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Standing {
    /// Something is open; titles.
    Open(Vec<String>),
    /// Answered badly, with no way from it; the ticks.
    Stuck(Vec<String>),
    /// It ends badly if the person goes on.
    Bad(Outcome),
    /// It may pass.
    Good,
}

/// What the answers of the step come to at `at`.
pub(crate) fn standing(setup: &Setup, state: &State, step: &Step, at: &At) -> Standing {
    let current = state.current();
    let open = open_items(setup, state, step);
    if !open.is_empty() {
        return Standing::Open(open);
    }
    if step.kind() != StepKind::Ordinary {
        return Standing::Good;
    }
    let bad: Vec<String> = step
        .ticks
        .iter()
        .filter(|t| current.ticks.get(&t.id) == Some(&Answer::No))
        .map(|t| setup.say(state, &t.text))
        .collect();
    let apart = witnesses_apart(setup, state, step);
    let bad: Vec<String> = bad.into_iter().chain(apart).collect();
    if !bad.is_empty() {
        return if step.way(Outcome::Fail).is_some() {
            Standing::Bad(Outcome::Fail)
        } else {
            Standing::Stuck(bad)
        };
    }
    let judged = judge_limits(setup, state, step, current, at);
    let open = |verdict: Verdict| {
        judged
            .iter()
            .any(|j| j.judgement.verdict == verdict && !current.overrides.contains_key(&j.limit))
    };
    if open(Verdict::Outside) {
        return Standing::Bad(Outcome::Fail);
    }
    if open(Verdict::TooClose) {
        return Standing::Bad(Outcome::TooClose);
    }
    Standing::Good
}

/// Titles of what is not answered, accepted or worked out yet.
fn open_items(setup: &Setup, state: &State, step: &Step) -> Vec<String> {
    let current = state.current();
    let ticks = step.ticks.iter();
    let mut open: Vec<String> = ticks
        .filter(|t| !current.ticks.contains_key(&t.id))
        .map(|t| setup.say(state, &t.text))
        .collect();
    let title = |id: &ValueId| {
        let known = setup.procedure.value(id);
        known.map_or_else(|| id.to_string(), |(title, _)| title.to_owned())
    };
    for reading in &step.readings {
        let witnessed = setup.procedure.readings.get(reading);
        if !current.readings.contains(reading) {
            open.push(title(reading));
        } else if witnessed.is_some_and(|r| r.witness) && !current.witnessed.contains_key(reading) {
            open.push(format!("{}, read by a second person", title(reading)));
        }
    }
    if open.is_empty() {
        let works = step.works.iter().filter(|w| state.value(w).is_none());
        open.extend(works.filter(|w| holds_up(setup, w)).map(title));
    }
    open
}

/// Whether a working that can't be made holds the step up: not where it is only kept
/// for the record and nothing rests on it.
fn holds_up(setup: &Setup, working: &ValueId) -> bool {
    let procedure = &setup.procedure;
    let kept = procedure
        .workings
        .get(working)
        .is_some_and(|w| w.for_record);
    !kept || procedure.rests_on(working)
}

/// What two people read further apart than both uncertainties allow (S14); titles.
fn witnesses_apart(setup: &Setup, state: &State, step: &Step) -> Vec<String> {
    let witnessed = &state.current().witnessed;
    let apart = step.readings.iter().filter(|reading| {
        let (first, second) = (state.value(reading), witnessed.get(*reading));
        first.zip(second).is_some_and(|(a, b)| too_far_apart(a, b))
    });
    let known = apart.filter_map(|id| setup.procedure.value(id));
    known
        .map(|(title, _)| format!("{title}, read twice"))
        .collect()
}

/// Whether two readings of one thing differ by more than both uncertainties.
pub(super) fn too_far_apart(first: &Taken, second: &Taken) -> bool {
    let apart = first.measured.value().si() - second.measured.value().si();
    let allowed = first.measured.expanded().si() + second.measured.expanded().si();
    apart.abs() > allowed * (1.0 + 1e-9)
}

/// The advice limits that may be overridden now: everything is answered, nothing
/// but limits stands in the way (S14).
pub(crate) fn overridable(setup: &Setup, state: &State, step: &Step, at: &At) -> Vec<usize> {
    let current = state.current();
    let bad_tick = step
        .ticks
        .iter()
        .any(|t| current.ticks.get(&t.id) == Some(&Answer::No));
    if bad_tick
        || !witnesses_apart(setup, state, step).is_empty()
        || !matches!(standing(setup, state, step, at), Standing::Bad(_))
    {
        return Vec::new();
    }
    judge_limits(setup, state, step, current, at)
        .into_iter()
        .filter(|j| j.judgement.verdict != Verdict::Within)
        .map(|j| j.limit)
        .filter(|index| {
            let limit = step.limits.get(*index);
            let advice = limit.is_some_and(|l| l.grade == Grade::Advice);
            advice && !current.overrides.contains_key(index)
        })
        .collect()
}

/// Judges every limit of the step that can be judged.
pub(crate) fn judge_limits(
    setup: &Setup,
    state: &State,
    step: &Step,
    current: &Current,
    at: &At,
) -> Vec<Judged> {
    let limits = step.limits.iter().enumerate();
    limits
        .filter_map(|(index, limit)| {
            let bound = bound(setup, &limit.bound)?;
            let subjects = measured(state, current, &limit.subject, at);
            let judgements = subjects
                .iter()
                .filter_map(|m| judge(m, &bound, limit.rule).ok());
            let judgement = judgements.reduce(worse)?;
            Some(Judged {
                limit: index,
                judgement,
            })
        })
        .collect()
}

/// Of two judgements the worse: outside before too close before within.
fn worse(a: Judgement, b: Judgement) -> Judgement {
    let rank = |j: &Judgement| match j.verdict {
        Verdict::Outside => 2,
        Verdict::TooClose => 1,
        Verdict::Within => 0,
    };
    if rank(&b) > rank(&a) { b } else { a }
}

/// Judges one value against one limit, as when a condition is attested.
pub(super) fn meets(setup: &Setup, limit: &Limit, taken: &Taken) -> bool {
    bound(setup, &limit.bound)
        .and_then(|bound| judge(&taken.measured, &bound, limit.rule).ok())
        .is_some_and(|j| j.verdict == Verdict::Within)
}

/// The bound with the sheet's values in it.
pub(crate) fn bound(setup: &Setup, spec: &BoundSpec) -> Option<Bound> {
    let side = |s| setup.side(s);
    Some(match spec {
        BoundSpec::AtMost(a) => Bound::AtMost(side(a)?),
        BoundSpec::AtLeast(a) | BoundSpec::AgeAtLeast(a) => Bound::AtLeast(side(a)?),
        BoundSpec::Between(a, b) => Bound::Between {
            low: side(a)?,
            high: side(b)?,
        },
        BoundSpec::Near { target, within } => Bound::Near {
            target: side(target)?,
            within: side(within)?,
        },
        BoundSpec::DifferByAtMost(a) => Bound::apart_at_most(side(a)?),
    })
}

/// What a limit is put on: one value, or both of a witnessed one.
fn measured(state: &State, current: &Current, subject: &Subject, at: &At) -> Vec<Measured> {
    match subject {
        Subject::Value(id) => {
            let first = state.value(id).map(|t| t.measured);
            let second = current.witnessed.get(id).map(|t| t.measured);
            first.into_iter().chain(second).collect()
        }
        Subject::Difference(a, b) => {
            let (Some(a), Some(b)) = (state.value(a), state.value(b)) else {
                return Vec::new();
            };
            let same = a.instrument.is_some() && a.instrument == b.instrument;
            difference(&a.measured, &b.measured, same)
                .into_iter()
                .collect()
        }
        Subject::Age(condition) => {
            let Some(held) = state.conditions.get(condition) else {
                return Vec::new();
            };
            let seconds = held.since.at_least_until(at) as f64 / 1000.0;
            let age = Quantity::from_si(seconds, Kind::Time);
            age.map(Measured::exact).into_iter().collect()
        }
    }
}

impl Turn<'_> {
    /// Makes workings and verdicts anew, if everything is answered.
    pub(super) fn refresh(&mut self) -> Result<(), Refusal> {
        let step = self.step()?.clone();
        self.work(&step);
        let judged = judge_limits(
            self.setup,
            &self.state,
            &step,
            self.state.current(),
            &self.at,
        );
        if judged != self.state.current().judged {
            self.push(Event::Judged(judged));
        }
        Ok(())
    }

    /// After an answer: verdicts, and the way on where nothing else is asked.
    pub(super) fn settle_if_done(&mut self) -> Result<(), Refusal> {
        if self.step().is_err() {
            return Ok(());
        }
        self.refresh()?;
        let step = self.step()?.clone();
        let Body::Ordinary { confirm, .. } = &step.body else {
            return Ok(());
        };
        let by_itself = *confirm == crate::procedure::Confirm::None;
        if by_itself && self.may_pass(&step).is_ok() {
            return self.leave(Outcome::Pass);
        }
        Ok(())
    }

    /// Whether the step may pass now: all good and nothing to attest.
    pub(super) fn may_pass(&self, step: &Step) -> Result<(), Refusal> {
        match standing(self.setup, &self.state, step, &self.at) {
            Standing::Open(open) => return Err(Refusal::Unanswered { open }),
            Standing::Stuck(ticks) => return Err(Refusal::BadAnswer { ticks }),
            Standing::Bad(_) => {
                return Err(Refusal::LimitNotMet {
                    of: step.title.clone(),
                });
            }
            Standing::Good => {}
        }
        self.fresh(step)
    }

    /// Whether everything the step needs counts still.
    pub(super) fn fresh(&self, step: &Step) -> Result<(), Refusal> {
        let stale = self.stale_for(step);
        if stale.is_empty() {
            return Ok(());
        }
        Err(Refusal::Stale {
            attest: self.condition_titles(&stale),
        })
    }

    /// Overrides an advice limit.
    pub(super) fn override_limit(&mut self, index: usize, reason: &str) -> Result<(), Refusal> {
        if reason.trim().is_empty() {
            return Err(Refusal::ReasonWanted);
        }
        let open = overridable(self.setup, &self.state, self.step()?, &self.at);
        if !open.contains(&index) {
            return Err(Refusal::NoOverride);
        }
        self.push(Event::Overridden {
            limit: index,
            reason: reason.trim().to_owned(),
        });
        self.settle_if_done()
    }
}

use crate::job::refusal::Refusal;

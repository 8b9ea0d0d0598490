//! Leaving a step (S6), counting its bad outcomes (S4, S5).

use super::Turn;
use crate::job::event::{Event, Way};
use crate::job::refusal::Refusal;
use crate::procedure::{Body, Choice, ConditionId, DutyId, Lasts, Outcome, Step, StepId};

impl Turn<'_> {
    /// Leaves an ordinary step, or ends its repetition.
    pub(super) fn leave(&mut self, outcome: Outcome) -> Result<(), Refusal> {
        let step = self.step()?.clone();
        if self.state.repeating.is_some() {
            return self.end_repeat(&step.id, outcome == Outcome::Pass);
        }
        let (outcome, count) = self.counted(&step, outcome);
        let passed = outcome == Outcome::Pass;
        let established: Vec<ConditionId> = if passed {
            step.establishes.iter().cloned().collect()
        } else {
            Vec::new()
        };
        let settled = if passed {
            self.owed_of(&step.settles)
        } else {
            Vec::new()
        };
        let to = step.way(outcome).cloned();
        let to = to.ok_or_else(|| Refusal::NotAsked {
            what: format!("a way out of \"{}\" for {}", step.title, outcome.key()),
            asked: Vec::new(),
        })?;
        self.push(Event::Left {
            step: step.id.clone(),
            way: Way::Outcome(outcome),
            at: self.at,
            over: self.one_step_conditions(),
            established: established.clone(),
            incurred: Vec::new(),
            settled,
            count,
        });
        self.begin_watches(&established);
        self.go_to(&to)
    }

    /// Leaves a look.
    pub(super) fn leave_by_choice(&mut self, step: &Step, choice: &Choice) -> Result<(), Refusal> {
        let key = (step.id.clone(), choice.id.clone());
        let count = self.state.chosen.get(&key).copied().unwrap_or(0) + 1;
        if choice.tries.is_some_and(|tries| count > tries) {
            return Err(Refusal::Withdrawn {
                choice: choice.text.clone(),
            });
        }
        let established: Vec<ConditionId> = choice.establishes.iter().cloned().collect();
        let incurred: Vec<DutyId> = choice
            .incurs
            .iter()
            .filter(|d| !self.state.duties.contains_key(*d))
            .cloned()
            .collect();
        let mut settled = self.owed_of(&choice.settles);
        settled.extend(
            choice
                .settles
                .iter()
                .filter(|d| incurred.contains(d))
                .cloned(),
        );
        self.push(Event::Left {
            step: step.id.clone(),
            way: Way::Choice(choice.id.clone()),
            at: self.at,
            over: self.one_step_conditions(),
            established: established.clone(),
            incurred,
            settled,
            count,
        });
        self.begin_watches(&established);
        self.go_to(&choice.to)
    }

    /// The n-th of the bad outcomes is the last (S4).
    fn counted(&self, step: &Step, outcome: Outcome) -> (Outcome, u32) {
        let so_far = self.state.counts.get(&step.id).copied().unwrap_or(0);
        if outcome == Outcome::Pass {
            return (outcome, so_far);
        }
        let count = so_far + 1;
        match &step.body {
            Body::Ordinary {
                tries: Some(tries), ..
            } if count >= *tries => (Outcome::Spent, count),
            Body::Ordinary { .. } | Body::Look { .. } | Body::End(_) => (outcome, count),
        }
    }

    fn owed_of<'d>(&self, duties: impl IntoIterator<Item = &'d DutyId>) -> Vec<DutyId> {
        let duties = duties.into_iter();
        duties
            .filter(|d| self.state.duties.contains_key(*d))
            .cloned()
            .collect()
    }

    /// Conditions of the step before: over on any leaving (S7).
    fn one_step_conditions(&self) -> Vec<ConditionId> {
        self.holding(|lasts| lasts == Lasts::Step)
    }

    fn begin_watches(&mut self, established: &[ConditionId]) {
        for condition in established {
            let known = self.setup.procedure.conditions.get(condition);
            if let Some(series) = known.and_then(|c| c.series.as_ref()) {
                let readings = series.readings.clone();
                self.push(Event::WatchBegun {
                    condition: condition.clone(),
                    at: self.at,
                    readings,
                });
            }
        }
    }

    /// Begins to repeat a step in place (S13).
    pub(super) fn repeat(&mut self, id: &StepId) -> Result<(), Refusal> {
        if self.state.repeating.is_some() {
            return Err(Refusal::Repeating(true));
        }
        self.step()?;
        let step = self.find(id)?.clone();
        if let Some(why) = self.no_repeat(&step) {
            return Err(Refusal::NoRepeat {
                step: step.title,
                why,
            });
        }
        self.push(Event::RepeatBegun { step: id.clone() });
        self.refresh()
    }

    /// Why a step can't be repeated in place, if it can't.
    pub(super) fn no_repeat(&self, step: &Step) -> Option<&'static str> {
        let procedure = &self.setup.procedure;
        let inert = step.establishes.is_empty()
            && procedure.effective_clears(step).is_empty()
            && step.incurs.is_empty()
            && procedure.changes_of(step).is_empty()
            && matches!(step.body, Body::Ordinary { .. });
        let mut needs = procedure.entry_needs(step);
        needs.extend(procedure.standing_needs(step));
        let here = self.state.inside();
        if !inert {
            Some("it changes what holds or what is owed")
        } else if here == Some(&step.id) {
            Some("the job is in it now")
        } else if !self.state.passed.contains_key(&step.id) {
            Some("it has not been done yet")
        } else if self.at_end() {
            Some("the job is at its end")
        } else if !needs.iter().all(|c| self.state.conditions.contains_key(c))
            || !self.stale_for(step).is_empty()
        {
            Some("what it needs does not hold now")
        } else {
            None
        }
    }

    /// Leaves a repeated step; nothing has changed.
    pub(super) fn leave_repeat(&mut self) -> Result<(), Refusal> {
        let Some(repeating) = &self.state.repeating else {
            return Err(Refusal::Repeating(false));
        };
        let step = repeating.step.clone();
        self.end_repeat(&step, false)
    }
}

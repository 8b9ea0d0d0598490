//! Corrections (S13): they append; what was passed wrongly is repeated or stopped.

use std::collections::BTreeSet;

use super::Turn;
use super::answer::check_answer;
use super::judge::judge_limits;
use crate::job::command::{Answer, Correction, Entry};
use crate::job::event::{Event, Taken, Way};
use crate::job::refusal::Refusal;
use crate::job::state::{Current, Passed};
use crate::procedure::{ChoiceId, Outcome, Step, StepId, Subject, TickId, ValueId};
use crate::quantity::Verdict;

impl Turn<'_> {
    /// Corrects something given earlier.
    pub(super) fn correct(&mut self, what: &Correction, reason: &str) -> Result<(), Refusal> {
        if reason.trim().is_empty() {
            return Err(Refusal::ReasonWanted);
        }
        if self.state.repeating.is_some() {
            return Err(Refusal::Repeating(true));
        }
        let reason = reason.trim();
        match what {
            Correction::Reading { reading, entry } => self.correct_reading(reading, entry, reason),
            Correction::Tick { step, tick, answer } => {
                self.correct_tick(step, tick, answer, reason)
            }
            Correction::Choice { step, choice } => self.correct_choice(step, choice, reason),
        }
    }

    fn correct_reading(
        &mut self,
        id: &ValueId,
        entry: &Entry,
        reason: &str,
    ) -> Result<(), Refusal> {
        let nothing = || Refusal::NothingToCorrect {
            what: self.value_title(id),
        };
        let here = self.state.current.readings.contains(id);
        let old = self.state.values.get(id).cloned().ok_or_else(nothing)?;
        if here || !self.setup.procedure.readings.contains_key(id) {
            return Err(nothing());
        }
        let step = self.find(&old.step)?.clone();
        let new = Taken {
            instrument: old.instrument.clone(),
            ..self.taken(id, entry, &step)?
        };
        self.push(Event::Corrected {
            subject: self.value_title(id),
            was: old.typed.clone(),
            now: entry.typed.clone(),
            reason: reason.to_owned(),
        });
        self.push(Event::Replaced {
            value: id.clone(),
            taken: new,
        });
        let changed = self.replace_dependents(id);
        self.consequences(&changed)
    }

    /// Works everything out again that rests on a corrected reading; gives all
    /// values that may have changed.
    fn replace_dependents(&mut self, id: &ValueId) -> BTreeSet<ValueId> {
        let changed = self.setup.procedure.with_dependents([id.clone()].into());
        let setup = self.setup;
        for step in &setup.procedure.steps {
            for working in step.works.iter().filter(|w| changed.contains(*w)) {
                let had = self.state.values.contains_key(working);
                if let Some(taken) = self.worked(working, &step.id).filter(|_| had) {
                    self.push(Event::Replaced {
                        value: working.clone(),
                        taken,
                    });
                }
            }
        }
        changed
    }

    /// Steps that passed and would not pass any more.
    fn consequences(&mut self, changed: &BTreeSet<ValueId>) -> Result<(), Refusal> {
        let setup = self.setup;
        let touched = |step: &&Step| {
            step.limits.iter().any(|l| match &l.subject {
                Subject::Value(v) => changed.contains(v),
                Subject::Difference(a, b) => changed.contains(a) || changed.contains(b),
                Subject::Age(_) => false,
            })
        };
        let undone: Vec<StepId> = setup
            .procedure
            .steps
            .iter()
            .filter(touched)
            .filter(|step| self.would_fail(step, changed))
            .map(|step| step.id.clone())
            .collect();
        for step in &undone {
            self.undo(step)?;
        }
        if self.state.stop.is_none() && self.step().is_ok() && !self.at_end() {
            self.refresh()?;
        }
        Ok(())
    }

    fn would_fail(&self, step: &Step, changed: &BTreeSet<ValueId>) -> bool {
        let Some(passed) = self.passed_well(&step.id) else {
            return false;
        };
        let current = Current {
            overrides: passed.overrides.clone(),
            ..Current::default()
        };
        let judged = judge_limits(self.setup, &self.state, step, &current, &self.at);
        judged.iter().any(|j| {
            let touches = step.limits.get(j.limit).is_some_and(|l| match &l.subject {
                Subject::Value(v) => changed.contains(v),
                Subject::Difference(a, b) => changed.contains(a) || changed.contains(b),
                Subject::Age(_) => false,
            });
            touches
                && j.judgement.verdict != Verdict::Within
                && !current.overrides.contains_key(&j.limit)
        })
    }

    fn passed_well(&self, step: &StepId) -> Option<&Passed> {
        let passed = self.state.passed.get(step)?;
        (passed.way == Way::Outcome(Outcome::Pass)).then_some(passed)
    }

    /// A passed step is passed no more: repeat it, or stop work at once.
    fn undo(&mut self, step: &StepId) -> Result<(), Refusal> {
        let established = self.state.passed.get(step).is_some_and(|p| p.established);
        if established && self.state.stop.is_none() {
            return self.call_stop(true);
        }
        if !established && !self.state.repeats.contains(step) {
            self.push(Event::RepeatOwed { step: step.clone() });
        }
        Ok(())
    }

    fn correct_tick(
        &mut self,
        step: &StepId,
        tick: &TickId,
        answer: &Answer,
        reason: &str,
    ) -> Result<(), Refusal> {
        let known = self.find(step)?.ticks.iter().find(|t| &t.id == tick);
        let known = known.cloned().ok_or_else(|| Refusal::NothingToCorrect {
            what: format!("the tick {tick}"),
        })?;
        check_answer(&known, answer)?;
        let here = self.state.inside() == Some(step);
        let old = self.state.passed.get(step).and_then(|p| p.ticks.get(tick));
        let Some(old) = old.cloned().filter(|_| !here) else {
            return Err(Refusal::NothingToCorrect { what: known.text });
        };
        self.push(Event::Corrected {
            subject: known.text.clone(),
            was: word(&known.yes, &known.no, &old),
            now: word(&known.yes, &known.no, answer),
            reason: reason.to_owned(),
        });
        self.push(Event::ReTicked {
            step: step.clone(),
            tick: tick.clone(),
            answer: answer.clone(),
        });
        if *answer == Answer::No && self.passed_well(step).is_some() {
            return self.undo(step);
        }
        Ok(())
    }

    fn correct_choice(
        &mut self,
        step: &StepId,
        choice: &ChoiceId,
        reason: &str,
    ) -> Result<(), Refusal> {
        let look = self.find(step)?;
        let text = |id: &ChoiceId| {
            let known = look.choices().iter().find(|c| &c.id == id);
            known.map(|c| c.text.clone())
        };
        let was = match self.state.passed.get(step).map(|p| &p.way) {
            Some(Way::Choice(was)) => text(was),
            Some(Way::Outcome(_)) | None => None,
        };
        let (Some(was), Some(now)) = (was, text(choice)) else {
            return Err(Refusal::NothingToCorrect {
                what: format!("the choice {choice}"),
            });
        };
        let subject = look.title.clone();
        self.push(Event::Corrected {
            subject,
            was,
            now,
            reason: reason.to_owned(),
        });
        Ok(())
    }
}

/// An answer in the words of its tick.
fn word(yes: &str, no: &str, answer: &Answer) -> String {
    match answer {
        Answer::Yes(words) if words.is_empty() => yes.to_owned(),
        Answer::Yes(words) => format!("{yes}: {words}"),
        Answer::No => no.to_owned(),
        Answer::NotApplicable(why) => format!("does not apply: {why}"),
    }
}

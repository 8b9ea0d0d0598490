//! Corrections (S13): they append; what was passed wrongly is repeated or stopped.

use std::collections::BTreeSet;

use super::Turn;
use super::answer::check_answer;
use super::judge::{judge_limits, meets, too_far_apart};
use crate::job::at::At;
use crate::job::command::{Answer, Correction, Entry};
use crate::job::event::{Event, Taken, Way};
use crate::job::refusal::Refusal;
use crate::job::state::{Current, Passed};
use crate::procedure::{ChoiceId, Limit, Outcome, Step, StepId, Subject, TickId, ValueId};
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
        let since = self.state.read_since.get(id).copied();
        let step = self.find(&old.step)?.clone();
        // It was read then and with that instrument; only what was typed is new.
        let instrument = old.instrument.as_ref();
        let instrument = instrument.and_then(|i| self.setup.instruments.list.get(i));
        let new = Taken {
            late: old.late,
            ..self.taken_with(id, entry, &step, instrument, old.at)?
        };
        self.push(Event::Corrected {
            subject: self.value_title(id),
            was: old.typed.clone(),
            now: entry.typed.clone(),
            reason: reason.to_owned(),
        });
        if let Ok(Some(zero)) = self.zero_of(id, &new) {
            self.push(zero);
        }
        self.push(Event::Replaced {
            value: id.clone(),
            taken: new.clone(),
        });
        let rests = self.setup.procedure.with_dependents([id.clone()].into());
        self.work_anew(&rests);
        self.attested_wrongly(id, &new)?;
        if let Some(since) = since {
            self.consequences(&rests, &since)?;
        }
        self.refresh_here()
    }

    /// A condition that was attested with a reading which, corrected, does not meet
    /// what was asked: what it protects can't be trusted any more.
    fn attested_wrongly(&mut self, id: &ValueId, new: &Taken) -> Result<(), Refusal> {
        let conditions = self.setup.procedure.conditions.iter();
        let wrong = conditions.filter_map(|(c, known)| {
            let ask = known.ask.as_ref()?;
            let held = self.state.conditions.get(c)?;
            let with_it = ask.reading.as_ref() == Some(id)
                && held.attested == new.at
                && held.attested != held.since;
            (with_it && !ask.limits.iter().all(|l| meets(self.setup, l, new))).then_some(())
        });
        if wrong.count() > 0 && self.state.stop.is_none() && !self.at_end() {
            return self.call_stop(true);
        }
        Ok(())
    }

    /// Ends the repetition of a step in place. If it passed, all that rests on its
    /// readings is made anew, and judged as after a correction (S13).
    pub(super) fn end_repeat(&mut self, step: &StepId, passed: bool) -> Result<(), Refusal> {
        let taken = self.state.repeating.iter().flat_map(|r| r.values.keys());
        let stood: Vec<(ValueId, Option<At>)> = taken
            .map(|id| (id.clone(), self.state.read_since.get(id).copied()))
            .collect();
        self.push(Event::RepeatEnded {
            step: step.clone(),
            passed,
        });
        if passed {
            let rests = stood.iter().map(|(id, _)| id.clone()).collect();
            self.work_anew(&self.setup.procedure.with_dependents(rests));
            for (id, since) in &stood {
                let rests = self.setup.procedure.with_dependents([id.clone()].into());
                if let Some(since) = since {
                    self.consequences(&rests, since)?;
                }
            }
        }
        self.refresh_here()
    }

    /// Verdicts of the step at hand, after values changed behind it.
    fn refresh_here(&mut self) -> Result<(), Refusal> {
        if self.state.stop.is_none() && self.step().is_ok() && !self.at_end() {
            self.refresh()?;
        }
        Ok(())
    }

    /// Steps that passed on what was read at `since`, and would not pass any more.
    fn consequences(&mut self, changed: &BTreeSet<ValueId>, since: &At) -> Result<(), Refusal> {
        let setup = self.setup;
        let undone: Vec<StepId> = setup
            .procedure
            .steps
            .iter()
            .filter(|step| step.limits.iter().any(|l| touches(l, changed)))
            .filter(|step| self.would_fail(step, changed, since))
            .map(|step| step.id.clone())
            .collect();
        for step in &undone {
            self.undo(step)?;
        }
        Ok(())
    }

    fn would_fail(&self, step: &Step, changed: &BTreeSet<ValueId>, since: &At) -> bool {
        let Some(passed) = self.passed_well(&step.id) else {
            return false;
        };
        if !not_before(&passed.at, since) {
            return false;
        }
        let current = Current {
            overrides: passed.overrides.clone(),
            witnessed: passed.witnessed.clone(),
            ..Current::default()
        };
        let judged = judge_limits(self.setup, &self.state, step, &current, &self.at);
        let outside = judged.iter().any(|j| {
            j.judgement.verdict != Verdict::Within
                && !current.overrides.contains_key(&j.limit)
                && step
                    .limits
                    .get(j.limit)
                    .is_some_and(|l| touches(l, changed))
        });
        let apart = passed.witnessed.iter().any(|(id, second)| {
            let first = self.state.values.get(id).filter(|_| changed.contains(id));
            first.is_some_and(|first| too_far_apart(first, second))
        });
        outside || apart
    }

    fn passed_well(&self, step: &StepId) -> Option<&Passed> {
        let passed = self.state.passed.get(step)?;
        (passed.way == Way::Outcome(Outcome::Pass)).then_some(passed)
    }

    /// A passed step is passed no more: repeat it, or stop work at once.
    fn undo(&mut self, step: &StepId) -> Result<(), Refusal> {
        let established = self.state.passed.get(step).is_some_and(|p| p.established);
        // At an end there is no stop work to turn to: the step is handed over.
        let established = established && !self.at_end();
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

fn touches(limit: &Limit, changed: &BTreeSet<ValueId>) -> bool {
    match &limit.subject {
        Subject::Value(v) => changed.contains(v),
        Subject::Difference(a, b) => changed.contains(a) || changed.contains(b),
        Subject::Age(_) => false,
    }
}

/// Whether `a` is not before `b`, by the clock that never goes back.
fn not_before(a: &At, b: &At) -> bool {
    (a.session, a.mono_ms) >= (b.session, b.mono_ms)
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

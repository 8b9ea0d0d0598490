//! Ticks and choices.

use super::Turn;
use super::judge::{Standing, standing};
use crate::job::command::Answer;
use crate::job::event::Event;
use crate::job::refusal::Refusal;
use crate::procedure::{Body, ChoiceId, Step, Tick, TickId};

impl Turn<'_> {
    /// Answers a tick of the step at hand.
    pub(super) fn tick(&mut self, id: &TickId, answer: &Answer) -> Result<(), Refusal> {
        let step = self.step()?;
        let tick = step
            .ticks
            .iter()
            .find(|t| &t.id == id)
            .ok_or_else(|| not_asked(step, &format!("the tick {id}")))?;
        check_answer(tick, answer)?;
        self.not_running()?;
        self.push(Event::Ticked {
            tick: id.clone(),
            answer: answer.clone(),
        });
        self.settle_if_done()
    }

    /// Chooses what was seen.
    pub(super) fn choose(&mut self, id: &ChoiceId) -> Result<(), Refusal> {
        let step = self.step()?.clone();
        let by_person = matches!(&step.body, Body::Look { by_sheet: None, .. });
        let choice = step.choices().iter().find(|c| &c.id == id);
        let Some(choice) = choice.filter(|_| by_person) else {
            return Err(not_asked(&step, &format!("the choice {id}")));
        };
        if let Standing::Open(open) = standing(self.setup, &self.state, &step, &self.at) {
            return Err(Refusal::Unanswered { open });
        }
        self.fresh(&step)?;
        self.leave_by_choice(&step, choice)
    }

    /// Answers stay as they are while a pulse or wait runs.
    pub(super) fn not_running(&self) -> Result<(), Refusal> {
        if self.state.current().begun.is_some() {
            return Err(Refusal::NotAsked {
                what: "another answer".to_owned(),
                asked: vec!["what runs now".to_owned()],
            });
        }
        Ok(())
    }
}

/// Whether a tick takes such an answer (S12).
pub(super) fn check_answer(tick: &Tick, answer: &Answer) -> Result<(), Refusal> {
    match answer {
        Answer::Yes(words) if tick.words && words.trim().is_empty() => Err(Refusal::WordsWanted {
            tick: tick.text.clone(),
        }),
        Answer::NotApplicable(_) if !tick.may_not_apply => Err(Refusal::Applies {
            tick: tick.text.clone(),
        }),
        Answer::NotApplicable(reason) if reason.trim().is_empty() => Err(Refusal::ReasonWanted),
        Answer::Yes(_) | Answer::No | Answer::NotApplicable(_) => Ok(()),
    }
}

pub(super) fn not_asked(step: &Step, what: &str) -> Refusal {
    let ticks = step.ticks.iter().map(|t| t.text.clone());
    let choices = step.choices().iter().map(|c| c.text.clone());
    let readings = step.readings.iter().map(ToString::to_string);
    Refusal::NotAsked {
        what: what.to_owned(),
        asked: ticks.chain(readings).chain(choices).collect(),
    }
}

//! Stop work, carrying on, resuming, attesting (S7, S8, S9).

use super::Turn;
use crate::job::command::{Entry, Person};
use crate::job::event::Event;
use crate::job::refusal::Refusal;
use crate::job::state::Place;
use crate::procedure::{ConditionId, Lasts, Outcome, StepKind};

impl Turn<'_> {
    /// Puts the stop card up.
    pub(super) fn call_stop(&mut self, forced: bool) -> Result<(), Refusal> {
        if self.at_end() {
            return Err(Refusal::NoStopHere);
        }
        self.push(Event::StopCalled {
            at: self.at,
            forced,
        });
        Ok(())
    }

    /// Takes the stop card down: exactly a resume.
    pub(super) fn carry_on(&mut self) -> Result<(), Refusal> {
        match self.state.stop {
            None => Err(Refusal::NoStopCard),
            Some((_, true)) => Err(Refusal::NoCarryingOn),
            Some((_, false)) => {
                let by = self.by()?;
                self.resumed(&by)
            }
        }
    }

    /// A program opened the job again. A stop card that was up stays up: it is
    /// for the person to take it down.
    pub(super) fn resume(&mut self, by: &Person) -> Result<(), Refusal> {
        let card = self.state.stop;
        let Some((at, forced)) = card else {
            return self.resumed(by);
        };
        // Nothing moves on behind the card: what ran lapses when it is taken down.
        self.perish(by);
        self.push(Event::StopCalled { at, forced });
        Ok(())
    }

    fn resumed(&mut self, by: &Person) -> Result<(), Refusal> {
        self.perish(by);
        if self.state.current().begun.is_some() {
            return self.leave(Outcome::Lapsed);
        }
        self.through_door()
    }

    /// What a resume makes stale.
    fn perish(&mut self, by: &Person) {
        let stale = self.holding(|lasts| lasts != Lasts::Job);
        self.push(Event::Resumed {
            at: self.at,
            by: by.clone(),
            stale,
        });
    }

    /// Leaves for the stop-work route: nothing holds any more, duties stay.
    pub(super) fn take_stop(&mut self) -> Result<(), Refusal> {
        if self.state.stop.is_none() {
            return Err(Refusal::NoStopCard);
        }
        let here = match &self.state.place {
            Place::Door { step, .. } | Place::In(step) => step.clone(),
            Place::Nowhere => return Err(Refusal::Opened(false)),
        };
        let step = self.find(&here)?;
        if step.kind() == StepKind::End && matches!(self.state.place, Place::In(_)) {
            return Err(Refusal::NoStopHere);
        }
        let phase = self.setup.procedure.phase_of(self.stop_step(&here)?);
        let stop = phase
            .map(|p| p.stop.clone())
            .ok_or(Refusal::NoSuchStep(here.clone()))?;
        self.push(Event::StopTaken { step: here });
        self.go_to(&stop)
    }

    /// The step whose phase says where stop work leads: the one it is in, or at a
    /// door the one it has just left.
    fn stop_step(
        &self,
        here: &crate::procedure::StepId,
    ) -> Result<&crate::procedure::Step, Refusal> {
        match &self.state.place {
            Place::Door { .. } => self.find(self.state.trail.last().unwrap_or(here)),
            Place::In(_) | Place::Nowhere => self.find(here),
        }
    }

    /// Says again that a condition holds.
    pub(super) fn attest(
        &mut self,
        condition: &ConditionId,
        entry: Option<&Entry>,
    ) -> Result<(), Refusal> {
        if !self.asked_again().contains(condition) {
            return Err(Refusal::NotToAttest {
                condition: self.condition_title(condition),
            });
        }
        let known = self.setup.procedure.conditions.get(condition).cloned();
        if let Some(ask) = known.and_then(|c| c.ask)
            && let Some(reading) = &ask.reading
        {
            let Some(entry) = entry else {
                return Err(Refusal::ReadingWanted {
                    condition: self.condition_title(condition),
                    reading: self.value_title(reading),
                });
            };
            self.attest_reading(reading, entry, &ask.limits)?;
        }
        self.push(Event::Attested {
            condition: condition.clone(),
            at: self.at,
        });
        let open = matches!(&self.state.place, Place::Door { stale, .. } if stale.is_empty());
        if open {
            return self.through_door();
        }
        self.settle_if_done()
    }

    /// The conditions that are asked again now: at a door those it waits for, in
    /// a step those of its needs that are stale.
    pub(super) fn asked_again(&self) -> Vec<ConditionId> {
        if self.state.repeating.is_none()
            && let Place::Door { stale, .. } = &self.state.place
        {
            return stale.iter().cloned().collect();
        }
        // An end was entered with all it needs; there is no stop work to turn to.
        match self.step() {
            Ok(step) if step.kind() != StepKind::End => self.stale_for(step),
            Ok(_) | Err(_) => Vec::new(),
        }
    }
}

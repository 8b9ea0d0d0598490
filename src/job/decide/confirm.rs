//! Confirming a step: Enter, hold, pulse, wait; and taking a bad outcome (S4).

use super::Turn;
use super::judge::{Standing, standing};
use crate::job::command::{Evidence, Tier};
use crate::job::event::Event;
use crate::job::refusal::Refusal;
use crate::job::setup::Mode;
use crate::procedure::{Confirm, Outcome, Side, Signal, Step, StepKind};

/// Taps in turn last at least this long in ms (see `hold`).
const TURNS_MS: u64 = 1_200;

impl Turn<'_> {
    /// Enter, or the end of a wait.
    pub(super) fn confirm(&mut self) -> Result<(), Refusal> {
        self.refresh()?;
        let step = self.ordinary()?;
        match step.confirm() {
            Confirm::Enter => {
                self.may_pass(&step)?;
                self.leave(Outcome::Pass)
            }
            Confirm::Wait { at_least, at_most } => self.end_wait(&step, at_least, at_most.as_ref()),
            Confirm::None | Confirm::Hold { .. } | Confirm::Pulse { .. } => {
                Err(wrong_confirm(&step))
            }
        }
    }

    fn end_wait(
        &mut self,
        step: &Step,
        at_least: &Side,
        at_most: Option<&Side>,
    ) -> Result<(), Refusal> {
        let Some(begun) = self.state.current().begun else {
            return Err(Refusal::NotRunning);
        };
        let least = self.ms(at_least)?;
        let gone = begun.at_least_until(&self.at);
        if gone < least {
            return Err(Refusal::TooSoon {
                left_ms: least - gone,
            });
        }
        self.may_pass(step)?;
        if let Some(most) = at_most {
            let most = self.ms(most)?;
            if begun.at_most_until(&self.at).is_none_or(|gone| gone > most) {
                return self.leave(Outcome::Lapsed);
            }
        }
        self.leave(Outcome::Pass)
    }

    /// A hold, as the hold judge saw it.
    pub(super) fn hold(&mut self, evidence: &Evidence) -> Result<(), Refusal> {
        self.refresh()?;
        let step = self.ordinary()?;
        let Confirm::Hold { signal, for_ms } = step.confirm() else {
            return Err(wrong_confirm(&step));
        };
        self.may_pass(&step)?;
        self.strong(evidence, *signal, u64::from(*for_ms))?;
        self.push(Event::Held(evidence.clone()));
        self.leave(Outcome::Pass)
    }

    fn strong(&self, evidence: &Evidence, signal: Signal, for_ms: u64) -> Result<(), Refusal> {
        let weak = |what| Err(Refusal::WeakHold { what });
        match evidence.tier {
            Tier::Script if self.setup.mode == Mode::Job => {
                weak("a script can't hold a key at a real truck")
            }
            Tier::Repeat if signal == Signal::Danger => {
                weak("danger takes a proven letting go, or two keys in turn")
            }
            Tier::Turns if evidence.held_ms < TURNS_MS => weak("the taps were too quick"),
            Tier::Release | Tier::Repeat | Tier::Script if evidence.held_ms < for_ms => {
                weak("it was too short")
            }
            Tier::Script | Tier::Repeat | Tier::Turns | Tier::Release => Ok(()),
        }
    }

    /// Starts a pulse or wait.
    pub(super) fn begin(&mut self) -> Result<(), Refusal> {
        self.refresh()?;
        let step = self.ordinary()?;
        if !matches!(step.confirm(), Confirm::Pulse { .. } | Confirm::Wait { .. }) {
            return Err(wrong_confirm(&step));
        }
        self.not_running()?;
        self.may_pass(&step)?;
        self.push(Event::Begun { at: self.at });
        Ok(())
    }

    /// One press of a pulse.
    pub(super) fn press(&mut self) -> Result<(), Refusal> {
        let step = self.ordinary()?;
        let Confirm::Pulse { within, presses } = step.confirm() else {
            return Err(wrong_confirm(&step));
        };
        let within = self.ms(within)?;
        let Some(last) = self.last_press() else {
            return Err(Refusal::NotRunning);
        };
        self.may_pass(&step)?;
        if last.at_most_until(&self.at).is_none_or(|gap| gap > within) {
            return self.leave(Outcome::Lapsed);
        }
        let count = self.state.current().presses + 1;
        self.push(Event::Pressed { at: self.at, count });
        if count < *presses {
            return Ok(());
        }
        self.leave(Outcome::Pass)
    }

    fn last_press(&self) -> Option<crate::job::at::At> {
        let current = self.state.current();
        current.pressed.or(current.begun)
    }

    /// Says that a pulse or wait was not kept.
    pub(super) fn lapse(&mut self) -> Result<(), Refusal> {
        let step = self.ordinary()?;
        let (from, most) = match step.confirm() {
            Confirm::Pulse { within, .. } => (self.last_press(), self.ms(within)?),
            Confirm::Wait {
                at_most: Some(most),
                ..
            } => (self.state.current().begun, self.ms(most)?),
            Confirm::Wait { at_most: None, .. }
            | Confirm::None
            | Confirm::Enter
            | Confirm::Hold { .. } => return Err(Refusal::NotRunning),
        };
        let from = from.ok_or(Refusal::NotRunning)?;
        if from.at_most_until(&self.at).is_some_and(|gap| gap <= most) {
            return Err(Refusal::NotRunning);
        }
        self.leave(Outcome::Lapsed)
    }

    /// Takes the outcome that the answers give.
    pub(super) fn go_on(&mut self) -> Result<(), Refusal> {
        self.refresh()?;
        let step = self.ordinary()?;
        match standing(self.setup, &self.state, &step, &self.at) {
            Standing::Open(open) => Err(Refusal::Unanswered { open }),
            Standing::Stuck(ticks) => Err(Refusal::BadAnswer { ticks }),
            Standing::Bad(outcome) => self.leave(outcome),
            Standing::Good if *step.confirm() == Confirm::None => {
                self.may_pass(&step)?;
                self.leave(Outcome::Pass)
            }
            Standing::Good => Err(wrong_confirm(&step)),
        }
    }

    fn ordinary(&self) -> Result<Step, Refusal> {
        let step = self.step()?;
        if step.kind() == StepKind::Ordinary {
            return Ok(step.clone());
        }
        Err(wrong_confirm(step))
    }

    fn ms(&self, side: &Side) -> Result<u64, Refusal> {
        self.setup.side_ms(side).ok_or_else(|| Refusal::SheetLacks {
            key: match side {
                Side::Sheet(key) => key.to_string(),
                Side::Literal(_) => "a time".to_owned(),
            },
        })
    }
}

fn wrong_confirm(step: &Step) -> Refusal {
    let wanted = match (step.kind(), step.confirm()) {
        (StepKind::Look, _) => "by choosing what was seen",
        (StepKind::End, _) => "by nobody: it is an end",
        (StepKind::Ordinary, Confirm::None) => "by its last answer",
        (StepKind::Ordinary, Confirm::Enter) => "with Enter",
        (StepKind::Ordinary, Confirm::Hold { .. }) => "with a hold",
        (StepKind::Ordinary, Confirm::Pulse { .. }) => "with repeated presses",
        (StepKind::Ordinary, Confirm::Wait { .. }) => "by waiting",
    };
    Refusal::WrongConfirm { wanted }
}

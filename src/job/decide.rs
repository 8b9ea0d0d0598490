//! What follows from a command, or why nothing does.
//!
//! Each command is worked through on a copy of the state: every event is folded
//! into the copy as it is made, so that what comes later in the same command sees
//! what came before. On a refusal the copy is dropped and nothing has happened.

mod answer;
mod confirm;
mod correct;
mod enter;
mod judge;
mod leave;
mod people;
mod reading;
mod stop;
mod working;

use super::at::At;
use super::command::{Command, Person};
use super::event::Event;
use super::evolve::evolve;
use super::refusal::Refusal;
use super::setup::Setup;
use super::state::{Place, State};
use crate::procedure::{ConditionId, Lasts, Step, StepId, StepKind};

pub(crate) use judge::judge_limits;
pub(super) use judge::{Standing, overridable, standing};
pub use working::{given, given_one, worked};

/// A wall clock may step back this far without being noticed, in ms.
const CLOCK_SLACK_MS: i64 = 2_000;

/// A command being worked through.
pub(super) struct Turn<'s> {
    pub(super) setup: &'s Setup,
    pub(super) state: State,
    pub(super) events: Vec<Event>,
    pub(super) at: At,
}

/// What follows from `command` at `at`.
///
/// # Errors
/// A [`Refusal`] says what is missing; the state is then as it was.
pub fn decide(
    setup: &Setup,
    state: &State,
    command: &Command,
    at: At,
) -> Result<Vec<Event>, Refusal> {
    let mut turn = Turn {
        setup,
        state: state.clone(),
        events: Vec::new(),
        at,
    };
    turn.guard(command)?;
    turn.watch_clock();
    turn.state.last = Some(at);
    turn.take(command)?;
    Ok(turn.events)
}

/// Decides a recorded command again: what follows must be what was recorded.
/// Gives the events decided now where they differ.
///
/// # Errors
/// The refusal, when the command would be refused now.
pub fn redecide(
    setup: &Setup,
    state: &State,
    command: &Command,
    at: At,
    recorded: &[Event],
) -> Result<Option<Vec<Event>>, Refusal> {
    let now = decide(setup, state, command, at)?;
    Ok((now != recorded).then_some(now))
}

impl Turn<'_> {
    /// Folds an event and keeps it.
    pub(super) fn push(&mut self, event: Event) {
        evolve(&mut self.state, &event);
        self.events.push(event);
    }

    /// What holds for every command, before it is looked at.
    fn guard(&self, command: &Command) -> Result<(), Refusal> {
        let opening = matches!(command, Command::Open { .. });
        let opened = self.state.place != Place::Nowhere;
        if opening == opened {
            return Err(Refusal::Opened(opened));
        }
        if self.state.ended.is_some() {
            return Err(Refusal::Over);
        }
        let past_card = matches!(
            command,
            Command::CarryOn
                | Command::TakeStop
                | Command::Resume { .. }
                | Command::Recovered { .. }
                | Command::SignOn { .. }
                | Command::Note { .. }
        );
        if self.state.stop.is_some() && !past_card {
            return Err(Refusal::StopCardUp);
        }
        Ok(())
    }

    /// A wall clock that went back makes timed conditions stale.
    fn watch_clock(&mut self) {
        let Some(back) = went_back(&self.state, &self.at) else {
            return;
        };
        let stale = self.holding(|lasts| matches!(lasts, Lasts::For(_)));
        self.push(Event::ClockWentBack {
            by_ms: back.unsigned_abs(),
            stale,
        });
    }

    fn take(&mut self, command: &Command) -> Result<(), Refusal> {
        match command {
            Command::Open { .. } => self.open(command),
            Command::Resume { by } => self.resume(by),
            Command::Recovered { bytes, hash } => {
                self.push(Event::Recovered {
                    bytes: *bytes,
                    hash: hash.clone(),
                });
                Ok(())
            }
            Command::SignOn { by } => {
                self.push(Event::SignedOn { by: by.clone() });
                Ok(())
            }
            Command::Tick { tick, answer } => self.tick(tick, answer),
            Command::Read { reading, entry } => self.read(reading, entry),
            Command::Witness { reading, by, entry } => self.witness(reading, by, entry),
            Command::Watch {
                condition,
                reading,
                entry,
            } => self.watch_reading(condition, reading, entry),
            Command::Override { limit, reason } => self.override_limit(*limit, reason),
            Command::Begin => self.begin(),
            Command::Press => self.press(),
            Command::Lapse => self.lapse(),
            Command::Confirm => self.confirm(),
            Command::Hold(evidence) => self.hold(evidence),
            Command::GoOn => self.go_on(),
            Command::Choose { choice } => self.choose(choice),
            Command::CallStop => self.call_stop(false),
            Command::CarryOn => self.carry_on(),
            Command::TakeStop => self.take_stop(),
            Command::Attest { condition, entry } => self.attest(condition, entry.as_ref()),
            Command::Correct { what, reason } => self.correct(what, reason),
            Command::Repeat { step } => self.repeat(step),
            Command::LeaveRepeat => self.leave_repeat(),
            Command::UseInstrument {
                role,
                instrument,
                zero,
                reason,
            } => self.use_instrument(role, instrument, zero.as_ref(), reason),
            Command::HandOver { duty, to } => self.hand_over(duty, to),
            Command::HandOverRepeats { to } => self.hand_over_repeats(to),
            Command::Note { text } => {
                self.push(Event::Noted { text: text.clone() });
                Ok(())
            }
        }
    }

    /// The step it is in, not one it waits for.
    pub(super) fn step(&self) -> Result<&Step, Refusal> {
        match (&self.state.repeating, &self.state.place) {
            (Some(repeating), _) => self.find(&repeating.step),
            (None, Place::In(step)) => self.find(step),
            (None, Place::Door { stale, .. }) => Err(Refusal::Waiting {
                attest: self.condition_titles(stale),
            }),
            (None, Place::Nowhere) => Err(Refusal::Opened(false)),
        }
    }

    pub(super) fn find(&self, id: &StepId) -> Result<&Step, Refusal> {
        self.setup
            .step(id)
            .ok_or_else(|| Refusal::NoSuchStep(id.clone()))
    }

    /// Who has the keyboard.
    pub(super) fn by(&self) -> Result<Person, Refusal> {
        self.state.by.clone().ok_or(Refusal::Opened(false))
    }

    /// Conditions that hold and last so.
    pub(super) fn holding(&self, which: impl Fn(Lasts) -> bool) -> Vec<ConditionId> {
        let conditions = self.state.conditions.keys();
        conditions
            .filter(|c| {
                let known = self.setup.procedure.conditions.get(*c);
                known.is_some_and(|known| which(known.lasts))
            })
            .cloned()
            .collect()
    }

    pub(super) fn condition_title(&self, id: &ConditionId) -> String {
        let known = self.setup.procedure.conditions.get(id);
        known.map_or_else(|| id.to_string(), |c| c.title.clone())
    }

    pub(super) fn condition_titles<'c>(
        &self,
        ids: impl IntoIterator<Item = &'c ConditionId>,
    ) -> Vec<String> {
        ids.into_iter().map(|c| self.condition_title(c)).collect()
    }

    /// Whether the job stands at an end that waits for names only.
    pub(super) fn at_end(&self) -> bool {
        self.step().is_ok_and(|s| s.kind() == StepKind::End)
    }
}

/// By how much the wall clock went back since the last command, if it did.
fn went_back(state: &State, at: &At) -> Option<i64> {
    let back = state.last?.wall_ms - at.wall_ms;
    (back > CLOCK_SLACK_MS).then_some(back)
}

/// Whether a condition that holds must be attested again before it counts.
pub(super) fn is_stale(setup: &Setup, state: &State, condition: &ConditionId, at: &At) -> bool {
    let Some(held) = state.conditions.get(condition) else {
        return false;
    };
    if held.stale {
        return true;
    }
    match setup.procedure.conditions.get(condition).map(|c| c.lasts) {
        Some(Lasts::For(ms)) => {
            went_back(state, at).is_some()
                || held.attested.at_most_until(at).is_none_or(|age| age > ms)
        }
        Some(Lasts::Job | Lasts::Resume | Lasts::Step) | None => false,
    }
}

/// The needs of a step that must be attested again before it can be passed.
pub(super) fn is_stale_now(setup: &Setup, state: &State, step: &Step, at: &At) -> Vec<ConditionId> {
    let mut needs = setup.procedure.entry_needs(step);
    needs.extend(setup.procedure.standing_needs(step));
    needs
        .into_iter()
        .filter(|c| is_stale(setup, state, c, at))
        .collect()
}

/// Whether a step can be repeated in place now.
pub(super) fn may_repeat(setup: &Setup, state: &State, step: &StepId, at: &At) -> bool {
    let turn = Turn {
        setup,
        state: state.clone(),
        events: Vec::new(),
        at: *at,
    };
    setup
        .step(step)
        .is_some_and(|step| turn.no_repeat(step).is_none())
}

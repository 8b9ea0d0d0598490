//! What may be done now. The key line, the property tests and the exhaustive
//! tests are fed by this alone; whatever is offered, [`decide`](super::decide)
//! takes (with a fitting value), and what is not offered it refuses.
//!
//! Not offered one by one is what a person asks for through a list of its own:
//! remarks, signing on, another instrument, corrections, and repeating a step that
//! need not be repeated. `Lapse` is the clock's, `Resume` the program's.

use super::at::At;
use super::decide::{Standing, is_stale_now, overridable, standing};
use super::setup::Setup;
use super::state::{Place, State};
use crate::procedure::{
    Body, ChoiceId, ConditionId, Confirm, DutyId, Outcome, Step, StepId, StepKind, TickId, ValueId,
};

/// Something that may be done now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Offer {
    /// Answer a tick; an answered one may be changed.
    Tick {
        /// Which.
        tick: TickId,
        /// It is answered already.
        answered: bool,
    },
    /// Give a reading; an accepted one may be given anew.
    Read {
        /// Which.
        reading: ValueId,
        /// It is accepted already.
        accepted: bool,
    },
    /// A second person gives the reading.
    Witness(ValueId),
    /// A watch asks for a reading.
    Watch {
        /// What is watched.
        condition: ConditionId,
        /// Which reading.
        reading: ValueId,
    },
    /// Override an advice limit with a reason.
    Override(usize),
    /// Start the pulse or wait.
    Begin,
    /// Press again.
    Press,
    /// Confirm with Enter, or end the wait.
    Confirm,
    /// Confirm with a hold.
    Hold,
    /// Go on the way that the answers give.
    GoOn(Outcome),
    /// Choose what was seen.
    Choose(ChoiceId),
    /// Say again that it holds.
    Attest(ConditionId),
    /// Call stop work.
    CallStop,
    /// Carry on from the stop card.
    CarryOn,
    /// Take the stop.
    TakeStop,
    /// Repeat a step in place.
    Repeat(StepId),
    /// Leave the repeated step.
    LeaveRepeat,
    /// Name who takes on a duty.
    HandOver(DutyId),
    /// Name who sees to the repeats.
    HandOverRepeats,
}

/// A reading that a watch asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    /// What is watched.
    pub condition: ConditionId,
    /// Which reading.
    pub reading: ValueId,
    /// Which point it is, from 1; the opening one is 0.
    pub point: u32,
    /// Due in so many ms; 0: now.
    pub in_ms: u64,
    /// It is late already.
    pub late: bool,
}

/// The next reading of every watch.
pub fn due_readings(setup: &Setup, state: &State, at: &At) -> Vec<Due> {
    let mut due = Vec::new();
    for (condition, watch) in &state.watches {
        let known = setup.procedure.conditions.get(condition);
        let Some(series) = known.and_then(|c| c.series.as_ref()) else {
            continue;
        };
        let gone = watch.since.at_least_until(at);
        // A machine that slept makes nothing due early, but may have made it late.
        let at_most = watch.since.at_most_until(at);
        for reading in &watch.readings {
            let point = state.series.get(reading).map_or(0, Vec::len) as u32;
            if point >= series.points {
                continue;
            }
            let when = series.every_ms.saturating_mul(u64::from(point));
            due.push(Due {
                condition: condition.clone(),
                reading: reading.clone(),
                point,
                in_ms: when.saturating_sub(gone),
                late: at_most.is_none_or(|gone| gone > when.saturating_add(series.late_after_ms)),
            });
        }
    }
    due
}

/// Everything that may be done now.
pub fn offers(setup: &Setup, state: &State, at: &At) -> Vec<Offer> {
    if state.ended.is_some() || state.place == Place::Nowhere {
        return Vec::new();
    }
    if let Some((_, forced)) = state.stop {
        return if forced {
            vec![Offer::TakeStop]
        } else {
            vec![Offer::CarryOn, Offer::TakeStop]
        };
    }
    if state.repeating.is_none()
        && let Place::Door { stale, .. } = &state.place
    {
        let asked = stale.iter().cloned().map(Offer::Attest);
        let due = watch_offers(setup, state, at);
        return due.chain(asked).chain([Offer::CallStop]).collect();
    }
    let Some(step) = state.inside().and_then(|s| setup.step(s)) else {
        return Vec::new();
    };
    if step.kind() == StepKind::End {
        return at_end(state);
    }
    in_step(setup, state, step, at)
}

fn at_end(state: &State) -> Vec<Offer> {
    let unnamed = state.duties.iter().filter(|(_, d)| d.to.is_none());
    let mut offers: Vec<Offer> = unnamed.map(|(d, _)| Offer::HandOver(d.clone())).collect();
    if !state.repeats.is_empty() && state.repeats_to.is_none() {
        offers.push(Offer::HandOverRepeats);
    }
    offers
}

/// Readings that are due are given on top of whatever step is shown (S7).
fn watch_offers(setup: &Setup, state: &State, at: &At) -> impl Iterator<Item = Offer> {
    let due = due_readings(setup, state, at).into_iter();
    due.filter(|d| d.in_ms == 0).map(|d| Offer::Watch {
        condition: d.condition,
        reading: d.reading,
    })
}

fn in_step(setup: &Setup, state: &State, step: &Step, at: &At) -> Vec<Offer> {
    let mut offers: Vec<Offer> = watch_offers(setup, state, at).collect();
    let stale: Vec<ConditionId> = is_stale_now(setup, state, step, at);
    offers.extend(stale.iter().cloned().map(Offer::Attest));
    if state.current().begun.is_none() {
        answers(setup, state, step, &mut offers);
    }
    ways(setup, state, step, at, stale.is_empty(), &mut offers);
    if state.repeating.is_some() {
        offers.push(Offer::LeaveRepeat);
    } else {
        let due = state.repeats.iter();
        offers.extend(
            due.filter(|s| super::decide::may_repeat(setup, state, s, at))
                .cloned()
                .map(Offer::Repeat),
        );
    }
    offers.push(Offer::CallStop);
    offers
}

fn answers(setup: &Setup, state: &State, step: &Step, offers: &mut Vec<Offer>) {
    let current = state.current();
    for tick in &step.ticks {
        offers.push(Offer::Tick {
            tick: tick.id.clone(),
            answered: current.ticks.contains_key(&tick.id),
        });
    }
    for reading in &step.readings {
        let accepted = current.readings.contains(reading);
        offers.push(Offer::Read {
            reading: reading.clone(),
            accepted,
        });
        let witness = setup.procedure.readings.get(reading);
        if accepted
            && witness.is_some_and(|r| r.witness)
            && !current.witnessed.contains_key(reading)
        {
            offers.push(Offer::Witness(reading.clone()));
        }
    }
}

fn ways(setup: &Setup, state: &State, step: &Step, at: &At, fresh: bool, offers: &mut Vec<Offer>) {
    let standing = standing(setup, state, step, at);
    match (&step.body, &standing) {
        (Body::Look { .. }, Standing::Good) if fresh => {
            let open = step.choices().iter().filter(|c| {
                let key = (step.id.clone(), c.id.clone());
                let used = state.chosen.get(&key).copied().unwrap_or(0);
                c.tries.is_none_or(|tries| used < tries)
            });
            offers.extend(open.map(|c| Offer::Choose(c.id.clone())));
        }
        (Body::Ordinary { confirm, .. }, Standing::Good) if fresh => {
            offers.extend(confirming(setup, state, confirm, at));
        }
        (Body::Ordinary { .. }, Standing::Bad(outcome)) => {
            let open = overridable(setup, state, step, at);
            offers.extend(open.into_iter().map(Offer::Override));
            offers.push(Offer::GoOn(*outcome));
        }
        _ => {}
    }
}

fn confirming(setup: &Setup, state: &State, confirm: &Confirm, at: &At) -> Option<Offer> {
    let begun = state.current().begun;
    match (confirm, begun) {
        (Confirm::None, _) => Some(Offer::GoOn(Outcome::Pass)),
        (Confirm::Enter, _) => Some(Offer::Confirm),
        (Confirm::Hold { .. }, _) => Some(Offer::Hold),
        (Confirm::Pulse { .. } | Confirm::Wait { .. }, None) => Some(Offer::Begin),
        (Confirm::Pulse { .. }, Some(_)) => Some(Offer::Press),
        (Confirm::Wait { at_least, .. }, Some(begun)) => {
            let least = setup.side_ms(at_least)?;
            (begun.at_least_until(at) >= least).then_some(Offer::Confirm)
        }
    }
}

//! Folding events. Never fails, never judges, never sees the procedure.

use std::collections::BTreeSet;

use super::at::At;
use super::command::Person;
use super::event::{Event, Taken, Way};
use super::state::{Current, Ended, Held, Owed, Passed, Place, Repeating, State, Watch};
use crate::procedure::{ChoiceId, ConditionId, DutyId, StepId, ValueId};

/// Folds all events of a journal.
pub fn replay<'e>(events: impl IntoIterator<Item = &'e Event>) -> State {
    let mut state = State::default();
    for event in events {
        evolve(&mut state, event);
    }
    state
}

/// Folds one event.
#[expect(
    clippy::too_many_lines,
    reason = "one arm an event, each calling one function"
)]
pub fn evolve(state: &mut State, event: &Event) {
    match event {
        Event::Opened {
            at,
            people,
            why,
            roles,
            system,
            earlier,
        } => {
            state.last = Some(*at);
            state.session = at.session;
            state.people.clone_from(people);
            state.by = people.first().cloned();
            state.why.clone_from(why);
            state.roles.clone_from(roles);
            state.system = Some(*system);
            state.earlier.clone_from(earlier);
        }
        Event::Resumed { at, by, stale } => resumed(state, *at, by, stale),
        Event::ClockWentBack { stale, .. } => mark_stale(state, stale),
        Event::SignedOn { by } => sign_on(state, by),
        Event::Left { .. } => left(state, event),
        Event::AtDoor { step, stale } => {
            state.place = Place::Door {
                step: step.clone(),
                stale: stale.iter().cloned().collect(),
            };
        }
        Event::Entered {
            step,
            cleared,
            owed,
            forgotten,
        } => entered(state, step, cleared, owed, forgotten),
        Event::Ticked { tick, answer } => {
            current(state).ticks.insert(tick.clone(), answer.clone());
        }
        Event::Read { reading, taken } => read(state, reading, taken),
        Event::Witnessed { reading, taken } => witnessed(state, reading, taken),
        Event::ZeroFound { instrument, value } => {
            state.zeros.insert(instrument.clone(), *value);
        }
        Event::Worked { working, taken } => put(state, working, taken),
        Event::Judged(judged) => current(state).judged.clone_from(judged),
        Event::WatchBegun {
            condition,
            at,
            readings,
        } => watch_begun(state, condition, *at, readings),
        Event::Watched { reading, taken, .. } => state
            .series
            .entry(reading.clone())
            .or_default()
            .push(taken.clone()),
        Event::Overridden { limit, reason } => {
            current(state).overrides.insert(*limit, reason.clone());
        }
        Event::Begun { at } => {
            let current = current(state);
            current.begun = Some(*at);
            current.pressed = None;
            current.presses = 0;
        }
        Event::Pressed { at, count } => {
            let current = current(state);
            current.pressed = Some(*at);
            current.presses = *count;
        }
        Event::StopCalled { at, forced } => state.stop = Some((*at, *forced)),
        Event::StopTaken { .. } => stop_taken(state),
        Event::Attested { condition, at } => attested(state, condition, *at),
        Event::Corrected { .. } => state.corrections += 1,
        Event::Replaced { value, taken } => replaced(state, value, taken),
        Event::ReTicked { step, tick, answer } => {
            if let Some(passed) = state.passed.get_mut(step) {
                passed.ticks.insert(tick.clone(), answer.clone());
            }
        }
        Event::RepeatOwed { step } => {
            state.repeats.insert(step.clone());
            state.repeats_to = None;
        }
        Event::RepeatBegun { step } => {
            state.repeating = Some(Repeating {
                step: step.clone(),
                current: Current::default(),
                values: std::collections::BTreeMap::new(),
            });
        }
        Event::RepeatEnded { step, passed } => repeat_ended(state, step, *passed),
        Event::InstrumentUsed {
            role, instrument, ..
        } => {
            state.roles.insert(role.clone(), instrument.clone());
        }
        Event::HandedOver { duty, to } => {
            if let Some(owed) = state.duties.get_mut(duty) {
                owed.to = Some(to.clone());
            }
        }
        Event::RepeatsHandedOver { to } => state.repeats_to = Some(to.clone()),
        Event::Ended { kind, at } => {
            state.ended = Some(Ended {
                kind: *kind,
                at: *at,
            });
        }
        Event::Recovered { .. } | Event::Held(_) | Event::Noted { .. } => {}
    }
}

fn current(state: &mut State) -> &mut Current {
    match &mut state.repeating {
        Some(repeating) => &mut repeating.current,
        None => &mut state.current,
    }
}

fn put(state: &mut State, id: &ValueId, taken: &Taken) {
    let values = match &mut state.repeating {
        Some(repeating) => &mut repeating.values,
        None => &mut state.values,
    };
    values.insert(id.clone(), taken.clone());
}

/// A new value takes the overrides of the step with it: each was given for what
/// was read then.
fn read(state: &mut State, reading: &ValueId, taken: &Taken) {
    put(state, reading, taken);
    if state.repeating.is_none() {
        state.read_since.insert(reading.clone(), taken.at);
    }
    let current = current(state);
    current.readings.insert(reading.clone());
    current.witnessed.remove(reading);
    current.overrides.clear();
}

fn witnessed(state: &mut State, reading: &ValueId, taken: &Taken) {
    let current = current(state);
    current.witnessed.insert(reading.clone(), taken.clone());
    current.overrides.clear();
}

/// A correction keeps the instant of the reading, and so is told from a reading
/// with which a condition was attested.
fn replaced(state: &mut State, value: &ValueId, taken: &Taken) {
    let old = state.values.insert(value.clone(), taken.clone());
    if old.as_ref().is_none_or(|old| old.at != taken.at) {
        state.read_since.insert(value.clone(), taken.at);
    } else if let Some(first) = state.series.get_mut(value).and_then(|s| s.first_mut())
        && first.at == taken.at
    {
        *first = taken.clone();
    }
    if let Some(own) = state
        .repeating
        .as_mut()
        .and_then(|r| r.values.get_mut(value))
    {
        *own = taken.clone();
    }
    current(state).overrides.clear();
}

fn sign_on(state: &mut State, by: &Person) {
    state.by = Some(by.clone());
    if !state.people.contains(by) {
        state.people.push(by.clone());
    }
}

fn mark_stale(state: &mut State, stale: &[ConditionId]) {
    for condition in stale {
        if let Some(held) = state.conditions.get_mut(condition) {
            held.stale = true;
        }
    }
}

fn resumed(state: &mut State, at: At, by: &Person, stale: &[ConditionId]) {
    state.session = at.session;
    state.stop = None;
    sign_on(state, by);
    mark_stale(state, stale);
}

fn left(state: &mut State, event: &Event) {
    let Event::Left {
        step,
        way,
        at,
        over,
        established,
        incurred,
        settled,
        count,
    } = event
    else {
        return;
    };
    for condition in over {
        end_condition(state, condition);
    }
    for condition in established {
        let held = Held {
            since: *at,
            attested: *at,
            stale: false,
            by: step.clone(),
        };
        state.conditions.insert(condition.clone(), held);
    }
    owe(state, step, incurred);
    for duty in settled {
        state.duties.remove(duty);
    }
    count_way(state, step, way, *count);
    let times = state.passed.get(step).map_or(0, |p| p.times) + 1;
    let passed = Passed {
        way: way.clone(),
        at: *at,
        ticks: state.current.ticks.clone(),
        overrides: state.current.overrides.clone(),
        witnessed: state.current.witnessed.clone(),
        established: !established.is_empty(),
        times,
    };
    state.passed.insert(step.clone(), passed);
    // Nothing of the step runs on at the door of the next one.
    state.current = Current::default();
    if matches!(way, Way::Outcome(crate::procedure::Outcome::Pass)) {
        state.repeats.remove(step);
    }
}

fn count_way(state: &mut State, step: &StepId, way: &Way, count: u32) {
    match way {
        Way::Outcome(_) => {
            state.counts.insert(step.clone(), count);
        }
        Way::Choice(choice) => {
            let key: (StepId, ChoiceId) = (step.clone(), choice.clone());
            state.chosen.insert(key, count);
        }
    }
}

fn owe(state: &mut State, step: &StepId, duties: &[DutyId]) {
    for duty in duties {
        let owed = Owed {
            by: step.clone(),
            to: None,
        };
        state.duties.entry(duty.clone()).or_insert(owed);
    }
}

fn end_condition(state: &mut State, condition: &ConditionId) {
    state.conditions.remove(condition);
    state.watches.remove(condition);
}

fn entered(
    state: &mut State,
    step: &StepId,
    cleared: &[ConditionId],
    owed: &[DutyId],
    forgotten: &[ValueId],
) {
    for condition in cleared {
        end_condition(state, condition);
    }
    owe(state, step, owed);
    for value in forgotten {
        state.values.remove(value);
        state.read_since.remove(value);
    }
    state.current = Current::default();
    state.place = Place::In(step.clone());
    state.trail.push(step.clone());
}

fn watch_begun(state: &mut State, condition: &ConditionId, at: At, readings: &[ValueId]) {
    for reading in readings {
        let first: Vec<Taken> = state.values.get(reading).cloned().into_iter().collect();
        state.series.insert(reading.clone(), first);
    }
    let watch = Watch {
        since: at,
        readings: readings.to_vec(),
    };
    state.watches.insert(condition.clone(), watch);
}

fn stop_taken(state: &mut State) {
    state.stop = None;
    state.conditions.clear();
    state.watches.clear();
    state.repeating = None;
}

fn attested(state: &mut State, condition: &ConditionId, at: At) {
    if let Some(held) = state.conditions.get_mut(condition) {
        held.stale = false;
        held.attested = at;
    }
    if let Place::Door { stale, .. } = &mut state.place {
        let stale: &mut BTreeSet<ConditionId> = stale;
        stale.remove(condition);
    }
}

fn repeat_ended(state: &mut State, step: &StepId, passed: bool) {
    let Some(repeating) = state.repeating.take() else {
        return;
    };
    if !passed {
        return;
    }
    // A reading that was gone stands since now, and the step is judged by it.
    let fresh = |id: &&ValueId| !state.read_since.contains_key(*id);
    let fresh: Vec<ValueId> = repeating.values.keys().filter(fresh).cloned().collect();
    for value in fresh {
        if let Some(taken) = repeating.values.get(&value) {
            state.read_since.insert(value, taken.at);
            if let Some(left) = state.passed.get_mut(step) {
                left.at = taken.at;
            }
        }
    }
    state.values.extend(repeating.values);
    state.repeats.remove(step);
    if let Some(left) = state.passed.get_mut(step) {
        left.ticks = repeating.current.ticks;
        left.overrides = repeating.current.overrides;
        left.witnessed = repeating.current.witnessed;
    }
}

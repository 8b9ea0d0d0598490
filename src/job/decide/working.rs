//! Workings: asking `calc`, keeping what came out.

use std::collections::BTreeSet;

use super::Turn;
use crate::calc::{self, CalcError, Evaluation, Given, Point, Sum};
use crate::job::At;
use crate::job::event::{Event, Taken};
use crate::job::setup::Setup;
use crate::job::state::State;
use crate::procedure::{Step, StepId, ValueId, WorkInput, Working};
use crate::quantity::Measured;

/// Works a value out from what the state holds; `None` while an input is missing.
pub(crate) fn work_out(
    setup: &Setup,
    state: &State,
    working: &Working,
) -> Option<Result<Measured, CalcError>> {
    let sum = calc::find(&working.sum)?;
    let output = sum.output(&working.gives)?;
    let given = given(setup, state, working, sum)?;
    let evaluated = sum.evaluate(&given).map(|e| e.value(output));
    match evaluated {
        // With these inputs the sum has no such result.
        Ok(value) => value.map(Ok),
        Err(error) => Some(Err(error)),
    }
}

/// All results of a working's sum with what the state holds; `None` while an input is
/// missing.
pub fn worked(
    setup: &Setup,
    state: &State,
    working: &Working,
) -> Option<Result<Evaluation, CalcError>> {
    let sum = calc::find(&working.sum)?;
    let given = given(setup, state, working, sum)?;
    Some(sum.evaluate(&given))
}

/// The inputs of a working's sum as the state holds them; `None` while one is missing.
pub fn given(
    setup: &Setup,
    state: &State,
    working: &Working,
    sum: &Sum,
) -> Option<Vec<Option<Given>>> {
    let mut given: Vec<Option<Given>> = sum.inputs.iter().map(|_| None).collect();
    for (input, slot) in working.inputs.iter().zip(&working.slots) {
        let place = given.get_mut(*slot)?;
        match (given_one(setup, state, input)?, place) {
            (Given::Points(more), Some(Given::Points(points))) => points.extend(more),
            (found, place) => *place = Some(found),
        }
    }
    Some(given)
}

/// One input of a working as the state holds it; `None` while there is none.
pub fn given_one(setup: &Setup, state: &State, input: &WorkInput) -> Option<Given> {
    let exact = |quantity| Given::Points(vec![Point::plain(Measured::exact(quantity))]);
    match input {
        WorkInput::Value(id) => {
            let taken = state.value(id)?;
            Some(Given::Points(vec![point(taken, None)]))
        }
        WorkInput::Series(id) => {
            let points = state.series.get(id)?;
            let first = points.first()?;
            let points = points.iter().map(|t| point(t, Some(&first.at)));
            Some(Given::Points(points.collect()))
        }
        WorkInput::Sheet(key) => match setup.sheet.quantity(key) {
            Some(quantity) => Some(exact(quantity)),
            None => setup.sheet.word(key).map(|w| Given::Word(w.to_string())),
        },
        WorkInput::Literal(quantity) => Some(exact(*quantity)),
        WorkInput::Word(word) => Some(Given::Word(word.clone())),
    }
}

fn point(taken: &Taken, from: Option<&At>) -> Point {
    Point {
        measured: taken.measured,
        instrument: taken.instrument.as_ref().map(ToString::to_string),
        second: from.map(|from| seconds_between(from, &taken.at)),
    }
}

/// Seconds between two instants: by the clock that only runs on, unless the program
/// was started again between them.
fn seconds_between(from: &At, to: &At) -> f64 {
    let (from, to) = if from.session == to.session {
        (from.mono_ms as f64, to.mono_ms as f64)
    } else {
        (from.wall_ms as f64, to.wall_ms as f64)
    };
    (to - from) / 1000.0
}

impl Turn<'_> {
    /// Makes the workings of the step that can be made.
    pub(super) fn work(&mut self, step: &Step) {
        for id in &step.works {
            if let Some(taken) = self.worked(id, &step.id)
                && self.state.value(id).map(|t| t.measured) != Some(taken.measured)
            {
                self.push(Event::Worked {
                    working: id.clone(),
                    taken,
                });
            }
        }
    }

    /// Makes those of `values` anew that were worked out before, in whatever step,
    /// as often as it takes for one that rests on another.
    pub(super) fn work_anew(&mut self, values: &BTreeSet<ValueId>) {
        for _ in values {
            let mut settled = true;
            for id in values {
                // What is worked out elsewhere rests on nothing that is only being
                // repeated.
                let outside = State {
                    repeating: None,
                    ..self.state.clone()
                };
                let Some(old) = outside.values.get(id) else {
                    continue;
                };
                if let Some(taken) = self.worked_in(&outside, id, &old.step)
                    && taken.measured != old.measured
                {
                    settled = false;
                    self.push(Event::Replaced {
                        value: id.clone(),
                        taken,
                    });
                }
            }
            if settled {
                return;
            }
        }
    }

    /// A working as it comes out now.
    fn worked(&self, id: &ValueId, step: &StepId) -> Option<Taken> {
        self.worked_in(&self.state, id, step)
    }

    fn worked_in(&self, state: &State, id: &ValueId, step: &StepId) -> Option<Taken> {
        let working = self.setup.procedure.workings.get(id)?;
        let measured = work_out(self.setup, state, working)?.ok()?;
        Some(Taken {
            measured,
            typed: String::new(),
            instrument: None,
            at: self.at,
            by: self.by().ok()?,
            step: step.clone(),
            overdue: false,
            unusual: false,
            late: false,
        })
    }
}

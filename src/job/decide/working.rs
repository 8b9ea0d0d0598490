//! Workings: asking `calc`, keeping what came out.

use std::collections::BTreeSet;

use super::Turn;
use crate::calc::{self, CalcError, Given};
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
    let inputs: Option<Vec<Given>> = working
        .inputs
        .iter()
        .map(|input| given(setup, state, input))
        .collect();
    Some(sum.work(&inputs?))
}

fn given(setup: &Setup, state: &State, input: &WorkInput) -> Option<Given> {
    let exact = |quantity| Given {
        points: vec![Measured::exact(quantity)],
        instrument: None,
    };
    match input {
        WorkInput::Value(id) => {
            let taken = state.value(id)?;
            Some(Given {
                points: vec![taken.measured],
                instrument: taken.instrument.as_ref().map(ToString::to_string),
            })
        }
        WorkInput::Series(id) => {
            let points = state.series.get(id)?;
            let first = points.first()?;
            Some(Given {
                points: points.iter().map(|t| t.measured).collect(),
                instrument: first.instrument.as_ref().map(ToString::to_string),
            })
        }
        WorkInput::Sheet(key) => setup.sheet.quantity(key).map(exact),
        WorkInput::Literal(quantity) => Some(exact(*quantity)),
    }
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

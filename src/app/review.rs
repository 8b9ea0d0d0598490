//! What was given so far, and corrections with both values and a reason.

use super::field::Field;
use super::work::Work;
use crate::job::{Answer, Command, Correction, Entry};
use crate::procedure::{StepId, TickId, ValueId};

/// Something that was given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReviewRow {
    /// A reading.
    Reading(ValueId),
    /// A tick of a step.
    Tick(StepId, TickId),
}

/// Where a correction stands.
#[derive(Debug, Clone)]
pub enum Stage {
    /// Choosing what to correct.
    Choosing,
    /// Typing the new value (of a tick: y, n or d).
    Value(Field),
    /// Typing the reason; the new value stands.
    Reason {
        /// What was typed as the new value.
        now: String,
        /// What that means.
        what: Box<Correction>,
        /// The reason.
        field: Field,
    },
}

/// The review.
#[derive(Debug, Clone)]
pub struct Review {
    /// What was given, in the order in which it was given.
    pub rows: Vec<ReviewRow>,
    /// The row in focus.
    pub focus: usize,
    /// Where a correction stands.
    pub stage: Stage,
    /// What is wrong.
    pub message: Option<String>,
}

impl Review {
    /// Everything given so far in a job.
    pub fn of(work: &Work) -> Self {
        let state = &work.state;
        let mut readings: Vec<_> = state
            .values
            .iter()
            .filter(|(id, _)| work.setup.procedure.readings.contains_key(*id))
            .filter(|(id, _)| !state.current.readings.contains(*id))
            .collect();
        readings.sort_by_key(|(_, taken)| (taken.at.wall_ms, taken.at.mono_ms));
        let mut rows: Vec<ReviewRow> = readings
            .into_iter()
            .map(|(id, _)| ReviewRow::Reading(id.clone()))
            .collect();
        for step in &work.setup.procedure.steps {
            let here = state.inside() == Some(&step.id);
            if let Some(passed) = state.passed.get(&step.id).filter(|_| !here) {
                let ticks = step
                    .ticks
                    .iter()
                    .filter(|t| passed.ticks.contains_key(&t.id));
                rows.extend(ticks.map(|t| ReviewRow::Tick(step.id.clone(), t.id.clone())));
            }
        }
        Self {
            rows,
            focus: 0,
            stage: Stage::Choosing,
            message: None,
        }
    }

    /// The row in focus.
    pub fn row(&self) -> Option<&ReviewRow> {
        self.rows.get(self.focus)
    }

    /// Moves the focus.
    pub fn step(&mut self, by: isize) {
        let last = self.rows.len().saturating_sub(1);
        self.focus = self.focus.saturating_add_signed(by).min(last);
    }

    /// The line being typed, if any.
    pub fn field(&mut self) -> Option<&mut Field> {
        match &mut self.stage {
            Stage::Choosing => None,
            Stage::Value(field) | Stage::Reason { field, .. } => Some(field),
        }
    }

    /// One level back; false when there is none.
    pub fn back(&mut self) -> bool {
        self.message = None;
        match &self.stage {
            Stage::Choosing => false,
            Stage::Value(field) if !field.is_empty() => {
                self.stage = Stage::Value(Field::default());
                true
            }
            Stage::Value(_) => {
                self.stage = Stage::Choosing;
                true
            }
            Stage::Reason { now, .. } => {
                self.stage = Stage::Value(Field::with(now));
                true
            }
        }
    }

    /// Goes one on: from the row to its new value, to the reason, to the command.
    pub fn accept(&mut self, work: &Work) -> Option<Command> {
        self.message = None;
        let row = self.row().cloned()?;
        match self.stage.clone() {
            Stage::Choosing => {
                self.stage = Stage::Value(Field::default());
                None
            }
            Stage::Value(field) => {
                match correction(work, &row, field.text()) {
                    Ok(what) => {
                        self.stage = Stage::Reason {
                            now: field.text().trim().to_owned(),
                            what: Box::new(what),
                            field: Field::default(),
                        };
                    }
                    Err(message) => self.message = Some(message),
                }
                None
            }
            Stage::Reason { what, field, .. } => {
                if field.text().trim().is_empty() {
                    self.message = Some("Give a reason; it is kept in the record.".to_owned());
                    return None;
                }
                Some(Command::Correct {
                    what: *what,
                    reason: field.text().trim().to_owned(),
                })
            }
        }
    }
}

/// What is typed in a review now: what it is, and the line.
pub fn review_stage(review: &Review) -> (Option<&'static str>, Option<&Field>) {
    match &review.stage {
        Stage::Choosing => (None, None),
        Stage::Value(field) => (Some("new value"), Some(field)),
        Stage::Reason { field, .. } => (Some("why"), Some(field)),
    }
}

/// What a new value means for a row.
fn correction(work: &Work, row: &ReviewRow, text: &str) -> Result<Correction, String> {
    match row {
        ReviewRow::Reading(id) => {
            let typed = super::preview::understand(work, id, text)
                .map_err(|misread| misread.to_string())?;
            Ok(Correction::Reading {
                reading: id.clone(),
                entry: Entry {
                    typed: text.trim().to_owned(),
                    value: typed.quantity,
                    again: true,
                },
            })
        }
        ReviewRow::Tick(step, tick) => {
            let known = work
                .setup
                .step(step)
                .and_then(|s| s.ticks.iter().find(|t| &t.id == tick));
            let (yes, no) = known.map_or(("yes", "no"), |t| (t.yes.as_str(), t.no.as_str()));
            let text = text.trim();
            let answer = if text == "y" || text.eq_ignore_ascii_case(yes) {
                Answer::Yes(String::new())
            } else if text == "n" || text.eq_ignore_ascii_case(no) {
                Answer::No
            } else {
                return Err(format!("Type {yes} or {no} (y or n)."));
            };
            Ok(Correction::Tick {
                step: step.clone(),
                tick: tick.clone(),
                answer,
            })
        }
    }
}

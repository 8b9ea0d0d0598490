//! Readings: kind, span, calibration, zero, plausibility, witness, watch.

use super::Turn;
use super::judge::meets;
use crate::job::at::At;
use crate::job::command::{Entry, Person};
use crate::job::event::{Event, Taken};
use crate::job::refusal::Refusal;
use crate::procedure::{
    ConditionId, Grade, Instrument, Limit, Reading, RoleId, Step, Subject, ValueId,
};
use crate::quantity::{Day, Measured, ZeroCheck};

use super::answer::not_asked;

impl Turn<'_> {
    pub(super) fn value_title(&self, id: &ValueId) -> String {
        let known = self.setup.procedure.value(id);
        known.map_or_else(|| id.to_string(), |(title, _)| title.to_owned())
    }

    /// Gives a reading of the step at hand.
    pub(super) fn read(&mut self, id: &ValueId, entry: &Entry) -> Result<(), Refusal> {
        let step = self.step()?.clone();
        if !step.readings.contains(id) {
            return Err(not_asked(&step, &self.value_title(id)));
        }
        self.not_running()?;
        let taken = self.taken(id, entry, &step)?;
        let zero_of = self.zero_of(id, &taken)?;
        self.push(Event::Read {
            reading: id.clone(),
            taken,
        });
        if let Some(event) = zero_of {
            self.push(event);
        }
        self.settle_if_done()
    }

    /// A reading as it is kept, or why it can't be taken.
    pub(super) fn taken(&self, id: &ValueId, entry: &Entry, step: &Step) -> Result<Taken, Refusal> {
        let reading = self.reading(id, step)?;
        let instrument = self.instrument_for(reading.role.as_ref())?;
        if let Some(instrument) = instrument {
            self.zero_looked_at(reading, instrument)?;
        }
        self.taken_with(id, entry, step, instrument, self.at)
    }

    /// A reading as it was read off `instrument` at `at`.
    pub(super) fn taken_with(
        &self,
        id: &ValueId,
        entry: &Entry,
        step: &Step,
        instrument: Option<&Instrument>,
        at: At,
    ) -> Result<Taken, Refusal> {
        let reading = self.reading(id, step)?;
        if entry.value.kind() != reading.kind {
            return Err(Refusal::Kind {
                reading: reading.title.clone(),
                wanted: reading.kind,
                found: entry.value.kind(),
            });
        }
        let unusual = self.unusual(reading, entry);
        let mut overdue = false;
        let mut measured = Measured::exact(entry.value);
        if let Some(instrument) = instrument {
            measured = covered(reading, instrument, entry)?;
            overdue = self.overdue(id, instrument, &at)?;
        }
        if unusual && !entry.again {
            return Err(Refusal::Unusual {
                reading: reading.title.clone(),
            });
        }
        Ok(Taken {
            measured,
            typed: entry.typed.clone(),
            instrument: instrument.map(|i| i.id.clone()),
            at,
            by: self.by()?,
            step: step.id.clone(),
            overdue,
            unusual,
            late: false,
        })
    }

    fn reading(&self, id: &ValueId, step: &Step) -> Result<&Reading, Refusal> {
        let known = self.setup.procedure.readings.get(id);
        known.ok_or_else(|| not_asked(step, id.as_str()))
    }

    fn instrument_for(&self, role: Option<&RoleId>) -> Result<Option<&Instrument>, Refusal> {
        let Some(role) = role else { return Ok(None) };
        match self.setup.instrument(&self.state, role) {
            Some(instrument) => Ok(Some(instrument)),
            None => Err(Refusal::NoInstrument {
                role: self.role_title(role),
            }),
        }
    }

    pub(super) fn role_title(&self, role: &RoleId) -> String {
        let known = self.setup.procedure.roles.get(role);
        known.map_or_else(|| role.to_string(), |r| r.title.clone())
    }

    fn unusual(&self, reading: &Reading, entry: &Entry) -> bool {
        let Some((low, high)) = &reading.plausible else {
            return false;
        };
        let (Some(low), Some(high)) = (self.setup.side(low), self.setup.side(high)) else {
            return false;
        };
        let below = entry
            .value
            .compare(low)
            .is_ok_and(std::cmp::Ordering::is_lt);
        let above = entry
            .value
            .compare(high)
            .is_ok_and(std::cmp::Ordering::is_gt);
        below || above
    }

    /// Whether the instrument is past its date; refused where an interlock rests
    /// on the reading, noted where only advice does.
    fn overdue(&self, id: &ValueId, instrument: &Instrument, at: &At) -> Result<bool, Refusal> {
        let Some(due) = instrument.metrology.due() else {
            return Ok(false);
        };
        let today = Day::of_instant(at.wall_ms, at.offset_min);
        if !instrument.metrology.overdue(today) {
            return Ok(false);
        }
        if self.interlocked(id) {
            return Err(Refusal::Overdue {
                instrument: instrument.title.clone(),
                due,
            });
        }
        Ok(true)
    }

    /// Whether some interlock rests on the reading, in this step or another.
    fn interlocked(&self, id: &ValueId) -> bool {
        let procedure = &self.setup.procedure;
        let rests = procedure.with_dependents([id.clone()].into());
        let asks = procedure.conditions.values();
        let asked = asks.filter_map(|c| c.ask.as_ref()).flat_map(|a| &a.limits);
        procedure
            .steps
            .iter()
            .flat_map(|s| &s.limits)
            .chain(asked)
            .filter(|l| l.grade == Grade::Interlock)
            .any(|l| match &l.subject {
                Subject::Value(v) => rests.contains(v),
                Subject::Difference(a, b) => rests.contains(a) || rests.contains(b),
                Subject::Age(_) => false,
            })
    }

    /// A gauge whose zero the procedure has checked is not read before that.
    fn zero_looked_at(&self, reading: &Reading, instrument: &Instrument) -> Result<(), Refusal> {
        let checked = self.zero_is_checked(reading.role.as_ref());
        let wanted = checked && !reading.zero_check;
        if wanted && !self.state.zeros.contains_key(&instrument.id) {
            return Err(Refusal::ZeroWanted {
                instrument: instrument.title.clone(),
            });
        }
        Ok(())
    }

    /// Whether the procedure has the zero of what is used in this role checked.
    pub(super) fn zero_is_checked(&self, role: Option<&RoleId>) -> bool {
        role.is_some()
            && self
                .setup
                .procedure
                .readings
                .values()
                .any(|r| r.zero_check && r.role.as_ref() == role)
    }

    /// The zero found of a gauge, when the reading is one.
    pub(super) fn zero_of(&self, id: &ValueId, taken: &Taken) -> Result<Option<Event>, Refusal> {
        let reading = self.setup.procedure.readings.get(id);
        let role = reading.filter(|r| r.zero_check).map(|r| r.role.as_ref());
        match role {
            Some(role) => match self.instrument_for(role)? {
                Some(instrument) => zero_found(instrument, taken.measured.value()).map(Some),
                None => Ok(None),
            },
            None => Ok(None),
        }
    }

    /// A second person's reading (S14).
    pub(super) fn witness(
        &mut self,
        id: &ValueId,
        by: &Person,
        entry: &Entry,
    ) -> Result<(), Refusal> {
        let step = self.step()?.clone();
        let reading = self.setup.procedure.readings.get(id);
        if !step.readings.contains(id) || !reading.is_some_and(|r| r.witness) {
            return Err(not_asked(&step, &self.value_title(id)));
        }
        self.not_running()?;
        let first = self
            .state
            .value(id)
            .filter(|_| self.state.current().readings.contains(id));
        let Some(first) = first else {
            return Err(Refusal::FirstReadingMissing {
                reading: self.value_title(id),
            });
        };
        if &first.by == by {
            return Err(Refusal::SamePerson);
        }
        // Who has seen both values can't read afresh: then both read again.
        if self.state.current().witnessed.contains_key(id) {
            return Err(not_asked(
                &step,
                &format!("{}, a third time", self.value_title(id)),
            ));
        }
        let mut taken = self.taken(id, entry, &step)?;
        taken.by = by.clone();
        self.push(Event::Witnessed {
            reading: id.clone(),
            taken,
        });
        self.settle_if_done()
    }

    /// A reading that a watch asks for, on top of whatever step is shown (S7).
    pub(super) fn watch_reading(
        &mut self,
        condition: &ConditionId,
        id: &ValueId,
        entry: &Entry,
    ) -> Result<(), Refusal> {
        let due = crate::job::offer::due_readings(self.setup, &self.state, &self.at);
        let Some(due) = due
            .into_iter()
            .filter(|_| !self.at_end())
            .find(|d| &d.condition == condition && &d.reading == id && d.in_ms == 0)
        else {
            return Err(Refusal::NotDue {
                reading: self.value_title(id),
            });
        };
        let step = match self.state.step().map(|s| self.find(s)) {
            Some(step) => step?.clone(),
            None => return Err(Refusal::Opened(false)),
        };
        let mut taken = self.taken(id, entry, &step)?;
        taken.late = due.late;
        self.push(Event::Watched {
            condition: condition.clone(),
            reading: id.clone(),
            taken,
        });
        self.settle_if_done()
    }

    /// The reading with which a condition is attested.
    pub(super) fn attest_reading(
        &mut self,
        id: &ValueId,
        entry: &Entry,
        limits: &[Limit],
    ) -> Result<(), Refusal> {
        let step = match self.state.step().map(|s| self.find(s)) {
            Some(step) => step?.clone(),
            None => return Err(Refusal::Opened(false)),
        };
        let taken = self.taken(id, entry, &step)?;
        if !limits.iter().all(|l| meets(self.setup, l, &taken)) {
            return Err(Refusal::LimitNotMet {
                of: self.value_title(id),
            });
        }
        self.push(Event::Replaced {
            value: id.clone(),
            taken,
        });
        let rests = self.setup.procedure.with_dependents([id.clone()].into());
        self.work_anew(&rests);
        Ok(())
    }
}

/// The value with the instrument's uncertainty, if the instrument can show it.
fn covered(reading: &Reading, instrument: &Instrument, entry: &Entry) -> Result<Measured, Refusal> {
    let beyond = || Refusal::BeyondSpan {
        reading: reading.title.clone(),
        instrument: instrument.title.clone(),
    };
    let metrology = &instrument.metrology;
    // A pointer may rest a little below its zero; that is what a zero check is for.
    let shown = metrology.covers(entry.value).unwrap_or(false);
    if !shown && !reading.zero_check {
        return Err(beyond());
    }
    metrology.reading(entry.value).or_else(|_| Err(beyond()))
}

/// The event of a zero that was looked at, unless the gauge is refused for it.
pub(super) fn zero_found(
    instrument: &Instrument,
    value: crate::quantity::Quantity,
) -> Result<Event, Refusal> {
    match instrument.metrology.zero_check(value) {
        Ok(ZeroCheck::Clean | ZeroCheck::Noted { .. }) => Ok(Event::ZeroFound {
            instrument: instrument.id.clone(),
            value,
        }),
        Ok(ZeroCheck::Refused { .. }) | Err(_) => Err(Refusal::ZeroRefused {
            instrument: instrument.title.clone(),
        }),
    }
}

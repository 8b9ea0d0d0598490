//! Opening a job, instruments in use, names at an end.

use super::Turn;
use super::reading::zero_found;
use crate::job::command::{Command, Entry, Person};
use crate::job::event::Event;
use crate::job::refusal::Refusal;
use crate::procedure::{Body, DutyId, EndKind, Instrument, InstrumentId, RoleId};

impl Turn<'_> {
    /// Opens the job and enters its first step.
    pub(super) fn open(&mut self, command: &Command) -> Result<(), Refusal> {
        let Command::Open {
            by,
            with,
            why,
            roles,
            system,
            earlier,
        } = command
        else {
            return Err(Refusal::Opened(false));
        };
        for (role, instrument) in roles {
            self.fits(role, instrument)?;
        }
        let mut people = vec![by.clone()];
        people.extend(with.iter().filter(|p| *p != by).cloned());
        self.push(Event::Opened {
            at: self.at,
            people,
            why: why.clone(),
            roles: roles.clone(),
            system: *system,
            earlier: earlier.clone(),
        });
        let first = self.setup.procedure.steps.first();
        let first = first.map(|s| s.id.clone()).ok_or(Refusal::Opened(false))?;
        self.go_to(&first)
    }

    /// The instrument, if it can be used so.
    fn fits(&self, role: &RoleId, instrument: &InstrumentId) -> Result<&Instrument, Refusal> {
        let known = self.setup.instruments.list.get(instrument);
        let wanted = self.setup.procedure.roles.get(role);
        match (known, wanted) {
            (Some(known), Some(wanted)) if known.kind == wanted.kind => Ok(known),
            _ => Err(Refusal::WrongInstrument {
                instrument: instrument.clone(),
                role: self.role_title(role),
            }),
        }
    }

    /// Uses another instrument from now on.
    pub(super) fn use_instrument(
        &mut self,
        role: &RoleId,
        instrument: &InstrumentId,
        zero: Option<&Entry>,
        reason: &str,
    ) -> Result<(), Refusal> {
        if reason.trim().is_empty() {
            return Err(Refusal::ReasonWanted);
        }
        let known = self.fits(role, instrument)?.clone();
        match zero {
            Some(entry) => {
                let event = zero_found(&known, entry.value)?;
                self.push(event);
            }
            None if self.zero_is_checked(Some(role)) && !self.zeros_come_later(role) => {
                return Err(Refusal::ZeroWanted {
                    instrument: known.title,
                });
            }
            None => {}
        }
        self.push(Event::InstrumentUsed {
            role: role.clone(),
            instrument: instrument.clone(),
            reason: reason.trim().to_owned(),
        });
        self.settle_if_done()
    }

    /// Before the zeros of this job are looked at, an instrument can be changed
    /// without one.
    fn zeros_come_later(&self, role: &RoleId) -> bool {
        let old = self.state.roles.get(role);
        old.is_none_or(|old| !self.state.zeros.contains_key(old))
    }

    /// Names who takes on a duty.
    pub(super) fn hand_over(&mut self, duty: &DutyId, to: &Person) -> Result<(), Refusal> {
        let owed = self.state.duties.get(duty);
        if !self.at_end() || owed.is_none_or(|d| d.to.is_some()) {
            return Err(Refusal::NotOwed);
        }
        self.push(Event::HandedOver {
            duty: duty.clone(),
            to: to.clone(),
        });
        self.end_if_named()
    }

    /// Names who sees to the steps that must be repeated.
    pub(super) fn hand_over_repeats(&mut self, to: &Person) -> Result<(), Refusal> {
        if !self.at_end() || self.state.repeats.is_empty() || self.state.repeats_to.is_some() {
            return Err(Refusal::NotOwed);
        }
        self.push(Event::RepeatsHandedOver { to: to.clone() });
        self.end_if_named()
    }

    fn end_if_named(&mut self) -> Result<(), Refusal> {
        let kind = match self.step()?.body {
            Body::End(kind) => kind,
            Body::Ordinary { .. } | Body::Look { .. } => return Ok(()),
        };
        let forbidden = kind == EndKind::Complete && !self.state.duties.is_empty();
        if !self.state.owes_names() && !forbidden {
            self.end(kind);
        }
        Ok(())
    }
}

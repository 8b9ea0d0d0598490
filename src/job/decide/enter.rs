//! Entering a step (S2), with its door (S7) and the looks that a sheet answers.

use std::collections::BTreeSet;

use super::{Turn, is_stale_now};
use crate::job::event::Event;
use crate::job::refusal::Refusal;
use crate::job::state::Place;
use crate::procedure::{Body, ConditionId, DutyId, EndKind, Step, StepId, ValueId, When};

impl Turn<'_> {
    /// Goes to a step: to its door if something must be attested first, else in;
    /// on through looks that the sheet answers.
    pub(super) fn go_to(&mut self, target: &StepId) -> Result<(), Refusal> {
        let step = self.find(&self.detour(target)?)?.clone();
        self.check_needs(&step)?;
        self.check_settings(&step)?;
        let stale = self.stale_for(&step);
        if !stale.is_empty() {
            self.push(Event::AtDoor {
                step: step.id.clone(),
                stale,
            });
            return Ok(());
        }
        self.enter(&step)
    }

    /// A complete end met with a step that must be repeated leads to the
    /// hand-over end (S10).
    fn detour(&self, target: &StepId) -> Result<StepId, Refusal> {
        let complete = matches!(self.find(target)?.body, Body::End(EndKind::Complete));
        if complete
            && !self.state.repeats.is_empty()
            && let Some(hand_over) = &self.setup.procedure.hand_over
        {
            return Ok(hand_over.clone());
        }
        Ok(target.clone())
    }

    /// The step behind the door, now that everything is attested.
    pub(super) fn through_door(&mut self) -> Result<(), Refusal> {
        if let Place::Door { step, .. } = &self.state.place {
            let step = step.clone();
            return self.go_to(&step);
        }
        Ok(())
    }

    fn enter(&mut self, step: &Step) -> Result<(), Refusal> {
        let clears = self.setup.procedure.effective_clears(step);
        let holds = |c: &ConditionId| self.state.conditions.contains_key(c);
        let cleared = clears.into_iter().filter(holds).collect();
        let forgotten = self.setup.procedure.forgotten_by(step);
        let has = |v: &ValueId| self.state.values.contains_key(v);
        let forgotten = forgotten.into_iter().filter(has).collect();
        let owes = |d: &&DutyId| !self.state.duties.contains_key(*d);
        self.push(Event::Entered {
            step: step.id.clone(),
            cleared,
            owed: step.incurs.iter().filter(owes).cloned().collect(),
            forgotten,
        });
        match &step.body {
            Body::End(kind) => {
                if !self.state.owes_names() {
                    self.end(*kind);
                }
                Ok(())
            }
            Body::Look {
                by_sheet: Some(key),
                choices,
            } => {
                let word = self.setup.sheet.word(key);
                let choice = choices.iter().find(|c| Some(c.id.as_str()) == word);
                let choice = choice.ok_or_else(|| Refusal::SheetLacks {
                    key: key.to_string(),
                })?;
                self.leave_by_choice(step, choice)
            }
            // What rests on earlier values alone is worked out and judged at once.
            Body::Look { by_sheet: None, .. } | Body::Ordinary { .. } => self.refresh(),
        }
    }

    pub(super) fn end(&mut self, kind: EndKind) {
        self.push(Event::Ended { kind, at: self.at });
    }

    /// Everything a step needs, on entry and while it is done (S2).
    fn check_needs(&self, step: &Step) -> Result<(), Refusal> {
        let procedure = &self.setup.procedure;
        let clears = procedure.effective_clears(step);
        let holds = |c: &ConditionId| self.state.conditions.contains_key(c);
        let entry = procedure.entry_needs(step);
        let standing = procedure.standing_needs(step);
        let missing: BTreeSet<ConditionId> = entry
            .into_iter()
            .filter(|c| !holds(c))
            .chain(
                standing
                    .into_iter()
                    .filter(|c| !holds(c) || clears.contains(c)),
            )
            .collect();
        if missing.is_empty() {
            return Ok(());
        }
        Err(Refusal::Needs {
            step: step.title.clone(),
            missing: missing
                .iter()
                .map(|c| (self.condition_title(c), self.makers(c)))
                .collect(),
        })
    }

    /// The titles of the steps that make a condition true.
    fn makers(&self, condition: &ConditionId) -> Vec<String> {
        let steps = self.setup.procedure.steps.iter();
        steps
            .filter(|s| s.may_establish().contains(condition))
            .map(|s| s.title.clone())
            .collect()
    }

    /// As found before a setting is changed; as left before a complete end (S10, S11).
    fn check_settings(&self, step: &Step) -> Result<(), Refusal> {
        let procedure = &self.setup.procedure;
        let changes = procedure.changes_of(step);
        let complete = matches!(step.body, Body::End(EndKind::Complete));
        let changed = self.changed_settings();
        let missing: Vec<String> = procedure
            .readings
            .iter()
            .filter(|(id, reading)| {
                let wanted = match (&reading.of, reading.when) {
                    (Some(of), Some(When::AsFound)) => changes.contains(of),
                    (Some(of), Some(When::AsLeft)) => complete && changed.contains(of),
                    _ => false,
                };
                wanted && !self.state.values.contains_key(*id)
            })
            .map(|(_, reading)| reading.title.clone())
            .collect();
        if missing.is_empty() {
            return Ok(());
        }
        Err(Refusal::Unread {
            step: step.title.clone(),
            missing,
        })
    }

    fn changed_settings(&self) -> BTreeSet<crate::procedure::SettingId> {
        let trail = self.state.trail.iter();
        trail
            .filter_map(|id| self.setup.step(id))
            .flat_map(|step| self.setup.procedure.changes_of(step))
            .collect()
    }

    /// What must be attested before the step is entered (S7).
    pub(super) fn stale_for(&self, step: &Step) -> Vec<ConditionId> {
        is_stale_now(self.setup, &self.state, step, &self.at)
    }
}

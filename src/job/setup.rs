//! What a job runs on, pinned when it was opened.

use std::sync::Arc;

use crate::procedure::{Instrument, Instruments, Procedure, RoleId, Sheet, Side, Step, StepId};
use crate::quantity::Quantity;

use super::state::State;

/// Real work or practice; a journal is one or the other for ever.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mode {
    /// A real truck.
    Job,
    /// Practice; never counts as a job.
    Practice,
}

/// Procedure, sheet and instruments of a job.
#[derive(Debug, Clone)]
pub struct Setup {
    /// The step graph.
    pub procedure: Arc<Procedure>,
    /// The vehicle's values.
    pub sheet: Arc<Sheet>,
    /// What the shop measures with.
    pub instruments: Arc<Instruments>,
    /// Real work or practice.
    pub mode: Mode,
}

impl Setup {
    /// The quantity on the other side of a limit.
    pub fn side(&self, side: &Side) -> Option<Quantity> {
        match side {
            Side::Literal(quantity) => Some(*quantity),
            Side::Sheet(key) => self.sheet.quantity(key),
        }
    }

    /// A time given as a side, in whole ms.
    pub fn side_ms(&self, side: &Side) -> Option<u64> {
        let seconds = self.side(side)?.si();
        (seconds >= 0.0).then_some((seconds * 1000.0).round() as u64)
    }

    /// The step of that name.
    pub fn step(&self, id: &StepId) -> Option<&Step> {
        self.procedure.step(id)
    }

    /// A text of the procedure, with the sheet's values in the units that are shown.
    pub fn say(&self, state: &State, text: &str) -> String {
        let system = state.system.unwrap_or(self.sheet.system);
        self.sheet.fill(text, system)
    }

    /// The instrument that a job uses in a role.
    pub fn instrument(&self, state: &State, role: &RoleId) -> Option<&Instrument> {
        self.instruments.list.get(state.roles.get(role)?)
    }
}

//! Instruments: what the shop measures with.

use std::collections::BTreeMap;

use super::id::{InstrumentId, RoleId};
use crate::quantity::{Kind, Metrology};

/// One instrument of the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Its name.
    pub id: InstrumentId,
    /// What people see ("gauge 3, 0–10 bar").
    pub title: String,
    /// What it measures.
    pub kind: Kind,
    /// Span, limit of error, resolution, calibration due.
    pub metrology: Metrology,
    /// The uses it is meant for, best first in the list of the procedure.
    pub roles: Vec<RoleId>,
}

/// The instruments of a shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Instruments {
    /// The name of the list.
    pub id: String,
    /// What people see.
    pub title: String,
    /// The instruments.
    pub list: BTreeMap<InstrumentId, Instrument>,
}

impl Instruments {
    /// The first instrument meant for `role`, in order of names.
    pub fn for_role(&self, role: &RoleId) -> Option<&Instrument> {
        self.list.values().find(|i| i.roles.contains(role))
    }
}

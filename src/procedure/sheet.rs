//! Sheets: the values for one vehicle variant, each with its source.

use std::collections::BTreeMap;

use super::id::{SheetId, SheetKey};
use crate::quantity::{Quantity, System};

/// What a sheet says for one key.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetValue {
    /// A measured or prescribed value with its unit.
    Quantity(Quantity),
    /// One of a closed list ("released", "on").
    Word(String),
    /// Words for people.
    Text(Vec<String>),
}

/// One row of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetEntry {
    /// What it is, for people.
    pub title: String,
    /// The value.
    pub value: SheetValue,
    /// The value as it was written in the document.
    pub written: String,
    /// Where it comes from.
    pub source: String,
}

/// The values for one vehicle variant.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Its name.
    pub id: SheetId,
    /// What people see ("tractor BW-07").
    pub title: String,
    /// Counts up with every change.
    pub revision: u32,
    /// Units the sheet is written in, and shown in unless the person chooses.
    pub system: System,
    /// How the vehicle is told from its look-alikes (plate, tyre, axle).
    pub identify: Vec<String>,
    /// The values.
    pub values: BTreeMap<SheetKey, SheetEntry>,
}

impl Sheet {
    /// The quantity for `key`, if the sheet has one.
    pub fn quantity(&self, key: &SheetKey) -> Option<Quantity> {
        match self.values.get(key)?.value {
            SheetValue::Quantity(quantity) => Some(quantity),
            SheetValue::Word(_) | SheetValue::Text(_) => None,
        }
    }

    /// The word for `key`, if the sheet has one.
    pub fn word(&self, key: &SheetKey) -> Option<&str> {
        match &self.values.get(key)?.value {
            SheetValue::Word(word) => Some(word),
            SheetValue::Quantity(_) | SheetValue::Text(_) => None,
        }
    }
}

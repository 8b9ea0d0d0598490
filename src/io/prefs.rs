//! `settings.json` of the data directory: units, bell, how a hold is made, names.

use serde::{Deserialize, Serialize};

use super::place::Place;
use crate::journal::{Failure, Storage, replace};

/// Settings as they are kept.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Prefs {
    /// The format, 1.
    pub format: u32,
    /// `metric`, `us` or nothing.
    pub units: Option<String>,
    /// Sound the bell when a timer is over.
    pub bell: bool,
    /// Always two keys in turn instead of a hold.
    pub turns: bool,
    /// Names used before.
    pub people: Vec<String>,
}

/// Reads the settings; none, unreadable or of another format: the usual ones.
pub fn read(disk: &dyn Storage, place: &Place) -> Prefs {
    let bytes = disk.read(&place.settings()).unwrap_or_default();
    serde_json::from_slice(&bytes).unwrap_or_default()
}

/// Keeps the settings, if the data directory is there already: starting the
/// program creates nothing.
///
/// # Errors
/// When the disk refuses.
pub fn write(disk: &dyn Storage, place: &Place, prefs: &Prefs) -> Result<(), Failure> {
    if place.settled(disk)?.is_none() {
        return Ok(());
    }
    let text = serde_json::to_vec_pretty(prefs).unwrap_or_default();
    replace(disk, &place.settings(), &text)
}

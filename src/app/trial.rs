//! The trial of the hold key: whether this terminal shows a letting go.

use crate::hold::{Calibration, Ruling};

/// The trial.
#[derive(Debug, Clone)]
pub struct Trial {
    /// The judge of the trial.
    pub calibration: Calibration,
    /// What came of it.
    pub ruling: Option<Ruling>,
}

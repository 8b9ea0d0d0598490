//! The only side effects: files, locks, clock, randomness.
//!
//! Nothing here decides anything about a job. `#[cfg]` for a platform stands
//! only below this module.

pub mod clock;
pub mod disk;
pub mod keyboard;
pub mod lock;
pub mod place;
pub mod prefs;
pub mod released;
pub mod saved;
pub mod seed;
pub mod shop;
pub mod terminal;

pub use crate::journal::{Failure, exit};

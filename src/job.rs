//! The engine: what a job is, what may be done now, what follows from it.
//!
//! Three pure functions. [`decide`] takes a command and says either what follows
//! or why not; it changes nothing. [`evolve`] folds one event into the state; it
//! never fails, never works anything out and never sees the procedure.
//! [`offers`] says what may be done now. Clocks, files and keys are unknown here:
//! the instant comes in with the command.

mod at;
mod command;
mod decide;
mod event;
mod evolve;
mod offer;
mod refusal;
mod setup;
mod state;

#[cfg(test)]
mod tests;

pub use at::At;
pub use command::{Answer, Command, Correction, Entry, Evidence, Person, PersonError, Tier};
pub(crate) use decide::judge_limits;
pub use decide::{decide, given, given_one, redecide, worked};
pub use event::{Event, Judged, Taken, Way};
pub use evolve::{evolve, replay};
pub use offer::{Offer, due_readings, offers};
pub use refusal::Refusal;
pub use setup::{Mode, Setup};
pub use state::{Current, Ended, Held, Owed, Passed, Place, State, Watch};

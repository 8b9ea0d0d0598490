//! A rehearsal: a scripted run with the outcome it must have, and its player.
//!
//! The player types what a person would type into the same engine that runs real
//! jobs, with a clock of its own, and stops at the first difference between what
//! the script says and what the engine does. It knows no terminal and no files.

mod coverage;
mod draft;
mod expect;
mod play;
mod script;

pub use coverage::{Walk, every_way};
pub use draft::{Draft, draft};
pub use play::{Beside, Difference, Played, play, play_beside, play_up_to};
pub use script::{
    ConfirmWord, Correct, DrillExpect, DrillScript, Expect, Move, Rehearsal, SeriesPoint, StopWord,
    Swap, TickWord, Witnessed,
};

//! The only judge of a held key.
//!
//! A hold is a deliberate confirmation, never a control of a real truck. It
//! counts only on evidence that a key was down all the time. Terminals differ
//! in what they tell, so there are three tiers: **R**, where this terminal has
//! proved that it reports a key let go; **A**, where only the automatic repeat
//! of a held key is seen; **T**, two keys tapped in turn, which works
//! everywhere. Danger takes R or T only.
//!
//! How it is used: keep one [`Session`] for as long as the program runs. To
//! ask for a hold, open a [`Judge`] with a [`Prompt`]; call [`Judge::drawn`]
//! after every frame that shows the prompt and [`Judge::hidden`] when it can no
//! longer be shown; give every input, ticks among them, to [`Judge::take`];
//! draw [`Judge::view`]. When a prompt is closed, ask [`Session::swallows`]
//! before any input is used.
//!
//! What is decided here and not in the design of the tiers:
//!
//! - F and J count with Shift too, and so does `t`: under Caps Lock most
//!   terminals send a capital with Shift, and nothing can tell the two apart.
//!   With Ctrl, Alt or Super they cancel; so does Space with any modifier.
//! - Another key let go cancels, except before the prompt is armed: there it
//!   is the key that opened the prompt.
//! - `t` chooses two keys in turn for this prompt, as long as NOW LET GO is not
//!   shown; later it is a key like any other.
//! - After taps in turn, letting go is a short silence of both keys.
//!
//! Invariants: no commit without the rules of its tier and the rules common to
//! all; whatever is not understood cancels; time comes only with the inputs,
//! and passes only by ticks, so that what counts could also be seen.
//!
//! Must not know: the terminal library, what the hold is for, any screen.

mod calibration;
mod cause;
mod evidence;
mod judge;
pub mod limit;
mod number;
mod prompt;
mod proven;
mod repeat;
mod rhythm;
mod session;
mod strand;
mod turn;
mod valve;
mod view;
mod watch;

pub use calibration::{Calibration, CalibrationView, Retry, Ruling};
pub use cause::{Cause, Slip};
pub use evidence::{Evidence, Tier};
pub use judge::{Judge, Outcome};
pub use prompt::{Prompt, Severity};
pub use session::{Release, Session};
pub use valve::Valve;
pub use view::{Phase, View, Wait};

#[cfg(test)]
mod tests;

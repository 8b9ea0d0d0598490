//! Every number of the hold, in one place.
//!
//! The figures marked *design* are the tested design of the hold: they were
//! simulated against the repeat rates that systems use, local and over slow
//! lines, and the tests of this module repeat that simulation. The figures
//! marked *ours* fill places that the design leaves open, on the safe side.
//!
//! Must not know: anything but time.

use std::time::Duration;

const fn ms(n: u64) -> Duration {
    Duration::from_millis(n)
}

/// The prompt must have been on the screen this long before it arms. *Design.*
pub const DRAWN: Duration = ms(1000);
/// The keys of the gesture must have been silent this long before it arms:
/// longer than the slowest delay before a system's automatic repeat, so that a
/// key held already cannot start a hold. *Design.*
pub const SILENT: Duration = ms(1200);
/// The longest time between two ticks that is no stall. *Design.*
pub const TICK_GAP: Duration = ms(250);
/// How far the two clocks may run apart between two ticks. *Design.*
pub const CLOCKS_APART: Duration = ms(500);
/// Stamps from two threads may arrive out of order by this much; they are then
/// taken as simultaneous. More is a clock gone wrong. *Ours.*
pub const OUT_OF_ORDER: Duration = ms(50);
/// After NOW LET GO, a key not let go in this time is an object on the key.
/// *Design.*
pub const LET_GO: Duration = ms(5000);
/// All keys are swallowed this long after a commit or a cancel; the time to
/// read begins anew after it. *Design.*
pub const SWALLOW: Duration = ms(300);
/// Over a network what still comes is read and thrown away this long before the
/// terminal is given back. *Design.*
pub const DRAIN_REMOTE: Duration = ms(1500);
/// Shortest hold for a caution. An author may ask for more. *Design.*
pub const HOLD_CAUTION: Duration = ms(1500);
/// Shortest hold for a danger. An author may ask for more. *Design.*
pub const HOLD_DANGER: Duration = ms(2500);
/// No hold is ever shorter than this. *Design.*
pub const HOLD_FLOOR: Duration = ms(1000);

/// Calibration: the release must come at least this long after the press.
/// *Design.*
pub const PROOF_HELD: Duration = ms(600);
/// Calibration: repeats (or presses) between press and release. *Design.*
pub const PROOF_REPEATS: usize = 3;
/// Calibration: a key held this long without any repeat does not repeat.
/// Shorter, and the delay before the repeat may simply not have passed.
/// *Ours*, from the same slowest delay as [`SILENT`].
pub const PROOF_NO_REPEAT: Duration = ms(1200);
/// Calibration: this long without an event after a repeat, and without a
/// release, means that the terminal tells of no release. *Ours.*
pub const PROOF_SILENCE: Duration = ms(1200);
/// Calibration: the same after a press that never repeated. *Ours.*
pub const PROOF_PATIENCE: Duration = ms(5000);
/// Calibration is given up for the session after this many tries. *Ours.*
pub const PROOF_TRIES: u8 = 3;

/// A release this close to its press is made up by the terminal. *Design.*
pub const RELEASE_TOO_SOON: Duration = ms(8);
/// Tier R: at the full time the last repeat may be this old, or
/// [`SILENCE_MEDIANS`] medians if that is more. *Design.*
pub const REPEAT_AGE: Duration = ms(250);

/// Tier A: shortest and longest time from the press to its first repeat.
/// *Design.*
pub const FIRST_GAP: (Duration, Duration) = (ms(150), ms(1150));
/// Tier A: intervals that must be counted after the first gap. *Design.*
pub const COUNTED: usize = 8;
/// Tier A: an interval shorter than this is not counted. *Design.*
pub const SHORT: Duration = ms(8);
/// Tier A: this many short intervals in a row are a paste or a stalled line
/// let loose. *Design.*
pub const SHORT_RUN: usize = 3;
/// Tier A: the median interval is at most this. *Design.*
pub const MEDIAN_MOST: Duration = ms(450);
/// Tier A: the first gap is at least this many medians, as automatic repeat
/// has it and a tapping hand has not. *Design.*
pub const SIGNATURE: f64 = 2.2;
/// Tier A: greatest 1.4826 · MAD / median. *Design.*
pub const SPREAD_MAD: f64 = 0.35;
/// Tier A: greatest standard deviation / mean. *Design.*
pub const SPREAD_SD: f64 = 0.6;
/// Tier A: silence that means "let go", in medians. *Design.*
pub const SILENCE_MEDIANS: u32 = 4;
/// Tier A: that silence is never taken shorter or longer than this. *Design.*
pub const SILENCE: (Duration, Duration) = (ms(150), ms(1200));
/// Tier A: after this many failures in a row the session uses tier T. *Design.*
pub const REPEAT_FAILURES: u8 = 2;

/// Tier T: taps at least. *Design.*
pub const TAPS: usize = 6;
/// Tier T: shortest and longest gap between taps. *Design.*
pub const TAP_GAP: (Duration, Duration) = (ms(120), ms(1500));
/// Tier T: shortest time from the first tap to the last. *Design.*
pub const TAPS_TOTAL: Duration = ms(1200);
/// Tier T: silence of both keys that means "let go". *Ours.*
pub const TAPS_SILENCE: Duration = ms(300);
/// Typing the number: digits closer than this are a paste. *Ours.*
pub const DIGIT_GAP: Duration = ms(40);
/// Typing the number: longest wait for the next digit. *Ours.*
pub const DIGIT_WAIT: Duration = ms(15_000);

/// Live valve: without releases, a press holds the valve open this long.
/// *Design.*
pub const VALVE_PRESS: Duration = ms(500);
/// Live valve: it shuts four medians after the last repeat, within these.
/// *Design.*
pub const VALVE_SILENCE: (Duration, Duration) = (ms(150), ms(500));
/// Live valve, two keys in turn: each tap holds it open this long. *Design.*
pub const VALVE_TAP: Duration = ms(300);

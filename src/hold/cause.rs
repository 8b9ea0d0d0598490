//! Why a hold was cancelled, or a tapped gesture began again: each with its
//! sentence for the person.
//!
//! Must not know: where the sentence is shown.

use std::fmt;
use std::time::Duration;

use super::evidence::whole_ms;
use crate::input::{Key, Modifiers};

/// What ended a hold without a commit.
#[derive(Debug, Clone, PartialEq)]
pub enum Cause {
    /// A key that is no part of the gesture, Escape among them.
    OtherKey {
        /// The key.
        key: Key,
        /// What was held with it.
        modifiers: Modifiers,
    },
    /// The gesture's own key with a modifier.
    Modified,
    /// Text was pasted.
    Pasted,
    /// The terminal window lost the focus.
    FocusLost,
    /// The screen changed its size.
    Resized,
    /// The screen is too small to show the prompt, or it is not shown.
    NotShown,
    /// The pointer was used.
    Mouse,
    /// The program was stopped by job control and goes on.
    Continued,
    /// The system asks the program to stop, to end, or interrupts it.
    Signalled,
    /// A frame could not be drawn.
    DrawFailed,
    /// No tick came for this long.
    Stalled(Duration),
    /// The two clocks disagree by this much.
    ClocksDisagree(Duration),
    /// Inputs were lost.
    Overflow,
    /// Not let go in time after NOW LET GO.
    NotLetGo,
    /// Let go before NOW LET GO was shown.
    ReleasedEarly(Duration),
    /// A repeat came without a press before it.
    RepeatWithoutPress,
    /// Tier R: a release so close to its press that the terminal made it up.
    ReleaseTooSoon,
    /// Tier R: a second release without a press between.
    ReleasedTwice,
    /// Tier R: at the full time the last repeat was too old.
    RepeatsStopped(Duration),
    /// Tier A: the delay before the first repeat is out of range.
    FirstGap(Duration),
    /// Tier A: no repeat came at all.
    NoRepeat,
    /// Tier A: several events at once.
    Burst,
    /// Tier A: the repeats are too slow.
    Slow(Duration),
    /// Tier A: the first gap is no longer than the others, as with tapping.
    Tapping,
    /// Tier A: the repeats are too uneven.
    Uneven,
    /// Typing: not the digit that is shown.
    WrongDigit,
    /// Typing: faster than fingers.
    DigitsTooFast,
    /// Typing: no digit for too long.
    DigitsTooSlow,
}

impl Cause {
    /// Whether this is Escape, which the screen takes as "back out".
    pub fn is_escape(&self) -> bool {
        matches!(self, Self::OtherKey { key: Key::Esc, .. })
    }

    /// Whether this cause says that tier A could not see a hold: enough of
    /// these in a row, and the session uses two keys in turn.
    pub(super) fn is_repeat_failure(&self) -> bool {
        matches!(
            self,
            Self::ReleasedEarly(_)
                | Self::FirstGap(_)
                | Self::NoRepeat
                | Self::Burst
                | Self::Slow(_)
                | Self::Tapping
                | Self::Uneven
        )
    }

    /// The sentence, where it needs no figure.
    fn plain(&self) -> Option<&'static str> {
        Some(match self {
            Self::Modified => "Cancelled: a modifier key was down. Use the key on its own.",
            Self::Pasted => "Cancelled: text was pasted. A paste never confirms.",
            Self::FocusLost => "Cancelled: this window lost the focus. Stay in it while you hold.",
            Self::Resized => "Cancelled: the screen changed its size.",
            Self::NotShown => "Cancelled: the prompt could not be shown. Make the window larger.",
            Self::Mouse => "Cancelled: the pointer was used. Keep it still while you hold.",
            Self::Continued => "Cancelled: the program had been stopped and goes on now.",
            Self::Signalled => "Cancelled: the system asked the program to stop.",
            Self::DrawFailed => "Cancelled: the screen could not be drawn.",
            Self::Overflow => "Cancelled: too much input at once; some was lost.",
            Self::NotLetGo => "Cancelled: not let go within 5 s. Is something lying on the key?",
            Self::RepeatWithoutPress => "Cancelled: a key was down already. Let go, then press.",
            Self::ReleaseTooSoon | Self::ReleasedTwice => {
                "Cancelled: this terminal does not tell truly when a key is let go. \
                 Another way is used now."
            }
            Self::NoRepeat => "Cancelled: no repeat came. Hold the key down, or press t to tap.",
            Self::Burst => "Cancelled: several presses came at once. Hold one key, or press t.",
            Self::Tapping => "Cancelled: that looks like tapping. Hold the key down, or press t.",
            Self::Uneven => "Cancelled: the repeats came unevenly. Try again, or press t to tap.",
            Self::WrongDigit => "Cancelled: that is not the number shown.",
            Self::DigitsTooFast => "Cancelled: the digits came too fast. Type them one by one.",
            Self::DigitsTooSlow => "Cancelled: the number was not typed in time.",
            Self::OtherKey { .. }
            | Self::Stalled(_)
            | Self::ClocksDisagree(_)
            | Self::ReleasedEarly(_)
            | Self::RepeatsStopped(_)
            | Self::FirstGap(_)
            | Self::Slow(_) => return None,
        })
    }

    /// The sentence with its figure.
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "`plain` lists every cause and has answered those without a figure"
    )]
    fn measured(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherKey { key, .. } => {
                write!(f, "Cancelled: another key ({}).", KeyName(*key))
            }
            Self::Stalled(gap) => write!(
                f,
                "Cancelled: the program stood still for {} ms. Try again.",
                whole_ms(*gap)
            ),
            Self::ClocksDisagree(by) => write!(
                f,
                "Cancelled: the computer's clocks disagree by {} ms.",
                whole_ms(*by)
            ),
            Self::ReleasedEarly(held) => write!(
                f,
                "Cancelled: let go after {:.1} s. Wait for NOW LET GO.",
                held.as_secs_f64()
            ),
            Self::RepeatsStopped(age) => write!(
                f,
                "Cancelled: nothing came from the key for {} ms. Try again.",
                whole_ms(*age)
            ),
            Self::FirstGap(gap) => write!(
                f,
                "Cancelled: the second press came after {} ms. Hold the key down, or press t.",
                whole_ms(*gap)
            ),
            Self::Slow(median) => write!(
                f,
                "Cancelled: a repeat only every {} ms. Hold the key down, or press t.",
                whole_ms(*median)
            ),
            _ => Ok(()),
        }
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.plain() {
            Some(text) => f.write_str(text),
            None => self.measured(f),
        }
    }
}

/// What went wrong with taps in turn; the count begins again, and nothing is
/// cancelled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// The same key twice.
    SameKey,
    /// The tap came too soon after the last.
    TooFast,
    /// The tap came too late after the last.
    TooSlow,
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::SameKey => "The same key twice. Begin again: F and J in turn.",
            Self::TooFast => "Too fast. Begin again, about two taps a second.",
            Self::TooSlow => "Too slow. Begin again, about two taps a second.",
        })
    }
}

/// A key's name for a sentence; characters that do not print are not echoed.
struct KeyName(Key);

impl fmt::Display for KeyName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = match self.0 {
            Key::Char(' ') => "Space",
            Key::Char(c) if c.is_ascii_graphic() || c.is_alphanumeric() => {
                return write!(f, "{c}");
            }
            Key::Char(_) | Key::Other => "one without a name here",
            Key::Enter => "Enter",
            Key::Tab | Key::BackTab => "Tab",
            Key::Esc => "Esc",
            Key::Backspace => "Backspace",
            Key::Delete => "Delete",
            Key::Left | Key::Right | Key::Up | Key::Down => "an arrow",
            Key::Home => "Home",
            Key::End => "End",
            Key::PageUp | Key::PageDown => "a page key",
        };
        f.write_str(name)
    }
}

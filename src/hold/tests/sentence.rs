//! What people read.

use std::collections::BTreeSet;

use super::script::ms;
use crate::hold::{Cause, Slip};
use crate::input::{Key, Modifiers};

fn every_cause() -> Vec<Cause> {
    let other = |key| Cause::OtherKey {
        key,
        modifiers: Modifiers::NONE,
    };
    vec![
        other(Key::Char('x')),
        Cause::Modified,
        Cause::Pasted,
        Cause::FocusLost,
        Cause::Resized,
        Cause::NotShown,
        Cause::Mouse,
        Cause::Continued,
        Cause::Signalled,
        Cause::DrawFailed,
        Cause::Stalled(ms(400)),
        Cause::ClocksDisagree(ms(700)),
        Cause::Overflow,
        Cause::NotLetGo,
        Cause::ReleasedEarly(ms(1400)),
        Cause::RepeatWithoutPress,
        Cause::ReleaseTooSoon,
        Cause::RepeatsStopped(ms(730)),
        Cause::FirstGap(ms(3)),
        Cause::NoRepeat,
        Cause::Burst,
        Cause::Slow(ms(460)),
        Cause::Tapping,
        Cause::Uneven,
        Cause::WrongDigit,
        Cause::DigitsTooFast,
        Cause::DigitsTooSlow,
    ]
}

#[test]
fn every_cause_has_its_own_sentence_of_one_line() {
    let sentences: Vec<String> = every_cause().iter().map(ToString::to_string).collect();
    for it in &sentences {
        assert!(
            it.starts_with("Cancelled: ") && it.ends_with(['.', '?']),
            "{it}"
        );
        assert!(it.len() <= 92, "{it}");
    }
    let different: BTreeSet<&String> = sentences.iter().collect();
    assert_eq!(different.len(), sentences.len());
    assert_eq!(
        Cause::ReleasedEarly(ms(1400)).to_string(),
        "Cancelled: let go after 1.4 s. Wait for NOW LET GO."
    );
}

#[test]
fn a_control_character_is_not_echoed() {
    for c in ['\u{1b}', '\u{7}', '\u{202e}', '\u{200b}', '\n'] {
        let cause = Cause::OtherKey {
            key: Key::Char(c),
            modifiers: Modifiers::NONE,
        };
        assert!(!cause.to_string().contains(c));
    }
}

#[test]
fn every_slip_says_to_begin_again() {
    for slip in [Slip::SameKey, Slip::TooFast, Slip::TooSlow] {
        assert!(slip.to_string().contains("Begin again"));
    }
}

//! What people read.

use std::collections::BTreeSet;

use super::script::{
    act, always_turns, caution, danger, held_with_release, letter, ms, proven, taps,
};
use crate::hold::{Cause, Phase, Slip};
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

/// What is shown, in the order in which it is shown, figures left out.
fn shown(run: &super::script::Play) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for view in &run.views {
        let text: String = view
            .text()
            .chars()
            .filter(|c| !c.is_ascii_digit())
            .collect();
        if texts.last() != Some(&text) {
            texts.push(text);
        }
    }
    texts
}

#[test]
fn a_hold_reads_from_beginning_to_end() {
    let run = act(
        &mut proven(),
        caution(),
        &held_with_release(2000, 2500, 500, 30),
        6000,
    );
    assert_eq!(
        shown(&run),
        [
            "Take your finger off Space first.",
            "Hold Space until NOW LET GO is shown.",
            "Keep holding.",
            "NOW LET GO",
            "Confirmed.",
        ]
    );
}

#[test]
fn taps_and_the_number_read_from_beginning_to_end() {
    let mut beats = taps(2000, &[300; 5]);
    for (n, c) in (0..).zip("471".chars()) {
        beats.push((ms(4000 + 300 * n), letter(c)));
    }
    let run = act(&mut always_turns(), danger(), &beats, 6000);
    assert_eq!(
        shown(&run),
        [
            "Take your fingers off F and J first.",
            "Tap F and J in turn, about two taps a second.",
            "Go on: F and J in turn.",
            "NOW LET GO",
            "Type the number :  of  digits.",
            "Confirmed.",
        ]
    );
    assert!(
        run.views
            .iter()
            .any(|it| it.text() == "Type the number 471: 2 of 3 digits.")
    );
}

#[test]
fn progress_never_goes_back_in_an_undisturbed_gesture() {
    for (mut session, beats) in [
        (proven(), held_with_release(2000, 2500, 500, 30)),
        (
            super::script::unproven(),
            super::script::held_plain(2000, 2500, 500, 30),
        ),
        (
            super::script::unproven(),
            super::script::held_plain(2000, 4900, 1000, 400),
        ),
        (always_turns(), taps(2000, &[300; 5])),
    ] {
        let run = act(&mut session, caution(), &beats, 9000);
        let bars: Vec<f64> = run
            .views
            .iter()
            .filter_map(|it| {
                let Phase::Holding { progress, .. } = it.phase else {
                    return None;
                };
                Some(progress)
            })
            .collect();
        assert!(bars.len() > 4);
        assert!(bars.is_sorted(), "{bars:?}");
        assert!(bars.iter().all(|it| (0.0..=1.0).contains(it)));
    }
}

#[test]
fn a_cancel_stays_readable_until_the_next_try() {
    let mut beats = vec![(ms(2000), letter('x'))];
    beats.extend(held_with_release(5000, 2500, 500, 30));
    let run = act(&mut proven(), caution(), &beats, 9000);
    let told: Vec<bool> = run
        .views
        .iter()
        .map(|it| it.last_cancel.is_some())
        .collect();
    let first = told.iter().position(|it| *it).unwrap();
    let last = told.iter().rposition(|it| *it).unwrap();
    assert!(told[first..=last].iter().all(|it| *it));
    assert!(matches!(run.views[last].phase, Phase::Armed));
    assert!(matches!(run.views[last + 1].phase, Phase::Holding { .. }));
}

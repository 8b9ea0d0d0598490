//! The trial of releases.

use super::script::{
    Beat, calibrate, danger, held_plain, held_with_release, later, letter, ms, play, space,
    unproven, with_ticks,
};
use crate::hold::{Cause, Release, Retry, Ruling, Session, Severity, Tier};
use crate::input::{Input, Press};

fn try_it(session: &mut Session, beats: &[Beat]) -> Option<Ruling> {
    calibrate(session, &with_ticks(beats, 12_000))
}

#[test]
fn a_press_three_repeats_and_one_release_prove_the_tier() {
    let mut session = unproven();
    // Repeats at 500, 530 and 560.
    let ruling = try_it(&mut session, &held_with_release(2000, 600, 500, 33)).unwrap();
    assert!(
        matches!(ruling, Ruling::Proven { repeats: 4, .. }),
        "{ruling:?}"
    );
    assert_eq!(session.release(), Release::Proven { repeats: true });
    assert_eq!(session.tier(Severity::Danger), Tier::Release);
}

#[test]
fn a_release_just_too_early_or_too_few_repeats_prove_nothing() {
    for (held, delay, period) in [(599, 250, 30), (700, 660, 30), (1300, 1000, 400)] {
        let mut session = unproven();
        let ruling = try_it(&mut session, &held_with_release(2000, held, delay, period));
        assert_eq!(ruling, Some(Ruling::Again(Retry::Short(ms(held)))));
        assert_eq!(session.release(), Release::Unknown);
        assert_eq!(session.tier(Severity::Danger), Tier::Turns);
    }
}

#[test]
fn three_failed_trials_end_the_trying() {
    let mut session = unproven();
    for n in 0..3 {
        assert!(session.wants_calibration());
        let inputs = with_ticks(&held_with_release(2000, 300, 500, 30), 6000);
        calibrate(&mut session, &later(&inputs, ms(n * 10_000)));
    }
    assert!(!session.wants_calibration());
    let inputs = with_ticks(&held_with_release(2000, 1500, 500, 30), 6000);
    calibrate(&mut session, &later(&inputs, ms(50_000)));
    assert_eq!(session.release(), Release::Refused);
}

#[test]
fn without_repeats_only_a_local_keyboard_is_trusted() {
    for (local, danger, caution) in [
        (true, Tier::Release, Tier::Release),
        (false, Tier::Turns, Tier::Turns),
    ] {
        let mut session = Session::new("plain", local);
        let ruling = try_it(&mut session, &held_with_release(2000, 1500, 9000, 30));
        assert_eq!(ruling, Some(Ruling::NoRepeats { held: ms(1500) }));
        assert_eq!(session.tier(Severity::Danger), danger);
        assert_eq!(session.tier(Severity::Caution), caution);
    }
}

#[test]
fn a_hold_without_repeats_commits_where_none_are_due() {
    let mut session = unproven();
    try_it(&mut session, &held_with_release(2000, 1500, 9000, 30));
    let beats = held_with_release(2000, 3000, 9000, 30);
    let run = play(&mut session, danger(), &with_ticks(&beats, 8000));
    assert_eq!(
        (run.evidence().tier, run.evidence().events),
        (Tier::Release, 2)
    );
    assert_eq!(run.evidence().median_interval, None);
}

#[test]
fn a_terminal_that_tells_no_release_is_not_proved() {
    for beats in [
        held_plain(2000, 2000, 500, 30),
        held_plain(2000, 10, 500, 30),
    ] {
        let mut session = unproven();
        assert_eq!(try_it(&mut session, &beats), Some(Ruling::NoRelease));
        assert_eq!(session.tier(Severity::Caution), Tier::Repeat);
        assert_eq!(session.tier(Severity::Danger), Tier::Turns);
    }
}

#[test]
fn a_made_up_release_and_phantom_pairs_prove_nothing() {
    let mut session = unproven();
    let beats = [(ms(2000), space(Press::Down)), (ms(2001), space(Press::Up))];
    let ruling = try_it(&mut session, &beats);
    assert_eq!(ruling, Some(Ruling::Untrue(Cause::ReleaseTooSoon)));
    assert_eq!(session.release(), Release::Refused);

    let pairs: Vec<_> = (0..30)
        .flat_map(|n| {
            [
                (ms(2000 + 100 * n), space(Press::Down)),
                (ms(2050 + 100 * n), space(Press::Up)),
            ]
        })
        .collect();
    let ruling = try_it(&mut unproven(), &pairs);
    assert_eq!(ruling, Some(Ruling::Again(Retry::Short(ms(50)))));
}

#[test]
fn a_disturbance_says_nothing_and_is_no_failed_trial() {
    let mut session = unproven();
    let inputs = [letter('x'), Input::FocusLost, Input::Paste(" ".to_owned())];
    for (n, input) in (0..).zip(inputs) {
        let mut beats = held_with_release(2000, 1500, 500, 30);
        beats.push((ms(3011), input));
        let inputs = later(&with_ticks(&beats, 6000), ms(n * 10_000));
        let ruling = calibrate(&mut session, &inputs);
        assert!(matches!(ruling, Some(Ruling::Again(Retry::Disturbed(_)))));
    }
    assert!(session.wants_calibration());
}

#[test]
fn a_key_held_before_the_trial_starts_nothing() {
    let mut beats = held_with_release(0, 3000, 500, 30);
    for (_, input) in &mut beats {
        if *input == space(Press::Repeat) {
            *input = space(Press::Down);
        }
    }
    assert_eq!(try_it(&mut unproven(), &beats), None);
}

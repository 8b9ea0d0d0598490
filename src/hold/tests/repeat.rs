//! Tier A.

use super::script::{act, caution, danger, held_plain, ms, play, space, unproven, with_ticks};
use crate::hold::{Cause, Outcome, Phase, Severity, Tier};
use crate::input::Press;

#[test]
fn a_hold_commits_when_the_repeats_fall_silent() {
    let inputs = with_ticks(&held_plain(2000, 2500, 660, 40), 8000);
    let run = play(&mut unproven(), caution(), &inputs);
    let (n, evidence) = run.commit().unwrap();
    // Repeats from 660 on every 40: the last at 2460; silence of 4 · 40.
    assert_eq!(inputs[n].at.mono, ms(2000 + 2460 + 190));
    assert_eq!(evidence.tier, Tier::Repeat);
    assert_eq!(evidence.held_ms(), 2460);
    assert_eq!(evidence.median_interval_ms(), Some(40));
    assert_eq!(evidence.events, 47);
}

#[test]
fn the_slowest_keyboard_needs_nine_repeats() {
    let inputs = with_ticks(&held_plain(2000, 4900, 1000, 400), 12_000);
    let run = play(&mut unproven(), caution(), &inputs);
    let full = run
        .views
        .iter()
        .position(|it| matches!(it.phase, Phase::LetGo { .. }))
        .unwrap();
    assert_eq!(inputs[full].at.mono, ms(2000 + 4200));
    assert!(run.commit().is_some());
}

#[test]
fn danger_is_never_committed_in_this_tier() {
    let run = act(
        &mut unproven(),
        danger(),
        &held_plain(2000, 6000, 500, 30),
        12_000,
    );
    assert!(run.commit().is_none());
    assert_eq!(run.views[0].tier, Tier::Turns);
}

#[test]
fn a_tap_alone_fails_when_no_repeat_follows() {
    let run = act(
        &mut unproven(),
        caution(),
        &held_plain(2000, 50, 500, 30),
        6000,
    );
    assert_eq!(run.causes(), [Cause::NoRepeat]);
}

#[test]
fn letting_go_early_cancels() {
    let run = act(
        &mut unproven(),
        caution(),
        &held_plain(2000, 1400, 500, 30),
        6000,
    );
    assert_eq!(run.causes(), [Cause::ReleasedEarly(ms(1370))]);
}

#[test]
fn three_presses_in_one_millisecond_cancel() {
    let beats = vec![(ms(2000), space(Press::Down)); 3];
    let run = act(&mut unproven(), caution(), &beats, 6000);
    assert_eq!(run.causes(), [Cause::FirstGap(ms(0))]);
}

#[test]
fn a_burst_in_the_middle_cancels() {
    let mut beats = held_plain(2000, 2500, 500, 30);
    for n in 1..=3 {
        beats.push((ms(2800 + n), space(Press::Down)));
    }
    let run = act(&mut unproven(), caution(), &beats, 8000);
    assert_eq!(run.causes(), [Cause::Burst]);
    assert!(run.commit().is_none());
}

#[test]
fn two_doubled_events_do_not_cancel() {
    let mut beats = held_plain(2000, 2500, 500, 40);
    beats.push((ms(2782), space(Press::Down)));
    beats.push((ms(2862), space(Press::Down)));
    assert!(
        act(&mut unproven(), caution(), &beats, 8000)
            .commit()
            .is_some()
    );
}

#[test]
fn even_tapping_lacks_the_long_first_gap() {
    let beats: Vec<_> = (0..30)
        .map(|n| (ms(2000 + n * 200), space(Press::Down)))
        .collect();
    let run = act(&mut unproven(), caution(), &beats, 9000);
    assert_eq!(run.causes(), [Cause::Tapping]);
}

#[test]
fn slow_and_uneven_repeats_are_named() {
    let slow: Vec<_> = std::iter::once(0)
        .chain((0..12).map(|n| 1100 + n * 460))
        .map(|at| (ms(2000 + at), space(Press::Down)))
        .collect();
    let run = act(&mut unproven(), caution(), &slow, 9000);
    assert_eq!(run.causes(), [Cause::Slow(ms(460))]);

    let mut at = 2500;
    let mut uneven = vec![(ms(2000), space(Press::Down)), (ms(at), space(Press::Down))];
    for n in 0..40 {
        at += if n % 2 == 0 { 20 } else { 60 };
        uneven.push((ms(at), space(Press::Down)));
    }
    let run = act(&mut unproven(), caution(), &uneven, 9000);
    assert_eq!(run.causes(), [Cause::Uneven]);
}

#[test]
fn a_few_long_gaps_among_even_ones_are_uneven_too() {
    // Every tenth gap is 140, the others 30: the median sees nothing, but the
    // deviation is 33 and the mean 41. Every fiftieth is 15 and 32.
    for (every, accepted) in [(10, false), (50, true)] {
        let mut at = 2500;
        let mut beats = vec![(ms(2000), space(Press::Down)), (ms(at), space(Press::Down))];
        for n in 1..100 {
            at += if n % every == 0 { 140 } else { 30 };
            beats.push((ms(at), space(Press::Down)));
        }
        let run = act(&mut unproven(), caution(), &beats, 9000);
        assert_eq!(run.commit().is_some(), accepted, "{every}");
        assert_eq!(run.causes() == [Cause::Uneven], !accepted);
    }
}

#[test]
fn a_pause_as_long_as_letting_go_ends_the_hold() {
    for (pause, accepted) in [(149, true), (150, false)] {
        let mut beats = held_plain(2000, 2800, 200, 30);
        for (at, _) in &mut beats {
            if *at > ms(2900) {
                *at += ms(pause - 30);
            }
        }
        let run = act(&mut unproven(), caution(), &beats, 9000);
        assert_eq!(run.commit().is_some(), accepted, "{pause}");
    }
}

#[test]
fn a_release_that_comes_unproved_still_says_that_the_key_is_up() {
    let mut beats = held_plain(2000, 2500, 500, 30);
    beats.push((ms(2900), space(Press::Up)));
    let run = act(&mut unproven(), caution(), &beats, 8000);
    assert!(run.commit().is_none());
    assert_eq!(run.causes(), [Cause::ReleasedEarly(ms(900))]);
}

#[test]
fn failing_twice_in_a_row_leads_to_two_keys_in_turn() {
    let mut session = unproven();
    let tap = held_plain(2000, 50, 500, 30);
    act(&mut session, caution(), &tap, 6000);
    assert_eq!(session.tier(Severity::Caution), Tier::Repeat);
    // A success between starts the count again.
    act(
        &mut session,
        caution(),
        &held_plain(2000, 2500, 500, 30),
        6000,
    );
    act(&mut session, caution(), &tap, 6000);
    assert_eq!(session.tier(Severity::Caution), Tier::Repeat);
    let run = act(&mut session, caution(), &tap, 6000);
    assert_eq!(session.tier(Severity::Caution), Tier::Turns);
    assert_eq!(run.views.last().unwrap().tier, Tier::Turns);
    assert!(matches!(run.outcomes[..], [(_, Outcome::Cancelled(_))]));
}

#[test]
fn an_object_on_the_key_never_commits() {
    let run = act(
        &mut unproven(),
        caution(),
        &held_plain(2000, 20_000, 500, 30),
        24_000,
    );
    assert!(run.commit().is_none());
    assert_eq!(run.causes(), [Cause::NotLetGo]);
}

/// Known and accepted: it looks like a hold, and is long and deliberate. This
/// is why danger is never confirmed in this tier.
#[test]
fn a_tap_a_pause_and_many_fast_even_taps_look_like_a_hold() {
    let run = act(
        &mut unproven(),
        caution(),
        &held_plain(2000, 2600, 500, 100),
        8000,
    );
    assert!(run.commit().is_some());
}

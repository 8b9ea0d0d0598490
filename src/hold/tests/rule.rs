//! The rules common to every tier.

use super::script::{
    Beat, act, always_turns, caution, held_plain, held_with_release, key, letter, ms, play, proven,
    space, stamp, taps, unproven, with_ticks,
};
use crate::hold::{Cause, Judge, Outcome, Phase, Prompt, Session, Severity, Tier, Wait};
use crate::input::{Input, Key, Modifiers, Press, Stamp, Stamped};

type Gesture = fn(u64) -> Vec<Beat>;

/// Every tier with a gesture that commits when nothing disturbs it.
fn tiers() -> [(Session, Gesture); 3] {
    [
        (proven(), |from| held_with_release(from, 2500, 500, 30)),
        (unproven(), |from| held_plain(from, 2500, 500, 30)),
        (always_turns(), |from| taps(from, &[400; 5])),
    ]
}

#[test]
fn every_gesture_here_commits_when_nothing_disturbs_it() {
    for (mut session, gesture) in tiers() {
        let run = act(&mut session, caution(), &gesture(2000), 8000);
        assert!(run.commit().is_some());
        assert!(run.causes().is_empty());
    }
}

#[test]
fn each_disturbance_cancels_in_every_tier_and_says_so() {
    let disturbances = [
        (letter('x'), None),
        (Input::press(Key::Esc), None),
        (Input::press(Key::Enter), None),
        (key(Key::Other, Press::Up), None),
        (Input::Paste("    ".to_owned()), Some(Cause::Pasted)),
        (Input::FocusLost, Some(Cause::FocusLost)),
        (Input::Resize { cols: 80, rows: 24 }, Some(Cause::Resized)),
        (Input::Mouse, Some(Cause::Mouse)),
        (Input::Continued, Some(Cause::Continued)),
        (Input::Suspend, Some(Cause::Signalled)),
        (Input::Interrupt, Some(Cause::Signalled)),
        (Input::Terminate, Some(Cause::Signalled)),
        (Input::HangUp, Some(Cause::Signalled)),
        (Input::Overflow, Some(Cause::Overflow)),
        (Input::DrawFailed, Some(Cause::DrawFailed)),
    ];
    for (input, cause) in disturbances {
        for (mut session, gesture) in tiers() {
            let mut beats = gesture(2000);
            beats.push((ms(3011), input.clone()));
            let run = act(&mut session, caution(), &beats, 8000);
            assert!(run.commit().is_none(), "{input:?}");
            let first = run.causes().remove(0);
            match &cause {
                Some(cause) => assert_eq!(first, *cause),
                None => assert!(matches!(first, Cause::OtherKey { .. }), "{first:?}"),
            }
        }
    }
}

#[test]
fn a_gain_of_focus_disturbs_nothing() {
    for (mut session, gesture) in tiers() {
        let mut beats = gesture(2000);
        beats.push((ms(3011), Input::FocusGained));
        assert!(
            act(&mut session, caution(), &beats, 8000)
                .commit()
                .is_some()
        );
    }
}

#[test]
fn arms_only_after_the_prompt_was_seen_and_the_key_was_silent() {
    for (mut session, gesture) in tiers() {
        // Silence counts from the opening at the earliest, and time passes by
        // ticks: 1200 is the first tick that arms.
        for (from, accepted) in [(1100, false), (1199, false), (1201, true)] {
            let run = act(&mut session, caution(), &gesture(from), 8000);
            assert_eq!(run.commit().is_some(), accepted, "{from}");
        }
    }
}

#[test]
fn a_prompt_that_is_drawn_late_arms_late() {
    let mut session = proven();
    let mut judge = Judge::new(&session, caution(), stamp(ms(0)));
    let mut armed = None;
    for it in with_ticks(&[], 5000) {
        judge.take(&mut session, &it);
        if it.at.mono >= ms(3000) {
            judge.drawn(it.at);
        }
        if armed.is_none() && judge.view().phase == Phase::Armed {
            armed = Some(it.at.mono);
        }
    }
    assert_eq!(armed, Some(ms(4000)));
}

#[test]
fn a_prompt_that_is_never_drawn_never_arms() {
    let mut session = proven();
    let mut judge = Judge::new(&session, caution(), stamp(ms(0)));
    for it in with_ticks(&held_with_release(2000, 2500, 500, 30), 9000) {
        assert_eq!(judge.take(&mut session, &it), None);
    }
    assert!(matches!(
        judge.view().phase,
        Phase::Waiting {
            why: Wait::NotDrawn,
            ..
        }
    ));
}

#[test]
fn a_key_held_before_the_prompt_opened_starts_nothing() {
    let mut session = unproven();
    let beats: Vec<_> = (0..200).map(|n| (ms(n * 33), space(Press::Down))).collect();
    let run = act(&mut session, caution(), &beats, 9000);
    assert!(run.outcomes.is_empty());
    // The slowest repeat, and a repeat that only begins after the opening.
    for (first, period) in [(300, 1100), (900, 33)] {
        let beats: Vec<_> = (0..6)
            .map(|n| (ms(first + n * period), space(Press::Repeat)))
            .collect();
        let run = act(&mut proven(), caution(), &beats, 6000);
        assert!(run.outcomes.is_empty());
    }
}

#[test]
fn the_release_of_the_key_that_opened_the_prompt_is_ignored() {
    let mut session = proven();
    let mut beats = vec![(ms(90), key(Key::Enter, Press::Up))];
    beats.extend(held_with_release(1300, 2500, 500, 30));
    assert!(
        act(&mut session, caution(), &beats, 8000)
            .commit()
            .is_some()
    );
}

#[test]
fn a_screen_that_cannot_show_the_prompt_cancels_once() {
    let mut session = proven();
    let mut judge = Judge::new(&session, caution(), stamp(ms(0)));
    assert_eq!(judge.hidden(&mut session), None, "not shown yet");
    judge.drawn(stamp(ms(0)));
    for it in with_ticks(&[], 1500) {
        judge.take(&mut session, &it);
    }
    assert_eq!(judge.view().phase, Phase::Armed);
    assert_eq!(
        judge.hidden(&mut session),
        Some(Outcome::Cancelled(Cause::NotShown))
    );
    assert_eq!(judge.hidden(&mut session), None);
}

#[test]
fn a_stall_cancels_whatever_comes_first_after_it() {
    for (mut session, gesture) in tiers() {
        let mut inputs = with_ticks(&gesture(2000), 8000);
        inputs
            .retain(|it| it.input != Input::Tick || it.at.mono < ms(2700) || it.at.mono > ms(2930));
        // 2650 to 2950 are 300 apart.
        let run = play(&mut session, caution(), &inputs);
        assert!(run.commit().is_none());
        assert!(matches!(run.causes()[0], Cause::Stalled(_)));
    }
}

#[test]
fn a_tick_gap_of_a_quarter_second_is_still_allowed() {
    let mut session = proven();
    let mut inputs = with_ticks(&held_with_release(2000, 2500, 500, 30), 8000);
    inputs.retain(|it| it.input != Input::Tick || it.at.mono.as_millis() % 250 == 0);
    assert!(play(&mut session, caution(), &inputs).commit().is_some());
}

#[test]
fn clocks_that_disagree_cancel_both_ways() {
    for (jump, cancels) in [(501, true), (-501, true), (490, false), (-490, false)] {
        for (mut session, gesture) in tiers() {
            let mut inputs = with_ticks(&gesture(2000), 8000);
            for it in &mut inputs {
                if it.at.mono > ms(2800) {
                    it.at.wall_ms += jump;
                }
            }
            let run = play(&mut session, caution(), &inputs);
            assert_eq!(run.commit().is_none(), cancels, "{jump}");
            if cancels {
                assert_eq!(run.causes()[0], Cause::ClocksDisagree(ms(501)));
            }
        }
    }
}

#[test]
fn a_sleep_that_only_the_wall_clock_saw_cancels() {
    let mut session = proven();
    let mut inputs = with_ticks(&held_with_release(2000, 2500, 500, 30), 8000);
    for it in &mut inputs {
        if it.at.mono > ms(2800) {
            it.at.wall_ms += 3_600_000;
        }
    }
    let run = play(&mut session, caution(), &inputs);
    assert_eq!(run.causes(), [Cause::ClocksDisagree(ms(3_600_000))]);
}

#[test]
fn a_steady_clock_that_goes_back_cancels() {
    let mut session = proven();
    let mut judge = Judge::new(&session, caution(), stamp(ms(5000)));
    let slightly = Stamped::new(Input::Tick, stamp(ms(4990)));
    assert_eq!(judge.take(&mut session, &slightly), None);
    let far = Stamped::new(Input::Tick, stamp(ms(4000)));
    assert_eq!(
        judge.take(&mut session, &far),
        Some(Outcome::Cancelled(Cause::ClocksDisagree(ms(1000))))
    );
}

#[test]
fn extreme_stamps_are_taken_without_a_panic() {
    let mut session = proven();
    let mut judge = Judge::new(&session, caution(), Stamp::default());
    for mono in [0, u64::MAX / 4, 1, u64::MAX / 2] {
        for wall in [i64::MIN, i64::MAX, 0] {
            for input in [Input::Tick, space(Press::Down), space(Press::Up)] {
                let it = Stamped::new(input, Stamp::from_millis(mono, wall));
                judge.drawn(it.at);
                judge.take(&mut session, &it);
                judge.view().text();
            }
        }
    }
}

#[test]
fn after_a_cancel_keys_are_swallowed_and_a_fresh_arm_is_needed() {
    let mut session = proven();
    let mut beats = vec![(ms(2000), letter('x')), (ms(2100), letter('y'))];
    beats.extend(held_with_release(3301, 2500, 500, 30));
    let run = act(&mut session, caution(), &beats, 9000);
    assert_eq!(run.causes().len(), 1, "the second key was thrown away");
    assert!(run.commit().is_some(), "1301 after the cancel");
    assert_eq!(run.evidence().cancels, 1);

    let mut early = vec![(ms(2000), letter('x'))];
    early.extend(held_with_release(3299, 2500, 500, 30));
    assert!(
        act(&mut proven(), caution(), &early, 9000)
            .commit()
            .is_none()
    );
}

#[test]
fn keys_are_swallowed_after_the_prompt_is_closed_and_signals_are_not() {
    for mut session in [proven(), unproven()] {
        let beats = [(ms(2000), Input::press(Key::Esc))];
        let run = act(&mut session, caution(), &beats, 2000);
        assert!(run.causes()[0].is_escape());
        let at = |n| stamp(ms(n));
        assert!(session.swallows(&Stamped::new(letter('x'), at(2299))));
        assert!(session.swallows(&Stamped::new(Input::Paste(String::new()), at(2010))));
        assert!(!session.swallows(&Stamped::new(Input::Terminate, at(2010))));
        assert!(!session.swallows(&Stamped::new(Input::Tick, at(2010))));
        assert!(!session.swallows(&Stamped::new(letter('x'), at(2300))));
    }
}

#[test]
fn the_next_prompt_throws_away_what_the_last_one_would_have() {
    let mut session = proven();
    let beats = [(ms(2000), letter('x'))];
    act(&mut session, caution(), &beats, 2000);
    let mut judge = Judge::new(&session, caution(), stamp(ms(2050)));
    judge.drawn(stamp(ms(2050)));
    let mut armed = None;
    for n in 0..40 {
        let now = stamp(ms(2050 + n * 50));
        assert_eq!(
            judge.take(&mut session, &Stamped::new(Input::Tick, now)),
            None
        );
        if n == 3 {
            assert_eq!(
                judge.take(&mut session, &Stamped::new(letter('x'), now)),
                None
            );
        }
        if armed.is_none() && judge.view().phase == Phase::Armed {
            armed = Some(now.mono);
        }
    }
    assert_eq!(armed, Some(ms(3300)));
}

#[test]
fn a_remote_terminal_is_drained_longer() {
    assert_eq!(Session::new("plain", true).drains_for(), ms(300));
    assert_eq!(Session::new("plain", false).drains_for(), ms(1500));
}

#[test]
fn after_a_commit_nothing_is_taken_any_more() {
    let mut session = proven();
    let mut beats = held_with_release(2000, 2000, 500, 30);
    beats.extend(held_with_release(6000, 2000, 500, 30));
    beats.push((ms(9000), letter('x')));
    let run = act(&mut session, caution(), &beats, 10_000);
    assert_eq!(run.outcomes.len(), 1);
    assert!(matches!(
        run.views.last().unwrap().phase,
        Phase::Committed(_)
    ));
}

#[test]
fn hammering_any_key_never_commits() {
    for gap in [5, 20, 90, 125, 200, 333] {
        for c in [' ', 'f', 'j', 't', 'x', '1'] {
            for (mut session, _) in tiers() {
                let beats: Vec<_> = (0..20_000 / gap)
                    .map(|n| (ms(2000 + n * gap), letter(c)))
                    .collect();
                let run = act(&mut session, caution(), &beats, 23_000);
                // In tier A hammering that begins with a long pause cannot be
                // told from a hold; without one it is never taken.
                assert!(run.commit().is_none(), "{c:?} every {gap}");
            }
        }
    }
}

#[test]
fn a_modified_hold_key_cancels() {
    for which in 0..4 {
        let modifiers = Modifiers {
            shift: which == 0,
            alt: which == 1,
            ctrl: which == 2,
            super_: which == 3,
        };
        for at in [2000, 2600] {
            for (mut session, _) in tiers().into_iter().take(2) {
                let mut beats = held_with_release(2000, 2500, 500, 30);
                for (when, input) in &mut beats {
                    if *when >= ms(at)
                        && let Input::Key { modifiers: it, .. } = input
                    {
                        *it = modifiers;
                    }
                }
                let run = act(&mut session, caution(), &beats, 8000);
                assert!(run.commit().is_none());
                assert_eq!(run.causes()[0], Cause::Modified);
            }
        }
    }
}

#[test]
fn an_author_may_ask_for_a_longer_hold() {
    let prompt = Prompt::new(Severity::Caution, Some(ms(4000)), 471);
    for (mut session, _) in tiers().into_iter().take(2) {
        for (held, accepted) in [(3900, false), (4600, true)] {
            let beats = if session.tier(Severity::Danger) == Tier::Release {
                held_with_release(2000, held, 500, 30)
            } else {
                held_plain(2000, held, 500, 30)
            };
            let run = act(&mut session, prompt, &beats, 9000);
            assert_eq!(run.commit().is_some(), accepted);
        }
    }
}

//! Tier R.

use super::script::{act, caution, danger, held_with_release, ms, play, proven, space, with_ticks};
use crate::hold::{Cause, Phase, Release, Severity, Tier};
use crate::input::Press;

#[test]
fn a_hold_commits_on_its_release() {
    for prompt in [caution(), danger()] {
        let mut session = proven();
        let inputs = with_ticks(&held_with_release(2000, 3000, 500, 30), 8000);
        let run = play(&mut session, prompt, &inputs);
        let (n, evidence) = run.commit().unwrap();
        assert_eq!(inputs[n].input, space(Press::Up));
        assert_eq!(evidence.tier, Tier::Release);
        assert_eq!(evidence.held_ms(), 3000);
        assert_eq!(evidence.median_interval_ms(), Some(30));
        // The press, repeats at 500, 530 … 2990, and the release.
        assert_eq!(evidence.events, 1 + 84 + 1);
        assert_eq!(evidence.terminal, "keen");
        assert_eq!((evidence.cancels, evidence.number_typed), (0, false));
        assert_eq!(run.outcomes.len(), 1);
    }
}

#[test]
fn now_let_go_is_shown_before_the_commit() {
    let mut session = proven();
    let inputs = with_ticks(&held_with_release(2000, 3000, 500, 30), 8000);
    let run = play(&mut session, caution(), &inputs);
    let shown = run
        .views
        .iter()
        .position(|it| matches!(it.phase, Phase::LetGo { .. }))
        .unwrap();
    assert_eq!(inputs[shown].at.mono, ms(3500));
    assert_eq!(run.views[shown].text(), "NOW LET GO");
    assert!(matches!(run.views[shown - 1].phase, Phase::Holding { .. }));
    assert!(shown < run.commit().unwrap().0);
}

#[test]
fn a_release_before_the_time_cancels() {
    for held in [1, 20, 400, 1400, 1499] {
        let mut session = proven();
        let run = act(
            &mut session,
            caution(),
            &held_with_release(2000, held, 500, 30),
            6000,
        );
        assert!(run.commit().is_none());
        if held > 8 {
            assert_eq!(run.causes(), [Cause::ReleasedEarly(ms(held))]);
        }
    }
}

#[test]
fn a_release_after_the_time_but_before_now_let_go_was_shown_cancels() {
    let mut session = proven();
    let run = act(
        &mut session,
        caution(),
        &held_with_release(2010, 1505, 500, 30),
        6000,
    );
    assert_eq!(run.causes(), [Cause::ReleasedEarly(ms(1505))]);
    assert!(run.commit().is_none());
}

#[test]
fn presses_while_down_count_as_repeats() {
    let mut beats = held_with_release(2000, 2000, 500, 33);
    for (_, input) in &mut beats {
        if *input == space(Press::Repeat) {
            *input = space(Press::Down);
        }
    }
    let mut session = proven();
    assert_eq!(
        act(&mut session, caution(), &beats, 6000).evidence().tier,
        Tier::Release
    );
}

#[test]
fn a_release_that_is_late_on_the_line_does_not_count_as_holding() {
    // Let go after 1000 ms; the release arrives 1200 ms late.
    let mut beats = held_with_release(2000, 1000, 500, 30);
    beats.last_mut().unwrap().0 = ms(4200);
    let mut session = proven();
    let run = act(&mut session, caution(), &beats, 8000);
    assert!(run.commit().is_none());
    assert!(matches!(run.causes()[..], [Cause::RepeatsStopped(_)]));
}

#[test]
fn a_hold_without_any_repeat_fails_where_repeats_were_proved() {
    let mut session = proven();
    let beats = [(ms(2000), space(Press::Down)), (ms(4000), space(Press::Up))];
    let run = act(&mut session, caution(), &beats, 8000);
    assert!(run.commit().is_none());
    assert_eq!(run.causes(), [Cause::RepeatsStopped(ms(1500))]);
}

#[test]
fn an_object_on_the_key_cancels_five_seconds_after_now_let_go() {
    let mut session = proven();
    let inputs = with_ticks(&held_with_release(2000, 20_000, 500, 30), 24_000);
    let run = play(&mut session, caution(), &inputs);
    assert!(run.commit().is_none());
    assert_eq!(run.causes(), [Cause::NotLetGo]);
    let (n, _) = run.outcomes[0];
    assert_eq!(inputs[n].at.mono, ms(2000 + 1500 + 5000 + 50));
}

#[test]
fn a_made_up_release_costs_the_tier_for_the_session() {
    let mut session = proven();
    let beats = [(ms(2000), space(Press::Down)), (ms(2008), space(Press::Up))];
    let run = act(&mut session, caution(), &beats, 4000);
    assert_eq!(run.causes(), [Cause::ReleaseTooSoon]);
    assert_eq!(session.release(), Release::Refused);
    assert_eq!(session.tier(Severity::Danger), Tier::Turns);
    assert_eq!(session.tier(Severity::Caution), Tier::Repeat);
    assert!(!session.wants_calibration());
}

#[test]
fn a_second_release_costs_the_tier_for_the_session() {
    let mut session = proven();
    let mut beats = held_with_release(2000, 1000, 500, 30);
    beats.push((ms(3100), space(Press::Up)));
    let run = act(&mut session, caution(), &beats, 4000);
    // The second came in the time when keys are thrown away, and was noted.
    assert_eq!(run.causes(), [Cause::ReleasedEarly(ms(1000))]);
    assert_eq!(session.release(), Release::Refused);
}

#[test]
fn phantom_pairs_of_an_odd_keyboard_never_commit() {
    let mut beats = Vec::new();
    for n in 0..40 {
        beats.push((ms(2000 + n * 100), space(Press::Down)));
        beats.push((ms(2050 + n * 100), space(Press::Up)));
    }
    let mut session = proven();
    let run = act(&mut session, caution(), &beats, 9000);
    assert!(run.commit().is_none());
    assert!(!run.causes().is_empty());
}

#[test]
fn a_repeat_without_a_press_starts_nothing() {
    let mut beats = held_with_release(2000, 2000, 500, 30);
    beats.remove(0);
    let mut session = proven();
    let run = act(&mut session, caution(), &beats, 6000);
    assert!(run.commit().is_none());
    assert_eq!(run.causes(), [Cause::RepeatWithoutPress]);
}

#[test]
fn a_lost_release_does_not_latch() {
    // The release is lost; the check on the last repeat ends the hold.
    let mut beats = held_with_release(2000, 800, 500, 30);
    beats.pop();
    let mut session = proven();
    let run = act(&mut session, caution(), &beats, 9000);
    assert!(run.commit().is_none());
    assert!(matches!(run.causes()[..], [Cause::RepeatsStopped(_)]));
}

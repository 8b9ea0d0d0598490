//! Tier T.

use super::script::{
    Beat, act, always_turns, caution, danger, key, letter, ms, play, proven, space, taps, unproven,
    with_ticks,
};
use crate::hold::{Cause, Outcome, Phase, Slip, Tier};
use crate::input::{Input, Key, Modifiers, Press};

fn slips(beats: &[Beat]) -> Vec<Slip> {
    let run = act(&mut always_turns(), caution(), beats, 9000);
    let mut seen = Vec::new();
    for view in run.views {
        if let Phase::Holding { slip: Some(it), .. } = view.phase
            && seen.last() != Some(&it)
        {
            seen.push(it);
        }
    }
    seen
}

#[test]
fn six_taps_in_turn_commit_once_the_keys_are_silent() {
    let inputs = with_ticks(&taps(2000, &[300; 5]), 8000);
    let run = play(&mut always_turns(), caution(), &inputs);
    let (n, evidence) = run.commit().unwrap();
    assert_eq!(inputs[n].at.mono, ms(2000 + 1500 + 300));
    assert_eq!(evidence.tier, Tier::Turns);
    assert_eq!((evidence.held_ms(), evidence.events), (1500, 6));
    assert_eq!(evidence.median_interval_ms(), Some(300));
    assert!(!evidence.number_typed);
}

#[test]
fn five_taps_are_too_few_and_six_quick_ones_too_short() {
    for gaps in [&[300; 4][..], &[200; 5][..]] {
        let run = act(&mut always_turns(), caution(), &taps(2000, gaps), 8000);
        assert!(run.commit().is_none());
    }
}

#[test]
fn a_quick_hand_goes_on_until_the_time_is_reached() {
    let run = act(&mut always_turns(), caution(), &taps(2000, &[200; 6]), 8000);
    assert_eq!(run.evidence().held_ms(), 1200);
    assert_eq!(run.evidence().events, 7);
}

#[test]
fn a_slip_starts_again_and_cancels_nothing() {
    let mut same = taps(2000, &[300; 3]);
    same.push((ms(3200), letter('j')));
    assert_eq!(slips(&same), [Slip::SameKey, Slip::TooSlow]);
    assert_eq!(slips(&taps(2000, &[300, 300, 100]))[0], Slip::TooFast);
    assert_eq!(slips(&taps(2000, &[300, 300, 1510])), [Slip::TooSlow]);

    let mut again = same;
    again.extend(taps(3500, &[300; 4]));
    let run = act(&mut always_turns(), caution(), &again, 9000);
    assert_eq!(
        run.evidence().events,
        6,
        "the tap that slipped counts as the first"
    );
    assert_eq!(run.evidence().cancels, 0);
}

#[test]
fn the_limits_of_a_gap_are_allowed_and_just_outside_is_not() {
    for (gap, accepted) in [(119, false), (120, true), (1500, true), (1501, false)] {
        let gaps = [gap, 400, 400, 400, 400];
        let run = act(&mut always_turns(), caution(), &taps(2000, &gaps), 12_000);
        assert_eq!(run.commit().is_some(), accepted, "{gap}");
    }
}

#[test]
fn a_held_key_and_a_paste_of_letters_never_commit() {
    let held: Vec<_> = (0..60).map(|n| (ms(2000 + n * 130), letter('f'))).collect();
    assert!(
        act(&mut always_turns(), caution(), &held, 12_000)
            .commit()
            .is_none()
    );
    for gap in [0, 5, 50] {
        let run = act(
            &mut always_turns(),
            caution(),
            &taps(2000, &[gap; 200]),
            14_000,
        );
        assert!(run.commit().is_none(), "{gap}");
    }
}

#[test]
fn caps_lock_does_not_matter_and_control_does() {
    let shift = Modifiers {
        shift: true,
        ..Modifiers::NONE
    };
    let ctrl = Modifiers {
        ctrl: true,
        ..Modifiers::NONE
    };
    let typed = |modifiers| -> Vec<Beat> {
        taps(2000, &[300; 5])
            .into_iter()
            .map(|(at, input)| {
                let Input::Key {
                    key: Key::Char(c),
                    phase,
                    ..
                } = input
                else {
                    panic!("taps are letters");
                };
                let key = Key::Char(c.to_ascii_uppercase());
                (
                    at,
                    Input::Key {
                        key,
                        modifiers,
                        phase,
                    },
                )
            })
            .collect()
    };
    let capital = act(&mut always_turns(), caution(), &typed(shift), 8000);
    assert!(capital.commit().is_some());
    let control = act(&mut always_turns(), caution(), &typed(ctrl), 8000);
    assert!(control.commit().is_none());
    assert_eq!(control.causes()[0], Cause::Modified);
}

#[test]
fn releases_of_the_tapped_keys_are_not_looked_at() {
    let mut beats = taps(2000, &[300; 5]);
    let ups: Vec<_> = beats
        .iter()
        .map(|(at, input)| {
            let Input::Key { key: it, .. } = input else {
                panic!("taps are letters");
            };
            (*at + ms(80), key(*it, Press::Up))
        })
        .collect();
    beats.extend(ups);
    let run = act(&mut always_turns(), caution(), &beats, 8000);
    assert_eq!(run.evidence().events, 6);
}

fn typed(digits: &str, from: u64, gap: u64) -> Vec<Beat> {
    digits
        .chars()
        .zip(0..)
        .map(|(c, n)| (ms(from + n * gap), letter(c)))
        .collect()
}

#[test]
fn danger_needs_the_number_too() {
    let mut beats = taps(2000, &[300; 5]);
    let run = act(&mut unproven(), danger(), &beats, 8000);
    assert!(run.commit().is_none());
    assert!(matches!(
        run.views.last().unwrap().phase,
        Phase::Typing {
            number: 471,
            typed: 0
        }
    ));
    beats.extend(typed("471", 4500, 200));
    let run = act(&mut unproven(), danger(), &beats, 8000);
    assert!(run.evidence().number_typed);
    assert_eq!(run.evidence().tier, Tier::Turns);
}

#[test]
fn a_wrong_pasted_hurried_or_forgotten_number_cancels() {
    let with = |more: Vec<Beat>| {
        let mut beats = taps(2000, &[300; 5]);
        beats.extend(more);
        let run = act(&mut unproven(), danger(), &beats, 25_000);
        assert!(run.commit().is_none());
        run.causes()
    };
    assert_eq!(with(typed("472", 4500, 200)), [Cause::WrongDigit]);
    assert_eq!(with(typed("471", 4500, 5))[0], Cause::DigitsTooFast);
    assert_eq!(
        with(vec![(ms(4500), Input::Paste("471".to_owned()))]),
        [Cause::Pasted]
    );
    assert_eq!(with(Vec::new()), [Cause::DigitsTooSlow]);
    assert!(matches!(
        with(vec![(ms(4500), Input::press(Key::Enter))])[..],
        [Cause::OtherKey {
            key: Key::Enter,
            ..
        }]
    ));
}

#[test]
fn t_chooses_this_way_and_is_no_cancel() {
    for mut session in [unproven(), proven()] {
        for chosen_at in [500, 1700, 2300] {
            let mut beats = vec![(ms(chosen_at), letter('t'))];
            if chosen_at == 2300 {
                beats.insert(0, (ms(2000), space(Press::Down)));
            }
            beats.extend(taps(4500, &[300; 5]));
            let run = act(&mut session, caution(), &beats, 9000);
            assert_eq!(run.outcomes[0].1, Outcome::TurnsChosen);
            assert_eq!(run.evidence().tier, Tier::Turns);
            assert_eq!(run.evidence().cancels, 0);
        }
    }
}

#[test]
fn the_choice_lasts_for_the_prompt_and_needs_a_fresh_arm() {
    let mut session = unproven();
    let mut beats = vec![(ms(2000), letter('T')), (ms(2600), letter('t'))];
    beats.extend(taps(3000, &[300; 5]));
    let run = act(&mut session, caution(), &beats, 6000);
    assert!(run.commit().is_none(), "tapped 1 s after the choice");
    let next = act(&mut session, caution(), &[], 1000);
    assert_eq!(next.views[0].tier, Tier::Repeat);
    assert!(next.views[0].offers_turns);
}

#[test]
fn the_setting_forces_this_way() {
    let mut session = proven();
    session.set_always_turns(true);
    assert!(!session.wants_calibration());
    let run = act(&mut session, caution(), &taps(2000, &[300; 5]), 6000);
    assert_eq!(run.evidence().tier, Tier::Turns);
}

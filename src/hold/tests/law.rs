//! No commit unless the rules held, whatever comes.

use proptest::prelude::*;
use proptest::strategy::ValueTree;

use super::lawful::{Claim, Past, is_lawful};
use super::script::{
    Beat, always_turns, calibrate, cases, held_plain, held_with_release, letter, ms, play, proven,
    space, taps, unproven, with_ticks,
};
use crate::hold::{Prompt, Release, Session, Severity};
use crate::input::{Input, Key, Modifiers, Press, Stamped};

#[derive(Debug, Clone, Copy)]
enum Who {
    Proven,
    NoRepeats,
    Unproven,
    Turns,
}

fn session(who: Who) -> Session {
    match who {
        Who::Proven => proven(),
        Who::NoRepeats => {
            let mut session = unproven();
            let beats = held_with_release(2000, 1500, 9000, 30);
            calibrate(&mut session, &with_ticks(&beats, 4000));
            session
        }
        Who::Unproven => unproven(),
        Who::Turns => always_turns(),
    }
}

/// Changes to a list of inputs.
#[derive(Debug, Clone)]
enum Change {
    Insert(u64, Input),
    Delete(prop::sample::Index),
    Shift(prop::sample::Index, i64),
    NoTicks(u64, u64),
    Flush(u64, u64),
    Lose(u64, u64),
    Burst(u64, u64, u64),
    WallJump(u64, i64),
}

fn any_input() -> impl Strategy<Value = Input> {
    let modifiers =
        (any::<bool>(), any::<bool>(), any::<bool>()).prop_map(|(shift, alt, ctrl)| Modifiers {
            shift,
            alt,
            ctrl,
            super_: false,
        });
    let modifiers = prop_oneof![4 => Just(Modifiers::NONE), 1 => modifiers];
    let key = prop_oneof![
        6 => prop::sample::select(vec![' ', ' ', 'f', 'j', 'F', 't', '4', '7', '1', 'x'])
            .prop_map(Key::Char),
        1 => prop::sample::select(vec![Key::Esc, Key::Enter, Key::Other]),
    ];
    let phase = prop::sample::select(vec![Press::Down, Press::Repeat, Press::Up]);
    let keyed = (key, modifiers, phase).prop_map(|(key, modifiers, phase)| Input::Key {
        key,
        modifiers,
        phase,
    });
    let other = prop::sample::select(vec![
        Input::Paste(" ".to_owned()),
        Input::FocusGained,
        Input::FocusLost,
        Input::Resize { cols: 80, rows: 24 },
        Input::Mouse,
        Input::Continued,
        Input::Overflow,
        Input::DrawFailed,
        Input::Suspend,
    ]);
    prop_oneof![4 => keyed, 1 => other]
}

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        4 => (0..9000_u64, any_input()).prop_map(|(at, it)| Change::Insert(at, it)),
        2 => any::<prop::sample::Index>().prop_map(Change::Delete),
        2 => (any::<prop::sample::Index>(), -400..400_i64).prop_map(|(n, by)| Change::Shift(n, by)),
        1 => (0..9000_u64, 100..700_u64).prop_map(|(at, long)| Change::NoTicks(at, long)),
        1 => (0..9000_u64, 50..1500_u64).prop_map(|(at, long)| Change::Flush(at, long)),
        1 => (2000..5000_u64, 100..900_u64).prop_map(|(at, long)| Change::Lose(at, long)),
        1 => (2000..5000_u64, 2..6_u64, 0..12_u64)
            .prop_map(|(at, count, gap)| Change::Burst(at, count, gap)),
        1 => (0..9000_u64, -900..900_i64).prop_map(|(at, by)| Change::WallJump(at, by)),
    ]
}

fn gesture() -> impl Strategy<Value = Vec<Beat>> {
    let from = 900..2600_u64;
    let held = (from.clone(), 1200..4500_u64, 140..1200_u64, 20..300_u64);
    let digits = prop_oneof![3 => Just("471"), 1 => Just("417"), 1 => Just("47")];
    prop_oneof![
        held.clone()
            .prop_map(|(from, held, delay, period)| held_with_release(from, held, delay, period)),
        held.prop_map(|(from, held, delay, period)| held_plain(from, held, delay, period)),
        (
            from,
            prop::collection::vec(110..600_u64, 4..9),
            digits,
            20..400_u64
        )
            .prop_map(|(from, gaps, digits, gap)| {
                let mut beats = taps(from, &gaps);
                let mut at = from + gaps.iter().sum::<u64>() + 360;
                for c in digits.chars() {
                    at += gap;
                    beats.push((ms(at), letter(c)));
                }
                beats
            }),
        from_taps(),
        uneven(),
        overlong(),
        prop::collection::vec((0..9000_u64, any_input()), 0..40)
            .prop_map(|all| all.into_iter().map(|(at, it)| (ms(at), it)).collect()),
    ]
}

/// A hold whose repeats come at odd gaps.
fn uneven() -> impl Strategy<Value = Vec<Beat>> {
    let even = 20..120_u64;
    let spread = 0..90_u64;
    let odd = prop::collection::vec(0..1000_u64, 40..90);
    (1300..2600_u64, 140..1100_u64, even, spread, odd).prop_map(
        |(from, first, even, spread, odd)| {
            let mut at = from + first;
            let mut beats = vec![(ms(from), space(Press::Down)), (ms(at), space(Press::Down))];
            for part in odd {
                at += even + spread * part / 1000;
                beats.push((ms(at), space(Press::Down)));
            }
            beats.retain(|(at, _)| *at < ms(from + 3500));
            beats
        },
    )
}

/// A hold that may last longer than anyone holds a key.
fn overlong() -> impl Strategy<Value = Vec<Beat>> {
    (1300..1500_u64, 5500..8300_u64, any::<bool>()).prop_map(|(from, held, released)| {
        if released {
            held_with_release(from, held, 500, 60)
        } else {
            held_plain(from, held, 500, 60)
        }
    })
}

fn from_taps() -> impl Strategy<Value = Vec<Beat>> {
    (900..2600_u64, prop::collection::vec(110..600_u64, 4..9))
        .prop_map(|(from, gaps)| taps(from, &gaps))
}

fn changed(mut beats: Vec<Beat>, changes: &[Change]) -> Vec<Stamped> {
    for change in changes {
        match change {
            Change::Insert(at, input) => beats.push((ms(*at), input.clone())),
            Change::Delete(n) if !beats.is_empty() => {
                let n = n.index(beats.len());
                beats.remove(n);
            }
            Change::Shift(n, by) if !beats.is_empty() => {
                let n = n.index(beats.len());
                let by = ms(by.unsigned_abs());
                let at = &mut beats[n].0;
                *at = at.saturating_sub(by).max(*at / 2);
            }
            // A stalled line: what comes in this time comes at its end.
            Change::Flush(from, long) => {
                for (at, _) in &mut beats {
                    if *at >= ms(*from) && *at < ms(from + long) {
                        *at = ms(from + long);
                    }
                }
            }
            // The keyboard's repeats, not its releases, are lost for a while.
            Change::Lose(from, long) => beats.retain(|(at, input)| {
                *at < ms(*from) || *at > ms(from + long) || *input == space(Press::Up)
            }),
            Change::Burst(from, count, gap) => {
                beats.extend((0..*count).map(|n| (ms(from + n * gap), space(Press::Down))));
            }
            Change::Delete(_) | Change::Shift(..) | Change::NoTicks(..) | Change::WallJump(..) => {}
        }
    }
    let mut inputs = with_ticks(&beats, 10_000);
    for change in changes {
        match *change {
            Change::NoTicks(from, long) => inputs.retain(|it| {
                it.input != Input::Tick || it.at.mono < ms(from) || it.at.mono > ms(from + long)
            }),
            Change::WallJump(from, by) => {
                for it in inputs.iter_mut().filter(|it| it.at.mono > ms(from)) {
                    it.at.wall_ms += by;
                }
            }
            Change::Insert(..)
            | Change::Delete(_)
            | Change::Shift(..)
            | Change::Flush(..)
            | Change::Lose(..)
            | Change::Burst(..) => {}
        }
    }
    inputs
}

fn prompt(danger: bool, hold: u64) -> Prompt {
    let severity = if danger {
        Severity::Danger
    } else {
        Severity::Caution
    };
    Prompt::new(severity, Some(ms(hold)), 471)
}

/// Plays, and has any commit confirmed by the second judge.
fn confirmed(who: Who, prompt: Prompt, inputs: &[Stamped]) -> Result<bool, TestCaseError> {
    let mut session = session(who);
    let run = play(&mut session, prompt, inputs);
    let Some((n, evidence)) = run.commit() else {
        return Ok(false);
    };
    let claim = Claim {
        tier: evidence.tier,
        danger: prompt.severity() == Severity::Danger,
        hold_ms: prompt.hold().as_secs_f64() * 1000.0,
        number: 471,
        repeats_due: session.release() == Release::Proven { repeats: true },
    };
    prop_assert!(
        is_lawful(&Past(&inputs[..=n]), &claim),
        "committed without cause: {evidence:?}"
    );
    Ok(true)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: cases(6000),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_commit_unless_the_rules_held(
        who in prop::sample::select(vec![Who::Proven, Who::NoRepeats, Who::Unproven, Who::Turns]),
        danger in any::<bool>(),
        hold in 1000..3000_u64,
        beats in gesture(),
        changes in prop::collection::vec(change(), 0..4),
    ) {
        confirmed(who, prompt(danger, hold), &changed(beats, &changes))?;
    }
}

/// The property above would be idle if nothing ever committed.
#[test]
fn the_law_is_tried_on_lists_that_do_commit() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut commits = 0;
    for _ in 0..400 {
        let value = (gesture(), prop::collection::vec(change(), 0..2))
            .new_tree(&mut runner)
            .unwrap()
            .current();
        let inputs = changed(value.0, &value.1);
        for who in [Who::Proven, Who::Unproven, Who::Turns] {
            commits += u32::from(confirmed(who, prompt(false, 1500), &inputs).unwrap());
        }
    }
    assert!(commits > 120, "{commits} of 1200");
}

#[test]
fn a_stalled_line_that_lets_loose_never_commits() {
    for from in (2000..3600).step_by(70) {
        for long in [400, 1000, 1900] {
            for held in [600, 1000, 1450] {
                let beats = held_plain(2000, held, 500, 33);
                let inputs = changed(beats, &[Change::Flush(from, long)]);
                assert!(!confirmed(Who::Unproven, prompt(false, 1500), &inputs).unwrap());
            }
        }
    }
    let late = vec![(ms(9000), space(Press::Down))];
    assert!(!confirmed(Who::Unproven, prompt(false, 1500), &changed(late, &[])).unwrap());
}

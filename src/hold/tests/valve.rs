//! The live valve of the simulation.

use std::time::Duration;

use super::script::{
    Beat, always_turns, held_plain, held_with_release, letter, ms, proven, space, stamp, unproven,
    with_ticks,
};
use crate::hold::{Session, Valve};
use crate::input::{Input, Key, Press};

/// The spans, by ticks of 50 ms and by the beats, in which the valve is open.
fn spans(session: &Session, key: Key, beats: &[Beat], until: u64) -> Vec<(u64, u64)> {
    let mut valve = Valve::new(session, key, stamp(Duration::ZERO));
    let mut spans = Vec::new();
    let mut since = None;
    for it in with_ticks(beats, until) {
        let now = u64::try_from(it.at.mono.as_millis()).unwrap();
        match (valve.take(&it), since) {
            (true, None) => since = Some(now),
            (false, Some(from)) => {
                spans.push((from, now));
                since = None;
            }
            _ => {}
        }
    }
    assert_eq!(since, None, "left open at the end");
    spans
}

const SPACE: Key = Key::Char(' ');

#[test]
fn without_releases_it_shuts_and_opens_again_at_the_first_repeat() {
    let beats = held_plain(2000, 1500, 660, 40);
    // The last repeat is at 3460; 4 · 40 is 160, and the next tick 3650.
    assert_eq!(
        spans(&unproven(), SPACE, &beats, 6000),
        [(2000, 2500), (2660, 3650)]
    );
}

#[test]
fn a_tap_opens_for_half_a_second() {
    let beats = [(ms(2000), space(Press::Down))];
    assert_eq!(spans(&unproven(), SPACE, &beats, 6000), [(2000, 2500)]);
}

#[test]
fn with_releases_it_shuts_at_the_release() {
    let beats = held_with_release(2000, 1510, 660, 40);
    assert_eq!(spans(&proven(), SPACE, &beats, 6000), [(2000, 3510)]);
}

#[test]
fn with_releases_it_still_shuts_when_the_repeats_stop() {
    let mut beats = held_with_release(2000, 1510, 660, 40);
    beats.pop();
    assert_eq!(spans(&proven(), SPACE, &beats, 8000), [(2000, 3700)]);
}

#[test]
fn two_keys_in_turn_open_it_tap_by_tap() {
    let beats = [
        (ms(2000), letter('f')),
        (ms(2200), letter('f')),
        (ms(2900), letter('f')),
    ];
    assert_eq!(
        spans(&always_turns(), Key::Char('f'), &beats, 6000),
        [(2000, 2500), (2900, 3200)]
    );
}

#[test]
fn whatever_cancels_a_hold_shuts_it_and_repeats_do_not_open_it_again() {
    for input in [
        letter('x'),
        Input::FocusLost,
        Input::Paste(" ".to_owned()),
        Input::Continued,
        Input::Overflow,
        Input::Resize { cols: 10, rows: 10 },
    ] {
        for (session, mut beats) in [
            (unproven(), held_plain(2000, 3000, 300, 40)),
            (proven(), held_with_release(2000, 3000, 300, 40)),
        ] {
            beats.push((ms(2951), input.clone()));
            assert_eq!(
                spans(&session, SPACE, &beats, 9000),
                [(2000, 2951)],
                "{input:?}"
            );
        }
    }
}

#[test]
fn a_key_held_before_it_existed_opens_nothing() {
    assert_eq!(
        spans(&unproven(), SPACE, &held_plain(0, 4000, 500, 40), 9000),
        []
    );
}

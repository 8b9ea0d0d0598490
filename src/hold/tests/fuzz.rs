//! No single key, and no modified key, confirms anything.

use super::script::{act, always_turns, caution, danger, ms, proven, unproven};
use crate::input::{Input, Key, Modifiers, Press};

fn every_key() -> Vec<Key> {
    let mut keys: Vec<Key> = (0..0x250)
        .filter_map(char::from_u32)
        .map(Key::Char)
        .collect();
    keys.extend([
        Key::Enter,
        Key::Tab,
        Key::BackTab,
        Key::Esc,
        Key::Backspace,
        Key::Delete,
        Key::Left,
        Key::Right,
        Key::Up,
        Key::Down,
        Key::Home,
        Key::End,
        Key::PageUp,
        Key::PageDown,
        Key::Other,
    ]);
    keys
}

fn every_modifier() -> impl Iterator<Item = Modifiers> {
    (0..16).map(|bits| Modifiers {
        shift: bits & 1 != 0,
        alt: bits & 2 != 0,
        ctrl: bits & 4 != 0,
        super_: bits & 8 != 0,
    })
}

#[test]
fn no_single_or_modified_key_confirms_by_a_press_alone() {
    for mut session in [proven(), unproven(), always_turns()] {
        for prompt in [caution(), danger()] {
            for key in every_key() {
                for modifiers in every_modifier() {
                    let beat = |at, phase| {
                        let input = Input::Key {
                            key,
                            modifiers,
                            phase,
                        };
                        (ms(at), input)
                    };
                    let beats = [beat(1300, Press::Down), beat(1400, Press::Up)];
                    let run = act(&mut session, prompt, &beats, 1900);
                    assert!(run.commit().is_none(), "{key:?} {modifiers:?}");
                }
            }
        }
    }
}

#[test]
fn no_key_but_the_plain_hold_key_confirms_by_being_held() {
    for (mut session, released) in [(proven(), true), (unproven(), false)] {
        for key in every_key() {
            for modifiers in every_modifier() {
                let mut beats: Vec<_> = std::iter::once(0)
                    .chain((0..60).map(|n| 500 + n * 30))
                    .map(|at| {
                        let phase = Press::Down;
                        (
                            ms(1300 + at),
                            Input::Key {
                                key,
                                modifiers,
                                phase,
                            },
                        )
                    })
                    .collect();
                if released {
                    let phase = Press::Up;
                    beats.push((
                        ms(3700),
                        Input::Key {
                            key,
                            modifiers,
                            phase,
                        },
                    ));
                }
                let run = act(&mut session, caution(), &beats, 4500);
                let plain = key == Key::Char(' ') && modifiers.is_none();
                assert_eq!(run.commit().is_some(), plain, "{key:?} {modifiers:?}");
            }
        }
    }
}

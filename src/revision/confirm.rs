//! How a step is confirmed: holds, waits, presses.

use super::Changes;
use super::limit::side;
use crate::procedure::{Confirm, Side, Signal};

/// Compares how one step is confirmed; the step by its id and its title.
pub(super) fn compare(
    (id, title): (&str, &str),
    was: &Confirm,
    is: &Confirm,
    changes: &mut Changes,
) {
    let name = |what: &str| format!("{what}:{id}");
    match (was, is) {
        (a, b) if a == b => {}
        (
            Confirm::Hold { signal: level, for_ms: long },
            Confirm::Hold { signal: new_level, for_ms: now_long },
        ) => {
            if level != new_level {
                let words = |s: &Signal| s.word().to_lowercase();
                changes.either(
                    new_level < level,
                    name("hold_level"),
                    format!("{title} asks for the hold of a {} now; it was that of a {}.", words(new_level), words(level)),
                );
            }
            if long != now_long {
                changes.either(
                    now_long < long,
                    name("hold_time"),
                    format!("{title} asks for a hold of {} now; it was {}.", seconds(*now_long), seconds(*long)),
                );
            }
        }
        (
            Confirm::Wait { at_least, at_most },
            Confirm::Wait { at_least: now_least, at_most: now_most },
        ) => {
            if at_least != now_least {
                changes.either(
                    !grew(at_least, now_least),
                    name("wait"),
                    format!("{title} waits for at least {} now; it was {}.", side(now_least), side(at_least)),
                );
            }
            if at_most != now_most {
                let less = at_most.as_ref().is_some_and(|was| {
                    now_most.as_ref().is_none_or(|is| !grew(is, was))
                });
                let most = |s: &Option<_>| s.as_ref().map_or_else(|| "as long as one likes".to_owned(), |s| format!("at most {}", side(s)));
                changes.either(less, name("wait_most"), format!("{title} waits {} now; it was {}.", most(now_most), most(at_most)));
            }
        }
        (
            Confirm::Pulse { within, presses },
            Confirm::Pulse { within: now_within, presses: now_presses },
        ) => changes.either(
            now_presses < presses || (within != now_within && !grew(now_within, within)),
            name("pulse"),
            format!(
                "{title} asks for {now_presses} presses now, each within {}; it was {presses}, each within {}.",
                side(now_within),
                side(within)
            ),
        ),
        (was, is) => {
            let less = weight(is) < weight(was) || weight(was) == 2;
            let what = if matches!(was, Confirm::Hold { .. }) { "hold" } else { "confirm" };
            changes.either(
                less,
                name(what),
                format!("{title} is confirmed by {} now; it was {}.", confirmed(is), confirmed(was)),
            );
        }
    }
}

/// Whether a time surely did not get shorter.
fn grew(was: &Side, is: &Side) -> bool {
    use Side::Literal;
    match (was, is) {
        (Literal(was), Literal(is)) => is.si() >= was.si(),
        (was, is) => was == is,
    }
}

const fn weight(confirm: &Confirm) -> u8 {
    match confirm {
        Confirm::None => 0,
        Confirm::Enter => 1,
        Confirm::Hold { .. } | Confirm::Pulse { .. } | Confirm::Wait { .. } => 2,
    }
}

fn confirmed(confirm: &Confirm) -> String {
    match confirm {
        Confirm::None => "nothing".to_owned(),
        Confirm::Enter => "Enter".to_owned(),
        Confirm::Hold { signal, for_ms } => {
            format!(
                "the hold of a {} for {}",
                signal.word().to_lowercase(),
                seconds(*for_ms)
            )
        }
        Confirm::Pulse { presses, within } => {
            format!("{presses} presses, each within {}", side(within))
        }
        Confirm::Wait { at_least, .. } => format!("a wait of at least {}", side(at_least)),
    }
}

fn seconds(ms: u32) -> String {
    format!("{} s", f64::from(ms) / 1000.0)
}

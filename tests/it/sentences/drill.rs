//! What is said at the practice truck: refusals, lines of a script that are none, and
//! the unsafe acts with their whys.

use levelhand::drill::Act;
use levelhand::rig::{Deed, Hand, Refused, Side, VERBS};

/// One of each variant; of those that carry words, each kind of words.
pub(super) fn refused() -> Vec<Refused> {
    vec![
        Refused::GapTooLow {
            side: Side::Left,
            gap_mm: 187.6,
            needed_mm: 192.0,
        },
        Refused::BlockCarries { side: Side::Right },
        Refused::StandCarries { side: Side::Left },
        Refused::Hidden { side: Side::Right },
        Refused::Already {
            what: "the block is in",
        },
        Refused::Already {
            what: "levelling is stopped",
        },
        Refused::Needs {
            what: "turn the ignition on",
        },
        Refused::Needs {
            what: "take the block out: the seat is under it",
        },
        Refused::Needs {
            what: "find out why no air comes: the main cock of the line is shut",
        },
        Refused::Nothing { what: "block" },
        Refused::Nothing {
            what: "hose in that gap",
        },
        Refused::Nothing {
            what: "write-out to press for",
        },
        Refused::NotHere,
        Refused::UnknownFault {
            name: "left_bellow_leaks".to_owned(),
        },
        Refused::InOrder {
            what: "left_fitting_leaks".to_owned(),
        },
    ]
}

/// Lines that no script may hold, one for each verb with words that do not fit.
pub(super) fn bad_hands() -> Vec<(String, String)> {
    let verbs = VERBS.iter().map(|(verb, _)| format!("{verb} side ways"));
    let mut lines: Vec<(String, String)> = verbs
        .chain(["jump".to_owned(), String::new()])
        .map(|line| {
            let bad = Hand::parse(&line).unwrap_err();
            (format!("BadHand ({line:?})"), bad.to_string())
        })
        .collect();
    let timed = Deed::parse("raise for a while").unwrap_err();
    lines.push((
        "BadHand (\"raise for a while\", in a drill)".to_owned(),
        timed.to_string(),
    ));
    lines
}

/// Each act as an alarm says it.
pub(super) fn acts() -> Vec<(String, String)> {
    let acts = Act::ALL.iter();
    acts.map(|act| {
        let says = format!(
            "{}: {} {}",
            act.seriousness().word(),
            act.title(),
            act.why()
        );
        (act.key().to_owned(), says)
    })
    .collect()
}

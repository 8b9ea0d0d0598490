//! The two answers of a tick are given by two keys: the first letter of the word, or
//! y and n where that letter is taken. A good answer never begins as *no*, nor a bad
//! one as *yes*.

use crate::document::code::ANSWERS_ALIKE;
use crate::finding::{Finding, Subject};
use crate::procedure::{Procedure, Step, Tick};

/// Ticks whose answers would be taken one for the other.
pub(super) fn answers_alike(procedure: &Procedure) -> Vec<Finding> {
    let ticks = procedure
        .steps
        .iter()
        .flat_map(|step| step.ticks.iter().map(move |tick| (step, tick)));
    ticks
        .filter_map(|(step, tick)| Some(finding(step, tick, clash(tick.keys())?)))
        .collect()
}

/// What is wrong with the keys of two answers, if anything is.
fn clash((good, bad): (char, char)) -> Option<&'static str> {
    if good == bad {
        Some("one key gives both answers")
    } else if good == 'n' {
        Some("the good answer is given by n, the key for a bad one")
    } else if bad == 'y' {
        Some("the bad answer is given by y, the key for a good one")
    } else {
        None
    }
}

fn finding(step: &Step, tick: &Tick, what: &str) -> Finding {
    let sentence = format!(
        "{what}: \"{}\" is good and \"{}\" is bad here",
        tick.yes, tick.no
    );
    let subject = Subject::tick(&step.id, &tick.id).field("yes");
    Finding::error(ANSWERS_ALIKE, subject, sentence)
        .help("an answer is given by its first letter, or y and n where that is d or q: take two words that begin differently")
}

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
        .filter_map(|(step, tick)| Some(finding(step, tick, clash(&tick.yes, &tick.no)?)))
        .collect()
}

/// What is wrong with two answers, if anything is.
fn clash(good: &str, bad: &str) -> Option<&'static str> {
    let first = |word: &str| word.chars().next().map(|c| c.to_ascii_lowercase());
    match (first(good), first(bad)) {
        (Some(a), Some(b)) if a == b => Some("both answers begin with the same letter"),
        (Some('n'), _) => Some("the good answer begins with n, the key for a bad one"),
        (_, Some('y')) => Some("the bad answer begins with y, the key for a good one"),
        _ => None,
    }
}

fn finding(step: &Step, tick: &Tick, what: &str) -> Finding {
    let sentence = format!(
        "{what}: \"{}\" is good and \"{}\" is bad here",
        tick.yes, tick.no
    );
    let subject = Subject::tick(&step.id, &tick.id).field("yes");
    Finding::error(ANSWERS_ALIKE, subject, sentence)
        .help("an answer is given by its first letter: take two words that begin differently")
}

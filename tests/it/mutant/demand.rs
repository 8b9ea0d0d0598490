//! What a demand is worth: a second mistake that only it catches.
//!
//! A need or clear that is left out makes nothing wrong by itself: less is asked.
//! So it is shown by a pair: the second mistake alone is found, and with the demand
//! gone it is not.

use super::change::Mutant;
use super::trial::{Bench, check, errors};

/// The sorts of mistakes that take away what a demand asks for, nearest first.
const SECOND: [&str; 6] = [
    "establishes dropped",
    "establishes redirected",
    "way redirected",
    "way dropped",
    "step deleted",
    "steps swapped",
];

/// More second mistakes than this are not tried.
const MOST: usize = 24;

/// The condition that a demand names: the word before "dropped".
fn condition(demand: &Mutant) -> &str {
    demand.name.rsplit(' ').nth(1).unwrap()
}

/// The part of a mistake's name that says where it stands.
fn place(mutant: &Mutant) -> &str {
    mutant.name.split(": ").nth(1).unwrap()
}

fn wrong(bench: &Bench, mutant: &Mutant) -> bool {
    let (_, findings) = check(&mutant.of(&bench.document));
    errors(&findings).next().is_some()
}

/// A second mistake that is found with the demand there, and not without it.
pub(super) fn second<'m>(
    bench: &Bench,
    demand: &Mutant,
    mistakes: &'m [Mutant],
) -> Option<&'m Mutant> {
    let wanted = condition(demand);
    let of_it = |m: &&Mutant| m.name.split([' ', ',']).any(|word| word == wanted);
    let near = |m: &&Mutant| {
        let owner = place(demand)
            .split(' ')
            .take(2)
            .collect::<Vec<_>>()
            .join(" ");
        place(m).starts_with("fragment") && place(m).starts_with(&owner)
    };
    let of_kind = |kind: &'static str| mistakes.iter().filter(move |m| m.kind == kind);
    let telling = SECOND[..2]
        .iter()
        .flat_map(|kind| of_kind(kind).filter(of_it));
    let close = SECOND[2..]
        .iter()
        .flat_map(|kind| of_kind(kind).filter(near));
    telling.chain(close).take(MOST).find(|second| {
        let both = demand.with(second);
        both.is_some_and(|both| !wrong(bench, &both)) && wrong(bench, second)
    })
}

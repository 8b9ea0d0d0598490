//! What a demand is worth: a second mistake that only it catches.
//!
//! A need or clear that is left out makes nothing wrong by itself: less is asked.
//! So it is shown by a pair: the second mistake alone is found, and with the demand
//! gone it is not. What is needed is made true a step too late, behind the step that
//! needs it; what is ended is rested on straight behind the step that ends it.

use serde_json::Value;

use super::change::{Act, Key, Mutant, field, list, on};
use super::trial::{Bench, check, errors};

/// The sorts of mistakes that take away what a demand asks for.
const NEAR: [&str; 3] = [
    "establishes dropped",
    "establishes redirected",
    "acts dropped",
];

/// More second mistakes of one sort than this are not tried.
const MOST: usize = 6;

/// The condition, or for "by" the act, that a demand names: the word before "dropped".
fn condition(demand: &Mutant) -> &str {
    demand.name.rsplit(' ').nth(1).unwrap()
}

fn wrong(bench: &Bench, mutant: &Mutant) -> bool {
    let (_, findings) = check(&mutant.of(&bench.document));
    errors(&findings).next().is_some()
}

/// The words of a second mistake that is found with the demand there, and not
/// without it.
pub(super) fn second(bench: &Bench, demand: &Mutant, mistakes: &[Mutant]) -> Option<String> {
    let wanted = condition(demand);
    let of_it = |m: &&Mutant| m.name.split([' ', ',']).any(|word| word == wanted);
    let near = |m: &&Mutant| NEAR.contains(&m.kind.as_str());
    let made = displaced(&bench.document, demand);
    let dropped = mistakes.iter().filter(near).filter(of_it);
    let mut tried = made.iter().take(MOST).chain(dropped.take(MOST));
    let shows = |second: &&Mutant| {
        let both = demand.with(second);
        both.is_some_and(|both| !wrong(bench, &both)) && wrong(bench, second)
    };
    tried.find(shows).map(|second| second.name.clone())
}

/// A step with the ones before and behind it in the text.
struct Stand<'d> {
    at: Vec<Key>,
    before: Option<(Vec<Key>, &'d Value)>,
    step: &'d Value,
    behind: Option<(Vec<Key>, &'d Value)>,
}

/// Every step that is written out, in order.
fn stands(document: &Value) -> Vec<Stand<'_>> {
    let root = |name: &str, key: Key| vec![Key::Field(name.to_owned()), key];
    let phases = list(&document["phases"]).iter().enumerate();
    let phases = phases.map(|(index, phase)| (root("phases", Key::Index(index)), phase));
    let fragments = document["fragments"].as_object().into_iter().flatten();
    let fragments = fragments.map(|(name, of)| (root("fragments", Key::Field(name.clone())), of));
    let mut found = Vec::new();
    for (owner, holder) in phases.chain(fragments) {
        let at = field(&owner, "steps");
        let steps = list(&holder["steps"]);
        let written = |index: usize| {
            let step = steps.get(index).filter(|s| s.get("use").is_none())?;
            Some((on(&at, Key::Index(index)), step))
        };
        for (index, step) in steps.iter().enumerate() {
            found.push(Stand {
                at: on(&at, Key::Index(index)),
                before: index.checked_sub(1).and_then(written),
                step,
                behind: written(index + 1),
            });
        }
    }
    found
}

/// Whether a list of names has this one.
fn names(holder: &Value, field_name: &str, name: &str) -> bool {
    list(&holder[field_name]).iter().any(|n| n == name)
}

/// Whether the demand is one of this step: its own, or by its acts or hazards.
fn demanded(document: &Value, owner: &[Key], stand: &Stand<'_>) -> bool {
    match owner {
        [Key::Field(sort), Key::Field(id)] if sort == "acts" => names(stand.step, "acts", id),
        [Key::Field(sort), Key::Field(id)] if sort == "hazards" => {
            let mut acts = list(&stand.step["acts"]).iter().filter_map(Value::as_str);
            names(stand.step, "hazards", id)
                || acts.any(|act| names(&document["acts"][act], "hazards", id))
        }
        own => own == stand.at,
    }
}

/// Second mistakes made for a demand, for each step that it is made of.
fn displaced(document: &Value, demand: &Mutant) -> Vec<Mutant> {
    let name = condition(demand);
    let path = demand.place();
    let (owner, sort) = match path {
        [owner @ .., Key::Field(of), Key::Index(_)] => (owner, of.as_str()),
        other => panic!("{other:?} is no demand"),
    };
    let stands = stands(document);
    let those = stands.iter().filter(|s| demanded(document, owner, s));
    let mut made = Vec::new();
    for stand in those {
        let Some(step) = stand.step["id"].as_str() else {
            continue;
        };
        let mut put = |what, edits| made.push(Mutant::made("displaced", what, edits));
        match (sort, &stand.before, &stand.behind) {
            ("needs", Some((at, before)), _) => {
                let over = over(at, before, name);
                let again = added(&stand.at, stand.step, "establishes", name);
                let what = format!("{name} is made true only in {step}");
                put(what, vec![over.clone(), again]);
                put(format!("{name} is over straight before {step}"), vec![over]);
            }
            ("clears", _, Some((at, behind))) => {
                let what = format!("the step behind {step} rests on {name}");
                put(what, vec![added(at, behind, "needs", name)]);
            }
            _ => {}
        }
    }
    made
}

/// The step before the one that needs it ends it.
fn over(at: &[Key], before: &Value, name: &str) -> (Vec<Key>, Act) {
    if !names(before, "establishes", name) {
        return added(at, before, "clears", name);
    }
    let kept = list(&before["establishes"]).iter().filter(|n| *n != name);
    let kept = Value::Array(kept.cloned().collect());
    (field(at, "establishes"), Act::Replace(kept))
}

fn added(at: &[Key], holder: &Value, field_name: &str, name: &str) -> (Vec<Key>, Act) {
    let mut names = list(&holder[field_name]).to_vec();
    names.push(Value::from(name));
    (field(at, field_name), Act::Replace(Value::Array(names)))
}

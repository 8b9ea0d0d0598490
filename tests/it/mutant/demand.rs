//! What a demand is worth: a second mistake that only it catches.
//!
//! A need or clear that is left out makes nothing wrong by itself: less is asked.
//! So it is shown by a pair: the second mistake alone is found, and with the demand
//! gone it is not. What is needed is made true a step too late, or was over before;
//! what is ended is rested on behind the step that ends it, or while it is done.
//! Where no pair shows it, the reason is worked out: what else asks for the same.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use levelhand::procedure::{ConditionId, Procedure, Step};

use super::change::{Act, Key, Mutant, field, list, on};
use super::trial::{Bench, check, errors};

/// The sorts of mistakes that take away what a demand asks for.
const NEAR: [&str; 3] = [
    "establishes dropped",
    "establishes redirected",
    "acts dropped",
];

/// No more second mistakes than this are tried.
const MOST: usize = 40;

/// What a demand comes to when it is left out.
#[derive(Debug)]
pub(super) enum Worth {
    /// A second mistake, found with the demand there and not without it.
    Shown(String),
    /// No second mistake shows it, and why.
    Covered(String),
    /// None was found, and no reason either.
    Untold,
}

/// The condition that a demand names: the word before "dropped".
fn condition(demand: &Mutant) -> &str {
    demand.name.rsplit(' ').nth(1).unwrap()
}

/// The first error of a document with a mistake in it, where it stands and its words.
fn wrong(bench: &Bench, mutant: &Mutant) -> Option<String> {
    let (_, findings) = check(&mutant.of(&bench.document));
    let first = errors(&findings).next();
    first.map(|found| format!("{}: {}", found.code, found.sentence))
}

/// What a demand is worth.
pub(super) fn worth(bench: &Bench, demand: &Mutant, mistakes: &[Mutant]) -> Worth {
    let (without, findings) = check(&demand.of(&bench.document));
    if let Some(found) = errors(&findings).next() {
        let why = format!("left out, it is found by itself: {}", found.sentence);
        return Worth::Covered(why);
    }
    if asked(&bench.sound) == asked(&without.unwrap()) {
        let why =
            "another demand of the same steps, or a group of which one holds, asks for the same";
        return Worth::Covered(why.to_owned());
    }
    let wanted = condition(demand);
    let of_it = |m: &&Mutant| m.name.split([' ', ',']).any(|word| word == wanted);
    let near = |m: &&Mutant| NEAR.contains(&m.kind.as_str());
    let made = displaced(bench, demand);
    let dropped = mistakes.iter().filter(near).filter(of_it);
    let mut nearest = None;
    for second in made.iter().chain(dropped).take(MOST) {
        let Some(both) = demand
            .with(second)
            .filter(|_| wrong(bench, second).is_some())
        else {
            continue;
        };
        match wrong(bench, &both) {
            None => return Worth::Shown(second.name.clone()),
            Some(found) => nearest = nearest.or(Some((second.name.clone(), found))),
        }
    }
    match nearest {
        Some((second, found)) => Worth::Covered(format!(
            "without it \"{second}\" is still found, by {found}"
        )),
        None => Worth::Untold,
    }
}

/// What each step asks: what must hold on entering, what must hold while it is done
/// (that must hold on entering, too), and what is over then.
fn asked(procedure: &Procedure) -> Vec<[BTreeSet<ConditionId>; 3]> {
    let of = |step: &Step| {
        let standing = procedure.standing_needs(step);
        let mut entry = procedure.entry_needs(step);
        entry.extend(standing.iter().cloned());
        [entry, standing, procedure.effective_clears(step)]
    };
    procedure.steps.iter().map(of).collect()
}

/// A step where it is written; one of a fragment with what its use gives it.
struct Written<'d> {
    at: Vec<Key>,
    step: &'d Value,
    with: &'d Value,
}

impl Written<'_> {
    /// A name as this use of a fragment gives it.
    fn given<'n>(&'n self, name: &'n str) -> &'n str {
        let given = name.strip_prefix('$').and_then(|p| self.with[p].as_str());
        given.unwrap_or(name)
    }

    /// Whether a list of names has this one, under its own name or as given.
    fn names(&self, holder: &Value, field_name: &str, name: &str) -> bool {
        let mut names = list(&holder[field_name]).iter().filter_map(Value::as_str);
        names.any(|n| self.given(n) == name)
    }

    /// The edits after which the step makes a condition true.
    fn makes(&self, name: &str) -> Vec<(Vec<Key>, Act)> {
        let choices = list(&self.step["choices"]);
        if choices.is_empty() {
            return vec![added(&self.at, self.step, "establishes", name)];
        }
        let at = |n| on(&field(&self.at, "choices"), Key::Index(n));
        let choices = choices.iter().enumerate();
        let choices = choices.filter(|(_, c)| !self.names(c, "establishes", name));
        choices
            .map(|(n, c)| added(&at(n), c, "establishes", name))
            .collect()
    }

    /// The edits after which a condition is over when the step has been left.
    fn ends(&self, name: &str) -> Vec<(Vec<Key>, Act)> {
        let mut edits = vec![added(&self.at, self.step, "clears", name)];
        let mut take_out = |at: Vec<Key>, holder: &Value| {
            if self.names(holder, "establishes", name) {
                let kept = list(&holder["establishes"]).iter();
                let kept = kept.filter(|n| self.given(n.as_str().unwrap()) != name);
                let kept = Value::Array(kept.cloned().collect());
                edits.push((field(&at, "establishes"), Act::Replace(kept)));
            }
        };
        take_out(self.at.clone(), self.step);
        for (n, choice) in list(&self.step["choices"]).iter().enumerate() {
            take_out(on(&field(&self.at, "choices"), Key::Index(n)), choice);
        }
        edits
    }
}

/// Every step of the graph, where it is written.
fn written(document: &Value) -> BTreeMap<String, Written<'_>> {
    let mut found = BTreeMap::new();
    for (p, phase) in list(&document["phases"]).iter().enumerate() {
        let at = on(&[Key::Field("phases".to_owned())], Key::Index(p));
        for (s, step) in list(&phase["steps"]).iter().enumerate() {
            let Some(fragment) = step["use"].as_str() else {
                let at = on(&field(&at, "steps"), Key::Index(s));
                let with = &Value::Null;
                let id = step["id"].as_str().unwrap().to_owned();
                found.insert(id, Written { at, step, with });
                continue;
            };
            let (place, with) = (step["as"].as_str().unwrap(), &step["with"]);
            let steps = list(&document["fragments"][fragment]["steps"]);
            for (n, step) in steps.iter().enumerate() {
                let at = field(&[Key::Field("fragments".to_owned())], fragment);
                let at = on(&field(&at, "steps"), Key::Index(n));
                let id = format!("{place}__{}", step["id"].as_str().unwrap());
                found.insert(id, Written { at, step, with });
            }
        }
    }
    found
}

/// Whether the demand is one of this step: its own, or by its acts or hazards.
fn demanded(document: &Value, owner: &[Key], written: &Written<'_>) -> bool {
    let step = written.step;
    match owner {
        [Key::Field(sort), Key::Field(id)] if sort == "acts" => written.names(step, "acts", id),
        [Key::Field(sort), Key::Field(id)] if sort == "hazards" => {
            let mut acts = list(&step["acts"]).iter().filter_map(Value::as_str);
            written.names(step, "hazards", id)
                || acts.any(|act| {
                    let act = &document["acts"][written.given(act)];
                    written.names(act, "hazards", id)
                })
        }
        own => own == written.at,
    }
}

/// Second mistakes made for a demand, for each step that it is made of.
fn displaced(bench: &Bench, demand: &Mutant) -> Vec<Mutant> {
    let (owner, sort) = match demand.place() {
        [owner @ .., Key::Field(of), Key::Index(_)] => (owner, of.as_str()),
        other => panic!("{other:?} is no demand"),
    };
    let written = written(&bench.document);
    let mut made = Vec::new();
    for step in &bench.sound.steps {
        let here = &written[step.id.as_str()];
        if !demanded(&bench.document, owner, here) {
            continue;
        }
        let name = here.given(condition(demand));
        match sort {
            "needs" => too_late(&bench.sound, &written, step, name, &mut made),
            _ => rested_on(&bench.sound, &written, step, name, &mut made),
        }
    }
    // The plainest first, whichever step shows it.
    made.sort_by_key(|(rank, _)| *rank);
    made.into_iter().map(|(_, mutant)| mutant).collect()
}

/// Mistakes by how far-fetched they are.
type Ranked = Vec<(usize, Mutant)>;

/// Adds a mistake, unless an edit is made twice in it.
fn put(made: &mut Ranked, rank: usize, what: String, edits: Vec<(Vec<Key>, Act)>) {
    let places: BTreeSet<String> = edits.iter().map(|(at, _)| format!("{at:?}")).collect();
    if places.len() == edits.len() {
        made.push((rank, Mutant::made("displaced", what, edits)));
    }
}

/// What a step needs is over before it, or made true only in it.
fn too_late(
    sound: &Procedure,
    written: &BTreeMap<String, Written<'_>>,
    step: &Step,
    name: &str,
    made: &mut Ranked,
) {
    let (id, here) = (&step.id, &written[step.id.as_str()]);
    let before = sound.steps.iter().filter(|s| s.targets().contains(&id));
    for before in before.filter(|before| before.id != *id) {
        let over = written[before.id.as_str()].ends(name);
        let what = format!("{name} is over straight before {id}, in {}", before.id);
        put(made, 0, what, over.clone());
        if here.step.get("end").is_none() {
            let again = [over.clone(), here.makes(name)].concat();
            let what = format!(
                "{name} is over in {} and true again only in {id}",
                before.id
            );
            put(made, 1, what, again);
        }
        for to in step.targets().into_iter().filter(|to| *to != id) {
            let again = [over.clone(), written[to.as_str()].makes(name)].concat();
            let what = format!(
                "{name} is over in {} and true again only in {to}",
                before.id
            );
            put(made, 2, what, again);
        }
    }
}

/// What a step ends is rested on behind it, or by what is done in it.
fn rested_on(
    sound: &Procedure,
    written: &BTreeMap<String, Written<'_>>,
    step: &Step,
    name: &str,
    made: &mut Ranked,
) {
    let (id, here) = (&step.id, &written[step.id.as_str()]);
    let before = before(sound, step);
    let early = |before: &Step| written[before.id.as_str()].makes(name);
    for to in step.targets().into_iter().filter(|to| *to != id) {
        let there = &written[to.as_str()];
        let needs = vec![added(&there.at, there.step, "needs", name)];
        put(
            made,
            0,
            format!("{to}, behind {id}, rests on {name}"),
            needs.clone(),
        );
        for (far, before) in before.iter().enumerate() {
            let edits = [early(before), needs.clone()].concat();
            let what = format!(
                "{} makes {name} true, and {to}, behind {id}, rests on it",
                before.id
            );
            put(made, 2 + far, what, edits);
        }
    }
    for act in list(&here.step["acts"]).iter().filter_map(Value::as_str) {
        let act = here.given(act);
        let Some(declared) = sound.acts.iter().find(|(a, _)| a.as_str() == act) else {
            continue;
        };
        let needs: Vec<Value> = declared.1.needs.iter().map(|c| c.as_str().into()).collect();
        let needs = Value::Array([needs, vec![Value::from(name)]].concat());
        let at = field(&field(&[Key::Field("acts".to_owned())], act), "needs");
        let needs = vec![(at, Act::Replace(needs))];
        put(
            made,
            1,
            format!("the act {act} rests on {name}"),
            needs.clone(),
        );
        for (far, before) in before.iter().enumerate() {
            let edits = [early(before), needs.clone()].concat();
            let what = format!(
                "{} makes {name} true, and the act {act} rests on it",
                before.id
            );
            put(made, 2 + far, what, edits);
        }
    }
}

/// Steps from which ways lead to this one, the nearest first, a few.
fn before<'p>(sound: &'p Procedure, step: &Step) -> Vec<&'p Step> {
    let mut found: Vec<&Step> = Vec::new();
    let mut to = BTreeSet::from([&step.id]);
    for _ in 0..5 {
        let leads = |s: &&Step| s.targets().iter().any(|t| to.contains(*t));
        let new = sound.steps.iter().filter(leads);
        let new: Vec<&Step> = new
            .filter(|s| s.id != step.id && !found.iter().any(|f| f.id == s.id))
            .collect();
        to = new.iter().map(|s| &s.id).collect();
        found.extend(new);
    }
    found
}

fn added(at: &[Key], holder: &Value, field_name: &str, name: &str) -> (Vec<Key>, Act) {
    let mut names = list(&holder[field_name]).to_vec();
    names.push(Value::from(name));
    (field(at, field_name), Act::Replace(Value::Array(names)))
}

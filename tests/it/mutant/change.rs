//! Every small mistake that a lead hand could make in a procedure's text, one by one.
//!
//! A mistake is kept as edits of the JSON, made on a copy when it is tried. Where
//! something is *redirected*, it goes to what stands next: the mistake hardest to see.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

use levelhand::procedure::Procedure;

/// One step into a JSON value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Key {
    Field(String),
    Index(usize),
}

/// What is done at a place.
#[derive(Debug, Clone)]
pub(super) enum Act {
    Remove,
    Replace(Value),
    /// With the one after it, in a list.
    Swap,
}

/// A document with one mistake.
#[derive(Debug, Clone)]
pub(super) struct Mutant {
    /// What sort of mistake ("establishes dropped").
    pub(super) kind: String,
    /// The whole mistake in words; no other has the same.
    pub(super) name: String,
    edits: Vec<(Vec<Key>, Act)>,
}

impl Mutant {
    /// The document with the mistake in it.
    pub(super) fn of(&self, document: &Value) -> Value {
        let mut document = document.clone();
        for (path, act) in &self.edits {
            edit(&mut document, path, act);
        }
        document
    }

    /// A mistake made for one purpose.
    pub(super) fn made(kind: &str, name: String, edits: Vec<(Vec<Key>, Act)>) -> Self {
        let kind = kind.to_owned();
        Self { kind, name, edits }
    }

    /// Where its first edit is.
    pub(super) fn place(&self) -> &[Key] {
        &self.edits[0].0
    }

    /// Both mistakes together, if neither is made inside of what the other takes out
    /// or puts in, and neither moves what stands behind it in a list of the other.
    pub(super) fn with(&self, other: &Self) -> Option<Self> {
        let within = |one: &[Key], (at, _): &(Vec<Key>, Act)| match at.split_last() {
            Some((Key::Index(_), list)) => one.starts_with(list),
            _ => one.starts_with(at),
        };
        let hurts = |a: &Self, b: &Self| {
            let mut paths = a.edits.iter().map(|(path, _)| path);
            paths.any(|path| b.edits.iter().any(|edit| within(path, edit)))
        };
        if hurts(self, other) || hurts(other, self) {
            return None;
        }
        let mut both = self.clone();
        both.edits.extend(other.edits.iter().cloned());
        both.name = format!("{} and {}", self.name, other.name);
        Some(both)
    }
}

fn edit(document: &mut Value, path: &[Key], act: &Act) {
    let (last, before) = path.split_last().unwrap();
    let mut at = document;
    for key in before {
        at = match key {
            Key::Field(name) => &mut at[name.as_str()],
            Key::Index(index) => &mut at[*index],
        };
    }
    match (at, last, act) {
        (Value::Object(fields), Key::Field(name), Act::Remove) => {
            fields.remove(name).unwrap();
        }
        (Value::Object(fields), Key::Field(name), Act::Replace(value)) => {
            fields.insert(name.clone(), value.clone());
        }
        (Value::Array(list), Key::Index(index), Act::Remove) => {
            list.remove(*index);
        }
        (Value::Array(list), Key::Index(index), Act::Replace(value)) => {
            list[*index] = value.clone();
        }
        (Value::Array(list), Key::Index(index), Act::Swap) => list.swap(*index, index + 1),
        (at, last, act) => panic!("{act:?} of {last:?} in {at}"),
    }
}

/// All mistakes in a document, and apart the needs and clears left out.
pub(super) struct Changes {
    pub(super) mistakes: Vec<Mutant>,
    pub(super) fewer_demands: Vec<Mutant>,
}

/// Goes through a document.
struct Hand<'d> {
    document: &'d Value,
    name: String,
    /// All steps, fragments written out, in order.
    order: Vec<String>,
    made: Changes,
}

/// All of them, in the order of the text.
pub(super) fn all(document: &Value, sound: &Procedure) -> Changes {
    let mut hand = Hand {
        document,
        name: document["id"].as_str().unwrap().to_owned(),
        order: sound.steps.iter().map(|s| s.id.to_string()).collect(),
        made: Changes {
            mistakes: Vec::new(),
            fewer_demands: Vec::new(),
        },
    };
    hand.conditions();
    hand.demands();
    for (name, fragment) in fields(&document["fragments"]) {
        let at = path(&["fragments", name, "steps"]);
        let within = list(&fragment["steps"]);
        hand.steps(&at, &format!("fragment {name}"), within, true);
    }
    for (index, phase) in list(&document["phases"]).iter().enumerate() {
        let mut at = path(&["phases"]);
        at.push(Key::Index(index));
        at.push(Key::Field("steps".to_owned()));
        hand.steps(&at, "", list(&phase["steps"]), false);
    }
    hand.made
}

fn path(names: &[&str]) -> Vec<Key> {
    names.iter().map(|n| Key::Field((*n).to_owned())).collect()
}

pub(super) fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn fields(value: &Value) -> impl Iterator<Item = (&str, &Value)> {
    let fields = value.as_object().into_iter().flatten();
    fields.map(|(name, value)| (name.as_str(), value))
}

pub(super) fn on(path: &[Key], more: Key) -> Vec<Key> {
    let mut path = path.to_vec();
    path.push(more);
    path
}

pub(super) fn field(path: &[Key], name: &str) -> Vec<Key> {
    on(path, Key::Field(name.to_owned()))
}

/// The name declared after this one, going round; for what is no name, the first.
fn next_of(declared: &Map<String, Value>, name: &str) -> Option<Value> {
    let after = declared.keys().find(|k| k.as_str() > name);
    let first = declared.keys().find(|k| k.as_str() != name);
    after.or(first).map(|n| Value::from(n.as_str()))
}

impl<'d> Hand<'d> {
    fn declared(&self, sort: &str) -> &'d Map<String, Value> {
        self.document[sort].as_object().unwrap()
    }

    fn mistake(&mut self, kind: &str, what: &str, edits: Vec<(Vec<Key>, Act)>) {
        self.made.mistakes.push(Mutant {
            kind: kind.to_owned(),
            name: format!("{}: {what}", self.name),
            edits,
        });
    }

    /// Every entry of a list of names left out, and put for the next one declared.
    fn entries(&mut self, at: &[Key], place: &str, holder: &Value, field_name: &str, sort: &str) {
        for (index, entry) in list(&holder[field_name]).iter().enumerate() {
            let there = on(&field(at, field_name), Key::Index(index));
            let what = format!("{place}: {field_name} {} dropped", entry.as_str().unwrap());
            let edits = vec![(there, Act::Remove)];
            self.mistake(&format!("{field_name} dropped"), &what, edits);
        }
        self.redirected(at, place, holder, field_name, sort);
    }

    /// Every entry of a list of names put for the next one declared.
    fn redirected(
        &mut self,
        at: &[Key],
        place: &str,
        holder: &Value,
        field_name: &str,
        sort: &str,
    ) {
        let entries = list(&holder[field_name]);
        for (index, entry) in entries.iter().enumerate() {
            let entry = entry.as_str().unwrap();
            let Some(other) = self.other(sort, entry, entries) else {
                continue;
            };
            let there = on(&field(at, field_name), Key::Index(index));
            let other_name = other.as_str().unwrap();
            let what = format!("{place}: {field_name} {entry} redirected to {other_name}");
            let edits = vec![(there, Act::Replace(other.clone()))];
            self.mistake(&format!("{field_name} redirected"), &what, edits);
        }
    }

    /// Another name of that sort that is not in the list; a reading of the same kind.
    fn other(&self, sort: &str, name: &str, taken: &[Value]) -> Option<Value> {
        let declared = self.declared(sort);
        if sort != "readings" {
            let mut other = next_of(declared, name)?;
            while taken.contains(&other) {
                other = next_of(declared, other.as_str()?)?;
            }
            return Some(other);
        }
        let kind = declared.get(name)?.get("kind")?;
        let alike = declared.iter().filter(|(n, r)| {
            r.get("kind") == Some(kind) && !taken.contains(&Value::from(n.as_str()))
        });
        let alike: Vec<&str> = alike.map(|(n, _)| n.as_str()).collect();
        let after = alike.iter().find(|n| **n > name);
        after.or(alike.first()).map(|n| Value::from(*n))
    }

    fn conditions(&mut self) {
        let document = self.document;
        for (id, condition) in fields(&document["conditions"]) {
            let at = path(&["conditions", id]);
            let place = format!("condition {id}");
            self.entries(&at, &place, condition, "by", "acts");
            let Some(lasts) = condition.get("lasts").and_then(Value::as_str) else {
                continue;
            };
            let there = field(&at, "lasts");
            let what = format!("{place}: lasts {lasts} dropped");
            self.mistake("lasts dropped", &what, vec![(there.clone(), Act::Remove)]);
            let other = match lasts {
                "resume" => "step",
                _ => "resume",
            };
            let what = format!("{place}: lasts {lasts} redirected to {other}");
            let edits = vec![(there, Act::Replace(Value::from(other)))];
            self.mistake("lasts redirected", &what, edits);
        }
    }

    fn fewer(&mut self, at: &[Key], place: &str, holder: &Value, field_name: &str) {
        for (index, entry) in list(&holder[field_name]).iter().enumerate() {
            let there = on(&field(at, field_name), Key::Index(index));
            let entry = entry.as_str().unwrap();
            self.made.fewer_demands.push(Mutant {
                kind: format!("{field_name} dropped"),
                name: format!("{}: {place}: {field_name} {entry} dropped", self.name),
                edits: vec![(there, Act::Remove)],
            });
        }
    }

    /// What acts and hazards demand and end.
    fn demands(&mut self) {
        let document = self.document;
        for (id, act) in fields(&document["acts"]) {
            let at = path(&["acts", id]);
            self.fewer(&at, &format!("act {id}"), act, "needs");
            self.fewer(&at, &format!("act {id}"), act, "clears");
        }
        for (id, hazard) in fields(&document["hazards"]) {
            let at = path(&["hazards", id]);
            self.fewer(&at, &format!("hazard {id}"), hazard, "needs");
        }
    }

    fn steps(&mut self, at: &[Key], owner: &str, steps: &[Value], in_fragment: bool) {
        let name = |step: &Value| {
            let id = step.get("id").or(step.get("as")).unwrap().as_str().unwrap();
            format!("{owner} {id}").trim().to_owned()
        };
        for (index, step) in steps.iter().enumerate() {
            let there = on(at, Key::Index(index));
            let place = name(step);
            let edits = vec![(there.clone(), Act::Remove)];
            self.mistake("step deleted", &format!("{place}: deleted"), edits);
            if let Some(next) = steps.get(index + 1) {
                let what = format!("{place}: swapped with {}", name(next));
                let edits = vec![(there.clone(), Act::Swap)];
                self.mistake("steps swapped", &what, edits);
            }
            let local: Vec<&str> = if in_fragment {
                steps.iter().map(|s| s["id"].as_str().unwrap()).collect()
            } else {
                Vec::new()
            };
            if step.get("use").is_some() {
                self.used(&there, &place, step);
            } else {
                self.step(&there, &place, step, &local);
            }
        }
    }

    fn step(&mut self, at: &[Key], place: &str, step: &Value, local: &[&str]) {
        self.entries(at, place, step, "establishes", "conditions");
        self.entries(at, place, step, "acts", "acts");
        self.entries(at, place, step, "incurs", "duties");
        self.entries(at, place, step, "settles", "duties");
        self.entries(at, place, step, "take", "readings");
        self.limits(at, place, step);
        self.ways(at, place, step, local);
        self.tries(at, place, step);
        for (index, choice) in list(&step["choices"]).iter().enumerate() {
            let at = on(&field(at, "choices"), Key::Index(index));
            let place = format!("{place}, choice {}", choice["id"].as_str().unwrap());
            self.entries(&at, &place, choice, "establishes", "conditions");
            self.entries(&at, &place, choice, "incurs", "duties");
            self.entries(&at, &place, choice, "settles", "duties");
            if let Some(to) = choice.get("to").and_then(Value::as_str) {
                self.way(&field(&at, "to"), &place, "to", to, local);
            }
            self.tries(&at, &place, choice);
        }
        self.fewer(at, place, step, "needs");
        self.fewer(at, place, step, "clears");
    }

    fn limits(&mut self, at: &[Key], place: &str, step: &Value) {
        for (index, limit) in list(&step["limits"]).iter().enumerate() {
            let there = on(&field(at, "limits"), Key::Index(index));
            let place = format!("{place}: limit {}", index + 1);
            let what = format!("{place} dropped");
            self.mistake("limit dropped", &what, vec![(there.clone(), Act::Remove)]);
            let (there, old) = if let Some(of) = limit.get("of") {
                (field(&there, "of"), of)
            } else if let Some(second) = limit.get("differ").map(|d| &d[1]) {
                (on(&field(&there, "differ"), Key::Index(1)), second)
            } else {
                (field(&there, "age_of"), &limit["age_of"])
            };
            let old = old.as_str().unwrap();
            let sorts = ["readings", "workings", "conditions"];
            let sort = sorts
                .into_iter()
                .find(|s| self.declared(s).contains_key(old));
            let taken: Vec<Value> = list(&limit["differ"]).to_vec();
            let Some(other) = sort.and_then(|s| self.other(s, old, &taken)) else {
                continue;
            };
            let what = format!("{place} redirected to {}", other.as_str().unwrap());
            self.mistake(
                "limit redirected",
                &what,
                vec![(there, Act::Replace(other))],
            );
        }
    }

    fn ways(&mut self, at: &[Key], place: &str, holder: &Value, local: &[&str]) {
        for (outcome, to) in fields(&holder["ways"]) {
            let there = field(&field(at, "ways"), outcome);
            let to = to.as_str().unwrap();
            self.way(&there, place, outcome, to, local);
        }
    }

    fn way(&mut self, there: &[Key], place: &str, outcome: &str, to: &str, local: &[&str]) {
        let what = format!("{place}: way {outcome} to {to}");
        let edits = vec![(there.to_vec(), Act::Remove)];
        self.mistake("way dropped", &format!("{what} dropped"), edits);
        let Some(other) = self.neighbour(to, local) else {
            return;
        };
        let what = format!("{what} redirected to {other}");
        let edits = vec![(there.to_vec(), Act::Replace(Value::from(other)))];
        self.mistake("way redirected", &what, edits);
    }

    /// The step after the one that a way leads to; the one before the last.
    fn neighbour(&self, to: &str, local: &[&str]) -> Option<String> {
        if let Some(at) = local.iter().position(|id| *id == to) {
            let other = local.get(at + 1).or_else(|| local.get(at.checked_sub(1)?));
            return other.map(|id| (*id).to_owned());
        }
        if to.starts_with('$') {
            return local.first().map(|id| (*id).to_owned());
        }
        let first = format!("{to}__");
        let at = self
            .order
            .iter()
            .position(|id| id == to || id.starts_with(&first));
        let at = at.unwrap();
        self.order
            .get(at + 1)
            .or_else(|| self.order.get(at - 1))
            .cloned()
    }

    fn tries(&mut self, at: &[Key], place: &str, holder: &Value) {
        let Some(tries) = holder.get("tries").and_then(Value::as_u64) else {
            return;
        };
        let there = field(at, "tries");
        let mut edits = vec![(there.clone(), Act::Remove)];
        if holder["ways"].get("spent").is_some() {
            edits.push((field(&field(at, "ways"), "spent"), Act::Remove));
        }
        self.mistake("tries dropped", &format!("{place}: tries dropped"), edits);
        let what = format!("{place}: tries {tries} redirected to {}", tries + 1);
        let edits = vec![(there, Act::Replace(Value::from(tries + 1)))];
        self.mistake("tries redirected", &what, edits);
    }

    /// What a use of a fragment gives it, and where it leads.
    fn used(&mut self, at: &[Key], place: &str, used: &Value) {
        self.ways(at, place, used, &[]);
        let sorts: BTreeMap<&str, &str> = BTreeMap::from([
            ("conditions", "establishes redirected"),
            ("duties", "duty redirected"),
            ("readings", "take redirected"),
            ("acts", "acts redirected"),
        ]);
        for (parameter, given) in fields(&used["with"]) {
            let given = given.as_str().unwrap();
            let there = field(&field(at, "with"), parameter);
            let sort = sorts
                .iter()
                .find(|(s, _)| self.declared(s).contains_key(given));
            let (kind, other) = if let Some((sort, kind)) = sort {
                let Some(other) = self.other(sort, given, &[]) else {
                    continue;
                };
                (*kind, other)
            } else if self.is_step(given)
                && let Some(other) = self.neighbour(given, &[])
            {
                ("way redirected", Value::from(other))
            } else {
                continue;
            };
            let what = format!(
                "{place}: with {parameter} {given} redirected to {}",
                other.as_str().unwrap()
            );
            self.mistake(kind, &what, vec![(there, Act::Replace(other))]);
        }
    }

    fn is_step(&self, name: &str) -> bool {
        let first = format!("{name}__");
        self.order
            .iter()
            .any(|id| id == name || id.starts_with(&first))
    }
}

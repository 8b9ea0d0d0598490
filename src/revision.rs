//! Two revisions of a document: what changed, and which demands shrank.
//!
//! Invariants: every sentence stands for itself, said aloud to a lead hand; a demand
//! has one name, made of what it is and where it stands, by which it can be
//! confirmed. Where it can't be told whether less is asked, it counts as less.
//!
//! Must not know of files, releases and how changes are shown.

mod bench;
mod confirm;
mod declared;
mod limit;
mod order;
mod pair;
mod past;
mod phase;
mod sheet;
mod step;
mod value;
mod way;

pub use bench::compare_instruments;
pub use past::{Past, Visit, look_back};
pub use sheet::compare_sheets;

use crate::procedure::Procedure;

/// One thing that changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// What is changed and where, such as `need:lower_onto_blocks:nobody_underneath`.
    pub name: String,
    /// What changed, in a sentence or two.
    pub sentence: String,
    /// Less is asked than before, or it can't be told that it is not.
    pub shrank: bool,
    /// Something leads to another step than before. Where nothing shrank by it, a person
    /// must still read it.
    pub leads: bool,
}

/// What changed from one revision to another.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Changes {
    list: Vec<Change>,
}

impl Changes {
    /// The demands that shrank.
    pub fn shrank(&self) -> impl Iterator<Item = &Change> {
        self.list.iter().filter(|change| change.shrank)
    }

    /// What leads elsewhere now, as far as no demand shrank by it.
    pub fn leading(&self) -> impl Iterator<Item = &Change> {
        self.other().filter(|change| change.leads)
    }

    /// Everything that shrank no demand; what leads elsewhere is among it.
    pub fn other(&self) -> impl Iterator<Item = &Change> {
        self.list.iter().filter(|change| !change.shrank)
    }

    /// Nothing changed.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// A demand that shrank.
    fn less(&mut self, name: impl Into<String>, sentence: impl Into<String>) {
        self.note(&name.into(), sentence.into(), true);
    }

    /// Something that changed and asks no less.
    fn told(&mut self, name: impl Into<String>, sentence: impl Into<String>) {
        self.note(&name.into(), sentence.into(), false);
    }

    /// A demand that shrank, or else grew or changed.
    fn either(&mut self, shrank: bool, name: impl Into<String>, sentence: impl Into<String>) {
        self.note(&name.into(), sentence.into(), shrank);
    }

    /// A way that leads to another step now.
    fn leads(&mut self, shrank: bool, name: impl Into<String>, sentence: impl Into<String>) {
        self.note(&name.into(), sentence.into(), shrank);
        if let Some(change) = self.list.last_mut() {
            change.leads = true;
        }
    }

    /// Names stay apart: two changes of one name could be confirmed with one reason.
    fn note(&mut self, name: &str, sentence: String, shrank: bool) {
        let taken = |name: &str| self.list.iter().any(|change| change.name == name);
        let mut free = name.to_owned();
        let mut number = 2;
        while taken(&free) {
            free = format!("{name}:{number}");
            number += 1;
        }
        self.list.push(Change {
            name: free,
            sentence,
            shrank,
            leads: false,
        });
    }

    /// Words that were changed, with both.
    fn words(&mut self, name: &str, what: &str, old: &str, new: &str) {
        if old != new {
            self.told(
                name,
                format!("{what} read {} and now reads {}.", quoted(old), quoted(new)),
            );
        }
    }

    /// Lines that were changed: those gone and those new.
    fn lines(&mut self, name: &str, what: &str, old: &[String], new: &[String]) {
        if old == new {
            return;
        }
        let gone: Vec<&String> = old.iter().filter(|line| !new.contains(line)).collect();
        let added: Vec<&String> = new.iter().filter(|line| !old.contains(line)).collect();
        let list = |lines: &[&String]| {
            let lines: Vec<String> = lines.iter().map(|line| quoted(line)).collect();
            lines.join(", ")
        };
        let sentence = match (gone.is_empty(), added.is_empty()) {
            (true, true) => format!("{what}: the lines stand in another order."),
            (true, false) => format!("{what}: new is {}.", list(&added)),
            (false, true) => format!("{what}: gone is {}.", list(&gone)),
            (false, false) => format!("{what}: {} became {}.", list(&gone), list(&added)),
        };
        self.told(name, sentence);
    }
}

/// What changed from one revision of a procedure to another.
pub fn compare_procedures(old: &Procedure, new: &Procedure) -> Changes {
    let mut changes = Changes::default();
    let pairs = pair::Pairs::of(old, new);
    changes.words("title", "The procedure's title", &old.title, &new.title);
    changes.lines("scope", "What the procedure covers", &old.scope, &new.scope);
    order::compare(old, new, &pairs, &mut changes);
    for (before, after) in pairs.both() {
        step::compare(old, new, before, after, &pairs, &mut changes);
    }
    declared::compare(old, new, &pairs, &mut changes);
    phase::compare(old, new, &pairs, &mut changes);
    value::compare(old, new, &mut changes);
    changes
}

/// Words as they stand in a document.
fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}

/// A count with its noun.
fn counted(count: usize, one: &str, more: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {more}")
    }
}

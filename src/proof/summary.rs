//! What was proved, as text for people: the counts, and for each act the steps
//! that do it and what protects them there. A person reads this list before a
//! release: a demand that nobody wrote shows here or nowhere.

use std::fmt::Write as _;

use super::{ActFact, Doing, Proof};
use crate::finding::escape;

impl Proof {
    /// The summary, ending in a line end.
    pub fn summary(&self) -> String {
        let mut text = self.heading();
        for act in &self.facts.acts {
            text.push_str(&about(act));
        }
        text
    }

    fn heading(&self) -> String {
        let facts = &self.facts;
        let [steps, conditions, duties, values] = facts.counts();
        let verdict = if self.holds() {
            "Proved on every way and from every stop: what is needed holds, what is used has a value,\n\
             nothing is owed at a complete end, every cycle is counted."
        } else {
            "Not proved: see the findings. What follows is what holds as far as it was found."
        };
        let counts = [
            count(steps, "step", "steps"),
            count(conditions, "condition", "conditions"),
            count(duties, "duty", "duties"),
            count(values, "reading or working", "readings and workings"),
        ];
        format!("{}.\n{verdict}\n", counts.join(", "))
    }
}

fn count(number: usize, one: &str, more: &str) -> String {
    match number {
        0 => format!("no {more}"),
        1 => format!("1 {one}"),
        _ => format!("{number} {more}"),
    }
}

/// One act with its steps; those with the same protection stand together.
fn about(act: &ActFact) -> String {
    let times = match act.done.len() {
        0 => "no step does it".to_owned(),
        n => count(n, "step", "steps"),
    };
    let mut text = format!("\n{} ({}): {times}\n", escape(&act.title), act.id);
    let mut open: Vec<&Doing> = act.done.iter().collect();
    while let Some(first) = open.first().copied() {
        let (alike, other): (Vec<_>, Vec<_>) = open.into_iter().partition(|d| is_alike(d, first));
        open = other;
        for doing in alike {
            // Steps out of one fragment have one title; the name tells them apart.
            // Writing to a string can't fail.
            let _ = writeln!(text, "  {} ({})", escape(&doing.title), doing.step);
        }
        text.push_str(&protection(first));
    }
    text
}

fn is_alike(a: &Doing, b: &Doing) -> bool {
    a.reached == b.reached
        && a.protected == b.protected
        && a.unprotected == b.unprotected
        && a.words_only == b.words_only
}

fn protection(doing: &Doing) -> String {
    if !doing.reached {
        return "    never reached: no way leads to it\n".to_owned();
    }
    let mut text = String::new();
    for (lead, items) in [
        ("protected by:", &doing.protected),
        ("NOT PROTECTED BY:", &doing.unprotected),
        ("words only for:", &doing.words_only),
    ] {
        if !items.is_empty() {
            let _ = writeln!(text, "    {lead} {}", escape(&items.join(" · ")));
        }
    }
    if text.is_empty() {
        text.push_str("    nothing is asked for: no needs and no hazards\n");
    }
    text
}

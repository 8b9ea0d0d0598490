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
        format!(
            "{steps} steps, {conditions} conditions, {duties} duties, {values} readings and workings.\n{verdict}\n"
        )
    }
}

/// One act with its steps.
fn about(act: &ActFact) -> String {
    let mut text = String::new();
    let times = match act.done.len() {
        0 => "no step does it".to_owned(),
        1 => "1 step".to_owned(),
        n => format!("{n} steps"),
    };
    // Writing to a string can't fail.
    let _ = writeln!(text, "\n{} ({}): {times}", escape(&act.title), act.id);
    for doing in &act.done {
        text.push_str(&about_doing(doing));
    }
    text
}

fn about_doing(doing: &Doing) -> String {
    let mut text = format!("  {}\n", escape(&doing.title));
    let mut line = |lead: &str, items: &[String]| {
        if !items.is_empty() {
            let _ = writeln!(text, "    {lead} {}", escape(&items.join(" · ")));
        }
    };
    if doing.reached {
        line("protected by:", &doing.protected);
        line("NOT PROTECTED BY:", &doing.unprotected);
        line("words only for:", &doing.words_only);
    } else {
        line("never reached;", &["no way leads to it".to_owned()]);
    }
    text
}

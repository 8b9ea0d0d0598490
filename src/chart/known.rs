//! What is known at a step, on every path that leads there, as data and as text.
//!
//! Invariant: everything comes from the facts of the proof. Must not know of pictures.

use std::fmt::Write as _;

use super::Chart;
use super::graph::Graph;
use crate::finding::escape;
use crate::procedure::StepId;

/// What is known on arrival at a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// Number and title of the step.
    pub step: String,
    /// Whether any way leads there; if not, nothing is known.
    pub reached: bool,
    /// Titles of what holds on every path.
    pub holds: Vec<String>,
    /// Titles of what is owed on some path.
    pub owed: Vec<String>,
    /// Titles of readings and workings that have a value on every path.
    pub values: Vec<String>,
    /// The acts done there.
    pub acts: Vec<Protection>,
}

/// What protects one act where it is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Protection {
    /// The act's title.
    pub act: String,
    /// Titles of what it needs and what holds on every path.
    pub by: Vec<String>,
    /// Titles of what it needs and what does not hold on some path.
    pub not_by: Vec<String>,
    /// Titles of hazards against which only words stand.
    pub words_only: Vec<String>,
}

impl Known {
    /// The lists with their headings, in the order in which people read them.
    pub(super) fn lists(&self) -> Vec<(String, Vec<String>)> {
        if !self.reached {
            let told = "No way leads to this step.".to_owned();
            return vec![("NEVER REACHED".to_owned(), vec![told])];
        }
        let or_none = |list: &[String], none: &str| match list {
            [] => vec![none.to_owned()],
            some => some.to_vec(),
        };
        let mut lists = Vec::new();
        for act in &self.acts {
            lists.push((format!("ACT: {}", act.act), act.told()));
        }
        lists.push((
            "TRUE on every path to here".to_owned(),
            or_none(&self.holds, "nothing is sure"),
        ));
        lists.push((
            "STILL OWED on some path to here".to_owned(),
            or_none(&self.owed, "nothing"),
        ));
        lists.push((
            "READ OR WORKED OUT on every path to here".to_owned(),
            or_none(&self.values, "nothing"),
        ));
        lists
    }

    /// The page of plain text.
    pub fn text(&self) -> String {
        let mut out = format!("{}\n", escape(&self.step));
        for (heading, lines) in self.lists() {
            let _ = writeln!(out, "\n{}", escape(&heading));
            for line in lines {
                let _ = writeln!(out, "  {}", escape(&line));
            }
        }
        out
    }
}

impl Protection {
    fn told(&self) -> Vec<String> {
        let each = |lead: &str, titles: &[String]| -> Vec<String> {
            titles.iter().map(|t| format!("{lead}{t}")).collect()
        };
        let mut told = each("protected by: ", &self.by);
        told.extend(each("NOT PROTECTED BY: ", &self.not_by));
        told.extend(each("only words warn of: ", &self.words_only));
        if told.is_empty() {
            told.push("nothing is asked for".to_owned());
        }
        told
    }
}

/// What is known at a step; `None` if there is no such step.
pub fn known(chart: &Chart<'_>, id: &StepId) -> Option<Known> {
    let graph = Graph::new(chart.procedure);
    let at = graph.place(id)?;
    let arrival = chart.facts.at(id);
    let mut known = Known {
        step: graph.named(at),
        reached: arrival.is_some(),
        holds: Vec::new(),
        owed: Vec::new(),
        values: Vec::new(),
        acts: Vec::new(),
    };
    if let Some(arrival) = arrival {
        known.holds = arrival.holds.iter().map(|c| chart.condition(c)).collect();
        known.owed = arrival.owed.iter().map(|d| chart.duty(d)).collect();
        known.values = arrival.known.iter().map(|v| chart.value(v)).collect();
    }
    for act in &chart.facts.acts {
        for doing in act.done.iter().filter(|d| &d.step == id) {
            known.acts.push(Protection {
                act: act.title.clone(),
                by: doing.protected.clone(),
                not_by: doing.unprotected.clone(),
                words_only: doing.words_only.clone(),
            });
        }
    }
    Some(known)
}

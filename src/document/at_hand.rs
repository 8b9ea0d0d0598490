//! What a truck, a fault, a drill and a script of a drill may name outside of
//! themselves: the other documents that are at hand.
//!
//! Must not know: where they come from.

use std::collections::BTreeSet;

use super::code::UNKNOWN_NAME;
use super::json::{Node, Span};
use super::reader::{Reader, at};
use crate::procedure::Procedure;
use crate::rig::Truck;

/// Names of documents, and of what stands in them.
#[derive(Debug, Clone, Default)]
pub struct AtHand {
    /// Procedures.
    pub procedures: BTreeSet<String>,
    /// Sheets.
    pub sheets: BTreeSet<String>,
    /// Lists of instruments.
    pub instruments: BTreeSet<String>,
    /// Trucks.
    pub trucks: BTreeSet<String>,
    /// Faults.
    pub faults: BTreeSet<String>,
    /// Drills.
    pub drills: BTreeSet<String>,
    /// Scripts of drills.
    pub scripts: BTreeSet<String>,
    /// Steps of all procedures, with the place of a fragment and without it.
    steps: BTreeSet<String>,
    /// `STEP.TICK` and `STEP.CHOICE` of all procedures, in the same two ways.
    answers: BTreeSet<String>,
    /// Readings of all procedures.
    readings: BTreeSet<String>,
    /// Cards of all trucks.
    cards: BTreeSet<String>,
}

impl AtHand {
    /// Adds a procedure, its steps, answers and readings.
    pub fn add_procedure(&mut self, procedure: &Procedure) {
        self.procedures.insert(procedure.id.to_string());
        let readings = procedure.readings.keys();
        self.readings.extend(readings.map(ToString::to_string));
        for step in &procedure.steps {
            let full = step.id.as_str();
            let short = full.split_once("__").map(|(_, inner)| inner);
            for name in std::iter::once(full).chain(short) {
                self.steps.insert(name.to_owned());
                let ticks = step.ticks.iter().map(|t| t.id.as_str());
                let choices = step.choices().iter().map(|c| c.id.as_str());
                let answers = ticks.chain(choices).map(|a| format!("{name}.{a}"));
                self.answers.extend(answers);
            }
        }
    }

    /// Adds a truck and its cards.
    pub fn add_truck(&mut self, truck: &Truck) {
        self.trucks.insert(truck.id.clone());
        self.cards.extend(truck.cards.keys().cloned());
    }
}

/// Which names something must be among.
pub(super) type Among = fn(&AtHand) -> &BTreeSet<String>;

/// Steps, for lists of names.
pub(super) const STEPS: Among = |hand| &hand.steps;
/// Answers.
pub(super) const ANSWERS: Among = |hand| &hand.answers;
/// Readings.
pub(super) const READINGS: Among = |hand| &hand.readings;
/// Cards.
pub(super) const CARDS: Among = |hand| &hand.cards;

impl Reader {
    /// A name that must be among those at hand, if the reader was told which are.
    pub(super) fn held(&mut self, text: &str, span: Span, what: &str, among: Among) {
        let Some(names) = self.at_hand.as_deref().map(among) else {
            return;
        };
        if names.contains(text) {
            return;
        }
        let sentence = format!("no {what} is called {text:?}");
        let near = names.iter().map(String::as_str);
        let mut finding = at(UNKNOWN_NAME, span, sentence).help_near(text, near);
        if DOCUMENTS.contains(&what) {
            finding = finding.help("give its file too, or lay it among the shop's documents");
        }
        self.push(finding);
    }

    /// The name of another document.
    pub(super) fn other(&mut self, node: &Node, what: &str, among: Among) -> Option<String> {
        let id: crate::procedure::ProcedureId = self.name(node)?;
        self.held(id.as_str(), node.span, what, among);
        Some(id.to_string())
    }
}

/// What a whole document is called.
const DOCUMENTS: [&str; 7] = [
    "procedure",
    "sheet",
    "list of instruments",
    "truck",
    "fault",
    "drill",
    "script",
];

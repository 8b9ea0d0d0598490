//! Drills: which truck, with which faults, under which procedure, and how much is said.
//!
//! Must not know: how a drill is played.

use super::at_hand::STEPS;
use super::form;
use super::json::{Json, Node};
use super::reader::{LINE, Reader};
use crate::procedure::{ProcedureId, StepId};
use crate::rig::{Chosen, Coaching, Plan};

/// The format of drills.
pub(super) const FORMAT: &str = "levelhand drill 1";

/// Faults at once, at most.
const FAULTS: u32 = 4;

/// Drills in a course, at most.
const DRILLS: u32 = 999;

impl Reader {
    /// A drill.
    pub(super) fn drill(&mut self, root: &Node) -> Option<Plan> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::DRILL)?;
        self.schema(&f);
        let id: Option<ProcedureId> = self.need(&f, "id").and_then(|n| self.name(n));
        let title = self.title(&f);
        let aim = self.need(&f, "aim").map(|n| self.lines(n, LINE));
        let number = self
            .need(&f, "number")
            .and_then(|n| self.count(n, 1, DRILLS));
        let after = f
            .get("after")
            .and_then(|n| self.other(n, "drill", |hand| &hand.drills));
        let procedure = self.need(&f, "procedure");
        let procedure = procedure.and_then(|n| self.other(n, "procedure", |h| &h.procedures));
        let sheet = self.need(&f, "sheet");
        let sheet = sheet.and_then(|n| self.other(n, "sheet", |hand| &hand.sheets));
        let instruments = self.need(&f, "instruments");
        let instruments =
            instruments.and_then(|n| self.other(n, "list of instruments", |h| &h.instruments));
        let truck = self.need(&f, "truck");
        let truck = truck.and_then(|n| self.other(n, "truck", |hand| &hand.trucks));
        let faults = self.need(&f, "faults").and_then(|n| self.chosen(n));
        let coachings = Coaching::ALL.map(|c| (c.word(), c));
        let coaching = self
            .need(&f, "coaching")
            .and_then(|n| self.word(n, &coachings));
        let coach = f.get("coach");
        let coach = coach.and_then(|n| self.other(n, "script", |hand| &hand.scripts));
        let scatter = self.flag(&f, "scatter");
        let begin = match f.get("begin") {
            Some(node) => Some(self.begin(node)?),
            None => None,
        };
        Some(Plan {
            id: id?.to_string(),
            title,
            aim: aim?,
            number: number?,
            after,
            procedure: procedure?,
            sheet: sheet?,
            instruments: instruments?,
            truck: truck?,
            faults: faults?,
            coaching: coaching?,
            coach,
            scatter,
            begin,
        })
    }

    fn chosen(&mut self, node: &Node) -> Option<Chosen> {
        if matches!(node.value, Json::Object(_)) {
            let f = self.object(node, &form::DRAWN)?;
            let count = self.need(&f, "draw").and_then(|n| self.count(n, 1, FAULTS));
            let plain = f.get("plain").and_then(|n| self.plain(n));
            return Some(Chosen::Drawn {
                count: count? as usize,
                plain,
            });
        }
        self.fault_names(node).map(Chosen::Named)
    }

    /// Faults by their names.
    pub(super) fn fault_names(&mut self, node: &Node) -> Option<Vec<String>> {
        let items = self.items(node)?;
        let mut names: Vec<String> = Vec::new();
        for item in items {
            let Some(name) = self.other(item, "fault", |hand| &hand.faults) else {
                continue;
            };
            if names.contains(&name) {
                let sentence = format!("{name:?} stands twice in this list");
                self.push(super::reader::at(
                    super::code::DUPLICATE_NAME,
                    item.span,
                    sentence,
                ));
            } else {
                names.push(name);
            }
        }
        Some(names)
    }

    /// Where the person takes over, and the script of what was done before.
    fn begin(&mut self, node: &Node) -> Option<(String, String)> {
        let f = self.object(node, &form::BEGIN)?;
        let step = self.need(&f, "at").and_then(|n| {
            let step: StepId = self.name(n)?;
            self.held(step.as_str(), n.span, "step", STEPS);
            Some(step.to_string())
        });
        let script = self.need(&f, "script");
        let script = script.and_then(|n| self.other(n, "script", |hand| &hand.scripts));
        Some((step?, script?))
    }
}

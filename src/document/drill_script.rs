//! Drills written out: what is done at the truck and what is entered, step by step.
//!
//! Must not know: what comes of it.

use super::code::BAD_DEED;
use super::form;
use super::json::{Json, Node};
use super::reader::{Fields, LINE, Reader, at};
use crate::procedure::ProcedureId;
use crate::rehearsal::{DrillExpect, DrillScript, Move};
use crate::rig::{Deed, Hand};

/// The format of scripts of drills.
pub(super) const FORMAT: &str = "levelhand drill script 1";

/// What can be found in a drill and is no fault of a truck: the sheet is another one's.
const WRONG_SHEET: &str = "wrong_sheet";

/// The longest name of a person.
const PERSON: usize = 40;

impl Reader {
    /// A script of a drill. Its names are held against its procedure if the reader was
    /// given one.
    pub(super) fn drill_script(&mut self, root: &Node) -> Option<DrillScript> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::DRILL_SCRIPT)?;
        self.schema(&f);
        let id: Option<ProcedureId> = self.need(&f, "id").and_then(|n| self.name(n));
        let title = self.title(&f);
        let drill = self.need(&f, "drill");
        let drill = drill.and_then(|n| self.other(n, "drill", |hand| &hand.drills));
        let seed = match f.get("seed") {
            Some(node) => self.count(node, 0, u32::MAX),
            None => Some(0),
        };
        let by = self.need(&f, "by").and_then(|n| self.line(n, PERSON));
        let faults = f.get("faults").and_then(|n| self.fault_names(n));
        let like = f
            .get("like")
            .and_then(|n| self.other(n, "script", |hand| &hand.scripts));
        let moves = self.need(&f, "moves").map(|n| self.drill_moves(n));
        let expect = match f.get("expect") {
            Some(node) => self.drill_expect(node),
            None => Some(DrillExpect::default()),
        };
        Some(DrillScript {
            id: id?.to_string(),
            title,
            drill: drill?,
            seed: u64::from(seed?),
            by: by?,
            faults,
            like,
            moves: moves?,
            expect: expect?,
        })
    }

    fn drill_moves(&mut self, node: &Node) -> Vec<Move> {
        let items = self.items(node).unwrap_or_default();
        items.iter().filter_map(|n| self.drill_move(n)).collect()
    }

    fn drill_move(&mut self, node: &Node) -> Option<Move> {
        let f = self.object(node, &form::DRILL_MOVE)?;
        let hands = self.hands(&f);
        let careful = self.flag(&f, "careful");
        let made = self.move_of(&f)?;
        Some(Move {
            hands,
            careful,
            ..made
        })
    }

    fn hands(&mut self, f: &Fields<'_>) -> Vec<Deed> {
        let items = f.get("hands").and_then(|n| self.items(n));
        let mut hands = Vec::new();
        for item in items.unwrap_or_default() {
            let Some(line) = self.line(item, LINE) else {
                continue;
            };
            match Deed::parse(&line) {
                Ok(deed) => {
                    if let Deed::Do(Hand::Name(fault) | Hand::Mend(fault)) = &deed
                        && fault != WRONG_SHEET
                    {
                        self.held(fault, item.span, "fault", |hand| &hand.faults);
                    }
                    hands.push(deed);
                }
                Err(bad) => {
                    let sentence = format!("{:?} is nothing to do at the truck", bad.found);
                    let finding = at(BAD_DEED, item.span, sentence);
                    self.push(finding.help(format!("write {}", bad.accepted)));
                }
            }
        }
        hands
    }

    fn drill_expect(&mut self, node: &Node) -> Option<DrillExpect> {
        let f = self.object(node, &form::DRILL_EXPECT)?;
        let found = self.found_in(&f, "found");
        let missed = self.found_in(&f, "missed");
        let acts = f.get("acts").and_then(|n| {
            let items = self.items(n)?;
            let names = items.iter().filter_map(|i| self.name::<ProcedureId>(i));
            Some(names.map(|name| name.to_string()).collect())
        });
        let passed = f.get("passed").map(|_| self.flag(&f, "passed"));
        Some(DrillExpect {
            found,
            missed,
            acts,
            passed,
        })
    }

    /// What is there to be found: faults, and a wrong sheet.
    fn found_in(&mut self, f: &Fields<'_>, name: &str) -> Vec<String> {
        let items = f.get(name).and_then(|n| self.items(n));
        let mut names = Vec::new();
        for item in items.unwrap_or_default() {
            if matches!(&item.value, Json::String(text) if text == WRONG_SHEET) {
                names.push(WRONG_SHEET.to_owned());
            } else {
                names.extend(self.other(item, "fault", |hand| &hand.faults));
            }
        }
        names
    }
}

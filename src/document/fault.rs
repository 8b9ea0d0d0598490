//! Faults that a truck to practise on can have.
//!
//! Must not know: which truck has it, in which drill.

use super::at_hand::{CARDS, STEPS};
use super::code::{DUPLICATE_NAME, EMPTY};
use super::form;
use super::json::Node;
use super::reader::{Fields, LINE, Reader, at, head};
use crate::procedure::{ProcedureId, StepId};
use crate::rig::{Fault, Plain, Remedy, Set, Side, Spot};

/// The format of faults.
pub(super) const FORMAT: &str = "levelhand fault 1";

/// Makes a change of a side and a thickness or height.
type Sided = fn(Side, f64) -> Set;

impl Reader {
    /// A fault.
    pub(super) fn fault(&mut self, root: &Node) -> Option<Fault> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::FAULT)?;
        self.schema(&f);
        let id: Option<ProcedureId> = self.need(&f, "id").and_then(|n| self.name(n));
        let title = self.title(&f);
        let plain = self.need(&f, "plain").and_then(|n| self.plain(n));
        let sets = self.need(&f, "sets").and_then(|n| self.sets(n));
        let symptom = self.need(&f, "symptom").map(|n| self.lines(n, LINE));
        let found_at = self.need(&f, "found_at").map(|n| self.found_at(n));
        let remedies = Remedy::ALL.map(|r| (r.key(), r));
        let remedy = self
            .need(&f, "remedy")
            .and_then(|n| self.word(n, &remedies));
        let mending = match remedy {
            Some(Remedy::Mend | Remedy::Swap) => self.need(&f, "mending"),
            Some(Remedy::Stop | Remedy::GoOn) | None => f.get("mending"),
        };
        let mending = mending.and_then(|n| self.line(n, super::reader::TITLE));
        if matches!(remedy, Some(Remedy::Stop | Remedy::GoOn)) {
            self.belongs(&f, "mended_at", "mending");
        }
        let spots = Spot::ALL.map(|spot| (spot.key(), spot));
        let mended_at = f.get("mended_at").and_then(|n| self.word(n, &spots));
        let lesson = self.need(&f, "lesson").map(|n| self.lines(n, LINE));
        Some(Fault {
            id: id?.to_string(),
            title,
            plain: plain?,
            sets: sets?,
            symptom: symptom?,
            found_at: found_at?,
            remedy: remedy?,
            mending,
            mended_at,
            lesson: lesson?,
        })
    }

    /// How plain faults are.
    pub(super) fn plain(&mut self, node: &Node) -> Option<Plain> {
        self.word(node, &Plain::ALL.map(|p| (p.word(), p)))
    }

    fn found_at(&mut self, node: &Node) -> Vec<String> {
        let items = self.items(node).unwrap_or_default();
        if items.is_empty() {
            let finding = at(EMPTY, head(node), "no step is named at which it is found");
            self.push(finding.help("name at least one, such as \"pressures\""));
        }
        let mut steps = Vec::new();
        for item in items {
            let Some(step) = self.name::<StepId>(item) else {
                continue;
            };
            self.held(step.as_str(), item.span, "step", STEPS);
            if steps.iter().any(|s| s == step.as_str()) {
                let sentence = format!("{:?} stands twice in this list", step.as_str());
                self.push(at(DUPLICATE_NAME, item.span, sentence));
            } else {
                steps.push(step.to_string());
            }
        }
        steps
    }

    fn sets(&mut self, node: &Node) -> Option<Vec<Set>> {
        let before = self.findings.len();
        let f = self.object(node, &form::SETS)?;
        let mut sets = Vec::new();
        if let Some(node) = f.get("physics") {
            let numbers = self.physics(node).into_iter();
            sets.extend(numbers.map(|(name, value)| Set::Physics(name, value)));
        }
        let sided: [(&str, Sided); 3] = [
            ("blocks", Set::Block),
            ("hose", Set::Hose),
            ("dirt", Set::Dirt),
        ];
        for (name, make) in sided {
            self.sides(&f, name, make, &mut sets);
        }
        self.tips(&f, &mut sets);
        if let Some(node) = f.get("reservoir") {
            sets.extend(self.tank(node).map(Set::Reservoir));
        }
        if let Some(node) = f.get("shop_air") {
            let shut = self.word(node, &[("shut", true)]);
            sets.extend(shut.map(|_| Set::ShopAirShut));
        }
        if let Some(node) = f.get("cards") {
            for member in self.named_members(node, "cards") {
                let key: Option<ProcedureId> = self.key(member);
                self.held(&member.key, member.key_span, "card", CARDS);
                if let (Some(key), Some(truth)) = (key, self.truth(&member.node)) {
                    sets.push(Set::Card(key.to_string(), truth));
                }
            }
        }
        // What could not be read has its finding already.
        if sets.is_empty() && self.findings.len() == before {
            let finding = at(EMPTY, f.open(), "this fault changes nothing");
            self.push(finding.help("say what it changes, such as \"physics\" or \"cards\""));
        }
        Some(sets)
    }

    fn sides(&mut self, f: &Fields<'_>, name: &str, make: Sided, sets: &mut Vec<Set>) {
        let Some(node) = f.get(name) else { return };
        let Some(s) = self.object(node, &form::SIDES) else {
            return;
        };
        let mut any = false;
        for side in Side::BOTH {
            if let Some(node) = s.get(side.word()) {
                any = true;
                sets.extend(self.metres(node).map(|m| make(side, m)));
            }
        }
        if !any {
            let finding = at(EMPTY, s.open(), "no side is named here");
            self.push(finding.help("name \"left\", \"right\" or both"));
        }
    }

    fn tips(&mut self, f: &Fields<'_>, sets: &mut Vec<Set>) {
        let Some(node) = f.get("tips") else { return };
        let words = Side::BOTH.map(|side| (side.word(), side));
        let items = self.items(node).unwrap_or_default();
        for item in items {
            sets.extend(self.word(item, &words).map(Set::Tips));
        }
    }
}

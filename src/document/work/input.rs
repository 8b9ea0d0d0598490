//! The inputs of a working as they are written: readings, values of the sheet, words,
//! and values with their unit.

use super::{Given, Part};
use crate::calc::{Input, Sum, Takes};
use crate::document::code::{BAD_VALUE, KIND_MISMATCH, UNKNOWN_NAME};
use crate::document::json::{Json, Member, Node};
use crate::document::measure::Kinds;
use crate::document::reader::{Reader, at, head};
use crate::procedure::{SheetNeed, WorkInput};
use crate::quantity::{Kind, Quantity, read_literal};

/// What an input of a working may be, for people.
const ACCEPTED: &str =
    "accepted: value:READING, series:READING, sheet:KEY, or a value with its unit such as 3 mm";

impl Reader {
    /// The inputs: in the sum's order, or by name.
    pub(super) fn work_parts(
        &mut self,
        from: &Node,
        sum: &'static Sum,
        kinds: &Kinds,
    ) -> Option<Vec<Part>> {
        if let Json::Object(members) = &from.value {
            return self.by_name(members, sum, kinds);
        }
        let items = self.items(from)?;
        if let Some(over) = items.get(sum.inputs.len()) {
            let sentence = format!(
                "the sum {} takes {} inputs; {} were given",
                sum.name,
                sum.inputs.len(),
                items.len()
            );
            let help = format!("in this order: {}", keys(sum));
            self.push(at(KIND_MISMATCH, over.span, sentence).help(help));
            return None;
        }
        let parts = items.iter().zip(sum.inputs).enumerate();
        let parts: Vec<Option<Part>> = parts
            .map(|(slot, (item, takes))| {
                Some(Part {
                    slot,
                    given: self.input(item, takes, kinds)?,
                    span: item.span,
                    whole: item.span,
                })
            })
            .collect();
        parts.into_iter().collect()
    }

    fn by_name(
        &mut self,
        members: &[Member],
        sum: &'static Sum,
        kinds: &Kinds,
    ) -> Option<Vec<Part>> {
        let mut parts = Vec::new();
        for member in members.iter().filter(|m| m.key != "note") {
            let found = sum
                .input(&member.key)
                .and_then(|slot| Some((slot, sum.inputs.get(slot)?)));
            let Some((slot, takes)) = found else {
                let sentence = format!("the sum {} takes no {:?}", sum.name, member.key);
                let known = sum.inputs.iter().map(|i| i.key);
                let finding = at(UNKNOWN_NAME, member.key_span, sentence);
                self.push(finding.help_near(&member.key, known));
                parts.push(None);
                continue;
            };
            let nodes: Vec<&Node> = match &member.node.value {
                Json::List(items) => items.iter().collect(),
                Json::Null
                | Json::Bool(_)
                | Json::Number(_)
                | Json::String(_)
                | Json::Object(_) => vec![&member.node],
            };
            for node in nodes {
                let given = self.input(node, takes, kinds);
                parts.push(given.map(|given| Part {
                    slot,
                    given,
                    span: node.span,
                    whole: head(&member.node),
                }));
            }
        }
        parts.into_iter().collect()
    }

    fn input(&mut self, node: &Node, takes: &Input, kinds: &Kinds) -> Option<Given> {
        if let (Json::Number(_), Takes::Is(kind)) = (&node.value, takes.takes) {
            let value = self.quantity(node, kind)?;
            return Some(Given::Literal(vec![value]));
        }
        let text = self.string(node)?;
        let part = |rest: &str| Node {
            span: node.span,
            value: Json::String(rest.to_owned()),
        };
        if let Some(rest) = text.strip_prefix("value:") {
            let value = self.named(&part(rest))?;
            return Some(Given::Known(WorkInput::Value(value)));
        }
        if let Some(rest) = text.strip_prefix("series:") {
            let series = self.named(&part(rest))?;
            return Some(Given::Known(WorkInput::Series(series)));
        }
        if let Some(rest) = text.strip_prefix("sheet:") {
            return self.sheet_input(node, rest, takes, kinds);
        }
        if let Takes::Word(words) = takes.takes {
            if words.contains(&text) {
                return Some(Given::Known(WorkInput::Word(text.to_owned())));
            }
            let sentence = format!("{text:?} is no word for {}", takes.key);
            let finding = at(UNKNOWN_NAME, node.span, sentence);
            self.push(finding.help_near(text, words.iter().copied()));
            return None;
        }
        self.literal(node, text, takes, kinds)
    }

    fn sheet_input(
        &mut self,
        node: &Node,
        key: &str,
        takes: &Input,
        kinds: &Kinds,
    ) -> Option<Given> {
        let key = self.sheet_key(node, key, kinds)?;
        let fits = match kinds.sheet.get(&key) {
            Some(SheetNeed::Quantity(_)) => true,
            Some(SheetNeed::Word(_)) => matches!(takes.takes, Takes::Word(_)),
            Some(SheetNeed::Text) | None => false,
        };
        if !fits {
            let sentence = format!("the sheet value {key} is no quantity; a sum can't use it");
            self.push(at(KIND_MISMATCH, node.span, sentence));
            return None;
        }
        Some(Given::Known(WorkInput::Sheet(key)))
    }

    /// A value with its unit, as each kind that it may be.
    fn literal(&mut self, node: &Node, text: &str, takes: &Input, kinds: &Kinds) -> Option<Given> {
        if let Some(mark) = ["±", "+-", "+/-", " step "]
            .into_iter()
            .find(|m| text.contains(m))
        {
            let sentence = format!("{} can't stand in a document", mark.trim());
            let finding = at(BAD_VALUE, node.span, sentence)
                .help("write the value alone; how sure a reading is, its instrument says");
            self.push(finding);
            return None;
        }
        let may_be: Vec<Quantity> = Kind::ALL
            .into_iter()
            .filter_map(|kind| read_literal(text, kind).ok())
            .map(|typed| typed.quantity)
            .collect();
        let has_digit = text.contains(|c: char| c.is_ascii_digit());
        let wanted = match takes.takes {
            Takes::Is(kind) => Some(kind),
            Takes::AnyOf([kind, ..]) if may_be.is_empty() => Some(*kind),
            Takes::AnyOf(_) | Takes::Like(_) | Takes::Word(_) => None,
        };
        // A bare number is of another kind by accident only: what lacks is the unit.
        let is_bare = text.ends_with(|c: char| c.is_ascii_digit());
        if let Some(kind) = wanted.filter(|_| has_digit && (is_bare || may_be.is_empty()))
            && let Err(misread) = read_literal(text, kind)
        {
            self.push(at(BAD_VALUE, node.span, misread.to_string()));
            return None;
        }
        if may_be.is_empty() {
            let finding = at(
                BAD_VALUE,
                node.span,
                format!("{text:?} is no input of a sum"),
            );
            let is_value = kinds.values.keys().any(|id| id.as_str() == text);
            let help = if is_value {
                format!("did you mean \"value:{text}\"?")
            } else {
                ACCEPTED.to_owned()
            };
            self.push(finding.help(help));
            return None;
        }
        Some(Given::Literal(may_be))
    }
}

/// The inputs of a sum in their order.
fn keys(sum: &Sum) -> String {
    let keys: Vec<&str> = sum.inputs.iter().map(|input| input.key).collect();
    keys.join(", ")
}

//! A working that is like another: the sum and the inputs from there, some of its own.
//!
//! Invariant: what is found wrong with it stands in the working at hand; what is wrong
//! with the other is said there alone.

use super::{Made, Part};
use crate::calc::{self, Sum};
use crate::document::code::{BAD_VALUE, MISSING_FIELD, NOT_A_WORKING, UNKNOWN_NAME, WORKING_CYCLE};
use crate::document::json::{Json, Member, Node};
use crate::document::measure::Kinds;
use crate::document::reader::{Fields, Reader, at, head};
use crate::finding::{Finding, listed};

impl Reader {
    /// The sum and the inputs of another working, but for the inputs that this one
    /// has of its own.
    pub(super) fn like(
        &mut self,
        member: &Member,
        fields: &Fields<'_>,
        like: &Node,
        all: &[Member],
        kinds: &Kinds,
    ) -> Option<Made> {
        let name = self.string(like)?;
        if let Some(sum) = fields.member("sum") {
            let sentence = "a working that is like another takes its sum from there".to_owned();
            self.push(at(BAD_VALUE, sum.key_span, sentence).help("leave out \"sum\", or \"like\""));
            return None;
        }
        if let Some(finding) = not_a_base(member, name, like, all, kinds) {
            self.push(finding);
            return None;
        }
        let base = all.iter().find(|m| m.key == name);
        let part = |key: &str| base.and_then(|base| field(base, key));
        let sum = part("sum").and_then(|node| text(node)).and_then(calc::find);
        let (Some(sum), Some(from)) = (sum, part("from")) else {
            // What is wrong there is said there.
            self.spoil();
            return None;
        };
        let own = fields.get("from");
        if own.is_none() && fields.get("gives").is_none() {
            self.same_again(fields, name, like, sum);
            return None;
        }
        let before = self.work_parts(from, sum, kinds).map(|mut parts| {
            for part in &mut parts {
                part.span = like.span;
                part.whole = like.span;
            }
            parts
        });
        let Some(own) = own else {
            return Some(Made {
                sum,
                from: like.span,
                parts: before,
            });
        };
        let own_parts = self.work_parts(own, sum, kinds);
        Some(Made {
            sum,
            from: head(own),
            parts: before
                .zip(own_parts)
                .map(|(before, own)| joined(before, own)),
        })
    }

    /// Neither another result nor other inputs: nothing says what it is.
    fn same_again(&mut self, fields: &Fields<'_>, name: &str, like: &Node, sum: &'static Sum) {
        if self.meant(fields, "gives") || self.meant(fields, "from") {
            self.spoil();
            return;
        }
        let sentence =
            format!("a working that has all inputs of {name:?} must name the result it takes");
        let results = listed(sum.outputs.iter().map(|o| o.key));
        let finding = at(MISSING_FIELD, like.span, sentence)
            .help(format!("add \"gives\": one of {results}"))
            .help("or \"from\": the inputs that are other than there");
        self.push(finding);
    }
}

/// The inputs from there without those that this working has of its own, and its own.
fn joined(before: Vec<Part>, own: Vec<Part>) -> Vec<Part> {
    let replaced = |slot: usize| own.iter().any(|part| part.slot == slot);
    let mut parts: Vec<Part> = before.into_iter().filter(|p| !replaced(p.slot)).collect();
    parts.extend(own);
    parts.sort_by_key(|part| part.slot);
    parts
}

/// Why a working can't be like what is named.
fn not_a_base(
    member: &Member,
    name: &str,
    like: &Node,
    all: &[Member],
    kinds: &Kinds,
) -> Option<Finding> {
    let has_own = |m: &&Member| m.key != member.key && field(m, "sum").is_some();
    let offered: Vec<&str> = all.iter().filter(has_own).map(|m| m.key.as_str()).collect();
    let offer = if offered.is_empty() {
        "there is no other working with a sum of its own".to_owned()
    } else {
        format!(
            "with a sum of their own: {}",
            listed(offered.iter().copied())
        )
    };
    if name == member.key {
        let sentence = "a working can't be like itself";
        return Some(at(WORKING_CYCLE, like.span, sentence).help(offer));
    }
    let Some(base) = all.iter().find(|m| m.key == name && m.key != "note") else {
        let is_reading = kinds.values.keys().any(|id| id.as_str() == name);
        if is_reading {
            let sentence = format!("{name} is a reading; a working is like another working");
            return Some(at(NOT_A_WORKING, like.span, sentence).help(offer));
        }
        let sentence = format!("no working {name:?} with a sum of its own");
        return Some(at(UNKNOWN_NAME, like.span, sentence).help_near(name, offered));
    };
    let further = field(base, "like")?;
    let sentence = format!("the working {name} is itself like another; it has no sum of its own");
    let help = match text(further) {
        Some(first) if offered.contains(&first) => format!("write \"like\": {first:?}"),
        Some(_) | None => offer,
    };
    Some(at(BAD_VALUE, like.span, sentence).help(help))
}

fn field<'a>(member: &'a Member, key: &str) -> Option<&'a Node> {
    match &member.node.value {
        Json::Object(fields) => fields.iter().find(|m| m.key == key).map(|m| &m.node),
        Json::Null | Json::Bool(_) | Json::Number(_) | Json::String(_) | Json::List(_) => None,
    }
}

fn text(node: &Node) -> Option<&str> {
    match &node.value {
        Json::String(text) => Some(text),
        Json::Null | Json::Bool(_) | Json::Number(_) | Json::List(_) | Json::Object(_) => None,
    }
}

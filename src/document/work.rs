//! Workings: their inputs and, from the registry, their kinds.

mod circle;
mod input;
mod like;
mod suit;

use std::collections::{BTreeMap, BTreeSet};

use self::suit::offers;
use super::code::{KIND_MISMATCH, MISSING_FIELD, UNKNOWN_NAME};
use super::form;
use super::json::{Json, Member, Node, Span};
use super::measure::Kinds;
use super::reader::{Fields, Reader, at, head};
use crate::calc::{self, Gives, REGISTRY, Sum};
use crate::finding::{Subject, listed, near};
use crate::procedure::{ValueId, WorkInput, Working};
use crate::quantity::{Kind, Quantity};

/// What stands for an input before kinds are known.
enum Given {
    Known(WorkInput),
    /// A value of a kind still to be told, with its readings as each kind it may be.
    Literal(Vec<Quantity>),
}

/// One value of an input.
struct Part {
    /// Which input of the sum.
    slot: usize,
    given: Given,
    /// Where it stands, or the `like` that brings it.
    span: Span,
    /// Where all values of this input stand.
    whole: Span,
}

struct Raw<'a> {
    id: ValueId,
    fields: Fields<'a>,
    sum: &'static Sum,
    /// The sum's result that is wanted.
    output: usize,
    /// Where the inputs stand in this working: its own `from`, else its `like`.
    from: Span,
    /// The working that it is like.
    base: Option<&'a str>,
    parts: Vec<Part>,
}

/// The sum of a working and what it is made from.
struct Made {
    sum: &'static Sum,
    from: Span,
    parts: Option<Vec<Part>>,
}

impl Reader {
    /// All workings; their kinds join `kinds`.
    pub(super) fn workings(
        &mut self,
        root: &Fields<'_>,
        kinds: &mut Kinds,
    ) -> BTreeMap<ValueId, Working> {
        let mut out = BTreeMap::new();
        let Some(Json::Object(members)) = root.get("workings").map(|n| &n.value) else {
            return out;
        };
        let mut waiting: Vec<Raw<'_>> = Vec::new();
        for member in members {
            let raw = self.working(member, members, kinds);
            if raw.is_none() && member.key != "note" {
                self.spoil();
            }
            waiting.extend(raw);
        }
        while !waiting.is_empty() {
            let (ready, later) = next(waiting, kinds);
            waiting = later;
            if ready.is_empty() {
                break;
            }
            for raw in ready {
                self.own(&raw);
                if let Some(working) = self.worked(&raw, kinds) {
                    kinds.values.insert(raw.id.clone(), working.kind);
                    out.insert(raw.id, working);
                }
            }
        }
        self.cycles(&waiting);
        out
    }

    fn own(&mut self, raw: &Raw<'_>) {
        let about = Subject::Working(raw.id.to_string());
        self.about(about, raw.fields.open(), Some(&raw.fields));
    }

    fn working<'a>(
        &mut self,
        member: &'a Member,
        all: &'a [Member],
        kinds: &Kinds,
    ) -> Option<Raw<'a>> {
        if member.key == "note" && matches!(member.node.value, Json::String(_) | Json::List(_)) {
            return None;
        }
        let about = Subject::Working(member.key.clone());
        self.about(about.clone(), member.key_span, None);
        let id = self.key(member);
        let fields =
            self.object_with(&member.node, form::WORKING.what, known_fields(&member.node))?;
        self.spots.remove(&about);
        self.about(about, member.key_span, Some(&fields));
        let like = fields.get("like");
        let made = match like {
            Some(like) => self.like(member, &fields, like, all, kinds)?,
            None => self.made(&fields, kinds)?,
        };
        let output = self.gives(&fields, made.sum);
        let base = like.and_then(|node| match &node.value {
            Json::String(text) => Some(text.as_str()),
            Json::Null | Json::Bool(_) | Json::Number(_) | Json::List(_) | Json::Object(_) => None,
        });
        Some(Raw {
            id: id?,
            fields,
            sum: made.sum,
            output: output?,
            from: made.from,
            base,
            parts: made.parts?,
        })
    }

    /// The sum and the inputs of a working that is like no other.
    fn made(&mut self, fields: &Fields<'_>, kinds: &Kinds) -> Option<Made> {
        if fields.get("sum").is_none() && !self.meant(fields, "sum") && !self.meant(fields, "like")
        {
            let sentence = "a working lacks its field \"sum\"";
            let finding = at(MISSING_FIELD, fields.open(), sentence)
                .help("add it: \"sum\": the name of a sum; or \"like\": a working whose sum and inputs this one takes");
            self.push(finding);
        }
        let sum = fields.get("sum").and_then(|node| self.sum(node));
        if sum.is_none() {
            self.spoil();
        }
        let from = self.need(fields, "from")?;
        let sum = sum?;
        Some(Made {
            sum,
            from: head(from),
            parts: self.work_parts(from, sum, kinds),
        })
    }

    /// The result that is wanted: the one that `gives` names, else the first.
    fn gives(&mut self, fields: &Fields<'_>, sum: &'static Sum) -> Option<usize> {
        let Some(node) = fields.get("gives") else {
            return Some(0);
        };
        let text = self.string(node)?;
        let found = sum.output(text);
        if found.is_none() {
            let sentence = format!("the sum {} gives no {text:?}", sum.name);
            let known = sum.outputs.iter().map(|o| o.key);
            self.push(at(UNKNOWN_NAME, node.span, sentence).help_near(text, known));
        }
        found
    }

    fn sum(&mut self, node: &Node) -> Option<&'static Sum> {
        let text = self.string(node)?;
        let found = calc::find(text);
        if found.is_none() {
            let finding = at(
                UNKNOWN_NAME,
                node.span,
                format!("no sum is called {text:?}"),
            )
            .help_near(text, REGISTRY.iter().map(|s| s.name));
            self.push(finding);
        }
        found
    }

    /// The working with the kind that its sum gives.
    fn worked(&mut self, raw: &Raw<'_>, kinds: &Kinds) -> Option<Working> {
        let title = self.title(&raw.fields);
        let for_record = self.for_record(&raw.fields);
        let is_told = |base: &str| self.spoiled.contains(&Subject::Working(base.to_owned()));
        if raw.base.is_some_and(is_told) {
            self.spoil();
            return None;
        }
        self.fits(raw, kinds)?;
        let Some(offers) = offers(raw, kinds) else {
            self.spoil();
            return None;
        };
        let settled = match raw.sum.settle(&offers) {
            Ok(settled) => settled,
            Err(error) => {
                self.push(at(KIND_MISMATCH, raw.from, error.to_string()));
                return None;
            }
        };
        self.in_bounds(raw, &settled)?;
        let Some(kind) = raw.sum.result_kind(raw.output, &settled) else {
            self.text_result(raw);
            return None;
        };
        let output = raw.sum.outputs.get(raw.output)?;
        Some(Working {
            title,
            sum: raw.sum.name.to_owned(),
            gives: output.key.to_owned(),
            inputs: resolve(raw, &settled)?,
            slots: raw.parts.iter().map(|part| part.slot).collect(),
            kind,
            shown: self.shown(&raw.fields, Some(kind)),
            for_record,
        })
    }

    /// A working is a value; the place is in the working at hand.
    fn text_result(&mut self, raw: &Raw<'_>) {
        let mut fields = ["gives", "like", "sum"].into_iter();
        let place = fields.find_map(|name| raw.fields.get(name));
        let output = raw.sum.outputs.get(raw.output).map_or("", |o| o.key);
        let sentence = format!("{output} of the sum {} is a text, no value", raw.sum.name);
        let values = raw.sum.outputs.iter();
        let values = values.filter(|o| !matches!(o.gives, Gives::Word(_)));
        let help = format!(
            "a working is a value; name one in \"gives\": {}",
            listed(values.map(|o| o.key))
        );
        let place = place.map_or(raw.from, |node| node.span);
        self.push(at(KIND_MISMATCH, place, sentence).help(help));
    }
}

/// The fields that a working may have; a misspelt "from" is told as such, not as "for".
fn known_fields(node: &Node) -> &'static [&'static str] {
    let all = form::WORKING.fields;
    let Json::Object(members) = &node.value else {
        return all;
    };
    let has = |key: &str| members.iter().any(|m| m.key == key);
    let slips = members.iter().any(|m| {
        let holds_inputs = matches!(m.node.value, Json::List(_) | Json::Object(_));
        holds_inputs && !all.contains(&m.key.as_str()) && near(&m.key, ["from"]).is_some()
    });
    match all.split_last() {
        Some((&"for", others)) if slips && !has("for") && !has("from") => others,
        _ => all,
    }
}

/// Those whose inputs are known, a working before those that are like it; and the rest.
fn next<'a>(waiting: Vec<Raw<'a>>, kinds: &Kinds) -> (Vec<Raw<'a>>, Vec<Raw<'a>>) {
    let names: BTreeSet<String> = waiting.iter().map(|raw| raw.id.to_string()).collect();
    let waits = |raw: &Raw<'_>| raw.base.is_some_and(|base| names.contains(base));
    let in_turn = |raw: &Raw<'_>| is_ready(raw, kinds) && !waits(raw);
    if waiting.iter().any(in_turn) {
        return waiting.into_iter().partition(in_turn);
    }
    waiting.into_iter().partition(|raw| is_ready(raw, kinds))
}

/// What a working is made from, with the place of each.
fn needed<'a>(raw: &'a Raw<'_>) -> impl Iterator<Item = (&'a ValueId, Span)> {
    raw.parts.iter().filter_map(|part| match &part.given {
        Given::Known(WorkInput::Value(v) | WorkInput::Series(v)) => Some((v, part.span)),
        Given::Known(WorkInput::Sheet(_) | WorkInput::Literal(_) | WorkInput::Word(_))
        | Given::Literal(_) => None,
    })
}

fn is_ready(raw: &Raw<'_>, kinds: &Kinds) -> bool {
    needed(raw).all(|(v, _)| kinds.values.contains_key(v))
}

/// The parts, literals as the kinds that were settled.
fn resolve(raw: &Raw<'_>, settled: &[Option<Kind>]) -> Option<Vec<WorkInput>> {
    let part = |part: &Part| match &part.given {
        Given::Known(input) => Some(input.clone()),
        Given::Literal(may_be) => {
            let kind = settled.get(part.slot).copied().flatten()?;
            let found = may_be.iter().find(|q| q.kind() == kind)?;
            Some(WorkInput::Literal(*found))
        }
    };
    raw.parts.iter().map(part).collect()
}

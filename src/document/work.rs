//! Workings: their inputs and, from the registry, their kinds.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{BAD_VALUE, KIND_MISMATCH, UNKNOWN_NAME, WORKING_CYCLE};
use super::json::{Json, Member, Node};
use super::measure::Kinds;
use super::reader::{Fields, Reader, at};
use crate::calc::{self, REGISTRY, Sum};
use crate::finding::Subject;
use crate::procedure::{SheetNeed, ValueId, WorkInput, Working};
use crate::quantity::{Kind, Quantity, read_literal};

/// One input before kinds are known.
enum Given {
    Known(WorkInput),
    /// A value of a kind still to be told, with its readings as each kind it may be.
    Literal(Vec<Quantity>),
}

struct Raw<'a> {
    id: ValueId,
    fields: Fields<'a>,
    sum: &'static Sum,
    from: &'a Node,
    inputs: Vec<Given>,
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
            let raw = self.working(member, kinds);
            if raw.is_none() && member.key != "note" {
                self.spoil();
            }
            waiting.extend(raw);
        }
        loop {
            let before = waiting.len();
            let (ready, later): (Vec<_>, Vec<_>) =
                waiting.into_iter().partition(|raw| is_ready(raw, kinds));
            for raw in ready {
                self.own(&raw);
                if let Some(working) = self.worked(&raw, kinds) {
                    kinds.values.insert(raw.id.clone(), working.kind);
                    out.insert(raw.id, working);
                }
            }
            waiting = later;
            if waiting.len() == before {
                break;
            }
        }
        self.cycles(&waiting);
        out
    }

    fn own(&mut self, raw: &Raw<'_>) {
        let about = Subject::Working(raw.id.to_string());
        self.about(about, raw.fields.open(), Some(&raw.fields));
    }

    fn working<'a>(&mut self, member: &'a Member, kinds: &Kinds) -> Option<Raw<'a>> {
        if member.key == "note" && matches!(member.node.value, Json::String(_) | Json::List(_)) {
            return None;
        }
        let about = Subject::Working(member.key.clone());
        self.about(about.clone(), member.key_span, None);
        let id = self.key(member);
        let fields = self.object(
            &member.node,
            "a working",
            &["title", "sum", "from", "shown", "for"],
        )?;
        self.spots.remove(&about);
        self.about(about, member.key_span, Some(&fields));
        let sum = self.need(&fields, "sum").and_then(|n| self.sum(n));
        let from = self.need(&fields, "from")?;
        let items = self.items(from)?;
        let inputs: Option<Vec<Given>> = items
            .iter()
            .map(|item| self.input(item, kinds))
            .collect::<Vec<_>>()
            .into_iter()
            .collect();
        Some(Raw {
            id: id?,
            fields,
            sum: sum?,
            from,
            inputs: inputs?,
        })
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

    fn input(&mut self, node: &Node, kinds: &Kinds) -> Option<Given> {
        let text = self.string(node)?;
        let part = |rest: &str| Node {
            span: node.span,
            value: Json::String(rest.to_owned()),
        };
        if let Some(rest) = text.strip_prefix("value:") {
            return self
                .named(&part(rest))
                .map(|v| Given::Known(WorkInput::Value(v)));
        }
        if let Some(rest) = text.strip_prefix("series:") {
            return self
                .named(&part(rest))
                .map(|v| Given::Known(WorkInput::Series(v)));
        }
        if let Some(rest) = text.strip_prefix("sheet:") {
            let key = self.sheet_key(node, rest, kinds)?;
            if !matches!(kinds.sheet.get(&key), Some(SheetNeed::Quantity(_))) {
                let sentence = format!("the sheet value {key} is no quantity; a sum can't use it");
                self.push(at(KIND_MISMATCH, node.span, sentence));
                return None;
            }
            return Some(Given::Known(WorkInput::Sheet(key)));
        }
        let may_be: Vec<Quantity> = Kind::ALL
            .into_iter()
            .filter_map(|kind| read_literal(text, kind).ok())
            .map(|typed| typed.quantity)
            .collect();
        if may_be.is_empty() {
            let finding = at(BAD_VALUE, node.span, format!("{text:?} is no input of a sum"))
                .help("accepted: value:READING, series:READING, sheet:KEY, or a value with its unit such as 3 mm");
            self.push(finding);
            return None;
        }
        Some(Given::Literal(may_be))
    }

    /// The working with the kind that its sum gives.
    fn worked(&mut self, raw: &Raw<'_>, kinds: &Kinds) -> Option<Working> {
        let title = self.title(&raw.fields);
        let for_record = self.for_record(&raw.fields);
        self.series_fit(raw)?;
        let (inputs, kind) = match resolve(raw, kinds) {
            Some(Ok(found)) => found,
            Some(Err(error)) => {
                let finding = at(KIND_MISMATCH, super::reader::head(raw.from), error)
                    .help(format!("{}: {}", raw.sum.name, raw.sum.formula));
                self.push(finding);
                return None;
            }
            None => {
                self.spoil();
                return None;
            }
        };
        Some(Working {
            title,
            sum: raw.sum.name.to_owned(),
            inputs,
            kind,
            shown: self.shown(&raw.fields, Some(kind)),
            for_record,
        })
    }

    /// A series goes where the sum takes one, and nothing else does.
    fn series_fit(&mut self, raw: &Raw<'_>) -> Option<()> {
        let mut fits = true;
        for (given, input) in raw.inputs.iter().zip(raw.sum.inputs) {
            let is_series = matches!(given, Given::Known(WorkInput::Series(_)));
            if is_series != input.series {
                let wanted = if input.series {
                    "all points of a series (series:READING)"
                } else {
                    "one value"
                };
                let sentence =
                    format!("the sum {} takes {wanted} for {}", raw.sum.name, input.name);
                self.push(at(KIND_MISMATCH, super::reader::head(raw.from), sentence));
                fits = false;
            }
        }
        fits.then_some(())
    }

    /// What still waits either waits for itself or for something that could not be read.
    fn cycles(&mut self, waiting: &[Raw<'_>]) {
        for raw in waiting {
            self.own(raw);
            if reaches_itself(raw, waiting) {
                let sentence = format!("the working {} is made from itself", raw.id);
                let finding = at(WORKING_CYCLE, super::reader::head(raw.from), sentence)
                    .help("a working is made from readings and from workings that come before it");
                self.push(finding);
            } else {
                self.spoil();
            }
        }
    }
}

fn needed<'a>(raw: &'a Raw<'_>) -> impl Iterator<Item = &'a ValueId> {
    raw.inputs.iter().filter_map(|given| match given {
        Given::Known(WorkInput::Value(v) | WorkInput::Series(v)) => Some(v),
        Given::Known(WorkInput::Sheet(_) | WorkInput::Literal(_)) | Given::Literal(_) => None,
    })
}

fn is_ready(raw: &Raw<'_>, kinds: &Kinds) -> bool {
    needed(raw).all(|v| kinds.values.contains_key(v))
}

fn reaches_itself(raw: &Raw<'_>, waiting: &[Raw<'_>]) -> bool {
    let mut seen: BTreeSet<&ValueId> = BTreeSet::new();
    let mut open: Vec<&ValueId> = needed(raw).collect();
    while let Some(id) = open.pop() {
        if *id == raw.id {
            return true;
        }
        if seen.insert(id) {
            open.extend(waiting.iter().filter(|r| r.id == *id).flat_map(needed));
        }
    }
    false
}

/// Inputs and kind; the first reading of the literals that the sum can use.
/// `None` if the kind of an input is not known.
fn resolve(raw: &Raw<'_>, kinds: &Kinds) -> Option<Result<(Vec<WorkInput>, Kind), String>> {
    let mut error = None;
    let mut combination = vec![0_usize; raw.inputs.len()];
    // Literals are few and each is of a few kinds; the cap holds a document that has many.
    for _ in 0..256 {
        let mut inputs = Vec::new();
        let mut found = Vec::new();
        for (given, pick) in raw.inputs.iter().zip(&combination) {
            let input = match given {
                Given::Known(input) => input.clone(),
                Given::Literal(may_be) => WorkInput::Literal(*may_be.get(*pick)?),
            };
            found.push(kind_of(&input, kinds)?);
            inputs.push(input);
        }
        match raw.sum.kind(&found) {
            Ok(kind) => return Some(Ok((inputs, kind))),
            Err(e) => error = error.or(Some(e.to_string())),
        }
        if !next(&mut combination, &raw.inputs) {
            break;
        }
    }
    error.map(Err)
}

/// Counts the combination on; false after the last.
fn next(combination: &mut [usize], inputs: &[Given]) -> bool {
    for (pick, given) in combination.iter_mut().zip(inputs) {
        if let Given::Literal(may_be) = given {
            *pick += 1;
            if *pick < may_be.len() {
                return true;
            }
            *pick = 0;
        }
    }
    false
}

fn kind_of(input: &WorkInput, kinds: &Kinds) -> Option<Kind> {
    match input {
        WorkInput::Value(v) | WorkInput::Series(v) => kinds.values.get(v).copied(),
        WorkInput::Sheet(key) => match kinds.sheet.get(key)? {
            SheetNeed::Quantity(kind) => Some(*kind),
            SheetNeed::Word(_) | SheetNeed::Text => None,
        },
        WorkInput::Literal(quantity) => Some(quantity.kind()),
    }
}

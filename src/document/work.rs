//! Workings: their inputs and, from the registry, their kinds.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{BAD_VALUE, KIND_MISMATCH, UNKNOWN_NAME, WORKING_CYCLE};
use super::json::{Json, Member, Node};
use super::measure::Kinds;
use super::reader::{Fields, Reader, at};
use crate::calc::{self, Input, Offer, REGISTRY, Sum, Takes};
use crate::finding::Subject;
use crate::procedure::{SheetNeed, ValueId, WorkInput, Working};
use crate::quantity::{Kind, Quantity, read_literal};

/// One part of an input before kinds are known.
enum Given {
    Known(WorkInput),
    /// A value of a kind still to be told, with its readings as each kind it may be.
    Literal(Vec<Quantity>),
}

struct Raw<'a> {
    id: ValueId,
    fields: Fields<'a>,
    sum: &'static Sum,
    /// The sum's result that is wanted.
    output: usize,
    from: &'a Node,
    /// Which input of the sum, and a part of it.
    parts: Vec<(usize, Given)>,
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
        let fields = self.object(
            &member.node,
            "a working",
            &["title", "like", "sum", "gives", "from", "shown", "for"],
        )?;
        self.spots.remove(&about);
        self.about(about, member.key_span, Some(&fields));
        let (sum, from, parts) = if let Some(like) = fields.get("like") {
            self.like(&fields, like, all, kinds)?
        } else {
            let sum = self.need(&fields, "sum").and_then(|n| self.sum(n));
            let from = self.need(&fields, "from")?;
            let sum = sum?;
            (sum, from, self.work_parts(from, sum, kinds))
        };
        let output = self.gives(&fields, sum);
        Some(Raw {
            id: id?,
            fields,
            sum,
            output: output?,
            from,
            parts: parts?,
        })
    }

    /// The sum and the inputs of another working, but for the inputs that this one
    /// has of its own.
    #[expect(
        clippy::type_complexity,
        reason = "three things that belong together once"
    )]
    fn like<'a>(
        &mut self,
        fields: &Fields<'a>,
        like: &'a Node,
        all: &'a [Member],
        kinds: &Kinds,
    ) -> Option<(&'static Sum, &'a Node, Option<Vec<(usize, Given)>>)> {
        let name = self.string(like)?;
        if let Some(sum) = fields.member("sum") {
            let sentence = "a working that is like another takes its sum from there".to_owned();
            self.push(at(BAD_VALUE, sum.key_span, sentence).help("leave out \"sum\", or \"like\""));
            return None;
        }
        let base = all.iter().find(|m| m.key == name);
        let base = base.and_then(|member| match &member.node.value {
            Json::Object(base) => Some(base),
            Json::Null | Json::Bool(_) | Json::Number(_) | Json::String(_) | Json::List(_) => None,
        });
        let part = |key: &str| base?.iter().find(|m| m.key == key).map(|m| &m.node);
        let (Some(sum), Some(from)) = (part("sum"), part("from")) else {
            let sentence = format!("no working {name:?} with a sum of its own");
            let known = all.iter().map(|m| m.key.as_str());
            self.push(at(UNKNOWN_NAME, like.span, sentence).help_near(name, known));
            return None;
        };
        // What is wrong there is said there.
        let Some(sum) = (match &sum.value {
            Json::String(text) => calc::find(text),
            Json::Null | Json::Bool(_) | Json::Number(_) | Json::List(_) | Json::Object(_) => None,
        }) else {
            self.spoil();
            return None;
        };
        let before = self.work_parts(from, sum, kinds);
        let Some(own) = fields.get("from") else {
            return Some((sum, from, before));
        };
        let own_parts = self.work_parts(own, sum, kinds);
        let parts = before.zip(own_parts).map(|(before, own)| {
            let replaced = |slot: usize| own.iter().any(|(s, _)| *s == slot);
            let mut parts: Vec<_> = before.into_iter().filter(|(s, _)| !replaced(*s)).collect();
            parts.extend(own);
            parts.sort_by_key(|(slot, _)| *slot);
            parts
        });
        Some((sum, own, parts))
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

    /// The inputs: in the sum's order, or by name.
    fn work_parts(
        &mut self,
        from: &Node,
        sum: &'static Sum,
        kinds: &Kinds,
    ) -> Option<Vec<(usize, Given)>> {
        let Json::Object(members) = &from.value else {
            let items = self.items(from)?;
            if items.len() > sum.inputs.len() {
                let sentence = format!(
                    "the sum {} takes {} inputs; {} were given",
                    sum.name,
                    sum.inputs.len(),
                    items.len()
                );
                self.push(at(KIND_MISMATCH, super::reader::head(from), sentence));
                return None;
            }
            let parts: Vec<Option<(usize, Given)>> = items
                .iter()
                .zip(sum.inputs)
                .enumerate()
                .map(|(slot, (item, takes))| Some((slot, self.input(item, takes, kinds)?)))
                .collect();
            return parts.into_iter().collect();
        };
        let mut parts = Vec::new();
        for member in members.iter().filter(|m| m.key != "note") {
            let Some(slot) = sum.input(&member.key) else {
                let sentence = format!("the sum {} takes no {:?}", sum.name, member.key);
                let known = sum.inputs.iter().map(|i| i.key);
                let finding = at(UNKNOWN_NAME, member.key_span, sentence);
                self.push(finding.help_near(&member.key, known));
                parts.push(None);
                continue;
            };
            let Some(takes) = sum.inputs.get(slot) else {
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
                parts.push(self.input(node, takes, kinds).map(|given| (slot, given)));
            }
        }
        parts.into_iter().collect()
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

    fn input(&mut self, node: &Node, takes: &Input, kinds: &Kinds) -> Option<Given> {
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
            return Some(Given::Known(WorkInput::Sheet(key)));
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
        let Some(offers) = offers(raw, kinds) else {
            self.spoil();
            return None;
        };
        let settled = match raw.sum.settle(&offers) {
            Ok(settled) => settled,
            Err(error) => {
                let finding = at(
                    KIND_MISMATCH,
                    super::reader::head(raw.from),
                    error.to_string(),
                )
                .help(format!("{}: {}", raw.sum.name, raw.sum.formula.join("; ")));
                self.push(finding);
                return None;
            }
        };
        let Some(kind) = raw.sum.result_kind(raw.output, &settled) else {
            let place = raw.fields.get("gives").map(|node| node.span);
            let finding = at(
                KIND_MISMATCH,
                place.unwrap_or(super::reader::head(raw.from)),
                format!(
                    "what the sum {} gives there is a text, no value",
                    raw.sum.name
                ),
            )
            .help("a working is a value; name another result of the sum in \"gives\"");
            self.push(finding);
            return None;
        };
        let output = raw.sum.outputs.get(raw.output)?;
        Some(Working {
            title,
            sum: raw.sum.name.to_owned(),
            gives: output.key.to_owned(),
            inputs: resolve(raw, &settled)?,
            slots: raw.parts.iter().map(|(slot, _)| *slot).collect(),
            kind,
            shown: self.shown(&raw.fields, Some(kind)),
            for_record,
        })
    }

    /// A series goes where the sum takes one, and nothing else does.
    fn series_fit(&mut self, raw: &Raw<'_>) -> Option<()> {
        let mut fits = true;
        for (slot, given) in &raw.parts {
            let input = raw.sum.inputs.get(*slot)?;
            let is_series = matches!(given, Given::Known(WorkInput::Series(_)));
            if is_series != input.is_series() {
                let wanted = if input.is_series() {
                    "all points of a series (series:READING)"
                } else {
                    "one value"
                };
                let sentence = format!("the sum {} takes {wanted} for {}", raw.sum.name, input.key);
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
    raw.parts.iter().filter_map(|(_, given)| match given {
        Given::Known(WorkInput::Value(v) | WorkInput::Series(v)) => Some(v),
        Given::Known(WorkInput::Sheet(_) | WorkInput::Literal(_) | WorkInput::Word(_))
        | Given::Literal(_) => None,
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

/// What stands ready for each input of the sum; `None` if a kind is not known.
fn offers(raw: &Raw<'_>, kinds: &Kinds) -> Option<Vec<Option<Offer>>> {
    let mut offers: Vec<Option<Offer>> = raw.sum.inputs.iter().map(|_| None).collect();
    for (slot, given) in &raw.parts {
        let part = offer(given, kinds)?;
        let place = offers.get_mut(*slot)?;
        *place = Some(match place.take() {
            None => part,
            Some(before) => both(before, &part),
        });
    }
    Some(offers)
}

fn offer(given: &Given, kinds: &Kinds) -> Option<Offer> {
    let (may_be, words, count) = match given {
        Given::Literal(may_be) => (
            may_be.iter().map(|q| q.kind()).collect(),
            Vec::new(),
            Some(1),
        ),
        Given::Known(WorkInput::Word(word)) => (Vec::new(), vec![word.clone()], Some(1)),
        Given::Known(WorkInput::Series(v)) => (vec![*kinds.values.get(v)?], Vec::new(), None),
        Given::Known(WorkInput::Value(v)) => (vec![*kinds.values.get(v)?], Vec::new(), Some(1)),
        Given::Known(WorkInput::Literal(q)) => (vec![q.kind()], Vec::new(), Some(1)),
        Given::Known(WorkInput::Sheet(key)) => match kinds.sheet.get(key)? {
            SheetNeed::Quantity(kind) => (vec![*kind], Vec::new(), Some(1)),
            SheetNeed::Word(words) => (Vec::new(), words.clone(), Some(1)),
            SheetNeed::Text => return None,
        },
    };
    Some(Offer {
        kinds: may_be,
        words,
        count,
    })
}

/// Two parts of one input: kinds that both may be.
fn both(first: Offer, second: &Offer) -> Offer {
    let more = first.count.zip(second.count).map(|(a, b)| a + b);
    Offer {
        kinds: first
            .kinds
            .into_iter()
            .filter(|k| second.kinds.contains(k))
            .collect(),
        words: first.words,
        count: more,
    }
}

/// The parts, literals as the kinds that were settled.
fn resolve(raw: &Raw<'_>, settled: &[Option<Kind>]) -> Option<Vec<WorkInput>> {
    let part = |(slot, given): &(usize, Given)| match given {
        Given::Known(input) => Some(input.clone()),
        Given::Literal(may_be) => {
            let kind = settled.get(*slot).copied().flatten()?;
            let found = may_be.iter().find(|q| q.kind() == kind)?;
            Some(WorkInput::Literal(*found))
        }
    };
    raw.parts.iter().map(part).collect()
}

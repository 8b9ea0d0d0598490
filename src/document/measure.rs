//! Values with units, and limits on them, read for the kind they must have.

use std::collections::BTreeMap;

use super::code::{
    BAD_UNIT, BAD_VALUE, CLASHING_FIELDS, KIND_MISMATCH, MISSING_FIELD, OUT_OF_RANGE, UNKNOWN_NAME,
};
use super::form;
use super::json::{Json, Node};
use super::reader::{Fields, LINE, Reader, at};
use crate::finding::{Subject as About, listed};
use crate::procedure::{BoundSpec, Grade, Limit, SheetKey, SheetNeed, Side, Subject, ValueId};
use crate::quantity::{Kind, Quantity, Rule, Unit, read_literal};

/// What is known of the kinds of names while limits are read.
#[derive(Debug, Clone, Default)]
pub(super) struct Kinds {
    /// What the procedure expects of a sheet.
    pub(super) sheet: BTreeMap<SheetKey, SheetNeed>,
    /// Kinds of readings and workings.
    pub(super) values: BTreeMap<ValueId, Kind>,
}

/// The longest time a document may ask for: a week, in ms.
const WEEK_MS: f64 = 604_800_000.0;

impl Reader {
    /// The word for a kind.
    pub(super) fn kind(&mut self, node: &Node) -> Option<Kind> {
        let words: Vec<(&str, Kind)> = Kind::ALL.into_iter().map(|k| (k.key(), k)).collect();
        self.word(node, &words)
    }

    /// A value of this kind, as people type it.
    pub(super) fn quantity(&mut self, node: &Node, kind: Kind) -> Option<Quantity> {
        if matches!(node.value, Json::Number(_)) {
            let sentence = format!("a number without a unit can't be {}", kind.with_article());
            let unit = kind.shown(crate::quantity::System::Metric).symbol_for(kind);
            let finding = at(BAD_VALUE, node.span, sentence)
                .help(format!("write it with its unit, in quotes: \"2.5 {unit}\""));
            self.push(finding);
            return None;
        }
        let text = self.string(node)?;
        match read_literal(text, kind) {
            Ok(typed) => Some(typed.quantity),
            Err(misread) => {
                self.push(at(BAD_VALUE, node.span, misread.to_string()));
                None
            }
        }
    }

    /// A stretch of time, more than none, in ms.
    pub(super) fn time_ms(&mut self, node: &Node, least: f64, most: f64) -> Option<u64> {
        let ms = self.quantity(node, Kind::Time)?.si() * 1000.0;
        if (least..=most).contains(&ms) {
            return Some(ms.round() as u64);
        }
        let seconds = |ms: f64| ms / 1000.0;
        let sentence = format!(
            "this time must be from {} s to {} s",
            seconds(least),
            seconds(most)
        );
        self.push(at(OUT_OF_RANGE, node.span, sentence));
        None
    }

    /// A stretch of time up to a week.
    pub(super) fn any_time_ms(&mut self, node: &Node) -> Option<u64> {
        self.time_ms(node, 1.0, WEEK_MS)
    }

    /// The other side of a limit: a value of this kind, or `sheet:KEY`.
    pub(super) fn side(&mut self, node: &Node, kind: Kind, kinds: &Kinds) -> Option<Side> {
        if let Json::String(text) = &node.value
            && let Some(key) = text.strip_prefix("sheet:")
        {
            return self.sheet_side(node, key, kind, kinds);
        }
        self.quantity(node, kind).map(Side::Literal)
    }

    fn sheet_side(&mut self, node: &Node, key: &str, kind: Kind, kinds: &Kinds) -> Option<Side> {
        let key = self.sheet_key(node, key, kinds)?;
        let found = match kinds.sheet.get(&key)? {
            SheetNeed::Quantity(found) if *found == kind => return Some(Side::Sheet(key)),
            SheetNeed::Quantity(found) => found.with_article(),
            SheetNeed::Word(_) => "a word".to_owned(),
            SheetNeed::Text => "text".to_owned(),
        };
        let wanted = kind.with_article();
        let finding = at(
            KIND_MISMATCH,
            node.span,
            format!("the sheet value {key} is {found}; {wanted} is wanted here"),
        )
        .help(
            "use another key, or change the kind where the procedure declares it under \"sheet\"",
        );
        self.push(finding);
        None
    }

    /// A declared key of the sheet, written as part of a text.
    pub(super) fn sheet_key(&mut self, node: &Node, key: &str, kinds: &Kinds) -> Option<SheetKey> {
        let name = Node {
            span: node.span,
            value: Json::String(key.to_owned()),
        };
        if key.trim().is_empty() {
            let finding = at(UNKNOWN_NAME, node.span, "\"sheet:\" lacks its key").help(format!(
                "declared keys: {}",
                listed(kinds.sheet.keys().map(SheetKey::as_str))
            ));
            self.push(finding);
            return None;
        }
        let key: SheetKey = self.named(&name)?;
        if !kinds.sheet.contains_key(&key) {
            self.spoil();
            return None;
        }
        Some(key)
    }

    /// The two units something is shown in, metric and US.
    pub(super) fn shown(
        &mut self,
        fields: &Fields<'_>,
        kind: Option<Kind>,
    ) -> Option<(Unit, Unit)> {
        let (metric, us) = self.pair(fields.get("shown")?)?;
        let kind = kind?;
        Some((self.unit(metric, kind)?, self.unit(us, kind)?))
    }

    fn unit(&mut self, node: &Node, kind: Kind) -> Option<Unit> {
        let text = self.string(node)?;
        let found = kind.units().iter().find(|u| u.written_as(text)).copied();
        if found.is_none() {
            let sentence = format!("{text:?} is no unit of {}", kind.with_article());
            let finding = at(BAD_UNIT, node.span, sentence)
                .help_near(text, kind.units().iter().map(|u| u.symbol()));
            self.push(finding);
        }
        found
    }

    /// A list of limits; places are kept by `about(index)`.
    pub(super) fn limits(
        &mut self,
        fields: &Fields<'_>,
        name: &str,
        kinds: &Kinds,
        about: impl Fn(usize) -> About,
    ) -> Vec<Limit> {
        let Some(node) = fields.get(name) else {
            return Vec::new();
        };
        let items = self.items(node).unwrap_or_default();
        let mut limits = Vec::new();
        for (index, item) in items.iter().enumerate() {
            let limit = self.limit(item, kinds, about(index));
            if limit.is_none() {
                self.spoil();
            }
            limits.extend(limit);
        }
        limits
    }

    fn limit(&mut self, node: &Node, kinds: &Kinds, about: About) -> Option<Limit> {
        let fields = self.object(node, &form::LIMIT)?;
        let span = (node.span.0, node.span.0 + 1);
        let subject = self.limit_subject(&fields);
        let head = fields
            .member("of")
            .or(fields.member("differ"))
            .or(fields.member("age_of"));
        self.keep(about, head.map_or(span, |m| m.key_span), Some(&fields));
        let bound = self.bound(&fields, subject.as_ref(), kinds);
        let rule = self.need(&fields, "rule");
        let rule = rule
            .and_then(|n| self.word(n, &[("simple", Rule::Simple), ("guarded", Rule::Guarded)]));
        let grade = self.need(&fields, "grade");
        let grade = grade.and_then(|n| {
            self.word(
                n,
                &[("interlock", Grade::Interlock), ("advice", Grade::Advice)],
            )
        });
        let why = self.need(&fields, "why").and_then(|n| self.line(n, LINE));
        let too_close = self.lines_in(&fields, "too_close");
        Some(Limit {
            subject: subject?,
            bound: bound?,
            rule: rule?,
            grade: grade?,
            why: why?,
            too_close,
        })
    }

    fn limit_subject(&mut self, fields: &Fields<'_>) -> Option<Subject> {
        match self.only_one(fields, &["of", "differ", "age_of"])? {
            "of" => self.named_in(fields, "of").map(Subject::Value),
            "differ" => {
                let (a, b) = self.pair(fields.get("differ")?)?;
                Some(Subject::Difference(self.named(a)?, self.named(b)?))
            }
            _ => self.named_in(fields, "age_of").map(Subject::Age),
        }
    }

    /// Which of several fields is there; exactly one must be.
    pub(super) fn only_one<'n>(
        &mut self,
        fields: &Fields<'_>,
        names: &[&'n str],
    ) -> Option<&'n str> {
        let mut there = names.iter().filter_map(|n| Some((*n, fields.member(n)?)));
        let list = || listed(names.iter().copied());
        let Some((name, _)) = there.next() else {
            if names.iter().any(|n| self.meant(fields, n)) {
                self.spoil();
                return None;
            }
            let sentence = format!("{} must have one of these fields: {}", fields.what, list());
            self.push(at(MISSING_FIELD, fields.open(), sentence));
            return None;
        };
        if let Some((second, member)) = there.next() {
            let sentence = format!("{} has both {name:?} and {second:?}", fields.what);
            let finding = at(CLASHING_FIELDS, member.key_span, sentence)
                .help(format!("keep one of: {}", list()));
            self.push(finding);
            return None;
        }
        Some(name)
    }

    /// The kind of what a limit is put on; empty if it is not known or has no one kind.
    fn limited_kind(
        &mut self,
        fields: &Fields<'_>,
        subject: &Subject,
        kinds: &Kinds,
    ) -> Option<Kind> {
        match subject {
            Subject::Value(id) => kinds.values.get(id).copied(),
            Subject::Age(_) => Some(Kind::Time),
            Subject::Difference(a, b) => {
                let (a_kind, b_kind) = (*kinds.values.get(a)?, *kinds.values.get(b)?);
                if a_kind == b_kind {
                    return Some(a_kind.difference());
                }
                let span = fields.member("differ")?.key_span;
                let sentence = format!(
                    "{a} is {} and {b} is {}: they have no difference",
                    a_kind.with_article(),
                    b_kind.with_article()
                );
                self.push(at(KIND_MISMATCH, span, sentence).help("compare two values of one kind"));
                None
            }
        }
    }

    fn bound(
        &mut self,
        fields: &Fields<'_>,
        subject: Option<&Subject>,
        kinds: &Kinds,
    ) -> Option<BoundSpec> {
        let name = self.only_one(fields, &BOUNDS)?;
        let subject = subject?;
        let fits = match subject {
            Subject::Value(_) => !matches!(name, "differ_by_at_most" | "age_at_least"),
            Subject::Difference(..) => name == "differ_by_at_most",
            Subject::Age(_) => name == "age_at_least",
        };
        let member = fields.member(name)?;
        if !fits {
            let sentence = format!("{name:?} does not go with what this limit is put on");
            let finding = at(CLASHING_FIELDS, member.key_span, sentence)
                .help("\"of\" takes at_most, at_least, between, near with within")
                .help("\"differ\" takes differ_by_at_most; \"age_of\" takes age_at_least");
            self.push(finding);
            return None;
        }
        if name != "near"
            && let Some(within) = fields.member("within")
        {
            let finding = at(
                CLASHING_FIELDS,
                within.key_span,
                format!("\"within\" does not go with {name:?}"),
            )
            .help("\"within\" is the tolerance of \"near\"");
            self.push(finding);
        }
        let Some(kind) = self.limited_kind(fields, subject, kinds) else {
            self.spoil();
            return None;
        };
        let node = &member.node;
        match name {
            "between" => {
                let (low, high) = self.pair(node)?;
                let (low, high) = (self.side(low, kind, kinds), self.side(high, kind, kinds));
                Some(BoundSpec::Between(low?, high?))
            }
            "near" => {
                let target = self.side(node, kind, kinds);
                let within = self.need(fields, "within")?;
                let within = self.side(within, kind.difference(), kinds);
                Some(BoundSpec::Near {
                    target: target?,
                    within: within?,
                })
            }
            "at_most" => self.side(node, kind, kinds).map(BoundSpec::AtMost),
            "at_least" => self.side(node, kind, kinds).map(BoundSpec::AtLeast),
            "differ_by_at_most" => self.side(node, kind, kinds).map(BoundSpec::DifferByAtMost),
            _ => self.side(node, kind, kinds).map(BoundSpec::AgeAtLeast),
        }
    }
}

/// The fields of which a limit has one.
const BOUNDS: [&str; 6] = [
    "at_most",
    "at_least",
    "between",
    "near",
    "differ_by_at_most",
    "age_at_least",
];

//! Sheets.

use std::collections::BTreeMap;

use super::code::{BAD_UNIT, MISSING_FIELD};
use super::form;
use super::json::{Json, Node};
use super::reader::{Fields, LINE, Reader, at};
use crate::finding::Subject;
use crate::procedure::{Sheet, SheetEntry, SheetKey, SheetValue, is_plain_id};
use crate::quantity::{Kind, System, read_literal};

/// The format of sheets.
pub(super) const FORMAT: &str = "levelhand sheet 1";

impl Reader {
    /// A sheet.
    pub(super) fn sheet(&mut self, root: &Node) -> Option<Sheet> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::SHEET)?;
        self.schema(&f);
        let id = self.need(&f, "id").and_then(|n| self.name(n));
        let title = self.title(&f);
        let revision = self
            .need(&f, "revision")
            .and_then(|n| self.count(n, 1, u32::MAX));
        let system = self
            .need(&f, "system")
            .and_then(|n| self.word(n, &[("metric", System::Metric), ("us", System::Us)]));
        let identify = self.need(&f, "identify").map(|n| self.lines(n, LINE));
        let source = self.line_in(&f, "source", LINE);
        let values = self
            .need(&f, "values")
            .and_then(|n| self.entries(n, source.as_deref()));
        Some(Sheet {
            id: id?,
            title,
            revision: revision?,
            system: system?,
            identify: identify?,
            values: values?,
        })
    }

    fn entries(
        &mut self,
        node: &Node,
        source: Option<&str>,
    ) -> Option<BTreeMap<SheetKey, SheetEntry>> {
        let mut values = BTreeMap::new();
        for member in self.members(node, "the values")? {
            if member.key == "note" && !matches!(member.node.value, Json::Object(_)) {
                continue;
            }
            let key: Option<SheetKey> = self.key(member);
            let Some(fields) = self.object(&member.node, &form::SHEET_VALUE) else {
                continue;
            };
            self.about(
                Subject::SheetValue(member.key.clone()),
                member.key_span,
                Some(&fields),
            );
            let entry = self.entry(&fields, source);
            values.extend(key.zip(entry));
        }
        Some(values)
    }

    fn entry(&mut self, f: &Fields<'_>, source: Option<&str>) -> Option<SheetEntry> {
        let title = self.title(f);
        let own = self.line_in(f, "source", LINE);
        let source = own.or_else(|| source.map(str::to_owned));
        if source.is_none() && f.get("source").is_none() {
            let sentence = "this value does not say where it comes from";
            let finding = at(MISSING_FIELD, f.open(), sentence)
                .help("add \"source\" here, or once for the whole sheet");
            self.push(finding);
        }
        let which = self.only_one(f, &["value", "word", "text"])?;
        if which != "value" {
            self.belongs(f, "kind", "value");
        }
        let node = f.get(which)?;
        let (value, written) = match which {
            "value" => self.sheet_quantity(node, f.get("kind"))?,
            "word" => {
                let word = self.string(node)?.to_owned();
                if !is_plain_id(&word) {
                    let sentence = format!("{word:?} can't be a word of a sheet");
                    self.push(at(super::code::BAD_NAME, node.span, sentence).help(
                        "use small letters, figures and single underscores: near_zero; text for people goes into \"text\"",
                    ));
                    return None;
                }
                (SheetValue::Word(word.clone()), word)
            }
            _ => {
                let lines = self.lines(node, LINE);
                let written = lines.join("\n");
                (SheetValue::Text(lines), written)
            }
        };
        Some(SheetEntry {
            title,
            value,
            written,
            source: source?,
        })
    }

    fn sheet_quantity(&mut self, node: &Node, kind: Option<&Node>) -> Option<(SheetValue, String)> {
        let kind = match kind {
            Some(kind) => self.kind(kind)?,
            None => self.kind_of_unit(node)?,
        };
        let quantity = self.quantity(node, kind)?;
        let written = self.string(node)?.trim().to_owned();
        Some((SheetValue::Quantity(quantity), written))
    }

    /// The kind that the unit alone decides. A plain pressure is a gauge pressure; a
    /// slope is never guessed, because % and degrees have other meanings.
    pub(super) fn kind_of_unit(&mut self, node: &Node) -> Option<Kind> {
        if !matches!(node.value, Json::String(_)) {
            // The number without its unit gets its words from here.
            return self.quantity(node, Kind::Length).and(None);
        }
        let text = self.string(node)?;
        let fits: Vec<Kind> = Kind::ALL
            .into_iter()
            .filter(|kind| *kind != Kind::Slope)
            .filter(|kind| read_literal(text, *kind).is_ok())
            .collect();
        if let Some(first) = fits.first() {
            return Some(*first);
        }
        let slope = read_literal(text, Kind::Slope);
        let finding = match slope {
            Ok(_) => at(BAD_UNIT, node.span, format!("{text:?} may be a slope, and that must be said"))
                .help("add \"kind\": \"slope\""),
            Err(_) => at(super::code::BAD_VALUE, node.span, format!("{text:?} can't be read as a value with its unit"))
                .help("write a number and a unit, such as \"190 mm\" or \"2.0 bar\"; for other kinds add \"kind\""),
        };
        self.push(finding);
        None
    }
}

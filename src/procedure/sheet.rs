//! Sheets: the values for one vehicle variant, each with its source.

use std::collections::BTreeMap;

use super::id::{SheetId, SheetKey};
use crate::quantity::{Quantity, System};

/// What a sheet says for one key.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetValue {
    /// A measured or prescribed value with its unit.
    Quantity(Quantity),
    /// One of a closed list ("released", "on").
    Word(String),
    /// Words for people.
    Text(Vec<String>),
}

/// One row of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetEntry {
    /// What it is, for people.
    pub title: String,
    /// The value.
    pub value: SheetValue,
    /// The value as it was written in the document.
    pub written: String,
    /// Where it comes from.
    pub source: String,
}

/// The values for one vehicle variant.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Its name.
    pub id: SheetId,
    /// What people see ("tractor BW-07").
    pub title: String,
    /// Counts up with every change.
    pub revision: u32,
    /// Units the sheet is written in, and shown in unless the person chooses.
    pub system: System,
    /// How the vehicle is told from its look-alikes (plate, tyre, axle).
    pub identify: Vec<String>,
    /// The values.
    pub values: BTreeMap<SheetKey, SheetEntry>,
}

impl Sheet {
    /// The quantity for `key`, if the sheet has one.
    pub fn quantity(&self, key: &SheetKey) -> Option<Quantity> {
        match self.values.get(key)?.value {
            SheetValue::Quantity(quantity) => Some(quantity),
            SheetValue::Word(_) | SheetValue::Text(_) => None,
        }
    }

    /// The word for `key`, if the sheet has one.
    pub fn word(&self, key: &SheetKey) -> Option<&str> {
        match &self.values.get(key)?.value {
            SheetValue::Word(word) => Some(word),
            SheetValue::Quantity(_) | SheetValue::Text(_) => None,
        }
    }

    /// A text with the sheet's values where it says `{sheet KEY}`: a quantity in the
    /// reader's units, a word with spaces, the lines of a text joined. A key that the
    /// sheet lacks is left as written.
    pub fn fill(&self, text: &str, system: System) -> String {
        let mut out = String::new();
        for piece in pieces(text) {
            match piece {
                Piece::Plain(plain) => out.push_str(plain),
                Piece::Value { key, written } => match self.words_of(key, system) {
                    Some(words) => out.push_str(&words),
                    None => out.push_str(written),
                },
            }
        }
        out
    }

    fn words_of(&self, key: &str, system: System) -> Option<String> {
        let key = SheetKey::new(key).ok()?;
        Some(match &self.values.get(&key)?.value {
            SheetValue::Quantity(quantity) => quantity.show_plain(quantity.kind().shown(system)),
            SheetValue::Word(word) => word.replace('_', " "),
            SheetValue::Text(lines) => lines.join(" "),
        })
    }
}

/// How a value of the sheet is called for within a text.
const OPENS: &str = "{sheet ";

enum Piece<'t> {
    Plain(&'t str),
    Value { key: &'t str, written: &'t str },
}

/// The keys that a text calls for, in order. A call without its closing brace stands
/// there whole and so is no key: the rule over documents finds it.
pub fn sheet_keys(text: &str) -> Vec<&str> {
    pieces(text)
        .into_iter()
        .filter_map(|piece| match piece {
            Piece::Value { key, .. } => Some(key),
            Piece::Plain(_) => None,
        })
        .collect()
}

/// Whether braces stand in a text besides those of a call for a value of the sheet.
pub fn has_stray_brace(text: &str) -> bool {
    pieces(text).iter().any(|piece| match piece {
        Piece::Plain(plain) => plain.contains(['{', '}']),
        Piece::Value { .. } => false,
    })
}

fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(OPENS) {
        let (before, from) = rest.split_at(at);
        out.push(Piece::Plain(before));
        let end = from.find('}').map_or(from.len(), |brace| brace + 1);
        let (written, after) = from.split_at(end);
        let closed = written
            .strip_prefix(OPENS)
            .and_then(|key| key.strip_suffix('}'));
        let key = closed.unwrap_or(written);
        out.push(Piece::Value { key, written });
        rest = after;
    }
    out.push(Piece::Plain(rest));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Kind, Unit};

    fn sheet() -> Sheet {
        let entry = |value| SheetEntry {
            title: "a value".to_owned(),
            value,
            written: String::new(),
            source: "invented".to_owned(),
        };
        let length =
            |mm| SheetValue::Quantity(Quantity::new(mm, Unit::Millimetre, Kind::Length).unwrap());
        let lines = vec!["Ignition off.".to_owned(), "Wait.".to_owned()];
        let values = [
            ("raise_by", length(25.4)),
            ("empty", SheetValue::Word("near_zero".to_owned())),
            ("how", SheetValue::Text(lines)),
        ];
        Sheet {
            id: SheetId::new("truck").unwrap(),
            title: "a truck".to_owned(),
            revision: 1,
            system: System::Metric,
            identify: Vec::new(),
            values: values
                .into_iter()
                .map(|(key, value)| (SheetKey::new(key).unwrap(), entry(value)))
                .collect(),
        }
    }

    #[test]
    fn a_quantity_is_filled_in_in_the_readers_units() {
        let text = "Raise by {sheet raise_by}, let go.";
        assert_eq!(
            sheet().fill(text, System::Metric),
            "Raise by 25.4 mm, let go."
        );
        assert_eq!(sheet().fill(text, System::Us), "Raise by 1 in, let go.");
    }

    #[test]
    fn a_word_reads_with_spaces_and_a_text_as_one_line() {
        let text = "Empty: {sheet empty}. {sheet how} Go on.";
        let said = sheet().fill(text, System::Metric);
        assert_eq!(said, "Empty: near zero. Ignition off. Wait. Go on.");
    }

    #[test]
    fn what_the_sheet_lacks_is_left_as_written() {
        for text in [
            "{sheet other} mm",
            "{sheet }",
            "{sheet raise_by",
            "{mark} {sheet",
        ] {
            assert_eq!(sheet().fill(text, System::Metric), text);
        }
    }

    #[test]
    fn keys_are_listed_in_order() {
        assert_eq!(sheet_keys("{sheet b} and {sheet a}; {mark}"), ["b", "a"]);
        assert_eq!(sheet_keys("{sheet a with no end"), ["{sheet a with no end"]);
    }
}

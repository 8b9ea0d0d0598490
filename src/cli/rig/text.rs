//! JSON whose values know where they stand, read field by field; everything that is
//! wrong is gathered. Knows nothing of the rig.

use std::fmt;

use serde_json::value::RawValue;

use crate::finding::near_help;
use crate::quantity::{Kind, System, read_literal};

/// A value as it stands in the text.
pub(super) type Raw<'a> = &'a RawValue;

/// A member of an object.
pub(super) type Member<'a> = (String, Raw<'a>);

/// A text and what is wrong with it.
pub(super) struct Text<'a> {
    file: &'a str,
    whole: &'a str,
    /// Where in the text, and what.
    faults: Vec<(usize, String)>,
}

impl<'a> Text<'a> {
    pub(super) const fn new(file: &'a str, whole: &'a str) -> Self {
        Self {
            file,
            whole,
            faults: Vec::new(),
        }
    }

    /// Everything that is wrong, in the order of the text.
    pub(super) fn faults(mut self) -> Vec<String> {
        self.faults.sort_by_key(|(offset, _)| *offset);
        self.faults.into_iter().map(|(_, fault)| fault).collect()
    }

    /// The whole text as one value.
    pub(super) fn root(&mut self) -> Option<Raw<'a>> {
        match serde_json::from_str(self.whole) {
            Ok(raw) => Some(raw),
            Err(error) => {
                let (line, column) = (error.line(), error.column().max(1));
                let told = if error.is_eof() {
                    "it ends before it is whole; is a bracket or a quote open?".to_owned()
                } else {
                    let told = error.to_string();
                    format!("{}.", told.split(" at line ").next().unwrap_or_default())
                };
                let place = format!("{}:{line}:{column}", self.file);
                self.faults
                    .push((0, format!("{place}: this is no JSON: {told}")));
                None
            }
        }
    }

    /// Something is wrong with this value.
    pub(super) fn fault(&mut self, raw: Raw<'_>, sentence: &str) {
        let start = raw.get().as_ptr().addr();
        let offset = start.saturating_sub(self.whole.as_ptr().addr());
        let before = self.whole.get(..offset).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or_default();
        let column = column.chars().count() + 1;
        let fault = format!("{}:{line}:{column}: {sentence}", self.file);
        self.faults.push((offset, fault));
    }

    /// What a value is not.
    fn other(&mut self, raw: Raw<'_>, wanted: &str) {
        let found = match raw.get().as_bytes().first() {
            Some(b'{') => "an object",
            Some(b'[') => "a list",
            Some(b'"') => "a string",
            Some(b't' | b'f') => "true or false",
            Some(b'n') => "null",
            _ => "a number",
        };
        self.fault(raw, &format!("{found} stands here; wanted is {wanted}."));
    }

    /// The members of an object, each of them known and there once. Notes are left out.
    pub(super) fn object(
        &mut self,
        raw: Raw<'a>,
        what: &str,
        known: &[&str],
    ) -> Option<Vec<Member<'a>>> {
        let Ok(Pairs(pairs)) = serde_json::from_str(raw.get()) else {
            self.other(raw, &format!("{what} as an object"));
            return None;
        };
        let mut members: Vec<Member<'a>> = Vec::new();
        for (key, value) in pairs {
            if key == "note" {
            } else if !known.contains(&key.as_str()) {
                let help = near_help(&key, known.iter().copied()).join(" ");
                let sentence = format!("{what} has no {key:?}; {help}.");
                self.fault(value, &sentence.replace("?.", "?"));
            } else if members.iter().any(|(earlier, _)| *earlier == key) {
                self.fault(value, &format!("{key:?} stands here twice; leave one."));
            } else {
                members.push((key, value));
            }
        }
        Some(members)
    }

    /// A member that must be there.
    pub(super) fn need(
        &mut self,
        raw: Raw<'_>,
        members: &[Member<'a>],
        key: &str,
        like: &str,
    ) -> Option<Raw<'a>> {
        let found = get(members, key);
        if found.is_none() {
            self.fault(
                raw,
                &format!("{key:?} is missing here; write {key:?}: {like}."),
            );
        }
        found
    }

    pub(super) fn items(&mut self, raw: Raw<'a>, wanted: &str) -> Vec<Raw<'a>> {
        let items = serde_json::from_str(raw.get());
        if items.is_err() {
            self.other(raw, wanted);
        }
        items.unwrap_or_default()
    }

    /// Two values, left and right.
    pub(super) fn pair(&mut self, raw: Raw<'a>, like: &str) -> Option<[Raw<'a>; 2]> {
        let wanted = format!("a list of left and right: {like}");
        let items = self.items(raw, &wanted);
        let pair = items.as_slice().try_into().ok();
        if pair.is_none() && !items.is_empty() {
            self.fault(
                raw,
                &format!("a list of {} stands here; wanted is {wanted}.", items.len()),
            );
        }
        pair
    }

    pub(super) fn string(&mut self, raw: Raw<'_>, wanted: &str) -> Option<String> {
        let string = serde_json::from_str(raw.get()).ok();
        if string.is_none() {
            self.other(raw, wanted);
        }
        string
    }

    pub(super) fn truth(&mut self, raw: Raw<'_>) -> Option<bool> {
        let truth = serde_json::from_str(raw.get()).ok();
        if truth.is_none() {
            self.other(raw, "true or false");
        }
        truth
    }

    /// One of these words.
    pub(super) fn word<T: Copy>(&mut self, raw: Raw<'_>, words: &[(&str, T)]) -> Option<T> {
        let names: Vec<&str> = words.iter().map(|(name, _)| *name).collect();
        let wanted = match names.as_slice() {
            [only] => format!("{only:?}"),
            _ => format!("one of {}", names.join(", ")),
        };
        let word = self.string(raw, &wanted)?;
        let found = words.iter().find(|(name, _)| *name == word);
        if found.is_none() {
            self.fault(
                raw,
                &format!("{word:?} is not known here; wanted is {wanted}."),
            );
        }
        found.map(|(_, value)| *value)
    }

    /// A plain number, in the unit of its symbol.
    pub(super) fn number(&mut self, raw: Raw<'_>) -> Option<f64> {
        let number = serde_json::from_str(raw.get()).ok();
        if number.is_none() {
            self.other(raw, "a plain number");
        }
        number
    }

    /// A value with its unit, in SI.
    pub(super) fn quantity(&mut self, raw: Raw<'_>, kind: Kind) -> Option<f64> {
        let unit = kind.shown(System::Metric).symbol_for(kind);
        let text = self.string(raw, &format!("a value with its unit, as \"2.5 {unit}\""))?;
        match read_literal(&text, kind) {
            Ok(typed) => Some(typed.quantity.si()),
            Err(misread) => {
                self.fault(raw, &misread.to_string());
                None
            }
        }
    }
}

/// A member by its key.
pub(super) fn get<'a>(members: &[Member<'a>], key: &str) -> Option<Raw<'a>> {
    let found = members.iter().find(|(name, _)| name == key);
    found.map(|(_, raw)| *raw)
}

/// The members of an object as they stand, twice or not.
struct Pairs<'a>(Vec<Member<'a>>);

impl<'de> serde::Deserialize<'de> for Pairs<'de> {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(PairsVisitor)
    }
}

struct PairsVisitor;

impl<'de> serde::de::Visitor<'de> for PairsVisitor {
    type Value = Pairs<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: serde::de::MapAccess<'de>>(self, mut map: A) -> Result<Pairs<'de>, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = map.next_entry()? {
            pairs.push(pair);
        }
        Ok(Pairs(pairs))
    }
}

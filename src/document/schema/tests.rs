//! The schemas against the reader's own lists, and every field with its sentence.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use super::Format;
use crate::document::form::{self, FORMS, Form};

/// Every sort of object that the reader knows, by its name in the schemas.
const NAMES: [(&str, &Form); 34] = [
    ("Procedure", &form::PROCEDURE),
    ("SheetNeed", &form::SHEET_NEED),
    ("Role", &form::ROLE),
    ("Condition", &form::CONDITION),
    ("Series", &form::SERIES),
    ("Duty", &form::DUTY),
    ("Setting", &form::SETTING),
    ("Reading", &form::READING),
    ("Working", &form::WORKING),
    ("Hazard", &form::HAZARD),
    ("Act", &form::ACT),
    ("Fragment", &form::FRAGMENT),
    ("Use", &form::USE),
    ("Phase", &form::PHASE),
    ("Step", &form::STEP),
    ("Ways", &form::WAYS),
    ("Tick", &form::TICK),
    ("Choice", &form::CHOICE),
    ("Confirm", &form::CONFIRM),
    ("Pulse", &form::PULSE),
    ("Wait", &form::WAIT),
    ("Limit", &form::LIMIT),
    ("Sheet", &form::SHEET),
    ("SheetValue", &form::SHEET_VALUE),
    ("Instruments", &form::INSTRUMENTS),
    ("Instrument", &form::INSTRUMENT),
    ("Rehearsal", &form::REHEARSAL),
    ("Move", &form::MOVE),
    ("Expect", &form::EXPECT),
    ("Swap", &form::SWAP),
    ("Answer", &form::ANSWER),
    ("Witnessed", &form::WITNESSED),
    ("Point", &form::POINT),
    ("Correction", &form::CORRECTION),
];

/// The objects of all schemas, by name: the roots too.
fn objects() -> BTreeMap<String, Value> {
    let mut all = BTreeMap::new();
    for format in Format::ALL {
        let schema: Value = serde_json::from_str(&format.schema()).unwrap();
        let name = match format {
            Format::Procedure => "Procedure",
            Format::Sheet => "Sheet",
            Format::Instruments => "Instruments",
            Format::Rehearsal => "Rehearsal",
        };
        for (name, one) in schema["$defs"].as_object().into_iter().flatten() {
            all.insert(name.clone(), one.clone());
        }
        all.insert(name.to_owned(), schema);
    }
    all.retain(|_, one| one.get("properties").is_some());
    all
}

fn fields(object: &Value) -> BTreeSet<&str> {
    let fields = object["properties"].as_object().unwrap();
    fields.keys().map(String::as_str).collect()
}

#[test]
fn the_schema_has_the_fields_that_the_reader_knows_and_a_note() {
    let objects = objects();
    let named: BTreeMap<&str, &Form> = NAMES.into_iter().collect();
    assert_eq!(
        named.len(),
        FORMS.len(),
        "a form without a name in the schemas"
    );
    let known: BTreeSet<&str> = named.keys().copied().collect();
    let there: BTreeSet<&str> = objects.keys().map(String::as_str).collect();
    assert_eq!(known, there);
    for (name, form) in named {
        let mut wanted: BTreeSet<&str> = form.fields.iter().copied().collect();
        wanted.insert("note");
        assert_eq!(fields(&objects[name]), wanted, "{name}");
        assert_eq!(objects[name]["additionalProperties"], false, "{name}");
    }
}

#[test]
fn every_form_of_the_reader_is_held_against_the_schema() {
    for form in FORMS {
        let same = |other: &Form| other.what == form.what && other.fields == form.fields;
        assert!(NAMES.iter().any(|(_, f)| same(f)), "{}", form.what);
    }
}

#[test]
fn every_field_says_what_it_is_in_a_whole_sentence() {
    for (name, object) in objects() {
        assert!(object["description"].as_str().is_some(), "{name}");
        for (field, what) in object["properties"].as_object().unwrap() {
            let said = what["description"].as_str().unwrap_or_default();
            assert!(
                said.len() > 15 && said.ends_with('.') && said.contains(' '),
                "{name}.{field}: {said:?}"
            );
        }
    }
}

#[test]
fn nothing_in_a_schema_may_be_null() {
    for format in Format::ALL {
        let schema = format.schema();
        assert!(!schema.contains("null"), "{}", format.key());
        assert!(schema.contains("https://json-schema.org/draft/2020-12/schema"));
    }
}

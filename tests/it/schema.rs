//! The schemas that editors use: as the reader reads, as the files beside the program,
//! and as a validator of others judges documents by them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use jsonschema::Validator;
use levelhand::document::schema::Format;
use levelhand::document::{self, CODES, FORMS, Form};
use serde_json::Value;

use crate::program::run;

/// What each sort of object is called in the schemas.
const NAMES: [(&str, &str); 54] = [
    ("Procedure", "a procedure"),
    ("SheetNeed", "what is expected of a sheet"),
    ("Role", "a role"),
    ("Condition", "a condition"),
    ("Series", "a series"),
    ("Duty", "a duty"),
    ("Setting", "a setting"),
    ("Reading", "a reading"),
    ("Working", "a working"),
    ("Hazard", "a hazard"),
    ("Act", "an act"),
    ("Fragment", "a fragment"),
    ("Use", "the use of a fragment"),
    ("Phase", "a phase"),
    ("Step", "a step"),
    ("Ways", "the list of ways"),
    ("Tick", "a tick"),
    ("Choice", "a choice"),
    ("Confirm", "a confirm"),
    ("Pulse", "a pulse"),
    ("Wait", "a wait"),
    ("Limit", "a limit"),
    ("Sheet", "a sheet"),
    ("SheetValue", "a value of a sheet"),
    ("Instruments", "a list of instruments"),
    ("Instrument", "an instrument"),
    ("Rehearsal", "a rehearsal"),
    ("Move", "a move"),
    ("Expect", "what is expected"),
    ("Swap", "a change of instrument"),
    ("Answer", "an answer"),
    ("Witnessed", "a second reading"),
    ("Point", "a round of a watch"),
    ("Correction", "a correction"),
    ("Truck", "a truck"),
    ("Start", "a start"),
    ("Arm", "an arm"),
    ("Stored", "what is stored"),
    ("Sides", "a left and a right"),
    ("EitherSide", "a left and a right"),
    ("Write", "a write-out"),
    ("Card", "a card"),
    ("Truth", "what is so"),
    ("WithHeight", "a change with the height"),
    ("Fault", "a fault"),
    ("Sets", "what a fault changes"),
    ("Drill", "a drill"),
    ("Drawn", "a draw of faults"),
    ("Begin", "where a drill begins"),
    ("DrillScript", "a script of a drill"),
    ("DrillMove", "a move of a drill"),
    ("DrillExpect", "what the debrief says"),
    ("Timetable", "a timetable"),
    ("TimedMove", "a move of a timetable"),
];

/// What can be told from the shape of a document alone: the schema refuses it too.
const SHAPE: [&str; 10] = [
    "wrong-format",
    "unknown-field",
    "missing-field",
    "clashing-fields",
    "wrong-shape",
    "unknown-word",
    "bad-name",
    "out-of-range",
    "empty",
    "text-too-long",
];

/// What is no JSON, or what a validator never gets to see of it.
const TEXT: [&str; 9] = [
    "not-utf8",
    "byte-order-mark",
    "bad-json",
    "control-character",
    "bad-number",
    "duplicate-key",
    "too-deep",
    "too-large",
    "too-many",
];

/// Documents whose fault has a code of shape, and takes more than the shape to see:
/// each with the reason.
const MORE_THAN_SHAPE: &[(&str, &str)] = &[
    ("out-of-range-hold.json", "a time is a text with a unit"),
    ("out-of-range-of-an-input.json", "the bound is the sum's"),
    (
        "out-of-range-of-counts.truck.json",
        "a count is a text with a unit",
    ),
    (
        "out-of-range-of-a-length.truck.json",
        "a length is a text with a unit",
    ),
    (
        "out-of-range-of-a-tank.fault.json",
        "a pressure is a text with a unit",
    ),
    (
        "out-of-range-of-the-tanks.timetable.json",
        "a pressure is a text with a unit",
    ),
    (
        "out-of-range-of-a-height.timetable.json",
        "a length is a text with a unit",
    ),
    (
        "out-of-range-of-a-stand.timetable.json",
        "a length is a text with a unit",
    ),
    (
        "out-of-range-of-a-run.timetable.json",
        "a time is a text with a unit",
    ),
    (
        "out-of-range-of-settling.timetable.json",
        "a time is a text with a unit",
    ),
];

/// Documents whose fault has another code, and that the schema refuses all the same.
const SHAPE_TOO: &[&str] = &[
    "bad-value-of-a-pressure.timetable.json",
    "bad-value-of-like-and-sum.json",
    "bad-value-without-a-unit.json",
    "impossible-state-of-two-numbers.timetable.json",
    "impossible-state.timetable.json",
    "unknown-name-of-a-like.json",
    "unknown-name-of-a-symbol.timetable.json",
    "unknown-name-of-physics.truck.json",
];

fn home() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn value(format: Format) -> Value {
    serde_json::from_str(&format.schema()).unwrap()
}

fn validators() -> BTreeMap<Format, Validator> {
    let made = |f: Format| jsonschema::draft202012::new(&value(f)).unwrap();
    Format::ALL.into_iter().map(|f| (f, made(f))).collect()
}

fn documents(directory: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut all = Vec::new();
    for entry in fs::read_dir(directory).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(documents(&path));
        } else if path.extension().is_some_and(|e| e == "json") {
            let bytes = fs::read(&path).unwrap();
            all.push((path, bytes));
        }
    }
    all.sort();
    all
}

fn format_of(document: &Value) -> Option<Format> {
    let said = document["format"].as_str()?;
    let is = |f: &Format| said == format!("levelhand {} 1", f.key().replace('-', " "));
    Format::ALL.into_iter().find(is)
}

/// The format that the name of a faulty document says.
fn format_by_name(name: &str) -> Format {
    if name.ends_with(".sheet.json") {
        Format::Sheet
    } else if name.ends_with(".instruments.json") {
        Format::Instruments
    } else if name.ends_with(".truck.json") {
        Format::Truck
    } else if name.ends_with(".fault.json") {
        Format::Fault
    } else if name.ends_with(".drill.json") {
        Format::Drill
    } else if name.ends_with(".script.json") {
        Format::DrillScript
    } else if name.ends_with(".timetable.json") {
        Format::Timetable
    } else {
        Format::Procedure
    }
}

/// The name of a schema's root: its words, each with a capital.
fn root(format: Format) -> String {
    let words = format.key().split('-');
    let words = words.map(|word| {
        let (first, rest) = word.split_at(1);
        first.to_uppercase() + rest
    });
    words.collect()
}

/// The objects of all schemas, by name: the roots too.
fn objects() -> BTreeMap<String, Value> {
    let mut all = BTreeMap::new();
    for format in Format::ALL {
        let schema = value(format);
        for (name, one) in schema["$defs"].as_object().into_iter().flatten() {
            all.insert(name.clone(), one.clone());
        }
        all.insert(root(format), schema);
    }
    all.retain(|_, one| one.get("properties").is_some());
    all
}

#[test]
fn the_schema_has_the_fields_that_the_reader_knows_and_a_note() {
    let forms: BTreeMap<&str, &Form> = FORMS.iter().map(|f| (f.what, f)).collect();
    assert_eq!(
        forms.len(),
        FORMS.len(),
        "two sorts of object are called alike"
    );
    let named: BTreeMap<&str, &str> = NAMES.into_iter().collect();
    assert_eq!(
        named.values().copied().collect::<BTreeSet<_>>(),
        forms.keys().copied().collect::<BTreeSet<_>>()
    );
    let objects = objects();
    assert_eq!(
        named.keys().copied().collect::<BTreeSet<_>>(),
        objects.keys().map(String::as_str).collect::<BTreeSet<_>>()
    );
    for (name, what) in named {
        let mut wanted: BTreeSet<&str> = forms[what].fields.iter().copied().collect();
        wanted.insert("note");
        let there = objects[name]["properties"].as_object().unwrap();
        let there: BTreeSet<&str> = there.keys().map(String::as_str).collect();
        assert_eq!(there, wanted, "{name}");
        assert_eq!(objects[name]["additionalProperties"], false, "{name}");
    }
}

#[test]
fn every_field_says_what_it_is_in_a_whole_sentence() {
    for (name, object) in objects() {
        assert!(object["description"].as_str().is_some(), "{name}");
        for (field, about) in object["properties"].as_object().unwrap() {
            let said = about["description"].as_str().unwrap_or_default();
            let whole = said.len() > 15 && said.contains(' ') && said.ends_with('.');
            assert!(whole, "{name}.{field}: {said:?}");
        }
    }
}

#[test]
fn nothing_in_a_schema_may_be_null() {
    for format in Format::ALL {
        assert!(!format.schema().contains("null"), "{}", format.key());
    }
}

#[test]
fn the_schemas_kept_beside_the_program_are_those_that_it_prints() {
    for format in Format::ALL {
        let path = home().join("assets/schemas").join(format.file_name());
        let kept = fs::read_to_string(&path).unwrap();
        let out = run(&["schema", format.key()]);
        assert_eq!(out.status.code(), Some(0));
        assert!(
            kept.as_bytes() == out.stdout.as_slice(),
            "{} is not what levelhand schema {} prints: write it anew with --all",
            path.display(),
            format.key()
        );
    }
}

#[test]
fn the_schemas_are_listed_and_written_into_a_directory() {
    let listed = run(&["schema"]);
    let listed = String::from_utf8(listed.stdout).unwrap();
    assert_eq!(listed.lines().count(), Format::ALL.len());
    let dir = tempfile::tempdir().unwrap();
    let into = dir.path().join("schemas");
    let out = run(&["schema", "--all", into.to_str().unwrap()]);
    assert_eq!(out.status.code(), Some(0));
    for format in Format::ALL {
        let written = fs::read_to_string(into.join(format.file_name())).unwrap();
        assert_eq!(written, format.schema());
    }
}

/// The timetables of the jobs that the rig is held against.
fn timetables() -> Vec<(PathBuf, Vec<u8>)> {
    let mut all = documents(&home().join("tests/rig"));
    let is_timetable = |bytes: &[u8]| {
        let value: Value = serde_json::from_slice(bytes).unwrap();
        format_of(&value) == Some(Format::Timetable)
    };
    all.retain(|(_, bytes)| is_timetable(bytes));
    assert_eq!(all.len(), 4);
    all
}

#[test]
fn every_shipped_document_names_a_schema_that_is_there_and_keeps_to_it() {
    let validators = validators();
    let mut all = documents(&home().join("procedures"));
    assert!(all.len() > 200, "{} documents only", all.len());
    all.extend(timetables());
    for (path, bytes) in all {
        let name = path.display();
        let document: Value = serde_json::from_slice(&bytes).unwrap();
        let format = format_of(&document).unwrap_or_else(|| panic!("{name} has no format"));
        let at = document["$schema"].as_str().unwrap_or_default();
        let schema = path.parent().unwrap().join(at);
        assert!(
            schema.is_file(),
            "{name} names no schema that is there: {at:?}"
        );
        assert!(at.ends_with(&format.file_name()), "{name} names {at:?}");
        let first: Vec<&str> = std::str::from_utf8(&bytes)
            .unwrap()
            .lines()
            .take(3)
            .collect();
        assert!(
            first[1].contains("\"format\"") && first[2].contains("\"$schema\""),
            "{name}"
        );
        let said: Vec<String> = validators[&format]
            .iter_errors(&document)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert!(said.is_empty(), "{name}:\n{}", said.join("\n"));
    }
}

#[test]
fn what_the_reader_takes_the_schema_takes() {
    let validators = validators();
    for (path, bytes) in documents(&home().join("tests/documents/valid")) {
        let Ok(document) = serde_json::from_slice::<Value>(&bytes) else {
            panic!("{} is no JSON", path.display());
        };
        let format = format_of(&document).unwrap();
        let said: Vec<String> = validators[&format]
            .iter_errors(&document)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert!(said.is_empty(), "{}:\n{}", path.display(), said.join("\n"));
    }
}

#[test]
fn a_fault_of_shape_is_refused_by_the_schema_and_any_other_is_named_as_beyond_it() {
    let validators = validators();
    let code = |name: &str| {
        let name = name.trim_start_matches("fit-");
        let codes = CODES.iter().map(|c| c.as_str());
        let fits = codes.filter(|c| name.starts_with(c));
        fits.max_by_key(|c| c.len()).map(str::to_owned)
    };
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for (path, bytes) in documents(&home().join("tests/documents/invalid")) {
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        let stem = name.split('.').next().unwrap();
        let Some(code) = code(stem) else {
            assert_eq!(name, "five-mistakes.json");
            continue;
        };
        if TEXT.contains(&code.as_str()) {
            continue;
        }
        let document: Value = serde_json::from_slice(&bytes).unwrap();
        let refused = !validators[&format_by_name(&name)].is_valid(&document);
        let is_shape = SHAPE.contains(&code.as_str());
        let more = MORE_THAN_SHAPE
            .iter()
            .any(|(n, why)| *n == name && !why.is_empty());
        let wanted = (is_shape && !more) || SHAPE_TOO.contains(&name.as_str());
        assert_eq!(
            refused, wanted,
            "{name}: refused by the schema is {refused}"
        );
        seen.insert(code);
    }
    for code in SHAPE {
        assert!(
            seen.contains(code),
            "no faulty document shows {code} to the schema"
        );
    }
}

/// Where a step, a limit and the like stand in a document, with their members.
fn places(value: &Value, here: &str, out: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (name, inner) in members {
                let name = name.replace('~', "~0").replace('/', "~1");
                let there = format!("{here}/{name}");
                out.push(there.clone());
                places(inner, &there, out);
            }
        }
        Value::Array(items) => {
            for (index, inner) in items.iter().enumerate() {
                places(inner, &format!("{here}/{index}"), out);
            }
        }
        _ => {}
    }
}

fn without(document: &Value, pointer: &str) -> Value {
    let mut altered = document.clone();
    let (parent, name) = pointer.rsplit_once('/').unwrap();
    let parent = altered.pointer_mut(parent).unwrap();
    let name = name.replace("~1", "/").replace("~0", "~");
    parent.as_object_mut().unwrap().remove(&name);
    altered
}

/// The text of a shipped truck.
fn truck(id: &str) -> Option<Vec<u8>> {
    fs::read(home().join(format!("procedures/trucks/{id}.json"))).ok()
}

/// Whether the reader says that a field is missing, or that the document is none.
fn lacks(format: Format, bytes: &[u8]) -> bool {
    let findings = match format {
        Format::Procedure => document::procedure("altered", bytes).findings,
        Format::Sheet => document::sheet("altered", bytes).findings,
        Format::Instruments => document::instruments("altered", bytes).findings,
        Format::Rehearsal => document::rehearsal("altered", bytes).findings,
        Format::Truck => document::truck("altered", bytes, &truck, None).findings,
        Format::Fault => document::fault("altered", bytes, None).findings,
        Format::Drill => document::drill("altered", bytes, None).findings,
        Format::DrillScript => document::drill_script("altered", bytes, None, None).findings,
        Format::Timetable => document::timetable("altered", bytes, &truck, None).findings,
    };
    let codes = findings.iter().map(|f| f.code.as_str());
    codes
        .into_iter()
        .any(|c| c == "missing-field" || c == "wrong-format")
}

#[test]
fn each_field_taken_away_is_missed_by_the_reader_and_the_schema_alike() {
    let validators = validators();
    let files = [
        "tests/documents/valid/base.json",
        "tests/documents/valid/base.sheet.json",
        "tests/documents/valid/base.instruments.json",
        "tests/documents/valid/ask-limit.json",
        "tests/documents/valid/named-inputs.json",
        "procedures/rehearsals/hc_normal_bw_07.json",
        "procedures/rehearsals/hc_floor_spent.json",
        "procedures/trucks/two_bellows_bw_07.json",
        "procedures/trucks/four_bellows_bw_21.json",
        "procedures/faults/reservoir_low.json",
        "procedures/faults/left_strap_stretched.json",
        "procedures/drills/drawn.json",
        "procedures/drills/look_first.json",
        "tests/documents/valid/base.script.json",
        "tests/documents/valid/base.timetable.json",
        "tests/documents/valid/impossible-state.timetable.json",
        "tests/documents/valid/unknown-word-of-a-block.timetable.json",
    ];
    let mut tried = 0;
    for file in files {
        let bytes = fs::read(home().join(file)).unwrap();
        let document: Value = serde_json::from_slice(&bytes).unwrap();
        let format = format_of(&document).unwrap();
        let mut all = Vec::new();
        places(&document, "", &mut all);
        for pointer in all {
            let altered = without(&document, &pointer);
            let refused = !validators[&format].is_valid(&altered);
            let missed = lacks(format, altered.to_string().as_bytes());
            assert_eq!(
                missed, refused,
                "{file} without {pointer}: reader {missed}, schema {refused}"
            );
            tried += 1;
        }
    }
    assert!(tried > 500, "{tried} fields only");
}

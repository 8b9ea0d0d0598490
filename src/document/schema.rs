//! The JSON Schema of each document format, for editors: what stands where, and what
//! it means.
//!
//! Made from mirror types of what authors write, one file a format; each sentence
//! above a field is what an editor shows there. A test holds the fields against those
//! that the reader knows. The schema is never stricter than the reader; names that
//! lead nowhere, units of the wrong kind and the flow are left to `check`.
//! No document is read here.

#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod drill;
#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    clippy::struct_field_names,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod instrument;
mod leaf;
#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod procedure;
#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod rehearsal;
#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod sheet;
#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod step;
#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod timetable;
#[expect(
    dead_code,
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "only the shape of these types is read, and an editor shows their sentences as they stand"
)]
mod truck;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde_json::{Map, Value};

/// A document format.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Format {
    /// Procedures.
    Procedure,
    /// Sheets.
    Sheet,
    /// Lists of instruments.
    Instruments,
    /// Rehearsals.
    Rehearsal,
    /// Trucks to practise on.
    Truck,
    /// Faults of such trucks.
    Fault,
    /// Drills.
    Drill,
    /// Drills written out.
    DrillScript,
    /// Runs of the simulated truck by itself.
    Timetable,
}

impl Format {
    /// All formats.
    pub const ALL: [Self; 9] = [
        Self::Procedure,
        Self::Sheet,
        Self::Instruments,
        Self::Rehearsal,
        Self::Truck,
        Self::Fault,
        Self::Drill,
        Self::DrillScript,
        Self::Timetable,
    ];

    /// The word for it.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Procedure => "procedure",
            Self::Sheet => "sheet",
            Self::Instruments => "instruments",
            Self::Rehearsal => "rehearsal",
            Self::Truck => "truck",
            Self::Fault => "fault",
            Self::Drill => "drill",
            Self::DrillScript => "drill-script",
            Self::Timetable => "timetable",
        }
    }

    /// What documents of this format are, in a line.
    pub const fn about(self) -> &'static str {
        match self {
            Self::Procedure => "the steps of a job, and what protects people in them",
            Self::Sheet => "the values of one vehicle",
            Self::Instruments => "what a shop measures with",
            Self::Rehearsal => "a scripted run of a procedure, and what must follow",
            Self::Truck => "a truck to practise on, and what is read where",
            Self::Fault => "what can be wrong with a truck, and what is right to do",
            Self::Drill => "a truck with faults, under a procedure",
            Self::DrillScript => "a drill written out, and what the debrief must say",
            Self::Timetable => "the simulated truck by itself: what is done to it, and when",
        }
    }

    /// The name of the file that the schema is kept in.
    pub fn file_name(self) -> String {
        format!("levelhand-{}-1.schema.json", self.key())
    }

    /// The schema, as an editor takes it.
    pub fn schema(self) -> String {
        let schema = match self {
            Self::Procedure => schema_of::<procedure::Procedure>(),
            Self::Sheet => schema_of::<sheet::Sheet>(),
            Self::Instruments => schema_of::<instrument::Instruments>(),
            Self::Rehearsal => schema_of::<rehearsal::Rehearsal>(),
            Self::Truck => schema_of::<truck::Truck>(),
            Self::Fault => schema_of::<truck::Fault>(),
            Self::Drill => schema_of::<drill::Drill>(),
            Self::DrillScript => schema_of::<drill::DrillScript>(),
            Self::Timetable => schema_of::<timetable::Timetable>(),
        };
        let mut value = schema.to_value();
        tidy(&mut value);
        format!("{value:#}\n")
    }
}

/// Draft 2020-12.
fn schema_of<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<T>()
}

/// A field that may be left out may not be null: that is taken out again. Members
/// come in the order of their names, whatever order the JSON crate keeps.
fn tidy(value: &mut Value) {
    match value {
        Value::Object(members) => {
            without_null(members);
            members.values_mut().for_each(tidy);
            members.sort_keys();
        }
        Value::Array(items) => items.iter_mut().for_each(tidy),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

fn without_null(members: &mut Map<String, Value>) {
    if let Some(Value::Array(words)) = members.get_mut("enum") {
        words.retain(|w| !w.is_null());
    }
    if let Some(Value::Array(types)) = members.get_mut("type") {
        types.retain(|t| t != "null");
        if let [only] = types.as_slice() {
            let only = only.clone();
            members.insert("type".to_owned(), only);
        }
    }
    let Some(Value::Array(sorts)) = members.get_mut("anyOf") else {
        return;
    };
    sorts.retain(|s| s.get("type").is_none_or(|t| t != "null"));
    if let [Value::Object(only)] = sorts.as_slice() {
        let only = only.clone();
        members.remove("anyOf");
        members.extend(only);
    }
}

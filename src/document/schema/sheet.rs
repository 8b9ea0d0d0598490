//! A sheet, as it is written.

use schemars::JsonSchema;
use serde_json::json;

use super::leaf::{
    Amount, Id, KindWord, Line, Lines, Note, Revision, SchemaPath, Section, SheetFormat,
    SystemWord, Title,
};

/// The values of one vehicle, each with where it comes from.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    title = "levelhand sheet 1",
    extend("anyOf" = json!([
        { "required": ["source"] },
        { "properties": { "values": { "additionalProperties": { "required": ["source"] } } } }
    ]))
)]
pub(super) struct Sheet {
    /// What this document is: "levelhand sheet 1", always first.
    format: SheetFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// The name by which jobs and rehearsals find this sheet; small letters, figures, single underscores. Example: "bw_07".
    id: Id,
    /// What people call the vehicle, at most 60 letters. Example: "tractor BW-07".
    title: Title,
    /// Counts up with every change that goes to the shop. Example: 1.
    revision: Revision,
    /// The units in which readings of this vehicle are shown: "metric" or "us".
    system: SystemWord,
    /// How to be sure that this sheet belongs to the vehicle in front of you. Example: ["Plate on the door frame: BW-07.", "Air springs on both drive axles."].
    identify: Lines,
    /// Where the values come from, for all that don't say it themselves. Example: "maker's level sheet 4, edition 2026-02".
    source: Option<Line>,
    /// The values, by the names under which procedures ask for them. Example: {"ride_height": {"title": "ride height", "value": "190 mm"}}.
    values: Section<SheetValue>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// One value of a sheet: a "value" with its unit, a "word", or "text".
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("oneOf" = json!([{ "required": ["value"] }, { "required": ["word"] }, { "required": ["text"] }])),
    extend("dependentRequired" = json!({ "kind": ["value"] }))
)]
pub(super) struct SheetValue {
    /// What people call it, at most 60 letters. Example: "ride height, drive axle".
    title: Title,
    /// A number with its unit, in quotes. Example: "190 mm", "8.5 bar", "7 1/2 in".
    value: Option<Amount>,
    /// The kind of the value, where the unit alone does not decide it: a slope must say it. Example: "slope".
    kind: Option<KindWord>,
    /// One of the words that the procedure offers. Example: "released".
    word: Option<Id>,
    /// Text for people, a line or a list of lines. Example: ["Front left tyre is new."].
    text: Option<Lines>,
    /// Where this value comes from, if not from where the whole sheet does. Example: "measured on 2026-03-02".
    source: Option<Line>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

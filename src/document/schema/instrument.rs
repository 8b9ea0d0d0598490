//! A list of instruments, as it is written.

use schemars::JsonSchema;
use serde_json::json;

use super::leaf::{
    Amount, Day, Id, InstrumentsFormat, KindWord, Note, Pair, SchemaPath, Title, UnitWord,
};

/// What a shop measures with, and how sure it is.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, title = "levelhand instruments 1")]
pub(super) struct Instruments {
    /// What this document is: "levelhand instruments 1", always first.
    format: InstrumentsFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// The name by which jobs and rehearsals find this list. Example: "north_bay".
    id: Id,
    /// What people call it, at most 60 letters. Example: "north bay bench".
    title: Title,
    /// The instruments. Where several can do the same work the first is offered first.
    instruments: Vec<Instrument>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// One instrument: its span, its resolution, and one of "class", "limit" or "of_reading" for how far it may be off.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("oneOf" = json!([{ "required": ["class"] }, { "required": ["limit"] }, { "required": ["of_reading"] }]))
)]
pub(super) struct Instrument {
    /// Its own name. Example: "gauge_left".
    id: Id,
    /// What is written on it, or what people call it. Example: "gauge 3, 0 to 16 bar".
    title: Title,
    /// What it measures. Example: "gauge_pressure".
    kind: KindWord,
    /// The lowest and the highest value that it shows. Example: ["0 bar", "16 bar"].
    span: Pair<Amount>,
    /// Its accuracy class, in percent of the span, or a letter grade. Example: "1.6".
    class: Option<UnitWord>,
    /// How far it may be off, as a value. Example: "0.5 mm".
    limit: Option<Amount>,
    /// How far it may be off, as a share of what it shows. Example: "1 %".
    of_reading: Option<Amount>,
    /// The smallest step that can be read on it. Example: "0.2 bar".
    resolution: Amount,
    /// The day up to which its calibration holds. Example: "2027-03-31".
    due: Option<Day>,
    /// The roles of procedures that it can take. Example: ["air_gauge_left"].
    #[schemars(rename = "for")]
    roles: Vec<Id>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

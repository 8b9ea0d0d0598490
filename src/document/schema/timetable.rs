//! A timetable, as it is written.

use schemars::JsonSchema;
use serde_json::json;

use super::leaf::{
    Amount, BaseWord, Changed, Either, Fitted, Flag, Id, Note, Pair, SchemaPath, StateNumbers,
    Time, TimetableFormat, Title, ValveWord,
};

/// The simulated truck by itself: how it stands, what is done to it, and when.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    title = "levelhand timetable 1",
    extend("anyOf" = json!([
        { "required": ["heights"], "properties": { "state": false } },
        {
            "required": ["state"],
            "properties": { "heights": false, "reservoir": false, "settle": false }
        }
    ]))
)]
pub(super) struct Timetable {
    /// What this document is: "levelhand timetable 1", always first.
    format: TimetableFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// What is tried, at most 60 letters. Example: "A left bellows that leaks, held for ten minutes".
    title: Title,
    /// The truck whose physics is taken: the model's own with "two_bellows" or "four_bellows", or the id of a truck document. Example: "two_bellows_bw_07".
    truck: Either<BaseWord, Id>,
    /// Numbers of the model that differ from that truck's, by their symbols, which "levelhand rig symbols" lists: one number, or a list where a symbol has several (left and right; gauges left, right and reservoir). Example: {"c_leak": [0.03, 0]}.
    changed: Option<Changed>,
    /// The whole state at the start in place of heights: its 19 numbers in SI, pressures absolute.
    state: Option<StateNumbers>,
    /// Frame to axle at the start, left and right, from 80 mm to 330 mm; the truck stands at rest there. Example: ["190 mm", "190 mm"].
    heights: Option<Pair<Amount>>,
    /// Pressure in the tanks at the start; without it they are as full as the shop air fills them. Example: "8.5 bar".
    reservoir: Option<Amount>,
    /// How long it stands with all valves shut before the run begins, at most an hour. Example: "2 s".
    settle: Option<Time>,
    /// How long it runs, at most a day, in whole milliseconds. Example: "60 s".
    run: Time,
    /// What is done, in the order of time; what a move does not name stays as it is.
    moves: Vec<TimedMove>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What is done to the truck from one time on.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct TimedMove {
    /// When, from the start of the run, in whole milliseconds. Example: "2.5 s".
    at: Time,
    /// The sides whose raise valve is open: "both", "left", "right" or "none".
    raise: Option<ValveWord>,
    /// The sides whose lower valve is open: "both", "left", "right" or "none".
    lower: Option<ValveWord>,
    /// Whether shop air feeds the tanks.
    shop_air: Option<Flag>,
    /// Heights of the spacer blocks, left and right, from 1 mm to 2000 mm; "none" where there is none. Example: ["190 mm", "none"].
    block: Option<Pair<Fitted>>,
    /// Tops of the stands over the floor, left and right; "none" where there is none. Example: ["800 mm", "800 mm"].
    stand: Option<Pair<Fitted>>,
    /// What lies in the gap, left and right: how high over the block's seat it begins to carry; "none" where nothing lies. Example: ["120 mm", "none"].
    gap: Option<Pair<Fitted>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

//! A truck to practise on, and a fault it can have, as they are written.

use schemars::JsonSchema;
use serde_json::json;

use super::leaf::{
    After, Amount, Answers, BaseWord, Either, FaultFormat, Flag, Id, KindWord, Lines, Note,
    Physics, PlaceWord, PlainWord, RemedyWord, SchemaPath, Section, ShutWord, SideWord, StepId,
    Time, Times, Title, TruckFormat,
};

/// A truck to practise on: its physics, and what is read at each place.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    title = "levelhand truck 1",
    extend("anyOf" = json!([
        { "required": ["like"] },
        { "required": [
            "sheet", "base", "start", "stored", "dead_band", "blocks", "write", "cards",
            "readings", "answers"
        ] }
    ]))
)]
pub(super) struct Truck {
    /// What this document is: "levelhand truck 1", always first.
    format: TruckFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// The name by which drills find this truck; small letters, figures, single underscores. Example: "our_yard_truck".
    id: Id,
    /// What people call it, at most 60 letters. Example: "tractor BW-07, two bellows (invented)".
    title: Title,
    /// Another truck, from which everything is taken that is not said here; cards, readings and answers are taken one by one. Example: "two_bellows_bw_07".
    like: Option<Id>,
    /// The sheet that is this truck's own. Example: "bw_07".
    sheet: Option<Id>,
    /// The physics to begin with: "two_bellows" or "four_bellows" on the axle.
    base: Option<BaseWord>,
    /// Numbers of the physics that differ from the base; the end of each name is its unit. Example: {"frame_mass_kg": 1800}.
    physics: Option<Physics>,
    /// How it stands when the drill begins.
    start: Option<Start>,
    /// Where the trailing arm lies, if the axle turns with the height; leave it out where it does not.
    arm: Option<Arm>,
    /// The height values that the control unit has stored.
    stored: Option<Stored>,
    /// How far from its target levelling rests, either way. Example: "4 counts".
    dead_band: Option<Amount>,
    /// True heights of the two spacer blocks.
    blocks: Option<Sides>,
    /// How the write-out is asked for.
    write: Option<Write>,
    /// What the physics does not move: each is opened at its place and read. Example: {"plate": {"title": "vehicle plate", "place": "cab", "truth": {"word": "BW-07", "good": true}}}.
    cards: Option<Section<Card>>,
    /// What each reading of a procedure shows: a sight of the truck or a card. Example: {"found_left": "gauge_left"}.
    readings: Option<Section<Id>>,
    /// What each tick or choice of a procedure is held against, by step and answer: a sight or a card. A step out of a fragment is named without its place, or with it where the place matters. Example: {"chocks.left": "chock_left"}.
    answers: Option<Answers>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// How a truck stands when the drill begins.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Start {
    /// Frame to axle, left. Example: "205 mm".
    left: Amount,
    /// Frame to axle, right. Example: "205 mm".
    right: Amount,
    /// Pressure in the tanks; without it they are as full as the shop air fills them. Example: "8.5 bar".
    reservoir: Option<Amount>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Where the trailing arm lies, all at ride height.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Arm {
    /// From the pivot to the axle centre. Example: "550 mm".
    length: Amount,
    /// From the front axle back to the pivot. Example: "3150.8 mm".
    pivot_back: Amount,
    /// The pivot below the frame underside. Example: "280 mm".
    pivot_below_frame: Amount,
    /// The frame underside over the floor, above the front axle. Example: "806 mm".
    frame_front: Amount,
    /// The axle centre over the floor. Example: "496 mm".
    axle_over_floor: Amount,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// The three height values that a control unit keeps.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Stored {
    /// At ride height. Example: "553 counts".
    ride: Amount,
    /// At the upper stop. Example: "868 counts".
    upper: Amount,
    /// At the lower stop. Example: "256 counts".
    lower: Amount,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A length left and one right.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Sides {
    /// On the left. Example: "190.04 mm".
    left: Amount,
    /// On the right. Example: "190.00 mm".
    right: Amount,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A length on one side, or on both.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("anyOf" = json!([{ "required": ["left"] }, { "required": ["right"] }]))
)]
pub(super) struct EitherSide {
    /// On the left. Example: "2 mm".
    left: Option<Amount>,
    /// On the right. Example: "2 mm".
    right: Option<Amount>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// How the equipment asks for the write-out.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Write {
    /// It refuses below this voltage. Example: "24.5 V".
    at_least: Amount,
    /// It stops by itself when no press comes for so long. Example: "3 s".
    within: Time,
    /// So many presses, and it is written. Example: 12.
    presses: Times,
    /// The card that says the battery's voltage. Example: "battery".
    battery: Id,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something that is opened at its place and read.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Card {
    /// What people read, at most 60 letters. Example: "front tyre, left, cold".
    title: Title,
    /// Where it is opened. Example: "front".
    place: PlaceWord,
    /// What is so there: a value, or a word with whether it is as it should be. Example: "8.5 bar".
    truth: Either<Amount, Truth>,
    /// What is so instead, once something was done; the last line that fits counts. Example: {"charger_on": "27.1 V"}.
    after: Option<After<Either<Amount, Truth>>>,
    /// It moves with the height of the frame.
    with_height: Option<WithHeight>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What is so: a value whose kind must be said, or a word.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("oneOf" = json!([{ "required": ["value"] }, { "required": ["word"] }])),
    extend("dependentRequired" = json!({ "kind": ["value"], "word": ["good"], "good": ["word"] }))
)]
pub(super) struct Truth {
    /// A number with its unit, in quotes. Example: "4.5 °".
    value: Option<Amount>,
    /// The kind of the value, where the unit alone does not decide it: a slope and a tread depth must say it. Example: "slope".
    kind: Option<KindWord>,
    /// What is seen, at most 60 letters. Example: "tight and straight".
    word: Option<Title>,
    /// Whether that is as it should be on this truck. Example: true.
    good: Option<Flag>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// How a value moves with the height of the frame: in a straight line.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct WithHeight {
    /// So much for each millimetre that the frame is higher. Example: "-0.0155 °".
    per_mm: Amount,
    /// The height at which the truth holds. Example: "190 mm".
    from: Amount,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something that can be wrong with a truck, how it shows, and what is right to do.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    title = "levelhand fault 1",
    extend("if" = json!({ "properties": { "remedy": { "enum": ["mend", "swap"] } }, "required": ["remedy"] })),
    extend("then" = json!({ "required": ["mending"] })),
    extend("dependentRequired" = json!({ "mended_at": ["mending"] }))
)]
pub(super) struct Fault {
    /// What this document is: "levelhand fault 1", always first.
    format: FaultFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// The name by which drills find this fault. Example: "left_bellows_leaks".
    id: Id,
    /// What people read when they say which fault it is, at most 60 letters. Example: "left bellows leaks".
    title: Title,
    /// Whether it shows by itself ("clear") or must be looked for ("subtle").
    plain: PlainWord,
    /// What it changes on the truck.
    sets: Sets,
    /// How it shows, for the debrief. Example: ["The left gauge falls by about 0.2 bar a minute."].
    symptom: Lines,
    /// Steps at which a careful person finds it, at least one. Example: ["pressures", "leak_close"].
    #[schemars(length(min = 1))]
    found_at: Vec<StepId>,
    /// What is right to do: mend it, swap it and go on, stop work, or note it and go on.
    remedy: RemedyWord,
    /// What mending it is called; needed where it is to be mended or swapped. Example: "Fit another left gauge".
    mending: Option<Title>,
    /// Where it is mended. Example: "wall".
    mended_at: Option<PlaceWord>,
    /// What to take home, for the debrief. Example: ["Open both gauges to the air before they go on."].
    lesson: Lines,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What a fault changes on a truck: one thing or several.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("anyOf" = json!([
        { "required": ["physics"] }, { "required": ["blocks"] }, { "required": ["hose"] },
        { "required": ["dirt"] }, { "required": ["tips"] }, { "required": ["reservoir"] },
        { "required": ["shop_air"] }, { "required": ["cards"] }
    ]))
)]
pub(super) struct Sets {
    /// Numbers of the physics; the end of each name is its unit. Example: {"bellows_leak_left_dm3_per_s_bar": 0.03}.
    physics: Option<Physics>,
    /// The true height of a block. Example: {"left": "182 mm"}.
    blocks: Option<EitherSide>,
    /// How thick something is that lies in the gap. Example: {"left": "8 mm"}.
    hose: Option<EitherSide>,
    /// How thick the dirt on a block's seat is. Example: {"left": "2 mm"}.
    dirt: Option<EitherSide>,
    /// The sides on which a block set by hand stands tipped. Example: ["left"].
    tips: Option<Vec<SideWord>>,
    /// The pressure in the tanks when the drill begins. Example: "2.6 bar".
    reservoir: Option<Amount>,
    /// "shut": no shop air comes until the fault is mended.
    shop_air: Option<ShutWord>,
    /// What is so on a card instead. Example: {"linkage": {"word": "bracket bent", "good": false}}.
    cards: Option<Section<Either<Amount, Truth>>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

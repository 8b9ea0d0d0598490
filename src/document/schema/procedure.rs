//! A procedure, as it is written; its steps are in `step`.

use schemars::JsonSchema;
use serde_json::json;

use super::leaf::{
    Either, Flag, Id, Input, KindWord, Lasts, Line, Lines, Named, Note, Pair, ProcedureFormat,
    RecordWord, Revision, SchemaPath, Section, SheetKindWord, Side, SignalWord, StepId, StepOrUse,
    SumName, Time, Title, UnitWord, Visit, WhenWord,
};
use super::step::{Limit, Step, Ways};

/// The steps of one job, what is true after each, and what protects people in them.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, title = "levelhand procedure 1")]
pub(super) struct Procedure {
    /// What this document is: "levelhand procedure 1", always first.
    format: ProcedureFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// The name by which jobs and rehearsals find this procedure; small letters, figures, single underscores. Example: "sensor_change".
    id: Id,
    /// What people call the job, at most 60 letters. Example: "Height sensor, drive axle".
    title: Title,
    /// Counts up with every change that goes to the shop. Example: 1.
    revision: Revision,
    /// What the job covers and what it does not, in a few lines. Example: ["One air-sprung drive axle.", "Not for a truck with a load on it."].
    scope: Lines,
    /// What the procedure needs from the vehicle's sheet, by key. Example: {"ride_height": {"kind": "length"}}.
    sheet: Option<Section<SheetNeed>>,
    /// What is measured with, by role; a job says which instrument takes it. Example: {"tape": {"title": "tape", "kind": "length"}}.
    roles: Option<Section<Role>>,
    /// What can be true at the truck, by name. Steps make conditions true, need them and clear them. Example: {"chocked": {"title": "wheels chocked"}}.
    conditions: Option<Section<Condition>>,
    /// Groups of conditions of which only one can hold at a time. Example: [["on_air", "on_stops"]].
    exclusive: Option<Vec<Vec<Id>>>,
    /// What every end needs before anyone leaves the truck. Example: ["chocked", "all_clear"].
    safe: Option<Vec<Id>>,
    /// The end to which a job goes that can't be finished here: a step with "end": "handed_over". Example: "passed_on".
    hand_over: Option<StepId>,
    /// What is owed once it has begun and must be paid before the job is complete. Example: {"refit": {"title": "put the mudguards back"}}.
    duties: Option<Section<Duty>>,
    /// What the job changes and must be read before and after. Example: {"height": {"title": "ride height"}}.
    settings: Option<Section<Setting>>,
    /// What is read at the truck, by name; a step asks for it under "take". Example: {"left": {"title": "height, left", "kind": "length"}}.
    readings: Option<Section<Reading>>,
    /// What is worked out from readings, by name; a step asks for it under "work". Example: {"lean": {"title": "left less right", "sum": "difference", "from": ["value:left", "value:right"]}}.
    workings: Option<Section<Working>>,
    /// What can hurt someone, and what keeps it off. Example: {"crush": {"signal": "danger", "title": "The frame comes down.", "consequence": "Whoever is under it is crushed.", "avoid": "Nobody under it."}}.
    hazards: Option<Section<Hazard>>,
    /// What is done to the truck, by name: each brings its hazards and its needs to every step that does it. Example: {"lower": {"title": "lower the frame", "moves": true, "hazards": ["crush"]}}.
    acts: Option<Section<Act>>,
    /// Runs of steps that are used in several places, written once. Example: {"walk": {"with": ["side"], "steps": []}} with its steps.
    fragments: Option<Section<Fragment>>,
    /// The job in its parts, in order; each says where stop work leads.
    #[schemars(length(min = 1))]
    phases: Vec<Phase>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What is needed from a sheet: a "kind" of value, or one of some "words".
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("oneOf" = json!([{ "required": ["kind"] }, { "required": ["words"] }]))
)]
pub(super) struct SheetNeed {
    /// The kind of the value, or "text". Example: "length".
    kind: Option<SheetKindWord>,
    /// The words of which the sheet gives one; a look can be answered by it. Example: ["released", "on"].
    #[schemars(length(min = 1))]
    words: Option<Vec<Id>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something to measure with.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Role {
    /// What people call it, at most 60 letters. Example: "gauge, left air spring".
    title: Title,
    /// What it measures. Example: "gauge_pressure".
    kind: KindWord,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something that is true at the truck or not: chocked, on the blocks, everyone clear.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("dependentRequired" = json!({ "ask_reading": ["ask"], "ask_limits": ["ask_reading"] }))
)]
pub(super) struct Condition {
    /// What is true, at most 60 letters. Example: "front wheels chocked".
    title: Title,
    /// How long it can be relied on: "job" (unless said), "resume" (asked again after every break), "step" (only in the very next step), or a time. Example: "10 min".
    lasts: Option<Lasts>,
    /// The question with which it is made sure again. Needed unless it lasts the whole job. Example: "Are the front wheels still chocked?".
    ask: Option<Line>,
    /// A reading that answers the question. Example: "pressure_left".
    ask_reading: Option<Id>,
    /// Limits on that reading.
    ask_limits: Option<Vec<Limit>>,
    /// The acts by which alone it can become true; a step that makes it true must name one of them. Example: ["raise"].
    by: Option<Vec<Id>>,
    /// A watch: readings that are taken again and again while this holds.
    series: Option<Series>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Readings that are taken again and again while a condition holds.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Series {
    /// What is read each time. Example: ["pressure_left"].
    #[schemars(length(min = 1))]
    readings: Vec<Id>,
    /// The time from one to the next. Example: "2 min".
    every: Time,
    /// How many in all, from 2 on. Example: 6.
    points: Visit,
    /// How late one may come before it is marked as late. Example: "30 s".
    late_after: Option<Time>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something that is owed from a step that incurs it to a step that settles it.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Duty {
    /// What is to be done, at most 60 letters. Example: "put the mudguards back".
    title: Title,
    /// What the next person must know if it is still owed when the job is handed over. Example: "Both mudguards lie beside the truck.".
    hand_over: Option<Lines>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something that the job changes.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Setting {
    /// What people call it, at most 60 letters. Example: "ride height".
    title: Title,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A value that is read at the truck.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("dependentRequired" = json!({ "of": ["when"], "when": ["of"] }))
)]
pub(super) struct Reading {
    /// What is read, at most 60 letters. Example: "height, left".
    title: Title,
    /// What kind of value it is; gauge pressure, absolute pressure and pressure difference are different kinds. Example: "length".
    kind: KindWord,
    /// The units it is shown in, metric and US. Example: ["mm", "in"].
    shown: Option<Pair<UnitWord>>,
    /// The role it is measured with. Example: "tape".
    #[schemars(rename = "with")]
    role: Option<Id>,
    /// Where to stand or where to measure, at most 60 letters. Example: "left rear".
    place: Option<Title>,
    /// The lowest and the highest value that is believed without asking back. Example: ["50 mm", "500 mm"].
    plausible: Option<Pair<Side>>,
    /// The setting that it is a reading of; goes with "when". Example: "height".
    of: Option<Id>,
    /// Before the setting is changed or after: "as_found" or "as_left"; goes with "of".
    when: Option<WhenWord>,
    /// "record" if nothing judges or uses it and it is only written down.
    #[schemars(rename = "for")]
    purpose: Option<RecordWord>,
    /// True if a second person reads it too, without seeing the first value.
    witness: Option<Flag>,
    /// True if the gauge is looked at without load before it is read.
    zero_check: Option<Flag>,
    /// How to read it, in a few lines. Example: ["Tape straight up.", "Read from outside."].
    how: Option<Lines>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// One input, or several where the sum takes several.
type OneOrSeveral = Either<Input, Vec<Input>>;

/// A value that is worked out: a "sum" with its inputs, or "like" another with what differs.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("oneOf" = json!([
        { "required": ["sum", "from"] },
        { "required": ["like"], "anyOf": [{ "required": ["from"] }, { "required": ["gives"] }] }
    ]))
)]
pub(super) struct Working {
    /// What comes out, at most 60 letters. Example: "left less right".
    title: Title,
    /// Another working whose sum and inputs this one takes. Example: "lean_front".
    like: Option<Id>,
    /// The sum; `levelhand calc --list` tells of each. Example: "difference".
    sum: Option<SumName>,
    /// Which result of the sum, where it has several. Example: "angle".
    gives: Option<Id>,
    /// The inputs, in the order of the sum or by name: "value:READING", "series:READING", "sheet:KEY", a value with its unit, or a word. Example: ["value:left", "value:right"].
    from: Option<Either<Vec<Input>, Named<OneOrSeveral>>>,
    /// The units it is shown in, metric and US. Example: ["mm", "in"].
    shown: Option<Pair<UnitWord>>,
    /// "record" if nothing judges or uses it and it is only written down.
    #[schemars(rename = "for")]
    purpose: Option<RecordWord>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something that can hurt someone.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Hazard {
    /// How bad: "danger" kills or cripples, "warning" could, "caution" hurts, "notice" breaks things.
    signal: SignalWord,
    /// What happens, at most 60 letters. Example: "The frame comes down.".
    title: Title,
    /// What that does to people, in a line. Example: "Whoever is under it is crushed.".
    consequence: Line,
    /// How to keep out of it. Example: ["Nobody under the frame.", "Hands off the bellows."].
    avoid: Lines,
    /// What must hold wherever this hazard is met. Example: ["all_clear", "chocked"].
    needs: Option<Vec<Id>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Something that is done to the truck.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Act {
    /// What is done, at most 60 letters. Example: "lower the frame".
    title: Title,
    /// True if the truck or a part of it moves; a step that does it is confirmed by a hold.
    moves: Option<Flag>,
    /// The hazards that it brings to every step that does it. Example: ["crush"].
    hazards: Option<Vec<Id>>,
    /// What must hold in every step that does it. Example: ["everyone_answered"].
    needs: Option<Vec<Id>>,
    /// What no longer holds once it is done. Example: ["on_blocks"].
    clears: Option<Vec<Id>>,
    /// The settings that it changes. Example: ["height"].
    changes: Option<Vec<Id>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A run of steps that can be used in several places.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Fragment {
    /// Its parameters: "$side" or "{side}" in its steps becomes what a use gives. Example: ["side"].
    #[schemars(rename = "with")]
    parameters: Option<Vec<Id>>,
    /// Its steps. They name each other by their plain ids.
    #[schemars(length(min = 1))]
    steps: Vec<Step>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A fragment put in here, with its parameters.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Use {
    /// The fragment. Example: "walk".
    #[schemars(rename = "use")]
    fragment: Id,
    /// The name of this place: its steps become "PLACE__step", and "PLACE" is the first. Example: "walk_left".
    #[schemars(rename = "as")]
    place: Id,
    /// What the parameters stand for here. Example: {"side": "left"}.
    #[schemars(rename = "with")]
    parameters: Option<Named<Line>>,
    /// Ways of the fragment's last step. Example: {"pass": "next_step"}.
    ways: Option<Ways>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A part of the job.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Phase {
    /// Its own name. Example: "lowering".
    id: Id,
    /// What people call it, at most 60 letters. Example: "Down onto the stops".
    title: Title,
    /// True for what is off the straight way, such as wrong turns and stop work: nothing falls into it, and its last step names its way.
    aside: Option<Flag>,
    /// True for a stop-work route: it trusts nothing, looks itself, and leads to made-safe ends only.
    route: Option<Flag>,
    /// The first step of the route that stop work takes from here. Example: "look_first".
    stop: StepId,
    /// What to do at the truck at once when someone calls stop work here, before any question. Example: ["Hands off the control.", "Nobody goes under."].
    stop_card: Option<Lines>,
    /// The steps, and uses of fragments, in order.
    #[schemars(length(min = 1))]
    steps: Vec<StepOrUse<Step, Use>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

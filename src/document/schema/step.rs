//! A step with what it asks, judges and where it leads, as it is written.

use schemars::JsonSchema;
use serde_json::json;

use super::leaf::{
    ConfirmWord, Either, EndWord, Flag, GradeWord, HoldWord, Name, Note, Pair, RuleWord, Several,
    Side, StepLine, StepLines, StepTitle, Time, Times,
};

/// One thing to do: an ordinary step, a look with "choices", or an "end".
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("allOf" = json!([
        { "if": { "required": ["end"] },
          "then": { "properties": { "confirm": false, "tries": false, "ways": false, "choices": false, "by_sheet": false } } },
        { "if": { "required": ["choices"] },
          "then": { "properties": { "confirm": false, "tries": false, "ways": false } } }
    ])),
    extend("dependentRequired" = json!({ "by_sheet": ["choices"] }))
)]
pub(super) struct Step {
    /// Its own name, by which ways lead here. Example: "chock_wheels".
    id: Name,
    /// What is done, at most 60 letters, as you would say it across the bay. Example: "Chock the front wheels".
    title: StepTitle,
    /// Where the person stands, at most 60 letters. Example: "left rear".
    place: Option<StepTitle>,
    /// What to bring. Example: "two chocks a wheel".
    bring: Option<StepLine>,
    /// What to do, a line for each movement of the hand. Example: ["Chock both front wheels, front and back."].
    #[schemars(rename = "do")]
    instructions: Option<StepLines>,
    /// What will be seen or heard if it goes right. Example: "The frame comes down level.".
    see: Option<StepLines>,
    /// Why it is done, for whoever is new to it. Example: "A truck on air rolls by itself.".
    why: Option<StepLines>,
    /// What must hold before this step begins. Example: ["chocked"].
    needs: Option<Vec<Name>>,
    /// What no longer holds once this step begins. Example: ["on_blocks"].
    clears: Option<Vec<Name>>,
    /// What is done to the truck here; each act brings its hazards and needs. Example: ["lower"].
    acts: Option<Vec<Name>>,
    /// Hazards besides those that come with the acts. Example: ["hot_exhaust"].
    hazards: Option<Vec<Name>>,
    /// Duties that are owed from here on. Example: ["refit"].
    incurs: Option<Vec<Name>>,
    /// What is true once this step has passed. Example: ["chocked"].
    establishes: Option<Vec<Name>>,
    /// Duties that are paid once this step has passed. Example: ["refit"].
    settles: Option<Vec<Name>>,
    /// Settings that are changed here, besides those of the acts. Example: ["height"].
    changes: Option<Vec<Name>>,
    /// Questions that are each answered yes or no.
    ticks: Option<Vec<Tick>>,
    /// Readings that are taken here. Example: ["left", "right"].
    take: Option<Vec<Name>>,
    /// Workings that are made here. Example: ["lean"].
    work: Option<Vec<Name>>,
    /// What the values of this step must keep to.
    limits: Option<Vec<Limit>>,
    /// How the step is confirmed: "none", "enter", a hold, a pulse or a wait. Example: {"hold": "danger"}.
    confirm: Option<Either<ConfirmWord, Confirm>>,
    /// How often it may fail before it takes the way "spent". Example: 3.
    tries: Option<Times>,
    /// Where each outcome leads; without one "pass" goes on to the next step. Example: {"fail": "which_side", "spent": "passed_on"}.
    ways: Option<Ways>,
    /// The answers of a look; the one that is chosen decides the way.
    choices: Option<Vec<Choice>>,
    /// The key of the sheet whose word answers this look, without anyone being asked. Example: "brake_while_setting".
    by_sheet: Option<Name>,
    /// The job is over here: "complete", "handed_over" or "made_safe".
    end: Option<EndWord>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Where each outcome leads.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Ways {
    /// Everything was in order. Without it the next step follows. Example: "done".
    pass: Option<Name>,
    /// A limit was not kept, or an answer was bad. Example: "which_side".
    fail: Option<Name>,
    /// Too close to call; without it the way of "fail" is taken. Example: "finer_tape".
    too_close: Option<Name>,
    /// A pulse or a wait was not kept. Example: "write_again".
    lapsed: Option<Name>,
    /// The tries are used up. Example: "passed_on".
    spent: Option<Name>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A question of a step, answered yes or no in words that fit it.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Tick {
    /// Its own name in this step. Example: "front".
    id: Name,
    /// What is asked, short. Example: "front wheels".
    text: StepLine,
    /// The good answer, if "yes" does not fit. Example: "chocked".
    yes: Option<StepTitle>,
    /// The bad answer, if "no" does not fit. Example: "free".
    no: Option<StepTitle>,
    /// True if it may not apply; the person gives the reason.
    may_not_apply: Option<Flag>,
    /// True if a few words go with the answer, such as who answered.
    words: Option<Flag>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// An answer of a look.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Choice {
    /// Its own name in this look. Example: "on_stops".
    id: Name,
    /// What is seen. Example: "the frame is down on the stops".
    text: StepLine,
    /// The step that follows; without it the next one. Example: "made_safe".
    to: Option<Name>,
    /// What is true once this is chosen. Example: ["on_stops"].
    establishes: Option<Vec<Name>>,
    /// Duties that are owed once this is chosen. Example: ["refit"].
    incurs: Option<Vec<Name>>,
    /// Duties that are paid once this is chosen. Example: ["refit"].
    settles: Option<Vec<Name>>,
    /// How often it can be chosen. Example: 2.
    tries: Option<Times>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// How a step is confirmed: a "hold", a "pulse" or a "wait".
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("oneOf" = json!([{ "required": ["hold"] }, { "required": ["pulse"] }, { "required": ["wait"] }])),
    extend("dependentRequired" = json!({ "for": ["hold"] }))
)]
pub(super) struct Confirm {
    /// A key is held down: "caution" for 1.5 s, "danger" for 2.5 s.
    hold: Option<HoldWord>,
    /// How long the key is held, if not as usual; from 1 s to 10 s. Example: "3 s".
    #[schemars(rename = "for")]
    held_for: Option<Time>,
    /// A key is pressed again and again. Example: {"within": "1 s", "presses": 12}.
    pulse: Option<Pulse>,
    /// A time is waited. Example: {"at_least": "2 min"}.
    wait: Option<Wait>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A key pressed again and again.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Pulse {
    /// The longest time from one press to the next. Example: "1 s" or "sheet:press_gap".
    within: Side,
    /// How many presses. Example: 12.
    presses: Several,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A time waited.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Wait {
    /// The shortest time. Example: "2 min" or "sheet:settle".
    at_least: Side,
    /// The longest time; after it the step has lapsed. Example: "5 min".
    at_most: Option<Side>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What a value must keep to: what it is on, one bound, the rule, the grade and the reason.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("allOf" = json!([
        { "oneOf": [
            { "required": ["of"], "properties": { "differ_by_at_most": false, "age_at_least": false } },
            { "required": ["differ", "differ_by_at_most"] },
            { "required": ["age_of", "age_at_least"] }
        ] },
        { "oneOf": [
            { "required": ["at_most"] }, { "required": ["at_least"] }, { "required": ["between"] },
            { "required": ["near", "within"] }, { "required": ["differ_by_at_most"] }, { "required": ["age_at_least"] }
        ] }
    ])),
    extend("dependentRequired" = json!({ "near": ["within"], "within": ["near"] }))
)]
pub(super) struct Limit {
    /// The reading or working that is judged. Example: "left".
    of: Option<Name>,
    /// Two values whose difference is judged; goes with "differ_by_at_most". Example: ["left", "right"].
    differ: Option<Pair<Name>>,
    /// A condition of which the age is judged; goes with "age_at_least". Example: "leak_watch".
    age_of: Option<Name>,
    /// Not more than this. Example: "2.0 bar" or "sheet:supply_most".
    at_most: Option<Side>,
    /// Not less than this. Example: "8 bar" or "sheet:supply_least".
    at_least: Option<Side>,
    /// Not less than the first and not more than the second. Example: ["50 mm", "500 mm"].
    between: Option<Pair<Side>>,
    /// As near as "within" to this. Example: "sheet:ride_height".
    near: Option<Side>,
    /// The tolerance of "near". Example: "5 mm" or "sheet:ride_within".
    within: Option<Side>,
    /// The largest difference. Example: "3 mm".
    differ_by_at_most: Option<Side>,
    /// How long the condition must have held. Example: "10 min".
    age_at_least: Option<Side>,
    /// "simple" compares the value; "guarded" wants the whole of the value and its doubt inside.
    rule: RuleWord,
    /// "interlock" holds the job up; "advice" can be overridden with a reason.
    grade: GradeWord,
    /// Why this limit, for the person who does not meet it. Example: "The lamps are aimed for this height.".
    why: StepLine,
    /// What to do when it is too close to call. Example: ["Read again with a finer tape."].
    too_close: Option<StepLines>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

//! A rehearsal, as it is written.

use schemars::JsonSchema;
use serde_json::json;

use super::leaf::{
    Attested, Either, Flag, Id, Line, MoveConfirm, Named, Note, OutcomeWord, RehearsalFormat,
    SchemaPath, Start, StepId, StopWord, Time, Title, VerdictWord, Visit,
};

/// A scripted run of a procedure: what a person would do at each step, and what must follow.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, title = "levelhand rehearsal 1")]
pub(super) struct Rehearsal {
    /// What this document is: "levelhand rehearsal 1", always first.
    format: RehearsalFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// Its own name. Example: "sensor_change_straight".
    id: Id,
    /// What happens in it, at most 60 letters. Example: "Normal run, tractor BW-07".
    title: Title,
    /// The id of the procedure. Example: "sensor_change".
    procedure: Id,
    /// The id of the sheet. Example: "bw_07".
    sheet: Id,
    /// The id of the instruments. Example: "demo_bench".
    instruments: Id,
    /// Another rehearsal whose moves are taken wherever none of this one fits. Example: "sensor_change_straight".
    like: Option<Id>,
    /// When it begins: a day, and a time if it matters. Example: "2026-03-02T08:00:00+00:00".
    start: Option<Start>,
    /// The end that it must reach. Example: "done".
    end: StepId,
    /// What must be owed at that end, and nothing else. Example: ["refit"].
    owed_at_end: Option<Vec<Id>>,
    /// What is done, step by step, in the order in which it comes.
    moves: Vec<Move>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What is done at one step, and what must be so there.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Move {
    /// The step. Steps of a fragment are named "PLACE__step". Example: "chock_wheels".
    at: StepId,
    /// What happens here, for whoever reads the rehearsal. Example: "The left side stays high.".
    title: Option<Line>,
    /// Which visit of the step, where it is met more than once. Example: 2.
    visit: Option<Visit>,
    /// What must be so on arrival, and of the limits after the readings.
    expect: Option<Expect>,
    /// How much time passes before. Example: "10 min".
    after: Option<Time>,
    /// True if the work is broken off and taken up again before.
    resume: Option<Flag>,
    /// Answers to conditions that are asked again: true, or the reading. Example: {"chocked": true}.
    attest: Option<Named<Attested>>,
    /// Another instrument for a role, from here on. Example: {"tape": {"instrument": "tape_2", "reason": "the first is broken"}}.
    #[schemars(rename = "use")]
    swaps: Option<Named<Swap>>,
    /// Answers to the ticks; "*" is all the others. Example: {"left": "no", "*": "yes"}.
    ticks: Option<Named<Either<TickWord, Answer>>>,
    /// The readings as they are typed. Example: {"left": "191 mm"}.
    read: Option<Named<Line>>,
    /// Readings that are taken once more. Example: ["left"].
    again: Option<Vec<Id>>,
    /// Second readings by another person. Example: {"left": {"by": "Bo Day", "value": "190 mm"}}.
    witness: Option<Named<Witnessed>>,
    /// Rounds of a watch, each some time after the one before.
    series: Option<Vec<Point>>,
    /// Limits of grade advice that are set aside, with the reason. Example: {"limit 1": "the floor slopes"}.
    #[schemars(rename = "override")]
    overrides: Option<Named<Line>>,
    /// Earlier values that are put right.
    correct: Option<Vec<Correction>>,
    /// A step that is done again in place. Example: "read_left".
    repeat: Option<StepId>,
    /// How the step is ended: "go_on" takes a bad outcome, or passes a step that asks for nothing.
    confirm: Option<MoveConfirm>,
    /// The choice of a look. Example: "on_stops".
    choose: Option<Id>,
    /// Who takes on what is still owed. Example: {"refit": "Ann Lee"}.
    hand_over_to: Option<Named<Line>>,
    /// Stop work is called here, and "taken" or put away again with "carry_on".
    stop: Option<StopWord>,
    /// The move must be refused, and this must be part of the sentence. Example: "not chocked".
    refused: Option<Line>,
    /// The outcome that must come. Example: "fail".
    outcome: Option<OutcomeWord>,
    /// The step that must follow. Example: "which_side".
    to: Option<StepId>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What must be so.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Expect {
    /// Conditions that hold. Example: ["chocked"].
    #[schemars(rename = "true")]
    holds: Option<Vec<Id>>,
    /// Conditions that do not hold. Example: ["on_air"].
    not_true: Option<Vec<Id>>,
    /// Duties that are owed. Example: ["refit"].
    owed: Option<Vec<Id>>,
    /// Duties that are not owed. Example: ["refit"].
    not_owed: Option<Vec<Id>>,
    /// Conditions that are asked again at the door of the step, and no others. Example: ["chocked"].
    asked_again: Option<Vec<Id>>,
    /// Values that are known. Example: ["left"].
    known: Option<Vec<Id>>,
    /// What the limits say, by value or by number. Example: {"left": "within", "limit 2": "too_close"}.
    verdicts: Option<Named<VerdictWord>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Another instrument for a role.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Swap {
    /// The instrument. Example: "tape_2".
    instrument: Id,
    /// What it shows without load, as typed. Example: "0.05 bar".
    zero: Option<Line>,
    /// Why it is changed. Example: "the first is broken".
    reason: Line,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Yes or no.
#[derive(JsonSchema)]
#[schemars(rename_all = "lowercase")]
pub(super) enum TickWord {
    /// The good answer.
    Yes,
    /// The bad answer.
    No,
}

/// An answer with words: "yes" with words, or "not" with the reason why it does not apply.
#[derive(JsonSchema)]
#[schemars(
    deny_unknown_fields,
    extend("anyOf" = json!([{ "required": ["not"] }, { "required": ["yes"] }]))
)]
pub(super) struct Answer {
    /// Why it does not apply. Example: "no third axle".
    not: Option<Line>,
    /// The words that go with a good answer. Example: "Bo Day".
    yes: Option<Line>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A second reading, by another person.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Witnessed {
    /// Who reads, at most 40 letters. Example: "Bo Day".
    by: Line,
    /// What is read, as typed. Example: "190 mm".
    value: Line,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A round of a watch.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Point {
    /// How long after the round before. Example: "2 min".
    after: Time,
    /// The readings as they are typed. Example: {"pressure_left": "8.1 bar"}.
    read: Option<Named<Line>>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// An earlier value that is put right.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Correction {
    /// The reading. Example: "left".
    value: Id,
    /// What it should have been, as typed. Example: "191 mm".
    to: Line,
    /// Why. Example: "read upside down".
    reason: Line,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

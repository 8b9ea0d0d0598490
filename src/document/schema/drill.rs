//! A drill, and a drill written out, as they are written.

use schemars::JsonSchema;

use super::leaf::{
    Attested, CoachingWord, DrawCount, DrillFormat, DrillNumber, DrillScriptFormat, Either, Flag,
    Id, Line, Lines, MoveConfirm, Named, Note, OutcomeWord, PlainWord, SchemaPath, Seed, StepId,
    StopWord, Time, Title, Visit,
};
use super::rehearsal::{Answer, Correction, Expect, Point, Swap, TickWord, Witnessed};

/// A drill: which truck with which faults, under which procedure, and how much is said.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, title = "levelhand drill 1")]
pub(super) struct Drill {
    /// What this document is: "levelhand drill 1", always first.
    format: DrillFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// Its own name. Example: "measure_first".
    id: Id,
    /// What people choose it by, at most 60 letters; it does not give the fault away. Example: "Something on the bench, coached".
    title: Title,
    /// What it teaches. Example: ["Trust nothing that someone else has put away."].
    aim: Lines,
    /// Its place in the course, from 1. Example: 3.
    number: DrillNumber,
    /// The drill that should be passed before. Example: "clear_coached".
    after: Option<Id>,
    /// The id of the procedure. Example: "ride_height".
    procedure: Id,
    /// The id of the sheet that the person is given: perhaps not the truck's own. Example: "bw_07".
    sheet: Id,
    /// The id of the instruments. Example: "demo_bench".
    instruments: Id,
    /// The id of the truck. Example: "two_bellows_bw_07".
    truck: Id,
    /// Its faults by their ids, none for a sound truck, or a draw. Example: ["short_block_left"].
    faults: Either<Vec<Id>, Drawn>,
    /// How much is said on the way: "coached", "hints" or "alone".
    coaching: CoachingWord,
    /// The script, done well, by which the coach says what is next; without it the coach only names places. Example: "careful_bw_07".
    coach: Option<Id>,
    /// True: honest gauges differ a little, as they do in every shop.
    scatter: Option<Flag>,
    /// Where the person takes over from the lead hand; without it, at the first step.
    begin: Option<Begin>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Faults that are drawn by lot.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Drawn {
    /// How many, from 1 to 4. Example: 1.
    draw: DrawCount,
    /// Only clear ones, or only subtle ones; without it any. Example: "clear".
    plain: Option<PlainWord>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// Where the person takes over.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Begin {
    /// The step. Example: "rul_upper__round".
    at: StepId,
    /// The script by which the lead hand did everything before. Example: "careful_bw_07".
    script: Id,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// A drill written out: what a person does at the truck and enters, and what the debrief must say.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, title = "levelhand drill script 1")]
pub(super) struct DrillScript {
    /// What this document is: "levelhand drill script 1", always first.
    format: DrillScriptFormat,
    /// Where your editor finds this description; the program takes no notice of it.
    #[schemars(rename = "$schema")]
    schema: Option<SchemaPath>,
    /// Its own name. Example: "careful_bw_07".
    id: Id,
    /// What happens in it, at most 60 letters. Example: "The whole job done well".
    title: Title,
    /// The id of the drill. Example: "clear_coached".
    drill: Id,
    /// The seed by which gauges differ and faults are drawn; 0 if it is left out. Example: 7.
    seed: Option<Seed>,
    /// Who plays, at most 40 letters; an invented name. Example: "T. Brindlewood".
    by: Line,
    /// Faults instead of those of the drill. Example: ["rod_joint_worn"].
    faults: Option<Vec<Id>>,
    /// Another script whose moves are taken wherever none of this one fits. Example: "careful_bw_07".
    like: Option<Id>,
    /// What is done, step by step, in the order in which it comes.
    moves: Vec<DrillMove>,
    /// What the debrief must say.
    expect: Option<DrillExpect>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

/// What is done at one step: first at the truck, then in the procedure.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct DrillMove {
    /// The step. Steps of a fragment are named "PLACE__step". Example: "chock_wheels".
    at: StepId,
    /// What happens here, for whoever reads the rehearsal. Example: "The left side stays high.".
    title: Option<Line>,
    /// Which visit of the step, where it is met more than once. Example: 2.
    visit: Option<Visit>,
    /// What is done at the truck before anything is entered, in order. Example: ["raise until 215 mm", "wait until still"].
    hands: Option<Vec<Line>>,
    /// True: looks at everything that the step asks about, types what is shown and ticks what is seen, wherever nothing else is said here.
    careful: Option<Flag>,
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
    /// The readings as they are typed; "shown" is what the instrument shows. Example: {"left": "191 mm", "right": "shown"}.
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

/// What the debrief must say.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct DrillExpect {
    /// Faults that were found; "wrong_sheet" is a sheet of another truck. Example: ["rod_joint_worn"].
    found: Option<Vec<Id>>,
    /// Faults that were not found. Example: ["rod_joint_worn"].
    missed: Option<Vec<Id>>,
    /// Unsafe acts by their names, each seen at least once, and no others. Example: ["hands_on_air"].
    acts: Option<Vec<Id>>,
    /// Whether the drill is passed. Example: true.
    passed: Option<Flag>,
    /// A note to yourself; the program takes no notice.
    note: Option<Note>,
}

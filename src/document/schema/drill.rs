//! A drill, and a drill written out, as they are written.

use schemars::JsonSchema;

use super::leaf::{
    CoachingWord, DrawCount, DrillFormat, DrillNumber, DrillScriptFormat, Either, Flag, Id, Line,
    Lines, Named, Note, PlainWord, SchemaPath, Seed, StepId, Title,
};
use super::rehearsal::Move;

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
    /// What a move of a rehearsal has.
    #[schemars(flatten)]
    of_a_rehearsal: Move,
    /// What is done at the truck before anything is entered, in order. Example: ["raise until 215 mm", "wait until still"].
    hands: Option<Vec<Line>>,
    /// True: looks at everything that the step asks about, types what is shown and ticks what is seen, wherever nothing else is said here.
    careful: Option<Flag>,
    /// The readings as they are typed; "shown" is what the instrument shows. Example: {"left": "191 mm", "right": "shown"}.
    read: Option<Named<Line>>,
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

//! What stands in the fields: names, texts, values with units, words, numbers.
//!
//! Inside a step a parameter of a fragment may stand for any of them, so the patterns
//! there leave room for `$name` and `{name}`.

use std::borrow::Cow;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::{Value, json};

use crate::calc::REGISTRY;
use crate::document::reader::{LINE, TITLE};
use crate::document::timetable::{AIR, NONE, NUMBERS, VALVES, count};
use crate::procedure::{EndKind, Outcome};
use crate::quantity::Kind;
use crate::rig::{Coaching, Fact, PARAMETERS, Plain, Remedy, SYMBOLS, Spot};

/// A plain name.
const ID: &str = "^[a-z](_?[a-z0-9])*_?$";
/// A step, also one that came out of a fragment.
const STEP: &str = "^[a-z](_?[a-z0-9])*(_|__[a-z](_?[a-z0-9])*_?)?$";
/// A name inside a step.
const NAME: &str =
    r"^(\$[a-z][a-z0-9_]*|([a-z]|\{[a-z][a-z0-9_]*\})([a-z0-9_]|\{[a-z][a-z0-9_]*\})*)$";
/// A parameter of a fragment, alone or in a text.
const PARAMETER: &str = r"^\$[a-z]|\{[a-z][a-z0-9_]*\}";
/// A value: there is a figure in it.
const VALUE: &str = "[0-9½¼¾⅛⅜⅝⅞]";
/// The other side of a limit.
const SIDE: &str = r"^\s*sheet:[a-z{]|[0-9½¼¾⅛⅜⅝⅞]|^\$[a-z]|\{[a-z][a-z0-9_]*\}";
/// An input of a working.
const INPUT: &str = r"^(value|series|sheet):[a-z]|[0-9½¼¾⅛⅜⅝⅞]|^[a-z][a-z0-9_]*$";
/// A stretch of time.
const TIME: &str = r"[0-9½¼¾].*[a-z]|^\$[a-z]|\{[a-z][a-z0-9_]*\}";

macro_rules! leaves {
    ($($(#[$doc:meta])* $name:ident = $schema:expr;)*) => {$(
        $(#[$doc])*
        pub(super) enum $name {}

        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                Schema::try_from($schema).unwrap_or_default()
            }
        }
    )*};
}

leaves! {
    /// A name that is declared here.
    Id = json!({ "type": "string", "pattern": ID, "maxLength": 48 });
    /// A step of a procedure, from outside of it or from its head.
    StepId = json!({ "type": "string", "pattern": STEP, "maxLength": 97 });
    /// A name inside a step.
    Name = json!({ "type": "string", "pattern": NAME, "maxLength": 97 });
    /// A title.
    Title = json!({ "type": "string", "pattern": r"\S", "maxLength": TITLE });
    /// A line of text.
    Line = line();
    /// A line or several.
    Lines = lines(&line());
    /// A title inside a step.
    StepTitle = step_text(TITLE);
    /// A line inside a step.
    StepLine = step_text(LINE);
    /// Lines inside a step.
    StepLines = lines(&step_text(LINE));
    /// What the author wants to remember.
    Note = lines(&json!({ "type": "string", "pattern": r"\S" }));
    /// Where an editor finds the schema.
    SchemaPath = json!({ "type": "string", "pattern": r"\S" });
    /// A value with its unit.
    Amount = json!({ "type": "string", "pattern": VALUE });
    /// The other side of a limit.
    Side = json!({ "type": "string", "pattern": SIDE });
    /// A stretch of time.
    Time = json!({ "type": "string", "pattern": TIME });
    /// A unit.
    UnitWord = json!({ "type": "string", "pattern": r"\S", "maxLength": 20 });
    /// An input of a working.
    Input = json!({ "type": "string", "pattern": INPUT });
    /// A day of the calendar.
    Day = json!({ "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$" });
    /// A day, and a time if it matters.
    Start = json!({ "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}" });
    /// True or false.
    Flag = json!({ "type": "boolean" });
    /// How often.
    Times = whole(1, 100);
    /// How many, from two on.
    Several = whole(2, 1000);
    /// A visit.
    Visit = whole(1, 1000);
    /// A revision.
    Revision = whole(1, u32::MAX);

    /// A kind of value.
    KindWord = words(Kind::ALL.map(Kind::key));
    /// A kind of value, or text.
    SheetKindWord = words(Kind::ALL.map(Kind::key).into_iter().chain(["text"]));
    /// A sum.
    SumName = words(REGISTRY.iter().map(|sum| sum.name));
    /// A signal word.
    SignalWord = words(["danger", "warning", "caution", "notice"]);
    /// What a hold is for.
    HoldWord = in_step(["caution", "danger"]);
    /// None or enter.
    ConfirmWord = in_step(["none", "enter"]);
    /// How a limit is judged.
    RuleWord = in_step(["simple", "guarded"]);
    /// What a limit that is not kept means.
    GradeWord = in_step(["interlock", "advice"]);
    /// An end.
    EndWord = in_step([EndKind::Complete.key(), EndKind::HandedOver.key(), EndKind::MadeSafe.key()]);
    /// As found or as left.
    WhenWord = words(["as_found", "as_left"]);
    /// Only kept for the record.
    RecordWord = words(["record"]);
    /// Units of a vehicle's sheet.
    SystemWord = words(["metric", "us"]);
    /// How long a condition lasts.
    Lasts = json!({ "anyOf": [words(["job", "resume", "step"]), { "type": "string", "pattern": "^[0-9].*[a-z]" }] });
    /// An outcome.
    OutcomeWord = words(Outcome::ALL.map(Outcome::key));
    /// A verdict.
    VerdictWord = words(["within", "outside", "too_close"]);
    /// A way to confirm, as a rehearsal says it.
    MoveConfirm = words(["enter", "hold", "pulse", "wait", "lapse", "go_on"]);
    /// What becomes of stop work.
    StopWord = words(["taken", "carry_on"]);
    /// True, or a reading as it is typed.
    Attested = json!({ "anyOf": [{ "const": true }, line()] });
    /// The base of a truck's physics.
    BaseWord = words(["two_bellows", "four_bellows"]);
    /// A place at a truck.
    PlaceWord = words(Spot::ALL.map(Spot::key));
    /// A side.
    SideWord = words(["left", "right"]);
    /// Shut.
    ShutWord = words(["shut"]);
    /// How plain a fault is.
    PlainWord = words(Plain::ALL.map(Plain::word));
    /// What is right to do about a fault.
    RemedyWord = words(Remedy::ALL.map(Remedy::key));
    /// How much is said.
    CoachingWord = words(Coaching::ALL.map(Coaching::word));
    /// A place in a course.
    DrillNumber = whole(1, 999);
    /// How many faults are drawn.
    DrawCount = whole(1, 4);
    /// A seed.
    Seed = whole(0, u32::MAX);
    /// Numbers of the physics, each within its bounds.
    Physics = physics();
    /// Numbers of the model by their symbols, each within its bounds.
    Changed = changed();
    /// The numbers of a state.
    StateNumbers = state();
    /// The sides on which a valve is open.
    ValveWord = words(VALVES.map(|(word, _)| word));
    /// A height, or that there is nothing.
    Fitted = json!({ "anyOf": [words([NONE]), { "type": "string", "pattern": VALUE }] });
    /// Sights or cards by `STEP.ANSWER`.
    Answers = json!({
        "type": "object",
        "properties": { "note": { "description": NOTE, "anyOf": [id(), lines(&line())] } },
        "propertyNames": { "pattern": r"^note$|^[a-z][a-z0-9_]*\.[a-z][a-z0-9_]*$" },
        "additionalProperties": id(),
    });
    /// The line that says what a document is.
    ProcedureFormat = json!({ "const": crate::document::graph::FORMAT });
    /// The same of a sheet.
    SheetFormat = json!({ "const": crate::document::sheet::FORMAT });
    /// The same of instruments.
    InstrumentsFormat = json!({ "const": crate::document::instrument::FORMAT });
    /// The same of a rehearsal.
    RehearsalFormat = json!({ "const": crate::document::rehearsal::FORMAT });
    /// The same of a truck.
    TruckFormat = json!({ "const": crate::document::truck::FORMAT });
    /// The same of a fault.
    FaultFormat = json!({ "const": crate::document::fault::FORMAT });
    /// The same of a drill.
    DrillFormat = json!({ "const": crate::document::drill::FORMAT });
    /// The same of a script of a drill.
    DrillScriptFormat = json!({ "const": crate::document::drill_script::FORMAT });
    /// The same of a timetable.
    TimetableFormat = json!({ "const": crate::document::timetable::FORMAT });
}

/// What stands over every note.
const NOTE: &str = "A note to yourself; the program takes no notice.";

fn id() -> Value {
    json!({ "type": "string", "pattern": ID, "maxLength": 48 })
}

fn physics() -> Value {
    let numbers = PARAMETERS.iter().map(|p| {
        let bounds = json!({ "type": "number", "minimum": p.least, "maximum": p.most });
        (p.name.to_owned(), bounds)
    });
    let mut known: serde_json::Map<String, Value> = numbers.collect();
    let note = json!({ "description": NOTE, "anyOf": [lines(&line())] });
    known.insert("note".to_owned(), note);
    json!({ "type": "object", "properties": known, "additionalProperties": false })
}

fn changed() -> Value {
    let numbers = SYMBOLS.iter().map(|symbol| {
        let (least, most) = symbol.range();
        let one = json!({ "type": "number", "minimum": least, "maximum": most });
        let several = count(symbol);
        let list =
            json!({ "type": "array", "items": one, "minItems": several, "maxItems": several });
        let about = symbol.about.trim();
        (
            symbol.name.to_owned(),
            json!({ "description": about, "anyOf": [one, list] }),
        )
    });
    let mut known: serde_json::Map<String, Value> = numbers.collect();
    let note = json!({ "description": NOTE, "anyOf": [lines(&line())] });
    known.insert("note".to_owned(), note);
    json!({ "type": "object", "properties": known, "additionalProperties": false })
}

fn state() -> Value {
    let number = |place: usize| {
        if AIR.contains(&place) {
            json!({ "type": "number", "exclusiveMinimum": 0 })
        } else {
            json!({ "type": "number" })
        }
    };
    let numbers: Vec<Value> = (0..NUMBERS).map(number).collect();
    json!({ "type": "array", "prefixItems": numbers, "minItems": NUMBERS, "maxItems": NUMBERS })
}

/// What is so once a fact is.
pub(super) struct After<T>(PhantomData<T>);

impl<T: JsonSchema> JsonSchema for After<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("after_of_{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let one = generator.subschema_for::<T>();
        let facts = Fact::ALL.map(|fact| (fact.key().to_owned(), one.clone().to_value()));
        let mut known: serde_json::Map<String, Value> = facts.into_iter().collect();
        let note = json!({ "description": NOTE, "anyOf": [lines(&line())] });
        known.insert("note".to_owned(), note);
        json_schema!({ "type": "object", "properties": known, "additionalProperties": false })
    }
}

fn line() -> Value {
    json!({ "type": "string", "pattern": r"\S", "maxLength": LINE })
}

/// A text of at most so many letters; longer only where a parameter is still to come.
fn step_text(most: usize) -> Value {
    let pattern = format!(r"^(?=.*\S)(.{{1,{most}}}|.*\{{[a-z][a-z0-9_]*\}}.*)$");
    json!({ "type": "string", "pattern": pattern })
}

fn lines(one: &Value) -> Value {
    json!({ "anyOf": [one, { "type": "array", "items": one, "minItems": 1 }] })
}

fn whole(least: u32, most: u32) -> Value {
    json!({ "type": "integer", "minimum": least, "maximum": most })
}

fn words<'a>(words: impl IntoIterator<Item = &'a str>) -> Value {
    json!({ "type": "string", "enum": words.into_iter().collect::<Vec<_>>() })
}

/// Words inside a step.
fn in_step<const N: usize>(known: [&str; N]) -> Value {
    json!({ "anyOf": [words(known), { "type": "string", "pattern": PARAMETER }] })
}

/// Things by their names, and a note among them.
pub(super) struct Section<T>(PhantomData<T>);

impl<T: JsonSchema> JsonSchema for Section<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("section_of_{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let one = generator.subschema_for::<T>();
        let note = generator.subschema_for::<Note>();
        json_schema!({
            "type": "object",
            "properties": { "note": { "description": "A note to yourself; the program takes no notice.", "anyOf": [note, one] } },
            "propertyNames": { "pattern": ID, "maxLength": 48 },
            "additionalProperties": one,
        })
    }
}

/// Values by the names of what they are for.
pub(super) struct Named<T>(PhantomData<T>);

impl<T: JsonSchema> JsonSchema for Named<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("named_{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "propertyNames": { "pattern": "^[a-z*]" },
            "additionalProperties": generator.subschema_for::<T>(),
        })
    }
}

/// A list of exactly two.
pub(super) struct Pair<T>(PhantomData<T>);

impl<T: JsonSchema> JsonSchema for Pair<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("pair_of_{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let one = generator.subschema_for::<T>();
        json_schema!({ "type": "array", "items": one, "minItems": 2, "maxItems": 2 })
    }
}

/// One of two sorts.
pub(super) struct Either<A, B>(PhantomData<(A, B)>);

impl<A: JsonSchema, B: JsonSchema> JsonSchema for Either<A, B> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("{}_or_{}", A::schema_name(), B::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let (a, b) = (
            generator.subschema_for::<A>(),
            generator.subschema_for::<B>(),
        );
        json_schema!({ "anyOf": [a, b] })
    }
}

/// A step, or the use of a fragment: told apart by "use", so that an editor says what
/// is wrong with the one that was meant.
pub(super) struct StepOrUse<S, U>(PhantomData<(S, U)>);

impl<S: JsonSchema, U: JsonSchema> JsonSchema for StepOrUse<S, U> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "step_or_use".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let (step, used) = (
            generator.subschema_for::<S>(),
            generator.subschema_for::<U>(),
        );
        json_schema!({ "type": "object", "if": { "required": ["use"] }, "then": used, "else": step })
    }
}

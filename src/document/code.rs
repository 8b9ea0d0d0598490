//! The stable names of everything that may be wrong with a document.

use crate::finding::Code;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal;)*) => {
        $($(#[$doc])* pub(super) const $name: Code = Code::new($text);)*

        /// Every code that reading, the rules of this module and fitting can give.
        pub const CODES: &[Code] = &[$($name),*];
    };
}

codes! {
    /// Bytes that are no text.
    NOT_UTF8 = "not-utf8";
    /// A byte order mark.
    BYTE_ORDER_MARK = "byte-order-mark";
    /// Against the grammar of JSON.
    BAD_JSON = "bad-json";
    /// A control character, raw or escaped.
    CONTROL_CHARACTER = "control-character";
    /// A number that JSON does not know.
    BAD_NUMBER = "bad-number";
    /// A key twice in one object.
    DUPLICATE_KEY = "duplicate-key";
    /// Nested too deep.
    TOO_DEEP = "too-deep";
    /// A file too large.
    TOO_LARGE = "too-large";

    /// More is wrong than anyone reads.
    TOO_MANY = "too-many";

    /// No `format`, or another.
    WRONG_FORMAT = "wrong-format";
    /// A field that is not known there.
    UNKNOWN_FIELD = "unknown-field";
    /// A field that must be there.
    MISSING_FIELD = "missing-field";
    /// Fields of which only one may be there.
    CLASHING_FIELDS = "clashing-fields";
    /// A list where a string is wanted, and the like.
    WRONG_SHAPE = "wrong-shape";
    /// A word that is not on the list.
    UNKNOWN_WORD = "unknown-word";
    /// A name against the pattern.
    BAD_NAME = "bad-name";
    /// A value with unit that can't be read.
    BAD_VALUE = "bad-value";
    /// A unit that is not known, or not of that kind.
    BAD_UNIT = "bad-unit";
    /// A day of the calendar that can't be read.
    BAD_DAY = "bad-day";
    /// A count or time out of its range.
    OUT_OF_RANGE = "out-of-range";
    /// Text with nothing in it, or a list.
    EMPTY = "empty";
    /// Text that does not fit the screen.
    TEXT_TOO_LONG = "text-too-long";
    /// A name given twice.
    DUPLICATE_NAME = "duplicate-name";
    /// A name that nothing declares.
    UNKNOWN_NAME = "unknown-name";
    /// A way or reference to a step that isn't there.
    UNKNOWN_STEP = "unknown-step";
    /// A value of the wrong kind.
    KIND_MISMATCH = "kind-mismatch";

    /// Nothing that can be done at a truck.
    BAD_DEED = "bad-deed";
    /// Documents that are like one another in a circle, or too many in a row.
    LIKE_CYCLE = "like-cycle";

    /// Numbers of a state that no truck is in.
    IMPOSSIBLE_STATE = "impossible-state";
    /// Heights of the two sides that no air holds.
    IMPOSSIBLE_HEIGHTS = "impossible-heights";
    /// A time between two steps of the simulated truck.
    UNEVEN_TIME = "uneven-time";
    /// A move of a timetable that is earlier than the one before it.
    MOVE_ORDER = "move-order";
    /// A move of a timetable that comes when the run is over.
    IDLE_MOVE = "idle-move";

    /// A parameter of a fragment missing, left over or not declared.
    FRAGMENT_PARAMETER = "fragment-parameter";
    /// A fragment that nothing uses.
    UNUSED_FRAGMENT = "unused-fragment";

    /// An outcome that can occur and leads nowhere.
    MISSING_WAY = "missing-way";
    /// A way for an outcome that can't occur.
    IMPOSSIBLE_WAY = "impossible-way";

    /// A look with limits, an end with work to do.
    STEP_SHAPE = "step-shape";
    /// A condition for one step, made by something other than a gate.
    GATE_SHAPE = "gate-shape";
    /// A movement, or what makes a condition so, that no step does.
    ACT_UNDONE = "act-undone";
    /// A movement without its hold.
    MOVEMENT_SHAPE = "movement-shape";
    /// A movement that asks for nothing fresh.
    MOVEMENT_UNGATED = "movement-ungated";
    /// A step that makes true what protects people, and asks nothing.
    NOTHING_ASKED = "nothing-asked";
    /// Two answers that one key would give.
    ANSWERS_ALIKE = "answers-alike";
    /// A brace in a text that nothing fills.
    STRAY_BRACE = "stray-brace";
    /// A look without two choices.
    FEW_CHOICES = "few-choices";
    /// A look whose choices may all be used up.
    ALL_CHOICES_COUNTED = "all-choices-counted";
    /// A choice that leads back to its own look.
    CHOICE_TO_ITSELF = "choice-to-itself";
    /// A look by the sheet whose choices are not the words.
    SHEET_LOOK = "sheet-look";
    /// A group of one.
    SMALL_GROUP = "small-group";
    /// One outcome that makes two of a group true.
    EXCLUSIVE_PAIR = "exclusive-pair";
    /// A limit that nothing meets.
    IMPOSSIBLE_LIMIT = "impossible-limit";
    /// Advice where people are protected.
    ADVICE_GUARDS_PEOPLE = "advice-guards-people";
    /// "Does not apply" where people are protected.
    DOES_NOT_APPLY = "does-not-apply";
    /// A condition made without one of its acts.
    MISSING_ACT = "missing-act";
    /// A condition that gets stale and has no question.
    NO_QUESTION = "no-question";
    /// A condition that never gets stale and has a question.
    IDLE_QUESTION = "idle-question";
    /// A reading that nothing looks at before it is taken again.
    IDLE_READING = "idle-reading";
    /// A working where a reading is wanted.
    NOT_A_READING = "not-a-reading";
    /// A reading where a working is wanted.
    NOT_A_WORKING = "not-a-working";
    /// A limit of a question that is on something else.
    ASK_LIMIT = "ask-limit";
    /// A series of a reading that no condition reads.
    NOT_A_SERIES = "not-a-series";
    /// A working made from itself.
    WORKING_CYCLE = "working-cycle";
    /// The hand-over end is none.
    HAND_OVER = "hand-over";
    /// Stop work leads somewhere else than into a route.
    STOP_ROUTE = "stop-route";
    /// A way into the middle of a stop-work route.
    ROUTE_ENTRY = "route-entry";
    /// A step of a wrong turn that is fallen into and led to.
    FALLS_INTO_TURN = "falls-into-turn";
    /// No complete end, and the like.
    NO_END = "no-end";

    /// A sheet without a value that the procedure needs.
    MISSING_SHEET_VALUE = "missing-sheet-value";
    /// A value of a sheet of another kind.
    SHEET_VALUE_KIND = "sheet-value-kind";
    /// A word of a sheet that is not on the list.
    SHEET_WORD = "sheet-word";
    /// No instrument for a use.
    NO_INSTRUMENT = "no-instrument";
    /// An instrument that measures something else.
    INSTRUMENT_KIND = "instrument-kind";
    /// A limit that the instrument can't prove.
    UNPROVABLE_LIMIT = "unprovable-limit";
}

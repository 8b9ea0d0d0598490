//! The objects of the documents: what each is called and which fields it has.
//!
//! The reader asks here which fields are known, and the schema that editors use is
//! held against the same lists by a test. `note` may stand everywhere and is in no
//! list. Nothing here knows what a field means.

/// One sort of object.
#[derive(Debug)]
pub struct Form {
    /// What it is, for people ("a step").
    pub what: &'static str,
    /// Its fields, in the order in which people write them.
    pub fields: &'static [&'static str],
}

macro_rules! forms {
    ($($name:ident = $what:literal: $($field:literal)+;)*) => {
        $(pub(super) const $name: Form = Form { what: $what, fields: &[$($field),+] };)*

        /// Every sort of object.
        pub const FORMS: &[Form] = &[$($name),*];
    };
}

forms! {
    PROCEDURE = "a procedure": "format" "$schema" "id" "title" "revision" "scope" "sheet" "roles"
        "conditions" "exclusive" "safe" "hand_over" "duties" "settings" "readings" "workings"
        "hazards" "acts" "fragments" "phases";
    SHEET_NEED = "what is expected of a sheet": "kind" "words";
    ROLE = "a role": "title" "kind";
    CONDITION = "a condition": "title" "lasts" "ask" "ask_reading" "ask_limits" "by" "series";
    SERIES = "a series": "readings" "every" "points" "late_after";
    DUTY = "a duty": "title" "hand_over";
    SETTING = "a setting": "title";
    READING = "a reading": "title" "kind" "shown" "with" "place" "plausible" "of" "when" "for"
        "witness" "zero_check" "how";
    WORKING = "a working": "title" "like" "sum" "gives" "from" "shown" "for";
    HAZARD = "a hazard": "signal" "title" "consequence" "avoid" "needs";
    ACT = "an act": "title" "moves" "hazards" "needs" "clears" "changes";
    FRAGMENT = "a fragment": "with" "steps";
    USE = "the use of a fragment": "use" "as" "with" "ways";
    PHASE = "a phase": "id" "title" "aside" "route" "stop" "stop_card" "steps";
    STEP = "a step": "id" "title" "place" "bring" "do" "see" "why" "needs" "clears" "acts"
        "hazards" "incurs" "establishes" "settles" "changes" "ticks" "take" "work" "limits"
        "confirm" "tries" "ways" "choices" "by_sheet" "end";
    WAYS = "the list of ways": "pass" "fail" "too_close" "lapsed" "spent";
    TICK = "a tick": "id" "text" "yes" "no" "may_not_apply" "words";
    CHOICE = "a choice": "id" "text" "to" "establishes" "incurs" "settles" "tries";
    CONFIRM = "a confirm": "hold" "for" "pulse" "wait";
    PULSE = "a pulse": "within" "presses";
    WAIT = "a wait": "at_least" "at_most";
    LIMIT = "a limit": "of" "differ" "age_of" "at_most" "at_least" "between" "near" "within"
        "differ_by_at_most" "age_at_least" "rule" "grade" "why" "too_close";

    SHEET = "a sheet": "format" "$schema" "id" "title" "revision" "system" "identify" "source"
        "values";
    SHEET_VALUE = "a value of a sheet": "title" "value" "kind" "word" "text" "source";

    INSTRUMENTS = "a list of instruments": "format" "$schema" "id" "title" "instruments";
    INSTRUMENT = "an instrument": "id" "title" "kind" "span" "class" "limit" "of_reading"
        "resolution" "due" "for";

    REHEARSAL = "a rehearsal": "format" "$schema" "id" "title" "procedure" "sheet" "instruments"
        "like" "start" "end" "owed_at_end" "moves";
    MOVE = "a move": "at" "title" "visit" "expect" "after" "resume" "attest" "use" "ticks"
        "read" "again" "witness" "series" "override" "correct" "repeat" "confirm" "choose"
        "hand_over_to" "stop" "refused" "outcome" "to";
    EXPECT = "what is expected": "true" "not_true" "owed" "not_owed" "asked_again" "known"
        "verdicts";
    SWAP = "a change of instrument": "instrument" "zero" "reason";
    ANSWER = "an answer": "not" "yes";
    WITNESSED = "a second reading": "by" "value";
    POINT = "a round of a watch": "after" "read";
    CORRECTION = "a correction": "value" "to" "reason";

    TRUCK = "a truck": "format" "$schema" "id" "title" "like" "sheet" "base" "physics" "start"
        "arm" "stored" "dead_band" "blocks" "write" "cards" "readings" "answers";
    START = "a start": "left" "right" "reservoir";
    ARM = "an arm": "length" "pivot_back" "pivot_below_frame" "frame_front" "axle_over_floor";
    STORED = "what is stored": "ride" "upper" "lower";
    SIDES = "a left and a right": "left" "right";
    WRITE = "a write-out": "at_least" "within" "presses" "battery";
    CARD = "a card": "title" "place" "truth" "after" "with_height";
    TRUTH = "what is so": "value" "kind" "word" "good";
    WITH_HEIGHT = "a change with the height": "per_mm" "from";

    FAULT = "a fault": "format" "$schema" "id" "title" "plain" "sets" "symptom" "found_at"
        "remedy" "mending" "mended_at" "lesson";
    SETS = "what a fault changes": "physics" "blocks" "hose" "dirt" "tips" "reservoir" "shop_air"
        "cards";

    DRILL = "a drill": "format" "$schema" "id" "title" "aim" "number" "after" "procedure" "sheet"
        "instruments" "truck" "faults" "coaching" "coach" "scatter" "begin";
    DRAWN = "a draw of faults": "draw" "plain";
    BEGIN = "where a drill begins": "at" "script";

    DRILL_SCRIPT = "a script of a drill": "format" "$schema" "id" "title" "drill" "seed" "by"
        "faults" "like" "moves" "expect";
    DRILL_MOVE = "a move of a drill": "at" "title" "visit" "hands" "careful" "expect" "after"
        "resume" "attest" "use" "ticks" "read" "again" "witness" "series" "override" "correct"
        "repeat" "confirm" "choose" "hand_over_to" "stop" "refused" "outcome" "to";
    DRILL_EXPECT = "what the debrief says": "found" "missed" "acts" "passed";

    TIMETABLE = "a timetable": "format" "$schema" "title" "truck" "changed" "state" "heights"
        "reservoir" "settle" "run" "moves";
    TIMED_MOVE = "a move of a timetable": "at" "raise" "lower" "shop_air" "block" "stand" "gap";
}

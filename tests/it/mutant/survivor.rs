//! Why a mistake may live: each sort that nothing finds, with its reason. Written by
//! hand; a survivor that fits none of these lines is a gap in the checker or in the
//! rehearsals, and fails the test.

/// Sort of mistake, words in its name (all of them), and why nothing finds it.
const REASONS: &[(&str, &[&str], &str)] = &[
    (
        "acts dropped",
        &[],
        "the step makes nothing true that must come by the act; the list of acts at the end of a check is shorter",
    ),
    (
        "acts redirected",
        &[],
        "the step makes nothing true that must come by the act; the list of acts at the end of a check tells",
    ),
    (
        "by dropped",
        &[],
        "any step may make it true now; a release names that demand and asks for a reason",
    ),
    (
        "establishes dropped",
        &[],
        "it holds from before on every way to where it is needed, so every need is still met",
    ),
    (
        "establishes redirected",
        &[],
        "it holds from before on every way to where it is needed, and what is claimed instead is met nowhere else",
    ),
    (
        "incurs dropped",
        &[],
        "the duty is owed on other ways, and no rehearsal looks whether it is owed on this one",
    ),
    (
        "incurs redirected",
        &[],
        "both duties are owed on other ways, and no rehearsal looks whether this one is owed here",
    ),
    (
        "lasts redirected",
        &["way_clear"],
        "it is made true straight before it is needed, and no rehearsal lets it age between",
    ),
    (
        "lasts redirected",
        &["to resume"],
        "on a resume it is asked again all the same, and no rehearsal lets its time run out before it is needed",
    ),
    (
        "limit dropped",
        &[],
        "another limit judges the same reading, and no rehearsal has a value past this one alone",
    ),
    (
        "limit redirected",
        &[],
        "in no rehearsal is the one reading past the limit and the other within it",
    ),
    (
        "tries dropped",
        &["choice"],
        "the look has other choices that lead out, and no rehearsal uses this one up",
    ),
    (
        "tries redirected",
        &["choice"],
        "one try more, and no rehearsal uses the choice up",
    ),
    (
        "way dropped",
        &[],
        "the step falls through to one that asks for all it needs itself, and no rehearsal passes here twice",
    ),
    (
        "way redirected",
        &["choice"],
        "the step it jumps over, or does once more, asks nothing that is missing or in the way there, and the rehearsal goes on like the straight run",
    ),
    (
        "way redirected",
        &["way pass"],
        "the step it jumps over makes nothing true that is needed behind it, and other ways lead there, so that all are walked",
    ),
    (
        "way redirected",
        &["way fail to by redirected to equipment"],
        "the look it jumps over is answered by the sheet, and leads there with the sheet of every rehearsal that fails here",
    ),
    (
        "way redirected",
        &["to brake_as_sheet"],
        "the look it jumps over is answered by the sheet, and leads there with the sheet of every rehearsal",
    ),
];

/// Single ones, each traced through its procedure; they say more than their sort.
const TRACED: &[(&str, &str)] = &[
    (
        "ride_height: leak_open: acts read_at_wheels dropped",
        "the watch that it begins comes by no act; control_in_hand, which the act needs, holds there, and nobody rests behind it on what the act ends",
    ),
    (
        "ride_height: condition gauges_off: by gauge_line dropped",
        "the one step that makes it true, gauges_take, still does the act; a release asks for a reason by the name by:gauges_off",
    ),
    (
        "ride_height: link_off, choice kept: incurs worn_parts dropped",
        "six other choices incur it, and no rehearsal looks behind this one whether it is owed",
    ),
    (
        "ride_height: linkage, choice bent: tries 2 redirected to 3",
        "no rehearsal mends the linkage twice and comes back a third time",
    ),
    (
        "ride_height: binds, choice found: tries 2 redirected to 3",
        "no rehearsal eases what binds twice and comes back a third time",
    ),
    (
        "bellows_change: fit: acts hands_at_bellows dropped",
        "bellows_seated comes by fit_bellows, which stays; bolts, straight behind it, does the dropped act too and ends all that it ends",
    ),
    (
        "bellows_change: condition stands_hold: by read_at_wheels dropped",
        "the two steps that make it true, carried and filled, still do the act; a release asks for a reason by the name by:stands_hold",
    ),
    (
        "bellows_change: gap, choice something: tries 2 redirected to 3",
        "no rehearsal clears the gap twice and comes back a third time",
    ),
    (
        "sensor_linkage: rod: acts loosen dropped",
        "join, on every way behind it, makes sensor_joined true anew; direction and counts come later still, and at_sensor stays with its needs",
    ),
    (
        "sensor_linkage: key_again: establishes engine_off dropped",
        "it still holds from key: the ignition goes on in between, and no act of this procedure ends engine_off",
    ),
    (
        "sensor_linkage: ho_clear: establishes brake_on redirected to brake_state_as_sheet",
        "it holds there on every way: close_clear makes it true, and tag_drive needs it; what is claimed instead is needed by no end",
    ),
    (
        "sensor_linkage: fragment stop_levelling still: way fail to by redirected to equipment",
        "by is answered by the sheet, and no rehearsal fails here on a truck whose sheet says the switch or the remote",
    ),
];

/// The reason for a survivor.
pub(super) fn reason(kind: &str, name: &str) -> Option<&'static str> {
    if let Some((_, why)) = TRACED.iter().find(|(traced, _)| *traced == name) {
        return Some(why);
    }
    let fits = |of: &str, words: &[&str]| of == kind && words.iter().all(|w| name.contains(w));
    let found = REASONS.iter().find(|(of, words, _)| fits(of, words));
    found.map(|(_, _, why)| *why)
}

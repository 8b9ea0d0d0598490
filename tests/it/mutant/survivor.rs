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
        &["chocks_take"],
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
        "limit dropped",
        &[],
        "another limit judges the same reading, and no rehearsal has a value past this one alone",
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
        &["to brake_as_sheet"],
        "the look it jumps over is answered by the sheet, and leads there with the sheet of every rehearsal",
    ),
];

/// The reason for a survivor.
pub(super) fn reason(kind: &str, name: &str) -> Option<&'static str> {
    let fits = |of: &str, words: &[&str]| of == kind && words.iter().all(|w| name.contains(w));
    let found = REASONS.iter().find(|(of, words, _)| fits(of, words));
    found.map(|(_, _, why)| *why)
}

//! Each finding of the proof in a graph made for it, beside a near miss.

mod duty;
mod name;
mod need;
mod size;
mod unknown;
mod value;
mod way;

use crate::sketch::{Sketch, end, look, procedure, step};
use levelhand::finding::Finding;
use levelhand::procedure::{EndKind, Procedure};
use levelhand::proof::prove;

/// A good end of the main phase and a stop-work route of one look.
fn closed(main: Procedure) -> Procedure {
    main.then(end("done", EndKind::Complete))
        .route("ask")
        .then(look("ask", "seen:safe not_seen:safe"))
        .then(end("safe", EndKind::MadeSafe))
}

/// The codes of all errors, in order.
fn errors(procedure: &Procedure) -> Vec<String> {
    let proof = prove(procedure);
    let errors = proof.findings.iter().filter(|f| f.is_error());
    errors.map(|f| f.code.to_string()).collect()
}

/// The one finding of that code.
fn only(procedure: &Procedure, code: &str) -> Finding {
    let proof = prove(procedure);
    let mut found = proof
        .findings
        .into_iter()
        .filter(|f| f.code.as_str() == code);
    let first = found.next().unwrap_or_else(|| panic!("no {code}"));
    assert_eq!(found.next(), None, "more than one {code}");
    first
}

fn path(finding: &Finding) -> Vec<&str> {
    finding.path.iter().map(String::as_str).collect()
}

#[test]
fn accepts_a_sound_procedure() {
    let sound = closed(procedure("ask").then(step("a", "pass:done")));
    assert_eq!(prove(&sound).findings, []);
    assert!(prove(&sound).holds());
}

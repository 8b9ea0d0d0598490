//! Twelve documents that would harm someone: each is found, at its place, with the
//! way that shows it, and nothing else is said to be wrong; mended, each passes.

mod case;

use std::fs;
use std::path::{Path, PathBuf};

use levelhand::document::procedure;
use levelhand::finding::{Finding, Placed, Subject, draw_all};
use levelhand::proof::prove;

use case::{CASES, Case};

fn directory() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/documents/wrong")
}

fn text(case: &Case) -> String {
    fs::read_to_string(directory().join(format!("{}.json", case.name))).unwrap()
}

/// All that reading and the proof find, with places.
fn found(name: &str, text: &str) -> Vec<Placed> {
    let loaded = procedure(name, text.as_bytes());
    let proof = loaded.value.as_ref().map(prove);
    let proved = proof.iter().flat_map(|p| &p.findings);
    let findings: Vec<&Finding> = loaded.findings.iter().chain(proved).collect();
    findings.iter().map(|f| loaded.places.place(f)).collect()
}

/// The line of a text in a document, from 1, and that it is there once.
fn line_of(text: &str, marked: &str) -> usize {
    assert_eq!(text.matches(marked).count(), 1, "{marked}");
    let before = text.split(marked).next().unwrap();
    1 + before.matches('\n').count()
}

#[test]
fn every_document_that_would_harm_someone_is_found_with_the_way_that_shows_it() {
    for case in &CASES {
        let text = text(case);
        let found = found(case.name, &text);
        let drawn = draw_all(&found, false);
        assert_eq!(found.len(), 1, "{}:\n{drawn}", case.name);
        let Placed { finding, place, .. } = &found[0];
        assert!(finding.is_error(), "{drawn}");
        assert_eq!(finding.code.as_str(), case.code, "{drawn}");
        assert_eq!(finding.subject.owner(), Subject::step(case.step), "{drawn}");
        let line = place.as_ref().unwrap().line;
        assert_eq!(line, line_of(&text, case.marked), "{drawn}");
        assert_eq!(finding.path, case.path, "{drawn}");
        assert!(!finding.help.is_empty(), "{drawn}");
    }
}

#[test]
fn mended_each_of_them_passes() {
    for case in &CASES {
        let mut text = text(case);
        for (wrong, sound) in case.mend {
            assert_eq!(text.matches(wrong).count(), 1, "{}: {wrong}", case.name);
            text = text.replace(wrong, sound);
        }
        let found = found(case.name, &text);
        assert!(
            found.is_empty(),
            "{}:\n{}",
            case.name,
            draw_all(&found, false)
        );
    }
}

#[test]
fn each_of_them_is_small_enough_to_be_read_and_stands_in_the_list() {
    let mut files: Vec<String> = fs::read_dir(directory())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    let listed: Vec<String> = CASES.iter().map(|c| format!("{}.json", c.name)).collect();
    assert_eq!(files, listed);
    for case in &CASES {
        let loaded = procedure(case.name, text(case).as_bytes());
        let steps = loaded.value.unwrap().steps.len();
        assert!(
            (10..=25).contains(&steps),
            "{} has {steps} steps",
            case.name
        );
    }
}

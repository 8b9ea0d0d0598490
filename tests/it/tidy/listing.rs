//! The documents built in are the documents of the directory, under their own names.

use std::collections::BTreeSet;

use levelhand::cli::shipped::{Shelf, all};
use serde_json::Value;

use super::{files, none, text};

/// The JSON files of `procedures/`.
fn directory() -> BTreeSet<String> {
    let all = files("procedures").into_iter();
    all.filter(|file| {
        std::path::Path::new(file)
            .extension()
            .is_some_and(|e| e == "json")
    })
    .collect()
}

#[test]
fn the_listing_and_the_directory_are_one() {
    let listed: BTreeSet<String> = all().map(|s| s.path.to_owned()).collect();
    let there = directory();
    let unlisted: Vec<String> = there.difference(&listed).cloned().collect();
    none("documents that src/cli/shipped.rs does not list", &unlisted);
    let missing: Vec<String> = listed.difference(&there).cloned().collect();
    none("documents that are listed and not there", &missing);
    assert_eq!(listed.len(), all().count(), "a document is listed twice");
}

#[test]
fn the_listing_says_what_the_documents_say() {
    let mut faults = Vec::new();
    for shipped in all() {
        let path = shipped.path;
        let document: Value = serde_json::from_str(&text(path)).unwrap();
        let format = match shipped.shelf {
            Shelf::Procedure => "levelhand procedure 1",
            Shelf::Sheet => "levelhand sheet 1",
            Shelf::Instruments => "levelhand instruments 1",
            Shelf::Rehearsal => "levelhand rehearsal 1",
            Shelf::Truck => "levelhand truck 1",
            Shelf::Fault => "levelhand fault 1",
            Shelf::Drill => "levelhand drill 1",
            Shelf::DrillScript => "levelhand drill script 1",
            Shelf::Timetable => "levelhand timetable 1",
        };
        let wanted = [
            ("format", format),
            ("id", shipped.id),
            ("title", shipped.title),
        ];
        for (field, listed) in wanted {
            // What no job is begun with is listed by its name alone.
            let begun_with = [Shelf::Procedure, Shelf::Sheet, Shelf::Instruments];
            if field == "title" && !begun_with.contains(&shipped.shelf) {
                continue;
            }
            let found = document[field].as_str().unwrap_or("nothing");
            if found != listed {
                faults.push(format!(
                    "{path}: {field} is {found:?}, listed as {listed:?}"
                ));
            }
        }
        if shipped.bytes != text(path).as_bytes() {
            faults.push(format!("{path}: other bytes are built in"));
        }
    }
    none("lines of src/cli/shipped.rs", &faults);
}

#[test]
fn a_document_is_named_like_its_file() {
    let mut faults = Vec::new();
    for shipped in all() {
        let stem = std::path::Path::new(shipped.path).file_stem();
        if stem.and_then(|s| s.to_str()) != Some(shipped.id) {
            faults.push(format!("{} has the id {}", shipped.path, shipped.id));
        }
    }
    none("documents in files of another name", &faults);
}

#[test]
fn every_id_is_used_once_on_its_shelf() {
    let mut seen = BTreeSet::new();
    for shipped in all() {
        let fresh = seen.insert((shipped.shelf, shipped.id));
        assert!(fresh, "{:?} {} is listed twice", shipped.shelf, shipped.id);
    }
}

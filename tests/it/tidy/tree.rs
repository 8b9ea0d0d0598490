//! No source file is forgotten, too long, or without its header.

use std::collections::BTreeSet;
use std::path::Path;

use syn::Item;

use super::{edge, files, home, none, text};

/// The most lines a source file may have.
const LONGEST: usize = 700;

/// A module's file, with its depth under the crate's root.
type File = (String, usize);

/// The files of the tree of modules that begins with `file`; its submodules lie in
/// `directory`. Without `tests`, what is only built for tests is left out.
fn walk(file: &str, directory: &str, depth: usize, tests: bool, found: &mut Vec<File>) {
    found.push((file.to_owned(), depth));
    let parsed = syn::parse_file(&text(file)).unwrap_or_else(|error| panic!("{file}: {error}"));
    for item in &parsed.items {
        let Item::Mod(module) = item else { continue };
        if module.content.is_some() || (!tests && edge::for_tests(&module.attrs)) {
            continue;
        }
        let inside = format!("{directory}/{}", module.ident);
        walk(&format!("{inside}.rs"), &inside, depth + 1, tests, found);
    }
}

/// The files of a top-level module that are built for people, with their depths.
pub(super) fn built(module: &str) -> Vec<File> {
    let mut found = Vec::new();
    let directory = format!("src/{module}");
    walk(&format!("{directory}.rs"), &directory, 1, false, &mut found);
    found
}

/// Files under a directory that no `mod` line leads to.
fn forgotten(roots: &[&str], directory: &str) -> Vec<String> {
    let mut reached = Vec::new();
    for root in roots {
        walk(root, directory, 0, true, &mut reached);
    }
    let reached: BTreeSet<String> = reached.into_iter().map(|(file, _)| file).collect();
    sources(directory)
        .into_iter()
        .filter(|file| !reached.contains(file))
        .collect()
}

/// The Rust files under a directory.
fn sources(directory: &str) -> Vec<String> {
    let mut found = files(directory);
    found.retain(|file| Path::new(file).extension().is_some_and(|e| e == "rs"));
    found
}

fn all_sources() -> Vec<String> {
    let mut all = sources("src");
    all.extend(sources("tests"));
    all
}

#[test]
fn no_source_file_is_forgotten() {
    none(
        "files that no mod line leads to",
        &forgotten(&["src/lib.rs", "src/main.rs"], "src"),
    );
}

#[test]
fn no_integration_test_is_forgotten() {
    none(
        "files that tests/it/main.rs does not reach",
        &forgotten(&["tests/it/main.rs"], "tests/it"),
    );
}

#[test]
fn no_file_is_longer_than_it_may_be() {
    let mut faults = Vec::new();
    for file in all_sources() {
        let lines = text(&file).lines().count();
        if lines > LONGEST {
            faults.push(format!("{file}: {lines} lines"));
        }
    }
    none(&format!("files over {LONGEST} lines"), &faults);
}

/// Modules without tests of their own yet; these files may be blank till then.
const WAITING: &[&str] = &["src/job/tests.rs"];

#[test]
fn every_file_begins_with_its_job() {
    let mut faults = all_sources();
    faults.retain(|file| {
        let waits = WAITING.contains(&file.as_str()) && text(file).trim().is_empty();
        !waits && !text(file).starts_with("//! ")
    });
    none("files without a header", &faults);
}

#[test]
fn modules_are_files_of_their_own_name() {
    let mut faults = all_sources();
    faults.retain(|file| file.ends_with("/mod.rs"));
    none("files called after nothing", &faults);
}

#[test]
fn files_are_named_for_what_they_hold() {
    let empty = [
        "util", "utils", "helper", "helpers", "common", "manager", "types", "misc",
    ];
    let mut faults = all_sources();
    faults.retain(|file| {
        let stem = Path::new(file).file_stem().and_then(|s| s.to_str());
        stem.is_some_and(|stem| empty.contains(&stem))
    });
    none("files named for nothing in the trade", &faults);
}

#[test]
fn the_ci_script_can_be_run() {
    let path = home().join(".ci/run");
    let script = text(".ci/run");
    assert!(script.starts_with("#!/usr/bin/env bash\nset -euo pipefail\n"));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = path.metadata().unwrap().permissions().mode();
        assert_eq!(mode & 0o111, 0o111, ".ci/run: {mode:o}");
    }
    assert!(path.is_file());
}

//! The house kept tidy: what the project's own pages say of the code is so.
//!
//! `edge` holds the table of which module may name which, and which crate may be
//! used where; `tree` that no file is forgotten, too long or without a header;
//! `listing` that the built-in documents are those of the directory; `book` that
//! the pages for people name what is there; `word` what must stand nowhere.

#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::panic,
    reason = "allowances for tests do not reach their helpers, and tests read files"
)]

mod book;
mod edge;
mod listing;
mod tree;
mod word;

use std::fs;
use std::path::{Path, PathBuf};

/// The package's directory.
fn home() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The text of a file, by its path in the package.
fn text(path: &str) -> String {
    let full = home().join(path);
    fs::read_to_string(&full).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Every file under a directory of the package, as paths in the package, sorted.
fn files(directory: &str) -> Vec<String> {
    let mut found = Vec::new();
    gather(&home().join(directory), &mut found);
    found.sort();
    found
        .iter()
        .map(|path| {
            let inside = path.strip_prefix(home()).unwrap();
            inside.to_str().unwrap().replace('\\', "/")
        })
        .collect()
}

fn gather(directory: &Path, found: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(directory) else {
        return;
    };
    for entry in entries {
        let path = entry.unwrap().path();
        if !path.is_dir() {
            found.push(path);
        } else if path.file_name().is_some_and(|name| name != "target") {
            gather(&path, found);
        }
    }
}

/// Fails with one line a fault, if there is any.
fn none(what: &str, faults: &[String]) {
    assert!(faults.is_empty(), "{what}:\n  {}", faults.join("\n  "));
}

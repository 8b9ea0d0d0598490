//! What must stand nowhere: work left undone, keys that shops don't have, paths of
//! one machine. The words are put together here, so that this file is no finding.

use super::{files, none, text};

/// Every file of the package that people read or the program is made from.
fn everything() -> Vec<String> {
    let mut all = Vec::new();
    for directory in ["src", "tests", "procedures", "assets", ".ci"] {
        all.extend(files(directory));
    }
    for file in ["README.md", "DEVELOPERS.md", "Cargo.toml", ".clippy.toml"] {
        all.push(file.to_owned());
    }
    // Some invalid documents are no text on purpose, and pictures never are.
    all.retain(|file| {
        let bytes = std::fs::read(super::home().join(file)).unwrap();
        std::str::from_utf8(&bytes).is_ok()
    });
    all
}

fn standing(words: &[&str], files: &[String]) -> Vec<String> {
    let mut faults = Vec::new();
    for file in files {
        let text = text(file);
        for (number, line) in text.lines().enumerate() {
            for word in words {
                if line.contains(word) {
                    faults.push(format!("{file}:{}: {word}", number + 1));
                }
            }
        }
    }
    faults
}

#[test]
fn nothing_is_left_undone() {
    let words = [
        concat!("todo", "!("),
        concat!("unimplemented", "!("),
        concat!("#[ig", "nore"),
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
    ];
    none("work left undone", &standing(&words, &everything()));
}

#[test]
fn no_function_keys_are_asked_for() {
    let words = [concat!("KeyCode::", "F(")];
    none("function keys", &standing(&words, &files("src")));
}

#[test]
fn nothing_speaks_of_one_machine_or_of_how_it_was_made() {
    let words = [
        concat!("/wo", "rk/"),
        concat!("/ho", "me/"),
        concat!("/ro", "ot/"),
        concat!("trans", "cript"),
        concat!("sub", "agent"),
        concat!("work", "tree"),
        concat!("help", "er-"),
        concat!("guid", "ance.md"),
        concat!("semant", "ics.md"),
        concat!("house-", "style.md"),
    ];
    none(
        "words that mean nothing here",
        &standing(&words, &everything()),
    );
}

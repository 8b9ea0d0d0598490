//! The pages for people name what is there: paths, crates, verbs, commands.

use std::collections::{BTreeMap, BTreeSet};

use super::{home, none, text};

/// The rows of the table of DEVELOPERS.md that begins with this head, cell by cell.
pub(super) fn table(head: &str) -> Vec<Vec<String>> {
    let page = text("DEVELOPERS.md");
    let mut lines = page.lines().skip_while(|line| *line != head);
    assert!(
        lines.next().is_some(),
        "DEVELOPERS.md has no table that begins: {head}"
    );
    lines
        .skip(1)
        .take_while(|line| line.starts_with('|'))
        .map(|line| {
            let cells = line.trim_matches('|').split('|');
            cells.map(|cell| cell.trim().replace('`', "")).collect()
        })
        .collect()
}

/// A line of the list of crates.
pub(super) struct Crate {
    pub(super) name: String,
    /// The modules that may use it, or `tests`.
    pub(super) places: BTreeSet<String>,
    why: String,
}

/// The list of crates of DEVELOPERS.md.
pub(super) fn crates() -> Vec<Crate> {
    table("| crate | used in | why it is there |")
        .into_iter()
        .map(|row| Crate {
            name: row[0].clone(),
            places: row[1].split(", ").map(str::to_owned).collect(),
            why: row[2].clone(),
        })
        .collect()
}

/// The names of the dependencies of Cargo.toml; `true` for those of tests.
fn dependencies() -> BTreeSet<(String, bool)> {
    let mut found = BTreeSet::new();
    let mut section = String::new();
    for line in text("Cargo.toml").lines() {
        if line.starts_with('[') {
            line.trim_matches(['[', ']']).clone_into(&mut section);
        } else if section.ends_with("dependencies")
            && let Some((name, _)) = line.split_once('=')
        {
            let tests = section == "dev-dependencies";
            found.insert((name.trim().to_owned(), tests));
        }
    }
    found
}

#[test]
fn every_dependency_has_its_line_and_every_line_a_dependency() {
    let told: BTreeSet<(String, bool)> = crates()
        .into_iter()
        .map(|row| {
            assert!(row.why.len() > 10, "{}: no reason is given", row.name);
            (row.name, row.places.contains("tests"))
        })
        .collect();
    assert_eq!(told, dependencies(), "DEVELOPERS.md, and Cargo.toml");
}

/// The versions of each crate in a lock.
fn locked(path: &str) -> BTreeMap<String, BTreeSet<String>> {
    let mut found: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut name = String::new();
    for line in text(path).lines() {
        let Some((key, value)) = line.split_once(" = ") else {
            continue;
        };
        let value = value.trim_matches('"').to_owned();
        match key {
            "name" => name = value,
            "version" if !name.is_empty() => {
                found
                    .entry(std::mem::take(&mut name))
                    .or_default()
                    .insert(value);
            }
            _ => {}
        }
    }
    found
}

#[test]
fn the_benches_measure_the_program_with_the_crates_that_it_has() {
    let (own, bench) = (locked("Cargo.lock"), locked("tests/bench/Cargo.lock"));
    let names: BTreeSet<String> = dependencies().into_iter().map(|(name, _)| name).collect();
    let shared: Vec<&String> = names.iter().filter(|n| bench.contains_key(*n)).collect();
    assert!(shared.len() > 10, "only {shared:?} are in both locks");
    let own_name = "levelhand".to_owned();
    let differ: Vec<String> = shared
        .into_iter()
        .chain([&own_name])
        .filter(|name| {
            // Crates of tests may bring older ones beside the program's own.
            let (own, bench) = (own.get(*name), bench.get(*name));
            own.zip(bench)
                .is_none_or(|(own, bench)| !bench.is_subset(own))
        })
        .map(|name| {
            let (own, bench) = (own.get(name), bench.get(name));
            format!("{name}: Cargo.lock has {own:?}, tests/bench/Cargo.lock {bench:?}")
        })
        .collect();
    none(
        "bring tests/bench/Cargo.lock up to the program's own",
        &differ,
    );
}

/// Whether a word of a page is meant as a path of the package.
fn is_path(word: &str) -> bool {
    let roots = ["src/", "tests/", "procedures/", "assets/", ".ci/"];
    let files = [
        "README.md",
        "DEVELOPERS.md",
        "Cargo.toml",
        ".clippy.toml",
        "LICENSE",
    ];
    let made_up = word.contains(['*', '<', '…', ' ', ':']);
    !made_up && (roots.iter().any(|root| word.starts_with(root)) || files.contains(&word))
}

/// What stands between back-ticks, and where links and pictures lead.
fn words(page: &str) -> Vec<String> {
    let ticked = page.split('`').skip(1).step_by(2).map(str::to_owned);
    let linked = page.split("](").skip(1).filter_map(|rest| {
        let (target, _) = rest.split_once(')')?;
        Some(target.to_owned())
    });
    ticked.chain(linked).collect()
}

#[test]
fn paths_in_the_pages_are_there() {
    let mut faults = Vec::new();
    for page in ["README.md", "DEVELOPERS.md", "procedures/README.md"] {
        if !home().join(page).exists() && page.starts_with("procedures") {
            continue;
        }
        for word in words(&text(page)) {
            if is_path(&word) && !home().join(&word).exists() {
                faults.push(format!("{page}: {word}"));
            }
        }
    }
    none("paths that lead nowhere", &faults);
}

#[test]
fn fences_are_closed_so_that_every_path_is_seen() {
    for page in ["README.md", "DEVELOPERS.md"] {
        let fences = text(page).lines().filter(|l| l.starts_with("```")).count();
        assert_eq!(fences % 2, 0, "{page}: a fence is open");
        let ticks = text(page).matches('`').count();
        assert_eq!(ticks % 2, 0, "{page}: a back-tick is open");
    }
}

#[test]
fn the_ci_script_runs_the_commands_of_the_developers_page() {
    let script = text(".ci/run");
    let page = text("DEVELOPERS.md");
    for command in [
        "cargo fmt --check",
        "cargo clippy --all-targets -- -D warnings",
        "cargo test",
        "cargo doc --no-deps",
        "rehearse --ways",
    ] {
        assert!(script.contains(command), ".ci/run lacks: {command}");
        assert!(page.contains(command), "DEVELOPERS.md lacks: {command}");
    }
    let readme = text("README.md");
    assert!(readme.contains("cargo test"));
    assert!(readme.contains("cargo run --release"));
}

#[test]
fn the_rules_and_promises_the_code_refers_to_are_told() {
    let page = text("DEVELOPERS.md");
    for number in 1..=16 {
        assert!(
            page.contains(&format!("**S{number} ")),
            "DEVELOPERS.md lacks S{number}"
        );
    }
    for number in 1..=12 {
        assert!(
            page.contains(&format!("**P{number} ")),
            "DEVELOPERS.md lacks P{number}"
        );
    }
}

#[test]
fn exit_codes_of_the_readme_are_those_of_the_program() {
    use levelhand::journal::exit;
    let readme = text("README.md");
    let told: Vec<String> = readme
        .lines()
        .skip_while(|line| *line != "| exit code | meaning |")
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .filter_map(|line| Some(line.split('|').nth(1)?.trim().to_owned()))
        .collect();
    let ours = [
        exit::OK,
        exit::FINDINGS,
        exit::USAGE,
        exit::STORAGE,
        exit::DAMAGED,
        exit::HELD,
        exit::INTERNAL,
    ];
    assert_eq!(told, ours.map(|code| code.to_string()));
}

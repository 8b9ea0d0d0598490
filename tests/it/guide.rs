//! The author's guide is followed to the letter: its files are written, its edits
//! made, its commands given to the program, and what it shows is what is said.
//!
//! How the page is read:
//! - a block `json FILE` is that file, whole;
//! - a block `json FILE, find` and the block `json FILE, put` after it are an edit:
//!   the first stands in the file once, the second takes its place;
//! - a block `console` holds commands behind `$ `, with the exit code wanted behind
//!   `# exits N` (0 if nothing is said), and under each what is said, line by line but
//!   for what a line is set in by; a line `…` stands for any lines.

use std::path::{Path, PathBuf};
use std::process::Command;

/// One block of the page.
#[derive(Debug)]
struct Block {
    /// The line of its fence, from 1.
    line: usize,
    /// What stands behind the fence.
    kind: String,
    text: String,
}

fn blocks(page: &str) -> Vec<Block> {
    let mut all = Vec::new();
    let mut open: Option<Block> = None;
    for (at, line) in page.lines().enumerate() {
        if let Some(kind) = line.strip_prefix("```") {
            match open.take() {
                Some(done) => all.push(done),
                None => {
                    open = Some(Block {
                        line: at + 1,
                        kind: kind.trim().to_owned(),
                        text: String::new(),
                    });
                }
            }
        } else if let Some(block) = &mut open {
            block.text.push_str(line);
            block.text.push('\n');
        }
    }
    assert!(open.is_none(), "a block of the guide is not closed");
    all
}

/// A reader of the guide at his desk.
struct Reader {
    desk: tempfile::TempDir,
    /// What is to be replaced: file and text.
    sought: Option<(String, String)>,
    commands: usize,
}

impl Reader {
    fn path(&self, file: &str) -> PathBuf {
        self.desk.path().join(file)
    }

    fn follow(&mut self, block: &Block) {
        let kind = block.kind.as_str();
        if kind == "console" {
            return self.command(block);
        }
        let Some(file) = kind.strip_prefix("json ") else {
            return;
        };
        if let Some(file) = file.strip_suffix(", find") {
            self.sought = Some((file.to_owned(), block.text.clone()));
        } else if let Some(file) = file.strip_suffix(", put") {
            let (of, old) = self
                .sought
                .take()
                .expect("an edit begins with what is sought");
            assert_eq!(of, file, "line {}", block.line);
            self.replace(file, &old, block);
        } else {
            std::fs::write(self.path(file), &block.text).unwrap();
        }
    }

    fn replace(&self, file: &str, old: &str, block: &Block) {
        let path = self.path(file);
        let text = std::fs::read_to_string(&path).unwrap();
        let found = text.matches(old).count();
        assert_eq!(
            found, 1,
            "line {}: in {file} this stands {found} times:\n{old}\nthe file:\n{text}",
            block.line
        );
        std::fs::write(path, text.replacen(old, &block.text, 1)).unwrap();
    }

    fn command(&mut self, block: &Block) {
        let mut lines = block.text.lines().peekable();
        while let Some(line) = lines.next() {
            let command = line.strip_prefix("$ ");
            let command = command.unwrap_or_else(|| panic!("line {}: {line}", block.line));
            let mut wanted = Vec::new();
            while let Some(said) = lines.next_if(|next| !next.starts_with("$ ")) {
                wanted.push(said);
            }
            let said = self.run(command, block.line);
            if let Err(missing) = shows(&said, &wanted) {
                panic!(
                    "line {}: $ {command}\nthe guide says, and it was not said: {missing}\nwhat was said:\n{said}",
                    block.line
                );
            }
            self.commands += 1;
        }
    }

    fn run(&self, command: &str, line: usize) -> String {
        let (command, code) = match command.split_once(" # exits ") {
            Some((command, code)) => (command, code.trim().parse().unwrap()),
            None => (command, 0),
        };
        let mut words = split(command).into_iter();
        assert_eq!(words.next().as_deref(), Some("levelhand"), "line {line}");
        let out = Command::new(env!("CARGO_BIN_EXE_levelhand"))
            .current_dir(self.desk.path())
            .arg("--data")
            .arg(self.path("data"))
            .args(words)
            .output()
            .unwrap();
        let said = [out.stderr, out.stdout].concat();
        let said = String::from_utf8(said).unwrap();
        assert_eq!(
            out.status.code(),
            Some(code),
            "line {line}: $ {command}\n{said}"
        );
        said
    }
}

/// The words of a command; quotes keep spaces.
fn split(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in command.trim().chars() {
        match letter {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            _ => words.last_mut().unwrap().push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Whether the lines stand in what was said, one straight after the other but for
/// gaps; otherwise the first that does not.
fn shows<'w>(said: &str, wanted: &[&'w str]) -> Result<(), &'w str> {
    let said: Vec<&str> = said.lines().map(str::trim).collect();
    let mut at = 0;
    let mut gap = true;
    for want in wanted.iter().copied() {
        if want == "…" {
            gap = true;
            continue;
        }
        let rest = said.get(at..).unwrap_or_default();
        let found = if gap {
            rest.iter().position(|line| *line == want.trim())
        } else {
            (rest.first() == Some(&want.trim())).then_some(0)
        };
        at += found.ok_or(want)? + 1;
        gap = false;
    }
    Ok(())
}

#[test]
fn the_authors_guide_can_be_followed_to_the_letter() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures/README.md");
    let page = std::fs::read_to_string(page).unwrap();
    let mut reader = Reader {
        desk: tempfile::tempdir().unwrap(),
        sought: None,
        commands: 0,
    };
    for block in blocks(&page) {
        reader.follow(&block);
    }
    assert!(reader.commands >= 12, "{} commands", reader.commands);
}

#[test]
fn a_guide_that_says_what_is_not_so_is_found_out() {
    let said = "one\ntwo\nthree\nfour\n";
    assert_eq!(shows(said, &["two", "three"]), Ok(()));
    assert_eq!(shows(said, &["one", "…", "four"]), Ok(()));
    assert_eq!(shows(said, &["one", "three"]), Err("three"));
    assert_eq!(shows(said, &["three", "…", "two"]), Err("two"));
    assert_eq!(shows(said, &["five"]), Err("five"));
}

/// Every code that reading, the rules and the proof can give, as the source has it.
fn is_a_code(name: &str) -> bool {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let rules = std::fs::read_to_string(source.join("document/code.rs")).unwrap();
    let quoted = format!("\"{name}\"");
    rules.contains(&quoted)
        || std::fs::read_dir(source.join("proof"))
            .unwrap()
            .any(|file| {
                let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
                text.contains(&quoted)
            })
}

#[test]
fn the_findings_that_the_guide_explains_are_findings() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures/README.md");
    let page = std::fs::read_to_string(page).unwrap();
    let (_, table) = page.split_once("| it says |").unwrap();
    let rows: Vec<&str> = table
        .lines()
        .skip(2)
        .take_while(|l| l.starts_with('|'))
        .collect();
    assert!(rows.len() >= 8);
    for row in rows {
        let (codes, _) = row[1..].split_once('|').unwrap();
        for code in codes.split('`').skip(1).step_by(2) {
            assert!(is_a_code(code), "{code} is no finding");
        }
    }
}

#[test]
fn the_sights_that_the_guide_lists_are_those_of_every_truck() {
    use levelhand::rig::{Spot, sights};

    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures/README.md");
    let page = std::fs::read_to_string(page).unwrap();
    let (_, table) = page.split_once("| place | what is seen there |").unwrap();
    let rows = table.lines().skip(2).take_while(|l| l.starts_with('|'));
    let mut listed: Vec<(String, String)> = Vec::new();
    for row in rows {
        let mut names = row.split('`').skip(1).step_by(2).map(str::to_owned);
        let place = names.next().unwrap();
        listed.extend(names.map(|name| (place.clone(), name)));
    }
    let mut there: Vec<(String, String)> = sights()
        .iter()
        .map(|s| (Spot::key(s.spot).to_owned(), s.key.to_owned()))
        .collect();
    listed.sort();
    there.sort();
    assert_eq!(listed, there);
}

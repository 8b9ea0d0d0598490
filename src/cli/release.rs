//! `levelhand release`: lets real jobs run a document of the shop.
//!
//! Invariants: nothing is released that has errors, a way that no rehearsal walks, a
//! revision that does not count up, or a demand that shrank and was not confirmed by
//! its name with a reason. Everything that stands in the way is said at once.

pub(super) mod rehearsed;

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::Args;

use super::compare::{Bytes, Read, changes, file, read, released_bytes, told};
use super::library::{Checked, check_procedure};
use super::output::{complain, say};
use super::shipped;
use crate::document;
use crate::finding::{Placed, draw_all, escape, near};
use crate::io::clock::Clock;
use crate::io::disk::Disk;
use crate::io::exit;
use crate::io::place::Place;
use crate::io::released::{self, Register, Release as Record};
use crate::job::Person;
use crate::journal::{Digest, Failure};
use crate::proof::Proof;
use crate::revision::Changes;

/// Releases a document, so that real jobs run it: a procedure, a sheet or a list of
/// instruments. Kept are its digest, who released it and when; names are not proved.
#[derive(Debug, Args)]
#[command(
    after_help = "A revision is held against the last one released under its id, or else the one built in.\nEvery demand that shrank must be confirmed by its name with a reason, which is kept.\nA procedure's rehearsals are played first; those given with --with, or else all that are\nbuilt in, in the shop's documents, or beside FILE.\n\nExamples:\n  levelhand release small_truck.json --by \"A. Sample\"\n  levelhand release my_check.json --by \"A. Sample\" --because \"new gauge\" \\\n    --shrunk 'limit:floor:floor_slope=measured anew, see report'\n  levelhand release --list\n\nExit codes: 0 released, or released already; 1 not released, and why; 2 wrong use;\n3 the disk refused; 4 the list of releases is damaged."
)]
pub(crate) struct Release {
    /// The document.
    #[arg(value_name = "FILE", required_unless_present = "list")]
    file: Option<PathBuf>,
    /// Who releases it.
    #[arg(long, value_name = "NAME", required_unless_present = "list")]
    by: Option<String>,
    /// Why, in a few words.
    #[arg(long, value_name = "TEXT")]
    because: Option<String>,
    /// A demand that shrank, and why that is right; once for each.
    #[arg(long, value_name = "NAME=REASON")]
    shrunk: Vec<String>,
    /// Rehearsals to play, with sheets and instruments that they name.
    #[arg(long, value_name = "FILE", num_args = 1..)]
    with: Vec<PathBuf>,
    /// List what is released.
    #[arg(long, conflicts_with_all = ["file", "by", "because", "shrunk", "with"])]
    list: bool,
}

/// Why nothing was released.
enum Stopped {
    /// Something stands in the way; told already.
    Refused,
    /// It was asked for wrongly.
    Usage(String),
    /// The disk.
    Failed(Failure),
}

impl From<Failure> for Stopped {
    fn from(failure: Failure) -> Self {
        Self::Failed(failure)
    }
}

impl From<String> for Stopped {
    fn from(what: String) -> Self {
        Self::Usage(what)
    }
}

/// Releases, or lists.
pub(crate) fn run(verb: &Release, data: Option<PathBuf>) -> u8 {
    let done = Place::find(data).map_err(Stopped::from).and_then(|place| {
        let register = released::read(&Disk, &place)?;
        let damaged = damage(&register, &place);
        if verb.list {
            say(&listed(&register));
            return Ok(damaged);
        }
        if damaged != exit::OK {
            return Ok(damaged);
        }
        release(verb, &place, &register)
    });
    match done {
        Ok(code) => code,
        Err(Stopped::Refused) => exit::FINDINGS,
        Err(Stopped::Usage(what)) => {
            complain(&what);
            exit::USAGE
        }
        Err(Stopped::Failed(failure)) => {
            complain(&failure.to_string());
            failure.exit_code()
        }
    }
}

/// Says what is wrong with the list of releases.
fn damage(register: &Register, place: &Place) -> u8 {
    let path = place.released();
    if register.torn > 0 {
        complain(&format!(
            "The last line of {} was cut short and does not count; the next release takes it away.",
            path.display()
        ));
    }
    match &register.damage {
        None => exit::OK,
        Some(what) => {
            complain(&format!(
                "The list of releases is damaged: {}, {what}. What stands before it counts, what stands behind it does not, and nothing can be added. Put the file back as it was; or move it away, and release every document anew.",
                path.display()
            ));
            exit::DAMAGED
        }
    }
}

fn listed(register: &Register) -> String {
    if register.releases.is_empty() {
        return "Nothing of the shop's own is released. What is built in needs no release."
            .to_owned();
    }
    let mut text = String::new();
    for release in &register.releases {
        let counts = register.last(&release.kind, &release.id) == Some(release);
        let revision = release
            .revision
            .map_or_else(String::new, |n| format!(", revision {n}"));
        let later = if counts {
            ""
        } else {
            "  (a later release counts)"
        };
        // Writing to a string can't fail.
        let _ = writeln!(
            text,
            "{}  {} {}{revision}: {}, by {}{later}",
            release.day(),
            release.kind,
            release.id,
            release.title,
            release.by
        );
        if let Some(because) = &release.because {
            let _ = writeln!(text, "    because: {because}");
        }
        for (name, reason) in &release.shrunk {
            let _ = writeln!(text, "    shrank: {name}, because: {reason}");
        }
        let _ = writeln!(text, "    SHA-256 {}", release.sha256);
    }
    text.trim_end().to_owned()
}

fn release(verb: &Release, place: &Place, register: &Register) -> Result<u8, Stopped> {
    let path = verb
        .file
        .as_ref()
        .ok_or_else(|| "Give the file to release.".to_owned())?;
    let by = verb.by.as_deref().unwrap_or_default();
    let by = Person::new(by).map_err(|error| format!("--by: {error}"))?;
    let given = confirmed(&verb.shrunk)?;
    let from = file(path)?;
    let sound = sound(&from)?;
    let new = read(&from)?;
    let sha256 = Digest::of(&from.bytes).to_string();
    let last = register.last(new.shelf().word(), new.id());
    if built_in(&new).is_some_and(|bytes| bytes == from.bytes) {
        say(&format!(
            "{} is built into the program just so, and needs no release.",
            new.called()
        ));
        return Ok(exit::OK);
    }
    if let Some(last) = last.filter(|last| last.sha256 == sha256) {
        say(&format!(
            "{} was released by {} on {}; nothing is added.",
            new.called(),
            last.by,
            last.day()
        ));
        return Ok(exit::OK);
    }
    let mut against = Vec::new();
    let changes = compared(&new, last, place, &mut against)?;
    unconfirmed(&changes, &given, &mut against);
    if let Read::Procedure(procedure) = &new {
        let played = rehearsed::rehearse(place, path, (&from.bytes, procedure), &verb.with)?;
        walked(&played, &mut against);
    }
    sound.tell();
    if !against.is_empty() {
        complain(&format!(
            "NOT RELEASED: {}.\n{}",
            new.called(),
            against.join("\n")
        ));
        return Err(Stopped::Refused);
    }
    let record = record(verb, &new, &by, sha256, given)?;
    released::add(&Disk, place, &record, &from.bytes)?;
    say(&format!(
        "RELEASED: {}, by {by} on {}.\nSHA-256 {}",
        new.called(),
        record.day(),
        record.sha256
    ));
    if !inside(path, &place.documents()) {
        say(&format!(
            "It is offered for jobs once it lies in {}.",
            place.documents().display()
        ));
    }
    Ok(exit::OK)
}

/// Whether a file lies in a directory.
fn inside(file: &Path, dir: &Path) -> bool {
    let whole = |path: &Path| path.canonicalize().ok();
    match (
        file.parent()
            .and_then(|parent| whole(&Path::new(".").join(parent))),
        whole(dir),
    ) {
        (Some(parent), Some(dir)) => parent == dir,
        _ => false,
    }
}

/// What is kept of a release.
fn record(
    verb: &Release,
    new: &Read,
    by: &Person,
    sha256: String,
    shrunk: BTreeMap<String, String>,
) -> Result<Record, String> {
    let at = Clock::start().now().rfc3339();
    let at = at.ok_or_else(|| "The clock shows no date that can be written. Set it.".to_owned())?;
    Ok(Record {
        kind: new.shelf().word().to_owned(),
        id: new.id().to_owned(),
        revision: new.revision(),
        title: new.title().to_owned(),
        sha256,
        at,
        by: by.to_string(),
        because: verb.because.clone(),
        shrunk,
    })
}

/// Says what changed since the last release, or else since the one built in.
fn compared(
    new: &Read,
    last: Option<&Record>,
    place: &Place,
    against: &mut Vec<String>,
) -> Result<Changes, String> {
    let Some((name, before)) = before(new, last, place)? else {
        say("This is the first release of its id; there is nothing to compare it with.\n");
        return Ok(Changes::default());
    };
    counts_up(new, &before, &name, against);
    let changes = changes(&before, new, place)?;
    say(&format!("Against {name}:\n{}", told(&changes)));
    Ok(changes)
}

/// The reasons given, by the name of what shrank.
fn confirmed(given: &[String]) -> Result<BTreeMap<String, String>, String> {
    let mut all = BTreeMap::new();
    for text in given {
        let parts = text
            .split_once('=')
            .map(|(name, reason)| (name.trim(), reason.trim()));
        match parts {
            Some((name, reason)) if !name.is_empty() && !reason.is_empty() => {
                all.insert(name.to_owned(), reason.to_owned());
            }
            _ => {
                return Err(format!(
                    "--shrunk {text}: give the name of what shrank and why that is right, as NAME=REASON."
                ));
            }
        }
    }
    Ok(all)
}

/// What a person reads of a document without errors before a release.
struct Sound {
    warnings: Vec<Placed>,
    /// What was proved of a procedure.
    proof: Option<Proof>,
}

impl Sound {
    fn tell(&self) {
        let count = self.warnings.len();
        if count > 0 {
            let (warnings, stand) = if count == 1 {
                ("1 WARNING", "It stands")
            } else {
                (&*format!("{count} WARNINGS"), "They stand")
            };
            say(&format!(
                "{warnings}. {stand} in no release's way; read before you sign:\n\n{}",
                draw_all(&self.warnings, false)
            ));
        }
        let Some(proof) = &self.proof else { return };
        for line in bare(proof) {
            say(&line);
        }
        say(
            "Read this before you sign: what is done to the truck, and what protects people there.\n",
        );
        say(&proof.summary());
    }
}

/// A line for each act and step where nothing that was proved protects people.
fn bare(proof: &Proof) -> Vec<String> {
    let mut lines = Vec::new();
    for act in &proof.facts.acts {
        let reached = act.done.iter().filter(|doing| doing.reached);
        for doing in reached.filter(|doing| doing.protected.is_empty()) {
            let words = if doing.words_only.is_empty() {
                "no need and no caution"
            } else {
                "words only"
            };
            lines.push(format!(
                "NOTHING PROTECTS PEOPLE HERE: {} ({}), done in {} ({}): {words}.\n",
                escape(&act.title),
                act.id,
                escape(&doing.title),
                doing.step
            ));
        }
    }
    lines
}

/// Stops at errors, and gives what else was found and proved.
fn sound(from: &Bytes) -> Result<Sound, Stopped> {
    let Bytes { name, bytes } = from;
    let (placed, proof): (Vec<Placed>, _) = match shipped::shelf(bytes) {
        Some(shipped::Shelf::Sheet) => (document::sheet(name, bytes).placed(), None),
        Some(shipped::Shelf::Instruments) => (document::instruments(name, bytes).placed(), None),
        Some(shipped::Shelf::Rehearsal) => {
            return Err(Stopped::Usage(format!(
                "{name} is a rehearsal, and those are not released. Release the procedure that it rehearses."
            )));
        }
        Some(
            shelf @ (shipped::Shelf::Truck
            | shipped::Shelf::Fault
            | shipped::Shelf::Drill
            | shipped::Shelf::DrillScript),
        ) => {
            return Err(Stopped::Usage(format!(
                "{name} is {}, for practice only, and those are not released: nobody works by them. Lay it among the shop's documents.",
                shelf.called()
            )));
        }
        Some(shipped::Shelf::Timetable) => {
            return Err(Stopped::Usage(format!(
                "{name} is a timetable, and those are not released: nobody works by them. levelhand rig run {name} plays it."
            )));
        }
        Some(shipped::Shelf::Procedure) | None => {
            let Checked { placed, proof, .. } = check_procedure(name, bytes);
            (placed, proof)
        }
    };
    let (wrong, warnings): (Vec<Placed>, Vec<Placed>) =
        placed.into_iter().partition(|p| p.finding.is_error());
    if wrong.is_empty() {
        return Ok(Sound { warnings, proof });
    }
    complain(&draw_all(&wrong, false));
    complain(&format!(
        "NOT RELEASED: {name} has errors. Mend them, then release it."
    ));
    Err(Stopped::Refused)
}

/// The built-in document of the same kind and id.
fn built_in(new: &Read) -> Option<&'static [u8]> {
    let mut all = shipped::all();
    let found = all.find(|d| d.shelf == new.shelf() && d.id == new.id());
    found.map(|d| d.bytes)
}

/// What it is held against: the last release, or else the built-in one.
fn before(
    new: &Read,
    last: Option<&Record>,
    place: &Place,
) -> Result<Option<(String, Read)>, String> {
    let (name, bytes) = match (last, built_in(new)) {
        (Some(last), _) => {
            let name = format!("what {} released on {}", last.by, last.day());
            (name, released_bytes(place, last)?)
        }
        (None, Some(bytes)) => ("the one built in".to_owned(), bytes.to_vec()),
        (None, None) => return Ok(None),
    };
    let from = Bytes {
        name: name.clone(),
        bytes,
    };
    Ok(Some((name, read(&from)?)))
}

/// A revision must be higher than the one before.
fn counts_up(new: &Read, before: &Read, name: &str, against: &mut Vec<String>) {
    if let (Some(is), Some(was)) = (new.revision(), before.revision())
        && is <= was
    {
        against.push(format!(
            "  Its revision is {is}, and {name} has revision {was}. Give it \"revision\": {}.",
            was.saturating_add(1)
        ));
    }
}

/// Demands that shrank without a reason, and reasons for what did not shrink.
fn unconfirmed(changes: &Changes, given: &BTreeMap<String, String>, against: &mut Vec<String>) {
    let open: Vec<&str> = changes
        .shrank()
        .map(|change| change.name.as_str())
        .filter(|name| !given.contains_key(*name))
        .collect();
    if !open.is_empty() {
        let lines: Vec<String> = open
            .iter()
            .map(|name| format!("    --shrunk '{name}=REASON'"))
            .collect();
        against.push(format!(
            "  {} that shrank must be confirmed, each with a reason of your own:\n{}",
            if open.len() == 1 {
                "1 demand".to_owned()
            } else {
                format!("{} demands", open.len())
            },
            lines.join("\n")
        ));
    }
    for name in given.keys() {
        if !changes.shrank().any(|change| &change.name == name) {
            let close = near(name, changes.shrank().map(|change| change.name.as_str()));
            let close = close.map_or_else(String::new, |close| format!(" Did you mean {close}?"));
            against.push(format!("  Nothing named {name} shrank.{close}"));
        }
    }
}

/// The most ways that are named.
const MOST: usize = 20;

/// Rehearsals that came out otherwise, and ways that none of them walked.
fn walked(played: &rehearsed::Played, against: &mut Vec<String>) {
    say(&format!(
        "Rehearsals: {} as written, {} not.\n",
        played.as_written,
        played.wrong.len()
    ));
    if !played.wrong.is_empty() {
        against.push(format!(
            "  Rehearsals did not come out as written:\n    {}\n  Mend them or the procedure; a rehearsal in the shop's documents takes the place of a built-in one of the same id.",
            played.wrong.join("\n    ")
        ));
    }
    let count = played.unwalked.len();
    if count > 0 {
        let named: Vec<&str> = played
            .unwalked
            .iter()
            .take(MOST)
            .map(String::as_str)
            .collect();
        let more = if count > MOST {
            format!("\n    and {} more", count - MOST)
        } else {
            String::new()
        };
        against.push(format!(
            "  Ways that no rehearsal walks: {count}.\n    {}{more}\n  Write rehearsals that walk them: levelhand rehearse --help.",
            named.join("\n    ")
        ));
    }
}

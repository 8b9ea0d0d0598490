//! `levelhand rehearse`: plays rehearsals through the engine, without a terminal.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use super::desk::Papers;
use super::library::{Found, Library, load};
use super::output::{complain, say};
use super::release::rehearsed::one_id;
use super::shipped::{self, Shelf};
use crate::document;
use crate::finding::{draw_all, escape};
use crate::io::place::Place;
use crate::io::{exit, shop};
use crate::job::{Mode, Setup};
use crate::procedure::Procedure;
use crate::rehearsal::{Rehearsal, Walk, every_way, play};

/// Plays rehearsals: what a person would type, and what must follow. The first
/// difference fails one. Without files the shipped ones are played.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  levelhand rehearse --ways\n  levelhand rehearse procedures/rehearsals/*.json --json\n  levelhand rehearse my_job.json my_truck.json my_bench.json my_run.json\n\nExit codes: 0 all as written (and with --ways every way walked), 1 a difference or a way\nnot walked, 2 a file can't be used."
)]
pub(crate) struct Rehearse {
    /// Rehearsals, and the procedures, sheets and instruments that they name where
    /// those are neither the shop's own nor shipped.
    #[arg(value_name = "FILE")]
    files: Vec<PathBuf>,
    /// One JSON object on standard output.
    #[arg(long)]
    json: bool,
    /// List the ways that no rehearsal walks, and fail if there are any.
    #[arg(long)]
    ways: bool,
}

/// One rehearsal as it came out.
struct Outcome {
    id: String,
    title: String,
    entries: usize,
    difference: Option<String>,
}

/// Plays them.
pub(crate) fn run(verb: &Rehearse, data: Option<PathBuf>) -> u8 {
    let shop = Place::find(data).ok().map(|place| place.documents());
    let mut library = Library::of_verb(shop);
    let (rehearsals, given) = match gather(verb, &mut library) {
        Ok(gathered) => gathered,
        Err(what) => {
            complain(&what);
            return exit::USAGE;
        }
    };
    let mut setups: BTreeMap<[String; 3], Setup> = BTreeMap::new();
    let mut walked: BTreeMap<String, BTreeSet<Walk>> = BTreeMap::new();
    let mut outcomes = Vec::new();
    for rehearsal in rehearsals.values().filter(|r| r.played) {
        let key = [
            rehearsal.script.procedure.to_string(),
            rehearsal.script.sheet.to_string(),
            rehearsal.script.instruments.clone(),
        ];
        if !setups.contains_key(&key) {
            match once(&library, &given, &key).and_then(|()| setup(&library, &key)) {
                Ok(setup) => setups.insert(key.clone(), setup),
                Err(what) => {
                    complain(&format!("{}: {what}", rehearsal.script.id));
                    return exit::USAGE;
                }
            };
        }
        let Some(setup) = setups.get(&key) else {
            continue;
        };
        let like = rehearsal.script.like.as_ref();
        let base = like.and_then(|id| rehearsals.get(id)).map(|r| &r.script);
        if let (Some(id), None) = (like, base) {
            complain(&format!(
                "{}: is like {id}, and there is no such rehearsal",
                rehearsal.script.id
            ));
            return exit::USAGE;
        }
        let mut outcome = Outcome {
            id: rehearsal.script.id.clone(),
            title: rehearsal.script.title.clone(),
            entries: 0,
            difference: None,
        };
        match play(setup, &rehearsal.script, base) {
            Ok(played) => {
                outcome.entries = played.entries.len();
                let [procedure, ..] = key;
                walked.entry(procedure).or_default().extend(played.ways);
            }
            Err(difference) => outcome.difference = Some(difference.to_string()),
        }
        outcomes.push(outcome);
    }
    if outcomes.is_empty() && !verb.json {
        complain(
            "Nothing was played: none of these files is a rehearsal, and a rehearsal says what a person types. Give at least one besides them; levelhand new rehearsal writes one to begin with.",
        );
        return exit::FINDINGS;
    }
    let missing = missing(&setups, &walked);
    tell(verb, &outcomes, &missing)
}

/// A rehearsal, and whether it is played or only leaned on.
struct Gathered {
    script: Rehearsal,
    played: bool,
}

/// Files by what they say they are, with their names and bytes.
type Given = BTreeMap<(Shelf, String), (String, Vec<u8>)>;

/// The rehearsals; other documents among the files join the library.
fn gather(
    verb: &Rehearse,
    library: &mut Library,
) -> Result<(BTreeMap<String, Gathered>, Given), String> {
    let mut all = BTreeMap::new();
    let mut given = Given::new();
    let mut add = |name: &str, bytes: &[u8], played: bool| -> Result<(), String> {
        let loaded = document::rehearsal(name, bytes);
        let Some(script) = loaded.value.clone() else {
            return Err(format!(
                "This rehearsal can't be used.\n{}",
                draw_all(&loaded.placed(), false)
            ));
        };
        all.insert(script.id.clone(), Gathered { script, played });
        Ok(())
    };
    let every = verb.files.is_empty();
    for shipped in shipped::all().filter(|d| d.shelf == Shelf::Rehearsal) {
        add(shipped.path, shipped.bytes, every)?;
    }
    for file in &verb.files {
        let name = file.display().to_string();
        let bytes = shop::read(file).map_err(|error| {
            format!("{name} can't be read: {error}. Give the path of a rehearsal.")
        })?;
        if let Some(key) = shipped::head(&bytes) {
            let it = (name.clone(), bytes.clone());
            match given.insert(key.clone(), it) {
                Some((other, there)) if there != bytes => {
                    return Err(one_id(key.0, &key.1, &[other, name]));
                }
                Some(_) | None => {}
            }
        }
        match shipped::head(&bytes) {
            Some((shelf, id)) if shelf != Shelf::Rehearsal => {
                library.add(shelf, id, Found { name, bytes });
            }
            Some(_) | None => add(&name, &bytes, true)?,
        }
    }
    Ok((all, given))
}

/// Stops where the shop has two documents of one id, and none was given as a file.
fn once(library: &Library, given: &Given, ids: &[String; 3]) -> Result<(), String> {
    let shelves = [Shelf::Procedure, Shelf::Sheet, Shelf::Instruments];
    for (shelf, id) in shelves.into_iter().zip(ids) {
        if given.contains_key(&(shelf, id.clone())) {
            continue;
        }
        let mut own = library.own(shelf).filter(|(known, _)| known == id);
        let Some((_, first)) = own.next() else {
            continue;
        };
        if let Some((_, other)) = own.find(|(_, found)| found.bytes != first.bytes) {
            return Err(one_id(shelf, id, &[first.name.clone(), other.name.clone()]));
        }
    }
    Ok(())
}

/// A way with the title that people know its step or phase by.
pub(super) fn titled(procedure: &Procedure, way: &Walk) -> String {
    let title = match way {
        Walk::Outcome(id, _) | Walk::Choice(id, _) => {
            procedure.step(id).map(|step| step.title.as_str())
        }
        Walk::Stop(id) => {
            let mut phases = procedure.phases.iter();
            let phase = phases.find(|phase| &phase.id == id);
            phase.map(|phase| phase.title.as_str())
        }
    };
    title.map_or_else(
        || way.to_string(),
        |title| format!("{way} ({})", escape(title)),
    )
}

/// Procedure, sheet and instruments, by their ids.
pub(crate) fn setup(
    library: &Library,
    [procedure, sheet, instruments]: &[String; 3],
) -> Result<Setup, String> {
    let papers: Papers = library.papers(procedure, sheet, instruments)?;
    load(&papers, Mode::Practice)
}

/// A way that no rehearsal walked.
struct Unwalked {
    way: Walk,
    /// With the title.
    said: String,
}

/// The ways of each procedure that was played which no rehearsal walked.
fn missing(
    setups: &BTreeMap<[String; 3], Setup>,
    walked: &BTreeMap<String, BTreeSet<Walk>>,
) -> BTreeMap<String, Vec<Unwalked>> {
    let mut missing = BTreeMap::new();
    for ([procedure, ..], setup) in setups {
        let walked = walked.get(procedure);
        let left: Vec<Unwalked> = every_way(&setup.procedure)
            .into_iter()
            .filter(|w| !walked.is_some_and(|walked| walked.contains(w)))
            .map(|way| Unwalked {
                said: titled(&setup.procedure, &way),
                way,
            })
            .collect();
        missing.insert(procedure.clone(), left);
    }
    missing
}

fn tell(verb: &Rehearse, outcomes: &[Outcome], missing: &BTreeMap<String, Vec<Unwalked>>) -> u8 {
    let differing = outcomes.iter().filter(|o| o.difference.is_some()).count();
    let unwalked: usize = missing.values().map(Vec::len).sum();
    if verb.json {
        say(&as_json(outcomes, missing));
    } else {
        for outcome in outcomes {
            match &outcome.difference {
                None => say(&format!(
                    "as written  {}  ({} entries)  {}",
                    outcome.id, outcome.entries, outcome.title
                )),
                Some(difference) => complain(&format!("differs     {difference}")),
            }
        }
        if verb.ways {
            for (procedure, ways) in missing {
                for way in ways {
                    complain(&format!("not walked  {procedure}: {}", way.said));
                }
            }
            let ways = if unwalked == 1 { "way" } else { "ways" };
            say(&format!("{unwalked} {ways} not walked"));
        }
        let good = outcomes.len() - differing;
        let noun = if good == 1 { "rehearsal" } else { "rehearsals" };
        let differ = if differing == 1 { "differs" } else { "differ" };
        say(&format!("{good} {noun} as written, {differing} {differ}"));
    }
    if differing > 0 || (verb.ways && unwalked > 0) || outcomes.is_empty() {
        exit::FINDINGS
    } else {
        exit::OK
    }
}

fn as_json(outcomes: &[Outcome], missing: &BTreeMap<String, Vec<Unwalked>>) -> String {
    let rehearsals: Vec<_> = outcomes
        .iter()
        .map(|o| {
            json!({
                "id": o.id,
                "title": o.title,
                "entries": o.entries,
                "as_written": o.difference.is_none(),
                "difference": o.difference,
            })
        })
        .collect();
    let missing: BTreeMap<_, Vec<String>> = missing
        .iter()
        .map(|(p, ways)| (p, ways.iter().map(|w| w.way.to_string()).collect()))
        .collect();
    json!({ "rehearsals": rehearsals, "ways_not_walked": missing }).to_string()
}

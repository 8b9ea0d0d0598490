//! `levelhand rehearse`: plays rehearsals through the engine, without a terminal.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use super::desk::Papers;
use super::library::{Found, Library, load};
use super::output::{complain, say};
use super::shipped::{self, Shelf};
use crate::document;
use crate::finding::draw_all;
use crate::io::place::Place;
use crate::io::{exit, shop};
use crate::job::{Mode, Setup};
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
    let (mut library, _unreadable) = Library::with_shop(shop);
    let rehearsals = match gather(verb, &mut library) {
        Ok(rehearsals) => rehearsals,
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
            match setup(&library, &key) {
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
    let missing = missing(&setups, &walked);
    tell(verb, &outcomes, &missing)
}

/// A rehearsal, and whether it is played or only leaned on.
struct Gathered {
    script: Rehearsal,
    played: bool,
}

/// The rehearsals; other documents among the files join the library.
fn gather(verb: &Rehearse, library: &mut Library) -> Result<BTreeMap<String, Gathered>, String> {
    let mut all = BTreeMap::new();
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
        match shipped::head(&bytes) {
            Some((shelf, id)) if shelf != Shelf::Rehearsal => {
                library.add(shelf, id, Found { name, bytes });
            }
            Some(_) | None => add(&name, &bytes, true)?,
        }
    }
    Ok(all)
}

/// Procedure, sheet and instruments, by their ids.
pub(crate) fn setup(
    library: &Library,
    [procedure, sheet, instruments]: &[String; 3],
) -> Result<Setup, String> {
    let papers: Papers = library.papers(procedure, sheet, instruments)?;
    load(&papers, Mode::Practice)
}

/// The ways of each procedure that was played which no rehearsal walked.
fn missing(
    setups: &BTreeMap<[String; 3], Setup>,
    walked: &BTreeMap<String, BTreeSet<Walk>>,
) -> BTreeMap<String, Vec<Walk>> {
    let mut missing = BTreeMap::new();
    for ([procedure, ..], setup) in setups {
        let walked = walked.get(procedure);
        let left: Vec<Walk> = every_way(&setup.procedure)
            .into_iter()
            .filter(|w| !walked.is_some_and(|walked| walked.contains(w)))
            .collect();
        missing.insert(procedure.clone(), left);
    }
    missing
}

fn tell(verb: &Rehearse, outcomes: &[Outcome], missing: &BTreeMap<String, Vec<Walk>>) -> u8 {
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
                    complain(&format!("not walked  {procedure}: {way}"));
                }
            }
            say(&format!("{unwalked} ways not walked"));
        }
        say(&format!(
            "{} rehearsals as written, {differing} differ",
            outcomes.len() - differing
        ));
    }
    if differing > 0 || (verb.ways && unwalked > 0) || outcomes.is_empty() {
        exit::FINDINGS
    } else {
        exit::OK
    }
}

fn as_json(outcomes: &[Outcome], missing: &BTreeMap<String, Vec<Walk>>) -> String {
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
        .map(|(p, ways)| (p, ways.iter().map(ToString::to_string).collect()))
        .collect();
    json!({ "rehearsals": rehearsals, "ways_not_walked": missing }).to_string()
}

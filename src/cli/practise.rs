//! `levelhand practise`: a drill on a simulated truck, on the screen or from a script.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::drills::{self, Wishes};
use super::library::{Found, Library, load};
use super::output::{complain, say};
use super::shipped::{self, Shelf};
use crate::document;
use crate::drill::{Debrief, Script, kept, page, play};
use crate::finding::{draw_all, escape};
use crate::io::place::Place;
use crate::io::{exit, shop};
use crate::job::{Mode, Setup};
use crate::rehearsal::DrillScript;
use crate::rig::{Chosen, Plain};

/// Practise on a simulated truck: the same procedures as real jobs, never a job.
///
/// Without a drill the course is shown. A script plays a drill without a terminal and
/// prints its debrief.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  levelhand practise                              the course\n  levelhand practise clear_coached --by Ann       one drill\n  levelhand practise two_alone --seed 7 --by Ann  the same faults again\n  levelhand practise clear_coached --draw 1 --plain subtle --by Ann\n  levelhand practise --list                       drills and faults\n  levelhand practise --script careful_bw_07       a drill from a script, with its debrief\n\nExit codes: 0 good; 1 the script's debrief is not as it expects; 2 wrong use or bad input."
)]
pub(crate) struct Practise {
    /// The drill.
    #[arg(value_name = "DRILL")]
    drill: Option<String>,
    /// Who practises.
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// The seed: the same seed gives the same drill.
    #[arg(long, value_name = "N")]
    seed: Option<u64>,
    /// A fault instead of those of the drill; may be given more than once.
    #[arg(long = "fault", value_name = "FAULT", conflicts_with = "draw")]
    faults: Vec<String>,
    /// So many faults drawn by the seed instead of those of the drill.
    #[arg(long, value_name = "N")]
    draw: Option<usize>,
    /// Draw among these only.
    #[arg(long, value_enum, requires = "draw")]
    plain: Option<PlainWord>,
    /// Play a script: its name, or its file.
    #[arg(long, value_name = "SCRIPT", conflicts_with_all = ["drill", "draw", "faults", "list"])]
    script: Option<String>,
    /// List drills and faults.
    #[arg(long, conflicts_with = "drill")]
    list: bool,
    /// One JSON object on standard output; with --script and --list.
    #[arg(long)]
    json: bool,
}

/// How plain a fault is, on the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PlainWord {
    /// It shows.
    Clear,
    /// It must be looked for.
    Subtle,
}

/// What the full-screen program opens with.
#[derive(Debug, Clone)]
pub(super) struct Opening {
    /// The drill; `None`: the course.
    pub(super) drill: Option<String>,
    /// What else was chosen.
    pub(super) wishes: Wishes,
}

/// What is to be done.
pub(super) enum Done {
    /// It is over, with this exit code.
    Over(u8),
    /// Open full-screen.
    Open(Opening),
}

/// Does what needs no terminal, or says what to open.
pub(super) fn run(verb: &Practise, data: Option<PathBuf>) -> Done {
    let shop = Place::find(data).ok().map(|place| place.documents());
    if let Some(script) = &verb.script {
        return Done::Over(scripted(verb, script, Library::of_verb(shop)));
    }
    let library = Library::of_verb(shop);
    if verb.list {
        return Done::Over(list(&library, verb.json));
    }
    if verb.json {
        complain("--json goes with --script or --list; the screen prints nothing.");
        return Done::Over(exit::USAGE);
    }
    if let Some(drill) = &verb.drill
        && let Err(why) = drills::plan(&library, drill)
    {
        complain(&why);
        return Done::Over(exit::USAGE);
    }
    let chosen = wanted(verb);
    if let Some(Chosen::Named(names)) = &chosen {
        let known = drills::faults(&library);
        if let Some(name) = names.iter().find(|n| known.iter().all(|f| &f.id != *n)) {
            let ids = known.iter().map(|f| f.id.as_str());
            let near = crate::finding::near_help(name, ids).join("; ");
            complain(&format!("There is no fault named {name} here: {near}"));
            return Done::Over(exit::USAGE);
        }
    }
    if verb.drill.is_none() && (chosen.is_some() || verb.seed.is_some()) {
        complain(
            "--fault, --draw and --seed belong to a drill: give its name; see levelhand practise --list.",
        );
        return Done::Over(exit::USAGE);
    }
    if verb.drill.is_some() && verb.by.is_none() {
        complain(
            "Say who practises: --by NAME. Drills are compared with earlier ones of the same person.",
        );
        return Done::Over(exit::USAGE);
    }
    Done::Open(Opening {
        drill: verb.drill.clone(),
        wishes: Wishes {
            faults: chosen,
            by: verb.by.clone().unwrap_or_default(),
            seed: verb
                .seed
                .unwrap_or_else(|| crate::io::seed::bits().unwrap_or(1) % 1_000_000),
        },
    })
}

fn wanted(verb: &Practise) -> Option<Chosen> {
    if let Some(count) = verb.draw {
        let plain = verb.plain.map(|word| match word {
            PlainWord::Clear => Plain::Clear,
            PlainWord::Subtle => Plain::Subtle,
        });
        return Some(Chosen::Drawn { count, plain });
    }
    (!verb.faults.is_empty()).then(|| Chosen::Named(verb.faults.clone()))
}

/// Lists drills and faults.
fn list(library: &Library, json: bool) -> u8 {
    let plans = drills::plans(library);
    let faults = drills::faults(library);
    if json {
        let drills: Vec<serde_json::Value> = plans
            .iter()
            .map(|p| serde_json::json!({"id": p.id, "number": p.number, "title": p.title, "coaching": p.coaching.word(), "after": p.after}))
            .collect();
        let faults: Vec<serde_json::Value> = faults
            .iter()
            .map(|f| serde_json::json!({"id": f.id, "title": f.title, "plain": f.plain.word(), "remedy": f.remedy.key()}))
            .collect();
        say(&serde_json::json!({"drills": drills, "faults": faults}).to_string());
        return exit::OK;
    }
    let mut text = String::from("Drills\n");
    for plan in &plans {
        let (id, title) = (escape(&plan.id), escape(&plan.title));
        // Writing to a string is never refused.
        let _always = writeln!(text, "  {:>2}  {id:<20} {title}", plan.number);
    }
    text.push_str("\nFaults\n");
    for fault in &faults {
        let (id, title) = (escape(&fault.id), escape(&fault.title));
        let _always = writeln!(text, "  {:<7} {id:<26} {title}", fault.plain.word());
    }
    say(text.trim_end());
    exit::OK
}

/// Plays a script and prints its debrief.
fn scripted(verb: &Practise, name: &str, mut library: Library) -> u8 {
    let played = take_files(name, &mut library).and_then(|id| play_script(&library, &id, verb));
    match played {
        Ok((debrief, wrong)) => {
            let text = if verb.json {
                kept(&debrief, "", "")
            } else {
                let lines: Vec<String> = page(&debrief, &[], 100)
                    .iter()
                    .map(|l| escape(l).into_owned())
                    .collect();
                lines.join("\n")
            };
            say(&text);
            for line in &wrong {
                complain(line);
            }
            if wrong.is_empty() {
                exit::OK
            } else {
                exit::FINDINGS
            }
        }
        Err(why) => {
            complain(&why);
            exit::USAGE
        }
    }
}

/// A script by its file brings the documents beside it.
fn take_files(name: &str, library: &mut Library) -> Result<String, String> {
    let path = Path::new(name);
    if path.extension().is_none() {
        return Ok(name.to_owned());
    }
    let bytes = shop::read(path).map_err(|failure| failure.to_string())?;
    let Some((Shelf::DrillScript, id)) = shipped::head(&bytes) else {
        return Err(format!(
            "{name} is no script of a drill; levelhand check says what it is."
        ));
    };
    let beside = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    for (path, bytes) in shop::documents(beside, &mut Vec::new()) {
        if let Some((shelf, id)) = shipped::head(&bytes) {
            let name = path.display().to_string();
            library.add(shelf, id, Found { name, bytes });
        }
    }
    let found = Found {
        name: name.to_owned(),
        bytes,
    };
    library.add(Shelf::DrillScript, id.clone(), found);
    Ok(id)
}

/// Plays a script; gives the debrief and what in it is not as expected.
pub(crate) fn play_script(
    library: &Library,
    id: &str,
    verb: &Practise,
) -> Result<(Debrief, Vec<String>), String> {
    let drill = named(library, id, "drill")?;
    let plan = drills::plan(library, &drill)?;
    let setup = practice_setup(library, &plan.procedure, &plan.sheet, &plan.instruments)?;
    let own = readable(library, id, &setup)?;
    let base = match &own.like {
        Some(like) => Some(readable(library, like, &setup)?),
        None => None,
    };
    let wishes = Wishes {
        faults: own.faults.clone().map(Chosen::Named),
        by: own.by.clone(),
        seed: verb.seed.unwrap_or(own.seed),
    };
    let ground = drills::ground(library, &own.drill, &wishes)?;
    let script = Script {
        own: &own,
        base: base.as_ref(),
    };
    let (debrief, _, _) = play(&setup, ground, script).map_err(|d| d.to_string())?;
    let wrong = crate::drill::unexpected(&debrief, &own.expect);
    Ok((debrief, wrong))
}

fn named(library: &Library, id: &str, field: &str) -> Result<String, String> {
    let shelf = Shelf::DrillScript;
    let found = library.find(shelf, id).ok_or_else(|| {
        format!(
            "There is no {} named {id} here; give its file, or the name of one that is built in.",
            shelf.word()
        )
    })?;
    shipped::member(&found.bytes, field).ok_or_else(|| format!("The script {id} names no {field}."))
}

/// A script, or everything that is wrong with it.
fn readable(library: &Library, id: &str, setup: &Setup) -> Result<DrillScript, String> {
    match drills::script(library, id, &setup.procedure) {
        Ok(script) => Ok(script),
        Err(why) => {
            let Some(found) = library.find(Shelf::DrillScript, id) else {
                return Err(why);
            };
            let read =
                document::drill_script(&found.name, &found.bytes, Some(&setup.procedure), None);
            let placed = read.placed();
            Err(if placed.is_empty() {
                why
            } else {
                draw_all(&placed, false)
            })
        }
    }
}

/// Procedure, sheet and instruments of a drill.
pub(crate) fn practice_setup(
    library: &Library,
    procedure: &str,
    sheet: &str,
    instruments: &str,
) -> Result<Setup, String> {
    let papers = library.papers(procedure, sheet, instruments)?;
    load(&papers, Mode::Practice)
}

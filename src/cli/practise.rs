//! `levelhand practise`: a drill on a simulated truck, on the screen or from a script.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::drills;
use super::library::{Found, Library, load};
use super::output::{complain, say};
use super::shipped::{self, Shelf};
use crate::app::NewDrill;
use crate::drill::{Debrief, Script, kept, page, play};
use crate::finding::{escape, near_help};
use crate::io::place::Place;
use crate::io::{exit, seed, shop};
use crate::job::Mode;
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
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=4))]
    draw: Option<u8>,
    /// Draw among these only.
    #[arg(long, value_enum, requires = "draw")]
    plain: Option<PlainWord>,
    /// Play a script: its name, or its file.
    #[arg(long, value_name = "SCRIPT", conflicts_with_all = ["drill", "by", "draw", "faults", "list"])]
    script: Option<String>,
    /// List drills and faults.
    #[arg(long, conflicts_with_all = ["drill", "by", "seed", "draw", "faults"])]
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

/// What is to be done.
pub(super) enum Done {
    /// It is over, with this exit code.
    Over(u8),
    /// Open full-screen, on this drill or on the course, with the name of the person.
    Open(Option<NewDrill>, Option<String>),
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
    if let Err(why) = faults_known(verb, &library) {
        complain(&why);
        return Done::Over(exit::USAGE);
    }
    let chosen = wanted(verb);
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
    let drill = verb.drill.clone().map(|drill| NewDrill {
        drill,
        seed: verb
            .seed
            .unwrap_or_else(|| seed::bits().unwrap_or(1) % 1_000_000),
        by: verb.by.clone().unwrap_or_default(),
        faults: chosen,
    });
    Done::Open(drill, verb.by.clone())
}

/// Every fault that is asked for is there, once.
fn faults_known(verb: &Practise, library: &Library) -> Result<(), String> {
    let mut seen = BTreeSet::new();
    for name in &verb.faults {
        if library.find(Shelf::Fault, name).is_none() {
            let known = drills::faults(library).sound;
            let near = near_help(name, known.iter().map(|f| f.id.as_str())).join("; ");
            return Err(format!("There is no fault named {name} here: {near}"));
        }
        drills::fault(library, name)?;
        if !seen.insert(name) {
            return Err(format!("The fault {name} is given twice; once is enough."));
        }
    }
    Ok(())
}

fn wanted(verb: &Practise) -> Option<Chosen> {
    if let Some(count) = verb.draw {
        let plain = verb.plain.map(|word| match word {
            PlainWord::Clear => Plain::Clear,
            PlainWord::Subtle => Plain::Subtle,
        });
        let count = usize::from(count);
        return Some(Chosen::Drawn { count, plain });
    }
    (!verb.faults.is_empty()).then(|| Chosen::Named(verb.faults.clone()))
}

/// Lists drills and faults.
fn list(library: &Library, json: bool) -> u8 {
    let (plans, faults) = (drills::plans(library), drills::faults(library));
    for line in plans.broken.iter().chain(&faults.broken) {
        complain(line);
    }
    let (plans, faults) = (plans.sound, faults.sound);
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
fn play_script(
    library: &Library,
    id: &str,
    verb: &Practise,
) -> Result<(Debrief, Vec<String>), String> {
    let plan = drills::plan(library, &drills::drill_of(library, id)?)?;
    let papers = library.papers(&plan.procedure, &plan.sheet, &plan.instruments)?;
    let setup = load(&papers, Mode::Practice)?;
    let (own, base) = drills::script_with_base(library, id, Some(&*setup.procedure))?;
    let new = NewDrill {
        drill: own.drill.clone(),
        seed: verb.seed.unwrap_or(own.seed),
        by: own.by.clone(),
        faults: own.faults.clone().map(Chosen::Named),
    };
    let ground = drills::ground(library, &new)?;
    let script = Script {
        own: &own,
        base: base.as_ref(),
    };
    let (debrief, _, _) = play(&setup, ground, script).map_err(|d| d.to_string())?;
    let wrong = crate::drill::unexpected(&debrief, &own.expect);
    Ok((debrief, wrong))
}

//! `levelhand rig`: the simulated truck by itself, under a timetable.

mod symbol;

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::Colour;
use super::check::{Hall, complain_of};
use super::library::Library;
use super::output::{complain, is_heard, say, say_raw};
use crate::document::TimedRun;
use crate::finding::escape;
use crate::io::place::Place;
use crate::io::{exit, shop};
use crate::rig::Rig as Truck;

/// Steps between two rows: ten rows a second.
const ROW: u64 = 100;

/// Runs the simulated truck by itself, as a timetable says.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  levelhand rig run tests/rig/normal.json --csv > normal.csv\n\nExit codes: 0 good, 1 something is wrong in the timetable, 2 a file can't be read."
)]
pub(crate) struct Rig {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    Run(Run),
    Symbols(Symbols),
}

/// Runs a timetable: the state at each move for people, or ten rows a second for other
/// programs.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  levelhand rig run tests/rig/leak_left.json\n  levelhand rig run tests/rig/leak_left.json --csv > leak.csv\n\nA timetable is JSON:\n  { \"format\": \"levelhand timetable 1\", \"title\": \"Raise for three seconds\",\n    \"truck\": \"two_bellows\", \"changed\": { \"c_leak\": [0.03, 0] },\n    \"heights\": [\"190 mm\", \"190 mm\"], \"reservoir\": \"8.5 bar\", \"settle\": \"2 s\", \"run\": \"20 s\",\n    \"moves\": [ { \"at\": \"1 s\", \"raise\": \"both\", \"shop_air\": true },\n               { \"at\": \"4 s\", \"raise\": \"none\", \"block\": [\"190 mm\", \"none\"] } ] }\n\nlevelhand new timetable FILE begins one, levelhand check FILE looks it through. Its truck is\ntwo_bellows or four_bellows, or the id of a truck document: one beside the file, the shop's\nown or built in. A move names only what changes: raise, lower (both, left, right, none),\nshop_air, block, stand, gap. What may stand in \"changed\", in which unit: levelhand rig\nsymbols. In place of heights, reservoir and settle a \"state\" may stand: its 19 numbers in\nSI, pressures absolute.\n\nColumns: frame to axle and frame to floor (mm), true and shown pressure (bar gauge),\ntemperature of the air (°C), counts of the height sensor, not rounded.\n\nExit codes: 0 run, 1 something is wrong in the timetable, 2 the file can't be read."
)]
struct Run {
    /// The timetable.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Print a table of comma-separated values, ten rows a second.
    #[arg(long)]
    csv: bool,
}

/// Lists what may be changed of a truck: its symbol, what it is for the truck with two
/// bellows and for that with four, and its meaning with the unit.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  levelhand rig symbols c_leak\n\nExit codes: 0 good, 2 there is no such symbol."
)]
struct Symbols {
    /// Only this one.
    #[arg(value_name = "SYMBOL")]
    symbol: Option<String>,
}

/// Runs or lists.
pub(crate) fn run(verb: &Rig, colour: Colour, data: Option<PathBuf>) -> u8 {
    match &verb.what {
        What::Run(run) => run_file(run, colour, data),
        What::Symbols(asked) => match symbol::listed(asked.symbol.as_deref()) {
            Ok(lines) => {
                say_raw(&lines);
                exit::OK
            }
            Err(help) => {
                let asked = asked.symbol.as_deref().unwrap_or_default();
                complain(&format!("There is no symbol {}; {help}", escape(asked)));
                exit::USAGE
            }
        },
    }
}

fn run_file(run: &Run, colour: Colour, data: Option<PathBuf>) -> u8 {
    let name = run.file.display().to_string();
    let bytes = match shop::read(&run.file) {
        Ok(bytes) => bytes,
        Err(error) => {
            complain(&format!("{name} can't be read: {error}."));
            return exit::USAGE;
        }
    };
    let shop = Place::find(data).ok().map(|place| place.documents());
    let hall = Hall::of(&[(&run.file, &bytes)], &Library::of_verb(shop));
    let loaded = hall.timetable(&name, &bytes);
    complain_of(&name, loaded.placed(), colour);
    let Some(timed) = loaded.value else {
        return exit::FINDINGS;
    };
    let printed = if run.csv {
        rows(&timed, &mut is_heard)
    } else {
        say(&timed.title);
        stages(&timed, &mut is_heard)
    };
    match printed {
        Ok(()) => exit::OK,
        Err(why) => {
            complain(&format!("{name}: {why}"));
            exit::FINDINGS
        }
    }
}

/// Head of the table for other programs.
const COLUMNS: &str =
    "t,sL_mm,sR_mm,fgL_mm,fgR_mm,pL_bar,pR_bar,gL_bar,gR_bar,gT_bar,TL_C,TR_C,counts";

/// Ten rows a second, until nobody reads any more.
///
/// # Errors
/// When the truck leaves what the model can follow.
fn rows(timed: &TimedRun, line: &mut impl FnMut(&str) -> bool) -> Result<(), String> {
    let mut rig = timed.begun();
    if !line(COLUMNS) {
        return Ok(());
    }
    loop {
        if !line(&row(&rig)?) || rig.steps() + ROW > timed.steps {
            return Ok(());
        }
        timed.timetable.play(&mut rig, ROW);
    }
}

/// One row; the digits are those of the reference runs.
fn row(rig: &Truck) -> Result<String, String> {
    let read = rig.readout();
    let mut row = figure(rig.time(), 1);
    let mm = |m: f64| m * 1e3;
    let lengths = [read.height.map(mm), read.floor.map(mm)];
    let pressures = [read.true_bar.as_slice(), read.gauge.as_slice()];
    let groups = lengths
        .iter()
        .map(|pair| (pair.as_slice(), 3))
        .chain(pressures.map(|some| (some, 5)))
        .chain([
            (read.temperature.as_slice(), 3),
            (std::slice::from_ref(&read.counts), 3),
        ]);
    for (figures, places) in groups {
        for value in figures {
            if !value.is_finite() {
                return Err(lost(rig));
            }
            let _always = write!(row, ",{}", figure(*value, places));
        }
    }
    Ok(row)
}

/// A figure with so many places; nothing has no sign.
fn figure(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => text,
    }
}

/// The truck left what the model can follow.
fn lost(rig: &Truck) -> String {
    format!(
        "at {:.1} s the truck leaves what the model can follow. Its numbers don't fit together, or what is done to it is too much; heights of 80 to 330 mm and up to 11 bar are good.",
        rig.time()
    )
}

/// The state before each change and at the end, for people.
fn stages(timed: &TimedRun, line: &mut impl FnMut(&str) -> bool) -> Result<(), String> {
    let mut rig = timed.begun();
    line("      time   frame to axle, mm   gauges, bar            counts   blocks, N");
    let mut before = timed.timetable.at(0);
    while rig.steps() < timed.steps {
        let inputs = timed.timetable.at(rig.steps());
        if inputs != before && !line(&stage(&rig)?) {
            return Ok(());
        }
        before = inputs;
        timed.timetable.play(&mut rig, 1);
    }
    line(&stage(&rig)?);
    Ok(())
}

/// One line for people.
fn stage(rig: &Truck) -> Result<String, String> {
    let read = rig.readout();
    if !read.counts.is_finite() || !read.gauge.iter().all(|bar| bar.is_finite()) {
        return Err(lost(rig));
    }
    let [left, right] = read.height.map(|m| figure(m * 1e3, 1));
    let [gl, gr, gt] = read.gauge.map(|bar| figure(bar, 2));
    let [bl, br] = read.block.map(|n| figure(n, 0));
    Ok(format!(
        "{:>8} s   {left:>7} {right:>7}     {gl:>5} {gr:>5}, tank {gt:>5}   {:>6}   {bl:>6} {br:>6}",
        figure(rig.time(), 1),
        figure(read.counts, 0)
    ))
}

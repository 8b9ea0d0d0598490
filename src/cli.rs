//! The program's verbs, one file each, and the wiring of engine, journal and disk.

mod author;
mod calc;
mod check;
mod clerk;
mod compare;
mod completions;
pub(crate) mod desk;
mod draw;
mod drills;
mod full;
pub(crate) mod jobs;
mod library;
mod new;
mod output;
mod practise;
mod rehearse;
mod release;
mod rig;
#[cfg(test)]
pub(crate) mod sample;
mod schema;
pub mod shipped;
mod summary;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};

use crate::io::exit;
use crate::io::place::Place;

/// Guides a workshop through setting the ride height of an air-sprung,
/// electronically levelled axle. Without a verb it opens full-screen on its board.
///
/// The vehicle maker's instructions, local rules and licensed practice come before
/// anything this program shows.
#[derive(Debug, Parser)]
#[command(
    name = "levelhand",
    version,
    after_help = "Examples:\n  levelhand                       open full-screen\n  levelhand check my_truck.json   look through a document\n  levelhand author my_job.json    look at a procedure while writing it\n  levelhand rehearse --ways       play every shipped rehearsal\n  levelhand compare OLD NEW       what changed, and which demands shrank\n  levelhand release FILE --by Ann let real jobs run a document of the shop\n  levelhand jobs list             list the jobs on this computer\n  levelhand calc --list           what can be worked out, with formulas and sources\n\nExit codes: 0 good; 1 something was found; 2 wrong use or bad input; 3 the disk refused;\n4 a record is damaged; 5 another program holds the job; 70 a fault of this program."
)]
struct Args {
    /// Keep jobs and settings in this directory instead of the usual one.
    #[arg(long, global = true, value_name = "DIR")]
    data: Option<PathBuf>,
    /// Open to try documents out, released or not: whatever is begun is practice.
    #[arg(long)]
    trial: bool,
    /// Colours on the screen.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto)]
    color: Colour,
    #[command(subcommand)]
    verb: Option<Verb>,
}

/// Which colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Colour {
    /// The sixteen, unless `NO_COLOR` is set.
    Auto,
    /// The sixteen.
    #[value(name = "16")]
    Sixteen,
    /// None.
    Never,
}

impl Colour {
    /// Whether the person wants any.
    pub(crate) fn is_wanted(self) -> bool {
        match self {
            Self::Never => false,
            Self::Auto => !crate::io::keyboard::no_colour_asked(),
            Self::Sixteen => true,
        }
    }
}

#[derive(Debug, Subcommand)]
enum Verb {
    Author(author::Author),
    Calc(calc::Calc),
    Check(check::Check),
    Compare(compare::Compare),
    Draw(draw::Draw),
    Practise(practise::Practise),
    Rehearse(rehearse::Rehearse),
    Release(release::Release),
    Rig(rig::Rig),
    Jobs(jobs::Jobs),
    New(new::New),
    Schema(schema::Schema),
    Completions(completions::Completions),
}

/// Runs the program with the arguments of the process.
pub fn run() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(error) => return output::usage(&error),
    };
    if args.trial && args.verb.is_some() {
        output::complain("--trial opens the full-screen program; give it without a verb.");
        return ExitCode::from(crate::io::exit::USAGE);
    }
    let code = match &args.verb {
        None => full::run(&args, full::Open::Board),
        Some(Verb::Author(verb)) => match verb.look() {
            Ok(look) => full::run(&args, full::Open::Look(look)),
            Err(why) => {
                output::complain(&why);
                exit::USAGE
            }
        },
        Some(Verb::Calc(verb)) => calc::run(
            verb,
            &mut output::Plain(std::io::stdout().lock()),
            &mut output::Plain(std::io::stderr().lock()),
        ),
        Some(Verb::Check(verb)) => check::run(verb, args.color, args.data.clone()),
        Some(Verb::Compare(verb)) => compare::run(verb, args.data.clone()),
        Some(Verb::Draw(verb)) => draw::run(verb),
        Some(Verb::Practise(verb)) => match practise::run(verb, args.data.clone()) {
            practise::Done::Over(code) => code,
            practise::Done::Open(drill, by) => full::run(&args, full::Open::Practise(drill, by)),
        },
        Some(Verb::Release(verb)) => release::run(verb, args.data.clone()),
        Some(Verb::Rehearse(verb)) => rehearse::run(verb, args.data.clone()),
        Some(Verb::Rig(verb)) => rig::run(verb, args.color, args.data.clone()),
        Some(Verb::Jobs(verb)) => run_jobs(verb, args.data.clone()),
        Some(Verb::New(verb)) => new::run(verb, args.data.clone()),
        Some(Verb::Schema(verb)) => schema::run(verb),
        Some(Verb::Completions(verb)) => completions::run(verb),
    };
    ExitCode::from(code)
}

/// Finds the data and looks at the jobs there.
fn run_jobs(verb: &jobs::Jobs, data: Option<PathBuf>) -> u8 {
    match Place::find(data) {
        Ok(place) => jobs::run(
            verb,
            place,
            &mut output::Plain(std::io::stdout().lock()),
            &mut output::Plain(std::io::stderr().lock()),
        ),
        Err(failure) => {
            output::complain(&failure.to_string());
            failure.exit_code()
        }
    }
}

/// The whole command, for completions and for tests of its help.
pub(crate) fn command() -> clap::Command {
    <Args as clap::CommandFactory>::command()
}

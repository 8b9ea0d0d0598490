//! `levelhand calc`: a sum of the registry with values as people type them.
//!
//! Every sum is a verb of its own below this one; its options, help and results
//! come from the registry and from nowhere else.

mod reference;
mod result;

use std::io::Write;

use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches};

use crate::calc::{self, Given, Input, REGISTRY, Shape, Sum, Takes, like_kind, read_entry};
use crate::io::exit;
use crate::quantity::System;

/// What was asked for.
#[derive(Debug, Clone)]
pub(crate) enum Calc {
    /// The reference of all sums.
    List {
        /// As data.
        json: bool,
    },
    /// A sum.
    Sum(Box<Asked>),
}

/// A sum and what was typed for it.
#[derive(Debug, Clone)]
pub(crate) struct Asked {
    sum: &'static Sum,
    /// What was typed for each input.
    typed: Vec<Option<String>>,
    /// Inputs read with one instrument, by their places.
    same: Vec<Vec<usize>>,
    json: bool,
    units: System,
    trials: Option<usize>,
    seed: u64,
}

const AFTER_HELP: &str = "\
Each sum has its own help with inputs, units, formula and source.

A value is typed with its unit: 1.30 bar, 51 psi, 190 mm, 7 1/2 in, 4.3° nose up.
What is known of it may follow: 1.30 bar ± 0.1 bar (limit of error of the instrument)
and step 0.05 bar (the smallest step that is read). Several values stand one after the
other with a comma and a space or a semicolon: \"0 mm, 3 mm, 2 mm, 7 mm\".

Example:
  levelhand calc --list
  levelhand calc difference --help
  levelhand calc difference --first \"1.30 bar ± 0.1 bar\" --second \"1.25 bar ± 0.1 bar\"

Exit codes: 0 worked out; 2 wrong use, or an input the sum can't use.";

impl clap::Args for Calc {
    fn augment_args(command: Command) -> Command {
        command
            .about("Works a sum out: floor, heights, pressures, leak-down, driveline, aim")
            .after_help(AFTER_HELP)
            .arg(
                Arg::new("list")
                    .long("list")
                    .action(ArgAction::SetTrue)
                    .help("Print the reference of all sums"),
            )
            .arg(
                Arg::new("json")
                    .long("json")
                    .action(ArgAction::SetTrue)
                    .help("The reference as JSON, for other programs"),
            )
            .arg_required_else_help(true)
            .args_conflicts_with_subcommands(true)
            .subcommand_value_name("NAME")
            .subcommand_help_heading("Sums")
            .disable_help_subcommand(true)
            .subcommands(REGISTRY.iter().map(|sum| command_of(sum)))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Calc {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        match matches.subcommand() {
            Some((name, matches)) => match calc::find(name) {
                Some(sum) => asked(sum, matches).map(|asked| Self::Sum(Box::new(asked))),
                None => Err(clap::Error::new(clap::error::ErrorKind::InvalidSubcommand)),
            },
            None => Ok(Self::List {
                json: matches.get_flag("json"),
            }),
        }
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// The option of an input: its key with hyphens.
fn option(key: &str) -> String {
    key.replace('_', "-")
}

fn command_of(sum: &'static Sum) -> Command {
    let mut command = Command::new(sum.name)
        .about(sum.title)
        .long_about(reference::about(sum))
        .after_help(reference::example(sum))
        .next_help_heading("Inputs");
    for input in sum.inputs {
        command = command.arg(
            Arg::new(input.key)
                .long(option(input.key))
                .value_name(value_name(input))
                .allow_hyphen_values(true)
                .action(ArgAction::Append)
                .help(reference::input(sum, input)),
        );
    }
    command
        .next_help_heading("How it is worked out and shown")
        .arg(
            Arg::new("same-instrument")
                .long("same-instrument")
                .value_name("INPUT,INPUT")
                .action(ArgAction::Append)
                .help("These inputs were read with one instrument: its error is the same in all"),
        )
        .arg(
            Arg::new("monte-carlo")
                .long("monte-carlo")
                .value_name("N")
                .value_parser(
                    clap::value_parser!(u64)
                        .range(calc::FEWEST_DRAWS as u64..=calc::MOST_DRAWS as u64),
                )
                .help("Also draw the inputs N times at random and show what comes out"),
        )
        .arg(
            Arg::new("seed")
                .long("seed")
                .value_name("N")
                .default_value("1")
                .value_parser(clap::value_parser!(u64))
                .help("Where the random numbers begin; the same seed gives the same draws"),
        )
        .arg(
            Arg::new("units")
                .long("units")
                .value_name("SYSTEM")
                .value_parser(["metric", "us"])
                .default_value("metric")
                .help("Units of the results"),
        )
        .arg(
            Arg::new("json")
                .long("json")
                .action(ArgAction::SetTrue)
                .help("As JSON, for other programs"),
        )
        .arg(
            Arg::new("example")
                .long("example")
                .action(ArgAction::SetTrue)
                .help("Take the example's values for inputs that are not given"),
        )
}

fn value_name(input: &Input) -> &'static str {
    match (input.takes, input.shape) {
        (Takes::Word(_), _) => "WORD",
        (_, Shape::Series { .. }) => "TIME: VALUE, …",
        (_, Shape::Several { .. }) => "VALUES",
        (_, Shape::One | Shape::Optional) => "VALUE",
    }
}

fn asked(sum: &'static Sum, matches: &ArgMatches) -> Result<Asked, clap::Error> {
    let example = matches.get_flag("example");
    let typed = sum.inputs.iter().map(|input| {
        let given = matches.get_many::<String>(input.key);
        let given = given.map(|many| many.cloned().collect::<Vec<_>>().join("; "));
        given.or_else(|| {
            let (_, text) = sum.example.iter().find(|(key, _)| *key == input.key)?;
            example.then(|| (*text).to_owned())
        })
    });
    let same = matches
        .get_many::<String>("same-instrument")
        .unwrap_or_default();
    Ok(Asked {
        sum,
        typed: typed.collect(),
        same: same
            .map(|text| shared(sum, text))
            .collect::<Result<_, _>>()?,
        json: matches.get_flag("json"),
        units: match matches.get_one::<String>("units").map(String::as_str) {
            Some("us") => System::Us,
            Some(_) | None => System::Metric,
        },
        trials: matches.get_one::<u64>("monte-carlo").map(|n| *n as usize),
        seed: matches.get_one::<u64>("seed").copied().unwrap_or(1),
    })
}

/// The inputs that were read with one instrument.
fn shared(sum: &'static Sum, text: &str) -> Result<Vec<usize>, clap::Error> {
    let one = |name: &str| {
        let name = name.trim().replace('-', "_");
        sum.input(&name).ok_or_else(|| {
            let known: Vec<String> = sum.inputs.iter().map(|i| option(i.key)).collect();
            clap::Error::raw(
                clap::error::ErrorKind::InvalidValue,
                format!(
                    "{name:?} is no input of {}; its inputs are {}\n",
                    sum.name,
                    known.join(", ")
                ),
            )
        })
    };
    text.split(',').map(one).collect()
}

/// Carries the verb out: results to `out`, what went wrong to `err`. Gives the exit
/// code.
pub(crate) fn run(calc: &Calc, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    let text = match calc {
        Calc::List { json: true } => Ok(reference::data()),
        Calc::List { json: false } => Ok(reference::all()),
        Calc::Sum(asked) => work_out(asked),
    };
    match text {
        Ok(text) => {
            let _gone = writeln!(out, "{text}");
            exit::OK
        }
        Err(sentence) => {
            let _gone = writeln!(err, "{sentence}");
            exit::USAGE
        }
    }
}

fn work_out(asked: &Asked) -> Result<String, String> {
    let sum = asked.sum;
    let given = read(asked)?;
    let way_out = |e: calc::CalcError| format!("{e}\nSee: levelhand calc {} --help", sum.name);
    let found = sum.evaluate(&given).map_err(way_out)?;
    let trials = match asked.trials {
        Some(draws) => Some(sum.draw(&given, draws, asked.seed).map_err(way_out)?),
        None => None,
    };
    let shown = result::Shown {
        sum,
        given: &given,
        found: &found,
        trials: trials.as_ref(),
        seed: asked.seed,
        units: asked.units,
    };
    Ok(if asked.json {
        shown.data()
    } else {
        shown.table()
    })
}

/// What was typed, as inputs of the sum.
fn read(asked: &Asked) -> Result<Vec<Option<Given>>, String> {
    let mut given: Vec<Option<Given>> = Vec::new();
    for (at, input) in asked.sum.inputs.iter().enumerate() {
        let Some(typed) = asked.typed.get(at).and_then(Option::as_ref) else {
            given.push(None);
            continue;
        };
        let like = like_kind(input, &given);
        let mut read = read_entry(input, typed, like, None)
            .map_err(|e| format!("--{}: {e}", option(input.key)))?;
        let mark = asked.same.iter().position(|same| same.contains(&at));
        if let (Some(mark), Given::Points(points)) = (mark, &mut read) {
            for point in points {
                point.instrument = Some(format!("instrument {mark}"));
            }
        }
        given.push(Some(read));
    }
    Ok(given)
}

#[cfg(test)]
mod tests;

//! The program's verbs, one file each, and the wiring of engine, journal and disk.

pub(crate) mod desk;
pub(crate) mod jobs;
#[cfg(test)]
pub(crate) mod sample;

use std::ffi::OsString;
use std::io::Write;
use std::path::PathBuf;

use clap::Parser;

use crate::io::place::Place;

/// `levelhand jobs` by itself.
#[derive(Debug, Parser)]
#[command(name = "levelhand jobs")]
struct JobsAlone {
    /// Where the data lie, instead of the platform's own place
    #[arg(long, value_name = "DIR", global = true)]
    data: Option<PathBuf>,
    #[command(flatten)]
    jobs: jobs::Jobs,
}

/// Runs `levelhand jobs` with these arguments, the program's name first. Gives
/// the exit code (see [`crate::journal::exit`]).
pub fn jobs(
    args: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    // Nobody is left to tell when writing fails.
    let told = |writer: &mut dyn Write, text: String| drop(writer.write_all(text.as_bytes()));
    match JobsAlone::try_parse_from(args) {
        Ok(alone) => match Place::find(alone.data) {
            Ok(place) => jobs::run(&alone.jobs, place, out, err),
            Err(failure) => {
                told(err, format!("{failure}\n"));
                failure.exit_code()
            }
        },
        Err(usage) if usage.use_stderr() => {
            told(err, usage.to_string());
            crate::journal::exit::USAGE
        }
        Err(help) => {
            told(out, help.to_string());
            crate::journal::exit::OK
        }
    }
}

//! `levelhand jobs`: lists jobs, shows one, checks one. Reads only.

mod list;
mod show;
mod verify;

#[cfg(test)]
mod tests;

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use clap::{Args, Subcommand};

use super::desk::{DeskError, Site, load};
use crate::io::clock::Clock;
use crate::io::place::Place;
use crate::journal::{Failure, JobId, exit};
use crate::record::{Seal, UNDETECTABLE};

/// Looks at jobs that were done here.
#[derive(Debug, Clone, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Jobs {
    #[command(subcommand)]
    verb: Verb,
}

const AFTER_HELP: &str = "\
An ID may be shortened to any part of it that only one job has, such as 7F3K.

Example:
  levelhand jobs list
  levelhand jobs show 7F3K
  levelhand jobs verify 7F3K --seal 42:9b1c…

Exit codes: 0 done, nothing found; 1 the record did not verify; 2 wrong usage or
no such job; 3 the disk refused; 4 the record is damaged; 5 another program holds
the job.";

#[derive(Debug, Clone, Subcommand)]
enum Verb {
    /// Lists the jobs, and the practice apart from them
    #[command(after_help = "Example:\n  levelhand jobs list")]
    List,
    /// Shows a job: what was done, by whom, as found and as left
    #[command(after_help = "Example:\n  levelhand jobs show 7F3K > 7F3K.txt")]
    Show {
        /// The job's id, or a part of it that only one job has
        id: String,
        /// As JSON, for other programs
        #[arg(long)]
        json: bool,
    },
    /// Checks a job: chain, documents, every command decided again, seal
    #[command(after_help = VERIFY_HELP.as_str())]
    Verify {
        /// The job's id, a part of it, or the path of a journal.jsonl with its
        /// "documents" directory beside it
        job: String,
        /// The seal as printed on a page or status sheet
        #[arg(long, value_name = "COUNT:HASH")]
        seal: Option<Seal>,
    },
}

static VERIFY_HELP: std::sync::LazyLock<String> = std::sync::LazyLock::new(|| {
    format!(
        "{UNDETECTABLE}\n\nExample:\n  levelhand jobs verify 7F3K --seal 42:9b1c…\n  \
         levelhand jobs verify /media/stick/20261124-7F3K9QXM/journal.jsonl"
    )
});

/// Carries the verb out: what was asked for goes to `out`, what went wrong to
/// `err`. Gives the exit code.
pub(crate) fn run(jobs: &Jobs, place: Place, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    at(
        jobs,
        &Site::real(place, Arc::new(load), Clock::start()),
        out,
        err,
    )
}

fn at(jobs: &Jobs, site: &Site, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    let done = match &jobs.verb {
        Verb::List => list::list(site, out),
        Verb::Show { id, json } => show::show(site, id, *json, out, err),
        Verb::Verify { job, seal } => verify::verify(site, job, *seal, out),
    };
    match done {
        Ok(code) => code,
        Err(JobsError::Output) => exit::STORAGE,
        Err(error) => {
            // Nobody is left to tell when this fails too.
            let _ = writeln!(err, "{error}");
            error.exit_code()
        }
    }
}

/// Why nothing could be shown.
#[derive(Debug)]
pub(super) enum JobsError {
    /// The job can't be read.
    Desk(DeskError),
    /// No job has it in its id.
    NoSuchJob {
        /// What was typed.
        typed: String,
    },
    /// Several jobs have it.
    Ambiguous {
        /// What was typed.
        typed: String,
        /// The jobs.
        jobs: Vec<JobId>,
    },
    /// What was asked for could not be written out: a closed pipe.
    Output,
}

impl JobsError {
    fn exit_code(&self) -> u8 {
        match self {
            Self::Desk(error) => error.exit_code(),
            Self::NoSuchJob { .. } | Self::Ambiguous { .. } => exit::USAGE,
            Self::Output => exit::STORAGE,
        }
    }
}

impl std::fmt::Display for JobsError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Desk(error) => write!(f, "{error}"),
            Self::NoSuchJob { typed } => write!(
                f,
                "No job here has \u{201c}{}\u{201d} in its id. See them with: levelhand jobs list",
                typed.escape_debug()
            ),
            Self::Ambiguous { typed, jobs } => {
                let jobs: Vec<&str> = jobs.iter().map(JobId::as_str).collect();
                write!(
                    f,
                    "\u{201c}{}\u{201d} could be any of {}. Type more of it.",
                    typed.escape_debug(),
                    jobs.join(", ")
                )
            }
            Self::Output => write!(f, "The output could not be written."),
        }
    }
}

impl From<DeskError> for JobsError {
    fn from(error: DeskError) -> Self {
        Self::Desk(error)
    }
}

impl From<Failure> for JobsError {
    fn from(failure: Failure) -> Self {
        Self::Desk(failure.into())
    }
}

impl From<std::io::Error> for JobsError {
    fn from(_closed: std::io::Error) -> Self {
        Self::Output
    }
}

/// The job that is meant: the whole id, or letters that only one id has, its
/// random part first. Case does not count.
pub(super) fn find(site: &Site, typed: &str) -> Result<JobId, JobsError> {
    let wanted = typed.trim().to_ascii_uppercase();
    let disk = site.disk();
    let mut ids = site.place().job_ids(disk)?;
    ids.extend(site.place().drill_ids(disk)?);
    if let Some(id) = ids.iter().find(|id| id.as_str() == wanted) {
        return Ok(id.clone());
    }
    let random = |id: &&JobId| {
        let letters = id.as_str().split_once('-').map(|(_, letters)| letters);
        letters.is_some_and(|letters| letters.starts_with(&wanted))
    };
    let anywhere = |id: &&JobId| id.as_str().contains(&wanted);
    let mut found: Vec<JobId> = ids.iter().filter(random).cloned().collect();
    if found.is_empty() {
        found = ids.iter().filter(anywhere).cloned().collect();
    }
    match (found.as_slice(), wanted.is_empty()) {
        ([one], false) => Ok(one.clone()),
        ([], _) | (_, true) => Err(JobsError::NoSuchJob {
            typed: typed.to_owned(),
        }),
        (_, false) => Err(JobsError::Ambiguous {
            typed: typed.to_owned(),
            jobs: found,
        }),
    }
}

/// Whether the word that names a job is a path.
pub(super) fn is_path(typed: &str) -> bool {
    typed.contains(['/', '\\']) || Path::new(typed).extension().is_some()
}

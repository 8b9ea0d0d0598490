//! Entry 0: what a job is pinned to, and how it was opened.

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::command::{self, OpenRec};
use super::raw;
use crate::job::{Command, Mode};
use crate::journal::{Digest, Failure, JobId, Standing, Standings};

/// The name of this form of commands and events, in entry 0.
pub const JOURNAL_FORMAT: &str = "levelhand journal 1";

/// What entry 0 binds the job to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pins {
    /// Real work or practice.
    pub mode: Mode,
    /// The job's id: a journal moved under another name is found.
    pub job: JobId,
    /// The version of the program that began it.
    pub program: String,
    /// SHA-256 of the procedure's bytes.
    pub procedure: Digest,
    /// SHA-256 of the sheet's bytes.
    pub sheet: Digest,
    /// SHA-256 of the bytes of the list of instruments.
    pub instruments: Digest,
    /// Whether they were released; `None` in records from before this was kept.
    pub released: Option<Standings>,
}

/// The command of entry 0.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BeginRec {
    format: String,
    mode: String,
    job: String,
    program: String,
    documents: DocumentsRec,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    released: Option<ReleasedRec>,
    open: OpenRec,
}

/// Whether the documents were released.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReleasedRec {
    procedure: StandingRec,
    sheet: StandingRec,
    instruments: StandingRec,
}

/// `shipped`, `released` with a name and a day, or `not`.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StandingRec {
    how: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    by: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    on: Option<String>,
}

impl StandingRec {
    fn of(standing: &Standing) -> Self {
        let (how, by, on) = match standing {
            Standing::Shipped => ("shipped", None, None),
            Standing::Released { by, on } => ("released", Some(by.clone()), Some(on.clone())),
            Standing::NotReleased => ("not", None, None),
        };
        Self {
            how: how.to_owned(),
            by,
            on,
        }
    }

    fn take(self) -> Result<Standing, String> {
        match (self.how.as_str(), self.by, self.on) {
            ("shipped", None, None) => Ok(Standing::Shipped),
            ("released", Some(by), Some(on)) => Ok(Standing::Released { by, on }),
            ("not", None, None) => Ok(Standing::NotReleased),
            (how, ..) => Err(format!("{how:?} does not say how a document was released")),
        }
    }
}

impl ReleasedRec {
    fn of(all: &Standings) -> Self {
        Self {
            procedure: StandingRec::of(&all.procedure),
            sheet: StandingRec::of(&all.sheet),
            instruments: StandingRec::of(&all.instruments),
        }
    }

    fn take(self) -> Result<Standings, String> {
        Ok(Standings {
            procedure: self.procedure.take()?,
            sheet: self.sheet.take()?,
            instruments: self.instruments.take()?,
        })
    }
}

/// SHA-256 of the documents.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DocumentsRec {
    procedure: String,
    sheet: String,
    instruments: String,
}

/// Just the name of the format, whatever else stands there.
#[derive(Deserialize)]
struct FormatRec {
    format: String,
}

pub(super) fn write(command: &Command, pins: &Pins) -> Result<Box<RawValue>, Failure> {
    let open = OpenRec::of(command).ok_or(Failure::Unwritable {
        what: "a job begins with another command than opening it",
    })?;
    raw(&BeginRec {
        format: JOURNAL_FORMAT.to_owned(),
        mode: mode_key(pins.mode).to_owned(),
        job: pins.job.to_string(),
        program: pins.program.clone(),
        documents: DocumentsRec {
            procedure: pins.procedure.to_string(),
            sheet: pins.sheet.to_string(),
            instruments: pins.instruments.to_string(),
        },
        released: pins.released.as_ref().map(ReleasedRec::of),
        open,
    })
}

/// Command, pins and the program's version, where an entry has them.
type Read = (Command, Option<Pins>, Option<String>);

/// A program's version as it may stand in a journal: letters, figures, and the
/// signs of versions. It is shown beside verdicts and must not be able to look
/// like one.
pub(super) fn version(text: &str) -> Result<String, String> {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '+' | '-');
    if (1..=40).contains(&text.len()) && text.chars().all(plain) {
        Ok(text.to_owned())
    } else {
        Err(format!("{text:?} is not a version of a program"))
    }
}

pub(super) fn read(text: &str, first: bool) -> Result<Read, String> {
    if !first {
        let (command, program) = command::read(text)?;
        return Ok((command, None, program));
    }
    if let Ok(FormatRec { format }) = serde_json::from_str(text)
        && format != JOURNAL_FORMAT
    {
        return Err(format!("the journal is of the format {format:?}"));
    }
    let record: BeginRec = serde_json::from_str(text).map_err(|error| error.to_string())?;
    let mode = [Mode::Job, Mode::Practice]
        .into_iter()
        .find(|mode| mode_key(*mode) == record.mode);
    let pins = Pins {
        mode: super::word(mode, "the mode", &record.mode)?,
        job: JobId::parse(&record.job)
            .map_err(|_bad| format!("{:?} is not a job's id", record.job))?,
        program: version(&record.program)?,
        procedure: digest(&record.documents.procedure)?,
        sheet: digest(&record.documents.sheet)?,
        instruments: digest(&record.documents.instruments)?,
        released: record.released.map(ReleasedRec::take).transpose()?,
    };
    Ok((record.open.take()?, Some(pins), Some(record.program)))
}

fn digest(text: &str) -> Result<Digest, String> {
    Digest::from_hex(text.as_bytes())
        .ok_or_else(|| format!("{text:?} is not a SHA-256 digest in small hex digits"))
}

/// The word in journals, and on every page of practice.
const fn mode_key(mode: Mode) -> &'static str {
    match mode {
        Mode::Job => "JOB",
        Mode::Practice => "PRACTICE",
    }
}

//! The check of a record: chain, documents, deciding again, seal.
//!
//! Invariant: a record is said to be good only if everything was looked at and
//! nothing was found.

use std::fmt;

use crate::job::{Mode, Setup};
use crate::journal::{
    Damage, Difference, Digest, Head, JobId, Ledger, Opened, Pins, Tail, pins, read,
};

/// What no check of the file alone can show.
pub const UNDETECTABLE: &str = "\
What stays undetectable without a printed seal: entries cut from the end; a last
entry altered or torn (it looks like a power cut); and a whole record written
anew, by someone with this program, from some entry to the end. Compare COUNT and
HASH with the seal on a printed page or status sheet (--seal COUNT:HASH). Names
are not proved, and times are those of the computer's clock.";

/// A printed seal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seal(pub Head);

/// A text that is no seal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealError {
    /// What was typed.
    pub found: String,
}

impl fmt::Display for SealError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} is not a seal; type the number of entries, a colon and the 64 small hex digits, as printed",
            self.found
        )
    }
}

impl std::error::Error for SealError {}

impl std::str::FromStr for Seal {
    type Err = SealError;

    fn from_str(text: &str) -> Result<Self, SealError> {
        let seal = || {
            let (count, hash) = text.trim().split_once(':')?;
            let plain = !count.is_empty() && count.bytes().all(|c| c.is_ascii_digit());
            let count = count.parse().ok().filter(|_| plain)?;
            let hash = Digest::from_hex(hash.as_bytes())?;
            Some(Self(Head { count, hash }))
        };
        seal().ok_or_else(|| SealError {
            found: text.to_owned(),
        })
    }
}

/// Something that is wrong with a record, or was not looked at.
#[derive(Debug, Clone, PartialEq)]
pub enum Flaw {
    /// Damage in the file; the entries before it were looked at.
    Damaged(Box<Damage>),
    /// The file ends in the middle of a line.
    Torn {
        /// How many bytes.
        bytes: u64,
    },
    /// There is no first entry.
    Empty,
    /// An entry can't be understood by this version.
    NotUnderstood(String),
    /// The journal is of another job than its directory says.
    OtherJob {
        /// The id in entry 0.
        pinned: JobId,
        /// The name of the directory.
        found: JobId,
    },
    /// A drill among the jobs, or a job among the drills.
    OtherMode,
    /// A document is not beside the journal.
    NoDocument(&'static str),
    /// A document is not the one the job was begun with.
    OtherDocument {
        /// Which.
        name: &'static str,
        /// SHA-256 in entry 0.
        pinned: Digest,
        /// SHA-256 of the file.
        found: Digest,
    },
    /// The documents can't be loaded by this version: nothing was decided again.
    NotLoaded(String),
    /// Record and engine do not agree.
    Differs(Difference),
    /// And more of them.
    MoreDiffer,
    /// The record has fewer entries than the seal says.
    CutOff {
        /// The seal's count.
        sealed: u64,
        /// The entries there are.
        found: u64,
    },
    /// The sealed entry has another hash.
    OtherSeal {
        /// The entry's number in the seal (a count).
        count: u64,
    },
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Damaged(damage) => write!(f, "The file is damaged. {damage}"),
            Self::Torn { bytes } => write!(
                f,
                "The file ends in {bytes} bytes that are no entry: a power cut, or a last entry that was altered. Only a printed seal tells which."
            ),
            Self::Empty => write!(
                f,
                "There is no whole first entry: this is not the record of a job."
            ),
            Self::NotUnderstood(what) => write!(f, "{what}"),
            Self::OtherJob { pinned, found } => write!(
                f,
                "The record says that it is job {pinned}; it lies in the place of job {found}."
            ),
            Self::OtherMode => write!(
                f,
                "The record lies among the jobs and is practice, or the other way round."
            ),
            Self::NoDocument(name) => write!(
                f,
                "{name} is not beside the journal: what followed from the commands was not decided again. Put the job's \"documents\" directory beside it."
            ),
            Self::OtherDocument {
                name,
                pinned,
                found,
            } => write!(
                f,
                "{name} is not the one this job was begun with: entry 0 says SHA-256 {pinned}, the file has {found}."
            ),
            Self::NotLoaded(what) => write!(
                f,
                "The documents can't be loaded by this version, so nothing was decided again: {}",
                crate::finding::escape(what)
            ),
            Self::Differs(difference) => write!(f, "{difference}"),
            Self::MoreDiffer => write!(f, "More entries differ than are named here."),
            Self::CutOff { sealed, found } => write!(
                f,
                "The seal says {sealed} entries; there are {found}. The end was cut off."
            ),
            Self::OtherSeal { count } => write!(
                f,
                "The first {count} entries do not give the sealed hash: the record was written anew, or the seal is of another job."
            ),
        }
    }
}

/// What a check came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// What entry 0 pins, if it can be read.
    pub pins: Option<Pins>,
    /// Count and last hash of what was read.
    pub head: Head,
    /// Entries whose workings differ in their last digits from another version's.
    pub near: usize,
    /// The versions that wrote, each with its first entry.
    pub programs: Vec<(u64, String)>,
    /// Whether a seal was compared and fits.
    pub sealed: bool,
    /// What is wrong.
    pub flaws: Vec<Flaw>,
}

impl Report {
    /// Whether everything was looked at and nothing was found.
    pub fn is_good(&self) -> bool {
        self.flaws.is_empty()
    }

    /// Whether the file itself is damaged.
    pub fn is_damaged(&self) -> bool {
        self.flaws
            .iter()
            .any(|flaw| matches!(flaw, Flaw::Damaged(_)))
    }
}

/// A record to be checked.
#[derive(Clone, Copy)]
pub struct Exhibit<'a> {
    /// The journal's bytes.
    pub journal: &'a [u8],
    /// The job whose directory it lies in, with the mode of the place; unknown
    /// for a file given by its path.
    pub stands: Option<(&'a JobId, Mode)>,
    /// The documents' bytes in the order procedure, sheet, instruments.
    pub documents: [(&'static str, Option<&'a [u8]>); 3],
    /// Makes a setup of the documents.
    pub load: &'a dyn Fn(Mode) -> Result<Setup, String>,
    /// The version at hand.
    pub program: &'a str,
    /// A printed seal.
    pub seal: Option<Seal>,
}

/// Checks a record.
pub fn verify(exhibit: &Exhibit<'_>) -> Report {
    let mut flaws = Vec::new();
    let opened = match read(exhibit.journal) {
        Ok(opened) => opened,
        Err(damage) => {
            let valid = damage.valid.clone();
            flaws.push(Flaw::Damaged(damage));
            valid
        }
    };
    if let Tail::Torn { len, .. } = opened.tail {
        flaws.push(Flaw::Torn { bytes: len });
    }
    let sealed = exhibit
        .seal
        .is_some_and(|seal| seal_fits(&opened, seal, &mut flaws));
    let mut report = Report {
        pins: None,
        head: opened.head,
        near: 0,
        programs: Vec::new(),
        sealed,
        flaws,
    };
    let Some(first) = opened.entries.first() else {
        report.flaws.push(Flaw::Empty);
        return report;
    };
    match pins(first) {
        Ok(pins) => {
            stands(exhibit, &pins, &mut report);
            if documents(exhibit, &pins, &mut report) {
                decide_again(exhibit, &opened, pins.mode, &mut report);
            }
            report.pins = Some(pins);
        }
        Err(error) => report.flaws.push(Flaw::NotUnderstood(error.to_string())),
    }
    report
}

fn seal_fits(opened: &Opened, seal: Seal, flaws: &mut Vec<Flaw>) -> bool {
    let Seal(sealed) = seal;
    match opened.head_at(sealed.count) {
        Some(head) if head == sealed => return true,
        Some(_) => flaws.push(Flaw::OtherSeal {
            count: sealed.count,
        }),
        None => flaws.push(Flaw::CutOff {
            sealed: sealed.count,
            found: opened.head.count,
        }),
    }
    false
}

fn stands(exhibit: &Exhibit<'_>, pins: &Pins, report: &mut Report) {
    let Some((job, mode)) = exhibit.stands else {
        return;
    };
    if job != &pins.job {
        report.flaws.push(Flaw::OtherJob {
            pinned: pins.job.clone(),
            found: job.clone(),
        });
    }
    if mode != pins.mode {
        report.flaws.push(Flaw::OtherMode);
    }
}

/// Whether all documents are there and the ones pinned.
fn documents(exhibit: &Exhibit<'_>, pins: &Pins, report: &mut Report) -> bool {
    let pinned = [pins.procedure, pins.sheet, pins.instruments];
    let before = report.flaws.len();
    for ((name, bytes), pinned) in exhibit.documents.into_iter().zip(pinned) {
        match bytes.map(Digest::of) {
            None => report.flaws.push(Flaw::NoDocument(name)),
            Some(found) if found != pinned => report.flaws.push(Flaw::OtherDocument {
                name,
                pinned,
                found,
            }),
            Some(_) => {}
        }
    }
    report.flaws.len() == before
}

fn decide_again(exhibit: &Exhibit<'_>, opened: &Opened, mode: Mode, report: &mut Report) {
    let setup = match (exhibit.load)(mode) {
        Ok(setup) => setup,
        Err(what) => {
            report.flaws.push(Flaw::NotLoaded(what));
            return;
        }
    };
    match Ledger::open(&setup, &opened.entries, exhibit.program) {
        Ok(ledger) => {
            let agreement = ledger.agreement;
            report.near = agreement.near.len();
            report.programs = agreement.programs;
            let differences = agreement.differences.into_iter().map(Flaw::Differs);
            report.flaws.extend(differences);
            if agreement.more {
                report.flaws.push(Flaw::MoreDiffer);
            }
        }
        Err(error) => report.flaws.push(Flaw::NotUnderstood(error.to_string())),
    }
}

//! A job that was done, held against a later revision of what it ran on.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::{Value, json};

use super::Read;
use crate::cli::desk::{DeskError, INSTRUMENTS, PROCEDURE, Papers, SHEET, Site, load};
use crate::cli::jobs::{find, is_path};
use crate::io::clock::Clock;
use crate::io::place::Place;
use crate::job::Setup;
use crate::journal::{Digest, Ledger, Told, pins, read};
use crate::revision::{Past, Visit, look_back};

/// What a job comes to.
pub(super) struct Looked {
    job: String,
    past: Past,
}

/// Looks back at a job with the new revision in place of the one it ran on.
pub(super) fn look(place: &Place, typed: &str, new: &Read) -> Result<Looked, String> {
    let site = Site::real(place.clone(), Arc::new(load), Clock::start());
    let journal = if is_path(typed) {
        PathBuf::from(typed)
    } else {
        let id = find(&site, typed).map_err(|error| error.to_string())?;
        let (folder, _) = site.find(&id).map_err(|failure| failure.to_string())?;
        folder.journal()
    };
    let (job, old, told) = entries(&site, &journal)?;
    let new = in_place(&old, new)?;
    let visits = told.iter().map(|told| Visit {
        at: told.at,
        events: &told.events,
    });
    Ok(Looked {
        job,
        past: look_back(&old, &new, visits),
    })
}

/// The job's documents, and what followed in each of its entries.
fn entries(site: &Site, journal: &Path) -> Result<(String, Setup, Vec<Told>), String> {
    let get = |path: &Path| {
        let bytes = site.disk().read(path);
        bytes.map_err(|error| format!("{} can't be read: {error}.", path.display()))
    };
    let opened = read(&get(journal)?).map_err(|damage| {
        format!("This job's file is damaged, and says nothing for sure. {damage}")
    })?;
    let first = opened.entries.first();
    let first = first.ok_or_else(|| format!("{} holds no job.", journal.display()))?;
    let pins = pins(first).map_err(|error| error.to_string())?;
    let documents = journal.parent().unwrap_or(Path::new("")).join("documents");
    let pinned = |name: &'static str, pinned: Digest| {
        let bytes = get(&documents.join(name))?;
        let found = Digest::of(&bytes);
        let other = DeskError::OtherDocument {
            name,
            pinned,
            found,
        };
        (found == pinned).then_some(bytes).ok_or(other.to_string())
    };
    let papers = Papers {
        procedure: pinned(PROCEDURE, pins.procedure)?,
        sheet: pinned(SHEET, pins.sheet)?,
        instruments: pinned(INSTRUMENTS, pins.instruments)?,
        released: None,
    };
    let setup = load(&papers, pins.mode)?;
    let job = pins.job.to_string();
    let mut ledger = Ledger::new(pins);
    let mut told = Vec::new();
    for entry in &opened.entries {
        let next = ledger.take(&setup, entry, site.program());
        told.push(next.map_err(|error| error.to_string())?);
    }
    if let Some(difference) = ledger.agreement.differences.first() {
        return Err(format!(
            "Decided again, this job does not come out as recorded, so it says nothing for sure. {difference}"
        ));
    }
    Ok((job, setup, told))
}

/// The setup with the new revision in place of the job's own.
fn in_place(old: &Setup, new: &Read) -> Result<Setup, String> {
    let other = |what: &str, id: &str| {
        format!("The job was done with the {what} {id}, and that is not what is compared here.")
    };
    let mut setup = old.clone();
    match new {
        Read::Procedure(new) if new.id == old.procedure.id => {
            setup.procedure = Arc::new((**new).clone());
        }
        Read::Sheet(new) if new.id == old.sheet.id => setup.sheet = Arc::new((**new).clone()),
        Read::Procedure(_) => return Err(other("procedure", old.procedure.id.as_str())),
        Read::Sheet(_) => return Err(other("sheet", old.sheet.id.as_str())),
        Read::Instruments(_) => {
            return Err("A job's values carry the uncertainty of the instruments they were read with; another list of instruments changes nothing of it.".to_owned());
        }
    }
    Ok(setup)
}

impl Looked {
    /// Yes, no, or nobody can tell.
    pub(super) fn would_pass(&self) -> Option<bool> {
        self.past.would_pass()
    }

    /// As text.
    pub(super) fn told(&self) -> String {
        let far = if self.past.ended {
            ""
        } else {
            ", which is not over and is looked at as far as it came"
        };
        let verdict = match self.would_pass() {
            Some(true) => "would still have passed: what it kept meets what is asked now.",
            Some(false) => "would not have passed:",
            None => {
                "may or may not have passed: what it kept meets what is asked now, and more is asked than it kept."
            }
        };
        let mut text = format!("JOB {}{far}\n  It {verdict}\n", self.job);
        // Writing to a string can't fail.
        for line in &self.past.refused {
            let _ = writeln!(text, "    {line}");
        }
        if !self.past.unknown.is_empty() {
            text.push_str("  What nobody can know any more:\n");
            for line in &self.past.unknown {
                let _ = writeln!(text, "    {line}");
            }
        }
        text
    }

    /// As data.
    pub(super) fn as_json(&self) -> Value {
        json!({
            "job": self.job,
            "ended": self.past.ended,
            "would_pass": self.would_pass(),
            "refused": self.past.refused,
            "unknown": self.past.unknown,
        })
    }
}

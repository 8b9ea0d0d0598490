//! The exact bytes of the documents that a job is pinned to.

use std::sync::Arc;

use super::DeskError;
use crate::document::{Loaded, fit, instruments, procedure, sheet};
use crate::finding::{Finding, Placed, draw_all};
use crate::job::{Mode, Setup};
use crate::journal::{Digest, Failure, FileName, Folder, JobId, Pins, Standings, Storage};

/// The procedure's file in a job.
pub(crate) const PROCEDURE: &str = "procedure.json";
/// The sheet's.
pub(crate) const SHEET: &str = "sheet.json";
/// The list of instruments'.
pub(crate) const INSTRUMENTS: &str = "instruments.json";

/// A job's documents, byte for byte.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Papers {
    /// The procedure.
    pub(crate) procedure: Vec<u8>,
    /// The sheet.
    pub(crate) sheet: Vec<u8>,
    /// The list of instruments.
    pub(crate) instruments: Vec<u8>,
    /// Whether they were released; for a job that is begun.
    pub(crate) released: Option<Standings>,
}

impl Papers {
    /// What entry 0 pins them to.
    pub(super) fn pins(&self, mode: Mode, job: &JobId, program: &str) -> Pins {
        Pins {
            mode,
            job: job.clone(),
            program: program.to_owned(),
            procedure: Digest::of(&self.procedure),
            sheet: Digest::of(&self.sheet),
            instruments: Digest::of(&self.instruments),
            released: self.released.clone(),
        }
    }

    /// As a new job's files.
    pub(super) fn files(&self) -> Result<Vec<(FileName, Vec<u8>)>, Failure> {
        [
            (PROCEDURE, &self.procedure),
            (SHEET, &self.sheet),
            (INSTRUMENTS, &self.instruments),
        ]
        .into_iter()
        .map(|(name, bytes)| Ok((FileName::parse(name)?, bytes.clone())))
        .collect()
    }

    /// Those of a job, if they are the ones it was begun with.
    pub(super) fn of_job(
        disk: &dyn Storage,
        folder: &Folder,
        pins: &Pins,
    ) -> Result<Self, DeskError> {
        let pinned = |name: &'static str, pinned: Digest| {
            let path = folder.document(&FileName::parse(name)?);
            let bytes = disk.read(&path).map_err(|source| Failure::Storage {
                doing: "read",
                path,
                source,
            })?;
            let found = Digest::of(&bytes);
            if found == pinned {
                Ok(bytes)
            } else {
                Err(DeskError::OtherDocument {
                    name,
                    pinned,
                    found,
                })
            }
        };
        Ok(Self {
            procedure: pinned(PROCEDURE, pins.procedure)?,
            sheet: pinned(SHEET, pins.sheet)?,
            instruments: pinned(INSTRUMENTS, pins.instruments)?,
            released: pins.released.clone(),
        })
    }
}

/// Makes a setup of the documents of a job that was begun already. What a later
/// version would say of its flow is not asked: a record stays readable.
///
/// # Errors
/// Everything that is wrong with them, drawn with its places. Warnings do not
/// keep a job from its documents.
pub(crate) fn load(papers: &Papers, mode: Mode) -> Result<Setup, String> {
    let mut graph = procedure(PROCEDURE, &papers.procedure);
    let mut values = sheet(SHEET, &papers.sheet);
    let mut list = instruments(INSTRUMENTS, &papers.instruments);
    let found = (graph.value.take(), values.value.take(), list.value.take());
    let (Some(procedure), Some(vehicle), Some(instruments)) = found else {
        let mut wrong = errors(&graph);
        wrong.extend(errors(&values));
        wrong.extend(errors(&list));
        return Err(draw_all(&wrong, false));
    };
    let misfits: Vec<Placed> = fit(&procedure, &vehicle, &instruments)
        .iter()
        .filter(|finding| finding.is_error())
        .map(|finding| values.places.place(finding))
        .collect();
    if !misfits.is_empty() {
        return Err(draw_all(&misfits, false));
    }
    Ok(Setup {
        procedure: Arc::new(procedure),
        sheet: Arc::new(vehicle),
        instruments: Arc::new(instruments),
        mode,
    })
}

fn errors<T>(loaded: &Loaded<T>) -> Vec<Placed> {
    let errors = loaded.findings.iter().filter(|f: &&Finding| f.is_error());
    errors.map(|finding| loaded.places.place(finding)).collect()
}

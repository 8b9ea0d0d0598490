//! Documents by their ids: the shop's own first, then those built in.

use std::collections::BTreeSet;
use std::path::PathBuf;

use super::desk::{self, Papers};
use super::shipped::{self, Shelf};
use crate::app::{Catalog, Offered};
use crate::document::{self, Loaded};
use crate::finding::{Finding, Placed, draw_all};
use crate::job::{Mode, Setup};
use crate::procedure::Procedure;
use crate::proof;

/// A document found by its id.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    /// What people call the file.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
}

/// The built-in documents.
#[derive(Debug, Clone, Default)]
pub(crate) struct Library {
    /// The shop's own documents, by shelf and id.
    own: Vec<(Shelf, String, Found)>,
}

impl Library {
    /// The built-in documents and those in the shop's directory; what can't be
    /// read there is left out and said.
    pub(crate) fn with_shop(dir: Option<PathBuf>) -> (Self, Vec<String>) {
        let mut library = Self::default();
        let mut said = Vec::new();
        let Some(dir) = dir else {
            return (library, said);
        };
        for (path, bytes) in crate::io::shop::documents(&dir, &mut said) {
            let name = path.display().to_string();
            match shipped::head(&bytes) {
                Some((shelf, id)) => library.own.push((shelf, id, Found { name, bytes })),
                None => said.push(format!(
                    "{name} is no document of this program; levelhand check says what is wrong"
                )),
            }
        }
        (library, said)
    }

    /// Adds a document that was given by its path; it comes before all others.
    pub(crate) fn add(&mut self, shelf: Shelf, id: String, found: Found) {
        self.own.insert(0, (shelf, id, found));
    }

    /// The document of that id on that shelf.
    pub(crate) fn find(&self, shelf: Shelf, id: &str) -> Option<Found> {
        let own = self.own.iter().find(|(s, i, _)| *s == shelf && i == id);
        if let Some((_, _, found)) = own {
            return Some(found.clone());
        }
        shipped::all()
            .find(|d| d.shelf == shelf && d.id == id)
            .map(|d| Found {
                name: d.path.to_owned(),
                bytes: d.bytes.to_vec(),
            })
    }

    /// What a job can be started with. Built-in titles come from the listing, which
    /// a test holds against the documents, so that nothing is parsed at launch.
    pub(crate) fn catalog(&self) -> Catalog {
        let list = |shelf: Shelf| {
            let own = self.own.iter().filter(|(s, ..)| *s == shelf);
            let mut list: Vec<Offered> = own
                .map(|(_, id, found)| Offered {
                    id: id.clone(),
                    title: shipped::title(&found.bytes).unwrap_or_else(|| id.clone()),
                    about: "the shop's own".to_owned(),
                })
                .collect();
            let built_in = shipped::all().filter(|d| d.shelf == shelf && d.offered);
            for document in built_in {
                if !list.iter().any(|o| o.id == document.id) {
                    list.push(Offered {
                        id: document.id.to_owned(),
                        title: document.title.to_owned(),
                        about: document.about.to_owned(),
                    });
                }
            }
            list
        };
        Catalog {
            procedures: list(Shelf::Procedure),
            sheets: list(Shelf::Sheet),
            instruments: list(Shelf::Instruments),
        }
    }

    /// The bytes of the three documents of a job.
    pub(crate) fn papers(
        &self,
        procedure: &str,
        sheet: &str,
        instruments: &str,
    ) -> Result<Papers, String> {
        let get = |shelf, id: &str| {
            self.find(shelf, id)
                .map(|found| found.bytes)
                .ok_or_else(|| format!("There is no document named {id} here."))
        };
        Ok(Papers {
            procedure: get(Shelf::Procedure, procedure)?,
            sheet: get(Shelf::Sheet, sheet)?,
            instruments: get(Shelf::Instruments, instruments)?,
        })
    }
}

/// A procedure with everything found in it: by reading, and by the proof.
pub(crate) struct Checked {
    /// What came of reading it.
    pub(crate) loaded: Loaded<Procedure>,
    /// Findings with their places.
    pub(crate) placed: Vec<Placed>,
    /// What was proved, if the flow could be followed.
    pub(crate) proof: Option<proof::Proof>,
}

/// Reads and proves a procedure.
pub(crate) fn check_procedure(name: &str, bytes: &[u8]) -> Checked {
    let loaded = document::procedure(name, bytes);
    // Rules find more than the flow does and the flow more than the rules: both are
    // told at once, as far as the document could be read.
    let read = loaded.value.as_ref().or(loaded.draft.as_ref());
    let mut proof = read.map(proof::prove);
    let mut findings: Vec<Finding> = loaded.findings.clone();
    if let Some(proof) = &proof {
        // Two rules are known to both sides, so that each stands alone; told once.
        let told: BTreeSet<_> = loaded.findings.iter().map(|f| f.code.as_str()).collect();
        let more = proof.findings.iter();
        findings.extend(more.filter(|f| !told.contains(f.code.as_str())).cloned());
    }
    // A draft shows more of what is wrong, but nothing is proved of it.
    proof = proof.filter(|_| loaded.value.is_some());
    Checked {
        placed: findings.iter().map(|f| loaded.places.place(f)).collect(),
        proof,
        loaded,
    }
}

/// Makes a setup of documents for new work: they must be without errors, the
/// flow over the steps among them. Says everything that is wrong otherwise.
pub(crate) fn load(papers: &Papers, mode: Mode) -> Result<Setup, String> {
    let mut wrong = check_procedure("the procedure", &papers.procedure).placed;
    wrong.retain(|p| p.finding.is_error());
    if !wrong.is_empty() {
        return Err(format!(
            "This procedure can't be used for a job.\n{}",
            draw_all(&wrong, false)
        ));
    }
    desk::load(papers, mode)
}

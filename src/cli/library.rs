//! Documents by their ids: the shop's own first, then those built in.

use std::collections::BTreeSet;
use std::path::PathBuf;

use super::desk::{self, Papers};
use super::output::complain;
use super::shipped::{self, Shelf};
use crate::app::{Catalog, Offered};
use crate::document::{self, Loaded};
use crate::finding::{Finding, Placed, draw_all};
use crate::io::place::Place;
use crate::io::released::{self, Register};
use crate::job::{Mode, Setup};
use crate::journal::{Digest, Standing, Standings, Storage};
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

/// A document of the shop's own.
#[derive(Debug, Clone)]
struct Own {
    shelf: Shelf,
    id: String,
    found: Found,
}

/// What real jobs may be begun with.
#[derive(Debug, Clone)]
struct Gate {
    register: Register,
    /// Opened to try documents out: everything may be begun, as practice.
    trial: bool,
}

/// The built-in documents and the shop's own.
#[derive(Debug, Clone, Default)]
pub(crate) struct Library {
    own: Vec<Own>,
    /// `None`: nothing is begun with these documents, they are only looked at.
    gate: Option<Gate>,
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
                Some((shelf, id)) => library.own.push(Own {
                    shelf,
                    id,
                    found: Found { name, bytes },
                }),
                // Nothing names one, so it is none of the library and none too many.
                None if shipped::shelf(&bytes) == Some(Shelf::Timetable) => {}
                None => said.push(format!(
                    "{name} is no document of this program; levelhand check says what is wrong"
                )),
            }
        }
        (library, said)
    }

    /// The same for a verb: what can't be read is complained of.
    pub(crate) fn of_verb(dir: Option<PathBuf>) -> Self {
        let (library, unreadable) = Self::with_shop(dir);
        for line in unreadable {
            complain(&line);
        }
        library
    }

    /// Adds a document that was given by its path; it comes before all others.
    pub(crate) fn add(&mut self, shelf: Shelf, id: String, found: Found) {
        self.own.insert(0, Own { shelf, id, found });
    }

    /// The documents that jobs are begun with: real ones with released documents
    /// only, practice with any. A list of releases that can't be read releases
    /// nothing.
    pub(crate) fn for_jobs(disk: &dyn Storage, place: &Place, trial: bool) -> (Self, Vec<String>) {
        let (mut library, mut said) = Self::with_shop(Some(place.documents()));
        let register = released::read(disk, place).unwrap_or_else(|failure| {
            said.push(failure.to_string());
            Register::default()
        });
        library.gate = Some(Gate { register, trial });
        (library, said)
    }

    /// The document of that id on that shelf. One of the shop's own comes first; where
    /// jobs are begun, only if it is released.
    pub(crate) fn find(&self, shelf: Shelf, id: &str) -> Option<Found> {
        let own = || {
            let own = self.own.iter();
            own.filter(|own| own.shelf == shelf && own.id == id)
        };
        let built_in = || {
            let mut all = shipped::all();
            let found = all.find(|d| d.shelf == shelf && d.id == id)?;
            Some(Found {
                name: found.path.to_owned(),
                bytes: found.bytes.to_vec(),
            })
        };
        let open = own().find(|own| self.refusal(own).is_none());
        open.map(|own| own.found.clone())
            .or_else(built_in)
            .or_else(|| own().next().map(|own| own.found.clone()))
    }

    /// What a job can be started with. Built-in titles come from the listing, which
    /// a test holds against the documents, so that nothing is parsed at launch.
    pub(crate) fn catalog(&self) -> Catalog {
        let list = |shelf: Shelf| {
            let own = self.own.iter().filter(|own| own.shelf == shelf);
            let mut list: Vec<Offered> = own.map(|own| self.offered(own)).collect();
            let built_in = shipped::all().filter(|d| d.shelf == shelf && d.offered);
            for document in built_in {
                // What is not released stands in nobody's place.
                let stands = |o: &Offered| o.id == document.id && o.refused.is_none();
                if !list.iter().any(stands) {
                    list.push(Offered {
                        id: document.id.to_owned(),
                        title: document.title.to_owned(),
                        about: document.about.to_owned(),
                        refused: None,
                        file: None,
                    });
                }
            }
            // What can be begun with stands first: it is what is taken unasked.
            list.sort_by_key(|offered| offered.refused.is_some());
            list
        };
        Catalog {
            procedures: list(Shelf::Procedure),
            sheets: list(Shelf::Sheet),
            instruments: list(Shelf::Instruments),
        }
    }

    fn offered(&self, own: &Own) -> Offered {
        let standing = self.standing(own.shelf, &own.id, &own.found.bytes);
        let about = match (&self.gate, standing) {
            (Some(_), Standing::NotReleased) => "the shop's own, not released",
            _ => "the shop's own",
        };
        Offered {
            id: own.id.clone(),
            title: shipped::title(&own.found.bytes).unwrap_or_else(|| own.id.clone()),
            about: about.to_owned(),
            refused: self.refusal(own),
            file: Some(PathBuf::from(&own.found.name)),
        }
    }

    /// Whether a document was released: built in with these very bytes, or the last
    /// release of its id has their digest.
    fn standing(&self, shelf: Shelf, id: &str, bytes: &[u8]) -> Standing {
        let built_in = shipped::all().any(|d| d.shelf == shelf && d.id == id && d.bytes == bytes);
        let last = self.gate.as_ref();
        let last = last.and_then(|gate| gate.register.last(shelf.word(), id));
        match last {
            _ if built_in => Standing::Shipped,
            Some(release) if release.sha256 == Digest::of(bytes).to_string() => {
                Standing::Released {
                    by: release.by.clone(),
                    on: release.day().to_owned(),
                }
            }
            Some(_) | None => Standing::NotReleased,
        }
    }

    /// Why no job can be begun with a document of the shop, and what to do.
    fn refusal(&self, own: &Own) -> Option<String> {
        let gate = self.gate.as_ref().filter(|gate| !gate.trial)?;
        if own.shelf.is_practice() {
            return None;
        }
        let standing = self.standing(own.shelf, &own.id, &own.found.bytes);
        if standing != Standing::NotReleased {
            return None;
        }
        if let Some(what) = &gate.register.damage {
            return Some(format!(
                "The list of releases is damaged ({what}), so nobody can say whether {} is released; levelhand release --list tells what can be read. To try it as practice: levelhand --trial.",
                own.id
            ));
        }
        let before = gate.register.last(own.shelf.word(), &own.id);
        let found = before.map_or_else(
            || "is not released".to_owned(),
            |last| format!("is not what {} released on {}", last.by, last.day()),
        );
        Some(format!(
            "{} {found}; real jobs run released documents only. Release it: levelhand release {} --by NAME, then start levelhand again. To try it as practice: levelhand --trial.",
            own.id, own.found.name
        ))
    }

    /// What is begun here.
    pub(crate) fn mode(&self) -> Mode {
        match &self.gate {
            Some(Gate { trial: false, .. }) => Mode::Job,
            Some(_) | None => Mode::Practice,
        }
    }

    /// The last look before a real job: every document of it is released.
    pub(crate) fn refuse_unreleased(papers: &Papers) -> Result<(), String> {
        let all = papers.released.as_ref();
        let open = all.is_none_or(|all| {
            [&all.procedure, &all.sheet, &all.instruments].contains(&&Standing::NotReleased)
        });
        if open {
            return Err(
                "One of these documents is not released; real jobs run released documents only. See levelhand release --help, or try it as practice: levelhand --trial."
                    .to_owned(),
            );
        }
        Ok(())
    }

    /// The bytes of the three documents of a job.
    pub(crate) fn papers(
        &self,
        procedure: &str,
        sheet: &str,
        instruments: &str,
    ) -> Result<Papers, String> {
        let get = |shelf: Shelf, id: &str| {
            self.find(shelf, id)
                .map(|found| (self.standing(shelf, id, &found.bytes), found.bytes))
                .ok_or_else(|| {
                    format!("There is no {} named {id} here. Give its file too, or lay it among the shop's documents.", shelf.word())
                })
        };
        let procedure = get(Shelf::Procedure, procedure)?;
        let sheet = get(Shelf::Sheet, sheet)?;
        let instruments = get(Shelf::Instruments, instruments)?;
        Ok(Papers {
            procedure: procedure.1,
            sheet: sheet.1,
            instruments: instruments.1,
            released: Some(Standings {
                procedure: procedure.0,
                sheet: sheet.0,
                instruments: instruments.0,
            }),
        })
    }

    /// Whether a rehearsal's text, sound or not, says that it is of this procedure.
    pub(crate) fn names_procedure(bytes: &[u8], id: &str) -> bool {
        shipped::member(bytes, "procedure").is_some_and(|named| named == id)
    }

    /// The shop's own documents of a shelf, with their names.
    pub(crate) fn own(&self, shelf: Shelf) -> impl Iterator<Item = (&str, &Found)> {
        let own = self.own.iter().filter(move |own| own.shelf == shelf);
        own.map(|own| (own.id.as_str(), &own.found))
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

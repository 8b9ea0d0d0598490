//! `levelhand author`: the author's bench on a file, and the loader that reads for
//! the bench and tells when a file was saved.
//!
//! Nothing here writes. A file is looked at before it is read, so that what is saved
//! while it is read is seen the next time.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::Args;

use super::library::check_procedure;
use super::shipped::{self, Shelf};
use crate::app::{Came, Look, Reading, Reply, Source};
use crate::document::{self, Loaded};
use crate::finding::{Finding, Placed};
use crate::io::saved::Saved;
use crate::io::shop;

/// Opens the author's bench on a procedure: what is wrong with it, its steps as the
/// mechanic meets them, what is known there. Shown anew each time the file is saved.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  levelhand author my_job.json procedures/sheets/bw_07.json\n\nNothing is written, and no job can be started there."
)]
pub(crate) struct Author {
    /// The procedure.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// A sheet, whose values stand in the steps.
    #[arg(value_name = "SHEET")]
    sheet: Option<PathBuf>,
    /// Instruments, which the limits are held against together with the sheet.
    #[arg(value_name = "INSTRUMENTS")]
    instruments: Option<PathBuf>,
}

impl Author {
    /// What the bench is to look at.
    ///
    /// # Errors
    /// In a sentence, when a file can't be read or is a document of another kind.
    pub(crate) fn look(&self) -> Result<Look, String> {
        takes(&self.file, Shelf::Procedure)?;
        for (file, shelf) in [
            (&self.sheet, Shelf::Sheet),
            (&self.instruments, Shelf::Instruments),
        ] {
            if let Some(file) = file {
                takes(file, shelf)?;
            }
        }
        Ok(Look {
            procedure: Source::File(self.file.clone()),
            sheet: self.sheet.clone().map(Source::File),
            instruments: self.instruments.clone().map(Source::File),
        })
    }
}

/// Whether a file can be read and says nothing else of itself than what is wanted. A
/// text that can't be understood is taken: mending it is what the bench is for.
fn takes(file: &Path, wanted: Shelf) -> Result<(), String> {
    let name = file.display();
    let bytes = shop::read(file)
        .map_err(|e| format!("{name} can't be read: {e}. Give the path of a document."))?;
    match shipped::shelf(&bytes) {
        Some(found) if found != wanted => Err(format!(
            "{name} is {}, and here {} is wanted: levelhand author FILE [SHEET] [INSTRUMENTS].",
            found.called(),
            wanted.called()
        )),
        Some(_) | None => Ok(()),
    }
}

/// What a file was when it was read.
type Seen = Vec<(PathBuf, Option<Saved>)>;

/// Reads for the bench.
#[derive(Debug, Default)]
pub(crate) struct Loader {
    seen: Option<(Look, Seen)>,
}

impl Loader {
    /// Reads everything.
    pub(crate) fn look(&mut self, look: Look) -> Reply {
        let files = files(&look);
        let seen: Seen = files
            .into_iter()
            .map(|path| {
                let saved = Saved::of(&path);
                (path, saved)
            })
            .collect();
        let saved_again = !seen.is_empty();
        let came = read(&look);
        self.seen = Some((look.clone(), seen));
        Reply::Looked {
            look: Box::new(look),
            came,
            saved_again,
        }
    }

    /// Reads everything if any of it was saved since.
    pub(crate) fn again(&mut self, look: Look) -> Reply {
        let same = self.seen.as_ref().is_some_and(|(of, seen)| {
            *of == look && seen.iter().all(|(path, saved)| Saved::of(path) == *saved)
        });
        if same {
            return Reply::Looked {
                look: Box::new(look),
                came: Came::Same,
                saved_again: true,
            };
        }
        self.look(look)
    }
}

/// The files of a look; what is built in is none.
fn files(look: &Look) -> Vec<PathBuf> {
    let sources = [
        Some(&look.procedure),
        look.sheet.as_ref(),
        look.instruments.as_ref(),
    ];
    let files = sources
        .into_iter()
        .flatten()
        .filter_map(|source| match source {
            Source::File(path) => Some(path.clone()),
            Source::BuiltIn(_) => None,
        });
    files.collect()
}

/// The name and the bytes of a document, or why it can't be read.
fn fetch(shelf: Shelf, source: &Source) -> Result<(String, Vec<u8>), String> {
    match source {
        Source::File(path) => {
            let name = path.display().to_string();
            match shop::read(path) {
                Ok(bytes) => Ok((name, bytes)),
                Err(error) => Err(format!("{name} can't be read: {error}.")),
            }
        }
        Source::BuiltIn(id) => {
            let mut all = shipped::all();
            let found = all.find(|d| d.shelf == shelf && d.id == *id);
            let found =
                found.ok_or_else(|| format!("No {} named {id} is built in.", shelf.word()))?;
            Ok((found.path.to_owned(), found.bytes.to_vec()))
        }
    }
}

fn read(look: &Look) -> Came {
    let (name, bytes) = match fetch(Shelf::Procedure, &look.procedure) {
        Ok(found) => found,
        Err(why) => return Came::Unreadable(why),
    };
    let checked = check_procedure(&name, &bytes);
    let mut beside = Vec::new();
    let mut given = |shelf, source: &Option<Source>| {
        let fetched = fetch(shelf, source.as_ref()?);
        fetched.map_err(|why| beside.push(why)).ok()
    };
    let sheet = given(Shelf::Sheet, &look.sheet);
    let sheet = sheet.map(|(name, bytes)| document::sheet(&name, &bytes));
    let instruments = given(Shelf::Instruments, &look.instruments);
    let instruments = instruments.map(|(name, bytes)| document::instruments(&name, &bytes));
    let mut findings = checked.placed;
    // As they stand in the text: what no place is known of comes last.
    findings.sort_by_key(|p| p.place.as_ref().map_or(usize::MAX, |at| at.span.0));
    let loaded = checked.loaded;
    if let Some(sheet) = &sheet {
        findings.extend(sheet.placed());
        told(sheet, "the sheet", &mut beside);
    }
    if let Some(instruments) = &instruments {
        findings.extend(instruments.placed());
        told(instruments, "the instruments", &mut beside);
    }
    if let (Some(sheet), Some(instruments)) = (&sheet, &instruments)
        && let (Some(p), Some(s), Some(i)) = (&loaded.value, &sheet.value, &instruments.value)
    {
        let fit = document::fit(p, s, i);
        let placed = fit.iter().map(|f: &Finding| sheet.places.place(f));
        findings.extend(placed.collect::<Vec<Placed>>());
    }
    let followed = match (loaded.value, checked.proof) {
        (Some(procedure), Some(proof)) => Some((Arc::new(procedure), proof.facts)),
        _ => None,
    };
    Came::Read(Box::new(Reading {
        name,
        followed,
        places: loaded.places,
        findings,
        sheet: sheet.and_then(|s| s.value).map(Arc::new),
        instruments: instruments.and_then(|i| i.value).map(Arc::new),
        beside,
    }))
}

fn told<T>(loaded: &Loaded<T>, what: &str, beside: &mut Vec<String>) {
    if loaded.value.is_none() {
        beside.push(format!(
            "With its errors {what} can't be used; the steps are shown without."
        ));
    }
}

#[cfg(test)]
#[expect(
    clippy::disallowed_methods,
    reason = "a file is saved here as an editor would, without the care of a journal"
)]
mod tests {
    use super::*;
    use crate::cli::sample::PROCEDURE;

    fn came(reply: Reply) -> (Came, bool) {
        let Reply::Looked {
            came, saved_again, ..
        } = reply
        else {
            panic!("no answer to a look: {reply:?}");
        };
        (came, saved_again)
    }

    fn only(procedure: Source) -> Look {
        Look {
            procedure,
            sheet: None,
            instruments: None,
        }
    }

    #[test]
    fn a_file_is_read_again_only_when_it_was_saved() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("mine.json");
        std::fs::write(&path, PROCEDURE).unwrap();
        let mut loader = Loader::default();
        let look = only(Source::File(path.clone()));
        let (first, saved_again) = came(loader.look(look.clone()));
        let Came::Read(first) = first else {
            panic!("not read: {first:?}");
        };
        assert!(saved_again && first.followed.is_some());
        let mut again = || came(loader.again(look.clone())).0;
        assert!(matches!(again(), Came::Same));
        std::fs::write(&path, &PROCEDURE[..PROCEDURE.len() / 2]).unwrap();
        let half = again();
        assert!(matches!(&half, Came::Read(r) if r.followed.is_none() && !r.findings.is_empty()));
        std::fs::remove_file(&path).unwrap();
        assert!(matches!(again(), Came::Unreadable(_)));
        assert!(matches!(again(), Came::Same), "told once");
        std::fs::write(&path, PROCEDURE).unwrap();
        assert!(matches!(again(), Came::Read(r) if r.followed.is_some()));
    }

    #[test]
    fn what_is_built_in_is_never_saved_again() {
        let mut loader = Loader::default();
        let look = only(Source::BuiltIn("height_check".to_owned()));
        let (read, saved_again) = came(loader.look(look));
        assert!(!saved_again);
        assert!(matches!(read, Came::Read(r) if r.followed.is_some()));
        let nowhere = only(Source::BuiltIn("no_such".to_owned()));
        let (unread, _) = came(loader.look(nowhere));
        assert!(matches!(unread, Came::Unreadable(why) if why.contains("no_such")));
    }
}

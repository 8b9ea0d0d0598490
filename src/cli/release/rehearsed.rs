//! Every rehearsal of a procedure, played before its release.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use crate::cli::desk::{Papers, load};
use crate::cli::library::Library;
use crate::cli::rehearse::titled;
use crate::cli::shipped::{self, Shelf};
use crate::document;
use crate::io::place::Place;
use crate::io::shop;
use crate::job::{Mode, Setup};
use crate::procedure::Procedure;
use crate::rehearsal::{Rehearsal, Walk, every_way, play};

/// What playing them found.
#[derive(Debug, Default)]
pub(super) struct Played {
    /// How many came out as written.
    pub(super) as_written: usize,
    /// What did not, or could not be played.
    pub(super) wrong: Vec<String>,
    /// Ways that none of them walked.
    pub(super) unwalked: Vec<String>,
}

/// Documents by shelf and id; a later layer takes the place of an earlier one.
#[derive(Default)]
struct Pool {
    papers: BTreeMap<(Shelf, String), Vec<u8>>,
    scripts: BTreeMap<String, Rehearsal>,
    /// The files of this layer, with their bytes, by shelf and id.
    layer: BTreeMap<(Shelf, String), (String, Vec<u8>)>,
    /// Two files of one layer that say they are the same document, and are not.
    twice: BTreeMap<(Shelf, String), [String; 2]>,
    /// Rehearsals of this procedure that have errors.
    wrong: Vec<String>,
    /// The rehearsals of the layer put in last.
    last: BTreeSet<String>,
}

/// Plays the rehearsals of a procedure: those given, or else all that are built in, in
/// the shop's documents, or beside the file.
pub(super) fn rehearse(
    place: &Place,
    file: &Path,
    (bytes, procedure): (&[u8], &Procedure),
    with: &[PathBuf],
) -> Result<Played, String> {
    let id = procedure.id.as_str();
    let mut pool = Pool::default();
    for built_in in shipped::all() {
        pool.put(built_in.path, built_in.bytes, id);
    }
    pool.begin_layer();
    let mut unread = Vec::new();
    let beside = file.parent().filter(|dir| !dir.as_os_str().is_empty());
    for dir in [&place.documents(), beside.unwrap_or(Path::new("."))] {
        for (path, bytes) in shop::documents(dir, &mut unread) {
            pool.put(&path.display().to_string(), &bytes, id);
        }
    }
    // What can't be read may be a rehearsal that comes out otherwise.
    pool.wrong.append(&mut unread);
    pool.begin_layer();
    for path in with {
        let name = path.display().to_string();
        let bytes = shop::read(path).map_err(|error| format!("{name} can't be read: {error}."))?;
        pool.put(&name, &bytes, id);
    }
    pool.refuse_twice(procedure)?;
    Ok(pool.play(bytes, procedure))
}

/// That two files say they are one document: both, and what to do.
pub(in crate::cli) fn one_id(shelf: Shelf, id: &str, [one, other]: &[String; 2]) -> String {
    format!(
        "{one} and {other} are both the {} named {id}, and they differ; nobody can tell which is meant. Give one of them another id, or take it away.",
        shelf.word()
    )
}

impl Pool {
    /// What comes now may take the place of all that is there.
    fn begin_layer(&mut self) {
        self.last.clear();
        self.layer.clear();
    }

    /// Notes a file, and whether another of its layer says that it is the same document.
    fn note(&mut self, key: &(Shelf, String), name: &str, bytes: &[u8]) {
        match self.layer.get(key) {
            Some((_, there)) if there == bytes => {}
            Some((other, _)) => {
                let both = [other.clone(), name.to_owned()];
                self.twice.insert(key.clone(), both);
            }
            None => {
                self.twice.remove(key);
                let it = (name.to_owned(), bytes.to_vec());
                self.layer.insert(key.clone(), it);
            }
        }
    }

    /// Stops where a document that is played, or needed for it, is there twice.
    fn refuse_twice(&self, procedure: &Procedure) -> Result<(), String> {
        let mut used: BTreeSet<(Shelf, String)> = BTreeSet::new();
        for script in self.chosen(procedure) {
            used.insert((Shelf::Rehearsal, script.id.clone()));
            used.extend(script.like.iter().map(|id| (Shelf::Rehearsal, id.clone())));
            used.insert((Shelf::Sheet, script.sheet.to_string()));
            used.insert((Shelf::Instruments, script.instruments.clone()));
        }
        match self.twice.iter().find(|(key, _)| used.contains(*key)) {
            Some(((shelf, id), both)) => Err(one_id(*shelf, id, both)),
            None => Ok(()),
        }
    }

    /// The rehearsals to play.
    fn chosen(&self, procedure: &Procedure) -> impl Iterator<Item = &Rehearsal> {
        self.scripts.values().filter(|script| {
            let given = self.last.is_empty() || self.last.contains(&script.id);
            script.procedure == procedure.id && given
        })
    }

    fn put(&mut self, name: &str, bytes: &[u8], procedure: &str) {
        let Some((shelf, id)) = shipped::head(bytes) else {
            return;
        };
        self.note(&(shelf, id.clone()), name, bytes);
        if shelf != Shelf::Rehearsal {
            self.papers.insert((shelf, id), bytes.to_vec());
            return;
        }
        let loaded = document::rehearsal(name, bytes);
        match loaded.value {
            Some(script) => {
                self.last.insert(script.id.clone());
                // Of two of one id the one of this procedure is kept, so that it is told.
                let twice = self.twice.contains_key(&(shelf, id));
                if !twice || script.procedure.as_str() == procedure {
                    self.scripts.insert(script.id.clone(), script);
                }
            }
            None if Library::names_procedure(bytes, procedure) => self.wrong.push(format!(
                "{name} has errors; levelhand check {name} says which"
            )),
            None => {}
        }
    }

    fn play(self, bytes: &[u8], procedure: &Procedure) -> Played {
        let mut played = Played {
            wrong: self.wrong.clone(),
            ..Played::default()
        };
        let mut walked: BTreeSet<Walk> = BTreeSet::new();
        let mut setups: BTreeMap<[String; 2], Setup> = BTreeMap::new();
        for script in self.chosen(procedure) {
            match self.one(bytes, script, &mut setups) {
                Ok(ways) => {
                    played.as_written += 1;
                    walked.extend(ways);
                }
                Err(what) => played.wrong.push(what),
            }
        }
        let ways = every_way(procedure).into_iter();
        let unwalked = ways.filter(|way| !walked.contains(way));
        played.unwalked = unwalked.map(|way| titled(procedure, &way)).collect();
        played
    }

    fn one(
        &self,
        procedure: &[u8],
        script: &Rehearsal,
        setups: &mut BTreeMap<[String; 2], Setup>,
    ) -> Result<BTreeSet<Walk>, String> {
        let key = [script.sheet.to_string(), script.instruments.clone()];
        if !setups.contains_key(&key) {
            let get = |shelf: Shelf, id: &String| {
                let found = self.papers.get(&(shelf, id.clone())).cloned();
                found.ok_or_else(|| {
                    format!("{}: there is no {} named {id}", script.id, shelf.word())
                })
            };
            let papers = Papers {
                procedure: procedure.to_vec(),
                sheet: get(Shelf::Sheet, &key[0])?,
                instruments: get(Shelf::Instruments, &key[1])?,
                released: None,
            };
            let setup =
                load(&papers, Mode::Practice).map_err(|what| format!("{}: {what}", script.id))?;
            setups.insert(key.clone(), setup);
        }
        let setup = setups.get(&key).ok_or("no setup")?;
        let base = match &script.like {
            Some(like) => Some(self.scripts.get(like).ok_or_else(|| {
                format!(
                    "{}: is like {like}, and there is no such rehearsal",
                    script.id
                )
            })?),
            None => None,
        };
        play(setup, script, base)
            .map(|played| played.ways)
            .map_err(|difference| difference.to_string())
    }
}

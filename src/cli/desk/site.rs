//! Where jobs are done: the data directory, the disk, the clock, chance, and how
//! documents become a setup. All of it comes in from outside, so that a test can
//! be the world.

use std::fmt;
use std::path::Path;
use std::sync::Arc;

use super::{DeskError, Papers};
use crate::io::clock::Clock;
use crate::io::disk::Disk;
use crate::io::place::Place;
use crate::io::seed;
use crate::job::{At, Mode, Setup};
use crate::journal::{DirId, Failure, Folder, Holder, JobId, Stamp, Storage};

/// Makes a setup of documents, or says everything that is wrong with them.
pub(crate) type Load = Arc<dyn Fn(&Papers, Mode) -> Result<Setup, String> + Send + Sync>;
/// The clocks.
pub(crate) type Now = Arc<dyn Fn() -> Stamp + Send + Sync>;
/// Random bits, for names only.
pub(crate) type Chance = Arc<dyn Fn() -> Result<u64, Failure> + Send + Sync>;

/// The world around a job.
#[derive(Clone)]
pub(crate) struct Site {
    place: Place,
    disk: Arc<dyn Storage>,
    now: Now,
    chance: Chance,
    load: Load,
    program: String,
}

impl fmt::Debug for Site {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Site")
            .field("place", &self.place)
            .field("program", &self.program)
            .finish_non_exhaustive()
    }
}

impl Site {
    /// This computer, with the data at `place`; its clock is the whole program's, so
    /// that instants of keys and of entries can be compared.
    pub(crate) fn real(place: Place, load: Load, clock: Clock) -> Self {
        Self {
            place,
            disk: Arc::new(Disk),
            now: Arc::new(move || clock.now()),
            chance: Arc::new(seed::bits),
            load,
            program: env!("CARGO_PKG_VERSION").to_owned(),
        }
    }

    /// A world of one's own.
    #[cfg(test)]
    pub(crate) fn of(
        place: Place,
        disk: Arc<dyn Storage>,
        now: Now,
        chance: Chance,
        load: Load,
    ) -> Self {
        Self {
            place,
            disk,
            now,
            chance,
            load,
            program: "9.9.9-test".to_owned(),
        }
    }

    /// The data directory.
    pub(crate) fn place(&self) -> &Place {
        &self.place
    }

    /// The disk.
    pub(crate) fn disk(&self) -> &dyn Storage {
        self.disk.as_ref()
    }

    /// The version of the program.
    pub(crate) fn program(&self) -> &str {
        &self.program
    }

    /// Now.
    pub(crate) fn now(&self) -> Stamp {
        (self.now)()
    }

    /// An engine's instant as a journal's.
    #[expect(clippy::unused_self, reason = "an instant belongs to the site's clock")]
    pub(super) fn stamp_of(&self, at: At) -> Stamp {
        Stamp {
            wall_ms: at.wall_ms,
            offset_min: at.offset_min,
            mono_ms: at.mono_ms,
        }
    }

    /// A setup of documents.
    pub(crate) fn load(&self, papers: &Papers, mode: Mode) -> Result<Setup, DeskError> {
        (self.load)(papers, mode).map_err(|what| DeskError::Document { what })
    }

    /// Where jobs of a mode lie.
    pub(super) fn parent(&self, mode: Mode) -> std::path::PathBuf {
        match mode {
            Mode::Job => self.place.jobs(),
            Mode::Practice => self.place.practice(),
        }
    }

    /// A job's directory, and whether it stands among the jobs or the practice.
    pub(crate) fn find(&self, id: &JobId) -> Result<(Folder, Mode), Failure> {
        let exists = |path: &Path| {
            self.disk.exists(path).map_err(|source| Failure::Storage {
                doing: "look at",
                path: path.to_owned(),
                source,
            })
        };
        let (job, drill) = (self.place.job(id), self.place.drill(id));
        if !exists(job.path())? && exists(drill.path())? {
            return Ok((drill, Mode::Practice));
        }
        Ok((job, Mode::Job))
    }

    /// A new job's id.
    pub(super) fn draw_job(&self) -> Result<JobId, Failure> {
        JobId::new(self.now().wall_ms, (self.chance)()?)
    }

    /// The data directory's id, made with the directory at the first job.
    pub(super) fn settle(&self) -> Result<DirId, Failure> {
        self.place.settle(self.disk(), DirId::new((self.chance)()?))
    }

    /// A number for a session.
    pub(super) fn draw_session(&self) -> Result<u32, Failure> {
        (self.chance)().map(|bits| bits as u32)
    }

    /// Who holds a job here.
    pub(super) fn holder(&self, who: &str) -> Holder {
        Holder {
            pid: std::process::id(),
            who: who.to_owned(),
            since: self.now().rfc3339().unwrap_or_default(),
            host: None,
        }
    }
}

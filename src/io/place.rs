//! Where the program's data lie. Finding the place makes nothing.

use std::path::{Path, PathBuf};

use etcetera::BaseStrategy as _;

use crate::journal::{DirId, Failure, Folder, JobId, Storage, ensure_dir, replace};

/// The directory's name under the platform's own.
const NAME: &str = "levelhand";

/// The data directory.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place(PathBuf);

impl Place {
    /// The directory that was asked for, or the platform's: XDG on Linux,
    /// Application Support on macOS, `LocalAppData` on Windows.
    pub fn find(asked: Option<PathBuf>) -> Result<Self, Failure> {
        asked
            .map_or_else(|| platform().map(|dir| dir.join(NAME)), Ok)
            .map(Self)
    }

    /// The directory itself.
    pub fn root(&self) -> &Path {
        &self.0
    }

    /// The file with the directory's own id.
    pub fn id(&self) -> PathBuf {
        self.0.join("id")
    }

    /// Real jobs.
    pub fn jobs(&self) -> PathBuf {
        self.0.join("jobs")
    }

    /// Drills. Never among the jobs.
    pub fn practice(&self) -> PathBuf {
        self.0.join("practice")
    }

    /// The shop's own procedures, sheets and instruments.
    pub fn documents(&self) -> PathBuf {
        self.0.join("documents")
    }

    /// Which digests the lead hand has released.
    pub fn released(&self) -> PathBuf {
        self.0.join("released.jsonl")
    }

    /// How the program shows things.
    pub fn settings(&self) -> PathBuf {
        self.0.join("settings.json")
    }

    /// What can be made again at any time.
    pub fn index(&self) -> PathBuf {
        self.0.join("index")
    }

    /// A real job's directory.
    pub fn job(&self, id: &JobId) -> Folder {
        Folder::new(&self.jobs(), id)
    }

    /// A drill's directory.
    pub fn drill(&self, id: &JobId) -> Folder {
        Folder::new(&self.practice(), id)
    }

    /// The directory's id; made, with the directory, at the first job.
    pub fn settle(&self, disk: &dyn Storage, fresh: DirId) -> Result<DirId, Failure> {
        ensure_dir(disk, &self.0)?;
        let path = self.id();
        if let Some(id) = self.settled(disk)? {
            return Ok(id);
        }
        // Absent, or cut short before anyone could have used it.
        replace(disk, &path, format!("{fresh}\n").as_bytes())?;
        Ok(fresh)
    }

    /// The directory's id, if it has one.
    pub fn settled(&self, disk: &dyn Storage) -> Result<Option<DirId>, Failure> {
        let path = self.id();
        match disk.read(&path) {
            Ok(bytes) => Ok(std::str::from_utf8(&bytes)
                .ok()
                .and_then(|text| DirId::parse(text.trim_end()))),
            Err(source) if source.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(source) => Err(Failure::Storage {
                doing: "read",
                path,
                source,
            }),
        }
    }

    /// The ids of the real jobs, oldest day first. Names that are no ids are
    /// left out. No directory, no jobs.
    pub fn job_ids(&self, disk: &dyn Storage) -> Result<Vec<JobId>, Failure> {
        ids(disk, self.jobs())
    }

    /// The ids of the drills, oldest day first.
    pub fn drill_ids(&self, disk: &dyn Storage) -> Result<Vec<JobId>, Failure> {
        ids(disk, self.practice())
    }
}

fn ids(disk: &dyn Storage, dir: PathBuf) -> Result<Vec<JobId>, Failure> {
    match disk.list(&dir) {
        Ok(names) => Ok(names
            .iter()
            .filter_map(|name| JobId::parse(name).ok())
            .collect()),
        Err(source) if source.kind() == std::io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(source) => Err(Failure::Storage {
            doing: "list",
            path: dir,
            source,
        }),
    }
}

#[cfg(windows)]
fn platform() -> Result<PathBuf, Failure> {
    // `LocalAppData`: a shop's records do not roam with a login.
    etcetera::base_strategy::Windows::new()
        .map(|strategy| strategy.cache_dir())
        .map_err(|_absent| Failure::NoHome)
}

#[cfg(target_os = "macos")]
fn platform() -> Result<PathBuf, Failure> {
    etcetera::base_strategy::Apple::new()
        .map(|strategy| strategy.data_dir())
        .map_err(|_absent| Failure::NoHome)
}

#[cfg(not(any(windows, target_os = "macos")))]
fn platform() -> Result<PathBuf, Failure> {
    etcetera::base_strategy::Xdg::new()
        .map(|strategy| strategy.data_dir())
        .map_err(|_absent| Failure::NoHome)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::fault::Memory;

    #[test]
    fn finds_its_place_and_makes_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let asked = dir.path().join("shop");
        let place = Place::find(Some(asked.clone())).unwrap();
        assert_eq!(place.root(), asked);
        assert!(!asked.exists());
        assert!(Place::find(None).unwrap().root().ends_with(NAME));
    }

    #[test]
    fn settles_on_one_id_for_ever() {
        let (disk, place) = (Memory::new(), Place(PathBuf::from("/shop")));
        assert_eq!(place.settled(&disk).unwrap(), None);
        let first = place.settle(&disk, DirId::new(1)).unwrap();
        assert_eq!(place.settle(&disk, DirId::new(2)).unwrap(), first);
        disk.put(&place.id(), b"7F3K");
        assert_eq!(
            place.settle(&disk, DirId::new(3)).unwrap(),
            DirId::new(3),
            "a torn id was never used"
        );
    }

    #[test]
    fn lists_jobs_by_their_ids_and_nothing_else() {
        let (disk, place) = (Memory::new(), Place(PathBuf::from("/shop")));
        assert_eq!(place.job_ids(&disk).unwrap(), []);
        for name in [
            "20261125-7F3K9QXM",
            "20261124-ZZZZZZZZ",
            "notes",
            "..",
            "20261124-7F3K9QXU",
        ] {
            disk.put(&place.jobs().join(name).join("journal.jsonl"), b"");
        }
        let found = place.job_ids(&disk).unwrap();
        let names: Vec<&str> = found.iter().map(JobId::as_str).collect();
        assert_eq!(names, ["20261124-ZZZZZZZZ", "20261125-7F3K9QXM"]);
        assert_eq!(place.drill_ids(&disk).unwrap(), []);
    }
}

//! Whether a file was saved since: what its directory entry tells, no more.

use std::path::Path;
use std::time::SystemTime;

/// What tells one saving of a file from the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Saved {
    size: u64,
    modified: Option<SystemTime>,
}

impl Saved {
    /// What a directory entry with this time and size tells.
    pub const fn new(modified: Option<SystemTime>, size: u64) -> Self {
        Self { size, modified }
    }

    /// How the file at this path was saved last; `None`: there is none to be read.
    pub fn of(path: &Path) -> Option<Self> {
        let about = std::fs::metadata(path).ok()?;
        Some(Self::new(about.modified().ok(), about.len()))
    }
}

#[cfg(test)]
#[expect(
    clippy::disallowed_methods,
    reason = "a file is saved here as an editor would, without the care of a journal"
)]
mod tests {
    use super::*;

    #[test]
    fn another_length_or_another_time_is_another_saving_and_no_file_is_none() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.json");
        assert_eq!(Saved::of(&path), None);
        std::fs::write(&path, "{}").unwrap();
        let first = Saved::of(&path);
        assert!(first.is_some());
        assert_eq!(Saved::of(&path), first, "nothing was saved");
        std::fs::write(&path, "{ }").unwrap();
        let second = Saved::of(&path);
        assert_ne!(second, first);
        let earlier = SystemTime::UNIX_EPOCH;
        let file = std::fs::File::options().write(true).open(&path).unwrap();
        file.set_modified(earlier).unwrap();
        assert_ne!(Saved::of(&path), second, "put back from an older copy");
    }
}

//! Where the parts of one job lie.

use std::fmt;
use std::path::{Path, PathBuf};

use super::{Failure, JobId};

/// A job's directory, named by its id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Folder(PathBuf);

impl Folder {
    /// The directory of job `id` under `parent` (the real or the practice jobs).
    pub fn new(parent: &Path, id: &JobId) -> Self {
        Self(parent.join(id.as_str()))
    }

    /// The directory itself.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// The journal.
    pub fn journal(&self) -> PathBuf {
        self.0.join("journal.jsonl")
    }

    /// The exact bytes of the procedure, sheet and instruments.
    pub fn documents(&self) -> PathBuf {
        self.0.join("documents")
    }

    /// One of those documents.
    pub fn document(&self, name: &FileName) -> PathBuf {
        self.documents().join(name.as_str())
    }

    /// The plain-text status sheet.
    pub fn status(&self) -> PathBuf {
        self.0.join("status.txt")
    }

    /// The file that is locked while a program holds the job.
    pub fn lock(&self) -> PathBuf {
        self.0.join("lock")
    }

    /// Who holds it. Not in the locked file, which Windows lets nobody read.
    pub fn holder(&self) -> PathBuf {
        self.0.join("holder.json")
    }

    /// Space kept free for a safe stop on a full disk.
    pub fn reserve(&self) -> PathBuf {
        self.0.join("reserve")
    }
}

/// The name of a document in a job: 1 to 64 small letters, digits, points,
/// hyphens and underscores, beginning with a letter or digit.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FileName(String);

impl FileName {
    /// Takes a name that matches the pattern and refuses anything else.
    pub fn parse(typed: &str) -> Result<Self, Failure> {
        let plain = |letter: u8| letter.is_ascii_lowercase() || letter.is_ascii_digit();
        let valid = (1..=64).contains(&typed.len())
            && typed.bytes().next().is_some_and(plain)
            && typed
                .bytes()
                .all(|letter| plain(letter) || b".-_".contains(&letter));
        if valid {
            Ok(Self(typed.to_owned()))
        } else {
            Err(Failure::BadFileName {
                typed: typed.to_owned(),
            })
        }
    }

    /// The name's text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for FileName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_a_document_name_that_leaves_its_directory() {
        assert_eq!(
            FileName::parse("procedure.json").unwrap().as_str(),
            "procedure.json"
        );
        let long = "a".repeat(65);
        for typed in [
            "", ".", "..", "../x", "a/b", "a\\b", "/x", ".hidden", "A.json", "a b", "a\n", "é",
            &long,
        ] {
            assert!(FileName::parse(typed).is_err(), "{typed:?}");
        }
    }
}

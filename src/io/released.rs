//! `released.jsonl` of the data directory: which documents were released, by whom,
//! when. Beside it, in `released/`, the exact bytes of each.
//!
//! Invariants: lines are only ever added, each chained to the one before by its
//! SHA-256 and synced before anyone is told; what stands after a damaged line does not
//! count. For one id the last release is the one that counts. A last line that was cut
//! short was never told to anyone, and is cut off by the next release.

use std::collections::BTreeMap;
use std::io;
use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use super::place::Place;
use crate::journal::{Digest, Failure, Storage, ensure_dir, replace};

/// One release.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Release {
    /// `procedure`, `sheet` or `instruments`.
    pub kind: String,
    /// The document's id.
    pub id: String,
    /// Its revision; a list of instruments has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revision: Option<u32>,
    /// Its title.
    pub title: String,
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// When, as RFC 3339.
    pub at: String,
    /// By whom; names are not proved.
    pub by: String,
    /// Why, in a few words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub because: Option<String>,
    /// Demands that shrank, each with the reason why that is right.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub shrunk: BTreeMap<String, String>,
}

impl Release {
    /// The day.
    pub fn day(&self) -> &str {
        self.at.get(..10).unwrap_or(&self.at)
    }
}

/// What was released here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Register {
    /// The releases in their order, up to the first damaged line.
    pub releases: Vec<Release>,
    /// What is wrong with the first line that is.
    pub damage: Option<String>,
    /// A last line was cut short: so many bytes.
    pub torn: usize,
    last: Digest,
    whole: u64,
}

impl Default for Register {
    fn default() -> Self {
        Self {
            releases: Vec::new(),
            damage: None,
            torn: 0,
            last: Digest::NOTHING,
            whole: 0,
        }
    }
}

/// A line; `h` stands behind it, over its bytes.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    v: u32,
    n: usize,
    release: Release,
    prev: String,
}

impl Register {
    /// The release of a document that counts: the last of its kind and id.
    pub fn last(&self, kind: &str, id: &str) -> Option<&Release> {
        let mut all = self.releases.iter().rev();
        all.find(|release| release.kind == kind && release.id == id)
    }

    /// Reads the bytes of a register.
    pub fn parse(bytes: &[u8]) -> Self {
        let mut register = Self::default();
        for line in bytes.split_inclusive(|byte| *byte == b'\n') {
            let Some(text) = line.strip_suffix(b"\n") else {
                register.torn = line.len();
                break;
            };
            if let Err(what) = register.take(text) {
                let number = register.releases.len() + 1;
                register.damage = Some(format!("line {number}: {what}"));
                break;
            }
            register.whole += line.len() as u64;
        }
        register
    }

    fn take(&mut self, line: &[u8]) -> Result<(), String> {
        let text = std::str::from_utf8(line).map_err(|error| error.to_string())?;
        let (body, seal) = text
            .rsplit_once(",\"h\":\"")
            .ok_or("it does not end in its hash")?;
        let hash = seal
            .strip_suffix("\"}")
            .and_then(|hex| Digest::from_hex(hex.as_bytes()))
            .ok_or("it does not end in its hash")?;
        if Digest::of(body.as_bytes()) != hash {
            return Err("it was altered: its bytes do not give its hash".to_owned());
        }
        let line: Line =
            serde_json::from_str(&format!("{body}}}")).map_err(|error| error.to_string())?;
        if line.v != 1 {
            return Err(format!("it is of format {}; this program knows 1", line.v));
        }
        if line.n != self.releases.len() || line.prev != self.last.to_string() {
            return Err("a line before it is missing, or it was moved".to_owned());
        }
        self.last = hash;
        self.releases.push(line.release);
        Ok(())
    }

    /// The line of the next release.
    fn line(&self, release: &Release) -> Result<String, Failure> {
        let line = Line {
            v: 1,
            n: self.releases.len(),
            release: release.clone(),
            prev: self.last.to_string(),
        };
        let body = serde_json::to_string(&line).map_err(|_never| Failure::Unwritable {
            what: "a release that is no text",
        })?;
        let body = body.strip_suffix('}').unwrap_or(&body);
        let hash = Digest::of(body.as_bytes());
        Ok(format!("{body},\"h\":\"{hash}\"}}\n"))
    }
}

/// What was released here; no file, nothing.
///
/// # Errors
/// When the file is there and can't be read.
pub fn read(disk: &dyn Storage, place: &Place) -> Result<Register, Failure> {
    let path = place.released();
    match disk.read(&path) {
        Ok(bytes) => Ok(Register::parse(&bytes)),
        Err(source) if source.kind() == io::ErrorKind::NotFound => Ok(Register::default()),
        Err(source) => Err(Failure::Storage {
            doing: "read",
            path,
            source,
        }),
    }
}

/// The kept bytes of a release; `None` where they are gone or are others now.
pub fn kept(disk: &dyn Storage, place: &Place, release: &Release) -> Option<Vec<u8>> {
    let bytes = disk.read(&copy(place, &release.sha256)).ok()?;
    (Digest::of(&bytes).to_string() == release.sha256).then_some(bytes)
}

/// Releases a document: its bytes are kept and its line is synced when this returns.
///
/// # Errors
/// When the disk refuses, another program is releasing, or the register is damaged.
pub fn add(
    disk: &dyn Storage,
    place: &Place,
    release: &Release,
    bytes: &[u8],
) -> Result<(), Failure> {
    let path = place.released();
    let refused = |doing, path: PathBuf| {
        move |source| Failure::Storage {
            doing,
            path,
            source,
        }
    };
    ensure_dir(disk, place.root())?;
    let lock = place.root().join("released.lock");
    let held = disk.lock(&lock).map_err(refused("lock", lock.clone()))?;
    let Some(_held) = held else {
        return Err(Failure::Releasing { path: lock });
    };
    let register = read(disk, place)?;
    if let Some(what) = register.damage {
        return Err(Failure::ReleasesDamaged { path, what });
    }
    let line = register.line(release)?;
    ensure_dir(disk, &copies(place))?;
    replace(disk, &copy(place, &release.sha256), bytes)?;
    let back = || {
        let mut file = disk.amend(&path)?;
        file.cut(register.whole).and_then(|()| file.sync_all())
    };
    if register.torn > 0 {
        back().map_err(refused("cut", path.clone()))?;
    }
    let there = disk
        .exists(&path)
        .map_err(refused("look at", path.clone()))?;
    let file = if there {
        disk.append(&path)
    } else {
        disk.create_new(&path)
    };
    let mut file = file.map_err(refused("open", path.clone()))?;
    let written = file
        .write_all(line.as_bytes())
        .and_then(|()| file.sync_all())
        .map_err(refused("write", path.clone()));
    let synced = written.and_then(|()| {
        disk.sync_dir(place.root())
            .map_err(refused("sync", place.root().to_owned()))
    });
    if synced.is_err() {
        // What was not released must not count later; where the disk refuses this
        // too, the line is at the end of a list that is told as refused now.
        let _taken_back = back();
    }
    synced
}

fn copies(place: &Place) -> PathBuf {
    place.root().join("released")
}

fn copy(place: &Place, sha256: &str) -> PathBuf {
    // A digest of other form is none of ours and names no file.
    let known = Digest::from_hex(sha256.as_bytes()).map_or_else(String::new, |d| d.to_string());
    copies(place).join(format!("{known}.json"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::fault::{Memory, Upset};

    fn release(id: &str, bytes: &[u8]) -> Release {
        Release {
            kind: "sheet".to_owned(),
            id: id.to_owned(),
            revision: Some(1),
            title: "a truck".to_owned(),
            sha256: Digest::of(bytes).to_string(),
            at: "2026-11-28T08:15:02.120+01:00".to_owned(),
            by: "A. Sample".to_owned(),
            because: None,
            shrunk: BTreeMap::from([("value:most".to_owned(), "measured anew".to_owned())]),
        }
    }

    fn three() -> (Memory, Place) {
        let (disk, place) = (Memory::new(), Place::find(Some("/shop".into())).unwrap());
        for (id, bytes) in [("one", b"1"), ("two", b"2"), ("one", b"3")] {
            add(&disk, &place, &release(id, bytes), bytes).unwrap();
        }
        (disk, place)
    }

    #[test]
    fn the_last_release_of_an_id_counts_and_its_bytes_are_kept() {
        let (disk, place) = three();
        let register = read(&disk, &place).unwrap();
        assert_eq!(
            (register.releases.len(), register.damage.clone()),
            (3, None)
        );
        let last = register.last("sheet", "one").unwrap();
        assert_eq!(last, &release("one", b"3"));
        assert_eq!(kept(&disk, &place, last).unwrap(), b"3");
        assert_eq!(register.last("procedure", "one"), None);
        disk.put(&copy(&place, &last.sha256), b"4");
        assert_eq!(kept(&disk, &place, last), None, "other bytes now");
    }

    #[test]
    fn a_line_altered_left_out_or_moved_is_told_and_nothing_is_added() {
        let (disk, place) = three();
        let text = String::from_utf8(disk.peek(&place.released()).unwrap()).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let edits = [
            (1, text.replacen("\"id\":\"two\"", "\"id\":\"six\"", 1)),
            (0, format!("{}\n{}\n", lines[1], lines[2])),
            (1, format!("{}\n{}\n{}\n", lines[0], lines[2], lines[1])),
            (0, format!("\n{text}")),
        ];
        for (good, edited) in edits {
            disk.put(&place.released(), edited.as_bytes());
            let register = read(&disk, &place).unwrap();
            assert_eq!(register.releases.len(), good, "{edited}");
            let damage = register.damage.unwrap();
            assert!(
                damage.starts_with(&format!("line {}", good + 1)),
                "{damage}"
            );
            add(&disk, &place, &release("four", b"4"), b"4").unwrap_err();
            assert_eq!(disk.peek(&place.released()).unwrap(), edited.as_bytes());
        }
    }

    #[test]
    fn a_last_line_cut_anywhere_takes_no_other_with_it() {
        let (disk, place) = three();
        let bytes = disk.peek(&place.released()).unwrap();
        let text = String::from_utf8(bytes.clone()).unwrap();
        let third = text.len() - text.lines().last().unwrap().len() - 1;
        for cut in third + 1..bytes.len() {
            disk.put(&place.released(), &bytes[..cut]);
            let register = read(&disk, &place).unwrap();
            assert_eq!((register.releases.len(), register.damage), (2, None));
            assert_eq!(register.torn, cut - third);
        }
        add(&disk, &place, &release("four", b"4"), b"4").unwrap();
        let register = read(&disk, &place).unwrap();
        assert_eq!((register.releases.len(), register.torn), (3, 0));
        assert_eq!(register.releases[2].id, "four");
    }

    #[test]
    fn a_disk_that_refuses_at_any_moment_releases_nothing() {
        for after in 0..100 {
            let (disk, place) = three();
            disk.upset_after(after, Upset::Device);
            let added = add(&disk, &place, &release("four", b"4"), b"4");
            let upset = disk.upset().is_some();
            disk.upset_after(1_000_000, Upset::Device);
            let register = read(&disk, &place).unwrap();
            assert_eq!(register.damage, None);
            if added.is_ok() {
                assert!(register.last("sheet", "four").is_some());
                assert!(!upset, "a refusal that was not told, at call {after}");
                assert!(after > 5, "refused {after} times");
                return;
            }
            assert_eq!(register.last("sheet", "four"), None, "at call {after}");
        }
        panic!("it never succeeds");
    }
}

//! Bytes to entries: the chain checked line by line, and a torn end told from
//! damage.
//!
//! A crash in the middle of an append leaves at most one bad stretch, at the
//! very end, no longer than one line. Bad bytes with an unaltered line after
//! them, an altered entry with anything after it, or a line whose own hash is
//! right but that does not fit where it stands, were not left by a crash: that
//! is damage, and nothing is cut.
//!
//! [`read`] takes bytes that are in memory and gives every entry; [`Reading`]
//! takes a file and gives one entry at a time, so that a long job needs no more
//! memory than a short one.

use std::fmt;
use std::io::{self, BufRead as _, BufReader, Read};
use std::path::PathBuf;

use super::chain::{self, Seal};
use super::entry::{self, Unread};
use super::storage::storage;
use super::{Damage, Digest, Entry, Failure, Fault, Folder, MAX_LINE, Storage};

/// Count and last hash: what a printed seal holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Head {
    /// How many entries.
    pub count: u64,
    /// The hash of the last, or [`Digest::NOTHING`].
    pub hash: Digest,
}

impl Head {
    /// The head of a journal without entries.
    pub const EMPTY: Self = Self {
        count: 0,
        hash: Digest::NOTHING,
    };
}

/// How the file ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tail {
    /// After a newline.
    Whole,
    /// After a whole entry that lacks only its newline.
    NewlineMissing,
    /// In bytes that are no entry, as a crash in the middle of an append
    /// leaves them. A last entry altered afterwards looks the same. If they
    /// follow a whole entry on the same line, its newline is missing too.
    Torn {
        /// Where they begin.
        offset: u64,
        /// How many they are.
        len: u64,
    },
}

/// A journal that can be read to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// Every whole entry, in order; none in what [`Reading`] found wrong, which
    /// has given them already.
    pub entries: Vec<Entry>,
    /// Count and last hash.
    pub head: Head,
    /// How the file ends.
    pub tail: Tail,
    hashes: Vec<Digest>,
}

impl Opened {
    /// The head as it was after `count` entries, to be held against a printed
    /// one. `None` if there are fewer.
    pub fn head_at(&self, count: u64) -> Option<Head> {
        let Some(last) = count.checked_sub(1) else {
            return Some(Head::EMPTY);
        };
        let hash = *self.hashes.get(usize::try_from(last).ok()?)?;
        Some(Head { count, hash })
    }
}

/// Reads a journal's bytes.
///
/// # Errors
///
/// [`Damage`] at the first line that is neither an entry in its place nor part
/// of a torn end.
pub fn read(bytes: &[u8]) -> Result<Opened, Box<Damage>> {
    let mut walk = Walk::default();
    let mut entries = Vec::new();
    let mut rest = bytes;
    while !rest.is_empty() {
        let end = rest.iter().position(|byte| *byte == b'\n');
        let (line, after) = rest.split_at(end.map_or(rest.len(), |end| end + 1));
        match walk.take_line(line) {
            Ok(entry) => entries.push(entry),
            Err(bad) => match walk.judge(bad, rest) {
                Ok(last) => {
                    entries.extend(last);
                    break;
                }
                Err(mut damage) => {
                    damage.valid.entries = entries;
                    return Err(damage);
                }
            },
        }
        rest = after;
    }
    walk.opened.entries = entries;
    Ok(walk.opened)
}

/// A journal read entry by entry. What it holds does not grow with the entries,
/// but for one hash of each.
pub struct Reading<'d> {
    path: PathBuf,
    source: BufReader<Box<dyn Read + 'd>>,
    walk: Walk,
    line: Vec<u8>,
    torn: Vec<u8>,
    over: bool,
}

impl fmt::Debug for Reading<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Reading")
            .field("path", &self.path)
            .field("head", &self.head())
            .finish_non_exhaustive()
    }
}

impl<'d> Reading<'d> {
    /// Begins to read a job's journal, without holding or changing it.
    ///
    /// # Errors
    /// `NoJob` where there is no journal, `Storage` where it can't be opened.
    pub fn open(disk: &'d dyn Storage, folder: &Folder) -> Result<Self, Failure> {
        let path = folder.journal();
        match disk.open(&path) {
            Ok(source) => Ok(Self::of(path, source)),
            Err(source) if source.kind() == io::ErrorKind::NotFound => Err(Failure::NoJob {
                path: folder.path().to_owned(),
            }),
            Err(source) => Err(storage("read", &path)(source)),
        }
    }

    /// Begins to read bytes that are said to stand at `path`.
    pub(super) fn of(path: PathBuf, source: Box<dyn Read + 'd>) -> Self {
        Self {
            path,
            source: BufReader::new(source),
            walk: Walk::default(),
            line: Vec::new(),
            torn: Vec::new(),
            over: false,
        }
    }

    /// The next entry, or `None` after the last.
    ///
    /// # Errors
    /// `Storage`, and `Damaged` as [`read`] finds it; nothing more is read then.
    pub fn next_entry(&mut self) -> Result<Option<Entry>, Failure> {
        if self.over {
            return Ok(None);
        }
        self.over = true;
        self.line.clear();
        let path = &self.path;
        let more = self.source.by_ref();
        more.read_until(b'\n', &mut self.line)
            .map_err(storage("read", path))?;
        if self.line.is_empty() {
            return Ok(None);
        }
        let ended = self.line.ends_with(b"\n");
        match self.walk.take_line(&self.line) {
            Ok(entry) => {
                self.over = !ended;
                Ok(Some(entry))
            }
            Err(bad) => {
                // A line without its end was the last when it was read. What
                // another program has written since is not looked at.
                if ended {
                    more.read_to_end(&mut self.line)
                        .map_err(storage("read", path))?;
                }
                self.judge(bad)
            }
        }
    }

    fn judge(&mut self, bad: Bad) -> Result<Option<Entry>, Failure> {
        let last = self
            .walk
            .judge(bad, &self.line)
            .map_err(|damage| Failure::Damaged {
                path: self.path.clone(),
                damage,
            })?;
        let torn = usize::try_from(self.torn_len()).unwrap_or(usize::MAX);
        self.torn = self.line.split_off(self.line.len().saturating_sub(torn));
        Ok(last)
    }

    fn torn_len(&self) -> u64 {
        match self.walk.opened.tail {
            Tail::Torn { len, .. } => len,
            Tail::Whole | Tail::NewlineMissing => 0,
        }
    }

    /// Count and last hash of the entries so far.
    pub fn head(&self) -> Head {
        self.walk.opened.head
    }

    /// How the file ends, once the last entry has been given.
    pub fn tail(&self) -> Tail {
        self.walk.opened.tail
    }

    /// The bytes of the entry that was given last, its newline included if it
    /// has one.
    pub(super) fn line(&self) -> &[u8] {
        &self.line
    }

    /// The bytes of a torn end.
    pub(super) fn torn(&self) -> &[u8] {
        &self.torn
    }

    /// Where the last whole entry ends.
    pub(super) fn end(&self) -> u64 {
        match self.walk.opened.tail {
            Tail::Torn { offset, .. } => offset,
            Tail::Whole | Tail::NewlineMissing => self.walk.offset,
        }
    }

    /// Whether that entry has lost its newline.
    pub(super) fn lacks_newline(&self) -> bool {
        match self.walk.opened.tail {
            Tail::Torn { offset, .. } => offset != self.walk.offset,
            Tail::Whole => false,
            Tail::NewlineMissing => true,
        }
    }
}

/// Whether a crash in the middle of an append could have left a bad line.
enum Bad {
    Perhaps(Fault),
    No(Fault),
}

struct Walk {
    opened: Opened,
    line: usize,
    offset: u64,
}

impl Default for Walk {
    fn default() -> Self {
        let opened = Opened {
            entries: Vec::new(),
            head: Head::EMPTY,
            tail: Tail::Whole,
            hashes: Vec::new(),
        };
        Self {
            opened,
            line: 0,
            offset: 0,
        }
    }
}

impl Walk {
    /// Takes one line with its newline, if it has one.
    fn take_line(&mut self, line: &[u8]) -> Result<Entry, Bad> {
        let bare = line.strip_suffix(b"\n").unwrap_or(line);
        let entry = self.take(bare)?;
        self.offset += line.len() as u64;
        if bare.len() == line.len() {
            self.opened.tail = Tail::NewlineMissing;
        }
        Ok(entry)
    }

    /// Takes one line, or says what is wrong with it.
    fn take(&mut self, line: &[u8]) -> Result<Entry, Bad> {
        self.line += 1;
        let hash = match chain::check(line) {
            Seal::Whole { hash, .. } => hash,
            Seal::Broken { .. } => return Err(Bad::Perhaps(Fault::Altered)),
            Seal::Absent => return Err(Bad::Perhaps(Fault::NotALine)),
        };
        let (entry, prev) = entry::read_line(line).map_err(|unread| {
            Bad::No(match unread {
                Unread::Format(found) => Fault::Format { found },
                Unread::Form(what) => Fault::Form { what },
            })
        })?;
        let Head { count, hash: last } = self.opened.head;
        if entry.seq != count {
            return Err(Bad::No(self.out_of_place(&entry, hash)));
        }
        if prev != last {
            return Err(Bad::No(Fault::Unchained { seq: entry.seq }));
        }
        self.opened.head = Head {
            count: count + 1,
            hash,
        };
        self.opened.hashes.push(hash);
        Ok(entry)
    }

    /// Names an entry that has another number than its place; a later number
    /// is judged again once the rest of the file is known.
    fn out_of_place(&self, entry: &Entry, hash: Digest) -> Fault {
        let expected = self.opened.head.count;
        if entry.seq > expected {
            Fault::Missing {
                first: expected,
                last: entry.seq - 1,
            }
        } else if self.opened.hashes.contains(&hash) {
            Fault::Repeated { seq: entry.seq }
        } else {
            Fault::Moved {
                expected,
                found: entry.seq,
            }
        }
    }

    /// A torn end, perhaps with a last entry before it, or damage. `rest` begins
    /// with the bad line.
    fn judge(&mut self, bad: Bad, rest: &[u8]) -> Result<Option<Entry>, Box<Damage>> {
        let fault = match bad {
            Bad::No(Fault::Missing { first, last }) if later(rest).any(|seq| seq == first) => {
                Fault::Moved {
                    expected: first,
                    found: last + 1,
                }
            }
            Bad::No(fault) => fault,
            Bad::Perhaps(fault) => {
                if later(rest).next().is_some() || is_old(&fault, rest) {
                    fault
                } else if holds_seal(rest) {
                    Fault::Fused
                } else if rest.len() > MAX_LINE {
                    Fault::TooLong { bytes: rest.len() }
                } else {
                    match self.torn(rest) {
                        Ok(last) => return Ok(last),
                        Err(fault) => fault,
                    }
                }
            }
        };
        Err(Box::new(Damage {
            line: self.line,
            offset: self.offset,
            fault,
            valid: self.opened.clone(),
        }))
    }

    /// Takes `rest` for a torn end. It may begin with a whole entry whose
    /// newline did not survive: that is kept, and only what follows is torn.
    fn torn(&mut self, rest: &[u8]) -> Result<Option<Entry>, Fault> {
        let whole = chain::ends(rest)
            .filter_map(|end| rest.get(..end))
            .find(|line| matches!(chain::check(line), Seal::Whole { .. }));
        let mut last = None;
        if let Some(line) = whole {
            self.line -= 1;
            let taken = self.take(line);
            last = Some(taken.map_err(|(Bad::Perhaps(fault) | Bad::No(fault))| fault)?);
        }
        let kept = whole.map_or(0, <[u8]>::len);
        self.opened.tail = Tail::Torn {
            offset: self.offset + kept as u64,
            len: (rest.len() - kept) as u64,
        };
        Ok(last)
    }
}

/// Whether the first line of `rest`, altered but in the shape of an entry, has
/// anything after it: then it was confirmed once, because nothing is appended
/// after a line that was not.
fn is_old(fault: &Fault, rest: &[u8]) -> bool {
    let end = rest.iter().position(|byte| *byte == b'\n');
    *fault == Fault::Altered && end.is_some_and(|end| end + 1 < rest.len())
}

/// The numbers of the unaltered entries after the first line of `rest`. A line
/// of another format counts as an entry without a number of ours.
fn later(rest: &[u8]) -> impl Iterator<Item = u64> {
    rest.split(|byte| *byte == b'\n')
        .skip(1)
        .filter(|line| matches!(chain::check(line), Seal::Whole { .. }))
        .map(|line| entry::read_line(line).map_or(u64::MAX, |(entry, _)| entry.seq))
}

/// Whether an unaltered line stands anywhere inside a bad one.
fn holds_seal(rest: &[u8]) -> bool {
    let begins = b"{\"v\":";
    rest.split(|byte| *byte == b'\n').any(|line| {
        (1..line.len())
            .filter_map(|at| line.get(at..))
            .filter(|part| part.len() < MAX_LINE)
            .any(|part| {
                part.starts_with(begins) && matches!(chain::check(part), Seal::Whole { .. })
            })
    })
}

//! Bytes to entries: the chain checked line by line, and a torn end told from
//! damage.
//!
//! A crash in the middle of an append leaves at most one bad stretch, at the
//! very end, no longer than one line. Bad bytes with an unaltered line after
//! them, an altered entry with anything after it, or a line whose own hash is
//! right but that does not fit where it stands, were not left by a crash: that
//! is damage, and nothing is cut.

use super::chain::{self, Seal};
use super::entry::{self, Unread};
use super::{Damage, Digest, Entry, Fault, MAX_LINE};

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
    /// Every whole entry, in order.
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
    let mut rest = bytes;
    while !rest.is_empty() {
        let end = rest.iter().position(|byte| *byte == b'\n');
        let (line, after) = rest.split_at(end.unwrap_or(rest.len()));
        if let Err(bad) = walk.take(line) {
            return walk.judge(bad, rest);
        }
        walk.offset += line.len() as u64;
        if after.is_empty() {
            walk.opened.tail = Tail::NewlineMissing;
        } else {
            walk.offset += 1;
        }
        rest = after.get(1..).unwrap_or_default();
    }
    Ok(walk.opened)
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
    /// Takes one line, or says what is wrong with it.
    fn take(&mut self, line: &[u8]) -> Result<(), Bad> {
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
        self.opened.entries.push(entry);
        self.opened.hashes.push(hash);
        Ok(())
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

    /// A torn end or damage. `rest` begins with the bad line.
    fn judge(mut self, bad: Bad, rest: &[u8]) -> Result<Opened, Box<Damage>> {
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
                        Ok(()) => return Ok(self.opened),
                        Err(fault) => fault,
                    }
                }
            }
        };
        Err(Box::new(Damage {
            line: self.line,
            offset: self.offset,
            fault,
            valid: self.opened,
        }))
    }

    /// Takes `rest` for a torn end. It may begin with a whole entry whose
    /// newline did not survive: that is kept, and only what follows is torn.
    fn torn(&mut self, rest: &[u8]) -> Result<(), Fault> {
        let whole = chain::ends(rest)
            .filter_map(|end| rest.get(..end))
            .find(|line| matches!(chain::check(line), Seal::Whole { .. }));
        if let Some(line) = whole {
            self.line -= 1;
            self.take(line)
                .map_err(|(Bad::Perhaps(fault) | Bad::No(fault))| fault)?;
        }
        let kept = whole.map_or(0, <[u8]>::len);
        self.opened.tail = Tail::Torn {
            offset: self.offset + kept as u64,
            len: (rest.len() - kept) as u64,
        };
        Ok(())
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

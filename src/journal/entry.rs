//! One entry and the one line it is written as:
//!
//! ```json
//! {"v":1,"seq":…,"at":"…","mono_ms":…,"session":…,"dir":"…","by":"…","do":{…},"ev":[…],"prev":"…","h":"…"}
//! ```
//!
//! Reading is strict by writing again: whatever is read must give, byte for
//! byte, the line that it was read from. So the members stand in this order,
//! once each, with no others and no space between them.

use serde::Deserialize;
use serde::de::IgnoredAny;
use serde_json::value::RawValue;

use super::{Digest, DirId, Failure, Stamp, chain};

/// The longest line, in bytes, its newline included.
pub const MAX_LINE: usize = 16 * 1024;

/// The format number that this version writes.
pub(super) const FORMAT: u64 = 1;

/// An entry before it has a place in the journal.
#[derive(Debug, Clone)]
pub struct Draft {
    /// When the command was given.
    pub at: Stamp,
    /// A random number drawn when the program opened the job. `mono_ms` can be
    /// compared only between entries of one session.
    pub session: u32,
    /// The data directory in which it was written.
    pub dir: DirId,
    /// The person who gave the command. Names are not proved.
    pub by: String,
    /// The command, a JSON object.
    pub command: Box<RawValue>,
    /// What came of it, a JSON array.
    pub events: Box<RawValue>,
}

/// An entry as it stands in a journal.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its place: 0, 1, 2, … without gaps.
    pub seq: u64,
    /// When the command was given.
    pub at: Stamp,
    /// The session; see [`Draft::session`].
    pub session: u32,
    /// The data directory in which it was written.
    pub dir: DirId,
    /// The person who gave the command.
    pub by: String,
    /// The command, a JSON object.
    pub command: Box<RawValue>,
    /// What came of it, a JSON array.
    pub events: Box<RawValue>,
}

impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        (self.seq, self.at, self.session, &self.dir, &self.by)
            == (other.seq, other.at, other.session, &other.dir, &other.by)
            && self.command.get() == other.command.get()
            && self.events.get() == other.events.get()
    }
}

impl Entry {
    /// Gives a draft its place.
    pub(super) fn new(seq: u64, draft: &Draft) -> Self {
        let Draft {
            at,
            session,
            dir,
            by,
            command,
            events,
        } = draft.clone();
        Self {
            seq,
            at,
            session,
            dir,
            by,
            command,
            events,
        }
    }

    /// The entry's line with its newline, and the line's hash.
    ///
    /// # Errors
    ///
    /// `Not` for a command that is not an object, events that are not an
    /// array, a raw control character in either, or an instant outside the
    /// years 1 to 9998. `TooLong` above [`MAX_LINE`].
    pub(super) fn line(&self, prev: Digest) -> Result<(String, Digest), Unfit> {
        let unwritable = Unfit::Not;
        let at = self
            .at
            .rfc3339()
            .ok_or(unwritable("its instant cannot be written as a date"))?;
        let by =
            serde_json::to_string(&self.by).map_err(|_never| unwritable("the name is not text"))?;
        let (command, events) = (self.command.get(), self.events.get());
        if !command.starts_with('{') {
            return Err(unwritable("its command is not a JSON object"));
        }
        if !events.starts_with('[') {
            return Err(unwritable("its events are not a JSON array"));
        }
        if command
            .bytes()
            .chain(events.bytes())
            .any(|byte| byte < b' ')
        {
            return Err(unwritable(
                "its JSON has a raw line break or control character",
            ));
        }
        let Self {
            seq, session, dir, ..
        } = self;
        let mono_ms = self.at.mono_ms;
        let (mut line, hash) = chain::seal(format!(
            r#"{{"v":{FORMAT},"seq":{seq},"at":"{at}","mono_ms":{mono_ms},"session":{session},"dir":"{dir}","by":{by},"do":{command},"ev":{events},"prev":"{prev}""#
        ));
        line.push('\n');
        if line.len() > MAX_LINE {
            Err(Unfit::TooLong(line.len()))
        } else {
            Ok((line, hash))
        }
    }
}

/// Why an entry cannot be a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unfit {
    /// The line would have this many bytes.
    TooLong(usize),
    /// What it is not.
    Not(&'static str),
}

impl From<Unfit> for Failure {
    fn from(unfit: Unfit) -> Self {
        match unfit {
            Unfit::TooLong(bytes) => Self::TooLong { bytes },
            Unfit::Not(what) => Self::Unwritable { what },
        }
    }
}

impl From<Unfit> for Unread {
    fn from(unfit: Unfit) -> Self {
        match unfit {
            Unfit::TooLong(bytes) => {
                Self::Form(format!("it is {bytes} bytes long; {MAX_LINE} is the most"))
            }
            Unfit::Not(what) => Self::Form(what.to_owned()),
        }
    }
}

/// The members as JSON gives them, in any order: the order is held by writing
/// the entry again.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wire {
    #[serde(rename = "v")]
    _v: IgnoredAny,
    seq: u64,
    at: String,
    mono_ms: u64,
    session: u32,
    dir: String,
    by: String,
    #[serde(rename = "do")]
    command: Box<RawValue>,
    ev: Box<RawValue>,
    prev: String,
    #[serde(rename = "h")]
    _h: IgnoredAny,
}

/// Just the format number, whatever else stands there.
#[derive(Deserialize)]
struct Format {
    v: u64,
}

/// Why a line whose hash is right is still not an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Unread {
    /// Another format number.
    Format(u64),
    /// Not the form above; what JSON says of it, or which rule it breaks.
    Form(String),
}

/// Reads a line without its newline, whose hash has been found right.
pub(super) fn read_line(line: &[u8]) -> Result<(Entry, Digest), Unread> {
    let form = |what: &str| Unread::Form(what.to_owned());
    let text = std::str::from_utf8(line).map_err(|error| Unread::Form(error.to_string()))?;
    if let Ok(Format { v }) = serde_json::from_str(text)
        && v != FORMAT
    {
        return Err(Unread::Format(v));
    }
    let wire: Wire = serde_json::from_str(text).map_err(|error| Unread::Form(error.to_string()))?;
    let prev =
        Digest::from_hex(wire.prev.as_bytes()).ok_or(form("\"prev\" is not 64 hex digits"))?;
    let entry = Entry {
        seq: wire.seq,
        at: Stamp::parse(&wire.at, wire.mono_ms).ok_or(form(
            "\"at\" is not an instant with milliseconds and offset",
        ))?,
        session: wire.session,
        dir: DirId::parse(&wire.dir).ok_or(form("\"dir\" is not a directory's id"))?,
        by: wire.by,
        command: wire.command,
        events: wire.ev,
    };
    // Format and hash are among what is compared.
    let (again, _) = entry.line(prev)?;
    if again.strip_suffix('\n') == Some(text) {
        Ok((entry, prev))
    } else {
        Err(form(
            "its members do not stand in the order and spacing of this format",
        ))
    }
}

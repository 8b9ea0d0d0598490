//! What is wrong with a document: code, severity, subject, sentence, help; drawn as text.
//!
//! A [`Finding`] names a subject, not a place: whoever holds the text (see
//! `document`) turns it into a [`Placed`] one. Codes are our own words and stay
//! the same over versions. Nothing drawn here carries a control character (P9).
//! Knows nothing of documents, procedures or files.

mod draw;
mod escape;
mod near;

pub use draw::draw_all;
pub use escape::{escape, is_steering};
pub use near::{listed, near, near_help};

use std::fmt;

/// The stable name of one rule of what may be wrong, in small words with dashes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Code(&'static str);

impl Code {
    /// The code of that name.
    pub const fn new(name: &'static str) -> Self {
        Self(name)
    }

    /// The name as people see it (`unknown-field`).
    pub const fn as_str(self) -> &'static str {
        self.0
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The document can't be used.
    Error,
    /// It can, but someone should look.
    Warning,
}

/// What a finding is about, in the document's own names.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// The document as a whole.
    Document,
    /// A stretch of its text, in bytes.
    Text {
        /// The first byte.
        from: usize,
        /// The byte after the last.
        to: usize,
    },
    /// What a procedure expects of a sheet under this key.
    SheetNeed(String),
    /// A value of a sheet.
    SheetValue(String),
    /// An instrument.
    Instrument(String),
    /// A use of instruments.
    Role(String),
    /// A condition.
    Condition(String),
    /// An exclusive group, by its place in the list, from 0.
    Group(usize),
    /// A duty.
    Duty(String),
    /// A setting.
    Setting(String),
    /// A reading.
    Reading(String),
    /// A working.
    Working(String),
    /// A hazard.
    Hazard(String),
    /// An act.
    Act(String),
    /// A fragment.
    Fragment(String),
    /// A phase.
    Phase(String),
    /// A step.
    Step(String),
    /// A tick of a step.
    Tick {
        /// The step.
        step: String,
        /// The tick.
        tick: String,
    },
    /// A choice of a look.
    Choice {
        /// The look.
        step: String,
        /// The choice.
        choice: String,
    },
    /// A limit of a step, by its place in the list, from 0.
    Limit {
        /// The step.
        step: String,
        /// The index.
        index: usize,
    },
    /// A limit on the reading that answers a condition's question.
    AskLimit {
        /// The condition.
        condition: String,
        /// The index.
        index: usize,
    },
    /// A move of a rehearsal, from 0.
    Move(usize),
    /// A field of something; placed at the thing itself if the field isn't written.
    Field(Box<Subject>, String),
}

impl Subject {
    /// A step.
    pub fn step(id: impl fmt::Display) -> Self {
        Self::Step(id.to_string())
    }

    /// A limit of a step.
    pub fn limit(step: impl fmt::Display, index: usize) -> Self {
        Self::Limit {
            step: step.to_string(),
            index,
        }
    }

    /// A choice of a look.
    pub fn choice(step: impl fmt::Display, choice: impl fmt::Display) -> Self {
        Self::Choice {
            step: step.to_string(),
            choice: choice.to_string(),
        }
    }

    /// A tick of a step.
    pub fn tick(step: impl fmt::Display, tick: impl fmt::Display) -> Self {
        Self::Tick {
            step: step.to_string(),
            tick: tick.to_string(),
        }
    }

    /// A field of this.
    #[must_use]
    pub fn field(self, name: &str) -> Self {
        Self::Field(Box::new(self), name.to_owned())
    }

    /// The thing that this is a part of; itself for what stands alone.
    #[must_use]
    pub fn owner(&self) -> Self {
        match self {
            Self::Field(of, _) => of.owner(),
            Self::Tick { step, .. } | Self::Choice { step, .. } | Self::Limit { step, .. } => {
                Self::Step(step.clone())
            }
            Self::AskLimit { condition, .. } => Self::Condition(condition.clone()),
            Self::Document
            | Self::Text { .. }
            | Self::SheetNeed(_)
            | Self::SheetValue(_)
            | Self::Instrument(_)
            | Self::Role(_)
            | Self::Condition(_)
            | Self::Group(_)
            | Self::Duty(_)
            | Self::Setting(_)
            | Self::Reading(_)
            | Self::Working(_)
            | Self::Hazard(_)
            | Self::Act(_)
            | Self::Fragment(_)
            | Self::Phase(_)
            | Self::Step(_)
            | Self::Move(_) => self.clone(),
        }
    }
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Which rule found it.
    pub code: Code,
    /// How bad it is.
    pub severity: Severity,
    /// What it is about.
    pub subject: Subject,
    /// What was found, in a sentence.
    pub sentence: String,
    /// What would be accepted and what to do, a line each.
    pub help: Vec<String>,
    /// The titles of the steps that lead there, if a path shows it.
    pub path: Vec<String>,
}

impl Finding {
    /// An error.
    pub fn error(code: Code, subject: Subject, sentence: impl Into<String>) -> Self {
        Self {
            code,
            severity: Severity::Error,
            subject,
            sentence: sentence.into(),
            help: Vec::new(),
            path: Vec::new(),
        }
    }

    /// A warning.
    pub fn warning(code: Code, subject: Subject, sentence: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(code, subject, sentence)
        }
    }

    /// With one more line of help.
    #[must_use]
    pub fn help(mut self, line: impl Into<String>) -> Self {
        self.help.push(line.into());
        self
    }

    /// With the near name among `candidates`, or else all of them, as help.
    #[must_use]
    pub fn help_near<'a>(
        mut self,
        name: &str,
        candidates: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        self.help.extend(near_help(name, candidates));
        self
    }

    /// With the titles of the steps that lead there.
    #[must_use]
    pub fn along(mut self, path: Vec<String>) -> Self {
        self.path = path;
        self
    }

    /// Whether it is an error.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

/// Where something stands in a document.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The document, as it was named.
    pub file: String,
    /// From 1.
    pub line: usize,
    /// From 1, in characters.
    pub column: usize,
    /// The stretch of text, in bytes of the file.
    pub span: (usize, usize),
    /// The line itself, cut to a readable length, without control characters.
    pub text: String,
    /// The marked part of `text`, in its bytes.
    pub mark: (usize, usize),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", self.file, self.line, self.column)
    }
}

/// A finding with its place in a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// What is wrong.
    pub finding: Finding,
    /// Where; `None` if no document is to blame.
    pub place: Option<Place>,
    /// Where the fragment is used that the place lies in.
    pub used_at: Option<Place>,
}

impl From<Finding> for Placed {
    fn from(finding: Finding) -> Self {
        Self {
            finding,
            place: None,
            used_at: None,
        }
    }
}

#[cfg(test)]
mod tests;

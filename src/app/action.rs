//! What a key means, and what must be carried out outside.

use std::sync::Arc;

use super::Catalog;
use super::author::{Came, Look};
use super::course::{DrillRow, NewDrill};
use crate::drill::{Drill, Kept};
use crate::job::{At, Command, Event, Setup, State};
use crate::quantity::System;

/// A change of the line being typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Edit {
    /// Put a character in.
    Put(char),
    /// Put text in, from a paste.
    PutText(String),
    /// Take the character before the cursor.
    Back,
    /// Take the character at the cursor.
    Delete,
    /// Cursor one left.
    Left,
    /// Cursor one right.
    Right,
    /// Cursor to the start.
    Home,
    /// Cursor to the end.
    End,
}

/// What a key means where it was pressed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Action {
    /// Up one.
    Up,
    /// Down one.
    Down,
    /// Up a screen.
    PageUp,
    /// Down a screen.
    PageDown,
    /// On to the next part of the page.
    NextPane,
    /// Back to the part before.
    PaneBefore,
    /// The value before.
    Less,
    /// The value after.
    More,
    /// Accept, choose, go on.
    Accept,
    /// Back one level; clear a line; stop work.
    Back,
    /// A letter that answers.
    Letter(char),
    /// A change of the line being typed.
    Edit(Edit),
    /// Help, and what else can be done.
    Help,
    /// Leave it for now.
    Leave,
    /// Ctrl-C: stop work in a job, elsewhere leave.
    Interrupt,
    /// Ctrl-Z.
    Suspend,
}

/// A job listed on the board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobRow {
    /// Its id, whole.
    pub id: String,
    /// What is done to which vehicle.
    pub title: String,
    /// Where it stands.
    pub place: String,
    /// It is over.
    pub ended: bool,
    /// It is practice.
    pub practice: bool,
    /// It can't be read; why.
    pub trouble: Option<String>,
}

/// What a new job is opened with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewJob {
    /// The procedure.
    pub procedure: String,
    /// The sheet.
    pub sheet: String,
    /// The list of instruments.
    pub instruments: String,
    /// Who has the keyboard.
    pub by: String,
    /// Who else is there.
    pub with: Vec<String>,
    /// Why.
    pub why: String,
    /// Units shown; `None`: as the sheet is written.
    pub system: Option<System>,
    /// The job it carries on.
    pub earlier: Option<String>,
}

/// A job that was opened.
#[derive(Debug, Clone)]
pub struct OpenedJob {
    /// Its id, whole.
    pub id: String,
    /// What it runs on.
    pub setup: Arc<Setup>,
    /// Where it stands.
    pub state: State,
    /// Counts up each time it is opened.
    pub session: u32,
    /// What the person must be told: a torn tail, a program of another version.
    pub notices: Vec<String>,
    /// It can be read only, because.
    pub read_only: Option<String>,
}

/// What came of an effect.
#[derive(Debug)]
pub enum Reply {
    /// What a job can be started with, the shop's own documents among it.
    Catalog(Catalog),
    /// The jobs there are.
    Jobs(Vec<JobRow>),
    /// The scope of a procedure, for the front page of a new job.
    Scope {
        /// The procedure.
        procedure: String,
        /// Its scope, line by line.
        lines: Vec<String>,
    },
    /// A job is open.
    Opened(Box<OpenedJob>),
    /// The drills there are, those done before, and what is said of drills that can't be
    /// read.
    Drills(Vec<DrillRow>, Vec<Kept>, Vec<String>),
    /// A drill is open: its practice job, its truck, and the person's drills before.
    Drilled(Box<OpenedJob>, Box<Drill>, Vec<Kept>),
    /// A job could not be opened.
    NotOpened(String),
    /// The entry in flight is on disk.
    Durable,
    /// The entry in flight is not safe, and none will be.
    StorageFailed(String),
    /// Something the person should know of the job.
    Told(String),
    /// A copy was saved, or not.
    Copied(Result<String, String>),
    /// What came of a look at a procedure.
    Looked {
        /// What was looked at.
        look: Box<Look>,
        /// What came of it.
        came: Came,
        /// It is a file, which may be saved again.
        saved_again: bool,
    },
    /// A text to read.
    Page {
        /// Its title.
        title: String,
        /// Its lines.
        lines: Vec<String>,
    },
}

/// What must be carried out outside.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// List the jobs.
    ListJobs,
    /// Tell the scope of a procedure.
    ReadScope(String),
    /// Open a new job.
    Create(Box<NewJob>),
    /// List the drills.
    ListDrills,
    /// Open a drill.
    Drill(Box<NewDrill>),
    /// Keep the debrief of a drill: as data without its day, and as a page.
    KeepDebrief {
        /// The debrief.
        debrief: Box<crate::drill::Debrief>,
        /// The page.
        page: Vec<String>,
    },
    /// Open a job that was left.
    Open(String),
    /// Show a job's record.
    Show(String),
    /// Read a procedure for the author's bench.
    Look(Box<Look>),
    /// Read it again if it was saved since.
    LookAgain(Box<Look>),
    /// Put an entry on disk.
    Append {
        /// The command.
        command: Box<Command>,
        /// What follows from it.
        events: Vec<Event>,
        /// When it was given.
        at: At,
    },
    /// Close the job.
    Close,
    /// Save a whole copy of the job's journal at this place.
    Copy(String),
    /// Keep the settings.
    KeepSettings,
    /// Ask the terminal for key releases, or no longer.
    KeyReleases(bool),
    /// Sound the bell.
    Bell,
    /// Step aside (Ctrl-Z).
    Suspend,
    /// Leave the program.
    Quit,
}

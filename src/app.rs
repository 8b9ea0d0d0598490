//! The full-screen program without its drawing: what is on the screen, what a key
//! does there, what must be carried out outside.
//!
//! An input becomes an [`Action`] by the table of the place it falls on;
//! [`App::update`] changes the state and gives [`Effect`]s, which are carried out
//! elsewhere and come back as actions. What is shown as done is the last state
//! that is on disk. Nothing here draws, reads a clock or touches a file.

mod action;
mod author;
mod board;
mod calculation;
mod course;
mod field;
mod item;
mod keys;
mod over;
mod practise;
mod preview;
mod reckon;
mod review;
mod start;
mod trial;
mod update;
mod work;

use std::path::PathBuf;
use std::time::Duration;

pub use action::{Action, Edit, Effect, JobRow, NewJob, OpenedJob, Reply};
pub use author::{
    Author, Bench, Came, Choice, Find, Look, Pane, Picture, Reading, Row, Section, Source, View,
    Way, answered_by_sheet,
};
pub use board::{Board, BoardRow};
pub use calculation::{Answer, Calculation, Entered, Weight};
pub use course::{Course, DrillRow, NewDrill};
pub use field::Field;
pub use item::{Item, ItemKind};
pub use keys::{KeyHint, key_line, work_line};
pub use over::{MenuRow, Over, Purpose, Reason};
pub use practise::{List, PACES, Practise, coaching};
pub use preview::{Preview, foreseen, preview, shown_unit};
pub use reckon::Reckon;
pub use review::{Review, ReviewRow, review_stage};
pub use start::{Start, StartRow};
pub use trial::Trial;
pub use update::instrument_rows;
pub use work::{Page, Pending, Work};

use crate::hold;
use crate::input::Stamp;
use crate::job::At;
use crate::quantity::System;

/// A document that a job can be started with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offered {
    /// Its id.
    pub id: String,
    /// What people see.
    pub title: String,
    /// Revision, source or the like, in a few words.
    pub about: String,
    /// No job can be started with it; why, and what to do.
    pub refused: Option<String>,
    /// Its file, if it is the shop's own.
    pub file: Option<PathBuf>,
}

impl Offered {
    /// Where it is read from.
    pub(crate) fn source(&self) -> Source {
        match &self.file {
            Some(file) => Source::File(file.clone()),
            None => Source::BuiltIn(self.id.clone()),
        }
    }
}

/// Everything a job can be started with.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Catalog {
    /// Procedures, the main one first.
    pub procedures: Vec<Offered>,
    /// Sheets.
    pub sheets: Vec<Offered>,
    /// Lists of instruments.
    pub instruments: Vec<Offered>,
}

/// What a person chose once and is kept.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Settings {
    /// Units; `None`: as the sheet is written.
    pub system: Option<System>,
    /// Sound the bell when a timer is over.
    pub bell: bool,
    /// Always two keys in turn instead of a hold.
    pub turns: bool,
    /// Names used before, the last one first.
    pub people: Vec<String>,
}

/// What is on the screen.
#[derive(Debug)]
pub enum Screen {
    /// Jobs to start, to go on with, to look at.
    Board(Board),
    /// A new job, before it is opened.
    Start(Box<Start>),
    /// A job.
    Work(Box<Work>),
    /// The trial of the hold key.
    Trial(Trial),
    /// The calculators.
    Reckon(Box<Reckon>),
    /// A procedure looked at while it is written.
    Author(Box<Author>),
    /// Drills to choose from.
    Course(Box<Course>),
    /// A text to read.
    Page {
        /// Its title.
        title: String,
        /// Its lines.
        lines: Vec<String>,
        /// First line shown.
        top: usize,
    },
}

/// Narrowest and lowest terminal that anything is shown on.
pub const LEAST_SIZE: (u16, u16) = (36, 10);

/// The full-screen program.
#[derive(Debug)]
pub struct App {
    /// What is on the screen.
    pub screen: Screen,
    /// Columns and rows.
    pub size: (u16, u16),
    /// The instant of the last input.
    pub clock: Stamp,
    /// The reader's offset from UTC in minutes.
    pub offset_min: i32,
    /// What a job can be started with.
    pub catalog: Catalog,
    /// What was chosen once.
    pub settings: Settings,
    /// What is known of this terminal's held keys.
    pub hold: hold::Session,
    /// Where the numbers for a danger come from.
    pub numbers: u64,
    /// Opened to try documents out: whatever is begun is practice.
    pub trial: bool,
}

impl App {
    /// The program on its board.
    pub fn new(catalog: Catalog, settings: Settings, hold: hold::Session, numbers: u64) -> Self {
        let mut app = Self {
            screen: Screen::Board(Board::new(&catalog)),
            size: (80, 24),
            clock: Stamp::default(),
            offset_min: 0,
            catalog,
            settings,
            hold,
            numbers,
            trial: false,
        };
        app.hold.set_always_turns(app.settings.turns);
        app
    }

    /// Whether anything can be shown at all.
    pub const fn fits(&self) -> bool {
        self.size.0 >= LEAST_SIZE.0 && self.size.1 >= LEAST_SIZE.1
    }

    /// The instant as the engine takes it.
    pub fn at(&self, session: u32) -> At {
        At {
            wall_ms: self.clock.wall_ms,
            offset_min: self.offset_min,
            mono_ms: u64::try_from(self.clock.mono.as_millis()).unwrap_or(u64::MAX),
            session,
        }
    }

    /// How soon the program must be woken although no key is pressed; `None`:
    /// not at all.
    pub fn wake_in(&self) -> Option<Duration> {
        match &self.screen {
            Screen::Work(work) => work.wake_in(&self.at(work.session)),
            Screen::Trial(_) => Some(Duration::from_millis(50)),
            Screen::Author(author) => author.wake_in(),
            Screen::Board(_)
            | Screen::Start(_)
            | Screen::Course(_)
            | Screen::Reckon(_)
            | Screen::Page { .. } => None,
        }
    }

    /// What a drill that rests shows: while it stays the same a tick needs no new frame.
    /// `None`: every tick does.
    pub fn face(&self) -> Option<[i64; 10]> {
        let Screen::Work(work) = &self.screen else {
            return None;
        };
        work.face(&self.at(work.session))
    }

    /// While a drill's truck has the keys and nothing else on the screen needs time: what of
    /// the rest of the frame hangs on the truck. As long as that stays the same, a tick
    /// changes the truck's part alone.
    pub fn around_truck(&self) -> Option<(List, bool)> {
        let Screen::Work(work) = &self.screen else {
            return None;
        };
        work.around_truck(&self.at(work.session))
            .filter(|_| self.fits())
    }

    /// Whether an input is only a practice valve's key, held on: what it changes is drawn
    /// with the next tick, which is at most a thirtieth of a second off.
    pub fn is_held_on(&self, stamped: &crate::input::Stamped) -> bool {
        let crate::input::Input::Key {
            key: crate::input::Key::Char('u' | 'd' | 'U' | 'D'),
            phase: crate::input::Press::Down | crate::input::Press::Repeat,
            ..
        } = stamped.input
        else {
            return false;
        };
        let Screen::Work(work) = &self.screen else {
            return false;
        };
        let practise = work.practise.as_ref();
        practise.is_some_and(|p| p.front && p.drill.bay.held.is_some())
    }

    /// A frame reached the terminal.
    pub fn drawn(&mut self) {
        let at = self.clock;
        match &mut self.screen {
            Screen::Work(work) => {
                if let Some(judge) = &mut work.judge {
                    judge.drawn(at);
                }
            }
            Screen::Trial(trial) => trial.calibration.drawn(at),
            Screen::Board(_)
            | Screen::Start(_)
            | Screen::Course(_)
            | Screen::Reckon(_)
            | Screen::Author(_)
            | Screen::Page { .. } => {}
        }
    }

    /// A new three-digit number for a danger: a small multiplicative sequence is
    /// enough, since the number only keeps hands from going through by habit.
    pub(crate) fn number(&mut self) -> u16 {
        self.numbers = self
            .numbers
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        100 + ((self.numbers >> 33) % 900) as u16
    }
}

//! The board: jobs to start, to go on with, to look at.

use super::Catalog;
use super::action::JobRow;

/// A row of the board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoardRow {
    /// Start this procedure (index in the catalog).
    Start(usize),
    /// Work something out.
    Reckon,
    /// Try the hold key.
    Trial,
    /// Practise on a simulated truck.
    Practise,
    /// Look at a procedure while it is written.
    Author,
    /// Go on with a job, or look at a finished one (index in the list).
    Job(usize),
}

/// The board.
#[derive(Debug, Clone, Default)]
pub struct Board {
    /// Jobs there are; `None` while they are being listed.
    pub jobs: Option<Vec<JobRow>>,
    /// The row in focus.
    pub focus: usize,
    /// What went wrong or should be known.
    pub message: Option<String>,
    procedures: usize,
    /// Someone moved the focus already.
    touched: bool,
}

impl Board {
    /// The board before jobs are listed.
    pub fn new(catalog: &Catalog) -> Self {
        Self {
            procedures: catalog.procedures.len(),
            ..Self::default()
        }
    }

    /// The jobs there are. After a crash the job that was left is what is wanted: it
    /// comes into focus, unless someone moved about already.
    pub(super) fn list(&mut self, jobs: Vec<JobRow>) {
        let on = self.focused();
        self.jobs = Some(jobs);
        let rows = self.rows();
        let left = |row: &BoardRow| match row {
            BoardRow::Job(at) => {
                let job = self.jobs.as_ref().and_then(|jobs| jobs.get(*at));
                job.is_some_and(|job| !job.ended && job.trouble.is_none())
            }
            BoardRow::Start(_)
            | BoardRow::Practise
            | BoardRow::Reckon
            | BoardRow::Trial
            | BoardRow::Author => false,
        };
        let first = rows.iter().position(left).filter(|_| !self.touched);
        let kept = on.and_then(|on| rows.iter().position(|row| *row == on));
        self.focus = first.or(kept).unwrap_or(0);
    }

    /// There is more to start than before: the focus stays on what it was on.
    pub(super) fn offers(&mut self, old: &Catalog, new: &Catalog) {
        let before = self.procedures;
        self.procedures = new.procedures.len();
        self.focus = match old.procedures.get(self.focus) {
            Some(on) => {
                let found = new.procedures.iter().position(|p| p == on);
                let named = || new.procedures.iter().position(|p| p.id == on.id);
                found.or_else(named).unwrap_or(0)
            }
            None => self.focus.saturating_sub(before) + self.procedures,
        };
    }

    /// All rows that the focus can be on: starts, unfinished jobs, finished ones,
    /// the course, the calculators, the trial of the hold key, the author's bench.
    pub fn rows(&self) -> Vec<BoardRow> {
        let mut rows: Vec<BoardRow> = (0..self.procedures).map(BoardRow::Start).collect();
        let jobs = self.jobs.as_deref().unwrap_or(&[]);
        for ended in [false, true] {
            let here = jobs.iter().enumerate().filter(|(_, j)| j.ended == ended);
            rows.extend(here.map(|(i, _)| BoardRow::Job(i)));
        }
        rows.push(BoardRow::Practise);
        rows.push(BoardRow::Reckon);
        rows.push(BoardRow::Trial);
        rows.push(BoardRow::Author);
        rows
    }

    /// The row in focus.
    pub fn focused(&self) -> Option<BoardRow> {
        self.rows().get(self.focus).cloned()
    }

    /// Moves the focus; it stays on the board.
    pub fn step(&mut self, by: isize) {
        self.touched = true;
        let last = self.rows().len().saturating_sub(1);
        self.focus = self.focus.saturating_add_signed(by).min(last);
    }
}

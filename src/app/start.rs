//! A new job before it is opened: its front page and what is filled in there.

use super::action::NewJob;
use super::field::Field;
use super::{Catalog, Offered, Settings};
use crate::job::Person;
use crate::quantity::System;

/// A row of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartRow {
    /// The sheet.
    Sheet,
    /// The instruments.
    Instruments,
    /// Who has the keyboard.
    By,
    /// Who else is there.
    With,
    /// Why the job is done.
    Why,
    /// Units.
    Units,
    /// The job that is carried on.
    Earlier,
    /// The scope was read.
    Scope,
    /// Open the job.
    Open,
}

impl StartRow {
    /// All rows, in order.
    pub const ALL: [Self; 9] = [
        Self::Sheet,
        Self::Instruments,
        Self::By,
        Self::With,
        Self::Why,
        Self::Units,
        Self::Earlier,
        Self::Scope,
        Self::Open,
    ];

    /// Whether it takes typing.
    pub const fn is_field(self) -> bool {
        matches!(self, Self::By | Self::With | Self::Why | Self::Earlier)
    }
}

/// A new job before it is opened.
#[derive(Debug, Clone)]
pub struct Start {
    /// Index of the procedure in the catalog.
    pub procedure: usize,
    /// Index of the sheet.
    pub sheet: usize,
    /// Index of the list of instruments.
    pub instruments: usize,
    /// Who has the keyboard.
    pub by: Field,
    /// Who else is there, with commas.
    pub with: Field,
    /// Why.
    pub why: Field,
    /// Units.
    pub system: Option<System>,
    /// The job that is carried on.
    pub earlier: Field,
    /// The scope of the procedure; `None` while it is read.
    pub scope: Option<Vec<String>>,
    /// The scope was read and accepted.
    pub accepted: bool,
    /// First line of the scope shown.
    pub top: usize,
    /// The row in focus.
    pub focus: usize,
    /// What is wrong.
    pub message: Option<String>,
    /// The job is being opened.
    pub opening: bool,
}

impl Start {
    /// The form for a procedure.
    pub fn new(procedure: usize, settings: &Settings) -> Self {
        let by = settings.people.first().map_or("", String::as_str);
        Self {
            procedure,
            sheet: 0,
            instruments: 0,
            by: Field::with(by),
            with: Field::default(),
            why: Field::default(),
            system: settings.system,
            earlier: Field::default(),
            scope: None,
            accepted: false,
            top: 0,
            focus: 0,
            message: None,
            opening: false,
        }
    }

    /// The lists are others now; what was chosen stays chosen.
    pub(super) fn offers(&mut self, old: &Catalog, new: &Catalog) {
        let moved = |old: &[Offered], new: &[Offered], at: usize| {
            let on = old.get(at);
            let found = new.iter().position(|o| Some(o) == on);
            let named = || new.iter().position(|o| Some(&o.id) == on.map(|o| &o.id));
            found.or_else(named).unwrap_or(0)
        };
        self.procedure = moved(&old.procedures, &new.procedures, self.procedure);
        self.sheet = moved(&old.sheets, &new.sheets, self.sheet);
        self.instruments = moved(&old.instruments, &new.instruments, self.instruments);
    }

    /// The row in focus.
    pub fn row(&self) -> StartRow {
        StartRow::ALL
            .get(self.focus)
            .copied()
            .unwrap_or(StartRow::Sheet)
    }

    /// The line being typed, if the row in focus takes typing.
    pub fn field(&mut self) -> Option<&mut Field> {
        match self.row() {
            StartRow::By => Some(&mut self.by),
            StartRow::With => Some(&mut self.with),
            StartRow::Why => Some(&mut self.why),
            StartRow::Earlier => Some(&mut self.earlier),
            StartRow::Sheet
            | StartRow::Instruments
            | StartRow::Units
            | StartRow::Scope
            | StartRow::Open => None,
        }
    }

    /// Moves the focus.
    pub fn step(&mut self, by: isize) {
        let last = StartRow::ALL.len() - 1;
        self.focus = self.focus.saturating_add_signed(by).min(last);
    }

    /// Changes the value of the row in focus, one on or one back.
    pub fn turn(&mut self, catalog: &Catalog, by: isize) {
        let turned = |index: usize, count: usize| {
            let count = isize::try_from(count.max(1)).unwrap_or(1);
            let index = isize::try_from(index).unwrap_or(0);
            usize::try_from((index + by).rem_euclid(count)).unwrap_or(0)
        };
        match self.row() {
            StartRow::Sheet => self.sheet = turned(self.sheet, catalog.sheets.len()),
            StartRow::Instruments => {
                self.instruments = turned(self.instruments, catalog.instruments.len());
            }
            StartRow::Units => {
                self.system = match self.system {
                    None => Some(System::Metric),
                    Some(System::Metric) => Some(System::Us),
                    Some(System::Us) => None,
                }
            }
            StartRow::By
            | StartRow::With
            | StartRow::Why
            | StartRow::Earlier
            | StartRow::Scope
            | StartRow::Open => {}
        }
    }

    /// What the job is opened with, or what is missing and in which row.
    ///
    /// # Errors
    /// A sentence for the person, and the row to go to.
    pub fn finished(&self, catalog: &Catalog) -> Result<NewJob, (StartRow, String)> {
        let id = |list: &[Offered], index: usize| list.get(index).map(|o| o.id.clone());
        let refused =
            |list: &[Offered], index: usize| list.get(index).and_then(|o| o.refused.clone());
        for (row, list, index) in [
            (StartRow::Open, &catalog.procedures, self.procedure),
            (StartRow::Sheet, &catalog.sheets, self.sheet),
            (
                StartRow::Instruments,
                &catalog.instruments,
                self.instruments,
            ),
        ] {
            if let Some(why) = refused(list, index) {
                return Err((row, why));
            }
        }
        let missing = |row, what: &str| (row, format!("There is no {what} to start with."));
        let procedure = id(&catalog.procedures, self.procedure)
            .ok_or_else(|| missing(StartRow::Open, "procedure"))?;
        let sheet =
            id(&catalog.sheets, self.sheet).ok_or_else(|| missing(StartRow::Sheet, "sheet"))?;
        let instruments = id(&catalog.instruments, self.instruments)
            .ok_or_else(|| missing(StartRow::Instruments, "list of instruments"))?;
        let by = Person::new(self.by.text()).map_err(|_empty| {
            let say = "Who has the keyboard? Type a name; it stands in the record.";
            (StartRow::By, say.to_owned())
        })?;
        let mut with = Vec::new();
        for name in self.with.text().split(',').filter(|n| !n.trim().is_empty()) {
            let person = Person::new(name).map_err(|e| (StartRow::With, e.to_string()))?;
            with.push(person.to_string());
        }
        if self.why.text().trim().is_empty() {
            let say = "Why is the job done? A few words: vibration, parts replaced, annual test.";
            return Err((StartRow::Why, say.to_owned()));
        }
        if !self.accepted {
            let say = "Read what this procedure covers, then press y in that row.";
            return Err((StartRow::Scope, say.to_owned()));
        }
        let earlier = self.earlier.text().trim();
        Ok(NewJob {
            procedure,
            sheet,
            instruments,
            by: by.to_string(),
            with,
            why: self.why.text().trim().to_owned(),
            system: self.system,
            earlier: (!earlier.is_empty()).then(|| earlier.to_owned()),
        })
    }
}

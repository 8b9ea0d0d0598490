//! The course: drills to choose from, by number, freely.
//!
//! Must not know: files, drawing.

use super::Settings;
use super::field::Field;
use crate::drill::Kept;
use crate::job::Person;
use crate::rig::Chosen;

/// A drill that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrillRow {
    /// Its id.
    pub id: String,
    /// What people read.
    pub title: String,
    /// Its place in the course.
    pub number: u32,
    /// How much is said on the way.
    pub coaching: String,
    /// What it teaches.
    pub aim: Vec<String>,
    /// The drill that should have been passed before, by its id.
    pub after: Option<String>,
}

/// What a drill is opened with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewDrill {
    /// The drill.
    pub drill: String,
    /// The seed.
    pub seed: u64,
    /// Who practises.
    pub by: String,
    /// Faults instead of those of the drill.
    pub faults: Option<Chosen>,
}

/// The course on the screen.
#[derive(Debug, Clone)]
pub struct Course {
    /// Drills, by number; `None` while they are read.
    pub drills: Option<Vec<DrillRow>>,
    /// Drills done before, the last one first.
    pub kept: Vec<Kept>,
    /// The row in focus: 0 is the name.
    pub focus: usize,
    /// Who practises.
    pub by: Field,
    /// What is wrong or should be known.
    pub message: Option<String>,
    /// It is being opened.
    pub opening: bool,
}

impl Course {
    /// The course before its drills are read.
    pub fn new(settings: &Settings) -> Self {
        let by = settings
            .people
            .first()
            .map_or_else(Field::default, |person| Field::with(person));
        let focus = usize::from(!by.is_empty());
        Self {
            drills: None,
            kept: Vec::new(),
            focus,
            by,
            message: None,
            opening: false,
        }
    }

    /// Whether the name is in focus.
    pub const fn types(&self) -> bool {
        self.focus == 0
    }

    /// The drill in focus.
    pub fn drill(&self) -> Option<&DrillRow> {
        self.drills.as_ref()?.get(self.focus.checked_sub(1)?)
    }

    /// The title of the drill that should have been passed before this one and was not.
    pub fn better_after<'r>(&'r self, drill: &'r DrillRow) -> Option<&'r str> {
        let after = drill.after.as_deref().filter(|id| !self.passed(id))?;
        let rows = self.drills.as_ref()?;
        let found = rows.iter().find(|row| row.id == after);
        Some(found.map_or(after, |row| row.title.as_str()))
    }

    /// Moves the focus; it stays on the list.
    pub fn step(&mut self, by: isize) {
        let last = self.drills.as_ref().map_or(0, Vec::len);
        self.focus = self.focus.saturating_add_signed(by).min(last);
    }

    /// Whether this person passed a drill before.
    pub fn passed(&self, drill: &str) -> bool {
        let by = self.by.text().trim();
        self.kept
            .iter()
            .any(|k| k.drill == drill && k.passed && k.by == by)
    }

    /// The drill to open, or what is missing.
    ///
    /// # Errors
    /// A sentence for the person.
    pub fn chosen(&self, seed: u64) -> Result<NewDrill, String> {
        if self.by.text().trim().is_empty() {
            return Err(
                "Type your name first: drills are compared with your earlier ones.".to_owned(),
            );
        }
        let by = Person::new(self.by.text()).map_err(|error| error.to_string())?;
        let Some(drill) = self.drill() else {
            return Err("Choose a drill with the arrows.".to_owned());
        };
        Ok(NewDrill {
            drill: drill.id.clone(),
            seed,
            by: by.to_string(),
            faults: None,
        })
    }
}

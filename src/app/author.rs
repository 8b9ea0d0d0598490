//! The author's bench: a procedure looked at while it is written. What was found in
//! it, its steps as the mechanic meets them, what is known there.
//!
//! Invariants: nothing here writes, and no job begins here. What is shown is the
//! last reading that could be followed; a reading that can't changes the findings
//! and leaves the steps. A reading keeps the place: step, finding, pane.

mod keep;
mod key;
mod known;
mod look;
mod shown;
mod trail;
mod update;
mod way;

#[cfg(test)]
mod tests;

use std::sync::Arc;
use std::time::Duration;

pub use known::{Row, Section};
pub use look::{Came, Look, Reading, Source};
pub use shown::{View, answered_by_sheet};
pub use way::Way;

use super::App;
use super::field::Field;
use super::work::Work;
use super::{Catalog, Offered};
use crate::document::Places;
use crate::finding::{Place, Placed, Subject};
use crate::input::Stamp;
use crate::procedure::{Instruments, Procedure, Sheet, Step, StepId};
use crate::proof::Facts;

/// How often it is asked whether the document was saved.
const ASKED_EVERY: Duration = Duration::from_millis(500);

/// Steps that *back* remembers.
const REMEMBERED: usize = 200;

/// The author's bench.
#[derive(Debug)]
pub struct Author {
    /// The choice of a procedure; `None` when it was named on the command line.
    pub choice: Option<Choice>,
    /// The procedure that lies on the bench.
    pub bench: Option<Box<Bench>>,
}

/// Choosing what to look at.
#[derive(Debug, Clone, Default)]
pub struct Choice {
    /// The procedure in focus, by its place in the catalog.
    pub focus: usize,
    /// The sheet, by its place in the catalog from 1 on; 0: none.
    pub sheet: usize,
}

/// The parts of the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pane {
    /// What was found.
    Findings,
    /// The step as the mechanic meets it.
    Step,
    /// What is known there.
    Known,
    /// Where it leads and what leads there.
    Ways,
}

impl Pane {
    /// All of them, in order.
    pub const ALL: [Self; 4] = [Self::Findings, Self::Step, Self::Known, Self::Ways];

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Findings => "FINDINGS",
            Self::Step => "STEP",
            Self::Known => "KNOWN THERE",
            Self::Ways => "WAYS",
        }
    }
}

/// The last reading that could be followed.
#[derive(Debug)]
pub struct Picture {
    /// The step graph.
    pub procedure: Arc<Procedure>,
    /// What holds where.
    pub facts: Facts,
    /// The values of a vehicle, if a sheet was given that can be read.
    pub sheet: Option<Arc<Sheet>>,
    /// Instruments, in the same manner.
    pub instruments: Option<Arc<Instruments>>,
    /// Where things stand in the text.
    pub places: Places,
    /// When it was read.
    pub read: Stamp,
}

/// A step being looked for.
#[derive(Debug, Clone, Default)]
pub struct Find {
    /// What is typed.
    pub field: Field,
    /// The row in focus.
    pub focus: usize,
}

/// Whether it is asked if the document was saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asking {
    /// It is built in.
    Never,
    /// The next time is not yet.
    Waits,
    /// The answer is on its way.
    UnderWay,
}

/// A procedure on the bench.
#[derive(Debug)]
pub struct Bench {
    /// What is looked at.
    pub look: Look,
    /// The document, as people call it; empty before it was read.
    pub name: String,
    /// Everything found by the last reading, in the order of the text.
    pub findings: Vec<Placed>,
    /// When the document was last read; `None`: not yet.
    pub read: Option<Stamp>,
    /// It can't be read now, because.
    pub trouble: Option<String>,
    /// What is wrong with the sheet or the instruments.
    pub beside: Vec<String>,
    /// The last reading that could be followed.
    pub picture: Option<Box<Picture>>,
    /// The part that keys move in.
    pub pane: Pane,
    /// The size at which the step is shown.
    pub view: View,
    /// The step that is shown.
    pub at: Option<StepId>,
    /// The finding in focus.
    pub finding: usize,
    /// The step in focus along the finding's path; `None`: the focus is in the list.
    pub along: Option<usize>,
    /// First line shown of the finding in focus.
    pub detail_top: usize,
    /// The way in focus.
    pub way: usize,
    /// First row shown of the step.
    pub top: usize,
    /// The right part of a step that is wider than the window is shown.
    pub right: bool,
    /// First line shown of what is known.
    pub known_top: usize,
    /// A step is being looked for.
    pub find: Option<Find>,
    /// Help is open, from this line on.
    pub help: Option<usize>,
    /// The step as a job that stands at it.
    pub shown: Option<Box<Work>>,
    second: bool,
    about: Vec<Option<StepId>>,
    back: Vec<StepId>,
    places: Option<Places>,
    asking: Asking,
    now: Stamp,
}

impl Author {
    /// The choice of a procedure.
    pub fn choosing() -> Self {
        Self {
            choice: Some(Choice::default()),
            bench: None,
        }
    }

    /// A procedure that was named.
    pub fn named(look: Look, view: View, now: Stamp) -> Self {
        Self {
            choice: None,
            bench: Some(Box::new(Bench::new(look, view, now))),
        }
    }

    /// What is chosen.
    pub fn chosen(&self, catalog: &Catalog) -> Option<Look> {
        let choice = self.choice.as_ref()?;
        let procedure = catalog.procedures.get(choice.focus)?;
        let sheet = choice.sheet.checked_sub(1);
        let sheet = sheet.and_then(|at| catalog.sheets.get(at));
        Some(Look {
            procedure: procedure.source(),
            sheet: sheet.map(Offered::source),
            instruments: None,
        })
    }

    /// The shop's documents were read: the focus stays on what it was on.
    pub(super) fn offers(&mut self, old: &Catalog, new: &Catalog) {
        let Some(choice) = &mut self.choice else {
            return;
        };
        let on = old.procedures.get(choice.focus).map(|p| &p.id);
        let found = new.procedures.iter().position(|p| Some(&p.id) == on);
        choice.focus = found.unwrap_or(0);
        let on = choice.sheet.checked_sub(1);
        let on = on.and_then(|at| old.sheets.get(at)).map(|s| &s.id);
        let found = new.sheets.iter().position(|s| Some(&s.id) == on);
        choice.sheet = found.map_or(0, |at| at + 1);
    }

    /// How soon it must be asked again whether the document was saved.
    pub(super) fn wake_in(&self) -> Option<Duration> {
        let bench = self.bench.as_ref()?;
        (bench.asking != Asking::Never).then_some(ASKED_EVERY)
    }

    /// Whether a line is being typed.
    pub(super) fn types(&self) -> bool {
        let bench = self.bench.as_ref();
        bench.is_some_and(|b| b.help.is_none() && b.find.is_some())
    }
}

impl App {
    /// The time of day where the reader is.
    pub fn time_of_day(&self, at: Stamp) -> String {
        let seconds = at.wall_ms.div_euclid(1000) + i64::from(self.offset_min) * 60;
        let day = seconds.rem_euclid(86_400);
        let (hours, minutes) = (day / 3600, day / 60 % 60);
        format!("{hours:02}:{minutes:02}:{:02}", day % 60)
    }
}

impl Bench {
    fn new(look: Look, view: View, now: Stamp) -> Self {
        Self {
            look,
            name: String::new(),
            findings: Vec::new(),
            read: None,
            trouble: None,
            beside: Vec::new(),
            picture: None,
            pane: Pane::Findings,
            view,
            at: None,
            finding: 0,
            along: None,
            detail_top: 0,
            way: 0,
            top: 0,
            right: false,
            known_top: 0,
            find: None,
            help: None,
            shown: None,
            second: false,
            about: Vec::new(),
            back: Vec::new(),
            places: None,
            asking: Asking::UnderWay,
            now,
        }
    }

    /// The step that is shown.
    pub fn step(&self) -> Option<&Step> {
        self.picture.as_ref()?.procedure.step(self.at.as_ref()?)
    }

    /// Which of how many it is in the document, from 1.
    pub fn number(&self) -> Option<(usize, usize)> {
        let steps = &self.picture.as_ref()?.procedure.steps;
        let at = steps.iter().position(|s| Some(&s.id) == self.at.as_ref())?;
        Some((at + 1, steps.len()))
    }

    /// How many errors and warnings the last reading found.
    pub fn counts(&self) -> (usize, usize) {
        let errors = self.findings.iter().filter(|p| p.finding.is_error());
        let errors = errors.count();
        (errors, self.findings.len() - errors)
    }

    /// Whether the steps are those of an earlier reading than the findings.
    pub fn steps_are_older(&self) -> bool {
        let read = self.picture.as_ref().map(|p| p.read);
        self.read.is_some() && read.is_some() && self.read != read
    }

    /// The finding in focus.
    pub fn found(&self) -> Option<&Placed> {
        self.findings.get(self.finding)
    }

    /// The steps of the finding's path, as far as its titles lead.
    pub fn path(&self) -> Vec<Option<StepId>> {
        match (self.found(), &self.picture) {
            (Some(found), Some(picture)) => {
                let about = self.own_step(found);
                trail::steps(&found.finding.path, &picture.procedure, about.as_ref())
            }
            _ => Vec::new(),
        }
    }

    /// The step that a finding is about, by the finding's place in the list.
    pub fn step_about(&self, finding: usize) -> Option<&StepId> {
        self.about.get(finding)?.as_ref()
    }

    /// The steps that the findings are about: a finding's own, or the last of its
    /// path, or the one that begins last before it in the text.
    fn steps_about(&self) -> Vec<Option<StepId>> {
        let mut begins = None;
        let all = self.findings.iter();
        all.map(|found| {
            let own = self.own_step(found).or_else(|| self.end_of_path(found));
            let Subject::Text { from, .. } = found.finding.subject.owner() else {
                return own;
            };
            // Each place costs a walk through the text: they are asked for once.
            let begins = begins.get_or_insert_with(|| self.begins());
            let before = begins.iter().filter(|(at, _)| *at <= from);
            own.or_else(|| before.max_by_key(|(at, _)| *at).map(|(_, id)| id.clone()))
        })
        .collect()
    }

    fn end_of_path(&self, found: &Placed) -> Option<StepId> {
        let picture = self.picture.as_ref()?;
        let path = trail::steps(&found.finding.path, &picture.procedure, None);
        path.last().cloned().flatten()
    }

    /// The step in whose own words a finding lies.
    fn own_step(&self, found: &Placed) -> Option<StepId> {
        let Subject::Step(name) = found.finding.subject.owner() else {
            return None;
        };
        let steps = &self.picture.as_ref()?.procedure.steps;
        let step = steps.iter().find(|s| s.id.as_str() == name);
        step.map(|s| s.id.clone())
    }

    /// Where each step begins in the text that was read last.
    fn begins(&self) -> Vec<(usize, StepId)> {
        let (Some(places), Some(picture)) = (&self.places, &self.picture) else {
            return Vec::new();
        };
        let steps = picture.procedure.steps.iter();
        steps
            .filter_map(|s| {
                let place = places.find(&Subject::step(&s.id))?;
                Some((place.span.0, s.id.clone()))
            })
            .collect()
    }

    /// Where the step that is shown stands in the text.
    pub fn place(&self) -> Option<Place> {
        let picture = self.picture.as_ref()?;
        picture.places.find(&Subject::step(self.at.as_ref()?))
    }

    /// What is known at the step that is shown.
    pub fn known(&self) -> Vec<Section> {
        match (&self.picture, self.step()) {
            (Some(picture), Some(step)) => known::sections(picture, step, self.place()),
            _ => Vec::new(),
        }
    }

    /// Where the step that is shown leads, then what leads there.
    pub fn ways(&self) -> Vec<Way> {
        match (&self.picture, self.step()) {
            (Some(picture), Some(step)) => way::of(&picture.procedure, step),
            _ => Vec::new(),
        }
    }

    /// The steps whose title or name has every word that is typed.
    pub fn wanted(&self) -> Vec<&Step> {
        let (Some(picture), Some(find)) = (&self.picture, &self.find) else {
            return Vec::new();
        };
        let words = find.field.text().to_lowercase();
        let has = |step: &&Step| {
            let about = format!("{} {}", step.title, step.id).to_lowercase();
            words.split_whitespace().all(|word| about.contains(word))
        };
        picture.procedure.steps.iter().filter(has).collect()
    }

    /// Whether the step has a second page: what was seen after a movement.
    pub fn has_pages(&self) -> bool {
        let Some(picture) = &self.picture else {
            return false;
        };
        self.step()
            .is_some_and(|s| picture.procedure.is_movement(s))
    }
}

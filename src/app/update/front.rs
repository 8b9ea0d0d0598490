//! The board, the front page of a new job, the trial of the hold key.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "an action that means nothing here changes nothing"
)]

use super::{PAGE, PAGE_STEP};
use crate::app::action::{Action, Effect};
use crate::app::board::BoardRow;
use crate::app::course::{Course, NewDrill};
use crate::app::reckon::Reckon;
use crate::app::start::{Start, StartRow};
use crate::app::trial::Trial;
use crate::app::{App, Screen};
use crate::hold::Calibration;
use crate::quantity::System;

impl App {
    pub(super) fn on_board(&mut self, action: &Action) -> Vec<Effect> {
        let Screen::Board(board) = &mut self.screen else {
            return Vec::new();
        };
        board.message = None;
        match action {
            Action::Up => board.step(-1),
            Action::Down => board.step(1),
            Action::PageUp => board.step(-PAGE_STEP),
            Action::PageDown => board.step(PAGE_STEP),
            Action::Leave => return vec![Effect::Quit],
            Action::Accept => return self.open_row(),
            _ => {}
        }
        Vec::new()
    }

    fn open_row(&mut self) -> Vec<Effect> {
        let Screen::Board(board) = &self.screen else {
            return Vec::new();
        };
        match board.focused() {
            Some(BoardRow::Start(index)) => {
                let offered = self.catalog.procedures.get(index);
                let (id, refused) = (
                    offered.map(|p| p.id.clone()),
                    offered.and_then(|p| p.refused.clone()),
                );
                let mut start = Start::new(index, &self.settings);
                if refused.is_some() {
                    // Its scope is not asked for: one of that name may be released.
                    start.scope = Some(vec![
                        "It is shown once the procedure is released.".to_owned(),
                    ]);
                    start.message = refused;
                    self.screen = Screen::Start(Box::new(start));
                    return Vec::new();
                }
                self.screen = Screen::Start(Box::new(start));
                id.map(Effect::ReadScope).into_iter().collect()
            }
            Some(BoardRow::Reckon) => {
                let system = self.settings.system.unwrap_or(System::Metric);
                self.screen = Screen::Reckon(Box::new(Reckon::new(system)));
                Vec::new()
            }
            Some(BoardRow::Practise) => self.practise(None, None),
            Some(BoardRow::Author) => {
                self.choose_look();
                Vec::new()
            }
            Some(BoardRow::Trial) => {
                self.screen = Screen::Trial(self.new_trial());
                vec![Effect::KeyReleases(true)]
            }
            Some(BoardRow::Job(index)) => {
                let job = board.jobs.as_ref().and_then(|jobs| jobs.get(index));
                let effect = job.map(|job| {
                    if job.ended || job.trouble.is_some() {
                        Effect::Show(job.id.clone())
                    } else {
                        Effect::Open(job.id.clone())
                    }
                });
                effect.into_iter().collect()
            }
            None => Vec::new(),
        }
    }

    /// A name used now is the first to be offered next time.
    fn remember(&mut self, by: String) {
        self.settings.people.retain(|p| *p != by);
        self.settings.people.insert(0, by);
        self.settings.people.truncate(20);
    }

    pub(super) fn new_trial(&self) -> Trial {
        Trial {
            calibration: Calibration::new(self.clock),
            ruling: None,
        }
    }

    pub(super) fn on_trial(&mut self, action: &Action) -> Vec<Effect> {
        match action {
            Action::Back => {
                let mut effects = vec![Effect::KeyReleases(false)];
                effects.extend(self.go_to_board());
                effects
            }
            Action::Accept => {
                self.screen = Screen::Trial(self.new_trial());
                Vec::new()
            }
            _ => Vec::new(),
        }
    }

    /// Opens the course, or a drill at once; the person's name may be known already.
    pub fn practise(&mut self, drill: Option<NewDrill>, by: Option<String>) -> Vec<Effect> {
        if let Some(by) = by {
            self.remember(by);
        }
        let mut course = Course::new(&self.settings);
        let mut effects = vec![Effect::ListDrills];
        if let Some(drill) = drill {
            course.opening = true;
            course.message = Some("Opening the drill.".to_owned());
            effects.extend([Effect::Drill(Box::new(drill)), Effect::KeepSettings]);
        }
        self.screen = Screen::Course(Box::new(course));
        effects
    }

    pub(super) fn on_course(&mut self, action: Action) -> Vec<Effect> {
        let Screen::Course(course) = &mut self.screen else {
            return Vec::new();
        };
        if course.opening {
            return Vec::new();
        }
        course.message = None;
        match action {
            Action::Up => course.step(-1),
            Action::Accept if !course.types() => return self.open_drill(),
            Action::Down | Action::Accept => course.step(1),
            Action::PageUp => course.step(-PAGE_STEP),
            Action::PageDown => course.step(PAGE_STEP),
            Action::Edit(edit) if course.types() => course.by.edit(&edit),
            Action::Back if course.types() && !course.by.is_empty() => course.by.clear(),
            Action::Back | Action::Leave => return self.go_to_board(),
            _ => {}
        }
        Vec::new()
    }

    fn open_drill(&mut self) -> Vec<Effect> {
        let seed = u64::from(self.number()) * 1_000 + u64::from(self.number());
        let Screen::Course(course) = &mut self.screen else {
            return Vec::new();
        };
        match course.chosen(seed) {
            Ok(drill) => {
                course.opening = true;
                course.message = Some("Opening the drill.".to_owned());
                let by = drill.by.clone();
                self.remember(by);
                vec![Effect::Drill(Box::new(drill)), Effect::KeepSettings]
            }
            Err(say) => {
                course.message = Some(say);
                if course.by.text().trim().is_empty() {
                    course.focus = 0;
                }
                Vec::new()
            }
        }
    }

    pub(super) fn on_start(&mut self, action: Action) -> Vec<Effect> {
        let catalog = self.catalog.clone();
        let Screen::Start(start) = &mut self.screen else {
            return Vec::new();
        };
        if start.opening {
            return Vec::new();
        }
        start.message = None;
        match action {
            Action::Up => start.step(-1),
            Action::Accept if start.row() == StartRow::Open => return self.open_new(),
            Action::Down | Action::Accept => start.step(1),
            Action::Less => start.turn(&catalog, -1),
            Action::More => start.turn(&catalog, 1),
            Action::PageUp => start.top = start.top.saturating_sub(PAGE),
            Action::PageDown => {
                let last = start.scope.as_ref().map_or(0, Vec::len).saturating_sub(1);
                start.top = (start.top + PAGE).min(last);
            }
            Action::Edit(edit) => {
                if let Some(field) = start.field() {
                    field.edit(&edit);
                }
            }
            Action::Letter('y') if start.row() == StartRow::Scope && start.scope.is_some() => {
                start.accepted = true;
                start.step(1);
            }
            Action::Letter('n') if start.row() == StartRow::Scope => start.accepted = false,
            Action::Back => match start.field() {
                Some(field) if !field.is_empty() => field.clear(),
                _ => return self.go_to_board(),
            },
            _ => {}
        }
        Vec::new()
    }

    fn open_new(&mut self) -> Vec<Effect> {
        let Screen::Start(start) = &mut self.screen else {
            return Vec::new();
        };
        match start.finished(&self.catalog) {
            Ok(job) => {
                start.opening = true;
                let by = job.by.clone();
                self.remember(by);
                // The first job makes the directory that settings are kept in.
                vec![Effect::Create(Box::new(job)), Effect::KeepSettings]
            }
            Err((row, say)) => {
                start.message = Some(say);
                start.focus = StartRow::ALL.iter().position(|r| *r == row).unwrap_or(0);
                Vec::new()
            }
        }
    }
}

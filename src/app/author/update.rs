//! What an action or a reading changes on the author's bench.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "an action that means nothing here changes nothing"
)]

use super::look::{Came, Look, Reading};
use super::{Asking, Author, Bench, Find, Pane, Picture, REMEMBERED, View, keep, shown};
use crate::app::action::{Action, Edit, Effect};
use crate::app::{App, Screen};
use crate::procedure::StepId;

/// Lines that a page key moves by.
const PAGE: isize = 8;

/// Furthest line that can be scrolled to; drawing stops at the last one.
const FURTHEST: usize = 400;

/// Where an action leads.
enum Way {
    Stay,
    Up,
    Leave,
}

impl App {
    /// Opens the bench on a procedure that was named.
    pub fn look_at(&mut self, look: Look) -> Vec<Effect> {
        let asked = Effect::Look(Box::new(look.clone()));
        let view = View::fitting(self.size);
        self.screen = Screen::Author(Box::new(Author::named(look, view, self.clock)));
        vec![asked]
    }

    /// Opens the choice of what to look at.
    pub(in crate::app) fn choose_look(&mut self) {
        self.screen = Screen::Author(Box::new(Author::choosing()));
    }

    pub(in crate::app) fn on_author(&mut self, action: &Action) -> Vec<Effect> {
        let now = self.clock;
        let Screen::Author(author) = &mut self.screen else {
            return Vec::new();
        };
        let Some(bench) = &mut author.bench else {
            return self.on_choice(action);
        };
        bench.now = now;
        match bench.update(action) {
            Way::Stay => Vec::new(),
            Way::Up if author.choice.is_some() => {
                author.bench = None;
                Vec::new()
            }
            Way::Leave if author.choice.is_none() => vec![Effect::Quit],
            Way::Up | Way::Leave => self.go_to_board(),
        }
    }

    fn on_choice(&mut self, action: &Action) -> Vec<Effect> {
        let (procedures, sheets) = (self.catalog.procedures.len(), self.catalog.sheets.len());
        let (now, view) = (self.clock, View::fitting(self.size));
        let Screen::Author(author) = &mut self.screen else {
            return Vec::new();
        };
        let chosen = author.chosen(&self.catalog);
        let Some(choice) = &mut author.choice else {
            return Vec::new();
        };
        match action {
            Action::Up => choice.focus = moved(choice.focus, -1, procedures),
            Action::Down => choice.focus = moved(choice.focus, 1, procedures),
            Action::PageUp => choice.focus = moved(choice.focus, -PAGE, procedures),
            Action::PageDown => choice.focus = moved(choice.focus, PAGE, procedures),
            // Round the sheets, with none among them.
            Action::Less => choice.sheet = (choice.sheet + sheets) % (sheets + 1),
            Action::More => choice.sheet = (choice.sheet + 1) % (sheets + 1),
            Action::Accept => {
                if let Some(look) = chosen {
                    let asked = Effect::Look(Box::new(look.clone()));
                    author.bench = Some(Box::new(Bench::new(look, view, now)));
                    return vec![asked];
                }
            }
            Action::Back | Action::Leave => return self.go_to_board(),
            _ => {}
        }
        Vec::new()
    }

    /// Time passed: it is asked whether the document was saved, one question at a time.
    pub(in crate::app) fn ask_saved(&mut self) -> Vec<Effect> {
        let Screen::Author(author) = &mut self.screen else {
            return Vec::new();
        };
        let Some(bench) = &mut author.bench else {
            return Vec::new();
        };
        if bench.asking != Asking::Waits {
            return Vec::new();
        }
        bench.asking = Asking::UnderWay;
        vec![Effect::LookAgain(Box::new(bench.look.clone()))]
    }

    /// What came of a look; `saved_again` tells whether the document is a file, which
    /// may be saved again.
    pub(in crate::app) fn looked(&mut self, look: &Look, came: Came, saved_again: bool) {
        let now = self.clock;
        if let Screen::Author(author) = &mut self.screen
            && let Some(bench) = author.bench.as_mut().filter(|b| b.look == *look)
        {
            bench.asking = if saved_again {
                Asking::Waits
            } else {
                Asking::Never
            };
            bench.now = now;
            match came {
                Came::Same => {}
                Came::Unreadable(why) => bench.trouble = Some(why),
                Came::Read(reading) => bench.read(*reading),
            }
        }
    }
}

/// A row so many further; it stays on the list.
fn moved(at: usize, by: isize, rows: usize) -> usize {
    at.saturating_add_signed(by).min(rows.saturating_sub(1))
}

/// How far a key moves along a list.
const fn by(action: &Action) -> Option<isize> {
    Some(match action {
        Action::Up => -1,
        Action::Down => 1,
        Action::PageUp => -PAGE,
        Action::PageDown => PAGE,
        _ => return None,
    })
}

impl Bench {
    /// Takes a reading in; the place is kept.
    fn read(&mut self, reading: Reading) {
        let first = self.read.is_none();
        self.trouble = None;
        self.name = reading.name;
        self.read = Some(self.now);
        self.finding = keep::finding(&self.findings, self.finding, &reading.findings);
        self.findings = reading.findings;
        self.beside = reading.beside;
        if let Some((procedure, facts)) = reading.followed {
            let old = self.picture.take();
            let old = old
                .as_ref()
                .map_or(&[][..], |p| p.procedure.steps.as_slice());
            self.at = match &self.at {
                Some(at) => keep::step(old, at, &procedure.steps),
                None => procedure.steps.first().map(|s| s.id.clone()),
            };
            self.picture = Some(Box::new(Picture {
                procedure,
                facts,
                sheet: reading.sheet,
                instruments: reading.instruments,
                places: reading.places.clone(),
                read: self.now,
            }));
        }
        self.places = Some(reading.places);
        self.about = self.steps_about();
        let path = self.path().len();
        self.along = self
            .along
            .filter(|_| path > 0)
            .map(|at| at.min(path.saturating_sub(1)));
        self.way = moved(self.way, 0, self.ways().len());
        if first && self.findings.is_empty() {
            self.pane = Pane::Step;
        }
        self.show();
    }

    /// Draws the step anew.
    fn show(&mut self) {
        let shown = match (&self.picture, self.step()) {
            (Some(picture), Some(step)) => shown::at(picture, step, self.now, self.second),
            _ => None,
        };
        self.shown = shown.map(Box::new);
    }

    /// Shows another step; *back* leads to the one that was shown.
    fn go(&mut self, to: Option<StepId>) {
        let Some(to) = to.filter(|to| Some(to) != self.at.as_ref()) else {
            return;
        };
        self.back.extend(self.at.take());
        let over = self.back.len().saturating_sub(REMEMBERED);
        self.back.drain(..over);
        self.arrive(to);
    }

    fn arrive(&mut self, at: StepId) {
        self.at = Some(at);
        self.second = false;
        (self.top, self.known_top, self.way) = (0, 0, 0);
        self.right = false;
        self.show();
    }

    /// Whether *back* leads anywhere.
    pub(super) fn goes_back(&self) -> bool {
        self.back.iter().any(|id| self.is_there(id))
    }

    fn is_there(&self, id: &StepId) -> bool {
        let picture = self.picture.as_ref();
        picture.is_some_and(|p| p.procedure.step(id).is_some())
    }

    fn go_back(&mut self) {
        while let Some(id) = self.back.pop() {
            // A reading may have taken it away.
            if self.is_there(&id) {
                self.arrive(id);
                return;
            }
        }
    }

    /// The step so many further in the document.
    fn step_on(&mut self, by: isize) {
        let to = self.picture.as_ref().and_then(|picture| {
            let steps = &picture.procedure.steps;
            let here = steps.iter().position(|s| Some(&s.id) == self.at.as_ref())?;
            steps
                .get(moved(here, by, steps.len()))
                .map(|s| s.id.clone())
        });
        self.go(to);
    }

    /// The next finding or the one before, round at the ends, and its step.
    fn jump(&mut self, by: isize) {
        let count = self.findings.len().cast_signed();
        if count > 0 {
            let to = (self.finding.cast_signed() + by).rem_euclid(count);
            self.finding = to.cast_unsigned();
            (self.along, self.detail_top) = (None, 0);
            self.go_to_finding();
        }
    }

    fn go_to_finding(&mut self) {
        let to = self.step_about(self.finding).cloned();
        self.go(to);
    }

    fn update(&mut self, action: &Action) -> Way {
        if let Some(top) = self.help {
            self.help = match action {
                Action::Back | Action::Accept | Action::Help | Action::Leave => None,
                _ => Some(by(action).map_or(top, |by| moved(top, by, FURTHEST))),
            };
            return Way::Stay;
        }
        if self.find.is_some() {
            self.on_find(action);
            return Way::Stay;
        }
        match action {
            Action::Help => self.help = Some(0),
            Action::Leave => return Way::Leave,
            Action::Back => return self.up(),
            Action::NextPane => self.turn(1),
            Action::PaneBefore => self.turn(3),
            Action::Less => self.step_on(-1),
            Action::More => self.step_on(1),
            Action::Edit(Edit::Home) => self.right = false,
            Action::Edit(Edit::End) => self.right = true,
            Action::Letter(letter) => self.letter(*letter),
            _ => self.in_pane(action),
        }
        Way::Stay
    }

    /// Back one level: from the path to the list, from another pane to the findings,
    /// then off the bench.
    fn up(&mut self) -> Way {
        if self.pane == Pane::Findings && self.along.is_none() {
            return Way::Up;
        }
        if self.pane == Pane::Findings {
            self.along = None;
        }
        self.pane = Pane::Findings;
        Way::Stay
    }

    fn turn(&mut self, by: usize) {
        let all = Pane::ALL.iter().copied();
        let here = all.clone().position(|p| p == self.pane).unwrap_or(0);
        let next = all.cycle().nth(here + by);
        self.pane = next.unwrap_or(Pane::Findings);
    }

    fn letter(&mut self, letter: char) {
        match letter {
            'f' => self.jump(1),
            'F' => self.jump(-1),
            'b' | 'B' => self.go_back(),
            'z' | 'Z' => {
                self.view = self.view.next();
                (self.top, self.right) = (0, false);
            }
            'm' | 'M' if self.has_pages() => {
                self.second = !self.second;
                self.show();
            }
            'p' | 'P' if !self.path().is_empty() => {
                self.pane = Pane::Findings;
                self.along = Some(self.path().len().saturating_sub(1));
            }
            '/' if self.picture.is_some() => self.find = Some(Find::default()),
            _ => {}
        }
    }

    fn in_pane(&mut self, action: &Action) {
        let by = by(action);
        match (self.pane, by) {
            (Pane::Findings, _) => self.in_findings(action, by),
            (Pane::Step, Some(by)) => {
                self.top = moved(self.top, by, usize::from(self.view.size().1));
            }
            (Pane::Known, Some(by)) => self.known_top = moved(self.known_top, by, FURTHEST),
            (Pane::Ways, Some(by)) => self.way = moved(self.way, by, self.ways().len()),
            (Pane::Ways, None) if *action == Action::Accept => {
                let way = self.ways().get(self.way).map(|w| w.step.clone());
                self.go(way);
            }
            (Pane::Step | Pane::Known | Pane::Ways, None) => {}
        }
    }

    fn in_findings(&mut self, action: &Action, by: Option<isize>) {
        let path = self.path();
        match (self.along, by) {
            (Some(at), Some(by)) => self.along = Some(moved(at, by, path.len())),
            (None, Some(by)) if matches!(action, Action::PageUp | Action::PageDown) => {
                self.detail_top = moved(self.detail_top, by, FURTHEST);
            }
            (None, Some(by)) => {
                self.finding = moved(self.finding, by, self.findings.len());
                self.detail_top = 0;
            }
            (Some(at), None) if *action == Action::Accept => {
                let to = path.get(at).cloned().flatten();
                let opens = to.is_some();
                self.go(to);
                if opens {
                    self.pane = Pane::Step;
                }
            }
            (None, None) if *action == Action::Accept => {
                let to = self.step_about(self.finding).cloned();
                if to.is_some() {
                    self.go(to);
                    self.pane = Pane::Step;
                }
            }
            (_, None) => {}
        }
    }

    fn on_find(&mut self, action: &Action) {
        let wanted: Vec<StepId> = self.wanted().iter().map(|s| s.id.clone()).collect();
        let Some(find) = &mut self.find else {
            return;
        };
        match action {
            Action::Edit(edit) => {
                find.field.edit(edit);
                find.focus = 0;
            }
            Action::Accept => {
                if let Some(to) = wanted.get(find.focus).cloned() {
                    self.find = None;
                    self.pane = Pane::Step;
                    self.go(Some(to));
                }
            }
            Action::Back if find.field.is_empty() => self.find = None,
            Action::Back => {
                find.field.clear();
                find.focus = 0;
            }
            _ => {
                if let Some(by) = by(action) {
                    find.focus = moved(find.focus, by, wanted.len());
                }
            }
        }
    }
}

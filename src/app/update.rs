//! What an action or a reply changes.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "an input or action that means nothing at a place changes nothing"
)]

mod front;
mod over;
mod reckon;
mod step;

use std::sync::Arc;

use super::action::{Action, Edit, Effect, OpenedJob, Reply};
use super::board::Board;
use super::field::Field;
use super::item::ItemKind;
use super::keys::{action, types};
use super::over::{Over, Purpose, Reason};
use super::practise::Practise;
use super::work::{Work, sentence};
use super::{App, Catalog, Screen};
use crate::drill::{Drill, Kept, debrief, page};
use crate::hold;
use crate::input::{Input, Key, Press, Stamped};
use crate::job::{Command, Evidence, Tier};

pub use over::instrument_rows;

/// Lines that a page key moves by.
const PAGE: usize = 8;

/// The same as a step of the focus.
const PAGE_STEP: isize = 8;

impl App {
    /// Takes an input.
    pub fn take(&mut self, stamped: &Stamped) -> Vec<Effect> {
        self.clock = stamped.at;
        let mut at_truck = false;
        if let Screen::Work(work) = &mut self.screen {
            let page = if self.size.0 < 60 || self.size.1 < 20 {
                1
            } else {
                4
            };
            at_truck = work.truck_takes(stamped, &self.hold, page);
            work.now = match &work.practise {
                Some(practise) => practise.ahead(stamped.at),
                None => stamped.at,
            };
            work.keep_focus();
        }
        if let Input::Resize { cols, rows } = stamped.input {
            self.size = (cols, rows);
        }
        let mut effects = self.judged(stamped);
        if !at_truck {
            effects.extend(self.meant(stamped));
        }
        if stamped.input == Input::Tick {
            effects.extend(self.ask_saved());
        }
        effects.extend(self.tended());
        effects
    }

    /// Takes what came of an effect.
    pub fn reply(&mut self, reply: Reply) -> Vec<Effect> {
        let mut effects = Vec::new();
        match reply {
            Reply::Catalog(catalog) => self.offer(catalog),
            Reply::Jobs(jobs) => {
                if let Screen::Board(board) = &mut self.screen {
                    board.list(jobs);
                }
            }
            Reply::Scope { procedure, lines } => self.scope(&procedure, lines),
            Reply::Opened(job) => {
                self.screen = Screen::Work(Box::new(Work::new(*job, self.clock)));
            }
            Reply::Drills(drills, kept, broken) => {
                if let Screen::Course(course) = &mut self.screen {
                    course.drills = Some(drills);
                    course.kept = kept;
                    if !broken.is_empty() && !course.opening {
                        course.message = Some(broken.join(" "));
                    }
                }
            }
            Reply::Drilled(job, drill, before) => self.drilled(*job, *drill, before),
            Reply::NotOpened(why) => self.not_opened(why),
            Reply::Durable => {
                let offset = self.offset_min;
                if let Screen::Work(work) = &mut self.screen {
                    effects = work.durable(offset);
                }
            }
            Reply::StorageFailed(why) => {
                if let Screen::Work(work) = &mut self.screen {
                    work.fail(why);
                }
            }
            Reply::Told(what) => match &mut self.screen {
                Screen::Work(work) => work.message = Some(what),
                Screen::Page { lines, .. } => lines.insert(0, format!("! {what}")),
                Screen::Board(board) => board.message = Some(what),
                Screen::Start(_)
                | Screen::Trial(_)
                | Screen::Course(_)
                | Screen::Reckon(_)
                | Screen::Author(_) => {}
            },
            Reply::Copied(result) => {
                if let Screen::Work(work) = &mut self.screen {
                    work.message = Some(match result {
                        Ok(place) => format!("A whole copy of the record is at {place}."),
                        Err(why) => sentence(&why),
                    });
                }
            }
            Reply::Looked {
                look,
                came,
                saved_again,
            } => self.looked(&look, came, saved_again),
            Reply::Page { title, lines } => {
                let top = 0;
                self.screen = Screen::Page { title, lines, top };
            }
        }
        effects.extend(self.tended());
        effects
    }

    fn scope(&mut self, procedure: &str, lines: Vec<String>) {
        let mut known = self.catalog.procedures.iter();
        let index = known.position(|p| p.id == procedure);
        if let Screen::Start(start) = &mut self.screen
            && index == Some(start.procedure)
        {
            start.scope = Some(lines);
        }
    }

    fn not_opened(&mut self, why: String) {
        match &mut self.screen {
            Screen::Start(start) => {
                start.opening = false;
                start.message = Some(why);
            }
            Screen::Board(board) => board.message = Some(why),
            Screen::Course(course) => {
                course.opening = false;
                course.message = Some(why);
            }
            Screen::Work(_)
            | Screen::Trial(_)
            | Screen::Reckon(_)
            | Screen::Author(_)
            | Screen::Page { .. } => {}
        }
    }

    /// The shop's own documents were read: they can be started with too.
    fn offer(&mut self, catalog: Catalog) {
        match &mut self.screen {
            Screen::Board(board) => board.offers(&self.catalog, &catalog),
            Screen::Start(start) => start.offers(&self.catalog, &catalog),
            Screen::Author(author) => author.offers(&self.catalog, &catalog),
            Screen::Work(_)
            | Screen::Trial(_)
            | Screen::Course(_)
            | Screen::Reckon(_)
            | Screen::Page { .. } => {}
        }
        self.catalog = catalog;
    }

    /// Every input goes to the judge of an open hold first.
    fn judged(&mut self, stamped: &Stamped) -> Vec<Effect> {
        let fits = self.fits();
        let offset = self.offset_min;
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        let Some(mut judge) = work.judge.take() else {
            return Vec::new();
        };
        if !fits {
            judge.hidden(&mut self.hold);
        }
        let outcome = judge.take(&mut self.hold, stamped);
        work.judge = Some(judge);
        match outcome {
            Some(hold::Outcome::Committed(evidence)) => {
                work.submit(Command::Hold(kept(&evidence)), offset)
            }
            Some(hold::Outcome::Cancelled(_) | hold::Outcome::TurnsChosen) | None => Vec::new(),
        }
    }

    /// Opens and closes the judge, lapses what was not kept, rings the bell.
    fn tended(&mut self) -> Vec<Effect> {
        let number = self.number();
        let offset = self.offset_min;
        let bell = self.settings.bell;
        let clock = self.clock;
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        let mut effects = work.tend_judge(&self.hold, number, clock);
        if work.pending.is_none() && !work.stopped() && work.lapsed() {
            effects.extend(work.submit(Command::Lapse, offset));
        }
        let up = matches!(work.countdown(), Some((0, _)))
            || work
                .items()
                .iter()
                .any(|i| matches!(i.kind, ItemKind::Watch(..)));
        if !up {
            work.rung = false;
        } else if !work.rung {
            work.rung = true;
            if bell {
                effects.push(Effect::Bell);
            }
        }
        effects
    }

    /// What the input means as an action, and what that changes.
    fn meant(&mut self, stamped: &Stamped) -> Vec<Effect> {
        match &stamped.input {
            Input::Key {
                key,
                modifiers,
                phase: Press::Down | Press::Repeat,
            } => {
                if self.trial_takes(stamped, *key) || self.hold_takes(*key) {
                    return Vec::new();
                }
                // Stop work is never swallowed; the tail of a hold is.
                let stops = *key == Key::Esc || modifiers.ctrl;
                if !stops && self.hold.swallows(stamped) {
                    return Vec::new();
                }
                match action(self, *key, *modifiers) {
                    Some(action) => self.update(action),
                    None => Vec::new(),
                }
            }
            Input::Paste(text) if types(self) => {
                self.update(Action::Edit(Edit::PutText(text.clone())))
            }
            Input::Terminate | Input::HangUp => vec![Effect::Quit],
            Input::Interrupt => self.update(Action::Interrupt),
            Input::Suspend => vec![Effect::Suspend],
            _ => {
                self.trial_takes(stamped, Key::Other);
                Vec::new()
            }
        }
    }

    /// The keys of a hold mean nothing else while its judge is open.
    fn hold_takes(&self, key: Key) -> bool {
        let Screen::Work(work) = &self.screen else {
            return false;
        };
        let Some(judge) = &work.judge else {
            return false;
        };
        match key {
            Key::Char(' ' | 'f' | 'F' | 'j' | 'J' | 't' | 'T') => true,
            Key::Char(c) => {
                c.is_ascii_digit() && matches!(judge.view().phase, hold::Phase::Typing { .. })
            }
            _ => false,
        }
    }

    /// Every input but Esc and Enter after a ruling goes to a trial that is open.
    fn trial_takes(&mut self, stamped: &Stamped, key: Key) -> bool {
        let trial = match &mut self.screen {
            Screen::Trial(trial) => trial,
            Screen::Work(work) => match &mut work.over {
                Over::Trial(trial) => trial.as_mut(),
                _ => return false,
            },
            _ => return false,
        };
        if key == Key::Esc || (trial.ruling.is_some() && key == Key::Enter) {
            return false;
        }
        if trial.ruling.is_none() {
            trial.ruling = trial.calibration.take(&mut self.hold, stamped);
        }
        true
    }

    /// What an action changes.
    pub fn update(&mut self, action: Action) -> Vec<Effect> {
        match action {
            Action::Suspend => return vec![Effect::Suspend],
            Action::Interrupt => return self.interrupt(),
            _ => {}
        }
        if !self.fits() && action != Action::Back {
            return Vec::new();
        }
        match &mut self.screen {
            Screen::Board(_) => self.on_board(&action),
            Screen::Start(_) => self.on_start(action),
            Screen::Trial(_) => self.on_trial(&action),
            Screen::Course(_) => self.on_course(action),
            Screen::Reckon(_) => self.on_reckon(&action),
            Screen::Author(_) => self.on_author(&action),
            Screen::Page { lines, top, .. } => {
                let last = lines.len().saturating_sub(1);
                match scrolled(&action, *top, last) {
                    Some(to) => {
                        *top = to;
                        Vec::new()
                    }
                    None if matches!(action, Action::Back | Action::Leave | Action::Accept) => {
                        self.go_to_board()
                    }
                    None => Vec::new(),
                }
            }
            Screen::Work(_) => self.on_work(action),
        }
    }

    fn interrupt(&mut self) -> Vec<Effect> {
        let offset = self.offset_min;
        match &mut self.screen {
            Screen::Work(work) if work.state.ended.is_none() && work.read_only.is_none() => {
                work.call_stop(offset)
            }
            Screen::Work(_) => self.go_to_board(),
            _ => vec![Effect::Quit],
        }
    }

    /// A drill is open.
    fn drilled(&mut self, job: OpenedJob, drill: Drill, before: Vec<Kept>) {
        let setup = Arc::clone(&job.setup);
        let mut work = Work::new(job, self.clock);
        let practise = Practise::new(drill, &setup, &work.state, before, &self.hold, self.clock);
        work.practise = Some(Box::new(practise));
        self.screen = Screen::Work(Box::new(work));
    }

    /// Leaving a drill leads to its debrief, as far as it went.
    fn debriefed(&mut self) -> Option<Vec<Effect>> {
        let width = usize::from(self.size.0.max(60)) - 2;
        let Screen::Work(work) = &mut self.screen else {
            return None;
        };
        let setup = Arc::clone(&work.setup);
        let practise = work.practise.as_mut()?;
        practise.give_back(&setup);
        practise.over = true;
        let debrief = debrief(&practise.drill, &setup, &work.state);
        let page = page(&debrief, &practise.before, width);
        self.screen = Screen::Page {
            title: "DEBRIEF · PRACTICE".to_owned(),
            lines: page.clone(),
            top: 0,
        };
        Some(vec![
            Effect::KeepDebrief {
                debrief: Box::new(debrief),
                page,
            },
            Effect::KeyReleases(false),
            Effect::Close,
        ])
    }

    pub(super) fn go_to_board(&mut self) -> Vec<Effect> {
        if let Some(effects) = self.debriefed() {
            return effects;
        }
        let closing = matches!(self.screen, Screen::Work(_));
        self.screen = Screen::Board(Board::new(&self.catalog));
        let mut effects = Vec::new();
        if closing {
            effects.extend([Effect::KeyReleases(false), Effect::Close]);
        }
        effects.push(Effect::ListJobs);
        effects
    }
}

/// The judge's evidence as the engine keeps it.
fn kept(evidence: &hold::Evidence) -> Evidence {
    Evidence {
        tier: match evidence.tier {
            hold::Tier::Release => Tier::Release,
            hold::Tier::Repeat => Tier::Repeat,
            hold::Tier::Turns => Tier::Turns,
        },
        held_ms: evidence.held_ms(),
        events: evidence.events,
        median_ms: evidence.median_interval_ms().unwrap_or(0),
        cancels: evidence.cancels,
        terminal: evidence.terminal.clone(),
    }
}

fn scrolled(action: &Action, at: usize, last: usize) -> Option<usize> {
    Some(match action {
        Action::Up => at.saturating_sub(1),
        Action::Down => (at + 1).min(last),
        Action::PageUp => at.saturating_sub(PAGE),
        Action::PageDown => (at + PAGE).min(last),
        _ => return None,
    })
}

fn ask(work: &mut Work, purpose: Purpose, asks: &str) {
    work.over = Over::Reason(Box::new(Reason {
        purpose,
        asks: asks.to_owned(),
        field: Field::default(),
        message: None,
    }));
}

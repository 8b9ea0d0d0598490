//! What an action or a reply changes.

use super::action::{Action, Edit, Effect, Reply};
use super::board::{Board, BoardRow};
use super::item::{Item, ItemKind};
use super::keys::{action, answer_key, carry_on_taken, types};
use super::over::{MenuRow, Over, Purpose, Reason};
use super::preview::understand;
use super::review::Review;
use super::start::{Start, StartRow};
use super::trial::Trial;
use super::work::{Page, Work, sentence};
use super::{App, Screen};
use crate::hold::{self, Calibration};
use crate::input::{Input, Key, Press, Stamped};
use crate::job::{Answer, Command, Entry, Evidence, Person, Refusal, Tier};
use crate::procedure::{InstrumentId, RoleId};

/// Lines that a page key moves by.
const PAGE: usize = 8;

impl App {
    /// Takes an input.
    pub fn take(&mut self, stamped: &Stamped) -> Vec<Effect> {
        self.clock = stamped.at;
        if let Screen::Work(work) = &mut self.screen {
            work.now = stamped.at;
        }
        if let Input::Resize { cols, rows } = stamped.input {
            self.size = (cols, rows);
        }
        let mut effects = self.judged(stamped);
        effects.extend(self.meant(stamped));
        effects.extend(self.tended());
        effects
    }

    /// Takes what came of an effect.
    pub fn reply(&mut self, reply: Reply) -> Vec<Effect> {
        let offset = self.offset_min;
        let mut effects = match reply {
            Reply::Jobs(jobs) => {
                if let Screen::Board(board) = &mut self.screen {
                    board.jobs = Some(jobs);
                    board.step(0);
                }
                Vec::new()
            }
            Reply::Scope { procedure, lines } => {
                let known = self.catalog.procedures.iter();
                let index = known.clone().position(|p| p.id == procedure);
                if let Screen::Start(start) = &mut self.screen
                    && index == Some(start.procedure)
                {
                    start.scope = Some(lines);
                }
                Vec::new()
            }
            Reply::Opened(job) => {
                self.screen = Screen::Work(Box::new(Work::new(*job, self.clock)));
                Vec::new()
            }
            Reply::NotOpened(why) => {
                match &mut self.screen {
                    Screen::Start(start) => {
                        start.opening = false;
                        start.message = Some(why);
                    }
                    Screen::Board(board) => board.message = Some(why),
                    Screen::Work(_) | Screen::Trial(_) | Screen::Page { .. } => {}
                }
                Vec::new()
            }
            Reply::Durable => match &mut self.screen {
                Screen::Work(work) => work.durable(offset),
                _ => Vec::new(),
            },
            Reply::StorageFailed(why) => {
                if let Screen::Work(work) = &mut self.screen {
                    work.pending = None;
                    work.stop_waits = false;
                    work.over = Over::None;
                    work.judge = None;
                    work.failed = Some(why);
                }
                Vec::new()
            }
            Reply::Copied(result) => {
                if let Screen::Work(work) = &mut self.screen {
                    work.message = Some(match result {
                        Ok(place) => format!("A whole copy of the record is at {place}."),
                        Err(why) => sentence(&why),
                    });
                }
                Vec::new()
            }
            Reply::Page { title, lines } => {
                self.screen = Screen::Page {
                    title,
                    lines,
                    top: 0,
                };
                Vec::new()
            }
        };
        effects.extend(self.tended());
        effects
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
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        let mut effects = work.tend_judge(&self.hold, number);
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
            Screen::Board(_) => self.on_board(action),
            Screen::Start(_) => self.on_start(action),
            Screen::Trial(_) => self.on_trial(&action),
            Screen::Page { lines, top, .. } => {
                let last = lines.len().saturating_sub(1);
                match scrolled(&action, *top, last) {
                    Some(to) => {
                        *top = to;
                        Vec::new()
                    }
                    None if matches!(action, Action::Back | Action::Leave | Action::Accept) => {
                        self.to_board()
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
            Screen::Work(_) => self.to_board(),
            _ => vec![Effect::Quit],
        }
    }

    fn to_board(&mut self) -> Vec<Effect> {
        let closing = matches!(self.screen, Screen::Work(_));
        self.screen = Screen::Board(Board::new(&self.catalog));
        let mut effects = Vec::new();
        if closing {
            effects.extend([Effect::KeyReleases(false), Effect::Close]);
        }
        effects.push(Effect::ListJobs);
        effects
    }

    fn on_board(&mut self, action: Action) -> Vec<Effect> {
        let Screen::Board(board) = &mut self.screen else {
            return Vec::new();
        };
        board.message = None;
        match action {
            Action::Up => board.step(-1),
            Action::Down => board.step(1),
            Action::PageUp => board.step(-(PAGE as isize)),
            Action::PageDown => board.step(PAGE as isize),
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
                let id = self.catalog.procedures.get(index).map(|p| p.id.clone());
                self.screen = Screen::Start(Start::new(index, &self.settings));
                id.map(Effect::ReadScope).into_iter().collect()
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

    fn new_trial(&self) -> Trial {
        Trial {
            calibration: Calibration::new(self.clock),
            ruling: None,
        }
    }

    fn on_trial(&mut self, action: &Action) -> Vec<Effect> {
        match action {
            Action::Back => {
                let mut effects = vec![Effect::KeyReleases(false)];
                effects.extend(self.to_board());
                effects
            }
            Action::Accept => {
                self.screen = Screen::Trial(self.new_trial());
                Vec::new()
            }
            _ => Vec::new(),
        }
    }

    fn on_start(&mut self, action: Action) -> Vec<Effect> {
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
            Action::Down => start.step(1),
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
                _ => return self.to_board(),
            },
            Action::Accept if start.row() == StartRow::Open => return self.open_new(),
            Action::Accept => start.step(1),
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
                self.settings.people.retain(|p| p != &job.by);
                self.settings.people.insert(0, job.by.clone());
                self.settings.people.truncate(20);
                vec![Effect::KeepSettings, Effect::Create(Box::new(job))]
            }
            Err((row, say)) => {
                start.message = Some(say);
                start.focus = StartRow::ALL.iter().position(|r| *r == row).unwrap_or(0);
                Vec::new()
            }
        }
    }

    fn on_work(&mut self, action: Action) -> Vec<Effect> {
        let offset = self.offset_min;
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        if work.stopped() {
            return on_stop_card(work, &action, offset);
        }
        match std::mem::take(&mut work.over) {
            Over::None => self.on_step(action),
            Over::Menu(at) => self.on_menu(&action, at),
            Over::Why(top) => {
                scroll_over(work, &action, top, Over::Why);
                Vec::new()
            }
            Over::Route(top) => {
                scroll_over(work, &action, top, Over::Route);
                Vec::new()
            }
            Over::Review(review) => on_review(work, *review, &action, offset),
            Over::Reason(reason) => self.on_reason(*reason, &action),
            Over::Instruments(at) => on_instruments(work, &action, at),
            Over::Leaving => match action {
                Action::Letter('y') => self.to_board(),
                Action::Back => Vec::new(),
                _ => {
                    work.over = Over::Leaving;
                    Vec::new()
                }
            },
            Over::Trial(trial) => match action {
                Action::Back => vec![Effect::KeyReleases(false)],
                Action::Accept => {
                    let fresh = self.new_trial();
                    if let Screen::Work(work) = &mut self.screen {
                        work.over = Over::Trial(Box::new(fresh));
                    }
                    Vec::new()
                }
                _ => {
                    work.over = Over::Trial(trial);
                    Vec::new()
                }
            },
        }
    }

    fn on_step(&mut self, action: Action) -> Vec<Effect> {
        let offset = self.offset_min;
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        match action {
            Action::Up => work.step_focus(-1),
            Action::Down => work.step_focus(1),
            Action::PageUp => work.top = work.top.saturating_sub(1),
            Action::PageDown => work.top = work.top.saturating_add(1),
            Action::Edit(edit) => {
                work.message = None;
                work.field.edit(&edit);
            }
            Action::Back if !work.field.is_empty() && work.typing() => {
                work.field.clear();
                work.message = None;
            }
            Action::Back if work.state.ended.is_some() || work.read_only.is_some() => {
                return self.to_board();
            }
            Action::Back if work.failed.is_some() => {}
            Action::Back => return work.call_stop(offset),
            Action::Help => work.over = Over::Menu(0),
            Action::Leave if work.state.ended.is_some() || work.read_only.is_some() => {
                return self.to_board();
            }
            Action::Leave => work.over = Over::Leaving,
            Action::Accept => return accept(work, offset),
            Action::Letter(letter) => return answer_letter(work, letter, offset),
            Action::Less | Action::More | Action::Interrupt | Action::Suspend => {}
        }
        Vec::new()
    }

    fn on_menu(&mut self, action: &Action, at: usize) -> Vec<Effect> {
        let last = MenuRow::ALL.len() - 1;
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        let row = match action {
            Action::Back => return Vec::new(),
            Action::Accept => MenuRow::ALL.get(at).copied(),
            Action::Letter(letter) => MenuRow::ALL.into_iter().find(|r| r.label().0 == *letter),
            Action::Leave => Some(MenuRow::Leave),
            _ => {
                let to = scrolled(action, at, last).unwrap_or(at);
                work.over = Over::Menu(to);
                return Vec::new();
            }
        };
        match row {
            Some(row) => self.open_menu_row(row),
            None => {
                work.over = Over::Menu(at);
                Vec::new()
            }
        }
    }

    fn open_menu_row(&mut self, row: MenuRow) -> Vec<Effect> {
        let trial = self.new_trial();
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        match row {
            MenuRow::Why => work.over = Over::Why(0),
            MenuRow::Route => work.over = Over::Route(0),
            MenuRow::Values => work.over = Over::Review(Box::new(Review::of(work))),
            MenuRow::Instruments => work.over = Over::Instruments(0),
            MenuRow::Note => ask(work, Purpose::Note, "Type the remark."),
            MenuRow::SignOn => ask(work, Purpose::SignOn, "Who has the keyboard now?"),
            MenuRow::Copy => ask(
                work,
                Purpose::Copy,
                "Where shall the copy go? Type a new file name with its folder.",
            ),
            MenuRow::Leave => work.over = Over::Leaving,
            MenuRow::Trial => {
                work.over = Over::Trial(Box::new(trial));
                return vec![Effect::KeyReleases(true)];
            }
            MenuRow::Bell => {
                self.settings.bell = !self.settings.bell;
                let on = if self.settings.bell { "on" } else { "off" };
                work.message = Some(format!("The bell is {on}."));
                return vec![Effect::KeepSettings];
            }
            MenuRow::Turns => {
                self.settings.turns = !self.settings.turns;
                self.hold.set_always_turns(self.settings.turns);
                work.judge = None;
                let how = if self.settings.turns {
                    "Two keys in turn from now on."
                } else {
                    "A hold from now on, where this keyboard allows it."
                };
                work.message = Some(how.to_owned());
                return vec![Effect::KeepSettings];
            }
        }
        Vec::new()
    }

    fn on_reason(&mut self, mut reason: Reason, action: &Action) -> Vec<Effect> {
        let offset = self.offset_min;
        let Screen::Work(work) = &mut self.screen else {
            return Vec::new();
        };
        match action {
            Action::Edit(edit) => {
                reason.message = None;
                reason.field.edit(edit);
            }
            Action::Back if reason.field.is_empty() => return Vec::new(),
            Action::Back => reason.field.clear(),
            Action::Accept => match given(work, &reason) {
                Ok(Given::Command(command)) => {
                    let effects = work.submit(command, offset);
                    if effects.is_empty() {
                        reason.message = work.message.take();
                        work.over = Over::Reason(Box::new(reason));
                    }
                    return effects;
                }
                Ok(Given::Effect(effect)) => return vec![effect],
                Ok(Given::Done) => return Vec::new(),
                Ok(Given::Next(next)) => {
                    work.over = Over::Reason(next);
                    return Vec::new();
                }
                Err(message) => reason.message = Some(message),
            },
            _ => {}
        }
        work.over = Over::Reason(Box::new(reason));
        Vec::new()
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

fn scroll_over(work: &mut Work, action: &Action, top: usize, over: fn(usize) -> Over) {
    if let Some(to) = scrolled(action, top, 400) {
        work.over = over(to);
    } else if !matches!(action, Action::Back | Action::Accept | Action::Leave) {
        work.over = over(top);
    }
}

fn ask(work: &mut Work, purpose: Purpose, asks: &str) {
    work.over = Over::Reason(Box::new(Reason {
        purpose,
        asks: asks.to_owned(),
        field: super::field::Field::default(),
        message: None,
    }));
}

fn on_stop_card(work: &mut Work, action: &Action, offset: i32) -> Vec<Effect> {
    if work.state.stop.is_none() || work.pending.is_some() {
        return Vec::new();
    }
    match action {
        Action::Letter('c') if carry_on_taken(work) => work.submit(Command::CarryOn, offset),
        Action::Letter('t') => work.submit(Command::TakeStop, offset),
        _ => Vec::new(),
    }
}

fn on_review(work: &mut Work, mut review: Review, action: &Action, offset: i32) -> Vec<Effect> {
    let typing = review.field().is_some();
    match action {
        Action::Back => {
            if !review.back() {
                return Vec::new();
            }
        }
        Action::Edit(edit) => {
            review.message = None;
            if let Some(field) = review.field() {
                field.edit(edit);
            }
        }
        Action::Up if !typing => review.step(-1),
        Action::Down if !typing => review.step(1),
        Action::PageUp if !typing => review.step(-(PAGE as isize)),
        Action::PageDown if !typing => review.step(PAGE as isize),
        Action::Accept => {
            if let Some(command) = review.accept(work) {
                let effects = work.submit(command, offset);
                if !effects.is_empty() {
                    return effects;
                }
                review.message = work.message.take();
            }
        }
        _ => {}
    }
    work.over = Over::Review(Box::new(review));
    Vec::new()
}

/// Which instrument could be used for what, in the order of the screen.
pub fn instrument_rows(work: &Work) -> Vec<(RoleId, InstrumentId, bool)> {
    let mut rows = Vec::new();
    for (role, wanted) in &work.setup.procedure.roles {
        for (id, instrument) in &work.setup.instruments.list {
            if instrument.kind == wanted.kind {
                let used = work.state.roles.get(role) == Some(id);
                rows.push((role.clone(), id.clone(), used));
            }
        }
    }
    rows
}

fn on_instruments(work: &mut Work, action: &Action, at: usize) -> Vec<Effect> {
    let rows = instrument_rows(work);
    match action {
        Action::Back => {}
        Action::Accept => {
            if let Some((role, instrument, false)) = rows.get(at) {
                let purpose = Purpose::Instrument(role.clone(), instrument.clone());
                ask(work, purpose, "Why is this instrument used from here on?");
            } else {
                work.over = Over::Instruments(at);
            }
        }
        _ => {
            let to = scrolled(action, at, rows.len().saturating_sub(1)).unwrap_or(at);
            work.over = Over::Instruments(to);
        }
    }
    Vec::new()
}

/// What a finished line of words leads to.
enum Given {
    Command(Command),
    Effect(Effect),
    Next(Box<Reason>),
    Done,
}

fn given(work: &mut Work, reason: &Reason) -> Result<Given, String> {
    let text = reason.field.text().trim().to_owned();
    if text.is_empty() {
        return Err("Type something, or Esc to go back.".to_owned());
    }
    let person = |text: &str| Person::new(text).map_err(|e| sentence(&e.to_string()));
    Ok(match &reason.purpose {
        Purpose::Override(limit) => Given::Command(Command::Override {
            limit: *limit,
            reason: text,
        }),
        Purpose::NotApplicable(tick) => Given::Command(Command::Tick {
            tick: tick.clone(),
            answer: Answer::NotApplicable(text),
        }),
        Purpose::Words(tick) => Given::Command(Command::Tick {
            tick: tick.clone(),
            answer: Answer::Yes(text),
        }),
        Purpose::WitnessName(_) => {
            work.witness = Some(person(&text)?.to_string());
            Given::Done
        }
        Purpose::HandOver(duty) => Given::Command(Command::HandOver {
            duty: duty.clone(),
            to: person(&text)?,
        }),
        Purpose::HandOverRepeats => Given::Command(Command::HandOverRepeats { to: person(&text)? }),
        Purpose::Note => Given::Command(Command::Note { text }),
        Purpose::SignOn => Given::Command(Command::SignOn { by: person(&text)? }),
        Purpose::Copy => Given::Effect(Effect::Copy(text)),
        Purpose::Instrument(role, instrument) => given_instrument(work, role, instrument, text),
        Purpose::Zero(role, instrument, why) => {
            let kind = work.setup.procedure.roles.get(role).map(|r| r.kind);
            let kind = kind.unwrap_or(crate::quantity::Kind::GaugePressure);
            let unit = kind.shown(work.system());
            let typed = crate::quantity::read(&text, kind, unit).map_err(|e| e.to_string())?;
            Given::Command(Command::UseInstrument {
                role: role.clone(),
                instrument: instrument.clone(),
                zero: Some(Entry {
                    typed: text,
                    value: typed.quantity,
                    again: true,
                }),
                reason: why.clone(),
            })
        }
    })
}

/// A changed gauge has its zero looked at first, once the others' were.
fn given_instrument(
    work: &Work,
    role: &RoleId,
    instrument: &InstrumentId,
    reason: String,
) -> Given {
    let checked = work
        .setup
        .procedure
        .readings
        .values()
        .any(|r| r.zero_check && r.role.as_ref() == Some(role));
    let old = work.state.roles.get(role);
    let later = old.is_none_or(|old| !work.state.zeros.contains_key(old));
    if checked && !later {
        return Given::Next(Box::new(Reason {
            purpose: Purpose::Zero(role.clone(), instrument.clone(), reason),
            asks: "What does it show open to the air?".to_owned(),
            field: super::field::Field::default(),
            message: None,
        }));
    }
    Given::Command(Command::UseInstrument {
        role: role.clone(),
        instrument: instrument.clone(),
        zero: None,
        reason,
    })
}

fn accept(work: &mut Work, offset: i32) -> Vec<Effect> {
    let Some(item) = work.focused() else {
        work.message = Some("Choose with ↑↓ or the first letter, then Enter.".to_owned());
        return Vec::new();
    };
    match &item.kind {
        ItemKind::Moved => {
            work.page = Page::Answers;
            work.set_focus(None);
            work.focus_open(0);
            Vec::new()
        }
        ItemKind::Choice(choice) => {
            let choice = choice.clone();
            work.submit(Command::Choose { choice }, offset)
        }
        ItemKind::Confirm => work.submit(Command::Confirm, offset),
        ItemKind::Begin => work.submit(Command::Begin, offset),
        ItemKind::Press => work.submit(Command::Press, offset),
        ItemKind::GoOn(_) => work.submit(Command::GoOn, offset),
        ItemKind::Repeat(step) => {
            let step = step.clone();
            work.submit(Command::Repeat { step }, offset)
        }
        ItemKind::LeaveRepeat => work.submit(Command::LeaveRepeat, offset),
        ItemKind::Override(limit) => {
            let asks = "Why may this limit be passed? The reason is kept.";
            ask(work, Purpose::Override(*limit), asks);
            Vec::new()
        }
        ItemKind::HandOver(duty) => {
            ask(work, Purpose::HandOver(duty.clone()), "Who takes it on?");
            Vec::new()
        }
        ItemKind::HandOverRepeats => {
            ask(work, Purpose::HandOverRepeats, "Who sees to it?");
            Vec::new()
        }
        ItemKind::Running => {
            work.message = Some("The clock runs; nothing to press yet.".to_owned());
            Vec::new()
        }
        ItemKind::Tick(_) | ItemKind::Attest(_, None) => {
            work.message = Some("Answer with the letters below; Enter answers nothing.".to_owned());
            Vec::new()
        }
        ItemKind::Hold => Vec::new(),
        ItemKind::Reading(_)
        | ItemKind::Watch(..)
        | ItemKind::Witness(_)
        | ItemKind::Attest(_, Some(_)) => accept_value(work, &item, offset),
    }
}

fn accept_value(work: &mut Work, item: &Item, offset: i32) -> Vec<Effect> {
    if let (ItemKind::Witness(id), None) = (&item.kind, &work.witness) {
        let asks = "Who reads it the second time, without having seen the first value?";
        ask(work, Purpose::WitnessName(id.clone()), asks);
        return Vec::new();
    }
    let Some(id) = item.reading().cloned() else {
        return Vec::new();
    };
    let text = work.field.text().trim().to_owned();
    if text.is_empty() {
        // Enter on an empty field that has its value already goes on.
        if item.open {
            work.message = Some("Type what the instrument shows, then Enter.".to_owned());
        } else {
            work.step_focus(1);
        }
        return Vec::new();
    }
    let typed = match understand(work, &id, &text) {
        Ok(typed) => typed,
        Err(misread) => {
            work.message = Some(misread.to_string());
            return Vec::new();
        }
    };
    let again = work.unusual == Some((id.clone(), text.clone()));
    let entry = Entry {
        typed: text.clone(),
        value: typed.quantity,
        again,
    };
    let witness = work.witness.as_deref().and_then(|w| Person::new(w).ok());
    let command = match (&item.kind, witness) {
        (ItemKind::Watch(condition, _), _) => Command::Watch {
            condition: condition.clone(),
            reading: id.clone(),
            entry,
        },
        (ItemKind::Attest(condition, _), _) => Command::Attest {
            condition: condition.clone(),
            entry: Some(entry),
        },
        (ItemKind::Witness(_), Some(by)) => Command::Witness {
            reading: id.clone(),
            by,
            entry,
        },
        _ => Command::Read {
            reading: id.clone(),
            entry,
        },
    };
    let effects = work.submit(command, offset);
    let unusual = effects.is_empty() && is_unusual(work);
    work.unusual = unusual.then_some((id, text));
    effects
}

/// Whether the refusal just shown asks for the same value a second time.
fn is_unusual(work: &Work) -> bool {
    let example = Refusal::Unusual {
        reading: String::new(),
    }
    .to_string();
    let tail = example.trim_start_matches(':').trim().to_owned();
    work.message.as_deref().is_some_and(|m| {
        m.trim_end_matches('.')
            .ends_with(tail.trim_end_matches('.'))
    })
}

fn answer_letter(work: &mut Work, letter: char, offset: i32) -> Vec<Effect> {
    if let Some(at) = choice_for(work, letter) {
        work.set_focus(Some(at));
        return Vec::new();
    }
    let Some(item) = work.focused() else {
        return Vec::new();
    };
    match &item.kind {
        ItemKind::Attest(condition, None) if letter == 'y' => {
            let condition = condition.clone();
            work.submit(
                Command::Attest {
                    condition,
                    entry: None,
                },
                offset,
            )
        }
        ItemKind::Attest(_, None) if letter == 'n' => {
            work.message = Some("Then put it right and say yes, or stop work with Esc.".to_owned());
            Vec::new()
        }
        ItemKind::Tick(id) => {
            let tick = work
                .step()
                .and_then(|s| s.ticks.iter().find(|t| &t.id == id))
                .cloned();
            let Some(tick) = tick else { return Vec::new() };
            let yes = answer_key(&tick.yes, 'y');
            let no = answer_key(&tick.no, 'n');
            let answer = if letter == yes || (letter == 'y' && no != 'y') {
                if tick.words {
                    let asks = format!("{}: type it.", tick.text);
                    ask(work, Purpose::Words(tick.id), &asks);
                    return Vec::new();
                }
                Answer::Yes(String::new())
            } else if letter == no || (letter == 'n' && yes != 'n') {
                Answer::No
            } else if letter == 'd' && tick.may_not_apply {
                let asks = format!("{}: why does it not apply?", tick.text);
                ask(work, Purpose::NotApplicable(tick.id), &asks);
                return Vec::new();
            } else {
                return Vec::new();
            };
            work.submit(
                Command::Tick {
                    tick: tick.id,
                    answer,
                },
                offset,
            )
        }
        _ => Vec::new(),
    }
}

/// The choice that begins with this letter, after the one in focus.
fn choice_for(work: &Work, letter: char) -> Option<usize> {
    let step = work.step()?;
    let items = work.items();
    let begins = |item: &Item| match &item.kind {
        ItemKind::Choice(id) => step
            .choices()
            .iter()
            .any(|c| &c.id == id && c.text.to_lowercase().starts_with(letter)),
        _ => false,
    };
    let from = work.focus.map_or(0, |f| f + 1);
    let after = items.iter().enumerate().skip(from);
    let found = after.clone().find(|(_, i)| begins(i));
    found
        .or_else(|| items.iter().enumerate().find(|(_, i)| begins(i)))
        .map(|(at, _)| at)
}

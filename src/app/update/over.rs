//! What lies over a step: menu, review, words, instruments.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "an action that means nothing here changes nothing"
)]

use super::{PAGE_STEP, ask, scrolled};
use crate::app::action::{Action, Effect};
use crate::app::field::Field;
use crate::app::over::{MenuRow, Over, Purpose, Reason};
use crate::app::review::Review;
use crate::app::work::{Work, sentence};
use crate::app::{App, Screen};
use crate::job::{Answer, Command, Entry, Person};
use crate::procedure::{InstrumentId, RoleId};

impl App {
    pub(super) fn on_menu(&mut self, action: &Action, at: usize) -> Vec<Effect> {
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
        if let Some(row) = row {
            return self.open_menu_row(row);
        }
        work.over = Over::Menu(at);
        Vec::new()
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

    pub(super) fn on_reason(&mut self, mut reason: Reason, action: &Action) -> Vec<Effect> {
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

pub(super) fn scroll_over(work: &mut Work, action: &Action, top: usize, over: fn(usize) -> Over) {
    if let Some(to) = scrolled(action, top, 400) {
        work.over = over(to);
    } else if !matches!(action, Action::Back | Action::Accept | Action::Leave) {
        work.over = over(top);
    }
}

pub(super) fn on_review(
    work: &mut Work,
    mut review: Review,
    action: &Action,
    offset: i32,
) -> Vec<Effect> {
    let typing = review.field().is_some();
    match action {
        Action::Back if review.back() => {}
        Action::Back => return Vec::new(),
        Action::Edit(edit) => {
            review.message = None;
            if let Some(field) = review.field() {
                field.edit(edit);
            }
        }
        Action::Up if !typing => review.step(-1),
        Action::Down if !typing => review.step(1),
        Action::PageUp if !typing => review.step(-PAGE_STEP),
        Action::PageDown if !typing => review.step(PAGE_STEP),
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
        let list = &work.setup.instruments.list;
        // Those meant for this use; where the shop has none, all that could.
        let meant = list.values().any(|i| i.roles.contains(role));
        for (id, instrument) in list {
            let fits = instrument.kind == wanted.kind;
            if fits && (!meant || instrument.roles.contains(role)) {
                let used = work.state.roles.get(role) == Some(id);
                rows.push((role.clone(), id.clone(), used));
            }
        }
    }
    rows
}

pub(super) fn on_instruments(work: &mut Work, action: &Action, at: usize) -> Vec<Effect> {
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
            field: Field::default(),
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

//! A step: focus, answers, values, stop work.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "an action or item that means nothing here changes nothing"
)]

use super::ask;
use super::over::{on_instruments, on_review, scroll_over};
use crate::app::action::{Action, Effect};
use crate::app::item::{Item, ItemKind};
use crate::app::keys::carry_on_taken;
use crate::app::over::{Over, Purpose};
use crate::app::preview::understand;
use crate::app::work::{Page, Work};
use crate::app::{App, Screen};
use crate::job::{Answer, Command, Entry, Person, Refusal};

impl App {
    pub(super) fn on_work(&mut self, action: Action) -> Vec<Effect> {
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
                Action::Letter('y') => self.go_to_board(),
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
        // The step is not on the screen then, and nothing of it can be answered.
        if work.failed.is_some() && !matches!(action, Action::Help | Action::Leave) {
            return Vec::new();
        }
        let over = work.state.ended.is_some() || work.read_only.is_some();
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
            Action::Back | Action::Leave if over => return self.go_to_board(),
            Action::Leave if work.failed.is_some() => return self.go_to_board(),
            Action::Back if work.failed.is_some() => {}
            Action::Back => return work.call_stop(offset),
            Action::Help => work.over = Over::Menu(0),
            Action::Leave => work.over = Over::Leaving,
            Action::Accept => return accept(work, offset),
            Action::Letter(letter) => return answer_letter(work, letter, offset),
            Action::Less
            | Action::More
            | Action::NextPane
            | Action::PaneBefore
            | Action::Interrupt
            | Action::Suspend => {}
        }
        Vec::new()
    }
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

fn accept(work: &mut Work, offset: i32) -> Vec<Effect> {
    let Some(item) = work.focused() else {
        work.message = Some("Move with ↑↓ first, then Enter.".to_owned());
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
    let meant = Some((id.clone(), text.clone()));
    if !item.open && matches!(item.kind, ItemKind::Reading(_)) && work.replacing != meant {
        work.replacing = meant;
        let say = "There is a value here already. Enter once more puts this one in its place.";
        work.message = Some(say.to_owned());
        return Vec::new();
    }
    work.replacing = None;
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
    let unusual = effects.is_empty() && matches!(work.refused, Some(Refusal::Unusual { .. }));
    work.unusual = unusual.then_some((id, text));
    effects
}

fn answer_letter(work: &mut Work, letter: char, offset: i32) -> Vec<Effect> {
    if let Some(at) = choice_for(work, letter) {
        work.set_focus(Some(at));
        return Vec::new();
    }
    let Some(item) = work.focused() else {
        return Vec::new();
    };
    if letter.is_ascii_digit() {
        // Someone types a figure beside its field; the Enter after it must do nothing.
        work.set_focus(None);
        let say = "No field is in focus: that figure went nowhere. Move with ↑↓ to its field.";
        work.message = Some(say.to_owned());
        return Vec::new();
    }
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
            let (yes, no) = tick.keys();
            let answer = if letter == yes || (letter == 'y' && no != 'y') {
                if tick.words {
                    let asks = format!("{}: type it.", work.say(&tick.text));
                    ask(work, Purpose::Words(tick.id), &asks);
                    return Vec::new();
                }
                Answer::Yes(String::new())
            } else if letter == no || (letter == 'n' && yes != 'n') {
                Answer::No
            } else if letter == 'd' && tick.may_not_apply {
                let asks = format!("{}: why does it not apply?", work.say(&tick.text));
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

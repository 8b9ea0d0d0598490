//! Key tables: one a place on the screen. The key line is made from the same
//! tables, so it lists what works and nothing else.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "a key that no table names means nothing"
)]

use super::action::{Action, Edit};
use super::author::Author;
use super::item::{Item, ItemKind};
use super::over::Over;
use super::practise::List;
use super::reckon::Reckon;
use super::review::Stage;
use super::work::{CARRY_ON_AFTER, Work};
use super::{App, Screen};
use crate::input::{Key, Modifiers};
use crate::quantity::System;

/// A key in a table.
struct Binding {
    key: Key,
    action: Action,
}

const fn key(key: Key, action: Action) -> Binding {
    Binding { key, action }
}

/// Moving about a list.
const LIST: &[Binding] = &[
    key(Key::Up, Action::Up),
    key(Key::Down, Action::Down),
    key(Key::Tab, Action::Down),
    key(Key::BackTab, Action::Up),
    key(Key::PageUp, Action::PageUp),
    key(Key::PageDown, Action::PageDown),
    key(Key::Enter, Action::Accept),
    key(Key::Esc, Action::Back),
];

/// A list whose rows turn through values.
const FORM: &[Binding] = &[key(Key::Left, Action::Less), key(Key::Right, Action::More)];

/// A line being typed.
const LINE: &[Binding] = &[
    key(Key::Backspace, Action::Edit(Edit::Back)),
    key(Key::Delete, Action::Edit(Edit::Delete)),
    key(Key::Left, Action::Edit(Edit::Left)),
    key(Key::Right, Action::Edit(Edit::Right)),
    key(Key::Home, Action::Edit(Edit::Home)),
    key(Key::End, Action::Edit(Edit::End)),
];

/// Where a key is pressed and no line is typed.
const WORDS: &[Binding] = &[
    key(Key::Char('?'), Action::Help),
    key(Key::Char('q'), Action::Leave),
];

fn look_up(tables: &[&[Binding]], wanted: Key) -> Option<Action> {
    tables
        .iter()
        .flat_map(|table| table.iter())
        .find(|b| b.key == wanted)
        .map(|b| b.action.clone())
}

/// What a key means here; `None`: nothing.
pub(crate) fn action(app: &App, pressed: Key, modifiers: Modifiers) -> Option<Action> {
    if modifiers.ctrl {
        return match pressed {
            Key::Char('c' | 'C') => Some(Action::Interrupt),
            Key::Char('z' | 'Z') => Some(Action::Suspend),
            _ => None,
        };
    }
    if modifiers.alt || modifiers.super_ {
        return None;
    }
    if types(app) {
        // No number holds a question mark, and no title of a sum; words may.
        let number = match &app.screen {
            Screen::Work(work) => work.typing(),
            Screen::Reckon(_) => true,
            Screen::Board(_)
            | Screen::Start(_)
            | Screen::Trial(_)
            | Screen::Author(_)
            | Screen::Course(_)
            | Screen::Page { .. } => false,
        };
        if number && pressed == Key::Char('?') {
            return Some(Action::Help);
        }
        if let Key::Char(c) = pressed {
            return Some(Action::Edit(Edit::Put(c)));
        }
        let picks = matches!(&app.screen, Screen::Reckon(reckon) if reckon.picks());
        let tables: &[&[Binding]] = if picks {
            &[FORM, LINE, LIST]
        } else {
            &[LINE, LIST]
        };
        return look_up(tables, pressed);
    }
    if matches!(app.screen, Screen::Author(_)) {
        return Author::action(pressed);
    }
    let form = matches!(app.screen, Screen::Start(_));
    let tables: &[&[Binding]] = if form {
        &[LIST, FORM, WORDS]
    } else {
        &[LIST, WORDS]
    };
    look_up(tables, pressed).or(match pressed {
        Key::Char(c) => Some(Action::Letter(c.to_ascii_lowercase())),
        _ => None,
    })
}

/// Whether a line is being typed, so that every printing key goes to it.
pub(crate) fn types(app: &App) -> bool {
    match &app.screen {
        Screen::Board(_) | Screen::Trial(_) | Screen::Page { .. } => false,
        Screen::Start(start) => start.row().is_field(),
        Screen::Reckon(reckon) => reckon.types(),
        Screen::Author(author) => author.types(),
        Screen::Course(course) => course.types(),
        Screen::Work(work) => match &work.over {
            _ if work.stopped() => false,
            Over::None => work.typing(),
            Over::Reason(_) => true,
            Over::Review(review) => !matches!(review.stage, Stage::Choosing),
            Over::Menu(_)
            | Over::Why(_)
            | Over::Route(_)
            | Over::Instruments(_)
            | Over::Leaving
            | Over::Trial(_) => false,
        },
    }
}

/// A key and what it does here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyHint {
    /// The key as it is written on it.
    pub key: String,
    /// What it does.
    pub does: String,
}

fn hint(key: &str, does: &str) -> KeyHint {
    KeyHint {
        key: key.to_owned(),
        does: does.to_owned(),
    }
}

/// The key line: what works now, and nothing else.
pub fn key_line(app: &App) -> Vec<KeyHint> {
    match &app.screen {
        Screen::Board(_) => vec![
            hint("↑↓", "choose"),
            hint("Enter", "open"),
            hint("q", "leave"),
        ],
        Screen::Start(start) if start.row().is_field() => vec![
            hint("↑↓ Tab", "row"),
            hint("Enter", "next row"),
            hint("Esc", "clear, then back"),
        ],
        Screen::Start(start) => match start.row() {
            super::StartRow::Scope => vec![
                hint("↑↓ Tab", "row"),
                hint("PgUp PgDn", "read"),
                hint("y", "I have read it"),
                hint("Esc", "back"),
            ],
            super::StartRow::Open => vec![
                hint("↑↓ Tab", "row"),
                hint("Enter", "open the job"),
                hint("Esc", "back"),
            ],
            _ => vec![
                hint("↑↓ Tab", "row"),
                hint("← →", "change"),
                hint("Enter", "next row"),
                hint("Esc", "back"),
            ],
        },
        Screen::Trial(trial) if trial.ruling.is_some() => {
            vec![hint("Enter", "try again"), hint("Esc", "back")]
        }
        Screen::Trial(_) => vec![hint("Space", "hold, then let go"), hint("Esc", "back")],
        Screen::Page { .. } => vec![hint("↑↓ PgUp PgDn", "read"), hint("Esc", "back")],
        Screen::Reckon(reckon) => reckon_line(reckon),
        Screen::Author(author) => author.key_line(),
        Screen::Course(course) if course.types() => vec![
            hint("↑↓", "choose"),
            hint("Enter", "next row"),
            hint("Esc", "clear, then back"),
        ],
        Screen::Course(_) => vec![
            hint("↑↓", "choose"),
            hint("Enter", "begin the drill"),
            hint("Esc", "back"),
        ],
        Screen::Work(work) => work_line(work),
    }
}

fn reckon_line(reckon: &Reckon) -> Vec<KeyHint> {
    if reckon.help.is_some() {
        return vec![hint("↑↓ PgUp PgDn", "read"), hint("Esc", "back")];
    }
    let Some(calculation) = reckon.calculation() else {
        let clears = !reckon.filter.is_empty();
        let mut line = vec![hint("↑↓", "choose")];
        if reckon.focused().is_some() {
            line.push(hint("Enter", "open"));
        }
        line.push(hint("Esc", if clears { "clear" } else { "back" }));
        line.push(hint("?", "help"));
        return line;
    };
    if !calculation.on_results() {
        let mut line = vec![hint("↑↓ Tab", "field")];
        if calculation.picks() {
            line.push(hint("← →", "pick a word"));
        }
        line.push(hint("Enter", "next"));
        let clears = calculation.has_typed();
        line.push(hint("Esc", if clears { "clear" } else { "list" }));
        line.push(hint("?", "help"));
        return line;
    }
    let mut line = vec![hint("↑↓ Tab", "field")];
    if calculation.can_check() {
        line.push(hint("m", "test"));
    }
    let other = match calculation.system() {
        System::Metric => "US units",
        System::Us => "metric",
    };
    line.extend([
        hint("u", other),
        hint("e", "example"),
        hint("c", "clear"),
        hint("Esc", "list"),
        hint("?", "help"),
        hint("q", "leave"),
    ]);
    line
}

/// The key line of a job.
pub fn work_line(work: &Work) -> Vec<KeyHint> {
    if work.stopped() {
        return stop_line(work);
    }
    if work.truck_front() {
        return truck_line(work);
    }
    match &work.over {
        Over::None if work.failed.is_some() => {
            vec![hint("?", "copy the record, help"), hint("q", "leave")]
        }
        Over::None => step_line(work),
        Over::Menu(_) => vec![
            hint("↑↓ or letter", "choose"),
            hint("Enter", "open"),
            hint("Esc", "back to the step"),
        ],
        Over::Why(_) | Over::Route(_) => vec![
            hint("↑↓ PgUp PgDn", "read"),
            hint("Esc", "back to the step"),
        ],
        Over::Review(review) => match review.stage {
            Stage::Choosing => vec![
                hint("↑↓", "choose"),
                hint("Enter", "correct it"),
                hint("Esc", "back to the step"),
            ],
            Stage::Value(_) | Stage::Reason { .. } => {
                vec![hint("Enter", "accept"), hint("Esc", "clear, then back")]
            }
        },
        Over::Reason(_) => vec![hint("Enter", "accept"), hint("Esc", "clear, then back")],
        Over::Instruments(_) => vec![
            hint("↑↓", "choose"),
            hint("Enter", "use this one"),
            hint("Esc", "back to the step"),
        ],
        Over::Leaving if work.practise.is_some() => {
            vec![hint("y", "leave, read the debrief"), hint("Esc", "stay")]
        }
        Over::Leaving => vec![hint("y", "leave it for now"), hint("Esc", "stay")],
        Over::Trial(trial) if trial.ruling.is_some() => {
            vec![hint("Enter", "try again"), hint("Esc", "back to the step")]
        }
        Over::Trial(_) => vec![hint("Space", "hold, then let go"), hint("Esc", "back")],
    }
}

/// The keys of the practice truck.
fn truck_line(work: &Work) -> Vec<KeyHint> {
    let practise = work.practise.as_ref();
    let mut line = vec![hint("u d", "move")];
    if practise.is_some_and(|p| p.alarm.is_some()) {
        line.push(hint("Enter", "understood"));
    } else {
        line.push(hint("Enter", "do"));
    }
    line.extend([
        hint("Esc", "step"),
        hint("1-9", "go"),
        hint("w", "round"),
        hint("n", "name"),
        hint("m", "mend"),
        hint("p", "pace"),
        hint("b l r", "both sides, left, right"),
    ]);
    if practise.is_some_and(|p| p.list != List::Here) {
        line.push(hint("h", "here"));
    }
    line
}

fn stop_line(work: &Work) -> Vec<KeyHint> {
    let mut line = Vec::new();
    let forced = work.state.stop.is_some_and(|(_, forced)| forced);
    if work.state.stop.is_some() && !forced && carry_on_taken(work) {
        line.push(hint("c", "carry on, asked again"));
    }
    if work.state.stop.is_some() {
        line.push(hint("t", "take stop, make safe"));
    }
    line
}

/// Whether the stop card has stood long enough for *carry on*.
pub(crate) fn carry_on_taken(work: &Work) -> bool {
    work.stop_shown
        .is_none_or(|shown| work.now.mono.saturating_sub(shown.mono) >= CARRY_ON_AFTER)
}

fn step_line(work: &Work) -> Vec<KeyHint> {
    if work.failed.is_some() {
        return vec![hint("?", "help, more"), hint("q", "leave")];
    }
    let Some(item) = work.focused() else {
        let choose = vec![hint("↑↓ or letter", "choose")];
        let nothing = work.items().is_empty();
        return closing(work, if nothing { Vec::new() } else { choose });
    };
    let mut line = Vec::new();
    if work.items().len() > 1 {
        line.push(hint(
            "↑↓ Tab",
            if item.is_field() { "field" } else { "move" },
        ));
    }
    line.extend(item_keys(work, &item));
    if item.is_field() {
        let clears = !work.field.is_empty();
        line.push(hint("Esc", if clears { "clear" } else { "stop work" }));
        if work.practise.is_some() {
            line.push(hint("Ctrl-T", "truck"));
        }
        line.push(hint("?", "help, more"));
        return line;
    }
    closing(work, line)
}

/// Help, leaving and stop work, where no line is typed.
fn closing(work: &Work, mut line: Vec<KeyHint>) -> Vec<KeyHint> {
    if work.practise.is_some() {
        line.push(hint("Ctrl-T", "truck"));
    }
    if work.state.ended.is_none() && work.read_only.is_none() {
        line.push(hint("Esc", "stop work"));
    }
    line.push(hint("?", "help, more"));
    let over = work.practise.is_some() && work.state.ended.is_some();
    line.push(hint("q", if over { "read the debrief" } else { "leave" }));
    line
}

fn item_keys(work: &Work, item: &Item) -> Vec<KeyHint> {
    match &item.kind {
        ItemKind::Reading(_)
        | ItemKind::Watch(..)
        | ItemKind::Witness(_)
        | ItemKind::Attest(_, Some(_)) => vec![hint("Enter", "accept")],
        ItemKind::Attest(_, None) => vec![hint("y", "yes, it is so"), hint("n", "no")],
        ItemKind::Tick(id) => {
            let tick = work
                .step()
                .and_then(|s| s.ticks.iter().find(|t| &t.id == id));
            tick.map_or_else(Vec::new, |t| {
                let mut keys = vec![
                    hint(&t.keys().0.to_string(), &t.yes),
                    hint(&t.keys().1.to_string(), &t.no),
                ];
                if t.may_not_apply {
                    keys.push(hint("d", "does not apply"));
                }
                keys
            })
        }
        ItemKind::Choice(_) => vec![hint("Enter", "this is what I see")],
        ItemKind::Moved => vec![hint("Enter", "has stopped, I let go")],
        ItemKind::Confirm => vec![hint("Enter", "go on")],
        ItemKind::Begin => vec![hint("Enter", "start the clock")],
        ItemKind::Running => Vec::new(),
        ItemKind::Press => vec![hint("Enter", "press again")],
        ItemKind::Hold => match work.judge.as_ref().map(|j| j.view().tier) {
            _ if typing_number(work).is_some() => {
                let number = typing_number(work).unwrap_or_default();
                vec![hint(&number.to_string(), "type it")]
            }
            Some(crate::hold::Tier::Turns) => vec![hint("F J", "tap in turn")],
            _ => vec![hint("Space", "hold"), hint("t", "two keys instead")],
        },
        ItemKind::GoOn(_) => vec![hint("Enter", "go on this way")],
        ItemKind::Override(_) => vec![hint("Enter", "go past it, with a reason")],
        ItemKind::Repeat(_) => vec![hint("Enter", "repeat this step")],
        ItemKind::LeaveRepeat => vec![hint("Enter", "leave it unrepeated")],
        ItemKind::HandOver(_) | ItemKind::HandOverRepeats => {
            vec![hint("Enter", "name who takes it on")]
        }
    }
}

/// The number that an open hold asks for now.
fn typing_number(work: &Work) -> Option<u16> {
    match work.judge.as_ref()?.view().phase {
        crate::hold::Phase::Typing { number, .. } => Some(number),
        _ => None,
    }
}

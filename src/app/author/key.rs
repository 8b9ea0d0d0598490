//! The keys of the author's bench, and its key line.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "a key that no table names means nothing"
)]

use super::{Author, Bench, Pane};
use crate::app::action::{Action, Edit};
use crate::app::keys::KeyHint;
use crate::input::Key;

impl Author {
    /// What a key means here, where no line is typed.
    pub(in crate::app) fn action(pressed: Key) -> Option<Action> {
        Some(match pressed {
            Key::Up => Action::Up,
            Key::Down => Action::Down,
            Key::PageUp => Action::PageUp,
            Key::PageDown => Action::PageDown,
            Key::Left => Action::Less,
            Key::Right => Action::More,
            Key::Home => Action::Edit(Edit::Home),
            Key::End => Action::Edit(Edit::End),
            Key::Tab => Action::NextPane,
            Key::BackTab => Action::PaneBefore,
            Key::Enter => Action::Accept,
            Key::Esc => Action::Back,
            Key::Char('?') => Action::Help,
            Key::Char('q') => Action::Leave,
            Key::Char(c) => Action::Letter(c),
            _ => return None,
        })
    }

    /// What works now.
    pub(in crate::app) fn key_line(&self) -> Vec<KeyHint> {
        match &self.bench {
            None => vec![
                hint("↑↓", "choose"),
                hint("← →", "sheet"),
                hint("Enter", "look at it"),
                hint("Esc", "back"),
                hint("q", "leave"),
            ],
            Some(bench) => bench.key_line(),
        }
    }
}

fn hint(key: &str, does: &str) -> KeyHint {
    KeyHint {
        key: key.to_owned(),
        does: does.to_owned(),
    }
}

impl Bench {
    fn key_line(&self) -> Vec<KeyHint> {
        if self.help.is_some() {
            return vec![hint("↑↓ PgUp PgDn", "read"), hint("Esc", "back")];
        }
        if let Some(find) = &self.find {
            let mut line = vec![hint("↑↓", "choose")];
            if !self.wanted().is_empty() {
                line.push(hint("Enter", "show it"));
            }
            let clears = !find.field.is_empty();
            line.push(hint("Esc", if clears { "clear" } else { "back" }));
            return line;
        }
        let mut line = Vec::new();
        match self.pane {
            Pane::Findings if self.along.is_some() => {
                line.push(hint("↑↓", "along"));
                line.push(hint("Enter", "open step"));
            }
            Pane::Findings if !self.findings.is_empty() => {
                line.push(hint("↑↓", "choose"));
                if self.step_about(self.finding).is_some() {
                    line.push(hint("Enter", "its step"));
                }
                if !self.path().is_empty() {
                    line.push(hint("p", "path"));
                }
            }
            Pane::Ways if !self.ways().is_empty() => {
                line.push(hint("↑↓", "choose"));
                line.push(hint("Enter", "follow"));
            }
            Pane::Findings | Pane::Step | Pane::Known | Pane::Ways => {}
        }
        line.push(hint("Tab", "pane"));
        if self.picture.is_some() {
            if matches!(self.pane, Pane::Step | Pane::Known) {
                line.push(hint("← →", "step"));
            }
            if self.pane == Pane::Step {
                line.push(hint("z", "size"));
                if self.has_pages() {
                    line.push(hint("m", "page"));
                }
            }
            line.push(hint("/", "find"));
        }
        line.push(hint("Esc", "up"));
        line.push(hint("?", "help"));
        // What finds no room stands under help.
        if self.goes_back() {
            line.push(hint("b", "back"));
        }
        line.push(hint("q", "leave"));
        line
    }
}

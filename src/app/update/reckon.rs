//! The calculators: the list of sums, and a sum being filled in.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "an action that means nothing here changes nothing"
)]

use super::{PAGE_STEP, scrolled};
use crate::app::action::{Action, Effect};
use crate::app::calculation::Calculation;
use crate::app::reckon::Reckon;
use crate::app::{App, Screen};

/// Furthest line that can be scrolled to; drawing stops at the last one.
const FURTHEST: usize = 200;

/// Where an action leads.
enum Way {
    Stay,
    List,
    Board,
}

impl App {
    pub(super) fn on_reckon(&mut self, action: &Action) -> Vec<Effect> {
        let Screen::Reckon(reckon) = &mut self.screen else {
            return Vec::new();
        };
        if let Some(top) = reckon.help {
            reckon.help = match action {
                Action::Back | Action::Accept | Action::Help | Action::Leave => None,
                _ => Some(scrolled(action, top, FURTHEST).unwrap_or(top)),
            };
            return Vec::new();
        }
        if *action == Action::Help {
            reckon.help = Some(0);
            return Vec::new();
        }
        let way = match reckon.calculation_mut() {
            Some(calculation) => on_calculation(calculation, action),
            None => on_list(reckon, action),
        };
        reckon.follow();
        match way {
            Way::Stay => {}
            Way::List => reckon.close(),
            Way::Board => return self.go_to_board(),
        }
        Vec::new()
    }
}

fn on_list(reckon: &mut Reckon, action: &Action) -> Way {
    match action {
        Action::Up => reckon.step(-1),
        Action::Down => reckon.step(1),
        Action::PageUp => reckon.step(-PAGE_STEP),
        Action::PageDown => reckon.step(PAGE_STEP),
        Action::Edit(edit) => reckon.narrow(edit),
        Action::Accept => reckon.open(),
        Action::Back if reckon.filter.is_empty() => return Way::Board,
        Action::Back => reckon.widen(),
        _ => {}
    }
    Way::Stay
}

fn on_calculation(calculation: &mut Calculation, action: &Action) -> Way {
    match action {
        Action::Up => calculation.step(-1),
        Action::Down => calculation.step(1),
        Action::Accept if !calculation.on_results() => calculation.step(1),
        Action::PageUp | Action::PageDown if calculation.on_results() => {
            let to = scrolled(action, calculation.top, FURTHEST);
            calculation.top = to.unwrap_or(calculation.top);
        }
        Action::PageUp => calculation.leap(-PAGE_STEP),
        Action::PageDown => calculation.leap(PAGE_STEP),
        Action::Less => calculation.pick(-1),
        Action::More => calculation.pick(1),
        Action::Edit(edit) => calculation.edit(edit),
        Action::Letter(letter) => calculation.letter(*letter),
        Action::Back if calculation.has_typed() => calculation.clear(),
        Action::Back => return Way::List,
        Action::Leave => return Way::Board,
        _ => {}
    }
    Way::Stay
}

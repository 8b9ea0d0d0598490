//! Wider screens: the route on the left, the truck as it should stand on the right.

use std::collections::BTreeSet;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::picture;
use super::step::{header, paint_body};
use super::text::{clip, put};
use super::theme::Theme;
use super::truck;
use crate::app::Work;
use crate::procedure::{Body, Step, StepId};

const ROUTE: u16 = 26;

/// Step and truck.
pub(super) fn beside(
    buf: &mut Buffer,
    area: Rect,
    work: &Work,
    theme: Theme,
) -> Option<(u16, u16)> {
    let under = top(buf, area, work, theme);
    let (left, right) = cut_right(under, truck::WIDTH + 2);
    truck_panel(buf, right, work, theme);
    paint_body(buf, left, work, theme)
}

/// Route, step and truck.
pub(super) fn paint(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) -> Option<(u16, u16)> {
    let under = top(buf, area, work, theme);
    let (rest, right) = cut_right(under, truck::WIDTH + 2);
    let left = Rect {
        width: ROUTE.min(rest.width),
        ..rest
    };
    let middle = Rect {
        x: rest.x + left.width,
        width: rest.width.saturating_sub(left.width),
        ..rest
    };
    route(buf, left, work, theme);
    truck_panel(buf, right, work, theme);
    paint_body(buf, middle, work, theme)
}

fn top(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) -> Rect {
    let used = header(buf, area, work, theme);
    Rect {
        y: area.y + used,
        height: area.height.saturating_sub(used),
        ..area
    }
}

fn cut_right(area: Rect, width: u16) -> (Rect, Rect) {
    let width = width.min(area.width);
    let left = Rect {
        width: area.width - width,
        ..area
    };
    let right = Rect {
        x: area.x + left.width,
        width,
        ..area
    };
    (left, right)
}

fn rule(buf: &mut Buffer, area: Rect, x: u16, theme: Theme) {
    for row in area.top()..area.bottom() {
        buf.set_string(x, row, "│", theme.faint());
    }
}

fn truck_panel(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) {
    rule(buf, area, area.left(), theme);
    let inner = Rect {
        x: area.x + 2,
        width: area.width.saturating_sub(2),
        ..area
    };
    let truck = truck::lines(work, theme);
    let picture = picture::lines(work, theme);
    let room = usize::from(inner.height);
    // The picture belongs to this step; the truck stays where both find room.
    if picture.is_empty() || picture.len() > room {
        put(buf, inner, &truck);
    } else if truck.len() + 1 + picture.len() > room {
        put(buf, inner, &picture);
    } else {
        let used = put(buf, inner, &truck) + 1;
        let under = Rect {
            y: inner.y + used,
            height: inner.height - used,
            ..inner
        };
        put(buf, under, &picture);
    }
}

/// The phases: done, here, to come; and the steps of the phase at hand.
fn route(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) {
    let lines = route_lines(work, usize::from(area.width.saturating_sub(2)), theme);
    let here = lines.iter().position(|(_, here)| *here).unwrap_or(0);
    let rows = usize::from(area.height);
    let top = (here + 1).saturating_sub(rows / 2);
    let top = top.min(lines.len().saturating_sub(rows));
    let shown: Vec<Line<'static>> = lines
        .into_iter()
        .skip(top)
        .take(rows)
        .map(|(line, _)| line)
        .collect();
    put(
        buf,
        Rect {
            width: area.width.saturating_sub(1),
            ..area
        },
        &shown,
    );
    rule(buf, area, area.right().saturating_sub(1), theme);
}

/// The route in lines; `true` marks where the job stands. A mark in front tells
/// what was done (+), where it is (>), what comes (·).
pub(super) fn route_lines(work: &Work, wide: usize, theme: Theme) -> Vec<(Line<'static>, bool)> {
    let procedure = &work.setup.procedure;
    let here = work.step().map(|s| s.phase);
    let ahead = ahead(work);
    let mut lines = Vec::new();
    for (n, phase) in procedure.phases.iter().enumerate() {
        let entered = |s: &crate::procedure::Step| work.state.passed.contains_key(&s.id);
        let steps = procedure.steps.iter().filter(|s| s.phase == n);
        let done = steps.clone().any(entered);
        let comes = steps.clone().any(|s| ahead.contains(&s.id));
        if Some(n) != here && !done && (phase.aside || !comes) {
            continue;
        }
        let (mark, style) = if Some(n) == here {
            (">", theme.title())
        } else if done {
            ("+", Style::default())
        } else {
            ("·", theme.faint())
        };
        let title = clip(&format!("{mark} {}", phase.title), wide);
        lines.push((Line::from(Span::styled(title, style)), false));
        if Some(n) != here {
            continue;
        }
        for step in steps {
            if by_sheet(step) || !(entered(step) || ahead.contains(&step.id)) {
                continue;
            }
            let now = work.step().is_some_and(|s| s.id == step.id);
            let (mark, style) = if now {
                (">", theme.focus())
            } else if entered(step) {
                ("+", Style::default())
            } else {
                ("·", theme.faint())
            };
            let title = clip(&format!("  {mark} {}", step.title), wide);
            lines.push((Line::from(Span::styled(title, style)), now));
        }
    }
    lines
}

/// A look that the sheet answers has no screen.
fn by_sheet(step: &Step) -> bool {
    matches!(
        step.body,
        Body::Look {
            by_sheet: Some(_),
            ..
        }
    )
}

/// The steps that can still come from here on this vehicle: looks that the sheet
/// answers lead one way.
fn ahead(work: &Work) -> BTreeSet<StepId> {
    let mut ahead = BTreeSet::new();
    let mut open: Vec<&Step> = work.step().into_iter().collect();
    while let Some(step) = open.pop() {
        if !ahead.insert(step.id.clone()) {
            continue;
        }
        let targets: Vec<&StepId> = match &step.body {
            Body::Look {
                by_sheet: Some(key),
                choices,
            } => {
                let word = work.setup.sheet.word(key);
                let chosen = choices.iter().filter(|c| Some(c.id.as_str()) == word);
                chosen.map(|c| &c.to).collect()
            }
            Body::Look { by_sheet: None, .. } | Body::Ordinary { .. } | Body::End(_) => {
                step.targets()
            }
        };
        let fresh = targets.into_iter().filter(|id| !ahead.contains(*id));
        open.extend(fresh.filter_map(|id| work.setup.step(id)));
    }
    ahead
}

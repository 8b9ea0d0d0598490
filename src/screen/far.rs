//! The far view, 40 by 12: one caution, one thing to do, one field, the verdict
//! in words.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::clock;
use super::item;
use super::step::{hazards, instruction_lines, notices, place_words, sign};
use super::text::{bar, block, clip, put, width, window};
use super::theme::Theme;
use super::worked;
use crate::app::{ItemKind, Work};
use crate::job::Mode;

/// Paints a step for two metres away; gives where the cursor stands.
pub(super) fn paint(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) -> Option<(u16, u16)> {
    let wide = usize::from(area.width);
    let step = work.step()?;
    let mut row = area.top();
    let right = match work.setup.mode {
        Mode::Practice => "PRACTICE",
        Mode::Job => "",
    };
    bar(buf, area, row, &place_words(work), right, theme.header());
    row += 1;
    if let Some(hazard) = hazards(work, step).first() {
        let mark = sign(hazard.signal);
        let line = Line::from(vec![
            Span::styled(mark.clone(), theme.signal(hazard.signal)),
            Span::raw(format!(
                " {}",
                clip(&hazard.title, wide.saturating_sub(width(&mark) + 1))
            )),
        ]);
        buf.set_line(area.left(), row, &line, area.width);
        row += 1;
    }
    let asked = one_thing(work, wide, theme);
    let foot = notices(work, wide, theme);
    let foot_rows = foot.len().min(3) as u16;
    let most = if work.typing() && !work.field.is_empty() {
        area.height.saturating_sub(4)
    } else {
        area.height / 2
    };
    let asked_rows = (asked.lines.len() as u16).min(most);
    let left = area.bottom().saturating_sub(row + asked_rows + foot_rows);
    let upper = upper(work, wide, theme);
    let (shown, more) = window(&upper, work.top, usize::from(left));
    let mut shown: Vec<Line<'static>> = shown.to_vec();
    if more && let Some(last) = shown.last_mut() {
        *last = Line::from(Span::styled(" PgDn: more", theme.key()));
    }
    put(
        buf,
        Rect {
            y: row,
            height: left,
            ..area
        },
        &shown,
    );
    let asked_at = row + left;
    put(
        buf,
        Rect {
            y: asked_at,
            height: asked_rows,
            ..area
        },
        &asked.lines,
    );
    put(
        buf,
        Rect {
            y: area.bottom().saturating_sub(foot_rows),
            height: foot_rows,
            ..area
        },
        &foot,
    );
    let column = asked.cursor?;
    Some((area.x + column.min(area.width.saturating_sub(1)), asked_at))
}

/// The title, then a clock or the instructions.
fn upper(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let Some(step) = work.step() else {
        return Vec::new();
    };
    let mut lines = block(&step.title.to_uppercase(), wide, 0, theme.title());
    let left = work.countdown().map(|(left, _)| left).or(work.age_left());
    if let Some(left) = left {
        if left == 0 {
            lines.extend(block("the time is up", wide, 3, theme.title()));
        } else {
            lines.extend(clock::large(left, theme.title()));
        }
        lines.extend(results(work, wide, theme));
        return lines;
    }
    lines.extend(results(work, wide, theme));
    lines.extend(instruction_lines(work, step, wide));
    lines
}

/// What is worked out, once every reading of the step is there: `PgDn` goes through it.
fn results(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let reading = |i: &crate::app::Item| i.open && matches!(i.kind, ItemKind::Reading(_));
    if work.items().iter().any(reading) {
        return Vec::new();
    }
    worked::lines(work, wide, theme)
}

/// The item in focus, or the choices where none is in focus yet.
fn one_thing(work: &Work, wide: usize, theme: Theme) -> item::Drawn {
    let items = work.items();
    let open = items.iter().filter(|i| i.open).count();
    if let Some(focused) = work.focused() {
        let mut drawn = item::draw(work, &focused, true, wide, theme);
        let place = focused
            .reading()
            .and_then(|id| work.setup.procedure.readings.get(id))
            .and_then(|r| r.place.clone());
        if let (Some(place), Some(first)) = (place, drawn.lines.get(1..2).map(|_| 1)) {
            let line = Line::from(Span::styled(format!("      {place}"), theme.title()));
            drawn.lines.insert(first, line);
        }
        drawn
            .lines
            .extend(worked::foreseen_lines(work, wide, theme));
        if open > 1 && !matches!(focused.kind, ItemKind::Choice(_)) {
            drawn.lines.push(Line::from(Span::styled(
                format!("   {open} open here"),
                theme.faint(),
            )));
        }
        return drawn;
    }
    let lines = items
        .iter()
        .flat_map(|i| item::draw(work, i, false, wide, theme).lines)
        .collect::<Vec<_>>();
    let lines = if lines.is_empty() {
        vec![Line::from(Span::styled(String::new(), Style::default()))]
    } else {
        lines
    };
    item::Drawn {
        lines,
        cursor: None,
    }
}

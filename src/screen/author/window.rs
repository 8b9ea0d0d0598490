//! The step as the mechanic meets it: drawn whole at its size by what draws a job,
//! then as much of it as there is room for, in a frame that says what it is.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::step_words;
use crate::app::{Bench, KeyHint, Pane, View, Work, answered_by_sheet, work_line};
use crate::screen::text::{block, clip, put, width};
use crate::screen::theme::Theme;
use crate::screen::{key_bar, paint_step, split_keys};

/// Paints the frame and what is in it.
pub(super) fn paint(buf: &mut Buffer, area: Rect, bench: &Bench, theme: Theme) {
    if area.height < 3 {
        return;
    }
    let (cols, rows) = bench.view.size();
    let sides = area.width >= cols + 2;
    let frame = Rect {
        width: if sides { cols + 2 } else { area.width },
        height: area.height.min(rows + 2),
        ..area
    };
    let inner = Rect {
        x: frame.x + u16::from(sides),
        y: frame.y + 1,
        width: frame.width.saturating_sub(2 * u16::from(sides)).min(cols),
        height: frame.height - 2,
    };
    let top = (bench.top as u16).min(rows.saturating_sub(inner.height));
    let left = if bench.right {
        cols.saturating_sub(inner.width)
    } else {
        0
    };
    edges(buf, frame, inner, (left, top), bench, theme);
    if let Some(text) = instead(bench) {
        let lines = block(&text, usize::from(inner.width), 1, Style::default());
        put(buf, inner, &lines);
        return;
    }
    let Some(work) = &bench.shown else {
        return;
    };
    let whole = whole(work, bench.view, theme);
    for y in 0..inner.height {
        for x in 0..inner.width {
            let from = whole.cell((left + x, top + y));
            let to = buf.cell_mut((inner.x + x, inner.y + y));
            if let (Some(from), Some(to)) = (from, to) {
                to.clone_from(from);
            }
        }
    }
}

/// The whole step at its size, with its key line, which is not live.
fn whole(work: &Work, view: View, theme: Theme) -> Buffer {
    let (cols, rows) = view.size();
    let area = Rect::new(0, 0, cols, rows);
    let mut whole = Buffer::empty(area);
    let (body, keys) = split_keys(area);
    paint_step(&mut whole, body, work, theme);
    let mut hints = work_line(work);
    hints.insert(
        0,
        KeyHint {
            key: "NOT LIVE:".to_owned(),
            does: String::new(),
        },
    );
    key_bar(&mut whole, keys, hints, theme);
    whole
}

/// What is said where there is no step to be drawn.
fn instead(bench: &Bench) -> Option<String> {
    let Some(step) = bench.step() else {
        return Some(match (bench.read, &bench.trouble) {
            (None, None) => "being read".to_owned(),
            _ => "There is no step to show yet.".to_owned(),
        });
    };
    let key = answered_by_sheet(step)?;
    let picture = bench.picture.as_ref()?;
    let answer = picture.sheet.as_ref().and_then(|s| s.word(key));
    let here = match answer {
        Some(word) => format!("This sheet says: {word}."),
        None => "No sheet is given here: levelhand author FILE SHEET.".to_owned(),
    };
    Some(format!(
        "{}. Nobody meets this step: the sheet answers it under {key}. {here}",
        step.title
    ))
}

/// The frame: above what it is, below how much of it is seen.
fn edges(
    buf: &mut Buffer,
    frame: Rect,
    inner: Rect,
    (left, top): (u16, u16),
    bench: &Bench,
    theme: Theme,
) {
    let wide = usize::from(frame.width);
    let here = bench.pane == Pane::Step;
    let mark = if here { "> " } else { "─ " };
    let sides = frame.width > inner.width;
    let view = bench.view;
    let size = view.word();
    let words = if wide < 60 {
        format!("{mark}NOT A JOB · {size} ")
    } else if sides {
        format!(
            "{mark}A STEP SHOWN, NOT A JOB · {size} · {} ",
            step_words(bench)
        )
    } else {
        // The names of the parts above it tell which step.
        format!("{mark}A STEP SHOWN, NOT A JOB · {size} ")
    };
    let style = if here { theme.title() } else { theme.faint() };
    rule(buf, frame, frame.top(), &words, style, theme);
    let (cols, rows) = view.size();
    let mut seen = Vec::new();
    if inner.height < rows {
        seen.push(format!(
            "rows {} to {} of {rows}",
            top + 1,
            top + inner.height
        ));
    }
    if inner.width < cols {
        seen.push(format!(
            "columns {} to {} of {cols}",
            left + 1,
            left + inner.width
        ));
    }
    let words = if seen.is_empty() {
        String::new()
    } else {
        format!("─ {} ", seen.join(" · "))
    };
    let last = frame.bottom() - 1;
    rule(buf, frame, last, &words, theme.faint(), theme);
    if sides {
        for row in inner.top()..inner.bottom() {
            buf.set_string(frame.left(), row, "│", theme.faint());
            buf.set_string(frame.right() - 1, row, "│", theme.faint());
        }
    }
}

fn rule(buf: &mut Buffer, frame: Rect, row: u16, words: &str, style: Style, theme: Theme) {
    let wide = usize::from(frame.width);
    buf.set_string(frame.left(), row, "─".repeat(wide), theme.faint());
    let words = clip(words, wide);
    if width(&words) > 0 {
        buf.set_string(frame.left(), row, words, style);
    }
}

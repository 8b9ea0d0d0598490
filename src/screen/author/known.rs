//! What is known at the step that is shown, and where it leads.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::put_focused;
use crate::app::{Bench, Pane};
use crate::screen::page::read;
use crate::screen::text::{block, hanging};
use crate::screen::theme::Theme;

fn heading(text: &str, theme: Theme) -> Line<'static> {
    Line::from(Span::styled(format!(" {text}"), theme.title()))
}

/// Paints what is known.
pub(super) fn paint(buf: &mut Buffer, area: Rect, bench: &Bench, theme: Theme) {
    let wide = usize::from(area.width);
    let mut lines = Vec::new();
    for section in bench.known() {
        lines.push(heading(section.heading, theme));
        for row in &section.rows {
            let style = if row.grave {
                theme.message()
            } else {
                Style::default()
            };
            let deeper = row.text.starts_with(' ');
            let mark = if deeper { "       " } else { "   · " };
            lines.extend(hanging(
                mark,
                style,
                &row.text,
                wide.saturating_sub(1),
                style,
            ));
        }
    }
    if lines.is_empty() {
        lines = block("There is no step to tell of.", wide, 1, Style::default());
    }
    read(buf, area, &lines, bench.known_top, theme);
}

/// Paints the ways, those out of the step first.
pub(super) fn ways(buf: &mut Buffer, area: Rect, bench: &Bench, theme: Theme) {
    let wide = usize::from(area.width);
    let here = bench.pane == Pane::Ways;
    let mut lines = Vec::new();
    let mut focus = (0, 0);
    let mut into = None;
    for (n, way) in bench.ways().iter().enumerate() {
        let heads = into != Some(way.into);
        let from = lines.len();
        if heads {
            into = Some(way.into);
            let words = if way.into {
                "LED HERE FROM"
            } else {
                "LEADS ON TO"
            };
            lines.push(heading(words, theme));
        }
        let focused = here && n == bench.way;
        let style = if focused {
            theme.focus()
        } else {
            Style::default()
        };
        let mark = if focused { " > " } else { "   " };
        let text = if way.into {
            format!("{} ({}): {}", way.title, way.step, way.word)
        } else {
            format!("{} → {} ({})", way.word, way.title, way.step)
        };
        lines.extend(hanging(mark, style, &text, wide.saturating_sub(1), style));
        if focused {
            focus = (from, lines.len().saturating_sub(1));
        }
    }
    if lines.is_empty() {
        lines = block(
            "No way leads on, and none leads here.",
            wide,
            1,
            Style::default(),
        );
    }
    put_focused(buf, area, &lines, focus, theme);
}

//! What is known at the step that is shown, and where it leads.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::put_focused;
use crate::app::{Bench, Pane};
use crate::procedure::Grade;
use crate::quantity::Rule;
use crate::screen::page::read;
use crate::screen::step::{limit_words, subject_title};
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
    lines.extend(limits(bench, wide, theme));
    if lines.is_empty() {
        lines = block("There is no step to tell of.", wide, 1, Style::default());
    }
    read(buf, area, &lines, bench.known_top, theme);
}

/// The limits of the step, with the sheet's values in them where there is a sheet.
fn limits(bench: &Bench, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let (Some(step), Some(work)) = (bench.step(), &bench.shown) else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    for limit in &step.limits {
        if lines.is_empty() {
            lines.push(heading("LIMITS", theme));
        }
        let rule = match limit.rule {
            Rule::Simple => "simple",
            Rule::Guarded => "guarded",
        };
        let grade = match limit.grade {
            Grade::Interlock => "interlock",
            Grade::Advice => "advice",
        };
        let (of, bound) = (subject_title(work, limit), limit_words(work, limit));
        let text = format!("{of}: {bound} ({rule}, {grade})");
        let style = Style::default();
        lines.extend(hanging(
            "   · ",
            style,
            &text,
            wide.saturating_sub(1),
            style,
        ));
    }
    lines
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

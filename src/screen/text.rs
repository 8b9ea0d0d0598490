//! Fitting words into cells.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::theme::Theme;
use crate::finding::escape;

/// Cells that a text takes.
pub(super) fn width(text: &str) -> usize {
    text.width()
}

/// A text cut to so many cells, with a mark where something is missing.
pub(super) fn clip(text: &str, cells: usize) -> String {
    let text = escape(text);
    if text.width() <= cells {
        return text.into_owned();
    }
    let mut out = String::new();
    let mut used = 0;
    for c in text.chars() {
        let w = c.width().unwrap_or(0);
        if used + w + 1 > cells {
            break;
        }
        used += w;
        out.push(c);
    }
    if cells > 0 {
        out.push('…');
    }
    out
}

/// A text broken into lines of at most so many cells, at spaces where it can be.
pub(super) fn wrap(text: &str, cells: usize) -> Vec<String> {
    let cells = cells.max(1);
    let text = escape(text);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let gap = usize::from(!line.is_empty());
        if line.width() + gap + word.width() <= cells {
            if gap == 1 {
                line.push(' ');
            }
            line.push_str(word);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        let mut pieces = break_word(word, cells);
        line = pieces.pop().unwrap_or_default();
        lines.extend(pieces);
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// A word longer than a line, in pieces.
fn break_word(word: &str, cells: usize) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for c in word.chars() {
        let wide = c.width().unwrap_or(0);
        let full = pieces.last().is_none_or(|p| p.width() + wide > cells);
        if full {
            pieces.push(String::new());
        }
        if let Some(last) = pieces.last_mut() {
            last.push(c);
        }
    }
    pieces.retain(|p| !p.is_empty());
    pieces
}

/// Wrapped lines in one style, each with `indent` spaces before.
pub(super) fn block(text: &str, cells: usize, indent: usize, style: Style) -> Vec<Line<'static>> {
    let pad = " ".repeat(indent);
    wrap(text, cells.saturating_sub(indent))
        .into_iter()
        .map(|line| Line::from(Span::styled(format!("{pad}{line}"), style)))
        .collect()
}

/// A wrapped text whose first line begins with `mark` and the others under it.
pub(super) fn hanging(
    mark: &str,
    mark_style: Style,
    text: &str,
    cells: usize,
    style: Style,
) -> Vec<Line<'static>> {
    let indent = width(mark);
    let lines = wrap(text, cells.saturating_sub(indent)).into_iter();
    lines
        .enumerate()
        .map(|(n, line)| {
            let head = if n == 0 {
                Span::styled(mark.to_owned(), mark_style)
            } else {
                Span::raw(" ".repeat(indent))
            };
            Line::from(vec![head, Span::styled(line, style)])
        })
        .collect()
}

/// Puts lines into an area from its top; gives how many rows were used.
pub(super) fn put(buf: &mut Buffer, area: Rect, lines: &[Line<'_>]) -> u16 {
    let rows = area.top()..area.bottom();
    let mut used = 0;
    for (row, line) in rows.zip(lines) {
        buf.set_line(area.left(), row, line, area.width);
        used += 1;
    }
    used
}

/// A bar over the whole width with a text at its left and one at its right.
pub(super) fn bar(buf: &mut Buffer, area: Rect, row: u16, left: &str, right: &str, style: Style) {
    if row >= area.bottom() {
        return;
    }
    let whole = usize::from(area.width);
    buf.set_string(area.left(), row, " ".repeat(whole), style);
    let right = clip(right, whole.saturating_sub(2));
    let room = whole.saturating_sub(width(&right) + 3);
    buf.set_string(area.left() + 1, row, clip(left, room), style);
    let at = whole.saturating_sub(width(&right) + 1) as u16;
    buf.set_string(area.left() + at, row, right, style);
}

/// The mark that more follows, at the end of the last line, which gives way to it.
pub(super) fn mark_more(lines: &mut [Line<'static>], wide: usize, theme: Theme) {
    const MARK: &str = "  PgDn: more";
    let Some(last) = lines.last_mut() else {
        return;
    };
    if last.width() + MARK.len() > wide {
        let text = clip(&last.to_string(), wide.saturating_sub(MARK.len()));
        let style = last
            .spans
            .last()
            .map_or(Style::default(), |span| span.style);
        *last = Line::from(Span::styled(text, style));
    }
    last.push_span(Span::styled(MARK, theme.key()));
}

/// `lines` from `top` on, so many that they fit, and whether more follow.
pub(super) fn window<'l>(
    lines: &'l [Line<'static>],
    top: usize,
    rows: usize,
) -> (&'l [Line<'static>], bool) {
    let last = lines.len().saturating_sub(rows);
    let top = top.min(last);
    let end = (top + rows).min(lines.len());
    (lines.get(top..end).unwrap_or(&[]), end < lines.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_asked_and_no_word_is_lost() {
        let text = "Lower at the diagnostic equipment until the frame sits on both blocks.";
        for cells in 1..80 {
            let lines = wrap(text, cells);
            assert!(
                lines.iter().all(|l| width(l) <= cells),
                "{cells}: {lines:?}"
            );
            let all: String = lines.concat().split_whitespace().collect();
            let wanted: String = text.split_whitespace().collect();
            assert_eq!(all, wanted);
        }
    }

    #[test]
    fn a_clipped_text_shows_that_something_is_missing() {
        assert_eq!(clip("abcdef", 4), "abc…");
        assert_eq!(clip("abcd", 4), "abcd");
        assert_eq!(clip("abcd", 0), "");
    }

    #[test]
    fn control_characters_never_reach_the_screen() {
        let lines = wrap("a\u{1b}[2Jb", 40);
        assert!(!lines.concat().contains('\u{1b}'));
        assert!(!clip("a\u{7}b", 40).contains('\u{7}'));
    }
}

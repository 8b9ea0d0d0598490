//! A text to read.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;

use super::text::{bar, block, clip, put, width, window};
use super::theme::Theme;

/// A title bar and lines under it, from `top` on.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    title: &str,
    lines: &[String],
    top: usize,
    theme: Theme,
) {
    bar(buf, area, area.top(), title, "", theme.header());
    let under = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1),
        ..area
    };
    let lines: Vec<Line<'static>> = lines
        .iter()
        .flat_map(|l| as_written(l, usize::from(area.width)))
        .collect();
    read(buf, under, &lines, top, theme);
}

/// A line with its columns where it fits, else broken, under where it began.
fn as_written(line: &str, wide: usize) -> Vec<Line<'static>> {
    if width(line) < wide {
        return vec![Line::from(format!(" {}", clip(line, wide)))];
    }
    let indent = line.len() - line.trim_start_matches(' ').len();
    block(line, wide, 1 + indent.min(wide / 4), Style::default())
}

/// Lines from `top` on, with a mark when more follow.
pub(super) fn read(
    buf: &mut Buffer,
    area: Rect,
    lines: &[Line<'static>],
    top: usize,
    theme: Theme,
) {
    scroll(buf, area, lines, top, " more below ", theme);
}

/// The same, with words of its own for the mark.
pub(super) fn scroll(
    buf: &mut Buffer,
    area: Rect,
    lines: &[Line<'static>],
    top: usize,
    mark: &str,
    theme: Theme,
) {
    let (shown, more) = window(lines, top, usize::from(area.height));
    // The mark has a row of its own: it hides nothing.
    let whole = shown.len().saturating_sub(usize::from(more));
    put(buf, area, shown.get(..whole).unwrap_or_default());
    if more && area.height > 0 {
        let x = area.right().saturating_sub(mark.len() as u16 + 1);
        buf.set_string(x, area.bottom() - 1, mark, theme.header());
    }
}

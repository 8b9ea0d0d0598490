//! A text to read.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;

use super::text::{bar, block, put, window};
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
        .flat_map(|l| block(l, usize::from(area.width), 1, Style::default()))
        .collect();
    read(buf, under, &lines, top, theme);
}

/// Lines from `top` on, with a mark when more follow.
pub(super) fn read(
    buf: &mut Buffer,
    area: Rect,
    lines: &[Line<'static>],
    top: usize,
    theme: Theme,
) {
    let rows = usize::from(area.height);
    let (shown, more) = window(lines, top, rows);
    put(buf, area, shown);
    if more && area.height > 0 {
        let mark = " more below ";
        let x = area.right().saturating_sub(mark.len() as u16 + 1);
        buf.set_string(x, area.bottom() - 1, mark, theme.header());
    }
}

//! A step being looked for, by parts of its title or name.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::{below, put_focused};
use crate::app::Bench;
use crate::screen::text::{block, clip, width};
use crate::screen::theme::Theme;

/// Paints the line being typed and the steps that fit; gives where the cursor stands.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    bench: &Bench,
    theme: Theme,
) -> Option<(u16, u16)> {
    let find = bench.find.as_ref()?;
    let wide = usize::from(area.width);
    let head = " find a step  ";
    let room = wide.saturating_sub(width(head) + 2);
    let skip = find.field.cursor().saturating_sub(room.saturating_sub(1));
    let shown: String = find.field.text().chars().skip(skip).take(room).collect();
    let before: String = shown.chars().take(find.field.cursor() - skip).collect();
    let line = Line::from(vec![
        Span::styled(head, theme.title()),
        Span::styled(format!("{:<20}", clip(&shown, room)), theme.field()),
    ]);
    buf.set_line(area.left(), area.top(), &line, area.width);
    let wanted = bench.wanted();
    let rows: Vec<Line<'static>> = wanted
        .iter()
        .enumerate()
        .map(|(n, step)| {
            let focused = n == find.focus;
            let style = if focused {
                theme.focus()
            } else {
                Style::default()
            };
            let mark = if focused { " > " } else { "   " };
            let id = format!("  {}", step.id);
            let id = clip(&id, wide / 2);
            let room = wide.saturating_sub(width(mark) + width(&id) + 1);
            Line::from(vec![
                Span::styled(format!("{mark}{}", clip(&step.title, room)), style),
                Span::styled(id, theme.faint()),
            ])
        })
        .collect();
    let under = below(area, 1);
    if rows.is_empty() {
        let text = "No step has all of these words in its title or name. Esc clears them.";
        let said = block(text, wide, 1, theme.message());
        put_focused(buf, under, &said, (0, 0), theme);
    } else {
        put_focused(buf, under, &rows, (find.focus, find.focus), theme);
    }
    Some((area.x + (width(head) + width(&before)) as u16, area.y))
}

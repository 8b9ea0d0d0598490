//! Choosing what to look at.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::below;
use crate::app::{App, Author};
use crate::screen::text::{bar, block, clip, put};
use crate::screen::theme::Theme;

/// Paints the procedures there are, and the sheet.
pub(super) fn paint(buf: &mut Buffer, area: Rect, app: &App, author: &Author, theme: Theme) {
    bar(
        buf,
        area,
        area.top(),
        "AUTHOR'S BENCH",
        "nothing here is a job",
        theme.header(),
    );
    let wide = usize::from(area.width);
    let Some(choice) = &author.choice else {
        return;
    };
    let heading = |text: &str| Line::from(Span::styled(format!(" {text}"), theme.title()));
    let mut lines = vec![heading("LOOK THROUGH")];
    for (n, offered) in app.catalog.procedures.iter().enumerate() {
        let focused = n == choice.focus;
        let style = if focused {
            theme.focus()
        } else {
            Style::default()
        };
        let mark = if focused { " > " } else { "   " };
        let text = format!("{}   {}", offered.title, offered.about);
        let text = clip(&text, wide.saturating_sub(4));
        lines.push(Line::from(Span::styled(format!("{mark}{text} "), style)));
    }
    let sheet = choice.sheet.checked_sub(1);
    let sheet = sheet.and_then(|at| app.catalog.sheets.get(at));
    let sheet = sheet.map_or("none: limits name the sheet", |s| s.title.as_str());
    lines.push(Line::default());
    lines.push(heading("WITH THE VALUES OF"));
    lines.push(Line::from(format!(
        "   ← {} →",
        clip(sheet, wide.saturating_sub(8))
    )));
    if area.height >= 14 {
        lines.push(Line::default());
        let text = "A file of your own, shown anew each time you save it: levelhand author FILE [SHEET] [INSTRUMENTS].";
        lines.extend(block(text, wide, 1, Style::default()));
    }
    put(buf, below(area, 1), &lines);
}

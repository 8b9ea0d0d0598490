//! The front page of a new job.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "only three other rows take typing"
)]

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::page::scroll;
use super::text::{bar, block, clip, hanging, put, width};
use super::theme::Theme;
use crate::app::{App, Offered, Start, StartRow};
use crate::quantity::System;

/// Paints the form; gives where the cursor stands.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    app: &App,
    start: &Start,
    theme: Theme,
) -> Option<(u16, u16)> {
    let wide = usize::from(area.width);
    let title = app.catalog.procedures.get(start.procedure);
    let title = title.map_or("", |p| p.title.as_str());
    let (what, style) = if app.trial {
        ("PRACTICE, no job", theme.practice())
    } else {
        ("NEW JOB", theme.header())
    };
    bar(buf, area, area.top(), what, title, style);
    let mut lines: Vec<Line<'static>> = Vec::new();
    let mut cursor = None;
    let far = area.height < 18;
    for row in StartRow::ALL {
        if far && row != start.row() && row != StartRow::Open {
            continue;
        }
        let focused = row == start.row();
        let (line, at) = form_row(app, start, row, focused, wide, theme);
        if focused {
            cursor = at.map(|column| (column, lines.len() as u16));
        }
        lines.push(line);
    }
    if let Some(message) = &start.message {
        lines.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
    }
    if start.opening {
        lines.extend(block("opening the job", wide, 1, theme.faint()));
    }
    let used = put(
        buf,
        Rect {
            y: area.y + 1,
            height: area.height.saturating_sub(1),
            ..area
        },
        &lines,
    );
    let under = Rect {
        y: area.y + 2 + used,
        height: area.height.saturating_sub(2 + used),
        ..area
    };
    scope(buf, under, start, theme);
    cursor.map(|(column, row)| (area.x + column, area.y + 1 + row))
}

fn scope(buf: &mut Buffer, area: Rect, start: &Start, theme: Theme) {
    let wide = usize::from(area.width);
    let mut lines = vec![Line::from(Span::styled(
        " What this procedure covers, who may do it, what it needs:",
        theme.title(),
    ))];
    match &start.scope {
        Some(text) => {
            for line in text {
                lines.extend(block(line, wide, 1, Style::default()));
            }
        }
        None => lines.push(Line::from(" reading it")),
    }
    scroll(buf, area, &lines, start.top, " more below: PgDn ", theme);
}

fn offered(list: &[Offered], index: usize) -> String {
    list.get(index).map_or_else(
        || "none".to_owned(),
        |o| format!("{}  ({})", o.title, o.about),
    )
}

fn form_row(
    app: &App,
    start: &Start,
    row: StartRow,
    focused: bool,
    wide: usize,
    theme: Theme,
) -> (Line<'static>, Option<u16>) {
    let (label, value) = match row {
        StartRow::Sheet => ("vehicle sheet", offered(&app.catalog.sheets, start.sheet)),
        StartRow::Instruments => (
            "instruments",
            offered(&app.catalog.instruments, start.instruments),
        ),
        StartRow::By => ("at the keyboard", start.by.text().to_owned()),
        StartRow::With => ("also there", start.with.text().to_owned()),
        StartRow::Why => ("why this job", start.why.text().to_owned()),
        StartRow::Units => (
            "units",
            match start.system {
                None => "as the sheet is written",
                Some(System::Metric) => "metric",
                Some(System::Us) => "US",
            }
            .to_owned(),
        ),
        StartRow::Earlier => ("goes on from job", start.earlier.text().to_owned()),
        StartRow::Scope => (
            "scope below",
            if start.accepted {
                "read and accepted"
            } else {
                "not accepted yet: y when you have read it"
            }
            .to_owned(),
        ),
        StartRow::Open => ("open the job", "Enter".to_owned()),
    };
    let mark = if focused { " > " } else { "   " };
    let head = format!("{mark}{label:<16} ");
    let style = if focused {
        theme.title()
    } else {
        Style::default()
    };
    let value_style = if row.is_field() && focused {
        theme.field()
    } else {
        style
    };
    let shown = if row.is_field() && focused {
        format!("{value:<20}")
    } else if value.is_empty() {
        "·".to_owned()
    } else {
        value
    };
    let cursor = row.is_field().then(|| {
        let field = match row {
            StartRow::With => &start.with,
            StartRow::Why => &start.why,
            StartRow::Earlier => &start.earlier,
            _ => &start.by,
        };
        (width(&head) + field.cursor()) as u16
    });
    let line = Line::from(vec![
        Span::styled(head.clone(), style),
        Span::styled(clip(&shown, wide.saturating_sub(width(&head))), value_style),
    ]);
    (line, cursor)
}

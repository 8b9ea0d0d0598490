//! What was found: the list, and the whole of the one in focus with its place in the
//! text and the shortest path that shows it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::{below, put_focused};
use crate::app::{Bench, Pane};
use crate::finding::{Place, Placed, Severity};
use crate::screen::page::read;
use crate::screen::text::{block, clip, hanging, put, width};
use crate::screen::theme::Theme;

/// Paints list and detail.
pub(super) fn paint(buf: &mut Buffer, area: Rect, bench: &Bench, theme: Theme) {
    let wide = usize::from(area.width);
    let Some(found) = bench.found() else {
        let text = match (&bench.trouble, bench.read) {
            (_, Some(_)) => "Nothing is wrong with it.",
            (None, None) => "being read",
            (Some(_), None) => "It was not read yet.",
        };
        put(buf, area, &block(text, wide, 1, Style::default()));
        return;
    };
    let detail = detail(bench, found, wide, theme);
    let list = list_rows(bench, area.height, detail.len());
    let all = bench.findings.iter().enumerate();
    let rows: Vec<Line<'static>> = all
        .map(|(n, placed)| row(bench, n, placed, wide, theme))
        .collect();
    let upper = Rect {
        height: list,
        ..area
    };
    if list > 1 {
        put_focused(buf, upper, &rows, (bench.finding, bench.finding), theme);
    } else {
        // A mark of what follows would cover the only row.
        put(buf, upper, rows.get(bench.finding..).unwrap_or(&[]));
    }
    let under = below(area, list);
    if under.height < 2 {
        return;
    }
    let rule = "─".repeat(wide);
    buf.set_string(under.left(), under.top(), rule, theme.faint());
    let under = below(under, 1);
    match bench.along {
        Some(at) => along(buf, under, bench, at, theme),
        None => read(buf, under, &detail, bench.detail_top, theme),
    }
}

/// Rows of the list: on a path one, else so many that the detail finds room.
fn list_rows(bench: &Bench, height: u16, detail: usize) -> u16 {
    if bench.along.is_some() {
        return 1;
    }
    let share = if height < 14 { height / 2 } else { height / 3 };
    let left = usize::from(height).saturating_sub(detail + 1) as u16;
    let share = share.min(left.max(3)).max(1);
    (bench.findings.len() as u16).min(share)
}

fn severity(placed: &Placed) -> &'static str {
    match placed.finding.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    }
}

fn row(bench: &Bench, n: usize, placed: &Placed, wide: usize, theme: Theme) -> Line<'static> {
    let finding = &placed.finding;
    let focused = n == bench.finding;
    let step = bench.step_about(n);
    let about = step.map_or_else(String::new, |s| format!("{s}: "));
    let mark = if focused { " > " } else { "   " };
    let text = format!(
        "{mark}{} {} · {about}{}",
        severity(placed),
        finding.code,
        finding.sentence
    );
    let style = match (focused, bench.pane == Pane::Findings) {
        (true, true) => theme.focus(),
        (true, false) => theme.title(),
        (false, _) => Style::default(),
    };
    Line::from(Span::styled(clip(&text, wide.saturating_sub(1)), style))
}

fn detail(bench: &Bench, found: &Placed, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let finding = &found.finding;
    let head = format!("{} {}: ", severity(found), finding.code);
    let mut lines = hanging(
        &format!(" {head}"),
        theme.title(),
        &finding.sentence,
        wide,
        theme.title(),
    );
    if width(&head) + 20 > wide {
        lines = block(
            &format!("{head}{}", finding.sentence),
            wide,
            1,
            theme.title(),
        );
    }
    if let Some(place) = &found.place {
        lines.extend(source(place, wide, theme));
    }
    if let Some(used) = &found.used_at {
        let text = format!("in a fragment that is used at {used}");
        lines.extend(block(&text, wide, 1, Style::default()));
    }
    for help in &finding.help {
        lines.extend(hanging(
            " help: ",
            theme.key(),
            help,
            wide,
            Style::default(),
        ));
    }
    if !finding.path.is_empty() {
        lines.push(Line::from(Span::styled(
            " the shortest path:",
            theme.title(),
        )));
        lines.extend(path(bench, None, wide, theme).0);
    }
    lines
}

/// The place, the line of the text, and the part of it that is meant.
fn source(place: &Place, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let mut lines = block(&place.to_string(), wide, 1, theme.faint());
    let (from, to) = place.mark;
    let text = |a: usize, b: usize| place.text.get(a..b).unwrap_or("");
    let head = format!(" {} | ", place.line);
    let room = wide.saturating_sub(width(&head) + 1);
    let mut before = text(0, from).trim_start().to_owned();
    let marked = clip(text(from, to), room * 2 / 3);
    let most = room.saturating_sub(width(&marked));
    if width(&before) > most {
        let count = before.chars().count();
        let kept: String = before
            .chars()
            .skip(count.saturating_sub(most / 2))
            .collect();
        before = format!("…{kept}");
    }
    let after = clip(
        text(to, place.text.len()),
        room.saturating_sub(width(&before) + width(&marked)),
    );
    let under = format!(
        "{}{}",
        " ".repeat(width(&head) + width(&before)),
        "^".repeat(width(&marked).max(1))
    );
    lines.push(Line::from(vec![
        Span::styled(head, theme.faint()),
        Span::raw(before),
        Span::styled(marked, theme.field()),
        Span::raw(after),
    ]));
    lines.push(Line::from(Span::styled(under, theme.key())));
    lines
}

/// The titles of a path, with the lines of the one in focus.
fn path(
    bench: &Bench,
    at: Option<usize>,
    wide: usize,
    theme: Theme,
) -> (Vec<Line<'static>>, (usize, usize)) {
    let mut lines = Vec::new();
    let mut focus = (0, 0);
    let titles = bench.found().map_or(&[][..], |f| f.finding.path.as_slice());
    for (n, title) in titles.iter().enumerate() {
        let here = at == Some(n);
        let mark = if here { ">" } else { " " };
        let style = if here {
            theme.focus()
        } else {
            Style::default()
        };
        let head = format!(" {mark}{:>2} ", n + 1);
        let from = lines.len();
        lines.extend(hanging(&head, style, title, wide.saturating_sub(1), style));
        if here {
            focus = (from, lines.len().saturating_sub(1));
        }
    }
    (lines, focus)
}

/// The path alone, to be gone along.
fn along(buf: &mut Buffer, area: Rect, bench: &Bench, at: usize, theme: Theme) {
    let (lines, focus) = path(bench, Some(at), usize::from(area.width), theme);
    put_focused(buf, area, &lines, focus, theme);
}

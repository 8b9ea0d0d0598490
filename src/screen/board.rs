//! The board: what can be started, gone on with, looked at.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::text::{bar, clip, hanging, put};
use super::theme::Theme;
use crate::app::{App, Board, BoardRow, JobRow};

/// Paints the board.
pub(super) fn paint(buf: &mut Buffer, area: Rect, app: &App, board: &Board, theme: Theme) {
    let wide = usize::from(area.width);
    let (what, style) = if app.trial {
        ("PRACTICE: nothing begun here is a job", theme.practice())
    } else {
        ("ride height, step by step", theme.header())
    };
    bar(buf, area, area.top(), "levelhand", what, style);
    let mut lines: Vec<(Line<'static>, bool)> = Vec::new();
    let mut section: Option<&str> = None;
    for (n, row) in board.rows().iter().enumerate() {
        let heading = heading(board, row);
        if section != Some(heading) {
            if section.is_some() && area.height >= 16 {
                lines.push((Line::default(), false));
            }
            lines.push((
                Line::from(Span::styled(format!(" {heading}"), theme.title())),
                false,
            ));
            section = Some(heading);
        }
        let focused = board.focus == n;
        let style = if focused {
            theme.focus()
        } else {
            Style::default()
        };
        let mark = if focused { " > " } else { "   " };
        let text = clip(&row_words(app, board, row), wide.saturating_sub(4));
        lines.push((
            Line::from(Span::styled(format!("{mark}{text} "), style)),
            focused,
        ));
    }
    let foot = foot(area, board, theme);
    let foot_rows = (foot.len() as u16).min(area.height / 2);
    let body = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1 + foot_rows),
        ..area
    };
    let rows = usize::from(body.height);
    let at = lines.iter().position(|(_, focused)| *focused).unwrap_or(0);
    let top = (at + 2).saturating_sub(rows);
    let shown: Vec<Line<'static>> = lines
        .into_iter()
        .skip(top)
        .take(rows)
        .map(|(line, _)| line)
        .collect();
    put(buf, body, &shown);
    let foot_area = Rect {
        y: area.bottom().saturating_sub(foot_rows),
        height: foot_rows,
        ..area
    };
    put(buf, foot_area, &foot);
}

/// What is said at the bottom: looking for jobs, a message, or the usual words.
fn foot(area: Rect, board: &Board, theme: Theme) -> Vec<Line<'static>> {
    let wide = usize::from(area.width);
    let mut foot = Vec::new();
    if board.jobs.is_none() {
        foot.push(Line::from(Span::styled(" looking for jobs", theme.faint())));
    }
    if let Some(message) = &board.message {
        foot.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
    } else if area.height >= 18 {
        foot.extend(hanging(
            " ",
            Style::default(),
            "The vehicle maker's instructions, local rules and licensed practice come before anything shown here. Work by trained people only.",
            wide,
            Style::default(),
        ));
    }
    foot
}

fn job(board: &Board, index: usize) -> Option<&JobRow> {
    board.jobs.as_ref().and_then(|jobs| jobs.get(index))
}

fn heading(board: &Board, row: &BoardRow) -> &'static str {
    match row {
        BoardRow::Start(_) => "START",
        BoardRow::Practise => "PRACTISE",
        BoardRow::Reckon => "CALCULATORS",
        BoardRow::Trial => "THIS KEYBOARD",
        BoardRow::Author => "AUTHOR'S BENCH",
        BoardRow::Job(index) if job(board, *index).is_some_and(|j| j.ended) => "FINISHED",
        BoardRow::Job(_) => "GO ON WITH",
    }
}

fn row_words(app: &App, board: &Board, row: &BoardRow) -> String {
    match row {
        BoardRow::Start(index) => match app.catalog.procedures.get(*index) {
            Some(offered) => format!("{}   {}", offered.title, offered.about),
            None => String::new(),
        },
        BoardRow::Practise => {
            "Practise on a simulated truck, and find what is wrong with it".to_owned()
        }
        BoardRow::Reckon => "Work something out".to_owned(),
        BoardRow::Trial => "Try the hold key".to_owned(),
        BoardRow::Author => "Look through a procedure, find what is wrong with it".to_owned(),
        BoardRow::Job(index) => match job(board, *index) {
            Some(job) => job_words(job),
            None => String::new(),
        },
    }
}

fn job_words(job: &JobRow) -> String {
    let short: String = job.id.chars().skip(9).take(4).collect();
    let day: String = job.id.chars().take(8).collect();
    let practice = if job.practice { "PRACTICE  " } else { "" };
    match &job.trouble {
        Some(trouble) => format!("{short}  {day}  {practice}can't be read: {trouble}"),
        None => format!("{short}  {day}  {practice}{}  {}", job.title, job.place),
    }
}

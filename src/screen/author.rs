//! The author's bench: what was found in a procedure, its steps as the mechanic meets
//! them, what is known there, where they lead. Each page says that it is the bench, so
//! that nobody takes a step shown here for a job.

mod choice;
mod find;
mod finding;
mod known;
mod window;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::page::read;
use super::text::{bar, clip, hanging, put, width};
use super::theme::Theme;
use crate::app::{App, Author, Bench, KeyHint, Pane};

/// From this size on all parts of the bench stand side by side.
const TOGETHER: (u16, u16) = (118, 34);

/// Cells of what is known and where it leads, at least.
const RIGHT: u16 = 36;

const HELP: [&str; 10] = [
    "The procedure is read, checked and proved as levelhand check does it, and again each time it is saved. The place is kept: the step, the finding. Nothing is written here, and no job can be started.",
    "Tab and Shift-Tab turn the parts: what was found, the step, what is known there, where it leads. In a wide window all of them stand side by side, and keys move in the one marked >.",
    "In the findings PgUp and PgDn read on in the one in focus, and Enter shows the step that it is about. f goes to the next finding and its step, F to the one before. p goes into the path of a finding; there Enter opens a step of it.",
    "← → show the step before and after in the document. b goes back to the step that was shown before. / finds a step by parts of its title or its name.",
    "The step is drawn as the mechanic meets it, by the same hand, with what holds on every path as true now. None of its keys is live. z changes the size: from afar, 80×24, wide. ↑↓ scroll it, Home and End show its left and right part. m turns the two pages of a movement: move it, then what was seen.",
    "What is known there is what the proof found on arrival, whatever way led there: conditions that hold on every path, what is owed on some path, what has a value on every path.",
    "Under the acts stands what protects each of them here. NOT PROTECTED BY is a need that does not hold on some path.",
    "In the ways Enter follows the one in focus, out of the step or back to where it comes from. Stop work is a way too.",
    "While the document has errors that keep it from being followed, the steps are those of the last reading that could be, and the page says when that was. The findings are always those of the last reading.",
    "Esc goes back one level and at last off the bench. q leaves it.",
];

/// Paints the page; gives where the cursor stands.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    app: &App,
    author: &Author,
    theme: Theme,
) -> Option<(u16, u16)> {
    let Some(bench) = &author.bench else {
        choice::paint(buf, area, app, author, theme);
        return None;
    };
    let (left, right) = header(app, bench, area.width);
    bar(buf, area, area.top(), &left, &right, theme.header());
    let mut under = below(area, 1);
    if let Some(top) = bench.help {
        let wide = usize::from(area.width);
        let lines: Vec<Line<'static>> = HELP
            .iter()
            .flat_map(|text| hanging(" · ", theme.key(), text, wide, Style::default()))
            .collect();
        read(buf, under, &lines, top, theme);
        return None;
    }
    let notices = notices(app, bench, usize::from(area.width), theme);
    let most = if area.height < 16 { 2 } else { 4 };
    let notices = notices.get(..notices.len().min(most)).unwrap_or(&[]);
    under = below(under, put(buf, under, notices));
    if bench.find.is_some() {
        return find::paint(buf, under, bench, theme);
    }
    let view = bench.view.size();
    let roomy = area.width >= TOGETHER.0 && area.height + 2 >= TOGETHER.1;
    if roomy && area.width >= view.0.min(80) + 2 + RIGHT && view.0 + 2 + RIGHT <= area.width {
        together(buf, under, bench, theme);
        return None;
    }
    tabs(buf, under, bench, theme);
    pane(buf, below(under, 1), bench, bench.pane, theme);
    None
}

/// Whether a key stands in a narrow key line; the others stand under help.
pub(super) fn is_needed(hint: &KeyHint) -> bool {
    !matches!(hint.key.as_str(), "z" | "m" | "b" | "p" | "/")
}

/// The area without its first rows.
fn below(area: Rect, rows: u16) -> Rect {
    Rect {
        y: area.y + rows.min(area.height),
        height: area.height.saturating_sub(rows),
        ..area
    }
}

/// What stands in the bar: that this is the bench, what lies on it, what was found and
/// when it was read.
fn header(app: &App, bench: &Bench, wide: u16) -> (String, String) {
    let name = bench.name.rsplit(['/', '\\']).next().unwrap_or("");
    let (errors, warnings) = bench.counts();
    let Some(read) = bench.read else {
        return ("AUTHOR'S BENCH".to_owned(), "not read yet".to_owned());
    };
    let at = app.time_of_day(read);
    if wide < 60 {
        let found = format!("{errors} err {warnings} warn {at}");
        return ("AUTHOR'S BENCH".to_owned(), found);
    }
    let found = format!(
        "{}, {} · read at {at}",
        counted(errors, "error"),
        counted(warnings, "warning")
    );
    (format!("AUTHOR'S BENCH  {name}"), found)
}

fn counted(count: usize, what: &str) -> String {
    match count {
        0 => format!("no {what}s"),
        1 => format!("1 {what}"),
        more => format!("{more} {what}s"),
    }
}

/// What must be known of the reading itself.
fn notices(app: &App, bench: &Bench, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let mut said = Vec::new();
    if let Some(why) = &bench.trouble {
        said.push(match bench.read {
            Some(_) => format!("Not to be read now; the last reading stands. {why}"),
            None => why.clone(),
        });
    }
    let read = bench.picture.as_ref().map(|p| p.read);
    match read {
        Some(read) if bench.steps_are_older() => said.push(format!(
            "With these errors the steps can't be followed. They are shown as they were at {}.",
            app.time_of_day(read)
        )),
        None if bench.read.is_some() => said.push(
            "With these errors the steps can't be followed. Mend them and save: they come by themselves."
                .to_owned(),
        ),
        Some(_) | None => {}
    }
    said.extend(bench.beside.iter().cloned());
    let mark = |text: &String| hanging(" ! ", theme.message(), text, wide, theme.message());
    said.iter().flat_map(mark).collect()
}

/// The names of the parts, the one that is shown in brackets.
fn tabs(buf: &mut Buffer, area: Rect, bench: &Bench, theme: Theme) {
    let mut spans = Vec::new();
    for pane in Pane::ALL {
        let word = pane.word();
        spans.push(if pane == bench.pane {
            Span::styled(format!("[{word}]"), theme.focus())
        } else {
            Span::raw(format!(" {word} "))
        });
    }
    let line = Line::from(spans);
    let used = line.width();
    buf.set_line(area.left(), area.top(), &line, area.width);
    let left = usize::from(area.width).saturating_sub(used + 3);
    let place = step_words(bench);
    if left >= 12 && !place.is_empty() {
        let place = clip(&place, left);
        let at = usize::from(area.width).saturating_sub(width(&place) + 1);
        buf.set_string(area.left() + at as u16, area.top(), place, theme.faint());
    }
}

/// Which step of how many, and its name.
fn step_words(bench: &Bench) -> String {
    match (bench.number(), &bench.at) {
        (Some((n, of)), Some(at)) => format!("step {n} of {of} · {at}"),
        _ => String::new(),
    }
}

fn pane(buf: &mut Buffer, area: Rect, bench: &Bench, pane: Pane, theme: Theme) {
    match pane {
        Pane::Findings => finding::paint(buf, area, bench, theme),
        Pane::Step => window::paint(buf, area, bench, theme),
        Pane::Known => known::paint(buf, area, bench, theme),
        Pane::Ways => known::ways(buf, area, bench, theme),
    }
}

/// All parts: the step with the findings under it, what is known with the ways under it.
fn together(buf: &mut Buffer, area: Rect, bench: &Bench, theme: Theme) {
    let (cols, rows) = bench.view.size();
    let left = Rect {
        width: (cols.max(80) + 2).min(area.width.saturating_sub(RIGHT)),
        ..area
    };
    let right = Rect {
        x: left.right() + 1,
        width: area.width.saturating_sub(left.width + 1),
        ..area
    };
    let least = if bench.pane == Pane::Findings {
        area.height * 3 / 5
    } else {
        8
    };
    let step = (rows + 2).min(area.height.saturating_sub(least + 1));
    window::paint(
        buf,
        Rect {
            height: step,
            ..left
        },
        bench,
        theme,
    );
    titled(buf, below(left, step), bench, Pane::Findings, theme);
    let ways = area.height * 2 / 5;
    let known = Rect {
        height: area.height - ways,
        ..right
    };
    titled(buf, known, bench, Pane::Known, theme);
    titled(buf, below(right, known.height), bench, Pane::Ways, theme);
}

/// A part under its name; the one that keys move in has a mark.
fn titled(buf: &mut Buffer, area: Rect, bench: &Bench, which: Pane, theme: Theme) {
    let here = bench.pane == which;
    let mark = if here { "> " } else { "─ " };
    let title = format!("{mark}{} ", which.word());
    let rule = "─".repeat(usize::from(area.width).saturating_sub(width(&title)));
    let style = if here { theme.title() } else { theme.faint() };
    let line = Line::from(vec![
        Span::styled(title, style),
        Span::styled(rule, theme.faint()),
    ]);
    buf.set_line(area.left(), area.top(), &line, area.width);
    pane(buf, below(area, 1), bench, which, theme);
}

/// Puts lines so that those from `first` to `last` are seen.
fn put_focused(
    buf: &mut Buffer,
    area: Rect,
    lines: &[Line<'static>],
    (first, last): (usize, usize),
    theme: Theme,
) {
    let rows = usize::from(area.height);
    // One more than the last, so that the mark of what follows covers nothing in focus.
    let top = (last + 2).saturating_sub(rows).min(first);
    read(buf, area, lines, top, theme);
}

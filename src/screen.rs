//! Views: widgets from `&App`, and labels of their own.
//!
//! Nothing is told by colour alone: every state has its word. Text that comes
//! from documents or people is escaped before it is placed. Nothing here changes
//! anything.

mod author;
mod board;
mod calculation;
mod clock;
mod course;
mod far;
mod item;
mod over;
mod page;
mod picture;
mod practise;
mod reckon;
mod result;
pub mod rig;
mod start;
mod step;
mod stop;
mod text;
mod theme;
mod trial;
mod truck;
mod wide;
mod worked;

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

pub use theme::{Grain, Palette, Theme};

use crate::app::{App, KeyHint, LEAST_SIZE, Over, Screen, Work, key_line};

/// How much room there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Room {
    /// Read from two metres: one thing at a time.
    Far,
    /// 80 by 24 and the like.
    Plain,
    /// The truck beside the step.
    Beside,
    /// Route, step and truck.
    Wide,
}

const fn room(area: Rect) -> Room {
    if area.width < 60 || area.height < 20 {
        Room::Far
    } else if area.width < 100 {
        Room::Plain
    } else if area.width < 120 || area.height < 28 {
        Room::Beside
    } else {
        Room::Wide
    }
}

/// Draws the whole screen.
pub fn draw(frame: &mut Frame<'_>, app: &App, theme: Theme) {
    let area = frame.area();
    let cursor = paint(frame.buffer_mut(), area, app, theme);
    if let Some(at) = cursor {
        frame.set_cursor_position(at);
    }
}

/// Paints the whole screen; gives where the cursor stands, if a line is typed.
pub fn paint(buf: &mut Buffer, area: Rect, app: &App, theme: Theme) -> Option<(u16, u16)> {
    // The window may be smaller already than what the app was told.
    let fits = area.width >= LEAST_SIZE.0 && area.height >= LEAST_SIZE.1;
    if !fits || !app.fits() {
        too_small(buf, area);
        return None;
    }
    let (body, keys) = split_keys(area);
    let mut hints = key_line(app);
    if area.width < 60 && matches!(app.screen, Screen::Author(_)) {
        hints.retain(author::is_needed);
    }
    key_bar(buf, keys, hints, theme);
    match &app.screen {
        Screen::Board(board) => {
            board::paint(buf, body, app, board, theme);
            None
        }
        Screen::Start(start) => start::paint(buf, body, app, start, theme),
        Screen::Trial(trial) => {
            trial::paint(buf, body, trial, theme);
            None
        }
        Screen::Reckon(reckon) => reckon::paint(buf, body, reckon, theme),
        Screen::Author(author) => author::paint(buf, body, app, author, theme),
        Screen::Course(course) => course::paint(buf, body, course, theme),
        Screen::Page { title, lines, top } => {
            page::paint(buf, body, title, lines, *top, theme);
            None
        }
        Screen::Work(work) => paint_work(buf, body, app, work, theme),
    }
}

/// Paints only the truck's part of a frame of this size, while a drill's truck has the
/// keys; the rest of such a frame is as it was.
pub fn truck(area: Rect, app: &App, theme: Theme) -> Option<Buffer> {
    app.around_truck()?;
    let Screen::Work(work) = &app.screen else {
        return None;
    };
    let (body, _keys) = split_keys(area);
    let practise = work.practise.as_ref()?;
    Some(practise::truck(body, work, practise, theme))
}

fn paint_work(
    buf: &mut Buffer,
    area: Rect,
    app: &App,
    work: &Work,
    theme: Theme,
) -> Option<(u16, u16)> {
    if work.failed.is_some() && matches!(work.over, Over::None) {
        stop::not_safe(buf, area, work, theme);
        practice(buf, area, work, theme);
        return None;
    }
    if work.stopped() {
        stop::card(buf, area, work, theme);
        practice(buf, area, work, theme);
        return None;
    }
    if !matches!(work.over, Over::None) {
        let cursor = over::paint(buf, area, app, work, theme);
        practice(buf, area, work, theme);
        return cursor;
    }
    paint_step(buf, area, work, theme)
}

/// The step with nothing over it.
fn paint_step(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) -> Option<(u16, u16)> {
    if let Some(practise) = &work.practise {
        return practise::paint(buf, area, work, practise, theme);
    }
    match room(area) {
        Room::Far => far::paint(buf, area, work, theme),
        Room::Plain => step::paint(buf, area, work, theme),
        Room::Beside => wide::beside(buf, area, work, theme),
        Room::Wide => wide::paint(buf, area, work, theme),
    }
}

/// Says PRACTICE at the right of a page's first line; a step's own header does so
/// itself (P11).
fn practice(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) {
    const WORD: &str = " PRACTICE ";
    if work.setup.mode == crate::job::Mode::Practice {
        let x = area.right().saturating_sub(WORD.len() as u16);
        // Of a word that it would cut nothing stays.
        let row = area.top();
        let is_blank = |buf: &Buffer, x: u16| buf.cell((x, row)).is_none_or(|c| c.symbol() == " ");
        let mut at = if is_blank(buf, x) { area.left() } else { x };
        while at > area.left() && !is_blank(buf, at - 1) {
            at -= 1;
            buf.set_string(at, row, " ", Style::default());
        }
        buf.set_string(x, row, WORD, theme.practice());
    }
}

fn too_small(buf: &mut Buffer, area: Rect) {
    let lines = [
        "levelhand: window too small.",
        "Needed: 36 x 10 or more.",
        "Nothing is lost; no gate",
        "is passed meanwhile.",
        "Ctrl-C: stop work",
    ];
    for (row, line) in (area.top()..area.bottom()).zip(lines) {
        buf.set_stringn(
            area.left(),
            row,
            line,
            usize::from(area.width),
            ratatui::style::Style::default(),
        );
    }
}

/// The last line or two are for keys.
fn split_keys(area: Rect) -> (Rect, Rect) {
    let rows = if area.width < 60 || area.height < 20 {
        1
    } else {
        2
    };
    let body = Rect {
        height: area.height.saturating_sub(rows),
        ..area
    };
    let keys = Rect {
        y: area.y + body.height,
        height: rows.min(area.height),
        ..area
    };
    (body, keys)
}

fn key_bar(buf: &mut Buffer, area: Rect, mut hints: Vec<KeyHint>, theme: Theme) {
    let narrow = area.width < 60;
    let mut row = area.top();
    if area.height > 1 {
        let rule = "─".repeat(usize::from(area.width));
        buf.set_string(area.left(), row, rule, theme.faint());
        row += 1;
    }
    let mut spans = Vec::new();
    let mut used = 0_usize;
    if narrow {
        // Stop work is never the hint that is left out.
        hints.sort_by_key(|h| match h.key.as_str() {
            "↑↓ Tab" | "↑↓" | "u" => 2,
            "?" | "q" => 3,
            "Esc" => 1,
            _ => 0,
        });
    }
    for hint in hints {
        let does = if narrow {
            hint.does.split([',', ';']).next().unwrap_or("").to_owned()
        } else {
            hint.does
        };
        let width = text::width(&hint.key) + 1 + text::width(&does) + 3;
        if used + width > usize::from(area.width) + 2 {
            continue;
        }
        used += width;
        spans.push(Span::styled(hint.key, theme.key()));
        spans.push(Span::raw(format!(" {does}   ")));
    }
    buf.set_line(area.left(), row, &Line::from(spans), area.width);
}

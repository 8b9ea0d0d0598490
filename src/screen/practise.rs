//! A drill: the step on the one side, the truck on the other, both live.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::text::{bar, clip, hanging, put, width};
use super::theme::Theme;
use super::{Room, far, rig, room, step};
use crate::app::{List, Practise, Work, coaching};
use crate::procedure::Step;
use crate::rig::{Reach, Side};

/// Rows of the strip that stands under a step.
const STRIP: u16 = 3;

/// The same where it is narrow.
const NARROW_STRIP: u16 = 4;

/// Paints a drill's step; gives where the cursor stands.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    work: &Work,
    practise: &Practise,
    theme: Theme,
) -> Option<(u16, u16)> {
    match room(area) {
        Room::Far | Room::Plain if practise.front => {
            near(buf, area, work, practise, theme);
            None
        }
        Room::Far => {
            // From two metres only what is unsafe is said beside the step.
            let alarm = alarm(practise, usize::from(area.width), theme);
            let rows = (alarm.len() as u16).min(area.height / 2);
            let (upper, lower) = cut(area, area.height - rows);
            put(buf, lower, &alarm);
            far::paint(buf, upper, work, theme)
        }
        Room::Plain => under(buf, area, work, practise, theme),
        Room::Beside | Room::Wide => beside(buf, area, work, practise, theme),
    }
}

/// The step with the truck as a strip under it.
fn under(
    buf: &mut Buffer,
    area: Rect,
    work: &Work,
    practise: &Practise,
    theme: Theme,
) -> Option<(u16, u16)> {
    let told = told(work, practise, usize::from(area.width), theme);
    // The coach has two rows at most, what is unsafe as many as it needs.
    let most = if practise.alarm.is_some() { 5 } else { 2 };
    let rows = (told.len() as u16).min(most);
    let (over, foot) = cut(area, area.height - rows);
    let (over, strip) = cut(over, over.height.saturating_sub(STRIP));
    let cursor = step::paint(buf, over, work, theme);
    rig::strip(buf, strip, &practise.drill.bay, limit_bar(work), theme);
    put(buf, foot, &told);
    cursor
}

/// The truck alone, with what is seen and what can be done.
fn near(buf: &mut Buffer, area: Rect, work: &Work, practise: &Practise, theme: Theme) {
    title(buf, area, practise, theme);
    let (_, body) = cut(area, 1);
    let bay = &practise.drill.bay;
    if area.width < 60 || area.height < 20 {
        let (strip, list) = cut(body, NARROW_STRIP);
        rig::strip(buf, strip, bay, limit_bar(work), theme);
        panel(buf, list, work, practise, theme);
        return;
    }
    let left = Rect {
        width: 44.min(body.width),
        ..body
    };
    let right = Rect {
        x: body.x + left.width + 1,
        width: body.width.saturating_sub(left.width + 1),
        ..body
    };
    rig::compact(buf, left, bay, limit_bar(work), theme);
    panel(buf, right, work, practise, theme);
}

/// The upper rows, so many, and the rest.
fn cut(area: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(area.height);
    let upper = Rect {
        height: rows,
        ..area
    };
    let lower = Rect {
        y: area.y + rows,
        height: area.height - rows,
        ..area
    };
    (upper, lower)
}

/// Step and truck side by side.
fn beside(
    buf: &mut Buffer,
    area: Rect,
    work: &Work,
    practise: &Practise,
    theme: Theme,
) -> Option<(u16, u16)> {
    let used = step::header(buf, area, work, theme);
    let body = Rect {
        y: area.y + used,
        height: area.height.saturating_sub(used),
        ..area
    };
    let right = right_half(body);
    let left = Rect {
        width: body.width - right.width - 1,
        ..body
    };
    for row in body.top()..body.bottom() {
        buf.set_string(right.x - 1, row, "│", theme.faint());
    }
    // With the keys the truck's own panel says what is unsafe.
    let told = if practise.front {
        Vec::new()
    } else {
        told(
            work,
            practise,
            usize::from(left.width.saturating_sub(1)),
            theme,
        )
    };
    let told_rows = (told.len() as u16).min(left.height / 3);
    let (upper, lower) = cut(left, left.height - told_rows);
    let cursor = step::paint_body(buf, upper, work, theme);
    put(buf, lower, &told);
    half(buf, right, work, practise, theme);
    cursor
}

/// The part of a body that is the truck's where step and truck stand side by side.
fn right_half(body: Rect) -> Rect {
    let width = (body.width * 48 / 100).clamp(46, 64);
    Rect {
        x: body.right() - width,
        width,
        ..body
    }
}

/// The truck with its gauges and its list, beside the step.
fn half(buf: &mut Buffer, area: Rect, work: &Work, practise: &Practise, theme: Theme) {
    title(buf, area, practise, theme);
    let (_, body) = cut(area, 1);
    let drawn = (body.height * 2 / 5).clamp(10, 14);
    let (drawing, rest) = cut(body, drawn);
    rig::truck(buf, drawing, &practise.drill.bay, theme);
    let (gauges, list) = cut(rest, 6.min(rest.height / 2));
    rig::gauges(buf, gauges, &practise.drill.bay, limit_bar(work), theme);
    panel(buf, list, work, practise, theme);
}

/// Only what is the truck's while it has the keys, as [`paint`] would: all else of the
/// frame stays as it was.
pub(super) fn truck(area: Rect, work: &Work, practise: &Practise, theme: Theme) -> Buffer {
    match room(area) {
        Room::Far | Room::Plain => {
            let mut buf = Buffer::empty(area);
            near(&mut buf, area, work, practise, theme);
            buf
        }
        Room::Beside | Room::Wide => {
            let (_, body) = cut(area, step::header_rows(area, work, theme));
            let area = right_half(body);
            let mut buf = Buffer::empty(area);
            half(&mut buf, area, work, practise, theme);
            buf
        }
    }
}

/// The limit for the upper stop, bar, as the sheet has it.
fn limit_bar(work: &Work) -> Option<f64> {
    let key = crate::procedure::SheetKey::new("upper_pressure").ok()?;
    Some(work.setup.sheet.quantity(&key)?.si() / 1e5)
}

fn title(buf: &mut Buffer, area: Rect, practise: &Practise, theme: Theme) {
    let keys = if practise.front {
        "PRACTICE TRUCK, has the keys"
    } else {
        "PRACTICE TRUCK, Ctrl-T for its keys"
    };
    let ms = practise.drill.now_ms();
    let reach = match practise.reach {
        Reach::Both => "both",
        Reach::One(Side::Left) => "left only",
        Reach::One(Side::Right) => "right only",
    };
    let time = format!("{} min  ×{}", ms / 60_000, practise.pace());
    let long = format!("valves: {reach}  {time}");
    let right = if width(keys) + width(&long) + 3 <= usize::from(area.width) {
        long
    } else {
        format!("{reach}  {time}")
    };
    let style = if practise.front {
        theme.practice()
    } else {
        theme.header()
    };
    bar(buf, area, area.top(), keys, &right, style);
}

/// An unsafe act that is told at once.
fn alarm(practise: &Practise, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    practise.alarm.as_ref().map_or_else(Vec::new, |alarm| {
        hanging(" ! ", theme.message(), alarm, wide, theme.message())
    })
}

/// What is unsafe, or else what the coach says.
fn told(work: &Work, practise: &Practise, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let alarm = alarm(practise, wide, theme);
    let Some(step) = work.step().filter(|_| alarm.is_empty()) else {
        return alarm;
    };
    coach(practise, step, " coach: ", wide, theme)
}

/// What the coach says, if there is one.
fn coach(
    practise: &Practise,
    step: &Step,
    mark: &'static str,
    wide: usize,
    theme: Theme,
) -> Vec<Line<'static>> {
    coaching(practise, step).map_or_else(Vec::new, |line| {
        hanging(mark, theme.title(), &line, wide, Style::default())
    })
}

/// What is seen at the place, what can be done there, what came of the last deed; or
/// what is unsafe, and nothing else until it was read.
fn panel(buf: &mut Buffer, area: Rect, work: &Work, practise: &Practise, theme: Theme) {
    let (wide, room) = (usize::from(area.width), usize::from(area.height));
    let alarm = alarm(practise, wide, theme);
    if practise.front && !alarm.is_empty() {
        put(buf, area, &alarm);
        return;
    }
    let mut said = practise.message.as_ref().map_or_else(Vec::new, |message| {
        hanging("", theme.message(), message, wide, theme.message())
    });
    said.truncate(room / 3 + 1);
    let step = work.step().filter(|_| practise.front);
    let mut coached = step.map_or_else(Vec::new, |step| {
        coach(practise, step, "coach: ", wide, theme)
    });
    coached.truncate(room / 4 + 1);
    let list = listed(practise, wide, theme);

    let free = room.saturating_sub(said.len() + coached.len() + 1);
    let mut lines = coached;
    let mut seen = Vec::new();
    let mut for_list = free;
    if practise.list == List::Here {
        let here = practise.drill.shown_here(&work.setup, &work.state);
        let entries = seen_entries(&here, wide, theme);
        let rows: usize = entries.iter().map(Vec::len).sum();
        let least = rows.min(free / 2);
        for_list = list.len().min(free - least);
        seen = seen_lines(entries, practise.top, free - for_list, theme);
    }
    let top = practise
        .row
        .map_or(0, |row| (row + 1).saturating_sub(for_list));
    let mut title = heading(practise).to_uppercase();
    if list.len() > for_list && for_list > 0 {
        let last = (top + for_list).min(list.len());
        title = format!("{title}  ↑↓ {}-{last} of {}", top + 1, list.len());
    }
    lines.push(Line::from(Span::styled(clip(&title, wide), theme.title())));
    lines.extend(seen);
    lines.extend(list.into_iter().skip(top).take(for_list));
    lines.extend(said);
    put(buf, area, &lines);
}

/// What is seen here, each with as many rows as it needs.
fn seen_entries(seen: &[(String, String)], wide: usize, theme: Theme) -> Vec<Vec<Line<'static>>> {
    let entry = |(title, shown): &(String, String)| {
        if width(title) + 2 + width(shown) <= wide {
            return vec![Line::from(vec![
                Span::styled(format!("{title}: "), theme.faint()),
                Span::raw(shown.clone()),
            ])];
        }
        let mut lines = hanging("", theme.faint(), &format!("{title}:"), wide, theme.faint());
        lines.extend(hanging(
            "  ",
            Style::default(),
            shown,
            wide,
            Style::default(),
        ));
        lines
    };
    seen.iter().map(entry).collect()
}

/// What is seen here, from the one at `top` on, as far as there is room.
fn seen_lines(
    entries: Vec<Vec<Line<'static>>>,
    top: usize,
    room: usize,
    theme: Theme,
) -> Vec<Line<'static>> {
    let count = entries.len();
    let rows: usize = entries.iter().map(Vec::len).sum();
    if rows <= room {
        return entries.into_iter().flatten().collect();
    }
    let Some(room) = room.checked_sub(1).filter(|room| *room > 0) else {
        return Vec::new();
    };
    // The last ones fill the room.
    let mut from_end = 0;
    let tail = entries.iter().rev().take_while(|entry| {
        from_end += entry.len();
        from_end <= room
    });
    let top = top.min(count - tail.count().max(1));
    let mut lines = Vec::new();
    let mut last = top;
    for entry in entries.into_iter().skip(top) {
        if lines.len() + entry.len() > room && last > top {
            break;
        }
        lines.extend(entry);
        last += 1;
    }
    lines.truncate(room);
    let more = format!("PgUp PgDn: {} to {last} of {count}", top + 1);
    lines.push(Line::from(Span::styled(more, theme.key())));
    lines
}

fn heading(practise: &Practise) -> String {
    match practise.list {
        List::Places => "where to go".to_owned(),
        List::Here => practise.drill.bay.spot.title().to_owned(),
        List::Faults => "which fault is it?".to_owned(),
        List::Mending => "what is mended?".to_owned(),
    }
}

fn listed(practise: &Practise, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let rows = practise.rows().into_iter().enumerate();
    let lines = rows.map(|(n, words)| {
        let focused = practise.front && practise.row == Some(n);
        let (mark, style) = if focused {
            ("> ", theme.focus())
        } else {
            ("  ", Style::default())
        };
        Line::from(Span::styled(
            format!("{mark}{}", clip(&words, wide.saturating_sub(2))),
            style,
        ))
    });
    lines.collect()
}

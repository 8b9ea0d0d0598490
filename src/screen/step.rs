//! A step at 80 by 24: header, what holds, the caution, the step, what it asks.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::clock;
use super::item;
use super::picture;
use super::text::{bar, block, clip, hanging, mark_more, put, width, window, wrap};
use super::theme::Theme;
use super::worked;
use crate::app::{Item, ItemKind, Page, Work};
use crate::job::{Answer, Mode, due_readings};
use crate::procedure::{BoundSpec, Hazard, Limit, Side, Signal, Step, Subject};
use crate::quantity::{Quantity, Unit};

/// Paints a step; gives where the cursor stands.
pub(super) fn paint(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) -> Option<(u16, u16)> {
    let used = header(buf, area, work, theme);
    let body = Rect {
        y: area.y + used,
        height: area.height.saturating_sub(used),
        ..area
    };
    let cursor = paint_body(buf, body, work, theme);
    picture_below(buf, body, work, theme);
    cursor
}

/// A picture of what is worked out, where enough rows were left empty for it.
fn picture_below(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) {
    let blank = |row: &u16| {
        (area.left()..area.right()).all(|x| buf.cell((x, *row)).is_none_or(|c| c.symbol() == " "))
    };
    let free = (area.top()..area.bottom()).rev().take_while(blank).count();
    if free < picture::LEAST {
        return;
    }
    let lines = picture::lines(work, theme);
    if lines.is_empty() || lines.len() >= free {
        return;
    }
    let inner = Rect {
        x: area.x + 3,
        y: area.bottom().saturating_sub(free as u16) + 1,
        width: area.width.saturating_sub(3),
        height: (free as u16).saturating_sub(1),
    };
    put(buf, inner, &lines);
}

/// The lines above the step: who, what, where; what holds; what is still to do.
pub(super) fn header(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) -> u16 {
    let short: String = work.id.chars().skip(9).take(4).collect();
    let procedure = &work.setup.procedure;
    let phase = phase_words(work);
    let revision = format!("  rev {}", procedure.revision);
    let room = usize::from(area.width).saturating_sub(width(&phase) + width(&revision) + 4);
    let names = format!("{short}  {}  {}", work.setup.sheet.title, procedure.title);
    let left = format!("{}{revision}", clip(&names, room));
    let mut row = area.top();
    bar(buf, area, row, &left, &phase, theme.header());
    row += 1;
    if work.setup.mode == Mode::Practice {
        bar(
            buf,
            area,
            row,
            "PRACTICE",
            "not a job on a truck",
            theme.practice(),
        );
        row += 1;
    }
    let wide = usize::from(area.width);
    for line in standing(work, wide, theme) {
        buf.set_line(area.left(), row, &line, area.width);
        row += 1;
    }
    buf.set_string(area.left(), row, "─".repeat(wide), theme.faint());
    row + 1 - area.top()
}

/// How many rows [`header`] takes.
pub(super) fn header_rows(area: Rect, work: &Work, theme: Theme) -> u16 {
    let bars = 2 + u16::from(work.setup.mode == Mode::Practice);
    bars + standing(work, usize::from(area.width), theme).len() as u16
}

/// What holds, what is still to do, what is watched.
fn standing(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let lines = [true_now(work, wide, theme), to_do(work, wide, theme)];
    let watched = watch_line(work, theme);
    lines.into_iter().flatten().chain(watched).collect()
}

/// The phase.
fn phase_words(work: &Work) -> String {
    work.phase().map_or("", |p| p.title.as_str()).to_uppercase()
}

/// Phase and place.
pub(super) fn place_words(work: &Work) -> String {
    let phase = phase_words(work);
    let place = work.step().and_then(|s| s.place.clone());
    match place {
        Some(place) => format!("{phase} · {place}"),
        None => phase,
    }
}

fn joined(label: &str, words: &[String], wide: usize, theme: Theme) -> Option<Line<'static>> {
    if words.is_empty() {
        return None;
    }
    let mut text = String::new();
    let room = wide.saturating_sub(width(label) + 3);
    let mut left_out = 0;
    for word in words {
        let gap = if text.is_empty() { "" } else { " · " };
        if width(&text) + width(gap) + width(word) + 5 > room {
            left_out += 1;
            continue;
        }
        text.push_str(gap);
        text.push_str(word);
    }
    if left_out > 0 {
        text.push_str(" · +");
        text.push_str(&left_out.to_string());
    }
    Some(Line::from(vec![
        Span::styled(format!(" {label} "), theme.title()),
        Span::raw(clip(&text, room + 2)),
    ]))
}

/// The conditions that hold, the newest first; stale ones say so.
fn true_now(work: &Work, wide: usize, theme: Theme) -> Option<Line<'static>> {
    let mut held: Vec<_> = work.state.conditions.iter().collect();
    held.sort_by_key(|(_, h)| std::cmp::Reverse((h.since.session, h.since.mono_ms)));
    let words: Vec<String> = held
        .into_iter()
        .map(|(id, h)| {
            let known = work.setup.procedure.conditions.get(id);
            let title = known.map_or_else(|| id.to_string(), |c| c.title.clone());
            if h.stale {
                format!("{title} (look again)")
            } else {
                title
            }
        })
        .collect();
    joined("TRUE NOW", &words, wide, theme)
}

/// Duties, as "still to do".
fn to_do(work: &Work, wide: usize, theme: Theme) -> Option<Line<'static>> {
    // On the way to safe nothing but the way to safe is to be read.
    if work.phase().is_some_and(|p| p.route) {
        return None;
    }
    let duties = work.state.duties.keys();
    let mut words: Vec<String> = duties
        .filter_map(|d| work.setup.procedure.duties.get(d))
        .map(|d| d.title.clone())
        .collect();
    words.extend(
        work.state
            .repeats
            .iter()
            .filter_map(|s| work.setup.step(s))
            .map(|s| format!("repeat: {}", s.title)),
    );
    joined("STILL TO DO LATER", &words, wide, theme)
}

/// The watch that runs, with when it asks next.
fn watch_line(work: &Work, theme: Theme) -> Option<Line<'static>> {
    let due = due_readings(&work.setup, &work.state, &work.at(0));
    let next = due.iter().min_by_key(|d| d.in_ms)?;
    let known = work.setup.procedure.conditions.get(&next.condition);
    let title = known.map_or("", |c| c.title.as_str());
    let points = known
        .and_then(|c| c.series.as_ref())
        .map_or(0, |s| s.points);
    let when = if next.late {
        "READING LATE: take it now".to_owned()
    } else if next.in_ms == 0 {
        "READING DUE NOW".to_owned()
    } else {
        format!("next reading in {}", clock::minutes(next.in_ms))
    };
    Some(Line::from(vec![
        Span::styled(" WATCH ", theme.title()),
        Span::raw(format!(
            "{title} · {when} · point {} of {points}",
            next.point + 1
        )),
    ]))
}

/// The caution, the title, the instructions and what is asked.
pub(super) fn paint_body(
    buf: &mut Buffer,
    area: Rect,
    work: &Work,
    theme: Theme,
) -> Option<(u16, u16)> {
    let wide = usize::from(area.width);
    let step = work.step()?;
    let asked = Asked::of(work, wide, theme);
    let notices = notices(work, wide, theme);
    let room = usize::from(area.height);
    let fixed = notices.len();
    // With nothing left to read, what was worked out goes before the instructions.
    let share = if work.items().iter().any(|i| i.open && i.is_field()) {
        room * 3 / 5
    } else {
        room * 7 / 10
    };
    let asked_rows = asked.lines.len().clamp(1, share.max(4));
    let above = room.saturating_sub(fixed + asked_rows + 1);
    let (mut lines, hidden) = upper(work, step, wide, above, theme);
    lines.truncate(above);
    // What PgDn does not need for the instructions goes through the answers.
    let scroll = work.top.saturating_sub(hidden);
    let mut area = area;
    let used = put(buf, area, &lines);
    area.y += used;
    area.height = area.height.saturating_sub(used);
    if area.height > 1 {
        area.y += 1;
        area.height -= 1;
    }
    let rows = area.height.saturating_sub(fixed as u16);
    let cursor = asked.paint(
        buf,
        Rect {
            height: rows,
            ..area
        },
        scroll,
        theme,
    );
    let foot = Rect {
        y: area.bottom().saturating_sub(fixed as u16),
        height: (fixed as u16).min(area.height),
        ..area
    };
    put(buf, foot, &notices);
    cursor
}

/// Messages, at the bottom.
pub(super) fn notices(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let mut lines = Vec::new();
    if let Some(why) = &work.read_only {
        lines.extend(hanging(
            " ! ",
            theme.message(),
            &format!("Reading only: {why}"),
            wide,
            theme.message(),
        ));
    }
    if let Some(message) = work
        .message
        .as_ref()
        .filter(|m| !item::says_already(work, m))
    {
        lines.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
    } else {
        for notice in &work.notices {
            lines.extend(hanging(
                " i ",
                theme.title(),
                notice,
                wide,
                Style::default(),
            ));
        }
    }
    let late = work.pending.as_ref().is_some_and(|p| {
        work.now.mono.saturating_sub(p.since.mono) >= std::time::Duration::from_millis(100)
    });
    if late {
        lines.extend(hanging(" … ", theme.title(), "saving", wide, theme.title()));
    }
    lines
}

/// Caution, title, see, instructions, in as many rows as there are; and how many rows
/// of the instructions find no room.
fn upper(
    work: &Work,
    step: &Step,
    wide: usize,
    rows: usize,
    theme: Theme,
) -> (Vec<Line<'static>>, usize) {
    let cautions = hazards(work, step);
    let big = countdown(work, theme);
    let mut title = title_lines(work, step, wide, theme);
    let instructions = instruction_lines(work, step, wide);
    for detail in [Detail::Full, Detail::Short, Detail::Least] {
        let mut lines = caution_lines(work, &cautions, wide, detail, theme);
        if !lines.is_empty() {
            lines.push(Line::default());
        }
        lines.append(&mut title.clone());
        lines.extend(big.clone());
        let left = rows.saturating_sub(lines.len());
        if instructions.len() <= left || detail == Detail::Least {
            if left == 0 && work.top > 0 && !instructions.is_empty() {
                // Without room beside the title they take its place.
                let shown = window(&instructions, work.top - 1, rows).0;
                return (shown.to_vec(), instructions.len());
            }
            let (shown, more) = window(&instructions, work.top, left);
            lines.extend(shown.iter().cloned());
            lines.truncate(rows);
            if more {
                mark_more(&mut lines, wide, theme);
            }
            return (lines, instructions.len().saturating_sub(left));
        }
    }
    (std::mem::take(&mut title), 0)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Detail {
    Full,
    Short,
    Least,
}

/// The hazards of a step, the gravest first.
pub(super) fn hazards<'w>(work: &'w Work, step: &Step) -> Vec<&'w Hazard> {
    let procedure = &work.setup.procedure;
    let mut hazards: Vec<&Hazard> = procedure
        .hazards_of(step)
        .iter()
        .filter_map(|h| procedure.hazards.get(h))
        .collect();
    hazards.sort_by_key(|h| std::cmp::Reverse(h.signal));
    hazards
}

/// A sign: its word, and a triangle where people can be hurt (never on a notice).
pub(super) fn sign(signal: Signal) -> String {
    match signal {
        Signal::Notice => format!(" {} ", signal.word()),
        Signal::Caution | Signal::Warning | Signal::Danger => format!(" ▲ {} ", signal.word()),
    }
}

fn caution_lines(
    work: &Work,
    hazards: &[&Hazard],
    wide: usize,
    detail: Detail,
    theme: Theme,
) -> Vec<Line<'static>> {
    let Some((first, others)) = hazards.split_first() else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    let mark = sign(first.signal);
    let head = Line::from(vec![
        Span::styled(mark.clone(), theme.signal(first.signal)),
        Span::raw(" "),
        Span::styled(
            clip(&first.title, wide.saturating_sub(width(&mark) + 1)),
            theme.title(),
        ),
    ]);
    lines.push(head);
    let edge = Span::styled("▌ ", theme.signal_edge(first.signal));
    let mut under = |text: &str| {
        for line in wrap(text, wide.saturating_sub(3)) {
            lines.push(Line::from(vec![edge.clone(), Span::raw(line)]));
        }
    };
    match detail {
        Detail::Full => {
            under(&format!("{}.", first.consequence.trim_end_matches('.')));
            for avoid in &first.avoid {
                under(&work.say(avoid));
            }
        }
        Detail::Short | Detail::Least => {
            let avoid = first.avoid.first().map_or("", String::as_str);
            let avoid = work.say(avoid);
            let said = format!("{}. {avoid}", first.consequence.trim_end_matches('.'));
            let short = wrap(&said, wide.saturating_sub(3));
            for line in short.into_iter().take(2) {
                lines.push(Line::from(vec![edge.clone(), Span::raw(line)]));
            }
        }
    }
    if !others.is_empty() {
        let words: Vec<String> = others
            .iter()
            .map(|h| format!("{} {}", h.signal.word(), h.title.trim_end_matches('.')))
            .collect();
        lines.extend(also(&words, wide, detail));
    }
    lines
}

/// The other hazards, a line or two.
fn also(words: &[String], wide: usize, detail: Detail) -> Vec<Line<'static>> {
    let rows = match detail {
        Detail::Full => 3,
        Detail::Short => 2,
        Detail::Least => 1,
    };
    let mut count = words.len();
    loop {
        let rest = words.len() - count;
        let more = match (rest, count) {
            (0, _) => String::new(),
            (_, 0) => format!("{rest} more under ?"),
            _ => format!("; {rest} more under ?"),
        };
        let shown = words.get(..count).unwrap_or(&[]).join(" · ");
        let lines = wrap(&format!("Also: {shown}{more}"), wide.saturating_sub(2));
        if lines.len() <= rows || count == 0 {
            return lines
                .into_iter()
                .map(|l| Line::from(Span::raw(format!("  {l}"))))
                .collect();
        }
        count -= 1;
    }
}

fn countdown(work: &Work, theme: Theme) -> Vec<Line<'static>> {
    let left = work.countdown().map(|(left, _)| left).or(work.age_left());
    match left {
        // The rows are for what is read and worked out now.
        Some(0) => block("the time is up", 40, 3, theme.title()),
        Some(left) => {
            let mut lines = vec![Line::default()];
            lines.extend(clock::large(left, theme.title()));
            lines.push(Line::from("   left"));
            lines
        }
        None => Vec::new(),
    }
}

fn title_lines(work: &Work, step: &Step, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let title = step.title.to_uppercase();
    let place = step.place.as_deref().unwrap_or("");
    let mut lines = block(&title, wide, 1, theme.title());
    if !place.is_empty() {
        let here = clip(place, wide.saturating_sub(2));
        let gap = wide.saturating_sub(width(&title) + width(&here) + 2);
        match lines.as_mut_slice() {
            [only] if gap >= 2 => {
                only.push_span(Span::raw(" ".repeat(gap)));
                only.push_span(Span::styled(here, theme.faint()));
            }
            _ => lines.extend(block(place, wide, 1, theme.faint())),
        }
    }
    if work.state.repeating.is_some() {
        lines.extend(block("repeated in place", wide, 1, theme.message()));
    }
    let bring = work.next_step().and_then(|s| s.bring.clone());
    if let Some(bring) = bring {
        lines.extend(block(
            &format!("next: bring {bring}"),
            wide,
            1,
            theme.faint(),
        ));
    }
    lines
}

/// Instructions, numbered; then what should be seen.
pub(super) fn instruction_lines(work: &Work, step: &Step, wide: usize) -> Vec<Line<'static>> {
    let mut lines = Vec::new();
    let plain = Style::default();
    if work.state.inside().is_none() && work.state.ended.is_none() {
        lines.extend(block(
            "Before this step: look again at what follows and say so.",
            wide,
            1,
            plain,
        ));
        return lines;
    }
    if !(work.setup.procedure.is_movement(step) && work.page == Page::Answers) {
        for (n, text) in step.instructions.iter().enumerate() {
            let text = work.say(text);
            lines.extend(hanging(&format!(" {}  ", n + 1), plain, &text, wide, plain));
        }
    }
    if !step.see.is_empty() {
        let text = format!("You should see: {}", work.say(&step.see.join(" ")));
        lines.extend(block(&text, wide, 1, plain));
    }
    if work.page == Page::Move {
        let limits = step
            .limits
            .iter()
            .filter(|l| matches!(l.subject, Subject::Value(_)));
        for limit in limits {
            let text = format!(
                "LIMIT  {}: {}",
                subject_title(work, limit),
                limit_words(work, limit)
            );
            lines.extend(block(&text, wide, 1, plain));
        }
    }
    if let Some(end) = work.state.ended {
        let text = match end.kind {
            crate::procedure::EndKind::Complete => "The job is complete. Nothing is owed.",
            crate::procedure::EndKind::HandedOver => "The job is handed over.",
            crate::procedure::EndKind::MadeSafe => "The job was stopped and left safe.",
        };
        lines.push(Line::default());
        lines.extend(block(text, wide, 1, plain));
    }
    lines
}

pub(super) fn subject_title(work: &Work, limit: &Limit) -> String {
    match &limit.subject {
        Subject::Value(id) | Subject::Difference(id, _) => work
            .setup
            .procedure
            .value(id)
            .map_or_else(|| id.to_string(), |(title, _)| title.to_owned()),
        Subject::Age(condition) => work
            .setup
            .procedure
            .conditions
            .get(condition)
            .map_or_else(|| condition.to_string(), |c| c.title.clone()),
    }
}

/// A limit in words, with the sheet's values in it.
pub(super) fn limit_words(work: &Work, limit: &Limit) -> String {
    let unit = match &limit.subject {
        Subject::Value(id) | Subject::Difference(id, _) => Some(item::unit_of(work, id)),
        Subject::Age(_) => None,
    };
    let show = |side: &Side| match (work.setup.side(side), side) {
        (Some(quantity), _) => shown(quantity, unit, work),
        (None, Side::Sheet(key)) => format!("({key} of the sheet)"),
        (None, Side::Literal(_)) => "?".to_owned(),
    };
    match &limit.bound {
        BoundSpec::AtMost(a) => format!("at most {}", show(a)),
        BoundSpec::AtLeast(a) => format!("at least {}", show(a)),
        BoundSpec::Between(a, b) => format!("from {} to {}", show(a), show(b)),
        BoundSpec::Near { target, within } => {
            format!("{} give or take {}", show(target), show(within))
        }
        BoundSpec::DifferByAtMost(a) => format!("apart by at most {}", show(a)),
        BoundSpec::AgeAtLeast(a) => format!("for at least {}", show(a)),
    }
}

fn shown(quantity: Quantity, unit: Option<Unit>, work: &Work) -> String {
    let kind = quantity.kind();
    let unit = unit
        .filter(|u| u.fits(kind))
        .unwrap_or_else(|| kind.shown(work.system()));
    quantity.show(unit, unit.usual_decimals(kind))
}

/// What a step asks, drawn, with where each item begins.
pub(super) struct Asked {
    lines: Vec<Line<'static>>,
    /// First and last line of the item in focus.
    focus: Option<(usize, usize)>,
    cursor: Option<u16>,
}

impl Asked {
    /// Draws every item.
    pub(super) fn of(work: &Work, wide: usize, theme: Theme) -> Self {
        let mut asked = Self {
            lines: Vec::new(),
            focus: None,
            cursor: None,
        };
        let mut place: Option<String> = None;
        let items = work.items();
        let ends = |i: &Item| !matches!(i.kind, ItemKind::Tick(_) | ItemKind::Reading(_));
        let ending =
            |i: &Item| !i.is_field() && !matches!(i.kind, ItemKind::Tick(_) | ItemKind::Attest(..));
        let bad = work
            .state
            .current()
            .ticks
            .values()
            .any(|a| *a == Answer::No);
        let stuck = bad && !items.iter().any(|i| i.open || ends(i));
        let results = worked::lines(work, wide, theme);
        let after = items.iter().take_while(|i| !ending(i)).count();
        for (n, item) in items.iter().enumerate() {
            if n == after {
                asked.lines.extend(results.iter().cloned());
            }
            let here = item
                .reading()
                .and_then(|id| work.setup.procedure.readings.get(id))
                .and_then(|r| r.place.clone());
            if here.is_some() && here != place {
                let text = here.clone().unwrap_or_default();
                asked.lines.extend(block(&text, wide, 1, theme.faint()));
                place = here;
            }
            let focused = work.focus == Some(n);
            let drawn = item::draw(work, item, focused, wide, theme);
            let from = asked.lines.len();
            asked.lines.extend(drawn.lines);
            if focused {
                asked.focus = Some((from, asked.lines.len().saturating_sub(1)));
                asked.cursor = drawn.cursor;
            }
        }
        if after >= items.len() {
            asked.lines.extend(results);
        }
        if stuck {
            let say = "Put it right and answer again, or stop work.";
            asked.lines.extend(block(say, wide, 3, theme.message()));
        }
        asked
    }

    /// Paints as many lines as fit, the item in focus among them; with none in focus
    /// from the line `scroll` on.
    pub(super) fn paint(
        &self,
        buf: &mut Buffer,
        area: Rect,
        scroll: usize,
        theme: Theme,
    ) -> Option<(u16, u16)> {
        let rows = usize::from(area.height);
        if rows == 0 {
            return None;
        }
        let (from, to) = self.focus.unwrap_or((0, 0));
        let top = if self.focus.is_none() {
            scroll.min(self.lines.len().saturating_sub(rows))
        } else if to >= rows {
            (to + 1 - rows).min(from)
        } else {
            0
        };
        let (shown, more) = window(&self.lines, top, rows);
        put(buf, area, shown);
        if more {
            let mark = if self.focus.is_none() {
                " PgDn: more below "
            } else {
                " more below "
            };
            let x = area.right().saturating_sub(mark.len() as u16 + 1);
            buf.set_string(x, area.bottom() - 1, mark, theme.header());
        }
        if top > 0 {
            let mark = " more above ";
            let x = area.right().saturating_sub(mark.len() as u16 + 1);
            buf.set_string(x, area.top(), mark, theme.header());
        }
        let top = top.min(self.lines.len().saturating_sub(rows));
        let row = from.checked_sub(top)?;
        let column = self.cursor?;
        (row < rows).then(|| {
            (
                area.x + column.min(area.width.saturating_sub(1)),
                area.y + row as u16,
            )
        })
    }
}

//! A sum being filled in: its fields, what they are read as, what comes out.
//!
//! Seen from two metres there is one field at a time; else all fields that have
//! room, with the one in focus always among them. The results stand at the bottom
//! and stay there while fields scroll.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::item::says_unit;
use super::result;
use super::text::{block, clip, hanging, put, width, window};
use super::theme::Theme;
use crate::app::{Calculation, Entered};
use crate::calc::{Input, Shape, Sum, Takes};

/// A title as it begins a line.
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// How much room there is, and how things look.
#[derive(Clone, Copy)]
pub(super) struct Look {
    /// Cells in a line.
    pub(super) wide: usize,
    /// It is read from two metres: one field at a time.
    pub(super) far: bool,
    /// Styles.
    pub(super) theme: Theme,
}

impl Look {
    fn of(area: Rect, theme: Theme) -> Self {
        Self {
            wide: usize::from(area.width),
            far: area.width < 60 || area.height < 18,
            theme,
        }
    }
}

/// Paints the sum; gives where the cursor stands.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    open: &Calculation,
    theme: Theme,
) -> Option<(u16, u16)> {
    let look = Look::of(area, theme);
    let Look { wide, far, .. } = look;
    let high = usize::from(area.height);
    let fields = fields(open, look);
    let mut upper = if far {
        Vec::new()
    } else {
        head(open.sum, wide, theme)
    };
    let above = upper.len();
    upper.extend(fields.lines);
    let whole = result::lines(open, look);
    let facts = facts(open.sum, wide, far, theme);
    let fits = !far && upper.len() + 1 + whole.len() + 1 + facts.len() <= high;
    if open.on_results() && !fits {
        let mut lines = message(open, wide, theme);
        lines.extend(whole);
        lines.push(Line::default());
        lines.extend(facts);
        scrolled(buf, area, &lines, open.top, theme);
        return None;
    }
    let mut lower = message(open, wide, theme);
    if fits {
        lower.extend(whole);
        lower.push(Line::default());
        lower.extend(facts);
    } else {
        let most = if far { 4 } else { (high * 2 / 5).max(5) };
        lower.extend(result::fitting(open, whole, most, look));
    }
    let rule = usize::from(!far);
    let room = high.saturating_sub(lower.len() + rule);
    let (from, to) = (above + fields.from, above + fields.to);
    let top = to.saturating_sub(room).min(from);
    let top = if upper.len() <= room { 0 } else { top };
    put(
        buf,
        Rect {
            height: room as u16,
            ..area
        },
        upper.get(top..).unwrap_or(&[]),
    );
    if rule == 1 {
        let line = "─".repeat(wide);
        buf.set_string(area.left(), area.top() + room as u16, line, theme.faint());
    }
    let at = (room + rule) as u16;
    put(
        buf,
        Rect {
            y: area.y + at,
            height: area.height.saturating_sub(at),
            ..area
        },
        &lower,
    );
    let (column, row) = fields.cursor?;
    let row = (above + row).checked_sub(top).filter(|row| *row < room)?;
    let column = column.min(area.width.saturating_sub(1));
    Some((area.x + column, area.y + row as u16))
}

/// The results where they fill the screen, with a mark when more follow.
fn scrolled(buf: &mut Buffer, area: Rect, lines: &[Line<'static>], top: usize, theme: Theme) {
    let (shown, more) = window(lines, top, usize::from(area.height));
    let mut shown = shown.to_vec();
    if more && let Some(last) = shown.last_mut() {
        *last = Line::from(Span::styled(" PgDn: more", theme.key()));
    }
    put(buf, area, &shown);
}

fn message(open: &Calculation, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let style = theme.message();
    open.message.as_ref().map_or_else(Vec::new, |text| {
        hanging(" ! ", style, text, wide.saturating_sub(1), style)
    })
}

/// Title and formula.
fn head(sum: &Sum, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let mut lines = block(&capital(sum.title), wide, 1, theme.title());
    for line in sum.formula {
        lines.extend(block(line, wide, 3, Style::default()));
    }
    lines.push(Line::default());
    lines
}

/// Source and range; from two metres the formula too, which has no room above.
fn facts(sum: &Sum, wide: usize, far: bool, theme: Theme) -> Vec<Line<'static>> {
    let plain = Style::default();
    let wide = wide.saturating_sub(1);
    let mut lines = Vec::new();
    if far {
        for line in sum.formula {
            lines.extend(block(line, wide, 3, plain));
        }
    }
    lines.extend(hanging(" holds for  ", theme.key(), sum.range, wide, plain));
    lines.extend(hanging(
        " source     ",
        theme.key(),
        sum.source,
        wide,
        plain,
    ));
    lines
}

/// What a sum is about, before it is opened.
pub(super) fn about(sum: &Sum, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let plain = Style::default();
    let mut lines = head(sum, wide, theme);
    lines.push(Line::from(Span::styled(" What goes in", theme.title())));
    for input in sum.inputs {
        let optional = input.count().0 == 0;
        let note = if optional { " (may be left out)" } else { "" };
        let text = format!("{}{note}", input.title);
        lines.extend(hanging("   · ", plain, &text, wide, plain));
    }
    lines.push(Line::from(Span::styled(" What comes out", theme.title())));
    for output in sum.outputs {
        lines.extend(hanging("   · ", plain, output.title, wide, plain));
    }
    lines.push(Line::default());
    lines.extend(facts(sum, wide, false, theme));
    lines.extend(hanging(" name       ", theme.key(), sum.name, wide, plain));
    lines
}

/// The fields as lines: where the one in focus begins and ends, and its cursor.
struct Fields {
    lines: Vec<Line<'static>>,
    from: usize,
    to: usize,
    cursor: Option<(u16, usize)>,
}

fn fields(open: &Calculation, look: Look) -> Fields {
    let mut all = Fields {
        lines: Vec::new(),
        from: 0,
        to: 0,
        cursor: None,
    };
    for (at, input) in open.sum.inputs.iter().enumerate() {
        if at != open.focus {
            if !look.far {
                all.lines.push(quiet(open, at, input, look));
            }
            continue;
        }
        all.from = all.lines.len();
        let (lines, (column, row)) = typing(open, at, input, look);
        all.lines.extend(lines);
        all.cursor = Some((column, all.from + row));
        all.lines.extend(said(open, at, look));
        all.to = all.lines.len();
    }
    if open.on_results() {
        all.from = all.lines.len();
        all.to = all.from;
    }
    all
}

/// Width of the label column.
pub(super) fn label_room(wide: usize) -> usize {
    (wide * 2 / 5).clamp(14, 34)
}

/// Where a field's value begins, after its label.
fn label(title: &str, mark: &str, wide: usize) -> String {
    let room = label_room(wide);
    let text = format!("{mark}{}", clip(title, room));
    let pad = (room + width(mark) + 1).saturating_sub(width(&text));
    format!("{text}{}", " ".repeat(pad))
}

fn symbol(open: &Calculation, at: usize) -> String {
    let kind = open.kind(at);
    let unit = open.shown_unit(at);
    match (kind, unit) {
        (Some(kind), Some(unit)) => unit.symbol_for(kind),
        _ => String::new(),
    }
}

/// The unit behind a typed line: left out where the line names its own, shown always
/// where several values stand in it.
fn unit_behind(open: &Calculation, at: usize, input: &Input, typed: &str) -> String {
    let several = !matches!(input.shape, Shape::One | Shape::Optional);
    let symbol = symbol(open, at);
    if symbol.is_empty() || (says_unit(typed) && !several) {
        String::new()
    } else {
        format!(" {symbol}")
    }
}

/// A field that is not in focus, in one line.
fn quiet(open: &Calculation, at: usize, input: &Input, look: Look) -> Line<'static> {
    let Look { wide, theme, .. } = look;
    let head = label(input.title, "   ", wide);
    let room = wide.saturating_sub(width(&head) + 1);
    let typed = open.fields.get(at).map_or("", |f| f.text().trim());
    let (text, style) = match open.entered(at) {
        Entered::Nothing => (empty(open, at, input), theme.faint()),
        Entered::Misread(_) => (format!("{typed}  not understood"), theme.message()),
        Entered::Given(_) if open.outside(at).is_some() => {
            let unit = unit_behind(open, at, input, typed);
            (format!("{typed}{unit}  out of bounds"), theme.message())
        }
        Entered::Given(_) => {
            let unit = unit_behind(open, at, input, typed);
            (format!("{typed}{unit}"), theme.title())
        }
    };
    Line::from(vec![
        Span::raw(head),
        Span::styled(clip(&text, room), style),
    ])
}

fn empty(open: &Calculation, at: usize, input: &Input) -> String {
    let may = if input.count().0 == 0 {
        "  may be left out"
    } else {
        ""
    };
    match input.takes {
        Takes::Word(words) => {
            let words: Vec<String> = words.iter().map(|w| w.replace('_', " ")).collect();
            format!("····  {}{may}", words.join(" / "))
        }
        Takes::Is(_) | Takes::AnyOf(_) | Takes::Like(_) => {
            format!("····  {}{may}", symbol(open, at))
        }
    }
}

/// The field in focus, and where its cursor stands. From two metres its label stands
/// in lines of its own; a label that is too long for its column stands whole below.
fn typing(
    open: &Calculation,
    at: usize,
    input: &Input,
    look: Look,
) -> (Vec<Line<'static>>, (u16, usize)) {
    let Look { wide, far, theme } = look;
    let mut lines = Vec::new();
    let head = if far {
        let wide = wide.saturating_sub(1);
        lines.extend(block(&capital(input.title), wide, 1, theme.title()));
        " > ".to_owned()
    } else {
        label(input.title, " > ", wide)
    };
    let Some(field) = open.fields.get(at) else {
        return (lines, (0, 0));
    };
    let text = field.text();
    let unit = unit_behind(open, at, input, text);
    let room = wide.saturating_sub(width(&head) + width(&unit) + 1).max(8);
    let skip = field.cursor().saturating_sub(room.saturating_sub(1));
    let shown: String = text.chars().skip(skip).take(room).collect();
    let before: String = shown.chars().take(field.cursor() - skip).collect();
    let column = width(&head) + width(&before);
    lines.push(Line::from(vec![
        Span::styled(head, theme.title()),
        Span::styled(format!("{:<8}", clip(&shown, room)), theme.field()),
        Span::raw(unit),
    ]));
    let row = lines.len().saturating_sub(1);
    if !far && width(input.title) > label_room(wide) {
        let wide = wide.saturating_sub(1);
        lines.extend(block(input.title, wide, 3, theme.title()));
    }
    (lines, (u16::try_from(column).unwrap_or(u16::MAX), row))
}

/// What stands under the field in focus: what it takes, or what it is read as, or
/// what is wrong with it; and how an uncertainty is typed.
fn said(open: &Calculation, at: usize, look: Look) -> Vec<Line<'static>> {
    let Look { wide, theme, .. } = look;
    let plain = Style::default();
    let mut said: Vec<(String, Style)> = Vec::new();
    match open.entered(at) {
        Entered::Nothing => said.push((open.takes(at), plain)),
        Entered::Misread(why) => said.push((why.clone(), theme.message())),
        Entered::Given(_) => said.extend(open.echo(at).map(|echo| (echo, plain))),
    }
    let outside = open.outside(at);
    let wants_hint =
        outside.is_none() && !matches!(open.entered(at), Entered::Misread(_)) && open.is_exact(at);
    if wants_hint && wide >= 60 {
        said.extend(open.doubt_hint(at).map(|hint| (hint, theme.faint())));
    }
    said.extend(outside.map(|why| (why, theme.message())));
    let indent = if wide < 60 { 3 } else { 6 };
    let wide = wide.saturating_sub(1);
    said.into_iter()
        .flat_map(|(text, style)| block(&text, wide, indent, style))
        .collect()
}

//! The calculators: the list of sums under their subjects, and beside it or in its
//! place the sum that is open.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::calculation;
use super::page::read;
use super::text::{bar, block, clip, hanging, put, width};
use super::theme::Theme;
use crate::app::Reckon;
use crate::calc::{REGISTRY, Sum};

/// Cells of the list where the sum stands beside it.
const LIST: u16 = 42;

/// From this width on the list and the sum stand side by side.
const BESIDE: u16 = 110;

const HELP: [&str; 9] = [
    "In the list, type words of a title, a subject or a name: the sums that have all of them stay. Enter opens the one in focus.",
    "In a sum, type into each field. The result is worked out after every key. Nothing is kept, and no job is touched.",
    "A number alone takes the unit shown behind its field. Another unit is typed behind the number, as in 125 psi.",
    "What is known of the instrument may stand behind a value: 1.30 bar +- 0.1 bar step 0.05 bar. The first is the limit of error, step is the smallest step that is read. +- is the same as ±.",
    "Several values are parted by ; or by a comma and a space. Each reading of a watch has its time before it: 0 min: 1.30 bar; 10 min: 1.28 bar.",
    "A word is picked with ← → or typed; its first letters are enough.",
    "U is twice the standard uncertainty, carried to first order (JCGM 100:2008). In the results m draws every uncertain value 20,000 times within its limits and works the sum out for each (JCGM 101:2008). Where the two differ much, the range of the trials counts.",
    "In the results u changes between metric and US units; what was typed without a unit keeps the unit that stood behind it. e puts the example in, and c clears every field.",
    "Esc clears a field (← brings it back), then goes back to the list, then to the board.",
];

/// Paints the page; gives where the cursor stands.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    reckon: &Reckon,
    theme: Theme,
) -> Option<(u16, u16)> {
    let under = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1),
        ..area
    };
    let (left, right) = titles(area, reckon);
    bar(buf, area, area.top(), &left, &right, theme.header());
    if let Some(top) = reckon.help {
        let lines: Vec<Line<'static>> = HELP
            .iter()
            .flat_map(|text| {
                hanging(
                    " · ",
                    theme.key(),
                    text,
                    usize::from(area.width),
                    Style::default(),
                )
            })
            .collect();
        read(buf, under, &lines, top, theme);
        return None;
    }
    if area.width >= BESIDE && area.height >= 20 {
        return beside(buf, under, reckon, theme);
    }
    match reckon.calculation() {
        Some(open) => calculation::paint(buf, under, open, theme),
        None => list(buf, under, reckon, theme),
    }
}

/// What stands in the bar.
fn titles(area: Rect, reckon: &Reckon) -> (String, String) {
    let page = "WORK SOMETHING OUT".to_owned();
    if reckon.help.is_some() {
        return (page, "help".to_owned());
    }
    match reckon.calculation() {
        Some(open) if area.width < 60 => {
            let all = open.fields.len();
            let place = if open.on_results() {
                "results".to_owned()
            } else {
                format!("{} of {all}", open.focus + 1)
            };
            (calculation::capital(open.sum.title), place)
        }
        Some(open) => (page, open.sum.subject.to_owned()),
        None => (page, "type to find".to_owned()),
    }
}

/// The list on the left, the sum on the right: the open one, or what the one in
/// focus is about.
fn beside(buf: &mut Buffer, area: Rect, reckon: &Reckon, theme: Theme) -> Option<(u16, u16)> {
    let left = Rect {
        width: LIST.min(area.width),
        ..area
    };
    let right = Rect {
        x: area.x + left.width + 1,
        width: area.width.saturating_sub(left.width + 1),
        ..area
    };
    for row in area.top()..area.bottom() {
        buf.set_string(area.x + left.width, row, "│", theme.faint());
    }
    let in_list = list(buf, left, reckon, theme);
    if let Some(open) = reckon.calculation() {
        return calculation::paint(buf, right, open, theme);
    }
    if let Some(sum) = reckon.focused() {
        let wide = usize::from(right.width);
        put(buf, right, &calculation::about(sum, wide, theme));
    }
    in_list
}

/// The line that narrows down, and the sums under their subjects.
fn list(buf: &mut Buffer, area: Rect, reckon: &Reckon, theme: Theme) -> Option<(u16, u16)> {
    let active = reckon.calculation().is_none();
    let text = reckon.filter.text();
    let head = " find  ";
    let style = if active {
        theme.field()
    } else {
        Style::default()
    };
    let room = usize::from(area.width).saturating_sub(width(head) + 2);
    let skip = reckon
        .filter
        .cursor()
        .saturating_sub(room.saturating_sub(1));
    let shown: String = text.chars().skip(skip).take(room).collect();
    let line = Line::from(vec![
        Span::styled(head, theme.title()),
        Span::styled(format!("{:<20}", clip(&shown, room)), style),
    ]);
    buf.set_line(area.left(), area.top(), &line, area.width);
    let body = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1),
        ..area
    };
    rows(buf, body, reckon, theme);
    let before = reckon.filter.cursor().saturating_sub(skip);
    let before: String = shown.chars().take(before).collect();
    active.then(|| (area.x + (width(head) + width(&before)) as u16, area.y))
}

fn rows(buf: &mut Buffer, area: Rect, reckon: &Reckon, theme: Theme) {
    let wide = usize::from(area.width);
    let roomy = area.height >= 16;
    let mut lines: Vec<Line<'static>> = Vec::new();
    let mut section: Option<&str> = None;
    let (mut first, mut last) = (0, 0);
    for (n, sum) in reckon.rows().iter().enumerate() {
        let Some(sum) = REGISTRY.get(*sum) else {
            continue;
        };
        let heads = section != Some(sum.subject);
        if heads && roomy {
            lines.push(Line::default());
        }
        if heads {
            let subject = clip(&sum.subject.to_uppercase(), wide.saturating_sub(2));
            lines.push(Line::from(Span::styled(
                format!(" {subject}"),
                theme.title(),
            )));
            section = Some(sum.subject);
        }
        if n == reckon.focus {
            first = lines.len().saturating_sub(1);
        }
        lines.extend(row(sum, n == reckon.focus, wide, theme));
        if n == reckon.focus {
            last = lines.len();
        }
    }
    if lines.is_empty() {
        lines = block(
            "No sum has all of these words. Esc clears them.",
            wide.saturating_sub(1),
            1,
            theme.message(),
        );
    }
    let height = usize::from(area.height);
    let top = (last + 1).saturating_sub(height).min(first);
    let top = top.min(lines.len().saturating_sub(height));
    put(buf, area, lines.get(top..).unwrap_or(&[]));
}

/// A sum in the list: its title, whole where it is in focus, and its name where
/// there is room.
fn row(sum: &Sum, focused: bool, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let title = calculation::capital(sum.title);
    let style = if focused {
        theme.focus()
    } else {
        Style::default()
    };
    let mark = if focused { " > " } else { "   " };
    let whole = wide.saturating_sub(width(mark) + 1);
    // The name only where it takes nothing from the title.
    let named = wide >= 60 && width(&title) + width(sum.name) + 2 <= whole;
    let name = if named { sum.name } else { "" };
    let room = whole.saturating_sub(width(name) + usize::from(named));
    if focused && width(&title) > whole {
        return hanging(mark, style, &title, wide.saturating_sub(1), style);
    }
    let text = clip(&title, room);
    let pad = " ".repeat(room.saturating_sub(width(&text)));
    vec![Line::from(vec![
        Span::styled(format!("{mark}{text} "), style),
        Span::raw(pad),
        Span::styled(name, theme.faint()),
    ])]
}

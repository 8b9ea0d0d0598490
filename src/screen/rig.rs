//! The truck to practise on, as it stands: from behind and to scale, its gauges, and
//! both in a few rows.
//!
//! Drawn from the bay alone, with no state of its own. A needle stands where the
//! instrument shows it; a figure stands only where the person reads that instrument,
//! for nothing is filled in for them. Nothing is told by colour alone, nothing blinks.
//!
//! Must not know: the procedure, faults, what is right.

mod gauge;
mod raster;
mod scene;
mod tape;
mod told;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier, Style};
use ratatui::text::{Line, Span};

use self::gauge::{DIAL, Gauge};
use self::scene::Scene;
use self::tape::Tape;
use super::text::{clip, width};
use super::theme::{Grain, Palette, Theme};
use crate::rig::{Bay, Side, Spot};

/// The least that the truck is drawn in.
const LEAST: (u16, u16) = (34, 8);

/// Width from which there is room for longer words and tapes.
const ROOMY: u16 = 44;

/// Rows from which a gauge is a bar of its own over its scale.
const ROWS_FOR_BARS: u16 = 14;

/// Width from which a side's height has its gauge beside it.
const SIDE_WITH_SCALE: u16 = 35;

/// Rows from which brake, chocks and what is fitted are said.
const TALL: u16 = 14;

/// The truck from behind.
pub fn truck(buf: &mut Buffer, area: Rect, bay: &Bay, theme: Theme) {
    if area.width < LEAST.0 || area.height < LEAST.1 {
        return strip(buf, area, bay, None, theme);
    }
    let words = if area.height >= TALL { 3 } else { 1 };
    let tape = if area.width < ROOMY { 5 } else { 7 };
    title(buf, area, bay, theme);
    let drawing = Rect {
        x: area.x + tape,
        y: area.y + 1,
        // As many cells on the one side of the middle as on the other.
        width: (area.width - 2 * tape) / 2 * 2,
        height: area.height - 2 - words,
    };
    let scene = Scene::of(bay, drawing.width, drawing.height);
    scene.raster.paint(buf, drawing, theme);
    if area.width >= ROOMY {
        name_parts(buf, drawing, scene.middles(), theme);
    }
    for side in Side::BOTH {
        let column = Rect {
            x: match side {
                Side::Left => area.x,
                Side::Right => drawing.right(),
            },
            width: tape,
            ..drawing
        };
        let rows = scene.rows(side);
        let window = scene.window;
        Tape { side, rows, window }.paint(buf, column, theme);
    }
    floor(buf, area, drawing, bay, theme);
    if scene.window.is_cut() {
        cut(buf, drawing, theme);
    }
    captions(buf, area, words, bay, theme);
}

/// The words on frame and axle.
fn name_parts(buf: &mut Buffer, drawing: Rect, rows: (u16, u16), theme: Theme) {
    for (row, word, colour) in [
        (rows.0, "frame", Color::Blue),
        (rows.1, "axle", Color::DarkGray),
    ] {
        if row < drawing.height {
            let place = Rect {
                y: drawing.y + row,
                height: 1,
                ..drawing
            };
            let style = match theme.palette {
                Palette::Sixteen => Style::reset().fg(Color::White).bg(colour),
                Palette::None => Style::reset().add_modifier(Modifier::REVERSED),
            };
            centred(buf, place, word, style);
        }
    }
}

/// The first row: what it is, and what the valves do.
fn title(buf: &mut Buffer, area: Rect, bay: &Bay, theme: Theme) {
    let row = Rect { height: 1, ..area };
    let valves = told::valves(bay);
    let room = usize::from(area.width).saturating_sub(width(&valves) + 1);
    let names = ["the truck, from behind", "from behind"];
    let name = names.into_iter().find(|name| width(name) <= room);
    sides(
        buf,
        row,
        (name.unwrap_or_default(), theme.faint()),
        (&valves, theme.title()),
    );
}

/// A text at the left end of a row and one at its right end.
fn sides(buf: &mut Buffer, row: Rect, left: (&str, Style), right: (&str, Style)) {
    let whole = usize::from(row.width);
    let second = clip(right.0, whole);
    let room = whole.saturating_sub(width(&second) + 1);
    buf.set_string(row.x, row.y, clip(left.0, room), left.1);
    let x = row.x + whole.saturating_sub(width(&second)) as u16;
    buf.set_string(x, row.y, second, right.1);
}

/// The floor, and who stands where on it.
fn floor(buf: &mut Buffer, area: Rect, drawing: Rect, bay: &Bay, theme: Theme) {
    let y = drawing.bottom();
    let whole = usize::from(area.width);
    buf.set_string(area.x, y, "─".repeat(whole), theme.faint());
    let mut stand = |spot: Spot, word: &str| {
        let word = format!(" {word} ");
        let spare = whole.saturating_sub(width(&word)) as u16;
        let x = match spot {
            Spot::LeftWheel => area.x,
            Spot::RightWheel => area.x + spare,
            Spot::Under => area.x + spare / 2,
            Spot::Line | Spot::Gauges | Spot::Cab | Spot::Equipment | Spot::Wall | Spot::Front => {
                return;
            }
        };
        buf.set_string(x, y, word, theme.focus());
    };
    if bay.helper == bay.spot {
        stand(bay.spot, "you and helper");
    } else {
        stand(bay.helper, "helper");
        stand(bay.spot, "you");
    }
}

/// Wheels and stands go on below the drawing.
fn cut(buf: &mut Buffer, drawing: Rect, theme: Theme) {
    let y = drawing.bottom().saturating_sub(1);
    for x in drawing.left()..drawing.right() {
        if let Some(cell) = buf.cell_mut((x, y))
            && cell.symbol() != " "
        {
            cell.reset();
            cell.set_symbol("╱").set_style(theme.faint());
        }
    }
}

/// The rows under the floor: both tapes, then what holds the truck.
fn captions(buf: &mut Buffer, area: Rect, rows: u16, bay: &Bay, theme: Theme) {
    let row = |n: u16| Rect {
        y: area.bottom() - rows + n,
        height: 1,
        ..area
    };
    let narrow = area.width < ROOMY;
    let [left, right] = Side::BOTH.map(|side| {
        let word = if narrow {
            told::letter(side)
        } else {
            side.word()
        };
        format!("{word} {}", told::height(bay, side))
    });
    sides(buf, row(0), (&left, theme.title()), (&right, theme.title()));
    // At a wheel the floor shows it.
    let person = match bay.spot {
        Spot::LeftWheel | Spot::RightWheel => String::new(),
        Spot::Line
        | Spot::Gauges
        | Spot::Cab
        | Spot::Equipment
        | Spot::Wall
        | Spot::Front
        | Spot::Under => told::person(bay),
    };
    let room = usize::from(area.width).saturating_sub(width(&left) + width(&right) + 2);
    let said = clip(&person, room);
    let x = area.x + (usize::from(area.width).saturating_sub(width(&said)) / 2) as u16;
    buf.set_string(x, row(0).y, said, Style::new());
    if rows > 1 {
        let wide = usize::from(area.width);
        buf.set_string(
            area.x,
            row(1).y,
            clip(&told::held_still(bay), wide),
            Style::new(),
        );
        let fitted = told::fitted(bay);
        let bellows = told::bellows(bay);
        let both = width(&fitted) + width(bellows) < wide;
        let bellows = if both { bellows } else { "" };
        sides(
            buf,
            row(2),
            (&fitted, Style::new()),
            (bellows, theme.faint()),
        );
    }
}

/// Both gauges, the reservoir, and what else is shown at an instrument. `most`: what
/// the sheet lets a bellows have, bar.
pub fn gauges(buf: &mut Buffer, area: Rect, bay: &Bay, most: Option<f64>, theme: Theme) {
    if area.is_empty() {
        return;
    }
    let (wide, high) = DIAL;
    let fine = theme.grain == Grain::Fine;
    let used = if fine && area.width >= 2 * wide + 2 && area.height >= high + 4 {
        faces(buf, area, bay, most, theme)
    } else if area.height >= ROWS_FOR_BARS {
        bars(buf, area, bay, most, theme)
    } else {
        rows(buf, area, bay, most, theme)
    };
    facts(buf, below(area, used), bay, most, theme);
}

/// What is left of an area under so many rows.
fn below(area: Rect, used: u16) -> Rect {
    let used = used.min(area.height);
    Rect {
        y: area.y + used,
        height: area.height - used,
        ..area
    }
}

/// What each of the three gauges is called, shows and says.
fn three(bay: &Bay, most: Option<f64>) -> [(&'static str, Option<Gauge>, String); 3] {
    let [left, right, reservoir] = bay.readout().gauge;
    let fitted = |needle| bay.gauges.then_some(Gauge { needle, mark: most });
    [
        ("left gauge", fitted(left), told::gauge(bay, Side::Left)),
        ("right gauge", fitted(right), told::gauge(bay, Side::Right)),
        (
            "reservoir",
            Some(Gauge {
                needle: reservoir,
                mark: None,
            }),
            told::reservoir(bay),
        ),
    ]
}

/// Dials side by side, as many as there is room for; gives the rows used.
fn faces(buf: &mut Buffer, area: Rect, bay: &Bay, most: Option<f64>, theme: Theme) -> u16 {
    let (wide, high) = DIAL;
    let count = if area.width >= 3 * wide + 2 { 3 } else { 2 };
    let each = area.width / count;
    for (n, (name, gauge, said)) in (0..count).zip(three(bay, most)) {
        let place = Rect {
            x: area.x + n * each,
            width: each,
            height: 1,
            ..area
        };
        centred(buf, place, name, theme.title());
        let face = Rect {
            x: place.x + (each - wide) / 2,
            y: area.y + 1,
            width: wide,
            height: high,
        };
        let figure = Rect {
            y: if gauge.is_some() {
                face.bottom() - 1
            } else {
                face.y + 1
            },
            ..place
        };
        if let Some(gauge) = gauge {
            gauge.dial(buf, face, theme);
        }
        centred(buf, figure, &said, theme.title());
    }
    let mut used = high + 1;
    if count < 3
        && let [.., (name, Some(gauge), said)] = three(bay, most)
    {
        let rest = below(area, used);
        used += one_bar(buf, rest, name, Some(gauge), &said, theme);
    }
    used
}

fn centred(buf: &mut Buffer, row: Rect, text: &str, style: Style) {
    let text = clip(text, usize::from(row.width));
    let spare = usize::from(row.width).saturating_sub(width(&text));
    buf.set_string(row.x + (spare / 2) as u16, row.y, text, style);
}

/// The three as bars; gives the rows used.
fn bars(buf: &mut Buffer, area: Rect, bay: &Bay, most: Option<f64>, theme: Theme) -> u16 {
    let mut used = 0;
    for (name, gauge, said) in three(bay, most) {
        let rest = below(area, used);
        used += one_bar(buf, rest, name, gauge, &said, theme);
    }
    used
}

/// The three as one row each: name, scale, figure; gives the rows used.
fn rows(buf: &mut Buffer, area: Rect, bay: &Bay, most: Option<f64>, theme: Theme) -> u16 {
    let mut used = 0;
    for (name, gauge, said) in three(bay, most) {
        let place = Rect {
            height: 1,
            ..below(area, used)
        };
        if used >= area.height {
            break;
        }
        one_row(buf, place, &format!("{name:<12}"), (gauge, &said), theme);
        used += 1;
    }
    used
}

/// A word, the scale turned as far as the needle stands, and the figure.
fn one_row(
    buf: &mut Buffer,
    place: Rect,
    word: &str,
    (gauge, said): (Option<Gauge>, &str),
    theme: Theme,
) {
    let room = usize::from(place.width);
    buf.set_stringn(place.x, place.y, word, room, theme.title());
    let used = (width(word) as u16).min(place.width);
    let scale = gauge::LEAST;
    let rest = Rect {
        x: place.x + used,
        width: place.width - used,
        ..place
    };
    let after = match gauge {
        Some(gauge) if rest.width >= scale => {
            let row = Rect {
                width: scale,
                ..rest
            };
            gauge.row(buf, row);
            Rect {
                x: row.right() + 1,
                width: (rest.width - scale).saturating_sub(1),
                ..rest
            }
        }
        Some(_) | None => rest,
    };
    let said = if width(said) > usize::from(after.width) {
        said.trim_end_matches(" bar")
    } else {
        said
    };
    buf.set_stringn(
        after.x,
        after.y,
        clip(said, usize::from(after.width)),
        usize::from(after.width),
        theme.title(),
    );
}

/// A name with its figure, then the bar over its scale; gives the rows used.
fn one_bar(
    buf: &mut Buffer,
    area: Rect,
    name: &str,
    gauge: Option<Gauge>,
    said: &str,
    theme: Theme,
) -> u16 {
    if area.height == 0 {
        return 0;
    }
    sides(buf, area, (name, theme.title()), (said, theme.title()));
    let Some(gauge) = gauge else {
        return 1;
    };
    let bar = Rect {
        y: area.y + 1,
        height: area.height - 1,
        ..area
    };
    if bar.height >= 2 {
        gauge.bar(buf, bar, theme);
        3
    } else {
        1
    }
}

/// The valves, then what is not a pressure: a name and a word a row, or several in a
/// row where there are few.
fn facts(buf: &mut Buffer, area: Rect, bay: &Bay, most: Option<f64>, theme: Theme) {
    if area.is_empty() {
        return;
    }
    let wide = usize::from(area.width);
    // What a valve does has the whole row.
    buf.set_stringn(area.x, area.y, told::valves(bay), wide, theme.title());
    let mut all = vec![("height value", told::value(bay))];
    let mark = most.filter(|_| bay.gauges);
    all.extend(mark.map(|bar| ("◆ at most", format!("{bar:.1} bar"))));
    all.extend([
        ("shop air", told::shop_air(bay).to_owned()),
        ("write-out", told::written(bay)),
        ("parking brake", told::brake(bay).to_owned()),
    ]);
    let rest = below(area, 1);
    if usize::from(rest.height) >= all.len() {
        for (y, (name, said)) in (rest.top()..rest.bottom()).zip(all) {
            let line = Line::from(vec![
                Span::styled(format!("{name:<14}"), theme.faint()),
                Span::raw(clip(&said, wide.saturating_sub(14))),
            ]);
            buf.set_line(rest.x, y, &line, rest.width);
        }
        return;
    }
    let said = all.into_iter().map(|(name, said)| format!("{name} {said}"));
    for (y, line) in (rest.top()..rest.bottom()).zip(joined(said, wide)) {
        buf.set_string(rest.x, y, clip(&line, wide), Style::new());
    }
}

/// Words in rows, as many in each as there is room for.
fn joined(words: impl Iterator<Item = String>, wide: usize) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for word in words {
        match rows.last_mut() {
            Some(row) if width(row) + 3 + width(&word) <= wide => {
                row.push_str(" · ");
                row.push_str(&word);
            }
            Some(_) | None => rows.push(word),
        }
    }
    rows
}

/// The truck in two or three rows, for under a procedure that has the screen.
pub fn strip(buf: &mut Buffer, area: Rect, bay: &Bay, most: Option<f64>, theme: Theme) {
    if area.is_empty() {
        return;
    }
    // Both sides in one row where both scales find room.
    let half = area.width / 2;
    let beside = half >= SIDE_WITH_SCALE;
    for (n, (side, gauge)) in (0..).zip(Side::BOTH.into_iter().zip(three(bay, most))) {
        let place = Rect {
            x: area.x + if beside { n * half } else { 0 },
            width: if beside { half } else { area.width },
            height: 1,
            ..below(area, if beside { 0 } else { n })
        };
        if place.y >= area.bottom() {
            return;
        }
        let (_, needle, said) = gauge;
        // Who can't read the figure has the needle.
        let read = !bay.gauges || bay.spot == Spot::Gauges;
        let said = if read { said } else { String::new() };
        let word = format!("{} {} ", side.word(), told::height(bay, side));
        one_row(buf, place, &word, (needle, &said), theme);
    }
    let value = format!("height value {}", told::value(bay));
    let lines = [
        (told::valves(bay), told::person(bay)),
        (
            format!("{value} · shop air {}", told::shop_air(bay)),
            told::helper(bay).unwrap_or_else(|| told::held_still(bay)),
        ),
    ];
    let rows = below(area, if beside { 1 } else { 2 });
    for (y, (left, right)) in (rows.top()..rows.bottom()).zip(lines) {
        let row = Rect {
            y,
            height: 1,
            ..area
        };
        sides(buf, row, (&left, theme.title()), (&right, Style::new()));
    }
}

/// The truck with its figures under it.
pub fn compact(buf: &mut Buffer, area: Rect, bay: &Bay, most: Option<f64>, theme: Theme) {
    // Three gauges, the valves, two rows for the rest.
    let under = 6.min(area.height / 2);
    let (over, rest) = (area.height - under, below(area, area.height - under));
    truck(
        buf,
        Rect {
            height: over,
            ..area
        },
        bay,
        theme,
    );
    gauges(buf, rest, bay, most, theme);
}

#[cfg(test)]
mod tests;

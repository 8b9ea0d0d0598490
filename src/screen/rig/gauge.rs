//! A pressure gauge: a dial with a needle, or a bar over a scale where there is no
//! room for one. Scale from 0 to 10 bar, a mark every half bar.
//!
//! Must not know: whose pressure it is, whether it is right.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::raster::{DOWN, Matter, Raster};
use crate::screen::theme::{Grain, Theme};

/// End of the scale, bar.
const MOST: f64 = 10.0;

/// Marks on the scale.
const MARKS: u32 = 20;

/// Where the scale begins, and how far it goes round, degrees.
const BEGINS: f64 = 225.0;
const SWEEPS: f64 = 270.0;

/// Cells of a dial across and down.
pub(super) const DIAL: (u16, u16) = (18, 8);

/// Cells of the shortest scale: one from mark to mark, and room for the last figure.
pub(super) const LEAST: u16 = 22;

/// Left parts of a cell, in eighths.
const LEFT: [&str; 9] = [" ", "▏", "▎", "▍", "▌", "▋", "▊", "▉", "█"];

/// What a gauge shows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Gauge {
    /// Where the needle stands, bar.
    pub(super) needle: f64,
    /// Not to be passed, as the sheet says, bar.
    pub(super) mark: Option<f64>,
}

/// A place on a dial: across in squares, down in squares.
struct Face {
    middle: (f64, f64),
    radius: f64,
}

impl Face {
    fn at(&self, bar: f64, share: f64) -> (f64, f64) {
        let angle = (BEGINS - SWEEPS * bar / MOST).to_radians();
        let reach = self.radius * share;
        (
            self.middle.0 + reach * angle.cos(),
            self.middle.1 - 2.0 * reach * angle.sin(),
        )
    }
}

impl Gauge {
    fn shown(self) -> f64 {
        self.needle.clamp(-0.2, MOST)
    }

    /// A dial.
    pub(super) fn dial(self, buf: &mut Buffer, area: Rect, theme: Theme) {
        let mut raster = Raster::new(area.width, area.height);
        let across = f64::from(area.width);
        let down = f64::from(area.height) * DOWN as f64 / 2.0;
        let radius = (across - 1.0).min(down / 1.75);
        let face = Face {
            middle: (across, radius * 2.0),
            radius,
        };
        let rim = 160;
        for step in 0..=rim {
            let (x, y) = face.at(f64::from(step) / f64::from(rim) * MOST, 0.98);
            raster.dot(x, y, Matter::Rim);
        }
        for mark in 0..=MARKS {
            let bar = f64::from(mark) / f64::from(MARKS) * MOST;
            let inner = if mark % 2 == 0 { 0.82 } else { 0.90 };
            raster.line(face.at(bar, inner), face.at(bar, 0.98), Matter::Rim);
        }
        let (x, y) = face.at(self.shown(), 0.78);
        let root = face.at(self.shown(), -0.12);
        // Two dots thick, across the way it points.
        let upright = (x - root.0).abs() > (y - root.1).abs() / 2.0;
        let (across, down) = if upright { (0.0, 2.0) } else { (1.0, 0.0) };
        raster.line(root, (x, y), Matter::Line);
        raster.line((root.0 + across, root.1 + down), (x, y), Matter::Line);
        raster.paint(buf, area, theme);
        for bar in [0.0, 2.0, 4.0, 6.0, 8.0, 10.0] {
            let figure = format!("{bar:.0}");
            put(buf, area, face.at(bar, 0.62), &figure, theme.faint());
        }
        if let Some(mark) = self.mark {
            put(buf, area, face.at(mark, 0.98), "◆", theme.title());
        }
        put(buf, area, face.at(self.shown(), 0.0), "o", theme.title());
    }

    /// A bar over its scale: two rows.
    pub(super) fn bar(self, buf: &mut Buffer, area: Rect, theme: Theme) {
        // So many whole cells from mark to mark.
        let marks = MARKS as usize;
        let each = (usize::from(area.width).saturating_sub(2) / marks).max(1);
        let wide = usize::from(area.width).min(each * marks + 2);
        let area = Rect {
            width: wide as u16,
            ..area
        };
        let filled = self.shown().max(0.0) / MOST * (wide as f64 - 2.0) + 0.5;
        for (n, x) in (area.left()..area.right()).enumerate() {
            let part = ((filled - n as f64) * 8.0).round().clamp(0.0, 8.0) as usize;
            let part = match theme.grain {
                Grain::Fine => part,
                Grain::Half => (part + 2) / 4 * 4,
            };
            let symbol = LEFT.get(part).copied().unwrap_or(" ");
            buf.set_string(x, area.top(), symbol, Style::new());
        }
        let under = Rect {
            y: area.y + 1,
            height: area.height.saturating_sub(1),
            ..area
        };
        for (x, mark) in (area.left()..area.right()).zip(self.scale(wide)) {
            if under.height > 0 {
                let style = if mark == '◆' {
                    theme.title()
                } else {
                    theme.faint()
                };
                buf.set_string(x, under.y, mark.to_string(), style);
            }
        }
    }

    /// The scale itself, turned as far as the needle stands: one row.
    pub(super) fn row(self, buf: &mut Buffer, area: Rect) {
        let wide = usize::from(area.width);
        let needle = self.shown().max(0.0) / MOST * (wide as f64 - 2.0) + 0.5;
        for (n, (x, mark)) in (area.left()..area.right())
            .zip(self.scale(wide))
            .enumerate()
        {
            let style = if n as f64 + 0.5 <= needle {
                Style::new().add_modifier(Modifier::REVERSED)
            } else {
                Style::new()
            };
            buf.set_string(x, area.y, mark.to_string(), style);
        }
    }

    /// Whole bars as figures, half ones as dots, the mark that is not to be passed.
    fn scale(self, wide: usize) -> Vec<char> {
        let mut row = vec![' '; wide];
        let at = |bar: f64| (bar / MOST * (wide as f64 - 2.0)).round() as usize;
        for mark in 0..=MARKS {
            let bar = f64::from(mark) / f64::from(MARKS) * MOST;
            let figure = if mark % 2 == 0 {
                format!("{bar:.0}")
            } else {
                "·".to_owned()
            };
            for (n, c) in figure.chars().enumerate() {
                if let Some(cell) = row.get_mut(at(bar) + n) {
                    *cell = c;
                }
            }
        }
        if let Some(cell) = self.mark.and_then(|mark| row.get_mut(at(mark))) {
            *cell = '◆';
        }
        row
    }
}

/// A text with its middle at a place of a dial.
fn put(buf: &mut Buffer, area: Rect, (across, down): (f64, f64), text: &str, style: Style) {
    let wide = text.chars().count() as f64;
    let x = area.x + ((across / 2.0 - wide / 2.0).round().max(0.0) as u16);
    let y = area.y + ((down / DOWN as f64).floor().max(0.0) as u16);
    if x < area.right() && y < area.bottom() {
        let room = usize::from(area.right() - x);
        buf.set_stringn(x, y, text, room, style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gauge(needle: f64) -> Gauge {
        Gauge { needle, mark: None }
    }

    /// Cells of a dial in which the needle is, by rows over and under its middle, and
    /// left and right of it.
    fn needle(bar: f64) -> [bool; 4] {
        let area = Rect::new(0, 0, DIAL.0, DIAL.1);
        let mut buf = Buffer::empty(area);
        gauge(bar).dial(&mut buf, area, Theme::default());
        let is_needle = |x: u16, y: u16| {
            let cell = &buf[(x, y)];
            let is_dots = cell
                .symbol()
                .starts_with(|c| ('\u{2801}'..='\u{28ff}').contains(&c));
            is_dots && cell.fg == ratatui::style::Color::Reset
        };
        let any = |xs: std::ops::Range<u16>, ys: std::ops::Range<u16>| {
            xs.into_iter().any(|x| ys.clone().any(|y| is_needle(x, y)))
        };
        [
            any(0..18, 0..3),
            any(0..18, 5..8),
            any(0..7, 0..8),
            any(11..18, 0..8),
        ]
    }

    #[test]
    fn the_needle_goes_round_from_lower_left_over_the_top_to_lower_right() {
        let [up, down, left, right] = needle(0.0);
        assert_eq!((up, down, left, right), (false, true, true, false));
        let [up, down, left, right] = needle(5.0);
        assert_eq!((up, down, left, right), (true, false, false, false));
        let [up, down, left, right] = needle(10.0);
        assert_eq!((up, down, left, right), (false, true, false, true));
    }

    #[test]
    fn a_row_is_turned_as_far_as_the_needle_stands() {
        let turned = |bar: f64| {
            let area = Rect::new(0, 0, LEAST, 1);
            let mut buf = Buffer::empty(area);
            gauge(bar).row(&mut buf, area);
            let cells = buf.content().iter();
            cells
                .filter(|c| c.modifier.contains(Modifier::REVERSED))
                .count()
        };
        // The figures of the bars are every other cell.
        let found = [0.0, 0.5, 1.0, 1.3, 2.0, 10.0].map(turned);
        assert_eq!(found, [1, 2, 3, 3, 5, 21]);
    }

    #[test]
    fn the_scale_has_every_bar_as_a_figure_and_a_mark_between() {
        let scale: String = gauge(0.0).scale(22).into_iter().collect();
        assert_eq!(scale, "0·1·2·3·4·5·6·7·8·9·10");
        let marked = Gauge {
            needle: 0.0,
            mark: Some(2.0),
        };
        let scale: String = marked.scale(22).into_iter().collect();
        assert_eq!(scale, "0·1·◆·3·4·5·6·7·8·9·10");
    }

    #[test]
    fn a_bar_grows_by_eighths_of_a_cell() {
        let bar = |needle: f64| {
            let area = Rect::new(0, 0, LEAST, 2);
            let mut buf = Buffer::empty(area);
            gauge(needle).bar(&mut buf, area, Theme::default());
            (0..LEAST).map(|x| buf[(x, 0)].symbol()).collect::<String>()
        };
        assert_eq!(bar(0.0).trim_end(), "▌");
        assert_eq!(bar(1.0).trim_end(), "██▌");
        assert_eq!(bar(1.0625).trim_end(), "██▋");
    }
}

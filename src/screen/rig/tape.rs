//! The tapes at both sides: millimetres over the seat of the block, and where the frame
//! stands on them.
//!
//! Must not know: the figure; who may read it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::raster::DOWN;
use super::scene::Window;
use crate::rig::Side;
use crate::screen::theme::{Grain, Theme};

/// Lines across a cell at three heights, from the top.
const LINES: [&str; 3] = ["▔", "─", "▁"];

/// The end of a tape, mm, and its marks.
const END: u32 = 350;
const EVERY: u32 = 50;

/// A line at so many squares from the top of a drawing.
fn line(row: f64, grain: Grain) -> &'static str {
    match grain {
        Grain::Half => "─",
        Grain::Fine => {
            let part = row.rem_euclid(DOWN as f64) / DOWN as f64;
            let at = (part * LINES.len() as f64) as usize;
            LINES.get(at).copied().unwrap_or("─")
        }
    }
}

/// A tape in its columns: figures outside, marks, and towards the truck the pointer.
pub(super) struct Tape {
    /// Which side.
    pub(super) side: Side,
    /// Squares from the top to the frame and to the seat.
    pub(super) rows: (f64, f64),
    /// The drawing's window.
    pub(super) window: Window,
}

impl Tape {
    /// Draws it.
    pub(super) fn paint(&self, buf: &mut Buffer, area: Rect, theme: Theme) {
        let (frame, seat) = self.rows;
        let zero = self.window.row(0.0);
        let at = |mark: u32| seat - (zero - self.window.row(f64::from(mark) / 1e3));
        // Marks between where each has a row of its own.
        if at(0) - at(EVERY) >= DOWN as f64 {
            for mark in (EVERY..=END).step_by(2 * EVERY as usize) {
                let dash = line(at(mark), theme.grain);
                self.put(buf, area, at(mark), (3, dash), theme.faint());
            }
        }
        for mark in (0..=END).step_by(2 * EVERY as usize) {
            let row = at(mark);
            let dash = line(row, theme.grain);
            self.put(buf, area, row, (0, &format!("{mark:>3}")), theme.faint());
            self.put(buf, area, row, (3, dash), theme.faint());
        }
        let wide = usize::from(area.width.saturating_sub(4));
        let pointer = line(frame, theme.grain).repeat(wide.min(3));
        self.put(buf, area, frame, (4, &pointer), theme.title());
    }

    /// A text so many cells in from the outer side, at so many squares from the top.
    fn put(&self, buf: &mut Buffer, area: Rect, row: f64, text: (u16, &str), style: Style) {
        let (inward, text) = text;
        let cells = text.chars().count() as u16;
        let down = (row / DOWN as f64).floor();
        if down < 0.0 || down >= f64::from(area.height) || inward + cells > area.width {
            return;
        }
        let x = match self.side {
            Side::Left => area.x + inward,
            Side::Right => area.right() - inward - cells,
        };
        buf.set_string(x, area.y + down as u16, text, style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pointer_stands_at_its_mark_on_either_side() {
        for rows in [7, 11, 26] {
            let window = Window::of(rows);
            for (side, figure, pointer) in [(Side::Left, 0, 5), (Side::Right, 4, 1)] {
                for mark in [100, 200, 300] {
                    let seat = window.row(0.616);
                    let frame = window.row(0.616 + f64::from(mark) / 1e3);
                    let area = Rect::new(0, 0, 7, rows);
                    let mut buf = Buffer::empty(area);
                    let rows = (frame, seat);
                    Tape { side, rows, window }.paint(&mut buf, area, Theme::default());
                    let row = (frame / DOWN as f64) as u16;
                    let text = |x: u16| buf[(x, row)].symbol();
                    let figures = (figure..figure + 3).map(text).collect::<String>();
                    assert_eq!(figures, mark.to_string(), "{side:?}");
                    // The mark itself is in the middle of seven cells.
                    assert_eq!(text(pointer), text(3), "{side:?} {mark}");
                }
            }
        }
    }
}

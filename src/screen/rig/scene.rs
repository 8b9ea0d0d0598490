//! The truck's rear end in a field of squares: every height to scale, across in places
//! of its own so that nothing hides what counts.
//!
//! Heights are metres over the floor as it lies under this axle; a sloping floor is
//! drawn level, as it looks to who stands on it. Across, a place is a share of the way
//! from the middle to the outer side of a tyre.
//!
//! Must not know: what a person may see; words.

use super::raster::{ACROSS, DOWN, Matter, Raster};
use crate::rig::{Bay, Readout, Side};

/// From the middle to the outer side of a tyre, m.
const HALF: f64 = 1.2;

/// A part's place: from and to.
type Place = (f64, f64);

const DRIVE: Place = (0.0, 0.08);
const STAND: Place = (0.08, 0.12);
const STOP: Place = (0.14, 0.18);
const BLOCK: Place = (0.22, 0.36);
const BELLOWS: Place = (0.37, 0.60);
const FRAME: f64 = 0.70;
const TYRE: Place = (0.77, 1.0);

/// How high the frame's cross member is, and its rails, m.
const MEMBER: f64 = 0.10;
const RAIL: f64 = 0.24;

/// Half the height of the axle's tube, and of the drive in its middle, m.
const TUBE: f64 = 0.055;
const BANJO: f64 = 0.16;

/// The plate under a bellows, squares.
const PLATE: f64 = 2.0;

/// Pressure at which a bellows is round, bar.
const ROUND: f64 = 1.1;

/// What of the height is drawn, and how finely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Window {
    /// Highest that is drawn, m.
    top: f64,
    /// Lowest, m.
    bottom: f64,
    /// Metres for a square.
    square: f64,
}

/// Down to the floor.
const WHOLE: (f64, f64) = (1.2, 0.0);

/// The wheels cut off under the axle.
const CUT: (f64, f64) = (1.08, 0.33);

/// Rows from which all of it is drawn.
const ROWS_FOR_ALL: u16 = 20;

impl Window {
    /// What fits into so many rows.
    pub(super) fn of(rows: u16) -> Self {
        let (top, bottom) = if rows >= ROWS_FOR_ALL { WHOLE } else { CUT };
        Self {
            top,
            bottom,
            square: (top - bottom) / (f64::from(rows.max(1)) * DOWN as f64),
        }
    }

    /// Whether the wheels are cut off.
    pub(super) fn is_cut(self) -> bool {
        self.bottom > 0.0
    }

    /// How many squares from the top a height is.
    pub(super) fn row(self, height: f64) -> f64 {
        (self.top - height) / self.square
    }

    /// So many metres in squares.
    fn squares(self, metres: f64) -> f64 {
        metres / self.square
    }
}

/// Two heights at the places of the blocks, and the straight line through them.
#[derive(Debug, Clone, Copy)]
struct Beam {
    left: f64,
    right: f64,
    /// Where they are taken, m from the middle.
    at: f64,
}

impl Beam {
    /// The height at a place, m from the middle, left positive.
    fn at(self, y: f64) -> f64 {
        f64::midpoint(self.left, self.right) + y / self.at * (self.left - self.right) / 2.0
    }
}

/// The drawing while it is made.
pub(super) struct Scene<'b> {
    bay: &'b Bay,
    seen: Readout,
    frame: Beam,
    seat: Beam,
    /// Of the drawing.
    pub(super) window: Window,
    /// The field.
    pub(super) raster: Raster,
    /// Squares from the middle to the outer side of a tyre.
    half: f64,
}

impl<'b> Scene<'b> {
    /// The truck in so many cells.
    pub(super) fn of(bay: &'b Bay, across: u16, down: u16) -> Self {
        let seen = bay.readout();
        let at = bay.rig.params.y_bl;
        let [left, right] = seen.floor;
        let [over_left, over_right] = seen.height;
        let mut scene = Self {
            bay,
            seen,
            frame: Beam { left, right, at },
            seat: Beam {
                left: left - over_left,
                right: right - over_right,
                at,
            },
            window: Window::of(down),
            raster: Raster::new(across, down),
            half: f64::from(across / 2) * ACROSS as f64,
        };
        scene.draw();
        scene
    }

    /// Cells from the top in which the middle of the frame is, and that of the axle.
    pub(super) fn middles(&self) -> (u16, u16) {
        let cell = |row: f64| (row / DOWN as f64).floor().max(0.0) as u16;
        let frame = self.window.row(self.frame.at(0.0) + MEMBER / 2.0);
        let axle = self
            .window
            .row(self.seat.at(0.0) - self.bay.rig.params.d_seat);
        (cell(frame), cell(axle))
    }

    /// How many squares from the top the frame is at a side, and the seat under it.
    pub(super) fn rows(&self, side: Side) -> (f64, f64) {
        let row = |beam: Beam| self.window.row(side.of([beam.left, beam.right]));
        (row(self.frame), row(self.seat))
    }

    fn draw(&mut self) {
        for side in Side::BOTH {
            self.strap(side);
        }
        self.axle();
        for side in Side::BOTH {
            self.tyre(side);
        }
        self.frame();
        for side in Side::BOTH {
            self.stop(side);
            self.block(side);
            self.bellows(side);
            self.stand(side);
            self.mudguard(side);
        }
    }

    /// The columns of a place on a side, in whole cells: each of those has one edge.
    fn columns(&self, side: Side, (from, to): Place) -> std::ops::Range<i32> {
        let cell = ACROSS as f64;
        let whole = |share: f64| ((share * self.half / cell).round() * cell) as i32;
        let from = whole(from);
        let to = whole(to).max(from + cell as i32);
        let middle = self.half.round() as i32;
        match side {
            Side::Left => middle - to..middle - from,
            Side::Right => middle + from..middle + to,
        }
    }

    /// How far a column is from the middle, m, left positive.
    fn metres(&self, column: i32) -> f64 {
        (self.half - (f64::from(column) + 0.5)) / self.half * HALF
    }

    fn frame_row(&self, column: i32) -> f64 {
        self.window.row(self.frame.at(self.metres(column))).round()
    }

    fn seat_row(&self, column: i32) -> f64 {
        self.window.row(self.seat.at(self.metres(column))).round()
    }

    fn frame(&mut self) {
        let [member, rail] = [MEMBER, RAIL].map(|m| self.window.squares(m));
        for side in Side::BOTH {
            for column in self.columns(side, (0.0, FRAME)) {
                let under = self.frame_row(column);
                self.raster
                    .fill(column, under - member, under, Matter::Frame);
            }
            for column in self.columns(side, (BLOCK.0, FRAME)) {
                let under = self.frame_row(column);
                self.raster.fill(column, under - rail, under, Matter::Frame);
            }
        }
    }

    fn axle(&mut self) {
        let seat_up = self.window.squares(self.bay.rig.params.d_seat);
        let [tube, banjo] = [TUBE, BANJO].map(|m| self.window.squares(m));
        for side in Side::BOTH {
            for column in self.columns(side, (0.0, TYRE.0)) {
                let centre = self.seat_row(column) + seat_up;
                self.raster
                    .fill(column, centre - tube, centre + tube, Matter::Axle);
            }
            // Saddle with the seats for block and bump stop.
            for column in self.columns(side, (STOP.0, BLOCK.1)) {
                let seat = self.seat_row(column);
                self.raster.fill(column, seat, seat + seat_up, Matter::Axle);
            }
            let drive = self.columns(side, DRIVE);
            let wide = f64::from(drive.end - drive.start);
            for column in drive {
                let centre = self.seat_row(column) + seat_up;
                let off = (f64::from(column) + 0.5 - self.half) / wide;
                let round = banjo * (1.0 - off * off).max(0.0).sqrt();
                self.raster
                    .fill(column, centre - round, centre + round, Matter::Axle);
            }
        }
    }

    fn tyre(&mut self, side: Side) {
        let radius = side.of(self.bay.rig.params.r_tyre);
        let columns = self.columns(side, TYRE);
        let (first, last) = (columns.start, columns.end - 1);
        let gap = f64::from(first + last) / 2.0;
        for column in columns {
            let y = self.metres(column);
            let centre = self.seat.at(y) - self.bay.rig.params.d_seat;
            // Two wheels side by side, their corners round.
            let is_edge = column == first || column == last;
            let is_gap = (f64::from(column) - gap).abs() < 0.6;
            if is_gap && last - first > 5 {
                continue;
            }
            let round = self.window.squares(if is_edge { 0.04 } else { 0.0 });
            let top = self.window.row(centre + radius).round() + round;
            let bottom = self.window.row(0.0) - round;
            self.raster.fill(column, top, bottom, Matter::Tyre);
        }
    }

    /// A bump stop hangs from the frame; it is touched when it reaches the seat.
    fn stop(&mut self, side: Side) {
        let long = self.window.squares(side.of(self.bay.rig.params.s_bp));
        for column in self.columns(side, STOP) {
            let under = self.frame_row(column);
            let seat = self.seat_row(column);
            let to = (under + long).round().min(seat);
            self.raster.fill(column, under, to, Matter::Rubber);
        }
    }

    fn block(&mut self, side: Side) {
        if side.of(self.bay.fitted).is_none() {
            return;
        }
        let high = side.of(self.bay.rig.inputs.block);
        let gap = self.window.squares(side.of(self.seen.height) - high);
        let touches = side.of(self.seen.block) > 0.0;
        let gap = if touches { 0.0 } else { gap.round().max(1.0) };
        for column in self.columns(side, BLOCK) {
            let top = self.frame_row(column) + gap;
            let seat = self.seat_row(column);
            self.raster.fill(column, top, seat, Matter::Block);
        }
    }

    /// Bellows stand on the arm or the axle and reach up to the frame; they are round
    /// with air in them and sink in without.
    fn bellows(&mut self, side: Side) {
        let bay = self.bay;
        let params = &bay.rig.params;
        let height = side.of(self.seen.height) - params.s_ref;
        let high = self.window.squares(params.h_ref + params.i_b * height);
        let air = (side.of(self.seen.true_bar) / ROUND).clamp(0.0, 1.0);
        let columns = self.columns(side, BELLOWS);
        if params.nb < 1.5 {
            self.one_bellows(columns, high, air);
        } else {
            let wide = (columns.end - columns.start) / 2 - 1;
            self.one_bellows(columns.start..columns.start + wide, high, air);
            self.one_bellows(columns.end - wide..columns.end, high, air);
        }
    }

    fn one_bellows(&mut self, columns: std::ops::Range<i32>, high: f64, air: f64) {
        let middle = f64::from(columns.start + columns.end) / 2.0;
        let wide = f64::from(columns.end - columns.start) / 2.0;
        for column in columns {
            let under = self.frame_row(column);
            let foot = (under + high).round();
            let off = ((f64::from(column) + 0.5 - middle) / wide).abs();
            self.raster.fill(column, foot, foot + PLATE, Matter::Axle);
            let mut row = under;
            while row < foot {
                // From -1 at the frame to 1 at the foot.
                let down = (row + 0.5 - under) / high * 2.0 - 1.0;
                let there = off <= half_width(down, air);
                let matter = if there { Matter::Bellows } else { Matter::Air };
                self.raster.fill(column, row, row + 1.0, matter);
                row += 1.0;
            }
        }
    }

    /// A strap between frame and axle: straight when it is taut, else it hangs in a bow.
    fn strap(&mut self, side: Side) {
        // In the last cell of the frame.
        let columns = self.columns(side, (0.0, FRAME));
        let at = match side {
            Side::Left => columns.start,
            Side::Right => columns.end - 1,
        };
        let column = f64::from(at);
        let top = self.frame_row(at);
        let bottom = self.seat_row(at) + self.window.squares(self.bay.rig.params.d_seat - TUBE);
        let slack = if side.of(self.seen.upper) > 0.0 {
            0.0
        } else {
            let long = side.of(self.bay.rig.params.s_up);
            let high = side.of(self.seen.height);
            (1.0 - high / long).clamp(0.0, 1.0).sqrt() * self.half * 0.06 + 0.6
        };
        let outward = match side {
            Side::Left => -1.0,
            Side::Right => 1.0,
        };
        let tall = (bottom - top).max(1.0);
        let mut row = top;
        while row < bottom {
            let part = (row - top) / tall * 2.0 - 1.0;
            let bow = slack * (1.0 - part * part) * outward;
            self.raster.dot(column + bow.round(), row, Matter::Line);
            row += 2.0;
        }
    }

    fn stand(&mut self, side: Side) {
        if !side.of(self.bay.stands) {
            return;
        }
        let gap = self.window.squares(self.bay.stand_gap(side).unwrap_or(0.0));
        let touches = side.of(self.seen.stand) > 0.0;
        let gap = if touches { 0.0 } else { gap.round().max(1.0) };
        let floor = self.window.row(0.0);
        let foot = self.window.squares(0.05);
        let (from, to) = STAND;
        for column in self.columns(side, STAND) {
            let top = self.frame_row(column) + gap;
            self.raster.fill(column, top, floor, Matter::Stand);
        }
        for column in self.columns(side, (from - 0.03, to + 0.03)) {
            let top = self.frame_row(column) + gap;
            self.raster
                .fill(column, top, top + foot / 2.0, Matter::Stand);
            self.raster.fill(column, floor - foot, floor, Matter::Stand);
        }
    }

    fn mudguard(&mut self, side: Side) {
        if !self.bay.mudguards {
            return;
        }
        let (from, to) = TYRE;
        let radius = side.of(self.bay.rig.params.r_tyre);
        for column in self.columns(side, (from, to)) {
            let centre = self.seat.at(self.metres(column)) - self.bay.rig.params.d_seat;
            let at = self.window.row(centre + radius + 0.06).round();
            self.raster.fill(column, at - 3.0, at, Matter::Frame);
        }
    }
}

/// How wide a lobe is at a height from -1 to 1, as a share of its most: round at both
/// ends, and in the middle as the air in it fills it.
fn half_width(down: f64, air: f64) -> f64 {
    let end = ((down.abs() - 0.62) / 0.38).max(0.0);
    let round = (1.0 - end * end * 0.75).max(0.0).sqrt();
    let waist = (1.0 - air) * 0.2 * (1.0 - down * down);
    round * (0.9 + 0.1 * air) - waist
}

#[cfg(test)]
mod tests;

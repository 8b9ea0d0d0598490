//! The driveline from the side, front on the left, and the band of heights at which
//! it may run. Slopes are drawn steeper than they are; how much is said.

use super::{Canvas, WIDTH};
use crate::screen::text::{width, wrap};

/// Rows that the lines may take, without those kept for figures.
const HEIGHT: usize = 7;

/// How many times as steep it may be drawn, the steepest first.
const STEEPER: [f64; 6] = [10.0, 5.0, 4.0, 3.0, 2.0, 1.0];

/// A driveline as it stands at one height.
pub(super) struct Driveline {
    /// Slopes in degrees, + is nose up.
    pub(super) gearbox: Option<f64>,
    /// The shaft before the last, where there are two.
    pub(super) coupling: Option<f64>,
    /// The shaft to the axle.
    pub(super) shaft: Option<f64>,
    /// The pinion.
    pub(super) pinion: Option<f64>,
    /// The height it is drawn at, in words.
    pub(super) at: Option<String>,
    /// Joint angles in degrees, from the gearbox.
    pub(super) joints: [Option<f64>; 3],
    /// Heights at which all limits hold.
    pub(super) band: Option<Band>,
    /// Why there is no such height.
    pub(super) no_band: Option<String>,
}

/// A band of heights.
pub(super) struct Band {
    /// Its lower end.
    pub(super) lowest: f64,
    /// Its upper end.
    pub(super) highest: f64,
    /// Ride height.
    pub(super) ride: Option<f64>,
    /// The height as found.
    pub(super) found: Option<f64>,
    /// The unit of all of them.
    pub(super) unit: String,
    /// Their decimals.
    pub(super) places: usize,
    /// What closes it below.
    pub(super) below: Option<String>,
    /// What closes it above.
    pub(super) above: Option<String>,
}

/// One piece of the drawing.
struct Piece {
    name: &'static str,
    slope: f64,
    cells: usize,
}

impl Driveline {
    /// Whether there is anything to draw.
    pub(super) fn shows_something(&self) -> bool {
        self.pieces().is_some() || self.band.is_some() || self.no_band.is_some()
    }

    /// The picture.
    pub(super) fn rows(&self) -> Vec<String> {
        let mut rows = match &self.at {
            Some(at) => wrap(&format!("DRIVELINE {at}, from its left"), WIDTH),
            None => vec!["DRIVELINE from its left side".to_owned()],
        };
        if let Some(pieces) = self.pieces() {
            rows.extend(self.side(&pieces));
        }
        if let Some(band) = &self.band {
            rows.extend(band.rows());
        }
        if let Some(why) = &self.no_band {
            rows.extend(wrap(&format!("no height is allowed: {why}"), WIDTH));
        }
        rows
    }

    /// From front to rear.
    fn pieces(&self) -> Option<Vec<Piece>> {
        let (gearbox, shaft, pinion) = (self.gearbox?, self.shaft?, self.pinion?);
        let piece = |name, slope, cells| Piece { name, slope, cells };
        let mut pieces = vec![piece("gearbox", gearbox, 7)];
        if let Some(coupling) = self.coupling {
            pieces.push(piece("front shaft", coupling, 9));
            pieces.push(piece("rear shaft", shaft, 11));
        } else {
            pieces.push(piece("shaft", shaft, 20));
        }
        pieces.push(piece("pinion", pinion, 7));
        Some(pieces)
    }

    fn side(&self, pieces: &[Piece]) -> Vec<String> {
        let fits = |times: &&f64| {
            let (low, high) = extent(pieces, **times);
            high - low <= (2 * HEIGHT - 1) as f64
        };
        let times = STEEPER.iter().find(fits).copied().unwrap_or(1.0);
        let (low, high) = extent(pieces, times);
        let tall = ((high - low) / 2.0).ceil() as usize + 1;
        // A row above and one below are for figures.
        let mut canvas = Canvas::new(tall + 2);
        let mut column = 0;
        let mut half = 2.0 - low;
        let mut joints = Vec::new();
        for piece in pieces {
            let fall = fall(piece, times);
            for at in 0..piece.cells {
                let here = half + fall * (at as f64 + 0.5) / piece.cells as f64;
                let here = here.round().max(0.0) as usize;
                let block = if here.is_multiple_of(2) { '▀' } else { '▄' };
                canvas.set(column + at, here / 2, block);
            }
            column += piece.cells;
            half += fall;
            joints.push((column, (half.round().max(0.0) as usize) / 2));
        }
        // Behind the pinion there is no joint.
        joints.pop();
        for (column, row) in &joints {
            canvas.set(column.saturating_sub(1), *row, '●');
        }
        for ((column, row), angle) in joints.iter().zip(self.joints) {
            let Some(angle) = angle else {
                continue;
            };
            figure(&mut canvas, *column, *row, &format!("{angle:.1}°"));
        }
        let mut rows = canvas.rows();
        rows.retain(|row| !row.is_empty());
        rows.extend(
            pieces
                .iter()
                .map(|p| format!("{:<11} {}", p.name, slope(p.slope))),
        );
        rows.push(if times > 1.0 {
            format!("● joints; drawn {times:.0} times as steep")
        } else {
            "● joints; drawn as steep as it is".to_owned()
        });
        rows
    }
}

/// A joint's figure beside it, above where there is room, else below.
fn figure(canvas: &mut Canvas, column: usize, row: usize, text: &str) {
    let back = column.saturating_sub(text.chars().count() + 1);
    let above = row.checked_sub(1);
    let places = [
        above.map(|r| (column, r)),
        Some((back, row + 1)),
        above.map(|r| (back, r)),
        Some((column, row + 1)),
        row.checked_sub(2).map(|r| (column, r)),
        Some((back, row + 2)),
    ];
    let mut free = places.into_iter().flatten();
    if let Some((column, row)) = free.find(|(c, r)| canvas.is_free(*c, *r, text)) {
        canvas.text(column, row, text);
    }
}

/// How far a piece comes down from its front end, in half rows: a cell is twice as
/// high as it is wide, so half a row is as high as a cell is wide.
fn fall(piece: &Piece, times: f64) -> f64 {
    piece.slope.to_radians().tan() * times * piece.cells as f64
}

/// The highest and the lowest point in half rows, counted down from the front end.
fn extent(pieces: &[Piece], times: f64) -> (f64, f64) {
    let mut at = 0.0;
    let (mut low, mut high) = (0.0_f64, 0.0_f64);
    for piece in pieces {
        at += fall(piece, times);
        low = low.min(at);
        high = high.max(at);
    }
    (low, high)
}

fn slope(degrees: f64) -> String {
    let shown = (degrees * 10.0).round() / 10.0;
    if shown == 0.0 {
        "0.0°, level".to_owned()
    } else if shown < 0.0 {
        format!("{:.1}° nose down", -shown)
    } else {
        format!("{shown:.1}° nose up")
    }
}

impl Band {
    fn rows(&self) -> Vec<String> {
        let mut rows = vec![format!("height, {}", self.unit), self.scale()];
        let said = |mark: char, name: &str, value: Option<f64>| {
            value.map(|v| format!("{mark} {name} {v:.0$}", self.places))
        };
        let marks = [
            said('┼', "ride height", self.ride),
            said('×', "as found", self.found),
        ];
        let marks: Vec<String> = marks.into_iter().flatten().collect();
        let together = marks.join("  ");
        if width(&together) > WIDTH {
            rows.extend(marks);
        } else if !marks.is_empty() {
            rows.push(together);
        }
        for (end, rule) in [("ends below", &self.below), ("ends above", &self.above)] {
            if let Some(rule) = rule {
                rows.extend(wrap(&format!("{end}: {rule}"), WIDTH));
            }
        }
        rows
    }

    /// The band with its marks; what lies outside stands outside.
    fn scale(&self) -> String {
        let end = |v: f64| format!("{v:.0$}", self.places);
        let (low, high) = (end(self.lowest), end(self.highest));
        // Two cells on either side are kept for what lies outside.
        let cells = WIDTH.saturating_sub(width(&low) + width(&high) + 2 + 2 * 2);
        let mut line: Vec<char> = vec!['─'; cells];
        if let Some(first) = line.first_mut() {
            *first = '├';
        }
        if let Some(last) = line.last_mut() {
            *last = '┤';
        }
        let (mut before, mut after) = ("  ", "  ");
        for (mark, outside, value) in [
            ('┼', ("┼ ", " ┼"), self.ride),
            ('×', ("× ", " ×"), self.found),
        ] {
            let Some(value) = value else {
                continue;
            };
            if value < self.lowest {
                before = outside.0;
                continue;
            }
            if value > self.highest {
                after = outside.1;
                continue;
            }
            let share = (value - self.lowest) / (self.highest - self.lowest).max(f64::MIN_POSITIVE);
            let at = (share * cells.saturating_sub(1) as f64).round() as usize;
            if let Some(cell) = line.get_mut(at) {
                *cell = mark;
            }
        }
        let line: String = line.into_iter().collect();
        format!("{before}{low} {line} {high}{after}")
            .trim_end()
            .to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(found: Option<f64>) -> Band {
        Band {
            lowest: 182.3,
            highest: 201.5,
            ride: Some(190.0),
            found,
            unit: "mm".to_owned(),
            places: 1,
            below: Some("joint 1 under its least".to_owned()),
            above: Some("the last two joints not equal".to_owned()),
        }
    }

    fn one_shaft() -> Driveline {
        Driveline {
            gearbox: Some(4.5),
            coupling: None,
            shaft: Some(7.0),
            pinion: Some(4.3),
            at: Some("as found, 195.0 mm".to_owned()),
            joints: [Some(2.5), Some(2.7), None],
            band: Some(band(Some(195.0))),
            no_band: None,
        }
    }

    fn shown(drawn: &Driveline) -> String {
        let rows = drawn.rows();
        assert!(rows.iter().all(|r| width(r) <= WIDTH), "{rows:?}");
        rows.join("\n")
    }

    #[test]
    fn a_shaft_falls_to_the_rear_and_its_joints_carry_their_angles() {
        insta::assert_snapshot!(shown(&one_shaft()));
    }

    #[test]
    fn two_shafts_have_three_joints() {
        let drawn = Driveline {
            coupling: Some(5.0),
            joints: [Some(0.5), Some(2.0), Some(2.7)],
            band: None,
            ..one_shaft()
        };
        insta::assert_snapshot!(shown(&drawn));
    }

    #[test]
    fn a_shaft_that_rises_to_the_rear_is_drawn_rising() {
        let drawn = Driveline {
            gearbox: Some(-2.0),
            shaft: Some(-6.0),
            pinion: Some(12.0),
            joints: [Some(4.0), Some(18.0), None],
            band: None,
            ..one_shaft()
        };
        insta::assert_snapshot!(shown(&drawn));
    }

    #[test]
    fn a_height_outside_its_band_stands_outside_the_scale() {
        let lower = band(Some(170.0)).scale();
        let upper = band(Some(210.0)).scale();
        assert!(lower.starts_with("× 182.3 ├"), "{lower}");
        assert!(upper.ends_with("┤ 201.5 ×"), "{upper}");
    }

    #[test]
    fn where_no_height_is_allowed_the_rule_is_told() {
        let drawn = Driveline {
            gearbox: None,
            band: None,
            no_band: Some("joint 1 over its most".to_owned()),
            ..one_shaft()
        };
        assert!(drawn.shows_something());
        insta::assert_snapshot!(shown(&drawn));
    }
}

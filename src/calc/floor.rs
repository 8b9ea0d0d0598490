//! The floor under the truck: the plane through readings, the wheel that is off it,
//! flatness by rows of a standard, and what is taken off heights read on it.
//!
//! Invariants: places count forward (+ to the front) and to the left (+), left as
//! when sitting in the cab; heights are of the floor and count up. So a slope along
//! is + where the floor is higher at the front (nose up), and a slope across is +
//! where it is higher on the left. It must not know what a truck allows.

mod entry;
#[cfg(test)]
mod tests;

pub(super) use entry::{
    FLATNESS_LIMIT, FLOOR_CORRECTION, FLOOR_PLANE, FLOOR_SAG, FLOOR_WHEELS, LAMP_BAY, WHEEL_OFF,
};

use uom::si::f64::{Angle, Length};

use super::amount::{Amount, Slope};
use super::error::Snag;

/// Points narrower than this share of their length (squared) lie on one line.
const NARROW: f64 = 1e-4;

/// One reading of the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// How far forward, from any one place.
    pub along: Length,
    /// How far to the left, from any one place.
    pub across: Length,
    /// Height of the floor, from any one level.
    pub height: Length,
}

impl Spot {
    fn xyz(self) -> (f64, f64, f64) {
        (self.along.si(), self.across.si(), self.height.si())
    }
}

/// A plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// Its height where along and across are nothing.
    pub offset: Length,
    /// + is higher at the front.
    pub along: Slope,
    /// + is higher on the left.
    pub across: Slope,
}

impl Plane {
    /// Its height at a place.
    ///
    /// # Units
    /// As [`Spot`]: forward and to the left are +.
    #[must_use]
    pub fn height_at(&self, along: Length, across: Length) -> Length {
        let rise = along.si() * self.along.si().tan() + across.si() * self.across.si().tan();
        Length::of_si(self.offset.si() + rise)
    }
}

/// The plane that fits best, and how the points lie about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// The plane.
    pub plane: Plane,
    /// Root of the mean of the squares of what the points are off it.
    pub rms: Length,
    /// What the worst point is off it, without a sign.
    pub largest: Length,
    /// Which point that is, from 0; none with four points, since there the readings
    /// have no say in it.
    pub worst: Option<usize>,
    /// How far the corners of the rectangle about the points are up and down in turn;
    /// + where front left and rear right are higher. None where the places can't show it.
    pub twist: Option<Length>,
}

/// The plane with the least squares of heights off it, through three points or more.
///
/// Twist is the share of along × across in the best fit that has it too, at the
/// corner of the rectangle about all points; for four corners of a rectangle that is
/// (rear right − front right − rear left + front left) / 4.
///
/// # Errors
/// `across`: the points lie on one line, or nearly; `along` where that line runs across.
///
/// # Source
/// Least squares, our derivation.
pub fn fit_plane(spots: &[Spot]) -> Result<Fit, Snag> {
    let layout = Layout::of(spots)?;
    let flat = layout.flat(spots, |spot| spot.height.si());
    let (mut squares, mut largest, mut worst) = (0.0, 0.0_f64, None);
    for (at, spot) in spots.iter().enumerate() {
        let off = flat.off(&layout, spot, spot.height.si()).abs();
        squares += off * off;
        if off > largest {
            (largest, worst) = (off, Some(at));
        }
    }
    let count = spots.len() as f64;
    Ok(Fit {
        plane: Plane {
            offset: Length::of_si(flat.mean - flat.along * layout.x - flat.across * layout.y),
            along: Slope(Angle::of_si(flat.along.atan())),
            across: Slope(Angle::of_si(flat.across.atan())),
        },
        rms: Length::of_si((squares / count).sqrt()),
        largest: Length::of_si(largest),
        worst: worst.filter(|_| spots.len() > 4),
        twist: layout.twist(spots).map(Length::of_si),
    })
}

/// How far each of four points is over the plane of the other three.
///
/// # Errors
/// `across`: three of the points lie on one line, or nearly; `along` where that line
/// runs across.
///
/// # Source
/// Our derivation.
pub fn off_the_others(spots: &[Spot; 4]) -> Result<[Length; 4], Snag> {
    let [a, b, c, d] = *spots;
    Ok([
        over_three(a, [b, c, d])?,
        over_three(b, [a, c, d])?,
        over_three(c, [a, b, d])?,
        over_three(d, [a, b, c])?,
    ])
}

fn over_three(point: Spot, [p, q, r]: [Spot; 3]) -> Result<Length, Snag> {
    let (x, y, z) = p.xyz();
    let from_p = |spot: Spot| {
        let (sx, sy, sz) = spot.xyz();
        (sx - x, sy - y, sz - z)
    };
    let (u, v, w) = (from_p(q), from_p(r), from_p(point));
    let turn = u.0 * v.1 - u.1 * v.0;
    let size = u.0 * u.0 + u.1 * u.1 + v.0 * v.0 + v.1 * v.1;
    // Written so that a place that is no number is refused too.
    let wide = turn.abs() > NARROW.sqrt() * size;
    if !wide {
        return Err(Snag::new(
            lacking(&[p, q, r]),
            "three of the points lie on one line, or nearly; take them under the four wheels",
        ));
    }
    let (to_q, to_r) = (
        (w.0 * v.1 - w.1 * v.0) / turn,
        (u.0 * w.1 - u.1 * w.0) / turn,
    );
    Ok(Length::of_si(w.2 - to_q * u.2 - to_r * v.2))
}

/// What a reading is over a plane: nothing for a point of that plane.
///
/// # Units
/// + where the floor is higher than the plane.
#[must_use]
pub fn over_plane(spot: Spot, plane: Plane) -> Length {
    spot.height - plane.height_at(spot.along, spot.across)
}

/// A row of the flatness table of DIN 18202.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlatnessRow {
    /// Floors that get a covering yet (from memory).
    Two,
    /// Finished floors.
    Three,
    /// Finished floors with raised demands.
    Four,
}

/// Measuring distances of the table, m.
const DISTANCES: [f64; 5] = [0.1, 1.0, 4.0, 10.0, 15.0];

impl FlatnessRow {
    /// Sag at each of the distances, mm.
    ///
    /// # Source
    /// DIN 18202 Table 3 (read in two public copies).
    const fn sags(self) -> [f64; 5] {
        match self {
            Self::Two => [5.0, 8.0, 12.0, 15.0, 20.0],
            Self::Three => [2.0, 4.0, 10.0, 12.0, 15.0],
            Self::Four => [1.0, 3.0, 9.0, 12.0, 15.0],
        }
    }
}

/// The sag that a row allows over a measuring distance, unrounded.
///
/// Shorter and longer than the table it stays at the table's ends; the entries
/// refuse such distances.
///
/// # Source
/// DIN 18202 Table 3, between its columns in a straight line (read in public copies).
#[must_use]
pub fn flatness_limit(row: FlatnessRow, distance: Length) -> Length {
    let (d, sags) = (distance.si(), row.sags());
    let mut limit_mm = f64::NAN;
    let columns = DISTANCES.iter().zip(DISTANCES.iter().skip(1));
    for ((from, to), (low, high)) in columns.zip(sags.iter().zip(sags.iter().skip(1))) {
        if d >= *from || limit_mm.is_nan() {
            let share = ((d - from) / (to - from)).clamp(0.0, 1.0);
            limit_mm = low + share * (high - low);
        }
    }
    Length::of_si(limit_mm * 1e-3)
}

/// A limit in whole millimetres, halves upwards, as tables print it.
#[must_use]
pub fn whole_millimetres(limit: Length) -> Length {
    // What binary numbers make of a half must not take it down.
    let mm = limit.si() * 1e3;
    Length::of_si((mm + 0.5 + 1e-9).floor() * 1e-3)
}

/// How far the middle of three heights is over the line through its neighbours.
///
/// # Units
/// + is a hump, − a hollow.
///
/// # Source
/// Practice with DIN 18202 (read in public copies): middle less mean of the neighbours.
#[must_use]
pub fn sag(before: Length, middle: Length, after: Length) -> Length {
    middle - (before + after) / 2.0
}

/// Slope of a floor from two heights.
///
/// # Units
/// + where the second is higher.
#[must_use]
pub fn slope_between(first: Length, second: Length, distance: Length) -> Slope {
    Slope(Angle::of_si(
        ((second.si() - first.si()) / distance.si()).atan(),
    ))
}

/// Where the places lie, whatever is read there.
struct Layout {
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
    /// Length times width of the rectangle about them.
    box_area: f64,
    count: f64,
}

/// Best straight dependence of some value on the place.
struct Flat {
    mean: f64,
    along: f64,
    across: f64,
}

impl Flat {
    fn off(&self, layout: &Layout, spot: &Spot, value: f64) -> f64 {
        let (x, y) = layout.centred(spot);
        value - self.mean - self.along * x - self.across * y
    }
}

impl Layout {
    fn of(spots: &[Spot]) -> Result<Self, Snag> {
        let count = spots.len() as f64;
        let mean = |part: fn(&Spot) -> f64| spots.iter().map(part).sum::<f64>() / count;
        let mut it = Self {
            x: mean(|s| s.along.si()),
            y: mean(|s| s.across.si()),
            xx: 0.0,
            yy: 0.0,
            xy: 0.0,
            box_area: extent(spots, |s| s.along.si()) * extent(spots, |s| s.across.si()),
            count,
        };
        for spot in spots {
            let (x, y) = it.centred(spot);
            it.xx += x * x;
            it.yy += y * y;
            it.xy += x * y;
        }
        // The smaller spread of the points over the larger, in any direction.
        let wide = it.turn() > NARROW * (it.xx + it.yy).powi(2);
        if wide {
            Ok(it)
        } else {
            Err(Snag::new(
                lacking(spots),
                "the points lie on one line, or nearly; take some to the side of it",
            ))
        }
    }

    fn turn(&self) -> f64 {
        self.xx * self.yy - self.xy * self.xy
    }

    fn centred(&self, spot: &Spot) -> (f64, f64) {
        (spot.along.si() - self.x, spot.across.si() - self.y)
    }

    fn flat(&self, spots: &[Spot], value: impl Fn(&Spot) -> f64) -> Flat {
        let mean = spots.iter().map(&value).sum::<f64>() / self.count;
        let (mut xv, mut yv) = (0.0, 0.0);
        for spot in spots {
            let (x, y) = self.centred(spot);
            let over = value(spot) - mean;
            xv += x * over;
            yv += y * over;
        }
        Flat {
            mean,
            along: (xv * self.yy - yv * self.xy) / self.turn(),
            across: (yv * self.xx - xv * self.xy) / self.turn(),
        }
    }

    /// The share of along × across that no plane has, at the corner of the box.
    fn twist(&self, spots: &[Spot]) -> Option<f64> {
        let product = |spot: &Spot| {
            let (x, y) = self.centred(spot);
            x * y
        };
        let flat = self.flat(spots, product);
        let (mut with_height, mut squares) = (0.0, 0.0);
        for spot in spots {
            let off = flat.off(self, spot, product(spot));
            with_height += off * spot.height.si();
            squares += off * off;
        }
        // Three points, or four as a diamond, say nothing of a twist.
        let shown = squares > 1e-3 * self.xx * self.yy / self.count;
        shown.then(|| with_height / squares * self.box_area / 4.0)
    }
}

/// Which places points on one line should have more of.
fn lacking(spots: &[Spot]) -> &'static str {
    let along = extent(spots, |s| s.along.si());
    let across = extent(spots, |s| s.across.si());
    if along <= NARROW.sqrt() * across {
        "along"
    } else {
        "across"
    }
}

fn extent(spots: &[Spot], part: fn(&Spot) -> f64) -> f64 {
    let ends = (f64::INFINITY, f64::NEG_INFINITY);
    let (low, high) = spots
        .iter()
        .map(part)
        .fold(ends, |(low, high), v| (low.min(v), high.max(v)));
    high - low
}

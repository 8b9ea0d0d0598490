//! The floor under the wheels from above, front at the top, left on the left: how
//! high each place is over the lowest, how the floor slopes, what is off its plane.

use super::{Canvas, WIDTH};
use crate::screen::text::wrap;

/// Rows of the plan.
const HEIGHT: usize = 9;

/// Nearer than this fore and aft, places stand on one axle.
const ONE_AXLE_M: f64 = 0.4;

/// Columns of the leftmost and the rightmost place.
const LEFT: usize = 5;
const RIGHT: usize = WIDTH - 6;

/// One reading.
pub(super) struct Spot {
    /// + is forward.
    pub(super) along_m: f64,
    /// + is to the left.
    pub(super) across_m: f64,
    /// Over the lowest reading.
    pub(super) over_lowest_mm: f64,
}

/// The floor.
pub(super) struct Floor {
    /// Readings.
    pub(super) spots: Vec<Spot>,
    /// + is higher at the front.
    pub(super) along_mm_per_m: Option<f64>,
    /// + is higher on the left.
    pub(super) across_mm_per_m: Option<f64>,
    /// + where front left and rear right are higher.
    pub(super) twist_mm: Option<f64>,
    /// The reading that is farthest off the plane.
    pub(super) worst: Option<usize>,
    /// How far the farthest is off the plane.
    pub(super) worst_mm: Option<f64>,
    /// How far one of four wheels is off the plane of the others.
    pub(super) wheel_off_mm: Option<f64>,
}

impl Floor {
    /// The picture.
    pub(super) fn rows(&self) -> Vec<String> {
        let mut rows = vec!["FLOOR, mm over its lowest place".to_owned()];
        let mut canvas = Canvas::new(HEIGHT);
        let places: Vec<(usize, usize)> = self.spots.iter().map(|s| self.place(s)).collect();
        self.axles(&mut canvas, &places);
        for (n, (spot, (column, row))) in self.spots.iter().zip(&places).enumerate() {
            canvas.set(*column, *row, '█');
            let mark = if self.worst == Some(n) { "!" } else { "" };
            let said = format!("{:.1}{mark}", spot.over_lowest_mm);
            canvas.text(column.saturating_sub(1), row + 1, &said);
        }
        canvas.text(WIDTH / 2 - 3, 0, "front");
        rows.extend(canvas.rows());
        for said in self.words() {
            rows.extend(wrap(&said, WIDTH));
        }
        rows
    }

    /// Column and row of a place.
    fn place(&self, spot: &Spot) -> (usize, usize) {
        let share = |of: fn(&Spot) -> f64, at: f64| {
            let high = self.spots.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
            let low = self.spots.iter().map(of).fold(f64::INFINITY, f64::min);
            if high > low {
                (high - at) / (high - low)
            } else {
                0.5
            }
        };
        let across = share(|s| s.across_m, spot.across_m);
        let along = share(|s| s.along_m, spot.along_m);
        let column = LEFT as f64 + across * (RIGHT - LEFT) as f64;
        let row = 1.0 + along * (HEIGHT - 3) as f64;
        (column.round() as usize, row.round() as usize)
    }

    /// A line from wheel to wheel, and the frame between the axles.
    fn axles(&self, canvas: &mut Canvas, places: &[(usize, usize)]) {
        for (n, spot) in self.spots.iter().enumerate() {
            for (m, other) in self.spots.iter().enumerate().skip(n + 1) {
                let together = (spot.along_m - other.along_m).abs() < ONE_AXLE_M;
                let (Some((from, row)), Some((to, other_row))) = (places.get(n), places.get(m))
                else {
                    continue;
                };
                if !together || row != other_row {
                    continue;
                }
                for at in *from.min(to)..=*from.max(to) {
                    canvas.set(at, *row, '─');
                }
            }
        }
        let rows = places.iter().map(|(_, row)| *row);
        let (top, bottom) = (rows.clone().min(), rows.max());
        for row in top.unwrap_or(0)..=bottom.unwrap_or(0) {
            for column in [WIDTH / 2 - 4, WIDTH / 2 + 3] {
                let crossed = canvas.get(column, row) == Some('─');
                canvas.set(column, row, if crossed { '┼' } else { '│' });
            }
        }
    }

    fn words(&self) -> Vec<String> {
        let slope = |value: Option<f64>, up: &str, down: &str| {
            value.map(|v| match tenths(v) {
                0.0 => format!("level between {up} and {down}"),
                t if t > 0.0 => format!("up to the {up} {t:.1} mm/m"),
                t => format!("up to the {down} {:.1} mm/m", -t),
            })
        };
        let twist = self.twist_mm.map(|v| match tenths(v) {
            0.0 => "no twist".to_owned(),
            t if t > 0.0 => format!("twist {t:.1} mm, front left and rear right up"),
            t => format!("twist {:.1} mm, front right and rear left up", -t),
        });
        let off = self.worst_mm.map(|mm| {
            let mark = if self.worst.is_some() { "! " } else { "" };
            format!("{mark}farthest off the plane: {mm:.1} mm")
        });
        let wheel = self
            .wheel_off_mm
            .map(|mm| format!("one wheel off the others: {:.1} mm", mm.abs()));
        [
            slope(self.along_mm_per_m, "front", "rear"),
            slope(self.across_mm_per_m, "left", "right"),
            twist,
            off,
            wheel,
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// As it is shown, so that what reads as nothing is called level; there is no −0.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::text::width;

    fn spot(along_m: f64, across_m: f64, over_lowest_mm: f64) -> Spot {
        Spot {
            along_m,
            across_m,
            over_lowest_mm,
        }
    }

    fn shown(floor: &Floor) -> String {
        let rows = floor.rows();
        assert!(rows.iter().all(|r| width(r) <= WIDTH), "{rows:?}");
        rows.join("\n")
    }

    #[test]
    fn four_wheels_stand_where_they_stand_on_the_truck_and_the_slopes_are_told() {
        // Rear axle first, as in the readings; the front is 3.7 m before it and
        // 4.4 mm higher on the mean: 1.2 mm/m.
        let floor = Floor {
            spots: vec![
                spot(0.0, 0.92, 1.0),
                spot(0.0, -0.92, 0.0),
                spot(3.7, 1.02, 6.0),
                spot(3.7, -1.02, 3.8),
            ],
            along_mm_per_m: Some(1.19),
            across_mm_per_m: Some(0.8),
            twist_mm: Some(0.3),
            worst: None,
            worst_mm: Some(0.3),
            wheel_off_mm: None,
        };
        insta::assert_snapshot!(shown(&floor));
    }

    #[test]
    fn the_worst_of_six_places_carries_a_mark() {
        let floor = Floor {
            spots: vec![
                spot(0.0, 0.92, 0.0),
                spot(0.0, -0.92, 0.2),
                spot(1.3, 0.92, 0.1),
                spot(1.3, -0.92, 4.0),
                spot(3.7, 1.02, 0.0),
                spot(3.7, -1.02, 0.1),
            ],
            along_mm_per_m: Some(-0.02),
            across_mm_per_m: Some(-0.7),
            twist_mm: Some(-0.04),
            worst: Some(3),
            worst_mm: Some(2.6),
            wheel_off_mm: None,
        };
        insta::assert_snapshot!(shown(&floor));
    }
}

//! What was watched over time, with the line through it where one was worked out.

use super::{Canvas, WIDTH};
use crate::screen::text::{clip, width};

/// Rows of the field.
const HEIGHT: usize = 7;

/// Marks of what is watched, first to last, and of points that fall together.
const MARKS: [char; 4] = ['●', '○', '■', '▲'];
const TOGETHER: char = '*';

/// One watched value.
pub(super) struct Watched {
    /// What it is.
    pub(super) title: String,
    /// Seconds from its first point, and values.
    pub(super) points: Vec<(f64, f64)>,
    /// How fast its line falls, in the values' unit a second.
    pub(super) rate: Option<f64>,
}

impl Watched {
    /// The line at a second: a line of least squares goes through the means.
    fn line(&self) -> Option<impl Fn(f64) -> f64 + use<>> {
        let rate = self.rate?;
        let count = self.points.len() as f64;
        let mean = |of: fn(&(f64, f64)) -> f64| self.points.iter().map(of).sum::<f64>() / count;
        let (second, value) = (mean(|p| p.0), mean(|p| p.1));
        (count > 1.0).then_some(move |at: f64| value - rate * (at - second))
    }
}

/// What was watched.
pub(super) struct Trace {
    /// The values' unit.
    unit: String,
    /// Decimals of the values.
    places: usize,
    /// Watched values, all of one unit.
    pub(super) watched: Vec<Watched>,
}

impl Trace {
    /// Nothing watched yet.
    pub(super) fn new(unit: String, places: usize) -> Self {
        Self {
            unit,
            places,
            watched: Vec::new(),
        }
    }

    /// The picture.
    pub(super) fn rows(&self) -> Vec<String> {
        let mut rows = vec![clip(&format!("WATCHED, {}", self.unit), WIDTH)];
        let points = || self.watched.iter().flat_map(|w| &w.points);
        let (Some((first, last)), Some((low, high))) =
            (span(points().map(|p| p.0)), span(points().map(|p| p.1)))
        else {
            return rows;
        };
        rows.extend(self.field((first, last), (low, high)));
        for (watched, mark) in self.watched.iter().zip(MARKS) {
            rows.push(clip(&format!("{mark} {}", watched.title), WIDTH));
            if let Some(rate) = watched.rate {
                let fall = rate * (last - first);
                let (way, size) = if fall < 0.0 {
                    ("rises", -fall)
                } else {
                    ("falls", fall)
                };
                let (places, unit) = (self.places + 1, &self.unit);
                let said = format!("  its line ··· {way} {size:.places$} {unit}");
                rows.push(clip(&said, WIDTH));
            }
        }
        rows
    }

    /// The field with its axes.
    fn field(&self, (first, last): (f64, f64), (low, high): (f64, f64)) -> Vec<String> {
        let value = |v: f64| format!("{v:.0$}", self.places);
        let (bottom, top) = (value(low), value(high));
        let edge = width(&bottom).max(width(&top)) + 1;
        let cells = WIDTH - edge - 1;
        let column = |at: f64| {
            let share = if last > first {
                (at - first) / (last - first)
            } else {
                0.0
            };
            edge + 1 + (share * (cells - 1) as f64).round() as usize
        };
        let row = |v: f64| {
            let share = if high > low {
                (high - v) / (high - low)
            } else {
                0.5
            };
            let row = (share * (HEIGHT - 1) as f64).round();
            (row >= 0.0 && row < HEIGHT as f64).then_some(row as usize)
        };
        let mut canvas = Canvas::new(HEIGHT + 2);
        for at in 0..HEIGHT {
            canvas.set(edge, at, '│');
        }
        self.draw(&mut canvas, (first, last), &column, &row);
        if high > low {
            canvas.text(0, 0, &top);
            canvas.set(edge, 0, '┤');
            canvas.text(0, HEIGHT - 1, &bottom);
            canvas.set(edge, HEIGHT - 1, '┤');
        } else {
            canvas.text(0, HEIGHT / 2, &top);
            canvas.set(edge, HEIGHT / 2, '┤');
        }
        canvas.set(edge, HEIGHT, '└');
        for at in edge + 1..WIDTH {
            canvas.set(at, HEIGHT, '─');
        }
        canvas.text(edge + 1, HEIGHT + 1, &time(first));
        if last > first {
            canvas.text(WIDTH, HEIGHT + 1, &time(last));
        }
        canvas.rows()
    }

    fn draw(
        &self,
        canvas: &mut Canvas,
        (first, last): (f64, f64),
        column: &impl Fn(f64) -> usize,
        row: &impl Fn(f64) -> Option<usize>,
    ) {
        let (from, to) = (column(first), column(last));
        for line in self.watched.iter().filter_map(Watched::line) {
            for at in from..=to {
                let share = (at - from) as f64 / (to - from).max(1) as f64;
                if let Some(row) = row(line(first + share * (last - first))) {
                    canvas.set(at, row, '·');
                }
            }
        }
        for (watched, mark) in self.watched.iter().zip(MARKS) {
            for (second, value) in &watched.points {
                let Some(row) = row(*value) else {
                    continue;
                };
                let at = column(*second);
                let taken = canvas
                    .get(at, row)
                    .is_some_and(|c| c == TOGETHER || (c != mark && MARKS.contains(&c)));
                canvas.set(at, row, if taken { TOGETHER } else { mark });
            }
        }
    }
}

fn span(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |span, v| {
        let (low, high) = span.unwrap_or((v, v));
        Some((low.min(v), high.max(v)))
    })
}

fn time(seconds: f64) -> String {
    if seconds < 120.0 && seconds > 0.0 {
        format!("{seconds:.0} s")
    } else {
        let minutes = format!("{:.1}", seconds / 60.0);
        format!("{} min", minutes.trim_end_matches(".0"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn watched(title: &str, points: &[(f64, f64)], rate: Option<f64>) -> Watched {
        Watched {
            title: title.to_owned(),
            points: points.to_vec(),
            rate,
        }
    }

    fn shown(watched: Vec<Watched>) -> String {
        let trace = Trace {
            watched,
            ..Trace::new("bar".to_owned(), 2)
        };
        let rows = trace.rows();
        assert!(rows.iter().all(|r| width(r) <= WIDTH), "{rows:?}");
        rows.join("\n")
    }

    #[test]
    fn a_fall_goes_from_the_upper_left_to_the_lower_right_with_its_line() {
        // Least squares of these five points by hand: means 5 min and 1.276 bar, sums
        // about them 68 min² and −0.42 bar min, so 0.0062 bar a minute.
        let points = [
            (0.0, 1.30),
            (120.0, 1.30),
            (300.0, 1.28),
            (480.0, 1.26),
            (600.0, 1.24),
        ];
        let rate = 0.0062 / 60.0;
        insta::assert_snapshot!(shown(vec![watched("pressure, left", &points, Some(rate))]));
    }

    #[test]
    fn two_sides_stand_in_one_field_and_points_that_fall_together_say_so() {
        let left = [(0.0, 1.30), (300.0, 1.28), (600.0, 1.20)];
        let right = [(0.0, 1.30), (300.0, 1.29), (600.0, 1.29)];
        insta::assert_snapshot!(shown(vec![
            watched("pressure, left", &left, None),
            watched("pressure, right", &right, None),
        ]));
    }

    #[test]
    fn one_point_or_the_same_again_is_a_level_line_without_a_panic() {
        insta::assert_snapshot!(shown(vec![watched("left", &[(0.0, 1.3)], None)]));
        insta::assert_snapshot!(shown(vec![watched(
            "left",
            &[(0.0, 1.3), (60.0, 1.3)],
            None
        )]));
    }
}

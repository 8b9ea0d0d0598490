//! Samples, and the table that is printed of them.

use std::time::Duration;

/// Measured times.
#[derive(Debug, Clone, Default)]
pub(crate) struct Samples(Vec<Duration>);

impl Samples {
    pub(crate) fn take(&mut self, time: Duration) {
        self.0.push(time);
    }

    pub(crate) fn count(&self) -> usize {
        self.0.len()
    }

    /// The value below which this share of the samples lies (nearest rank).
    pub(crate) fn at(&self, share: f64) -> Duration {
        let mut sorted = self.0.clone();
        sorted.sort_unstable();
        let rank = (share * sorted.len() as f64).ceil() as usize;
        sorted
            .get(rank.saturating_sub(1))
            .copied()
            .unwrap_or_default()
    }

    pub(crate) fn median(&self) -> Duration {
        self.at(0.5)
    }
}

/// What became of an aim.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    Met,
    Missed,
    /// Told without an aim.
    Told,
}

impl Outcome {
    pub(crate) fn of(met: bool) -> Self {
        if met { Self::Met } else { Self::Missed }
    }
}

/// A line of the table.
#[derive(Debug, Clone)]
pub(crate) struct Figure {
    pub(crate) what: String,
    pub(crate) ours: String,
    pub(crate) against: String,
    pub(crate) ratio: String,
    pub(crate) aim: String,
    pub(crate) outcome: Outcome,
}

impl Figure {
    /// Two times side by side, with an aim that the caller has judged.
    pub(crate) fn times(
        what: impl Into<String>,
        (ours, theirs): (Duration, Duration),
        against: &str,
        aim: &str,
        met: bool,
    ) -> Self {
        Self {
            what: what.into(),
            ours: shown(ours),
            against: format!("{} {against}", shown(theirs)),
            ratio: ratio(ours, theirs),
            aim: aim.to_owned(),
            outcome: Outcome::of(met),
        }
    }

    /// The same line without an aim.
    pub(crate) fn told(mut self) -> Self {
        self.outcome = Outcome::Told;
        self.aim.clear();
        self
    }
}

/// How many times `theirs` fits into `ours`.
pub(crate) fn ratio(ours: Duration, theirs: Duration) -> String {
    format!("{:.2}", ours.as_secs_f64() / theirs.as_secs_f64())
}

/// A time with three figures.
pub(crate) fn shown(time: Duration) -> String {
    let us = time.as_secs_f64() * 1e6;
    match us {
        us if us < 1.0 => format!("{:.0} ns", us * 1e3),
        us if us < 100.0 => format!("{us:.1} µs"),
        us if us < 1e3 => format!("{us:.0} µs"),
        us if us < 1e5 => format!("{:.2} ms", us / 1e3),
        us if us < 1e6 => format!("{:.0} ms", us / 1e3),
        us => format!("{:.2} s", us / 1e6),
    }
}

/// Prints figures as a table.
pub(crate) fn print(title: &str, figures: &[Figure]) {
    println!("\n{title}");
    let rows: Vec<[String; 6]> = figures
        .iter()
        .map(|f| {
            let word = match f.outcome {
                Outcome::Met => "met",
                Outcome::Missed => "MISSED",
                Outcome::Told => "",
            };
            [
                f.what.clone(),
                f.ours.clone(),
                f.against.clone(),
                f.ratio.clone(),
                f.aim.clone(),
                word.to_owned(),
            ]
        })
        .collect();
    let head = ["figure", "measured", "against", "ratio", "aim", ""].map(str::to_owned);
    let mut width = [0; 6];
    for row in std::iter::once(&head).chain(&rows) {
        for (width, cell) in width.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    for row in std::iter::once(&head).chain(&rows) {
        let cells: Vec<String> = row
            .iter()
            .zip(width)
            .map(|(cell, width)| format!("{cell:<width$}"))
            .collect();
        println!("  {}", cells.join("  ").trim_end());
    }
}

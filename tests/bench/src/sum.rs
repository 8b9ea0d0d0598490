//! Every sum of the registry with its example, and the draws of the driveline,
//! against one sine and one arc cosine of the same run.

use std::hint::black_box;
use std::time::{Duration, Instant};

use levelhand::calc::{Given, Outcome, REGISTRY, Sum, find, like_kind, read_entry};

use crate::figure::{Figure, Outcome as Aim, shown};
use crate::{Programs, Wrong};

/// A closed form is to take less than this.
const CLOSED: Duration = Duration::from_micros(1);
/// The height band is to take less than this.
const BAND: Duration = Duration::from_micros(100);
/// So many draws of the driveline are to take less than `DRAWN`.
const DRAWS: usize = 100_000;
const DRAWN: Duration = Duration::from_millis(100);
/// Sums that work four heights out at once: as found, at ride height, at both stops.
const FOUR_HEIGHTS: [&str; 2] = ["driveline_found", "four_link_found"];
/// Sums that look for a band step by step.
const BANDS: [&str; 2] = ["height_band", "four_link_band"];

pub(crate) fn run(_programs: &Programs) -> Result<Vec<Figure>, Wrong> {
    let unit = median(|| {
        let angle = black_box(0.7_f64);
        black_box(angle.sin().acos());
    });
    let mut slowest: Option<(Duration, &str)> = None;
    let mut figures = Vec::new();
    for sum in REGISTRY {
        let given = example(sum)?;
        let ready = sum.ready(&given)?;
        let mut outcome = Outcome::default();
        let time = median(|| {
            black_box(ready.again(black_box(&mut outcome)));
        });
        println!("  {:<28} {}", sum.name, shown(time));
        if BANDS.contains(&sum.name) {
            figures.push(line(sum.name, time, unit, "100 µs", time < BAND));
        } else if FOUR_HEIGHTS.contains(&sum.name) {
            let aim = "1 µs a height, four";
            figures.push(line(sum.name, time, unit, aim, time < CLOSED * 4));
        } else if slowest.is_none_or(|(most, _)| time > most) {
            slowest = Some((time, sum.name));
        }
    }
    if let Some((time, name)) = slowest {
        let what = format!("slowest closed form, {name}");
        figures.push(line(&what, time, unit, "1 µs", time < CLOSED));
    }
    let sum = find("driveline_at_height").ok_or("there is no driveline_at_height")?;
    let given = example(sum)?;
    let mut best = Duration::MAX;
    for seed in 0..5 {
        let begun = Instant::now();
        black_box(sum.draw(&given, DRAWS, seed)?);
        best = best.min(begun.elapsed());
    }
    figures.push(line(
        "100,000 draws of the driveline",
        best,
        unit * DRAWS as u32,
        "0.1 s",
        best < DRAWN,
    ));
    Ok(figures)
}

fn line(what: &str, time: Duration, unit: Duration, aim: &str, met: bool) -> Figure {
    Figure {
        what: what.to_owned(),
        ours: shown(time),
        against: format!("{} sin and acos", shown(unit)),
        ratio: format!("{:.1}", time.as_secs_f64() / unit.as_secs_f64().max(1e-12)),
        aim: aim.to_owned(),
        outcome: Aim::of(met),
    }
}

/// Median time of one call, from batches that are long enough for the clock.
fn median(mut call: impl FnMut()) -> Duration {
    let mut batch = 1_u32;
    loop {
        let begun = Instant::now();
        (0..batch).for_each(|_| call());
        if begun.elapsed() > Duration::from_millis(2) {
            break;
        }
        batch = batch.saturating_mul(2);
    }
    let mut times: Vec<Duration> = (0..21)
        .map(|_| {
            let begun = Instant::now();
            (0..batch).for_each(|_| call());
            begun.elapsed() / batch
        })
        .collect();
    times.sort_unstable();
    times.get(10).copied().unwrap_or_default()
}

/// The inputs of a sum's example; where the example leaves them exact, each number
/// gets a spread for the draws.
fn example(sum: &'static Sum) -> Result<Vec<Option<Given>>, Wrong> {
    let mut given: Vec<Option<Given>> = Vec::new();
    for input in sum.inputs {
        let text = sum.example.iter().find(|(key, _)| *key == input.key);
        let like = like_kind(input, &given);
        given.push(match text {
            Some((_, text)) => Some(read_entry(input, text, like, None)?),
            None => None,
        });
    }
    Ok(given)
}

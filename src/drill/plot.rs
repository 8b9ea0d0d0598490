//! The trace as lines of text: height and pressures over the whole drill, steps marked.
//!
//! Must not know: the screen; colours.

use super::watch::Sample;
use crate::procedure::StepId;

/// Eighths of a cell, from nothing to full.
const EIGHTHS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// One band of the plot: its name, its least and most, and its samples.
struct Band {
    name: &'static str,
    unit: &'static str,
    decimals: usize,
    pick: fn(&Sample) -> f64,
}

const BANDS: [Band; 5] = [
    Band {
        name: "height, left",
        unit: "mm",
        decimals: 0,
        pick: |s| s.height[0] * 1000.0,
    },
    Band {
        name: "height, right",
        unit: "mm",
        decimals: 0,
        pick: |s| s.height[1] * 1000.0,
    },
    Band {
        name: "bellows, left",
        unit: "bar",
        decimals: 2,
        pick: |s| s.bar[0],
    },
    Band {
        name: "bellows, right",
        unit: "bar",
        decimals: 2,
        pick: |s| s.bar[1],
    },
    Band {
        name: "reservoir",
        unit: "bar",
        decimals: 1,
        pick: |s| s.reservoir,
    },
];

/// The plot, so many cells wide: a row a band, with its least and most, then the line on
/// which steps are marked, each with a letter, and the list of those letters.
pub fn plot(trace: &[Sample], steps: &[(u64, StepId)], width: usize) -> Vec<String> {
    const NAME: usize = 15;
    const FIGURES: usize = 17;
    let cells = width.saturating_sub(NAME + FIGURES + 2).max(10);
    let (Some(first), Some(last)) = (trace.first(), trace.last()) else {
        return vec!["No time went by.".to_owned()];
    };
    let whole = last.at_ms.saturating_sub(first.at_ms).max(1);
    let mut lines = Vec::new();
    for band in &BANDS {
        let values = trace.iter().map(band.pick);
        let least = values.clone().fold(f64::INFINITY, f64::min);
        let most = values.fold(f64::NEG_INFINITY, f64::max);
        let row = row(trace, band.pick, (first.at_ms, whole), (least, most), cells);
        let figures = format!("{least:.d$} to {most:.d$} {}", band.unit, d = band.decimals);
        lines.push(format!("{:NAME$}{row} {figures}", band.name));
    }
    lines.extend(marked(steps, first.at_ms, whole, cells, NAME));
    lines
}

fn row(
    trace: &[Sample],
    pick: fn(&Sample) -> f64,
    (from, whole): (u64, u64),
    (least, most): (f64, f64),
    cells: usize,
) -> String {
    let span = (most - least).max(1e-9);
    let mut sums = vec![(0.0_f64, 0_u32); cells];
    for sample in trace {
        let at = cell(sample.at_ms - from, whole, cells);
        if let Some((sum, n)) = sums.get_mut(at) {
            *sum += pick(sample);
            *n += 1;
        }
    }
    let mut before = 0.0;
    sums.into_iter()
        .map(|(sum, n)| {
            if n > 0 {
                before = (sum / f64::from(n) - least) / span;
            }
            let eighths = (before * 8.0).round().clamp(0.0, 8.0) as usize;
            EIGHTHS.get(eighths).copied().unwrap_or(' ')
        })
        .collect()
}

/// The cell of so many that an instant falls in.
fn cell(at: u64, whole: u64, cells: usize) -> usize {
    (u128::from(at) * u128::from(cells as u64) / u128::from(whole + 1)) as usize
}

/// The steps that took longest are marked: a letter each under the plot.
fn marked(
    steps: &[(u64, StepId)],
    from: u64,
    whole: u64,
    cells: usize,
    indent: usize,
) -> Vec<String> {
    const MOST: usize = 26;
    let end = from + whole;
    let ends = steps.iter().skip(1).map(|(at, _)| *at).chain([end]);
    let mut long: Vec<(u64, u64, &StepId)> = steps
        .iter()
        .zip(ends)
        .map(|((at, step), to)| (to.saturating_sub(*at), *at, step))
        .collect();
    long.sort_by_key(|(ms, ..)| std::cmp::Reverse(*ms));
    long.truncate(MOST.min(cells / 3));
    long.sort_by_key(|(_, at, _)| *at);
    let mut line = vec!['·'; cells];
    let mut names = Vec::new();
    for ((_, at, step), letter) in long.into_iter().zip('a'..='z') {
        let cell = cell(at.saturating_sub(from), whole, cells);
        if let Some(place) = line.get_mut(cell) {
            *place = letter;
        }
        names.push(format!("{letter} {step}"));
    }
    let mut lines = vec![format!(
        "{:indent$}{}",
        "",
        line.into_iter().collect::<String>()
    )];
    let room = cells + indent;
    let mut text = String::new();
    for name in names {
        if !text.is_empty() && text.len() + 2 + name.len() > room {
            lines.push(std::mem::take(&mut text));
        }
        if !text.is_empty() {
            text.push_str("  ");
        }
        text.push_str(&name);
    }
    if !text.is_empty() {
        lines.push(text);
    }
    lines
}

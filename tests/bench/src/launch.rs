//! From the start of the process to the first whole frame, and to the board with
//! its jobs, against the bare program; interleaved.

use std::path::Path;
use std::time::Duration;

use crate::figure::{Figure, Samples};
use crate::terminal::Terminal;
use crate::{Programs, Wrong, shop};

const RUNS: usize = 41;
const JOBS: u64 = 100;
const SIZE: (u16, u16) = (80, 24);

/// Words at the end of the board's key line, drawn last.
pub(crate) const BOARD: &str = "q leave";

pub(crate) fn run(programs: &Programs) -> Result<Vec<Figure>, Wrong> {
    let data = shop::scratch("launch")?;
    shop::fill(&data, JOBS, 0)?;
    let data = data.display().to_string();
    let (mut ours, mut theirs) = (Samples::default(), Samples::default());
    let mut listed = Samples::default();
    for _ in 0..RUNS {
        theirs.take(frame(&programs.bare, &[], &["waiting"])?[0]);
        let args = ["--data", data.as_str()];
        let times = frame(&programs.levelhand, &args, &[BOARD, "tractor BW-07"])?;
        ours.take(times[0]);
        listed.take(times[1]);
    }
    let (a, b) = (ours.median(), theirs.median());
    let met = a <= b * 2 || a <= b + Duration::from_millis(15);
    let with = listed.median();
    let met_with = with <= b * 2 || with <= b + Duration::from_millis(15);
    let aim = "2x or +15 ms";
    let bare = format!("bare frame, medians of {RUNS} each");
    Ok(vec![
        Figure::times("first frame", (a, b), &bare, aim, met),
        Figure::times("first frame, p90", (ours.at(0.9), theirs.at(0.9)), "p90", aim, met).told(),
        Figure::times("board with its jobs", (with, b), "bare frame", aim, met_with),
    ])
}

/// How long it takes until each of these words has been drawn.
fn frame(program: &Path, args: &[&str], words: &[&str]) -> Result<Vec<Duration>, Wrong> {
    let mut terminal = Terminal::start(program, args, SIZE)?;
    let begun = terminal.begun();
    let mut times = Vec::new();
    let mut last = begun;
    for word in words {
        last = last.max(terminal.until(word)?);
        times.push(last - begun);
    }
    terminal.press("q")?;
    terminal.settle(Duration::from_secs(2));
    Ok(times)
}

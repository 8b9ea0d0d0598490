//! Memory of the running program, as the system counts it.

use std::time::Duration;

use crate::figure::{Figure, Outcome};
use crate::launch::BOARD;
use crate::terminal::Terminal;
use crate::{Programs, Wrong, key, shop};

const SIZE: (u16, u16) = (80, 24);
const ENTRIES: u64 = 10_000;
const AIM_KB: u64 = 20 * 1024;

pub(crate) fn run(programs: &Programs) -> Result<Vec<Figure>, Wrong> {
    let mut bare = Terminal::start(&programs.bare, &[], SIZE)?;
    bare.until("waiting")?;
    bare.settle(Duration::from_millis(300));
    let (yard, _) = resident(bare.pid()?)?;
    drop(bare);
    let data = shop::scratch("memory_board")?;
    shop::fill(&data, 1, 0)?;
    let data = data.display().to_string();
    let mut board = Terminal::start(&programs.levelhand, &["--data", &data], SIZE)?;
    board.until(BOARD)?;
    board.settle(Duration::from_millis(300));
    let (on_board, _) = resident(board.pid()?)?;
    drop(board);
    let short = key::in_step(programs, "memory_short", 0, SIZE)?;
    let (short, _) = resident(short.pid()?)?;
    let long = key::in_step(programs, "memory_long", ENTRIES, SIZE)?;
    let (long, most) = resident(long.pid()?)?;
    let figure = |what: &str, kb: u64, outcome| Figure {
        what: what.to_owned(),
        ours: shown(kb),
        against: format!("bare {}", shown(yard)),
        ratio: format!("{:.2}", kb as f64 / yard as f64),
        aim: if outcome == Outcome::Told { "" } else { "< 20 MB" }.to_owned(),
        outcome,
    };
    let met = Outcome::of(long < AIM_KB);
    Ok(vec![
        figure("on the board", on_board, Outcome::Told),
        figure("a short job open", short, Outcome::Told),
        figure(&format!("a job of {ENTRIES} entries open"), long, met),
        figure("the most it took while opening it", most, Outcome::Told),
    ])
}

fn shown(kb: u64) -> String {
    format!("{:.1} MB", kb as f64 / 1024.0)
}

/// Memory now and at its peak, in kB (`VmRSS`, `VmHWM` of proc(5)).
fn resident(pid: u32) -> Result<(u64, u64), Wrong> {
    let status = std::fs::read_to_string(format!("/proc/{pid}/status"))?;
    let field = |key: &str| -> Result<u64, Wrong> {
        let line = status.lines().find_map(|l| l.strip_prefix(key));
        let figure = line.and_then(|l| l.split_whitespace().next());
        Ok(figure.ok_or("no such figure")?.parse()?)
    };
    Ok((field("VmRSS:")?, field("VmHWM:")?))
}

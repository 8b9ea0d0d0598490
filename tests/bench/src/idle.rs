//! What the program does while nothing happens: how often one of its threads is
//! woken, and how much of a processor it takes.

use std::time::Duration;

use crate::figure::{Figure, Outcome};
use crate::launch::BOARD;
use crate::terminal::Terminal;
use crate::{Programs, Wrong, key, shop};

const TIME: Duration = Duration::from_secs(5);
const SIZE: (u16, u16) = (80, 24);

pub(crate) fn run(programs: &Programs) -> Result<Vec<Figure>, Wrong> {
    let mut bare = Terminal::start(&programs.bare, &[], SIZE)?;
    bare.until("waiting")?;
    let yard = over(&mut bare)?;
    drop(bare);
    let data = shop::scratch("idle_board")?;
    shop::fill(&data, 20, 0)?;
    let data = data.display().to_string();
    let mut board = Terminal::start(&programs.levelhand, &["--data", &data], SIZE)?;
    board.until(BOARD)?;
    let on_board = over(&mut board)?;
    drop(board);
    let mut step = key::in_step(programs, "idle_step", 0, SIZE)?;
    let in_step = over(&mut step)?;
    Ok(vec![
        figure("on the board", on_board, yard),
        figure("in a step without timers", in_step, yard),
    ])
}

fn figure(what: &str, (wakes, ticks): (u64, u64), yard: (u64, u64)) -> Figure {
    let words = |(wakes, ticks): (u64, u64)| {
        format!("{wakes} wake-ups, {} ms of processor", ticks * 10)
    };
    Figure {
        what: what.to_owned(),
        ours: words((wakes, ticks)),
        against: format!("bare: {}", words(yard)),
        ratio: String::new(),
        aim: "0 and 0".to_owned(),
        outcome: Outcome::of(wakes == 0 && ticks == 0),
    }
}

/// Switches of all threads, wanted or not, and processor ticks of a hundredth of a
/// second, while nothing happens.
fn over(terminal: &mut Terminal) -> Result<(u64, u64), Wrong> {
    terminal.settle(Duration::from_secs(1));
    let pid = terminal.pid()?;
    let before = (switches(pid)?, ticks(pid)?);
    std::thread::sleep(TIME);
    let after = (switches(pid)?, ticks(pid)?);
    Ok((after.0 - before.0, after.1 - before.1))
}

fn switches(pid: u32) -> Result<u64, Wrong> {
    let mut sum = 0;
    for task in std::fs::read_dir(format!("/proc/{pid}/task"))? {
        let status = std::fs::read_to_string(task?.path().join("status"))?;
        for line in status.lines().filter(|l| l.contains("ctxt_switches")) {
            let count = line.rsplit(char::is_whitespace).next().unwrap_or("0");
            sum += count.parse::<u64>()?;
        }
    }
    Ok(sum)
}

/// Fields 14 and 15 of /proc/PID/stat (proc(5)), counted after the name in
/// brackets.
fn ticks(pid: u32) -> Result<u64, Wrong> {
    let stat = std::fs::read_to_string(format!("/proc/{pid}/stat"))?;
    let (_, rest) = stat.rsplit_once(')').ok_or("no stat")?;
    let fields: Vec<&str> = rest.split_whitespace().collect();
    let field = |n: usize| fields.get(n - 3).copied().unwrap_or("0").parse::<u64>();
    Ok(field(14)? + field(15)?)
}

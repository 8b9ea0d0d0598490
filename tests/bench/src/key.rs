//! From a key to the whole frame that it makes, through a pseudo-terminal.
//!
//! The keys of a round come back to where they began. A first round learns the
//! picture after each key; after that a key's frame is whole when its picture
//! stands there again, at the instant when its last bytes arrived. The bare
//! program and ours are pressed in turn, key by key, so that whatever else the
//! machine does hits both alike.

use std::time::Duration;

use crate::figure::{Figure, Outcome, Samples, ratio, shown};
use crate::launch::BOARD;
use crate::terminal::{Picture, Terminal, picture};
use crate::{Programs, Wrong, shop};

const SIZE: (u16, u16) = (200, 60);
const KEYS: usize = 1_200;
const AIM: Duration = Duration::from_millis(4);

/// Moves the focus down over three fields and up again.
const MOVES: [&str; 6] = ["\x1b[B", "\x1b[B", "\x1b[B", "\x1b[A", "\x1b[A", "\x1b[A"];
/// Types a reading and takes it back letter by letter.
const TYPES: [&str; 6] = ["8", ".", "4", "\x7f", "\x7f", "\x7f"];
/// The bare program redraws its last line.
const ANY: [&str; 2] = ["a", "b"];

pub(crate) fn run(programs: &Programs) -> Result<Vec<Figure>, Wrong> {
    let mut bare = Terminal::start(&programs.bare, &[], SIZE)?;
    bare.until("waiting")?;
    let mut terminal = in_step(programs, "key", 0, SIZE)?;
    let mut figures = Vec::new();
    for (what, keys) in [("focus moved", MOVES), ("typed, with live echo", TYPES)] {
        let mut yard = Round::learn(&mut bare, &ANY)?;
        let mut ours = Round::learn(&mut terminal, &keys)?;
        while ours.samples.count() < KEYS || yard.samples.count() < KEYS {
            yard.press(&mut bare)?;
            ours.press(&mut terminal)?;
        }
        let mut figure = told(what, &ours.samples, &yard.samples, ours.again);
        figure.outcome = Outcome::of(ours.samples.at(0.99) < AIM);
        figures.push(figure);
    }
    Ok(figures)
}

fn told(what: &str, samples: &Samples, yard: &Samples, again: usize) -> Figure {
    let (p50, p99) = (samples.at(0.5), samples.at(0.99));
    let lost = match again {
        0 => String::new(),
        again => format!(", {again} pictures learnt anew"),
    };
    Figure {
        what: format!("{what}, {} keys{lost}", samples.count()),
        ours: format!(
            "p50 {}, p99 {}, most {}",
            shown(p50),
            shown(p99),
            shown(samples.at(1.0))
        ),
        against: format!(
            "bare p50 {}, p99 {}",
            shown(yard.at(0.5)),
            shown(yard.at(0.99))
        ),
        ratio: format!(
            "p50 {}, p99 {}",
            ratio(p50, yard.at(0.5)),
            ratio(p99, yard.at(0.99))
        ),
        aim: "p99 < 4 ms".to_owned(),
        outcome: Outcome::Told,
    }
}

/// Keys pressed round after round in one program.
struct Round<'k> {
    keys: &'k [&'k str],
    /// What stands there after each key.
    pictures: Vec<Picture>,
    next: usize,
    samples: Samples,
    /// How often a picture had to be learnt anew.
    again: usize,
}

impl<'k> Round<'k> {
    /// Presses each key once and learns its picture.
    fn learn(terminal: &mut Terminal, keys: &'k [&'k str]) -> Result<Self, Wrong> {
        const QUIET: Duration = Duration::from_millis(120);
        terminal.settle(QUIET);
        // A notice of the moment before goes with the first keys.
        for key in keys {
            terminal.press(key)?;
            terminal.settle(QUIET);
        }
        let mut pictures: Vec<Picture> = Vec::new();
        for key in keys {
            terminal.press(key)?;
            terminal.settle(QUIET);
            let now = terminal.picture();
            if pictures.last() == Some(&now) {
                return Err(format!("{key:?} changes nothing:\n{}", terminal.text()).into());
            }
            pictures.push(now);
        }
        Ok(Self {
            keys,
            pictures,
            next: 0,
            samples: Samples::default(),
            again: 0,
        })
    }

    /// Presses the next key and waits for its picture.
    fn press(&mut self, terminal: &mut Terminal) -> Result<(), Wrong> {
        let at = self.next;
        self.next = (at + 1) % self.keys.len();
        let pressed = terminal.press(self.keys[at])?;
        let wanted = &mut self.pictures[at];
        match terminal.until_in(Duration::from_secs(1), |s| picture(s) == *wanted) {
            Some(arrived) => self.samples.take(arrived - pressed),
            None => {
                self.again += 1;
                *wanted = terminal.picture();
            }
        }
        if self.again > KEYS / 20 {
            return Err(format!("pictures do not come back:\n{}", terminal.text()).into());
        }
        Ok(())
    }
}

/// levelhand inside a job of that many entries, in a step with typed fields.
pub(crate) fn in_step(
    programs: &Programs,
    name: &str,
    entries: u64,
    size: (u16, u16),
) -> Result<Terminal, Wrong> {
    let data = shop::scratch(name)?;
    shop::fill(&data, 1, entries)?;
    let data = data.display().to_string();
    let mut terminal = Terminal::start(&programs.levelhand, &["--data", &data], size)?;
    terminal.until(BOARD)?;
    open(&mut terminal)?;
    Ok(terminal)
}

/// Opens the first job on the board, below the two procedures that can be started.
pub(crate) fn open(terminal: &mut Terminal) -> Result<(), Wrong> {
    terminal.until("tractor BW-07")?;
    terminal.settle(Duration::from_millis(200));
    for key in ["\x1b[B", "\x1b[B", "\r"] {
        terminal.press(key)?;
        terminal.settle(Duration::from_millis(100));
    }
    terminal.until("Enter accept")?;
    terminal.settle(Duration::from_millis(300));
    Ok(())
}

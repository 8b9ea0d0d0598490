//! A long journal read, its chain checked, understood and folded, against a JSON
//! library and a hash library going once over the same bytes.

use std::time::{Duration, Instant};

use levelhand::io::place::Place;
use levelhand::job::State;
use levelhand::journal::{Ledger, fold, read, understand};
use serde_json::Value;
use sha2::{Digest as _, Sha256};

use crate::figure::{Figure, Samples, shown};
use crate::{Programs, Wrong, shop};

const ENTRIES: u64 = 100_000;
const ROUNDS: usize = 5;

pub(crate) fn run(_: &Programs) -> Result<Vec<Figure>, Wrong> {
    let root = shop::scratch("replay")?;
    let setup = shop::setup()?;
    let place = Place::find(Some(root))?;
    let bytes = shop::job(&setup, &place, 1, ENTRIES)?
        .writer
        .confirmed(&shop::Unsynced)?
        .into_owned();
    let (mut ours, mut theirs) = (Samples::default(), Samples::default());
    let (mut reading, mut decided) = (Samples::default(), Samples::default());
    for _ in 0..ROUNDS {
        theirs.take(timed(|| plain(&bytes))?);
        let begun = Instant::now();
        let opened = read(&bytes).map_err(|damage| damage.to_string())?;
        reading.take(begun.elapsed());
        let mut state = State::default();
        for entry in &opened.entries {
            let told = understand(entry).map_err(|e| e.to_string())?;
            fold(&mut state, told.at, &told.events);
        }
        ours.take(begun.elapsed());
        let begun = Instant::now();
        let ledger =
            Ledger::open(&setup, &opened.entries, shop::PROGRAM).map_err(|e| e.to_string())?;
        decided.take(begun.elapsed());
        if !ledger.agreement.holds() || ledger.state != state {
            return Err("the journal made here does not agree with itself".into());
        }
    }
    println!(
        "replay: {} bytes a line, medians of {ROUNDS}; {} an entry",
        bytes.len() as u64 / ENTRIES,
        shown(ours.median() / ENTRIES as u32)
    );
    let yard = theirs.median();
    let against = "serde_json Value + sha2";
    let figure = |what: &str, samples: &Samples| {
        let time = samples.median();
        Figure::times(
            what,
            (time, yard),
            against,
            "1.5x",
            time <= yard.mul_f64(1.5),
        )
    };
    Ok(vec![
        figure("read, re-hash, understand, fold", &ours),
        figure("  of it read and re-hash", &reading).told(),
        figure("understand, decide again, fold", &decided).told(),
    ])
}

fn timed(work: impl FnOnce() -> Result<(), Wrong>) -> Result<Duration, Wrong> {
    let begun = Instant::now();
    work()?;
    Ok(begun.elapsed())
}

/// Each line parsed whole and its chain checked, and nothing else.
fn plain(bytes: &[u8]) -> Result<(), Wrong> {
    let mut last = "0".repeat(64);
    let mut count = 0;
    for line in bytes.split(|b| *b == b'\n').filter(|l| !l.is_empty()) {
        let value: Value = serde_json::from_slice(line)?;
        let body = line.get(..line.len() - 72).ok_or("a short line")?;
        let hash: String = Sha256::digest(body)
            .iter()
            .map(|b| format!("{b:02x}"))
            .collect();
        let is = |key: &str, wanted: &str| value.get(key).and_then(Value::as_str) == Some(wanted);
        if !is("prev", &last) || !is("h", &hash) {
            return Err("the chain does not hold".into());
        }
        last = hash;
        count += 1;
    }
    if count < ENTRIES {
        return Err("lines are missing".into());
    }
    Ok(())
}

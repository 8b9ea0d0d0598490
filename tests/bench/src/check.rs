//! The program started to look through the shipped main procedure.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use levelhand::document;
use levelhand::proof::prove;

use crate::figure::{Figure, Samples, shown};
use crate::{Programs, Wrong};

const RUNS: usize = 41;
const AIM: Duration = Duration::from_millis(30);

pub(crate) fn run(programs: &Programs) -> Result<Vec<Figure>, Wrong> {
    let main = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../procedures/ride_height.json");
    let main = main.display().to_string();
    let (mut ours, mut theirs) = (Samples::default(), Samples::default());
    let mut steps = 0;
    let bytes = std::fs::read(&main)?;
    let (mut reading, mut proving) = (Samples::default(), Samples::default());
    for _ in 0..RUNS {
        let begun = Instant::now();
        let loaded = document::procedure("main", &bytes);
        reading.take(begun.elapsed());
        let procedure = loaded.value.ok_or("the main procedure can't be read")?;
        let begun = Instant::now();
        let proof = prove(&procedure);
        proving.take(begun.elapsed());
        steps = proof.facts.counts()[0];
        theirs.take(once(&programs.levelhand, &["--version"])?);
        ours.take(once(&programs.levelhand, &["check", &main])?);
    }
    let (a, b) = (ours.median(), theirs.median());
    let against = format!("`--version`, medians of {RUNS}");
    println!(
        "check: {steps} steps; of it the document {}, the proof {}",
        shown(reading.median()),
        shown(proving.median())
    );
    Ok(vec![
        Figure::times("median", (a, b), &against, "30 ms", a <= AIM),
        Figure::times("p90", (ours.at(0.9), theirs.at(0.9)), "p90", "", true).told(),
    ])
}

fn once(program: &Path, args: &[&str]) -> Result<Duration, Wrong> {
    let mut command = Command::new(program);
    command.args(args).stdout(Stdio::null()).stderr(Stdio::null());
    let begun = Instant::now();
    let status = command.status()?;
    let time = begun.elapsed();
    // 1: something was found, which is the document's affair.
    match status.code() {
        Some(0 | 1) => Ok(time),
        code => Err(format!("{args:?} ended with {code:?}").into()),
    }
}

//! Figures of levelhand, each against something measured in the same run.
//!
//! `cargo run --release --manifest-path tests/bench/Cargo.toml -- [--levelhand PATH]
//! [NAME…]`: without a path the program is built first, in release, into this
//! package's own target directory; without names every bench is run. Nothing here
//! fails on a slow machine: an aim that is missed is printed as missed.

mod append;
mod check;
mod figure;
mod graph;
mod idle;
mod key;
mod launch;
mod memory;
mod replay;
mod rig;
mod shop;
#[expect(dead_code, reason = "the tests use more of it")]
#[path = "../../it/sketch.rs"]
mod sketch;
mod sum;
mod terminal;

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use figure::{Figure, Outcome};

/// What can go wrong with a bench; a slow figure is not among it.
type Wrong = Box<dyn std::error::Error + Send + Sync>;

/// The programs that are run.
struct Programs {
    levelhand: PathBuf,
    bare: PathBuf,
    count: PathBuf,
}

type Bench = fn(&Programs) -> Result<Vec<Figure>, Wrong>;

const BENCHES: [(&str, &str, Bench); 10] = [
    (
        "launch",
        "Launch to first frame, 80x24, 100 jobs on the disk",
        launch::run,
    ),
    (
        "key",
        "Key to painted frame, 200x60, keys that write nothing",
        key::run,
    ),
    ("idle", "Idle for 5 s", idle::run),
    ("memory", "Resident memory", memory::run),
    ("append", "Durable append", append::run),
    (
        "replay",
        "Replay and re-hash of 100,000 entries",
        replay::run,
    ),
    (
        "graph",
        "Proof of generated graphs, analysis alone",
        graph::run,
    ),
    (
        "check",
        "`check` of the shipped main procedure, with start-up",
        check::run,
    ),
    (
        "rig",
        "The simulated truck, on one core, by steps of 1 ms",
        rig::run,
    ),
    ("sum", "Sums of the registry, on one core", sum::run),
];

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(wrong) => {
            eprintln!("{wrong}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), Wrong> {
    let mut names = Vec::new();
    let mut given = None;
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--levelhand" => {
                let path = args.next().ok_or("--levelhand wants a path")?;
                given = Some(Path::new(&path).canonicalize()?);
            }
            name if BENCHES.iter().any(|(known, ..)| *known == name) => names.push(arg),
            other => {
                let known: Vec<&str> = BENCHES.iter().map(|(name, ..)| *name).collect();
                return Err(format!("no bench {other:?}; there are {}", known.join(", ")).into());
            }
        }
    }
    let programs = Programs {
        levelhand: given.map_or_else(build, Ok)?,
        bare: std::env::current_exe()?.with_file_name("bare"),
        count: std::env::current_exe()?.with_file_name("count"),
    };
    machine();
    let mut all = Vec::new();
    for (name, title, bench) in BENCHES {
        if names.is_empty() || names.iter().any(|wanted| wanted == name) {
            let figures = bench(&programs).map_err(|wrong| format!("{name}: {wrong}"))?;
            figure::print(title, &figures);
            all.extend(figures);
        }
    }
    let count = |outcome| all.iter().filter(|f| f.outcome == outcome).count();
    println!(
        "\n{} aims met, {} missed",
        count(Outcome::Met),
        count(Outcome::Missed)
    );
    Ok(())
}

/// Builds the program itself and the bare one.
fn build() -> Result<PathBuf, Wrong> {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let target = own.join("target");
    for manifest in [own.join("../../Cargo.toml"), own.join("Cargo.toml")] {
        let built = Command::new(env!("CARGO"))
            .args(["build", "--quiet", "--release", "--bins", "--locked"])
            .arg("--manifest-path")
            .arg(&manifest)
            .arg("--target-dir")
            .arg(&target)
            .status()?;
        if !built.success() {
            return Err(format!("{} does not build", manifest.display()).into());
        }
    }
    Ok(target.join("release/levelhand"))
}

/// Says on what the figures were measured.
fn machine() {
    let read = |path: &str| std::fs::read_to_string(path).unwrap_or_default();
    let line = |text: &str, key: &str| {
        let found = text.lines().find(|l| l.starts_with(key));
        let value = found.and_then(|l| l.split_once(':')).map(|(_, v)| v.trim());
        value.unwrap_or("unknown").to_owned()
    };
    let cores = std::thread::available_parallelism().map_or(0, usize::from);
    println!(
        "processor  {}, {cores} cores for us",
        line(&read("/proc/cpuinfo"), "model name")
    );
    println!("memory     {}", line(&read("/proc/meminfo"), "MemTotal"));
    println!(
        "system     {} {}",
        read("/proc/sys/kernel/ostype").trim(),
        read("/proc/sys/kernel/osrelease").trim()
    );
    println!("load       {}", read("/proc/loadavg").trim());
    println!("disk       {}", file_system(&read("/proc/mounts")));
    let profile = if cfg!(debug_assertions) {
        "DEBUG: these figures mean nothing"
    } else {
        "release, thin LTO"
    };
    println!("profile    {profile}");
}

/// The type of the file system that the benches write to.
fn file_system(mounts: &str) -> String {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let deepest = mounts
        .lines()
        .filter_map(|line| {
            let mut words = line.split(' ').skip(1);
            Some((words.next()?, words.next()?))
        })
        .filter(|(at, _)| here.starts_with(at))
        .max_by_key(|(at, _)| at.len());
    deepest.map_or_else(
        || "unknown".to_owned(),
        |(at, kind)| format!("{kind} at {at}"),
    )
}

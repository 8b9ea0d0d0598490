//! The rig by its own fixed steps, against the same equations through an adaptive
//! integrator of others at the same accuracy; and how often a step asks for memory.
//!
//! Truth is a third run, by that integrator with tolerances far below both.

use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use levelhand::document::{self, TimedRun};
use levelhand::finding::draw_all;
use levelhand::rig::{Inputs, Params, Rig, State, derivative};
use ode_solvers::{Dop853, OutputType, SVector, System};

use crate::figure::{Figure, Outcome, shown};
use crate::{Programs, Wrong};

/// How many times faster than a clock the rig is to be.
const AIM: f64 = 800.0;
/// Steps between two rows: ten rows a second, as gauges are shown.
const ROW: u64 = 100;
/// Tolerances of the run that is taken as true.
const TRUTH: f64 = 1e-12;
/// Longest step of that run, s.
const TRUTH_STEP: f64 = 5e-3;
/// How often each is run; the quickest counts.
const ROUNDS: usize = 5;
/// Steps between two pictures of a screen, sixty a second.
const PICTURE: u64 = 17;

type Vector = SVector<f64, 19>;
/// Steps from and to which the inputs stay the same.
type Piece = (u64, u64, Inputs);

pub(crate) fn run(programs: &Programs) -> Result<Vec<Figure>, Wrong> {
    let timed = timed()?;
    let pieces = pieces(&timed);
    let truth = adaptive(&timed, &pieces, TRUTH, TRUTH_STEP, true)?.1;
    let ours = fixed(&timed).1;
    let our_error = worst(&timed.rig.params, &ours, &truth);
    let (tolerance, theirs) = as_good(&timed, &pieces, &truth, our_error)?;
    let their_error = worst(&timed.rig.params, &theirs, &truth);
    let apart = worst(&timed.rig.params, &ours, &theirs);
    let our_time = quickest(|| {
        black_box(fixed(&timed));
        Ok(())
    })?;
    let adaptively = |pieces: &[Piece]| {
        quickest(|| {
            black_box(adaptive(&timed, pieces, tolerance, f64::MAX, false)?);
            Ok(())
        })
    };
    let at_once = adaptively(&pieces)?;
    let by_pictures = adaptively(&cut(&pieces))?;
    let against = format!("Dormand-Prince 8(5,3), tolerance {tolerance:.0e}");
    let line = |what: &str, time| Figure::times(what, (our_time, time), &against, "", true).told();
    Ok(vec![
        speed(&timed, our_time)?,
        line("the same job, adaptive, as accurate", at_once),
        line("and begun anew for each picture", by_pictures),
        told(
            "off the truth at 10 rows a second",
            our_error,
            Some(their_error),
        ),
        told("off each other", apart, None),
        memory(programs)?,
    ])
}

/// How many times as fast as a clock the rig is.
fn speed(timed: &TimedRun, time: Duration) -> Result<Figure, Wrong> {
    let seconds = timed.steps as f64 * Rig::STEP;
    let times = seconds / time.as_secs_f64();
    let a_step = shown(time / u32::try_from(timed.steps)?);
    Ok(Figure {
        what: format!("a job of {seconds} s, with gauges read"),
        ours: format!("{} ({a_step} a step)", shown(time)),
        against: "the clock".to_owned(),
        ratio: format!("{times:.0} times"),
        aim: format!("{AIM} times as fast"),
        outcome: Outcome::of(times >= AIM),
    })
}

/// Two errors, in mm and bar.
fn told(what: &str, ours: (f64, f64), theirs: Option<(f64, f64)>) -> Figure {
    let pair = |(mm, bar): (f64, f64)| format!("{mm:.1e} mm, {bar:.1e} bar");
    Figure {
        what: what.to_owned(),
        ours: pair(ours),
        against: theirs.map(pair).unwrap_or_default(),
        ratio: String::new(),
        aim: String::new(),
        outcome: Outcome::Told,
    }
}

/// The job that is run: raise, blocks, upper stop, bottom stop, levelled.
fn timed() -> Result<TimedRun, Wrong> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../rig/normal.json");
    let bytes = std::fs::read(&file)?;
    let loaded = document::timetable("normal.json", &bytes, &|_| None, None);
    let told = draw_all(&loaded.placed(), false);
    loaded.value.ok_or_else(|| told.into())
}

/// The job cut where the inputs change.
fn pieces(timed: &TimedRun) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    for step in 0..timed.steps {
        let inputs = timed.timetable.at(step);
        match pieces.last_mut() {
            Some((_, end, before)) if *before == inputs => *end = step + 1,
            _ => pieces.push((step, step + 1, inputs)),
        }
    }
    pieces
}

/// The same, cut besides wherever a picture is due: only then can a key have changed
/// the inputs.
fn cut(pieces: &[Piece]) -> Vec<Piece> {
    let mut cut = Vec::new();
    for (from, to, inputs) in pieces {
        let mut at = *from;
        while at < *to {
            let end = (at + PICTURE).min(*to);
            cut.push((at, end, *inputs));
            at = end;
        }
    }
    cut
}

/// The rig by itself: the sum of what its gauges showed, and its rows.
fn fixed(timed: &TimedRun) -> (f64, Vec<State>) {
    let mut rig = timed.rig.clone();
    let mut rows = Vec::with_capacity((timed.steps / ROW + 1) as usize);
    let mut shown = 0.0;
    rows.push(rig.state);
    while rig.steps() + ROW <= timed.steps {
        timed.timetable.play(&mut rig, ROW);
        let read = rig.readout();
        shown += read.gauge.iter().sum::<f64>() + read.counts;
        rows.push(rig.state);
    }
    (shown, rows)
}

/// The same equations for the integrator of others.
struct Equations<'a> {
    params: &'a Params,
    inputs: Inputs,
}

impl System<f64, Vector> for Equations<'_> {
    fn system(&self, _time: f64, state: &Vector, slope: &mut Vector) {
        let rates = derivative(self.params, &State(state.data.0[0]), &self.inputs);
        slope.copy_from_slice(&rates);
    }
}

/// The job by adaptive steps, begun anew at each change of the inputs: its last state,
/// and its rows where they are wanted.
fn adaptive(
    timed: &TimedRun,
    pieces: &[Piece],
    tolerance: f64,
    longest: f64,
    rows: bool,
) -> Result<(Vector, Vec<State>), Wrong> {
    let mut state = Vector::from(timed.rig.state.0);
    let mut told = vec![timed.rig.state];
    for (from, to, inputs) in pieces {
        let seconds = (to - from) as f64 * Rig::STEP;
        let solver = |out| {
            let equations = Equations {
                params: &timed.rig.params,
                inputs: *inputs,
            };
            let row = ROW as f64 * Rig::STEP;
            let h_max = longest.min(seconds);
            Dop853::from_param(
                equations, 0.0, seconds, row, state, tolerance, tolerance, 0.9, 0.0, 0.333, 6.0,
                h_max, 0.0, 10_000_000, 1_000_000, out,
            )
        };
        if rows {
            let mut dense = solver(OutputType::Dense);
            dense.integrate()?;
            // The first is where the piece begins; the last may be short by a rounding.
            let inner = ((to - from - 1) / ROW) as usize;
            let between = dense.y_out().iter().skip(1).take(inner);
            told.extend(between.map(|y| State(y.data.0[0])));
        }
        let mut sparse = solver(OutputType::Sparse);
        sparse.integrate()?;
        state = *sparse.y_out().last().ok_or("the integrator gave nothing")?;
        if rows {
            told.push(State(state.data.0[0]));
        }
    }
    Ok((state, told))
}

/// The most that two runs are apart in heights (mm) and pressures (bar).
fn worst(params: &Params, one: &[State], other: &[State]) -> (f64, f64) {
    assert_eq!(one.len(), other.len(), "rows of two runs");
    let mut most = (0.0_f64, 0.0_f64);
    for (one, other) in one.iter().zip(other) {
        let read = |state: &State| Rig::from_state(params.clone(), *state).readout();
        let (one, other) = (read(one), read(other));
        for (a, b) in one.height.iter().zip(other.height) {
            most.0 = most.0.max((a - b).abs() * 1e3);
        }
        let pressures = one.true_bar.iter().chain([&one.reservoir_bar]);
        let others = other.true_bar.iter().chain([&other.reservoir_bar]);
        for (a, b) in pressures.zip(others) {
            most.1 = most.1.max((a - b).abs());
        }
    }
    most
}

/// The loosest tolerance with which the adaptive run is as accurate as ours.
fn as_good(
    timed: &TimedRun,
    pieces: &[Piece],
    truth: &[State],
    ours: (f64, f64),
) -> Result<(f64, Vec<State>), Wrong> {
    let mut tolerance = 1e-4;
    while tolerance > TRUTH {
        let rows = adaptive(timed, pieces, tolerance, f64::MAX, true)?.1;
        let theirs = worst(&timed.rig.params, &rows, truth);
        if theirs.0 <= ours.0 && theirs.1 <= ours.1 {
            return Ok((tolerance, rows));
        }
        tolerance /= 10_f64.sqrt();
    }
    Err("no tolerance made the adaptive run as accurate".into())
}

/// The least time of some runs: time on the processor where the system tells it, so
/// that other programs don't count.
fn quickest(mut run: impl FnMut() -> Result<(), Wrong>) -> Result<Duration, Wrong> {
    let mut best = Duration::MAX;
    for _ in 0..ROUNDS {
        let (begun, worked) = (Instant::now(), on_processor());
        run()?;
        let time = match (worked, on_processor()) {
            (Some(before), Some(after)) if after > before => after - before,
            _ => begun.elapsed(),
        };
        best = best.min(time);
    }
    Ok(best)
}

/// How long this thread has had the processor.
fn on_processor() -> Option<Duration> {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let ns = told.split(' ').next()?.parse().ok()?;
    Some(Duration::from_nanos(ns))
}

/// How often steps and a readout ask for memory, as the counting program says.
fn memory(programs: &Programs) -> Result<Figure, Wrong> {
    let out = Command::new(&programs.count).output()?;
    let said = String::from_utf8(out.stdout)?;
    let counts: Vec<u64> = said
        .split_whitespace()
        .map(str::parse)
        .collect::<Result<_, _>>()?;
    let [steps, read, boxed] = counts[..] else {
        return Err(format!("the counting program said {said:?}").into());
    };
    if boxed != 1 {
        return Err("the counting program does not count".into());
    }
    Ok(Figure {
        what: "memory asked for in 10,000 steps, and in a readout".to_owned(),
        ours: format!("{steps} and {read} times"),
        against: String::new(),
        ratio: String::new(),
        aim: "never".to_owned(),
        outcome: Outcome::of(steps == 0 && read == 0),
    })
}

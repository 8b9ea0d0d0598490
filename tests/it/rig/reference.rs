//! Probes, whole jobs and stages, as a stiff implicit solver gave them.

use std::fs;
use std::path::Path;

use levelhand::document::{self, TimedRun};
use levelhand::finding::draw_all;
use levelhand::rig::{Inputs, Params, Rig, State, derivative};
use serde_json::Value;

use super::near;

/// The jobs that are held: each a timetable and a table of rows at 10 Hz.
pub(super) const JOBS: [&str; 4] = ["normal", "leak_left", "sensor_bent", "four_normal"];

fn text(file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rig");
    fs::read_to_string(path.join(file)).unwrap()
}

fn timed(job: &str) -> TimedRun {
    let file = format!("{job}.json");
    let loaded = document::timetable(&file, text(&file).as_bytes(), &|_| None, None);
    let told = draw_all(&loaded.placed(), false);
    loaded.value.unwrap_or_else(|| panic!("{told}"))
}

/// The rows of a reference, figures in the order of its columns.
pub(super) fn rows(text: &str) -> Vec<Vec<f64>> {
    let figures = |line: &str| line.split(',').map(|f| f.parse().unwrap()).collect();
    text.lines().skip(1).map(figures).collect()
}

pub(super) fn reference(job: &str) -> String {
    text(&format!("{job}.csv"))
}

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().unwrap();
    list.iter().map(|x| x.as_f64().unwrap()).collect()
}

fn probe_inputs(told: &Value) -> Inputs {
    let open = |key: &str| told[key].as_f64().unwrap() > 0.0;
    let metres = |key: &str| told[key].as_f64().unwrap();
    Inputs {
        raise: [open("sL"), open("sR")],
        lower: [open("eL"), open("eR")],
        feed: open("feed"),
        block: [metres("blL"), metres("blR")],
        ..Inputs::default()
    }
}

fn probe_params(probe: &Value) -> Params {
    let mut params = match probe["base"].as_str().unwrap() {
        "two_bellows" => Params::two_bellows(),
        "four_bellows" => Params::four_bellows(),
        other => panic!("no truck {other}"),
    };
    for (symbol, value) in probe["parameter_overrides"].as_object().unwrap() {
        let given = value
            .as_f64()
            .map_or_else(|| numbers(value), |one| vec![one]);
        params.numbers_mut(symbol).unwrap().copy_from_slice(&given);
    }
    params
}

/// Relative 1e-9, and 1e-9 of the unit where the value is under 1.
#[track_caller]
fn probed(what: &str, found: f64, wanted: f64) {
    near(what, found, wanted, 1e-9 * wanted.abs().max(1.0));
}

#[test]
fn at_every_probe_each_derivative_and_readout_is_as_worked_out_elsewhere() {
    let probes: Value = serde_json::from_str(&text("probes.json")).unwrap();
    let cases = probes["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 5);
    for case in cases {
        let note = case["note"].as_str().unwrap();
        let params = probe_params(case);
        let inputs = probe_inputs(&case["inputs"]);
        let state = State(numbers(&case["state"]).try_into().unwrap());
        let wanted = numbers(&case["derivative"]);
        let found = derivative(&params, &state, &inputs);
        assert_eq!(wanted.len(), found.len());
        for (place, (found, wanted)) in found.iter().zip(wanted).enumerate() {
            probed(&format!("{note}: derivative {place}"), *found, wanted);
        }
        let mut rig = Rig::from_state(params, state);
        rig.inputs = inputs;
        let read = rig.readout();
        for (key, found) in [
            ("sL", read.height[0]),
            ("sR", read.height[1]),
            ("fgL", read.floor[0]),
            ("fgR", read.floor[1]),
            ("gL", read.gauge[0]),
            ("gR", read.gauge[1]),
            ("gT", read.gauge[2]),
            ("pL", read.true_bar[0]),
            ("pR", read.true_bar[1]),
            ("TL", read.temperature[0]),
            ("TR", read.temperature[1]),
            ("FblL", read.block[0]),
            ("FblR", read.block[1]),
            ("cnt", read.counts),
        ] {
            let wanted = case["readouts"][key].as_f64().unwrap();
            probed(&format!("{note}: {key}"), found, wanted);
        }
    }
}

/// The readings of a row of the reference, in its order and units.
fn row(rig: &Rig) -> Vec<f64> {
    let read = rig.readout();
    let mm = |m: f64| m * 1e3;
    let mut row = vec![rig.time()];
    row.extend(read.height.map(mm));
    row.extend(read.floor.map(mm));
    row.extend(read.true_bar);
    row.extend(read.gauge);
    row.extend(read.temperature);
    row.push(read.counts);
    row
}

/// How far a row may be off: time, four lengths in mm, five pressures in bar, two
/// temperatures in K, counts.
pub(super) const ALLOWED: [f64; 13] = [
    1e-9, 5e-3, 5e-3, 5e-3, 5e-3, 5e-5, 5e-5, 5e-5, 5e-5, 5e-5, 5e-3, 5e-3, 1e-2,
];

#[test]
fn whole_jobs_come_out_as_the_stiff_solver_had_them_at_every_row() {
    for job in JOBS {
        let timed = timed(job);
        let mut rig = timed.begun();
        let rows = rows(&reference(job));
        assert_eq!(rows.len() as u64, timed.steps / 100 + 1, "{job}");
        let mut worst = 0.0_f64;
        for (place, wanted) in rows.iter().enumerate() {
            if place > 0 {
                timed.timetable.play(&mut rig, 100);
            }
            let found = row(&rig);
            assert_eq!(found.len(), wanted.len());
            for ((found, wanted), allowed) in found.iter().zip(wanted).zip(ALLOWED) {
                near(&format!("{job}, row {place}"), *found, *wanted, allowed);
            }
            worst = worst.max(rig.ledger_error());
        }
        assert!(worst <= 1e-12, "{job}: the ledger is off by {worst}");
    }
}

#[test]
fn at_each_stage_of_a_job_the_readings_are_those_of_the_table() {
    let told: Value = serde_json::from_str(&text("stages.json")).unwrap();
    for job in JOBS {
        let timed = timed(job);
        let mut rig = timed.begun();
        let mut peak = [0.0_f64; 2];
        let stages = told[job]["stages"].as_array().unwrap();
        assert!(stages.len() >= 6, "{job}");
        for stage in stages {
            let at = (stage["t"].as_f64().unwrap() / Rig::STEP).round() as u64;
            while rig.steps() < at {
                timed.timetable.play(&mut rig, 1);
                let [left, right, _] = rig.readout().gauge;
                peak = [peak[0].max(left), peak[1].max(right)];
            }
            let read = rig.readout();
            let name = stage["stage"].as_str().unwrap();
            for (key, found, within) in [
                ("sL_mm", read.height[0] * 1e3, 0.01),
                ("sR_mm", read.height[1] * 1e3, 0.01),
                ("fgL_mm", read.floor[0] * 1e3, 0.01),
                ("fgR_mm", read.floor[1] * 1e3, 0.01),
                ("gL_bar", read.gauge[0], 1e-4),
                ("gR_bar", read.gauge[1], 1e-4),
                ("gT_bar", read.gauge[2], 1e-4),
                ("TL_C", read.temperature[0], 0.01),
                ("counts", read.counts, 0.01),
                ("block_L_N", read.block[0], 2.0),
                ("block_R_N", read.block[1], 2.0),
            ] {
                let wanted = stage[key].as_f64().unwrap();
                near(&format!("{job}, {name}, {key}"), found, wanted, within);
            }
        }
        let highest = numbers(&told[job]["gauge_peak_bar"]);
        near(&format!("{job}: peak left"), peak[0], highest[0], 1e-3);
        near(&format!("{job}: peak right"), peak[1], highest[1], 1e-3);
    }
}

#[test]
fn a_rig_set_at_heights_and_left_to_settle_is_where_the_reference_runs_begin() {
    for job in JOBS {
        let begun = timed(job).begun();
        let mut rig = Rig::at_heights(begun.params.clone(), 0.197, 0.197);
        rig.settle(2.0);
        for (place, (found, wanted)) in rig.state.0.iter().zip(begun.state.0).enumerate() {
            let within = 2e-9 * wanted.abs().max(1.0);
            near(&format!("{job}: state {place}"), *found, wanted, within);
        }
    }
}

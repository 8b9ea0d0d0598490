//! Watches of a gauge that reads in steps, simulated and judged, against the times told.

use uom::si::f64::Pressure;

use super::*;
use crate::calc::tests::typed;
use crate::quantity::{Bound, Kind, Measured, Quantity, Rule, Unit, Verdict, drop_between, judge};

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} is not {expected} ± {tolerance}"
    );
}

/// A result in a unit.
fn value(sum: &'static Sum, inputs: &[(&str, &str)], key: &str, unit: Unit) -> f64 {
    let found = sum.evaluate(&typed(sum, inputs)).unwrap();
    let measured = found.value(sum.output(key).unwrap());
    let measured = measured.unwrap_or_else(|| panic!("no {key}"));
    measured.value().in_unit(unit).unwrap()
}

/// A guarded verdict on a fall that was read in steps, by the judge of the program.
fn verdict(first_pa: f64, last_pa: f64, step_pa: f64, limit_pa: f64) -> Verdict {
    let read = |pa: f64| {
        let kind = Kind::GaugePressure;
        let value = Quantity::from_si((pa / step_pa).round() * step_pa, kind).unwrap();
        let part = |si: f64| Quantity::from_si(si, kind.difference()).unwrap();
        Measured::of_parts(value, part(5e3), part(step_pa / 12_f64.sqrt())).unwrap()
    };
    let fall = drop_between(&read(first_pa), &read(last_pa)).unwrap();
    let limit = Quantity::from_si(limit_pa, Kind::PressureDifference).unwrap();
    judge(&fall, &Bound::AtMost(limit), Rule::Guarded)
        .unwrap()
        .verdict
}

/// How many of 2000 watches gave the verdict.
fn told(wanted: Verdict, step_pa: f64, rate: f64, limit_rate: f64, time_s: f64) -> usize {
    let mut random = fastrand::Rng::with_seed(5);
    (0..2000)
        .filter(|_| {
            let first = 1.3e5 + random.f64() * 10.0 * step_pa;
            let last = first - rate * time_s;
            verdict(first, last, step_pa, limit_rate * time_s) == wanted
        })
        .count()
}

#[test]
fn no_leak_is_proved_from_the_time_that_is_told_and_not_before() {
    for step_bar in [0.01, 0.02, 0.05] {
        let limit_rate = 5e3 / 600.0;
        let step = Pressure::of_si(step_bar * 1e5);
        let gap = PressureRate::of_si(limit_rate);
        let t = time_possible(step, gap).si();
        let told = |t| told(Verdict::Within, step.si(), 0.0, limit_rate, t);
        assert_eq!(told(t * 0.999), 0, "{step_bar}");
        assert_eq!(told(t * 1.001), 2000, "{step_bar}");
    }
}

#[test]
fn a_verdict_is_sure_from_the_time_that_is_told() {
    let limit_rate = 5e3 / 600.0;
    for (share, wanted) in [
        (0.3, Verdict::Within),
        (0.7, Verdict::Within),
        (1.4, Verdict::Outside),
        (3.0, Verdict::Outside),
    ] {
        let rate = share * limit_rate;
        let step = Pressure::of_si(2e3);
        let gap = PressureRate::of_si(limit_rate - rate);
        let sure = time_sure(step, gap).si();
        for longer in [1.0001, 1.1, 1.37, 2.0, 3.3] {
            let found = told(wanted, step.si(), rate, limit_rate, sure * longer);
            assert_eq!(found, 2000, "{share} {longer}");
        }
        // Never a wrong verdict, however short.
        let wrong = if wanted == Verdict::Within {
            Verdict::Outside
        } else {
            Verdict::Within
        };
        for shorter in [0.05, 0.3, 0.6, 0.9] {
            let found = told(wrong, step.si(), rate, limit_rate, sure * shorter);
            assert!(found < 100, "{share} {shorter}: {found}");
        }
    }
}

#[test]
fn at_the_possible_time_about_half_of_the_verdicts_come() {
    // Times spread over some steps of the gauge, so that the phase of the last reading is
    // as random as that of the first: then the fall is read right in the mean.
    let limit_rate = 5e3 / 600.0;
    let share = 0.9;
    let step = Pressure::of_si(2e3);
    let gap = PressureRate::of_si(limit_rate * (1.0 - share));
    let mean = |factor: f64| {
        let time = time_possible(step, gap).si() * factor;
        let steps = 40;
        let sum: usize = (0..steps)
            .map(|i| {
                // One step of fall more, spread evenly.
                let more =
                    step.si() / (share * limit_rate) * (f64::from(i) / f64::from(steps) - 0.5);
                told(
                    Verdict::Within,
                    step.si(),
                    share * limit_rate,
                    limit_rate,
                    time + more,
                )
            })
            .sum();
        sum as f64 / (2000.0 * f64::from(steps))
    };
    let (before, at, after) = (mean(0.6), mean(1.0), mean(1.6));
    assert!(before < 0.35 && after > 0.65, "{before} {at} {after}");
    near(at, 0.5, 0.1);
}

#[test]
fn the_watch_of_the_demo_sheet() {
    // 0.05 bar in 10 min, as the sheet has it. U by JCGM 100:2008 F.2.2.1: 2·√2·d/(2√3).
    let inputs = |step| [("step", step), ("limit", "0.05 bar"), ("over", "10 min")];
    for (step, minutes) in [
        ("0.02 bar", 10.0 * 0.4 * 0.816_497),
        ("0.05 bar", 10.0 * 0.816_497),
        ("0.2 bar", 40.0 * 0.816_497),
    ] {
        let found = value(&WATCH_TIME, &inputs(step), "possible", Unit::Minute);
        near(found, minutes, 1e-4);
    }
    let share = [inputs("0.02 bar").to_vec(), vec![("share", "50 %")]].concat();
    near(
        value(&WATCH_TIME, &share, "possible", Unit::Minute),
        2.0 * 10.0 * 0.4 * 0.816_497,
        1e-4,
    );
    let leak = [inputs("0.02 bar").to_vec(), vec![("leak", "0.001 bar/min")]].concat();
    near(
        value(&WATCH_TIME, &leak, "leak_sure", Unit::Minute),
        20.0 * 1.816_497,
        1e-3,
    );
    near(
        value(&WATCH_TIME, &leak, "provable", Unit::Bar),
        0.05 - 0.02 * 0.816_497,
        1e-6,
    );
}

#[test]
fn a_coarse_gauge_proves_nothing_and_says_so() {
    // U = 0.816 d: a step of 0.0612 bar leaves just what may fall, one of 0.0613 does not.
    let found = |step| {
        let inputs = [("step", step), ("limit", "0.05 bar"), ("over", "10 min")];
        let found = WATCH_TIME.evaluate(&typed(&WATCH_TIME, &inputs)).unwrap();
        let most = found.value(WATCH_TIME.output("provable").unwrap());
        let proof = found.text(WATCH_TIME.output("proof").unwrap()).unwrap();
        (most.map(|m| m.value().si()), proof.to_owned())
    };
    for step in ["0.02 bar", "0.0612 bar"] {
        let (most, proof) = found(step);
        assert!(most.unwrap() > 0.0 && proof == SOMETHING, "{step} {proof}");
    }
    for step in ["0.0613 bar", "0.2 bar"] {
        assert_eq!(found(step), (None, NOTHING.to_owned()), "{step}");
    }
}

//! Which shipped pressure limits ordinary shop gauges can prove.
//!
//! The table is printed for people who buy gauges. Its oracle is the arithmetic of
//! JCGM 100 (u² = a²/3 + d²/12, k = 2) and the guarded rule of ILAC-G8:09/2019
//! written out here once more, apart from the program's own.

use std::fmt::Write as _;

use levelhand::procedure::{BoundSpec as B, Limit, Subject};
use levelhand::quantity::{
    Bound, ErrorLimit, Kind, Metrology, Quantity, Rule, Unit, Verdict, judge,
};

use crate::screens::person::{rehearsal, setup};

/// A gauge from zero: full scale in bar, class, resolution in bar.
const GAUGES: [(f64, f64, f64); 5] = [
    (16.0, 1.6, 0.2),
    (10.0, 2.5, 0.2),
    (10.0, 1.6, 0.1),
    (10.0, 1.0, 0.05),
    (10.0, 0.6, 0.02),
];

fn bar(value: f64) -> Quantity {
    Quantity::new(value, Unit::Bar, Kind::GaugePressure).expect("a pressure")
}

fn gauge((full, class, step): (f64, f64, f64)) -> Metrology {
    let step = Quantity::new(step, Unit::Bar, Kind::PressureDifference).expect("a step");
    Metrology::new(bar(0.0), bar(full), ErrorLimit::Class(class), step).expect("a gauge")
}

/// U = 2 √(a²/3 + d²/12), in bar.
fn expanded((full, class, step): (f64, f64, f64)) -> f64 {
    let a = full * class / 100.0;
    2.0 * (a * a / 3.0 + step * step / 12.0).sqrt()
}

/// Every guarded limit on one gauge pressure in the main procedure, with the demo
/// sheet's values: its title and its bound in bar.
fn guarded() -> Vec<(String, Option<f64>, Option<f64>)> {
    let setup = setup(
        &rehearsal("rh_normal_bw_07"),
        levelhand::job::Mode::Practice,
    );
    let procedure = &setup.procedure;
    let mut found = Vec::new();
    for step in &procedure.steps {
        for Limit {
            subject,
            bound,
            rule,
            ..
        } in &step.limits
        {
            let Subject::Value(id) = subject else {
                continue;
            };
            let Some((title, Kind::GaugePressure)) = procedure.value(id) else {
                continue;
            };
            if *rule != Rule::Guarded {
                continue;
            }
            let side = |s| setup.side(s).expect("the demo sheet has it").si() / 1e5;
            let (low, high) = match bound {
                B::AtMost(a) => (None, Some(side(a))),
                B::AtLeast(a) => (Some(side(a)), None),
                B::Between(a, b) => (Some(side(a)), Some(side(b))),
                B::Near { target, within } => (
                    Some(side(target) - side(within)),
                    Some(side(target) + side(within)),
                ),
                B::DifferByAtMost(_) | B::AgeAtLeast(_) => continue,
            };
            let row = (title.to_owned(), low, high);
            if !found.contains(&row) {
                found.push(row);
            }
        }
    }
    found
}

#[test]
fn each_ordinary_gauge_proves_what_the_arithmetic_says_and_no_more() {
    let limits = guarded();
    assert!(
        limits.iter().any(|(_, _, high)| *high == Some(2.0)),
        "{limits:?}"
    );
    let mut table = String::from(
        "guarded limits on a gauge pressure, demo sheet BW-07; provable readings in bar\n",
    );
    for (title, low, high) in limits {
        let _ = writeln!(table, "\n{title}: {}", words(low, high));
        for made in GAUGES {
            let u = expanded(made);
            let from = low.map_or(0.0, |l| l + u);
            let to = high.map_or(made.0, |h| h - u).min(made.0);
            let metrology = gauge(made);
            for (at, wanted) in [
                (from + 0.001, true),
                (to - 0.001, true),
                (low.map_or(-1.0, |l| l + u - 0.002), low.is_none()),
                (high.map_or(-1.0, |h| h - u + 0.002), high.is_none()),
            ] {
                if from > to || at < 0.0 || at > made.0 {
                    continue;
                }
                let measured = metrology.reading(bar(at)).expect("a reading");
                let verdicts = [
                    low.map(|l| Bound::AtLeast(bar(l))),
                    high.map(|h| Bound::AtMost(bar(h))),
                ];
                let proved = verdicts.into_iter().flatten().all(|bound| {
                    let judged = judge(&measured, &bound, Rule::Guarded).expect("one kind");
                    judged.verdict == Verdict::Within
                });
                assert_eq!(proved, wanted, "{title} at {at} bar with {made:?}");
            }
            let (full, class, step) = made;
            let says = if from > to {
                "can prove nothing".to_owned()
            } else {
                format!("proves {from:.2} to {to:.2}")
            };
            let _ = writeln!(
                table,
                "  0-{full} bar, class {class}, read to {step}: U {u:.3}, {says}"
            );
        }
    }
    insta::with_settings!({ snapshot_path => "../told", prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("gauges", table);
    });
}

fn words(low: Option<f64>, high: Option<f64>) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("{low} to {high} bar"),
        (Some(low), None) => format!("at least {low} bar"),
        (None, Some(high)) => format!("at most {high} bar"),
        (None, None) => "no limit".to_owned(),
    }
}

#[test]
fn the_highest_readings_that_prove_two_bar_are_those_of_the_handbook_sum() {
    // Common practice figures: 1.68, 1.88 and 1.93 bar for class 1.6 0-16 (0.2),
    // class 1.0 0-10 (0.05), class 0.6 0-10 (0.02), by 2 - 2√(a²/3 + d²/12).
    for (made, wanted) in [(GAUGES[0], 1.68), (GAUGES[3], 1.88), (GAUGES[4], 1.93)] {
        let highest = levelhand::quantity::highest_provable(bar(2.0), &gauge(made))
            .expect("one kind")
            .expect("something");
        let shown = highest.show(Unit::Bar, 2);
        assert_eq!(shown, format!("{wanted:.2} bar"), "{made:?}");
    }
}

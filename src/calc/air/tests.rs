//! Air sums against published and computed values, and against the same physics
//! stepped through time.
//!
//! Confidence: C computed from the stated formula, R read in a public copy.

use uom::si::f64::{Length, Pressure, Ratio, ThermodynamicTemperature, Volume};

use super::*;
use crate::calc::amount::{AIR_OUTSIDE_PA, Absolute, Amount, Gauge};
use crate::calc::tests::{example, typed};
use crate::calc::{CalcError, Evaluation, find};

fn abs(bar: f64) -> Absolute {
    Absolute::of_si(bar * 1e5)
}

fn kelvin(kelvin: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::of_si(kelvin)
}

/// C in dm³/(s·bar).
fn valve(c: f64, b: f64) -> Valve {
    Valve {
        conductance: Conductance::of_si(c * 1e-8),
        critical: Ratio::of_si(b),
    }
}

fn near(found: f64, known: f64, tolerance: f64) {
    assert!((found - known).abs() <= tolerance, "{found} for {known}");
}

fn run(name: &str, pairs: &[(&str, &str)]) -> Result<Evaluation, CalcError> {
    let sum = find(name).unwrap();
    sum.evaluate(&typed(sum, pairs))
}

fn value(name: &str, found: &Evaluation, output: &str) -> f64 {
    let at = find(name).unwrap().output(output).unwrap();
    found.value(at).unwrap().value().si()
}

fn text(name: &str, found: &Evaluation, output: &str) -> &'static str {
    let at = find(name).unwrap().output(output).unwrap();
    found.text(at).unwrap()
}

#[test]
fn air_outside_gets_thinner_with_height() {
    // 9.17 (C): 500 m and 1000 m.
    for (height, known) in [(0.0, AIR_OUTSIDE_PA), (500.0, 95_461.0), (1000.0, 89_875.0)] {
        let found = outside_pressure(Length::of_si(height)).unwrap();
        near(found.si(), known, 1.0);
    }
    let found = run("outside_pressure", &[("height", "1000 m")]).unwrap();
    near(value("outside_pressure", &found, "outside"), 89_875.0, 1.0);
    let all: Vec<f64> = (-5..110)
        .map(|h| {
            outside_pressure(Length::of_si(f64::from(h) * 100.0))
                .unwrap()
                .si()
        })
        .collect();
    assert!(all.windows(2).all(|two| two[1] < two[0]));
    assert!(outside_pressure(Length::of_si(5e4)).is_err());
}

#[test]
fn air_thins_as_its_own_weight_says() {
    // dp/dh = −ρ g with ρ = p / (R T), T = 288.15 K − 6.5 K/km: the slope of the
    // closed form, to what its rounded constants allow.
    for height in [0.0, 500.0, 1500.0, 4000.0] {
        let p = |h: f64| outside_pressure(Length::of_si(h)).unwrap().si();
        let slope = (p(height + 1.0) - p(height - 1.0)) / 2.0;
        let density = p(height) / (287.053 * (288.15 - 0.0065 * height));
        near(slope / (-density * 9.806_65), 1.0, 2e-4);
    }
}

#[test]
fn a_gauge_reading_counts_from_the_air_outside() {
    let name = "absolute_pressure";
    let found = run(
        name,
        &[("pressure", "5 bar"), ("outside", "0.89875 bar abs")],
    )
    .unwrap();
    near(value(name, &found, "absolute"), 589_875.0, 1e-6);
    let found = run(name, &[("pressure", "5 bar")]).unwrap();
    near(value(name, &found, "absolute"), 601_325.0, 1e-6);
}

#[test]
fn locked_air_follows_absolute_temperature() {
    // 7.5 (C): 5 bar, 30 → 27 °C.
    let name = "cooled_air";
    let pairs = [
        ("pressure", "5.0 bar"),
        ("before", "30 °C"),
        ("after", "27 °C"),
    ];
    let found = run(name, &pairs).unwrap();
    near(value(name, &found, "pressure_after") / 1e5, 4.9405, 1e-4);
    near(value(name, &found, "drop") / 6_894.757_293, 0.863, 5e-4);
    let direct = locked_pressure(abs(6.013_25), kelvin(303.15), kelvin(300.15));
    near(direct.gauge().si() / 1e5, 4.9405, 1e-4);
    // The trap of 8.6 (R/C): gauge pressure in the ratio gives another number; the
    // types refuse it, and absolute pressure is no gauge pressure for the sum.
    let trap = 5.0 * 300.15 / 303.15;
    assert!((trap - direct.gauge().si() / 1e5).abs() > 5e-3);
    let input = find(name).unwrap().inputs[0];
    assert!(crate::calc::read_entry(&input, "6.01325 bar abs", None, None).is_err());
}

#[test]
fn cooling_can_look_like_a_leak() {
    // 8.4 (C): 3 psi at 6.01325 bar abs, 30 °C.
    let name = "cooled_air";
    let pairs = [
        ("pressure", "5.0 bar"),
        ("before", "30 °C"),
        ("after", "30 °C"),
        ("seen", "3 psi"),
    ];
    let found = run(name, &pairs).unwrap();
    near(value(name, &found, "cooling"), 10.43, 0.01);
    // It is the other sum turned round.
    for (bar, celsius, drop) in [(1.3, 20.0, 5e3), (5.0, 30.0, 20_684.0), (8.0, -10.0, 1e4)] {
        let before = kelvin(celsius + 273.15);
        let pressure = abs(bar + 1.013_25);
        let step = cooling_for_drop(pressure, before, Pressure::of_si(drop)).si();
        let after = locked_pressure(pressure, before, kelvin(before.si() - step));
        near(pressure.si() - after.si(), drop, 1e-6);
    }
}

#[test]
fn flow_through_a_valve_is_that_of_the_norm() {
    // 7.6, 7.8, 7.9 (C): C, b, pressures abs, temperature, flow in dm³/s.
    for (c, b, before, behind, t, known) in [
        (5.0, 0.30, 7.0, 5.0, 293.15, 28.212),
        (5.0, 0.30, 7.0, 6.5, 293.15, 15.403),
        (2.0, 0.35, 8.0, 6.0, 293.15, 12.612),
        (2.0, 0.35, 8.0, 6.0, 313.15, 12.202),
    ] {
        let flow = volume_flow(&valve(c, b), abs(before), abs(behind), kelvin(t)).unwrap();
        near(flow.si() * 1e3, known, 1e-3);
    }
    let name = "valve_flow";
    let found = run(
        name,
        &[
            ("conductance", "5 dm³/(s·bar)"),
            ("critical", "0.30"),
            ("before", "7 bar abs"),
            ("behind", "5 bar abs"),
            ("temperature", "20 °C"),
        ],
    )
    .unwrap();
    near(value(name, &found, "flow") * 1e3, 28.212, 1e-3);
    near(value(name, &found, "mass_flow"), 0.033_431, 1e-6);
    assert_eq!(text(name, &found, "speed"), "under the speed of sound");
}

#[test]
fn sonic_flow_does_not_ask_what_is_behind() {
    for b in [0.1, 0.3, 0.5] {
        let valve = valve(3.0, b);
        let flow = |behind: f64| {
            volume_flow(&valve, abs(8.0), abs(behind), kelvin(300.0))
                .unwrap()
                .si()
        };
        let full = flow(0.0);
        let edge = 8.0 * b;
        for share in [0.1, 0.5, 0.9, 0.999] {
            near(flow(edge * share), full, 0.0);
        }
        // Continuous at the critical ratio, falling from there, nothing at the end.
        near(flow(edge * (1.0 + 1e-6)) / full, 1.0, 1e-9);
        let all: Vec<f64> = (0..=50)
            .map(|i| flow(edge + (8.0 - edge) * f64::from(i) / 50.0))
            .collect();
        assert!(all.windows(2).all(|two| two[1] < two[0]));
        near(flow(8.0), 0.0, 0.0);
        // Before it, flow is in proportion to the pressure.
        let double = volume_flow(&valve, abs(16.0), abs(1.0), kelvin(300.0)).unwrap();
        near(double.si() / full, 2.0, 1e-12);
    }
}

#[test]
fn air_does_not_flow_uphill() {
    let snag = volume_flow(&valve(5.0, 0.3), abs(5.0), abs(5.1), kelvin(293.15)).unwrap_err();
    assert_eq!(snag.input, "behind");
    let pairs = |behind: &'static str| {
        [
            ("conductance", "5 dm³/(s·bar)"),
            ("critical", "0.30"),
            ("before", "5 bar abs"),
            ("behind", behind),
            ("temperature", "20 °C"),
        ]
    };
    let said = run("valve_flow", &pairs("5.1 bar abs"))
        .unwrap_err()
        .to_string();
    assert!(
        said.contains("from the higher pressure to the lower"),
        "{said}"
    );
    let found = run("valve_flow", &pairs("5 bar abs")).unwrap();
    assert_eq!(text("valve_flow", &found, "speed"), "nothing flows");
    near(value("valve_flow", &found, "flow"), 0.0, 0.0);
}

/// One case of filling or emptying, in SI.
struct Stepped {
    c: f64,
    b: f64,
    volume: f64,
    kelvin: f64,
}

impl Stepped {
    fn line(&self) -> Line {
        Line {
            valve: Valve {
                conductance: Conductance::of_si(self.c),
                critical: Ratio::of_si(self.b),
            },
            volume: Volume::of_si(self.volume),
            temperature: kelvin(self.kelvin),
        }
    }

    /// Mass flow by the norm, written anew: kg/s.
    fn mass_flow(&self, high: f64, low: f64) -> f64 {
        let ratio = low / high;
        let choked = self.c * 1.185 * high * (293.15 / self.kelvin).sqrt();
        if ratio < self.b {
            choked
        } else {
            let x = (ratio - self.b) / (1.0 - self.b);
            choked * ((1.0 - x) * (1.0 + x)).max(0.0).sqrt()
        }
    }

    /// Pressure gained in a second by a mass flow: R T m / V, R from the norm's air.
    fn rate(&self, mass_flow: f64) -> f64 {
        let gas = 1e5 / (1.185 * 293.15);
        mass_flow * gas * self.kelvin / self.volume
    }
}

/// Steps `dp/dt = f(p)` until the pressure passes the end; time in s.
fn until(from: f64, to: f64, step: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut p, mut time) = (from, 0.0);
    loop {
        let k1 = f(p);
        let k2 = f(p + step * k1 / 2.0);
        let k3 = f(p + step * k2 / 2.0);
        let k4 = f(p + step * k3);
        let gain = step * (k1 + 2.0 * k2 + 2.0 * k3 + k4) / 6.0;
        if (p + gain - to) * (to - from).signum() >= 0.0 {
            return time + step * (to - p) / gain;
        }
        p += gain;
        time += step;
        assert!(time < 1e4, "never there");
    }
}

#[test]
fn filling_takes_as_long_as_stepped_through_time() {
    let case = |c: f64, b, volume, kelvin| Stepped {
        c: c * 1e-8,
        b,
        volume,
        kelvin,
    };
    for (case, reservoir, from, to) in [
        (case(2.0, 0.35, 0.020, 293.15), 9.5e5, 1.013e5, 2.3e5), // all sonic
        (case(2.0, 0.35, 0.020, 303.15), 9.5e5, 1.013e5, 8.5e5), // both
        (case(5.0, 0.20, 0.016, 273.15), 7.0e5, 3.0e5, 6.9e5),   // all under sound
        (case(0.5, 0.50, 0.040, 313.15), 8.0e5, 1.0e5, 7.9e5),
    ] {
        let closed = fill_time(
            &case.line(),
            Absolute::of_si(reservoir),
            Absolute::of_si(from),
            Absolute::of_si(to),
        )
        .unwrap()
        .si();
        let stepped = until(from, to, closed / 4000.0, |p| {
            case.rate(case.mass_flow(reservoir, p.min(reservoir)))
        });
        near(closed / stepped, 1.0, 1e-5);
    }
}

#[test]
fn emptying_takes_as_long_as_stepped_through_time() {
    let outside = AIR_OUTSIDE_PA;
    // b under, at and over 0.5: the closed form changes its function there.
    for b in [
        0.0,
        0.05,
        0.2,
        0.35,
        0.499_999_9,
        0.5,
        0.500_000_1,
        0.6,
        0.85,
    ] {
        for (from, to) in [
            (8.0e5, 1.1e5),
            (8.0e5, 6.0e5),
            (1.9e5, 1.05e5),
            (1.2e5, 1.02e5),
        ] {
            let case = Stepped {
                c: 2e-8,
                b,
                volume: 0.020,
                kelvin: 300.0,
            };
            let closed = vent_time(
                &case.line(),
                Absolute::of_si(outside),
                Absolute::of_si(from),
                Absolute::of_si(to),
            )
            .unwrap()
            .si();
            let stepped = until(from, to, closed / 4000.0, |p| {
                -case.rate(case.mass_flow(p.max(outside), outside))
            });
            near(closed / stepped, 1.0, 1e-5);
        }
    }
}

#[test]
fn times_of_parts_add_up_to_the_whole() {
    let line = Stepped {
        c: 2e-8,
        b: 0.35,
        volume: 0.020,
        kelvin: 293.15,
    }
    .line();
    let fill = |from, to| fill_time(&line, abs(9.5), abs(from), abs(to)).unwrap().si();
    let vent = |from, to| vent_time(&line, abs(1.0), abs(from), abs(to)).unwrap().si();
    near(fill(1.0, 4.0) + fill(4.0, 9.5), fill(1.0, 9.5), 1e-9);
    near(vent(9.0, 2.5) + vent(2.5, 1.0), vent(9.0, 1.0), 1e-9);
    near(fill(2.0, 2.0), 0.0, 0.0);
    near(vent(2.0, 2.0), 0.0, 0.0);
    assert!(fill(1.0, 9.5).is_finite() && vent(9.0, 1.0).is_finite());
}

#[test]
fn a_time_to_a_pressure_out_of_reach_is_refused() {
    let line = Stepped {
        c: 2e-8,
        b: 0.35,
        volume: 0.020,
        kelvin: 293.15,
    }
    .line();
    for (reservoir, from, to) in [(5.0, 1.0, 5.1), (5.0, 3.0, 2.9)] {
        let snag = fill_time(&line, abs(reservoir), abs(from), abs(to)).unwrap_err();
        assert_eq!(snag.input, "to");
    }
    for (outside, from, to) in [(1.0, 2.0, 0.9), (1.0, 2.0, 2.1)] {
        let snag = vent_time(&line, abs(outside), abs(from), abs(to)).unwrap_err();
        assert_eq!(snag.input, "to");
    }
    let sum = find("fill_time").unwrap();
    let mut pairs = sum.example.to_vec();
    pairs[5] = ("to", "9 bar");
    let said = run("fill_time", &pairs).unwrap_err().to_string();
    assert!(said.contains("can't fill higher than itself"), "{said}");
}

#[test]
fn times_by_hand_come_out_of_the_registry() {
    // All sonic: τ (r2 − r1), τ = 20 dm³ / (2 dm³/(s·bar) × 1 bar) = 10 s at 20 °C.
    let sum = find("fill_time").unwrap();
    let found = run("fill_time", sum.example).unwrap();
    near(
        value("fill_time", &found, "time"),
        10.0 * 1.30 / 9.513_25,
        1e-9,
    );
    // 8 bar to 4 bar stays sonic at b = 0.35: τ ln(9.01325 / 5.01325).
    let pairs = [
        ("conductance", "2 dm³/(s·bar)"),
        ("critical", "0.35"),
        ("volume", "20 dm³"),
        ("from", "8 bar"),
        ("to", "4 bar"),
        ("temperature", "20 °C"),
    ];
    let found = run("vent_time", &pairs).unwrap();
    let known = 10.0 * (9.013_25_f64 / 5.013_25).ln();
    near(value("vent_time", &found, "time"), known, 1e-9);
}

#[test]
fn trials_of_a_vent_time_agree_with_first_order() {
    let sum = find("vent_time").unwrap();
    let given = typed(
        sum,
        &[
            ("conductance", "2 dm³/(s·bar) ± 0.1 dm³/(s·bar)"),
            ("critical", "0.35 ± 0.03"),
            ("volume", "20 dm³ ± 0.5 dm³"),
            ("from", "1.30 bar ± 0.05 bar"),
            ("to", "0.30 bar ± 0.02 bar"),
            ("temperature", "20 °C ± 3 K"),
        ],
    );
    let first_order = sum.evaluate(&given).unwrap().value(0).unwrap().u().si();
    let trials = sum.draw(&given, 100_000, 5).unwrap();
    near(trials.results[0].deviation.si() / first_order, 1.0, 0.03);
}

fn lift(v1: f64, p1: f64, v2: f64, p2: f64) -> Lift {
    Lift {
        start: (Volume::of_si(v1 * 1e-3), abs(p1)),
        end: (Volume::of_si(v2 * 1e-3), abs(p2)),
    }
}

#[test]
fn a_slow_lift_keeps_all_air() {
    // p V of reservoir and bellows together stays, at one temperature.
    for (v1, p1, v2, p2) in [
        (24.0, 2.3, 38.0, 2.5),
        (4.0, 1.0, 38.0, 2.3),
        (20.0, 2.0, 20.0, 5.0),
    ] {
        let lift = lift(v1, p1, v2, p2);
        let reservoir = Reservoir {
            volume: Volume::of_si(0.060),
            pressure: abs(10.5),
            floor: abs(7.5),
        };
        let after = reservoir.after(Ratio::of_si(1.0), lift.slow());
        let before_pv = 10.5 * 60.0 + p1 * v1;
        let after_pv = after.si() / 1e5 * 60.0 + p2 * v2;
        near(after_pv, before_pv, 1e-9);
    }
}

#[test]
fn a_fast_lift_keeps_all_energy() {
    // Stepped: small amounts of mass leave the reservoir with their enthalpy, the
    // bellows goes along its line. Another way than the closed balance.
    let gamma = 1.4;
    let (v1, p1, v2, p2) = (0.024, 2.3e5, 0.038, 2.53e5);
    let (volume, start) = (0.060, 10.5e5);
    let along = |s: f64| (v1 + (v2 - v1) * s, p1 + (p2 - p1) * s);
    let steps = 20_000;
    let (mut p, mut gas_left) = (start, 1.0);
    for step in 0..steps {
        let s = (f64::from(step) + 0.5) / f64::from(steps);
        let (v, pb) = along(s);
        let (dv, dp) = ((v2 - v1) / f64::from(steps), (p2 - p1) / f64::from(steps));
        // d(p V)/(γ − 1) + p dV = cp T dm, of the bellows.
        let enthalpy = (pb * dv + v * dp) / (gamma - 1.0) + pb * dv;
        // m R T = p V_r in the reservoir; cp T dm = γ/(γ−1) R T dm.
        let gas_temperature = p * volume / gas_left;
        let dm = enthalpy * (gamma - 1.0) / (gamma * gas_temperature);
        gas_left -= dm;
        // The rest expands without heat: p ∝ ρ^γ.
        p = start * f64::powf(gas_left, gamma);
    }
    let lift = lift(24.0, 2.3, 38.0, 2.53);
    let reservoir = Reservoir {
        volume: Volume::of_si(volume),
        pressure: Absolute::of_si(start),
        floor: abs(7.5),
    };
    let closed = reservoir.after(Ratio::of_si(1.0), lift.fast());
    near((start - closed.si()) / (start - p), 1.0, 1e-3);
    // The air that left, by the registry and by the steps.
    let name = "air_for_lifts";
    let pairs = [
        ("reservoir_volume", "60 dm³"),
        ("reservoir", "9.48675 bar"),
        ("lowest", "6.48675 bar"),
        ("bellows", "2"),
        ("volume_start", "12 dm³"),
        ("volume_end", "19 dm³"),
        ("from", "1.28675 bar"),
        ("to", "1.51675 bar"),
        ("lifts", "1"),
    ];
    let found = run(name, &pairs).unwrap();
    let left = (1.0 - gas_left) * start * volume / 1e5;
    near(value(name, &found, "air_fast") / left, 1.0, 1e-3);
    near(
        value(name, &found, "after_fast"),
        closed.si() - AIR_OUTSIDE_PA,
        1e-3,
    );
}

#[test]
fn fast_lifts_pull_the_reservoir_down_further_than_slow_ones() {
    for (v1, p1, v2, p2) in [
        (24.0, 2.3, 38.0, 2.5),
        (24.0, 2.3, 38.0, 2.3),
        (4.0, 1.0, 38.0, 2.3),
        (24.0, 2.5, 38.0, 2.2),
    ] {
        let lift = lift(v1, p1, v2, p2);
        let work = lift.work().si();
        assert!(work > 0.0);
        near((lift.fast() - lift.slow()).si(), 0.4 * work, 1e-9);
    }
    // Without work both are one.
    let still = lift(20.0, 2.0, 20.0, 5.0);
    near(still.fast().si(), still.slow().si(), 1e-9);
    let name = "air_for_lifts";
    let found = run(name, find(name).unwrap().example).unwrap();
    assert!(value(name, &found, "lifts_slow") > value(name, &found, "lifts_fast"));
    assert!(value(name, &found, "after_slow") > value(name, &found, "after_fast"));
}

#[test]
fn lifts_asked_for_come_out_by_hand() {
    // Slow: 2 × (2.54325 × 19 − 2.31325 × 12) = 41.1255 bar·dm³ a lift; 3 bar × 60 dm³
    // are there. Fast adds 0.4 × 2 × 2.42825 × 7 = 13.5982.
    let name = "air_for_lifts";
    let found = run(name, find(name).unwrap().example).unwrap();
    near(value(name, &found, "air_slow") * 1e3, 41.1255, 1e-6);
    near(value(name, &found, "lifts_slow"), 180.0 / 41.1255, 1e-9);
    near(value(name, &found, "lifts_fast"), 180.0 / 54.7237, 1e-9);
    near(
        value(name, &found, "after_slow") / 1e5,
        9.5 - 3.0 * 41.1255 / 60.0,
        1e-9,
    );
    near(
        value(name, &found, "margin") / 1e5,
        3.0 - 3.0 * 54.7237 / 60.0,
        1e-9,
    );
    assert_eq!(text(name, &found, "floor"), "the lowest that is allowed");
}

#[test]
fn bellows_that_need_more_than_the_lowest_set_the_floor() {
    let name = "air_for_lifts";
    let sum = find(name).unwrap();
    let mut pairs = sum.example.to_vec();
    pairs[2] = ("lowest", "5 bar");
    pairs[6] = ("from", "7.7 bar");
    pairs[7] = ("to", "7.7 bar");
    let found = run(name, &pairs).unwrap();
    assert_eq!(
        text(name, &found, "floor"),
        "the bellows, they need more than that"
    );
    // 1.8 bar × 60 dm³ for 2 × 8.71325 × 7 bar·dm³: not one lift.
    near(value(name, &found, "lifts_slow"), 108.0 / 121.9855, 1e-9);
    assert!(value(name, &found, "margin") < 0.0);
    assert!(found.value(sum.output("after_fast").unwrap()).is_none());
}

#[test]
fn a_reservoir_that_is_low_and_a_lift_that_takes_nothing_are_refused() {
    let name = "air_for_lifts";
    let sum = find(name).unwrap();
    let with = |at: usize, pair| {
        let mut pairs = sum.example.to_vec();
        pairs[at] = pair;
        run(name, &pairs).unwrap_err().to_string()
    };
    let said = with(1, ("reservoir", "6.4 bar"));
    assert!(said.contains("fill it first"), "{said}");
    let said = with(5, ("volume_end", "8 dm³"));
    assert!(said.contains("a lift takes air in"), "{said}");
}

#[test]
fn at_the_lowest_allowed_there_is_no_lift_left() {
    let reservoir = Reservoir {
        volume: Volume::of_si(0.06),
        pressure: abs(7.5),
        floor: abs(7.5),
    };
    near(
        reservoir.lifts(lift(24.0, 2.3, 38.0, 2.5).slow()).si(),
        0.0,
        0.0,
    );
    // The example of every sum here comes out with uncertain readings as well.
    let sum = find("air_for_lifts").unwrap();
    assert!(sum.evaluate(&example(sum)).is_ok());
    near(Gauge::of_si(0.0).absolute().si(), AIR_OUTSIDE_PA, 0.0);
}

#[test]
fn a_room_that_no_reservoir_can_have_is_left_out() {
    // 3 bar over the floor in 60 dm³ are 4.38 slow lifts or 3.29 fast ones; from 9.5 bar
    // down to the air outside are 570 bar·dm³, 10.4 fast lifts of 54.7237.
    let name = "air_for_lifts";
    let sum = find(name).unwrap();
    for (count, has_room, said) in [
        ("3", true, "the reservoirs can do it"),
        ("4", true, "the reservoirs can do it if all is slow"),
        ("5", true, "the reservoirs can't do it"),
        ("10", true, "the reservoirs can't do it"),
        ("11", false, "the reservoirs can't do it"),
    ] {
        let mut pairs = sum.example.to_vec();
        pairs[8] = ("lifts", count);
        let found = run(name, &pairs).unwrap();
        assert_eq!(text(name, &found, "enough"), said, "{count}");
        let margin = found.value(sum.output("margin").unwrap());
        assert_eq!(margin.is_some(), has_room, "{count}");
    }
}

#[test]
fn lifts_and_bellows_are_counted_in_whole_ones() {
    let name = "air_for_lifts";
    let sum = find(name).unwrap();
    for (at, key) in [(3, "bellows"), (8, "lifts")] {
        let mut pairs = sum.example.to_vec();
        pairs[at] = (key, "2.5");
        let said = run(name, &pairs).unwrap_err().to_string();
        assert!(said.contains(key) && said.contains("whole"), "{said}");
    }
    for key in ["lifts_fast", "lifts_slow"] {
        assert!(sum.outputs[sum.output(key).unwrap()].plain);
    }
}

//! The two tables of the hold's design, as simulations with a fixed seed: what
//! a genuine hold comes to, and what must not confirm.
//!
//! Repeat rates: X11 660 ms then 25 a second; a desktop 500 ms then 30 ms; the
//! Linux console 250 ms then 11 a second; the slowest Windows setting 1000 ms
//! then 2.5 a second. A line delays by a fixed time and an exponential jitter
//! of the stated mean, and keeps the order. The bands lie around the figures
//! of the design's own simulation, given beside each; that one used 4,000 to
//! 20,000 runs a cell.

use std::time::Duration;

use super::script::{Beat, act, always_turns, cases, caution, danger, letter, space, unproven};
use crate::input::Press;

/// A small generator of the tests' own (splitmix64), so that a seed gives the
/// same runs for ever.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// In 0..1, without 0.
    fn part(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.part()
    }

    fn exponential(&mut self, mean: f64) -> f64 {
        -mean * self.part().ln()
    }

    fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let radius = (-2.0 * self.part().ln()).sqrt();
        mean + sd * radius * (std::f64::consts::TAU * self.part()).cos()
    }
}

/// A line: fixed delay and mean jitter, ms.
type Line = (f64, f64);

const LOCAL: Line = (0.0, 0.0);
const NEAR: Line = (30.0, 5.0);
const FAR: Line = (80.0, 20.0);

/// Instants in ms, as they arrive at the far end of the line.
fn over(line: Line, sent: &[f64], chance: &mut Chance) -> Vec<f64> {
    let mut last = 0.0_f64;
    sent.iter()
        .map(|at| {
            last = last.max(at + line.0 + chance.exponential(line.1));
            last
        })
        .collect()
}

fn presses(times: &[f64]) -> Vec<Beat> {
    times
        .iter()
        .map(|at| (Duration::from_secs_f64(at / 1000.0), space(Press::Down)))
        .collect()
}

fn held(from: f64, long: f64, delay: f64, period: f64) -> Vec<f64> {
    let mut times = vec![from];
    let mut at = delay;
    while at < long {
        times.push(from + at);
        at += period;
    }
    times
}

/// The part of the runs that commits.
fn rate(seed: u64, until: u64, mut run: impl FnMut(&mut Chance) -> Vec<Beat>) -> f64 {
    let runs = cases(300);
    let mut chance = Chance(seed);
    let accepted = (0..runs)
        .filter(|_| {
            let beats = run(&mut chance);
            act(&mut unproven(), caution(), &beats, until)
                .commit()
                .is_some()
        })
        .count();
    accepted as f64 / f64::from(runs)
}

fn rate_in_turns(seed: u64, mut run: impl FnMut(&mut Chance) -> Vec<Beat>) -> f64 {
    let runs = cases(300);
    let mut chance = Chance(seed);
    let accepted = (0..runs)
        .filter(|_| {
            let beats = run(&mut chance);
            act(&mut always_turns(), caution(), &beats, 12_000)
                .commit()
                .is_some()
        })
        .count();
    accepted as f64 / f64::from(runs)
}

#[test]
fn a_genuine_hold_is_taken_as_the_table_says() {
    // Delay, period, held for, and the bands: local, near, far.
    let table = [
        (
            "X11",
            660.0,
            40.0,
            2500.0,
            (0.98, 1.0),
            (0.97, 1.0),
            (0.10, 0.45),
        ),
        (
            "desktop",
            500.0,
            30.0,
            2500.0,
            (0.98, 1.0),
            (0.97, 1.0),
            (0.0, 0.20),
        ),
        (
            "console",
            250.0,
            1000.0 / 11.0,
            2500.0,
            (0.98, 1.0),
            (0.98, 1.0),
            (0.68, 0.95),
        ),
        (
            "slowest",
            1000.0,
            400.0,
            5200.0,
            (0.98, 1.0),
            (0.98, 1.0),
            (0.97, 1.0),
        ),
    ];
    for (name, delay, period, long, local, near, far) in table {
        for (line, band) in [(LOCAL, local), (NEAR, near), (FAR, far)] {
            let got = rate(0x5eed, 9000, |chance| {
                let from = chance.between(1500.0, 1600.0);
                presses(&over(line, &held(from, long, delay, period), chance))
            });
            assert!((band.0..=band.1).contains(&got), "{name} {line:?}: {got}");
        }
    }
}

const KEYBOARDS: [(f64, f64); 4] = [
    (660.0, 40.0),
    (500.0, 30.0),
    (250.0, 1000.0 / 11.0),
    (1000.0, 400.0),
];

#[test]
fn what_is_no_hold_of_full_length_is_never_taken() {
    for (delay, period) in KEYBOARDS {
        for line in [LOCAL, NEAR, FAR] {
            for long in [60.0, 1400.0] {
                // Jitter can stretch what arrives by chance: a hold that ends
                // 100 ms short must be stretched by as much between its first
                // and last event.
                let got = rate(1, 6000, |chance| {
                    let from = chance.between(1500.0, 1600.0);
                    presses(&over(line, &held(from, long, delay, period), chance))
                });
                assert!(got <= 0.002, "{delay} {period} {line:?} {long}: {got}");
            }
        }
    }
}

#[test]
fn a_stalled_line_let_loose_is_never_taken() {
    for (delay, period) in KEYBOARDS {
        let got = rate(2, 9000, |chance| {
            let from = chance.between(1500.0, 1600.0);
            let long = chance.between(300.0, 1400.0);
            let stall = from + chance.between(0.0, long);
            let until = stall + chance.between(1000.0, 2000.0);
            let sent = held(from, long, delay, period);
            let late: Vec<f64> = sent
                .iter()
                .map(|at| if *at >= stall { at.max(until) } else { *at })
                .collect();
            presses(&over((30.0, 0.5), &late, chance))
        });
        assert!(got <= 0.0, "{delay}: {got}");
    }
}

#[test]
fn a_paste_and_an_object_are_never_taken() {
    for gap in [0.0, 0.1, 1.0, 5.0] {
        let got = rate(3, 9000, |chance| {
            let from = chance.between(1500.0, 1600.0);
            let times: Vec<f64> = (0..400).map(|n| from + f64::from(n) * gap).collect();
            presses(&times)
        });
        assert!(got <= 0.0, "{gap}: {got}");
    }
    for (delay, period) in KEYBOARDS {
        let got = rate(4, 11_000, |chance| {
            let from = chance.between(0.0, 1600.0);
            presses(&held(from, 20_000.0, delay, period))
        });
        assert!(got <= 0.0, "{delay}: {got}");
    }
}

/// Taps until 7.5 s, at gaps that the hand draws.
fn tapping(chance: &mut Chance, gap: impl Fn(&mut Chance) -> f64) -> Vec<Beat> {
    let mut at = chance.between(1500.0, 1600.0);
    let mut times = vec![at];
    while at < 7500.0 {
        at += gap(chance).max(20.0);
        times.push(at);
    }
    presses(&times)
}

/// Gaps with a normal spread, as a part of the mean.
fn normal_gaps(a_second: f64, spread: f64) -> impl Fn(&mut Chance) -> f64 {
    let mean = 1000.0 / a_second;
    move |chance| chance.normal(mean, spread * mean)
}

/// Gaps with the same mean and standard deviation and a long tail: a worse
/// hand than the table's.
fn log_normal_gaps(a_second: f64, spread: f64) -> impl Fn(&mut Chance) -> f64 {
    let square = spread.mul_add(spread, 1.0);
    let middle = 1000.0 / a_second / square.sqrt();
    let sigma = square.ln().sqrt();
    move |chance| middle * chance.normal(0.0, sigma).exp()
}

#[test]
fn tapping_is_taken_as_seldom_as_the_table_says() {
    for a_second in [5.0, 8.0, 10.0] {
        let gap = normal_gaps(a_second, 0.08);
        let got = rate(5, 12_000, |chance| tapping(chance, &gap));
        assert!(got <= 0.0, "{a_second}: {got}");
    }
    // The table: 0.0001 at a spread of 20 %, 0.002 at 35 %.
    for (spread, most) in [(0.20, 0.004), (0.35, 0.012)] {
        let gap = normal_gaps(3.0, spread);
        let got = rate(6, 12_000, |chance| tapping(chance, &gap));
        assert!(got <= most, "{spread}: {got}");
    }
}

/// Not in the table: with a long tail the one long gap comes first more often.
/// About 1 in 90 is taken at a spread of 35 %, which is one reason more to keep
/// this tier out of danger.
#[test]
fn tapping_with_a_long_tail_is_taken_seldom() {
    for (spread, most) in [(0.20, 0.004), (0.35, 0.03)] {
        let gap = log_normal_gaps(3.0, spread);
        let got = rate(11, 12_000, |chance| tapping(chance, &gap));
        assert!(got <= most, "{spread}: {got}");
    }
}

/// The table's one bad cell: 1.0, known and kept out of danger.
#[test]
fn a_tap_a_pause_and_fast_even_taps_are_taken_for_a_hold() {
    let got = rate(7, 9000, |chance| {
        let from = chance.between(1500.0, 1600.0);
        let mut at = from + 500.0;
        let mut times = vec![from];
        for _ in 0..20 {
            times.push(at);
            at += chance.normal(100.0, 5.0);
        }
        presses(&times)
    });
    assert!(got >= 0.98, "{got}");
    let taken = act(
        &mut unproven(),
        danger(),
        &presses(&held(1500.0, 9000.0, 500.0, 100.0)),
        12_000,
    );
    assert!(taken.commit().is_none());
}

fn alternate(chance: &mut Chance, a_second: f64, count: usize, line: Line) -> Vec<Beat> {
    let mut at = chance.between(1500.0, 1600.0);
    let mut sent = Vec::new();
    for _ in 0..count {
        sent.push(at);
        at += chance
            .normal(1000.0 / a_second, 0.2 * 1000.0 / a_second)
            .max(20.0);
    }
    let keys = ['f', 'j'];
    over(line, &sent, chance)
        .into_iter()
        .zip(keys.into_iter().cycle())
        .map(|(at, c)| (Duration::from_secs_f64(at / 1000.0), letter(c)))
        .collect()
}

#[test]
fn taps_in_turn_are_taken_as_the_table_says() {
    // A person goes on until NOW LET GO; here, ten taps.
    // The table: 0.998, over the far line 0.994, at five a second 0.91.
    for (a_second, line, least) in [(3.0, LOCAL, 0.98), (3.0, FAR, 0.97), (5.0, LOCAL, 0.85)] {
        let got = rate_in_turns(8, |chance| alternate(chance, a_second, 10, line));
        assert!(got >= least, "{a_second} {line:?}: {got}");
    }
}

#[test]
fn mashing_the_two_keys_is_seldom_taken_and_one_key_never() {
    // The table: 0.015 for 20 hits at random; hence the number for danger.
    let got = rate_in_turns(9, |chance| {
        let mut at = 1500.0;
        (0..20)
            .map(|_| {
                at += chance.between(40.0, 320.0);
                let c = if chance.part() < 0.5 { 'f' } else { 'j' };
                (Duration::from_secs_f64(at / 1000.0), letter(c))
            })
            .collect()
    });
    assert!(got <= 0.05, "{got}");
    let one = rate_in_turns(10, |chance| {
        let mut at = 1500.0;
        (0..60)
            .map(|_| {
                at += chance.between(120.0, 400.0);
                (Duration::from_secs_f64(at / 1000.0), letter('f'))
            })
            .collect()
    });
    assert!(one <= 0.0, "{one}");
}

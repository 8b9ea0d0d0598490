//! Lines turned by brute force: pins as vectors in space, each driven pin found by
//! root finding, no formula of a joint used.

use super::*;

type Vector = [f64; 3];

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn unit(a: Vector) -> Vector {
    let size = dot(a, a).sqrt();
    [a[0] / size, a[1] / size, a[2] / size]
}

/// A shaft with two directions across it, in which turns are counted.
#[derive(Clone, Copy)]
struct Shaft {
    u: Vector,
    v: Vector,
}

impl Shaft {
    /// `u` as near as can be to a direction.
    fn new(axis: Vector, toward: Vector) -> Self {
        let along = dot(axis, toward);
        let u = unit([0, 1, 2].map(|i| toward[i] - along * axis[i]));
        Self {
            u,
            v: cross(axis, u),
        }
    }

    fn pin(&self, turn: f64) -> Vector {
        let (sin, cos) = turn.sin_cos();
        [0, 1, 2].map(|i| cos * self.u[i] + sin * self.v[i])
    }

    /// The turn near a guess at which the pin is square to another pin.
    fn square_to(&self, pin: Vector, guess: f64) -> f64 {
        let (a, b) = (dot(self.u, pin), dot(self.v, pin));
        let mut turn = guess;
        for _ in 0..12 {
            let (sin, cos) = turn.sin_cos();
            turn -= (a * cos + b * sin) / (b * cos - a * sin);
        }
        turn
    }
}

/// A line that is turned step by step.
struct Bench {
    shafts: Vec<Shaft>,
    crossed: Vec<bool>,
    turns: Vec<f64>,
}

impl Bench {
    /// With the first pin in the plane of the first two shafts.
    fn new(axes: &[Axis], phases: &[Phase]) -> Self {
        let axes: Vec<Vector> = axes.iter().map(|a| [a.x, a.y, a.z]).collect();
        let mut shafts = vec![Shaft::new(axes[0], axes[1])];
        for axis in &axes[1..] {
            shafts.push(Shaft::new(*axis, shafts[shafts.len() - 1].v));
        }
        let mut bench = Self {
            turns: vec![0.0; shafts.len()],
            shafts,
            crossed: phases.iter().map(|p| *p == Phase::Crossed).collect(),
        };
        bench.start();
        bench
    }

    /// Finds where each shaft stands at first, to be followed from there.
    fn start(&mut self) {
        for at in 1..self.shafts.len() {
            let pin = self.pin_before(at);
            let miss = |turn: f64| dot(self.shafts[at].pin(turn), pin).abs();
            let guesses = (0..32).map(|n| std::f64::consts::PI / 32.0 * f64::from(n));
            let guess = guesses.min_by(|a, b| miss(*a).total_cmp(&miss(*b)));
            self.turns[at] = self.shafts[at].square_to(pin, guess.unwrap());
        }
    }

    /// The pin that drives a shaft.
    fn pin_before(&self, at: usize) -> Vector {
        let crossed = at > 1 && self.crossed[at - 2];
        let quarter = if crossed {
            std::f64::consts::FRAC_PI_2
        } else {
            0.0
        };
        self.shafts[at - 1].pin(self.turns[at - 1] + quarter)
    }

    /// Turns the first shaft a little; the turn of the last.
    fn turn_to(&mut self, turn: f64) -> f64 {
        self.turns[0] = turn;
        for at in 1..self.shafts.len() {
            let pin = self.pin_before(at);
            self.turns[at] = self.shafts[at].square_to(pin, self.turns[at]);
        }
        self.turns[self.turns.len() - 1]
    }
}

const STEPS: usize = 7200;

/// Turn of the last shaft at even steps of half a turn of the first, and a bit over.
fn turned(axes: &[Axis], phases: &[Phase]) -> Vec<f64> {
    let mut bench = Bench::new(axes, phases);
    (0..=STEPS + 1)
        .map(|nth| bench.turn_to(step() * nth as f64))
        .collect()
}

fn step() -> f64 {
    std::f64::consts::PI / STEPS as f64
}

/// Fastest and slowest of the last shaft as shares of the first.
fn fastest_and_slowest(turns: &[f64]) -> (f64, f64) {
    let speeds = turns.windows(3).map(|t| (t[2] - t[0]) / (2.0 * step()));
    speeds.fold((f64::MIN, f64::MAX), |(fast, slow), s| {
        (fast.max(s), slow.min(s))
    })
}

fn random_line(random: &mut fastrand::Rng, coplanar: bool) -> (Vec<Axis>, Vec<Phase>) {
    let joints = random.usize(1..=3);
    let spread = if random.bool() { 6.0 } else { 25.0 };
    let mut any = || deg((random.f64() - 0.5) * spread);
    let axes: Vec<Axis> = (0..=joints)
        .map(|_| {
            let plan = if coplanar { deg(0.0) } else { any() };
            Axis::of(Slope(any()), plan)
        })
        .collect();
    let phases = (1..joints)
        .map(|_| {
            if random.bool() {
                Phase::InPhase
            } else {
                Phase::Crossed
            }
        })
        .collect();
    (axes, phases)
}

#[test]
fn the_residual_angle_is_that_of_lines_turned_by_brute_force() {
    let mut random = fastrand::Rng::with_seed(41);
    for nth in 0..120 {
        let (axes, phases) = random_line(&mut random, nth % 3 == 0);
        let (fastest, slowest) = fastest_and_slowest(&turned(&axes, &phases));
        let found = joints(&axes, &phases);
        // One joint: fastest/slowest = 1/cos²β. So small a residual is lost in the
        // bench's steps, so unevenness is compared, not the angle.
        let even = found.residual.si().cos();
        near("fastest", fastest * even, 1.0, 2e-7);
        near("slowest", slowest / even, 1.0, 2e-7);
        if found.residual > deg(0.3) {
            let bench = (slowest / fastest).sqrt().acos().to_degrees();
            near("residual", in_deg(found.residual), bench, 2e-3);
        }
    }
}

#[test]
fn the_whole_course_of_the_last_shaft_is_that_of_one_joint_at_the_residual_angle() {
    let mut random = fastrand::Rng::with_seed(42);
    for _ in 0..20 {
        let (axes, phases) = random_line(&mut random, false);
        let turns = turned(&axes, &phases);
        let single = Joint(joints(&axes, &phases).residual);
        let speeds: Vec<f64> = turns
            .windows(3)
            .map(|t| (t[2] - t[0]) / (2.0 * step()))
            .collect();
        let mut top = 0;
        for (at, speed) in speeds.iter().enumerate() {
            if *speed > speeds[top] {
                top = at;
            }
        }
        for (at, speed) in speeds.iter().enumerate() {
            let turn = Angle::of_si((at as f64 - top as f64) * step());
            // The top is found to half a step.
            let tolerance = 1e-7 + single.uneven().si() * step();
            near("course", *speed, single.ratio(turn).si(), tolerance);
        }
    }
}

#[test]
fn speed_and_lag_behind_one_joint_are_those_of_brute_force() {
    for degrees in [0.7, 3.0, 11.0, 24.0, 40.0] {
        let axes = [side(2.0), side(2.0 + degrees)];
        let turns = turned(&axes, &[]);
        let joint = Joint(deg(degrees));
        let start = turns[0];
        let mut lag = 0.0_f64;
        for (nth, turn) in turns.windows(3).enumerate() {
            let at = Angle::of_si(step() * (nth + 1) as f64);
            let speed = (turn[2] - turn[0]) / (2.0 * step());
            near("speed", speed, joint.ratio(at).si(), 3e-7);
            lag = lag.max(((turn[1] - start) - at.si()).abs());
        }
        near("lag", lag, joint.lag().si(), 1e-6);
    }
}

/// The greatest second difference of turns, over twenty steps each side.
fn greatest_acceleration(turns: &[f64]) -> f64 {
    let wide = 20;
    let square = (wide as f64 * step()).powi(2);
    (0..turns.len() - 2 * wide)
        .map(|at| (turns[at] - 2.0 * turns[at + wide] + turns[at + 2 * wide]).abs() / square)
        .fold(0.0, f64::max)
}

#[test]
fn the_greatest_acceleration_is_that_of_second_differences() {
    let speed = rpm(1301.0);
    for degrees in [1.0, 2.7, 6.0, 15.0, 30.0] {
        let turns = turned(&[side(1.0), side(1.0 + degrees)], &[]);
        let bench = greatest_acceleration(&turns) * speed.si().powi(2);
        let found = Joint(deg(degrees)).peak(speed).amount.si();
        near("one joint", found / bench, 1.0, 4e-4);
    }
    let mut random = fastrand::Rng::with_seed(43);
    for _ in 0..30 {
        let (axes, phases) = random_line(&mut random, false);
        let line = Line {
            axes: &axes,
            phases: &phases,
        };
        let found = line.accelerations(speed).unwrap();
        let shaken = |axes: &[Axis], phases: &[Phase]| {
            greatest_acceleration(&turned(axes, phases)) * speed.si().powi(2)
        };
        let close = |what: &str, found: f64, bench: f64| {
            near(what, found, bench, 1e-3 * bench + 0.05);
        };
        close("torsional", found.torsional.si(), shaken(&axes, &phases));
        // The shafts between, driven from the gearbox; then the line the other way
        // round, driven from the axle.
        let between = |axes: &[Axis], phases: &[Phase]| {
            (2..axes.len())
                .map(|n| shaken(&axes[..n], &phases[..n - 2]))
                .reduce(f64::max)
        };
        let backward: Vec<Axis> = axes.iter().rev().copied().collect();
        let phases_back: Vec<Phase> = phases.iter().rev().copied().collect();
        for (what, found, bench) in [
            ("drive", found.drive, between(&axes, &phases)),
            ("coast", found.coast, between(&backward, &phases_back)),
        ] {
            assert_eq!(found.is_some(), bench.is_some(), "{what}");
            if let (Some(found), Some(bench)) = (found, bench) {
                close(what, found.si(), bench);
            }
        }
    }
}

#[test]
fn no_turn_beside_the_greatest_acceleration_has_more() {
    let speed = rpm(1301.0);
    for degrees in [1.0, 10.0, 25.0, 40.0] {
        let joint = Joint(deg(degrees));
        let peak = joint.peak(speed);
        for aside in [-45.0, -1.0, -0.05, 0.05, 1.0, 45.0] {
            let beside = joint.acceleration(speed, peak.turn + deg(aside));
            assert!(-beside < peak.amount, "{degrees} {aside}");
        }
    }
}

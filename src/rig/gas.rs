//! Air: what a restriction lets through, what a chamber makes of it.

use super::params::{Params, R_AIR, T_REF};
use super::state::Air;

/// 1 dm³/(s·bar) in m³/(s·Pa).
const CONDUCTANCE: f64 = 1e-8;

/// Mass flow through a restriction, kg/s, from the higher to the lower pressure;
/// nothing flows the other way.
///
/// # Units
/// `c` in dm³/(s·bar), `p1` and `p2` in Pa absolute, `t1` in K.
///
/// # Source
/// ISO 6358-1: ṁ = C ρ0 p1 √(T0/T1) ω(p2/p1), with ρ0 = 1e5 Pa/(R T0); the straight
/// line from `r_lam` on is the common way to avoid an endless slope at equal pressures.
pub fn flow(c: f64, b: f64, p1: f64, t1: f64, p2: f64, r_lam: f64) -> f64 {
    if c <= 0.0 || p1 <= p2 {
        return 0.0;
    }
    let density = 1.0e5 / (R_AIR * T_REF);
    c * CONDUCTANCE * density * p1 * (T_REF / t1).sqrt() * share(p2 / p1, b, r_lam)
}

/// How much of the sonic flow passes at this ratio of pressures.
fn share(ratio: f64, b: f64, r_lam: f64) -> f64 {
    let curve = |r: f64| {
        let over = (r - b) / (1.0 - b);
        (1.0 - over * over).max(0.0).sqrt()
    };
    if ratio <= b {
        1.0
    } else if ratio < r_lam {
        curve(ratio)
    } else {
        curve(r_lam) * (1.0 - ratio) / (1.0 - r_lam)
    }
}

/// A chamber at this instant.
#[derive(Debug, Clone, Copy)]
pub(super) struct Chamber {
    /// Pa absolute
    pub(super) pressure: f64,
    /// K
    pub(super) temperature: f64,
    /// m³
    pub(super) volume: f64,
    /// m³/s
    pub(super) growth: f64,
    /// W/K through its walls
    pub(super) walls: f64,
}

impl Chamber {
    pub(super) fn new(air: Air, volume: f64, growth: f64, walls: f64) -> Self {
        Self {
            pressure: air.pressure,
            temperature: air.pressure * volume / (air.mass * R_AIR),
            volume,
            growth,
            walls,
        }
    }
}

/// The air that goes in and out of a chamber.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Through {
    /// kg/s
    into: f64,
    /// kg·K/s: each inflow with its temperature
    warmth: f64,
    /// kg/s
    out: f64,
}

impl Through {
    fn bring(&mut self, mass: f64, temperature: f64) {
        self.into += mass;
        self.warmth += mass * temperature;
    }

    fn take(&mut self, mass: f64) {
        self.out += mass;
    }

    /// How fast mass and pressure of the chamber grow, kg/s and Pa/s.
    ///
    /// # Source
    /// First law for an open volume of ideal gas with heat exchange; with n = 1
    /// isothermal.
    fn rates(&self, chamber: &Chamber, p: &Params) -> (f64, f64) {
        let carried = p.n * R_AIR * (self.warmth - chamber.temperature * self.out);
        let squeezed = p.n * chamber.pressure * chamber.growth;
        let warmed = (p.n - 1.0) * chamber.walls * (p.t_amb - chamber.temperature);
        (
            self.into - self.out,
            (carried - squeezed + warmed) / chamber.volume,
        )
    }
}

/// Conductances that are open, dm³/(s·bar).
#[derive(Debug, Clone, Copy)]
pub(super) struct Open {
    pub(super) raise: [f64; 2],
    pub(super) lower: [f64; 2],
    pub(super) feed: f64,
}

/// Rates of the air: mass and pressure of left, right and reservoir, then what the
/// ledger takes and gives.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rates {
    pub(super) air: [(f64, f64); 3],
    pub(super) taken: f64,
    pub(super) given: f64,
}

/// The flows between shop air, reservoir, sides and the outside at this instant.
pub(super) fn rates(p: &Params, open: &Open, chambers: &[Chamber; 3]) -> Rates {
    let mut outside = Outside::default();
    let [left, right, tank] = chambers;
    let mut tank_air = Through::default();
    let mut left_air = Through::default();
    let mut right_air = Through::default();
    for (to, air, raise, lower) in [
        (left, &mut left_air, open.raise[0], open.lower[0]),
        (right, &mut right_air, open.raise[1], open.lower[1]),
    ] {
        let through =
            |c, b, from: &Chamber, p2| flow(c, b, from.pressure, from.temperature, p2, p.r_lam);
        let filled = through(raise, p.b_s, tank, to.pressure);
        tank_air.take(filled);
        air.bring(filled, tank.temperature);
        let dumped = through(lower, p.b_e, to, p.p_atm);
        air.take(dumped);
        outside.given += dumped;
        let drawn = flow(lower, p.b_e, p.p_atm, p.t_amb, to.pressure, p.r_lam);
        air.bring(drawn, p.t_amb);
        outside.taken += drawn;
    }
    cross(p, (left, &mut left_air), (right, &mut right_air));
    let fed = flow(open.feed, p.b_f, p.p_shop, p.t_amb, tank.pressure, p.r_lam);
    tank_air.bring(fed, p.t_amb);
    outside.taken += fed;
    let lost = flow(
        p.c_tleak,
        p.b_e,
        tank.pressure,
        tank.temperature,
        p.p_atm,
        p.r_lam,
    );
    tank_air.take(lost);
    outside.given += lost;
    Rates {
        air: [
            left_air.rates(left, p),
            right_air.rates(right, p),
            tank_air.rates(tank, p),
        ],
        taken: outside.taken,
        given: outside.given,
    }
}

/// What the ledger counts, kg/s.
#[derive(Debug, Default)]
struct Outside {
    taken: f64,
    given: f64,
}

/// The path between the sides: from the higher pressure to the lower.
fn cross(p: &Params, left: (&Chamber, &mut Through), right: (&Chamber, &mut Through)) {
    let (high, low) = if left.0.pressure > right.0.pressure {
        (left, right)
    } else {
        (right, left)
    };
    let passed = flow(
        p.c_x,
        p.b_e,
        high.0.pressure,
        high.0.temperature,
        low.0.pressure,
        p.r_lam,
    );
    high.1.take(passed);
    low.1.bring(passed, high.0.temperature);
}

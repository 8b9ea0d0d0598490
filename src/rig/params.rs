//! What the simulated rear end is made of: every number of the model, named by its
//! symbol. All invented; no vehicle is meant.
//!
//! SI inside: m, kg, s, N, Pa absolute, K. Only conductances are in dm³/(s·bar), as
//! they stand on a valve. Two values in brackets are left and right.

use super::parameter::PARAMETERS;

/// Gas constant of the reference air, J/(kg·K).
///
/// # Source
/// Reference air of ISO 6358-1 and ISO 8778: 20 °C, 1 bar, 65 % humidity.
pub const R_AIR: f64 = 288.0;

/// Temperature of the reference air, K.
///
/// # Source
/// As [`R_AIR`].
pub const T_REF: f64 = 293.15;

/// Fall, m/s². Common practice.
pub const GRAVITY: f64 = 9.81;

/// Declares the numbers once: as fields, and as symbols that a document may name.
macro_rules! numbers {
    ($($(#[doc = $about:literal])+ $symbol:ident: $numbers:ty),+ $(,)?) => {
        /// The numbers of one truck.
        ///
        /// Left is y > 0, up is positive; a roll angle is positive with the left side
        /// higher.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Params {
            $($(#[doc = $about])+ pub $symbol: $numbers,)+
        }

        /// Every symbol with its meaning, in the order of the model.
        pub const SYMBOLS: &[Symbol] = &[$(Symbol {
            name: stringify!($symbol),
            about: concat!($($about),+),
        }),+];

        impl Params {
            /// The numbers of a symbol: one, two sides, or three gauges.
            pub fn numbers(&self, symbol: &str) -> Option<&[f64]> {
                match symbol {
                    $(stringify!($symbol) => Some(self.$symbol.all()),)+
                    _ => None,
                }
            }

            /// The same, to be changed.
            pub fn numbers_mut(&mut self, symbol: &str) -> Option<&mut [f64]> {
                match symbol {
                    $(stringify!($symbol) => Some(self.$symbol.all_mut()),)+
                    _ => None,
                }
            }
        }
    };
}

numbers! {
    /// Pressure of the air outside, Pa.
    p_atm: f64,
    /// Temperature of the air outside, K.
    t_amb: f64,
    /// Exponent of the gas law: 1.4 with walls that pass warmth, 1 is isothermal.
    n: f64,
    /// Share of the frame's mass that rests on this axle, kg.
    m_f: f64,
    /// Roll inertia of the frame, kg·m².
    i_f: f64,
    /// How far to the left the load lies, m.
    y_cg: f64,
    /// Mass of the axle with wheels, kg.
    m_a: f64,
    /// Roll inertia of the axle, kg·m².
    i_a: f64,
    /// Axle centre to block seat, m.
    d_seat: f64,
    /// Free radius of the tyres, m.
    r_tyre: [f64; 2],
    /// Stiffness of the tyres of a side, N/m.
    k_t: f64,
    /// Damping of the tyres of a side, N·s/m.
    c_t: f64,
    /// Half the track, m.
    y_t: f64,
    /// Slope of the floor, rad, left high positive.
    slope: f64,
    /// Bellows a side.
    nb: f64,
    /// Bellows travel for each axle travel.
    i_b: f64,
    /// Bellows from the middle, m.
    y_b: f64,
    /// Frame-to-axle height that belongs to `h_ref`, m.
    s_ref: f64,
    /// Bellows height where the area is `a0`, m.
    h_ref: f64,
    /// Effective area of one bellows at `h_ref`, m².
    a0: f64,
    /// Its change with height, m.
    a1: f64,
    /// Its second coefficient.
    a2: f64,
    /// Its third coefficient, 1/m.
    a3: f64,
    /// Under this height over `h_ref` the area stays what it is, m.
    x_lo: f64,
    /// Over this height over `h_ref` the area stays what it is, m.
    x_hi: f64,
    /// Volume of one bellows at `h_ref`, with its hose, m³.
    v_ref: f64,
    /// Warmth through the walls of a side's bellows, W/K.
    g_w: f64,
    /// Damper of a side while it is pressed together, N·s/m.
    c_bump: f64,
    /// Damper of a side while it is drawn out, N·s/m.
    c_reb: f64,
    /// Dampers from the middle, m.
    y_d: f64,
    /// Anti-roll bar, N·m/rad.
    k_arb: f64,
    /// Damping in roll, N·m·s/rad.
    c_arb: f64,
    /// Stiffness of a spacer block, N/m.
    k_bl: f64,
    /// How its damping grows, s/m.
    chi_bl: f64,
    /// Block seats from the middle, m.
    y_bl: f64,
    /// Frame-to-axle height at which the upper stop tightens, m.
    s_up: [f64; 2],
    /// Stiffness of the upper stop, N/m.
    k_up: f64,
    /// How its damping grows, s/m.
    chi_up: f64,
    /// Upper stops from the middle, m.
    y_up: f64,
    /// Frame-to-axle height at which the bump stop is touched, m.
    s_bp: [f64; 2],
    /// Stiffness of the bump stop, N/m.
    k_bp: f64,
    /// Its cubic part, N/m³.
    k3_bp: f64,
    /// How its damping grows, s/m.
    chi_bp: f64,
    /// Bump stops from the middle, m.
    y_bp: f64,
    /// Raise path of a side, dm³/(s·bar).
    c_s: [f64; 2],
    /// Its critical ratio.
    b_s: f64,
    /// Lower path of a side, dm³/(s·bar).
    c_e: [f64; 2],
    /// Critical ratio of the lower path, the leaks and the cross path.
    b_e: f64,
    /// Path between the sides, dm³/(s·bar).
    c_x: f64,
    /// Leak through the seat of a raise valve, dm³/(s·bar).
    c_sleak: [f64; 2],
    /// Leak of a side to the outside, dm³/(s·bar).
    c_leak: [f64; 2],
    /// Leak of the reservoir, dm³/(s·bar).
    c_tleak: f64,
    /// Volume of the reservoir, m³.
    v_t: f64,
    /// Warmth through its walls, W/K.
    g_t: f64,
    /// Path from the shop air, dm³/(s·bar).
    c_f: f64,
    /// Its critical ratio.
    b_f: f64,
    /// Pressure of the shop air, Pa absolute.
    p_shop: f64,
    /// Pressure ratio from which the flow is a straight line to nothing.
    r_lam: f64,
    /// Lag of the gauges, s.
    tau_g: f64,
    /// What the gauges show of a bar: left, right, reservoir.
    g_scale: [f64; 3],
    /// What the gauges show of nothing, bar: left, right, reservoir.
    g_off: [f64; 3],
    /// Height sensor left of the middle, m.
    y_s: f64,
    /// Lever of the sensor, m.
    l1: f64,
    /// Its rod, m.
    l2: f64,
    /// Sensor shaft to the rod's lower end, along the truck, m.
    x_s: f64,
    /// Sensor shaft over the rod's lower end, beyond the frame-to-axle height, m.
    h_s: f64,
    /// Counts with the lever level.
    cnt0: f64,
    /// Counts for a radian.
    cnt_k: f64,
    /// Bracket bent along the truck, m.
    dx: f64,
    /// Bracket bent upwards, m.
    dy: f64,
    /// Lever slipped on its shaft, rad.
    dth: f64,
    /// Whole play of a worn rod joint, m.
    play: f64,
    /// Friction of bellows and joints of a side, N.
    friction: [f64; 2],
    /// Stiffness of a stand under the frame, N/m.
    k_st: f64,
    /// How its damping grows, s/m.
    chi_st: f64,
    /// Stands from the middle, m.
    y_st: f64,
    /// Stiffness of something that lies in the gap, N/m.
    k_lump: f64,
    /// How its damping grows, s/m.
    chi_lump: f64,
}

/// One number of the model, or those of its sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Symbol {
    /// As it is written.
    pub name: &'static str,
    /// What it is, with its unit.
    pub about: &'static str,
}

impl Symbol {
    /// The least and the most that each of its numbers may be.
    pub fn range(&self) -> (f64, f64) {
        range(self.name)
    }
}

/// One number as a list of one, several as they are.
trait Numbers {
    fn all(&self) -> &[f64];
    fn all_mut(&mut self) -> &mut [f64];
}

impl Numbers for f64 {
    fn all(&self) -> &[f64] {
        std::slice::from_ref(self)
    }

    fn all_mut(&mut self) -> &mut [f64] {
        std::slice::from_mut(self)
    }
}

impl<const N: usize> Numbers for [f64; N] {
    fn all(&self) -> &[f64] {
        self
    }

    fn all_mut(&mut self) -> &mut [f64] {
        self
    }
}

/// The invented truck with one bellows a side, on trailing arms; every fault at nothing.
const TWO_BELLOWS: Params = Params {
    p_atm: 1.0e5,
    t_amb: T_REF,
    n: 1.4,
    m_f: 1750.0,
    i_f: 560.0,
    y_cg: 0.0,
    m_a: 1100.0,
    i_a: 480.0,
    d_seat: 0.120,
    r_tyre: [0.505; 2],
    k_t: 1.6e6,
    c_t: 4.0e3,
    y_t: 0.92,
    slope: 0.0,
    nb: 1.0,
    i_b: 1.20,
    y_b: 0.40,
    s_ref: 0.190,
    h_ref: 0.280,
    a0: 0.0550,
    a1: -0.020,
    a2: 0.0,
    a3: -1.8,
    x_lo: -0.16,
    x_hi: 0.20,
    v_ref: 0.0140,
    g_w: 7.0,
    c_bump: 4.0e3,
    c_reb: 8.0e3,
    y_d: 0.38,
    k_arb: 2.0e5,
    c_arb: 1.5e3,
    k_bl: 3.0e7,
    chi_bl: 8.0,
    y_bl: 0.42,
    s_up: [0.310; 2],
    k_up: 2.5e6,
    chi_up: 4.0,
    y_up: 0.45,
    s_bp: [0.113; 2],
    k_bp: 4.0e5,
    k3_bp: 8.0e8,
    chi_bp: 3.0,
    y_bp: 0.40,
    c_s: [0.40; 2],
    b_s: 0.30,
    c_e: [1.10; 2],
    b_e: 0.30,
    c_x: 0.0,
    c_sleak: [0.0; 2],
    c_leak: [0.0; 2],
    c_tleak: 0.0,
    v_t: 0.060,
    g_t: 12.0,
    c_f: 0.50,
    b_f: 0.30,
    p_shop: 9.5e5,
    r_lam: 0.995,
    tau_g: 0.6,
    g_scale: [1.0; 3],
    g_off: [0.0; 3],
    y_s: 0.30,
    l1: 0.220,
    l2: 0.260,
    x_s: 0.220,
    h_s: 0.070,
    cnt0: 512.0,
    cnt_k: 600.0,
    dx: 0.0,
    dy: 0.0,
    dth: 0.0,
    play: 0.0,
    friction: [0.0; 2],
    k_st: 3.0e7,
    chi_st: 8.0,
    y_st: 0.39,
    k_lump: 1.5e6,
    chi_lump: 4.0,
};

/// The invented truck with two bellows a side, before and behind the axle.
const FOUR_BELLOWS: Params = Params {
    m_f: 2050.0,
    i_f: 660.0,
    m_a: 1250.0,
    i_a: 540.0,
    k_t: 1.7e6,
    nb: 2.0,
    i_b: 1.00,
    y_b: 0.42,
    h_ref: 0.240,
    a0: 0.0365,
    a1: -0.015,
    a3: -1.6,
    x_lo: -0.14,
    x_hi: 0.16,
    v_ref: 0.0078,
    g_w: 9.0,
    c_bump: 4.5e3,
    c_reb: 9.0e3,
    k_arb: 2.4e5,
    c_s: [0.48; 2],
    c_e: [1.30; 2],
    v_t: 0.080,
    ..TWO_BELLOWS
};

impl Params {
    /// The invented truck with one bellows a side, on trailing arms; no fault.
    pub fn two_bellows() -> Self {
        TWO_BELLOWS
    }

    /// The invented truck with two bellows a side, before and behind the axle; no fault.
    pub fn four_bellows() -> Self {
        FOUR_BELLOWS
    }

    /// A number that no truck has, if there is one: its symbol, and what is accepted.
    pub fn fault(&self) -> Option<(&'static str, String)> {
        for symbol in SYMBOLS {
            let (least, most) = range(symbol.name);
            let numbers = self.numbers(symbol.name).unwrap_or_default();
            if !numbers.iter().all(|x| (least..=most).contains(x)) {
                return Some((symbol.name, format!("from {least} to {most}")));
            }
        }
        None
    }
}

/// What a number may be at all: as documents have it, and for those that no document
/// sets wide enough that only slips and other units are refused.
fn range(symbol: &str) -> (f64, f64) {
    let set = PARAMETERS.iter().find(|p| p.symbol == symbol);
    match (set, symbol) {
        (Some(parameter), _) => (parameter.least, parameter.most),
        (None, "r_lam") => (0.95, 0.9999),
        (None, "chi_bl" | "chi_st" | "chi_up" | "chi_lump" | "chi_bp") => (0.0, 50.0),
        (None, "k_st" | "k_lump") => (0.0, 5.0e7),
        // The rest are lengths.
        (None, _) => (0.0, 2.0),
    }
}

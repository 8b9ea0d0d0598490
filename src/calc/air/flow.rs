//! What a valve lets through: ISO 6358.

use uom::si::f64::{MassRate, Ratio, ThermodynamicTemperature, VolumeRate};
use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{N1, P1, P4, Z0};

use super::SUBJECT;
use super::gas::warmth;
use crate::calc::amount::{Absolute, Amount};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Temperature of the air that volume flows are counted in, K.
///
/// # Source
/// ISO 6358-1 (form read in public help pages): 20 °C, 1 bar abs, 65 % humidity.
pub const FLOW_AIR_K: f64 = 293.15;

/// Pressure of that air, Pa.
///
/// # Source
/// As [`FLOW_AIR_K`].
pub const FLOW_AIR_PA: f64 = 1e5;

/// Density of that air, kg/m³.
///
/// # Source
/// As [`FLOW_AIR_K`].
pub const FLOW_AIR_DENSITY_KG_M3: f64 = 1.185;

/// Volume flow for each pressure before the valve.
pub type Conductance = Quantity<ISQ<P4, N1, P1, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// A valve, with the line that belongs to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Valve {
    /// Its sonic conductance C.
    pub conductance: Conductance,
    /// Its critical pressure ratio b.
    pub critical: Ratio,
}

impl Valve {
    /// How much of the sonic flow passes at this ratio of absolute pressures:
    /// 1 up to b, then √(1 − ((r − b) / (1 − b))²).
    pub(super) fn share(&self, ratio: f64) -> f64 {
        let b = self.critical.si();
        if ratio <= b {
            return 1.0;
        }
        let over = (ratio - b) / (1.0 - b);
        (1.0 - over * over).max(0.0).sqrt()
    }
}

/// Whether the air goes through at the speed of sound: then the pressure behind the
/// valve does not matter.
pub fn is_sonic(valve: &Valve, before: Absolute, behind: Absolute) -> bool {
    behind.si() <= valve.critical.si() * before.si()
}

/// Volume flow, counted in air of 20 °C and 1 bar abs:
/// q = C p1 √(T0 / T1) × share.
///
/// # Errors
/// A pressure behind the valve that is over the one before it.
///
/// # Source
/// ISO 6358-1; the index 0.5 under the speed of sound is its default (from memory,
/// very sure).
pub fn volume_flow(
    valve: &Valve,
    before: Absolute,
    behind: Absolute,
    temperature: ThermodynamicTemperature,
) -> Result<VolumeRate, Snag> {
    if behind > before {
        return Err(Snag::new(
            "behind",
            "air flows from the higher pressure to the lower; before the valve is the higher one",
        ));
    }
    let sonic: VolumeRate = valve.conductance * before.0;
    let cooler = (FLOW_AIR_K / temperature.si()).sqrt();
    Ok(sonic * cooler * valve.share(behind.si() / before.si()))
}

/// Mass of a volume flow: ρ0 q, with ρ0 = 1.185 kg/m³.
///
/// # Source
/// ISO 6358-1, density of its reference air.
pub fn mass_flow(flow: VolumeRate) -> MassRate {
    MassRate::of_si(FLOW_AIR_DENSITY_KG_M3 * flow.si())
}

/// The input for a sonic conductance.
pub(super) const CONDUCTANCE: Input =
    Input::one("conductance", "sonic conductance C", Kind::Conductance)
        .least(1e-12, "something must pass the valve");

/// The input for a critical ratio.
pub(super) const CRITICAL: Input = Input::one("critical", "critical ratio b", Kind::Ratio).within(
    0.0,
    0.9,
    "valves lie at 0.2 to 0.5; 0.528 is a perfect nozzle",
);

const SONIC: &str = "at the speed of sound";
const SUBSONIC: &str = "under the speed of sound";
const NOTHING: &str = "nothing flows";
const REAL: &str = "pressure over vacuum";

/// Flow through a valve.
pub(in crate::calc) static VALVE_FLOW: Sum = Sum {
    name: "valve_flow",
    subject: SUBJECT,
    title: "how much air a valve lets through",
    formula: &[
        "flow = C × p1 × √(293.15 K / T1) × share",
        "share = 1 up to p2/p1 = b, then √(1 − ((p2/p1 − b) / (1 − b))²)",
        "mass flow = 1.185 kg/m³ × flow",
    ],
    source: "ISO 6358-1, index 0.5",
    range: "absolute pressures; flow counted in air of 20 °C and 1 bar abs at 65 % humidity; steady flow",
    inputs: &[
        CONDUCTANCE,
        CRITICAL,
        Input::one(
            "before",
            "pressure before the valve",
            Kind::AbsolutePressure,
        )
        .least(1e3, REAL),
        Input::one(
            "behind",
            "pressure behind the valve",
            Kind::AbsolutePressure,
        )
        .least(0.0, REAL),
        warmth("temperature", "temperature before the valve"),
    ],
    outputs: &[
        Output::of("flow", "volume flow", Kind::Flow),
        Output::of("mass_flow", "mass flow", Kind::MassFlow),
        Output::word("speed", "how it flows", &[SONIC, SUBSONIC, NOTHING]),
    ],
    example: &[
        ("conductance", "5 dm³/(s·bar)"),
        ("critical", "0.30"),
        ("before", "9.5 bar abs"),
        ("behind", "2.3 bar abs"),
        ("temperature", "20 °C"),
    ],
    picture: None,
    work: through,
};

fn through(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let valve = Valve {
        conductance: given.get(0),
        critical: given.get(1),
    };
    let (before, behind): (Absolute, Absolute) = (given.get(2), given.get(3));
    let flow = volume_flow(&valve, before, behind, given.get(4))?;
    out.set(0, flow);
    out.set(1, mass_flow(flow));
    let speed = if before == behind {
        NOTHING
    } else if is_sonic(&valve, before, behind) {
        SONIC
    } else {
        SUBSONIC
    };
    out.say(2, speed);
    Ok(())
}

//! Air that is shut in: what cooling does to its pressure, and how much of it a
//! fall of pressure is.
//!
//! Invariant: every pressure in a ratio is over vacuum, by type.

use uom::si::f64::{
    CatalyticActivity, MassRate, Power, Pressure, ThermodynamicTemperature, Time, Volume,
    VolumeRate,
};

use super::SUBJECT;
use super::trend::PressureRate;
use crate::calc::air::{cooling_for_drop, locked_pressure};
use crate::calc::amount::{AIR_OUTSIDE_PA, Absolute, Amount, Gauge};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Molar gas constant, J/(mol·K).
///
/// # Source
/// CODATA 2018, exact since 2019 (from memory, very sure).
pub const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Specific gas constant of dry air, J/(kg·K): the molar one over 28.9644 g/mol.
///
/// # Source
/// US Standard Atmosphere 1976, mean molar mass 28.9644 g/mol (from memory, sure);
/// moist shop air is up to 1 % lighter.
pub const AIR_CONSTANT: f64 = GAS_CONSTANT / 0.028_964_4;

/// Where nobody says how warm the air is: 20 °C.
const USUAL_K: f64 = 293.15;

/// Pressure times volume that leaves in a time: V·Δp/t.
///
/// # Units
/// Pa·m³/s, which is W; 1 mbar·L/s is 0.1 of it.
///
/// # Source
/// Pressure-drop leak test, the form that leak calculators print.
pub fn throughput(volume: Volume, rate: PressureRate) -> Power {
    volume * rate
}

/// The same as a flow of air at the pressure outside and the temperature inside.
pub fn free_air(volume: Volume, rate: PressureRate, outside: Absolute) -> VolumeRate {
    throughput(volume, rate) / outside.0
}

/// The same as mass in a time.
///
/// # Source
/// Ideal gas: V·Δp/(R·T·t) with [`AIR_CONSTANT`].
pub fn mass_lost(volume: Volume, rate: PressureRate, warm: ThermodynamicTemperature) -> MassRate {
    MassRate::of_si(throughput(volume, rate).si() / (AIR_CONSTANT * warm.si()))
}

/// Amount of substance gained by a volume in a time; − is lost.
///
/// # Units
/// mol/s.
///
/// # Source
/// 40 CFR 1065.644: (V/R)·(p2/T2 − p1/T1)/(t2 − t1).
pub fn amount_rate(
    volume: Volume,
    (before, first): (Absolute, ThermodynamicTemperature),
    (after, last): (Absolute, ThermodynamicTemperature),
    time: Time,
) -> CatalyticActivity {
    let change = after.si() / last.si() - before.si() / first.si();
    CatalyticActivity::of_si(volume.si() / GAS_CONSTANT * change / time.si())
}

/// Pressure of the air outside, over vacuum.
pub(super) const OUTSIDE: Input = Input::one(
    "outside",
    "air pressure outside (1.01325 bar abs if left out)",
    Kind::AbsolutePressure,
)
.optional()
.within(
    5e4,
    1.1e5,
    "the air outside has 0.5 to 1.1 bar abs wherever trucks go",
);

/// The air outside as given, or the standard one.
pub(super) fn outside(given: &Inputs<'_>, at: usize) -> Absolute {
    given
        .maybe(at)
        .unwrap_or_else(|| Absolute::of_si(AIR_OUTSIDE_PA))
}

const AIR: &str = "shut-in air is between −50 and 120 °C";

/// Air that went out with a fall of pressure.
pub(in crate::calc) static AIR_LOST: Sum = Sum {
    name: "air_lost",
    subject: SUBJECT,
    title: "how much air a fall of pressure is",
    formula: &[
        "free air = volume · fall / outside pressure",
        "flow = free air / time",
        "mass flow = volume · fall / (287.06 J/(kg·K) · temperature · time)",
    ],
    source: "ideal gas; 40 CFR 1065.644 with one temperature",
    range: "A volume that stays as it is. A bellows that sinks while it leaks gives way, so this is the least that went out. \
            The flow is of air at the pressure outside and the temperature inside, not at 1 bar abs.",
    inputs: &[
        Input::one("volume", "volume that is shut in", Kind::Volume)
            .least(1e-6, "a volume is more than nothing"),
        Input::one("drop", "fall of pressure", Kind::PressureDifference),
        Input::one("over", "time of the fall", Kind::Time)
            .least(1.0, "in less than a second no leak is judged"),
        OUTSIDE,
        Input::one(
            "temperature",
            "temperature of the air (20 °C if left out)",
            Kind::Temperature,
        )
        .optional()
        .within(223.15, 393.15, AIR),
    ],
    outputs: &[
        Output::of("flow", "free air in a time", Kind::Flow),
        Output::of("lost", "free air in all", Kind::Volume),
        Output::of("mass_flow", "mass in a time", Kind::MassFlow),
    ],
    example: &[("volume", "20 L"), ("drop", "0.05 bar"), ("over", "10 min")],
    picture: None,
    work: |given, out| {
        let (volume, over) = (given.get::<Volume>(0), given.get::<Time>(2));
        let rate = given.get::<Pressure>(1) / over;
        let flow = free_air(volume, rate, outside(given, 3));
        let warm = given.maybe(4);
        let warm = warm.unwrap_or_else(|| ThermodynamicTemperature::of_si(USUAL_K));
        out.set(0, flow);
        out.set(1, flow * over);
        out.set(2, mass_lost(volume, rate, warm));
        Ok(())
    },
};

/// What cooling alone does.
pub(in crate::calc) static COOLED_AIR: Sum = Sum {
    name: "cooled_air",
    subject: SUBJECT,
    title: "what a change of temperature alone does to the pressure of shut-in air",
    formula: &[
        "pressure after, abs = pressure before, abs · T after / T before",
        "cooling that looks like a leak = T before · fall / pressure before, abs",
    ],
    source: "ideal gas at one volume (Gay-Lussac); temperatures from absolute zero",
    range: "The volume is shut in and stays as it is. A bellows under a load keeps its pressure and sinks instead: look at the height.",
    inputs: &[
        Input::one("pressure", "pressure before", Kind::GaugePressure)
            .least(-5e4, "a shut bellows or tank holds no vacuum"),
        Input::one("before", "temperature before", Kind::Temperature).within(223.15, 393.15, AIR),
        Input::one("after", "temperature after", Kind::Temperature).within(223.15, 393.15, AIR),
        Input::one("seen", "fall that was seen", Kind::PressureDifference).optional(),
        OUTSIDE,
    ],
    outputs: &[
        Output::of("pressure_after", "pressure after", Kind::GaugePressure),
        Output::of(
            "drop",
            "fall by cooling alone, + is falling",
            Kind::PressureDifference,
        ),
        Output::of(
            "cooling",
            "cooling that would look like the fall seen",
            Kind::TemperatureStep,
        )
        .optional(),
        Output::of(
            "rest",
            "fall seen less fall by cooling",
            Kind::PressureDifference,
        )
        .optional(),
    ],
    example: &[
        ("pressure", "5.0 bar"),
        ("before", "30 °C"),
        ("after", "27 °C"),
        ("seen", "0.08 bar"),
    ],
    picture: None,
    work: cooled,
};

fn cooled(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let outside = outside(given, 4);
    let before = given.get::<Gauge>(0).over(outside);
    if before.si() <= 0.0 {
        return Err(Snag::new("pressure", "there is no pressure below vacuum"));
    }
    let after = locked_pressure(before, given.get(1), given.get(2));
    let drop = before.0 - after.0;
    out.set(0, Gauge(after.0 - outside.0));
    out.set(1, drop);
    if let Some(seen) = given.maybe::<Pressure>(3) {
        out.set(2, cooling_for_drop(before, given.get(1), seen));
        out.set(3, seen - drop);
    }
    Ok(())
}

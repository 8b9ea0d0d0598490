//! Loads from bellows pressures, and pressures from loads.

use uom::si::f64::{Acceleration, Area, Force, Length, Mass, Pressure, Ratio};

use super::{SUBJECT, whole};
use crate::calc::amount::{Amount, GRAVITY, Gauge};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// What of an axle bears on the bellows sums.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axle {
    /// Effective area of one bellows at the height it stands at.
    pub area: Area,
    /// Bellows on each side.
    pub bellows_a_side: Ratio,
    /// Pivot to bellows over pivot to axle.
    pub lever_ratio: Ratio,
    /// Axle with wheels, what the bellows do not carry.
    pub unsprung: Mass,
}

/// The load on an axle, worked out from its bellows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleLoad {
    /// On the ground, the axle itself counted in.
    pub total: Mass,
    /// What the bellows carry, both sides.
    pub sprung: Mass,
    /// What the left bellows carry.
    pub left: Mass,
    /// What the right bellows carry.
    pub right: Mass,
}

impl AxleLoad {
    /// How much of the sprung load the left side carries; `None` without a load.
    pub fn left_share(&self) -> Option<Ratio> {
        (self.sprung.value != 0.0).then(|| self.left / self.sprung)
    }
}

fn gravity() -> Acceleration {
    Acceleration::of_si(GRAVITY)
}

/// The force of one bellows: F = p A, with the gauge pressure and the effective area
/// at its height.
///
/// # Source
/// Definition of the effective area.
pub fn bellows_force(pressure: Gauge, area: Area) -> Force {
    pressure.0 * area
}

/// The mass that a force holds up: m = F / g.
pub fn carried_mass(force: Force) -> Mass {
    force / gravity()
}

/// What an axle carries with these pressures left and right.
///
/// # Source
/// F = p A; moments about the pivot of the arm: load at the axle = F × lever ratio.
/// Our derivation, friction and the twist of the anti-roll bar left out.
pub fn axle_load(left: Gauge, right: Gauge, axle: &Axle) -> AxleLoad {
    let side = |pressure: Gauge| -> Mass {
        carried_mass(bellows_force(pressure, axle.area)) * axle.bellows_a_side * axle.lever_ratio
    };
    let (left, right) = (side(left), side(right));
    AxleLoad {
        total: left + right + axle.unsprung,
        sprung: left + right,
        left,
        right,
    }
}

/// The pressure at another height with the same load: p2 = p1 A1 / A2.
///
/// # Source
/// F = p A with the same F. Our derivation.
pub fn pressure_at(pressure: Gauge, area: Area, there: Area) -> Gauge {
    Gauge(pressure.0 * (area / there))
}

/// The pressure that carries a sprung mass: p = m g / (n r A), for n bellows, the
/// lever ratio r and the area A of one.
///
/// # Source
/// As [`axle_load`], turned round.
pub fn sprung_pressure(sprung: Mass, bellows: Ratio, lever_ratio: Ratio, area: Area) -> Gauge {
    let force: Force = sprung * gravity() / (bellows * lever_ratio);
    Gauge(force / area)
}

/// How far the middle of the load lies off the middle of the axle: e = (s / 2)
/// (L − R) / (L + R), where the loads stand s apart.
///
/// # Units
/// + is towards the left side.
///
/// # Errors
/// No load at all.
///
/// # Source
/// Moments about the middle. Our derivation.
pub fn load_offset(left: Mass, right: Mass, spacing: Length) -> Result<Length, Snag> {
    let both = left + right;
    if both.value == 0.0 {
        return Err(Snag::new("left_load", "there is no load on either side"));
    }
    Ok(spacing * ((left - right) / both) / 2.0)
}

/// Why a pressure under zero is not taken.
pub(super) const PUSHES: &str = "a bellows pushes, it can't pull";
/// Why an area of nothing is not taken.
pub(super) const HAS_AREA: &str = "the effective area of one bellows";
const LEVER: &str = "pivot to bellows over pivot to axle, 1 where the bellows stand on the axle";
const COUNTED: &str = "bellows are counted in whole ones, at least one";
const NO_LESS: &str = "a mass can't be less than nothing";

/// Smallest area that is taken, m².
pub(super) const LEAST_AREA: f64 = 1e-4;
const LEVERS: (f64, f64) = (0.2, 5.0);

/// Load of one bellows.
pub(in crate::calc) static BELLOWS_LOAD: Sum = Sum {
    name: "bellows_load",
    subject: SUBJECT,
    title: "what one bellows carries",
    formula: &["load = pressure × area / g", "g = 9.80665 m/s²"],
    source: "definition of the effective area",
    range: "gauge pressure, standing still; the area is the one at this height, from the maker's diagram",
    inputs: &[
        Input::one("pressure", "bellows pressure", Kind::GaugePressure).least(0.0, PUSHES),
        Input::one("area", "effective area at this height", Kind::Area).least(LEAST_AREA, HAS_AREA),
    ],
    outputs: &[
        Output::of("load", "mass that it carries", Kind::Mass),
        Output::of("force", "force", Kind::Force),
    ],
    example: &[("pressure", "1.30 bar"), ("area", "550 cm²")],
    picture: None,
    work: |given, out| {
        let force = bellows_force(given.get(0), given.get(1));
        out.set(0, carried_mass(force));
        out.set(1, force);
        Ok(())
    },
};

/// Load of an axle.
pub(in crate::calc) static AXLE_LOAD: Sum = Sum {
    name: "axle_load",
    subject: SUBJECT,
    title: "what an axle carries, from the bellows pressures left and right",
    formula: &[
        "side = bellows a side × pressure × area × lever ratio / g",
        "axle = left + right + axle with wheels",
        "lever ratio = pivot to bellows / pivot to axle",
    ],
    source: "effective area, and moments about the pivot of the arm; our derivation",
    range: "standing still on level floor; friction in the bushes and the twist of the anti-roll bar are left out, they can be some per cent",
    inputs: &[
        Input::one("left", "left bellows pressure", Kind::GaugePressure).least(0.0, PUSHES),
        Input::one("right", "right bellows pressure", Kind::GaugePressure).least(0.0, PUSHES),
        Input::one("area", "effective area of one bellows", Kind::Area).least(LEAST_AREA, HAS_AREA),
        Input::one("bellows_a_side", "bellows on each side", Kind::Count).least(1.0, COUNTED),
        Input::one("lever_ratio", "lever ratio", Kind::Ratio).within(LEVERS.0, LEVERS.1, LEVER),
        Input::one("unsprung", "axle with wheels", Kind::Mass).least(0.0, NO_LESS),
    ],
    outputs: &[
        Output::of("axle_load", "load on the axle at the ground", Kind::Mass),
        Output::of("sprung", "what the bellows carry", Kind::Mass),
        Output::of("left_load", "left side", Kind::Mass),
        Output::of("right_load", "right side", Kind::Mass),
        Output::of("left_share", "share of the left side", Kind::Ratio).optional(),
        Output::of("side_difference", "left less right", Kind::Mass),
    ],
    example: &[
        ("left", "1.35 bar ± 0.1 bar step 0.05 bar"),
        ("right", "1.25 bar ± 0.1 bar step 0.05 bar"),
        ("area", "550 cm²"),
        ("bellows_a_side", "1"),
        ("lever_ratio", "1.20"),
        ("unsprung", "1100 kg"),
    ],
    picture: None,
    work: |given, out| {
        whole(given.get(3), "bellows_a_side", COUNTED)?;
        let axle = Axle {
            area: given.get(2),
            bellows_a_side: given.get(3),
            lever_ratio: given.get(4),
            unsprung: given.get(5),
        };
        let load = axle_load(given.get(0), given.get(1), &axle);
        out.set(0, load.total);
        out.set(1, load.sprung);
        out.set(2, load.left);
        out.set(3, load.right);
        if let Some(share) = load.left_share() {
            out.set(4, share);
        }
        out.set(5, load.left - load.right);
        Ok(())
    },
};

const AREA_RIDE: Input = Input::one("area_ride", "effective area at ride height", Kind::Area)
    .least(LEAST_AREA, HAS_AREA);
const AREA_UPPER: Input = Input::one("area_upper", "area at the upper stop", Kind::Area)
    .optional()
    .least(LEAST_AREA, HAS_AREA);
const AREA_LOWER: Input = Input::one("area_lower", "area at the lower stop", Kind::Area)
    .optional()
    .least(LEAST_AREA, HAS_AREA);
const PRESSURE_RIDE: Output = Output::of("ride", "pressure at ride height", Kind::GaugePressure);
const PRESSURE_UPPER: Output = Output::of(
    "upper",
    "pressure as the upper stop is touched",
    Kind::GaugePressure,
)
.optional();
const PRESSURE_LOWER: Output = Output::of(
    "lower",
    "pressure just over the lower stop",
    Kind::GaugePressure,
)
.optional();

/// Pressure from a load.
pub(in crate::calc) static BELLOWS_PRESSURE: Sum = Sum {
    name: "bellows_pressure",
    subject: SUBJECT,
    title: "the bellows pressure to expect from the load on the axle",
    formula: &["pressure = (axle load − axle with wheels) × g / (bellows × lever ratio × area)"],
    source: "effective area, and moments about the pivot of the arm; our derivation",
    range: "standing still, the same load left and right; at a stop the pressure is the one just before it takes load. Where the sprung mass itself is known, give 0 for the axle with wheels",
    inputs: &[
        Input::one("axle_load", "load on the axle at the ground", Kind::Mass).least(0.0, NO_LESS),
        Input::one("unsprung", "axle with wheels", Kind::Mass).least(0.0, NO_LESS),
        Input::one("bellows", "bellows on the axle", Kind::Count).least(1.0, COUNTED),
        Input::one("lever_ratio", "lever ratio", Kind::Ratio).within(LEVERS.0, LEVERS.1, LEVER),
        AREA_RIDE,
        AREA_UPPER,
        AREA_LOWER,
    ],
    outputs: &[PRESSURE_RIDE, PRESSURE_UPPER, PRESSURE_LOWER],
    example: &[
        ("axle_load", "2850 kg"),
        ("unsprung", "1100 kg"),
        ("bellows", "2"),
        ("lever_ratio", "1.20"),
        ("area_ride", "550 cm²"),
    ],
    picture: None,
    work: expect_from_load,
};

fn expect_from_load(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let sprung: Mass = given.get::<Mass>(0) - given.get::<Mass>(1);
    if sprung.value < 0.0 {
        return Err(Snag::new(
            "unsprung",
            "the axle alone can't weigh more than what stands on the ground",
        ));
    }
    whole(given.get(2), "bellows", COUNTED)?;
    let at = |area| sprung_pressure(sprung, given.get(2), given.get(3), area);
    out.set(0, at(given.get(4)));
    for (result, input) in [(1, 5), (2, 6)] {
        if let Some(area) = given.maybe(input) {
            out.set(result, at(area));
        }
    }
    Ok(())
}

/// Pressure at each place from the one as found.
pub(in crate::calc) static PLACE_PRESSURE: Sum = Sum {
    name: "place_pressure",
    subject: SUBJECT,
    title: "the pressure to expect at each height, from the pressure as found",
    formula: &["pressure there = pressure as found × area as found / area there"],
    source: "the same load at every height (pressure × area stays); our derivation",
    range: "the same load on the bellows at each height, standing still; at a stop the pressure is the one just before it takes load, and rises after",
    inputs: &[
        Input::one("pressure", "pressure as found", Kind::GaugePressure).least(0.0, PUSHES),
        Input::one("area_found", "effective area as found", Kind::Area).least(LEAST_AREA, HAS_AREA),
        AREA_RIDE,
        AREA_UPPER,
        AREA_LOWER,
        Input::one("upper_limit", "most at the upper stop", Kind::GaugePressure)
            .optional()
            .least(0.0, PUSHES),
    ],
    outputs: &[
        PRESSURE_RIDE,
        PRESSURE_UPPER,
        PRESSURE_LOWER,
        Output::of(
            "upper_margin",
            "room to the most at the upper stop",
            Kind::PressureDifference,
        )
        .optional(),
    ],
    example: &[
        ("pressure", "19.9 psi"),
        ("area_found", "85 in²"),
        ("area_ride", "85 in²"),
        ("area_upper", "73 in²"),
        ("area_lower", "92 in²"),
        ("upper_limit", "29 psi"),
    ],
    picture: None,
    work: expect_from_found,
};

fn expect_from_found(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let at = |there| pressure_at(given.get(0), given.get(1), there);
    out.set(0, at(given.get(2)));
    let upper = given.maybe(3).map(at);
    if let Some(upper) = upper {
        out.set(1, upper);
    }
    if let Some(lower) = given.maybe(4).map(at) {
        out.set(2, lower);
    }
    if let (Some(upper), Some(limit)) = (upper, given.maybe::<Pressure>(5)) {
        out.set(3, limit - upper.0);
    }
    Ok(())
}

/// Sideways place of a load.
pub(in crate::calc) static LOAD_OFFSET: Sum = Sum {
    name: "load_offset",
    subject: SUBJECT,
    title: "how far the load lies off the middle of the axle",
    formula: &["offset = spacing / 2 × (left − right) / (left + right)"],
    source: "moments about the middle of the axle; our derivation",
    range: "+ is towards the left. With loads from the bellows the spacing is from bellows to bellows; with wheel loads it is between the middles of the tyre pairs",
    inputs: &[
        Input::one("left_load", "left load", Kind::Mass).least(0.0, NO_LESS),
        Input::one("right_load", "right load", Kind::Mass).least(0.0, NO_LESS),
        Input::one("spacing", "spacing of the loads", Kind::Length)
            .least(0.1, "the loads stand apart, at least 100 mm"),
    ],
    outputs: &[
        Output::of("offset", "offset, + to the left", Kind::Length),
        Output::of("left_share", "share of the left side", Kind::Ratio),
    ],
    example: &[
        ("left_load", "900 kg"),
        ("right_load", "850 kg"),
        ("spacing", "800 mm"),
    ],
    picture: None,
    work: |given, out| {
        let (left, right): (Mass, Mass) = (given.get(0), given.get(1));
        out.set(0, load_offset(left, right, given.get(2))?);
        out.set(1, left / (left + right));
        Ok(())
    },
};

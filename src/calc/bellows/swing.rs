//! How the frame swings on its bellows: stiffness, frequency, damping, and the
//! numbers of the law for a suspension that counts as good as air.

use std::f64::consts::TAU;

use uom::si::f64::{Area, Frequency, Length, Ratio, Volume};
use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{N2, P1, Z0};

use super::load::{HAS_AREA, LEAST_AREA};
use super::{SUBJECT, whole};
use crate::calc::amount::{Absolute, Amount, GRAVITY, Gauge};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Force for a way.
pub type Stiffness = Quantity<ISQ<Z0, P1, N2, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// A bellows at the height it stands at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSpring {
    /// Its pressure.
    pub pressure: Gauge,
    /// The air outside.
    pub outside: Absolute,
    /// Its effective area.
    pub area: Area,
    /// Its volume, with what is always open to it.
    pub volume: Volume,
    /// Area gained for each length lower: m² for m.
    pub area_gain: Length,
}

/// Stiffness of a bellows: `k = n p_abs A² / V + p_g × area gain`, with n from 1.0
/// (slow) to 1.4 (fast).
///
/// # Source
/// Gas law p Vⁿ = const, derived by height (check values: C; the family of formulas
/// is public).
pub fn stiffness(spring: &AirSpring, exponent: Ratio) -> Stiffness {
    let gas = spring.pressure.over(spring.outside).0 * spring.area * spring.area / spring.volume;
    gas * exponent + spring.pressure.0 * spring.area_gain
}

/// Natural frequency of what a bellows carries: f = √(k r g / F) / 2π. With r = 1 and
/// no area gain this is `(1/2π) √(n g (p_abs / p_g) A / V)`.
///
/// The lever ratio r is pivot to bellows over pivot to axle: the stiffness at the axle
/// is k r², the load there F r.
///
/// # Errors
/// No load, or a spring that does not push back.
///
/// # Source
/// As [`stiffness`]; the lever is our derivation.
pub fn frequency(
    spring: &AirSpring,
    exponent: Ratio,
    lever_ratio: Ratio,
) -> Result<Frequency, Snag> {
    let load = spring.pressure.0.si() * spring.area.si();
    if load <= 0.0 {
        return Err(Snag::new("pressure", "without a load nothing swings"));
    }
    let square = stiffness(spring, exponent).si() * lever_ratio.si() * GRAVITY / load;
    if square <= 0.0 {
        return Err(Snag::new(
            "area_above",
            "with this change of area the bellows does not push back",
        ));
    }
    Ok(Frequency::of_si(square.sqrt() / TAU))
}

/// Natural logarithm of two peaks over the swings between them.
fn decrement(first: Length, later: Length, swings: Ratio) -> Result<f64, Snag> {
    let (first, later) = (first.si().abs(), later.si().abs());
    if later <= 0.0 || later >= first {
        return Err(Snag::new(
            "later",
            "the later peak must be smaller than the first, and not nothing",
        ));
    }
    Ok((first / later).ln() / swings.si())
}

/// Share of the critical damping, from two peaks on the same side of rest:
/// D = δ / √(4π² + δ²), δ = ln(first / later) / swings.
///
/// # Errors
/// A later peak that is not smaller than the first.
///
/// # Source
/// Logarithmic decrement, exact for damping that grows with speed (derived).
pub fn damping_ratio(first: Length, later: Length, swings: Ratio) -> Result<Ratio, Snag> {
    let decrement = decrement(first, later, swings)?;
    Ok(Ratio::of_si(decrement / TAU.hypot(decrement)))
}

/// The same by the short form D = δ / 2π, which reads higher.
///
/// # Errors
/// As [`damping_ratio`].
///
/// # Source
/// Directive 96/53/EC Annex II 3 (from memory; check the document).
pub fn damping_short_form(first: Length, later: Length, swings: Ratio) -> Result<Ratio, Snag> {
    Ok(Ratio::of_si(decrement(first, later, swings)? / TAU))
}

/// The frequency without damping, from the swings that were timed: `f = f_d / √(1 − D²)`.
pub fn undamped_frequency(timed: Frequency, damping: Ratio) -> Frequency {
    timed / (1.0 - damping.si().powi(2)).sqrt()
}

/// Most for the frequency, Hz.
///
/// # Source
/// Directive 96/53/EC Annex II 2 (from memory, very sure).
pub const MOST_FREQUENCY_HZ: f64 = 2.0;

/// Damping must be more than this share of the critical.
///
/// # Source
/// Directive 96/53/EC Annex II 2 ("more than 20 %" read, the rest from memory, very
/// sure).
pub const LEAST_DAMPING: f64 = 0.20;

/// With the dampers off, at most this share of the damping.
///
/// # Source
/// Directive 96/53/EC Annex II 2 (from memory, very sure).
pub const MOST_UNDAMPED_SHARE: f64 = 0.50;

/// At least this share of the spring effect from air.
///
/// # Source
/// Directive 96/53/EC Annex II 1 (from memory, very sure).
pub const LEAST_AIR_SHARE: f64 = 0.75;

/// What was measured against the numbers of the law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equivalence {
    /// Frequency of the sprung mass.
    pub frequency: Frequency,
    /// Mean damping, as a share of the critical.
    pub damping: Ratio,
    /// The same with the dampers taken off.
    pub without_dampers: Option<Ratio>,
}

impl Equivalence {
    /// Limit less frequency; + is good, nothing is just good.
    pub fn frequency_margin(&self) -> Frequency {
        Frequency::of_si(MOST_FREQUENCY_HZ) - self.frequency
    }

    /// Damping less its limit; it must be over nothing.
    pub fn damping_margin(&self) -> Ratio {
        self.damping - Ratio::of_si(LEAST_DAMPING)
    }

    /// The most with the dampers off.
    pub fn undamped_limit(&self) -> Ratio {
        self.damping * MOST_UNDAMPED_SHARE
    }

    /// Which number fails, or that all are met.
    pub fn finding(&self) -> &'static str {
        let undamped = self.undamped_limit();
        if self.frequency_margin().si() < 0.0 {
            FREQUENCY_HIGH
        } else if self.damping_margin().si() <= 0.0 {
            DAMPING_LOW
        } else if self.without_dampers.is_some_and(|found| found > undamped) {
            UNDAMPED_HIGH
        } else if self.without_dampers.is_none() {
            UNDAMPED_OPEN
        } else {
            MET
        }
    }
}

const MET: &str = "all numbers are met";
const FREQUENCY_HIGH: &str = "frequency too high";
const DAMPING_LOW: &str = "damping too low";
const UNDAMPED_HIGH: &str = "damping without dampers too high";
const UNDAMPED_OPEN: &str = "met so far, damping without dampers not known";
const AIR: &str = "air suspension";
const NOT_AIR: &str = "too little of the spring effect is air";

const OUTSIDE: Input = Input::one("outside", "air pressure outside", Kind::AbsolutePressure)
    .optional()
    .within(
        3e4,
        1.2e5,
        "air outside has 0.3 to 1.2 bar abs; left out it is 1.01325 bar abs",
    );

/// Frequency of a bellows.
pub(in crate::calc) static BELLOWS_FREQUENCY: Sum = Sum {
    name: "bellows_frequency",
    subject: SUBJECT,
    title: "how stiff a bellows is and how fast the frame swings on it",
    formula: &[
        "stiffness = n × absolute pressure × area² / volume + gauge pressure × area gain",
        "area gain = (area below − area above) / height between",
        "frequency = √(stiffness × lever ratio × g / (gauge pressure × area)) / 2π",
        "slow: n = 1.0; fast: n = 1.4",
    ],
    source: "gas law and effective area, derived by height; the lever is our derivation",
    range: "small swings about the height at hand, n from 1.0 to 1.4; dampers, bushes, the anti-roll bar and the tyres are left out. The stiffness is that of one bellows, the frequency that at the axle",
    inputs: &[
        Input::one("pressure", "bellows pressure", Kind::GaugePressure)
            .least(1e3, "without a load nothing swings; at least 0.01 bar"),
        Input::one("area", "effective area at this height", Kind::Area).least(LEAST_AREA, HAS_AREA),
        Input::one("volume", "air volume of the bellows", Kind::Volume)
            .least(1e-4, "the air must be somewhere; at least 0.1 dm³"),
        Input::one("exponent", "how fast: 1.0 slow to 1.4 fast", Kind::Ratio).within(
            1.0,
            1.4,
            "air lies between slow (1.0) and so fast that no heat passes (1.4)",
        ),
        Input::one("lever_ratio", "lever ratio, 1 if left out", Kind::Ratio)
            .optional()
            .within(0.2, 5.0, "pivot to bellows over pivot to axle"),
        Input::one("area_above", "area a little higher", Kind::Area)
            .optional()
            .least(LEAST_AREA, HAS_AREA),
        Input::one("area_below", "area a little lower", Kind::Area)
            .optional()
            .least(LEAST_AREA, HAS_AREA),
        Input::one("height_between", "height between these two", Kind::Length)
            .optional()
            .least(1e-3, "the two heights must lie apart, at least 1 mm"),
        OUTSIDE,
    ],
    outputs: &[
        Output::of("frequency", "natural frequency", Kind::Frequency),
        Output::of("stiffness", "stiffness of one bellows", Kind::Stiffness),
        Output::of("slow_frequency", "frequency, slow", Kind::Frequency),
        Output::of("fast_frequency", "frequency, fast", Kind::Frequency),
        Output::of("slow_stiffness", "stiffness, slow", Kind::Stiffness),
        Output::of("fast_stiffness", "stiffness, fast", Kind::Stiffness),
    ],
    example: &[
        ("pressure", "1.30 bar"),
        ("area", "550 cm²"),
        ("volume", "16 dm³"),
        ("exponent", "1.38"),
        ("lever_ratio", "1.20"),
    ],
    picture: None,
    work: swing,
};

fn area_gain(given: &Inputs<'_>) -> Result<Length, Snag> {
    let parts = (
        given.maybe::<Area>(5),
        given.maybe::<Area>(6),
        given.maybe::<Length>(7),
    );
    match parts {
        (Some(above), Some(below), Some(between)) => Ok((below - above) / between),
        (None, None, None) => Ok(Length::of_si(0.0)),
        _ => Err(Snag::new(
            "height_between",
            "area above, area below and the height between go together: give all three or none",
        )),
    }
}

fn swing(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let spring = AirSpring {
        pressure: given.get(0),
        outside: given.maybe(8).unwrap_or(Gauge::of_si(0.0).absolute()),
        area: given.get(1),
        volume: given.get(2),
        area_gain: area_gain(given)?,
    };
    let lever_ratio = given.maybe(4).unwrap_or(Ratio::of_si(1.0));
    let exponents = [given.get(3), Ratio::of_si(1.0), Ratio::of_si(1.4)];
    for (exponent, (hertz, stiff)) in exponents.into_iter().zip([(0, 1), (2, 4), (3, 5)]) {
        out.set(hertz, frequency(&spring, exponent, lever_ratio)?);
        out.set(stiff, stiffness(&spring, exponent));
    }
    Ok(())
}

const WHOLE_SWINGS: &str = "peaks on the same side lie whole swings apart, at least one";

/// Damping from two peaks.
pub(in crate::calc) static DAMPING: Sum = Sum {
    name: "damping",
    subject: SUBJECT,
    title: "damping from two peaks of a swing that dies away",
    formula: &[
        "δ = ln(first peak / later peak) / swings between",
        "damping = δ / √(4π² + δ²); short form δ / 2π",
        "frequency = swings / time; without damping: that / √(1 − damping²)",
    ],
    source: "logarithmic decrement; the short form is that of 96/53/EC Annex II (from memory; check the document)",
    range: "peaks on the same side, counted from the height at rest; damping that grows with speed. Friction in bushes makes small swings die sooner and reads as more",
    inputs: &[
        Input::one("first", "first peak from rest", Kind::Length)
            .least(1e-4, "the first peak must be seen; at least 0.1 mm"),
        Input::one("later", "later peak from rest", Kind::Length)
            .least(1e-5, "the later peak must be seen; at least 0.01 mm"),
        Input::one("swings", "whole swings between, 1 if left out", Kind::Count)
            .optional()
            .least(1.0, WHOLE_SWINGS),
        Input::one("time", "time between the two peaks", Kind::Time)
            .optional()
            .least(1e-2, "a swing takes time, at least 0.01 s"),
    ],
    outputs: &[
        Output::of("damping", "damping, share of the critical", Kind::Ratio),
        Output::of("short_form", "damping by the short form", Kind::Ratio),
        Output::of("timed_frequency", "frequency as timed", Kind::Frequency).optional(),
        Output::of("frequency", "frequency without damping", Kind::Frequency).optional(),
    ],
    example: &[("first", "40 mm"), ("later", "10 mm"), ("time", "0.75 s")],
    picture: None,
    work: |given, out| {
        let swings = given.maybe(2).unwrap_or(Ratio::of_si(1.0));
        whole(swings, "swings", WHOLE_SWINGS)?;
        let damping = damping_ratio(given.get(0), given.get(1), swings)?;
        out.set(0, damping);
        out.set(1, damping_short_form(given.get(0), given.get(1), swings)?);
        if let Some(time) = given.maybe::<uom::si::f64::Time>(3) {
            let timed: Frequency = swings / time;
            out.set(2, timed);
            out.set(3, undamped_frequency(timed, damping));
        }
        Ok(())
    },
};

/// Measured numbers against those of the law.
pub(in crate::calc) static AIR_SUSPENSION_EQUIVALENCE: Sum = Sum {
    name: "air_suspension_equivalence",
    subject: SUBJECT,
    title: "whether a suspension counts as air, or as good as air",
    formula: &[
        "frequency at most 2.0 Hz",
        "damping more than 20 % of critical",
        "with dampers off at most half of the damping found",
        "air: at least 75 % of the spring effect",
    ],
    source: "Directive 96/53/EC Annex II 1 and 2 (from memory, very sure)",
    range: "numbers only; the tests that give them (step, pull-down or drop) are the directive's own. Room is + where it is good; damping must be over its limit, not on it",
    inputs: &[
        Input::one("frequency", "frequency of the sprung mass", Kind::Frequency)
            .least(1e-2, "something must swing; at least 0.01 Hz"),
        Input::one(
            "damping",
            "mean damping, share of the critical",
            Kind::Ratio,
        )
        .within(0.0, 1.0, "a share of the critical damping"),
        Input::one(
            "without_dampers",
            "damping with the dampers off",
            Kind::Ratio,
        )
        .optional()
        .within(0.0, 1.0, "a share of the critical damping"),
        Input::one(
            "air_share",
            "share of the spring effect that is air",
            Kind::Ratio,
        )
        .optional()
        .within(0.0, 1.0, "a share of the whole spring effect"),
    ],
    outputs: &[
        Output::word(
            "finding",
            "against the numbers for as good as air",
            &[
                MET,
                FREQUENCY_HIGH,
                DAMPING_LOW,
                UNDAMPED_HIGH,
                UNDAMPED_OPEN,
            ],
        ),
        Output::of("frequency_limit", "most for the frequency", Kind::Frequency),
        Output::of("frequency_margin", "room in frequency", Kind::Frequency),
        Output::of("damping_limit", "damping must be over", Kind::Ratio),
        Output::of("damping_margin", "room in damping", Kind::Ratio),
        Output::of("undamped_limit", "most with the dampers off", Kind::Ratio),
        Output::of("undamped_margin", "room with the dampers off", Kind::Ratio).optional(),
        Output::word("air_finding", "by the share of air", &[AIR, NOT_AIR]).optional(),
        Output::of("air_limit", "least share of air", Kind::Ratio),
        Output::of("air_margin", "room in the share of air", Kind::Ratio).optional(),
    ],
    example: &[
        ("frequency", "1.4 Hz"),
        ("damping", "24 %"),
        ("without_dampers", "6 %"),
        ("air_share", "90 %"),
    ],
    picture: None,
    work: against_the_law,
};

fn against_the_law(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let found = Equivalence {
        frequency: given.get(0),
        damping: given.get(1),
        without_dampers: given.maybe(2),
    };
    out.say(0, found.finding());
    out.set(1, MOST_FREQUENCY_HZ);
    out.set(2, found.frequency_margin());
    out.set(3, LEAST_DAMPING);
    out.set(4, found.damping_margin());
    out.set(5, found.undamped_limit());
    if let Some(without) = found.without_dampers {
        out.set(6, found.undamped_limit() - without);
    }
    out.set(8, LEAST_AIR_SHARE);
    if let Some(share) = given.maybe::<f64>(3) {
        out.say(
            7,
            if share >= LEAST_AIR_SHARE {
                AIR
            } else {
                NOT_AIR
            },
        );
        out.set(9, share - LEAST_AIR_SHARE);
    }
    Ok(())
}

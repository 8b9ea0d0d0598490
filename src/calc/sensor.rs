//! The height sensor on its lever and rod: what it should read, and what three
//! stored points say of it.
//!
//! The sensor sits on the frame, the rod's foot on the axle. The lever's angle at a
//! height comes from closing the triangle of pivot, lever tip and rod foot, exactly.
//! A reading goes straight with the lever's angle; the height does not.
//!
//! Invariant: a reading is in counts or in volts, the same for all of one sum.

mod pattern;

#[cfg(test)]
mod tests;

use std::f64::consts::FRAC_PI_2;

use uom::si::f64::{Angle, Length};

use super::amount::Amount;
use super::error::Snag;
use super::given::{Inputs, Outcome};
use super::sum::{Gives, Input, Output, Sum, Takes};
use crate::quantity::Kind;

pub(super) use pattern::SENSOR_PATTERN;

const SUBJECT: &str = "height sensor";
const READING: Takes = Takes::AnyOf(&[Kind::Count, Kind::Voltage]);
const SOURCE: &str = "our derivation: triangle of lever, rod and the way from pivot to rod foot";
const OUT_OF_REACH: &str = "lever and rod don't reach so far: the lever is over its dead point";

/// Lever and rod of a height sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Linkage {
    /// From the sensor's shaft to the lever's tip.
    pub(super) lever: Length,
    /// From the lever's tip to the foot on the axle; none: so long that it stays upright.
    pub(super) rod: Option<Length>,
    /// Rod foot ahead of the shaft, on the side to which the lever points.
    pub(super) reach: Length,
    /// Rod foot under the shaft at ride height.
    pub(super) drop: Length,
    /// The lever at ride height, + tip above level.
    pub(super) at_ride: Angle,
}

/// A lever at one height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stand {
    /// How far the lever has turned from ride height, + for a frame that rose.
    pub(super) turn: Angle,
    /// How far it is from its dead point, where lever and rod are in one line.
    pub(super) to_dead_point: Angle,
    /// How much it turns for the next bit of height, rad/m.
    pub(super) turn_per_height: f64,
}

impl Linkage {
    /// A linkage whose rod stands upright at ride height.
    ///
    /// # Units
    /// `at_ride`: + tip above level.
    ///
    /// # Source
    /// Our derivation: then the foot lies straight under the lever's tip.
    #[must_use]
    pub(super) fn upright(lever: Length, rod: Option<Length>, at_ride: Angle) -> Self {
        let tip_up = lever * at_ride.si().sin();
        Self {
            lever,
            rod,
            reach: lever * at_ride.si().cos(),
            drop: rod.unwrap_or(Length::of_si(0.0)) - tip_up,
            at_ride,
        }
    }

    /// The same with the sensor moved on the frame: `ahead` takes the foot further
    /// ahead of the shaft, `up` takes the shaft further up from the foot.
    #[must_use]
    pub(super) fn moved(mut self, ahead: Length, up: Length) -> Self {
        self.reach += ahead;
        self.drop += up;
        self
    }

    /// The lever when the frame stands so much higher than at ride height.
    ///
    /// `None` where lever and rod do not reach: the lever would be over its dead point.
    ///
    /// # Source
    /// Our derivation: law of cosines in the triangle shaft, lever tip, rod foot.
    pub(super) fn stand(&self, rise: Length) -> Option<Stand> {
        let lever = self.lever.si();
        let under = (self.drop + rise).si();
        let at_ride = self.at_ride.si();
        let Some(rod) = self.rod.map(Amount::si) else {
            let sine = -under / lever;
            let angle = (sine.abs() <= 1.0).then(|| sine.asin())?;
            return Some(Stand {
                turn: Angle::of_si(at_ride - angle),
                to_dead_point: Angle::of_si(FRAC_PI_2 - angle.abs()),
                turn_per_height: 1.0 / (lever * angle.cos()),
            });
        };
        let reach = self.reach.si();
        let way = reach.hypot(under);
        let corner = cosine_law(lever, way, rod)?;
        let knee = cosine_law(lever, rod, way)?;
        let angle = (-under).atan2(reach) + corner;
        let rod_up = lever * angle.sin() + under;
        let rod_ahead = lever * angle.cos() - reach;
        // The tip moves across the lever, the foot straight up; along the rod both
        // move alike.
        let along_rod = lever * (angle.cos() * rod_up - angle.sin() * rod_ahead);
        Some(Stand {
            turn: Angle::of_si(at_ride - angle),
            to_dead_point: Angle::of_si(knee.min(std::f64::consts::PI - knee)),
            turn_per_height: rod_up / along_rod,
        })
    }

    /// As [`Linkage::stand`], where an input must be named if it can't be.
    ///
    /// # Errors
    /// Lever and rod do not reach so far.
    pub(super) fn stand_at(&self, rise: Length, input: &'static str) -> Result<Stand, Snag> {
        self.stand(rise).ok_or(Snag::new(input, OUT_OF_REACH))
    }
}

/// The angle between two sides of a triangle, opposite of the third.
fn cosine_law(side: f64, other: f64, opposite: f64) -> Option<f64> {
    let cosine = (side * side + other * other - opposite * opposite) / (2.0 * side * other);
    (cosine.abs() <= 1.0).then(|| cosine.acos())
}

/// Heights of the three points over ride height.
///
/// # Errors
/// Upper over ride over lower is wanted.
fn rises(ride: Length, upper: Length, lower: Length) -> Result<[Length; 3], Snag> {
    if upper <= ride {
        return Err(Snag::new("upper_height", "it must be over the ride height"));
    }
    if lower >= ride {
        return Err(Snag::new(
            "lower_height",
            "it must be under the ride height",
        ));
    }
    Ok([Length::of_si(0.0), upper - ride, lower - ride])
}

/// How the lever stands at the three points: ride, upper, lower.
fn three_stands(linkage: &Linkage, rises: [Length; 3]) -> Result<[Stand; 3], Snag> {
    let [ride, upper, lower] = rises;
    Ok([
        linkage.stand_at(ride, "lever_angle")?,
        linkage.stand_at(upper, "upper_height")?,
        linkage.stand_at(lower, "lower_height")?,
    ])
}

/// How much a reading changes for a turn of the lever, from upper and lower point.
///
/// # Units
/// Reading (counts or V) for a radian, + where it rises with the frame.
///
/// # Errors
/// The readings are the same: the lever does not follow.
pub(super) fn gain(stands: &[Stand; 3], upper: f64, lower: f64) -> Result<f64, Snag> {
    let [_, high, low] = stands;
    let step = upper - lower;
    if step == 0.0 {
        return Err(Snag::new(
            "upper",
            "it is the same as the lower one: the lever does not follow",
        ));
    }
    Ok(step / (high.turn - low.turn).si())
}

const RIDE_HEIGHT: Input = Input::one("ride_height", "ride height", Kind::Length);
const UPPER_HEIGHT: Input = Input::one("upper_height", "height at the upper stop", Kind::Length);
const LOWER_HEIGHT: Input = Input::one("lower_height", "height at the lower stop", Kind::Length);
const LEVER: Input = Input::one("lever", "lever, shaft to tip", Kind::Length).within(
    0.02,
    1.0,
    "levers of height sensors are that long",
);
const ROD: Input = Input::one("rod", "rod, lever tip to foot", Kind::Length)
    .optional()
    .within(0.02, 2.0, "rods of height sensors are that long");
const LEVER_ANGLE: Input = Input::one(
    "lever_angle",
    "lever at ride height, + tip above level",
    Kind::Angle,
)
.optional()
.within(
    -1.4,
    1.4,
    "a lever that stands upright is at its dead point",
);

/// The linkage from three inputs of a sum: lever, rod, lever angle.
fn linkage(given: &Inputs<'_>, [lever, rod, angle]: [usize; 3]) -> Linkage {
    let level = Angle::of_si(0.0);
    Linkage::upright(
        given.get(lever),
        given.maybe(rod),
        given.maybe(angle).unwrap_or(level),
    )
}

const RISES: &str = "rises with height";
const FALLS: &str = "falls with height";

/// What three stored points say of a sensor.
pub(super) static SENSOR_POINTS: Sum = Sum {
    name: "sensor_points",
    subject: SUBJECT,
    title: "three stored points of a height sensor against its lever and rod",
    formula: &[
        "turn of the lever at each height: triangle of lever, rod, and pivot to rod foot",
        "gain = (upper − lower) / (turn at upper − turn at lower)",
        "expected at ride = lower − gain · turn at lower",
        "for 1 mm at ride = gain / (lever · cos(lever angle))",
    ],
    source: SOURCE,
    range: "sensor on the frame, rod foot on the axle, rod upright at ride height, lever level \
            there unless its angle is given; without a rod length the rod counts as very long; \
            the reading goes straight with the lever's angle",
    inputs: &[
        RIDE_HEIGHT,
        UPPER_HEIGHT,
        LOWER_HEIGHT,
        Input::taking("ride", "value at ride height", READING),
        Input::taking("upper", "value at the upper stop", Takes::Like(3)),
        Input::taking("lower", "value at the lower stop", Takes::Like(3)),
        LEVER,
        ROD,
        LEVER_ANGLE,
        Input::taking("dead_band", "dead band, as a reading", Takes::Like(3)).optional(),
        Input::one("dead_height", "dead band, as a height", Kind::Length).optional(),
    ],
    outputs: &[
        Output::word("direction", "the value", &[RISES, FALLS]),
        Output::giving("span", "from lower to upper stop", Gives::ChangeOf(3)),
        Output::giving(
            "span_up",
            "from ride height to upper stop",
            Gives::ChangeOf(3),
        ),
        Output::giving(
            "span_down",
            "from lower stop to ride height",
            Gives::ChangeOf(3),
        ),
        Output::giving(
            "per_mm",
            "change for 1 mm at ride height",
            Gives::ChangeOf(3),
        ),
        Output::giving(
            "per_degree",
            "change for 1° of the lever",
            Gives::ChangeOf(3),
        ),
        Output::giving(
            "expected",
            "at ride height, out of the other two",
            Gives::Like(3),
        ),
        Output::giving(
            "deviation",
            "at ride height off what is expected",
            Gives::ChangeOf(3),
        ),
        Output::of("deviation_height", "the same as a height", Kind::Length),
        Output::of("dead_point", "least angle from the dead point", Kind::Angle),
        Output::of("band_height", "the dead band as a height", Kind::Length).optional(),
        Output::giving(
            "height_band",
            "the dead height as a reading",
            Gives::ChangeOf(3),
        )
        .optional(),
    ],
    example: &[
        ("ride_height", "190 mm"),
        ("upper_height", "310 mm"),
        ("lower_height", "98 mm"),
        ("ride", "511 counts"),
        ("upper", "868 counts"),
        ("lower", "256 counts"),
        ("lever", "220 mm"),
        ("rod", "260 mm"),
        ("dead_band", "4 counts"),
    ],
    picture: None,
    work: points,
};

fn points(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let linkage = linkage(given, [6, 7, 8]);
    let rises = rises(given.get(0), given.get(1), given.get(2))?;
    let stands = three_stands(&linkage, rises)?;
    let (ride, upper, lower): (f64, f64, f64) = (given.get(3), given.get(4), given.get(5));
    let gain = gain(&stands, upper, lower)?;
    let [here, high, low] = stands;
    let per_m = gain * here.turn_per_height;
    let expected = lower + gain * (here.turn - low.turn).si();
    out.say(0, if gain > 0.0 { RISES } else { FALLS });
    out.set(1, upper - lower);
    out.set(2, upper - ride);
    out.set(3, ride - lower);
    out.set(4, per_m * 1e-3);
    out.set(5, gain * 1_f64.to_radians());
    out.set(6, expected);
    out.set(7, ride - expected);
    out.set(8, (ride - expected) / per_m);
    out.set(9, high.to_dead_point.si().min(low.to_dead_point.si()));
    if let Some(band) = given.maybe::<f64>(9) {
        out.set(10, band / per_m.abs());
    }
    if let Some(height) = given.maybe::<f64>(10) {
        out.set(11, height * per_m.abs());
    }
    Ok(())
}

/// What a sensor should read at a height.
pub(super) static SENSOR_VALUE: Sum = Sum {
    name: "sensor_value",
    subject: SUBJECT,
    title: "what a height sensor should read at a height",
    formula: &[
        "value = value at ride ± value for 1° · turn of the lever",
        "turn: triangle of lever, rod, and pivot to rod foot; with a long rod \
         sin(angle) = sin(angle at ride) − rise / lever",
    ],
    source: SOURCE,
    range: "sensor on the frame, rod foot on the axle, rod upright at ride height, lever level \
            there unless its angle is given; without a rod length the rod counts as very long; \
            the reading goes straight with the lever's angle",
    inputs: &[
        Input::taking("ride", "value at ride height", READING),
        Input::taking("per_degree", "change for 1° of the lever", Takes::Like(0)),
        RIDE_HEIGHT,
        Input::one("height", "height", Kind::Length),
        LEVER,
        ROD,
        LEVER_ANGLE,
        Input::word(
            "direction",
            "the value rises or falls with height",
            &["rises", "falls"],
        )
        .optional(),
    ],
    outputs: &[
        Output::giving("value", "value at the height", Gives::Like(0)),
        Output::of("turn", "turn of the lever from ride height", Kind::Angle),
        Output::giving(
            "per_mm",
            "change for 1 mm at the height",
            Gives::ChangeOf(0),
        ),
        Output::of("dead_point", "angle from the dead point", Kind::Angle),
    ],
    example: &[
        ("ride", "2.50 V"),
        ("per_degree", "45 mV"),
        ("ride_height", "7.50 in"),
        ("height", "11.25 in"),
        ("lever", "8.0 in"),
    ],
    picture: None,
    work: |given, out| {
        let rise = given.get::<Length>(3) - given.get::<Length>(2);
        let stand = linkage(given, [4, 5, 6]).stand_at(rise, "height")?;
        let sign = if given.word(7) == "falls" { -1.0 } else { 1.0 };
        let per_rad = sign * given.get::<f64>(1).to_degrees();
        out.set(0, given.get::<f64>(0) + per_rad * stand.turn.si());
        out.set(1, stand.turn);
        out.set(2, per_rad * stand.turn_per_height * 1e-3);
        out.set(3, stand.to_dead_point);
        Ok(())
    },
};

//! What is wrong with a height sensor, from its three points against the sheet's.
//!
//! Each reading may be off by the dead band either way without anyone to blame, so
//! two readings may be apart by two dead bands, and the rest of a fit by 1.366 of it
//! (see [`FIT`]). Looked at in this order, the first that fits is the finding:
//!
//! 1. The value moves against the sheet between two points. If both ways are the
//!    sheet's, turned round: *wrong way round* (a mirrored lever gives exactly that).
//!    Else *over centre*: a lever that went through its dead point folds the other
//!    way, and its curve is no mirror of the right one.
//! 2. Neither way moves by more than two dead bands: *lever does not follow*.
//! 3. Read from below and from above at one height, apart by more than two dead
//!    bands: *worn rod / play*.
//! 4. All three within the dead band: *as it should be*.
//! 5. All three off alike: *lever slipped on its shaft*. The reading goes straight
//!    with the angle, so a slipped lever keeps every way between two points.
//! 6. Ride and lower off by half the play towards higher, upper by half the play
//!    towards lower: *worn rod / play*, if nobody read from both sides. That is how
//!    the points are reached: the first two coming down, the last coming up.
//! 7. A shift of the sensor against the rod foot, up to half a lever, explains all
//!    three: *bracket bent*.
//!    The curve is not straight, so a shift changes the two ways differently.
//!    Where 6 fits too, only reading from both sides can tell: a sensor bent inwards
//!    shows much the same three points. Then both are named.
//! 8. *Fits none of these*.

use uom::si::f64::Length;

use super::{
    LEVER, LEVER_ANGLE, LOWER_HEIGHT, Linkage, READING, RIDE_HEIGHT, ROD, SUBJECT, Stand,
    UPPER_HEIGHT, gain, linkage, rises, three_stands,
};
use crate::calc::amount::Amount;
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Gives, Input, Output, Sum, Takes};
use crate::quantity::Kind;

/// What the three points show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pattern {
    /// Nothing wrong.
    Sound,
    /// The value goes the other way.
    WrongWay,
    /// The lever went through its dead point.
    OverCentre,
    /// The value stands still.
    Still,
    /// All three off alike.
    Slipped,
    /// Another value from above than from below.
    Play,
    /// The sensor has moved against the rod foot.
    Bent,
    /// Either, until one height is read from both sides.
    PlayOrBent,
    /// None of these explains the readings.
    Unknown,
}

const TEXTS: [&str; 9] = [
    "as it should be",
    "wrong way round",
    "over centre",
    "lever does not follow",
    "lever slipped on its shaft",
    "worn rod / play",
    "bracket bent",
    "worn rod / play or bracket bent",
    "fits none of these",
];

impl Pattern {
    /// What people read.
    #[must_use]
    pub(super) const fn text(self) -> &'static str {
        let [
            sound,
            wrong,
            over,
            still,
            slipped,
            play,
            bent,
            either,
            unknown,
        ] = TEXTS;
        match self {
            Self::Sound => sound,
            Self::WrongWay => wrong,
            Self::OverCentre => over,
            Self::Still => still,
            Self::Slipped => slipped,
            Self::Play => play,
            Self::Bent => bent,
            Self::PlayOrBent => either,
            Self::Unknown => unknown,
        }
    }
}

/// The most that a least-squares fit to three readings leaves at one of them when
/// each is off by one dead band: ½ + √¾ dead bands.
///
/// # Source
/// Our derivation: the rest is the errors seen along a unit vector n (or across it),
/// so at most the greatest of `|n₁|·(|n₁| + |n₂| + |n₃|)`, which is ½ + √¾.
const FIT: f64 = 1.366_025_403_784_438_6;

/// A hair, so that a reading exactly at an edge is inside it.
const HAIR: f64 = 1e-9;

/// Three readings to be explained, each array in the order ride, upper, lower.
#[derive(Debug, Clone, Copy)]
pub(super) struct Case<'a> {
    /// Readings (counts or V).
    pub(super) read: [f64; 3],
    /// What the sheet expects at these heights.
    pub(super) expected: [f64; 3],
    /// Lever and rod by the sheet.
    pub(super) linkage: &'a Linkage,
    /// Heights over ride height.
    pub(super) rises: [Length; 3],
    /// Reading for a radian of the lever, by the sheet.
    pub(super) gain: f64,
    /// How far one reading may be off.
    pub(super) dead_band: f64,
    /// Readings at one height, come to from below and from above.
    pub(super) from_both: Option<(f64, f64)>,
}

impl Case<'_> {
    /// What the three points show.
    ///
    /// # Source
    /// Our derivation, by simulating each fault on the exact linkage.
    pub(super) fn pattern(&self) -> Pattern {
        let twice = 2.0 * self.dead_band * (1.0 + HAIR);
        let (read, sheet) = (ways(self.read), ways(self.expected));
        let apart = |a: [f64; 2], sign: f64| {
            let [a_up, a_down] = a;
            let [up, down] = sheet;
            let errors = [a_up - sign * up, a_down - sign * down];
            largest(&errors) <= twice
        };
        let against = read
            .iter()
            .zip(&sheet)
            .any(|(r, s)| r * s < 0.0 && r.abs() > twice);
        if against && apart(read, -1.0) {
            return Pattern::WrongWay;
        }
        if against {
            return Pattern::OverCentre;
        }
        if largest(&read) <= twice && largest(&sheet) > 2.0 * twice {
            return Pattern::Still;
        }
        if self
            .from_both
            .is_some_and(|(below, above)| (below - above).abs() > twice)
        {
            return Pattern::Play;
        }
        let errors = self.errors();
        if largest(&errors) <= self.dead_band * (1.0 + HAIR) {
            return Pattern::Sound;
        }
        let [_, e_upper, e_lower] = errors;
        if apart(read, 1.0) && (e_upper - e_lower).abs() <= twice {
            return Pattern::Slipped;
        }
        let left_over = FIT * self.dead_band * (1.0 + HAIR);
        let fits = |rest: Option<f64>| rest.is_some_and(|r| r <= left_over);
        let play = self.from_both.is_none() && fits(self.rest_of_play(errors));
        match (play, fits(self.rest_of_bend(errors))) {
            (true, true) => Pattern::PlayOrBent,
            (true, false) => Pattern::Play,
            (false, true) => Pattern::Bent,
            (false, false) => Pattern::Unknown,
        }
    }

    fn errors(&self) -> [f64; 3] {
        let [r0, r1, r2] = self.read;
        let [x0, x1, x2] = self.expected;
        [r0 - x0, r1 - x1, r2 - x2]
    }

    /// What play leaves unexplained; `None` where it would have to be negative.
    ///
    /// Least squares for the one unknown (Gauss–Newton on the exact linkage).
    fn rest_of_play(&self, errors: [f64; 3]) -> Option<f64> {
        let mut half_play = 0.0;
        let mut rest = errors;
        for _ in 0..20 {
            let (mut effect, mut slope) = ([0.0; 3], [0.0; 3]);
            let came_down = [1.0, -1.0, 1.0];
            let places = effect.iter_mut().zip(&mut slope);
            for (((effect, slope), rise), side) in places.zip(self.rises).zip(came_down) {
                let sound = self.linkage.stand(rise)?;
                let worn = self.linkage.stand(rise + Length::of_si(side * half_play))?;
                *effect = self.gain * (worn.turn - sound.turn).si();
                *slope = self.gain * worn.turn_per_height * side;
            }
            rest = less(errors, effect);
            half_play += dot(rest, slope) / dot(slope, slope);
        }
        (half_play > 0.0).then(|| largest(&rest))
    }

    /// What the best shift of the sensor leaves unexplained.
    ///
    /// Least squares step by step (Gauss–Newton, slopes from differences); a step that
    /// brings nothing, or leads where lever and rod don't reach, is halved.
    fn rest_of_bend(&self, errors: [f64; 3]) -> Option<f64> {
        let mut at = [0.0; 2];
        let mut rest = errors;
        for _ in 0..40 {
            let mut step = self.step_of_bend(at, rest)?;
            let better = (0..30).find_map(|_| {
                let next = add(at, step);
                step = step.map(|s| s / 2.0);
                let left = less(errors, self.bent(next)?);
                (dot(left, left) < dot(rest, rest)).then_some((next, left))
            });
            match better {
                Some((next, left)) => (at, rest) = (next, left),
                None => break,
            }
        }
        Some(largest(&rest))
    }

    /// The step of least squares from a shift that leaves this rest.
    fn step_of_bend(&self, at: [f64; 2], rest: [f64; 3]) -> Option<[f64; 2]> {
        const STEP: f64 = 1e-6;
        let here = self.bent(at)?;
        let slope = |by| Some(less(self.bent(add(at, by))?, here).map(|d| d / STEP));
        let (by_ahead, by_up) = (slope([STEP, 0.0])?, slope([0.0, STEP])?);
        let across = dot(by_ahead, by_up);
        // A hair of damping: with a very long rod a shift ahead changes nothing.
        let damping = 1e-6 * (dot(by_ahead, by_ahead) + dot(by_up, by_up));
        let ahead = dot(by_ahead, by_ahead) + damping;
        let up = dot(by_up, by_up) + damping;
        let (a, u) = (dot(by_ahead, rest), dot(by_up, rest));
        let scale = ahead * up - across * across;
        Some([
            (up * a - across * u) / scale,
            (ahead * u - across * a) / scale,
        ])
    }

    /// How much the readings change when the sensor moves by so many metres, ahead and
    /// up; `None` for more than half the lever, and where it would not reach.
    fn bent(&self, [ahead, up]: [f64; 2]) -> Option<[f64; 3]> {
        let most = self.linkage.lever.si() / 2.0;
        if ahead.abs() > most || up.abs() > most {
            return None;
        }
        let moved = self.linkage.moved(Length::of_si(ahead), Length::of_si(up));
        let mut change = [0.0; 3];
        for (change, rise) in change.iter_mut().zip(self.rises) {
            let turn = moved.stand(rise)?.turn - self.linkage.stand(rise)?.turn;
            *change = self.gain * turn.si();
        }
        Some(change)
    }
}

/// Up from ride to upper, up from lower to ride.
fn ways([ride, upper, lower]: [f64; 3]) -> [f64; 2] {
    [upper - ride, ride - lower]
}

fn largest(errors: &[f64]) -> f64 {
    errors.iter().fold(0.0, |most, e| most.max(e.abs()))
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn add([a0, a1]: [f64; 2], [b0, b1]: [f64; 2]) -> [f64; 2] {
    [a0 + b0, a1 + b1]
}

fn less([a0, a1, a2]: [f64; 3], [b0, b1, b2]: [f64; 3]) -> [f64; 3] {
    [a0 - b0, a1 - b1, a2 - b2]
}

/// What is wrong with a sensor.
pub(in crate::calc) static SENSOR_PATTERN: Sum = Sum {
    name: "sensor_pattern",
    subject: SUBJECT,
    title: "what three points of a height sensor show against the sheet's",
    formula: &[
        "against the sheet's way, its mirror: wrong way round; else against it: over centre",
        "neither way moves by 2 dead bands: lever does not follow",
        "from below less from above over 2 dead bands: worn rod / play",
        "all within the dead band: as it should be",
        "all off alike within 2 dead bands: lever slipped on its shaft",
        "ride and lower off by + half the play, upper by − half: worn rod / play",
        "a shift of sensor against rod foot, up to half a lever, explains all three: bracket bent",
    ],
    source: "our derivation, from each fault on the exact linkage",
    range: "one fault at a time. A bend so small that it changes no way by 2 dead bands looks \
            like a slipped lever. Play and a bend inwards can show the same three points: then \
            both are named, until one height is read from below and from above. Ride height and lower stop come to from above, upper stop \
            from below. A rod that is off, and a lever turned beyond the sensor's range, read \
            the same everywhere. Old stored values may stand for the sheet's",
    inputs: &[
        Input::taking("ride", "value read at ride height", READING),
        Input::taking("upper", "value read at the upper stop", Takes::Like(0)),
        Input::taking("lower", "value read at the lower stop", Takes::Like(0)),
        Input::taking("sheet_ride", "sheet: value at ride height", Takes::Like(0)),
        Input::taking(
            "sheet_upper",
            "sheet: value at the upper stop",
            Takes::Like(0),
        ),
        Input::taking(
            "sheet_lower",
            "sheet: value at the lower stop",
            Takes::Like(0),
        ),
        RIDE_HEIGHT,
        UPPER_HEIGHT,
        LOWER_HEIGHT,
        LEVER,
        Input::taking("dead_band", "dead band, as a reading", Takes::Like(0))
            .least(1e-6, "without a dead band the least doubt would be a fault"),
        ROD,
        LEVER_ANGLE,
        Input::one("ride_found", "ride height where it was read", Kind::Length).optional(),
        Input::one(
            "upper_found",
            "upper height where it was read",
            Kind::Length,
        )
        .optional(),
        Input::one(
            "lower_found",
            "lower height where it was read",
            Kind::Length,
        )
        .optional(),
        Input::taking(
            "from_below",
            "at one height, come to from below",
            Takes::Like(0),
        )
        .optional(),
        Input::taking(
            "from_above",
            "at the same height, from above",
            Takes::Like(0),
        )
        .optional(),
    ],
    outputs: &[
        Output::word("pattern", "the sensor", &TEXTS),
        Output::giving("shift", "at ride height off the sheet", Gives::ChangeOf(0)),
        Output::giving("span_up_off", "way up off the sheet", Gives::ChangeOf(0)),
        Output::giving(
            "span_down_off",
            "way down off the sheet",
            Gives::ChangeOf(0),
        ),
        Output::of(
            "stands_off",
            "levelled by the sheet the truck stands off by",
            Kind::Length,
        ),
        Output::of("slip", "the shift as a turn of the lever", Kind::Angle),
        Output::of(
            "play",
            "from above less from below, as a height",
            Kind::Length,
        )
        .optional(),
    ],
    example: &[
        ("ride", "427 counts"),
        ("upper", "784 counts"),
        ("lower", "172 counts"),
        ("sheet_ride", "511 counts"),
        ("sheet_upper", "868 counts"),
        ("sheet_lower", "256 counts"),
        ("ride_height", "190 mm"),
        ("upper_height", "310 mm"),
        ("lower_height", "98 mm"),
        ("lever", "220 mm"),
        ("dead_band", "4 counts"),
        ("rod", "260 mm"),
    ],
    picture: None,
    work: find,
};

fn find(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let linkage = linkage(given, [9, 11, 12]);
    let ride: Length = given.get(6);
    let sheet_rises = rises(ride, given.get(7), given.get(8))?;
    let by_sheet = three_stands(&linkage, sheet_rises)?;
    let [x_ride, x_upper, x_lower] = [given.get(3), given.get(4), given.get(5)];
    let gain = gain(&by_sheet, x_upper, x_lower).map_err(|_same| {
        Snag::new(
            "sheet_upper",
            "the sheet's upper and lower value are the same",
        )
    })?;
    let rises = found_rises(given, ride, sheet_rises);
    let found = found_stands(&linkage, rises)?;
    let [at_ride, at_upper, at_lower] = turns(&found);
    let [s_ride, s_upper, s_lower] = turns(&by_sheet);
    let from_both = match (given.maybe::<f64>(16), given.maybe::<f64>(17)) {
        (Some(below), Some(above)) => Some((below, above)),
        (None, None) => None,
        (Some(_), None) => return Err(Snag::new("from_above", "it is needed with from_below")),
        (None, Some(_)) => return Err(Snag::new("from_below", "it is needed with from_above")),
    };
    let case = Case {
        read: [given.get(0), given.get(1), given.get(2)],
        expected: [
            x_ride + gain * (at_ride - s_ride),
            x_upper + gain * (at_upper - s_upper),
            x_lower + gain * (at_lower - s_lower),
        ],
        linkage: &linkage,
        rises,
        gain,
        dead_band: given.get(10),
        from_both,
    };
    let [shift, upper_off, lower_off] = case.errors();
    let [here, ..] = found;
    let per_m = gain * here.turn_per_height;
    out.say(0, case.pattern().text());
    out.set(1, shift);
    out.set(2, upper_off - shift);
    out.set(3, shift - lower_off);
    out.set(4, -shift / per_m);
    out.set(5, shift / gain);
    if let Some((below, above)) = from_both {
        out.set(6, (above - below) / per_m);
    }
    Ok(())
}

/// Turns of the lever at the three points, rad.
fn turns([ride, upper, lower]: &[Stand; 3]) -> [f64; 3] {
    [ride.turn.si(), upper.turn.si(), lower.turn.si()]
}

/// Heights over ride height where the values were read; the sheet's where not given.
fn found_rises(given: &Inputs<'_>, ride: Length, sheet: [Length; 3]) -> [Length; 3] {
    let [s_ride, s_upper, s_lower] = sheet;
    let found = |at: usize, sheet: Length| given.maybe::<Length>(at).map_or(sheet, |h| h - ride);
    [found(13, s_ride), found(14, s_upper), found(15, s_lower)]
}

fn found_stands(linkage: &Linkage, rises: [Length; 3]) -> Result<[Stand; 3], Snag> {
    let [ride, upper, lower] = rises;
    Ok([
        linkage.stand_at(ride, "ride_found")?,
        linkage.stand_at(upper, "upper_found")?,
        linkage.stand_at(lower, "lower_found")?,
    ])
}

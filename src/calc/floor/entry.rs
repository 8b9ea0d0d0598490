//! The floor's sums as the registry names them.

use uom::si::f64::{Angle, Length};

use super::{
    FlatnessRow, Plane, Spot, fit_plane, flatness_limit, off_the_others, over_plane, sag,
    slope_between, whole_millimetres,
};
use crate::calc::amount::{Amount, Slope};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Picture, Sum};
use crate::quantity::{Kind, Unit};

const SUBJECT: &str = "the floor";
const TABLE_ENDS: &str = "the table of DIN 18202 runs from 0.1 m to 15 m";
const ROWS: &[&str] = &["row_2", "row_3", "row_4"];

/// Most readings of a floor that one plane is laid through.
const MOST_SPOTS: usize = 8;

const NTH: &[&str] = &[
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth",
];

const ALONG: Input = Input::one(
    "along",
    "places along, + to the front, from any one place",
    Kind::Length,
);
const ACROSS: Input = Input::one(
    "across",
    "places across, + to the left, in the same order",
    Kind::Length,
);
const HEIGHT: Input = Input::one(
    "height",
    "heights of the floor there, + up, in the same order",
    Kind::Length,
)
.shared('A');

/// The plane through four to eight readings of the floor.
pub(in crate::calc) static FLOOR_PLANE: Sum = Sum {
    name: "floor_plane",
    subject: SUBJECT,
    title: "the plane through readings of the floor, and what they are off it",
    formula: &[
        "height = offset + along × tan(slope along) + across × tan(slope across), least squares",
        "residual = height − plane; root mean square over all points",
        "twist = (rear right − front right − rear left + front left) / 4, for four corners",
    ],
    source: "least squares, our derivation",
    range: "Slope along is + where the floor is higher at the front (nose up), slope across is + \
            where it is higher on the left; left is left when sitting in the cab. Heights are of \
            the floor: readings down from a level line go in with a minus. All are read with one \
            level. With more than four points twist is the best fit's, at the corners of the \
            rectangle about them; + is front left and rear right higher. Residuals have no sign: \
            where they are smaller than their reading's uncertainty, look at the trials.",
    inputs: &[
        ALONG.several(4, MOST_SPOTS),
        ACROSS.several(4, MOST_SPOTS),
        HEIGHT.several(4, MOST_SPOTS),
    ],
    outputs: &[
        Output::of(
            "slope_along",
            "slope along, + higher at the front",
            Kind::Slope,
        )
        .shown_in(Unit::MillimetrePerMetre),
        Output::of("slope_across", "slope across, + left higher", Kind::Slope)
            .shown_in(Unit::MillimetrePerMetre)
            .plain(),
        Output::of(
            "offset",
            "height of the plane where the places count from",
            Kind::Length,
        ),
        Output::of("rms", "off the plane, root mean square", Kind::Length),
        Output::of("largest", "off the plane, the worst point", Kind::Length),
        Output::of(
            "twist",
            "twist, + front left and rear right higher",
            Kind::Length,
        )
        .optional(),
        Output::word("worst", "the worst point", NTH).optional(),
    ],
    example: &[
        ("along", "0 mm, 0 mm, 3700 mm, 3700 mm"),
        ("across", "920 mm, -920 mm, 1020 mm, -1020 mm"),
        ("height", "0 mm, 2 mm, 5 mm, 4 mm"),
    ],
    picture: Some(Picture::Floor),
    work: plane,
};

fn plane(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let (spots, count) = spots(given)?;
    let fit = fit_plane(spots.get(..count).unwrap_or_default())?;
    out.set(0, fit.plane.along);
    out.set(1, fit.plane.across);
    out.set(2, fit.plane.offset);
    out.set(3, fit.rms);
    out.set(4, fit.largest);
    if let Some(twist) = fit.twist {
        out.set(5, twist);
    }
    if let Some(nth) = fit.worst.and_then(|at| NTH.get(at)) {
        out.say(6, nth);
    }
    Ok(())
}

/// The readings of the first three inputs, each place with its height, and how many.
fn spots(given: &Inputs<'_>) -> Result<([Spot; MOST_SPOTS], usize), Snag> {
    let count = given.count(0);
    if given.count(1) != count {
        return Err(Snag::new(
            "across",
            "there must be as many places across as along",
        ));
    }
    if given.count(2) != count {
        return Err(Snag::new(
            "height",
            "there must be one height for each place",
        ));
    }
    let nowhere = Length::of_si(f64::NAN);
    let mut spots = [Spot {
        along: nowhere,
        across: nowhere,
        height: nowhere,
    }; MOST_SPOTS];
    let read = given.all(0).zip(given.all(1)).zip(given.all(2));
    for (spot, ((along, across), height)) in spots.iter_mut().zip(read) {
        *spot = Spot {
            along,
            across,
            height,
        };
    }
    Ok((spots, count))
}

/// How far one wheel's place is off the plane of the other three.
pub(in crate::calc) static WHEEL_OFF: Sum = Sum {
    name: "wheel_off",
    subject: SUBJECT,
    title: "how far the floor under one wheel is off the plane of the other three",
    formula: &[
        "off = height − height of the plane through the other three, there",
        "main result: the largest of the four, without its sign",
    ],
    source: "our derivation; the limit is the sheet's (common practice)",
    range: "Four places, no three on one line. Each by itself has its sign: + is higher than the \
            others' plane. Judge the largest by the rule; where it is smaller than its \
            uncertainty, the four with their signs carry the right uncertainty.",
    inputs: &[
        ALONG.several(4, 4),
        ACROSS.several(4, 4),
        HEIGHT.several(4, 4),
    ],
    outputs: &[
        Output::of("off", "one wheel off", Kind::Length),
        Output::of("first", "first place over the other three", Kind::Length),
        Output::of("second", "second place over the other three", Kind::Length),
        Output::of("third", "third place over the other three", Kind::Length),
        Output::of("fourth", "fourth place over the other three", Kind::Length),
    ],
    example: &[
        ("along", "0 mm, 0 mm, 3700 mm, 3700 mm"),
        ("across", "920 mm, -920 mm, 1020 mm, -1020 mm"),
        ("height", "0 mm, 2 mm, 3 mm, 4 mm"),
    ],
    picture: None,
    work: |given, out| {
        let (spots, _) = spots(given)?;
        let [a, b, c, d, ..] = spots;
        let off = off_the_others(&[a, b, c, d])?;
        let largest = off.iter().fold(0.0_f64, |most, o| most.max(o.si().abs()));
        out.set(0, largest);
        for (at, off) in off.into_iter().enumerate() {
            out.set(at + 1, off);
        }
        Ok(())
    },
};

const LEVELLED: &str = "a level line or a laser stands at most so far off the floor";

/// The floor under the four wheels of a truck.
pub(in crate::calc) static FLOOR_WHEELS: Sum = Sum {
    name: "floor_wheels",
    subject: SUBJECT,
    title: "slopes of the floor under a truck, and the wheel that stands off the plane of the others",
    formula: &[
        "plane through the four places, least squares; as in floor_plane",
        "off = the largest of the four over the plane of the other three, without its sign",
    ],
    source: "least squares, our derivation; the limits are the sheet's (common practice)",
    range: "Four readings with one level line or laser that stays where it is: down from the line to \
            the floor (a longer way is a lower floor), or up from the lowest place. Slope along is + where \
            the floor is higher at the front, slope across where it is higher on the left. What is off has \
            no sign: where it is smaller than its uncertainty, look at the trials.",
    inputs: &[
        Input::one("front_left", "front left wheel", Kind::Length)
            .within(-5.0, 5.0, LEVELLED)
            .shared('A'),
        Input::one("front_right", "front right wheel", Kind::Length)
            .within(-5.0, 5.0, LEVELLED)
            .shared('A'),
        Input::one("rear_left", "rear left wheel", Kind::Length)
            .within(-5.0, 5.0, LEVELLED)
            .shared('A'),
        Input::one("rear_right", "rear right wheel", Kind::Length)
            .within(-5.0, 5.0, LEVELLED)
            .shared('A'),
        Input::one("wheelbase", "front axle to drive axle", Kind::Length).within(
            1.0,
            15.0,
            "no truck is shorter or longer; look at the unit",
        ),
        Input::one("track_front", "track of the front axle", Kind::Length).within(
            1.0,
            3.0,
            "no truck is narrower or wider; look at the unit",
        ),
        Input::one(
            "track_rear",
            "track of the drive axle, between the middles of its twins",
            Kind::Length,
        )
        .within(1.0, 3.0, "no truck is narrower or wider; look at the unit"),
        Input::word("counted", "readings count up or down", &["up", "down"]),
    ],
    outputs: &[
        Output::of(
            "slope_along",
            "slope along, + higher at the front",
            Kind::Slope,
        )
        .shown_in(Unit::MillimetrePerMetre),
        Output::of("slope_across", "slope across, + left higher", Kind::Slope)
            .shown_in(Unit::MillimetrePerMetre)
            .plain(),
        Output::of("off", "one wheel off the plane of the others", Kind::Length),
        Output::of(
            "front_left",
            "front left over the other three",
            Kind::Length,
        ),
        Output::of(
            "front_right",
            "front right over the other three",
            Kind::Length,
        ),
        Output::of("rear_left", "rear left over the other three", Kind::Length),
        Output::of(
            "rear_right",
            "rear right over the other three",
            Kind::Length,
        ),
    ],
    example: &[
        ("front_left", "395 mm ± 1 mm step 1 mm"),
        ("front_right", "397 mm ± 1 mm step 1 mm"),
        ("rear_left", "399 mm ± 1 mm step 1 mm"),
        ("rear_right", "401 mm ± 1 mm step 1 mm"),
        ("wheelbase", "3700 mm"),
        ("track_front", "2040 mm"),
        ("track_rear", "1840 mm"),
        ("counted", "down"),
    ],
    picture: Some(Picture::Floor),
    work: wheels,
};

fn wheels(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let up = if given.word(7) == "down" { -1.0 } else { 1.0 };
    let (wheelbase, front, rear) = (given.get(4), given.get::<f64>(5), given.get::<f64>(6));
    let spot = |at: usize, along: Length, across: f64| Spot {
        along,
        across: Length::of_si(across),
        height: Length::of_si(up * given.get::<f64>(at)),
    };
    let nothing = Length::of_si(0.0);
    let spots = [
        spot(0, wheelbase, front / 2.0),
        spot(1, wheelbase, -front / 2.0),
        spot(2, nothing, rear / 2.0),
        spot(3, nothing, -rear / 2.0),
    ];
    let fit = fit_plane(&spots)?;
    let off = off_the_others(&spots)?;
    let largest = off.iter().fold(0.0_f64, |most, o| most.max(o.si().abs()));
    out.set(0, fit.plane.along);
    out.set(1, fit.plane.across);
    out.set(2, largest);
    for (at, off) in off.into_iter().enumerate() {
        out.set(at + 3, off);
    }
    Ok(())
}

/// A frame's height with the floor's unevenness taken out.
pub(in crate::calc) static FLOOR_CORRECTION: Sum = Sum {
    name: "floor_correction",
    subject: SUBJECT,
    title: "a frame height over the plane in which the wheels stand",
    formula: &[
        "plane = offset + along × tan(slope along) + across × tan(slope across)",
        "correction = floor there − plane; corrected = height + correction",
        "over the level = height + floor there",
    ],
    source: "our derivation",
    range: "A height read down to the floor at one place, the floor's height read at that place, \
            and the plane of floor_plane from the wheels' places, all from the same level and the \
            same place to count from. On a floor that is a plane nothing is corrected, however it \
            slopes: the truck slopes with it.",
    inputs: &[
        Input::one("height", "frame to floor as read", Kind::Length).within(
            0.0,
            5.0,
            "a frame stands 0 m to 5 m over the floor",
        ),
        Input::one("floor", "height of the floor there, + up", Kind::Length),
        Input::one("along", "place along, + to the front", Kind::Length),
        Input::one("across", "place across, + to the left", Kind::Length),
        Input::one("offset", "offset of the plane", Kind::Length),
        Input::one(
            "slope_along",
            "slope along of the plane, + higher at the front",
            Kind::Slope,
        ),
        Input::one(
            "slope_across",
            "slope across of the plane, + higher on the left",
            Kind::Slope,
        ),
    ],
    outputs: &[
        Output::of("corrected", "frame over the wheels' plane", Kind::Length),
        Output::of("correction", "floor over the plane there", Kind::Length),
        Output::of("plane", "height of the plane there", Kind::Length),
        Output::of("over_level", "frame over the level", Kind::Length),
    ],
    example: &[
        ("height", "806 mm"),
        ("floor", "3 mm"),
        ("along", "300 mm"),
        ("across", "430 mm"),
        ("offset", "1 mm"),
        ("slope_along", "0.95 mm/m"),
        ("slope_across", "-0.3 mm/m"),
    ],
    picture: None,
    work: |given, out| {
        let read: Length = given.get(0);
        let spot = Spot {
            along: given.get(2),
            across: given.get(3),
            height: given.get(1),
        };
        let plane = Plane {
            offset: given.get(4),
            along: given.get(5),
            across: given.get(6),
        };
        let correction = over_plane(spot, plane);
        out.set(0, read + correction);
        out.set(1, correction);
        out.set(2, plane.height_at(spot.along, spot.across));
        out.set(3, read + spot.height);
        Ok(())
    },
};

fn row(word: &str) -> FlatnessRow {
    match word {
        "row_2" => FlatnessRow::Two,
        "row_4" => FlatnessRow::Four,
        _ => FlatnessRow::Three,
    }
}

/// The sag that a row allows.
pub(in crate::calc) static FLATNESS_LIMIT: Sum = Sum {
    name: "flatness_limit",
    subject: SUBJECT,
    title: "the sag that a row of the flatness table allows over a distance",
    formula: &[
        "row 2: 5, 8, 12, 15, 20 mm over 0.1, 1, 4, 10, 15 m",
        "row 3: 2, 4, 10, 12, 15 mm",
        "row 4: 1, 3, 9, 12, 15 mm",
        "between the distances in a straight line; then to the nearest mm, halves upwards",
    ],
    source: "DIN 18202 Table 3 (read in two public copies; row 4 at 1 m: a third prints 2)",
    range: "0.1 m to 15 m. Row 3 is for finished floors, row 4 for raised demands. The exact limit \
            moves with the distance; the one in whole mm steps, so its uncertainty says nothing.",
    inputs: &[
        Input::word("row", "row of the table", ROWS),
        Input::one("distance", "measuring distance", Kind::Length).within(0.1, 15.0, TABLE_ENDS),
    ],
    outputs: &[
        Output::of("limit", "limit, exact", Kind::Length),
        Output::of("whole", "limit in whole mm", Kind::Length),
    ],
    example: &[("row", "row_3"), ("distance", "2.5 m")],
    picture: None,
    work: |given, out| {
        let limit = flatness_limit(row(given.word(0)), given.get(1));
        out.set(0, limit);
        out.set(1, whole_millimetres(limit));
        Ok(())
    },
};

/// Sag of the floor against a row of the table.
pub(in crate::calc) static FLOOR_SAG: Sum = Sum {
    name: "floor_sag",
    subject: SUBJECT,
    title: "hump or hollow of the floor from three heights, against the flatness table",
    formula: &[
        "sag = middle − (before + after) / 2",
        "limit of the row over the distance from before to after, in a straight line",
        "margin = limit − size of the sag",
    ],
    source: "DIN 18202 Table 3 and its practice (read in public copies)",
    range: "Three heights in one line, the middle one half-way, all read with one level; the \
            straight-edge needs no levelling. + is a hump. 0.1 m to 15 m. The margins take the sag \
            without its sign, which has a corner at nothing: where the sag is smaller than its \
            uncertainty, look at the trials.",
    inputs: &[
        Input::one("before", "height at one end, + up", Kind::Length).shared('A'),
        Input::one("middle", "height in the middle, + up", Kind::Length).shared('A'),
        Input::one("after", "height at the other end, + up", Kind::Length).shared('A'),
        Input::one("distance", "from one end to the other", Kind::Length)
            .within(0.1, 15.0, TABLE_ENDS),
        Input::word("row", "row of the table", ROWS),
    ],
    outputs: &[
        Output::of("sag", "sag, + hump", Kind::Length),
        Output::of("limit", "limit, exact", Kind::Length),
        Output::of("margin", "margin to the exact limit", Kind::Length),
        Output::of("whole", "limit in whole mm", Kind::Length),
        Output::of(
            "whole_margin",
            "margin to the limit in whole mm",
            Kind::Length,
        ),
    ],
    example: &[
        ("before", "0 mm"),
        ("middle", "4 mm"),
        ("after", "2 mm"),
        ("distance", "2 m"),
        ("row", "row_4"),
    ],
    picture: None,
    work: |given, out| {
        let sag = sag(given.get(0), given.get(1), given.get(2));
        let limit = flatness_limit(row(given.word(4)), given.get(3));
        let whole = whole_millimetres(limit);
        out.set(0, sag);
        out.set(1, limit);
        out.set(2, limit - sag.abs());
        out.set(3, whole);
        out.set(4, whole - sag.abs());
        Ok(())
    },
};

/// Rise over run that a headlamp tester's own floor may have.
///
/// # Source
/// German guideline as reported by the trade press: 1 mm on 1 m; 2 mm was under
/// discussion (read in a public copy).
const LAMP_BAY_SLOPE: f64 = 0.001;

/// Slope of a headlamp tester's floor against its limit.
pub(in crate::calc) static LAMP_BAY: Sum = Sum {
    name: "lamp_bay",
    subject: SUBJECT,
    title: "slope of the floor under a headlamp tester, against its limit",
    formula: &[
        "slope = atan((second − first) / distance)",
        "margin = limit − size of the slope",
    ],
    source: "Germany: 0.1 %, that is 1 mm on 1 m (read in the trade press; 2 mm on 1 m was under \
             discussion)",
    range: "The floor that the tester stands on. Without a limit of your own 0.1 % is taken. The \
            truck's lanes have limits of their own; both must slope the same way. The margin takes \
            the slope without its sign, which has a corner at nothing: where the slope is smaller \
            than its uncertainty, look at the trials.",
    inputs: &[
        Input::one("first", "height at one end, + up", Kind::Length).shared('A'),
        Input::one("second", "height at the other end, + up", Kind::Length).shared('A'),
        Input::one("distance", "from one end to the other", Kind::Length).within(
            0.1,
            30.0,
            "a bay is measured over 0.1 m to 30 m",
        ),
        Input::one("limit", "limit, where it is not 0.1 %", Kind::Slope)
            .least(0.0, "a limit has no sign")
            .optional(),
    ],
    outputs: &[
        Output::of("slope", "slope, + second end higher", Kind::Slope)
            .shown_in(Unit::Percent)
            .plain(),
        Output::of("limit", "limit, either way", Kind::Slope)
            .shown_in(Unit::Percent)
            .plain(),
        Output::of("margin", "margin to the limit, + is room left", Kind::Slope)
            .shown_in(Unit::Percent)
            .plain(),
    ],
    example: &[("first", "0 mm"), ("second", "1.5 mm"), ("distance", "2 m")],
    picture: None,
    work: |given, out| {
        let slope = slope_between(given.get(0), given.get(1), given.get(2));
        let german = Slope(Angle::of_si(LAMP_BAY_SLOPE.atan()));
        let limit = given.maybe(3).unwrap_or(german);
        out.set(0, slope);
        out.set(1, limit);
        out.set(2, limit.0 - slope.0.abs());
        Ok(())
    },
};

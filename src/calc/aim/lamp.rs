//! Dipped beams: inclination after a height change, the bands and rules for it, the
//! mark on a wall, glare.
//!
//! Invariants: an inclination is + for a beam that rises; in percent it is rise over
//! distance. An edge belongs to its band.

use uom::si::f64::{Angle, Area, Illuminance, Length, LuminousIntensity};

use super::{FRONT, NO_FURTHER, REAR, SUBJECT, WHEELBASE, pitch_of};
use crate::calc::amount::{Amount, Slope};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::{Kind, Unit};

/// Steepest rise that is taken for a dipped beam, rad: 1 %.
const RISE: f64 = 0.01;
/// Way out for a beam that was typed without its sign.
const DOWN: &str = "a dipped beam points down: type -1.2 %";

const INCLINATION: Input = beam("inclination", "inclination of the beam, − is down");
const MARKED: Input = beam("marked", "inclination marked on the vehicle, − is down").optional();
const DISTANCE: Input = Input::one("distance", "lamp to wall", Kind::Length).within(
    0.1,
    100.0,
    "a wall ahead of the lamp; look at the unit",
);
const CENTRE: Input = lamp("lamp_height", "centre of the lamp", 0.3, 3.5);

const fn beam(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Slope).most(RISE, DOWN)
}

const fn lamp(key: &'static str, title: &'static str, least: f64, most: f64) -> Input {
    Input::one(key, title, Kind::Length).within(least, most, "lamps of road vehicles sit there")
}

/// A beam's inclination, or a way between two: in percent, its sign told by the title.
const fn incline(key: &'static str, title: &'static str) -> Output {
    Output::of(key, title, Kind::Slope)
        .plain()
        .shown_in(Unit::Percent)
}

/// A hair in rad: what an edge typed in percent may lie beside itself.
const HAIR: f64 = 1e-12;

/// A hair in m: what an edge typed in other units may lie beside itself.
const HAIR_M: f64 = 1e-9;

fn is_over(height: Length, edge_m: f64) -> bool {
    height.si() > edge_m + HAIR_M
}

fn is_under(height: Length, edge_m: f64) -> bool {
    height.si() < edge_m - HAIR_M
}

/// The slope of so many percent.
fn percent(percent: f64) -> Slope {
    Slope(Angle::of_si((percent / 100.0).atan()))
}

/// The inclination of a beam after the truck pitched; the angles add.
pub(super) fn inclination_after(before: Slope, pitch: Slope) -> Slope {
    Slope(before.0 + pitch.0)
}

/// Where a beam meets a wall over the floor.
///
/// # Source
/// Geometry: lamp height + distance · rise over run.
pub(super) fn wall_mark(lamp: Length, inclination: Slope, distance: Length) -> Length {
    lamp + distance * inclination.si().tan()
}

/// Light at a distance from a source that is small against it.
///
/// # Source
/// Inverse square law.
pub(super) fn illuminance(intensity: LuminousIntensity, distance: Length) -> Illuminance {
    let area: Area = distance * distance;
    Illuminance::of_si(intensity.si() / area.si())
}

/// Aim after a height change.
pub(in crate::calc) static LAMP_AFTER: Sum = Sum {
    name: "lamp_after",
    subject: SUBJECT,
    title: "inclination of the dipped beam after a height change",
    formula: &[
        "change = atan((front change − rear change) / wheelbase)",
        "after = before + change",
    ],
    source: "geometry: in percent the change is 100 · height change / wheelbase",
    range: "lamps without their own levelling; the small change of the lamp's height is left out",
    inputs: &[
        beam("before", "inclination before, − is down"),
        REAR,
        WHEELBASE,
        FRONT,
        MARKED,
    ],
    outputs: &[
        incline("after", "inclination after, − is down"),
        incline("change", "beam goes up by, − is down"),
        incline(
            "from_marked",
            "after, off the marked value, − is further down",
        )
        .optional(),
    ],
    example: &[
        ("before", "-1.20 %"),
        ("rear_change", "-7 mm"),
        ("wheelbase", "3700 mm"),
        ("marked", "-1.2 %"),
    ],
    picture: None,
    work: |given, out| {
        let change = pitch_of(given, [1, 2, 3]);
        let after = inclination_after(given.get(0), change);
        out.set(0, after);
        out.set(1, change);
        if let Some(marked) = given.maybe::<Slope>(4) {
            out.set(2, after.0 - marked.0);
        }
        Ok(())
    },
};

/// One row of the table: edges in percent, low and high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Row {
    stay: (f64, f64),
    set: (f64, f64),
}

/// UN R48 6.2.6.1.2 (from memory, very sure): the usual row, up to 1.0 m.
const FIRST: Row = Row {
    stay: (-2.5, -0.5),
    set: (-1.5, -1.0),
};
/// The row over 1.0 m; from 0.8 m if the maker chose it.
const SECOND: Row = Row {
    stay: (-3.0, -1.0),
    set: (-2.0, -1.5),
};
/// Off-road trucks (N3G) with lamps over 1.2 m.
const OFF_ROAD: Row = Row {
    stay: (-3.5, -1.5),
    set: (-2.5, -2.0),
};

const UNDER: &str = "lamp under 0.8 m";
const MIDDLE_FIRST: &str = "lamp from 0.8 to 1.0 m, initial aim -1.0 to -1.5 %";
const MIDDLE_SECOND: &str = "lamp from 0.8 to 1.0 m, initial aim -1.5 to -2.0 %";
const MIDDLE_BOTH: &str = "lamp from 0.8 to 1.0 m, either band: the stricter edges count";
const OVER: &str = "lamp over 1.0 m";
const N3G: &str = "off-road truck, lamp over 1.2 m";

/// The band of a lamp: the strict edges, and the loose ones where two rows may be meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LampBand {
    pub(super) rule: &'static str,
    pub(super) strict: Row,
    pub(super) loose: Option<Row>,
}

impl LampBand {
    const fn one(rule: &'static str, strict: Row) -> Self {
        Self {
            rule,
            strict,
            loose: None,
        }
    }
}

/// The band of UN R48 for a lamp.
///
/// `choice`: the maker's choice from 0.8 to 1.0 m, first or second row. A marked value
/// settles it too, unless it lies on the edge that both share.
///
/// # Units
/// `height`: lower edge of the lamp over the floor, unladen.
///
/// # Errors
/// A marked value that lies in no band of this lamp, or not in the chosen one.
///
/// # Source
/// UN R48 6.2.6.1.2 (from memory, very sure). It leaves 0.8 m and 1.0 m themselves
/// undefined: either neighbour may be meant, which is what the middle allows.
pub(super) fn lamp_band(
    height: Length,
    off_road: bool,
    choice: Option<bool>,
    marked: Option<Slope>,
) -> Result<LampBand, Snag> {
    let band = if off_road && is_over(height, 1.2) {
        LampBand::one(N3G, OFF_ROAD)
    } else if is_under(height, 0.8) {
        LampBand::one(UNDER, FIRST)
    } else if is_over(height, 1.0) {
        LampBand::one(OVER, SECOND)
    } else {
        middle(choice, marked)
    };
    let whole = band.loose.unwrap_or(band.strict).set;
    match marked {
        Some(marked) if !lies_in(marked, whole) => Err(Snag::new(
            "marked",
            "it lies in no initial aim for this lamp height; look at the plate and the height again",
        )),
        _ => Ok(band),
    }
}

fn middle(choice: Option<bool>, marked: Option<Slope>) -> LampBand {
    let by_mark = marked.and_then(|m| match (lies_in(m, FIRST.set), lies_in(m, SECOND.set)) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        (true, true) | (false, false) => None,
    });
    match choice.or(by_mark) {
        Some(true) => LampBand::one(MIDDLE_FIRST, FIRST),
        Some(false) => LampBand::one(MIDDLE_SECOND, SECOND),
        None => LampBand {
            rule: MIDDLE_BOTH,
            strict: Row {
                stay: (FIRST.stay.0, SECOND.stay.1),
                set: (FIRST.set.0, SECOND.set.1),
            },
            loose: Some(Row {
                stay: (SECOND.stay.0, FIRST.stay.1),
                set: (SECOND.set.0, FIRST.set.1),
            }),
        },
    }
}

fn lies_in(slope: Slope, (low, high): (f64, f64)) -> bool {
    let si = slope.si();
    si >= percent(low).si() - HAIR && si <= percent(high).si() + HAIR
}

/// UN R48 bands.
pub(in crate::calc) static LAMP_BAND: Sum = Sum {
    name: "lamp_band",
    subject: SUBJECT,
    title: "inclination of the dipped beam against the bands of UN R48",
    formula: &[
        "under 0.8 m: stays in -0.5 to -2.5 %, initial aim -1.0 to -1.5 %",
        "0.8 to 1.0 m: that, or by the maker's choice the next",
        "over 1.0 m: stays in -1.0 to -3.0 %, initial aim -1.5 to -2.0 %",
        "off-road truck over 1.2 m: stays in -1.5 to -3.5 %, initial aim -2.0 to -2.5 %",
        "room = edge against inclination, + inside",
    ],
    source: "UN R48 6.2.6.1.2 (from memory, very sure)",
    range: "lower edge of the lamp over the floor, unladen. Initial aim: unladen, one person on \
            the driver's seat; stays in: with every load. From 0.8 to 1.0 m the marked value or \
            the maker's choice settles the band; without, the stricter edges count and the \
            looser ones are given too",
    inputs: &[
        INCLINATION,
        lamp("lamp_height", "lower edge of the lamp", 0.3, 2.0),
        MARKED,
        Input::word(
            "choice",
            "maker's choice from 0.8 to 1.0 m",
            &["first", "second"],
        )
        .optional(),
        Input::word("off_road", "off-road truck (N3G)", &["no", "yes"]).optional(),
    ],
    outputs: &[
        Output::word(
            "rule",
            "band",
            &[UNDER, MIDDLE_FIRST, MIDDLE_SECOND, MIDDLE_BOTH, OVER, N3G],
        ),
        incline("set_margin_up", "initial aim: room upwards, + is inside"),
        incline(
            "set_margin_down",
            "initial aim: room downwards, + is inside",
        ),
        incline("stay_margin_up", "stays in: room upwards, + is inside"),
        incline("stay_margin_down", "stays in: room downwards, + is inside"),
        incline("set_high", "initial aim: upper edge, − is down"),
        incline("set_low", "initial aim: lower edge, − is down"),
        incline("stay_high", "stays in: upper edge, − is down"),
        incline("stay_low", "stays in: lower edge, − is down"),
        incline(
            "set_high_loose",
            "initial aim: looser upper edge, − is down",
        )
        .optional(),
        incline("set_low_loose", "initial aim: looser lower edge, − is down").optional(),
        incline("stay_high_loose", "stays in: looser upper edge, − is down").optional(),
        incline("stay_low_loose", "stays in: looser lower edge, − is down").optional(),
        incline("from_marked", "off the marked value, − is further down").optional(),
    ],
    example: &[
        ("inclination", "-1.01 %"),
        ("lamp_height", "720 mm"),
        ("marked", "-1.2 %"),
    ],
    picture: None,
    work: band,
};

fn band(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let inclination: Slope = given.get(0);
    let marked: Option<Slope> = given.maybe(2);
    let choice = match given.word(3) {
        "first" => Some(true),
        "second" => Some(false),
        _ => None,
    };
    let band = lamp_band(given.get(1), given.word(4) == "yes", choice, marked)?;
    out.say(0, band.rule);
    let Row { stay, set } = band.strict;
    for (at, (low, high)) in [(1, set), (3, stay)] {
        let (low, high) = (percent(low), percent(high));
        out.set(at, high.0 - inclination.0);
        out.set(at + 1, inclination.0 - low.0);
        out.set(at + 4, high);
        out.set(at + 5, low);
    }
    if let Some(Row { stay, set }) = band.loose {
        for (at, (low, high)) in [(9, set), (11, stay)] {
            out.set(at, percent(high));
            out.set(at + 1, percent(low));
        }
    }
    if let Some(marked) = marked {
        out.set(13, inclination.0 - marked.0);
    }
    Ok(())
}

const UK_LOW: &str = "UK test, lamp centre up to 850 mm";
const UK_HIGH: &str = "UK test, lamp centre over 850 mm";
const US_LEFT: &str = "US visual aim, left cut-off";
const US_RIGHT: &str = "US visual aim, right cut-off";
const GERMAN_LEVEL: &str = "older German table, levelled suspension";
const GERMAN_TALL: &str = "older German table, lamp centre over 140 cm";

/// What a national rule wants of a beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Wanted {
    /// From low to high.
    Between(Slope, Slope),
    /// This; how far off is not said.
    Target(Slope),
}

/// A rule for dipped beams other than UN R48.
///
/// # Units
/// `height`: centre of the lamp over the floor.
///
/// # Errors
/// A rule that goes by lamp height without one, or under 140 cm where the older German
/// table's row begins.
///
/// # Source
/// UK: official notice of 2016 and the inspection manual as quoted publicly (read). US:
/// FMVSS 108 S10.18.9 (from memory). Germany: `VkBl` guideline as reprinted (read; the
/// tolerances were not legible and are left out).
pub(super) fn rule(name: &str, height: Option<Length>) -> Result<(&'static str, Wanted), Snag> {
    let tall = || height.ok_or(Snag::new("lamp_height", "this rule goes by it"));
    match name {
        "uk_test" if !is_over(tall()?, 0.85) => {
            Ok((UK_LOW, Wanted::Between(percent(-2.75), percent(-0.5))))
        }
        "uk_test" => Ok((UK_HIGH, Wanted::Between(percent(-2.75), percent(-1.25)))),
        "us_left" => {
            let down = Slope(Angle::of_si(-0.4_f64.to_radians()));
            Ok((US_LEFT, Wanted::Target(down)))
        }
        "us_right" => Ok((US_RIGHT, Wanted::Target(percent(0.0)))),
        "germany_level" => Ok((GERMAN_LEVEL, Wanted::Target(percent(-1.0)))),
        _ => {
            let height = tall()?;
            if !is_over(height, 1.4) {
                return Err(Snag::new(
                    "lamp_height",
                    "this row of the table is for a lamp centre over 140 cm",
                ));
            }
            // A third of the height on 10 m.
            Ok((
                GERMAN_TALL,
                Wanted::Target(percent(-100.0 * height.si() / 3.0 / 10.0)),
            ))
        }
    }
}

/// National rules.
pub(in crate::calc) static LAMP_RULE: Sum = Sum {
    name: "lamp_rule",
    subject: SUBJECT,
    title: "inclination of the dipped beam against a national rule",
    formula: &[
        "UK test: -0.5 to -2.75 %, lamp centre over 850 mm -1.25 to -2.75 %",
        "US visual aim: left cut-off 0.4° down, right cut-off level",
        "older German table: levelled suspension -1.0 %; lamp centre over 140 cm a third of its \
         height on 10 m",
        "room = edge against inclination, + inside",
    ],
    source: "UK: official notice of 2016, inspection manual as quoted publicly; US: FMVSS 108 \
             S10.18.9 (from memory); Germany: VkBl guideline as reprinted",
    range: "US and German rules give a target; how far off it may be is the tolerance that is \
            given, or nothing is said. The German table is for vehicles without a marked value",
    inputs: &[
        Input::word(
            "rule",
            "rule",
            &[
                "uk_test",
                "us_left",
                "us_right",
                "germany_level",
                "germany_tall",
            ],
        ),
        INCLINATION,
        CENTRE.optional(),
        Input::one(
            "tolerance",
            "tolerance of a target, either way",
            Kind::Slope,
        )
        .optional()
        .least(0.0, "a tolerance is no less than nothing"),
    ],
    outputs: &[
        Output::word(
            "by",
            "rule",
            &[
                UK_LOW,
                UK_HIGH,
                US_LEFT,
                US_RIGHT,
                GERMAN_LEVEL,
                GERMAN_TALL,
            ],
        ),
        incline("target", "wanted, − is down").optional(),
        incline("deviation", "off what is wanted, − is further down").optional(),
        incline("high", "upper edge, − is down").optional(),
        incline("low", "lower edge, − is down").optional(),
        incline("margin_up", "room upwards, + is inside").optional(),
        incline("margin_down", "room downwards, + is inside").optional(),
    ],
    example: &[
        ("rule", "uk_test"),
        ("inclination", "-1.01 %"),
        ("lamp_height", "780 mm"),
    ],
    picture: None,
    work: |given, out| {
        let inclination: Slope = given.get(1);
        let (by, wanted) = rule(given.word(0), given.maybe(2))?;
        out.say(0, by);
        let edges = match wanted {
            Wanted::Between(low, high) => Some((low, high)),
            Wanted::Target(target) => {
                out.set(1, target);
                out.set(2, inclination.0 - target.0);
                let off = |tolerance: Slope| (target.0 - tolerance.0, target.0 + tolerance.0);
                given.maybe(3).map(off).map(|(l, h)| (Slope(l), Slope(h)))
            }
        };
        if let Some((low, high)) = edges {
            out.set(3, high);
            out.set(4, low);
            out.set(5, high.0 - inclination.0);
            out.set(6, inclination.0 - low.0);
        }
        Ok(())
    },
};

/// Lamp heights.
pub(in crate::calc) static LAMP_HEIGHT: Sum = Sum {
    name: "lamp_height",
    subject: SUBJECT,
    title: "height of a dipped beam against the lowest and highest allowed",
    formula: &[
        "UN R48: 500 to 1200 mm, off-road truck 500 to 1500 mm",
        "US: 22 to 54 in",
        "after = height + raise; room = edge against height after",
    ],
    source: "UN R48 6.2.4 (from memory, very sure; 500 to 1200 mm also in § 50 StVZO as quoted); \
             US: 49 CFR 571.108 Table X (from memory)",
    range: "UN R48: lower edge of the lamp for the lowest, upper edge for the highest; US: centre",
    inputs: &[
        Input::word("rule", "rule", &["un_r48", "un_r48_off_road", "us"]),
        lamp("height", "lamp over the floor", 0.1, 3.0),
        Input::one("raise", "lamp goes up by", Kind::Length)
            .optional()
            .within(-1.0, 1.0, NO_FURTHER),
    ],
    outputs: &[
        Output::of("after", "height after", Kind::Length),
        Output::of("margin_low", "room down to the lowest", Kind::Length),
        Output::of("margin_high", "room up to the highest", Kind::Length),
        Output::of("lowest", "lowest allowed", Kind::Length),
        Output::of("highest", "highest allowed", Kind::Length),
    ],
    example: &[("rule", "us"), ("height", "36 in"), ("raise", "0.5 in")],
    picture: None,
    work: |given, out| {
        let (low, high) = match given.word(0) {
            "un_r48" => (0.5, 1.2),
            "un_r48_off_road" => (0.5, 1.5),
            _ => (22.0 * 0.0254, 54.0 * 0.0254),
        };
        let after = given.get::<f64>(1) + given.maybe(2).unwrap_or(0.0);
        out.set(0, after);
        out.set(1, after - low);
        out.set(2, high - after);
        out.set(3, low);
        out.set(4, high);
        Ok(())
    },
};

/// Mark on a wall.
pub(in crate::calc) static WALL_MARK: Sum = Sum {
    name: "wall_mark",
    subject: SUBJECT,
    title: "where the cut-off stands on a wall",
    formula: &[
        "drop = distance · rise over run (1 % is 100 mm on 10 m)",
        "mark = lamp height + distance · rise over run",
    ],
    source: "geometry; German form h = H − e (definitions of the German headlamp guideline)",
    range: "level floor between truck and wall",
    inputs: &[CENTRE, INCLINATION, DISTANCE],
    outputs: &[
        Output::of("mark", "cut-off over the floor", Kind::Length),
        Output::of("drop", "cut-off under the lamp", Kind::Length),
    ],
    example: &[
        ("lamp_height", "720 mm"),
        ("inclination", "-1.2 %"),
        ("distance", "10 m"),
    ],
    picture: None,
    work: |given, out| {
        let lamp: Length = given.get(0);
        let mark = wall_mark(lamp, given.get(1), given.get(2));
        out.set(0, mark);
        out.set(1, lamp - mark);
        Ok(())
    },
};

/// The way back from a wall.
pub(in crate::calc) static WALL_INCLINATION: Sum = Sum {
    name: "wall_inclination",
    subject: SUBJECT,
    title: "inclination of a beam from its cut-off on a wall",
    formula: &["inclination = atan((mark − lamp height) / distance)"],
    source: "geometry",
    range: "level floor between truck and wall",
    inputs: &[
        CENTRE,
        Input::one("mark", "cut-off over the floor", Kind::Length).within(
            0.0,
            6.0,
            "a mark on a wall stands over the floor; look at the unit",
        ),
        DISTANCE,
    ],
    outputs: &[incline("inclination", "inclination of the beam, − is down")],
    example: &[
        ("lamp_height", "720 mm"),
        ("mark", "600 mm"),
        ("distance", "10 m"),
    ],
    picture: None,
    work: |given, out| {
        let rise = given.get::<f64>(1) - given.get::<f64>(0);
        out.set(0, (rise / given.get::<f64>(2)).atan());
        Ok(())
    },
};

/// Light at lamp height and above that does not glare: 1 lx at 25 m.
///
/// # Source
/// German guideline for the headlamp test, 12 November 2018, `VkBl` 23/2018 p. 834 (read).
const GLARE_LUX: f64 = 1.0;
const GLARE_DISTANCE_M: f64 = 25.0;

/// Glare.
pub(in crate::calc) static GLARE: Sum = Sum {
    name: "glare",
    subject: SUBJECT,
    title: "light of a dipped beam at lamp height, as at 25 m",
    formula: &[
        "intensity = reading · distance²",
        "at 25 m = intensity / (25 m)²",
        "room = 1 lx − that",
    ],
    source: "inverse square law; at most 1 lx (625 cd): German guideline for the headlamp test, \
             12 November 2018, VkBl 23/2018 p. 834",
    range: "read at the height of the lamp's centre or above it, from a distance large against \
            the lamp; lux and candela are plain numbers",
    inputs: &[
        Input::one("reading_lux", "reading, lx", Kind::Ratio)
            .least(0.0, "there is no less than no light"),
        Input::one("distance", "lamp to light meter", Kind::Length).within(
            0.5,
            100.0,
            "nearer the lamp is no small source, further the meter reads other light",
        ),
    ],
    outputs: &[
        Output::of("lux_at_25_m", "at 25 m, lx", Kind::Ratio).plain(),
        Output::of("candela", "intensity, cd", Kind::Ratio).plain(),
        Output::of("margin_lux", "room under 1 lx at 25 m, lx", Kind::Ratio).plain(),
    ],
    example: &[("reading_lux", "4.2"), ("distance", "10 m")],
    picture: None,
    work: |given, out| {
        let distance: Length = given.get(1);
        let area = (distance * distance).si();
        let intensity = LuminousIntensity::of_si(given.get::<f64>(0) * area);
        let lux = illuminance(intensity, Length::of_si(GLARE_DISTANCE_M)).si();
        out.set(0, lux);
        out.set(1, intensity.si());
        out.set(2, GLARE_LUX - lux);
        Ok(())
    },
};

//! The driveline's sums in the registry.

use uom::si::f64::{Angle, Length};

use super::input::{
    ARM_LENGTH, AXLE_HEIGHT, BLOCK_HEIGHT, COUPLING_LENGTH, COUPLING_ON_BLOCKS, COUPLING_SLOPE,
    FRAME_FRONT, GEARBOX_ON_BLOCKS, GEARBOX_SLOPE, HANGER_BACK, HANGER_UP, HEIGHT, Held,
    JOINT_AHEAD, JOINT_BELOW, JOINT1_BACK, JOINT1_UP, LOWER_FRONT_BACK, LOWER_FRONT_UP,
    LOWER_REAR_BACK, LOWER_REAR_UP, LOWER_STOP, PIECES, PINION_ON_BLOCKS, PINION_SLOPE,
    PIVOT_BELOW, RIDE_HEIGHT, SEAT_TO_AXLE, SHAFT_LENGTH, SHAFT_ON_BLOCKS, SHAFT_SLOPE,
    UPPER_FRONT_BACK, UPPER_FRONT_UP, UPPER_REAR_BACK, UPPER_REAR_UP, UPPER_STOP, WHEELBASE,
    as_measured, inputs, trailing_arm,
};
use super::{Allowed, Limits, Rule, State};
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Picture, Sum};
use crate::quantity::Kind;

const SUBJECT: &str = "driveline over frame height";

const SOURCE: &str = "our derivation: the closed loop of floor, frame and linkage solved exactly; joints and what is left of them as in the sums on joints";

/// Where a sum of the driveline holds: how the axle is held, and what else is to know.
macro_rules! range {
    ($held:literal, $more:literal) => {
        concat!(
            "side view, no offset in plan, all shafts in phase; the front axle's frame height stays, the axle centre stays at its height over the floor and is free fore and aft; ",
            $held,
            "; an input without ± is taken as exact",
            $more
        )
    };
}

const ARM_RANGE: &str = range!(
    "arms clamped to the axle, bushes and tyres do not give",
    "; equal, residual and the joint angles are sizes with a corner at nothing, where the larger side counts for ±"
);

const LINK_RANGE: &str = range!(
    "bushes and tyres do not give; links on the side of their dead points where they are at ride height",
    "; equal, residual and the joint angles are sizes with a corner at nothing, where the larger side counts for ±"
);

const ARM_BAND_RANGE: &str = range!(
    "arms clamped to the axle, bushes and tyres do not give",
    ", and 0.1° of a slope moves an end of the band by about 1 mm; the margin has a corner where both ends are as near, where the larger side counts for ±"
);

const LINK_BAND_RANGE: &str = range!(
    "bushes and tyres do not give; links on the side of their dead points where they are at ride height",
    ", and 0.1° of a slope moves an end of the band, by about 1 mm on a clamped arm and by more on links; the margin has a corner where both ends are as near, where the larger side counts for ±"
);

const ARM_RATE_RANGE: &str = range!("arms clamped to the axle, bushes and tyres do not give", "");

const ARM_FORMULA: &[&str] = &[
    "frame slope t: tan t = (frame front − axle height − height − seat to axle) / axle centre back",
    "axle centre back: distance to the pivot, turned by t about the frame point above the front axle, = arm length",
    "gearbox = at ride + t − t at ride; pinion = at ride + arm slope − arm slope at ride",
    "shaft: from its joint on the frame to its joint on the axle",
    "equal = |size of the joint before the last − size of the last joint|",
];

const LINK_FORMULA: &[&str] = &[
    "frame slope t: tan t = (frame front − axle height − height − seat to axle) / axle centre back",
    "axle centre back and axle turn: distance of the ends of both links, frame ends turned by t, axle ends by the axle turn, = their lengths",
    "gearbox = at ride + t − t at ride; pinion = at ride + axle turn",
    "shaft: from its joint on the frame to its joint on the axle",
    "equal = |size of the joint before the last − size of the last joint|",
];

const FLATTER: &str = "pinion flatter than the shaft";
const STEEPER: &str = "pinion steeper than the shaft";

/// What is told of one height, and after it what a sum tells beyond.
macro_rules! outputs {
    ($arm:literal $arm_title:literal $($more:expr),*) => {
        &[
            Output::of("equal", "how far the last two joints are from equal", Kind::Angle),
            Output::of("joint1", "angle of joint 1, at the gearbox", Kind::Angle),
            Output::of("joint2", "angle of joint 2", Kind::Angle),
            Output::of("joint3", "angle of joint 3", Kind::Angle).optional(),
            Output::of("residual", "what is left of all joints together", Kind::Angle),
            Output::of("gearbox", "gearbox slope", Kind::Slope),
            Output::of("coupling", "slope of the coupling shaft", Kind::Slope).optional(),
            Output::of("shaft", "slope of the shaft to the axle", Kind::Slope),
            Output::of("pinion", "pinion slope", Kind::Slope),
            Output::of("plunge", "slip joint from ride height, + longer", Kind::Length),
            Output::of("axle_turn", "axle's turn from ride height, + nose up", Kind::Slope),
            Output::of("tyre_roll", "tyre's roll for that, brake on, + to the rear", Kind::Length),
            Output::of($arm, $arm_title, Kind::Slope),
            Output::of("frame_turn", "frame's turn from ride height, + nose up", Kind::Slope),
            Output::word("last_joint", "which way the last joint bends", &[FLATTER, STEEPER]),
            $($more),*
        ]
    };
}

/// How many results [`tell`] gives.
const TOLD: usize = 15;

fn tell(out: &mut Outcome, state: &State) {
    let [first, second, third] = state.joints.angles;
    out.set(0, state.equal);
    out.set(1, first);
    out.set(2, second);
    out.set(4, state.joints.residual);
    out.set(5, state.slopes.gearbox);
    if let Some(coupling) = state.slopes.coupling {
        out.set(3, third);
        out.set(6, coupling);
    }
    out.set(7, state.slopes.shaft);
    out.set(8, state.slopes.pinion);
    out.set(9, state.plunge);
    out.set(10, state.axle_turn);
    out.set(11, state.tyre_roll);
    out.set(12, state.arm);
    out.set(13, state.frame_turn);
    let bend = if state.pinion_is_steeper {
        STEEPER
    } else {
        FLATTER
    };
    out.say(14, bend);
}

/// Invented: the tractor BW-07 of Brackwater Haulage, as found 15 mm high.
macro_rules! brackwater {
    (read, $($more:expr),*) => {
        brackwater!(@slopes "4.5° ± 0.1°" "7.0° ± 0.1°" "4.3° ± 0.1°" $($more),*)
    };
    (@slopes $gearbox:literal $shaft:literal $pinion:literal $($more:expr),*) => {
        &[
            ("ride_height", "190 mm ± 0.5 mm"), ("seat_to_axle", "120 mm"),
            ("wheelbase", "3700 mm"), ("frame_front_height", "806 mm"),
            ("axle_height", "496 mm"), ("arm_length", "550 mm"), ("pivot_below", "280 mm"),
            ("gearbox_slope", $gearbox), ("shaft_slope", $shaft), ("pinion_slope", $pinion),
            ("shaft_length", "1420 mm"), ("joint_ahead", "360 mm"), ("joint_below", "30 mm"),
            $($more),*
        ]
    };
    ($($more:expr),*) => {
        brackwater!(@slopes "4.5°" "7.0°" "4.3°" $($more),*)
    };
}

/// Invented: a tractor of Brackwater Haulage with an upper and a lower link.
macro_rules! brackwater_links {
    (read, $($more:expr),*) => {
        brackwater_links!(@slopes "4.5° ± 0.1°" "7.0° ± 0.1°" "4.3° ± 0.1°" $($more),*)
    };
    (@slopes $gearbox:literal $shaft:literal $pinion:literal $($more:expr),*) => {
        &[
            ("ride_height", "190 mm ± 0.5 mm"), ("seat_to_axle", "120 mm"),
            ("wheelbase", "3700 mm"), ("frame_front_height", "806 mm"),
            ("axle_height", "496 mm"),
            ("lower_front_back", "3060 mm"), ("lower_front_up", "470 mm"),
            ("lower_rear_back", "3680 mm"), ("lower_rear_up", "430 mm"),
            ("upper_front_back", "3110 mm"), ("upper_front_up", "745 mm"),
            ("upper_rear_back", "3700 mm"), ("upper_rear_up", "716 mm"),
            ("gearbox_slope", $gearbox), ("shaft_slope", $shaft), ("pinion_slope", $pinion),
            ("shaft_length", "1420 mm"), ("joint_ahead", "360 mm"), ("joint_below", "30 mm"),
            $($more),*
        ]
    };
    ($($more:expr),*) => {
        brackwater_links!(@slopes "4.5°" "7.0°" "4.3°" $($more),*)
    };
}

fn at_height(given: &Inputs<'_>, out: &mut Outcome, held: Held) -> Result<(), Snag> {
    let driveline = held.driveline(given, 1)?;
    let driveline = as_measured(&driveline, given, held.end(1))?;
    tell(out, &driveline.at(given.get(0))?);
    Ok(())
}

/// The driveline at a height, trailing arms.
pub(in crate::calc) static DRIVELINE_AT_HEIGHT: Sum = Sum {
    name: "driveline_at_height",
    subject: SUBJECT,
    title: "slopes, joints, slip and axle turn of a driveline at a frame height, trailing arms",
    formula: ARM_FORMULA,
    source: SOURCE,
    range: ARM_RANGE,
    inputs: inputs!(arm [HEIGHT]
        [BLOCK_HEIGHT.optional(), GEARBOX_ON_BLOCKS.optional(), COUPLING_ON_BLOCKS,
         SHAFT_ON_BLOCKS.optional(), PINION_ON_BLOCKS.optional()]),
    outputs: outputs!("arm_slope" "slope of the arm"),
    example: brackwater!(("height", "205 mm ± 1 mm")),
    picture: Some(Picture::Driveline),
    work: |given, out| at_height(given, out, Held::Arm),
};

/// The driveline at a height, upper and lower links.
pub(in crate::calc) static DRIVELINE_FOUR_LINK: Sum = Sum {
    name: "driveline_four_link",
    subject: SUBJECT,
    title: "slopes, joints, slip and axle turn of a driveline at a frame height, upper and lower links",
    formula: LINK_FORMULA,
    source: SOURCE,
    range: LINK_RANGE,
    inputs: inputs!(links [HEIGHT]
        [BLOCK_HEIGHT.optional(), GEARBOX_ON_BLOCKS.optional(), COUPLING_ON_BLOCKS,
         SHAFT_ON_BLOCKS.optional(), PINION_ON_BLOCKS.optional()]),
    outputs: outputs!("link_slope" "slope of the lower link"),
    example: brackwater_links!(("height", "205 mm ± 1 mm")),
    picture: Some(Picture::Driveline),
    work: |given, out| at_height(given, out, Held::FourLink),
};

macro_rules! found_outputs {
    ($arm:literal $arm_title:literal) => {
        outputs!($arm $arm_title
            Output::of("ride_equal", "at ride height: how far the last two joints are from equal", Kind::Angle),
            Output::of("ride_joint1", "at ride height: joint 1", Kind::Angle),
            Output::of("ride_joint2", "at ride height: joint 2", Kind::Angle),
            Output::of("ride_joint3", "at ride height: joint 3", Kind::Angle).optional(),
            Output::of("ride_residual", "at ride height: what is left of all joints", Kind::Angle),
            Output::of("lower_joint", "at the lower stop: the largest joint angle", Kind::Angle),
            Output::of("lower_plunge", "at the lower stop: slip joint from ride height", Kind::Length),
            Output::of("upper_joint", "at the upper stop: the largest joint angle", Kind::Angle),
            Output::of("upper_plunge", "at the upper stop: slip joint from ride height", Kind::Length))
    };
}

fn found(given: &Inputs<'_>, out: &mut Outcome, held: Held) -> Result<(), Snag> {
    let measured = held.end(1);
    let driveline = as_measured(&held.driveline(given, 1)?, given, measured)?;
    tell(out, &driveline.at(given.get(0))?);
    let ride = driveline.at(driveline.linkage().stance().ride_height)?;
    let [first, second, third] = ride.joints.angles;
    out.set(TOLD, ride.equal);
    out.set(TOLD + 1, first);
    out.set(TOLD + 2, second);
    if ride.slopes.coupling.is_some() {
        out.set(TOLD + 3, third);
    }
    out.set(TOLD + 4, ride.joints.residual);
    for (key, input, output) in [
        ("lower_stop", measured + 5, TOLD + 5),
        ("upper_stop", measured + 6, TOLD + 7),
    ] {
        let stop = driveline
            .at(given.get(input))
            .map_err(|snag| Snag::new(key, snag.why))?;
        out.set(output, stop.largest());
        out.set(output + 1, stop.plunge);
    }
    Ok(())
}

const FOUND_FORMULA: &[&str] = &[
    "each slope = measured on the blocks + (model at the height − model at the height on the blocks)",
    "joints from these slopes; slip joint from the model",
];

/// The driveline as found from slopes on the blocks, trailing arms.
pub(in crate::calc) static DRIVELINE_FOUND: Sum = Sum {
    name: "driveline_found",
    subject: SUBJECT,
    title: "the driveline as found, at ride height and at both stops, from slopes on the blocks, trailing arms",
    formula: FOUND_FORMULA,
    source: SOURCE,
    range: ARM_RANGE,
    inputs: inputs!(arm [HEIGHT]
        [BLOCK_HEIGHT, GEARBOX_ON_BLOCKS, COUPLING_ON_BLOCKS, SHAFT_ON_BLOCKS, PINION_ON_BLOCKS,
         LOWER_STOP, UPPER_STOP]),
    outputs: found_outputs!("arm_slope" "slope of the arm, by the sheet"),
    example: brackwater!(
        ("height", "205 mm ± 1 mm"),
        ("block_height", "189.7 mm ± 0.3 mm"),
        ("gearbox_on_blocks", "4.6° ± 0.1°"),
        ("shaft_on_blocks", "7.0° ± 0.1°"),
        ("pinion_on_blocks", "4.2° ± 0.1°"),
        ("lower_stop", "98 mm"),
        ("upper_stop", "310 mm")
    ),
    picture: Some(Picture::Driveline),
    work: |given, out| found(given, out, Held::Arm),
};

/// The driveline as found from slopes on the blocks, upper and lower links.
pub(in crate::calc) static FOUR_LINK_FOUND: Sum = Sum {
    name: "four_link_found",
    subject: SUBJECT,
    title: "the driveline as found, at ride height and at both stops, from slopes on the blocks, upper and lower links",
    formula: FOUND_FORMULA,
    source: SOURCE,
    range: LINK_RANGE,
    inputs: inputs!(links [HEIGHT]
        [BLOCK_HEIGHT, GEARBOX_ON_BLOCKS, COUPLING_ON_BLOCKS, SHAFT_ON_BLOCKS, PINION_ON_BLOCKS,
         LOWER_STOP, UPPER_STOP]),
    outputs: found_outputs!("link_slope" "slope of the lower link, by the sheet"),
    example: brackwater_links!(
        ("height", "205 mm ± 1 mm"),
        ("block_height", "189.7 mm ± 0.3 mm"),
        ("gearbox_on_blocks", "4.6° ± 0.1°"),
        ("shaft_on_blocks", "7.0° ± 0.1°"),
        ("pinion_on_blocks", "4.2° ± 0.1°"),
        ("lower_stop", "98 mm"),
        ("upper_stop", "310 mm")
    ),
    picture: Some(Picture::Driveline),
    work: |given, out| found(given, out, Held::FourLink),
};

const fn limit(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Angle)
        .within(0.0, 1.0, "a limit of a joint lies between 0° and 57°")
        .optional()
}

const TOLERANCE: Input = Input::one(
    "tolerance",
    "the sheet's tolerance of ride height, either way",
    Kind::Length,
)
.least(0.0, "a tolerance counts either way");
const EQUAL_WITHIN: Input = limit("equal_within", "last two joints equal within");
const JOINT1_LEAST: Input = limit("joint1_least", "joint 1 at least");
const JOINT1_MOST: Input = limit("joint1_most", "joint 1 at most");
const JOINT2_LEAST: Input = limit("joint2_least", "joint 2 at least");
const JOINT2_MOST: Input = limit("joint2_most", "joint 2 at most");
const JOINT3_LEAST: Input = limit("joint3_least", "joint 3 at least");
const JOINT3_MOST: Input = limit("joint3_most", "joint 3 at most");
const RESIDUAL_MOST: Input = limit("residual_most", "what is left of all joints, at most");
const REST_MOST: Input = limit("rest_most", "any joint at rest at most");
const PLUNGE_MOST: Input = Input::one(
    "plunge_most",
    "slip joint's way from ride height, either way, at most",
    Kind::Length,
)
.least(0.0, "the way counts either way")
.optional();

fn limits(given: &Inputs<'_>, at: usize) -> Limits {
    let limit = |nth: usize| given.maybe::<Angle>(at + nth);
    Limits {
        equal: limit(0),
        least: [limit(1), limit(3), limit(5)],
        most: [limit(2), limit(4), limit(6)],
        residual: limit(7),
        at_rest: limit(8),
        plunge: given.maybe::<Length>(at + 9),
    }
}

const HOLDS: &str = "all limits hold";
const LOWER: &str = "the lower stop";
const UPPER: &str = "the upper stop";

/// Rules in words, with what stands where no rule closes.
macro_rules! rule_texts {
    ($none:expr) => {
        &[
            $none,
            Rule::Equal.text(),
            Rule::Least(1).text(),
            Rule::Least(2).text(),
            Rule::Least(3).text(),
            Rule::Most(1).text(),
            Rule::Most(2).text(),
            Rule::Most(3).text(),
            Rule::Residual.text(),
            Rule::AtRest.text(),
            Rule::Plunge.text(),
            Rule::Reach.text(),
        ]
    };
}

const BAND_OUTPUTS: &[Output] = &[
    Output::of(
        "lowest",
        "lowest height at which all limits hold",
        Kind::Length,
    )
    .optional(),
    Output::of(
        "highest",
        "highest height at which all limits hold",
        Kind::Length,
    )
    .optional(),
    Output::of(
        "margin",
        "room between the sheet's tolerance and the nearer end; under 0 it reaches out",
        Kind::Length,
    )
    .optional(),
    Output::word("at_ride", "at ride height", rule_texts!(HOLDS)),
    Output::word("closes_below", "what closes it below", rule_texts!(LOWER)),
    Output::word("closes_above", "what closes it above", rule_texts!(UPPER)),
];

const BAND_FORMULA: &[&str] = &[
    "from ride height outwards to both stops, 0.7 mm at a time, then halved to where the first limit fails",
    "margin = the lesser of ride − tolerance − lowest and highest − ride − tolerance",
    "slopes on the blocks, where given, replace those of the sheet",
];

fn band(given: &Inputs<'_>, out: &mut Outcome, held: Held) -> Result<(), Snag> {
    let measured = held.end(0);
    let driveline = as_measured(&held.driveline(given, 0)?, given, measured)?;
    let at = measured + 5;
    let limits = limits(given, at + 3);
    match driveline.band(&limits, given.get(at), given.get(at + 1))? {
        Allowed::Within(band) => {
            let ride = driveline.linkage().stance().ride_height;
            let tolerance: Length = given.get(at + 2);
            let below = ride - tolerance - band.lowest;
            let above = band.highest - ride - tolerance;
            out.set(0, band.lowest);
            out.set(1, band.highest);
            out.set(2, below.min(above));
            out.say(3, HOLDS);
            out.say(4, closing(band.below, LOWER));
            out.say(5, closing(band.above, UPPER));
        }
        Allowed::Nowhere(rule) => {
            for place in 3..6 {
                out.say(place, rule.text());
            }
        }
    }
    Ok(())
}

fn closing(rule: Rule, stop: &'static str) -> &'static str {
    if rule == Rule::Stop {
        stop
    } else {
        rule.text()
    }
}

/// The band of heights, trailing arms.
pub(in crate::calc) static HEIGHT_BAND: Sum = Sum {
    name: "height_band",
    subject: SUBJECT,
    title: "the band of frame heights in which all driveline limits hold, trailing arms",
    formula: BAND_FORMULA,
    source: SOURCE,
    range: ARM_BAND_RANGE,
    inputs: inputs!(arm []
        [BLOCK_HEIGHT.optional(), GEARBOX_ON_BLOCKS.optional(), COUPLING_ON_BLOCKS,
         SHAFT_ON_BLOCKS.optional(), PINION_ON_BLOCKS.optional(),
         LOWER_STOP, UPPER_STOP, TOLERANCE, EQUAL_WITHIN, JOINT1_LEAST, JOINT1_MOST,
         JOINT2_LEAST, JOINT2_MOST, JOINT3_LEAST, JOINT3_MOST, RESIDUAL_MOST, REST_MOST,
         PLUNGE_MOST]),
    outputs: BAND_OUTPUTS,
    example: brackwater!(
        read,
        ("lower_stop", "98 mm"),
        ("upper_stop", "310 mm"),
        ("tolerance", "5 mm"),
        ("equal_within", "1.0°"),
        ("joint1_least", "0.5°"),
        ("joint1_most", "6.0°"),
        ("joint2_least", "0.5°"),
        ("joint2_most", "6.0°"),
        ("residual_most", "3.0°"),
        ("rest_most", "20°"),
        ("plunge_most", "35 mm")
    ),
    picture: Some(Picture::Driveline),
    work: |given, out| band(given, out, Held::Arm),
};

/// The band of heights, upper and lower links.
pub(in crate::calc) static FOUR_LINK_BAND: Sum = Sum {
    name: "four_link_band",
    subject: SUBJECT,
    title: "the band of frame heights in which all driveline limits hold, upper and lower links",
    formula: BAND_FORMULA,
    source: SOURCE,
    range: LINK_BAND_RANGE,
    inputs: inputs!(links []
        [BLOCK_HEIGHT.optional(), GEARBOX_ON_BLOCKS.optional(), COUPLING_ON_BLOCKS,
         SHAFT_ON_BLOCKS.optional(), PINION_ON_BLOCKS.optional(),
         LOWER_STOP, UPPER_STOP, TOLERANCE, EQUAL_WITHIN, JOINT1_LEAST, JOINT1_MOST,
         JOINT2_LEAST, JOINT2_MOST, JOINT3_LEAST, JOINT3_MOST, RESIDUAL_MOST, REST_MOST,
         PLUNGE_MOST]),
    outputs: BAND_OUTPUTS,
    example: brackwater_links!(
        read,
        ("lower_stop", "98 mm"),
        ("upper_stop", "310 mm"),
        ("tolerance", "5 mm"),
        ("equal_within", "1.0°"),
        ("joint1_least", "0.5°"),
        ("joint2_least", "0.5°"),
        ("residual_most", "3.0°")
    ),
    picture: Some(Picture::Driveline),
    work: |given, out| band(given, out, Held::FourLink),
};

/// Height for a degree, trailing arms.
pub(in crate::calc) static MM_PER_DEGREE: Sum = Sum {
    name: "mm_per_degree",
    subject: SUBJECT,
    title: "how much frame height turns the axle by a degree, trailing arms",
    formula: &[
        "axle: 1 / (change of the arm's slope with height), the loop's equation differentiated",
        "arm alone: arm length · cos(arm slope), as if the frame stayed parallel",
        "frame: 1 / (change of the frame's slope with height)",
    ],
    source: "our derivation",
    range: ARM_RATE_RANGE,
    inputs: &[
        RIDE_HEIGHT,
        SEAT_TO_AXLE,
        WHEELBASE,
        FRAME_FRONT,
        AXLE_HEIGHT,
        ARM_LENGTH,
        PIVOT_BELOW,
        Input::one(
            "height",
            "frame underside to block seat (left out: ride height)",
            Kind::Length,
        )
        .within(
            0.0,
            2.0,
            "no truck has it shorter or longer; look at the unit",
        )
        .optional(),
    ],
    outputs: &[
        Output::of(
            "axle",
            "height for the axle's turn, the frame pitching about the front axle",
            Kind::LengthPerAngle,
        ),
        Output::of(
            "arm_alone",
            "height for the axle's turn, the frame staying parallel",
            Kind::LengthPerAngle,
        ),
        Output::of("frame", "height for the frame's turn", Kind::LengthPerAngle),
    ],
    example: &[
        ("ride_height", "190 mm"),
        ("seat_to_axle", "120 mm"),
        ("wheelbase", "3700 mm"),
        ("frame_front_height", "806 mm"),
        ("axle_height", "496 mm"),
        ("arm_length", "550 mm"),
        ("pivot_below", "280 mm"),
    ],
    picture: None,
    work: |given, out| {
        let arm = trailing_arm(given, 0)?;
        let height = given.maybe(7).unwrap_or(arm.stance().ride_height);
        let rate = arm.rate(height)?;
        out.set(0, rate.axle);
        out.set(1, rate.arm_alone);
        out.set(2, rate.frame);
        Ok(())
    },
};

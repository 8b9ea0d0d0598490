//! Setting the ride height: the error against the sheet, what blocks would set,
//! where stands go, and whether the tolerance has room for it all.

use uom::si::f64::Length;

use super::side::roll;
use super::{SUBJECT, Sides, apart, over_axle};
use crate::calc::amount::Amount;
use crate::calc::error::Snag;
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

const NO_SIGN: &str = "a tolerance has no sign";

/// The lowest and the highest setting of stands under a raised frame.
///
/// # Errors
/// `gap_most`: the most is less than the least.
///
/// # Source
/// A gap under the raised frame is common practice.
pub fn stand_window(
    raised: Length,
    gap_least: Length,
    gap_most: Length,
) -> Result<(Length, Length), Snag> {
    if gap_most < gap_least {
        return Err(Snag::new(
            "gap_most",
            "the widest gap is less than the narrowest",
        ));
    }
    Ok((raised - gap_most, raised - gap_least))
}

/// What several limits come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stack {
    /// All at their limit, the same way.
    pub worst: Length,
    /// Root of the sum of squares.
    pub likely: Length,
}

/// Limits stacked up.
///
/// # Source
/// Worst case and root sum of squares, common practice.
#[must_use]
pub fn stack(limits: &[Length]) -> Stack {
    let squares: f64 = limits.iter().map(|limit| limit.si().powi(2)).sum();
    Stack {
        worst: Length::of_si(limits.iter().map(|limit| limit.si()).sum()),
        likely: Length::of_si(squares.sqrt()),
    }
}

/// Ride height against the sheet.
pub(in crate::calc) static RIDE_HEIGHT_ERROR: Sum = Sum {
    name: "ride_height_error",
    subject: SUBJECT,
    title: "ride height against the sheet, both sides and their mean",
    formula: &[
        "error = (left + right) / 2 − target; each side's error = side − target",
        "margin = tolerance − size of the error",
    ],
    source: "JCGM 100:2008 5.1.2; the tolerance is the sheet's",
    range: "Frame to axle on both sides, between the sheet's faces. With a dead band ride height is \
            the mean of heights from above and from below. Where an error is smaller than its \
            uncertainty, take the error itself to the rule, not the margin.",
    inputs: &[
        over_axle("left", "height, left"),
        over_axle("right", "height, right"),
        over_axle("target", "ride height of the sheet"),
        Input::one("tolerance", "its tolerance", Kind::Length).least(0.0, NO_SIGN),
    ],
    outputs: &[
        Output::of("error", "error of the mean, + too high", Kind::Length),
        Output::of("mean", "mean height", Kind::Length),
        Output::of("left_error", "error, left", Kind::Length),
        Output::of("right_error", "error, right", Kind::Length),
        Output::of("difference", "left less right", Kind::Length),
        Output::of("margin", "margin of the mean", Kind::Length),
        Output::of("left_margin", "margin, left", Kind::Length),
        Output::of("right_margin", "margin, right", Kind::Length),
    ],
    example: &[
        ("left", "193 mm ± 0.5 mm step 1 mm"),
        ("right", "191 mm ± 0.5 mm step 1 mm"),
        ("target", "190 mm"),
        ("tolerance", "5 mm"),
    ],
    picture: None,
    work: |given, out| {
        let heights = Sides::new(given.get(0), given.get(1));
        let (target, tolerance): (Length, Length) = (given.get(2), given.get(3));
        let errors = Sides::new(heights.left - target, heights.right - target);
        out.set(0, errors.mean());
        out.set(1, heights.mean());
        out.set(2, errors.left);
        out.set(3, errors.right);
        out.set(4, heights.difference());
        out.set(5, tolerance - errors.mean().abs());
        out.set(6, tolerance - errors.left.abs());
        out.set(7, tolerance - errors.right.abs());
        Ok(())
    },
};

/// What two blocks would set.
pub(in crate::calc) static BLOCK_SETTING: Sum = Sum {
    name: "block_setting",
    subject: SUBJECT,
    title: "what the two blocks would set, before they are used",
    formula: &[
        "side = block − squash + what lies on its seat",
        "error = mean of both sides − target; roll = atan((left − right) / spacing)",
    ],
    source: "geometry, our derivation; squash and seats by common practice",
    range: "Blocks as measured. Squash is how much one block gives under its share of the frame, \
            the same on both sides. On the seat: + lifts the frame (dirt, a shim), − lowers it (a \
            worn seat); left out is a clean seat.",
    inputs: &[
        over_axle("block_left", "block for the left, as measured"),
        over_axle("block_right", "block for the right, as measured"),
        Input::one(
            "squash",
            "how much a block gives under the frame",
            Kind::Length,
        )
        .least(0.0, "a block under a frame gets no taller"),
        apart("spacing", "from seat to seat"),
        over_axle("target", "ride height of the sheet"),
        Input::one("seat_left", "on the left seat, + lifts", Kind::Length).optional(),
        Input::one("seat_right", "on the right seat, + lifts", Kind::Length).optional(),
    ],
    outputs: &[
        Output::of("mean", "mean height that they set", Kind::Length),
        Output::of("error", "error of the mean, + too high", Kind::Length),
        Output::of("difference", "left less right", Kind::Length),
        Output::of("roll", "roll, + left higher", Kind::Angle),
        Output::of("left", "height that they set, left", Kind::Length),
        Output::of("right", "height that they set, right", Kind::Length),
    ],
    example: &[
        ("block_left", "190.05 mm ± 0.02 mm step 0.05 mm"),
        ("block_right", "189.95 mm ± 0.02 mm step 0.05 mm"),
        ("squash", "0.3 mm"),
        ("spacing", "840 mm"),
        ("target", "190 mm"),
    ],
    picture: None,
    work: |given, out| {
        let squash: Length = given.get(2);
        let on_seat = |at: usize| given.maybe(at).unwrap_or(Length::of_si(0.0));
        let heights = Sides::new(
            given.get::<Length>(0) - squash + on_seat(5),
            given.get::<Length>(1) - squash + on_seat(6),
        );
        out.set(0, heights.mean());
        out.set(1, heights.mean() - given.get::<Length>(4));
        out.set(2, heights.difference());
        out.set(3, roll(heights, given.get(3)));
        out.set(4, heights.left);
        out.set(5, heights.right);
        Ok(())
    },
};

/// Where the stands go.
pub(in crate::calc) static STAND_HEIGHT: Sum = Sum {
    name: "stand_height",
    subject: SUBJECT,
    title: "the lowest and the highest setting of stands under the raised frame",
    formula: &[
        "lowest = frame to floor, raised − widest gap",
        "highest = frame to floor, raised − narrowest gap",
    ],
    source: "common practice: a gap of 5 mm to 10 mm under the raised frame",
    range: "Rated stands on firm floor, set from outside. Read the frame raised, on the side where \
            the stand goes; the lower side counts.",
    inputs: &[
        Input::one("raised", "frame to floor while raised", Kind::Length).within(
            0.1,
            5.0,
            "a frame with a stand under it is 0.1 m to 5 m high",
        ),
        Input::one("gap_least", "narrowest gap", Kind::Length)
            .least(0.0, "with less the stand carries the frame already"),
        Input::one("gap_most", "widest gap", Kind::Length).within(
            0.0,
            0.05,
            "a frame that falls further than 50 mm is not caught",
        ),
    ],
    outputs: &[
        Output::of("lowest", "lowest setting", Kind::Length),
        Output::of("highest", "highest setting", Kind::Length),
    ],
    example: &[
        ("raised", "831 mm"),
        ("gap_least", "5 mm"),
        ("gap_most", "10 mm"),
    ],
    picture: None,
    work: |given, out| {
        let (lowest, highest) = stand_window(given.get(0), given.get(1), given.get(2))?;
        out.set(0, lowest);
        out.set(1, highest);
        Ok(())
    },
};

/// Room for everything in the tolerance.
pub(in crate::calc) static TOLERANCE_STACK: Sum = Sum {
    name: "tolerance_stack",
    subject: SUBJECT,
    title: "whether the ride height's tolerance has room for blocks, seats and dead band",
    formula: &[
        "worst = block + squash + seat + dead band",
        "likely = √(block² + squash² + seat² + dead band²)",
        "margin = tolerance − worst, or − likely",
    ],
    source: "worst case and root sum of squares, common practice",
    range: "Each is the most that it moves the height, one way. The root sum of squares takes them \
            as independent and centred; squash that is always there is better taken off the block.",
    inputs: &[
        Input::one("block", "tolerance of a block", Kind::Length).least(0.0, NO_SIGN),
        Input::one("squash", "squash of a block", Kind::Length).least(0.0, NO_SIGN),
        Input::one("seat", "dirt or wear on the seats", Kind::Length).least(0.0, NO_SIGN),
        Input::one("dead_band", "dead band, one way", Kind::Length).least(0.0, NO_SIGN),
        Input::one("tolerance", "tolerance of the ride height", Kind::Length).least(0.0, NO_SIGN),
    ],
    outputs: &[
        Output::of("worst", "all at their worst", Kind::Length),
        Output::of("likely", "root of the sum of squares", Kind::Length),
        Output::of("margin", "margin to the worst", Kind::Length),
        Output::of("likely_margin", "margin to the likely", Kind::Length),
    ],
    example: &[
        ("block", "0.3 mm"),
        ("squash", "0.3 mm"),
        ("seat", "0.2 mm"),
        ("dead_band", "1.5 mm"),
        ("tolerance", "5 mm"),
    ],
    picture: None,
    work: |given, out| {
        let limits = [given.get(0), given.get(1), given.get(2), given.get(3)];
        let tolerance: Length = given.get(4);
        let found = stack(&limits);
        out.set(0, found.worst);
        out.set(1, found.likely);
        out.set(2, tolerance - found.worst);
        out.set(3, tolerance - found.likely);
        Ok(())
    },
};

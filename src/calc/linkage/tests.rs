//! The invented sheets BW-07 and SR-214 to their last printed digit, the loops of
//! both linkages by another way, and what must always hold.

mod loops;
mod sums;
mod table;

use uom::si::f64::Angle;

use super::*;

pub(super) const INCH: f64 = 0.0254;

pub(super) fn mm(value: f64) -> Length {
    Length::of_si(value / 1000.0)
}

pub(super) fn inch(value: f64) -> Length {
    Length::of_si(value * INCH)
}

pub(super) fn deg(value: f64) -> Angle {
    Angle::of_si(value.to_radians())
}

pub(super) fn incline(degrees: f64) -> Slope {
    Slope(deg(degrees))
}

pub(super) fn degrees(angle: Angle) -> f64 {
    angle.si().to_degrees()
}

/// Invented: BW-07 of Brackwater Haulage.
pub(super) fn stance() -> Stance {
    Stance {
        ride_height: mm(190.0),
        seat_to_axle: mm(120.0),
        wheelbase: mm(3700.0),
        frame_front: mm(806.0),
        axle_height: mm(496.0),
    }
}

pub(super) fn arm() -> TrailingArm {
    TrailingArm::new(stance(), mm(550.0), mm(280.0)).unwrap()
}

pub(super) fn shafting() -> Shafting {
    Shafting {
        gearbox: incline(4.5),
        pinion: incline(4.3),
        joint_ahead: mm(360.0),
        joint_below: mm(30.0),
        shaft: Piece::Laid {
            slope: incline(7.0),
            length: mm(1420.0),
        },
        coupling: None,
    }
}

pub(super) fn brackwater() -> Driveline {
    Driveline::new(Linkage::Arm(arm()), &shafting()).unwrap()
}

/// The limits of BW-07.
pub(super) fn limits() -> Limits {
    Limits {
        equal: Some(deg(1.0)),
        least: [Some(deg(0.5)), Some(deg(0.5)), None],
        most: [Some(deg(6.0)), Some(deg(6.0)), None],
        residual: Some(deg(3.0)),
        at_rest: Some(deg(20.0)),
        plunge: Some(mm(35.0)),
    }
}

/// Invented: SR-214 of Sable Ridge Freight, two shafts.
pub(super) fn sable_ridge() -> Driveline {
    let stance = Stance {
        ride_height: inch(7.5),
        seat_to_axle: inch(3.5),
        wheelbase: inch(160.0),
        frame_front: inch(30.0),
        axle_height: inch(19.0),
    };
    let arm = TrailingArm::new(stance, inch(22.0), inch(9.75)).unwrap();
    let shafting = Shafting {
        gearbox: incline(3.5),
        pinion: incline(4.4),
        joint_ahead: inch(15.0),
        joint_below: inch(1.2),
        shaft: Piece::Laid {
            slope: incline(7.0),
            length: inch(48.0),
        },
        coupling: Some(Piece::Laid {
            slope: incline(4.3),
            length: inch(30.0),
        }),
    };
    Driveline::new(Linkage::Arm(arm), &shafting).unwrap()
}

/// The limits of SR-214.
pub(super) fn limits_sable_ridge() -> Limits {
    Limits {
        equal: Some(deg(1.0)),
        least: [Some(deg(0.5)); 3],
        most: [Some(deg(1.5)), Some(deg(6.0)), Some(deg(6.0))],
        residual: Some(deg(3.0)),
        ..Limits::default()
    }
}

fn spot_mm(back: f64, up: f64) -> Spot {
    Spot {
        back: mm(back),
        up: mm(up),
    }
}

/// Invented: a tractor of Brackwater Haulage on an upper and a lower link.
pub(super) fn links() -> FourLink {
    let lower = Link {
        front: spot_mm(3060.0, 470.0),
        rear: spot_mm(3680.0, 430.0),
    };
    let upper = Link {
        front: spot_mm(3110.0, 745.0),
        rear: spot_mm(3700.0, 716.0),
    };
    FourLink::new(stance(), lower, upper).unwrap()
}

//! Published values, known closed forms, and lines of joints turned by brute force.
//!
//! IDs are those of the list of check values; a tag says how sure each is: R read in a
//! public copy, C worked out apart from this program, M from memory.

mod published;
mod registry;
mod space;
mod turned;

use uom::si::f64::{Angle, AngularAcceleration, AngularVelocity};

use super::*;
use crate::calc::{Amount, Slope};

fn deg(value: f64) -> Angle {
    Angle::of_si(value.to_radians())
}

fn in_deg(angle: Angle) -> f64 {
    angle.si().to_degrees()
}

fn rpm(value: f64) -> AngularVelocity {
    AngularVelocity::of_si(value * std::f64::consts::TAU / 60.0)
}

fn shake(value: f64) -> AngularAcceleration {
    AngularAcceleration::of_si(value)
}

/// A shaft that lies straight in the truck, down to the rear.
fn side(slope: f64) -> Axis {
    Axis::of(Slope(deg(slope)), deg(0.0))
}

fn joints(axes: &[Axis], phases: &[Phase]) -> Joints {
    Line { axes, phases }.joints().unwrap()
}

fn near(id: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{id}: found {found}, expected {expected} within {tolerance}"
    );
}

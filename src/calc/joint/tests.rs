//! Published values, known closed forms, and a line of joints turned by brute force.

use uom::si::f64::Angle;

use super::*;
use crate::calc::{Amount, Slope};

fn deg(value: f64) -> Angle {
    Angle::of_si(value.to_radians())
}

fn side(slope: f64) -> Axis {
    Axis::of(Slope(deg(slope)), deg(0.0))
}

fn in_deg(angle: Angle) -> f64 {
    angle.si().to_degrees()
}

#[test]
fn the_demo_trucks_have_the_angles_that_were_worked_out_for_them() {
    // Invented scenario; angles worked out apart from this program (C), rounded to 0.01°.
    let axes = [side(4.5), side(7.0), side(4.3)];
    let found = Line {
        axes: &axes,
        phases: &[Phase::InPhase],
    }
    .joints()
    .unwrap();
    assert_eq!(found.count, 2);
    assert!((in_deg(found.angles[0]) - 2.5).abs() < 1e-9);
    assert!((in_deg(found.angles[1]) - 2.7).abs() < 1e-9);
    assert!((in_deg(found.residual) - 1.02).abs() < 0.005);
    let axes = [side(3.5), side(4.3), side(7.0), side(4.4)];
    let found = Line {
        axes: &axes,
        phases: &[Phase::InPhase, Phase::InPhase],
    }
    .joints()
    .unwrap();
    assert!((in_deg(found.residual) - 0.33).abs() < 0.005);
}

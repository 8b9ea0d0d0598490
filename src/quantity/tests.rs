//! Published values and properties, checked through the public face of the module.

mod measuring;
mod property;
mod reading;
mod unit_factor;

use super::*;

fn q(value: f64, unit: Unit, kind: Kind) -> Quantity {
    Quantity::new(value, unit, kind).unwrap()
}

fn gauge(bar: f64) -> Quantity {
    q(bar, Unit::Bar, Kind::GaugePressure)
}

fn step(bar: f64) -> Quantity {
    q(bar, Unit::Bar, Kind::PressureDifference)
}

fn mm(value: f64) -> Quantity {
    q(value, Unit::Millimetre, Kind::Length)
}

fn bar_of(quantity: Quantity) -> f64 {
    quantity.in_unit(Unit::Bar).unwrap()
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected} within {tolerance}"
    );
}

//! Unit factors against NIST SP 811 (edition 2008) App. B.8. Confidence: R read
//! in a public copy, C computed from the definition, M+ from memory, very sure.

use super::*;

/// SI amount of one unit, and the relative tolerance.
const FACTORS: &[(Unit, Kind, f64, f64)] = &[
    (Unit::Inch, Kind::Length, 0.0254, 1e-15),      // exact, M+
    (Unit::Foot, Kind::Length, 0.3048, 1e-15),      // exact, M+
    (Unit::Pound, Kind::Mass, 0.453_592_37, 1e-15), // exact, M+
    (Unit::PoundForce, Kind::Force, 4.448_221_615_260_5, 1e-15), // derived, C
    (Unit::Psi, Kind::GaugePressure, 6_894.757_293_168_361, 1e-15), // derived, R/C
    (Unit::Bar, Kind::GaugePressure, 1e5, 1e-15),   // R
    (Unit::InchOfMercury, Kind::GaugePressure, 3_386.389, 1e-15), // conventional, R
    (
        Unit::KgfPerSquareCentimetre,
        Kind::GaugePressure,
        98_066.5,
        1e-15,
    ), // R
    (Unit::MilePerHour, Kind::Speed, 0.447_04, 1e-15), // exact, M+
    (Unit::KilometrePerHour, Kind::Speed, 1.0 / 3.6, 1e-15), // by definition
    (Unit::Kilopascal, Kind::GaugePressure, 1e3, 1e-15), // SI prefix
    (Unit::Millibar, Kind::GaugePressure, 1e2, 1e-15), // SI prefix
    (Unit::Megapascal, Kind::GaugePressure, 1e6, 1e-15), // SI prefix
    (Unit::ThirtySecond, Kind::TreadDepth, 0.000_793_75, 1e-15), // 25.4 mm / 32
    (Unit::SquareInch, Kind::Area, 0.000_645_16, 1e-15), // 25.4 mm squared
    (Unit::Tonne, Kind::Mass, 1000.0, 1e-15),       // accepted with the SI
    (
        Unit::Degree,
        Kind::Angle,
        std::f64::consts::PI / 180.0,
        1e-15,
    ), // by definition
    (
        Unit::ArcMinute,
        Kind::Angle,
        std::f64::consts::PI / 10_800.0,
        1e-15,
    ), // by definition
    (
        Unit::RevPerMinute,
        Kind::RotationalSpeed,
        std::f64::consts::PI / 30.0,
        1e-15,
    ), // by definition
];

#[test]
fn factors_are_the_published_ones() {
    for (unit, kind, factor, tolerance) in FACTORS {
        let found = q(1.0, *unit, *kind).si();
        assert!(
            (found / factor - 1.0).abs() <= *tolerance,
            "{unit}: {found}"
        );
    }
}

#[test]
fn the_psi_factor_is_not_the_rounded_one_in_circulation() {
    // 6894.757889515779 is published and 8.65e-8 too large.
    let found = q(1.0, Unit::Psi, Kind::GaugePressure).si();
    assert!((found / 6_894.757_293_168_361 - 1.0).abs() < 1e-9);
    assert!((found / 6_894.757_889_515_779 - 1.0).abs() > 5e-8);
}

#[test]
fn pressures_convert_as_published() {
    // 100 psi, 120 psi, 10 bar; 55 psi and 3 psi of 49 CFR 393.207(f). All C.
    near(
        bar_of(q(100.0, Unit::Psi, Kind::GaugePressure)),
        6.894_757,
        1e-6,
    );
    near(
        q(120.0, Unit::Psi, Kind::GaugePressure)
            .in_unit(Unit::Kilopascal)
            .unwrap(),
        827.3709,
        1e-4,
    );
    near(gauge(10.0).in_unit(Unit::Psi).unwrap(), 145.0377, 1e-4);
    near(
        bar_of(q(55.0, Unit::Psi, Kind::GaugePressure)),
        3.7921,
        1e-4,
    );
    near(
        bar_of(q(3.0, Unit::Psi, Kind::PressureDifference)),
        0.206_84,
        1e-5,
    );
}

#[test]
fn temperatures_and_steps_are_kept_apart() {
    // 68 °F = 293.15 K = 20 °C (SP 811, M+/C).
    let warm = q(68.0, Unit::Fahrenheit, Kind::Temperature);
    near(warm.si(), 293.15, 1e-9);
    near(warm.in_unit(Unit::Celsius).unwrap(), 20.0, 1e-9);
    let risen = q(9.0, Unit::Fahrenheit, Kind::TemperatureStep);
    near(risen.in_unit(Unit::Celsius).unwrap(), 5.0, 1e-12);
    assert_eq!(warm.less(warm).unwrap().kind(), Kind::TemperatureStep);
}

#[test]
fn a_slope_in_percent_is_rise_over_run() {
    // 1.0 % is 0.5729 degrees, 1.5 % is 0.8594 (geometry, C).
    let slope = |percent| {
        q(percent, Unit::Percent, Kind::Slope)
            .in_unit(Unit::Degree)
            .unwrap()
    };
    near(slope(1.0), 0.5729, 1e-4);
    near(slope(1.5), 0.8594, 1e-4);
    near(slope(100.0), 45.0, 1e-9);
    near(
        q(12.0, Unit::MillimetrePerMetre, Kind::Slope)
            .in_unit(Unit::Percent)
            .unwrap(),
        1.2,
        1e-12,
    );
}

#[test]
fn lamp_heights_convert_as_published() {
    // 22 and 54 in are 558.8 and 1371.6 mm (FMVSS 108 Table X, M).
    for (inches, millimetres) in [(22.0, 558.8), (54.0, 1371.6)] {
        let height = q(inches, Unit::Inch, Kind::Length);
        near(height.in_unit(Unit::Millimetre).unwrap(), millimetres, 1e-9);
    }
}

#[test]
fn every_unit_comes_back_from_si() {
    for unit in Unit::ALL {
        for kind in unit.kinds() {
            near(q(7.25, unit, kind).in_unit(unit).unwrap(), 7.25, 1e-12);
        }
        assert!(!unit.kinds().is_empty(), "{unit:?} fits nothing");
    }
}

#[test]
fn a_thousandfold_unit_is_never_taken_for_its_neighbour() {
    assert!(Unit::Megapascal.written_as("MPa") && Unit::Megapascal.written_as("MPA"));
    assert!(!Unit::Megapascal.written_as("mPa"));
    assert!(Unit::Millivolt.written_as("mV") && !Unit::Millivolt.written_as("MV"));
    assert!(!Unit::Millibar.written_as("Mbar"));
    assert!(Unit::Psi.written_as("PSI") && Unit::Millimetre.written_as("MM"));
}

#[test]
fn typed_values_go_out_and_come_in_by_kind() {
    let length = mm(190.0).as_length().unwrap();
    near(length.get::<uom::si::length::inch>(), 7.480_315, 1e-6);
    assert_eq!(Quantity::length(length).unwrap(), mm(190.0));
    let refused = gauge(2.0).as_absolute_pressure().unwrap_err();
    assert_eq!(
        refused.to_string(),
        "an absolute pressure is wanted here, a gauge pressure was given"
    );
    assert!(
        q(3.0, Unit::Millimetre, Kind::TreadDepth)
            .as_length()
            .is_err()
    );
}

#[test]
fn impossible_values_are_not_made() {
    assert_eq!(
        Quantity::from_si(f64::NAN, Kind::Length),
        Err(NotAQuantity::NotFinite { kind: Kind::Length })
    );
    assert!(Quantity::from_si(f64::INFINITY, Kind::Slope).is_err());
    assert!(Quantity::new(f64::INFINITY, Unit::Percent, Kind::Slope).is_err());
    assert!(Quantity::new(f64::MAX, Unit::Tonne, Kind::Mass).is_err());
    assert!(Quantity::new(-0.1, Unit::Bar, Kind::AbsolutePressure).is_err());
    assert!(Quantity::new(-274.0, Unit::Celsius, Kind::Temperature).is_err());
    assert_eq!(
        Quantity::new(90.0, Unit::Degree, Kind::Slope),
        Err(NotAQuantity::TooSteep)
    );
    let foreign = Quantity::new(1.0, Unit::Psi, Kind::Length).unwrap_err();
    assert_eq!(foreign.to_string(), "psi is no unit of a length");
    assert_eq!(gauge(-0.0).si().to_bits(), 0.0_f64.to_bits());
}

#[test]
fn a_pressure_moves_by_a_difference_and_not_by_a_pressure() {
    near(
        bar_of(gauge(1.30).moved_by(step(0.23)).unwrap()),
        1.53,
        1e-12,
    );
    let refused = gauge(1.30).moved_by(gauge(0.23)).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "a pressure difference is wanted here, a gauge pressure was given"
    );
}

//! What people type, and what they are told.

use super::*;
use Kind::{AbsolutePressure, Angle, GaugePressure, Length, PressureDifference, Slope, TreadDepth};

#[track_caller]
fn reads(text: &str, kind: Kind, shown: Unit, expected: f64, unit: Unit) -> Typed {
    let typed = read(text, kind, shown).unwrap_or_else(|misread| panic!("{misread}"));
    assert_eq!((typed.unit, typed.quantity.kind()), (unit, kind), "{text}");
    near(typed.quantity.in_unit(unit).unwrap(), expected, 1e-9);
    typed
}

#[track_caller]
fn refuses(text: &str, kind: Kind, sentence: &str) -> Problem {
    let misread = read(text, kind, kind.shown(System::Metric)).unwrap_err();
    assert_eq!(misread.to_string(), sentence);
    misread.problem
}

#[test]
fn plain_values_are_read() {
    reads("2.1 bar", GaugePressure, Unit::Bar, 2.1, Unit::Bar);
    reads("2,1bar", GaugePressure, Unit::Psi, 2.1, Unit::Bar);
    reads("30 psi", GaugePressure, Unit::Bar, 30.0, Unit::Psi);
    reads("30 PSI", GaugePressure, Unit::Bar, 30.0, Unit::Psi);
    reads("210 kPa", GaugePressure, Unit::Bar, 210.0, Unit::Kilopascal);
    reads("24.8 V", Kind::Voltage, Unit::Volt, 24.8, Unit::Volt);
    reads("511 counts", Kind::Count, Unit::Count, 511.0, Unit::Count);
    reads(
        "20 °C",
        Kind::Temperature,
        Unit::Celsius,
        20.0,
        Unit::Celsius,
    );
    reads(
        "-5°C",
        Kind::Temperature,
        Unit::Celsius,
        -5.0,
        Unit::Celsius,
    );
    reads(
        "85 in2",
        Kind::Area,
        Unit::SquareInch,
        85.0,
        Unit::SquareInch,
    );
    reads("10 min", Kind::Time, Unit::Second, 10.0, Unit::Minute);
    reads("2.71", Kind::Ratio, Unit::One, 2.71, Unit::One);
}

#[test]
fn a_bare_number_takes_the_unit_shown_and_nothing_else() {
    reads("2.1", GaugePressure, Unit::Bar, 2.1, Unit::Bar);
    reads("2.1", GaugePressure, Unit::Psi, 2.1, Unit::Psi);
    reads(".5", Length, Unit::Inch, 0.5, Unit::Inch);
    reads("1.013", AbsolutePressure, Unit::Bar, 1.013, Unit::Bar);
    assert_eq!(
        read("2.1", GaugePressure, Unit::Millimetre)
            .unwrap_err()
            .problem,
        Problem::UnitMissing
    );
    assert_eq!(
        read_literal("2.1", GaugePressure).unwrap_err().problem,
        Problem::UnitMissing
    );
    near(
        read_literal("2.71", Kind::Ratio).unwrap().quantity.si(),
        2.71,
        1e-12,
    );
    near(
        read_literal("190 mm", Length).unwrap().quantity.si(),
        0.19,
        1e-12,
    );
}

#[test]
fn fractions_of_an_inch_are_read() {
    let typed = reads("1 3/8 in", Length, Unit::Millimetre, 1.375, Unit::Inch);
    assert_eq!(typed.decimals, 3);
    reads("1-3/8\"", Length, Unit::Millimetre, 1.375, Unit::Inch);
    reads("1½ in", Length, Unit::Millimetre, 1.5, Unit::Inch);
    reads("7 1/2", Length, Unit::Inch, 7.5, Unit::Inch);
    reads("-3/16 in", Length, Unit::Millimetre, -0.1875, Unit::Inch);
    reads("13 ft 2 in", Length, Unit::Millimetre, 158.0, Unit::Inch);
    reads("13' 2 1/2\"", Length, Unit::Millimetre, 158.5, Unit::Inch);
    for text in [
        "1 3/8",
        "1 3/8 mm",
        "3/7 in",
        "9/8 in",
        "1 9/8 in",
        "1/0 in",
        "1 3/99999 in",
    ] {
        let problem = read(text, Length, Unit::Millimetre).unwrap_err().problem;
        assert_eq!(problem, Problem::BadFraction, "{text}");
    }
}

#[test]
fn tread_is_read_in_32nds() {
    let typed = reads(
        "5/32\"",
        TreadDepth,
        Unit::Millimetre,
        5.0,
        Unit::ThirtySecond,
    );
    near(
        typed.quantity.in_unit(Unit::Millimetre).unwrap(),
        3.968_75,
        1e-9,
    );
    reads("5", TreadDepth, Unit::ThirtySecond, 5.0, Unit::ThirtySecond);
    reads(
        "5/32",
        TreadDepth,
        Unit::ThirtySecond,
        5.0,
        Unit::ThirtySecond,
    );
    reads(
        "5.5/32 in",
        TreadDepth,
        Unit::Millimetre,
        5.5,
        Unit::ThirtySecond,
    );
    reads("1/8 in", TreadDepth, Unit::Millimetre, 0.125, Unit::Inch);
    // An eighth of a 32nd is no depth.
    assert!(read("1/8", TreadDepth, Unit::ThirtySecond).is_err());
    assert!(read("1 3/32", TreadDepth, Unit::ThirtySecond).is_err());
}

#[test]
fn slopes_are_read_with_a_sign_or_in_words() {
    reads("-0.4 %", Slope, Unit::Degree, -0.4, Unit::Percent);
    reads(
        "\u{2212}0,4\u{00A0}%",
        Slope,
        Unit::Degree,
        -0.4,
        Unit::Percent,
    );
    reads(
        "12 mm/m",
        Slope,
        Unit::Degree,
        12.0,
        Unit::MillimetrePerMetre,
    );
    reads("4.3 nose up", Slope, Unit::Degree, 4.3, Unit::Degree);
    reads("4.3° Nose  Up", Slope, Unit::Degree, 4.3, Unit::Degree);
    reads("1.2 % nose down", Slope, Unit::Degree, -1.2, Unit::Percent);
    reads("+4.3°", Slope, Unit::Degree, 4.3, Unit::Degree);
    reads("- 4.3°", Slope, Unit::Degree, -4.3, Unit::Degree);
    assert_eq!(
        read("-4.3 nose down", Slope, Unit::Degree)
            .unwrap_err()
            .problem,
        Problem::SignAndWords
    );
    assert_eq!(
        read("4.3° nose up", Angle, Unit::Degree)
            .unwrap_err()
            .problem,
        Problem::WordsNotMeant
    );
    assert!(read("nose up", Slope, Unit::Degree).is_err());
}

#[test]
fn degrees_and_minutes_are_read() {
    let typed = reads("5°30'", Angle, Unit::Degree, 5.5, Unit::Degree);
    assert_eq!(typed.decimals, 2);
    reads("-5° 30\u{2032}", Slope, Unit::Degree, -5.5, Unit::Degree);
    reads("30'", Angle, Unit::Degree, 30.0, Unit::ArcMinute);
    for text in ["5°60'", "5.5°30'", "5°-30'", "5°30", "5°30\""] {
        assert_eq!(
            read(text, Angle, Unit::Degree).unwrap_err().problem,
            Problem::BadParts,
            "{text}"
        );
    }
}

#[test]
fn a_comma_is_never_taken_for_thousands() {
    reads("2,1", GaugePressure, Unit::Bar, 2.1, Unit::Bar);
    reads("0,125 in", Length, Unit::Inch, 0.125, Unit::Inch);
    reads(
        "1234,567",
        Length,
        Unit::Millimetre,
        1234.567,
        Unit::Millimetre,
    );
    reads("7.500 in", Length, Unit::Inch, 7.5, Unit::Inch);
    refuses(
        "1,250",
        Length,
        "`1,250`: The comma can mean thousands or decimals. Write 1250 or 1.25.",
    );
    for text in ["12,345", "123,456 mm", "-1,000"] {
        let problem = read(text, Length, Unit::Millimetre).unwrap_err().problem;
        assert!(matches!(problem, Problem::AmbiguousComma { .. }), "{text}");
    }
    for text in [
        "1,234.5",
        "1.234,5",
        "1.2.3",
        "1,250,000",
        "2.",
        "2,",
        "1..5",
    ] {
        assert_eq!(
            read(text, Length, Unit::Millimetre).unwrap_err().problem,
            Problem::BadNumber,
            "{text}"
        );
    }
}

#[test]
fn refuses_gauge_pressure_where_absolute_is_meant() {
    let problem = refuses(
        "1.013 bar",
        AbsolutePressure,
        "`1.013 bar`: An absolute pressure is written with abs. An absolute pressure is wanted: \
         bar abs, psi abs, kPa abs, mbar abs, Pa abs, MPa abs, kgf/cm² abs or inHg abs.",
    );
    assert_eq!(problem, Problem::AbsMissing);
    reads(
        "1.013 bar abs",
        AbsolutePressure,
        Unit::Bar,
        1.013,
        Unit::Bar,
    );
    reads("14.7 psia", AbsolutePressure, Unit::Bar, 14.7, Unit::Psi);
    assert!(read("14.7 psig", AbsolutePressure, Unit::Bar).is_err());
    reads("2.1 bar g", GaugePressure, Unit::Bar, 2.1, Unit::Bar);
    for text in ["2.1 bar abs", "2.1 bara", "2.1 psi abs", "2.1 abs"] {
        assert_eq!(
            read(text, GaugePressure, Unit::Bar).unwrap_err().problem,
            Problem::AbsNotMeant,
            "{text}"
        );
    }
    reads("0.25 bar", PressureDifference, Unit::Bar, 0.25, Unit::Bar);
    assert!(read("0.25 barg", PressureDifference, Unit::Bar).is_err());
}

#[test]
fn a_unit_of_another_kind_is_named_with_what_is_wanted() {
    let problem = refuses(
        "30 psi",
        Length,
        "`30 psi`: psi is a unit of gauge pressure, absolute pressure or pressure difference. \
         A length is wanted: mm, in, cm, m or ft.",
    );
    assert_eq!(problem, Problem::OtherKind { unit: Unit::Psi });
    refuses(
        "12 lb",
        Kind::Force,
        "`12 lb`: lb is a unit of mass. Did you mean lbf? A force is wanted: N, kN or lbf.",
    );
}

#[test]
fn a_slip_in_the_unit_is_answered_with_the_near_one() {
    refuses(
        "30 spi",
        GaugePressure,
        "`30 spi`: \"spi\" is no unit known here. Did you mean psi? A gauge pressure is wanted: \
         bar, psi, kPa, mbar, Pa, MPa, kgf/cm² or inHg.",
    );
    assert_eq!(
        read("2 bra", GaugePressure, Unit::Bar).unwrap_err().near,
        Some(Unit::Bar)
    );
    assert_eq!(
        read("2 furlongs", Length, Unit::Millimetre)
            .unwrap_err()
            .near,
        None
    );
}

#[test]
fn everything_else_is_refused_with_a_way_out() {
    refuses(
        "",
        Length,
        "Nothing was typed. A length is wanted: mm, in, cm, m or ft.",
    );
    refuses(
        "tight",
        Kind::Ratio,
        "`tight`: There is no number at the beginning. A ratio is wanted: a plain number or %.",
    );
    refuses(
        "1 250 mm",
        Length,
        "`1 250 mm`: There are two numbers. Write one, without a space inside.",
    );
    refuses(
        "-1 bar abs",
        AbsolutePressure,
        "`-1 bar abs`: An absolute pressure can't be under zero. An absolute pressure is wanted: \
         bar abs, psi abs, kPa abs, mbar abs, Pa abs, MPa abs, kgf/cm² abs or inHg abs.",
    );
    for text in [
        "1e5 mm",
        "0x10",
        "inf",
        "NaN mm",
        "--5",
        "5 mm mm",
        "٣ mm",
        "5 mm\u{1b}[2J",
        "123456789012",
    ] {
        assert!(read(text, Length, Unit::Millimetre).is_err(), "{text}");
    }
    let long = "1".repeat(65);
    assert_eq!(
        read(&long, Length, Unit::Millimetre).unwrap_err().problem,
        Problem::TooLong
    );
}

#[test]
fn a_refusal_repeats_no_control_characters() {
    let misread = read("5 \u{1b}[2J\u{202e}bar", Length, Unit::Millimetre).unwrap_err();
    assert!(!misread.to_string().contains(['\u{1b}', '\u{202e}']));
}

#[test]
fn what_was_typed_is_echoed_in_the_fields_unit_and_one_more() {
    let echo = |text, kind, shown| read(text, kind, shown).unwrap().echo(shown);
    assert_eq!(echo("0.05", GaugePressure, Unit::Bar), "0.05 bar = 5 kPa");
    assert_eq!(
        echo("30 psi", GaugePressure, Unit::Bar),
        "2.07 bar = 30 psi"
    );
    assert_eq!(echo("29", GaugePressure, Unit::Psi), "29 psi = 2.00 bar");
    assert_eq!(echo("7.500", Length, Unit::Inch), "7.500 in = 190.50 mm");
    assert_eq!(
        echo("5/32", TreadDepth, Unit::ThirtySecond),
        "5/32 in = 4.0 mm"
    );
    assert_eq!(
        echo("4.3 nose up", Slope, Unit::Degree),
        "4.3° nose up = 7.5 % nose up"
    );
    assert_eq!(echo("511", Kind::Count, Unit::Count), "511 counts");
    assert_eq!(
        echo("1.013", AbsolutePressure, Unit::Bar),
        "1.013 bar abs = 101.3 kPa abs"
    );
}

/// A value meant in one unit and typed into a field that shows another: what a
/// person sees before accepting. The echo must make each of them odd.
#[test]
fn a_mix_up_of_units_shows_in_the_echo() {
    let corpus = [
        ("190", Length, Unit::Inch, "190 in = 4826 mm"),
        ("7.50", Length, Unit::Millimetre, "7.50 mm = 0.2953 in"),
        ("130", GaugePressure, Unit::Psi, "130 psi = 8.96 bar"),
        (
            "19.9",
            GaugePressure,
            Unit::Kilopascal,
            "19.9 kPa = 0.199 bar",
        ),
        ("29", GaugePressure, Unit::Bar, "29 bar = 2900 kPa"),
        ("2.0", GaugePressure, Unit::Psi, "2.0 psi = 0.138 bar"),
    ];
    for (text, kind, shown, echo) in corpus {
        assert_eq!(read(text, kind, shown).unwrap().echo(shown), echo);
    }
}

#[test]
fn values_are_rounded_half_away_from_zero_on_their_decimals() {
    assert_eq!(gauge(0.15).show(Unit::Bar, 1), "0.2 bar");
    assert_eq!(gauge(-0.15).show(Unit::Bar, 1), "-0.2 bar");
    assert_eq!(gauge(1.005).show(Unit::Bar, 2), "1.01 bar");
    assert_eq!(gauge(2.675).show(Unit::Bar, 2), "2.68 bar");
    assert_eq!(gauge(0.149_999).show(Unit::Bar, 1), "0.1 bar");
    assert_eq!(gauge(9.995).show(Unit::Bar, 2), "10.00 bar");
    assert_eq!(gauge(0.0).show(Unit::Bar, 2), "0.00 bar");
    assert_eq!(gauge(-0.001).show(Unit::Bar, 2), "0.00 bar");
    assert_eq!(mm(0.5).show(Unit::Millimetre, 0), "1 mm");
    assert_eq!(mm(0.04).show(Unit::Millimetre, 0), "0 mm");
    assert_eq!(mm(123_456.7).show(Unit::Millimetre, 1), "123456.7 mm");
    assert_eq!(
        q(0.05, Unit::Celsius, Kind::Temperature).show(Unit::Celsius, 1),
        "0.1 °C"
    );
}

#[test]
fn a_value_never_hides_its_unit() {
    assert_eq!(
        q(1.013, Unit::Bar, AbsolutePressure).show(Unit::Bar, 3),
        "1.013 bar abs"
    );
    assert_eq!(mm(25.4).show(Unit::Psi, 1), "25.4 mm");
    assert_eq!(
        q(-1.2, Unit::Percent, Slope).show_in_words(Unit::Percent, 2),
        "1.20 % nose down"
    );
    assert_eq!(
        q(-0.01, Unit::Degree, Slope).show_in_words(Unit::Degree, 1),
        "0.0°"
    );
}

//! Properties over many values. Few cases here; `LEVELHAND_CASES` asks for more.

use super::*;
use proptest::prelude::*;

#[expect(
    clippy::disallowed_methods,
    reason = "only a test asks how long to look"
)]
fn cases() -> ProptestConfig {
    let asked = std::env::var("LEVELHAND_CASES").ok();
    ProptestConfig {
        cases: asked.and_then(|count| count.parse().ok()).unwrap_or(64),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn any_kind() -> impl Strategy<Value = Kind> {
    proptest::sample::select(Kind::ALL.to_vec())
}

fn any_unit() -> impl Strategy<Value = Unit> {
    proptest::sample::select(Unit::ALL.to_vec())
}

/// A unit with a kind that it fits.
fn unit_of_kind() -> impl Strategy<Value = (Unit, Kind)> {
    let pairs: Vec<(Unit, Kind)> = Kind::ALL
        .into_iter()
        .flat_map(|kind| kind.units().iter().map(move |unit| (*unit, kind)))
        .collect();
    proptest::sample::select(pairs)
}

/// A value that its kind allows, from so many thousandths of the unit.
fn possible(thousandths: i32, unit: Unit, kind: Kind) -> Option<Quantity> {
    Quantity::new(f64::from(thousandths) / 1000.0, unit, kind).ok()
}

/// Texts made of the pieces that people type, in any order.
fn nearly_typed() -> impl Strategy<Value = String> {
    let pieces = vec![
        "1",
        "5",
        "30",
        "250",
        "0",
        ".",
        ",",
        "/",
        "/32",
        "-",
        "+",
        " ",
        "\u{2212}",
        "\u{a0}",
        "°",
        "'",
        "\"",
        "%",
        "½",
        "bar",
        "psi",
        "abs",
        "a",
        "g",
        "mm",
        "/m",
        "in",
        "ft",
        "²",
        "2",
        "k",
        "nose up",
        "nose down",
        "İ",
        "🛠",
    ];
    proptest::collection::vec(proptest::sample::select(pieces), 0..8)
        .prop_map(|parts| parts.concat())
}

/// Whatever was read is of the kind, finite, and shows; whatever was not says why.
fn holds_up(text: &str, kind: Kind, shown: Unit) -> Result<(), TestCaseError> {
    match read(text, kind, shown) {
        Ok(typed) => {
            prop_assert_eq!(typed.quantity.kind(), kind);
            prop_assert!(typed.quantity.si().is_finite() && typed.unit.fits(kind));
            prop_assert!(!typed.echo(shown).is_empty());
        }
        Err(misread) => {
            let sentence = misread.to_string();
            prop_assert!(sentence.ends_with(['.', '?']));
            prop_assert!(!sentence.chars().any(char::is_control));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>(), kind in any_kind(), shown in any_unit()) {
        holds_up(&text, kind, shown)?;
    }

    #[test]
    fn any_nearly_typed_text_is_read_or_refused(text in nearly_typed(), kind in any_kind(), shown in any_unit()) {
        holds_up(&text, kind, shown)?;
    }

    #[test]
    fn what_is_shown_is_read_back_within_half_a_last_digit(
        (unit, kind) in unit_of_kind(),
        thousandths in -9_999_999..9_999_999i32,
        decimals in 0..5u8,
        in_words in any::<bool>(),
        shown in any_unit(),
    ) {
        let Some(quantity) = possible(thousandths, unit, kind) else { return Ok(()) };
        let text = if in_words { quantity.show_in_words(unit, decimals) } else { quantity.show(unit, decimals) };
        let back = match read(&text, kind, shown) {
            Ok(typed) => typed.quantity,
            // A ratio shows as a bare number: it needs its own field.
            Err(_) if unit == Unit::One => read_literal(&text, kind).unwrap().quantity,
            // Rounding may have gone under absolute zero, or to a right angle.
            Err(Misread { problem: Problem::Impossible { .. }, .. }) => return Ok(()),
            Err(misread) => return Err(TestCaseError::fail(misread.to_string())),
        };
        if unit == Unit::One && shown != Unit::One {
            return Ok(());
        }
        let (before, after) = (quantity.in_unit(unit).unwrap(), back.in_unit(unit).unwrap());
        let half = 0.5 * 10f64.powi(-i32::from(decimals));
        // Eleven digits are kept; of a steep slope in % the tangent spoils some.
        prop_assert!((before - after).abs() <= half + 1e-9 * before.abs().max(1.0), "{text}: {before} {after}");
    }

    #[test]
    fn a_written_unit_beats_the_field(
        (unit, kind) in unit_of_kind(),
        thousandths in 0..9_999_999i32,
        shown in any_unit(),
        other in any_unit(),
    ) {
        // A ratio shows as a bare number: it has no unit to write.
        let Some(quantity) = possible(thousandths, unit, kind).filter(|_| unit != Unit::One) else { return Ok(()) };
        let text = quantity.show(unit, 3);
        let value = |field| read(&text, kind, field).map(|typed| typed.quantity).map_err(|misread| misread.problem);
        let (one, two) = (value(shown), value(other));
        // Only rounding to a right angle may spoil it.
        prop_assert!(matches!(one, Ok(_) | Err(Problem::Impossible { .. })), "{text}: {one:?}");
        prop_assert_eq!(one, two);
    }

    #[test]
    fn rounding_agrees_with_whole_numbers(number in -999_999_999..999_999_999i64, places in 0..6u32, fewer in 0..6u32) {
        let kept = places.saturating_sub(fewer);
        let quantity = mm(number as f64 / 10f64.powi(i32::try_from(places).unwrap()));
        // The same in whole numbers: half is added, what is over is cut.
        let unit = 10i64.pow(places - kept);
        let rounded = (number.abs() + unit / 2) / unit;
        let (whole, rest) = (rounded / 10i64.pow(kept), rounded % 10i64.pow(kept));
        let sign = if number < 0 && rounded != 0 { "-" } else { "" };
        let expected = if kept == 0 {
            format!("{sign}{whole} mm")
        } else {
            format!("{sign}{whole}.{rest:0width$} mm", width = kept as usize)
        };
        prop_assert_eq!(quantity.show(Unit::Millimetre, kept as u8), expected);
    }

    #[test]
    fn guarded_is_stricter_than_simple_both_ways(
        value in -100.0..100.0f64, u in 0.0..20.0f64, low in -100.0..100.0f64, width in -10.0..100.0f64,
    ) {
        let measured = Measured::new(mm(value), mm(u)).unwrap();
        let bound = Bound::Between { low: mm(low), high: mm(low + width) };
        let simple = judge(&measured, &bound, Rule::Simple).unwrap();
        let guarded = judge(&measured, &bound, Rule::Guarded).unwrap();
        prop_assert_ne!(simple.verdict, Verdict::TooClose);
        if guarded.verdict != Verdict::TooClose {
            prop_assert_eq!(guarded.verdict, simple.verdict);
        }
        if guarded.verdict == Verdict::Within {
            prop_assert!(bound.provable_with(mm(u)).unwrap());
            prop_assert!(guarded.margin.si() >= guarded.expanded.si() * (1.0 - 1e-9) - 1e-12);
        }
        if bound.is_empty() {
            prop_assert_eq!(simple.verdict, Verdict::Outside);
        } else {
            prop_assert_eq!(simple.verdict == Verdict::Within, simple.margin.si() >= 0.0);
        }
    }

    #[test]
    fn swapped_gauges_cancel_whatever_errors_they_have(
        left in 0.5..2.0f64, right in 0.5..2.0f64, error_a in -0.1..0.1f64, error_b in -0.1..0.1f64,
    ) {
        let reading = |bar: f64| Measured::exact(gauge(bar));
        let found = swapped_difference(
            (&reading(left + error_a), &reading(right + error_b)),
            (&reading(left + error_b), &reading(right + error_a)),
        )
        .unwrap();
        prop_assert!((bar_of(found.value()) - (left - right)).abs() < 1e-12);
    }
}

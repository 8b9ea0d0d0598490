//! Instruments, uncertainties and verdicts against published and computed values.
//! Confidence: R read in a public copy, C computed, M+ from memory, very sure.

use super::*;

fn shop_gauge(class: f64, high: f64, resolution: f64) -> Metrology {
    Metrology::new(
        gauge(0.0),
        gauge(high),
        ErrorLimit::Class(class),
        step(resolution),
    )
    .unwrap()
}

#[test]
fn class_limits_are_percent_of_the_span() {
    // EN 837-1:1996 Table 11; rows C, the fourth and fifth also R as examples.
    for (class, high, at, limit) in [
        (1.6, 16.0, 8.0, 0.256),
        (1.0, 10.0, 2.0, 0.100),
        (0.6, 16.0, 2.0, 0.096),
        (1.6, 10.0, 5.0, 0.16),
        (1.0, 100.0, 10.0, 1.0),
    ] {
        let found = shop_gauge(class, high, 0.1).limit_at(gauge(at)).unwrap();
        near(bar_of(found), limit, 1e-9);
        assert_eq!(found.kind(), Kind::PressureDifference);
    }
}

#[test]
fn a_letter_grade_is_wider_in_the_outer_quarters() {
    // ASME B40.100 (M+): grade A, 0-200 psi, at 100 psi +-2.0 psi; outer quarters twice that.
    let psi = |value| q(value, Unit::Psi, Kind::GaugePressure);
    let one = q(1.0, Unit::Psi, Kind::PressureDifference);
    let grade_a = Metrology::new(psi(0.0), psi(200.0), ErrorLimit::Grade(Grade::A), one).unwrap();
    for (at, limit) in [
        (100.0, 2.0),
        (20.0, 4.0),
        (50.0, 4.0),
        (51.0, 2.0),
        (150.0, 4.0),
        (180.0, 4.0),
    ] {
        let found = grade_a
            .limit_at(psi(at))
            .unwrap()
            .in_unit(Unit::Psi)
            .unwrap();
        near(found, limit, 1e-9);
    }
    assert_eq!(Grade::from_name("4A"), Some(Grade::A4));
}

#[test]
fn a_rectangular_limit_gives_its_third_root() {
    // JCGM 100 4.3.7: a = 0.40 gives u = 0.2309 (M+/C). A class 1.6 0-16 bar gauge: 0.147802 bar (C).
    let wide =
        Metrology::new(mm(0.0), mm(100.0), ErrorLimit::Absolute(mm(0.40)), mm(1e-9)).unwrap();
    near(
        wide.standard_uncertainty(mm(5.0))
            .unwrap()
            .in_unit(Unit::Millimetre)
            .unwrap(),
        0.2309,
        1e-4,
    );
    let reading = shop_gauge(1.6, 16.0, 0.2).reading(gauge(2.0)).unwrap();
    near(bar_of(reading.u_repeated()), 0.147_802, 1e-6);
}

#[test]
fn a_resolution_gives_its_twelfth_root() {
    // JCGM 100 F.2.2.1: d = 0.1 bar and 1 mm (M+/C).
    near(
        bar_of(shop_gauge(1.0, 10.0, 0.1).resolution_uncertainty()),
        0.028_868,
        1e-6,
    );
    let tape = Metrology::new(mm(0.0), mm(5000.0), ErrorLimit::Absolute(mm(0.0)), mm(1.0)).unwrap();
    near(
        tape.resolution_uncertainty()
            .in_unit(Unit::Millimetre)
            .unwrap(),
        0.288_675,
        1e-6,
    );
}

#[test]
fn a_percentage_of_reading_grows_with_it() {
    let volt = |value| q(value, Unit::Volt, Kind::Voltage);
    let meter = Metrology::new(
        volt(0.0),
        volt(60.0),
        ErrorLimit::OfReading(1.0),
        volt(0.01),
    )
    .unwrap();
    // 1 % of 12 V is 0.12 V (C).
    near(meter.limit_at(volt(12.0)).unwrap().si(), 0.12, 1e-12);
    near(meter.limit_at(volt(24.0)).unwrap().si(), 0.24, 1e-12);
}

#[test]
fn the_highest_reading_that_proves_two_bar_is_the_gauges() {
    // 2 - 2 sqrt(a2/3 + d2/12), worked by hand to two decimals (C).
    for (class, high, resolution, expected) in [
        (1.6, 16.0, 0.2, 1.68),
        (1.0, 10.0, 0.05, 1.88),
        (0.6, 10.0, 0.02, 1.93),
    ] {
        let instrument = shop_gauge(class, high, resolution);
        let best = highest_provable(gauge(2.0), &instrument).unwrap().unwrap();
        near(bar_of(best), expected, 0.005);
        let verdict_at = |reading: f64| {
            let measured = instrument.reading(gauge(reading)).unwrap();
            judge(&measured, &Bound::AtMost(gauge(2.0)), Rule::Guarded)
                .unwrap()
                .verdict
        };
        assert_eq!(verdict_at(bar_of(best) - 0.001), Verdict::Within);
        assert_eq!(verdict_at(bar_of(best) + 0.001), Verdict::TooClose);
    }
}

#[test]
fn ordinary_shop_gauges_prove_less_the_coarser_they_are() {
    let gauges = [
        (0.6, 0.02),
        (1.0, 0.05),
        (1.0, 0.1),
        (1.6, 0.1),
        (1.6, 0.2),
        (2.5, 0.1),
        (2.5, 0.2),
    ];
    let best: Vec<f64> = gauges
        .iter()
        .map(|(class, d)| {
            bar_of(
                highest_provable(gauge(2.0), &shop_gauge(*class, 10.0, *d))
                    .unwrap()
                    .unwrap(),
            )
        })
        .collect();
    assert!(best.windows(2).all(|pair| pair[0] > pair[1]), "{best:?}");
    // A gauge as wrong as the limit is high proves nothing at all.
    let hopeless = shop_gauge(4.0, 60.0, 1.0);
    assert_eq!(highest_provable(gauge(2.0), &hopeless).unwrap(), None);
    // Nor is a reading beyond the scale named.
    let short = highest_provable(gauge(20.0), &shop_gauge(1.0, 10.0, 0.05))
        .unwrap()
        .unwrap();
    near(bar_of(short), 10.0, 1e-9);
}

#[test]
fn a_letter_graded_gauge_proves_most_where_it_is_narrow() {
    let grade_a = Metrology::new(
        gauge(0.0),
        gauge(8.0),
        ErrorLimit::Grade(Grade::A),
        step(0.05),
    )
    .unwrap();
    let best = highest_provable(gauge(2.15), &grade_a).unwrap().unwrap();
    // The middle half begins at 2.0 bar with a = 0.08 bar: 2.15 - 2 sqrt(0.08²/3 + 0.05²/12).
    near(
        bar_of(best),
        2.15 - 2.0 * (0.08f64.powi(2) / 3.0 + 0.05f64.powi(2) / 12.0).sqrt(),
        1e-6,
    );
}

#[test]
fn zero_is_noted_up_to_half_the_limit_and_refused_beyond() {
    let instrument = shop_gauge(1.0, 10.0, 0.05); // limit 0.10, half of it 0.05
    assert_eq!(instrument.zero_check(gauge(0.0)).unwrap(), ZeroCheck::Clean);
    for noted in [0.05, -0.05, 0.02] {
        assert!(matches!(
            instrument.zero_check(gauge(noted)).unwrap(),
            ZeroCheck::Noted { .. }
        ));
    }
    for refused in [0.06, -0.1] {
        assert!(matches!(
            instrument.zero_check(gauge(refused)).unwrap(),
            ZeroCheck::Refused { .. }
        ));
    }
    assert!(instrument.zero_check(step(0.0)).is_err());
}

#[test]
fn an_instrument_is_in_date_through_its_last_day() {
    let instrument = shop_gauge(1.0, 10.0, 0.05);
    let due = Day::of(2027, 3, 31).unwrap();
    assert!(!instrument.overdue(due));
    assert!(!instrument.with_due(due).overdue(due));
    assert!(
        instrument
            .with_due(due)
            .overdue(Day::of(2027, 4, 1).unwrap())
    );
}

#[test]
fn an_instrument_covers_its_scale_ends_included() {
    let instrument = shop_gauge(1.0, 10.0, 0.05);
    assert!(instrument.covers(gauge(10.0)).unwrap() && instrument.covers(gauge(0.0)).unwrap());
    assert!(!instrument.covers(gauge(10.01)).unwrap() && !instrument.covers(gauge(-0.01)).unwrap());
    assert!(instrument.covers(mm(5.0)).is_err());
}

#[test]
fn refuses_what_is_no_instrument() {
    let new = |low, high, limit, d| Metrology::new(gauge(low), gauge(high), limit, step(d));
    let class = ErrorLimit::Class(1.0);
    assert_eq!(new(10.0, 0.0, class, 0.1), Err(NotAnInstrument::EmptySpan));
    assert_eq!(new(0.0, 10.0, class, 0.0), Err(NotAnInstrument::Resolution));
    assert_eq!(
        new(0.0, 10.0, ErrorLimit::Class(-1.0), 0.1),
        Err(NotAnInstrument::Limit)
    );
    assert_eq!(
        new(0.0, 10.0, ErrorLimit::Class(f64::NAN), 0.1),
        Err(NotAnInstrument::Limit)
    );
    assert!(new(0.0, 10.0, ErrorLimit::Absolute(mm(1.0)), 0.1).is_err());
    assert!(Metrology::new(gauge(0.0), mm(10.0), class, step(0.1)).is_err());
    assert!(Metrology::new(gauge(0.0), gauge(10.0), class, gauge(0.1)).is_err());
}

#[test]
fn two_gauges_cannot_call_a_small_side_difference_real() {
    // Two class 1.6 0-16 bar gauges, 5.0 and 5.3 bar (C): whether they differ at all can't be said.
    let instrument = shop_gauge(1.6, 16.0, 0.1);
    let reading = |bar| instrument.reading(gauge(bar)).unwrap();
    let apart = difference(&reading(5.3), &reading(5.0), false).unwrap();
    assert_eq!(apart.kind(), Kind::PressureDifference);
    near(bar_of(apart.value()), 0.3, 1e-12);
    let same = Bound::apart_at_most(step(0.0));
    assert_eq!(
        judge(&apart, &same, Rule::Guarded).unwrap().verdict,
        Verdict::TooClose
    );
    assert_eq!(
        judge(&apart, &same, Rule::Simple).unwrap().verdict,
        Verdict::Outside
    );
}

#[test]
fn swapping_the_gauges_leaves_only_their_resolution() {
    // Two class 1.0 0-10 bar gauges read to 0.05: apart U = 2 sqrt(2 (0.1²/3 + 0.05²/12)) = 0.1683;
    // swapped U = 2 x 0.05 / (2 sqrt 3) = 0.0289 (C).
    let instrument = shop_gauge(1.0, 10.0, 0.05);
    // Gauge a shows 0.08 too much, gauge b 0.06 too little; left 1.30, right 1.20 in truth.
    let reading = |bar| instrument.reading(gauge(bar)).unwrap();
    let (left_a, right_b) = (reading(1.38), reading(1.14));
    let (left_b, right_a) = (reading(1.24), reading(1.28));
    let apart = difference(&left_a, &right_b, false).unwrap();
    near(bar_of(apart.expanded()), 0.1683, 1e-4);
    let swapped = swapped_difference((&left_a, &right_b), (&left_b, &right_a)).unwrap();
    near(bar_of(swapped.value()), 0.10, 1e-12);
    near(bar_of(swapped.expanded()), 0.0289, 1e-4);
    // A guarded 0.15 bar can never be met with two gauges, but with a swap it can.
    let limit = Bound::apart_at_most(step(0.15));
    assert!(!limit.provable_with(apart.u()).unwrap());
    assert!(limit.provable_with(swapped.u()).unwrap());
}

#[test]
fn the_same_gauge_before_and_after_loses_its_class_error() {
    // 2 sqrt 2 x 0.02 / (2 sqrt 3) = 0.0163 (C).
    let instrument = shop_gauge(0.6, 10.0, 0.02);
    let reading = |bar| instrument.reading(gauge(bar)).unwrap();
    let fallen = drop_between(&reading(1.30), &reading(1.28)).unwrap();
    near(bar_of(fallen.value()), 0.02, 1e-12);
    near(bar_of(fallen.expanded()), 0.0163, 1e-4);
    let limit = Bound::AtMost(step(0.05));
    assert_eq!(
        judge(&fallen, &limit, Rule::Guarded).unwrap().verdict,
        Verdict::Within
    );
    // Read to 0.05 bar the same drop of one mark can't be judged: U = 0.0408.
    let coarse = shop_gauge(1.0, 10.0, 0.05);
    let fallen = drop_between(
        &coarse.reading(gauge(1.30)).unwrap(),
        &coarse.reading(gauge(1.25)).unwrap(),
    )
    .unwrap();
    assert_eq!(
        judge(&fallen, &limit, Rule::Guarded).unwrap().verdict,
        Verdict::TooClose
    );
}

#[test]
fn a_mean_keeps_the_error_of_its_one_instrument() {
    let instrument = shop_gauge(1.0, 10.0, 0.05);
    let readings = [1.0, 1.2, 1.4, 1.6].map(|bar| instrument.reading(gauge(bar)).unwrap());
    let one = mean(&readings, true).unwrap().unwrap();
    near(bar_of(one.value()), 1.3, 1e-12);
    near(bar_of(one.u_repeated()), 0.1 / 3.0_f64.sqrt(), 1e-9);
    near(bar_of(one.u_fresh()), 0.05 / 12.0_f64.sqrt() / 2.0, 1e-9);
    let four = mean(&readings, false).unwrap().unwrap();
    near(bar_of(four.u_repeated()), 0.1 / 3.0_f64.sqrt() / 2.0, 1e-9);
    assert_eq!(mean(&[], true).unwrap(), None);
    let mixed = [readings[0], Measured::exact(mm(1.0))];
    assert!(mean(&mixed, true).is_err());
}

/// A value with a standard uncertainty, judged.
fn verdict(value: f64, u: f64, bound: &Bound, rule: Rule) -> Verdict {
    judge(&Measured::new(mm(value), mm(u)).unwrap(), bound, rule)
        .unwrap()
        .verdict
}

#[test]
fn the_guard_band_has_three_answers() {
    // ILAC-G8:09/2019, w = U (R): T = 10, U = 1.2: pass to 8.8; its two conditional
    // answers, 8.8 to 10 and 10 to 11.2, are one here; fail over 11.2.
    let limit = Bound::AtMost(mm(10.0));
    for (value, expected) in [
        (8.79, Verdict::Within),
        (8.8, Verdict::Within),
        (8.81, Verdict::TooClose),
        (10.0, Verdict::TooClose),
        (10.01, Verdict::TooClose),
        (11.2, Verdict::TooClose),
        (11.21, Verdict::Outside),
    ] {
        assert_eq!(
            verdict(value, 0.6, &limit, Rule::Guarded),
            expected,
            "{value}"
        );
    }
}

#[test]
fn a_ride_height_in_the_guard_band_is_too_close() {
    // Target 0 +-5 mm, measured +4.0, u = 0.6 mm: 3.8 < 4.0 <= 5 (C).
    let bound = Bound::Near {
        target: mm(0.0),
        within: mm(5.0),
    };
    assert_eq!(verdict(4.0, 0.6, &bound, Rule::Guarded), Verdict::TooClose);
    assert_eq!(verdict(4.0, 0.6, &bound, Rule::Simple), Verdict::Within);
    assert_eq!(verdict(3.8, 0.6, &bound, Rule::Guarded), Verdict::Within);
    assert_eq!(verdict(-6.3, 0.6, &bound, Rule::Guarded), Verdict::Outside);
}

#[test]
fn the_simple_rule_never_calls_it_too_close() {
    let limit = Bound::AtMost(mm(10.0));
    assert_eq!(verdict(10.0, 5.0, &limit, Rule::Simple), Verdict::Within);
    assert_eq!(verdict(10.001, 5.0, &limit, Rule::Simple), Verdict::Outside);
}

#[test]
fn float_dust_decides_nothing() {
    let height = Bound::Near {
        target: mm(190.0),
        within: mm(5.0),
    };
    assert_eq!(verdict(195.0, 0.0, &height, Rule::Simple), Verdict::Within);
    assert_eq!(verdict(185.0, 0.0, &height, Rule::Guarded), Verdict::Within);
    assert_eq!(
        verdict(195.001, 0.0, &height, Rule::Simple),
        Verdict::Outside
    );
    // 0.3 - 0.2 is a hair under 0.1, 0.8 - 0.7 a hair over it.
    for (from, less) in [(0.3, 0.2), (0.8, 0.7), (5.3, 5.2)] {
        let apart = difference(
            &Measured::exact(gauge(from)),
            &Measured::exact(gauge(less)),
            true,
        )
        .unwrap();
        let judgement = judge(&apart, &Bound::apart_at_most(step(0.1)), Rule::Simple).unwrap();
        assert_eq!(judgement.verdict, Verdict::Within);
        near(bar_of(judgement.margin), 0.0, 1e-12);
    }
}

#[test]
fn tread_is_judged_across_units() {
    // 49 CFR 393.75(b): front wheels at least 4/32 in = 3.175 mm; 3.17 fails, 3.18 passes (R/C).
    let limit = Bound::AtLeast(
        read("4/32 in", Kind::TreadDepth, Unit::Millimetre)
            .unwrap()
            .quantity,
    );
    let at = |depth| {
        let measured = Measured::exact(q(depth, Unit::Millimetre, Kind::TreadDepth));
        judge(&measured, &limit, Rule::Simple).unwrap().verdict
    };
    assert_eq!(
        (at(3.17), at(3.175), at(3.18)),
        (Verdict::Outside, Verdict::Within, Verdict::Within)
    );
}

#[test]
fn a_difference_is_judged_either_way_round() {
    let limit = Bound::apart_at_most(step(0.25));
    for (value, expected) in [
        (0.2, Verdict::Within),
        (-0.2, Verdict::Within),
        (-0.3, Verdict::Outside),
    ] {
        let judged = judge(&Measured::exact(step(value)), &limit, Rule::Simple).unwrap();
        assert_eq!(judged.verdict, expected);
    }
}

#[test]
fn a_limit_nothing_satisfies_is_known() {
    let between = |low, high| Bound::Between {
        low: mm(low),
        high: mm(high),
    };
    assert!(between(5.0, 4.0).is_empty());
    assert!(!between(5.0, 5.0).is_empty());
    assert!(
        Bound::Near {
            target: mm(1.0),
            within: mm(-0.1)
        }
        .is_empty()
    );
    assert!(
        Bound::Between {
            low: mm(1.0),
            high: gauge(2.0)
        }
        .is_empty()
    );
    assert!(!Bound::AtMost(mm(-3.0)).is_empty());
    // 190 +-0.3 mm can be proved up to U = 0.3.
    let block = Bound::Near {
        target: mm(190.0),
        within: mm(0.3),
    };
    assert!(block.provable_with(mm(0.15)).unwrap());
    assert!(!block.provable_with(mm(0.151)).unwrap());
    assert!(Bound::AtMost(mm(1.0)).provable_with(mm(100.0)).unwrap());
    assert_eq!(
        verdict(4.5, 0.0, &between(5.0, 4.0), Rule::Simple),
        Verdict::Outside
    );
}

#[test]
fn a_value_of_another_kind_is_not_judged() {
    let limit = Bound::AtMost(gauge(2.0));
    let refused = judge(&Measured::exact(step(1.0)), &limit, Rule::Simple).unwrap_err();
    assert_eq!(
        refused,
        KindError {
            wanted: Kind::GaugePressure,
            found: Kind::PressureDifference
        }
    );
    assert!(Measured::new(gauge(1.0), gauge(0.1)).is_err());
}

#[test]
fn a_verdict_reads_as_a_sentence() {
    let instrument = shop_gauge(1.0, 10.0, 0.05);
    let sentence = |bar: f64, rule, system| {
        let measured = instrument.reading(gauge(bar)).unwrap();
        judge(&measured, &Bound::AtMost(gauge(2.0)), rule)
            .unwrap()
            .sentence(system)
    };
    assert_eq!(
        sentence(1.85, Rule::Guarded, System::Metric),
        "within by 0.15 bar (guarded, U 0.12 bar, k 2)"
    );
    assert_eq!(
        sentence(2.5, Rule::Guarded, System::Metric),
        "outside by 0.50 bar (guarded, U 0.12 bar, k 2)"
    );
    assert_eq!(
        sentence(1.95, Rule::Guarded, System::Metric),
        "too close to call: 0.05 bar inside the limit (guarded, U 0.12 bar, k 2)"
    );
    assert_eq!(
        sentence(2.05, Rule::Guarded, System::Us),
        "too close to call: 0.7 psi over the limit (guarded, U 1.7 psi, k 2)"
    );
    assert_eq!(
        sentence(2.0, Rule::Simple, System::Metric),
        "within, on the limit (simple, U 0.12 bar, k 2)"
    );
    // A margin never reads as nothing when it is something.
    assert_eq!(
        sentence(2.004, Rule::Simple, System::Metric),
        "outside by 0.004 bar (simple, U 0.12 bar, k 2)"
    );
}

#[test]
fn limits_instruments_and_readings_read_as_sentences() {
    assert_eq!(
        Bound::AtMost(gauge(2.0)).sentence(System::Metric),
        "at most 2 bar"
    );
    assert_eq!(
        Bound::AtMost(gauge(2.0)).sentence(System::Us),
        "at most 29.0 psi"
    );
    assert_eq!(
        Bound::apart_at_most(step(0.25)).sentence(System::Metric),
        "0 bar ± 0.25 bar"
    );
    let height = Bound::Near {
        target: mm(190.0),
        within: mm(5.0),
    };
    assert_eq!(height.sentence(System::Metric), "190 mm ± 5 mm");
    let floor = Bound::AtMost(q(3.0, Unit::MillimetrePerMetre, Kind::Slope));
    assert_eq!(
        floor.sentence_in(Unit::MillimetrePerMetre),
        "at most 3 mm/m"
    );
    let tread = Bound::AtLeast(q(4.0, Unit::ThirtySecond, Kind::TreadDepth));
    assert_eq!(tread.sentence(System::Us), "at least 4/32 in");
    let supply = Bound::Between {
        low: gauge(8.0),
        high: gauge(10.5),
    };
    assert_eq!(supply.sentence(System::Metric), "from 8 bar to 10.5 bar");

    let instrument = shop_gauge(1.6, 16.0, 0.2).with_due(Day::of(2027, 3, 31).unwrap());
    assert_eq!(
        instrument.sentence(System::Metric),
        "0 bar to 16 bar, class 1.6, read to 0.2 bar, calibrated until 2027-03-31"
    );
    let zero = |found| {
        instrument
            .zero_check(gauge(found))
            .unwrap()
            .sentence_in(Unit::Bar)
    };
    assert_eq!(
        zero(0.1),
        "shows 0.1 bar at zero: noted, not subtracted (up to 0.128 bar is)"
    );
    assert_eq!(
        zero(0.2),
        "shows 0.2 bar at zero, over 0.128 bar: use another instrument"
    );
    let reading = instrument.reading(gauge(1.3)).unwrap();
    assert_eq!(reading.sentence_in(Unit::Bar), "1.30 bar (U 0.32 bar, k 2)");
    let exact = Measured::exact(mm(190.0));
    assert_eq!(
        exact.sentence_in(Unit::Millimetre),
        "190.0 mm (U 0.0 mm, k 2)"
    );
}

#[test]
fn a_unit_is_found_by_its_symbol_in_every_kind() {
    for kind in Kind::ALL {
        for unit in kind.units() {
            assert_eq!(Unit::from_symbol(&unit.symbol_for(kind), kind), Some(*unit));
        }
    }
    assert_eq!(Unit::from_symbol("bar", Kind::AbsolutePressure), None);
}

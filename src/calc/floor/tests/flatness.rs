//! Flatness by the published rows, sag, and the headlamp bay.

use super::*;

#[test]
fn flatness_limits_are_those_of_the_published_tables() {
    // Columns of the table, all three rows (R).
    let table = [
        (FlatnessRow::Two, [5.0, 8.0, 12.0, 15.0, 20.0]),
        (FlatnessRow::Three, [2.0, 4.0, 10.0, 12.0, 15.0]),
        (FlatnessRow::Four, [1.0, 3.0, 9.0, 12.0, 15.0]),
    ];
    for (row, limits) in table {
        for (distance, limit) in [0.1, 1.0, 4.0, 10.0, 15.0].into_iter().zip(limits) {
            close(in_mm(flatness_limit(row, m(distance))), limit, 1e-9);
        }
    }
    // 11.1: a published table with the columns between, in whole mm (R/C).
    let between = [
        ("0.6 m", 3.0),
        ("1.5 m", 5.0),
        ("2 m", 6.0),
        ("2.5 m", 7.0),
        ("3 m", 8.0),
        ("3.5 m", 9.0),
        ("6 m", 11.0),
        ("8 m", 11.0),
    ];
    for (distance, limit) in between {
        let sum = &FLATNESS_LIMIT;
        let found = evaluate(sum, &[("row", "row_3"), ("distance", distance)]);
        close(si(&found, sum, "whole") * 1e3, limit, 1e-9);
    }
    // The exact one beside it: 10 + 2 × 2/6 mm at 6 m.
    let exact = in_mm(flatness_limit(FlatnessRow::Three, m(6.0)));
    close(exact, 10.0 + 2.0 / 3.0, 1e-9);
}

#[test]
fn flatness_rises_with_the_distance_and_stays_at_the_ends() {
    for row in [FlatnessRow::Two, FlatnessRow::Three, FlatnessRow::Four] {
        let limits: Vec<f64> = (0..400)
            .map(|i| flatness_limit(row, m(f64::from(i) * 0.05)).si())
            .collect();
        assert!(limits.windows(2).all(|pair| pair[1] >= pair[0]));
        close(limits[0], flatness_limit(row, m(0.1)).si(), 1e-15);
        close(limits[399], flatness_limit(row, m(15.0)).si(), 1e-15);
    }
}

#[test]
fn halves_of_a_millimetre_go_up() {
    for (limit, whole) in [(4.5, 5.0), (4.499, 4.0), (6.5, 7.0), (7.0, 7.0)] {
        close(in_mm(whole_millimetres(mm(limit))), whole, 1e-9);
    }
}

#[test]
fn the_sag_of_the_published_grid_is_within_row_4() {
    // 11.3 (C): 0, 4, 2 mm on a grid of 1 m.
    close(in_mm(sag(mm(0.0), mm(4.0), mm(2.0))), 3.0, 1e-9);
    let sum = &FLOOR_SAG;
    let found = evaluate(sum, sum.example);
    close(si(&found, sum, "sag") * 1e3, 3.0, 1e-9);
    close(si(&found, sum, "limit") * 1e3, 5.0, 1e-9);
    close(si(&found, sum, "margin") * 1e3, 2.0, 1e-9);
    close(si(&found, sum, "whole_margin") * 1e3, 2.0, 1e-9);
}

#[test]
fn a_hollow_counts_as_much_as_a_hump() {
    let sum = &FLOOR_SAG;
    let pairs = [
        ("before", "5 mm"),
        ("middle", "0 mm"),
        ("after", "7 mm"),
        ("distance", "2 m"),
        ("row", "row 4"),
    ];
    let found = evaluate(sum, &pairs);
    close(si(&found, sum, "sag") * 1e3, -6.0, 1e-9);
    close(si(&found, sum, "margin") * 1e3, -1.0, 1e-9);
}

#[test]
fn the_lamp_bay_takes_a_millimetre_on_a_metre() {
    // 11.4 (R): 1.0 mm on 1 m is in order, 1.1 mm is not, either way.
    let sum = &LAMP_BAY;
    for (second, distance, fits) in [
        ("1.0 mm", "1 m", true),
        ("1.1 mm", "1 m", false),
        ("-1.0 mm", "1 m", true),
        ("-1.1 mm", "1 m", false),
        ("8 mm", "8 m", true),
        ("8.8 mm", "8 m", false),
    ] {
        let pairs = [
            ("first", "0 mm"),
            ("second", second),
            ("distance", distance),
        ];
        let margin = si(&evaluate(sum, &pairs), sum, "margin");
        assert_eq!(margin > -1e-12, fits, "{second} {distance} {margin}");
    }
    // A limit of one's own.
    let pairs = [
        ("first", "0 mm"),
        ("second", "1.5 mm"),
        ("distance", "1 m"),
        ("limit", "2 mm/m"),
    ];
    let found = evaluate(sum, &pairs);
    close(si(&found, sum, "limit").tan(), 0.002, 1e-12);
    close(si(&found, sum, "margin"), 0.0005, 1e-8);
}

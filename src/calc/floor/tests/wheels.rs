//! The floor under the four wheels of a truck.

use super::*;

/// Readings at front left, front right, rear left, rear right.
fn wheels(heights: [&str; 4], counted: &str, tracks: [&str; 2]) -> Evaluation {
    let [fl, fr, rl, rr] = heights;
    evaluate(
        &FLOOR_WHEELS,
        &[
            ("front_left", fl),
            ("front_right", fr),
            ("rear_left", rl),
            ("rear_right", rr),
            ("wheelbase", "3700 mm"),
            ("track_front", tracks[0]),
            ("track_rear", tracks[1]),
            ("counted", counted),
        ],
    )
}

#[test]
fn the_published_corners_give_the_published_slopes() {
    // Row 11.8 (C): corners (0,0)=0, (3.7,0)=3, (0,2)=2, (3.7,2)=7 (m; mm) have slopes of
    // 1.08108 mm/m along and 1.5 mm/m across. Its first axis is along with + to the
    // front, its second across with + to the left: rear right is (0,0).
    let found = wheels(["7 mm", "3 mm", "2 mm", "0 mm"], "up", ["2 m", "2 m"]);
    let slope = |key| si(&found, &FLOOR_WHEELS, key).tan() * 1e3;
    close(slope("slope_along"), 1.081_08, 1e-5);
    close(slope("slope_across"), 1.5, 1e-5);
    // On a rectangle one wheel off is four twists; row 11.9 (C): twist 0.5 mm.
    close(si(&found, &FLOOR_WHEELS, "off"), 0.002, 1e-12);
}

#[test]
fn ways_down_from_a_line_are_heights_turned_over() {
    let tracks = ["2040 mm", "1840 mm"];
    let up = wheels(["7 mm", "3 mm", "2 mm", "0 mm"], "up", tracks);
    let down = wheels(["393 mm", "397 mm", "398 mm", "400 mm"], "down", tracks);
    for output in FLOOR_WHEELS.outputs {
        let (a, b) = (
            si(&up, &FLOOR_WHEELS, output.key),
            si(&down, &FLOOR_WHEELS, output.key),
        );
        close(a, b, 1e-12);
    }
}

#[test]
fn it_is_the_plane_and_the_wheel_of_the_sums_on_places() {
    let found = wheels(
        ["395 mm", "399 mm", "398 mm", "401 mm"],
        "down",
        ["2040 mm", "1840 mm"],
    );
    let places = [
        ("along", "3700 mm, 3700 mm, 0 mm, 0 mm"),
        ("across", "1020 mm, -1020 mm, 920 mm, -920 mm"),
        ("height", "-395 mm, -399 mm, -398 mm, -401 mm"),
    ];
    let plane = evaluate(&FLOOR_PLANE, &places);
    for key in ["slope_along", "slope_across"] {
        close(
            si(&found, &FLOOR_WHEELS, key),
            si(&plane, &FLOOR_PLANE, key),
            1e-12,
        );
    }
    let off = evaluate(&WHEEL_OFF, &places);
    for (ours, theirs) in [
        ("off", "off"),
        ("front_left", "first"),
        ("front_right", "second"),
        ("rear_left", "third"),
        ("rear_right", "fourth"),
    ] {
        close(
            si(&found, &FLOOR_WHEELS, ours),
            si(&off, &WHEEL_OFF, theirs),
            1e-12,
        );
    }
}

#[test]
fn a_mirror_turns_the_slope_across_and_nothing_else() {
    let tracks = ["2040 mm", "1840 mm"];
    let found = wheels(["7 mm", "3 mm", "2 mm", "0 mm"], "up", tracks);
    let mirrored = wheels(["3 mm", "7 mm", "0 mm", "2 mm"], "up", tracks);
    let pair = |key| {
        (
            si(&found, &FLOOR_WHEELS, key),
            si(&mirrored, &FLOOR_WHEELS, key),
        )
    };
    let (along, same) = pair("slope_along");
    close(along, same, 1e-12);
    let (across, turned) = pair("slope_across");
    close(across, -turned, 1e-12);
    let (off, as_far) = pair("off");
    close(off, as_far, 1e-12);
}

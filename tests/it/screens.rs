//! Every screen, as keys bring it up, at three sizes, with styles, and without
//! colour.
//!
//! A job is brought to a step by playing a shipped rehearsal up to it; from there
//! on keys are pressed and what they ask of the disk is granted at once. The
//! snapshot is the whole grid, then the runs of cells that are styled.

use person::{Bench, plain_key};

/// Brings up every screen of a list: a name, and what leads there.
macro_rules! screens {
    (in $told:literal: $($(#[$doc:meta])* $name:ident: $bench:expr;)*) => {$(
        $(#[$doc])*
        #[test]
        fn $name() {
            let bench: Bench = $bench;
            insta::with_settings!({ snapshot_path => $told, prepend_module_to_snapshot => false }, {
                insta::assert_snapshot!(stringify!($name), bench.told());
            });
        }
    )*};
}

// Below the macro, which it uses.
mod author;
mod drill;
mod hand;
pub(crate) mod person;
mod rig;

screens! {
    in "screens/told":
    /// Nothing was ever done on this computer.
    board_when_new: Bench::board(Vec::new());
    /// Jobs to go on with, finished ones, one that can't be read.
    board_with_jobs: Bench::board(person::some_jobs()).keys("↓↓");
    front_page: Bench::front().keys("↓↓").type_in("A. Mercer").keys("↓");
    front_page_without_a_reason: Bench::front()
        .keys("↓↓").type_in("A. Mercer").keys("↓↓↓↓↓").keys("y⏎");
    trial_of_the_hold_key: Bench::below_practice(2).keys("⏎");
    sums_found: Bench::sums("swap");
    sums_not_found: Bench::sums("swap nowhere");
    sums_help: Bench::sums("swap").keys("?");
    sum_empty: Bench::sums("swap").keys("⏎");
    sum_misread: Bench::sums("swap").keys("⏎").type_in("1.35 bar").keys("⏎").type_in("1..2");
    sum_understood: Bench::sums("swap").keys("⏎").type_in("1.35 bar").keys("⏎")
        .type_in("1.20").keys("⏎").type_in("18.1 psi").keys("⏎").type_in("1.3");
    sum_uncertain: Bench::sums("swap").keys("⏎")
        .type_in("1.35 bar +- 0.1 bar step 0.05 bar").keys("⏎")
        .type_in("1.20 +- 0.1 step 0.02").keys("⏎").type_in("1.25").keys("⏎").type_in("1.30");
    sum_checked_by_trials: Bench::sums("swap").keys("⏎")
        .type_in("1.35 bar +- 0.1 bar step 0.05 bar").keys("⏎")
        .type_in("1.20 +- 0.1 step 0.02").keys("⏎").type_in("1.25").keys("⏎").type_in("1.30")
        .keys("⏎m");
    sum_example_asked: Bench::sums("swap").keys("⏎").type_in("1.35 bar").keys("↑e");
    watch_typed: Bench::sums("series_drop").keys("⏎")
        .type_in("0 min: 1.30 bar step 0.02 bar; 10 min: 1.28");
    ticks: Bench::at("rh_normal_bw_07", "chocks");
    ticks_answered_badly: Bench::at("rh_normal_bw_07", "chocks").keys("bs");
    reading_empty: Bench::at("rh_normal_bw_07", "supply");
    reading_understood: Bench::at("rh_normal_bw_07", "supply").type_in("9.1");
    reading_in_another_unit: Bench::at("rh_normal_bw_07", "supply").type_in("125 psi");
    reading_of_another_kind: Bench::at("rh_normal_bw_07", "supply").type_in("190 mm");
    reading_misread: Bench::at("rh_normal_bw_07", "supply").type_in("9..1");
    reading_unusual: Bench::at("rh_normal_bw_07", "supply").type_in("0.3").keys("⏎");
    readings_by_place: Bench::at("rh_normal_bw_07", "tyres_left").type_in("8.5").keys("⏎");
    advice_not_met: Bench::at("rh_normal_bw_07", "floor")
        .type_in("376").keys("⏎").type_in("379").keys("⏎").type_in("399").keys("⏎")
        .type_in("401").keys("⏎");
    driveline_judged: Bench::at("rh_normal_bw_07", "driveline");
    driveline_unequal: Bench::at("rh_driveline_off_kept", "driveline");
    driveline_of_two_pieces: Bench::at("rh_normal_sr_214", "driveline_two");
    floor_worked_out: Bench::at("rh_normal_bw_07", "floor")
        .type_in("395").keys("⏎").type_in("397").keys("⏎").type_in("399").keys("⏎")
        .type_in("401").keys("⏎");
    slope_in_words: Bench::at("rh_normal_bw_07", "slopes").type_in("4.5 nose up");
    gate_read_first: Bench::at("rh_normal_bw_07", "up__gate").ticks();
    gate_armed: Bench::at("rh_normal_bw_07", "up__gate").ticks().rest(1500);
    gate_with_two_keys: Bench::at("rh_normal_bw_07", "up__gate").ticks().rest(1500)
        .turns(3);
    gate_types_its_number: Bench::at("rh_normal_bw_07", "up__gate").ticks().rest(1500)
        .turns(6).rest(400);
    gate_broken_off: Bench::at("rh_normal_bw_07", "up__gate").ticks().rest(1500)
        .turns(3).keys("x");
    movement_now: Bench::at("rh_normal_bw_07", "sit1__move");
    movement_seen: Bench::at("rh_normal_bw_07", "sit1__move").keys("⏎");
    look_without_default: Bench::at("rh_normal_bw_07", "linkage");
    look_with_a_choice: Bench::at("rh_normal_bw_07", "linkage").keys("↓");
    wait_to_begin: Bench::at("rh_normal_bw_07", "settle");
    wait_runs: Bench::at("rh_normal_bw_07", "settle").keys("⏎").rest(61_000);
    watch_runs: Bench::at("rh_normal_bw_07", "evidence").rest(30_000);
    watch_asks: Bench::at("rh_normal_bw_07", "evidence").rest(125_000);
    asked_again_after_a_resume: Bench::at("rh_normal_bw_07", "sit1__gate").resumed();
    stop_card_at_once: Bench::at("rh_normal_bw_07", "linkage").keys("⎋");
    stop_card_later: Bench::at("rh_normal_bw_07", "linkage").keys("⎋").rest(1_200);
    stop_taken: Bench::at("rh_normal_bw_07", "linkage").keys("⎋").rest(1_200).keys("t");
    menu: Bench::at("rh_normal_bw_07", "up__gate").keys("?");
    why_and_cautions: Bench::at("rh_normal_bw_07", "up__gate").keys("?w");
    route: Bench::at("rh_normal_bw_07", "up__gate").keys("?r");
    values: Bench::at("rh_normal_bw_07", "linkage").keys("?v");
    correction: Bench::at("rh_normal_bw_07", "linkage").keys("?v⏎").type_in("512").keys("⏎");
    instruments: Bench::at("rh_normal_bw_07", "linkage").keys("?i");
    remark: Bench::at("rh_normal_bw_07", "linkage").keys("?n").type_in("bush cracked");
    leaving: Bench::at("rh_normal_bw_07", "linkage").keys("q");
    saving: Bench::at("rh_normal_bw_07", "chocks").slow_disk().keys("s").rest(150);
    record_not_safe: Bench::at("rh_normal_bw_07", "up__gate").broken_disk();
    practice: Bench::at("rh_normal_bw_07", "up__gate").practice();
    complete: Bench::at_end("rh_normal_bw_07");
    reading_only: Bench::at("rh_normal_bw_07", "linkage").read_only();
    us_units: Bench::at("rh_normal_sr_214", "supply").type_in("9 bar");
    record_page: Bench::page();
    worked_out_and_judged: Bench::at("rh_normal_bw_07", "ride_judged");
    worked_out_scrolled: Bench::at("rh_normal_bw_07", "ride_judged").keys("⇟⇟⇟");
    worked_out_later: Bench::at("rh_unequal_saw_broken", "swapped");
    worked_out_with_what_is_typed: Bench::at("rh_unequal_saw_broken", "swapped")
        .type_in("1.30").keys("⏎").type_in("1.38");
    worked_out_outside: Bench::at("rh_unequal_saw_broken", "swapped")
        .type_in("1.30").keys("⏎").type_in("1.38").keys("⏎");
    watch_drawn: Bench::at("rh_normal_bw_07", "leak_close");
    watch_drawn_falling: Bench::at("rh_normal_bw_07", "evidence")
        .rest(120_000).keys("↑↑").type_in("1.28").keys("⏎").type_in("1.32").keys("⏎")
        .rest(120_000).keys("↑↑").type_in("1.26").keys("⏎").type_in("1.30").keys("⏎");
    watch_judged: Bench::at("rh_normal_bw_07", "leak_close")
        .type_in("189").keys("⏎").type_in("184").keys("⏎");
}

#[test]
fn under_the_least_size_one_plain_message_is_shown_and_nothing_panics() {
    let mut bench = Bench::at("rh_normal_bw_07", "up__gate");
    for cols in 1..=60 {
        for rows in 1..=20 {
            bench.resize(cols, rows);
            let shown = bench.grid(cols, rows);
            if cols < 36 || rows < 10 {
                let needle: String = "levelhand".chars().take(usize::from(cols)).collect();
                assert!(shown.contains(&needle), "{cols}x{rows}: {shown}");
            }
        }
    }
}

#[test]
fn a_picture_stands_under_the_step_only_where_rows_are_left() {
    let bench = Bench::at("rh_normal_bw_07", "evidence");
    let tall = bench.grid(80, 45);
    assert!(tall.contains("WATCHED, bar"), "{tall}");
    assert!(!bench.grid(80, 24).contains("WATCHED"), "no room for it");
}

#[test]
fn everything_worked_out_can_be_read_before_going_on() {
    let at = |pages: usize| {
        Bench::at("rh_normal_bw_07", "leak_close")
            .type_in("189")
            .keys("⏎")
            .type_in("184")
            .keys("⏎")
            .keys(&"⇟".repeat(pages))
    };
    let wanted = [
        "fall of pressure, left ",
        "fall of pressure, right ",
        "fall of pressure, left less fall",
        "leak-down height, left, begin less",
        "leak-down height, right, begin less",
        "within by 2.00 mm",
        "outside by 3.00 mm",
        "not as it must be",
    ];
    let pages: Vec<String> = (0..20).map(|n| at(n).grid(80, 24)).collect();
    for words in wanted {
        let shown = pages.iter().any(|p| p.contains(words));
        assert!(shown, "{words} is on no page; the last is {}", pages[19]);
    }
}

#[test]
fn a_verdict_on_a_working_is_told_once() {
    let bench = Bench::at("rh_unequal_saw_broken", "swapped")
        .type_in("1.30")
        .keys("⏎");
    let bench = bench.type_in("1.38");
    for (cols, rows) in [(40, 12), (80, 24), (100, 30), (120, 40)] {
        // The far view tells it under the line being typed, the others in the section.
        let shown = bench.grid(cols, rows);
        assert_eq!(shown.matches("within by").count(), 1, "{shown}");
    }
}

#[test]
fn the_focus_shows_in_styles_and_in_cells() {
    let bench = Bench::at("rh_normal_bw_07", "chocks");
    let (before, after) = (bench.told(), bench.keys("↓").told());
    assert_ne!(before, after, "a moved focus must show");
}

#[test]
fn a_notice_never_carries_the_triangle_of_harm() {
    // ANSI Z535.4-2007 4.14 (read in public copies): NOTICE is not about injury.
    let bench = Bench::at("rh_normal_bw_07", "up__gate").keys("?w");
    for line in bench.grid(80, 60).lines() {
        let notice = line.contains("NOTICE ") && !line.contains("Also");
        assert!(!(notice && line.contains('▲')), "{line}");
    }
}

#[test]
fn the_caution_stands_above_the_instructions() {
    let shown = Bench::at("rh_normal_bw_07", "up__move").grid(80, 24);
    let row = |needle: &str| {
        shown
            .lines()
            .position(|l| l.trim_start_matches(" ▲").starts_with(needle))
    };
    let (caution, first) = (row(" DANGER"), row(" 1  "));
    assert!(caution.is_some() && first.is_some(), "{shown}");
    assert!(caution < first, "{shown}");
}

#[test]
fn hammering_escape_always_ends_on_the_stop_card_and_stays_there() {
    for step in [
        "chocks", "supply", "up__gate", "up__move", "linkage", "settle",
    ] {
        let bench = Bench::at("rh_normal_bw_07", step)
            .type_in("1")
            .keys("?⎋⎋⎋⎋⎋⎋⎋⎋");
        assert!(
            bench.grid(80, 24).contains("STOP WORK"),
            "{step}: {}",
            bench.grid(80, 24)
        );
    }
}

#[test]
fn no_single_key_confirms_a_hold() {
    for c in (' '..='~').chain(['é', '→']) {
        let mut bench = Bench::at("rh_normal_bw_07", "up__gate").ticks().rest(1500);
        let before = bench.step();
        bench.press(plain_key(c));
        let bench = bench.rest(6_000);
        assert_eq!(bench.step(), before, "{c:?} passed the gate");
    }
}

#[test]
fn each_step_of_the_bellows_job_is_read_at_80_by_24_without_turning_a_page() {
    let script = person::rehearsal("bc_normal_bw_07");
    let turned: Vec<String> = script
        .moves
        .iter()
        .map(|m| m.at.to_string())
        .filter(|step| {
            let shown = Bench::at("bc_normal_bw_07", step).grid(80, 24);
            shown.contains("more below")
        })
        .collect();
    // Four readings and three workings: the same step as in the main job.
    assert_eq!(turned, ["floor"]);
}

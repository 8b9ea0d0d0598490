//! Hands at the practice truck: what opens its valves, what shuts them, what its clock
//! does, and where leaving leads. Keys in and time by ticks, no terminal.

use levelhand::app::Effect;
use levelhand::input::{Input, Key, Press};
use levelhand::job::Mode;
use levelhand::rig::{Coaching, Reach, Side, Way};

use super::drill::{opened, opened_on};
use super::person::{Bench, job};
use crate::drill::{ground, plan};
use levelhand::drill::Drill;

const U: Key = Key::Char('u');
const D: Key = Key::Char('d');

/// The truck has the keys, and no key was touched for long.
fn at_truck(bench: Bench) -> Bench {
    bench.ctrl('t').rest(1_300)
}

/// Where only repeats are told.
fn repeats_only() -> Bench {
    at_truck(opened(plan("clear_coached")))
}

/// Where the letting go was proven at the trial of the hold key.
fn releases_told(repeats: bool) -> Bench {
    let space = Key::Char(' ');
    let bench = Bench::below_practice(2).keys("⏎").rest(2_600);
    let mut bench = bench.moves(space, Press::Down).rest(500);
    for _ in 0..40 {
        if repeats {
            bench = bench.moves(space, Press::Repeat);
        }
        bench = bench.rest(33);
    }
    let bench = bench.moves(space, Press::Up).rest(50);
    let shown = bench.grid(80, 24);
    assert!(shown.contains("etting go is shown"), "{shown}");
    let bench = bench.keys("⎋");
    at_truck(opened_on(bench, plan("clear_coached")))
}

/// What the open valve does; `None` when all are shut.
fn open(bench: &Bench) -> Option<(Way, Reach)> {
    bench.practise().drill.bay.held
}

/// How long the valve stays open if nothing more comes, ms, to the next ten.
fn shuts_after(bench: Bench) -> (u64, Bench) {
    let mut bench = bench;
    let mut ms = 0;
    while open(&bench).is_some() {
        assert!(ms < 10_000, "it never shuts");
        bench = bench.rest(10);
        ms += 10;
    }
    (ms, bench)
}

/// A key that repeats so often, the first delay over already.
fn repeating(bench: Bench, times: usize, each: u64) -> Bench {
    let mut bench = bench.moves(U, Press::Down).rest(490);
    for n in 0..times {
        bench = bench.rest(if n == 0 { 10 } else { each });
        bench = bench.moves(U, Press::Down);
    }
    bench
}

#[test]
fn raise_and_lower_open_the_valve_of_their_way_on_the_sides_chosen() {
    for (keys, reach) in [
        ("", Reach::Both),
        ("l", Reach::One(Side::Left)),
        ("r", Reach::One(Side::Right)),
        ("lb", Reach::Both),
    ] {
        for (key, way) in [(U, Way::Up), (D, Way::Down)] {
            let bench = repeats_only().keys(keys).moves(key, Press::Down);
            assert_eq!(open(&bench), Some((way, reach)), "{keys}");
        }
    }
}

#[test]
fn where_only_repeats_are_told_a_single_press_opens_for_half_a_second() {
    let (ms, _) = shuts_after(repeats_only().moves(U, Press::Down));
    assert_eq!(ms, 500);
}

#[test]
fn a_key_that_begins_to_repeat_late_opens_the_valve_again_at_its_first_repeat() {
    let bench = repeats_only().moves(U, Press::Down).rest(650);
    assert_eq!(
        open(&bench),
        None,
        "the press alone is no evidence any more"
    );
    let bench = bench.moves(U, Press::Down);
    assert!(open(&bench).is_some());
    // After one repeat nobody knows yet how often they come.
    assert_eq!(shuts_after(bench).0, 500);
}

#[test]
fn after_the_last_repeat_the_valve_shuts_after_four_of_them_within_bounds() {
    for (each, wanted) in [(33, 150), (50, 200), (100, 400), (200, 500)] {
        let bench = repeating(repeats_only(), 12, each);
        assert!(open(&bench).is_some());
        assert_eq!(shuts_after(bench).0, wanted, "repeats each {each} ms");
    }
}

#[test]
fn held_for_five_seconds_it_is_open_all_the_time_and_the_frame_rises() {
    let mut bench = repeating(repeats_only(), 1, 33);
    let height = |b: &Bench| b.practise().drill.bay.readout().height[0];
    let from = height(&bench);
    for _ in 0..150 {
        bench = bench.rest(33).moves(U, Press::Down);
        assert_eq!(open(&bench), Some((Way::Up, Reach::Both)));
    }
    assert!(height(&bench) > from + 0.020, "{}", height(&bench));
}

#[test]
fn where_two_keys_in_turn_are_set_each_tap_opens_for_three_tenths_of_a_second() {
    let bench = Bench::board(Vec::new()).always_turns();
    let bench = at_truck(opened_on(bench, plan("clear_coached")));
    let (ms, bench) = shuts_after(bench.moves(U, Press::Down));
    assert_eq!(ms, 300);
    let bench = bench.rest(200).moves(U, Press::Down).rest(250);
    let (ms, _) = shuts_after(bench.moves(U, Press::Down));
    assert_eq!(ms, 300, "a second tap in time begins the three tenths anew");
}

#[test]
fn two_keys_in_turn_set_in_the_middle_of_a_drill_hold_for_its_valves_too() {
    let bench = opened(plan("clear_coached")).always_turns();
    let (ms, bench) = shuts_after(at_truck(bench).moves(U, Press::Down));
    assert_eq!(ms, 300);
    let (ms, _) = shuts_after(bench.rest(1_300).moves(D, Press::Down));
    assert_eq!(ms, 300);
}

#[test]
fn where_the_letting_go_is_proven_it_shuts_the_valve_at_once() {
    let bench = releases_told(true).moves(U, Press::Down).rest(300);
    assert!(open(&bench).is_some());
    let bench = bench.moves(U, Press::Up);
    assert_eq!(open(&bench), None);
    let bench = bench.rest(50).moves(U, Press::Down);
    assert!(
        open(&bench).is_some(),
        "and it can be pressed again at once"
    );
}

#[test]
fn where_repeats_are_due_and_stay_away_the_valve_shuts_without_a_letting_go() {
    let (ms, _) = shuts_after(releases_told(true).moves(U, Press::Down));
    assert_eq!(ms, 1_200, "the slowest delay before a first repeat");
    let mut bench = releases_told(true).moves(U, Press::Down).rest(500);
    for _ in 0..10 {
        bench = bench.moves(U, Press::Repeat).rest(33);
    }
    let (ms, _) = shuts_after(bench.moves(U, Press::Repeat));
    assert_eq!(ms, 150);
}

#[test]
fn where_keys_never_repeat_only_the_letting_go_shuts_the_valve() {
    let bench = releases_told(false).moves(U, Press::Down).rest(5_000);
    assert!(open(&bench).is_some());
    assert_eq!(open(&bench.moves(U, Press::Up)), None);
}

#[test]
fn whatever_comes_between_shuts_the_valve_and_its_repeats_do_not_open_it_again() {
    type Between = (&'static str, fn(Bench) -> Bench);
    let between: [Between; 16] = [
        ("the focus is lost", |b| b.comes(Input::FocusLost)),
        ("a paste", |b| b.comes(Input::Paste("uuu".to_owned()))),
        ("another size", |b| {
            b.comes(Input::Resize { cols: 90, rows: 30 })
        }),
        ("a size too small", |b| {
            b.comes(Input::Resize { cols: 20, rows: 5 })
        }),
        ("another letter", |b| b.moves(Key::Char('x'), Press::Down)),
        ("a place", |b| b.moves(Key::Char('3'), Press::Down)),
        ("an arrow", |b| b.moves(Key::Down, Press::Down)),
        ("the key with Ctrl", |b| b.ctrl('u')),
        ("Ctrl-T", |b| b.ctrl('t')),
        ("Esc", |b| b.moves(Key::Esc, Press::Down)),
        ("Ctrl-C", |b| b.ctrl('c')),
        ("Ctrl-Z", |b| b.ctrl('z')),
        ("a stop of the program", |b| {
            b.comes(Input::Suspend)
                .stands_still(4_000)
                .comes(Input::Continued)
        }),
        ("inputs that were dropped", |b| b.comes(Input::Overflow)),
        ("a machine that stands still", |b| b.stands_still(400)),
        ("a disk that fails", |b| b.broken_disk().rest(40)),
    ];
    for start in [repeats_only as fn() -> Bench, || releases_told(true)] {
        for (what, comes) in between {
            let bench = comes(repeating(start(), 8, 33));
            assert_eq!(open(&bench), None, "{what}");
            let mut bench = bench;
            for _ in 0..20 {
                bench = bench.rest(33).moves(U, Press::Repeat);
                assert_eq!(open(&bench), None, "{what}: a repeat opened it again");
            }
        }
    }
}

#[test]
fn the_stop_card_shuts_the_valve_and_takes_the_keys() {
    let bench = repeating(repeats_only(), 8, 33).ctrl('c').rest(40);
    assert_eq!(open(&bench), None);
    assert!(!bench.practise().front);
    assert!(bench.grid(80, 24).contains("STOP WORK"));
    let bench = bench.rest(1_300).ctrl('t').moves(U, Press::Down);
    assert!(!bench.practise().front, "Ctrl-T does nothing on the card");
    assert_eq!(open(&bench), None);
}

#[test]
fn the_key_of_the_other_way_shuts_the_first_valve_before_it_opens_its_own() {
    let bench = repeating(repeats_only(), 8, 33).moves(D, Press::Down);
    assert_eq!(open(&bench), Some((Way::Down, Reach::Both)));
    let bench = bench.rest(33).moves(U, Press::Down);
    assert_ne!(open(&bench).map(|(way, _)| way), Some(Way::Up));
}

#[test]
fn a_key_that_was_down_before_the_truck_had_the_keys_opens_nothing() {
    let mut bench = opened(plan("clear_coached")).rest(1_300);
    for n in 0..40 {
        if n == 20 {
            bench = bench.ctrl('t');
            assert!(bench.practise().front);
        }
        bench = bench.moves(U, Press::Down).rest(33);
        assert_eq!(open(&bench), None, "repeat {n}");
    }
}

#[test]
fn at_the_truck_no_key_and_no_paste_reaches_the_step() {
    let bench = at_truck(opened(plan("clear_coached")));
    let before = (bench.step(), bench.state().current.clone());
    let bench = bench
        .keys("rnsy⏎1.5⏎wbhgq?")
        .comes(Input::Paste("y".to_owned()));
    assert_eq!((bench.step(), bench.state().current.clone()), before);
    assert_eq!(bench.typed(), "");
    let drill = Drill::new(ground(plan("clear_coached"), None, 7, "A. Mercer"));
    let supply = job("rh_normal_bw_07", at("supply"), Mode::Practice);
    let bench = Bench::board(Vec::new()).drilled(supply, drill);
    let bench = at_truck(bench).comes(Input::Paste("9.1 bar".to_owned()));
    assert_eq!(bench.typed(), "", "a paste at the truck is no reading");
}

/// Stands inside this step.
fn at(step: &'static str) -> impl Fn(&levelhand::job::State) -> bool {
    move |state| state.inside().is_some_and(|at| at.as_str() == step)
}

/// A drill whose job stands there; the truck is as it came.
fn beside(step: &'static str) -> Bench {
    let drill = Drill::new(ground(plan("clear_coached"), None, 7, "A. Mercer"));
    let job = job("rh_normal_bw_07", at(step), Mode::Practice);
    Bench::board(Vec::new()).drilled(job, drill)
}

#[test]
fn time_goes_twenty_times_as_fast_when_asked_and_falls_back_when_a_valve_opens() {
    let bench = repeats_only().keys("pppp");
    assert_eq!(bench.practise().pace(), 20);
    let from = bench.practise().drill.now_ms();
    let bench = bench.rest(1_000);
    assert_eq!(bench.practise().drill.now_ms() - from, 20_000);
    let bench = bench.moves(U, Press::Down);
    let from = bench.practise().drill.now_ms();
    let bench = bench.rest(400);
    assert_eq!(bench.practise().pace(), 1);
    assert_eq!(bench.practise().drill.now_ms() - from, 400);
}

#[test]
fn no_hold_of_the_procedure_is_made_in_lapsed_time() {
    let bench = beside("up__gate").ticks().ctrl('t').keys("pppp");
    assert_eq!(bench.practise().pace(), 20);
    let bench = bench.keys("⎋").rest(100);
    let shown = bench.grid(80, 24);
    assert!(shown.contains("tap in turn"), "{shown}");
    assert_eq!(bench.practise().pace(), 1);
}

#[test]
fn a_wait_of_three_minutes_is_over_after_nine_seconds_at_twenty_times() {
    let bench = beside("settle").keys("⏎").ctrl('t').keys("pppp⎋");
    let settle = bench.step();
    let bench = bench.rest(7_500).keys("⏎");
    assert_eq!(bench.step(), settle, "not yet");
    let bench = bench.rest(1_100).keys("⏎");
    assert_ne!(bench.step(), settle, "{}", bench.grid(80, 24));
    assert!(bench.practise().drill.now_ms() >= 180_000);
}

#[test]
fn a_machine_that_slept_takes_no_air_out_of_the_truck() {
    let bench = repeats_only();
    let from = bench.practise().drill.now_ms();
    let bench = bench.stands_still(3_600_000);
    assert!(bench.practise().drill.now_ms() - from <= 5_000);
}

#[test]
fn of_several_unsafe_acts_the_worst_is_told_at_once_and_alone_nothing_is() {
    let told = |coaching| {
        let plan = levelhand::rig::Plan {
            coaching,
            ..plan("clear_coached")
        };
        let bench = at_truck(opened(plan)).moves(U, Press::Down);
        let acts = bench.practise().drill.unsafe_acts.len();
        assert!(acts >= 2, "brake on and no chocks: {acts}");
        bench.practise().alarm.clone()
    };
    for coaching in [Coaching::Coached, Coaching::Hints] {
        let alarm = told(coaching).unwrap_or_default();
        assert!(alarm.starts_with("DANGER: "), "{alarm}");
    }
    assert_eq!(told(Coaching::Alone), None);
}

#[test]
fn leaving_a_drill_leads_to_its_debrief_which_is_kept_before_the_job_is_closed() {
    let bench = repeating(repeats_only(), 8, 33).keys("⎋qy");
    let (title, lines) = bench.read().expect("a page to read");
    assert!(title.contains("PRACTICE"), "{title}");
    assert!(lines[0].starts_with("PRACTICE."), "{}", lines[0]);
    let kept = bench.asked().iter().position(|e| match e {
        Effect::KeepDebrief { debrief, page } => {
            assert_eq!(page, lines);
            assert!(!debrief.passed(), "left before the end");
            true
        }
        _ => false,
    });
    let closed = bench.asked().iter().position(|e| *e == Effect::Close);
    assert!(kept.is_some() && kept < closed, "{kept:?} {closed:?}");
    assert!(bench.keys("⎋").on_board());
}

#[test]
fn staying_goes_on_with_the_drill() {
    let bench = repeats_only().keys("⎋q⎋");
    assert!(bench.read().is_none());
    let bench = at_truck(bench).moves(U, Press::Down);
    assert!(open(&bench).is_some());
}

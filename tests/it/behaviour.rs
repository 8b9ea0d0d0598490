//! What keys do, tried on the program without a terminal: saving, stopping,
//! pasting, typing twice, watching.

use levelhand::app::Effect;
use levelhand::job::Place;

use crate::screens::person::Bench;

fn appended(bench: &Bench) -> usize {
    let asked = bench.asked().iter();
    asked.filter(|e| matches!(e, Effect::Append { .. })).count()
}

#[test]
fn nothing_is_shown_as_done_before_it_is_on_disk() {
    let bench = Bench::at("rh_normal_bw_07", "chocks").slow_disk().keys("s");
    assert_eq!(appended(&bench), 1);
    assert!(bench.state().current.ticks.is_empty());
    let bench = bench.durable();
    assert_eq!(bench.state().current.ticks.len(), 1);
}

#[test]
fn only_one_entry_is_in_flight_and_meanwhile_only_stop_work_is_taken() {
    let bench = Bench::at("rh_normal_bw_07", "chocks")
        .slow_disk()
        .keys("s")
        .keys("s");
    assert_eq!(appended(&bench), 1);
    assert!(
        bench.message().contains("only stop work"),
        "{}",
        bench.message()
    );
    let bench = bench.keys("⎋");
    assert!(bench.grid(80, 24).contains("STOP WORK"));
    assert_eq!(appended(&bench), 1, "the stop waits its turn");
    let bench = bench.durable();
    assert_eq!(appended(&bench), 2, "and then has it");
    let bench = bench.durable();
    assert!(bench.state().stop.is_some());
    assert_eq!(bench.state().current.ticks.len(), 1, "the answer is kept");
}

#[test]
fn carrying_on_is_taken_after_a_second_and_not_before() {
    let early = Bench::at("rh_normal_bw_07", "linkage").keys("⎋").keys("c");
    assert!(early.state().stop.is_some());
    let late = early.rest(1_000).keys("c");
    assert!(late.state().stop.is_none());
}

#[test]
fn carrying_on_asks_again_for_everything_that_may_have_changed() {
    let bench = Bench::at("rh_normal_bw_07", "up__gate")
        .keys("⎋")
        .rest(1_200)
        .keys("c");
    let stale = bench
        .state()
        .conditions
        .values()
        .filter(|h| h.stale)
        .count();
    assert!(stale > 0);
    assert!(bench.grid(80, 40).contains("look again"));
}

#[test]
fn an_unusual_value_is_asked_for_twice() {
    let bench = Bench::at("rh_normal_bw_07", "supply")
        .type_in("0.3")
        .keys("⏎");
    assert!(bench.state().current.readings.is_empty());
    assert_eq!(bench.typed(), "0.3", "what was typed is not lost");
    let other = Bench::at("rh_normal_bw_07", "supply")
        .type_in("0.3")
        .keys("⏎⎋");
    let other = other.type_in("0.4").keys("⏎");
    assert!(
        other.state().current.readings.is_empty(),
        "another value is asked for too"
    );
    let bench = bench.keys("⏎");
    assert_eq!(bench.state().current.readings.len(), 1);
}

#[test]
fn a_misread_value_stays_in_the_line() {
    let bench = Bench::at("rh_normal_bw_07", "supply")
        .type_in("9 mm")
        .keys("⏎");
    assert_eq!(bench.typed(), "9 mm");
    assert!(bench.state().current.readings.is_empty());
    assert!(
        bench.message().contains("gauge pressure"),
        "{}",
        bench.message()
    );
}

#[test]
fn a_paste_is_text_in_a_field_and_nothing_anywhere_else() {
    let field = Bench::at("rh_normal_bw_07", "supply").paste("9.1\r\n");
    assert_eq!(field.typed(), "9.1");
    assert!(
        field.state().current.readings.is_empty(),
        "a pasted Enter accepts nothing"
    );
    let ticks = Bench::at("rh_normal_bw_07", "chocks").paste("sss");
    assert!(ticks.state().current.ticks.is_empty());
    let hold = Bench::at("rh_normal_bw_07", "up__gate").ticks().rest(1_500);
    let before = hold.step();
    let hold = hold.paste("fjfjfjfj").rest(6_000);
    assert_eq!(hold.step(), before);
}

#[test]
fn a_hold_breaks_off_when_the_window_loses_the_keyboard() {
    let bench = Bench::at("rh_normal_bw_07", "up__gate")
        .ticks()
        .rest(1_500)
        .turns(5);
    let before = bench.step();
    let bench = bench.loses_focus().turns(1).rest(5_000);
    assert_eq!(bench.step(), before);
}

#[test]
fn a_danger_is_passed_by_two_keys_in_turn_and_the_shown_number() {
    let mut bench = Bench::at("rh_normal_bw_07", "up__gate").ticks().rest(1_500);
    let before = bench.step();
    bench = bench.turns(6).rest(500);
    let shown = bench.grid(80, 40);
    let number = shown
        .split("Type the number ")
        .nth(1)
        .expect("a number is asked for");
    let number: String = number.chars().take(3).collect();
    bench = bench.rest(300).type_in(&number).rest(500);
    assert_ne!(bench.step(), before, "{}", bench.grid(80, 24));
}

#[test]
fn a_watch_that_is_due_does_not_take_the_focus_from_a_line_being_typed() {
    let bench = Bench::at("rh_normal_bw_07", "evidence").type_in("12");
    let bench = bench.rest(125_000);
    assert!(bench.grid(80, 24).contains("DUE NOW"));
    assert_eq!(bench.typed(), "12");
    let bench = bench.keys("40⏎");
    assert!(
        bench
            .state()
            .series
            .values()
            .all(|points| points.len() == 1)
    );
    assert_eq!(
        bench.state().current.readings.len(),
        1,
        "it goes where it was typed"
    );
}

#[test]
fn a_look_has_no_default() {
    let bench = Bench::at("rh_normal_bw_07", "linkage").keys("⏎⏎⏎");
    assert!(matches!(&bench.state().place, Place::In(step) if step.as_str() == "linkage"));
}

#[test]
fn every_letter_of_a_name_reaches_the_field_also_those_that_are_keys_elsewhere() {
    let bench = Bench::front().keys("↓↓").type_in("q? nyd t");
    assert!(bench.grid(80, 24).contains("q? nyd t"));
}

#[test]
fn leaving_asks_first_and_tells_what_stays_true() {
    let bench = Bench::at("rh_normal_bw_07", "linkage").keys("q");
    assert!(bench.grid(80, 24).contains("safe to walk away"));
    assert!(!bench.asked().contains(&Effect::Close));
    let bench = bench.keys("y");
    assert!(bench.asked().contains(&Effect::Close));
}

#[test]
fn ctrl_keys_and_letters_never_answer_a_tick_by_accident() {
    let bench = Bench::at("rh_normal_bw_07", "chocks").keys("xzk1⏎");
    assert!(bench.state().current.ticks.is_empty());
}

#[test]
fn an_accepted_value_is_not_overwritten_by_one_enter() {
    let bench = Bench::at("rh_normal_bw_07", "supply")
        .type_in("9.1")
        .keys("⏎↑");
    assert!(
        bench.grid(80, 24).contains("was 9.10 bar"),
        "{}",
        bench.grid(80, 24)
    );
    let bench = bench.type_in("8.9").keys("⏎");
    assert!(bench.message().contains("once more"), "{}", bench.message());
    let read = |b: &Bench| b.state().values.values().last().map(|t| t.typed.clone());
    let supply = |b: &Bench| {
        let mut values = b.state().values.values();
        values.any(|t| t.typed == "8.9")
    };
    assert!(!supply(&bench), "{:?}", read(&bench));
    assert!(supply(&bench.keys("⏎")));
}

#[test]
fn a_figure_typed_beside_its_field_goes_nowhere_and_the_enter_after_it_too() {
    let bench = Bench::at("rh_normal_bw_07", "supply")
        .type_in("9.1")
        .keys("⏎")
        .type_in("8.5");
    let before = bench.keys("⏎").keys("↓↓");
    let step = before.step();
    let bench = before.type_in("868").keys("⏎");
    assert_eq!(bench.step(), step, "{}", bench.grid(80, 24));
}

#[test]
fn help_is_there_in_a_number_field_and_what_is_typed_stays() {
    let bench = Bench::at("rh_normal_bw_07", "supply")
        .type_in("9.1")
        .keys("?");
    assert!(bench.grid(80, 24).contains("HELP AND MORE"));
    assert_eq!(bench.keys("⎋").typed(), "9.1");
}

//! Keys in, what is typed and worked out there, no drawing.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "a person at the calculators is on no other screen"
)]

use super::*;
use crate::app::{App, Catalog, Effect, Screen, Settings, key_line};
use crate::hold;
use crate::input::{Input as Pressed, Key, Modifiers, Press, Stamped};

/// A person at the calculators.
struct Desk {
    app: App,
    asked: Vec<Effect>,
}

impl Desk {
    /// On the board, with these units.
    fn board(system: Option<System>) -> Self {
        let settings = Settings {
            system,
            ..Settings::default()
        };
        let terminal = hold::Session::new("test", true);
        Self {
            app: App::new(Catalog::default(), settings, terminal, 7),
            asked: Vec::new(),
        }
    }

    /// In a sum of this name, in its first field.
    fn at(name: &str) -> Self {
        Self::with(name, None)
    }

    fn with(name: &str, system: Option<System>) -> Self {
        let mut desk = Self::board(system).keys("↓⏎").keys(name);
        for _ in 0..50 {
            match &desk.app.screen {
                Screen::Reckon(reckon) if reckon.focused().is_some_and(|s| s.name == name) => {
                    return desk.keys("⏎");
                }
                _ => desk = desk.keys("↓"),
            }
        }
        panic!("no sum {name} in the list");
    }

    fn input(&mut self, input: Pressed) {
        let stamped = Stamped::new(input, self.app.clock);
        let effects = self.app.take(&stamped);
        self.asked.extend(effects);
    }

    fn keys(mut self, keys: &str) -> Self {
        for c in keys.chars() {
            let key = match c {
                '⏎' => Key::Enter,
                '⎋' => Key::Esc,
                '↓' => Key::Down,
                '↑' => Key::Up,
                '→' => Key::Right,
                '←' => Key::Left,
                '⇥' => Key::Tab,
                '⌫' => Key::Backspace,
                '⇟' => Key::PageDown,
                '⇞' => Key::PageUp,
                c => Key::Char(c),
            };
            self.input(Pressed::Key {
                key,
                modifiers: Modifiers::NONE,
                phase: Press::Down,
            });
        }
        self
    }

    fn paste(mut self, text: &str) -> Self {
        self.input(Pressed::Paste(text.to_owned()));
        self
    }

    fn resize(mut self, cols: u16, rows: u16) -> Self {
        self.input(Pressed::Resize { cols, rows });
        self
    }

    fn sum(&self) -> &Calculation {
        match &self.app.screen {
            Screen::Reckon(reckon) => reckon.calculation().expect("an open sum"),
            other => panic!("not at the calculators: {other:?}"),
        }
    }

    fn typed(&self, at: usize) -> &str {
        self.sum().fields[at].text()
    }

    fn waits(&self) -> &str {
        match self.sum().answer() {
            Answer::Waits(why) => why,
            Answer::Found(found) => panic!("it gives {found:?}"),
        }
    }

    /// The first result in SI.
    fn found(&self) -> f64 {
        match self.sum().answer() {
            Answer::Found(found) => found.value(0).expect("a value").value().si(),
            Answer::Waits(why) => panic!("nothing yet: {why}"),
        }
    }

    fn in_list(&self) -> bool {
        matches!(&self.app.screen, Screen::Reckon(r) if r.calculation().is_none())
    }

    fn hints(&self) -> String {
        let hints = key_line(&self.app);
        let hints: Vec<String> = hints
            .iter()
            .map(|h| format!("{} {}", h.key, h.does))
            .collect();
        hints.join("  ")
    }
}

#[test]
fn the_result_follows_each_key() {
    let desk = Desk::at("swapped_difference").keys("1.35 bar↓1.20 bar↓1.25 bar↓");
    assert!(
        desk.waits().contains("right on gauge A"),
        "{}",
        desk.waits()
    );
    let desk = desk.keys("1.3");
    // (0.15 + (1.25 − 1.3)) / 2 bar
    assert!((desk.found() - 5_000.0).abs() < 1e-6, "{}", desk.found());
    let desk = desk.keys("5");
    assert!((desk.found() - 2_500.0).abs() < 1e-6, "{}", desk.found());
}

#[test]
fn a_bare_number_takes_the_unit_that_is_shown_and_no_other() {
    let metric = Desk::with("difference", Some(System::Metric)).keys("1 bar↓");
    assert_eq!(metric.sum().shown_unit(1), Some(Unit::Bar));
    assert!((metric.keys("0.5").found() - 50_000.0).abs() < 1e-6);
    let us = Desk::with("difference", Some(System::Us)).keys("20 psi↓");
    assert_eq!(us.sum().shown_unit(1), Some(Unit::Psi));
    let found = us.keys("10").found();
    assert!((found - 68_947.57).abs() < 0.01, "{found}");
}

#[test]
fn a_misread_line_keeps_what_was_typed_and_holds_the_result_back() {
    let desk = Desk::at("mean").keys("191 mm↓188 mm");
    assert!((desk.found() - 0.1895).abs() < 1e-9);
    let desk = desk.keys("↑x");
    assert_eq!(desk.typed(0), "191 mmx");
    assert!(matches!(desk.sum().entered(0), Entered::Misread(why) if why.contains("mmx")));
    assert_eq!(desk.waits(), "First reading is not understood yet.");
    assert!((desk.keys("⌫").found() - 0.1895).abs() < 1e-9);
}

#[test]
fn a_misread_of_any_kind_does_not_ask_for_one_kind() {
    let desk = Desk::at("mean").keys("191 zz");
    let Entered::Misread(why) = desk.sum().entered(0) else {
        panic!("it was read");
    };
    assert!(!why.contains("gauge pressure"), "{why}");
    assert!(why.contains("any kind"), "{why}");
}

#[test]
fn nothing_is_lost_by_moving_about_by_sizes_or_by_going_back_to_the_list() {
    let desk = Desk::at("swapped_difference")
        .keys("1.35 bar⏎1..2⇥⇥1.3")
        .resize(40, 12)
        .resize(20, 5)
        .keys("x")
        .resize(120, 40)
        .keys("⇟⇞↑↑↓");
    let all = |desk: &Desk| {
        let typed: Vec<String> = (0..4).map(|at| desk.typed(at).to_owned()).collect();
        typed
    };
    let typed = ["1.35 bar", "1..2", "", "1.3"];
    assert_eq!(all(&desk), typed);
    // To the results, where Esc clears nothing, to the list, and in again.
    let desk = desk.keys("⇞↑⎋");
    assert!(desk.in_list());
    assert_eq!(all(&desk.keys("⏎")), typed);
}

#[test]
fn escape_clears_the_line_then_backs_out_level_by_level() {
    let desk = Desk::at("mean").keys("191⎋");
    assert_eq!(desk.typed(0), "");
    let desk = desk.keys("⎋");
    assert!(desk.in_list());
    // The filter is a line too.
    let desk = desk.keys("⎋");
    assert!(desk.in_list());
    let desk = desk.keys("⎋");
    assert!(matches!(desk.app.screen, Screen::Board(_)));
    assert_eq!(desk.asked, [Effect::ListJobs]);
}

#[test]
fn an_error_names_the_input_by_its_title_and_not_the_sum() {
    let desk = Desk::at("series_drop");
    assert!(
        desk.waits().starts_with("This sum needs watched reading"),
        "{}",
        desk.waits()
    );
    let desk = desk.keys("0 min: 1.30 bar");
    let said = desk.waits();
    assert!(said.contains("2 points of watched reading"), "{said}");
    let desk = desk.keys("; 10 min: 1.28 bar");
    assert!((desk.found() - 2_000.0).abs() < 1e-6);
}

#[test]
fn an_input_that_is_like_another_names_it() {
    let desk = Desk::at("swapped_difference").keys("1.35 bar");
    assert_eq!(
        desk.waits(),
        "This sum needs right on gauge B: the same kind as left on gauge A."
    );
}

#[test]
fn the_example_goes_in_at_once_only_where_nothing_is_typed() {
    let desk = Desk::at("mean").keys("↑e");
    assert_eq!(desk.typed(0), "191 mm");
    assert!((desk.found() - 0.1895).abs() < 1e-9);
    let desk = desk.keys("↓⎋5 mm↑e");
    assert_eq!(desk.typed(0), "5 mm", "once is not enough");
    assert!(
        desk.sum()
            .message
            .as_ref()
            .is_some_and(|m| m.contains("once more"))
    );
    let desk = desk.keys("↓↑e");
    assert_eq!(desk.typed(0), "5 mm", "another key came between");
    let desk = desk.keys("e");
    assert_eq!(desk.typed(0), "191 mm");
}

#[test]
fn clearing_all_is_asked_for_twice() {
    let desk = Desk::at("mean").keys("↑ec");
    assert_eq!(desk.typed(1), "188 mm");
    let desk = desk.keys("c");
    assert!(desk.sum().fields.iter().all(Field::is_empty));
    assert_eq!(desk.sum().focus, 0);
}

#[test]
fn a_check_by_trials_stands_until_an_input_changes() {
    let exact = Desk::at("mean").keys("↑em");
    assert!(exact.sum().trials().is_none());
    assert!(
        exact
            .sum()
            .message
            .as_ref()
            .is_some_and(|m| m.contains("Nothing to test"))
    );
    assert!(!exact.hints().contains("m test"), "{}", exact.hints());

    let desk = Desk::at("mean").keys("191 mm +- 1 mm↓188 mm step 1 mm↓");
    assert!(desk.hints().contains("m test"), "{}", desk.hints());
    let desk = desk.keys("m");
    let Some(Ok(trials)) = desk.sum().trials() else {
        panic!("no trials: {:?}", desk.sum().trials());
    };
    assert_eq!(trials.made, DRAWS);
    // u of the first is 1/√3, of the second 1/√12 (JCGM 100:2008 4.3.7, F.2.2.1).
    let u = (f64::hypot(1.0 / 3f64.sqrt(), 1.0 / 12f64.sqrt()) / 2.0) * 1e-3;
    assert!((trials.results[0].deviation.si() / u - 1.0).abs() < 0.02);
    let again = trials.clone();
    let desk = desk.keys("↑↓");
    assert!(
        desk.sum().trials().is_some(),
        "moving about changes nothing"
    );
    let desk = desk.keys("↑⌫⌫3 mm");
    assert!(desk.sum().trials().is_none(), "an input has changed");
    let same = Desk::at("mean").keys("191 mm +- 1 mm↓188 mm step 1 mm↓m");
    assert_eq!(same.sum().trials(), Some(&Ok(again)), "the seed is fixed");
}

#[test]
fn letters_of_the_results_are_typed_where_a_field_is_in_focus() {
    let desk = Desk::at("mean").keys("mecq");
    assert_eq!(desk.typed(0), "mecq");
    assert!(desk.asked.is_empty());
    let desk = desk.keys("↑q");
    assert!(matches!(desk.app.screen, Screen::Board(_)));
}

#[test]
fn help_opens_over_a_line_and_closes_onto_it() {
    let desk = Desk::at("mean").keys("191?");
    assert!(matches!(&desk.app.screen, Screen::Reckon(r) if r.help == Some(0)));
    let desk = desk.keys("x↓⎋ mm");
    assert_eq!(desk.typed(0), "191 mm");
}

#[test]
fn a_paste_of_several_lines_becomes_several_values() {
    let desk = Desk::at("series_drop").paste("0 min: 1.30 bar\r\n10 min: 1.28 bar\n");
    assert_eq!(desk.typed(0), "0 min: 1.30 bar; 10 min: 1.28 bar");
    assert!((desk.found() - 2_000.0).abs() < 1e-6);
}

#[test]
fn what_is_typed_is_echoed_in_two_units_with_its_uncertainty() {
    let desk = Desk::at("difference").keys("19 psi");
    let echo = desk.sum().echo(0).unwrap();
    assert_eq!(echo, "that is 1.31 bar = 19 psi, a gauge pressure");
    let desk = desk.keys("⎋1.305 bar +- 0.1 bar");
    let echo = desk.sum().echo(0).unwrap();
    assert_eq!(
        echo,
        "that is 1.305 bar = 130.5 kPa (U 0.12 bar, k 2), a gauge pressure"
    );
}

#[test]
fn every_sum_can_be_filled_in_with_its_example_and_says_what_it_takes() {
    for sum in crate::calc::REGISTRY {
        let desk = Desk::at(sum.name).keys("↑e");
        let open = desk.sum();
        assert!(
            matches!(open.answer(), Answer::Found(_)),
            "{}: {:?}",
            sum.name,
            open.answer()
        );
        for (at, input) in sum.inputs.iter().enumerate() {
            assert!(!open.takes(at).is_empty(), "{} {}", sum.name, input.key);
            let typed = sum.example.iter().any(|(key, _)| *key == input.key);
            assert_eq!(open.echo(at).is_some(), typed, "{} {}", sum.name, input.key);
        }
    }
}

#[test]
fn changing_the_units_changes_no_value_that_was_typed() {
    let desk = Desk::with("difference", Some(System::Metric)).keys("1 bar↓0.5↓");
    let before = desk.found();
    assert!(desk.hints().contains("u US units"), "{}", desk.hints());
    let desk = desk.keys("u");
    assert_eq!(desk.sum().system(), System::Us);
    assert_eq!(desk.typed(1), "0.5");
    assert!((desk.found() - before).abs() < 1e-9);
    assert_eq!(desk.sum().shown_unit(1), Some(Unit::Bar), "kept");
    assert!(desk.hints().contains("u metric"), "{}", desk.hints());
    // Emptied, the field takes the new unit.
    let desk = desk.keys("↑⎋5");
    assert_eq!(desk.sum().shown_unit(1), Some(Unit::Psi));
    let found = desk.found();
    assert!((found - (1e5 - 5.0 * 6_894.757)).abs() < 0.1, "{found}");
}

#[test]
fn a_value_out_of_its_bounds_is_told_before_the_rest_is_filled_in() {
    let bounded = crate::calc::REGISTRY.iter().find_map(|sum| {
        let at = sum.inputs.iter().position(|input| {
            matches!(input.takes, Takes::Is(Kind::Length))
                && input.least.is_some_and(|si| si >= 0.0)
        })?;
        (sum.inputs.len() > 1).then_some((*sum, at))
    });
    let (sum, at) = bounded.expect("a sum with a bounded length");
    let mut open = Calculation::new(sum, System::Metric);
    open.focus = at;
    open.edit(&Edit::PutText("-1 mm".to_owned()));
    let why = open.outside(at).expect("it is outside");
    assert!(why.contains(sum.inputs[at].title), "{why}");
    assert_eq!(open.answer(), &Answer::Waits(why));
}

#[test]
fn what_escape_emptied_is_brought_back() {
    let desk = Desk::at("series_drop").keys("0 min: 1.30 bar⎋");
    assert_eq!(desk.typed(0), "");
    assert_eq!(desk.keys("←").typed(0), "0 min: 1.30 bar");
}

#[test]
fn an_echo_rounds_nothing_away_that_a_decimal_can_say() {
    let desk = Desk::with("difference", Some(System::Metric)).keys("7 1/2 in");
    let echo = desk.sum().echo(0).unwrap();
    assert!(echo.contains("190.5 mm"), "{echo}");
}

/// Inputs that are words.
mod worded {
    use super::*;

    const WORDS: &[&str] = &["left_side", "lower", "right_side"];

    #[test]
    fn a_word_is_known_by_its_first_letters_where_no_other_begins_so() {
        assert_eq!(wording::word("lo", WORDS), Ok("lower"));
        assert_eq!(wording::word("Left side", WORDS), Ok("left_side"));
        assert_eq!(wording::word("r", WORDS), Ok("right_side"));
        assert_eq!(
            wording::word("l", WORDS),
            Err("\"l\" may be left side or lower. Type on, or pick with ← →.".to_owned())
        );
        assert_eq!(
            wording::word("up", WORDS),
            Err("\"up\" is none of left side, lower and right side.".to_owned())
        );
    }

    #[test]
    fn words_that_may_be_meant_are_picked_with_the_arrows_in_every_sum() {
        for sum in crate::calc::REGISTRY {
            for (at, input) in sum.inputs.iter().enumerate() {
                let Takes::Word(words) = input.takes else {
                    continue;
                };
                let mut open = Calculation::new(sum, System::Metric);
                open.focus = at;
                for word in words {
                    open.pick(1);
                    let given = Entered::Given(Given::Word((*word).to_owned()));
                    assert_eq!(open.entered(at), &given, "{} {}", sum.name, input.key);
                }
                open.pick(1);
                open.pick(-1);
                let last = words.last().map(|w| (*w).to_owned());
                let given = last.map(|word| Entered::Given(Given::Word(word)));
                assert_eq!(Some(open.entered(at)), given.as_ref(), "{}", sum.name);
            }
        }
    }
}

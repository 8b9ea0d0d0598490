//! Findings: how they are drawn, and near names.

use super::*;
use proptest::prelude::*;

fn placed() -> Placed {
    Placed {
        finding: Finding::error(
            Code::new("unknown-field"),
            Subject::step("raise"),
            "a step has no field \"limts\"",
        )
        .help_near("limts", ["limits", "title", "ticks"]),
        place: Some(Place {
            file: "demo.json".to_owned(),
            line: 7,
            column: 3,
            span: (120, 127),
            text: "  \"limts\": [".to_owned(),
            mark: (2, 9),
        }),
        used_at: None,
    }
}

#[test]
fn draws_the_line_underlined_with_the_near_name() {
    insta::assert_snapshot!(placed().text(false), @r#"
    error[unknown-field]: a step has no field "limts"
     --> demo.json:7:3
      |
    7 |   "limts": [
      |   ^^^^^^^
      |
      = help: did you mean "limits"?
    "#);
}

#[test]
fn colour_comes_only_when_wanted() {
    assert!(!placed().text(false).contains('\u{1b}'));
    assert!(placed().text(true).contains('\u{1b}'));
}

#[test]
fn a_swap_of_neighbours_is_one_slip() {
    assert_eq!(near("tilte", ["title", "tool"]), Some("title"));
    assert_eq!(near("At-Most", ["at_most", "at_least"]), Some("at_most"));
    assert_eq!(near("zebra", ["title", "tool"]), None);
}

#[test]
fn names_the_whole_list_when_nothing_is_near() {
    assert_eq!(
        near_help("zebra", ["job", "step"]),
        ["accepted here: job, step"]
    );
}

proptest! {
    #[test]
    fn nothing_drawn_steers_a_terminal(sentence in any::<String>(), help in any::<String>(), path in any::<String>(), file in any::<String>()) {
        let mut placed = placed();
        placed.finding.sentence = sentence;
        placed.finding.help = vec![help];
        placed.finding.path = vec![path];
        if let Some(place) = &mut placed.place { place.file = file; }
        let text = placed.text(false);
        prop_assert!(text.chars().all(|c| c == '\n' || !is_steering(c)), "{text:?}");
    }

    #[test]
    fn a_near_name_is_always_a_candidate(name in ".{0,12}", others in proptest::collection::vec(".{0,12}", 0..6)) {
        if let Some(found) = near(&name, others.iter().map(String::as_str)) {
            prop_assert!(others.iter().any(|o| o == found));
        }
    }
}

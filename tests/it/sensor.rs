//! The sensor job as it is met: what its screens show on a small terminal, and what
//! it leaves to be done after every way that was rehearsed.
//!
//! It must not know the proof: the runs alone are looked at.

use std::collections::BTreeSet;

use levelhand::cli::shipped::{Shelf, all};
use levelhand::job::{Event, Mode};
use levelhand::procedure::{Body, StepKind};
use levelhand::rehearsal::{Played, Rehearsal, Walk, play};

use crate::screens::person::{Bench, rehearsal, setup};

/// Steps at which something of the linkage comes loose.
const LOOSENED: [&str; 4] = ["change", "lever", "rod", "bracket"];

fn played(script: &Rehearsal) -> Played {
    let base = script.like.as_deref().map(rehearsal);
    play(&setup(script, Mode::Practice), script, base.as_ref()).unwrap_or_else(|d| panic!("{d}"))
}

fn entered(run: &Played) -> impl Iterator<Item = &str> {
    run.entries.iter().flat_map(|(_, _, events)| {
        events.iter().filter_map(|event| match event {
            Event::Entered { step, .. } => Some(step.as_str()),
            _ => None,
        })
    })
}

/// Every word in order, without edges and numbers of lines.
fn words(text: &str) -> String {
    let shown: Vec<&str> = text.split_whitespace().filter(|w| *w != "▌").collect();
    shown.join(" ")
}

#[test]
fn at_80_by_24_no_step_of_a_straight_run_hides_what_is_to_be_done() {
    let mut seen = BTreeSet::new();
    for id in ["sl_normal_bw_07", "sl_normal_sr_214", "sl_normal_bw_19"] {
        let script = rehearsal(id);
        let procedure = setup(&script, Mode::Practice).procedure;
        for name in entered(&played(&script)) {
            let step = procedure.steps.iter().find(|s| s.id.as_str() == name);
            let step = step.expect("a step of the procedure");
            let by_sheet = matches!(&step.body, Body::Look { by_sheet, .. } if by_sheet.is_some());
            if by_sheet || step.kind() == StepKind::End || !seen.insert(name.to_owned()) {
                continue;
            }
            let shown = Bench::at(id, name).grid(80, 24);
            let line = words(&shown);
            for told in step.instructions.iter().filter(|t| !t.contains('{')) {
                assert!(
                    line.contains(&words(told)),
                    "{name} hides {told:?}:\n{shown}"
                );
            }
            for tick in &step.ticks {
                let moved_later = shown.contains("Move it now");
                assert!(
                    moved_later || line.contains(&words(&tick.text)) || tick.text.contains('{'),
                    "{name} hides {:?}:\n{shown}",
                    tick.text
                );
            }
        }
    }
    assert!(seen.len() > 60, "{} steps were looked at", seen.len());
}

#[test]
fn whatever_was_loosened_ends_with_the_reset_owed_and_only_what_was_not_with_the_old_value() {
    let (mut owed, mut proved) = (0, 0);
    for document in all().filter(|d| d.shelf == Shelf::Rehearsal && d.id.starts_with("sl_")) {
        let run = played(&rehearsal(document.id));
        let loosened = entered(&run).any(|step| LOOSENED.contains(&step));
        let read_again = run
            .ways
            .iter()
            .any(|way| matches!(way, Walk::Outcome(step, "pass") if step.as_str() == "counts"));
        let reset = run
            .state
            .duties
            .keys()
            .any(|d| d.as_str() == "height_to_reset");
        if loosened {
            assert!(reset, "{} leaves the reset open", document.id);
        }
        if read_again {
            assert!(!loosened && !reset, "{} lifts the reset", document.id);
        }
        owed += usize::from(loosened);
        proved += usize::from(read_again);
    }
    assert!(owed > 30, "{owed} runs left the reset to be done");
    assert!(proved > 0, "some run reads the old value again");
}

#[test]
fn whoever_is_at_the_sensor_has_the_brake_on_and_the_supply_locked() {
    let mut seen = 0;
    for document in all().filter(|d| d.shelf == Shelf::Rehearsal && d.id.starts_with("sl_")) {
        let run = played(&rehearsal(document.id));
        let (mut braked, mut locked) = (false, false);
        for step in entered(&run) {
            match step {
                "brake1__let_go" | "brake2__let_go" => braked = false,
                "hold__air" | "hold_again__air" => braked = true,
                "hold__key" | "hold_again__key" => locked = true,
                "supply_open" => locked = false,
                "measure" | "look" => {
                    seen += 1;
                    assert!(braked, "{}: brake off at {step}", document.id);
                    assert!(locked, "{}: air on at {step}", document.id);
                }
                _ => {}
            }
        }
    }
    assert!(seen > 60, "{seen} visits at the sensor were looked at");
}

#[test]
fn levelling_is_never_switched_on_after_something_was_loosened() {
    let mut on = 0;
    for document in all().filter(|d| d.shelf == Shelf::Rehearsal && d.id.starts_with("sl_")) {
        let run = played(&rehearsal(document.id));
        let mut loose = false;
        for step in entered(&run) {
            loose |= LOOSENED.contains(&step);
            if step == "level_on__move" {
                on += 1;
                assert!(!loose, "{} switches levelling on", document.id);
            }
        }
    }
    assert!(on > 0, "some run switches levelling on");
}

//! What is said of large graphs and of each act.

use super::need::gated;
use super::{closed, path};
use crate::sketch::{Does, Sketch, act, hazard, id, procedure, reading, step};
use levelhand::procedure::Act;
use levelhand::proof::prove;

#[test]
fn sums_up_what_protects_each_act() {
    let mut made = gated(false, "");
    made.hazards.insert(id("noise"), hazard("noise", ""));
    let lower: &mut Act = made.acts.get_mut(&id("move")).unwrap();
    lower.hazards.insert(id("noise"));
    made.acts.insert(id("watch"), act("watch", "", "", "", ""));
    made.steps[1].acts.insert(id("watch"));
    assert_eq!(
        prove(&made).summary(),
        "5 steps, 1 condition, no duties, no readings and workings.\n\
         Proved on every way and from every stop: what is needed holds, what is used has a value,\n\
         nothing is owed at a complete end, every cycle is counted.\n\
         \n\
         move (move): 1 step\n\
         \x20 lower (lower)\n\
         \x20   protected by: clear\n\
         \x20   words only for: noise\n\
         \n\
         watch (watch): 1 step\n\
         \x20 lower (lower)\n\
         \x20   nothing is asked for: no needs and no hazards\n"
    );
}

#[test]
fn sums_up_steps_of_one_act_by_what_protects_them() {
    let mut made = gated(true, "");
    // A second gate before a second movement, a third one that is never reached.
    made.steps[0] = step("gate", "pass:again").makes("clear");
    made.steps[1] = step("again", "pass:lower").makes("clear").acts("move");
    made.steps.push(step("lost", "pass:done").acts("move"));
    let summary = prove(&made).summary();
    assert!(summary.contains("Not proved"));
    let (_, acts) = summary.split_once("\n\n").unwrap();
    assert_eq!(
        acts,
        "move (move): 3 steps\n\
         \x20 again (again)\n\
         \x20 lower (lower)\n\
         \x20   protected by: clear\n\
         \x20 lost (lost)\n\
         \x20   never reached: no way leads to it\n"
    );
    let unproved = prove(&gated(true, "")).summary();
    assert!(unproved.contains("    NOT PROTECTED BY: clear\n"));
}

#[test]
fn bears_many_steps_that_each_bring_a_name_of_their_own() {
    const STEPS: usize = 20_000;
    let mut main = procedure("ask");
    for n in 0..STEPS {
        let (name, value) = (format!("s{n}"), format!("v{n}"));
        main.readings.insert(id(&value), reading(&value));
        let next = if n + 1 < STEPS {
            format!("s{}", n + 1)
        } else {
            "done".to_owned()
        };
        let ways = format!("pass:{next} fail:{name}");
        main = main.then(step(&name, &ways).reads(&value));
    }
    let made = closed(main);
    let proof = prove(&made);
    // Each step may fail on the spot without a count.
    assert_eq!(proof.findings.len(), STEPS);
    let long = &proof.findings[0].path;
    assert_eq!(long.len(), 2);
    let last = proof.facts.at(&id(&format!("s{}", STEPS - 1))).unwrap();
    assert_eq!(last.known.len(), STEPS - 1);
}

#[test]
fn shows_a_long_way_without_its_middle_and_a_hundred_ways_at_most() {
    const STEPS: usize = 300;
    let mut main = procedure("ask");
    for n in 0..STEPS {
        let value = format!("v{n}");
        main.readings.insert(id(&value), reading(&value));
        let next = if n + 1 < STEPS {
            format!("s{}", n + 1)
        } else {
            "done".to_owned()
        };
        let ways = format!("pass:{next} fail:done");
        main = main.then(step(&format!("s{n}"), &ways).judges(&value));
    }
    let proof = prove(&closed(main));
    let errors = proof.findings.iter().filter(|f| f.is_error());
    assert_eq!(errors.count(), STEPS);
    let shown = proof.findings.iter().filter(|f| !f.path.is_empty());
    assert_eq!(shown.count(), 100);
    let longest = proof.findings.iter().max_by_key(|f| f.path.len());
    let longest = path(longest.unwrap());
    assert_eq!(longest.len(), 60);
    assert_eq!(longest[8], "s8");
    // The way has as many steps as its end has a number, and one.
    let end: usize = longest[59][1..].parse().unwrap();
    assert_eq!(longest[9], format!("({} steps more)", end + 1 - 59));
}

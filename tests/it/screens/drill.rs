//! Drills as they are seen: the course, the step beside the truck, the truck with the
//! keys, alarms, the stop card over a drill, the debrief after it.
//!
//! The truck is where a shipped script leaves it; from there on keys are pressed.

use levelhand::app::{DrillRow, OpenedJob};
use levelhand::cli::shipped::{Shelf, all};
use levelhand::drill::{Drill, Kept, Script, play_to};
use levelhand::input::{Key, Press};
use levelhand::job::{At, Command, Person, Setup, State, decide, evolve};
use levelhand::procedure::StepId;
use levelhand::rig::{Coaching, Plan};

use super::person::Bench;
use crate::drill::{ground, plan, script, setup_of};

screens! {
    in "told":
    course_while_read: Bench::course("A. Mercer", None, Vec::new());
    course_with_drills: Bench::course("A. Mercer", Some(rows()), Vec::new());
    course_with_one_passed: Bench::course("A. Mercer", Some(rows()), passed()).keys("↓↓");
    course_without_a_name: Bench::course("", Some(rows()), Vec::new()).keys("⏎⏎");
    drill_as_opened: opened(plan("clear_coached"));
    drill_coached_at_a_reading: brought("tyres_left");
    drill_at_a_wheel: brought("mudguards").ctrl('t').keys("3");
    drill_raising: brought("up__move").ctrl('t').rest(1_300).held('u', 1_200);
    drill_places: brought("mudguards").ctrl('t').keys("2g↓");
    drill_naming_a_fault: brought("mudguards").ctrl('t').keys("n↓↓");
    drill_fault_noted: brought("mudguards").ctrl('t').keys("n↓↓⏎");
    drill_refused_at_the_truck: brought("mudguards").ctrl('t').keys("2↓↓↓⏎");
    drill_alarm: alarmed(Coaching::Hints);
    drill_alarm_alone: alarmed(Coaching::Alone);
    drill_stop_card: opened(plan("clear_coached")).keys("⎋").rest(1_200);
    drill_leaving: opened(plan("clear_coached")).keys("q");
    drill_debrief: debriefed();
}

fn debriefed() -> Bench {
    let bench = alarmed(Coaching::Hints).rest(2_000);
    bench.keys("⎋qy")
}

/// Raised with the brake on and no chocks, which nobody should.
fn alarmed(coaching: Coaching) -> Bench {
    let plan = Plan {
        coaching,
        ..plan("clear_coached")
    };
    opened(plan).ctrl('t').rest(1_300).held('u', 900).rest(600)
}

/// The rows of the course, out of the shipped drills.
pub(super) fn rows() -> Vec<DrillRow> {
    let shipped = all().filter(|d| d.shelf == Shelf::Drill);
    let mut plans: Vec<Plan> = shipped.map(|d| plan(d.id)).collect();
    plans.sort_by_key(|plan| plan.number);
    let row = |plan: &Plan| DrillRow {
        id: plan.id.clone(),
        title: plan.title.clone(),
        number: plan.number,
        coaching: plan.coaching.words().to_owned(),
        aim: plan.aim.clone(),
        after: plan.after.clone(),
    };
    plans.iter().map(row).collect()
}

/// A drill that A. Mercer passed before.
fn passed() -> Vec<Kept> {
    vec![Kept {
        day: "2026-11-27".to_owned(),
        drill: rows()[0].id.clone(),
        by: "A. Mercer".to_owned(),
        passed: true,
        found: 0,
        faults: 0,
        dangers: 0,
        warnings: 0,
        notices: 1,
        ms: 1_260_000,
    }]
}

/// A practice job of this setup, just opened.
fn begun(setup: &Setup) -> (State, At) {
    let at = At {
        wall_ms: 1_772_438_400_000,
        offset_min: 0,
        mono_ms: 100_000,
        session: 1,
    };
    let roles = setup.procedure.roles.keys();
    let with = |r: &_| Some(setup.instruments.for_role(r)?.id.clone());
    let command = Command::Open {
        by: Person::new("A. Mercer").expect("a name"),
        with: Vec::new(),
        why: "drill".to_owned(),
        roles: roles.filter_map(|r| Some((r.clone(), with(r)?))).collect(),
        system: setup.sheet.system,
        earlier: None,
    };
    let mut state = State::default();
    for event in decide(setup, &state, &command, at).expect("it opens") {
        evolve(&mut state, &event);
    }
    state.last = Some(at);
    (state, at)
}

fn job(setup: Setup, state: State) -> OpenedJob {
    OpenedJob {
        id: "20261124-7F3K9QXM".to_owned(),
        setup: setup.into(),
        session: state.session,
        state,
        notices: Vec::new(),
        read_only: None,
    }
}

/// A drill of this plan on a bench, as it is opened.
pub(super) fn opened_on(bench: Bench, plan: Plan) -> Bench {
    let setup = setup_of(&plan);
    let (state, _) = begun(&setup);
    let drill = Drill::new(ground(plan, None, 7, "A. Mercer"));
    bench.drilled(job(setup, state), drill)
}

/// The same on a terminal of which nothing is known.
pub(super) fn opened(plan: Plan) -> Bench {
    opened_on(Bench::board(Vec::new()), plan)
}

/// The coached drill where the lead hand left off: done well up to this step.
pub(super) fn brought(step: &str) -> Bench {
    let plan = plan("clear_coached");
    let setup = setup_of(&plan);
    let (mut state, at) = begun(&setup);
    let own = script("careful_bw_07", &setup);
    let step = StepId::new(step).expect("a step id");
    let script = Script {
        own: &own,
        base: None,
    };
    let ground = ground(plan, None, 7, "A. Mercer");
    let done = play_to(&setup, ground, script, (&state, at), &step);
    let (drill, played) = done.unwrap_or_else(|difference| panic!("{difference}"));
    for (at, _, events) in &played.entries {
        for event in events {
            evolve(&mut state, event);
        }
        state.last = Some(*at);
    }
    Bench::board(Vec::new()).drilled(job(setup, state), drill)
}

#[test]
fn every_page_of_a_drill_says_practice() {
    let pages = [
        opened(plan("clear_coached")),
        opened(plan("clear_coached")).ctrl('t').keys("2"),
        opened(plan("clear_coached")).keys("?"),
        opened(plan("clear_coached")).keys("?w"),
        opened(plan("clear_coached")).keys("q"),
        opened(plan("clear_coached")).keys("⎋"),
        debriefed(),
        Bench::course("A. Mercer", Some(rows()), Vec::new()),
    ];
    for (n, bench) in pages.iter().enumerate() {
        for (cols, rows) in [(40, 12), (80, 24), (120, 40)] {
            let shown = bench.grid(cols, rows);
            assert!(shown.contains("PRACTICE"), "page {n}:\n{shown}");
        }
    }
}

#[test]
fn the_course_opens_the_drill_in_focus_for_the_person_named_and_only_once() {
    let bench = Bench::course("A. Mercer", Some(rows()), Vec::new());
    let asked = |bench: &Bench| {
        let drills = bench.asked().iter().filter_map(|effect| match effect {
            levelhand::app::Effect::Drill(new) => Some((new.drill.clone(), new.by.clone())),
            _ => None,
        });
        drills.collect::<Vec<_>>()
    };
    let bench = bench.keys("↓⏎⏎");
    let second = rows()[1].id.clone();
    assert_eq!(asked(&bench), [(second, "A. Mercer".to_owned())]);
}

#[test]
fn without_a_name_no_drill_is_opened_and_the_course_says_so() {
    let bench = Bench::course("", Some(rows()), Vec::new()).keys("⏎⏎");
    let opens = |e: &levelhand::app::Effect| matches!(e, levelhand::app::Effect::Drill(_));
    assert!(!bench.asked().iter().any(opens));
    assert!(bench.course_says().is_some());
}

/// What the coach says now.
fn coach(bench: &Bench) -> String {
    bench.coached().unwrap_or_default()
}

#[test]
fn the_coach_says_each_deed_of_the_careful_run_until_it_is_done() {
    let bench = brought("chocks");
    assert!(
        coach(&bench).starts_with("Ctrl-T, then 8 front axle: chock both wheels"),
        "{}",
        coach(&bench)
    );
    let bench = bench.ctrl('t').keys("8");
    assert!(
        coach(&bench).starts_with("choose with"),
        "{}",
        coach(&bench)
    );
    // The drive wheels, which this step asks for too, are looked at after the deeds.
    let bench = bench.keys("↓⏎");
    assert_eq!(coach(&bench), "go and look: 2 left drive wheel.");
    let bench = bench.keys("2");
    assert!(
        coach(&bench).starts_with("that is all at the truck"),
        "{}",
        coach(&bench)
    );
}

#[test]
fn the_coach_never_asks_for_a_valve_where_the_truck_is_rolled() {
    let said = coach(&brought("roll"));
    assert!(said.contains("6 cab: roll a truck length") || said.contains("behind the line"));
    assert!(
        !said.contains("hold u") && !said.contains("hold d"),
        "{said}"
    );
    let said = coach(&brought("up__move"));
    assert!(said.contains("hold u to 215 mm on the scale"), "{said}");
}

#[test]
fn what_comes_later_ends_what_came_before_it_although_the_truck_has_moved_on() {
    // Raised above ride height, then called back: nobody is sent up again meanwhile.
    let bench = brought("above__move").ctrl('t').keys("1");
    let said = coach(&bench);
    assert!(said.starts_with("hold u to 230 mm"), "{said}");
    let bench = bench.keys("5↑⏎").rest(3_000);
    assert!(bench.practise().drill.bay.height() < 0.229);
    let said = coach(&bench);
    assert!(said.starts_with("wait 1 min"), "{said}");
}

#[test]
fn a_raise_to_the_stop_is_not_over_while_it_is_held() {
    let bench = brought("rul_upper__move").ctrl('t').keys("4").rest(1_300);
    let stop = "hold u until it rises no more, then let go at once.";
    assert_eq!(coach(&bench), stop);
    let bench = bench.held('u', 900);
    assert!(bench.practise().drill.bay.held.is_some());
    assert_eq!(coach(&bench), stop);
    let bench = bench.rest(1_000);
    assert_eq!(bench.practise().drill.bay.held, None);
    assert_ne!(coach(&bench), stop);
}

#[test]
fn after_a_deed_nothing_is_in_focus_so_that_a_second_enter_does_nothing() {
    let bench = brought("chocks").ctrl('t').keys("8↓⏎⏎⏎");
    assert!(bench.practise().drill.bay.front_chocks);
    let said = bench.practise().message.clone().unwrap_or_default();
    assert!(said.contains("Choose with"), "{said}");
}

#[test]
fn nothing_is_mended_from_afar() {
    let bench = brought("mudguards").ctrl('t').keys("1m⏎");
    let said = bench.practise().message.clone().unwrap_or_default();
    assert!(said.contains("Go there and look first"), "{said}");
    assert!(bench.practise().drill.misnamed.is_empty());
}

#[test]
fn while_the_truck_moves_its_part_over_the_last_frame_is_the_whole_frame() {
    for size in [(40, 12), (80, 24), (100, 30), (120, 40)] {
        let mut bench = brought("up__move").ctrl('t').rest(1_300).held('u', 600);
        let (mut alone, mut moved) = (0, 0);
        for n in 0..90 {
            let (around, earlier) = bench.frame(size);
            // Held on, then let go: the valve shuts, the frame settles.
            if n < 45 {
                bench = bench.moves(Key::Char('u'), Press::Down);
            }
            bench = bench.rest(33);
            let (now, whole) = bench.frame(size);
            if around.is_none() || now != around {
                continue;
            }
            alone += 1;
            moved += u32::from(earlier != whole);
            assert_eq!(bench.over(earlier), whole, "{size:?}, picture {n}");
        }
        assert!(alone > 80 && moved > 2, "{size:?}: {alone}, {moved}");
    }
}

#[test]
fn the_step_with_the_keys_and_what_lies_over_it_are_never_left_out_of_a_frame() {
    let at_step = brought("up__move");
    assert_eq!(at_step.frame((120, 40)).0, None);
    let at_truck = brought("up__move").ctrl('t');
    assert!(at_truck.frame((120, 40)).0.is_some());
    let leaving = at_truck.keys("⎋q");
    assert_eq!(leaving.frame((120, 40)).0, None);
    let stopped = opened(plan("clear_coached")).keys("⎋").rest(1_200);
    assert_eq!(stopped.frame((120, 40)).0, None);
}

impl Bench {
    /// A key held on a terminal that tells repeats only: half a second, then thirty a
    /// second.
    pub(super) fn held(self, letter: char, ms: u64) -> Self {
        let key = Key::Char(letter);
        let mut bench = self.moves(key, Press::Down).rest(500);
        for _ in 0..ms.saturating_sub(500) / 33 {
            bench = bench.moves(key, Press::Down).rest(33);
        }
        bench
    }
}

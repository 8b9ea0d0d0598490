//! Drills from scripts: each shipped script plays as it expects; together they find every
//! fault, miss every fault, and do every unsafe act; and a truck in the hands of someone
//! who does anything at all stays a truck.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use levelhand::cli::shipped::{Shelf, all};
use levelhand::document;
use levelhand::drill::{
    Act, Debrief, Drill, Ground, Mark, Script, choose_faults, debrief, deeds_by_step, kept, marks,
    page, play, read_kept, unexpected,
};
use levelhand::job::{Mode, Setup, State};
use levelhand::rehearsal::DrillScript;
use levelhand::rig::{Bay, By, Chosen, Fault, Hand, Level, Plan, Reach, Side, Spot, Truck, Way};
use proptest::prelude::*;

use crate::program::{run, text};

fn bytes(shelf: Shelf, id: &str) -> Option<&'static [u8]> {
    all()
        .find(|d| d.shelf == shelf && d.id == id)
        .map(|d| d.bytes)
}

fn ids(shelf: Shelf) -> Vec<&'static str> {
    all().filter(|d| d.shelf == shelf).map(|d| d.id).collect()
}

fn truck(id: &str) -> Truck {
    let find = |id: &str| bytes(Shelf::Truck, id).map(<[u8]>::to_vec);
    let text = bytes(Shelf::Truck, id).expect("a shipped truck");
    document::truck(id, text, &find, None)
        .value
        .expect("a sound truck")
}

pub(crate) fn plan(id: &str) -> Plan {
    let text = bytes(Shelf::Drill, id).expect("a shipped drill");
    document::drill(id, text, None)
        .value
        .expect("a sound drill")
}

fn faults() -> Vec<Arc<Fault>> {
    let read = |id: &&str| {
        let text = bytes(Shelf::Fault, id).expect("a shipped fault");
        Arc::new(
            document::fault(id, text, None)
                .value
                .expect("a sound fault"),
        )
    };
    ids(Shelf::Fault).iter().map(read).collect()
}

pub(crate) fn setup_of(plan: &Plan) -> Setup {
    let text = |shelf, id: &str| bytes(shelf, id).expect("a shipped document");
    let procedure = document::procedure("p", text(Shelf::Procedure, &plan.procedure));
    let sheet = document::sheet("s", text(Shelf::Sheet, &plan.sheet));
    let instruments = document::instruments("i", text(Shelf::Instruments, &plan.instruments));
    Setup {
        procedure: Arc::new(procedure.value.expect("a sound procedure")),
        sheet: Arc::new(sheet.value.expect("a sound sheet")),
        instruments: Arc::new(instruments.value.expect("sound instruments")),
        mode: Mode::Practice,
    }
}

pub(crate) fn script(id: &str, setup: &Setup) -> DrillScript {
    let text = bytes(Shelf::DrillScript, id).expect("a shipped script");
    let read = document::drill_script(id, text, Some(&setup.procedure), None);
    read.value.expect("a sound script")
}

pub(crate) fn ground(plan: Plan, chosen: Option<Vec<String>>, seed: u64, by: &str) -> Ground {
    let mut plan = plan;
    if let Some(names) = chosen {
        plan.faults = Chosen::Named(names);
    }
    let known = faults();
    let coach = plan.coach.as_deref().map_or_else(BTreeMap::new, |id| {
        let setup = setup_of(&plan);
        deeds_by_step(&script(id, &setup), None)
    });
    Ground {
        coach,
        truck: Arc::new(truck(&plan.truck)),
        faults: choose_faults(&plan, &known, seed).expect("known faults"),
        known,
        seed,
        by: by.to_owned(),
        plan: Arc::new(plan),
    }
}

/// Plays a shipped script.
fn played(id: &str) -> (DrillScript, Debrief) {
    let text = bytes(Shelf::DrillScript, id).expect("a shipped script");
    let drill = document::drill_script(id, text, None, None).value;
    let plan = plan(&drill.expect("a sound script").drill);
    let setup = setup_of(&plan);
    let own = script(id, &setup);
    let base = own.like.as_ref().map(|like| script(like, &setup));
    let ground = ground(plan, own.faults.clone(), own.seed, &own.by);
    let done = play(
        &setup,
        ground,
        Script {
            own: &own,
            base: base.as_ref(),
        },
    );
    match done {
        Ok((debrief, _, _)) => (own, debrief),
        Err(difference) => panic!("{difference}"),
    }
}

#[test]
fn every_shipped_script_plays_as_it_expects_and_together_they_do_everything() {
    let mut found = BTreeSet::new();
    let mut missed = BTreeSet::new();
    let mut acts = BTreeSet::new();
    let mut wrong = Vec::new();
    let names = ids(Shelf::DrillScript);
    assert!(!names.is_empty());
    for id in names {
        let (script, debrief) = played(id);
        for what in unexpected(&debrief, &script.expect) {
            wrong.push(format!("{id}: {what}"));
        }
        for fault in &debrief.faults {
            let list = match fault.found_ms {
                Some(_) => &mut found,
                None => &mut missed,
            };
            list.insert(fault.id.clone());
        }
        acts.extend(debrief.unsafe_acts.iter().map(|c| c.act));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for fault in faults() {
        assert!(found.contains(&fault.id), "nobody finds {}", fault.id);
        assert!(missed.contains(&fault.id), "nobody misses {}", fault.id);
    }
    let never: Vec<&str> = Act::ALL
        .iter()
        .filter(|act| !acts.contains(act))
        .map(|act| act.key())
        .collect();
    assert!(never.is_empty(), "nobody does {never:?}");
}

#[test]
fn guessing_fault_after_fault_passes_no_drill() {
    let plan = plan("clear_coached");
    let setup = setup_of(&plan);
    let mark = |guesses: &[Hand]| {
        let mut drill = Drill::new(ground(plan.clone(), None, 1, "A. Mercer"));
        for hand in guesses {
            let _refused = drill.act(&setup, hand);
        }
        let told = debrief(&drill, &setup, &State::default());
        let row = marks(&told).into_iter().find(|r| r.title == "Not there");
        row.expect("a row for what is not there").mark
    };
    let name = |fault: &str| Hand::Name(fault.to_owned());
    let mend = |fault: &str| Hand::Mend(fault.to_owned());
    assert_eq!(mark(&[]), Mark::Good);
    assert_eq!(mark(&[name("bracket_bent")]), Mark::Noted);
    let bounced = [
        name("bracket_bent"),
        name("bracket_bent"),
        name("bracket_bent"),
    ];
    assert_eq!(mark(&bounced), Mark::Noted);
    let three = [
        name("bracket_bent"),
        mend("short_block_left"),
        name("reservoir_low"),
    ];
    assert_eq!(mark(&three), Mark::Fail);
}

#[test]
fn a_truck_whose_sensor_slipped_comes_in_where_its_levelling_held_it() {
    let plan = plan("clear_coached");
    let named = Some(vec!["lever_slipped".to_owned()]);
    let slipped = Drill::new(ground(plan.clone(), named, 1, "A. Mercer"));
    let sound = Drill::new(ground(plan, None, 1, "A. Mercer"));
    let counts = |drill: &Drill| drill.bay.readout().counts;
    assert!((counts(&slipped) - counts(&sound)).abs() < 1.0);
    // 84 counts at about 2.7 a millimetre (the model, its faults).
    let higher = (slipped.bay.height() - sound.bay.height()) * 1e3;
    assert!((29.0..33.0).contains(&higher), "{higher}");
    let mut left_alone = slipped.clone();
    let setup = setup_of(&left_alone.ground.plan.clone());
    left_alone.pass(&setup, 60_000);
    let moved = (left_alone.bay.height() - slipped.bay.height()) * 1e3;
    assert!(moved.abs() < 0.5, "{moved}");
}

#[test]
fn the_same_script_gives_the_same_debrief_bit_for_bit() {
    let once = played("careful_bw_07").1;
    assert_eq!(once, played("careful_bw_07").1);
}

#[test]
fn a_debrief_is_kept_and_read_back_for_later_ones() {
    let (_, debrief) = played("careful_bw_07");
    let text = kept(&debrief, "2026-11-28", "20261128-7F3K9QXM");
    assert!(text.contains("\"PRACTICE\""));
    let read = read_kept(&text).expect("a debrief");
    assert_eq!(read.drill, debrief.drill);
    assert_eq!(read.passed, debrief.passed());
    assert_eq!(
        read_kept("{\"format\": \"levelhand drill debrief 2\"}"),
        None
    );
}

#[test]
fn the_debrief_of_the_whole_job_reads_so() {
    let (_, debrief) = played("careful_bw_07");
    let lines = page(&debrief, &[], 100).join("\n");
    insta::with_settings!({ snapshot_path => "../told", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("debrief_of_the_whole_job", lines);
    });
}

#[test]
fn a_script_by_its_file_prints_a_debrief_and_ends_as_it_expects() {
    let out = run(&[
        "practise",
        "--script",
        "procedures/scripts/careful_bw_07.json",
    ]);
    let said = text(&out.stdout);
    assert_eq!(out.status.code(), Some(0), "{}", text(&out.stderr));
    assert!(said.starts_with("PRACTICE."), "{said}");
    assert!(said.contains("WHAT IS LEFT ON THE TRUCK"), "{said}");
    let out = run(&["practise", "--script", "careful_bw_07", "--json"]);
    let data: serde_json::Value = serde_json::from_slice(&out.stdout).expect("one object");
    assert_eq!(data["mode"], "PRACTICE");
    assert!(
        data["trace"]["rows"]
            .as_array()
            .is_some_and(|rows| rows.len() > 1000)
    );
}

#[test]
fn what_can_t_be_practised_is_said() {
    let out = run(&["practise", "--script", "nowhere"]);
    assert_eq!(out.status.code(), Some(2));
    let said = text(&out.stderr);
    assert!(
        said.contains("no script of a drill named nowhere"),
        "{said}"
    );
    let out = run(&["practise", "clear_coached", "--by", "Ann", "--draw", "0"]);
    assert_eq!(out.status.code(), Some(2));
    let twice = ["--fault", "rod_joint_worn", "--fault", "rod_joint_worn"];
    let out = run(&[
        &["practise", "clear_coached", "--by", "Ann"],
        twice.as_slice(),
    ]
    .concat());
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("given twice"));
    let out = run(&[
        "practise",
        "clear_coached",
        "--by",
        "Ann",
        "--fault",
        "left_bellow_leaks",
    ]);
    assert_eq!(out.status.code(), Some(2));
    let said = text(&out.stderr);
    assert!(said.contains("left_bellows_leaks"), "{said}");
    let out = run(&["practise", "clear_coached"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("--by NAME"));
}

#[test]
fn the_list_names_every_drill_and_fault() {
    let said = text(&run(&["practise", "--list"]).stdout);
    for id in ids(Shelf::Drill).into_iter().chain(ids(Shelf::Fault)) {
        assert!(said.contains(id), "{id} is not listed");
    }
}

/// Anything that a person can do.
fn any_hand() -> impl Strategy<Value = Hand> {
    let side = prop_oneof![Just(Side::Left), Just(Side::Right)];
    let reach = prop_oneof![
        3 => Just(Reach::Both),
        1 => side.clone().prop_map(Reach::One),
    ];
    let way = prop_oneof![Just(Way::Up), Just(Way::Down)];
    let by = prop_oneof![Just(By::Hand), Just(By::Handle)];
    prop_oneof![
        6 => (way, reach).prop_map(|(way, reach)| Hand::Open(way, reach)),
        4 => Just(Hand::LetGo),
        2 => any::<bool>().prop_map(Hand::ShopAir),
        1 => any::<bool>().prop_map(Hand::Charger),
        2 => any::<bool>().prop_map(Hand::Brake),
        1 => any::<bool>().prop_map(Hand::FrontChocks),
        1 => any::<bool>().prop_map(Hand::DriveChock),
        2 => any::<bool>().prop_map(Hand::Mudguards),
        4 => (side.clone(), any::<bool>(), by).prop_map(|(s, into, by)| Hand::Block(s, into, by)),
        1 => side.clone().prop_map(Hand::Square),
        1 => side.clone().prop_map(Hand::Wipe),
        3 => (side.clone(), any::<bool>()).prop_map(|(s, into)| Hand::Stand(s, into)),
        1 => side.prop_map(Hand::Clear),
        1 => any::<bool>().prop_map(Hand::Gauges),
        1 => Just(Hand::SwapGauges),
        1 => Just(Hand::WalkRound),
        2 => any::<bool>().prop_map(Hand::Levelling),
        1 => any::<bool>().prop_map(Hand::SettingMode),
        1 => prop_oneof![Just(Level::Ride), Just(Level::Upper), Just(Level::Lower)].prop_map(Hand::Store),
        1 => Just(Hand::Write),
        1 => Just(Hand::Press),
        1 => any::<bool>().prop_map(Hand::Key),
        1 => Just(Hand::Ride),
        1 => Just(Hand::Roll),
        1 => (0_usize..9).prop_map(|n| Hand::Look(Spot::ALL[n])),
        1 => Just(Hand::Mend("left_bellows_leaks".to_owned())),
    ]
}

fn cases() -> u32 {
    std::env::var("LEVELHAND_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(12)
}

/// One of the trucks, with one of the faults or none.
fn bay_of(which: usize) -> Bay {
    let known = faults();
    let trucks = ids(Shelf::Truck);
    let fault = known.get(which % (known.len() + 1)).cloned();
    let truck = truck(trucks[which % trucks.len()]);
    Bay::new(
        Arc::new(truck),
        fault.into_iter().collect(),
        Some(which as u64),
    )
}

fn is_sound(bay: &Bay) -> Result<(), TestCaseError> {
    let seen = bay.readout();
    let figures = [
        seen.height.as_slice(),
        &seen.floor,
        &seen.true_bar,
        &seen.gauge,
        &seen.temperature,
        &[seen.counts, seen.reservoir_bar],
    ];
    for figure in figures.into_iter().flatten() {
        prop_assert!(figure.is_finite());
    }
    for height in seen.height {
        prop_assert!((0.03..0.40).contains(&height), "height {height}");
    }
    for bar in seen.true_bar {
        prop_assert!((-0.9..12.0).contains(&bar), "{bar} bar");
    }
    prop_assert!((0.0..=1023.0).contains(&seen.counts));
    prop_assert!(
        bay.rig.ledger_error().abs() < 1e-10,
        "{}",
        bay.rig.ledger_error()
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_done_the_truck_stays_a_truck_and_refusals_change_nothing(
        which in 0_usize..200,
        deeds in prop::collection::vec((any_hand(), 20_u64..4_000), 1..60),
    ) {
        let mut bay = bay_of(which);
        let mut again = bay.clone();
        for (hand, ms) in &deeds {
            let before = bay.clone();
            if bay.act(hand).is_err() {
                prop_assert_eq!(&bay, &before, "{} was refused and changed something", hand);
            }
            bay.pass(*ms);
            is_sound(&bay)?;
        }
        for (hand, ms) in &deeds {
            let _done = again.act(hand);
            again.pass(*ms);
        }
        prop_assert_eq!(bay, again);
    }
}

#[test]
fn a_new_drill_stands_as_the_sheet_s_story_says() {
    let drill = Drill::new(ground(plan("clear_coached"), None, 0, "A. Player"));
    let seen = drill.bay.readout();
    for height in seen.height {
        assert!((height * 1000.0 - 205.0).abs() < 0.1, "{height}");
    }
    assert_eq!(seen.counts.round() as i64, 553);
    assert!(
        (seen.true_bar[0] - 1.31).abs() < 0.005,
        "{}",
        seen.true_bar[0]
    );
}

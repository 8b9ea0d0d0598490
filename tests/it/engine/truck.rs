//! The shipped main procedure under a mechanic who answers at random and sometimes
//! lies, watched by a pretend truck.
//!
//! The oracle is the table in [`demands`] and the table in [`spoils`], written here
//! by hand from what the acts do to people (common practice); it reads neither the
//! needs nor the clears of the document, only which act a step does and what an
//! answer said. A fact is *said* when a step that asks for it passes or when it is
//! said again; it is unsaid by an act that spoils it, by stop work and by a resume.
//! The test fails when a movement is begun, or its *seen* is taken, unsaid.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::sync::Arc;

use levelhand::document;
use levelhand::job::{Answer, Command, Entry, Event, Mode, Offer, Refusal, Setup, Way};
use levelhand::procedure::{ChoiceId, Outcome, Step, StepId, ValueId};
use levelhand::quantity::{System, read};
use levelhand::rehearsal::Rehearsal;

use super::bench::{Bench, opening, person};
use super::walk::{cases, fitting};
use crate::twin::random::Chance;

#[expect(clippy::disallowed_methods, reason = "tests read files")]
fn shipped(path: &str) -> Vec<u8> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures");
    fs::read(root.join(path)).expect("a shipped document")
}

/// What must have been said last before the frame or the truck moves, by act.
fn demands(act: &str) -> &'static [&'static str] {
    match act {
        "move_frame" => &[
            "nobody_underneath",
            "hands_clear",
            "wheels_chocked",
            "stands_out",
        ],
        "lower_onto_blocks" => &[
            "nobody_underneath",
            "hands_clear",
            "wheels_chocked",
            "stands_out",
            "blocks_in",
            "blocks_seated",
        ],
        "lower_to_rest" | "raise_to_stop" | "self_level" => &[
            "nobody_underneath",
            "hands_clear",
            "wheels_chocked",
            "stands_out",
            "blocks_out",
        ],
        "drive" => &["stands_out", "blocks_out", "chocks_away", "way_clear"],
        "roll_truck" => &["way_clear"],
        "release_brake" => &["nobody_underneath", "hands_clear", "wheels_chocked"],
        "go_under" => &["frame_on_blocks", "key_with_person"],
        _ => &[],
    }
}

/// What is no longer so once the act is begun.
fn spoils(act: &str) -> &'static [&'static str] {
    match act {
        "set_stands" => &["nobody_underneath", "hands_clear", "stands_out"],
        "take_stands" => &["nobody_underneath", "hands_clear", "stands_in"],
        "hands_in_gap" | "blocks_by_handle" => &[
            "nobody_underneath",
            "hands_clear",
            "blocks_in",
            "blocks_out",
            "blocks_seated",
        ],
        "read_at_wheels" | "go_under" | "gauge_line" => &["nobody_underneath", "hands_clear"],
        "chock" => &["nobody_underneath", "hands_clear", "chocks_away"],
        "take_chocks" => &["nobody_underneath", "hands_clear", "wheels_chocked"],
        "move_frame" | "raise_to_stop" | "lower_to_rest" | "self_level" | "lower_onto_blocks" => {
            &["frame_on_blocks"]
        }
        _ => &[],
    }
}

/// The pretend truck, as far as anyone has said how it is.
#[derive(Default)]
struct Truck {
    said: BTreeSet<String>,
    /// The gate's call was answered straight before.
    called: bool,
    movements: usize,
}

impl Truck {
    fn follow(&mut self, at: &str, setup: &Setup, event: &Event) {
        match event {
            Event::Entered { step, .. } => {
                let step = setup.procedure.step(step).expect("a step");
                for act in &step.acts {
                    self.check(at, step, act.as_str());
                    for fact in spoils(act.as_str()) {
                        self.said.remove(*fact);
                    }
                }
            }
            Event::Left {
                step,
                way,
                established,
                ..
            } => {
                let step = setup.procedure.step(step).expect("a step");
                let passed = *way == Way::Outcome(Outcome::Pass);
                for act in step.acts.iter().filter(|_| passed) {
                    let spoilt: BTreeSet<&str> = spoils(act.as_str()).iter().copied().collect();
                    self.check_but(at, step, act.as_str(), &spoilt);
                }
                self.called = passed && step.ticks.iter().any(|t| t.id.as_str() == "answers");
                if passed || matches!(way, Way::Choice(_)) {
                    self.said
                        .extend(established.iter().map(ToString::to_string));
                    // Both blocks were seen on their seats: so they are in.
                    if self.said.contains("blocks_seated") {
                        self.said.insert("blocks_in".to_owned());
                    }
                }
            }
            Event::Resumed { .. } | Event::StopTaken { .. } => {
                self.said.clear();
                self.called = false;
            }
            Event::Attested { condition, .. } => {
                self.said.insert(condition.to_string());
                self.called |= condition.as_str() == "clear_to_move";
            }
            _ => {}
        }
    }

    fn check(&mut self, at: &str, step: &Step, act: &str) {
        self.check_but(at, step, act, &BTreeSet::new());
        if demands(act).contains(&"nobody_underneath") {
            self.movements += 1;
            assert!(self.called, "{at}: {} without a call answered", step.id);
        }
    }

    fn check_but(&self, at: &str, step: &Step, act: &str, spoilt: &BTreeSet<&str>) {
        for fact in demands(act).iter().filter(|f| !spoilt.contains(**f)) {
            assert!(
                self.said.contains(*fact),
                "{at}: {act} in {} is let through, but {fact} was not said last; said: {:?}",
                step.id,
                self.said
            );
        }
    }
}

/// What a normal run reads and chooses, by step.
struct Habit {
    reads: BTreeMap<(StepId, ValueId), String>,
    any: BTreeMap<ValueId, String>,
    chooses: BTreeMap<StepId, ChoiceId>,
}

impl Habit {
    fn of(rehearsal: &Rehearsal) -> Self {
        let mut habit = Self {
            reads: BTreeMap::new(),
            any: BTreeMap::new(),
            chooses: BTreeMap::new(),
        };
        for made in &rehearsal.moves {
            for (value, typed) in &made.read {
                habit
                    .reads
                    .insert((made.at.clone(), value.clone()), typed.clone());
                habit.any.insert(value.clone(), typed.clone());
            }
            for point in &made.series {
                habit.any.extend(point.read.iter().cloned());
            }
            if let Some(choice) = &made.choose {
                habit.chooses.insert(made.at.clone(), choice.clone());
            }
        }
        habit
    }

    fn entry(&self, setup: &Setup, step: Option<&StepId>, value: &ValueId) -> Option<Entry> {
        let key = step.map(|s| (s.clone(), value.clone()));
        let typed = key
            .and_then(|k| self.reads.get(&k))
            .or(self.any.get(value))?;
        let reading = setup.procedure.readings.get(value)?;
        let shown = match (reading.shown, setup.sheet.system) {
            (Some((metric, _)), System::Metric) => metric,
            (Some((_, us)), System::Us) => us,
            (None, system) => reading.kind.shown(system),
        };
        let understood = read(typed, reading.kind, shown).ok()?;
        Some(Entry {
            typed: typed.clone(),
            value: understood.quantity,
            again: true,
        })
    }
}

/// Mostly what a good run does here; sometimes a no, another choice, a wrong value.
fn answered(chance: &mut Chance, bench: &Bench, habit: &Habit, offer: &Offer) -> Option<Command> {
    let step = bench.state.step();
    let entry = |value: &ValueId| habit.entry(&bench.setup, step, value);
    Some(match offer {
        Offer::Tick { tick, .. } => Command::Tick {
            tick: tick.clone(),
            answer: if chance.percent(98) {
                Answer::Yes("seen".to_owned())
            } else {
                Answer::No
            },
        },
        Offer::Read { reading, .. } => Command::Read {
            reading: reading.clone(),
            entry: entry(reading)?,
        },
        Offer::Witness(reading) => Command::Witness {
            reading: reading.clone(),
            by: person("Bob"),
            entry: entry(reading)?,
        },
        Offer::Watch { condition, reading } => Command::Watch {
            condition: condition.clone(),
            reading: reading.clone(),
            entry: entry(reading)?,
        },
        Offer::Choose(_) => {
            let usual = step.and_then(|s| habit.chooses.get(s));
            match usual.filter(|_| chance.percent(92)) {
                Some(choice) if bench.offers().contains(&Offer::Choose(choice.clone())) => {
                    Command::Choose {
                        choice: choice.clone(),
                    }
                }
                _ => fitting(chance, offer),
            }
        }
        Offer::Attest(condition) => {
            let ask = bench.setup.procedure.conditions[condition].ask.as_ref();
            let reading = ask.and_then(|a| a.reading.as_ref());
            Command::Attest {
                condition: condition.clone(),
                entry: reading.and_then(entry),
            }
        }
        other => fitting(chance, other),
    })
}

fn chosen(chance: &mut Chance, offers: Vec<Offer>) -> Offer {
    let open: Vec<Offer> = offers
        .iter()
        .filter(|o| {
            !matches!(
                o,
                Offer::Tick { answered: true, .. }
                    | Offer::Read { accepted: true, .. }
                    | Offer::CallStop
                    | Offer::Repeat(_)
                    | Offer::LeaveRepeat
            )
        })
        .cloned()
        .collect();
    let from = if open.is_empty() || chance.below(250) == 0 {
        offers
    } else {
        open
    };
    from[chance.below(from.len())].clone()
}

fn run(seed: u64, setup: &Setup, habit: &Habit, truck: &mut Truck) -> Bench {
    let mut chance = Chance::new(seed ^ 0x7ac);
    let mut bench = Bench::closed(setup.clone());
    let command = opening(&bench.setup);
    bench.does(command);
    for _ in 0..900 {
        if bench.state.ended.is_some() {
            break;
        }
        let command = if chance.below(150) == 0 {
            bench.at.session += 1;
            bench.at.mono_ms = 0;
            Command::Resume { by: person("Ann") }
        } else {
            let offer = chosen(&mut chance, bench.offers());
            match answered(&mut chance, &bench, habit, &offer) {
                Some(command) => command,
                None => Command::CallStop,
            }
        };
        if bench.state.current().begun.is_some() || chance.percent(5) {
            bench.pass_ms(20_000);
        }
        let at = format!("seed {seed} at {}: {command:?}", bench.step());
        match bench.try_it(command) {
            Ok(events) => {
                for event in &events {
                    truck.follow(&at, setup, event);
                }
            }
            Err(no @ (Refusal::Needs { .. } | Refusal::Unread { .. })) => panic!("{at}: {no}"),
            Err(_) => {}
        }
    }
    bench
}

#[test]
fn no_movement_is_let_through_against_the_last_answers() {
    let procedure = document::procedure("main", &shipped("ride_height.json"));
    let instruments = document::instruments("bench", &shipped("instruments/demo_bench.json"));
    let (mut movements, mut ended, mut walks) = (0, BTreeMap::new(), 0);
    let mut met: BTreeSet<StepId> = BTreeSet::new();
    for sheet in ["bw_07", "bw_11", "bw_14"] {
        let values = document::sheet(sheet, &shipped(&format!("sheets/{sheet}.json")));
        let setup = Setup {
            procedure: Arc::new(procedure.value.clone().expect("a procedure")),
            sheet: Arc::new(values.value.expect("a sheet")),
            instruments: Arc::new(instruments.value.clone().expect("instruments")),
            mode: Mode::Practice,
        };
        let normal = shipped(&format!("rehearsals/rh_normal_{sheet}.json"));
        let normal = document::rehearsal(sheet, &normal);
        let habit = Habit::of(&normal.value.expect("a rehearsal"));
        for seed in 0..cases(120) {
            let mut truck = Truck::default();
            let bench = run(seed, &setup, &habit, &mut truck);
            movements += truck.movements;
            walks += 1;
            met.extend(bench.state.trail.iter().cloned());
            let end = bench.state.ended.as_ref().map(|e| e.kind);
            *ended.entry(end).or_insert(0) += 1;
        }
    }
    let all = procedure.value.expect("a procedure").steps.len();
    println!(
        "{walks} walks, {movements} movements, {ended:?}, {} of {all} steps",
        met.len()
    );
    assert!(movements > walks, "hardly anything moved");
}

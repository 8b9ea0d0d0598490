//! Random walks over random graphs that the proof accepts, judged event by event by
//! the naive twin: it says what holds, what is owed, what has a value and how often
//! a step ended badly; it shares no code with the engine or the proof.
//!
//! One thing is laxer than the twin: readings accepted before stop work is taken
//! keep their values, where the twin knows only what was there on entry.

use std::collections::{BTreeMap, BTreeSet};

use levelhand::finding::Subject as Owner;
use levelhand::job::{Answer, Command, Event, Offer, Place, Refusal, State, Way, evolve};
use levelhand::procedure::{
    Body, BoundSpec, Confirm, EndKind, Grade, Lasts, Outcome, Procedure, Series, Side, Signal,
    Step, Subject, ValueId, WorkInput,
};
use levelhand::proof::prove;

use super::bench::{Bench, entry, long_hold, mm, opening, person, seconds, setup, tick};
use super::offered;
use crate::sketch::{Does, Sketch, end, id, look, procedure, step};
use crate::twin::random::{Chance, graph};
use crate::twin::{Counts, Leaving, Spot, enter, entry_gaps, leave, standing_gaps, start, step_at};

pub(super) fn cases(few: u64) -> u64 {
    #[expect(
        clippy::disallowed_methods,
        reason = "tests are told here how long to run"
    )]
    let cases = std::env::var("LEVELHAND_CASES");
    cases.ok().and_then(|text| text.parse().ok()).unwrap_or(few)
}

/// Findings that an engine must never meet.
const DEADLY: [&str; 7] = [
    "need-not-held",
    "protection-not-held",
    "duty-owed-at-complete",
    "value-missing",
    "as-found-missing",
    "as-left-missing",
    "age-without-condition",
];

/// Confirms, ticks, lasting and watches, which random graphs lack.
#[expect(clippy::too_many_lines, reason = "one enrichment after the other")]
fn enrich(chance: &mut Chance, made: &mut Procedure) {
    let first: ValueId = id("v0");
    for condition in made.conditions.values_mut() {
        if condition.lasts == Lasts::Job {
            condition.lasts = match chance.below(4) {
                0 => Lasts::Resume,
                1 => Lasts::For(4_000),
                _ => Lasts::Job,
            };
            if chance.percent(20) {
                condition.series = Some(Series {
                    readings: vec![first.clone()],
                    every_ms: 3_000,
                    points: 3,
                    late_after_ms: 500,
                });
            }
        }
    }
    for reading in made.readings.values_mut() {
        reading.witness = chance.percent(15);
    }
    for working in made.workings.values_mut() {
        working.inputs = working.inputs.iter().take(2).cloned().collect();
        for input in &mut working.inputs {
            if let WorkInput::Series(of) = input {
                *input = WorkInput::Value(of.clone());
            }
        }
        while working.inputs.len() < 2 {
            working.inputs.push(WorkInput::Literal(mm(60.0)));
        }
        working.slots = vec![0, 1];
    }
    for step in &mut made.steps {
        for limit in &mut step.limits {
            limit.grade = if chance.percent(40) {
                Grade::Advice
            } else {
                Grade::Interlock
            };
            if let Subject::Age(_) = limit.subject {
                limit.bound = BoundSpec::AgeAtLeast(Side::Literal(seconds(2.0)));
            }
        }
        let Body::Ordinary { confirm, ways, .. } = &mut step.body else {
            continue;
        };
        if !ways.contains_key(&Outcome::Fail) {
            step.limits.clear();
        } else if step.limits.is_empty() || chance.percent(40) {
            step.ticks.push(tick("t0"));
        }
        if chance.percent(20) {
            step.ticks.push(tick("t1"));
        }
        *confirm = match chance.below(3) {
            0 => Confirm::Enter,
            1 => Confirm::None,
            _ => Confirm::Hold {
                signal: Signal::Danger,
                for_ms: 2_000,
            },
        };
        if ways.contains_key(&Outcome::Lapsed) {
            *confirm = if chance.percent(50) {
                Confirm::Pulse {
                    within: Side::Literal(seconds(1.0)),
                    presses: 2,
                }
            } else {
                Confirm::Wait {
                    at_least: Side::Literal(seconds(1.0)),
                    at_most: Some(Side::Literal(seconds(3.0))),
                }
            };
        }
    }
}

/// Takes away what the proof finds, a few rounds long.
fn mended(mut made: Procedure) -> Option<Procedure> {
    for _ in 0..12 {
        let proof = prove(&made);
        let mut found = Vec::new();
        for finding in &proof.findings {
            let Some(code) = DEADLY.iter().find(|c| **c == finding.code.as_str()) else {
                continue;
            };
            let Owner::Step(step) = finding.subject.owner() else {
                continue;
            };
            let name = finding.sentence.split_once('(');
            let name = name.and_then(|(_, rest)| rest.split_once(')'));
            found.push((*code, step, name.map_or("", |n| n.0).to_owned()));
        }
        if found.is_empty() {
            return Some(made);
        }
        for (code, step, name) in found {
            mend(&mut made, code, &step, &name);
        }
    }
    None
}

fn mend(made: &mut Procedure, code: &str, at: &str, name: &str) {
    let hazards: BTreeSet<_> = made
        .steps
        .iter()
        .filter(|s| s.id.as_str() == at)
        .flat_map(|s| made.hazards_of(s))
        .collect();
    let Some(step) = made.steps.iter_mut().find(|s| s.id.as_str() == at) else {
        return;
    };
    match code {
        "need-not-held" => {
            if !step.needs.remove(&id(name)) {
                made.safe.remove(&id(name));
            }
        }
        "protection-not-held" => {
            for act in &step.acts {
                let act = made.acts.get_mut(act).expect("declared");
                act.needs.remove(&id(name));
            }
            for hazard in &hazards {
                let hazard = made.hazards.get_mut(hazard).expect("declared");
                hazard.needs.remove(&id(name));
            }
        }
        "duty-owed-at-complete" => step.body = Body::End(EndKind::HandedOver),
        "value-missing" => {
            let value: ValueId = id(name);
            step.limits.retain(|l| match &l.subject {
                Subject::Value(a) => *a != value,
                Subject::Difference(a, b) => *a != value && *b != value,
                Subject::Age(_) => true,
            });
            let workings = &made.workings;
            step.works.retain(|w| {
                let mut inputs = workings[w].inputs.iter();
                !inputs.any(|i| matches!(i, WorkInput::Value(v) if *v == value))
            });
        }
        "age-without-condition" => step
            .limits
            .retain(|l| !matches!(&l.subject, Subject::Age(c) if c.as_str() == name)),
        _ => {
            let reading = made.readings.get_mut(&id::<ValueId>(name));
            if let Some(reading) = reading {
                (reading.of, reading.when) = (None, None);
            }
        }
    }
}

/// What the twin says the job is.
struct Shadow {
    arrived: Spot,
    entered: Spot,
}

impl Shadow {
    fn follow(&mut self, at: &str, procedure: &Procedure, event: &Event, before: &State) {
        match event {
            Event::Left { way, .. } => {
                let leaving = match way {
                    Way::Outcome(outcome) => Leaving::Outcome(*outcome),
                    Way::Choice(choice) => Leaving::Choice(choice.clone()),
                };
                let allowed = crate::twin::leavings(procedure, &self.entered, Counts::Real);
                assert!(allowed.contains(&leaving), "{at}: {leaving:?}");
                let next = leave(
                    procedure,
                    &self.arrived,
                    &self.entered,
                    &leaving,
                    Counts::Real,
                );
                self.arrived = next.clone();
                self.entered = next;
            }
            Event::StopTaken { .. } => self.stopped(procedure, before),
            Event::Entered { step, .. } => {
                if *step != self.arrived.step {
                    let met = step_at(procedure, &self.arrived.step);
                    assert_eq!(met.body, Body::End(EndKind::Complete), "{at}: {step}");
                    assert!(!before.repeats.is_empty(), "{at}: {step}");
                    self.arrived.step = step.clone();
                }
                assert_eq!(entry_gaps(procedure, &self.arrived), [].into(), "{at}");
                self.entered = enter(procedure, &self.arrived);
                assert_eq!(standing_gaps(procedure, &self.entered), [].into(), "{at}");
                let asked = procedure.entry_needs(step_at(procedure, step));
                let stale = asked.iter().find(|c| before.conditions[*c].stale);
                assert_eq!(stale, None, "{at}: entered with what must be asked again");
            }
            _ => {}
        }
    }

    fn stopped(&mut self, procedure: &Procedure, before: &State) {
        if let Place::Door { .. } = before.place {
            // Left, not yet entered: the step that was left says where stop leads.
            let last = before.trail.last().expect("a step was left");
            let phase = step_at(procedure, last).phase;
            self.arrived.holds.clear();
            self.arrived.step = procedure.phases[phase].stop.clone();
        } else {
            let leaving = Leaving::Stop;
            self.arrived = leave(
                procedure,
                &self.arrived,
                &self.entered,
                &leaving,
                Counts::Real,
            );
            self.arrived.known.extend(before.values.keys().cloned());
        }
        self.entered = self.arrived.clone();
    }

    fn agree(&self, at: &str, procedure: &Procedure, state: &State) {
        let holds: BTreeSet<_> = state.conditions.keys().cloned().collect();
        assert_eq!(holds, self.entered.holds, "{at}: what holds");
        let owed: BTreeSet<_> = state.duties.keys().cloned().collect();
        assert_eq!(owed, self.entered.owed, "{at}: what is owed");
        let known: BTreeSet<_> = state.values.keys().cloned().collect();
        let here = step_at(procedure, &self.entered.step);
        let own: BTreeSet<_> = here.readings.iter().chain(&here.works).cloned().collect();
        let missing = self.entered.known.difference(&known).next();
        assert_eq!(missing, None, "{at}: a value is gone");
        let mut extra = known.difference(&self.entered.known);
        let inside = matches!(state.place, Place::In(_));
        assert!(
            extra.all(|v| inside && own.contains(v)),
            "{at}: {known:?}, the twin {:?}",
            self.entered.known
        );
        for (step, bad) in &self.entered.bad {
            let count = state.counts.get(step).copied().unwrap_or(0);
            let most = match &step_at(procedure, step).body {
                Body::Ordinary { tries, .. } => tries.unwrap_or(0),
                Body::Look { .. } | Body::End(_) => 0,
            };
            assert_eq!(count.min(most), *bad, "{at}: bad ends of {step}");
        }
        for (choice, used) in &self.entered.used {
            let count = state.chosen.get(choice).copied().unwrap_or(0);
            assert_eq!(count, *used, "{at}: uses of {choice:?}");
        }
    }
}

/// Every value that the step at hand rests on, not made in it, is there.
fn check_values(at: &str, procedure: &Procedure, step: &Step, state: &State) {
    let own: BTreeSet<_> = step.readings.iter().chain(&step.works).cloned().collect();
    let mut used = BTreeSet::new();
    for limit in &step.limits {
        match &limit.subject {
            Subject::Value(a) => used.extend([a.clone()]),
            Subject::Difference(a, b) => used.extend([a.clone(), b.clone()]),
            Subject::Age(c) => assert!(state.conditions.contains_key(c), "{at}: the age of {c}"),
        }
    }
    for working in &step.works {
        for input in &procedure.workings[working].inputs {
            if let WorkInput::Value(v) = input {
                used.insert(v.clone());
            }
        }
    }
    for value in used.difference(&own) {
        assert!(
            state.values.contains_key(value),
            "{at}: {value} is not there"
        );
    }
}

/// Turns an offer into a command that fits.
pub(super) fn fitting(chance: &mut Chance, offer: &Offer) -> Command {
    let value = mm(if chance.percent(75) { 50.0 } else { 150.0 });
    match offer {
        Offer::Tick { tick, .. } => Command::Tick {
            tick: tick.clone(),
            answer: if chance.percent(80) {
                Answer::Yes("seen".to_owned())
            } else {
                Answer::No
            },
        },
        Offer::Read { reading, .. } => Command::Read {
            reading: reading.clone(),
            entry: entry(value),
        },
        Offer::Witness(reading) => Command::Witness {
            reading: reading.clone(),
            by: person("Bob"),
            entry: entry(value),
        },
        Offer::Watch { condition, reading } => Command::Watch {
            condition: condition.clone(),
            reading: reading.clone(),
            entry: entry(value),
        },
        Offer::Override(limit) => Command::Override {
            limit: *limit,
            reason: "known".to_owned(),
        },
        Offer::Begin => Command::Begin,
        Offer::Press => Command::Press,
        Offer::Confirm => Command::Confirm,
        Offer::Hold => long_hold(),
        Offer::GoOn(_) => Command::GoOn,
        Offer::Choose(choice) => Command::Choose {
            choice: choice.clone(),
        },
        Offer::Attest(condition) => Command::Attest {
            condition: condition.clone(),
            entry: None,
        },
        Offer::CallStop => Command::CallStop,
        Offer::CarryOn => Command::CarryOn,
        Offer::TakeStop => Command::TakeStop,
        Offer::Repeat(step) => Command::Repeat { step: step.clone() },
        Offer::LeaveRepeat => Command::LeaveRepeat,
        Offer::HandOver(duty) => Command::HandOver {
            duty: duty.clone(),
            to: person("Cy"),
        },
        Offer::HandOverRepeats => Command::HandOverRepeats { to: person("Cy") },
    }
}

/// Does one command and lets the twin judge what followed.
fn act(seed: u64, bench: &mut Bench, shadow: &mut Shadow, command: Command) -> bool {
    let before = bench.state.clone();
    let said = format!("seed {seed} at {}: {command:?}", bench.step());
    let events = match bench.try_it(command) {
        Ok(events) => events,
        Err(no @ (Refusal::Needs { .. } | Refusal::Unread { .. })) => panic!("{said}: {no}"),
        Err(_) => return false,
    };
    let procedure = bench.setup.procedure.clone();
    let mut state = before;
    for event in &events {
        shadow.follow(&said, &procedure, event, &state);
        evolve(&mut state, event);
        if !matches!(event, Event::StopTaken { .. } | Event::Opened { .. }) {
            shadow.agree(&format!("{said}, {event:?}"), &procedure, &state);
        }
    }
    if let Some(ended) = &bench.state.ended
        && ended.kind == EndKind::Complete
    {
        assert_eq!(bench.owes(), "", "{said}: a complete end with duties");
    }
    if let Place::In(step) = &bench.state.place {
        check_values(&said, &procedure, step_at(&procedure, step), &bench.state);
    }
    true
}

/// Weighs offers: answers often, stop work seldom, but at a door as often as the rest:
/// few walks come to one.
fn pick(chance: &mut Chance, place: &Place, offers: &[Offer]) -> Option<Offer> {
    let at_door = matches!(place, Place::Door { .. });
    let weight = |offer: &Offer| match offer {
        Offer::CallStop | Offer::TakeStop if at_door => 8,
        Offer::CallStop
        | Offer::TakeStop
        | Offer::LeaveRepeat
        | Offer::Tick { answered: true, .. }
        | Offer::Read { accepted: true, .. } => 1,
        _ => 8,
    };
    let whole: usize = offers.iter().map(weight).sum();
    let mut at = chance.below(whole);
    offers
        .iter()
        .find(|o| {
            let here = at < weight(o);
            at = at.saturating_sub(weight(o));
            here
        })
        .cloned()
}

/// What happened on the walks, and how often.
type Tally = BTreeMap<&'static str, usize>;

/// Counts what the walks are for.
fn note(tally: &mut Tally, command: &Command, before: &State, after: &State) {
    let mut count =
        |what: &'static str, is: bool| *tally.entry(what).or_default() += usize::from(is);
    let stale = |state: &State| state.conditions.values().filter(|c| c.stale).count();
    count("stop called", matches!(command, Command::CallStop));
    count("stop taken", matches!(command, Command::TakeStop));
    count("carried on", matches!(command, Command::CarryOn));
    count("resumed", matches!(command, Command::Resume { .. }));
    count("gone stale", stale(after) > stale(before));
    count("attested", matches!(command, Command::Attest { .. }));
    count("corrected", matches!(command, Command::Correct { .. }));
    count("to repeat", after.repeats.len() > before.repeats.len());
    count("repeated", matches!(command, Command::Repeat { .. }));
    let door = matches!(before.place, Place::Door { .. });
    count(
        "at a door",
        matches!(after.place, Place::Door { .. }) && !door,
    );
    count(
        "stopped at a door",
        door && matches!(command, Command::TakeStop),
    );
}

fn walk(
    seed: u64,
    procedure: Procedure,
    turns: usize,
    refused: &mut usize,
    tally: &mut Tally,
) -> Bench {
    let mut chance = Chance::new(seed ^ 0x5eed);
    let mut shadow = Shadow {
        arrived: start(&procedure),
        entered: start(&procedure),
    };
    let mut bench = Bench::closed(setup(procedure));
    let command = opening(&bench.setup);
    act(seed, &mut bench, &mut shadow, command);
    for turn in 0..turns {
        if bench.state.ended.is_some() {
            break;
        }
        offered::check(seed, &bench);
        match chance.below(30) {
            0 => {
                bench.at.session += 1;
                bench.at.mono_ms = 0;
                let resume = Command::Resume { by: person("Ann") };
                let before = bench.state.clone();
                assert!(
                    act(seed, &mut bench, &mut shadow, resume.clone()),
                    "seed {seed}: a job that can't be resumed"
                );
                note(tally, &resume, &before, &bench.state);
            }
            1 => {
                bench.at.wall_ms -= 60_000;
                *tally.entry("clock set back").or_default() += 1;
            }
            2 => bench.pass_ms(5_000),
            3 => {
                bench.at.wall_ms += 60_000;
                *tally.entry("clock set forward").or_default() += 1;
            }
            4 | 5 => {
                if let Some(command) = offered::correction(&bench, turn) {
                    let before = bench.state.clone();
                    if act(seed, &mut bench, &mut shadow, command.clone()) {
                        note(tally, &command, &before, &bench.state);
                    }
                }
            }
            _ => {
                // The time of the command itself may end what was offered.
                bench.pass_ms(500);
                let Some(offer) = pick(&mut chance, &bench.state.place, &bench.offers()) else {
                    panic!("seed {seed}: nothing is offered at {}", bench.step());
                };
                bench.at.mono_ms -= 500;
                bench.at.wall_ms -= 500;
                let command = fitting(&mut chance, &offer);
                let before = bench.state.clone();
                if act(seed, &mut bench, &mut shadow, command.clone()) {
                    note(tally, &command, &before, &bench.state);
                } else {
                    *refused += 1;
                }
            }
        }
    }
    bench
}

/// How many walks, three times over, go over a graph that is made for its doors: the
/// random ones have few.
const DOORS: u64 = 100;

#[test]
fn does_what_the_twin_says_on_every_graph_the_proof_accepts() {
    let (mut walked, mut commands, mut refused, mut ended) = (0, 0, 0, 0);
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut tally = Tally::new();
    let doors = (0..DOORS).map(|seed| (seed, lapsing()));
    let random = (0..cases(400)).filter_map(|seed| {
        let mut made = graph(seed);
        enrich(&mut Chance::new(seed), &mut made);
        Some((seed, mended(made)?))
    });
    for (seed, accepted) in random.chain(doors) {
        for round in 0..3 {
            let seed = seed * 3 + round;
            let bench = walk(seed, accepted.clone(), 60, &mut refused, &mut tally);
            bench.check_replay();
            walked += 1;
            commands += bench.log.len();
            ended += usize::from(bench.state.ended.is_some());
            for (_, _, events) in &bench.log {
                for event in events {
                    let name = format!("{event:?}");
                    let name = name.split([' ', '(']).next().unwrap_or("");
                    seen.insert(name.to_owned());
                }
            }
        }
    }
    println!("{walked} walks, {commands} commands, {refused} refused, {ended} ended; {seen:?}");
    println!("{tally:?}");
    for what in [
        "stop called",
        "stop taken",
        "carried on",
        "resumed",
        "gone stale",
        "attested",
        "corrected",
        "to repeat",
        "repeated",
        "at a door",
        "stopped at a door",
        "clock set back",
        "clock set forward",
    ] {
        let often = tally.get(what).copied().unwrap_or(0);
        assert!(often > 0, "no walk met: {what}");
    }
    assert!(walked > 300, "only {walked} walks");
    assert_eq!(refused, 0, "offers that were not taken");
    for name in [
        "AtDoor",
        "Attested",
        "StopTaken",
        "RepeatEnded",
        "Watched",
        "Overridden",
    ] {
        assert!(seen.contains(name), "no walk met {name}");
    }
}

#[test]
fn a_job_can_be_resumed_at_a_door_behind_a_wait() {
    let wait = Confirm::Wait {
        at_least: Side::Literal(seconds(1.0)),
        at_most: None,
    };
    let mut main = procedure("ask")
        .conditions("clear", Lasts::Resume)
        .then(step("a", "pass:w").makes("clear"))
        .then(step("w", "pass:b lapsed:a"))
        .then(step("b", "pass:done").needs("clear"))
        .then(end("done", EndKind::Complete))
        .route("ask")
        .then(look("ask", "seen:safe not:safe"))
        .then(end("safe", EndKind::MadeSafe));
    if let Body::Ordinary { confirm, .. } = &mut main.steps[1].body {
        *confirm = wait;
    }
    let mut bench = Bench::open(main);
    bench.confirms();
    bench.resumes();
    bench.does(Command::Begin);
    bench.pass_ms(2_000);
    bench.confirms();
    assert!(matches!(bench.state.place, Place::Door { .. }));
    bench.resumes();
    bench.attests("clear");
    assert_eq!(bench.step(), "b");
}

/// A look and a pass that both lead to a step whose need may have lapsed meanwhile.
fn lapsing() -> Procedure {
    procedure("ask")
        .conditions("clear", Lasts::For(4_000))
        .duties("air chocks")
        .then(step("gate", "pass:choose").makes("clear").incurs("chocks"))
        .then(look("choose", "work:move pay:pay").choice("work", |c| c.incurs = [id("air")].into()))
        .then(step("pay", "pass:move").settles("chocks").incurs("air"))
        .then(step("move", "pass:given").needs("clear").settles("air"))
        .then(end("given", EndKind::HandedOver))
        .route("ask")
        .then(look("ask", "seen:safe not:safe"))
        .then(end("safe", EndKind::MadeSafe))
}

#[test]
fn stop_work_at_a_door_leaves_what_the_twin_says() {
    let made = lapsing();
    let proof = prove(&made);
    assert!(proof.holds(), "{:?}", proof.findings);
    for (choice, owed) in [("work", "air chocks"), ("pay", "air")] {
        let mut shadow = Shadow {
            arrived: start(&made),
            entered: start(&made),
        };
        let mut bench = Bench::closed(setup(made.clone()));
        let mut does = |bench: &mut Bench, command: Command| {
            let said = format!("{choice}: {command:?}");
            assert!(act(0, bench, &mut shadow, command), "{said} is refused");
        };
        let opening = opening(&bench.setup);
        does(&mut bench, opening);
        does(&mut bench, Command::Confirm);
        bench.pass_ms(5_000);
        does(&mut bench, Command::Choose { choice: id(choice) });
        if choice == "pay" {
            does(&mut bench, Command::Confirm);
        }
        assert!(matches!(bench.state.place, Place::Door { .. }), "{choice}");
        does(&mut bench, Command::CallStop);
        does(&mut bench, Command::TakeStop);
        assert_eq!(bench.step(), "ask", "{choice}");
        assert_eq!(bench.holds(), "", "{choice}");
        assert_eq!(bench.owes(), owed, "{choice}");
        bench.check_replay();
    }
}

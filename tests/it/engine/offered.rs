//! What is offered is taken, and what is not offered is refused.
#![expect(
    clippy::too_many_lines,
    clippy::type_complexity,
    clippy::unnecessary_to_owned,
    reason = "one list of every command, each beside the offer that answers for it"
)]

use levelhand::job::{Answer, Command, Correction, Offer};
use levelhand::procedure::{Body, ConditionId, ValueId};

use super::bench::{Bench, entry, long_hold, mm, person};
use crate::sketch::id;

/// A command for every kind of thing that could be done, with the offer it answers.
pub(super) fn everything(bench: &Bench) -> Vec<(Command, Box<dyn Fn(&Offer) -> bool>)> {
    let procedure = &bench.setup.procedure;
    let mut all: Vec<(Command, Box<dyn Fn(&Offer) -> bool>)> = Vec::new();
    let mut add = |command, offer: Box<dyn Fn(&Offer) -> bool>| all.push((command, offer));
    for name in ["t0", "t1", "x9"] {
        let tick: levelhand::procedure::TickId = id(name);
        let command = Command::Tick {
            tick: tick.clone(),
            answer: Answer::Yes(String::new()),
        };
        add(
            command,
            Box::new(move |o| matches!(o, Offer::Tick { tick: t, .. } if *t == tick)),
        );
    }
    let readings: Vec<ValueId> = procedure.readings.keys().cloned().collect();
    for reading in readings {
        let entry = entry(mm(50.0));
        let command = Command::Read {
            reading: reading.clone(),
            entry: entry.clone(),
        };
        let name = reading.clone();
        add(
            command,
            Box::new(move |o| matches!(o, Offer::Read { reading: r, .. } if *r == name)),
        );
        let command = Command::Witness {
            reading: reading.clone(),
            by: person("Bob"),
            entry: entry.clone(),
        };
        let name = reading.clone();
        add(
            command,
            Box::new(move |o| *o == Offer::Witness(name.clone())),
        );
        for condition in procedure.conditions.keys().cloned() {
            let command = Command::Watch {
                condition: condition.clone(),
                reading: reading.clone(),
                entry: entry.clone(),
            };
            let wanted = Offer::Watch {
                condition,
                reading: reading.clone(),
            };
            add(command, Box::new(move |o| *o == wanted));
        }
    }
    for limit in 0..3 {
        let command = Command::Override {
            limit,
            reason: "seen before".to_owned(),
        };
        add(command, Box::new(move |o| *o == Offer::Override(limit)));
    }
    for choice in ["o0", "o1", "o2"] {
        let command = Command::Choose { choice: id(choice) };
        add(command, Box::new(move |o| *o == Offer::Choose(id(choice))));
    }
    let conditions: Vec<ConditionId> = procedure.conditions.keys().cloned().collect();
    for condition in conditions {
        let command = Command::Attest {
            condition: condition.clone(),
            entry: None,
        };
        add(
            command,
            Box::new(move |o| *o == Offer::Attest(condition.clone())),
        );
    }
    for duty in procedure.duties.keys().cloned() {
        let command = Command::HandOver {
            duty: duty.clone(),
            to: person("Cy"),
        };
        add(
            command,
            Box::new(move |o| *o == Offer::HandOver(duty.clone())),
        );
    }
    for step in bench.state.repeats.iter().cloned() {
        let command = Command::Repeat { step: step.clone() };
        add(
            command,
            Box::new(move |o| *o == Offer::Repeat(step.clone())),
        );
    }
    for (command, offer) in [
        (Command::Begin, Offer::Begin),
        (Command::Press, Offer::Press),
        (Command::Confirm, Offer::Confirm),
        (long_hold(), Offer::Hold),
        (Command::CallStop, Offer::CallStop),
        (Command::CarryOn, Offer::CarryOn),
        (Command::TakeStop, Offer::TakeStop),
        (Command::LeaveRepeat, Offer::LeaveRepeat),
        (
            Command::HandOverRepeats { to: person("Cy") },
            Offer::HandOverRepeats,
        ),
    ] {
        add(command, Box::new(move |o| *o == offer));
    }
    add(Command::GoOn, Box::new(|o| matches!(o, Offer::GoOn(_))));
    all
}

/// Everything that could be done is taken exactly if it is offered.
pub(super) fn check(seed: u64, bench: &Bench) {
    let offers = bench.offers();
    for (command, answers) in everything(bench) {
        let offered = offers.iter().any(&answers);
        let decided = levelhand::job::decide(&bench.setup, &bench.state, &command, bench.at);
        assert_eq!(
            offered,
            decided.is_ok(),
            "seed {seed} at {}: {command:?} gives {decided:?}; offered: {offers:?}",
            bench.step()
        );
    }
}

/// The correction of something in the log, if there is one to make.
pub(super) fn correction(bench: &Bench, turn: usize) -> Option<Command> {
    let values: Vec<&ValueId> = bench.state.values.keys().collect();
    if !turn.is_multiple_of(3) && !values.is_empty() {
        return Some(Command::Correct {
            what: Correction::Reading {
                reading: values[turn % values.len()].clone(),
                entry: entry(mm(if turn.is_multiple_of(2) { 150.0 } else { 40.0 })),
            },
            reason: "misread".to_owned(),
        });
    }
    let (step, _) = bench
        .state
        .passed
        .iter()
        .nth(turn % bench.state.passed.len().max(1))?;
    let known = bench.setup.procedure.step(step)?;
    let what = match &known.body {
        Body::Look { choices, .. } => Correction::Choice {
            step: step.clone(),
            choice: choices[turn % choices.len()].id.clone(),
        },
        Body::Ordinary { .. } | Body::End(_) => Correction::Tick {
            step: step.clone(),
            tick: known.ticks.first()?.id.clone(),
            answer: if turn.is_multiple_of(2) {
                Answer::No
            } else {
                Answer::Yes(String::new())
            },
        },
    };
    Some(Command::Correct {
        what,
        reason: "misheard".to_owned(),
    })
}

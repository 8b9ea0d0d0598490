//! The status sheet: enough to carry a job on from paper when the laptop is
//! dead (P2), and first of all how to make safe from here.
//!
//! Invariant: it can be written at any step of any job; what is unknown is said
//! to be unknown.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::Account;
use super::paper::Paper;
use super::show::{
    condition_title, duty_title, instant, instrument_title, measured, step_title, system,
    value_title,
};
use crate::job::{Mode, Place};
use crate::procedure::{Body, Lasts, Outcome, Phase, Step, StepId};

/// What every stop card says before anything else.
pub const GENERAL_STOP: [&str; 3] = [
    "This stops the steps. It does not stop the truck.",
    "Let go of the truck's control.",
    "If it still moves: ignition off, shut the shop air, keep clear.",
];

/// The status sheet of a job. It tells the state: `told` is not looked at and may
/// be empty.
pub fn status_sheet(account: &Account<'_>) -> String {
    let practice = match account.pins.mode {
        Mode::Job => "",
        Mode::Practice => "PRACTICE, no truck · ",
    };
    let mut paper = Paper::new(&format!(
        "{practice}STATUS SHEET · job {}",
        account.pins.job
    ));
    top(account, &mut paper);
    place(account, &mut paper);
    if account.state.ended.is_none() {
        make_safe(account, &mut paper);
    }
    holding(account, &mut paper);
    owed(account, &mut paper);
    readings(account, &mut paper);
    foot(account, &mut paper);
    paper.done()
}

fn top(account: &Account<'_>, paper: &mut Paper) {
    let setup = account.setup;
    paper.line(
        0,
        &format!(
            "{}, sheet revision {}",
            setup.sheet.title, setup.sheet.revision
        ),
    );
    paper.line(
        0,
        &format!(
            "{}, revision {}",
            setup.procedure.title, setup.procedure.revision
        ),
    );
    let people: Vec<&str> = account
        .state
        .people
        .iter()
        .map(crate::job::Person::as_str)
        .collect();
    let keyboard = account.state.by.as_ref().map_or("nobody", |by| by.as_str());
    paper.line(
        0,
        &format!("There: {}. At the keyboard: {keyboard}.", people.join(", ")),
    );
    if let Some(at) = account.state.last {
        paper.line(0, &format!("As it stood at {}.", instant(at)));
    }
}

fn place(account: &Account<'_>, paper: &mut Paper) {
    let state = account.state;
    paper.heading("WHERE WE ARE");
    if let Some(ended) = state.ended {
        paper.line(
            2,
            &format!(
                "The job is over: {}, at {}.",
                ended.kind.key().replace('_', " "),
                instant(ended.at)
            ),
        );
        return;
    }
    if let Some((at, forced)) = state.stop {
        let word = if forced {
            " There is no carrying on from it."
        } else {
            ""
        };
        paper.line(2, &format!("WORK IS STOPPED since {}.{word}", instant(at)));
    }
    let Some(id) = state.step() else {
        paper.line(2, "Nowhere yet.");
        return;
    };
    let Some(step) = account.setup.step(id) else {
        paper.line(
            2,
            &format!("In a step that the procedure does not have: {id}."),
        );
        return;
    };
    if let Some(phase) = account.setup.procedure.phase_of(step) {
        paper.line(2, &format!("Phase: {}", phase.title));
    }
    let before = match (&state.repeating, &state.place) {
        (Some(_), _) => "Repeating the step",
        (None, Place::Door { .. }) => "Before the step",
        (None, Place::In(_) | Place::Nowhere) => "In the step",
    };
    let stands = step
        .place
        .as_ref()
        .map_or_else(String::new, |place| format!(" ({place})"));
    paper.line(2, &format!("{before}: {}{stands}", step.title));
    instructions(account, step, 4, paper);
}

/// A text of the procedure, with the sheet's values in it.
fn say(account: &Account<'_>, text: &str) -> String {
    account.setup.say(account.state, text)
}

fn instructions(account: &Account<'_>, step: &Step, indent: usize, paper: &mut Paper) {
    for (number, instruction) in step.instructions.iter().enumerate() {
        let line = format!("{}. {}", number + 1, say(account, instruction));
        paper.hanging(indent, indent + 3, &line);
    }
}

/// General words, the phase's card, then the way to safe.
fn make_safe(account: &Account<'_>, paper: &mut Paper) {
    paper.heading("HOW TO MAKE SAFE FROM HERE");
    for line in GENERAL_STOP {
        paper.line(2, line);
    }
    let Some(phase) = stop_phase(account) else {
        paper.line(
            2,
            "The way to safe is not known from here: ask who knows this vehicle.",
        );
        return;
    };
    for line in &phase.stop_card {
        paper.line(2, &say(account, line));
    }
    paper.line(2, "Then, trusting nothing that was said before:");
    route(account, &phase.stop, paper);
}

/// The phase whose stop card counts: that of the step it is in, or at a door of
/// the one it has just left.
fn stop_phase<'a>(account: &Account<'a>) -> Option<&'a Phase> {
    let state = account.state;
    let step = match &state.place {
        Place::Nowhere => return None,
        Place::Door { step, .. } => state.trail.last().unwrap_or(step),
        Place::In(step) => step,
    };
    account.setup.procedure.phase_of(account.setup.step(step)?)
}

/// Every step that can be met from the first of the route, nearest first.
fn route(account: &Account<'_>, first: &StepId, paper: &mut Paper) {
    let procedure = &account.setup.procedure;
    let mut numbers: BTreeMap<StepId, usize> = BTreeMap::new();
    let mut order: Vec<&Step> = Vec::new();
    let mut seen: BTreeSet<StepId> = [first.clone()].into();
    let mut queue: VecDeque<StepId> = [first.clone()].into();
    while let Some(id) = queue.pop_front() {
        let Some(step) = procedure.step(&id) else {
            continue;
        };
        numbers.insert(id, order.len() + 1);
        order.push(step);
        for target in step.targets() {
            if seen.insert(target.clone()) {
                queue.push_back(target.clone());
            }
        }
    }
    for (at, step) in order.iter().enumerate() {
        paper.hanging(2, 6, &format!("[{}] {}", at + 1, step.title));
        instructions(account, step, 6, paper);
        for tick in &step.ticks {
            let asks = say(account, &tick.text);
            paper.hanging(6, 8, &format!("{asks}: {} / {}", tick.yes, tick.no));
        }
        ways(account, step, &numbers, at + 2, paper);
    }
}

fn ways(
    account: &Account<'_>,
    step: &Step,
    numbers: &BTreeMap<StepId, usize>,
    next: usize,
    paper: &mut Paper,
) {
    let number = |id: &StepId| numbers.get(id).copied().unwrap_or_default();
    match &step.body {
        Body::Look { choices, .. } => {
            for choice in choices {
                paper.hanging(
                    6,
                    8,
                    &format!(
                        "{}: go to [{}]",
                        say(account, &choice.text),
                        number(&choice.to)
                    ),
                );
            }
        }
        Body::Ordinary { ways, .. } => {
            for (outcome, to) in ways {
                let to = number(to);
                if *outcome == Outcome::Pass && to != next {
                    paper.line(6, &format!("then go to [{to}]"));
                } else if *outcome != Outcome::Pass {
                    paper.line(6, &format!("{}: go to [{to}]", outcome_words(*outcome)));
                }
            }
        }
        Body::End(_) => paper.line(6, "Here the job is left."),
    }
}

pub(super) const fn outcome_words(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "if all is good",
        Outcome::Fail => "if not",
        Outcome::TooClose => "if too close to call",
        Outcome::Lapsed => "if the time was not kept",
        Outcome::Spent => "if it was tried as often as it may be",
    }
}

fn holding(account: &Account<'_>, paper: &mut Paper) {
    let (setup, state) = (account.setup, account.state);
    paper.heading("TRUE WHEN LAST LOOKED AT");
    if state.conditions.is_empty() {
        paper.line(2, "Nothing is known to hold. Look at everything.");
    }
    let waits = match &state.place {
        Place::Door { stale, .. } => stale.clone(),
        Place::Nowhere | Place::In(_) => BTreeSet::new(),
    };
    let mut again = Vec::new();
    for (id, held) in &state.conditions {
        let title = condition_title(setup, id);
        let lasts = setup.procedure.conditions.get(id).map(|c| c.lasts);
        let looked = if held.attested == held.since {
            String::new()
        } else {
            format!(", last looked at {}", instant(held.attested))
        };
        paper.hanging(
            2,
            4,
            &format!("{title}: since {}{looked}", instant(held.since)),
        );
        let asked = held.stale || waits.contains(id);
        if asked || lasts != Some(Lasts::Job) {
            let question = setup
                .procedure
                .conditions
                .get(id)
                .and_then(|c| c.ask.as_ref());
            again.push((
                question.map_or(title, |ask| ask.question.clone()),
                asked,
                lasts,
            ));
        }
    }
    if again.is_empty() {
        return;
    }
    paper.heading("LOOK AGAIN BEFORE GOING ON");
    for (question, asked, lasts) in again {
        let when = match lasts {
            _ if asked => "now",
            Some(Lasts::For(ms)) => &format!("every {}", minutes(ms)),
            Some(Lasts::Step) => "straight before the next step",
            Some(Lasts::Resume | Lasts::Job) | None => "after any break",
        };
        paper.hanging(2, 4, &format!("{question} ({when})"));
    }
}

fn minutes(ms: u64) -> String {
    if ms >= 60_000 && ms.is_multiple_of(60_000) {
        format!("{} min", ms / 60_000)
    } else {
        format!("{} s", ms / 1000)
    }
}

fn owed(account: &Account<'_>, paper: &mut Paper) {
    let (setup, state) = (account.setup, account.state);
    paper.heading("STILL TO DO");
    if state.duties.is_empty() && state.repeats.is_empty() {
        paper.line(2, "Nothing is owed.");
    }
    for (id, owed) in &state.duties {
        let to = owed
            .to
            .as_ref()
            .map_or_else(String::new, |to| format!(" (taken on by {to})"));
        paper.hanging(2, 4, &format!("{}{to}", duty_title(setup, id)));
        for line in setup
            .procedure
            .duties
            .get(id)
            .map_or(&[][..], |duty| &duty.hand_over)
        {
            paper.hanging(4, 6, line);
        }
    }
    let to = state
        .repeats_to
        .as_ref()
        .map_or_else(String::new, |to| format!(" (taken on by {to})"));
    for id in &state.repeats {
        paper.hanging(
            2,
            4,
            &format!("Repeat the step: {}{to}", step_title(setup, id)),
        );
    }
}

fn readings(account: &Account<'_>, paper: &mut Paper) {
    let (setup, state) = (account.setup, account.state);
    paper.heading("LAST READINGS");
    if state.values.is_empty() {
        paper.line(2, "None.");
    }
    for (id, taken) in &state.values {
        let with = taken.instrument.as_ref().map_or_else(String::new, |with| {
            format!(", {}", instrument_title(setup, with))
        });
        let value = measured(setup, system(setup, state), id, taken);
        let title = value_title(setup, id);
        paper.hanging(
            2,
            4,
            &format!("{title}: {value}{with}, {}", instant(taken.at)),
        );
    }
}

fn foot(account: &Account<'_>, paper: &mut Paper) {
    paper.heading("RECORD");
    paper.line(
        2,
        &format!("{} entries are safe on disk. Seal:", account.head.count),
    );
    paper.line(2, &format!("{}:{}", account.head.count, account.head.hash));
    paper.line(
        2,
        "Names are not proved. Times are shown and never used to order.",
    );
}

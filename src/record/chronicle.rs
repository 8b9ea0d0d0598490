//! Every entry in a sentence.

use super::show::{
    condition_title, duty_title, instrument_title, measured, role_title, seconds, step_title,
    subject, system, value_title,
};
use crate::job::{Answer, Command, Correction, Entry, Event, Setup, State, Taken, Way};
use crate::journal::Told;
use crate::procedure::{Outcome, Step, StepId, TickId, ValueId};

/// What was done, and where it led. `state` is as it was before the entry.
pub(super) fn sentence(setup: &Setup, state: &State, told: &Told) -> String {
    let mut what = done(setup, state, told);
    for event in &told.events {
        if let Some(more) = followed(setup, event) {
            what.push_str("; ");
            what.push_str(&more);
        }
    }
    what
}

fn done(setup: &Setup, state: &State, told: &Told) -> String {
    let step = state.inside().and_then(|id| setup.step(id));
    match &told.command {
        Command::Open { why, .. } => format!("opened the job: {why}"),
        Command::Resume { .. } => "opened the job again".to_owned(),
        Command::Recovered { bytes, hash } => format!(
            "{bytes} bytes of a torn line were cut from the end and kept aside (SHA-256 {hash})"
        ),
        Command::SignOn { .. } => "took the keyboard".to_owned(),
        Command::Tick { tick, answer } => ticked(setup, state, step, tick, answer),
        Command::Read { reading, entry } => read(setup, state, told, reading, entry),
        Command::Witness { reading, by, entry } => {
            format!(
                "second reader {by}: {}",
                read(setup, state, told, reading, entry)
            )
        }
        Command::Watch {
            reading,
            entry,
            condition,
        } => format!(
            "watch \"{}\": {}",
            condition_title(setup, condition),
            read(setup, state, told, reading, entry)
        ),
        Command::Override { limit, reason } => {
            let limit = step.and_then(|step| step.limits.get(*limit));
            let of = limit.map_or_else(String::new, |limit| subject(setup, &limit.subject));
            format!("overrode the limit on {of}; because: {reason}")
        }
        Command::Begin => "began what runs here".to_owned(),
        Command::Press => "pressed".to_owned(),
        Command::Lapse => "the time was not kept".to_owned(),
        Command::Confirm => "confirmed with Enter".to_owned(),
        Command::Hold(evidence) => format!(
            "confirmed with a hold of {} ({})",
            seconds(evidence.held_ms),
            evidence.tier.key()
        ),
        Command::GoOn => "went on".to_owned(),
        Command::Choose { choice } => {
            let known = step.and_then(|step| step.choices().iter().find(|c| &c.id == choice));
            let text = known.map_or(choice.as_str(), |choice| &choice.text);
            format!("saw: {}", setup.say(state, text))
        }
        Command::CallStop => "STOPPED WORK".to_owned(),
        Command::CarryOn => "carried on from the stop card".to_owned(),
        Command::TakeStop => "took the stop".to_owned(),
        Command::Attest { condition, .. } => {
            format!("looked again: {}", condition_title(setup, condition))
        }
        Command::Correct { what, reason } => corrected(setup, what, reason),
        Command::Repeat { step } => format!("began to repeat \"{}\"", step_title(setup, step)),
        Command::LeaveRepeat => "left the repeated step".to_owned(),
        Command::UseInstrument {
            role,
            instrument,
            reason,
            ..
        } => format!(
            "uses {} for {}; because: {reason}",
            instrument_title(setup, instrument),
            role_title(setup, role)
        ),
        Command::HandOver { duty, to } => {
            format!("handed over to {to}: {}", duty_title(setup, duty))
        }
        Command::HandOverRepeats { to } => format!("handed over to {to}: the steps to repeat"),
        Command::Note { text } => format!("note: {text}"),
    }
}

fn ticked(
    setup: &Setup,
    state: &State,
    step: Option<&Step>,
    id: &TickId,
    answer: &Answer,
) -> String {
    let tick = step.and_then(|step| step.ticks.iter().find(|tick| &tick.id == id));
    let text = tick.map_or_else(|| id.to_string(), |tick| setup.say(state, &tick.text));
    let answer = match (answer, tick) {
        (Answer::Yes(words), Some(tick)) if words.is_empty() => tick.yes.clone(),
        (Answer::Yes(words), Some(tick)) => format!("{}: {words}", tick.yes),
        (Answer::No, Some(tick)) => tick.no.clone(),
        (Answer::Yes(words), None) => format!("yes {words}"),
        (Answer::No, None) => "no".to_owned(),
        (Answer::NotApplicable(reason), _) => format!("does not apply; because: {reason}"),
    };
    format!("{text}: {answer}")
}

/// The value as it was taken, which stands in the events.
fn read(setup: &Setup, state: &State, told: &Told, id: &ValueId, entry: &Entry) -> String {
    let title = value_title(setup, id);
    match taken(&told.events, id) {
        Some(taken) => {
            let value = measured(setup, system(setup, state), id, taken);
            format!("{title}: {value}, typed \"{}\"", entry.typed)
        }
        None => format!("{title}: typed \"{}\"", entry.typed),
    }
}

fn taken<'e>(events: &'e [Event], id: &ValueId) -> Option<&'e Taken> {
    events.iter().find_map(|event| {
        if let Event::Read { reading, taken }
        | Event::Witnessed { reading, taken }
        | Event::Watched { reading, taken, .. } = event
        {
            (reading == id).then_some(taken)
        } else {
            None
        }
    })
}

fn corrected(setup: &Setup, what: &Correction, reason: &str) -> String {
    let subject = match what {
        Correction::Reading { reading, .. } => value_title(setup, reading),
        Correction::Tick { step, tick, .. } => in_step(setup, step, &tick.to_string()),
        Correction::Choice { step, choice } => in_step(setup, step, &choice.to_string()),
    };
    format!("corrected {subject}; because: {reason}")
}

fn in_step(setup: &Setup, step: &StepId, what: &str) -> String {
    format!("{what} in \"{}\"", step_title(setup, step))
}

/// What is worth a line of what followed.
fn followed(setup: &Setup, event: &Event) -> Option<String> {
    match event {
        Event::Left { way, .. } => match way {
            Way::Outcome(Outcome::Pass) | Way::Choice(_) => None,
            Way::Outcome(outcome) => Some(format!("outcome: {}", outcome.key())),
        },
        Event::Entered { step, .. } => Some(format!("on to \"{}\"", step_title(setup, step))),
        Event::AtDoor { step, .. } => Some(format!(
            "before \"{}\" something must be looked at again",
            step_title(setup, step)
        )),
        Event::ClockWentBack { by_ms, .. } => Some(format!(
            "the wall clock had gone back by {}",
            seconds(*by_ms)
        )),
        Event::RepeatOwed { step } => {
            Some(format!("to be repeated: \"{}\"", step_title(setup, step)))
        }
        Event::RepeatEnded { step, passed } => Some(format!(
            "repeat of \"{}\" {}",
            step_title(setup, step),
            if *passed { "passed" } else { "not passed" }
        )),
        Event::StopCalled { forced: true, .. } => {
            Some("work had to stop: what made this place safe was undone".to_owned())
        }
        Event::Ended { kind, .. } => {
            Some(format!("the job is over: {}", kind.key().replace('_', " ")))
        }
        Event::Opened { .. }
        | Event::Resumed { .. }
        | Event::Recovered { .. }
        | Event::SignedOn { .. }
        | Event::Ticked { .. }
        | Event::Read { .. }
        | Event::Witnessed { .. }
        | Event::ZeroFound { .. }
        | Event::Worked { .. }
        | Event::Judged(_)
        | Event::WatchBegun { .. }
        | Event::Watched { .. }
        | Event::Overridden { .. }
        | Event::Begun { .. }
        | Event::Pressed { .. }
        | Event::Held(_)
        | Event::StopCalled { forced: false, .. }
        | Event::StopTaken { .. }
        | Event::Attested { .. }
        | Event::Corrected { .. }
        | Event::Replaced { .. }
        | Event::ReTicked { .. }
        | Event::RepeatBegun { .. }
        | Event::InstrumentUsed { .. }
        | Event::HandedOver { .. }
        | Event::RepeatsHandedOver { .. }
        | Event::Noted { .. } => None,
    }
}

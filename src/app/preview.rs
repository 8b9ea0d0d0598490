//! What a value being typed would mean: its echo, and the verdict it would get.
//!
//! The verdict comes from the engine itself: the command is decided on and
//! thrown away.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "only two of the events tell of a value being typed"
)]

use super::item::ItemKind;
use super::work::Work;
use crate::job::{At, Command, Entry, Event, Judged, Refusal, State, Taken, decide, evolve};
use crate::procedure::ValueId;
use crate::quantity::{Misread, System, Typed, Unit, read};

/// What a value being typed would mean.
#[derive(Debug, Clone)]
pub enum Preview {
    /// Nothing is typed.
    Empty,
    /// It is not understood.
    Misread(Box<Misread>),
    /// It is understood; what it would be kept as and how it would be judged.
    Understood {
        /// As understood.
        typed: Box<Typed>,
        /// As it would be kept; `None` when it would be refused.
        taken: Option<Box<Taken>>,
        /// Verdicts on the limits of this step that rest on it.
        judged: Vec<Judged>,
        /// Why it would be refused.
        refusal: Option<Box<Refusal>>,
    },
}

/// The unit in which a value is shown, and which a bare number typed for it takes
/// (P3): nothing else says so.
pub fn shown_unit(work: &Work, id: &ValueId) -> Unit {
    let procedure = &work.setup.procedure;
    let system = work.system();
    let reading = procedure.readings.get(id).map(|r| (r.kind, r.shown));
    let working = procedure.workings.get(id).map(|w| (w.kind, w.shown));
    let Some((kind, shown)) = reading.or(working) else {
        return crate::quantity::Kind::Count.shown(system);
    };
    match (shown, system) {
        (Some((metric, _)), System::Metric) => metric,
        (Some((_, us)), System::Us) => us,
        (None, system) => kind.shown(system),
    }
}

/// Reads a line as the value of a reading.
///
/// # Errors
/// What is wrong with the line.
pub(crate) fn understand(work: &Work, id: &ValueId, text: &str) -> Result<Typed, Misread> {
    let kind = work
        .setup
        .procedure
        .value(id)
        .map_or(crate::quantity::Kind::Count, |(_, kind)| kind);
    read(text, kind, shown_unit(work, id))
}

/// What the line would mean for a reading of the step at hand.
pub fn preview(work: &Work, id: &ValueId, text: &str, at: At) -> Preview {
    if text.trim().is_empty() {
        return Preview::Empty;
    }
    let typed = match understand(work, id, text) {
        Ok(typed) => typed,
        Err(misread) => return Preview::Misread(Box::new(misread)),
    };
    let command = reading(id, text, &typed);
    match decide(&work.setup, &work.state, &command, at) {
        Ok(events) => understood(work, id, typed, &events),
        Err(refusal) => Preview::Understood {
            typed: Box::new(typed),
            taken: None,
            judged: Vec::new(),
            refusal: Some(Box::new(refusal)),
        },
    }
}

fn understood(work: &Work, id: &ValueId, typed: Typed, events: &[Event]) -> Preview {
    let taken = events.iter().find_map(|e| match e {
        Event::Read { reading, taken } if reading == id => Some(Box::new(taken.clone())),
        _ => None,
    });
    let judged = events.iter().find_map(|e| match e {
        Event::Judged(judged) => Some(judged.clone()),
        _ => None,
    });
    let judged = judged.unwrap_or_else(|| work.state.current().judged.clone());
    let rests = work.setup.procedure.with_dependents([id.clone()].into());
    let step = work.state.inside().and_then(|s| work.setup.step(s));
    let judged = judged
        .into_iter()
        .filter(|j| {
            step.and_then(|s| s.limits.get(j.limit))
                .is_some_and(|l| match &l.subject {
                    crate::procedure::Subject::Value(v) => rests.contains(v),
                    crate::procedure::Subject::Difference(a, b) => {
                        rests.contains(a) || rests.contains(b)
                    }
                    crate::procedure::Subject::Age(_) => false,
                })
        })
        .collect();
    Preview::Understood {
        typed: Box::new(typed),
        taken,
        judged,
        refusal: None,
    }
}

fn reading(id: &ValueId, text: &str, typed: &Typed) -> Command {
    let entry = Entry {
        typed: text.trim().to_owned(),
        value: typed.quantity,
        again: true,
    };
    Command::Read {
        reading: id.clone(),
        entry,
    }
}

/// The state with the value being typed in it and what is worked out and judged from
/// it, the step still at hand; `None` while nothing is typed that would be taken.
pub fn foreseen(work: &Work) -> Option<State> {
    let item = work.focused().filter(|_| work.typing())?;
    let ItemKind::Reading(id) = &item.kind else {
        return None;
    };
    let text = work.field.text();
    let typed = understand(work, id, text).ok()?;
    let command = reading(id, text, &typed);
    let events = decide(&work.setup, &work.state, &command, work.at(0)).ok()?;
    let mut state = work.state.clone();
    for event in &events {
        // What leaves the step is not to be seen yet.
        if matches!(
            event,
            Event::Read { .. } | Event::Worked { .. } | Event::Judged(_)
        ) {
            evolve(&mut state, event);
        }
    }
    Some(state)
}

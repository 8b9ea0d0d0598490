//! The straight way through a procedure, as a script to begin with.
//!
//! Played with the real engine: good answers, the first choice of every look, values
//! that meet their limits where the limit itself says which. What it can't know it
//! does not make up: there it stops, and says why.

#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "a draft takes up single offers and bounds among many"
)]

use super::play::Player;
use super::script::{ConfirmWord, Move, Rehearsal, TickWord, Witnessed};
use crate::job::{At, Offer, Setup, State, offers};
use crate::procedure::{
    Body, BoundSpec, ConditionId, Confirm, EndKind, Limit, Side, Step, StepId, StepKind, Subject,
    ValueId,
};
use crate::quantity::{Quantity, System, Unit};

/// A second person, who witnesses and takes over; invented.
const SECOND: &str = "B. Second";

/// More moves than this are a loop.
const MOST_MOVES: usize = 1_000;

/// What was found of the straight way.
#[derive(Debug, Clone)]
pub struct Draft {
    /// The moves.
    pub moves: Vec<Move>,
    /// The end that was reached, or else a complete end to write on to.
    pub end: StepId,
    /// Why it goes no further, if it reached no end.
    pub stuck: Option<String>,
}

/// Drafts a rehearsal with the head of `rehearsal`; `None` if the procedure has no
/// complete end.
pub fn draft(setup: &Setup, rehearsal: &Rehearsal) -> Option<Draft> {
    let complete = |s: &&Step| matches!(s.body, Body::End(EndKind::Complete));
    let end = setup.procedure.steps.iter().find(complete)?.id.clone();
    let mut player = Player::new(setup, rehearsal, None);
    let mut out = Draft {
        moves: Vec::new(),
        end,
        stuck: None,
    };
    if let Err(difference) = player.open() {
        out.stuck = Some(difference.what);
        return Some(out);
    }
    while player.state.ended.is_none() && out.moves.len() < MOST_MOVES {
        let Some(step) = player.state.step().and_then(|s| setup.step(s)) else {
            break;
        };
        let mut made = guess(setup, &player.state, &player.at, step);
        player.number = out.moves.len() + 1;
        let tried = player.make(&made);
        made.to = player.state.step().filter(|s| **s != step.id).cloned();
        out.moves.push(made);
        if let Err(difference) = tried {
            out.stuck = Some(difference.what);
            return Some(out);
        }
    }
    if player.state.ended.is_none() {
        out.stuck = Some("the straight way does not come to an end".to_owned());
    } else if let Some(reached) = player.state.step() {
        out.end = reached.clone();
    }
    Some(out)
}

/// What a person would do here when all goes well.
fn guess(setup: &Setup, state: &State, at: &At, step: &Step) -> Move {
    let mut made = Move::at(step.id.clone());
    for offer in offers(setup, state, at) {
        match offer {
            Offer::Attest(condition) => {
                let typed = asked(setup, &condition);
                made.attest.insert(condition, typed);
            }
            Offer::HandOver(duty) => {
                made.hand_over_to.insert(duty, SECOND.to_owned());
            }
            _ => {}
        }
    }
    if !step.ticks.is_empty() {
        made.all_ticks = Some(TickWord::Yes(String::new()));
    }
    for reading in &step.readings {
        let Some(value) = value_for(setup, reading, &step.limits) else {
            continue;
        };
        made.read.push((reading.clone(), value.clone()));
        if setup
            .procedure
            .readings
            .get(reading)
            .is_some_and(|r| r.witness)
        {
            let by = SECOND.to_owned();
            made.witness
                .insert(reading.clone(), Witnessed { by, value });
        }
    }
    if let Some(ms) = age(setup, step) {
        made.after_ms = ms;
    }
    match step.kind() {
        StepKind::Look => {
            let used = |id| {
                state
                    .chosen
                    .get(&(step.id.clone(), id))
                    .copied()
                    .unwrap_or(0)
            };
            let open = |tries: Option<u32>, id| tries.is_none_or(|most| used(id) < most);
            let mut choices = step.choices().iter();
            made.choose = choices
                .find(|c| open(c.tries, c.id.clone()))
                .map(|c| c.id.clone());
        }
        StepKind::Ordinary => made.confirm = confirm(step),
        StepKind::End => {}
    }
    made
}

fn confirm(step: &Step) -> Option<ConfirmWord> {
    match step.confirm() {
        // Such a step passes by itself with its last answer.
        Confirm::None if step.ticks.is_empty() && step.readings.is_empty() => {
            Some(ConfirmWord::GoOn)
        }
        Confirm::None => None,
        Confirm::Enter => Some(ConfirmWord::Enter),
        Confirm::Hold { .. } => Some(ConfirmWord::Hold),
        Confirm::Pulse { .. } => Some(ConfirmWord::Pulse),
        Confirm::Wait { .. } => Some(ConfirmWord::Wait),
    }
}

/// The reading with which a condition is made sure again.
fn asked(setup: &Setup, condition: &ConditionId) -> Option<String> {
    let ask = setup.procedure.conditions.get(condition)?.ask.as_ref()?;
    value_for(setup, ask.reading.as_ref()?, &ask.limits)
}

/// How long a condition must have held before this step can pass.
fn age(setup: &Setup, step: &Step) -> Option<u64> {
    let ages = step.limits.iter().filter_map(|limit| match &limit.bound {
        BoundSpec::AgeAtLeast(side) => setup.side_ms(side),
        _ => None,
    });
    ages.max()
}

/// The middle of what all limits on it leave of what is plausible, or else of what its
/// instrument shows.
fn value_for(setup: &Setup, reading: &ValueId, limits: &[Limit]) -> Option<String> {
    let about = setup.procedure.readings.get(reading)?;
    let si = |side: &Side| setup.side(side).map(Quantity::si);
    let (mut low, mut high) = if let Some((low, high)) = &about.plausible {
        (si(low)?, si(high)?)
    } else {
        let metrology = setup.instruments.for_role(about.role.as_ref()?)?.metrology;
        (metrology.span_low().si(), metrology.span_high().si())
    };
    let on_it = |l: &&Limit| matches!(&l.subject, Subject::Value(v) if v == reading);
    for limit in limits.iter().filter(on_it) {
        let (least, most) = match &limit.bound {
            BoundSpec::AtMost(most) => (None, si(most)),
            BoundSpec::AtLeast(least) => (si(least), None),
            BoundSpec::Between(least, most) => (si(least), si(most)),
            BoundSpec::Near { target, within } => {
                let (target, within) = (si(target)?, si(within)?);
                (Some(target - within), Some(target + within))
            }
            BoundSpec::DifferByAtMost(_) | BoundSpec::AgeAtLeast(_) => (None, None),
        };
        low = least.map_or(low, |l| l.max(low));
        high = most.map_or(high, |m| m.min(high));
    }
    let unit = match (about.shown, setup.sheet.system) {
        (Some((metric, _)), System::Metric) => metric,
        (Some((_, us)), System::Us) => us,
        (None, system) => about.kind.shown(system),
    };
    let middle = Quantity::from_si(f64::midpoint(low, high), about.kind).ok()?;
    (low <= high).then(|| typed(middle, unit)).flatten()
}

/// As a person would type it: a few figures, and the unit.
fn typed(value: Quantity, unit: Unit) -> Option<String> {
    let number = format!("{:.2}", value.in_unit(unit).ok()?);
    let number = number.trim_end_matches('0').trim_end_matches('.');
    let text = format!("{number} {}", unit.symbol_for(value.kind()));
    Some(text.trim().to_owned())
}

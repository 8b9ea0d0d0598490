//! Limits that nothing meets (finding 6), as far as the procedure alone can tell.

use crate::document::code::IMPOSSIBLE_LIMIT;
use crate::finding::{Finding, Subject};
use crate::procedure::{BoundSpec, Confirm, Limit, Procedure, Side};
use crate::quantity::{Bound, Quantity};

/// Limits whose own figures leave no room.
pub(super) fn impossible_limits(procedure: &Procedure) -> Vec<Finding> {
    let literal = |side: &Side| match side {
        Side::Literal(quantity) => Some(*quantity),
        Side::Sheet(_) => None,
    };
    meets_nothing(procedure, &literal, "")
}

/// Limits that nothing meets when sides are looked up so; `whose` ends the sentence.
pub(in crate::document) fn meets_nothing(
    procedure: &Procedure,
    side: &impl Fn(&Side) -> Option<Quantity>,
    whose: &str,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in &procedure.steps {
        let at = |index| Subject::limit(&step.id, index);
        judge(&step.limits, side, whose, &at, &mut found);
    }
    for (id, condition) in &procedure.conditions {
        let at = |index| Subject::AskLimit {
            condition: id.to_string(),
            index,
        };
        let limits = condition.ask.as_ref().map_or(&[][..], |ask| &ask.limits);
        judge(limits, side, whose, &at, &mut found);
    }
    found.extend(bands(procedure, side, whose));
    found.extend(times(procedure, side, whose));
    found
}

/// Plausible bands without room.
fn bands(
    procedure: &Procedure,
    side: &impl Fn(&Side) -> Option<Quantity>,
    whose: &str,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for (id, reading) in &procedure.readings {
        let band = reading
            .plausible
            .as_ref()
            .map(|(low, high)| (side(low), side(high)));
        if let Some((low, high)) = band
            && over(low, high)
        {
            let subject = Subject::Reading(id.to_string()).field("plausible");
            let sentence = format!("no value of {id} is plausible{whose}");
            found.push(
                Finding::error(IMPOSSIBLE_LIMIT, subject, sentence)
                    .help("write the low figure first"),
            );
        }
    }
    found
}

/// Pulses and waits that nobody can keep.
fn times(
    procedure: &Procedure,
    side: &impl Fn(&Side) -> Option<Quantity>,
    whose: &str,
) -> Vec<Finding> {
    let none = |time: Option<Quantity>| time.is_some_and(|t| t.si() <= 0.0);
    let kept = |confirm: &Confirm| match confirm {
        Confirm::Pulse { within, .. } => !none(side(within)),
        Confirm::Wait { at_least, at_most } => {
            let least = side(at_least);
            !none(least) && !over(least, at_most.as_ref().and_then(side))
        }
        Confirm::None | Confirm::Enter | Confirm::Hold { .. } => true,
    };
    let steps = procedure.steps.iter().filter(|s| !kept(s.confirm()));
    steps
        .map(|step| {
            let subject = Subject::step(&step.id).field("confirm");
            let sentence = format!("nobody can keep this time{whose}");
            Finding::error(IMPOSSIBLE_LIMIT, subject, sentence)
                .help("times are over zero, and \"at_most\" is not under \"at_least\"")
        })
        .collect()
}

fn judge(
    limits: &[Limit],
    side: &impl Fn(&Side) -> Option<Quantity>,
    whose: &str,
    at: &impl Fn(usize) -> Subject,
    found: &mut Vec<Finding>,
) {
    for (index, limit) in limits.iter().enumerate() {
        if bound(&limit.bound, side).is_some_and(|b| b.is_empty()) {
            let sentence = format!("no value can meet this limit{whose}");
            found.push(
                Finding::error(IMPOSSIBLE_LIMIT, at(index), sentence).help(
                    "the low figure must not be over the high one, nor a tolerance under zero",
                ),
            );
        } else if let Some(other) = together(limits, index, side) {
            let sentence = format!(
                "no value can meet this limit and limit {} of the same value{whose}",
                other + 1
            );
            found.push(
                Finding::error(IMPOSSIBLE_LIMIT, at(index), sentence)
                    .help("change one of them so that they leave room between them"),
            );
        }
    }
}

/// An earlier limit on the same value that leaves no room together with this one.
fn together(
    limits: &[Limit],
    index: usize,
    side: &impl Fn(&Side) -> Option<Quantity>,
) -> Option<usize> {
    let this = limits.get(index)?;
    let (low, high) = edges(&bound(&this.bound, side)?);
    limits.iter().take(index).position(|other| {
        let Some(other_bound) = bound(&other.bound, side) else {
            return false;
        };
        let (other_low, other_high) = edges(&other_bound);
        other.subject == this.subject && (over(low, other_high) || over(other_low, high))
    })
}

/// Whether a low edge lies over a high one.
fn over(low: Option<Quantity>, high: Option<Quantity>) -> bool {
    match (low, high) {
        (Some(low), Some(high)) => Bound::Between { low, high }.is_empty(),
        _ => false,
    }
}

fn edges(bound: &Bound) -> (Option<Quantity>, Option<Quantity>) {
    match *bound {
        Bound::AtMost(high) => (None, Some(high)),
        Bound::AtLeast(low) => (Some(low), None),
        Bound::Between { low, high } => (Some(low), Some(high)),
        Bound::Near { target, within } => {
            let less = Quantity::from_si(-within.si(), within.kind()).ok();
            (
                less.and_then(|less| target.moved_by(less).ok()),
                target.moved_by(within).ok(),
            )
        }
    }
}

/// The bound with its sides looked up; `None` if one is not known.
pub(in crate::document) fn bound(
    spec: &BoundSpec,
    side: &impl Fn(&Side) -> Option<Quantity>,
) -> Option<Bound> {
    Some(match spec {
        BoundSpec::AtMost(a) => Bound::AtMost(side(a)?),
        BoundSpec::AtLeast(a) | BoundSpec::AgeAtLeast(a) => Bound::AtLeast(side(a)?),
        BoundSpec::Between(a, b) => Bound::Between {
            low: side(a)?,
            high: side(b)?,
        },
        BoundSpec::Near { target, within } => Bound::Near {
            target: side(target)?,
            within: side(within)?,
        },
        BoundSpec::DifferByAtMost(a) => Bound::apart_at_most(side(a)?),
    })
}

//! Instants, values and names as words.

use crate::job::{At, Setup, State, Taken};
use crate::journal::Stamp;
use crate::procedure::{
    BoundSpec, ConditionId, DutyId, InstrumentId, Limit, RoleId, Side, StepId, Subject, ValueId,
};
use crate::quantity::{Bound, Kind, Quantity, System, Unit};

/// An instant as people read it: `2026-11-24 08:15:02 +01:00`. Shown, never
/// used to order.
pub fn instant(at: At) -> String {
    let stamp = Stamp {
        wall_ms: at.wall_ms,
        offset_min: at.offset_min,
        mono_ms: at.mono_ms,
    };
    let text = stamp.rfc3339().unwrap_or_default();
    let parts = (text.get(..10), text.get(11..19), text.get(23..));
    match parts {
        (Some(day), Some(time), Some(zone)) => format!("{day} {time} {zone}"),
        _ => "an instant outside the calendar".to_owned(),
    }
}

/// How long something took, in words: `2.1 s`.
pub(super) fn seconds(ms: u64) -> String {
    format!("{}.{} s", ms / 1000, ms % 1000 / 100)
}

/// The units people see in this job.
pub(super) fn system(setup: &Setup, state: &State) -> System {
    state.system.unwrap_or(setup.sheet.system)
}

/// The unit in which a value is shown.
pub(super) fn unit_of(setup: &Setup, system: System, id: &ValueId, kind: Kind) -> Unit {
    let procedure = &setup.procedure;
    let shown = procedure
        .readings
        .get(id)
        .map(|reading| reading.shown)
        .or_else(|| procedure.workings.get(id).map(|working| working.shown))
        .flatten();
    let chosen = shown.map(|(metric, us)| match system {
        System::Metric => metric,
        System::Us => us,
    });
    chosen
        .filter(|unit| unit.fits(kind))
        .unwrap_or_else(|| kind.shown(system))
}

/// A value with its uncertainty; one taken as exact without.
pub(super) fn measured(setup: &Setup, system: System, id: &ValueId, taken: &Taken) -> String {
    let kind = taken.measured.kind();
    let unit = unit_of(setup, system, id, kind);
    if taken.measured.expanded().si() == 0.0 {
        return taken.measured.value().show_plain(unit);
    }
    taken.measured.sentence_in(unit)
}

/// What a limit is put on, its bound and the unit of both.
pub(super) fn bound(setup: &Setup, system: System, limit: &Limit) -> Option<(Bound, Unit)> {
    let side = |side: &Side| -> Option<Quantity> { setup.side(side) };
    let bound = match &limit.bound {
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
    };
    let kind = bound.kind();
    let unit = match &limit.subject {
        Subject::Value(id) | Subject::Difference(id, _) => unit_of(setup, system, id, kind),
        Subject::Age(_) => kind.shown(system),
    };
    Some((bound, unit))
}

/// What a limit is put on, by title.
pub(super) fn subject(setup: &Setup, subject: &Subject) -> String {
    match subject {
        Subject::Value(id) => value_title(setup, id),
        Subject::Difference(a, b) => {
            format!("{} less {}", value_title(setup, a), value_title(setup, b))
        }
        Subject::Age(condition) => format!("how long: {}", condition_title(setup, condition)),
    }
}

pub(super) fn value_title(setup: &Setup, id: &ValueId) -> String {
    let known = setup.procedure.value(id);
    known.map_or_else(|| id.to_string(), |(title, _)| title.to_owned())
}

pub(super) fn condition_title(setup: &Setup, id: &ConditionId) -> String {
    let known = setup.procedure.conditions.get(id);
    known.map_or_else(|| id.to_string(), |condition| condition.title.clone())
}

pub(super) fn duty_title(setup: &Setup, id: &DutyId) -> String {
    let known = setup.procedure.duties.get(id);
    known.map_or_else(|| id.to_string(), |duty| duty.title.clone())
}

pub(super) fn step_title(setup: &Setup, id: &StepId) -> String {
    let known = setup.step(id);
    known.map_or_else(|| id.to_string(), |step| step.title.clone())
}

pub(super) fn instrument_title(setup: &Setup, id: &InstrumentId) -> String {
    let known = setup.instruments.list.get(id);
    known.map_or_else(|| id.to_string(), |instrument| instrument.title.clone())
}

pub(super) fn role_title(setup: &Setup, id: &RoleId) -> String {
    let known = setup.procedure.roles.get(id);
    known.map_or_else(|| id.to_string(), |role| role.title.clone())
}

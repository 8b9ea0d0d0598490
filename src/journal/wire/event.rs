//! Records of events.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::command::roles as take_roles;
use super::value::{
    AnswerRec, AtRec, EvidenceRec, JudgedRec, QuantityRec, TakenRec, person, system, system_key,
};
use super::{id, ids, raw, texts, word};
use crate::job::{Event, Way};
use crate::journal::Failure;
use crate::procedure::{
    ChoiceId, ConditionId, DutyId, EndKind, InstrumentId, Outcome, RoleId, StepId, TickId, ValueId,
};

/// How a step was left.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum WayRec {
    Outcome(String),
    Choice(String),
}

type Texts = Vec<String>;

/// Every event.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum EventRec {
    Opened {
        at: AtRec,
        people: Texts,
        why: String,
        roles: BTreeMap<String, String>,
        system: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        earlier: Option<String>,
    },
    Resumed {
        at: AtRec,
        by: String,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        stale: Texts,
    },
    ClockWentBack {
        by_ms: u64,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        stale: Texts,
    },
    Recovered {
        bytes: u64,
        hash: String,
    },
    SignedOn {
        by: String,
    },
    Left {
        step: String,
        way: WayRec,
        at: AtRec,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        over: Texts,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        established: Texts,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        incurred: Texts,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        settled: Texts,
        count: u32,
    },
    AtDoor {
        step: String,
        stale: Texts,
    },
    Entered {
        step: String,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        cleared: Texts,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        owed: Texts,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        forgotten: Texts,
    },
    Ticked {
        tick: String,
        answer: AnswerRec,
    },
    Read {
        reading: String,
        taken: TakenRec,
    },
    Witnessed {
        reading: String,
        taken: TakenRec,
    },
    ZeroFound {
        instrument: String,
        value: QuantityRec,
    },
    Worked {
        working: String,
        taken: TakenRec,
    },
    Judged(Vec<JudgedRec>),
    WatchBegun {
        condition: String,
        at: AtRec,
        readings: Texts,
    },
    Watched {
        condition: String,
        reading: String,
        taken: TakenRec,
    },
    Overridden {
        limit: usize,
        reason: String,
    },
    Begun {
        at: AtRec,
    },
    Pressed {
        at: AtRec,
        count: u32,
    },
    Held(EvidenceRec),
    StopCalled {
        at: AtRec,
        forced: bool,
    },
    StopTaken {
        step: String,
    },
    Attested {
        condition: String,
        at: AtRec,
    },
    Corrected {
        subject: String,
        was: String,
        now: String,
        reason: String,
    },
    Replaced {
        value: String,
        taken: TakenRec,
    },
    ReTicked {
        step: String,
        tick: String,
        answer: AnswerRec,
    },
    RepeatOwed {
        step: String,
    },
    RepeatBegun {
        step: String,
    },
    RepeatEnded {
        step: String,
        passed: bool,
    },
    InstrumentUsed {
        role: String,
        instrument: String,
        reason: String,
    },
    HandedOver {
        duty: String,
        to: String,
    },
    RepeatsHandedOver {
        to: String,
    },
    Noted {
        text: String,
    },
    Ended {
        kind: String,
        at: AtRec,
    },
}

pub(super) fn write(events: &[Event]) -> Result<Box<RawValue>, Failure> {
    raw(&events.iter().map(record).collect::<Vec<_>>())
}

pub(super) fn read(text: &str) -> Result<Vec<Event>, String> {
    let records: Vec<EventRec> = serde_json::from_str(text).map_err(|error| error.to_string())?;
    records.into_iter().map(take).collect()
}

fn way(way: &Way) -> WayRec {
    match way {
        Way::Outcome(outcome) => WayRec::Outcome(outcome.key().to_owned()),
        Way::Choice(choice) => WayRec::Choice(choice.to_string()),
    }
}

fn take_way(record: &WayRec) -> Result<Way, String> {
    Ok(match record {
        WayRec::Outcome(key) => Way::Outcome(word(Outcome::from_key(key), "the outcome", key)?),
        WayRec::Choice(choice) => Way::Choice(id(ChoiceId::new, choice)?),
    })
}

#[expect(clippy::too_many_lines, reason = "one arm an event")]
fn record(event: &Event) -> EventRec {
    match event {
        Event::Opened {
            at,
            people,
            why,
            roles,
            system,
            earlier,
        } => EventRec::Opened {
            at: (*at).into(),
            people: texts(people),
            why: why.clone(),
            roles: roles
                .iter()
                .map(|(role, with)| (role.to_string(), with.to_string()))
                .collect(),
            system: system_key(*system).to_owned(),
            earlier: earlier.clone(),
        },
        Event::Resumed { at, by, stale } => EventRec::Resumed {
            at: (*at).into(),
            by: by.to_string(),
            stale: texts(stale),
        },
        Event::ClockWentBack { by_ms, stale } => EventRec::ClockWentBack {
            by_ms: *by_ms,
            stale: texts(stale),
        },
        Event::Recovered { bytes, hash } => EventRec::Recovered {
            bytes: *bytes,
            hash: hash.clone(),
        },
        Event::SignedOn { by } => EventRec::SignedOn { by: by.to_string() },
        Event::Left {
            step,
            way: left,
            at,
            over,
            established,
            incurred,
            settled,
            count,
        } => EventRec::Left {
            step: step.to_string(),
            way: way(left),
            at: (*at).into(),
            over: texts(over),
            established: texts(established),
            incurred: texts(incurred),
            settled: texts(settled),
            count: *count,
        },
        Event::AtDoor { step, stale } => EventRec::AtDoor {
            step: step.to_string(),
            stale: texts(stale),
        },
        Event::Entered {
            step,
            cleared,
            owed,
            forgotten,
        } => EventRec::Entered {
            step: step.to_string(),
            cleared: texts(cleared),
            owed: texts(owed),
            forgotten: texts(forgotten),
        },
        Event::Ticked { tick, answer } => EventRec::Ticked {
            tick: tick.to_string(),
            answer: answer.into(),
        },
        Event::Read { reading, taken } => EventRec::Read {
            reading: reading.to_string(),
            taken: taken.into(),
        },
        Event::Witnessed { reading, taken } => EventRec::Witnessed {
            reading: reading.to_string(),
            taken: taken.into(),
        },
        Event::ZeroFound { instrument, value } => EventRec::ZeroFound {
            instrument: instrument.to_string(),
            value: (*value).into(),
        },
        Event::Worked { working, taken } => EventRec::Worked {
            working: working.to_string(),
            taken: taken.into(),
        },
        Event::Judged(judged) => EventRec::Judged(judged.iter().map(Into::into).collect()),
        Event::WatchBegun {
            condition,
            at,
            readings,
        } => EventRec::WatchBegun {
            condition: condition.to_string(),
            at: (*at).into(),
            readings: texts(readings),
        },
        Event::Watched {
            condition,
            reading,
            taken,
        } => EventRec::Watched {
            condition: condition.to_string(),
            reading: reading.to_string(),
            taken: taken.into(),
        },
        Event::Overridden { limit, reason } => EventRec::Overridden {
            limit: *limit,
            reason: reason.clone(),
        },
        Event::Begun { at } => EventRec::Begun { at: (*at).into() },
        Event::Pressed { at, count } => EventRec::Pressed {
            at: (*at).into(),
            count: *count,
        },
        Event::Held(evidence) => EventRec::Held(evidence.into()),
        Event::StopCalled { at, forced } => EventRec::StopCalled {
            at: (*at).into(),
            forced: *forced,
        },
        Event::StopTaken { step } => EventRec::StopTaken {
            step: step.to_string(),
        },
        Event::Attested { condition, at } => EventRec::Attested {
            condition: condition.to_string(),
            at: (*at).into(),
        },
        Event::Corrected {
            subject,
            was,
            now,
            reason,
        } => EventRec::Corrected {
            subject: subject.clone(),
            was: was.clone(),
            now: now.clone(),
            reason: reason.clone(),
        },
        Event::Replaced { value, taken } => EventRec::Replaced {
            value: value.to_string(),
            taken: taken.into(),
        },
        Event::ReTicked { step, tick, answer } => EventRec::ReTicked {
            step: step.to_string(),
            tick: tick.to_string(),
            answer: answer.into(),
        },
        Event::RepeatOwed { step } => EventRec::RepeatOwed {
            step: step.to_string(),
        },
        Event::RepeatBegun { step } => EventRec::RepeatBegun {
            step: step.to_string(),
        },
        Event::RepeatEnded { step, passed } => EventRec::RepeatEnded {
            step: step.to_string(),
            passed: *passed,
        },
        Event::InstrumentUsed {
            role,
            instrument,
            reason,
        } => EventRec::InstrumentUsed {
            role: role.to_string(),
            instrument: instrument.to_string(),
            reason: reason.clone(),
        },
        Event::HandedOver { duty, to } => EventRec::HandedOver {
            duty: duty.to_string(),
            to: to.to_string(),
        },
        Event::RepeatsHandedOver { to } => EventRec::RepeatsHandedOver { to: to.to_string() },
        Event::Noted { text } => EventRec::Noted { text: text.clone() },
        Event::Ended { kind, at } => EventRec::Ended {
            kind: kind.key().to_owned(),
            at: (*at).into(),
        },
    }
}

#[expect(clippy::too_many_lines, reason = "one arm an event")]
fn take(record: EventRec) -> Result<Event, String> {
    Ok(match record {
        EventRec::Opened {
            at,
            people,
            why,
            roles,
            system: shown,
            earlier,
        } => Event::Opened {
            at: at.into(),
            people: people
                .iter()
                .map(|name| person(name))
                .collect::<Result<_, _>>()?,
            why,
            roles: take_roles(&roles)?,
            system: system(&shown)?,
            earlier,
        },
        EventRec::Resumed { at, by, stale } => Event::Resumed {
            at: at.into(),
            by: person(&by)?,
            stale: ids(ConditionId::new, &stale)?,
        },
        EventRec::ClockWentBack { by_ms, stale } => Event::ClockWentBack {
            by_ms,
            stale: ids(ConditionId::new, &stale)?,
        },
        EventRec::Recovered { bytes, hash } => Event::Recovered { bytes, hash },
        EventRec::SignedOn { by } => Event::SignedOn { by: person(&by)? },
        EventRec::Left {
            step,
            way,
            at,
            over,
            established,
            incurred,
            settled,
            count,
        } => Event::Left {
            step: id(StepId::new, &step)?,
            way: take_way(&way)?,
            at: at.into(),
            over: ids(ConditionId::new, &over)?,
            established: ids(ConditionId::new, &established)?,
            incurred: ids(DutyId::new, &incurred)?,
            settled: ids(DutyId::new, &settled)?,
            count,
        },
        EventRec::AtDoor { step, stale } => Event::AtDoor {
            step: id(StepId::new, &step)?,
            stale: ids(ConditionId::new, &stale)?,
        },
        EventRec::Entered {
            step,
            cleared,
            owed,
            forgotten,
        } => Event::Entered {
            step: id(StepId::new, &step)?,
            cleared: ids(ConditionId::new, &cleared)?,
            owed: ids(DutyId::new, &owed)?,
            forgotten: ids(ValueId::new, &forgotten)?,
        },
        EventRec::Ticked { tick, answer } => Event::Ticked {
            tick: id(TickId::new, &tick)?,
            answer: answer.into(),
        },
        EventRec::Read { reading, taken } => Event::Read {
            reading: id(ValueId::new, &reading)?,
            taken: taken.take()?,
        },
        EventRec::Witnessed { reading, taken } => Event::Witnessed {
            reading: id(ValueId::new, &reading)?,
            taken: taken.take()?,
        },
        EventRec::ZeroFound { instrument, value } => Event::ZeroFound {
            instrument: id(InstrumentId::new, &instrument)?,
            value: value.take()?,
        },
        EventRec::Worked { working, taken } => Event::Worked {
            working: id(ValueId::new, &working)?,
            taken: taken.take()?,
        },
        EventRec::Judged(judged) => Event::Judged(
            judged
                .iter()
                .map(JudgedRec::take)
                .collect::<Result<_, _>>()?,
        ),
        EventRec::WatchBegun {
            condition,
            at,
            readings,
        } => Event::WatchBegun {
            condition: id(ConditionId::new, &condition)?,
            at: at.into(),
            readings: ids(ValueId::new, &readings)?,
        },
        EventRec::Watched {
            condition,
            reading,
            taken,
        } => Event::Watched {
            condition: id(ConditionId::new, &condition)?,
            reading: id(ValueId::new, &reading)?,
            taken: taken.take()?,
        },
        EventRec::Overridden { limit, reason } => Event::Overridden { limit, reason },
        EventRec::Begun { at } => Event::Begun { at: at.into() },
        EventRec::Pressed { at, count } => Event::Pressed {
            at: at.into(),
            count,
        },
        EventRec::Held(evidence) => Event::Held(evidence.take()?),
        EventRec::StopCalled { at, forced } => Event::StopCalled {
            at: at.into(),
            forced,
        },
        EventRec::StopTaken { step } => Event::StopTaken {
            step: id(StepId::new, &step)?,
        },
        EventRec::Attested { condition, at } => Event::Attested {
            condition: id(ConditionId::new, &condition)?,
            at: at.into(),
        },
        EventRec::Corrected {
            subject,
            was,
            now,
            reason,
        } => Event::Corrected {
            subject,
            was,
            now,
            reason,
        },
        EventRec::Replaced { value, taken } => Event::Replaced {
            value: id(ValueId::new, &value)?,
            taken: taken.take()?,
        },
        EventRec::ReTicked { step, tick, answer } => Event::ReTicked {
            step: id(StepId::new, &step)?,
            tick: id(TickId::new, &tick)?,
            answer: answer.into(),
        },
        EventRec::RepeatOwed { step } => Event::RepeatOwed {
            step: id(StepId::new, &step)?,
        },
        EventRec::RepeatBegun { step } => Event::RepeatBegun {
            step: id(StepId::new, &step)?,
        },
        EventRec::RepeatEnded { step, passed } => Event::RepeatEnded {
            step: id(StepId::new, &step)?,
            passed,
        },
        EventRec::InstrumentUsed {
            role,
            instrument,
            reason,
        } => Event::InstrumentUsed {
            role: id(RoleId::new, &role)?,
            instrument: id(InstrumentId::new, &instrument)?,
            reason,
        },
        EventRec::HandedOver { duty, to } => Event::HandedOver {
            duty: id(DutyId::new, &duty)?,
            to: person(&to)?,
        },
        EventRec::RepeatsHandedOver { to } => Event::RepeatsHandedOver { to: person(&to)? },
        EventRec::Noted { text } => Event::Noted { text },
        EventRec::Ended { kind, at } => Event::Ended {
            kind: word(EndKind::from_key(&kind), "the end", &kind)?,
            at: at.into(),
        },
    })
}

//! Records of commands, from entry 1 on.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::value::{AnswerRec, EvidenceRec, TypedRec, person, system, system_key};
use super::{id, raw};
use crate::job::{Command, Correction};
use crate::journal::Failure;
use crate::procedure::{
    ChoiceId, ConditionId, DutyId, InstrumentId, RoleId, StepId, TickId, ValueId,
};

/// Opens a job; part of entry 0.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OpenRec {
    by: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    with: Vec<String>,
    why: String,
    roles: BTreeMap<String, String>,
    system: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    earlier: Option<String>,
}

impl OpenRec {
    pub(super) fn of(command: &Command) -> Option<Self> {
        let Command::Open {
            by,
            with,
            why,
            roles,
            system,
            earlier,
        } = command
        else {
            return None;
        };
        Some(Self {
            by: by.to_string(),
            with: super::texts(with),
            why: why.clone(),
            roles: roles
                .iter()
                .map(|(role, with)| (role.to_string(), with.to_string()))
                .collect(),
            system: system_key(*system).to_owned(),
            earlier: earlier.clone(),
        })
    }

    pub(super) fn take(self) -> Result<Command, String> {
        Ok(Command::Open {
            by: person(&self.by)?,
            with: self
                .with
                .iter()
                .map(|name| person(name))
                .collect::<Result<_, _>>()?,
            why: self.why,
            roles: roles(&self.roles)?,
            system: system(&self.system)?,
            earlier: self.earlier,
        })
    }
}

/// Which instrument is used for what.
pub(super) fn roles(
    texts: &BTreeMap<String, String>,
) -> Result<BTreeMap<RoleId, InstrumentId>, String> {
    texts
        .iter()
        .map(|(role, with)| Ok((id(RoleId::new, role)?, id(InstrumentId::new, with)?)))
        .collect()
}

/// What is corrected.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum CorrectionRec {
    Reading {
        reading: String,
        entry: TypedRec,
    },
    Tick {
        step: String,
        tick: String,
        answer: AnswerRec,
    },
    Choice {
        step: String,
        choice: String,
    },
}

/// Every command but the first. Commands without members are written as empty
/// objects, because what an entry does is always an object.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum CommandRec {
    Resume {
        by: String,
        program: String,
    },
    Recovered {
        bytes: u64,
        hash: String,
    },
    SignOn {
        by: String,
    },
    Tick {
        tick: String,
        answer: AnswerRec,
    },
    Read {
        reading: String,
        entry: TypedRec,
    },
    Witness {
        reading: String,
        by: String,
        entry: TypedRec,
    },
    Watch {
        condition: String,
        reading: String,
        entry: TypedRec,
    },
    Override {
        limit: usize,
        reason: String,
    },
    Begin {},
    Press {},
    Lapse {},
    Confirm {},
    Hold(EvidenceRec),
    GoOn {},
    Choose {
        choice: String,
    },
    CallStop {},
    CarryOn {},
    TakeStop {},
    Attest {
        condition: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        entry: Option<TypedRec>,
    },
    Correct {
        what: CorrectionRec,
        reason: String,
    },
    Repeat {
        step: String,
    },
    LeaveRepeat {},
    UseInstrument {
        role: String,
        instrument: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        zero: Option<TypedRec>,
        reason: String,
    },
    HandOver {
        duty: String,
        to: String,
    },
    HandOverRepeats {
        to: String,
    },
    Note {
        text: String,
    },
}

pub(super) fn write(command: &Command, program: &str) -> Result<Box<RawValue>, Failure> {
    let record = record(command, program).ok_or(Failure::Unwritable {
        what: "opening a job is its first entry and no other",
    })?;
    raw(&record)
}

pub(super) fn read(text: &str) -> Result<(Command, Option<String>), String> {
    let record: CommandRec = serde_json::from_str(text).map_err(|error| error.to_string())?;
    if let CommandRec::Resume { by, program } = record {
        let by = person(&by)?;
        let program = super::begin::version(&program)?;
        return Ok((Command::Resume { by }, Some(program)));
    }
    take(record).map(|command| (command, None))
}

#[expect(clippy::too_many_lines, reason = "one arm a command")]
fn record(command: &Command, program: &str) -> Option<CommandRec> {
    Some(match command {
        Command::Open { .. } => return None,
        Command::Resume { by } => CommandRec::Resume {
            by: by.to_string(),
            program: program.to_owned(),
        },
        Command::Recovered { bytes, hash } => CommandRec::Recovered {
            bytes: *bytes,
            hash: hash.clone(),
        },
        Command::SignOn { by } => CommandRec::SignOn { by: by.to_string() },
        Command::Tick { tick, answer } => CommandRec::Tick {
            tick: tick.to_string(),
            answer: answer.into(),
        },
        Command::Read { reading, entry } => CommandRec::Read {
            reading: reading.to_string(),
            entry: entry.into(),
        },
        Command::Witness { reading, by, entry } => CommandRec::Witness {
            reading: reading.to_string(),
            by: by.to_string(),
            entry: entry.into(),
        },
        Command::Watch {
            condition,
            reading,
            entry,
        } => CommandRec::Watch {
            condition: condition.to_string(),
            reading: reading.to_string(),
            entry: entry.into(),
        },
        Command::Override { limit, reason } => CommandRec::Override {
            limit: *limit,
            reason: reason.clone(),
        },
        Command::Begin => CommandRec::Begin {},
        Command::Press => CommandRec::Press {},
        Command::Lapse => CommandRec::Lapse {},
        Command::Confirm => CommandRec::Confirm {},
        Command::Hold(evidence) => CommandRec::Hold(evidence.into()),
        Command::GoOn => CommandRec::GoOn {},
        Command::Choose { choice } => CommandRec::Choose {
            choice: choice.to_string(),
        },
        Command::CallStop => CommandRec::CallStop {},
        Command::CarryOn => CommandRec::CarryOn {},
        Command::TakeStop => CommandRec::TakeStop {},
        Command::Attest { condition, entry } => CommandRec::Attest {
            condition: condition.to_string(),
            entry: entry.as_ref().map(Into::into),
        },
        Command::Correct { what, reason } => CommandRec::Correct {
            what: correction(what),
            reason: reason.clone(),
        },
        Command::Repeat { step } => CommandRec::Repeat {
            step: step.to_string(),
        },
        Command::LeaveRepeat => CommandRec::LeaveRepeat {},
        Command::UseInstrument {
            role,
            instrument,
            zero,
            reason,
        } => CommandRec::UseInstrument {
            role: role.to_string(),
            instrument: instrument.to_string(),
            zero: zero.as_ref().map(Into::into),
            reason: reason.clone(),
        },
        Command::HandOver { duty, to } => CommandRec::HandOver {
            duty: duty.to_string(),
            to: to.to_string(),
        },
        Command::HandOverRepeats { to } => CommandRec::HandOverRepeats { to: to.to_string() },
        Command::Note { text } => CommandRec::Note { text: text.clone() },
    })
}

fn correction(what: &Correction) -> CorrectionRec {
    match what {
        Correction::Reading { reading, entry } => CorrectionRec::Reading {
            reading: reading.to_string(),
            entry: entry.into(),
        },
        Correction::Tick { step, tick, answer } => CorrectionRec::Tick {
            step: step.to_string(),
            tick: tick.to_string(),
            answer: answer.into(),
        },
        Correction::Choice { step, choice } => CorrectionRec::Choice {
            step: step.to_string(),
            choice: choice.to_string(),
        },
    }
}

fn take(record: CommandRec) -> Result<Command, String> {
    Ok(match record {
        CommandRec::Resume { by, program: _ } => Command::Resume { by: person(&by)? },
        CommandRec::Recovered { bytes, hash } => Command::Recovered { bytes, hash },
        CommandRec::SignOn { by } => Command::SignOn { by: person(&by)? },
        CommandRec::Tick { tick, answer } => Command::Tick {
            tick: id(TickId::new, &tick)?,
            answer: answer.into(),
        },
        CommandRec::Read { reading, entry } => Command::Read {
            reading: id(ValueId::new, &reading)?,
            entry: entry.take()?,
        },
        CommandRec::Witness { reading, by, entry } => Command::Witness {
            reading: id(ValueId::new, &reading)?,
            by: person(&by)?,
            entry: entry.take()?,
        },
        CommandRec::Watch {
            condition,
            reading,
            entry,
        } => Command::Watch {
            condition: id(ConditionId::new, &condition)?,
            reading: id(ValueId::new, &reading)?,
            entry: entry.take()?,
        },
        CommandRec::Override { limit, reason } => Command::Override { limit, reason },
        CommandRec::Begin {} => Command::Begin,
        CommandRec::Press {} => Command::Press,
        CommandRec::Lapse {} => Command::Lapse,
        CommandRec::Confirm {} => Command::Confirm,
        CommandRec::Hold(evidence) => Command::Hold(evidence.take()?),
        CommandRec::GoOn {} => Command::GoOn,
        CommandRec::Choose { choice } => Command::Choose {
            choice: id(ChoiceId::new, &choice)?,
        },
        CommandRec::CallStop {} => Command::CallStop,
        CommandRec::CarryOn {} => Command::CarryOn,
        CommandRec::TakeStop {} => Command::TakeStop,
        CommandRec::Attest { condition, entry } => Command::Attest {
            condition: id(ConditionId::new, &condition)?,
            entry: entry.map(TypedRec::take).transpose()?,
        },
        CommandRec::Correct { what, reason } => Command::Correct {
            what: take_correction(what)?,
            reason,
        },
        CommandRec::Repeat { step } => Command::Repeat {
            step: id(StepId::new, &step)?,
        },
        CommandRec::LeaveRepeat {} => Command::LeaveRepeat,
        CommandRec::UseInstrument {
            role,
            instrument,
            zero,
            reason,
        } => Command::UseInstrument {
            role: id(RoleId::new, &role)?,
            instrument: id(InstrumentId::new, &instrument)?,
            zero: zero.map(TypedRec::take).transpose()?,
            reason,
        },
        CommandRec::HandOver { duty, to } => Command::HandOver {
            duty: id(DutyId::new, &duty)?,
            to: person(&to)?,
        },
        CommandRec::HandOverRepeats { to } => Command::HandOverRepeats { to: person(&to)? },
        CommandRec::Note { text } => Command::Note { text },
    })
}

fn take_correction(record: CorrectionRec) -> Result<Correction, String> {
    Ok(match record {
        CorrectionRec::Reading { reading, entry } => Correction::Reading {
            reading: id(ValueId::new, &reading)?,
            entry: entry.take()?,
        },
        CorrectionRec::Tick { step, tick, answer } => Correction::Tick {
            step: id(StepId::new, &step)?,
            tick: id(TickId::new, &tick)?,
            answer: answer.into(),
        },
        CorrectionRec::Choice { step, choice } => Correction::Choice {
            step: id(StepId::new, &step)?,
            choice: id(ChoiceId::new, &choice)?,
        },
    })
}

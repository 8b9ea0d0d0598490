//! Records of values: numbers, quantities, instants, answers, what was taken.

use serde::{Deserialize, Deserializer, Serialize};
use serde_json::value::RawValue;

use super::{id, word};
use crate::job::{Answer, At, Entry, Evidence, Judged, Person, Taken, Tier};
use crate::procedure::{InstrumentId, StepId};
use crate::quantity::{Judgement, Kind, Measured, Quantity, Rule, System, Verdict};

/// A finite number. Written in the shortest way that gives the same bits again;
/// read by the standard library, which rounds correctly, where the JSON
/// library's quick way may be a last bit off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(super) struct Number(pub(super) f64);

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = <&RawValue>::deserialize(from)?.get();
        let plain = text.starts_with(|c: char| c == '-' || c.is_ascii_digit());
        match text.parse::<f64>() {
            Ok(number) if plain && number.is_finite() => Ok(Self(number)),
            Ok(_) | Err(_) => Err(serde::de::Error::custom(format!(
                "{text} is not a finite number"
            ))),
        }
    }
}

/// A quantity: the key of its kind, and SI.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct QuantityRec {
    k: String,
    si: Number,
}

impl From<Quantity> for QuantityRec {
    fn from(quantity: Quantity) -> Self {
        Self {
            k: quantity.kind().key().to_owned(),
            si: Number(quantity.si()),
        }
    }
}

impl QuantityRec {
    pub(super) fn take(&self) -> Result<Quantity, String> {
        let kind = word(Kind::from_key(&self.k), "the kind", &self.k)?;
        Quantity::from_si(self.si.0, kind).map_err(|error| error.to_string())
    }
}

/// A measured value: kind, SI, and the two parts of its standard uncertainty.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MeasuredRec {
    k: String,
    si: Number,
    /// What the instrument repeats, then what is new in each reading.
    u: (Number, Number),
}

impl From<&Measured> for MeasuredRec {
    fn from(measured: &Measured) -> Self {
        let part = |quantity: Quantity| Number(quantity.si());
        Self {
            k: measured.kind().key().to_owned(),
            si: part(measured.value()),
            u: (part(measured.u_repeated()), part(measured.u_fresh())),
        }
    }
}

impl MeasuredRec {
    fn take(&self) -> Result<Measured, String> {
        let kind = word(Kind::from_key(&self.k), "the kind", &self.k)?;
        let of = |number: Number, kind| {
            Quantity::from_si(number.0, kind).map_err(|error| error.to_string())
        };
        let apart = kind.difference();
        Measured::of_parts(
            of(self.si, kind)?,
            of(self.u.0, apart)?,
            of(self.u.1, apart)?,
        )
        .map_err(|error| error.to_string())
    }
}

/// An instant: wall ms, offset in minutes, the session's own ms, the session.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct AtRec(i64, i32, u64, u32);

impl From<At> for AtRec {
    fn from(at: At) -> Self {
        Self(at.wall_ms, at.offset_min, at.mono_ms, at.session)
    }
}

impl From<AtRec> for At {
    fn from(AtRec(wall_ms, offset_min, mono_ms, session): AtRec) -> Self {
        Self {
            wall_ms,
            offset_min,
            mono_ms,
            session,
        }
    }
}

/// A value as it was typed.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TypedRec {
    typed: String,
    value: QuantityRec,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    again: bool,
}

impl From<&Entry> for TypedRec {
    fn from(entry: &Entry) -> Self {
        Self {
            typed: entry.typed.clone(),
            value: entry.value.into(),
            again: entry.again,
        }
    }
}

impl TypedRec {
    pub(super) fn take(self) -> Result<Entry, String> {
        Ok(Entry {
            value: self.value.take()?,
            typed: self.typed,
            again: self.again,
        })
    }
}

/// The answer to a tick.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum AnswerRec {
    Yes(String),
    No,
    NotApplicable(String),
}

impl From<&Answer> for AnswerRec {
    fn from(answer: &Answer) -> Self {
        match answer {
            Answer::Yes(words) => Self::Yes(words.clone()),
            Answer::No => Self::No,
            Answer::NotApplicable(reason) => Self::NotApplicable(reason.clone()),
        }
    }
}

impl From<AnswerRec> for Answer {
    fn from(record: AnswerRec) -> Self {
        match record {
            AnswerRec::Yes(words) => Self::Yes(words),
            AnswerRec::No => Self::No,
            AnswerRec::NotApplicable(reason) => Self::NotApplicable(reason),
        }
    }
}

/// What the hold judge saw.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EvidenceRec {
    tier: String,
    held_ms: u64,
    events: u32,
    median_ms: u64,
    cancels: u32,
    terminal: String,
}

impl From<&Evidence> for EvidenceRec {
    fn from(evidence: &Evidence) -> Self {
        Self {
            tier: evidence.tier.key().to_owned(),
            held_ms: evidence.held_ms,
            events: evidence.events,
            median_ms: evidence.median_ms,
            cancels: evidence.cancels,
            terminal: evidence.terminal.clone(),
        }
    }
}

impl EvidenceRec {
    pub(super) fn take(self) -> Result<Evidence, String> {
        let tier = Tier::ALL.into_iter().find(|tier| tier.key() == self.tier);
        Ok(Evidence {
            tier: word(tier, "the way of holding", &self.tier)?,
            held_ms: self.held_ms,
            events: self.events,
            median_ms: self.median_ms,
            cancels: self.cancels,
            terminal: self.terminal,
        })
    }
}

/// A value that was read or worked out.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TakenRec {
    m: MeasuredRec,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    typed: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    with: Option<String>,
    at: AtRec,
    by: String,
    step: String,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    overdue: bool,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    unusual: bool,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    late: bool,
}

impl From<&Taken> for TakenRec {
    fn from(taken: &Taken) -> Self {
        Self {
            m: (&taken.measured).into(),
            typed: taken.typed.clone(),
            with: taken.instrument.as_ref().map(ToString::to_string),
            at: taken.at.into(),
            by: taken.by.to_string(),
            step: taken.step.to_string(),
            overdue: taken.overdue,
            unusual: taken.unusual,
            late: taken.late,
        }
    }
}

impl TakenRec {
    pub(super) fn take(self) -> Result<Taken, String> {
        let with = self.with.as_deref().map(|with| id(InstrumentId::new, with));
        Ok(Taken {
            measured: self.m.take()?,
            typed: self.typed,
            instrument: with.transpose()?,
            at: self.at.into(),
            by: person(&self.by)?,
            step: id(StepId::new, &self.step)?,
            overdue: self.overdue,
            unusual: self.unusual,
            late: self.late,
        })
    }
}

/// A limit as it was judged.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JudgedRec {
    limit: usize,
    verdict: String,
    /// The kind of margin and U.
    kind: String,
    margin: Number,
    #[serde(rename = "U")]
    expanded: Number,
    k: Number,
    rule: String,
}

impl From<&Judged> for JudgedRec {
    fn from(judged: &Judged) -> Self {
        let judgement = &judged.judgement;
        Self {
            limit: judged.limit,
            verdict: verdict_key(judgement.verdict).to_owned(),
            kind: judgement.margin.kind().key().to_owned(),
            margin: Number(judgement.margin.si()),
            expanded: Number(judgement.expanded.si()),
            k: Number(judgement.k),
            rule: judgement.rule.name().to_owned(),
        }
    }
}

impl JudgedRec {
    pub(super) fn take(&self) -> Result<Judged, String> {
        let kind = word(Kind::from_key(&self.kind), "the kind", &self.kind)?;
        let of =
            |number: Number| Quantity::from_si(number.0, kind).map_err(|error| error.to_string());
        let verdict = [Verdict::Within, Verdict::Outside, Verdict::TooClose]
            .into_iter()
            .find(|verdict| verdict_key(*verdict) == self.verdict);
        let judgement = Judgement {
            verdict: word(verdict, "the verdict", &self.verdict)?,
            margin: of(self.margin)?,
            expanded: of(self.expanded)?,
            k: self.k.0,
            rule: word(Rule::from_name(&self.rule), "the rule", &self.rule)?,
        };
        Ok(Judged {
            limit: self.limit,
            judgement,
        })
    }
}

const fn verdict_key(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Outside => "outside",
        Verdict::TooClose => "too_close",
    }
}

pub(super) const fn system_key(system: System) -> &'static str {
    match system {
        System::Metric => "metric",
        System::Us => "us",
    }
}

pub(super) fn system(text: &str) -> Result<System, String> {
    let found = [System::Metric, System::Us]
        .into_iter()
        .find(|system| system_key(*system) == text);
    word(found, "the unit system", text)
}

/// A person's name. One that the engine would not take as it stands (with a
/// space at its end) is refused, so that nothing is read differently from how
/// it was written.
pub(super) fn person(name: &str) -> Result<Person, String> {
    let person = Person::new(name).map_err(|error| error.to_string())?;
    if person.as_str() == name {
        Ok(person)
    } else {
        Err(format!("the name {name:?} has a space before or after it"))
    }
}

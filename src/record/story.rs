//! What became of a job, as data: who, what, when, as found and as left, against
//! which limit, with which instrument.
//!
//! Invariant: one pass over the entries; text is as it was given, and whoever
//! shows it escapes it.

use serde::Serialize;

use super::Account;
use super::show::{
    condition_title, duty_title, instant, instrument_title, measured, role_title, step_title,
    system, value_title,
};
use super::walk::Walk;
use crate::job::{Mode, Taken};
use crate::journal::{Standing, Standings, Told};
use crate::procedure::{ValueId, When};

/// What became of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Story {
    /// The name of this form.
    pub format: &'static str,
    /// `JOB` or `PRACTICE`.
    pub mode: &'static str,
    /// The job's id.
    pub job: String,
    /// The procedure.
    pub procedure: Document,
    /// The sheet of the vehicle.
    pub sheet: Document,
    /// The list of instruments.
    pub instruments: Document,
    /// How the vehicle is told from its look-alikes.
    pub identify: Vec<String>,
    /// The versions of the program that wrote, each from its first entry on.
    pub programs: Vec<Revision>,
    /// Who was there; names are not proved.
    pub people: Vec<String>,
    /// Always false: names are typed or picked, never proved.
    pub names_proved: bool,
    /// Why the job was done.
    pub why: String,
    /// The job that this one carries on.
    pub earlier: Option<String>,
    /// When it was opened.
    pub opened: String,
    /// How it ended, and when.
    pub ended: Option<(String, String)>,
    /// The step it stands in while it has not ended.
    pub stands_in: Option<String>,
    /// As found and as left, by setting.
    pub settings: Vec<Change>,
    /// Every reading and working that has a value.
    pub values: Vec<Value>,
    /// Points of watches.
    pub series: Vec<Point>,
    /// Every verdict that counted when a step was left.
    pub verdicts: Vec<Verdict>,
    /// Limits overridden, with the reasons.
    pub overrides: Vec<Line>,
    /// Instruments used, with what is known of them.
    pub used: Vec<Instrument>,
    /// Holds, with the evidence.
    pub holds: Vec<Hold>,
    /// Stop work.
    pub stops: Vec<Stop>,
    /// Corrections, with both values.
    pub corrections: Vec<Line>,
    /// What is owed, and who took it on.
    pub owed: Vec<Owed>,
    /// What holds at the end.
    pub holding: Vec<String>,
    /// Every entry in a line.
    pub chronicle: Vec<Line>,
    /// How many entries there are.
    pub entries: u64,
    /// The hash of the last.
    pub head: String,
    /// Whether the record agrees with the engine when decided again; `None`
    /// when it was not asked.
    pub agrees: Option<bool>,
}

/// A document that the job is pinned to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Document {
    /// Its id.
    pub id: String,
    /// What people see.
    pub title: String,
    /// Its revision, where it has one.
    pub revision: Option<u32>,
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// Whether it was released when the job was begun; left out where it is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub released: Option<String>,
}

/// A version of the program.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Revision {
    /// The first entry it wrote.
    pub entry: u64,
    /// The version.
    pub version: String,
}

/// A value that was read or worked out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Value {
    /// Its id.
    pub id: String,
    /// What people see.
    pub title: String,
    /// The value with U and k, in the reader's units.
    pub shown: String,
    /// What was typed; empty for a working.
    pub typed: String,
    /// The key of its kind.
    pub kind: String,
    /// The value in SI.
    pub si: f64,
    /// The expanded uncertainty in SI, k = 2.
    pub expanded_si: f64,
    /// What it was read with.
    pub instrument: Option<String>,
    /// When.
    pub at: String,
    /// By whom.
    pub by: String,
    /// In which step.
    pub step: String,
    /// Past its calibration date, unusual, late.
    pub marks: Vec<&'static str>,
}

/// A reading of a setting, and what it was held against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// The setting.
    pub setting: String,
    /// `as found` or `as left`.
    pub when: &'static str,
    /// The reading.
    pub reading: String,
    /// Its value; `None` if there is none.
    pub value: Option<Value>,
    /// The limits on it, as last judged.
    pub against: Vec<Against>,
}

/// A limit as it was judged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Against {
    /// What was judged.
    pub subject: String,
    /// The bound, in the reader's units.
    pub bound: String,
    /// `interlock` or `advice`.
    pub grade: &'static str,
    /// The decision rule.
    pub rule: String,
    /// Within, outside, or too close to call.
    pub verdict: String,
    /// The verdict with its margin, U and k.
    pub sentence: String,
    /// Why the limit is there.
    pub why: String,
}

/// A verdict that counted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// The entry in which the step was left.
    pub entry: u64,
    /// The step.
    pub step: String,
    /// The limit.
    pub against: Against,
}

/// A point of a watch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Point {
    /// Which of the series, from 1.
    pub number: usize,
    /// The value.
    pub value: Value,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Line {
    /// The entry.
    pub entry: u64,
    /// When.
    pub at: String,
    /// Who.
    pub by: String,
    /// What.
    pub what: String,
}

/// A hold.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Hold {
    /// The entry.
    pub entry: u64,
    /// Who.
    pub by: String,
    /// The step.
    pub step: String,
    /// Which way it was proved.
    pub tier: &'static str,
    /// How long, in ms.
    pub held_ms: u64,
    /// How many key events.
    pub events: u32,
    /// Their median interval in ms.
    pub median_ms: u64,
    /// How often a hold broke off before.
    pub cancels: u32,
    /// What the terminal calls itself.
    pub terminal: String,
}

/// Stop work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Stop {
    /// The entry.
    pub entry: u64,
    /// When.
    pub at: String,
    /// In which step.
    pub step: String,
    /// `called`, `forced`, `carried on`, `taken`.
    pub what: &'static str,
}

/// An instrument that was used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Instrument {
    /// For what.
    pub role: String,
    /// What people call it.
    pub title: String,
    /// Span, limit of error, resolution, calibration.
    pub metrology: String,
    /// What it showed at zero, if that was looked at.
    pub zero: Option<String>,
}

/// Something owed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Owed {
    /// What.
    pub what: String,
    /// What must stand on the first page if it is handed over.
    pub hand_over: Vec<String>,
    /// Who took it on; the name is not proved.
    pub to: Option<String>,
}

/// Tells a job.
pub fn story(account: &Account<'_>) -> Story {
    let (setup, state, pins) = (account.setup, account.state, account.pins);
    let walk = Walk::over(account);
    let person = |by: &crate::job::Person| by.to_string();
    let released = |of: fn(&Standings) -> &Standing| {
        let all = pins.released.as_ref()?;
        Some(of(all).to_string())
    };
    Story {
        format: "levelhand record 1",
        mode: mode_word(pins.mode),
        job: pins.job.to_string(),
        procedure: Document {
            id: setup.procedure.id.to_string(),
            title: setup.procedure.title.clone(),
            revision: Some(setup.procedure.revision),
            sha256: pins.procedure.to_string(),
            released: released(|all| &all.procedure),
        },
        sheet: Document {
            id: setup.sheet.id.to_string(),
            title: setup.sheet.title.clone(),
            revision: Some(setup.sheet.revision),
            sha256: pins.sheet.to_string(),
            released: released(|all| &all.sheet),
        },
        instruments: Document {
            id: setup.instruments.id.clone(),
            title: setup.instruments.title.clone(),
            revision: None,
            sha256: pins.instruments.to_string(),
            released: released(|all| &all.instruments),
        },
        identify: setup.sheet.identify.clone(),
        programs: programs(account.told),
        people: state.people.iter().map(person).collect(),
        names_proved: false,
        why: state.why.clone(),
        earlier: state.earlier.clone(),
        opened: account
            .told
            .first()
            .map_or_else(String::new, |first| instant(first.at)),
        ended: state
            .ended
            .map(|end| (end.kind.key().to_owned(), instant(end.at))),
        stands_in: stands_in(account),
        settings: settings(account, &walk),
        values: state
            .values
            .iter()
            .map(|(id, taken)| value(account, id, taken))
            .collect(),
        series: series(account),
        verdicts: walk.verdicts,
        overrides: walk.overrides,
        used: used(account),
        holds: walk.holds,
        stops: walk.stops,
        corrections: walk.corrections,
        owed: owed(account),
        holding: state
            .conditions
            .keys()
            .map(|id| condition_title(setup, id))
            .collect(),
        chronicle: walk.chronicle,
        entries: account.head.count,
        head: account.head.hash.to_string(),
        agrees: account.agreement.map(crate::journal::Agreement::holds),
    }
}

pub(super) const fn mode_word(mode: Mode) -> &'static str {
    match mode {
        Mode::Job => "JOB",
        Mode::Practice => "PRACTICE",
    }
}

fn programs(told: &[Told]) -> Vec<Revision> {
    let mut programs: Vec<Revision> = Vec::new();
    for told in told {
        if let Some(version) = &told.program
            && programs.last().is_none_or(|last| &last.version != version)
        {
            programs.push(Revision {
                entry: told.seq,
                version: version.clone(),
            });
        }
    }
    programs
}

fn stands_in(account: &Account<'_>) -> Option<String> {
    if account.state.ended.is_some() {
        return None;
    }
    account.state.step().map(|id| step_title(account.setup, id))
}

/// A value as data.
pub(super) fn value(account: &Account<'_>, id: &ValueId, taken: &Taken) -> Value {
    let (setup, state) = (account.setup, account.state);
    let marks = [
        (taken.overdue, "past its calibration date"),
        (taken.unusual, "unusual, typed twice"),
        (taken.late, "late"),
    ];
    Value {
        id: id.to_string(),
        title: value_title(setup, id),
        shown: measured(setup, system(setup, state), id, taken),
        typed: taken.typed.clone(),
        kind: taken.measured.kind().key().to_owned(),
        si: taken.measured.value().si(),
        expanded_si: taken.measured.expanded().si(),
        instrument: taken
            .instrument
            .as_ref()
            .map(|with| instrument_title(setup, with)),
        at: instant(taken.at),
        by: taken.by.to_string(),
        step: step_title(setup, &taken.step),
        marks: marks
            .into_iter()
            .filter_map(|(is, word)| is.then_some(word))
            .collect(),
    }
}

fn settings(account: &Account<'_>, walk: &Walk) -> Vec<Change> {
    let setup = account.setup;
    let mut changes: Vec<(bool, Change)> = Vec::new();
    for (id, reading) in &setup.procedure.readings {
        let (Some(of), Some(when)) = (&reading.of, reading.when) else {
            continue;
        };
        let setting = setup.procedure.settings.get(of);
        let late = when == When::AsLeft;
        let change = Change {
            setting: setting.map_or_else(|| of.to_string(), |setting| setting.title.clone()),
            when: if late { "as left" } else { "as found" },
            reading: reading.title.clone(),
            value: account
                .state
                .values
                .get(id)
                .map(|taken| value(account, id, taken)),
            against: walk
                .against
                .get(id)
                .map_or_else(Vec::new, |seen| seen.values().cloned().collect()),
        };
        changes.push((late, change));
    }
    changes.sort_by(|(a, x), (b, y)| (&x.setting, a).cmp(&(&y.setting, b)));
    changes.into_iter().map(|(_, change)| change).collect()
}

fn series(account: &Account<'_>) -> Vec<Point> {
    let points = account.state.series.iter();
    points
        .flat_map(|(id, taken)| {
            taken.iter().enumerate().map(|(at, taken)| Point {
                number: at + 1,
                value: value(account, id, taken),
            })
        })
        .collect()
}

fn used(account: &Account<'_>) -> Vec<Instrument> {
    let (setup, state) = (account.setup, account.state);
    let system = system(setup, state);
    let roles = state.roles.iter();
    roles
        .map(|(role, id)| {
            let known = setup.instruments.list.get(id);
            let zero = state.zeros.get(id);
            Instrument {
                role: role_title(setup, role),
                title: instrument_title(setup, id),
                metrology: known.map_or_else(String::new, |known| known.metrology.sentence(system)),
                zero: zero.map(|zero| zero.show_plain(zero.kind().shown(system))),
            }
        })
        .collect()
}

fn owed(account: &Account<'_>) -> Vec<Owed> {
    let (setup, state) = (account.setup, account.state);
    let duties = state.duties.iter().map(|(id, owed)| Owed {
        what: duty_title(setup, id),
        hand_over: setup
            .procedure
            .duties
            .get(id)
            .map_or_else(Vec::new, |duty| duty.hand_over.clone()),
        to: owed.to.as_ref().map(ToString::to_string),
    });
    let repeats = state.repeats.iter().map(|id| Owed {
        what: format!("repeat the step: {}", step_title(setup, id)),
        hand_over: Vec::new(),
        to: state.repeats_to.as_ref().map(ToString::to_string),
    });
    duties.chain(repeats).collect()
}

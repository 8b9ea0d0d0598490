//! What became of a job, as data: who, what, when, as found and as left, against
//! which limit, with which instrument.
//!
//! Invariant: one pass over the entries; text is as it was given, and whoever
//! shows it escapes it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::Account;
use super::chronicle;
use super::show::{
    bound, condition_title, duty_title, instant, instrument_title, measured, role_title,
    step_title, subject, system, unit_of, value_title,
};
use crate::job::{Command, Correction, Event, Judged, Mode, State, Taken};
use crate::journal::{Told, fold};
use crate::procedure::{Grade, StepId, Subject, ValueId, When};
use crate::quantity::judge;

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
    Story {
        format: "levelhand record 1",
        mode: mode_word(pins.mode),
        job: pins.job.to_string(),
        procedure: Document {
            id: setup.procedure.id.to_string(),
            title: setup.procedure.title.clone(),
            revision: Some(setup.procedure.revision),
            sha256: pins.procedure.to_string(),
        },
        sheet: Document {
            id: setup.sheet.id.to_string(),
            title: setup.sheet.title.clone(),
            revision: Some(setup.sheet.revision),
            sha256: pins.sheet.to_string(),
        },
        instruments: Document {
            id: setup.instruments.id.clone(),
            title: setup.instruments.title.clone(),
            revision: None,
            sha256: pins.instruments.to_string(),
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

/// What one pass over the entries gathers.
#[derive(Debug, Default)]
struct Walk {
    verdicts: Vec<Verdict>,
    /// The limits on each value as last judged, by step and place in its list.
    against: BTreeMap<ValueId, BTreeMap<(StepId, usize), Against>>,
    overrides: Vec<Line>,
    holds: Vec<Hold>,
    stops: Vec<Stop>,
    corrections: Vec<Line>,
    chronicle: Vec<Line>,
}

impl Walk {
    fn over(account: &Account<'_>) -> Self {
        let mut walk = Self::default();
        let mut state = State::default();
        for told in account.told {
            let what = chronicle::sentence(account.setup, &state, told);
            walk.chronicle.push(line(told, what));
            for event in &told.events {
                walk.see(account, &state, told, event);
                crate::job::evolve(&mut state, event);
            }
            fold(&mut state, told.at, &[]);
        }
        walk
    }

    /// Looks at an event; `state` is as it was before it.
    fn see(&mut self, account: &Account<'_>, state: &State, told: &Told, event: &Event) {
        match event {
            Event::Left { step, .. } | Event::RepeatEnded { step, passed: true } => {
                self.left(account, state, told, step);
            }
            Event::Held(evidence) => self.holds.push(Hold {
                entry: told.seq,
                by: told.by.clone(),
                step: here(account, state),
                tier: evidence.tier.key(),
                held_ms: evidence.held_ms,
                events: evidence.events,
                median_ms: evidence.median_ms,
                cancels: evidence.cancels,
                terminal: evidence.terminal.clone(),
            }),
            Event::Corrected {
                subject,
                was,
                now,
                reason,
            } => {
                let what = corrected(account, &told.command, subject);
                let what = format!("{what}: was {was}, is {now}; because: {reason}");
                self.corrections.push(line(told, what));
            }
            Event::StopCalled { forced, .. } => {
                self.stop(
                    account,
                    state,
                    told,
                    if *forced { "forced" } else { "called" },
                );
            }
            Event::Resumed { .. } if matches!(told.command, Command::CarryOn) => {
                self.stop(account, state, told, "carried on");
            }
            Event::StopTaken { .. } => self.stop(account, state, told, "taken"),
            Event::Replaced { value, taken } => self.judge_anew(account, value, taken),
            Event::Opened { .. }
            | Event::Resumed { .. }
            | Event::ClockWentBack { .. }
            | Event::Recovered { .. }
            | Event::SignedOn { .. }
            | Event::AtDoor { .. }
            | Event::Entered { .. }
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
            | Event::Attested { .. }
            | Event::ReTicked { .. }
            | Event::RepeatOwed { .. }
            | Event::RepeatBegun { .. }
            | Event::RepeatEnded { passed: false, .. }
            | Event::InstrumentUsed { .. }
            | Event::HandedOver { .. }
            | Event::RepeatsHandedOver { .. }
            | Event::Noted { .. }
            | Event::Ended { .. } => {}
        }
    }

    /// A value that was corrected after its step was left does not stand beside
    /// the verdict on the old one (S13): it is judged anew, by the same rule.
    fn judge_anew(&mut self, account: &Account<'_>, id: &ValueId, taken: &Taken) {
        let setup = account.setup;
        let system = system(setup, account.state);
        for ((step, index), seen) in self.against.get_mut(id).into_iter().flatten() {
            let anew = || {
                let limit = setup.step(step)?.limits.get(*index)?;
                let (bound, _) = bound(setup, system, limit)?;
                let judgement = judge(&taken.measured, &bound, limit.rule).ok()?;
                let judged = Judged {
                    limit: *index,
                    judgement,
                };
                against(account, step, &judged)
            };
            if let Some(mut anew) = anew() {
                anew.sentence
                    .push_str(", judged anew after it was corrected");
                *seen = anew;
            }
        }
    }

    fn stop(&mut self, account: &Account<'_>, state: &State, told: &Told, what: &'static str) {
        // A card that was up when a program opened the job is put up again.
        if matches!(told.command, Command::Resume { .. }) {
            return;
        }
        self.stops.push(Stop {
            entry: told.seq,
            at: instant(told.at),
            step: here(account, state),
            what,
        });
    }

    /// The verdicts and overrides with which a step is left.
    fn left(&mut self, account: &Account<'_>, state: &State, told: &Told, step: &StepId) {
        for judged in &state.current().judged {
            let Some(against) = against(account, step, judged) else {
                continue;
            };
            if let Some(limit) = account
                .setup
                .step(step)
                .and_then(|s| s.limits.get(judged.limit))
                && let Subject::Value(id) = &limit.subject
            {
                let seen = self.against.entry(id.clone()).or_default();
                seen.insert((step.clone(), judged.limit), against.clone());
            }
            self.verdicts.push(Verdict {
                entry: told.seq,
                step: step_title(account.setup, step),
                against,
            });
        }
        for (limit, reason) in &state.current().overrides {
            let limits = account
                .setup
                .step(step)
                .map_or(&[][..], |step| &step.limits);
            let of = limits
                .get(*limit)
                .map_or_else(String::new, |limit| subject(account.setup, &limit.subject));
            let title = step_title(account.setup, step);
            let what = format!("{of}, in \"{title}\"; because: {reason}");
            self.overrides.push(line(told, what));
        }
    }
}

fn line(told: &Told, what: String) -> Line {
    Line {
        entry: told.seq,
        at: instant(told.at),
        by: told.by.clone(),
        what,
    }
}

fn here(account: &Account<'_>, state: &State) -> String {
    state
        .step()
        .map_or_else(String::new, |id| step_title(account.setup, id))
}

fn corrected(account: &Account<'_>, command: &Command, subject: &str) -> String {
    if let Command::Correct {
        what: Correction::Tick { step, .. } | Correction::Choice { step, .. },
        ..
    } = command
    {
        return format!("{subject}, in \"{}\"", step_title(account.setup, step));
    }
    subject.to_owned()
}

/// A limit as it was judged, in words.
fn against(account: &Account<'_>, step: &StepId, judged: &Judged) -> Option<Against> {
    let setup = account.setup;
    let limit = setup.step(step)?.limits.get(judged.limit)?;
    let system = system(setup, account.state);
    let (bound, unit) = bound(setup, system, limit)?;
    let judgement = &judged.judgement;
    let apart = judgement.margin.kind();
    let margin_unit = match &limit.subject {
        Subject::Value(id) | Subject::Difference(id, _) => unit_of(setup, system, id, apart),
        Subject::Age(_) => unit,
    };
    Some(Against {
        subject: subject(setup, &limit.subject),
        bound: bound.sentence_in(unit),
        grade: match limit.grade {
            Grade::Interlock => "interlock",
            Grade::Advice => "advice",
        },
        rule: judgement.rule.name().to_owned(),
        verdict: judgement.verdict.name().to_owned(),
        sentence: judgement.sentence_in(margin_unit),
        why: limit.why.clone(),
    })
}

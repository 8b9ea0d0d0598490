//! The one pass over a job's entries: what each led to, gathered by what people
//! ask for.
//!
//! Invariant: each entry is looked at once, on the state before it.

use std::collections::BTreeMap;

use super::Account;
use super::chronicle;
use super::show::{bound, instant, step_title, subject, system, unit_of};
use super::story::{Against, Hold, Line, Stop, Verdict};
use crate::job::{Command, Correction, Event, Judged, State, Taken};
use crate::journal::{Told, fold};
use crate::procedure::{Grade, StepId, Subject, ValueId};
use crate::quantity::judge;

/// What one pass over the entries gathers.
#[derive(Debug, Default)]
pub(super) struct Walk {
    pub(super) verdicts: Vec<Verdict>,
    /// The limits on each value as last judged, by step and place in its list.
    pub(super) against: BTreeMap<ValueId, BTreeMap<(StepId, usize), Against>>,
    pub(super) overrides: Vec<Line>,
    pub(super) holds: Vec<Hold>,
    pub(super) stops: Vec<Stop>,
    pub(super) corrections: Vec<Line>,
    pub(super) chronicle: Vec<Line>,
}

impl Walk {
    pub(super) fn over(account: &Account<'_>) -> Self {
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

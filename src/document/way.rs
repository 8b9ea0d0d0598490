//! Where each outcome leads: ways as written, defaults, and fall-through (S5).

use std::collections::BTreeMap;

use super::code::{IMPOSSIBLE_WAY, MISSING_WAY};
use super::json::Span;
use super::reader::{Reader, at};
use super::step::{BodyText, Read, To, WrittenChoice};
use crate::finding::{Finding, Subject};
use crate::procedure::{
    Body, Choice, Confirm, EndKind, Outcome, Phase, Reading, Step, StepId, ValueId,
};
use crate::quantity::Rule;

/// What may come of a step.
struct May {
    outcome: Outcome,
    /// Why it may, or why it can't.
    why: &'static str,
    /// It may occur.
    open: bool,
    /// It must have a way.
    must: bool,
}

impl Reader {
    /// The steps with every way filled in.
    pub(super) fn lead(
        &mut self,
        read: Vec<Read>,
        phases: &[Phase],
        readings: &BTreeMap<ValueId, Reading>,
    ) -> Vec<Step> {
        let order: Vec<(StepId, usize)> = read
            .iter()
            .map(|r| (r.step.id.clone(), r.step.phase))
            .collect();
        self.fallen_into_turns(&read, phases);
        let mut steps = Vec::new();
        for (index, one) in read.into_iter().enumerate() {
            let next = falls_to(index, &order, phases);
            steps.push(self.led(one, next, readings));
        }
        steps
    }

    fn led(
        &mut self,
        read: Read,
        next: Option<StepId>,
        readings: &BTreeMap<ValueId, Reading>,
    ) -> Step {
        let Read { mut step, body } = read;
        let about = Subject::step(&step.id);
        self.resume(about.clone());
        step.body = match body {
            BodyText::End(kind) => Body::End(kind.unwrap_or(EndKind::MadeSafe)),
            BodyText::Look { by_sheet, choices } => Body::Look {
                by_sheet,
                choices: choices
                    .into_iter()
                    .map(|c| self.choice_way(&step.id, c, next.as_ref()))
                    .collect(),
            },
            BodyText::Ordinary {
                confirm,
                tries,
                mut ways,
                way_spans,
                tries_span,
            } => {
                if !self.spoiled.contains(&about) {
                    let may = outcomes(&step, &confirm, tries, readings);
                    self.judge(&about, &may, &mut ways, &way_spans, next);
                    self.idle_tries(&may, tries_span);
                }
                let ways = ways
                    .into_iter()
                    .filter_map(|(o, to)| Some((o, to?)))
                    .collect();
                Body::Ordinary {
                    confirm,
                    tries,
                    ways,
                }
            }
        };
        step
    }

    fn choice_way(
        &mut self,
        step: &StepId,
        written: WrittenChoice,
        next: Option<&StepId>,
    ) -> Choice {
        let mut choice = written.choice;
        match (written.to, next) {
            (To::Step(to), _) => choice.to = to,
            (To::Unread, _) => {}
            (To::Next, Some(next)) => choice.to = next.clone(),
            (To::Next, None) => {
                let sentence = format!("the choice {} leads nowhere", choice.id);
                self.push(
                    Finding::error(MISSING_WAY, Subject::choice(step, &choice.id), sentence)
                        .help(NOWHERE),
                );
            }
        }
        choice
    }

    fn judge(
        &mut self,
        about: &Subject,
        may: &[May],
        ways: &mut BTreeMap<Outcome, Option<StepId>>,
        spans: &BTreeMap<Outcome, Span>,
        next: Option<StepId>,
    ) {
        if let Some(next) = next {
            ways.entry(Outcome::Pass).or_insert(Some(next));
        }
        for one in may {
            let key = one.outcome.key();
            if one.outcome == Outcome::TooClose
                && one.open
                && !ways.contains_key(&Outcome::TooClose)
            {
                if let Some(fail) = ways.get(&Outcome::Fail).cloned() {
                    ways.insert(Outcome::TooClose, fail);
                }
                continue;
            }
            match spans.get(&one.outcome) {
                Some(span) if !one.open => {
                    let sentence = format!("the outcome {key:?} can't occur here: {}", one.why);
                    self.push(
                        at(IMPOSSIBLE_WAY, *span, sentence)
                            .help("remove the way, or add what makes it possible"),
                    );
                    ways.remove(&one.outcome);
                }
                None if one.must && !ways.contains_key(&one.outcome) => {
                    let sentence = format!("the outcome {key:?} leads nowhere: {}", one.why);
                    let help = if one.outcome == Outcome::Pass {
                        NOWHERE.to_owned()
                    } else {
                        format!("add it: \"ways\": {{\"{key}\": ...}}")
                    };
                    self.push(Finding::error(MISSING_WAY, about.clone(), sentence).help(help));
                }
                _ => {}
            }
        }
    }

    /// Tries count bad outcomes; a step that has none counts nothing.
    fn idle_tries(&mut self, may: &[May], span: Option<Span>) {
        let counted = [Outcome::Fail, Outcome::TooClose, Outcome::Lapsed];
        let any = may.iter().any(|m| counted.contains(&m.outcome) && m.open);
        if let (Some(span), false) = (span, any) {
            let sentence = "\"tries\" counts bad outcomes, and this step has none";
            self.push(
                at(IMPOSSIBLE_WAY, span, sentence).help("remove \"tries\", or add limits or ticks"),
            );
        }
    }
}

/// Help for what has no way and nothing to fall to.
const NOWHERE: &str = "nothing follows that it could fall through to; write the step it leads to";

/// The next step in the document, as S5 lets things fall.
fn falls_to(index: usize, order: &[(StepId, usize)], phases: &[Phase]) -> Option<StepId> {
    let (_, phase) = order.get(index)?;
    let aside = |p: &usize| phases.get(*p).is_some_and(|p| p.aside);
    let mut later = order.iter().skip(index + 1);
    if aside(phase) {
        return later
            .next()
            .filter(|(_, p)| p == phase)
            .map(|(id, _)| id.clone());
    }
    later.find(|(_, p)| !aside(p)).map(|(id, _)| id.clone())
}

/// Which outcomes a step may have (S4, S5, S14).
fn outcomes(
    step: &Step,
    confirm: &Confirm,
    tries: Option<u32>,
    readings: &BTreeMap<ValueId, Reading>,
) -> [May; 5] {
    let limited = !step.limits.is_empty();
    let witness = step
        .readings
        .iter()
        .any(|r| readings.get(r).is_some_and(|r| r.witness));
    let guarded = step.limits.iter().any(|l| l.rule == Rule::Guarded);
    let timed = matches!(confirm, Confirm::Pulse { .. } | Confirm::Wait { .. });
    let bad = limited || witness;
    let may = |outcome, open, must, why| May {
        outcome,
        why,
        open,
        must,
    };
    [
        may(Outcome::Pass, true, true, "every ordinary step may pass"),
        may(
            Outcome::Fail,
            bad || !step.ticks.is_empty(),
            bad,
            if bad {
                "it has limits, or a second reading by a witness"
            } else {
                "it has no limits and no ticks"
            },
        ),
        may(
            Outcome::TooClose,
            guarded,
            false,
            "every limit uses simple acceptance",
        ),
        may(
            Outcome::Lapsed,
            timed,
            timed,
            if timed {
                "its pulse or wait may not be kept"
            } else {
                "it is not confirmed by a pulse or a wait"
            },
        ),
        may(
            Outcome::Spent,
            tries.is_some(),
            tries.is_some(),
            if tries.is_some() {
                "its tries may be used up"
            } else {
                "it has no \"tries\""
            },
        ),
    ]
}

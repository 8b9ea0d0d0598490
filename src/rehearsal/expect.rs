//! What a script expects, held against what came.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "the player looks for single events among many"
)]

use std::collections::BTreeSet;
use std::fmt;

use super::play::{Player, Step1};
use super::script::Move;
use crate::job::{Event, Offer, Way, offers};
use crate::procedure::{DutyId, Subject};

impl Player<'_> {
    pub(super) fn check_arrival(&self, made: &Move) -> Step1 {
        let step = self.state.step().and_then(|s| self.setup.step(s));
        if let (Some(step), Some(title)) = (step, &made.title)
            && &step.title != title
        {
            return Err(self.differs(format!(
                "the title is \"{}\"; the script says \"{title}\"",
                step.title
            )));
        }
        let expect = &made.expect;
        let holds = |c| self.state.conditions.contains_key(c);
        for condition in &expect.holds {
            if !holds(condition) {
                return Err(self.differs(format!("{condition} does not hold")));
            }
        }
        for condition in &expect.not {
            if holds(condition) {
                return Err(self.differs(format!("{condition} holds")));
            }
        }
        self.check_owed(made)?;
        for value in &expect.known {
            if self.state.value(value).is_none() {
                return Err(self.differs(format!("{value} has no value")));
            }
        }
        if let Some(wanted) = &expect.asked_again {
            let asked: BTreeSet<_> = offers(self.setup, &self.state, &self.at)
                .into_iter()
                .filter_map(|o| match o {
                    Offer::Attest(c) => Some(c),
                    _ => None,
                })
                .collect();
            if &asked != wanted {
                return Err(self.differs(format!(
                    "asked again: {}; the script says: {}",
                    names(&asked),
                    names(wanted)
                )));
            }
        }
        Ok(())
    }

    pub(super) fn check_owed(&self, made: &Move) -> Step1 {
        for duty in &made.expect.owed {
            if !self.state.duties.contains_key(duty) {
                return Err(self.differs(format!("{duty} is not owed")));
            }
        }
        for duty in &made.expect.not_owed {
            if self.state.duties.contains_key(duty) {
                return Err(self.differs(format!("{duty} is owed")));
            }
        }
        Ok(())
    }

    pub(super) fn check_left(&self, made: &Move, from: usize) -> Step1 {
        let events: Vec<&Event> = self
            .entries
            .iter()
            .skip(from)
            .flat_map(|(_, _, events)| events)
            .collect();
        if let Some(outcome) = made.outcome {
            let left = events.iter().find_map(|e| match e {
                Event::Left { step, way, .. } if step == &made.at => Some(way),
                _ => None,
            });
            if left != Some(&Way::Outcome(outcome)) {
                return Err(self.differs(format!(
                    "left {} with {left:?}; the script says {}",
                    made.at,
                    outcome.key()
                )));
            }
        }
        if let Some(to) = &made.to {
            let led = events.iter().any(|e| match e {
                Event::Entered { step, .. } | Event::AtDoor { step, .. } => step == to,
                _ => false,
            });
            if !led {
                return Err(self.differs(format!("this did not lead to {to}")));
            }
        }
        Ok(())
    }

    pub(super) fn check_verdicts(&self, made: &Move) -> Step1 {
        let Some(step) = self.setup.step(&made.at) else {
            return Ok(());
        };
        for (of, wanted) in &made.expect.verdicts {
            let found = step.limits.iter().enumerate().find(|(index, limit)| {
                of == &format!("limit {}", index + 1)
                    || matches!(&limit.subject, Subject::Value(v) if v.as_str() == of)
            });
            let judged = found.and_then(|(index, _)| self.judged(index));
            if judged.as_deref() != Some(wanted.as_str()) {
                return Err(self.differs(format!(
                    "the verdict on {of} is {}; the script says {wanted}",
                    judged.unwrap_or_else(|| "not given".to_owned())
                )));
            }
        }
        Ok(())
    }

    /// The last verdict given on a limit, also when the step passed by itself.
    pub(super) fn judged(&self, index: usize) -> Option<String> {
        let last = self.entries.iter().rev().flat_map(|(_, _, events)| events);
        let mut verdicts = last.filter_map(|event| match event {
            Event::Judged(judged) => judged.iter().find(|j| j.limit == index),
            _ => None,
        });
        let verdict = verdicts.next()?.judgement.verdict;
        Some(
            match verdict {
                crate::quantity::Verdict::Within => "within",
                crate::quantity::Verdict::Outside => "outside",
                crate::quantity::Verdict::TooClose => "too_close",
            }
            .to_owned(),
        )
    }

    pub(super) fn check_end(&self) -> Step1 {
        // A drill may end anywhere and owe anything.
        let is_drill = self.beside.is_some();
        let step = self.state.step();
        if !is_drill && step != Some(&self.rehearsal.end) {
            return Err(self.differs(format!("the script ends at {}", self.rehearsal.end)));
        }
        if let Some(left) = self.rehearsal.moves.get(self.next) {
            return Err(self.differs(format!(
                "the job is over; the script still has a move at {}",
                left.at
            )));
        }
        if is_drill {
            return Ok(());
        }
        let owed: BTreeSet<DutyId> = self.state.duties.keys().cloned().collect();
        match &self.rehearsal.owed_at_end {
            Some(wanted) if wanted != &owed => Err(self.differs(format!(
                "owed at the end: {}; the script says: {}",
                names(&owed),
                names(wanted)
            ))),
            _ => Ok(()),
        }
    }
}

fn names<T: fmt::Display>(ids: &BTreeSet<T>) -> String {
    if ids.is_empty() {
        return "nothing".to_owned();
    }
    let ids: Vec<String> = ids.iter().map(ToString::to_string).collect();
    ids.join(", ")
}

//! Steps with their numbers, and every way between them once.
//!
//! Invariant: ways stand in the order of the document, stop edges last of each step.
//! Must not know how anything is drawn.

use std::collections::BTreeMap;

use crate::procedure::{Body, Choice, EndKind, Outcome, Procedure, Sheet, Step, StepId};

/// What a way is taken by.
#[derive(Debug, Clone, Copy)]
pub(super) enum By<'a> {
    /// An outcome of an ordinary step.
    Outcome(Outcome),
    /// A choice of a look.
    Choice(&'a Choice),
    /// Stop work.
    Stop,
    /// A complete end that is met with a step still to be repeated (S10, S13).
    Repeat,
}

/// A way from a step to a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way<'a> {
    /// The step it leaves, by its place in the document.
    pub(super) from: usize,
    /// The step it leads to.
    pub(super) to: usize,
    /// What it is taken by.
    pub(super) by: By<'a>,
}

impl Way<'_> {
    /// Its name within its step: the outcome, the choice, or words that are
    /// no id.
    pub(super) fn key(&self) -> &str {
        match self.by {
            By::Outcome(outcome) => outcome.key(),
            By::Choice(choice) => choice.id.as_str(),
            By::Stop => "stop work",
            By::Repeat => "still to repeat",
        }
    }

    /// Whether it is drawn faint: no one takes it while the work goes well.
    pub(super) fn is_faint(&self) -> bool {
        matches!(self.by, By::Stop | By::Repeat)
    }
}

/// What kind of step, by its looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    /// A plain step.
    Step,
    /// Stop and check, confirmed by a hold.
    Gate,
    /// The frame moves.
    Movement,
    /// What is seen decides.
    Look,
    /// The sheet decides.
    SheetLook,
    /// The job ends.
    End(EndKind),
}

impl Sort {
    /// The word that stands over the title; none over a plain step.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Step => "",
            Self::Gate => "GATE",
            Self::Movement => "MOVEMENT",
            Self::Look => "LOOK",
            Self::SheetLook => "THE SHEET DECIDES",
            Self::End(EndKind::Complete) => "END: COMPLETE",
            Self::End(EndKind::HandedOver) => "END: HANDED OVER",
            Self::End(EndKind::MadeSafe) => "END: MADE SAFE",
        }
    }
}

/// The graph, ready to be drawn.
#[derive(Debug)]
pub(super) struct Graph<'a> {
    /// Whose it is.
    pub(super) procedure: &'a Procedure,
    /// Every way, step by step.
    pub(super) ways: Vec<Way<'a>>,
    numbers: Vec<String>,
    index: BTreeMap<&'a StepId, usize>,
}

impl<'a> Graph<'a> {
    /// The graph of a procedure. Ways to steps that are not there are left out: the
    /// proof names them.
    pub(super) fn new(procedure: &'a Procedure) -> Self {
        let steps = procedure.steps.iter().enumerate();
        let index: BTreeMap<&StepId, usize> = steps.map(|(n, s)| (&s.id, n)).collect();
        let mut graph = Self {
            procedure,
            ways: Vec::new(),
            numbers: numbers(procedure),
            index,
        };
        for (from, step) in procedure.steps.iter().enumerate() {
            graph.leave(from, step);
        }
        graph
    }

    fn leave(&mut self, from: usize, step: &'a Step) {
        let mut add = |to: &StepId, by| {
            if let Some(to) = self.index.get(to).copied() {
                self.ways.push(Way { from, to, by });
            }
        };
        match &step.body {
            Body::Ordinary { ways, .. } => {
                for (outcome, to) in ways {
                    add(to, By::Outcome(*outcome));
                }
            }
            Body::Look { choices, .. } => {
                for choice in choices {
                    add(&choice.to, By::Choice(choice));
                }
            }
            Body::End(kind) => {
                if let (EndKind::Complete, Some(to)) = (kind, &self.procedure.hand_over) {
                    add(to, By::Repeat);
                }
                return;
            }
        }
        if let Some(phase) = self.procedure.phase_of(step) {
            add(&phase.stop, By::Stop);
        }
    }

    /// The place of a step in the document.
    pub(super) fn place(&self, step: &StepId) -> Option<usize> {
        self.index.get(step).copied()
    }

    /// The step at a place.
    pub(super) fn step(&self, at: usize) -> Option<&'a Step> {
        self.procedure.steps.get(at)
    }

    /// The number people call a step by: phase, point, place in it.
    pub(super) fn number(&self, at: usize) -> &str {
        self.numbers.get(at).map_or("?", String::as_str)
    }

    /// Number and title.
    pub(super) fn named(&self, at: usize) -> String {
        let title = self.step(at).map_or("", |s| s.title.as_str());
        format!("{} {title}", self.number(at))
    }

    /// Number and title of a step by its name.
    pub(super) fn named_id(&self, id: &StepId) -> String {
        self.place(id)
            .map_or_else(|| id.to_string(), |at| self.named(at))
    }

    /// The ways out of a step.
    pub(super) fn out_of(&self, at: usize) -> impl Iterator<Item = &Way<'a>> {
        self.ways.iter().filter(move |w| w.from == at)
    }

    /// The places of the steps of a phase.
    pub(super) fn within(&self, phase: usize) -> impl Iterator<Item = usize> + '_ {
        let steps = self.procedure.steps.iter().enumerate();
        steps.filter(move |(_, s)| s.phase == phase).map(|(n, _)| n)
    }

    /// Which steps can be met on a vehicle with this sheet: a look that the sheet
    /// answers is left by its word only. Without a sheet, or where it says nothing,
    /// every way is taken.
    pub(super) fn met(&self, sheet: Option<&Sheet>) -> Vec<bool> {
        let mut met = vec![false; self.procedure.steps.len()];
        let mut open = vec![0];
        while let Some(at) = open.pop() {
            let Some(now @ false) = met.get_mut(at) else {
                continue;
            };
            *now = true;
            let said = self.step(at).and_then(|step| match &step.body {
                Body::Look { by_sheet, .. } => sheet?.word(by_sheet.as_ref()?),
                Body::Ordinary { .. } | Body::End(_) => None,
            });
            let ways = self.out_of(at).filter(|way| match way.by {
                By::Choice(choice) => said.is_none_or(|word| word == choice.id.as_str()),
                By::Outcome(_) | By::Stop | By::Repeat => true,
            });
            open.extend(ways.map(|way| way.to));
        }
        met
    }

    /// What a step looks like.
    pub(super) fn sort(&self, step: &Step) -> Sort {
        match &step.body {
            Body::End(kind) => Sort::End(*kind),
            Body::Look { by_sheet, .. } if by_sheet.is_some() => Sort::SheetLook,
            Body::Look { .. } => Sort::Look,
            Body::Ordinary { .. } if self.procedure.is_movement(step) => Sort::Movement,
            Body::Ordinary { .. } if self.procedure.is_gate(step) => Sort::Gate,
            Body::Ordinary { .. } => Sort::Step,
        }
    }
}

/// `3.2` for the second step of the third phase.
fn numbers(procedure: &Procedure) -> Vec<String> {
    let mut seen: BTreeMap<usize, usize> = BTreeMap::new();
    let steps = procedure.steps.iter();
    steps
        .map(|step| {
            let so_far = seen.entry(step.phase).or_default();
            *so_far += 1;
            format!("{}.{so_far}", step.phase + 1)
        })
        .collect()
}

/// The place at which a fragment is used, from the name of a step that came out of it.
pub(super) fn used_at(step: &Step) -> Option<&str> {
    step.id.as_str().split_once("__").map(|(place, _)| place)
}

/// A name as words.
pub(super) fn spaced(name: &str) -> String {
    name.replace('_', " ")
}

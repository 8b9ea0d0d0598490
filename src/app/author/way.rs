//! The ways out of a step and into it.

use crate::procedure::{Body, EndKind, Procedure, Step, StepId};

/// A way out of a step or into it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// It leads here, from `step`.
    pub into: bool,
    /// The outcome, the choice, or stop work.
    pub word: String,
    /// The step at the other end.
    pub step: StepId,
    /// Its title.
    pub title: String,
}

/// What is said of a way by stop work.
const STOP: &str = "stop work";

/// What is said of the way from a complete end with a step still to be repeated.
const REPEAT: &str = "with a step to repeat";

/// The ways and choices of a step and where they lead, with the words of a finding's
/// path: the outcome as the document writes it, or the choice.
pub(super) fn out(procedure: &Procedure, step: &Step) -> Vec<(String, StepId)> {
    let mut ways: Vec<(String, StepId)> = match &step.body {
        Body::Ordinary { ways, .. } => {
            let ways = ways.iter();
            ways.map(|(o, to)| (o.key().to_owned(), to.clone()))
                .collect()
        }
        Body::Look { choices, .. } => {
            let ways = choices.iter();
            ways.map(|c| (c.text.clone(), c.to.clone())).collect()
        }
        Body::End(kind) => {
            let to = procedure.hand_over.as_ref();
            let to = to.filter(|to| *kind == EndKind::Complete && **to != step.id);
            to.map(|to| (REPEAT.to_owned(), to.clone()))
                .into_iter()
                .collect()
        }
    };
    if !matches!(step.body, Body::End(_)) {
        let stop = procedure.phase_of(step).map(|p| p.stop.clone());
        ways.extend(stop.map(|to| (STOP.to_owned(), to)));
    }
    ways
}

/// The ways out, then the ways in; stop work once a phase.
pub(super) fn of(procedure: &Procedure, step: &Step) -> Vec<Way> {
    let titled = |id: &StepId| procedure.step(id).map_or("", |s| s.title.as_str());
    let mut ways: Vec<Way> = out(procedure, step)
        .into_iter()
        .map(|(word, to)| Way {
            into: false,
            word,
            title: titled(&to).to_owned(),
            step: to,
        })
        .collect();
    for from in &procedure.steps {
        let leads = out(procedure, from).into_iter();
        let leads = leads.filter(|(word, to)| *to == step.id && word != STOP);
        ways.extend(leads.map(|(word, _)| Way {
            into: true,
            word,
            step: from.id.clone(),
            title: from.title.clone(),
        }));
    }
    for (n, phase) in procedure.phases.iter().enumerate() {
        let first = procedure.steps.iter().find(|s| s.phase == n);
        if let Some(first) = first.filter(|_| phase.stop == step.id) {
            ways.push(Way {
                into: true,
                word: STOP.to_owned(),
                step: first.id.clone(),
                title: format!("anywhere in: {}", phase.title),
            });
        }
    }
    ways
}

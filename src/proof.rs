//! What holds at every step on every path, and what is wrong if it does not.
//!
//! [`prove`] follows all ways and stop edges of a [`Procedure`] with counts left
//! free, and gives findings and facts. It is sound: what it accepts, no run can
//! violate, whatever is answered. With counts it may be stricter than any real
//! run, since it takes each bad outcome as possible at any time.
//!
//! It reads decided points of S1 to S16 so:
//! - a step's own needs and the safe list are looked at before the clears, needs
//!   of acts and hazards after them;
//! - a condition that lasts one step leaves on the next leaving, whatever the
//!   outcome, and may be made anew by that same leaving;
//! - stop work is an edge from every step but ends, with what was true after
//!   entering: nothing holds, what is owed stays, values taken in the step so far
//!   don't count;
//! - a complete end is also an edge to the hand-over end, as met on arrival (S10);
//! - an as-left reading counts as open only on paths that changed its setting;
//! - as-found readings must have a value on entry to the step that changes their
//!   setting; one taken in that very step is too late.
//!
//! Knows nothing of text, jobs or files; one file a rule.

mod flow;
mod idle_value;
mod missing_act;
mod missing_need;
mod missing_value;
mod open_duty;
mod plan;
mod register;
mod set;
mod stray_route;
mod summary;
mod trail;
mod uncounted_cycle;
mod unknown_name;
mod unreached_step;
mod unused_name;
mod web;
mod word;

use std::collections::BTreeSet;

use self::plan::Plan;
use self::register::{Register, Worded};
use self::set::Set;
use crate::finding::Finding;
use crate::procedure::{ActId, ConditionId, DutyId, Procedure, Step, StepId, ValueId};

/// What was found and what holds.
#[derive(Debug)]
pub struct Proof {
    /// What is wrong, rule by rule.
    pub findings: Vec<Finding>,
    /// What holds where.
    pub facts: Facts,
}

impl Proof {
    /// Whether no error was found; warnings don't count.
    pub fn holds(&self) -> bool {
        !self.findings.iter().any(Finding::is_error)
    }
}

/// What holds where, and what protects each act.
#[derive(Debug)]
pub struct Facts {
    /// The acts in order of their names.
    pub acts: Vec<ActFact>,
    at: Vec<Option<flow::Facts>>,
    steps: Register<StepId>,
    conditions: Register<ConditionId>,
    duties: Register<DutyId>,
    values: Register<ValueId>,
}

impl Facts {
    /// What is known on arrival at a step, before the effects of entering; `None`
    /// if no way leads there or there is no such step.
    pub fn at(&self, step: &StepId) -> Option<Arrival> {
        let facts = self.at.get(self.steps.number(step)?)?.as_ref()?;
        Some(Arrival {
            holds: names(&facts.held, &self.conditions),
            owed: names(&facts.owed, &self.duties),
            known: names(&facts.known, &self.values),
        })
    }

    /// How many steps, conditions, duties, and readings with workings there are.
    pub fn counts(&self) -> [usize; 4] {
        [
            self.steps.len(),
            self.conditions.len(),
            self.duties.len(),
            self.values.len(),
        ]
    }
}

/// What is known on arrival at a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arrival {
    /// Conditions that hold on every path.
    pub holds: BTreeSet<ConditionId>,
    /// Duties that are owed on some path.
    pub owed: BTreeSet<DutyId>,
    /// Readings and workings that have a value on every path.
    pub known: BTreeSet<ValueId>,
}

/// One act, and where it is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ActFact {
    /// Its name.
    pub id: ActId,
    /// What people see.
    pub title: String,
    /// The steps that do it, in document order.
    pub done: Vec<Doing>,
}

/// One step that does an act.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doing {
    /// The step.
    pub step: StepId,
    /// Its title.
    pub title: String,
    /// Whether some way leads there.
    pub reached: bool,
    /// Titles of the conditions that the act or one of its hazards needs and that
    /// hold here on every path.
    pub protected: Vec<String>,
    /// Titles of those that are needed and don't hold on some path.
    pub unprotected: Vec<String>,
    /// Titles of the hazards of the act that need no condition: only words warn.
    pub words_only: Vec<String>,
}

/// Follows every path of `procedure`.
pub fn prove(procedure: &Procedure) -> Proof {
    let plan = Plan::new(procedure);
    let facts = flow::run(&plan);
    let mut findings = unknown_name::find(&plan);
    findings.extend(missing_need::find(&plan, &facts));
    findings.extend(open_duty::find(&plan, &facts));
    findings.extend(missing_value::find(&plan, &facts));
    findings.extend(unreached_step::find(&plan, &facts));
    findings.extend(uncounted_cycle::find(&plan, &facts));
    findings.extend(stray_route::find(&plan));
    findings.extend(missing_act::find(&plan));
    findings.extend(idle_value::find(&plan));
    findings.extend(unused_name::find(&plan));
    let acts = procedure.acts.keys();
    let acts = acts.map(|act| act_fact(&plan, &facts, act)).collect();
    Proof {
        findings,
        facts: Facts {
            acts,
            at: facts,
            steps: plan.steps,
            conditions: plan.conditions,
            duties: plan.duties,
            values: plan.values,
        },
    }
}

fn names<T: Ord + Clone + Worded>(set: &Set, of: &Register<T>) -> BTreeSet<T> {
    set.iter().filter_map(|n| of.name(n).cloned()).collect()
}

fn act_fact(plan: &Plan<'_>, facts: &[Option<flow::Facts>], id: &ActId) -> ActFact {
    let act = plan.procedure.acts.get(id);
    let done = plan.all().zip(facts);
    let done = done.filter(|((_, step, _), _)| step.acts.contains(id));
    ActFact {
        id: id.clone(),
        title: act.map(|a| a.title.clone()).unwrap_or_default(),
        done: done
            .map(|((_, step, node), facts)| {
                let held = facts.as_ref().map(|f| f.entered(node).held);
                doing(plan, step, id, held.as_ref())
            })
            .collect(),
    }
}

fn doing(plan: &Plan<'_>, step: &Step, act: &ActId, held: Option<&Set>) -> Doing {
    let mut needs: BTreeSet<&ConditionId> = BTreeSet::new();
    let mut words_only = Vec::new();
    if let Some(act) = plan.procedure.acts.get(act) {
        needs.extend(&act.needs);
        for hazard in act
            .hazards
            .iter()
            .filter_map(|h| plan.procedure.hazards.get(h))
        {
            needs.extend(&hazard.needs);
            if hazard.needs.is_empty() {
                words_only.push(hazard.title.clone());
            }
        }
    }
    let holds = |id: &ConditionId| {
        let number = plan.conditions.number(id);
        number.is_some_and(|n| held.is_some_and(|h| h.contains(n)))
    };
    let titled = |id: &&ConditionId| Some(plan.procedure.conditions.get(*id)?.title.clone());
    let (protected, unprotected): (Vec<_>, Vec<_>) = needs.into_iter().partition(|id| holds(id));
    Doing {
        step: step.id.clone(),
        title: step.title.clone(),
        reached: held.is_some(),
        protected: protected.iter().filter_map(titled).collect(),
        unprotected: unprotected.iter().filter_map(titled).collect(),
        words_only,
    }
}

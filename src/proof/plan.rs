//! The procedure as numbers: what each step asks, takes and gives.
//!
//! Everything a rule or the flow asks for often is worked out once here, so that
//! nothing searches the procedure again. Built from the declarations in one pass;
//! `Procedure`'s own look-ups are linear and would make the proof quadratic.

use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};

use super::set::Set;
use crate::procedure::{
    ActId, Body, Choice, ConditionId, DutyId, EndKind, HazardId, Lasts, Outcome, Procedure,
    SettingId, Step, StepId, ValueId, When, WorkInput,
};

/// The names of one kind, numbered in their order.
#[derive(Debug, Clone)]
pub(super) struct Names<T> {
    list: Vec<T>,
}

impl<T: Ord + Clone> Names<T> {
    /// Numbers `names`.
    pub(super) fn new<'n>(names: impl Iterator<Item = &'n T>) -> Self
    where
        T: 'n,
    {
        let sorted: BTreeSet<&T> = names.collect();
        Self {
            list: sorted.into_iter().cloned().collect(),
        }
    }

    pub(super) fn number(&self, name: &T) -> Option<usize> {
        self.list.binary_search(name).ok()
    }

    pub(super) fn name(&self, number: usize) -> Option<&T> {
        self.list.get(number)
    }

    pub(super) const fn len(&self) -> usize {
        self.list.len()
    }

    /// The numbers of `names`, in order, without repeats.
    fn numbers<'n>(&self, names: impl IntoIterator<Item = &'n T>) -> Vec<usize>
    where
        T: 'n,
    {
        let numbers: BTreeSet<usize> = names.into_iter().filter_map(|n| self.number(n)).collect();
        numbers.into_iter().collect()
    }
}

/// How a step is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// By an outcome.
    Outcome(Outcome),
    /// By the choice at this place in the list.
    Choice(usize),
    /// By stop work (S9).
    Stop,
    /// A complete end that owes a run-time duty becomes a handing over (S10).
    HandOver,
}

/// One edge of the graph.
#[derive(Debug, Clone)]
pub(super) struct Exit {
    pub(super) way: Way,
    pub(super) to: usize,
    /// Whether it can be taken only so many times in a job.
    pub(super) counted: bool,
    pub(super) establishes: Vec<usize>,
    pub(super) incurs: Vec<usize>,
    pub(super) settles: Vec<usize>,
}

impl Exit {
    /// Whether the graph itself leads this way, without stop work and without a
    /// handing over in place of an end.
    pub(super) const fn is_drawn(&self) -> bool {
        matches!(self.way, Way::Outcome(_) | Way::Choice(_))
    }
}

/// One step, in numbers; all lists are in order, without repeats.
#[derive(Debug, Clone, Default)]
pub(super) struct Node {
    pub(super) entry_needs: Vec<usize>,
    pub(super) clears: Vec<usize>,
    pub(super) standing_needs: Vec<usize>,
    pub(super) incurs: Vec<usize>,
    pub(super) forgets: Vec<usize>,
    /// Readings and workings that have a value once the step has an outcome.
    pub(super) takes: Vec<usize>,
    /// As-found readings of the settings changed here.
    pub(super) as_found: Vec<usize>,
    /// As-left readings of the settings changed here.
    pub(super) as_left: Vec<usize>,
    pub(super) exits: Vec<Exit>,
}

/// Everything that is done at the level of the whole procedure.
#[derive(Debug)]
pub(super) struct Plan<'p> {
    pub(super) procedure: &'p Procedure,
    pub(super) steps: BTreeMap<&'p StepId, usize>,
    pub(super) conditions: Names<ConditionId>,
    pub(super) duties: Names<DutyId>,
    pub(super) values: Names<ValueId>,
    pub(super) nodes: Vec<Node>,
    /// Conditions that last one step only.
    pub(super) fleeting: Set,
    /// How many more findings get a way that shows them. Each takes a search of the
    /// whole graph, and nobody reads hundreds.
    pub(super) ways_to_show: Cell<usize>,
    /// Conditions that some hazard, act or the safe list needs.
    pub(super) protective: BTreeSet<&'p ConditionId>,
}

/// The acts, hazards and settings of one step, its acts' included.
pub(super) struct Done<'p> {
    pub(super) acts: BTreeSet<&'p ActId>,
    pub(super) hazards: BTreeSet<&'p HazardId>,
    pub(super) changes: BTreeSet<&'p SettingId>,
}

impl<'p> Plan<'p> {
    pub(super) fn new(procedure: &'p Procedure) -> Self {
        let conditions = Names::new(procedure.conditions.keys());
        let mut fleeting = Set::default();
        for (id, condition) in &procedure.conditions {
            if condition.lasts == Lasts::Step {
                conditions
                    .number(id)
                    .into_iter()
                    .for_each(|n| fleeting.insert(n));
            }
        }
        let steps = procedure.steps.iter().enumerate();
        let mut plan = Self {
            procedure,
            steps: steps.map(|(at, step)| (&step.id, at)).collect(),
            conditions,
            duties: Names::new(procedure.duties.keys()),
            values: Names::new(procedure.readings.keys().chain(procedure.workings.keys())),
            nodes: Vec::new(),
            fleeting,
            ways_to_show: Cell::new(100),
            protective: protective(procedure),
        };
        let lookup = Lookup::new(&plan);
        let nodes = procedure.steps.iter().map(|s| plan.node(&lookup, s));
        plan.nodes = nodes.collect();
        plan
    }

    pub(super) fn node(&self, lookup: &Lookup<'p>, step: &'p Step) -> Node {
        let done = self.done(step);
        let acts = || done.acts.iter().filter_map(|a| self.procedure.acts.get(*a));
        let hazards = done.hazards.iter();
        let hazard_needs = hazards
            .filter_map(|h| self.procedure.hazards.get(*h))
            .flat_map(|h| &h.needs);
        let safe = self.procedure.safe.iter();
        let at_end = safe.filter(|_| matches!(step.body, Body::End(_)));
        let own = step.readings.iter().chain(&step.works);
        let as_left = lookup.of_settings(&done.changes, When::AsLeft);
        let mut forgets = self.values.numbers(own.clone());
        forgets.extend(&as_left);
        Node {
            entry_needs: self.conditions.numbers(step.needs.iter().chain(at_end)),
            clears: self.clears(lookup, step, acts().flat_map(|a| &a.clears)),
            standing_needs: self
                .conditions
                .numbers(acts().flat_map(|a| &a.needs).chain(hazard_needs)),
            incurs: self.duties.numbers(&step.incurs),
            forgets: lookup.with_dependents(forgets),
            takes: self.values.numbers(own),
            as_found: lookup.of_settings(&done.changes, When::AsFound),
            as_left,
            exits: self.exits(lookup, step),
        }
    }

    /// What the step does, its acts included.
    pub(super) fn done(&self, step: &'p Step) -> Done<'p> {
        let acts: BTreeSet<&ActId> = step.acts.iter().collect();
        let known = || acts.iter().filter_map(|a| self.procedure.acts.get(*a));
        Done {
            hazards: known()
                .flat_map(|a| &a.hazards)
                .chain(&step.hazards)
                .collect(),
            changes: known()
                .flat_map(|a| &a.changes)
                .chain(&step.changes)
                .collect(),
            acts,
        }
    }

    fn clears(
        &self,
        lookup: &Lookup<'p>,
        step: &'p Step,
        acts: impl Iterator<Item = &'p ConditionId>,
    ) -> Vec<usize> {
        let mut clears: BTreeSet<usize> = self
            .conditions
            .numbers(step.clears.iter().chain(acts))
            .into_iter()
            .collect();
        for made in step.may_establish() {
            for group in lookup.groups.get(made).into_iter().flatten() {
                let partners = group.iter().filter(|c| *c != made);
                clears.extend(self.conditions.numbers(partners));
            }
        }
        clears.into_iter().collect()
    }

    fn exits(&self, lookup: &Lookup<'p>, step: &'p Step) -> Vec<Exit> {
        let mut exits = match &step.body {
            Body::Ordinary { tries, ways, .. } => {
                let ways = ways.iter().filter_map(|(outcome, to)| {
                    Some(self.outcome(step, *outcome, *self.steps.get(to)?, tries.is_some()))
                });
                ways.collect()
            }
            Body::Look { choices, .. } => {
                let choices = choices.iter().enumerate();
                choices.filter_map(|(at, c)| self.choice(at, c)).collect()
            }
            Body::End(EndKind::Complete) => {
                let end = self.procedure.hand_over.as_ref();
                let to = end.and_then(|id| self.steps.get(id));
                to.map(|to| bare(Way::HandOver, *to)).into_iter().collect()
            }
            Body::End(EndKind::HandedOver | EndKind::MadeSafe) => Vec::new(),
        };
        if !matches!(step.body, Body::End(_)) {
            let stop = lookup.stops.get(step.phase).copied().flatten();
            exits.extend(stop.map(|to| bare(Way::Stop, to)));
        }
        exits
    }

    fn outcome(&self, step: &Step, outcome: Outcome, to: usize, has_tries: bool) -> Exit {
        let mut exit = bare(Way::Outcome(outcome), to);
        match outcome {
            Outcome::Pass => {
                exit.establishes = self.conditions.numbers(&step.establishes);
                exit.settles = self.duties.numbers(&step.settles);
            }
            Outcome::Fail | Outcome::TooClose | Outcome::Lapsed => exit.counted = has_tries,
            // Once the tries are used, every further bad outcome is spent again:
            // nothing bounds how often.
            Outcome::Spent => {}
        }
        exit
    }

    fn choice(&self, at: usize, choice: &Choice) -> Option<Exit> {
        Some(Exit {
            counted: choice.tries.is_some(),
            establishes: self.conditions.numbers(&choice.establishes),
            incurs: self.duties.numbers(&choice.incurs),
            settles: self.duties.numbers(&choice.settles),
            ..bare(Way::Choice(at), *self.steps.get(&choice.to)?)
        })
    }

    /// The step at a place; there is one for every node.
    pub(super) fn step(&self, at: usize) -> Option<&'p Step> {
        self.procedure.steps.get(at)
    }

    /// All steps with their place and node.
    pub(super) fn all(&self) -> impl Iterator<Item = (usize, &'p Step, &Node)> {
        let steps = self.procedure.steps.iter().enumerate();
        steps.zip(&self.nodes).map(|((at, s), node)| (at, s, node))
    }
}

const fn bare(way: Way, to: usize) -> Exit {
    Exit {
        way,
        to,
        counted: false,
        establishes: Vec::new(),
        incurs: Vec::new(),
        settles: Vec::new(),
    }
}

fn protective(procedure: &Procedure) -> BTreeSet<&ConditionId> {
    let hazards = procedure.hazards.values().flat_map(|h| &h.needs);
    let acts = procedure.acts.values().flat_map(|a| &a.needs);
    hazards.chain(acts).chain(&procedure.safe).collect()
}

/// Tables that only building needs.
pub(super) struct Lookup<'p> {
    /// Where stop work leads, a phase.
    stops: Vec<Option<usize>>,
    groups: BTreeMap<&'p ConditionId, Vec<&'p BTreeSet<ConditionId>>>,
    made_from: BTreeMap<usize, Vec<usize>>,
    readings_of: BTreeMap<(&'p SettingId, When), Vec<usize>>,
}

impl<'p> Lookup<'p> {
    fn new(plan: &Plan<'p>) -> Self {
        let mut groups: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for group in &plan.procedure.exclusive {
            for condition in group {
                groups.entry(condition).or_default().push(group);
            }
        }
        let mut made_from: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for (id, working) in &plan.procedure.workings {
            for input in &working.inputs {
                if let WorkInput::Value(v) | WorkInput::Series(v) = input
                    && let (Some(from), Some(made)) =
                        (plan.values.number(v), plan.values.number(id))
                {
                    made_from.entry(from).or_default().push(made);
                }
            }
        }
        let mut readings_of: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for (id, reading) in &plan.procedure.readings {
            if let (Some(of), Some(when)) = (&reading.of, reading.when)
                && let Some(number) = plan.values.number(id)
            {
                readings_of.entry((of, when)).or_default().push(number);
            }
        }
        let phases = plan.procedure.phases.iter();
        let stops = phases.map(|p| plan.steps.get(&p.stop).copied());
        Self {
            stops: stops.collect(),
            groups,
            made_from,
            readings_of,
        }
    }

    fn of_settings(&self, settings: &BTreeSet<&'p SettingId>, when: When) -> Vec<usize> {
        let readings = settings
            .iter()
            .filter_map(|s| self.readings_of.get(&(*s, when)));
        let sorted: BTreeSet<usize> = readings.flatten().copied().collect();
        sorted.into_iter().collect()
    }

    /// `values` and every working made from them, directly or not.
    fn with_dependents(&self, mut open: Vec<usize>) -> Vec<usize> {
        let mut all = BTreeSet::new();
        while let Some(value) = open.pop() {
            if all.insert(value) {
                open.extend(self.made_from.get(&value).into_iter().flatten());
            }
        }
        all.into_iter().collect()
    }
}

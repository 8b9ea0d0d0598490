//! The procedure as numbers: what each step asks, takes and gives.
//!
//! Everything a rule or the flow asks for often is worked out once here, so that
//! nothing searches the procedure again. Built from the declarations in one pass;
//! `Procedure`'s own look-ups are linear and would make the proof quadratic.

use std::cell::{Cell, OnceCell};
use std::collections::{BTreeMap, BTreeSet};

use super::register::{Register, Worded};
use super::set::Set;
use super::web::Web;
use crate::procedure::{
    ActId, Body, Choice, ConditionId, DutyId, EndKind, HazardId, Lasts, Outcome, Procedure,
    SettingId, Step, StepId, Subject, ValueId, When, WorkInput,
};

/// How a step is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// By an outcome.
    Outcome(Outcome),
    /// By the choice at this place in the list.
    Choice(usize),
    /// By stop work (S9).
    Stop,
    /// By the choice at this place, then by stop work at the door of the next step,
    /// where something must be attested first (S7): what the choice incurs is owed.
    Door(usize),
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
    /// Some name in it leads nowhere.
    pub(super) has_unknown: bool,
}

/// Everything that is done at the level of the whole procedure.
#[derive(Debug)]
pub(super) struct Plan<'p> {
    pub(super) procedure: &'p Procedure,
    pub(super) steps: Register<StepId>,
    pub(super) conditions: Register<ConditionId>,
    pub(super) duties: Register<DutyId>,
    pub(super) values: Register<ValueId>,
    pub(super) nodes: Vec<Node>,
    /// Conditions that last one step only.
    pub(super) fleeting: Set,
    /// How many more findings get a way that shows them. Each takes a search of the
    /// whole graph, and nobody reads hundreds.
    pub(super) ways_to_show: Cell<usize>,
    /// Conditions that some hazard, act or the safe list needs.
    pub(super) protective: BTreeSet<&'p ConditionId>,
    /// The bare graph, once a way has to be shown.
    pub(super) web: OnceCell<Web>,
    /// For each condition the steps that may make it true, once that has to be said.
    makers: OnceCell<BTreeMap<usize, Vec<usize>>>,
    /// How many names have led nowhere so far.
    unknown: Cell<usize>,
}

/// The acts, hazards and settings of one step, its acts' included.
#[derive(Default)]
pub(super) struct Done<'p> {
    pub(super) acts: BTreeSet<&'p ActId>,
    pub(super) hazards: BTreeSet<&'p HazardId>,
    pub(super) changes: BTreeSet<&'p SettingId>,
}

impl<'p> Plan<'p> {
    pub(super) fn new(procedure: &'p Procedure) -> Self {
        let conditions = Register::new(procedure.conditions.keys().cloned());
        let mut fleeting = Set::default();
        for (id, condition) in &procedure.conditions {
            if condition.lasts == Lasts::Step {
                conditions
                    .number(id)
                    .into_iter()
                    .for_each(|n| fleeting.insert(n));
            }
        }
        let values = procedure.readings.keys().chain(procedure.workings.keys());
        let values: BTreeSet<&ValueId> = values.collect();
        let mut plan = Self {
            procedure,
            steps: Register::new(procedure.steps.iter().map(|s| s.id.clone())),
            conditions,
            duties: Register::new(procedure.duties.keys().cloned()),
            values: Register::new(values.into_iter().cloned()),
            nodes: Vec::new(),
            fleeting,
            ways_to_show: Cell::new(100),
            protective: protective(procedure),
            web: OnceCell::new(),
            makers: OnceCell::new(),
            unknown: Cell::new(0),
        };
        let lookup = Lookup::new(&plan);
        let steps = procedure.steps.iter().enumerate();
        let nodes = steps.map(|(at, step)| {
            plan.unknown.set(0);
            let node = plan.node(&lookup, at, step);
            let has_unknown = plan.unknown.get() > 0;
            Node {
                has_unknown,
                ..node
            }
        });
        plan.nodes = nodes.collect();
        plan.doors(&lookup);
        plan
    }

    /// Stop work at a door leads where the phase of the step just left says. It
    /// brings more than stop work in that step only where a choice incurs something.
    fn doors(&mut self, lookup: &Lookup<'p>) {
        let lasting = |condition: &usize| {
            let known = self.conditions.name(*condition);
            let known = known.and_then(|id| self.procedure.conditions.get(id));
            known.is_none_or(|c| c.lasts == Lasts::Job)
        };
        let has_door = |node: &Node| {
            let mut needs = node.entry_needs.iter().chain(&node.standing_needs);
            needs.any(|condition| !lasting(condition))
        };
        let doors: Vec<bool> = self.nodes.iter().map(has_door).collect();
        for (node, step) in self.nodes.iter_mut().zip(&self.procedure.steps) {
            let Some(stop) = lookup.stops.get(step.phase).copied().flatten() else {
                continue;
            };
            let mut more = Vec::new();
            for exit in node.exits.iter().filter(|e| !e.incurs.is_empty()) {
                if let Way::Choice(at) = exit.way
                    && doors.get(exit.to) == Some(&true)
                {
                    more.push(Exit {
                        incurs: exit.incurs.clone(),
                        settles: exit.settles.clone(),
                        ..bare(Way::Door(at), stop)
                    });
                }
            }
            node.exits.extend(more);
        }
    }

    /// The numbers of `names`, in order, without repeats; what has none is noted.
    fn numbers<'n, T: Worded + Eq + 'n>(
        &self,
        of: &Register<T>,
        names: impl IntoIterator<Item = &'n T>,
    ) -> Vec<usize> {
        let mut numbers = Vec::new();
        for name in names {
            match of.number(name) {
                Some(number) => numbers.push(number),
                None => self.miss(),
            }
        }
        numbers.sort_unstable();
        numbers.dedup();
        numbers
    }

    fn miss(&self) {
        self.unknown.set(self.unknown.get() + 1);
    }

    /// Notes a name that is not among the declared ones.
    fn noted<V>(&self, found: Option<V>) -> Option<V> {
        if found.is_none() {
            self.miss();
        }
        found
    }

    fn node(&self, lookup: &Lookup<'p>, at: usize, step: &'p Step) -> Node {
        let done = self.done(step);
        let declared = &self.procedure.acts;
        let acts = || {
            done.acts
                .iter()
                .filter_map(|a| self.noted(declared.get(*a)))
        };
        let hazards = done.hazards.iter();
        let hazard_needs = hazards
            .filter_map(|h| self.noted(self.procedure.hazards.get(*h)))
            .flat_map(|h| &h.needs);
        for setting in &done.changes {
            self.noted(self.procedure.settings.get(*setting));
        }
        self.noted(self.procedure.phase_of(step));
        if !step.limits.is_empty() {
            self.limits(step);
        }
        for reading in &step.readings {
            self.noted(self.procedure.readings.get(reading));
        }
        for working in &step.works {
            self.noted(self.procedure.workings.get(working));
        }
        let safe = self.procedure.safe.iter();
        let at_end = safe.filter(|_| matches!(step.body, Body::End(_)));
        let own = step.readings.iter().chain(&step.works);
        let as_left = lookup.of_settings(&done.changes, When::AsLeft);
        let mut forgets = self.numbers(&self.values, own.clone());
        forgets.extend(&as_left);
        Node {
            entry_needs: self.numbers(&self.conditions, step.needs.iter().chain(at_end)),
            clears: self.clears(lookup, step, acts().flat_map(|a| &a.clears)),
            standing_needs: self.numbers(
                &self.conditions,
                acts().flat_map(|a| &a.needs).chain(hazard_needs),
            ),
            incurs: self.numbers(&self.duties, &step.incurs),
            forgets: lookup.with_dependents(forgets),
            takes: self.numbers(&self.values, own),
            as_found: lookup.of_settings(&done.changes, When::AsFound),
            as_left,
            exits: self.exits(lookup, at, step),
            has_unknown: false,
        }
    }

    /// Looks whether what the limits judge is declared.
    fn limits(&self, step: &Step) {
        for limit in &step.limits {
            match &limit.subject {
                Subject::Value(a) => _ = self.noted(self.values.number(a)),
                Subject::Difference(a, b) => {
                    self.noted(self.values.number(a));
                    self.noted(self.values.number(b));
                }
                Subject::Age(c) => _ = self.noted(self.conditions.number(c)),
            }
        }
    }

    /// What the step does, its acts included.
    pub(super) fn done(&self, step: &'p Step) -> Done<'p> {
        if step.acts.is_empty() && step.hazards.is_empty() && step.changes.is_empty() {
            return Done::default();
        }
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
        let mut clears = self.numbers(&self.conditions, step.clears.iter().chain(acts));
        if lookup.groups.is_empty() {
            return clears;
        }
        for made in step.may_establish() {
            for group in lookup.groups.get(made).into_iter().flatten() {
                let partners = group.iter().filter(|c| *c != made);
                clears.extend(self.numbers(&self.conditions, partners));
            }
        }
        clears.sort_unstable();
        clears.dedup();
        clears
    }

    fn exits(&self, lookup: &Lookup<'p>, at: usize, step: &'p Step) -> Vec<Exit> {
        let mut exits = match &step.body {
            Body::Ordinary { tries, ways, .. } => {
                let ways = ways.iter().filter_map(|(outcome, to)| {
                    let to = self.target(to, at)?;
                    Some(self.outcome(step, *outcome, to, tries.is_some()))
                });
                ways.collect()
            }
            Body::Look { choices, .. } => {
                let choices = choices.iter().enumerate();
                choices
                    .filter_map(|(n, c)| Some(self.choice(n, c, self.target(&c.to, at)?)))
                    .collect()
            }
            Body::End(EndKind::Complete) => {
                let end = self.procedure.hand_over.as_ref();
                let to = end.and_then(|id| self.steps.number(id));
                to.map(|to| bare(Way::HandOver, to)).into_iter().collect()
            }
            Body::End(EndKind::HandedOver | EndKind::MadeSafe) => Vec::new(),
        };
        if !matches!(step.body, Body::End(_)) {
            let stop = lookup.stops.get(step.phase).copied().flatten();
            exits.extend(stop.map(|to| bare(Way::Stop, to)));
        }
        exits
    }

    /// Where a way of the step at `from` leads: mostly to the next one.
    fn target(&self, to: &StepId, from: usize) -> Option<usize> {
        self.noted(self.steps.number_near(to, from + 1))
    }

    fn outcome(&self, step: &Step, outcome: Outcome, to: usize, has_tries: bool) -> Exit {
        let mut exit = bare(Way::Outcome(outcome), to);
        match outcome {
            Outcome::Pass => {
                exit.establishes = self.numbers(&self.conditions, &step.establishes);
                exit.settles = self.numbers(&self.duties, &step.settles);
            }
            Outcome::Fail | Outcome::TooClose | Outcome::Lapsed => exit.counted = has_tries,
            // Once the tries are used, every further bad outcome is spent again:
            // nothing bounds how often.
            Outcome::Spent => {}
        }
        exit
    }

    fn choice(&self, number: usize, choice: &Choice, to: usize) -> Exit {
        Exit {
            counted: choice.tries.is_some(),
            establishes: self.numbers(&self.conditions, &choice.establishes),
            incurs: self.numbers(&self.duties, &choice.incurs),
            settles: self.numbers(&self.duties, &choice.settles),
            ..bare(Way::Choice(number), to)
        }
    }

    /// The step at a place; there is one for every node.
    pub(super) fn step(&self, at: usize) -> Option<&'p Step> {
        self.procedure.steps.get(at)
    }

    /// Whether every way that is not counted leads on in the document: then none of
    /// them closes a cycle, and the document's order is a good one to work in.
    pub(super) fn leads_on(&self) -> bool {
        let mut nodes = self.nodes.iter().enumerate();
        nodes.all(|(at, node)| {
            let mut ways = node.exits.iter().filter(|e| e.is_drawn() && !e.counted);
            ways.all(|exit| exit.to > at)
        })
    }

    /// The bare graph.
    pub(super) fn web(&self) -> &Web {
        self.web.get_or_init(|| Web::new(&self.nodes))
    }

    /// The steps that may make a condition true, in document order.
    pub(super) fn makers(&self, condition: usize) -> impl Iterator<Item = &'p Step> {
        let all = self.makers.get_or_init(|| {
            let mut makers: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
            for (at, node) in self.nodes.iter().enumerate() {
                for made in node.exits.iter().flat_map(|e| &e.establishes) {
                    let steps = makers.entry(*made).or_default();
                    if steps.last() != Some(&at) {
                        steps.push(at);
                    }
                }
            }
            makers
        });
        let steps = all.get(&condition).into_iter().flatten();
        steps.filter_map(|at| self.step(*at))
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
        let stops = phases.map(|p| plan.steps.number(&p.stop));
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

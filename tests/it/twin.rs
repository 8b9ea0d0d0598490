//! The slow truth about a step graph: every state that a run can be in.
//!
//! Written from the rules S2 to S11 alone: it uses nothing but the declared fields
//! of a procedure, shares no code with the proof or the engine, and makes no
//! attempt to be quick. [`enter`], [`leavings`] and [`leave`] say what one step
//! does to a state; [`explore`] follows them everywhere. The proof is compared
//! with it here, and an engine can be replayed against the three.

mod compare;
pub(crate) mod random;

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use levelhand::procedure::{
    Body, ChoiceId, ConditionId, DutyId, EndKind, HazardId, Lasts, Outcome, Procedure, SettingId,
    Step, StepId, Subject, ValueId, When, WorkInput,
};

/// All that a run is, between two steps or within one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Spot {
    pub(crate) step: StepId,
    pub(crate) holds: BTreeSet<ConditionId>,
    pub(crate) owed: BTreeSet<DutyId>,
    pub(crate) known: BTreeSet<ValueId>,
    pub(crate) changed: BTreeSet<SettingId>,
    /// Bad outcomes so far of steps with tries.
    pub(crate) bad: BTreeMap<StepId, u32>,
    /// Uses so far of choices with tries.
    pub(crate) used: BTreeMap<(StepId, ChoiceId), u32>,
}

/// How a step is left.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Leaving {
    Outcome(Outcome),
    Choice(ChoiceId),
    Stop,
    /// A choice, then stop work at the door of the next step.
    Door(ChoiceId),
    /// A complete end is met with a step still to repeat.
    HandOver,
}

/// Whether tries count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Counts {
    Free,
    Real,
}

/// A fault: which rule, at which step, of which name.
pub(crate) type Fault = (&'static str, String, String);

/// The state of a job that has just begun.
pub(crate) fn start(procedure: &Procedure) -> Spot {
    Spot {
        step: procedure.steps[0].id.clone(),
        holds: BTreeSet::new(),
        owed: BTreeSet::new(),
        known: BTreeSet::new(),
        changed: BTreeSet::new(),
        bad: BTreeMap::new(),
        used: BTreeMap::new(),
    }
}

/// The step that a state is at.
pub(crate) fn step_at<'p>(procedure: &'p Procedure, id: &StepId) -> &'p Step {
    let found = procedure.steps.iter().find(|s| s.id == *id);
    found.expect("every way leads to a step")
}

/// S2 (1): what the step asks for before anything is cleared, and does not find.
pub(crate) fn entry_gaps(procedure: &Procedure, arrived: &Spot) -> BTreeSet<ConditionId> {
    let step = step_at(procedure, &arrived.step);
    let mut needs = step.needs.clone();
    if let Body::End(_) = step.body {
        needs.extend(procedure.safe.clone());
    }
    needs.difference(&arrived.holds).cloned().collect()
}

/// S2 (3), S15: what acts and hazards ask for once the clears are done.
pub(crate) fn standing_gaps(procedure: &Procedure, entered: &Spot) -> BTreeSet<ConditionId> {
    let step = step_at(procedure, &entered.step);
    let mut hazards: BTreeSet<HazardId> = step.hazards.clone();
    let mut needs = BTreeSet::new();
    for act in &step.acts {
        hazards.extend(procedure.acts[act].hazards.clone());
        needs.extend(procedure.acts[act].needs.clone());
    }
    for hazard in &hazards {
        needs.extend(procedure.hazards[hazard].needs.clone());
    }
    needs.difference(&entered.holds).cloned().collect()
}

/// S2 (2), (4), (5): the state once the step is entered.
pub(crate) fn enter(procedure: &Procedure, arrived: &Spot) -> Spot {
    let step = step_at(procedure, &arrived.step);
    let mut now = arrived.clone();
    for condition in cleared(procedure, step) {
        now.holds.remove(&condition);
    }
    now.owed.extend(step.incurs.clone());
    let changes = changes(procedure, step);
    let mut gone: BTreeSet<ValueId> = step.readings.iter().chain(&step.works).cloned().collect();
    for (id, reading) in &procedure.readings {
        if let (Some(of), Some(When::AsLeft)) = (&reading.of, reading.when)
            && changes.contains(of)
        {
            gone.insert(id.clone());
        }
    }
    // One round too many rather than one too few: a chain is no longer than the list.
    for _ in 0..=procedure.workings.len() {
        for (id, working) in &procedure.workings {
            for input in &working.inputs {
                if let WorkInput::Value(from) | WorkInput::Series(from) = input
                    && gone.contains(from)
                {
                    gone.insert(id.clone());
                }
            }
        }
    }
    for value in &gone {
        now.known.remove(value);
    }
    now.changed.extend(changes);
    now
}

/// S3: what ends on entry.
fn cleared(procedure: &Procedure, step: &Step) -> BTreeSet<ConditionId> {
    let mut cleared = step.clears.clone();
    for act in &step.acts {
        cleared.extend(procedure.acts[act].clears.clone());
    }
    let mut made: Vec<&ConditionId> = step.establishes.iter().collect();
    if let Body::Look { choices, .. } = &step.body {
        for choice in choices {
            made.extend(&choice.establishes);
        }
    }
    for condition in made {
        for group in &procedure.exclusive {
            if group.contains(condition) {
                for partner in group {
                    if partner != condition {
                        cleared.insert(partner.clone());
                    }
                }
            }
        }
    }
    cleared
}

fn changes(procedure: &Procedure, step: &Step) -> BTreeSet<SettingId> {
    let mut changes = step.changes.clone();
    for act in &step.acts {
        changes.extend(procedure.acts[act].changes.clone());
    }
    changes
}

/// S4, S5, S9, S10: how the step may be left from this state.
pub(crate) fn leavings(procedure: &Procedure, entered: &Spot, counts: Counts) -> Vec<Leaving> {
    let step = step_at(procedure, &entered.step);
    let mut all = Vec::new();
    match &step.body {
        Body::End(EndKind::Complete) => {
            if procedure.hand_over.is_some() {
                all.push(Leaving::HandOver);
            }
            return all;
        }
        Body::End(EndKind::HandedOver | EndKind::MadeSafe) => return all,
        Body::Look { choices, .. } => {
            for choice in choices {
                let key = (step.id.clone(), choice.id.clone());
                let used = entered.used.get(&key).copied().unwrap_or(0);
                if counts == Counts::Free || choice.tries.is_none_or(|most| used < most) {
                    all.push(Leaving::Choice(choice.id.clone()));
                    if has_door(procedure, &choice.to) {
                        all.push(Leaving::Door(choice.id.clone()));
                    }
                }
            }
        }
        Body::Ordinary { tries, ways, .. } => {
            let so_far = entered.bad.get(&step.id).copied().unwrap_or(0);
            for outcome in ways.keys().copied() {
                let really = match (counts, tries, outcome) {
                    (Counts::Free, _, _) | (_, None, _) | (_, _, Outcome::Pass) => true,
                    (_, Some(most), Outcome::Spent) => so_far + 1 >= *most,
                    (_, Some(most), _) => so_far + 1 < *most,
                };
                // Stop work at the door behind an outcome is what stop work in the
                // step is, but for a pass that settles something: then less is owed.
                if really {
                    all.push(Leaving::Outcome(outcome));
                }
            }
        }
    }
    all.push(Leaving::Stop);
    all
}

/// S7: whether something that may be stale is asked for before this step.
fn has_door(procedure: &Procedure, to: &StepId) -> bool {
    let mut nowhere = start(procedure);
    nowhere.step = to.clone();
    let mut needs = entry_gaps(procedure, &nowhere);
    needs.extend(standing_gaps(procedure, &nowhere));
    needs
        .iter()
        .any(|c| procedure.conditions[c].lasts != Lasts::Job)
}

/// S6, S7, S9: the state on arrival at the next step.
pub(crate) fn leave(
    procedure: &Procedure,
    arrived: &Spot,
    entered: &Spot,
    leaving: &Leaving,
    counts: Counts,
) -> Spot {
    let step = step_at(procedure, &entered.step);
    let mut next = entered.clone();
    match leaving {
        Leaving::HandOver => {
            next = arrived.clone();
            next.step = procedure
                .hand_over
                .clone()
                .expect("offered only if there is one");
            return next;
        }
        Leaving::Stop => {
            next.step = procedure.phases[step.phase].stop.clone();
            next.holds.clear();
            return next;
        }
        Leaving::Door(choice) => {
            let chosen = Leaving::Choice(choice.clone());
            next = leave(procedure, arrived, entered, &chosen, counts);
            next.step = procedure.phases[step.phase].stop.clone();
            next.holds.clear();
            return next;
        }
        Leaving::Outcome(_) | Leaving::Choice(_) => {}
    }
    next.known
        .extend(step.readings.iter().chain(&step.works).cloned());
    next.holds
        .retain(|c| procedure.conditions[c].lasts != Lasts::Step);
    match (leaving, &step.body) {
        (Leaving::Outcome(outcome), Body::Ordinary { tries, ways, .. }) => {
            next.step = ways[outcome].clone();
            if *outcome == Outcome::Pass {
                next.holds.extend(step.establishes.clone());
                next.owed.retain(|d| !step.settles.contains(d));
            } else if let (Some(most), Counts::Real) = (tries, counts) {
                // Beyond the last try nothing more is to be known.
                let bad = next.bad.entry(step.id.clone()).or_insert(0);
                *bad = (*bad + 1).min(*most);
            }
        }
        (Leaving::Choice(id), Body::Look { choices, .. }) => {
            let choice = choices.iter().find(|c| c.id == *id).expect("offered");
            next.step = choice.to.clone();
            next.holds.extend(choice.establishes.clone());
            next.owed.extend(choice.incurs.clone());
            next.owed.retain(|d| !choice.settles.contains(d));
            if choice.tries.is_some() && counts == Counts::Real {
                *next.used.entry((step.id.clone(), id.clone())).or_insert(0) += 1;
            }
        }
        other => panic!("{other:?} does not fit the kind of step"),
    }
    next
}

/// What is wrong in one state.
fn faults(procedure: &Procedure, arrived: &Spot, entered: &Spot) -> BTreeSet<Fault> {
    let step = step_at(procedure, &entered.step);
    let mut faults = BTreeSet::new();
    let mut fault = |code, name: &str| {
        faults.insert((code, step.id.to_string(), name.to_owned()));
    };
    for condition in entry_gaps(procedure, arrived) {
        fault("need-not-held", condition.as_str());
    }
    for condition in standing_gaps(procedure, entered) {
        fault("protection-not-held", condition.as_str());
    }
    let complete = matches!(step.body, Body::End(EndKind::Complete));
    for duty in entered.owed.iter().filter(|_| complete) {
        fault("duty-owed-at-complete", duty.as_str());
    }
    for (id, reading) in &procedure.readings {
        let Some(setting) = &reading.of else { continue };
        let missing = !entered.known.contains(id);
        let here = changes(procedure, step).contains(setting);
        if missing && here && reading.when == Some(When::AsFound) {
            fault("as-found-missing", id.as_str());
        }
        let before = entered.changed.contains(setting);
        if missing && before && complete && reading.when == Some(When::AsLeft) {
            fault("as-left-missing", id.as_str());
        }
    }
    for value in unknown_uses(procedure, step, entered) {
        fault("value-missing", value.as_str());
    }
    for limit in &step.limits {
        if let Subject::Age(condition) = &limit.subject
            && !entered.holds.contains(condition)
        {
            fault("age-without-condition", condition.as_str());
        }
    }
    faults
}

/// Values that workings and limits of the step take and do not find.
fn unknown_uses(procedure: &Procedure, step: &Step, entered: &Spot) -> BTreeSet<ValueId> {
    let mut have = entered.known.clone();
    let mut unknown = BTreeSet::new();
    have.extend(step.readings.iter().cloned());
    for made in &step.works {
        for input in &procedure.workings[made].inputs {
            if let WorkInput::Value(value) | WorkInput::Series(value) = input
                && !have.contains(value)
            {
                unknown.insert(value.clone());
            }
        }
        have.insert(made.clone());
    }
    for limit in &step.limits {
        let subjects = match &limit.subject {
            Subject::Value(value) => vec![value],
            Subject::Difference(a, b) => vec![a, b],
            Subject::Age(_) => vec![],
        };
        for value in subjects {
            if !have.contains(value) {
                unknown.insert(value.clone());
            }
        }
    }
    unknown
}

/// What is so at one step in every state, or in some.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Met {
    pub(crate) always_holds: BTreeSet<ConditionId>,
    pub(crate) sometimes_owed: BTreeSet<DutyId>,
    pub(crate) always_known: BTreeSet<ValueId>,
}

/// All that can happen.
#[derive(Debug)]
pub(crate) struct Explored {
    pub(crate) states: usize,
    pub(crate) met: BTreeMap<StepId, Met>,
    pub(crate) faults: BTreeSet<Fault>,
    /// For each fault of a single state, how many steps the shortest way to it has.
    pub(crate) steps_to: BTreeMap<Fault, usize>,
    /// Whether a run without stop work can go on for ever.
    pub(crate) endless: bool,
}

/// Every state that can be reached on arrival, up to `most`; `None` beyond.
pub(crate) fn explore(procedure: &Procedure, counts: Counts, most: usize) -> Option<Explored> {
    let mut number: BTreeMap<Spot, usize> = BTreeMap::from([(start(procedure), 0)]);
    let mut open = VecDeque::from([start(procedure)]);
    let mut edges: Vec<(usize, usize)> = Vec::new();
    let mut ends = BTreeSet::new();
    let mut depth = vec![1_usize];
    let mut steps_to: BTreeMap<Fault, usize> = BTreeMap::new();
    let mut payable = BTreeSet::new();
    while let Some(arrived) = open.pop_front() {
        let from = number[&arrived];
        let entered = enter(procedure, &arrived);
        for fault in faults(procedure, &arrived, &entered) {
            // States are met in the order of their distance from the start.
            steps_to.entry(fault).or_insert(depth[from]);
        }
        if let Body::End(_) = step_at(procedure, &arrived.step).body {
            ends.insert(from);
        }
        for leaving in leavings(procedure, &entered, counts) {
            payable.extend(paid(procedure, &entered, &leaving));
            let next = leave(procedure, &arrived, &entered, &leaving, counts);
            let fresh = number.len();
            let to = *number.entry(next.clone()).or_insert_with(|| {
                open.push_back(next);
                depth.push(depth[from] + 1);
                fresh
            });
            if matches!(leaving, Leaving::Outcome(_) | Leaving::Choice(_)) {
                edges.push((from, to));
            }
        }
        if number.len() > most {
            return None;
        }
    }
    let mut explored = Explored {
        states: number.len(),
        met: summed_up(&number),
        faults: steps_to.keys().cloned().collect(),
        steps_to,
        endless: has_cycle(number.len(), &edges),
    };
    let ending = leads_to(&ends, &edges);
    for (spot, at) in &number {
        if !ending.contains(at) {
            let name = spot.step.to_string();
            explored
                .faults
                .insert(("step-trapped", name, String::new()));
        }
    }
    explored
        .faults
        .extend(never(procedure, &explored.met, &payable));
    Some(explored)
}

/// The duties that this leaving pays and that are owed then.
fn paid(
    procedure: &Procedure,
    entered: &Spot,
    leaving: &Leaving,
) -> Vec<(StepId, Leaving, DutyId)> {
    let step = step_at(procedure, &entered.step);
    let (settles, also) = match (leaving, &step.body) {
        (Leaving::Outcome(Outcome::Pass), _) => (step.settles.clone(), BTreeSet::new()),
        (Leaving::Choice(id), Body::Look { choices, .. }) => {
            let choice = choices.iter().find(|c| c.id == *id).expect("offered");
            (choice.settles.clone(), choice.incurs.clone())
        }
        _ => return Vec::new(),
    };
    settles
        .into_iter()
        .filter(|d| entered.owed.contains(d) || also.contains(d))
        .map(|d| (step.id.clone(), leaving.clone(), d))
        .collect()
}

/// What never happens although it is written down.
fn never(
    procedure: &Procedure,
    met: &BTreeMap<StepId, Met>,
    payable: &BTreeSet<(StepId, Leaving, DutyId)>,
) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for step in &procedure.steps {
        if !met.contains_key(&step.id) {
            faults.insert(("step-unreached", step.id.to_string(), String::new()));
            continue;
        }
        let mut claims = Vec::new();
        match &step.body {
            Body::Ordinary { .. } => {
                claims.push((Leaving::Outcome(Outcome::Pass), step.settles.clone()));
            }
            Body::Look { choices, .. } => {
                for choice in choices {
                    claims.push((Leaving::Choice(choice.id.clone()), choice.settles.clone()));
                }
            }
            Body::End(_) => {}
        }
        for (leaving, settles) in claims {
            for duty in settles {
                let claim = (step.id.clone(), leaving.clone(), duty.clone());
                if !payable.contains(&claim) {
                    let name = duty.to_string();
                    faults.insert(("settles-nothing", step.id.to_string(), name));
                }
            }
        }
    }
    faults
}

fn summed_up(states: &BTreeMap<Spot, usize>) -> BTreeMap<StepId, Met> {
    let mut met: BTreeMap<StepId, Met> = BTreeMap::new();
    for spot in states.keys() {
        let entry = met.entry(spot.step.clone()).or_insert_with(|| Met {
            always_holds: spot.holds.clone(),
            sometimes_owed: BTreeSet::new(),
            always_known: spot.known.clone(),
        });
        entry.always_holds.retain(|c| spot.holds.contains(c));
        entry.sometimes_owed.extend(spot.owed.clone());
        entry.always_known.retain(|v| spot.known.contains(v));
    }
    met
}

/// Everything from which one of `goals` can be reached.
fn leads_to(goals: &BTreeSet<usize>, edges: &[(usize, usize)]) -> BTreeSet<usize> {
    let mut back: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (from, to) in edges {
        back.entry(*to).or_default().push(*from);
    }
    let mut found = goals.clone();
    let mut open: Vec<usize> = goals.iter().copied().collect();
    while let Some(at) = open.pop() {
        for from in back.get(&at).into_iter().flatten() {
            if found.insert(*from) {
                open.push(*from);
            }
        }
    }
    found
}

/// Takes away whatever nothing leads to; if something is left, there is a cycle.
fn has_cycle(size: usize, edges: &[(usize, usize)]) -> bool {
    let mut leads: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut incoming = vec![0_usize; size];
    for (from, to) in edges {
        leads.entry(*from).or_default().push(*to);
        incoming[*to] += 1;
    }
    let mut open: Vec<usize> = (0..size).filter(|at| incoming[*at] == 0).collect();
    let mut taken = 0;
    while let Some(at) = open.pop() {
        taken += 1;
        for to in leads.get(&at).into_iter().flatten() {
            incoming[*to] -= 1;
            if incoming[*to] == 0 {
                open.push(*to);
            }
        }
    }
    taken < size
}

//! Procedures sketched in a few words, for tests.
//!
//! Ids double as titles. Lists of names are words with spaces between, so that a
//! whole graph fits on a screen.

use std::collections::{BTreeMap, BTreeSet};

use levelhand::procedure::{
    Act, ActId, Body, BoundSpec, Choice, ChoiceId, Condition, ConditionId, Confirm, Duty, DutyId,
    EndKind, Grade, Hazard, HazardId, Lasts, Limit, Outcome, Phase, PhaseId, Procedure,
    ProcedureId, Reading, Setting, SettingId, SheetKey, Side, Signal, Step, StepId, Subject,
    ValueId, When, WorkInput, Working,
};
use levelhand::quantity::{Kind, Rule};

/// Ids that tests make out of words.
pub(crate) trait Named: Sized + Ord {
    /// The id of that name.
    fn named(name: &str) -> Self;
}

macro_rules! named {
    ($($id:ident),*) => {$(
        impl Named for $id {
            fn named(name: &str) -> Self {
                Self::new(name).expect("a test's own name")
            }
        }
    )*};
}

named!(
    ActId,
    ChoiceId,
    ConditionId,
    DutyId,
    HazardId,
    PhaseId,
    ProcedureId,
    SettingId,
    SheetKey,
    StepId,
    ValueId
);

/// The id of that name.
pub(crate) fn id<T: Named>(name: &str) -> T {
    T::named(name)
}

/// The ids of those words.
pub(crate) fn ids<T: Named>(words: &str) -> BTreeSet<T> {
    words.split_whitespace().map(T::named).collect()
}

fn list<T: Named>(words: &str) -> Vec<T> {
    words.split_whitespace().map(T::named).collect()
}

/// A procedure with one phase `main`, stopping at `to_stop`, and nothing else.
pub(crate) fn procedure(to_stop: &str) -> Procedure {
    Procedure {
        id: id("sketch"),
        title: "sketch".to_owned(),
        revision: 1,
        scope: Vec::new(),
        sheet: BTreeMap::new(),
        roles: BTreeMap::new(),
        conditions: BTreeMap::new(),
        exclusive: Vec::new(),
        duties: BTreeMap::new(),
        settings: BTreeMap::new(),
        readings: BTreeMap::new(),
        workings: BTreeMap::new(),
        hazards: BTreeMap::new(),
        acts: BTreeMap::new(),
        phases: vec![phase("main", to_stop, false)],
        steps: Vec::new(),
        safe: BTreeSet::new(),
        hand_over: None,
    }
}

pub(crate) fn phase(name: &str, to_stop: &str, route: bool) -> Phase {
    Phase {
        id: id(name),
        title: name.to_owned(),
        aside: route,
        stop: id(to_stop),
        stop_card: Vec::new(),
        route,
    }
}

pub(crate) fn condition(name: &str, lasts: Lasts) -> Condition {
    Condition {
        title: name.to_owned(),
        lasts,
        ask: None,
        by: BTreeSet::new(),
        series: None,
    }
}

pub(crate) fn reading(name: &str) -> Reading {
    Reading {
        title: name.to_owned(),
        kind: Kind::Length,
        shown: None,
        role: None,
        place: None,
        plausible: None,
        of: None,
        when: None,
        for_record: true,
        witness: false,
        zero_check: false,
        how: Vec::new(),
    }
}

pub(crate) fn reading_of(name: &str, setting: &str, when: When) -> Reading {
    Reading {
        of: Some(id(setting)),
        when: Some(when),
        ..reading(name)
    }
}

/// A mean of values; `*` before a name takes all its points.
pub(crate) fn working(name: &str, inputs: &str) -> Working {
    let inputs: Vec<WorkInput> = inputs
        .split_whitespace()
        .map(|word| {
            word.strip_prefix('*').map_or_else(
                || WorkInput::Value(id(word)),
                |of| WorkInput::Series(id(of)),
            )
        })
        .collect();
    Working {
        title: name.to_owned(),
        sum: "mean".to_owned(),
        gives: "mean".to_owned(),
        slots: (0..inputs.len()).collect(),
        inputs,
        kind: Kind::Length,
        shown: None,
        for_record: true,
    }
}

pub(crate) fn hazard(name: &str, needs: &str) -> Hazard {
    Hazard {
        signal: Signal::Warning,
        title: name.to_owned(),
        consequence: String::new(),
        avoid: Vec::new(),
        needs: ids(needs),
    }
}

pub(crate) fn act(name: &str, hazards: &str, needs: &str, clears: &str, changes: &str) -> Act {
    Act {
        title: name.to_owned(),
        moves: false,
        hazards: ids(hazards),
        needs: ids(needs),
        clears: ids(clears),
        changes: ids(changes),
    }
}

pub(crate) fn limit(subject: Subject, grade: Grade) -> Limit {
    Limit {
        subject,
        bound: BoundSpec::AtMost(Side::Sheet(id("most"))),
        rule: Rule::Guarded,
        grade,
        why: String::new(),
        too_close: Vec::new(),
    }
}

/// Builders that take words, so that a step reads as a line.
pub(crate) trait Sketch {
    #[must_use]
    fn conditions(self, words: &str, lasts: Lasts) -> Self;
    #[must_use]
    fn duties(self, words: &str) -> Self;
    #[must_use]
    fn readings(self, words: &str) -> Self;
    #[must_use]
    fn setting(self, name: &str) -> Self;
    #[must_use]
    fn exclusive(self, words: &str) -> Self;
    #[must_use]
    fn route(self, to_stop: &str) -> Self;
    #[must_use]
    fn then(self, step: Step) -> Self;
}

impl Sketch for Procedure {
    fn conditions(mut self, words: &str, lasts: Lasts) -> Self {
        for name in words.split_whitespace() {
            self.conditions.insert(id(name), condition(name, lasts));
        }
        self
    }

    fn duties(mut self, words: &str) -> Self {
        for name in words.split_whitespace() {
            let duty = Duty {
                title: name.to_owned(),
                hand_over: Vec::new(),
            };
            self.duties.insert(id(name), duty);
        }
        self
    }

    fn readings(mut self, words: &str) -> Self {
        for name in words.split_whitespace() {
            self.readings.insert(id(name), reading(name));
        }
        self
    }

    fn setting(mut self, name: &str) -> Self {
        let setting = Setting {
            title: name.to_owned(),
        };
        self.settings.insert(id(name), setting);
        self
    }

    fn exclusive(mut self, words: &str) -> Self {
        self.exclusive.push(ids(words));
        self
    }

    /// Adds a stop-work phase; the steps that follow belong to it.
    fn route(mut self, to_stop: &str) -> Self {
        self.phases.push(phase("stopped", to_stop, true));
        self
    }

    /// Adds a step to the last phase.
    fn then(mut self, mut step: Step) -> Self {
        step.phase = self.phases.len() - 1;
        self.steps.push(step);
        self
    }
}

fn bare(name: &str, body: Body) -> Step {
    Step {
        id: id(name),
        phase: 0,
        title: name.to_owned(),
        place: None,
        bring: None,
        instructions: Vec::new(),
        see: Vec::new(),
        why: Vec::new(),
        needs: BTreeSet::new(),
        clears: BTreeSet::new(),
        acts: BTreeSet::new(),
        hazards: BTreeSet::new(),
        incurs: BTreeSet::new(),
        establishes: BTreeSet::new(),
        settles: BTreeSet::new(),
        changes: BTreeSet::new(),
        ticks: Vec::new(),
        readings: Vec::new(),
        works: Vec::new(),
        limits: Vec::new(),
        body,
    }
}

/// An ordinary step: `"pass:b fail:a"`.
pub(crate) fn step(name: &str, ways: &str) -> Step {
    let ways = ways.split_whitespace().map(|way| {
        let (outcome, to) = way.split_once(':').expect("outcome:step");
        (Outcome::from_key(outcome).expect("an outcome"), id(to))
    });
    let body = Body::Ordinary {
        confirm: Confirm::Enter,
        tries: None,
        ways: ways.collect(),
    };
    bare(name, body)
}

/// A look: `"blocks:b air:c"`.
pub(crate) fn look(name: &str, choices: &str) -> Step {
    let choices = choices.split_whitespace().map(|choice| {
        let (name, to) = choice.split_once(':').expect("choice:step");
        Choice {
            id: id(name),
            text: name.to_owned(),
            to: id(to),
            establishes: BTreeSet::new(),
            incurs: BTreeSet::new(),
            settles: BTreeSet::new(),
            tries: None,
        }
    });
    let body = Body::Look {
        by_sheet: None,
        choices: choices.collect(),
    };
    bare(name, body)
}

/// An end.
pub(crate) fn end(name: &str, kind: EndKind) -> Step {
    bare(name, Body::End(kind))
}

/// What a step does, in words.
pub(crate) trait Does: Sized {
    /// The step itself, to be changed.
    fn step_mut(&mut self) -> &mut Step;
    #[must_use]
    fn with(mut self, change: impl FnOnce(&mut Step)) -> Self {
        change(self.step_mut());
        self
    }
    #[must_use]
    fn needs(self, words: &str) -> Self {
        self.with(|s| s.needs = ids(words))
    }
    #[must_use]
    fn clears(self, words: &str) -> Self {
        self.with(|s| s.clears = ids(words))
    }
    #[must_use]
    fn makes(self, words: &str) -> Self {
        self.with(|s| s.establishes = ids(words))
    }
    #[must_use]
    fn incurs(self, words: &str) -> Self {
        self.with(|s| s.incurs = ids(words))
    }
    #[must_use]
    fn settles(self, words: &str) -> Self {
        self.with(|s| s.settles = ids(words))
    }
    #[must_use]
    fn changes(self, words: &str) -> Self {
        self.with(|s| s.changes = ids(words))
    }
    #[must_use]
    fn acts(self, words: &str) -> Self {
        self.with(|s| s.acts = ids(words))
    }
    #[must_use]
    fn hazards(self, words: &str) -> Self {
        self.with(|s| s.hazards = ids(words))
    }
    #[must_use]
    fn reads(self, words: &str) -> Self {
        self.with(|s| s.readings = list(words))
    }
    #[must_use]
    fn works(self, words: &str) -> Self {
        self.with(|s| s.works = list(words))
    }
    #[must_use]
    fn judges(self, value: &str) -> Self {
        self.with(|s| {
            let subject = Subject::Value(id(value));
            s.limits.push(limit(subject, Grade::Interlock));
        })
    }
    /// Sets the tries of an ordinary step.
    #[must_use]
    fn tries(self, most: u32) -> Self {
        self.with(|s| {
            if let Body::Ordinary { tries, .. } = &mut s.body {
                *tries = Some(most);
            }
        })
    }
    /// Changes one choice of a look.
    #[must_use]
    fn choice(self, name: &str, change: impl FnOnce(&mut Choice)) -> Self {
        self.with(|s| {
            if let Body::Look { choices, .. } = &mut s.body {
                let found = choices.iter_mut().find(|c| c.id.as_str() == name);
                change(found.expect("a choice of that name"));
            }
        })
    }
}

impl Does for Step {
    fn step_mut(&mut self) -> &mut Step {
        self
    }
}

//! A name that leads nowhere, put anywhere into a step of a document: the proof says it
//! of that step, and only then.

use levelhand::cli::shipped::{self, Shelf};
use levelhand::document;
use levelhand::finding::Subject as Owner;
use levelhand::procedure::{Body, Limit, Procedure, Step, Subject};
use levelhand::proof::prove;

use crate::sketch::id;

/// What is said of a place, and how a wrong name gets there.
type Slip = (&'static str, fn(&mut Step));

/// Where a name may stand in a step. A slip that the step has no place for changes
/// nothing, and is told by that.
const SLIPS: [Slip; 20] = [
    ("needs", |s| _ = s.needs.insert(id("no_such"))),
    ("clears", |s| _ = s.clears.insert(id("no_such"))),
    ("acts", |s| _ = s.acts.insert(id("no_such"))),
    ("hazards", |s| _ = s.hazards.insert(id("no_such"))),
    ("incurs", |s| _ = s.incurs.insert(id("no_such"))),
    ("changes", |s| _ = s.changes.insert(id("no_such"))),
    ("readings", |s| s.readings.push(id("no_such"))),
    ("workings", |s| s.works.push(id("no_such"))),
    ("a working as a reading", |s| {
        s.readings.extend(s.works.first().cloned());
    }),
    ("a reading as a working", |s| {
        s.works.extend(s.readings.first().cloned());
    }),
    ("establishes", |s| {
        if s.targets().len() > s.choices().len() {
            s.establishes.insert(id("no_such"));
        }
    }),
    ("settles", |s| {
        if s.targets().len() > s.choices().len() {
            s.settles.insert(id("no_such"));
        }
    }),
    ("a limit's value", |s| {
        judged(s, Subject::Value(id("no_such")));
    }),
    ("a limit's first", |s| {
        if let Some(Subject::Value(value)) = s.limits.first().map(|l| l.subject.clone()) {
            judged(s, Subject::Difference(id("no_such"), value));
        }
    }),
    ("a limit's second", |s| {
        if let Some(Subject::Value(value)) = s.limits.first().map(|l| l.subject.clone()) {
            judged(s, Subject::Difference(value, id("no_such")));
        }
    }),
    ("a limit's age", |s| judged(s, Subject::Age(id("no_such")))),
    ("a way or choice's step", |s| match &mut s.body {
        Body::Ordinary { ways, .. } => {
            if let Some(to) = ways.values_mut().last() {
                *to = id("no_such");
            }
        }
        Body::Look { choices, .. } => choices[0].to = id("no_such"),
        Body::End(_) => {}
    }),
    ("a choice's establishes", |s| {
        if let Body::Look { choices, .. } = &mut s.body {
            choices[0].establishes.insert(id("no_such"));
        }
    }),
    ("a choice's incurs", |s| {
        if let Body::Look { choices, .. } = &mut s.body {
            choices[0].incurs.insert(id("no_such"));
        }
    }),
    ("a choice's settles", |s| {
        if let Body::Look { choices, .. } = &mut s.body {
            choices[0].settles.insert(id("no_such"));
        }
    }),
];

fn judged(step: &mut Step, subject: Subject) {
    let like: Option<Limit> = step.limits.first().cloned();
    step.limits
        .extend(like.map(|like| Limit { subject, ..like }));
}

/// The sentences about unknown names in a step.
fn unknown_in(procedure: &Procedure, step: &Step) -> Vec<String> {
    let owner = Owner::step(&step.id);
    let found = prove(procedure).findings.into_iter();
    let found = found.filter(|f| f.code.as_str() == "unknown-name");
    found
        .filter(|f| f.subject.owner() == owner.owner())
        .map(|f| f.sentence)
        .collect()
}

fn documents() -> Vec<Procedure> {
    let shipped = shipped::all().filter(|d| d.shelf == Shelf::Procedure);
    let base: &[u8] = include_bytes!("../../documents/valid/base.json");
    let all = shipped.map(|d| d.bytes).chain([base]);
    all.map(|bytes| document::procedure("p", bytes).value.unwrap())
        .collect()
}

#[test]
fn a_name_that_leads_nowhere_is_said_of_its_step_wherever_it_stands() {
    let mut tried = [0; SLIPS.len()];
    for (n, sound) in documents().into_iter().enumerate() {
        let steps = sound.steps.len();
        for at in 0..steps {
            assert_eq!(
                prove(&sound)
                    .findings
                    .iter()
                    .find(|f| f.code.as_str() == "unknown-name"),
                None
            );
            // In the small document every slip in every step, in the others a few.
            for slip in (0..SLIPS.len()).filter(|s| steps < 30 || (s + at + n) % 7 == 0) {
                let (place, put) = SLIPS[slip];
                let mut slipped = sound.clone();
                put(&mut slipped.steps[at]);
                if slipped.steps[at] == sound.steps[at] {
                    continue;
                }
                tried[slip] += 1;
                let step = &slipped.steps[at];
                let said = unknown_in(&slipped, step);
                assert!(!said.is_empty(), "{}: {place} of {}", sound.id, step.id);
            }
        }
    }
    for ((place, _), tried) in SLIPS.iter().zip(tried) {
        assert!(tried > 0, "no step has a place for {place}");
    }
}

//! The proof against the slow truth, on random graphs.

use std::collections::{BTreeMap, BTreeSet};

use levelhand::finding::{Finding, Subject};
use levelhand::procedure::{Body, Outcome, Procedure, StepId};
use levelhand::proof::{Proof, prove};

use super::random::graph;
use super::{Counts, Explored, Fault, explore};

/// Beyond so many states a graph is left out, and counted as left out.
const MOST: usize = 40_000;

/// Rules that both sides decide.
const SHARED: [&str; 11] = [
    "need-not-held",
    "protection-not-held",
    "duty-owed-at-complete",
    "settles-nothing",
    "value-missing",
    "as-found-missing",
    "as-left-missing",
    "age-without-condition",
    "step-unreached",
    "step-trapped",
    "cycle-uncounted",
];

/// The seeds to try: two thousand, or as many as `LEVELHAND_CASES` says.
fn seeds() -> std::ops::Range<u64> {
    #[expect(
        clippy::disallowed_methods,
        reason = "tests are told here how long to run"
    )]
    let cases = std::env::var("LEVELHAND_CASES");
    let cases = cases.ok().and_then(|text| text.parse().ok());
    0..cases.unwrap_or(2_000)
}

/// The proof's findings as the twin writes them. A sentence names the step first,
/// by title only, then what it is about with its name in brackets.
fn found(proof: &Proof) -> BTreeSet<Fault> {
    proof.findings.iter().filter_map(fault).collect()
}

fn fault(finding: &Finding) -> Option<Fault> {
    let code = *SHARED.iter().find(|c| **c == finding.code.as_str())?;
    let Subject::Step(step) = finding.subject.owner() else {
        panic!("{finding:?} is about no step");
    };
    let named = finding.sentence.split_once('(');
    let name = named.and_then(|(_, rest)| rest.split_once(')'));
    let name = name.map_or("", |(name, _)| name);
    Some(match code {
        "step-unreached" | "step-trapped" => (code, step, String::new()),
        "cycle-uncounted" => (code, String::new(), String::new()),
        _ => (code, step, name.to_owned()),
    })
}

/// Whether some step that is met can be met again over uncounted ways only, by the
/// plainest closure there is.
fn has_uncounted_cycle(procedure: &Procedure, met: &BTreeSet<&StepId>) -> bool {
    let mut leads: BTreeSet<(&StepId, &StepId)> = BTreeSet::new();
    for step in procedure.steps.iter().filter(|s| met.contains(&s.id)) {
        match &step.body {
            Body::Ordinary { tries, ways, .. } => {
                for (outcome, to) in ways {
                    let bad =
                        matches!(outcome, Outcome::Fail | Outcome::TooClose | Outcome::Lapsed);
                    if tries.is_none() || !bad {
                        leads.insert((&step.id, to));
                    }
                }
            }
            Body::Look { choices, .. } => {
                for choice in choices.iter().filter(|c| c.tries.is_none()) {
                    leads.insert((&step.id, &choice.to));
                }
            }
            Body::End(_) => {}
        }
    }
    for _ in 0..procedure.steps.len() {
        let known = leads.clone();
        for (a, b) in &known {
            for (c, d) in &known {
                if b == c {
                    leads.insert((a, d));
                }
            }
        }
    }
    leads.iter().any(|(a, b)| a == b)
}

/// With counts left free both must say the same.
fn check_exact(seed: u64, procedure: &Procedure, proof: &Proof, truth: &Explored) {
    for step in &procedure.steps {
        let ours = proof.facts.at(&step.id);
        let truth = truth.met.get(&step.id);
        assert_eq!(
            ours.is_some(),
            truth.is_some(),
            "seed {seed}: {} reached",
            step.id
        );
        if let (Some(ours), Some(truth)) = (ours, truth) {
            let at = format!("seed {seed}, step {}", step.id);
            assert_eq!(ours.holds, truth.always_holds, "{at}: what holds");
            assert_eq!(ours.owed, truth.sometimes_owed, "{at}: what is owed");
            assert_eq!(ours.known, truth.always_known, "{at}: what has a value");
        }
    }
    let mut faults = truth.faults.clone();
    if has_uncounted_cycle(procedure, &truth.met.keys().collect()) {
        faults.insert(("cycle-uncounted", String::new(), String::new()));
    }
    assert_eq!(found(proof), faults, "seed {seed}: faults");
    for finding in &proof.findings {
        let steps_to = fault(finding).and_then(|f| truth.steps_to.get(&f).copied());
        if let Some(steps_to) = steps_to {
            assert_eq!(
                finding.path.len(),
                steps_to,
                "seed {seed}: the way of {finding:?}"
            );
        }
    }
}

/// With real counts the proof must miss nothing; tells where it was stricter.
fn check_sound(seed: u64, procedure: &Procedure, proof: &Proof, truth: &Explored) -> bool {
    let found = found(proof);
    let cyclic = found.iter().any(|f| f.0 == "cycle-uncounted");
    let mut stricter = cyclic && !truth.endless;
    assert!(
        cyclic || !truth.endless,
        "seed {seed}: a run can go on for ever"
    );
    for step in &procedure.steps {
        let Some(truth) = truth.met.get(&step.id) else {
            stricter |= proof.facts.at(&step.id).is_some();
            continue;
        };
        let at = format!("seed {seed}, step {}", step.id);
        let ours = proof
            .facts
            .at(&step.id)
            .expect("a step that is met is reached");
        assert!(
            ours.holds.is_subset(&truth.always_holds),
            "{at}: what holds"
        );
        assert!(
            ours.owed.is_superset(&truth.sometimes_owed),
            "{at}: what is owed"
        );
        assert!(
            ours.known.is_subset(&truth.always_known),
            "{at}: what has a value"
        );
        stricter |= ours.holds != truth.always_holds
            || ours.owed != truth.sometimes_owed
            || ours.known != truth.always_known;
    }
    for fault in &truth.faults {
        // With counts a step may be met less often, a duty may never be owed, or
        // the one way to an end may be used up; the last needs a cycle.
        let excused = match fault.0 {
            "step-unreached" | "settles-nothing" => true,
            "step-trapped" => cyclic,
            _ => false,
        };
        assert!(
            excused || found.contains(fault),
            "seed {seed}: {fault:?} was missed"
        );
    }
    stricter
        | found
            .iter()
            .any(|f| f.0 != "cycle-uncounted" && !truth.faults.contains(f))
}

#[test]
fn says_exactly_what_exploration_says_when_counts_are_free() {
    let (mut compared, mut left_out, mut states) = (0, 0, 0);
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for seed in seeds() {
        let procedure = graph(seed);
        let Some(truth) = explore(&procedure, Counts::Free, MOST) else {
            left_out += 1;
            continue;
        };
        let proof = prove(&procedure);
        check_exact(seed, &procedure, &proof, &truth);
        compared += 1;
        states += truth.states;
        for (code, _, _) in found(&proof) {
            *seen.entry(code).or_default() += 1;
        }
    }
    println!("free: {compared} compared, {left_out} left out, {states} states, {seen:?}");
    assert!(left_out * 20 <= compared, "{left_out} graphs were too big");
    for code in SHARED {
        assert!(seen.contains_key(code), "no graph shows {code}");
    }
}

#[test]
fn misses_nothing_that_real_counts_allow() {
    let (mut compared, mut left_out, mut stricter) = (0, 0, 0);
    for seed in seeds() {
        let procedure = graph(seed);
        let Some(truth) = explore(&procedure, Counts::Real, MOST) else {
            left_out += 1;
            continue;
        };
        let proof = prove(&procedure);
        stricter += usize::from(check_sound(seed, &procedure, &proof, &truth));
        compared += 1;
    }
    println!("real: {compared} compared, {left_out} left out, stricter in {stricter}");
    assert!(left_out * 5 <= compared, "{left_out} graphs were too big");
    assert!(
        stricter * 2 < compared,
        "stricter in {stricter} of {compared}"
    );
}

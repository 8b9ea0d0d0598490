//! Tries one document: is it the same graph, does the checker find the mistake, and
//! if not, do the shipped rehearsals?

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use serde_json::Value;

use levelhand::cli::shipped::{self, Shelf, Shipped};
use levelhand::document::{fit, instruments, procedure, rehearsal, sheet};
use levelhand::finding::Finding;
use levelhand::job::{Event, Mode, Setup};
use levelhand::procedure::{Instruments, Procedure, Sheet, StepId};
use levelhand::proof::prove;
use levelhand::rehearsal::{Rehearsal, Walk, every_way, play};

/// What became of a mistake.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Fate {
    /// The document says the same as before.
    Equal,
    /// The checker finds an error; the code of the first.
    Checker(String),
    /// A rehearsal comes out otherwise, or a way is walked by none.
    Rehearsal(String),
    /// Nothing finds it; whether the checker warns.
    Survives { warned: bool },
}

/// One rehearsal, with where it leads in the sound procedure.
struct Run {
    script: Rehearsal,
    base: Option<Rehearsal>,
    entered: BTreeSet<StepId>,
    walked: BTreeSet<Walk>,
    length: usize,
    /// Whether it asks what gets stale.
    asks_again: bool,
}

/// A shipped procedure with all that tries it.
pub(super) struct Bench {
    pub(super) document: Value,
    pub(super) sound: Procedure,
    sheets: BTreeMap<String, Arc<Sheet>>,
    instruments: BTreeMap<String, Arc<Instruments>>,
    runs: Vec<Run>,
    /// How many warnings the sound procedure has.
    warnings: usize,
}

/// Benches for all shipped procedures.
pub(super) fn benches() -> Vec<Bench> {
    let shipped = shipped::all().filter(|d| d.shelf == Shelf::Procedure);
    shipped.map(|d| Bench::new(&text(d))).collect()
}

/// A shipped document as it stands in the package.
fn text(shipped: &Shipped) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(shipped.path)).unwrap()
}

/// What the checker finds, and the procedure if it can be read.
pub(super) fn check(document: &Value) -> (Option<Procedure>, Vec<Finding>) {
    let bytes = serde_json::to_vec(document).unwrap();
    let loaded = procedure("mutant", &bytes);
    let mut findings = loaded.findings;
    let proof = loaded.value.as_ref().map(prove);
    findings.extend(proof.into_iter().flat_map(|p| p.findings));
    (loaded.value, findings)
}

/// The errors among findings.
pub(super) fn errors(findings: &[Finding]) -> impl Iterator<Item = &Finding> {
    findings.iter().filter(|f| f.is_error())
}

impl Bench {
    fn new(bytes: &[u8]) -> Self {
        let document: Value = serde_json::from_slice(bytes).unwrap();
        let (sound, findings) = check(&document);
        let wrong: Vec<&Finding> = errors(&findings).collect();
        assert!(
            wrong.is_empty(),
            "a shipped procedure has errors: {wrong:?}"
        );
        let mut bench = Self {
            document,
            sound: sound.unwrap(),
            sheets: BTreeMap::new(),
            instruments: BTreeMap::new(),
            runs: Vec::new(),
            warnings: findings.len(),
        };
        for d in shipped::all() {
            if d.shelf == Shelf::Sheet {
                let value = sheet(d.path, &text(d)).value.unwrap();
                bench.sheets.insert(d.id.to_owned(), Arc::new(value));
            } else if d.shelf == Shelf::Instruments {
                let value = instruments(d.path, &text(d)).value.unwrap();
                bench.instruments.insert(d.id.to_owned(), Arc::new(value));
            }
        }
        bench.rehearse();
        bench
    }

    fn setup(&self, procedure: &Arc<Procedure>, run: &Rehearsal) -> Setup {
        Setup {
            procedure: Arc::clone(procedure),
            sheet: Arc::clone(&self.sheets[&run.sheet.to_string()]),
            instruments: Arc::clone(&self.instruments[&run.instruments]),
            mode: Mode::Practice,
        }
    }

    /// Plays everything once with the sound procedure.
    fn rehearse(&mut self) {
        let shipped = shipped::all().filter(|d| d.shelf == Shelf::Rehearsal);
        let scripts: BTreeMap<String, Rehearsal> = shipped
            .map(|d| rehearsal(d.path, &text(d)).value.unwrap())
            .map(|r| (r.id.clone(), r))
            .collect();
        let own = scripts.values().filter(|r| r.procedure == self.sound.id);
        let own: Vec<&Rehearsal> = own.collect();
        let sound = Arc::new(self.sound.clone());
        let run = |script: &Rehearsal| {
            let base = script.like.as_ref().map(|id| scripts[id].clone());
            let played = play(&self.setup(&sound, script), script, base.as_ref());
            let played = played.unwrap_or_else(|d| panic!("{d}"));
            let events = played.entries.iter().flat_map(|(_, _, events)| events);
            let entered = events.filter_map(|event| match event {
                Event::Entered { step, .. } | Event::AtDoor { step, .. } => Some(step.clone()),
                _ => None,
            });
            Run {
                entered: entered.collect(),
                walked: played.ways,
                length: played.entries.len(),
                asks_again: script.moves.iter().any(|m| m.expect.asked_again.is_some()),
                script: script.clone(),
                base,
            }
        };
        let half = own.len() / 2;
        let (first, second) = own.split_at(half);
        let mut runs: Vec<Run> = std::thread::scope(|scope| {
            let other = scope.spawn(|| second.iter().map(|r| run(r)).collect::<Vec<_>>());
            let mut runs: Vec<Run> = first.iter().map(|r| run(r)).collect();
            runs.extend(other.join().unwrap());
            runs
        });
        runs.sort_by_key(|run| run.length);
        self.runs = runs;
    }

    /// What becomes of a document.
    pub(super) fn fate(&self, document: &Value) -> Fate {
        let (procedure, findings) = check(document);
        let first = errors(&findings).next().map(|f| f.code.to_string());
        let warned = self.warnings < findings.len();
        match (procedure, first) {
            (Some(procedure), _) if same(&procedure, &self.sound) => Fate::Equal,
            (_, Some(code)) => Fate::Checker(code),
            (Some(procedure), None) => match self.difference(procedure) {
                Some(difference) => Fate::Rehearsal(difference),
                None => Fate::Survives { warned },
            },
            (None, None) => panic!("neither a procedure nor an error"),
        }
    }

    /// The first difference that a rehearsal shows.
    fn difference(&self, mutant: Procedure) -> Option<String> {
        let changed = self.changed(&mutant);
        let mutant = Arc::new(mutant);
        let mut walked: BTreeSet<Walk> = BTreeSet::new();
        let mut fitted = BTreeSet::new();
        let stale = self.sound.conditions != mutant.conditions;
        let (soon, late): (Vec<&Run>, Vec<&Run>) =
            self.runs.iter().partition(|run| stale && run.asks_again);
        for run in soon.into_iter().chain(late) {
            let passes = changed
                .as_ref()
                .is_none_or(|c| !c.is_disjoint(&run.entered));
            if !passes {
                walked.extend(run.walked.iter().cloned());
                continue;
            }
            let setup = self.setup(&mutant, &run.script);
            if fitted.insert((run.script.sheet.clone(), run.script.instruments.clone())) {
                let wrong = fit(&setup.procedure, &setup.sheet, &setup.instruments);
                if let Some(wrong) = errors(&wrong).next() {
                    return Some(format!("{}: {}", run.script.sheet, wrong.sentence));
                }
            }
            match play(&setup, &run.script, run.base.as_ref()) {
                Ok(played) => walked.extend(played.ways),
                Err(difference) => return Some(difference.to_string()),
            }
        }
        let ways = every_way(&mutant).into_iter();
        let mut missing = ways.filter(|way| !walked.contains(way));
        missing.next().map(|way| format!("not walked: {way}"))
    }

    /// The steps that are not as they were; `None` if any rehearsal may tell.
    fn changed(&self, mutant: &Procedure) -> Option<BTreeSet<StepId>> {
        let mut like = mutant.clone();
        like.steps.clone_from(&self.sound.steps);
        for (id, condition) in &mut like.conditions {
            // The engine never asks by which act a condition came.
            condition.by.clone_from(&self.sound.conditions.get(id)?.by);
        }
        if like != self.sound {
            return None;
        }
        let of = |p: &Procedure| -> BTreeMap<StepId, _> {
            p.steps.iter().map(|s| (s.id.clone(), s.clone())).collect()
        };
        let (before, after) = (of(&self.sound), of(mutant));
        let mut changed: BTreeSet<StepId> = before
            .iter()
            .filter(|(id, step)| after.get(*id) != Some(step))
            .map(|(id, _)| id.clone())
            .collect();
        if mutant.steps.first().map(|s| &s.id) != self.sound.steps.first().map(|s| &s.id) {
            changed.extend(before.keys().cloned());
        }
        Some(changed)
    }
}

/// Whether two procedures are one graph: the order of the steps in the text counts
/// only where it says which comes first.
fn same(one: &Procedure, other: &Procedure) -> bool {
    let sorted = |p: &Procedure| {
        let mut p = p.clone();
        let first = p.steps.first().map(|s| s.id.clone());
        p.steps.sort_by(|a, b| a.id.cmp(&b.id));
        (first, p)
    };
    sorted(one) == sorted(other)
}

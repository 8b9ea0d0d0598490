//! The proof of generated graphs against dominators and reachability by petgraph.
//!
//! Both sides begin with the same procedure. The other side numbers its steps,
//! makes its graph and asks the two questions that a checker of gates would ask of
//! a graph library; the proof asks many more (conditions, duties, values, cycles,
//! names), and takes stop work as an edge from every step. The library's
//! dominators are quadratic where one step has a way from each other, so the
//! yardstick leaves those edges out; what they cost it is told beside.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use levelhand::document;
use levelhand::procedure::{Body, EndKind, Lasts, Procedure, StepId};
use levelhand::proof::prove;
use petgraph::algo::dominators::simple_fast;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::Bfs;

use crate::figure::{Figure, Samples, shown};
use crate::sketch::{Does as _, Sketch as _, end, id, look, procedure, reading, step};
use crate::{Programs, Wrong};

const SIZES: [(usize, usize); 4] = [(100, 51), (1_000, 21), (10_000, 9), (100_000, 5)];

/// From 1,000 to 100,000 steps the time of one step may grow so much.
const MOST_GROWTH: f64 = 3.0;

/// The largest graph is proved within this, findings with their ways too.
const AIM: Duration = Duration::from_secs(1);

/// What the graphs declare: conditions, duties, readings.
const DECLARED: [usize; 3] = [64, 32, 200];

/// What each graph is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Health {
    Sound,
    /// Some steps end a condition that the steps after them need.
    Faulty,
}

/// With stop work as edges the library takes minutes above this.
const MOST_WITH_STOPS: usize = 10_000;

pub(crate) fn run(_: &Programs) -> Result<Vec<Figure>, Wrong> {
    let mut figures = Vec::new();
    let mut a_step = BTreeMap::new();
    for (steps, rounds) in SIZES {
        let made = generated(steps, Health::Sound);
        let (mut ours, mut theirs) = (Samples::default(), Samples::default());
        let mut alone = Samples::default();
        for _ in 0..rounds {
            let begun = Instant::now();
            let proof = prove(&made);
            ours.take(begun.elapsed());
            if let Some(finding) = proof.findings.first() {
                return Err(format!("a sound graph is found unsound: {finding:?}").into());
            }
            let (whole, questions) = petgraph(&made, false)?;
            theirs.take(whole);
            alone.take(questions);
        }
        let (a, b) = (ours.median(), theirs.median());
        let stops = if steps <= MOST_WITH_STOPS {
            shown(petgraph(&made, true)?.0)
        } else {
            "not tried, quadratic".to_owned()
        };
        println!(
            "graph of {steps} steps: medians of {rounds}, {} a step; petgraph without making its graph {}; petgraph with stop work as edges too {stops}",
            shown(a / steps as u32),
            shown(alone.median())
        );
        a_step.insert(steps, a.as_secs_f64() / steps as f64);
        figures.push(Figure::times(
            format!("{steps} steps"),
            (a, b),
            "petgraph graph, simple_fast, bfs",
            "3x",
            a <= b * 3,
        ));
    }
    told_growth(&a_step);
    parsing()?;
    figures.push(faulty()?);
    Ok(figures)
}

/// Whether the time of a step grows with the graph.
fn told_growth(a_step: &BTreeMap<usize, f64>) {
    if let (Some(few), Some(many)) = (a_step.get(&1_000), a_step.get(&100_000)) {
        let growth = many / few;
        let verdict = if growth <= MOST_GROWTH {
            "kept"
        } else {
            "MISSED"
        };
        println!(
            "graph: a step of 100,000 costs {growth:.2} times one of 1,000; aim {MOST_GROWTH:.0} times, {verdict}"
        );
    }
}

/// Reading a document of about the size that a document may have, beside its proof.
fn parsing() -> Result<(), Wrong> {
    for steps in [100, 1_000, 10_000] {
        let text = written(steps);
        let begun = Instant::now();
        let loaded = document::procedure("generated", text.as_bytes());
        let reading = begun.elapsed();
        let made = loaded
            .value
            .ok_or_else(|| format!("the generated document is unsound: {:?}", loaded.findings))?;
        let begun = Instant::now();
        let found = prove(&made).findings;
        println!(
            "graph: a document of {steps} steps, {} KiB, is read in {}; its proof takes {} ({} findings)",
            text.len() / 1024,
            shown(reading),
            shown(begun.elapsed()),
            found.len()
        );
    }
    Ok(())
}

/// A graph with faults all over: all findings, the first hundred with their ways.
fn faulty() -> Result<Figure, Wrong> {
    const STEPS: usize = 100_000;
    let made = generated(STEPS, Health::Faulty);
    let (mut ours, mut theirs) = (Samples::default(), Samples::default());
    let mut told = (0, 0);
    for _ in 0..3 {
        let begun = Instant::now();
        let proof = prove(&made);
        ours.take(begun.elapsed());
        let ways = proof.findings.iter().filter(|f| !f.path.is_empty()).count();
        told = (proof.findings.len(), ways);
        theirs.take(petgraph(&made, false)?.0);
    }
    if told.1 < 100 {
        return Err(format!("the faulty graph shows {told:?} findings and ways").into());
    }
    let (a, b) = (ours.median(), theirs.median());
    println!(
        "graph: {STEPS} faulty steps give {} findings, {} with a way, in {}; aim {}",
        told.0,
        told.1,
        shown(a),
        shown(AIM)
    );
    let name = format!("{STEPS} faulty");
    Ok(Figure::times(name, (a, b), "the same", "1 s", a <= AIM))
}

/// A plain document of so many steps, as text.
fn written(steps: usize) -> String {
    let conditions: Vec<String> = (0..DECLARED[0])
        .map(|n| format!("\"c{n}\": {{\"title\": \"c{n}\"}}"))
        .collect();
    let mut list = Vec::new();
    for n in 0..steps {
        let fact = format!("c{}", n / 10 % DECLARED[0]);
        let does = match n % 10 {
            0 => format!("\"establishes\": [\"{fact}\"]"),
            _ => format!("\"needs\": [\"{fact}\"], \"do\": [\"Do it.\", \"Look at it.\"]"),
        };
        list.push(format!(
            "{{\"id\": \"s{n}\", \"title\": \"Step {n}\", {does}}}"
        ));
    }
    list.push("{\"id\": \"done\", \"title\": \"Done\", \"end\": \"complete\"}".to_owned());
    list.push("{\"id\": \"given\", \"title\": \"Given\", \"end\": \"handed_over\"}".to_owned());
    let route = "{\"id\": \"ask\", \"title\": \"Ask\"}, {\"id\": \"safe\", \"title\": \"Safe\", \"end\": \"made_safe\"}";
    format!(
        "{{\"format\": \"levelhand procedure 1\", \"id\": \"generated\", \"title\": \"Generated\", \"revision\": 1,\n\"scope\": \"none\", \"conditions\": {{{}}},\n\"hand_over\": \"given\",\n\"phases\": [{{\"id\": \"main\", \"title\": \"Main\", \"stop\": \"ask\", \"steps\": [\n{}]}},\n{{\"id\": \"route\", \"title\": \"Route\", \"aside\": true, \"route\": true, \"stop\": \"ask\", \"steps\": [{route}]}}]}}",
        conditions.join(",\n"),
        list.join(",\n")
    )
}

/// Sound graphs that look like work: gates, movements that need them, readings,
/// steps that may fail and are tried again, and stop work from anywhere.
fn generated(steps: usize, health: Health) -> Procedure {
    let [conditions, duties, readings] = DECLARED;
    let mut made = procedure("ask");
    let few = |letter: char, count: usize| -> String {
        let all: Vec<String> = (0..count).map(|n| format!("{letter}{n}")).collect();
        all.join(" ")
    };
    let used = |most: usize| most.min(steps.div_ceil(10));
    made = made
        .conditions(&few('c', used(conditions)), Lasts::Job)
        .duties(&few('d', used(duties)));
    for n in 0..steps {
        let next = if n + 1 < steps {
            format!("s{}", n + 1)
        } else {
            "done".to_owned()
        };
        let (group, back) = (n / 10, format!("s{}", n / 10 * 10));
        let fact = format!("c{}", group % conditions);
        let name = format!("s{n}");
        let duty = format!("d{}", group % duties);
        let one = match n % 10 {
            0 => step(&name, &format!("pass:{next}")).makes(&fact),
            1 => step(&name, &format!("pass:{next}"))
                .needs(&fact)
                .incurs(&duty),
            8 => step(&name, &format!("pass:{next}"))
                .needs(&fact)
                .settles(&duty),
            3 | 5 => {
                let value = format!("v{}", (group * 2 + usize::from(n % 10 == 5)) % readings);
                made.readings.insert(id(&value), reading(&value));
                let ways = format!("pass:{next} fail:{back} spent:{next}");
                step(&name, &ways).needs(&fact).reads(&value).tries(3)
            }
            4 if health == Health::Faulty && group % 99 == 0 => {
                step(&name, &format!("pass:{next}")).clears(&fact)
            }
            6 => look(&name, &format!("good:{next} bad:{back}"))
                .needs(&fact)
                .choice("bad", |c| c.tries = Some(3)),
            _ => step(&name, &format!("pass:{next}")).needs(&fact),
        };
        made = made.then(one);
    }
    made.then(end("done", EndKind::Complete))
        .route("ask")
        .then(look("ask", "seen:safe not_seen:safe"))
        .then(end("safe", EndKind::MadeSafe))
}

/// The whole and the two questions alone.
fn petgraph(made: &Procedure, stops: bool) -> Result<(Duration, Duration), Wrong> {
    let begun = Instant::now();
    let numbers: BTreeMap<&StepId, usize> = made
        .steps
        .iter()
        .enumerate()
        .map(|(n, s)| (&s.id, n))
        .collect();
    let mut graph = DiGraph::<(), ()>::with_capacity(made.steps.len(), made.steps.len() * 3);
    for _ in &made.steps {
        graph.add_node(());
    }
    for (from, step) in made.steps.iter().enumerate() {
        let stop = made.phases.get(step.phase).map(|p| &p.stop);
        // The first step has the way to stop work in any case: the route is reached.
        let stop = stop.filter(|_| stops || from == 0);
        let leads: Vec<&StepId> = match &step.body {
            Body::Ordinary { ways, .. } => ways.values().chain(stop).collect(),
            Body::Look { choices, .. } => choices.iter().map(|c| &c.to).chain(stop).collect(),
            Body::End(_) => Vec::new(),
        };
        for to in leads {
            let to = numbers.get(to).ok_or("a way leads nowhere")?;
            graph.add_edge(NodeIndex::new(from), NodeIndex::new(*to), ());
        }
    }
    let questions = Instant::now();
    let first = NodeIndex::new(0);
    let dominators = simple_fast(&graph, first);
    let mut reached = 0;
    let mut walk = Bfs::new(&graph, first);
    while walk.next(&graph).is_some() {
        reached += 1;
    }
    let (whole, questions) = (begun.elapsed(), questions.elapsed());
    let last = NodeIndex::new(made.steps.len() - 3);
    if reached != made.steps.len() || dominators.immediate_dominator(last).is_none() {
        return Err("the generated graph has steps that are never reached".into());
    }
    Ok((whole, questions))
}

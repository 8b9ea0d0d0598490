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

use levelhand::procedure::{Body, EndKind, Lasts, Procedure, StepId};
use levelhand::proof::prove;
use petgraph::algo::dominators::simple_fast;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::Bfs;

use crate::figure::{Figure, Samples, shown};
use crate::sketch::{Does as _, Sketch as _, end, id, look, procedure, reading, step};
use crate::{Programs, Wrong};

const SIZES: [(usize, usize); 3] = [(1_000, 21), (10_000, 9), (100_000, 5)];

/// With stop work as edges the library takes minutes above this.
const MOST_WITH_STOPS: usize = 10_000;

pub(crate) fn run(_: &Programs) -> Result<Vec<Figure>, Wrong> {
    let mut figures = Vec::new();
    for (steps, rounds) in SIZES {
        let made = generated(steps);
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
        figures.push(Figure::times(
            format!("{steps} steps"),
            (a, b),
            "petgraph graph, simple_fast, bfs",
            "3x",
            a <= b * 3,
        ));
    }
    Ok(figures)
}

/// Sound graphs that look like work: gates, movements that need them, readings of
/// their own, steps that may fail and are tried again, and stop work from anywhere.
fn generated(steps: usize) -> Procedure {
    const GATES: usize = 40;
    let mut made = procedure("ask");
    let names = |n: usize| format!("c{}", n / 10 % GATES);
    let all: Vec<String> = (0..GATES).map(|n| format!("c{n}")).collect();
    made = made
        .conditions(&all.join(" "), Lasts::Job)
        .duties("d0 d1 d2 d3");
    for n in 0..steps {
        let next = if n + 1 < steps { format!("s{}", n + 1) } else { "done".to_owned() };
        let back = format!("s{}", n / 10 * 10);
        let name = format!("s{n}");
        let duty = format!("d{}", n / 10 % 4);
        let one = match n % 10 {
            0 => step(&name, &format!("pass:{next}")).makes(&names(n)),
            1 => step(&name, &format!("pass:{next}")).needs(&names(n)).incurs(&duty),
            8 => step(&name, &format!("pass:{next}")).needs(&names(n)).settles(&duty),
            3 | 5 => {
                let value = format!("v{n}");
                made.readings.insert(id(&value), reading(&value));
                let ways = format!("pass:{next} fail:{back} spent:{next}");
                step(&name, &ways).needs(&names(n)).reads(&value).tries(3)
            }
            6 => look(&name, &format!("good:{next} bad:{back}"))
                .needs(&names(n))
                .choice("bad", |c| c.tries = Some(3)),
            _ => step(&name, &format!("pass:{next}")).needs(&names(n)),
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
    let numbers: BTreeMap<&StepId, usize> =
        made.steps.iter().enumerate().map(|(n, s)| (&s.id, n)).collect();
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

//! The step graph in the DOT language, for programs that lay graphs out.
//!
//! Invariants: every step is a node once, every way an edge once; phases are
//! clusters; stop edges are dashed and grey. Must not know of places on a page.

use std::fmt::Write as _;

use super::Chart;
use super::graph::{By, Graph, Sort, Way, used_at};
use super::known::known;
use super::mark::quoted;
use crate::procedure::{Outcome, Step};

/// The whole graph.
pub fn dot(chart: &Chart<'_>) -> String {
    let graph = Graph::new(chart.procedure);
    let procedure = chart.procedure;
    let mut out = String::new();
    let heading = format!("{}, revision {}", procedure.title, procedure.revision);
    // Writing to a string can't fail.
    let _ = writeln!(out, "// {}", chart.standing());
    let _ = writeln!(out, "// SHA-256 of the document: {}", chart.sha256);
    let _ = writeln!(out, "digraph {} {{", quoted(procedure.id.as_str()));
    let _ = writeln!(
        out,
        "  graph [label={}, labelloc=t, rankdir=TB, splines=line, nslimit=2, nslimit1=2, mclimit=0.3, fontname=\"sans-serif\"];",
        quoted(&heading)
    );
    out.push_str("  node [shape=box, fontname=\"sans-serif\"];\n");
    out.push_str("  edge [fontname=\"sans-serif\"];\n");
    for (number, phase) in procedure.phases.iter().enumerate() {
        let label = format!("{} {}", number + 1, phase.title);
        let style = if phase.aside { "dashed" } else { "rounded" };
        let _ = writeln!(
            out,
            "  subgraph {} {{",
            quoted(&format!("cluster_{}", phase.id))
        );
        let _ = writeln!(out, "    label={}; style={style};", quoted(&label));
        for at in graph.within(number) {
            if let Some(step) = graph.step(at) {
                let _ = writeln!(out, "    {}", node(chart, &graph, at, step));
            }
        }
        out.push_str("  }\n");
    }
    for way in &graph.ways {
        out.push_str(&edge(chart, &graph, way));
    }
    if let Some(known) = chart.at.and_then(|id| known(chart, id)) {
        let text = known.text();
        let lines: Vec<String> = text.lines().map(quoted).collect();
        let label: Vec<&str> = lines.iter().map(|l| unquoted(l)).collect();
        let _ = writeln!(
            out,
            "  \"what is known\" [shape=note, label=\"{}\\l\"];",
            label.join("\\l")
        );
        if let Some(at) = chart.at {
            let _ = writeln!(
                out,
                "  \"what is known\" -> {} [style=dotted, arrowhead=none];",
                quoted(at.as_str())
            );
        }
    }
    out.push_str("}\n");
    out
}

fn node(chart: &Chart<'_>, graph: &Graph<'_>, at: usize, step: &Step) -> String {
    let sort = graph.sort(step);
    let shape = match sort {
        Sort::Step => "box",
        Sort::Gate => "octagon",
        Sort::Movement => "box3d",
        Sort::Look | Sort::SheetLook => "diamond",
        Sort::End(_) => "doubleoctagon",
    };
    let mut lines = Vec::new();
    if !sort.word().is_empty() {
        lines.push(sort.word().to_owned());
    }
    lines.push(graph.named(at));
    if let Some(place) = used_at(step) {
        lines.push(format!("(of the part {place})"));
    }
    let lines: Vec<String> = lines.iter().map(|l| quoted(l)).collect();
    let label: Vec<&str> = lines.iter().map(|l| unquoted(l)).collect();
    let here = if chart.at == Some(&step.id) {
        ", penwidth=4"
    } else {
        ""
    };
    format!(
        "{} [shape={shape}, label=\"{}\"{here}];",
        quoted(step.id.as_str()),
        label.join("\\n")
    )
}

fn unquoted(text: &str) -> &str {
    let inner = text.strip_prefix('"').and_then(|t| t.strip_suffix('"'));
    inner.unwrap_or(text)
}

fn edge(chart: &Chart<'_>, graph: &Graph<'_>, way: &Way<'_>) -> String {
    let (Some(from), Some(to)) = (graph.step(way.from), graph.step(way.to)) else {
        return String::new();
    };
    let mut attributes = vec![format!("label={}", quoted(&chart.way(way, from)))];
    match way.by {
        By::Stop => attributes.extend(
            [
                "style=dashed",
                "color=grey",
                "fontcolor=grey",
                "constraint=false",
            ]
            .map(str::to_owned),
        ),
        By::Repeat => attributes.extend(["style=dashed", "constraint=false"].map(str::to_owned)),
        By::Outcome(Outcome::Pass) => attributes.push("penwidth=2".to_owned()),
        By::Outcome(_) | By::Choice(_) => {}
    }
    format!(
        "  {} -> {} [{}];\n",
        quoted(from.id.as_str()),
        quoted(to.id.as_str()),
        attributes.join(", ")
    )
}

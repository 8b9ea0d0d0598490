//! What stands in the box of one step and at its ways, measured but not yet placed.
//!
//! Invariant: every way out of the step but its stop edge is in exactly one of
//! `down` and `exits`. Must not know of columns or of what is drawn beside it.

use std::collections::BTreeMap;

use super::Chart;
use super::graph::{By, Graph, Sort, Way, used_at};
use super::phrase::held;
use super::picture::{Row, Shape, Tone, height};
use crate::procedure::{Confirm, Outcome, Signal, Step};

/// How wide a box is, and what of it words may take.
pub(super) const BOX: i32 = 290;
pub(super) const PAD: i32 = 11;
/// Room for the words at a way, and for a tag.
pub(super) const LABEL: i32 = 150;
pub(super) const TAG: i32 = 200;
/// Of a tag, what words may take.
const TAG_WORDS: i32 = TAG - 22;

const HEAD: (i32, bool, Tone) = (11, true, Tone::Strong);
const TITLE: (i32, bool, Tone) = (13, true, Tone::Strong);
const FACT: (i32, bool, Tone) = (11, false, Tone::Plain);
const SMALL: (i32, bool, Tone) = (10, false, Tone::Faint);
const WAY: (i32, bool, Tone) = (11, true, Tone::Plain);

/// How a way is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Route {
    /// Straight down to the next box.
    Down,
    /// Through the lanes at the right.
    Lane,
    /// To a tag that names the step.
    Tag,
}

/// A way out at the right of a box.
#[derive(Debug)]
pub(super) struct Exit {
    /// The words over its line.
    pub(super) label: Vec<Row>,
    /// Where it leads.
    pub(super) to: usize,
    /// The rows of its tag; none if it goes through a lane.
    pub(super) tag: Option<Vec<Row>>,
    /// Whether it is drawn faint.
    pub(super) faint: bool,
    /// The ways that it stands for.
    pub(super) ways: Vec<String>,
}

impl Exit {
    /// From the top of its row to its line.
    pub(super) fn line(&self) -> i32 {
        let over = height(&self.label) + 2;
        self.tag
            .as_ref()
            .map_or(over, |tag| over.max(tag_height(tag) / 2))
    }

    /// The height of its row.
    pub(super) fn height(&self) -> i32 {
        let under = self.tag.as_ref().map_or(4, |tag| tag_height(tag) / 2 + 3);
        self.line() + under + 2
    }
}

/// The height of a tag around its rows.
pub(super) fn tag_height(rows: &[Row]) -> i32 {
    height(rows) + 6
}

/// A step, measured.
#[derive(Debug)]
pub(super) struct Slot {
    /// The step's place in the document.
    pub(super) at: usize,
    /// Its outline.
    pub(super) shape: Shape,
    /// What stands over it: the part that begins here.
    pub(super) caption: Vec<Row>,
    /// Whether it came out of a fragment.
    pub(super) part: bool,
    /// What stands in it.
    pub(super) rows: Vec<Row>,
    /// Whether anything comes in through the lanes.
    pub(super) entered: bool,
    /// Ways at its right.
    pub(super) exits: Vec<Exit>,
    /// Words at the line down to the next box, and the ways it stands for.
    pub(super) down: Option<(Vec<Row>, Vec<String>)>,
}

/// Room at the top right for the line that comes in.
const ENTRY: i32 = 18;
/// Between boxes.
const GAP: i32 = 16;

impl Slot {
    /// The height of the box.
    pub(super) fn high(&self) -> i32 {
        let exits: i32 = self.exits.iter().map(Exit::height).sum();
        let words = height(&self.rows) + 14;
        words.max(exits + self.first_exit() + 4)
    }

    /// Where the first way out begins, from the top of the box.
    pub(super) fn first_exit(&self) -> i32 {
        if self.entered { ENTRY } else { 4 }
    }

    /// What is left free under the box.
    pub(super) fn gap(&self) -> i32 {
        let words = self.down.as_ref().map_or(0, |(rows, _)| height(rows));
        GAP + if words > 0 { words + 4 } else { 0 }
    }

    /// From the top of its caption to the top of its box.
    pub(super) fn over(&self) -> i32 {
        let caption = height(&self.caption);
        if caption > 0 { caption + 8 } else { 0 }
    }
}

/// Measures a step; `route` says how each of its ways is drawn, and `from` which
/// steps lead here from elsewhere.
pub(super) fn slot(
    chart: &Chart<'_>,
    graph: &Graph<'_>,
    at: usize,
    route: &dyn Fn(&Way<'_>) -> Route,
    elsewhere: &str,
) -> Slot {
    let Some(step) = graph.step(at) else {
        return Slot {
            at,
            shape: Shape::Step,
            caption: Vec::new(),
            part: false,
            rows: Vec::new(),
            entered: false,
            exits: Vec::new(),
            down: None,
        };
    };
    let sort = graph.sort(step);
    let mut rows = facts(chart, graph, at, step);
    if !elsewhere.is_empty() {
        rows.extend(Row::wrapped(elsewhere, SMALL, BOX - 2 * PAD));
    }
    let (exits, down) = ways(chart, graph, step, at, route);
    Slot {
        at,
        shape: match sort {
            Sort::Step => Shape::Step,
            Sort::Gate => Shape::Gate,
            Sort::Movement => Shape::Movement,
            Sort::Look | Sort::SheetLook => Shape::Look,
            Sort::End(_) => Shape::End,
        },
        caption: caption(graph, at, step),
        part: used_at(step).is_some(),
        rows,
        entered: graph
            .ways
            .iter()
            .any(|w| w.to == at && !w.is_faint() && route(w) == Route::Lane),
        exits,
        down,
    }
}

/// The words over the first step of a used fragment.
fn caption(graph: &Graph<'_>, at: usize, step: &Step) -> Vec<Row> {
    let Some(place) = used_at(step) else {
        return Vec::new();
    };
    let before = at.checked_sub(1).and_then(|b| graph.step(b));
    let begins = before.is_none_or(|b| b.phase != step.phase || used_at(b) != Some(place));
    if !begins {
        return Vec::new();
    }
    Row::wrapped(&format!("Part used here as {place}"), SMALL, BOX - 40)
}

fn facts(chart: &Chart<'_>, graph: &Graph<'_>, at: usize, step: &Step) -> Vec<Row> {
    let wide = BOX - 2 * PAD;
    let word = graph.sort(step).word();
    let head = format!("{}   {word}", graph.number(at));
    let mut rows = Row::wrapped(&head, HEAD, wide);
    rows.extend(Row::wrapped(&step.title, TITLE, wide));
    let mut fact = |text: String| rows.extend(Row::wrapped(&text, FACT, wide));
    if let Some(place) = &step.place {
        fact(format!("Where: {place}"));
    }
    let dangers = signals(chart, step);
    if !dangers.is_empty() {
        fact(dangers);
    }
    let acts = step.acts.iter().filter_map(|a| chart.procedure.acts.get(a));
    let acts: Vec<&str> = acts.map(|a| a.title.as_str()).collect();
    if !acts.is_empty() {
        fact(format!("Act: {}", acts.join(" · ")));
    }
    let asked = asked(step);
    if !asked.is_empty() {
        fact(asked);
    }
    let cleared = chart.procedure.effective_clears(step);
    for (lead, text) in [
        ("No longer true: ", chart.conditions(&cleared)),
        ("Now true: ", chart.conditions(&step.establishes)),
        ("Owed from here: ", chart.duties(&step.incurs)),
        ("Paid here: ", chart.duties(&step.settles)),
    ] {
        if !text.is_empty() {
            fact(format!("{lead}{text}"));
        }
    }
    rows
}

/// The signal words of what is met here, worst first.
fn signals(chart: &Chart<'_>, step: &Step) -> String {
    let mut count: BTreeMap<Signal, usize> = BTreeMap::new();
    for hazard in chart.procedure.hazards_of(step) {
        if let Some(hazard) = chart.procedure.hazards.get(&hazard) {
            *count.entry(hazard.signal).or_default() += 1;
        }
    }
    let each = count.iter().rev().map(|(signal, n)| match n {
        1 => signal.word().to_owned(),
        n => format!("{} ({n})", signal.word()),
    });
    each.collect::<Vec<_>>().join(" · ")
}

fn asked(step: &Step) -> String {
    let counted = |n: usize, one: &str, more: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {more}")),
    };
    let confirm = match step.confirm() {
        Confirm::None | Confirm::Enter => None,
        Confirm::Hold { .. } => held(step.confirm()),
        Confirm::Pulse { presses, .. } => Some(format!("{presses} presses in time")),
        Confirm::Wait { .. } => Some("a wait".to_owned()),
    };
    let parts = [
        counted(step.ticks.len(), "tick", "ticks"),
        counted(step.readings.len(), "reading", "readings"),
        counted(step.works.len(), "working", "workings"),
        counted(step.limits.len(), "limit", "limits"),
        confirm,
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

type Ways = (Vec<Exit>, Option<(Vec<Row>, Vec<String>)>);

fn ways(
    chart: &Chart<'_>,
    graph: &Graph<'_>,
    step: &Step,
    at: usize,
    route: &dyn Fn(&Way<'_>) -> Route,
) -> Ways {
    let mut exits: Vec<(bool, Exit, String)> = Vec::new();
    let mut down: Option<(Vec<Row>, Vec<String>)> = None;
    for way in graph.out_of(at).filter(|w| !matches!(w.by, By::Stop)) {
        let name = format!("{} {}", step.id, way.key());
        let words = chart.way(way, step);
        let outcome = matches!(way.by, By::Outcome(_));
        if route(way) == Route::Down {
            let (rows, ways) = down.get_or_insert_with(|| (Vec::new(), Vec::new()));
            if !matches!(way.by, By::Outcome(Outcome::Pass)) {
                rows.extend(Row::wrapped(&words, WAY, BOX - 40));
                rows.extend(changes(chart, way, BOX - 40));
            }
            ways.push(name);
            continue;
        }
        // Bad outcomes that lead to one step share a line.
        let same = exits
            .iter_mut()
            .find(|(o, e, _)| outcome && *o && e.to == way.to);
        if let Some((_, exit, said)) = same {
            *said = format!("{said}, {words}");
            exit.label = Row::wrapped(said, WAY, LABEL - 12);
            exit.ways.push(name);
            continue;
        }
        let mut label = Row::wrapped(&words, WAY, LABEL - 12);
        label.extend(changes(chart, way, LABEL - 12));
        let tag = (route(way) == Route::Tag).then(|| tag(graph, way.to));
        let exit = Exit {
            label,
            to: way.to,
            tag,
            faint: way.is_faint(),
            ways: vec![name],
        };
        exits.push((outcome, exit, words));
    }
    (exits.into_iter().map(|(_, exit, _)| exit).collect(), down)
}

/// What a choice makes true, owed and paid.
fn changes(chart: &Chart<'_>, way: &Way<'_>, wide: i32) -> Vec<Row> {
    let By::Choice(choice) = way.by else {
        return Vec::new();
    };
    let mut rows = Vec::new();
    for (lead, text) in [
        ("now true: ", chart.conditions(&choice.establishes)),
        ("owed from here: ", chart.duties(&choice.incurs)),
        ("paid here: ", chart.duties(&choice.settles)),
    ] {
        if !text.is_empty() {
            rows.extend(Row::wrapped(&format!("{lead}{text}"), SMALL, wide));
        }
    }
    rows
}

/// The rows of a tag that names a step.
pub(super) fn tag(graph: &Graph<'_>, to: usize) -> Vec<Row> {
    Row::wrapped(&graph.named(to), (11, false, Tone::Plain), TAG_WORDS)
}

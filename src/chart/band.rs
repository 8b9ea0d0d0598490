//! One phase as a block of a column: its steps under one another, or folded to a box.
//!
//! Invariant: a block knows how high it is before it has a place, and draws itself
//! into exactly that height. Must not know of other blocks.

use std::collections::{BTreeMap, BTreeSet};

use super::Chart;
use super::graph::{By, Graph, Way};
use super::picture::{Picture, Row, Shape, Tone, height};
use super::slot::{self, BOX, Exit, LABEL, PAD, Route, Slot, TAG, tag_height};

/// From the edge of a band to its boxes: room for the line of stop work.
pub(super) const RAIL: i32 = 28;
/// Where lines go down from box to box, from the edge of the box.
const FALL: i32 = 16;
/// Where the words of a band's head begin, from its edge.
const HEAD: i32 = RAIL + FALL + 14;
/// Over and under what is in a band.
const EDGE: i32 = 10;

/// A phase in a column.
#[derive(Debug)]
pub(super) struct Block {
    /// The phase's place in the document.
    pub(super) phase: usize,
    /// Whether it is one box.
    pub(super) folded: bool,
    head: Vec<Row>,
    stop: Vec<Row>,
    stop_to: Option<usize>,
    stops: Vec<String>,
    /// Its steps; of a folded phase the one box.
    pub(super) slots: Vec<Slot>,
}

/// Where boxes, and the lines at them, came to stand.
#[derive(Debug, Default)]
pub(super) struct Stand {
    /// The upper edge of the box of a step.
    pub(super) tops: BTreeMap<usize, i32>,
    /// Ways that go through lanes: from which height to which step.
    pub(super) lanes: Vec<(i32, usize, Vec<String>)>,
}

/// The height at which a line comes in, from the top of its box.
pub(super) const ENTRY: i32 = 13;

impl Block {
    /// A phase with all its steps.
    pub(super) fn open(
        chart: &Chart<'_>,
        graph: &Graph<'_>,
        phase: usize,
        route: &dyn Fn(&Way<'_>) -> Route,
    ) -> Self {
        let slots = graph
            .within(phase)
            .map(|at| slot::slot(chart, graph, at, route, &elsewhere(graph, at, route)))
            .collect();
        let mut block = Self::empty(graph, phase, slots);
        block.folded = false;
        block
    }

    /// A phase as one box.
    pub(super) fn fold(graph: &Graph<'_>, phase: usize) -> Self {
        let slot = folded(graph, phase);
        let mut block = Self::empty(graph, phase, vec![slot]);
        block.folded = true;
        block
    }

    fn empty(graph: &Graph<'_>, phase: usize, slots: Vec<Slot>) -> Self {
        let about = graph.procedure.phases.get(phase);
        let title = about.map_or("", |p| p.title.as_str());
        let title = format!("{}   {title}", phase + 1);
        let stops = graph.ways.iter().filter(|w| matches!(w.by, By::Stop));
        let stops = stops.filter_map(|w| graph.step(w.from));
        let stops: Vec<String> = stops
            .filter(|s| s.phase == phase)
            .map(|s| format!("{} stop work", s.id))
            .collect();
        // A phase of nothing but ends has no way to stop.
        let stop_to = about.filter(|_| !stops.is_empty());
        let stop_to = stop_to.and_then(|p| graph.place(&p.stop));
        let stop = stop_to.map(|to| {
            let text = format!("Stop work leads to {}", graph.named(to));
            Row::wrapped(&text, (11, false, Tone::Faint), BOX + 60)
        });
        Self {
            phase,
            folded: false,
            head: Row::wrapped(&title, (16, true, Tone::Strong), BOX + LABEL + TAG - 60),
            stop: stop.unwrap_or_default(),
            stop_to,
            stops,
            slots,
        }
    }

    fn head_height(&self) -> i32 {
        if self.folded {
            return 0;
        }
        let stop = if self.stop.is_empty() {
            0
        } else {
            tag_height(&self.stop)
        };
        height(&self.head) + stop + 14
    }

    /// Where its steps begin.
    fn first(&self) -> i32 {
        if self.folded {
            return EDGE / 2;
        }
        EDGE + self.head_height()
    }

    /// How high it is.
    pub(super) fn high(&self) -> i32 {
        let slots = self.slots.iter();
        let each: i32 = slots.map(|s| s.over() + s.high() + s.gap()).sum();
        if self.folded {
            return each;
        }
        EDGE + self.head_height() + each + EDGE
    }

    /// Notes where everything will stand if the block begins at `y`.
    pub(super) fn stand(&self, y: i32, stand: &mut Stand) {
        let mut y = y + self.first();
        for slot in &self.slots {
            y += slot.over();
            if !self.folded {
                stand.tops.insert(slot.at, y);
            }
            let mut row = y + slot.first_exit();
            for exit in &slot.exits {
                if exit.tag.is_none() {
                    let at = row + exit.line();
                    stand.lanes.push((at, exit.to, exit.ways.clone()));
                }
                row += exit.height();
            }
            y += slot.high() + slot.gap();
        }
    }

    /// Draws the ground of the band, `wide` across.
    pub(super) fn ground(&self, picture: &mut Picture, (x, y): (i32, i32), wide: i32) {
        let id = Some(format!("phase-{}", self.phase + 1));
        let whole = [x, y, wide, self.high()];
        if self.folded {
            picture.named(whole, Shape::Folded, Tone::Plain, (id, None));
        } else {
            picture.named(whole, Shape::Band, Tone::Plain, (id, None));
        }
        let mut top = y + self.first();
        for (n, slot) in self.slots.iter().enumerate() {
            top += slot.over();
            self.draw_part(picture, n, (x, top));
            top += slot.high() + slot.gap();
        }
    }

    /// Draws everything but the lanes.
    pub(super) fn draw(&self, picture: &mut Picture, (x, y): (i32, i32), here: Option<usize>) {
        if !self.folded {
            self.draw_head(picture, (x, y));
        }
        let mut top = y + self.first();
        let mut rail = Vec::new();
        for slot in &self.slots {
            top += slot.over();
            if !self.folded && slot.shape != Shape::End {
                rail.push(top + slot.high() / 2);
            }
            let marked = here == Some(slot.at);
            self.draw_box(picture, slot, (x + RAIL, top), marked);
            draw_exits(picture, slot, (x + RAIL + BOX, top));
            draw_down(picture, slot, (x + RAIL, top));
            top += slot.high() + slot.gap();
        }
        if let (Some(last), Some(_)) = (rail.last(), self.stop_to) {
            let up = self.stop_line(y);
            let bend = x + 12;
            let points = vec![(bend, *last), (bend, up), (x + HEAD, up)];
            picture.line(points, Tone::Faint, true, self.stops.clone());
            for at in &rail {
                let points = vec![(x + RAIL, *at), (bend, *at)];
                picture.line(points, Tone::Faint, false, Vec::new());
            }
        }
    }

    fn stop_line(&self, y: i32) -> i32 {
        y + EDGE + height(&self.head) + tag_height(&self.stop) / 2 + 2
    }

    fn draw_head(&self, picture: &mut Picture, (x, y): (i32, i32)) {
        let under = picture.rows(x + HEAD, y + EDGE, &self.head);
        let Some(to) = self.stop_to else {
            return;
        };
        let room = [x + HEAD, under + 2, BOX + 84, tag_height(&self.stop)];
        let link = (None, Some(anchor(to)));
        picture.named(room, Shape::Tag, Tone::Faint, link);
        picture.rows(x + HEAD + 6, under + 4, &self.stop);
    }

    /// The ground and the words of a used fragment, at its first step.
    fn draw_part(&self, picture: &mut Picture, n: usize, (x, top): (i32, i32)) {
        let Some(slot) = self.slots.get(n) else {
            return;
        };
        if slot.caption.is_empty() {
            return;
        }
        let from = top - slot.over();
        let rest = self.slots.iter().skip(n + 1);
        let more = rest.take_while(|s| s.caption.is_empty() && s.part);
        let mut under = top + slot.high();
        let mut gap = slot.gap();
        for next in more {
            under += gap + next.over() + next.high();
            gap = next.gap();
        }
        let room = [x + RAIL - 7, from, BOX + 14, under - from + 7];
        picture.frame(room, Shape::Part, Tone::Plain);
        picture.rows(x + RAIL + FALL + 12, from + 3, &slot.caption);
    }

    fn draw_box(&self, picture: &mut Picture, slot: &Slot, (x, y): (i32, i32), marked: bool) {
        if self.folded {
            picture.rows(x - RAIL + PAD, y + 4, &slot.rows);
            return;
        }
        let tone = if marked { Tone::Strong } else { Tone::Plain };
        let id = Some(anchor(slot.at));
        picture.named([x, y, BOX, slot.high()], slot.shape, tone, (id, None));
        picture.rows(x + PAD + 2, y + 5, &slot.rows);
    }
}

/// The name of a step's box within the picture.
pub(super) fn anchor(at: usize) -> String {
    format!("step-{}", at + 1)
}

fn draw_exits(picture: &mut Picture, slot: &Slot, (x, top): (i32, i32)) {
    let mut row = top + slot.first_exit();
    for exit in &slot.exits {
        let line = row + exit.line();
        picture.rows(x + 9, line - height(&exit.label) - 1, &exit.label);
        if let Some(tag) = &exit.tag {
            let tone = if exit.faint { Tone::Faint } else { Tone::Plain };
            let left = x + LABEL;
            let high = tag_height(tag);
            picture.line(vec![(x, line), (left, line)], tone, true, exit.ways.clone());
            let link = (None, Some(anchor(exit.to)));
            let room = [left, line - high / 2, TAG, high];
            picture.named(room, Shape::Tag, tone, link);
            picture.rows(left + 6, line - high / 2 + 2, tag);
        }
        row += exit.height();
    }
}

/// The line to the next box, with its words.
fn draw_down(picture: &mut Picture, slot: &Slot, (x, top): (i32, i32)) {
    if let Some((rows, _)) = &slot.down {
        picture.rows(x + FALL + 10, top + slot.high() + 3, rows);
    }
}

/// Where the line down from a box begins and ends: under the box, over the next.
pub(super) fn fall(x: i32) -> i32 {
    x + RAIL + FALL
}

/// Which ways come from where no line is drawn.
fn elsewhere(graph: &Graph<'_>, at: usize, route: &dyn Fn(&Way<'_>) -> Route) -> String {
    let mut from = BTreeSet::new();
    let mut stops = BTreeSet::new();
    for way in graph.ways.iter().filter(|w| w.to == at) {
        match way.by {
            By::Stop => {
                stops.extend(graph.step(way.from).map(|s| s.phase + 1));
            }
            By::Outcome(_) | By::Choice(_) | By::Repeat => {
                if route(way) == Route::Tag {
                    from.insert(way.from);
                }
            }
        }
    }
    let mut parts = Vec::new();
    if !from.is_empty() {
        let numbers: Vec<&str> = from.iter().map(|f| graph.number(*f)).collect();
        parts.push(format!("Also from {}.", numbers.join(", ")));
    }
    if !stops.is_empty() {
        parts.push(format!("Stop work leads here from phase {}.", runs(&stops)));
    }
    parts.join(" ")
}

/// Numbers in a row, those that follow one another as from–to.
fn runs(numbers: &BTreeSet<usize>) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for n in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *n => *last = *n,
            _ => runs.push((*n, *n)),
        }
    }
    let each = runs.iter().map(|(from, to)| match to - from {
        0 => from.to_string(),
        1 => format!("{from}, {to}"),
        _ => format!("{from} to {to}"),
    });
    each.collect::<Vec<_>>().join(", ")
}

/// The one box of a folded phase: what it is, and where it leads.
fn folded(graph: &Graph<'_>, phase: usize) -> Slot {
    let inside: BTreeSet<usize> = graph.within(phase).collect();
    let about = graph.procedure.phases.get(phase);
    let title = about.map_or("", |p| p.title.as_str());
    let wide = BOX + RAIL - 2 * PAD;
    let mut rows = Row::wrapped(
        &format!("{}   {title}", phase + 1),
        (13, true, Tone::Strong),
        wide,
    );
    let mut within = 0;
    let mut stops = 0;
    let mut out: BTreeMap<usize, (BTreeSet<usize>, Vec<String>)> = BTreeMap::new();
    for way in graph.ways.iter().filter(|w| inside.contains(&w.from)) {
        let name = graph.step(way.from).map_or("", |s| s.id.as_str());
        if matches!(way.by, By::Stop) {
            stops += 1;
        } else if inside.contains(&way.to) {
            within += 1;
        } else {
            let (from, ways) = out.entry(way.to).or_default();
            from.insert(way.from);
            ways.push(format!("{name} {}", way.key()));
        }
    }
    let word = |n: usize, one: &str, more: &str| match n {
        1 => format!("1 {one}"),
        n => format!("{n} {more}"),
    };
    let counts = format!(
        "Folded: {}, {} among them",
        word(inside.len(), "step", "steps"),
        word(within, "way", "ways"),
    );
    rows.extend(Row::wrapped(&counts, (11, false, Tone::Plain), wide));
    if let Some(to) = about.and_then(|p| graph.place(&p.stop)) {
        let text = format!(
            "Stop work ({}) leads to {}",
            word(stops, "way", "ways"),
            graph.named(to)
        );
        rows.extend(Row::wrapped(&text, (10, false, Tone::Faint), wide));
    }
    Slot {
        at: inside.first().copied().unwrap_or(0),
        shape: Shape::Folded,
        caption: Vec::new(),
        part: false,
        rows,
        entered: false,
        exits: out
            .into_iter()
            .map(|(to, (from, ways))| {
                let numbers: Vec<&str> = from.iter().map(|f| graph.number(*f)).collect();
                Exit {
                    label: Row::wrapped(
                        &format!("from {}", numbers.join(", ")),
                        (10, false, Tone::Faint),
                        LABEL - 14,
                    ),
                    to,
                    tag: Some(slot::tag(graph, to)),
                    faint: false,
                    ways,
                }
            })
            .collect(),
        down: None,
    }
}

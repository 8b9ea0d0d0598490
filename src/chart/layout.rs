//! Where everything stands: phases in columns, ways as lines down, through lanes, or
//! to tags.
//!
//! Invariants: boxes and words never lie on one another, and no line runs through
//! words: lines down keep to a strip that no words enter, level ones run under the
//! words of their own row, upright ones in lanes right of everything else. Must not
//! know how a picture is written.

use std::collections::{BTreeMap, BTreeSet};

use super::Chart;
use super::band::{Block, ENTRY, RAIL, Stand, fall};
use super::graph::{By, Graph, Way};
use super::known::known;
use super::picture::{Picture, Piece, Row, Shape, Tone, height};
use super::slot::{BOX, LABEL, Route, TAG};
use crate::procedure::Outcome;

/// Around the picture, and between columns.
const MARGIN: i32 = 24;
/// Between phases.
const BETWEEN: i32 = 14;
/// Between lanes.
const LANE: i32 = 9;
/// A way over more steps than this goes to a tag: nobody follows a line that far.
const FAR: usize = 12;
/// The part of a column that does not depend on its lanes.
const FIXED: i32 = RAIL + BOX + LABEL + TAG + 8;
/// The width of the list of what is known.
const PANEL: i32 = 330;

/// A column with its blocks, and where they stand.
struct Column {
    blocks: Vec<(i32, Block)>,
    stand: Stand,
    lanes: BTreeMap<usize, i32>,
    high: i32,
}

impl Column {
    fn wide(&self) -> i32 {
        let lanes = self.lanes.values().max().map_or(0, |most| most + 1);
        FIXED + LANE * lanes + 8
    }
}

/// The picture of a procedure; with a step to look at, of its phase alone and what
/// is known there.
pub fn picture(chart: &Chart<'_>) -> Picture {
    let graph = Graph::new(chart.procedure);
    let here = chart.at.and_then(|id| graph.place(id));
    let (open, folded) = drawn(chart, &graph, here);
    let together: BTreeMap<usize, usize> = open.iter().map(|p| (*p, 0)).collect();
    let first = blocks(chart, &graph, &open, &folded, &together);
    let shares = shares(&first, here.is_some());
    let column_of: BTreeMap<usize, usize> = first
        .iter()
        .zip(&shares)
        .filter(|(b, _)| !b.folded)
        .map(|(b, column)| (b.phase, *column))
        .collect();
    let blocks = blocks(chart, &graph, &open, &folded, &column_of);
    let columns = stack(blocks, &shares);
    let mut picture = Picture {
        title: chart.heading(),
        ..Picture::default()
    };
    let panel = chart.at.and_then(|id| known(chart, id));
    let extra = if panel.is_some() { PANEL + MARGIN } else { 0 };
    let across: i32 = columns.iter().map(|c| c.wide() + MARGIN).sum();
    picture.width = across + MARGIN + extra;
    let top = head(chart, &mut picture);
    let mut x = MARGIN;
    for column in &columns {
        draw(&graph, column, &mut picture, (x, top), here);
        x += column.wide() + MARGIN;
    }
    let mut under = columns.iter().map(|c| c.high).max().unwrap_or(0) + top;
    if let Some(known) = panel {
        let mut lists = vec![(format!("AT {}", known.step), Vec::new())];
        lists.extend(known.lists());
        under = under.max(list(&lists, &mut picture, (x, top)));
    }
    picture.height = under + MARGIN;
    picture
}

/// Which phases are drawn with their steps, and which as one box.
fn drawn(chart: &Chart<'_>, graph: &Graph<'_>, here: Option<usize>) -> (Vec<usize>, Vec<usize>) {
    if let Some(step) = here.and_then(|at| graph.step(at)) {
        return (vec![step.phase], Vec::new());
    }
    let phases = || chart.procedure.phases.iter().enumerate();
    let aside = |wanted: bool| {
        move |(n, p): (usize, &crate::procedure::Phase)| (p.aside == wanted).then_some(n)
    };
    let mut open: Vec<usize> = phases().filter_map(aside(false)).collect();
    let asides: Vec<usize> = phases().filter_map(aside(true)).collect();
    if chart.unfold {
        open.extend(asides);
        return (open, Vec::new());
    }
    (open, asides)
}

/// Every block in the order of drawing, measured for these columns.
fn blocks(
    chart: &Chart<'_>,
    graph: &Graph<'_>,
    open: &[usize],
    folded: &[usize],
    column_of: &BTreeMap<usize, usize>,
) -> Vec<Block> {
    let order: Vec<usize> = open.iter().flat_map(|p| graph.within(*p)).collect();
    let places: BTreeMap<usize, usize> = order.iter().enumerate().map(|(n, at)| (*at, n)).collect();
    let column = |at: usize| {
        let phase = graph.step(at).map(|s| s.phase)?;
        column_of.get(&phase)
    };
    let route = |way: &Way<'_>| {
        let (Some(from), Some(to)) = (places.get(&way.from), places.get(&way.to)) else {
            return Route::Tag;
        };
        if column(way.from) != column(way.to) || way.is_faint() {
            return Route::Tag;
        }
        let passes = matches!(way.by, By::Outcome(Outcome::Pass) | By::Choice(_));
        if *to == from + 1 && passes {
            Route::Down
        } else if from.abs_diff(*to) <= FAR {
            Route::Lane
        } else {
            Route::Tag
        }
    };
    let open = open.iter().map(|p| Block::open(chart, graph, *p, &route));
    let folded = folded.iter().map(|p| Block::fold(graph, *p));
    open.chain(folded).collect()
}

/// The column of each block: about as high together as they are wide.
fn shares(blocks: &[Block], alone: bool) -> Vec<usize> {
    let whole: i32 = blocks.iter().map(|b| b.high() + BETWEEN).sum();
    let mut columns = 1;
    while !alone && whole / columns > (FIXED + 60) * columns * 11 / 10 {
        columns += 1;
    }
    let tallest = blocks.iter().map(Block::high).max().unwrap_or(0) + BETWEEN;
    let mut least = tallest.max(whole / columns);
    while fill(blocks, least)
        .last()
        .is_some_and(|last| *last >= columns as usize)
    {
        least += 40;
    }
    fill(blocks, least)
}

/// The column of each block if none may be higher than this.
fn fill(blocks: &[Block], most: i32) -> Vec<usize> {
    let (mut column, mut so_far) = (0, 0);
    let each = blocks.iter().map(|block| {
        let high = block.high() + BETWEEN;
        if so_far > 0 && so_far + high > most {
            column += 1;
            so_far = 0;
        }
        so_far += high;
        column
    });
    each.collect()
}

/// Blocks put under one another, with lanes for what runs beside them.
fn stack(blocks: Vec<Block>, shares: &[usize]) -> Vec<Column> {
    let mut columns: BTreeMap<usize, Column> = BTreeMap::new();
    for (block, share) in blocks.into_iter().zip(shares) {
        let column = columns.entry(*share).or_insert_with(|| Column {
            blocks: Vec::new(),
            stand: Stand::default(),
            lanes: BTreeMap::new(),
            high: 0,
        });
        let y = column.high;
        block.stand(y, &mut column.stand);
        column.high += block.high() + BETWEEN;
        column.blocks.push((y, block));
    }
    let mut columns: Vec<Column> = columns.into_values().collect();
    for column in &mut columns {
        column.lanes = lanes(&column.stand);
    }
    columns
}

/// Every step that lines lead to has a lane; short ones lie next to the boxes. Lines
/// to one step share its lane, lines to two never do where they would meet.
fn lanes(stand: &Stand) -> BTreeMap<usize, i32> {
    let mut spans: BTreeMap<usize, (i32, i32)> = BTreeMap::new();
    for (y, to, _) in &stand.lanes {
        let entry = stand.tops.get(to).map_or(*y, |top| top + ENTRY);
        let span = spans.entry(*to).or_insert((entry, entry));
        *span = (span.0.min(*y), span.1.max(*y));
    }
    let mut by_length: Vec<(i32, i32, i32, usize)> = spans
        .iter()
        .map(|(to, (from, until))| (until - from, *from, *until, *to))
        .collect();
    by_length.sort_unstable();
    let mut taken: Vec<Vec<(i32, i32)>> = Vec::new();
    let mut lanes = BTreeMap::new();
    for (_, from, until, to) in by_length {
        let free = |spans: &Vec<(i32, i32)>| {
            let apart = |(f, u): &(i32, i32)| until + 8 < *f || *u + 8 < from;
            spans.iter().all(apart)
        };
        let lane = taken.iter().position(free).unwrap_or(taken.len());
        if lane == taken.len() {
            taken.push(Vec::new());
        }
        if let Some(spans) = taken.get_mut(lane) {
            spans.push((from, until));
        }
        lanes.insert(to, i32::try_from(lane).unwrap_or(i32::MAX / LANE / 4));
    }
    lanes
}

fn draw(
    graph: &Graph<'_>,
    column: &Column,
    picture: &mut Picture,
    (x, y): (i32, i32),
    here: Option<usize>,
) {
    for (at, block) in &column.blocks {
        block.ground(picture, (x, y + at), column.wide());
    }
    draw_falls(graph, column, picture, (x, y));
    for (at, block) in &column.blocks {
        block.draw(picture, (x, y + at), here);
    }
    let right = x + RAIL + BOX;
    let lane_of = |to: usize| {
        let lane = column.lanes.get(&to).copied().unwrap_or(0);
        x + FIXED + LANE * lane
    };
    let mut met: BTreeMap<usize, BTreeSet<i32>> = BTreeMap::new();
    for (from, to, ways) in &column.stand.lanes {
        let Some(top) = column.stand.tops.get(to) else {
            continue;
        };
        let (from, entry, lane) = (y + from, y + top + ENTRY, lane_of(*to));
        let points = vec![(right, from), (lane, from), (lane, entry)];
        picture.line(points, Tone::Plain, false, ways.clone());
        met.entry(*to)
            .or_insert_with(|| BTreeSet::from([entry]))
            .insert(from);
    }
    for (to, ys) in met {
        let lane = lane_of(to);
        if let Some(top) = column.stand.tops.get(&to) {
            let entry = y + top + ENTRY;
            let points = vec![(lane, entry), (right, entry)];
            picture.line(points, Tone::Plain, true, Vec::new());
        }
        let inner = ys.len().saturating_sub(2);
        for at in ys.iter().skip(1).take(inner) {
            picture.pieces.push(Piece::Joint(lane, *at));
        }
    }
}

/// Lines straight down, from each box to the next.
fn draw_falls(graph: &Graph<'_>, column: &Column, picture: &mut Picture, (x, y): (i32, i32)) {
    for slot in column.blocks.iter().flat_map(|(_, b)| &b.slots) {
        let Some((_, ways)) = &slot.down else {
            continue;
        };
        let next = graph.out_of(slot.at).find(|way| {
            let name = graph.step(way.from).map_or("", |s| s.id.as_str());
            ways.contains(&format!("{name} {}", way.key()))
        });
        let tops = &column.stand.tops;
        let ends = next.and_then(|way| Some((tops.get(&slot.at)?, tops.get(&way.to)?)));
        if let Some((from, to)) = ends {
            let at = fall(x);
            let points = vec![(at, y + from + slot.high()), (at, y + to)];
            picture.line(points, Tone::Strong, true, ways.clone());
        }
    }
}

/// Title, what was proved, and how to read the picture; gives where it ends.
fn head(chart: &Chart<'_>, picture: &mut Picture) -> i32 {
    let wide = picture.width - 2 * MARGIN;
    let mut rows = Row::wrapped(&chart.heading(), (24, true, Tone::Strong), wide);
    for line in &chart.procedure.scope {
        rows.extend(Row::wrapped(line, (12, false, Tone::Plain), wide));
    }
    let standing = chart.standing();
    rows.extend(Row::wrapped(&standing, (12, true, Tone::Strong), wide));
    for line in [
        "The maker's instructions, local rules and licensed practice come before this picture.".to_owned(),
        format!("SHA-256 of the document: {}", chart.sha256),
        "Black lines go down to the next step. At the right of a box stands each other way: a line \
         goes to its step, a tag names it by its number. Faint dashes: stop work, open at every step."
            .to_owned(),
    ] {
        rows.extend(Row::wrapped(&line, (11, false, Tone::Faint), wide));
    }
    let y = picture.rows(MARGIN, MARGIN, &rows) + 8;
    samples(picture, y)
}

/// One of each shape, with its word.
fn samples(picture: &mut Picture, y: i32) -> i32 {
    let all = [
        (Shape::Step, "step"),
        (Shape::Gate, "GATE: stop and check"),
        (Shape::Movement, "MOVEMENT of the frame"),
        (Shape::Look, "LOOK: what is seen decides"),
        (Shape::End, "END of the job"),
        (Shape::Folded, "aside, folded to one box"),
        (Shape::Tag, "a step elsewhere"),
        (Shape::Part, "a part used in several places"),
    ];
    let (wide, high) = (205, 28);
    let across = ((picture.width - 2 * MARGIN + 12) / (wide + 12)).max(1);
    let mut under = y;
    for (n, (shape, word)) in (0..).zip(all) {
        let x = MARGIN + (n % across) * (wide + 12);
        let top = y + (n / across) * (high + 8);
        picture.frame([x, top, wide, high], shape, Tone::Plain);
        let row = Row::wrapped(word, (11, true, Tone::Plain), wide - 20);
        picture.rows(x + 12, top + 7, &row);
        under = top + high;
    }
    under + 16
}

/// A panel of lists; gives where it ends.
fn list(lists: &[(String, Vec<String>)], picture: &mut Picture, (x, y): (i32, i32)) -> i32 {
    let mut rows = Vec::new();
    let wide = PANEL - 24;
    for (heading, lines) in lists {
        rows.push((0, Row::wrapped(heading, (13, true, Tone::Strong), wide)));
        for line in lines {
            let row = Row::wrapped(line, (12, false, Tone::Plain), wide - 12);
            rows.push((12, row));
        }
    }
    let high: i32 = rows.iter().map(|(_, r)| height(r) + 2).sum();
    picture.frame([x, y, PANEL, high + 20], Shape::Panel, Tone::Strong);
    let mut at = y + 10;
    for (indent, row) in &rows {
        at = picture.rows(x + 12 + indent, at, row) + 2;
    }
    y + high + 20
}

impl Chart<'_> {
    /// Title and revision.
    pub(super) fn heading(&self) -> String {
        let procedure = self.procedure;
        format!("{}, revision {}", procedure.title, procedure.revision)
    }

    /// Whether it is proved, in a sentence.
    pub(super) fn standing(&self) -> String {
        match self.errors {
            0 => "The checker found no error in this document.".to_owned(),
            1 => "NOT FOR WORK: the checker found 1 error in this document.".to_owned(),
            n => format!("NOT FOR WORK: the checker found {n} errors in this document."),
        }
    }
}

//! Timetables: the simulated truck by itself, what is done to it, and when.
//!
//! Reading runs nothing: a truck that has to settle first does so in
//! [`TimedRun::begun`].
//!
//! Must not know: what is shown of a run.

use super::code::{
    CLASHING_FIELDS, IDLE_MOVE, IMPOSSIBLE_HEIGHTS, IMPOSSIBLE_STATE, MOVE_ORDER, OUT_OF_RANGE,
    UNEVEN_TIME, UNKNOWN_NAME, UNKNOWN_WORD, WRONG_SHAPE,
};
use super::form;
use super::json::{Json, Member, Node};
use super::reader::{Fields, Reader, at, head};
use super::truck::{BASES, Find};
use crate::finding::{Finding, Subject};
use crate::procedure::ProcedureId;
use crate::quantity::Kind;
use crate::rig::{Inputs, Params, Rig, SYMBOLS, State, Symbol, Timetable};

/// The format of timetables.
pub(super) const FORMAT: &str = "levelhand timetable 1";

/// What stands where nothing is fitted.
pub(super) const NONE: &str = "none";

/// Which sides a valve is open on, by the word: left, right.
pub(super) const VALVES: [(&str, [bool; 2]); 4] = [
    (NONE, [false, false]),
    ("left", [true, false]),
    ("right", [false, true]),
    ("both", [true, true]),
];

/// Numbers of a state.
pub(super) const NUMBERS: usize = 19;
/// Those of them that are a mass or an absolute pressure of air, from 0.
pub(super) const AIR: [usize; 6] = [8, 9, 10, 11, 12, 13];

/// The longest run, s: a day.
const LONGEST: f64 = 86_400.0;
/// Steps of the rig in a second.
const STEPS: f64 = 1.0 / Rig::STEP;

/// A run of the simulated truck.
#[derive(Debug, Clone)]
pub struct TimedRun {
    /// What it is called.
    pub title: String,
    /// The truck as it is set up, before it settles.
    pub rig: Rig,
    /// How long it stands with all valves shut before the run begins, s.
    pub settle: f64,
    /// What is done to it.
    pub timetable: Timetable,
    /// How many steps it runs.
    pub steps: u64,
}

impl TimedRun {
    /// The truck at the start of the run, settled.
    pub fn begun(&self) -> Rig {
        let mut rig = self.rig.clone();
        if self.settle > 0.0 {
            rig.settle(self.settle);
        }
        rig
    }
}

/// Where the truck stands at the start.
#[derive(Clone, Copy)]
enum Start {
    /// In this state.
    State(State),
    /// At rest at these heights, m.
    Heights([f64; 2]),
}

/// A symbol of the model with its numbers.
type Changed = (&'static Symbol, Vec<f64>);

impl Reader {
    /// A timetable; `find` gives the text of the truck that it names.
    pub(super) fn timetable(&mut self, root: &Node, find: Find<'_>) -> Option<TimedRun> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::TIMETABLE)?;
        self.schema(&f);
        let title = self.title(&f);
        let params = self
            .need(&f, "truck")
            .and_then(|n| self.physics_by(n, find));
        let changed = f.get("changed").map(|n| self.changed(n));
        // By numbers that could not be read no start is judged.
        let params = params.zip(changed.unwrap_or_else(|| Some(Vec::new())));
        let params = params.map(|(params, changed)| with(params, changed));
        let start = self.start_of_run(&f);
        let reservoir = f.get("reservoir").and_then(|n| self.tank(n));
        let settle = f.get("settle");
        let settle = settle.map(|n| self.time_within(n, 3600.0, "0 s to 3600 s (an hour)"));
        let run = self.need(&f, "run").and_then(|n| self.whole_steps(n));
        let moves = self.need(&f, "moves").map(|n| self.timed_moves(n, run));
        let mut rig = self.rig(&f, params?, start?)?;
        if let Some(gauge) = reservoir {
            let outside = rig.params.p_atm;
            rig = rig.with_reservoir(gauge + outside);
        }
        Some(TimedRun {
            title,
            rig,
            settle: settle.map_or(Some(0.0), |read| read)?,
            timetable: Timetable::new(moves?),
            steps: run?,
        })
    }

    /// The physics of a truck: the model's own by its word, or that of a document.
    fn physics_by(&mut self, node: &Node, find: Find<'_>) -> Option<Params> {
        let id: ProcedureId = self.name(node)?;
        let id = id.as_str();
        if let Some((_, base)) = BASES.iter().find(|(word, _)| *word == id) {
            return Some(base());
        }
        let words = BASES.map(|(word, _)| word);
        if let Some(hand) = self.at_hand.as_deref().filter(|h| !h.trucks.contains(id)) {
            let known = words
                .into_iter()
                .chain(hand.trucks.iter().map(String::as_str));
            let finding = at(
                UNKNOWN_NAME,
                node.span,
                format!("no truck is called {id:?}"),
            )
            .help_near(id, known)
            .help("give its file too, or lay it among the shop's documents");
            self.push(finding);
            return None;
        }
        self.truck_named(id, node.span, find, &[])
            .map(|truck| truck.params)
    }

    /// What differs from that physics, by the symbols of the model: all of it, or none.
    fn changed(&mut self, node: &Node) -> Option<Vec<Changed>> {
        let mut changed = Vec::new();
        let mut is_whole = matches!(node.value, Json::Object(_));
        for member in self.named_members(node, "numbers of the model by their symbols") {
            let Some(symbol) = SYMBOLS.iter().find(|s| s.name == member.key) else {
                let sentence = format!("the model has no symbol {:?}", member.key);
                let finding = at(UNKNOWN_NAME, member.key_span, sentence)
                    .help_near(&member.key, SYMBOLS.iter().map(|s| s.name))
                    .help("levelhand rig symbols lists them with their meaning");
                self.push(finding);
                is_whole = false;
                continue;
            };
            match self.numbers(member, symbol) {
                Some(numbers) => changed.push((symbol, numbers)),
                None => is_whole = false,
            }
        }
        is_whole.then_some(changed)
    }

    /// One number for all that a symbol has, or a list of as many.
    fn numbers(&mut self, member: &Member, symbol: &Symbol) -> Option<Vec<f64>> {
        let count = count(symbol);
        let Json::List(items) = &member.node.value else {
            let one = self.model_number(&member.node, symbol)?;
            return Some(vec![one; count]);
        };
        if items.len() != count {
            let (name, here) = (symbol.name, items.len());
            let sentence = format!("a list of {here} numbers stands here; {name} has {count}");
            let finding = at(WRONG_SHAPE, head(&member.node), sentence);
            self.push(finding.help("write one number for all of them, or a list of as many"));
            return None;
        }
        let read = |item| self.model_number(item, symbol);
        let numbers: Vec<Option<f64>> = items.iter().map(read).collect();
        numbers.into_iter().collect()
    }

    fn model_number(&mut self, node: &Node, symbol: &Symbol) -> Option<f64> {
        let name = symbol.name;
        let wanted = format!("a plain number, in the unit that levelhand rig symbols {name} says,");
        self.number_in(node, name, &wanted, symbol.range())
    }

    /// The state, or the heights, of which one must be there.
    fn start_of_run(&mut self, f: &Fields<'_>) -> Option<Start> {
        let which = self.only_one(f, &["heights", "state"]);
        let state = f.get("state").and_then(|n| self.state(n));
        let heights = f.get("heights").and_then(|n| self.heights(n));
        if which == Some("state") {
            for name in ["reservoir", "settle"] {
                let Some(member) = f.member(name) else {
                    continue;
                };
                let sentence = format!("{name:?} can't stand beside \"state\"");
                let finding = at(CLASHING_FIELDS, member.key_span, sentence);
                self.push(finding.help("a state says everything itself; leave one of them out"));
            }
        }
        match which? {
            "state" => state.map(Start::State),
            _ => heights.map(Start::Heights),
        }
    }

    /// Frame-to-axle heights that the model knows, m.
    fn heights(&mut self, node: &Node) -> Option<[f64; 2]> {
        let (left, right) = self.pair(node)?;
        let mut height =
            |node| self.quantity_within(node, Kind::Length, (0.08, 0.33), "80 mm to 330 mm");
        let (left, right) = (height(left), height(right));
        Some([left?, right?])
    }

    /// The numbers of a state.
    fn state(&mut self, node: &Node) -> Option<State> {
        let items = self.items(node)?;
        let read = |item| self.state_number(item);
        let numbers: Vec<Option<f64>> = items.iter().map(read).collect();
        if items.len() != NUMBERS {
            let sentence = format!("a state has {NUMBERS} numbers; here are {}", items.len());
            let finding = at(IMPOSSIBLE_STATE, head(node), sentence);
            self.push(finding.help("write all of them, or give \"heights\" in its place"));
            return None;
        }
        let mut is_whole = true;
        for place in AIR {
            let number = numbers.get(place).copied().flatten();
            let (Some(item), true) = (items.get(place), number.is_some_and(|x| x <= 0.0)) else {
                continue;
            };
            is_whole = false;
            let sentence = format!(
                "number {} of a state is a mass or an absolute pressure of air, so it must be over 0",
                place + 1
            );
            self.push(at(IMPOSSIBLE_STATE, item.span, sentence));
        }
        let numbers: Option<Vec<f64>> = numbers.into_iter().collect();
        let numbers = numbers.filter(|_| is_whole)?;
        Some(State(numbers.try_into().ok()?))
    }

    fn state_number(&mut self, node: &Node) -> Option<f64> {
        let Json::Number(written) = &node.value else {
            self.shape(node, "a plain number in SI");
            return None;
        };
        let number = written.parse::<f64>().ok().filter(|n| n.is_finite());
        if number.is_none() {
            let sentence = format!("{written} is beyond every number that a program keeps");
            self.push(at(OUT_OF_RANGE, node.span, sentence));
        }
        number
    }

    /// The truck at its start, before it settles.
    fn rig(&mut self, f: &Fields<'_>, params: Params, start: Start) -> Option<Rig> {
        let [left, right] = match start {
            Start::State(state) => return Some(Rig::from_state(params, state)),
            Start::Heights(heights) => heights,
        };
        let rig = Rig::at_heights(params, left, right);
        let pulls = |bar: &f64| *bar < 0.0 || !bar.is_finite();
        if rig.readout().true_bar.iter().any(pulls) {
            let sentence = "no air holds the frame so: one side would have to pull it down";
            let place = f.get("heights").map_or_else(|| f.open(), head);
            let finding = at(IMPOSSIBLE_HEIGHTS, place, sentence);
            self.push(finding.help("bring the two heights nearer to each other"));
            return None;
        }
        Some(rig)
    }

    /// The inputs from each move on: what a move does not name stays.
    fn timed_moves(&mut self, node: &Node, end: Option<u64>) -> Vec<(u64, Inputs)> {
        let mut inputs = Inputs::default();
        let mut before = 0;
        let mut moves = Vec::new();
        for item in self.items(node).unwrap_or_default() {
            let Some(f) = self.object(item, &form::TIMED_MOVE) else {
                continue;
            };
            let when = self.need(&f, "at");
            let step = when.and_then(|n| self.whole_steps(n));
            self.inputs(&f, &mut inputs);
            let (Some(when), Some(step)) = (when, step) else {
                continue;
            };
            if step < before {
                let sentence = "this move is earlier than the one before it";
                let finding = at(MOVE_ORDER, when.span, sentence);
                self.push(finding.help("put the moves in the order of their times"));
            } else if let Some(end) = end.filter(|end| step >= *end) {
                self.push(too_late(when, end));
            }
            before = step;
            moves.push((step, inputs));
        }
        moves
    }

    /// What one move changes.
    fn inputs(&mut self, f: &Fields<'_>, inputs: &mut Inputs) {
        for (name, valves) in [("raise", &mut inputs.raise), ("lower", &mut inputs.lower)] {
            put(valves, f.get(name).and_then(|n| self.word(n, &VALVES)));
        }
        if f.get("shop_air").is_some() {
            inputs.feed = self.flag(f, "shop_air");
        }
        for (name, sides) in [
            ("block", &mut inputs.block),
            ("stand", &mut inputs.stand),
            ("gap", &mut inputs.lump),
        ] {
            put(sides, f.get(name).and_then(|n| self.fitted(n)));
        }
    }

    /// What stands or lies left and right: its height, or none, m.
    fn fitted(&mut self, node: &Node) -> Option<[f64; 2]> {
        let (left, right) = self.pair(node)?;
        let (left, right) = (self.one_fitted(left), self.one_fitted(right));
        Some([left?, right?])
    }

    fn one_fitted(&mut self, node: &Node) -> Option<f64> {
        if let Json::String(text) = &node.value
            && !text.chars().any(char::is_numeric)
        {
            if text == NONE {
                return Some(0.0);
            }
            let text = self.string(node)?;
            let finding = at(
                UNKNOWN_WORD,
                node.span,
                format!("{text:?} is not known here"),
            );
            self.push(finding.help("write a height, as \"190 mm\", or \"none\""));
            return None;
        }
        let accepted = "1 mm to 2000 mm, and \"none\"";
        self.quantity_within(node, Kind::Length, (1e-3, 2.0), accepted)
    }

    /// A time in whole steps.
    fn whole_steps(&mut self, node: &Node) -> Option<u64> {
        let seconds = self.time_within(node, LONGEST, "0 s to 86400 s (a day)")?;
        let steps = seconds * STEPS;
        if (steps - steps.round()).abs() > 1e-6 {
            let sentence = "this time is no whole number of milliseconds";
            let finding = at(UNEVEN_TIME, node.span, sentence);
            self.push(finding.help("the simulated truck goes by milliseconds; round the time"));
            return None;
        }
        Some(steps.round() as u64)
    }

    /// A time from nothing on, s.
    fn time_within(&mut self, node: &Node, most: f64, accepted: &str) -> Option<f64> {
        self.quantity_within(node, Kind::Time, (0.0, most), accepted)
    }

    /// A value that must lie between two others, in SI.
    fn quantity_within(
        &mut self,
        node: &Node,
        kind: Kind,
        (least, most): (f64, f64),
        accepted: &str,
    ) -> Option<f64> {
        let value = self.quantity(node, kind)?.si();
        if (least..=most).contains(&value) {
            return Some(value);
        }
        let found = match &node.value {
            Json::String(text) => format!("{text:?}"),
            Json::Null | Json::Bool(_) | Json::Number(_) | Json::List(_) | Json::Object(_) => {
                node.value.what().to_owned()
            }
        };
        let sentence = format!("{found} can't stand here; accepted here: {accepted}");
        self.push(at(OUT_OF_RANGE, node.span, sentence));
        None
    }
}

/// How many numbers a symbol has.
pub(super) fn count(symbol: &Symbol) -> usize {
    let numbers = Params::two_bellows();
    numbers.numbers(symbol.name).map_or(1, <[f64]>::len)
}

/// The physics with what is changed.
fn with(mut params: Params, changed: Vec<Changed>) -> Params {
    for (symbol, numbers) in changed {
        let place = params.numbers_mut(symbol.name).unwrap_or_default();
        for (place, number) in place.iter_mut().zip(numbers) {
            *place = number;
        }
    }
    params
}

/// A move that is never made.
fn too_late(when: &Node, end: u64) -> Finding {
    let (from, to) = when.span;
    let sentence = "when this move comes the run is over, so it is never made";
    let finding = Finding::warning(IDLE_MOVE, Subject::Text { from, to }, sentence);
    let seconds = end as f64 / STEPS;
    finding.help(format!(
        "the run ends at {seconds} s: make \"run\" longer, or leave the move out"
    ))
}

fn put<T>(place: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *place = value;
    }
}

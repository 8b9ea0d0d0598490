//! A timetable as a document: a truck, what is changed of it, where it stands, what is
//! done and when. Everything wrong with it is told, each with its place.

use std::fmt::Write as _;

use super::text::{Member, Raw, Text, get};
use crate::finding::near_help;
use crate::quantity::Kind;
use crate::rig::{Inputs, Params, Rig, SYMBOLS, State, Timetable};

/// What the first line of such a document says.
const FORMAT: &str = "levelhand timetable 1";
/// The longest run, s.
const LONGEST: f64 = 86_400.0;
/// Steps in a second.
const STEPS: f64 = 1.0 / Rig::STEP;

const FIELDS: &[&str] = &[
    "format",
    "title",
    "truck",
    "changed",
    "state",
    "heights",
    "reservoir",
    "settle",
    "run",
    "moves",
];
const MOVE_FIELDS: &[&str] = &["at", "raise", "lower", "shop_air", "block", "stand", "gap"];

/// A run of the rig as it was read.
#[derive(Debug, Clone)]
pub struct Script {
    /// What it is called.
    pub title: String,
    /// The rig at its start.
    pub rig: Rig,
    /// What is done to it.
    pub timetable: Timetable,
    /// How many steps it runs.
    pub steps: u64,
}

/// Reads a timetable; `name` is what its file is called in messages.
///
/// # Errors
/// Everything that is wrong, a line each, with place, what was found and what is
/// accepted.
pub fn read(name: &str, bytes: &[u8]) -> Result<Script, Vec<String>> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return Err(vec![format!(
            "{name}: this is no text in UTF-8; save it as UTF-8."
        )]);
    };
    let mut text = Text::new(name, text);
    let script = script(&mut text);
    let faults = text.faults();
    match (script, faults.is_empty()) {
        (Some(script), true) => Ok(script),
        _ => Err(faults),
    }
}

fn script(text: &mut Text<'_>) -> Option<Script> {
    let root = text.root()?;
    let members = text.object(root, "a timetable", FIELDS)?;
    let format = text.need(root, &members, "format", &format!("{FORMAT:?}"))?;
    text.word(format, &[(FORMAT, ())])?;
    let title = text.need(root, &members, "title", "\"What is tried\"");
    let title = title.and_then(|raw| text.string(raw, "a title in quotes"));
    let params = params(text, root, &members);
    let run = text.need(root, &members, "run", "\"60 s\"");
    let steps = run.and_then(|raw| steps(text, raw));
    let moves = text.need(root, &members, "moves", "a list of moves");
    let moves = moves.map(|raw| moves_of(text, raw));
    let rig = start(text, root, &members, params?)?;
    Some(Script {
        title: title?,
        rig,
        timetable: Timetable::new(moves?),
        steps: steps?,
    })
}

/// The truck, with what is changed of it.
fn params<'a>(text: &mut Text<'a>, root: Raw<'a>, members: &[Member<'a>]) -> Option<Params> {
    let truck = text.need(root, members, "truck", "\"two_bellows\"")?;
    let make: fn() -> Params = text.word(
        truck,
        &[
            ("two_bellows", Params::two_bellows as fn() -> Params),
            ("four_bellows", Params::four_bellows),
        ],
    )?;
    let mut params = make();
    let Some(changed) = get(members, "changed") else {
        return Some(params);
    };
    let symbols: Vec<&str> = SYMBOLS.iter().map(|symbol| symbol.name).collect();
    for (symbol, raw) in text.object(changed, "a truck", &symbols)? {
        change(text, &mut params, &symbol, raw);
        if let Some((_, accepted)) = params.fault() {
            text.fault(
                raw,
                &format!("{symbol} is {} here; accepted is {accepted}.", raw.get()),
            );
            params = make();
        }
    }
    Some(params)
}

/// One symbol's numbers: a list with as many as it has, or one number for all of them.
fn change<'a>(text: &mut Text<'a>, params: &mut Params, symbol: &str, raw: Raw<'a>) {
    let Some(numbers) = params.numbers_mut(symbol) else {
        return;
    };
    if !raw.get().starts_with('[') {
        if let Some(number) = text.number(raw) {
            numbers.fill(number);
        }
        return;
    }
    let items = text.items(raw, "a list of numbers");
    if items.len() != numbers.len() {
        let (here, wanted) = (items.len(), numbers.len());
        let sentence = format!("{here} numbers stand here; {symbol} takes {wanted}.");
        text.fault(raw, &sentence);
        return;
    }
    for (number, item) in numbers.iter_mut().zip(items) {
        if let Some(given) = text.number(item) {
            *number = given;
        }
    }
}

/// The rig at its start: in a state, or at rest at heights.
fn start<'a>(
    text: &mut Text<'a>,
    root: Raw<'a>,
    members: &[Member<'a>],
    params: Params,
) -> Option<Rig> {
    if let Some(raw) = get(members, "state") {
        for other in ["heights", "reservoir", "settle"] {
            if let Some(raw) = get(members, other) {
                let sentence =
                    format!("{other:?} can't stand beside \"state\"; leave one of them.");
                text.fault(raw, &sentence);
            }
        }
        return Some(Rig::from_state(params, state(text, raw)?));
    }
    let heights = text.need(root, members, "heights", "[\"190 mm\", \"190 mm\"]")?;
    let [left, right] = text.pair(heights, "[\"190 mm\", \"190 mm\"]")?;
    let left = height(text, left);
    let right = height(text, right);
    let mut rig = Rig::at_heights(params, left?, right?);
    if rig.readout().true_bar.iter().any(|bar| *bar < 0.0) {
        let sentence = "no air holds the frame so: one side would have to pull. Bring the two heights nearer to each other.";
        text.fault(heights, sentence);
        return None;
    }
    if let Some(raw) = get(members, "reservoir") {
        let gauge = within(text, raw, Kind::GaugePressure, (0.0, 2.0e6), "0 to 20 bar")?;
        let outside = rig.params.p_atm;
        rig = rig.with_reservoir(gauge + outside);
    }
    if let Some(raw) = get(members, "settle") {
        rig.settle(within(text, raw, Kind::Time, (0.0, 3600.0), "0 to 3600 s")?);
    }
    Some(rig)
}

/// A frame-to-axle height that the model knows, m.
fn height(text: &mut Text<'_>, raw: Raw<'_>) -> Option<f64> {
    within(text, raw, Kind::Length, (0.08, 0.33), "80 to 330 mm")
}

/// A value that must lie between two others.
fn within(
    text: &mut Text<'_>,
    raw: Raw<'_>,
    kind: Kind,
    (least, most): (f64, f64),
    accepted: &str,
) -> Option<f64> {
    let value = text.quantity(raw, kind)?;
    if (least..=most).contains(&value) {
        return Some(value);
    }
    text.fault(
        raw,
        &format!(
            "{} is not accepted here; accepted is {accepted}.",
            raw.get()
        ),
    );
    None
}

/// The nineteen numbers of a state.
fn state<'a>(text: &mut Text<'a>, raw: Raw<'a>) -> Option<State> {
    let items = text.items(raw, "a list of the 19 numbers of a state");
    let numbers: Option<Vec<f64>> = items.iter().map(|item| text.number(item)).collect();
    let numbers = numbers?;
    let Ok(numbers) = <[f64; 19]>::try_from(numbers.as_slice()) else {
        text.fault(
            raw,
            &format!("a state has 19 numbers; here are {}.", numbers.len()),
        );
        return None;
    };
    let full = [8, 9, 10, 11, 12, 13];
    let empty = full
        .iter()
        .find(|place| numbers.get(**place).is_none_or(|x| *x <= 0.0));
    if let Some(place) = empty {
        let sentence = format!(
            "number {} of the state is a mass or an absolute pressure of air; it must be over 0.",
            place + 1
        );
        text.fault(raw, &sentence);
        return None;
    }
    Some(State(numbers))
}

/// A time, in whole steps.
fn steps(text: &mut Text<'_>, raw: Raw<'_>) -> Option<u64> {
    let seconds = within(text, raw, Kind::Time, (0.0, LONGEST), "0 to 86400 s")?;
    let steps = seconds * STEPS;
    if (steps - steps.round()).abs() > 1e-6 {
        text.fault(raw, "the rig goes by whole milliseconds; round this time.");
        return None;
    }
    Some(steps.round() as u64)
}

/// The inputs from each move on: what a move does not name stays.
fn moves_of<'a>(text: &mut Text<'a>, raw: Raw<'a>) -> Vec<(u64, Inputs)> {
    let mut inputs = Inputs::default();
    let mut last = 0;
    let mut moves = Vec::new();
    for raw in text.items(raw, "a list of moves") {
        let Some(members) = text.object(raw, "a move", MOVE_FIELDS) else {
            continue;
        };
        let at = text.need(raw, &members, "at", "\"2.5 s\"");
        let at = at.and_then(|raw| steps(text, raw));
        for (key, raw) in &members {
            apply(text, &mut inputs, key, raw);
        }
        let Some(at) = at else { continue };
        if at < last {
            text.fault(
                raw,
                "this move is earlier than the one before it; put them in order.",
            );
        }
        last = at;
        moves.push((at, inputs));
    }
    moves
}

/// One field of a move.
fn apply<'a>(text: &mut Text<'a>, inputs: &mut Inputs, key: &str, raw: Raw<'a>) {
    let valves = [
        ("none", [false, false]),
        ("left", [true, false]),
        ("right", [false, true]),
        ("both", [true, true]),
    ];
    match key {
        "raise" => put(&mut inputs.raise, text.word(raw, &valves)),
        "lower" => put(&mut inputs.lower, text.word(raw, &valves)),
        "shop_air" => put(&mut inputs.feed, text.truth(raw)),
        "block" => put(&mut inputs.block, fitted(text, raw, "190 mm")),
        "stand" => put(&mut inputs.stand, fitted(text, raw, "800 mm")),
        "gap" => put(&mut inputs.lump, fitted(text, raw, "120 mm")),
        _ => {}
    }
}

fn put<T>(place: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *place = value;
    }
}

/// Two heights, either of which may be `none`.
fn fitted<'a>(text: &mut Text<'a>, raw: Raw<'a>, like: &str) -> Option<[f64; 2]> {
    let [left, right] = text.pair(raw, &format!("[{like:?}, \"none\"]"))?;
    let mut one = |raw: Raw<'a>| {
        if raw.get() == "\"none\"" {
            return Some(0.0);
        }
        within(
            text,
            raw,
            Kind::Length,
            (1e-3, 2.0),
            "none, or 1 to 2000 mm",
        )
    };
    let (left, right) = (one(left), one(right));
    Some([left?, right?])
}

/// What may be changed of a truck, for people; `near` is what was asked for.
pub(super) fn symbols(near: Option<&str>) -> Result<String, String> {
    let mut lines = String::new();
    let chosen = |name: &str| near.is_none_or(|near| near == name);
    for symbol in SYMBOLS.iter().filter(|symbol| chosen(symbol.name)) {
        let show = |params: Params| {
            let numbers = params.numbers(symbol.name).unwrap_or_default();
            let shown: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            shown.join(" ")
        };
        let (two, four) = (show(Params::two_bellows()), show(Params::four_bellows()));
        let (name, about) = (symbol.name, symbol.about.trim());
        let _always = writeln!(lines, "{name:<9} {two:<14} {four:<14} {about}");
    }
    match near {
        Some(near) if lines.is_empty() => {
            let names = SYMBOLS.iter().map(|symbol| symbol.name);
            Err(near_help(near, names).join(" "))
        }
        _ => Ok(lines),
    }
}

//! `levelhand rig symbols`: what a timetable may change of a truck.

use std::fmt::Write as _;

use crate::finding::near_help;
use crate::rig::{Params, SYMBOLS};

/// What may be changed of a truck, for people; `near` is what was asked for.
pub(super) fn listed(near: Option<&str>) -> Result<String, String> {
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

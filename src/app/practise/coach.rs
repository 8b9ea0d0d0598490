//! What the coach says: the next thing at the truck, for the step at hand.
//!
//! Must not know: what is wrong with the truck.

use super::Practise;
use crate::drill::Ahead;
use crate::procedure::Step;
use crate::rig::{Coaching, Deed, Hand, Reach, Side, Spot, Way};

/// What to do next at the truck for this step, in a sentence; nothing unless the drill
/// is coached.
pub fn coaching(practise: &Practise, step: &Step) -> Option<String> {
    if practise.drill.ground.plan.coaching != Coaching::Coached {
        return None;
    }
    let ahead = practise.drill.ahead(&step.id);
    let known = ahead != Ahead::Unknown;
    let next = match ahead {
        Ahead::Deed(deed, place) => said(practise, &deed, place),
        Ahead::Done | Ahead::Unknown => {
            let places = to_look_at(practise, step).into_iter().map(Spot::numbered);
            let places = places.collect::<Vec<_>>().join(", ");
            if places.is_empty() {
                let all = if practise.front {
                    "that is all at the truck for now. Esc, then answer the step."
                } else {
                    "nothing more at the truck here: read, and answer."
                };
                return known.then(|| all.to_owned());
            }
            format!("go and look: {places}.")
        }
    };
    Some(if practise.front {
        next
    } else {
        format!("Ctrl-T, then {next}")
    })
}

/// The places of what the step asks for that nobody has looked at yet.
fn to_look_at(practise: &Practise, step: &Step) -> Vec<Spot> {
    let drill = &practise.drill;
    let readings = step.readings.iter();
    let named = readings.filter_map(|r| drill.ground.truck.readings.get(r.as_str()).cloned());
    let ticks = step.ticks.iter();
    let asked = ticks.filter_map(|t| drill.sight_of(&step.id, t.id.as_str()));
    let mut spots: Vec<Spot> = Vec::new();
    for sight in named.chain(asked).filter(|sight| !drill.has_looked(sight)) {
        if let Some(spot) = drill.spot_of(&sight)
            && !spots.contains(&spot)
        {
            spots.push(spot);
        }
    }
    spots
}

/// A deed, with the keys that do it.
fn said(practise: &Practise, deed: &Deed, place: Option<(Spot, String)>) -> String {
    match deed {
        Deed::Do(Hand::Look(spot)) => format!("go and look: {}.", spot.numbered()),
        Deed::Do(Hand::WalkRound) => {
            "w: walk round both sides, send everyone behind the line.".to_owned()
        }
        Deed::Do(Hand::Press) => {
            let seconds = practise.drill.ground.truck.write_within_ms as f64 / 1_000.0;
            format!("Enter, and again before {seconds} s are over, to the end.")
        }
        Deed::Do(hand) => match place {
            Some((spot, words)) if spot == practise.drill.bay.spot => {
                format!("choose with ↑↓ and do it with Enter: {words}.")
            }
            Some((spot, words)) => format!("{}: {words}.", spot.numbered()),
            None => format!("{hand}."),
        },
        Deed::Hold(way, reach, ms) => {
            let seconds = *ms as f64 / 1_000.0;
            format!("{} for {seconds} s, then let go.", hold(*way, *reach))
        }
        Deed::HoldTo(way, reach, um) => {
            let mm = f64::from(*um) / 1_000.0;
            let now = (practise.drill.bay.height() * 1e6) as i64;
            let past = match way {
                Way::Up => now > i64::from(*um),
                Way::Down => now < i64::from(*um),
            };
            if past && practise.drill.bay.held.is_some() {
                return format!("let go: it has passed {mm} mm.");
            }
            let way = if past { other(*way) } else { *way };
            format!(
                "{} to {mm} mm on the scale, then let go.",
                hold(way, *reach)
            )
        }
        Deed::HoldStill(Way::Up, reach) => {
            format!(
                "{} until it rises no more, then let go at once.",
                hold(Way::Up, *reach)
            )
        }
        Deed::HoldStill(Way::Down, reach) => {
            format!(
                "{} until it sinks no more, then let go.",
                hold(Way::Down, *reach)
            )
        }
        Deed::HoldEmpty => format!(
            "{} until both gauges read zero, then let go.",
            hold(Way::Down, Reach::Both)
        ),
        Deed::Wait(ms) if *ms >= 60_000 => {
            format!("wait {} min; p makes the time go faster.", ms / 60_000)
        }
        Deed::Wait(ms) => format!("wait {} s; p makes the time go faster.", ms / 1_000),
        Deed::WaitStill => "wait until frame and needles stand still.".to_owned(),
    }
}

const fn other(way: Way) -> Way {
    match way {
        Way::Up => Way::Down,
        Way::Down => Way::Up,
    }
}

fn hold(way: Way, reach: Reach) -> String {
    let key = match way {
        Way::Up => "hold u",
        Way::Down => "hold d",
    };
    match reach {
        Reach::Both => key.to_owned(),
        Reach::One(Side::Left) => format!("l, then {key}"),
        Reach::One(Side::Right) => format!("r, then {key}"),
    }
}

//! What the drawing says in words and figures, and what it keeps to itself: a figure
//! stands only where the person stands at its instrument.
//!
//! Must not know: what is right.

use crate::rig::{Bay, Reach, Side, Spot, Way, Write};

/// What stands for a figure that can't be read from here.
const UNREAD: &str = "···";

/// A side where there is no room for its word.
pub(super) const fn letter(side: Side) -> &'static str {
    match side {
        Side::Left => "L",
        Side::Right => "R",
    }
}

/// A tape's figure, mm, for who stands at that wheel.
pub(super) fn height(bay: &Bay, side: Side) -> String {
    let read = bay.spot == Spot::wheel(side);
    let mm = read.then(|| format!("{:.0}", side.of(bay.readout().height) * 1e3));
    format!("{} mm", mm.as_deref().unwrap_or(UNREAD))
}

/// A gauge's figure, bar, for who stands at the gauges.
pub(super) fn gauge(bay: &Bay, side: Side) -> String {
    if !bay.gauges {
        return "not fitted".to_owned();
    }
    let [left, right, _] = bay.readout().gauge;
    bar(bay.spot == Spot::Gauges, side.of([left, right]))
}

/// The figure on the dash, bar, for who sits in the cab.
pub(super) fn reservoir(bay: &Bay) -> String {
    let [_, _, shown] = bay.readout().gauge;
    bar(bay.spot == Spot::Cab, shown)
}

/// As fine as a needle can be read: 0.02 bar.
fn bar(read: bool, shown: f64) -> String {
    if !read {
        return format!("{UNREAD} bar");
    }
    // Nothing is shown as less than nothing by the sign of a zero.
    let shown = (shown * 50.0).round() / 50.0 + 0.0;
    format!("{shown:.2} bar")
}

/// The height value, for who has the equipment in hand.
pub(super) fn value(bay: &Bay) -> String {
    if bay.spot == Spot::Equipment && bay.key {
        format!("{:.0}", bay.readout().counts.clamp(0.0, 1023.0))
    } else {
        UNREAD.to_owned()
    }
}

/// Which valves are open, and by what.
pub(super) fn valves(bay: &Bay) -> String {
    let by_itself = bay.levelling.opens().map(|way| (way, Reach::Both));
    let (open, by) = match (bay.held, by_itself) {
        (Some(held), _) => (held, "held open"),
        (None, Some(open)) => (open, "by levelling"),
        (None, None) => return "valves shut".to_owned(),
    };
    let (way, reach) = open;
    let way = match way {
        Way::Up => "▲ RAISING",
        Way::Down => "▼ LOWERING",
    };
    let reach = match reach {
        Reach::Both => "both sides",
        Reach::One(side) => side.word(),
    };
    format!("{way} {reach}, {by}")
}

/// Where the person stands.
pub(super) fn person(bay: &Bay) -> String {
    if bay.spot == Spot::Under {
        return "YOU ARE UNDER IT".to_owned();
    }
    format!("you: {}", bay.spot.title())
}

/// Where the helper stands, if in the way.
pub(super) fn helper(bay: &Bay) -> Option<String> {
    let in_the_way = bay.helper != Spot::Line;
    in_the_way.then(|| format!("helper: {}", bay.helper.title()))
}

/// The parking brake.
pub(super) const fn brake(bay: &Bay) -> &'static str {
    if bay.brake { "on" } else { "released" }
}

/// Brake and chocks.
pub(super) fn held_still(bay: &Bay) -> String {
    let brake = brake(bay);
    let front = if bay.front_chocks {
        "front wheels chocked"
    } else {
        "front wheels free"
    };
    let drive = if bay.drive_chock {
        " · a chock at a drive wheel"
    } else {
        ""
    };
    format!("brake {brake} · {front}{drive}")
}

/// What is fitted around the axle, in the order in which it is looked for.
pub(super) fn fitted(bay: &Bay) -> String {
    let both = |name: &str, pair: [bool; 2]| match pair {
        [true, true] => Some(format!("both {name}s in")),
        [true, false] => Some(format!("left {name} in")),
        [false, true] => Some(format!("right {name} in")),
        [false, false] => None,
    };
    let mut said: Vec<String> = Vec::new();
    said.extend(both("block", bay.fitted.map(|block| block.is_some())));
    said.extend(both("stand", bay.stands));
    if bay.mudguards {
        said.push("mudguards on".to_owned());
    }
    if said.is_empty() {
        said.push("no blocks, no stands".to_owned());
    }
    said.join(" · ")
}

/// Shop air.
pub(super) const fn shop_air(bay: &Bay) -> &'static str {
    if bay.rig.inputs.feed { "open" } else { "shut" }
}

/// How the write-out stands.
pub(super) fn written(bay: &Bay) -> String {
    match bay.equipment.write {
        Write::Idle => "not begun".to_owned(),
        Write::Running { .. } => {
            let left = bay.equipment.presses_left().unwrap_or_default();
            format!("press again, {left} to come")
        }
        Write::Stopped => "stopped before the end".to_owned(),
        Write::Finished => "finished".to_owned(),
    }
}

/// The bellows of a side.
pub(super) fn bellows(bay: &Bay) -> &'static str {
    if bay.rig.params.nb < 1.5 {
        "one bellows a side"
    } else {
        "two bellows a side"
    }
}

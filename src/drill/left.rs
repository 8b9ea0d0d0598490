//! What is left on the truck: the height at which it stands, and at which it will stand
//! once levelling has its way; the driveline angles that follow.
//!
//! Must not know: what was typed.

use super::Drill;
use crate::job::{Setup, State, given};
use crate::procedure::{SheetKey, WorkInput};
use crate::quantity::{Kind, Quantity};
use crate::rig::Hand;

/// One height, and what the driveline does at it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stands {
    /// Frame to axle, m.
    pub height: [f64; 2],
    /// What the sums say of the driveline there: title and value as shown.
    pub driveline: Vec<(String, String)>,
}

/// What is left.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOn {
    /// As it stands now.
    pub now: Stands,
    /// As it will stand with levelling awake, or `None` if settings are unknown.
    pub levelled: Option<Stands>,
    /// Ride height of the truck's own sheet and its tolerance, m.
    pub wanted: Option<(f64, f64)>,
    /// What the control unit has: ride, upper, lower.
    pub stored: [u16; 3],
    /// A write-out broke off.
    pub unknown: bool,
}

/// How long levelling is given to come to rest, ms.
const RESTS_MS: u64 = 60_000;

impl Drill {
    /// What is left on the truck.
    pub fn left_on(&self, setup: &Setup, state: &State) -> LeftOn {
        let now = self.bay.readout().height;
        let stands = |height: [f64; 2]| Stands {
            height,
            driveline: driveline(setup, state, f64::midpoint(height[0], height[1])),
        };
        let length = |key: &str| -> Option<f64> {
            let key = SheetKey::new(key).ok()?;
            Some(setup.sheet.quantity(&key)?.si())
        };
        let levelled = (!self.bay.equipment.unknown).then(|| {
            let mut copy = self.bay.clone();
            // Blocks and stands would hold it; what is asked is what the settings do.
            copy.fitted = [None; 2];
            copy.stands = [false; 2];
            copy.rig.inputs.stand = [0.0; 2];
            copy.rig.inputs.feed = true;
            let _on = copy.act(&Hand::Key(true));
            let _called = copy.act(&Hand::Ride);
            copy.pass(RESTS_MS);
            stands(copy.readout().height)
        });
        LeftOn {
            now: stands(now),
            levelled,
            wanted: length("ride_height").zip(length("ride_within")),
            stored: self.bay.equipment.stored,
            unknown: self.bay.equipment.unknown,
        }
    }
}

/// The driveline at a height, by the sum that the procedure itself uses for a stop.
fn driveline(setup: &Setup, state: &State, height: f64) -> Vec<(String, String)> {
    const SUM: &str = "driveline_at_height";
    let workings = setup.procedure.workings.values();
    let Some(working) = workings.into_iter().find(|w| w.sum == SUM) else {
        return Vec::new();
    };
    let Some(sum) = crate::calc::find(SUM) else {
        return Vec::new();
    };
    let (Some(slot), Ok(height)) = (sum.input("height"), Quantity::from_si(height, Kind::Length))
    else {
        return Vec::new();
    };
    let mut working = working.clone();
    for (input, at) in working.inputs.iter_mut().zip(&working.slots) {
        if *at == slot {
            *input = WorkInput::Literal(height);
        }
    }
    let Some(given) = given(setup, state, &working, sum) else {
        return Vec::new();
    };
    let Ok(done) = sum.evaluate(&given) else {
        return Vec::new();
    };
    let system = state.system.unwrap_or(setup.sheet.system);
    sum.outputs
        .iter()
        .enumerate()
        .filter_map(|(at, output)| {
            let value = done.value(at)?;
            let unit = value.kind().shown(system);
            Some((output.title.to_owned(), value.value().show(unit, 2)))
        })
        .collect()
}

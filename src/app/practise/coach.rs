//! What the coach says: the next thing at the truck, for the step at hand.
//!
//! Must not know: what is wrong with the truck.

use super::Practise;
use crate::job::Setup;
use crate::procedure::Step;
use crate::rig::{Coaching, Spot};

/// What to do next at the truck for this step, in a line or two; nothing unless the
/// drill is coached.
pub fn coaching(practise: &Practise, setup: &Setup, step: &Step) -> Vec<String> {
    if practise.drill.ground.plan.coaching != Coaching::Coached {
        return Vec::new();
    }
    let mut lines = Vec::new();
    if setup.procedure.is_movement(step) {
        lines.push("Ctrl-T, then hold u to raise or d to lower. Let go at the mark.".to_owned());
    }
    let mut spots: Vec<Spot> = Vec::new();
    let readings = step.readings.iter();
    let named = readings.filter_map(|r| {
        practise
            .drill
            .ground
            .truck
            .readings
            .get(r.as_str())
            .cloned()
    });
    let ticks = step.ticks.iter();
    let asked = ticks.filter_map(|t| practise.drill.sight_of(&step.id, t.id.as_str()));
    for sight in named.chain(asked) {
        let spot = practise.drill.spot_of(&sight);
        if let Some(spot) = spot
            && !spots.contains(&spot)
        {
            spots.push(spot);
        }
    }
    if !spots.is_empty() {
        let places: Vec<String> = spots.into_iter().map(Spot::numbered).collect();
        lines.push(format!("Ctrl-T, then go and look: {}.", places.join(", ")));
    }
    if lines.is_empty() && !step.instructions.is_empty() {
        lines.push("Nothing to do at the truck here: read, and answer.".to_owned());
    }
    lines
}

//! How a bay begins: the truck with its faults, as the drill has it.
//!
//! Must not know: what a person does then.

use std::sync::Arc;

use super::Bay;
use crate::rig::Rig;
use crate::rig::equipment::Equipment;
use crate::rig::levelling::Levelling;
use crate::rig::parameter::Parameter;
use crate::rig::params::Params;
use crate::rig::spot::Spot;
use crate::rig::truck::{Fault, Set, Truck};

/// Seconds that the rig rests before it is handed over.
const RESTS: f64 = 2.0;

/// How far an honest gauge may be off: its zero in bar, and its scale.
///
/// # Source
/// Operating rules of the model, class 1.0 on 0-10 bar.
const HONEST: (f64, f64) = (0.04, 0.006);

/// Between which mean heights levelling can hold a truck that comes in, m.
const LOWEST: f64 = 0.1;
/// See [`LOWEST`].
const HIGHEST: f64 = 0.3;

/// How often the room between them is halved: to a thousandth of a millimetre.
const HALVED: usize = 18;

impl Bay {
    /// A truck in the bay, with these faults; `scatter`: honest gauges differ a little,
    /// drawn by this seed.
    pub fn new(truck: Arc<Truck>, faults: Vec<Arc<Fault>>, scatter: Option<u64>) -> Self {
        let mut params = truck.params.clone();
        if let Some(seed) = scatter {
            let mut draw = Draw(seed);
            let (zero, scale) = HONEST;
            for (off, factor) in params.g_off.iter_mut().zip(params.g_scale.iter_mut()) {
                *off += zero * 0.5 * draw.next();
                *factor += scale * 0.5 * draw.next();
            }
        }
        let mut reservoir = truck.reservoir;
        let mut shop_air = true;
        for set in faults.iter().flat_map(|fault| &fault.sets) {
            match set {
                Set::Physics(name, value) => {
                    if let Some(parameter) = Parameter::named(name) {
                        parameter.set(&mut params, *value);
                    }
                }
                Set::Reservoir(pa) => reservoir = Some(*pa),
                Set::ShopAirShut => shop_air = false,
                Set::Block(..) | Set::Hose(..) | Set::Dirt(..) | Set::Tips(_) | Set::Card(..) => {}
            }
        }
        let tank = reservoir.map_or(params.p_shop, |gauge| gauge + params.p_atm);
        let mut rig = arrived(&params, &truck).with_reservoir(tank);
        rig.settle(RESTS);
        let mut bay = Self {
            equipment: Equipment::new(truck.stored, truck.write_within_ms, truck.write_presses),
            levelling: Levelling::new(truck.dead_band),
            blocks: truck.blocks,
            fitted: [None; 2],
            dirt: [0.0; 2],
            hose: [0.0; 2],
            tips: [false; 2],
            stands: [false; 2],
            spot: Spot::Line,
            helper: Spot::Line,
            held: None,
            held_since_ms: 0,
            brake: true,
            front_chocks: false,
            drive_chock: false,
            charger: false,
            mudguards: true,
            gauges: false,
            swapped: false,
            key: true,
            air_at_wall: shop_air,
            rolled: false,
            settings_taken: false,
            brake_bar: 0.0,
            wound: 0.0,
            peak: 0.0,
            raise_ms: 0,
            raised_from: 0.0,
            raised_to: 0.0,
            last_height: 0.0,
            steps: 0,
            faults,
            truck,
            rig,
        };
        for fault in bay.faults.clone() {
            bay.take_on(&fault);
        }
        bay.last_height = bay.height();
        bay.brake_bar = bay.readout().reservoir_bar.min(super::BRAKE_MOST);
        bay
    }

    /// What of a fault is not a number of the physics.
    fn take_on(&mut self, fault: &Fault) {
        for set in &fault.sets {
            match set {
                Set::Block(side, height) => *side.of_mut(&mut self.blocks) = *height,
                Set::Hose(side, thick) => *side.of_mut(&mut self.hose) = *thick,
                Set::Dirt(side, thick) => *side.of_mut(&mut self.dirt) = *thick,
                Set::Tips(side) => *side.of_mut(&mut self.tips) = true,
                Set::Physics(..) | Set::Reservoir(_) | Set::ShopAirShut | Set::Card(..) => {}
            }
        }
    }

    /// Puts right what a fault changed, as the truck has it without.
    pub(super) fn put_right(&mut self, fault: &Fault) {
        let truck = Arc::clone(&self.truck);
        for set in &fault.sets {
            match set {
                Set::Physics(name, _) => {
                    // A gauge takes its fault along to the other point.
                    let name = if self.swapped {
                        other_point(name)
                    } else {
                        name.clone()
                    };
                    if let Some(parameter) = Parameter::named(&name) {
                        parameter.set(&mut self.rig.params, parameter.get(&truck.params));
                    }
                }
                Set::Block(side, _) => {
                    *side.of_mut(&mut self.blocks) = side.of(truck.blocks);
                }
                Set::Hose(side, _) => *side.of_mut(&mut self.hose) = 0.0,
                Set::Dirt(side, _) => *side.of_mut(&mut self.dirt) = 0.0,
                Set::Tips(side) => {
                    *side.of_mut(&mut self.tips) = false;
                    if let Some(fitted) = side.of_mut(&mut self.fitted) {
                        fitted.tipped = false;
                    }
                }
                Set::ShopAirShut => self.air_at_wall = true,
                Set::Reservoir(_) | Set::Card(..) => {}
            }
        }
    }
}

/// The truck as it came in: at its heights; where the faults make the sensor tell these
/// wrongly, at those where it tells the same, for there levelling held it on the road.
fn arrived(params: &Params, truck: &Truck) -> Rig {
    let [left, right] = truck.start;
    let sound = Rig::at_heights(truck.params.clone(), left, right);
    let held = sound.readout().counts;
    let higher = |by: f64| Rig::at_heights(params.clone(), left + by, right + by);
    let over = |rig: &Rig| rig.readout().counts - held;
    let stands = higher(0.0);
    if over(&stands).abs() <= f64::from(truck.dead_band) {
        return stands;
    }
    let mean = f64::midpoint(left, right);
    let (mut low, mut high) = (LOWEST - mean, HIGHEST - mean);
    for _ in 0..HALVED {
        let middle = f64::midpoint(low, high);
        if over(&higher(middle)) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    higher(f64::midpoint(low, high))
}

/// A number of a gauge, by its name, at the other point; others are as they are.
fn other_point(name: &str) -> String {
    if !name.starts_with("gauge_") {
        return name.to_owned();
    }
    if name.contains("left") {
        name.replace("left", "right")
    } else {
        name.replace("right", "left")
    }
}

/// A small sequence of numbers out of a seed.
///
/// # Source
/// The linear congruential constants of Knuth's MMIX, from memory; only spread is
/// wanted of it.
struct Draw(u64);

impl Draw {
    /// The next one, between -1 and 1.
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64 * 2.0 - 1.0
    }
}

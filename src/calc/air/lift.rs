//! Whether the reservoirs can make the lifts asked for.
//!
//! A lift takes a bellows along a straight line from (V1, p1) to (V2, p2), absolute.
//! With W = ∫p dV = (p1 + p2)(V2 − V1)/2, the work, and S = ∫V dp = (V1 + V2)(p2 − p1)/2,
//! W + S = p2 V2 − p1 V1:
//!
//! - slow (one temperature): the bellows needs p V more by W + S, the reservoir loses
//!   as much: Δp = (W + S) / Vr;
//! - fast (no heat passes): the reservoir's inner energy Vr p/(γ − 1) falls by what the
//!   bellows' rises plus the work: Vr Δp = W + S + (γ − 1) W = γ W + S.
//!
//! So a fast lift pulls the reservoir down by (γ − 1) W / Vr more than a slow one; it
//! comes back as the reservoir warms up. The truth lies between.

use uom::si::f64::{Energy, Pressure, Ratio, Volume};

use super::SUBJECT;
use super::flow::FLOW_AIR_PA;
use super::gas::{NO_VACUUM, OUTSIDE, outside};
use crate::calc::amount::{Absolute, Amount, Gauge};
use crate::calc::bellows::whole;
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// Ratio of the heat capacities of air.
///
/// # Source
/// Ideal gas of two atoms, 7/5.
const GAMMA: f64 = 1.4;

/// One lift of all bellows together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Volume and pressure at the start.
    pub start: (Volume, Absolute),
    /// Volume and pressure at the end.
    pub end: (Volume, Absolute),
}

impl Lift {
    /// Work on the load and the air outside, ∫p dV.
    pub fn work(&self) -> Energy {
        let ((v1, p1), (v2, p2)) = (self.start, self.end);
        (p1.0 + p2.0) * (v2 - v1) / 2.0
    }

    /// ∫V dp.
    fn squeeze(&self) -> Energy {
        let ((v1, p1), (v2, p2)) = (self.start, self.end);
        (v1 + v2) * (p2.0 - p1.0) / 2.0
    }

    /// What a slow lift takes, pressure × volume: W + S.
    pub fn slow(&self) -> Energy {
        self.work() + self.squeeze()
    }

    /// What a fast lift takes from the reservoir, pressure × volume: γ W + S.
    pub fn fast(&self) -> Energy {
        self.work() * GAMMA + self.squeeze()
    }
}

/// Reservoirs that feed the bellows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reservoir {
    /// All of them together.
    pub volume: Volume,
    /// Their pressure before the lifts.
    pub pressure: Absolute,
    /// They are not used under this.
    pub floor: Absolute,
}

impl Reservoir {
    /// Lifts that there is air for, not rounded; only whole ones count.
    pub fn lifts(&self, taken: Energy) -> Ratio {
        (self.pressure.0 - self.floor.0) * self.volume / taken
    }

    /// Pressure after so many lifts that each take this.
    pub fn after(&self, lifts: Ratio, taken: Energy) -> Absolute {
        let drop: Pressure = taken * lifts / self.volume;
        Absolute(self.pressure.0 - drop)
    }

    /// What a fast lift takes out, as pressure × volume of air at the temperature before:
    /// the air that leaves the reservoir cools it, p ∝ ρ^γ.
    fn taken_out(&self, fast: Energy) -> Option<Energy> {
        let left = self.after(Ratio::of_si(1.0), fast).0 / self.pressure.0;
        let gone = 1.0 - left.si().max(0.0).powf(1.0 / GAMMA);
        (left.si() > 0.0).then_some(self.pressure.0 * self.volume * gone)
    }
}

const ROOM: &str = "air takes room";
const WHOLE: &str = "lifts and bellows are counted in whole ones, at least one";

const fn gauge(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::GaugePressure).least(0.0, NO_VACUUM)
}

const fn room(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Volume).least(1e-5, ROOM)
}

const BY_LOWEST: &str = "the lowest that is allowed";
const BY_BELLOWS: &str = "the bellows, they need more than that";

const CAN: &str = "the reservoirs can do it";
const CAN_SLOWLY: &str = "the reservoirs can do it if all is slow";
const CANNOT: &str = "the reservoirs can't do it";

/// Air for lifts.
pub(in crate::calc) static AIR_FOR_LIFTS: Sum = Sum {
    name: "air_for_lifts",
    subject: SUBJECT,
    title: "whether the reservoirs have the air for the lifts asked for",
    formula: &[
        "W = (p1 + p2) / 2 × (V2 − V1), S = (V1 + V2) / 2 × (p2 − p1), absolute, all bellows",
        "slow: reservoir falls by (W + S) / reservoir volume; fast: by (1.4 W + S) / reservoir volume",
        "lifts = (reservoir − floor) / fall of one lift",
        "air = p × V at the same temperature / 1 bar",
    ],
    source: "gas law (slow) and balance of energy without heat (fast); our derivation",
    range: "nothing fills the reservoirs meanwhile, the bellows start each lift alike, straight from start to end; the truth lies between slow and fast. Only whole lifts count. The floor is the lowest allowed, or the bellows' own pressure where that is higher",
    inputs: &[
        room("reservoir_volume", "volume of the reservoirs"),
        gauge("reservoir", "reservoir pressure"),
        gauge("lowest", "lowest allowed, the brakes' air kept"),
        Input::one("bellows", "bellows that are lifted", Kind::Count).least(1.0, WHOLE),
        room("volume_start", "volume of one bellows at the start"),
        room("volume_end", "volume of one bellows at the end"),
        gauge("from", "bellows pressure at the start"),
        gauge("to", "bellows pressure at the end"),
        Input::one("lifts", "lifts asked for", Kind::Count).least(1.0, WHOLE),
        OUTSIDE,
    ],
    outputs: &[
        Output::of("lifts_fast", "lifts there is air for, fast", Kind::Ratio).plain(),
        Output::of("lifts_slow", "lifts there is air for, slow", Kind::Ratio).plain(),
        Output::of(
            "margin",
            "room over the floor after the lifts, fast",
            Kind::PressureDifference,
        )
        .optional(),
        Output::of(
            "after_fast",
            "reservoir after the lifts, fast",
            Kind::GaugePressure,
        )
        .optional(),
        Output::of(
            "after_slow",
            "reservoir after the lifts, slow",
            Kind::GaugePressure,
        )
        .optional(),
        Output::of(
            "air_slow",
            "air for one lift at 1 bar abs, slow",
            Kind::Volume,
        ),
        Output::of(
            "air_fast",
            "air for one lift at 1 bar abs, fast",
            Kind::Volume,
        )
        .optional(),
        Output::word("floor", "what sets the floor", &[BY_LOWEST, BY_BELLOWS]),
        Output::word("enough", "the lifts asked for", &[CAN, CAN_SLOWLY, CANNOT]),
    ],
    example: &[
        ("reservoir_volume", "60 dm³"),
        ("reservoir", "9.5 bar"),
        ("lowest", "6.5 bar"),
        ("bellows", "2"),
        ("volume_start", "12 dm³"),
        ("volume_end", "19 dm³"),
        ("from", "1.30 bar"),
        ("to", "1.53 bar"),
        ("lifts", "3"),
    ],
    picture: None,
    work: lifts,
};

fn lifts(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    whole(given.get(3), "bellows", WHOLE)?;
    whole(given.get(8), "lifts", WHOLE)?;
    let air = outside(given, 9);
    let at = |place| given.get::<Gauge>(place).over(air);
    let bellows: Ratio = given.get(3);
    let all = |place| given.get::<Volume>(place) * bellows;
    let lift = Lift {
        start: (all(4), at(6)),
        end: (all(5), at(7)),
    };
    let (lowest, needed) = (at(2), lift.end.1);
    let floor = if needed > lowest { needed } else { lowest };
    let reservoir = Reservoir {
        volume: given.get(0),
        pressure: at(1),
        floor,
    };
    refuse(&reservoir, &lift)?;
    let asked: Ratio = given.get(8);
    let (slow, fast) = (lift.slow(), lift.fast());
    let (after_slow, after_fast) = (reservoir.after(asked, slow), reservoir.after(asked, fast));
    out.set(0, reservoir.lifts(fast));
    out.set(1, reservoir.lifts(slow));
    // No reservoir falls under the air outside: such a room would be no room at all.
    if after_fast >= air {
        out.set(2, after_fast.0 - floor.0);
    }
    // Air does not flow into bellows that have more: such a state is never reached.
    for (place, after) in [(3, after_fast), (4, after_slow)] {
        if after >= needed {
            out.set(place, Gauge(after.0 - air.0));
        }
    }
    out.set(5, slow / Pressure::of_si(FLOW_AIR_PA));
    if let Some(taken) = reservoir.taken_out(fast) {
        out.set(6, taken / Pressure::of_si(FLOW_AIR_PA));
    }
    out.say(
        7,
        if needed > lowest {
            BY_BELLOWS
        } else {
            BY_LOWEST
        },
    );
    out.say(8, enough(floor, after_fast, after_slow));
    Ok(())
}

fn enough(floor: Absolute, after_fast: Absolute, after_slow: Absolute) -> &'static str {
    if after_fast >= floor {
        CAN
    } else if after_slow >= floor {
        CAN_SLOWLY
    } else {
        CANNOT
    }
}

fn refuse(reservoir: &Reservoir, lift: &Lift) -> Result<(), Snag> {
    if lift.slow().si() <= 0.0 || lift.fast().si() <= 0.0 {
        return Err(Snag::new(
            "volume_end",
            "a lift takes air in: volume or pressure at the end must be higher than at the start",
        ));
    }
    if reservoir.pressure < reservoir.floor {
        return Err(Snag::new(
            "reservoir",
            "it is under the lowest allowed, or under what the bellows need; fill it first",
        ));
    }
    Ok(())
}

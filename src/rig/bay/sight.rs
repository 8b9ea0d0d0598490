//! What can be seen and measured, each at its place: the physics, the bay and the
//! cards under one list of names.
//!
//! What is shown here is what the instrument shows, before anyone reads it: gauges lag
//! and may be wrong. Rounding to what can be read off belongs to whoever knows the
//! instrument.
//!
//! Must not know: readings and ticks of a procedure.

use super::{Bay, TIGHT};
use crate::quantity::{Kind, Quantity};
use crate::rig::equipment::{Answer, Write};
use crate::rig::hand::Level;
use crate::rig::spot::{Side, Spot};
use crate::rig::truck::Truth;

/// What is seen: said as what is so, as the instrument shows it.
pub type Seen = Truth;

/// Something that can be looked at.
#[derive(Debug)]
pub struct Sight {
    /// Its name in documents.
    pub key: &'static str,
    /// What people read; empty where it says what another sight says, the other way
    /// round, for a tick that asks so.
    pub title: &'static str,
    /// Where it is looked at.
    pub spot: Spot,
    see: fn(&Bay) -> Option<Seen>,
}

fn word(word: &str, good: bool) -> Option<Seen> {
    Some(Seen::Word {
        word: word.to_owned(),
        good,
    })
}

/// One of two words; the first is the good one.
fn either(good: bool, yes: &str, no: &str) -> Option<Seen> {
    word(if good { yes } else { no }, good)
}

fn value(si: f64, kind: Kind) -> Option<Seen> {
    Quantity::from_si(si, kind).ok().map(Seen::Value)
}

fn metres(m: f64) -> Option<Seen> {
    value(m, Kind::Length)
}

fn bars(bar: f64) -> Option<Seen> {
    value(bar * 1e5, Kind::GaugePressure)
}

fn counts(n: f64) -> Option<Seen> {
    value(n.round(), Kind::Count)
}

impl Bay {
    /// What is seen under this name, of the sights or of the truck's cards.
    pub fn sees(&self, name: &str) -> Option<Seen> {
        if let Some(sight) = SIGHTS.iter().find(|s| s.key == name) {
            return (sight.see)(self);
        }
        let truth = self.card_truth(name)?;
        let moves = self.truck.cards.get(name).and_then(|card| card.with_height);
        if let (Truth::Value(quantity), Some((factor, from))) = (truth, moves) {
            let si = quantity.si() + factor * (self.height() - from);
            return value(si, quantity.kind());
        }
        Some(truth.clone())
    }

    /// Where something is looked at.
    pub fn spot_of(&self, name: &str) -> Option<Spot> {
        let sight = SIGHTS.iter().find(|s| s.key == name).map(|s| s.spot);
        sight.or_else(|| self.truck.cards.get(name).map(|c| c.spot))
    }

    /// Everything that is seen at a place: name, title, what is seen.
    pub fn seen_at(&self, spot: Spot) -> Vec<(String, String, Seen)> {
        let sights = SIGHTS.iter().filter(|s| s.spot == spot);
        let sights =
            sights.filter_map(|s| Some((s.key.to_owned(), s.title.to_owned(), (s.see)(self)?)));
        let cards = self
            .truck
            .cards
            .iter()
            .filter(|(_, card)| card.spot == spot);
        let cards = cards
            .filter_map(|(name, card)| Some((name.clone(), card.title.clone(), self.sees(name)?)));
        sights.chain(cards).collect()
    }

    fn gauge(&self, side: Side) -> Option<Seen> {
        if !self.gauges {
            return None;
        }
        let [left, right, _] = self.readout().gauge;
        bars(match side {
            Side::Left => left,
            Side::Right => right,
        })
    }

    /// What a gauge shows open to the air, on the bench.
    fn zero(&self, side: Side) -> Option<Seen> {
        let [left, right, _] = self.rig.params.g_off;
        (!self.gauges)
            .then(|| bars(side.of([left, right])))
            .flatten()
    }

    fn gap(&self, side: Side) -> Option<Seen> {
        if self.mudguards {
            return word("hidden by the mudguard", false);
        }
        if side.of(self.hose) > 0.0 {
            return word("a hose in it", false);
        }
        match side.of(self.fitted) {
            Some(_) => word("a block in it", false),
            None => word("bare", true),
        }
    }

    fn seat(&self, side: Side) -> Option<Seen> {
        if self.mudguards {
            return word("hidden by the mudguard", false);
        }
        let dirt = side.of(self.dirt);
        let hose = side.of(self.hose) > 0.0 && side.of(self.fitted).is_some();
        either(
            dirt <= 0.0 && !hose,
            "clean",
            if hose {
                "a hose on the block"
            } else {
                "soiled"
            },
        )
    }

    fn block_fit(&self, side: Side) -> Option<Seen> {
        match side.of(self.fitted) {
            None => word("no block", false),
            Some(fitted) => either(!fitted.tipped, "square on its seat", "tipped"),
        }
    }

    fn block_hold(&self, side: Side) -> Option<Seen> {
        side.of(self.fitted)?;
        either(side.of(self.readout().block) > TIGHT, "tight", "loose")
    }

    fn lower_stop(&self, side: Side) -> Option<Seen> {
        let load = side.of(self.readout().bump);
        let share = self.rig.params.m_f * super::super::params::GRAVITY / 2.0;
        either(
            load > 0.6 * share,
            "lies on",
            if load > 1.0 { "touches" } else { "gap" },
        )
    }

    fn strap(&self, side: Side) -> Option<Seen> {
        either(side.of(self.readout().upper) > 1.0, "taut", "slack")
    }

    fn beside(&self, side: Side) -> Option<Seen> {
        either(self.helper != Spot::wheel(side), "clear", "someone there")
    }

    fn level(&self) -> Option<Seen> {
        let [left, right] = self.readout().height;
        either((left - right).abs() < 0.010, "level", "uneven")
    }

    fn stands_how(&self) -> Option<Seen> {
        let seen = self.readout();
        let any = |pair: [f64; 2]| pair.iter().any(|n| *n > TIGHT);
        if any(seen.stand) {
            return word("propped: it leans on the stands", false);
        }
        if self.sits_on_blocks() {
            return word("sits on both blocks", true);
        }
        if seen.bump.iter().all(|n| *n > TIGHT) {
            return word("lies on both stops", true);
        }
        if any(seen.upper) {
            return word("hangs at the upper stop, on air", true);
        }
        if any(seen.block) || any(seen.lump) {
            return word("carried on one side, the rest on air", false);
        }
        word("hangs on air", true)
    }

    fn at_ride(&self) -> Option<Seen> {
        let target = f64::from(self.equipment.stored_at(Level::Ride));
        let off = (self.readout().counts - target).abs();
        either(
            off <= f64::from(self.truck.dead_band) + 2.0,
            "at its height",
            "astray",
        )
    }

    fn raised(&self) -> Option<Seen> {
        let [left, right] = self.blocks;
        let mark = f64::midpoint(left, right) + 0.025;
        either(
            (self.height() - mark).abs() < 0.008,
            "at its mark",
            "off its mark",
        )
    }

    fn written(&self) -> Option<Seen> {
        match self.equipment.write {
            Write::Idle => word("not begun", false),
            Write::Running { .. } => word("press again", true),
            Write::Stopped => word("stopped by itself before the end", false),
            Write::Finished => word("finished", true),
        }
    }

    fn answer(&self) -> Option<Seen> {
        match self.equipment.answer {
            None => word("nothing asked yet", false),
            Some(Answer::Stored(level)) => word(&format!("stored: {}", level.title()), true),
            Some(Answer::Refused(why)) => word(&format!("refused: {why}"), false),
        }
    }

    fn hoses(&self) -> Option<Seen> {
        either(
            self.hose.iter().all(|h| *h <= 0.0),
            "clear",
            "a hose in the gap",
        )
    }
}

/// Every sight of the physics and the bay, by place.
pub fn sights() -> &'static [Sight] {
    SIGHTS
}

macro_rules! sights {
    ($($spot:ident $key:literal $title:literal $see:expr;)*) => {
        const SIGHTS: &[Sight] = &[$(Sight {
            key: $key,
            title: $title,
            spot: Spot::$spot,
            see: $see,
        }),*];
    };
}

sights! {
    Line "frame_still" "frame and valves" |b| either(b.still() && b.levelling.opens().is_none() && b.held.is_none(), "still", "moving");
    Line "frame_level" "left and right" Bay::level;
    Line "frame_how" "how the frame stands" Bay::stands_how;
    Line "spirit_level" "spirit level across the frame, left high +" |b| value(b.readout().roll, Kind::Angle);
    Line "frame_raised" "height against the mark for the blocks" Bay::raised;
    Line "frame_at_ride" "height against the stored one" Bay::at_ride;
    Line "clear_left" "left side, under and behind" |b| b.beside(Side::Left);
    Line "clear_right" "right side, under and in front" |b| b.beside(Side::Right);
    Line "hoses" "hoses, leads and tools" Bay::hoses;
    LeftWheel "height_left" "tape, frame to axle" |b| metres(b.readout().height[0]);
    LeftWheel "floor_left" "rule, frame to floor" |b| metres(b.readout().floor[0]);
    LeftWheel "gap_left" "gap" |b| b.gap(Side::Left);
    LeftWheel "seat_left" "seat of the block" |b| b.seat(Side::Left);
    LeftWheel "block_fit_left" "block" |b| b.block_fit(Side::Left);
    LeftWheel "block_hold_left" "block, tried with the hook" |b| b.block_hold(Side::Left);
    LeftWheel "stand_gap_left" "wedge, stand to frame" |b| metres(b.stand_gap(Side::Left)?);
    LeftWheel "lower_stop_left" "lower stop" |b| b.lower_stop(Side::Left);
    LeftWheel "strap_left" "strap" |b| b.strap(Side::Left);
    RightWheel "height_right" "tape, frame to axle" |b| metres(b.readout().height[1]);
    RightWheel "floor_right" "rule, frame to floor" |b| metres(b.readout().floor[1]);
    RightWheel "gap_right" "gap" |b| b.gap(Side::Right);
    RightWheel "seat_right" "seat of the block" |b| b.seat(Side::Right);
    RightWheel "block_fit_right" "block" |b| b.block_fit(Side::Right);
    RightWheel "block_hold_right" "block, tried with the hook" |b| b.block_hold(Side::Right);
    RightWheel "stand_gap_right" "wedge, stand to frame" |b| metres(b.stand_gap(Side::Right)?);
    RightWheel "lower_stop_right" "lower stop" |b| b.lower_stop(Side::Right);
    RightWheel "strap_right" "strap" |b| b.strap(Side::Right);
    Gauges "gauge_left" "left gauge" |b| b.gauge(Side::Left);
    Gauges "gauge_right" "right gauge" |b| b.gauge(Side::Right);
    Gauges "needles" "needles" |b| b.gauges.then(|| either(b.needles_still(), "still", "moving")).flatten();
    Gauges "peak" "highest since the raise began" |b| b.gauges.then(|| bars(b.peak)).flatten();
    Gauges "gauges_on" "gauges on their points" |b| either(b.gauges, "on, hand-tight", "off");
    Equipment "height_value" "height value" |b| b.key.then(|| counts(b.readout().counts)).flatten();
    Equipment "stored_ride" "stored, ride height" |b| b.key.then(|| counts(f64::from(b.equipment.stored_at(Level::Ride)))).flatten();
    Equipment "stored_upper" "stored, upper stop" |b| b.key.then(|| counts(f64::from(b.equipment.stored_at(Level::Upper)))).flatten();
    Equipment "stored_lower" "stored, lower stop" |b| b.key.then(|| counts(f64::from(b.equipment.stored_at(Level::Lower)))).flatten();
    Equipment "mode" "the equipment shows" |b| either(b.equipment.setting, "setting mode", "no setting mode");
    Equipment "answer" "answer to the last thing asked" Bay::answer;
    Equipment "written" "write-out" Bay::written;
    Equipment "levelling" "levelling" |b| either(b.levelling.stopped, "stopped", "awake");
    Equipment "value_rose" "height value in the last raise" |b| either(b.raised_to > b.raised_from + 5.0, "rose", "did not rise");
    Equipment "raise_time" "stopwatch, last raise" |b| value(b.raise_ms as f64 / 1000.0, Kind::Time);
    Cab "supply" "dash, supply" |b| bars(b.readout().gauge[2]);
    Cab "brake_circuit" "dash, lower brake circuit" |b| bars(b.brake_bar);
    Cab "brake_on" "parking brake" |b| either(b.brake, "on", "released");
    Cab "brake_off" "" |b| either(!b.brake, "released", "on");
    Cab "key_out" "key" |b| either(!b.key, "out, in my pocket", "in, ignition on");
    Wall "shop_air" "shop air" |b| either(b.rig.inputs.feed, "open", "shut");
    Wall "shop_air_off" "" |b| either(!b.rig.inputs.feed, "shut", "open");
    Wall "charger" "support charger" |b| either(b.charger, "live", "off");
    Wall "block_left" "calliper, left block" |b| metres(b.blocks[0]);
    Wall "block_right" "calliper, right block" |b| metres(b.blocks[1]);
    Wall "zero_left" "left gauge, open to the air" |b| b.zero(Side::Left);
    Wall "zero_right" "right gauge, open to the air" |b| b.zero(Side::Right);
    Wall "stands_put_away" "stands behind the line" |b| either(b.stands == [false; 2], "both", "missing");
    Wall "blocks_put_away" "blocks behind the line" |b| either(b.fitted.iter().all(Option::is_none), "both", "missing");
    Front "chock_left" "left front wheel" |b| either(b.front_chocks, "chocked, snug", "free");
    Front "chock_right" "right front wheel" |b| either(b.front_chocks, "chocked, snug", "free");
    Front "chocks_away" "chocks" |b| either(!b.front_chocks && !b.drive_chock, "all hung up", "still there");
    LeftWheel "drive_wheels" "drive wheels" |b| either(!b.drive_chock, "nothing against them", "a chock tight against one");
    LeftWheel "mudguards_off" "mudguards" |b| either(!b.mudguards, "off", "on");
    LeftWheel "mudguards_on" "" |b| either(b.mudguards, "back", "off");
}

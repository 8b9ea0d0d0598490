//! What comes of a thing done at the truck: it is so, or it is refused with a reason
//! and nothing has changed.
//!
//! Must not know: whether it was wise; that is judged where the job is known too.

use super::{Bay, Fitted, STAND_BELOW, TIGHT};
use crate::rig::equipment::Write;
use crate::rig::hand::{By, Hand, Reach, Way};
use crate::rig::happening::{Happening, Refused};
use crate::rig::spot::{Side, Spot};
use crate::rig::truck::{Fault, Set, Truth};

/// Room that a block needs over its height to go in, m.
const ROOM_IN: f64 = 0.003;

/// The same to come out.
const ROOM_OUT: f64 = 0.002;

/// A stand reaches no lower than this, m over the floor.
const STAND_LEAST: f64 = 0.60;

type Done = Result<Vec<Happening>, Refused>;

impl Bay {
    /// Does one thing.
    ///
    /// # Errors
    /// When it can't be done; the bay is as it was.
    pub fn act(&mut self, hand: &Hand) -> Done {
        let done = self.done(hand)?;
        self.set_valves();
        Ok(done)
    }

    fn done(&mut self, hand: &Hand) -> Done {
        match hand {
            Hand::Look(spot) => {
                self.spot = *spot;
                Ok(Vec::new())
            }
            Hand::Open(way, reach) => Ok(self.open(*way, *reach)),
            Hand::LetGo => Ok(self.let_go()),
            Hand::ShopAir(open) => self.shop_air(*open),
            Hand::Charger(on) => flip(
                &mut self.charger,
                *on,
                ["the charger is on", "the charger is off"],
            ),
            Hand::Brake(on) => self.set_brake(*on),
            Hand::FrontChocks(set) => flip(
                &mut self.front_chocks,
                *set,
                ["the chocks are set", "the chocks are away"],
            ),
            Hand::DriveChock(set) => self.set_drive_chock(*set),
            Hand::Mudguards(on) => flip(
                &mut self.mudguards,
                *on,
                ["the mudguards are on", "the mudguards are off"],
            ),
            Hand::Block(side, true, by) => self.block_in(*side, *by),
            Hand::Block(side, false, by) => self.block_out(*side, *by),
            Hand::Square(side) => self.square(*side),
            Hand::Wipe(side) => self.wipe(*side),
            Hand::Stand(side, into) => self.stand(*side, *into),
            Hand::Clear(side) => self.clear(*side),
            Hand::Gauges(on) => flip(
                &mut self.gauges,
                *on,
                ["the gauges are on", "the gauges are off"],
            ),
            Hand::SwapGauges => self.swap_gauges(),
            Hand::WalkRound => {
                self.helper = Spot::Line;
                self.spot = Spot::Line;
                Ok(Vec::new())
            }
            Hand::Levelling(on) => self.set_levelling(*on),
            Hand::SettingMode(into) => self.set_mode(*into),
            Hand::Store(level) => {
                let (counts, still) = (self.readout().counts, self.still());
                Ok(vec![self.equipment.store(*level, counts, still)])
            }
            Hand::Write => self.write(),
            Hand::Press => match self.equipment.write {
                Write::Running { .. } => {
                    Ok(self.equipment.press(self.now_ms()).into_iter().collect())
                }
                Write::Idle | Write::Stopped | Write::Finished => Err(Refused::Needs {
                    what: "begin the write-out",
                }),
            },
            Hand::Key(on) => self.turn_key(*on),
            Hand::Ride => self.set_levelling(true),
            Hand::Roll => self.roll(),
            Hand::Name(fault) => {
                let right = self.faults.iter().any(|f| &f.id == fault);
                Ok(vec![Happening::Named(fault.clone(), right)])
            }
            Hand::Mend(fault) => self.mend(fault),
        }
    }

    fn open(&mut self, way: Way, reach: Reach) -> Vec<Happening> {
        let before = self.held.map(|(way, _)| way);
        self.levelling.rest(self.now_ms());
        self.held = Some((way, reach));
        // Another reach goes on with the same movement.
        if before == Some(way) {
            return Vec::new();
        }
        self.raise_ended(before);
        self.held_since_ms = self.now_ms();
        if way == Way::Up {
            let seen = self.readout();
            let [left, right, _] = seen.gauge;
            self.peak = left.max(right);
            self.raised_from = seen.counts;
        }
        Vec::new()
    }

    fn let_go(&mut self) -> Vec<Happening> {
        if let Some((way, _)) = self.held.take() {
            self.raise_ended(Some(way));
            self.levelling.rest(self.now_ms());
        }
        Vec::new()
    }

    /// Stopwatch and height value at the end of a raise.
    fn raise_ended(&mut self, way: Option<Way>) {
        if way == Some(Way::Up) {
            self.raise_ms = self.now_ms().saturating_sub(self.held_since_ms);
            self.raised_to = self.readout().counts;
        }
    }

    fn shop_air(&mut self, open: bool) -> Done {
        if open && !self.air_at_wall {
            return Err(Refused::Needs {
                what: "find out why no air comes at the wall",
            });
        }
        flip(
            &mut self.rig.inputs.feed,
            open,
            ["the shop air is open", "the shop air is shut"],
        )
    }

    fn set_brake(&mut self, on: bool) -> Done {
        let held = self.wheels_held();
        flip(
            &mut self.brake,
            on,
            ["the parking brake is on", "the parking brake is off"],
        )?;
        Ok(self.released(held))
    }

    fn set_drive_chock(&mut self, set: bool) -> Done {
        let held = self.wheels_held();
        flip(
            &mut self.drive_chock,
            set,
            [
                "the drive wheel is chocked",
                "nothing is against the drive wheel",
            ],
        )?;
        Ok(self.released(held))
    }

    /// Wheels that were held and are free now let go what was wound up.
    fn released(&mut self, held: bool) -> Vec<Happening> {
        if !held || self.wheels_held() {
            return Vec::new();
        }
        let jump = (self.wound * 1000.0).abs();
        self.wound = 0.0;
        if jump < 1.0 {
            return Vec::new();
        }
        vec![Happening::Jumped(jump)]
    }

    fn block_in(&mut self, side: Side, by: By) -> Done {
        self.see_gap(side)?;
        if side.of(self.fitted).is_some() {
            return Err(Refused::Already {
                what: "the block is in",
            });
        }
        let fitted = Fitted {
            tipped: by == By::Hand && side.of(self.tips),
        };
        let gap = side.of(self.readout().height);
        let needed = self.top_of(side, fitted) + side.of(self.hose) + ROOM_IN;
        if gap < needed {
            return Err(too_low(side, gap, needed));
        }
        self.at_gap(side, by);
        *side.of_mut(&mut self.fitted) = Some(fitted);
        Ok(Vec::new())
    }

    fn block_out(&mut self, side: Side, by: By) -> Done {
        let Some(fitted) = side.of(self.fitted) else {
            return Err(Refused::Nothing { what: "block" });
        };
        self.free_to_move(side)?;
        let gap = side.of(self.readout().height);
        let needed = self.top_of(side, fitted) + ROOM_OUT;
        if gap < needed {
            return Err(too_low(side, gap, needed));
        }
        self.at_gap(side, by);
        *side.of_mut(&mut self.fitted) = None;
        Ok(Vec::new())
    }

    /// Person and helper go to the wheels, each to one side.
    fn at_gap(&mut self, side: Side, by: By) {
        self.spot = Spot::wheel(side);
        self.helper = match (by, side) {
            (By::Handle, _) => self.helper,
            (By::Hand, Side::Left) => Spot::RightWheel,
            (By::Hand, Side::Right) => Spot::LeftWheel,
        };
    }

    fn square(&mut self, side: Side) -> Done {
        self.free_to_move(side)?;
        let Some(fitted) = side.of_mut(&mut self.fitted) else {
            return Err(Refused::Nothing { what: "block" });
        };
        if !fitted.tipped {
            return Err(Refused::Already {
                what: "the block is square",
            });
        }
        fitted.tipped = false;
        self.spot = Spot::wheel(side);
        Ok(Vec::new())
    }

    fn wipe(&mut self, side: Side) -> Done {
        self.see_gap(side)?;
        if side.of(self.fitted).is_some() {
            return Err(Refused::Needs {
                what: "take the block out: the seat is under it",
            });
        }
        *side.of_mut(&mut self.dirt) = 0.0;
        self.spot = Spot::wheel(side);
        Ok(Vec::new())
    }

    fn stand(&mut self, side: Side, into: bool) -> Done {
        if side.of(self.stands) == into {
            return Err(Refused::Already {
                what: if into {
                    "the stand is in"
                } else {
                    "the stand is out"
                },
            });
        }
        if into {
            let top = self.stand_top(side);
            if top < STAND_LEAST {
                return Err(Refused::GapTooLow {
                    side,
                    gap_mm: (top + STAND_BELOW) * 1000.0,
                    needed_mm: (STAND_LEAST + STAND_BELOW) * 1000.0,
                });
            }
            *side.of_mut(&mut self.rig.inputs.stand) = top;
        } else {
            if side.of(self.readout().stand) > TIGHT {
                return Err(Refused::StandCarries { side });
            }
            *side.of_mut(&mut self.rig.inputs.stand) = 0.0;
        }
        *side.of_mut(&mut self.stands) = into;
        self.spot = Spot::wheel(side);
        self.helper = Spot::wheel(match side {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        });
        Ok(Vec::new())
    }

    fn clear(&mut self, side: Side) -> Done {
        if side.of(self.hose) <= 0.0 {
            return Err(Refused::Nothing {
                what: "hose in that gap",
            });
        }
        self.free_to_move(side)?;
        *side.of_mut(&mut self.hose) = 0.0;
        self.spot = Spot::wheel(side);
        Ok(self.settle_faults())
    }

    /// Neither the block nor what lies on it carries the frame.
    fn free_to_move(&self, side: Side) -> Result<(), Refused> {
        let seen = self.readout();
        if side.of(seen.block) + side.of(seen.lump) > TIGHT {
            return Err(Refused::BlockCarries { side });
        }
        Ok(())
    }

    /// Faults that only were a thing in the gap are gone with it.
    fn settle_faults(&mut self) -> Vec<Happening> {
        let over = |fault: &Fault| {
            !fault.sets.is_empty()
                && fault.sets.iter().all(|set| match set {
                    Set::Hose(side, _) => side.of(self.hose) <= 0.0,
                    Set::Physics(..)
                    | Set::Block(..)
                    | Set::Dirt(..)
                    | Set::Tips(_)
                    | Set::Reservoir(_)
                    | Set::ShopAirShut
                    | Set::Card(..) => false,
                })
        };
        let gone: Vec<String> = self
            .faults
            .iter()
            .filter(|fault| over(fault))
            .map(|fault| fault.id.clone())
            .collect();
        self.faults.retain(|fault| !gone.contains(&fault.id));
        gone.into_iter().map(Happening::Mended).collect()
    }

    fn swap_gauges(&mut self) -> Done {
        if !self.gauges {
            return Err(Refused::Needs {
                what: "put the gauges on",
            });
        }
        self.rig.params.g_off.swap(0, 1);
        self.rig.params.g_scale.swap(0, 1);
        self.swapped = !self.swapped;
        Ok(Vec::new())
    }

    fn set_levelling(&mut self, on: bool) -> Done {
        if !self.key {
            return Err(Refused::Needs {
                what: "turn the ignition on",
            });
        }
        if !on && self.levelling.stopped {
            return Err(Refused::Already {
                what: "levelling is stopped",
            });
        }
        self.levelling.stopped = !on;
        self.levelling.rests_since_ms = None;
        Ok(Vec::new())
    }

    fn set_mode(&mut self, into: bool) -> Done {
        if !self.key {
            return Err(Refused::Needs {
                what: "turn the ignition on",
            });
        }
        flip(
            &mut self.equipment.setting,
            into,
            ["setting mode is on", "setting mode is off"],
        )
    }

    fn write(&mut self) -> Done {
        let volts = match self.sees(&self.truck.battery.clone()) {
            Some(super::Seen::Value(volts)) => volts.si(),
            // A battery that nobody can read is too low.
            Some(super::Seen::Word { .. }) | None => f64::NEG_INFINITY,
        };
        let ok = volts >= self.truck.write_least_v;
        let now = self.now_ms();
        Ok(vec![self.equipment.begin(ok, now)])
    }

    fn turn_key(&mut self, on: bool) -> Done {
        flip(
            &mut self.key,
            on,
            ["the ignition is on", "the ignition is off"],
        )?;
        if !on {
            return Ok(self.equipment.cut_off().into_iter().collect());
        }
        if self.equipment.turned() {
            self.settings_taken = true;
            self.levelling.stopped = false;
            self.levelling.rests_since_ms = None;
            return Ok(vec![Happening::SettingsTaken]);
        }
        Ok(Vec::new())
    }

    fn roll(&mut self) -> Done {
        let blocked = self.front_chocks || self.drive_chock;
        if blocked {
            return Err(Refused::Needs {
                what: "take every chock away",
            });
        }
        if self.stands != [false; 2] || self.fitted.iter().any(Option::is_some) {
            return Err(Refused::Needs {
                what: "take blocks and stands out",
            });
        }
        let held = self.wheels_held();
        self.brake = false;
        let jumped = self.released(held);
        self.rolled = true;
        self.brake = true;
        Ok(jumped)
    }

    fn mend(&mut self, name: &str) -> Done {
        let Some(fault) = self.faults.iter().find(|f| f.id == name).cloned() else {
            return Err(Refused::InOrder {
                what: name.to_owned(),
            });
        };
        if fault.mending.is_none() {
            return Err(Refused::NotHere);
        }
        for set in &fault.sets {
            if let Set::Block(side, _) | Set::Dirt(side, _) = set
                && side.of(self.fitted).is_some()
            {
                return Err(Refused::Needs {
                    what: "take the block out",
                });
            }
        }
        if let Some(spot) = fault.mended_at {
            self.spot = spot;
        }
        self.put_right(&fault);
        self.faults.retain(|f| f.id != name);
        Ok(vec![Happening::Mended(name.to_owned())])
    }

    fn see_gap(&self, side: Side) -> Result<(), Refused> {
        if self.mudguards {
            return Err(Refused::Hidden { side });
        }
        Ok(())
    }

    /// What is so on a card, with faults and facts.
    pub(super) fn card_truth(&self, name: &str) -> Option<&Truth> {
        use crate::rig::truck::Set;
        let faulty = self.faults.iter().rev().find_map(|fault| {
            fault.sets.iter().find_map(|set| match set {
                Set::Card(card, truth) if card == name => Some(truth),
                Set::Card(..)
                | Set::Physics(..)
                | Set::Block(..)
                | Set::Hose(..)
                | Set::Dirt(..)
                | Set::Tips(_)
                | Set::Reservoir(_)
                | Set::ShopAirShut => None,
            })
        });
        if faulty.is_some() {
            return faulty;
        }
        let card = self.truck.cards.get(name)?;
        let changed = card.changes.iter().rev().find(|(fact, _)| self.is(*fact));
        Some(changed.map_or(&card.truth, |(_, truth)| truth))
    }
}

fn too_low(side: Side, gap: f64, needed: f64) -> Refused {
    Refused::GapTooLow {
        side,
        gap_mm: gap * 1000.0,
        needed_mm: needed * 1000.0,
    }
}

/// Sets what is on or off; `already` says so where it is on, and where it is off.
fn flip(what: &mut bool, to: bool, already: [&'static str; 2]) -> Done {
    if *what == to {
        let [on, off] = already;
        return Err(Refused::Already {
            what: if to { on } else { off },
        });
    }
    *what = to;
    Ok(Vec::new())
}

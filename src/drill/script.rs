//! Plays a drill from a script: what is done at the truck, and what is entered.
//!
//! Must not know: files, keys.

use std::collections::BTreeSet;

use super::debrief::{Debrief, debrief};
use super::{Drill, Ground};
use crate::job::{At, Command, Event, Setup, State, due_readings};
use crate::procedure::{StepId, ValueId};
use crate::rehearsal::{
    Beside, Difference, DrillScript, Move, Played, Rehearsal, TickWord, play_beside, play_up_to,
};
use crate::rig::{Deed, Hand, Reach, Seen, Spot, Way};

/// A script with the one it is like.
#[derive(Debug, Clone, Copy)]
pub struct Script<'s> {
    /// The script.
    pub own: &'s DrillScript,
    /// The one it is like, whole.
    pub base: Option<&'s DrillScript>,
}

/// How long any deed of the hands takes, ms.
const DEED_MS: u64 = 1_500;

/// How long it takes to go to a place and read there, ms.
const GO_MS: u64 = 4_000;

/// Longest that a valve is held, or that stillness is waited for, ms.
const LONGEST_MS: u64 = 180_000;

/// A reading typed so is what the instrument shows.
const SHOWN: &str = "shown";

/// Plays a script; gives the debrief, the drill as it stands, and what was entered.
///
/// # Errors
/// The first thing that did not go as the script says.
pub fn play(
    setup: &Setup,
    ground: Ground,
    script: Script<'_>,
) -> Result<(Debrief, Drill, Played), Box<Difference>> {
    // Where it ends is not said: a drill may be left at any step.
    let Some(first) = setup.procedure.steps.first().map(|s| s.id.clone()) else {
        return Err(Box::new(Difference {
            rehearsal: script.own.id.clone(),
            step: "the start".to_owned(),
            number: 0,
            what: "the procedure has no steps".to_owned(),
        }));
    };
    let own = rehearsal(setup, script.own, &first);
    let base = script.base.map(|base| rehearsal(setup, base, &first));
    let mut hand = Player {
        drill: Drill::new(ground),
    };
    let played = play_beside(setup, &own, base.as_ref(), &mut hand)?;
    let debrief = debrief(&hand.drill, setup, &played.state);
    Ok((debrief, hand.drill, played))
}

/// A drill whose beginning was done by the lead hand: plays a script on the job that was
/// opened, up to a step, and hands over. What was said and done till then is nobody's
/// mark.
///
/// # Errors
/// The first thing that did not go as the script says.
pub fn play_to(
    setup: &Setup,
    ground: Ground,
    script: Script<'_>,
    from: (&State, At),
    until: &StepId,
) -> Result<(Drill, Played), Box<Difference>> {
    let own = rehearsal(setup, script.own, until);
    let base = script.base.map(|base| rehearsal(setup, base, until));
    let mut hand = Player {
        drill: Drill::new(ground),
    };
    if let Some(first) = from.0.step() {
        hand.drill.arrive(setup, first);
    }
    let played = play_up_to(setup, from, (&own, base.as_ref()), &mut hand, until)?;
    hand.drill.hand_over();
    Ok((hand.drill, played))
}

/// The moves as the player of rehearsals takes them.
fn rehearsal(setup: &Setup, script: &DrillScript, end: &StepId) -> Rehearsal {
    Rehearsal {
        id: script.id.clone(),
        title: script.title.clone(),
        procedure: setup.procedure.id.clone(),
        sheet: setup.sheet.id.clone(),
        instruments: setup.instruments.id.clone(),
        like: script.like.clone(),
        start_ms: 0,
        end: end.clone(),
        owed_at_end: None,
        moves: script.moves.clone(),
    }
}

struct Player {
    drill: Drill,
}

impl Player {
    fn deed(&mut self, setup: &Setup, deed: &Deed) -> Result<(), String> {
        match deed {
            Deed::Do(hand) => {
                let ms = if matches!(hand, Hand::Look(_) | Hand::WalkRound) {
                    GO_MS
                } else {
                    DEED_MS
                };
                self.drill.pass(setup, ms);
                let done = self.drill.act(setup, hand);
                done.map_err(|refused| format!("at the truck, {hand}: {refused}"))?;
            }
            Deed::Wait(ms) => {
                self.drill.pass(setup, *ms);
            }
            Deed::WaitStill => self.until(setup, |d| {
                d.bay.still() && d.bay.needles_still() && d.bay.levelling.opens().is_none()
            })?,
            Deed::Hold(way, reach, ms) => {
                self.open(setup, *way, *reach)?;
                self.drill.pass(setup, *ms);
                self.shut(setup);
            }
            Deed::HoldTo(way, reach, um) => {
                let mark = f64::from(*um) * 1e-6;
                let way = *way;
                self.open(setup, way, *reach)?;
                let there = self.until(setup, |d| match way {
                    Way::Up => d.bay.height() >= mark,
                    Way::Down => d.bay.height() <= mark,
                });
                self.shut(setup);
                there?;
            }
            Deed::HoldStill(way, reach) => {
                self.open(setup, *way, *reach)?;
                // It must get under way first.
                self.drill.pass(setup, 1_500);
                let there = self.until(setup, stopped_moving);
                self.shut(setup);
                there?;
            }
            Deed::HoldEmpty => {
                self.open(setup, Way::Down, Reach::Both)?;
                self.drill.pass(setup, 3_000);
                let there = self.until(setup, |d| {
                    let seen = d.bay.readout();
                    stopped_moving(d) && seen.gauge.iter().take(2).all(|bar| *bar < 0.04)
                });
                self.shut(setup);
                there?;
            }
        }
        Ok(())
    }

    fn open(&mut self, setup: &Setup, way: Way, reach: Reach) -> Result<(), String> {
        self.drill.pass(setup, DEED_MS);
        let done = self.drill.act(setup, &Hand::Open(way, reach));
        done.map(|_| ()).map_err(|refused| refused.to_string())
    }

    fn shut(&mut self, setup: &Setup) {
        // Letting go is never refused.
        let _done = self.drill.act(setup, &Hand::LetGo);
    }

    fn until(&mut self, setup: &Setup, there: impl Fn(&Drill) -> bool) -> Result<(), String> {
        let from = self.drill.now_ms();
        while !there(&self.drill) {
            if self.drill.now_ms() - from > LONGEST_MS {
                return Err("at the truck: that did not come about in three minutes".to_owned());
            }
            self.drill.pass(setup, 100);
        }
        Ok(())
    }

    /// Goes to every place that the step asks about.
    fn look(&mut self, setup: &Setup, state: &State) {
        let Some(step) = state.step().cloned() else {
            return;
        };
        for spot in self.places(setup, state, &step) {
            self.drill.pass(setup, GO_MS);
            let _looked = self.drill.act(setup, &Hand::Look(spot));
        }
    }

    fn places(&self, setup: &Setup, state: &State, step: &StepId) -> Vec<Spot> {
        let Some(known) = setup.step(step) else {
            return Vec::new();
        };
        let readings = known
            .readings
            .iter()
            .map(ValueId::as_str)
            .map(str::to_owned);
        let at = At {
            mono_ms: u64::MAX / 2,
            ..state.last.unwrap_or(At {
                wall_ms: 0,
                offset_min: 0,
                mono_ms: 0,
                session: 1,
            })
        };
        let due = due_readings(setup, state, &at);
        let due = due.into_iter().map(|d| d.reading.to_string());
        let named = readings
            .chain(due)
            .filter_map(|r| self.drill.ground.truck.readings.get(&r).cloned());
        let ticks = known.ticks.iter().map(|t| t.id.to_string());
        let choices = known.choices().iter().map(|c| c.id.to_string());
        let asked = ticks
            .chain(choices)
            .filter_map(|name| self.drill.sight_of(step, &name));
        let spots: BTreeSet<Spot> = named
            .chain(asked)
            .filter_map(|sight| self.drill.spot_of(&sight))
            // Nobody goes under to look because a list asks.
            .filter(|spot| *spot != Spot::Under)
            .collect();
        spots.into_iter().collect()
    }

    fn seen_word(&self, step: &StepId, name: &str) -> Option<bool> {
        let sight = self.drill.sight_of(step, name)?;
        match self.drill.sees(&sight)? {
            Seen::Word { good, .. } => Some(good),
            Seen::Value(_) => None,
        }
    }
}

fn stopped_moving(drill: &Drill) -> bool {
    drill
        .bay
        .readout()
        .rate
        .iter()
        .all(|rate| rate.abs() < 2.0e-3)
}

impl Beside for Player {
    fn ready(&mut self, setup: &Setup, state: &State, made: &Move) -> Result<(Move, u64), String> {
        let from = self.drill.now_ms();
        for deed in &made.hands {
            self.deed(setup, deed)?;
        }
        if made.careful {
            self.look(setup, state);
        }
        let mut ready = made.clone();
        let step = state.step().and_then(|s| setup.step(s));
        if let Some(step) = step {
            if made.careful {
                for tick in &step.ticks {
                    if made.ticks.contains_key(&tick.id) {
                        continue;
                    }
                    let good = self.seen_word(&step.id, tick.id.as_str()).unwrap_or(true);
                    let word = match (good, made.all_ticks.as_ref()) {
                        (true, Some(TickWord::Yes(said))) => TickWord::Yes(said.clone()),
                        (true, _) => TickWord::Yes(String::new()),
                        (false, _) => TickWord::No,
                    };
                    ready.ticks.insert(tick.id.clone(), word);
                }
                for reading in &step.readings {
                    if !made.read.iter().any(|(id, _)| id == reading) {
                        ready.read.push((reading.clone(), SHOWN.to_owned()));
                    }
                }
            }
            // In the order in which the step asks.
            let order = |id: &ValueId| step.readings.iter().position(|r| r == id);
            ready.read.sort_by_key(|(id, _)| order(id));
        }
        for (reading, typed) in &mut ready.read {
            *typed = self.typed(setup, state, reading, typed);
            if typed == SHOWN {
                return Err(format!("at the truck nothing shows {reading}"));
            }
        }
        for (condition, typed) in &mut ready.attest {
            let asks = setup.procedure.conditions.get(condition);
            let reading = asks
                .and_then(|c| c.ask.as_ref())
                .and_then(|a| a.reading.clone());
            if let (Some(reading), Some(words)) = (reading, typed.clone()) {
                *typed = Some(self.typed(setup, state, &reading, &words));
            }
        }
        Ok((ready, self.drill.now_ms() - from))
    }

    fn typed(&mut self, setup: &Setup, state: &State, reading: &ValueId, typed: &str) -> String {
        if typed != SHOWN {
            return typed.to_owned();
        }
        // Who types what is shown stands where it is shown.
        let sight = self
            .drill
            .ground
            .truck
            .readings
            .get(reading.as_str())
            .cloned();
        if let Some(spot) = sight.and_then(|sight| self.drill.spot_of(&sight))
            && self.drill.bay.spot != spot
        {
            let _looked = self.drill.act(setup, &Hand::Look(spot));
        }
        self.drill
            .as_shown(setup, state, reading)
            .unwrap_or_else(|| SHOWN.to_owned())
    }

    fn pass(&mut self, setup: &Setup, ms: u64) {
        self.drill.pass(setup, ms);
    }

    fn entered(
        &mut self,
        setup: &Setup,
        before: &State,
        entry: (&Command, &[Event]),
        _after: &State,
    ) {
        let (command, events) = entry;
        self.drill.entered(setup, before, command, events);
    }
}

//! What was typed and ticked, beside what was shown and what is true.
//!
//! A reading is true to its instrument when it lies within one division and the misread
//! of a careful eye of what was shown while the person stood there. A tick is judged
//! only where the truck knows the thing.
//!
//! Must not know: what a verdict made of it.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "few commands say anything that a truck can judge"
)]

use super::watch::step_name;
use super::{Act, Drill};
use crate::job::{Answer, Command, Entry, Setup, State};
use crate::procedure::{StepId, ValueId};
use crate::quantity::{Kind, Quantity, System, Unit};
use crate::rig::Seen;

/// A reading that was typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// When, ms.
    pub at_ms: u64,
    /// The step.
    pub step: StepId,
    /// The reading.
    pub reading: ValueId,
    /// What people read.
    pub title: String,
    /// What was typed.
    pub typed: Quantity,
    /// What the instrument showed, last; `None`: nobody looked.
    pub shown: Option<Quantity>,
    /// What is true.
    pub truth: Option<Quantity>,
    /// The unit it is shown in.
    pub unit: Unit,
    /// It is what the instrument showed.
    pub honest: bool,
}

/// A tick or a choice that was given.
#[derive(Debug, Clone, PartialEq)]
pub struct SaidTick {
    /// When, ms.
    pub at_ms: u64,
    /// The step.
    pub step: StepId,
    /// What was asked, or chosen.
    pub title: String,
    /// It was said to be in order.
    pub good: bool,
    /// It was looked at.
    pub looked: bool,
    /// It is in order.
    pub so: bool,
    /// What is seen there.
    pub seen: String,
}

/// A look counts for a tick if it is no older than this before the step was opened, ms.
const LOOK_LASTS_MS: u64 = 60_000;

/// What a careful eye misreads beyond a division, as a share of it.
const MISREAD: f64 = 0.6;

/// Everything that a command says, before it is judged.
enum Spoken<'c> {
    Read(&'c ValueId, &'c Entry),
    Good(String, String, bool),
}

impl Drill {
    /// Judges what a command says against what the truck knows.
    pub(super) fn judge_answers(&mut self, setup: &Setup, before: &State, command: &Command) {
        let Some(step) = before.step().cloned() else {
            return;
        };
        match spoken(setup, before, command) {
            Some(Spoken::Read(reading, entry)) => {
                self.judge_reading(setup, before, &step, reading, entry);
            }
            Some(Spoken::Good(name, title, good)) => {
                let system = before.system.unwrap_or(setup.sheet.system);
                let title = setup.sheet.fill(&title, system);
                self.judge_tick(&step, &name, title, good);
            }
            None => {}
        }
    }

    fn judge_reading(
        &mut self,
        setup: &Setup,
        state: &State,
        step: &StepId,
        reading: &ValueId,
        entry: &Entry,
    ) {
        let Some(sight) = self.ground.truck.readings.get(reading.as_str()).cloned() else {
            return;
        };
        let Some(declared) = setup.procedure.readings.get(reading) else {
            return;
        };
        let title = declared.title.clone();
        let unit = unit_of(setup, state, reading);
        let division = division(setup, state, reading);
        let typed = entry.value;
        let truth = self.truth(&sight);
        let look = self.looks.get(&sight);
        let fresh = look.is_some_and(|look| look.to_ms >= self.moved_ms() || !moves(&sight));
        let shown = look.filter(|_| fresh).and_then(|look| match &look.seen {
            Seen::Value(quantity) => Some(*quantity),
            Seen::Word { .. } => None,
        });
        // As it can be read: to a division.
        let read = shown.and_then(|shown| rounded(shown, unit, division));
        let room = division * (1.0 + MISREAD);
        let honest = fresh
            && look
                .and_then(|look| look.range)
                .is_some_and(|(least, most)| {
                    typed.si() >= least - room && typed.si() <= most + room
                });
        if !honest {
            let said = typed.show_plain(unit);
            let (act, what) = match read {
                None => (
                    Act::NotLooked,
                    format!("{title}: {said} typed, and nobody had read it."),
                ),
                Some((shown, decimals)) => (
                    Act::NotShown,
                    format!(
                        "{title}: {said} typed, {} shown.",
                        shown.show(unit, decimals)
                    ),
                ),
            };
            self.commit(act, what);
        }
        self.said.push(Said {
            at_ms: self.now_ms(),
            step: step.clone(),
            reading: reading.clone(),
            title,
            typed,
            shown: read.map(|(shown, _)| shown),
            truth,
            unit,
            honest,
        });
    }

    /// Whether what is seen under a name was looked at for the step at hand.
    pub fn has_looked(&self, sight: &str) -> bool {
        let since = self.entered_ms().saturating_sub(LOOK_LASTS_MS);
        let moved = if moves(sight) { self.moved_ms() } else { 0 };
        let look = self.looks.get(sight);
        look.is_some_and(|look| look.to_ms >= since.max(moved))
    }

    fn judge_tick(&mut self, step: &StepId, name: &str, title: String, good: bool) {
        let Some(sight) = self.sight_of(step, name) else {
            return;
        };
        let Some(Seen::Word { word, good: so }) = self.sees(&sight) else {
            return;
        };
        let looked = self.has_looked(&sight);
        if good && !so {
            self.commit(
                Act::AgainstSight,
                format!("{title}: said to be in order; it was: {word}."),
            );
        } else if good && !looked {
            self.commit(Act::NotLooked, format!("{title}: nobody had looked."));
        }
        self.ticked.push(SaidTick {
            at_ms: self.now_ms(),
            step: step.clone(),
            title,
            good,
            looked,
            so,
            seen: word,
        });
    }

    /// The sight that a tick or choice is about: by the whole name of the step first.
    pub fn sight_of(&self, step: &StepId, name: &str) -> Option<String> {
        let answers = &self.ground.truck.answers;
        let whole = format!("{step}.{name}");
        let plain = format!("{}.{name}", step_name(step.as_str()));
        answers.get(&whole).or_else(|| answers.get(&plain)).cloned()
    }

    /// What is true where the instrument may be wrong: a gauge's pressure without the
    /// gauge.
    fn truth(&self, sight: &str) -> Option<Quantity> {
        let seen = self.bay.readout();
        let bar = match sight {
            "gauge_left" => Some(seen.true_bar[0]),
            "gauge_right" => Some(seen.true_bar[1]),
            "supply" => Some(seen.reservoir_bar),
            _ => None,
        };
        if let Some(bar) = bar {
            return Quantity::from_si(bar * 1e5, Kind::GaugePressure).ok();
        }
        match self.sees(sight)? {
            Seen::Value(quantity) => Some(quantity),
            Seen::Word { .. } => None,
        }
    }

    /// What a person types who reads the instrument: rounded to its division.
    pub fn as_shown(&self, setup: &Setup, state: &State, reading: &ValueId) -> Option<String> {
        let sight = self.ground.truck.readings.get(reading.as_str())?;
        let Seen::Value(shown) = self.sees(sight)? else {
            return None;
        };
        let unit = unit_of(setup, state, reading);
        let (rounded, decimals) = rounded(shown, unit, division(setup, state, reading))?;
        Some(rounded.show(unit, decimals))
    }
}

/// What a command says that can be judged.
fn spoken<'c>(setup: &Setup, before: &State, command: &'c Command) -> Option<Spoken<'c>> {
    match command {
        Command::Read { reading, entry } | Command::Watch { reading, entry, .. } => {
            Some(Spoken::Read(reading, entry))
        }
        Command::Tick { tick, answer } => {
            let step = before.step().and_then(|s| setup.step(s))?;
            let asked = step.ticks.iter().find(|t| &t.id == tick)?;
            let good = match answer {
                Answer::Yes(_) => true,
                Answer::No => false,
                Answer::NotApplicable(_) => return None,
            };
            Some(Spoken::Good(tick.to_string(), asked.text.clone(), good))
        }
        Command::Choose { choice } => {
            let step = before.step().and_then(|s| setup.step(s))?;
            let chosen = step.choices().iter().find(|c| &c.id == choice)?;
            Some(Spoken::Good(choice.to_string(), chosen.text.clone(), true))
        }
        _ => None,
    }
}

/// The unit that a reading is shown in.
pub(super) fn unit_of(setup: &Setup, state: &State, reading: &ValueId) -> Unit {
    let system = state.system.unwrap_or(setup.sheet.system);
    let declared = setup.procedure.readings.get(reading);
    match (declared.and_then(|r| r.shown), system) {
        (Some((metric, _)), System::Metric) => metric,
        (Some((_, us)), System::Us) => us,
        (None, _) => declared.map_or(Unit::One, |r| r.kind.shown(system)),
    }
}

/// A division of the instrument that a reading is read with, in SI.
fn division(setup: &Setup, state: &State, reading: &ValueId) -> f64 {
    let role = setup
        .procedure
        .readings
        .get(reading)
        .and_then(|r| r.role.as_ref());
    let instrument = role.and_then(|role| setup.instrument(state, role));
    instrument.map_or(0.0, |i| i.metrology.resolution().si().abs())
}

/// What is read off: the value rounded to a division, counted in the unit on the scale,
/// and how many decimals say it.
fn rounded(shown: Quantity, unit: Unit, division: f64) -> Option<(Quantity, u8)> {
    if division <= 0.0 {
        return Some((shown, unit.usual_decimals(shown.kind())));
    }
    let at = shown.in_unit(unit).ok()?;
    let next = Quantity::from_si(shown.si() + division, shown.kind()).ok()?;
    let step = next.in_unit(unit).ok()? - at;
    let read = Quantity::new((at / step).round() * step, unit, shown.kind()).ok()?;
    let decimals = (0..=4).find(|n| {
        let scaled = step * 10_f64.powi(i32::from(*n));
        (scaled - scaled.round()).abs() < 1e-6 && scaled.round() >= 1.0
    });
    Some((read, decimals.unwrap_or(4)))
}

/// Whether a sight changes as the frame moves.
fn moves(sight: &str) -> bool {
    const MOVING: [&str; 12] = [
        "height_left",
        "height_right",
        "floor_left",
        "floor_right",
        "gauge_left",
        "gauge_right",
        "height_value",
        "block_hold_left",
        "block_hold_right",
        "frame_still",
        "strap_left",
        "strap_right",
    ];
    MOVING.contains(&sight)
}

impl Drill {
    /// What is seen at the place where the person stands: title, and what the instrument
    /// shows, rounded as it is read.
    pub fn shown_here(&self, setup: &Setup, state: &State) -> Vec<(String, String)> {
        self.seen_at(self.bay.spot)
            .into_iter()
            // What says the same the other way round has no title and is not listed.
            .filter(|(_, title, _)| !title.is_empty())
            .map(|(name, title, seen)| (title, self.in_words(setup, state, &name, &seen)))
            .collect()
    }

    fn in_words(&self, setup: &Setup, state: &State, name: &str, seen: &Seen) -> String {
        match seen {
            Seen::Word { word, .. } => word.clone(),
            Seen::Value(quantity) => {
                let readings = self.ground.truck.readings.iter();
                let known = readings
                    .filter(|(_, sight)| sight.as_str() == name)
                    .filter_map(|(reading, _)| ValueId::new(reading).ok())
                    .find(|id| setup.procedure.readings.contains_key(id));
                let read = known.and_then(|id| self.as_shown(setup, state, &id));
                read.unwrap_or_else(|| {
                    let system = state.system.unwrap_or(setup.sheet.system);
                    let unit = quantity.kind().shown(system);
                    quantity.show(unit, unit.usual_decimals(quantity.kind()))
                })
            }
        }
    }
}

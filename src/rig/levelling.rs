//! The levelling unit of the truck: it moves the frame to the stored ride height, by
//! itself, whenever it is awake.
//!
//! # Source
//! Operating rules of the model: decided every 0.1 s on rounded counts; far off, the
//! valve is fully open; near, for 0.1 s of every 0.5 s; within the dead band, shut.
//!
//! Must not know: who stands beside the truck.

use super::hand::Way;

/// Counts off the target beyond which the valve stays open.
const FAR: i32 = 60;

/// Every so often it decides, ms.
const DECIDES_MS: u64 = 100;

/// Near its target the valve opens once in so many decisions.
const PULSE: u64 = 5;

/// It wakes by itself after the control was idle for so long, ms, unless it was stopped.
pub(super) const WAKES_MS: u64 = 45_000;

/// The levelling unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Levelling {
    /// It was stopped as the sheet says, and stays so.
    pub stopped: bool,
    /// A person moved the frame: it rests until called, or until it wakes.
    pub rests_since_ms: Option<u64>,
    dead_band: u16,
    opens: Option<Way>,
}

impl Levelling {
    pub(super) const fn new(dead_band: u16) -> Self {
        Self {
            stopped: false,
            rests_since_ms: None,
            dead_band,
            opens: None,
        }
    }

    /// Whether it may move the frame now.
    pub const fn awake(&self) -> bool {
        !self.stopped && self.rests_since_ms.is_none()
    }

    /// Which way it opens its valve now.
    pub const fn opens(&self) -> Option<Way> {
        self.opens
    }

    /// Decides, at the instants at which it does.
    /// `may`: the ignition is on and nobody else has the valves.
    pub(super) fn decide(&mut self, at_ms: u64, may: bool, counts: f64, target: u16) {
        if !may || !self.awake() {
            self.opens = None;
            return;
        }
        if !at_ms.is_multiple_of(DECIDES_MS) {
            return;
        }
        let off = counts.round() as i32 - i32::from(target);
        let way = if off < 0 { Way::Up } else { Way::Down };
        let pulses = (at_ms / DECIDES_MS).is_multiple_of(PULSE);
        let open = off.abs() > FAR || (off.abs() > i32::from(self.dead_band) && pulses);
        self.opens = open.then_some(way);
    }

    /// It rests: a person has the control.
    pub(super) fn rest(&mut self, at_ms: u64) {
        self.rests_since_ms = Some(at_ms);
        self.opens = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn far_off_it_stays_open_near_it_pulses_and_in_the_dead_band_it_rests() {
        let mut unit = Levelling::new(4);
        let mut opens = |counts: f64, at: u64| {
            unit.decide(at, true, counts, 511);
            unit.opens()
        };
        assert_eq!(opens(572.0, 100), Some(Way::Down));
        assert_eq!(opens(450.4, 200), Some(Way::Up));
        assert_eq!(opens(571.0, 500), Some(Way::Down));
        assert_eq!(opens(571.0, 600), None);
        assert_eq!(opens(515.4, 1_000), None);
        assert_eq!(opens(516.0, 1_500), Some(Way::Down));
    }

    #[test]
    fn stopped_it_does_nothing() {
        let mut unit = Levelling::new(4);
        unit.decide(0, true, 700.0, 511);
        unit.stopped = true;
        unit.decide(100, true, 700.0, 511);
        assert_eq!(unit.opens(), None);
    }

    #[test]
    fn without_ignition_or_with_another_hand_on_the_valves_it_does_nothing() {
        let mut unit = Levelling::new(4);
        unit.decide(100, true, 700.0, 511);
        assert_eq!(unit.opens(), Some(Way::Down));
        unit.decide(101, false, 700.0, 511);
        assert_eq!(unit.opens(), None);
    }
}

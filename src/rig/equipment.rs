//! The stand-in for the diagnostic equipment, and the control unit behind it: heights
//! that are kept, the write-out with its repeated press, the turn of the key.
//!
//! Must not know: any real equipment; how the frame stands.

use super::hand::Level;
use super::happening::Happening;

/// How the write-out stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Write {
    /// Not begun.
    Idle,
    /// Under way: presses so far, and the instant of the last one.
    Running {
        /// Presses so far.
        presses: u32,
        /// When, ms.
        last_ms: u64,
    },
    /// Stopped by itself before the end.
    Stopped,
    /// Finished.
    Finished,
}

/// Equipment and control unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Equipment {
    /// What counts on the road: ride, upper, lower.
    pub stored: [u16; 3],
    /// Kept with the equipment and not written yet.
    pub kept: [Option<u16>; 3],
    /// Written, and taken at the next turn of the key.
    pub written: Option<[u16; 3]>,
    /// In setting mode.
    pub setting: bool,
    /// How the write-out stands.
    pub write: Write,
    /// A write-out broke off: nobody knows what the unit has.
    pub unknown: bool,
    /// The answer to the last thing asked.
    pub answer: Option<Answer>,
    within_ms: u64,
    presses: u32,
}

/// What the equipment said to the last thing asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// The height is kept.
    Stored(Level),
    /// It is not, because.
    Refused(&'static str),
}

impl Equipment {
    /// Equipment at a truck with these values stored.
    pub fn new(stored: [u16; 3], within_ms: u64, presses: u32) -> Self {
        Self {
            stored,
            kept: [None; 3],
            written: None,
            setting: false,
            write: Write::Idle,
            unknown: false,
            answer: None,
            within_ms,
            presses,
        }
    }

    /// Keeps a height as it is now; `still`: the frame stands still.
    pub(super) fn store(&mut self, level: Level, counts: f64, still: bool) -> Happening {
        let refusal = if !self.setting {
            Some("it is not in setting mode")
        } else if !still {
            Some("the frame still moves")
        } else if !(100.0..=900.0).contains(&counts) {
            Some("the height value is out of its range, 100 to 900")
        } else {
            None
        };
        if let Some(why) = refusal {
            self.answer = Some(Answer::Refused(why));
            return Happening::NotStored(level, why);
        }
        let counts = counts.round() as u16;
        if let Some(kept) = self.kept.get_mut(level.index()) {
            *kept = Some(counts);
        }
        self.answer = Some(Answer::Stored(level));
        Happening::Stored(level, counts)
    }

    /// Begins the write-out.
    pub(super) fn begin(&mut self, volts_ok: bool, at_ms: u64) -> Happening {
        let refusal = if !self.setting {
            Some("it is not in setting mode")
        } else if self.kept == [None; 3] {
            Some("no height is kept that could be written")
        } else if !volts_ok {
            Some("the battery is too low")
        } else {
            None
        };
        if let Some(why) = refusal {
            self.answer = Some(Answer::Refused(why));
            return Happening::WriteRefused(why);
        }
        self.answer = None;
        self.write = Write::Running {
            presses: 0,
            last_ms: at_ms,
        };
        Happening::WriteBegan
    }

    /// A press while it is written; nothing otherwise.
    pub(super) fn press(&mut self, at_ms: u64) -> Option<Happening> {
        let Write::Running { presses, .. } = self.write else {
            return None;
        };
        let presses = presses + 1;
        if presses < self.presses {
            self.write = Write::Running {
                presses,
                last_ms: at_ms,
            };
            return None;
        }
        self.write = Write::Finished;
        self.unknown = false;
        let mut next = self.next();
        for (value, kept) in next.iter_mut().zip(self.kept) {
            *value = kept.unwrap_or(*value);
        }
        self.written = Some(next);
        Some(Happening::WriteFinished)
    }

    /// Time goes by: without a press it stops by itself, and what it had written by
    /// then nobody knows.
    pub(super) fn pass(&mut self, at_ms: u64) -> Option<Happening> {
        let Write::Running { presses, last_ms } = self.write else {
            return None;
        };
        if at_ms.saturating_sub(last_ms) <= self.within_ms {
            return None;
        }
        Some(self.broke_off(presses))
    }

    /// The ignition goes off: setting mode ends, and a write-out breaks off.
    pub(super) fn cut_off(&mut self) -> Option<Happening> {
        self.setting = false;
        match self.write {
            Write::Running { presses, .. } => Some(self.broke_off(presses)),
            Write::Idle | Write::Stopped | Write::Finished => None,
        }
    }

    fn broke_off(&mut self, presses: u32) -> Happening {
        self.write = Write::Stopped;
        self.unknown = true;
        // Half of the presses write the first height, and no other.
        if presses * 2 >= self.presses
            && let [Some(ride), ..] = self.kept
        {
            let [_, upper, lower] = self.next();
            self.written = Some([ride, upper, lower]);
        }
        Happening::WriteStopped
    }

    /// What counts after the next turn of the key.
    fn next(&self) -> [u16; 3] {
        self.written.unwrap_or(self.stored)
    }

    /// The key is turned on again: what was written counts.
    pub(super) fn turned(&mut self) -> bool {
        match self.written.take() {
            Some(written) => {
                self.stored = written;
                self.kept = [None; 3];
                true
            }
            None => false,
        }
    }

    /// What counts at a level.
    pub fn stored_at(&self, level: Level) -> u16 {
        let [ride, upper, lower] = self.stored;
        match level {
            Level::Ride => ride,
            Level::Upper => upper,
            Level::Lower => lower,
        }
    }

    /// Presses still to come, while it is written.
    pub const fn presses_left(&self) -> Option<u32> {
        match self.write {
            Write::Running { presses, .. } => Some(self.presses.saturating_sub(presses)),
            Write::Idle | Write::Stopped | Write::Finished => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ready() -> Equipment {
        let mut equipment = Equipment::new([553, 868, 256], 3_000, 4);
        equipment.setting = true;
        equipment.store(Level::Ride, 511.2, true);
        equipment
    }

    #[test]
    fn three_seconds_without_a_press_stop_it_and_leave_the_settings_unknown() {
        let mut equipment = ready();
        assert_eq!(equipment.begin(true, 0), Happening::WriteBegan);
        assert_eq!(equipment.press(2_900), None);
        assert_eq!(equipment.pass(5_900), None);
        assert_eq!(equipment.pass(5_901), Some(Happening::WriteStopped));
        assert!(equipment.unknown);
        assert_eq!(equipment.press(6_000), None);
    }

    #[test]
    fn ignition_off_breaks_a_write_out_off_and_loses_nothing_written_before() {
        let mut equipment = ready();
        equipment.store(Level::Lower, 257.0, true);
        equipment.begin(true, 0);
        for n in 1..=4 {
            equipment.press(n * 1_000);
        }
        equipment.begin(true, 10_000);
        equipment.press(11_000);
        equipment.press(12_000);
        assert_eq!(equipment.cut_off(), Some(Happening::WriteStopped));
        assert!(equipment.unknown && !equipment.setting);
        assert_eq!(equipment.press(12_500), None);
        assert_eq!(equipment.cut_off(), None);
        assert!(equipment.turned());
        assert_eq!(equipment.stored, [511, 868, 257]);
    }

    #[test]
    fn what_was_written_counts_only_after_the_turn_of_the_key() {
        let mut equipment = ready();
        equipment.begin(true, 0);
        let presses: Vec<_> = (1..=4).map(|n| equipment.press(n * 2_000)).collect();
        assert_eq!(presses.last(), Some(&Some(Happening::WriteFinished)));
        assert_eq!(equipment.stored, [553, 868, 256]);
        assert!(equipment.turned());
        assert_eq!(equipment.stored, [511, 868, 256]);
        assert!(!equipment.turned());
    }

    #[test]
    fn nothing_is_kept_while_the_frame_moves_or_outside_setting_mode() {
        let mut equipment = ready();
        assert!(matches!(
            equipment.store(Level::Upper, 868.0, false),
            Happening::NotStored(..)
        ));
        equipment.setting = false;
        assert!(matches!(
            equipment.store(Level::Upper, 868.0, true),
            Happening::NotStored(..)
        ));
        assert_eq!(equipment.kept, [Some(511), None, None]);
    }
}

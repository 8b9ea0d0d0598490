//! What is done to the rig and when, in whole steps: the same rig under the same
//! timetable is the same to the last bit.

use super::{Inputs, Rig};

/// Inputs that change at given steps.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Timetable {
    entries: Vec<Entry>,
}

/// From this step on, these inputs.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Entry {
    step: u64,
    inputs: Inputs,
}

impl Timetable {
    /// A timetable of inputs, each with the step since the rig's start from which on it
    /// counts. They are put in order; of two for one step the later given counts.
    pub fn new(entries: impl IntoIterator<Item = (u64, Inputs)>) -> Self {
        let entries = entries.into_iter();
        let mut entries: Vec<Entry> = entries
            .map(|(step, inputs)| Entry { step, inputs })
            .collect();
        entries.sort_by_key(|entry| entry.step);
        Self { entries }
    }

    /// The inputs of this step; nothing is done before the first entry.
    pub fn at(&self, step: u64) -> Inputs {
        let after = self.entries.partition_point(|entry| entry.step <= step);
        let last = after.checked_sub(1).and_then(|last| self.entries.get(last));
        last.map_or_else(Inputs::default, |entry| entry.inputs)
    }

    /// Runs the rig for so many steps, its inputs as told here.
    pub fn play(&self, rig: &mut Rig, steps: u64) {
        for _ in 0..steps {
            rig.inputs = self.at(rig.steps());
            rig.step();
        }
    }
}

//! What was looked at, when, and what it showed meanwhile.
//!
//! Must not know: what was then typed.

use super::Drill;
use crate::rig::{Seen, Set, Spot};

/// A look at one sight.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// From when on, ms.
    pub from_ms: u64,
    /// Until when, ms.
    pub to_ms: u64,
    /// What was seen last.
    pub seen: Seen,
    /// The least and most that it showed while it was looked at, in SI.
    pub range: Option<(f64, f64)>,
}

impl Drill {
    /// A person who stands at a place sees everything there.
    pub(super) fn look_round(&mut self, spot: Spot) {
        let now = self.now_ms();
        for (name, _, seen) in self.seen_at(spot) {
            let si = value(&seen);
            self.see_fault(&name);
            self.looks.insert(
                name,
                Look {
                    from_ms: now,
                    to_ms: now,
                    range: si.map(|si| (si, si)),
                    seen,
                },
            );
        }
    }

    /// A fault can be seen as soon as someone looks at what it changes.
    fn see_fault(&mut self, sight: &str) {
        let Some(step) = self.step().cloned() else {
            return;
        };
        let first = (self.now_ms(), step);
        let faults = self.bay.faults.iter().filter(|fault| {
            let mut sets = fault.sets.iter();
            sets.any(|set| matches!(set, Set::Card(card, _) if card == sight))
        });
        for fault in faults {
            let visible = self.visible.entry(fault.id.clone());
            visible.or_insert_with(|| first.clone());
        }
    }

    /// While the person stays, what is shown there goes on being seen.
    pub(super) fn go_on_looking(&mut self) {
        let now = self.now_ms();
        for (name, _, seen) in self.seen_at(self.bay.spot) {
            let si = value(&seen);
            let fresh = Look {
                from_ms: now,
                to_ms: now,
                seen: seen.clone(),
                range: si.map(|si| (si, si)),
            };
            let look = self.looks.entry(name).or_insert(fresh);
            look.to_ms = now;
            look.range = match (look.range, si) {
                (Some((least, most)), Some(si)) => Some((least.min(si), most.max(si))),
                (_, si) => si.map(|si| (si, si)),
            };
            look.seen = seen;
        }
    }
}

fn value(seen: &Seen) -> Option<f64> {
    match seen {
        Seen::Value(quantity) => Some(quantity.si()),
        Seen::Word { .. } => None,
    }
}

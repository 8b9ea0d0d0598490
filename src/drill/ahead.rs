//! What a careful person does next at the truck, for the step at hand: out of a script
//! that was played well, with what has been done since the step was opened left out.
//!
//! Must not know: keys; faults; what is right for another truck.

use std::collections::BTreeMap;

use super::{Drill, What, doings};
use crate::procedure::StepId;
use crate::rehearsal::DrillScript;
use crate::rig::{Deed, Hand, Spot, Way};

/// How near a height must be to its mark, m.
const NEAR: f64 = 0.003;

/// A bellows is as good as empty below this, bar.
const EMPTY: f64 = 0.15;

/// What is done next.
#[derive(Debug, Clone, PartialEq)]
pub enum Ahead {
    /// The script does not come to this step.
    Unknown,
    /// Nothing more.
    Done,
    /// A deed; what is done at a place with that place and the words of its list.
    Deed(Deed, Option<(Spot, String)>),
}

/// The deeds at each step, as a script has them at its first visit; what it does not
/// say is as in the one that it is like.
pub fn deeds_by_step(own: &DrillScript, base: Option<&DrillScript>) -> BTreeMap<StepId, Vec<Deed>> {
    let mut by_step = BTreeMap::new();
    for script in [Some(own), base].into_iter().flatten() {
        let mut first = BTreeMap::new();
        for made in &script.moves {
            let here = first.entry(made.at.clone());
            here.or_insert_with(|| made.hands.clone());
        }
        for (step, hands) in first {
            by_step.entry(step).or_insert(hands);
        }
    }
    by_step
}

impl Drill {
    /// What is done next at this step.
    pub fn ahead(&self, step: &StepId) -> Ahead {
        let Some(deeds) = self.ground.coach.get(step) else {
            return Ahead::Unknown;
        };
        let mut since = Since::opened(self);
        for deed in deeds {
            let is_done = match deed {
                Deed::Do(Hand::Look(spot)) => {
                    since.takes(|hand| *hand == Hand::Look(*spot)) || self.bay.spot == *spot
                }
                Deed::Do(hand) => {
                    if since.takes(|done| done == hand) {
                        true
                    } else if let Some(place) = self.place_of(hand) {
                        return Ahead::Deed(deed.clone(), Some(place));
                    } else {
                        // It stands so already.
                        true
                    }
                }
                Deed::Hold(way, reach, _) | Deed::HoldStill(way, reach) => {
                    since.takes(|hand| *hand == Hand::Open(*way, *reach))
                }
                Deed::HoldTo(_, _, um) => self.is_at(f64::from(*um) / 1e6),
                Deed::HoldEmpty => self.is_empty(),
                Deed::Wait(ms) => self.now_ms() >= since.at_ms + ms,
                Deed::WaitStill => self.bay.still() && self.bay.needles_still(),
            };
            if !is_done {
                return Ahead::Deed(deed.clone(), None);
            }
        }
        Ahead::Done
    }

    /// Where a thing can be done as the truck stands, and in what words.
    fn place_of(&self, hand: &Hand) -> Option<(Spot, String)> {
        Spot::ALL.into_iter().find_map(|spot| {
            let here = doings(&self.bay, spot);
            let found = here.into_iter().find(|doing| doing.hand == *hand)?;
            Some((spot, found.words))
        })
    }

    fn is_at(&self, height: f64) -> bool {
        self.bay.held.is_none() && (self.bay.height() - height).abs() <= NEAR
    }

    fn is_empty(&self) -> bool {
        let bar = self.bay.readout().true_bar;
        self.bay.held.map(|(way, _)| way) != Some(Way::Down) && bar.iter().all(|b| *b < EMPTY)
    }
}

/// What was done since the step was opened, taken one after another.
struct Since<'d> {
    done: Vec<(u64, &'d Hand)>,
    next: usize,
    /// When the last of what was taken was done.
    at_ms: u64,
}

impl<'d> Since<'d> {
    fn opened(drill: &'d Drill) -> Self {
        let from = drill.steps.last().map_or(0, |(at, _, _)| *at);
        let lines = drill.lines.iter().filter(|line| line.at_ms >= from);
        let done = lines.filter_map(|line| match &line.what {
            What::Done(hand) => Some((line.at_ms, hand)),
            What::Refused(..)
            | What::Happened(_)
            | What::Step(_)
            | What::Unsafe(..)
            | What::Stopped
            | What::Ended(_) => None,
        });
        Self {
            done: done.collect(),
            next: 0,
            at_ms: from,
        }
    }

    /// Whether such a thing was done after what was taken last; it is taken then.
    fn takes(&mut self, is_such: impl Fn(&Hand) -> bool) -> bool {
        let rest = self.done.iter().enumerate().skip(self.next);
        let mut such = rest.filter(|(_, (_, hand))| is_such(hand));
        let Some((at, (ms, _))) = such.next() else {
            return false;
        };
        self.next = at + 1;
        self.at_ms = *ms;
        true
    }
}

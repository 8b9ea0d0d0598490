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

/// A valve that opens again so soon after it shut was one hold: on a terminal that tells
/// no letting go it shuts between a press and its first repeat, ms. *Ours.*
const ONE_HOLD_MS: u64 = 700;

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
        let done = since.take_all(deeds);
        let mut rest = deeds.iter().skip(done);
        let Some(next) = rest.find(|deed| !self.is_so(deed, &mut since)) else {
            return Ahead::Done;
        };
        let place = if let Deed::Do(hand) = next {
            self.place_of(hand)
        } else {
            None
        };
        Ahead::Deed(next.clone(), place)
    }

    /// Whether what a deed is for is so.
    fn is_so(&self, deed: &Deed, since: &mut Since<'_>) -> bool {
        match deed {
            Deed::Do(Hand::Look(spot)) => self.bay.spot == *spot,
            // What nobody can do stands so already.
            Deed::Do(hand) => self.place_of(hand).is_none(),
            Deed::Hold(way, reach, _) | Deed::HoldStill(way, reach) => {
                let opened = since.takes(|hand| *hand == Hand::Open(*way, *reach));
                // The last opening goes on for as long as it is held.
                opened && (self.bay.held.is_none() || !since.is_over())
            }
            Deed::HoldTo(_, _, um) => self.is_at(f64::from(*um) / 1e6),
            Deed::HoldEmpty => self.is_empty(),
            Deed::Wait(ms) => self.now_ms() >= since.at_ms.max(self.moved_ms()) + ms,
            Deed::WaitStill => self.bay.still() && self.bay.needles_still(),
        }
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
            done: without_gaps(done),
            next: 0,
            at_ms: from,
        }
    }

    /// Takes the deeds of this list that were done, in its order; how far it is done:
    /// with a later deed the ones before it are over, whatever the truck did since.
    fn take_all(&mut self, deeds: &[Deed]) -> usize {
        let mut done = 0;
        for (n, deed) in deeds.iter().enumerate() {
            if let Deed::Do(hand) = deed
                && self.takes(|one| one == hand)
            {
                done = n + 1;
            }
        }
        done
    }

    /// Whether nothing was done after what was taken last but to let go.
    fn is_over(&self) -> bool {
        let mut rest = self.done.iter().skip(self.next);
        rest.all(|(_, hand)| **hand == Hand::LetGo)
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

/// What was done, a hold that only paused as one.
fn without_gaps<'d>(done: impl Iterator<Item = (u64, &'d Hand)>) -> Vec<(u64, &'d Hand)> {
    let mut whole: Vec<(u64, &Hand)> = Vec::new();
    for (at, hand) in done {
        if let [.., (_, before), (shut, Hand::LetGo)] = *whole
            && matches!(hand, Hand::Open(..))
            && before == hand
            && at.saturating_sub(shut) <= ONE_HOLD_MS
        {
            whole.pop();
        } else {
            whole.push((at, hand));
        }
    }
    whole
}

//! The shortest way that shows a finding.
//!
//! One breadth-first search a name over step × what is so of that name (held or
//! not, owed or not): the first path found to a pair is a shortest one.

use std::collections::VecDeque;

use super::plan::{Exit, Plan, Way};
use crate::procedure::{Outcome, Step};

/// What becomes of one name along a path; 0 is what is so at the start.
pub(super) trait Track {
    /// After the effects of entering.
    fn enter(&self, at: usize, state: u8) -> u8;
    /// After a way or choice; `state` is that after entering.
    fn leave(&self, at: usize, exit: &Exit, state: u8) -> u8;
    /// After stop work; `state` is that after entering.
    fn stop(&self, state: u8) -> u8 {
        state
    }
}

/// A longer way is shown without its middle.
const LONG: usize = 60;

/// What is shown of a longer way before and after the gap.
const EDGES: (usize, usize) = (9, 50);

/// No track has more states than this.
const STATES: u8 = 4;

type Spot = (usize, u8);

/// How a spot was first reached.
#[derive(Clone, Copy)]
struct First {
    distance: usize,
    from: Option<(Spot, Way)>,
}

/// The shortest paths to every pair of step and state on arrival.
pub(super) struct Trails<'a, 'p, T> {
    plan: &'a Plan<'p>,
    track: T,
    first: Vec<Option<First>>,
}

impl<'a, 'p, T: Track> Trails<'a, 'p, T> {
    pub(super) fn new(plan: &'a Plan<'p>, track: T) -> Self {
        let mut trails = Self {
            plan,
            track,
            first: Vec::new(),
        };
        if plan.ways_to_show.get() > 0 {
            trails.first = vec![None; plan.nodes.len() * usize::from(STATES)];
            trails.search();
        }
        trails
    }

    fn search(&mut self) {
        let mut open = VecDeque::new();
        self.reach((0, 0), 0, None, &mut open);
        while let Some((spot, distance)) = open.pop_front() {
            let (at, state) = spot;
            let Some(node) = self.plan.nodes.get(at) else {
                continue;
            };
            let entered = self.track.enter(at, state);
            for exit in &node.exits {
                let after = match exit.way {
                    Way::Stop => self.track.stop(entered),
                    Way::HandOver => state,
                    Way::Outcome(_) | Way::Choice(_) => self.track.leave(at, exit, entered),
                };
                let from = Some((spot, exit.way));
                self.reach((exit.to, after), distance + 1, from, &mut open);
            }
        }
    }

    /// Notes how a spot was reached, if it is for the first time.
    fn reach(
        &mut self,
        spot: Spot,
        distance: usize,
        from: Option<(Spot, Way)>,
        open: &mut VecDeque<(Spot, usize)>,
    ) {
        if let Some(slot @ None) = self.first.get_mut(place(spot)) {
            *slot = Some(First { distance, from });
            open.push_back((spot, distance));
        }
    }

    fn first(&self, spot: Spot) -> Option<First> {
        self.first.get(place(spot)).copied().flatten()
    }

    /// The titles along the shortest path to `at` on which `goal` accepts the
    /// states before and after entering, each with the way by which it is left;
    /// empty if there is none, or enough ways have been shown.
    pub(super) fn to(&self, at: usize, goal: impl Fn(u8, u8) -> bool) -> Vec<String> {
        let found = (0..STATES)
            .filter(|state| goal(*state, self.track.enter(at, *state)))
            .filter_map(|state| self.first((at, state)))
            .min_by_key(|first| first.distance);
        let (Some(mut first), Some(left)) = (found, self.plan.ways_to_show.get().checked_sub(1))
        else {
            return Vec::new();
        };
        self.plan.ways_to_show.set(left);
        let mut titles = vec![title(self.plan, at)];
        while let Some((spot, way)) = first.from {
            titles.push(leg(self.plan, spot.0, way));
            let Some(before) = self.first(spot) else {
                break;
            };
            first = before;
        }
        titles.reverse();
        cut(titles)
    }
}

fn place((at, state): Spot) -> usize {
    at * usize::from(STATES) + usize::from(state)
}

/// Whether one condition holds: 1 if it does.
pub(super) struct Held<'a, 'p> {
    pub(super) plan: &'a Plan<'p>,
    pub(super) condition: usize,
}

impl Track for Held<'_, '_> {
    fn enter(&self, at: usize, state: u8) -> u8 {
        let node = self.plan.nodes.get(at);
        let cleared = node.is_some_and(|n| n.clears.binary_search(&self.condition).is_ok());
        state & u8::from(!cleared)
    }

    fn leave(&self, _: usize, exit: &Exit, state: u8) -> u8 {
        if exit.establishes.binary_search(&self.condition).is_ok() {
            return 1;
        }
        state & u8::from(!self.plan.fleeting.contains(self.condition))
    }

    fn stop(&self, _: u8) -> u8 {
        0
    }
}

/// Whether one duty is owed: 1 if it is.
pub(super) struct Owed<'a, 'p> {
    pub(super) plan: &'a Plan<'p>,
    pub(super) duty: usize,
}

impl Track for Owed<'_, '_> {
    fn enter(&self, at: usize, state: u8) -> u8 {
        let node = self.plan.nodes.get(at);
        state | u8::from(node.is_some_and(|n| n.incurs.binary_search(&self.duty).is_ok()))
    }

    fn leave(&self, _: usize, exit: &Exit, state: u8) -> u8 {
        if exit.settles.binary_search(&self.duty).is_ok() {
            return 0;
        }
        state | u8::from(exit.incurs.binary_search(&self.duty).is_ok())
    }
}

/// Whether one value is there (1) and, for an as-left reading, whether its setting
/// was changed (2).
pub(super) struct Known<'a, 'p> {
    pub(super) plan: &'a Plan<'p>,
    pub(super) value: usize,
}

impl Track for Known<'_, '_> {
    fn enter(&self, at: usize, state: u8) -> u8 {
        let Some(node) = self.plan.nodes.get(at) else {
            return state;
        };
        let kept = u8::from(node.forgets.binary_search(&self.value).is_err());
        let changed = u8::from(node.as_left.binary_search(&self.value).is_ok()) << 1;
        (state & (2 | kept)) | changed
    }

    fn leave(&self, at: usize, _: &Exit, state: u8) -> u8 {
        let node = self.plan.nodes.get(at);
        state | u8::from(node.is_some_and(|n| n.takes.binary_search(&self.value).is_ok()))
    }
}

/// A way of a length that people read.
pub(super) fn cut(mut titles: Vec<String>) -> Vec<String> {
    let (before, after) = EDGES;
    if titles.len() > LONG {
        let gap = before..titles.len() - after;
        let words = format!("({} steps more)", gap.len());
        titles.splice(gap, [words]);
    }
    titles
}

/// The title of a step.
pub(super) fn title(plan: &Plan<'_>, at: usize) -> String {
    plan.step(at).map(|s| s.title.clone()).unwrap_or_default()
}

/// The title of a step and the way by which it is left; a plain pass needs no word.
pub(super) fn leg(plan: &Plan<'_>, at: usize, way: Way) -> String {
    let Some(step) = plan.step(at) else {
        return String::new();
    };
    match way_word(step, way) {
        Some(word) => format!("{} ({word})", step.title),
        None => step.title.clone(),
    }
}

fn way_word(step: &Step, way: Way) -> Option<String> {
    match way {
        Way::Outcome(Outcome::Pass) => None,
        Way::Outcome(outcome) => Some(outcome.key().to_owned()),
        Way::Choice(at) => step.choices().get(at).map(|c| c.text.clone()),
        Way::Stop => Some("stop work".to_owned()),
        Way::HandOver => Some("with a step to repeat".to_owned()),
    }
}

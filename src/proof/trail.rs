//! The shortest way that shows a finding.
//!
//! One breadth-first search a name over step × what is so of that name (held or
//! not, owed or not): the first path found to a pair is a shortest one.

use std::collections::VecDeque;

use super::plan::{Exit, Plan, Way};
use super::web;
use crate::procedure::{Outcome, Step};

/// What becomes of one name along a path; 0 is what is so at the start.
pub(super) trait Track {
    /// How many states there are.
    const STATES: u8 = 2;
    /// The marks of steps and ways that may touch the name.
    const MARKS: u8;
    /// After the effects of entering.
    fn enter(&self, at: usize, state: u8) -> u8;
    /// After a way or choice; `state` is that after entering.
    fn leave(&self, at: usize, exit: &Exit, state: u8) -> u8;
    /// After a way or choice that touches nothing of this kind.
    fn pass(&self, state: u8) -> u8 {
        state
    }
    /// After stop work; `state` is that after entering.
    fn stop(&self, state: u8) -> u8 {
        state
    }
}

/// A longer way is shown without its middle.
const LONG: usize = 60;

/// What is shown of a longer way before and after the gap.
const EDGES: (usize, usize) = (9, 50);

type Spot = (usize, u8);

/// How a spot was first reached: the spot before, and which of its step's exits.
#[derive(Clone, Copy)]
struct First {
    distance: u32,
    from: u32,
    exit: u32,
}

/// Not reached, or reached from nowhere.
const NONE: u32 = u32::MAX;

/// The shortest paths to every pair of step and state on arrival.
pub(super) struct Trails<'a, 'p, T> {
    plan: &'a Plan<'p>,
    track: T,
    first: Vec<First>,
}

impl<'a, 'p, T: Track> Trails<'a, 'p, T> {
    pub(super) fn new(plan: &'a Plan<'p>, track: T) -> Self {
        let mut trails = Self {
            plan,
            track,
            first: Vec::new(),
        };
        if plan.ways_to_show.get() > 0 {
            let unreached = First {
                distance: NONE,
                from: NONE,
                exit: NONE,
            };
            trails.first = vec![unreached; plan.nodes.len() * usize::from(T::STATES)];
            trails.search();
        }
        trails
    }

    fn search(&mut self) {
        let web = self.plan.web();
        let mut open = VecDeque::new();
        let start = First {
            distance: 0,
            from: NONE,
            exit: NONE,
        };
        self.reach((0, 0), start, &mut open);
        while let Some(spot) = open.pop_front() {
            let (at, state) = spot;
            let marks = web.marks(at);
            let entered = if marks & T::MARKS == 0 {
                state
            } else {
                self.track.enter(at, state)
            };
            let distance = self.first(spot).map_or(0, |first| first.distance) + 1;
            let from = u32::try_from(place::<T>(spot)).unwrap_or(NONE);
            for (edge, exit) in web.edges(at).iter().zip(0..) {
                let after = if edge.is_stop() {
                    self.track.stop(entered)
                } else if edge.is_door() {
                    self.track.stop(self.left(at, exit as usize, entered))
                } else if edge.is_hand_over() {
                    state
                } else if (marks | edge.marks) & T::MARKS == 0 {
                    self.track.pass(entered)
                } else {
                    self.left(at, exit as usize, entered)
                };
                let first = First {
                    distance,
                    from,
                    exit,
                };
                self.reach((edge.to, after), first, &mut open);
            }
        }
    }

    fn left(&self, at: usize, exit: usize, entered: u8) -> u8 {
        let exit = self.plan.nodes.get(at).and_then(|n| n.exits.get(exit));
        exit.map_or(entered, |exit| self.track.leave(at, exit, entered))
    }

    /// Notes how a spot was reached, if it is for the first time.
    fn reach(&mut self, spot: Spot, first: First, open: &mut VecDeque<Spot>) {
        if let Some(slot) = self.first.get_mut(place::<T>(spot))
            && slot.distance == NONE
        {
            *slot = first;
            open.push_back(spot);
        }
    }

    fn first(&self, spot: Spot) -> Option<First> {
        let first = self.first.get(place::<T>(spot)).copied();
        first.filter(|first| first.distance != NONE)
    }

    /// The spot before, and the way by which it was left.
    fn before(&self, first: First) -> Option<(Spot, Way)> {
        let from = usize::try_from(first.from)
            .ok()
            .filter(|_| first.from != NONE)?;
        let states = usize::from(T::STATES);
        let spot = (from / states, (from % states) as u8);
        let exits = &self.plan.nodes.get(spot.0)?.exits;
        Some((spot, exits.get(first.exit as usize)?.way))
    }

    /// The titles along the shortest path to `at` on which `goal` accepts the
    /// states before and after entering, each with the way by which it is left;
    /// empty if there is none, or enough ways have been shown.
    pub(super) fn to(&self, at: usize, goal: impl Fn(u8, u8) -> bool) -> Vec<String> {
        let found = (0..T::STATES)
            .filter(|state| goal(*state, self.track.enter(at, *state)))
            .filter_map(|state| self.first((at, state)))
            .min_by_key(|first| first.distance);
        let (Some(mut first), Some(left)) = (found, self.plan.ways_to_show.get().checked_sub(1))
        else {
            return Vec::new();
        };
        self.plan.ways_to_show.set(left);
        // A long way is walked back whole, but only what is shown of it is put in words.
        let length = first.distance as usize + 1;
        let mut titles = vec![title(self.plan, at)];
        for number in (0..length - 1).rev() {
            let Some((spot, way)) = self.before(first) else {
                break;
            };
            if is_shown(number, length) {
                titles.push(leg(self.plan, spot.0, way));
            } else if is_shown(number + 1, length) {
                titles.push(gap(length));
            }
            let Some(before) = self.first(spot) else {
                break;
            };
            first = before;
        }
        titles.reverse();
        titles
    }
}

/// Whether this step of a way so long is shown.
const fn is_shown(number: usize, length: usize) -> bool {
    let (before, after) = EDGES;
    length <= LONG || number < before || number + after >= length
}

/// What stands for the steps that are not shown.
fn gap(length: usize) -> String {
    let (before, after) = EDGES;
    format!("({} steps more)", length - before - after)
}

fn place<T: Track>((at, state): Spot) -> usize {
    at * usize::from(T::STATES) + usize::from(state)
}

/// Whether one condition holds: 1 if it does.
pub(super) struct Held<'a, 'p> {
    pub(super) plan: &'a Plan<'p>,
    pub(super) condition: usize,
}

impl Track for Held<'_, '_> {
    const MARKS: u8 = web::CONDITIONS;

    fn enter(&self, at: usize, state: u8) -> u8 {
        let node = self.plan.nodes.get(at);
        let cleared = node.is_some_and(|n| n.clears.binary_search(&self.condition).is_ok());
        state & u8::from(!cleared)
    }

    fn leave(&self, _: usize, exit: &Exit, state: u8) -> u8 {
        if exit.establishes.binary_search(&self.condition).is_ok() {
            return 1;
        }
        self.pass(state)
    }

    fn pass(&self, state: u8) -> u8 {
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
    const MARKS: u8 = web::DUTIES;

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
    const STATES: u8 = 4;
    const MARKS: u8 = web::VALUES;

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
    let length = titles.len();
    if length > LONG {
        titles.splice(before..length - after, [gap(length)]);
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
        Way::Door(at) => {
            let choice = step.choices().get(at).map_or("", |c| c.text.as_str());
            Some(format!("{choice}, then stop work before the next step"))
        }
        Way::HandOver => Some("with a step to repeat".to_owned()),
    }
}

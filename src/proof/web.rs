//! The bare graph in a few rows of numbers, for searches that go over all of it.
//!
//! A search for a way asks at each step only what becomes of one name, and most
//! steps and ways do nothing to it. So each carries marks of what kinds of names it
//! touches; only where a mark fits is the step itself looked at.

use super::plan::{Exit, Node, Way};

/// Conditions are made true or ended here.
pub(super) const CONDITIONS: u8 = 1;
/// Duties are incurred or settled here.
pub(super) const DUTIES: u8 = 2;
/// Values are taken or forgotten here, or asked for anew.
pub(super) const VALUES: u8 = 4;
/// The edge is stop work.
const STOP: u8 = 8;
/// The edge is a handing over in place of a complete end.
const HAND_OVER: u8 = 16;

/// The edge is stop work at a door, after a choice.
const DOOR: u8 = 32;

/// One edge: where it leads, and its marks.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) to: usize,
    pub(super) marks: u8,
}

impl Edge {
    pub(super) const fn is_stop(self) -> bool {
        self.marks & STOP != 0
    }

    pub(super) const fn is_door(self) -> bool {
        self.marks & DOOR != 0
    }

    pub(super) const fn is_hand_over(self) -> bool {
        self.marks & HAND_OVER != 0
    }
}

/// All steps with their edges.
#[derive(Debug)]
pub(super) struct Web {
    /// For each step where its edges begin, and its marks; one more at the end.
    steps: Vec<(usize, u8)>,
    edges: Vec<Edge>,
}

impl Web {
    pub(super) fn new(nodes: &[Node]) -> Self {
        let mut web = Self {
            steps: Vec::with_capacity(nodes.len() + 1),
            edges: Vec::with_capacity(nodes.len() * 3),
        };
        for node in nodes {
            web.steps.push((web.edges.len(), node_marks(node)));
            let edges = node.exits.iter().map(|exit| Edge {
                to: exit.to,
                marks: exit_marks(exit),
            });
            web.edges.extend(edges);
        }
        web.steps.push((web.edges.len(), 0));
        web
    }

    /// The marks of a step.
    pub(super) fn marks(&self, at: usize) -> u8 {
        self.steps.get(at).map_or(0, |(_, marks)| *marks)
    }

    /// The edges of a step, in the order of its exits.
    pub(super) fn edges(&self, at: usize) -> &[Edge] {
        let begin = |at: usize| self.steps.get(at).map(|(begin, _)| *begin);
        let (Some(from), Some(to)) = (begin(at), begin(at + 1)) else {
            return &[];
        };
        self.edges.get(from..to).unwrap_or_default()
    }
}

fn node_marks(node: &Node) -> u8 {
    let values = [&node.takes, &node.forgets, &node.as_left];
    let touches = |mark: u8, is: bool| if is { mark } else { 0 };
    touches(CONDITIONS, !node.clears.is_empty())
        | touches(DUTIES, !node.incurs.is_empty())
        | touches(VALUES, values.iter().any(|list| !list.is_empty()))
}

fn exit_marks(exit: &Exit) -> u8 {
    let touches = |mark: u8, is: bool| if is { mark } else { 0 };
    let kind = match exit.way {
        Way::Stop => STOP,
        Way::HandOver => HAND_OVER,
        Way::Door(_) => DOOR,
        Way::Outcome(_) | Way::Choice(_) => 0,
    };
    let duties = !(exit.incurs.is_empty() && exit.settles.is_empty());
    kind | touches(CONDITIONS, !exit.establishes.is_empty()) | touches(DUTIES, duties)
}

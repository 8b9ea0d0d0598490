//! Limits as data: what a value may be.
//!
//! Invariant: all values of a bound are of one kind (a tolerance of its
//! difference kind); [`Bound::edges`] is the one place that works out where
//! they lie.

use super::kind::{Kind, System};
use super::unit::Unit;
use super::value::{KindError, Quantity, order};
use std::cmp::Ordering;

/// What a value may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// Up to this.
    AtMost(Quantity),
    /// From this up.
    AtLeast(Quantity),
    /// From low to high, both included.
    Between {
        /// The lowest.
        low: Quantity,
        /// The highest.
        high: Quantity,
    },
    /// Off the target by no more than a tolerance, either way.
    Near {
        /// The value aimed at.
        target: Quantity,
        /// The tolerance, of the difference kind of the target.
        within: Quantity,
    },
}

/// The edges of a bound in SI; a side without one is open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Edges {
    pub(super) kind: Kind,
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
    /// The largest size among the values of the bound: what dust is measured by.
    pub(super) size: f64,
}

impl Bound {
    /// Two things apart by no more than this: judged on their difference,
    /// whichever is the greater.
    ///
    /// `limit` is of the difference kind.
    pub fn apart_at_most(limit: Quantity) -> Bound {
        Bound::Near {
            target: Quantity::zero(limit.kind().difference()),
            within: limit,
        }
    }

    /// The kind of value that can be judged by it.
    pub fn kind(&self) -> Kind {
        match self {
            Bound::AtMost(limit) | Bound::AtLeast(limit) => limit.kind(),
            Bound::Between { low, .. } => low.kind(),
            Bound::Near { target, .. } => target.kind(),
        }
    }

    /// What people read: "at most 2 bar", "190 mm ± 5 mm".
    pub fn sentence(&self, system: System) -> String {
        self.sentence_in(self.kind().shown(system))
    }

    /// The same in a unit of choice.
    pub fn sentence_in(&self, unit: Unit) -> String {
        match self {
            Bound::AtMost(limit) => format!("at most {}", limit.show_plain(unit)),
            Bound::AtLeast(limit) => format!("at least {}", limit.show_plain(unit)),
            Bound::Between { low, high } => {
                format!("from {} to {}", low.show_plain(unit), high.show_plain(unit))
            }
            Bound::Near { target, within } => {
                format!("{} ± {}", target.show_plain(unit), within.show_plain(unit))
            }
        }
    }

    /// Whether its own values are of one kind.
    ///
    /// # Errors
    /// The first that is not, and what is wanted instead.
    pub fn check_kinds(&self) -> Result<(), KindError> {
        self.edges().map(|_| ())
    }

    pub(super) fn edges(&self) -> Result<Edges, KindError> {
        let kind = self.kind();
        let (low, high, size) = match self {
            Bound::AtMost(limit) => (None, Some(limit.si()), limit.si().abs()),
            Bound::AtLeast(limit) => (Some(limit.si()), None, limit.si().abs()),
            Bound::Between { low, high } => {
                let high = high.of_kind(kind)?.si();
                (Some(low.si()), Some(high), low.si().abs().max(high.abs()))
            }
            Bound::Near { target, within } => {
                let within = within.of_kind(kind.difference())?.si();
                let middle = target.si();
                (
                    Some(middle - within),
                    Some(middle + within),
                    middle.abs() + within.abs(),
                )
            }
        };
        Ok(Edges {
            kind,
            low,
            high,
            size,
        })
    }

    /// Whether no value at all can meet it. A bound of mixed kinds is empty.
    pub fn is_empty(&self) -> bool {
        self.room().is_none_or(|room| room == Ordering::Less)
    }

    /// Whether, with this standard uncertainty, some value can be proved to
    /// meet it by the guarded rule: the band must be at least 2 U wide.
    ///
    /// # Errors
    /// `u` must be of the difference kind, and the bound of one kind.
    pub fn provable_with(&self, u: Quantity) -> Result<bool, KindError> {
        let edges = self.edges()?;
        let u = u.of_kind(edges.kind.difference())?.si().abs();
        Ok(match (edges.low, edges.high) {
            (Some(low), Some(high)) => order(high - low, 4.0 * u, edges.size) != Ordering::Less,
            _ => true,
        })
    }

    /// High against low; an open side has room.
    fn room(&self) -> Option<Ordering> {
        let edges = self.edges().ok()?;
        match (edges.low, edges.high) {
            (Some(low), Some(high)) => Some(order(high, low, edges.size)),
            _ => Some(Ordering::Greater),
        }
    }
}

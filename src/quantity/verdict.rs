//! Judging a measured value by a bound.
//!
//! Invariant: the simple rule never says *too close*; the guarded rule says
//! *within* only if the whole of y ± U is inside (P4). Clauses are cited from
//! memory, very sure; the numbers of the rules were read in public copies.

use super::bound::{Bound, Edges};
use super::kind::System;
use super::measured::Measured;
use super::show::places_for;
use super::unit::Unit;
use super::value::{KindError, Quantity, order};
use std::cmp::Ordering;

/// The coverage factor of every expanded uncertainty here: about 95 %.
///
/// # Source
/// JCGM 100:2008 6.3.3.
pub const COVERAGE: f64 = 2.0;

/// How the uncertainty enters the decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// The value against the limit; the uncertainty is shown only.
    ///
    /// # Source
    /// ILAC-G8:09/2019 4.2.1 (simple acceptance, guard band 0).
    Simple,
    /// The whole of y ± U must be inside.
    ///
    /// # Source
    /// ILAC-G8:09/2019 4.2.3 (guard band U, three answers: its two conditional
    /// answers are one here, *too close*).
    Guarded,
}

impl Rule {
    /// The word in sentences and documents.
    pub fn name(self) -> &'static str {
        match self {
            Rule::Simple => "simple",
            Rule::Guarded => "guarded",
        }
    }

    /// The rule that a word names.
    pub fn from_name(name: &str) -> Option<Rule> {
        [Rule::Simple, Rule::Guarded]
            .into_iter()
            .find(|rule| rule.name() == name)
    }
}

/// What came of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Meets the limit.
    Within,
    /// Does not.
    Outside,
    /// The uncertainty reaches over the limit: can't be said.
    TooClose,
}

impl Verdict {
    /// The words people read.
    pub fn name(self) -> &'static str {
        match self {
            Verdict::Within => "within",
            Verdict::Outside => "outside",
            Verdict::TooClose => "too close to call",
        }
    }
}

/// A verdict with all that it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judgement {
    /// What came of it.
    pub verdict: Verdict,
    /// From the value to the nearest limit, + inside; of the difference kind.
    pub margin: Quantity,
    /// The expanded uncertainty U = k u; of the difference kind.
    pub expanded: Quantity,
    /// The coverage factor k.
    pub k: f64,
    /// The rule it was judged by.
    pub rule: Rule,
}

/// Judges a value by a bound.
///
/// A value on the limit is within; float dust (1e-10 of the values compared)
/// never decides.
///
/// # Errors
/// The value must be of the bound's kind, and the bound of one kind.
pub fn judge(measured: &Measured, bound: &Bound, rule: Rule) -> Result<Judgement, KindError> {
    let edges = bound.edges()?;
    let y = measured.value().of_kind(edges.kind)?.si();
    let expanded = measured.expanded();
    let reach = match rule {
        Rule::Simple => 0.0,
        Rule::Guarded => expanded.si(),
    };
    let verdict = if bound.is_empty() {
        Verdict::Outside
    } else {
        decide(y, reach, &edges)
    };
    let margin = Quantity::raw(margin(y, &edges), edges.kind.difference());
    Ok(Judgement {
        verdict,
        margin,
        expanded,
        k: COVERAGE,
        rule,
    })
}

fn decide(y: f64, reach: f64, edges: &Edges) -> Verdict {
    let (from, to) = (y - reach, y + reach);
    let size = edges.size.max(y.abs());
    let under = |value: f64, edge: Option<f64>| {
        edge.is_some_and(|edge| order(value, edge, size) == Ordering::Less)
    };
    let over = |value: f64, edge: Option<f64>| {
        edge.is_some_and(|edge| order(value, edge, size) == Ordering::Greater)
    };
    if !under(from, edges.low) && !over(to, edges.high) {
        Verdict::Within
    } else if under(to, edges.low) || over(from, edges.high) {
        Verdict::Outside
    } else {
        Verdict::TooClose
    }
}

/// Distance to the nearest edge, + inside; dust is no distance.
fn margin(y: f64, edges: &Edges) -> f64 {
    let over_low = edges.low.map_or(f64::INFINITY, |low| y - low);
    let under_high = edges.high.map_or(f64::INFINITY, |high| high - y);
    let margin = over_low.min(under_high);
    match order(margin, 0.0, edges.size.max(y.abs())) {
        Ordering::Equal => 0.0,
        Ordering::Less | Ordering::Greater => margin,
    }
}

impl Judgement {
    /// One sentence without a full stop: `within by 0.12 bar (guarded, U 0.12
    /// bar, k 2)`.
    pub fn sentence(&self, system: System) -> String {
        self.sentence_in(self.margin.kind().shown(system))
    }

    /// The same in a unit of choice.
    pub fn sentence_in(&self, unit: Unit) -> String {
        let places = places_for(self.expanded, unit);
        let by = self.margin.size().show_some(unit, places);
        let basis = format!(
            "({}, U {}, k {})",
            self.rule.name(),
            self.expanded.show_some(unit, places),
            self.k
        );
        let touching = self.margin.si() == 0.0;
        let side = if self.margin.si() < 0.0 {
            "over the limit"
        } else {
            "inside the limit"
        };
        match self.verdict {
            Verdict::TooClose if touching => format!("too close to call: on the limit {basis}"),
            Verdict::TooClose => format!("too close to call: {by} {side} {basis}"),
            Verdict::Within | Verdict::Outside if touching => {
                format!("{}, on the limit {basis}", self.verdict.name())
            }
            Verdict::Within | Verdict::Outside => {
                format!("{} by {by} {basis}", self.verdict.name())
            }
        }
    }
}

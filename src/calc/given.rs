//! What a sum is given, and what it gives, while it works.
//!
//! Invariant: [`Inputs`] is made only after kinds, counts and ranges were looked
//! at, so a formula takes its inputs without asking. A place that is not there
//! reads as no number and can never become a result.

use uom::si::f64::Time;

use super::amount::Amount;
use crate::quantity::Measured;

/// One value that goes into a sum.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// The value and its uncertainty.
    pub measured: Measured,
    /// What it was read with; points with the same one share its error.
    pub instrument: Option<String>,
    /// When it was read, in seconds from any one instant.
    pub second: Option<f64>,
}

impl Point {
    /// A value that no known instrument read.
    pub const fn plain(measured: Measured) -> Self {
        Self {
            measured,
            instrument: None,
            second: None,
        }
    }
}

/// One input as it is used.
#[derive(Debug, Clone, PartialEq)]
pub enum Given {
    /// One value, several, or all points of a watch.
    Points(Vec<Point>),
    /// A word.
    Word(String),
}

/// Where the numbers of one input lie.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Slot {
    pub(super) start: usize,
    pub(super) len: usize,
    pub(super) word: Option<&'static str>,
}

/// The inputs of a sum as its formula takes them.
#[derive(Debug, Clone, Copy)]
pub struct Inputs<'a> {
    pub(super) slots: &'a [Slot],
    pub(super) numbers: &'a [f64],
    pub(super) seconds: &'a [f64],
}

impl<'a> Inputs<'a> {
    fn slice(&self, at: usize) -> &'a [f64] {
        self.part(at, self.numbers)
    }

    fn part(&self, at: usize, of: &'a [f64]) -> &'a [f64] {
        let slot = self.slots.get(at).copied().unwrap_or_default();
        of.get(slot.start..slot.start + slot.len)
            .unwrap_or_default()
    }

    /// The value of an input.
    pub fn get<A: Amount>(&self, at: usize) -> A {
        A::of_si(self.slice(at).first().copied().unwrap_or(f64::NAN))
    }

    /// The value of an input that may have been left out.
    pub fn maybe<A: Amount>(&self, at: usize) -> Option<A> {
        self.slice(at).first().copied().map(A::of_si)
    }

    /// All values of an input.
    pub fn all<A: Amount>(&self, at: usize) -> impl ExactSizeIterator<Item = A> + use<'a, A> {
        self.slice(at).iter().copied().map(A::of_si)
    }

    /// When the points of an input were read.
    pub fn instants(&self, at: usize) -> impl ExactSizeIterator<Item = Time> + use<'a> {
        self.part(at, self.seconds).iter().copied().map(Time::of_si)
    }

    /// How many values an input has.
    pub fn count(&self, at: usize) -> usize {
        self.slots.get(at).map_or(0, |slot| slot.len)
    }

    /// The word of an input; empty where there is none.
    pub fn word(&self, at: usize) -> &'static str {
        self.slots.get(at).and_then(|slot| slot.word).unwrap_or("")
    }
}

/// The results of a sum as its formula gives them.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    pub(super) numbers: Vec<Option<f64>>,
    pub(super) texts: Vec<Option<&'static str>>,
}

impl Outcome {
    pub(super) fn clear(&mut self, outputs: usize) {
        self.numbers.clear();
        self.numbers.resize(outputs, None);
        self.texts.clear();
        self.texts.resize(outputs, None);
    }

    /// Gives a result.
    pub fn set<A: Amount>(&mut self, at: usize, amount: A) {
        if let Some(place) = self.numbers.get_mut(at) {
            *place = Some(amount.si());
        }
    }

    /// Gives a text; it must be one of those that the result declares.
    pub fn say(&mut self, at: usize, text: &'static str) {
        if let Some(place) = self.texts.get_mut(at) {
            *place = Some(text);
        }
    }
}

//! A sum with its inputs: looked at, worked out, its uncertainty carried through.
//!
//! Uncertainty is carried to first order, from differences over one standard
//! uncertainty. What an instrument repeats in every reading is one error: all inputs
//! read with it are moved together. What is new in each reading moves that reading
//! alone. The changes are added as squares.
//!
//! Where a result has a corner or a turning point within the uncertainty (a size at
//! nothing, the edge of a table), the change to the one side says nothing of the other:
//! there the larger of the two counts, so that nothing looks surer than it is.
//!
//! # Source
//! JCGM 100:2008 5.1.2 (independent inputs), 5.1.3 note 2 (sensitivities from
//! differences), 5.2.2 with F.1.2.3 (inputs read with one instrument).

use super::error::CalcError;
use super::given::{Given, Inputs, Outcome, Point, Slot};
use super::sum::{Gives, Input, Shape, Sum, Takes};
use crate::quantity::{Kind, Measured, Quantity};

/// How much of a result's uncertainty one input brings, or one instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Which input of the sum; the first of several that were moved together.
    pub input: usize,
    /// Which of its values, from 0.
    pub nth: usize,
    /// How many values were moved together.
    pub count: usize,
    /// How much the result changes for a change of the input, both in SI; `None` where
    /// several were moved together.
    pub sensitivity: Option<f64>,
    /// What it brings to the standard uncertainty, SI, with its sign.
    pub part: f64,
}

/// One result.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// A value with its uncertainty and where that comes from.
    Value {
        /// The value.
        measured: Measured,
        /// What each uncertain input brings.
        shares: Vec<Share>,
    },
    /// A text.
    Text(&'static str),
}

/// What a sum gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaluation {
    /// Its results, in the order of the sum's outputs; `None`: there is no such
    /// result with these inputs.
    pub results: Vec<Option<Found>>,
}

impl Evaluation {
    /// The value of a result.
    pub fn value(&self, output: usize) -> Option<Measured> {
        match self.results.get(output)? {
            Some(Found::Value { measured, .. }) => Some(*measured),
            Some(Found::Text(_)) | None => None,
        }
    }

    /// The text of a result.
    pub fn text(&self, output: usize) -> Option<&'static str> {
        match self.results.get(output)? {
            Some(Found::Text(text)) => Some(text),
            Some(Found::Value { .. }) | None => None,
        }
    }
}

/// Where one number came from and how sure it is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Origin {
    pub(super) input: usize,
    pub(super) nth: usize,
    pub(super) repeated: f64,
    pub(super) fresh: f64,
    /// Numbers of one group share what their instrument repeats.
    pub(super) group: usize,
}

/// A sum whose inputs were looked at, to be worked out more than once.
#[derive(Debug, Clone)]
pub struct Ready {
    pub(super) sum: &'static Sum,
    slots: Vec<Slot>,
    pub(super) numbers: Vec<f64>,
    seconds: Vec<f64>,
    pub(super) origins: Vec<Origin>,
    pub(super) groups: usize,
    kinds: Vec<Option<Kind>>,
}

impl Sum {
    /// Looks at the inputs and makes the sum ready.
    ///
    /// # Errors
    /// An input that is missing, of another kind or out of its range.
    pub fn ready(&'static self, given: &[Option<Given>]) -> Result<Ready, CalcError> {
        Ready::new(self, given)
    }

    /// Works the sum out, every result with its uncertainty.
    ///
    /// # Errors
    /// An input that is missing, of another kind, out of its range, or that the
    /// formula refuses.
    pub fn evaluate(&'static self, given: &[Option<Given>]) -> Result<Evaluation, CalcError> {
        let prepared = Ready::new(self, given)?;
        let outcome = prepared.run(&prepared.numbers)?;
        let mut results = prepared.found(&outcome)?;
        prepared.spread(&mut results)?;
        Ok(Evaluation { results })
    }

    /// The results alone, without carrying uncertainty through: for a picture, which
    /// is drawn again with every key.
    ///
    /// # Errors
    /// An input that is missing, of another kind, out of its range, or that the
    /// formula refuses.
    pub fn bare(&'static self, given: &[Option<Given>]) -> Result<Evaluation, CalcError> {
        let prepared = Ready::new(self, given)?;
        let outcome = prepared.run(&prepared.numbers)?;
        let results = prepared.found(&outcome)?;
        Ok(Evaluation { results })
    }
}

impl Ready {
    pub(super) fn new(sum: &'static Sum, given: &[Option<Given>]) -> Result<Self, CalcError> {
        if given.len() > sum.inputs.len() {
            return Err(CalcError::Inputs {
                sum: sum.name,
                wanted: sum.inputs.len(),
                found: given.len(),
            });
        }
        let mut it = Self {
            sum,
            slots: Vec::with_capacity(sum.inputs.len()),
            numbers: Vec::new(),
            seconds: Vec::new(),
            origins: Vec::new(),
            groups: 0,
            kinds: Vec::new(),
        };
        let mut names: Vec<String> = Vec::new();
        for (at, input) in sum.inputs.iter().enumerate() {
            match given.get(at).and_then(Option::as_ref) {
                Some(Given::Word(word)) => it.word(input, word)?,
                Some(Given::Points(points)) => it.points(at, input, points, &mut names)?,
                None if input.count().0 == 0 => it.nothing(),
                None => return Err(missing(sum, input)),
            }
        }
        it.groups = names.len();
        Ok(it)
    }

    fn nothing(&mut self) {
        self.slots.push(Slot {
            start: self.numbers.len(),
            len: 0,
            word: None,
        });
        self.kinds.push(None);
    }

    fn word(&mut self, input: &Input, word: &str) -> Result<(), CalcError> {
        let known = match input.takes {
            Takes::Word(words) => words.iter().copied().find(|w| *w == word),
            Takes::Is(_) | Takes::AnyOf(_) | Takes::Like(_) => None,
        };
        let Some(known) = known else {
            return Err(self.foreign(input, format!("the word {word}")));
        };
        self.nothing();
        if let Some(slot) = self.slots.last_mut() {
            slot.word = Some(known);
        }
        Ok(())
    }

    fn points(
        &mut self,
        at: usize,
        input: &Input,
        points: &[Point],
        names: &mut Vec<String>,
    ) -> Result<(), CalcError> {
        let (least, most) = input.count();
        if points.is_empty() && least > 0 {
            return Err(missing(self.sum, input));
        }
        if points.len() < least || points.len() > most {
            return Err(CalcError::Points {
                sum: self.sum.name,
                input: input.key,
                wanted: least,
                most,
                found: points.len(),
            });
        }
        let kind = match points.first() {
            Some(point) => Some(self.kind(input, point.measured.kind())?),
            None => None,
        };
        self.slots.push(Slot {
            start: self.numbers.len(),
            len: points.len(),
            word: None,
        });
        self.kinds.push(kind);
        for (nth, point) in points.iter().enumerate() {
            self.point(input, point, kind)?;
            let name = group_name(at, input, nth, point);
            let group = names.iter().position(|n| *n == name).unwrap_or_else(|| {
                names.push(name);
                names.len() - 1
            });
            self.origins.push(Origin {
                input: at,
                nth,
                repeated: point.measured.u_repeated().si(),
                fresh: point.measured.u_fresh().si(),
                group,
            });
        }
        Ok(())
    }

    fn point(&mut self, input: &Input, point: &Point, kind: Option<Kind>) -> Result<(), CalcError> {
        let found = point.measured.value();
        if Some(found.kind()) != kind {
            return Err(self.foreign(input, found.kind().with_article()));
        }
        let si = found.si();
        let short = input.least.is_some_and(|least| si < least);
        if short || input.most.is_some_and(|most| si > most) {
            let (least, most) = input.bounds(found.kind());
            return Err(CalcError::Range {
                sum: self.sum.name,
                input: input.key,
                found,
                least,
                most,
                why: input.why,
            });
        }
        let second = match (input.shape, point.second) {
            (_, Some(second)) => second,
            (Shape::Series { .. }, None) => {
                return Err(CalcError::Instants {
                    sum: self.sum.name,
                    input: input.key,
                });
            }
            (Shape::One | Shape::Optional | Shape::Several { .. }, None) => f64::NAN,
        };
        self.numbers.push(si);
        self.seconds.push(second);
        Ok(())
    }

    fn kind(&self, input: &Input, found: Kind) -> Result<Kind, CalcError> {
        let fits = match input.takes {
            Takes::Is(kind) => kind == found,
            Takes::AnyOf(kinds) => kinds.is_empty() || kinds.contains(&found),
            Takes::Like(first) => self.kinds.get(first).copied().flatten() == Some(found),
            Takes::Word(_) => false,
        };
        if fits {
            Ok(found)
        } else {
            Err(self.foreign(input, found.with_article()))
        }
    }

    fn foreign(&self, input: &Input, found: String) -> CalcError {
        CalcError::Kind {
            sum: self.sum.name,
            input: input.key,
            found,
            wanted: input.accepted(),
        }
    }

    /// Works the sum out without uncertainty, into results that are used again.
    /// False when the formula refuses.
    pub fn again(&self, outcome: &mut Outcome) -> bool {
        self.run_into(&self.numbers, outcome).is_ok()
    }

    /// The formula with these numbers.
    pub(super) fn run(&self, numbers: &[f64]) -> Result<Outcome, CalcError> {
        let mut outcome = Outcome::default();
        self.run_into(numbers, &mut outcome)
            .map(|()| outcome)
            .map_err(|input_why| self.refused(&input_why))
    }

    /// The formula with these numbers, into results that are used again.
    pub(super) fn run_into(
        &self,
        numbers: &[f64],
        outcome: &mut Outcome,
    ) -> Result<(), super::Snag> {
        outcome.clear(self.sum.outputs.len());
        let inputs = Inputs {
            slots: &self.slots,
            numbers,
            seconds: &self.seconds,
        };
        (self.sum.work)(&inputs, outcome)
    }

    fn refused(&self, snag: &super::Snag) -> CalcError {
        let at = self.sum.input(snag.input);
        let slot = at.and_then(|at| self.slots.get(at).copied());
        let kind = at.and_then(|at| self.kinds.get(at).copied().flatten());
        let found = match (slot, kind) {
            (Some(slot), Some(kind)) => self
                .numbers
                .get(slot.start..slot.start + slot.len)
                .unwrap_or_default()
                .iter()
                .filter_map(|si| Quantity::from_si(*si, kind).ok())
                .map(|q| q.show_plain(kind.shown(crate::quantity::System::Metric)))
                .collect::<Vec<_>>()
                .join(", "),
            (Some(slot), None) => slot.word.unwrap_or_default().to_owned(),
            (None, _) => "what was given".to_owned(),
        };
        if found.is_empty() {
            return CalcError::Missing {
                sum: self.sum.name,
                input: snag.input,
                wanted: snag.why.to_owned(),
            };
        }
        CalcError::Refused {
            sum: self.sum.name,
            input: snag.input,
            found,
            why: snag.why,
        }
    }

    /// The kind of a result.
    pub(super) fn result_kind(&self, output: usize) -> Option<Kind> {
        self.sum.result_kind(output, &self.kinds)
    }

    fn found(&self, outcome: &Outcome) -> Result<Vec<Option<Found>>, CalcError> {
        let mut results = Vec::with_capacity(self.sum.outputs.len());
        for (at, output) in self.sum.outputs.iter().enumerate() {
            let nothing = || CalcError::NoNumber {
                sum: self.sum.name,
                output: output.key,
            };
            let found = if matches!(output.gives, Gives::Word(_)) {
                outcome.texts.get(at).copied().flatten().map(Found::Text)
            } else {
                let kind = self.result_kind(at).ok_or_else(nothing)?;
                match outcome.numbers.get(at).copied().flatten() {
                    Some(si) => {
                        let value = Quantity::from_si(si, kind).map_err(|_no| nothing())?;
                        Some(Found::Value {
                            measured: Measured::exact(value),
                            shares: Vec::new(),
                        })
                    }
                    None => None,
                }
            };
            if found.is_none() && !output.optional {
                return Err(nothing());
            }
            results.push(found);
        }
        Ok(results)
    }

    /// Carries the uncertainty of the inputs into the results.
    fn spread(&self, results: &mut [Option<Found>]) -> Result<(), CalcError> {
        let mut sums: Vec<Spread> = results.iter().map(|_| Spread::default()).collect();
        for group in 0..self.groups {
            self.carry(Move::Together(group), results, &mut sums)?;
        }
        for place in 0..self.origins.len() {
            self.carry(Move::Alone(place), results, &mut sums)?;
        }
        for (at, (found, sum)) in results.iter_mut().zip(&sums).enumerate() {
            if let Some(Found::Value { measured, .. }) = found {
                *measured = self.with(at, measured.value(), sum)?;
            }
        }
        Ok(())
    }

    /// Moves one input, or all that one instrument read, down and up by a standard
    /// uncertainty, and keeps what the results do.
    fn carry(
        &self,
        step: Move,
        results: &mut [Option<Found>],
        sums: &mut [Spread],
    ) -> Result<(), CalcError> {
        let Some((origin, count)) = self.moved(step) else {
            return Ok(());
        };
        let below = self.nudged(step, -1.0);
        let above = self.nudged(step, 1.0);
        for (at, (found, sum)) in results.iter_mut().zip(sums).enumerate() {
            let Some(Found::Value { measured, shares }) = found else {
                continue;
            };
            let side = |outcome: &Option<Outcome>| {
                let number = outcome.as_ref()?.numbers.get(at).copied().flatten();
                number.filter(|n| n.is_finite())
            };
            let here = measured.value().si();
            let part = match (side(&below), side(&above)) {
                (Some(l), Some(h)) => over_both(here - l, h - here),
                (Some(l), None) => here - l,
                (None, Some(h)) => h - here,
                (None, None) => return Err(self.edge(&origin)),
            };
            sum.add(step, part);
            let moved = match step {
                Move::Alone(_) => origin.fresh,
                Move::Together(_) => origin.repeated,
            };
            let sensitivity = (count == 1).then_some(part / moved);
            tell(shares, &origin, (count, sensitivity), part);
        }
        Ok(())
    }

    /// The first input that a move is of, and how many are moved; `None` if nothing is.
    fn moved(&self, step: Move) -> Option<(Origin, usize)> {
        match step {
            Move::Alone(place) => {
                let origin = self.origins.get(place)?;
                (origin.fresh > 0.0).then_some((*origin, 1))
            }
            Move::Together(group) => {
                let is_in = |o: &&Origin| o.group == group && o.repeated > 0.0;
                let mut members = self.origins.iter().filter(is_in);
                let first = members.next()?;
                Some((*first, 1 + members.count()))
            }
        }
    }

    /// The results with a move made, in standard uncertainties; `None` where the formula
    /// refuses.
    fn nudged(&self, step: Move, by: f64) -> Option<Outcome> {
        let mut numbers = self.numbers.clone();
        for (place, (number, origin)) in numbers.iter_mut().zip(&self.origins).enumerate() {
            *number += match step {
                Move::Alone(at) if at == place => by * origin.fresh,
                Move::Together(group) if group == origin.group => by * origin.repeated,
                Move::Alone(_) | Move::Together(_) => 0.0,
            };
        }
        let mut outcome = Outcome::default();
        self.run_into(&numbers, &mut outcome).ok().map(|()| outcome)
    }

    fn edge(&self, origin: &Origin) -> CalcError {
        CalcError::Edge {
            sum: self.sum.name,
            input: self.sum.inputs.get(origin.input).map_or("", |i| i.key),
        }
    }

    fn with(&self, at: usize, value: Quantity, sum: &Spread) -> Result<Measured, CalcError> {
        let nothing = || CalcError::NoNumber {
            sum: self.sum.name,
            output: self.sum.outputs.get(at).map_or("", |o| o.key),
        };
        let kind = value.kind().difference();
        let repeated = Quantity::from_si(sum.repeated.sqrt(), kind).map_err(|_no| nothing())?;
        let fresh = Quantity::from_si(sum.fresh.sqrt(), kind).map_err(|_no| nothing())?;
        Measured::of_parts(value, repeated, fresh).map_err(|_no| nothing())
    }
}

/// What is moved.
#[derive(Debug, Clone, Copy)]
enum Move {
    /// All inputs of a group, by what their instrument repeats.
    Together(usize),
    /// One input, by what is new in each reading.
    Alone(usize),
}

/// The change over a standard uncertainty, from the change below and the one above:
/// their mean, or the larger where they have nothing to do with each other.
fn over_both(below: f64, above: f64) -> f64 {
    let (small, large) = if below.abs() < above.abs() {
        (below, above)
    } else {
        (above, below)
    };
    if small * large < 0.0 || large.abs() > 2.0 * small.abs() {
        large
    } else {
        f64::midpoint(below, above)
    }
}

/// Keeps what a move brought; what an instrument repeats and what is new in one reading
/// are told as one.
fn tell(
    shares: &mut Vec<Share>,
    origin: &Origin,
    (count, sensitivity): (usize, Option<f64>),
    part: f64,
) {
    let before = shares
        .iter_mut()
        .find(|s| (s.input, s.nth) == (origin.input, origin.nth) && s.count == 1 && count == 1);
    match before {
        Some(share) => share.part = share.part.hypot(part),
        None => shares.push(Share {
            input: origin.input,
            nth: origin.nth,
            count,
            sensitivity,
            part,
        }),
    }
}

/// The uncertainty of one result as it is gathered, in squares.
#[derive(Debug, Default)]
struct Spread {
    repeated: f64,
    fresh: f64,
}

impl Spread {
    fn add(&mut self, step: Move, part: f64) {
        match step {
            Move::Together(_) => self.repeated += part * part,
            Move::Alone(_) => self.fresh += part * part,
        }
    }
}

/// Points of one group were read with one instrument.
fn group_name(at: usize, input: &Input, nth: usize, point: &Point) -> String {
    match (input.shared, &point.instrument, input.is_series()) {
        (Some(mark), _, _) => format!("mark {mark}"),
        (None, Some(instrument), _) => format!("with {instrument}"),
        (None, None, true) => format!("input {at}"),
        (None, None, false) => format!("input {at} {nth}"),
    }
}

fn missing(sum: &Sum, input: &Input) -> CalcError {
    CalcError::Missing {
        sum: sum.name,
        input: input.key,
        wanted: input.accepted(),
    }
}

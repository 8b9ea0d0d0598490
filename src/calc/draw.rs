//! Monte Carlo: a sum with its inputs drawn at random, many times.
//!
//! Each instrument's repeated error is drawn once a trial and shared by all that
//! was read with it; what is new in each reading is drawn for each. Both are drawn
//! evenly between their limits, since a class limit and a resolution are such. The
//! same seed gives the same draws.
//!
//! # Source
//! JCGM 101:2008 6.4.2 (rectangular), 7.2 to 7.7 (trials, estimate, coverage interval
//! of equal tails).

use super::error::CalcError;
use super::evaluate::Ready;
use super::given::{Given, Outcome};
use super::sum::{Gives, Sum};
use crate::quantity::Quantity;

/// Half-width of an even distribution in standard deviations.
const HALF_WIDTH: f64 = 1.732_050_807_568_877_2;

/// Fewest trials that say anything of a 95 % interval.
pub const FEWEST_DRAWS: usize = 100;

/// Most trials that are kept.
pub const MOST_DRAWS: usize = 10_000_000;

/// What the trials gave for one result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// Which result.
    pub output: usize,
    /// The mean of the trials.
    pub mean: Quantity,
    /// Their standard deviation.
    pub deviation: Quantity,
    /// 95 % of the trials lie from here …
    pub low: Quantity,
    /// … to here, as many below as above.
    pub high: Quantity,
}

/// What the trials gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Trials {
    /// How many were made.
    pub made: usize,
    /// How many the formula refused; they are left out.
    pub refused: usize,
    /// The results that are values.
    pub results: Vec<Drawn>,
}

impl Sum {
    /// Draws the inputs at random so many times and works the sum out for each.
    ///
    /// # Errors
    /// As [`Sum::evaluate`]; and when the formula refuses more than half of the trials.
    pub fn draw(
        &'static self,
        given: &[Option<Given>],
        draws: usize,
        seed: u64,
    ) -> Result<Trials, CalcError> {
        let prepared = Ready::new(self, given)?;
        let middle = prepared.run(&prepared.numbers)?;
        let draws = draws.clamp(FEWEST_DRAWS, MOST_DRAWS);
        let mut random = fastrand::Rng::with_seed(seed);
        let mut numbers = prepared.numbers.clone();
        let mut shared = vec![0.0; prepared.groups];
        let mut outcome = Outcome::default();
        let mut kept: Vec<Vec<f64>> = self.outputs.iter().map(|_| Vec::new()).collect();
        let mut refused = 0_usize;
        for _ in 0..draws {
            prepared.shake(&mut random, &mut shared, &mut numbers);
            if prepared.run_into(&numbers, &mut outcome).is_err() {
                refused += 1;
                continue;
            }
            for (kept, number) in kept.iter_mut().zip(&outcome.numbers) {
                kept.extend(number.filter(|n| n.is_finite()));
            }
        }
        if refused * 2 > draws {
            let input = prepared.origins.iter().find(|o| o.fresh + o.repeated > 0.0);
            return Err(CalcError::Edge {
                sum: self.name,
                input: input
                    .and_then(|o| self.inputs.get(o.input))
                    .map_or("", |i| i.key),
            });
        }
        let mut results = Vec::new();
        for (at, mut values) in kept.into_iter().enumerate() {
            let there = middle.numbers.get(at).copied().flatten().is_some();
            if there && !values.is_empty() {
                results.extend(prepared.drawn(at, &mut values));
            }
        }
        Ok(Trials {
            made: draws,
            refused,
            results,
        })
    }
}

impl Ready {
    /// Draws all inputs anew.
    fn shake(&self, random: &mut fastrand::Rng, shared: &mut [f64], numbers: &mut [f64]) {
        for error in shared.iter_mut() {
            *error = even(random);
        }
        let middle = self.numbers.iter().zip(&self.origins);
        for (number, (middle, origin)) in numbers.iter_mut().zip(middle) {
            let common = shared.get(origin.group).copied().unwrap_or(0.0);
            let mut drawn = middle + common * origin.repeated;
            if origin.fresh != 0.0 {
                drawn += even(random) * origin.fresh;
            }
            *number = drawn;
        }
    }

    fn drawn(&self, at: usize, values: &mut [f64]) -> Option<Drawn> {
        if matches!(self.sum.outputs.get(at)?.gives, Gives::Word(_)) {
            return None;
        }
        let kind = self.result_kind(at)?;
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
        let deviation = (squares / (count - 1.0).max(1.0)).sqrt();
        values.sort_unstable_by(f64::total_cmp);
        let tail = (values.len() as f64 * 0.025) as usize;
        let low = values.get(tail).copied()?;
        let high = values.get(values.len() - 1 - tail).copied()?;
        let value = |si| Quantity::from_si(si, kind).ok();
        Some(Drawn {
            output: at,
            mean: value(mean)?,
            deviation: Quantity::from_si(deviation, kind.difference()).ok()?,
            low: value(low)?,
            high: value(high)?,
        })
    }
}

/// Drawn evenly, with the mean 0 and the standard deviation 1.
fn even(random: &mut fastrand::Rng) -> f64 {
    (random.f64() * 2.0 - 1.0) * HALF_WIDTH
}

//! Which input brings most of a result's uncertainty.
//!
//! A share is in percent only where the inputs' parts add up as squares. Where
//! errors of one instrument count together or cancel, the largest single part is
//! named without a figure: a figure would say more than is known.

use crate::calc::{Found, Share};

use super::{Answer, Calculation};

/// How far squares may be off the whole and still count as adding up.
const ADDS_UP: f64 = 0.01;

/// Where most of a result's uncertainty comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// All of it comes from this input.
    All(usize),
    /// So many percent come from this input, and less from any other.
    Percent(usize, u8),
    /// Several inputs bring the same, and no other brings more.
    Alike,
    /// This input's own part is the largest; errors of one instrument count together.
    Alone(usize),
}

impl Calculation {
    /// Where most of a result's uncertainty comes from; `None` where it has none.
    pub fn weight(&self, output: usize) -> Option<Weight> {
        let Answer::Found(found) = self.answer() else {
            return None;
        };
        match found.results.get(output)? {
            Some(Found::Value { measured, shares }) => {
                weigh(shares, measured.u().si(), self.sum.inputs.len())
            }
            Some(Found::Text(_)) | None => None,
        }
    }
}

fn weigh(shares: &[Share], u: f64, inputs: usize) -> Option<Weight> {
    let mut parts = vec![0.0; inputs];
    for share in shares {
        if let Some(part) = parts.get_mut(share.input) {
            *part += share.part * share.part;
        }
    }
    let all: f64 = parts.iter().sum();
    if all <= 0.0 || u <= 0.0 {
        return None;
    }
    let by_size = |a: &(usize, &f64), b: &(usize, &f64)| a.1.total_cmp(b.1);
    let (most, part) = parts.iter().enumerate().max_by(by_size)?;
    let share = part / all;
    if parts.iter().filter(|p| **p > 0.0).count() == 1 {
        return Some(Weight::All(most));
    }
    let alike = |p: &f64| (p - part).abs() <= 1e-6 * part;
    if parts.iter().filter(|p| alike(p)).count() > 1 {
        return Some(Weight::Alike);
    }
    if (all / (u * u) - 1.0).abs() > ADDS_UP {
        return Some(Weight::Alone(most));
    }
    Some(Weight::Percent(
        most,
        (share * 100.0).round().min(99.0) as u8,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(input: usize, part: f64) -> Share {
        Share {
            input,
            nth: 0,
            sensitivity: 1.0,
            part,
        }
    }

    #[test]
    fn names_the_input_that_brings_most_and_how_much() {
        // 3² of 3² + 4² is 36 %, 4² is 64 %.
        let shares = [share(0, 3.0), share(1, -4.0)];
        assert_eq!(weigh(&shares, 5.0, 2), Some(Weight::Percent(1, 64)));
    }

    #[test]
    fn values_of_one_input_count_together() {
        let shares = [share(0, 3.0), share(0, 3.0), share(1, 4.0)];
        let u = f64::sqrt(34.0);
        assert_eq!(weigh(&shares, u, 2), Some(Weight::Percent(0, 53)));
    }

    #[test]
    fn gives_no_figure_where_errors_of_one_instrument_cancel() {
        let shares = [share(0, 3.0), share(1, -4.0)];
        assert_eq!(weigh(&shares, 1.0, 2), Some(Weight::Alone(1)));
    }

    #[test]
    fn says_so_where_only_one_is_uncertain_or_all_bring_the_same() {
        assert_eq!(weigh(&[share(1, 2.0)], 2.0, 2), Some(Weight::All(1)));
        let same = [share(0, 2.0), share(1, -2.0)];
        assert_eq!(weigh(&same, f64::sqrt(8.0), 2), Some(Weight::Alike));
        assert_eq!(weigh(&[], 0.0, 2), None);
    }
}

//! Which input brings most of a result's uncertainty.
//!
//! Shares add up as squares: what one instrument repeats in several values is one
//! share, since it is one error.

use crate::calc::{Found, Share};

use super::{Answer, Calculation};

/// Where most of a result's uncertainty comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// All of it comes from this input.
    All(usize),
    /// So many percent come from this input, and less from any other.
    Percent(usize, u8),
    /// Several inputs bring the same, and no other brings more.
    Alike,
    /// So many percent are one instrument's own error, in this input and others.
    Instrument(usize, u8),
}

impl Calculation {
    /// Where most of a result's uncertainty comes from; `None` where it has none.
    pub fn weight(&self, output: usize) -> Option<Weight> {
        let Answer::Found(found) = self.answer() else {
            return None;
        };
        match found.results.get(output)? {
            Some(Found::Value { measured, shares }) => weigh(shares, measured.u().si()),
            Some(Found::Text(_)) | None => None,
        }
    }
}

fn weigh(shares: &[Share], u: f64) -> Option<Weight> {
    // Values of one input count together, and one instrument's error apart from them.
    let mut parts: Vec<(usize, bool, f64)> = Vec::new();
    for share in shares {
        let key = (share.input, share.count > 1);
        let square = share.part * share.part;
        match parts.iter_mut().find(|p| (p.0, p.1) == key) {
            Some(part) => part.2 += square,
            None => parts.push((key.0, key.1, square)),
        }
    }
    parts.retain(|part| part.2 > 0.0);
    let all: f64 = parts.iter().map(|part| part.2).sum();
    if all <= 0.0 || u <= 0.0 {
        return None;
    }
    let (input, together, most) = *parts.iter().max_by(|a, b| a.2.total_cmp(&b.2))?;
    let percent = ((most / all) * 100.0).round().min(100.0) as u8;
    if together {
        return Some(Weight::Instrument(input, percent));
    }
    if parts.len() == 1 {
        return Some(Weight::All(input));
    }
    let alike = |part: &&(usize, bool, f64)| (part.2 - most).abs() <= 1e-6 * most;
    if parts.iter().filter(alike).count() > 1 {
        return Some(Weight::Alike);
    }
    Some(Weight::Percent(input, percent.min(99)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(input: usize, part: f64) -> Share {
        Share {
            input,
            nth: 0,
            count: 1,
            sensitivity: None,
            part,
        }
    }

    #[test]
    fn names_the_input_that_brings_most_and_how_much() {
        // 3² of 3² + 4² is 36 %, 4² is 64 %.
        let shares = [share(0, 3.0), share(1, -4.0)];
        assert_eq!(weigh(&shares, 5.0), Some(Weight::Percent(1, 64)));
    }

    #[test]
    fn values_of_one_input_count_together() {
        let shares = [share(0, 3.0), share(0, 3.0), share(1, 4.0)];
        let u = f64::sqrt(34.0);
        assert_eq!(weigh(&shares, u), Some(Weight::Percent(0, 53)));
    }

    #[test]
    fn one_instruments_error_in_several_values_is_one_share() {
        let both = Share {
            count: 2,
            ..share(0, 4.0)
        };
        let shares = [both, share(1, 3.0)];
        assert_eq!(weigh(&shares, 5.0), Some(Weight::Instrument(0, 64)));
    }

    #[test]
    fn says_so_where_only_one_is_uncertain_or_all_bring_the_same() {
        assert_eq!(weigh(&[share(1, 2.0)], 2.0), Some(Weight::All(1)));
        let same = [share(0, 2.0), share(1, -2.0)];
        assert_eq!(weigh(&same, f64::sqrt(8.0)), Some(Weight::Alike));
        assert_eq!(weigh(&[], 0.0), None);
    }
}

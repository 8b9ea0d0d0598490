//! The statistics of intervals.
//!
//! Must not know: which key they belong to.

use std::time::Duration;

/// The median of the intervals; of an even number, the mean of the middle two.
pub(super) fn median(intervals: &[Duration]) -> Option<Duration> {
    let mut sorted = intervals.to_vec();
    sorted.sort_unstable();
    let upper = *sorted.get(sorted.len() / 2)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = *sorted.get(sorted.len() / 2 - 1)?;
    Some((lower + upper) / 2)
}

/// How uneven intervals are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spread {
    /// 1.4826 · (median absolute deviation) / median. The factor makes it the
    /// standard deviation for a normal distribution.
    pub(super) mad: f64,
    /// Standard deviation of the intervals (divisor n) / mean.
    pub(super) sd: f64,
}

/// The spread of the intervals; none where there are none, or all are zero.
pub(super) fn spread(intervals: &[Duration]) -> Option<Spread> {
    let middle = median(intervals)?;
    let away: Vec<Duration> = intervals.iter().map(|i| i.abs_diff(middle)).collect();
    let count = intervals.len() as f64;
    let mean = intervals.iter().map(Duration::as_secs_f64).sum::<f64>() / count;
    let variance = intervals
        .iter()
        .map(|i| (i.as_secs_f64() - mean).powi(2))
        .sum::<f64>()
        / count;
    if middle.is_zero() || mean <= 0.0 {
        return None;
    }
    Some(Spread {
        mad: 1.4826 * median(&away)?.as_secs_f64() / middle.as_secs_f64(),
        sd: variance.sqrt() / mean,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(ms: &[u64]) -> Vec<Duration> {
        ms.iter().map(|&n| Duration::from_millis(n)).collect()
    }

    #[test]
    fn takes_the_middle_or_the_mean_of_the_middle_two() {
        assert_eq!(median(&[]), None);
        assert_eq!(median(&all(&[30, 10, 20])), Some(Duration::from_millis(20)));
        assert_eq!(
            median(&all(&[40, 10, 20, 30])),
            Some(Duration::from_millis(25))
        );
    }

    #[test]
    fn measures_the_spread_of_a_small_set_worked_by_hand() {
        // 2 4 4 4 5 5 7 9: mean 5, standard deviation 2, median 4.5;
        // distances 2.5 .5 .5 .5 .5 .5 2.5 4.5, their median 0.5.
        let it = spread(&all(&[2, 4, 4, 4, 5, 5, 7, 9])).unwrap();
        assert!((it.sd - 0.4).abs() < 1e-9);
        assert!((it.mad - 1.4826 * 0.5 / 4.5).abs() < 1e-9);
        assert_eq!(spread(&all(&[0, 0])), None);
    }
}

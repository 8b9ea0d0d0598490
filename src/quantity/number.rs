//! The number at the head of a typed value: decimals, or fractions of a rule.
//!
//! Invariant: a comma is a decimal comma, or the number is refused; nothing is
//! ever taken as parting thousands.

use super::misread::Problem;

/// Most digits that are read: more than any instrument has, and few enough
/// that a value shows as it was typed.
const MOST_DIGITS: usize = 11;

/// Parts that a rule is divided into.
const DENOMINATORS: [u32; 6] = [2, 4, 8, 16, 32, 64];

/// A number without sign, and how it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Number {
    /// Plain digits.
    Decimal {
        value: f64,
        /// Digits after the mark.
        decimals: u8,
    },
    /// A fraction, with or without a whole number before it.
    Fraction {
        whole: Option<u32>,
        top: u32,
        bottom: u32,
    },
}

impl Number {
    pub(super) fn value(self) -> f64 {
        match self {
            Number::Decimal { value, .. } => value,
            Number::Fraction { whole, top, bottom } => {
                f64::from(whole.unwrap_or(0)) + f64::from(top) / f64::from(bottom)
            }
        }
    }

    /// Decimals as typed; of a fraction, as many as write it exactly.
    pub(super) fn decimals(self) -> u8 {
        match self {
            Number::Decimal { decimals, .. } => decimals,
            // 1/2 has one decimal, 1/4 two, 1/32 five.
            Number::Fraction { bottom, .. } => bottom.trailing_zeros() as u8,
        }
    }

    /// Whether a fraction is more than one, as 9/8 or 1 9/8.
    pub(super) fn is_top_heavy(self) -> bool {
        match self {
            Number::Decimal { .. } => false,
            Number::Fraction { top, bottom, .. } => top >= bottom,
        }
    }
}

/// Takes the number at the head of a text; gives it and what follows.
pub(super) fn scan(text: &str) -> Result<(Number, &str), Problem> {
    let (token, rest) = split_while(text, |c| c.is_ascii_digit() || c == '.' || c == ',');
    if !token.contains(|c: char| c.is_ascii_digit()) {
        return Err(Problem::NoNumber);
    }
    if token.contains(['.', ',']) {
        return Ok((decimal(token)?, rest));
    }
    if let Some((bottom, rest)) = bottom_of(rest) {
        return Ok((fraction(None, token, bottom)?, rest));
    }
    if let Some((top, rest)) = second_number(rest) {
        let (bottom, rest) = bottom_of(rest).ok_or(Problem::TwoNumbers)?;
        return Ok((fraction(Some(token), top, bottom)?, rest));
    }
    Ok((decimal(token)?, rest))
}

fn split_while(text: &str, keep: impl Fn(char) -> bool) -> (&str, &str) {
    let end = text.find(|c| !keep(c)).unwrap_or(text.len());
    text.split_at(end)
}

/// `/8 in` gives `8` and ` in`.
fn bottom_of(text: &str) -> Option<(&str, &str)> {
    let (digits, rest) = split_while(text.strip_prefix('/')?, |c| c.is_ascii_digit());
    (!digits.is_empty()).then_some((digits, rest))
}

/// ` 3/8 in` and `-3/8 in` give `3` and `/8 in`.
fn second_number(text: &str) -> Option<(&str, &str)> {
    let after = text.strip_prefix(' ').or_else(|| text.strip_prefix('-'))?;
    let (digits, rest) = split_while(after, |c| c.is_ascii_digit());
    (!digits.is_empty()).then_some((digits, rest))
}

fn decimal(token: &str) -> Result<Number, Problem> {
    if token.bytes().filter(u8::is_ascii_digit).count() > MOST_DIGITS {
        return Err(Problem::TooManyDigits);
    }
    let (before, after) = token.split_once(['.', ',']).unwrap_or((token, "0"));
    if after.is_empty() || after.contains(['.', ',']) {
        return Err(Problem::BadNumber);
    }
    let parts_thousands =
        (1..=3).contains(&before.len()) && !before.starts_with('0') && after.len() == 3;
    if token.contains(',') && parts_thousands {
        return Err(Problem::AmbiguousComma {
            thousands: format!("{before}{after}"),
            decimal: format!("{before}.{after}")
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned(),
        });
    }
    let value = format!("0{before}.{after}")
        .parse()
        .ok()
        .ok_or(Problem::BadNumber)?;
    let decimals = token
        .find(['.', ','])
        .map_or(0, |mark| token.len() - mark - 1);
    Ok(Number::Decimal {
        value,
        decimals: u8::try_from(decimals).unwrap_or(u8::MAX),
    })
}

fn fraction(whole: Option<&str>, top: &str, bottom: &str) -> Result<Number, Problem> {
    let small = |digits: &str| match digits.len() {
        1..=4 => digits.parse::<u32>().ok().ok_or(Problem::BadFraction),
        _ => Err(Problem::BadFraction),
    };
    let whole = whole.map(small).transpose()?;
    let (top, bottom) = (small(top)?, small(bottom)?);
    if DENOMINATORS.contains(&bottom) {
        Ok(Number::Fraction { whole, top, bottom })
    } else {
        Err(Problem::BadFraction)
    }
}

//! Reading what people type as a value.
//!
//! Invariants: never panics, whatever is typed; never guesses a unit (P3): a
//! bare number takes the unit shown in the field and nothing else.

use super::kind::Kind;
use super::misread::{LONGEST, Misread, Problem, plain};
use super::number::{Number, scan};
use super::unit::Unit;
use super::value::Quantity;

/// What was typed, understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// The value.
    pub quantity: Quantity,
    /// The unit it was typed in.
    pub unit: Unit,
    /// The text as typed, without spaces round it.
    pub text: String,
    /// Decimals as typed; of a fraction, as many as show it exactly.
    pub decimals: u8,
}

impl Typed {
    /// What is shown before it is accepted (P3): the value in the field's unit
    /// and in one more, which is the typed one if that was another.
    pub fn echo(&self, shown: Unit) -> String {
        if self.unit == shown || !shown.fits(self.quantity.kind()) {
            return self.quantity.echo(self.unit, self.decimals);
        }
        let decimals = super::show::carried(self.unit, self.decimals, shown);
        let first = self.quantity.show_in_words(shown, decimals);
        format!(
            "{first} = {}",
            self.quantity.show_in_words(self.unit, self.decimals)
        )
    }
}

/// Reads what a person typed into a field that shows a unit.
///
/// Taken are a number (decimal point or comma, at most 11 digits) and a unit
/// that fits the kind; for inches also fractions (`1 3/8 in`, `5/32"`), feet
/// with inches, degrees with minutes (`5°30'`); for slopes `nose up` (+) and
/// `nose down` (−) instead of a sign.
///
/// # Errors
/// Everything else. In particular `1,250` (thousands or decimals?), and an
/// absolute pressure without `abs`, unless it is a bare number in a field that
/// shows it.
///
/// # Example
/// ```
/// use levelhand::quantity::{Kind, Unit, read};
/// let typed = read("30 psi", Kind::GaugePressure, Unit::Bar)?;
/// assert_eq!(typed.echo(Unit::Bar), "2.07 bar = 30 psi");
/// # Ok::<(), levelhand::quantity::Misread>(())
/// ```
pub fn read(text: &str, kind: Kind, shown: Unit) -> Result<Typed, Misread> {
    finish(text, kind, Some(shown))
}

/// Reads a value in a document: the unit must be written, except for ratios.
///
/// # Errors
/// As [`read`], and a bare number.
pub fn read_literal(text: &str, kind: Kind) -> Result<Typed, Misread> {
    let bare = (kind == Kind::Ratio).then_some(Unit::One);
    finish(text, kind, bare)
}

/// A value that is understood, or the problem with what may be meant.
fn finish(text: &str, kind: Kind, bare: Option<Unit>) -> Result<Typed, Misread> {
    let bare = bare.filter(|unit| unit.fits(kind));
    understand(text, kind, bare).map_err(|problem| {
        let near = near_unit(&problem, kind);
        Misread {
            typed: plain(text.trim()),
            wanted: kind,
            problem,
            near,
        }
    })
}

fn understand(text: &str, kind: Kind, bare: Option<Unit>) -> Result<Typed, Problem> {
    if text.chars().nth(LONGEST).is_some() {
        return Err(Problem::TooLong);
    }
    let tidy = tidy(text);
    if tidy.is_empty() {
        return Err(Problem::Empty);
    }
    let (body, nose) = split_words(&tidy);
    if nose.is_some() && kind != Kind::Slope {
        return Err(Problem::WordsNotMeant);
    }
    let (body, sign) = split_sign(body);
    if nose.is_some() && sign.is_some() {
        return Err(Problem::SignAndWords);
    }
    let amount = amount(body, kind, bare)?;
    let value = amount.value * nose.or(sign).unwrap_or(1.0);
    let quantity =
        Quantity::new(value, amount.unit, kind).map_err(|why| Problem::Impossible { why })?;
    Ok(Typed {
        quantity,
        unit: amount.unit,
        text: text.trim().to_owned(),
        decimals: amount.decimals,
    })
}

/// Many ways to type the same character become one; runs of spaces become one.
fn tidy(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2212}' | '\u{2012}' | '\u{2013}' | '\u{FE63}' | '\u{FF0D}' | '\u{2010}'
            | '\u{2011}' => out.push('-'),
            '\u{FF0B}' => out.push('+'),
            '\u{2032}' | '\u{2019}' | '\u{2018}' | '\u{00B4}' => out.push('\''),
            '\u{2033}' | '\u{201D}' | '\u{201C}' => out.push('"'),
            '\u{00BA}' | '\u{02DA}' => out.push('°'),
            '\u{2044}' => out.push('/'),
            '½' => out.push_str(" 1/2"),
            '¼' => out.push_str(" 1/4"),
            '¾' => out.push_str(" 3/4"),
            '⅛' => out.push_str(" 1/8"),
            '⅜' => out.push_str(" 3/8"),
            '⅝' => out.push_str(" 5/8"),
            '⅞' => out.push_str(" 7/8"),
            c if c.is_whitespace() && !c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.split(' ')
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Takes "nose up" (+1) or "nose down" (−1) off the end.
fn split_words(text: &str) -> (&str, Option<f64>) {
    for (words, sign) in [("nose up", 1.0), ("nose down", -1.0)] {
        if let Some(body) = without_suffix(text, words) {
            return (body, Some(sign));
        }
    }
    (text, None)
}

/// The text before a suffix in any case, without the spaces between.
fn without_suffix<'t>(text: &'t str, suffix: &str) -> Option<&'t str> {
    let at = text.len().checked_sub(suffix.len())?;
    let (body, end) = (text.get(..at)?, text.get(at..)?);
    end.eq_ignore_ascii_case(suffix).then(|| body.trim_end())
}

fn split_sign(text: &str) -> (&str, Option<f64>) {
    if let Some(body) = text.strip_prefix('-') {
        (body.trim_start(), Some(-1.0))
    } else if let Some(body) = text.strip_prefix('+') {
        (body.trim_start(), Some(1.0))
    } else {
        (text, None)
    }
}

/// A number in a unit, without sign.
struct Amount {
    value: f64,
    unit: Unit,
    decimals: u8,
}

fn amount(body: &str, kind: Kind, bare: Option<Unit>) -> Result<Amount, Problem> {
    let (number, rest) = scan(body)?;
    if let Some(amount) = two_parts(number, rest, kind)? {
        return Ok(amount);
    }
    let written = rest.trim();
    let unit = unit_of(written, kind, bare)?;
    match number {
        Number::Decimal { value, decimals } => Ok(Amount {
            value,
            unit,
            decimals,
        }),
        Number::Fraction { .. } => fraction(number, unit, written.is_empty(), kind),
    }
}

/// A fraction of an inch; in tread also so many 32nds.
fn fraction(number: Number, unit: Unit, is_bare: bool, kind: Kind) -> Result<Amount, Problem> {
    let in_32nds = match number {
        Number::Fraction {
            whole: None,
            top,
            bottom: 32,
        } if kind == Kind::TreadDepth => Some(top),
        Number::Fraction { .. } | Number::Decimal { .. } => None,
    };
    match (unit, in_32nds) {
        (Unit::Inch, Some(top)) => Ok(Amount {
            value: f64::from(top),
            unit: Unit::ThirtySecond,
            decimals: 0,
        }),
        (Unit::ThirtySecond, Some(top)) if is_bare => Ok(Amount {
            value: f64::from(top),
            unit: Unit::ThirtySecond,
            decimals: 0,
        }),
        (Unit::Inch, None) if !number.is_top_heavy() => Ok(Amount {
            value: number.value(),
            unit,
            decimals: number.decimals(),
        }),
        _ => Err(Problem::BadFraction),
    }
}

/// Degrees with minutes, feet with inches; nothing if it is neither.
fn two_parts(first: Number, rest: &str, kind: Kind) -> Result<Option<Amount>, Problem> {
    let (big, small, shown, parts) = if kind == Kind::Length {
        (Unit::Foot, Unit::Inch, Unit::Inch, 12.0)
    } else if matches!(kind, Kind::Angle | Kind::Slope) {
        (Unit::Degree, Unit::ArcMinute, Unit::Degree, 60.0)
    } else {
        return Ok(None);
    };
    let at = rest
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(rest.len());
    let (between, second) = rest.split_at(at);
    let between = between.trim();
    let has_sign = between.ends_with(['-', '+']);
    if second.is_empty() || !big.written_as(between.trim_end_matches(['-', '+']).trim_end()) {
        return Ok(None);
    }
    let (second, unit) = scan(second)?;
    if has_sign
        || !small.written_as(unit.trim())
        || second.value() >= parts
        || second.is_top_heavy()
    {
        return Err(Problem::BadParts);
    }
    let Number::Decimal {
        value: whole,
        decimals: 0,
    } = first
    else {
        return Err(Problem::BadParts);
    };
    let in_small = whole * parts + second.value();
    Ok(Some(if shown == small {
        Amount {
            value: in_small,
            unit: small,
            decimals: second.decimals(),
        }
    } else {
        // A minute is 0.017 degrees: two decimals more carry it.
        Amount {
            value: in_small / parts,
            unit: big,
            decimals: second.decimals() + 2,
        }
    }))
}

/// What is said of a pressure besides its unit.
#[derive(Clone, Copy, PartialEq)]
enum Mark {
    Absolute,
    Gauge,
}

fn unit_of(written: &str, kind: Kind, bare: Option<Unit>) -> Result<Unit, Problem> {
    let (base, mark) = split_mark(written);
    match mark {
        Some(Mark::Absolute) if kind != Kind::AbsolutePressure => return Err(Problem::AbsNotMeant),
        Some(Mark::Gauge) if kind != Kind::GaugePressure => return Err(Problem::GaugeNotMeant),
        Some(_) | None => {}
    }
    if base.is_empty() {
        return bare.ok_or(Problem::UnitMissing);
    }
    if let Some(unit) = known(base, kind.units()) {
        let says_so = kind != Kind::AbsolutePressure || mark == Some(Mark::Absolute);
        return if says_so {
            Ok(unit)
        } else {
            Err(Problem::AbsMissing)
        };
    }
    Err(match known(base, &Unit::ALL) {
        Some(unit) => Problem::OtherKind { unit },
        None => Problem::UnknownUnit {
            written: plain(base),
        },
    })
}

fn known(written: &str, units: &[Unit]) -> Option<Unit> {
    units.iter().copied().find(|unit| unit.written_as(written))
}

/// Parts `bar abs`, `psia`, `psig` into unit and mark.
fn split_mark(written: &str) -> (&str, Option<Mark>) {
    if let Some(base) = without_suffix(written, "abs") {
        return (base, Some(Mark::Absolute));
    }
    if known(written, &Unit::ALL).is_some() {
        return (written, None);
    }
    for (letter, mark) in [("a", Mark::Absolute), ("g", Mark::Gauge)] {
        let is_pressure = |base: &&str| known(base, Kind::GaugePressure.units()).is_some();
        if let Some(base) = without_suffix(written, letter).filter(is_pressure) {
            return (base, Some(mark));
        }
    }
    (written, None)
}

/// The accepted unit that may be meant: a slip of a letter, or the same
/// beginning as a unit of another kind (lb for lbf, mm for mm/m).
fn near_unit(problem: &Problem, kind: Kind) -> Option<Unit> {
    if let Problem::UnknownUnit { written } = problem {
        let letters = written.chars().count();
        let most = if letters > 3 { 2 } else { 1 };
        let apart = |unit: &Unit| distance(&written.to_lowercase(), &unit.symbol().to_lowercase());
        let is_near = |unit: &&Unit| apart(unit) <= most && apart(unit) < letters;
        let near = kind.units().iter().filter(is_near);
        return near.min_by_key(|unit| apart(unit)).copied();
    }
    if let Problem::OtherKind { unit } = problem {
        let goes_on = |near: &&Unit| near.symbol().starts_with(unit.symbol());
        return kind.units().iter().find(goes_on).copied();
    }
    None
}

/// How many letters must be changed, left out, put in or swapped with their
/// neighbour to make one word of the other.
///
/// # Source
/// Optimal string alignment, textbook.
fn distance(left: &str, right: &str) -> usize {
    let right: Vec<char> = right.chars().collect();
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=right.len()).collect();
    let mut previous: Option<char> = None;
    for (row, c) in left.chars().enumerate() {
        let mut now = vec![row + 1];
        for (column, d) in right.iter().enumerate() {
            let at =
                |line: &[usize], place: usize| line.get(place).copied().unwrap_or(usize::MAX / 2);
            let mut best = at(&last, column) + usize::from(c != *d);
            best = best
                .min(at(&last, column + 1) + 1)
                .min(at(&now, column) + 1);
            let earlier = column.checked_sub(1);
            if let Some(back) = earlier
                && previous == Some(*d)
                && right.get(back) == Some(&c)
            {
                best = best.min(at(&before_last, back) + 1);
            }
            now.push(best);
        }
        before_last = std::mem::replace(&mut last, now);
        previous = Some(c);
    }
    last.last().copied().unwrap_or(0)
}

//! An input of a sum as people type it.
//!
//! One value: `1.30 bar`, with what is known of it `1.30 bar ± 0.1 bar step 0.05 bar`
//! (the limit of error that the instrument repeats, and the smallest step that is
//! read). Several stand one after the other with `;` or a comma and a space. The
//! Where only the last carries ± or a step, it holds for all of them. The
//! points of a watch have their time before them: `0 min: 1.30 bar, 10 min: 1.28 bar`.

use std::borrow::Cow;
use std::fmt;

use super::given::{Given, Point};
use super::sum::{Input, Takes};
use crate::quantity::{Kind, Measured, Misread, Quantity, Unit, read, read_literal};

/// Why a typed input is not understood.
#[derive(Debug, Clone, PartialEq)]
pub enum Misentry {
    /// A value could not be read.
    Value(Misread),
    /// What follows ± or "step" could not be read.
    Doubt(Misread),
    /// A time could not be read.
    Time(Misread),
    /// A point of a watch without its time.
    NoTime {
        /// What was typed.
        typed: String,
    },
    /// Several values where one is wanted.
    Many {
        /// What was typed.
        typed: String,
    },
    /// A point of a watch that is not later than the one before it.
    NotLater {
        /// Its time.
        time: Quantity,
        /// The time before it.
        before: Quantity,
    },
    /// Some of several values carry ± or a step, and some others do not.
    SomeDoubt {
        /// The first that carries none.
        typed: String,
    },
    /// No such word.
    Word {
        /// What was typed.
        typed: String,
        /// What there is.
        known: &'static [&'static str],
    },
}

impl fmt::Display for Misentry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value(misread) => misread.fmt(f),
            Self::Doubt(misread) => write!(f, "after ± or step: {misread}"),
            Self::Time(misread) => write!(f, "before the colon: {misread}"),
            Self::NoTime { typed } => write!(
                f,
                "{typed:?} has no time before it; type it like 10 min: 1.28 bar"
            ),
            Self::Many { typed } => {
                write!(f, "{typed:?} are several values; one is wanted here")
            }
            Self::NotLater { time, before } => write!(
                f,
                "the time {} comes after {}; type the readings in the order of their times, each later than the one before",
                clock(*time),
                clock(*before)
            ),
            Self::SomeDoubt { typed } => write!(
                f,
                "{typed:?} has no ±, and others have; put ± behind each value, or behind the last one for all"
            ),
            Self::Word { typed, known } => {
                write!(f, "{typed:?} is none of {}", known.join(", "))
            }
        }
    }
}

impl std::error::Error for Misentry {}

/// Reads what was typed for an input.
///
/// `like` is the kind of the input that this one must be like; `shown` gives the unit
/// of a bare number, where a field shows one.
///
/// # Errors
/// What could not be understood, and what would be.
pub fn read_entry(
    input: &Input,
    text: &str,
    like: Option<Kind>,
    shown: Option<Unit>,
) -> Result<Given, Misentry> {
    if let Takes::Word(words) = input.takes {
        let typed = text.trim().replace([' ', '-'], "_").to_lowercase();
        return match words.iter().find(|w| **w == typed) {
            Some(word) => Ok(Given::Word((*word).to_owned())),
            None => Err(Misentry::Word {
                typed: text.trim().to_owned(),
                known: words,
            }),
        };
    }
    let kinds: &[Kind] = match (&input.takes, &like) {
        (Takes::Is(kind), _) | (Takes::Like(_), Some(kind)) => std::slice::from_ref(kind),
        (Takes::AnyOf(kinds), _) if !kinds.is_empty() => kinds,
        (Takes::AnyOf(_) | Takes::Like(_) | Takes::Word(_), _) => &Kind::ALL,
    };
    let is_one = input.count().1 == 1;
    let mut parts = split(text);
    if parts.len() > 1 && is_one {
        return Err(Misentry::Many {
            typed: text.trim().to_owned(),
        });
    }
    if is_one {
        parts = vec![text.trim()];
    }
    let shared = shared_doubt(&parts)?;
    let mut points: Vec<Point> = Vec::with_capacity(parts.len());
    let mut settled: Option<Kind> = None;
    for part in parts {
        let (second, value) = if input.is_series() {
            let (second, value) = timed(part)?;
            (Some(second), value)
        } else {
            (None, part)
        };
        later(points.last().and_then(|p| p.second), second)?;
        let kinds = settled.as_ref().map_or(kinds, std::slice::from_ref);
        let value = with_doubt(value, shared);
        let measured = measured(&value, kinds, shown)?;
        settled = Some(measured.kind());
        points.push(Point {
            measured,
            instrument: None,
            second,
        });
    }
    Ok(Given::Points(points))
}

/// Where ± or the step of a value begins.
fn doubt_at(part: &str) -> Option<usize> {
    let marks = [" step ", "±", "+-", "+/-"].into_iter();
    marks.filter_map(|mark| part.find(mark)).min()
}

/// What the last of several values carries alone, and so for all of them.
fn shared_doubt<'a>(parts: &[&'a str]) -> Result<Option<&'a str>, Misentry> {
    let Some((last, before)) = parts.split_last() else {
        return Ok(None);
    };
    let sure = parts.iter().find(|part| doubt_at(part).is_none());
    let Some(sure) = sure else {
        return Ok(None);
    };
    if before.iter().any(|part| doubt_at(part).is_some()) {
        return Err(Misentry::SomeDoubt {
            typed: (*sure).to_owned(),
        });
    }
    Ok(doubt_at(last).and_then(|at| last.get(at..)))
}

/// A value with what holds for all, if it carries nothing of its own.
fn with_doubt<'a>(value: &'a str, shared: Option<&str>) -> Cow<'a, str> {
    match shared {
        Some(shared) if doubt_at(value).is_none() => {
            Cow::Owned(format!("{value} {}", shared.trim()))
        }
        Some(_) | None => Cow::Borrowed(value),
    }
}

/// Each point of a watch is later than the one before it.
fn later(before: Option<f64>, second: Option<f64>) -> Result<(), Misentry> {
    let (Some(before), Some(second)) = (before, second) else {
        return Ok(());
    };
    let time = |si: f64| Quantity::from_si(si, Kind::Time).unwrap_or(Quantity::zero(Kind::Time));
    if second > before {
        return Ok(());
    }
    Err(Misentry::NotLater {
        time: time(second),
        before: time(before),
    })
}

/// A time in whole minutes, or else in seconds.
fn clock(time: Quantity) -> String {
    let is_whole = time.si() % 60.0 == 0.0;
    time.show_plain(if is_whole { Unit::Minute } else { Unit::Second })
}

/// The kind of an earlier input, for one that must be like it.
pub fn like_kind(input: &Input, before: &[Option<Given>]) -> Option<Kind> {
    let Takes::Like(first) = input.takes else {
        return None;
    };
    match before.get(first)?.as_ref()? {
        Given::Points(points) => points.first().map(|p| p.measured.kind()),
        Given::Word(_) => None,
    }
}

/// Where several values part: at `;`, and at a comma with a space behind it.
fn split(text: &str) -> Vec<&str> {
    text.split(';')
        .flat_map(|part| part.split(", "))
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect()
}

fn timed(part: &str) -> Result<(f64, &str), Misentry> {
    let Some((time, value)) = part.split_once(':') else {
        return Err(Misentry::NoTime {
            typed: part.to_owned(),
        });
    };
    let time = read_literal(time.trim(), Kind::Time).map_err(Misentry::Time)?;
    Ok((time.quantity.si(), value.trim()))
}

/// A value with what is known of it.
fn measured(text: &str, kinds: &[Kind], shown: Option<Unit>) -> Result<Measured, Misentry> {
    let (rest, step) = cut(text, &[" step "]);
    let (value, limit) = cut(rest, &["±", "+-", "+/-"]);
    let value = with_unit_of(value.trim(), limit.or(step), shown);
    let value = first_kind(&value, kinds, shown)?;
    let part = |text: Option<&str>, divide: f64| -> Result<Quantity, Misentry> {
        let kind = value.kind().difference();
        let amount = match text {
            Some(text) => first_kind(text.trim(), &[kind], shown).map_err(doubt)?.si(),
            None => 0.0,
        };
        Ok(Quantity::from_si(amount.abs() / divide, kind).unwrap_or(Quantity::zero(kind)))
    };
    // JCGM 100:2008 4.3.7 and F.2.2.1: evenly spread within ± limit, and within half
    // a step either way.
    let repeated = part(limit, f64::sqrt(3.0))?;
    let fresh = part(step, 2.0 * f64::sqrt(3.0))?;
    Ok(Measured::of_parts(value, repeated, fresh).unwrap_or_else(|_kinds| Measured::exact(value)))
}

/// `191 ± 1 mm` is 191 mm: a bare number takes the unit behind its limit.
fn with_unit_of(value: &str, limit: Option<&str>, shown: Option<Unit>) -> String {
    let is_bare = value.ends_with(|c: char| c.is_ascii_digit());
    let unit = limit.map_or("", |limit| {
        limit.trim_start_matches(|c: char| c.is_ascii_digit() || " .,-+".contains(c))
    });
    if is_bare && shown.is_none() && !unit.is_empty() {
        format!("{value} {}", unit.trim())
    } else {
        value.to_owned()
    }
}

fn doubt(misentry: Misentry) -> Misentry {
    match misentry {
        Misentry::Value(misread) => Misentry::Doubt(misread),
        Misentry::Doubt(_)
        | Misentry::Time(_)
        | Misentry::Many { .. }
        | Misentry::NoTime { .. }
        | Misentry::NotLater { .. }
        | Misentry::SomeDoubt { .. }
        | Misentry::Word { .. } => misentry,
    }
}

fn cut<'a>(text: &'a str, marks: &[&str]) -> (&'a str, Option<&'a str>) {
    for mark in marks {
        if let Some((before, after)) = text.split_once(mark) {
            return (before, Some(after));
        }
    }
    (text, None)
}

/// The value as the first of the kinds that it can be.
fn first_kind(text: &str, kinds: &[Kind], shown: Option<Unit>) -> Result<Quantity, Misentry> {
    let mut first = None;
    // A bare number is of no kind by itself (P3).
    let is_bare = text.ends_with(|c: char| c.is_ascii_digit());
    for kind in kinds {
        let is_number = matches!(kind, Kind::Ratio | Kind::Count);
        if is_bare && is_number && kinds.len() > 1 && shown.is_none() {
            continue;
        }
        let unit = shown.filter(|unit| unit.fits(*kind));
        let typed = match unit {
            Some(unit) => read(text, *kind, unit),
            None if *kind == Kind::Count => read(text, *kind, Unit::Count),
            None => read_literal(text, *kind),
        };
        match typed {
            Ok(typed) => return Ok(typed.quantity),
            Err(misread) => first = first.or(Some(misread)),
        }
    }
    match first {
        Some(misread) => Err(Misentry::Value(misread)),
        None => Err(Misentry::Word {
            typed: text.to_owned(),
            known: &[],
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(input: &Input, text: &str) -> Result<Vec<Point>, Misentry> {
        match read_entry(input, text, None, None)? {
            Given::Points(points) => Ok(points),
            Given::Word(word) => panic!("{word} is a word"),
        }
    }

    const HEIGHTS: Input = Input::one("heights", "heights", Kind::Length).several(2, 4);

    #[test]
    fn what_the_last_value_carries_holds_for_all() {
        let last = points(&HEIGHTS, "190 mm; 191 mm; 192 mm ± 1 mm step 1 mm").unwrap();
        let each = "190 mm ± 1 mm step 1 mm; 191 mm ± 1 mm step 1 mm; 192 mm ± 1 mm step 1 mm";
        assert_eq!(last, points(&HEIGHTS, each).unwrap());
        assert!(last.iter().all(|p| p.measured.u().si() > 0.0));
    }

    #[test]
    fn refuses_doubt_behind_some_but_not_all() {
        for text in [
            "190 mm ± 1 mm; 191 mm",
            "190 mm ± 1 mm; 191 mm; 192 mm ± 1 mm",
        ] {
            let found = points(&HEIGHTS, text);
            let sure = Misentry::SomeDoubt {
                typed: "191 mm".to_owned(),
            };
            assert_eq!(found, Err(sure), "{text}");
        }
    }

    #[test]
    fn refuses_two_values_where_one_is_wanted_whatever_its_kind() {
        for kind in Kind::ALL {
            let one = Input::one("value", "value", kind);
            let found = points(&one, "190 mm; 191 mm");
            assert!(matches!(found, Err(Misentry::Many { .. })), "{found:?}");
        }
    }

    #[test]
    fn refuses_times_that_go_back_or_repeat() {
        let watch = Input::one("watch", "watch", Kind::GaugePressure).series(2);
        assert!(points(&watch, "0 min: 1.3 bar; 10 min: 1.2 bar").is_ok());
        for text in [
            "10 min: 1.3 bar; 0 min: 1.2 bar",
            "10 min: 1.3 bar; 600 s: 1.2 bar",
        ] {
            let found = points(&watch, text);
            assert!(matches!(found, Err(Misentry::NotLater { .. })), "{found:?}");
        }
    }
}

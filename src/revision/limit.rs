//! Limits: gone, new, tighter, wider.
//!
//! Invariant: a limit is tighter or the same only where everything that meets the
//! new one meets the old one too, whatever sheet is used; else it asks less.

use super::{Changes, quoted};
use crate::procedure::{BoundSpec, Grade, Limit, Procedure, SheetKey, Side, Subject};
use crate::quantity::{Quantity, Rule, System};

/// A value of a sheet in SI, where it is known.
pub(super) type Known<'a> = &'a dyn Fn(&SheetKey) -> Option<f64>;

/// For documents without a sheet at hand: no value is known.
pub(super) fn unknown(_key: &SheetKey) -> Option<f64> {
    None
}

/// Where limits stand: in a step, or in what a condition asks.
pub(super) struct Spot<'a> {
    /// How the name of a demand begins.
    pub(super) kind: &'a str,
    /// The step's or condition's id.
    pub(super) owner: &'a str,
    /// What people call it.
    pub(super) title: String,
}

impl Spot<'_> {
    fn name(&self, what: &str, limit: &Limit) -> String {
        let kind = if self.kind == "limit" {
            what.to_owned()
        } else {
            format!("ask_{what}")
        };
        format!("{kind}:{}:{}", self.owner, subject_name(&limit.subject))
    }
}

/// Compares the limits of one place.
pub(super) fn compare(
    spot: &Spot<'_>,
    (before, old): (&Procedure, &[Limit]),
    (after, new): (&Procedure, &[Limit]),
    changes: &mut Changes,
) {
    let mut left: Vec<&Limit> = new.iter().collect();
    let same_shape = |a: &Limit, b: &Limit| {
        a.subject == b.subject
            && std::mem::discriminant(&a.bound) == std::mem::discriminant(&b.bound)
    };
    let mut unpaired: Vec<&Limit> = Vec::new();
    let mut pairs: Vec<(&Limit, &Limit)> = Vec::new();
    for limit in old {
        let exact = left
            .iter()
            .position(|l| l.bound == limit.bound && l.subject == limit.subject);
        match exact.or_else(|| left.iter().position(|l| same_shape(limit, l))) {
            Some(at) => pairs.push((limit, left.remove(at))),
            None => unpaired.push(limit),
        }
    }
    for limit in unpaired {
        match left.iter().position(|l| l.subject == limit.subject) {
            Some(at) => pairs.push((limit, left.remove(at))),
            None => changes.less(
                spot.name("limit", limit),
                format!(
                    "{} no longer holds {} to {}.",
                    spot.title,
                    subject_title(before, &limit.subject),
                    said(&limit.bound)
                ),
            ),
        }
    }
    for (was, is) in pairs {
        one(spot, after, was, is, changes);
    }
    for limit in left {
        changes.told(
            spot.name("new_limit", limit),
            format!(
                "{} holds {} to {}: new.",
                spot.title,
                subject_title(after, &limit.subject),
                said(&limit.bound)
            ),
        );
    }
}

fn one(spot: &Spot<'_>, after: &Procedure, was: &Limit, is: &Limit, changes: &mut Changes) {
    let subject = subject_title(after, &is.subject);
    if was.bound != is.bound {
        let less = asks_less((&was.bound, &unknown), (&is.bound, &unknown));
        let word = match (less, comparable(&was.bound, &is.bound)) {
            (false, _) => "tighter",
            (true, true) => "wider",
            (true, false) => {
                "another limit, and without a sheet nobody can tell that it asks as much"
            }
        };
        changes.either(
            less,
            spot.name("limit", is),
            format!(
                "{}: the limit on {subject} was {} and is {} now: {word}.",
                spot.title,
                said(&was.bound),
                said(&is.bound)
            ),
        );
    }
    if was.grade != is.grade {
        let less = is.grade == Grade::Advice;
        let sentence = if less {
            format!(
                "{}: the limit on {subject} was an interlock; now it is advice, and can be overridden with a reason.",
                spot.title
            )
        } else {
            format!(
                "{}: the limit on {subject} was advice; now it is an interlock.",
                spot.title
            )
        };
        changes.either(less, spot.name("grade", is), sentence);
    }
    if was.rule != is.rule {
        let less = is.rule == Rule::Simple;
        let sentence = if less {
            format!(
                "{}: the limit on {subject} was guarded; now it is simple, and the uncertainty of the reading no longer counts.",
                spot.title
            )
        } else {
            format!(
                "{}: the limit on {subject} was simple; now it is guarded.",
                spot.title
            )
        };
        changes.either(less, spot.name("rule", is), sentence);
    }
    let what = format!("{}: why there is a limit on {subject}", spot.title);
    changes.words(&spot.name("limit_why", is), &what, &was.why, &is.why);
    let what = format!(
        "{}: what to do when {subject} is too close to call",
        spot.title
    );
    changes.lines(
        &spot.name("limit_too_close", is),
        &what,
        &was.too_close,
        &is.too_close,
    );
}

/// One edge of what a limit allows: a number, on top of values of the sheet.
#[derive(Debug, Clone, PartialEq)]
struct Edge {
    on: String,
    number: f64,
}

/// What a limit allows, from and to; `None` where it has no such edge.
#[derive(Debug, Clone, PartialEq)]
struct Span {
    low: Option<Edge>,
    high: Option<Edge>,
}

fn edge(side: &Side, known: Known<'_>) -> Edge {
    match side {
        // A number of another kind is another demand: 6 bar over the air outside is
        // more than 6 bar over nothing.
        Side::Literal(quantity) => Edge {
            on: quantity.kind().to_string(),
            number: quantity.si(),
        },
        Side::Sheet(key) => match known(key) {
            Some(number) => Edge {
                on: String::new(),
                number,
            },
            None => Edge {
                on: format!("+{key}"),
                number: 0.0,
            },
        },
    }
}

fn span(bound: &BoundSpec, known: Known<'_>) -> Span {
    let at = |side: &Side| Some(edge(side, known));
    match bound {
        BoundSpec::AtMost(a) | BoundSpec::DifferByAtMost(a) => Span {
            low: None,
            high: at(a),
        },
        BoundSpec::AtLeast(a) | BoundSpec::AgeAtLeast(a) => Span {
            low: at(a),
            high: None,
        },
        BoundSpec::Between(a, b) => Span {
            low: at(a),
            high: at(b),
        },
        BoundSpec::Near { target, within } => {
            let (middle, half) = (edge(target, known), edge(within, known));
            Span {
                low: Some(Edge {
                    on: format!("{}{}", middle.on, half.on.replace('+', "-")),
                    number: middle.number - half.number,
                }),
                high: Some(Edge {
                    on: format!("{}{}", middle.on, half.on),
                    number: middle.number + half.number,
                }),
            }
        }
    }
}

/// Last digits of sums like target and half-width.
const NEAR: f64 = 1e-12;

/// Whether something that meets the new limit might not meet the old one.
pub(super) fn asks_less(old: (&BoundSpec, Known<'_>), new: (&BoundSpec, Known<'_>)) -> bool {
    let (was, is) = (span(old.0, old.1), span(new.0, new.1));
    let room = |a: &Edge, b: &Edge| NEAR * a.number.abs().max(b.number.abs());
    let low = was.low.as_ref().is_none_or(|was| {
        is.low
            .as_ref()
            .is_some_and(|is| is.on == was.on && is.number >= was.number - room(is, was))
    });
    let high = was.high.as_ref().is_none_or(|was| {
        is.high
            .as_ref()
            .is_some_and(|is| is.on == was.on && is.number <= was.number + room(is, was))
    });
    !(low && high)
}

/// Whether both limits rest on the same values of the sheet, or on none.
fn comparable(old: &BoundSpec, new: &BoundSpec) -> bool {
    let on = |bound: &BoundSpec| {
        let span = span(bound, &unknown);
        let on = |edge: Option<Edge>| edge.map(|edge| edge.on);
        (on(span.low), on(span.high))
    };
    on(old) == on(new)
}

/// A bound as people read it, without a sheet at hand.
pub(super) fn said(bound: &BoundSpec) -> String {
    match bound {
        BoundSpec::AtMost(a) => format!("at most {}", side(a)),
        BoundSpec::AtLeast(a) => format!("at least {}", side(a)),
        BoundSpec::AgeAtLeast(a) => format!("at least {} old", side(a)),
        BoundSpec::Between(a, b) => format!("from {} to {}", side(a), side(b)),
        BoundSpec::Near { target, within } => format!("{} ± {}", side(target), side(within)),
        BoundSpec::DifferByAtMost(a) => format!("no more than {} apart", side(a)),
    }
}

/// The other side of a limit as people read it.
pub(super) fn side(side: &Side) -> String {
    match side {
        Side::Literal(quantity) => quantity_said(*quantity),
        Side::Sheet(key) => format!("the sheet's {key}"),
    }
}

pub(super) fn quantity_said(quantity: Quantity) -> String {
    quantity.show_plain(quantity.kind().shown(System::Metric))
}

/// What a limit is put on, as it stands in a name.
fn subject_name(subject: &Subject) -> String {
    match subject {
        Subject::Value(id) => id.to_string(),
        Subject::Difference(a, b) => format!("{a}-{b}"),
        Subject::Age(id) => format!("age_of_{id}"),
    }
}

/// What a limit is put on, as people read it.
pub(super) fn subject_title(procedure: &Procedure, subject: &Subject) -> String {
    let value = |id| quoted(procedure.value(id).map_or(id.as_str(), |(title, _)| title));
    match subject {
        Subject::Value(id) => value(id),
        Subject::Difference(a, b) => format!("the difference of {} and {}", value(a), value(b)),
        Subject::Age(id) => {
            format!(
                "how long {} has held",
                super::order::condition(procedure, id)
            )
        }
    }
}

//! How far an instrument may be wrong, by its class, its grade or its maker.

use super::unit::Unit;
use super::value::{Quantity, order};
use std::cmp::Ordering;

/// How far an instrument may be wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ErrorLimit {
    /// Percent of the span, the same over the whole scale.
    ///
    /// # Source
    /// EN 837-1:1996 Table 11 for the classes 0.1, 0.25, 0.6, 1, 1.6, 2.5, 4.
    Class(f64),
    /// A letter grade: percent of the span, by the part of the scale.
    Grade(Grade),
    /// The same everywhere, of the difference kind.
    Absolute(Quantity),
    /// Percent of the reading.
    OfReading(f64),
}

impl ErrorLimit {
    /// What people read: "class 1.6", "grade B", "± 0.1 bar", "± 1 % of reading".
    pub fn sentence_in(&self, unit: Unit) -> String {
        match self {
            ErrorLimit::Class(percent) => format!("class {percent}"),
            ErrorLimit::Grade(grade) => format!("grade {}", grade.name()),
            ErrorLimit::Absolute(limit) => format!("± {}", limit.show_plain(unit)),
            ErrorLimit::OfReading(percent) => format!("± {percent} % of reading"),
        }
    }
}

/// Letter grades of pressure gauges.
///
/// # Source
/// ASME B40.100 (from memory, very sure), percent of span in the first quarter,
/// the middle half and the last quarter of the scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// 0.1 everywhere.
    A4,
    /// 0.25 everywhere.
    A3,
    /// 0.5 everywhere.
    A2,
    /// 1 everywhere.
    A1,
    /// 2, 1, 2.
    A,
    /// 3, 2, 3.
    B,
    /// 4, 3, 4.
    C,
    /// 5 everywhere.
    D,
}

impl Grade {
    /// Every grade, the best first.
    pub const ALL: [Grade; 8] = [
        Grade::A4,
        Grade::A3,
        Grade::A2,
        Grade::A1,
        Grade::A,
        Grade::B,
        Grade::C,
        Grade::D,
    ];

    /// As printed on the dial: "4A", "B".
    pub fn name(self) -> &'static str {
        match self {
            Grade::A4 => "4A",
            Grade::A3 => "3A",
            Grade::A2 => "2A",
            Grade::A1 => "1A",
            Grade::A => "A",
            Grade::B => "B",
            Grade::C => "C",
            Grade::D => "D",
        }
    }

    /// The grade that is printed so.
    pub fn from_name(name: &str) -> Option<Grade> {
        Grade::ALL.into_iter().find(|grade| grade.name() == name)
    }

    /// Percent of the span at a share of the scale, 0 to 1. On the border of two
    /// parts the wider limit counts.
    pub(super) fn percent_at(self, share: f64) -> f64 {
        let (outer, middle) = self.percents();
        let is_inner = order(share, 0.25, 1.0) == Ordering::Greater
            && order(share, 0.75, 1.0) == Ordering::Less;
        if is_inner { middle } else { outer }
    }

    /// Percent of the span in the outer quarters and in the middle half.
    fn percents(self) -> (f64, f64) {
        match self {
            Grade::A4 => (0.1, 0.1),
            Grade::A3 => (0.25, 0.25),
            Grade::A2 => (0.5, 0.5),
            Grade::A1 => (1.0, 1.0),
            Grade::A => (2.0, 1.0),
            Grade::B => (3.0, 2.0),
            Grade::C => (4.0, 3.0),
            Grade::D => (5.0, 5.0),
        }
    }
}

/// Classes that EN 837-1 knows.
///
/// # Source
/// EN 837-1:1996 Table 11.
pub const CLASSES: [f64; 7] = [0.1, 0.25, 0.6, 1.0, 1.6, 2.5, 4.0];

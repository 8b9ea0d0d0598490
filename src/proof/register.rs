//! A register of names: from a name to its number, and back.
//!
//! A large document looks the names of its steps up a few times for each step, and
//! comparing words is what that would cost most. So the register is kept in the
//! order of a short mark of each word, which is a number; words are compared only
//! where marks agree. The order of the marks is never seen from outside.

use crate::procedure::{ConditionId, DutyId, StepId, ValueId};

/// An id, as it is written.
pub(super) trait Worded {
    /// The word.
    fn word(&self) -> &str;
}

macro_rules! worded {
    ($($id:ident),*) => {$(
        impl Worded for $id {
            fn word(&self) -> &str {
                self.as_str()
            }
        }
    )*};
}

worded!(ConditionId, DutyId, StepId, ValueId);

/// The names of one kind, numbered in the order in which they were given.
#[derive(Debug, Clone)]
pub(super) struct Register<T> {
    list: Vec<T>,
    marks: Vec<(u64, usize)>,
}

impl<T: Worded + Eq> Register<T> {
    /// Numbers `names` in their order.
    pub(super) fn new(names: impl Iterator<Item = T>) -> Self {
        let list: Vec<T> = names.collect();
        let marks = list.iter().enumerate();
        let mut marks: Vec<(u64, usize)> = marks.map(|(at, name)| (mark(name), at)).collect();
        marks.sort_unstable();
        Self { list, marks }
    }

    /// The number of a name; the last one of a name given twice.
    pub(super) fn number(&self, name: &T) -> Option<usize> {
        let wanted = mark(name);
        let first = self.marks.partition_point(|(mark, _)| *mark < wanted);
        let alike = self.marks.get(first..).unwrap_or_default().iter();
        let alike = alike.take_while(|(mark, _)| *mark == wanted);
        let same = alike.filter(|(_, at)| self.list.get(*at) == Some(name));
        same.last().map(|(_, at)| *at)
    }

    /// The same where it is probably the one at `hint`.
    pub(super) fn number_near(&self, name: &T, hint: usize) -> Option<usize> {
        if self.list.get(hint) == Some(name) {
            return Some(hint);
        }
        self.number(name)
    }

    /// Whether some name was given twice.
    pub(super) fn has_twins(&self) -> bool {
        self.marks.windows(2).any(|pair| match pair {
            [(a, _), (b, at)] if a == b => {
                let name = self.list.get(*at);
                name.is_some_and(|name| self.list.iter().filter(|n| *n == name).count() > 1)
            }
            _ => false,
        })
    }

    pub(super) fn name(&self, number: usize) -> Option<&T> {
        self.list.get(number)
    }

    pub(super) const fn len(&self) -> usize {
        self.list.len()
    }
}

/// The mark of a word.
///
/// # Source
/// FNV-1a, 64 bits: RFC 9923 (offset and prime from memory).
fn mark(name: &impl Worded) -> u64 {
    let bytes = name.word().bytes();
    bytes.fold(0xcbf2_9ce4_8422_2325, |mark, byte| {
        (mark ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_has_its_number_and_every_number_its_name() {
        let names: Vec<StepId> = (0..2_000)
            .map(|n| StepId::new(&format!("s{n}")).unwrap())
            .collect();
        let register = Register::new(names.iter().cloned());
        assert_eq!(register.len(), names.len());
        for (at, name) in names.iter().enumerate() {
            assert_eq!(register.number(name), Some(at));
            assert_eq!(register.number_near(name, at + 1), Some(at));
            assert_eq!(register.name(at), Some(name));
        }
        assert_eq!(register.number(&StepId::new("other").unwrap()), None);
        assert_eq!(register.name(names.len()), None);
        assert!(!register.has_twins());
    }

    #[test]
    fn a_name_given_twice_means_the_last() {
        let twice = ["a", "b", "a"].map(|name| StepId::new(name).unwrap());
        let register = Register::new(twice.iter().cloned());
        assert_eq!(register.number(&StepId::new("a").unwrap()), Some(2));
        assert!(register.has_twins());
    }
}

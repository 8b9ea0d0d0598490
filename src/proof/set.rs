//! A set of small numbers that copies share.
//!
//! Most procedures declare few names, and the smallest numbers lie in the set
//! itself: copying one is copying a few words. Beyond them facts differ little from
//! step to step, so the rest is a row of shared chunks: a copy is a row of
//! pointers, and a change copies one chunk. This keeps the proof near-linear where
//! every step brings a reading of its own.
//!
//! Invariant: numbers below `NEAR` lie in `near` only; a chunk that is present has
//! at least one member, and the row does not end in an absent chunk. So equal sets
//! are equal in their parts.

use std::sync::Arc;

const WORDS: usize = 16;
const SPAN: usize = WORDS * 64;

/// Numbers below this lie in the set itself.
const NEAR: usize = 4 * 64;

type Chunk = [u64; WORDS];

/// A set of numbers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Set {
    near: [u64; NEAR / 64],
    chunks: Vec<Option<Arc<Chunk>>>,
}

impl Set {
    pub(super) fn contains(&self, member: usize) -> bool {
        if member < NEAR {
            let word = self.near.get(member / 64);
            return word.is_some_and(|word| word >> (member % 64) & 1 == 1);
        }
        let Some(Some(chunk)) = self.chunks.get(member / SPAN) else {
            return false;
        };
        chunk
            .get(member % SPAN / 64)
            .is_some_and(|word| word >> (member % 64) & 1 == 1)
    }

    pub(super) fn insert(&mut self, member: usize) {
        if member < NEAR {
            if let Some(word) = self.near.get_mut(member / 64) {
                *word |= 1 << (member % 64);
            }
            return;
        }
        if self.contains(member) {
            return;
        }
        let at = member / SPAN;
        if self.chunks.len() <= at {
            self.chunks.resize(at + 1, None);
        }
        if let Some(slot) = self.chunks.get_mut(at) {
            let chunk = Arc::make_mut(slot.get_or_insert_default());
            if let Some(word) = chunk.get_mut(member % SPAN / 64) {
                *word |= 1 << (member % 64);
            }
        }
    }

    pub(super) fn remove(&mut self, member: usize) {
        if member < NEAR {
            if let Some(word) = self.near.get_mut(member / 64) {
                *word &= !(1 << (member % 64));
            }
            return;
        }
        if !self.contains(member) {
            return;
        }
        if let Some(slot) = self.chunks.get_mut(member / SPAN) {
            if let Some(chunk) = slot {
                if let Some(word) = Arc::make_mut(chunk).get_mut(member % SPAN / 64) {
                    *word &= !(1 << (member % 64));
                }
                if chunk.iter().all(|word| *word == 0) {
                    *slot = None;
                }
            }
            self.trim();
        }
    }

    pub(super) fn insert_all(&mut self, members: &[usize]) {
        for member in members {
            self.insert(*member);
        }
    }

    pub(super) fn remove_all(&mut self, members: &[usize]) {
        for member in members {
            self.remove(*member);
        }
    }

    /// Keeps what is in both; tells whether anything went.
    pub(super) fn intersect(&mut self, other: &Self) -> bool {
        let mut changed = self.merge(other, |a, b| a & b);
        if self.chunks.is_empty() {
            return changed;
        }
        let before = self.chunks.len();
        self.chunks.truncate(other.chunks.len());
        changed |= self.chunks.len() != before;
        for (slot, theirs) in self.chunks.iter_mut().zip(&other.chunks) {
            if !is_shared(slot.as_ref(), theirs.as_ref()) {
                changed |= combine(slot, theirs.as_ref(), |a, b| a & b);
            }
        }
        self.trim();
        changed
    }

    /// Takes in what is in the other; tells whether anything came.
    pub(super) fn unite(&mut self, other: &Self) -> bool {
        let mut changed = self.merge(other, |a, b| a | b);
        if self.chunks.len() < other.chunks.len() {
            self.chunks.resize(other.chunks.len(), None);
        }
        for (slot, theirs) in self.chunks.iter_mut().zip(&other.chunks) {
            if !is_shared(slot.as_ref(), theirs.as_ref()) {
                changed |= combine(slot, theirs.as_ref(), |a, b| a | b);
            }
        }
        changed
    }

    /// Takes out what is in the other.
    pub(super) fn subtract(&mut self, other: &Self) {
        self.merge(other, |a, b| a & !b);
        for (slot, theirs) in self.chunks.iter_mut().zip(&other.chunks) {
            combine(slot, theirs.as_ref(), |a, b| a & !b);
        }
        self.trim();
    }

    /// The members, least first.
    pub(super) fn iter(&self) -> impl Iterator<Item = usize> {
        let near = (0..NEAR).filter(|member| self.contains(*member));
        near.chain(self.far())
    }

    fn far(&self) -> impl Iterator<Item = usize> {
        self.chunks.iter().enumerate().flat_map(|(at, chunk)| {
            let words = chunk.as_deref().copied().unwrap_or_default();
            (0..SPAN)
                .filter(move |bit| {
                    words
                        .get(bit / 64)
                        .is_some_and(|w| w >> (bit % 64) & 1 == 1)
                })
                .map(move |bit| at * SPAN + bit)
        })
    }

    /// Puts `op` of both into the near words; tells whether anything changed.
    fn merge(&mut self, other: &Self, op: impl Fn(u64, u64) -> u64) -> bool {
        let mut changed = 0;
        for (word, theirs) in self.near.iter_mut().zip(&other.near) {
            let new = op(*word, *theirs);
            changed |= *word ^ new;
            *word = new;
        }
        changed != 0
    }

    fn trim(&mut self) {
        while self.chunks.last().is_some_and(Option::is_none) {
            self.chunks.pop();
        }
    }
}

/// Whether both are one chunk, which neither meeting nor joining changes.
fn is_shared(slot: Option<&Arc<Chunk>>, theirs: Option<&Arc<Chunk>>) -> bool {
    match (slot, theirs) {
        (Some(ours), Some(theirs)) => Arc::ptr_eq(ours, theirs),
        (None, None) => true,
        (Some(_), None) | (None, Some(_)) => false,
    }
}

/// Puts `op` of both into `slot`, copying only where the result differs.
fn combine(
    slot: &mut Option<Arc<Chunk>>,
    theirs: Option<&Arc<Chunk>>,
    op: impl Fn(u64, u64) -> u64,
) -> bool {
    const NONE: Chunk = [0; WORDS];
    let (ours, other) = (
        slot.as_deref().unwrap_or(&NONE),
        theirs.map_or(&NONE, |chunk| &**chunk),
    );
    let mut result = NONE;
    for ((out, a), b) in result.iter_mut().zip(ours).zip(other) {
        *out = op(*a, *b);
    }
    if result == *ours {
        return false;
    }
    *slot = if result == NONE {
        None
    } else if let Some(same) = theirs.filter(|chunk| ***chunk == result) {
        Some(Arc::clone(same))
    } else {
        Some(Arc::new(result))
    };
    true
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;

    fn set(members: &BTreeSet<usize>) -> Set {
        let mut set = Set::default();
        for member in members {
            set.insert(*member);
        }
        set
    }

    fn members() -> impl Strategy<Value = BTreeSet<usize>> {
        proptest::collection::btree_set(0..3 * SPAN, 0..12)
    }

    proptest! {
        #[test]
        fn does_what_a_plain_set_does(a in members(), b in members()) {
            let both: BTreeSet<_> = a.intersection(&b).copied().collect();
            let all: BTreeSet<_> = a.union(&b).copied().collect();
            let rest: BTreeSet<_> = a.difference(&b).copied().collect();
            let mut met = set(&a);
            prop_assert_eq!(met.intersect(&set(&b)), both != a);
            prop_assert_eq!(&met, &set(&both));
            let mut joined = set(&a);
            prop_assert_eq!(joined.unite(&set(&b)), all != a);
            prop_assert_eq!(&joined, &set(&all));
            let mut less = set(&a);
            less.subtract(&set(&b));
            prop_assert_eq!(&less, &set(&rest));
            prop_assert_eq!(less.iter().collect::<BTreeSet<_>>(), rest);
            let mut taken = set(&a);
            taken.remove_all(&b.iter().copied().collect::<Vec<_>>());
            prop_assert_eq!(&taken, &less);
            taken.remove_all(&a.into_iter().collect::<Vec<_>>());
            prop_assert_eq!(taken, Set::default());
        }
    }
}

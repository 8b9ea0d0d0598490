//! Keeping the place when a document is read again.

use crate::finding::{Placed, Subject};
use crate::procedure::{Step, StepId};

/// The finding of a new reading that has the place of one of the old: the same by
/// code and subject, or else the nearest before it that is still there, or else the
/// first.
pub(super) fn finding(old: &[Placed], at: usize, new: &[Placed]) -> usize {
    let before = old.get(..=at).unwrap_or(old);
    let kept = before.iter().enumerate();
    kept.rev()
        .find_map(|(n, found)| same(old, n, found, new))
        .unwrap_or(0)
}

/// The place in `new` of a finding of `old`.
fn same(old: &[Placed], at: usize, found: &Placed, new: &[Placed]) -> Option<usize> {
    let alike = |other: &Placed| is_alike(found, other);
    // More than one may be said of one subject by one rule.
    let nth = old.iter().take(at).filter(|other| alike(other)).count();
    let told = |other: &Placed| alike(other) && other.finding.sentence == found.finding.sentence;
    let nth_told = old.iter().take(at).filter(|other| told(other)).count();
    let places = |is: &dyn Fn(&Placed) -> bool| -> Vec<usize> {
        let all = new.iter().enumerate();
        all.filter(|(_, p)| is(p)).map(|(n, _)| n).collect()
    };
    let exact = places(&told);
    let any = places(&alike);
    exact.get(nth_told).or(any.get(nth)).or(any.last()).copied()
}

/// Whether two findings are by one rule about one thing. A stretch of text moves
/// with every letter before it: there the sentence tells.
fn is_alike(a: &Placed, b: &Placed) -> bool {
    let (a, b) = (&a.finding, &b.finding);
    let text = |s: &Subject| matches!(s.owner(), Subject::Text { .. });
    a.code == b.code
        && if text(&a.subject) && text(&b.subject) {
            a.sentence == b.sentence
        } else {
            a.subject == b.subject
        }
}

/// The step of a new reading that has the place of one of the old: the same, or else
/// the nearest before it that is still there, or else the first.
pub(super) fn step(old: &[Step], at: &StepId, new: &[Step]) -> Option<StepId> {
    let there = |id: &StepId| new.iter().any(|s| &s.id == id);
    if there(at) {
        return Some(at.clone());
    }
    let place = old.iter().position(|s| &s.id == at).unwrap_or(0);
    let before = old.get(..place).unwrap_or(&[]).iter().rev();
    let kept = before.map(|s| &s.id).find(|id| there(id));
    kept.or(new.first().map(|s| &s.id)).cloned()
}

//! Workings that are made from themselves.

use std::collections::{BTreeSet, VecDeque};

use super::{Raw, needed};
use crate::document::code::WORKING_CYCLE;
use crate::document::json::Span;
use crate::document::reader::{Reader, at};
use crate::finding::listed;
use crate::procedure::ValueId;

impl Reader {
    /// What still waits either waits for itself or for something that could not be read.
    /// A circle is told once, whole.
    pub(super) fn cycles(&mut self, waiting: &[Raw<'_>]) {
        let mut told: BTreeSet<&ValueId> = BTreeSet::new();
        for raw in waiting {
            self.own(raw);
            let Some((through, place)) = circle(raw, waiting) else {
                self.spoil();
                continue;
            };
            if told.contains(&raw.id) {
                self.spoil();
                continue;
            }
            told.insert(&raw.id);
            told.extend(&through);
            let names = listed(through.iter().map(|id| id.as_str()));
            let sentence = if through.is_empty() {
                format!("the working {} is made from itself", raw.id)
            } else {
                format!(
                    "the working {} is made from itself, through {names}",
                    raw.id
                )
            };
            let finding = at(WORKING_CYCLE, place, sentence)
                .help("a working is made from readings and from workings that come before it");
            self.push(finding);
        }
    }
}

/// The shortest way from a working back to itself: those between, and where it begins.
fn circle<'a>(raw: &'a Raw<'_>, waiting: &'a [Raw<'_>]) -> Option<(Vec<&'a ValueId>, Span)> {
    let mut seen: BTreeSet<&ValueId> = BTreeSet::new();
    let mut open: VecDeque<(&ValueId, Vec<&ValueId>, Span)> = needed(raw)
        .map(|(id, span)| (id, Vec::new(), span))
        .collect();
    while let Some((id, through, span)) = open.pop_front() {
        if *id == raw.id {
            return Some((through, span));
        }
        if !seen.insert(id) {
            continue;
        }
        let mut further = through;
        further.push(id);
        let made_from = waiting.iter().filter(|r| r.id == *id).flat_map(needed);
        open.extend(made_from.map(|(next, _)| (next, further.clone(), span)));
    }
    None
}

//! From what a finding is about to its place in the text.

use std::collections::BTreeMap;

use super::json::Span;
use crate::finding::{Finding, Place, Placed, Subject, escape};

/// How much of a line is kept before a mark, and again from it on, in characters;
/// drawing cuts further to the width there is.
const SHOWN: usize = 800;

/// Where one thing stands.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Spot {
    /// Its name, or else its first byte.
    pub(super) span: Span,
    /// Its fields.
    pub(super) fields: BTreeMap<String, Span>,
    /// The use of the fragment that it came from.
    pub(super) used_at: Option<Span>,
}

/// Where everything of one document stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    file: String,
    bytes: Vec<u8>,
    pub(super) spots: BTreeMap<Subject, Spot>,
    /// Bodies of fragments with the first use of each.
    pub(super) bodies: Vec<(Span, Span)>,
}

impl Places {
    /// The places of a document in which nothing is known yet but its text.
    pub(super) fn new(file: &str, bytes: &[u8]) -> Self {
        Self {
            file: file.to_owned(),
            bytes: bytes.to_vec(),
            spots: BTreeMap::new(),
            bodies: Vec::new(),
        }
    }

    /// The finding with its place, if this document has what it is about.
    pub fn place(&self, finding: &Finding) -> Placed {
        let found = self.span(&finding.subject);
        Placed {
            finding: finding.clone(),
            place: found.map(|(span, _)| self.at(span)),
            used_at: found.and_then(|(_, used)| used).map(|span| self.at(span)),
        }
    }

    /// Where something stands, and the use of the fragment it came from.
    pub fn find(&self, subject: &Subject) -> Option<Place> {
        self.span(subject).map(|(span, _)| self.at(span))
    }

    /// The first byte of a subject; the end of the text for what has no place.
    pub(super) fn start(&self, subject: &Subject) -> usize {
        self.span(subject).map_or(usize::MAX, |(span, _)| span.0)
    }

    fn span(&self, subject: &Subject) -> Option<(Span, Option<Span>)> {
        if let Subject::Text { from, to } = subject {
            let inside = |body: &Span| body.0 <= *from && *to <= body.1;
            let used = self.bodies.iter().find(|(body, _)| inside(body));
            return Some(((*from, *to), used.map(|(_, used)| *used)));
        }
        if let Subject::Field(of, name) = subject
            && let Some(spot) = self.spots.get(of)
            && let Some(span) = spot.fields.get(name)
        {
            return Some((*span, spot.used_at));
        }
        if let Some(spot) = self.spots.get(subject) {
            return Some((spot.span, spot.used_at));
        }
        if *subject == Subject::Document {
            return Some(((0, self.bytes.len().min(1)), None));
        }
        if let Subject::Field(of, _) = subject {
            return self.span(of);
        }
        let owner = subject.owner();
        (owner != *subject).then(|| self.span(&owner)).flatten()
    }

    fn at(&self, span: Span) -> Place {
        let end = self.bytes.len();
        let from = span.0.min(end);
        let before = self.bytes.get(..from).unwrap_or_default();
        let after = self.bytes.get(from..).unwrap_or_default();
        let start = before
            .iter()
            .rposition(|b| *b == b'\n')
            .map_or(0, |i| i + 1);
        let head = before.get(start..).unwrap_or_default();
        let tail = match after.iter().position(|b| *b == b'\n') {
            Some(i) => after.get(..i).unwrap_or_default(),
            None => after,
        };
        let marked = span.1.saturating_sub(span.0).clamp(1, tail.len().max(1));
        let (mark, rest) = tail.split_at(marked.min(tail.len()));
        let (text, mark) = excerpt(head, mark, rest);
        Place {
            file: self.file.clone(),
            line: before.split(|b| *b == b'\n').count(),
            column: 1 + String::from_utf8_lossy(head).chars().count(),
            span,
            text,
            mark,
        }
    }
}

/// The line cut round its mark, escaped, and the mark in it.
fn excerpt(head: &[u8], mark: &[u8], rest: &[u8]) -> (String, (usize, usize)) {
    let head = String::from_utf8_lossy(head);
    let count = head.chars().count();
    let head: String = if count > SHOWN {
        let tail: String = head.chars().skip(count - SHOWN).collect();
        format!("...{tail}")
    } else {
        head.into_owned()
    };
    let mark: String = String::from_utf8_lossy(mark).chars().take(SHOWN).collect();
    let rest = String::from_utf8_lossy(rest);
    let mut tail: String = rest.chars().take(SHOWN).collect();
    if rest.chars().nth(SHOWN).is_some() {
        tail.push_str("...");
    }
    let clean = |text: &str| escape(&text.replace('\t', " ")).into_owned();
    let mut text = clean(&head);
    let from = text.len();
    text.push_str(&clean(mark.trim_end()));
    let to = text.len().max(from + 1);
    text.push_str(&clean(tail.trim_end()));
    if text.len() < to {
        text.push(' ');
    }
    (text, (from, to))
}

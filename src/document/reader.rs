//! Reads a tree, collecting everything that is wrong instead of stopping.
//!
//! Each `Option` that comes back empty has already left its finding behind.
//! What could not be read marks its owner as spoiled, so that rules say nothing
//! about it that the first finding already explains.

use std::collections::{BTreeMap, BTreeSet};

use super::at_hand::AtHand;
use super::code::{
    CONTROL_CHARACTER, EMPTY, MISSING_FIELD, OUT_OF_RANGE, TEXT_TOO_LONG, UNKNOWN_FIELD,
    UNKNOWN_WORD, WRONG_SHAPE,
};
use super::form::Form;
use super::json::{Json, Member, Node, Span};
use super::name::Declared;
use super::place::Spot;
use crate::finding::{Code, Finding, Subject, is_steering, listed, near};
use crate::procedure::Procedure;

/// The longest title, in characters.
pub(super) const TITLE: usize = 60;
/// The longest line of text, in characters.
pub(super) const LINE: usize = 200;

/// A finding at a stretch of text.
pub(super) fn at(code: Code, span: Span, sentence: impl Into<String>) -> Finding {
    let (from, to) = span;
    Finding::error(code, Subject::Text { from, to }, sentence)
}

/// Reads, and collects what is wrong.
#[derive(Debug, Default)]
pub(super) struct Reader {
    /// What was found so far.
    pub(super) findings: Vec<Finding>,
    /// The names that the document declares.
    pub(super) declared: Declared,
    /// Where things stand.
    pub(super) spots: BTreeMap<Subject, Spot>,
    /// What had to be left out or cut, so that more about it would mislead.
    pub(super) spoiled: BTreeSet<Subject>,
    /// Something could not be read, before any rule was asked.
    pub(super) is_cut: bool,
    /// What is being read.
    owner: Option<Subject>,
    /// The use of a fragment that is being read.
    pub(super) used_at: Option<Span>,
    /// How many steps came out of fragments so far.
    pub(super) expanded: usize,
    seen: BTreeSet<(Code, Subject, String)>,
    /// Raw control characters that the scanner has told already, by their first byte.
    pub(super) told: BTreeSet<usize>,
    /// The procedure against which the names of a rehearsal are held.
    pub(super) against: Option<Box<Procedure>>,
    /// The other documents against which names are held.
    pub(super) at_hand: Option<Box<AtHand>>,
    /// Fields that were meant by a misspelt one, by the first byte of their object.
    misspelt: BTreeSet<(usize, String)>,
}

/// The members of an object, known and unknown fields told apart.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fields<'a> {
    /// Where the object stands.
    pub(super) span: Span,
    /// What it is, for people ("a step").
    pub(super) what: &'a str,
    members: &'a [Member],
}

impl<'a> Fields<'a> {
    /// The value of a field.
    pub(super) fn get(&self, name: &str) -> Option<&'a Node> {
        self.member(name).map(|m| &m.node)
    }

    /// The field with its key.
    pub(super) fn member(&self, name: &str) -> Option<&'a Member> {
        self.members.iter().find(|m| m.key == name)
    }

    /// The opening brace: the place of an object that lacks something.
    pub(super) const fn open(&self) -> Span {
        (self.span.0, self.span.0 + 1)
    }
}

impl Reader {
    /// Keeps a finding, once.
    pub(super) fn push(&mut self, finding: Finding) {
        if finding.is_error() {
            self.spoil();
        }
        let key = (
            finding.code,
            finding.subject.clone(),
            finding.sentence.clone(),
        );
        if self.seen.insert(key) {
            self.findings.push(finding);
        }
    }

    /// Marks what is being read as cut.
    pub(super) fn spoil(&mut self) {
        if let Some(owner) = &self.owner {
            self.spoiled.insert(owner.clone());
        }
    }

    /// From here on findings are about this; its place is kept.
    pub(super) fn about(&mut self, subject: Subject, span: Span, fields: Option<&Fields<'_>>) {
        self.keep(subject.clone(), span, fields);
        self.owner = Some(subject);
    }

    /// From here on findings are about this, whose place is known.
    pub(super) fn resume(&mut self, subject: Subject) {
        self.owner = Some(subject);
    }

    /// Keeps a place.
    pub(super) fn keep(&mut self, subject: Subject, span: Span, fields: Option<&Fields<'_>>) {
        let fields = fields.map_or_else(BTreeMap::new, |f| {
            f.members
                .iter()
                .map(|m| (m.key.clone(), m.key_span))
                .collect()
        });
        let used_at = self.used_at;
        self.spots.entry(subject).or_insert(Spot {
            span,
            fields,
            used_at,
        });
    }

    pub(super) fn shape(&mut self, node: &Node, wanted: &str) {
        let sentence = format!("found {}; {wanted} is wanted here", node.value.what());
        self.push(at(WRONG_SHAPE, head(node), sentence));
    }

    /// An object of this sort; `note` may always be there.
    pub(super) fn object<'a>(&mut self, node: &'a Node, form: &Form) -> Option<Fields<'a>> {
        self.object_with(node, form.what, form.fields)
    }

    /// An object with these fields; `note` may always be there.
    pub(super) fn object_with<'a>(
        &mut self,
        node: &'a Node,
        what: &'static str,
        known: &[&str],
    ) -> Option<Fields<'a>> {
        let members = self.members(node, what)?;
        for member in members {
            if member.key == "note" {
                self.lines(&member.node, usize::MAX);
            } else if !known.contains(&member.key.as_str()) {
                let sentence = format!("{what} has no field {:?}", member.key);
                let finding = at(UNKNOWN_FIELD, member.key_span, sentence)
                    .help_near(&member.key, known.iter().copied());
                self.push(finding);
                let absent = known
                    .iter()
                    .filter(|k| members.iter().all(|m| m.key != **k));
                if let Some(meant) = near(&member.key, absent.copied()) {
                    self.misspelt.insert((node.span.0, meant.to_owned()));
                }
            }
        }
        Some(Fields {
            span: node.span,
            what,
            members,
        })
    }

    /// The members of an object whose keys are names.
    pub(super) fn members<'a>(&mut self, node: &'a Node, what: &str) -> Option<&'a [Member]> {
        if let Json::Object(members) = &node.value {
            return Some(members);
        }
        self.shape(node, &format!("an object ({what})"));
        None
    }

    /// The items of a list.
    pub(super) fn items<'a>(&mut self, node: &'a Node) -> Option<&'a [Node]> {
        if let Json::List(items) = &node.value {
            return Some(items);
        }
        self.shape(node, "a list");
        None
    }

    /// A list of exactly two.
    pub(super) fn pair<'a>(&mut self, node: &'a Node) -> Option<(&'a Node, &'a Node)> {
        if let [a, b] = self.items(node)? {
            return Some((a, b));
        }
        self.push(at(
            WRONG_SHAPE,
            head(node),
            "a list of exactly two is wanted here",
        ));
        None
    }

    /// A field that must be there.
    pub(super) fn need<'a>(&mut self, fields: &Fields<'a>, name: &str) -> Option<&'a Node> {
        let found = fields.get(name);
        if found.is_none() && self.meant(fields, name) {
            self.spoil();
        } else if found.is_none() {
            let sentence = format!("{} lacks its field {name:?}", fields.what);
            let finding =
                at(MISSING_FIELD, fields.open(), sentence).help(format!("add it: \"{name}\": ..."));
            self.push(finding);
        }
        found
    }

    /// Whether a field is missing because it is misspelt, which has been said.
    pub(super) fn meant(&self, fields: &Fields<'_>, name: &str) -> bool {
        self.misspelt.contains(&(fields.span.0, name.to_owned()))
    }

    /// The same of an object that is not open.
    pub(super) fn misspelt_at(&self, node: &Node, name: &str) -> bool {
        self.misspelt.contains(&(node.span.0, name.to_owned()))
    }

    /// A string, without control characters and not empty.
    pub(super) fn string<'a>(&mut self, node: &'a Node) -> Option<&'a str> {
        let Json::String(text) = &node.value else {
            self.shape(node, "a string");
            return None;
        };
        if let Some(c) = text.chars().find(|c| is_steering(*c)) {
            if self.told.range(node.span.0..node.span.1).next().is_some() {
                self.spoil();
                return None;
            }
            let sentence = format!("control character U+{:04X} in a text", u32::from(c));
            let finding = at(CONTROL_CHARACTER, node.span, sentence)
                .help("text is plain letters; several lines are a list of strings");
            self.push(finding);
            return None;
        }
        if text.trim().is_empty() {
            self.push(
                at(EMPTY, node.span, "there is no text here")
                    .help("write it, or leave the field out"),
            );
            return None;
        }
        Some(text)
    }

    /// One line of text of at most so many characters.
    pub(super) fn line(&mut self, node: &Node, most: usize) -> Option<String> {
        let longer = "say it shorter, or make it two lines if the field takes a list";
        let text = self.string(node)?;
        let length = text.chars().count();
        if length > most {
            let sentence = format!("this text has {length} characters; {most} fit on the screen");
            let finding = at(TEXT_TOO_LONG, node.span, sentence).help(longer);
            self.push(finding);
            return None;
        }
        Some(text.to_owned())
    }

    /// The place of the schema that an editor uses: a text, and nothing more is made
    /// of it.
    pub(super) fn schema(&mut self, root: &Fields<'_>) {
        if let Some(node) = root.get("$schema") {
            self.string(node);
        }
    }

    /// A title.
    pub(super) fn title(&mut self, fields: &Fields<'_>) -> String {
        let node = self.need(fields, "title");
        node.and_then(|n| self.line(n, TITLE)).unwrap_or_default()
    }

    /// One line in a field that may be left out.
    pub(super) fn line_in(
        &mut self,
        fields: &Fields<'_>,
        name: &str,
        most: usize,
    ) -> Option<String> {
        self.line(fields.get(name)?, most)
    }

    /// A string or a list of strings.
    pub(super) fn lines(&mut self, node: &Node, most: usize) -> Vec<String> {
        match &node.value {
            Json::List(items) if items.is_empty() => {
                self.push(
                    at(EMPTY, node.span, "this list has nothing in it").help("leave the field out"),
                );
                Vec::new()
            }
            Json::List(items) => items.iter().filter_map(|i| self.line(i, most)).collect(),
            Json::String(_) => self.line(node, most).into_iter().collect(),
            Json::Null | Json::Bool(_) | Json::Number(_) | Json::Object(_) => {
                self.shape(node, "a string or a list of strings");
                Vec::new()
            }
        }
    }

    /// Lines in a field that may be left out.
    pub(super) fn lines_in(&mut self, fields: &Fields<'_>, name: &str) -> Vec<String> {
        fields
            .get(name)
            .map_or_else(Vec::new, |node| self.lines(node, LINE))
    }

    /// `true` or `false`; false if left out.
    pub(super) fn flag(&mut self, fields: &Fields<'_>, name: &str) -> bool {
        let Some(node) = fields.get(name) else {
            return false;
        };
        if let Json::Bool(flag) = node.value {
            return flag;
        }
        self.shape(node, "true or false");
        false
    }

    /// A whole number in a range.
    pub(super) fn count(&mut self, node: &Node, least: u32, most: u32) -> Option<u32> {
        let Json::Number(written) = &node.value else {
            self.shape(node, "a whole number");
            return None;
        };
        match written.parse::<u32>() {
            Ok(n) if (least..=most).contains(&n) => Some(n),
            _ => {
                let sentence = format!(
                    "{written} can't stand here; a whole number from {least} to {most} can"
                );
                self.push(at(OUT_OF_RANGE, node.span, sentence));
                None
            }
        }
    }

    /// One of a closed list of words, each with its meaning.
    pub(super) fn word<T: Copy>(&mut self, node: &Node, words: &[(&str, T)]) -> Option<T> {
        let text = self.string(node)?;
        let found = words.iter().find(|(word, _)| *word == text);
        if found.is_none() {
            let known = || words.iter().map(|(word, _)| *word);
            let mut finding = at(
                UNKNOWN_WORD,
                node.span,
                format!("{text:?} is not known here"),
            )
            .help_near(text, known());
            let list = format!("accepted here: {}", listed(known()));
            if !finding.help.contains(&list) {
                finding = finding.help(list);
            }
            self.push(finding);
        }
        found.map(|(_, meaning)| *meaning)
    }
}

/// The part of a value that is underlined: the first character of what is long.
pub(super) const fn head(node: &Node) -> Span {
    match node.value {
        Json::List(_) | Json::Object(_) => (node.span.0, node.span.0 + 1),
        Json::Null | Json::Bool(_) | Json::Number(_) | Json::String(_) => node.span,
    }
}

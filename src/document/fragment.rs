//! Fragments: named runs of steps, written out wherever they are used (S16).

use std::collections::{BTreeMap, BTreeSet};

use super::code::{
    CLASHING_FIELDS, DUPLICATE_NAME, EMPTY, FRAGMENT_PARAMETER, TOO_LARGE, UNKNOWN_NAME,
    UNUSED_FRAGMENT,
};
use super::form;
use super::json::{Json, Member, Node, Span};
use super::name::Sort;
use super::reader::{Fields, Reader, at, head};
use crate::finding::{Severity, Subject, near};
use crate::procedure::is_plain_id;

/// A step to be read, wherever it came from.
#[derive(Debug, Clone)]
pub(super) struct Written {
    /// Its text, with names and parameters of its use filled in.
    pub(super) node: Node,
    /// Index of its phase.
    pub(super) phase: usize,
    /// The use of the fragment.
    pub(super) used_at: Option<Span>,
}

/// A fragment as written.
#[derive(Debug)]
struct Fragment<'a> {
    key_span: Span,
    params: BTreeSet<String>,
    steps: &'a [Node],
    body: Span,
}

/// The fragments of a document.
#[derive(Debug, Default)]
pub(super) struct Fragments<'a> {
    by_name: BTreeMap<String, Fragment<'a>>,
    first_use: BTreeMap<String, Span>,
    places: BTreeSet<String>,
}

impl Fragments<'_> {
    /// Bodies with the first use of each.
    pub(super) fn bodies(&self) -> Vec<(Span, Span)> {
        let used = self.first_use.iter();
        used.filter_map(|(name, span)| Some((self.by_name.get(name)?.body, *span)))
            .collect()
    }
}

/// Steps that fragments may come to when they are written out.
const MOST_EXPANDED: usize = 20_000;

impl Reader {
    /// All fragments.
    pub(super) fn fragments<'a>(&mut self, root: &Fields<'a>) -> Fragments<'a> {
        let mut out = Fragments::default();
        let Some(node) = root.get("fragments") else {
            return out;
        };
        for member in self.members(node, "fragments").unwrap_or_default() {
            if member.key == "note" && !matches!(member.node.value, Json::Object(_)) {
                continue;
            }
            self.about(Subject::Fragment(member.key.clone()), member.key_span, None);
            let Some(fields) = self.object(&member.node, &form::FRAGMENT) else {
                continue;
            };
            let params = self.params(&fields);
            let steps = self.need(&fields, "steps").and_then(|n| self.items(n));
            let fragment = Fragment {
                key_span: member.key_span,
                params,
                steps: steps.unwrap_or_default(),
                body: member.node.span,
            };
            if steps.is_some_and(<[Node]>::is_empty) {
                self.push(at(EMPTY, fields.open(), "this fragment has no steps"));
            }
            out.by_name.insert(member.key.clone(), fragment);
        }
        out
    }

    fn params(&mut self, fields: &Fields<'_>) -> BTreeSet<String> {
        let Some(node) = fields.get("with") else {
            return BTreeSet::new();
        };
        let items = self.items(node).unwrap_or_default();
        let mut params = BTreeSet::new();
        for item in items {
            let Some(name) = self.string(item) else {
                continue;
            };
            if !is_plain_id(name) {
                let sentence = format!("{name:?} can't name a parameter");
                self.push(
                    at(super::code::BAD_NAME, item.span, sentence)
                        .help("use small letters, figures and single underscores"),
                );
            } else if !params.insert(name.to_owned()) {
                let sentence = format!("the parameter {name:?} is named twice");
                self.push(at(DUPLICATE_NAME, item.span, sentence));
            }
        }
        params
    }

    /// The steps of a use, written out.
    pub(super) fn expand(
        &mut self,
        node: &Node,
        phase: usize,
        fragments: &mut Fragments<'_>,
    ) -> Vec<Written> {
        self.try_expand(node, phase, fragments).unwrap_or_else(|| {
            self.declared.steps_unknown = true;
            Vec::new()
        })
    }

    fn try_expand(
        &mut self,
        node: &Node,
        phase: usize,
        fragments: &mut Fragments<'_>,
    ) -> Option<Vec<Written>> {
        let fields = self.object(node, &form::USE)?;
        let place = self
            .need(&fields, "as")
            .and_then(|n| self.place_name(n, fragments));
        let name_node = self.need(&fields, "use")?;
        let name = self.string(name_node)?;
        let Some(fragment) = fragments.by_name.get(name) else {
            let finding = at(
                UNKNOWN_NAME,
                name_node.span,
                format!("no fragment is called {name:?}"),
            )
            .help_near(name, fragments.by_name.keys().map(String::as_str));
            self.push(finding);
            return None;
        };
        fragments
            .first_use
            .entry(name.to_owned())
            .or_insert(name_node.span);
        let given = self.arguments(&fields, name_node, name, &fragment.params);
        let place = place?;
        let own: BTreeSet<&str> = fragment.steps.iter().filter_map(id_of).collect();
        let filling = Filling {
            place: &place,
            own: &own,
            given: &given,
        };
        self.expanded += fragment.steps.len();
        if self.expanded > MOST_EXPANDED {
            if self.expanded - fragment.steps.len() <= MOST_EXPANDED {
                let say = format!(
                    "the fragments come to more than {MOST_EXPANDED} steps written out; use them less often, or make them shorter"
                );
                self.push(at(TOO_LARGE, name_node.span, say));
            }
            return None;
        }
        let mut steps: Vec<Written> = Vec::new();
        for step in fragment.steps {
            let node = self.step_of_use(step, &filling);
            steps.push(Written {
                node,
                phase,
                used_at: Some(name_node.span),
            });
        }
        if let Some(first) = steps.first().and_then(|s| id_of(&s.node)) {
            self.declared
                .first_of_use
                .insert(place.clone(), first.to_owned());
        }
        if let (Some(ways), Some(last)) = (fields.member("ways"), steps.last_mut()) {
            self.ways_of_use(ways, &mut last.node);
        }
        Some(steps)
    }

    fn place_name(&mut self, node: &Node, fragments: &mut Fragments<'_>) -> Option<String> {
        let place = self.string(node)?;
        if !is_plain_id(place) {
            let sentence = format!("{place:?} can't be the name of a use");
            self.push(
                at(super::code::BAD_NAME, node.span, sentence)
                    .help("use small letters, figures and single underscores"),
            );
            return None;
        }
        if !fragments.places.insert(place.to_owned()) {
            let sentence = format!("two uses of fragments are called {place:?}");
            self.push(at(DUPLICATE_NAME, node.span, sentence));
            return None;
        }
        Some(place.to_owned())
    }

    fn arguments(
        &mut self,
        fields: &Fields<'_>,
        at_use: &Node,
        name: &str,
        params: &BTreeSet<String>,
    ) -> BTreeMap<String, String> {
        let mut given = BTreeMap::new();
        let members = fields
            .get("with")
            .and_then(|n| self.members(n, "the values of parameters"));
        for member in members.unwrap_or_default() {
            if member.key == "note" && !params.contains("note") {
                continue;
            }
            if !params.contains(&member.key) {
                let sentence = format!("the fragment {name} has no parameter {:?}", member.key);
                let finding = at(FRAGMENT_PARAMETER, member.key_span, sentence)
                    .help_near(&member.key, params.iter().map(String::as_str));
                self.push(finding);
            }
            let value = self.string(&member.node).unwrap_or_default();
            given.insert(member.key.clone(), value.to_owned());
        }
        let left_over: Vec<&str> = given.keys().map(String::as_str).collect();
        let meant = |param: &str| {
            let unknown = left_over.iter().filter(|k| !params.contains(**k));
            near(param, unknown.copied()).is_some()
        };
        let missing = params.iter().filter(|p| !given.contains_key(*p));
        for param in missing.filter(|p| !meant(p)) {
            let sentence = format!("this use of {name} gives no {param:?}");
            self.push(
                at(FRAGMENT_PARAMETER, at_use.span, sentence)
                    .help(format!("add it: \"with\": {{\"{param}\": ...}}")),
            );
        }
        for param in params {
            given.entry(param.clone()).or_default();
        }
        given
    }

    /// A step of a fragment with the names and parameters of its use.
    fn step_of_use(&mut self, step: &Node, filling: &Filling<'_>) -> Node {
        let mut step = step.clone();
        if let Json::Object(members) = &mut step.value {
            for member in members {
                match member.key.as_str() {
                    "id" | "ways" => rename(&mut member.node, filling),
                    "choices" => rename_choices(&mut member.node, filling),
                    _ => {}
                }
            }
        }
        self.fill(&mut step, filling.given);
        step
    }

    /// Puts the values of parameters in.
    fn fill(&mut self, node: &mut Node, given: &BTreeMap<String, String>) {
        let span = node.span;
        match &mut node.value {
            Json::String(text) => {
                if let Some(filled) = self.filled(text, span, given) {
                    *text = filled;
                }
            }
            Json::List(items) => items.iter_mut().for_each(|n| self.fill(n, given)),
            Json::Object(members) => members
                .iter_mut()
                .filter(|m| m.key != "note")
                .for_each(|m| self.fill(&mut m.node, given)),
            Json::Null | Json::Bool(_) | Json::Number(_) => {}
        }
    }

    fn filled(
        &mut self,
        text: &str,
        span: Span,
        given: &BTreeMap<String, String>,
    ) -> Option<String> {
        if let Some(name) = text.strip_prefix('$')
            && is_plain_id(name)
        {
            return self.argument(name, span, given);
        }
        let mut out = String::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let named = after.split_once('}').filter(|(name, _)| is_plain_id(name));
            if let Some((name, then)) = named {
                out.push_str(&self.argument(name, span, given)?);
                rest = then;
            } else {
                out.push('{');
                rest = after;
            }
        }
        out.push_str(rest);
        Some(out)
    }

    fn argument(
        &mut self,
        name: &str,
        span: Span,
        given: &BTreeMap<String, String>,
    ) -> Option<String> {
        let found = given.get(name).cloned();
        if found.is_none() {
            let finding = at(
                FRAGMENT_PARAMETER,
                span,
                format!("the fragment declares no parameter {name:?}"),
            )
            .help_near(name, given.keys().map(String::as_str))
            .help("parameters are listed in the fragment under \"with\"");
            self.push(finding);
        }
        found
    }

    /// The ways that a use gives to the last step of its fragment.
    fn ways_of_use(&mut self, ways: &Member, last: &mut Node) {
        let (Json::Object(new), Json::Object(members)) = (&ways.node.value, &mut last.value) else {
            self.members(&ways.node, "ways");
            return;
        };
        let Some(old) = members.iter_mut().find(|m| m.key == "ways") else {
            members.push(ways.clone());
            return;
        };
        let Json::Object(old) = &mut old.node.value else {
            return;
        };
        for way in new {
            if old.iter().any(|m| m.key == way.key) {
                let sentence = format!(
                    "the last step of the fragment has a way for {:?} of its own",
                    way.key
                );
                self.push(at(CLASHING_FIELDS, way.key_span, sentence).help("keep one of the two"));
            } else {
                old.push(way.clone());
            }
        }
    }

    /// Fragments that nothing uses; the proof sees only what is written out.
    pub(super) fn unused(&mut self, fragments: &Fragments<'_>) {
        for (name, fragment) in &fragments.by_name {
            if !fragments.first_use.contains_key(name) {
                let mut finding = at(
                    UNUSED_FRAGMENT,
                    fragment.key_span,
                    format!("nothing uses the fragment {name}"),
                )
                .help("use it, or remove it; what nothing uses is not checked");
                finding.severity = Severity::Warning;
                self.push(finding);
            }
        }
    }

    /// Takes note of the names of all steps.
    pub(super) fn declare_steps(&mut self, steps: &[Written]) {
        for step in steps {
            match id_of(&step.node) {
                Some(id) => {
                    self.declared.add(Sort::Step, id);
                }
                None => self.declared.steps_unknown = true,
            }
        }
    }
}

/// What a use puts into the steps of its fragment.
struct Filling<'a> {
    place: &'a str,
    own: &'a BTreeSet<&'a str>,
    given: &'a BTreeMap<String, String>,
}

/// Whether a node in a list of steps is the use of a fragment.
pub(super) fn is_use(node: &Node) -> bool {
    matches!(&node.value, Json::Object(members) if members.iter().any(|m| m.key == "use"))
}

fn id_of(node: &Node) -> Option<&str> {
    let Json::Object(members) = &node.value else {
        return None;
    };
    match &members.iter().find(|m| m.key == "id")?.node.value {
        Json::String(id) => Some(id),
        Json::Null | Json::Bool(_) | Json::Number(_) | Json::List(_) | Json::Object(_) => None,
    }
}

/// Names of the fragment's own steps get the place before them.
fn rename(node: &mut Node, filling: &Filling<'_>) {
    match &mut node.value {
        Json::String(text) if filling.own.contains(text.as_str()) => {
            *text = format!("{}__{text}", filling.place);
        }
        Json::Object(members) => members
            .iter_mut()
            .for_each(|m| rename(&mut m.node, filling)),
        Json::Null | Json::Bool(_) | Json::Number(_) | Json::String(_) | Json::List(_) => {}
    }
}

fn rename_choices(node: &mut Node, filling: &Filling<'_>) {
    let Json::List(choices) = &mut node.value else {
        return;
    };
    for choice in choices {
        let Json::Object(members) = &mut choice.value else {
            continue;
        };
        for member in members.iter_mut().filter(|m| m.key == "to") {
            rename(&mut member.node, filling);
        }
    }
}

/// The place of a step in findings: its id, or its first byte.
pub(super) fn place_of(node: &Node) -> Span {
    let Json::Object(members) = &node.value else {
        return head(node);
    };
    members
        .iter()
        .find(|m| m.key == "id")
        .map_or_else(|| head(node), |m| m.node.span)
}

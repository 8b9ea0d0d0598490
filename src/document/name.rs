//! Names: what a document declares, and references to it.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{BAD_NAME, DUPLICATE_NAME, UNKNOWN_NAME, UNKNOWN_STEP};
use super::json::{Json, Member, Node};
use super::reader::{Fields, Reader, at};
use crate::procedure::{
    ActId, ChoiceId, ConditionId, DutyId, HazardId, IdError, InstrumentId, PhaseId, Procedure,
    ProcedureId, RoleId, SettingId, SheetId, SheetKey, StepId, TickId, ValueId,
};

/// What a name may stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sort {
    SheetKey,
    Role,
    Condition,
    Duty,
    Setting,
    Value,
    Hazard,
    Act,
    Step,
    /// A name that nothing else in the document refers to.
    Own,
}

impl Sort {
    const fn what(self) -> &'static str {
        match self {
            Self::SheetKey => "sheet value",
            Self::Role => "role",
            Self::Condition => "condition",
            Self::Duty => "duty",
            Self::Setting => "setting",
            Self::Value => "reading or working",
            Self::Hazard => "hazard",
            Self::Act => "act",
            Self::Step => "step",
            Self::Own => "name",
        }
    }
}

/// The names that the document declares, also of what could not be read.
#[derive(Debug, Default)]
pub(super) struct Declared {
    names: BTreeMap<Sort, BTreeSet<String>>,
    /// The first step of each use of a fragment.
    pub(super) first_of_use: BTreeMap<String, String>,
    /// What stands under a misspelt field of the document, so that it can't be read:
    /// silence about names of that sort.
    pub(super) misspelt: BTreeSet<Sort>,
    /// The list of steps could not be read whole: silence about unknown ones.
    pub(super) steps_unknown: bool,
}

impl Declared {
    /// Adds a name; false if it was there.
    pub(super) fn add(&mut self, sort: Sort, name: &str) -> bool {
        self.names.entry(sort).or_default().insert(name.to_owned())
    }

    fn has(&self, sort: Sort, name: &str) -> bool {
        self.names.get(&sort).is_some_and(|n| n.contains(name))
    }

    fn all(&self, sort: Sort) -> impl Iterator<Item = &str> {
        let names = self.names.get(&sort).into_iter().flatten();
        names.map(String::as_str)
    }
}

/// An id that documents write.
pub(super) trait Name: Sized + Ord {
    /// What it names.
    const SORT: Sort;
    /// Makes it.
    fn make(text: &str) -> Result<Self, IdError>;
}

macro_rules! name {
    ($($id:ident $sort:ident),* $(,)?) => {
        $(impl Name for $id {
            const SORT: Sort = Sort::$sort;
            fn make(text: &str) -> Result<Self, IdError> {
                Self::new(text)
            }
        })*
    };
}

name! {
    ProcedureId Own, SheetId Own, InstrumentId Own, PhaseId Own, TickId Own, ChoiceId Own,
    SheetKey SheetKey, RoleId Role, ConditionId Condition, DutyId Duty, SettingId Setting,
    ValueId Value, HazardId Hazard, ActId Act, StepId Step,
}

impl Reader {
    /// From here on every name is one that this procedure declares.
    pub(super) fn hold_against(&mut self, graph: &Procedure) {
        let mut add = |sort: Sort, name: &str| self.declared.add(sort, name);
        let values = graph.readings.keys().chain(graph.workings.keys());
        values.for_each(|id| _ = add(Sort::Value, id.as_str()));
        let conditions = graph.conditions.keys();
        conditions.for_each(|id| _ = add(Sort::Condition, id.as_str()));
        let duties = graph.duties.keys();
        duties.for_each(|id| _ = add(Sort::Duty, id.as_str()));
        let roles = graph.roles.keys();
        roles.for_each(|id| _ = add(Sort::Role, id.as_str()));
        let steps = graph.steps.iter();
        steps.for_each(|step| _ = add(Sort::Step, step.id.as_str()));
        self.against = Some(Box::new(graph.clone()));
    }

    /// A new name; in a rehearsal held against its procedure, one declared there.
    pub(super) fn name<T: Name>(&mut self, node: &Node) -> Option<T> {
        if self.against.is_some() && T::SORT != Sort::Own {
            return self.named(node);
        }
        let text = self.string(node)?;
        match T::make(text) {
            Ok(id) => Some(id),
            Err(error) => {
                self.push(at(BAD_NAME, node.span, error.to_string()));
                None
            }
        }
    }

    /// A new name as the key of an object.
    pub(super) fn key<T: Name>(&mut self, member: &Member) -> Option<T> {
        let is_new = self.against.is_none() || T::SORT == Sort::Own;
        if !is_new && !self.declared.has(T::SORT, &member.key) {
            let sentence = format!("no {} is called {:?}", T::SORT.what(), member.key);
            let finding = at(UNKNOWN_NAME, member.key_span, sentence)
                .help_near(&member.key, self.declared.all(T::SORT));
            self.push(finding);
            return None;
        }
        match T::make(&member.key) {
            Ok(id) => Some(id),
            Err(error) => {
                self.push(at(BAD_NAME, member.key_span, error.to_string()));
                None
            }
        }
    }

    /// The name of something declared.
    pub(super) fn named<T: Name>(&mut self, node: &Node) -> Option<T> {
        let text = self.string(node)?;
        if T::SORT == Sort::Step {
            return self.step_named(node, text);
        }
        if !self.declared.has(T::SORT, text) {
            if self.declared.misspelt.contains(&T::SORT) {
                self.spoil();
                return None;
            }
            let sentence = format!("no {} is called {text:?}", T::SORT.what());
            let mut finding = at(UNKNOWN_NAME, node.span, sentence);
            if self.is_told() {
                finding = finding.help_near(text, self.declared.all(T::SORT));
            }
            self.push(finding);
            return None;
        }
        // A declared name against the pattern has its finding where it is declared.
        let id = T::make(text).ok();
        if id.is_none() {
            self.spoil();
        }
        id
    }

    fn step_named<T: Name>(&mut self, node: &Node, text: &str) -> Option<T> {
        let first = self.declared.first_of_use.get(text);
        let text = first.map_or(text, String::as_str);
        if self.declared.has(Sort::Step, text) {
            return T::make(text).ok();
        }
        if self.declared.steps_unknown {
            self.spoil();
            return None;
        }
        let mut finding = at(
            UNKNOWN_STEP,
            node.span,
            format!("no step is called {text:?}"),
        );
        if self.is_told() {
            let uses = self.declared.first_of_use.keys().map(String::as_str);
            finding = finding.help_near(text, self.declared.all(Sort::Step).chain(uses));
        }
        self.push(finding);
        None
    }

    /// Whether the next finding will be told: near names cost too much for the rest.
    const fn is_told(&self) -> bool {
        self.findings.len() < super::MOST
    }

    /// A list of declared names, each once.
    pub(super) fn names<T: Name>(&mut self, node: &Node) -> Vec<T> {
        let mut seen = BTreeSet::new();
        let mut out = Vec::new();
        for item in self.items(node).unwrap_or_default() {
            if let Json::String(text) = &item.value
                && !seen.insert(text.as_str())
            {
                let sentence = format!("{text:?} stands twice in this list");
                self.push(at(DUPLICATE_NAME, item.span, sentence));
                continue;
            }
            out.extend(self.named(item));
        }
        out
    }

    /// A list of declared names in a field that may be left out.
    pub(super) fn names_in<T: Name>(&mut self, fields: &Fields<'_>, name: &str) -> BTreeSet<T> {
        let node = fields.get(name);
        let names = node.map_or_else(Vec::new, |n| self.names(n));
        names.into_iter().collect()
    }

    /// The same, in order.
    pub(super) fn list_in<T: Name>(&mut self, fields: &Fields<'_>, name: &str) -> Vec<T> {
        fields
            .get(name)
            .map_or_else(Vec::new, |node| self.names(node))
    }

    /// One declared name in a field that may be left out.
    pub(super) fn named_in<T: Name>(&mut self, fields: &Fields<'_>, name: &str) -> Option<T> {
        self.named(fields.get(name)?)
    }
}

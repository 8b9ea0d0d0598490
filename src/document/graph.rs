//! A procedure: everything declared, fragments written out, steps, ways, rules.

use std::collections::BTreeMap;

use super::code::{DUPLICATE_NAME, EMPTY, NO_END, NOT_A_SERIES, WRONG_FORMAT};
use super::form;
use super::fragment::{Written, is_use};
use super::json::{Json, Node};
use super::measure::Kinds;
use super::name::Sort;
use super::reader::{Fields, Reader, at, head};
use super::rule;
use crate::finding::{Code, Subject};
use crate::procedure::{Phase, PhaseId, Procedure, ProcedureId, SheetKey, SheetNeed, StepId};

/// The format of procedures.
pub(super) const FORMAT: &str = "levelhand procedure 1";

/// What is only true of a procedure that was read whole: that something is nowhere.
const NEEDS_ALL: [Code; 2] = [NOT_A_SERIES, NO_END];

const DECLARED: [(&str, Sort); 9] = [
    ("sheet", Sort::SheetKey),
    ("roles", Sort::Role),
    ("conditions", Sort::Condition),
    ("duties", Sort::Duty),
    ("settings", Sort::Setting),
    ("readings", Sort::Value),
    ("workings", Sort::Value),
    ("hazards", Sort::Hazard),
    ("acts", Sort::Act),
];

impl Reader {
    /// Whether the document says it is of this format; if not, nothing else is worth saying.
    pub(super) fn format(&mut self, root: &Node, wanted: &str) -> bool {
        let help = format!("begin with \"format\": \"{wanted}\"");
        let Json::Object(members) = &root.value else {
            let sentence = format!("a document is an object; this is {}", root.value.what());
            self.push(at(WRONG_FORMAT, head(root), sentence).help(help));
            return false;
        };
        let Some(member) = members.iter().find(|m| m.key == "format") else {
            let sentence = "the document does not say what it is";
            self.push(at(WRONG_FORMAT, head(root), sentence).help(help));
            return false;
        };
        let found = match &member.node.value {
            Json::String(text) if text == wanted => return true,
            Json::String(text) => format!("{text:?}"),
            Json::Null | Json::Bool(_) | Json::Number(_) | Json::List(_) | Json::Object(_) => {
                member.node.value.what().to_owned()
            }
        };
        let finding = at(
            WRONG_FORMAT,
            head(&member.node),
            format!("the format is {found}"),
        )
        .help(format!("accepted here: \"{wanted}\""));
        self.push(finding);
        false
    }

    /// The procedure, as far as it can be read; rules have been applied.
    pub(super) fn procedure(
        &mut self,
        root: &Node,
    ) -> (
        Option<Procedure>,
        Vec<(super::json::Span, super::json::Span)>,
    ) {
        if !self.format(root, FORMAT) {
            return (None, Vec::new());
        }
        self.about(Subject::Document, head(root), None);
        let Some(f) = self.object(root, &form::PROCEDURE) else {
            return (None, Vec::new());
        };
        self.spots.remove(&Subject::Document);
        self.about(Subject::Document, head(root), Some(&f));
        self.schema(&f);
        for (field, sort) in DECLARED {
            if self.meant(&f, field) {
                self.declared.misspelt.insert(sort);
            }
            self.declare(&f, field, sort);
        }
        let (phases, written, bodies) = self.phases(&f);
        let procedure = self.parts(&f, phases, &written);
        self.used_at = None;
        self.is_cut = self.findings.iter().any(crate::finding::Finding::is_error);
        if let Some(procedure) = &procedure {
            let found = rule::all(procedure);
            let spoiled = std::mem::take(&mut self.spoiled);
            for finding in found {
                let hasty = !spoiled.is_empty() && NEEDS_ALL.contains(&finding.code);
                if !hasty && !spoiled.contains(&finding.subject.owner()) {
                    self.push(finding);
                }
            }
        }
        (procedure, bodies)
    }

    fn parts(
        &mut self,
        f: &Fields<'_>,
        phases: Vec<Phase>,
        written: &[Written],
    ) -> Option<Procedure> {
        let id = self.need(f, "id").and_then(|n| self.name(n));
        let title = self.title(f);
        let revision = self
            .need(f, "revision")
            .and_then(|n| self.count(n, 1, u32::MAX));
        let scope = self
            .need(f, "scope")
            .map(|n| self.lines(n, super::reader::LINE));
        let mut kinds = Kinds {
            sheet: self.sheet_needs(f),
            values: BTreeMap::new(),
        };
        let roles = self.roles(f);
        let settings = self.settings(f);
        let duties = self.duties(f);
        let readings = self.readings(f, &kinds, &roles);
        kinds.values = readings
            .iter()
            .map(|(id, r)| (id.clone(), r.kind))
            .collect();
        let workings = self.workings(f, &mut kinds);
        let conditions = self.conditions(f, &kinds);
        let exclusive = self.exclusive(f);
        let hazards = self.hazards(f);
        let acts = self.acts(f);
        self.resume(Subject::Document);
        let safe = self.names_in(f, "safe");
        let hand_over = self.named_in(f, "hand_over");
        let mut phases = phases;
        self.stops(f, &mut phases);
        let steps = self.steps(written, &kinds);
        let steps = self.lead(steps, &phases, &readings);
        // What is missing has its finding, so nothing comes out; stand-ins let the
        // rules say what else there is to say.
        Some(Procedure {
            id: id.or_else(|| ProcedureId::new(UNNAMED).ok())?,
            title,
            revision: revision.unwrap_or(1),
            scope: scope.unwrap_or_default(),
            sheet: sheet_of(kinds),
            roles,
            conditions,
            exclusive,
            duties,
            settings,
            readings,
            workings,
            hazards,
            acts,
            phases,
            steps,
            safe,
            hand_over,
        })
    }

    fn steps(&mut self, written: &[Written], kinds: &Kinds) -> Vec<super::step::Read> {
        let mut read: Vec<super::step::Read> = Vec::new();
        let mut seen = std::collections::BTreeSet::new();
        for one in written {
            let Some(step) = self.step(one, kinds) else {
                self.spoil();
                continue;
            };
            if seen.insert(step.step.id.clone()) {
                read.push(step);
            } else {
                let sentence = format!("two steps are called {}", step.step.id);
                let span = super::fragment::place_of(&one.node);
                self.push(
                    at(DUPLICATE_NAME, span, sentence).help("name each by what is done there"),
                );
            }
        }
        read
    }

    /// Phases with their steps written out; `stop` is filled in later, when all
    /// names of steps are known.
    fn phases(
        &mut self,
        f: &Fields<'_>,
    ) -> (
        Vec<Phase>,
        Vec<Written>,
        Vec<(super::json::Span, super::json::Span)>,
    ) {
        let mut fragments = self.fragments(f);
        let mut phases = Vec::new();
        let mut written = Vec::new();
        let node = self.need(f, "phases");
        let items = node.and_then(|n| self.items(n));
        if let (Some(node), Some([])) = (node, items) {
            self.push(at(EMPTY, node.span, "a procedure has at least one phase"));
        }
        for item in items.unwrap_or_default() {
            self.phase(item, &mut phases, &mut written, &mut fragments);
        }
        self.unused(&fragments);
        self.declare_steps(&written);
        (phases, written, fragments.bodies())
    }

    fn phase(
        &mut self,
        node: &Node,
        phases: &mut Vec<Phase>,
        written: &mut Vec<Written>,
        fragments: &mut super::fragment::Fragments<'_>,
    ) {
        let index = phases.len();
        self.about(
            Subject::Text {
                from: node.span.0,
                to: node.span.1,
            },
            head(node),
            None,
        );
        let Some(f) = self.object(node, &form::PHASE) else {
            self.declared.steps_unknown = true;
            return;
        };
        let id_node = self.need(&f, "id");
        let id = id_node.and_then(|n| self.name(n));
        if let Some((id, span)) = id.clone().zip(id_node.map(|n| n.span)) {
            let id: PhaseId = id;
            if phases.iter().any(|p| p.id == id) {
                self.push(at(
                    DUPLICATE_NAME,
                    span,
                    format!("two phases are called {id}"),
                ));
            }
            self.about(Subject::Phase(id.to_string()), span, Some(&f));
        } else {
            self.about(Subject::Phase(UNNAMED.to_owned()), head(node), Some(&f));
            self.spoil();
        }
        let title = self.title(&f);
        let (aside, route) = (self.flag(&f, "aside"), self.flag(&f, "route"));
        let stop_card = self.lines_in(&f, "stop_card");
        let steps = self.need(&f, "steps").and_then(|n| self.items(n));
        self.declared.steps_unknown |= steps.is_none();
        if steps.is_some_and(<[Node]>::is_empty) {
            self.push(at(EMPTY, f.open(), "this phase has no steps"));
        }
        for step in steps.unwrap_or_default() {
            if is_use(step) {
                written.extend(self.expand(step, index, fragments));
            } else if self.step_or_use(step) {
                written.push(Written {
                    node: step.clone(),
                    phase: index,
                    used_at: None,
                });
            } else {
                self.declared.steps_unknown = true;
            }
        }
        // A phase that can't be named keeps its steps, so that more can be said of them.
        let stand_in = || PhaseId::new(UNNAMED).ok();
        if let (Some(id), Ok(stop)) = (id.or_else(stand_in), StepId::new("unknown")) {
            phases.push(Phase {
                id,
                title,
                aside,
                stop,
                stop_card,
                route,
            });
        }
    }

    /// Where stop work leads from each phase.
    fn stops(&mut self, f: &Fields<'_>, phases: &mut [Phase]) {
        let items = match f.get("phases").map(|n| &n.value) {
            Some(Json::List(items)) => items.as_slice(),
            _ => &[],
        };
        let objects = items.iter().filter(|n| matches!(n.value, Json::Object(_)));
        for (node, phase) in objects.zip(phases) {
            let about = Subject::Phase(phase.id.to_string());
            self.resume(about);
            let Json::Object(members) = &node.value else {
                continue;
            };
            match members.iter().find(|m| m.key == "stop") {
                Some(member) => match self.named(&member.node) {
                    Some(stop) => phase.stop = stop,
                    None => self.spoil(),
                },
                None if self.misspelt_at(node, "stop") => self.spoil(),
                None => {
                    let sentence = "a phase lacks its field \"stop\"";
                    let finding = at(super::code::MISSING_FIELD, head(node), sentence)
                        .help("it names the first step of the stop-work route of this phase");
                    self.push(finding);
                }
            }
        }
    }
}

/// Stands in for a name that could not be read.
const UNNAMED: &str = "unnamed";

fn sheet_of(kinds: Kinds) -> BTreeMap<SheetKey, SheetNeed> {
    kinds.sheet
}

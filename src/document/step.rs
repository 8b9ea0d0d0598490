//! One step, read on its own; where it leads is filled in by `way`.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{DUPLICATE_NAME, STEP_SHAPE};
use super::form;
use super::fragment::{Written, place_of};
use super::json::{Json, Node, Span};
use super::measure::Kinds;
use super::reader::{Fields, LINE, Reader, TITLE, at, head};
use crate::finding::Subject;
use crate::procedure::{
    Body, Choice, ChoiceId, Confirm, EndKind, Outcome, SheetKey, Signal, Step, StepId, Tick, TickId,
};
use crate::quantity::Kind;

/// A hold is held this long unless the author says otherwise, in ms.
///
/// # Source
/// Our own choice: longer than a slip of the hand, short enough not to be hated.
const HELD: [(&str, (Signal, u32)); 2] = [
    ("caution", (Signal::Caution, 1500)),
    ("danger", (Signal::Danger, 2500)),
];
/// The shortest and longest hold, in ms.
const HOLD_RANGE_MS: (f64, f64) = (1000.0, 10_000.0);

/// A step whose ways are not resolved yet.
#[derive(Debug)]
pub(super) struct Read {
    /// The step; ways and the targets of choices that are not written are missing.
    pub(super) step: Step,
    /// What is written of its body.
    pub(super) body: BodyText,
}

/// The body as written.
#[derive(Debug)]
pub(super) enum BodyText {
    Ordinary {
        confirm: Confirm,
        tries: Option<u32>,
        ways: BTreeMap<Outcome, Option<StepId>>,
        way_spans: BTreeMap<Outcome, Span>,
        tries_span: Option<Span>,
    },
    Look {
        by_sheet: Option<SheetKey>,
        choices: Vec<WrittenChoice>,
    },
    End(Option<EndKind>),
}

/// Where a choice leads, as written.
#[derive(Debug)]
pub(super) enum To {
    /// To a step.
    Step(StepId),
    /// Nothing is written: to what follows.
    Next,
    /// Something that could not be read, and has its finding.
    Unread,
}

/// A choice as written.
#[derive(Debug)]
pub(super) struct WrittenChoice {
    pub(super) choice: Choice,
    pub(super) to: To,
    pub(super) span: Span,
}

/// What only an ordinary step has.
const ORDINARY: [&str; 3] = ["confirm", "tries", "ways"];

impl Reader {
    /// Reads a step; `None` if it has no name.
    pub(super) fn step(&mut self, written: &Written, kinds: &Kinds) -> Option<Read> {
        self.used_at = written.used_at;
        let node = &written.node;
        let fields = self.object_about(node)?;
        let id: StepId = self.need(&fields, "id").and_then(|n| self.name(n))?;
        let body = self.body(&fields, &id, kinds);
        let step = Step {
            phase: written.phase,
            title: self.title(&fields),
            place: self.line_in(&fields, "place", TITLE),
            bring: self.line_in(&fields, "bring", LINE),
            instructions: self.lines_in(&fields, "do"),
            see: self.lines_in(&fields, "see"),
            why: self.lines_in(&fields, "why"),
            needs: self.names_in(&fields, "needs"),
            clears: self.names_in(&fields, "clears"),
            acts: self.names_in(&fields, "acts"),
            hazards: self.names_in(&fields, "hazards"),
            incurs: self.names_in(&fields, "incurs"),
            establishes: self.names_in(&fields, "establishes"),
            settles: self.names_in(&fields, "settles"),
            changes: self.names_in(&fields, "changes"),
            ticks: self.ticks(&fields, &id),
            readings: self.list_in(&fields, "take"),
            works: self.list_in(&fields, "work"),
            limits: self.limits(&fields, "limits", kinds, |i| Subject::limit(&id, i)),
            body: Body::End(EndKind::MadeSafe),
            id,
        };
        Some(Read { step, body })
    }

    fn object_about<'a>(&mut self, node: &'a Node) -> Option<Fields<'a>> {
        let span = place_of(node);
        if let Json::Object(members) = &node.value
            && let Some(id) = members.iter().find(|m| m.key == "id")
            && let Json::String(id) = &id.node.value
        {
            let about = Subject::Step(id.clone());
            self.about(about.clone(), span, None);
            let fields = self.object(node, &form::STEP)?;
            self.spots.remove(&about);
            self.about(about, span, Some(&fields));
            return Some(fields);
        }
        self.about(
            Subject::Text {
                from: span.0,
                to: span.1,
            },
            span,
            None,
        );
        self.object(node, &form::STEP)
    }

    fn body(&mut self, f: &Fields<'_>, id: &StepId, kinds: &Kinds) -> BodyText {
        if let Some(end) = f.get("end") {
            self.none_of(f, &ORDINARY, "an end is not confirmed and leads nowhere");
            self.none_of(f, &["choices", "by_sheet"], "an end is no look");
            return BodyText::End(self.word(
                end,
                &[
                    (EndKind::Complete.key(), EndKind::Complete),
                    (EndKind::HandedOver.key(), EndKind::HandedOver),
                    (EndKind::MadeSafe.key(), EndKind::MadeSafe),
                ],
            ));
        }
        if let Some(choices) = f.get("choices") {
            self.none_of(f, &ORDINARY, "the outcome of a look is the choice");
            let by_sheet = self.named_in(f, "by_sheet");
            let choices = self.choices(choices, id);
            return BodyText::Look { by_sheet, choices };
        }
        self.belongs(f, "by_sheet", "choices");
        let (ways, way_spans) = self.ways(f);
        let tries = f.member("tries");
        BodyText::Ordinary {
            confirm: f
                .get("confirm")
                .and_then(|n| self.confirm(n, kinds))
                .unwrap_or(Confirm::None),
            tries: tries.and_then(|m| self.count(&m.node, 1, 100)),
            tries_span: tries.map(|m| m.key_span),
            ways,
            way_spans,
        }
    }

    fn ways(
        &mut self,
        f: &Fields<'_>,
    ) -> (BTreeMap<Outcome, Option<StepId>>, BTreeMap<Outcome, Span>) {
        let mut ways = BTreeMap::new();
        let mut spans = BTreeMap::new();
        if let Some(fields) = f.get("ways").and_then(|n| self.object(n, &form::WAYS)) {
            for outcome in Outcome::ALL {
                if let Some(member) = fields.member(outcome.key()) {
                    ways.insert(outcome, self.named(&member.node));
                    spans.insert(outcome, member.key_span);
                }
            }
        }
        (ways, spans)
    }

    fn ticks(&mut self, f: &Fields<'_>, step: &StepId) -> Vec<Tick> {
        let Some(node) = f.get("ticks") else {
            return Vec::new();
        };
        let mut seen = BTreeSet::new();
        let mut ticks = Vec::new();
        for item in self.items(node).unwrap_or_default() {
            let tick = self.tick(item, step);
            if tick.is_none() {
                self.spoil();
            }
            let Some((tick, span)) = tick else { continue };
            if seen.insert(tick.id.clone()) {
                ticks.push(tick);
            } else {
                let sentence = format!("two ticks of this step are called {}", tick.id);
                self.push(at(DUPLICATE_NAME, span, sentence).help("name each by what it asks"));
            }
        }
        ticks
    }

    fn tick(&mut self, node: &Node, step: &StepId) -> Option<(Tick, Span)> {
        let f = self.object(node, &form::TICK)?;
        let id_node = self.need(&f, "id");
        let id: Option<TickId> = id_node.and_then(|n| self.name(n));
        if let (Some(id), Some(node)) = (&id, id_node) {
            self.keep(Subject::tick(step, id), node.span, Some(&f));
        }
        let text = self.need(&f, "text").and_then(|n| self.line(n, LINE));
        let yes = self.line_in(&f, "yes", TITLE);
        let no = self.line_in(&f, "no", TITLE);
        let tick = Tick {
            id: id?,
            text: text?,
            yes: yes.unwrap_or_else(|| "yes".to_owned()),
            no: no.unwrap_or_else(|| "no".to_owned()),
            may_not_apply: self.flag(&f, "may_not_apply"),
            words: self.flag(&f, "words"),
        };
        Some((tick, id_node?.span))
    }

    fn choices(&mut self, node: &Node, step: &StepId) -> Vec<WrittenChoice> {
        let mut seen = BTreeSet::new();
        let mut out: Vec<WrittenChoice> = Vec::new();
        for item in self.items(node).unwrap_or_default() {
            let Some(choice) = self.choice(item, step) else {
                self.spoil();
                continue;
            };
            if seen.insert(choice.choice.id.clone()) {
                out.push(choice);
            } else {
                let sentence = format!("two choices of this look are called {}", choice.choice.id);
                self.push(
                    at(DUPLICATE_NAME, choice.span, sentence).help("name each by what is seen"),
                );
            }
        }
        out
    }

    fn choice(&mut self, node: &Node, step: &StepId) -> Option<WrittenChoice> {
        let f = self.object(node, &form::CHOICE)?;
        let id_node = self.need(&f, "id");
        let id: Option<ChoiceId> = id_node.and_then(|n| self.name(n));
        if let (Some(id), Some(node)) = (&id, id_node) {
            self.keep(Subject::choice(step, id), node.span, Some(&f));
        }
        let text = self.need(&f, "text").and_then(|n| self.line(n, LINE));
        let to = match f.get("to") {
            Some(node) => self.named(node).map_or(To::Unread, To::Step),
            None => To::Next,
        };
        let establishes = self.names_in(&f, "establishes");
        let incurs = self.names_in(&f, "incurs");
        let settles = self.names_in(&f, "settles");
        let tries = f.get("tries").and_then(|n| self.count(n, 1, 100));
        let choice = Choice {
            id: id?,
            text: text?,
            to: step.clone(),
            establishes,
            incurs,
            settles,
            tries,
        };
        Some(WrittenChoice {
            choice,
            to,
            span: id_node?.span,
        })
    }

    fn confirm(&mut self, node: &Node, kinds: &Kinds) -> Option<Confirm> {
        if matches!(node.value, Json::String(_)) {
            let enter = self.word(node, &[("none", false), ("enter", true)])?;
            return Some(if enter { Confirm::Enter } else { Confirm::None });
        }
        let f = self.object(node, &form::CONFIRM)?;
        let which = self.only_one(&f, &["hold", "pulse", "wait"])?;
        self.belongs(&f, "for", "hold");
        match which {
            "hold" => self.hold(&f),
            "pulse" => self.pulse(f.get("pulse")?, kinds),
            _ => self.wait(f.get("wait")?, kinds),
        }
    }

    fn hold(&mut self, f: &Fields<'_>) -> Option<Confirm> {
        let (signal, usual) = self.word(f.get("hold")?, &HELD)?;
        let (least, most) = HOLD_RANGE_MS;
        let for_ms = f.get("for").and_then(|n| self.time_ms(n, least, most));
        let for_ms = for_ms.and_then(|ms| u32::try_from(ms).ok());
        Some(Confirm::Hold {
            signal,
            for_ms: for_ms.unwrap_or(usual),
        })
    }

    fn pulse(&mut self, node: &Node, kinds: &Kinds) -> Option<Confirm> {
        let f = self.object(node, &form::PULSE)?;
        let within = self
            .need(&f, "within")
            .and_then(|n| self.side(n, Kind::Time, kinds));
        let presses = self
            .need(&f, "presses")
            .and_then(|n| self.count(n, 2, 1000));
        Some(Confirm::Pulse {
            within: within?,
            presses: presses?,
        })
    }

    fn wait(&mut self, node: &Node, kinds: &Kinds) -> Option<Confirm> {
        let f = self.object(node, &form::WAIT)?;
        let at_least = self
            .need(&f, "at_least")
            .and_then(|n| self.side(n, Kind::Time, kinds));
        let at_most = f.get("at_most").map(|n| self.side(n, Kind::Time, kinds));
        let at_most = match at_most {
            Some(side) => Some(side?),
            None => None,
        };
        Some(Confirm::Wait {
            at_least: at_least?,
            at_most,
        })
    }

    /// Something in a list of steps that is neither a step nor a use.
    pub(super) fn step_or_use(&mut self, node: &Node) -> bool {
        let fits = matches!(node.value, Json::Object(_));
        if !fits {
            let sentence = format!(
                "found {}; a step or the use of a fragment is wanted here",
                node.value.what()
            );
            self.push(at(STEP_SHAPE, head(node), sentence));
        }
        fits
    }
}

//! What is known at a step, in the document's own titles.

use std::collections::BTreeSet;

use super::Picture;
use super::shown::answered_by_sheet;
use crate::finding::Place;
use crate::procedure::{ActId, Body, ConditionId, DutyId, Step};

/// A line of what is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it says.
    pub text: String,
    /// Someone must look at it.
    pub grave: bool,
}

/// Lines under one heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The heading.
    pub heading: &'static str,
    /// The lines.
    pub rows: Vec<Row>,
}

fn plain(text: impl Into<String>) -> Row {
    Row {
        text: text.into(),
        grave: false,
    }
}

/// Everything known at a step, and where it stands in the text.
pub(super) fn sections(picture: &Picture, step: &Step, place: Option<Place>) -> Vec<Section> {
    let mut sections = vec![Section {
        heading: "THIS STEP",
        rows: itself(picture, step, place),
    }];
    sections.extend(arrival(picture, step));
    let acts: Vec<Row> = step
        .acts
        .iter()
        .flat_map(|a| act(picture, step, a))
        .collect();
    let mut also = |heading, rows: Vec<Row>| {
        if !rows.is_empty() {
            sections.push(Section { heading, rows });
        }
    };
    also("DONE TO THE TRUCK", acts);
    let conditions = |ids: &BTreeSet<ConditionId>| titles(ids.iter().map(|c| title(picture, c)));
    let duties = |ids: &BTreeSet<DutyId>| titles(ids.iter().map(|d| duty(picture, d)));
    also("NEEDS", conditions(&picture.procedure.entry_needs(step)));
    let made = step.may_establish().into_iter().cloned().collect();
    also("CAN MAKE TRUE", conditions(&made));
    let choices = || step.choices().iter();
    let mut incurs = step.incurs.clone();
    incurs.extend(choices().flat_map(|c| c.incurs.iter().cloned()));
    also("MAKES OWED", duties(&incurs));
    let mut settles = step.settles.clone();
    settles.extend(choices().flat_map(|c| c.settles.iter().cloned()));
    also("PAYS", duties(&settles));
    let settings = picture.procedure.changes_of(step);
    let settings = settings.iter().map(|id| {
        let known = picture.procedure.settings.get(id);
        known.map_or_else(|| id.to_string(), |s| s.title.clone())
    });
    also("CHANGES", titles(settings));
    sections
}

fn titles(all: impl Iterator<Item = String>) -> Vec<Row> {
    all.map(plain).collect()
}

fn title(picture: &Picture, id: &ConditionId) -> String {
    let known = picture.procedure.conditions.get(id);
    known.map_or_else(|| id.to_string(), |c| c.title.clone())
}

fn duty(picture: &Picture, id: &DutyId) -> String {
    let known = picture.procedure.duties.get(id);
    known.map_or_else(|| id.to_string(), |d| d.title.clone())
}

/// Name, place, phase, kind.
fn itself(picture: &Picture, step: &Step, place: Option<Place>) -> Vec<Row> {
    let mut rows = vec![plain(step.id.to_string())];
    rows.extend(place.map(|place| plain(place.to_string())));
    if let Some(phase) = picture.procedure.phase_of(step) {
        let kind = match (phase.route, phase.aside) {
            (true, _) => ", a stop-work route",
            (false, true) => ", aside",
            (false, false) => "",
        };
        rows.push(plain(format!("phase: {}{kind}", phase.title)));
    }
    if let Some(key) = answered_by_sheet(step) {
        rows.push(plain(format!("a look that the sheet answers: {key}")));
    } else {
        let gate = picture.procedure.is_gate(step);
        let movement = picture.procedure.is_movement(step);
        let kind = match &step.body {
            Body::End(kind) => Some(format!("an end: {}", kind.key())),
            Body::Look { .. } => Some("a look".to_owned()),
            Body::Ordinary { .. } if gate => Some("a gate".to_owned()),
            Body::Ordinary { .. } if movement => Some("a movement".to_owned()),
            Body::Ordinary { .. } => None,
        };
        rows.extend(kind.map(plain));
    }
    if let Body::Ordinary {
        tries: Some(tries), ..
    } = step.body
    {
        rows.push(plain(format!("tries: {tries}")));
    }
    rows
}

/// What is so on arrival.
fn arrival(picture: &Picture, step: &Step) -> Vec<Section> {
    let Some(arrival) = picture.facts.at(&step.id) else {
        let text = "No way leads here, so nothing is known here.".to_owned();
        let rows = vec![Row { text, grave: true }];
        return vec![Section {
            heading: "ON ARRIVAL",
            rows,
        }];
    };
    let gone = picture.procedure.effective_clears(step);
    let holds = arrival.holds.iter().map(|c| {
        let title = title(picture, c);
        if gone.contains(c) {
            format!("{title} (ends on entry)")
        } else {
            title
        }
    });
    let owed = arrival.owed.iter().map(|d| duty(picture, d));
    let known = arrival.known.iter().map(|v| {
        let value = picture.procedure.value(v);
        value.map_or_else(|| v.to_string(), |(title, _)| title.to_owned())
    });
    let or_nothing = |rows: Vec<Row>| match rows.as_slice() {
        [] => vec![plain("nothing")],
        _ => rows,
    };
    [
        ("HOLDS ON EVERY PATH", titles(holds)),
        ("OWED ON SOME PATH", titles(owed)),
        ("HAS A VALUE ON EVERY PATH", titles(known)),
    ]
    .into_iter()
    .map(|(heading, rows)| Section {
        heading,
        rows: or_nothing(rows),
    })
    .collect()
}

/// An act and what protects it here.
fn act(picture: &Picture, step: &Step, id: &ActId) -> Vec<Row> {
    let fact = picture.facts.acts.iter().find(|f| &f.id == id);
    let Some(fact) = fact else {
        return vec![plain(id.to_string())];
    };
    let mut rows = vec![plain(fact.title.clone())];
    let Some(here) = fact.done.iter().find(|d| d.step == step.id) else {
        return rows;
    };
    for (lead, items, grave) in [
        ("protected by", &here.protected, false),
        ("NOT PROTECTED BY", &here.unprotected, true),
        ("words only for", &here.words_only, false),
    ] {
        if !items.is_empty() {
            let text = format!("  {lead}: {}", items.join(" · "));
            rows.push(Row { text, grave });
        }
    }
    rows
}

//! A look answered by the sheet has a choice for every word that may stand there (S1).

use std::collections::BTreeSet;

use crate::document::code::SHEET_LOOK;
use crate::finding::{Finding, Subject, listed};
use crate::procedure::{Body, Choice, Procedure, SheetNeed, StepId};

/// Looks by the sheet whose choices are not the words.
pub(super) fn sheet_look(procedure: &Procedure) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in &procedure.steps {
        let Body::Look {
            by_sheet: Some(key),
            choices,
        } = &step.body
        else {
            continue;
        };
        match procedure.sheet.get(key) {
            Some(SheetNeed::Word(words)) => compare(&step.id, words, choices, &mut found),
            Some(SheetNeed::Quantity(_) | SheetNeed::Text) => {
                let subject = Subject::step(&step.id).field("by_sheet");
                let sentence = format!("the sheet value {key} is not one of a list of words");
                found.push(
                    Finding::error(SHEET_LOOK, subject, sentence)
                        .help("declare it under \"sheet\" with \"words\""),
                );
            }
            None => {}
        }
    }
    found
}

fn compare(step: &StepId, words: &[String], choices: &[Choice], found: &mut Vec<Finding>) {
    let ids: BTreeSet<&str> = choices.iter().map(|c| c.id.as_str()).collect();
    let missing: Vec<&str> = words
        .iter()
        .map(String::as_str)
        .filter(|w| !ids.contains(w))
        .collect();
    if !missing.is_empty() {
        let subject = Subject::step(step).field("choices");
        let sentence = format!(
            "the sheet may say {}, and no choice is for it",
            listed(missing)
        );
        found.push(
            Finding::error(SHEET_LOOK, subject, sentence)
                .help("add a choice with that word as its id"),
        );
    }
    for choice in choices {
        if !words.iter().any(|w| w == choice.id.as_str()) {
            let sentence = format!("the sheet never says {}", choice.id);
            let finding = Finding::error(SHEET_LOOK, Subject::choice(step, &choice.id), sentence)
                .help_near(choice.id.as_str(), words.iter().map(String::as_str));
            found.push(finding);
        }
        if choice.tries.is_some() {
            let subject = Subject::choice(step, &choice.id).field("tries");
            let sentence = "a choice answered by the sheet can't be used up";
            found.push(Finding::error(SHEET_LOOK, subject, sentence).help("leave \"tries\" out"));
        }
    }
}

//! Values of the sheet called for within texts are declared, and stand where texts
//! are filled in (never in a title); no other brace stands in a text that is shown.

use crate::document::code::{STRAY_BRACE, UNKNOWN_NAME};
use crate::finding::{Finding, Subject};
use crate::procedure::{Procedure, Step, has_stray_brace, sheet_keys};

/// Texts that call for a value the procedure does not declare.
pub(super) fn sheet_text(procedure: &Procedure) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut look = |subject: Subject, lines: &[String]| {
        let keys = lines.iter().flat_map(|line| sheet_keys(line));
        found.extend(keys.filter_map(|key| undeclared(procedure, &subject, key)));
        let stray = lines.iter().find(|line| has_stray_brace(line));
        found.extend(stray.map(|line| unfilled(subject, line)));
    };
    for step in &procedure.steps {
        let at = |field: &str| Subject::step(&step.id).field(field);
        look(at("do"), &step.instructions);
        look(at("see"), &step.see);
        look(at("why"), &step.why);
        for tick in &step.ticks {
            let subject = Subject::tick(&step.id, &tick.id).field("text");
            look(subject, std::slice::from_ref(&tick.text));
        }
        for choice in step.choices() {
            let subject = Subject::choice(&step.id, &choice.id).field("text");
            look(subject, std::slice::from_ref(&choice.text));
        }
    }
    for (id, hazard) in &procedure.hazards {
        look(
            Subject::Hazard(id.to_string()).field("avoid"),
            &hazard.avoid,
        );
    }
    for phase in &procedure.phases {
        let subject = Subject::Phase(phase.id.to_string()).field("stop_card");
        look(subject, &phase.stop_card);
    }
    found.extend(procedure.steps.iter().filter_map(title));
    found
}

fn undeclared(procedure: &Procedure, subject: &Subject, key: &str) -> Option<Finding> {
    let mut keys = procedure
        .sheet
        .keys()
        .map(crate::procedure::SheetKey::as_str);
    if keys.clone().any(|known| known == key) {
        return None;
    }
    let sentence = format!("the text calls for {key:?}, which is no sheet value of this procedure");
    let finding = Finding::error(UNKNOWN_NAME, subject.clone(), sentence)
        .help_near(key, keys.by_ref())
        .help("declare it under \"sheet\", and write it so: {sheet its_name}");
    Some(finding)
}

/// A text with a brace that nothing fills.
fn unfilled(subject: Subject, line: &str) -> Finding {
    let sentence =
        format!("nothing fills the braces of this text, and people would read them: {line}");
    Finding::error(STRAY_BRACE, subject, sentence)
        .help("a value of the sheet is written {sheet its_name}")
        .help("a part of a fragment is written {name}, and declared under \"with\"")
}

fn title(step: &Step) -> Option<Finding> {
    let key = *sheet_keys(&step.title).first()?;
    let sentence = format!("a title is not filled in, and this one calls for {key:?}");
    let finding = Finding::error(
        UNKNOWN_NAME,
        Subject::step(&step.id).field("title"),
        sentence,
    )
    .help("say it in \"do\"");
    Some(finding)
}

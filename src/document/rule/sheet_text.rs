//! Values of the sheet called for within texts are declared, and stand where texts
//! are filled in; no other brace stands in a text that is shown.

use crate::document::code::{STRAY_BRACE, UNKNOWN_NAME};
use crate::finding::{Finding, Subject};
use crate::procedure::{Procedure, has_stray_brace, sheet_keys};

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
    found.extend(unfilled_texts(procedure).filter_map(|(subject, text)| plain(subject, text)));
    found
}

/// The texts that are shown as they are written.
fn unfilled_texts(procedure: &Procedure) -> impl Iterator<Item = (Subject, &str)> {
    let steps = procedure.steps.iter().flat_map(|step| {
        let at = move |field: &str| Subject::step(&step.id).field(field);
        let own = [
            (at("title"), Some(step.title.as_str())),
            (at("place"), step.place.as_deref()),
            (at("bring"), step.bring.as_deref()),
        ];
        let own = own.into_iter().filter_map(|(at, text)| Some((at, text?)));
        let ticks = step.ticks.iter().flat_map(move |tick| {
            let at = move |field: &str| Subject::tick(&step.id, &tick.id).field(field);
            [(at("yes"), tick.yes.as_str()), (at("no"), tick.no.as_str())]
        });
        let limits = step.limits.iter().enumerate().flat_map(move |(n, limit)| {
            let at = move |field: &str| Subject::limit(&step.id, n).field(field);
            let lines = limit.too_close.iter();
            let lines = lines.map(move |line| (at("too_close"), line.as_str()));
            lines.chain([(at("why"), limit.why.as_str())])
        });
        own.chain(ticks).chain(limits)
    });
    let hazards = procedure.hazards.iter().flat_map(|(id, hazard)| {
        let at = |field: &str| Subject::Hazard(id.to_string()).field(field);
        [
            (at("title"), hazard.title.as_str()),
            (at("consequence"), hazard.consequence.as_str()),
        ]
    });
    let asks = procedure.conditions.iter().flat_map(|(id, condition)| {
        let at = |field: &str| Subject::Condition(id.to_string()).field(field);
        let ask = condition.ask.as_ref().map(|ask| ask.question.as_str());
        let title = (at("title"), condition.title.as_str());
        [title].into_iter().chain(ask.map(|ask| (at("ask"), ask)))
    });
    let how = procedure.readings.iter().flat_map(|(id, reading)| {
        let lines = reading.how.iter();
        lines.map(|line| (Subject::Reading(id.to_string()).field("how"), line.as_str()))
    });
    let owed = procedure.duties.iter().flat_map(|(id, duty)| {
        let lines = duty.hand_over.iter();
        lines.map(|line| {
            (
                Subject::Duty(id.to_string()).field("hand_over"),
                line.as_str(),
            )
        })
    });
    steps.chain(hazards).chain(asks).chain(how).chain(owed)
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

/// A text with braces that is shown as it is written.
fn plain(subject: Subject, text: &str) -> Option<Finding> {
    if let Some(key) = sheet_keys(text).first() {
        let sentence = format!("this text is not filled in, and it calls for {key:?}");
        let finding = Finding::error(UNKNOWN_NAME, subject, sentence);
        return Some(finding.help("say it in \"do\""));
    }
    has_stray_brace(text).then(|| unfilled(subject, text))
}

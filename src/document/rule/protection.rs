//! A limit behind what protects people is an interlock (S14).

use crate::document::code::ADVICE_GUARDS_PEOPLE;
use crate::finding::{Finding, Subject};
use crate::procedure::{ConditionId, Grade, Procedure};

/// Advice where a condition that hazards, acts or ends need is made or asked again.
pub(super) fn advice_guards_people(procedure: &Procedure) -> Vec<Finding> {
    let mut found = Vec::new();
    for step in &procedure.steps {
        let Some(guarded) = step
            .may_establish()
            .into_iter()
            .find(|c| procedure.protects(c))
        else {
            continue;
        };
        for (index, limit) in step.limits.iter().enumerate() {
            if limit.grade == Grade::Advice {
                found.push(finding(guarded, Subject::limit(&step.id, index)));
            }
        }
    }
    for (id, condition) in procedure
        .conditions
        .iter()
        .filter(|(id, _)| procedure.protects(id))
    {
        for (index, limit) in condition
            .ask
            .iter()
            .flat_map(|a| a.limits.iter().enumerate())
        {
            if limit.grade == Grade::Advice {
                let condition = id.to_string();
                found.push(finding(id, Subject::AskLimit { condition, index }));
            }
        }
    }
    found
}

fn finding(condition: &ConditionId, subject: Subject) -> Finding {
    let sentence =
        format!("this limit is advice, and {condition}, which protects people, hangs on it");
    Finding::error(ADVICE_GUARDS_PEOPLE, subject.field("grade"), sentence)
        .help("write \"grade\": \"interlock\", or judge the advice in a step of its own")
}

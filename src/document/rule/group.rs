//! Exclusive groups: two members at least, and no outcome makes two of them true (S3).

use std::collections::BTreeSet;

use crate::document::code::{EXCLUSIVE_PAIR, SMALL_GROUP};
use crate::finding::{Finding, Subject, listed};
use crate::procedure::{ConditionId, Procedure};

/// Groups that are none, and outcomes that break one.
pub(super) fn groups(procedure: &Procedure) -> Vec<Finding> {
    let small = procedure
        .exclusive
        .iter()
        .enumerate()
        .filter(|(_, g)| g.len() < 2);
    let mut found: Vec<Finding> = small
        .map(|(index, _)| {
            let sentence = "an exclusive group has at least two different conditions";
            Finding::error(SMALL_GROUP, Subject::Group(index), sentence)
                .help("add what it excludes, or remove the group")
        })
        .collect();
    for step in &procedure.steps {
        found.extend(pair(procedure, &step.establishes, Subject::step(&step.id)));
        for choice in step.choices() {
            let subject = Subject::choice(&step.id, &choice.id);
            found.extend(pair(procedure, &choice.establishes, subject));
        }
    }
    found
}

fn pair(procedure: &Procedure, made: &BTreeSet<ConditionId>, subject: Subject) -> Option<Finding> {
    let two = procedure.exclusive.iter().find_map(|group| {
        let both: Vec<&str> = group.intersection(made).map(ConditionId::as_str).collect();
        (both.len() > 1).then_some(both)
    })?;
    let sentence = format!(
        "one outcome makes {} true, which exclude each other",
        listed(two)
    );
    Some(
        Finding::error(EXCLUSIVE_PAIR, subject.field("establishes"), sentence)
            .help("establish one of them"),
    )
}

//! A sum over a series works on a reading that some condition reads in a series (S7).

use crate::document::code::NOT_A_SERIES;
use crate::finding::{Finding, Subject};
use crate::procedure::{Procedure, ValueId, WorkInput};

/// Workings over a series that is none.
pub(super) fn not_a_series(procedure: &Procedure) -> Vec<Finding> {
    let read: Vec<&ValueId> = procedure
        .conditions
        .values()
        .filter_map(|c| c.series.as_ref())
        .flat_map(|s| &s.readings)
        .collect();
    let mut found = Vec::new();
    for (id, working) in &procedure.workings {
        for input in &working.inputs {
            if let WorkInput::Series(reading) = input
                && !read.contains(&reading)
            {
                let subject = Subject::Working(id.to_string()).field("from");
                let sentence = format!("no condition reads {reading} in a series");
                found.push(
                    Finding::error(NOT_A_SERIES, subject, sentence)
                        .help("add it to the \"series\" of the condition that runs meanwhile"),
                );
            }
        }
    }
    found
}

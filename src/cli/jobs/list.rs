//! `levelhand jobs list`.

use std::io::Write;

use super::JobsError;
use crate::cli::desk::ReadOnly;
use crate::cli::desk::{Desk, Site};
use crate::finding::escape;
use crate::journal::{JobId, exit};
use crate::record::instant;

/// A line a job, practice apart. A job that can't be read has its reason instead.
pub(super) fn list(site: &Site, out: &mut dyn Write) -> Result<u8, JobsError> {
    let disk = site.disk();
    let (jobs, drills) = (site.place().job_ids(disk)?, site.place().drill_ids(disk)?);
    if jobs.is_empty() && drills.is_empty() {
        writeln!(out, "No jobs here yet.")?;
        return Ok(exit::OK);
    }
    for id in &jobs {
        writeln!(out, "{}", line(site, id))?;
    }
    if !drills.is_empty() {
        writeln!(
            out,
            "{}PRACTICE, no jobs:",
            if jobs.is_empty() { "" } else { "\n" }
        )?;
    }
    for id in &drills {
        writeln!(out, "{}", line(site, id))?;
    }
    Ok(exit::OK)
}

fn line(site: &Site, id: &JobId) -> String {
    let desk = match Desk::read(site.clone(), id) {
        Ok(desk) => desk,
        Err(error) => {
            let reason = error.to_string();
            let first = reason.lines().next().unwrap_or_default();
            return format!("{id}  can't be read: {}", escape(first));
        }
    };
    let (setup, state) = (desk.setup(), desk.state());
    let opened = instant(desk.begun());
    let stands = match (&state.ended, state.step().and_then(|step| setup.step(step))) {
        (Some(end), _) => end.kind.key().replace('_', " "),
        (None, Some(step)) => format!("stands in \"{}\"", step.title),
        (None, None) => "not begun".to_owned(),
    };
    let altered = match (desk.read_only(), desk.agreement()) {
        (Some(ReadOnly::Damaged(_)), _) => ", DAMAGED",
        (_, Some(agreement)) if !agreement.holds() => ", DOES NOT VERIFY",
        _ => "",
    };
    let by = state.people.first().map_or("", |by| by.as_str());
    let text = format!(
        "{}, {}, {stands}, {by}{altered}",
        setup.sheet.title, setup.procedure.title
    );
    format!("{id}  {opened}  {}", escape(&text))
}

//! `levelhand jobs verify`.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::{JobsError, find, is_path};
use crate::cli::desk::{INSTRUMENTS, PROCEDURE, Papers, SHEET, Site};
use crate::job::Mode;
use crate::journal::{Failure, JobId, exit};
use crate::record::{Exhibit, Report, Seal, UNDETECTABLE, verify as check};

/// Checks a job or a file and says what was found.
pub(super) fn verify(
    site: &Site,
    typed: &str,
    seal: Option<Seal>,
    out: &mut dyn Write,
) -> Result<u8, JobsError> {
    let (journal, stands) = place(site, typed)?;
    let read = |path: &Path| site.disk().read(path);
    let bytes = read(&journal).map_err(|source| Failure::Storage {
        doing: "read",
        path: journal.clone(),
        source,
    })?;
    let documents = journal.parent().unwrap_or(Path::new("")).join("documents");
    let [procedure, sheet, instruments] =
        [PROCEDURE, SHEET, INSTRUMENTS].map(|name| read(&documents.join(name)).ok());
    let load = |mode| {
        let absent = || "a document is missing".to_owned();
        let papers = Papers {
            procedure: procedure.clone().ok_or_else(absent)?,
            sheet: sheet.clone().ok_or_else(absent)?,
            instruments: instruments.clone().ok_or_else(absent)?,
            released: None,
        };
        site.load(&papers, mode).map_err(|error| error.to_string())
    };
    let report = check(&Exhibit {
        journal: &bytes,
        stands: stands.as_ref().map(|(id, mode)| (id, *mode)),
        documents: [
            (PROCEDURE, procedure.as_deref()),
            (SHEET, sheet.as_deref()),
            (INSTRUMENTS, instruments.as_deref()),
        ],
        load: &load,
        program: site.program(),
        seal,
    });
    tell(&report, out)?;
    Ok(match (report.is_damaged(), report.is_good()) {
        (true, _) => exit::DAMAGED,
        (false, true) => exit::OK,
        (false, false) => exit::FINDINGS,
    })
}

type Standing = Option<(JobId, Mode)>;

fn place(site: &Site, typed: &str) -> Result<(PathBuf, Standing), JobsError> {
    if is_path(typed) {
        return Ok((PathBuf::from(typed), None));
    }
    let id = find(site, typed)?;
    let (folder, mode) = site.find(&id)?;
    Ok((folder.journal(), Some((id, mode))))
}

fn tell(report: &Report, out: &mut dyn Write) -> Result<(), JobsError> {
    if let Some(pins) = &report.pins {
        let practice = match pins.mode {
            Mode::Job => "",
            Mode::Practice => " (PRACTICE, not a job)",
        };
        writeln!(out, "Job {}{practice}", pins.job)?;
        for (entry, version) in &report.programs {
            writeln!(
                out,
                "  written by levelhand {version} from entry {entry} on"
            )?;
        }
    }
    writeln!(
        out,
        "  {} entries, seal {}:{}",
        report.head.count, report.head.count, report.head.hash
    )?;
    if report.near > 0 {
        writeln!(
            out,
            "  {} entries of another version differ in the last digits of a working, and in nothing else",
            report.near
        )?;
    }
    for flaw in &report.flaws {
        writeln!(out, "FOUND: {flaw}")?;
    }
    if report.is_good() {
        writeln!(
            out,
            "The chain is whole, the documents are those pinned, and every entry, decided again, comes out as recorded."
        )?;
        if report.sealed {
            writeln!(out, "The seal fits.")?;
        } else {
            writeln!(out, "No seal was compared.\n{UNDETECTABLE}")?;
        }
    } else {
        writeln!(out, "THE RECORD DID NOT VERIFY.")?;
    }
    out.flush()?;
    Ok(())
}

//! `levelhand jobs show`.

use std::io::Write;

use super::{JobsError, find};
use crate::cli::desk::{Desk, ReadOnly, Site};
use crate::journal::exit;
use crate::record::{data, page};

/// The page or the data of a job; what is wrong with the record goes to `err`,
/// and to the exit code.
pub(super) fn show(
    site: &Site,
    typed: &str,
    json: bool,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, JobsError> {
    let (desk, told) = Desk::read_all(site.clone(), &find(site, typed)?)?;
    let account = desk.account(&told);
    let text = if json { data(&account) } else { page(&account) };
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(match desk.read_only() {
        Some(why @ ReadOnly::Damaged(_)) => {
            writeln!(err, "{why}")?;
            exit::DAMAGED
        }
        Some(why @ ReadOnly::Differs) => {
            writeln!(err, "{why}")?;
            exit::FINDINGS
        }
        Some(ReadOnly::Asked | ReadOnly::Over | ReadOnly::Refused(_)) | None => exit::OK,
    })
}

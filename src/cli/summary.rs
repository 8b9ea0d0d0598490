//! A job in a line, for the board: told from its status sheet, which is cheap to
//! read. The sheet is for looking only; opening the job reads its journal.

use super::desk::Site;
use crate::journal::JobId;

/// A job in a line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Summary {
    /// What is done to which vehicle.
    pub(crate) title: String,
    /// Where it stands.
    pub(crate) place: String,
    /// It is over.
    pub(crate) ended: bool,
}

/// The summary of a job, or why there is none.
pub(crate) fn of(site: &Site, id: &JobId) -> Result<Summary, String> {
    let (folder, _) = site.find(id).map_err(|e| e.to_string())?;
    let path = folder.status();
    let bytes = site
        .disk()
        .read(&path)
        .map_err(|error| format!("{}: {error}", path.display()))?;
    Ok(told(&String::from_utf8_lossy(&bytes)))
}

fn told(sheet: &str) -> Summary {
    let lines: Vec<&str> = sheet.lines().map(str::trim).collect();
    let before = |n: usize, mark: &str| {
        let line = lines.get(n).copied().unwrap_or("");
        line.rsplit_once(mark)
            .map_or(line, |(left, _)| left)
            .to_owned()
    };
    let place = lines
        .iter()
        .skip_while(|l| **l != "WHERE WE ARE")
        .nth(1)
        .copied()
        .unwrap_or("");
    let phase = place.strip_prefix("Phase: ").unwrap_or(place);
    Summary {
        title: format!(
            "{}  {}",
            before(1, ", sheet revision"),
            before(2, ", revision")
        ),
        place: phase.to_owned(),
        ended: place.starts_with("The job is over"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tells_vehicle_job_and_phase_from_the_sheet() {
        let sheet = "STATUS SHEET · job X · page 1\ntractor BW-07, sheet revision 1\nRide height, revision 3\nThere: A.\n\nWHERE WE ARE\n  Phase: Up\n  In the step: Raise\n";
        let summary = told(sheet);
        assert_eq!(summary.title, "tractor BW-07  Ride height");
        assert_eq!(summary.place, "Up");
        assert!(!summary.ended);
        let over = sheet.replace("Phase: Up", "The job is over: complete, at noon.");
        assert!(told(&over).ended);
    }

    #[test]
    fn a_sheet_that_is_none_tells_nothing_and_harms_nothing() {
        assert_eq!(told("").title, "  ");
    }
}

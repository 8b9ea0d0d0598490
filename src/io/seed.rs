//! Random numbers from the system: for names and for a drill's seed, never for
//! anything a job decides.

use crate::journal::{DirId, Failure, JobId, Stamp};

/// 64 random bits.
pub fn bits() -> Result<u64, Failure> {
    getrandom::u64().map_err(|error| Failure::NoRandomness {
        reason: error.to_string(),
    })
}

/// A new job's id.
pub fn job_id(now: Stamp) -> Result<JobId, Failure> {
    JobId::new(now.wall_ms, bits()?)
}

/// A new data directory's id.
pub fn dir_id() -> Result<DirId, Failure> {
    bits().map(DirId::new)
}

/// A number for this session of the program.
pub fn session() -> Result<u32, Failure> {
    getrandom::u32().map_err(|error| Failure::NoRandomness {
        reason: error.to_string(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_two_jobs_of_one_instant_differently() {
        let now = Stamp {
            wall_ms: 1_795_504_502_120,
            offset_min: 0,
            mono_ms: 0,
        };
        assert_ne!(job_id(now).unwrap(), job_id(now).unwrap());
        assert_ne!(dir_id().unwrap(), dir_id().unwrap());
    }
}

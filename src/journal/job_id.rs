//! Names that become paths: they exist only when they match their pattern.

use std::fmt;

use chrono::{DateTime, NaiveDate};

use super::Failure;

/// Digits and capitals without I, L, O and U, which are misread on a screen
/// two metres away.
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// A job's id: UTC date of its start and 40 random bits, `20261124-7F3K9QXM`.
/// It is the name of the job's directory.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct JobId(String);

impl JobId {
    /// The id for a job started at `wall_ms` (milliseconds since 1970, UTC),
    /// with the low 40 of `random`'s bits.
    pub fn new(wall_ms: i64, random: u64) -> Result<Self, Failure> {
        let day = DateTime::from_timestamp_millis(wall_ms).map(|at| at.format("%Y%m%d"));
        let typed = day.map_or_else(String::new, |day| format!("{day}-{}", letters(random)));
        Self::parse(&typed)
    }

    /// Takes an id that matches the pattern and refuses anything else.
    pub fn parse(typed: &str) -> Result<Self, Failure> {
        let valid = typed.is_ascii()
            && typed.len() == 17
            && typed.split_once('-').is_some_and(|(day, rest)| {
                day.len() == 8
                    && day.bytes().all(|letter| letter.is_ascii_digit())
                    && NaiveDate::parse_from_str(day, "%Y%m%d").is_ok()
                    && are_letters(rest)
            });
        if valid {
            Ok(Self(typed.to_owned()))
        } else {
            Err(Failure::BadJobId {
                typed: typed.to_owned(),
            })
        }
    }

    /// The whole id.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The first four random letters: what the header shows where no other
    /// job begins with them.
    pub fn short(&self) -> &str {
        self.0.get(9..13).unwrap_or(&self.0)
    }
}

impl fmt::Display for JobId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A data directory's own id, written into every entry, so that two
/// continuations of one job in two places can be told apart.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct DirId(String);

impl DirId {
    /// The id made of the low 40 of `random`'s bits.
    pub fn new(random: u64) -> Self {
        Self(letters(random))
    }

    /// Takes eight letters of the alphabet; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        are_letters(text).then(|| Self(text.to_owned()))
    }

    /// The id's text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for DirId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Eight letters for the low 40 bits, highest five first.
fn letters(bits: u64) -> String {
    let five = |place: u32| (bits >> (place * 5) & 31) as usize;
    (0..8)
        .rev()
        .filter_map(|place| ALPHABET.get(five(place)))
        .map(|letter| char::from(*letter))
        .collect()
}

fn are_letters(text: &str) -> bool {
    text.len() == 8 && text.bytes().all(|letter| ALPHABET.contains(&letter))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn names_a_job_by_its_utc_day_and_forty_bits() {
        // `date -u -d 2026-11-24T23:59:59Z +%s` gives 1795564799.
        let id = JobId::new(1_795_564_799_000, 0x1F).unwrap();
        assert_eq!(id.as_str(), "20261124-0000000Z");
        assert_eq!(JobId::new(0, u64::MAX).unwrap().short(), "ZZZZ");
    }

    #[test]
    fn refuses_whatever_is_not_an_id_before_it_becomes_a_path() {
        for typed in [
            "",
            "..",
            "20261124",
            "20261124-7F3K9QX",
            "20261124-7F3K9QXMM",
            "20261124-7F3K9QXU",
            "20261124-7f3k9qxm",
            "20261324-7F3K9QXM",
            "2026112 -7F3K9QXM",
            "20261124/7F3K9QXM",
            "../..124-7F3K9QXM",
            "+2026112-7F3K9QXM",
            "20261124-7F3K9QX\n",
            "2026112é-7F3K9QX",
        ] {
            assert!(JobId::parse(typed).is_err(), "{typed:?}");
        }
    }

    proptest! {
        #[test]
        fn takes_back_every_id_it_makes(wall_ms in 0_i64..4_000_000_000_000, random: u64) {
            let id = JobId::new(wall_ms, random).unwrap();
            prop_assert_eq!(JobId::parse(id.as_str()).unwrap(), id);
            let dir = DirId::new(random);
            prop_assert_eq!(DirId::parse(dir.as_str()), Some(dir.clone()));
        }

        #[test]
        fn gives_different_bits_different_letters(a in 0_u64..1 << 40, b in 0_u64..1 << 40) {
            prop_assert_eq!(a == b, DirId::new(a) == DirId::new(b));
        }
    }
}

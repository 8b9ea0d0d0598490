//! The instant an entry carries, and its one written form.

use chrono::{DateTime, Datelike, FixedOffset, SecondsFormat};

/// An instant as the machine's clocks gave it.
///
/// # Units
///
/// `wall_ms`: milliseconds since 1970-01-01 UTC. `offset_min`: minutes east of
/// UTC. `mono_ms`: milliseconds on a clock that never goes back, from an origin
/// that holds only within one session. Wall times are shown and never used to
/// order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    /// Milliseconds since 1970-01-01 UTC.
    pub wall_ms: i64,
    /// Minutes east of UTC.
    pub offset_min: i32,
    /// Milliseconds on the session's own clock.
    pub mono_ms: u64,
}

impl Stamp {
    /// The wall time as RFC 3339 with milliseconds and a numeric offset, such
    /// as `2026-11-24T08:15:02.120+01:00`. `None` outside the years 0 to 9999
    /// or with an offset of a day or more.
    pub fn rfc3339(&self) -> Option<String> {
        let zone = FixedOffset::east_opt(self.offset_min.checked_mul(60)?)?;
        let utc = DateTime::from_timestamp_millis(self.wall_ms)?;
        // A day's margin on both sides, because the offset is added after it.
        if !(1..=9998).contains(&utc.year()) {
            return None;
        }
        let there = utc.with_timezone(&zone);
        Some(there.to_rfc3339_opts(SecondsFormat::Millis, false))
    }

    /// Reads the form that [`Stamp::rfc3339`] writes, and no other.
    pub(super) fn parse(text: &str, mono_ms: u64) -> Option<Self> {
        let there = DateTime::parse_from_rfc3339(text).ok()?;
        let stamp = Self {
            wall_ms: there.timestamp_millis(),
            offset_min: there.offset().local_minus_utc() / 60,
            mono_ms,
        };
        (stamp.rfc3339()? == text).then_some(stamp)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writes_milliseconds_and_a_numeric_offset() {
        // `date -u -d 2026-11-24T07:15:02.120Z +%s%3N` gives 1795504502120.
        let stamp = Stamp {
            wall_ms: 1_795_504_502_120,
            offset_min: 60,
            mono_ms: 5,
        };
        assert_eq!(stamp.rfc3339().unwrap(), "2026-11-24T08:15:02.120+01:00");
        assert_eq!(
            Stamp::parse("2026-11-24T08:15:02.120+01:00", 5),
            Some(stamp)
        );
    }

    #[test]
    fn reads_no_other_form_of_the_same_instant() {
        for text in [
            "2026-11-24T08:15:02+01:00",
            "2026-11-24T08:15:02.12+01:00",
            "2026-11-24T08:15:02.1200+01:00",
            "2026-11-24 08:15:02.120+01:00",
            "2026-11-24t08:15:02.120+01:00",
            "2026-11-24T08:15:02.120Z",
            "2026-11-24T08:15:02.120-00:00",
            "2026-11-24T23:59:60.000+00:00",
            "2026-02-30T08:15:02.120+01:00",
            "",
        ] {
            assert_eq!(Stamp::parse(text, 0), None, "{text}");
        }
    }

    #[test]
    fn refuses_an_instant_it_cannot_write() {
        let far = Stamp {
            wall_ms: i64::MAX,
            offset_min: 0,
            mono_ms: 0,
        };
        let zone = Stamp {
            wall_ms: 0,
            offset_min: 24 * 60,
            mono_ms: 0,
        };
        assert_eq!((far.rfc3339(), zone.rfc3339()), (None, None));
    }
}

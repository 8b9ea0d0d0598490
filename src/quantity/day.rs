//! A calendar day, without a clock and without a zone.
//!
//! Must not know what day it is: today always comes in from outside.

use chrono::NaiveDate;
use std::fmt;
use std::str::FromStr;

/// A day, for calibration dates and the like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(NaiveDate);

/// The text is no day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotADay {
    /// What was written, at most 64 characters of it.
    pub written: String,
}

impl fmt::Display for NotADay {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let written = &self.written;
        write!(
            out,
            "`{written}` is no day of the calendar. Write year-month-day: 2027-03-31."
        )
    }
}

impl std::error::Error for NotADay {}

impl Day {
    /// The day of that year, month (1 to 12) and day of the month.
    pub fn of(year: i32, month: u32, day: u32) -> Option<Day> {
        NaiveDate::from_ymd_opt(year, month, day).map(Day)
    }

    /// Its first instant in UTC, in ms since 1970-01-01T00:00Z.
    pub fn start_ms(self) -> i64 {
        (self.0 - NaiveDate::default()).num_milliseconds()
    }

    /// The day on which an instant falls, where clocks stand `offset_min` minutes
    /// ahead of UTC. Instants beyond the calendar fall on its last or first day.
    ///
    /// # Units
    /// `wall_ms`: ms since 1970-01-01T00:00Z.
    pub fn of_instant(wall_ms: i64, offset_min: i32) -> Day {
        let local = wall_ms.saturating_add(i64::from(offset_min) * 60_000);
        let days = local.div_euclid(86_400_000);
        let epoch = NaiveDate::default();
        let date = chrono::TimeDelta::try_days(days).and_then(|d| epoch.checked_add_signed(d));
        Day(date.unwrap_or(if days < 0 {
            NaiveDate::MIN
        } else {
            NaiveDate::MAX
        }))
    }
}

impl From<NaiveDate> for Day {
    fn from(date: NaiveDate) -> Day {
        Day(date)
    }
}

impl FromStr for Day {
    type Err = NotADay;

    /// Reads `2027-03-31` and nothing else.
    fn from_str(text: &str) -> Result<Day, NotADay> {
        let refused = || NotADay {
            written: super::misread::plain(text),
        };
        let well_formed = text.len() == 10
            && text.bytes().enumerate().all(|(at, byte)| match at {
                4 | 7 => byte == b'-',
                _ => byte.is_ascii_digit(),
            });
        if !well_formed {
            return Err(refused());
        }
        let date = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
        date.map(Day).ok_or_else(refused)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.0.format("%Y-%m-%d"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_reads_as_it_shows() {
        let day: Day = "2027-03-31".parse().unwrap();
        assert_eq!(day.to_string(), "2027-03-31");
        assert_eq!(Day::of(2027, 3, 31), Some(day));
    }

    #[test]
    fn days_are_in_order_of_time() {
        assert!(Day::of(2026, 12, 31) < Day::of(2027, 1, 1));
    }

    #[test]
    fn refuses_what_is_no_day() {
        for text in [
            "2027-02-29",
            "31.03.2027",
            "2027-3-31",
            "",
            "2027-03-31 ",
            "+027-03-31",
            "é027-03-3",
        ] {
            assert!(text.parse::<Day>().is_err(), "{text}");
        }
        let sentence = "31.3.27".parse::<Day>().unwrap_err().to_string();
        assert_eq!(
            sentence,
            "`31.3.27` is no day of the calendar. Write year-month-day: 2027-03-31."
        );
    }
}

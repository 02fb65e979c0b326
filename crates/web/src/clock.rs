//! The time as the pages know it: an argument. Main type: [`Clock`].

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use std::fmt;
use std::sync::Arc;

/// What the time is, and in which zone the shop lies.
#[derive(Clone)]
pub struct Clock {
    now: Arc<dyn Fn() -> Timestamp + Send + Sync>,
    zone: TimeZone,
}

impl Clock {
    /// A clock of a shop in a zone.
    pub fn new(now: impl Fn() -> Timestamp + Send + Sync + 'static, zone: TimeZone) -> Self {
        Self { now: Arc::new(now), zone }
    }
    /// The time now.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        (self.now)()
    }
    /// The day that a time falls on in the shop.
    #[must_use]
    pub fn day(&self, at: Timestamp) -> Date {
        self.zone.to_datetime(at).date()
    }
    /// The end of a day in the shop, as the record writes times.
    #[must_use]
    pub fn end_of(&self, day: Date) -> String {
        let next = day.tomorrow().unwrap_or(day).to_datetime(jiff::civil::Time::midnight());
        self.zone.to_ambiguous_timestamp(next).compatible().unwrap_or(Timestamp::MAX).to_string()
    }
    /// A time of the record (RFC 3339) as the shop's wall clock shows it, to the minute; as it stands where it is none.
    #[must_use]
    pub fn local(&self, at: &str) -> String {
        match at.parse::<Timestamp>() {
            Ok(at) => self.zone.to_datetime(at).strftime("%Y-%m-%d %H:%M").to_string(),
            Err(_) => at.to_owned(),
        }
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Clock").field("zone", &self.zone).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_day_is_that_of_the_shops_zone() {
        let at = |hours: i8| {
            let now: Timestamp = "2026-10-02T23:30:00Z".parse().unwrap_or_default();
            let clock = Clock::new(move || now, TimeZone::fixed(jiff::tz::offset(hours)));
            (clock.day(clock.now()).to_string(), clock.local("2026-10-02T23:30:00Z"))
        };
        assert_eq!(at(0), ("2026-10-02".to_owned(), "2026-10-02 23:30".to_owned()));
        assert_eq!(at(2), ("2026-10-03".to_owned(), "2026-10-03 01:30".to_owned()));
    }

    #[test]
    fn what_is_no_time_stays_as_it_is() {
        assert_eq!(Clock::new(Timestamp::default, TimeZone::UTC).local("some day"), "some day");
    }
}

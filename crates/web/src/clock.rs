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

//! The one clock of the program.

use hingeline_web::Clock;
use jiff::Timestamp;
use jiff::tz::TimeZone;

/// The system's time, in the system's zone.
pub(crate) fn system() -> Clock {
    Clock::new(now, TimeZone::system())
}

#[allow(clippy::disallowed_methods, reason = "the one place where the time comes in")]
fn now() -> Timestamp {
    Timestamp::now()
}

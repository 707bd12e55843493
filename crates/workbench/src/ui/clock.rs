//! The clock on the wall: the only place that asks what time it is.

use jiff::ZonedDateTime;

/// Date and time as a mark records it: `2026-11-25 09:41`.
pub fn now() -> String {
    ZonedDateTime::now().strftime("%Y-%m-%d %H:%M").to_string()
}

/// Date for a sheet: `25 Nov 2026`.
pub fn today() -> String {
    ZonedDateTime::now().strftime("%-d %b %Y").to_string()
}

/// Time of day for "saved 09:41".
pub fn time() -> String {
    ZonedDateTime::now().strftime("%H:%M").to_string()
}

//! Quantities at the edge of the program: SI inside, shop units outside.
//!
//! Everything below the window computes in SI (m, kg, N, s, rad, Pa) as plain
//! `f64`. This crate reads what a person types or a file holds, and writes what
//! a person reads:
//!
//! - [`parse`] reads a quantity that carries its unit (`"12 5/8 in"`),
//!   [`parse_typed`] one where the shop's own unit may be left out (`"12 5/8"`),
//!   [`parse_any`] one whose kind follows from its unit.
//! - [`exact`] writes the file form: reading it back gives the same `f64`, bit for
//!   bit. [`format()`] writes the display form, rounded to the shop's step.
//! - [`Length`], [`Mass`], … are newtypes over the SI value that serialise as text.
//!
//! # Exactness
//!
//! A number is kept as a ratio of whole numbers until the very end and divided
//! once, correctly rounded, so `"12 5/8 in"` is the `f64` nearest to 0.320675 and
//! equal to the literal. Unit factors are exact by definition: the inch is
//! 25.4 mm and the pound 0.453 592 37 kg (international yard and pound agreement,
//! 1959), standard gravity 9.806 65 m/s² (3rd CGPM, 1901), hence the pound-force
//! 4.448 221 615 260 5 N (NIST Special Publication 811, appendix B). Only angles
//! are rounded twice, π being irrational.

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod damping_area_tests;
mod error;
mod format;
mod fraction;
mod kind;
mod lexer;
mod newtypes;
mod number;
mod parse;
#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod properties;
mod shop;
mod table;
#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod tests;
#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod welding_tests;

pub use error::{ParseError, Reason};
pub use format::{
    display_value, exact, format, format_bare, format_bare_kept, format_feet, format_fine,
    format_kept, from_display_value, step, unit_name,
};
pub use kind::Kind;
pub use newtypes::{
    Acceleration, Angle, AngleRatio, Area, Count, Current, Damping, Density, FeedSpeed, Flow,
    Force, Frequency, HeatInput, Inertia, Length, Mass, Power, Pressure, Quantity, Ratio,
    RollStiffness, RotationSpeed, Slope, Speed, SpringRate, Temperature, Time, Torque, Voltage,
    Volume,
};
pub use parse::{MAX_CHARS, MAX_TERMS, parse, parse_any, parse_typed};
pub use shop::{Fraction, Shop, System};
pub use table::{Scale, Unit, accepted, spellings};

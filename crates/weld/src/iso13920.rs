//! General tolerances of welded constructions: ISO 13920 lengths and angles.
//!
//! A nominal on a boundary belongs to the lower range (30 mm to 2–30). Values: ISO 13920
//! tables 1 and 2 from memory, except the points that published excerpts name (see the
//! tests); check the edition on the drawing.

use crate::error::WeldError;
use crate::fit_up::SLACK;
use crate::section_pull::above_zero;
use serde::{Deserialize, Serialize};

/// Tolerance class of ISO 13920, finest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ToleranceClass {
    /// Finest.
    A,
    /// Fine.
    B,
    /// Coarse.
    C,
    /// Coarsest.
    D,
}

impl ToleranceClass {
    /// All, finest first.
    pub const ALL: [Self; 4] = [Self::A, Self::B, Self::C, Self::D];

    const fn column(self) -> usize {
        match self {
            Self::A => 0,
            Self::B => 1,
            Self::C => 2,
            Self::D => 3,
        }
    }
}

/// Smallest nominal length with a tolerance, m.
pub const LEAST_NOMINAL: f64 = 0.002;

/// Upper end of each range of nominal lengths, mm, and ± tolerances of classes A to D, mm.
/// ISO 13920 table 1, from memory.
pub const LINEAR: [(f64, [f64; 4]); 11] = [
    (30.0, [1.0, 1.0, 1.0, 1.0]),
    (120.0, [1.0, 2.0, 3.0, 4.0]),
    (400.0, [1.0, 2.0, 4.0, 7.0]),
    (1_000.0, [2.0, 3.0, 6.0, 9.0]),
    (2_000.0, [3.0, 4.0, 8.0, 12.0]),
    (4_000.0, [4.0, 6.0, 11.0, 16.0]),
    (8_000.0, [5.0, 8.0, 14.0, 21.0]),
    (12_000.0, [6.0, 10.0, 18.0, 27.0]),
    (16_000.0, [7.0, 12.0, 21.0, 32.0]),
    (20_000.0, [8.0, 14.0, 24.0, 36.0]),
    (f64::INFINITY, [9.0, 16.0, 27.0, 40.0]),
];

/// Upper end of each range of the shorter leg, mm, and ± tolerances of classes A to D,
/// minutes of arc. ISO 13920 table 2, from memory.
pub const ANGULAR: [(f64, [f64; 4]); 3] = [
    (400.0, [20.0, 45.0, 60.0, 90.0]),
    (1_000.0, [15.0, 30.0, 45.0, 75.0]),
    (f64::INFINITY, [10.0, 20.0, 30.0, 60.0]),
];

fn look_up(table: &[(f64, [f64; 4])], nominal: f64, class: ToleranceClass) -> Option<f64> {
    table
        .iter()
        .find(|(upper, _)| nominal <= upper * 1.0e-3 + SLACK)
        .map(|(_, values)| values[class.column()])
}

/// Tolerance ± of a nominal length, m; `None` below 2 mm, where the standard gives none.
/// `nominal` in m.
///
/// # Errors
/// A nominal that is not positive or not finite.
pub fn linear(nominal: f64, class: ToleranceClass) -> Result<Option<f64>, WeldError> {
    above_zero("the nominal length", nominal)?;
    if nominal < LEAST_NOMINAL - SLACK {
        return Ok(None);
    }
    Ok(look_up(&LINEAR, nominal, class).map(|mm| mm * 1.0e-3))
}

/// Tolerance ± of an angle, rad, by the length of its shorter leg, m.
///
/// # Errors
/// A leg that is not positive or not finite.
pub fn angular(shorter_leg: f64, class: ToleranceClass) -> Result<Option<f64>, WeldError> {
    above_zero("the shorter leg", shorter_leg)?;
    Ok(look_up(&ANGULAR, shorter_leg, class).map(|minutes| (minutes / 60.0).to_radians()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;
    use ToleranceClass::{A, B, C, D};

    fn mm(nominal: f64, class: ToleranceClass) -> f64 {
        let metres = linear(nominal * 1e-3, class).unwrap().unwrap();
        (metres * 1e6).round() * 1e-3
    }

    /// Values of ISO 13920 table 1 as commonly excerpted: class A 400 to 1000 mm ±2, class B
    /// 1000 to 2000 ±4, every class 2 to 30 ±1.
    #[test]
    fn lengths_agree_with_excerpts_of_the_standard() {
        for nominal in [401.0, 700.0, 1000.0] {
            assert_eq!(mm(nominal, A), 2.0);
        }
        for nominal in [1000.5, 1500.0, 2000.0] {
            assert_eq!(mm(nominal, B), 4.0);
        }
        for class in ToleranceClass::ALL {
            assert_eq!(mm(2.0, class), 1.0);
            assert_eq!(mm(30.0, class), 1.0);
        }
    }

    /// Boundaries belong to the lower range; below 2 mm the standard gives nothing.
    #[test]
    fn boundaries_belong_to_the_lower_range() {
        assert_eq!(mm(120.0, D), 4.0);
        assert_eq!(mm(120.1, D), 7.0);
        assert_eq!(mm(16_000.0, C), 21.0);
        assert_eq!(mm(25_000.0, D), 40.0);
        assert_eq!(linear(0.001_9, A).unwrap(), None);
        assert!(linear(0.0, A).is_err());
        assert!(linear(f64::NAN, A).is_err());
        // Twelve inches typed exactly.
        assert_eq!(mm(304.8, B), 2.0);
    }

    /// ISO 13920 table 2, from memory: class B 45', 30', 20'.
    #[test]
    fn angles_go_by_the_shorter_leg() {
        let minutes = |leg: f64, class| {
            (angular(leg, class).unwrap().unwrap().to_degrees() * 60.0 * 1e6).round() * 1e-6
        };
        assert_eq!(
            [0.4, 1.0, 1.001].map(|leg| minutes(leg, B)),
            [45.0, 30.0, 20.0]
        );
        assert_eq!(minutes(0.1, A), 20.0);
        assert_eq!(minutes(0.5, D), 75.0);
        assert!(angular(-1.0, A).is_err());
    }

    /// No class is finer than the one before it, and no longer part tighter than a shorter.
    #[test]
    fn tables_are_in_order() {
        for table in [&LINEAR[..], &ANGULAR[..]] {
            for (_, row) in table {
                assert!(row.windows(2).all(|pair| pair[0] <= pair[1]));
            }
            assert!(table.windows(2).all(|pair| pair[0].0 < pair[1].0));
        }
        assert!(
            LINEAR
                .windows(2)
                .all(|p| (0..4).all(|k| p[0].1[k] <= p[1].1[k]))
        );
        assert!(
            ANGULAR
                .windows(2)
                .all(|p| (0..4).all(|k| p[0].1[k] > p[1].1[k]))
        );
    }
}

//! What bending does to the tube itself: springback, and the wall at the outside.

use super::section::Section;
use super::{BadInput, positive};

/// A shop's table for one tube and die: angle wanted, angle to set, rad.
#[derive(Clone, Debug, PartialEq)]
pub struct Springback {
    rows: Vec<[f64; 2]>,
}

impl Springback {
    /// Table of rows [wanted, to set], in any order.
    ///
    /// # Errors
    /// Numbers that are not finite, an angle wanted twice, or no row.
    pub fn new(rows: &[[f64; 2]]) -> Result<Self, BadInput> {
        for row in rows {
            positive("angle wanted", row[0])?;
            positive("angle to set", row[1])?;
        }
        let mut rows = rows.to_vec();
        rows.sort_by(|a, b| a[0].total_cmp(&b[0]));
        if rows.is_empty() {
            let what = "rows of the springback table";
            return Err(BadInput::NotPositive { what, value: 0.0 });
        }
        for pair in rows.windows(2) {
            if pair[1][0] - pair[0][0] < 1e-9 {
                return Err(BadInput::NotUsable {
                    what: "angle wanted, in two rows,",
                    value: pair[1][0],
                });
            }
        }
        Ok(Self { rows })
    }

    /// Angle to set for an angle wanted, rad, linear between rows; None outside the table.
    #[must_use]
    pub fn angle_to_set(&self, wanted: f64) -> Option<f64> {
        between(&self.rows, wanted)
    }
}

/// Linear between rows with rising first entries; None outside.
fn between(rows: &[[f64; 2]], x: f64) -> Option<f64> {
    if let Some(row) = rows.iter().find(|row| (row[0] - x).abs() <= 1e-9) {
        return Some(row[1]);
    }
    let pair = rows.windows(2).find(|w| w[0][0] <= x && x <= w[1][0])?;
    let [[x0, y0], [x1, y1]] = [pair[0], pair[1]];
    Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
}

/// Wall at the outside of a bend, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutsideWall {
    /// Estimate t·CLR/(CLR + r_m), r_m the mean radius: plane sections, no hoop strain.
    pub estimate: f64,
    /// What remains by the allowance table of ASME B31.1 (wall before over after bending
    /// 1.25, 1.14, 1.08, 1.06 at 3, 4, 5, 6 diameters and more), linear between rows; None
    /// below 3 diameters.
    pub by_allowance: Option<f64>,
}

/// Wall left at the outside of a bend of round tube.
///
/// # Errors
/// Sizes that are not positive and finite.
pub fn outside_wall(radius: f64, od: f64, wall: f64) -> Result<OutsideWall, BadInput> {
    positive("bend radius", radius)?;
    Section::round(od, wall).check()?;
    let mean = 0.5 * (od - wall);
    let table = [[3.0, 1.25], [4.0, 1.14], [5.0, 1.08], [6.0, 1.06]];
    let allowance = between(&table, (radius / od).min(6.0));
    Ok(OutsideWall {
        estimate: wall * radius / (radius + mean),
        by_allowance: allowance.map(|factor| wall / factor),
    })
}

/// Least measured minor over major axis of a bend, a rule book's figure: check yours.
pub const LEAST_AXES: f64 = 0.9;

/// Ovality as measured, (D_max − D_min)/D_nominal; never predicted. Diameters in m.
///
/// # Errors
/// Diameters that are not positive and finite.
pub fn ovality(major: f64, minor: f64, nominal: f64) -> Result<f64, BadInput> {
    positive("largest diameter", major)?;
    positive("smallest diameter", minor)?;
    Ok((major - minor) / positive("nominal diameter", nominal)?)
}

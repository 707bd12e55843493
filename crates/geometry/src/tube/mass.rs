//! Mass of tubes.

use super::section::Section;

/// Density of steel, kg/m³, the usual figure.
pub const STEEL: f64 = 7850.0;

/// Mass of a tube, kg: density (kg/m³) × area × mean length at the mean radius (m).
#[must_use]
pub fn mass(section: &Section, mean_length: f64, density: f64) -> f64 {
    density * section.area() * mean_length
}

/// Mass per metre, kg/m.
#[must_use]
pub fn per_metre(section: &Section, density: f64) -> f64 {
    density * section.area()
}

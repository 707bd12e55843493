//! What a search is asked: bands, targets, how much to return, and the map.

use super::SearchError;
use super::figure::Figure;

/// A range a figure must lie in, both ends included. A combination that does not have the
/// figure (the instant centre at infinity, an end out of reach) is not in the band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Of which figure.
    pub figure: Figure,
    /// Lowest value kept, SI; may be −∞.
    pub low: f64,
    /// Highest value kept, SI; may be +∞.
    pub high: f64,
    /// The value aimed at, if the figure counts in the ranking. The band must then have a
    /// finite, positive width: its half is the unit of the distance.
    pub target: Option<f64>,
}

impl Band {
    /// Whether the value lies in the band; false for NaN.
    pub(super) fn holds(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// The same for a value known to ± `margin`; None where that does not decide it.
    pub(super) fn decide(&self, value: f64, margin: f64) -> Option<bool> {
        let above = if self.low <= 0.0 && self.figure.is_magnitude() {
            Some(true)
        } else {
            side(value - self.low, margin)
        };
        match (above, side(self.high - value, margin)) {
            (Some(true), Some(true)) => Some(true),
            (Some(false), _) | (_, Some(false)) => Some(false),
            _ => None,
        }
    }

    /// Square of (value − target)/half width; zero without a target.
    pub(super) fn distance_squared(&self, value: f64) -> f64 {
        self.target.map_or(0.0, |target| {
            let d = (value - target) / (0.5 * (self.high - self.low));
            d * d
        })
    }

    fn check(&self, band: usize) -> Result<(), SearchError> {
        let ordered = self.low <= self.high;
        let target = self.target.is_none_or(|t| {
            let width = self.high - self.low;
            t.is_finite() && width > 0.0 && width.is_finite()
        });
        if ordered && target {
            Ok(())
        } else {
            Err(SearchError::BadBand {
                band,
                low: self.low,
                high: self.high,
            })
        }
    }
}

fn side(room: f64, margin: f64) -> Option<bool> {
    if room >= margin {
        Some(true)
    } else if room < -margin {
        Some(false)
    } else {
        None
    }
}

/// One axis of the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapAxis {
    /// The figure along it.
    pub figure: Figure,
    /// Low end, SI.
    pub low: f64,
    /// High end, SI, above `low`.
    pub high: f64,
    /// Cells between the ends, at least 1.
    pub cells: usize,
}

impl MapAxis {
    /// The cell of a value, both ends included; None outside or for NaN.
    #[must_use]
    pub fn cell(&self, value: f64) -> Option<usize> {
        if !(self.low <= value && value <= self.high) {
            return None;
        }
        let share = (value - self.low) / (self.high - self.low);
        let cell = (share * self.cells as f64) as usize;
        Some(cell.min(self.cells.saturating_sub(1)))
    }

    fn check(&self) -> Result<(), SearchError> {
        let width = self.high - self.low;
        if width > 0.0 && width.is_finite() && self.cells > 0 {
            Ok(())
        } else {
            Err(SearchError::BadAxis {
                low: self.low,
                high: self.high,
                cells: self.cells,
            })
        }
    }
}

/// The two axes of the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapAxes {
    /// Across.
    pub across: MapAxis,
    /// Up.
    pub up: MapAxis,
}

impl MapAxes {
    /// Most cells a map may have.
    pub const MOST_CELLS: usize = 1 << 20;

    /// Whether left-out combinations are counted too: both figures are of design height.
    #[must_use]
    pub const fn counts_rejected(&self) -> bool {
        !self.across.figure.is_of_range() && !self.up.figure.is_of_range()
    }

    fn check(&self) -> Result<(), SearchError> {
        self.across.check()?;
        self.up.check()?;
        match self.across.cells.checked_mul(self.up.cells) {
            Some(cells) if cells <= Self::MOST_CELLS => Ok(()),
            _ => Err(SearchError::BadAxis {
                low: self.up.low,
                high: self.up.high,
                cells: self.across.cells.saturating_mul(self.up.cells),
            }),
        }
    }
}

/// What is asked of a search.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// A combination is kept when every band holds.
    pub bands: Vec<Band>,
    /// How many of the best to return.
    pub keep: usize,
    /// Threads to use, at least 1. The answer does not depend on it.
    pub threads: usize,
    /// The map, if wanted.
    pub map: Option<MapAxes>,
}

impl Question {
    pub(super) fn check(&self) -> Result<(), SearchError> {
        for (place, band) in self.bands.iter().enumerate() {
            band.check(place)?;
        }
        if let Some(map) = &self.map {
            map.check()?;
        }
        Ok(())
    }

    /// Whether the exact value of a figure is wanted of every kept combination.
    pub(super) fn wants_value(&self, figure: Figure) -> bool {
        let ranked = self
            .bands
            .iter()
            .any(|b| b.figure == figure && b.target.is_some());
        let mapped = self
            .map
            .is_some_and(|m| m.across.figure == figure || m.up.figure == figure);
        ranked || mapped
    }
}

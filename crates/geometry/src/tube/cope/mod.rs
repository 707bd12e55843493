//! Copes: the cut at a tube's end that lands on one or more mains.
//!
//! u is the inward direction at the end (+d at A, −d at B) and s the distance from the work
//! point along u; the tube keeps s ≥ s(φ). A generator of the tube runs along u at a place
//! of its outside or inside; s(φ) is the largest s at which it leaves any main, the
//! outermost envelope. Mains are solids of their outside surface; one that runs through is
//! infinite, one that ends at the joint counts only from its own work point outward and
//! ends flat. φ runs about +d at both ends, zero on the scribe line, right hand; rectangular
//! tube has the distance p round its outside instead (see [`super::section`]).
//!
//! A cut that follows the main's surface through the wall (hole saw, mill, or the outside
//! edge marked and the inside ground away) is marked by the outer profile. A cut straight in
//! toward the tube's axis (torch, grinder, no bevel) must clear both edges: the square
//! profile, the largest s over the wall. Solid geometry, derived.

mod extremes;
mod gap;
mod mitre;
mod pair;
mod profile;
mod saw;
mod solid;
mod tube;
mod wrap;

use nalgebra::{Point3, Vector3};
use thiserror::Error;

use super::direction::Axes;
use super::{BadInput, place, unit};

pub use extremes::Extreme;
pub use gap::{WrongCut, cut_short_gap, mitre_gap};
pub use mitre::{Mitre, MitreError};
pub use pair::{Pair, relative_clock};
pub use profile::{Arc, Cope, Governed};
pub use saw::{HoleSaw, NoHoleSaw};
pub use solid::{Main, Outside};
pub use tube::CopedTube;
pub use wrap::Wrap;

/// Acute angle below which a cope is a named failure, rad: 10°.
pub const NEAR_PARALLEL: f64 = 10.0 * std::f64::consts::PI / 180.0;

/// Acute angle below which a cope is remarked on, rad: 30°.
pub const ACUTE: f64 = 30.0 * std::f64::consts::PI / 180.0;

/// Which end of a tube.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The end d leaves from.
    A,
    /// The end d runs to.
    B,
}

/// One end of a branch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landing {
    /// Work point, m: where the branch's axis is said to meet the mains.
    pub point: Point3<f64>,
    /// The branch's axes there, along from A to B at both ends.
    pub axes: Axes,
    /// Which end it is.
    pub end: End,
}

impl Landing {
    /// Unit vector u into the tube.
    #[must_use]
    pub fn inward(&self) -> Vector3<f64> {
        match self.end {
            End::A => self.axes.along,
            End::B => -self.axes.along,
        }
    }

    fn check(&self) -> Result<(), BadInput> {
        place("work point", &self.point)?;
        unit("direction of the branch", &self.axes.along)?;
        unit("scribe direction", &self.axes.up)?;
        unit("scribe direction", &self.axes.side)?;
        Ok(())
    }
}

/// Why a cope has no template. Lengths in m, angles in rad.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum CopeError {
    /// A size or place no tube can have.
    #[error(transparent)]
    Bad(#[from] BadInput),
    /// Nothing to land on.
    #[error("no main to cope to")]
    NoMain,
    /// The branch passes by every main.
    #[error("the branch misses the main by {clearance} m")]
    Misses {
        /// Index of the main it comes nearest to.
        main: usize,
        /// Clear distance between the two.
        clearance: f64,
    },
    /// Part of the branch meets no main.
    #[error("{} of the branch's edge meet no main", arcs.len())]
    Overhang {
        /// Arcs [start, end] of φ (rad) or p (m) that meet no main, start within half a turn
        /// of the scribe line, end above start.
        arcs: Vec<[f64; 2]>,
        /// Whether it is the inside edge that hangs over; the outside edge lands.
        inside: bool,
    },
    /// The axes are nearly parallel.
    #[error("branch and main are nearly parallel: {alpha} rad, at least {NEAR_PARALLEL}")]
    NearParallel {
        /// Index of the main.
        main: usize,
        /// Acute angle α.
        alpha: f64,
    },
}

/// A remark on a cope. Lengths in m, angles in rad.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum CopeFinding {
    /// Angle to a main under 30°: long feather edge, poor access for the weld.
    Acute {
        /// Index of the main.
        main: usize,
        /// Acute angle α.
        alpha: f64,
    },
    /// The cut lies beyond the straight of a main, past its end or on its bend, where the
    /// cylinder of the straight no longer stands for it.
    BeyondStraight {
        /// Index of the main.
        main: usize,
        /// How far beyond.
        beyond: f64,
    },
    /// One of several mains is not touched.
    NotMet {
        /// Index of the main.
        main: usize,
    },
}

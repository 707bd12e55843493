//! How deep and how long a rail must be notched over the axle tube.

use geometry::Pose;
use nalgebra::{Point3, Vector3};

use super::{PackagingError, bad, finite, not_negative, positive};

/// A rail above the axle tube, sprung-mass axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rail {
    /// Its two edges in plan, y, m.
    pub edges: [f64; 2],
    /// Height of its underside, m.
    pub underside: f64,
    /// Height of the rail itself, m, positive.
    pub height: f64,
}

/// A notch as it must be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// Greatest height of the tube's top over the rail's edges, m.
    pub top: f64,
    /// Depth, m; 0: none needed.
    pub depth: f64,
    /// From and to along the rail, x, m; None: none needed.
    pub along: Option<[f64; 2]>,
    /// Rail left above it, m; negative: the notch goes through.
    pub left: f64,
}

impl Notch {
    /// Less than half the rail is left: it must be plated.
    #[must_use]
    pub fn weakens(&self, rail: &Rail) -> bool {
        self.left < 0.5 * rail.height
    }
}

impl Rail {
    pub(super) fn check(&self) -> Result<(), PackagingError> {
        finite("inner edge of the rail", self.edges[0])?;
        finite("outer edge of the rail", self.edges[1])?;
        finite("underside of the rail", self.underside)?;
        positive("height of the rail", self.height).map(|_| ())
    }

    /// The tube's axis where it crosses each edge, and its top there, z. The tube runs along the axle's y axis through its origin.
    pub(super) fn crossings(
        &self,
        pose: &Pose,
        tube_radius: f64,
    ) -> Result<[(Point3<f64>, f64); 2], PackagingError> {
        let d = pose.rotation() * Vector3::y();
        let across = positive("turn of the tube across the car", d.y)?;
        let grown = tube_radius / (1.0 - d.z * d.z).sqrt();
        Ok(self.edges.map(|y| {
            let p = pose.position + d * ((y - pose.position.y) / across);
            (p, p.z + grown)
        }))
    }

    /// Greatest height of the tube's top over the rail in a pose, m.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`].
    pub fn tube_top(&self, pose: &Pose, tube_radius: f64) -> Result<f64, PackagingError> {
        let [a, b] = self.crossings(pose, tube_radius)?;
        Ok(a.1.max(b.1))
    }

    /// The notch for a tube (radius, m) with a clearance (m) over a set of poses.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`], also for no pose at all.
    pub fn notch(
        &self,
        tube_radius: f64,
        clearance: f64,
        poses: &[Pose],
    ) -> Result<Notch, PackagingError> {
        self.check()?;
        positive("tube radius", tube_radius)?;
        not_negative("clearance", clearance)?;
        if poses.is_empty() {
            return Err(bad("number of poses", 0.0, "at least 1"));
        }
        let reach = tube_radius + clearance;
        let mut top = f64::NEG_INFINITY;
        let mut along: Option<[f64; 2]> = None;
        for pose in poses {
            for (axis, over) in self.crossings(pose, tube_radius)? {
                top = top.max(over);
                let under = self.underside - axis.z;
                if under >= reach {
                    continue;
                }
                let half = if under <= 0.0 {
                    reach
                } else {
                    (reach * reach - under * under).sqrt()
                };
                let [from, to] = along.unwrap_or([axis.x; 2]);
                along = Some([from.min(axis.x - half), to.max(axis.x + half)]);
            }
        }
        let depth = (top + clearance - self.underside).max(0.0);
        Ok(Notch {
            top,
            depth,
            along: along.filter(|_| depth > 0.0),
            left: self.height - depth,
        })
    }
}

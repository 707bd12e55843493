//! Where everything of the front end stands with the wheels at a travel and the rack moved.

use geometry::front::{CornerState, Side};
use geometry::{Point3, Vector3};

use super::{FrontMotion, FrontProblem, drawn, springs};
use crate::FrontEnd;

/// One side in one pose, build frame, m.
#[derive(Debug, Clone, PartialEq)]
pub struct FrontPose {
    /// Its figures.
    pub state: CornerState,
    /// Inner and outer end of lower front, lower rear, upper front, upper rear leg and tie rod.
    pub rods: [[Point3<f64>; 2]; 5],
    /// Eye on the frame and eye on the arm.
    pub coil: Option<[Point3<f64>; 2]>,
    /// Pivot, arm end and far end of the drop link, where it reaches.
    pub bar: Option<[Point3<f64>; 3]>,
}

impl FrontMotion {
    /// One side at a travel and a rack, m; bump and left positive. The right side is the left one's mirror at
    /// the opposite rack.
    ///
    /// # Errors
    /// The pose is out of reach, from where on.
    pub fn pose(
        &self,
        f: &FrontEnd,
        side: Side,
        travel: f64,
        rack: f64,
    ) -> Result<FrontPose, FrontProblem> {
        match side {
            Side::Left => self.left(f, travel, rack),
            Side::Right => self.left(f, travel, -rack).map(FrontPose::mirrored),
        }
    }

    fn left(&self, f: &FrontEnd, travel: f64, rack: f64) -> Result<FrontPose, FrontProblem> {
        let corner = &self.front.left;
        let state = corner.state(travel, rack).map_err(FrontProblem)?;
        let rods = corner
            .rods_at(rack)
            .map(|r| [r.frame_point, state.pose.place(&r.body_point)]);
        let coil = f.coil_over.as_ref().and_then(|c| {
            let eye = drawn::on_arm(c.on, c.at_arm);
            let lower = corner.carry(&eye, &state.pose, rack).ok()?;
            Some([drawn::point(c.at_frame), lower])
        });
        let bar = springs::bar_end(f).and_then(|end| {
            let at = end.state(corner, &state.pose, rack).ok()?;
            Some([end.axis_point, at.arm_end, at.link_end])
        });
        Ok(FrontPose {
            state,
            rods,
            coil,
            bar,
        })
    }
}

impl FrontPose {
    fn mirrored(self) -> Self {
        let flip = |p: Point3<f64>| Point3::new(p.x, -p.y, p.z);
        Self {
            state: self.state.mirrored(),
            rods: self.rods.map(|r| r.map(flip)),
            coil: self.coil.map(|c| c.map(flip)),
            bar: self.bar.map(|c| c.map(flip)),
        }
    }

    /// Points around both edges of a wheel of this radius and width, m: their outline is the wheel's.
    pub fn wheel(&self, radius: f64, width: f64) -> Vec<[f64; 3]> {
        let axis: Vector3<f64> = self.state.spin_axis;
        // The spin axis never points up: a wheel lying flat is no wheel.
        let ahead = Vector3::z().cross(&-axis);
        let ahead = ahead / ahead.norm().max(1e-9);
        let up = axis.cross(&ahead);
        let centre = self.state.pose.position;
        let mut out = Vec::with_capacity(96);
        for side in [-0.5, 0.5] {
            for k in 0..48 {
                let (s, c) = (std::f64::consts::TAU * f64::from(k) / 48.0).sin_cos();
                let p = centre + axis * (side * width) + (ahead * c + up * s) * radius;
                out.push([p.x, p.y, p.z]);
            }
        }
        out
    }
}

//! The first-order formula beside the full balance.

use geometry::{
    AssembledAxle, AxleCar, AxleError, AxleLinkage, DrawnRod, Prescribed, solve_velocity,
};
use nalgebra::Point3;

use super::car::{DrawnCoilover, LaunchCar};
use crate::STANDARD_GRAVITY;

/// First-order load change of the coil-overs of a symmetric car on rigid rods without driveshaft torque:
/// 2·ΔF·MR = m a h/L − F tan φ_as + m_u a tan φ_hub. It leaves out static load times change of geometry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FirstOrder {
    /// tan φ_as = −dx/dz of the contact point, fixed to the housing, in heave.
    pub tan_as: f64,
    /// tan φ_hub: −dx of the axle's centre of gravity per dz of the axle centre in heave.
    pub tan_hub: f64,
    /// Motion ratio −dL/dz of a coil-over in heave, mean of both.
    pub motion_ratio: f64,
    /// Height h of the whole car's centre of gravity, m.
    pub cg_height: f64,
    /// Change of force of each coil-over at 1 g, N, more push positive.
    pub coil_force_per_g: f64,
}

impl FirstOrder {
    /// From the drawn geometry (travel zero), the loaded radius being the drawn height of the wheel centres.
    ///
    /// # Errors
    /// [`AxleError`] where the rods can not be assembled or do not determine the motion, or there is no coil-over.
    pub fn of(
        car: &LaunchCar,
        rods: &[DrawnRod],
        coilovers: &[DrawnCoilover],
    ) -> Result<Self, AxleError> {
        let axle_car = AxleCar {
            wheelbase: car.wheelbase,
            mass: car.mass(),
            cg_height: car.cg_height(),
            loaded_radius: car.axle_height,
            rear_brake_share: 0.0,
            rear_track: car.rear_track,
        };
        let axle: AssembledAxle = AxleLinkage::drawn(&axle_car, rods)?.assemble(axle_car)?;
        let pose = axle.design.pose;
        let rates = Prescribed::height_and_roll(1.0, 0.0);
        let twist = solve_velocity(&axle.linkage.rods, &pose, &rates)?.twist;
        let origin = axle.linkage.origin;
        let arm = |p: &Point3<f64>| pose.rotation() * (p - origin);
        let velocity = |p: &Point3<f64>| twist.v + twist.w.cross(&arm(p));
        let tan_as = (car.axle_height * twist.w.y - twist.v.x) / twist.v.z;
        let hub = velocity(&car.axle_cg);
        let tan_hub = -hub.x / twist.v.z;
        if coilovers.is_empty() {
            return Err(AxleError::BadCar {
                what: "number of coil-overs",
                value: 0.0,
            });
        }
        let sum: f64 = coilovers
            .iter()
            .map(|c| {
                let d = pose.position + arm(&c.housing_point) - c.frame_point;
                -d.normalize().dot(&velocity(&c.housing_point))
            })
            .sum();
        let motion_ratio = sum / coilovers.len() as f64;
        let h = axle_car.cg_height;
        let transfer = car.mass() * STANDARD_GRAVITY * (h / car.wheelbase - tan_as);
        let change = transfer + car.axle_mass * STANDARD_GRAVITY * tan_hub;
        Ok(Self {
            tan_as,
            tan_hub,
            motion_ratio,
            cg_height: h,
            coil_force_per_g: change / (2.0 * motion_ratio),
        })
    }
}

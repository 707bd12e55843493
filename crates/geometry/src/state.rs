//! Everything the workbench shows of the rear axle in one pose.
//!
//! Side view from the unit-heave twist (ż = 1, φ̇ = 0), roll figures from the unit-roll twist
//! (φ̇ = 1, ż = 0). Sources: Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken &
//! Milliken, Race Car Vehicle Dynamics, ch. 17; axes and senses ISO 8855.

use nalgebra::Point3;

use crate::axle::{AssembledAxle, AxleCar, AxleError};
use crate::bind::{path_velocity, stretch_energy};
use crate::pose::{Coordinate, Pose, Prescribed, Twist};
use crate::position::Position;
use crate::rods::RodValues;
use crate::velocity::{Velocity, solve_velocity};

/// Below this |q| (rad/m) the instant centre lies beyond 100 m and counts as at infinity.
pub const INFINITY_RATE: f64 = 0.01;

/// Instant centre of the axle against the sprung mass, side view, sprung-mass axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InstantCentre {
    /// At a point: x_IC = x + v_z/q, z_IC = z − v_x/q, m.
    At {
        /// Forward, m.
        x: f64,
        /// Up, m.
        z: f64,
    },
    /// Beyond 100 m.
    Infinity {
        /// Slope −v_x/v_z of the path normal (dz/dx of the direction in which it lies).
        slope: f64,
    },
}

/// Figures of the axle in one pose. Angles rad, lengths m, forces N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleState {
    /// The pose.
    pub pose: Pose,
    /// Travel against the sprung mass, m, bump positive.
    pub travel: f64,
    /// Roll φ against the sprung mass, rad, left wheel in bump positive.
    pub roll: f64,
    /// Pinion up, rad: −(θ − θ at zero travel).
    pub pinion_up: f64,
    /// Axle recession, m, rearward positive: −(x − x at zero travel).
    pub recession: f64,
    /// Contact point: axle centre less the loaded radius along the sprung mass's z, m.
    pub contact: Point3<f64>,
    /// Stretch of each rod, m, longer positive.
    pub stretch: RodValues,
    /// Largest |stretch|, m.
    pub bind_max: f64,
    /// Force in each rod from bind, N, tension positive; None without stiffnesses.
    pub rod_force: Option<RodValues>,
    /// Moment that holds the roll against bind, N·m about φ, z held and the other
    /// coordinates free: dE/dφ of E = ½ Σ k s². None without stiffnesses.
    pub bind_roll_moment: Option<f64>,
    /// Its tangent: the roll stiffness bind adds, N·m/rad. None without stiffnesses.
    pub bind_roll_stiffness: Option<f64>,
    /// Twist per metre of travel.
    pub heave_twist: Twist,
    /// Stretch rate of each rod in heave, m/m.
    pub heave_stretch_rate: RodValues,
    /// Twist per radian of roll.
    pub roll_twist: Twist,
    /// Stretch rate of each rod in roll, m/rad.
    pub roll_stretch_rate: RodValues,
    /// Pitch rate of the housing in heave q = ω_y, rad/m.
    pub q: f64,
    /// Forward motion of the axle centre in heave v_x/v_z, m/m.
    pub dxdz: f64,
    /// tan φ_as = −dx_C/dz, C fixed to the housing.
    pub tan_as: f64,
    /// Anti-squat as a ratio, 1 = 100 %: tan φ_as/(h/L), h the whole car's CG height.
    pub anti_squat: f64,
    /// Anti-lift (brakes on the housing) as a ratio: p_r tan φ_as/(h/L).
    pub anti_lift: f64,
    /// Instant centre, side view.
    pub instant_centre: InstantCentre,
    /// x_IC − x_C, m, ahead positive; None with the instant centre at infinity.
    pub swing_arm_length: Option<f64>,
    /// z_IC − z_C, m; None with the instant centre at infinity.
    pub swing_arm_height: Option<f64>,
    /// v_y/ω_x in roll, m: the axle centre's distance below the roll centre.
    pub roll_dydphi: f64,
    /// Roll centre height in sprung-mass axes, at the axle plane, m: z + v_y/ω_x.
    pub roll_centre_z: f64,
    /// Roll centre height above ground, m: (z − z_C) + v_y/ω_x.
    pub roll_centre_above_ground: f64,
    /// Slope of the roll axis dz/dx = ω_z/ω_x, rising toward the front positive.
    pub roll_axis_slope: f64,
    /// Roll steer −ψ̇/φ̇, rad/rad: positive = roll understeer.
    pub roll_steer: f64,
}

/// The same figures from the exact derivative of the position solution, bind included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathDerivative {
    /// tan φ_as along the path.
    pub tan_as: f64,
    /// Forward motion of the axle centre, m/m.
    pub dxdz: f64,
    /// ω_y in heave, rad/m.
    pub q: f64,
    /// Roll centre height in sprung-mass axes, m.
    pub roll_centre_z: f64,
    /// Roll axis slope.
    pub roll_axis_slope: f64,
    /// Roll steer, rad/rad.
    pub roll_steer: f64,
}

/// tan φ_as = −dx_C/dz with C a loaded radius r under the axle centre along the sprung z
/// and fixed to the housing: (r ω_y − v_x)/v_z.
fn anti_squat_tangent(car: &AxleCar, heave: &Twist) -> f64 {
    (car.loaded_radius * heave.w.y - heave.v.x) / heave.v.z
}

/// −ψ̇/φ̇.
fn roll_steer(roll: &Velocity) -> f64 {
    -roll.rates[Coordinate::Psi.index()] / roll.rates[Coordinate::Phi.index()]
}

const HEAVE: Prescribed = Prescribed::height_and_roll(1.0, 0.0);
const ROLL: Prescribed = Prescribed::height_and_roll(0.0, 1.0);

impl AssembledAxle {
    /// The figures at `travel` (m) and `roll` (rad).
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`] with where it begins; [`AxleError::Motion`] where the rods
    /// do not determine the motion.
    pub fn state(&self, travel: f64, roll: f64) -> Result<AxleState, AxleError> {
        self.state_at(&self.position(travel, roll)?)
    }

    /// The figures at a solved position (z and φ held).
    ///
    /// # Errors
    /// [`AxleError::Motion`] where the rods do not determine the motion.
    pub fn state_at(&self, position: &Position) -> Result<AxleState, AxleError> {
        let car = &self.car;
        let rods = &self.linkage.rods;
        let pose = position.pose;
        let heave = solve_velocity(rods, &pose, &HEAVE)?;
        let roll = solve_velocity(rods, &pose, &ROLL)?;
        let (v, q) = (heave.twist.v, heave.twist.w.y);
        let p = pose.position;
        let contact = Point3::new(p.x, p.y, p.z - car.loaded_radius);
        let tan_as = anti_squat_tangent(car, &heave.twist);
        let anti_squat = tan_as / (car.cg_height / car.wheelbase);
        let (instant_centre, swing) = if q.abs() < INFINITY_RATE {
            let slope = -v.x / v.z;
            (InstantCentre::Infinity { slope }, None)
        } else {
            let (x, z) = (p.x + v.z / q, p.z - v.x / q);
            let swing = (x - contact.x, z - contact.z);
            (InstantCentre::At { x, z }, Some(swing))
        };
        let roll_dydphi = roll.twist.v.y / roll.twist.w.x;
        let (mut rod_force, mut moment, mut stiffness) = (None, None, None);
        if self.linkage.stiffness_known {
            let mut force = [0.0; crate::MAX_RODS];
            for ((f, rod), s) in force.iter_mut().zip(rods).zip(position.stretch.iter()) {
                *f = rod.stiffness * s;
            }
            rod_force = Some(RodValues::new(force, rods.len()));
            let energy = stretch_energy(rods, &pose)?;
            moment = Some(energy.gradient[Coordinate::Phi.index()]);
            stiffness = Some(energy.tangent_stiffness(Coordinate::Phi, &HEAVE)?);
        }
        let design = &self.design.pose;
        Ok(AxleState {
            pose,
            travel: self.travel_of(&pose),
            roll: pose.phi,
            pinion_up: -(pose.theta - design.theta),
            recession: -(p.x - design.position.x),
            contact,
            stretch: position.stretch,
            bind_max: position.bind_max,
            rod_force,
            bind_roll_moment: moment,
            bind_roll_stiffness: stiffness,
            heave_twist: heave.twist,
            heave_stretch_rate: heave.stretch_rate,
            roll_twist: roll.twist,
            roll_stretch_rate: roll.stretch_rate,
            q,
            dxdz: v.x / v.z,
            tan_as,
            anti_squat,
            anti_lift: car.rear_brake_share * anti_squat,
            instant_centre,
            swing_arm_length: swing.map(|s| s.0),
            swing_arm_height: swing.map(|s| s.1),
            roll_dydphi,
            roll_centre_z: p.z + roll_dydphi,
            roll_centre_above_ground: (p.z - contact.z) + roll_dydphi,
            roll_axis_slope: roll.twist.w.z / roll.twist.w.x,
            roll_steer: roll_steer(&roll),
        })
    }

    /// The path derivative at a solved position (z and φ held): how the least-squares pose
    /// really moves. Equal to the figures of [`AxleState`] where bind is zero.
    ///
    /// # Errors
    /// [`AxleError::Motion`] where the rods do not determine the motion.
    pub fn path_derivative(&self, pose: &Pose) -> Result<PathDerivative, AxleError> {
        let rods = &self.linkage.rods;
        let heave = path_velocity(rods, pose, &HEAVE)?;
        let roll = path_velocity(rods, pose, &ROLL)?;
        Ok(PathDerivative {
            tan_as: anti_squat_tangent(&self.car, &heave.twist),
            dxdz: heave.twist.v.x / heave.twist.v.z,
            q: heave.twist.w.y,
            roll_centre_z: pose.position.z + roll.twist.v.y / roll.twist.w.x,
            roll_axis_slope: roll.twist.w.z / roll.twist.w.x,
            roll_steer: roll_steer(&roll),
        })
    }
}

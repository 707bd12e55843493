//! The figures of a corner in one pose.

use nalgebra::{Point3, Vector3};

use super::above;
use super::corner::{Corner, Side};
use super::motion::Linear;
use super::{FrontError, positive};
use crate::pose::{Pose, Twist};
use crate::position::Position;
use crate::state::{INFINITY_RATE, InstantCentre};

/// Front-view instant centre of the knuckle against the sprung mass, rack held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FrontViewCentre {
    /// At a point: y_IC = y − v_z/ω_x, z_IC = z + v_y/ω_x, m.
    At {
        /// To the left, m.
        y: f64,
        /// Up, m.
        z: f64,
    },
    /// Beyond 100 m.
    Infinity,
}

/// Figures of a corner in one pose. Angles rad, lengths m; senses as in [`crate::front`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerState {
    /// Which side.
    pub side: Side,
    /// Pose of the knuckle; its origin is the wheel centre.
    pub pose: Pose,
    /// Wheel travel, m, bump positive.
    pub travel: f64,
    /// Rack, m, left positive.
    pub rack: f64,
    /// Largest |stretch| of a rod, m: what the solution left.
    pub stretch_max: f64,
    /// Heading of the wheel, rad, left positive (static toe included).
    pub steer: f64,
    /// Toe-in, rad.
    pub toe_in: f64,
    /// Camber, rad, top outward positive.
    pub camber: f64,
    /// Caster, rad, top rearward positive: atan2(−u_x, u_z) of the steering axis u.
    pub caster: f64,
    /// Kingpin inclination, rad, top inboard positive.
    pub kingpin_inclination: f64,
    /// Mechanical trail, m, steering axis ahead of the contact positive.
    pub mechanical_trail: f64,
    /// Scrub radius, m, steering axis inboard of the contact positive.
    pub scrub_radius: f64,
    /// Contact: wheel centre + loaded radius down the wheel plane; the ground runs through it.
    pub contact: Point3<f64>,
    /// Where the steering axis meets the ground, m.
    pub axis_on_ground: Point3<f64>,
    /// Spin axis, unit, toward the left on both sides.
    pub spin_axis: Vector3<f64>,
    /// Steering axis, unit, lower to upper ball joint.
    pub steering_axis: Vector3<f64>,
    /// Lower ball joint, m.
    pub lower_ball: Point3<f64>,
    /// Twist per metre of travel, rack held; v at the wheel centre.
    pub heave_twist: Twist,
    /// Twist per metre of rack, wheel-centre height held.
    pub rack_twist: Twist,
    /// −v_y/v_z of the wheel centre: slope of the path normal in front view.
    pub normal_slope: f64,
    /// Instant centre in front view.
    pub front_view_centre: FrontViewCentre,
    /// Instant centre in side view, as for the rear axle.
    pub side_view_centre: InstantCentre,
    /// Roll centre height above the ground, m: y_C·v_y/v_z of the contact in the front-view motion
    /// (ω_x alone), so that it lies on the line from the contact to the front-view centre.
    pub roll_centre_above_ground: f64,
    /// v_x/v_z of the contact fixed to the knuckle: tan φ of outboard brakes.
    pub dive_tangent_contact: f64,
    /// v_x/v_z of the wheel centre: tan φ of inboard brakes.
    pub dive_tangent_centre: f64,
    /// dtoe-in/dz, rad/m: bump steer.
    pub toe_per_travel: f64,
    /// dcamber/dz, rad/m.
    pub camber_per_travel: f64,
    /// dcaster/dz, rad/m.
    pub caster_per_travel: f64,
    /// dsteer/drack, rad/m.
    pub steer_per_rack: f64,
}

/// Anti-dive as a ratio, 1 = 100 %: p_f·tan φ/(h/L), negative = pro-dive. Gillespie,
/// Fundamentals of Vehicle Dynamics, ch. 7, and Milliken & Milliken, Race Car Vehicle Dynamics,
/// ch. 17 (from memory).
///
/// `tangent` is [`CornerState::dive_tangent_contact`] with the caliper on the knuckle,
/// [`CornerState::dive_tangent_centre`] for inboard brakes.
///
/// # Errors
/// [`FrontError::BadNumber`] for a share outside 0 to 1, or a height or wheelbase not positive.
pub fn anti_dive(
    tangent: f64,
    front_brake_share: f64,
    cg_height: f64,
    wheelbase: f64,
) -> Result<f64, FrontError> {
    if !(0.0..=1.0).contains(&front_brake_share) {
        return Err(FrontError::BadNumber {
            what: "front brake share",
            value: front_brake_share,
        });
    }
    let h = positive("CG height", cg_height)?;
    let l = positive("wheelbase", wheelbase)?;
    Ok(front_brake_share * tangent / (h / l))
}

/// Wheel plane of a left-pointing spin axis: heading (level, unit), left across it (level, unit)
/// and down in the plane (unit).
pub(super) fn wheel_axes(axis: &Vector3<f64>) -> (Vector3<f64>, Vector3<f64>, Vector3<f64>) {
    let level = (axis.x * axis.x + axis.y * axis.y).sqrt();
    let heading = Vector3::new(axis.y, -axis.x, 0.0) / level;
    let across = Vector3::new(axis.x, axis.y, 0.0) / level;
    let down = (axis * axis.z - Vector3::z()) / level;
    (heading, across, down)
}

impl CornerState {
    /// Heading (forward) and left-across direction of the tyre, level unit vectors.
    #[must_use]
    pub fn tyre_axes(&self) -> (Vector3<f64>, Vector3<f64>) {
        let (heading, across, _) = wheel_axes(&self.spin_axis);
        (heading, across)
    }

    /// The state of the mirrored corner at the opposite rack.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let point = |p: Point3<f64>| Point3::new(p.x, -p.y, p.z);
        let twist = |t: &Twist, sign: f64| Twist {
            v: Vector3::new(t.v.x, -t.v.y, t.v.z) * sign,
            w: Vector3::new(-t.w.x, t.w.y, -t.w.z) * sign,
        };
        let e = &self.spin_axis;
        let u = &self.steering_axis;
        Self {
            side: self.side.other(),
            pose: Pose {
                position: point(self.pose.position),
                phi: -self.pose.phi,
                psi: -self.pose.psi,
                ..self.pose
            },
            rack: -self.rack,
            steer: -self.steer,
            contact: point(self.contact),
            axis_on_ground: point(self.axis_on_ground),
            spin_axis: Vector3::new(-e.x, e.y, -e.z),
            steering_axis: Vector3::new(u.x, -u.y, u.z),
            lower_ball: point(self.lower_ball),
            heave_twist: twist(&self.heave_twist, 1.0),
            rack_twist: twist(&self.rack_twist, -1.0),
            normal_slope: -self.normal_slope,
            front_view_centre: match self.front_view_centre {
                FrontViewCentre::At { y, z } => FrontViewCentre::At { y: -y, z },
                FrontViewCentre::Infinity => FrontViewCentre::Infinity,
            },
            ..*self
        }
    }
}

impl Corner {
    /// The figures at `travel` (m) and `rack` (m).
    ///
    /// # Errors
    /// [`FrontError::OutOfReach`] with where it begins, [`FrontError::Motion`],
    /// [`FrontError::NoSteeringAxis`], [`FrontError::BadNumber`].
    pub fn state(&self, travel: f64, rack: f64) -> Result<CornerState, FrontError> {
        self.state_at(&self.position(travel, rack)?, rack)
    }

    /// The figures at a solved position with the rack at `rack`.
    ///
    /// # Errors
    /// [`FrontError::Motion`] where the rods do not determine the motion,
    /// [`FrontError::NoSteeringAxis`].
    pub fn state_at(&self, position: &Position, rack: f64) -> Result<CornerState, FrontError> {
        let pose = position.pose;
        let p = pose.position;
        let sign = self.side().sign();
        let rotation = pose.rotation();
        let linear = Linear::turned(self, &pose, &rotation, rack);
        let heave = linear.heave()?;
        let by_rack = linear.rack()?;

        let e = rotation * self.spin_axis;
        let (heading, across, down) = wheel_axes(&e);
        let contact = p + down * self.drawn.loaded_radius;
        let lower_ball = p + rotation * self.rods[0].body_point.coords;
        let upper_ball = p + rotation * self.rods[2].body_point.coords;
        let axis = upper_ball - lower_ball;
        let rise = axis.z;
        if !above(rise, 0.0) {
            return Err(FrontError::NoSteeringAxis { rise });
        }
        let axis_on_ground = lower_ball + axis * ((contact.z - lower_ball.z) / rise);
        let lever = contact - axis_on_ground;

        let (v, w) = (&heave.v, &heave.w);
        let contact_rate = v + w.cross(&(contact - p));
        let level = e.x * e.x + e.y * e.y;
        let turn = |w: &Vector3<f64>| {
            let rate = w.cross(&e);
            ((e.x * rate.y - e.y * rate.x) / level, rate.z)
        };
        let (steer_rate, tilt_rate) = turn(w);
        let axis_rate = w.cross(&axis);
        let caster_rate =
            (axis.x * axis_rate.z - axis_rate.x * axis.z) / (axis.x * axis.x + axis.z * axis.z);
        let steer = (-e.x).atan2(e.y);
        Ok(CornerState {
            side: self.side(),
            pose,
            travel: self.travel_of(&pose),
            rack,
            stretch_max: position.bind_max,
            steer,
            toe_in: -sign * steer,
            camber: -sign * e.z.atan2(level.sqrt()),
            caster: (-axis.x).atan2(axis.z),
            kingpin_inclination: (-sign * axis.y).atan2(axis.z),
            mechanical_trail: -lever.dot(&heading),
            scrub_radius: sign * lever.dot(&across),
            contact,
            axis_on_ground,
            spin_axis: e,
            steering_axis: axis.normalize(),
            lower_ball,
            heave_twist: heave,
            rack_twist: by_rack,
            normal_slope: -v.y / v.z,
            front_view_centre: if w.x.abs() < INFINITY_RATE {
                FrontViewCentre::Infinity
            } else {
                FrontViewCentre::At {
                    y: p.y - v.z / w.x,
                    z: p.z + v.y / w.x,
                }
            },
            side_view_centre: if w.y.abs() < INFINITY_RATE {
                InstantCentre::Infinity { slope: -v.x / v.z }
            } else {
                InstantCentre::At {
                    x: p.x + v.z / w.y,
                    z: p.z - v.x / w.y,
                }
            },
            roll_centre_above_ground: contact.y * (v.y - w.x * (contact.z - p.z))
                / (v.z + w.x * (contact.y - p.y)),
            dive_tangent_contact: contact_rate.x / contact_rate.z,
            dive_tangent_centre: v.x / v.z,
            toe_per_travel: -sign * steer_rate,
            camber_per_travel: -sign * tilt_rate / level.sqrt(),
            caster_per_travel: caster_rate,
            steer_per_rack: turn(&by_rack.w).0,
        })
    }
}

//! A chain of Hooke joints in space.
//!
//! Angle a of a driving yoke is measured from the normal of the plane its joint bends in. At a joint of working angle β the
//! driven yoke turns by a' = atan(cos β·tan a), a quarter turn ahead; the next joint's own angle is
//! a' + 90° + δ − ε, δ the phase of the shaft's yokes and ε the turn from one joint's normal to the next one's.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::Vector3;

use super::{DrivelineError, not_negative, positive};

/// Below this sine a joint counts as straight: its plane has no direction.
const STRAIGHT: f64 = 1e-9;
/// Angles over half a turn in which extremes are looked for before they are refined.
const SCAN: usize = 360;

/// Axes in the direction of power flow and the phase of each shaft between two joints.
#[derive(Clone, Debug, PartialEq)]
pub struct JointChain {
    axes: Vec<Vector3<f64>>,
    phases: Vec<f64>,
    layout: JointLayout,
}

/// What a chain comes to, to second order in the angles.
#[derive(Clone, Debug, PartialEq)]
pub struct JointLayout {
    /// Working angle β of each joint, rad, 0 to below π/2: the compound angle, never that of one view.
    pub working_angles: Vec<f64>,
    /// Plane angle ε of each shaft between two joints, rad, −π to π: 0 for an intersecting layout and where a joint is straight, ±π for a
    /// parallel one.
    pub plane_angles: Vec<f64>,
    /// θ_eq² = |Σ β_i² e^{2jψ_i}| (form of SAE AE-7, from memory), rad². Residual torsional acceleration is ω² times it.
    pub equivalent_squared: f64,
}

impl JointLayout {
    /// Equivalent angle θ_eq, rad.
    #[must_use]
    pub fn equivalent_angle(&self) -> f64 {
        self.equivalent_squared.sqrt()
    }

    /// Residual torsional acceleration at the output, rad/s², at a shaft speed (rad/s).
    #[must_use]
    pub fn torsional_acceleration(&self, speed: f64) -> f64 {
        speed * speed * self.equivalent_squared
    }

    /// Acceleration of the shaft itself in drive (through the first joint) and in coast (through the last), rad/s².
    #[must_use]
    pub fn inertia_acceleration(&self, speed: f64) -> [f64; 2] {
        let one = |angle: Option<&f64>| angle.map_or(0.0, |b| speed * speed * b * b);
        [
            one(self.working_angles.first()),
            one(self.working_angles.last()),
        ]
    }
}

/// The exact motion at an angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointMotion {
    /// Output speed over input speed.
    pub ratio: f64,
    /// Second derivative of the output angle over the input angle; times ω² the output's acceleration.
    pub second_derivative: f64,
}

/// Exact extremes over a turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedRange {
    /// Greatest ratio.
    pub greatest: f64,
    /// Least ratio.
    pub least: f64,
    /// Greatest |second derivative|.
    pub acceleration: f64,
}

/// What is asked of a chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointLimits {
    /// Residual torsional acceleration, rad/s²; 400 (chart based on SAE AE-7, from memory).
    pub torsional: f64,
    /// Acceleration of the shaft, rad/s²; 1000 (driveline literature, from memory).
    pub shaft: f64,
    /// Least working angle, rad: needles must roll; ½° (common practice).
    pub least_angle: f64,
    /// Greatest working angle at ride height, rad; 3° (common practice).
    pub greatest_angle: f64,
    /// Greatest difference of the first and the last angle, rad; 1° (common practice).
    pub difference: f64,
    /// How far the yokes or the plane may be off, rad; 3° (own value: it costs 1 % of β² in the residual).
    pub phase: f64,
}

impl Default for JointLimits {
    fn default() -> Self {
        Self {
            torsional: 400.0,
            shaft: 1000.0,
            least_angle: 0.5_f64.to_radians(),
            greatest_angle: 3.0_f64.to_radians(),
            difference: 1.0_f64.to_radians(),
            phase: 3.0_f64.to_radians(),
        }
    }
}

/// Something a chain should not do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JointFinding {
    /// Residual torsional acceleration above its limit, rad/s².
    Torsional {
        /// The acceleration, rad/s².
        value: f64,
        /// Its limit, rad/s².
        limit: f64,
    },
    /// Acceleration of the shaft in drive or coast above its limit, rad/s².
    Shaft {
        /// The greater of both, rad/s².
        value: f64,
        /// Its limit, rad/s².
        limit: f64,
    },
    /// A joint stands so straight that its needles do not roll.
    NeedlesStill {
        /// Joint, from 0.
        joint: usize,
        /// Its working angle, rad.
        angle: f64,
    },
    /// A joint works at a large angle.
    Steep {
        /// Joint, from 0.
        joint: usize,
        /// Its working angle, rad.
        angle: f64,
    },
    /// First and last angle differ.
    Unequal {
        /// First less last, rad.
        difference: f64,
    },
    /// The yokes of a shaft are out of phase.
    OutOfPhase {
        /// Shaft between two joints, from 0.
        shaft: usize,
        /// Turn of its second yoke that brings it in phase, rad, −π/2 to π/2.
        turn: f64,
    },
    /// The joints bend in different planes although their side views match: plan view, or an offset pinion.
    PlanesApart {
        /// Shaft between the joints, from 0.
        shaft: usize,
        /// Plane angle, rad.
        plane_angle: f64,
    },
}

/// How to turn the slip yoke on its spline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhaseTurn {
    /// Turn wanted, rad, −π/2 to π/2, + about the direction of power flow.
    pub wanted: f64,
    /// Spline steps to turn, + about the direction of power flow.
    pub steps: i64,
    /// Turn still missing after them, rad.
    pub left: f64,
}

impl JointChain {
    /// Axes (any length) from the transmission output to the pinion, and the phases δ (rad) of the shafts between two joints, 0 = yokes in
    /// line.
    ///
    /// # Errors
    /// [`DrivelineError::Miscounted`], [`DrivelineError::BadInput`] for an axis without a length or a phase that is not
    /// finite, [`DrivelineError::Folded`].
    pub fn new(axes: &[Vector3<f64>], phases: &[f64]) -> Result<Self, DrivelineError> {
        if axes.len() < 2 || phases.len() + 2 != axes.len() {
            return Err(DrivelineError::Miscounted {
                axes: axes.len(),
                phases: phases.len(),
            });
        }
        for phase in phases {
            not_negative("phase", phase.abs())?;
        }
        let mut units = Vec::with_capacity(axes.len());
        for axis in axes {
            let length = positive("length of an axis", axis.norm())?;
            units.push(axis / length);
        }
        let normals: Vec<Vector3<f64>> = units
            .windows(2)
            .map(|pair| pair[0].cross(&pair[1]))
            .collect();
        let mut working_angles = Vec::with_capacity(normals.len());
        for (joint, (pair, normal)) in units.windows(2).zip(&normals).enumerate() {
            let angle = normal.norm().atan2(pair[0].dot(&pair[1]));
            if angle.is_nan() || angle >= FRAC_PI_2 - STRAIGHT {
                return Err(DrivelineError::Folded { joint, angle });
            }
            working_angles.push(angle);
        }
        let plane_angles: Vec<f64> = normals
            .windows(2)
            .zip(&units[1..])
            .map(|(n, axis)| {
                if n[0].norm() < STRAIGHT || n[1].norm() < STRAIGHT {
                    0.0
                } else {
                    n[0].cross(&n[1]).dot(axis).atan2(n[0].dot(&n[1]))
                }
            })
            .collect();
        let (mut psi, mut sum) = (0.0_f64, (0.0, 0.0));
        for (i, beta) in working_angles.iter().enumerate() {
            if i > 0 {
                psi += FRAC_PI_2 + phases[i - 1] - plane_angles[i - 1];
            }
            let (s, c) = (2.0 * psi).sin_cos();
            sum.0 += beta * beta * c;
            sum.1 += beta * beta * s;
        }
        Ok(Self {
            axes: units,
            phases: phases.to_vec(),
            layout: JointLayout {
                working_angles,
                plane_angles,
                equivalent_squared: sum.0.hypot(sum.1),
            },
        })
    }

    /// The axes, unit length.
    #[must_use]
    pub fn axes(&self) -> &[Vector3<f64>] {
        &self.axes
    }

    /// The angles and their equivalent.
    #[must_use]
    pub const fn layout(&self) -> &JointLayout {
        &self.layout
    }

    /// The exact motion with the first driving yoke at `angle` (rad) from the first joint's normal.
    #[must_use]
    pub fn motion(&self, angle: f64) -> JointMotion {
        // `ratio` is the speed of the shaft in hand over the input's, `bend` the slope of its logarithm over the input angle.
        let (mut a, mut ratio, mut bend) = (angle, 1.0, 0.0);
        for (i, beta) in self.layout.working_angles.iter().enumerate() {
            if i > 0 {
                a += FRAC_PI_2 + self.phases[i - 1] - self.layout.plane_angles[i - 1];
            }
            let (sb, cb) = beta.sin_cos();
            let (sa, ca) = a.sin_cos();
            let under = 1.0 - sb * sb * sa * sa;
            bend += 2.0 * sb * sb * sa * ca / under * ratio;
            ratio *= cb / under;
            a = (cb * sa).atan2(ca);
        }
        JointMotion {
            ratio,
            second_derivative: bend * ratio,
        }
    }

    /// Extremes of the exact motion over half a turn (it repeats).
    #[must_use]
    pub fn range(&self) -> SpeedRange {
        let of = |f: &dyn Fn(JointMotion) -> f64| self.greatest(&|a| f(self.motion(a)));
        SpeedRange {
            greatest: of(&|m| m.ratio),
            least: -of(&|m| -m.ratio),
            acceleration: of(&|m| m.second_derivative).max(of(&|m| -m.second_derivative)),
        }
    }

    /// Greatest value over half a turn: a scan, refined by golden section about its best.
    fn greatest(&self, f: &dyn Fn(f64) -> f64) -> f64 {
        const GOLDEN: f64 = 0.618_033_988_749_894_8;
        let step = PI / SCAN as f64;
        let (mut at, mut best) = (0.0, f(0.0));
        for i in 1..SCAN {
            let a = step * i as f64;
            let value = f(a);
            if value > best {
                (at, best) = (a, value);
            }
        }
        let (mut low, mut high) = (at - step, at + step);
        for _ in 0..40 {
            let width = (high - low) * GOLDEN;
            let (a, b) = (high - width, low + width);
            let (fa, fb) = (f(a), f(b));
            best = best.max(fa).max(fb);
            if fa > fb {
                high = b;
            } else {
                low = a;
            }
        }
        best
    }

    /// How far the second yoke of a shaft (from 0) is out of phase: the turn to δ = ε or ε + 180°, rad; None: no such shaft.
    #[must_use]
    pub fn phase_turn(&self, shaft: usize) -> Option<f64> {
        let off = self.layout.plane_angles.get(shaft)? - self.phases.get(shaft)?;
        Some(off - PI * (off / PI).round())
    }

    /// The turn in steps of a spline with `teeth` teeth.
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`]: no such shaft, or no teeth.
    pub fn spline_turn(&self, shaft: usize, teeth: u32) -> Result<PhaseTurn, DrivelineError> {
        let wanted = self.phase_turn(shaft).ok_or(DrivelineError::BadInput {
            what: "shaft between two joints",
            value: shaft as f64,
            range: "one of the chain",
        })?;
        let step = TAU / positive("teeth of the spline", f64::from(teeth))?;
        let steps = (wanted / step).round();
        Ok(PhaseTurn {
            wanted,
            // At most a quarter of the teeth.
            steps: steps as i64,
            left: wanted - steps * step,
        })
    }

    /// What the chain should not do at a shaft speed (rad/s).
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`].
    pub fn findings(
        &self,
        speed: f64,
        limits: &JointLimits,
    ) -> Result<Vec<JointFinding>, DrivelineError> {
        not_negative("shaft speed", speed)?;
        let mut out = Vec::new();
        let value = self.layout.torsional_acceleration(speed);
        if value > limits.torsional {
            out.push(JointFinding::Torsional {
                value,
                limit: limits.torsional,
            });
        }
        let [drive, coast] = self.layout.inertia_acceleration(speed);
        if drive.max(coast) > limits.shaft {
            out.push(JointFinding::Shaft {
                value: drive.max(coast),
                limit: limits.shaft,
            });
        }
        let angles = &self.layout.working_angles;
        for (joint, angle) in angles.iter().copied().enumerate() {
            if angle < limits.least_angle {
                out.push(JointFinding::NeedlesStill { joint, angle });
            } else if angle > limits.greatest_angle {
                out.push(JointFinding::Steep { joint, angle });
            }
        }
        if let [first, .., last] = angles[..]
            && (first - last).abs() > limits.difference
        {
            out.push(JointFinding::Unequal {
                difference: first - last,
            });
        }
        for (shaft, plane_angle) in self.layout.plane_angles.iter().copied().enumerate() {
            // What is out of phase by the planes is not the yokes' fault, and turning the yoke still cures it.
            if let Some(turn) = self.phase_turn(shaft)
                && turn.abs() > limits.phase
            {
                out.push(JointFinding::OutOfPhase { shaft, turn });
            }
            let off = plane_angle - PI * (plane_angle / PI).round();
            if off.abs() > limits.phase && self.side_views_match(shaft, limits.difference) {
                out.push(JointFinding::PlanesApart { shaft, plane_angle });
            }
        }
        Ok(out)
    }

    /// Whether the two joints of a shaft bend equally in side view.
    fn side_views_match(&self, shaft: usize, within: f64) -> bool {
        let down = |v: &Vector3<f64>| (-v.z).atan2(-v.x);
        let [before, line, after] = &self.axes[shaft..shaft + 3] else {
            return false;
        };
        let (first, second) = (down(line) - down(before), down(after) - down(line));
        (first.abs() - second.abs()).abs() <= within
    }
}

/// Greatest angle of the second joint when the first has `first` (rad) at a shaft speed (rad/s), rad: √(first² + limit/ω²).
///
/// # Errors
/// [`DrivelineError::BadInput`].
pub fn allowed_second_angle(first: f64, speed: f64, limit: f64) -> Result<f64, DrivelineError> {
    not_negative("first joint angle", first)?;
    positive("shaft speed", speed)?;
    positive("limit of the residual acceleration", limit)?;
    Ok(first.hypot(limit.sqrt() / speed))
}

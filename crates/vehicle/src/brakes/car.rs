//! The car under braking: axle loads, ideal forces, the rate that is reached.

use super::{BrakeError, bad, positive};
use crate::STANDARD_GRAVITY;

/// The car under braking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BrakeCar {
    /// Mass m, kg, positive.
    pub mass: f64,
    /// Wheelbase L, m, positive.
    pub wheelbase: f64,
    /// Front axle to centre of gravity a, m, 0 to L.
    pub cg_to_front: f64,
    /// Height h of the centre of gravity, m, positive.
    pub cg_height: f64,
}

impl BrakeCar {
    pub(super) fn check(&self) -> Result<(), BrakeError> {
        positive("mass", self.mass)?;
        positive("wheelbase", self.wheelbase)?;
        positive("height of the centre of gravity", self.cg_height)?;
        if (0.0..=self.wheelbase).contains(&self.cg_to_front) {
            Ok(())
        } else {
            Err(bad(
                "distance of the centre of gravity from the front axle",
                self.cg_to_front,
                "from 0 to the wheelbase",
            ))
        }
    }

    /// Weight, N.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.mass * STANDARD_GRAVITY
    }

    /// Load of the front and rear axle at braking rate z, N; the rear one falls below zero beyond
    /// [`BrakeCar::lift_rate`].
    #[must_use]
    pub fn loads(&self, z: f64) -> Ends {
        let w = self.weight() / self.wheelbase;
        Ends {
            front: w * (self.wheelbase - self.cg_to_front + z * self.cg_height),
            rear: w * (self.cg_to_front - z * self.cg_height),
        }
    }

    /// Ideal axle forces at z, N: z times the load, so that both tyres work equally hard.
    #[must_use]
    pub fn ideal(&self, z: f64) -> Ends {
        let n = self.loads(z);
        Ends {
            front: z * n.front,
            rear: z * n.rear,
        }
    }

    /// Braking rate at which the rear wheels leave the ground.
    #[must_use]
    pub fn lift_rate(&self) -> f64 {
        self.cg_to_front / self.cg_height
    }

    /// Braking rate reached on tyres of friction `mu` with axle forces asked for, and which axles are locked:
    /// W z = min(F_f, μN_f) + min(F_r, μN_r). A locked axle keeps μN (sliding friction is lower). At most
    /// [`BrakeCar::lift_rate`]: beyond it the car stands on its nose.
    pub(super) fn reached(&self, demand: Ends, mu: f64) -> (f64, [bool; 2]) {
        let w = self.weight();
        let per = mu / self.wheelbase;
        let (a, b, h) = (
            self.cg_to_front,
            self.wheelbase - self.cg_to_front,
            self.cg_height,
        );
        let asked = (demand.front + demand.rear) / w;
        // Force less what is needed is concave in z: the least of the four crossings is the one.
        let front_locked = {
            let rest = 1.0 - per * h;
            if rest > 0.0 {
                (per * b + demand.rear / w) / rest
            } else {
                f64::INFINITY
            }
        };
        let rear_locked = (demand.front / w + per * a) / (1.0 + per * h);
        let z = asked
            .min(front_locked)
            .min(rear_locked)
            .min(mu)
            .min(self.lift_rate());
        let n = self.loads(z);
        let locked = |force: f64, load: f64| force > mu * load * (1.0 + 1e-12);
        (
            z,
            [
                locked(demand.front, n.front),
                locked(demand.rear, n.rear.max(0.0)),
            ],
        )
    }
}

/// A figure of the front and one of the rear axle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// Front.
    pub front: f64,
    /// Rear.
    pub rear: f64,
}

/// An end of the car.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axle {
    /// Front.
    Front,
    /// Rear.
    Rear,
}

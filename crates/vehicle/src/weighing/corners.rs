//! Four scales under the level car.

use super::{WeighingError, not_negative, positive};

/// Loads on four scales, N, car level and ready to race; wheelbase and tracks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerLoads {
    /// Left front, N, zero or more.
    pub left_front: f64,
    /// Right front, N.
    pub right_front: f64,
    /// Left rear, N.
    pub left_rear: f64,
    /// Right rear, N.
    pub right_rear: f64,
    /// Wheelbase L, m, positive.
    pub wheelbase: f64,
    /// Front track t_f, m, positive.
    pub front_track: f64,
    /// Rear track t_r, m, positive.
    pub rear_track: f64,
}

/// What four scales say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerWeights {
    /// Weight W, N.
    pub weight: f64,
    /// Front share, %.
    pub front_percent: f64,
    /// Left share, %.
    pub left_percent: f64,
    /// Cross weight 100 (RF + LR)/W, %.
    pub cross_percent: f64,
    /// Station of the centre of gravity ahead of the rear axle, m.
    pub cg_station: f64,
    /// Offset of it, m, left positive.
    pub cg_offset: f64,
    /// Rear bite LR − RR, N.
    pub rear_bite: f64,
}

impl CornerLoads {
    /// Sums and moments of the four loads.
    ///
    /// # Errors
    /// A figure that is negative or not finite, or nothing on any scale.
    pub fn weights(&self) -> Result<CornerWeights, WeighingError> {
        let (lf, rf) = (self.left_front, self.right_front);
        let (lr, rr) = (self.left_rear, self.right_rear);
        for (what, load) in [
            ("left front load", lf),
            ("right front load", rf),
            ("left rear load", lr),
            ("right rear load", rr),
        ] {
            not_negative(what, load)?;
        }
        positive("wheelbase", self.wheelbase)?;
        positive("front track", self.front_track)?;
        positive("rear track", self.rear_track)?;
        let weight = lf + rf + lr + rr;
        positive("weight", weight)?;
        Ok(CornerWeights {
            weight,
            front_percent: 100.0 * (lf + rf) / weight,
            left_percent: 100.0 * (lf + lr) / weight,
            cross_percent: 100.0 * (rf + lr) / weight,
            cg_station: self.wheelbase * (lf + rf) / weight,
            cg_offset: ((lf - rf) * self.front_track + (lr - rr) * self.rear_track)
                / (2.0 * weight),
            rear_bite: lr - rr,
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    const EVEN: CornerLoads = CornerLoads {
        left_front: 3500.0,
        right_front: 3500.0,
        left_rear: 3000.0,
        right_rear: 3000.0,
        wheelbase: 2.6,
        front_track: 1.5,
        rear_track: 1.4,
    };

    /// A weight put on at a place moves the centre of gravity as a centre of masses does: the loads of
    /// a point load at (x, y) by statics, added to an even car.
    #[test]
    fn a_point_load_moves_the_centre_where_statics_says() {
        let (x, y, p): (f64, f64, f64) = (0.9, -0.3, 800.0);
        // Equal tracks, and the frame stiff with equal ends: front and rear pairs split alike.
        let base = CornerLoads {
            rear_track: 1.5,
            ..EVEN
        };
        let (front, left) = (x / base.wheelbase, 0.5 + y / 1.5);
        let loaded = CornerLoads {
            left_front: base.left_front + p * front * left,
            right_front: base.right_front + p * front * (1.0 - left),
            left_rear: base.left_rear + p * (1.0 - front) * left,
            right_rear: base.right_rear + p * (1.0 - front) * (1.0 - left),
            ..base
        };
        let (a, b) = (base.weights().unwrap(), loaded.weights().unwrap());
        let centre = |own: f64, at: f64| (a.weight * own + p * at) / (a.weight + p);
        assert!((b.cg_station - centre(a.cg_station, x)).abs() < 1e-12);
        assert!((b.cg_offset - centre(a.cg_offset, y)).abs() < 1e-12);
        assert!((a.cross_percent - 50.0).abs() < 1e-12 && a.rear_bite.abs() < 1e-12);
    }

    #[test]
    fn swapping_sides_mirrors() {
        let car = CornerLoads {
            left_front: 3620.0,
            right_rear: 3210.0,
            ..EVEN
        };
        let mirror = CornerLoads {
            left_front: car.right_front,
            right_front: car.left_front,
            left_rear: car.right_rear,
            right_rear: car.left_rear,
            ..car
        };
        let (a, b) = (car.weights().unwrap(), mirror.weights().unwrap());
        assert!((a.cg_offset + b.cg_offset).abs() < 1e-15);
        assert!((a.cross_percent + b.cross_percent - 100.0).abs() < 1e-12);
        assert!((a.rear_bite + b.rear_bite).abs() < 1e-12);
        assert!((a.left_percent + b.left_percent - 100.0).abs() < 1e-12);
    }

    #[test]
    fn every_bad_figure_is_named() {
        type Put = fn(&mut CornerLoads, f64);
        let fields: [(&str, Put); 7] = [
            ("left front load", |c, v| c.left_front = v),
            ("right front load", |c, v| c.right_front = v),
            ("left rear load", |c, v| c.left_rear = v),
            ("right rear load", |c, v| c.right_rear = v),
            ("wheelbase", |c, v| c.wheelbase = v),
            ("front track", |c, v| c.front_track = v),
            ("rear track", |c, v| c.rear_track = v),
        ];
        for (name, put) in fields {
            for bad in [f64::NAN, f64::INFINITY, -1.0] {
                let mut car = EVEN;
                put(&mut car, bad);
                let e = car.weights().unwrap_err();
                assert!(
                    matches!(e, WeighingError::BadInput { what, .. } if what == name),
                    "{e}"
                );
            }
        }
        let nothing = CornerLoads {
            left_front: 0.0,
            right_front: 0.0,
            left_rear: 0.0,
            right_rear: 0.0,
            ..EVEN
        };
        assert!(nothing.weights().is_err());
    }
}

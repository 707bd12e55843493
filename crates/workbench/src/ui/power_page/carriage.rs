//! Where a balance carries body and axle, and the way back from there to the drawing board.

use build::{Build, Carrier};
use geometry::Point3;
use vehicle::launch::Balance;

use crate::ui::handles::Face;

/// A map that keeps straight lines straight: p ↦ base + Σ columns·p, m.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Affine {
    base: [f64; 3],
    columns: [[f64; 3]; 3],
}

impl Affine {
    /// The map `f`, which is known to be affine.
    fn of(f: impl Fn([f64; 3]) -> [f64; 3]) -> Self {
        let base = f([0.0; 3]);
        let column = |k: usize| {
            let mut unit = [0.0; 3];
            unit[k] = 1.0;
            let to = f(unit);
            [0, 1, 2].map(|i| to[i] - base[i])
        };
        Self {
            base,
            columns: [column(0), column(1), column(2)],
        }
    }

    fn at(&self, p: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|i| self.base[i] + (0..3).map(|k| self.columns[k][i] * p[k]).sum::<f64>())
    }
}

/// Body and axle moved from where they are drawn (build frame, m) to where a balance has them over the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carriage {
    body: Affine,
    axle: Affine,
}

impl Carriage {
    /// The pose of `balance`. What it moves from `rest` is shown `factor` times as large; 1 is the truth.
    pub fn of(b: &Build, rest: &Balance, balance: &Balance, factor: f64) -> Self {
        let height = b.car.rear.loaded_radius.si();
        let more = |then: [f64; 3], now: [f64; 3]| {
            [0, 1, 2].map(|i| {
                if factor == 1.0 {
                    now[i]
                } else {
                    then[i] + factor * (now[i] - then[i])
                }
            })
        };
        let body = |x: &Balance, p: [f64; 3]| -> [f64; 3] { x.sprung_point(&p.into()).into() };
        let axle = |x: &Balance, p: [f64; 3]| -> [f64; 3] {
            x.axle.place(&Point3::new(p[0], p[1], p[2] - height)).into()
        };
        Self {
            body: Affine::of(|p| more(body(rest, p), body(balance, p))),
            axle: Affine::of(|p| more(axle(rest, p), axle(balance, p))),
        }
    }

    /// Where a point drawn on frame or axle stands.
    pub fn carry(&self, on: Carrier, p: [f64; 3]) -> [f64; 3] {
        match on {
            Carrier::Frame => self.body.at(p),
            Carrier::Axle => self.axle.at(p),
        }
    }

    /// The point that is carried to `q` of a drawing, itself in that drawing; what the drawing does not show is that of
    /// `old`. `None` where the drawing looks along the way back.
    pub fn take_back(
        &self,
        on: Carrier,
        face: Face,
        q: [f64; 2],
        old: [f64; 3],
    ) -> Option<[f64; 2]> {
        let shown = |p: [f64; 2]| face.flat(self.carry(on, face.lift(p, old)));
        let base = shown([0.0, 0.0]);
        let column = |p: [f64; 2]| {
            let to = shown(p);
            [to[0] - base[0], to[1] - base[1]]
        };
        let (a, b) = (column([1.0, 0.0]), column([0.0, 1.0]));
        let det = a[0] * b[1] - a[1] * b[0];
        if !(det.abs() > 1e-3 && det.is_finite()) {
            return None;
        }
        let d = [q[0] - base[0], q[1] - base[1]];
        Some([
            (d[0] * b[1] - d[1] * b[0]) / det,
            (a[0] * d[1] - a[1] * d[0]) / det,
        ])
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;

    fn sample() -> Build {
        build::file::parse(crate::SAMPLES[0].1, std::path::Path::new("sample")).unwrap()
    }

    #[test]
    fn the_way_back_ends_where_it_began() {
        let b = sample();
        let study = build::derive(&b);
        let r = study.launch.reactions.as_ref().unwrap();
        let now = r.drive.as_ref().unwrap();
        let p = [0.51, 0.32, 0.37];
        for factor in [1.0, 5.0] {
            let c = Carriage::of(&b, &r.settled.at_rest, now, factor);
            for on in [Carrier::Frame, Carrier::Axle] {
                for face in [Face::Side, Face::Plan, Face::Rear] {
                    let q = face.flat(c.carry(on, p));
                    let back = c.take_back(on, face, q, p).unwrap();
                    let want = face.flat(p);
                    assert!((back[0] - want[0]).hypot(back[1] - want[1]) < 1e-12);
                }
            }
        }
    }

    #[test]
    fn at_true_size_points_stand_where_the_balance_has_them_and_five_times_is_five_times() {
        let b = sample();
        let study = build::derive(&b);
        let r = study.launch.reactions.as_ref().unwrap();
        let (rest, now) = (&r.settled.at_rest, r.drive.as_ref().unwrap());
        let p = [2.0, 0.4, 0.5];
        let then: [f64; 3] = rest.sprung_point(&p.into()).into();
        let at: [f64; 3] = now.sprung_point(&p.into()).into();
        let one = Carriage::of(&b, rest, now, 1.0).carry(Carrier::Frame, p);
        let five = Carriage::of(&b, rest, now, 5.0).carry(Carrier::Frame, p);
        for k in 0..3 {
            assert!((one[k] - at[k]).abs() < 1e-12);
            assert!((five[k] - then[k] - 5.0 * (at[k] - then[k])).abs() < 1e-12);
        }
        assert!(at[2] - then[2] > 0.01, "the front has risen");
    }
}

//! Coil-overs: placement, seats, rates, travel left.

use geometry::{AxleState, Point3};
use vehicle::springs::{
    self, Catalogue, Corner, Seat, Shock, Spring, SpringChoice, SpringState, TravelBudget,
};

use super::{mount, rear_sprung_weight, words};
use crate::study::Motion;
use crate::{Build, Coilover, Place, Side, Sides};

/// One physical coil-over.
#[derive(Debug, Clone)]
pub struct CoilStudy {
    /// Index of the coil-over in the build.
    pub coilover: usize,
    /// Left or right of a pair; `Both` for a single one.
    pub side: Side,
    /// Upper eye, m.
    pub frame: [f64; 3],
    /// Lower eye as drawn, m.
    pub axle: [f64; 3],
    /// Eye to eye as drawn, m.
    pub length: f64,
    /// How it stands at ride height, or why it can not.
    pub ride: Result<CoilRide, String>,
}

/// A coil-over at ride height.
#[derive(Debug, Clone, PartialEq)]
pub struct CoilRide {
    /// Rates and ratios at ride height.
    pub state: SpringState,
    /// Change of the motion ratio with travel, 1/m.
    pub ratio_slope: f64,
    /// Force in the spring with the car at the drawn height, N.
    pub force: f64,
    /// Squeeze with the shock pulled out, m: as set, or what holds the ride height.
    pub preload: f64,
    /// Eye to eye at which the spring is free, m.
    pub free_length: f64,
    /// The seat, where the spring carries at all.
    pub seat: Option<Seat>,
    /// Wheel travel left both ways, m.
    pub budget: Option<TravelBudget>,
    /// Most its eyes tilt from the line drawn over the travel looked at, rad.
    pub tilt: f64,
}

/// Both ends on a side.
fn ends(x: &Coilover, side: Side) -> ([f64; 3], [f64; 3]) {
    let at = |p: Place| match side {
        Side::Right => p.mirrored().si(),
        _ => p.si(),
    };
    (at(x.at_frame), at(x.at_axle))
}

/// Every coil-over in its place, before anything is known of the axle.
pub(super) fn placed(b: &Build) -> Vec<CoilStudy> {
    let mut all = Vec::new();
    for (coilover, x) in b.power.coilovers.iter().enumerate() {
        let sides: &[Side] = match x.sides {
            Sides::Pair => &[Side::Left, Side::Right],
            Sides::Single => &[Side::Both],
        };
        for &side in sides {
            let (frame, axle) = ends(x, side);
            let d = [0, 1, 2].map(|k| frame[k] - axle[k]);
            all.push(CoilStudy {
                coilover,
                side,
                frame,
                axle,
                length: (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt(),
                ride: Err("the rear axle does not solve".to_owned()),
            });
        }
    }
    all
}

pub(super) fn study(b: &Build, motion: &Motion) -> Vec<CoilStudy> {
    let axle = &motion.axle;
    let mut all = placed(b);
    let ratios: Vec<Result<f64, String>> = all
        .iter()
        .map(|c| {
            let mount = mount(axle, c.frame, c.axle)?;
            springs::motion(axle, &mount, 0.0, 0.0)
                .map(|m| m.motion_ratio)
                .map_err(|e| words::spring(&e))
        })
        .collect();
    // What the hand-set ones leave is shared alike by the others.
    let mut weight = rear_sprung_weight(b);
    let mut sharing = 0.0;
    for (c, ratio) in all.iter().zip(&ratios) {
        let x = &b.power.coilovers[c.coilover];
        match (set_by_hand(x, c.side), ratio) {
            (Some(p), Ok(ratio)) => weight -= hand_force(x, p, c.length) * ratio,
            (None, Ok(ratio)) => sharing += ratio,
            (_, Err(_)) => {}
        }
    }
    for (c, ratio) in all.iter_mut().zip(ratios) {
        let x = &b.power.coilovers[c.coilover];
        c.ride = ratio.and_then(|_| {
            let force = match set_by_hand(x, c.side) {
                Some(p) => hand_force(x, p, c.length),
                None => springs::static_force(weight, sharing).map_err(|e| match e {
                    springs::SpringError::BadInput { .. } => {
                        "no weight is left for it to carry".to_owned()
                    }
                    e => words::spring(&e),
                })?,
            };
            ride(motion, c, x, force)
        });
    }
    all
}

fn set_by_hand(x: &Coilover, side: Side) -> Option<f64> {
    x.preload.map(|p| match side {
        Side::Right => p.right.si(),
        _ => p.left.si(),
    })
}

fn hand_force(x: &Coilover, preload: f64, length: f64) -> f64 {
    (x.rate.si() * (x.extended.si() + preload - length)).max(0.0)
}

fn ride(motion: &Motion, c: &CoilStudy, x: &Coilover, force: f64) -> Result<CoilRide, String> {
    let axle = &motion.axle;
    let rate = x.rate.si();
    if rate <= 0.0 {
        return Err("its rate is not above zero".to_owned());
    }
    let mount = mount(axle, c.frame, c.axle)?;
    let preload = set_by_hand(x, c.side).unwrap_or(force / rate - (x.extended.si() - c.length));
    let free_length = x.extended.si() + preload;
    let state = springs::spring_state(axle, &mount, rate, free_length, 0.0, 0.0)
        .map_err(|e| words::spring(&e))?;
    let shock = Shock {
        extended: x.extended.si(),
        compressed: x.compressed.si(),
    };
    let spring = Spring {
        rate,
        free_length: x.spring_free.si(),
        block_length: x.spring_block.si(),
    };
    let seat = springs::seat(&shock, &spring, c.length, force).ok();
    let poses = Poses {
        frame: mount.frame_point,
        body: mount.body_point,
        states: &motion.travel.states,
    };
    Ok(CoilRide {
        ratio_slope: if force > 0.0 {
            state.geometric_rate / force
        } else {
            0.0
        },
        budget: seat.as_ref().map(|s| TravelBudget {
            bump: poses.until(1.0, |l| l - s.solid_at.max(shock.compressed)),
            droop: poses.until(-1.0, |l| shock.extended - l),
        }),
        tilt: poses.tilt(),
        state,
        force,
        preload,
        free_length,
        seat,
    })
}

/// A coil-over in the poses of the travel sweep.
struct Poses<'a> {
    frame: Point3<f64>,
    body: Point3<f64>,
    states: &'a [AxleState],
}

impl Poses<'_> {
    fn length(&self, s: &AxleState) -> f64 {
        (s.pose.place(&self.body) - self.frame).norm()
    }

    /// Travel one way (bump positive) at which `spare` of the length is used up, m, between two poses in proportion (the
    /// poses are a millimetre apart, so to a micrometre); `None` when it is not within the travel looked at.
    fn until(&self, way: f64, spare: impl Fn(f64) -> f64) -> Option<f64> {
        let mut on_the_way: Vec<&AxleState> = self
            .states
            .iter()
            .filter(|s| s.travel * way >= 0.0)
            .collect();
        on_the_way.sort_by(|a, b| a.travel.abs().total_cmp(&b.travel.abs()));
        let mut before: Option<(f64, f64)> = None;
        for s in on_the_way {
            let (z, left) = (s.travel.abs(), spare(self.length(s)));
            if left <= 0.0 {
                return Some(match before {
                    Some((z0, left0)) => z0 + (z - z0) * left0 / (left0 - left),
                    None => z,
                });
            }
            before = Some((z, left));
        }
        None
    }

    /// Most either end tilts from the line at ride height, rad.
    fn tilt(&self) -> f64 {
        let Some(ride) = self
            .states
            .iter()
            .min_by(|a, b| a.travel.abs().total_cmp(&b.travel.abs()))
        else {
            return 0.0;
        };
        let lines = |s: &AxleState| {
            let d = s.pose.place(&self.body) - self.frame;
            [d, s.pose.rotation().transpose() * d]
        };
        let drawn = lines(ride);
        [self.states.first(), self.states.last()]
            .into_iter()
            .flatten()
            .flat_map(|s| {
                let now = lines(s);
                [0, 1].map(|k| drawn[k].cross(&now[k]).norm().atan2(drawn[k].dot(&now[k])))
            })
            .fold(0.0, f64::max)
    }
}

/// The rear sprung mass on all coil-overs' wheel rates.
pub(super) fn rear_frequency(b: &Build, coilovers: &[CoilStudy]) -> Result<f64, String> {
    if coilovers.is_empty() {
        return Err("no coil-overs are drawn yet".to_owned());
    }
    let mut rate = 0.0;
    for c in coilovers {
        rate += c.ride.as_ref().map_err(Clone::clone)?.state.wheel_rate;
    }
    springs::ride_frequency(rate, rear_sprung_weight(b) / vehicle::STANDARD_GRAVITY)
        .map_err(|e| words::spring(&e))
}

/// A coil-over over the travel looked at: (travel m, motion ratio, wheel rate N/m). Ratio and slope are differences
/// between neighbouring poses.
pub(super) fn over_travel(b: &Build, motion: &Motion, c: &CoilStudy) -> Vec<[f64; 3]> {
    let (Ok(ride), Ok(mount)) = (&c.ride, mount(&motion.axle, c.frame, c.axle)) else {
        return Vec::new();
    };
    let poses = Poses {
        frame: mount.frame_point,
        body: mount.body_point,
        states: &motion.travel.states,
    };
    let rate = b.power.coilovers[c.coilover].rate.si();
    let at: Vec<(f64, f64)> = poses
        .states
        .iter()
        .map(|s| (s.travel, poses.length(s)))
        .collect();
    at.windows(3)
        .filter_map(|w| {
            let [(z0, l0), (z1, l1), (z2, l2)] = *w else {
                return None;
            };
            let (below, above) = (-(l1 - l0) / (z1 - z0), -(l2 - l1) / (z2 - z1));
            let (ratio, slope) = (0.5 * (below + above), (above - below) / (0.5 * (z2 - z0)));
            let force = rate * (ride.free_length - l1);
            // A loose spring adds nothing.
            let stiff = if force > 0.0 {
                rate * ratio * ratio + force * slope
            } else {
                0.0
            };
            Some([z1, ratio, stiff])
        })
        .collect()
}

/// Force of all coil-overs at the wheels over the travel looked at: (travel m, coil force times motion ratio N),
/// the ratio between neighbouring poses. A loose spring pushes with nothing.
pub(in crate::study) fn wheel_forces(
    b: &Build,
    motion: &Motion,
    coilovers: &[CoilStudy],
) -> Result<Vec<(f64, f64)>, String> {
    let states = &motion.travel.states;
    let mut all: Vec<(f64, f64)> = states.iter().map(|s| (s.travel, 0.0)).collect();
    for c in coilovers {
        let ride = c.ride.as_ref().map_err(Clone::clone)?;
        let mount = mount(&motion.axle, c.frame, c.axle)?;
        let poses = Poses {
            frame: mount.frame_point,
            body: mount.body_point,
            states,
        };
        let rate = b.power.coilovers[c.coilover].rate.si();
        let at: Vec<(f64, f64)> = states.iter().map(|s| (s.travel, poses.length(s))).collect();
        for (i, sum) in all.iter_mut().enumerate() {
            let (a, z) = (at[i.saturating_sub(1)], at[(i + 1).min(at.len() - 1)]);
            let ratio = -(z.1 - a.1) / (z.0 - a.0);
            sum.1 += ratio * (rate * (ride.free_length - at[i].1)).max(0.0);
        }
    }
    Ok(all)
}

/// The springs of a catalogue (least, greatest, step, N/m) that give a ride frequency in a band (Hz).
pub(super) fn choices(
    b: &Build,
    c: &CoilStudy,
    catalogue: [f64; 3],
    band: (f64, f64),
) -> Result<Vec<SpringChoice>, String> {
    let ride = c.ride.as_ref().map_err(Clone::clone)?;
    let corner = Corner {
        // The share of the sprung mass this spring carries at the wheel.
        sprung_mass: ride.force * ride.state.motion.motion_ratio / vehicle::STANDARD_GRAVITY,
        motion_ratio: ride.state.motion.motion_ratio,
        motion_ratio_slope: ride.ratio_slope,
        coil_force: ride.force,
        fitted_rate: b.power.coilovers[c.coilover].rate.si(),
        tyre_rate: None,
    };
    let [least, greatest, step] = catalogue;
    springs::choose(
        &corner,
        &Catalogue {
            least,
            greatest,
            step,
        },
        band,
    )
    .map_err(|e| words::spring(&e))
}

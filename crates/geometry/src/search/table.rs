//! What is known of each choice of each group before any combination is judged.

use nalgebra::Vector3;

use super::figure::Figure;
use super::group::{Group, Look};
use super::station::{Bar, Model, Station};
use crate::axle::{AssembledAxle, AxleCar, AxleError, AxleLinkage, DrawnRod};
use crate::pose::{Frame, Pose};
use crate::rods::{Line, Rod};

/// Places of the stations in every table.
pub(super) const TRAVEL: [usize; 2] = [0, 1];
pub(super) const ROLL: [usize; 2] = [2, 3];
/// Design height, where the lengths are held and the axle has to find its pose there.
pub(super) const DESIGN: usize = 4;
pub(super) const STATIONS: usize = 5;

/// Sums over rods of the velocity problem at the drawn pose: the normal matrix of x, y, θ, ψ
/// (10), the right side of heave (4) and of roll (4).
pub(super) type Rates = [f64; 18];

/// A group in the order in which the search runs through them.
pub(super) struct Level {
    /// Step of the combination index from one choice to the next.
    pub(super) stride: u64,
    /// Rods per choice.
    pub(super) width: usize,
    /// Place of its first rod among all rods of a combination.
    pub(super) lane: usize,
    pub(super) rates: Vec<Rates>,
    /// `width` per choice.
    pub(super) bars: Vec<Bar>,
    /// Choices with a rod of no length: no combination with them stands.
    pub(super) broken: Vec<bool>,
    pub(super) models: [Vec<Model>; STATIONS],
}

/// Everything the judges share.
pub(super) struct Table {
    /// The group with most choices last, so that the sums of the others change seldom.
    pub(super) levels: Vec<Level>,
    pub(super) stations: [Station; STATIONS],
    /// Travel (m) or roll (rad) at each station.
    pub(super) moved: [f64; STATIONS],
    /// Rods of every combination.
    pub(super) rods: usize,
    /// Softest over stiffest rod of the search.
    pub(super) contrast: f64,
    /// Whether any rod is held at a length.
    pub(super) held: bool,
}

/// Full solutions whose mean is taken as the reference pose of a station.
const SAMPLES: u32 = 9;

fn mean_pose(poses: &[Pose], z: f64, phi: f64) -> Pose {
    let mut sum = [0.0; 6];
    for pose in poses {
        for (s, q) in sum.iter_mut().zip(pose.coordinates()) {
            *s += q / poses.len() as f64;
        }
    }
    (sum[2], sum[3]) = (z, phi);
    Pose::from_coordinates(&sum)
}

fn rates_of(rods: &[Bar], origin_z: f64) -> Rates {
    let q = [0.0, 0.0, origin_z, 0.0, 0.0, 0.0];
    let frame = Frame::at(&q);
    let mut rates = [0.0; 18];
    for bar in rods {
        let rod = Rod {
            frame_point: bar.frame,
            body_point: bar.body.into(),
            length: bar.length,
            stiffness: bar.weight,
        };
        let row = Line::new(&rod, &q, &frame).row;
        let free = [row[0], row[1], row[4], row[5]];
        let (heave, roll) = (row[2], row[3]);
        let mut next = 0;
        for (i, ri) in free.iter().enumerate() {
            for rj in &free[..=i] {
                rates[next] += bar.weight * ri * rj;
                next += 1;
            }
            rates[10 + i] -= bar.weight * heave * ri;
            rates[14 + i] -= bar.weight * roll * ri;
        }
    }
    rates
}

impl Table {
    pub(super) fn new(
        car: &AxleCar,
        groups: &[Group],
        look: &Look,
        combinations: u64,
        rods_of: impl Fn(u64) -> Vec<DrawnRod>,
    ) -> Self {
        let z = car.loaded_radius;
        let moved = [
            look.travel[0],
            look.travel[1],
            look.roll[0],
            look.roll[1],
            0.0,
        ];
        let held_at = |k: usize| {
            if ROLL.contains(&k) {
                (z, moved[k])
            } else {
                (z + moved[k], 0.0)
            }
        };
        let mut poses: [Vec<Pose>; STATIONS] = std::array::from_fn(|_| Vec::new());
        for sample in 0..SAMPLES {
            // Spread by the golden section over all combinations.
            let share = (0.5 + f64::from(sample) * 0.618_033_988_749_895).fract();
            let index = ((combinations as f64 * share) as u64).min(combinations - 1);
            let Ok(axle) = assemble(car, &rods_of(index)) else {
                continue;
            };
            for (k, poses) in poses.iter_mut().enumerate() {
                let at = if ROLL.contains(&k) {
                    axle.position(0.0, moved[k])
                } else {
                    axle.position(moved[k], 0.0)
                };
                if let Ok(at) = at {
                    poses.push(at.pose);
                }
            }
        }
        let stations = std::array::from_fn(|k| {
            let (z, phi) = held_at(k);
            Station::new(z, phi, &mean_pose(&poses[k], z, phi))
        });
        let all = || groups.iter().flat_map(|g| g.choices.iter().flatten());
        let stiffness = |r: &DrawnRod| r.stiffness.unwrap_or(1.0);
        let stiffest = all().map(stiffness).fold(0.0, f64::max);
        let softest = all().map(stiffness).fold(f64::INFINITY, f64::min);
        let held = all().any(|r| r.length.is_some());
        // Strides of the index: the last group runs fastest.
        let mut strides = vec![1_u64; groups.len()];
        for g in (1..groups.len()).rev() {
            strides[g - 1] = strides[g] * groups[g].choices.len() as u64;
        }
        let mut order: Vec<usize> = (0..groups.len()).collect();
        order.sort_by_key(|g| groups[*g].choices.len());
        let mut lane = 0;
        let mut levels = Vec::with_capacity(groups.len());
        for g in order {
            let choices = &groups[g].choices;
            let width = choices.first().map_or(0, Vec::len);
            let bars: Vec<Bar> = choices
                .iter()
                .flatten()
                .map(|r| Bar {
                    frame: r.frame_point,
                    body: r.housing_point.coords - Vector3::new(0.0, 0.0, z),
                    length: r
                        .length
                        .unwrap_or_else(|| (r.housing_point - r.frame_point).norm()),
                    weight: stiffness(r) / stiffest,
                })
                .collect();
            let model = |station: &Station, bars: &[Bar]| {
                let mut sum = [0.0; 34];
                for bar in bars {
                    for (s, m) in sum.iter_mut().zip(station.model(bar)) {
                        *s += m;
                    }
                }
                sum
            };
            levels.push(Level {
                stride: strides[g],
                width,
                lane,
                rates: bars.chunks(width).map(|b| rates_of(b, z)).collect(),
                broken: choices
                    .iter()
                    .map(|c| {
                        c.iter().any(|r| {
                            (r.housing_point - r.frame_point).norm() <= 1e-9
                                || r.length.is_some_and(|l| l <= 0.0)
                        })
                    })
                    .collect(),
                models: std::array::from_fn(|k| {
                    if k == DESIGN && !held {
                        return Vec::new();
                    }
                    bars.chunks(width).map(|b| model(&stations[k], b)).collect()
                }),
                bars,
            });
            lane += width;
        }
        Self {
            levels,
            stations,
            moved,
            rods: lane,
            contrast: softest / stiffest,
            held,
        }
    }

    /// Whether a figure needs stations beside design height, and which.
    pub(super) const fn ends_of(figure: Figure) -> [usize; 2] {
        if matches!(figure, Figure::BindStretch) {
            ROLL
        } else {
            TRAVEL
        }
    }
}

pub(super) fn assemble(car: &AxleCar, rods: &[DrawnRod]) -> Result<AssembledAxle, AxleError> {
    AxleLinkage::drawn(car, rods)?.assemble(*car)
}

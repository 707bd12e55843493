//! The model behind sensitivities and Monte Carlo alike: one build with given errors.

use nalgebra::Vector3;

use crate::MAX_RODS;
use crate::axle::{AssembledAxle, AxleCar, AxleError, AxleLinkage, DrawnRod};
use crate::pose::{Pose, Prescribed};
use crate::position::{Position, solve_position};
use crate::rods::Rod;
use crate::state::InstantCentre;
use crate::sweep::march;

use super::{
    Dimension, FigureValues, Lengths, MAX_TOLERANCE, PlacementError, PlacementFigure, RodEnd,
};

/// Share of the errors at which a build that cannot be reached stops being halved.
const SHARE_RESOLUTION: f64 = 1.0 / 64.0;

/// A first-order move longer than this (m or rad) is no start.
const FAR: f64 = 0.02;

/// One drawn axle with its bracket dimensions, assembled without errors.
///
/// Every build starts from the poses of the axle as drawn (ride height and both ends of
/// travel), the errors led in from none to all of them, halved where one step is too long: so
/// it stands on the drawn branch. A build that locks over somewhere between ride height and
/// an end of travel, but not at the end, is not noticed.
#[derive(Clone, Debug)]
pub struct Placement {
    pub(super) nominal: AssembledAxle,
    pub(super) dimensions: Vec<Dimension>,
    pub(super) built: Build,
    /// Positions at the two ends of travel as drawn.
    ends: [Result<Position, AxleError>; 2],
    /// Whether the length of a rod follows its ends.
    reset: [bool; MAX_RODS],
    moves: Vec<Move>,
    /// Per pose (ride, the two ends) and dimension the slope of the six coordinates.
    leads: [Vec<[f64; 6]>; 3],
}

/// One rod end that one dimension moves.
#[derive(Clone, Copy, Debug)]
struct Move {
    dimension: usize,
    rod: usize,
    end: RodEnd,
    along: Vector3<f64>,
}

/// What one build gives: smooth functions of the errors, from which the figures follow.
#[derive(Clone, Copy, Debug)]
pub(super) struct Build {
    /// Axle centre at ride height, m.
    pub(super) x: f64,
    /// Forward motion in heave, m/m.
    pub(super) dxdz: f64,
    /// Pitch rate in heave, rad/m.
    pub(super) q: f64,
    pub(super) anti_squat: f64,
    pub(super) roll_steer: f64,
    pub(super) instant_centre: InstantCentre,
    /// Pinion up against the drawn pose: at ride, at the first and second end of travel, rad.
    pub(super) pinion: [Option<f64>; 3],
}

impl Build {
    pub(super) fn figures(&self) -> FigureValues {
        let (station, height) = match self.instant_centre {
            InstantCentre::At { x, z } => (Some(x), Some(z)),
            InstantCentre::Infinity { .. } => (None, None),
        };
        let change = match self.pinion {
            [Some(a), Some(b), Some(c)] => Some(a.max(b).max(c) - a.min(b).min(c)),
            _ => None,
        };
        let mut values = [None; 6];
        for (figure, value) in [
            (PlacementFigure::AntiSquat, Some(self.anti_squat)),
            (PlacementFigure::IcStation, station),
            (PlacementFigure::IcHeight, height),
            (PlacementFigure::RollSteer, Some(self.roll_steer)),
            (PlacementFigure::PinionAtRide, self.pinion[0]),
            (PlacementFigure::PinionChange, change),
        ] {
            values[figure.index()] = value.filter(|v| v.is_finite());
        }
        FigureValues { values }
    }
}

impl Placement {
    /// Assembles the axle as drawn and takes its dimensions.
    ///
    /// `travel`: the two ends of the travel range for [`PlacementFigure::PinionChange`], m,
    /// bump positive, in any order. An end the drawn axle does not reach is no error: that
    /// figure then has no value. Rods drawn with a held length keep it whatever `lengths` says.
    ///
    /// # Errors
    /// [`PlacementError::Axle`] where the drawn axle does not assemble or is not determined;
    /// [`PlacementError::NoSuchRod`], [`PlacementError::MovedTwice`],
    /// [`PlacementError::BadDirection`], [`PlacementError::BadTolerance`],
    /// [`PlacementError::BadTravel`] for faulty input.
    pub fn new(
        car: &AxleCar,
        rods: &[DrawnRod],
        dimensions: &[Dimension],
        lengths: Lengths,
        travel: [f64; 2],
    ) -> Result<Self, PlacementError> {
        for (dimension, d) in dimensions.iter().enumerate() {
            check_dimension(dimension, d, rods.len())?;
        }
        if let Some(&travel) = travel.iter().find(|t| !t.is_finite()) {
            return Err(PlacementError::BadTravel { travel });
        }
        let mut nominal = AxleLinkage::drawn(car, rods)?.assemble(*car)?;
        // The stiffnesses stay as weights; the forces and moments of bind are not asked for.
        nominal.linkage.stiffness_known = false;
        let mut reset = [false; MAX_RODS];
        for (reset, rod) in reset.iter_mut().zip(rods) {
            *reset = lengths == Lengths::Reset && rod.length.is_none();
        }
        let ends = travel.map(|t| nominal.move_travel(&nominal.design, t));
        let moves = dimensions
            .iter()
            .enumerate()
            .flat_map(|(dimension, d)| {
                d.moves.iter().map(move |&(rod, end)| Move {
                    dimension,
                    rod,
                    end,
                    along: d.along,
                })
            })
            .collect();
        let state = nominal.state_at(&nominal.design)?;
        let pinion = |p: &Position| -p.pose.theta;
        let built = Build {
            x: state.pose.position.x,
            dxdz: state.dxdz,
            q: state.q,
            anti_squat: state.anti_squat,
            roll_steer: state.roll_steer,
            instant_centre: state.instant_centre,
            pinion: [
                Some(pinion(&nominal.design)),
                ends[0].as_ref().ok().map(pinion),
                ends[1].as_ref().ok().map(pinion),
            ],
        };
        let mut placement = Self {
            nominal,
            dimensions: dimensions.to_vec(),
            built,
            ends,
            reset,
            moves,
            leads: Default::default(),
        };
        placement.leads = placement.leads();
        Ok(placement)
    }

    /// Where every pose goes to first order, so that a build starts next to its answer. Zero
    /// where a small move already fails: a start only, never an answer.
    fn leads(&self) -> [Vec<[f64; 6]>; 3] {
        let step = self.step();
        let mut bench = self.nominal.clone();
        let mut errors = vec![0.0; self.dimensions.len()];
        let mut lead = |start: Option<&Position>, dimension: usize| {
            let mut at = |error: f64| {
                errors[dimension] = error;
                let position = self.settle(&mut bench, &errors, start?, &[]);
                errors[dimension] = 0.0;
                position.ok().map(|p| p.pose.coordinates())
            };
            match (at(-step), at(step)) {
                (Some(low), Some(high)) => {
                    std::array::from_fn(|i| (high[i] - low[i]) / (2.0 * step))
                }
                _ => [0.0; 6],
            }
        };
        let [first, second] = self.ends.each_ref().map(|e| e.as_ref().ok());
        [Some(&self.nominal.design), first, second]
            .map(|start| (0..self.dimensions.len()).map(|d| lead(start, d)).collect())
    }

    /// The dimensions.
    #[must_use]
    pub fn dimensions(&self) -> &[Dimension] {
        &self.dimensions
    }

    /// The figures as drawn.
    #[must_use]
    pub fn nominal(&self) -> FigureValues {
        self.built.figures()
    }

    /// The figures with each dimension off by its error (m, along the dimension's direction;
    /// not limited to its tolerance).
    ///
    /// # Errors
    /// [`PlacementError::ErrorCount`], [`PlacementError::BadError`] for faulty input;
    /// [`PlacementError::Axle`] where the axle does not stand on rods so placed.
    pub fn figures(&self, errors: &[f64]) -> Result<FigureValues, PlacementError> {
        if errors.len() != self.dimensions.len() {
            return Err(PlacementError::ErrorCount {
                given: errors.len(),
                dimensions: self.dimensions.len(),
            });
        }
        if let Some((dimension, &error)) = errors.iter().enumerate().find(|(_, e)| !e.is_finite()) {
            return Err(PlacementError::BadError { dimension, error });
        }
        let mut bench = self.nominal.clone();
        Ok(self.build(&mut bench, errors)?.figures())
    }

    /// Why the drawn axle has no position at an end of travel, if it has none.
    pub(super) fn end_failure(&self) -> Option<AxleError> {
        self.ends.iter().find_map(|e| e.as_ref().err().copied())
    }

    /// One build; `bench` is a clone of the nominal axle that is overwritten, so that nothing
    /// is allocated per build.
    pub(super) fn build(
        &self,
        bench: &mut AssembledAxle,
        errors: &[f64],
    ) -> Result<Build, AxleError> {
        let ride = self.settle(bench, errors, &self.nominal.design, &self.leads[0])?;
        let state = bench.state_at(&ride)?;
        let mut pinion = [Some(-ride.pose.theta), None, None];
        for ((pinion, end), lead) in pinion[1..].iter_mut().zip(&self.ends).zip(&self.leads[1..]) {
            *pinion = end
                .as_ref()
                .ok()
                .and_then(|start| self.settle(bench, errors, start, lead).ok())
                .map(|p| -p.pose.theta);
        }
        Ok(Build {
            x: ride.pose.position.x,
            dxdz: state.dxdz,
            q: state.q,
            anti_squat: state.anti_squat,
            roll_steer: state.roll_steer,
            instant_centre: state.instant_centre,
            pinion,
        })
    }

    /// The pose at the height of `start` (a pose of the drawn axle) with the errors; on success
    /// the rods of `bench` are the ones with all the errors.
    fn settle(
        &self,
        bench: &mut AssembledAxle,
        errors: &[f64],
        start: &Position,
        lead: &[[f64; 6]],
    ) -> Result<Position, AxleError> {
        let held = Prescribed::height_and_roll(start.pose.position.z, 0.0);
        let rods = &mut bench.linkage.rods;
        let solve = |share: f64, pose: &Pose| {
            self.misplace(rods, errors, share);
            if share == 1.0 && *pose == start.pose {
                solve_position(rods, &held, &led(&start.pose, lead, errors))
            } else {
                solve_position(rods, &held, pose)
            }
        };
        march(0.0, 1.0, 1.0, SHARE_RESOLUTION, start, solve)
            .map_err(|stopped| AxleError::Motion(stopped.reason))
    }

    /// The rods with `share` of the errors.
    fn misplace(&self, rods: &mut [Rod], errors: &[f64], share: f64) {
        rods.copy_from_slice(&self.nominal.linkage.rods);
        for m in &self.moves {
            let by = m.along * (share * errors[m.dimension]);
            let rod = &mut rods[m.rod];
            match m.end {
                RodEnd::Frame => rod.frame_point += by,
                RodEnd::Housing => rod.body_point += by,
            }
        }
        let origin = self.nominal.linkage.origin;
        for (rod, reset) in rods.iter_mut().zip(self.reset) {
            if reset {
                rod.length = (origin + rod.body_point.coords - rod.frame_point).norm();
            }
        }
    }
}

/// `from` moved on to first order. Where that goes far it says nothing: `from` itself.
fn led(from: &Pose, lead: &[[f64; 6]], errors: &[f64]) -> Pose {
    let mut q = from.coordinates();
    for (slope, error) in lead.iter().zip(errors) {
        for (q, slope) in q.iter_mut().zip(slope) {
            *q += slope * error;
        }
    }
    let near = q
        .iter()
        .zip(from.coordinates())
        .all(|(q, from)| (q - from).abs() < FAR);
    if near {
        Pose::from_coordinates(&q)
    } else {
        *from
    }
}

fn check_dimension(dimension: usize, d: &Dimension, rods: usize) -> Result<(), PlacementError> {
    let length = d.along.norm();
    if !(1.0 - 1e-9..=1.0 + 1e-9).contains(&length) {
        return Err(PlacementError::BadDirection { dimension, length });
    }
    if !(0.0..=MAX_TOLERANCE).contains(&d.plus_minus) {
        return Err(PlacementError::BadTolerance {
            dimension,
            plus_minus: d.plus_minus,
        });
    }
    for (index, &(rod, end)) in d.moves.iter().enumerate() {
        if rod >= rods {
            return Err(PlacementError::NoSuchRod {
                dimension,
                rod,
                rods,
            });
        }
        if d.moves[..index].contains(&(rod, end)) {
            return Err(PlacementError::MovedTwice { dimension, rod });
        }
    }
    Ok(())
}

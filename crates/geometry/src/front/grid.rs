//! Left and right together, and all curves of both over travel and rack.

use super::corner::{Corner, DrawnCorner, Side};
use super::state::CornerState;
use super::{FrontError, sane};
use crate::pose::{Coordinate, Pose, Prescribed};
use crate::position::{Position, solve_position};
use crate::sweep::TRAVEL_STEP;

/// A neighbouring solution is taken from its prediction only where the rods are this far from a
/// lock; nearer, the sweep goes there in its own careful steps.
const WELL_CLEAR: f64 = 0.03;
/// ... and where the solution is this near to its prediction, m or rad.
const NEAR_PREDICTION: f64 = 2e-3;
/// Spacing (m) up to which a prediction is tried at all.
const LONGEST_LEAP: f64 = 8.0 * TRAVEL_STEP;

/// Both corners, one rack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Front {
    /// The left corner.
    pub left: Corner,
    /// The right corner.
    pub right: Corner,
}

/// One pose of a grid, or why there is none.
pub type GridCell = Result<CornerState, FrontError>;

/// Figures of both corners over travel × rack.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontGrid {
    /// Wheel travels, m.
    pub travels: Vec<f64>,
    /// Rack positions, m.
    pub racks: Vec<f64>,
    /// Left corner, all racks of the first travel, then of the next.
    pub left: Vec<GridCell>,
    /// Right corner.
    pub right: Vec<GridCell>,
}

impl FrontGrid {
    /// The cell of a side; None outside the grid.
    #[must_use]
    pub fn cell(&self, side: Side, travel: usize, rack: usize) -> Option<&GridCell> {
        let cells = match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        };
        if rack < self.racks.len() {
            cells.get(travel * self.racks.len() + rack)
        } else {
            None
        }
    }

    /// Every reached state of a side.
    pub fn reached(&self, side: Side) -> impl Iterator<Item = &CornerState> {
        let cells = match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        };
        cells.iter().filter_map(|c| c.as_ref().ok())
    }

    /// The failures of a side with the travel and rack of their cell.
    pub fn failures(&self, side: Side) -> impl Iterator<Item = (f64, f64, &FrontError)> {
        let cells = match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        };
        let width = self.racks.len().max(1);
        cells.iter().enumerate().filter_map(move |(i, c)| {
            let error = c.as_ref().err()?;
            Some((self.travels[i / width], self.racks[i % width], error))
        })
    }
}

impl Front {
    /// Both corners from one drawn corner: the other is its mirror image.
    ///
    /// # Errors
    /// As [`DrawnCorner::assemble`].
    pub fn symmetric(drawn: &DrawnCorner) -> Result<Self, FrontError> {
        let one = drawn.assemble()?;
        let other = drawn.mirrored().assemble()?;
        Ok(match drawn.side {
            Side::Left => Self {
                left: one,
                right: other,
            },
            Side::Right => Self {
                left: other,
                right: one,
            },
        })
    }

    /// Whether the right corner is the exact mirror image of the left.
    #[must_use]
    pub fn is_symmetric(&self) -> bool {
        self.left.drawn.mirrored() == self.right.drawn
    }

    /// Track between the contact points at design, m.
    ///
    /// # Errors
    /// As [`Corner::state`].
    pub fn track(&self) -> Result<f64, FrontError> {
        let left = self.left.state_at(&self.left.design, 0.0)?;
        let right = self.right.state_at(&self.right.design, 0.0)?;
        Ok(left.contact.y - right.contact.y)
    }

    /// The figures of both corners at every travel × rack (m). A pose out of reach is a failed
    /// cell with the travel or rack at which it begins, travel taken first.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`] for a travel or rack that is not finite.
    pub fn grid(&self, travels: &[f64], racks: &[f64]) -> Result<FrontGrid, FrontError> {
        for travel in travels {
            sane("wheel travel", *travel)?;
        }
        for rack in racks {
            sane("rack", *rack)?;
        }
        let left = self.left.grid(travels, racks);
        // The right knuckle at rack s is the mirror image of the left at −s.
        let mirrored = racks
            .iter()
            .eq(racks.iter().rev().map(|r| -r).collect::<Vec<_>>().iter());
        let right = if mirrored && self.is_symmetric() {
            let width = racks.len().max(1);
            (0..left.len())
                .map(|i| {
                    let cell = &left[i - i % width + (width - 1 - i % width)];
                    match cell {
                        Ok(state) => Ok(state.mirrored()),
                        Err(error) => Err(mirrored_error(error)),
                    }
                })
                .collect()
        } else {
            self.right.grid(travels, racks)
        };
        Ok(FrontGrid {
            travels: travels.to_vec(),
            racks: racks.to_vec(),
            left,
            right,
        })
    }
}

fn mirrored_error(error: &FrontError) -> FrontError {
    match *error {
        FrontError::OutOfReach {
            moving: super::FrontMoving::Rack,
            begins_at,
            reason,
        } => FrontError::OutOfReach {
            moving: super::FrontMoving::Rack,
            begins_at: -begins_at,
            reason,
        },
        other => other,
    }
}

/// The last solutions along one line of a grid, newest last.
struct Trail {
    points: [(f64, [f64; 6]); 4],
    len: usize,
}

impl Trail {
    fn new(at: f64, pose: &Pose) -> Self {
        let mut trail = Self {
            points: [(0.0, [0.0; 6]); 4],
            len: 0,
        };
        trail.push(at, pose);
        trail
    }

    fn push(&mut self, at: f64, pose: &Pose) {
        if self.len == self.points.len() {
            self.points.rotate_left(1);
            self.len -= 1;
        }
        self.points[self.len] = (at, pose.coordinates());
        self.len += 1;
    }

    /// The polynomial through the points, at `to` (Lagrange).
    fn predict(&self, to: f64) -> Pose {
        let points = &self.points[..self.len];
        let mut q = [0.0; 6];
        for (i, (at, value)) in points.iter().enumerate() {
            let mut weight = 1.0;
            for (j, (other, _)) in points.iter().enumerate() {
                if i != j {
                    weight *= (to - other) / (at - other);
                }
            }
            for (sum, v) in q.iter_mut().zip(value) {
                *sum += weight * v;
            }
        }
        Pose::from_coordinates(&q)
    }
}

fn near(a: &Pose, b: &Pose) -> bool {
    a.coordinates()
        .iter()
        .zip(b.coordinates())
        .all(|(x, y)| (x - y).abs() <= NEAR_PREDICTION)
}

/// Order in which a line is walked: from zero outward on either side.
fn outward(values: &[f64]) -> [Vec<usize>; 2] {
    let mut up: Vec<usize> = (0..values.len()).filter(|i| values[*i] >= 0.0).collect();
    let mut down: Vec<usize> = (0..values.len()).filter(|i| values[*i] < 0.0).collect();
    up.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    down.sort_by(|a, b| values[*b].total_cmp(&values[*a]));
    [up, down]
}

impl Corner {
    fn grid(&self, travels: &[f64], racks: &[f64]) -> Vec<GridCell> {
        let mut cells: Vec<GridCell> = vec![
            Err(FrontError::Motion(crate::Unreachable::NotFinite));
            travels.len() * racks.len()
        ];
        let rods: Vec<_> = racks.iter().map(|r| self.rods_at(*r)).collect();
        let rack_ways = outward(racks);
        for way in outward(travels) {
            let mut at = (0.0, self.design);
            let mut trail = Trail::new(0.0, &self.design.pose);
            let mut stopped = None;
            for i in way {
                let row = &mut cells[i * racks.len()..(i + 1) * racks.len()];
                let travel = travels[i];
                let found = match stopped {
                    Some(error) => Err(error),
                    None => self
                        .next(&trail, &at, travel, true, &self.rods)
                        .map_or_else(|| self.move_travel(&at.1, 0.0, travel), Ok),
                };
                match found {
                    Err(error) => {
                        stopped = Some(error);
                        row.fill(Err(error));
                    }
                    Ok(position) => {
                        if travel != at.0 {
                            trail.push(travel, &position.pose);
                        }
                        at = (travel, position);
                        self.row(&position, racks, &rods, &rack_ways, row);
                    }
                }
            }
        }
        cells
    }

    /// One row of the grid: all racks at one travel.
    fn row(
        &self,
        centred: &Position,
        racks: &[f64],
        rods: &[[crate::Rod; 5]],
        ways: &[Vec<usize>; 2],
        row: &mut [GridCell],
    ) {
        // The second way starts from what the first has found on the other side of zero.
        let mut trail = Trail::new(0.0, &centred.pose);
        for way in ways {
            let mut at = (0.0, *centred);
            let mut stopped = None;
            let mut near_side = trail.near_zero(&centred.pose);
            for &j in way {
                let rack = racks[j];
                let found = match stopped {
                    Some(error) => Err(error),
                    None => self
                        .next(&near_side, &at, rack, false, &rods[j])
                        .map_or_else(|| self.move_rack(&at.1, at.0, rack), Ok),
                };
                row[j] = match found {
                    Err(error) => {
                        stopped = Some(error);
                        Err(error)
                    }
                    Ok(position) => {
                        if rack != at.0 {
                            near_side.push(rack, &position.pose);
                            if trail.len < trail.points.len() {
                                trail.push(rack, &position.pose);
                            }
                        }
                        at = (rack, position);
                        self.state_at(&position, rack)
                    }
                };
            }
        }
    }

    /// The next solution from its prediction; None where the sweep should go there carefully.
    fn next(
        &self,
        trail: &Trail,
        at: &(f64, Position),
        to: f64,
        travels: bool,
        rods: &[crate::Rod; 5],
    ) -> Option<Position> {
        if to == at.0 {
            return Some(at.1);
        }
        if !((to - at.0).abs() <= LONGEST_LEAP && at.1.conditioning_floor > WELL_CLEAR) {
            return None;
        }
        let z = if travels {
            self.drawn.wheel_centre.z + to
        } else {
            at.1.pose.position.z
        };
        let predicted = trail.predict(to);
        let held = Prescribed::NONE.with(Coordinate::Z, z);
        let found = solve_position(rods, &held, &predicted).ok()?;
        // The first points of a line have no good prediction; the step itself bounds them.
        let trusted = trail.len < 3 || near(&predicted, &found.pose);
        (found.conditioning_floor > WELL_CLEAR && trusted && steady(&at.1.pose, &found.pose))
            .then_some(found)
    }
}

/// Whether two neighbouring poses can belong to one assembly, as [`crate::march`] asks.
fn steady(a: &Pose, b: &Pose) -> bool {
    const JUMP: f64 = 0.2;
    a.coordinates()
        .iter()
        .zip(b.coordinates())
        .all(|(x, y)| (x - y).abs() <= JUMP)
}

impl Trail {
    /// A trail that starts the opposite way: the points nearest to zero, zero newest.
    fn near_zero(&self, centred: &Pose) -> Self {
        let mut turned = Self {
            points: self.points,
            len: 0,
        };
        for i in (0..self.len).rev() {
            if self.points[i].0 != 0.0 {
                let (at, q) = self.points[i];
                turned.push(at, &Pose::from_coordinates(&q));
            }
        }
        turned.push(0.0, centred);
        turned
    }
}

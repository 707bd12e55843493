//! Centreline of a bent tube: straights joined by arcs.
//!
//! d_i, d_i+1 the legs at corner i: angle θ = atan2(|d_i × d_i+1|, d_i · d_i+1), setback
//! CLR·tan(θ/2), straight = leg less its setbacks, arc = CLR·θ; the centreline keeps its
//! length. Rotation between bends ρ = atan2((n_i × n_i+1)·d, n_i·n_i+1), n the unit normal
//! d_i × d_i+1, d the leg between, right hand about A→B: whoever stands at the tail of the
//! tube looking at the die turns the tube clockwise by ρ before the next bend, whichever end
//! goes first. Plane geometry, derived.

use nalgebra::{Point3, Vector3};
use thiserror::Error;

use super::direction::{Axes, within_turn};
use super::shaping::Springback;
use super::{BadInput, place, positive, usable};

/// Less than this is no bend, rad.
pub const LEAST_BEND: f64 = 1.0e-6;

/// More than this is not one bend, rad.
pub const MOST_BEND: f64 = 175.0 * std::f64::consts::PI / 180.0;

/// Largest angle of one chord of a bend in frame analysis, rad: 5°.
pub const CHORD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Points closer than this are one point, m.
const ONE_POINT: f64 = 1.0e-9;

/// Why a centreline cannot be made. Lengths in m, angles in rad.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum BendError {
    /// A size or coordinate no tube can have.
    #[error(transparent)]
    Bad(#[from] BadInput),
    /// Fewer than two points.
    #[error("a tube needs two points, {count} given")]
    TooFewPoints {
        /// Points given.
        count: usize,
    },
    /// Neither one bend radius nor one for each corner.
    #[error("{given} bend radii for {corners} corners")]
    RadiusCount {
        /// Radii given.
        given: usize,
        /// Corners of the tube.
        corners: usize,
    },
    /// Measured gains, but not one for each bend.
    #[error("{given} measured gains for {bends} bends")]
    GainCount {
        /// Gains given.
        given: usize,
        /// Bends of the tube.
        bends: usize,
    },
    /// Two points that follow each other are the same.
    #[error("points {first} and {} are the same", first + 1)]
    Coincident {
        /// Index of the first of the two.
        first: usize,
    },
    /// A bend that doubles back: use two corners.
    #[error("corner {corner} turns {angle} rad, at most {MOST_BEND} in one bend")]
    TooSharp {
        /// Index of the corner in the points.
        corner: usize,
        /// Its angle θ.
        angle: f64,
    },
    /// The bends at the ends of a leg need more length than it has.
    #[error("leg {leg} of {length} m is {short} m too short for its bends")]
    LegTooShort {
        /// Index of the leg: from point `leg` to the next.
        leg: usize,
        /// Length of the leg.
        length: f64,
        /// What is missing.
        short: f64,
    },
}

/// One bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Index of its corner in the points.
    pub corner: usize,
    /// Angle θ, rad.
    pub angle: f64,
    /// Centreline radius CLR, m.
    pub radius: f64,
    /// Distance from corner to tangent point, m.
    pub setback: f64,
    /// Length of the arc, m.
    pub arc: f64,
    /// Where the bend starts: length from end A along the centreline, m.
    pub start: f64,
    /// Where it ends: length from end A along the centreline, m.
    pub end: f64,
    /// Tangent point nearer end A, m.
    pub tangent_in: Point3<f64>,
    /// Tangent point nearer end B, m.
    pub tangent_out: Point3<f64>,
    /// Centre of the arc, m.
    pub centre: Point3<f64>,
    /// Unit normal d_i × d_i+1 of the bend's plane.
    pub normal: Vector3<f64>,
    /// Rotation ρ from the bend before, rad, in (−π, π], right hand about A→B; None for the
    /// first.
    pub rotation: Option<f64>,
    /// Unit vector from A to B before the bend.
    pub direction_in: Vector3<f64>,
    /// Unit vector from A to B after the bend.
    pub direction_out: Vector3<f64>,
}

/// A place on a centreline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Length from end A, m.
    pub length: f64,
    /// The place, m.
    pub point: Point3<f64>,
    /// Unit vector from A to B.
    pub direction: Vector3<f64>,
    /// Index of the bend it lies in (its tangent points counted), if any.
    pub bend: Option<usize>,
}

/// What the shop adds to the plain geometry when it marks a tube.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shop {
    /// Measured growth of the tube in each bend, m, negative where it shrinks; empty: none.
    pub gains: Vec<f64>,
    /// Machine offset, m: the mark lies this far beyond the bend start, seen from the end it
    /// is measured from.
    pub offset: f64,
    /// Cut away at end A, m: the long point of its cope; marks move with it.
    pub from_a: f64,
    /// Cut away at end B, m.
    pub from_b: f64,
}

/// Where to mark a tube before bending.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// Length to cut, m.
    pub cut_length: f64,
    /// Bend start marks from the cut end A, m, for bending A first.
    pub from_a: Vec<f64>,
    /// Bend start marks from the cut end B, m, for bending B first, in the order of A to B.
    pub from_b: Vec<f64>,
}

/// What the shop's bender needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamp {
    /// Least straight at an end, m.
    pub at_end: f64,
    /// Least straight between bends, m.
    pub between: f64,
}

/// A remark on a bent tube. Lengths in m, angles in rad.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum BendFinding {
    /// A straight at an end is shorter than the clamp needs.
    EndStraightShort {
        /// Index of the straight.
        run: usize,
        /// Its length.
        length: f64,
        /// What is needed.
        needed: f64,
    },
    /// A straight between bends is shorter than the clamp needs.
    BetweenShort {
        /// Index of the straight.
        run: usize,
        /// Its length.
        length: f64,
        /// What is needed.
        needed: f64,
    },
    /// A bend radius under so many outside diameters.
    TightRadius {
        /// Index of the bend.
        bend: usize,
        /// Radius over outside diameter.
        ratio: f64,
        /// Least ratio.
        least: f64,
    },
    /// An angle outside the springback table: no angle to set.
    OutsideSpringback {
        /// Index of the bend.
        bend: usize,
        /// Its angle.
        angle: f64,
    },
}

/// Centreline of a tube from end A to end B.
#[derive(Clone, Debug, PartialEq)]
pub struct Centreline {
    first: Point3<f64>,
    last: Point3<f64>,
    /// Direction of each leg between bends; one more than bends.
    directions: Vec<Vector3<f64>>,
    bends: Vec<Bend>,
    straights: Vec<f64>,
    corner_to_corner: f64,
}

impl Centreline {
    /// Centreline through `points`, end A first, with one bend radius for all corners or one
    /// for each (m; not looked at where the tube runs straight through a point).
    ///
    /// # Errors
    /// [`BendError`]: bad numbers, coincident points, a corner above 175°, a leg too short
    /// for its bends.
    pub fn new(points: &[Point3<f64>], radii: &[f64]) -> Result<Self, BendError> {
        let corners = points.len().checked_sub(2);
        let (Some(corners), [first, .., last]) = (corners, points) else {
            let count = points.len();
            return Err(BendError::TooFewPoints { count });
        };
        if corners > 0 && radii.len() != 1 && radii.len() != corners {
            let given = radii.len();
            return Err(BendError::RadiusCount { given, corners });
        }
        for point in points {
            place("tube point", point)?;
        }
        let mut legs = Vec::with_capacity(corners + 1);
        for (index, pair) in points.windows(2).enumerate() {
            let span = pair[1] - pair[0];
            let length = span.norm();
            if length < ONE_POINT {
                return Err(BendError::Coincident { first: index });
            }
            legs.push((span / length, length));
        }
        let mut bends: Vec<Bend> = Vec::new();
        let mut directions = vec![legs[0].0];
        let mut straights = Vec::new();
        // What is left of the run since the last bend, and the setback that bend took.
        let (mut run, mut length) = (legs[0].1, 0.0);
        let (mut leg, mut before) = (0, 0.0);
        for (index, pair) in legs.windows(2).enumerate() {
            let corner = index + 1;
            let (d, next) = (pair[0].0, pair[1].0);
            let cross = d.cross(&next);
            let angle = cross.norm().atan2(d.dot(&next));
            if angle < LEAST_BEND {
                run += pair[1].1;
                continue;
            }
            if angle > MOST_BEND {
                return Err(BendError::TooSharp { corner, angle });
            }
            let radius = if radii.len() == 1 {
                radii[0]
            } else {
                radii[index]
            };
            positive("bend radius", radius)?;
            let setback = radius * (0.5 * angle).tan();
            let straight = leg_less(leg, run, before + setback)?;
            let normal = cross / cross.norm();
            let rotation = bends.last().map(|last| {
                let sine = last.normal.cross(&normal).dot(&d);
                within_turn(sine.atan2(last.normal.dot(&normal)))
            });
            let tangent_in = points[corner] - d * setback;
            let start = length + straight;
            bends.push(Bend {
                corner,
                angle,
                radius,
                setback,
                arc: radius * angle,
                start,
                end: start + radius * angle,
                tangent_in,
                tangent_out: points[corner] + next * setback,
                centre: tangent_in + normal.cross(&d) * radius,
                normal,
                rotation,
                direction_in: d,
                direction_out: next,
            });
            straights.push(straight);
            directions.push(next);
            length = start + radius * angle;
            (run, leg, before) = (pair[1].1, corner, setback);
        }
        straights.push(leg_less(leg, run, before)?);
        Ok(Self {
            first: *first,
            last: *last,
            directions,
            bends,
            straights,
            corner_to_corner: legs.iter().map(|(_, length)| length).sum(),
        })
    }

    /// The bends, from A to B.
    #[must_use]
    pub fn bends(&self) -> &[Bend] {
        &self.bends
    }

    /// Lengths of the straights from A to B, m: one more than bends.
    #[must_use]
    pub fn straights(&self) -> &[f64] {
        &self.straights
    }

    /// Unit vectors of the straights, from A to B.
    #[must_use]
    pub fn directions(&self) -> &[Vector3<f64>] {
        &self.directions
    }

    /// Sum of the legs from corner to corner, m.
    #[must_use]
    pub fn corner_to_corner(&self) -> f64 {
        self.corner_to_corner
    }

    /// Length along the centreline, straights and arcs, m: the cut length of a tube whose
    /// ends are square.
    #[must_use]
    pub fn length(&self) -> f64 {
        let arcs: f64 = self.bends.iter().map(|bend| bend.arc).sum();
        self.straights.iter().sum::<f64>() + arcs
    }

    /// End A, m.
    #[must_use]
    pub fn end_a(&self) -> Point3<f64> {
        self.first
    }

    /// End B, m.
    #[must_use]
    pub fn end_b(&self) -> Point3<f64> {
        self.last
    }

    /// Axes at end A: a bent tube's scribe line is struck on the inside of the nearest bend,
    /// a straight tube's by the up rule and `roll` (rad).
    ///
    /// # Errors
    /// A roll that is not finite.
    pub fn axes_a(&self, roll: f64) -> Result<Axes, BadInput> {
        self.axes(self.bends.first(), &self.directions[0], roll)
    }

    /// Axes at end B, along still from A to B; see [`Self::axes_a`].
    ///
    /// # Errors
    /// A roll that is not finite.
    pub fn axes_b(&self, roll: f64) -> Result<Axes, BadInput> {
        let last = self.directions.len() - 1;
        self.axes(self.bends.last(), &self.directions[last], roll)
    }

    fn axes(&self, bend: Option<&Bend>, d: &Vector3<f64>, roll: f64) -> Result<Axes, BadInput> {
        match bend {
            Some(bend) => Axes::toward(d, &bend.normal.cross(d)),
            None => Axes::by_up_rule(d, roll),
        }
    }

    /// Length to cut and bend start marks, cut length = straights + arcs − gains − what the
    /// copes take off the ends.
    ///
    /// # Errors
    /// Numbers that are not finite, or another number of gains than of bends.
    pub fn marks(&self, shop: &Shop) -> Result<Marks, BendError> {
        let (given, bends) = (shop.gains.len(), self.bends.len());
        if given != 0 && given != bends {
            return Err(BendError::GainCount { given, bends });
        }
        usable("machine offset", shop.offset)?;
        usable("cut at end A", shop.from_a)?;
        usable("cut at end B", shop.from_b)?;
        for gain in &shop.gains {
            usable("measured gain", *gain)?;
        }
        let gain = |i: usize| shop.gains.get(i).copied().unwrap_or(0.0);
        let all: f64 = shop.gains.iter().sum();
        let unbent = self.length() - all;
        let mut grown = 0.0;
        let (mut from_a, mut from_b) = (Vec::new(), Vec::new());
        for (index, bend) in self.bends.iter().enumerate() {
            from_a.push(bend.start - grown - shop.from_a + shop.offset);
            grown += gain(index);
            from_b.push(unbent - (bend.end - grown) - shop.from_b + shop.offset);
        }
        Ok(Marks {
            cut_length: unbent - shop.from_a - shop.from_b,
            from_a,
            from_b,
        })
    }

    /// The place at a length from end A, m; kept between the ends.
    #[must_use]
    pub fn at(&self, length: f64) -> Station {
        let whole = self.length();
        let length = if length > 0.0 { length.min(whole) } else { 0.0 };
        let mut from = (0.0, self.first);
        for (index, bend) in self.bends.iter().enumerate() {
            if length < bend.start {
                return straight(length, from, &bend.direction_in);
            }
            if length <= bend.end {
                let (sin, cos) = ((length - bend.start) / bend.radius).sin_cos();
                let toward = bend.normal.cross(&bend.direction_in);
                return Station {
                    length,
                    point: bend.tangent_in
                        + bend.direction_in * (bend.radius * sin)
                        + toward * (bend.radius * (1.0 - cos)),
                    direction: bend.direction_in * cos + toward * sin,
                    bend: Some(index),
                };
            }
            from = (bend.end, bend.tangent_out);
        }
        straight(length, from, &self.directions[self.directions.len() - 1])
    }

    /// Points on the centreline from A to B whose chords turn at most `most` (rad; see
    /// [`CHORD`]): the ends, the tangent points and even steps along each arc.
    #[must_use]
    pub fn chords(&self, most: f64) -> Vec<Station> {
        let most = if most > 0.0 { most.max(1e-3) } else { CHORD };
        let mut stations = vec![self.at(0.0)];
        let mut add = |station: Station| {
            let last = stations.last().map_or(-1.0, |s: &Station| s.length);
            if station.length - last > ONE_POINT {
                stations.push(station);
            }
        };
        for bend in &self.bends {
            // A hair of slack: 90° in 5° chords is 18 of them.
            let count = (bend.angle / most - 1e-9).ceil().max(1.0);
            for step in 0..=count as usize {
                add(self.at(bend.start + bend.arc * (step as f64 / count)));
            }
        }
        add(self.at(self.length()));
        stations
    }

    /// Remarks: straights the clamp cannot hold, radii under `least_ratio` outside
    /// diameters (usual figure 3), angles outside the springback table.
    #[must_use]
    pub fn findings(
        &self,
        clamp: Option<Clamp>,
        od: f64,
        least_ratio: f64,
        springback: Option<&Springback>,
    ) -> Vec<BendFinding> {
        let mut findings = Vec::new();
        if self.bends.is_empty() {
            return findings;
        }
        if let Some(clamp) = clamp {
            let last = self.straights.len() - 1;
            for (run, &length) in self.straights.iter().enumerate() {
                let end = run == 0 || run == last;
                let needed = if end { clamp.at_end } else { clamp.between };
                // A straight of just the length passes.
                if length >= needed - ONE_POINT {
                    continue;
                }
                findings.push(if end {
                    BendFinding::EndStraightShort {
                        run,
                        length,
                        needed,
                    }
                } else {
                    BendFinding::BetweenShort {
                        run,
                        length,
                        needed,
                    }
                });
            }
        }
        for (bend, one) in self.bends.iter().enumerate() {
            let ratio = one.radius / od;
            if ratio < least_ratio - 1e-9 {
                findings.push(BendFinding::TightRadius {
                    bend,
                    ratio,
                    least: least_ratio,
                });
            }
            let angle = one.angle;
            if springback.is_some_and(|table| table.angle_to_set(angle).is_none()) {
                findings.push(BendFinding::OutsideSpringback { bend, angle });
            }
        }
        findings
    }
}

fn leg_less(leg: usize, length: f64, setbacks: f64) -> Result<f64, BendError> {
    let straight = length - setbacks;
    if straight < -ONE_POINT {
        return Err(BendError::LegTooShort {
            leg,
            length,
            short: -straight,
        });
    }
    Ok(straight.max(0.0))
}

fn straight(length: f64, from: (f64, Point3<f64>), direction: &Vector3<f64>) -> Station {
    Station {
        length,
        point: from.1 + direction * (length - from.0),
        direction: *direction,
        bend: None,
    }
}

/// Least bend radius in outside diameters, a rule book's figure: check yours.
pub const LEAST_RATIO: f64 = 3.0;

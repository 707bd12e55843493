//! What misplaced brackets cost: every bracket coordinate off by up to the build's placement tolerance.

use std::sync::atomic::{AtomicBool, AtomicU64};

use geometry::{
    Dimension, DrawnRod, Lengths, Placement, PlacementError, PlacementFigure, Point3, RodEnd,
    Sampling, Scatter, Sensitivities, Vector3,
};
use units::Kind;

use super::rear::{axle_car, place};
use super::{Definition, Phrase, definition};
use crate::{Along, Build, Side, Sides};

pub use geometry::{Distribution, LinearFigure, PlacementFigure as Misplaced};

/// A bracket coordinate that may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Coordinate {
    /// Index of the bracket.
    pub bracket: usize,
    /// Which of a pair; `Both` for a single one.
    pub side: Side,
    /// Which coordinate.
    pub along: Along,
}

/// The build's brackets with their tolerance, ready to be asked.
#[derive(Debug, Clone)]
pub struct PlacementStudy {
    /// Every coordinate that a link hangs on.
    pub coordinates: Vec<Coordinate>,
    /// How far each may be off, m.
    pub plus_minus: f64,
    /// What each does to each figure.
    pub sensitivities: Sensitivities,
    placement: Placement,
}

/// A coordinate that matters, both sides of a pair together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matter {
    /// Index of the bracket.
    pub bracket: usize,
    /// Which coordinate.
    pub along: Along,
    /// A pair: on each side.
    pub each_side: bool,
    /// Most that one side off by the tolerance moves the figure, SI.
    pub effect: f64,
    /// Share of the figure's variance, both sides together, 0 to 1.
    pub share: f64,
}

/// The reading a figure is.
pub fn placement_reading(figure: PlacementFigure) -> Option<&'static Definition> {
    definition(match figure {
        PlacementFigure::AntiSquat => "rear.anti_squat",
        PlacementFigure::IcStation => "rear.ic.station",
        PlacementFigure::IcHeight => "rear.ic.height",
        PlacementFigure::RollSteer => "rear.roll_steer",
        PlacementFigure::PinionChange => "rear.pinion.change",
        PlacementFigure::PinionAtRide => return None,
    })
}

/// Label and kind of a figure.
pub fn placement_label(figure: PlacementFigure) -> (&'static str, Kind) {
    placement_reading(figure).map_or(("Pinion at ride height", Kind::Angle), |d| {
        (d.label, d.kind)
    })
}

fn words(e: &PlacementError) -> String {
    match e {
        PlacementError::Axle(_) => "the rear axle does not solve".to_owned(),
        PlacementError::NoSlope { .. } => {
            "the links are so near a lock that the least misplacement is one too far".to_owned()
        }
        PlacementError::Cancelled { .. } => "called off".to_owned(),
        e => e.to_string(),
    }
}

impl PlacementStudy {
    /// Prepares the question. `held`: links keep the lengths of the drawing instead of being set to suit.
    ///
    /// # Errors
    /// Why there is no answer, in words.
    pub fn new(b: &Build, held: bool) -> Result<Self, String> {
        let (rods, problem) = place(&b.rear);
        if let Some(p) = problem {
            return Err(p.to_string());
        }
        if rods.is_empty() {
            return Err("no links are drawn yet".to_owned());
        }
        let drawn: Vec<DrawnRod> = rods
            .iter()
            .map(|r| DrawnRod {
                frame_point: Point3::from(r.frame),
                housing_point: Point3::from(r.axle),
                length: (r.length != r.drawn).then_some(r.length),
                stiffness: None,
            })
            .collect();
        let plus_minus = b.rear.placement_tolerance.si();
        let (mut coordinates, mut dimensions) = (Vec::new(), Vec::new());
        for (bracket, x) in b.rear.brackets.iter().enumerate() {
            let sides: &[Side] = match x.sides {
                Sides::Pair => &[Side::Left, Side::Right],
                Sides::Single => &[Side::Both],
            };
            for &side in sides {
                let moves: Vec<(usize, RodEnd)> = rods
                    .iter()
                    .enumerate()
                    // A single bracket carries rods of any side.
                    .filter(|(_, r)| {
                        side == Side::Both
                            || r.side == side
                            || (r.side == Side::Both && side == Side::Left)
                    })
                    .flat_map(|(i, r)| {
                        let l = &b.rear.links[r.link];
                        let frame = (l.at_frame.bracket == x.id).then_some((i, RodEnd::Frame));
                        let axle = (l.at_axle.bracket == x.id).then_some((i, RodEnd::Housing));
                        frame.into_iter().chain(axle)
                    })
                    .collect();
                if moves.is_empty() {
                    continue;
                }
                for (along, direction) in [
                    (Along::Station, Vector3::x()),
                    (Along::Offset, Vector3::y()),
                    (Along::Height, Vector3::z()),
                ] {
                    coordinates.push(Coordinate {
                        bracket,
                        side,
                        along,
                    });
                    dimensions.push(Dimension {
                        moves: moves.clone(),
                        along: direction,
                        plus_minus,
                    });
                }
            }
        }
        let lengths = if held { Lengths::Held } else { Lengths::Reset };
        let travel = b.rear.travel.si();
        let placement = Placement::new(
            &axle_car(&b.car),
            &drawn,
            &dimensions,
            lengths,
            [-travel, travel],
        )
        .map_err(|e| words(&e))?;
        let sensitivities = placement.sensitivities().map_err(|e| words(&e))?;
        Ok(Self {
            coordinates,
            plus_minus,
            sensitivities,
            placement,
        })
    }

    /// The coordinates that move a figure most, most first.
    pub fn most(&self, figure: PlacementFigure, n: usize) -> Vec<Matter> {
        let Ok(linear) = self.sensitivities.of(figure) else {
            return Vec::new();
        };
        let mut all: Vec<Matter> = Vec::new();
        for (i, c) in self.coordinates.iter().enumerate() {
            let (effect, share) = (linear.effects[i], linear.shares[i]);
            match all
                .iter_mut()
                .find(|m| m.bracket == c.bracket && m.along == c.along)
            {
                Some(m) => {
                    m.effect = m.effect.max(effect);
                    m.share += share;
                }
                None => all.push(Matter {
                    bracket: c.bracket,
                    along: c.along,
                    each_side: c.side != Side::Both,
                    effect,
                    share,
                }),
            }
        }
        all.sort_by(|a, b| {
            b.share
                .total_cmp(&a.share)
                .then(b.effect.total_cmp(&a.effect))
        });
        all.retain(|m| m.effect > 0.0);
        all.truncate(n);
        all
    }

    /// What a coordinate that matters does, as a sentence: "upper front, height: 1/32 off on one side moves anti-squat 1.8 %".
    pub fn sentence(&self, b: &Build, figure: PlacementFigure, m: &Matter) -> Phrase {
        let bracket = b
            .rear
            .brackets
            .get(m.bracket)
            .map_or("", |x| x.label.as_str());
        let along = match m.along {
            Along::Station => "station",
            Along::Offset => "offset",
            Along::Height => "height",
        };
        let (label, kind) = placement_label(figure);
        let begin = Phrase::from(format!("{bracket}, {along}: "))
            .kept(self.plus_minus)
            .t(if m.each_side {
                " off on one side moves "
            } else {
                " off moves "
            })
            .t(format!("{} ", label.to_lowercase()));
        begin.small(kind, m.effect)
    }

    /// Random builds: the spread of every figure. Bands are the build's targets.
    ///
    /// # Errors
    /// It was called off, or why there is no answer, in words.
    pub fn scatter(
        &self,
        b: &Build,
        samples: usize,
        seed: u64,
        progress: &AtomicU64,
        cancel: &AtomicBool,
    ) -> Result<Scatter, String> {
        let mut sampling = Sampling {
            samples,
            seed,
            threads: std::thread::available_parallelism().map_or(1, usize::from),
            ..Sampling::default()
        };
        for figure in PlacementFigure::ALL {
            let target = placement_reading(figure).and_then(|d| b.target(d.id));
            if let Some(t) = target {
                sampling = sampling.with_band(figure, t.low.si, t.high.si);
            }
        }
        self.placement
            .monte_carlo(&sampling, cancel, progress)
            .map_err(|e| words(&e))
    }
}

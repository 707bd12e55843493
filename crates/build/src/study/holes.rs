//! The hole search over a build: every combination of bracket holes, judged by the build's target bands.
//!
//! Bands on the rear axle's figures are judged for every combination by [`geometry::search`]. Bands on anything else (tyre
//! loads, springs, strength, joint angles) need the whole study: they are judged on what is left, best first.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use geometry::{
    Band as FigureBand, Figure, Group, HoleSearch, Look, MapAxes, MapAxis, Question, SearchError,
};

use super::rear::{axle_car, end};
use super::{Band, Definition, definition, launch, rear, remarks};
use crate::{Bolted, Build, Carrier, Edit, End, LinkEnd, Side, Sides};

pub use geometry::{Figures, Found, Map as HoleMap};

/// Most combinations looked at with the whole study.
pub const MOST_IN_FULL: usize = 2000;
/// Most combinations tried: some minutes' work.
const MOST: u64 = 1_000_000_000;
/// Combinations looked at to find the ends of the map's axes.
const PROBES: u64 = 400;

/// What is searched and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleOptions {
    /// Left and right bolt to holes of their own.
    pub free: bool,
    /// Links keep the lengths they are held at; else every link is set to suit.
    pub held: bool,
    /// How many of the best to list.
    pub keep: usize,
    /// Threads, 1 or more.
    pub threads: usize,
    /// The map's axes, across and up.
    pub axes: [Figure; 2],
    /// Cells of the map each way.
    pub cells: usize,
}

impl Default for HoleOptions {
    fn default() -> Self {
        Self {
            free: false,
            held: false,
            keep: 200,
            threads: std::thread::available_parallelism().map_or(1, usize::from),
            axes: [Figure::IcStation, Figure::AntiSquat],
            cells: 36,
        }
    }
}

/// Why there is no search.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum HolesError {
    /// Nothing to choose from, or something is wrong with the drawing: in words.
    #[error("{0}")]
    Because(String),
    /// It was called off.
    #[error("the search was called off")]
    CalledOff,
}

impl From<SearchError> for HolesError {
    fn from(e: SearchError) -> Self {
        match e {
            SearchError::Cancelled { .. } => Self::CalledOff,
            e => Self::Because(format!("the holes can not be searched: {e}")),
        }
    }
}

/// One group of the search: a link, one side of it or both.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Place {
    link: usize,
    side: Side,
    frame_holes: usize,
    axle_holes: usize,
}

/// A search ready to run on a snapshot of a build.
pub struct HolePlan {
    search: HoleSearch,
    places: Vec<Place>,
    options: HoleOptions,
    build: Build,
    bands: Vec<FigureBand>,
    slow: Vec<(String, Band)>,
}

impl std::fmt::Debug for HolePlan {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("HolePlan")
            .field("combinations", &self.search.combinations())
            .finish_non_exhaustive()
    }
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleOutcome {
    /// Combinations judged: all there are.
    pub evaluated: u64,
    /// Combinations whose links do not hold the axle.
    pub cannot_stand: u64,
    /// Combinations in every band of the rear axle's figures.
    pub kept: u64,
    /// Label of each band of a figure, and how many it was the first to reject.
    pub rejected: Vec<(&'static str, u64)>,
    /// Labels of bands that needed the whole study.
    pub in_full: Vec<String>,
    /// How many were looked at with the whole study; 0 when no band needed it.
    pub looked_at: usize,
    /// The best, nearest to the middle of the bands first.
    pub best: Vec<Found>,
    /// How they spread over two figures.
    pub map: Option<HoleMap>,
    /// Index of what is bolted up now.
    pub now: Option<u64>,
    /// Time of the search over the figures, s.
    pub seconds: f64,
}

/// The figure a reading's band is judged by in the search.
pub fn figure_of(reading: &str) -> Option<Figure> {
    Some(match reading {
        "rear.anti_squat" => Figure::AntiSquat,
        "rear.anti_lift" => Figure::AntiLift,
        "rear.ic.station" => Figure::IcStation,
        "rear.ic.height" => Figure::IcHeight,
        "rear.swing_arm.length" => Figure::SwingArmLength,
        "rear.roll_steer" => Figure::RollSteer,
        "rear.roll_centre.height" => Figure::RollCentreHeight,
        "rear.roll_axis.slope" => Figure::RollAxisSlope,
        "rear.pinion.change" => Figure::PinionChange,
        "rear.bind.stretch" => Figure::BindStretch,
        "rear.axle.recession" => Figure::Recession,
        _ => return None,
    })
}

/// The reading of a figure; `None` for the one that has none.
pub fn reading_of(figure: Figure) -> Option<&'static Definition> {
    definition(match figure {
        Figure::AntiSquat => "rear.anti_squat",
        Figure::AntiLift => "rear.anti_lift",
        Figure::IcStation => "rear.ic.station",
        Figure::IcHeight => "rear.ic.height",
        Figure::SwingArmLength => "rear.swing_arm.length",
        Figure::SwingArmHeight => return None,
        Figure::RollSteer => "rear.roll_steer",
        Figure::RollCentreHeight => "rear.roll_centre.height",
        Figure::RollAxisSlope => "rear.roll_axis.slope",
        Figure::PinionChange => "rear.pinion.change",
        Figure::BindStretch => "rear.bind.stretch",
        Figure::Recession => "rear.axle.recession",
    })
}

/// A figure that is better the smaller it is has no middle to aim at.
fn aims(figure: Figure) -> bool {
    !matches!(
        figure,
        Figure::PinionChange | Figure::BindStretch | Figure::Recession
    )
}

impl HolePlan {
    /// Prepares a search.
    ///
    /// # Errors
    /// [`HolesError::Because`]: no links, an end on no bracket, too many combinations.
    pub fn new(b: &Build, options: HoleOptions) -> Result<Self, HolesError> {
        if b.rear.links.is_empty() {
            return Err(HolesError::Because(
                "no links are drawn yet, so there are no holes to try".to_owned(),
            ));
        }
        let (mut groups, mut places) = (Vec::new(), Vec::new());
        for (link, l) in b.rear.links.iter().enumerate() {
            let sides: &[&[Side]] = match (l.sides, options.free) {
                (Sides::Single, _) => &[&[Side::Both]],
                (Sides::Pair, false) => &[&[Side::Left, Side::Right]],
                (Sides::Pair, true) => &[&[Side::Left], &[Side::Right]],
            };
            for together in sides {
                let (group, place) = group(b, link, together, options.held)?;
                groups.push(group);
                places.push(place);
            }
        }
        let (travel, roll) = (b.rear.travel.si(), b.rear.roll.si());
        let look = Look {
            travel: [-travel, travel],
            roll: [-roll, roll],
        };
        let search = HoleSearch::new(axle_car(&b.car), groups, look)?;
        if search.combinations() > MOST {
            return Err(HolesError::Because(format!(
                "{} combinations are too many to try: keep left and right alike, or give the brackets fewer holes",
                search.combinations()
            )));
        }
        let (mut bands, mut slow) = (Vec::new(), Vec::new());
        for t in &b.targets {
            let Some(d) = definition(&t.reading).filter(|d| remarks::fits(d, t.low.kind)) else {
                continue;
            };
            let (low, high) = (t.low.si, t.high.si);
            match figure_of(&t.reading) {
                Some(figure) => bands.push(FigureBand {
                    figure,
                    low,
                    high,
                    target: (aims(figure) && high > low).then_some(0.5 * (low + high)),
                }),
                None if d.id.starts_with("car.") || d.id.starts_with("fit_up.") => {}
                None => slow.push((t.reading.clone(), Band { low, high })),
            }
        }
        Ok(Self {
            search,
            places,
            options,
            build: b.clone(),
            bands,
            slow,
        })
    }

    /// How many combinations there are.
    pub fn combinations(&self) -> u64 {
        self.search.combinations()
    }

    /// The build this plan was made of.
    pub fn build(&self) -> &Build {
        &self.build
    }

    /// Judges every combination. `progress` counts combinations, and after them those looked at in full.
    ///
    /// # Errors
    /// [`HolesError::CalledOff`]; [`HolesError::Because`].
    pub fn run(
        &self,
        progress: &AtomicU64,
        cancel: &AtomicBool,
    ) -> Result<HoleOutcome, HolesError> {
        let map = self.axes();
        let began = std::time::Instant::now();
        let question = Question {
            bands: self.bands.clone(),
            keep: if self.slow.is_empty() {
                self.options.keep
            } else {
                MOST_IN_FULL
            },
            threads: self.options.threads,
            map,
        };
        let found = self.search.run(&question, progress, cancel)?;
        let seconds = began.elapsed().as_secs_f64();
        let rejected = self.bands.iter().zip(&found.rejected);
        let label = |f| reading_of(f).map_or("", |d| d.label);
        let mut outcome = HoleOutcome {
            evaluated: found.evaluated,
            cannot_stand: found.cannot_stand,
            kept: found.kept,
            rejected: rejected.map(|(b, n)| (label(b.figure), *n)).collect(),
            in_full: self.slow.iter().map(|(id, _)| id.clone()).collect(),
            looked_at: 0,
            best: found.best,
            map: found.map,
            now: self.now(),
            seconds,
        };
        outcome.best.retain(|f| !self.shares_a_hole(f.index));
        if !self.slow.is_empty() {
            let mut best = Vec::new();
            for f in outcome.best {
                if cancel.load(Ordering::Relaxed) {
                    return Err(HolesError::CalledOff);
                }
                if best.len() == self.options.keep {
                    break;
                }
                outcome.looked_at += 1;
                progress.fetch_add(1, Ordering::Relaxed);
                if self.holds_in_full(f.index) {
                    best.push(f);
                }
            }
            outcome.best = best;
        }
        Ok(outcome)
    }

    /// The combination that is bolted up in the build.
    fn now(&self) -> Option<u64> {
        let choices: Option<Vec<usize>> = self
            .places
            .iter()
            .map(|p| {
                let l = &self.build.rear.links[p.link];
                let hole = |e: &LinkEnd| match p.side {
                    Side::Right => e.right_hole.unwrap_or(e.hole),
                    _ => e.hole,
                };
                // Unlike holes are no combination of a mirrored search.
                let unlike = |e: &LinkEnd| e.right_hole.is_some_and(|r| r != e.hole);
                if p.side == Side::Both
                    && l.sides == Sides::Pair
                    && (unlike(&l.at_frame) || unlike(&l.at_axle))
                {
                    return None;
                }
                let (f, a) = (hole(&l.at_frame), hole(&l.at_axle));
                ((1..=p.frame_holes).contains(&f) && (1..=p.axle_holes).contains(&a))
                    .then(|| (f - 1) * p.axle_holes + a - 1)
            })
            .collect();
        self.search.index_of(&choices?)
    }

    /// Which holes a combination uses: one entry per link end and side.
    pub fn holes(&self, index: u64) -> Vec<Bolted> {
        let Some(choices) = self.search.choices_of(index) else {
            return Vec::new();
        };
        self.places
            .iter()
            .zip(choices)
            .flat_map(|(p, choice)| {
                let link = self.build.rear.links[p.link].id.clone();
                [
                    (End::Frame, choice / p.axle_holes + 1),
                    (End::Axle, choice % p.axle_holes + 1),
                ]
                .map(|(end, hole)| Bolted {
                    link: link.clone(),
                    end,
                    side: p.side,
                    hole,
                })
            })
            .collect()
    }

    /// The edit that bolts a combination up.
    pub fn edit(&self, index: u64) -> Edit {
        Edit::SetHoles {
            holes: self.holes(index),
            reset: !self.options.held,
        }
    }

    /// Two links in one hole of one bracket on one side can not be bolted.
    fn shares_a_hole(&self, index: u64) -> bool {
        let mut used = std::collections::HashSet::new();
        self.holes(index).iter().any(|x| {
            let Some(l) = self.build.rear.link(&x.link) else {
                return false;
            };
            let at = match x.end {
                End::Frame => &l.at_frame,
                End::Axle => &l.at_axle,
            };
            !used.insert((at.bracket.as_str(), x.side, x.hole))
        })
    }

    fn holds_in_full(&self, index: u64) -> bool {
        let mut b = self.build.clone();
        if self.edit(index).apply(&mut b).is_err() {
            return false;
        }
        let rear = rear::study(&b.car, &b.rear);
        let launch = launch::study(&b, &rear);
        self.slow.iter().all(|(id, band)| {
            definition(id)
                .and_then(|d| launch.one(&b, &rear, d, id))
                .is_some_and(|v| !band.judge(v).is_out())
        })
    }

    /// Ends of the map's axes: what a spread of combinations reaches, and the bands.
    fn axes(&self) -> Option<MapAxes> {
        let all = self.combinations();
        let probes = PROBES.min(all);
        // A stride that shares no small factor with the holes, so that every one of them comes up.
        let stride = (all as f64 * 0.618_033_988_75) as u64 | 1;
        let values: Vec<Figures> = (0..probes)
            .filter_map(|k| {
                let index = (u128::from(k) * u128::from(stride) % u128::from(all)) as u64;
                let judged = self.search.evaluate(index).ok()?;
                Some(judged.figures)
            })
            .collect();
        let axis = |figure: Figure| {
            let mut seen: Vec<f64> = values
                .iter()
                .filter_map(|v| v.get(figure))
                .filter(|v| v.is_finite())
                .collect();
            seen.sort_by(f64::total_cmp);
            // An instant centre wanders far off: the outer fiftieth does not stretch the map.
            let at = |share: f64| seen.get((share * (seen.len().max(1) - 1) as f64) as usize);
            let (mut low, mut high) = (*at(0.02)?, *at(0.98)?);
            if let Some(b) = self.bands.iter().find(|b| b.figure == figure) {
                // What is far outside its band is thrown out anyway: the map keeps near it.
                let near = 2.0 * (b.high - b.low);
                low = low.max(b.low - near).min(b.low);
                high = high.min(b.high + near).max(b.high);
            }
            let room = 0.02 * (high - low) + 1e-6;
            Some(MapAxis {
                figure,
                low: low - room,
                high: high + room,
                cells: self.options.cells.max(1),
            })
        };
        let [across, up] = self.options.axes;
        Some(MapAxes {
            across: axis(across)?,
            up: axis(up)?,
        })
    }
}

/// Every choice of a link: frame holes by axle holes, on the sides that go together.
fn group(b: &Build, link: usize, sides: &[Side], held: bool) -> Result<(Group, Place), HolesError> {
    let l = &b.rear.links[link];
    let holes = |e: &LinkEnd| {
        b.rear
            .bracket(&e.bracket)
            .map(crate::Bracket::hole_count)
            .ok_or_else(|| {
                HolesError::Because(format!(
                    "{}: there is no bracket \"{}\"",
                    l.label, e.bracket
                ))
            })
    };
    let (frame_holes, axle_holes) = (holes(&l.at_frame)?, holes(&l.at_axle)?);
    let at = |e: &LinkEnd, hole: usize, on: Carrier, side: Side| {
        let e = LinkEnd {
            bracket: e.bracket.clone(),
            hole,
            right_hole: None,
        };
        end(&b.rear, &e, on, side)
            .map(geometry::Point3::from)
            .map_err(|what| HolesError::Because(format!("{}: {what}", l.label)))
    };
    let mut choices = Vec::with_capacity(frame_holes * axle_holes);
    for f in 1..=frame_holes {
        for a in 1..=axle_holes {
            let mut rods = Vec::with_capacity(sides.len());
            for &side in sides {
                rods.push(geometry::DrawnRod {
                    frame_point: at(&l.at_frame, f, Carrier::Frame, side)?,
                    housing_point: at(&l.at_axle, a, Carrier::Axle, side)?,
                    length: l.held.filter(|_| held).map(|h| match side {
                        Side::Right => h.right.si(),
                        _ => h.left.si(),
                    }),
                    stiffness: None,
                });
            }
            choices.push(rods);
        }
    }
    let side = match sides {
        [one] => *one,
        _ => Side::Both,
    };
    let place = Place {
        link,
        side,
        frame_holes,
        axle_holes,
    };
    Ok((Group { choices }, place))
}

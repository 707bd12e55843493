//! The hole search: every combination of bracket holes, judged.
//!
//! A bracket carries a pattern of holes; choosing a hole moves a rod end. [`HoleSearch`] holds
//! the groups of rods that are chosen together, and judges every combination of their choices:
//! it keeps those in which every [`Band`] holds, and ranks them by
//! sqrt(Σ((value − target)/half band width)²) over the bands with a target.
//!
//! No combination is passed over and none is judged by an estimate, yet a combination costs
//! about a microsecond, because the problem is a sum over rods:
//!
//! - With reset lengths the pose at design height is the drawn one, so the figures there need
//!   no position solve, and the normal matrix of the velocity problem is a sum of terms known
//!   per choice.
//! - For a range figure the energy in the rods at each end of the range is expanded per choice
//!   about a pose in the middle of all answers; the sum predicts the pose, one
//!   exact step from there corrects it and says how far it can still be off. Where that leaves
//!   a band in doubt, or where the exact value is wanted, the steps go on to rounding.
//! - Bands of design height are judged first: only what they keep needs the ends of the ranges.
//! - Where the fast solution cannot vouch for itself (near a lock, near a limit of stretch, far
//!   from the other answers) the combination goes through [`HoleSearch::evaluate`].

mod figure;
mod four;
mod group;
mod judge;
mod outcome;
mod question;
mod run;
mod station;
mod table;

use thiserror::Error;

use crate::axle::{AxleCar, AxleError, AxleLinkage, DrawnRod};
use crate::rods::MAX_RODS;
pub use figure::{Evaluation, Figure, Figures};
pub use group::{Group, Look};
pub use outcome::{Cell, Found, Map, Outcome};
pub use question::{Band, MapAxes, MapAxis, Question};
use table::{Table, assemble};

/// Why there is no search.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SearchError {
    /// There are no groups.
    #[error("no groups of rods")]
    NoGroups,
    /// A group has no choice, or a choice no rod.
    #[error("group {group} is empty")]
    EmptyGroup {
        /// Its place.
        group: usize,
    },
    /// A choice has another number of rods than the first choice of its group.
    #[error("choice {choice} of group {group} has {rods} rods where others have {expected}")]
    UnevenGroup {
        /// Place of the group.
        group: usize,
        /// Place of the choice.
        choice: usize,
        /// Its rods.
        rods: usize,
        /// Rods of the first choice.
        expected: usize,
    },
    /// More rods than one body can have.
    #[error("{rods} rods, at most {MAX_RODS} can be solved")]
    TooManyRods {
        /// Rods of one combination.
        rods: usize,
    },
    /// Fewer rods than hold an axle: four.
    #[error("{rods} rods cannot hold an axle, it takes at least 4")]
    TooFewRods {
        /// Rods of one combination.
        rods: usize,
    },
    /// More combinations than can be counted.
    #[error("more combinations than can be counted")]
    TooManyCombinations,
    /// Some rods have a stiffness and some have none.
    #[error("choice {choice} of group {group} has a rod without stiffness while others have one")]
    MixedStiffness {
        /// Place of the group.
        group: usize,
        /// Place of the choice.
        choice: usize,
    },
    /// A stiffness is not positive and finite, or a coordinate or length is not finite.
    #[error("choice {choice} of group {group} has a rod with {what} {value}")]
    BadRod {
        /// Place of the group.
        group: usize,
        /// Place of the choice.
        choice: usize,
        /// What is wrong.
        what: &'static str,
        /// The value given, SI.
        value: f64,
    },
    /// A range is not two finite numbers, low before high.
    #[error("the range of {what} is {low} to {high}")]
    BadRange {
        /// Which range.
        what: &'static str,
        /// Low end, m or rad.
        low: f64,
        /// High end, m or rad.
        high: f64,
    },
    /// The ends of a band are not in order, or a band with a target has no finite width.
    #[error("band {band} from {low} to {high} cannot be judged by")]
    BadBand {
        /// Its place.
        band: usize,
        /// Low end, SI.
        low: f64,
        /// High end, SI.
        high: f64,
    },
    /// An axis of the map has no width or no cells, or the map has too many.
    #[error("a map axis from {low} to {high} with {cells} cells cannot be drawn")]
    BadAxis {
        /// Low end, SI.
        low: f64,
        /// High end, SI.
        high: f64,
        /// Cells.
        cells: usize,
    },
    /// There is no combination of this index.
    #[error("combination {index} of {combinations}")]
    NoSuchCombination {
        /// The index asked for.
        index: u64,
        /// How many there are.
        combinations: u64,
    },
    /// The rods of the combination do not hold the axle at design height, or do not reach; or
    /// the car's figures are out of range.
    #[error(transparent)]
    Axle(#[from] AxleError),
    /// The search was cancelled.
    #[error("cancelled after {done} combinations")]
    Cancelled {
        /// Combinations judged until then.
        done: u64,
    },
}

/// All combinations of holes of an axle, ready to be judged.
pub struct HoleSearch {
    car: AxleCar,
    groups: Vec<Group>,
    look: Look,
    combinations: u64,
    table: Table,
}

impl HoleSearch {
    /// Prepares the search: a few milliseconds for a thousand choices.
    ///
    /// # Errors
    /// A typed [`SearchError`] for groups that cannot be combined, for numbers that are not
    /// finite and for a car out of range. A choice with a rod of no length is no error: its
    /// combinations cannot stand.
    pub fn new(car: AxleCar, groups: Vec<Group>, look: Look) -> Result<Self, SearchError> {
        AxleLinkage::drawn(&car, &[])?;
        let combinations = check_groups(&groups)?;
        for (what, [low, high]) in [("travel", look.travel), ("roll", look.roll)] {
            if !(low <= high && (high - low).is_finite()) {
                return Err(SearchError::BadRange { what, low, high });
            }
        }
        let table = Table::new(&car, &groups, &look, combinations, |index| {
            rods_of(&groups, index)
        });
        Ok(Self {
            car,
            groups,
            look,
            combinations,
            table,
        })
    }

    /// How many combinations there are, at least 1.
    #[must_use]
    pub const fn combinations(&self) -> u64 {
        self.combinations
    }

    /// The groups.
    #[must_use]
    pub fn groups(&self) -> &[Group] {
        &self.groups
    }

    /// The choice of each group in a combination; None beyond the last. The index counts in
    /// mixed radix, the last group fastest.
    #[must_use]
    pub fn choices_of(&self, index: u64) -> Option<Vec<usize>> {
        (index < self.combinations).then(|| digits(&self.groups, index))
    }

    /// The index of a combination; None where a choice does not exist.
    #[must_use]
    pub fn index_of(&self, choices: &[usize]) -> Option<u64> {
        if choices.len() != self.groups.len() {
            return None;
        }
        let mut index = 0;
        for (choice, group) in choices.iter().zip(&self.groups) {
            let count = group.choices.len();
            if *choice >= count {
                return None;
            }
            index = index * count as u64 + *choice as u64;
        }
        Some(index)
    }

    /// The rods of a combination, group by group; None beyond the last.
    #[must_use]
    pub fn rods(&self, index: u64) -> Option<Vec<DrawnRod>> {
        (index < self.combinations).then(|| rods_of(&self.groups, index))
    }

    /// One combination by the full solver, following travel and roll in small steps from the
    /// drawn pose.
    ///
    /// # Errors
    /// [`SearchError::NoSuchCombination`]; [`SearchError::Axle`] where the axle does not stand
    /// at design height. An end of a range out of reach is no error, the evaluation says so.
    pub fn evaluate(&self, index: u64) -> Result<Evaluation, SearchError> {
        let rods = self.rods(index).ok_or(SearchError::NoSuchCombination {
            index,
            combinations: self.combinations,
        })?;
        let axle = assemble(&self.car, &rods)?;
        let mut figures = Figures::of_state(&axle.state_at(&axle.design)?);
        let ends = |at: [f64; 2], roll: bool| {
            let go = |v| {
                if roll {
                    axle.position(0.0, v)
                } else {
                    axle.position(v, 0.0)
                }
            };
            Ok::<_, AxleError>([go(at[0])?, go(at[1])?])
        };
        let travel_limit = match ends(self.look.travel, false) {
            Ok([low, high]) => {
                let change = (high.pose.theta - low.pose.theta).abs();
                figures.set(Figure::PinionChange, change);
                let design = axle.design.pose.position.x;
                let [low, high] = [low, high].map(|p| -(p.pose.position.x - design));
                figures.set(Figure::Recession, figure::larger_end(low, high));
                None
            }
            Err(limit) => Some(limit),
        };
        let roll_limit = match ends(self.look.roll, true) {
            Ok([low, high]) => {
                figures.set(Figure::BindStretch, low.bind_max.max(high.bind_max));
                None
            }
            Err(limit) => Some(limit),
        };
        Ok(Evaluation {
            figures,
            travel_limit,
            roll_limit,
        })
    }
}

fn digits(groups: &[Group], mut index: u64) -> Vec<usize> {
    let mut choices = vec![0; groups.len()];
    for (choice, group) in choices.iter_mut().zip(groups).rev() {
        let count = group.choices.len() as u64;
        *choice = (index % count) as usize;
        index /= count;
    }
    choices
}

fn rods_of(groups: &[Group], index: u64) -> Vec<DrawnRod> {
    let choices = digits(groups, index);
    let chosen = groups.iter().zip(choices);
    chosen
        .filter_map(|(group, choice)| group.choices.get(choice))
        .flatten()
        .copied()
        .collect()
}

/// Checks the groups and counts the combinations.
fn check_groups(groups: &[Group]) -> Result<u64, SearchError> {
    let mut combinations = 1_u64;
    let mut rods = 0;
    let known = groups
        .iter()
        .flat_map(|g| g.choices.iter().flatten())
        .any(|r| r.stiffness.is_some());
    for (g, group) in groups.iter().enumerate() {
        let expected = group.choices.first().map_or(0, Vec::len);
        if expected == 0 {
            return Err(SearchError::EmptyGroup { group: g });
        }
        for (choice, list) in group.choices.iter().enumerate() {
            if list.len() != expected {
                return Err(SearchError::UnevenGroup {
                    group: g,
                    choice,
                    rods: list.len(),
                    expected,
                });
            }
            for rod in list {
                check_rod(rod, known, g, choice)?;
            }
        }
        rods += expected;
        combinations = combinations
            .checked_mul(group.choices.len() as u64)
            .ok_or(SearchError::TooManyCombinations)?;
    }
    match rods {
        0 => Err(SearchError::NoGroups),
        1..4 => Err(SearchError::TooFewRods { rods }),
        4..=MAX_RODS => Ok(combinations),
        _ => Err(SearchError::TooManyRods { rods }),
    }
}

fn check_rod(rod: &DrawnRod, known: bool, group: usize, choice: usize) -> Result<(), SearchError> {
    let bad = |what, value| {
        Err(SearchError::BadRod {
            group,
            choice,
            what,
            value,
        })
    };
    if known && rod.stiffness.is_none() {
        return Err(SearchError::MixedStiffness { group, choice });
    }
    if let Some(k) = rod.stiffness
        && !(k > 0.0 && k.is_finite())
    {
        return bad("stiffness", k);
    }
    if let Some(length) = rod.length
        && !length.is_finite()
    {
        return bad("length", length);
    }
    let (a, b) = (&rod.frame_point.coords, &rod.housing_point.coords);
    match a.iter().chain(b.iter()).find(|v| !v.is_finite()) {
        Some(value) => bad("a coordinate", *value),
        None => Ok(()),
    }
}

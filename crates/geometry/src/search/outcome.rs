//! What a search found.

use std::cmp::Ordering;

use super::figure::{Figure, Figures};
use super::question::{MapAxes, Question};

/// A kept combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// Its index.
    pub index: u64,
    /// Distance from the targets in half band widths, sqrt(Σ((value − target)/half width)²).
    pub distance: f64,
    /// All its figures.
    pub figures: Figures,
}

/// One cell of the map.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cell {
    /// Kept combinations in it.
    pub kept: u64,
    /// Combinations left out, counted when [`MapAxes::counts_rejected`].
    pub rejected: u64,
    /// Index and distance of the best-ranked kept one.
    pub best: Option<(u64, f64)>,
}

/// How the combinations spread over two figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// The axes.
    pub axes: MapAxes,
    /// The cells, row by row from the low end of `up`, each row from the low end of `across`.
    pub cells: Vec<Cell>,
    /// Kept combinations outside the map, or without one of its figures.
    pub kept_outside: u64,
    /// Left-out combinations outside the map, or without one of its figures; those that
    /// cannot stand are not among them.
    pub rejected_outside: u64,
}

impl Map {
    fn new(axes: MapAxes) -> Self {
        Self {
            axes,
            cells: vec![Cell::default(); axes.across.cells * axes.up.cells],
            kept_outside: 0,
            rejected_outside: 0,
        }
    }

    /// A cell by its column and row.
    #[must_use]
    pub fn cell(&self, across: usize, up: usize) -> Option<&Cell> {
        if across < self.axes.across.cells {
            self.cells.get(up * self.axes.across.cells + across)
        } else {
            None
        }
    }

    fn at(&mut self, values: &[f64; Figure::COUNT]) -> Option<&mut Cell> {
        let axes = &self.axes;
        let across = axes.across.cell(values[axes.across.figure.index()])?;
        let up = axes.up.cell(values[axes.up.figure.index()])?;
        self.cells.get_mut(up * axes.across.cells + across)
    }
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Combinations judged: all there are.
    pub evaluated: u64,
    /// Combinations in every band.
    pub kept: u64,
    /// Combinations whose rods do not hold the axle at design height, or do not reach there.
    pub cannot_stand: u64,
    /// For each band, in the order of the question, how many combinations it was the first to
    /// reject; bands of design height are judged before bands of a range. With `kept` and
    /// `cannot_stand` these add up to `evaluated`.
    pub rejected: Vec<u64>,
    /// How many combinations had to go through the full solver because the fast one could not
    /// vouch for its answer (next to a lock, far from the others).
    pub solved_in_full: u64,
    /// The best, nearest to the targets first; equal distances by index.
    pub best: Vec<Found>,
    /// The map.
    pub map: Option<Map>,
}

pub(super) type Ranked = (f64, u64);

fn order(a: &Ranked, b: &Ranked) -> Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
}

/// What one thread has counted.
pub(super) struct Tally {
    pub(super) kept: u64,
    pub(super) cannot_stand: u64,
    pub(super) rejected: Vec<u64>,
    pub(super) solved_in_full: u64,
    pub(super) best: Vec<Ranked>,
    pub(super) map: Option<Map>,
    /// Nothing from here on gets into `best` any more.
    worst: Ranked,
    keep: usize,
}

impl Tally {
    pub(super) fn new(question: &Question) -> Self {
        Self {
            kept: 0,
            cannot_stand: 0,
            rejected: vec![0; question.bands.len()],
            solved_in_full: 0,
            best: Vec::new(),
            map: question.map.map(Map::new),
            worst: (f64::INFINITY, u64::MAX),
            keep: question.keep,
        }
    }

    pub(super) fn reject(&mut self, band: usize, values: &[f64; Figure::COUNT]) {
        if let Some(count) = self.rejected.get_mut(band) {
            *count += 1;
        }
        if let Some(map) = &mut self.map
            && map.axes.counts_rejected()
        {
            match map.at(values) {
                Some(cell) => cell.rejected += 1,
                None => map.rejected_outside += 1,
            }
        }
    }

    pub(super) fn keep(&mut self, index: u64, distance: f64, values: &[f64; Figure::COUNT]) {
        self.kept += 1;
        let ranked = (distance, index);
        if let Some(map) = &mut self.map {
            match map.at(values) {
                Some(cell) => {
                    cell.kept += 1;
                    improve(cell, Some((index, distance)));
                }
                None => map.kept_outside += 1,
            }
        }
        if self.keep > 0 && order(&ranked, &self.worst) == Ordering::Less {
            self.best.push(ranked);
            if self.best.len() >= self.keep.saturating_mul(2) {
                self.trim();
            }
        }
    }

    fn trim(&mut self) {
        if self.best.len() > self.keep && self.keep > 0 {
            let (_, last, _) = self.best.select_nth_unstable_by(self.keep - 1, order);
            self.worst = *last;
            self.best.truncate(self.keep);
        }
    }

    pub(super) fn merge(&mut self, other: Self) {
        self.kept += other.kept;
        self.cannot_stand += other.cannot_stand;
        self.solved_in_full += other.solved_in_full;
        for (sum, count) in self.rejected.iter_mut().zip(other.rejected) {
            *sum += count;
        }
        self.best.extend(other.best);
        self.trim();
        if let (Some(map), Some(others)) = (&mut self.map, other.map) {
            map.kept_outside += others.kept_outside;
            map.rejected_outside += others.rejected_outside;
            for (cell, other) in map.cells.iter_mut().zip(others.cells) {
                cell.kept += other.kept;
                cell.rejected += other.rejected;
                improve(cell, other.best);
            }
        }
    }

    pub(super) fn ranked(&mut self) -> Vec<Ranked> {
        self.trim();
        let mut best = std::mem::take(&mut self.best);
        best.sort_unstable_by(order);
        best
    }
}

fn improve(cell: &mut Cell, other: Option<(u64, f64)>) {
    if let Some((index, distance)) = other
        && cell
            .best
            .is_none_or(|(i, d)| order(&(distance, index), &(d, i)) == Ordering::Less)
    {
        cell.best = other;
    }
}

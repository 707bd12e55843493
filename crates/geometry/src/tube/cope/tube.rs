//! A tube with both its ends cut.

use super::profile::Cope;
use crate::tube::section::Section;

/// Places round the tube at which mean lengths are taken.
const ROUND: usize = 1440;

/// Gauss-Legendre, 4 points on (0, 1): place and weight.
const GAUSS: [[f64; 2]; 4] = [
    [0.069_431_844_202_973_71, 0.173_927_422_568_726_93],
    [0.330_009_478_207_571_9, 0.326_072_577_431_273_07],
    [0.669_990_521_792_428_1, 0.326_072_577_431_273_07],
    [0.930_568_155_797_026_3, 0.173_927_422_568_726_93],
];

/// A tube between its two work points; an end without cope is square at its work point.
#[derive(Clone, Copy, Debug)]
pub struct CopedTube<'a> {
    /// Section.
    pub section: &'a Section,
    /// Length of the centreline from work point to work point, m.
    pub length: f64,
    /// Cope at end A.
    pub a: Option<&'a Cope>,
    /// Cope at end B.
    pub b: Option<&'a Cope>,
}

impl CopedTube<'_> {
    fn less(&self, f: impl Fn(&Cope) -> f64) -> f64 {
        self.length - self.a.map_or(0.0, &f) - self.b.map_or(0.0, &f)
    }

    /// Total length, long point to long point, m: the blank cut square.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.less(|cope| cope.long_point().s)
    }

    /// Total length for cuts straight in, m.
    #[must_use]
    pub fn total_square(&self) -> f64 {
        self.less(|cope| cope.square_long_point().s)
    }

    /// Length along the axis, surface to surface, m; None where the axis meets no main.
    #[must_use]
    pub fn centre(&self) -> Option<f64> {
        let end = |cope: Option<&Cope>| cope.map_or(Some(0.0), Cope::axis);
        Some(self.length - end(self.a)? - end(self.b)?)
    }

    /// Length of the outside at a place round the tube, m. Of a bent tube place by place the
    /// lengths differ by its bends too: this is the cut's share on the centreline's length.
    #[must_use]
    pub fn at(&self, at: f64) -> f64 {
        self.less(|cope| cope.outer(at))
    }

    /// Clock of end B's main less end A's, rad, where each end has one main.
    #[must_use]
    pub fn relative_clock(&self) -> Option<f64> {
        match (self.a?.pairs(), self.b?.pairs()) {
            ([a], [b]) => Some(super::relative_clock(a, b)),
            _ => None,
        }
    }

    /// Mean length at the mean radius, m (of rectangular tube at half the wall).
    #[must_use]
    pub fn mean_length(&self) -> f64 {
        self.mean(&[[0.5, 1.0]])
    }

    /// Mass by the mean length, kg, `density` in kg/m³; within 5e-4 of the exact solid.
    #[must_use]
    pub fn mass(&self, density: f64) -> f64 {
        crate::tube::mass::mass(self.section, self.mean_length(), density)
    }

    /// Volume of metal of a tube whose cuts follow the mains through the wall, m³: the mean
    /// length over the wall too. Sharp inside corners are taken with their flats.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.section.area() * self.mean(&GAUSS)
    }

    /// Mean length over places round the tube and `depths` [share of the wall, weight].
    fn mean(&self, depths: &[[f64; 2]]) -> f64 {
        if self.a.is_none() && self.b.is_none() {
            return self.length;
        }
        let (turn, wall) = (self.section.turn(), self.section.wall());
        let (mut sum, mut weights) = (0.0, 0.0);
        for step in 0..ROUND {
            let at = turn * ((step as f64 + 0.5) / ROUND as f64);
            let curvature = self.section.curvature(at);
            for [share, weight] in depths {
                let depth = share * wall;
                let weight = weight * (1.0 - curvature * depth).max(0.0);
                sum += weight * self.less(|cope| cope.at_depth(at, depth).unwrap_or(0.0));
                weights += weight;
            }
        }
        sum / weights
    }
}

//! The envelope of several mains as seen by a branch.

use std::sync;

use nalgebra::{Point3, Vector3};

use super::pair::Pair;
use super::solid::{Main, Solid};
use super::{ACUTE, CopeError, CopeFinding, End, Landing, NEAR_PARALLEL};
use crate::tube::section::{Place, Section};

/// Looks round the tube.
pub(super) const LOOKS: usize = 720;

/// An arc of the coordinate round the tube, start to end; rad on round tube, m on
/// rectangular.
pub type Arc = [f64; 2];

/// Which main the cut follows over an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Governed {
    /// The arc; start within half a turn of the scribe line, end above start.
    pub arc: Arc,
    /// Index of the main.
    pub main: usize,
}

/// A branch's end cut to its mains.
#[derive(Clone, Debug)]
pub struct Cope {
    pub(super) section: Section,
    pub(super) landing: Landing,
    pub(super) solids: Vec<Solid>,
    pub(super) pairs: Vec<Pair>,
    pub(super) u: Vector3<f64>,
    /// Both edges at [`Cope::looks`] of the outside: asked for by every extreme.
    pub(super) looked: sync::Arc<[Look]>,
}

/// Both edges at a place: s and the main that governs; None: meets no main.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    pub(super) at: f64,
    pub(super) outer: Option<(f64, usize)>,
    pub(super) inner: Option<(f64, usize)>,
}

impl Cope {
    /// The cope of a branch of `section` landing on `mains`.
    ///
    /// # Errors
    /// [`CopeError`]: bad numbers, no main, an angle under 10°, every main missed, or arcs
    /// of the branch that meet no main.
    pub fn new(section: &Section, landing: &Landing, mains: &[Main]) -> Result<Self, CopeError> {
        section.check()?;
        landing.check()?;
        let u = landing.inward();
        let solids = mains.iter().map(|m| Solid::new(m, &u));
        let solids: Vec<Solid> = solids.collect::<Result<_, _>>()?;
        let pairs: Vec<Pair> = solids.iter().map(|s| Pair::of(landing, s)).collect();
        let mut cope = Self {
            section: *section,
            landing: *landing,
            solids,
            pairs,
            u,
            looked: sync::Arc::new([]),
        };
        cope.near()?;
        let look = |at| {
            let [outer, inner] = cope.starts(at);
            Look {
                at,
                outer: cope.envelope_from(&outer),
                inner: cope.envelope_from(&inner),
            }
        };
        cope.looked = cope.looks(0.0).into_iter().map(look).collect();
        cope.meets()?;
        Ok(cope)
    }

    fn near(&self) -> Result<(), CopeError> {
        for (main, pair) in self.pairs.iter().enumerate() {
            if pair.alpha < NEAR_PARALLEL {
                let alpha = pair.alpha;
                return Err(CopeError::NearParallel { main, alpha });
            }
        }
        let clearances = (0..self.solids.len()).map(|i| self.clearance(i));
        let nearest = clearances
            .enumerate()
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .ok_or(CopeError::NoMain)?;
        if nearest.1 > 0.0 {
            return Err(CopeError::Misses {
                main: nearest.0,
                clearance: nearest.1,
            });
        }
        Ok(())
    }

    /// Every generator meets a main.
    fn meets(&self) -> Result<(), CopeError> {
        for (depth, inside) in [(0.0, false), (self.section.wall(), true)] {
            let arcs = self.free(depth);
            if !arcs.is_empty() {
                return Err(CopeError::Overhang { arcs, inside });
            }
        }
        Ok(())
    }

    /// |e| less both reaches along w: positive where branch and main pass by each other.
    fn clearance(&self, main: usize) -> f64 {
        let pair = &self.pairs[main];
        let axes = &self.landing.axes;
        let branch = match self.section {
            Section::Round { od, .. } => 0.5 * od,
            Section::Rectangular {
                height,
                width,
                corner,
                ..
            } => {
                let (up, side) = (pair.w.dot(&axes.up).abs(), pair.w.dot(&axes.side).abs());
                (0.5 * height - corner) * up + (0.5 * width - corner) * side + corner
            }
        };
        pair.offset.abs() - self.solids[main].reach(&pair.w) - branch
    }

    /// The branch's section.
    #[must_use]
    pub fn section(&self) -> &Section {
        &self.section
    }

    /// The branch's end.
    #[must_use]
    pub fn landing(&self) -> &Landing {
        &self.landing
    }

    /// Figures of the branch with each main.
    #[must_use]
    pub fn pairs(&self) -> &[Pair] {
        &self.pairs
    }

    pub(super) fn start(&self, at: f64, depth: f64) -> Point3<f64> {
        let Place { up, side, .. } = self.section.place(at, depth);
        self.landing.point + self.landing.axes.up * up + self.landing.axes.side * side
    }

    /// Starts on the outside and on the inside.
    fn starts(&self, at: f64) -> [Point3<f64>; 2] {
        let wall = self.section.wall();
        match self.section {
            Section::Round { .. } => {
                let Place { up, side, normal } = self.section.place(at, 0.0);
                let axes = &self.landing.axes;
                let outer = self.landing.point + axes.up * up + axes.side * side;
                let out = axes.up * normal[0] + axes.side * normal[1];
                [outer, outer - out * wall]
            }
            Section::Rectangular { .. } => [self.start(at, 0.0), self.start(at, wall)],
        }
    }

    fn envelope_from(&self, start: &Point3<f64>) -> Option<(f64, usize)> {
        let mut best: Option<(f64, usize)> = None;
        for (main, solid) in self.solids.iter().enumerate() {
            if let Some(s) = solid.exit(start)
                && best.is_none_or(|(most, _)| s > most)
            {
                best = Some((s, main));
            }
        }
        best
    }

    /// s and the main that governs at `depth` below the outside; None: meets no main.
    pub(super) fn envelope(&self, at: f64, depth: f64) -> Option<(f64, usize)> {
        self.envelope_from(&self.start(at, depth))
    }

    /// s of the cut at `at` round the tube and `depth` (m, 0 the outside) into the wall, m;
    /// None where that generator meets no main.
    #[must_use]
    pub fn at_depth(&self, at: f64, depth: f64) -> Option<f64> {
        self.envelope(at, depth).map(|(s, _)| s)
    }

    /// s of the outside edge, m. Not a number on a sliver without main too narrow to be
    /// found when the cope was made (under half a degree).
    #[must_use]
    pub fn outer(&self, at: f64) -> f64 {
        self.at_depth(at, 0.0).unwrap_or(f64::NAN)
    }

    /// s of the inside edge, m; as [`Self::outer`].
    #[must_use]
    pub fn inner(&self, at: f64) -> f64 {
        self.at_depth(at, self.section.wall()).unwrap_or(f64::NAN)
    }

    /// s of a cut straight in, m: the largest over the wall.
    #[must_use]
    pub fn square(&self, at: f64) -> f64 {
        let mut most = f64::NEG_INFINITY;
        for main in 0..self.solids.len() {
            if let Some(s) = self.most_over_wall(main, at) {
                most = most.max(s);
            }
        }
        if most.is_finite() { most } else { f64::NAN }
    }

    /// Gap a square cut leaves at the outside, along the axis, m.
    #[must_use]
    pub fn square_gap(&self, at: f64) -> f64 {
        self.square(at) - self.outer(at)
    }

    /// The same gap as the distance from the outside edge to the nearest main, m.
    #[must_use]
    pub fn square_gap_normal(&self, at: f64) -> f64 {
        let edge = self.start(at, 0.0) + self.u * self.square(at);
        let distances = self.solids.iter().map(|solid| solid.distance(&edge));
        distances.fold(f64::INFINITY, f64::min)
    }

    /// Where the branch's axis leaves the mains, m; None where it meets none.
    #[must_use]
    pub fn axis(&self) -> Option<f64> {
        self.envelope_from(&self.landing.point).map(|(s, _)| s)
    }

    /// Largest exit of one main over the wall. A convex solid is left along parallel lines
    /// at a concave function of their place, so there is one maximum.
    fn most_over_wall(&self, main: usize, at: f64) -> Option<f64> {
        let solid = &self.solids[main];
        let wall = self.section.wall();
        if matches!(self.section, Section::Round { .. })
            && let [outer, inner] = self.starts(at)
            && let Some(most) = solid.most_between(&outer, &inner)
        {
            return most;
        }
        let exit = |depth: f64| solid.exit(&self.start(at, depth));
        if let (Section::Round { od, .. }, Some(main_radius), false) =
            (self.section, solid.radius(), solid.ends_here)
        {
            return self.most_round(&self.pairs[main], at, 0.5 * od, main_radius);
        }
        let (mut low, mut high) = (0.0, wall);
        let bisect = |mut meets: f64, mut misses: f64| {
            for _ in 0..60 {
                let middle = 0.5 * (meets + misses);
                if exit(middle).is_some() {
                    meets = middle;
                } else {
                    misses = middle;
                }
            }
            meets
        };
        match (exit(low).is_some(), exit(high).is_some()) {
            (true, true) => {}
            (true, false) => high = bisect(low, high),
            (false, true) => low = bisect(high, low),
            (false, false) => return None,
        }
        let value = |depth: f64| exit(depth).unwrap_or(f64::NEG_INFINITY);
        let best = super::extremes::golden(&value, low, high);
        Some(value(low).max(value(high)).max(best.1))
    }

    /// The maximum in closed form: ds/dρ = 0 where y sin φ' = q cos φ' cos α.
    fn most_round(&self, pair: &Pair, at: f64, radius: f64, main_radius: f64) -> Option<f64> {
        let end = self.landing.end;
        let (sin, cos) = pair.phi_from_t(end, at).sin_cos();
        let lean = cos * pair.alpha.cos();
        let inside = radius - self.section.wall();
        let value = |rho: f64| pair.profile(end, at, rho, main_radius);
        let mut best: Option<f64> = None;
        let mut keep = |s: Option<f64>| {
            if let Some(s) = s {
                best = Some(best.map_or(s, |most: f64| most.max(s)));
            }
        };
        keep(value(radius));
        keep(value(inside));
        if sin.abs() > 1e-12 {
            let y = sin.signum() * main_radius * lean / sin.hypot(lean);
            keep(value(((y + pair.offset) / sin).clamp(inside, radius)));
        }
        best
    }

    /// Places to look at round the tube, rising, one full turn from half a turn before the
    /// scribe line: an even grid, edges of flats, where a main's silhouette is crossed.
    pub(super) fn looks(&self, depth: f64) -> Vec<f64> {
        let turn = self.section.turn();
        let half = 0.5 * turn;
        let step = turn / LOOKS as f64;
        let mut looks: Vec<f64> = (0..=LOOKS).map(|i| i as f64 * step - half).collect();
        let mut add = |at: f64| {
            let at = at - (at / turn).round() * turn;
            looks.push(at);
        };
        for edge in self.section.edges() {
            add(edge);
        }
        if let Section::Round { od, .. } = self.section {
            let radius = 0.5 * od - depth;
            for (pair, solid) in self.pairs.iter().zip(&self.solids) {
                let reach = solid.reach(&pair.w);
                for side in [pair.offset - reach, pair.offset + reach] {
                    let sine = side / radius;
                    if sine.abs() <= 1.0 {
                        let from_t = sine.asin();
                        for phi in [from_t, std::f64::consts::PI - from_t] {
                            add(match self.landing.end {
                                End::A => pair.clock + phi,
                                End::B => pair.clock - phi,
                            });
                        }
                    }
                }
            }
        }
        looks.sort_by(f64::total_cmp);
        let middles = looks.windows(2).map(|w| [0.5 * (w[0] + w[1]), w[1]]);
        let first = looks.first().copied();
        first.into_iter().chain(middles.flatten()).collect()
    }

    /// Arcs of the edge at `depth` that meet no main.
    fn free(&self, depth: f64) -> Vec<Arc> {
        let label = |at: f64| usize::from(self.envelope(at, depth).is_none());
        let looked = if depth == 0.0 {
            let of = self.looked.iter();
            of.map(|l| (l.at, usize::from(l.outer.is_none()))).collect()
        } else {
            let looks = self.looks(depth).into_iter();
            looks.map(|at| (at, label(at))).collect::<Vec<_>>()
        };
        let arcs = self.arcs(&looked, &label);
        let turn = self.section.turn();
        let free = arcs.into_iter().filter(|a| a.main == 1).map(|a| a.arc);
        // A place grazed to rounding is not an overhang.
        free.filter(|arc| arc[1] - arc[0] > 1e-9 * turn).collect()
    }

    /// Which main the outside edge follows, round the tube from half a turn before the
    /// scribe line.
    #[must_use]
    pub fn governing(&self) -> Vec<Governed> {
        let main_of = |edge: Option<(f64, usize)>| edge.map_or(usize::MAX, |(_, main)| main);
        let looked: Vec<_> = self
            .looked
            .iter()
            .map(|l| (l.at, main_of(l.outer)))
            .collect();
        self.arcs(&looked, &|at| main_of(self.envelope(at, 0.0)))
    }

    /// Arcs over which `label` does not change, its changes bisected.
    fn arcs(&self, looked: &[(f64, usize)], label: &dyn Fn(f64) -> usize) -> Vec<Governed> {
        let turn = self.section.turn();
        let mut changes: Vec<(f64, usize)> = Vec::new();
        for pair in looked.windows(2) {
            let [(mut low, before), (mut high, after)] = [pair[0], pair[1]];
            if before == after {
                continue;
            }
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if label(middle) == before {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            changes.push((0.5 * (low + high), after));
        }
        let Some(&(first, _)) = changes.first() else {
            let main = looked.first().map_or(usize::MAX, |l| l.1);
            let arc = [-0.5 * turn, 0.5 * turn];
            return vec![Governed { arc, main }];
        };
        let mut arcs = Vec::with_capacity(changes.len());
        for (index, &(from, main)) in changes.iter().enumerate() {
            let to = changes.get(index + 1).map_or(first + turn, |next| next.0);
            // The look at half a turn behind and ahead is the same place.
            arcs.push(Governed {
                arc: [from, to],
                main,
            });
        }
        arcs
    }

    /// Remarks on the cope.
    #[must_use]
    pub fn findings(&self) -> Vec<CopeFinding> {
        let mut findings = Vec::new();
        let wall = self.section.wall();
        for (main, (pair, solid)) in self.pairs.iter().zip(&self.solids).enumerate() {
            let alpha = pair.alpha;
            if alpha < ACUTE - 1e-9 {
                findings.push(CopeFinding::Acute { main, alpha });
            }
            let (mut met, mut beyond) = (false, 0.0_f64);
            for look in self.looked.iter() {
                for (depth, edge) in [(0.0, look.outer), (wall, look.inner)] {
                    let Some((s, governs)) = edge else {
                        continue;
                    };
                    if governs != main {
                        continue;
                    }
                    met = true;
                    if let Some([from, to]) = solid.straight {
                        let place = self.start(look.at, depth) + self.u * s - solid.origin;
                        let along = place.dot(&solid.axis);
                        beyond = beyond.max(from - along).max(along - to);
                    }
                }
            }
            if !met {
                findings.push(CopeFinding::NotMet { main });
            }
            if beyond > 1e-9 {
                findings.push(CopeFinding::BeyondStraight { main, beyond });
            }
        }
        findings
    }
}

//! What a wrong cut leaves open.

use super::profile::{Cope, LOOKS};

/// A tube cut to one profile and pushed along its own axis against the mains of another
/// until it touches; both profiles of the same end.
#[derive(Clone, Copy, Debug)]
pub struct WrongCut<'a> {
    right: &'a Cope,
    cut: &'a Cope,
    touch: f64,
}

impl<'a> WrongCut<'a> {
    /// The gap between the profile that belongs there and the one cut: another angle,
    /// offset, clock, main or saw diameter.
    #[must_use]
    pub fn new(right: &'a Cope, cut: &'a Cope) -> Self {
        let open = |at: f64| {
            let outer = cut.outer(at) - right.outer(at);
            outer.min(cut.inner(at) - right.inner(at))
        };
        let (_, touch) = right.least(&open);
        Self { right, cut, touch }
    }

    /// How far the tube stands back from where it would sit cut right, m: −min(c − s);
    /// negative where it goes in further.
    #[must_use]
    pub fn stands_back(&self) -> f64 {
        -self.touch
    }

    /// Axial gap at the outside edge, m, 0 or more.
    #[must_use]
    pub fn outer(&self, at: f64) -> f64 {
        self.cut.outer(at) - self.right.outer(at) - self.touch
    }

    /// Axial gap at the inside edge, m, 0 or more.
    #[must_use]
    pub fn inner(&self, at: f64) -> f64 {
        self.cut.inner(at) - self.right.inner(at) - self.touch
    }

    /// Largest gap of the outside edge, m, and where.
    #[must_use]
    pub fn largest(&self) -> (f64, f64) {
        let (at, gap) = self.right.largest(&|at| self.outer(at));
        (gap, at)
    }

    /// Mean gap of the outside edge, m.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let step = self.right.section.turn() / LOOKS as f64;
        let sum: f64 = (0..LOOKS).map(|i| self.outer(i as f64 * step)).sum();
        sum / LOOKS as f64
    }
}

impl Cope {
    /// Gap normal to the main where a tube was cut `short` (m) along its axis, to first
    /// order, at a place on the outside of a round tube on its `main`: short·sin α·sqrt(1 −
    /// ((r sin φ' − e)/R)²). None on another kind of main or where it misses.
    #[must_use]
    pub fn cut_short(&self, main: usize, short: f64, phi: f64) -> Option<f64> {
        let crate::tube::section::Section::Round { od, .. } = self.section else {
            return None;
        };
        let pair = self.pairs.get(main)?;
        let radius = self.solids[main].radius()?;
        let from_t = pair.phi_from_t(self.landing.end, phi);
        cut_short_gap(short, pair.alpha, radius, 0.5 * od, pair.offset, from_t)
    }
}

/// Gap normal to a round main of radius `main` (m) at φ' (`from_t`, rad) of a branch of
/// radius `branch` cut `short`, to first order; None where the branch misses there.
#[must_use]
pub fn cut_short_gap(
    short: f64,
    alpha: f64,
    main: f64,
    branch: f64,
    offset: f64,
    from_t: f64,
) -> Option<f64> {
    let y = (branch * from_t.sin() - offset) / main;
    let square = 1.0 - y * y;
    (square >= -1e-9).then(|| short * alpha.sin() * square.max(0.0).sqrt())
}

/// Gap that opens at the outside of a mitre cut `wrong` (rad) off its saw angle `saw` (rad
/// from square), m: OD/cos β' · tan δ.
#[must_use]
pub fn mitre_gap(od: f64, saw: f64, wrong: f64) -> f64 {
    od / saw.cos() * wrong.tan()
}

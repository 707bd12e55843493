//! Weld metal round a coped tube.
//!
//! Branch of outside radius r on a main of outside radius R, acute angle α between the
//! axes, offset e of the main's axis; φ' runs about the branch from the side where the
//! angle is acute. Root curve: X = r cos φ' t + r sin φ' w + s u, y = r sin φ' − e,
//! q = √(R² − y²), s = (q + r cos φ' cos α)/sin α. The angle through the weld is
//! Ψ = arccos(−N), N = (y sin φ' − q cos α cos φ')/R.
//!
//! Stated simplification: metal is counted on the root curve; the solid swept outside it
//! holds 5 to 13 % more on tubes checked by mesh. Derived, no published source.

use crate::error::{WeldError, between, finite, positive, size};
use crate::fit_up::{GapProfile, HOURS, Rule};
use crate::joint::Choices;
use crate::metal::{CONVEXITY, Fillet};
use crate::quadrature::integrate;
use std::f64::consts::{FRAC_PI_2, PI, SQRT_2, TAU};

/// Agreement asked of the integrals.
const ACCURACY: f64 = 1.0e-12;

/// A coped joint, welded all round with one fillet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cope {
    /// Outside radius r of the branch, m.
    pub branch_radius: f64,
    /// Wall of the branch, m.
    pub branch_wall: f64,
    /// Outside radius R of the main, m.
    pub main_radius: f64,
    /// Acute angle α between the axes, rad, above 0, at most π/2.
    pub angle: f64,
    /// Offset e of the main's axis from the branch's, m, along w = u × t; either sign.
    pub offset: f64,
    /// Specified leg D, m.
    pub leg: f64,
    /// Crown height over face width.
    pub convexity: f64,
    /// φ' of 12 o'clock, rad.
    pub twelve: f64,
    /// Whether the clock runs with φ' (end A of a tube) or against it (end B).
    pub clock_with_phi: bool,
}

/// What a coped joint's weld is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CopeMetal {
    /// Length of the root curve, m.
    pub length: f64,
    /// Metal added, m³.
    pub volume: f64,
    /// Mean section, m²: volume over length.
    pub area: f64,
    /// Mean gap over the root curve, m.
    pub mean_gap: f64,
    /// Smallest angle through the weld, rad.
    pub least_dihedral: f64,
    /// Smallest throat, m.
    pub least_throat: f64,
    /// (2/r)·⟨A cos φ'⟩/⟨A⟩, 1/m, means over φ': the lean toward t per shrinkage.
    pub lean_cos: f64,
    /// The same with sin φ', toward w.
    pub lean_sin: f64,
    /// ∮A q|X'|dφ', m⁴: moment of the metal about the main's axis, q its height over that
    /// axis toward the branch.
    pub moment_up: f64,
    /// ∮A y|X'|dφ', m⁴: the same sideways, toward w.
    pub moment_side: f64,
    /// Smallest throat over the right-angle throat of the leg asked for, 1 where it is held.
    pub least_throat_share: f64,
}

impl CopeMetal {
    /// Whether root fusion needs care somewhere: an angle below 60°.
    #[must_use]
    pub fn needs_care_at_root(&self) -> bool {
        self.least_dihedral < 60_f64.to_radians() - 1e-9
    }

    /// Whether part of the weld does not count as strength: an angle below 30° (AWS D1.1,
    /// from memory).
    #[must_use]
    pub fn partly_not_strength(&self) -> bool {
        self.least_dihedral < 30_f64.to_radians() - 1e-9
    }

    /// Whether the throat falls below D/√2 somewhere: a corner so open that the leg would
    /// have to grow beyond its limit to hold it.
    #[must_use]
    pub fn throat_not_held(&self) -> bool {
        self.least_throat_share < 1.0 - 1e-9
    }
}

/// The joint at one φ'.
struct Section {
    /// |dX/dφ'|, m.
    speed: f64,
    area: f64,
    throat: f64,
    dihedral: f64,
    gap: f64,
    /// Leg the rule asks for, m.
    leg: f64,
    /// Height over the main's axis, m.
    up: f64,
    /// Distance beside the main's axis, toward w, m.
    side: f64,
}

impl Cope {
    /// A square cope on the main's axis, usual crown, 12 o'clock at φ' = 0.
    #[must_use]
    pub const fn square(branch_radius: f64, branch_wall: f64, main_radius: f64, leg: f64) -> Self {
        Self {
            branch_radius,
            branch_wall,
            main_radius,
            angle: FRAC_PI_2,
            offset: 0.0,
            leg,
            convexity: CONVEXITY,
            twelve: 0.0,
            clock_with_phi: true,
        }
    }

    /// Metal under a gap rule; no profile means no gap.
    ///
    /// The leg grows locally where the rule asks for it, and everywhere to hold the
    /// throat of a right angle (at most 1.5 times, a choice). The triangle is not below
    /// half the branch wall times the leg (a choice).
    ///
    /// # Errors
    /// Sizes that are not positive, not finite or huge; an angle outside 0 to 90°; a
    /// branch that overhangs the main; an open gap profile's positions are not clock hours,
    /// so only a closed one is taken ([`WeldError::ClockOutside`]).
    pub fn metal(&self, rule: &Rule, gaps: Option<&GapProfile>) -> Result<CopeMetal, WeldError> {
        self.metal_with(Some(rule), gaps, &Choices::DEFAULT)
    }

    /// As [`Self::metal`] with the shop's own choices; without a rule the leg never grows for
    /// a gap.
    ///
    /// # Errors
    /// As [`Self::metal`].
    pub fn metal_with(
        &self,
        rule: Option<&Rule>,
        gaps: Option<&GapProfile>,
        choices: &Choices,
    ) -> Result<CopeMetal, WeldError> {
        self.check()?;
        if let Some(rule) = rule {
            rule.limits(self.leg)?;
        }
        if let Some(open) = gaps.filter(|gaps| !gaps.is_closed()) {
            let hours = open.readings()[0].position;
            return Err(WeldError::ClockOutside { hours });
        }
        let section = |phi: f64| self.section(rule, gaps, choices, phi);
        let breaks = self.breaks(rule, gaps)?;
        let radius = self.main_radius;
        let integrand = |phi: f64| {
            let at = section(phi);
            let (sin, cos) = phi.sin_cos();
            let metal = at.area * at.speed;
            // Signed terms carry a positive companion, so that the accuracy asked of each
            // integral has a scale that cannot vanish.
            [
                at.speed,
                metal,
                at.gap * at.speed,
                at.area,
                at.area * (1.0 + cos),
                at.area * (1.0 + sin),
                metal * at.up,
                metal * (radius + at.side),
            ]
        };
        let [length, volume, gap, area, toward_t, toward_w, up, side] =
            integrate(&integrand, &breaks, ACCURACY);
        let (mut least_dihedral, mut least_throat) = (PI, f64::INFINITY);
        let mut least_throat_share = f64::INFINITY;
        // Extremes: the pieces' ends, and a walk fine enough for a remark.
        for phi in breaks
            .iter()
            .copied()
            .chain((0..720).map(|i| f64::from(i) * TAU / 720.0))
        {
            let at = section(phi);
            least_dihedral = least_dihedral.min(at.dihedral);
            least_throat = least_throat.min(at.throat);
            least_throat_share = least_throat_share.min(at.throat * SQRT_2 / at.leg);
        }
        let lean = |moment: f64| 2.0 / self.branch_radius * (moment / area - 1.0);
        Ok(CopeMetal {
            length,
            volume,
            area: volume / length,
            mean_gap: gap / length,
            least_dihedral,
            least_throat,
            lean_cos: lean(toward_t),
            lean_sin: lean(toward_w),
            moment_up: up,
            moment_side: side - radius * volume,
            least_throat_share,
        })
    }

    fn check(&self) -> Result<(), WeldError> {
        let branch = positive("the branch radius", self.branch_radius)?;
        positive("the branch wall", self.branch_wall)?;
        let main = positive("the main radius", self.main_radius)?;
        positive("the leg", self.leg)?;
        size("the crown", self.convexity)?;
        let offset = finite("the offset", self.offset)?;
        finite("the place of 12 o'clock", self.twelve)?;
        between(
            "the angle between the tubes",
            self.angle,
            0.0,
            FRAC_PI_2 + 1e-9,
        )?;
        // A discriminant above −1e-9 R² is tangent, not an overhang (equal diameters).
        if (branch + offset.abs()).powi(2) > main * main * (1.0 + 1e-9) {
            return Err(WeldError::Overhang {
                branch,
                offset,
                main,
            });
        }
        Ok(())
    }

    fn hours(&self, phi: f64) -> f64 {
        let turn = if self.clock_with_phi {
            phi - self.twelve
        } else {
            self.twelve - phi
        };
        turn * HOURS / TAU
    }

    fn phi(&self, hours: f64) -> f64 {
        let turn = hours * TAU / HOURS;
        if self.clock_with_phi {
            self.twelve + turn
        } else {
            self.twelve - turn
        }
    }

    /// Where the integrand may have a corner or a step: quarter turns, readings, and where
    /// the gap passes the rule's limit.
    fn breaks(
        &self,
        rule: Option<&Rule>,
        gaps: Option<&GapProfile>,
    ) -> Result<Vec<f64>, WeldError> {
        let mut breaks: Vec<f64> = (0..=4).map(|i| f64::from(i) * FRAC_PI_2).collect();
        if let Some(gaps) = gaps {
            let steps = match rule {
                Some(rule) => gaps.crossings(rule.limits(self.leg)?.0 + crate::fit_up::SLACK),
                None => Vec::new(),
            };
            let readings = gaps.readings().iter().map(|reading| reading.position);
            breaks.extend(readings.chain(steps).map(|h| self.phi(h).rem_euclid(TAU)));
        }
        breaks.sort_by(f64::total_cmp);
        breaks.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
        Ok(breaks)
    }

    fn section(
        &self,
        rule: Option<&Rule>,
        gaps: Option<&GapProfile>,
        choices: &Choices,
        phi: f64,
    ) -> Section {
        let (sin, cos) = phi.sin_cos();
        let (sin_a, cos_a) = self.angle.sin_cos();
        let (r, main) = (self.branch_radius, self.main_radius);
        let y = r * sin - self.offset;
        let q = (main * main - y * y).max(0.0).sqrt();
        // Where branch and main are flush q vanishes together with cos φ': the slope of the
        // root curve then has the limits ±r on the two sides, and the split lies between.
        let flush = if q > 0.0 { -y * r * cos / q } else { -r };
        let slope = (flush - r * sin * cos_a) / sin_a;
        let normal = ((y * sin - q * cos_a * cos) / main).clamp(-1.0, 1.0);
        let dihedral = (-normal).acos();
        let gap = gaps.map_or(0.0, |gaps| gaps.gap_at(self.hours(phi)));
        // The rule's limits were checked before the walk began.
        let leg = rule.map_or(self.leg, |rule| {
            rule.leg_at(self.leg, gap).unwrap_or(self.leg)
        });
        let growth = (1.0 / (SQRT_2 * (0.5 * dihedral).cos())).clamp(1.0, choices.most_growth);
        let fillet = Fillet {
            leg: leg * growth,
            dihedral,
            convexity: self.convexity,
            gap,
            gap_depth: choices.gap_depth * self.branch_wall,
            floor: choices.floor * self.branch_wall * leg,
        };
        let metal = fillet.metal_unchecked();
        Section {
            speed: r.hypot(slope),
            area: metal.area,
            throat: metal.throat,
            dihedral,
            gap,
            leg,
            up: q,
            side: y,
        }
    }
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod tests {
    use super::*;
    use crate::fit_up::GapReading;
    use proptest::prelude::*;

    const RULE: Rule = Rule::Aws;

    fn tube() -> Cope {
        Cope::square(0.020, 0.002, 0.020, 0.004)
    }

    /// Equal tubes at 90°: the root curve is two half ellipses in planes at 45°, together the
    /// ellipse of semi-axes R and √2 R, girth 4√2 R E(k² = 1/2), E = 1.350 643 881 (Abramowitz
    /// and Stegun, table 17.1).
    #[test]
    fn equal_tubes_meet_in_two_half_ellipses() {
        let metal = tube().metal(&RULE, None).unwrap();
        let girth = 4.0 * SQRT_2 * 0.020 * 1.350_643_881_047_675_5;
        assert!(
            (metal.length / girth - 1.0).abs() < 1e-9,
            "{} {girth}",
            metal.length
        );
        assert!(metal.lean_cos.abs() < 1e-9 && metal.lean_sin.abs() < 1e-9);
    }

    /// A slim tube on a wide one sees a plane: a circle with a square fillet all round, and
    /// at an angle α an ellipse of semi-axes r and r/sin α.
    #[test]
    fn a_wide_main_is_a_plane() {
        let slim = Cope::square(0.001, 0.0002, 5.0, 0.002);
        let metal = slim.metal(&RULE, None).unwrap();
        assert!((metal.length / (TAU * 0.001) - 1.0).abs() < 1e-6);
        let square = Fillet::square(0.002).metal().unwrap();
        assert!(
            (metal.area / square.area - 1.0).abs() < 1e-3,
            "{} {}",
            metal.area,
            square.area
        );
        let leaning = Cope {
            angle: 45_f64.to_radians(),
            ..slim
        };
        let metal = leaning.metal(&RULE, None).unwrap();
        let girth = 4.0 * SQRT_2 * 0.001 * 1.350_643_881_047_675_5;
        assert!((metal.length / girth - 1.0).abs() < 1e-6);
        assert!((metal.least_dihedral.to_degrees() - 45.0).abs() < 0.02);
        assert!(metal.needs_care_at_root() && !metal.partly_not_strength());
    }

    /// The same integral by a plain sum over a million steps of the formulas in the module
    /// text, written out again.
    #[test]
    fn a_brute_sum_agrees() {
        let cope = Cope {
            angle: 60_f64.to_radians(),
            offset: 0.003,
            ..Cope::square(0.016, 0.002, 0.022, 0.004)
        };
        let gaps = GapProfile::closed(&[
            GapReading::new(0.0, 0.001),
            GapReading::new(3.0, 0.003),
            GapReading::new(6.0, 0.0005),
            GapReading::new(9.0, 0.0),
        ])
        .unwrap();
        let metal = cope.metal(&RULE, Some(&gaps)).unwrap();
        let (r, big, a, e) = (0.016_f64, 0.022_f64, 60_f64.to_radians(), 0.003);
        let point = |phi: f64| {
            let y = r * phi.sin() - e;
            let s = ((big * big - y * y).sqrt() + r * phi.cos() * a.cos()) / a.sin();
            [r * phi.cos(), r * phi.sin(), s]
        };
        let n = 200_000;
        let (mut length, mut volume) = (0.0, 0.0);
        for i in 0..n {
            let (from, to) = (
                f64::from(i) * TAU / f64::from(n),
                f64::from(i + 1) * TAU / f64::from(n),
            );
            let (p, q) = (point(from), point(to));
            let step = (0..3).map(|k| (q[k] - p[k]).powi(2)).sum::<f64>().sqrt();
            let phi: f64 = 0.5 * (from + to);
            let y = r * phi.sin() - e;
            let h = (big * big - y * y).sqrt();
            let psi = (-(y * phi.sin() - h * a.cos() * phi.cos()) / big).acos();
            let clock = phi * 12.0 / TAU;
            let g = if clock < 3.0 {
                0.001 + 0.002 * clock / 3.0
            } else if clock < 6.0 {
                0.003 - 0.0025 * (clock - 3.0) / 3.0
            } else if clock < 9.0 {
                0.0005 - 0.0005 * (clock - 6.0) / 3.0
            } else {
                0.001 * (clock - 9.0) / 3.0
            };
            let d = if g > 0.001_587_5 { 0.004 + g } else { 0.004 };
            let local = d * (1.0 / (SQRT_2 * (psi / 2.0).cos())).clamp(1.0, 1.5);
            let b = 2.0 * local * (psi / 2.0).sin();
            let section = (0.5 * local * local * psi.sin()).max(0.5 * 0.002 * d)
                + 2.0 / 3.0 * b * 0.05 * b
                + g * 0.001;
            length += step;
            volume += section * step;
        }
        assert!(
            (metal.length / length - 1.0).abs() < 1e-8,
            "{} {length}",
            metal.length
        );
        assert!(
            (metal.volume / volume - 1.0).abs() < 1e-5,
            "{} {volume}",
            metal.volume
        );
    }

    /// Midpoint sums of 400 000 steps of the same formulas, in another language.
    #[test]
    fn an_offset_cope_agrees_with_sums_made_elsewhere() {
        let cope = Cope {
            angle: 60_f64.to_radians(),
            offset: 0.003,
            ..Cope::square(0.016, 0.002, 0.022, 0.004)
        };
        let metal = cope.metal(&RULE, None).unwrap();
        for (got, wanted) in [
            (metal.length, 0.114_890_384_483),
            (metal.volume, 1.611_513_354_0e-6),
            (metal.lean_cos, -20.812_558_567_7),
            (metal.lean_sin, 2.057_092_044_9),
        ] {
            assert!((got / wanted - 1.0).abs() < 1e-8, "{got} for {wanted}");
        }
    }

    #[test]
    fn the_clock_is_read_both_ways() {
        for clock_with_phi in [true, false] {
            let cope = Cope {
                twelve: 0.7,
                clock_with_phi,
                ..tube()
            };
            assert!((cope.hours(cope.phi(4.5)) - 4.5).abs() < 1e-12);
        }
    }

    #[test]
    fn clock_sense_is_a_mirror() {
        let gaps =
            GapProfile::closed(&[GapReading::new(2.0, 0.002), GapReading::new(8.0, 0.0)]).unwrap();
        let with = tube().metal(&RULE, Some(&gaps)).unwrap();
        let against = Cope {
            clock_with_phi: false,
            ..tube()
        };
        let against = against.metal(&RULE, Some(&gaps)).unwrap();
        assert!((with.volume / against.volume - 1.0).abs() < 1e-9);
        assert!((with.lean_sin + against.lean_sin).abs() < 1e-6);
        assert!(with.lean_sin > 0.0);
    }

    #[test]
    fn impossible_copes_are_named() {
        let over = Cope {
            offset: 0.001,
            ..tube()
        };
        assert!(matches!(
            over.metal(&RULE, None),
            Err(WeldError::Overhang { .. })
        ));
        for angle in [0.0, -1.0, 2.0, f64::NAN] {
            assert!(Cope { angle, ..tube() }.metal(&RULE, None).is_err());
        }
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
            assert!(
                Cope {
                    branch_radius: bad,
                    ..tube()
                }
                .metal(&RULE, None)
                .is_err()
            );
            assert!(
                Cope {
                    branch_wall: bad,
                    ..tube()
                }
                .metal(&RULE, None)
                .is_err()
            );
            assert!(
                Cope {
                    main_radius: bad,
                    ..tube()
                }
                .metal(&RULE, None)
                .is_err()
            );
            assert!(Cope { leg: bad, ..tube() }.metal(&RULE, None).is_err());
        }
        let open = GapProfile::open(0.1, &[GapReading::new(0.0, 0.001)]).unwrap();
        assert!(tube().metal(&RULE, Some(&open)).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]
        #[test]
        fn copes_are_finite_and_signs_hold(
            ratio in 0.2..1.0_f64,
            angle in 0.4..FRAC_PI_2,
            share in -1.0..1.0_f64,
            leg in 0.002..0.008_f64,
            gap in 0.0..0.004_f64,
        ) {
            let cope = Cope {
                angle,
                offset: share * (1.0 - ratio) * 0.025,
                ..Cope::square(0.025 * ratio, 0.002, 0.025, leg)
            };
            let metal = |cope: &Cope, gap| {
                cope.metal(&RULE, Some(&GapProfile::even(gap).unwrap())).unwrap()
            };
            let base = metal(&cope, gap);
            prop_assert!(base.volume > 0.0 && base.volume.is_finite());
            prop_assert!(base.length >= TAU * cope.branch_radius * (1.0 - 1e-12));
            prop_assert!((base.mean_gap - gap).abs() < 1e-12);
            prop_assert!(metal(&cope, gap + 2e-4).volume > base.volume);
            let larger = Cope { leg: leg * 1.1, ..cope };
            prop_assert!(metal(&larger, gap).volume > base.volume);
        }
    }
}

//! One whole joint: its weld metal, how far it pulls, leans and kinks, and what to say of it.
//!
//! A [`Joint`] is a butt, tee, lap or coped tube with its gap, the rule that grows its leg
//! and how it is held; [`Joint::weld`] answers with everything at once. Metal and shrinkage
//! are integrals over the gap as read; the verdict is by the worst gap. All values SI.

mod choices;
mod gap;
mod kink;

pub use choices::Choices;
pub use gap::Gap;
pub use kink::{MainKink, MainTube};

use crate::cope::{Cope, CopeMetal};
use crate::error::{WeldError, between, positive};
use crate::fit_up::{
    FilletCount, FitUp, GapProfile, JointKind, Remark, Rule, Verdict, judge, leg_remarks,
};
use crate::metal::{Fillet, FilletMetal, Groove, GrooveShape};
use crate::shrinkage::{
    Band, Setting, butt_with, cope_pull_in_with, lap_across_with, tee_across_with, tee_pull_in_with,
};
use std::f64::consts::{FRAC_PI_2, PI};

/// Angle through a fillet below which root fusion needs care (AWS D1.1, from memory).
const CARE: f64 = 60.0 * PI / 180.0;
/// Angle through a fillet below which it does not count as strength (AWS D1.1, from memory).
const NO_STRENGTH: f64 = 30.0 * PI / 180.0;
/// Slack of a comparison of angles, rad.
const ANGLE_SLACK: f64 = 1.0e-9;

/// What meets what, and the weld asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Edge to edge.
    Butt {
        /// The edges.
        edges: GrooveShape,
        /// Wall t, m.
        thickness: f64,
        /// Height of the cap, m; `None` takes the choice.
        cap: Option<f64>,
        /// Height of the cap at the root, m; `None` takes the choice.
        root_cap: Option<f64>,
    },
    /// A stem standing on a base.
    Tee {
        /// Thickness t of the base, m.
        base: f64,
        /// Wall t_s of the stem, m.
        stem: f64,
        /// Specified leg D, m.
        leg: f64,
        /// Angle Ψ between the faces through the (first) weld, rad, 0 to π; π/2 is square.
        dihedral: f64,
        /// Angle through the second weld, rad; `None` is the same as the first. A straight
        /// stem that leans has π − Ψ there.
        second_dihedral: Option<f64>,
        /// Sides welded.
        fillets: FilletCount,
        /// Crown height over face width; `None` takes the choice.
        convexity: Option<f64>,
    },
    /// One part laid over another, each fillet in a square corner; an open gap fills nothing.
    Lap {
        /// Thickness t, m.
        thickness: f64,
        /// Specified leg D, m.
        leg: f64,
        /// Edges welded.
        fillets: FilletCount,
        /// Crown height over face width; `None` takes the choice.
        convexity: Option<f64>,
    },
    /// A tube coped on another, one fillet all round; its own crown counts.
    Cope {
        /// Geometry of the joint.
        tubes: Cope,
        /// The main's stiffness; `None` where its kink is not asked for.
        main: Option<MainTube>,
    },
}

impl Shape {
    /// A square tee with the usual crown.
    #[must_use]
    pub const fn tee(base: f64, stem: f64, leg: f64, fillets: FilletCount) -> Self {
        Self::Tee {
            base,
            stem,
            leg,
            dihedral: FRAC_PI_2,
            second_dihedral: None,
            fillets,
            convexity: None,
        }
    }

    /// How the fit-up rules see it.
    #[must_use]
    pub const fn kind(&self) -> JointKind {
        match *self {
            Self::Butt { .. } => JointKind::Butt,
            Self::Tee { fillets, .. } => JointKind::Tee { fillets },
            Self::Lap { fillets, .. } => JointKind::Lap { fillets },
            Self::Cope { .. } => JointKind::Cope,
        }
    }

    /// Specified leg (m; a butt has none) and the thickness (m) of the edge it runs along.
    const fn leg_and_edge(&self) -> (f64, f64) {
        match *self {
            Self::Butt { thickness, .. } => (0.0, thickness),
            Self::Tee { leg, stem, .. } => (leg, stem),
            Self::Lap { leg, thickness, .. } => (leg, thickness),
            Self::Cope { tubes, .. } => (tubes.leg, tubes.branch_wall),
        }
    }
}

/// A joint to be welded.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// What meets what.
    pub shape: Shape,
    /// Length of the seam, m; not read on a cope, whose root curve is the seam.
    pub length: f64,
    /// Root gap. A cope is read by the clock.
    pub gap: Gap,
    /// Rule that judges the gap and grows the leg; `None` leaves the leg as specified.
    pub rule: Option<Rule>,
    /// How it is held and welded.
    pub setting: Setting,
}

/// Section of a butt weld.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ButtMetal {
    /// Metal added, m² of section, mean over the seam.
    pub area: f64,
    /// Mean width w of the groove at the face, m.
    pub width: f64,
    /// Angle included between the edges, rad.
    pub included_angle: f64,
}

/// What the weld is made of; means over the seam where the gap varies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Metal {
    /// A groove.
    Butt(ButtMetal),
    /// One fillet of a tee or lap (the first, where two differ).
    Fillet(FilletMetal),
    /// Once round a coped tube.
    Cope(CopeMetal),
}

/// Lean of a coped branch, at the point of its pull-in. The sign is not to be trusted: take
/// it as a spread of mean 0 whose standard deviation is the size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lean {
    /// Toward t (the side of the acute angle), rad.
    pub toward_t: f64,
    /// Toward w = u × t, rad.
    pub toward_w: f64,
}

/// Which way a joint shrinks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Across the weld, in the plane of the plate.
    Across,
    /// A stem or branch toward what it stands on.
    PullIn,
}

/// Something to be said of a joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Finding {
    /// No published formula was made for such a joint: its band is widened.
    OutsideEveryRange {
        /// Which shrinkage.
        direction: Direction,
    },
    /// Root fusion needs care: the faces close to less than 60°.
    RootFusion {
        /// Smallest angle through the weld, rad.
        dihedral: f64,
    },
    /// Part of the weld does not count as strength: less than 30° (AWS D1.1, from memory).
    NotStrength {
        /// Smallest angle through the weld, rad.
        dihedral: f64,
    },
    /// The throat is below that of the same leg in a right angle.
    ThroatBelow {
        /// Smallest throat, m.
        throat: f64,
        /// The throat over D/√2, D the leg asked for.
        share: f64,
    },
    /// About the leg or the readings.
    Remark(Remark),
}

/// The answer for one joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Welded {
    /// What one weld is made of.
    pub metal: Metal,
    /// Section of all its welds together, A_w, m² (mean over the seam).
    pub area_total: f64,
    /// Length of seam, m (once, also where both sides are welded).
    pub length: f64,
    /// Mean root gap over the seam, m.
    pub mean_gap: f64,
    /// Metal added, m³.
    pub volume: f64,
    /// Shrinkage across the weld; a cope has none of interest.
    pub across: Option<Band>,
    /// Pull-in of a stem or branch; a butt and a lap have none.
    pub pull_in: Option<Band>,
    /// Lean of a coped branch.
    pub lean: Option<Lean>,
    /// Kink of the main a branch is coped on, where its stiffness is known.
    pub main_kink: Option<MainKink>,
    /// Judgement of the gap, where a rule that covers the joint is given.
    pub fit_up: Option<FitUp>,
    /// What to say of it.
    pub findings: Vec<Finding>,
}

/// Metal added because the joint does not fit, and shrinkage with it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extra {
    /// Metal with the gaps less metal without, m³.
    pub volume: f64,
    /// Point of the shrinkage (pull-in, or across where there is none) with the gaps less
    /// without, m.
    pub shrinkage: f64,
}

impl Joint {
    /// Everything about the joint.
    ///
    /// # Errors
    /// Sizes that are not positive, negative, not finite or huge; angles outside their range;
    /// a branch that overhangs its main; a cope whose gap is not read by the clock; no passes;
    /// choices that cannot be used. A butt without metal (no gap, no cap, square edges) is
    /// [`WeldError::NotPositive`].
    pub fn weld(&self, choices: &Choices) -> Result<Welded, WeldError> {
        choices.check()?;
        if let Shape::Cope { tubes, main } = &self.shape {
            return self.cope(tubes, main.as_ref(), choices);
        }
        let length = positive("the length of the seam", self.length)?;
        self.profile()?;
        let mut welded = match self.shape {
            Shape::Butt { .. } => self.butt(choices)?,
            _ => self.fillets(choices)?,
        };
        welded.length = length;
        welded.volume = welded.area_total * length;
        self.finish(welded)
    }

    /// What the gaps cost: metal and shrinkage with them less those of a tight joint.
    ///
    /// # Errors
    /// As [`Self::weld`], with the gap and without it.
    pub fn extra(&self, choices: &Choices) -> Result<Extra, WeldError> {
        let tight = Self {
            gap: Gap::CLOSED,
            ..self.clone()
        };
        let (with, without) = (self.weld(choices)?, tight.weld(choices)?);
        let point = |welded: &Welded| {
            let band = welded.pull_in.as_ref().or(welded.across.as_ref());
            band.map_or(0.0, |band| band.point)
        };
        Ok(Extra {
            volume: with.volume - without.volume,
            shrinkage: point(&with) - point(&without),
        })
    }

    fn profile(&self) -> Result<GapProfile, WeldError> {
        self.gap.profile()
    }

    fn leg_at(&self, leg: f64, gap: f64) -> f64 {
        // The rule's limits are checked before any walk along the gap.
        self.rule
            .as_ref()
            .map_or(leg, |rule| rule.leg_at(leg, gap).unwrap_or(leg))
    }

    fn butt(&self, choices: &Choices) -> Result<Welded, WeldError> {
        let Shape::Butt {
            edges,
            thickness,
            cap,
            root_cap,
        } = self.shape
        else {
            return Err(WeldError::FilletRule);
        };
        // The section is linear in the gap, so the mean gap gives the mean section.
        let mean_gap = self.gap.mean();
        let groove = Groove {
            shape: edges,
            thickness,
            gap: mean_gap,
            cap: cap.unwrap_or(choices.cap),
            root_cap: root_cap.unwrap_or(choices.root_cap),
        };
        let area = groove.area_with(choices.cap_overlap)?;
        let included_angle = groove.included_angle();
        let across = butt_with(
            area,
            mean_gap,
            thickness,
            included_angle,
            &self.setting,
            choices,
        )?;
        let width = groove.width();
        Ok(Welded {
            metal: Metal::Butt(ButtMetal {
                area,
                width,
                included_angle,
            }),
            area_total: area,
            length: 0.0,
            mean_gap,
            volume: 0.0,
            across: Some(across),
            pull_in: None,
            lean: None,
            main_kink: None,
            fit_up: None,
            findings: Vec::new(),
        })
    }

    fn fillets(&self, choices: &Choices) -> Result<Welded, WeldError> {
        // (leg, fillets, crown, the two angles, depth a gap fills)
        let (leg, fillets, convexity, angles, gap_depth) = match self.shape {
            Shape::Tee {
                stem,
                leg,
                dihedral,
                second_dihedral,
                fillets,
                convexity,
                ..
            } => {
                let stem = positive("the stem wall", stem)?;
                let second = second_dihedral.unwrap_or(dihedral);
                let depth = choices.gap_depth * stem;
                (leg, fillets, convexity, [dihedral, second], depth)
            }
            Shape::Lap {
                leg,
                fillets,
                convexity,
                ..
            } => (leg, fillets, convexity, [FRAC_PI_2; 2], 0.0),
            Shape::Butt { .. } | Shape::Cope { .. } => return Err(WeldError::FilletRule),
        };
        positive("the leg", leg)?;
        if let Some(rule) = &self.rule {
            rule.limits(leg)?;
        }
        for angle in angles {
            between("the dihedral angle", angle, 0.0, PI)?;
        }
        let fillet = |gap: f64, dihedral: f64| Fillet {
            leg: self.leg_at(leg, gap),
            dihedral,
            convexity: convexity.unwrap_or(choices.convexity),
            gap,
            gap_depth,
            floor: 0.0,
        };
        fillet(self.gap.worst(), angles[0]).metal()?;
        let means = self.gap.mean_of(self.rule.as_ref(), leg, &|gap| {
            let first = fillet(gap, angles[0]).metal_unchecked();
            let second = fillet(gap, angles[1]).metal_unchecked();
            [
                first.leg,
                first.throat,
                first.face_width,
                first.area,
                second.area,
            ]
        })?;
        let [mean_leg, throat, face_width, area, second_area] = means;
        let both = fillets == FilletCount::Two;
        let area_total = if both { area + second_area } else { area };
        let mean_gap = self.gap.mean();
        let set = &self.setting;
        let (across, pull_in) = match self.shape {
            Shape::Tee { base, stem, .. } => (
                tee_across_with(mean_leg, base, fillets, set, choices)?,
                Some(tee_pull_in_with(area_total, mean_gap, stem, set, choices)?),
            ),
            Shape::Lap { thickness, .. } => (
                lap_across_with(mean_leg, thickness, fillets, set, choices)?,
                None,
            ),
            Shape::Butt { .. } | Shape::Cope { .. } => return Err(WeldError::FilletRule),
        };
        let welded = if both { &angles[..] } else { &angles[..1] };
        let least = welded.iter().copied().fold(PI, f64::min);
        let widest = welded.iter().copied().fold(0.0, f64::max);
        let mut findings = angle_findings(least);
        let share = std::f64::consts::SQRT_2 * (0.5 * widest).cos();
        if share < 1.0 - ANGLE_SLACK {
            findings.push(Finding::ThroatBelow {
                throat: leg * (0.5 * widest).cos(),
                share,
            });
        }
        Ok(Welded {
            metal: Metal::Fillet(FilletMetal {
                leg: mean_leg,
                throat,
                face_width,
                area,
            }),
            area_total,
            length: 0.0,
            mean_gap,
            volume: 0.0,
            across: Some(across),
            pull_in,
            lean: None,
            main_kink: None,
            fit_up: None,
            findings,
        })
    }

    fn cope(
        &self,
        tubes: &Cope,
        main: Option<&MainTube>,
        choices: &Choices,
    ) -> Result<Welded, WeldError> {
        let profile = self.profile()?;
        let metal = tubes.metal_with(self.rule.as_ref(), Some(&profile), choices)?;
        let pull_in = cope_pull_in_with(
            metal.area,
            metal.mean_gap,
            tubes.branch_wall,
            tubes.leg,
            &self.setting,
            choices,
        )?;
        let mut findings = angle_findings(metal.least_dihedral);
        if metal.throat_not_held() {
            findings.push(Finding::ThroatBelow {
                throat: metal.least_throat,
                share: metal.least_throat_share,
            });
        }
        let main_kink = match main {
            Some(tube) => Some(MainKink::of(tubes, &metal, tube, choices)?),
            None => None,
        };
        self.finish(Welded {
            metal: Metal::Cope(metal),
            area_total: metal.area,
            length: metal.length,
            mean_gap: metal.mean_gap,
            volume: metal.volume,
            lean: Some(Lean {
                toward_t: metal.lean_cos * pull_in.point,
                toward_w: metal.lean_sin * pull_in.point,
            }),
            across: None,
            pull_in: Some(pull_in),
            main_kink,
            fit_up: None,
            findings,
        })
    }

    /// Adds the verdict and the findings every kind shares.
    fn finish(&self, mut welded: Welded) -> Result<Welded, WeldError> {
        let kind = self.shape.kind();
        let (leg, edge) = self.shape.leg_and_edge();
        for (band, direction) in [
            (&welded.across, Direction::Across),
            (&welded.pull_in, Direction::PullIn),
        ] {
            if band.as_ref().is_some_and(|band| band.out_of_range) {
                welded
                    .findings
                    .push(Finding::OutsideEveryRange { direction });
            }
        }
        let remarks = leg_remarks(kind, leg, edge)?;
        welded
            .findings
            .extend(remarks.into_iter().map(Finding::Remark));
        if let Gap::Read(profile) = &self.gap {
            let remarks = profile.remarks();
            welded
                .findings
                .extend(remarks.into_iter().map(Finding::Remark));
        }
        // Rules written for fillets say nothing of a butt's gap.
        let covered = self
            .rule
            .as_ref()
            .filter(|rule| kind != JointKind::Butt || matches!(rule, Rule::Shop { .. }));
        if let Some(rule) = covered {
            welded.fit_up = Some(judge(kind, rule, leg, Some(&self.profile()?))?);
        }
        Ok(welded)
    }
}

impl Welded {
    /// Whether the fit-up rule rejects the joint.
    #[must_use]
    pub fn rejected(&self) -> bool {
        self.fit_up
            .is_some_and(|fit_up| fit_up.verdict == Verdict::Reject)
    }
}

fn angle_findings(dihedral: f64) -> Vec<Finding> {
    let mut findings = Vec::new();
    if dihedral < CARE - ANGLE_SLACK {
        findings.push(Finding::RootFusion { dihedral });
    }
    if dihedral < NO_STRENGTH - ANGLE_SLACK {
        findings.push(Finding::NotStrength { dihedral });
    }
    findings
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod tests;

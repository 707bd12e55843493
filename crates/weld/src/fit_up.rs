//! Fit-up gaps: readings round a joint, and what a rule says of the worst.
//!
//! Gaps are linear between readings; a closed seam is read by the clock (0 to 12
//! hours, 12 the same place as 0) and is periodic. Every inequality has a slack of
//! 1e-9 m, so that a gap typed as the limit itself passes.

use crate::error::{WeldError, positive, size};
use serde::{Deserialize, Serialize};
use std::f64::consts::SQRT_2;
use units::Length;

/// Slack of every comparison with a limit, m.
pub const SLACK: f64 = 1.0e-9;
/// Hours round a closed seam.
pub const HOURS: f64 = 12.0;
/// Clock positions below which a closed seam is only partly known.
pub const CLOCK_POSITIONS: usize = 4;

/// AWS D1.1: gap up to which the leg stays as it is, 1/16 in. From memory; check your edition.
const AWS_UNCHANGED: f64 = Length::from_inches(1.0 / 16.0).si();
/// AWS D1.1: greatest gap without a qualified procedure, 3/16 in. From memory.
const AWS_REJECT: f64 = Length::from_inches(3.0 / 16.0).si();
/// Leg below which heat control is doubtful, 1/8 in (AWS D1.1 minimum fillet, from memory).
const LEAST_LEG: f64 = Length::from_inches(1.0 / 8.0).si();
/// Thickness from which a lap leg must stay 1/16 in below the edge (AWS D1.1, from memory).
const LAP_EDGE: f64 = Length::from_inches(1.0 / 4.0).si();

/// One fillet or two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum FilletCount {
    /// Welded from one side.
    One,
    /// Welded from both sides.
    Two,
}

impl FilletCount {
    /// 1 or 2.
    #[must_use]
    pub const fn number(self) -> f64 {
        match self {
            Self::One => 1.0,
            Self::Two => 2.0,
        }
    }
}

/// How two parts meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum JointKind {
    /// Edge to edge.
    Butt,
    /// A stem standing on a base.
    Tee {
        /// Sides welded.
        fillets: FilletCount,
    },
    /// One part laid over another.
    Lap {
        /// Edges welded.
        fillets: FilletCount,
    },
    /// A tube coped on a tube, one fillet all round.
    Cope,
}

/// One gap reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapReading {
    /// Clock hours (0 to 12) on a closed seam; m from the start on an open one.
    pub position: f64,
    /// Gap, m, zero or more.
    pub gap: f64,
}

impl GapReading {
    /// A gap (m) at a position (hours, or m from the start).
    #[must_use]
    pub const fn new(position: f64, gap: f64) -> Self {
        Self { position, gap }
    }
}

/// The gap along a seam, from at least one reading.
#[derive(Clone, Debug, PartialEq)]
pub struct GapProfile {
    readings: Vec<GapReading>,
    /// Period (12 h) of a closed seam, length (m) of an open one.
    span: f64,
    closed: bool,
}

impl GapProfile {
    /// A closed seam read by the clock.
    ///
    /// # Errors
    /// [`WeldError::NoReadings`], a position outside 0 to 12 hours, two readings at one
    /// place (0 and 12 are one), or a gap that is negative, not finite or huge.
    pub fn closed(readings: &[GapReading]) -> Result<Self, WeldError> {
        for reading in readings {
            let hours = reading.position;
            if !(0.0..=HOURS).contains(&hours) {
                return Err(WeldError::ClockOutside { hours });
            }
        }
        let turned = readings.iter().map(|reading| GapReading {
            position: reading.position % HOURS,
            ..*reading
        });
        Self::sorted(turned.collect(), HOURS, true)
    }

    /// An open seam of `length` (m), read by the distance from its start. Before the
    /// first and after the last reading the gap stays as read there.
    ///
    /// # Errors
    /// As [`Self::closed`], with positions from 0 to `length`; a length that is not positive.
    pub fn open(length: f64, readings: &[GapReading]) -> Result<Self, WeldError> {
        positive("the length of the seam", length)?;
        for reading in readings {
            let position = reading.position;
            if !(0.0..=length).contains(&position) {
                return Err(WeldError::PositionOutside { position, length });
            }
        }
        Self::sorted(readings.to_vec(), length, false)
    }

    /// The same gap everywhere round a closed seam.
    ///
    /// # Errors
    /// A gap that is negative, not finite or huge.
    pub fn even(gap: f64) -> Result<Self, WeldError> {
        Self::closed(&[GapReading::new(0.0, gap)])
    }

    fn sorted(mut readings: Vec<GapReading>, span: f64, closed: bool) -> Result<Self, WeldError> {
        if readings.is_empty() {
            return Err(WeldError::NoReadings);
        }
        for reading in &readings {
            size("the gap", reading.gap)?;
        }
        readings.sort_by(|a, b| a.position.total_cmp(&b.position));
        for pair in readings.windows(2) {
            if pair[1].position - pair[0].position < SLACK {
                let position = pair[1].position;
                return Err(WeldError::DuplicatePosition { position });
            }
        }
        Ok(Self {
            readings,
            span,
            closed,
        })
    }

    /// The readings, by position.
    #[must_use]
    pub fn readings(&self) -> &[GapReading] {
        &self.readings
    }

    /// Period of a closed seam (12 hours), length (m) of an open one.
    #[must_use]
    pub const fn span(&self) -> f64 {
        self.span
    }

    /// Whether the seam closes on itself.
    #[must_use]
    pub const fn is_closed(&self) -> bool {
        self.closed
    }

    /// The straight pieces of the profile: (from, gap, to, gap), positions rising.
    pub(crate) fn pieces(&self) -> Vec<(GapReading, GapReading)> {
        let (first, last) = (self.readings[0], self.readings[self.readings.len() - 1]);
        let mut ends = Vec::with_capacity(self.readings.len() + 2);
        if self.closed {
            ends.extend_from_slice(&self.readings);
            ends.push(GapReading::new(first.position + self.span, first.gap));
        } else {
            ends.push(GapReading::new(0.0, first.gap));
            ends.extend_from_slice(&self.readings);
            ends.push(GapReading::new(self.span, last.gap));
        }
        ends.windows(2).map(|pair| (pair[0], pair[1])).collect()
    }

    /// The gap (m) at a position: hours on a closed seam (any number of turns), m on an
    /// open one (clamped to its ends).
    #[must_use]
    pub fn gap_at(&self, position: f64) -> f64 {
        let first = self.readings[0];
        let position = if self.closed {
            first.position + (position - first.position).rem_euclid(self.span)
        } else {
            position.clamp(0.0, self.span)
        };
        let mut gap = first.gap;
        for (from, to) in self.pieces() {
            if position >= from.position && to.position > from.position {
                let share = ((position - from.position) / (to.position - from.position)).min(1.0);
                gap = from.gap + share * (to.gap - from.gap);
            }
        }
        gap
    }

    /// Positions where the gap crosses `level` (m), for splitting an integral there.
    #[must_use]
    pub fn crossings(&self, level: f64) -> Vec<f64> {
        self.pieces()
            .iter()
            .filter(|(from, to)| (from.gap - level) * (to.gap - level) < 0.0)
            .map(|(from, to)| {
                let share = (level - from.gap) / (to.gap - from.gap);
                from.position + share * (to.position - from.position)
            })
            .collect()
    }

    /// The reading with the widest gap.
    #[must_use]
    pub fn worst(&self) -> GapReading {
        self.readings
            .iter()
            .copied()
            .fold(self.readings[0], |worst, reading| {
                if reading.gap > worst.gap {
                    reading
                } else {
                    worst
                }
            })
    }

    /// Mean gap over the seam, m: the integral of the linear profile over its span. On a
    /// closed seam the mean over the clock, not over the arc length of a cope.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let area: f64 = self
            .pieces()
            .iter()
            .map(|(from, to)| 0.5 * (from.gap + to.gap) * (to.position - from.position))
            .sum();
        area / self.span
    }

    /// What should be said about the readings themselves.
    #[must_use]
    pub fn remarks(&self) -> Vec<Remark> {
        let count = self.readings.len();
        if self.closed && count < CLOCK_POSITIONS {
            vec![Remark::FewClockPositions { count }]
        } else {
            Vec::new()
        }
    }
}

/// Quality level of ISO 5817; B is the strictest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum IsoLevel {
    /// Stringent.
    B,
    /// Intermediate.
    C,
    /// Moderate.
    D,
}

impl IsoLevel {
    /// Greatest root gap (m) for a design throat (m): with a in mm, B min(0.5 + 0.1a, 2),
    /// C min(0.5 + 0.2a, 3), D min(1 + 0.3a, 4) mm (EN 25817 = ISO 5817:1992, imperfection
    /// "incorrect root gap"; later editions keep the row, from memory).
    #[must_use]
    pub fn limit(self, throat: f64) -> f64 {
        let (base, share, most) = match self {
            Self::B => (0.0005, 0.1, 0.002),
            Self::C => (0.0005, 0.2, 0.003),
            Self::D => (0.001, 0.3, 0.004),
        };
        f64::min(base + share * throat, most)
    }
}

/// The rule that judges a gap.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Rule {
    /// AWS D1.1 (check your edition): up to 1/16 in the leg stays; up to 3/16 in it grows
    /// by the gap, or the throat is proved; above that, no weld without a qualified procedure.
    Aws,
    /// ISO 5817: within the level's limit or not.
    Iso5817(IsoLevel),
    /// The shop's own two limits, in the AWS form.
    Shop {
        /// Greatest gap with the leg unchanged.
        unchanged: Length,
        /// Greatest gap accepted.
        reject: Length,
    },
}

impl Rule {
    /// (gap with leg unchanged, gap accepted), m, for a leg (m).
    ///
    /// # Errors
    /// Shop limits that are negative, not finite or in the wrong order.
    pub fn limits(&self, leg: f64) -> Result<(f64, f64), WeldError> {
        match self {
            Self::Aws => Ok((AWS_UNCHANGED, AWS_REJECT)),
            Self::Iso5817(level) => {
                let limit = level.limit(leg / SQRT_2);
                Ok((limit, limit))
            }
            Self::Shop { unchanged, reject } => {
                let unchanged = size("the gap left alone", unchanged.si())?;
                let reject = size("the gap rejected", reject.si())?;
                if unchanged > reject {
                    return Err(WeldError::LimitsCrossed { unchanged, reject });
                }
                Ok((unchanged, reject))
            }
        }
    }

    /// The leg (m) needed where the gap is `gap` (m): the specified leg, plus the gap where
    /// a rule of the AWS form asks for it (also beyond the rejection limit, where it is what
    /// filling that gap would take). ISO 5817 asks for no larger leg.
    ///
    /// # Errors
    /// As [`Self::limits`].
    pub fn leg_at(&self, leg: f64, gap: f64) -> Result<f64, WeldError> {
        let (unchanged, _) = self.limits(leg)?;
        let grows = !matches!(self, Self::Iso5817(_)) && gap > unchanged + SLACK;
        Ok(if grows { leg + gap } else { leg })
    }
}

/// What a rule says of a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// Weld as specified.
    Good,
    /// Weld with a larger leg, or prove the throat.
    EnlargeLeg {
        /// Leg needed, m.
        leg: f64,
    },
    /// Take it apart and fit it better, or qualify a procedure.
    Reject,
    /// Nothing is known yet.
    NotLogged {
        /// Readings the seam asks for.
        readings_wanted: usize,
    },
}

/// The judgement of one joint's fit-up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitUp {
    /// What the rule says.
    pub verdict: Verdict,
    /// Widest gap, m; 0 when none is logged.
    pub worst: f64,
    /// Greatest gap with the specified leg, m.
    pub unchanged: f64,
    /// Greatest gap accepted, m.
    pub limit: f64,
    /// Leg the rule asks for at the widest gap, m (the specified leg when none is logged;
    /// on a butt joint 0).
    pub required_leg: f64,
    /// Leg that would hold the specified throat at the widest gap, m: D + g (butt: 0).
    pub leg_holding_throat: f64,
    /// Throat left if the leg stays as specified, m: (D − g)/√2, not below 0 (butt: 0).
    pub throat_kept: f64,
}

/// Judges a joint by its widest gap.
///
/// `leg` is the specified fillet leg, m (not read for a butt joint). On a butt joint only
/// the shop's own limits apply and only the rejecting one: a groove has no leg to grow
/// (a stated simplification).
///
/// # Errors
/// A leg or limit that is not usable; [`WeldError::FilletRule`] for a butt joint under a
/// fillet rule.
pub fn judge(
    kind: JointKind,
    rule: &Rule,
    leg: f64,
    profile: Option<&GapProfile>,
) -> Result<FitUp, WeldError> {
    let butt = kind == JointKind::Butt;
    if butt && !matches!(rule, Rule::Shop { .. }) {
        return Err(WeldError::FilletRule);
    }
    let leg = if butt { 0.0 } else { positive("the leg", leg)? };
    let (unchanged, limit) = rule.limits(leg)?;
    let Some(profile) = profile else {
        let readings_wanted = if kind == JointKind::Cope {
            CLOCK_POSITIONS
        } else {
            2
        };
        return Ok(FitUp {
            verdict: Verdict::NotLogged { readings_wanted },
            worst: 0.0,
            unchanged,
            limit,
            required_leg: leg,
            leg_holding_throat: leg,
            throat_kept: leg / SQRT_2,
        });
    };
    let worst = profile.worst().gap;
    let required_leg = if butt { 0.0 } else { rule.leg_at(leg, worst)? };
    let verdict = if worst > limit + SLACK {
        Verdict::Reject
    } else if required_leg > leg {
        Verdict::EnlargeLeg { leg: required_leg }
    } else {
        Verdict::Good
    };
    Ok(FitUp {
        verdict,
        worst,
        unchanged,
        limit,
        required_leg,
        leg_holding_throat: if butt { 0.0 } else { leg + worst },
        throat_kept: ((leg - worst) / SQRT_2).max(0.0),
    })
}

/// Something to be said beside a verdict.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Remark {
    /// A closed seam read at fewer than four clock positions.
    FewClockPositions {
        /// Positions read.
        count: usize,
    },
    /// A leg below 1/8 in.
    SmallLeg {
        /// The leg, m.
        leg: f64,
        /// The least usual leg, m.
        least: f64,
    },
    /// A lap leg taller than the edge it runs along allows.
    LapLegTooTall {
        /// The leg, m.
        leg: f64,
        /// The tallest, m.
        most: f64,
    },
}

/// Remarks on a specified leg (m) against the thickness (m) of the edge it runs along:
/// below 1/8 in; on a lap above the thickness, from 1/4 in on above the thickness less
/// 1/16 in (AWS D1.1, from memory).
///
/// # Errors
/// A leg or thickness that is not positive, not finite or huge.
pub fn leg_remarks(kind: JointKind, leg: f64, thickness: f64) -> Result<Vec<Remark>, WeldError> {
    let mut remarks = Vec::new();
    if kind == JointKind::Butt {
        return Ok(remarks);
    }
    positive("the leg", leg)?;
    positive("the thickness", thickness)?;
    if leg < LEAST_LEG - SLACK {
        let least = LEAST_LEG;
        remarks.push(Remark::SmallLeg { leg, least });
    }
    if matches!(kind, JointKind::Lap { .. }) {
        let thick = thickness >= LAP_EDGE - SLACK;
        let most = if thick {
            thickness - AWS_UNCHANGED
        } else {
            thickness
        };
        if leg > most + SLACK {
            remarks.push(Remark::LapLegTooTall { leg, most });
        }
    }
    Ok(remarks)
}

/// Whether fit-up gets worse (or better) from joint to joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    /// Change of the widest gap per joint, m.
    pub slope: f64,
    /// Standard error of the slope, m.
    pub standard_error: f64,
    /// Whether the slope is above two standard errors.
    pub rising: bool,
}

/// Least-squares slope of the widest gaps (m) in the order the joints were fitted; `None`
/// below three joints, which leave no scatter to judge by.
///
/// # Errors
/// A gap that is negative, not finite or huge.
pub fn trend(worst_gaps: &[f64]) -> Result<Option<Trend>, WeldError> {
    for gap in worst_gaps {
        size("the gap", *gap)?;
    }
    if worst_gaps.len() < 3 {
        return Ok(None);
    }
    let n = worst_gaps.len() as f64;
    let mid = (n - 1.0) / 2.0;
    let mean = worst_gaps.iter().sum::<f64>() / n;
    let order = |i: usize| i as f64 - mid;
    let (mut sxx, mut sxy) = (0.0, 0.0);
    for (i, gap) in worst_gaps.iter().enumerate() {
        sxx += order(i) * order(i);
        sxy += order(i) * (gap - mean);
    }
    let slope = sxy / sxx;
    let scatter: f64 = worst_gaps
        .iter()
        .enumerate()
        .map(|(i, gap)| (gap - mean - slope * order(i)).powi(2))
        .sum();
    let standard_error = (scatter / (n - 2.0) / sxx).sqrt();
    Ok(Some(Trend {
        slope,
        standard_error,
        rising: slope > 2.0 * standard_error && slope > SLACK,
    }))
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
#[path = "fit_up_tests.rs"]
mod tests;

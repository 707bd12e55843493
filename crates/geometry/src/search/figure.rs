//! The figures a search judges by.

use crate::axle::AxleError;
use crate::state::{AxleState, InstantCentre};

/// A figure of one combination of holes. SI; the meaning is that of the field of the same
/// name of [`AxleState`] at design height unless told otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Figure {
    /// Anti-squat, ratio, 1 = 100 %.
    AntiSquat,
    /// Anti-lift, ratio.
    AntiLift,
    /// x of the instant centre, m, ahead of the build datum positive.
    IcStation,
    /// z of the instant centre, m above the floor.
    IcHeight,
    /// x_IC − x_C, m.
    SwingArmLength,
    /// z_IC − z_C, m.
    SwingArmHeight,
    /// Roll steer −ψ̇/φ̇, rad/rad, positive = roll understeer.
    RollSteer,
    /// Roll centre height above ground, m.
    RollCentreHeight,
    /// Slope of the roll axis dz/dx, rising toward the front positive.
    RollAxisSlope,
    /// Difference of pinion angle between the two ends of the travel range at zero roll, rad,
    /// never negative.
    PinionChange,
    /// Largest |stretch| of any rod over the two ends of the roll range at zero travel, m.
    BindStretch,
    /// Axle recession at that end of the travel range where it is larger in magnitude (the
    /// low end if equal), m, rearward positive.
    Recession,
}

impl Figure {
    /// How many there are.
    pub const COUNT: usize = 12;

    /// All, in the order in which [`Figures`] lists them.
    pub const ALL: [Self; Self::COUNT] = [
        Self::AntiSquat,
        Self::AntiLift,
        Self::IcStation,
        Self::IcHeight,
        Self::SwingArmLength,
        Self::SwingArmHeight,
        Self::RollSteer,
        Self::RollCentreHeight,
        Self::RollAxisSlope,
        Self::PinionChange,
        Self::BindStretch,
        Self::Recession,
    ];

    /// Place in [`Figure::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Whether the figure is one of a range of travel or roll (pinion change, bind, recession)
    /// and not of the axle at design height.
    #[must_use]
    pub const fn is_of_range(self) -> bool {
        matches!(
            self,
            Self::PinionChange | Self::BindStretch | Self::Recession
        )
    }

    /// Whether the figure cannot be negative by its meaning.
    pub(super) const fn is_magnitude(self) -> bool {
        matches!(self, Self::PinionChange | Self::BindStretch)
    }
}

/// The figures of one combination; those it does not have are absent: instant centre and swing
/// arm with the instant centre at infinity, a range figure where an end is out of reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    values: [Option<f64>; Figure::COUNT],
}

impl Figures {
    /// The value of a figure, SI; None where there is none.
    #[must_use]
    pub const fn get(&self, figure: Figure) -> Option<f64> {
        self.values[figure.index()]
    }

    /// From values in which NaN stands for none.
    pub(super) fn from_values(values: &[f64; Figure::COUNT]) -> Self {
        Self {
            values: values.map(|v| (!v.is_nan()).then_some(v)),
        }
    }

    /// With NaN for none.
    pub(super) fn values(&self) -> [f64; Figure::COUNT] {
        self.values.map(|v| v.unwrap_or(f64::NAN))
    }

    /// The figures at design height of a state there, the range figures still absent.
    pub(super) fn of_state(state: &AxleState) -> Self {
        let (x, z) = match state.instant_centre {
            InstantCentre::At { x, z } => (Some(x), Some(z)),
            InstantCentre::Infinity { .. } => (None, None),
        };
        Self {
            values: [
                Some(state.anti_squat),
                Some(state.anti_lift),
                x,
                z,
                state.swing_arm_length,
                state.swing_arm_height,
                Some(state.roll_steer),
                Some(state.roll_centre_above_ground),
                Some(state.roll_axis_slope),
                None,
                None,
                None,
            ],
        }
    }

    pub(super) fn set(&mut self, figure: Figure, value: f64) {
        self.values[figure.index()] = Some(value);
    }
}

/// The end of a range with the larger magnitude, the first if equal.
pub(super) fn larger_end(low: f64, high: f64) -> f64 {
    if high.abs() > low.abs() { high } else { low }
}

/// One combination, solved in full.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evaluation {
    /// Its figures.
    pub figures: Figures,
    /// Why pinion change and recession are absent, where they are.
    pub travel_limit: Option<AxleError>,
    /// Why bind is absent, where it is.
    pub roll_limit: Option<AxleError>,
}

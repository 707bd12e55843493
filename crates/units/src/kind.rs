//! What a number measures.

use serde::{Deserialize, Serialize};

/// What a number measures, and so which units it may be written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Kind {
    /// Length, m.
    Length,
    /// Angle, rad.
    Angle,
    /// Mass, kg. Shops say "weight" and mean this.
    Mass,
    /// Force, N.
    Force,
    /// Torque or moment, N·m.
    Torque,
    /// Pressure or stress, Pa.
    Pressure,
    /// Force per travel, N/m.
    SpringRate,
    /// Speed, m/s.
    Speed,
    /// Acceleration, m/s².
    Acceleration,
    /// Time, s.
    Time,
    /// Ratio of two like quantities shown in per cent (anti-squat, brake share); 1 = 100 %.
    Ratio,
    /// Power, W.
    Power,
    /// Volume, m³.
    Volume,
    /// Temperature, K.
    Temperature,
    /// A plain number without a unit: a count, a gear ratio, a factor.
    Count,
    /// Degrees of steer per degree of roll: a plain ratio shown in per cent.
    AngleRatio,
    /// Rise over run, a plain ratio shown in per cent.
    Slope,
    /// Moment per angle, N·m/rad.
    RollStiffness,
    /// Speed of turning, rad/s (engine, driveshaft).
    RotationSpeed,
    /// Moment of inertia about an axis, kg·m².
    Inertia,
    /// Swings per time, Hz.
    Frequency,
    /// Flow of gas, m³/s at one atmosphere (shielding and purge gas).
    Flow,
    /// Electric current, A.
    Current,
    /// Electric voltage, V.
    Voltage,
    /// Heat put in per length of seam, J/m.
    HeatInput,
    /// Speed of a wire or along a seam, m/s.
    FeedSpeed,
    /// Force per speed of a damper, N·s/m.
    Damping,
    /// Area, m².
    Area,
    /// Mass per volume, kg/m³.
    Density,
}

impl Kind {
    /// Every kind, in the order in which [`crate::parse_any`] tries them.
    ///
    /// The order settles what a shared spelling means on its own: `lb` is a mass
    /// before it is a force, `g` an acceleration before it is a gram.
    pub const ALL: [Self; 29] = [
        Self::Length,
        Self::Angle,
        Self::Acceleration,
        Self::Mass,
        Self::Force,
        Self::Torque,
        Self::Pressure,
        Self::SpringRate,
        Self::Speed,
        Self::Time,
        Self::Ratio,
        Self::Power,
        Self::Volume,
        Self::Temperature,
        Self::Count,
        Self::AngleRatio,
        Self::Slope,
        Self::RollStiffness,
        Self::RotationSpeed,
        Self::Inertia,
        Self::Frequency,
        Self::Flow,
        Self::Current,
        Self::Voltage,
        Self::HeatInput,
        Self::FeedSpeed,
        Self::Damping,
        Self::Area,
        Self::Density,
    ];

    /// The shop's word with its article, for sentences: "a length", "an angle".
    #[must_use]
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Mass => "a weight",
            Self::Force => "a force",
            Self::Torque => "a torque",
            Self::Pressure => "a pressure",
            Self::SpringRate => "a spring rate",
            Self::Speed => "a speed",
            Self::Acceleration => "an acceleration",
            Self::Time => "a time",
            Self::Ratio => "a ratio",
            Self::Power => "a power",
            Self::Volume => "a volume",
            Self::Temperature => "a temperature",
            Self::Count => "a plain number",
            Self::AngleRatio => "a steer ratio",
            Self::Slope => "a slope",
            Self::RollStiffness => "a roll stiffness",
            Self::RotationSpeed => "a speed of turning",
            Self::Inertia => "a moment of inertia",
            Self::Frequency => "a frequency",
            Self::Flow => "a gas flow",
            Self::Current => "a current",
            Self::Voltage => "a voltage",
            Self::HeatInput => "a heat per length",
            Self::FeedSpeed => "a feed or travel speed",
            Self::Damping => "a damping",
            Self::Area => "an area",
            Self::Density => "a density",
        }
    }

    /// Symbol of the SI unit the value is kept in; `1` for ratios and counts.
    #[must_use]
    pub const fn si_unit(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Angle => "rad",
            Self::Mass => "kg",
            Self::Force => "N",
            Self::Torque => "N·m",
            Self::Pressure => "Pa",
            Self::SpringRate => "N/m",
            Self::Speed => "m/s",
            Self::Acceleration => "m/s²",
            Self::Time => "s",
            Self::Power => "W",
            Self::Volume => "m³",
            Self::Temperature => "K",
            Self::Ratio | Self::Count | Self::AngleRatio | Self::Slope => "1",
            Self::RollStiffness => "N·m/rad",
            Self::RotationSpeed => "rad/s",
            Self::Inertia => "kg·m²",
            Self::Frequency => "Hz",
            Self::Flow => "m³/s",
            Self::Current => "A",
            Self::Voltage => "V",
            Self::HeatInput => "J/m",
            Self::FeedSpeed => "m/s",
            Self::Damping => "N·s/m",
            Self::Area => "m²",
            Self::Density => "kg/m³",
        }
    }

    /// A correct spelling to show as an example.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Self::Length => "12 5/8 in",
            Self::Angle => "2.3 deg",
            Self::Mass => "1450 kg",
            Self::Force => "250 lbf",
            Self::Torque => "350 ft·lb",
            Self::Pressure => "32 psi",
            Self::SpringRate => "150 lb/in",
            Self::Speed => "60 mph",
            Self::Acceleration => "1.1 g",
            Self::Time => "9.41 s",
            Self::Ratio => "117 %",
            Self::Power => "450 hp",
            Self::Volume => "8 gal",
            Self::Temperature => "70 °F",
            Self::Count => "4.1",
            Self::AngleRatio => "4.1 %",
            Self::Slope => "2.5 %",
            Self::RollStiffness => "280 ft·lb/deg",
            Self::RotationSpeed => "6500 rpm",
            Self::Inertia => "0.35 kg·m²",
            Self::Frequency => "1.4 Hz",
            Self::Flow => "35 ft³/h",
            Self::Current => "140 A",
            Self::Voltage => "18.5 V",
            Self::HeatInput => "25 kJ/in",
            Self::FeedSpeed => "300 in/min",
            Self::Damping => "12 lb·s/in",
            Self::Area => "22.5 ft²",
            Self::Density => "0.284 lb/in³",
        }
    }

    /// Whether a plain number without a unit is a complete value of this kind.
    #[must_use]
    pub const fn plain(self) -> bool {
        matches!(
            self,
            Self::Count | Self::Ratio | Self::AngleRatio | Self::Slope
        )
    }
}

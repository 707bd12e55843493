//! One type per kind of quantity, holding the SI value.

use crate::{Kind, ParseError, exact, parse, parse_any};
use serde::de::{self, Deserialize, Deserializer, Visitor};
use serde::ser::{self, Serialize, Serializer};
use std::fmt;
use std::ops::{Add, Neg, Sub};
use std::str::FromStr;

/// A value with its kind, for places where the kind is data (checks, readings).
///
/// Serialises as text with a unit that names the kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// What it measures.
    pub kind: Kind,
    /// Value in the SI unit of the kind.
    pub si: f64,
}

impl Quantity {
    /// A value of a kind, SI.
    #[must_use]
    pub const fn new(kind: Kind, si: f64) -> Self {
        Self { kind, si }
    }

    /// Text that [`parse_any`] reads back as the same kind and the same `f64`.
    ///
    /// Like [`exact`], save that the two ratios written in per cent whose kind a bare
    /// "%" would lose name it: `deg/deg` for a steer ratio, `m/m` for a slope.
    #[must_use]
    pub fn exact(&self) -> String {
        match self.kind {
            Kind::AngleRatio => format!("{} deg/deg", exact(Kind::Count, self.si)),
            Kind::Slope => format!("{} m/m", exact(Kind::Count, self.si)),
            Kind::FeedSpeed => {
                let text = exact(Kind::FeedSpeed, self.si);
                if text.ends_with(" m/s") {
                    // In m/s it would read as the speed of a car.
                    format!("{} mm/s", raised(self.si, 3))
                } else {
                    text
                }
            }
            Kind::Ratio => {
                let text = exact(Kind::Ratio, self.si);
                if text.ends_with('%') {
                    text
                } else {
                    in_per_cent(self.si)
                }
            }
            kind => exact(kind, self.si),
        }
    }
}

/// A ratio of any size in per cent: its digits with the exponent raised by two.
fn in_per_cent(ratio: f64) -> String {
    format!("{} %", raised(ratio, 2))
}

/// The digits of a value times a power of ten, none lost.
fn raised(value: f64, power: i32) -> String {
    let scientific = format!("{value:e}");
    match scientific.split_once('e') {
        Some((digits, exponent)) => {
            format!("{digits}e{}", exponent.parse::<i32>().unwrap_or(0) + power)
        }
        None => scientific,
    }
}

impl FromStr for Quantity {
    type Err = ParseError;
    fn from_str(text: &str) -> Result<Self, ParseError> {
        parse_any(text)
    }
}

impl fmt::Display for Quantity {
    /// The exact (file) form.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.exact())
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        finite::<S>(self.kind, self.si)?;
        serializer.serialize_str(&self.exact())
    }
}

impl<'de> Deserialize<'de> for Quantity {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct AnyVisitor;
        impl Visitor<'_> for AnyVisitor {
            type Value = Quantity;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a quantity with its unit, e.g. \"12 5/8 in\"")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Quantity, E> {
                parse_any(text).map_err(E::custom)
            }
        }
        deserializer.deserialize_str(AnyVisitor)
    }
}

fn finite<S: Serializer>(kind: Kind, si: f64) -> Result<(), S::Error> {
    if si.is_finite() {
        Ok(())
    } else {
        Err(ser::Error::custom(format!(
            "{} must be a finite number, this one is {si}",
            kind.noun()
        )))
    }
}

struct TextVisitor(Kind);

impl TextVisitor {
    fn bare<E: de::Error>(&self, number: f64) -> Result<f64, E> {
        if self.0.plain() && number.is_finite() {
            return Ok(number);
        }
        Err(E::custom(format!(
            "a bare number where {} is needed: write it with its unit, e.g. \"{}\"",
            self.0.noun(),
            self.0.example()
        )))
    }
}

impl Visitor<'_> for TextVisitor {
    type Value = f64;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} with its unit, e.g. \"{}\"",
            self.0.noun(),
            self.0.example()
        )
    }
    fn visit_str<E: de::Error>(self, text: &str) -> Result<f64, E> {
        parse(self.0, text).map_err(E::custom)
    }
    fn visit_f64<E: de::Error>(self, number: f64) -> Result<f64, E> {
        self.bare(number)
    }
    fn visit_i64<E: de::Error>(self, number: i64) -> Result<f64, E> {
        self.bare(number as f64)
    }
    fn visit_u64<E: de::Error>(self, number: u64) -> Result<f64, E> {
        self.bare(number as f64)
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        ///
        /// Holds the SI value; reads and writes text with a unit ([`exact`]).
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// What this type measures.
            pub const KIND: Kind = Kind::$name;
            /// Zero.
            pub const ZERO: Self = Self(0.0);

            /// From the SI value. Not checked: a value that is not finite cannot be saved.
            #[must_use]
            pub const fn from_si(si: f64) -> Self {
                Self(si)
            }

            /// The SI value.
            #[must_use]
            pub const fn si(self) -> f64 {
                self.0
            }

            /// The value with its kind.
            #[must_use]
            pub const fn quantity(self) -> Quantity {
                Quantity::new(Self::KIND, self.0)
            }
        }

        impl From<$name> for Quantity {
            fn from(value: $name) -> Self {
                value.quantity()
            }
        }

        impl FromStr for $name {
            type Err = ParseError;
            fn from_str(text: &str) -> Result<Self, ParseError> {
                parse(Self::KIND, text).map(Self)
            }
        }

        impl fmt::Display for $name {
            /// The exact (file) form.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&exact(Self::KIND, self.0))
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                finite::<S>(Self::KIND, self.0)?;
                serializer.serialize_str(&exact(Self::KIND, self.0))
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_any(TextVisitor(Self::KIND)).map(Self)
            }
        }
    };
}

macro_rules! linear {
    ($($name:ident),*) => {$(
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
    )*};
}

quantity!(
    /// A length, m.
    Length
);
quantity!(
    /// An angle, rad.
    Angle
);
quantity!(
    /// A mass, kg.
    Mass
);
quantity!(
    /// A force, N.
    Force
);
quantity!(
    /// A torque or moment, N·m.
    Torque
);
quantity!(
    /// A pressure or stress, Pa.
    Pressure
);
quantity!(
    /// A spring rate, N/m.
    SpringRate
);
quantity!(
    /// A speed, m/s.
    Speed
);
quantity!(
    /// An acceleration, m/s².
    Acceleration
);
quantity!(
    /// A time, s.
    Time
);
quantity!(
    /// A ratio shown in per cent, 1 = 100 %.
    Ratio
);
quantity!(
    /// A power, W.
    Power
);
quantity!(
    /// A volume, m³.
    Volume
);
quantity!(
    /// A temperature, K. Two temperatures do not add.
    Temperature
);
quantity!(
    /// A plain number.
    Count
);
quantity!(
    /// Degrees of steer per degree of roll, a plain ratio.
    AngleRatio
);
quantity!(
    /// Rise over run, a plain ratio.
    Slope
);
quantity!(
    /// A roll stiffness, N·m/rad.
    RollStiffness
);
quantity!(
    /// A speed of turning, rad/s.
    RotationSpeed
);
quantity!(
    /// A moment of inertia, kg·m².
    Inertia
);
quantity!(
    /// A frequency, Hz.
    Frequency
);
quantity!(
    /// A flow of gas, m³/s at one atmosphere.
    Flow
);
quantity!(
    /// An electric current, A.
    Current
);
quantity!(
    /// An electric voltage, V.
    Voltage
);
quantity!(
    /// A heat put in per length of seam, J/m.
    HeatInput
);
quantity!(
    /// A speed of wire or along a seam, m/s.
    FeedSpeed
);
quantity!(
    /// A damping, force per speed, N·s/m.
    Damping
);
quantity!(
    /// An area, m².
    Area
);
quantity!(
    /// A density, kg/m³.
    Density
);
linear!(
    Length,
    Angle,
    Mass,
    Force,
    Torque,
    Pressure,
    SpringRate,
    Speed,
    Acceleration,
    Time,
    Ratio,
    Power,
    Volume,
    Count,
    AngleRatio,
    Slope,
    RollStiffness,
    RotationSpeed,
    Inertia,
    Frequency,
    Flow,
    Current,
    Voltage,
    HeatInput,
    FeedSpeed,
    Damping,
    Area,
    Density
);

impl Length {
    /// From inches; exact multiples of 1/64 in give the nearest `f64` in metres.
    #[must_use]
    pub const fn from_inches(inches: f64) -> Self {
        Self(inches * 254.0 / 10_000.0)
    }
    /// In inches.
    #[must_use]
    pub const fn inches(self) -> f64 {
        self.0 * 10_000.0 / 254.0
    }
    /// From millimetres.
    #[must_use]
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm / 1000.0)
    }
    /// In millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.0 * 1000.0
    }
}

impl Angle {
    /// From degrees.
    #[must_use]
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }
    /// In degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

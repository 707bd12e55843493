//! A number and its rate: one formula gives the value and its exact derivative.

use std::ops::{Add, Div, Mul, Sub};

/// Whether a number is no larger than another; false where either is not a number.
pub(crate) fn at_most(value: f64, limit: f64) -> bool {
    value <= limit
}

/// What the section and stiffness formulas need of a number.
pub(crate) trait Real:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + From<f64>
{
    fn value(self) -> f64;
    fn squared(self) -> Self {
        self * self
    }
    fn scaled(self, by: f64) -> Self {
        self * Self::from(by)
    }
}

impl Real for f64 {
    fn value(self) -> f64 {
        self
    }
}

/// Value and rate by one variable.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Dual {
    pub(crate) value: f64,
    pub(crate) rate: f64,
}

impl From<f64> for Dual {
    fn from(value: f64) -> Self {
        Self { value, rate: 0.0 }
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, b: Self) -> Self {
        Self {
            value: self.value + b.value,
            rate: self.rate + b.rate,
        }
    }
}

impl Sub for Dual {
    type Output = Self;
    fn sub(self, b: Self) -> Self {
        Self {
            value: self.value - b.value,
            rate: self.rate - b.rate,
        }
    }
}

impl Mul for Dual {
    type Output = Self;
    fn mul(self, b: Self) -> Self {
        Self {
            value: self.value * b.value,
            rate: self.rate * b.value + self.value * b.rate,
        }
    }
}

impl Div for Dual {
    type Output = Self;
    fn div(self, b: Self) -> Self {
        let value = self.value / b.value;
        Self {
            value,
            rate: (self.rate - value * b.rate) / b.value,
        }
    }
}

impl Real for Dual {
    fn value(self) -> f64 {
        self.value
    }
}

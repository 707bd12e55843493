//! Exact numbers on their way to `f64`.

use crate::table::Scale;

/// A number as written: a ratio of whole numbers, or a decimal too long for one.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Number {
    /// Exactly `num`/`den`, `den` positive.
    Ratio(Rational),
    /// `digits` · 10^`exponent`, the digits holding their sign.
    Decimal { digits: String, exponent: i32 },
}

/// A ratio of whole numbers in lowest terms, the denominator positive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Rational {
    num: i128,
    den: i128,
}

fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

impl Rational {
    /// The ratio as digits and an exponent of ten, where it is such a decimal.
    fn decimal(&self) -> Option<(i128, i32)> {
        (0..=38_i32).find_map(|k| {
            let ten = 10_i128.checked_pow(k.cast_unsigned())?;
            (ten % self.den == 0)
                .then(|| self.num.checked_mul(ten / self.den))
                .flatten()
                .map(|digits| (digits, -k))
        })
    }

    pub(crate) const ZERO: Self = Self { num: 0, den: 1 };

    /// `None` when `den` is not positive.
    pub(crate) fn new(num: i128, den: i128) -> Option<Self> {
        if den <= 0 {
            return None;
        }
        let divisor = i128::try_from(gcd(num.unsigned_abs(), den.unsigned_abs())).ok()?;
        Some(Self {
            num: num / divisor,
            den: den / divisor,
        })
    }

    /// The sum, `None` beyond 128 bits.
    pub(crate) fn plus(self, other: Self) -> Option<Self> {
        let num = self
            .num
            .checked_mul(other.den)?
            .checked_add(other.num.checked_mul(self.den)?)?;
        Self::new(num, self.den.checked_mul(other.den)?)
    }

    /// The product, `None` beyond 128 bits.
    pub(crate) fn times(self, num: i128, den: i128) -> Option<Self> {
        let other = Self::new(num, den)?;
        // Cancel crosswise first, so that only true overflows are lost.
        let left = Self::new(self.num, other.den)?;
        let right = Self::new(other.num, self.den)?;
        Self::new(
            left.num.checked_mul(right.num)?,
            left.den.checked_mul(right.den)?,
        )
    }

    pub(crate) fn negated(self) -> Self {
        Self {
            num: -self.num,
            den: self.den,
        }
    }

    /// The nearest `f64` (ties to even).
    pub(crate) fn to_f64(self) -> f64 {
        let (num, den) = (self.num.unsigned_abs(), self.den.unsigned_abs());
        let (mut quotient, mut rest) = (num / den, num % den);
        let mut exponent = 0_i32;
        // 55 bits or more, and a last bit that stands for everything below it: the one
        // rounding is then that of the conversion to f64.
        while quotient < 1 << 54 && rest != 0 {
            rest <<= 1; // rest < den < 2^127
            quotient <<= 1;
            if rest >= den {
                rest -= den;
                quotient |= 1;
            }
            exponent -= 1;
        }
        if rest != 0 {
            quotient |= 1;
        }
        let size = quotient as f64 * f64::powi(2.0, exponent);
        if self.num < 0 { -size } else { size }
    }
}

impl Number {
    /// `digits` · 10^`exponent`; `digits` are decimal digits only.
    pub(crate) fn decimal(digits: &str, exponent: i32) -> Self {
        let trimmed = digits.trim_start_matches('0');
        let ratio = || {
            let num = if trimmed.is_empty() {
                0
            } else {
                trimmed.parse::<i128>().ok()?
            };
            let power = 10_i128.checked_pow(exponent.unsigned_abs())?;
            if exponent < 0 {
                Rational::new(num, power)
            } else {
                Rational::new(num.checked_mul(power)?, 1)
            }
        };
        match ratio() {
            Some(ratio) => Self::Ratio(ratio),
            None => Self::Decimal {
                digits: digits.to_owned(),
                exponent,
            },
        }
    }

    /// The number with its sign turned.
    pub(crate) fn negated(&self) -> Self {
        match self {
            Self::Ratio(ratio) => Self::Ratio(ratio.negated()),
            Self::Decimal { digits, exponent } => Self::Decimal {
                digits: format!("-{digits}"),
                exponent: *exponent,
            },
        }
    }

    /// The nearest `f64`.
    pub(crate) fn to_f64(&self) -> f64 {
        match self {
            Self::Ratio(ratio) => ratio.to_f64(),
            Self::Decimal { digits, exponent } => power_of_ten(digits, *exponent),
        }
    }

    /// The SI value, as a ratio while that is possible.
    pub(crate) fn to_si(&self, scale: Scale) -> Si {
        match (self, scale) {
            (Self::Ratio(ratio), Scale::Ratio { num, den }) => ratio.times(num, den),
            (Self::Ratio(ratio), Scale::Shifted { shift, num, den }) => Rational::new(shift, 100)
                .and_then(|shift| ratio.plus(shift))
                .and_then(|sum| sum.times(num, den)),
            _ => None,
        }
        .map_or_else(|| Si::Rounded(self.rounded(scale)), Si::Exact)
    }

    fn rounded(&self, scale: Scale) -> f64 {
        if let (Self::Decimal { digits, exponent }, Scale::Ratio { num: 1, den }) = (self, scale)
            && 10_i128.checked_pow(den.ilog10()) == Some(den)
            && let Ok(places) = i32::try_from(den.ilog10())
        {
            return power_of_ten(digits, exponent.saturating_sub(places));
        }
        // A decimal that was still a ratio: its digits again, so that it is rounded once.
        if let (Self::Ratio(ratio), Scale::Ratio { num: 1, den }) = (self, scale)
            && 10_i128.checked_pow(den.ilog10()) == Some(den)
            && let Ok(places) = i32::try_from(den.ilog10())
            && let Some((digits, exponent)) = ratio.decimal()
        {
            return power_of_ten(&digits.to_string(), exponent - places);
        }
        scale.to_si(self.to_f64())
    }
}

fn power_of_ten(digits: &str, exponent: i32) -> f64 {
    // Digits and an exponent always parse; the standard library rounds correctly.
    format!("{digits}e{exponent}").parse().unwrap_or(f64::NAN)
}

/// An SI value that is still exact, or one already rounded.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Si {
    Exact(Rational),
    Rounded(f64),
}

impl Si {
    pub(crate) fn plus(self, other: Self) -> Self {
        if let (Self::Exact(a), Self::Exact(b)) = (self, other)
            && let Some(sum) = a.plus(b)
        {
            return Self::Exact(sum);
        }
        Self::Rounded(self.to_f64() + other.to_f64())
    }

    /// The value with its sign turned when `negative`; keeps the sign of zero.
    pub(crate) fn signed(self, negative: bool) -> Self {
        match self {
            _ if !negative => self,
            Self::Exact(ratio) if ratio != Rational::ZERO => Self::Exact(ratio.negated()),
            _ => Self::Rounded(-self.to_f64()),
        }
    }

    pub(crate) fn to_f64(self) -> f64 {
        match self {
            Self::Exact(ratio) => ratio.to_f64(),
            Self::Rounded(value) => value,
        }
    }
}

//! Numbers as the shop reads them.

use units::{Fraction, Kind, Shop, System, format_bare, format_bare_kept, parse_typed, unit_name};

/// Writes numbers in one shop's units.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Words {
    shop: Shop,
}

/// Fineness from coarse to fine.
const FINENESS: [Fraction; 4] = [
    Fraction::Sixteenth,
    Fraction::ThirtySecond,
    Fraction::SixtyFourth,
    Fraction::Decimal,
];
/// A drill or tolerance is written so that what is read is this near to what was meant, m (own value).
const TRUE_TO: f64 = 0.05e-3;

impl Words {
    pub(crate) fn new(shop: Shop) -> Self {
        Self { shop }
    }

    /// A length in the unit the sheet's head names, as fine as it was meant: a hole drawn at
    /// 10 1/32 is not printed at 10 1/16.
    pub(crate) fn len(&self, metres: f64) -> String {
        format_bare_kept(Kind::Length, metres, &self.shop)
    }

    /// A drill, width or tolerance: as fine as it must be to be right, whatever the tape in hand.
    pub(crate) fn exact(&self, metres: f64) -> String {
        let mut text = self.len(metres);
        for fraction in FINENESS {
            let shop = Shop {
                fraction,
                ..self.shop
            };
            text = format_bare(Kind::Length, metres, &shop);
            let near = TRUE_TO.min(0.02 * metres.abs());
            if parse_typed(Kind::Length, &text, &shop).is_ok_and(|v| (v - metres).abs() <= near) {
                break;
            }
        }
        text
    }

    /// A length that must not read as nothing: written finer where the tape in hand would round it away.
    pub(crate) fn at_least_something(&self, metres: f64) -> String {
        let text = self.len(metres);
        if reads_zero(&text) {
            self.exact(metres)
        } else {
            text
        }
    }

    /// Whether a length loses more than a hundredth of a millimetre when it is written.
    pub(crate) fn rounds(&self, metres: f64) -> bool {
        parse_typed(Kind::Length, &self.len(metres), &self.shop)
            .map_or(true, |v| (v - metres).abs() > 1e-5)
    }

    /// The step lengths are rounded to: "1/16 in", "0.5 mm".
    pub(crate) fn step(&self) -> &'static str {
        match (self.shop.system, self.shop.fraction) {
            (System::InchPound, Fraction::Sixteenth) => "1/16 in",
            (System::InchPound, Fraction::ThirtySecond) => "1/32 in",
            (System::InchPound, Fraction::SixtyFourth) => "1/64 in",
            (System::InchPound, Fraction::Decimal) => "0.001 in",
            (System::Si, Fraction::Sixteenth) => "1 mm",
            (System::Si, Fraction::ThirtySecond) => "0.5 mm",
            (System::Si, Fraction::SixtyFourth) => "0.1 mm",
            (System::Si, Fraction::Decimal) => "0.01 mm",
        }
    }

    /// "in" or "mm".
    pub(crate) fn unit(&self) -> &'static str {
        unit_name(Kind::Length, &self.shop)
    }

    /// "inches" or "millimetres".
    pub(crate) fn unit_in_full(&self) -> &'static str {
        match self.shop.system {
            System::InchPound => "inches",
            System::Si => "millimetres",
        }
    }

    /// An angle's size in degrees with the word for its sense; the middle word alone where it reads zero.
    pub(crate) fn angle(&self, rad: f64, positive: &str, negative: &str, zero: &str) -> String {
        let text = format_bare(Kind::Angle, rad.abs(), &self.shop);
        if reads_zero(&text) {
            zero.to_owned()
        } else {
            format!("{text}° {}", if rad > 0.0 { positive } else { negative })
        }
    }

    /// Ahead of or behind the rear axle, in words.
    pub(crate) fn station(&self, x: f64) -> String {
        let text = self.len(x.abs());
        if reads_zero(&text) {
            "on the rear axle centreline".into()
        } else if x > 0.0 {
            format!("{text} ahead of the rear axle")
        } else {
            format!("{text} behind the rear axle")
        }
    }

    /// Out from the centreline with the side: "12 1/2 R".
    pub(crate) fn out_with_side(&self, y: f64) -> String {
        let text = self.len(y.abs());
        if reads_zero(&text) {
            text
        } else {
            format!("{text} {}", if y > 0.0 { "L" } else { "R" })
        }
    }
}

/// Whether a number reads as nothing.
fn reads_zero(text: &str) -> bool {
    text.bytes().all(|b| b == b'0' || b == b'.')
}

/// Nine decimals without zeros at the end: far finer than anything that can be measured, and short where
/// the number was.
pub(crate) fn digits(v: f64) -> String {
    let text = format!("{v:.9}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

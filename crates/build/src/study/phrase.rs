//! Sentences with quantities in them, written out only when the reader's units are known.

use units::{Kind, Quantity, Shop};

use super::Definition;

/// A sentence.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Phrase(Vec<Piece>);

#[derive(Debug, Clone, PartialEq)]
enum Piece {
    Text(String),
    Value(Quantity),
    Fine(f64),
    Kept(f64),
    Small(Kind, f64),
    Reading(&'static Definition, f64),
    Amount(&'static Definition, f64),
}

impl Phrase {
    /// Words behind what is there.
    #[must_use]
    pub fn t(mut self, text: impl Into<String>) -> Self {
        self.0.push(Piece::Text(text.into()));
        self
    }

    /// A quantity behind what is there, SI.
    #[must_use]
    pub fn q(mut self, kind: Kind, si: f64) -> Self {
        self.0.push(Piece::Value(Quantity { kind, si }));
        self
    }

    /// A reading's value behind what is there, as its gauge shows it.
    #[must_use]
    pub fn reading(mut self, definition: &'static Definition, si: f64) -> Self {
        self.0.push(Piece::Reading(definition, si));
        self
    }

    /// A difference between two values of a reading behind what is there.
    #[must_use]
    pub fn amount(mut self, definition: &'static Definition, si: f64) -> Self {
        self.0.push(Piece::Amount(definition, si));
        self
    }

    /// A length behind what is there, m.
    #[must_use]
    pub fn len(self, metres: f64) -> Self {
        self.q(Kind::Length, metres)
    }

    /// A small movement behind what is there, m: to a thousandth of an inch.
    #[must_use]
    pub fn fine(mut self, metres: f64) -> Self {
        self.0.push(Piece::Fine(metres));
        self
    }

    /// A length that somebody typed behind what is there, m: as fine as it was meant.
    #[must_use]
    pub fn kept(mut self, metres: f64) -> Self {
        self.0.push(Piece::Kept(metres));
        self
    }

    /// A small amount behind what is there, SI: to two significant digits.
    #[must_use]
    pub fn small(mut self, kind: Kind, si: f64) -> Self {
        self.0.push(Piece::Small(kind, si));
        self
    }

    /// What is left when it begins with these words.
    pub(super) fn without(&self, start: &str) -> Option<Self> {
        let Some(Piece::Text(first)) = self.0.first() else {
            return None;
        };
        let mut rest = self.clone();
        rest.0[0] = Piece::Text(first.strip_prefix(start)?.to_owned());
        Some(rest)
    }

    /// Another phrase behind what is there.
    #[must_use]
    pub fn join(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }

    /// Written out for a reader.
    pub fn show(&self, shop: &Shop) -> String {
        self.0
            .iter()
            .map(|p| match p {
                Piece::Text(t) => t.clone(),
                Piece::Value(q) => units::format(q.kind, q.si, shop),
                Piece::Fine(m) => units::format_fine(Kind::Length, *m, shop),
                Piece::Kept(m) => units::format_kept(Kind::Length, *m, shop),
                Piece::Small(kind, si) => show_to(*kind, *si, *si, shop),
                Piece::Reading(d, si) => d.display(*si, shop),
                Piece::Amount(d, si) => d.amount(*si, shop),
            })
            .collect()
    }
}

impl<T: Into<String>> From<T> for Phrase {
    fn from(text: T) -> Self {
        Self::default().t(text)
    }
}

/// A value with so many decimals that `resolution` (SI, of either sign) shows two digits; lengths to a thousandth of an
/// inch or the like.
pub fn show_to(kind: Kind, si: f64, resolution: f64, shop: &Shop) -> String {
    if kind == Kind::Length {
        return units::format_fine(kind, si, shop);
    }
    // The difference of two displayed values, so that a unit with an offset does not matter.
    let step = (units::display_value(kind, resolution, shop)
        - units::display_value(kind, 0.0, shop))
    .abs();
    let decimals = if step > 0.0 {
        (1.0 - step.log10().floor()).clamp(0.0, 4.0) as usize
    } else {
        0
    };
    let value = units::display_value(kind, si, shop);
    // No minus before nothing.
    let value = if value.abs() < 0.5 * 10f64.powi(-(decimals as i32)) {
        0.0
    } else {
        value
    };
    match units::unit_name(kind, shop) {
        "deg" => format!("{value:.decimals$}°"),
        "" => format!("{value:.decimals$}"),
        unit => format!("{value:.decimals$} {unit}"),
    }
}

//! What the sheet is about: brackets with their letters, holes with their use, the numbers' dress.

use build::{Along, Bracket, Build, LinkEnd, SecondReference, Sides, Study};
use units::Shop;

use super::words::Words;

/// Everything the parts of the sheet read.
pub(crate) struct Facts<'a> {
    pub(crate) build: &'a Build,
    pub(crate) study: &'a Study,
    pub(crate) words: Words,
    pub(crate) pieces: Vec<Piece<'a>>,
}

/// A bracket with its letter.
pub(crate) struct Piece<'a> {
    pub(crate) letter: String,
    pub(crate) bracket: &'a Bracket,
    pub(crate) holes: Vec<Hole>,
}

/// A hole of the left plate, or of the only one.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hole {
    /// From 1.
    pub(crate) n: usize,
    /// Ahead, left, up, m.
    pub(crate) at: [f64; 3],
    pub(crate) used: Used,
}

/// Where a hole is in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Used {
    No,
    /// On both sides, or a single bracket's hole.
    Yes,
    Left,
    Right,
}

impl Used {
    pub(crate) fn anywhere(self) -> bool {
        self != Used::No
    }

    /// On the left plate, or the only one.
    pub(crate) fn on_left(self) -> bool {
        matches!(self, Used::Yes | Used::Left)
    }
}

impl Piece<'_> {
    pub(crate) fn pair(&self) -> bool {
        self.bracket.sides == Sides::Pair
    }

    /// The holes in use; hole 1 where none is.
    pub(crate) fn leading(&self) -> Vec<Hole> {
        let used: Vec<Hole> = self
            .holes
            .iter()
            .copied()
            .filter(|h| h.used.anywhere())
            .collect();
        if used.is_empty() {
            self.holes.first().copied().into_iter().collect()
        } else {
            used
        }
    }

    /// Near enough to the rear axle to be drawn in one view with it (own limits).
    pub(crate) fn in_view(&self) -> bool {
        !self.holes.is_empty()
            && self
                .holes
                .iter()
                .all(|h| h.at[0].abs() < 3.6 && h.at[1].abs() < 1.6 && h.at[2].abs() < 1.8)
    }
}

impl<'a> Facts<'a> {
    pub(crate) fn new(build: &'a Build, study: &'a Study, shop: Shop) -> Self {
        let pieces = build
            .rear
            .brackets
            .iter()
            .enumerate()
            .map(|(k, bracket)| Piece {
                letter: letter(k),
                bracket,
                holes: holes(build, bracket),
            })
            .collect();
        Self {
            build,
            study,
            words: Words::new(shop),
            pieces,
        }
    }

    /// The brackets that can be drawn in one view with the axle.
    pub(crate) fn drawn(&self) -> impl Iterator<Item = &Piece<'a>> {
        self.pieces.iter().filter(|p| p.in_view())
    }

    /// What the views leave out, in words; empty if nothing.
    pub(crate) fn not_drawn(&self) -> String {
        let far: Vec<&str> = self
            .pieces
            .iter()
            .filter(|p| !p.holes.is_empty() && !p.in_view())
            .map(|p| p.letter.as_str())
            .collect();
        match far.len() {
            0 => String::new(),
            1..=8 => format!("too far off to draw: {}", far.join(", ")),
            n => format!(
                "too far off to draw: {} and {} more",
                far[..6].join(", "),
                n - 6
            ),
        }
    }

    /// Distance of a hole from the second reference, m: ahead, outward or up from it.
    ///
    /// Outward distances are taken on the hole's own side, from the face on that side.
    pub(crate) fn off_reference(&self, piece: &Piece<'_>, hole: &Hole) -> Option<f64> {
        let r = self.build.rear.second_reference.as_ref()?;
        let at = r.at.si();
        Some(match r.along {
            Along::Station => hole.at[0] - at,
            Along::Height => hole.at[2] - at,
            Along::Offset if piece.pair() => hole.at[1] - at.abs(),
            Along::Offset => hole.at[1].abs() - at.abs(),
        })
    }

    pub(crate) fn reference(&self) -> Option<&'a SecondReference> {
        self.build.rear.second_reference.as_ref()
    }

    /// Letter of the bracket with this id.
    pub(crate) fn letter_of(&self, id: &str) -> Option<&str> {
        self.pieces
            .iter()
            .find(|p| p.bracket.id == id)
            .map(|p| p.letter.as_str())
    }
}

/// A to Z, then AA, AB …
pub(crate) fn letter(k: usize) -> String {
    let mut out = String::new();
    let mut k = k + 1;
    while k > 0 {
        let digit = u8::try_from((k - 1) % 26).unwrap_or(0);
        out.insert(0, char::from(b'A' + digit));
        k = (k - 1) / 26;
    }
    out
}

fn holes(build: &Build, bracket: &Bracket) -> Vec<Hole> {
    let ends: Vec<(&LinkEnd, Sides)> = build
        .rear
        .links
        .iter()
        .flat_map(|l| [(&l.at_frame, l.sides), (&l.at_axle, l.sides)])
        .filter(|(e, _)| e.bracket == bracket.id)
        .collect();
    (1..=bracket.hole_count())
        .filter_map(|n| {
            let at = bracket.hole(n)?.si();
            let left = ends.iter().any(|(e, _)| e.hole == n);
            let right = ends
                .iter()
                .any(|(e, s)| *s == Sides::Pair && e.right_hole.unwrap_or(e.hole) == n);
            let used = match (left, right, bracket.sides) {
                (false, false, _) => Used::No,
                (true, true, _) | (_, _, Sides::Single) => Used::Yes,
                (true, false, _) => Used::Left,
                (false, true, _) => Used::Right,
            };
            Some(Hole { n, at, used })
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    #[test]
    fn letters_run_past_z() {
        let names: Vec<String> = [0, 25, 26, 51, 52, 701, 702].map(super::letter).into();
        assert_eq!(names, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}

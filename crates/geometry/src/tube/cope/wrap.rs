//! The template that is wrapped round a tube's end.

use super::profile::Cope;
use super::{BadInput, End};
use crate::tube::{not_negative, section::Section};

/// A wrap template, flat, m. x runs with φ from the scribe line; y is the distance from the
/// long-point line, the template's straight edge, into the tube. Printed side out and end B
/// up the page, y runs up the page at end A and down the page at end B, x to the right at
/// both.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrap {
    /// Length once round: 2π(r + paper/2) on round tube.
    pub girth: f64,
    /// The cut, one full turn, first and last place the same.
    pub cut: Vec<[f64; 2]>,
    /// x of the scribe line: 0.
    pub scribe: f64,
    /// x of each main's clock ψ on round tube, in order of the mains, within half a girth of
    /// the scribe line.
    pub clocks: Vec<f64>,
    /// Whether y runs up the page: end A.
    pub up_the_page: bool,
}

impl Cope {
    /// Template for a sheet of thickness `paper` (m, 0 where it does not matter), the outer
    /// profile or, for a cut straight in, the square one, of `steps` even steps (8 to 7200).
    ///
    /// # Errors
    /// A paper thickness that is negative, not finite or more than 10 mm.
    pub fn wrap(&self, paper: f64, square: bool, steps: usize) -> Result<Wrap, BadInput> {
        let what = "paper thickness";
        if not_negative(what, paper)? > 0.01 {
            return Err(BadInput::TooMuch {
                what,
                value: paper,
                most: 0.01,
            });
        }
        let steps = steps.clamp(8, 7200);
        let turn = self.section.turn();
        let line = if square {
            self.square_long_point().s
        } else {
            self.long_point().s
        };
        let cut = (0..=steps).map(|step| {
            let at = turn * (step as f64 / steps as f64 - 0.5);
            let s = if square {
                self.square(at)
            } else {
                self.outer(at)
            };
            [self.section.wrapped(at, paper), s - line]
        });
        let round = matches!(self.section, Section::Round { .. });
        let clocks = self.pairs.iter().filter(|_| round);
        Ok(Wrap {
            girth: self.section.wrapped(turn, paper),
            cut: cut.collect(),
            scribe: 0.0,
            clocks: clocks
                .map(|p| self.section.wrapped(p.clock, paper))
                .collect(),
            up_the_page: self.landing.end == End::A,
        })
    }
}

//! Tubes coloured by a number.

use std::collections::HashMap;

use eframe::egui::Color32;

use super::super::theme::Palette;

/// How a tube is painted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tint {
    /// Its colour.
    pub colour: Color32,
    /// Width of its edges, points: the second cue.
    pub wide: f32,
}

/// Colours of tubes by their short name.
#[derive(Debug, Clone, PartialEq)]
pub struct Tints {
    /// Of tubes without a number.
    pub none: Tint,
    /// Of those with one.
    pub tubes: HashMap<String, Tint>,
    /// What is written beside a tube; none: only its colour.
    pub labels: HashMap<String, String>,
    /// What the scale bar says: its head, and its lower and upper end.
    pub scale: [String; 3],
}

impl Tints {
    /// Tubes by shares from 0 to 1, with words for some of them.
    pub fn by_share(
        palette: &Palette,
        shares: impl IntoIterator<Item = (String, f64)>,
        labels: HashMap<String, String>,
        scale: [String; 3],
    ) -> Self {
        let tubes = shares
            .into_iter()
            .map(|(id, share)| (id, Self::at(palette, share)))
            .collect();
        Self {
            none: Tint {
                colour: palette.faint(palette.dim, 0.5),
                wide: 0.8,
            },
            tubes,
            labels,
            scale,
        }
    }

    /// The tint of a share from 0 to 1.
    pub fn at(palette: &Palette, share: f64) -> Tint {
        let share = if share.is_finite() {
            share.clamp(0.0, 1.0) as f32
        } else {
            0.0
        };
        Tint {
            colour: palette.heat(share),
            wide: 0.9 + 2.6 * share,
        }
    }

    /// The tint of a tube.
    pub fn of(&self, tube: &str) -> Tint {
        self.tubes.get(tube).copied().unwrap_or(self.none)
    }
}

//! Panels below the drawing of the weld-out page, one for each topic but the parts.

use eframe::egui::Ui;

use super::bench::{Bench, Tray};

/// What the panels remember between frames.
#[derive(Debug, Default)]
pub struct Panels {}

impl Panels {
    /// What the welds pull.
    pub fn pull(&mut self, ui: &mut Ui, _bench: &Bench<'_>, _tray: &mut Tray) {
        ui.label("What each weld pulls of the control dimensions.");
    }

    /// The weld order.
    pub fn order(&mut self, ui: &mut Ui, _bench: &Bench<'_>, _tray: &mut Tray) {
        ui.label("The order in which the joints are welded.");
    }

    /// Correction beads.
    pub fn beads(&mut self, ui: &mut Ui, _bench: &Bench<'_>, _tray: &mut Tray) {
        ui.label("Correction beads laid and to come.");
    }

    /// The shop's record.
    pub fn record(&mut self, ui: &mut Ui, _bench: &Bench<'_>, _tray: &mut Tray) {
        ui.label("What the shop has learned of its welds.");
    }

    /// Filler and gas.
    pub fn gas(&mut self, ui: &mut Ui, _bench: &Bench<'_>, _tray: &mut Tray) {
        ui.label("Filler metal, gas and arc settings.");
    }
}

//! Driveshaft: joint angles and slip over travel.

use eframe::egui::Ui;

use super::bench::{Bench, Tray};

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct DrivelinePage {}

impl DrivelinePage {
    /// Fit every view at the next chance.
    pub fn fit(&mut self) {}

    /// Draws the page.
    pub fn show(&mut self, _ui: &mut Ui, _bench: &Bench<'_>, _tray: &mut Tray) {}
}

//! The numbers of weld-out: what the welds pull, in which order they are laid, correction beads,
//! the shop's record, filler and gas.

mod arcs;
mod bead_forms;
mod bead_places;
mod bead_plot;
mod beads;
pub(in crate::ui) mod bits;
mod bring;
mod coupons;
mod gas;
mod history;
mod measure;
mod order;
mod pull;
mod pull_detail;
mod record;
mod words;

use build::Part;
use eframe::egui::Ui;

use super::bench::{Bench, Tray};
use super::springs_page::common;

/// What the panels remember between frames: what is chosen and what is typed but not in the
/// document yet.
#[derive(Debug, Default)]
pub struct Panels {
    generation: u64,
    /// Id of the dimension in hand: the last one clicked anywhere.
    dimension: Option<String>,
    pull: pull::Pull,
    order: order::Order,
    beads: beads::Beads,
    record: record::Record,
    gas: gas::Gas,
}

impl Panels {
    /// What the welds pull out of each control dimension.
    pub fn pull(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let dimension = self.in_hand(bench);
        self.pull.show(ui, bench, dimension, tray);
    }

    /// The weld order with the drift after each joint.
    pub fn order(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let dimension = self.in_hand(bench);
        self.order.show(ui, bench, dimension, tray);
    }

    /// Correction beads of the dimension in hand.
    pub fn beads(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let dimension = self.in_hand(bench);
        self.beads.show(ui, bench, dimension, tray);
    }

    /// The shop's record of what welds pulled.
    pub fn record(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        self.in_hand(bench);
        self.record.show(ui, bench, tray);
    }

    /// Filler and gas.
    pub fn gas(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        self.in_hand(bench);
        self.gas.show(ui, bench, tray);
    }

    /// The dimension in hand as its place in the record: what was clicked last, else one with
    /// correction beads, else the first.
    fn in_hand(&mut self, bench: &Bench<'_>) -> Option<usize> {
        if self.generation != bench.generation {
            *self = Self {
                generation: bench.generation,
                ..Self::default()
            };
        }
        let weld = &bench.build.weld_out;
        let clicked = match bench.selected {
            Some(Part::Dimension(id)) => Some(id.as_str()),
            Some(Part::Correction(id)) => weld.correction(id).map(|c| c.dimension.as_str()),
            Some(Part::Reading(id)) => ["weld.dimension.", "weld.change.", "weld.to_come."]
                .iter()
                .chain(&["weld.per_bead.", "weld.beads_to_lay."])
                .find_map(|of| id.strip_prefix(of)),
            _ => None,
        };
        let place = |id: &str| weld.dimensions.iter().position(|d| d.id == id);
        if let Some(id) = clicked
            && place(id).is_some()
        {
            self.dimension = Some(id.to_owned());
        }
        self.dimension
            .as_deref()
            .and_then(place)
            .or_else(|| weld.corrections.last().and_then(|c| place(&c.dimension)))
            .or((!weld.dimensions.is_empty()).then_some(0))
    }
}

/// What goes with every weld.
const CAUTIONS: &str = "Helmet, gloves, covered skin; nobody else looks at the arc. Zinc or plating ground off first: \
     its fumes make you ill. Air moving, fire watch for half an hour after. Cylinder chained. Closed tubes vented before \
     the last bead. Structural welds by qualified people; on roll structures the rule book decides.";

/// The cautions in their box.
pub fn cautions(ui: &mut Ui, bench: &Bench<'_>) {
    common::caution(ui, bench, CAUTIONS);
}

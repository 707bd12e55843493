//! The tubes: the list, and the card of the one in hand.

use build::{Part, Tube};
use eframe::egui::Ui;

use super::super::assembly_view::words::section;
use super::super::bench::{Action, Bench, Tray};
use super::super::springs_page::common;
use super::super::weld_page::parts::pieces;
use super::super::weld_panels::bits;
use super::{card, words};

/// What the topic remembers.
#[derive(Debug, Default)]
pub(super) struct State {
    /// The tube in hand: the last one clicked anywhere.
    tube: Option<String>,
    /// Distance of the next bend from end A, m.
    pub at: Option<f64>,
}

impl State {
    /// The tube in hand.
    pub fn in_hand<'a>(&mut self, bench: &Bench<'a>) -> Option<&'a Tube> {
        let clicked = match bench.selected {
            Some(Part::Tube(id)) => Some(id),
            Some(Part::Reading(id)) => {
                let tubes = bench.build.assembly.tubes.iter();
                let mut of = tubes.filter(|t| id.strip_prefix("tube.cut.") == Some(t.id.as_str()));
                of.next().map(|t| &t.id)
            }
            _ => None,
        };
        if let Some(id) = clicked
            && self.tube.as_ref() != Some(id)
        {
            self.tube = Some(id.clone());
            self.at = None;
        }
        let found = self
            .tube
            .as_deref()
            .and_then(|id| bench.build.assembly.tube(id));
        found.or_else(|| bench.build.assembly.tubes.first())
    }
}

pub(super) fn show(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    bits::two(state, ui, bench, tray, "tubes columns", 0.64, left, list);
}

fn left(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    if let Some(Part::Node(id)) = bench.selected
        && let Some(node) = bench.build.assembly.node(id)
    {
        pieces::node(ui, bench, node, tray);
        ui.separator();
    }
    if let Some(tube) = state.in_hand(bench) {
        card::show(state, ui, bench, tube, tray);
    }
    common::caution(ui, bench, build::TUBE_CAUTION);
}

fn list(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let study = &bench.study.tubes;
    let chosen = state.in_hand(bench).map(|t| t.id.clone());
    common::head(
        ui,
        bench,
        "All tubes",
        &format!(
            "{} · {} to saw · {}",
            study.tubes.len(),
            bench.length(study.length()),
            words::mass(bench, study.mass())
        ),
    );
    for (tube, made) in bench.build.assembly.tubes.iter().zip(&study.tubes) {
        let (right, under, colour) = match &made.part {
            Ok(part) => (
                format!(
                    "{} · {}",
                    words::marked(bench, part.cut),
                    words::mass(bench, part.mass)
                ),
                format!(
                    "{}{} · {}",
                    section(&tube.section, bench.shop()),
                    match part.bends.len() {
                        0 => String::new(),
                        1 => " · 1 bend".to_owned(),
                        n => format!(" · {n} bends"),
                    },
                    words::ends_short(bench, part)
                ),
                bench.palette.ink,
            ),
            Err(why) => (
                "can not be made".to_owned(),
                why.show(bench.shop()),
                bench.palette.bad,
            ),
        };
        let row = bits::Row {
            name: format!("Choose tube {}", tube.id),
            label: &tube.label,
            right: &right,
            colour,
            under: &under,
            drawn: "",
            chosen: chosen.as_deref() == Some(tube.id.as_str()),
            faint: false,
        };
        if bits::row(ui, bench, &row).clicked() {
            tray.put(Action::Select(Part::Tube(tube.id.clone())));
        }
    }
}

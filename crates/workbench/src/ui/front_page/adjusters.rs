//! What a turn of each adjuster does, and the turns for the bands that are asked for.

use build::{FrontEnd, FrontMotion};
use eframe::egui::{self, Ui};
use units::Kind;

use super::super::bench::Bench;
use super::super::springs_page::common;
use super::super::theme::{bold, plain};

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd, m: &FrontMotion) {
    let p = bench.palette;
    common::head(
        ui,
        bench,
        "One turn, wheel height and rack held",
        "toe last: everything moves it",
    );
    if front.adjusters.is_empty() {
        common::note(
            ui,
            bench,
            "No adjusters are described yet. A build file lists them under front_end: which rod a sleeve lengthens, \
             or which inner point a shim shifts.",
        );
        return;
    }
    let angle = |v| bench.show(Kind::Angle, v);
    egui::Grid::new("adjusters")
        .num_columns(5)
        .spacing([12.0, 4.0])
        .striped(true)
        .show(ui, |ui| {
            for word in ["", "camber", "caster", "toe-in", "to the bands"] {
                ui.label(egui::RichText::new(word).font(plain(11.0)).color(p.dim));
            }
            ui.end_row();
            for (i, (a, effect)) in front.adjusters.iter().zip(&m.adjusters).enumerate() {
                let name = format!("{}\none {}", a.label, a.unit);
                ui.label(egui::RichText::new(name).font(plain(12.0)));
                match effect {
                    Ok((rate, one)) => {
                        let three = |a: &geometry::front::Alignment| [a.camber, a.caster, a.toe_in];
                        for (one, rate) in three(one).into_iter().zip(three(rate)) {
                            ui.label(angle(one))
                                .on_hover_text(format!("{} per turn at first", angle(rate)));
                        }
                    }
                    Err(why) => {
                        ui.colored_label(p.bad, why.to_string());
                        ui.label("");
                        ui.label("");
                    }
                }
                let turns = match &m.turns {
                    Some(Ok(all)) => all.get(i).map_or_else(String::new, |t| format!("{t:+.2}")),
                    Some(Err(_)) | None => "–".to_owned(),
                };
                ui.label(egui::RichText::new(turns).font(bold(13.0)));
                ui.end_row();
            }
        });
    match &m.turns {
        None => common::note(
            ui,
            bench,
            "Set a band for camber, caster or toe-in in the readings: the last column then says how far to turn to its middle.",
        ),
        Some(Err(why)) => {
            ui.colored_label(p.bad, format!("No turns: {why}."));
        }
        Some(Ok(_)) => common::note(
            ui,
            bench,
            "Turns to the middle of the bands, from the first-order table: turn, measure, turn the rest.",
        ),
    }
}

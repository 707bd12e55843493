//! Bump steer, and the place of the rack that straightens it.

use build::{Edit, FrontEnd, FrontMotion, FrontProblem, Place, RollingEdit};
use eframe::egui::{self, Ui};
use units::Kind;

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::bold;
use super::said;

pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    front: &FrontEnd,
    m: &FrontMotion,
    tray: &mut Tray,
) {
    common::head(ui, bench, "Toe over travel", "one wheel, rack held");
    egui::Grid::new("bump steer")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            for (word, id) in [
                ("in the first inch of bump", "front.bump_steer"),
                ("bend of the curve, in an inch", "front.curvature"),
                ("over all the travel", "front.bump_steer.range"),
            ] {
                ui.label(word);
                ui.label(egui::RichText::new(said(bench, id)).font(bold(13.0)));
                ui.end_row();
            }
        });
    common::note(
        ui,
        bench,
        "A straight slope comes from the rack's height, a bend from the tie rod's length. Both wheels together do twice as much.",
    );
    ui.separator();
    common::head(
        ui,
        bench,
        "Rack height alone",
        "no toe change at ride height",
    );
    let no = |ui: &mut Ui, why: &FrontProblem| {
        ui.colored_label(bench.palette.bad, format!("No answer: {why}."));
    };
    match &m.rack_fix {
        Ok(fix) => offer(
            ui,
            bench,
            front,
            [0.0, fix.shift],
            fix.tie_rod_length,
            "Take over the rack height",
            tray,
        ),
        Err(why) => no(ui, why),
    }
    ui.separator();
    common::head(
        ui,
        bench,
        "Rack height and tie-rod length",
        "slope and bend gone",
    );
    match &m.straight {
        Ok(fix) => offer(
            ui,
            bench,
            front,
            [fix.shift_y, fix.shift_z],
            fix.tie_rod_length,
            "Take over height and length",
            tray,
        ),
        Err(why) => no(ui, why),
    }
    common::note(
        ui,
        bench,
        "The tie rods are cut again to keep the toe as set. Measure the real curve with the spring out before anything is welded.",
    );
}

/// A new place of the inner tie-rod end, and the button that takes it over.
fn offer(
    ui: &mut Ui,
    bench: &Bench<'_>,
    front: &FrontEnd,
    [out, up]: [f64; 2],
    length: f64,
    button: &'static str,
    tray: &mut Tray,
) {
    let kept = |v: f64| bench.kept(Kind::Length, v);
    let way = |v: f64, more: &str, less: &str| {
        format!("{} {}", kept(v.abs()), if v < 0.0 { less } else { more })
    };
    let mut text = format!("Inner ends {}", way(up, "up", "down"));
    if out != 0.0 {
        text = format!("{text}, {}", way(out, "out", "in"));
    }
    text = format!("{text}; tie rods {} eye to eye", kept(length));
    ui.add(egui::Label::new(text).wrap());
    let at = front.tie_rod.inner.si();
    let sane = up.abs() < at[2].abs().max(0.5) && at[1] + out > 0.0;
    let r = ui.add_enabled(sane, egui::Button::new(button));
    if r.on_disabled_hover_text("There is no room for a rack in that place")
        .clicked()
    {
        let mut new = front.clone();
        new.tie_rod.inner = Place::from_si([at[0], at[1] + out, at[2] + up]);
        tray.edit(Edit::Rolling(RollingEdit::FrontEnd(
            button,
            Some(Box::new(new)),
        )));
    }
}

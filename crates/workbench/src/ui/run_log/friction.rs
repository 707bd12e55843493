//! The friction the 60 ft times give, beside the one that was entered; used only when asked for.

use build::{FittedFriction, JointFit, RunEdit, fields};
use eframe::egui::{Grid, RichText, Ui};
use units::Kind;

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::view::Shown;
use super::words;

/// Most runs listed.
const LISTED: usize = 24;

fn figure(f: FittedFriction) -> String {
    format!("{:.3} ± {:.3}", f.friction, f.sigma)
}

/// What was fitted of the runs that count, oldest first.
fn ticked(shown: &Shown<'_>) -> Vec<FittedFriction> {
    shown
        .all
        .iter()
        .filter(|r| r.record.learn)
        .filter_map(|r| r.model?.friction.as_ref()?.as_ref().ok().copied())
        .filter(|f| f.friction.is_finite() && f.sigma.is_finite())
        .collect()
}

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, shown: &Shown<'_>, tray: &mut Tray) {
    let p = bench.palette;
    common::head(
        ui,
        bench,
        "Tyre friction from 60 ft",
        "one standard deviation",
    );
    let mut timed: Vec<_> = shown
        .all
        .iter()
        .filter(|r| r.record.times.sixty_foot.is_some())
        .collect();
    if timed.is_empty() {
        words::say(ui, "No run has a 60 ft time: nothing to fit from.");
        return;
    }
    let left_out = timed.len().saturating_sub(LISTED);
    timed.drain(..left_out);
    if left_out > 0 {
        common::note(
            ui,
            bench,
            format!("The last {LISTED} of them; all that are ticked count."),
        );
    }
    let mut why = Vec::new();
    Grid::new("run friction")
        .num_columns(3)
        .spacing([14.0, 3.0])
        .show(ui, |ui| {
            for r in timed {
                let fit = r.model.and_then(|m| m.friction.as_ref());
                let (text, colour) = match fit {
                    Some(Ok(f)) => (figure(*f), if r.record.learn { p.ink } else { p.dim }),
                    Some(Err(e)) => {
                        why.push(format!("{}: {}", r.record.id, e.show(bench.shop())));
                        ("no fit".to_owned(), p.bad)
                    }
                    None => (words::NONE.to_owned(), p.dim),
                };
                let small = |t: String| RichText::new(t).font(plain(12.0)).color(colour);
                ui.label(small(r.record.id.clone()));
                ui.label(small(text));
                let counts = if r.record.learn {
                    "counts"
                } else {
                    "not ticked"
                };
                ui.label(small(counts.to_owned()));
                ui.end_row();
            }
        });
    for line in why.iter().take(4) {
        common::note(ui, bench, line.clone());
    }
    together(ui, bench, &ticked(shown), tray);
    if let Some(joint) = bench.study.run.joint_fit() {
        both(ui, bench, &joint, tray);
    }
}

/// An engine speed over another with its sign.
fn off(bench: &Bench<'_>, si: f64) -> String {
    let shown = units::display_value(Kind::RotationSpeed, si, bench.shop()).round();
    match shown {
        x if x > 0.0 => format!("+{x:.0}"),
        x if x < 0.0 => format!("−{:.0}", -x),
        _ => "0".to_owned(),
    }
}

/// The range of a field holds a value.
fn holds(id: &str, si: f64) -> bool {
    let field = fields::FIELDS.iter().find(|f| f.id == id);
    field.is_none_or(|f| si >= f.low && si <= f.high)
}

/// Friction and launch rpm of the ticked runs together.
fn both(ui: &mut Ui, bench: &Bench<'_>, joint: &JointFit, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Friction and launch rpm together",
        "of the ticked runs' 60 and 330 ft",
    );
    let (fit, total) = match (&joint.fit, joint.off) {
        (Ok(fit), Some(off)) => (fit, off),
        (Err(why), _) => {
            words::say(ui, format!("No pair: {}.", why.show(bench.shop())));
            return;
        }
        (Ok(_), None) => return,
    };
    let unit = units::unit_name(Kind::RotationSpeed, bench.shop());
    let spread = |si: f64| {
        let shown = units::display_value(Kind::RotationSpeed, si, bench.shop());
        format!("{shown:.0} {unit}")
    };
    let prior = FittedFriction {
        friction: fit.prior.friction,
        sigma: fit.prior.friction_sigma,
    };
    let found = FittedFriction {
        friction: fit.friction,
        sigma: fit.friction_sigma,
    };
    Grid::new("friction and launch")
        .num_columns(3)
        .spacing([14.0, 3.0])
        .show(ui, |ui| {
            let small = |t: &str| RichText::new(t).font(plain(11.0)).color(bench.palette.dim);
            ui.label("");
            ui.label(small("friction"));
            ui.label(small("launch off by"));
            ui.end_row();
            for (label, f, si, sigma, strong) in [
                (
                    "entered",
                    prior,
                    joint.entered_off,
                    fit.prior.launch_sigma,
                    false,
                ),
                ("with the runs", found, total, fit.launch_sigma, true),
            ] {
                ui.label(RichText::new(label).font(plain(12.5)));
                let font = || if strong { bold(12.5) } else { plain(12.5) };
                ui.label(RichText::new(figure(f)).font(font()));
                let text = format!("{} ± {}", off(bench, si), spread(sigma));
                ui.label(RichText::new(text).font(font()));
                ui.end_row();
            }
        });
    for line in joint.says() {
        common::note(ui, bench, format!("{}.", line.show(bench.shop())));
    }
    let fits_in = holds("power.friction", fit.friction) && holds("run.launch_off", total);
    let text = format!("Use {:.3} and {} {unit}", fit.friction, off(bench, total));
    let r = ui
        .add_enabled(fits_in, eframe::egui::Button::new(text))
        .accessible_name("Use the fitted friction and launch rpm")
        .on_hover_text(
            "Writes the tyre's friction and how far the launch rpm is off; one step to undo",
        )
        .on_disabled_hover_text("No tyre or engine is like that: look at the times");
    if r.clicked() {
        let edit = RunEdit::TakeLaunchFit {
            friction: fit.friction,
            off: total,
        };
        words::edit(tray, edit);
    }
}

fn together(ui: &mut Ui, bench: &Bench<'_>, fits: &[FittedFriction], tray: &mut Tray) {
    let b = bench.build;
    let prior = FittedFriction {
        friction: b.power.friction.si(),
        sigma: b.power.friction.si() * b.run.unsure.friction.si(),
    };
    let Some(fitted) = FittedFriction::together(fits) else {
        words::say(
            ui,
            format!(
                "Entered: {}. Tick the runs that left as hard as the tyres held, and they are put together here.",
                figure(prior)
            ),
        );
        return;
    };
    let both = fitted.with_prior(prior.friction, prior.sigma);
    Grid::new("friction together")
        .num_columns(2)
        .spacing([14.0, 3.0])
        .show(ui, |ui| {
            let runs = match fits.len() {
                1 => "the ticked run".to_owned(),
                n => format!("{n} ticked runs together"),
            };
            for (label, f, strong) in [
                (runs, fitted, false),
                ("entered".to_owned(), prior, false),
                ("both together".to_owned(), both, true),
            ] {
                ui.label(RichText::new(label).font(plain(12.5)));
                let font = if strong { bold(12.5) } else { plain(12.5) };
                ui.label(RichText::new(figure(f)).font(font));
                ui.end_row();
            }
        });
    let range = fields::FIELDS.iter().find(|f| f.id == "power.friction");
    let fits_in = range.is_none_or(|r| both.friction >= r.low && both.friction <= r.high);
    let r = ui.add_enabled(
        fits_in,
        eframe::egui::Button::new(format!("Use {:.3}", both.friction)),
    );
    let r = r
        .accessible_name("Use the fitted friction")
        .on_hover_text("Writes both together as the tyre's friction; one step to undo")
        .on_disabled_hover_text("No tyre has this friction: look at the times");
    if r.clicked() {
        words::edit(tray, RunEdit::TakeFriction(both.friction));
    }
    common::note(
        ui,
        bench,
        "Nothing uses it until you do. Once used it already holds these runs: untick them, or they count twice.",
    );
}

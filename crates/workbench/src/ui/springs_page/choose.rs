//! Springs of a catalogue that give a wanted ride frequency, and both ends of the car side by side.

use build::{Coilover, Edit, fields};
use eframe::egui::{self, ScrollArea, Ui};
use units::{Kind, SpringRate, System};

use super::super::bench::{Bench, Tray};
use super::super::theme::{bold, plain};
use super::super::typed;
use super::common::{self, FIELD};

/// Rows shown: more than a person reads.
const ROWS: usize = 40;
/// Most rates of a catalogue looked through in a frame.
const MOST: f64 = 5000.0;

/// What is looked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wanted {
    /// Least rate, greatest rate, step, N/m; none: what shops of the unit system stock.
    catalogue: Option<[f64; 3]>,
    /// Frequency from and to, Hz.
    band: [f64; 2],
}

impl Default for Wanted {
    /// 1.2 to 1.6 Hz: the rear of a firm street car (common practice, no source).
    fn default() -> Self {
        Self {
            catalogue: None,
            band: [1.2, 1.6],
        }
    }
}

/// Rates in round steps of the unit system, N/m (common practice, no source).
fn stocked(system: System) -> [f64; 3] {
    let (unit, figures) = match system {
        System::InchPound => (4.448_221_615_260_5 / 0.0254, [80.0, 300.0, 10.0]),
        System::Si => (1000.0, [15.0, 50.0, 2.5]),
    };
    figures.map(|f| f * unit)
}

/// The chooser of the coil-over with this index.
pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    index: usize,
    x: &Coilover,
    wanted: &mut Wanted,
    tray: &mut Tray,
) {
    common::head(ui, bench, "Choose a spring", "of the same free length");
    let mut catalogue = wanted
        .catalogue
        .unwrap_or_else(|| stocked(bench.shop().system));
    egui::Grid::new("catalogue")
        .num_columns(6)
        .min_col_width(0.0)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            let mut one = |ui: &mut Ui, word: &str, name: &str, kind, slot: &mut f64| {
                ui.label(word);
                let typed = typed::field(ui, bench, name, name, kind, *slot, FIELD, tray);
                let changed = typed.is_some();
                *slot = typed.unwrap_or(*slot);
                changed
            };
            let mut changed = false;
            for (k, (word, name)) in [
                ("rates from", "Least rate"),
                ("to", "Greatest rate"),
                ("step", "Rate step"),
            ]
            .into_iter()
            .enumerate()
            {
                changed |= one(ui, word, name, Kind::SpringRate, &mut catalogue[k]);
            }
            ui.end_row();
            if changed {
                wanted.catalogue = Some(catalogue);
            }
            let [low, high] = &mut wanted.band;
            one(ui, "frequency", "Frequency from", Kind::Frequency, low);
            one(ui, "to", "Frequency to", Kind::Frequency, high);
            ui.end_row();
        });
    choices(ui, bench, index, x, catalogue, wanted.band, tray);
}

fn choices(
    ui: &mut Ui,
    bench: &Bench<'_>,
    index: usize,
    x: &Coilover,
    catalogue: [f64; 3],
    [low, high]: [f64; 2],
    tray: &mut Tray,
) {
    let [least, greatest, step] = catalogue;
    let wrong = if !(least > 0.0 && step > 0.0) {
        Some("Rates and step must be above zero.")
    } else if greatest < least {
        Some("The greatest rate is below the least one.")
    } else if (greatest - least) / step > MOST {
        Some("That is more than five thousand springs: use a wider step.")
    } else if high < low {
        Some("The frequency band ends before it begins.")
    } else {
        None
    };
    if let Some(wrong) = wrong {
        ui.colored_label(bench.palette.bad, wrong);
        return;
    }
    let launch = &bench.study.launch;
    let Some(coil) = launch.coilovers.iter().position(|c| c.coilover == index) else {
        return;
    };
    let found = match launch.spring_choices(bench.build, coil, catalogue, (low, high)) {
        Ok(found) => found,
        Err(why) => {
            ui.colored_label(bench.palette.bad, format!("No choice yet: {why}."));
            return;
        }
    };
    if found.is_empty() {
        common::note(
            ui,
            bench,
            "No spring of these rates gives that frequency: widen the band or the catalogue.",
        );
        return;
    }
    let shop = bench.shop();
    let rate_unit = units::unit_name(Kind::SpringRate, shop);
    let length_unit = units::unit_name(Kind::Length, shop);
    ScrollArea::horizontal()
        .id_salt("choices")
        .auto_shrink([false, true])
        .show(ui, |ui| {
            egui::Grid::new("choices")
                .num_columns(7)
                .striped(true)
                .spacing([8.0, 3.0])
                .show(ui, |ui| {
                    for (head, tip) in [
                        (format!("rate\n{rate_unit}"), "Of the spring"),
                        (
                            format!("at wheel\n{rate_unit}"),
                            "Wheel rate with the geometric term",
                        ),
                        ("swings\nHz".to_owned(), "Ride frequency, tyre not counted"),
                        (
                            format!("squeeze\n{length_unit}"),
                            "Of the spring at ride height",
                        ),
                        (
                            format!("seat\n{length_unit}"),
                            "How far the seat must be turned to keep the ride height",
                        ),
                        (
                            format!("car\n{length_unit}"),
                            "Where the car stands when the seat is not turned",
                        ),
                        (String::new(), ""),
                    ] {
                        let text = egui::RichText::new(head)
                            .font(plain(11.0))
                            .color(bench.palette.dim);
                        let r = ui.label(text);
                        if !tip.is_empty() {
                            r.on_hover_text(tip);
                        }
                    }
                    ui.end_row();
                    for c in found.iter().take(ROWS) {
                        let fitted = (c.rate - x.rate.si()).abs() < 1e-6 * c.rate;
                        let text = |ui: &mut Ui, words: String| {
                            let font = if fitted { bold(12.0) } else { plain(12.0) };
                            ui.label(egui::RichText::new(words).font(font));
                        };
                        let bare = |kind, v| units::format_bare(kind, v, shop);
                        text(ui, bare(Kind::SpringRate, c.rate));
                        text(ui, bare(Kind::SpringRate, c.wheel_rate));
                        text(ui, bare(Kind::Frequency, c.frequency));
                        text(ui, bare(Kind::Length, c.squeeze));
                        text(ui, moved(bench, c.seat_change, "press", "ease"));
                        text(ui, moved(bench, c.height_change, "up", "down"));
                        if fitted {
                            ui.label(
                                egui::RichText::new("fitted now")
                                    .font(plain(12.0))
                                    .color(bench.palette.good),
                            );
                        } else if ui
                            .small_button("Fit this")
                            .on_hover_text("Fit this spring: one step, undone as one")
                            .accessible_name(format!(
                                "Fit the {} spring",
                                bench.show(Kind::SpringRate, c.rate)
                            ))
                            .clicked()
                        {
                            let mut new = x.clone();
                            new.rate = SpringRate::from_si(c.rate);
                            tray.edit(Edit::PutCoilover(new));
                        }
                        ui.end_row();
                    }
                });
        });
    if found.len() > ROWS {
        let more = found.len() - ROWS;
        common::note(
            ui,
            bench,
            format!("And {more} stiffer ones: narrow the band."),
        );
    }
    common::note(
        ui,
        bench,
        if x.preload.is_some() {
            "The preload is set by hand and stays when another spring is fitted: the car moves as the last column says. Figures of \
             the left one."
        } else {
            "Fitting one turns the seat so that the car stays where it is. Its own free length and solid length are typed above."
        },
    );
}

/// A change with its sense in a word.
fn moved(bench: &Bench<'_>, metres: f64, more: &str, less: &str) -> String {
    let figure = units::format_bare(Kind::Length, metres.abs(), bench.shop());
    let nothing = units::format_bare(Kind::Length, 0.0, bench.shop());
    if figure == nothing {
        return "–".to_owned();
    }
    format!("{} {figure}", if metres > 0.0 { more } else { less })
}

/// Both ends of the car: the front's wheel rate, and how fast each end swings.
pub(super) fn ends(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Front and rear",
        "ride frequency, tyres not counted",
    );
    ui.horizontal_wrapped(|ui| {
        for (id, word) in [
            ("spring.frequency.front", "front"),
            ("spring.frequency.rear", "rear"),
        ] {
            ui.label(word);
            if let Some(r) = bench.study.reading(id) {
                match &r.value {
                    Ok(_) => {
                        ui.label(egui::RichText::new(r.display(bench.shop())).font(bold(13.0)))
                    }
                    Err(why) => ui.colored_label(bench.palette.dim, format!("not known: {why}")),
                };
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        if let Some(f) = fields::field("power.front_wheel_rate") {
            ui.label(f.label).on_hover_text(f.help);
            let now = (f.get)(bench.build);
            if let Some(si) = typed::field(
                ui,
                bench,
                ("springs", f.id),
                f.label,
                f.kind,
                now,
                FIELD,
                tray,
            ) {
                tray.edit(Edit::Field {
                    id: f.id.to_owned(),
                    si,
                });
            }
        }
    });
    if bench
        .study
        .front
        .as_ref()
        .is_some_and(|f| f.spring().is_some())
    {
        common::note(
            ui,
            bench,
            "The front end's coil-over is drawn: its rate over travel is used, this plain one is not read.",
        );
    }
    common::note(
        ui,
        bench,
        "The rear some tenth or two faster than the front lets the car settle flat after a bump (common practice, no source).",
    );
}

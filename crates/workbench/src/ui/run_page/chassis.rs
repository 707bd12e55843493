//! Chassis and air: dampers, stops, drag, weather, spreads.

use build::{RunEdit, WeatherData};
use eframe::egui::{self, Ui};
use units::{Inertia, Kind, Pressure};
use vehicle::run::{Air, Weather, default_pitch_inertia, pressure_at_altitude};

use super::super::bench::{Bench, Tray};
use super::super::typed;
use super::pieces;

/// 1 inHg in Pa, at 0 °C (NIST SP 811).
const INCH_OF_MERCURY: f64 = 3386.389;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let mut tray = tray;
    pieces::page(ui, "chassis page", |ui| {
        pieces::two(
            ui,
            &mut tray,
            0.5,
            |ui, tray| {
                let of = |prefix: &'static str| move |id: &str| id.starts_with(prefix);
                pieces::head(
                    ui,
                    bench,
                    "Front dampers and stops",
                    "at the wheels, both sides",
                );
                pieces::fields(ui, bench, "front ride", of("run.front."), tray);
                pieces::head(
                    ui,
                    bench,
                    "Rear dampers and stops",
                    "at the wheels, both sides",
                );
                pieces::fields(ui, bench, "rear ride", of("run.rear."), tray);
                pitch(ui, bench, tray);
                pieces::head(ui, bench, "Tyres, drag, clock", "");
                let some = [
                    "power.friction",
                    "run.load_sensitivity",
                    "run.drag_area",
                    "run.drag_height",
                    "run.rolling",
                    "run.rollout",
                ];
                pieces::fields(ui, bench, "tyres and drag", |id| some.contains(&id), tray);
            },
            |ui, tray| {
                pieces::head(ui, bench, "Air at the strip", "");
                let air = |id: &str| id.starts_with("run.weather.") || id == "run.headwind";
                pieces::fields(ui, bench, "air", air, tray);
                weather(ui, bench, tray);
                pieces::head(
                    ui,
                    bench,
                    "How sure is it",
                    "one standard deviation of each input",
                );
                let unsure = |id: &str| id.starts_with("run.unsure.");
                pieces::fields(ui, bench, "unsure", unsure, tray);
            },
        );
    });
}

fn pitch(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    pieces::head(
        ui,
        bench,
        "Pitch inertia",
        "of the sprung mass about its own centre",
    );
    let own = bench.build.run.pitch_inertia;
    let thumb = bench
        .study
        .run
        .car
        .as_ref()
        .ok()
        .map(|c| default_pitch_inertia(c.sprung_mass, c.sprung_cg_station, c.wheelbase));
    ui.horizontal_wrapped(|ui| {
        if ui
            .radio(own.is_none(), "rule of thumb")
            .on_hover_text("0.85 · mass · distance to each axle (common practice: 0.75 to 1.0)")
            .clicked()
            && own.is_some()
        {
            pieces::edit(tray, RunEdit::PitchInertia(None));
        }
        if ui.radio(own.is_some(), "own figure").clicked() && own.is_none() {
            // A round figure of the shop's own unit.
            let unit = |si| units::display_value(Kind::Inertia, si, bench.shop());
            let round = unit(thumb.unwrap_or(1500.0)).round().max(1.0);
            let si = units::from_display_value(Kind::Inertia, round, bench.shop());
            let start = Inertia::from_si(si);
            pieces::edit(tray, RunEdit::PitchInertia(Some(start)));
        }
        match (own, thumb) {
            (Some(now), _) => {
                let (kind, si) = (Kind::Inertia, now.si());
                let name = "Pitch inertia";
                let width = pieces::FIELD;
                let typed = typed::field(ui, bench, "pitch", name, kind, si, width, tray);
                if let Some(v) = typed {
                    let set = Inertia::from_si(v);
                    pieces::edit(tray, RunEdit::PitchInertia(Some(set)));
                }
            }
            (None, Some(v)) => {
                let (kind, shop) = (Kind::Inertia, bench.shop());
                let shown = units::display_value(kind, v, shop);
                ui.label(format!("{shown:.0} {}", units::unit_name(kind, shop)));
            }
            (None, None) => {}
        }
    });
}

/// Station pressure of the standard day, for who has no barometer.
fn altitude(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let now = bench.build.run.weather;
    // The altitude the pressure has on the standard day.
    let metres = (1.0 - (now.pressure.si() / 101_325.0).powf(1.0 / 5.255_88)) / 2.255_77e-5;
    ui.horizontal_wrapped(|ui| {
        ui.label("or the strip's altitude").on_hover_text(
            "Writes the station pressure of the standard day there (US Standard Atmosphere 1976)",
        );
        let name = "Altitude of the strip";
        let width = pieces::FIELD;
        let typed = typed::field(
            ui,
            bench,
            "altitude",
            name,
            Kind::Length,
            metres,
            width,
            tray,
        );
        if let Some(Ok(pa)) = typed.map(pressure_at_altitude) {
            let pressure = Pressure::from_si(pa);
            let there = WeatherData { pressure, ..now };
            pieces::edit(tray, RunEdit::Weather(there));
        }
    });
}

fn weather(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let p = bench.palette;
    let w = &bench.build.run.weather;
    altitude(ui, bench, tray);
    let mut correct = bench.build.run.correct_power;
    if ui
        .checkbox(
            &mut correct,
            "Torque is for standard air: correct it (SAE J1349)",
        )
        .on_hover_text("Naturally aspirated engines only")
        .changed()
    {
        pieces::edit(tray, RunEdit::CorrectPower(correct));
    }
    let air = Air::of(&Weather {
        temperature: w.temperature.si(),
        pressure: w.pressure.si(),
        humidity: w.humidity.si(),
    });
    match air {
        Ok(air) => {
            egui::Grid::new("air says").num_columns(2).show(ui, |ui| {
                let density = format!("{:.3} kg/m³", air.density);
                pieces::said(ui, bench, "Air density", &density);
                let barometer =
                    |pa: f64| format!("{:.2} kPa, {:.2} inHg", pa / 1e3, pa / INCH_OF_MERCURY);
                let station = barometer(w.pressure.si());
                pieces::said(ui, bench, "Station pressure is", &station);
                let dry = barometer(air.dry_pressure);
                pieces::said(ui, bench, "of it the dry air", &dry);
                let cf = format!("{:.3}", air.cf_j1349);
                pieces::said(ui, bench, "SAE J1349 correction", &cf);
            });
            let takes = 100.0 * (1.0 / air.cf_j1349 - 1.0);
            let text = if correct {
                format!("Torque counts {takes:+.1} % on this day.")
            } else {
                format!("Ticked, torque would count {takes:+.1} % on this day.")
            };
            pieces::say(ui, p.dim, text);
            if !air.within_j1349() {
                pieces::say(
                    ui,
                    p.bad,
                    "! Outside 0.93 to 1.07 the standard does not vouch for it (from memory).",
                );
            }
        }
        Err(e) => pieces::say(ui, p.bad, format!("No such air: {e}.")),
    }
}

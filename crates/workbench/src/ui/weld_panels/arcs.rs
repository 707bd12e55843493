//! How the shop welds with each process: volts, amps, travel, wire.

use build::{ArcSetting, Process, WeldEdit};
use eframe::egui::{Grid, RichText, Ui};
use units::{Current, FeedSpeed, Kind, Length, Voltage};
use weld::consumables::{arc_energy, heat_input};

use super::super::bench::{Bench, Tray};
use super::super::theme::bold;
use super::super::typed;
use super::{bits, common, words};

/// Every process, those of small shops first.
const USUAL: [Process; 6] = [
    Process::Mig,
    Process::Tig,
    Process::Stick,
    Process::FluxCored,
    Process::Plasma,
    Process::SubmergedArc,
];

/// The settings of every process, and a way to add one.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, add: &mut Option<Process>, tray: &mut Tray) {
    common::head(ui, bench, "Arc settings", "as proven on scrap");
    let arcs = &bench.build.weld_out.arcs;
    if arcs.is_empty() {
        bits::say(
            ui,
            "No settings yet: add those of the process you weld with; arc time, wire and gas follow from them.",
        );
    }
    for a in arcs {
        ui.push_id(("arc", words::process(a.process)), |ui| {
            one(ui, bench, a, tray)
        });
        ui.add_space(6.0);
    }
    let free: Vec<(Process, String)> = USUAL
        .into_iter()
        .filter(|p| bench.build.weld_out.arc(*p).is_none())
        .map(|p| (p, words::process(p).to_owned()))
        .collect();
    // First what joints are waiting for.
    let waiting = bench.study.weld.supply.rows.iter().map(|r| r.process);
    let first = waiting
        .chain(free.iter().map(|x| x.0))
        .find(|p| free.iter().any(|x| x.0 == *p));
    let Some(first) = first else { return };
    ui.horizontal_wrapped(|ui| {
        let mut now = add
            .filter(|p| free.iter().any(|x| x.0 == *p))
            .unwrap_or(first);
        if bits::chooser(ui, "Process to add", 130.0, &mut now, &free) {
            *add = Some(now);
        }
        if ui.button("Add its settings").clicked() {
            bits::edit(tray, WeldEdit::PutArc(usual(now)));
            *add = None;
        }
    });
}

/// A start to be replaced by what the machine is set to (common practice, no source).
fn usual(process: Process) -> ArcSetting {
    let inch_per_minute = |v: f64| FeedSpeed::from_si(v * 0.0254 / 60.0);
    let (volts, amps, travel, wire, feed, rod) = match process {
        Process::Mig => (18.5, 150.0, 12.0, 0.030, Some(280.0), None),
        Process::FluxCored => (18.0, 150.0, 12.0, 0.035, Some(200.0), None),
        Process::Tig => (12.0, 110.0, 4.0, 0.0625, None, Some(36.0)),
        Process::Stick => (23.0, 100.0, 6.0, 0.09375, None, Some(14.0)),
        Process::SubmergedArc => (28.0, 300.0, 20.0, 0.0625, Some(120.0), None),
        Process::Plasma => (26.0, 100.0, 8.0, 0.045, None, None),
    };
    ArcSetting {
        process,
        voltage: Voltage::from_si(volts),
        current: Current::from_si(amps),
        travel: inch_per_minute(travel),
        wire: Length::from_inches(wire),
        feed: feed.map(inch_per_minute),
        rod: rod.map(Length::from_inches),
    }
}

/// The settings of one process and the heat they put in.
fn one(ui: &mut Ui, bench: &Bench<'_>, a: &ArcSetting, tray: &mut Tray) {
    let label = words::process(a.process);
    let mut new = a.clone();
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(label).font(bold(12.5)));
        if ui
            .small_button("Remove")
            .accessible_name(format!("Remove the settings of {label}"))
            .clicked()
        {
            bits::edit(tray, WeldEdit::RemoveArc(a.process));
        }
    });
    let pairs = if ui.available_width() > 380.0 { 2 } else { 1 };
    Grid::new("arc settings")
        .num_columns(2 * pairs)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            let mut n = 0;
            let mut end = |ui: &mut Ui| {
                n += 1;
                if n % pairs == 0 {
                    ui.end_row();
                }
            };
            let mut need = |ui: &mut Ui, word: &str, kind: Kind, si: f64| {
                ui.label(word);
                let name = format!("{label} {word}");
                let v = typed::field(ui, bench, word, &name, kind, si, bits::FIELD, tray);
                end(ui);
                v
            };
            if let Some(v) = need(ui, "volts", Kind::Voltage, a.voltage.si()) {
                new.voltage = Voltage::from_si(v);
            }
            if let Some(v) = need(ui, "amps", Kind::Current, a.current.si()) {
                new.current = Current::from_si(v);
            }
            if let Some(v) = need(ui, "travel", Kind::FeedSpeed, a.travel.si()) {
                new.travel = FeedSpeed::from_si(v);
            }
            if let Some(v) = need(ui, "wire or rod", Kind::Length, a.wire.si()) {
                new.wire = Length::from_si(v);
            }
            let mut may = |ui: &mut Ui, word: &str, kind: Kind, si: Option<f64>| {
                ui.label(word);
                let name = format!("{label} {word}");
                let v = typed::optional(ui, bench, word, &name, kind, si, bits::FIELD, tray);
                v.filter(|v| *v != si)
            };
            let feed = a.feed.map(FeedSpeed::si);
            if let Some(v) = may(ui, "wire feed", Kind::FeedSpeed, feed) {
                new.feed = v.map(FeedSpeed::from_si);
            }
            if pairs == 1 {
                ui.end_row();
            }
            if let Some(v) = may(ui, "rod length", Kind::Length, a.rod.map(Length::si)) {
                new.rod = v.map(Length::from_si);
            }
            ui.end_row();
        });
    if new != *a {
        bits::edit(tray, WeldEdit::PutArc(new));
    }
    let (v, i, travel) = (a.voltage.si(), a.current.si(), a.travel.si());
    let k = a.process.thermal_efficiency();
    if let (Ok(gross), Ok(net)) = (arc_energy(v, i, travel), heat_input(k, v, i, travel)) {
        common::note(
            ui,
            bench,
            format!(
                "Heat: {} at the arc, {} of it into the work ({:.0} %, EN 1011-1).",
                bench.show(Kind::HeatInput, gross),
                bench.show(Kind::HeatInput, net),
                100.0 * k
            ),
        );
    }
}

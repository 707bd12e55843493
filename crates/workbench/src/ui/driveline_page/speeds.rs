//! Speeds: redline, top speed, the gearing chart and the final drives that can be had.

use build::Driveline;
use eframe::egui::{self, Ui};
use units::{Count, Kind, RotationSpeed, Speed};

use super::phase::findings;
use crate::ui::bench::{Bench, Tray};
use crate::ui::brakes_page::plot::{self, Curve};
use crate::ui::springs_page::common;
use crate::ui::theme::plain;
use crate::ui::typed;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, d: &mut Driveline, tray: &mut Tray) {
    ui.horizontal(|ui| {
        let now = d.redline.si();
        let kind = Kind::RotationSpeed;
        if let Some(v) = common::value(ui, bench, "Speeds", "redline", kind, now, tray) {
            d.redline = RotationSpeed::from_si(v);
        }
    });
    egui::Grid::new("speeds more")
        .num_columns(4)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            ui.label("top speed");
            let now = d.top_speed.map(|v| v.si());
            if let Some(v) = typed::optional(
                ui,
                bench,
                "top speed",
                "Speeds top speed",
                Kind::Speed,
                now,
                common::FIELD,
                tray,
            ) {
                d.top_speed = v.map(Speed::from_si);
            }
            ui.label("engine at the trap");
            let now = d.trap_engine.map(|v| v.si());
            if let Some(v) = typed::optional(
                ui,
                bench,
                "trap engine",
                "Speeds engine at the trap",
                Kind::RotationSpeed,
                now,
                common::FIELD,
                tray,
            ) {
                d.trap_engine = v.map(RotationSpeed::from_si);
            }
            ui.end_row();
        });
    common::note(
        ui,
        bench,
        "Left empty: the redline in top gear, and the redline at the trap.",
    );
    final_drives(ui, bench, d, tray);
    let p = bench.palette;
    let Some(study) = &bench.study.driveline else {
        return;
    };
    let g = match &study.gearing {
        Ok(g) => g,
        Err(why) => {
            ui.colored_label(p.bad, format!("No chart: {}.", why.show(bench.shop())));
            return findings(ui, bench, &["run.gears", "driveline.top_speed"]);
        }
    };
    let speed = |v: f64| units::display_value(Kind::Speed, v, bench.shop());
    let rpm = |w: f64| w * 30.0 / std::f64::consts::PI;
    let colours = [p.upper, p.lower, p.centre, p.push, p.pull, p.hundred];
    let curves: Vec<Curve> = g
        .chart
        .gears
        .iter()
        .enumerate()
        .map(|(i, row)| Curve {
            name: format!("gear {}", i + 1),
            points: vec![
                [0.0, 0.0],
                [speed(row.speed_at_redline), rpm(g.gears.redline)],
            ],
            colour: colours[i % colours.len()],
            dashed: i % 2 == 1,
        })
        .collect();
    let top = g
        .chart
        .gears
        .iter()
        .map(|r| r.speed_at_redline)
        .fold(30.0, f64::max);
    let sixty = vehicle::driveline::gearing::SIXTY_MPH;
    let mut marks = vec![(speed(sixty), "60 mph".to_owned())];
    if let Some(t) = &g.trap {
        marks.push((speed(t.speed), format!("trap, {:.0} rpm", rpm(t.engine))));
    }
    let unit = units::unit_name(Kind::Speed, bench.shop());
    plot::show(
        ui,
        bench,
        "Engine speed over road speed",
        [&format!("speed, {unit}"), "engine, rpm"],
        [speed(top) * 1.12, rpm(g.gears.redline) * 1.08],
        curves,
        &marks,
        230.0,
    );
    egui::Grid::new("gears")
        .num_columns(6)
        .spacing([14.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for head in [
                "gear",
                "ratio",
                "at redline",
                "at 60 mph",
                "at the trap",
                "after the shift",
            ] {
                ui.label(egui::RichText::new(head).font(plain(11.0)).color(p.dim));
            }
            ui.end_row();
            let turns = |w: f64| bench.show(Kind::RotationSpeed, w);
            for (i, row) in g.chart.gears.iter().enumerate() {
                ui.label(format!("{}", i + 1));
                ui.label(format!("{:.2}", row.ratio));
                ui.label(bench.show(Kind::Speed, row.speed_at_redline));
                ui.label(turns(row.at_sixty));
                ui.label(
                    g.trap
                        .map_or_else(|| "no run".to_owned(), |_| turns(row.at_trap)),
                );
                ui.label(
                    row.after_shift
                        .map_or_else(|| "last gear".to_owned(), turns),
                );
                ui.end_row();
            }
        });
    if let Some(n) = g.chart.shifts_before_sixty {
        common::note(ui, bench, format!("Shifts before 60 mph: {n}."));
    }
    if !g.choices.is_empty() {
        common::note(ui, bench, "Nearest to the speed wanted at the trap first:");
        egui::Grid::new("final drives")
            .num_columns(3)
            .spacing([14.0, 3.0])
            .show(ui, |ui| {
                for c in &g.choices {
                    ui.label(format!("{:.2}", c.final_drive));
                    ui.label(bench.show(Kind::RotationSpeed, c.at_trap));
                    if c.over_redline {
                        ui.colored_label(p.bad, "! past the redline");
                    } else {
                        ui.label("");
                    }
                    ui.end_row();
                }
            });
    }
    findings(ui, bench, &["power.final_drive", "driveline.top_speed"]);
}

/// The ratios the housing's maker has.
fn final_drives(ui: &mut Ui, bench: &Bench<'_>, d: &mut Driveline, tray: &mut Tray) {
    ui.horizontal(|ui| {
        common::head(ui, bench, "Final drives that can be had", "");
        if ui.small_button("Add a final drive").clicked() {
            let last = d.final_drives.last().map_or(3.5, |r| r.si());
            d.final_drives.push(Count::from_si((last + 0.25).min(10.0)));
        }
    });
    common::list(ui, bench, "final drive", &mut d.final_drives, 0, tray);
}

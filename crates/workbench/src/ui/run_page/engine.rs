//! Engine and gears: the torque curve, clutch or converter, the gears.

use build::{CouplingData, GearData, RunEdit};
use eframe::egui::{self, RichText, Ui, ViewportCommand};
use egui_plot::{GridMark, Line, LineStyle, Plot, Points, VLine};
use units::{Count, Kind, Ratio, RotationSpeed, Torque};

use super::super::bench::{Action, Bench, Tray};
use super::super::plots::{quiet, round_marks};
use super::super::theme::plain;
use super::super::typed;
use super::{pieces, read_torque};

/// Scalar fields of this topic.
pub(super) const FIELDS: [&str; 11] = [
    "run.launch",
    "run.launch_off",
    "run.shift_time",
    "run.take_up",
    "power.final_drive",
    "run.rolling_radius",
    "run.engine_inertia",
    "run.input_inertia",
    "run.shaft_inertia",
    "run.rear_wheel_inertia",
    "run.front_wheel_inertia",
];
/// A file longer than this is no torque table, bytes.
const LONGEST: u64 = 1 << 20;
/// What a new converter starts with: speed ratio, K in rpm/√(lb·ft), torque ratio (round figures, a choice).
const CONVERTER: [(f64, f64, f64); 4] = [
    (0.0, 150.0, 2.0),
    (0.5, 160.0, 1.5),
    (0.85, 190.0, 1.0),
    (0.97, 300.0, 1.0),
];

/// What is typed but not in the document yet.
#[derive(Debug, Default)]
pub(super) struct Drafts {
    pasted: String,
    path: String,
    why: Option<String>,
}

pub(super) fn show(state: &mut Drafts, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let tray = std::cell::RefCell::new(tray);
    pieces::page(ui, "engine page", |ui| {
        pieces::two(
            ui,
            state,
            0.52,
            |ui, state| {
                let mut tray = tray.borrow_mut();
                plot(ui, bench);
                torque(ui, bench, &mut tray);
                table(state, ui, bench, &mut tray);
            },
            |ui, _| {
                let mut tray = tray.borrow_mut();
                gears(ui, bench, &mut tray);
                coupling(ui, bench, &mut tray);
                pieces::head(ui, bench, "Driveline", "");
                pieces::fields(ui, bench, "driveline", |id| FIELDS.contains(&id), &mut tray);
            },
        );
    });
}

fn button(ui: &mut Ui, text: &str, name: &str) -> bool {
    ui.small_button(text).accessible_name(name).clicked()
}

fn torque(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    pieces::head(
        ui,
        bench,
        "Torque at full throttle",
        "at the flywheel, linear between the points",
    );
    let now = &bench.build.run.torque;
    let mut new = now.clone();
    if now.is_empty() {
        pieces::say(
            ui,
            bench.palette.dim,
            "No points yet: add them, or paste two columns below.",
        );
    }
    egui::Grid::new("torque")
        .num_columns(4)
        .spacing([10.0, 3.0])
        .show(ui, |ui| {
            let mut remove = None;
            for (i, (speed, torque)) in now.iter().enumerate() {
                pieces::column(ui, bench, &format!("{}", i + 1));
                let name = format!("Torque point {} rpm", i + 1);
                let (kind, si) = (Kind::RotationSpeed, speed.si());
                let salt = ("torque rpm", i);
                if let Some(v) = typed::field(ui, bench, salt, &name, kind, si, pieces::FIELD, tray)
                {
                    new[i].0 = RotationSpeed::from_si(v.max(0.0));
                }
                let name = format!("Torque point {} torque", i + 1);
                let (kind, si) = (Kind::Torque, torque.si());
                let salt = ("torque", i);
                if let Some(v) = typed::field(ui, bench, salt, &name, kind, si, pieces::FIELD, tray)
                {
                    new[i].1 = Torque::from_si(v.max(0.0));
                }
                if button(ui, "–", &format!("Remove torque point {}", i + 1)) {
                    remove = Some(i);
                }
                ui.end_row();
            }
            if let Some(i) = remove {
                new.remove(i);
            }
        });
    if ui.button("Add a torque point").clicked() {
        let rpm = |x: f64| RotationSpeed::from_si(x * std::f64::consts::PI / 30.0);
        let next = match new.last() {
            Some((s, t)) => (RotationSpeed::from_si(s.si() + rpm(500.0).si()), *t),
            None => (rpm(2000.0), Torque::from_si(300.0)),
        };
        new.push(next);
    }
    if new != *now {
        new.sort_by(|a, b| a.0.si().total_cmp(&b.0.si()));
        pieces::edit(tray, RunEdit::Torque(new));
    }
}

/// Two columns pasted or read from a file.
fn table(state: &mut Drafts, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    pieces::head(
        ui,
        bench,
        "From a table",
        "rpm and torque; tab, comma or spaces between",
    );
    let width = ui.available_width().clamp(60.0, 320.0);
    let edit = egui::TextEdit::multiline(&mut state.pasted)
        .desired_rows(3)
        .desired_width(width)
        .hint_text("2000  310\n3000  345");
    let r = egui::ScrollArea::vertical()
        .id_salt("pasted torque")
        .max_height(90.0)
        .show(ui, |ui| ui.add(edit))
        .inner;
    r.widget_info(|| {
        let role = egui::Role::MultilineTextInput;
        let mut info = egui::WidgetInfo::labeled(role, true, "Torque table, pasted");
        info.current_text_value = Some(state.pasted.clone());
        info
    });
    ui.horizontal_wrapped(|ui| {
        if ui
            .button("Paste")
            .accessible_name("Paste a torque table")
            .clicked()
        {
            r.request_focus();
            ui.ctx().send_viewport_cmd(ViewportCommand::RequestPaste);
        }
        let ready = !state.pasted.trim().is_empty();
        if ui
            .add_enabled(ready, egui::Button::new("Take these rows"))
            .clicked()
        {
            let text = state.pasted.clone();
            if take(state, bench, &text, tray) {
                state.pasted.clear();
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.label("CSV file");
        let width = (ui.available_width() - 110.0).clamp(60.0, 230.0);
        let name = "CSV file of torque";
        if let Some(path) = typed::words(ui, bench, "torque file", name, &state.path, width, tray) {
            state.path = path;
        }
        let ready = !state.path.trim().is_empty();
        if ui
            .add_enabled(ready, egui::Button::new("Read the file"))
            .on_disabled_hover_text("Type where the CSV file is")
            .clicked()
        {
            match read(state.path.trim()) {
                Ok(text) => {
                    take(state, bench, &text, tray);
                }
                Err(why) => state.why = Some(why),
            }
        }
    });
    if let Some(why) = &state.why {
        pieces::say(ui, bench.palette.bad, format!("Not taken: {why}."));
    }
}

fn read(path: &str) -> Result<String, String> {
    let meta = std::fs::metadata(path).map_err(|e| format!("{path}: {e}"))?;
    if !meta.is_file() || meta.len() > LONGEST {
        return Err(format!("{path} is no table of torque"));
    }
    std::fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))
}

fn take(state: &mut Drafts, bench: &Bench<'_>, text: &str, tray: &mut Tray) -> bool {
    match read_torque(text, bench.shop()) {
        Ok(rows) => {
            let points: Vec<_> = rows
                .into_iter()
                .map(|(s, t)| (RotationSpeed::from_si(s), Torque::from_si(t)))
                .collect();
            let said = format!("{} torque points taken", points.len());
            pieces::edit(tray, RunEdit::Torque(points));
            tray.put(Action::Say(said));
            state.why = None;
            true
        }
        Err(why) => {
            state.why = Some(why);
            false
        }
    }
}

fn gears(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    pieces::head(ui, bench, "Gears", "the last one's shift is not read");
    let now = &bench.build.run.gears;
    let mut new = now.clone();
    if now.is_empty() {
        pieces::say(
            ui,
            bench.palette.dim,
            "No gear yet: add the first one here.",
        );
    }
    egui::Grid::new("gears")
        .num_columns(5)
        .spacing([10.0, 3.0])
        .show(ui, |ui| {
            for word in ["", "ratio", "efficiency", "shift at", ""] {
                pieces::column(ui, bench, word);
            }
            ui.end_row();
            let mut remove = None;
            for (i, g) in now.iter().enumerate() {
                pieces::column(ui, bench, &format!("{}", i + 1));
                let mut one = |ui: &mut Ui, word: &str, kind: Kind, si: f64| {
                    let name = format!("Gear {} {word}", i + 1);
                    typed::field(ui, bench, ("gear", i, word), &name, kind, si, 90.0, tray)
                };
                if let Some(v) = one(ui, "ratio", Kind::Count, g.ratio.si()) {
                    new[i].ratio = Count::from_si(v);
                }
                if let Some(v) = one(ui, "efficiency", Kind::Ratio, g.efficiency.si()) {
                    new[i].efficiency = Ratio::from_si(v);
                }
                if let Some(v) = one(ui, "shift", Kind::RotationSpeed, g.shift.si()) {
                    new[i].shift = RotationSpeed::from_si(v);
                }
                if button(ui, "–", &format!("Remove gear {}", i + 1)) {
                    remove = Some(i);
                }
                ui.end_row();
            }
            if let Some(i) = remove {
                new.remove(i);
            }
        });
    if ui.button("Add a gear").clicked() {
        let peak = bench.build.run.torque.last().map_or(600.0, |p| p.0.si());
        let next = new.last().map_or(
            GearData {
                ratio: Count::from_si(2.5),
                efficiency: Ratio::from_si(0.9),
                shift: RotationSpeed::from_si(0.95 * peak),
            },
            |g| GearData {
                ratio: Count::from_si((g.ratio.si() * 70.0).round() / 100.0),
                ..*g
            },
        );
        new.push(next);
    }
    if new != *now {
        pieces::edit(tray, RunEdit::Gears(new));
    }
}

fn coupling(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    pieces::head(ui, bench, "Between engine and gearbox", "");
    let now = &bench.build.run.coupling;
    let clutch = matches!(now, CouplingData::Clutch);
    ui.horizontal_wrapped(|ui| {
        if ui.radio(clutch, "clutch").clicked() && !clutch {
            pieces::edit(tray, RunEdit::Coupling(CouplingData::Clutch));
        }
        if ui.radio(!clutch, "torque converter").clicked() && clutch {
            let rows = CouplingData::Converter(CONVERTER.to_vec());
            pieces::edit(tray, RunEdit::Coupling(rows));
        }
    });
    let CouplingData::Converter(rows) = now else {
        return;
    };
    let mut new = rows.clone();
    egui::Grid::new("converter")
        .num_columns(5)
        .spacing([10.0, 3.0])
        .show(ui, |ui| {
            for word in ["", "speed ratio", "K, rpm/√(lb·ft)", "torque ratio", ""] {
                pieces::column(ui, bench, word);
            }
            ui.end_row();
            let mut remove = None;
            for (i, row) in rows.iter().enumerate() {
                pieces::column(ui, bench, &format!("{}", i + 1));
                let mut one = |ui: &mut Ui, word: &str, si: f64| {
                    let name = format!("Converter row {} {word}", i + 1);
                    let salt = ("converter", i, word);
                    typed::field(ui, bench, salt, &name, Kind::Count, si, 70.0, tray)
                };
                if let Some(v) = one(ui, "speed ratio", row.0) {
                    new[i].0 = v;
                }
                if let Some(v) = one(ui, "capacity", row.1) {
                    new[i].1 = v;
                }
                if let Some(v) = one(ui, "torque ratio", row.2) {
                    new[i].2 = v;
                }
                if button(ui, "–", &format!("Remove converter row {}", i + 1)) {
                    remove = Some(i);
                }
                ui.end_row();
            }
            if let Some(i) = remove {
                new.remove(i);
            }
        });
    if ui.button("Add a converter row").clicked() {
        let (s, k, t) = new.last().copied().unwrap_or((0.0, 150.0, 2.0));
        new.push((0.5 * (s + 1.0), k * 1.1, t));
    }
    if new != *rows {
        new.sort_by(|a, b| a.0.total_cmp(&b.0));
        pieces::edit(tray, RunEdit::Coupling(CouplingData::Converter(new)));
    }
}

/// Torque and power over engine speed.
fn plot(ui: &mut Ui, bench: &Bench<'_>) {
    let p = bench.palette;
    let shop = bench.shop();
    let rows = &bench.build.run.torque;
    if rows.len() < 2 {
        return;
    }
    let value = |kind, si| units::display_value(kind, si, shop);
    let torque: Vec<[f64; 2]> = rows
        .iter()
        .map(|(s, t)| {
            [
                value(Kind::RotationSpeed, s.si()),
                value(Kind::Torque, t.si()),
            ]
        })
        .collect();
    // Power is a parabola between two points.
    let mut power: Vec<[f64; 2]> = Vec::new();
    let mut peak = (0.0_f64, 0.0_f64);
    for w in rows.windows(2) {
        for k in 0..=8 {
            let f = f64::from(k) / 8.0;
            let s = w[0].0.si() + f * (w[1].0.si() - w[0].0.si());
            let t = w[0].1.si() + f * (w[1].1.si() - w[0].1.si());
            if s * t > peak.1 {
                peak = (s, s * t);
            }
            power.push([value(Kind::RotationSpeed, s), value(Kind::Power, s * t)]);
        }
    }
    let most = rows.iter().max_by(|a, b| a.1.si().total_cmp(&b.1.si()));
    pieces::head(ui, bench, "Torque and power", "");
    if let Some((s, t)) = most {
        pieces::say(
            ui,
            p.ink,
            format!(
                "Torque {} at {} (solid), power {} at {} (dashed).",
                bench.show(Kind::Torque, t.si()),
                bench.show(Kind::RotationSpeed, s.si()),
                bench.show(Kind::Power, peak.1),
                bench.show(Kind::RotationSpeed, peak.0)
            ),
        );
    }
    let all = torque.iter().chain(&power).map(|q| q[1]);
    let top = all.filter(|v| v.is_finite()).fold(1.0_f64, f64::max) * 1.08;
    let (first, last) = (torque[0][0], torque[torque.len() - 1][0]);
    let wide = (last - first).max(1.0) * 0.03;
    let launch = value(Kind::RotationSpeed, bench.build.run.launch.si());
    let response = ui
        .scope(|ui| {
            quiet(ui, bench);
            Plot::new("torque and power")
                .height(170.0)
                .grid_color(p.field)
                .show_background(false)
                .x_grid_spacer(|input| round_marks(&input, 7.0))
                .y_grid_spacer(|input| round_marks(&input, 6.0))
                .grid_spacing(10.0..=60.0)
                .allow_scroll(false)
                .allow_boxed_zoom(false)
                .allow_drag(false)
                .allow_zoom(false)
                .allow_axis_zoom_drag(false)
                .allow_double_click_reset(false)
                .set_margin_fraction(egui::vec2(0.0, 0.0))
                .default_x_bounds(first - wide, last + wide)
                .default_y_bounds(0.0, top)
                .label_formatter(|_: &egui_plot::HoverPosition<'_>| None)
                .x_axis_formatter(|m: GridMark, range: &std::ops::RangeInclusive<f64>| {
                    if m.value > range.end() - 0.08 * (range.end() - range.start()) {
                        return String::new();
                    }
                    format!("{:.0} rpm", m.value)
                })
                .show(ui, |plot| {
                    plot.set_plot_bounds_x(first - wide..=last + wide);
                    plot.set_plot_bounds_y(0.0..=top);
                    if (first..=last).contains(&launch) {
                        let line = VLine::new("launch", launch).color(p.dim).width(1.0);
                        plot.vline(line.style(LineStyle::dotted_dense()).allow_hover(false));
                    }
                    let dots = Points::new("points", torque.clone())
                        .radius(3.5)
                        .color(p.upper);
                    plot.points(dots.allow_hover(false));
                    let line = Line::new("torque", torque).color(p.upper).width(2.2);
                    plot.line(line.allow_hover(false));
                    let line = Line::new("power", power).color(p.centre).width(2.0);
                    let line = line.style(LineStyle::dashed_dense());
                    plot.line(line.allow_hover(false));
                })
        })
        .inner;
    response.response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Image, true, "Torque and power over rpm")
    });
    let units = format!(
        "torque in {}, power in {}; dotted: launch",
        units::unit_name(Kind::Torque, shop),
        units::unit_name(Kind::Power, shop)
    );
    ui.label(RichText::new(units).font(plain(11.0)).color(p.dim));
}

//! What follows from the brakes, in plots, bars and tables.

use build::{BrakeAxle, FirstLock, Part};
use eframe::egui::{self, Align2, Color32, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use units::Kind;

use super::plot::{self, Curve};
use crate::ui::bench::Bench;
use crate::ui::springs_page::common;
use crate::ui::theme::{bold, plain};

const G: f64 = vehicle::STANDARD_GRAVITY;

fn why(ui: &mut Ui, bench: &Bench<'_>, text: &build::Phrase) {
    ui.colored_label(
        bench.palette.bad,
        format!("Not known: {}.", text.show(bench.shop())),
    );
}

/// Findings of these fields.
fn findings(ui: &mut Ui, bench: &Bench<'_>, of: &[&'static str]) {
    for id in of {
        common::remarks(ui, bench, &Part::Field(id));
    }
}

fn rate(bench: &Bench<'_>, z: f64) -> String {
    bench.show(Kind::Acceleration, z * G)
}

pub(super) fn locks(l: &FirstLock) -> &'static str {
    match l.first {
        Some(BrakeAxle::Front) => "front",
        Some(BrakeAxle::Rear) => "rear",
        None => "both at once",
    }
}

/// Share of the front over the braking rate, and the first lock on every surface.
pub(super) fn balance(ui: &mut Ui, bench: &Bench<'_>) {
    let Some(s) = &bench.study.brakes else { return };
    let x = match &s.balance {
        Ok(x) => x,
        Err(text) => return why(ui, bench, text),
    };
    let p = bench.palette;
    common::head(
        ui,
        bench,
        "Front share against the ideal",
        "above the ideal line the front locks first",
    );
    let top = x.surfaces.iter().map(|s| s.0).fold(x.friction, f64::max) * 1.15;
    let shown = |z: f64| units::display_value(Kind::Acceleration, z * G, bench.shop());
    let points = |f: &dyn Fn(&build::BalancePoint) -> Option<f64>| -> Vec<[f64; 2]> {
        let within = x.curve.iter().filter(|q| q.z > 0.0 && q.z <= top);
        within
            .filter_map(|q| Some([shown(q.z), 100.0 * f(q)?]))
            .collect()
    };
    let curves = vec![
        Curve {
            name: "as laid out".to_owned(),
            points: points(&|q| q.front_share()),
            colour: p.upper,
            dashed: false,
        },
        Curve {
            name: "ideal".to_owned(),
            points: points(&|q| q.ideal_share()),
            colour: p.centre,
            dashed: true,
        },
    ];
    let marks: Vec<(f64, String)> = x
        .surfaces
        .iter()
        .filter_map(|(mu, lock)| {
            let lock = lock.as_ref()?;
            Some((shown(lock.z), format!("μ {mu:.1}: {} locks", locks(lock))))
        })
        .collect();
    let unit = units::unit_name(Kind::Acceleration, bench.shop());
    plot::show(
        ui,
        bench,
        "Front share over deceleration",
        [&format!("deceleration, {unit}"), "front share, %"],
        [shown(top), 100.0],
        curves,
        &marks,
        210.0,
    );
    common::head(ui, bench, "First lock", "by tyre friction of the surface");
    egui::Grid::new("first lock")
        .num_columns(6)
        .spacing([14.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for head in [
                "friction",
                "locks first",
                "pedal",
                "braking",
                "grip used",
                "then the other",
            ] {
                ui.label(egui::RichText::new(head).font(plain(11.0)).color(p.dim));
            }
            ui.end_row();
            for (mu, lock) in &x.surfaces {
                ui.label(format!("{mu:.2}"));
                let Some(l) = lock else {
                    ui.label(format!(
                        "none up to {}",
                        bench.show(Kind::Force, x.greatest)
                    ));
                    ui.end_row();
                    continue;
                };
                let rear = l.first == Some(BrakeAxle::Rear);
                ui.colored_label(if rear { p.bad } else { p.ink }, locks(l));
                ui.label(bench.show(Kind::Force, l.pedal_force));
                ui.label(rate(bench, l.z));
                ui.label(bench.show(Kind::Ratio, l.efficiency));
                ui.label(l.second_pedal_force.map_or_else(
                    || "not reached".to_owned(),
                    |f| format!("at {}", bench.show(Kind::Force, f)),
                ));
                ui.end_row();
            }
        });
    for c in &x.changeovers {
        let above = if c.above == BrakeAxle::Rear {
            "rear"
        } else {
            "front"
        };
        common::note(
            ui,
            bench,
            format!("From {} on the {above} locks first.", rate(bench, c.z)),
        );
    }
    if let Some(row) = &x.unassisted {
        common::note(
            ui,
            bench,
            format!(
                "With {} at the pad: {} with assist, {} without vacuum.",
                bench.show(Kind::Force, row.pedal_force),
                rate(bench, x.at_foot.demand_z),
                rate(bench, row.demand_z)
            ),
        );
    }
    findings(
        ui,
        bench,
        &[
            "brakes.rear.brake",
            "brakes.front.brake",
            "brakes.pedal.force",
            "car.rear_brake_share",
            "brakes.booster",
        ],
    );
}

/// Where the pedal's travel goes, as one bar.
pub(super) fn travel(ui: &mut Ui, bench: &Bench<'_>) {
    let Some(s) = &bench.study.brakes else { return };
    let t = match &s.travel {
        Ok(t) => t,
        Err(text) => return why(ui, bench, text),
    };
    let p = bench.palette;
    let force = bench.show(Kind::Force, t.pedal);
    common::head(
        ui,
        bench,
        "Where the travel goes",
        &format!("at {force} at the pad"),
    );
    let whole = t.used.pedal_travel / t.used.share;
    let parts: [(&str, f64, Color32); 5] = [
        ("ports closing", t.used.dead_travel, p.dim),
        ("clearance", t.used.parts.clearance, p.upper),
        ("calipers and drums", t.used.parts.flex, p.centre),
        ("hoses", t.used.parts.hose, p.lower),
        ("fluid", t.used.parts.fluid, p.push),
    ];
    let size = vec2(ui.available_width(), 30.0);
    let (rect, r) = ui.allocate_exact_size(size, Sense::hover());
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 3, p.field);
    let scale = rect.width() / (whole.max(t.used.pedal_travel)) as f32;
    let mut x = rect.left();
    for (_, metres, colour) in &parts {
        let wide = scale * *metres as f32;
        let part = egui::Rect::from_min_size(pos2(x, rect.top() + 3.0), vec2(wide, 24.0));
        painter.rect_filled(part, 0, *colour);
        painter.vline(
            part.right(),
            part.y_range(),
            egui::Stroke::new(1.0, p.ground),
        );
        x += wide;
    }
    let warn = rect.left() + scale * (whole * 2.0 / 3.0) as f32;
    painter.vline(warn, rect.y_range(), egui::Stroke::new(2.0, p.bad));
    painter.text(
        pos2(warn + 4.0, rect.center().y),
        Align2::LEFT_CENTER,
        "⅔",
        bold(12.0),
        p.bad,
    );
    let said = format!(
        "{} of {} used",
        bench.length(t.used.pedal_travel),
        bench.length(whole)
    );
    r.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Image, true, "Pedal travel used");
        info.current_text_value = Some(said.clone());
        info
    });
    ui.horizontal_wrapped(|ui| {
        ui.label(egui::RichText::new(&said).font(bold(12.0)));
        for (name, metres, colour) in &parts {
            let (dot, _) = ui.allocate_exact_size(vec2(10.0, 10.0), Sense::hover());
            ui.painter().rect_filled(dot, 2, *colour);
            let fine = units::format_fine(Kind::Length, *metres, bench.shop());
            ui.label(egui::RichText::new(format!("{name} {fine}")).font(plain(11.5)));
        }
    });
    if let Some(lost) = &t.lost {
        for (which, l) in ["front", "rear"].into_iter().zip(lost) {
            let fits = if l.fits { "fits" } else { "does not fit" };
            let travel = bench.length(l.pedal_travel);
            common::note(
                ui,
                bench,
                format!("With the {which} circuit lost: {travel} of travel, {fits}."),
            );
        }
    }
    findings(ui, bench, &["brakes.pedal.travel", "brakes.masters"]);
}

/// Net torque toward rest over the travel.
pub(super) fn back(ui: &mut Ui, bench: &Bench<'_>) {
    let Some(Some(r)) = bench.study.brakes.as_ref().map(|s| s.pedal_return.as_ref()) else {
        return;
    };
    let r = match r {
        Ok(r) => r,
        Err(text) => return why(ui, bench, text),
    };
    let p = bench.palette;
    let torque = |v: f64| units::display_value(Kind::Torque, v, bench.shop());
    let points = |f: fn(&build::ReturnPoint) -> f64| -> Vec<[f64; 2]> {
        r.points
            .iter()
            .map(|q| [q.angle.to_degrees(), torque(f(q))])
            .collect()
    };
    let high = r
        .points
        .iter()
        .map(|q| q.drive.max(q.friction))
        .fold(0.1, f64::max);
    let end = r.points.last().map_or(1.0, |q| q.angle.to_degrees());
    let unit = units::unit_name(Kind::Torque, bench.shop());
    plot::show(
        ui,
        bench,
        "Pedal return over its travel",
        ["angle pressed, °", &format!("torque toward rest, {unit}")],
        [end, torque(high) * 1.15],
        vec![
            Curve {
                name: "what brings it back".to_owned(),
                points: points(|q| q.drive),
                colour: p.upper,
                dashed: false,
            },
            Curve {
                name: "friction".to_owned(),
                points: points(|q| q.friction),
                colour: p.bad,
                dashed: true,
            },
        ],
        &[],
        170.0,
    );
    let time = r.time.map_or_else(
        || "does not get back".to_owned(),
        |t| format!("back in {t:.2} s"),
    );
    common::note(
        ui,
        bench,
        format!(
            "From full travel: {time}. A residual valve holds its pressure on the wheel side and does not push the pedal back."
        ),
    );
    findings(
        ui,
        bench,
        &["brakes.pedal_return.springs", "brakes.pedal_return"],
    );
}

/// Both ways on the grade.
pub(super) fn parking(ui: &mut Ui, bench: &Bench<'_>) {
    let Some(Some(r)) = bench.study.brakes.as_ref().map(|s| s.parking.as_ref()) else {
        return;
    };
    let r = match r {
        Ok(r) => r,
        Err(text) => return why(ui, bench, text),
    };
    let p = bench.palette;
    egui::Grid::new("parking")
        .num_columns(5)
        .spacing([14.0, 3.0])
        .show(ui, |ui| {
            for head in [
                "car stands",
                "on the grade",
                "holds up to",
                "lever needed",
                "given up by",
            ] {
                ui.label(egui::RichText::new(head).font(plain(11.0)).color(p.dim));
            }
            ui.end_row();
            for (way, h) in [("nose up", &r.nose_up), ("nose down", &r.nose_down)] {
                ui.label(way);
                let (word, ink) = if h.holds {
                    ("✓ holds", p.good)
                } else {
                    ("! rolls", p.bad)
                };
                ui.colored_label(ink, word);
                ui.label(
                    h.max_grade
                        .map_or_else(|| "any".to_owned(), |g| bench.show(Kind::Slope, g)),
                );
                ui.label(bench.show(Kind::Force, h.hand_force_needed));
                ui.label(if h.tyre_limited { "tyres" } else { "brake" });
                ui.end_row();
            }
        });
    findings(ui, bench, &["brakes.parking", "brakes.parking.force"]);
}

/// One stop.
pub(super) fn heat(ui: &mut Ui, bench: &Bench<'_>) {
    let Some(s) = &bench.study.brakes else { return };
    let x = match &s.stop {
        Ok(x) => x,
        Err(text) => return why(ui, bench, text),
    };
    let p = bench.palette;
    let reading = |id: &str| {
        bench
            .study
            .reading(id)
            .map_or_else(String::new, |r| r.display(bench.shop()))
    };
    let pedal = x.pedal.map_or_else(
        || "more than a foot gives".to_owned(),
        |f| bench.show(Kind::Force, f),
    );
    common::note(
        ui,
        bench,
        format!(
            "{} from seeing it to standing; pedal {pedal}.",
            reading("brakes.stop_distance")
        ),
    );
    for (which, h, id) in [
        ("Front", &x.heat[0], "brakes.rotor_rise.front"),
        ("Rear", &x.heat[1], "brakes.rotor_rise.rear"),
    ] {
        match h {
            None => common::note(ui, bench, format!("{which}: no rotor entered.")),
            Some(Err(text)) => why(ui, bench, text),
            Some(Ok(h)) => {
                let surface = h.surface_rise.map_or_else(String::new, |k| {
                    let d = build::definition("brakes.rotor_rise.front");
                    d.map_or_else(String::new, |d| {
                        format!(", its surface by {}", d.display(k, bench.shop()))
                    })
                });
                ui.label(format!("{which} rotor: warms by {}{surface}", reading(id)));
            }
        }
    }
    ui.colored_label(
        p.dim,
        "One stop, no cooling and no fade: stops one after the other add up.",
    );
    findings(
        ui,
        bench,
        &[
            "brakes.stop.rate",
            "brakes.stop.from",
            "brakes.front.rotor",
            "brakes.rear.rotor",
        ],
    );
}

//! The mock-up's numbers, typed.

use build::{
    BodyBox, BumpStopData, ClearanceStudy, Edit, MockUp, NearWheel, Place, RollingEdit,
    ShaftsMeasured, fields, points,
};
use eframe::egui::{self, Ui};
use units::{Kind, Length};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::typed;
use super::points::corner;

pub(super) const LOOKED_AT: &[&str] = &[
    "mock_up.bump",
    "mock_up.droop",
    "mock_up.gap",
    "mock_up.spring_outside",
];
pub(super) const WHEEL: &[&str] = &[
    "mock_up.wheel.rim_width",
    "mock_up.wheel.flange",
    "mock_up.wheel.offset",
];
pub(super) const TYRE: &[&str] = &[
    "mock_up.tyre.nominal",
    "mock_up.tyre.aspect",
    "mock_up.tyre.rim",
    "mock_up.tyre.section",
    "mock_up.tyre.measuring_rim",
    "mock_up.tyre.rate",
    "mock_up.tyre.wider",
    "mock_up.tyre.taller",
    "mock_up.tyre.shoulder",
];
pub(super) const HOUSING: &[&str] = &[
    "mock_up.housing.hat",
    "mock_up.housing.brake_stack",
    "mock_up.housing.differential",
    "mock_up.housing.half_gap",
    "mock_up.housing.pinion",
    "rear.housing.width",
];
const STOP: &[&str] = &[
    "mock_up.notch_clearance",
    "mock_up.notch",
    "mock_up.bump_stop.loses",
];

/// A group of scalar fields.
pub(super) fn fields(ui: &mut Ui, bench: &Bench<'_>, head: &str, ids: &[&str], tray: &mut Tray) {
    common::head(ui, bench, head, "");
    egui::Grid::new(("mock-up", head))
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            let known = ids.iter().filter_map(|id| fields::field(id));
            for f in known.filter(|f| (f.drawn)(bench.build)) {
                ui.label(f.label).on_hover_text(f.help);
                let now = (f.get)(bench.build);
                let new = typed::field(
                    ui,
                    bench,
                    ("mock-up", f.id),
                    f.label,
                    f.kind,
                    now,
                    common::FIELD,
                    tray,
                );
                if let Some(si) = new {
                    tray.edit(Edit::Field {
                        id: f.id.to_owned(),
                        si,
                    });
                }
                ui.end_row();
            }
        });
    ui.add_space(6.0);
}

/// Parts of the body around the wheels.
pub(super) fn body(ui: &mut Ui, bench: &Bench<'_>, mock: &MockUp, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Body around the wheels",
        "left side; the right is its mirror",
    );
    for x in &mock.body {
        let mut new = x.clone();
        let mut changed = false;
        ui.horizontal_wrapped(|ui| {
            if let Some(label) = typed::words(
                ui,
                bench,
                ("body", &x.id),
                &format!("{} name", x.label),
                &x.label,
                150.0,
                tray,
            ) {
                new.label = label;
                changed = true;
            }
            for (near, word) in [(NearWheel::Front, "front"), (NearWheel::Rear, "rear")] {
                changed |= ui.radio_value(&mut new.near, near, word).changed();
            }
            let remove = ui.small_button("–").on_hover_text("Take this part away");
            remove.widget_info(|| {
                let name = format!("Remove {}", x.label);
                egui::WidgetInfo::labeled(egui::Role::Button, true, name)
            });
            if remove.clicked() {
                tray.edit(Edit::Rolling(RollingEdit::RemoveBody(x.id.clone())));
            }
        });
        egui::Grid::new(("body corners", &x.id))
            .num_columns(4)
            .spacing([6.0, 3.0])
            .show(ui, |ui| {
                common::place_head(ui, bench);
                for (low, word, at) in [(true, "from", x.from), (false, "to", x.to)] {
                    if let Some(to) = common::place(ui, bench, &x.label, word, at, tray) {
                        new = corner(new.clone(), low, to);
                        changed = true;
                    }
                }
            });
        if changed {
            tray.edit(Edit::Rolling(RollingEdit::PutBody(new)));
        }
    }
    if ui.button("Add a part of the body").clicked() {
        tray.edit(Edit::Rolling(RollingEdit::PutBody(fresh(bench, mock))));
    }
    ui.add_space(6.0);
}

/// A wall inside the left rear tyre.
fn fresh(bench: &Bench<'_>, mock: &MockUp) -> BodyBox {
    let id = (1..)
        .map(|n| format!("body{n}"))
        .find(|id| mock.body.iter().all(|x| x.id != *id))
        .unwrap_or_default();
    let car = &bench.build.car.rear;
    let inner = 0.5 * (car.track.si() - car.tyre_width.si()) - 0.06;
    let (r, up) = (0.5 * car.tyre_diameter.si(), car.loaded_radius.si());
    BodyBox {
        label: format!("Panel {}", mock.body.len() + 1),
        id,
        near: NearWheel::Rear,
        from: Place::from_si([-r, inner - 0.003, up + 0.1]),
        to: Place::from_si([r, inner, up + r + 0.1]),
    }
}

/// Shafts in hand, measured.
pub(super) fn shafts(
    ui: &mut Ui,
    bench: &Bench<'_>,
    mock: &MockUp,
    study: &ClearanceStudy,
    tray: &mut Tray,
) {
    common::head(ui, bench, "Shafts in hand", "flange face to spline end");
    let set = |shafts: Option<ShaftsMeasured>| {
        let mut new = mock.clone();
        new.housing.shafts = shafts;
        Edit::Rolling(RollingEdit::MockUp(
            "Measure the shafts",
            Some(Box::new(new)),
        ))
    };
    let Some(now) = mock.housing.shafts else {
        if ui.button("Enter measured shafts").clicked()
            && let Ok(order) = &study.order
        {
            tray.edit(set(Some(ShaftsMeasured {
                left: Length::from_si(order.left_shaft),
                right: Length::from_si(order.right_shaft),
                spline: Length::from_inches(2.0),
                gear_from: Length::from_inches(0.375),
                gear_to: Length::from_inches(2.125),
            })));
        }
        return;
    };
    let mut new = now;
    egui::Grid::new("shafts")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            for (word, field) in [
                ("left", &mut new.left),
                ("right", &mut new.right),
                ("spline", &mut new.spline),
                ("side gear from", &mut new.gear_from),
                ("side gear to", &mut new.gear_to),
            ] {
                let typed = common::value(ui, bench, "Shaft", word, Kind::Length, field.si(), tray);
                if let Some(si) = typed {
                    *field = Length::from_si(si);
                }
                ui.end_row();
            }
        });
    if new != now {
        tray.edit(set(Some(new)));
    }
    if ui.button("No shafts yet").clicked() {
        tray.edit(set(None));
    }
    ui.add_space(6.0);
}

/// Notch and bump stop.
pub(super) fn stop(ui: &mut Ui, bench: &Bench<'_>, mock: &MockUp, tray: &mut Tray) {
    fields(ui, bench, "Notch and bump stop", STOP, tray);
    let set = |stop: Option<BumpStopData>| {
        let mut new = mock.clone();
        new.bump_stop = stop;
        Edit::Rolling(RollingEdit::MockUp(
            "Draw the bump stops",
            Some(Box::new(new)),
        ))
    };
    if mock.bump_stop.is_none() {
        if ui.button("Draw bump stops").clicked() {
            let b = bench.build;
            let out = b.frame.offset.si() + 0.5 * b.frame.width.si();
            let up = b.car.rear.loaded_radius.si() + 0.5 * b.rear.housing.tube_diameter.si();
            tray.edit(set(Some(BumpStopData {
                pad: Place::from_si([0.0, out, up]),
                face: Place::from_si([0.0, out, up + 0.9 * mock.bump.si()]),
                loses: Length::from_inches(0.75),
            })));
        }
        return;
    }
    egui::Grid::new("stop points")
        .num_columns(4)
        .spacing([6.0, 3.0])
        .show(ui, |ui| {
            common::place_head(ui, bench);
            for p in points::POINTS
                .iter()
                .filter(|p| p.id.starts_with("mock_up."))
            {
                let Some(now) = (p.get)(bench.build) else {
                    continue;
                };
                let word = if p.id.ends_with("pad") { "pad" } else { "face" };
                if let Some(to) = common::place(ui, bench, "Bump stop", word, now, tray) {
                    tray.edit(Edit::Rolling(RollingEdit::Move {
                        point: p.id.to_owned(),
                        to,
                    }));
                }
            }
        });
    if ui.button("Take the bump stops out").clicked() {
        tray.edit(set(None));
    }
}

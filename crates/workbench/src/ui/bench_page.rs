//! Every phase without a drawing of its own: the numbers it needs, typed, and its record so far.

use build::{Along, Edit, SecondReference, fields};
use eframe::egui::{self, Ui};
use units::{Kind, Length};

use super::bench::{Action, Bench, Tray};
use super::command::Command;
use super::theme::bold;
use super::typed;

/// The page of a phase.
pub fn show(ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
    let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(16, 10));
    margin.show(ui, |ui| {
        egui::ScrollArea::vertical()
            .auto_shrink(false)
            .show(ui, |ui| {
                if matches!(phase, "goal" | "mock_up") {
                    car_form(ui, bench, tray);
                    rail_line(ui, bench, tray);
                    second_reference(ui, bench, tray);
                    ui.add_space(10.0);
                }
                record(ui, bench, phase, tray);
            });
    });
}

/// The car's scalar fields in groups.
pub fn car_form(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    for (head, prefix) in [
        ("Car", "car."),
        ("Frame rail", "frame."),
        ("Rear axle", "rear."),
    ] {
        ui.label(egui::RichText::new(head).font(bold(13.0)));
        let columns = if ui.available_width() > 560.0 { 2 } else { 1 };
        egui::Grid::new(("form", head))
            .num_columns(2 * columns)
            .spacing([12.0, 4.0])
            .show(ui, |ui| {
                for (i, f) in fields::FIELDS
                    .iter()
                    .filter(|f| f.id.starts_with(prefix))
                    .enumerate()
                {
                    ui.label(f.label).on_hover_text(f.help);
                    let now = (f.get)(bench.build);
                    if let Some(si) =
                        typed::field(ui, bench, ("form", f.id), f.label, f.kind, now, 96.0, tray)
                    {
                        tray.edit(Edit::Field {
                            id: f.id.to_owned(),
                            si,
                        });
                    }
                    if i % columns == columns - 1 {
                        ui.end_row();
                    }
                }
                ui.end_row();
            });
        ui.add_space(8.0);
    }
}

/// The rail's bottom face, point by point.
fn rail_line(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    ui.label(egui::RichText::new("Rail's bottom face, back to front").font(bold(13.0)));
    let mut line = bench.build.frame.line.clone();
    egui::Grid::new("rail line")
        .num_columns(5)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            let mut remove = None;
            for (i, (x, z)) in bench.build.frame.line.iter().enumerate() {
                ui.label(format!("{}", i + 1));
                for (k, (word, now)) in [("ahead", *x), ("up", *z)].into_iter().enumerate() {
                    let name = format!("Rail point {} {word}", i + 1);
                    if let Some(v) = typed::field(
                        ui,
                        bench,
                        ("rail", i, word),
                        &name,
                        Kind::Length,
                        now.si(),
                        80.0,
                        tray,
                    ) {
                        let v = Length::from_si(v);
                        if k == 0 {
                            line[i].0 = v;
                        } else {
                            line[i].1 = v;
                        }
                    }
                    ui.label(word);
                }
                let r = ui.small_button("–").on_hover_text("Take this point away");
                r.widget_info(|| {
                    egui::WidgetInfo::labeled(
                        egui::Role::Button,
                        true,
                        format!("Remove rail point {}", i + 1),
                    )
                });
                if r.clicked() {
                    remove = Some(i);
                }
                ui.end_row();
            }
            if let Some(i) = remove {
                line.remove(i);
            }
        });
    if ui.button("Add a point ahead").clicked() {
        let (x, z) = line.last().copied().unwrap_or_default();
        line.push((x + Length::from_inches(12.0), z));
    }
    if line != bench.build.frame.line {
        line.sort_by(|a, b| a.0.si().total_cmp(&b.0.si()));
        tray.edit(Edit::RailLine(line));
    }
    ui.add_space(8.0);
}

/// The face that sheets measure brackets from a second time.
fn second_reference(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    ui.label(egui::RichText::new("Second reference on the sheet").font(bold(13.0)));
    let now = &bench.build.rear.second_reference;
    let Some(reference) = now else {
        ui.horizontal(|ui| {
            ui.colored_label(
                bench.palette.dim,
                "None: holes are measured from the datum only.",
            );
            if ui.button("Pick one").clicked() {
                let height = bench
                    .build
                    .frame
                    .line
                    .last()
                    .map_or(Length::from_inches(10.0), |p| p.1);
                tray.edit(Edit::SecondReference(Some(SecondReference {
                    label: "rail, bottom face".to_owned(),
                    along: Along::Height,
                    at: height,
                })));
            }
        });
        return;
    };
    let mut new = reference.clone();
    ui.horizontal_wrapped(|ui| {
        if let Some(label) = typed::words(
            ui,
            bench,
            "reference",
            "Second reference",
            &new.label,
            150.0,
            tray,
        ) {
            new.label = label;
        }
        for (along, word) in [
            (Along::Station, "ahead"),
            (Along::Offset, "out"),
            (Along::Height, "up"),
        ] {
            ui.radio_value(&mut new.along, along, word);
        }
        ui.label("at");
        if let Some(v) = typed::field(
            ui,
            bench,
            "reference at",
            "Second reference at",
            Kind::Length,
            new.at.si(),
            80.0,
            tray,
        ) {
            new.at = Length::from_si(v);
        }
        if ui.button("None").clicked() {
            tray.edit(Edit::SecondReference(None));
        }
    });
    if new != *reference {
        tray.edit(Edit::SecondReference(Some(new)));
    }
    ui.add_space(8.0);
}

/// What has been recorded in a phase, newest first.
fn record(ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
    let Some(p) = bench.build.phase(phase) else {
        return;
    };
    ui.label(egui::RichText::new("Record of this phase").font(bold(13.0)));
    let mut marks: Vec<_> = p
        .checks
        .iter()
        .flat_map(|c| c.marks.iter().map(move |m| (m, c)))
        .collect();
    marks.sort_by(|a, b| b.0.when.cmp(&a.0.when));
    if marks.is_empty() {
        ui.colored_label(
            bench.palette.dim,
            "Nothing yet. Tick a check, or record a measurement, in the list at the right.",
        );
    }
    egui::Grid::new("record")
        .num_columns(4)
        .spacing([16.0, 4.0])
        .striped(true)
        .show(ui, |ui| {
            for (m, c) in marks {
                ui.colored_label(bench.palette.dim, &m.when);
                ui.label(&m.who);
                let value = m
                    .value
                    .map(|q| bench.kept(q.kind, q.si))
                    .unwrap_or_default();
                ui.label(if m.done {
                    value
                } else {
                    "taken back".to_owned()
                });
                let note = if m.note.is_empty() {
                    String::new()
                } else {
                    format!(" · {}", m.note)
                };
                ui.add(egui::Label::new(format!("{}{note}", c.label)).truncate());
                ui.end_row();
            }
        });
    if !matches!(phase, "goal" | "mock_up") {
        ui.add_space(8.0);
        let e = Command::CarForm.entry();
        if ui.button(e.label).on_hover_text(e.tip).clicked() {
            tray.put(Action::Run(Command::CarForm));
        }
    }
}

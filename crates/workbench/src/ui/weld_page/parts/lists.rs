//! Lists of everything in the assembly, each with its way to add one.

use build::{Build, Edit, Node, Part, Place, Plate, Tube, WeldEdit};
use eframe::egui::{self, Button, Grid, Role, Ui, WidgetInfo};
use units::{Angle, Length};

use super::super::super::assembly_view::make::{self, fresh};
use super::super::super::assembly_view::words;
use super::super::super::bench::{Action, Bench, Tray};
use super::super::super::command::Command;
use super::super::super::fit_up_page::{kind_name, verdict_words};
use super::super::super::theme::{bold, plain};
use super::super::super::typed;
use super::material;
use super::pieces::{COORDINATES, coordinate};

/// Tubes, plates, joints, dimensions, materials: one below the other.
pub(super) fn others(ui: &mut Ui, bench: &Bench<'_>, chosen: Option<&Part>, tray: &mut Tray) {
    let b = bench.build;
    tubes(ui, bench, chosen, tray);
    plates(ui, bench, chosen, tray);
    joints(ui, bench, chosen, tray);
    dimensions(ui, bench, chosen, tray);
    head(
        ui,
        bench,
        "Materials of the shop's own",
        "Add a material",
        |b, tray| {
            let id = fresh("M", |id| b.assembly.materials.iter().any(|m| m.id == id));
            tray.edit(Edit::Weld(WeldEdit::PutMaterial(material::usual(id))));
        },
        tray,
    );
    if b.assembly.materials.is_empty() {
        quiet(ui, bench, "None: the table's are enough.");
    }
    for x in &b.assembly.materials {
        material::show(ui, bench, x, tray);
    }
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        ui.label("name of the drawing");
        let now = &b.assembly.label;
        let salt = "assembly label";
        if let Some(text) = typed::words(ui, bench, salt, "Name of the drawing", now, 200.0, tray) {
            tray.edit(Edit::Weld(WeldEdit::Label(text)));
        }
    });
}

fn head(
    ui: &mut Ui,
    bench: &Bench<'_>,
    title: &str,
    add: &str,
    put: impl FnOnce(&Build, &mut Tray),
    tray: &mut Tray,
) {
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        ui.label(egui::RichText::new(title).font(bold(13.0)));
        if ui.small_button(add).clicked() {
            put(bench.build, tray);
        }
    });
}

fn quiet(ui: &mut Ui, bench: &Bench<'_>, text: &str) {
    let text = egui::RichText::new(text)
        .font(plain(11.5))
        .color(bench.palette.dim);
    ui.add(egui::Label::new(text).wrap());
}

/// A row that chooses a part.
#[expect(
    clippy::too_many_arguments,
    reason = "a row is all of these; call sites read in order"
)]
fn row(
    ui: &mut Ui,
    bench: &Bench<'_>,
    part: Part,
    chosen: Option<&Part>,
    label: &str,
    value: &str,
    colour: Option<egui::Color32>,
    tray: &mut Tray,
) {
    let is = chosen == Some(&part);
    ui.horizontal(|ui| {
        let half = (0.5 * ui.available_width()).max(60.0);
        let text = egui::RichText::new(label).font(plain(12.5));
        let button = Button::selectable(is, text).truncate();
        let r = ui
            .scope(|ui| {
                ui.set_max_width(half);
                ui.add(button)
            })
            .inner;
        r.widget_info(|| {
            let mut info =
                WidgetInfo::selected(Role::ListBoxOption, true, is, format!("Choose {part}"));
            info.current_text_value = Some(format!("{label}; {value}"));
            info
        });
        let value = egui::RichText::new(value)
            .font(plain(12.0))
            .color(colour.unwrap_or(bench.palette.dim));
        ui.add(egui::Label::new(value).truncate());
        if r.clicked() {
            tray.put(Action::Select(part));
        }
    });
}

/// Nodes with their coordinates.
pub(super) fn nodes(ui: &mut Ui, bench: &Bench<'_>, chosen: Option<&Part>, tray: &mut Tray) {
    head(
        ui,
        bench,
        "Nodes",
        "Add a node",
        |b, tray| {
            let id = fresh("N", |id| b.assembly.node(id).is_some());
            // Beside the one in hand, or on the centreline a foot up.
            let at = match bench.selected {
                Some(Part::Node(id)) => b.assembly.node(id).map(|x| x.at),
                _ => None,
            };
            let foot = Length::from_inches(12.0);
            let at = at.map_or(
                Place {
                    height: foot,
                    ..Place::default()
                },
                |p| Place {
                    height: p.height + foot,
                    ..p
                },
            );
            tray.edit(Edit::Weld(WeldEdit::PutNode(Node { id: id.clone(), at })));
            tray.put(Action::Select(Part::Node(id)));
        },
        tray,
    );
    if bench.build.assembly.nodes.is_empty() {
        quiet(ui, bench, "None yet: points that tubes run between.");
        return;
    }
    Grid::new("assembly nodes")
        .num_columns(4)
        .spacing([6.0, 3.0])
        .show(ui, |ui| {
            ui.label("");
            for word in ["station, ahead +", "offset, left +", "height"] {
                let text = egui::RichText::new(word)
                    .font(plain(11.0))
                    .color(bench.palette.dim);
                ui.label(text);
            }
            ui.end_row();
            for x in &bench.build.assembly.nodes {
                let part = Part::Node(x.id.clone());
                let is = chosen == Some(&part);
                let text = egui::RichText::new(&x.id).font(plain(12.5));
                let r = ui.add(Button::selectable(is, text));
                r.widget_info(|| {
                    WidgetInfo::selected(Role::ListBoxOption, true, is, format!("Choose {part}"))
                });
                if r.clicked() {
                    tray.put(Action::Select(part));
                }
                for k in 0..COORDINATES.len() {
                    if is {
                        // Its fields stand in the form.
                        ui.label(bench.kept(units::Kind::Length, x.at.si()[k]));
                    } else {
                        coordinate(ui, bench, x, k, tray);
                    }
                }
                ui.end_row();
            }
        });
}

/// The first two nodes, or what to do first.
fn two_nodes<'a>(b: &'a Build, tray: &mut Tray) -> Option<(&'a Node, &'a Node)> {
    match b.assembly.nodes.as_slice() {
        [x, y, ..] => Some((x, y)),
        _ => {
            tray.put(Action::Say(
                "It runs between nodes: add two nodes first".to_owned(),
            ));
            None
        }
    }
}

fn tubes(ui: &mut Ui, bench: &Bench<'_>, chosen: Option<&Part>, tray: &mut Tray) {
    head(
        ui,
        bench,
        "Tubes",
        "Add a tube",
        |b, tray| {
            let Some((x, y)) = two_nodes(b, tray) else {
                return;
            };
            let last = b.assembly.tubes.last();
            let stock = last.map_or_else(make::Stock::default, |t| make::Stock {
                section: t.section,
                material: t.material.clone(),
            });
            let id = fresh("T", |id| b.assembly.part_label(id).is_some());
            tray.edit(Edit::Weld(WeldEdit::PutTube(Tube {
                label: format!("Tube {}", id.trim_start_matches('T')),
                id: id.clone(),
                from: x.id.clone(),
                to: y.id.clone(),
                section: stock.section,
                material: stock.material,
                turn: Angle::from_si(0.0),
                bends: Vec::new(),
                die: None,
                ends: build::Ends::Welded,
            })));
            tray.put(Action::Select(Part::Tube(id)));
        },
        tray,
    );
    if bench.build.assembly.tubes.is_empty() {
        quiet(
            ui,
            bench,
            "None yet: press Draw a tube above, or add one between two nodes.",
        );
    }
    for x in &bench.build.assembly.tubes {
        let value = words::tube(bench.build, x, bench.shop());
        let part = Part::Tube(x.id.clone());
        row(ui, bench, part, chosen, &x.label, &value, None, tray);
    }
}

fn plates(ui: &mut Ui, bench: &Bench<'_>, chosen: Option<&Part>, tray: &mut Tray) {
    head(
        ui,
        bench,
        "Plates",
        "Add a plate",
        |b, tray| {
            let corners: Vec<String> = b
                .assembly
                .nodes
                .iter()
                .take(3)
                .map(|x| x.id.clone())
                .collect();
            if corners.len() < 3 {
                tray.put(Action::Say(
                    "A plate needs three corners: add three nodes first".to_owned(),
                ));
                return;
            }
            let id = fresh("P", |id| b.assembly.part_label(id).is_some());
            tray.edit(Edit::Weld(WeldEdit::PutPlate(Plate {
                label: format!("Plate {}", id.trim_start_matches('P')),
                id: id.clone(),
                outline: corners,
                thickness: Length::from_inches(0.1875),
                material: "1018".to_owned(),
            })));
            tray.put(Action::Select(Part::Plate(id)));
        },
        tray,
    );
    if bench.build.assembly.plates.is_empty() {
        quiet(ui, bench, "None.");
    }
    for x in &bench.build.assembly.plates {
        let value = words::plate(x, bench.shop());
        let part = Part::Plate(x.id.clone());
        row(ui, bench, part, chosen, &x.label, &value, None, tray);
    }
}

fn joints(ui: &mut Ui, bench: &Bench<'_>, chosen: Option<&Part>, tray: &mut Tray) {
    head(
        ui,
        bench,
        "Joints",
        "Add a joint",
        |_, tray| {
            tray.put(Action::Run(Command::AddJoint));
        },
        tray,
    );
    if bench.build.fit_up.joints.is_empty() {
        quiet(
            ui,
            bench,
            "None yet: a tube drawn onto another one brings its joint.",
        );
    }
    for j in &bench.build.fit_up.joints {
        let judged = bench.study.fit_up.joints.iter().find(|s| s.id == j.id);
        let (verdict, colour) = judged.map_or_else(
            || (String::new(), bench.palette.dim),
            |s| verdict_words(bench, s),
        );
        let state = if j.welded.is_some() { " · welded" } else { "" };
        let value = format!("{} · {verdict}{state}", kind_name(j.kind));
        let part = Part::Joint(j.id.clone());
        row(
            ui,
            bench,
            part,
            chosen,
            &j.label,
            &value,
            Some(colour),
            tray,
        );
    }
}

fn dimensions(ui: &mut Ui, bench: &Bench<'_>, chosen: Option<&Part>, tray: &mut Tray) {
    head(
        ui,
        bench,
        "Control dimensions",
        "Add a dimension",
        |b, tray| {
            let Some((x, y)) = two_nodes(b, tray) else {
                return;
            };
            let list = &b.weld_out.dimensions;
            let new = make::dimension(&b.assembly, list, &x.id, &y.id, bench.shop());
            let part = Part::Dimension(new.id.clone());
            tray.edit(Edit::Weld(WeldEdit::PutDimension(new)));
            tray.put(Action::Select(part));
        },
        tray,
    );
    if bench.build.weld_out.dimensions.is_empty() {
        quiet(
            ui,
            bench,
            "None yet: press Measure above and draw from node to node.",
        );
    }
    for d in &bench.build.weld_out.dimensions {
        let (first, second, verdict) = words::dimension(bench, d);
        let part = Part::Dimension(d.id.clone());
        let colour = Some(verdict.colour(bench));
        row(ui, bench, part, chosen, &first, &second, colour, tray);
    }
}

//! The frame under power: what pulls and pushes it, what each tube stands, what is bolted on.

use build::{
    Carried, CarriedBy, Carrier, Edit, FrameTest, Hand, LaunchFrame, Part, Place, PointMass, Sides,
    TubeEdit,
};
use eframe::egui::{self, Grid, Role, Ui, WidgetInfo};
use units::{Kind, Mass};

use super::super::assembly_view::make::fresh;
use super::super::bench::{Action, Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::super::typed;
use super::super::weld_page::parts::common::{Form, choose, nodes};
use super::super::weld_panels::bits;
use super::{test_form, words};

/// What the topic remembers.
#[derive(Debug, Default)]
pub(super) struct State {
    /// The load in hand.
    pub load: Option<usize>,
    /// The frame's give is drawn.
    pub shape: bool,
}

pub(super) fn show(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    bits::two(state, ui, bench, tray, "load columns", 0.55, left, right);
}

fn left(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    match &bench.study.frame.launch {
        Ok(launch) => {
            balance(ui, bench, launch);
            ui.checkbox(&mut state.shape, "draw how the frame gives");
            reserves(ui, bench, launch, tray);
            loads(state, ui, bench, launch);
        }
        Err(why) => bits::say_in(
            ui,
            bench.palette.bad,
            format!("The frame can not be loaded: {why}."),
        ),
    }
    common::remarks(ui, bench, &Part::Reading("frame.lowest_reserve".to_owned()));
    common::caution(ui, bench, build::FRAME_CAUTION);
}

/// Weights and how well loads and weights belong together.
fn balance(ui: &mut Ui, bench: &Bench<'_>, x: &LaunchFrame) {
    let p = bench.palette;
    ui.horizontal_wrapped(|ui| {
        ui.label("At");
        let text = bench.show(Kind::Acceleration, x.acceleration);
        ui.label(egui::RichText::new(text).font(bold(14.0)));
        if let Ok(lowest) = bench.study.frame.lowest_reserve() {
            let colour = if lowest < 1.0 { p.bad } else { p.ink };
            ui.label("the lowest reserve is");
            ui.label(
                egui::RichText::new(format!("{lowest:.2}"))
                    .font(bold(14.0))
                    .color(colour),
            );
        }
    });
    let size = |v: &[f64; 3]| (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt();
    common::note(
        ui,
        bench,
        format!(
            "Entered {}, tubes {}, the rest {} spread over the frame. Loads and weights differ by {}.",
            words::mass(bench, x.entered),
            words::mass(bench, x.own),
            words::mass(bench, x.rest),
            bench.show(Kind::Acceleration, size(&x.difference))
        ),
    );
}

/// Tubes, the weakest first.
fn reserves(ui: &mut Ui, bench: &Bench<'_>, x: &LaunchFrame, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "What each tube stands",
        "strength over load; the weakest first",
    );
    let mut all: Vec<_> = x.reserves.iter().flatten().collect();
    all.sort_by(|a, b| a.lowest().total_cmp(&b.lowest()));
    for r in all {
        let Some(tube) = bench.build.assembly.tubes.get(r.tube) else {
            continue;
        };
        let part = Part::Tube(tube.id.clone());
        let times = |v: f64| {
            if v.is_finite() && v < 1000.0 {
                format!("{v:.1}")
            } else {
                "plenty".to_owned()
            }
        };
        let lowest = r.lowest();
        let right = times(lowest);
        let mut under = format!(
            "{} at {} from A, yields at {} times",
            bench.show(Kind::Pressure, r.von_mises),
            bench.length(r.at),
            times(r.yields)
        );
        if r.compression > 0.0 && r.column.is_finite() {
            under = format!(
                "{under} · pushed {} over {}, buckles at {} times",
                bench.show(Kind::Force, r.compression),
                bench.length(r.straight),
                times(r.column)
            );
        }
        let row = bits::Row {
            name: format!("Reserve of tube {}", tube.id),
            label: &tube.label,
            right: &right,
            colour: if lowest < 1.0 {
                bench.palette.bad
            } else {
                bench.palette.ink
            },
            under: &under,
            drawn: "",
            chosen: bench.selected == Some(&part),
            faint: false,
        };
        if bits::row(ui, bench, &row).clicked() {
            tray.put(Action::Select(part));
        }
    }
}

/// What acts on the frame.
fn loads(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, x: &LaunchFrame) {
    common::head(ui, bench, "What acts on it", "weight and inertia beside");
    for (i, l) in x.loads.iter().enumerate() {
        let size = |v: &[f64; 3]| (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt();
        let force = size(&l.force);
        let right = if force > 0.5 {
            bench.show(Kind::Force, force)
        } else {
            bench.show(Kind::Torque, size(&l.moment))
        };
        let on = match l.tube {
            Some(t) => format!("on {}", words::name(bench, t)),
            None => "shared by nodes".to_owned(),
        };
        let arm = if l.arm > 0.002 {
            format!(", {} off it", bench.length(l.arm))
        } else {
            String::new()
        };
        let row = bits::Row {
            name: format!("Load {}", l.label),
            label: &l.label,
            right: &right,
            colour: bench.palette.ink,
            under: &format!("{on}{arm}"),
            drawn: "",
            chosen: state.load == Some(i),
            faint: false,
        };
        if bits::row(ui, bench, &row).clicked() {
            state.load = (state.load != Some(i)).then_some(i);
        }
    }
}

fn right(_: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    masses(ui, bench, tray);
    ui.separator();
    common::head(
        ui,
        bench,
        "Engine mounts",
        "they take the driveshaft's torque",
    );
    let test = &bench.build.frame_test;
    let mut mounts = test.engine_mounts.clone();
    several(ui, bench, "Engine mount", &mut mounts);
    set(test, tray, |t| t.engine_mounts = mounts);
    ui.horizontal_wrapped(|ui| {
        ui.label("front springs push at");
        if let Some(p) = test_form::pair(ui, bench, "Front springs", &test.front_springs) {
            set(test, tray, |t| t.front_springs = p);
        }
    });
    carriers(ui, bench, tray);
}

fn set(test: &FrameTest, tray: &mut Tray, change: impl FnOnce(&mut FrameTest)) {
    let mut new = test.clone();
    change(&mut new);
    if new != *test {
        tray.edit(Edit::Tube(TubeEdit::SetTest(Box::new(new))));
    }
}

/// A list of nodes that grows and shrinks.
fn several(ui: &mut Ui, bench: &Bench<'_>, word: &str, all: &mut Vec<String>) {
    let options = nodes(bench.build);
    let mut remove = None;
    ui.horizontal_wrapped(|ui| {
        for (i, id) in all.iter_mut().enumerate() {
            let n = i + 1;
            choose(ui, &format!("{word} {n}"), id, &options, 96.0);
            let r = ui.small_button("–");
            r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Remove {word} {n}")));
            if r.clicked() {
                remove = Some(i);
            }
        }
        let r = ui.small_button("+ node");
        r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Add {word}")));
        if r.clicked()
            && let Some((id, _)) = options.iter().find(|(id, _)| !all.contains(id))
        {
            all.push(id.clone());
        }
    });
    if let Some(i) = remove {
        all.remove(i);
    }
}

/// What is bolted on, where, and on which nodes.
fn masses(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Bolted on",
        "weight, its centre, and the nodes that carry it",
    );
    let test = &bench.build.frame_test;
    for x in &test.masses {
        let mut new = x.clone();
        let form = Form {
            owner: format!("Weight {}", x.id),
            bench,
        };
        ui.horizontal_wrapped(|ui| {
            form.words(ui, "what", &mut new.label, 150.0, tray);
            ui.label("weighs");
            let name = format!("Weight {}, mass", x.id);
            let now = x.mass.si();
            if let Some(v) = typed::field(
                ui,
                bench,
                ("mass", &x.id),
                &name,
                Kind::Mass,
                now,
                76.0,
                tray,
            ) {
                new.mass = Mass::from_si(v);
            }
            let r = ui.small_button("–").on_hover_text("Take it off the list");
            r.widget_info(|| {
                WidgetInfo::labeled(Role::Button, true, format!("Remove weight {}", x.id))
            });
            if r.clicked() {
                tray.edit(Edit::Tube(TubeEdit::RemoveMass(x.id.clone())));
            }
        });
        Grid::new(("mass at", &x.id))
            .num_columns(4)
            .spacing([8.0, 4.0])
            .show(ui, |ui| {
                common::place_head(ui, bench);
                if let Some(at) =
                    common::place(ui, bench, &format!("Weight {}", x.id), "centre", x.at, tray)
                {
                    new.at = at;
                }
            });
        several(ui, bench, &format!("Weight {} on node", x.id), &mut new.on);
        if new != *x {
            tray.edit(Edit::Tube(TubeEdit::PutMass(new)));
        }
    }
    if ui.button("Add a weight").clicked() {
        let id = fresh("W", |id| test.masses.iter().any(|x| x.id == id));
        tray.edit(Edit::Tube(TubeEdit::PutMass(PointMass {
            label: format!("Weight {}", id.trim_start_matches('W')),
            id,
            mass: Mass::from_si(45.359_237),
            at: Place::from_si([1.0, 0.0, 0.5]),
            on: Vec::new(),
        })));
    }
}

/// Loads and what carries them: the nearest tube, or a node.
fn carriers(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Carried by",
        "the nearest tube, or a node you name",
    );
    let b = bench.build;
    let mut all: Vec<(Carried, String)> = Vec::new();
    let hands = [(Hand::Left, "left"), (Hand::Right, "right")];
    for x in b.rear.brackets.iter().filter(|x| x.on == Carrier::Frame) {
        for (side, word) in hands {
            let of = |label: &str| match x.sides {
                Sides::Pair => format!("{label}, {word}"),
                Sides::Single => label.to_owned(),
            };
            // A single bracket is one load: that of the side it is on.
            let own = x.sides == Sides::Pair || (x.at.si()[1] >= 0.0) == (side == Hand::Left);
            if own {
                all.push((
                    Carried::Bracket {
                        bracket: x.id.clone(),
                        side,
                    },
                    of(&x.label),
                ));
            }
        }
    }
    if !b.power.coilovers.is_empty() {
        for (side, word) in hands {
            all.push((Carried::CoilOver(side), format!("coil-over, {word}")));
        }
    }
    let mut options = vec![(None, "nearest tube".to_owned())];
    options.extend(nodes(b).into_iter().map(|(id, word)| (Some(id), word)));
    Grid::new("carriers")
        .num_columns(2)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            for (load, label) in all {
                ui.label(egui::RichText::new(&label).font(plain(12.5)));
                let chosen = b.frame_test.carriers.iter().find(|x| x.load == load);
                let mut node = chosen.map(|x| x.node.clone());
                let before = node.clone();
                choose(
                    ui,
                    &format!("{label} carried by"),
                    &mut node,
                    &options,
                    120.0,
                );
                if node != before {
                    tray.edit(Edit::Tube(match (node, chosen) {
                        (Some(node), _) => TubeEdit::Carry(CarriedBy { load, node }),
                        (None, Some(old)) => TubeEdit::CarryByNearest(old.clone()),
                        (None, None) => continue,
                    }));
                }
                ui.end_row();
            }
        });
}

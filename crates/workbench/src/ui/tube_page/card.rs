//! The card of a tube: what to saw, where to bend, how its ends are cut, and its form.

use build::{BendStudy, Edit, Ends, Node, Part, Place, Tube, TubeEdit, TubePart};
use eframe::egui::{self, Grid, Role, Ui, WidgetInfo};
use units::{Kind, Length};

use super::super::assembly_view::make::fresh;
use super::super::assembly_view::{one_step, words as drawing};
use super::super::bench::{Action, Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::super::typed;
use super::super::weld_page::parts::pieces;
use super::super::weld_panels::bits::{self, FIELD};
use super::tubes::State;
use super::{bend_sheet, ends, words, wraps};

/// A bend's radius where nothing says another, in outside diameters (a rule book's usual least).
const USUAL_RADIUS: f64 = 3.0;

pub(super) fn show(
    state: &mut State,
    ui: &mut Ui,
    bench: &Bench<'_>,
    tube: &Tube,
    tray: &mut Tray,
) {
    let p = bench.palette;
    let study = bench.study.tubes.tube(&tube.id);
    let hint = drawing::tube(bench.build, tube, bench.shop());
    common::head(ui, bench, &tube.label, &hint);
    match study.map(|s| &s.part) {
        Some(Ok(part)) => {
            ui.horizontal_wrapped(|ui| {
                ui.label(egui::RichText::new("Saw to").font(plain(13.0)));
                let cut = words::marked(bench, part.cut);
                ui.label(egui::RichText::new(cut).font(bold(15.0)));
                let mut rest = vec![words::mass(bench, part.mass)];
                if let Some(centre) = part.centre {
                    rest.push(format!(
                        "{} along its middle, skin to skin",
                        words::marked(bench, centre)
                    ));
                }
                if let Some(turn) = part.relative_clock {
                    rest.push(format!(
                        "end B's cut stands {} from end A's, right hand from A to B",
                        words::angle(bench, turn)
                    ));
                }
                ui.label(
                    egui::RichText::new(rest.join(" · "))
                        .font(plain(12.0))
                        .color(p.dim),
                );
            });
            if !part.bends.is_empty() {
                bends(ui, bench, tube, part, tray);
                bend_sheet::show(ui, bench, tube, part);
            }
            ends::show(ui, bench, tube, part, tray);
            wraps::show(ui, bench, tube, part);
        }
        Some(Err(why)) => {
            bits::say_in(
                ui,
                p.bad,
                format!("Can not be made: {}.", why.show(bench.shop())),
            );
            corners(ui, bench, tube, tray);
        }
        None => {}
    }
    common::remarks(ui, bench, &Part::Tube(tube.id.clone()));
    choices(state, ui, bench, tube, tray);
    ui.separator();
    pieces::tube(ui, bench, tube, tray);
}

/// The bends from A to B.
fn bends(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, part: &TubePart, tray: &mut Tray) {
    let p = bench.palette;
    common::head(
        ui,
        bench,
        "Bends",
        "A to B; turns as seen from the tail, looking at the die",
    );
    for (i, x) in part.bends.iter().enumerate() {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            ui.label(
                egui::RichText::new(format!("{}", i + 1))
                    .font(bold(13.0))
                    .color(p.accent),
            );
            let wanted = words::angle(bench, x.bend.angle);
            ui.label(egui::RichText::new(wanted).font(bold(13.0)));
            match x.set {
                Ok(set) => {
                    let set = format!("set {}", words::angle(bench, set));
                    ui.label(egui::RichText::new(set).font(bold(13.0)).color(p.good));
                }
                Err(why) => {
                    let why = format!("no angle to set: {why}");
                    ui.label(egui::RichText::new(why).font(plain(12.0)).color(p.dim));
                }
            }
            ui.label(format!(
                "mark {} from A, {} from B",
                words::marked(bench, x.from_a),
                words::marked(bench, x.from_b)
            ));
            radius(ui, bench, tube, x, tray);
        });
        bits_note(ui, bench, &said(bench, x));
    }
    if let Some(last) = part.line.straights().last() {
        bits_note(
            ui,
            bench,
            &format!(
                "{} straight behind the last bend",
                words::marked(bench, *last)
            ),
        );
    }
    // Where the line runs straight through a corner there is no bend, but the corner can be taken out.
    if part.bends.len() < tube.bends.len() {
        corners(ui, bench, tube, tray);
    }
}

fn bits_note(ui: &mut Ui, bench: &Bench<'_>, text: &str) {
    common::note(ui, bench, text);
}

/// What else is to be known of a bend.
fn said(bench: &Bench<'_>, x: &BendStudy) -> String {
    let mut all = vec![format!(
        "{} straight before it",
        words::marked(bench, x.straight)
    )];
    if let Some(turn) = x.bend.rotation {
        all.push(words::turn(bench, turn));
    }
    if let Some(wall) = &x.wall {
        let mut text = format!(
            "wall left outside about {}",
            words::wall(bench, wall.estimate)
        );
        if let Some(allowed) = wall.by_allowance {
            text = format!(
                "{text}, by the piping allowance {}",
                words::wall(bench, allowed)
            );
        }
        all.push(text);
    }
    all.push("out of round: measure it".to_owned());
    all.join(" · ")
}

fn radius(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, x: &BendStudy, tray: &mut Tray) {
    if let Some(place) = tube.bends.iter().position(|b| b.at == x.node) {
        corner(ui, bench, tube, place, tray);
    }
}

/// Radius of a corner, and its way out.
fn corner(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, place: usize, tray: &mut Tray) {
    let Some(bend) = tube.bends.get(place) else {
        return;
    };
    let n = place + 1;
    ui.label("radius");
    let name = format!("Tube {}, bend {n}, radius", tube.id);
    let salt = ("bend radius", &tube.id, place);
    let now = bend.radius.si();
    if let Some(v) = typed::field(
        ui,
        bench,
        salt,
        &name,
        Kind::Length,
        now,
        FIELD - 20.0,
        tray,
    ) {
        tray.edit(Edit::Tube(TubeEdit::SetRadius {
            tube: tube.id.clone(),
            place,
            radius: Length::from_si(v),
        }));
    }
    let name = format!("Node {}", bend.at);
    if ui
        .small_button(&bend.at)
        .on_hover_text("The node of its corner: drag it, or type where it is")
        .clicked()
    {
        tray.put(Action::Select(Part::Node(bend.at.clone())));
    }
    let r = ui
        .small_button("–")
        .on_hover_text(format!("Take this bend out; {name} stays"));
    r.widget_info(|| {
        WidgetInfo::labeled(
            Role::Button,
            true,
            format!("Tube {}, take bend {n} out", tube.id),
        )
    });
    if r.clicked() {
        tray.edit(Edit::Tube(TubeEdit::RemoveCorner {
            tube: tube.id.clone(),
            place,
        }));
    }
}

/// Corners of a tube that has no bend there, or can not be made.
fn corners(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, tray: &mut Tray) {
    for place in 0..tube.bends.len() {
        ui.horizontal_wrapped(|ui| {
            ui.label(format!("corner {}", place + 1));
            corner(ui, bench, tube, place, tray);
        });
    }
}

/// Die, ends, and another bend.
fn choices(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, tray: &mut Tray) {
    Grid::new(("tube choices", &tube.id))
        .num_columns(2)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            ui.label("bent on");
            let mut die = tube.die.clone();
            let mut all = vec![(None, "no die".to_owned())];
            let dies = bench.build.tube_work.dies.iter();
            all.extend(dies.map(|d| (Some(d.id.clone()), d.label.clone())));
            if bits::chooser(ui, &format!("Tube {}, die", tube.id), 180.0, &mut die, &all) {
                tray.edit(Edit::Tube(TubeEdit::SetDie {
                    tube: tube.id.clone(),
                    die,
                }));
            }
            ui.end_row();
            ui.label("its ends")
                .on_hover_text("How they hold, for the frame's stiffness");
            let mut holds = tube.ends;
            let all = [
                (Ends::Welded, "welded".to_owned()),
                (Ends::Pinned, "pinned or on rod ends, both".to_owned()),
            ];
            if bits::chooser(
                ui,
                &format!("Tube {}, ends", tube.id),
                180.0,
                &mut holds,
                &all,
            ) {
                tray.edit(Edit::Tube(TubeEdit::SetEnds {
                    tube: tube.id.clone(),
                    ends: holds,
                }));
            }
            ui.end_row();
        });
    another(state, ui, bench, tube, tray);
}

/// Where on the legs a new corner comes: place among the corners, and the point.
fn on_leg(corners: &[[f64; 3]], at: f64) -> Option<(usize, [f64; 3])> {
    let mut left = at;
    let legs = corners.windows(2);
    let count = legs.len();
    for (i, leg) in legs.enumerate() {
        let d: [f64; 3] = std::array::from_fn(|k| leg[1][k] - leg[0][k]);
        let long = d.iter().map(|v| v * v).sum::<f64>().sqrt();
        if left < long || i + 1 == count {
            let t = if long > 0.0 { left / long } else { 0.5 };
            if !(t > 0.0 && t < 1.0) {
                return None;
            }
            // On the tape, as drawn points lie.
            return Some((i, std::array::from_fn(|k| leg[0][k] + t * d[k])));
        }
        left -= long;
    }
    None
}

/// Another bend: where, with the radius of the die or the last bend. It is drawn straight, then dragged.
fn another(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, tray: &mut Tray) {
    let b = bench.build;
    let Some(corners) = super::super::assembly_view::solid::corners(b, tube) else {
        return;
    };
    let whole: f64 = corners
        .windows(2)
        .map(|w| {
            let d: [f64; 3] = std::array::from_fn(|k| w[1][k] - w[0][k]);
            d.iter().map(|v| v * v).sum::<f64>().sqrt()
        })
        .sum();
    ui.horizontal_wrapped(|ui| {
        ui.label("another bend");
        let at = state.at.unwrap_or(0.5 * whole);
        let name = format!("Tube {}, next bend from end A", tube.id);
        let salt = ("next bend", &tube.id);
        if let Some(v) = typed::field(ui, bench, salt, &name, Kind::Length, at, FIELD, tray) {
            state.at = Some(v);
        }
        ui.label("from end A, corner to corner");
        let r = ui
            .button("Add the corner")
            .on_hover_text("A node on the tube that you then drag or type to where it bends");
        r.widget_info(|| {
            WidgetInfo::labeled(Role::Button, true, format!("Tube {}, add a bend", tube.id))
        });
        if !r.clicked() {
            return;
        }
        let Some((place, point)) = on_leg(&corners, state.at.unwrap_or(at)) else {
            tray.put(Action::Say(format!(
                "The corner must lie between the ends: up to {}",
                bench.length(whole)
            )));
            return;
        };
        let die = tube.die.as_ref().and_then(|id| b.tube_work.die(id));
        let radius = tube
            .bends
            .last()
            .map(|x| x.radius)
            .or(die.map(|d| d.radius))
            .unwrap_or_else(|| Length::from_si(2.0 * USUAL_RADIUS * tube.section.reach()));
        let id = fresh("N", |id| b.assembly.node(id).is_some());
        let to = point.map(|v| (v * 1e5).round() / 1e5);
        one_step(
            vec![Edit::Tube(TubeEdit::AddCorner {
                tube: tube.id.clone(),
                place,
                node: Node {
                    id: id.clone(),
                    at: Place::from_si(to),
                },
                radius,
            })],
            tray,
        );
        tray.put(Action::Select(Part::Node(id)));
        state.at = None;
    });
}

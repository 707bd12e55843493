//! Hands on the assembly: dragging and nudging nodes, drawing with the pen, removing.

use build::{Build, Edit, Part, WeldEdit};
use eframe::egui::{self, Key, PointerButton, Pos2, Vec2};

use super::super::bench::{Action, Bench, Tray};
use super::super::canvas::{self, Moved, View};
use super::super::handles::{Face, Hand, moved_place};
use super::make::{self, Anchor, Reach, Stock};
use super::scene::{length, nearness, sub};
use super::{AssemblyView, Tool};

/// How near a level of another node catches a dragged one, points.
const CATCH: f32 = 5.0;
/// How far the pen reaches for a node, points.
const REACH: f32 = 12.0;

/// Widget of a node in a face: never depends on where it is.
pub(super) fn node_id(face: Face, node: &str) -> egui::Id {
    // Turning leaves the keys with the node that has them.
    let which = match face {
        Face::Rear => 0_u8,
        Face::Side => 1,
        Face::Plan => 2,
        Face::Turned(_) => 3,
    };
    egui::Id::unique(("assembly node", which, node))
}

/// What is dragged.
#[derive(Debug, Default)]
pub(super) struct Held {
    /// From where the node stands to where the pointer took it.
    offset: Option<Vec2>,
    /// The node on the other side that moves with it.
    partner: Option<String>,
}

/// A stroke of the pen.
#[derive(Debug)]
pub(super) struct Stroke {
    /// Where it began.
    pub from: Anchor,
}

impl AssemblyView {
    /// Reads what hands and keys want, before anything is drawn: the drawing follows in the same frame.
    pub fn read(&mut self, hand: &Hand<'_>, selected: Option<&Part>, tray: &mut Tray) {
        let typing = hand.ctx.text_edit_focused();
        if !typing {
            self.keys(hand, selected, tray);
        }
        if self.tool != Tool::Select {
            return;
        }
        let (face, view) = (self.face, *self.view());
        for node in &hand.build.assembly.nodes {
            let at = node.at.si();
            let id = node_id(face, &node.id);
            let mut moved = canvas::read(hand.ctx, &view, id, &mut self.held.offset, face.flat(at));
            // A node chosen elsewhere heeds the arrow keys where nothing else does.
            if selected == Some(&Part::Node(node.id.clone()))
                && !typing
                && moved == Moved::default()
                && hand.ctx.memory(|m| m.focused().is_none())
            {
                moved = arrows(hand.ctx);
            }
            if moved == Moved::default() {
                continue;
            }
            if moved.picked {
                tray.put(Action::Select(Part::Node(node.id.clone())));
            }
            if moved.began || moved.nudge != [0, 0] {
                let other = make::partner(&hand.build.assembly, node);
                self.held.partner = other.filter(|_| self.mirror).map(|x| x.id.clone());
            }
            let nudged = moved.nudge != [0, 0];
            if moved.began || nudged {
                tray.put(Action::BeginGesture);
            }
            if let Some(mut to) = moved_place(hand.shop, hand.snap, face, at, &moved) {
                if self.levels && hand.snap && moved.to.is_some() {
                    to = self.on_level(hand.build, node, to, view.metres(CATCH));
                }
                // The node in hand is the last: undo names it.
                if let Some(other) = &self.held.partner {
                    tray.edit(Edit::Weld(WeldEdit::MoveNode {
                        node: other.clone(),
                        to: to.mirrored(),
                    }));
                }
                tray.edit(Edit::Weld(WeldEdit::MoveNode {
                    node: node.id.clone(),
                    to,
                }));
            }
            if moved.ended || nudged {
                tray.put(Action::EndGesture);
            }
        }
    }

    /// A moved node on the stations, offsets and heights of the others, where it comes near them.
    fn on_level(
        &self,
        b: &Build,
        node: &build::Node,
        to: build::Place,
        slack: f64,
    ) -> build::Place {
        let was = node.at.si();
        let partner = self.held.partner.as_deref();
        let mut at = to.si();
        for k in 0..3 {
            if at[k] == was[k] {
                continue;
            }
            let others = b.assembly.nodes.iter();
            let near = others
                .filter(|x| x.id != node.id && Some(x.id.as_str()) != partner)
                .map(|x| x.at.si()[k])
                .filter(|v| (v - at[k]).abs() <= slack)
                .min_by(|x, y| (x - at[k]).abs().total_cmp(&(y - at[k]).abs()));
            if let Some(v) = near {
                at[k] = v;
            }
        }
        build::Place::from_si(at)
    }

    fn keys(&mut self, hand: &Hand<'_>, selected: Option<&Part>, tray: &mut Tray) {
        let ctx = hand.ctx;
        if self.tool != Tool::Select && ctx.input(|i| i.key_pressed(Key::Escape)) {
            // The stroke is given up first, then the pen is put down.
            if self.stroke.take().is_some() {
                ctx.stop_dragging();
            } else {
                self.tool = Tool::Select;
            }
        }
        let held = ctx.input(|i| i.pointer.any_down());
        if !held
            && let Some(edit) = selected.and_then(removal)
            && ctx.input_mut(|i| i.consume_key(egui::Modifiers::NONE, Key::Delete))
        {
            tray.edit(edit);
        }
    }

    /// The pen over the drawing: strokes make tubes and dimensions.
    pub(super) fn pen(
        &mut self,
        ui: &mut egui::Ui,
        painter: &egui::Painter,
        bench: &Bench<'_>,
        tray: &mut Tray,
    ) {
        let view = *self.view();
        let id = egui::Id::unique("assembly pen");
        let r = ui
            .interact(view.rect, id, egui::Sense::click_and_drag())
            .on_hover_cursor(egui::CursorIcon::Crosshair);
        r.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, self.tool.word()));
        if matches!(self.face, Face::Turned(_)) {
            self.turned_by(&r);
        } else if r.dragged_by(PointerButton::Middle) || r.dragged_by(PointerButton::Secondary) {
            self.view_mut().pan(r.drag_delta());
        }
        let pointer = ui.input(|i| i.pointer.interact_pos());
        if r.drag_started_by(PointerButton::Primary)
            && let Some(origin) = ui.input(|i| i.pointer.press_origin())
        {
            let from = self.catch(bench, &view, origin, None);
            self.stroke = Some(Stroke { from });
        }
        let hover = r.hover_pos().or(pointer.filter(|_| self.stroke.is_some()));
        if let Some(at) = hover {
            let from = self.stroke.as_ref().map(|s| &s.from);
            let end = self.catch(bench, &view, at, from);
            self.preview(painter, bench, &view, &end);
            if r.drag_stopped_by(PointerButton::Primary)
                && let Some(stroke) = self.stroke.take()
            {
                self.finish(bench, &stroke.from, &end, tray);
            }
        }
        if r.clicked() {
            tray.put(Action::Say(format!(
                "{}: press at one end, draw to the other, let go. Escape puts the pen down",
                self.tool.word()
            )));
        }
        let gone = self.stroke.is_some() && !ui.input(|i| i.pointer.any_down());
        if gone && !r.drag_stopped() {
            self.stroke = None;
        }
    }

    /// What the pen takes hold of at a point of the screen.
    fn catch(&self, bench: &Bench<'_>, view: &View, at: Pos2, from: Option<&Anchor>) -> Anchor {
        let (b, q) = (bench.build, view.back(at));
        let depth = from.map_or_else(
            || self.depth(b, bench.selected, q),
            |f| nearness(self.face, f.at),
        );
        let reach = Reach {
            face: self.face,
            depth,
            // A dimension takes nodes only.
            begun: from.is_some() && self.tool != Tool::Measure,
            slack: view.metres(REACH),
            shop: bench.shop(),
        };
        make::anchor(b, q, &reach)
    }

    /// How near the eye a free point lies: as what is chosen, or as the node nearest by.
    fn depth(&self, b: &Build, selected: Option<&Part>, q: [f64; 2]) -> f64 {
        let chosen = match selected {
            Some(Part::Node(id)) => b.assembly.node(id),
            _ => None,
        };
        let off = |p: [f64; 3]| {
            let f = self.face.flat(p);
            (f[0] - q[0]).hypot(f[1] - q[1])
        };
        let nearest = || {
            let nodes = b.assembly.nodes.iter();
            nodes.min_by(|x, y| off(x.at.si()).total_cmp(&off(y.at.si())))
        };
        chosen
            .or_else(nearest)
            .map_or(0.0, |x| nearness(self.face, x.at.si()))
    }

    fn preview(&self, painter: &egui::Painter, bench: &Bench<'_>, view: &View, end: &Anchor) {
        let p = bench.palette;
        let at = view.at(self.face.flat(end.at));
        let line = egui::Stroke::new(1.8, p.accent);
        if let Some(stroke) = &self.stroke {
            let from = view.at(self.face.flat(stroke.from.at));
            painter.line_segment([from, at], line);
            painter.circle(from, 4.5, p.accent, line);
        }
        let what = match (&end.node, &end.tube) {
            (Some(node), _) => format!("node {node}"),
            (None, Some(tube)) => format!(
                "on {}",
                bench.build.assembly.part_label(tube).unwrap_or(tube)
            ),
            (None, None) => "new node".to_owned(),
        };
        let caught = end.node.is_some() || end.tube.is_some();
        let fill = if caught { p.accent } else { p.ground };
        painter.circle(at, 5.5, fill, line);
        let place = super::words::place(build::Place::from_si(end.at), bench.shop());
        super::callout(painter, bench, view, at, &what, &place);
    }

    fn finish(&mut self, bench: &Bench<'_>, from: &Anchor, to: &Anchor, tray: &mut Tray) {
        let ends = [from, to];
        let b = bench.build;
        let drawn = match self.tool {
            Tool::Tube => make::draw_tube(b, ends, &self.stock(b), self.mirror)
                .map(|(edits, id)| (edits, Part::Tube(id))),
            Tool::Measure => make::measure(b, ends, self.mirror, bench.shop())
                .map(|(edits, id)| (edits, Part::Dimension(id))),
            Tool::Brace => {
                let loose = ends.iter().any(|x| x.node.is_none() && x.tube.is_none());
                if loose || length(sub(from.at, to.at)) < make::SHORTEST {
                    let say = "A brace runs from one node or tube to another: press at one, let go at the other";
                    tray.put(Action::Say(say.to_owned()));
                } else {
                    self.brace = Some([from.clone(), to.clone()]);
                }
                return;
            }
            Tool::Select => return,
        };
        match drawn {
            Ok((edits, part)) => {
                one_step(edits.into_iter().map(Edit::Weld).collect(), tray);
                tray.put(Action::Select(part));
            }
            Err(why) => tray.put(Action::Say(why.to_owned())),
        }
    }

    /// What a new tube is made of: as the last one drawn.
    pub fn stock(&self, b: &Build) -> Stock {
        let last = b.assembly.tubes.last();
        last.map_or_else(Stock::default, |t| Stock {
            section: t.section,
            material: t.material.clone(),
        })
    }
}

/// Several edits as one step to undo.
pub fn one_step(edits: Vec<Edit>, tray: &mut Tray) {
    tray.put(Action::BeginGesture);
    for edit in edits {
        tray.edit(edit);
    }
    tray.put(Action::EndGesture);
}

/// What removes a part of the assembly or of the weld-out record.
pub fn removal(part: &Part) -> Option<Edit> {
    Some(match part {
        Part::Node(id) => Edit::Weld(WeldEdit::RemoveNode(id.clone())),
        Part::Tube(id) => Edit::Weld(WeldEdit::RemoveTube(id.clone())),
        Part::Plate(id) => Edit::Weld(WeldEdit::RemovePlate(id.clone())),
        Part::Dimension(id) => Edit::Weld(WeldEdit::RemoveDimension(id.clone())),
        Part::Coupon(id) => Edit::Weld(WeldEdit::RemoveCoupon(id.clone())),
        Part::Correction(id) => Edit::Weld(WeldEdit::RemoveCorrection(id.clone())),
        Part::Joint(id) => Edit::RemoveJoint(id.clone()),
        _ => return None,
    })
}

/// Arrow keys, with Shift sixteen steps.
fn arrows(ctx: &egui::Context) -> Moved {
    let mut moved = Moved::default();
    ctx.input_mut(|i| {
        for (modifiers, coarse) in [
            (egui::Modifiers::SHIFT, true),
            (egui::Modifiers::NONE, false),
        ] {
            let mut count = |k| i.count_and_consume_key(modifiers, k) as i32;
            let d = [
                count(Key::ArrowRight) - count(Key::ArrowLeft),
                count(Key::ArrowUp) - count(Key::ArrowDown),
            ];
            if d != [0, 0] {
                moved.nudge = d;
                moved.coarse = coarse;
            }
        }
    });
    moved
}

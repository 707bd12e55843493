//! The assembly drawn: from behind, from the side, from above; nodes can be dragged, tubes and control
//! dimensions drawn with a pen.

mod dims;
mod hand;
mod labels;
pub mod make;
mod over;
mod paint;
pub mod scene;
pub mod solid;
pub mod tint;
mod turning;
mod way;
pub mod words;

use build::Part;
use eframe::egui::{self, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::bench::{Action, Bench, Tray};
use super::canvas::{self, View};
use super::command::Command;
use super::handles::{Face, Turn};
use super::theme::{bold, plain};
use labels::Room;
use make::Anchor;
use scene::{Scene, Solid};
use tint::Tints;

pub use hand::{one_step, removal};
pub use over::{Arrow, Shifted};

/// Smallest drawing that is drawn, points.
const LEAST: f32 = 24.0;

/// What a press on the drawing does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tool {
    /// Chooses and drags.
    #[default]
    Select,
    /// Draws a tube.
    Tube,
    /// Makes a control dimension.
    Measure,
    /// Tries a brace, without drawing it yet.
    Brace,
}

impl Tool {
    /// What its button says.
    pub fn word(self) -> &'static str {
        match self {
            Self::Select => "Choose and drag",
            Self::Tube => "Draw a tube",
            Self::Measure => "Measure",
            Self::Brace => "Try a brace",
        }
    }

    /// What its button's tip says.
    fn tip(self) -> &'static str {
        match self {
            Self::Select => "Choose and drag",
            Self::Tube => "Press at a node, on a tube or anywhere, draw to the other end, let go",
            Self::Measure => "Press at a node, draw to another one: a control dimension",
            Self::Brace => {
                "Press at a node or on a tube, draw to another: what it gains is shown before it is kept"
            }
        }
    }
}

/// Correction beads still to be laid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToCome {
    /// The correction.
    pub correction: String,
    /// The tube they go on.
    pub tube: String,
    /// How many.
    pub beads: u32,
}

/// What the page knows of the welding and the drawing shows.
#[derive(Clone, Copy, Default)]
pub struct Marks<'a> {
    /// Joints in the order they are welded: balloons carry the position in it, from 1.
    pub order: &'a [String],
    /// The joint that is next.
    pub next: Option<&'a str>,
    /// Correction beads still to be laid.
    pub to_come: &'a [ToCome],
    /// Tubes coloured by a number.
    pub tints: Option<&'a Tints>,
    /// The frame as it gives under load.
    pub shifted: Option<&'a Shifted>,
    /// Loads on the frame.
    pub arrows: &'a [Arrow],
    /// Braces that are tried, not drawn: their ends, build frame, m.
    pub tried: &'a [[scene::Space; 2]],
    /// Pairs of nodes with what they are called.
    pub pairs: &'a [(String, [scene::Space; 2])],
    /// Tubes alone: no joints, beads and control dimensions.
    pub bare: bool,
}

/// How a node's ring looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Spot {
    Plain,
    Hovered,
    Held,
}

/// What the drawing remembers between frames.
#[derive(Debug)]
pub struct AssemblyView {
    /// Which way it is looked at.
    pub face: Face,
    /// What a press does.
    pub tool: Tool,
    /// The other side follows.
    pub mirror: bool,
    /// A dragged node holds on to the stations, offsets and heights of the others.
    pub levels: bool,
    /// Pens offered.
    pub tools: &'static [Tool],
    /// The last brace the pen drew, until somebody takes it.
    pub brace: Option<[Anchor; 2]>,
    behind: View,
    side: View,
    above: View,
    turned: View,
    turn: Turn,
    rest: egui::Vec2,
    held: hand::Held,
    stroke: Option<hand::Stroke>,
}

/// From behind on the right, a little from above.
const QUARTER: Turn = Turn {
    round: 38,
    over: 24,
};

impl Default for AssemblyView {
    fn default() -> Self {
        Self {
            face: Face::Rear,
            tool: Tool::default(),
            mirror: false,
            levels: false,
            tools: &[Tool::Tube, Tool::Measure],
            brace: None,
            behind: View::default(),
            side: View::default(),
            above: View::default(),
            turned: View::default(),
            turn: QUARTER,
            rest: egui::Vec2::ZERO,
            held: hand::Held::default(),
            stroke: None,
        }
    }
}

/// What a view is called on its button.
pub fn face_word(face: Face) -> &'static str {
    match face {
        Face::Rear => "From behind",
        Face::Side => "Side",
        Face::Plan => "From above",
        Face::Turned(_) => "Turned",
    }
}

impl AssemblyView {
    /// A drawing where both sides move together and nodes hold on to one another's levels.
    pub fn for_frames() -> Self {
        Self {
            mirror: true,
            levels: true,
            ..Self::default()
        }
    }

    /// The view in use.
    pub fn view(&self) -> &View {
        match self.face {
            Face::Rear => &self.behind,
            Face::Side => &self.side,
            Face::Plan => &self.above,
            Face::Turned(_) => &self.turned,
        }
    }

    /// The view in use, to be moved.
    pub fn view_mut(&mut self) -> &mut View {
        match self.face {
            Face::Rear => &mut self.behind,
            Face::Side => &mut self.side,
            Face::Plan => &mut self.above,
            Face::Turned(_) => &mut self.turned,
        }
    }

    /// Shows the whole drawing at the next chance.
    pub fn fit(&mut self) {
        for v in [
            &mut self.behind,
            &mut self.side,
            &mut self.above,
            &mut self.turned,
        ] {
            v.fit = true;
        }
    }

    /// Another document: nothing in hand is meant for it.
    pub fn start_over(&mut self) {
        self.fit();
        self.held = hand::Held::default();
        self.stroke = None;
        self.brace = None;
        self.tool = Tool::Select;
    }

    /// Head and drawing.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, marks: &Marks<'_>, tray: &mut Tray) {
        self.head(ui, bench, tray);
        self.drawing(ui, bench, marks, tray);
    }

    fn head(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 4));
        inside.show(ui, |ui| {
            let tight = ui.available_width() < 560.0;
            ui.spacing_mut().item_spacing.x = if tight { 3.0 } else { 5.0 };
            ui.spacing_mut().button_padding.x = if tight { 4.0 } else { 7.0 };
            let label = &bench.build.assembly.label;
            let title = if label.is_empty() { "Assembly" } else { label };
            let wide = ui.available_width() > 760.0;
            ui.horizontal_wrapped(|ui| {
                if wide {
                    ui.label(egui::RichText::new(title).font(bold(13.0)));
                    ui.add_space(6.0);
                }
                for face in [Face::Rear, Face::Side, Face::Plan, Face::Turned(self.turn)] {
                    ui.selectable_value(&mut self.face, face, face_word(face));
                }
                ui.separator();
                for tool in self.tools {
                    let on = self.tool == *tool;
                    let r = ui
                        .selectable_label(on, tool.word())
                        .on_hover_text(tool.tip());
                    if r.clicked() {
                        self.tool = if on { Tool::Select } else { *tool };
                        self.stroke = None;
                    }
                }
                ui.checkbox(&mut self.mirror, "Both sides")
                    .on_hover_text("Draw and drag on both sides of the car at once");
                let e = Command::Fit.entry();
                if ui.button(e.label).on_hover_text(e.tip).clicked() {
                    tray.put(Action::Run(Command::Fit));
                }
            });
            ui.horizontal_wrapped(|ui| self.turning(ui));
        });
    }

    fn drawing(&mut self, ui: &mut Ui, bench: &Bench<'_>, marks: &Marks<'_>, tray: &mut Tray) {
        let face = self.face;
        let pen = self.tool != Tool::Select;
        let name = match face {
            Face::Rear => "Assembly, from behind",
            Face::Side => "Assembly, side",
            Face::Plan => "Assembly, from above",
            Face::Turned(_) => "Assembly, turned",
        };
        let free = matches!(face, Face::Turned(_));
        let view = self.view_mut();
        let (canvas, painter) = if free {
            canvas::begin_by(ui, name, view, &[egui::PointerButton::Primary])
        } else {
            canvas::begin(ui, name, view)
        };
        if free {
            self.turned_by(&canvas);
        }
        let face = self.face;
        let view = self.view_mut();
        if view.rect.width() < LEAST || view.rect.height() < LEAST {
            return; // dragged shut: nothing could be told apart
        }
        let scene = Scene::with(bench.build, Some(&bench.study.tubes), face);
        let whole = scene.bounds();
        // On the weld pages the rest of the frame may run out of the drawing.
        let bounds = if marks.bare {
            whole
        } else {
            scene.welded(bench.build).or(whole)
        };
        if view.fit {
            let (low, high) = bounds.unwrap_or(([-0.6, 0.0], [0.6, 0.9]));
            // Twice: how the dimensions lie is known once the drawing has a size.
            view.fit_to(low, high, vec2(60.0, 60.0));
            if marks.bare {
                view.fit_to(low, high, vec2(36.0, 40.0));
            } else {
                let around = dims::margin(bench, view, face, on_screen(view, low, high));
                view.fit_to(low, high, around);
            }
        }
        let view = *view;
        // The scale's figures stand below the floor line: without room for them there is none.
        let floor = matches!(face, Face::Rear | Face::Side)
            && view.at([0.0, 0.0]).y < view.rect.bottom() - 22.0;
        match face {
            Face::Turned(_) => turning::floor(&painter, bench, &view, face, bench.build),
            _ => canvas::grid(&painter, &view, bench, floor),
        }
        paint::solids(&painter, bench, &view, &scene, marks.tints);
        if !marks.bare {
            way::draw(&painter, bench, &view, face);
            paint::beads(&painter, bench, &view, &scene, marks);
        }
        over::draw(&painter, bench, &view, face, marks);
        if bench.build.assembly.is_empty() {
            self.start_here(ui, bench, view.rect, tray);
        }
        if pen {
            self.pen(ui, &painter, bench, tray);
        }
        paint::grips(ui, bench, &view, &scene, !pen, tray);
        let mut room = Room::new(view.rect.shrink(3.0));
        for x in &scene.nodes {
            let at = view.at(face.flat(x.at.si()));
            room.keep(Rect::from_center_size(at, vec2(10.0, 10.0)));
        }
        for s in &scene.solids {
            for cover in s.covers() {
                let n = cover.len();
                for k in 0..n {
                    let ends = [k, (k + 1) % n].map(|k| view.at(cover[k]));
                    room.stroke(ends[0], ends[1], 3.0);
                }
            }
            if let Solid::Tube(x) = s {
                let half = (x.tube.section.reach() * view.scale) as f32;
                for w in x.centreline().windows(2) {
                    let line = [w[0], w[1]].map(|e| view.at(face.flat(e)));
                    room.stroke(line[0], line[1], half);
                }
            }
        }
        let frame = bounds.map_or(Rect::NOTHING, |(low, high)| on_screen(&view, low, high));
        if marks.bare {
            over::labels(&painter, bench, &view, &scene, marks, &mut room);
        } else {
            let dims = dims::lines(&painter, bench, &view, face, frame, &mut room);
            paint::balloons(
                ui, &painter, bench, &view, &scene, marks, &mut room, !pen, tray,
            );
            for x in &dims {
                dims::label(ui, &painter, bench, &view, x, &mut room, !pen, tray);
            }
        }
        let mut told = self.nodes(ui, &painter, bench, &view, &scene);
        told |= pen;
        if !pen {
            part_under(ui, &painter, bench, &view, &scene, &canvas, told, tray);
        }
    }

    /// Lays and paints the nodes; whether one of them tells where it is.
    fn nodes(
        &self,
        ui: &mut Ui,
        painter: &egui::Painter,
        bench: &Bench<'_>,
        view: &View,
        scene: &Scene<'_>,
    ) -> bool {
        let mut told = None;
        for x in &scene.nodes {
            let at = scene.face.flat(x.at.si());
            let (name, value) = (format!("Node {}", x.id), words::place(x.at, bench.shop()));
            let chosen = bench.selected == Some(&Part::Node(x.id.clone()));
            let id = hand::node_id(scene.face, &x.id);
            let (hovered, held) = if self.tool == Tool::Select {
                canvas::lay(ui, view, id, at, vec2(15.0, 15.0), &name, &value)
            } else {
                let whole = Rect::from_center_size(view.at(at), vec2(15.0, 15.0));
                let hit = whole.intersect(view.rect);
                if hit.is_positive() {
                    let r = ui.interact(hit, id, Sense::hover());
                    r.widget_info(|| {
                        let mut info = WidgetInfo::labeled(Role::Button, true, &name);
                        info.current_text_value = Some(value.clone());
                        info
                    });
                }
                (false, false)
            };
            let spot = match (held || chosen, hovered) {
                (true, _) => Spot::Held,
                (false, true) => Spot::Hovered,
                (false, false) => Spot::Plain,
            };
            paint::node(painter, bench, view.at(at), spot);
            if hovered || (held && told.is_none()) {
                told = Some((view.at(at), format!("node {}", x.id), value));
            }
        }
        if let Some((at, first, second)) = &told {
            callout(painter, bench, view, *at, first, second);
        }
        told.is_some()
    }

    /// An empty floor says what to do first.
    fn start_here(&mut self, ui: &mut Ui, bench: &Bench<'_>, floor: Rect, tray: &mut Tray) {
        let size = vec2(340.0, 96.0).min(floor.size());
        let place =
            Rect::from_center_size(floor.center_top() + vec2(0.0, 0.5 * size.y + 16.0), size);
        let mut card = ui.new_child(egui::UiBuilder::new().max_rect(place));
        egui::Frame::NONE
            .fill(bench.palette.panel)
            .stroke(Stroke::new(1.3, bench.palette.accent))
            .corner_radius(5)
            .inner_margin(10)
            .show(&mut card, |ui| {
                ui.label("Nothing drawn yet: draw the first tube here, or add a node in Parts and type where it is.");
                ui.horizontal(|ui| {
                    if ui.button("Draw the first tube").clicked() {
                        self.tool = Tool::Tube;
                    }
                    if ui.button("Add the first node").clicked() {
                        let node = build::Node {
                            id: "N1".to_owned(),
                            at: build::Place::default(),
                        };
                        tray.edit(build::Edit::Weld(build::WeldEdit::PutNode(node)));
                        tray.put(Action::Select(Part::Node("N1".to_owned())));
                    }
                });
            });
    }
}

fn on_screen(view: &View, low: [f64; 2], high: [f64; 2]) -> Rect {
    Rect::from_two_pos(view.at(low), view.at(high))
}

/// The tube or plate under the pointer: named, and chosen by a click.
#[expect(
    clippy::too_many_arguments,
    reason = "a layer of one drawing: call sites read in order"
)]
fn part_under(
    ui: &Ui,
    painter: &egui::Painter,
    bench: &Bench<'_>,
    view: &View,
    scene: &Scene<'_>,
    canvas: &egui::Response,
    told: bool,
    tray: &mut Tray,
) {
    let Some(at) = canvas.hover_pos().filter(|_| !told) else {
        return;
    };
    let under = scene.at(view.back(at), view.metres(4.0));
    if let Some(s) = under
        && !ui.input(|i| i.pointer.any_down())
    {
        let (first, second) = match s {
            Solid::Tube(x) => (
                &x.tube.label,
                words::tube(bench.build, x.tube, bench.shop()),
            ),
            Solid::Plate(x) => (&x.plate.label, words::plate(x.plate, bench.shop())),
        };
        callout(painter, bench, view, at, first, &second);
    }
    if canvas.clicked() {
        let part = under.map_or(Part::Build, Solid::part);
        tray.put(Action::Select(part));
    }
}

/// Two lines beside a point, kept on the sheet.
fn callout(
    painter: &egui::Painter,
    bench: &Bench<'_>,
    view: &View,
    at: Pos2,
    first: &str,
    second: &str,
) {
    let p = bench.palette;
    let a = painter.layout_no_wrap(first.to_owned(), bold(12.0), p.ink);
    let b = painter.layout_no_wrap(second.to_owned(), plain(12.0), p.dim);
    let size = vec2(
        a.size().x.max(b.size().x) + 18.0,
        a.size().y + b.size().y + 12.0,
    );
    let sheet = view.rect.shrink(4.0);
    let mut min = at + vec2(18.0, -size.y - 12.0);
    if min.x + size.x > sheet.right() {
        min.x = at.x - size.x - 18.0;
    }
    if min.y < sheet.top() {
        min.y = at.y + 16.0;
    }
    min = min.min(sheet.max - size).max(sheet.min);
    let rect = Rect::from_min_size(min, size);
    painter.rect(
        rect,
        5,
        p.panel,
        Stroke::new(1.3, p.accent),
        StrokeKind::Inside,
    );
    let drop = a.size().y;
    painter.galley(rect.min + vec2(9.0, 5.0), a, p.ink);
    painter.galley(pos2(rect.left() + 9.0, rect.top() + 7.0 + drop), b, p.dim);
}

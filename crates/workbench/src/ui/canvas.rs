//! A drawing on the floor: its transform, its foot grid, panning and zooming, and handles that can
//! be dragged, nudged with arrow keys and found by name.

use eframe::egui::{
    self, Align2, CursorIcon, EventFilter, Id, Key, Modifiers, PointerButton, Pos2, Rect, Role,
    Sense, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use units::{Kind, System};

use super::bench::Bench;
use super::theme::plain;

/// Where the drawing stands in its rectangle: metres to points, drawing's y up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Drawing point at the rectangle's centre, m.
    pub centre: [f64; 2],
    /// Points per metre.
    pub scale: f64,
    /// The rectangle of the last frame.
    pub rect: Rect,
    /// Fit the drawing again at the next chance.
    pub fit: bool,
    /// The person has panned or zoomed: a new size must not undo that.
    pub touched: bool,
}

impl Default for View {
    fn default() -> Self {
        Self {
            centre: [0.6, 0.5],
            scale: 250.0,
            rect: Rect::ZERO,
            fit: true,
            touched: false,
        }
    }
}

impl View {
    /// Drawing point to screen.
    pub fn at(&self, p: [f64; 2]) -> Pos2 {
        let c = self.rect.center();
        // Far points are held where f32 still draws them.
        let clamp = |v: f64| v.clamp(-1.0e6, 1.0e6) as f32;
        pos2(
            c.x + clamp((p[0] - self.centre[0]) * self.scale),
            c.y - clamp((p[1] - self.centre[1]) * self.scale),
        )
    }

    /// Screen to drawing point.
    pub fn back(&self, p: Pos2) -> [f64; 2] {
        let c = self.rect.center();
        [
            self.centre[0] + f64::from(p.x - c.x) / self.scale,
            self.centre[1] - f64::from(p.y - c.y) / self.scale,
        ]
    }

    /// Puts the drawing's height `y` this far above the lower edge, in points.
    pub fn stand_on(&mut self, y: f64, above: f32) {
        let half = 0.5 * self.rect.height() - above;
        self.centre[1] = y + self.metres(half);
    }

    /// Shows `low` to `high` with a margin in points.
    pub fn fit_to(&mut self, low: [f64; 2], high: [f64; 2], margin: Vec2) {
        let size = (self.rect.size() - 2.0 * margin).max(vec2(20.0, 20.0));
        let (w, h) = ((high[0] - low[0]).max(1e-3), (high[1] - low[1]).max(1e-3));
        self.scale = (f64::from(size.x) / w)
            .min(f64::from(size.y) / h)
            .clamp(MIN_SCALE, MAX_SCALE);
        self.centre = [0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])];
        self.fit = false;
        self.touched = false;
    }

    /// Zooms at the middle of the sheet.
    pub fn zoom_middle(&mut self, factor: f64) {
        self.zoom(self.rect.center(), factor);
    }

    /// Moves the drawing with the hand, by points.
    pub fn pan(&mut self, d: Vec2) {
        self.touched = true;
        self.centre[0] = (self.centre[0] - self.metres(d.x)).clamp(-50.0, 50.0);
        self.centre[1] = (self.centre[1] + self.metres(d.y)).clamp(-50.0, 50.0);
    }

    fn zoom(&mut self, at: Pos2, factor: f64) {
        self.touched = true;
        let before = self.back(at);
        self.scale = (self.scale * factor).clamp(MIN_SCALE, MAX_SCALE);
        let after = self.back(at);
        self.centre = [0, 1].map(|k| (self.centre[k] + before[k] - after[k]).clamp(-50.0, 50.0));
    }

    /// Metres per point.
    pub fn metres(&self, points: f32) -> f64 {
        f64::from(points) / self.scale
    }
}

const MIN_SCALE: f64 = 12.0;
const MAX_SCALE: f64 = 20_000.0;

/// Takes the free space as a canvas: background, pan, zoom. Handles come later and lie on top.
pub fn begin(ui: &mut Ui, name: &str, view: &mut View) -> (egui::Response, egui::Painter) {
    let all = [
        PointerButton::Middle,
        PointerButton::Secondary,
        PointerButton::Primary,
    ];
    begin_by(ui, name, view, &all)
}

/// [`begin`] where only these buttons pan.
pub fn begin_by(
    ui: &mut Ui,
    name: &str,
    view: &mut View,
    pan: &[PointerButton],
) -> (egui::Response, egui::Painter) {
    let (response, painter) = ui.allocate_painter(ui.available_size(), Sense::click_and_drag());
    if view.rect.size() != response.rect.size() && !view.touched {
        view.fit = true;
    }
    view.rect = response.rect;
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, name));
    if pan.iter().any(|button| response.dragged_by(*button)) {
        view.pan(response.drag_delta());
    }
    if response.contains_pointer()
        && let Some(at) = ui.pointer_hover_pos()
    {
        let (scroll, pinch) = ui.input(|i| (i.smooth_scroll_delta().y, i.zoom_delta()));
        let factor = f64::from(pinch) * (f64::from(scroll) * 0.004).exp();
        if factor != 1.0 {
            view.zoom(at, factor);
        }
    }
    (response, painter)
}

/// The grid's spacing: a foot or 250 mm, doubled or halved so that lines stand well apart.
fn grid_step(view: &View, bench: &Bench<'_>) -> f64 {
    let mut step: f64 = match bench.shop().system {
        System::InchPound => 0.3048,
        System::Si => 0.25,
    };
    while step * view.scale < 38.0 {
        step *= 2.0;
    }
    while step * view.scale > 260.0 {
        step *= 0.5;
    }
    step
}

/// Faint grid; `floor` draws the floor line with the station scale on it.
pub fn grid(painter: &egui::Painter, view: &View, bench: &Bench<'_>, floor: bool) {
    let p = bench.palette;
    let step = grid_step(view, bench);
    let (a, b) = (
        view.back(view.rect.left_bottom()),
        view.back(view.rect.right_top()),
    );
    let line = Stroke::new(1.0, p.grid);
    let range = |lo: f64, hi: f64| ((lo / step).ceil() as i64)..=((hi / step).floor() as i64);
    for k in range(a[0], b[0]) {
        painter.vline(view.at([k as f64 * step, 0.0]).x, view.rect.y_range(), line);
    }
    for k in range(a[1], b[1]) {
        painter.hline(view.rect.x_range(), view.at([0.0, k as f64 * step]).y, line);
    }
    if !floor {
        return;
    }
    let y = view.at([0.0, 0.0]).y;
    painter.hline(view.rect.x_range(), y, Stroke::new(2.0, p.chalk));
    // Room for the longest figure: "1750 mm", "108\"".
    let room = match bench.shop().system {
        System::InchPound => 36.0,
        System::Si => 64.0,
    };
    let every = (room / (step * view.scale)).ceil().max(1.0) as i64;
    let edge = 0.5 * room as f32;
    for k in range(a[0], b[0]) {
        let x = view.at([k as f64 * step, 0.0]).x;
        painter.vline(x, y..=y + 5.0, Stroke::new(1.0, p.chalk));
        if k % every != 0 {
            continue;
        }
        if x < view.rect.left() + edge || x > view.rect.right() - edge {
            continue; // its figure would be cut by the edge
        }
        let text = if k == 0 {
            "datum".to_owned()
        } else {
            bench.show(Kind::Length, k as f64 * step)
        };
        painter.text(
            pos2(x, y + 7.0),
            Align2::CENTER_TOP,
            text,
            plain(10.5),
            p.dim,
        );
    }
}

/// What happened to a handle this frame.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Moved {
    /// A drag began.
    pub began: bool,
    /// Where the pointer wants it, drawing coordinates, while dragged.
    pub to: Option<[f64; 2]>,
    /// The drag ended.
    pub ended: bool,
    /// Arrow-key nudges in steps: ahead/right and up.
    pub nudge: [i32; 2],
    /// Sixteen steps at a time.
    pub coarse: bool,
    /// It was clicked or focused.
    pub picked: bool,
}

/// Reads a handle of the last frame before anything is drawn, so that the drawing follows the
/// pointer in the same frame.
pub fn read(
    ctx: &egui::Context,
    view: &View,
    id: Id,
    grab: &mut Option<Vec2>,
    at: [f64; 2],
) -> Moved {
    let mut moved = Moved::default();
    let Some(r) = ctx.read_response(id) else {
        return moved;
    };
    let pointer = ctx.input(|i| i.pointer.interact_pos());
    if r.drag_started_by(PointerButton::Primary) {
        moved.began = true;
        moved.picked = true;
        r.request_focus();
        // Where on the handle it was taken: it must not jump under the hand.
        let origin = ctx.input(|i| i.pointer.press_origin());
        *grab = origin.map(|o| o - view.at(at));
    }
    if r.dragged_by(PointerButton::Primary) || r.drag_stopped_by(PointerButton::Primary) {
        moved.to = pointer.map(|q| view.back(q - grab.unwrap_or(Vec2::ZERO)));
    }
    if r.drag_stopped_by(PointerButton::Primary) {
        moved.ended = true;
        *grab = None;
    }
    if r.clicked() {
        r.request_focus();
        moved.picked = true;
    }
    if ctx.memory(|m| m.has_focus(id)) {
        ctx.input_mut(|i| {
            for (modifiers, coarse) in [(Modifiers::SHIFT, true), (Modifiers::NONE, false)] {
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
    }
    moved
}

/// Handles laid so far in a pass.
#[derive(Clone, Default)]
struct Laid {
    pass: u64,
    rects: Vec<Rect>,
}

/// Notes a handle and says whether the pointer is over it but nearer to one that lies under it: that one is meant.
fn nearer_below(ui: &Ui, whole: Rect) -> bool {
    let pass = ui.ctx().cumulative_pass_nr();
    // What is in hand stays in hand.
    let free = ui.input(|i| !i.pointer.any_down());
    let pointer = ui
        .pointer_hover_pos()
        .filter(|q| free && whole.contains(*q));
    ui.data_mut(|d| {
        let laid = d.get_temp_mut_or_default::<Laid>(Id::unique("handles laid"));
        if laid.pass != pass {
            *laid = Laid {
                pass,
                rects: Vec::new(),
            };
        }
        let nearer = pointer.is_some_and(|q| {
            let way = whole.center().distance(q);
            let mut below = laid.rects.iter().filter(|r| r.contains(q));
            below.any(|r| r.center().distance(q) < way)
        });
        laid.rects.push(whole);
        nearer
    })
}

/// Lays a handle on the canvas; returns whether it is hovered, and whether it has focus or is held.
pub fn lay(
    ui: &mut Ui,
    view: &View,
    id: Id,
    at: [f64; 2],
    size: Vec2,
    name: &str,
    value: &str,
) -> (bool, bool) {
    let whole = Rect::from_center_size(view.at(at), size);
    // Held, it stays in hand beyond the sheet's edge.
    let hit = if ui.ctx().is_being_dragged(id) {
        whole
    } else {
        whole.intersect(view.rect)
    };
    if !hit.is_positive() {
        return (false, false);
    }
    let sense = if nearer_below(ui, whole) {
        Sense::focusable_noninteractive()
    } else {
        Sense::click_and_drag()
    };
    let r = ui
        .interact(hit, id, sense)
        .on_hover_and_drag_cursor(CursorIcon::Grab);
    if r.has_focus() {
        ui.memory_mut(|m| {
            m.set_focus_lock_filter(
                id,
                EventFilter {
                    horizontal_arrows: true,
                    vertical_arrows: true,
                    ..Default::default()
                },
            );
        });
    }
    r.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Button, true, name);
        info.current_text_value = Some(value.to_owned());
        info
    });
    (r.hovered(), r.has_focus() || r.dragged())
}

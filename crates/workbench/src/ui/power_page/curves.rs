//! Curves over the acceleration, worked out once per car.

use std::sync::Arc;

use build::{Build, Case, LaunchStudy, Reactions, Side};
use eframe::egui::{self, Align2, Ui};
use egui_plot::{
    GridMark, HoverPosition, Line, LineStyle, Plot, PlotPoint, PlotPoints, Text, VLine,
};
use units::{Acceleration, Kind};
use vehicle::STANDARD_GRAVITY;
use vehicle::launch::{Balance, Manoeuvre, TractionKind};

use crate::ui::bench::Bench;
use crate::ui::plots::{quiet, round_marks};
use crate::ui::stock_form::choice;
use crate::ui::theme::{bold, plain};

/// Points of a curve.
const POINTS: usize = 41;
/// A curve need not go further beyond the slip than this many times its acceleration.
const BEYOND_SLIP: f64 = 1.6;
/// The slider's end where nothing is known of the car.
const USUAL_TOP: f64 = 2.0 * STANDARD_GRAVITY;

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum What {
    /// Four tyre loads.
    #[default]
    Loads,
    /// Squat, rise, separation.
    Movement,
    /// Pitch and roll.
    Angles,
    /// Link forces.
    Links,
}

const ALL: [(What, &str); 4] = [
    (What::Loads, "Tyre loads"),
    (What::Movement, "Squat, rise, separation"),
    (What::Angles, "Pitch and roll"),
    (What::Links, "Link forces"),
];

/// What the curves follow from: everything but the acceleration and the braking looked at.
#[derive(Debug, Clone, PartialEq)]
struct Basis {
    car: build::Car,
    rear: build::Rear,
    power: build::Power,
}

impl Basis {
    fn of(b: &Build) -> Self {
        let mut power = b.power.clone();
        power.acceleration = Acceleration::from_si(0.0);
        power.braking = Acceleration::from_si(0.0);
        Self {
            car: b.car.clone(),
            rear: b.rear.clone(),
            power,
        }
    }
}

/// The curves of one car.
#[derive(Debug, Default)]
pub struct Curves {
    /// The study they were last asked for with.
    study: Option<Arc<LaunchStudy>>,
    basis: Option<Basis>,
    /// Largest acceleration that balances, m/s²; the slider's end.
    top: f64,
    balances: Vec<Balance>,
    slip: Option<f64>,
    lift: Option<f64>,
    /// How often they were worked out.
    pub worked_out: usize,
}

impl Curves {
    /// Works the curves out where they are not those of this study.
    pub fn follow(&mut self, bench: &Bench<'_>) {
        let study = &bench.study.launch;
        if self.study.as_ref().is_some_and(|s| Arc::ptr_eq(s, study)) {
            return;
        }
        self.study = Some(Arc::clone(study));
        let basis = Basis::of(bench.build);
        if self.basis.as_ref() == Some(&basis) {
            return;
        }
        self.basis = Some(basis);
        self.worked_out += 1;
        match &study.reactions {
            Ok(r) => self.work_out(r),
            Err(_) => {
                self.balances.clear();
                (self.top, self.slip, self.lift) = (USUAL_TOP, None, None);
            }
        }
    }

    fn work_out(&mut self, r: &Reactions) {
        let traction = r.traction.as_ref().ok();
        self.slip = traction
            .filter(|t| t.kind == TractionKind::Slip)
            .map(|t| t.acceleration);
        let lift = r.lift.as_ref().ok().and_then(Option::as_ref);
        self.lift = lift.map(|l| l.acceleration);
        let beyond = self.slip.map_or(USUAL_TOP, |s| BEYOND_SLIP * s);
        self.top = match r.settled.limit(Manoeuvre::Drive) {
            Ok(limit) => limit.acceleration,
            Err(_) => beyond,
        }
        .max(0.05 * STANDARD_GRAVITY);
        let at: Vec<f64> = (0..POINTS)
            .map(|k| self.top * k as f64 / (POINTS - 1) as f64)
            .collect();
        // The very end may be a hair too far.
        self.balances = r
            .settled
            .curve(&at)
            .into_iter()
            .map_while(Result::ok)
            .collect();
    }

    /// The slider's end, m/s².
    pub fn top(&self) -> f64 {
        self.top
    }

    /// Head line and plot.
    pub fn show(&self, ui: &mut Ui, bench: &Bench<'_>, what: &mut What) {
        ui.horizontal(|ui| {
            ui.spacing_mut().combo_width = 160.0;
            choice(ui, "Curves of".to_owned(), what, &ALL);
            ui.add(
                egui::Label::new(
                    egui::RichText::new("over acceleration")
                        .font(plain(11.0))
                        .color(bench.palette.dim),
                )
                .truncate(),
            );
        });
        if self.balances.len() < 2 {
            ui.centered_and_justified(|ui| {
                let why = match &bench.study.launch.reactions {
                    Err(why) => format!("No curve: {why}."),
                    Ok(_) => "No curve: the car balances at rest only.".to_owned(),
                };
                ui.add(egui::Label::new(egui::RichText::new(why).color(bench.palette.dim)).wrap());
            });
            return;
        }
        plot(ui, bench, self, *what);
    }
}

/// One line: name, kind, value.
type Series<'a> = (String, Box<dyn Fn(&Balance) -> f64 + 'a>);

fn series<'a>(bench: &Bench<'a>, what: What) -> (Kind, &'static str, Vec<Series<'a>>) {
    fn s<'a>(name: &str, f: impl Fn(&Balance) -> f64 + 'a) -> Series<'a> {
        (name.to_owned(), Box::new(f))
    }
    match what {
        What::Loads => (
            Kind::Force,
            "load",
            vec![
                s("rear left", |b| b.tyre_load.rear_left),
                s("rear right", |b| b.tyre_load.rear_right),
                s("front left", |b| b.tyre_load.front_left),
                s("front right", |b| b.tyre_load.front_right),
            ],
        ),
        What::Movement => (
            Kind::Length,
            "way",
            vec![
                s("front rise", |b| b.front_lift),
                s("rear squat", |b| b.rear_squat),
                s("separation", |b| b.rear_separation),
            ],
        ),
        What::Angles => (
            Kind::Angle,
            "angle",
            vec![
                s("nose up", |b| -b.pitch_change),
                s("left side up", |b| b.roll_change),
            ],
        ),
        What::Links => {
            let build = bench.build;
            let rods = bench.study.rear.rods.iter().enumerate();
            let all = rods.map(|(i, r)| {
                let label = build.rear.links.get(r.link).map_or("", |l| &l.label);
                let side = match r.side {
                    Side::Left => " L",
                    Side::Right => " R",
                    Side::Both => "",
                };
                s(&format!("{label}{side}"), move |b| {
                    b.rod_force.get(i).copied().unwrap_or(0.0)
                })
            });
            (Kind::Force, "pull +", all.collect())
        }
    }
}

fn plot(ui: &mut Ui, bench: &Bench<'_>, curves: &Curves, what: What) {
    let p = bench.palette;
    let shop = *bench.shop();
    let (kind, word, lines) = series(bench, what);
    let x_of = |a: f64| units::display_value(Kind::Acceleration, a, &shop);
    let y_of = |v: f64| units::display_value(kind, v, &shop);
    let values: Vec<Vec<[f64; 2]>> = lines
        .iter()
        .map(|(_, f)| {
            let at = |b: &Balance| [x_of(b.acceleration), y_of(f(b))];
            curves.balances.iter().map(at).collect()
        })
        .collect();
    let (mut low, mut high) = (0.0_f64, f64::NEG_INFINITY);
    for q in values.iter().flatten() {
        (low, high) = (low.min(q[1]), high.max(q[1]));
    }
    let span = (high - low).max(1e-9);
    let size = ui.available_size().max(egui::vec2(60.0, 40.0));
    // Figures of the axes are outside; head room holds three rows of words, the right margin the names.
    let (wide, tall) = (
        f64::from((size.x - 46.0).max(40.0)),
        f64::from((size.y - 26.0).max(30.0)),
    );
    let names = (110.0 / wide).min(0.45);
    let head = (42.0 / tall).min(0.45);
    let (bottom, top) = (
        low - 0.05 * span,
        low - 0.05 * span + 1.1 * span / (1.0 - head),
    );
    let row = (top - bottom) / tall * 13.0;
    let end = values
        .first()
        .and_then(|v| v.last())
        .map_or(1.0, |q| q[0].max(1e-9));
    let right = end / (1.0 - names);
    let unit = units::unit_name(kind, &shop);
    let x_unit = units::unit_name(Kind::Acceleration, &shop);
    quiet(ui, bench);
    let response = Plot::new(("power curves", what as u8))
        .grid_color(p.field)
        .show_background(false)
        // Figures nearer together than these are drawn faint.
        .x_grid_spacer(move |input| round_marks(&input, (wide / 66.0).max(1.0)))
        .y_grid_spacer(move |input| round_marks(&input, (tall / 26.0).clamp(1.0, 8.0)))
        .grid_spacing(10.0..=60.0)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_drag(false)
        .allow_zoom(false)
        .set_margin_fraction(egui::vec2(0.0, 0.0))
        .x_axis_formatter(move |mark: GridMark, _: &std::ops::RangeInclusive<f64>| {
            if mark.value > end * 1.001 || mark.value < 0.0 {
                String::new()
            } else {
                format!("{} {x_unit}", (mark.value * 1000.0).round() / 1000.0)
            }
        })
        .label_formatter(move |h: &HoverPosition<'_>| {
            let q = match h {
                HoverPosition::NearDataPoint { position, .. }
                | HoverPosition::Elsewhere { position } => position,
            };
            let value = units::from_display_value(kind, q.y, &shop);
            let value = match kind {
                Kind::Length => units::format_fine(kind, value, &shop),
                _ => units::format(kind, value, &shop),
            };
            Some(format!("{:.2} {x_unit}\n{word} {value}", q.x))
        })
        .show(ui, |plot| {
            plot.set_plot_bounds_x(0.0..=right);
            plot.set_plot_bounds_y(bottom..=top);
            markers(plot, bench, curves, x_of, end, |k| {
                top - (0.3 + f64::from(k)) * row
            });
            let mut ends = Vec::new();
            for (k, points) in values.into_iter().enumerate() {
                let (colour, style) = dress(bench, k);
                if let Some(last) = points.last() {
                    ends.push((last[1], k));
                }
                plot.line(
                    Line::new(lines[k].0.clone(), PlotPoints::from(points))
                        .color(colour)
                        .style(style)
                        .width(2.0),
                );
            }
            for (k, y) in spread(ends, row, bottom, top - 3.3 * row) {
                plot.text(
                    Text::new(
                        format!("name {k}"),
                        PlotPoint::new(end + (right - end) * 0.05, y),
                        egui::RichText::new(&lines[k].0).font(plain(11.0)),
                    )
                    .color(dress(bench, k).0)
                    .anchor(Align2::LEFT_CENTER)
                    .allow_hover(false),
                );
            }
            // What the study says, not what the curve says: they must agree.
            if let Ok(r) = &bench.study.launch.reactions
                && let Ok(now) = r.balance(Case::Drive)
            {
                for (_, f) in &lines {
                    let at = vec![[x_of(now.acceleration), y_of(f(now))]];
                    plot.points(
                        egui_plot::Points::new("now", at)
                            .radius(3.5)
                            .color(p.accent)
                            .allow_hover(false),
                    );
                }
            }
            plot.text(
                Text::new(
                    "unit",
                    PlotPoint::new(right * 0.006, top - 0.5 * row),
                    egui::RichText::new(unit).font(plain(10.5)),
                )
                .color(p.dim)
                .anchor(Align2::LEFT_CENTER)
                .allow_hover(false),
            );
        });
    response.response.widget_info(|| {
        let said = ALL.iter().find(|(w, _)| *w == what).map_or("", |a| a.1);
        egui::WidgetInfo::labeled(egui::Role::Image, true, format!("{said} over acceleration"))
    });
}

/// Colour and dash of the k-th line: the dash tells what the colour tells.
fn dress(bench: &Bench<'_>, k: usize) -> (egui::Color32, LineStyle) {
    let p = bench.palette;
    let colours = [p.upper, p.lower, p.good, p.hundred, p.centre, p.chalk];
    let styles = [
        LineStyle::Solid,
        LineStyle::dashed_loose(),
        LineStyle::dashed_dense(),
        LineStyle::dotted_loose(),
        LineStyle::Solid,
        LineStyle::dotted_dense(),
    ];
    (colours[k % 6], styles[k % 6])
}

/// Heights for the names of lines that end at these heights: in their order, a row apart.
fn spread(mut ends: Vec<(f64, usize)>, row: f64, bottom: f64, top: f64) -> Vec<(usize, f64)> {
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<(usize, f64)> = Vec::new();
    for (y, k) in ends {
        let least = out
            .last()
            .map_or(bottom + 0.5 * row, |(_, last)| last + row);
        out.push((k, y.max(least)));
    }
    // Pushed out at the top, they move down together.
    let mut most = top - 0.5 * row;
    for (_, y) in out.iter_mut().rev() {
        *y = y.min(most);
        most = *y - row;
    }
    out
}

fn markers(
    plot: &mut egui_plot::PlotUi<'_>,
    bench: &Bench<'_>,
    curves: &Curves,
    x_of: impl Fn(f64) -> f64,
    end: f64,
    row: impl Fn(i32) -> f64,
) {
    let p = bench.palette;
    let drive = bench.build.power.acceleration.si();
    let all = [
        (Some(drive), "looked at", p.accent, LineStyle::Solid, 1),
        (
            curves.slip,
            "tyres slip",
            p.ink,
            LineStyle::dashed_loose(),
            2,
        ),
        (
            curves.lift,
            "a front tyre lifts",
            p.bad,
            LineStyle::dotted_dense(),
            3,
        ),
    ];
    let places: Vec<f64> = all
        .iter()
        .filter_map(|a| a.0.map(&x_of))
        .filter(|x| *x <= end * 1.0001)
        .collect();
    for (at, word, colour, style, k) in all {
        let Some(x) = at.map(&x_of).filter(|x| *x <= end * 1.0001) else {
            continue;
        };
        plot.vline(
            VLine::new(word, x)
                .color(colour)
                .style(style)
                .width(1.3)
                .allow_hover(false),
        );
        // Not across the next line, if there is room on this side.
        let crosses = places.iter().any(|o| *o > x && *o < x + 0.3 * end);
        let on_left = (crosses && x > 0.25 * end) || x > 0.7 * end;
        let (anchor, shift) = if on_left {
            (Align2::RIGHT_TOP, -0.008)
        } else {
            (Align2::LEFT_TOP, 0.008)
        };
        plot.text(
            Text::new(
                format!("{word} words"),
                PlotPoint::new(x + shift * end, row(k)),
                egui::RichText::new(word).font(if k == 0 { bold(11.0) } else { plain(11.0) }),
            )
            .color(colour)
            .anchor(anchor)
            .allow_hover(false),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_keep_a_row_apart_and_on_the_plot() {
        let ends = vec![(5.0, 0), (5.1, 1), (5.05, 2), (9.9, 3), (0.0, 4)];
        let out = spread(ends, 1.0, 0.0, 10.0);
        for w in out.windows(2) {
            assert!(w[1].1 - w[0].1 >= 1.0 - 1e-12, "{out:?}");
        }
        assert!(out.iter().all(|(_, y)| (0.5..=9.5).contains(y)), "{out:?}");
    }
}

//! What the welds pull: every control dimension with what to set it by before welding.

use build::{ControlDimension, DimensionStudy, Part};
use eframe::egui::{Rect, Ui};

use super::super::bench::{Action, Bench, Tray};
use super::bits::{self, Marks, Row, Scale};
use super::common;
use super::measure::Measure;
use super::{pull_detail, words};

/// Width of the figures beside a strip, points.
const FIGURES: f32 = 112.0;

/// What the panel remembers.
#[derive(Debug, Default)]
pub(super) struct Pull {
    dimension: Option<usize>,
    /// Id of the joint whose estimates are shown.
    joint: Option<String>,
    measure: Measure,
}

impl Pull {
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        dimension: Option<usize>,
        tray: &mut Tray,
    ) {
        self.dimension = dimension;
        if let Some(Part::Joint(id)) = bench.selected {
            self.joint = Some(id.clone());
        }
        bits::two(
            self,
            ui,
            bench,
            tray,
            "weld pull",
            0.48,
            Self::list,
            Self::detail,
        );
    }

    fn list(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        common::head(ui, bench, "What the welds will pull", "");
        common::note(ui, bench, shop_says(bench));
        let all: Vec<(&ControlDimension, &DimensionStudy)> = bench
            .build
            .weld_out
            .dimensions
            .iter()
            .zip(&bench.study.weld.dimensions)
            .collect();
        if all.is_empty() {
            bits::say(
                ui,
                "No control dimensions yet: add one on the drawing between the two points whose distance must come out right.",
            );
            return;
        }
        let ends = all.iter().filter_map(|(_, s)| s.whole.as_ref());
        let scale = Scale::over(ends.flat_map(|w| [-w.low, -w.high]));
        for (i, (d, s)) in all.into_iter().enumerate() {
            let chosen = self.dimension == Some(i);
            if dimension_row(ui, bench, d, s, chosen, scale) {
                tray.put(Action::Select(Part::Dimension(d.id.clone())));
            }
        }
        common::note(
            ui,
            bench,
            "Bars: how much the welds pull in, nine times in ten; left of the mark they push out. Set it by the figure at the right before tacking.",
        );
        super::cautions(ui, bench);
    }

    fn detail(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let Some(i) = self.dimension else { return };
        let weld = &bench.build.weld_out;
        let (Some(d), Some(s)) = (weld.dimensions.get(i), bench.study.weld.dimensions.get(i))
        else {
            return;
        };
        pull_detail::show(ui, bench, d, s, &mut self.joint);
        ui.separator();
        self.measure.show(ui, bench, d, s, tray);
        common::remarks(ui, bench, &Part::Dimension(d.id.clone()));
    }
}

/// Where the predictions stand with this shop.
fn shop_says(bench: &Bench<'_>) -> String {
    match &bench.study.weld.record {
        Err(why) => format!(
            "The shop's record can not be read: {}.",
            why.show(bench.shop())
        ),
        Ok(record) => match record.count() {
            0 => {
                "Nothing measured by this shop yet: published figures, and wide ranges.".to_owned()
            }
            n => format!(
                "Narrowed by {} of this shop.",
                words::some(n as u64, "reading")
            ),
        },
    }
}

/// Now and at the end, in words.
fn stands(bench: &Bench<'_>, d: &ControlDimension, s: &DimensionStudy) -> String {
    let across = words::runs(s);
    let mut parts = Vec::new();
    let now = words::now(bench, d);
    match now {
        Some(now) => {
            let off = words::off(bench, now - d.want.si(), across);
            parts.push(format!(
                "{}: {}, {off}",
                words::now_when(bench, d),
                words::size(bench, now)
            ));
        }
        None => parts.push("not measured yet".to_owned()),
    }
    let open = s.to_come.as_ref().filter(|p| p.unfactored != 0.0);
    if let (Some(p), Some(now)) = (open, now) {
        parts.push(format!(
            "expected at the end {} ({} to {})",
            words::fine(bench, now + p.change),
            words::fine(bench, now + p.low),
            words::fine(bench, now + p.high)
        ));
    }
    if let Some(p) = s.chance {
        parts.push(format!(
            "set so, {} to come out in tolerance",
            words::chance(p)
        ));
    }
    parts.join(" · ")
}

/// One dimension; true when it was clicked.
fn dimension_row(
    ui: &mut Ui,
    bench: &Bench<'_>,
    d: &ControlDimension,
    s: &DimensionStudy,
    chosen: bool,
    scale: Scale,
) -> bool {
    let p = bench.palette;
    let set = words::set_by(bench, s);
    let figures = s
        .whole
        .as_ref()
        .map(|w| words::range(bench, -w.high, -w.low));
    let mut under = stands(bench, d, s);
    if let Err(why) = &s.way {
        under = format!("{}. {under}", why.show(bench.shop()));
    }
    let drawn = figures
        .as_ref()
        .map_or_else(String::new, |f| format!("the welds pull {f}"));
    let out = words::now(bench, d)
        .map(|now| now - d.want.si())
        .zip(s.tolerance)
        .is_some_and(|(off, t)| off.abs() > t + 1e-9);
    let row = Row {
        name: format!("Dimension {}", d.label),
        label: &d.label,
        right: set.as_deref().unwrap_or("not known"),
        colour: if out { p.bad } else { p.ink },
        under: &under,
        drawn: &drawn,
        chosen,
        faint: false,
    };
    let height = if s.whole.is_some() { 20.0 } else { 0.0 };
    let r = bits::strip_row(ui, bench, &row, height, |painter, lane| {
        let Some(w) = &s.whole else { return };
        let mut line = lane;
        line.max.x = (lane.right() - FIGURES).max(lane.left() + 30.0);
        let marks = Marks {
            band: Some((-w.high, -w.low)),
            point: Some(-w.change),
            ..Marks::default()
        };
        bits::strip(painter, bench, line, scale, &marks);
        let room = Rect::from_x_y_ranges(line.right() + 8.0..=lane.right(), lane.y_range());
        bits::beside(painter, bench, room, figures.as_deref().unwrap_or_default());
    });
    r.clicked()
}

//! The shop's record: the factor of each kind of weld, and what taught it.

use build::{RecordOf, RecordRow, RecordStudy};
use eframe::egui::{Align2, Checkbox, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use weld::control::{FACTORS, Factor, FactorKind};

use super::super::bench::{Bench, Tray};
use super::super::draw;
use super::super::theme::plain;
use super::bits::{self, Marks, Row, Scale};
use super::bring::Bring;
use super::coupons::Coupons;
use super::history::History;
use super::{common, words};

/// Confidence of every interval shown.
pub(super) const CONFIDENCE: f64 = 0.90;

/// What the panel remembers.
#[derive(Debug, Default)]
pub(super) struct Record {
    /// Kind whose plot is shown.
    kind: Option<Factor>,
    /// Kinds that nothing uses are listed too.
    all: bool,
    history: History,
    coupons: Coupons,
    bring: Bring,
}

impl Record {
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        bits::scroll(ui, "weld record", |ui| self.page(ui, bench, tray));
    }

    fn page(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        match &bench.study.weld.record {
            Err(why) => {
                let text = format!("The record can not be read: {}.", why.show(bench.shop()));
                bits::say_in(ui, bench.palette.bad, text);
            }
            Ok(record) => {
                let kind = self.kind.unwrap_or_else(|| most_used(bench, record));
                if ui.available_width() > 660.0 {
                    ui.columns(2, |columns| {
                        if let [left, right] = columns {
                            self.factors(left, bench, record, kind);
                            plot(right, bench, record, kind);
                        }
                    });
                } else {
                    self.factors(ui, bench, record, kind);
                    plot(ui, bench, record, kind);
                }
                ui.separator();
                self.history.show(ui, bench, record, tray);
            }
        }
        ui.separator();
        self.coupons.show(ui, bench, tray);
        ui.separator();
        self.bring.show(ui, bench, tray);
    }

    /// A strip for each kind: where its factor stands, and lightly where it began.
    fn factors(&mut self, ui: &mut Ui, bench: &Bench<'_>, record: &RecordStudy, kind: Factor) {
        let hint = format!("from {}", words::some(record.count() as u64, "reading"));
        common::head(ui, bench, "Shop factors", &hint);
        common::note(
            ui,
            bench,
            "What this shop's welds pull over what the published figures say. Light: before anything was measured.",
        );
        let counts = counts(bench, record);
        let used = used(bench);
        let ends = Factor::ALL.into_iter().flat_map(|f| {
            let of = |x: &weld::control::Factors| x.interval(f, CONFIDENCE).ok();
            [of(&record.prior), of(&record.now)]
        });
        let scale = Scale::over(ends.flatten().flat_map(|(a, b)| [a, b]).chain([1.0]));
        for f in Factor::ALL {
            let i = f.index();
            if !self.all && !used[i] && counts[i] == 0 && f != kind {
                continue;
            }
            let Ok(now) = record.now.interval(f, CONFIDENCE) else {
                continue;
            };
            let value = format!("{:.2}", record.now.of(f));
            let under = format!(
                "{:.2} to {:.2} · {}",
                now.0,
                now.1,
                match counts[i] {
                    0 => "no reading of its own, moved by the others".to_owned(),
                    n => words::some(n as u64, "reading"),
                }
            );
            let row = Row {
                name: format!("Factor of {}", f.label()),
                label: f.label(),
                right: &value,
                colour: bench.palette.ink,
                under: &under,
                drawn: "",
                chosen: f == kind,
                faint: counts[i] == 0,
            };
            let r = bits::strip_row(ui, bench, &row, 16.0, |painter, lane| {
                let marks = Marks {
                    from: 1.0,
                    light: record.prior.interval(f, CONFIDENCE).ok(),
                    band: Some(now),
                    point: Some(record.now.of(f)),
                    ..Marks::default()
                };
                bits::strip(painter, bench, lane, scale, &marks);
            });
            if r.clicked() {
                self.kind = Some(f);
            }
        }
        ui.add(Checkbox::new(&mut self.all, "Every kind"));
    }
}

/// Which kinds a reading is about, places as in [`Factor::ALL`].
pub(super) fn kinds(bench: &Bench<'_>, of: &RecordOf) -> [f64; FACTORS] {
    match of {
        RecordOf::Past(label) => {
            let mut by = [0.0; FACTORS];
            let past = bench.build.weld_out.past.iter();
            for pull in past.filter(|p| p.label == *label).flat_map(|p| &p.pulls) {
                let kind = match pull.kind {
                    build::PullKind::Butt => FactorKind::Butt,
                    build::PullKind::Tee => FactorKind::Tee,
                    build::PullKind::Lap => FactorKind::Lap,
                    build::PullKind::Cope => FactorKind::Cope,
                    build::PullKind::Kink => FactorKind::Kink,
                };
                by[Factor::new(kind, pull.thin).index()] += pull.change.si();
            }
            by
        }
        of => bench
            .study
            .weld
            .observation(bench.build, of)
            .map_or([0.0; FACTORS], |o| o.by_factor),
    }
}

/// How many readings of its own each kind has.
fn counts(bench: &Bench<'_>, record: &RecordStudy) -> [usize; FACTORS] {
    let mut n = [0; FACTORS];
    for row in record.rows.iter().filter(|r| r.learned) {
        for (n, by) in n.iter_mut().zip(kinds(bench, &row.of)) {
            *n += usize::from(by != 0.0);
        }
    }
    n
}

/// Which kinds the dimensions of this build rest on.
fn used(bench: &Bench<'_>) -> [bool; FACTORS] {
    let mut used = [false; FACTORS];
    for s in &bench.study.weld.dimensions {
        for p in &s.pulls {
            used[p.contribution.factor.index()] = true;
        }
    }
    used
}

/// The kind with the most readings; without any, the kink of thin tube, which pulls most.
fn most_used(bench: &Bench<'_>, record: &RecordStudy) -> Factor {
    let counts = counts(bench, record);
    let kink = Factor::new(FactorKind::Kink, true);
    Factor::ALL
        .into_iter()
        .filter(|f| counts[f.index()] > 0)
        .max_by_key(|f| (counts[f.index()], *f == kink))
        .unwrap_or(kink)
}

/// A factor over the readings that counted, with its interval; outliers crossed.
fn plot(ui: &mut Ui, bench: &Bench<'_>, record: &RecordStudy, kind: Factor) {
    let p = bench.palette;
    common::head(
        ui,
        bench,
        &format!("Factor of {}", kind.label()),
        "after each reading",
    );
    let width = ui.available_width().max(160.0);
    let (all, response) = ui.allocate_exact_size(vec2(width, 190.0), Sense::hover());
    let rows: Vec<&RecordRow> = record.rows.iter().filter(|r| r.void.is_none()).collect();
    let mut steps = vec![(
        record.prior.of(kind),
        record.prior.interval(kind, CONFIDENCE).ok(),
        None,
    )];
    for r in &rows {
        let f = &r.row.factors;
        steps.push((f.of(kind), f.interval(kind, CONFIDENCE).ok(), Some(*r)));
    }
    response.widget_info(|| {
        let name = format!("Factor of {} over the readings", kind.label());
        let mut info = WidgetInfo::labeled(Role::Image, true, name);
        let said: Vec<String> = steps.iter().map(|s| format!("{:.2}", s.0)).collect();
        info.current_text_value = Some(said.join(", "));
        info
    });
    let ends = steps.iter().filter_map(|s| s.1);
    let (low, high) = ends.fold((0.0_f64, 1.2_f64), |(a, b), (x, y)| (a.min(x), b.max(y)));
    let rect = Rect::from_min_max(
        all.min + vec2(30.0, 8.0),
        pos2(all.right() - 10.0, all.bottom() - 30.0),
    );
    let painter = ui.painter().with_clip_rect(all);
    let y = |v: f64| rect.bottom() - ((v - low) / (high - low).max(1e-9)) as f32 * rect.height();
    let at = |k: usize, v: f64| {
        let share = k as f32 / (steps.len().max(2) - 1) as f32;
        pos2(rect.left() + 10.0 + share * (rect.width() - 20.0), y(v))
    };
    let steps_of = [0.5, 1.0, 2.0, 5.0, 10.0, 50.0, 100.0];
    let few = |step: &f64| (high - low) / step <= 7.0;
    let step = steps_of.into_iter().find(few).unwrap_or(high - low);
    let mut v = (low / step).ceil() * step;
    while v <= high {
        painter.hline(rect.x_range(), y(v), Stroke::new(1.0, p.grid));
        let place = pos2(rect.left() - 5.0, y(v));
        let text = format!("{:.1}", v + 0.0);
        painter.text(place, Align2::RIGHT_CENTER, text, plain(11.0), p.dim);
        v += step;
    }
    let one = [pos2(rect.left(), y(1.0)), pos2(rect.right(), y(1.0))];
    draw::dashed(&painter, &one, Stroke::new(1.2, p.dim), 4.0, 4.0);
    let line: Vec<Pos2> = steps.iter().enumerate().map(|(k, s)| at(k, s.0)).collect();
    painter.line(line.clone(), Stroke::new(1.6, p.upper));
    for (k, (_, ends, row)) in steps.iter().enumerate() {
        let here = line[k];
        if let Some((a, b)) = ends {
            painter.line_segment([at(k, *a), at(k, *b)], Stroke::new(3.0, p.band));
        }
        let own = row.is_some_and(|r| kinds(bench, &r.of)[kind.index()] != 0.0);
        let fill = if own { p.upper } else { p.ground };
        painter.circle(here, 4.0, fill, Stroke::new(1.6, p.upper));
        if row.is_some_and(|r| r.row.outlier) {
            for (a, b) in [(-6.0, -6.0), (-6.0, 6.0)] {
                let d = vec2(a, b);
                painter.line_segment([here - d, here + d], Stroke::new(2.0, p.bad));
            }
            painter.text(
                here - vec2(0.0, 10.0),
                Align2::CENTER_BOTTOM,
                "unlikely",
                plain(11.0),
                p.bad,
            );
        }
        let text = if k == 0 {
            "start".to_owned()
        } else {
            k.to_string()
        };
        let below = pos2(here.x, rect.bottom() + 4.0);
        if k == 0 || steps.len() < 16 || k % 5 == 0 {
            painter.text(below, Align2::CENTER_TOP, text, plain(11.0), p.dim);
        }
    }
    painter.text(
        pos2(rect.center().x, all.bottom()),
        Align2::CENTER_BOTTOM,
        "readings; filled: of this kind",
        plain(11.0),
        p.dim,
    );
}

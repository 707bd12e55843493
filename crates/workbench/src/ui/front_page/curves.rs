//! Curves over travel, rack centred, with the pinned baseline beside them.

use build::{FrontMotion, Study};
use eframe::egui::{self, Ui};
use units::Kind;

use super::super::bench::Bench;
use super::super::springs_page::curves::{self, Series};
use super::super::theme::{bold, plain};

/// What is plotted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Curve {
    #[default]
    Toe,
    Camber,
    Caster,
    RollCentre,
    Ratio,
    Rate,
}

const ALL: [(Curve, &str, Kind); 6] = [
    (Curve::Toe, "Toe-in", Kind::Angle),
    (Curve::Camber, "Camber", Kind::Angle),
    (Curve::Caster, "Caster", Kind::Angle),
    (Curve::RollCentre, "Roll centre", Kind::Length),
    (Curve::Ratio, "Motion ratio", Kind::Count),
    (Curve::Rate, "Wheel rate", Kind::SpringRate),
];

fn points(m: &FrontMotion, curve: Curve) -> Vec<[f64; 2]> {
    let coil = |rate: bool| {
        let coil = m.coil.as_ref().and_then(|c| c.as_ref().ok());
        let of = coil.map(|c| c.travel.as_slice()).unwrap_or_default().iter();
        of.map(|a| {
            let value = if rate {
                a.rate.wheel_rate
            } else {
                a.state.motion_ratio
            };
            [a.z, value]
        })
        .collect()
    };
    let states = |pick: fn(&geometry::front::CornerState) -> f64| {
        m.over_travel().map(|s| [s.travel, pick(s)]).collect()
    };
    match curve {
        Curve::Toe => states(|s| s.toe_in),
        Curve::Camber => states(|s| s.camber),
        Curve::Caster => states(|s| s.caster),
        Curve::RollCentre => states(|s| s.roll_centre_above_ground),
        Curve::Ratio => coil(false),
        Curve::Rate => coil(true),
    }
}

fn pinned(study: &Study) -> Option<&FrontMotion> {
    study.front.as_ref()?.motion.as_ref().ok()
}

/// The curve in hand over travel.
pub(super) fn plot(
    ui: &mut Ui,
    bench: &Bench<'_>,
    m: &FrontMotion,
    curve: &mut Curve,
    travel: f64,
    height: Option<f32>,
) {
    let p = bench.palette;
    ui.horizontal_wrapped(|ui| {
        for (one, word, _) in ALL {
            if matches!(one, Curve::Ratio | Curve::Rate) && m.coil.is_none() {
                continue;
            }
            let word = egui::RichText::new(word).font(bold(12.5));
            let r = ui.selectable_label(*curve == one, word);
            if r.clicked() {
                *curve = one;
            }
        }
    });
    let (_, name, kind) = ALL.into_iter().find(|a| a.0 == *curve).unwrap_or(ALL[0]);
    let mut series = vec![Series {
        name: "one wheel",
        points: points(m, *curve),
        colour: p.upper,
        dashed: false,
    }];
    if let Some(old) = bench.baseline.and_then(|(_, s)| pinned(s)) {
        series.push(Series {
            name: "pinned",
            points: points(old, *curve),
            colour: p.dim,
            dashed: true,
        });
    }
    ui.horizontal_wrapped(|ui| {
        curves::legend(ui, &series);
        let unit = units::unit_name(kind, bench.shop());
        let said = if unit.is_empty() {
            "over travel, rack centred".to_owned()
        } else {
            format!("{unit} over travel, rack centred")
        };
        ui.label(egui::RichText::new(said).font(plain(11.0)).color(p.dim));
    });
    let height = height.unwrap_or_else(|| ui.available_height().max(60.0));
    curves::show(ui, bench, name, kind, series, Vec::new(), travel, height);
}

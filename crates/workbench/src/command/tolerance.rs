//! What misplaced holes cost, for the command line.

use std::fmt::Write as _;
use std::sync::atomic::{AtomicBool, AtomicU64};

use build::{
    Along, Build, Distribution, LinearFigure, Misplaced, PlacementStudy, Side, placement_label,
    placement_reading,
};
use serde_json::{Value, json};
use units::{Kind, Shop};

use super::Trouble;

/// What is asked.
pub(super) struct Asked {
    /// Tolerance instead of the build's, m.
    pub(super) plus_minus: Option<f64>,
    /// Links keep the drawing's lengths.
    pub(super) held: bool,
    /// Random builds.
    pub(super) samples: usize,
    /// Their seed.
    pub(super) seed: u64,
    /// As JSON.
    pub(super) json: bool,
}

/// Most random builds taken.
const MOST: usize = 1_000_000;

pub(super) fn run(mut build: Build, asked: &Asked, shop: &Shop) -> Result<String, Trouble> {
    if asked.samples == 0 || asked.samples > MOST {
        return Err(Trouble(format!(
            "--samples {}: ask for 1 to {MOST} random builds",
            asked.samples
        )));
    }
    if let Some(t) = asked.plus_minus {
        if !(0.0..=0.02).contains(&t) {
            return Err(Trouble(format!(
                "--plus-minus: a hole is not {} off; write 0 to 3/4 in",
                units::format(Kind::Length, t, shop)
            )));
        }
        build.rear.placement_tolerance = units::Length::from_si(t);
    }
    let because = |why: String| Trouble(format!("{}: there is no answer: {why}", build.name));
    let study = PlacementStudy::new(&build, asked.held).map_err(because)?;
    let scatter = study
        .scatter(
            &build,
            asked.samples,
            asked.seed,
            &AtomicU64::new(0),
            &AtomicBool::new(false),
        )
        .map_err(because)?;
    if asked.json {
        let figures: Vec<Value> = Misplaced::ALL
            .iter()
            .map(|f| figure_json(&build, &study, *f, scatter.of(*f)))
            .collect();
        let all = json!({
            "build": build.name,
            "plus_minus": study.plus_minus,
            "unit": "m",
            "lengths": if asked.held { "held" } else { "reset" },
            "samples": scatter.samples,
            "seed": asked.seed,
            "cannot_stand": scatter.cannot_stand,
            "figures": figures,
        });
        return Ok(serde_json::to_string_pretty(&all)? + "\n");
    }
    let mut out = format!(
        "{}: every bracket coordinate off by up to {}, links {}; {} random builds, seed {}\n",
        build.name,
        units::format_kept(Kind::Length, study.plus_minus, shop),
        if asked.held {
            "as long as drawn"
        } else {
            "set to suit"
        },
        scatter.samples,
        asked.seed
    );
    if scatter.cannot_stand > 0 {
        let _ = writeln!(out, "{} of them do not go together", scatter.cannot_stand);
    }
    for figure in Misplaced::ALL {
        figure_text(&mut out, &build, &study, figure, scatter.of(figure), shop);
    }
    Ok(out)
}

fn figure_text(
    out: &mut String,
    b: &Build,
    study: &PlacementStudy,
    figure: Misplaced,
    d: &Distribution,
    shop: &Shop,
) {
    let (label, kind) = placement_label(figure);
    let linear = match study.sensitivities.of(figure) {
        Ok(linear) => linear,
        Err(_) => {
            let _ = writeln!(out, "\n{label}: no value as drawn");
            return;
        }
    };
    if figure == Misplaced::PinionAtRide && linear.worst_case == 0.0 {
        let _ = writeln!(out, "\n{label}: does not move, the links are set to suit");
        return;
    }
    let spread = d.summary.as_ref().map_or(0.0, |s| s.q95 - s.q05);
    let show = |v: f64| build::show_to(kind, v, spread, shop);
    let _ = write!(out, "\n{label}: {} as drawn", show(linear.nominal));
    if let Some(s) = &d.summary {
        let _ = write!(out, "; 9 of 10 from {} to {}", show(s.q05), show(s.q95));
    }
    if let Some(inside) = d.inside {
        let _ = write!(out, "; {:.0} % in band", inside * 100.0);
    }
    let _ = writeln!(out);
    if d.without_value > 0 {
        let _ = writeln!(out, "  {} without a value", d.without_value);
    }
    for m in study.most(figure, 3) {
        let _ = writeln!(
            out,
            "  {} ({:.0} % of the spread)",
            study.sentence(b, figure, &m).show(shop),
            m.share * 100.0
        );
    }
}

fn along(a: Along) -> &'static str {
    match a {
        Along::Station => "station",
        Along::Offset => "offset",
        Along::Height => "height",
    }
}

fn side(s: Side) -> &'static str {
    match s {
        Side::Both => "single",
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// One figure: SI throughout, slopes per metre.
fn figure_json(b: &Build, study: &PlacementStudy, figure: Misplaced, d: &Distribution) -> Value {
    let (label, kind) = placement_label(figure);
    let slopes = |linear: &LinearFigure| -> Vec<Value> {
        study
            .coordinates
            .iter()
            .enumerate()
            .map(|(i, c)| {
                json!({
                    "bracket": b.rear.brackets.get(c.bracket).map(|x| x.id.as_str()),
                    "side": side(c.side),
                    "along": along(c.along),
                    "slope": linear.slopes[i],
                    "effect": linear.effects[i],
                    "share": linear.shares[i],
                })
            })
            .collect()
    };
    let linear = study.sensitivities.of(figure).ok();
    json!({
        "id": placement_reading(figure).map_or("rear.pinion.at_ride", |d| d.id),
        "label": label,
        "unit": kind.si_unit(),
        "nominal": linear.map(|l| l.nominal),
        "standard_deviation": linear.map(|l| l.standard_deviation),
        "worst_case": linear.map(|l| l.worst_case),
        "linear_spread_is_doubtful": linear.map(|l| l.bends),
        "sensitivities": linear.map(slopes),
        "random": {
            "with_value": d.with_value,
            "without_value": d.without_value,
            "inside_band": d.inside,
            "mean": d.summary.as_ref().map(|s| s.mean),
            "standard_deviation": d.summary.as_ref().map(|s| s.standard_deviation),
            "q05": d.summary.as_ref().map(|s| s.q05),
            "median": d.summary.as_ref().map(|s| s.median),
            "q95": d.summary.as_ref().map(|s| s.q95),
            "least": d.summary.as_ref().map(|s| s.min),
            "greatest": d.summary.as_ref().map(|s| s.max),
        },
    })
}

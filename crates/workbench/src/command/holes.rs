//! The hole search, for the command line.

use std::fmt::Write as _;
use std::sync::atomic::{AtomicBool, AtomicU64};

use build::{Build, End, Figure, HoleOptions, HoleOutcome, HolePlan, Side, reading_of};
use serde_json::{Value, json};
use units::Shop;

use super::{Trouble, holes_table};

/// How the answer is wanted.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Text,
    Json,
    Csv,
}

/// Most rows listed.
const MOST: usize = 100_000;

pub(super) fn run(
    build: &Build,
    options: HoleOptions,
    form: Form,
    shop: &Shop,
) -> Result<String, Trouble> {
    if options.keep > MOST {
        return Err(Trouble(format!(
            "--keep {}: at most {MOST} combinations are listed",
            options.keep
        )));
    }
    let because = |e: build::HolesError| Trouble(format!("{}: {e}", build.name));
    let plan = HolePlan::new(build, options).map_err(because)?;
    let found = plan
        .run(&AtomicU64::new(0), &AtomicBool::new(false))
        .map_err(because)?;
    match form {
        Form::Text => Ok(text(build, &plan, &found, shop)),
        Form::Json => Ok(serde_json::to_string_pretty(&json(build, &plan, &found))? + "\n"),
        Form::Csv => Ok(holes_table::csv(&plan, &found, shop)),
    }
}

fn text(b: &Build, plan: &HolePlan, found: &HoleOutcome, shop: &Shop) -> String {
    let mut out = format!(
        "{}: {} combinations judged, {} in every band of the rear axle, {} do not stand\n",
        b.name, found.evaluated, found.kept, found.cannot_stand
    );
    for (label, n) in found.rejected.iter().filter(|(_, n)| *n > 0) {
        let _ = writeln!(out, "  {label} threw out {n}");
    }
    if !found.in_full.is_empty() {
        let _ = writeln!(
            out,
            "  then {} looked at one by one, best first: {}",
            found.looked_at,
            found.in_full.join(", ")
        );
    }
    if found.best.is_empty() {
        let _ = writeln!(out, "None is left: widen the band that threw out most");
    }
    for (rank, f) in found.best.iter().enumerate() {
        let mark = if found.now == Some(f.index) {
            "  (bolted up now)"
        } else {
            ""
        };
        let figures: Vec<String> = shown(b)
            .filter_map(|figure| {
                let d = reading_of(figure)?;
                let v = f.figures.get(figure)?;
                Some(format!("{} {}", d.label.to_lowercase(), d.display(v, shop)))
            })
            .collect();
        let _ = writeln!(
            out,
            "{:>4}  {:.3}  {}{mark}\n            {}",
            rank + 1,
            f.distance,
            holes_table::words(plan, f.index),
            figures.join(" · ")
        );
    }
    out
}

/// The figures a build has a band on; all there are when it has none.
fn shown(b: &Build) -> impl Iterator<Item = Figure> {
    let asked: Vec<Figure> = b
        .targets
        .iter()
        .filter_map(|t| build::figure_of(&t.reading))
        .collect();
    let all = asked.is_empty();
    Figure::ALL
        .into_iter()
        .filter(move |f| all || asked.contains(f))
}

fn json(b: &Build, plan: &HolePlan, found: &HoleOutcome) -> Value {
    let best: Vec<Value> = found
        .best
        .iter()
        .map(|f| {
            let mut figures = serde_json::Map::new();
            for figure in Figure::ALL {
                if let Some(d) = reading_of(figure) {
                    figures.insert(d.id.to_owned(), json!(f.figures.get(figure)));
                }
            }
            let holes: Vec<Value> = plan
                .holes(f.index)
                .iter()
                .map(|x| {
                    json!({
                        "link": x.link,
                        "end": match x.end { End::Frame => "frame", End::Axle => "axle" },
                        "side": match x.side { Side::Both => "both", Side::Left => "left", Side::Right => "right" },
                        "hole": x.hole,
                    })
                })
                .collect();
            json!({ "index": f.index, "distance": f.distance, "holes": holes, "figures": figures })
        })
        .collect();
    let rejected: Vec<Value> = found
        .rejected
        .iter()
        .map(|(label, n)| json!({ "band": label, "count": n }))
        .collect();
    json!({
        "build": b.name,
        "combinations": found.evaluated,
        "in_every_band": found.kept,
        "cannot_stand": found.cannot_stand,
        "rejected": rejected,
        "looked_at_in_full": found.looked_at,
        "now": found.now,
        "best": best,
    })
}

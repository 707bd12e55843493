//! What the topics draw over the assembly: colours, shapes, loads, braces being tried.

use std::collections::HashMap;

use build::{FrameStudy, TubeShare};
use units::Kind;

use super::super::assembly_view::scene::Space;
use super::super::assembly_view::tint::Tints;
use super::super::assembly_view::{Arrow, Shifted};
use super::super::bench::Bench;
use super::stiffness::{self, Colour, Deformed};
use super::{Panels, Topic, words};

/// How many tubes have their number written beside them.
const WRITTEN: usize = 4;
/// Share of the frame's size that the largest movement is drawn as.
const SHIFT: f64 = 0.06;
/// Length of the largest force, m.
const FORCE: f64 = 0.45;

/// All of it.
#[derive(Default)]
pub(super) struct Over {
    pub tints: Option<Tints>,
    pub shifted: Option<Shifted>,
    pub arrows: Vec<Arrow>,
    pub tried: Vec<[Space; 2]>,
    pub pairs: Vec<(String, [Space; 2])>,
}

pub(super) fn of(bench: &Bench<'_>, topic: Topic, panels: &Panels) -> Over {
    let frame = &bench.study.frame;
    let mut over = Over::default();
    match topic {
        Topic::Stiffness => {
            over.tints = gains(bench, panels.stiffness.colour);
            over.shifted = match panels.stiffness.deformed {
                Deformed::Twist => frame.twist.as_ref().ok().and_then(|t| {
                    let load = bench.show(Kind::Torque, t.torque);
                    shifted(frame, &t.displacements, &format!("twist under {load}"))
                }),
                Deformed::Bending => frame.bending.as_ref().ok().and_then(|t| {
                    let load = bench.show(Kind::Force, t.load);
                    shifted(frame, &t.displacements, &format!("sag under {load}"))
                }),
                Deformed::Off => None,
            };
            over.pairs = pairs(bench);
        }
        Topic::Braces => {
            over.tints = gains(bench, Colour::Energy);
            over.tried = panels.braces.bars(bench);
        }
        Topic::Loads => {
            over.tints = stress(bench);
            over.arrows = arrows(bench, panels);
            if panels.loads.shape {
                over.shifted = frame
                    .launch
                    .as_ref()
                    .ok()
                    .and_then(|l| shifted(frame, &l.displacements, "give under power"));
            }
        }
        Topic::TwistTest => over.pairs = pairs(bench),
        Topic::Tubes | Topic::CutList | Topic::Dies => {}
    }
    over
}

fn share_label(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// The largest few, written.
fn written(all: &[(String, f64)], say: impl Fn(f64) -> String) -> HashMap<String, String> {
    let mut sorted: Vec<&(String, f64)> = all.iter().collect();
    sorted.sort_by(|a, b| b.1.total_cmp(&a.1));
    sorted
        .into_iter()
        .take(WRITTEN)
        .map(|(id, v)| (id.clone(), say(*v)))
        .collect()
}

fn tinted(
    bench: &Bench<'_>,
    all: &[(String, f64)],
    most: f64,
    head: &str,
    ends: [String; 2],
    say: impl Fn(f64) -> String,
) -> Tints {
    let shares = all.iter().map(|(id, v)| (id.clone(), v / most));
    let [low, high] = ends;
    Tints::by_share(
        bench.palette,
        shares,
        written(all, say),
        [head.to_owned(), low, high],
    )
}

fn gains(bench: &Bench<'_>, colour: Colour) -> Option<Tints> {
    let frame = &bench.study.frame;
    if frame.tubes.is_empty() {
        return None;
    }
    let id = |x: &TubeShare| Some(bench.build.assembly.tubes.get(x.tube)?.id.clone());
    match colour {
        Colour::Off => None,
        Colour::PerWeight => {
            let all: Vec<(String, f64)> = frame
                .tubes
                .iter()
                .filter_map(|x| Some((id(x)?, x.best()?)))
                .collect();
            let most = stiffness::most(bench);
            let high = words::per_weight(bench, frame.shown(most));
            let say = |v: f64| words::per_weight(bench, frame.shown(v));
            Some(tinted(
                bench,
                &all,
                most,
                "twist stiffness gained per weight",
                ["0".to_owned(), high],
                say,
            ))
        }
        Colour::Energy => {
            let all: Vec<(String, f64)> = frame
                .tubes
                .iter()
                .filter_map(|x| Some((id(x)?, x.energy)))
                .collect();
            let most = all.iter().map(|x| x.1).fold(0.0_f64, f64::max).max(1e-12);
            Some(tinted(
                bench,
                &all,
                most,
                "share of the give in twist",
                ["0".to_owned(), share_label(most)],
                share_label,
            ))
        }
    }
}

/// Stress under power, as a share of yield.
fn stress(bench: &Bench<'_>) -> Option<Tints> {
    let launch = bench.study.frame.launch.as_ref().ok()?;
    let all: Vec<(String, f64)> = launch
        .reserves
        .iter()
        .flatten()
        .filter(|r| r.yields > 0.0)
        .filter_map(|r| {
            let tube = bench.build.assembly.tubes.get(r.tube)?;
            Some((tube.id.clone(), 1.0 / r.yields))
        })
        .collect();
    let most = all.iter().map(|x| x.1).fold(0.0_f64, f64::max).max(1e-9);
    Some(tinted(
        bench,
        &all,
        most,
        "stress under power, of yield",
        ["0".to_owned(), share_label(most)],
        share_label,
    ))
}

/// A round number no larger than this one: 1, 2 or 5 times a power of ten.
fn round_down(v: f64) -> f64 {
    if !(v.is_finite() && v > 0.0) {
        return 1.0;
    }
    let decade = 10f64.powf(v.log10().floor());
    let found = [5.0, 2.0, 1.0]
        .into_iter()
        .map(|k| k * decade)
        .find(|k| *k <= v);
    found.unwrap_or(decade)
}

fn shifted(frame: &FrameStudy, moved: &[[f64; 6]], what: &str) -> Option<Shifted> {
    let shape = frame.shape.as_ref().ok()?;
    let nodes = &shape.frame.nodes;
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for p in nodes {
        for k in 0..3 {
            low[k] = low[k].min(p[k]);
            high[k] = high[k].max(p[k]);
        }
    }
    let size = (0..3).map(|k| high[k] - low[k]).fold(0.0, f64::max);
    let most = moved
        .iter()
        .map(|d| (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt())
        .fold(0.0, f64::max);
    if most <= 0.0 || !most.is_finite() {
        return None;
    }
    let times = round_down(SHIFT * size / most);
    let at = |n: usize| -> Option<Space> {
        let (p, d) = (nodes.get(n)?, moved.get(n)?);
        Some(std::array::from_fn(|k| p[k] + times * d[k]))
    };
    let lines = shape
        .lines
        .iter()
        .flatten()
        .map(|l| l.nodes.iter().filter_map(|n| at(*n)).collect())
        .collect();
    Some(Shifted {
        lines,
        words: format!("{what}, drawn {times} times"),
    })
}

fn pairs(bench: &Bench<'_>) -> Vec<(String, [Space; 2])> {
    let test = &bench.build.frame_test;
    let a = &bench.build.assembly;
    let named = [("held", &test.rear), ("loaded", &test.front)];
    named
        .into_iter()
        .filter_map(|(word, pair)| {
            let pair = pair.as_ref()?;
            let at = [a.node(&pair.left)?.at.si(), a.node(&pair.right)?.at.si()];
            Some((word.to_owned(), at))
        })
        .collect()
}

fn arrows(bench: &Bench<'_>, panels: &Panels) -> Vec<Arrow> {
    let Ok(launch) = &bench.study.frame.launch else {
        return Vec::new();
    };
    let size = |f: &Space| (f[0] * f[0] + f[1] * f[1] + f[2] * f[2]).sqrt();
    let most = launch
        .loads
        .iter()
        .map(|l| size(&l.force))
        .fold(0.0, f64::max);
    if most <= 0.0 {
        return Vec::new();
    }
    launch
        .loads
        .iter()
        .enumerate()
        .filter(|(_, l)| size(&l.force) > 1e-3 * most)
        .map(|(i, l)| Arrow {
            at: l.at,
            drawn: l.force.map(|v| v / most * FORCE),
            label: format!("{} {}", l.label, bench.show(Kind::Force, size(&l.force))),
            chosen: panels.loads.load == Some(i),
        })
        .collect()
}

//! What is worked out only when asked for: many runs with inputs a little off, and the launch with tyre slip.

use std::fmt::Write as _;

use build::{
    Build, Phrase, Simulation, SlipLaunch, SlipReading, SlipRun, StripMark, Study, TyreCurve,
};
use serde_json::{Value, json};
use units::Shop;
use vehicle::run::NOT_VALIDATED;

use super::{difference, over, reading_of, slip_kind, slip_reading};

/// What is asked for besides the run.
#[derive(Debug, Clone, Copy)]
pub(in crate::command) struct Extra {
    /// Runs to simulate.
    pub simulate: Option<u32>,
    /// The launch with tyre slip.
    pub slip: bool,
}

/// The same draws every time.
const SEED: u64 = 1;
const SHOWN: [SlipReading; 4] = [
    SlipReading::Clock(StripMark::SixtyFoot),
    SlipReading::ZeroSixty,
    SlipReading::Clock(StripMark::Quarter),
    SlipReading::QuarterTrap,
];

fn simulated(study: &Study, runs: u32) -> Result<Simulation, Phrase> {
    study.run.simulate(runs as usize, SEED, |_| true)
}

/// Full throttle, the launch rpm of the build, the usual tyre.
fn slipped(study: &Study) -> Result<SlipRun, Phrase> {
    let car = study.run.car.as_ref().map_err(Clone::clone)?;
    study.run.with_slip(&SlipLaunch {
        tyre: TyreCurve::default(),
        throttle: 1.0,
        release_speed: car.driveline.launch_speed,
    })
}

/// Share of the runs that meet the goal.
fn met(b: &Build, s: &Simulation) -> Option<f64> {
    let goal = b.run.goal?;
    s.share_within(build::reading_over(goal.over), goal.time.si())
}

impl Extra {
    pub(super) fn text(self, b: &Build, study: &Study, shop: &Shop) -> String {
        let mut out = String::new();
        if let Some(runs) = self.simulate {
            let _ = writeln!(out, "\n{runs} RUNS, inputs drawn from their ±");
            match simulated(study, runs) {
                Ok(s) => spread(&mut out, b, &s, shop),
                Err(why) => {
                    let _ = writeln!(out, "None: {}", why.show(shop));
                }
            }
        }
        if self.slip {
            let _ = writeln!(out, "\nWHAT IF THE TYRES SLIP ({NOT_VALIDATED})");
            match slipped(study) {
                Ok(slip) => with_slip(&mut out, study, &slip, shop),
                Err(why) => {
                    let _ = writeln!(out, "No such launch: {}", why.show(shop));
                }
            }
        }
        out
    }

    pub(super) fn json(self, all: &mut Value, b: &Build, study: &Study, shop: &Shop) {
        if let Some(runs) = self.simulate {
            all["simulation"] = match simulated(study, runs) {
                Err(why) => json!({ "reason": why.show(shop) }),
                Ok(s) => {
                    let spreads = s.spreads.iter().flatten().map(|x| {
                        json!({
                            "id": slip_reading(x.reading).0, "runs": x.count,
                            "mean": x.mean, "sigma": x.sigma, "unit": slip_kind(x.reading).si_unit(),
                            "p05": x.low, "p50": x.median, "p95": x.high,
                        })
                    });
                    json!({
                        "runs": s.runs, "without_answer": s.failed,
                        "last_reason": s.last_failure.as_ref().map(ToString::to_string),
                        "goal_met_share": met(b, &s), "spreads": spreads.collect::<Vec<_>>(),
                    })
                }
            };
        }
        if self.slip {
            all["tyre_slip"] = match slipped(study) {
                Err(why) => json!({ "label": NOT_VALIDATED, "reason": why.show(shop) }),
                Ok(slip) => {
                    let times = SHOWN.map(|r| {
                        json!({ "id": slip_reading(r).0, "with_slip": reading_of(r, slip.slip.reading(r), shop) })
                    });
                    json!({
                        "label": NOT_VALIDATED, "times": times,
                        "greatest_slip": slip.greatest_slip, "spinning_seconds": slip.spinning,
                    })
                }
            };
        }
    }
}

fn spread(out: &mut String, b: &Build, s: &Simulation, shop: &Shop) {
    let _ = writeln!(
        out,
        "{:<14}  {:>12}  {:>10}  {:>14}",
        "", "1 in 20 under", "half under", "19 in 20 under"
    );
    for r in SHOWN {
        let Some(x) = &s.spreads[r.index()] else {
            continue;
        };
        let show = |v: f64| match slip_kind(r) {
            units::Kind::Time => format!("{v:.2} s"),
            kind => units::format(kind, v, shop),
        };
        let _ = writeln!(
            out,
            "{:<14}  {:>13}  {:>10}  {:>14}",
            slip_reading(r).1,
            show(x.low),
            show(x.median),
            show(x.high)
        );
    }
    if let Some((goal, share)) = b.run.goal.zip(met(b, s)) {
        let _ = writeln!(
            out,
            "{:.0} % of them meet the goal: {} in {:.2} s",
            100.0 * share,
            over(goal.over),
            goal.time.si()
        );
    }
    if let Some(why) = &s.last_failure {
        let _ = writeln!(out, "{} gave no run, the last because: {why}", s.failed);
    }
}

fn with_slip(out: &mut String, study: &Study, slip: &SlipRun, shop: &Shop) {
    let plain = study.run.run.as_ref().ok().map(|r| r.slip);
    let _ = writeln!(out, "Full throttle from the launch rpm, nobody holds back.");
    for r in SHOWN {
        let kind = slip_kind(r);
        let now = slip.slip.reading(r);
        let was = plain.and_then(|s| s.reading(r));
        let show = |v: Option<f64>| match (v, kind) {
            (None, _) => "not reached".to_owned(),
            (Some(v), units::Kind::Time) => format!("{v:.2} s"),
            (Some(v), kind) => units::format(kind, v, shop),
        };
        let off = now.zip(was).map(|(n, w)| difference(kind, n - w, shop));
        let line = format!(
            "{:<14}  {:>12} with slip  {:>12} without  {}",
            slip_reading(r).1,
            show(now),
            show(was),
            off.unwrap_or_default()
        );
        let _ = writeln!(out, "{}", line.trim_end());
    }
    let _ = writeln!(
        out,
        "Past the slip of most grip for {:.2} s.",
        slip.spinning
    );
}

//! The run in shop words.

use std::fmt::Write as _;

use build::{Build, Phrase, Run, RunLimit, RunPlan, SlipReading, StripMark, Study};
use units::{Kind, Shop};
use vehicle::STANDARD_GRAVITY;

use super::{
    CAUTIONS, amount, difference, distance, over, slip_kind, slip_reading, step, stop, work,
};

pub(super) fn report(b: &Build, study: &Study, shop: &Shop) -> String {
    let mut out = format!("{}, revision {}\n", b.name, b.revision);
    for line in CAUTIONS {
        let _ = writeln!(out, "{line}");
    }
    let plan = study.run.plan();
    match &study.run.run {
        Ok(run) => {
            slip(&mut out, b, run, plan.as_deref(), shop);
            limits(&mut out, run, shop);
            events(&mut out, run, shop);
            extremes(&mut out, run, shop);
            energy(&mut out, run, shop);
        }
        Err(why) => {
            let _ = writeln!(out, "\nNO RUN\nMissing: {}", why.show(shop));
            if b.run.torque.len() < 2 || b.run.gears.is_empty() {
                let _ = writeln!(
                    out,
                    "Write the torque curve, the gears and the car data of the goal phase."
                );
            }
        }
    }
    goal(&mut out, study, plan.as_deref(), shop);
    if let Ok(plan) = &plan {
        sensitivities(&mut out, plan, shop);
    }
    air(&mut out, b, study, shop);
    weighing(&mut out, study, shop);
    out
}

fn slip(out: &mut String, b: &Build, run: &Run, plan: Result<&RunPlan, &Phrase>, shop: &Shop) {
    let rollout = units::format_kept(Kind::Length, b.run.rollout.si(), shop);
    let _ = writeln!(
        out,
        "\nTIME SLIP (clock starts {rollout} from the line, {:.3} s after first motion; ± one standard deviation of the inputs)",
        run.slip.clock_start
    );
    for r in SlipReading::ALL {
        let kind = slip_kind(r);
        let name = slip_reading(r).1;
        let Some(value) = run.slip.reading(r) else {
            let _ = writeln!(out, "{name:<22}  not reached in a quarter mile");
            continue;
        };
        let shown = units::format(kind, value, shop);
        let _ = write!(out, "{name:<22}  {shown:>10}");
        if let Some(bar) = plan.ok().and_then(|p| p.bar(r)) {
            let most: Vec<String> = bar
                .largest()
                .iter()
                .map(|c| c.parameter.to_string())
                .collect();
            let sigma = build::show_to(kind, bar.sigma, 0.1, shop);
            let _ = write!(out, "  ± {sigma}, most by {}", most.join(", "));
        }
        if let SlipReading::Clock(mark) = r {
            let _ = write!(
                out,
                "  ({:.2} s from first motion, {})",
                run.slip.from_first_motion[mark.index()],
                units::format(Kind::Speed, run.slip.speed[mark.index()], shop)
            );
        }
        out.push('\n');
    }
    if run.slip.zero_sixty.is_some() {
        let rolling = run.at(run.slip.clock_start);
        if let Ok(s) = rolling {
            let _ = writeln!(
                out,
                "With rollout the car already moves at {} when the clock starts.",
                units::format(Kind::Speed, s.speed, shop)
            );
        }
    }
    if let Err(why) = plan {
        let _ = writeln!(out, "No ±: {}", why.show(shop));
    }
}

fn limits(out: &mut String, run: &Run, shop: &Shop) {
    let _ = writeln!(out, "\nLIMITS, first motion to the quarter mile");
    let _ = writeln!(
        out,
        "Greatest acceleration {} at {:.2} s",
        units::format(Kind::Acceleration, run.peak.acceleration, shop),
        run.peak.time
    );
    for limit in RunLimit::ALL {
        let name = limit.to_string();
        let _ = writeln!(
            out,
            "{name:<12}  {:>8}  {:>5}",
            format!("{:.2} s", run.seconds(limit)),
            units::format(Kind::Ratio, run.share(limit), shop)
        );
    }
}

fn events(out: &mut String, run: &Run, shop: &Shop) {
    let _ = writeln!(out, "\nEVENTS, from first motion");
    for e in &run.events {
        let _ = writeln!(
            out,
            "{:>8}  {} (gear {}) at {}, {}",
            format!("{:.3} s", e.time),
            e.kind,
            e.gear,
            distance(e.travel, shop),
            units::format(Kind::Speed, e.speed, shop)
        );
    }
}

fn extremes(out: &mut String, run: &Run, shop: &Shop) {
    let x = &run.extremes;
    let _ = writeln!(out, "\nEXTREMES (travel: bump positive, from ride height)");
    for (what, kind, e) in [
        ("nose up", Kind::Angle, x.nose_up_max),
        ("front travel, least", Kind::Length, x.front_travel_min),
        ("front travel, most", Kind::Length, x.front_travel_max),
        ("rear travel, least", Kind::Length, x.rear_travel_min),
        ("rear travel, most", Kind::Length, x.rear_travel_max),
    ] {
        let shown = units::format(kind, e.value, shop);
        let _ = writeln!(out, "{what:<22}  {shown:>10} at {:.2} s", e.time);
    }
    for (what, e) in [
        ("front tyres, least", x.front_load_min),
        ("front tyres, most", x.front_load_max),
        ("rear tyres, least", x.rear_load_min),
        ("rear tyres, most", x.rear_load_max),
    ] {
        let shown = units::format(Kind::Mass, e.value / STANDARD_GRAVITY, shop);
        let _ = writeln!(out, "{what:<22}  {shown:>10} at {:.2} s", e.time);
    }
    if run.stops.is_empty() {
        let _ = writeln!(out, "No suspension stop is touched.");
    }
    for s in &run.stops {
        let _ = writeln!(
            out,
            "The {} is touched at {:.2} s, pressed in by {} with {}",
            stop(s.stop),
            s.time,
            units::format_fine(Kind::Length, s.pressed, shop),
            units::format(Kind::Force, s.force, shop)
        );
    }
}

fn energy(out: &mut String, run: &Run, shop: &Shop) {
    let _ = writeln!(out, "\nENERGY, where the engine's work goes");
    let e = match run.energy() {
        Ok(e) => e,
        Err(why) => {
            let _ = writeln!(out, "Not known: {why}");
            return;
        }
    };
    for (what, joules) in [
        ("work of the engine", e.engine),
        ("car in motion", e.kinetic),
        ("turning parts", e.rotating + e.engine_rotor),
        ("slip and held back", e.slip_and_held),
        ("gearbox and axle", e.driveline),
        ("air", e.drag),
        ("rolling", e.rolling),
    ] {
        let share = if e.engine > 0.0 {
            units::format(Kind::Ratio, joules / e.engine, shop)
        } else {
            String::new()
        };
        let _ = writeln!(out, "{what:<22}  {:>16}  {share:>6}", work(joules, shop));
    }
    let _ = writeln!(
        out,
        "Not accounted for by the integration: {}",
        work(e.imbalance(), shop)
    );
}

fn goal(out: &mut String, study: &Study, plan: Result<&RunPlan, &Phrase>, shop: &Shop) {
    let _ = writeln!(out, "\nGOAL");
    let Some(g) = &study.run.goal else {
        let _ = writeln!(out, "None is set.");
        return;
    };
    let wanted = format!("{} in {:.2} s", over(g.goal.over), g.goal.time.si());
    let Some((predicted, by)) = g.predicted.zip(g.over) else {
        let _ = writeln!(out, "{wanted}: can not be judged, there is no such time.");
        return;
    };
    let verdict = if by > 0.0 {
        format!("missed by {by:.2} s")
    } else {
        format!("met with {:.2} s to spare", -by)
    };
    let _ = writeln!(out, "{wanted}: {predicted:.2} s predicted, {verdict}");
    let Ok(plan) = plan else { return };
    if plan.changes.is_empty() {
        return;
    }
    match plan.easiest() {
        Some(c) => {
            let _ = writeln!(
                out,
                "Easiest change that meets it alone: {} {}",
                c.parameter,
                amount(c.parameter, c.by, shop)
            );
        }
        None => {
            let _ = writeln!(
                out,
                "No one change meets it as far as a shop would go: change several."
            );
        }
    }
    let _ = writeln!(out, "One change at a time, easiest first:");
    for c in &plan.changes {
        let name = c.parameter.to_string();
        let _ = writeln!(
            out,
            "  {name:<14}  {:>12}  {:.2} s, {}",
            amount(c.parameter, c.by, shop),
            c.then,
            if c.meets { "meets it" } else { "does not" }
        );
    }
}

/// What the table of effects shows.
const SHOWN: [SlipReading; 4] = [
    SlipReading::Clock(StripMark::SixtyFoot),
    SlipReading::ZeroSixty,
    SlipReading::Clock(StripMark::Quarter),
    SlipReading::QuarterTrap,
];

fn sensitivities(out: &mut String, plan: &RunPlan, shop: &Shop) {
    let _ = writeln!(out, "\nWHAT MOVES THE TIMES (a step of each input alone)");
    let _ = write!(out, "{:<14}  {:>12}", "", "");
    for r in SHOWN {
        let _ = write!(out, "  {:>14}", slip_reading(r).1);
    }
    out.push('\n');
    for e in &plan.sensitivities.effects {
        let by = step(e.parameter, shop);
        let name = e.parameter.to_string();
        let _ = write!(out, "{name:<14}  {:>12}", amount(e.parameter, by, shop));
        let mut kinks = Vec::new();
        for r in SHOWN {
            let kind = slip_kind(r);
            let text = e.slope(r).map_or_else(
                || "—".to_owned(),
                |s| difference(kind, s.central * by, shop),
            );
            let _ = write!(out, "  {text:>14}");
            if let Some(s) = e.slope(r).filter(|s| s.kinked)
                && let Some((below, above)) = s.below.zip(s.above)
            {
                kinks.push(format!(
                    "{}: {} the other way, {} this way",
                    slip_reading(r).1,
                    difference(kind, -below * by, shop),
                    difference(kind, above * by, shop)
                ));
            }
        }
        out.push('\n');
        for k in kinks {
            let _ = writeln!(out, "{:<14}  a limit lies between, {k}", "");
        }
        for (way, why) in [("less", &e.below), ("more", &e.above)] {
            if let Some(why) = why {
                let _ = writeln!(out, "{:<14}  no run with {way}: {why}", "");
            }
        }
    }
}

fn air(out: &mut String, b: &Build, study: &Study, shop: &Shop) {
    let w = &b.run.weather;
    let _ = writeln!(out, "\nAIR");
    let _ = writeln!(
        out,
        "{}, {} at the station, humidity {}",
        units::format(Kind::Temperature, w.temperature.si(), shop),
        super::barometer(w.pressure.si(), shop),
        units::format(Kind::Ratio, w.humidity.si(), shop)
    );
    let Ok(run) = &study.run.run else { return };
    let air = run.model().air();
    let _ = writeln!(
        out,
        "Density {:.3} kg/m³; SAE J1349 factor {:.3}{}, {}",
        air.density,
        air.cf_j1349,
        if air.within_j1349() {
            ""
        } else {
            " (outside 0.93 to 1.07, where the standard does not vouch for it)"
        },
        if b.run.correct_power {
            "the torque is divided by it"
        } else {
            "not used: the torque stands as typed"
        }
    );
}

fn weighing(out: &mut String, study: &Study, shop: &Shop) {
    let _ = writeln!(out, "\nWEIGHING");
    match &study.run.corners {
        None => {
            let _ = writeln!(out, "No corner weights are entered.");
        }
        Some(Err(why)) => {
            let _ = writeln!(out, "Corner weights: {}", why.show(shop));
        }
        Some(Ok(c)) => {
            let pounds = |n: f64| units::format(Kind::Mass, n / STANDARD_GRAVITY, shop);
            let long = |v: f64| units::format(Kind::Length, v.abs(), shop);
            let _ = writeln!(
                out,
                "Corners: {}, front {:.1} %, left {:.1} %, cross {:.1} %, rear bite {} {}",
                pounds(c.weight),
                c.front_percent,
                c.left_percent,
                c.cross_percent,
                pounds(c.rear_bite.abs()),
                if c.rear_bite < 0.0 {
                    "heavier right"
                } else {
                    "heavier left"
                }
            );
            let _ = writeln!(
                out,
                "Centre of gravity {} ahead of the rear axle, {} {} of the middle",
                long(c.cg_station),
                long(c.cg_offset),
                if c.cg_offset < 0.0 { "right" } else { "left" }
            );
        }
    }
    match &study.run.height {
        None => {
            let _ = writeln!(out, "No weighing with an axle raised is entered.");
        }
        Some(Err(why)) => {
            let _ = writeln!(out, "Raised axle: {}", why.show(shop));
        }
        Some(Ok(h)) => {
            let _ = writeln!(
                out,
                "Raised axle: centre of gravity {} ± {} up",
                units::format(Kind::Length, h.height, shop),
                units::format_fine(Kind::Length, h.sigma, shop)
            );
        }
    }
}

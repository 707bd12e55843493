//! The frame's stiffness for the command line: a report in shop words, or everything as JSON.

use std::fmt::Write as _;

use build::{BraceEnd, Build, FRAME_CAUTION, FrameStudy, Phrase, Study, TwistAnswer};
use serde_json::{Value, json};
use units::{Kind, Shop, System};

use super::Trouble;
use super::output::reading_json;

/// Places for a brace that are listed.
const BRACES: usize = 8;

pub(super) fn run(b: &Build, study: &Study, shop: &Shop, json: bool) -> Result<String, Trouble> {
    if json {
        return Ok(serde_json::to_string_pretty(&everything(b, study, shop))? + "\n");
    }
    Ok(report(b, study, shop))
}

fn report(b: &Build, study: &Study, shop: &Shop) -> String {
    let mut out = format!("{}, revision {}\n{FRAME_CAUTION}\n\n", b.name, b.revision);
    let frame = &study.frame;
    for r in study
        .readings
        .iter()
        .filter(|r| r.id().starts_with("frame."))
    {
        let shown = match &r.value {
            Ok(_) => r.display(shop),
            Err(why) => why.to_string(),
        };
        let _ = writeln!(out, "{:<30}  {shown}", r.label());
    }
    if let Some(factor) = frame.factor {
        let used = if frame.corrected {
            "the stiffnesses above are corrected by it"
        } else {
            "not used above"
        };
        let _ = writeln!(
            out,
            "Last twist test: {factor:.2} times the prediction, {used}."
        );
    }
    if let Ok(twist) = &frame.twist {
        curve(&mut out, twist, shop);
    }
    tubes(&mut out, b, frame, shop);
    launch(&mut out, b, frame, shop);
    braces(&mut out, frame, shop);
    out
}

/// Kilograms in the display's unit of weight, and its name.
fn weighed(shop: &Shop) -> (f64, &'static str) {
    match shop.system {
        System::InchPound => (0.453_592_37, "lb"),
        System::Si => (1.0, "kg"),
    }
}

/// A stiffness gained per weight: "120 ft·lb/deg per lb".
fn amount_per_weight(per_kilogram: f64, shop: &Shop) -> String {
    let (weight, name) = weighed(shop);
    let gain = units::format(Kind::RollStiffness, per_kilogram * weight, shop);
    format!("{gain} per {name}")
}

/// A tube's weight: to a tenth of a pound.
fn weight(kilograms: f64, shop: &Shop) -> String {
    let (unit, name) = weighed(shop);
    format!("{:.1} {name}", kilograms / unit)
}

fn curve(out: &mut String, twist: &TwistAnswer, shop: &Shop) {
    let torque = units::format(Kind::Torque, twist.torque, shop);
    let _ = writeln!(out, "\nTWIST ALONG THE FRAME at {torque}");
    for p in &twist.curve {
        let _ = writeln!(
            out,
            "{:<26}  {:>9}  {:>8.3} deg",
            p.label,
            units::format(Kind::Length, p.x, shop),
            p.phi.to_degrees()
        );
    }
    let Some(bay) = twist.soft.and_then(|i| twist.bays.get(i)) else {
        return;
    };
    let name = |i: usize| twist.curve.get(i).map_or("?", |p| p.label.as_str());
    let _ = writeln!(
        out,
        "Softest: between {} and {}, {:.0} % of the twist.",
        name(bay.between[0]),
        name(bay.between[1]),
        100.0 * bay.share
    );
}

fn label(b: &Build, tube: usize) -> &str {
    b.assembly.tubes.get(tube).map_or("?", |t| t.label.as_str())
}

fn tubes(out: &mut String, b: &Build, frame: &FrameStudy, shop: &Shop) {
    if frame.tubes.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "\nWHAT EACH TUBE BRINGS (twist stiffness gained per weight added to its wall or its outside)"
    );
    for t in &frame.tubes {
        let gain = t.best().map_or_else(
            || "cannot be told".to_owned(),
            |g| amount_per_weight(g, shop),
        );
        let _ = writeln!(
            out,
            "{:<26}  {:>8}  {gain:>22}  {:>4.1} % of the strain",
            label(b, t.tube),
            weight(t.mass, shop),
            100.0 * t.energy
        );
    }
}

fn launch(out: &mut String, b: &Build, frame: &FrameStudy, shop: &Shop) {
    match &frame.launch {
        Err(why) => {
            let _ = writeln!(out, "\nUNDER POWER\nNot worked out: {why}");
        }
        Ok(l) => {
            let _ = writeln!(
                out,
                "\nUNDER POWER at {} (entered {}, tubes {}, the rest {} spread over the frame)",
                units::format(Kind::Acceleration, l.acceleration, shop),
                units::format(Kind::Mass, l.entered, shop),
                units::format(Kind::Mass, l.own, shop),
                units::format(Kind::Mass, l.rest, shop),
            );
            let mut worst: Vec<_> = l.reserves.iter().flatten().collect();
            worst.sort_by(|x, y| x.lowest().total_cmp(&y.lowest()));
            for r in worst.iter().take(10) {
                let _ = writeln!(
                    out,
                    "{:<26}  yield {:>6.1} times, as a column {}  (stress {})",
                    label(b, r.tube),
                    r.yields,
                    if r.column.is_finite() {
                        format!("{:.0} times", r.column)
                    } else {
                        "not pushed".to_owned()
                    },
                    units::format(Kind::Pressure, r.von_mises, shop)
                );
            }
        }
    }
}

fn end(e: &BraceEnd) -> Value {
    match e {
        BraceEnd::Node(id) => json!(id),
        BraceEnd::At(p) => json!(p),
    }
}

fn braces(out: &mut String, frame: &FrameStudy, shop: &Shop) {
    let Ok(list) = frame.braces() else { return };
    let _ = writeln!(
        out,
        "\nBEST PLACES FOR A BRACE ({} looked at; seat, engine and tyres are not known to it)",
        list.looked_at
    );
    for p in list.places.iter().take(BRACES) {
        let _ = writeln!(
            out,
            "{:<46}  +{:>16}  {:>8}  {}",
            p.label,
            units::format(Kind::RollStiffness, p.tried.gain, shop),
            weight(p.tried.mass, shop),
            amount_per_weight(p.tried.gain_per_kg, shop)
        );
    }
    let note: Option<&Phrase> = list.note.as_ref();
    if let Some(note) = note {
        let _ = writeln!(out, "{}", note.show(shop));
    }
}

fn result<T>(r: &Result<T, String>, make: impl Fn(&T) -> Value) -> Value {
    match r {
        Ok(x) => make(x),
        Err(why) => json!({ "reason": why }),
    }
}

fn everything(b: &Build, study: &Study, shop: &Shop) -> Value {
    let frame = &study.frame;
    let readings: Vec<Value> = study
        .readings
        .iter()
        .filter(|r| r.id().starts_with("frame."))
        .map(|r| reading_json(r, shop))
        .collect();
    let twist = result(&frame.twist, |t| {
        json!({
            "stiffness": frame.shown(t.stiffness),
            "predicted": t.stiffness,
            "torque": t.torque,
            "curve": t.curve.iter().map(|p| json!({
                "label": p.label, "left": p.left, "right": p.right, "station": p.x, "twist": p.phi,
            })).collect::<Vec<_>>(),
            "bays": t.bays.iter().map(|bay| json!({
                "between": bay.between, "share": bay.share, "twist_per_metre": bay.rate,
            })).collect::<Vec<_>>(),
            "softest": t.soft,
        })
    });
    let tubes: Vec<Value> = frame
        .tubes
        .iter()
        .map(|t| {
            json!({
                "id": b.assembly.tubes.get(t.tube).map(|x| &x.id),
                "mass": t.mass,
                "strain_share": t.energy,
                "gain_per_kilogram_of_wall": t.by_wall,
                "gain_per_kilogram_of_diameter": t.by_diameter,
                "bending_strain_share": t.bending_energy,
            })
        })
        .collect();
    let launch = result(&frame.launch, |l| {
        json!({
            "acceleration": l.acceleration,
            "entered_mass": l.entered,
            "tubes_mass": l.own,
            "spread_mass": l.rest,
            "difference": l.difference,
            "angular_acceleration": l.angular,
            "loads": l.loads.iter().map(|x| json!({
                "label": x.label, "at": x.at, "force": x.force, "moment": x.moment,
                "tube": x.tube.and_then(|i| b.assembly.tubes.get(i)).map(|t| &t.id),
            })).collect::<Vec<_>>(),
            "reserves": l.reserves.iter().flatten().map(|r| json!({
                "id": b.assembly.tubes.get(r.tube).map(|x| &x.id),
                "yield_reserve": r.yields,
                "von_mises": r.von_mises,
                "at": r.at,
                // JSON has no infinity: a tube that is only pulled has no column reserve.
                "column_reserve": Some(r.column).filter(|x| x.is_finite()),
                "compression": r.compression,
                "straight": r.straight,
            })).collect::<Vec<_>>(),
        })
    });
    let braces = match frame.braces() {
        Err(why) => json!({ "reason": why }),
        Ok(list) => json!({
            "looked_at": list.looked_at,
            "places": list.places.iter().map(|p| json!({
                "label": p.label,
                "bars": p.bars.iter().map(|[x, y]| json!([end(x), end(y)])).collect::<Vec<_>>(),
                "length": p.length,
                "gain": p.tried.gain,
                "mass": p.tried.mass,
                "gain_per_kilogram": p.tried.gain_per_kg,
            })).collect::<Vec<_>>(),
        }),
    };
    json!({
        "build": b.name,
        "revision": b.revision,
        "caution": FRAME_CAUTION,
        "units": "SI; twist in rad, stiffness in N·m/rad",
        "readings": readings,
        "measured_over_predicted": frame.factor,
        "corrected": frame.corrected,
        "twist": twist,
        "bending": result(&frame.bending, |x| json!({ "stiffness": frame.shown(x.stiffness), "predicted": x.stiffness })),
        "tubes": tubes,
        "launch": launch,
        "braces": braces,
    })
}

//! The driveline of whole builds against hand sums written here, and a finding for every fault.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::f64::consts::PI;
use std::path::Path;

use build::{
    AxleShaftData, Build, Driveline, Finding, LoopData, Part, Place, Severity, SplineData, Study,
    derive, file,
};
use units::{Angle, Count, Length, Mass, Pressure, Ratio, RotationSpeed, Shop, Speed};

const INCH: f64 = 0.0254;
const RPM: f64 = PI / 30.0;

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap()
}

fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!(
        (got - want).abs() <= within * want.abs().max(1e-9),
        "{what}: {got}, {want} expected"
    );
}

fn value(s: &Study, id: &str) -> f64 {
    let r = s.reading(id).unwrap_or_else(|| panic!("no reading {id}"));
    r.value.clone().unwrap_or_else(|e| panic!("{id}: {e}"))
}

fn inch(x: f64) -> Length {
    Length::from_inches(x)
}

fn degrees(x: f64) -> Angle {
    Angle::from_si(x.to_radians())
}

/// A sound driveline on a car with a run: parallel axes 2° off the shaft, a loop, an axle shaft.
fn sound() -> Build {
    let mut b = sample("whimbrel.ron");
    let mut d = Driveline::usual();
    d.redline = RotationSpeed::from_si(6000.0 * RPM);
    d.slip.room = inch(2.0);
    let drawn = b.power.driveshaft.as_mut().unwrap();
    let (f, r) = (drawn.front_joint, drawn.rear_joint);
    let fall = ((f.height.si() - r.height.si()) / (f.station.si() - r.station.si())).atan();
    drawn.front_joint.offset = Length::from_si(0.0);
    drawn.rear_joint.offset = Length::from_si(0.0);
    let tilt = Angle::from_si(fall + 2f64.to_radians());
    (drawn.output_down, drawn.pinion_up) = (tilt, tilt);
    let x = f.station.si() - 4.0 * INCH;
    d.hoop = Some(LoopData {
        at: Place::from_si([x, 0.0, f.height.si() - 4.0 * INCH * fall.tan()]),
        inside: inch(5.5),
        within: inch(6.0),
    });
    d.axle_shaft = Some(AxleShaftData {
        diameter: inch(1.5),
        bore: inch(0.0),
        yield_strength: Pressure::from_si(1.1e9),
        share: Ratio::from_si(1.0),
        spline: Some(SplineData {
            pitch: inch(1.4),
            teeth: 33,
            engagement: inch(1.5),
            depth: inch(0.04),
        }),
    });
    b.driveline = Some(d);
    b
}

fn driveline(b: &mut Build) -> &mut Driveline {
    b.driveline.as_mut().unwrap()
}

/// 3.00 × 0.083 in steel, 50 in between joints: 7924 rpm with the published 4.8·10⁶ √(D² + d²)/ℓ² (shaft makers' form),
/// which is 0.8 % above what E and ρ give.
#[test]
fn critical_speed_of_the_published_shaft() {
    let mut b = sound();
    let drawn = b.power.driveshaft.as_mut().unwrap();
    let f = drawn.front_joint;
    drawn.rear_joint = Place {
        station: Length::from_si(f.station.si() - 50.0 * INCH),
        ..f
    };
    // Steel's E of Shigley, Mechanical Engineering Design (from memory).
    driveline(&mut b).tube.modulus = Pressure::from_si(207e9);
    let s = derive(&b);
    let got = value(&s, "driveline.critical") / RPM;
    assert!((0.985..0.999).contains(&(got / 7924.0)), "{got}");
    // The redline in top gear; the longest shaft keeps 70 %: ω falls with the square of the length.
    let top = 6000.0 / b.run.gears.last().unwrap().ratio.si();
    near(value(&s, "driveline.top_shaft") / RPM, top, 1e-12, "top");
    near(
        value(&s, "driveline.critical_share"),
        top / got,
        1e-12,
        "share",
    );
    let longest = 50.0 * INCH * (0.7 * got / top).sqrt();
    near(value(&s, "driveline.longest"), longest, 1e-9, "longest");
}

/// Parallel axes leave nothing; yokes a quarter turn out leave √2 of one joint; a plan angle adds to the side view's as
/// the law of cosines on the sphere says (derived).
#[test]
fn joint_angles_in_space() {
    let b = sound();
    let s = derive(&b);
    near(
        value(&s, "driveline.front_angle").to_degrees(),
        2.0,
        1e-9,
        "front",
    );
    assert!(value(&s, "driveline.equivalent_angle") < 1e-6);
    let mut out = b.clone();
    driveline(&mut out).phase = degrees(90.0);
    let t = derive(&out);
    let want = 2f64.sqrt() * 2f64.to_radians();
    near(
        value(&t, "driveline.equivalent_angle"),
        want,
        1e-9,
        "out of phase",
    );
    let speed = value(&t, "driveline.top_shaft");
    near(
        value(&t, "driveline.torsional"),
        (speed * want).powi(2),
        1e-9,
        "shaken",
    );
    near(
        value(&s, "driveline.shaft_acceleration"),
        (speed * 2f64.to_radians()).powi(2),
        1e-9,
        "shaft",
    );
    // Plan angles reach the launch study's readings too.
    let mut plan = b.clone();
    driveline(&mut plan).output_left = degrees(3.0);
    let t = derive(&plan);
    let drawn = b.power.driveshaft.unwrap();
    let down = drawn.output_down.si().tan();
    let (f, r) = (drawn.front_joint.si(), drawn.rear_joint.si());
    let line = [r[0] - f[0], r[1] - f[1], r[2] - f[2]];
    let axis = [-1.0, 3f64.to_radians().tan(), -down];
    let dot = line.iter().zip(axis).map(|(a, b)| a * b).sum::<f64>();
    let norm = |v: [f64; 3]| v.iter().map(|x| x * x).sum::<f64>().sqrt();
    let want = (dot / norm(line) / norm(axis)).acos();
    near(value(&t, "driveline.front_angle"), want, 1e-7, "launch");
    let x = t.driveline.as_ref().unwrap().shaft.as_ref().unwrap();
    near(x.ride.layout.working_angles[0], want, 1e-7, "driveline");
}

/// Left and right are alike: plan angles and joints mirrored, the yokes' phase turned the other way.
#[test]
fn mirrored_in_plan_it_reads_the_same() {
    let mut b = sound();
    driveline(&mut b).output_left = degrees(1.5);
    driveline(&mut b).pinion_left = degrees(-0.7);
    driveline(&mut b).phase = degrees(11.0);
    b.power.driveshaft.as_mut().unwrap().rear_joint.offset = inch(0.75);
    let mut m = b.clone();
    let d = driveline(&mut m);
    d.output_left = -d.output_left;
    d.pinion_left = -d.pinion_left;
    d.phase = -d.phase;
    m.power.driveshaft.as_mut().unwrap().rear_joint.offset = inch(-0.75);
    let (s, t) = (derive(&b), derive(&m));
    for id in [
        "driveline.equivalent_angle",
        "driveline.torsional",
        "driveline.shaft_acceleration",
        "driveline.critical",
        "driveline.loop_distance",
    ] {
        near(value(&s, id), value(&t, id), 1e-9, id);
    }
}

/// Engagement and room are what is left of the plunge over the travel; the torque is the lesser of engine and tyres,
/// with its shock; 16 T/(π d³) of a solid shaft; speed against engine speed is a straight line (all by hand).
#[test]
fn slip_strength_and_gearing_by_hand() {
    let b = sound();
    let s = derive(&b);
    let d = b.driveline.as_ref().unwrap();
    let x = s.driveline.as_ref().unwrap();
    let shaft = x.shaft.as_ref().unwrap();
    let most = shaft
        .poses()
        .map(|p| p.state.plunge)
        .fold(f64::MIN, f64::max);
    let least = shaft
        .poses()
        .map(|p| p.state.plunge)
        .fold(f64::MAX, f64::min);
    near(
        value(&s, "driveline.engagement"),
        d.slip.engagement.si() - most,
        1e-12,
        "engagement",
    );
    near(
        value(&s, "driveline.bottoming"),
        d.slip.room.si() + least,
        1e-12,
        "room",
    );
    let swing = value(&s, "driveline.plunge");
    let travel: Vec<f64> = shaft.travel.iter().map(|p| p.state.plunge).collect();
    let over = travel.iter().fold(0.0_f64, |a, b| a.max(*b))
        - travel.iter().fold(0.0_f64, |a, b| a.min(*b));
    near(swing, over, 1e-12, "the launch study's slip");
    let x = x.strength.as_ref().unwrap();
    let axle = x.axle.unwrap();
    let stress = 16.0 * axle.torque / (PI * (1.5 * INCH).powi(3));
    near(axle.stress, stress, 1e-12, "axle shaft");
    near(
        value(&s, "driveline.axle_safety"),
        1.1e9 / 3f64.sqrt() / stress,
        1e-12,
        "safety",
    );
    let (od, id) = (3.0 * INCH, (3.0 - 0.166) * INCH);
    let tau = 16.0 * value(&s, "driveline.torque") * od / (PI * (od.powi(4) - id.powi(4)));
    near(
        value(&s, "driveline.torsion_safety"),
        350e6 / 3f64.sqrt() / tau,
        1e-9,
        "tube",
    );
    // A spool carries it all on one side: what one tyre holds bounds it.
    let r = b.car.rear.loaded_radius.si();
    let weight = b.car.mass.si() * 9.806_65;
    assert!(axle.torque <= 1.5 * b.power.friction.si() * weight * r);
    let gearing = s.driveline.as_ref().unwrap().gearing.as_ref().unwrap();
    let trap = gearing.trap.unwrap();
    let slip = gearing.gears.slip[0];
    let roll = b.run.rolling_radius.si();
    let engine = trap.speed / roll * b.power.final_drive.si() * b.run.gears[trap.gear].ratio.si()
        / (1.0 - slip);
    near(value(&s, "driveline.trap_rpm"), engine, 1e-12, "trap");
    near(
        value(&s, "driveline.final_drive"),
        b.power.final_drive.si() * 6000.0 * RPM / engine,
        1e-12,
        "final drive",
    );
}

fn found<'a>(s: &'a Study, words: &str) -> Option<&'a Finding> {
    let shop = Shop::default();
    s.findings
        .iter()
        .find(|f| f.text.show(&shop).contains(words))
}

fn fault(what: &str, severity: Severity, part: Part, words: &str, spoil: impl FnOnce(&mut Build)) {
    let good = derive(&sound());
    assert!(found(&good, words).is_none(), "{what}: said of a sound one");
    let mut b = sound();
    spoil(&mut b);
    let text = file::to_text(&b).unwrap();
    assert!(file::parse(&text, Path::new("fault.ron")).is_ok(), "{what}");
    let s = derive(&b);
    let f = found(&s, words).unwrap_or_else(|| {
        let all = s.findings.iter().map(|f| f.sentences(&Shop::default()));
        panic!("{what}: {:#?}", all.collect::<Vec<_>>())
    });
    assert_eq!((f.severity, &f.part), (severity, &part), "{what}");
}

#[test]
fn every_fault_has_its_finding() {
    use Severity::{Error, Remark, Warning};
    let field = Part::Field;
    fault(
        "no shaft",
        Remark,
        Part::Driveshaft,
        "no driveshaft is drawn",
        |b| {
            b.power.driveshaft = None;
        },
    );
    fault(
        "out of phase",
        Warning,
        field("driveline.phase"),
        "out of phase",
        |b| {
            driveline(b).phase = degrees(13.3);
        },
    );
    fault(
        "shaken",
        Warning,
        field("driveline.phase"),
        "pinion is shaken",
        |b| {
            driveline(b).phase = degrees(90.0);
        },
    );
    fault(
        "planes",
        Warning,
        field("driveline.pinion_left"),
        "joints bend in planes",
        |b| {
            driveline(b).pinion_left = degrees(2.0);
            driveline(b).output_left = degrees(-2.0);
        },
    );
    fault(
        "whips",
        Error,
        field("driveline.tube.outside"),
        "whips and breaks",
        |b| {
            driveline(b).top_speed = Some(Speed::from_si(190.0));
            driveline(b).tube.outside = inch(1.5);
        },
    );
    fault(
        "near critical",
        Warning,
        field("driveline.tube.outside"),
        "70 % is the usual limit",
        |b| {
            driveline(b).tube.outside = inch(2.0);
        },
    );
    fault(
        "short spline",
        Warning,
        field("driveline.slip.engagement"),
        "of the spline stays in",
        |b| {
            driveline(b).slip.engagement = inch(1.4);
        },
    );
    fault(
        "spline out",
        Error,
        field("driveline.slip.engagement"),
        "comes out of its spline",
        |b| {
            driveline(b).slip.engagement = inch(0.0);
        },
    );
    fault(
        "close to bottom",
        Warning,
        field("driveline.slip.room"),
        "until the slip yoke bottoms",
        |b| {
            driveline(b).slip.room = inch(0.75);
        },
    );
    fault(
        "bottoms",
        Error,
        field("driveline.slip.room"),
        "it bottoms",
        |b| {
            driveline(b).slip.room = inch(0.0);
        },
    );
    fault(
        "no loop",
        Warning,
        field("driveline.hoop"),
        "No safety loop",
        |b| {
            driveline(b).hoop = None;
        },
    );
    fault(
        "touches",
        Error,
        field("driveline.hoop.at"),
        "into its loop",
        |b| {
            driveline(b).hoop.as_mut().unwrap().inside = inch(3.25);
        },
    );
    fault(
        "loop far",
        Warning,
        field("driveline.hoop.at"),
        "behind the front joint",
        |b| {
            driveline(b).hoop.as_mut().unwrap().within = inch(2.0);
        },
    );
    fault(
        "misses",
        Error,
        field("driveline.hoop.at"),
        "does not pass through",
        |b| {
            driveline(b).hoop.as_mut().unwrap().at.station = inch(-10.0);
        },
    );
    fault(
        "weak tube",
        Error,
        field("driveline.tube.wall"),
        "tube has a safety factor",
        |b| {
            driveline(b).tube.yield_strength = Pressure::from_si(50e6);
        },
    );
    fault(
        "weak axle",
        Error,
        field("driveline.axle_shaft.diameter"),
        "The axle shaft has",
        |b| {
            driveline(b).axle_shaft.as_mut().unwrap().diameter = inch(1.0);
        },
    );
    fault(
        "weak spline",
        Error,
        field("driveline.axle_shaft.spline"),
        "spline has a safety",
        |b| {
            let axle = driveline(b).axle_shaft.as_mut().unwrap();
            axle.spline.as_mut().unwrap().engagement = inch(0.25);
        },
    );
    fault(
        "past redline",
        Warning,
        field("power.final_drive"),
        "past its redline",
        |b| {
            driveline(b).redline = RotationSpeed::from_si(3000.0 * RPM);
        },
    );
    fault(
        "no torque",
        Remark,
        field("run.torque"),
        "strength is not judged",
        |b| {
            b.run.torque.clear();
        },
    );
    fault(
        "no gears",
        Warning,
        field("driveline.top_speed"),
        "highest speed is not known",
        |b| {
            b.run.gears.clear();
        },
    );
    fault(
        "no chart",
        Remark,
        field("run.gears"),
        "gearing chart can not",
        |b| {
            b.run.gears.clear();
        },
    );
}

#[test]
fn without_a_driveline_every_reading_says_so() {
    let mut b = sound();
    b.driveline = None;
    let s = derive(&b);
    let silent = s.readings.iter().filter(|r| {
        let why = r.value.as_ref().err().map(ToString::to_string);
        why.is_some_and(|w| w.contains("no driveline is described"))
    });
    assert_eq!(silent.count(), 20);
}

/// Any joints, speeds and tubes: an answer or a reason, and never a figure that is none.
#[test]
fn usual_driveline_on_extreme_cars() {
    for (front, rear, mass, radius) in [
        ([3.0, 1.0, 0.1], [0.2, -1.0, 1.5], 20_000.0, 1.0),
        ([0.1, 0.0, 0.3], [0.1, 0.0, 0.3], 100.0, 0.1),
        ([-1.0, 0.0, 0.3], [0.5, 0.0, 0.3], 1000.0, 0.3),
        ([0.5, 0.0, 2.5], [0.4999, 0.0, 0.0], 1000.0, 0.3),
    ] {
        for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
            let mut b = sample(name);
            b.driveline = Some(Driveline::usual());
            b.car.mass = Mass::from_si(mass);
            b.run.rolling_radius = Length::from_si(radius);
            b.power.friction = Count::from_si(5.0);
            let d = b.power.driveshaft.as_mut().unwrap();
            d.front_joint = Place::from_si(front);
            d.rear_joint = Place::from_si(rear);
            let s = derive(&b);
            for r in &s.readings {
                if r.definition.id.starts_with("driveline.")
                    && let Ok(v) = r.value
                {
                    assert!(v.is_finite(), "{name} {}: {v}", r.id());
                }
            }
        }
    }
}

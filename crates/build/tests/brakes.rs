//! The brakes of whole builds against closed forms written here, and a finding for every fault.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::f64::consts::PI;
use std::path::Path;

use build::{
    AxleBrake, Booster, BrakeAxle, BrakeKind, Brakes, Build, CircuitKind, DiscBrake, Edit, Finding,
    History, Hose, HoseKind, Masters, ParkingData, Part, PedalSpringData, PressureValve,
    Proportioning, ReturnData, RollingEdit, RotorData, Severity, SpringPull, Study, ValvePlace,
    derive, file,
};
use units::{
    Acceleration, Angle, Count, Force, Inertia, Length, Mass, Pressure, Ratio, Shop, Speed,
    SpringRate, Time, Torque, Volume,
};

const G: f64 = 9.806_65;
const PSI: f64 = 6_894.757_293_168_361;

fn whimbrel() -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/whimbrel.ron");
    file::load(&path).unwrap()
}

fn inch(x: f64) -> Length {
    Length::from_inches(x)
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

fn disc(piston: f64) -> BrakeKind {
    BrakeKind::Disc(DiscBrake {
        piston: inch(piston),
        pistons_one_side: 1,
        friction: Count::from_si(0.4),
        outer: inch(5.5),
        inner: inch(3.5),
        threshold: Pressure::from_si(0.0),
        efficiency: Ratio::from_si(1.0),
        clearance: inch(0.01),
        caliper: None,
        pad: None,
    })
}

fn axle(b: &Build, piston: f64) -> AxleBrake {
    AxleBrake {
        brake: disc(piston),
        bore_height: b.car.front.loaded_radius,
        valves: Vec::new(),
        proportioning: None,
        hoses: vec![Hose {
            length: inch(12.0),
            kind: HoseKind::Regular,
        }],
        fluid: Volume::from_si(60e-6),
        rotor: None,
    }
}

/// Nothing that bends the straight line from foot to ground: no spring, no threshold, no losses.
fn plain(front: f64, rear: f64) -> Build {
    let mut b = whimbrel();
    let mut brakes = Brakes::usual(&b.car);
    brakes.pedal.efficiency = Ratio::from_si(1.0);
    brakes.masters = Masters::Single {
        bore: inch(1.0),
        efficiency: Ratio::from_si(1.0),
        spring: Force::from_si(0.0),
        dead_stroke: inch(0.05),
        stroke: inch(1.5),
    };
    brakes.front = axle(&b, front);
    brakes.rear = axle(&b, rear);
    brakes.fluid_height = inch(40.0);
    brakes.surfaces = vec![Count::from_si(0.8)];
    brakes.stop.rate = Acceleration::from_si(0.5 * G);
    b.brakes = Some(brakes);
    b
}

fn brakes(b: &mut Build) -> &mut Brakes {
    b.brakes.as_mut().unwrap()
}

/// First lock of a fixed share: z = μb/(βL − μh) at the front, μa/((1 − β)L + μh) at the rear; the order changes at
/// (a − (1 − β)L)/h (statics, derived).
#[test]
fn fixed_share_locks_where_the_closed_form_says() {
    for (front, rear) in [(2.5, 1.5), (2.0, 2.0), (1.5, 2.5), (2.5, 2.0)] {
        let b = plain(front, rear);
        let s = derive(&b);
        let study = s.brakes.as_ref().unwrap();
        let x = study.balance.as_ref().unwrap();
        let (rf, rr) = (
            b.car.front.loaded_radius.si(),
            b.car.rear.loaded_radius.si(),
        );
        let (ff, fr) = (front * front / rf, rear * rear / rr);
        let beta = ff / (ff + fr);
        near(value(&s, "brakes.front_share"), beta, 1e-12, "share");
        let (l, h) = (b.car.wheelbase.si(), b.car.cg_height.si());
        let a = l * b.car.rear_share.si();
        let mu = 0.8;
        let at_front = mu * (l - a) / (beta * l - mu * h);
        let at_rear = mu * a / ((1.0 - beta) * l + mu * h);
        let front_first = at_front > 0.0 && at_front < at_rear;
        let z = if front_first { at_front } else { at_rear };
        near(value(&s, "brakes.first_lock.rate") / G, z, 1e-9, "rate");
        near(value(&s, "brakes.efficiency"), z / mu, 1e-9, "efficiency");
        let first = x.first_lock.unwrap();
        let want = if front_first {
            BrakeAxle::Front
        } else {
            BrakeAxle::Rear
        };
        assert_eq!(first.first, Some(want), "{front} {rear}");
        // F·R/A on both, torque 2 μ p A_p r_e of each wheel.
        let area = PI / 4.0 * inch(1.0).si().powi(2);
        let pistons = PI / 4.0 * 0.0254_f64.powi(2);
        let per_pressure = 2.0 * 2.0 * 0.4 * pistons * inch(4.5).si() * (ff + fr);
        let weight = b.car.mass.si() * G;
        let pedal = z * weight / per_pressure * area / 6.0;
        near(
            value(&s, "brakes.first_lock.pedal"),
            pedal,
            1e-9,
            "pedal force",
        );
        let foot = b.brakes.as_ref().unwrap().pedal.force.si();
        let pressure = foot * 6.0 / area;
        near(
            value(&s, "brakes.pressure.rear"),
            pressure,
            1e-12,
            "pressure",
        );
        near(
            value(&s, "brakes.demand"),
            pressure * per_pressure / weight * G,
            1e-9,
            "demand",
        );
        let change = (a - (1.0 - beta) * l) / h;
        if change > 0.05 && change < a / h && change < 1.5 {
            near(x.changeovers[0].z, change, 1e-9, "changeover");
        }
        assert_eq!(
            has(&s, "rear wheels lock first"),
            x.rear_first.is_some(),
            "{front} {rear}"
        );
    }
}

/// Volumes over the bore: clearance, hoses of 0.66 cm³/ft at 1000 psi (SAE J1401, from memory) and the fluid.
#[test]
fn pedal_travel_is_the_sum_of_where_the_fluid_goes() {
    let b = plain(2.5, 1.5);
    let s = derive(&b);
    let t = s.brakes.as_ref().unwrap().travel.as_ref().unwrap();
    let pressure = value(&s, "brakes.first_lock.pedal") * 6.0 / (PI / 4.0 * 0.0254_f64.powi(2));
    let area = |d: f64| PI / 4.0 * (d * 0.0254).powi(2);
    // Two wheels, two pads each.
    let clearance = 4.0 * (area(2.5) + area(1.5)) * 0.01 * 0.0254;
    let hose = 2.0 * 0.66e-6 * pressure / (1000.0 * PSI);
    let fluid = 2.0 * 60e-6 * pressure / (200_000.0 * PSI);
    let rod = 0.05 * 0.0254 + (clearance + hose + fluid) / area(1.0);
    near(t.used.pedal_travel, 6.0 * rod, 1e-9, "travel");
    near(
        value(&s, "brakes.stroke_share"),
        6.0 * rod / 0.1524,
        1e-9,
        "share",
    );
    let p = &t.used.parts;
    let parts = t.used.dead_travel + p.clearance + p.flex + p.hose + p.fluid;
    near(parts, t.used.pedal_travel, 1e-12, "shares");
    assert!(t.lost.is_none(), "a single master has one circuit");
}

/// sin γ = ΣT/(rW) of the brake, tan γ = μa/(L ∓ μh) of the tyres (statics).
#[test]
fn parking_grade_from_statics() {
    let mut b = plain(2.5, 1.5);
    brakes(&mut b).parking = Some(ParkingData {
        force: Force::from_si(300.0),
        lever: Count::from_si(6.0),
        cables: Ratio::from_si(0.7),
        wheel_lever: Count::from_si(8.0),
        backward_factor: Count::from_si(1.0),
        forward_factor: Count::from_si(1.0),
        foot: false,
        grade: Ratio::from_si(0.2),
    });
    let s = derive(&b);
    let clamp = 300.0 * 6.0 * 0.7 / 2.0 * 8.0;
    let torque = 2.0 * 2.0 * 0.4 * clamp * inch(4.5).si();
    let r = b.car.rear.loaded_radius.si();
    let sine = torque / r / (b.car.mass.si() * G);
    let grade = sine.asin().tan();
    let (l, h) = (b.car.wheelbase.si(), b.car.cg_height.si());
    let a = l * b.car.rear_share.si();
    let up = grade.min(0.8 * a / (l - 0.8 * h));
    let down = grade.min(0.8 * a / (l + 0.8 * h));
    near(value(&s, "brakes.parking.up"), up, 1e-9, "up");
    near(value(&s, "brakes.parking.down"), down, 1e-9, "down");
    let needed = 0.2_f64.atan().sin() / sine * 300.0;
    near(value(&s, "brakes.parking.force"), needed, 1e-9, "force");
}

/// ½ m k v² shared out, and v²/(2a) + v·t (kinematics).
#[test]
fn one_stop_warms_the_rotors_and_takes_its_way() {
    let mut b = plain(2.5, 1.5);
    let x = brakes(&mut b);
    x.stop.from = Speed::from_si(30.0);
    x.stop.rate = Acceleration::from_si(6.0);
    x.stop.reaction = Time::from_si(1.2);
    x.stop.rotating = Count::from_si(1.06);
    x.front.rotor = Some(RotorData {
        mass: Mass::from_si(5.0),
        ring: Length::from_si(0.010),
    });
    let s = derive(&b);
    near(
        value(&s, "brakes.stop_distance"),
        900.0 / 12.0 + 36.0,
        1e-12,
        "way",
    );
    let energy = 0.5 * b.car.mass.si() * 1.06 * 900.0;
    let rise = energy * value(&s, "brakes.front_share") / 2.0 / (5.0 * 480.0);
    near(value(&s, "brakes.rotor_rise.front"), rise, 1e-9, "rise");
    assert!(s.reading("brakes.rotor_rise.rear").unwrap().value.is_err());
}

/// Every part once, in the order the fluid meets them.
#[test]
fn the_circuit_names_every_part_in_its_line() {
    let mut b = plain(2.5, 1.5);
    let valve = |at, psi: f64| PressureValve {
        at,
        holds: Pressure::from_si(psi * PSI),
    };
    let x = brakes(&mut b);
    x.rear.valves = vec![
        valve(ValvePlace::CombinationValve, 10.0),
        valve(ValvePlace::Line, 2.0),
        valve(ValvePlace::MasterOutlet, 10.0),
    ];
    x.rear.proportioning = Some(Proportioning {
        knee: Pressure::from_si(500.0 * PSI),
        slope: Ratio::from_si(0.4),
    });
    let s = derive(&b);
    let c = &s.brakes.as_ref().unwrap().circuit;
    let kinds = |parts: &[build::CircuitPart]| parts.iter().map(|p| p.kind).collect::<Vec<_>>();
    assert_eq!(
        kinds(&c.shared),
        [CircuitKind::Pedal, CircuitKind::SingleMaster]
    );
    assert_eq!(kinds(&c.front), [CircuitKind::Hoses, CircuitKind::Disc]);
    assert_eq!(
        kinds(&c.rear),
        [
            CircuitKind::ResidualValve(2),
            CircuitKind::ResidualValve(1),
            CircuitKind::ResidualValve(0),
            CircuitKind::ProportioningValve,
            CircuitKind::Hoses,
            CircuitKind::Disc
        ]
    );
    near(value(&s, "brakes.residual.rear"), 22.0 * PSI, 1e-12, "held");
    near(value(&s, "brakes.valves.rear"), 3.0, 1e-12, "count");
}

fn found<'a>(s: &'a Study, words: &str) -> Option<&'a Finding> {
    let shop = Shop::default();
    s.findings
        .iter()
        .find(|f| f.text.show(&shop).contains(words))
}

fn has(s: &Study, words: &str) -> bool {
    found(s, words).is_some()
}

fn fault(
    what: &str,
    severity: Severity,
    at: &'static str,
    words: &str,
    spoil: impl FnOnce(&mut Build),
) {
    let good = derive(&plain(2.5, 1.5));
    assert!(!has(&good, words), "{what}: said of a sound layout");
    let mut b = plain(2.5, 1.5);
    spoil(&mut b);
    // A file may hold it.
    let text = file::to_text(&b).unwrap();
    let back = file::parse(&text, Path::new("fault.ron"));
    assert!(back.is_ok(), "{what}: no file holds it");
    let s = derive(&b);
    let f = found(&s, words).unwrap_or_else(|| {
        panic!(
            "{what}: {:#?}",
            s.findings
                .iter()
                .map(|f| f.sentences(&Shop::default()))
                .collect::<Vec<_>>()
        )
    });
    assert_eq!(f.severity, severity, "{what}");
    assert_eq!(f.part, Part::Field(at), "{what}");
    assert!(!f.next.show(&Shop::default()).is_empty(), "{what}");
}

#[test]
fn every_fault_has_its_finding() {
    use Severity::{Error, Remark, Warning};
    let valve = |psi: f64| PressureValve {
        at: ValvePlace::Line,
        holds: Pressure::from_si(psi * PSI),
    };
    fault(
        "rear first",
        Warning,
        "brakes.rear.brake",
        "rear wheels lock first",
        |b| {
            let rear = axle(b, 2.6);
            brakes(b).rear = rear;
        },
    );
    fault(
        "missing",
        Error,
        "brakes.front.valves",
        "has no residual pressure valve",
        |b| {
            brakes(b).fluid_height = inch(6.0);
        },
    );
    fault(
        "not needed",
        Warning,
        "brakes.front.valves",
        "needs none",
        |b| {
            brakes(b).front.valves.push(valve(2.0));
        },
    );
    fault(
        "doubled",
        Error,
        "brakes.rear.valves",
        "2 residual pressure valves one behind",
        |b| {
            brakes(b).fluid_height = inch(6.0);
            brakes(b).rear.valves = vec![valve(2.0), valve(2.0)];
        },
    );
    fault(
        "wrong rating",
        Error,
        "brakes.rear.valves",
        "it takes one of 2.0 psi",
        |b| {
            brakes(b).fluid_height = inch(6.0);
            brakes(b).rear.valves = vec![valve(10.0)];
        },
    );
    fault(
        "does not hold",
        Error,
        "brakes.rear.valves",
        "presses back",
        |b| {
            brakes(b).fluid_height = inch(0.0);
            brakes(b).rear.bore_height = inch(70.0);
            brakes(b).rear.valves = vec![valve(2.0)];
        },
    );
    fault(
        "a valve of no pressure",
        Error,
        "brakes.rear.valves",
        "can not be judged",
        |b| {
            brakes(b).rear.valves = vec![valve(0.0)];
        },
    );
    fault("drags", Warning, "brakes.rear.valves", "drags with", |b| {
        brakes(b).rear.valves = vec![valve(10.0)];
    });
    fault(
        "long pedal",
        Warning,
        "brakes.pedal.travel",
        "of its travel at first lock",
        |b| {
            brakes(b).pedal.travel = inch(3.5);
        },
    );
    fault(
        "on its stop",
        Error,
        "brakes.pedal.travel",
        "on its stop before",
        |b| {
            brakes(b).pedal.travel = inch(1.0);
        },
    );
    fault(
        "out of stroke",
        Error,
        "brakes.masters",
        "runs out of stroke",
        |b| {
            let Masters::Single { stroke, .. } = &mut brakes(b).masters else {
                panic!()
            };
            *stroke = inch(0.1);
        },
    );
    fault(
        "circuit lost",
        Error,
        "brakes.masters",
        "With the front circuit lost",
        |b| {
            brakes(b).masters = Masters::Tandem {
                bore: inch(1.0),
                efficiency: Ratio::from_si(1.0),
                spring: Force::from_si(0.0),
                dead_stroke: inch(0.05),
                front_stroke: inch(1.2),
                rear_stroke: inch(1.2),
            };
        },
    );
    fault(
        "bar askew",
        Warning,
        "brakes.masters",
        "balance bar stands at",
        |b| {
            brakes(b).masters = Masters::Twin {
                front_bore: inch(0.625),
                rear_bore: inch(1.25),
                efficiency: Ratio::from_si(1.0),
                spring: Force::from_si(0.0),
                dead_stroke: inch(0.05),
                stroke: inch(3.0),
                bar: inch(2.5),
                offset: inch(0.0),
            };
        },
    );
    fault(
        "no lock",
        Warning,
        "brakes.pedal.force",
        "No wheel locks",
        |b| {
            brakes(b).pedal.ratio = Count::from_si(1.0);
        },
    );
    fault(
        "does not brake",
        Error,
        "brakes.pedal.force",
        "does not brake at all",
        |b| {
            let Masters::Single { spring, .. } = &mut brakes(b).masters else {
                panic!()
            };
            *spring = Force::from_si(4000.0);
        },
    );
    fault(
        "share",
        Warning,
        "car.rear_brake_share",
        "rear brake share is set to 90 %",
        |b| {
            b.car.rear_brake_share = Ratio::from_si(0.9);
        },
    );
    fault(
        "no vacuum",
        Warning,
        "brakes.booster.vacuum",
        "no vacuum",
        |b| {
            brakes(b).booster = Some(Booster {
                gain: Count::from_si(4.0),
                vacuum: Pressure::from_si(0.0),
                diameter: inch(8.0),
                diaphragms: 1,
                efficiency: Ratio::from_si(0.9),
            });
        },
    );
    fault(
        "engine off",
        Warning,
        "brakes.booster",
        "Without vacuum",
        |b| {
            let x = brakes(b);
            x.booster = Some(Booster {
                gain: Count::from_si(6.0),
                vacuum: Pressure::from_si(60_000.0),
                diameter: inch(11.0),
                diaphragms: 2,
                efficiency: Ratio::from_si(0.9),
            });
            x.pedal.ratio = Count::from_si(1.2);
        },
    );
    fault(
        "knee too high",
        Remark,
        "brakes.rear.proportioning",
        "it does nothing",
        |b| {
            brakes(b).rear.proportioning = Some(Proportioning {
                knee: Pressure::from_si(3.0e7),
                slope: Ratio::from_si(0.5),
            });
        },
    );
    fault(
        "stop too hard",
        Warning,
        "brakes.stop.rate",
        "the first wheels lock at",
        |b| {
            brakes(b).stop.rate = Acceleration::from_si(0.9 * G);
        },
    );
    fault(
        "stop from standing",
        Error,
        "brakes.stop.from",
        "from a standstill",
        |b| {
            brakes(b).stop.from = Speed::from_si(0.0);
        },
    );
    fault(
        "thin rotor",
        Remark,
        "brakes.front.rotor",
        "thinner than twice",
        |b| {
            brakes(b).front.rotor = Some(RotorData {
                mass: Mass::from_si(5.0),
                ring: Length::from_si(0.003),
            });
        },
    );
    fault(
        "parking",
        Error,
        "brakes.parking",
        "does not hold nose down",
        |b| {
            brakes(b).parking = Some(parking(20.0));
        },
    );
    fault(
        "parking slides",
        Error,
        "brakes.parking",
        "the rear tyres slide",
        |b| {
            brakes(b).parking = Some(ParkingData {
                grade: Ratio::from_si(0.9),
                ..parking(2000.0)
            });
        },
    );
    fault(
        "strong arm",
        Remark,
        "brakes.parking.force",
        "a hand brake should need at most",
        |b| {
            brakes(b).parking = Some(parking(700.0));
        },
    );
    fault(
        "sticks",
        Error,
        "brakes.pedal_return.springs",
        "does not come back",
        |b| {
            brakes(b).pedal_return = Some(back(5.0));
        },
    );
    fault(
        "weak spring",
        Warning,
        "brakes.pedal_return.springs",
        "times its friction",
        |b| {
            brakes(b).pedal_return = Some(back(30.0));
        },
    );
}

fn parking(force: f64) -> ParkingData {
    ParkingData {
        force: Force::from_si(force),
        lever: Count::from_si(6.0),
        cables: Ratio::from_si(0.7),
        wheel_lever: Count::from_si(8.0),
        backward_factor: Count::from_si(1.0),
        forward_factor: Count::from_si(1.0),
        foot: false,
        grade: Ratio::from_si(0.2),
    }
}

/// A hanging pedal with one spring that pulls straight back on the pad's arm with this force (N), at 4 N·m of friction
/// and 5.9 N·m at the pivot, near enough to constant.
fn back(pull: f64) -> ReturnData {
    ReturnData {
        standing: false,
        pad: (inch(0.0), inch(-12.0)),
        pin: (inch(0.0), inch(-2.0)),
        bore_up: Angle::from_si(0.0),
        full: Angle::from_si(0.2),
        springs: vec![PedalSpringData {
            label: "Return".to_owned(),
            acts: SpringPull::Pulls(Force::from_si(pull)),
            rate: SpringRate::from_si(0.0),
            free: inch(1.0),
            anchor: (inch(-40.0), inch(-8.0)),
            on_pedal: (inch(0.0), inch(-8.0)),
        }],
        master_rate: SpringRate::from_si(0.0),
        chamber: Pressure::from_si(0.0),
        seals: Force::from_si(20.0),
        pivot: Torque::from_si(4.0),
        mass: Mass::from_si(0.0),
        cg: (inch(0.0), inch(-6.0)),
        inertia: Inertia::from_si(0.05),
    }
}

/// Torque of the spring over that of the friction: F·a/(f·b + M) with level arms at rest, where the margin is least or
/// nearly so (the arms shorten alike with the cosine).
#[test]
fn the_pedal_comes_back_by_its_own_margin() {
    let mut b = plain(2.5, 1.5);
    brakes(&mut b).pedal_return = Some(back(60.0));
    let s = derive(&b);
    let r = s.brakes.as_ref().unwrap().pedal_return.as_ref().unwrap();
    let r = r.as_ref().unwrap();
    let drive = 60.0 * inch(8.0).si();
    let friction = 20.0 * inch(2.0).si() + 4.0;
    near(r.points[0].drive, drive, 1e-9, "drive at rest");
    near(r.points[0].friction, friction, 1e-9, "friction at rest");
    near(
        value(&s, "brakes.return_margin"),
        drive / friction,
        0.03,
        "margin",
    );
    assert!(r.time.is_some() && r.sticks_at.is_none());
}

#[test]
fn without_brakes_every_reading_says_so() {
    let mut b = whimbrel();
    b.brakes = None;
    let s = derive(&b);
    let all: Vec<_> = s
        .readings
        .iter()
        .filter(|r| r.definition.id.starts_with("brakes."))
        .collect();
    assert_eq!(all.len(), 23);
    for r in all {
        assert!(
            r.value
                .as_ref()
                .unwrap_err()
                .to_string()
                .contains("no brakes are laid out"),
            "{}",
            r.id()
        );
    }
    assert!(s.brakes.is_none());
}

/// Any mass, tyres and heights: an answer or a reason, and never a figure that is none.
#[test]
fn usual_brakes_on_extreme_cars() {
    for (mass, wheelbase, share, height, radius) in [
        (100.0, 0.6, 0.05, 2.0, 0.1),
        (20_000.0, 9.0, 0.95, 0.1, 0.7),
        (700.0, 2.0, 0.99, 1.9, 0.2),
        (1500.0, 2.5, 0.01, 0.2, 0.3),
    ] {
        let mut b = whimbrel();
        b.car.mass = Mass::from_si(mass);
        b.car.wheelbase = Length::from_si(wheelbase);
        b.car.rear_share = Ratio::from_si(share);
        b.car.cg_height = Length::from_si(height);
        b.car.front.loaded_radius = Length::from_si(radius);
        b.brakes = Some(Brakes::usual(&b.car));
        let s = derive(&b);
        for r in &s.readings {
            if r.definition.id.starts_with("brakes.")
                && let Ok(v) = r.value
            {
                assert!(v.is_finite(), "{}: {v}", r.id());
            }
        }
    }
}

/// The kept study is the one a fresh look gives, after each edit and its undoing.
#[test]
fn kept_and_fresh_studies_agree() {
    let mut history = History::new(whimbrel());
    let mut deriver = build::Deriver::default();
    let read = |s: &Study| {
        s.readings
            .iter()
            .filter(|r| r.definition.id.starts_with("brakes."))
            .map(|r| format!("{:?}", r.value))
            .collect::<Vec<_>>()
    };
    deriver.derive(history.build());
    let mut changed = history.build().brakes.clone().unwrap();
    changed.pedal.ratio = Count::from_si(4.5);
    changed.surfaces.clear();
    for edit in [
        Edit::Rolling(RollingEdit::Brakes(
            "Change the pedal",
            Some(Box::new(changed)),
        )),
        Edit::Field {
            id: "power.friction".to_owned(),
            si: 0.7,
        },
        Edit::Field {
            id: "car.cg_height".to_owned(),
            si: 0.6,
        },
    ] {
        history.apply(&edit).unwrap();
        assert_eq!(
            read(&deriver.derive(history.build())),
            read(&derive(history.build()))
        );
    }
}

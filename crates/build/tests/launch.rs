//! The car under power: what the readings must do, and a finding for every bad input.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{
    Build, Case, EngineTurn, LinkRole, Part, Place, Preload, Severity, Study, derive, file,
};
use units::{Acceleration, Angle, Count, Length, Mass, Shop, SpringRate};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap_or_else(|e| panic!("{e}"))
}

fn value(s: &Study, id: &str) -> f64 {
    let r = s.reading(id).unwrap_or_else(|| panic!("no reading {id}"));
    r.value.clone().unwrap_or_else(|e| panic!("{id}: {e}"))
}

fn inch(i: f64) -> Length {
    Length::from_inches(i)
}

const POUND: f64 = 4.448_221_615_260_5;

#[test]
fn tyre_loads_add_up_to_the_weight_in_every_case() {
    for name in ["redshank.ron", "whimbrel.ron"] {
        let b = sample(name);
        let s = derive(&b);
        let weight = b.car.mass.si() * vehicle::STANDARD_GRAVITY;
        for case in ["launch.", "launch.traction.", "launch.braking."] {
            let sum: f64 = ["front_left", "front_right", "rear_left", "rear_right"]
                .iter()
                .map(|t| value(&s, &format!("{case}{t}")))
                .sum();
            assert!(
                (sum / weight - 1.0).abs() < 1e-9,
                "{name} {case}: {sum} of {weight}"
            );
        }
        // Weight moved back, first order: m a h / L.
        let a = b.power.acceleration.si();
        let moved = value(&s, "launch.rear_left") + value(&s, "launch.rear_right")
            - weight * b.car.rear_share.si();
        let first = b.car.mass.si() * a * b.car.cg_height.si() / b.car.wheelbase.si();
        assert!(
            (moved / first - 1.0).abs() < 0.06,
            "{name}: {moved} against {first}"
        );
    }
}

#[test]
fn the_car_stands_as_drawn_with_seats_that_hold_the_ride_height() {
    for name in ["redshank.ron", "whimbrel.ron"] {
        let s = derive(&sample(name));
        // Elastic links give a few hundredths of a millimetre.
        assert!(value(&s, "launch.rest.height").abs() < 2e-4, "{name}");
        assert!(value(&s, "launch.rest.lean").abs() < 2e-4, "{name}");
    }
}

/// Preload squeezes one spring more: its tyre and the one across carry more, the car leans away from it.
#[test]
fn preload_on_the_left_loads_left_rear_and_right_front() {
    // Four links that triangulate let the axle roll; five rods would hold it by their elasticity.
    let mut b = sample("whimbrel.ron");
    let before = derive(&b);
    let held = value(&before, "spring.preload.coil.left");
    b.power.coilovers[0].preload = Some(Preload {
        left: Length::from_si(held + 0.01),
        right: Length::from_si(held),
    });
    let after = derive(&b);
    for (id, sign) in [
        ("launch.rear_difference", 1.0),
        ("launch.rest.lean", 1.0),
        ("launch.rest.height", 1.0),
        ("launch.front_right", 1.0),
        ("launch.front_left", -1.0),
    ] {
        let change = value(&after, id) - value(&before, id);
        assert!(change * sign > 0.0, "{id} changes by {change}");
    }
    let moved = value(&after, "launch.rear_difference") - value(&before, "launch.rear_difference");
    assert!(
        moved < 0.01 * b.power.coilovers[0].rate.si() * 4.0,
        "{moved}"
    );
}

#[test]
fn the_engine_loads_the_left_rear_tyre_and_a_reversed_one_the_right() {
    // Links that hold no anti-squat leave the torque to tyres and springs.
    let mut b = sample("whimbrel.ron");
    let usual = value(&derive(&b), "launch.rear_difference");
    b.power.engine = EngineTurn::Reversed;
    let reversed = value(&derive(&b), "launch.rear_difference");
    assert!(usual > reversed, "{usual} against {reversed}");
    assert!(
        (usual + reversed).abs() < 1e-6 * (1.0 + usual.abs()),
        "{usual} {reversed}"
    );
}

#[test]
fn more_acceleration_ends_in_a_named_result_with_the_last_balance() {
    let mut b = sample("redshank.ron");
    b.power.acceleration = Acceleration::from_si(5.0 * vehicle::STANDARD_GRAVITY);
    let s = derive(&b);
    let why = s.reading("launch.rear_left").unwrap().value.clone();
    let why = why.unwrap_err().to_string();
    assert!(why.starts_with("no balance at 5.00 g: from "), "{why}");
    let reactions = s.launch.reactions.as_ref().unwrap();
    match &reactions.drive {
        Err(vehicle::launch::LaunchError::NoBalance {
            last, largest_g, ..
        }) => {
            assert!((last.acceleration_g() - largest_g).abs() < 1e-6);
        }
        other => panic!("{other:?}"),
    }
    // The others stand.
    assert!(reactions.balance(Case::Braking).is_ok() && reactions.balance(Case::Traction).is_ok());
    assert!(s.findings.iter().any(|f| {
        f.text
            .show(&Shop::default())
            .starts_with("Under power: no balance")
    }));
}

/// A slender tube is judged by Euler and a stocky one by Johnson; the factor is the force's share.
#[test]
fn the_safety_factor_is_strength_over_force() {
    let b = sample("redshank.ron");
    let s = derive(&b);
    let i = s
        .rear
        .rods
        .iter()
        .position(|r| b.rear.links[r.link].role == LinkRole::Upper);
    let study = s.launch.links[i.unwrap()].as_ref().unwrap();
    let g = study.verdict.governing.unwrap();
    let force = study.cases[g.case].force.abs();
    assert!((g.factor - g.capacity / force).abs() < 1e-9 * g.factor);
    // SAE J429 grade 8, 5/8 in shank in double shear at yield: 2 · 0.3068 in² · 130 ksi / √3.
    let bolt = 2.0 * std::f64::consts::PI / 4.0 * 0.625 * 0.625 * 130_000.0 / 3f64.sqrt() * POUND;
    let found = study
        .verdict
        .all
        .iter()
        .find(|m| m.mode == vehicle::strength::Mode::FrameBolt)
        .unwrap();
    assert!(
        (found.capacity / bolt - 1.0).abs() < 1e-9,
        "{} {bolt}",
        found.capacity
    );
}

#[test]
fn a_spring_of_the_chooser_gives_the_frequency_it_says() {
    let mut b = sample("redshank.ron");
    let s = derive(&b);
    let per_inch = POUND / 0.0254;
    let found = s
        .launch
        .spring_choices(
            &b,
            0,
            [60.0 * per_inch, 300.0 * per_inch, 5.0 * per_inch],
            (1.2, 1.4),
        )
        .unwrap();
    assert!(found.len() > 3, "{found:?}");
    for c in &found {
        assert!((1.2..=1.4).contains(&c.frequency));
        b.power.coilovers[0].rate = SpringRate::from_si(c.rate);
        let fitted = derive(&b);
        // Left and right differ by the diagonal bar's swing: the axle's frequency is between theirs.
        let whole = value(&fitted, "spring.frequency.rear");
        assert!(
            (whole - c.frequency).abs() < 0.01,
            "{whole} against {}",
            c.frequency
        );
        // The seat moves by as much as the preload that holds the ride height does.
        let moved =
            value(&fitted, "spring.preload.coil.left") - value(&s, "spring.preload.coil.left");
        assert!(
            (moved - c.seat_change).abs() < 1e-9,
            "{moved} {}",
            c.seat_change
        );
    }
}

#[test]
fn an_old_file_opens_and_says_that_coil_overs_are_missing() {
    let mut old = sample("redshank_version_1.ron");
    let new = sample("redshank_version_2.ron");
    assert_eq!(old.version, build::FORMAT_VERSION);
    let s = derive(&old);
    let why = s
        .reading("launch.rear_left")
        .unwrap()
        .value
        .clone()
        .unwrap_err();
    assert_eq!(why.to_string(), "no coil-overs are drawn yet");
    // All else is what the new sample holds.
    old.power = new.power.clone();
    for (o, n) in old.rear.links.iter_mut().zip(&new.rear.links) {
        o.stock = n.stock;
    }
    assert_eq!(old, new);
}

/// A change that makes a build wrong, and words of the finding it must give.
type Wrong = (&'static str, fn(&mut Build), Severity, &'static str);

#[rustfmt::skip]
const WRONG: &[Wrong] = &[
    ("front rate zero", |b| b.power.front_wheel_rate = SpringRate::from_si(0.0), Severity::Error, "front wheel rate is 0 lb/in"),
    ("front rate negative", |b| b.power.front_wheel_rate = SpringRate::from_si(-2e4), Severity::Error, "front wheel rate is -114 lb/in"),
    ("tyre rate zero", |b| b.power.rear_tyre_rate = SpringRate::from_si(0.0), Severity::Error, "rear tyre rate is 0 lb/in"),
    ("tyre rate negative", |b| b.power.rear_tyre_rate = SpringRate::from_si(-1e5), Severity::Error, "rear tyre rate is -571 lb/in"),
    ("spring rate zero", |b| b.power.coilovers[0].rate = SpringRate::from_si(0.0), Severity::Error, "its rate is 0 lb/in"),
    ("spring rate negative", |b| b.power.coilovers[0].rate = SpringRate::from_si(-1e4), Severity::Error, "its rate is -57 lb/in"),
    ("axle heavier than its tyres' load", |b| b.power.rear_unsprung = Mass::from_si(900.0), Severity::Error, "all that the rear tyres carry"),
    ("shock shut", |b| b.power.coilovers[0].compressed = inch(16.0), Severity::Error, "past solid at ride height: the shock is shut"),
    ("shock too short", |b| { b.power.coilovers[0].extended = inch(14.0); b.power.coilovers[0].compressed = inch(9.0); }, Severity::Error, "longer at ride height than the shock pulled out"),
    ("shock no shorter", |b| b.power.coilovers[0].compressed = inch(19.0), Severity::Error, "no shorter pushed in than pulled out"),
    ("spring no shorter", |b| b.power.coilovers[0].spring_block = inch(14.0), Severity::Error, "no shorter squeezed solid than free"),
    ("spring past solid", |b| b.power.coilovers[0].spring_block = inch(11.0), Severity::Error, "past solid at ride height"),
    ("coils touch first", |b| b.power.coilovers[0].spring_block = inch(8.0), Severity::Warning, "coils touch before the shock is shut"),
    ("spring loose", |b| b.power.coilovers[0].preload = Some(Preload { left: inch(-9.0), right: inch(-9.0) }), Severity::Error, "loose at ride height"),
    ("seats too high", |b| b.power.coilovers[0].preload = Some(Preload { left: inch(2.5), right: inch(2.5) }), Severity::Warning, "the rear stands"),
    ("eyes in one place", |b| b.power.coilovers[0].at_axle = b.power.coilovers[0].at_frame, Severity::Error, "is not above zero"),
    ("coil-over lying flat", |b| b.power.coilovers[0].at_frame = Place::from_si([0.3, 0.47, 0.222]), Severity::Error, "coil-over"),
    ("eyes bind", |b| b.power.coilovers[0].eye_tilt = Angle::from_si(0.01), Severity::Error, "eyes tilt"),
    ("two brackets in one place", |b| b.rear.brackets[1].at = b.rear.brackets[0].at, Severity::Error, "stands in the same place as"),
    ("bar along the axle", |b| {
        for (i, y) in [(4, -0.3), (5, 0.3)] { b.rear.brackets[i].at = Place::from_si([0.0, y, 0.3556]); }
    }, Severity::Error, "lies along the axle"),
    ("link without length", |b| { let at = b.rear.brackets[4].at; b.rear.brackets[5].at = at; }, Severity::Error, "both ends are in one place"),
    ("no tube entered", |b| b.rear.links[0].stock = None, Severity::Remark, "its strength is not judged"),
    ("thin tube", |b| b.rear.links[0].stock.as_mut().unwrap().bolt.as_mut().unwrap().diameter = inch(0.25), Severity::Warning, "under the 3 asked"),
    ("bolt not in the table", |b| b.rear.links[0].stock.as_mut().unwrap().bolt.as_mut().unwrap().diameter = inch(0.1), Severity::Warning, "has no bolt of this size"),
    ("tube without bore", |b| b.rear.links[0].stock.as_mut().unwrap().section = build::Section::Tube { outside: inch(1.0), wall: inch(0.5) }, Severity::Warning, "bore is not above zero"),
    ("shaft at an angle", |b| b.power.driveshaft.as_mut().unwrap().pinion_up = Angle::from_degrees(9.0), Severity::Warning, "more than 3°"),
    ("shaft of no length", |b| { let d = b.power.driveshaft.as_mut().unwrap(); d.front_joint = d.rear_joint; }, Severity::Error, "has no length"),
    ("slip too short", |b| b.power.driveshaft.as_mut().unwrap().slip_travel = inch(0.1), Severity::Error, "The driveshaft slips"),
    ("wheelie asked for", |b| b.power.acceleration = Acceleration::from_si(40.0), Severity::Warning, "no balance at 4.08 g"),
    ("braking over the nose", |b| { b.power.braking = Acceleration::from_si(29.0); }, Severity::Warning, "Braking: no balance"),
    ("no friction to speak of", |b| b.power.friction = Count::from_si(50.0), Severity::Error, ""),
];

#[test]
fn every_bad_input_has_a_finding_and_no_reading_is_nan() {
    let shop = Shop::default();
    for (what, change, severity, words) in WRONG {
        let mut b = sample("redshank.ron");
        change(&mut b);
        let s = derive(&b);
        for r in &s.readings {
            if let Ok(v) = r.value {
                assert!(v.is_finite(), "{what}: {} is {v}", r.id());
            }
        }
        if words.is_empty() {
            continue; // never slips: the reading says so
        }
        let found = s
            .findings
            .iter()
            .any(|f| f.severity == *severity && f.sentences(&shop).contains(words));
        let said: Vec<String> = s
            .findings
            .iter()
            .map(|f| format!("{:?} {} {}", f.severity, f.part, f.sentences(&shop)))
            .collect();
        assert!(found, "{what}: nobody says \"{words}\": {said:#?}");
        // Not all of these can stand in a file; those that can come back as they were.
        if let Ok(text) = file::to_text(&b)
            && let Ok(again) = file::parse(&text, Path::new("wrong.ron"))
        {
            assert_eq!(again, b, "{what}");
        }
    }
}

#[test]
fn findings_of_the_samples_name_parts_that_are_there() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let b = sample(name);
        for f in &derive(&b).findings {
            match &f.part {
                Part::Coilover(id) => assert!(b.power.coilover(id).is_some()),
                Part::Driveshaft => assert!(b.power.driveshaft.is_some()),
                Part::Link(id) => assert!(b.rear.link(id).is_some()),
                _ => {}
            }
        }
    }
}

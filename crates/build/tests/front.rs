//! The front end of a whole build: constructions by hand, laws, the launch that stands on it, and a
//! finding for each fault.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{
    Build, FrontArm, FrontEnd, FrontTie, LinkOn, Part, Place, Severity, Study, derive, file,
};
use proptest::prelude::*;
use units::{Angle, Kind, Length, Mass, SpringRate};

const INCH: f64 = 0.0254;

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples")
        .join(name);
    file::load(&path).unwrap_or_else(|e| panic!("{e}"))
}

fn value(s: &Study, id: &str) -> f64 {
    let r = s.reading(id).unwrap_or_else(|| panic!("no {id}"));
    *r.value.as_ref().unwrap_or_else(|e| panic!("{id}: {e}"))
}

fn front(b: &mut Build) -> &mut FrontEnd {
    b.front_end.as_mut().unwrap()
}

fn at(x: f64, y: f64, z: f64) -> Place {
    Place::from_si([x * INCH, y * INCH, z * INCH])
}

/// Arms of equal length, level and parallel, the tie rod likewise; upright, no toe.
fn parallel() -> Build {
    let mut b = sample("redshank.ron");
    let f = front(&mut b);
    let arm = |z: f64, outside| FrontArm {
        front: at(112.0, 14.0, z),
        rear: at(104.0, 14.0, z),
        ball: at(108.0, 26.0, z),
        outside,
    };
    f.lower = arm(7.0, f.lower.outside);
    f.upper = arm(17.0, f.upper.outside);
    f.tie_rod = FrontTie {
        inner: at(113.0, 14.0, 9.0),
        outer: at(113.0, 26.0, 9.0),
        ..f.tie_rod
    };
    (f.camber, f.toe_in) = (Angle::default(), Angle::default());
    (f.coil_over, f.bar) = (None, None);
    b
}

/// Parallel arms of equal length carry the knuckle without turning it: neither camber nor toe changes, the roll
/// centre lies on the ground, nothing dives (Reimpell, The Automotive Chassis, from memory).
#[test]
fn parallel_arms_change_neither_camber_nor_toe() {
    let s = derive(&parallel());
    for id in [
        "front.camber",
        "front.toe_in",
        "front.camber_gain",
        "front.bump_steer",
        "front.bump_steer.range",
        "front.roll_centre.height",
        "front.anti_dive",
        "front.caster",
        "front.kingpin",
    ] {
        assert!(value(&s, id).abs() < 1e-9, "{id}: {}", value(&s, id));
    }
    // The steering axis stands upright 26 in out: scrub is what is left to the tyre's middle.
    assert!((value(&s, "front.scrub") - (29.25 - 26.0) * INCH).abs() < 1e-9);
    assert!(value(&s, "front.trail").abs() < 1e-9);
}

/// Roll centre and camber gain of arms that meet in a point, by the drawing board: the line from the contact
/// to the instant centre crosses the middle of the car; the wheel turns about that centre.
#[test]
fn roll_centre_and_camber_gain_by_the_drawing_board() {
    let mut b = parallel();
    let f = front(&mut b);
    // The upper arm falls toward the middle by 2 in over its 12 in: the two lines meet where it has fallen by 10 in.
    (f.upper.front, f.upper.rear) = (at(112.0, 14.0, 15.0), at(104.0, 14.0, 15.0));
    let s = derive(&b);
    let centre = [26.0 - 10.0 * 12.0 / 2.0, 7.0];
    let contact = 29.25;
    let height = centre[1] * contact / (contact - centre[0]);
    assert!((value(&s, "front.roll_centre.height") - height * INCH).abs() < 1e-8);
    // Up by an inch, it turns by an inch over the distance to the centre: top inward.
    let gain = -1.0 / (29.25 - centre[0]);
    assert!((value(&s, "front.camber_gain") - gain).abs() < 1e-8);
}

/// Anti-dive from side-view slopes: inner points that rise toward the rear push the wheel forward in bump.
#[test]
fn anti_dive_from_the_side_view() {
    let mut b = parallel();
    let rise = 0.4;
    let f = front(&mut b);
    for arm in [&mut f.lower, &mut f.upper] {
        arm.front = at(112.0, 14.0, arm.ball.height.si() / INCH + 4.0 * rise / 8.0);
        arm.rear = at(104.0, 14.0, arm.ball.height.si() / INCH - 4.0 * rise / 8.0);
    }
    let s = derive(&b);
    // Both ball joints move square to their arms' axes: v_x/v_z = −rise over run of the axis, x forward.
    let tangent = -rise / 8.0;
    let share = 1.0 - b.car.rear_brake_share.si();
    let wanted = share * tangent / (b.car.cg_height.si() / b.car.wheelbase.si());
    assert!(
        (value(&s, "front.anti_dive") - wanted).abs() < 1e-8,
        "{}",
        value(&s, "front.anti_dive")
    );
    let dive = s
        .findings
        .iter()
        .find(|f| f.part == Part::Field("front_end.upper.front"));
    assert_eq!(dive.map(|f| f.severity), Some(Severity::Warning));
}

/// The solved rack height, taken over, leaves no bump steer; its tie rod is cut again.
#[test]
fn the_solved_rack_height_straightens_it() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let mut b = sample(name);
        let shift = value(&derive(&b), "front.rack_height");
        let f = front(&mut b);
        f.tie_rod.inner.height = Length::from_si(f.tie_rod.inner.height.si() + shift);
        let s = derive(&b);
        assert!(value(&s, "front.bump_steer").abs() < 1e-9, "{name}");
        assert!(value(&s, "front.rack_height").abs() < 1e-9, "{name}");
    }
}

/// Twice the car reads alike: angles, ratios and per cents stay, lengths double.
#[test]
fn the_doubled_front_end_reads_alike() {
    let mut small = sample("redshank.ron");
    front(&mut small).wheel.growth = Length::default();
    // The range of the fields holds half a car better than a doubled one.
    let mut half = small.clone();
    let scale = |l: &mut Length| *l = Length::from_si(0.5 * l.si());
    let place = |p: &mut Place| *p = Place::from_si(p.si().map(|v| 0.5 * v));
    let c = &mut half.car;
    for l in [
        &mut c.wheelbase,
        &mut c.cg_height,
        &mut c.front.track,
        &mut c.front.loaded_radius,
        &mut c.front.tyre_diameter,
        &mut c.front.tyre_width,
    ] {
        scale(l);
    }
    let f = front(&mut half);
    for arm in [&mut f.lower, &mut f.upper] {
        for p in [&mut arm.front, &mut arm.rear, &mut arm.ball] {
            place(p);
        }
        scale(&mut arm.outside);
    }
    place(&mut f.tie_rod.inner);
    place(&mut f.tie_rod.outer);
    for l in [
        &mut f.tie_rod.outside,
        &mut f.rack.travel,
        &mut f.rack.per_turn,
        &mut f.bump,
        &mut f.droop,
        &mut f.wheel.rim,
        &mut f.wheel.rim_width,
        &mut f.wheel.shoulder,
    ] {
        scale(l);
    }
    let (one, other) = (derive(&small), derive(&half));
    for id in [
        "front.camber",
        "front.caster",
        "front.kingpin",
        "front.anti_dive",
        "front.steering_ratio",
    ] {
        assert!((value(&one, id) - value(&other, id)).abs() < 1e-8, "{id}");
    }
    for id in [
        "front.scrub",
        "front.trail",
        "front.roll_centre.height",
        "front.rack_height",
    ] {
        assert!(
            (value(&one, id) - 2.0 * value(&other, id)).abs() < 1e-8,
            "{id}"
        );
    }
    // Per inch of travel, half the car turns twice as much.
    for id in ["front.camber_gain", "front.bump_steer"] {
        assert!(
            (2.0 * value(&one, id) - value(&other, id)).abs() < 1e-8,
            "{id}"
        );
    }
}

/// The wheel rate is the curvature of the spring's energy: force over travel by central differences.
#[test]
fn the_wheel_rate_is_the_slope_of_the_wheel_force() {
    let b = sample("redshank.ron");
    let s = derive(&b);
    let motion = s.front.as_ref().unwrap().motion.as_ref().unwrap();
    let coil = motion.coil.as_ref().unwrap().as_ref().unwrap();
    let h = 1e-4;
    let slope = (coil.at_wheel(h).0 - coil.at_wheel(-h).0) / (2.0 * h);
    let rate = value(&s, "front.wheel_rate");
    assert!((slope - rate).abs() < 1e-4 * rate, "{slope} {rate}");
    // Left out, the free length is what holds the car: sprung weight of the corner.
    let sprung = 0.5
        * (b.car.mass.si() * (1.0 - b.car.rear_share.si()) - b.power.front_unsprung.si())
        * vehicle::STANDARD_GRAVITY;
    assert!((coil.at_wheel(0.0).0 - sprung).abs() < 1e-6 * sprung);
    let frequency = value(&s, "spring.frequency.front");
    let mass = sprung / vehicle::STANDARD_GRAVITY;
    assert!((frequency - (rate / mass).sqrt() / std::f64::consts::TAU).abs() < 1e-9);
}

/// The launch stands on the drawn front end: a drawn spring as soft as the plain rate gives nearly the same balance
/// (it is not quite straight), a softer one lets the nose up further.
#[test]
fn the_launch_stands_on_the_drawn_springs() {
    let drawn = sample("redshank.ron");
    let rate = value(&derive(&drawn), "front.wheel_rate");
    let bar = value(&derive(&drawn), "front.bar_stiffness");
    let mut plain = drawn.clone();
    plain.front_end = None;
    plain.power.front_wheel_rate = SpringRate::from_si(rate);
    plain.power.front_bar = units::RollStiffness::from_si(bar);
    let (a, p) = (derive(&drawn), derive(&plain));
    let rise = |s: &Study| value(s, "launch.front_rise");
    assert!(
        (rise(&a) - rise(&p)).abs() < 0.06 * rise(&p),
        "{} {}",
        rise(&a),
        rise(&p)
    );
    assert!(rise(&a) != rise(&p));
    let quarter = |s: &Study| value(s, "run.quarter");
    assert!((quarter(&a) - quarter(&p)).abs() < 0.02);
    let mut soft = drawn.clone();
    front(&mut soft).coil_over.as_mut().unwrap().rate =
        SpringRate::from_si(0.7 * 340.0 * 175.126_835);
    assert!(rise(&derive(&soft)) > 1.2 * rise(&a));
    // Without springs of its own it leaves the launch alone.
    let mut bare = plain.clone();
    bare.front_end = drawn.front_end.clone();
    (front(&mut bare).coil_over, front(&mut bare).bar) = (None, None);
    assert_eq!(rise(&derive(&bare)), rise(&p));
}

/// What has been worked out for one front end is never taken for another.
#[test]
fn a_kept_study_is_as_good_as_a_fresh_one() {
    let mut b = sample("whimbrel.ron");
    let mut kept = build::Deriver::default();
    kept.derive(&b);
    for k in 0..21 {
        match k % 7 {
            0 => {
                front(&mut b).tie_rod.inner.height = Length::from_inches(9.0 + 0.02 * f64::from(k))
            }
            1 => {
                front(&mut b).coil_over.as_mut().unwrap().rate =
                    SpringRate::from_si(6e4 + 1e3 * f64::from(k))
            }
            2 => b.car.mass = Mass::from_si(1500.0 + f64::from(k)),
            3 => {
                // What rolls stands on the rear axle, its springs and bar.
                b.rear.brackets[0].at.height = Length::from_inches(11.0 + 0.1 * f64::from(k));
                b.power.rear_bar = units::RollStiffness::from_si(100.0 * f64::from(k));
            }
            4 => {
                let degrees = |d: f64| units::Quantity::new(Kind::Angle, d.to_radians());
                b.targets.retain(|t| t.reading != "front.toe_in");
                b.targets.push(build::Target {
                    reading: "front.toe_in".into(),
                    low: degrees(0.02 * f64::from(k)),
                    high: degrees(0.03 * f64::from(k)),
                });
            }
            5 => {
                let body = &mut b.mock_up.as_mut().unwrap().body;
                if let Some(x) = body.iter_mut().find(|x| x.near == build::NearWheel::Front) {
                    x.to.offset = Length::from_si(x.to.offset.si() + 0.004);
                }
            }
            _ => b
                .mock_up
                .as_mut()
                .unwrap()
                .body
                .retain(|x| x.near == build::NearWheel::Front),
        }
        let (a, fresh) = (kept.derive(&b), derive(&b));
        for (x, y) in a.readings.iter().zip(&fresh.readings) {
            assert_eq!((x.id(), &x.value), (y.id(), &y.value), "step {k}");
        }
        assert_eq!(a.findings, fresh.findings, "step {k}");
        // Nor what no reading tells: turns to the bands, roll, gaps.
        let told = |s: &Study| {
            let m = s.front.as_ref().unwrap().motion.as_ref().unwrap();
            format!("{:?} {:?} {:?}", m.turns, m.roll, m.gaps)
        };
        assert_eq!(told(&a), told(&fresh), "step {k}");
    }
}

/// Each fault is found, named at its part, and is not there before.
#[test]
fn every_fault_has_its_finding() {
    type Fault = fn(&mut FrontEnd);
    let faults: [(&str, Severity, &str, Fault); 11] = [
        (
            "upper ball joint is not above",
            Severity::Error,
            "front_end.lower.ball",
            |f| {
                f.upper.ball.height = f.lower.ball.height;
            },
        ),
        (
            "they touch",
            Severity::Error,
            "front_end.tie_rod.inner",
            |f| {
                f.tie_rod.outside = Length::from_inches(4.0);
            },
        ),
        ("tilts", Severity::Error, "front_end.joints", |f| {
            f.joints[0].limit = Angle::from_degrees(3.0);
        }),
        (
            "outside its stroke",
            Severity::Error,
            "front_end.coil_over.rate",
            |f| {
                f.coil_over.as_mut().unwrap().extended = Length::from_inches(14.0);
            },
        ),
        (
            "shut before",
            Severity::Warning,
            "front_end.coil_over.rate",
            |f| {
                f.coil_over.as_mut().unwrap().compressed = Length::from_inches(15.5);
            },
        ),
        (
            "spring is loose",
            Severity::Error,
            "front_end.coil_over.rate",
            |f| {
                f.coil_over.as_mut().unwrap().free = Some(Length::from_inches(12.0));
            },
        ),
        (
            "the car needs",
            Severity::Warning,
            "front_end.coil_over.rate",
            |f| {
                f.coil_over.as_mut().unwrap().free = Some(Length::from_inches(21.0));
            },
        ),
        (
            "not above zero",
            Severity::Error,
            "front_end.coil_over.rate",
            |f| {
                f.coil_over.as_mut().unwrap().rate = SpringRate::from_si(0.0);
            },
        ),
        (
            "Anti-roll bar:",
            Severity::Error,
            "front_end.bar.link",
            |f| {
                let bar = f.bar.as_mut().unwrap();
                (bar.arm_end, bar.on) = (bar.pivot, LinkOn::Lower);
            },
        ),
        (
            "Steering ends",
            Severity::Warning,
            "front_end.rack.travel",
            |f| {
                f.wheel.growth = Length::from_inches(2.0);
            },
        ),
        (
            "Bump steer",
            Severity::Warning,
            "front_end.tie_rod.inner",
            |f| {
                f.tie_rod.inner.height = Length::from_inches(10.0);
            },
        ),
    ];
    let sound = sample("redshank.ron");
    let shop = units::Shop::default();
    let says = |s: &Study, words: &str, severity: Severity, part: &str| {
        s.findings.iter().any(|f| {
            let about = match &f.part {
                Part::Field(id) => (*id).to_owned(),
                Part::Reading(id) => id.clone(),
                other => other.to_string(),
            };
            f.severity == severity && about == part && f.sentences(&shop).contains(words)
        })
    };
    let before = derive(&sound);
    for (words, severity, part, fault) in faults {
        assert!(
            !says(&before, words, severity, part),
            "{words} without the fault"
        );
        let mut b = sound.clone();
        fault(front(&mut b));
        let s = derive(&b);
        let all: Vec<_> = s.findings.iter().map(|f| f.sentences(&shop)).collect();
        assert!(says(&s, words, severity, part), "{words}: {all:#?}");
    }
}

/// Out of reach is a finding that says from which travel on.
#[test]
fn travel_that_is_not_reached_says_from_where() {
    let mut b = sample("redshank.ron");
    let f = front(&mut b);
    f.droop = Length::from_inches(12.0);
    f.coil_over = None;
    f.bar = None;
    let s = derive(&b);
    let f = s
        .findings
        .iter()
        .find(|f| f.part == Part::Field("front_end.bump"))
        .expect("a finding");
    let text = f.sentences(&units::Shop::default());
    assert!(
        text.contains("out of reach from a wheel travel of"),
        "{text}"
    );
}

#[test]
fn without_a_front_end_every_reading_says_so() {
    let s = derive(&Build::empty("x"));
    assert!(s.front.is_none());
    let mine = s
        .readings
        .iter()
        .filter(|r| r.definition.id.starts_with("front."));
    for r in mine {
        assert!(
            r.value
                .as_ref()
                .unwrap_err()
                .to_string()
                .contains("no front end is drawn"),
            "{}",
            r.id()
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    /// The round figures of a new front end have a study on any car the fields allow, and moving any point
    /// by a lot never brings it down.
    #[test]
    fn usual_front_ends_on_extreme_cars(
        wheelbase in 1.0f64..6.0, track in 0.5f64..3.0, radius in 0.1f64..0.75, mass in 200.0f64..5000.0,
        point in 0usize..8, by in prop::array::uniform3(-2.0f64..2.0)
    ) {
        let mut b = Build::empty("x");
        b.car.wheelbase = Length::from_si(wheelbase);
        b.car.front.track = Length::from_si(track);
        b.car.front.loaded_radius = Length::from_si(radius);
        b.car.mass = Mass::from_si(mass);
        b.front_end = Some(FrontEnd::usual(&b.car));
        let drawn = &build::points::POINTS[point];
        let now = (drawn.get)(&b).unwrap().si();
        for moved in [false, true] {
            if moved {
                (drawn.set)(&mut b, Place::from_si(std::array::from_fn(|k| now[k] + by[k])));
            }
            let s = derive(&b);
            for r in s.readings.iter().filter(|r| r.definition.id.starts_with("front.")) {
                if let Ok(v) = r.value {
                    prop_assert!(v.is_finite(), "{} is {v}", r.id());
                }
            }
        }
    }
}

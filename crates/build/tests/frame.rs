//! The frame's study of a build against closed forms, an independent model and itself.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::collections::BTreeSet;
use std::path::Path;

use build::{
    Assembly, BraceEnd, Build, Case, Deriver, Ends, FrameTest, Material, Node, Pair, Part, Place,
    Severity, Study, Tube, TubeSection, TwistReading, derive, file,
};
use units::{Angle, Length, Pressure, Torque};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap()
}

fn node(id: &str, at: [f64; 3]) -> Node {
    Node {
        id: id.to_owned(),
        at: Place::from_si(at),
    }
}

fn round(od: f64, wall: f64) -> TubeSection {
    TubeSection::Round {
        outside: Length::from_si(od),
        wall: Length::from_si(wall),
    }
}

fn tube(id: &str, from: &str, to: &str, section: TubeSection) -> Tube {
    Tube {
        id: id.to_owned(),
        label: format!("Tube {id}"),
        from: from.to_owned(),
        to: to.to_owned(),
        section,
        material: "1020 DOM".to_owned(),
        turn: Angle::default(),
        bends: Vec::new(),
        die: None,
        ends: Ends::Welded,
    }
}

fn pair(left: &str, right: &str) -> Option<Pair> {
    Some(Pair {
        label: String::new(),
        left: left.to_owned(),
        right: right.to_owned(),
    })
}

fn with(nodes: Vec<Node>, tubes: Vec<Tube>, test: FrameTest) -> Build {
    let mut b = Build::empty("frame");
    b.assembly = Assembly {
        nodes,
        tubes,
        ..Assembly::default()
    };
    b.frame_test = test;
    b
}

fn close(a: f64, b: f64, part: f64, what: &str) {
    assert!((a - b).abs() <= part * b.abs(), "{what}: {a} and {b}");
}

fn twist(s: &Study) -> f64 {
    s.frame.determinate().unwrap()
}

/// The independent model's ladder, its rails drawn through their crossmembers.
fn ladder() -> (Build, serde_json::Value) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/s06_ladder.json");
    let case: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let nodes = case["model"]["nodes"].as_object().unwrap();
    let nodes = nodes
        .iter()
        .map(|(id, at)| node(id, [0, 1, 2].map(|k| at[k].as_f64().unwrap())))
        .collect();
    let rail = TubeSection::Rectangular {
        height: Length::from_si(0.1016),
        width: Length::from_si(0.0508),
        wall: Length::from_si(0.003048),
        corner: Some(Length::from_si(0.00635)),
    };
    let cross = round(0.04445, 0.003048);
    let mut tubes = Vec::new();
    for side in ["L", "R"] {
        for (from, to) in [(0, 4), (4, 5), (5, 6)] {
            let id = |n| format!("{side}{n}");
            tubes.push(tube(
                &format!("rail_{side}{from}"),
                &id(from),
                &id(to),
                rail,
            ));
        }
    }
    for n in [0, 1, 2, 4, 5, 6] {
        tubes.push(tube(
            &format!("cross_{n}"),
            &format!("L{n}"),
            &format!("R{n}"),
            cross,
        ));
    }
    let test = FrameTest {
        rear: pair("L1", "R1"),
        front: pair("L6", "R6"),
        middle: pair("L3", "R3"),
        stations: (0..7)
            .filter_map(|n| pair(&format!("L{n}"), &format!("R{n}")))
            .collect(),
        torque: Torque::from_si(case["twist_torque"].as_f64().unwrap()),
        ..FrameTest::default()
    };
    (with(nodes, tubes, test), case)
}

/// Answers of the independent model, to the accuracy it states for stiffness.
#[test]
fn a_ladder_drawn_as_a_build_is_the_reference_ladder() {
    let (mut b, case) = ladder();
    let want = |path: &str| {
        case.pointer(path)
            .and_then(serde_json::Value::as_f64)
            .unwrap()
    };
    let s = derive(&b);
    close(twist(&s), want("/expected/twist/stiffness"), 1e-7, "twist");
    close(
        s.frame.clamped().unwrap(),
        want("/expected/twist/rear_clamped"),
        1e-7,
        "clamped",
    );
    let mass = s.frame.shape.as_ref().unwrap().mass();
    close(mass, want("/expected/mass"), 1e-9, "mass");
    let bending = s.frame.bending.as_ref().unwrap();
    close(
        bending.stiffness,
        want("/expected/bend/stiffness"),
        1e-7,
        "bending",
    );
    let answer = s.frame.twist.as_ref().unwrap();
    let curve = case["expected"]["twist"]["curve"].as_array().unwrap();
    assert_eq!(answer.curve.len(), curve.len());
    let most = want("/expected/twist/phi_front");
    for (have, want) in answer.curve.iter().zip(curve) {
        assert!((have.x - want[0].as_f64().unwrap()).abs() < 1e-12);
        assert!((have.phi - want[1].as_f64().unwrap()).abs() < 1e-7 * most);
    }
    // Shares of the bays from rear to front make the whole.
    let whole: f64 = answer.bays.iter().skip(1).map(|x| x.share).sum();
    close(whole, 1.0, 1e-9, "bays");
    b.frame_test.shear = false;
    let stiff = want("/expected/twist/without_shear_deformation");
    close(twist(&derive(&b)), stiff, 1e-7, "without shear");
    b.frame_test.shear = true;
    b.frame_test.clamped = true;
    let s = derive(&b);
    close(
        s.frame.twist.as_ref().unwrap().stiffness,
        want("/expected/twist/rear_clamped"),
        1e-7,
        "asked",
    );
    close(
        twist(&s),
        want("/expected/twist/stiffness"),
        1e-7,
        "the other way",
    );
}

fn moved(b: &Build, to: impl Fn([f64; 3]) -> [f64; 3]) -> Build {
    let mut out = b.clone();
    for n in &mut out.assembly.nodes {
        n.at = Place::from_si(to(n.at.si()));
    }
    out
}

#[test]
fn a_mirrored_frame_and_one_moved_whole_are_as_stiff() {
    let b = sample("redshank.ron");
    let s = derive(&b);
    let bends = s.frame.bending.as_ref().unwrap().stiffness;
    // Only the frame is moved: its links stay, so only the tests are compared.
    let away = derive(&moved(&b, |[x, y, z]| [x + 0.37, y - 0.2, z + 0.11]));
    close(twist(&away), twist(&s), 1e-9, "moved");
    close(
        away.frame.bending.as_ref().unwrap().stiffness,
        bends,
        1e-9,
        "moved",
    );
    let mut image = moved(&b, |[x, y, z]| [x, -y, z]);
    let t = &mut image.frame_test;
    let fixed = [
        &mut t.rear,
        &mut t.front,
        &mut t.middle,
        &mut t.front_springs,
    ];
    for p in fixed.into_iter().flatten().chain(&mut t.stations) {
        std::mem::swap(&mut p.left, &mut p.right);
    }
    let image = derive(&image);
    close(twist(&image), twist(&s), 1e-8, "mirrored");
    close(
        image.frame.bending.as_ref().unwrap().stiffness,
        bends,
        1e-8,
        "mirrored",
    );
    close(
        image.frame.clamped().unwrap(),
        s.frame.clamped().unwrap(),
        1e-8,
        "mirrored",
    );
}

/// Two tubes between stiff ends: K = 2GJ/L + (b²/2)·12EI/(L³(1 + Φ)). Torsion of both, and of each the bending of a
/// beam whose ends stay level (Roark, from memory; Cowper's shear coefficient as defined).
#[test]
fn two_tubes_between_stiff_ends_twist_as_the_closed_form_says() {
    let (long, wide, od, wall) = (1.6, 0.7, 0.05, 0.003);
    let nodes = vec![
        node("a", [0.0, wide / 2.0, 0.3]),
        node("b", [0.0, -wide / 2.0, 0.3]),
        node("c", [long, wide / 2.0, 0.3]),
        node("d", [long, -wide / 2.0, 0.3]),
    ];
    let mut ends = [
        tube("back", "a", "b", round(0.2, 0.02)),
        tube("nose", "c", "d", round(0.2, 0.02)),
    ];
    for t in &mut ends {
        t.material = "stiff".to_owned();
    }
    let mut tubes = vec![
        tube("l", "a", "c", round(od, wall)),
        tube("r", "b", "d", round(od, wall)),
    ];
    tubes.extend(ends);
    let test = FrameTest {
        rear: pair("a", "b"),
        front: pair("c", "d"),
        ..FrameTest::default()
    };
    let mut b = with(nodes, tubes, test);
    b.assembly.materials.push(Material {
        id: "stiff".to_owned(),
        label: "Stiff".to_owned(),
        family: build::Family::default(),
        yield_strength: Pressure::from_si(1e9),
        modulus: Some(Pressure::from_si(200e9 * 1e4)),
        shear_modulus: Some(Pressure::from_si(77e9 * 1e4)),
        density: None,
        mill_sheet: None,
    });
    let (e, g) = (200e9, 77e9);
    let (ro, ri): (f64, f64) = (od / 2.0, od / 2.0 - wall);
    let area = std::f64::consts::PI * (ro * ro - ri * ri);
    let i = std::f64::consts::PI / 4.0 * (ro.powi(4) - ri.powi(4));
    let m2 = (ri / ro).powi(2);
    let q = (1.0 + m2).powi(2);
    let kappa = 6.0 * 1.3 * q / ((7.0 + 1.8) * q + (20.0 + 3.6) * m2);
    let phi = 12.0 * e * i / (g * kappa * area * long * long);
    let bend = 12.0 * e * i / (long.powi(3) * (1.0 + phi));
    let want = 2.0 * g * 2.0 * i / long + wide * wide / 2.0 * bend;
    close(twist(&derive(&b)), want, 2e-4, "two tubes");
}

#[test]
fn a_pinned_tube_only_pulls_and_pushes_however_it_is_divided() {
    let (b, _) = ladder();
    let plain = twist(&derive(&b));
    let brace = |ends, station: bool| {
        let mut b = b.clone();
        // Above the frame, so that it works in twist: a post and a diagonal to its top.
        b.assembly.nodes.push(node("top", [1.3462, -0.381, 0.9]));
        b.assembly.nodes.push(node(
            "half",
            [(1.3462 + 0.5588) / 2.0, 0.0, (0.9 + 0.254) / 2.0],
        ));
        let section = round(0.03, 0.002);
        b.assembly.tubes.push(tube("post", "R3", "top", section));
        b.assembly.tubes.push(Tube {
            ends,
            ..tube("slope", "L2", "top", section)
        });
        b.assembly.tubes.push(tube("stay", "R5", "top", section));
        if station {
            let mass = build::PointMass {
                id: "tank".to_owned(),
                label: "Tank".to_owned(),
                mass: units::Mass::from_si(1.0),
                at: Place::from_si([1.0, 0.0, 0.6]),
                on: vec!["half".to_owned()],
            };
            b.frame_test.masses.push(mass);
        }
        derive(&b)
    };
    let (welded, pinned) = (brace(Ends::Welded, false), brace(Ends::Pinned, false));
    assert!(plain < twist(&pinned) && twist(&pinned) < twist(&welded));
    let divided = brace(Ends::Pinned, true);
    close(twist(&divided), twist(&pinned), 1e-8, "divided");
    // Its spin about itself is nothing to say.
    assert!(
        divided
            .findings
            .iter()
            .all(|f| !f.text.show(&units::Shop::default()).contains("free"))
    );
}

fn says(s: &Study, words: &str) -> Option<(Severity, Part)> {
    let shop = units::Shop::default();
    let found = s
        .findings
        .iter()
        .find(|f| f.sentences(&shop).contains(words));
    found.map(|f| (f.severity, f.part.clone()))
}

#[test]
fn what_is_not_joined_is_left_out_and_named() {
    let b = sample("redshank.ron");
    let plain = twist(&derive(&b));
    let mut loose = b.clone();
    for (id, at) in [
        ("s1", [-1.0, 0.2, 1.0]),
        ("s2", [-1.0, -0.2, 1.0]),
        ("s3", [-1.3, 0.2, 1.0]),
    ] {
        loose.assembly.nodes.push(node(id, at));
    }
    loose
        .assembly
        .tubes
        .push(tube("shelf", "s1", "s2", round(0.02, 0.002)));
    loose
        .assembly
        .tubes
        .push(tube("shelf_leg", "s1", "s3", round(0.02, 0.002)));
    let s = derive(&loose);
    assert_eq!(twist(&s), plain);
    let said = says(&s, "Tube shelf and 1 tube more are not joined to the frame");
    assert_eq!(
        said,
        Some((Severity::Remark, Part::Tube("shelf".to_owned())))
    );
    // A node on no tube.
    let mut b = b;
    b.frame_test.engine_mounts[0] = "s1".to_owned();
    let said = says(&derive(&b), "name node s1, and there is none");
    assert_eq!(said, Some((Severity::Warning, Part::Node("s1".to_owned()))));
    b.frame_test.front = None;
    let s = derive(&b);
    assert!(says(&s, "No nodes are named for the frame's twist test").is_some());
    assert!(s.frame.twist.is_err() && s.frame.launch.is_err());
}

#[test]
fn a_mechanism_is_named() {
    let (mut b, _) = ladder();
    // One pinned crossmember holds two rails: each turns and bends by itself.
    b.assembly
        .tubes
        .retain(|t| !t.id.starts_with("cross") || t.id == "cross_2");
    for t in &mut b.assembly.tubes {
        if t.id == "cross_2" {
            t.ends = Ends::Pinned;
        }
    }
    let s = derive(&b);
    let why = s.frame.twist.as_ref().unwrap_err();
    assert!(why.starts_with("the frame is free to move: "), "{why}");
    assert!(
        why.contains("node ") || why.contains("Tube ") || why.contains("whole frame"),
        "{why}"
    );
    let said = says(
        &s,
        "The frame can not be twisted: the frame is free to move",
    );
    assert_eq!(
        said,
        Some((
            Severity::Error,
            Part::Reading("frame.twist_stiffness".to_owned())
        ))
    );
    // A third rail hung on one pin at each end is loose, but twist does not move it.
    let (mut b, _) = ladder();
    b.assembly.nodes.push(node("hang", [0.2, 0.381, 0.0]));
    let hung = Tube {
        ends: Ends::Pinned,
        ..tube("hung", "L2", "hang", round(0.02, 0.002))
    };
    let plain = twist(&derive(&b));
    b.assembly.tubes.push(hung);
    let s = derive(&b);
    close(twist(&s), plain, 1e-9, "with a loose tube");
    assert!(says(&s, "free to move, though twist does not move it").is_some());
}

#[test]
fn a_brace_tried_is_the_brace_drawn() {
    let b = sample("redshank.ron");
    let s = derive(&b);
    let section = round(0.0381, 0.0024);
    let named = |id: &str| BraceEnd::Node(id.to_owned());
    let tried = s
        .frame
        .try_brace(&named("waist_l"), &named("stay_top_r"), section, "4130")
        .unwrap();
    let mut drawn = b.clone();
    let mut new = tube("new", "waist_l", "stay_top_r", section);
    new.material = "4130".to_owned();
    drawn.assembly.tubes.push(new);
    let with = derive(&drawn);
    close(tried.after, twist(&with), 1e-9, "with it");
    close(tried.before, twist(&s), 1e-12, "without it");
    let mass = |s: &Study| s.frame.shape.as_ref().unwrap().mass();
    close(tried.mass, mass(&with) - mass(&s), 1e-9, "its mass");
    assert!(tried.gain > 0.0 && tried.note.is_none());
    close(
        tried.gain_per_kg,
        tried.gain / tried.mass,
        1e-12,
        "per kilogram",
    );
    // A point on a rail is a place; a point in the air is none.
    let on = BraceEnd::At([1.2, 0.4064, 0.33496]);
    assert!(
        s.frame
            .try_brace(&on, &named("hoop_foot_r"), section, "4130")
            .is_ok()
    );
    let air = BraceEnd::At([1.2, 0.0, 0.9]);
    let shop = units::Shop::default();
    let why = s
        .frame
        .try_brace(&named("waist_l"), &air, section, "4130")
        .unwrap_err();
    assert!(
        why.show(&shop).contains("No tube of the frame is there"),
        "{}",
        why.show(&shop)
    );
    let why = s
        .frame
        .try_brace(&named("waist_l"), &named("waist_l"), section, "4130")
        .unwrap_err();
    assert!(
        why.show(&shop).contains("at one place"),
        "{}",
        why.show(&shop)
    );
}

#[test]
fn the_best_places_are_solved_and_in_order() {
    let b = sample("redshank.ron");
    let s = derive(&b);
    let list = s.frame.braces().unwrap();
    assert!(list.places.len() > 10 && list.looked_at > 100 && list.note.is_none());
    assert!(
        list.places
            .windows(2)
            .all(|p| p[0].tried.gain >= p[1].tried.gain)
    );
    for p in &list.places {
        assert!((0.15..=2.5).contains(&p.length), "{}", p.label);
        // A welded tube is stiffer than a pinned bar.
        if let [[from, to]] = &p.bars[..] {
            let again = s
                .frame
                .try_brace(from, to, list.section, &list.material)
                .unwrap();
            assert_eq!(again, p.tried);
            assert!(p.tried.gain >= p.screened * (1.0 - 1e-6), "{}", p.label);
        }
    }
    // The same place drawn into the document.
    let best = &list.places[0];
    let mut drawn = b.clone();
    for (k, bar) in best.bars.iter().enumerate() {
        let [from, to] = bar.clone().map(|end| match end {
            BraceEnd::Node(id) => id,
            BraceEnd::At(_) => panic!("a drawn place has a name"),
        });
        let mut new = tube(&format!("new_{k}"), &from, &to, list.section);
        new.material.clone_from(&list.material);
        drawn.assembly.tubes.push(new);
    }
    close(twist(&derive(&drawn)), best.tried.after, 1e-9, "drawn");
    // A flat ladder gains little, and it says so.
    let (flat, _) = ladder();
    let s = derive(&flat);
    let list = s.frame.braces().unwrap();
    let said = list.note.as_ref().unwrap().show(&units::Shop::default());
    assert!(
        said.contains("flat") && list.places[0].tried.gain < 0.2 * twist(&s),
        "{said}"
    );
}

/// Forces and moments of the whole sprung mass, summed from what the study lists.
#[test]
fn under_power_loads_weight_and_inertia_are_in_balance() {
    let b = sample("redshank.ron");
    let s = derive(&b);
    let launch = s.frame.launch.as_ref().unwrap();
    let reactions = s.launch.reactions.as_ref().unwrap();
    let balance = reactions.balance(Case::Drive).unwrap();
    let car = reactions.settled.model().car();
    let (mut force, mut moment) = (geometry::Vector3::zeros(), geometry::Vector3::zeros());
    for l in &launch.loads {
        let f = geometry::Vector3::from(l.force);
        force += f;
        moment += (geometry::Vector3::from(l.at) - car.sprung_cg.coords).cross(&f);
        moment += geometry::Vector3::from(l.moment);
    }
    let want = car.sprung_mass * balance.acceleration.hypot(vehicle::STANDARD_GRAVITY);
    close(force.norm(), want, 1e-7, "force");
    assert!(moment.norm() < 1e-6 * want, "{moment}");
    assert!(launch.unbalanced < 1e-9 && geometry::Vector3::from(launch.difference).norm() < 1e-6);
    assert!(geometry::Vector3::from(launch.angular).norm() < 1e-6);
    close(
        launch.entered + launch.own + launch.rest,
        car.sprung_mass,
        1e-12,
        "weight",
    );
    let lowest = s.frame.lowest_reserve().unwrap();
    let all = launch.reserves.iter().flatten();
    assert_eq!(
        lowest,
        all.map(|r| r.lowest()).fold(f64::INFINITY, f64::min)
    );
    assert!(lowest > 1.5 && lowest < 50.0, "{lowest}");
    // Twice the rails' yield strength is twice their reserve.
    // Weights beyond the car's are named.
    let mut heavy = b.clone();
    heavy.frame_test.masses[0].mass = units::Mass::from_si(5000.0);
    let why = derive(&heavy).frame.launch.as_ref().unwrap_err().clone();
    assert!(why.contains("come to more than the car weighs"), "{why}");
    // A thin rail is too weak, and named.
    let mut thin = b;
    for t in &mut thin.assembly.tubes {
        if t.id == "main_r" {
            t.section = round(0.012, 0.001);
        }
    }
    let s = derive(&thin);
    let (severity, part) = says(&s, "under power, ").unwrap();
    assert_eq!(
        (severity, part),
        (Severity::Error, Part::Tube("main_r".to_owned()))
    );
}

#[test]
fn a_load_goes_to_the_node_chosen_for_it() {
    let mut b = sample("redshank.ron");
    let before = derive(&b);
    b.frame_test.carriers.push(build::CarriedBy {
        load: build::Carried::CoilOver(build::Hand::Left),
        node: "bar_l".to_owned(),
    });
    let s = derive(&b);
    let at = |s: &Study| {
        let l = s.frame.launch.as_ref().unwrap();
        assert!(l.unbalanced < 1e-9 && geometry::Vector3::from(l.angular).norm() < 1e-6);
        let l = l
            .loads
            .iter()
            .find(|l| l.label.ends_with("coil-over, left"))
            .unwrap();
        l.tube
    };
    assert!(at(&before).is_some() && at(&s).is_none());
}

#[test]
fn a_measured_test_corrects_only_when_asked() {
    let mut b = sample("redshank.ron");
    let s = derive(&b);
    let k = twist(&s);
    // Dials 1 m apart, equal and opposite: 1.3 times as stiff as computed.
    let rise = (1000.0 / (1.3 * k) + 0.001).tan() / 2.0;
    b.frame_test.measured.push(TwistReading {
        torque: Torque::from_si(1000.0),
        left_up: Length::from_si(rise),
        right_down: Length::from_si(rise),
        apart: Length::from_si(1.0),
        rear_turned: Angle::from_si(0.001),
        who: String::new(),
        when: String::new(),
        note: String::new(),
    });
    let reading = |s: &Study| {
        s.reading("frame.twist_stiffness")
            .unwrap()
            .value
            .clone()
            .unwrap()
    };
    let s = derive(&b);
    close(s.frame.factor.unwrap(), 1.3, 1e-6, "factor");
    close(reading(&s), k, 1e-12, "not corrected");
    assert!(says(&s, "measured 1.30 of the twist stiffness").is_some());
    b.frame_test.use_measured = true;
    close(reading(&derive(&b)), 1.3 * k, 1e-6, "corrected");
}

#[test]
fn a_study_kept_between_edits_is_the_study_made_afresh() {
    let mut b = sample("redshank.ron");
    let mut deriver = Deriver::default();
    deriver.derive(&b);
    for step in 0..4 {
        let n = b
            .assembly
            .nodes
            .iter_mut()
            .find(|n| n.id == "hoop_top_l")
            .unwrap();
        let [x, y, z] = n.at.si();
        n.at = Place::from_si([x + 0.01, y, z - 0.004 * f64::from(step)]);
        let (kept, fresh) = (deriver.derive(&b), derive(&b));
        close(twist(&kept), twist(&fresh), 1e-12, "kept");
        close(
            kept.frame.lowest_reserve().unwrap(),
            fresh.frame.lowest_reserve().unwrap(),
            1e-12,
            "kept",
        );
    }
    // Nothing it reads has changed: the same study.
    let first = deriver.derive(&b);
    b.note = "looked at".to_owned();
    assert!(std::sync::Arc::ptr_eq(
        &first.frame,
        &deriver.derive(&b).frame
    ));
}

#[test]
fn readings_have_definitions_and_say_why_there_is_none() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let s = derive(&sample(name));
        let ids: BTreeSet<String> = s.readings.iter().map(|r| r.id().into_owned()).collect();
        for id in [
            "twist_stiffness",
            "twist_stiffness.clamped",
            "bending_stiffness",
            "mass",
            "lowest_reserve",
        ] {
            assert!(ids.contains(&format!("frame.{id}")), "{name} {id}");
        }
    }
    let s = derive(&Build::empty("nothing"));
    let r = s.reading("frame.mass").unwrap();
    assert_eq!(
        r.value.as_ref().unwrap_err().to_string(),
        "no tubes are drawn yet"
    );
    assert!(
        s.findings
            .iter()
            .all(|f| !f.part.to_string().starts_with("frame."))
    );
}

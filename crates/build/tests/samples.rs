//! The shipped builds: they load, they read as an independent model says, they survive a save.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{Build, Severity, Study, derive, file};

fn sample(name: &str) -> (Build, Study) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples")
        .join(name);
    let build = file::load(&path).unwrap_or_else(|e| panic!("{e}"));
    let study = derive(&build);
    (build, study)
}

/// Values of a separately written numpy/scipy model of the same definitions, reading the same files; for `launch.` the
/// one in tests/oracles, with the seats found so that the car stands as drawn.
const EXPECTED: &[(&str, &[(&str, f64)])] = &[
    (
        "redshank.ron",
        &[
            ("rear.anti_squat", 1.087_085),
            ("rear.anti_lift", 0.304_383),
            ("rear.ic.station", 1.274_076),
            ("rear.ic.height", 0.269_311),
            ("rear.swing_arm.length", 1.274_076),
            ("rear.roll_centre.height", 0.275_282),
            ("rear.roll_axis.slope", -0.043_658),
            ("rear.roll_steer", 0.043_658),
            ("rear.bind.stretch", 0.002_278),
            ("rear.pinion.change", 0.120_445),
            ("rear.axle.recession", -0.010_927),
            ("car.front_weight", 677.89),
            ("car.rear_weight", 705.56),
            ("car.transfer_per_g", 269.005),
            ("launch.rear_left", 4_438.416_9),
            ("launch.rear_right", 4_411.600_7),
            ("launch.front_left", 2_343.845_9),
            ("launch.front_right", 2_373.212_4),
            ("launch.squat", -0.000_210_64),
            ("launch.front_rise", 0.042_404_69),
            ("launch.separation", 0.005_723_25),
            ("launch.pitch", 0.015_380_42),
            ("launch.roll", 0.000_593_81),
            ("launch.rod.upper.right", 10_245.784),
            ("launch.rod.lower.left", -4_243.867),
            ("launch.rod.lower.right", -13_279.838),
            ("launch.coilover_force.coil.left", 2_498.367_7),
            ("launch.traction.acceleration", 7.515_269),
        ],
    ),
    (
        "whimbrel.ron",
        &[
            ("rear.anti_squat", 0.957_381),
            ("rear.anti_lift", 0.239_345),
            ("rear.ic.station", 1.377_899),
            ("rear.ic.height", 0.238_511),
            ("rear.roll_centre.height", 0.531_856),
            ("rear.roll_axis.slope", -0.014_579),
            ("rear.roll_steer", 0.014_579),
            ("rear.bind.stretch", 0.0),
            ("rear.pinion.change", 0.111_433),
            ("rear.axle.recession", -0.011_312),
            ("launch.rear_left", 4_648.292_2),
            ("launch.rear_right", 3_795.116_3),
            ("launch.front_left", 2_777.860_6),
            ("launch.front_right", 3_635.791_2),
            ("launch.squat", 0.003_744_15),
            ("launch.front_rise", 0.027_296_64),
            ("launch.pitch", 0.010_910_57),
            ("launch.roll", 0.014_035_90),
            ("launch.rod.upper.left", 4_552.448),
            ("launch.rod.lower.right", -6_880.212),
            ("launch.coilover_force.coil.right", 2_886.280_9),
            ("launch.traction.acceleration", 5.016_972),
        ],
    ),
    (
        "faulty.ron",
        &[
            ("rear.anti_squat", 1.681_875),
            ("rear.ic.station", 0.755_988),
            ("rear.ic.height", 0.263_779),
            ("rear.swing_arm.length", 0.755_666),
            ("rear.roll_centre.height", 0.319_415),
            ("rear.roll_axis.slope", -0.060_978),
            ("rear.roll_steer", 0.060_982),
            ("rear.bind.stretch", 0.005_736),
            ("rear.pinion.change", 0.202_995),
            ("rear.axle.recession", -0.016_535),
        ],
    ),
];

#[test]
fn readings_agree_with_an_independent_model() {
    for (name, expected) in EXPECTED {
        // That model knows plain front rates only.
        let (mut b, _) = sample(name);
        b.front_end = None;
        let study = derive(&b);
        for (id, value) in *expected {
            let got = study.reading(id).unwrap().value.clone().unwrap();
            let tolerance = 1e-6 + 1e-5 * value.abs();
            assert!(
                (got - value).abs() < tolerance,
                "{name} {id}: {got} against {value}"
            );
        }
    }
}

#[test]
fn samples_survive_a_save_bit_for_bit() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let (build, _) = sample(name);
        let text = file::to_text(&build).unwrap();
        let again = file::parse(&text, Path::new(name)).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(build, again, "{name}");
        assert_eq!(text, file::to_text(&again).unwrap());
    }
}

#[test]
fn the_good_samples_have_no_errors_and_the_faulty_one_says_what_is_wrong() {
    for name in ["redshank.ron", "whimbrel.ron"] {
        let (_, study) = sample(name);
        let errors: Vec<_> = study
            .findings
            .iter()
            .filter(|f| f.severity == Severity::Error)
            .collect();
        assert!(errors.is_empty(), "{name}: {errors:#?}");
    }
    let (_, study) = sample("faulty.ron");
    let said: Vec<String> = study
        .findings
        .iter()
        .map(|f| f.text.show(&units::Shop::default()))
        .collect();
    for part in [
        "of thread engaged",
        "left and right differ",
        "Nothing is bolted to",
        "holes in a plate",
        "Anti-squat is",
        "Roll steer is",
        "Bind in roll is",
        "Pinion over travel is",
        "rear.anti_dive",
        "is past the limit",
        "clock positions only",
        "needs a leg of",
        "there is no such check",
        "over the greatest",
        "inside the rear tyre",
        "Gusset tube has no length",
        "Brace runs to a node nowhere",
        "fewer than three corners",
        "which is in no table",
        "there is no part rail",
        "node loose is on no tube or plate",
        "Slip: it has no tolerance",
        "moves it the wrong way",
        "more than the tolerance of",
        "the next bead may overshoot",
        "The cylinder will not finish",
        "composition unknown",
        "Tie rod to lower arm, rear leg: they touch",
        "Tie rod, outer end: tilts",
        "Bump steer: each wheel toes in",
        "Tyre to quarter panel lip: they touch",
        "Axle tube meets rail",
    ] {
        assert!(
            said.iter().any(|s| s.contains(part)),
            "no finding says \"{part}\": {said:#?}"
        );
    }
    assert!(study.has_error());
}

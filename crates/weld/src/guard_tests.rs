use super::*;

fn judged(name: &str, sheet: Option<Composition>) -> Guarded {
    let material = Material {
        name: name.to_owned(),
        mill_sheet: sheet,
        ..Material::default()
    };
    guard(&material, &GuardSettings::default()).unwrap()
}

fn steel(carbon: f64, manganese: f64) -> Composition {
    Composition {
        carbon,
        manganese,
        ..Composition::default()
    }
}

/// Carbon equivalents of the ends of ASTM A519/A576 ranges (ranges published, CE derived by
/// the published IIW formula, rounded to 0.001 in the table compared with).
#[test]
fn carbon_equivalents_of_the_grades() {
    for (name, least, greatest) in [
        ("1018", 0.25, 0.35),
        ("1020", 0.23, 0.33),
        ("1026", 0.32, 0.43),
        ("4130", 0.537, 0.700),
    ] {
        let grade = GRADES.iter().find(|g| g.name == name).unwrap();
        assert!(
            (grade.least.carbon_equivalent() - least).abs() < 6e-4,
            "{name}"
        );
        assert!(
            (grade.greatest.carbon_equivalent() - greatest).abs() < 6e-4,
            "{name}"
        );
    }
}

#[test]
fn mild_grades_pass_by_the_top_of_their_range() {
    let by_range = |grade: &Grade| {
        let material = Material {
            name: format!("AISI {}", grade.name),
            range_top: Some(grade.greatest),
            wall: Some(0.003),
            ..Material::default()
        };
        guard(&material, &GuardSettings::default()).unwrap()
    };
    for grade in &GRADES[..3] {
        let answer = by_range(grade);
        assert!(answer.allows_plan(), "{}", grade.name);
        assert_eq!(answer.basis, Some(Basis::RangeTop));
        assert!(
            answer
                .remarks
                .contains(&GuardRemark::OutsidePreheatFormula { wall: 0.003 })
        );
    }
    // 1026 at the top of its range has 0.43: passes, never on cold steel.
    assert!(matches!(
        by_range(&GRADES[2]).remarks[0],
        GuardRemark::NeverCold { .. }
    ));
    assert_eq!(
        by_range(&GRADES[3]).refusal,
        Some(Refusal::ChromeMolyByName)
    );
}

/// A mill sheet counts, not the range it lies in.
#[test]
fn the_mill_sheet_goes_first() {
    let material = Material {
        name: "tube".to_owned(),
        mill_sheet: Some(steel(0.25, 0.7)),
        range_top: Some(steel(0.4, 1.2)),
        ..Material::default()
    };
    let answer = guard(&material, &GuardSettings::default()).unwrap();
    assert_eq!(answer.basis, Some(Basis::MillSheet));
    assert!(answer.allows_plan());
    let unlisted = Material {
        mill_sheet: Some(Composition::default()),
        ..material
    };
    let answer = guard(&unlisted, &GuardSettings::default()).unwrap();
    assert_eq!(answer.basis, Some(Basis::RangeTop));
    assert_eq!(answer.refusal, Some(Refusal::CarbonEquivalent));
}

#[test]
fn names_are_read_whatever_their_case_spaces_and_hyphens() {
    for name in [
        "4130",
        "SAE 41 30 N",
        "AISI-4140",
        "Chro-Moly",
        "CHROME MOLY",
        "chrome\u{2011}moly",
        "Cr-Mo tube",
        "25 CrMo 4",
        "15-CDV-6",
    ] {
        let answer = judged(name, Some(steel(0.1, 0.3)));
        assert_eq!(answer.refusal, Some(Refusal::ChromeMolyByName), "{name}");
    }
    for name in ["1020 DOM", "E235", "S355", "moly-free chrome look"] {
        assert!(judged(name, Some(steel(0.1, 0.3))).allows_plan(), "{name}");
    }
}

/// The first test that fails is the reason.
#[test]
fn reasons_come_in_order() {
    let hard = Composition {
        chromium: 0.95,
        molybdenum: 0.2,
        ..steel(0.4, 0.8)
    };
    assert_eq!(
        judged("scrap", None).refusal,
        Some(Refusal::CompositionUnknown)
    );
    assert_eq!(judged("x", Some(hard)).refusal, Some(Refusal::Alloyed));
    assert_eq!(
        judged("x", Some(steel(0.4, 0.8))).refusal,
        Some(Refusal::CarbonEquivalent)
    );
    let other = |name: &str, mill_sheet| {
        let material = Material {
            name: name.to_owned(),
            family: Family::Other,
            mill_sheet,
            ..Material::default()
        };
        guard(&material, &GuardSettings::default()).unwrap().refusal
    };
    assert_eq!(other("6061", None), Some(Refusal::NotSteel));
    assert_eq!(other("x", Some(hard)), Some(Refusal::NotSteel));
    assert_eq!(other("4130", None), Some(Refusal::ChromeMolyByName));
}

#[test]
fn limits_themselves_pass() {
    assert!(judged("x", Some(steel(0.25, 1.2))).allows_plan());
    assert!(!judged("x", Some(steel(0.25, 1.201))).allows_plan());
    let alloy = |chromium, molybdenum| Composition {
        chromium,
        molybdenum,
        ..steel(0.1, 0.3)
    };
    assert!(judged("x", Some(alloy(0.30, 0.10))).allows_plan());
    assert_eq!(
        judged("x", Some(alloy(0.31, 0.0))).refusal,
        Some(Refusal::Alloyed)
    );
    assert_eq!(
        judged("x", Some(alloy(0.0, 0.11))).refusal,
        Some(Refusal::Alloyed)
    );
    assert!(judged("x", Some(steel(0.30, 0.6))).remarks.len() == 1);
    assert!(judged("x", Some(steel(0.29, 0.6))).remarks.is_empty());
}

#[test]
fn impossible_compositions_are_named() {
    let settings = GuardSettings::default();
    let of = |sheet| Material {
        mill_sheet: Some(sheet),
        ..Material::default()
    };
    for carbon in [-0.1, f64::NAN, f64::INFINITY] {
        assert!(guard(&of(steel(carbon, 0.5)), &settings).is_err());
    }
    assert!(matches!(
        guard(&of(steel(60.0, 50.0)), &settings),
        Err(GuardError::OverWhole { .. })
    ));
    let wall = Material {
        wall: Some(0.0),
        ..of(steel(0.1, 0.3))
    };
    assert!(guard(&wall, &settings).is_err());
}

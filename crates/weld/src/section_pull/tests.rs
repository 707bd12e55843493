use super::*;
use proptest::prelude::*;
use std::f64::consts::FRAC_PI_2;

const INCH: f64 = 0.0254;
const PSI: f64 = 6_894.757_293_168;

fn close(got: f64, wanted: f64) {
    assert!(
        (got - wanted).abs() <= 1e-8 * wanted.abs(),
        "{got} for {wanted}"
    );
}

fn within(got: f64, wanted: f64, share: f64) {
    assert!((got / wanted - 1.0).abs() < share, "{got} for {wanted}");
}

fn bead(area: f64, length: f64, lever: f64, net_heat: Option<f64>) -> AlongBead {
    AlongBead {
        area,
        length,
        lever,
        net_heat,
    }
}

/// Blodgett, Design of Welded Structures, sec. 7.7 (from memory): δ = 0.005·A·d·L²/I, any one
/// unit of length: 0.03125 in² at 2 in on 100 in with 50 in⁴ bows 0.0625 in.
#[test]
fn bow_is_blodgetts() {
    let member = Member {
        area: 10.0 * INCH * INCH,
        second_moment: 50.0 * INCH.powi(4),
        yield_stress: 50_000.0 * PSI,
    };
    let bead = bead(0.031_25 * INCH * INCH, 100.0 * INCH, 2.0 * INCH, None);
    let pull = bead.pull(&member, &PullSettings::default()).unwrap();
    close(
        pull.mid_deflection,
        0.005 * 0.031_25 * 2.0 * 1.0e4 / 50.0 * INCH,
    );
    // A circular arc: its ends turn by eight bows over the length.
    close(pull.kink.point, 8.0 * pull.mid_deflection / bead.length);
    assert!(!pull.kink.out_of_range);
}

/// A 1/4 in fillet on steel of 30e6 psi: 0.04·E·A is 167 kN, which is the tendon force
/// 0.2 kN per J/mm at 834 J/mm (Blodgett against White and Leggatt; derived).
#[test]
fn tendon_force_agrees_for_a_quarter_inch_fillet() {
    let settings = PullSettings {
        modulus: 30.0e6 * PSI,
        ..PullSettings::default()
    };
    let member = Member::round_tube(0.110, 0.010, 355.0e6).unwrap();
    let leg = 0.25 * INCH;
    let pull = bead(0.5 * leg * leg, 0.6, 0.055, Some(834.0e3))
        .pull(&member, &settings)
        .unwrap();
    within(pull.force, 167.0e3, 0.005);
    within(pull.tendon_force.unwrap(), 167.0e3, 0.005);
    within(pull.tendon_ratio.unwrap(), 1.0, 0.1);
    assert!(!pull.disagree);
    assert_eq!(pull.kink.estimates.len(), 2);
    let hot = bead(0.5 * leg * leg, 0.6, 0.055, Some(1_700.0e3));
    assert!(hot.pull(&member, &settings).unwrap().disagree);
}

/// A small tube: the force asked for passes the yield force, so the yield-limited kink joins
/// and the ends are widened. Values of an independent model (numpy), 1e-8.
#[test]
fn small_tubes_are_out_of_range() {
    let member = Member::round_tube(0.0412, 0.0034, 350.0e6).unwrap();
    let pull = bead(1.0e-5, 0.025, 0.0206, Some(310.0e3))
        .pull(&member, &PullSettings::default())
        .unwrap();
    close(pull.yield_force, 42_096.900_266_24);
    assert!(pull.kink.out_of_range);
    close(pull.kink.yield_limited, 0.001_491_123_575_057);
    close(pull.kink.low, 0.000_994_082_383_371_1);
    close(pull.kink.point, 0.002_055_576_153_443);
    close(pull.kink.high, 0.004_250_546_426_819);
    close(pull.kink.estimates[1].value, 0.002_196_115_653_856);
}

/// One force over the yield force puts both estimates out of range.
#[test]
fn one_force_too_great_is_enough() {
    let member = Member::round_tube(0.110, 0.010, 355.0e6).unwrap();
    let pull = bead(2.0e-5, 0.6, 0.055, Some(1_700.0e3))
        .pull(&member, &PullSettings::default())
        .unwrap();
    assert!(pull.force < pull.yield_force && pull.tendon_force.unwrap() > pull.yield_force);
    assert!(pull.kink.out_of_range);
    assert!(pull.kink.estimates.iter().all(|e| !e.in_range));
}

/// Lever of an arc: the mean of r cos φ over it, by midpoint sums.
#[test]
fn lever_of_an_arc_is_its_mean_height() {
    for half in [0.3_f64, 1.0, FRAC_PI_2, 2.5] {
        let arc = ArcBead {
            area: 9.0e-6,
            outside: 0.0381,
            wall: 0.003,
            half_angle: half,
        };
        let pull = arc.pull(&PullSettings::default()).unwrap();
        let n = 20_000;
        let sum: f64 = (0..n)
            .map(|i| (half * ((f64::from(i) + 0.5) / f64::from(n) * 2.0 - 1.0)).cos())
            .sum();
        within(pull.lever, 0.019_05 * sum / f64::from(n), 1e-7);
        close(pull.length, 2.0 * half * 0.019_05);
    }
}

/// A bead round the whole girth shortens and does not kink; walls from 5 mm are in range.
#[test]
fn whole_girth_only_shortens() {
    let arc = ArcBead {
        area: 1.6e-5,
        outside: 0.090,
        wall: 0.005,
        half_angle: PI,
    };
    let pull = arc.pull(&PullSettings::default()).unwrap();
    assert!(pull.high.kink.abs() < 1e-12 && pull.low.shortening > 0.0);
    assert!(!pull.out_of_range);
    within(pull.high.volume / pull.low.volume, 0.17 / 0.04, 1e-9);
    let thin = ArcBead {
        wall: 0.0049,
        ..arc
    };
    let pull = thin.pull(&PullSettings::default()).unwrap();
    assert!(pull.out_of_range);
    within(pull.high.volume / pull.low.volume, 0.17 / 0.04 * 2.25, 1e-9);
}

/// Tube on tube, by hand: 1.5 cm³ at 40 mm on a main of I 1e-6 m⁴.
#[test]
fn coped_branch_kinks_its_main() {
    let main = Member {
        area: 1.0e-3,
        second_moment: 1.0e-6,
        yield_stress: 355.0e6,
    };
    let weld = BranchMetal {
        volume: 1.5e-6,
        moment: 6.0e-8,
        side_moment: -1.0e-9,
        branch_radius: 0.02,
        angle: FRAC_PI_2,
    };
    let pull = weld.pull(&main, &PullSettings::default()).unwrap();
    close(pull.footprint, 0.04);
    close(pull.lever, 0.04);
    close(pull.force, 0.04 * 200.0e9 * 1.5e-6 / 0.04);
    close(pull.yield_force, 355.0e6 / (1000.0 + 1600.0));
    close(pull.kink.estimates[0].value, 0.04 * 6.0e-8 / 1.0e-6);
    close(pull.side, -0.04e-3);
    close(pull.shortening, 0.04 * 1.5e-6 / 1.0e-3);
    // 300 kN against 137 kN.
    assert!(pull.kink.out_of_range);
    close(
        pull.kink.yield_limited,
        pull.yield_force * 0.04 * 0.04 / (200.0e9 * 1.0e-6),
    );
    close(pull.kink.low, pull.kink.yield_limited / 1.5);
    close(pull.kink.high, 0.0024 * 1.5);
    let slanted = BranchMetal {
        angle: 30_f64.to_radians(),
        ..weld
    };
    close(
        slanted
            .pull(&main, &PullSettings::default())
            .unwrap()
            .footprint,
        0.08,
    );
}

/// King 1944 (from memory): 1/4 in plate at 250 A shortens 0.0012 of its length. Allowances
/// of The Welding Institute: 3 mm (butt) and 0.8 mm (fillet) per 3 m.
#[test]
fn along_the_seam() {
    let seam = Seam {
        joint: SeamJoint::Butt,
        length: 3.0,
        area: None,
        member_area: None,
        net_heat: None,
        current: Some(250.0),
        thickness: Some(0.25 * INCH),
    };
    let value = |seam: &Seam, method| {
        longitudinal(seam, &PullSettings::default())
            .unwrap()
            .iter()
            .find(|e| e.method == method)
            .map(|e| e.value)
    };
    within(value(&seam, SeamMethod::King).unwrap(), 0.0012 * 3.0, 1e-9);
    close(value(&seam, SeamMethod::Allowance).unwrap(), 0.003);
    assert_eq!(value(&seam, SeamMethod::Force), None);
    let fillet = Seam {
        joint: SeamJoint::Fillet,
        area: Some(1.8e-5),
        member_area: Some(9.0e-4),
        ..seam
    };
    assert_eq!(value(&fillet, SeamMethod::King), None);
    close(value(&fillet, SeamMethod::Allowance).unwrap(), 0.0008);
    close(value(&fillet, SeamMethod::Force).unwrap(), 3.0 * 0.0008);
}

/// Member along x, bead above: the far part turns up (right-hand rule about −y).
#[test]
fn far_part_turns_towards_the_bead() {
    let axis = rotation_axis([2.0, 0.0, 0.0], [0.3, 0.0, 0.02]).unwrap();
    assert_eq!(axis, [0.0, -1.0, 0.0]);
    // k × e points to the bead.
    let rise = axis[0] * 0.0 - axis[1] * 1.0;
    assert!(rise > 0.0);
    assert_eq!(
        rotation_axis([1.0, 0.0, 0.0], [3.0, 0.0, 0.0]),
        Err(PullError::NoAxis)
    );
    assert!(rotation_axis([f64::NAN, 0.0, 0.0], [0.0, 1.0, 0.0]).is_err());
}

#[test]
fn impossible_beads_are_named() {
    let settings = PullSettings::default();
    assert!(matches!(
        Member::round_tube(0.04, 0.02, 350.0e6),
        Err(PullError::NoBore { .. })
    ));
    let member = Member::round_tube(0.04, 0.002, 350.0e6).unwrap();
    for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(Member::round_tube(0.04, 0.002, value).is_err());
        assert!(
            bead(value, 0.1, 0.02, None)
                .pull(&member, &settings)
                .is_err()
        );
        assert!(
            bead(1e-5, value, 0.02, None)
                .pull(&member, &settings)
                .is_err()
        );
        assert!(
            bead(1e-5, 0.1, 0.02, Some(value))
                .pull(&member, &settings)
                .is_err()
        );
        let arc = ArcBead {
            area: 1e-5,
            outside: 0.04,
            wall: 0.002,
            half_angle: value,
        };
        assert!(arc.pull(&settings).is_err());
        let odd = PullSettings {
            modulus: value,
            ..settings
        };
        assert!(bead(1e-5, 0.1, 0.02, None).pull(&member, &odd).is_err());
    }
    assert!(
        bead(1e-5, 0.1, f64::NAN, None)
            .pull(&member, &settings)
            .is_err()
    );
    assert!(
        bead(1e-5, 0.1, -11.0, None)
            .pull(&member, &settings)
            .is_err()
    );
}

proptest! {
    /// Beads opposite each other undo each other, one on the axis bows nothing, none
    /// lengthens, and the band holds its point.
    #[test]
    fn signs_hold(
        area in 1e-6..5e-5_f64,
        length in 0.01..1.0_f64,
        outside in 0.02..0.12_f64,
        slim in 0.03..0.2_f64,
        heat in 1e5..2e6_f64,
    ) {
        let settings = PullSettings::default();
        let member = Member::round_tube(outside, slim * outside, 350.0e6).unwrap();
        let pull = |lever| bead(area, length, lever, Some(heat)).pull(&member, &settings).unwrap();
        let (up, down, axis) = (pull(0.5 * outside), pull(-0.5 * outside), pull(0.0));
        prop_assert_eq!(up.kink.low, -down.kink.low);
        prop_assert_eq!(up.kink.point, -down.kink.point);
        prop_assert_eq!(up.kink.high, -down.kink.high);
        prop_assert!(0.0 < up.kink.low);
        prop_assert!(up.kink.low <= up.kink.point * (1.0 + 1e-12));
        prop_assert!(up.kink.point <= up.kink.high * (1.0 + 1e-12));
        prop_assert_eq!(axis.kink.high, 0.0);
        prop_assert_eq!(axis.mid_deflection, 0.0);
        prop_assert!(axis.shortening > 0.0);
    }
}

//! Faulty input, builds that do not stand, and never a NaN.

use std::sync::atomic::{AtomicBool, AtomicU64};

use geometry::{
    AxleError, Dimension, DrawnRod, Lengths, Missing, Placement, PlacementError,
    PlacementFigure as F, RodEnd, Sampling, Scatter, Sensitivities, Unreachable, Vector3,
};
use nalgebra::Point3;
use proptest::prelude::*;

use crate::common::{car, level_bar, pair, rod};
use crate::{TRAVEL, all_dimensions, crooked, dimension, placement, planar, run, triangulated};

#[test]
fn faulty_input_is_refused() {
    let rods = crooked();
    let good = dimension(&[(0, RodEnd::Frame)], [0.0, 0.0, 1.0], 1e-3);
    let refused = |rods: &[DrawnRod], d: Dimension, travel: [f64; 2]| {
        Placement::new(&car(), rods, &[good.clone(), d], Lengths::Reset, travel).unwrap_err()
    };
    for plus_minus in [-1e-3, f64::NAN, f64::INFINITY, 1.1] {
        let d = Dimension {
            plus_minus,
            ..good.clone()
        };
        assert!(matches!(
            refused(&rods, d, TRAVEL),
            PlacementError::BadTolerance { dimension: 1, .. }
        ));
    }
    for along in [[0.0, 0.0, 2.0], [0.0; 3], [f64::NAN, 0.0, 1.0]] {
        assert!(matches!(
            refused(&rods, dimension(&good.moves, along, 1e-3), TRAVEL),
            PlacementError::BadDirection { dimension: 1, .. }
        ));
    }
    assert_eq!(
        refused(
            &rods,
            dimension(&[(5, RodEnd::Frame)], [1.0, 0.0, 0.0], 1e-3),
            TRAVEL
        ),
        PlacementError::NoSuchRod {
            dimension: 1,
            rod: 5,
            rods: 5
        }
    );
    let twice = [(2, RodEnd::Frame), (2, RodEnd::Housing), (2, RodEnd::Frame)];
    assert_eq!(
        refused(&rods, dimension(&twice, [1.0, 0.0, 0.0], 1e-3), TRAVEL),
        PlacementError::MovedTwice {
            dimension: 1,
            rod: 2
        }
    );
    assert!(matches!(
        refused(&rods, good.clone(), [f64::NAN, 0.1]),
        PlacementError::BadTravel { .. }
    ));
    // A link whose two brackets coincide.
    let mut coincident = rods.clone();
    coincident[2].frame_point = coincident[2].housing_point;
    assert!(matches!(
        refused(&coincident, good.clone(), TRAVEL),
        PlacementError::Axle(AxleError::Motion(Unreachable::NoLength { rod: 2, .. }))
    ));
    // Too few rods; none; a coordinate that is no number.
    assert!(matches!(
        refused(&rods[..3], good.clone(), TRAVEL),
        PlacementError::Axle(_)
    ));
    let mut nan = rods.clone();
    nan[1].housing_point.y = f64::NAN;
    assert!(matches!(
        refused(&nan, good.clone(), TRAVEL),
        PlacementError::Axle(AxleError::Motion(Unreachable::NotFinite))
    ));
    // All four links in one line along the tube: the housing is not held.
    let bar = |y: f64| rod([0.0, y, 0.33], [0.0, y + 0.3, 0.33]);
    let along_axle: Vec<DrawnRod> = [-0.4, -0.2, 0.0, 0.2].map(bar).to_vec();
    assert!(matches!(
        refused(&along_axle, good.clone(), TRAVEL),
        PlacementError::Axle(_)
    ));
    let p = placement(&rods, std::slice::from_ref(&good), Lengths::Reset);
    assert_eq!(
        p.figures(&[]),
        Err(PlacementError::ErrorCount {
            given: 0,
            dimensions: 1
        })
    );
    assert!(matches!(
        p.figures(&[f64::NAN]),
        Err(PlacementError::BadError { dimension: 0, .. })
    ));
    let ask = |s: Sampling| p.monte_carlo(&s, &AtomicBool::new(false), &AtomicU64::new(0));
    for (low, high) in [(1.0, 0.0), (f64::NAN, 1.0)] {
        let banded = Sampling::default().with_band(F::RollSteer, low, high);
        assert!(matches!(
            ask(banded),
            Err(PlacementError::BadBand {
                figure: F::RollSteer,
                ..
            })
        ));
    }
    let many = Sampling {
        samples: 1_000_001,
        ..Sampling::default()
    };
    assert_eq!(
        ask(many),
        Err(PlacementError::TooManySamples { samples: 1_000_001 })
    );
}

#[test]
fn a_bar_along_the_tube_through_its_centre_is_no_special_case() {
    let mut rods = planar();
    rods[4] = rod([0.0, -0.38, 0.33], [0.0, 0.36, 0.33]);
    let p = placement(&rods, &all_dimensions(5, 1e-3), Lengths::Reset);
    finite(&p.sensitivities().unwrap());
    assert_eq!(run(&p, &Sampling::default()).cannot_stand, 0);
}

#[test]
fn an_end_of_travel_out_of_reach_leaves_the_other_figures() {
    let dimensions = all_dimensions(4, 1e-3);
    let p = Placement::new(
        &car(),
        &triangulated(),
        &dimensions,
        Lengths::Reset,
        [-0.05, 0.9],
    )
    .unwrap();
    let s = p.sensitivities().unwrap();
    assert!(matches!(
        s.of(F::PinionChange),
        Err(Missing::OutOfReach(AxleError::OutOfReach { .. }))
    ));
    assert!(s.of(F::AntiSquat).unwrap().standard_deviation > 0.0);
    let scatter = run(&p, &Sampling::default());
    assert_eq!(scatter.of(F::PinionChange).without_value, 10_000);
    assert_eq!(scatter.of(F::AntiSquat).with_value, 10_000);
}

#[test]
fn builds_that_cannot_stand_are_counted() {
    // Held lengths and holes a hand's breadth off: some builds do not go together.
    let p = placement(&triangulated(), &all_dimensions(4, 0.2), Lengths::Held);
    let scatter = run(
        &p,
        &Sampling {
            samples: 2_000,
            ..Sampling::default()
        },
    );
    let lost = scatter.cannot_stand;
    assert!(lost > 20 && lost < 1_980, "{lost}");
    let d = scatter.of(F::AntiSquat);
    assert_eq!(d.with_value + lost, 2_000);
    finite_scatter(&scatter);
}

#[test]
fn at_the_edge_of_reach_there_is_no_slope() {
    // Upper holes brought down on the lower ones until the housing is just held against turning.
    let rods = |gap: f64| {
        let mut rods = pair([0.6, 0.42, 0.3], [0.0, 0.42, 0.3]).to_vec();
        rods.extend(pair([0.6, 0.42, 0.3 + gap], [0.0, 0.42, 0.3 + gap]));
        rods.push(level_bar());
        rods
    };
    let up = dimension(
        &[
            (2, RodEnd::Frame),
            (2, RodEnd::Housing),
            (3, RodEnd::Frame),
            (3, RodEnd::Housing),
        ],
        [0.0, 0.0, 1.0],
        1e-3,
    );
    let at = |gap: f64| {
        Placement::new(
            &car(),
            &rods(gap),
            std::slice::from_ref(&up),
            Lengths::Reset,
            [0.0; 2],
        )
    };
    let (mut lost, mut held) = (0.0, 0.01);
    for _ in 0..40 {
        let middle = 0.5 * (lost + held);
        if at(middle).is_ok() {
            held = middle;
        } else {
            lost = middle;
        }
    }
    assert!(held > 1e-6);
    assert!(matches!(
        at(held).unwrap().sensitivities(),
        Err(PlacementError::NoSlope { dimension: 0, .. })
    ));
}

fn finite(s: &Sensitivities) {
    for figure in F::ALL {
        let Ok(linear) = s.of(figure) else { continue };
        let all = [
            &linear.slopes,
            &linear.effects,
            &linear.shares,
            &vec![linear.nominal, linear.standard_deviation, linear.worst_case],
        ];
        assert!(
            all.iter().all(|v| v.iter().all(|x| x.is_finite())),
            "{figure:?} {linear:?}"
        );
        assert!(linear.standard_deviation <= linear.worst_case + 1e-300);
        let _ = s.most(figure, 3);
    }
}

fn finite_scatter(s: &Scatter) {
    for figure in F::ALL {
        let d = s.of(figure);
        assert_eq!(d.with_value + d.without_value + s.cannot_stand, s.samples);
        let Some(v) = &d.summary else {
            assert_eq!(d.with_value, 0);
            continue;
        };
        let all = [
            v.mean,
            v.standard_deviation,
            v.min,
            v.q05,
            v.median,
            v.q95,
            v.max,
        ];
        assert!(all.iter().all(|x| x.is_finite()), "{figure:?} {v:?}");
        assert!(v.min <= v.q05 && v.q05 <= v.median && v.median <= v.q95 && v.q95 <= v.max);
        let h = &v.histogram;
        assert!(h.edges.windows(2).all(|e| e[0] <= e[1]));
        let binned: usize = h.counts.iter().sum();
        assert_eq!(binned + h.below + h.above, d.with_value);
    }
}

prop_compose! {
    fn any_rod(a: [f64; 3], b: [f64; 3])(
        nudge in prop::array::uniform6(-0.12..0.12_f64),
        kind in 0..12_u8,
    ) -> DrawnRod {
        let (mut a, mut b) = (Point3::from(a), Point3::from(b));
        for i in 0..3 {
            a[i] += nudge[i];
            b[i] += nudge[3 + i];
        }
        match kind {
            0 => a = b,                                        // coincident brackets
            1 => (a, b) = (Point3::new(0.0, a.y, 0.33), Point3::new(0.0, b.y, 0.33)),
            2 => b.z = a.z,
            3 => a.y = b.y,
            4 => a = b + Vector3::new(1e-6, 0.0, 0.0),         // next to nothing
            _ => {}
        }
        DrawnRod { frame_point: a, housing_point: b, length: None, stiffness: None }
    }
}

fn any_tolerance() -> impl Strategy<Value = f64> {
    prop_oneof![
        12 => 0.0..0.003_f64,
        4 => 0.0..0.1_f64,
        1 => Just(0.0),
        1 => Just(1e200),
        1 => Just(1.0),
        1 => Just(f64::NAN),
        1 => Just(-0.001),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever the car: a typed error or finite numbers and full counts.
    #[test]
    fn never_a_nan_and_never_a_panic(
        a in any_rod([0.65, 0.42, 0.24], [0.02, 0.42, 0.2]),
        b in any_rod([0.65, -0.42, 0.24], [0.02, -0.42, 0.2]),
        c in any_rod([0.58, 0.4, 0.38], [0.01, 0.4, 0.47]),
        d in any_rod([0.58, -0.4, 0.38], [0.01, -0.4, 0.47]),
        e in any_rod([-0.14, -0.38, 0.34], [-0.14, 0.36, 0.33]),
        tolerances in prop::collection::vec(any_tolerance(), 3),
        held in any::<bool>(),
        travel in prop::array::uniform2(-0.2..0.2_f64),
        seed in any::<u64>(),
    ) {
        let rods = [a, b, c, d, e];
        let mut dimensions = all_dimensions(5, 1e-3);
        for (d, t) in dimensions.iter_mut().step_by(11).zip(&tolerances) {
            d.plus_minus = *t;
        }
        let lengths = if held { Lengths::Held } else { Lengths::Reset };
        let bad = tolerances.iter().any(|t| !(0.0..=1.0).contains(t));
        match Placement::new(&car(), &rods, &dimensions, lengths, travel) {
            Ok(p) => {
                prop_assert!(!bad);
                if let Ok(s) = p.sensitivities() {
                    finite(&s);
                }
                let sampling = Sampling { samples: 60, seed, ..Sampling::default() };
                finite_scatter(&run(&p, &sampling));
            }
            Err(PlacementError::BadTolerance { .. }) => prop_assert!(bad),
            Err(PlacementError::Axle(_)) => prop_assert!(!bad),
            Err(other) => prop_assert!(false, "{other:?}"),
        }
    }
}

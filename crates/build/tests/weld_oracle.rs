//! Control dimensions of the samples against tests/oracles/welds.py.
//!
//! That script was written from the formulas alone; every number below is its output
//! (`python tests/oracles/welds.py --parts`), none was made by this program.
//! One reading of the rules, that ISO 5817 asks for no larger leg, was settled after a first
//! comparison.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{Build, How, Study, derive, file};
use weld::control::Factor;

/// Greatest relative difference.
const RELATIVE: f64 = 1e-6;
/// Greatest difference of a length, m.
const LENGTH: f64 = 1e-9;
/// What counts as no angle and no lean, rad.
const ANGLE: f64 = 1e-12;

fn sample(name: &str) -> (Build, Study) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let build = file::load(&path.join(name)).unwrap();
    let study = derive(&build);
    (build, study)
}

fn close(what: &str, got: f64, want: f64, least: f64) {
    let allowed = f64::max(RELATIVE * want.abs(), least);
    assert!(
        (got - want).abs() <= allowed,
        "{what}: {got:e}, expected {want:e}"
    );
}

fn welded<'a>(build: &Build, study: &'a Study, id: &str) -> &'a weld::Welded {
    let i = build.fit_up.joints.iter().position(|j| j.id == id).unwrap();
    &study.fit_up.joints[i].weld.as_ref().unwrap().welded
}

fn joints(name: &str, pulls: &[(&str, [f64; 6])], kinks: &[(&str, [f64; 8])]) {
    let (build, study) = sample(name);
    for (id, [volume, length, gap, low, point, high]) in pulls {
        let w = welded(&build, &study, id);
        close(&format!("{id} volume"), w.volume, *volume, 0.0);
        close(&format!("{id} seam"), w.length, *length, 0.0);
        close(&format!("{id} mean gap"), w.mean_gap, *gap, 0.0);
        let pull = w.pull_in.as_ref().unwrap();
        close(&format!("{id} pull-in, low"), pull.low, *low, 0.0);
        close(&format!("{id} pull-in"), pull.point, *point, 0.0);
        close(&format!("{id} pull-in, high"), pull.high, *high, 0.0);
        assert!(pull.out_of_range);
    }
    for (
        id,
        [
            by_metal,
            limited,
            low,
            point,
            high,
            side,
            toward_t,
            toward_w,
        ],
    ) in kinks
    {
        let w = welded(&build, &study, id);
        let kink = w.main_kink.as_ref().unwrap();
        close(
            &format!("{id} kink by the metal"),
            kink.by_metal,
            *by_metal,
            0.0,
        );
        close(
            &format!("{id} kink at yield"),
            kink.yield_limited,
            *limited,
            0.0,
        );
        close(&format!("{id} kink, low"), kink.low, *low, 0.0);
        close(&format!("{id} kink"), kink.point, *point, 0.0);
        close(&format!("{id} kink, high"), kink.high, *high, 0.0);
        close(
            &format!("{id} sideways, by the metal"),
            kink.side,
            *side,
            ANGLE,
        );
        assert!(kink.out_of_range);
        let lean = w.lean.as_ref().unwrap();
        close(
            &format!("{id} lean toward t"),
            lean.toward_t,
            *toward_t,
            ANGLE,
        );
        close(
            &format!("{id} lean toward w"),
            lean.toward_w,
            *toward_w,
            ANGLE,
        );
    }
}

fn dimensions(study: &Study, expected: &[(&str, [f64; 4])]) {
    for (id, [unfactored, change, low, high]) in expected {
        let whole = study.weld.dimension(id).unwrap().whole.as_ref().unwrap();
        close(
            &format!("{id} unfactored"),
            whole.unfactored,
            *unfactored,
            LENGTH,
        );
        close(&format!("{id} change"), whole.change, *change, LENGTH);
        close(&format!("{id} low"), whole.low, *low, LENGTH);
        close(&format!("{id} high"), whole.high, *high, LENGTH);
    }
}

fn parts(build: &Build, study: &Study, expected: &[(&str, &str, How, f64, f64)]) {
    for (id, joint, how, change, lean) in expected {
        let pulls = &study.weld.dimension(id).unwrap().pulls;
        let mut found = pulls
            .iter()
            .filter(|p| build.fit_up.joints[p.joint].id == *joint && p.how == *how);
        let part = found.next().unwrap();
        assert!(found.next().is_none(), "{id}: {joint} {how:?} twice");
        close(
            &format!("{id}: {joint} {how:?}"),
            part.contribution.change,
            *change,
            LENGTH,
        );
        close(
            &format!("{id}: {joint} lean"),
            part.contribution.lean,
            *lean,
            LENGTH,
        );
    }
}

/// Parts of a dimension above 1e-12 m.
fn count(study: &Study, id: &str) -> usize {
    let pulls = &study.weld.dimension(id).unwrap().pulls;
    let counts = |x: &&build::Pulling| x.contribution.change.abs() > 1e-12;
    pulls.iter().filter(counts).count()
}

#[test]
fn joints_of_both_samples() {
    joints("redshank.ron", REDSHANK_PULLS, REDSHANK_KINKS);
    joints("whimbrel.ron", WHIMBREL_PULLS, WHIMBREL_KINKS);
}

#[test]
fn factors_after_the_coupons() {
    let (_, study) = sample("redshank.ron");
    for (factor, [value, low, high]) in Factor::ALL.into_iter().zip(LEARNED) {
        let got = study.weld.factor(factor).unwrap();
        close(factor.label(), got.0, value, 0.0);
        close(factor.label(), got.1, low, 0.0);
        close(factor.label(), got.2, high, 0.0);
    }
    let now = &study.weld.record.as_ref().unwrap().now;
    close("scale", now.s2, LEARNED_S2, 0.0);
}

#[test]
fn control_dimensions() {
    let (build, study) = sample("redshank.ron");
    dimensions(&study, REDSHANK_DIMENSIONS);
    parts(&build, &study, REDSHANK_PARTS);
    let parts_of = [
        ("towers", 14),
        ("rails", 5),
        ("square_l", 10),
        ("square_r", 10),
    ];
    for (id, n) in parts_of {
        assert_eq!(count(&study, id), n, "{id}");
    }
    let (build, study) = sample("whimbrel.ron");
    dimensions(&study, WHIMBREL_DIMENSIONS);
    parts(&build, &study, WHIMBREL_PARTS);
    for id in ["tabs_front", "tabs_rear"] {
        assert_eq!(count(&study, id), 6, "{id}");
    }
}

/// Where first yield holds back the kink of a main, the oracle holds back its sideways part
/// alike: one force at one point bends both ways. The program takes that part whole.
#[test]
fn sideways_kinks_beyond_yield() {
    let (build, study) = sample("redshank.ron");
    dimensions(&study, SIDEWAYS_DIMENSIONS);
    parts(&build, &study, SIDEWAYS_PARTS);
}

/// Joint; volume m³, seam m, mean gap m, pull-in low, point, high m.
#[rustfmt::skip]
const REDSHANK_PULLS: &[(&str, [f64; 6])] = &[
    ("C1", [3.0364780903e-6, 1.5935128416e-1, 4.0495301698e-4, 1.3996391370e-4, 4.0224157448e-4, 1.2000000000e-3]),
    ("C2", [3.0342874612e-6, 1.5935128416e-1, 3.9687500000e-4, 1.3986293849e-4, 4.0209645223e-4, 1.2000000000e-3]),
    ("C3", [9.8079051941e-7, 1.0614585466e-1, 3.9687500000e-4, 1.0957246216e-4, 3.5590134343e-4, 1.2000000000e-3]),
    ("C4", [9.8146588062e-7, 1.0614585466e-1, 4.0291102818e-4, 1.0964791251e-4, 3.5602385716e-4, 1.2000000000e-3]),
    ("C5", [1.1697957178e-6, 1.4014109173e-1, 4.3209193891e-4, 9.8985761964e-5, 3.3827140114e-4, 1.2000000000e-3]),
    ("C6", [1.2231836848e-6, 1.4014109173e-1, 7.9349853408e-4, 1.0350334440e-4, 3.4590441762e-4, 1.2000000000e-3]),
    ("C7", [6.1151015647e-7, 9.9745566751e-2, 3.9687500000e-4, 7.2700646335e-5, 1.8064925582e-4, 4.6596950301e-4]),
    ("C8", [6.1151015647e-7, 9.9745566751e-2, 3.9687500000e-4, 7.2700646335e-5, 1.8064925582e-4, 4.6596950301e-4]),
    ("C9", [1.7541912069e-6, 1.2966923678e-1, 3.9687500000e-4, 5.2995646766e-5, 1.7278934220e-4, 5.3207165345e-4]),
    ("C10", [1.7541912069e-6, 1.2966923678e-1, 3.9687500000e-4, 5.2995646766e-5, 1.7278934220e-4, 5.3207165345e-4]),
];

/// As above.
#[rustfmt::skip]
const WHIMBREL_PULLS: &[(&str, [f64; 6])] = &[
    ("S1", [6.9945518987e-7, 9.7033023841e-2, 1.2327999782e-4, 5.8249891911e-5, 2.5081842688e-4, 1.0200000000e-3]),
    ("S2", [7.0318242204e-7, 9.7033023841e-2, 1.6983999345e-4, 5.8560291881e-5, 2.5148581517e-4, 1.0200000000e-3]),
    ("S3", [7.0690965420e-7, 9.7033023841e-2, 2.1639998908e-4, 5.8870691852e-5, 2.5215143704e-4, 1.0200000000e-3]),
    ("S4", [7.0504603812e-7, 9.7033023841e-2, 1.9311999126e-4, 5.8715491867e-5, 2.5181884603e-4, 1.0200000000e-3]),
    ("S5", [4.9641335175e-7, 6.2788633383e-2, 1.4982918683e-4, 6.3887694446e-5, 2.6267605525e-4, 1.0200000000e-3]),
    ("S6", [4.9899453465e-7, 6.2788633383e-2, 1.9965837365e-4, 6.4219889025e-5, 2.6335808350e-4, 1.0200000000e-3]),
];

/// Joint; kink of the main by the metal, at first yield, low, point, high, sideways by the metal;
/// lean toward t and w; rad.
#[rustfmt::skip]
const REDSHANK_KINKS: &[(&str, [f64; 8])] = &[
    ("C1", [2.0575671429e-2, 3.2320311422e-3, 2.1546874281e-3, 8.1548274555e-3, 3.0863507143e-2, 0.0, -1.7909787275e-3, 0.0]),
    ("C2", [2.0560195309e-2, 3.2320231137e-3, 2.1546820758e-3, 8.1517499017e-3, 3.0840292963e-2, -5.4002472991e-4, -2.3539207077e-3, -5.6358813634e-4]),
    ("C3", [8.9132705168e-3, 2.4390236629e-3, 1.6260157753e-3, 4.6625827290e-3, 1.3369905775e-2, -1.5728967432e-4, -2.9952785806e-3, -8.2434591584e-4]),
    ("C4", [8.9196137422e-3, 2.4390118860e-3, 1.6260079240e-3, 4.6642302618e-3, 1.3379420613e-2, 0.0, -2.1716799759e-3, 0.0]),
    ("C5", [1.0404447358e-2, 3.9388362500e-3, 2.6258908333e-3, 6.4016727824e-3, 1.5606671036e-2, 0.0, -5.1036215029e-3, 0.0]),
    ("C6", [1.0914089408e-2, 3.9364436985e-3, 2.6242957990e-3, 6.5545936927e-3, 1.6371134113e-2, 1.1532935069e-4, -5.3923775900e-3, 4.2440591143e-4]),
];

/// As above.
#[rustfmt::skip]
const WHIMBREL_KINKS: &[(&str, [f64; 8])] = &[
    ("S1", [2.4649944288e-2, 3.1080078215e-3, 2.0720052144e-3, 8.7528406616e-3, 3.6974916432e-2, -2.0667415979e-4, -9.2328616504e-5, -1.8465723301e-4]),
    ("S2", [2.4820984222e-2, 3.1084554822e-3, 2.0723036548e-3, 8.7837875930e-3, 3.7231476333e-2, 2.0667415979e-4, -9.2043424565e-5, 1.8408684913e-4]),
    ("S3", [2.4992024156e-2, 3.1088900275e-3, 2.0725933516e-3, 8.8146159681e-3, 3.7488036234e-2, -2.0667415979e-4, -9.1760842001e-5, -1.8352168400e-4]),
    ("S4", [2.4906504189e-2, 3.1086743708e-3, 2.0724495806e-3, 8.7992165128e-3, 3.7359756283e-2, 2.0667415979e-4, 1.8380361918e-4, 1.8380361918e-4]),
    ("S5", [2.3513165336e-2, 2.2925096978e-3, 1.5283397985e-3, 7.3419452162e-3, 3.5269748003e-2, -9.1849763523e-5, 2.3406664429e-4, -2.3406664429e-4]),
    ("S6", [2.3649304183e-2, 2.2922377413e-3, 1.5281584942e-3, 7.3627323463e-3, 3.5473956275e-2, 9.1849763523e-5, 2.3345213482e-4, 2.3345213482e-4]),
];

/// Factor and its 90 % interval, places as in [`Factor::ALL`].
#[rustfmt::skip]
const LEARNED: [[f64; 3]; 10] = [
    [9.8849281235e-1, 5.0599040933e-1, 1.4709952154], // butt
    [9.8849281235e-1, 5.0599040933e-1, 1.4709952154], // tee
    [9.8849281235e-1, 5.0599040933e-1, 1.4709952154], // lap
    [9.8849281235e-1, 5.0599040933e-1, 1.4709952154], // cope
    [9.8356116049e-1, 2.9427201333e-1, 1.6728503077], // kink
    [9.8273921852e-1, 2.5898561400e-1, 1.7064928230], // butt, thin wall
    [9.8273921852e-1, 2.5898561400e-1, 1.7064928230], // tee, thin wall
    [9.8273921852e-1, 2.5898561400e-1, 1.7064928230], // lap, thin wall
    [1.0416579218, 5.7414493988e-1, 1.5091709038], // cope, thin wall
    [8.7541297830e-1, 5.2899578195e-1, 1.2218301747], // kink, thin wall
];
const LEARNED_S2: f64 = 0.8102587645;

/// Dimension; unfactored change, expected change, low and high of the 90 % band, m.
#[rustfmt::skip]
const REDSHANK_DIMENSIONS: &[(&str, [f64; 4])] = &[
    ("towers", [-2.7444963481e-3, -2.4940206992e-3, -4.8351129446e-3, -1.5292845376e-4]),
];
/// As above.
#[rustfmt::skip]
const WHIMBREL_DIMENSIONS: &[(&str, [f64; 4])] = &[
    ("tabs_front", [-7.2064846835e-4, -7.2064846835e-4, -1.4382182792e-3, -3.0786574526e-6]),
    ("tabs_rear", [-7.2386575982e-4, -7.2386575982e-4, -1.4445874099e-3, -3.1441097658e-6]),
];
/// Dimension, joint, how; change before factors and one standard deviation of lean, m.
#[rustfmt::skip]
const REDSHANK_PARTS: &[(&str, &str, How, f64, f64)] = &[
    ("towers", "C3", How::Kinks, -5.9214800658e-4, 0.0),
    ("towers", "C3", How::Shortens, -1.9640792092e-5, 0.0),
    ("towers", "C5", How::Kinks, 1.1382130076e-3, 0.0),
    ("towers", "C5", How::Shortens, -2.3425710210e-5, 0.0),
    ("towers", "C1", How::PullsIn, -8.1547274716e-5, 7.2785375485e-4),
    ("towers", "C1", How::Kinks, -1.6570609390e-3, 0.0),
    ("towers", "C1", How::Shortens, -1.4996862158e-4, 0.0),
    ("towers", "C2", How::Kinks, -1.6564355800e-3, 0.0),
    ("towers", "C2", How::Shortens, -1.4986042860e-4, 0.0),
    ("towers", "C2", How::PullsIn, -8.1517853779e-5, 9.5663337560e-4),
    ("towers", "C4", How::Kinks, -5.9235724325e-4, 0.0),
    ("towers", "C4", How::Shortens, -1.9654316519e-5, 0.0),
    ("towers", "C6", How::Kinks, 1.1654022400e-3, 0.0),
    ("towers", "C6", How::Shortens, -2.4494829394e-5, 0.0),
    ("rails", "C9", How::PullsIn, -1.7278934220e-4, 0.0),
    ("rails", "C1", How::Shortens, -2.9993724316e-4, 0.0),
    ("rails", "C2", How::Shortens, -2.9972085720e-4, 0.0),
    ("rails", "C10", How::PullsIn, -1.7278934220e-4, 0.0),
    ("square_l", "C3", How::Shortens, -5.7444797271e-5, 0.0),
    ("square_l", "C5", How::Kinks, 8.2373936714e-4, 0.0),
    ("square_l", "C5", How::Shortens, -6.8514811807e-5, 0.0),
    ("square_l", "C1", How::PullsIn, -2.3850701347e-4, 5.2675710733e-4),
    ("square_l", "C1", How::Kinks, -1.1992362766e-3, 0.0),
    ("square_l", "C1", How::Shortens, -1.2210099400e-4, 0.0),
    ("square_l", "C2", How::Shortens, -2.4402581154e-4, 0.0),
    ("square_l", "C10", How::PullsIn, -1.4068109857e-4, 0.0),
    ("square_r", "C4", How::Kinks, -4.2869654224e-4, 0.0),
    ("square_r", "C4", How::Shortens, -5.7484353105e-5, 0.0),
    ("square_r", "C6", How::Shortens, -7.1641739403e-5, 0.0),
    ("square_r", "C2", How::PullsIn, -2.3842096399e-4, 7.8175665335e-4),
    ("square_r", "C1", How::Kinks, -4.9779619029e-4, 0.0),
    ("square_r", "C1", How::Shortens, -2.4420198801e-4, 0.0),
    ("square_r", "C2", How::Shortens, -1.2201290577e-4, 0.0),
    ("square_r", "C9", How::PullsIn, -1.4068109857e-4, 0.0),
];
/// As above.
#[rustfmt::skip]
const WHIMBREL_PARTS: &[(&str, &str, How, f64, f64)] = &[
    ("tabs_front", "S1", How::Kinks, -1.7505681323e-4, 0.0),
    ("tabs_front", "S1", How::PullsIn, -2.5081842688e-4, 3.6931446602e-6),
    ("tabs_front", "S5", How::Kinks, 2.9367780865e-4, 0.0),
    ("tabs_front", "S5", How::Shortens, -1.6128946985e-4, 0.0),
    ("tabs_front", "S2", How::PullsIn, -2.5148581517e-4, 3.6817369826e-6),
    ("tabs_front", "S2", How::Kinks, -1.7567575186e-4, 0.0),
    ("tabs_rear", "S3", How::Kinks, -1.7629231936e-4, 0.0),
    ("tabs_rear", "S3", How::PullsIn, -2.5215143704e-4, 3.6704336801e-6),
    ("tabs_rear", "S6", How::Kinks, 2.9450929385e-4, 0.0),
    ("tabs_rear", "S6", How::Shortens, -1.6212812099e-4, 0.0),
    ("tabs_rear", "S4", How::PullsIn, -2.5181884603e-4, 7.3521447671e-6),
    ("tabs_rear", "S4", How::Kinks, -1.7598433026e-4, 0.0),
];
/// As [`REDSHANK_DIMENSIONS`], not agreed.
#[rustfmt::skip]
const SIDEWAYS_DIMENSIONS: &[(&str, [f64; 4])] = &[
    ("rails", [-1.0213743547e-3, -1.0309041538e-3, -1.4820053097e-3, -5.7980299780e-4]),
    ("square_l", [-2.2275580762e-3, -2.0865894864e-3, -3.2887309599e-3, -8.8444801285e-4]),
    ("square_r", [-2.1549384893e-3, -2.0235441084e-3, -3.5424274360e-3, -5.0466078081e-4]),
];
/// As [`REDSHANK_PARTS`], not agreed.
#[rustfmt::skip]
const SIDEWAYS_PARTS: &[(&str, &str, How, f64, f64)] = &[
    ("rails", "C2", How::Kinks, -7.6137569985e-5, 0.0),
    ("square_l", "C3", How::Kinks, -4.3262506877e-4, 0.0),
    ("square_l", "C2", How::Kinks, -5.4816157127e-4, 0.0),
    ("square_r", "C6", How::Kinks, 8.4822484691e-4, 0.0),
    ("square_r", "C2", How::Kinks, -1.2022275549e-3, 0.0),
];

//! Placement tolerance against plane geometry, laws of probability and symmetry.
//!
//! Outside answers: the crossing of two lines and its derivative (school geometry, derived at
//! each test); sd of a uniform error t/√3 and of a sum of independent ones (JCGM 100:2008, the
//! GUM, 4.3.7 and 5.1.2); the Kolmogorov-Smirnov bound 1.95/√n at the 0.1 % level and the
//! standard error of a sample sd, σ √((κ − 1)/(4 n)), κ the kurtosis, 9/5 for a uniform and at
//! most 3 for a sum of uniforms (any text on statistics; from memory).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
#[path = "../common/mod.rs"]
mod common;

use std::sync::atomic::{AtomicBool, AtomicU64};

use common::{car, level_bar, pair, rod};
use geometry::{Dimension, DrawnRod, Lengths, Placement, RodEnd, Sampling, Scatter, Vector3};

mod faults;
mod linear;
mod scatter;

const TRAVEL: [f64; 2] = [-0.06, 0.06];

fn dimension(moves: &[(usize, RodEnd)], along: [f64; 3], plus_minus: f64) -> Dimension {
    Dimension {
        moves: moves.to_vec(),
        along: Vector3::from(along),
        plus_minus,
    }
}

/// Every coordinate of every rod end, in the order rod, end, axis.
fn all_dimensions(rods: usize, plus_minus: f64) -> Vec<Dimension> {
    let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    (0..rods)
        .flat_map(|r| [RodEnd::Frame, RodEnd::Housing].map(|e| (r, e)))
        .flat_map(|place| axes.map(|along| dimension(&[place], along, plus_minus)))
        .collect()
}

/// Links in planes parallel to the side view and a level bar.
fn planar() -> Vec<DrawnRod> {
    let mut rods = pair(LOWER[0], LOWER[1]).to_vec();
    rods.extend(pair(UPPER[0], UPPER[1]));
    rods.push(level_bar());
    rods
}
const LOWER: [[f64; 3]; 2] = [[0.66, 0.42, 0.24], [0.03, 0.42, 0.2]];
const UPPER: [[f64; 3]; 2] = [[0.6, 0.4, 0.37], [0.02, 0.4, 0.47]];

/// Triangulated, symmetric left and right, no more rods than needed.
fn triangulated() -> Vec<DrawnRod> {
    let mut rods = pair([0.7, 0.46, 0.25], [0.02, 0.48, 0.22]).to_vec();
    rods.extend(pair([0.5, 0.45, 0.42], [0.02, 0.1, 0.52]));
    rods
}

/// Nothing symmetric: binds.
fn crooked() -> Vec<DrawnRod> {
    vec![
        rod([0.65, 0.43, 0.25], [0.02, 0.42, 0.2]),
        rod([0.63, -0.42, 0.23], [0.03, -0.41, 0.21]),
        rod([0.58, 0.39, 0.38], [0.01, 0.4, 0.47]),
        rod([0.6, -0.4, 0.37], [0.0, -0.41, 0.46]),
        rod([-0.14, -0.38, 0.35], [-0.13, 0.36, 0.33]),
    ]
}

fn placement(rods: &[DrawnRod], dimensions: &[Dimension], lengths: Lengths) -> Placement {
    Placement::new(&car(), rods, dimensions, lengths, TRAVEL).unwrap()
}

fn run(placement: &Placement, sampling: &Sampling) -> Scatter {
    placement
        .monte_carlo(sampling, &AtomicBool::new(false), &AtomicU64::new(0))
        .unwrap()
}

fn close(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, want {want} within {tolerance}"
    );
}

#![allow(missing_docs, dead_code)]
#[path = "../tests/common/mod.rs"]
mod common;
use std::collections::BTreeMap;
use vehicle::STANDARD_GRAVITY as G;
use vehicle::launch::*;
fn main() {
    let mut seed = std::env::args()
        .nth(2)
        .map_or(12345u64, |a| a.parse().unwrap());
    let mut r = move |lo: f64, hi: f64| {
        seed = seed
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        lo + (hi - lo) * ((seed >> 11) as f64 / (1u64 << 53) as f64)
    };
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    let t = std::time::Instant::now();
    let spread: f64 = std::env::args().nth(1).map_or(0.12, |a| a.parse().unwrap());
    for case in 0..20000 {
        let mut d = common::five_rods();
        for rod in &mut d.1 {
            for k in 0..3 {
                rod.frame_point[k] += r(-spread, spread);
                rod.housing_point[k] += 0.4 * r(-spread, spread);
            }
            if r(0.0, 1.0) > 0.5 {
                rod.length = Some((rod.housing_point - rod.frame_point).norm() + r(-0.01, 0.01));
            }
        }
        d.0.sprung_cg = nalgebra::Point3::new(r(0.5, 2.2), r(-0.1, 0.1), r(0.3, 1.2));
        if r(0.0, 1.0) > 0.5 {
            d.0.differential = Differential::Locked;
        }
        d.0.front_roll_stiffness = r(-20000.0, 30000.0).max(0.0);
        d.0.rear_roll_stiffness = r(-20000.0, 30000.0).max(0.0);
        let k = r(1e4, 9e4);
        d.2.iter_mut().for_each(|c| c.rate = k);
        let g = r(-1.5, 4.0);
        let how = if g < 0.0 {
            Manoeuvre::Brake { rear_share: 0.4 }
        } else {
            Manoeuvre::Drive
        };
        let car = match LaunchModel::drawn(&d.0, &d.1, &d.2).unwrap().settle() {
            Ok(c) => c,
            Err(e) => {
                *count
                    .entry(format!(
                        "settle {}",
                        e.to_string()
                            .split(':')
                            .next()
                            .unwrap()
                            .chars()
                            .take(40)
                            .collect::<String>()
                    ))
                    .or_default() += 1;
                continue;
            }
        };
        let l = car.limit(how);
        match &l {
            Ok(l) => *count.entry(format!("limit {:?}", l.kind)).or_default() += 1,
            Err(e) => {
                let n = count.entry("limit lost".into()).or_default();
                *n += 1;
                if *n < 26 {
                    println!("case {case}: {e} {how:?}");
                    if let LaunchError::Lost { last, .. } = e {
                        println!("   {:?} {:?}", last.tyre_load, last.coil_force)
                    }
                }
            }
        }
        if false {
            for k in 0..60 {
                match car.balance_at(how, l.as_ref().unwrap().acceleration * k as f64 / 59.999) {
                    Ok(b) => println!(
                        "{:.5} {:?} coil {:.0?} roll {:.4} pitch {:.4} th {:.4} y {:.4} psi {:.4}",
                        b.acceleration_g(),
                        b.tyre_load,
                        b.coil_force,
                        b.sprung.roll,
                        b.sprung.pitch,
                        b.axle.theta,
                        b.axle.position.y,
                        b.axle.psi
                    ),
                    Err(e) => println!("{e}"),
                }
            }
        }
        match (car.balance_at(how, g * G), &l) {
            (Ok(_), Ok(l)) => {
                let ok = g.abs() <= l.acceleration.abs() / G + 1e-6;
                *count.entry(format!("balance ok inside {ok}")).or_default() += 1;
                if !ok {
                    println!(
                        "case {case}: {g} beyond {} {:?}",
                        l.acceleration / G,
                        l.kind
                    )
                }
            }
            (Ok(_), Err(_)) => *count.entry("balance ok, limit lost".into()).or_default() += 1,
            (Err(LaunchError::NoBalance { largest_g, .. }), Ok(l)) => {
                let ok = (largest_g - l.acceleration / G).abs() < 1e-6;
                *count
                    .entry(format!("no balance same limit {ok}"))
                    .or_default() += 1;
                if !ok {
                    println!(
                        "case {case}: asked {g} {largest_g} {} {:?}",
                        l.acceleration / G,
                        l.kind
                    )
                }
            }
            (Err(e), l) => {
                *count
                    .entry(format!(
                        "{} limit {}",
                        e.to_string().chars().take(14).collect::<String>(),
                        if l.is_err() { "lost" } else { "known" }
                    ))
                    .or_default() += 1
            }
        }
    }
    println!("{:#?} {:?}", count, t.elapsed());
}

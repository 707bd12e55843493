//! Textbook frames, closed forms and tabulated sections.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared by several tests")]
mod common;

use std::f64::consts::PI;

use common::{tube, v};
use structure::members::{Stress, critical_load, reserve, stress};
use structure::section::{Properties, SectionError, Size, bend_flexibility};
use structure::{
    Frame, Load, Material, Member, Options, Pins, Section, Solution, Supports, Symbolic,
};

fn close(got: f64, want: f64, relative: f64) {
    assert!(
        (got - want).abs() <= relative * want.abs(),
        "got {got}, expected {want} within {relative:e}"
    );
}

fn solve(frame: &Frame, supports: &Supports, loads: &[Load]) -> Solution {
    let symbolic = Symbolic::new(frame, supports).unwrap();
    symbolic.factor(frame).unwrap().solve(loads).unwrap()
}

fn raw(area: f64, i: f64, j: f64) -> Section {
    let numbers = Properties {
        area,
        i_y: i,
        i_z: i,
        j,
        shear_y: area,
        shear_z: area,
    };
    Section::raw(numbers, 0.05, 0.05).unwrap()
}

/// No shear deformation and next to no stretch.
fn stiff_axis(i: f64) -> Section {
    raw(1e6 * i, i, 2.0 * i)
}

const THIN: Options = Options {
    shear: false,
    bend_flexibility: false,
};

/// Logan, First Course in the Finite Element Method, 4th ed., example 5.8: three members 100 in long, E 30e6 psi,
/// G 10e6 psi, A 10 in², I 100 in⁴, J 50 in⁴, 50 kip and 1000 kip·in; printed to three or four digits. Textbook axes X, Y, Z
/// are x, z, −y here.
#[test]
fn logan_space_frame() {
    let (inch, psi, pound) = (0.0254, 6_894.757_293_168, 4.448_221_615_260_5);
    let section = raw(
        10.0 * inch * inch,
        100.0 * inch * inch * inch * inch,
        50.0 * inch * inch * inch * inch,
    );
    let l = 100.0 * inch;
    let mut frame = Frame {
        nodes: vec![
            v(0.0, 0.0, 0.0),
            v(-l, 0.0, 0.0),
            v(0.0, l, 0.0),
            v(0.0, 0.0, -l),
        ],
        options: THIN,
        ..Frame::default()
    };
    for i in 1..4 {
        let mut m = Member::new(i, 0, section);
        m.material.e = 30e6 * psi;
        m.material.g = 10e6 * psi;
        frame.members.push(m);
    }
    let supports = (1..4).fold(Supports::new(), |s, n| s.hold(n, "xyzabc"));
    let load = Load {
        node: 0,
        force: v(0.0, 0.0, -50_000.0 * pound),
        moment: v(-1e6 * pound * inch, 0.0, 0.0),
    };
    let d = solve(&frame, &supports, &[load]).displacements[0];
    let printed = [7.098e-5, -0.014, -2.352e-3, -3.996e-3, 1.78e-5, -1.033e-4];
    let ours = [d[0] / inch, d[2] / inch, -d[1] / inch, d[3], d[5], -d[4]];
    for (got, want) in ours.into_iter().zip(printed) {
        close(got, want, 0.005);
    }
}

/// Tip of a cantilever: PL³/3EI + PL/(G A_s), ML/EI, TL/GJ, NL/EA (Timoshenko, Strength of Materials; Przemieniecki).
#[test]
fn cantilever_with_shear() {
    let section = Section::rectangular(0.1, 0.05, 0.003, 0.006).unwrap();
    let n = *section.numbers();
    let Material { e, g, .. } = Material::STEEL;
    let (l, p) = (0.7, 1000.0);
    for pieces in [1, 3] {
        let mut frame = Frame::default();
        for k in 0..=pieces {
            frame
                .nodes
                .push(v(l * f64::from(k) / f64::from(pieces), 0.0, 0.0));
        }
        let pieces = frame.nodes.len() - 1;
        for k in 0..pieces {
            frame.members.push(Member::new(k, k + 1, section));
        }
        let held = Supports::new().hold(0, "xyzabc");
        let load = Load {
            node: pieces,
            force: v(p, p, p),
            moment: v(100.0, 0.0, 0.0),
        };
        let s = solve(&frame, &held, &[load]);
        let d = s.displacements[pieces];
        close(d[0], p * l / (e * n.area), 1e-10);
        close(
            d[1],
            p * l.powi(3) / (3.0 * e * n.i_z) + p * l / (g * n.shear_y),
            1e-9,
        );
        close(
            d[2],
            p * l.powi(3) / (3.0 * e * n.i_y) + p * l / (g * n.shear_z),
            1e-9,
        );
        close(d[3], 100.0 * l / (g * n.j), 1e-10);
        close(d[4], -p * l * l / (2.0 * e * n.i_y), 1e-9);
        close(d[5], p * l * l / (2.0 * e * n.i_z), 1e-9);
        // Work of the load is twice the strain energy.
        let work = p * (d[0] + d[1] + d[2]) + 100.0 * d[3];
        close(2.0 * s.energies.iter().sum::<f64>(), work, 1e-9);
        close(s.reactions[0].1[4], p * l, 1e-9);
        assert!(
            s.end_forces.iter().all(|f| (f[6] - p).abs() < 1e-6),
            "tension is positive at j"
        );
        assert!(s.residual < 1e-9);
    }
}

/// Fixed portal with a push P at its top, inextensible: feet P h/2 · (3k + 1)/(6k + 1), corners P h/2 · 3k/(6k + 1), k =
/// I_beam h/(I_column L) (Kleinlogel's frame formulas, from memory).
#[test]
fn portal_frame() {
    let (h, span, p) = (3.0, 4.0, 1000.0);
    let (column, beam) = (stiff_axis(2e-5), stiff_axis(5e-5));
    let frame = Frame {
        nodes: vec![
            v(0.0, 0.0, 0.0),
            v(0.0, 0.0, h),
            v(span, 0.0, h),
            v(span, 0.0, 0.0),
        ],
        members: vec![
            Member::new(0, 1, column),
            Member::new(1, 2, beam),
            Member::new(2, 3, column),
        ],
        options: THIN,
        ..Frame::default()
    };
    let held = Supports::new().hold(0, "xyzabc").hold(3, "xyzabc");
    // Half at each corner: the answer of the inextensible frame either way.
    let loads = [1, 2].map(|n| Load::force(n, v(p / 2.0, 0.0, 0.0)));
    let s = solve(&frame, &held, &loads);
    let k = 5.0 * h / (2.0 * span);
    let foot = p * h / 2.0 * (3.0 * k + 1.0) / (6.0 * k + 1.0);
    let corner = p * h / 2.0 * 3.0 * k / (6.0 * k + 1.0);
    close(s.reactions[0].1[4].abs(), foot, 1e-4);
    close(s.reactions[1].1[4].abs(), foot, 1e-4);
    // Bending in the frame's plane turns about the section's axis along y.
    let largest = |f: &[f64]| f[4].abs().max(f[5].abs());
    close(largest(&s.end_forces[1][..6]), corner, 1e-4);
}

/// A beam between ball joints, loaded in the middle: PL³/48EI; propped at one end: 7PL³/768EI (Timoshenko). The two
/// pieces between ball joints may spin; the load does not drive that.
#[test]
fn pinned_ends() {
    let section = stiff_axis(4e-8);
    let (l, p) = (1.2, 500.0);
    let ei = Material::STEEL.e * 4e-8;
    let mut frame = Frame {
        nodes: vec![v(0.0, 0.0, 0.3), v(l / 2.0, 0.0, 0.3), v(l, 0.0, 0.3)],
        members: vec![
            Member::new(0, 1, section).pinned(Pins::I).of_tube(7),
            Member::new(1, 2, section).pinned(Pins::J).of_tube(7),
        ],
        options: THIN,
        ..Frame::default()
    };
    let held = Supports::new().hold(0, "xyzabc").hold(2, "xyzabc");
    let load = [Load::force(1, v(0.0, p, -p))];
    let s = solve(&frame, &held, &load);
    close(s.displacements[1][2], -p * l.powi(3) / (48.0 * ei), 1e-6);
    close(s.displacements[1][1], p * l.powi(3) / (48.0 * ei), 1e-6);
    let free = s.free.unwrap();
    assert_eq!(free.count, 1);
    assert_eq!(free.to_string(), "tube 7 spins about itself");
    let turned = Load {
        node: 1,
        force: v(0.0, 0.0, 0.0),
        moment: v(1.0, 0.0, 0.0),
    };
    let factored = Symbolic::new(&frame, &held)
        .unwrap()
        .factor(&frame)
        .unwrap();
    assert!(factored.solve(&[turned]).is_err());
    frame.members[1].pins = Pins::None;
    let s = solve(&frame, &held, &load);
    close(
        s.displacements[1][2],
        -7.0 * p * l.powi(3) / (768.0 * ei),
        1e-6,
    );
    assert!(s.free.is_none());
}

/// Shear of a beam with one pinned end: PL³/3EI + PL/(G A_s), whichever end is pinned.
#[test]
fn one_pinned_end_with_shear() {
    let section = tube();
    let (l, p) = (0.2_f64, 800.0);
    let n = section.numbers();
    let want =
        p * l.powi(3) / (3.0 * Material::STEEL.e * n.i_y) + p * l / (Material::STEEL.g * n.shear_z);
    for (pins, i, j) in [(Pins::J, 0, 1), (Pins::I, 1, 0)] {
        let frame = Frame {
            nodes: vec![v(0.0, 0.0, 0.0), v(l, 0.0, 0.0)],
            members: vec![Member::new(i, j, section).pinned(pins)],
            ..Frame::default()
        };
        let held = Supports::new().hold(0, "xyzabc");
        let s = solve(&frame, &held, &[Load::force(1, v(0.0, 0.0, p))]);
        close(s.displacements[1][2], want, 1e-9);
    }
}

/// Quarter arc, clamped, loaded at its end across the end's tangent's normal: π P R³/4EI (Timoshenko, thin ring). Chords
/// of 5° are 0.16 % too stiff, of 11.25° 0.8 %.
#[test]
fn quarter_arc_of_chords() {
    let (r, p, i) = (0.3_f64, 100.0, 4e-8);
    let exact = PI * p * r.powi(3) / (4.0 * Material::STEEL.e * i);
    for (chords, error) in [(18_u32, -0.0016), (8, -0.0080)] {
        let mut frame = Frame {
            options: THIN,
            ..Frame::default()
        };
        for k in 0..=chords {
            let a = PI / 2.0 * f64::from(k) / f64::from(chords);
            frame.nodes.push(v(r * a.sin(), 0.0, r * a.cos()));
        }
        for k in 0..chords as usize {
            frame.members.push(Member::new(k, k + 1, stiff_axis(i)));
        }
        // A load across the end's tangent bends as P R sin θ from the end.
        let end = chords as usize;
        let s = solve(
            &frame,
            &Supports::new().hold(0, "xyzabc"),
            &[Load::force(end, v(-p, 0.0, 0.0))],
        );
        let got = -s.displacements[end][0] / exact - 1.0;
        assert!((got - error).abs() < 1.0e-4, "{chords} chords: {got}");
    }
}

/// AISC Manual, design wall 0.93 of nominal, in inches: A, I_x, I_y, J (from memory; three digits printed, J of
/// rectangular HSS by a thin-wall formula with a corner of its own).
#[test]
fn tabulated_sections() {
    let i4 = 0.0254_f64.powi(4);
    for (od, t, area, i, j) in [
        (2.375, 0.143, 1.00, 0.627, 1.25),
        (4.0, 0.233, 2.76, 4.91, 9.82),
    ] {
        let s = *Section::round(od * 0.0254, t * 0.0254).unwrap().numbers();
        close(s.area / 0.0254_f64.powi(2), area, 0.005);
        close(s.i_y / i4, i, 0.005);
        close(s.j / i4, j, 0.005);
    }
    for (h, b, t, area, ix, iy, j) in [
        (4.0, 4.0, 0.233, 3.37, 7.80, 7.80, 12.8),
        (6.0, 4.0, 0.233, 4.30, 20.9, 11.1, 23.6),
    ] {
        let [h, b, t] = [h, b, t].map(|x| x * 0.0254);
        let s = *Section::rectangular(h, b, t, 2.0 * t).unwrap().numbers();
        close(s.area / 0.0254_f64.powi(2), area, 0.005);
        close(s.i_y / i4, ix, 0.007);
        close(s.i_z / i4, iy, 0.007);
        close(s.j / i4, j, 0.02);
    }
}

/// Thin tube: κ = 2(1 + ν)/(4 + 3ν) = 0.5306; thin square box: 20(1 + ν)/(48 + 39ν) = 0.4355 (Cowper 1966, ν = 0.3).
#[test]
fn cowper_limits() {
    let s = *Section::round(1.0, 1e-6).unwrap().numbers();
    close(s.shear_y / s.area, 2.6 / 4.9, 1e-5);
    let s = *Section::rectangular(1.0, 1.0, 1e-6, 0.0).unwrap().numbers();
    close(s.shear_z / s.area, 26.0 / 59.7, 1e-5);
    let s = *Section::rectangular(2.0, 1.0, 1e-3, 0.0).unwrap().numbers();
    assert!(
        s.shear_z > s.shear_y,
        "the long sides carry shear along the height"
    );
}

/// Rates of section numbers against central differences.
#[test]
fn section_rates() {
    let h = 1e-7;
    let check = |rates: Properties, up: Section, down: Section| {
        let (a, b) = (up.numbers(), down.numbers());
        for (got, up, down) in [
            (rates.area, a.area, b.area),
            (rates.i_y, a.i_y, b.i_y),
            (rates.i_z, a.i_z, b.i_z),
            (rates.j, a.j, b.j),
            (rates.shear_y, a.shear_y, b.shear_y),
            (rates.shear_z, a.shear_z, b.shear_z),
        ] {
            close(got, (up - down) / (2.0 * h), 2e-7);
        }
    };
    let (od, wall) = (0.045, 0.003);
    let round = |od, wall| Section::round(od, wall).unwrap();
    let s = round(od, wall);
    check(
        s.rates(Size::Wall).unwrap(),
        round(od, wall + h),
        round(od, wall - h),
    );
    check(
        s.rates(Size::OutsideDiameter).unwrap(),
        round(od + h, wall),
        round(od - h, wall),
    );
    for corner in [0.0, 0.001, 0.006] {
        let rect = |wall| Section::rectangular(0.1, 0.05, wall, corner).unwrap();
        let s = rect(wall);
        check(s.rates(Size::Wall).unwrap(), rect(wall + h), rect(wall - h));
        assert!(s.rates(Size::OutsideDiameter).is_none());
    }
}

#[test]
fn sizes_that_make_no_section() {
    let wall = SectionError::Wall {
        wall: 0.02,
        side: 0.04,
    };
    assert_eq!(Section::round(0.04, 0.02), Err(wall));
    assert_eq!(Section::rectangular(0.1, 0.04, 0.02, 0.0), Err(wall));
    assert!(matches!(
        Section::rectangular(0.1, 0.04, 0.003, 0.021),
        Err(SectionError::Corner { .. })
    ));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(Section::round(bad, 0.003).is_err());
        assert!(Section::round(0.04, bad).is_err());
        assert!(Section::rectangular(bad, 0.04, 0.003, 0.006).is_err());
    }
    assert!(Section::rectangular(0.1, 0.04, 0.003, f64::NAN).is_err());
}

/// von Kármán's factor: 10 without wall, 1 for a straight; λ = 0.5 gives (10 + 3)/(1 + 3).
#[test]
fn karman() {
    let s = Section::round(0.042, 0.002).unwrap();
    close(
        bend_flexibility(&s, 0.5 * 0.02 * 0.02 / 0.002),
        13.0 / 4.0,
        1e-12,
    );
    close(bend_flexibility(&s, 1e6), 1.0, 1e-6);
    close(bend_flexibility(&s, 1e-9), 10.0, 1e-6);
    for bad in [0.0, -1.0, f64::NAN] {
        close(bend_flexibility(&s, bad), 1.0, 0.0);
    }
}

/// Stresses by hand, and Euler's column: π²EI/L²; Johnson meets it at half the yield strength.
#[test]
fn stresses_and_columns() {
    let s = Section::round(0.04, 0.002).unwrap();
    let n = *s.numbers();
    let got = stress(&s, &[-1000.0, 300.0, 400.0, 50.0, 30.0, -40.0]);
    close(got.normal, 1000.0 / n.area + 50.0 * 0.02 / n.i_y, 1e-12);
    close(got.shear, 50.0 * 0.02 / n.j + 2.0 * 500.0 / n.area, 1e-12);
    let r = Section::rectangular(0.06, 0.04, 0.002, 0.004).unwrap();
    let n = *r.numbers();
    let got = stress(&r, &[1000.0, 300.0, -400.0, 50.0, 30.0, 40.0]);
    close(
        got.normal,
        1000.0 / n.area + 30.0 * 0.03 / n.i_y + 40.0 * 0.02 / n.i_z,
        1e-12,
    );
    let middle = 0.058 * 0.038 - (4.0 - PI) * 0.003 * 0.003;
    let (z, y) = (400.0 / (0.004 * 0.058), 300.0 / (0.004 * 0.038));
    close(
        got.shear,
        50.0 / (2.0 * middle * 0.002) + f64::max(z, y),
        1e-12,
    );
    let both = Stress {
        normal: 3.0,
        shear: 4.0,
    };
    close(both.von_mises(), 57.0_f64.sqrt(), 1e-12);

    let e = Material::STEEL.e;
    close(
        critical_load(&s, e, 350e6, 3.0),
        PI * PI * e * s.numbers().i_y / 9.0,
        1e-12,
    );
    let transition = (2.0 * PI * PI * e / 350e6).sqrt() * s.gyration();
    for length in [transition * (1.0 - 1e-9), transition * (1.0 + 1e-9)] {
        close(
            critical_load(&s, e, 350e6, length),
            350e6 / 2.0 * s.area(),
            1e-6,
        );
    }
    // A straight of two pieces is a column of its whole length.
    let frame = Frame {
        nodes: vec![v(0.0, 0.0, 0.0), v(1.5, 0.0, 0.0), v(3.0, 0.0, 0.0)],
        members: vec![Member::new(0, 1, s), Member::new(1, 2, s)],
        ..Frame::default()
    };
    let answer = solve(
        &frame,
        &Supports::new().hold(0, "xyzabc"),
        &[Load::force(2, v(-1000.0, 0.0, 0.0))],
    );
    let got = reserve(&frame, &answer.end_forces, &[0, 1], 350e6).unwrap();
    close(
        got.column,
        PI * PI * e * s.numbers().i_y / 9.0 / 1000.0,
        1e-9,
    );
    close(got.yields, 350e6 * s.area() / 1000.0, 1e-6);
    close(got.length, 3.0, 1e-12);
    close(got.lowest(), got.column, 0.0);
    assert!(reserve(&frame, &answer.end_forces, &[2], 350e6).is_err());
    assert!(reserve(&frame, &answer.end_forces, &[], 350e6).is_err());
    assert!(reserve(&frame, &answer.end_forces, &[0], f64::NAN).is_err());
}

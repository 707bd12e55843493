//! Assemblies that strain the sheets.

use build::{Assembly, Build, EndCut};
use units::Length;

use super::builds::sample;
use super::made::{bent, node, round, tube, with};

fn rectangular(height: f64, width: f64, wall: f64) -> build::TubeSection {
    build::TubeSection::Rectangular {
        height: Length::from_si(height),
        width: Length::from_si(width),
        wall: Length::from_si(wall),
        corner: None,
    }
}

/// Assemblies that strain the sheets.
pub fn odd() -> Vec<(String, Build)> {
    let mut out: Vec<(String, Build)> = Vec::new();
    let mut add = |name: &str, b: Build| out.push((name.into(), b));
    let red = sample("redshank");

    let mut b = red.clone();
    for (k, t) in b.assembly.tubes.iter_mut().enumerate() {
        t.label = match k % 3 {
            0 => "Unterlenkerkonsolenverstärkungsrohr, das vordere linke von zweien ".repeat(3),
            1 => "🔩 上下 <b>&\"' ".repeat(8),
            _ => String::new(),
        };
    }
    add("wordy", b);

    let mut b = red.clone();
    b.tube_work.cut = EndCut::Square;
    b.tube_work.paper = Length::from_si(0.3e-3);
    b.tube_work.stock.clear();
    add("cut straight in", b);

    let mut b = red.clone();
    b.assembly
        .nodes
        .retain(|n| n.id != "seat_l" && n.id != "hoop_top_l");
    add("nodes missing", b);

    let mut b = red.clone();
    for n in &mut b.assembly.nodes {
        let p = n.at.si();
        n.at = build::Place::from_si([0.0, p[1], p[2]]);
    }
    add("all in one plane", b);

    for stock in [1e-3, 0.4] {
        let mut b = red.clone();
        for s in &mut b.tube_work.stock {
            s.length = Length::from_si(stock);
        }
        add("bars too short", b);
    }

    // Large tubes: wraps over several pages.
    for od in [0.1016, 0.25, 0.6] {
        add("large", large(od));
    }
    // A rectangular branch, a rectangular main, tiny tubes.
    let nodes = vec![
        node("l", [0.0, 1.0, 0.0]),
        node("r", [0.0, -1.0, 0.0]),
        node("m", [0.0, 0.2, 0.0]),
        node("n", [0.8, -0.1, 0.3]),
        node("k", [0.4, 0.05, 0.15]),
        node("o", [0.4, 0.05, 0.9]),
        node("q", [0.0, -0.6, 0.0]),
        node("s", [0.3, -0.6, 0.2]),
    ];
    let tubes = vec![
        tube("main", "l", "r", round(0.06, 3e-3)),
        tube("box", "m", "n", rectangular(0.0508, 0.0254, 3e-3)),
        tube("post", "k", "o", round(0.02, 2e-3)),
        tube("thin", "q", "s", round(3e-3, 0.5e-3)),
    ];
    add(
        "rectangular and thin",
        with(Assembly {
            nodes,
            tubes,
            ..Assembly::default()
        }),
    );
    // A snake of many bends, one without a die.
    let n = 34;
    let nodes: Vec<_> = (0..=n)
        .map(|k| {
            let s = f64::from(k);
            let side = if k % 2 == 0 { 0.12 } else { -0.12 };
            node(&format!("n{k}"), [0.4 * s, side, 0.05 * (s * 0.7).sin()])
        })
        .collect();
    let corners: Vec<String> = (1..n).map(|k| format!("n{k}")).collect();
    let names: Vec<&str> = corners.iter().map(String::as_str).collect();
    let snake = bent(
        tube("snake", "n0", &format!("n{n}"), round(0.03, 2e-3)),
        &names,
        0.1,
    );
    add(
        "a snake",
        with(Assembly {
            nodes,
            tubes: vec![snake],
            ..Assembly::default()
        }),
    );
    out
}

/// One large tube on a larger one, and back on another at a rake.
pub fn large(od: f64) -> Build {
    let far = 6.0 * od;
    with(Assembly {
        nodes: vec![
            node("l", [0.0, 4.0, 0.0]),
            node("r", [0.0, -4.0, 0.0]),
            node("o", [0.0, 0.0, 0.0]),
            node("p", [far, 0.1 * od, 0.2 * od]),
            node("v", [far - 2.0, 3.0, 0.2 * od]),
            node("w", [far + 2.0, -3.0 + 0.2 * od, 0.2 * od]),
        ],
        tubes: vec![
            tube("main", "l", "r", round(1.25 * od, 4e-3)),
            tube("other", "v", "w", round(1.1 * od, 4e-3)),
            tube("branch", "o", "p", round(od, 4e-3)),
        ],
        ..Assembly::default()
    })
}

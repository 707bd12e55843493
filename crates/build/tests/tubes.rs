//! Tube work of whole builds.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{Build, EndShape, file};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples")
        .join(name);
    file::load(&path).unwrap()
}

#[test]
fn show() {
    let b = sample("redshank.ron");
    let t = std::time::Instant::now();
    let s = build::derive(&b);
    println!("derive {:?}", t.elapsed());
    for x in &s.tubes.tubes {
        let Ok(p) = &x.part else {
            println!("{}: {:?}", x.id, x.part.as_ref().err());
            continue;
        };
        let ends: Vec<String> = p
            .ends
            .iter()
            .map(|e| match &e.shape {
                EndShape::Cope(c) => format!(
                    "cope{:?} long {:.2} saw {}",
                    c.mains,
                    c.long.s * 1000.0,
                    c.saw.is_ok()
                ),
                EndShape::Failed(why) => format!("FAILED {}", why.show(&units::Shop::default())),
                other => format!("{other:?}").chars().take(60).collect(),
            })
            .collect();
        println!(
            "{} cut {:.1} mm mass {:.2} {:?}",
            x.id,
            p.cut * 1000.0,
            p.mass,
            ends
        );
        for bend in &p.bends {
            println!(
                "   bend {} {:.2} set {:?} from a {:.1} b {:.1} rot {:?}",
                bend.node,
                bend.bend.angle.to_degrees(),
                bend.set.map(f64::to_degrees),
                bend.from_a * 1e3,
                bend.from_b * 1e3,
                bend.bend.rotation
            );
        }
    }
    for n in &s.tubes.nests {
        println!(
            "{:?} {} pieces {:.2} m {:.1} kg: {:?}",
            n.section,
            n.tubes.len(),
            n.length,
            n.mass,
            n.nested
                .as_ref()
                .map(|x| (x.bought_bars, x.bars.len(), x.proven, x.longest_remnant))
        );
    }
    for f in s
        .findings
        .iter()
        .filter(|f| matches!(f.part, build::Part::Tube(_)))
    {
        println!("{:?} {}", f.severity, f.sentences(&units::Shop::default()));
    }
    println!("total {:.1} kg", s.tubes.mass());
}

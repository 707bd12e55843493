#![allow(missing_docs, clippy::unwrap_used, clippy::panic)]
fn main() {
    let b = build::file::load(std::env::args().nth(1).unwrap().as_ref())
        .unwrap_or_else(|e| panic!("{e}"));
    let t = std::time::Instant::now();
    let s = build::derive(&b);
    println!("derive {:?}", t.elapsed());
    let shop = units::Shop::default();
    for r in s.readings.iter().filter(|r| r.id().starts_with("run.")) {
        println!(
            "{:30} {:16} {:?} {:?}",
            r.id(),
            r.display(&shop),
            r.band,
            r.value.as_ref().err()
        );
    }
    let t = std::time::Instant::now();
    let plan = s.run.plan();
    println!("plan {:?}", t.elapsed());
    if let Ok(p) = plan {
        for c in &p.changes {
            println!(
                "{} by {:.4} -> {:.3} meets {}",
                c.parameter, c.by, c.then, c.meets
            );
        }
        for e in &p.bars {
            println!(
                "{:?} {:.3} ± {:.3} {:?}",
                e.reading,
                e.value,
                e.sigma,
                e.largest()
                    .iter()
                    .map(|c| (c.parameter, c.amount))
                    .collect::<Vec<_>>()
            );
        }
    }
    let t = std::time::Instant::now();
    for p in s.run.log().iter() {
        println!(
            "{} {:?} {:?}",
            p.id,
            p.slip
                .as_ref()
                .map(|s| s.from_first_motion)
                .map_err(|e| e.show(&shop)),
            p.friction
                .as_ref()
                .map(|f| f.as_ref().map_err(|e| e.show(&shop)))
        );
    }
    println!("log {:?}", t.elapsed());
    for r in &b.run.log {
        for a in build::run_advice(&s, r) {
            println!("{}: {}", r.id, a.show(&shop));
        }
        for c in build::changed_since(&b, &r.setting, &build::RunSetting::of(&b)) {
            println!(
                "   {} was {} is {}",
                c.what,
                c.was.show(&shop),
                c.is.show(&shop)
            );
        }
    }
    for f in &s.findings {
        if format!("{:?}", f.part).contains("run") || format!("{:?}", f.part).contains("car.") {
            println!("{:?} {}", f.severity, f.sentences(&shop));
        }
    }
}

#![allow(missing_docs, clippy::unwrap_used)]
fn main() {
    let path = std::env::args().nth(1).unwrap();
    let b = build::file::load(path.as_ref()).unwrap();
    let s = build::derive(&b);
    let shop = units::Shop::default();
    for r in &s.readings {
        if r.id().starts_with("weld.") || r.id().starts_with("fit_up") {
            println!(
                "{:40} {:30} {:?} {:?}",
                r.id(),
                r.display(&shop),
                r.certainty,
                r.value.as_ref().err()
            );
        }
    }
    for (j, w) in b.fit_up.joints.iter().zip(&s.fit_up.joints) {
        match &w.weld {
            Ok(x) => println!(
                "{} V {:.3e} L {:.4} pull {:?} kink {:?} lean {:?} seam {}",
                j.id,
                x.welded.volume,
                x.welded.length,
                x.welded.pull_in.as_ref().map(|b| (
                    b.low * 1e3,
                    b.point * 1e3,
                    b.high * 1e3,
                    b.out_of_range
                )),
                x.welded.main_kink.as_ref().map(|k| (
                    k.low,
                    k.point,
                    k.high,
                    k.side,
                    k.out_of_range
                )),
                x.welded.lean,
                x.seam_known
            ),
            Err(e) => println!("{} ERR {}", j.id, e.show(&shop)),
        }
    }
    for d in &s.weld.dimensions {
        println!(
            "{} drawn {:?} way {:?}",
            d.id,
            d.drawn.map(|x| x / 0.0254),
            d.way
        );
        for p in &d.pulls {
            println!(
                "    {} {:?} {:?} {:.3} mm lean {:.3}",
                b.fit_up.joints[p.joint].id,
                p.how,
                p.contribution.factor,
                p.contribution.change * 1e3,
                p.contribution.lean * 1e3
            );
        }
        println!(
            "    whole {:?} chance {:?}",
            d.whole
                .as_ref()
                .map(|p| (p.low * 1e3, p.change * 1e3, p.high * 1e3)),
            d.chance
        );
    }
    if let Ok(o) = &s.weld.order {
        println!(
            "order {:?} proposed {:?} next {:?} measure {:?}",
            o.joints
                .iter()
                .map(|i| &b.fit_up.joints[*i].id)
                .collect::<Vec<_>>(),
            o.proposed
                .iter()
                .map(|i| &b.fit_up.joints[*i].id)
                .collect::<Vec<_>>(),
            o.next,
            o.measure
        );
    }
    if let Ok(r) = &s.weld.record {
        for x in r.rows.iter().chain(&r.offered) {
            println!(
                "{} {:?} ratio {:?} pred {:.3} meas {:.3} chance {:.3}",
                x.label,
                x.learned,
                x.row.update.ratio,
                x.row.update.predicted * 1e3,
                x.row.update.measured * 1e3,
                x.row.update.chance
            );
        }
        for f in weld::control::Factor::ALL {
            println!(
                "  {} {:.3} {:?}",
                f.label(),
                r.now.of(f),
                r.now.interval(f, 0.9)
            );
        }
    }
    for c in &s.weld.corrections {
        println!(
            "{:?}\n first {:?}\n advice {:?}\n next {:?} members {:?}",
            c.sites, c.first, c.advice, c.next_site, c.members
        );
        if let Err(e) = &c.plan {
            println!("plan: {}", e.show(&shop));
        }
    }
    println!("{:?}", s.weld.supply);
    for f in &s.findings {
        println!("{:?} {:?} {}", f.severity, f.part, f.sentences(&shop));
    }
}

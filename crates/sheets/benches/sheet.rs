//! The whole sheet of a sample against an empty one-page PDF. Mark: 300 ms.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use sheets::{
    Document, Format, Page, Paper, Which, bracket_placement, cope_wraps, cut_and_bend, pdf, setting,
};

fn sheet(c: &mut Criterion) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/redshank.ron");
    let build = build::file::load(&file).unwrap();
    let study = build::derive(&build);
    let shop = units::Shop::INCH;
    let make = || bracket_placement(&build, &study, &shop, Paper::Letter, "25 Nov 2026").unwrap();
    let blank = Document {
        title: "blank".into(),
        pages: vec![Page {
            size: Paper::Letter.size(),
            items: Vec::new(),
        }],
    };
    c.bench_function("baseline: empty page to PDF", |b| {
        b.iter(|| pdf::to_pdf(black_box(&blank)).unwrap());
    });
    c.bench_function("bracket placement, composed", |b| b.iter(make));
    c.bench_function("setting, composed", |b| {
        b.iter(|| setting(&build, &study, &shop, Paper::Letter, "25 Nov 2026").unwrap());
    });
    c.bench_function("setting, composed and to PDF", |b| {
        let make = || setting(&build, &study, &shop, Paper::Letter, "25 Nov 2026").unwrap();
        b.iter(|| make().export(Format::Pdf).unwrap());
    });
    c.bench_function("bracket placement, composed and to PDF", |b| {
        b.iter(|| make().export(Format::Pdf).unwrap());
    });
    let date = "25 Nov 2026";
    for which in [
        Which::Alignment,
        Which::BrakeCircuit,
        Which::Driveline,
        Which::HousingOrder,
        Which::BuildBook,
    ] {
        c.bench_function(&format!("{}, composed and to PDF", which.id()), |b| {
            b.iter(|| {
                let sheet = which.make(&build, &study, &shop, Paper::Letter, date);
                sheet.unwrap().export(Format::Pdf).unwrap()
            });
        });
    }
    c.bench_function("cut and bend with cope wraps, composed and to PDF", |b| {
        b.iter(|| {
            let cut = cut_and_bend(&build, &study, &shop, Paper::Letter, date).unwrap();
            let wraps = cope_wraps(&build, &study, &shop, Paper::Letter, date).unwrap();
            (
                cut.export(Format::Pdf).unwrap(),
                wraps.export(Format::Pdf).unwrap(),
            )
        });
    });
}

criterion_group!(benches, sheet);
criterion_main!(benches);

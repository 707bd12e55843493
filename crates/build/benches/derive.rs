//! Opening a build and deriving it, against the least that any program would do with the file.
//!
//! Mark: open and derive in 50 ms or less, checked here before anything is measured.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use build::{Build, Deriver, Edit, History, Place, RollingEdit, WeldEdit, derive, file, points};
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use units::Length;

const MARK: Duration = Duration::from_millis(50);

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../samples/{name}.ron"))
}

fn mark(path: &Path) {
    let mut times: Vec<Duration> = (0..21)
        .map(|_| {
            let began = Instant::now();
            black_box(derive(&file::load(path).unwrap()));
            began.elapsed()
        })
        .collect();
    times.sort();
    let (median, worst) = (times[10], times[20]);
    let name = path.file_stem().unwrap().display();
    println!("open and derive {name}: median {median:?}, worst of 21 {worst:?}, mark {MARK:?}");
    assert!(median <= MARK, "open and derive takes {median:?}");
}

fn benches(c: &mut Criterion) {
    let path = sample("redshank");
    mark(&path);
    mark(&sample("whimbrel"));
    let text = std::fs::read_to_string(&path).unwrap();
    let b = file::load(&path).unwrap();

    // Baselines: the file read and found to be text; one copy of it in memory.
    c.bench_function("baseline: read and check text", |x| {
        x.iter(|| {
            let bytes = std::fs::read(black_box(&path)).unwrap();
            std::str::from_utf8(&bytes).unwrap().len()
        });
    });
    c.bench_function("baseline: copy text", |x| {
        let mut copy = vec![0u8; text.len()];
        x.iter(|| copy.copy_from_slice(black_box(text.as_bytes())));
    });

    c.bench_function("open and derive", |x| {
        x.iter(|| derive(&file::load(black_box(&path)).unwrap()));
    });
    c.bench_function("parse", |x| {
        x.iter(|| file::parse(black_box(&text), &path).unwrap());
    });
    c.bench_function("derive", |x| x.iter(|| derive(black_box(&b))));
    c.bench_function("to_text", |x| {
        x.iter(|| file::to_text(black_box(&b)).unwrap());
    });

    // One frame of a drag: the edit, and the study again.
    c.bench_function("drag a bracket, kept parts", |x| {
        let mut deriver = Deriver::default();
        let mut h = History::new(b.clone());
        let from = b.rear.brackets[0].at;
        let mut n = 0u32;
        h.begin_gesture();
        x.iter(|| {
            n = (n + 1) % 64;
            let height = from.height + Length::from_mm(f64::from(n) * 0.5);
            h.apply(&Edit::MoveBracket {
                bracket: "upper_front".to_owned(),
                to: Place { height, ..from },
            })
            .unwrap();
            deriver.derive(h.build())
        });
    });
    // A node dragged: every joint and dimension again, beside one joint alone.
    c.bench_function("drag a node of the assembly, kept parts", |x| {
        let mut deriver = Deriver::default();
        let mut h = History::new(b.clone());
        let from = b.assembly.node("eye_l").unwrap().at;
        let mut n = 0u32;
        h.begin_gesture();
        x.iter(|| {
            n = (n + 1) % 64;
            let to = Place {
                height: from.height + Length::from_mm(f64::from(n) * 0.5),
                ..from
            };
            let node = "eye_l".to_owned();
            h.apply(&Edit::Weld(WeldEdit::MoveNode { node, to }))
                .unwrap();
            deriver.derive(h.build())
        });
    });
    c.bench_function("baseline: one coped joint welded", |x| {
        let joint = weld::Joint {
            shape: weld::joint::Shape::Cope {
                tubes: weld::Cope::square(0.0206, 0.0034, 0.0206, 0.0048),
                main: None,
            },
            length: 0.0,
            gap: weld::joint::Gap::CLOSED,
            rule: None,
            setting: weld::Setting::FREE,
        };
        x.iter(|| black_box(&joint).weld(&weld::Choices::DEFAULT).unwrap());
    });
    rolling(c, &b);
    // A tick leaves the axle and the log as they were.
    c.bench_function("nothing of the axle changed, kept parts", |x| {
        let mut deriver = Deriver::default();
        deriver.derive(&b);
        x.iter(|| deriver.derive(black_box(&b)));
    });
    c.bench_function("save", |x| {
        let folder = tempfile::tempdir().unwrap();
        let to = folder.path().join("car.ron");
        x.iter_batched(
            || (),
            |()| file::save(&b, &to).unwrap(),
            BatchSize::SmallInput,
        );
    });
}

/// The n-th edit of a drag.
type Step = Box<dyn Fn(u32) -> Edit>;

/// The rolling chassis, one study after the other: a point or figure moved back and forth, and the study again.
/// Baseline: the same edit where nothing reads it, which is what history and comparing cost.
fn rolling(c: &mut Criterion, b: &Build) {
    let moved = |point: &str| {
        let from = (points::point(point).unwrap().get)(b).unwrap();
        let point = point.to_owned();
        Box::new(move |n: u32| {
            let height = from.height + Length::from_mm(f64::from(n) * 0.1);
            let (point, to) = (point.clone(), Place { height, ..from });
            Edit::Rolling(RollingEdit::Move { point, to })
        }) as Step
    };
    let field = |id: &'static str| {
        let from = (build::fields::field(id).unwrap().get)(b);
        Box::new(move |n: u32| Edit::Field {
            id: id.to_owned(),
            si: from * (1.0 + 1e-4 * f64::from(n)),
        }) as Step
    };
    let corner = {
        let body = b.mock_up.as_ref().unwrap().body[0].clone();
        Box::new(move |n: u32| {
            let mut x = body.clone();
            x.from.height = x.from.height + Length::from_mm(f64::from(n) * 0.1);
            Edit::Rolling(RollingEdit::PutBody(x))
        })
    };
    let cases: [(&str, Step); 6] = [
        (
            "baseline: a step nothing reads",
            Box::new(|n| Edit::Rename(format!("{n}"))),
        ),
        (
            "drag a point of the front end",
            moved("front_end.tie_rod.inner"),
        ),
        (
            "drag the rear joint of the driveshaft",
            moved("power.driveshaft.rear_joint"),
        ),
        ("drag a corner of the body", corner),
        ("turn a figure of the brakes", field("brakes.pedal.ratio")),
        (
            "turn a figure of the driveline",
            field("driveline.tube.outside"),
        ),
    ];
    for (name, edit) in cases {
        c.bench_function(name, |x| {
            let mut deriver = Deriver::default();
            let mut h = History::new(b.clone());
            let mut n = 0u32;
            h.begin_gesture();
            x.iter(|| {
                n = (n + 1) % 64;
                h.apply(&edit(n)).unwrap();
                deriver.derive(h.build())
            });
        });
    }
}

criterion_group! {
    name = all;
    config = Criterion::default()
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(3))
        .sample_size(50);
    targets = benches
}
criterion_main!(all);

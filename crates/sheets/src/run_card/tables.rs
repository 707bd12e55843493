//! The tables of the run card.

use build::{Build, Seen, SlipReading, StripMark, Study};
use units::{Kind, Shop, display_value, format, format_kept, unit_name};

use super::RUNS;
use crate::parts::words::digits;
use crate::setting::facts::Setting;
use crate::setting::value::Value;
use crate::table::{Cell, Col, Mark, Row, Table};
use crate::welding::words::short;

/// Size of the type, points.
const SIZE: f64 = 7.8;
/// Lines for notes to each run.
const NOTES: usize = 3;

fn sized(columns: impl IntoIterator<Item = Col>, size: f64) -> Table {
    let mut t = Table::new(columns);
    t.size_pt = size;
    t
}

pub(super) fn where_and_who() -> Table {
    let mut t = sized(
        [
            Col::left("date").fixed(28.0),
            Col::left("track, lane").share(1.6),
            Col::left("driver").share(1.0),
            Col::left("tyres").share(1.0),
            Col::left("brakes, bolts checked by").share(1.0),
        ],
        SIZE,
    );
    t.push(Row::new([
        Cell::blank(),
        Cell::blank(),
        Cell::blank(),
        Cell::blank(),
        Cell::blank(),
    ]));
    t
}

/// Launch and shift speeds in a line.
pub(super) fn set_note(b: &Build, shop: &Shop) -> String {
    let speed = |v: units::RotationSpeed| format(Kind::RotationSpeed, v.si(), shop);
    let last = b.run.gears.len().saturating_sub(1);
    let shifts: Vec<String> = b.run.gears[..last]
        .iter()
        .take(8)
        .map(|g| speed(g.shift))
        .collect();
    let mut out = format!("launch {}", speed(b.run.launch));
    if !shifts.is_empty() {
        out = format!("{out} · shift {}", shifts.join(", "));
    }
    out
}

pub(super) fn links(s: &Setting<'_>) -> Table {
    let mut t = sized(
        [
            Col::left("link").share(1.0),
            Col::left("side"),
            Col::right("hole at frame"),
            Col::right("hole at axle"),
            Col::right("eye to eye"),
            Col::right("changed to").fixed(30.0),
        ],
        SIZE,
    );
    for r in &s.rods {
        t.push(Row::new([
            Cell::new(short(&r.label)),
            Cell::new(r.side),
            Cell::new(r.at_frame.clone()).bold(),
            Cell::new(r.at_axle.clone()).bold(),
            r.length.cell(),
            Cell::blank(),
        ]));
    }
    t
}

pub(super) fn coils(s: &Setting<'_>) -> Table {
    let mut t = sized(
        [
            Col::left("coil-over").share(1.0),
            Col::left("side"),
            Col::right("rate"),
            Col::right("preload"),
            Col::right("seat to seat"),
            Col::right("changed to").fixed(30.0),
        ],
        SIZE,
    );
    for c in &s.coils {
        t.push(Row::new([
            Cell::new(short(&c.label)),
            Cell::new(c.side),
            c.rate.cell(),
            c.preload.cell(),
            c.seat.cell(),
            Cell::blank(),
        ]));
    }
    t
}

/// The readings of a time slip.
pub(crate) const SLIP: [(&str, SlipReading); 9] = [
    ("60 ft", SlipReading::Clock(StripMark::SixtyFoot)),
    ("330 ft", SlipReading::Clock(StripMark::ThreeThirty)),
    ("1/8 mile", SlipReading::Clock(StripMark::Eighth)),
    ("1/8 mile speed", SlipReading::EighthTrap),
    ("1000 ft", SlipReading::Clock(StripMark::Thousand)),
    ("1/4 mile", SlipReading::Clock(StripMark::Quarter)),
    ("1/4 mile speed", SlipReading::QuarterTrap),
    ("0–60 mph", SlipReading::ZeroSixty),
    ("0–60 mph, rollout", SlipReading::ZeroSixtyRollout),
];

pub(super) const fn slip_kind(r: SlipReading) -> Kind {
    match r {
        SlipReading::EighthTrap | SlipReading::QuarterTrap => Kind::Speed,
        _ => Kind::Time,
    }
}

/// "1.99 s ± 0.07", or a dash.
pub(crate) fn predicted(study: &Study, r: SlipReading, shop: &Shop) -> String {
    let Ok(run) = &study.run.run else {
        return "—".into();
    };
    let Some(v) = run.slip.reading(r) else {
        return "not reached".into();
    };
    let kind = slip_kind(r);
    let bar = study.run.plan().ok();
    let bar = bar.as_ref().and_then(|p| p.bar(r)).map(|b| b.sigma);
    let shown = format(kind, v, shop);
    match bar {
        Some(sigma) => format!("{shown} ± {:.2}", display_value(kind, sigma, shop)),
        None => shown,
    }
}

/// What the slip's ± is, or why there is none.
pub(super) fn slip_note(study: &Study, shop: &Shop) -> String {
    match &study.run.run {
        Ok(_) => "± one standard deviation · clock from the end of the rollout".into(),
        Err(why) => short(&format!("nothing predicted: {}", why.show(shop))),
    }
}

/// Four runs beside what is set and predicted.
pub(super) fn runs(b: &Build, study: &Study, shop: &Shop) -> Table {
    let mut columns = vec![Col::left("").share(1.0), Col::right("set, predicted")];
    columns.extend((1..=RUNS).map(|k| Col::centre(format!("run {k}")).fixed(26.0)));
    let mut t = sized(columns, SIZE);
    let blanks = |head: Cell, set: String| {
        let cells = [head, Cell::new(set).bold()];
        Row::new(cells.into_iter().chain((0..RUNS).map(|_| Cell::blank())))
    };
    let unit = |what: &str, kind: Kind| Cell::new(format!("{what}, {}", unit_name(kind, shop)));
    let w = &b.run.weather;
    let air = [
        (Kind::Temperature, w.temperature.si(), "air"),
        (Kind::Pressure, w.pressure.si(), "station pressure"),
        (Kind::Ratio, w.humidity.si(), "humidity"),
    ];
    t.push(blanks("time of day".into(), String::new()));
    for (kind, si, what) in air {
        let shown = if kind == Kind::Pressure {
            // A barometer is read finer than a tyre gauge.
            build::show_to(kind, si, 700.0, shop)
        } else {
            format(kind, si, shop)
        };
        t.push(blanks(unit(what, kind), shown));
    }
    t.push(blanks("wind, from where".into(), String::new()));
    let launch = format(Kind::RotationSpeed, b.run.launch.si(), shop);
    t.push(blanks("launch rpm".into(), launch).ruled());
    for what in ["rear tyres", "front tyres"] {
        t.push(blanks(unit(what, Kind::Pressure), String::new()));
    }
    for what in [
        "clicks rear, bump / rebound",
        "clicks front, bump / rebound",
    ] {
        t.push(blanks(what.into(), String::new()));
    }
    for (k, (what, r)) in SLIP.into_iter().enumerate() {
        let mut row = blanks(unit(what, slip_kind(r)), predicted(study, r, shop));
        row.rule = k == 0;
        t.push(row);
    }
    for (k, seen) in Seen::ALL.into_iter().enumerate() {
        let boxes = (0..RUNS).map(|_| Cell::default().mark(Mark::Box));
        let cells = [Cell::new(seen.words()), Cell::default()];
        let mut row = Row::new(cells.into_iter().chain(boxes));
        row.rule = k == 0;
        t.push(row);
    }
    for k in 0..NOTES {
        let mut row = blanks(
            if k == 0 {
                "notes".into()
            } else {
                Cell::default()
            },
            String::new(),
        );
        row.rule = k == 0;
        t.push(row);
    }
    t
}

/// Everything that is set and predicted, one a line, with all its digits.
pub(super) fn csv(s: &Setting<'_>) -> Table {
    let mut t = Table::new([
        Col::left("section"),
        Col::left("part"),
        Col::left("side"),
        Col::left("what"),
        Col::right("value"),
        Col::left("unit"),
        Col::left("on the sheet"),
        Col::left("why there is none"),
        Col::left("as set or measured"),
    ]);
    let shop = &s.shop;
    let mut line = |section: &str, part: &str, side: &str, what: &str, v: &Value| {
        let (number, unit) = match v.number {
            Some((kind, si)) => (digits(display_value(kind, si, shop)), unit_name(kind, shop)),
            None => (String::new(), ""),
        };
        let why = v.why.as_deref().unwrap_or("");
        t.push(Row::new(
            [section, part, side, what, &number, unit, &v.shown, why, ""].map(Cell::from),
        ));
    };
    let words = |text: &str| Value {
        shown: text.to_owned(),
        number: None,
        why: None,
    };
    for r in &s.rods {
        line(
            "link",
            &r.label,
            r.side,
            "hole at frame",
            &words(&r.at_frame),
        );
        line("link", &r.label, r.side, "hole at axle", &words(&r.at_axle));
        line("link", &r.label, r.side, "eye to eye", &r.length);
    }
    for c in &s.coils {
        line("coil-over", &c.label, c.side, "rate", &c.rate);
        line("coil-over", &c.label, c.side, "preload", &c.preload);
        line("coil-over", &c.label, c.side, "seat to seat", &c.seat);
    }
    let run = &s.facts.build.run;
    let speed = |v: f64| {
        Value::shown_as(
            Kind::RotationSpeed,
            v,
            format_kept(Kind::RotationSpeed, v, shop),
        )
    };
    line("engine", "", "", "launch", &speed(run.launch.si()));
    let last = run.gears.len().saturating_sub(1);
    for (k, g) in run.gears[..last].iter().enumerate() {
        line(
            "engine",
            &format!("gear {}", k + 1),
            "",
            "shift",
            &speed(g.shift.si()),
        );
    }
    let study = s.facts.study;
    for (what, r) in SLIP {
        let v = match &study.run.run {
            Err(why) => Value::none(why.show(shop)),
            Ok(run) => match run.slip.reading(r) {
                None => Value::none("not reached in a quarter mile"),
                Some(si) => Value::shown_as(slip_kind(r), si, predicted(study, r, shop)),
            },
        };
        line("predicted", "car", "", what, &v);
    }
    t
}

//! DXF R12 (AC1009): group codes in pairs of lines, as Autodesk's DXF reference of 1992 has them (from memory).

use std::fmt::Write;

use super::{FlatPart, Shape, Unit};

/// Layers with their colour numbers: 1 red, 3 green, 7 white or black.
const LAYERS: [(&str, u8); 3] = [("CUT", 1), ("MARK", 3), ("TEXT", 7)];
/// Half a centre mark, m.
const CROSS: f64 = 0.002;
/// Height of words, m.
const HIGH: f64 = 0.004;

struct Out(String);

impl Out {
    fn pair(&mut self, code: u16, value: &str) {
        let _ = writeln!(self.0, "{code:>3}\r\n{value}\r");
    }

    fn number(&mut self, code: u16, value: f64) {
        // No minus sign on nothing.
        let value = if value.abs() < 5e-9 { 0.0 } else { value };
        self.pair(code, &format!("{value:.8}"));
    }

    fn point(&mut self, first: u16, [x, y]: [f64; 2]) {
        self.number(first, x);
        self.number(first + 10, y);
        self.number(first + 20, 0.0);
    }

    fn entity(&mut self, kind: &str, layer: &str) {
        self.pair(0, kind);
        self.pair(8, layer);
    }

    fn line(&mut self, layer: &str, from: [f64; 2], to: [f64; 2]) {
        self.entity("LINE", layer);
        self.point(10, from);
        self.point(11, to);
    }

    fn words(&mut self, at: [f64; 2], high: f64, text: &str) {
        self.entity("TEXT", "TEXT");
        self.point(10, at);
        self.number(40, high);
        self.pair(1, text);
    }
}

/// R12 knows plain letters; anything else reads as a question mark.
fn plain(text: &str) -> String {
    let letters = text.chars().map(|c| match c {
        '×' => 'x',
        '–' | '—' | '−' => '-',
        '’' => '\'',
        ' '..='~' => c,
        c if c.is_whitespace() || c.is_control() => ' ',
        _ => '?',
    });
    letters.take(120).collect()
}

pub(super) fn file(part: &FlatPart, shape: &Shape, unit: Unit) -> String {
    let mut o = Out(String::new());
    let u = |p: [f64; 2]| p.map(|v| unit.of(v));
    let [w, h] = u(shape.size);
    let said = words(part, unit);
    let step = unit.of(1.6 * HIGH);
    o.pair(0, "SECTION");
    o.pair(2, "HEADER");
    o.pair(9, "$ACADVER");
    o.pair(1, "AC1009");
    o.pair(9, "$EXTMIN");
    o.point(10, [0.0, 0.0]);
    o.pair(9, "$EXTMAX");
    o.point(10, [w, h]);
    o.pair(0, "ENDSEC");
    o.pair(0, "SECTION");
    o.pair(2, "TABLES");
    o.pair(0, "TABLE");
    o.pair(2, "LTYPE");
    o.pair(70, "1");
    o.pair(0, "LTYPE");
    o.pair(2, "CONTINUOUS");
    o.pair(70, "0");
    o.pair(3, "Solid line");
    o.pair(72, "65");
    o.pair(73, "0");
    o.number(40, 0.0);
    o.pair(0, "ENDTAB");
    o.pair(0, "TABLE");
    o.pair(2, "LAYER");
    o.pair(70, &LAYERS.len().to_string());
    for (name, colour) in LAYERS {
        o.pair(0, "LAYER");
        o.pair(2, name);
        o.pair(70, "0");
        o.pair(62, &colour.to_string());
        o.pair(6, "CONTINUOUS");
    }
    o.pair(0, "ENDTAB");
    o.pair(0, "ENDSEC");
    o.pair(0, "SECTION");
    o.pair(2, "ENTITIES");
    for [from, to] in &shape.lines {
        o.line("CUT", u(*from), u(*to));
    }
    for (centre, radius, [from, to]) in &shape.arcs {
        o.entity("ARC", "CUT");
        o.point(10, u(*centre));
        o.number(40, unit.of(*radius));
        o.number(50, from.to_degrees());
        o.number(51, to.to_degrees());
    }
    for (centre, drill) in &shape.holes {
        o.entity("CIRCLE", "CUT");
        o.point(10, u(*centre));
        o.number(40, unit.of(0.5 * drill));
    }
    for ([x, y], _) in &shape.holes {
        o.line("MARK", u([x - CROSS, *y]), u([x + CROSS, *y]));
        o.line("MARK", u([*x, y - CROSS]), u([*x, y + CROSS]));
    }
    for (k, line) in said.iter().enumerate() {
        let y = -step * (k as f64 + 1.0) - unit.of(HIGH);
        o.words([0.0, y], unit.of(HIGH), &plain(line));
    }
    o.pair(0, "ENDSEC");
    o.pair(0, "EOF");
    o.0
}

/// What is written under the part.
fn words(part: &FlatPart, unit: Unit) -> Vec<String> {
    let digits = match unit {
        Unit::Millimetres => 2,
        Unit::Inches => 3,
    };
    let len = |m: f64| format!("{:.digits$} {}", unit.of(m), unit.name());
    let label = if part.label.trim().is_empty() {
        &part.id
    } else {
        &part.label
    };
    let thick = part.thickness.map_or_else(
        || "thickness: not in the build".into(),
        |t| format!("{} thick", len(t)),
    );
    let material = if part.material.is_empty() {
        String::new()
    } else {
        format!(", {}", part.material)
    };
    let mut out = vec![
        format!("UNITS: {}", unit.in_full().to_uppercase()),
        format!("{} {label}, cut {}", part.kind.word(), part.count),
        format!("{thick}{material}"),
    ];
    if let Ok(shape) = &part.shape {
        let [w, h] = shape.size;
        out.push(format!("measure before cutting: {} x {}", len(w), len(h)));
        if let Some((_, drill)) = shape.holes.first() {
            out.push(format!(
                "{} holes, {} diameter, no kerf taken off",
                shape.holes.len(),
                len(*drill)
            ));
        } else {
            out.push(
                "edges run from node to node as drawn: not trimmed to the tubes, no kerf taken off"
                    .into(),
            );
        }
    }
    out
}

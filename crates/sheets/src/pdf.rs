//! Pages to PDF. The only module that names the PDF writer.

use crate::error::SheetError;
use crate::page::{Align, Document, Ink, Item, MM_PER_PT, Pen, Pt, Text};
use crate::type_metrics::{FontId, runs, width};
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document as Pdf, SerializeSettings};

/// Four cubics for a circle; the radius is off by 2.7e-4 of itself at most.
const ARC: f64 = 0.552_284_75;

/// A document as PDF, the paper's size exact, marked "print at actual size". The same document gives the
/// same bytes.
///
/// # Errors
/// No page, a number that is not finite, or a failure of the PDF writer.
pub fn to_pdf(document: &Document) -> Result<Vec<u8>, SheetError> {
    check_numbers(document)?;
    let fonts = Fonts::new()?;
    let mut pdf = Pdf::new_with(SerializeSettings {
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    pdf.set_metadata(
        Metadata::new()
            .title(document.title.clone())
            .language("en".to_owned()),
    );
    for (k, page) in document.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(pts(page.size.w), pts(page.size.h)).ok_or(
            SheetError::PageSize {
                page: k,
                width: page.size.w,
                height: page.size.h,
            },
        )?;
        let mut sheet = pdf.start_page_with(settings);
        let mut surface = sheet.surface();
        for item in &page.items {
            draw(&mut surface, &fonts, item);
        }
        surface.finish();
        sheet.finish();
    }
    let bytes = pdf.finish().map_err(|e| SheetError::Pdf(e.to_string()))?;
    at_actual_size(bytes)
}

/// That there are pages, of a size a page can have, and every number on them is finite.
pub(crate) fn check_numbers(document: &Document) -> Result<(), SheetError> {
    if document.pages.is_empty() {
        return Err(SheetError::NoPages);
    }
    for (k, page) in document.pages.iter().enumerate() {
        let (width, height) = (page.size.w, page.size.h);
        // 200 in is the largest page PDF 1.7 knows (ISO 32000-1, annex C).
        let fits = |v: f64| v > 1.0 && v <= 5080.0;
        if !(fits(width) && fits(height)) {
            return Err(SheetError::PageSize {
                page: k,
                width,
                height,
            });
        }
        if let Some(item) = page.items.iter().position(|i| !i.is_finite()) {
            return Err(SheetError::NotFinite { page: k, item });
        }
    }
    Ok(())
}

fn pts(mm: f64) -> f32 {
    (mm / MM_PER_PT) as f32
}

struct Fonts([Font; 4]);

impl Fonts {
    fn new() -> Result<Self, SheetError> {
        let load =
            |f: FontId| Font::new(f.bytes().into(), 0).ok_or(SheetError::Font { name: f.name() });
        let [a, b, c, d] = FontId::ALL;
        Ok(Self([load(a)?, load(b)?, load(c)?, load(d)?]))
    }

    fn get(&self, f: FontId) -> Font {
        self.0[f as usize].clone()
    }
}

fn colour(ink: Ink) -> rgb::Color {
    let [r, g, b] = ink.rgb();
    rgb::Color::new(r, g, b)
}

fn fill_of(ink: Ink) -> Fill {
    Fill {
        paint: colour(ink).into(),
        ..Fill::default()
    }
}

fn stroke_of(pen: Pen) -> Stroke {
    let pattern = pen.dash.pattern();
    Stroke {
        paint: colour(pen.ink).into(),
        width: pts(pen.width.max(0.0)),
        line_cap: LineCap::Butt,
        line_join: LineJoin::Round,
        dash: (!pattern.is_empty()).then(|| StrokeDash {
            array: pattern.iter().map(|v| pts(*v)).collect(),
            offset: 0.0,
        }),
        ..Stroke::default()
    }
}

fn path(s: &mut Surface<'_>, path: Option<Path>, pen: Option<Pen>, fill: Option<Ink>) {
    // With neither set the writer would fill in black.
    if let Some(path) = path.filter(|_| pen.is_some() || fill.is_some()) {
        s.set_fill(fill.map(fill_of));
        s.set_stroke(pen.map(stroke_of));
        s.draw_path(&path);
    }
}

fn chain(points: &[Pt], close: bool) -> Option<Path> {
    let (first, rest) = points.split_first()?;
    let mut b = PathBuilder::new();
    b.move_to(pts(first.x), pts(first.y));
    for p in rest {
        b.line_to(pts(p.x), pts(p.y));
    }
    if close {
        b.close();
    }
    b.finish()
}

fn round_rect(at: Pt, w: f64, h: f64, radius: f64) -> Option<Path> {
    let (x0, y0, x1, y1) = (at.x, at.y, at.x + w, at.y + h);
    let r = radius.clamp(0.0, (0.5 * w.min(h)).max(0.0));
    let k = r * (1.0 - ARC);
    let mut b = PathBuilder::new();
    b.move_to(pts(x0 + r), pts(y0));
    // Each side's end, then the corner's two handles and its end.
    let sides = [
        ([x1 - r, y0], [x1 - k, y0], [x1, y0 + k], [x1, y0 + r]),
        ([x1, y1 - r], [x1, y1 - k], [x1 - k, y1], [x1 - r, y1]),
        ([x0 + r, y1], [x0 + k, y1], [x0, y1 - k], [x0, y1 - r]),
        ([x0, y0 + r], [x0, y0 + k], [x0 + k, y0], [x0 + r, y0]),
    ];
    for (end, c1, c2, to) in sides {
        b.line_to(pts(end[0]), pts(end[1]));
        if r > 0.0 {
            b.cubic_to(
                pts(c1[0]),
                pts(c1[1]),
                pts(c2[0]),
                pts(c2[1]),
                pts(to[0]),
                pts(to[1]),
            );
        }
    }
    b.close();
    b.finish()
}

fn draw(s: &mut Surface<'_>, fonts: &Fonts, item: &Item) {
    match item {
        Item::Line { from, to, pen } => path(s, chain(&[*from, *to], false), Some(*pen), None),
        Item::Polyline { points, pen } => path(s, chain(points, false), Some(*pen), None),
        Item::Polygon { points, pen, fill } => path(s, chain(points, true), *pen, *fill),
        Item::Rect {
            at,
            w,
            h,
            radius,
            pen,
            fill,
        } => path(s, round_rect(*at, *w, *h, *radius), *pen, *fill),
        Item::Circle {
            centre: c,
            radius: r,
            pen,
            fill,
        } => {
            let square = Pt {
                x: c.x - r,
                y: c.y - r,
            };
            path(s, round_rect(square, 2.0 * r, 2.0 * r, *r), *pen, *fill);
        }
        Item::Text(t) => text(s, fonts, t),
    }
}

fn text(s: &mut Surface<'_>, fonts: &Fonts, t: &Text) {
    let w = width(&t.text, t.face, t.size_pt);
    let mut x = match t.align {
        Align::Left => 0.0,
        Align::Centre => -0.5 * w,
        Align::Right => -w,
    };
    let turned = t.turn != 0.0;
    let (x0, y0) = if turned { (0.0, 0.0) } else { (t.x, t.y) };
    if turned {
        let (sin, cos) = t.turn.sin_cos();
        let (sin, cos) = (sin as f32, cos as f32);
        s.push_transform(&Transform::from_row(
            cos,
            -sin,
            sin,
            cos,
            pts(t.x),
            pts(t.y),
        ));
    }
    s.set_stroke(None);
    s.set_fill(Some(fill_of(t.ink)));
    for run in runs(&t.text, t.face) {
        let mut at = 0;
        let glyphs: Vec<KrillaGlyph> = run
            .glyphs
            .iter()
            .zip(run.text.chars())
            .map(|(g, c)| {
                let range = at..at + c.len_utf8();
                at = range.end;
                KrillaGlyph::new(
                    GlyphId::new(u32::from(g.id)),
                    g.advance as f32,
                    0.0,
                    0.0,
                    0.0,
                    range,
                    None,
                )
            })
            .collect();
        let start = Point::from_xy(pts(x0 + x), pts(y0));
        s.draw_glyphs(
            start,
            &glyphs,
            fonts.get(run.font),
            &run.text,
            t.size_pt as f32,
            false,
        );
        x += run.width_em * t.size_pt * MM_PER_PT;
    }
    if turned {
        s.pop();
    }
}

/// Appends an incremental update that replaces the catalogue by one with
/// `/ViewerPreferences << /PrintScaling /None >>` (ISO 32000-1, 7.5.6 and 12.2).
fn at_actual_size(mut pdf: Vec<u8>) -> Result<Vec<u8>, SheetError> {
    let bad = SheetError::PdfStructure;
    let startxref = rfind(&pdf, b"startxref").ok_or(bad("no startxref"))?;
    let previous = number(&pdf[startxref + 9..]).ok_or(bad("no cross-reference offset"))?;
    let table = pdf
        .get(previous..startxref)
        .ok_or(bad("cross-reference offset outside the file"))?;
    if !table.starts_with(b"xref") {
        return Err(bad("no classic cross-reference table"));
    }
    let trailer = &table[rfind(table, b"trailer").ok_or(bad("no trailer"))?..];
    let after = |key: &[u8]| find(trailer, key).map(|at| &trailer[at + key.len()..]);
    let root = after(b"/Root")
        .and_then(number)
        .ok_or(bad("no catalogue"))?;
    let size = after(b"/Size")
        .and_then(number)
        .ok_or(bad("no object count"))?;
    let mut rest = String::new();
    if let Some(info) = after(b"/Info").and_then(number) {
        rest += &format!("/Info {info} 0 R");
    }
    let id: Vec<u8> = after(b"/ID")
        .and_then(|a| Some([b"/ID", &a[..=find(a, b"]")?]].concat()))
        .unwrap_or_default();

    // One section "xref\n0 n\n", then entries of 20 bytes that begin with a 10-digit offset.
    let entries = table
        .iter()
        .enumerate()
        .filter(|(_, b)| **b == b'\n')
        .nth(1)
        .map(|(k, _)| k + 1);
    let entry = entries.ok_or(bad("no cross-reference entries"))? + 20 * root;
    let begin = table
        .get(entry..)
        .and_then(number)
        .ok_or(bad("catalogue not in the cross-reference table"))?;
    let head = format!("{root} 0 obj");
    let object = pdf
        .get(begin..)
        .and_then(|o| o.strip_prefix(head.as_bytes()))
        .ok_or(bad("catalogue not found"))?;
    let object = &object[..find(object, b"endobj").ok_or(bad("catalogue not closed"))?];
    let close = rfind(object, b">>").ok_or(bad("catalogue is no dictionary"))?;
    if find(object, b"/ViewerPreferences").is_some() {
        return Err(bad("catalogue has viewer preferences already"));
    }
    let dictionary = object[..close].to_vec();

    if pdf.last() != Some(&b'\n') {
        pdf.push(b'\n');
    }
    let at = pdf.len();
    pdf.extend_from_slice(format!("{root} 0 obj").as_bytes());
    pdf.extend_from_slice(&dictionary);
    pdf.extend_from_slice(b"/ViewerPreferences<</PrintScaling/None>>>>\nendobj\n");
    let xref = pdf.len();
    pdf.extend_from_slice(
        format!("xref\n{root} 1\n{at:010} 00000 n \ntrailer\n<</Size {size}").as_bytes(),
    );
    pdf.extend_from_slice(format!("/Root {root} 0 R/Prev {previous}{rest}").as_bytes());
    pdf.extend_from_slice(&id);
    pdf.extend_from_slice(format!(">>\nstartxref\n{xref}\n%%EOF\n").as_bytes());
    Ok(pdf)
}

fn find(hay: &[u8], needle: &[u8]) -> Option<usize> {
    hay.windows(needle.len()).position(|w| w == needle)
}

fn rfind(hay: &[u8], needle: &[u8]) -> Option<usize> {
    hay.windows(needle.len()).rposition(|w| w == needle)
}

/// The whole number a piece of PDF begins with, after white space.
fn number(bytes: &[u8]) -> Option<usize> {
    let text: String = bytes
        .iter()
        .skip_while(|b| b.is_ascii_whitespace())
        .take_while(|b| b.is_ascii_digit())
        .map(|b| char::from(*b))
        .collect();
    text.parse().ok()
}

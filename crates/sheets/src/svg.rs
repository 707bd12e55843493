//! Pages to SVG 1.1 text, in millimetres.

use crate::error::SheetError;
use crate::page::{Align, Document, Face, Ink, Item, MM_PER_PT, Page, Pen, Pt};
use crate::pdf::check_numbers;
use crate::type_metrics::{clean, width};
use std::fmt::Write;

/// Between two pages stacked in one file, mm.
const STACK_GAP: f64 = 8.0;
const FAMILY: &str = "B612, 'DejaVu Sans Condensed', 'DejaVu Sans', sans-serif";

/// One SVG file for each page.
///
/// # Errors
/// No page, or a number that is not finite.
pub fn to_svgs(document: &Document) -> Result<Vec<String>, SheetError> {
    check_numbers(document)?;
    let m = document.pages.len();
    let one = |(k, page): (usize, &Page)| {
        let mut s = String::new();
        open(
            &mut s,
            page.size.w,
            page.size.h,
            &format!("{}, {} of {m}", document.title, k + 1),
        );
        body(&mut s, page);
        s.push_str("</svg>\n");
        s
    };
    Ok(document.pages.iter().enumerate().map(one).collect())
}

/// All pages under each other in one SVG file.
///
/// # Errors
/// No page, or a number that is not finite.
pub fn to_svg(document: &Document) -> Result<String, SheetError> {
    check_numbers(document)?;
    let w = document.pages.iter().map(|p| p.size.w).fold(0.0, f64::max);
    let h: f64 = document
        .pages
        .iter()
        .map(|p| p.size.h + STACK_GAP)
        .sum::<f64>()
        - STACK_GAP;
    let mut s = String::new();
    open(&mut s, w, h, &document.title);
    let mut y = 0.0;
    for page in &document.pages {
        put(
            &mut s,
            format_args!("<g transform=\"translate(0 {})\">\n", num(y)),
        );
        body(&mut s, page);
        s.push_str("</g>\n");
        y += page.size.h + STACK_GAP;
    }
    s.push_str("</svg>\n");
    Ok(s)
}

fn put(s: &mut String, args: std::fmt::Arguments<'_>) {
    // Writing to a String cannot fail.
    let _ = s.write_fmt(args);
}

fn open(s: &mut String, w: f64, h: f64, title: &str) {
    let (w, h, title) = (num(w), num(h), escape(title));
    put(
        s,
        format_args!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" \
             width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n<title>{title}</title>\n"
        ),
    );
}

fn body(s: &mut String, page: &Page) {
    let (w, h) = (num(page.size.w), num(page.size.h));
    put(
        s,
        format_args!("<rect x=\"0\" y=\"0\" width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n"),
    );
    for i in &page.items {
        item(s, i);
    }
}

/// Four decimals, a tenth of a micrometre, without trailing zeros.
fn num(v: f64) -> String {
    let s = format!("{v:.4}");
    let s = s.trim_end_matches('0').trim_end_matches('.');
    if s == "-0" {
        "0".to_owned()
    } else {
        s.to_owned()
    }
}

fn colour(ink: Ink) -> String {
    let [r, g, b] = ink.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Escaped for text and attributes; characters XML 1.0 does not allow become U+FFFD.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in clean(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

fn paint(pen: Option<Pen>, fill: Option<Ink>) -> String {
    let mut s = match fill {
        Some(ink) => format!(" fill=\"{}\"", colour(ink)),
        None => " fill=\"none\"".to_owned(),
    };
    if let Some(p) = pen {
        s += &format!(
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
            colour(p.ink),
            num(p.width)
        );
        if !p.dash.pattern().is_empty() {
            let on_off: Vec<String> = p.dash.pattern().iter().map(|v| num(*v)).collect();
            s += &format!(" stroke-dasharray=\"{}\"", on_off.join(" "));
        }
    }
    s
}

fn points(points: &[Pt]) -> String {
    points
        .iter()
        .map(|p| format!("{},{}", num(p.x), num(p.y)))
        .collect::<Vec<_>>()
        .join(" ")
}

fn item(s: &mut String, item: &Item) {
    match item {
        Item::Line { from, to, pen } => put(
            s,
            format_args!(
                "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>\n",
                num(from.x),
                num(from.y),
                num(to.x),
                num(to.y),
                paint(Some(*pen), None)
            ),
        ),
        Item::Polyline { points: p, pen } => {
            put(
                s,
                format_args!(
                    "<polyline points=\"{}\"{}/>\n",
                    points(p),
                    paint(Some(*pen), None)
                ),
            );
        }
        Item::Polygon {
            points: p,
            pen,
            fill,
        } => {
            put(
                s,
                format_args!(
                    "<polygon points=\"{}\"{}/>\n",
                    points(p),
                    paint(*pen, *fill)
                ),
            );
        }
        Item::Rect {
            at,
            w,
            h,
            radius,
            pen,
            fill,
        } => put(
            s,
            format_args!(
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" rx=\"{}\"{}/>\n",
                num(at.x),
                num(at.y),
                num(w.max(0.0)),
                num(h.max(0.0)),
                num(radius.max(0.0)),
                paint(*pen, *fill)
            ),
        ),
        Item::Circle {
            centre,
            radius,
            pen,
            fill,
        } => put(
            s,
            format_args!(
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>\n",
                num(centre.x),
                num(centre.y),
                num(radius.max(0.0)),
                paint(*pen, *fill)
            ),
        ),
        Item::Text(t) => text(s, t),
    }
}

fn text(s: &mut String, t: &crate::page::Text) {
    let anchor = match t.align {
        Align::Left => "start",
        Align::Centre => "middle",
        Align::Right => "end",
    };
    let weight = if t.face == Face::Bold {
        " font-weight=\"bold\""
    } else {
        ""
    };
    let turn = if t.turn == 0.0 {
        String::new()
    } else {
        // SVG turns clockwise for positive angles, y being down.
        format!(
            " transform=\"rotate({} {} {})\"",
            num(-t.turn.to_degrees()),
            num(t.x),
            num(t.y)
        )
    };
    // The length measured with the embedded face holds where B612 is not installed, so texts cannot collide.
    let w = width(&t.text, t.face, t.size_pt);
    let length = if w > 0.0 {
        format!(" textLength=\"{}\"", num(w))
    } else {
        String::new()
    };
    put(
        s,
        format_args!(
            "<text x=\"{}\" y=\"{}\" font-family=\"{FAMILY}\" font-size=\"{}\"{weight} text-anchor=\"{anchor}\" \
             xml:space=\"preserve\" fill=\"{}\"{length}{turn}>{}</text>\n",
            num(t.x),
            num(t.y),
            num(t.size_pt * MM_PER_PT),
            colour(t.ink),
            escape(&t.text)
        ),
    );
}

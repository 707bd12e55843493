//! Widths of text in the two embedded faces, wrapping, and the choice of font for each character.
//!
//! The text face is B612 (OFL); a character it lacks comes from DejaVu Sans Condensed; a character both
//! lack is drawn as U+FFFD, the replacement mark. Text is set from left to right without kerning or
//! ligatures, one glyph per character, so that a width measured here is the width printed.

use crate::page::{Face, MM_PER_PT};
use std::borrow::Cow;
use std::sync::OnceLock;
use ttf_parser::GlyphId;

/// An embedded font file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FontId {
    /// B612 Regular.
    Regular,
    /// B612 Bold.
    Bold,
    /// DejaVu Sans Condensed.
    FallbackRegular,
    /// DejaVu Sans Condensed Bold.
    FallbackBold,
}

macro_rules! font_file {
    ($name:literal) => {
        include_bytes!(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../assets/fonts/",
            $name
        ))
    };
}

impl FontId {
    /// Every font, in the order of its index.
    pub const ALL: [FontId; 4] = [
        FontId::Regular,
        FontId::Bold,
        FontId::FallbackRegular,
        FontId::FallbackBold,
    ];

    /// The font file's bytes.
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            FontId::Regular => font_file!("B612-Regular.otf"),
            FontId::Bold => font_file!("B612-Bold.otf"),
            FontId::FallbackRegular => font_file!("DejaVuSansCondensed.ttf"),
            FontId::FallbackBold => font_file!("DejaVuSansCondensed-Bold.ttf"),
        }
    }

    /// The font's name, for messages.
    pub const fn name(self) -> &'static str {
        match self {
            FontId::Regular => "B612 Regular",
            FontId::Bold => "B612 Bold",
            FontId::FallbackRegular => "DejaVu Sans Condensed",
            FontId::FallbackBold => "DejaVu Sans Condensed Bold",
        }
    }

    const fn chain(face: Face) -> [FontId; 2] {
        match face {
            Face::Regular => [FontId::Regular, FontId::FallbackRegular],
            Face::Bold => [FontId::Bold, FontId::FallbackBold],
        }
    }

    fn parsed(self) -> Option<&'static ttf_parser::Face<'static>> {
        static PARSED: OnceLock<[Option<ttf_parser::Face<'static>>; 4]> = OnceLock::new();
        PARSED.get_or_init(|| FontId::ALL.map(|f| ttf_parser::Face::parse(f.bytes(), 0).ok()))
            [self as usize]
            .as_ref()
    }
}

/// One character as it is set: which font, which glyph, how far it moves on, what it covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glyph {
    /// Font the glyph comes from.
    pub font: FontId,
    /// Glyph number in that font.
    pub id: u16,
    /// Advance, em.
    pub advance: f64,
    /// Inked box, em, y up from the baseline: left, bottom, right, top. `None` for a space.
    pub ink: Option<[f64; 4]>,
}

/// A piece of text from one font.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The font.
    pub font: FontId,
    /// The characters (already cleaned).
    pub text: String,
    /// One glyph for each character.
    pub glyphs: Vec<Glyph>,
    /// Sum of advances, em.
    pub width_em: f64,
}

const REPLACEMENT: char = '\u{fffd}';

/// Characters that steer layout and have no shape of their own; left out of the print.
fn is_invisible(c: char) -> bool {
    matches!(c,
        '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

fn lookup(face: Face, c: char) -> Option<Glyph> {
    FontId::chain(face).into_iter().find_map(|font| {
        let f = font.parsed()?;
        let id = f.glyph_index(c).filter(|g| *g != GlyphId(0))?;
        let em = f64::from(f.units_per_em());
        Some(Glyph {
            font,
            id: id.0,
            advance: f64::from(f.glyph_hor_advance(id)?) / em,
            ink: f
                .glyph_bounding_box(id)
                .map(|b| [b.x_min, b.y_min, b.x_max, b.y_max].map(|v| f64::from(v) / em)),
        })
    })
}

/// The glyph that is drawn for a character, the replacement mark where no font has it.
///
/// `None` only if the embedded fonts cannot be read at all.
pub fn glyph(face: Face, c: char) -> Option<Glyph> {
    // Plain text is most of what is measured: its glyphs are looked up once.
    static PLAIN: OnceLock<[Vec<Option<Glyph>>; 2]> = OnceLock::new();
    let plain = PLAIN.get_or_init(|| {
        [Face::Regular, Face::Bold].map(|f| (0u8..128).map(|c| lookup(f, char::from(c))).collect())
    });
    match plain[face as usize].get(c as usize) {
        Some(Some(g)) => Some(*g),
        _ => lookup(face, c).or_else(|| lookup(face, REPLACEMENT)),
    }
}

/// The text as it is drawn: control characters become spaces, invisible layout characters are left out,
/// characters no embedded font has become U+FFFD.
pub fn clean(text: &str) -> Cow<'_, str> {
    let odd = |c: char| {
        c.is_control() || is_invisible(c) || (!c.is_ascii() && lookup(Face::Regular, c).is_none())
    };
    if !text.chars().any(odd) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(
        text.chars()
            .filter(|c| !is_invisible(*c))
            .map(|c| match c {
                c if c.is_control() => ' ',
                c if c.is_ascii() || lookup(Face::Regular, c).is_some() => c,
                _ => REPLACEMENT,
            })
            .collect(),
    )
}

/// Characters of the text that no embedded font has, each once, in order of first use.
pub fn missing(text: &str) -> Vec<char> {
    let mut out = Vec::new();
    for c in text.chars() {
        if !c.is_control()
            && !is_invisible(c)
            && lookup(Face::Regular, c).is_none()
            && !out.contains(&c)
        {
            out.push(c);
        }
    }
    out
}

/// Splits a text into runs of one font each, cleaned.
pub fn runs(text: &str, face: Face) -> Vec<Run> {
    let mut out: Vec<Run> = Vec::new();
    for c in clean(text).chars() {
        let Some(g) = glyph(face, c) else { continue };
        match out.last_mut() {
            Some(run) if run.font == g.font => {
                run.text.push(c);
                run.glyphs.push(g);
                run.width_em += g.advance;
            }
            _ => out.push(Run {
                font: g.font,
                text: c.to_string(),
                glyphs: vec![g],
                width_em: g.advance,
            }),
        }
    }
    out
}

fn width_em(text: &str, face: Face) -> f64 {
    clean(text)
        .chars()
        .filter_map(|c| glyph(face, c))
        .map(|g| g.advance)
        .sum()
}

/// Width of one line of text, mm.
pub fn width(text: &str, face: Face, size_pt: f64) -> f64 {
    width_em(text, face) * size_pt * MM_PER_PT
}

/// The box the ink of a text fills, mm, relative to the left end of the baseline, y **down**:
/// left, top, right, bottom. `None` when nothing is inked.
pub fn ink_box(text: &str, face: Face, size_pt: f64) -> Option<[f64; 4]> {
    let (mut at, mut out) = (0.0, None::<[f64; 4]>);
    for g in clean(text).chars().filter_map(|c| glyph(face, c)) {
        if let Some([l, b, r, t]) = g.ink {
            let o = out.get_or_insert([at + l, -t, at + r, -b]);
            *o = [
                o[0].min(at + l),
                o[1].min(-t),
                o[2].max(at + r),
                o[3].max(-b),
            ];
        }
        at += g.advance;
    }
    out.map(|o| o.map(|v| v * size_pt * MM_PER_PT))
}

/// Distance between the baselines of a paragraph, mm.
pub fn leading(size_pt: f64) -> f64 {
    1.36 * size_pt * MM_PER_PT
}

/// Height of the capitals and figures of B612, mm (its capitals are 0.73 em high; a test measures them).
pub fn cap_height(size_pt: f64) -> f64 {
    0.73 * size_pt * MM_PER_PT
}

/// Wraps a text to lines no wider than `width_mm`.
///
/// Breaks at spaces; `\n` starts a new line; a word wider than the line is broken between characters.
/// Every line holds at least one character, so the call ends for any width. An empty text gives one
/// empty line.
pub fn wrap(text: &str, face: Face, size_pt: f64, width_mm: f64) -> Vec<String> {
    let room = width_mm / (size_pt * MM_PER_PT) + 1e-9;
    let adv = |c: char| glyph(face, c).map_or(0.0, |g| g.advance);
    let mut out = Vec::new();
    for para in text.split('\n') {
        let para = clean(para);
        let (mut line, mut w) = (String::new(), 0.0);
        for word in para.split(' ').filter(|w| !w.is_empty()) {
            let word_w: f64 = word.chars().map(adv).sum();
            let gap = if line.is_empty() { 0.0 } else { adv(' ') };
            if !line.is_empty() && w + gap + word_w > room {
                out.push(std::mem::take(&mut line));
                w = 0.0;
            } else if gap > 0.0 {
                line.push(' ');
                w += gap;
            }
            for c in word.chars() {
                if w + adv(c) > room && !line.is_empty() {
                    out.push(std::mem::take(&mut line));
                    w = 0.0;
                }
                line.push(c);
                w += adv(c);
            }
        }
        out.push(line);
    }
    out
}

/// Wraps to at most `max_lines` lines; what does not fit is cut and ends in "…".
pub fn wrap_to(
    text: &str,
    face: Face,
    size_pt: f64,
    width_mm: f64,
    max_lines: usize,
) -> Vec<String> {
    let mut lines = wrap(text, face, size_pt, width_mm);
    if lines.len() > max_lines.max(1) {
        lines.truncate(max_lines.max(1));
        if let Some(last) = lines.last_mut() {
            last.push('…');
            *last = fit(last, face, size_pt, width_mm);
        }
    }
    lines
}

/// The text if it fits into `width_mm`, else its beginning with "…".
pub fn fit(text: &str, face: Face, size_pt: f64, width_mm: f64) -> String {
    let text = clean(text);
    let room = width_mm / (size_pt * MM_PER_PT) + 1e-9;
    if width_em(&text, face) <= room {
        return text.into_owned();
    }
    let adv = |c: char| glyph(face, c).map_or(0.0, |g| g.advance);
    let mut w = adv('…');
    let mut out = String::new();
    for c in text.chars() {
        w += adv(c);
        if w > room {
            break;
        }
        out.push(c);
    }
    let mut out = out.trim_end_matches([' ', '…']).to_owned();
    out.push('…');
    out
}

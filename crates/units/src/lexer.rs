//! A typed text cut into numbers, fraction lines, signs and units.

use crate::error::Reason;
use crate::number::{Number, Rational};
use crate::table::canonical;

/// A piece of the text and where it starts (byte offset).
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Token {
    pub(crate) at: usize,
    pub(crate) piece: Piece,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Piece {
    /// A decimal or whole number.
    Number {
        value: Number,
        /// The value of a plain run of digits.
        whole: Option<u128>,
        /// Whether a blank stands before it.
        blank_before: bool,
    },
    /// ½ and its like.
    Vulgar { top: u128, bottom: u128 },
    /// The line of a fraction.
    Line,
    /// Plus or minus, with the blanks around it.
    Sign {
        minus: bool,
        blank_before: bool,
        blank_after: bool,
    },
    /// A unit as written and in the table's form.
    Unit { raw: String, name: String },
}

/// A fault and where it is.
pub(crate) type Fault = (usize, Reason);

fn is_minus(c: char) -> bool {
    matches!(c, '-' | '−' | '–' | '‐' | '‑' | '﹣' | '－')
}

fn is_line(c: char) -> bool {
    matches!(c, '/' | '⁄' | '∕')
}

fn vulgar(c: char) -> Option<(u128, u128)> {
    Some(match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}

fn starts_number(rest: &str) -> bool {
    let mut chars = rest.chars();
    match chars.next() {
        Some(c) if c.is_ascii_digit() || vulgar(c).is_some() => true,
        Some('.') => chars.next().is_some_and(|c| c.is_ascii_digit()),
        _ => false,
    }
}

/// Cuts a text into tokens.
pub(crate) fn lex(text: &str) -> Result<Vec<Token>, Fault> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let rest = &text[at..];
        let after = &rest[c.len_utf8()..];
        let blank_before = text[..at].ends_with(char::is_whitespace);
        let (piece, length) = if c.is_whitespace() {
            at += c.len_utf8();
            continue;
        } else if let Some((top, bottom)) = vulgar(c) {
            (Piece::Vulgar { top, bottom }, c.len_utf8())
        } else if starts_number(rest) {
            number(rest, at, blank_before)?
        } else if c == ',' {
            return Err((at, Reason::Comma));
        } else if is_line(c)
            && after.trim_start().starts_with(|c: char| c.is_ascii_digit())
            && matches!(
                tokens.last(),
                Some(Token {
                    piece: Piece::Number { .. },
                    ..
                })
            )
        {
            (Piece::Line, c.len_utf8())
        } else if c == '+' || is_minus(c) {
            let piece = Piece::Sign {
                minus: c != '+',
                blank_before,
                blank_after: after.starts_with(char::is_whitespace),
            };
            (piece, c.len_utf8())
        } else {
            let length = unit_length(rest);
            let raw = rest[..length].trim_end().to_owned();
            let name = canonical(&raw);
            if name.is_empty() {
                return Err((at, Reason::NotANumber { found: raw }));
            }
            (Piece::Unit { raw, name }, length)
        };
        tokens.push(Token { at, piece });
        at += length;
    }
    Ok(tokens)
}

/// A number at the start of `rest`: digits, a point, an exponent.
fn number(rest: &str, at: usize, blank_before: bool) -> Result<(Piece, usize), Fault> {
    let bytes = rest.as_bytes();
    let run = |from: usize| {
        bytes[from..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count()
    };
    let whole_length = run(0);
    let mut length = whole_length;
    let mut digits = rest[..whole_length].to_owned();
    let mut exponent = 0_i32;
    if bytes.get(length) == Some(&b'.') {
        let places = run(length + 1);
        digits.push_str(&rest[length + 1..length + 1 + places]);
        exponent = -i32::try_from(places).unwrap_or(0);
        length += 1 + places;
    }
    if matches!(bytes.get(length), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(length + 1), Some(b'+' | b'-')));
        let count = run(length + 1 + sign);
        if count > 0 {
            let written = &rest[length + 1..length + 1 + sign + count];
            // Beyond i32 the value is 0 or infinite either way.
            let limit = if written.starts_with('-') {
                -100_000
            } else {
                100_000
            };
            exponent = exponent.saturating_add(written.parse::<i32>().unwrap_or(limit));
            length += 1 + sign + count;
        }
    }
    match rest[length..].chars().next() {
        Some(',') => return Err((at + length, Reason::Comma)),
        Some('.') => {
            let found = rest.split_whitespace().next().unwrap_or(rest);
            return Err((
                at,
                Reason::NotANumber {
                    found: found.to_owned(),
                },
            ));
        }
        _ => {}
    }
    let whole = if length == whole_length {
        digits.parse().ok()
    } else {
        None
    };
    let value = Number::decimal(&digits, exponent);
    Ok((
        Piece::Number {
            value,
            whole,
            blank_before,
        },
        length,
    ))
}

/// Bytes of the unit at the start of `rest`: up to a sign, a comma, or a digit that begins a
/// number (one that does not follow a letter: `in3`, `m/s^2`).
fn unit_length(rest: &str) -> usize {
    let mut previous = ' ';
    for (i, c) in rest.char_indices() {
        let after = &rest[i + c.len_utf8()..];
        let ends = if c.is_ascii_digit() {
            !(previous.is_alphabetic() || previous == '^')
        } else if vulgar(c).is_some() {
            true
        } else if is_minus(c) {
            previous.is_whitespace()
                || after.is_empty()
                || after.starts_with(char::is_whitespace)
                || starts_number(after)
        } else {
            c == '+' || c == ','
        };
        if ends && i > 0 {
            return i;
        }
        previous = c;
    }
    rest.len()
}

/// `top`/`bottom` as an exact number.
pub(crate) fn ratio(top: u128, bottom: u128) -> Result<Rational, Reason> {
    if bottom == 0 {
        return Err(Reason::ZeroDenominator);
    }
    let (Ok(top), Ok(bottom)) = (i128::try_from(top), i128::try_from(bottom)) else {
        return Err(Reason::NotFinite);
    };
    Rational::new(top, bottom).ok_or(Reason::ZeroDenominator)
}

//! Reading quantities.
//!
//! Grammar: a sum of terms; a term is an optional sign and an amount with its unit;
//! feet may be followed by inches. An amount is a decimal (`12.625`, `1.2e3`), a
//! fraction (`5/8`, `⅝`) or a whole number with a fraction (`12 5/8`, `12-5/8`, `12⅝`).
//! A term of a sum without a unit takes the unit of the next term that has one, else
//! of the one before.

use crate::error::{ParseError, Reason};
use crate::lexer::{Fault, Piece, Token, lex, ratio};
use crate::number::{Number, Rational, Si};
use crate::table::{Scale, Unit, accepted, find, kind_of, nearest};
use crate::{Kind, Quantity, Shop, format::display_unit};

/// Longest text read as one quantity, characters.
pub const MAX_CHARS: usize = 64;
/// Most terms in a sum.
pub const MAX_TERMS: usize = 8;

/// Reads a quantity that carries its unit; returns the SI value.
///
/// Plain numbers are read as such only for kinds that have no unit of their own
/// ([`Kind::plain`]): `"1.17"` and `"117 %"` are the same ratio.
///
/// # Errors
/// A [`ParseError`] saying what is wrong and what to write instead.
pub fn parse(kind: Kind, text: &str) -> Result<f64, ParseError> {
    let plain = if kind.plain() {
        accepted(kind).iter().find(|unit| unit.name.is_empty())
    } else {
        None
    };
    read(kind, text, plain)
}

/// Reads what was typed into a field: a bare number takes the shop's display unit.
///
/// `"3/16"` in a length field is inches in an inch-pound shop and millimetres in an
/// SI shop; `"117"` in a ratio field that shows per cent is 117 %.
///
/// # Errors
/// As [`parse`].
pub fn parse_typed(kind: Kind, text: &str, shop: &Shop) -> Result<f64, ParseError> {
    read(kind, text, Some(display_unit(kind, shop)))
}

/// Reads a quantity whose kind follows from its unit; a bare number is a count.
///
/// Spellings shared by several kinds mean the first of [`Kind::ALL`]: `lb` is a mass
/// (write `lbf` for a force), `g` an acceleration, `%` a ratio.
///
/// # Errors
/// As [`parse`].
pub fn parse_any(text: &str) -> Result<Quantity, ParseError> {
    let kind = match lex(text.get(..4 * MAX_CHARS).unwrap_or(text)) {
        Ok(tokens) => tokens.iter().rev().find_map(|token| match &token.piece {
            Piece::Unit { name, .. } => kind_of(name),
            _ => None,
        }),
        Err(_) => None,
    };
    let si = match kind {
        Some(kind) => parse(kind, text)?,
        None => read_plain(text)?,
    };
    Ok(Quantity {
        kind: kind.unwrap_or(Kind::Count),
        si,
    })
}

/// A text in which no unit is known.
fn read_plain(text: &str) -> Result<f64, ParseError> {
    parse(Kind::Count, text).map_err(|mut error| {
        if let Reason::UnknownUnit {
            unit,
            nearest: near,
        } = &mut error.reason
        {
            *near = nearest(&Kind::ALL, &crate::table::canonical(unit));
        }
        error.example = Kind::Length.example();
        error
    })
}

fn read(kind: Kind, text: &str, default: Option<&'static Unit>) -> Result<f64, ParseError> {
    read_terms(kind, text, default).map_err(|(at, reason)| ParseError {
        text: text.chars().take(MAX_CHARS).collect(),
        at,
        reason,
        example: kind.example(),
    })
}

fn read_terms(
    kind: Kind,
    text: &str,
    default: Option<&'static Unit>,
) -> Result<f64, (Option<usize>, Reason)> {
    if text.trim().is_empty() {
        return Err((None, Reason::Empty));
    }
    let chars = text.chars().count();
    if chars > MAX_CHARS {
        let limit = MAX_CHARS;
        return Err((None, Reason::TooLong { chars, limit }));
    }
    let tokens = lex(text).map_err(placed)?;
    let terms = Reader::new(kind, text, &tokens).terms().map_err(placed)?;
    if terms.len() > 1 && kind == Kind::Temperature {
        return Err((None, Reason::NoSum { kind }));
    }
    // Terms without a unit look to the next one that has it, then back, then to the default.
    let mut sum: Option<Si> = None;
    for (i, term) in terms.iter().enumerate() {
        let after = || terms[i..].iter().find_map(|term| term.unit);
        let before = || terms[..i].iter().rev().find_map(|term| term.unit);
        let unit = after()
            .or_else(before)
            .or(default)
            .ok_or((None, Reason::MissingUnit { kind }))?;
        let scale = term.feet_scale.unwrap_or(unit.scale);
        let mut value = term.first.to_si(scale);
        if let Some(inches) = &term.inches {
            value = value.plus(inches.to_si(INCH));
        }
        // A temperature's sign belongs to the number, before its zero is shifted.
        value = match (scale, term.negative) {
            (Scale::Shifted { .. }, true) => term.first.negated().to_si(scale),
            (_, negative) => value.signed(negative),
        };
        sum = Some(match sum {
            Some(sum) => sum.plus(value),
            None => value,
        });
    }
    let value = sum.map_or(f64::NAN, Si::to_f64);
    if value.is_finite() {
        Ok(value)
    } else {
        Err((None, Reason::NotFinite))
    }
}

const INCH: Scale = Scale::Ratio {
    num: 254,
    den: 10_000,
};

fn placed((at, reason): Fault) -> (Option<usize>, Reason) {
    (Some(at), reason)
}

/// One term of the sum.
struct Term {
    negative: bool,
    first: Number,
    /// Set when `first` is feet and inches follow.
    feet_scale: Option<Scale>,
    inches: Option<Number>,
    /// The unit the last amount carries.
    unit: Option<&'static Unit>,
}

struct Reader<'a> {
    kind: Kind,
    text: &'a str,
    tokens: &'a [Token],
    next: usize,
}

impl<'a> Reader<'a> {
    fn new(kind: Kind, text: &'a str, tokens: &'a [Token]) -> Self {
        Self {
            kind,
            text,
            tokens,
            next: 0,
        }
    }

    fn peek(&self, ahead: usize) -> Option<&'a Piece> {
        self.tokens.get(self.next + ahead).map(|token| &token.piece)
    }

    fn at(&self) -> usize {
        self.tokens
            .get(self.next)
            .map_or(self.text.len(), |token| token.at)
    }

    fn terms(mut self) -> Result<Vec<Term>, Fault> {
        let mut terms = Vec::new();
        let mut negative = self.leading_sign();
        loop {
            terms.push(self.term(negative)?);
            if terms.len() > MAX_TERMS {
                return Err((self.at(), Reason::TooManyTerms { limit: MAX_TERMS }));
            }
            match self.peek(0) {
                None => return Ok(terms),
                Some(Piece::Sign {
                    minus,
                    blank_before,
                    blank_after,
                }) => {
                    // Feet, a dash and inches is also how feet and inches are written.
                    let after_feet = terms
                        .last()
                        .is_some_and(|term| term.inches.is_none() && is_feet(term.unit));
                    if *minus && after_feet {
                        return Err((self.at(), Reason::FeetDash));
                    }
                    if *minus && (!blank_before || !blank_after) {
                        return Err((self.at(), Reason::AmbiguousDash));
                    }
                    negative = *minus;
                    self.next += 1;
                }
                Some(Piece::Number { .. } | Piece::Vulgar { .. }) => {
                    return Err((self.at(), Reason::TwoNumbers));
                }
                Some(Piece::Line) => return Err((self.at(), Reason::NotAFraction)),
                Some(Piece::Unit { raw, .. }) => {
                    let unit = raw.clone();
                    return Err((
                        self.at(),
                        Reason::UnknownUnit {
                            unit,
                            nearest: None,
                        },
                    ));
                }
            }
        }
    }

    fn leading_sign(&mut self) -> bool {
        if let Some(Piece::Sign { minus, .. }) = self.peek(0) {
            self.next += 1;
            return *minus;
        }
        false
    }

    fn term(&mut self, negative: bool) -> Result<Term, Fault> {
        let first = self.amount()?;
        let unit = self.unit()?;
        let mut term = Term {
            negative,
            first,
            feet_scale: None,
            inches: None,
            unit,
        };
        if self.kind == Kind::Length && is_feet(unit) {
            let joined = matches!(
                self.peek(0),
                Some(Piece::Sign {
                    minus: true,
                    blank_before: false,
                    blank_after: false
                })
            );
            let number = self.peek(usize::from(joined));
            if matches!(number, Some(Piece::Number { .. } | Piece::Vulgar { .. })) {
                self.next += usize::from(joined);
                term.feet_scale = unit.map(|unit| unit.scale);
                term.inches = Some(self.amount()?);
                let at = self.at();
                let written = self.unit()?;
                if written.is_some_and(|unit| unit.scale != INCH) {
                    return Err((at, Reason::TwoNumbers));
                }
                term.unit = accepted(Kind::Length)
                    .iter()
                    .find(|unit| unit.scale == INCH);
            }
        }
        Ok(term)
    }

    /// A decimal, a fraction, or a whole number with a fraction.
    fn amount(&mut self) -> Result<Number, Fault> {
        let at = self.at();
        match self.peek(0) {
            Some(Piece::Vulgar { top, bottom }) => {
                self.next += 1;
                let part = ratio(*top, *bottom).map_err(|reason| (at, reason))?;
                Ok(Number::Ratio(part))
            }
            Some(Piece::Number { value, whole, .. }) => {
                self.next += 1;
                if let Some(Piece::Line) = self.peek(0) {
                    let (part, ..) = self.fraction(*whole, at)?;
                    return Ok(Number::Ratio(part));
                }
                self.joined_fraction(value, *whole)
            }
            Some(Piece::Unit { raw, .. }) => Err((at, Reason::NotANumber { found: raw.clone() })),
            Some(Piece::Line) => Err((at, Reason::NotAFraction)),
            Some(Piece::Sign { .. }) | None => {
                let after = self.text[..at].trim();
                let found = self.text.trim();
                Err(if after.is_empty() {
                    (
                        at,
                        Reason::NotANumber {
                            found: found.to_owned(),
                        },
                    )
                } else {
                    (
                        at,
                        Reason::MissingNumber {
                            after: after.to_owned(),
                        },
                    )
                })
            }
        }
    }

    /// After a number: its fraction, when one follows.
    fn joined_fraction(&mut self, value: &Number, whole: Option<u128>) -> Result<Number, Fault> {
        let dash = match self.peek(0) {
            Some(Piece::Sign {
                minus: true,
                blank_before,
                blank_after,
            }) => {
                if *blank_before && *blank_after {
                    return Ok(value.clone());
                }
                let fraction_follows = matches!(
                    (self.peek(1), self.peek(2)),
                    (Some(Piece::Number { .. }), Some(Piece::Line))
                        | (Some(Piece::Vulgar { .. }), _)
                );
                if *blank_before || *blank_after || whole.is_none() || !fraction_follows {
                    return Err((self.at(), Reason::AmbiguousDash));
                }
                1
            }
            _ => 0,
        };
        let at = self
            .tokens
            .get(self.next + dash)
            .map_or(0, |token| token.at);
        let (part, top, bottom) = match (self.peek(dash), self.peek(dash + 1)) {
            (Some(Piece::Vulgar { top, bottom }), _) => {
                self.next += dash + 1;
                let part = ratio(*top, *bottom).map_err(|reason| (at, reason))?;
                (part, *top, *bottom)
            }
            (Some(Piece::Number { whole: top, .. }), Some(Piece::Line)) => {
                self.next += dash + 1;
                self.fraction(*top, at)?
            }
            _ => return Ok(value.clone()),
        };
        let Some(whole) = whole else {
            return Err((at, Reason::TwoNumbers));
        };
        if top >= bottom {
            return Err((at, Reason::ImproperFraction { top, bottom }));
        }
        i128::try_from(whole)
            .ok()
            .and_then(|whole| Rational::new(whole, 1))
            .and_then(|whole| whole.plus(part))
            .map(Number::Ratio)
            .ok_or((at, Reason::NotFinite))
    }

    /// The line and the lower number, the upper one already read.
    fn fraction(&mut self, top: Option<u128>, at: usize) -> Result<(Rational, u128, u128), Fault> {
        self.next += 1;
        let below = self.at();
        let bottom = match self.peek(0) {
            Some(Piece::Number { whole, .. }) => *whole,
            _ => None,
        };
        self.next += 1;
        let (Some(top), Some(bottom)) = (top, bottom) else {
            return Err((at, Reason::NotAFraction));
        };
        let part = ratio(top, bottom).map_err(|reason| (below, reason))?;
        Ok((part, top, bottom))
    }

    /// The unit that follows an amount, if any.
    fn unit(&mut self) -> Result<Option<&'static Unit>, Fault> {
        let Some(Piece::Unit { raw, name }) = self.peek(0) else {
            return Ok(None);
        };
        if let Some(unit) = find(self.kind, name) {
            self.next += 1;
            return Ok(Some(unit));
        }
        let unit = raw.clone();
        Err((
            self.at(),
            match kind_of(name) {
                Some(is) => Reason::WrongKind {
                    unit,
                    is,
                    needed: self.kind,
                },
                None => Reason::UnknownUnit {
                    unit,
                    nearest: nearest(&[self.kind], name),
                },
            },
        ))
    }
}

fn is_feet(unit: Option<&'static Unit>) -> bool {
    unit.is_some_and(|unit| unit.name == "ft")
}

//! Why a text is not a quantity, and what to write instead.

use crate::Kind;
use thiserror::Error;

/// A text that could not be read as a quantity.
///
/// Its message quotes the text, says what is wrong and gives a correct example.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("\"{text}\": {reason}; write it like \"{example}\"")]
pub struct ParseError {
    /// The text as given, cut to the length limit.
    pub text: String,
    /// Byte offset in `text` of the place in question, where one place is at fault.
    pub at: Option<usize>,
    /// What is wrong.
    pub reason: Reason,
    /// A correct spelling of the kind asked for.
    pub example: &'static str,
}

/// What is wrong with a text.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Reason {
    /// Nothing but blanks.
    #[error("nothing is written here")]
    Empty,
    /// Longer than any quantity.
    #[error("{chars} characters is too long for one quantity (at most {limit})")]
    TooLong {
        /// Characters found.
        chars: usize,
        /// Characters allowed.
        limit: usize,
    },
    /// No number where one must stand.
    #[error("\"{found}\" is not a number")]
    NotANumber {
        /// What stands there.
        found: String,
    },
    /// The text or a part of it ends before its number.
    #[error("a number is missing after \"{after}\"")]
    MissingNumber {
        /// What stands before the gap.
        after: String,
    },
    /// A number without a unit where one is needed.
    #[error("a bare number where {} is needed", kind.noun())]
    MissingUnit {
        /// The kind needed.
        kind: Kind,
    },
    /// A unit no kind knows.
    #[error("\"{unit}\" is not a unit known here{}", nearest.map(|n| format!(" (did you mean \"{n}\"?)")).unwrap_or_default())]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// The closest spelling known, if any is close.
        nearest: Option<&'static str>,
    },
    /// A unit of another kind.
    #[error("{unit} is {}, {} is needed", is.noun(), needed.noun())]
    WrongKind {
        /// The unit as written.
        unit: String,
        /// What it measures.
        is: Kind,
        /// What is needed.
        needed: Kind,
    },
    /// n/0.
    #[error("a fraction cannot have 0 below the line")]
    ZeroDenominator,
    /// A fraction of anything but whole numbers.
    #[error("a fraction takes whole numbers above and below the line")]
    NotAFraction,
    /// 12 9/8.
    #[error("{top}/{bottom} after a whole number is more than one whole")]
    ImproperFraction {
        /// Above the line.
        top: u128,
        /// Below the line.
        bottom: u128,
    },
    /// 12 13 in.
    #[error("two numbers stand side by side")]
    TwoNumbers,
    /// 12,5.
    #[error("a comma is not used here: the decimal mark is a point")]
    Comma,
    /// 12-5, 12 -5/8.
    #[error(
        "the dash could join or subtract: put a blank on both sides to subtract, \
         none to join a whole number and its fraction"
    )]
    AmbiguousDash,
    /// 5' - 6".
    #[error(
        "after feet a dash could join or subtract: leave it out to join (1' 2\"), \
         or write both in inches to subtract"
    )]
    FeetDash,
    /// A sum of more terms than allowed.
    #[error("too many terms (at most {limit})")]
    TooManyTerms {
        /// Terms allowed.
        limit: usize,
    },
    /// Temperatures, whose zero is arbitrary, do not add.
    #[error("{} cannot be written as a sum", kind.noun())]
    NoSum {
        /// The kind asked for.
        kind: Kind,
    },
    /// Beyond the range of the machine's numbers.
    #[error("the number is too large")]
    NotFinite,
}

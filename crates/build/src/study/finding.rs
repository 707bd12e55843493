//! Findings: remarks about the build, worst first.

use super::Phrase;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The build can not go on like this.
    Error,
    /// Look at it before the next phase.
    Warning,
    /// Worth knowing.
    Remark,
}

impl Severity {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Remark => "remark",
        }
    }
}

/// What a finding is about; the window jumps there.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Part {
    /// The build as a whole.
    Build,
    /// A field, a point or a part of the document, by path.
    Field(&'static str),
    /// A bracket, by id.
    Bracket(String),
    /// A link, by id.
    Link(String),
    /// A coil-over, by id.
    Coilover(String),
    /// The driveshaft.
    Driveshaft,
    /// A part of the body around the wheels, by id.
    Body(String),
    /// A reading, by id.
    Reading(String),
    /// A joint, by id.
    Joint(String),
    /// A node of the assembly, by id.
    Node(String),
    /// A tube, by id.
    Tube(String),
    /// A plate, by id.
    Plate(String),
    /// A control dimension, by id.
    Dimension(String),
    /// A coupon, by id.
    Coupon(String),
    /// Correction beads, by id.
    Correction(String),
    /// A phase, by id.
    Phase(String),
    /// A check: phase id, check id.
    Check(String, String),
}

impl std::fmt::Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Build => f.write_str("build"),
            Self::Field(id) => f.write_str(id),
            Self::Bracket(id) => write!(f, "bracket {id}"),
            Self::Link(id) => write!(f, "link {id}"),
            Self::Coilover(id) => write!(f, "coil-over {id}"),
            Self::Driveshaft => f.write_str("driveshaft"),
            Self::Body(id) => write!(f, "body {id}"),
            Self::Reading(id) => f.write_str(id),
            Self::Joint(id) => write!(f, "joint {id}"),
            Self::Node(id) => write!(f, "node {id}"),
            Self::Tube(id) => write!(f, "tube {id}"),
            Self::Plate(id) => write!(f, "plate {id}"),
            Self::Dimension(id) => write!(f, "dimension {id}"),
            Self::Coupon(id) => write!(f, "coupon {id}"),
            Self::Correction(id) => write!(f, "correction {id}"),
            Self::Phase(id) => write!(f, "phase {id}"),
            Self::Check(phase, id) => write!(f, "check {phase}/{id}"),
        }
    }
}

/// A remark about the build.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// How bad.
    pub severity: Severity,
    /// About what.
    pub part: Part,
    /// One sentence.
    pub text: Phrase,
    /// The next step.
    pub next: Phrase,
}

impl Finding {
    /// What and what next, as two sentences.
    pub fn sentences(&self, shop: &units::Shop) -> String {
        let next = self.next.show(shop);
        let stop = if next.ends_with(['.', '?', '!']) {
            ""
        } else {
            "."
        };
        format!("{}. {next}{stop}", self.text.show(shop))
    }

    pub(super) fn new(
        severity: Severity,
        part: Part,
        text: impl Into<Phrase>,
        next: impl Into<Phrase>,
    ) -> Self {
        Self {
            severity,
            part,
            text: text.into(),
            next: next.into(),
        }
    }
}

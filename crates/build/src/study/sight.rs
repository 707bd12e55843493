//! What is looked at while a hand moves a part.

/// What a page shows while something on it is moved by hand.
///
/// What is out of sight may wait until the hand rests: it stays as it was worked out last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sight {
    /// Everything there is.
    Whole,
    /// How the rear axle moves on its links.
    RearLinks,
    /// That, and the balances, the coil-overs, the driveshaft's angles.
    RearAxle,
    /// That, and the rest of the driveline.
    Driveline,
    /// The front end.
    FrontEnd,
    /// What fits around the rear wheels.
    Fit,
}

impl Sight {
    /// Is a reading with this id always of the build at hand?
    pub fn shows(self, id: &str) -> bool {
        let groups: &[&str] = match self {
            Self::Whole => return true,
            Self::RearLinks => &["rear."],
            Self::RearAxle => &["rear.", "launch.", "spring."],
            Self::Driveline => &["rear.", "launch.", "spring.", "driveline."],
            Self::FrontEnd => &["front."],
            Self::Fit => &["rear.", "clearance."],
        };
        groups.iter().any(|of| id.starts_with(of))
    }

    /// Is the whole in sight, or one of these?
    pub(super) fn sees(self, any: &[Self]) -> bool {
        self == Self::Whole || any.contains(&self)
    }
}

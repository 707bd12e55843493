//! What a search depends on: the build without what a tried combination changes.

use build::{Build, Car, Power, Rear, Target};

/// What the search reads of a build, the holes in use made alike.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Inputs {
    car: Car,
    rear: Rear,
    targets: Vec<Target>,
    power: Power,
}

impl Inputs {
    /// Of a build. `held`: links keep the lengths they are held at, so that those count.
    pub(super) fn of(b: &Build, held: bool) -> Self {
        let mut rear = b.rear.clone();
        for l in &mut rear.links {
            for end in [&mut l.at_frame, &mut l.at_axle] {
                end.hole = 1;
                end.right_hole = None;
            }
            if !held {
                // A combination that is tried lets these go, and the search does not ask for them.
                l.held = None;
            }
        }
        // For the sheet and for the other page.
        rear.second_reference = None;
        rear.placement_tolerance = units::Length::default();
        Self {
            car: b.car.clone(),
            rear,
            targets: b.targets.clone(),
            power: b.power.clone(),
        }
    }

    /// The same car with the same brackets and links, whatever bands are set and lengths held.
    pub(super) fn is_same_drawing(&self, other: &Self) -> bool {
        let bare = |x: &Self| {
            let mut rear = x.rear.clone();
            for l in &mut rear.links {
                l.held = None;
            }
            rear
        };
        self.car == other.car && self.power == other.power && bare(self) == bare(other)
    }
}

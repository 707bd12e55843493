//! Every point of the rolling chassis that can be dragged or typed, as a table.

use crate::{Build, Place};

/// A point of the drawing, a pair's left one.
pub struct DrawnPoint {
    /// Its path in the file.
    pub id: &'static str,
    /// What the form calls it.
    pub label: &'static str,
    /// Where it is; none while its part is not drawn.
    pub get: fn(&Build) -> Option<Place>,
    /// Puts it elsewhere; nothing while its part is not drawn.
    pub set: fn(&mut Build, Place),
}

impl std::fmt::Debug for DrawnPoint {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("DrawnPoint")
            .field("id", &self.id)
            .finish_non_exhaustive()
    }
}

macro_rules! point {
    ($label:literal, $root:ident ? $($path:ident).+) => {
        DrawnPoint {
            id: concat!(stringify!($root), ".", stringify!($($path).+)),
            label: $label,
            get: |b| b.$root.as_ref().map(|x| x.$($path).+),
            set: |b, to| if let Some(x) = &mut b.$root { x.$($path).+ = to },
        }
    };
    ($label:literal, $root:ident ? $part:ident ? $($path:ident).+) => {
        DrawnPoint {
            id: concat!(stringify!($root), ".", stringify!($part), ".", stringify!($($path).+)),
            label: $label,
            get: |b| Some(b.$root.as_ref()?.$part.as_ref()?.$($path).+),
            set: |b, to| if let Some(x) = b.$root.as_mut().and_then(|x| x.$part.as_mut()) {
                x.$($path).+ = to
            },
        }
    };
}

/// Every point, in the order forms show them.
pub const POINTS: &[DrawnPoint] = &[
    point!("Lower arm, front inner", front_end ? lower.front),
    point!("Lower arm, rear inner", front_end ? lower.rear),
    point!("Lower ball joint", front_end ? lower.ball),
    point!("Upper arm, front inner", front_end ? upper.front),
    point!("Upper arm, rear inner", front_end ? upper.rear),
    point!("Upper ball joint", front_end ? upper.ball),
    point!("Tie rod, inner", front_end ? tie_rod.inner),
    point!("Tie rod, outer", front_end ? tie_rod.outer),
    point!("Front coil-over, frame eye", front_end ? coil_over ? at_frame),
    point!("Front coil-over, arm eye", front_end ? coil_over ? at_arm),
    point!("Anti-roll bar, pivot", front_end ? bar ? pivot),
    point!("Anti-roll bar, arm end", front_end ? bar ? arm_end),
    point!("Anti-roll bar, link", front_end ? bar ? link),
    DrawnPoint {
        id: "power.driveshaft.front_joint",
        label: "Driveshaft, front joint",
        get: |b| Some(b.power.driveshaft.as_ref()?.front_joint),
        set: |b, to| {
            if let Some(x) = &mut b.power.driveshaft {
                x.front_joint = to;
            }
        },
    },
    DrawnPoint {
        id: "power.driveshaft.rear_joint",
        label: "Driveshaft, rear joint",
        get: |b| Some(b.power.driveshaft.as_ref()?.rear_joint),
        set: |b, to| {
            if let Some(x) = &mut b.power.driveshaft {
                x.rear_joint = to;
            }
        },
    },
    point!("Safety loop", driveline ? hoop ? at),
    point!("Bump stop, pad", mock_up ? bump_stop ? pad),
    point!("Bump stop, face", mock_up ? bump_stop ? face),
];

/// The point with this path.
pub fn point(id: &str) -> Option<&'static DrawnPoint> {
    POINTS.iter().find(|p| p.id == id)
}

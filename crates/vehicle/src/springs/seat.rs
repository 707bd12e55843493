//! Where the spring seat stands, and how far the wheel may still go.
//!
//! A shock absorber goes from its extended to its compressed length (between the eyes). The spring stands between two
//! seats fixed to its ends; preload is how much the spring is squeezed with the shock fully extended. So
//! F = k·(preload + extended − L), and the coil-over is free at L₀ = extended + preload.

use geometry::AssembledAxle;

use super::over_travel::{CoiloverMount, motion};
use super::{SpringError, positive};

/// A shock absorber: lengths between the eyes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shock {
    /// Fully extended, m.
    pub extended: f64,
    /// Fully compressed, m, positive and below `extended`.
    pub compressed: f64,
}

/// A coil spring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spring {
    /// Rate, N/m, positive.
    pub rate: f64,
    /// Length off the car, m, positive.
    pub free_length: f64,
    /// Length with the coils touching, m, below `free_length`.
    pub block_length: f64,
}

/// A seat setting that holds the ride height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// Squeeze of the spring with the shock fully extended, m. Negative: the spring is loose by so much there and needs
    /// a helper or a keeper.
    pub preload: f64,
    /// Distance between the seats with the shock fully extended, m: what is set and measured.
    pub seat_distance: f64,
    /// Length of the spring at ride height, m.
    pub spring_length: f64,
    /// Length of the coil-over at which the spring is free, m: extended + preload.
    pub free_length: f64,
    /// Length of the coil-over at which the coils touch, m.
    pub solid_at: f64,
    /// Shock travel left in bump at ride height, m, to the shock's or the spring's end, whichever comes first. Negative:
    /// past it.
    pub bump_left: f64,
    /// Shock travel left in droop at ride height, m.
    pub droop_left: f64,
    /// Whether the spring ends the bump travel, not the shock.
    pub coils_end_it: bool,
}

/// Wheel travel from ride height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TravelBudget {
    /// Bump travel until shock or coils end it, m, zero or more; None when they do not within the search.
    pub bump: Option<f64>,
    /// Droop travel until the shock is extended, m, zero or more; None when it is not within the search.
    pub droop: Option<f64>,
}

/// The seat that holds a coil-over at `length` (m, at ride height) with `force` (N) in the spring.
///
/// # Errors
/// [`SpringError::BadInput`] for lengths or rates that are no shock and spring, and a force that is not positive.
pub fn seat(shock: &Shock, spring: &Spring, length: f64, force: f64) -> Result<Seat, SpringError> {
    positive("compressed length of the shock", shock.compressed)?;
    positive("stroke of the shock", shock.extended - shock.compressed)?;
    positive("spring rate", spring.rate)?;
    positive("block length of the spring", spring.block_length)?;
    positive(
        "free less block length of the spring",
        spring.free_length - spring.block_length,
    )?;
    positive("length of the coil-over", length)?;
    positive("spring force", force)?;
    let squeeze = force / spring.rate;
    let preload = squeeze - (shock.extended - length);
    let seat_distance = spring.free_length - preload;
    let solid_at = shock.extended - (seat_distance - spring.block_length);
    let coils_end_it = solid_at > shock.compressed;
    Ok(Seat {
        preload,
        seat_distance,
        spring_length: spring.free_length - squeeze,
        free_length: shock.extended + preload,
        solid_at,
        bump_left: length - solid_at.max(shock.compressed),
        droop_left: shock.extended - length,
        coils_end_it,
    })
}

/// How far the wheel goes both ways from ride height before the coil-over (seat as set) ends it, by the axle's path without
/// roll; searched to ± `within` (m, positive) or to the end of the axle's reach.
///
/// # Errors
/// As [`motion`] at ride height; [`SpringError::BadInput`] for `within`.
pub fn travel_budget(
    axle: &AssembledAxle,
    mount: &CoiloverMount,
    shock: &Shock,
    seat: &Seat,
    within: f64,
) -> Result<TravelBudget, SpringError> {
    positive("search range", within)?;
    let length = |z: f64| motion(axle, mount, z, 0.0).map(|m| m.length);
    length(0.0)?;
    let shortest = seat.solid_at.max(shock.compressed);
    let find = |sense: f64, spare: &dyn Fn(f64) -> f64| {
        let spare_at = |z: f64| length(sense * z).ok().map(spare);
        first_zero(within, &spare_at)
    };
    Ok(TravelBudget {
        bump: find(1.0, &|l| l - shortest),
        droop: find(-1.0, &|l| shock.extended - l),
    })
}

/// First z in 0..=`within` at which `spare` is no longer positive, to 1e-9 m; None when there is none before `spare` has
/// no value.
fn first_zero(within: f64, spare: &dyn Fn(f64) -> Option<f64>) -> Option<f64> {
    const STEP: f64 = 5e-3;
    if spare(0.0)? <= 0.0 {
        return Some(0.0);
    }
    let mut low = 0.0;
    while low < within {
        let mut high = (low + STEP).min(within);
        if spare(high)? > 0.0 {
            low = high;
            continue;
        }
        while high - low > 1e-9 {
            let middle = 0.5 * (low + high);
            if spare(middle)? > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        return Some(high);
    }
    None
}

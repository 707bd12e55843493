//! Which springs of a catalogue give a wanted ride frequency.

use super::{SpringError, in_series, positive, ride_frequency};

/// Rates that can be bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Catalogue {
    /// Least rate, N/m, positive.
    pub least: f64,
    /// Greatest rate, N/m.
    pub greatest: f64,
    /// Step between rates, N/m, positive.
    pub step: f64,
}

/// One wheel of the car as it stands at ride height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Sprung mass on the wheel, kg, positive.
    pub sprung_mass: f64,
    /// Motion ratio at ride height, positive.
    pub motion_ratio: f64,
    /// dMR/dz at ride height, 1/m.
    pub motion_ratio_slope: f64,
    /// Spring force that holds the ride height, N, positive.
    pub coil_force: f64,
    /// Rate of the spring fitted now, N/m, positive.
    pub fitted_rate: f64,
    /// Tyre rate, N/m, positive, to count the tyre into the frequency; None: wheel rate alone.
    pub tyre_rate: Option<f64>,
}

/// A spring of the catalogue.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpringChoice {
    /// Rate, N/m.
    pub rate: f64,
    /// Wheel rate with the geometric term, N/m.
    pub wheel_rate: f64,
    /// Ride frequency, Hz.
    pub frequency: f64,
    /// Squeeze of the spring at ride height, m.
    pub squeeze: f64,
    /// How much further the seat must press on a spring of the same free length to keep the ride height, m; negative:
    /// back off. F/k − F/k_fitted, exact.
    pub seat_change: f64,
    /// Ride height without moving the seat, m, up positive: −seat change over the motion ratio, first order.
    pub height_change: f64,
}

/// The springs whose ride frequency lies in `band` (Hz, both ends included), softest first.
///
/// # Errors
/// [`SpringError::BadInput`] for figures out of range, or a catalogue of more than 100 000 rates.
pub fn choose(
    corner: &Corner,
    catalogue: &Catalogue,
    band: (f64, f64),
) -> Result<Vec<SpringChoice>, SpringError> {
    let mass = positive("sprung corner mass", corner.sprung_mass)?;
    let ratio = positive("motion ratio", corner.motion_ratio)?;
    let force = positive("spring force", corner.coil_force)?;
    let fitted = positive("rate of the spring fitted", corner.fitted_rate)?;
    let step = positive("catalogue step", catalogue.step)?;
    let least = positive("least rate", catalogue.least)?;
    if let Some(tyre) = corner.tyre_rate {
        positive("tyre rate", tyre)?;
    }
    let slope = corner.motion_ratio_slope;
    if !slope.is_finite() {
        return Err(SpringError::BadInput {
            what: "slope of the motion ratio",
            value: slope,
        });
    }
    let count = ((catalogue.greatest - least) / step + 1e-9).floor() + 1.0;
    if !(0.0..=1e5).contains(&count) {
        return Err(SpringError::BadInput {
            what: "number of rates in the catalogue",
            value: count,
        });
    }
    let mut choices = Vec::new();
    for index in 0..count as usize {
        let rate = least + index as f64 * step;
        let wheel_rate = rate * ratio * ratio + force * slope;
        let ride_rate = match corner.tyre_rate {
            Some(tyre) => in_series(wheel_rate, tyre),
            None => wheel_rate,
        };
        // A geometric term can eat a soft spring up: it holds nothing.
        if ride_rate <= 0.0 {
            continue;
        }
        let frequency = ride_frequency(ride_rate, mass)?;
        if frequency >= band.0 && frequency <= band.1 {
            let seat_change = force / rate - force / fitted;
            choices.push(SpringChoice {
                rate,
                wheel_rate,
                frequency,
                squeeze: force / rate,
                seat_change,
                height_change: -seat_change / ratio,
            });
        }
    }
    Ok(choices)
}

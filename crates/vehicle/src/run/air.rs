//! Air: pressure from altitude, density, power correction.

use super::RunError;
use super::check::within;

/// Gas constants of dry air and water vapour, J/(kg·K).
const DRY: f64 = 287.05;
const VAPOUR: f64 = 461.5;
/// 0 °C in K.
pub const ZERO_CELSIUS: f64 = 273.15;
/// Power correction factors J1349 itself allows (SAE J1349, from memory).
pub const J1349_RANGE: std::ops::RangeInclusive<f64> = 0.93..=1.07;

/// The weather at the strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weather {
    /// Air temperature, K, 223 to 343 (−50 to 70 °C).
    pub temperature: f64,
    /// STATION pressure, Pa, 40 000 to 120 000: what a barometer reads at the strip. A "barometer" of a
    /// weather report is reduced to sea level and is not it; see [`pressure_at_altitude`].
    pub pressure: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
}

impl Default for Weather {
    /// 15 °C, 101 325 Pa, dry (US Standard Atmosphere 1976, sea level).
    fn default() -> Self {
        Self {
            temperature: 288.15,
            pressure: 101_325.0,
            humidity: 0.0,
        }
    }
}

/// What the weather makes of the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Pressure of the water vapour p_v, Pa.
    pub vapour_pressure: f64,
    /// Pressure of the dry part p_d, Pa.
    pub dry_pressure: f64,
    /// Density ρ, kg/m³.
    pub density: f64,
    /// Correction factor CF of SAE J1349 for naturally aspirated engines: corrected = measured · CF, so
    /// the torque on the day = corrected / CF. Outside [`J1349_RANGE`] the standard does not vouch for it.
    pub cf_j1349: f64,
}

impl Air {
    /// Air of a weather: Magnus formula for the saturation pressure, p_sat = 610.94 exp(17.625 t/(t + 243.04))
    /// Pa with t in °C (Alduchov & Eskridge 1996); ρ = p_d/(287.05 T) + p_v/(461.5 T);
    /// CF = 1.180·(99000/p_d)·√((t + 273)/298) − 0.18 (SAE J1349).
    ///
    /// # Errors
    /// [`RunError::OutOfRange`] for a figure outside its range.
    pub fn of(weather: &Weather) -> Result<Self, RunError> {
        within("air temperature", weather.temperature, 223.0, 343.0)?;
        within("air pressure", weather.pressure, 40_000.0, 120_000.0)?;
        within("relative humidity", weather.humidity, 0.0, 1.0)?;
        let t = weather.temperature - ZERO_CELSIUS;
        let saturation = 610.94 * (17.625 * t / (t + 243.04)).exp();
        let vapour_pressure = weather.humidity * saturation;
        let dry_pressure = weather.pressure - vapour_pressure;
        Ok(Self {
            vapour_pressure,
            dry_pressure,
            density: dry_pressure / (DRY * weather.temperature)
                + vapour_pressure / (VAPOUR * weather.temperature),
            cf_j1349: 1.180 * (99_000.0 / dry_pressure) * ((t + 273.0) / 298.0).sqrt() - 0.18,
        })
    }

    /// Whether CF is near enough to 1 for J1349 to vouch for it.
    #[must_use]
    pub fn within_j1349(&self) -> bool {
        J1349_RANGE.contains(&self.cf_j1349)
    }
}

/// Station pressure of the standard day at an altitude, Pa: 101325 (1 − 2.25577e-5 H)^5.25588, H in m,
/// −500 to 5000 (US Standard Atmosphere 1976).
///
/// # Errors
/// [`RunError::OutOfRange`] outside the range.
pub fn pressure_at_altitude(altitude: f64) -> Result<f64, RunError> {
    within("altitude", altitude, -500.0, 5000.0)?;
    Ok(101_325.0 * (1.0 - 2.255_77e-5 * altitude).powf(5.255_88))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// US Standard Atmosphere 1976: 15 °C and 101 325 Pa give 1.225 kg/m³; 1000 m 89 875 Pa (89 874.6),
    /// 2000 m 79 495 Pa (from memory).
    #[test]
    fn standard_atmosphere() {
        let air = Air::of(&Weather::default()).unwrap();
        assert!((air.density - 1.225).abs() < 5e-5, "{}", air.density);
        assert!((pressure_at_altitude(0.0).unwrap() - 101_325.0).abs() < 1e-9);
        assert!((pressure_at_altitude(1000.0).unwrap() - 89_875.0).abs() < 2.0);
        assert!((pressure_at_altitude(2000.0).unwrap() - 79_495.0).abs() < 3.0);
    }

    /// SAE J1349: dry 990 mbar and 25 °C are the standard's own conditions.
    #[test]
    fn j1349_standard_day() {
        let day = Weather {
            temperature: 298.15,
            pressure: 99_000.0,
            humidity: 0.0,
        };
        let air = Air::of(&day).unwrap();
        assert!((air.cf_j1349 - 1.0).abs() < 1e-12);
        assert!(air.within_j1349());
        // Hot and high: more than 7 % away.
        let high = Air::of(&Weather {
            temperature: 308.15,
            pressure: pressure_at_altitude(1700.0).unwrap(),
            humidity: 0.3,
        })
        .unwrap();
        assert!(high.cf_j1349 > 1.2 && !high.within_j1349());
    }

    /// Saturated vapour over water at 20 °C is 2339 Pa, at 30 °C 4247 Pa (steam tables, from memory); the
    /// formula is good to 0.4 % (Alduchov & Eskridge). Damp air is lighter than dry air.
    #[test]
    fn steam_tables() {
        for (t, p) in [(20.0, 2339.0), (30.0, 4247.0)] {
            let damp = Weather {
                temperature: t + ZERO_CELSIUS,
                pressure: 101_325.0,
                humidity: 1.0,
            };
            let air = Air::of(&damp).unwrap();
            assert!((air.vapour_pressure / p - 1.0).abs() < 4e-3);
            let dry = Air::of(&Weather {
                humidity: 0.0,
                ..damp
            })
            .unwrap();
            assert!(air.density < dry.density);
        }
    }

    #[test]
    fn bad_weather_is_named() {
        let w = Weather::default();
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1e9] {
            for (weather, name) in [
                (
                    Weather {
                        temperature: bad,
                        ..w
                    },
                    "air temperature",
                ),
                (Weather { pressure: bad, ..w }, "air pressure"),
                (Weather { humidity: bad, ..w }, "relative humidity"),
            ] {
                let e = Air::of(&weather).unwrap_err();
                assert!(
                    matches!(e, RunError::OutOfRange { what, .. } if what == name),
                    "{e}"
                );
            }
            if bad != -1.0 {
                assert!(pressure_at_altitude(bad).is_err());
            }
        }
    }
}

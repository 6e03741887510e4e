//! The generic blade of each family: chord, twist and section.
//!
//! A propeller is known by what is printed on it, diameter and pitch. The rest
//! is typical of its family. Chord and pitch along the blade are rounded from
//! the published measurement of one moulded propeller of each family (Brandt
//! and Selig, AIAA 2011-1255, 2011: thin electric 10x7 inch, seen in a copy;
//! slow flight 9x4.7 and 10x4.7 inch, chords seen in a copy, angles from
//! memory), the chord widened by 14 % (thin) and 12 % (slow flight, estimate
//! 0-15 %). Section constants are estimates, chosen once for each family
//! within what thin cambered plates show at Reynolds numbers of 3e4 to 1e5, so
//! that one measured propeller of each (8x6 and 9x6 inch) is met over all
//! advance ratios and rotation speeds at once. A third propeller, not used in
//! that choice, is met to 10 % (`tests/validation/propeller_measured.rs`):
//! the spread to expect is 10 % in thrust and 15 % in power.

use super::section::BladeSection;
use crate::aircraft::BladeStyle;

/// Places along the blade, radius over tip radius, at which tables are given.
const STATIONS: usize = 10;
const STATION_FIRST: f64 = 0.1;
const STATIONS_PER_RADIUS: f64 = 10.0;

/// A family of blades; tables from a tenth of the radius to the tip in steps
/// of a tenth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Blade {
    /// Chord over tip radius.
    chord: [f64; STATIONS],
    /// Local pitch (of the chord line) over printed pitch.
    pitch: [f64; STATIONS],
    /// Thickness over chord, averaged along the blade (estimate, 0.08-0.14).
    pub thickness: f64,
    /// The section of the whole blade.
    pub section: BladeSection,
}

/// What both families share: a thin, cambered, moulded section. Slope 12 %
/// below 2 pi. Stall is spread over 14 degrees, since a blade passes through
/// many Reynolds numbers and stalls bit by bit.
const THIN_MOULDED: BladeSection = BladeSection {
    slope: 5.5,
    zero_lift_rad: 0.0,
    zero_lift_per_log_re: -0.032,
    stall_lift: 1.50,
    stall_lift_per_log_re: 0.20,
    stall_half_width_rad: 0.125,
    drag_min: 0.028,
    drag_min_lift: 0.4,
    drag_per_lift_squared: 0.075,
};

/// Narrow blades, constant pitch but for the root. Printed pitch is that of
/// the flat lower side, so the zero-lift angle holds the camber (3 to 4 %) and
/// the angle between lower side and chord.
const THIN_ELECTRIC: Blade = Blade {
    chord: [0.136, 0.176, 0.216, 0.227, 0.221, 0.198, 0.164, 0.127, 0.0915, 0.047],
    pitch: [0.45, 0.92, 1.06, 1.03, 1.03, 1.03, 1.02, 1.01, 1.00, 0.92],
    thickness: 0.11,
    section: BladeSection {
        zero_lift_rad: -0.093,
        drag_min: 0.0355,
        drag_min_lift: 0.35,
        ..THIN_MOULDED
    },
};

/// Wide blades, washed out at root and tip, more camber (5 to 6 %).
const SLOW_FLIGHT: Blade = Blade {
    chord: [0.112, 0.148, 0.197, 0.230, 0.249, 0.251, 0.235, 0.201, 0.145, 0.056],
    pitch: [0.35, 0.62, 0.90, 1.02, 1.02, 0.99, 0.945, 0.905, 0.85, 0.75],
    thickness: 0.09,
    section: BladeSection {
        zero_lift_rad: -0.117,
        drag_min: 0.021,
        drag_min_lift: 0.60,
        ..THIN_MOULDED
    },
};

impl Blade {
    /// The blade of a family.
    pub(super) fn of(style: BladeStyle) -> &'static Self {
        match style {
            BladeStyle::ThinElectric => &THIN_ELECTRIC,
            BladeStyle::SlowFlight => &SLOW_FLIGHT,
        }
    }

    /// Chord over tip radius at a radius over tip radius.
    pub(super) fn chord(&self, station: f64) -> f64 {
        interpolate(&self.chord, station)
    }

    /// Local pitch over printed pitch at a radius over tip radius.
    pub(super) fn pitch(&self, station: f64) -> f64 {
        interpolate(&self.pitch, station)
    }
}

fn interpolate(values: &[f64; STATIONS], station: f64) -> f64 {
    let last = STATIONS - 1;
    let place = ((station - STATION_FIRST) * STATIONS_PER_RADIUS).clamp(0.0, last as f64);
    let index = (place as usize).min(last - 1);
    let share = place - index as f64;
    values[index] + share * (values[index + 1] - values[index])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// At a table's places its values, between two their mean, beyond the ends
    /// the ends.
    #[test]
    fn a_blade_is_read_between_its_stations() {
        for style in [BladeStyle::ThinElectric, BladeStyle::SlowFlight] {
            let blade = Blade::of(style);
            for k in 0..STATIONS {
                let station = 0.1 * (k + 1) as f64;
                assert!((blade.chord(station) - blade.chord[k]).abs() < 1e-12);
                assert!((blade.pitch(station) - blade.pitch[k]).abs() < 1e-12);
                if k + 1 < STATIONS {
                    let mean = 0.5 * (blade.chord[k] + blade.chord[k + 1]);
                    assert!((blade.chord(station + 0.05) - mean).abs() < 1e-12);
                }
            }
            assert_eq!(blade.chord(0.02), blade.chord[0]);
            assert!((blade.chord(1.2) - blade.chord[STATIONS - 1]).abs() < 1e-12);
        }
    }
}

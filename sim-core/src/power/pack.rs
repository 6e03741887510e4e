//! The pack: resting voltage against charge, sag under load, time to empty.
//!
//! A lithium-polymer cell as a voltage source behind a resistance. Resting
//! voltage against charge is the curve modellers pass around (common
//! practice, good to 0.03 V between 10 and 90 %); the resistance is one
//! constant. Not modelled: temperature, age, the slow recovery after a load.

use super::PowerError;
use crate::aircraft::Pack;

/// Resting voltage of one cell at charges 0, 0.05 ... 1 (common practice,
/// spread 0.03 V; 0.1 V below a tenth).
const RESTING_V: [f64; 21] = [
    3.27, 3.61, 3.69, 3.71, 3.73, 3.75, 3.77, 3.79, 3.80, 3.82, 3.84, 3.85, 3.87, 3.91, 3.95, 3.98,
    4.02, 4.08, 4.11, 4.15, 4.20,
];
const CURVE_STEPS: f64 = (RESTING_V.len() - 1) as f64;
/// Slices of the charge in which time to empty is summed.
const DISCHARGE_SLICES: usize = 40;

/// Resting voltage of a lithium-polymer cell, V, at a charge from 0 (empty) to
/// 1 (full); outside that the nearer end.
pub fn resting_cell_voltage(charge: f64) -> f64 {
    let place = (charge * CURVE_STEPS).clamp(0.0, CURVE_STEPS);
    let index = (place as usize).min(RESTING_V.len() - 2);
    RESTING_V[index] + (place - index as f64) * (RESTING_V[index + 1] - RESTING_V[index])
}

/// Charge from 0 to 1 that belongs to a resting cell voltage, V; the inverse
/// of [`resting_cell_voltage`]. A high-voltage cell above 4.2 V counts as full.
pub fn charge_at_rest(cell_voltage_v: f64) -> f64 {
    let above = RESTING_V.partition_point(|v| *v < cell_voltage_v);
    if above == 0 {
        return 0.0;
    }
    if above == RESTING_V.len() {
        return 1.0;
    }
    let (low, high) = (RESTING_V[above - 1], RESTING_V[above]);
    ((above - 1) as f64 + (cell_voltage_v - low) / (high - low)) / CURVE_STEPS
}

/// A pack at its present state of charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PackModel {
    /// Cells in series.
    pub cells: f64,
    /// Voltage without load, V.
    pub resting_voltage_v: f64,
    /// Resistance of all cells, ohm.
    pub resistance_ohm: f64,
    /// Charge when full, Ah.
    pub capacity_ah: f64,
}

/// What empties the pack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PackLoad {
    /// A constant current at the pack, A.
    Current(f64),
    /// A constant power at the pack's terminals, W; the current rises as the
    /// voltage falls.
    Power(f64),
}

impl PackModel {
    /// Reads the pack.
    ///
    /// # Errors
    /// [`PowerError::NotPositive`] for a cell count, voltage or capacity that
    /// is not positive, [`PowerError::Negative`] for a negative resistance.
    pub fn new(pack: &Pack) -> Result<Self, PowerError> {
        let cells = PowerError::positive("number of cells", f64::from(pack.cells))?;
        let cell_voltage = PowerError::positive("cell voltage", pack.cell_voltage_v)?;
        let cell_resistance =
            PowerError::not_negative("cell resistance", pack.cell_resistance_ohm)?;
        Ok(Self {
            cells,
            resting_voltage_v: cells * cell_voltage,
            resistance_ohm: cells * cell_resistance,
            capacity_ah: PowerError::positive("capacity", pack.capacity_ah)?,
        })
    }

    /// Voltage at the terminals, V, under a current, A.
    pub fn voltage_v(&self, current_a: f64) -> f64 {
        self.resting_voltage_v - self.resistance_ohm * current_a
    }

    /// Time in seconds until the resting voltage of a cell has fallen from
    /// today's to `cell_voltage_end_v`, with the share `reserve` (0..1) of that
    /// charge kept back. `None` where the load is nothing, or more than the
    /// pack can give at the end. A pack already below the end gives zero.
    pub fn time_to(&self, load: PackLoad, cell_voltage_end_v: f64, reserve: f64) -> Option<f64> {
        let start = charge_at_rest(self.resting_voltage_v / self.cells);
        let end = charge_at_rest(cell_voltage_end_v);
        let end = end + (start - end) * reserve.clamp(0.0, 1.0);
        if start <= end {
            return Some(0.0);
        }
        let slice = (start - end) / DISCHARGE_SLICES as f64;
        let mut seconds = 0.0;
        for index in 0..DISCHARGE_SLICES {
            let charge = end + (index as f64 + 0.5) * slice;
            let current = match load {
                PackLoad::Current(current) => current,
                PackLoad::Power(power) => {
                    self.current_for(power, self.cells * resting_cell_voltage(charge))?
                }
            };
            if current.is_nan() || current <= 0.0 {
                return None;
            }
            seconds += 3600.0 * self.capacity_ah * slice / current;
        }
        seconds.is_finite().then_some(seconds)
    }

    /// Current that draws a power at the terminals: P = (V - R I) I, the
    /// smaller root.
    fn current_for(&self, power_w: f64, resting_v: f64) -> Option<f64> {
        let under_root = resting_v * resting_v - 4.0 * self.resistance_ohm * power_w;
        (under_root >= 0.0).then(|| 2.0 * power_w / (resting_v + under_root.sqrt()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack() -> PackModel {
        let resistance = 0.01;
        let pack = Pack {
            cells: 3,
            capacity_ah: 2.0,
            cell_resistance_ohm: resistance,
            cell_voltage_v: 4.2,
            current_max_a: None,
        };
        PackModel::new(&pack).unwrap()
    }

    #[test]
    fn curve_and_its_inverse_agree() {
        for step in 0..=100 {
            let charge = f64::from(step) / 100.0;
            assert!((charge_at_rest(resting_cell_voltage(charge)) - charge).abs() < 1e-12);
        }
        assert_eq!(charge_at_rest(2.5), 0.0);
        assert_eq!(charge_at_rest(4.35), 1.0);
    }

    #[test]
    fn constant_current_takes_charge_over_current() {
        // 2 Ah from full to empty at 10 A: 0.2 h; half of it in reserve.
        let all = pack().time_to(PackLoad::Current(10.0), 3.27, 0.0).unwrap();
        assert!((all - 720.0).abs() < 1e-6, "{all}");
        let half = pack().time_to(PackLoad::Current(10.0), 3.27, 0.5).unwrap();
        assert!((half - 360.0).abs() < 1e-6, "{half}");
    }

    #[test]
    fn constant_power_delivers_the_energy_of_the_curve_less_heat() {
        // Mean of the curve is 3.84 V, so about 3 * 3.84 * 2 Wh, less the loss
        // in 0.03 ohm at about 4.4 A, which is 1.1 %.
        let seconds = pack().time_to(PackLoad::Power(50.0), 3.27, 0.0).unwrap();
        let energy_wh = 50.0 * seconds / 3600.0;
        assert!((energy_wh / (3.0 * 3.84 * 2.0 * 0.989) - 1.0).abs() < 0.005, "{energy_wh}");
    }

    #[test]
    fn impossible_loads_have_no_time() {
        assert_eq!(pack().time_to(PackLoad::Power(1e5), 3.5, 0.2), None);
        assert_eq!(pack().time_to(PackLoad::Current(0.0), 3.5, 0.2), None);
        assert_eq!(pack().time_to(PackLoad::Current(f64::NAN), 3.5, 0.2), None);
        assert_eq!(pack().time_to(PackLoad::Current(5.0), 4.3, 0.2), Some(0.0));
    }

    /// A full and an empty cell by their usual voltages (common practice: 4.20 V
    /// charged, 3.27 V at rest when nothing is left); beyond, the nearer end. The
    /// curve rises throughout.
    #[test]
    fn the_curve_ends_where_a_cell_is_full_or_empty() {
        for (charge, voltage) in [(-0.5, 3.27), (0.0, 3.27), (1.0, 4.20), (1.5, 4.20)] {
            assert!((resting_cell_voltage(charge) - voltage).abs() < 1e-12, "{charge}");
        }
        for (voltage, charge) in [(3.0, 0.0), (3.27, 0.0), (4.20, 1.0), (4.21, 1.0)] {
            assert!((charge_at_rest(voltage) - charge).abs() < 1e-12, "{voltage}");
        }
        // A hundredth of a volt from the ends lies as far within as the slope says.
        assert!((charge_at_rest(4.19) - (1.0 - 0.05 * 0.2)).abs() < 1e-12);
        assert!((charge_at_rest(3.28) - 0.05 * 0.01 / 0.34).abs() < 1e-12);
        let rising = (0..100).map(|step| resting_cell_voltage(0.01 * f64::from(step)));
        let values: Vec<f64> = rising.collect();
        assert!(values.windows(2).all(|pair| pair[1] > pair[0]));
    }

    /// Two resistances in series: the cell's voltage under load, and the power
    /// at the terminals that comes of it, P = V I.
    #[test]
    fn a_constant_power_draws_the_smaller_current() {
        let pack = pack();
        for current in [1.0, 10.0, 40.0] {
            let power = pack.voltage_v(current) * current;
            let found = pack.current_for(power, pack.resting_voltage_v).unwrap();
            assert!((found - current).abs() < 1e-9, "{found} for {current}");
        }
        // At half the voltage all that the pack can give is drawn.
        let most = pack.resting_voltage_v.powi(2) / (4.0 * pack.resistance_ohm);
        assert!(pack.current_for(1.001 * most, pack.resting_voltage_v).is_none());
        assert!(pack.current_for(0.999 * most, pack.resting_voltage_v).is_some());
    }

    /// The way from full to a resting voltage is the way to any on the way and the
    /// rest, whatever is drawn; a reserve is a share of the charge above the end.
    #[test]
    fn times_add_up_and_hold_the_reserve_back() {
        let full = pack();
        let charge = charge_at_rest(3.8);
        let half_way = PackModel { resting_voltage_v: 3.0 * 3.8, ..full };
        for load in [PackLoad::Current(10.0), PackLoad::Power(90.0)] {
            let all = full.time_to(load, 3.7, 0.0).unwrap();
            let parts =
                full.time_to(load, 3.8, 0.0).unwrap() + half_way.time_to(load, 3.7, 0.0).unwrap();
            assert!((parts / all - 1.0).abs() < 1e-4, "{parts} {all}");
        }
        // At 10 A 2 Ah last 720 s: of the charge above the end 70 %.
        let time = full.time_to(PackLoad::Current(10.0), 3.8, 0.3).unwrap();
        assert!((time - 0.7 * (1.0 - charge) * 720.0).abs() < 1e-9, "{time}");
    }

    /// A constant power drawn from a voltage that falls: the current is charge over
    /// time, summed over ten thousand slices with P = (V - R I) I solved by steps.
    #[test]
    fn a_constant_power_takes_more_current_as_the_pack_empties() {
        let (pack, power) = (pack(), 150.0);
        let end = charge_at_rest(3.6);
        let slices = 10_000;
        let slice = (1.0 - end) / f64::from(slices);
        let seconds: f64 = (0..slices)
            .map(|k| {
                let voltage = 3.0 * resting_cell_voltage(end + (f64::from(k) + 0.5) * slice);
                let mut current = power / voltage;
                for _ in 0..30 {
                    current = power / (voltage - 0.03 * current);
                }
                2.0 * 3600.0 * slice / current
            })
            .sum();
        let found = pack.time_to(PackLoad::Power(power), 3.6, 0.0).unwrap();
        assert!((found / seconds - 1.0).abs() < 5e-4, "{found} {seconds}");
    }
}

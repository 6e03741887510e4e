//! Thrust and torque of one propeller in every state of flight.
//!
//! Blade-element momentum theory (`element`) fills a table once; in flight
//! only the table is read, with a once continuously differentiable cubic
//! (Catmull-Rom) through its points. The table's argument,
//! t = V / (|V| + 0.35 w R), runs from -1 (pushed backward, standing) over 0
//! (hover) and the working advance ratios (J = 1 at t = 0.48) to 1 (standing
//! across the wind), so hover, cruise, windmilling and standstill are one
//! curve. Coefficients there are referred to the speed at 0.7 R, which never
//! vanishes before all speeds do. Two columns for two Reynolds numbers give
//! the loss at low rotation speed, in between by the logarithm.
//! Check: measured 8x6 and 9x6 inch propellers in `tests/validation`.

use std::f64::consts::PI;

use super::PowerError;
use super::blade::Blade;
use super::element::{BladeElements, Inflow, ScaledLoads};
use crate::aircraft::Propeller;

/// Dynamic viscosity of air at 15 degrees Celsius, kg/(m s) (ISO 2533).
const VISCOSITY: f64 = 1.789e-5;
/// Weight of the tip speed in the table's argument; sets where points lie.
const TIP_WEIGHT: f64 = 0.35;
/// Radius over tip radius of the reference speed.
const REFERENCE_STATION: f64 = 0.7;
/// Reference speeds of the two Reynolds columns at sea level, m/s: a lazy
/// cruise and full throttle of a small electric model.
const COLUMN_SPEED: [f64; 2] = [28.0, 84.0];
/// Air density of the columns' Reynolds numbers, kg/m3.
const COLUMN_DENSITY: f64 = 1.225;
/// Steps of the table's argument from -1 to 1.
const STEPS: usize = 44;
/// Loads kept per column: thrust, torque, side force, yawing moment.
const KINDS: usize = 4;
/// How far beyond the two columns the Reynolds trend is followed, in parts of
/// their distance.
const COLUMN_BEYOND: f64 = 0.6;
/// Below this reference speed the air is taken to be at rest, m/s.
const STILL: f64 = 1e-9;

/// Density of glass-filled moulded blades, kg/m3 (estimate, 1200-1500).
const BLADE_DENSITY: f64 = 1350.0;
/// Section area over chord times thickness (estimate, 0.65-0.75).
const SECTION_FULLNESS: f64 = 0.7;
/// Inertia of hub and motor bell over that of the blades (estimate,
/// 0.2-0.6).
const HUB_INERTIA_SHARE: f64 = 0.35;

type Loads = [f64; KINDS];

/// Loads of a propeller turning at some speed in some axial wind.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PropellerLoads {
    /// Force along the shaft, N, positive forward.
    pub thrust_n: f64,
    /// Moment of the air that resists the rotation, N m; negative where the
    /// wind drives the propeller.
    pub torque_n_m: f64,
    /// Side force against a sideways motion of the hub, N per m/s, before the
    /// sidewash it makes itself.
    pub side_force_n_s_per_m: f64,
    /// Moment about the direction of that motion (negative about it for a
    /// propeller that turns clockwise seen from behind), N m per m/s.
    pub yaw_moment_n_s: f64,
}

/// A propeller as a table of coefficients.
#[derive(Debug, Clone)]
pub struct PropellerTable {
    radius_m: f64,
    inertia_kg_m2: f64,
    /// Density times speed, kg/(m2 s), at the first column; logarithm.
    column_first_log: f64,
    column_per_log: f64,
    values: Vec<[Loads; 2]>,
}

impl PropellerTable {
    /// Computes the table.
    ///
    /// # Errors
    /// [`PowerError::NotPositive`] where diameter, pitch or blade number is
    /// not a positive finite number.
    pub fn new(propeller: &Propeller) -> Result<Self, PowerError> {
        let diameter_m = PowerError::positive("propeller diameter", propeller.diameter_m)?;
        let pitch_m = PowerError::positive("propeller pitch", propeller.pitch_m)?;
        let blades = PowerError::positive("number of blades", f64::from(propeller.blades))? as u8;
        let radius_m = 0.5 * diameter_m;
        let blade = Blade::of(propeller.style);
        let elements = BladeElements::new(blade, pitch_m / radius_m, blades);
        let first = COLUMN_DENSITY * COLUMN_SPEED[0];
        Ok(Self {
            radius_m,
            inertia_kg_m2: inertia(blade, radius_m, f64::from(blades)),
            column_first_log: first.ln(),
            column_per_log: 1.0 / (COLUMN_SPEED[1] / COLUMN_SPEED[0]).ln(),
            values: fill(&elements, radius_m),
        })
    }

    /// Radius of the tip, m.
    pub fn radius_m(&self) -> f64 {
        self.radius_m
    }

    /// Moment of inertia about the shaft with hub and motor bell, kg m2.
    /// Estimate from the blades' volume, good to 50 %.
    pub fn inertia_kg_m2(&self) -> f64 {
        self.inertia_kg_m2
    }

    /// Loads at a rotation speed (rad/s, not negative), an axial airspeed (m/s,
    /// positive: flying forward) and an air density (kg/m3).
    ///
    /// # Limits
    /// Thrust within 10 % and torque within 15 % of measurement for forward
    /// flight up to no thrust; a windmilling or stopped propeller within 30 %;
    /// backward flight is an estimate. Where pitch is more than about 0.7 of the
    /// diameter the blades are partly stalled at standstill: thrust then stays
    /// level, or rises by a few thousandths, until the airspeed has lowered
    /// their angle, and falls from there, as measured ones do.
    pub fn loads(
        &self,
        rotation_rad_s: f64,
        airspeed_m_s: f64,
        density_kg_m3: f64,
    ) -> PropellerLoads {
        let Some(state) = self.state(rotation_rad_s, airspeed_m_s, density_kg_m3) else {
            return PropellerLoads::default();
        };
        let [thrust, torque, side, yaw] = [0, 1, 2, 3].map(|kind| self.read(&state, kind));
        let force = state.per_speed * state.reference;
        PropellerLoads {
            thrust_n: force * thrust,
            torque_n_m: force * self.radius_m * torque,
            side_force_n_s_per_m: state.per_speed * side,
            yaw_moment_n_s: state.per_speed * self.radius_m * yaw,
        }
    }

    /// The torque alone of [`PropellerTable::loads`].
    pub(super) fn torque_n_m(&self, rotation: f64, airspeed: f64, density: f64) -> f64 {
        self.state(rotation, airspeed, density).map_or(0.0, |state| {
            state.per_speed * state.reference * self.radius_m * self.read(&state, 1)
        })
    }

    /// Thrust and power coefficients CT = T / (rho n2 D4) and CP = P / (rho n3
    /// D5) at an advance ratio J = V / (n D) and a rotation speed (turns per
    /// second, positive) at sea-level density.
    pub fn coefficients(&self, advance_ratio: f64, turns_per_s: f64) -> (f64, f64) {
        let diameter = 2.0 * self.radius_m;
        let airspeed = advance_ratio * turns_per_s * diameter;
        let loads = self.loads(2.0 * PI * turns_per_s, airspeed, COLUMN_DENSITY);
        let force = COLUMN_DENSITY * turns_per_s.powi(2) * diameter.powi(4);
        (loads.thrust_n / force, 2.0 * PI * loads.torque_n_m / (force * diameter))
    }

    /// Where in the table a state lies; `None` in still air at standstill.
    fn state(&self, rotation: f64, airspeed: f64, density: f64) -> Option<TableState> {
        let tip_speed = rotation.max(0.0) * self.radius_m;
        let at_blade = REFERENCE_STATION * tip_speed;
        let reference = (airspeed * airspeed + at_blade * at_blade).sqrt();
        if reference.is_nan() || reference <= STILL {
            return None;
        }
        let argument = airspeed / (airspeed.abs() + TIP_WEIGHT * tip_speed);
        let place = ((argument + 1.0) * (0.5 * STEPS as f64)).clamp(0.0, STEPS as f64);
        let index = (place as usize).min(STEPS - 1);
        let x = place - index as f64;
        let y = 1.0 - x;
        let along = ((density * reference).ln() - self.column_first_log) * self.column_per_log;
        Some(TableState {
            reference,
            per_speed: 0.5 * density * reference * PI * self.radius_m * self.radius_m,
            along: along.clamp(-COLUMN_BEYOND, 1.0 + COLUMN_BEYOND),
            index,
            weights: [
                -0.5 * x * y * y,
                1.0 + x * x * (1.5 * x - 2.5),
                1.0 + y * y * (1.5 * y - 2.5),
                -0.5 * y * x * x,
            ],
        })
    }

    /// One kind of load by the table's cubic. The table has one point more at
    /// each end, so the four points around begin at `index`.
    fn read(&self, state: &TableState, kind: usize) -> f64 {
        let around = &self.values[state.index..state.index + 4];
        let sum = |column: usize| -> f64 {
            state.weights.iter().zip(around).map(|(w, point)| w * point[column][kind]).sum()
        };
        let slow = sum(0);
        slow + state.along * (sum(1) - slow)
    }
}

/// A state's place in the table.
struct TableState {
    /// Speed of the air at 0.7 R, m/s.
    reference: f64,
    /// Force over coefficient and reference speed, kg/s.
    per_speed: f64,
    /// Place between the Reynolds columns.
    along: f64,
    index: usize,
    weights: [f64; 4],
}

/// The table's points, with one more at either end, extrapolated straight.
fn fill(elements: &BladeElements, radius_m: f64) -> Vec<[Loads; 2]> {
    let mut tracks = [Track::default(); 2];
    let mut values = vec![[[0.0; KINDS]; 2]; STEPS + 3];
    // From standstill across the wind down to backward flight, each state
    // starting from its neighbours' inflow.
    for step in (0..=STEPS).rev() {
        let argument = 2.0 * step as f64 / STEPS as f64 - 1.0;
        let tip_speed = (1.0 - argument.abs()) / TIP_WEIGHT;
        let reference = argument.hypot(REFERENCE_STATION * tip_speed);
        for (column, speed) in COLUMN_SPEED.iter().enumerate() {
            let reynolds = COLUMN_DENSITY * radius_m / VISCOSITY * speed / reference;
            let mut inflow = tracks[column].guess();
            let loads = elements.loads(argument, tip_speed, reynolds, &mut inflow);
            tracks[column].push(inflow);
            values[step + 1][column] = to_coefficients(loads, reference);
        }
    }
    let straight = |a: [Loads; 2], b: [Loads; 2]| {
        let each = |column: usize| std::array::from_fn(|k| 2.0 * a[column][k] - b[column][k]);
        [each(0), each(1)]
    };
    values[0] = straight(values[1], values[2]);
    values[STEPS + 2] = straight(values[STEPS + 1], values[STEPS]);
    values
}

/// The inflow of the last two states of one column.
#[derive(Clone, Copy, Default)]
struct Track {
    last: Inflow,
    before: Inflow,
}

impl Track {
    /// The next state's inflow, extrapolated straight.
    fn guess(&self) -> Inflow {
        std::array::from_fn(|index| match (self.last[index], self.before[index]) {
            (Some(last), Some(before)) => Some(2.0 * last - before),
            (last, _) => last,
        })
    }

    fn push(&mut self, inflow: Inflow) {
        self.before = std::mem::replace(&mut self.last, inflow);
    }
}

fn to_coefficients(loads: ScaledLoads, reference: f64) -> Loads {
    let per_speed = 2.0 / (PI * reference);
    let force = per_speed / reference;
    [
        force * loads.thrust,
        force * loads.torque,
        per_speed * loads.side_per_speed,
        per_speed * loads.yaw_per_speed,
    ]
}

/// Inertia of blades as thin as their family, with a share for the hub.
fn inertia(blade: &Blade, radius_m: f64, blades: f64) -> f64 {
    const SLICES: usize = 40;
    let slice = 1.0 / SLICES as f64;
    let moment: f64 = (0..SLICES)
        .map(|index| {
            let station = (index as f64 + 0.5) * slice;
            let chord = blade.chord(station);
            chord * chord * station * station * slice
        })
        .sum();
    let per_blade = BLADE_DENSITY * SECTION_FULLNESS * blade.thickness * radius_m.powi(5) * moment;
    (1.0 + HUB_INERTIA_SHARE) * blades * per_blade
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{BladeStyle, Rotation};
    use crate::power::induced_velocity;

    fn propeller(style: BladeStyle, diameter_m: f64, pitch_m: f64) -> Propeller {
        Propeller { diameter_m, pitch_m, blades: 2, style, rotation: Rotation::Clockwise }
    }

    fn both() -> [PropellerTable; 2] {
        [BladeStyle::ThinElectric, BladeStyle::SlowFlight]
            .map(|style| PropellerTable::new(&propeller(style, 0.2286, 0.1524)).unwrap())
    }

    #[test]
    fn never_beats_the_ideal_disc() {
        for table in both() {
            for step in 0..20 {
                let airspeed = f64::from(step);
                let loads = table.loads(600.0, airspeed, 1.225);
                let area = PI * table.radius_m() * table.radius_m();
                let vi = induced_velocity(loads.thrust_n, area, airspeed, 1.225);
                let ideal = loads.thrust_n * (airspeed + vi);
                assert!(loads.torque_n_m * 600.0 > ideal, "{airspeed}");
            }
        }
    }

    #[test]
    fn drives_then_brakes_then_windmills() {
        for table in both() {
            let (ct, cp) = table.coefficients(0.3, 100.0);
            assert!(ct > 0.0 && cp > 0.0);
            // Past the zero of thrust the shaft still needs power; later the
            // wind turns the propeller, and it brakes harder.
            let zero = (0..200)
                .map(|i| 0.01 * f64::from(i))
                .find(|j| table.coefficients(*j, 100.0).0 < 0.0);
            let zero = zero.unwrap();
            assert!(table.coefficients(zero, 100.0).1 > 0.0);
            let (ct, cp) = table.coefficients(1.4 * zero, 100.0);
            assert!(ct < 0.0 && cp < 0.0);
        }
    }

    #[test]
    fn stopped_blades_drag_like_plates_across_the_wind() {
        // Blade area times a drag coefficient between 1 and 2.1 (plate 1.17
        // for a short one to 1.98), less the leeway of twisted blades.
        let [thin, _] = both();
        let loads = thin.loads(0.0, 10.0, 1.225);
        let blade_area = 2.0 * 0.165 * thin.radius_m() * thin.radius_m() * 0.9;
        let coefficient = -loads.thrust_n / (0.5 * 1.225 * 100.0 * blade_area);
        assert!((0.8..2.1).contains(&coefficient), "{coefficient}");
    }

    #[test]
    fn is_smooth_in_speed_and_rotation() {
        // One-sided slopes agree everywhere, at the table's points as well.
        for table in both() {
            for step in -200..1200 {
                let airspeed = 0.02 * f64::from(step) + 0.003;
                let at = |v: f64| table.loads(500.0, v, 1.225).thrust_n;
                let h = 1e-4;
                let before = (at(airspeed) - at(airspeed - h)) / h;
                let after = (at(airspeed + h) - at(airspeed)) / h;
                assert!((after - before).abs() < 0.02, "{airspeed}: {before} {after}");
            }
        }
    }

    #[test]
    fn stays_finite_far_outside() {
        for table in both() {
            for rotation in [0.0, 1e-9, 1.0, 1e3, 1e5] {
                for airspeed in [-150.0, -1.0, -1e-12, 0.0, 1e-12, 3.0, 300.0] {
                    let loads = table.loads(rotation, airspeed, 0.3);
                    assert!(loads.thrust_n.is_finite() && loads.torque_n_m.is_finite());
                    assert!(loads.side_force_n_s_per_m.is_finite());
                    assert!(loads.yaw_moment_n_s.is_finite());
                }
            }
        }
    }

    #[test]
    fn every_printed_size_has_a_table() {
        for style in [BladeStyle::ThinElectric, BladeStyle::SlowFlight] {
            for diameter in [0.02, 0.13, 0.33, 4.0] {
                for ratio in [0.05, 0.4, 0.75, 1.2, 5.0] {
                    for blades in [2, 3, 6] {
                        let sized = propeller(style, diameter, ratio * diameter);
                        let table = PropellerTable::new(&Propeller { blades, ..sized }).unwrap();
                        for j in [-0.4, 0.0, 0.3, 1.0, 4.0] {
                            let (ct, cp) = table.coefficients(j, 50.0);
                            assert!(ct.is_finite() && cp.is_finite());
                        }
                        assert!(table.coefficients(0.0, 50.0).0 > 0.0);
                    }
                }
            }
        }
    }

    #[test]
    fn refuses_what_is_no_propeller() {
        for diameter in [0.0, -0.2, f64::NAN, f64::INFINITY] {
            let wrong = propeller(BladeStyle::ThinElectric, diameter, 0.1);
            assert!(matches!(PropellerTable::new(&wrong), Err(PowerError::NotPositive { .. })));
        }
    }

    #[test]
    fn inertia_is_that_of_a_plastic_propeller() {
        // An 8x6 moulded propeller weighs 6 to 10 g (common practice); blades
        // of 6 g with a radius of gyration of 0.4-0.5 R and a hub share give
        // 1e-5 to 3e-5 kg m2.
        let table = PropellerTable::new(&propeller(BladeStyle::ThinElectric, 0.2032, 0.1524));
        let inertia = table.unwrap().inertia_kg_m2();
        assert!((1e-5..3e-5).contains(&inertia), "{inertia}");
    }

    /// The table is the elements' answer: at its own points to the last digits, at
    /// either column's Reynolds number; between two points nearly.
    #[test]
    fn the_table_reads_what_the_elements_give() {
        for style in [BladeStyle::ThinElectric, BladeStyle::SlowFlight] {
            let table = PropellerTable::new(&propeller(style, 0.24, 0.15)).unwrap();
            let radius = table.radius_m();
            let elements = BladeElements::new(Blade::of(style), 0.15 / radius, 2);
            for (place, allowed) in
                [(22.0, 1e-4), (26.0, 1e-4), (31.0, 1e-4), (28.5, 0.02), (0.0, 1e-4), (44.0, 1e-4)]
            {
                let argument: f64 = place * 2.0 / STEPS as f64 - 1.0;
                let tip_over_axial = (1.0 - argument.abs()) / TIP_WEIGHT;
                for reference in COLUMN_SPEED {
                    let per = argument.hypot(REFERENCE_STATION * tip_over_axial);
                    let (airspeed, tip) =
                        (argument * reference / per, tip_over_axial * reference / per);
                    let reynolds = COLUMN_DENSITY * radius / VISCOSITY;
                    let direct = elements.loads(airspeed, tip, reynolds, &mut Inflow::default());
                    let found = table.loads(tip / radius, airspeed, COLUMN_DENSITY);
                    let area = COLUMN_DENSITY * radius * radius;
                    let size = area * reference * reference;
                    for (ours, theirs, size) in [
                        (found.thrust_n, area * direct.thrust, size),
                        (found.torque_n_m, area * radius * direct.torque, size * radius),
                        (
                            found.side_force_n_s_per_m,
                            area * direct.side_per_speed,
                            size / reference,
                        ),
                        (
                            found.yaw_moment_n_s,
                            area * radius * direct.yaw_per_speed,
                            size * radius / reference,
                        ),
                    ] {
                        let error = (ours - theirs).abs();
                        assert!(
                            error < allowed * size * 0.1,
                            "{place} {reference} {ours} {theirs}"
                        );
                    }
                    let torque = table.torque_n_m(tip / radius, airspeed, COLUMN_DENSITY);
                    assert_eq!(torque, found.torque_n_m);
                }
            }
        }
    }

    /// Half way between the columns' logarithms lies half way between the loads;
    /// thinner air at a greater speed of the same Reynolds number and advance
    /// ratio gives the same torque per dynamic pressure.
    #[test]
    fn loads_follow_density_speed_and_reynolds_number() {
        let table = PropellerTable::new(&propeller(BladeStyle::ThinElectric, 0.24, 0.15)).unwrap();
        let scaled = |reference: f64, density: f64| {
            let rotation = reference / (REFERENCE_STATION * table.radius_m());
            let loads = table.loads(rotation, 0.0, density);
            let pressure = density * reference * reference;
            [loads.thrust_n / pressure, loads.torque_n_m / pressure]
        };
        let [slow, fast] = COLUMN_SPEED;
        let middle = (slow * fast).sqrt();
        for kind in [0, 1] {
            let at = |reference: f64| scaled(reference, COLUMN_DENSITY)[kind];
            assert!((2.0 * at(middle) / (at(slow) + at(fast)) - 1.0).abs() < 1e-9);
            let thin = scaled(2.0 * middle, 0.5 * COLUMN_DENSITY)[kind];
            assert!((thin / at(middle) - 1.0).abs() < 1e-9);
            // The trend ends 0.6 of the columns' distance beyond them.
            let end = fast * (fast / slow).powf(0.6);
            assert!((at(1.5 * end) / at(end) - 1.0).abs() < 1e-9);
            assert!((at(0.9 * end) / at(end) - 1.0).abs() > 1e-6);
            let end = slow * (slow / fast).powf(0.6);
            assert!((at(0.6 * end) / at(end) - 1.0).abs() < 1e-9);
            assert!((at(1.1 * end) / at(end) - 1.0).abs() > 1e-6);
        }
    }

    /// One point beyond either end, so that the cubic ends straight: no bend there.
    #[test]
    fn the_table_ends_straight() {
        let [table, _] = both();
        let last = table.values.len() - 1;
        for middle in [1, last - 1] {
            for (column, kind) in (0..2).flat_map(|column| (0..KINDS).map(move |k| (column, k))) {
                let at = |index: usize| table.values[index][column][kind];
                let bend = at(middle - 1) - 2.0 * at(middle) + at(middle + 1);
                assert!(bend.abs() < 1e-12, "{middle} {column} {kind}: {bend}");
            }
        }
    }

    /// The integral of rho k t c^2 r^2 over the blades, by slices of a thousandth,
    /// and the hub's share; with the fifth power of the size.
    #[test]
    fn inertia_is_the_integral_over_the_blades() {
        let blade = Blade::of(BladeStyle::SlowFlight);
        let sum: f64 = (0..1000)
            .map(|k| 1e-3 * (f64::from(k) + 0.5))
            .map(|station| (blade.chord(station) * station).powi(2) * 1e-3)
            .sum();
        let wanted = 1.35 * 3.0 * 1350.0 * 0.7 * blade.thickness * 0.1f64.powi(5) * sum;
        let found = inertia(blade, 0.1, 3.0);
        assert!((found / wanted - 1.0).abs() < 1e-3, "{found} {wanted}");
        assert!((inertia(blade, 0.2, 3.0) / found - 32.0).abs() < 1e-9);
    }
}

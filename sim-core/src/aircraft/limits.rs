//! The allowed range of every measured quantity, and of the length of every
//! name and list, once for the validation, the JSON Schema and the form.
//!
//! The ranges span a 20 g indoor model and a full-size light aeroplane, since
//! published check cases are full size. They refuse slips of the pen (a chord
//! of 20 m, a weight in grams where kilograms are meant), not odd designs.

/// A closed interval of allowed values with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Least allowed value, in `unit`.
    pub min: f64,
    /// Greatest allowed value, in `unit`.
    pub max: f64,
    /// Unit of both bounds as printed in messages; empty for pure numbers.
    pub unit: &'static str,
}

impl Limits {
    /// An interval from `min` to `max` in `unit`.
    pub const fn new(min: f64, max: f64, unit: &'static str) -> Self {
        Self { min, max, unit }
    }

    /// Whether `value` is a finite number inside the interval.
    pub fn contains(&self, value: f64) -> bool {
        value.is_finite() && value >= self.min && value <= self.max
    }

    /// The greatest length of a list or a name.
    pub(crate) const fn longest(&self) -> u32 {
        self.max as u32
    }

    /// The interval in words: `0.01 to 50 m`; a single value where there is one.
    pub fn in_words(&self) -> String {
        if self.min == self.max {
            return spoken(self.min, self.unit);
        }
        format!("{} to {} {}", self.min, self.max, self.unit).trim_end().to_owned()
    }
}

/// What limits apply to: the value of a number, the length of a name or a list.
pub(crate) trait Measured {
    /// The verb before the size.
    const VERB: &str = "is";

    /// The size; nothing where the value is left out.
    fn size(&self) -> Option<f64>;
}

impl Measured for f64 {
    fn size(&self) -> Option<f64> {
        Some(*self)
    }
}

impl Measured for Option<f64> {
    fn size(&self) -> Option<f64> {
        *self
    }
}

impl Measured for u8 {
    fn size(&self) -> Option<f64> {
        Some(f64::from(*self))
    }
}

impl Measured for u32 {
    fn size(&self) -> Option<f64> {
        Some(f64::from(*self))
    }
}

impl Measured for String {
    const VERB: &str = "has";

    fn size(&self) -> Option<f64> {
        Some(self.chars().count() as f64)
    }
}

impl<T> Measured for Vec<T> {
    const VERB: &str = "has";

    fn size(&self) -> Option<f64> {
        Some(self.len() as f64)
    }
}

/// Validation rule for garde: the value, where it is given, lies inside `limits`.
pub(crate) fn within<T: Measured, C>(limits: Limits) -> impl FnOnce(&T, &C) -> garde::Result {
    move |value, _| judge(value.size(), T::VERB, limits)
}

fn judge(size: Option<f64>, verb: &str, limits: Limits) -> garde::Result {
    match size {
        Some(size) if !limits.contains(size) => Err(garde::Error::new(format!(
            "{verb} {}, allowed is {}",
            spoken(size, limits.unit),
            limits.in_words()
        ))),
        _ => Ok(()),
    }
}

fn spoken(value: f64, unit: &str) -> String {
    // A number with three hundred digits helps nobody.
    let number = if value.abs() >= 1e9 { format!("{value:e}") } else { value.to_string() };
    format!("{number} {unit}").trim_end().to_owned()
}

/// Version of the file format.
pub const VERSION: Limits = Limits::new(1.0, super::FORMAT_VERSION as f64, "");
/// Length of a name.
pub const NAME: Limits = Limits::new(1.0, 80.0, "characters");
/// Length of the notes.
pub const NOTES: Limits = Limits::new(0.0, 4000.0, "characters");
/// Number of lifting surfaces.
pub const SURFACES: Limits = Limits::new(1.0, 12.0, "surfaces");
/// Number of panels of a surface.
pub const PANELS: Limits = Limits::new(1.0, 8.0, "panels");
/// Number of control surfaces of a surface.
pub const CONTROLS: Limits = Limits::new(0.0, 4.0, "controls");
/// Number of bodies.
pub const BODIES: Limits = Limits::new(0.0, 40.0, "bodies");
/// Number of propellers with their drives.
pub const UNITS: Limits = Limits::new(0.0, 4.0, "propellers");
/// Number of weights.
pub const PARTS: Limits = Limits::new(1.0, 200.0, "parts");
/// Number of wheels.
pub const WHEELS: Limits = Limits::new(1.0, 8.0, "wheels");
/// Number of holes that an arm or a horn offers.
pub const HOLES: Limits = Limits::new(0.0, 12.0, "holes");
/// Distance of a part from the datum, along one axis.
pub const POSITION: Limits = Limits::new(-50.0, 50.0, "m");
/// Span of one panel, measured along the panel.
pub const PANEL_SPAN: Limits = Limits::new(0.005, 50.0, "m");
/// Chord at a panel's end. A pointed tip is written as 1 mm.
pub const CHORD: Limits = Limits::new(0.001, 20.0, "m");
/// Sweep of a panel, positive aft.
pub const SWEEP: Limits = Limits::new(-60.0, 60.0, "deg");
/// Dihedral of a panel; 90 is a fin that stands up, -90 one that hangs.
pub const DIHEDRAL: Limits = Limits::new(-90.0, 90.0, "deg");
/// Incidence and twist of a panel, positive nose up.
pub const INCIDENCE: Limits = Limits::new(-20.0, 20.0, "deg");
/// Thickness over chord of a section.
pub const THICKNESS: Limits = Limits::new(0.001, 0.25, "");
/// Camber over chord of a section.
pub const CAMBER: Limits = Limits::new(-0.12, 0.12, "");
/// Measured zero-lift angle of a section.
pub const ZERO_LIFT_ANGLE: Limits = Limits::new(-15.0, 15.0, "deg");
/// Measured lift slope of a section.
pub const SECTION_SLOPE: Limits = Limits::new(2.0, 7.5, "per rad");
/// Measured pitching-moment coefficient of a section.
pub const SECTION_MOMENT: Limits = Limits::new(-0.4, 0.4, "");
/// Measured greatest lift coefficient of a section.
pub const SECTION_LIFT: Limits = Limits::new(0.2, 3.0, "");
/// Measured least drag coefficient of a section or a body.
pub const DRAG: Limits = Limits::new(0.0, 3.0, "");
/// Place along a surface's span: 0 at its root, 1 at its tip.
pub const SPAN_FRACTION: Limits = Limits::new(0.0, 1.0, "");
/// Chord of a control surface over local chord; 1 is an all-moving surface.
pub const HINGE_FRACTION: Limits = Limits::new(0.05, 1.0, "");
/// Greatest deflection of a control surface to either side.
pub const THROW: Limits = Limits::new(0.0, 60.0, "deg");
/// Width or height of a body.
pub const BODY_SIZE: Limits = Limits::new(0.0005, 10.0, "m");
/// Mass of one part.
pub const PART_MASS: Limits = Limits::new(0.0, 5000.0, "kg");
/// Edge of a block-shaped part.
pub const BLOCK_EDGE: Limits = Limits::new(0.0, 20.0, "m");
/// Mass of a whole aircraft.
pub const TOTAL_MASS: Limits = Limits::new(0.001, 10_000.0, "kg");
/// Areal density of sheet material.
pub const AREAL_DENSITY: Limits = Limits::new(0.0, 50.0, "kg/m2");
/// Moment of inertia of a whole aircraft.
pub const INERTIA: Limits = Limits::new(1e-8, 1e6, "kg m2");
/// Product of inertia of a whole aircraft.
pub const INERTIA_PRODUCT: Limits = Limits::new(-1e6, 1e6, "kg m2");
/// Propeller diameter.
pub const PROPELLER_DIAMETER: Limits = Limits::new(0.02, 4.0, "m");
/// Propeller pitch.
pub const PROPELLER_PITCH: Limits = Limits::new(0.01, 5.0, "m");
/// Number of blades of a propeller.
pub const BLADES: Limits = Limits::new(2.0, 6.0, "blades");
/// Tilt of a thrust line.
pub const THRUST_ANGLE: Limits = Limits::new(-20.0, 20.0, "deg");
/// Motor speed constant.
pub const MOTOR_KV: Limits = Limits::new(20.0, 30_000.0, "rpm/V");
/// Electrical resistance of a motor, a controller or one cell.
pub const RESISTANCE: Limits = Limits::new(0.0, 5.0, "ohm");
/// An electric current.
pub const CURRENT: Limits = Limits::new(0.0, 1000.0, "A");
/// Number of cells in series.
pub const CELLS: Limits = Limits::new(1.0, 24.0, "cells");
/// Charge of a full pack.
pub const CAPACITY: Limits = Limits::new(0.01, 100.0, "Ah");
/// Voltage of one resting cell.
pub const CELL_VOLTAGE: Limits = Limits::new(2.5, 4.4, "V");
/// Thrust of a propeller at rest, where it is given outright.
pub const STATIC_THRUST: Limits = Limits::new(0.0, 20_000.0, "N");
/// Airspeed at which a given thrust has fallen to nothing.
pub const AIRSPEED: Limits = Limits::new(0.5, 200.0, "m/s");
/// Reference area given outright.
pub const AREA: Limits = Limits::new(1e-4, 200.0, "m2");
/// Distance of a hole from shaft or hinge line.
pub const HOLE_DISTANCE: Limits = Limits::new(0.001, 0.5, "m");
/// A height or an offset of either sign.
pub const OFFSET: Limits = Limits::new(-0.5, 0.5, "m");
/// Length of a pushrod from hole to hole.
pub const PUSHROD_LENGTH: Limits = Limits::new(0.005, 10.0, "m");
/// Lean of the servo arm with the stick in the middle.
pub const ARM_NEUTRAL: Limits = Limits::new(-60.0, 60.0, "deg");
/// Inner diameter of a pushrod; 0 for a solid rod.
pub const INNER_DIAMETER: Limits = Limits::new(0.0, DIAMETER.max, "m");
/// Outer diameter of a pushrod.
pub const DIAMETER: Limits = Limits::new(0.0002, 0.03, "m");
/// Length between supports.
pub const FREE_LENGTH: Limits = Limits::new(0.005, 10.0, "m");
/// How far a pushrod is bent out of line.
pub const BOW: Limits = Limits::new(0.0, 0.1, "m");
/// Young's modulus given outright.
pub const YOUNGS_MODULUS: Limits = Limits::new(1e8, 1e12, "Pa");
/// Seconds for 60 deg without load.
pub const SERVO_SPEED: Limits = Limits::new(0.01, 2.0, "s");
/// Torque at which a servo stops.
pub const STALL_TORQUE: Limits = Limits::new(0.001, 50.0, "N m");
/// Turn of a servo to either side at full channel travel.
pub const SERVO_TRAVEL: Limits = Limits::new(5.0, 90.0, "deg");
/// Play of holes, both ends together.
pub const HOLE_PLAY: Limits = Limits::new(0.0, 0.005, "m");
/// Play of a servo's gear, from stop to stop.
pub const GEAR_PLAY: Limits = Limits::new(0.0, 10.0, "deg");
/// Throw at full stick as it is set in the radio.
pub const SET_THROW: Limits = Limits::new(0.5, 60.0, "deg");
/// Expo as it is set in the radio, as a fraction.
pub const EXPO: Limits = Limits::new(0.0, 1.0, "");
/// Angle of a steered wheel.
pub const STEERING: Limits = Limits::new(0.0, 60.0, "deg");
/// Stiffness of a wheel with its leg.
pub const WHEEL_STIFFNESS: Limits = Limits::new(1.0, 1e6, "N/m");
/// Damping of a wheel with its leg.
pub const WHEEL_DAMPING: Limits = Limits::new(0.0, 1e5, "N s/m");
/// Friction over load of a wheel.
pub const FRICTION: Limits = Limits::new(0.0, 2.0, "");

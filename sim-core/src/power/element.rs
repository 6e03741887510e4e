//! Blade-element momentum theory: the loads of a propeller in one state.
//!
//! Each annulus finds the inflow angle at which the blade's force equals the
//! momentum the air takes up, with Prandtl's losses at tip and hub. The
//! equation in the inflow angle alone, which always has a root between two
//! known ends, follows Ning (Wind Energy 17, 2014, pp. 1327-1345, from
//! memory), written here for a propeller and free of divisions, so that
//! standstill, hover and windmilling need no cases:
//! (4 F sin2 - s cn) Vt - (4 F sin cos + s ct) Va = 0.
//! In backward flow (air coming from behind) momentum theory ends; there the
//! bare blade-element forces without induction are used, an estimate (30 %).

use std::f64::consts::{FRAC_2_PI, FRAC_PI_2, PI};

use super::blade::Blade;
use super::bracket::find_rising_root;
use super::section::LocalSection;

/// Elements along a blade; 200 change thrust and torque by less than 1.5 %, see
/// the tests.
const ELEMENTS: usize = 8;
/// Gauss-Legendre places and weights on (-1, 1), the positive half.
const GAUSS: [(f64, f64); ELEMENTS / 2] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_5),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_3),
];
/// Radius over tip radius where the blade begins to work (estimate).
const HUB: f64 = 0.12;
/// The inflow angle is sought from here to a right angle, rad.
const INFLOW_MIN: f64 = 1e-4;
/// To this width, rad.
const INFLOW_TOLERANCE: f64 = 1e-5;
/// First step of the search from a neighbouring state's angle, rad.
const INFLOW_STEP: f64 = 0.006;
/// First step of the search without one, rad.
const INFLOW_STEP_BLIND: f64 = 0.1;
/// Beyond this exponent Prandtl's loss is less than 2e-4 and left out.
const LOSS_EXPONENT_MAX: f64 = 8.0;
/// Least loss factor, so that momentum never vanishes from the equation.
const LOSS_MIN: f64 = 1e-3;
/// Step of the inflow angle for the derivative of the section forces, rad.
const ANGLE_STEP: f64 = 0.01;
/// Ratio of backward axial speed to tip speed from which induction fades, and
/// at which it is gone (estimate: the vortex-ring state lies between).
const BACKWARD_FADE: (f64, f64) = (0.15, 0.35);

/// Inflow angles of all elements, the start for the next state's search.
pub(super) type Inflow = [Option<f64>; ELEMENTS];

/// One cut through the blade, lengths over tip radius.
#[derive(Debug, Clone, Copy)]
struct Element {
    station: f64,
    width: f64,
    chord: f64,
    solidity: f64,
    angle: f64,
    angle_sine: f64,
    angle_cosine: f64,
}

impl Element {
    fn new(blade: &Blade, pitch_over_radius: f64, blades: f64, station: f64, width: f64) -> Self {
        let chord = blade.chord(station);
        let angle = (pitch_over_radius * blade.pitch(station) / (2.0 * PI * station)).atan();
        Self {
            station,
            width,
            chord,
            solidity: blades * chord / (2.0 * PI * station),
            angle,
            angle_sine: angle.sin(),
            angle_cosine: angle.cos(),
        }
    }
}

/// A propeller cut into elements.
#[derive(Debug, Clone)]
pub(super) struct BladeElements {
    elements: [Element; ELEMENTS],
    blades: f64,
    blade: &'static Blade,
}

/// Loads over density and squared tip radius (thrust, side force), or cubed
/// (torque, yawing moment), in the units of the speeds given.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct ScaledLoads {
    /// Force along the shaft, positive forward.
    pub thrust: f64,
    /// Moment that resists the rotation.
    pub torque: f64,
    /// Force against a sideways motion of the hub, per its speed.
    pub side_per_speed: f64,
    /// Moment about the direction of that motion, per its speed.
    pub yaw_per_speed: f64,
}

impl BladeElements {
    /// Cuts up a blade with its printed pitch over tip radius.
    pub(super) fn new(blade: &'static Blade, pitch_over_radius: f64, blades: u8) -> Self {
        let blades = f64::from(blades);
        let element = |index: usize| {
            let (place, weight) = GAUSS[index / 2];
            let side = if index.is_multiple_of(2) { place } else { -place };
            let station = HUB + (1.0 - HUB) * 0.5 * (1.0 + side);
            let width = 0.5 * (1.0 - HUB) * weight;
            Element::new(blade, pitch_over_radius, blades, station, width)
        };
        Self { elements: std::array::from_fn(element), blades, blade }
    }

    /// Loads at an axial speed (positive: flying forward) and a tip speed.
    /// `reynolds_per_speed` is the Reynolds number of a chord as long as the
    /// tip radius at unit speed. `inflow` is read as a first guess and left
    /// with this state's angles.
    pub(super) fn loads(
        &self,
        axial: f64,
        tip_speed: f64,
        reynolds_per_speed: f64,
        inflow: &mut Inflow,
    ) -> ScaledLoads {
        let mut sum = ScaledLoads::default();
        for (element, guess) in self.elements.iter().zip(inflow) {
            let tangential = tip_speed * element.station;
            let speed = (axial * axial + tangential * tangential).sqrt();
            let reynolds = reynolds_per_speed * element.chord * speed;
            let section = self.blade.section.at(reynolds, element.chord / element.station);
            let state = State { element, section, blades: self.blades, axial, tangential };
            state.add_loads(-axial / tip_speed.max(f64::MIN_POSITIVE), guess, &mut sum);
        }
        sum
    }
}

impl ScaledLoads {
    fn add(&mut self, other: Self, share: f64) {
        self.thrust += share * other.thrust;
        self.torque += share * other.torque;
        self.side_per_speed += share * other.side_per_speed;
        self.yaw_per_speed += share * other.yaw_per_speed;
    }
}

/// An element in its velocity triangle, before induction.
struct State<'a> {
    element: &'a Element,
    section: LocalSection,
    blades: f64,
    axial: f64,
    tangential: f64,
}

impl State<'_> {
    /// Adds this element's loads; `backward` is the ratio of backward axial
    /// speed to tip speed.
    fn add_loads(&self, backward: f64, guess: &mut Option<f64>, sum: &mut ScaledLoads) {
        let (fade_from, fade_to) = BACKWARD_FADE;
        let share = ((fade_to - backward) / (fade_to - fade_from)).clamp(0.0, 1.0);
        *guess = if share > 0.0 { self.inflow_angle(*guess) } else { None };
        let induced_share = if guess.is_some() { share } else { 0.0 };
        if let Some(angle) = *guess {
            sum.add(self.induced_loads(angle), induced_share);
        }
        if induced_share < 1.0 {
            sum.add(self.bare_loads(), 1.0 - induced_share);
        }
    }

    /// Coefficients along the shaft and against the rotation at an inflow
    /// angle given with its sine and cosine.
    fn coefficients(&self, angle: f64, sine: f64, cosine: f64) -> (f64, f64) {
        let element = self.element;
        let (lift, drag) = self.section.lift_and_drag(
            element.angle - angle,
            element.angle_sine * cosine - element.angle_cosine * sine,
            element.angle_cosine * cosine + element.angle_sine * sine,
        );
        (lift * cosine - drag * sine, lift * sine + drag * cosine)
    }

    /// Prandtl's loss factor of tip and hub together.
    fn loss(&self, sine: f64) -> f64 {
        let station = self.element.station;
        let turns = 0.5 * self.blades / sine.abs().max(INFLOW_MIN);
        let tip = edge_loss(turns * (1.0 - station) / station);
        let hub = edge_loss(turns * (station - HUB) / HUB);
        (tip * hub).max(LOSS_MIN)
    }

    /// Difference of momentum and blade force; rises from negative to
    /// positive over the angles searched.
    fn residual(&self, angle: f64) -> f64 {
        let (sine, cosine) = angle.sin_cos();
        let (along, across) = self.coefficients(angle, sine, cosine);
        let momentum = 4.0 * self.loss(sine) * sine;
        let solidity = self.element.solidity;
        (momentum * sine - solidity * along) * self.tangential
            - (momentum * cosine + solidity * across) * self.axial
    }

    /// The inflow angle, if momentum theory has one in forward flow.
    fn inflow_angle(&self, guess: Option<f64>) -> Option<f64> {
        let (guess, step) = match guess {
            Some(neighbour) => (neighbour, INFLOW_STEP),
            None => (self.element.angle, INFLOW_STEP_BLIND),
        };
        let range = (INFLOW_MIN, FRAC_PI_2);
        find_rising_root(|x| self.residual(x), guess, step, range, INFLOW_TOLERANCE)
    }

    /// Loads with induction, at the inflow angle found.
    fn induced_loads(&self, angle: f64) -> ScaledLoads {
        let (sine, cosine) = angle.sin_cos();
        let (along, across) = self.coefficients(angle, sine, cosine);
        let taken = self.element.solidity / (4.0 * self.loss(sine) * sine);
        // Both equal the undisturbed component over the speed of the air on
        // the blade; together they stay regular where either one vanishes.
        let axial_share = sine - taken * along;
        let tangential_share = cosine + taken * across;
        let speed = (self.axial * axial_share + self.tangential * tangential_share)
            / (axial_share * axial_share + tangential_share * tangential_share);
        self.loads(angle, speed, (sine, cosine), (along, across))
    }

    /// Loads without induction.
    fn bare_loads(&self) -> ScaledLoads {
        let angle = self.axial.atan2(self.tangential);
        let (sine, cosine) = angle.sin_cos();
        let forces = self.coefficients(angle, sine, cosine);
        self.loads(angle, self.axial.hypot(self.tangential), (sine, cosine), forces)
    }

    /// Loads of this element on all blades. Sideways terms: a hub moving
    /// sideways changes the tangential speed by its component along the blade
    /// motion, so forces change with the cosine of the azimuth; half remains
    /// in the mean. Induction stays as it is.
    fn loads(
        &self,
        angle: f64,
        speed: f64,
        (sine, cosine): (f64, f64),
        (along, across): (f64, f64),
    ) -> ScaledLoads {
        // Sine and cosine of the next angle to second order.
        let turned = 1.0 - 0.5 * ANGLE_STEP * ANGLE_STEP;
        let (along_next, across_next) = self.coefficients(
            angle + ANGLE_STEP,
            sine * turned + cosine * ANGLE_STEP,
            cosine * turned - sine * ANGLE_STEP,
        );
        let element = self.element;
        let area = 0.5 * self.blades * element.chord * element.width;
        let per_speed = |now: f64, next: f64| {
            area * speed * (2.0 * cosine * now - sine * (next - now) / ANGLE_STEP)
        };
        ScaledLoads {
            thrust: area * speed * speed * along,
            torque: area * speed * speed * across * element.station,
            side_per_speed: 0.5 * per_speed(across, across_next),
            yaw_per_speed: 0.5 * per_speed(along, along_next) * element.station,
        }
    }
}

/// Prandtl's loss at one end, 2/pi acos(exp(-x)), the arc cosine by the
/// polynomial 4.4.45 of Abramowitz and Stegun (1964, from memory; 7e-5).
fn edge_loss(exponent: f64) -> f64 {
    if exponent > LOSS_EXPONENT_MAX {
        return 1.0;
    }
    let y = (-exponent).exp();
    let series = 1.570_728_8 + y * (-0.212_114_4 + y * (0.074_261_0 - y * 0.018_729_3));
    FRAC_2_PI * (1.0 - y).max(0.0).sqrt() * series
}

#[cfg(test)]
mod tests;

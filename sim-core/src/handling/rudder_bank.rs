//! How well does the rudder bank an aircraft that has no ailerons?
//!
//! The rudder yaws, sideslip builds up, dihedral turns sideslip into roll. Four
//! things decide how that feels: how much bank comes in a second, whether a
//! held rudder settles into a steady bank or tightens, how much sideslip it
//! takes, and how long the bank waits, the fin above the roll axis first
//! rolling the wrong way. The step is computed exactly for the linear model
//! with the matrix exponential; the steady turn from the roll and yaw balance.
//! Valid for small angles about straight flight. No specification covers this:
//! the limits are our estimates and say so.
//!
//! Reference: B. Etkin and L. D. Reid, "Dynamics of Flight", 3rd ed. 1996,
//! ch. 6 and 7.

use nalgebra::{Matrix4, Vector4};
use serde::{Deserialize, Serialize};

use super::criteria::{Band, Level, Side, Source};
use super::linear_step::{Channel, SAMPLES_PER_S, StickModel, step_response};
use crate::analysis::{Derivatives, LinearModel};

/// What the rating needs.
///
/// # Conventions
/// States v (m/s), p, r (rad/s), phi (rad) in body axes. `input` is per rad of
/// rudder in the sense of the stick: positive asks for nose right, that is
/// minus the ISO 1151 rudder. Derivatives are non-dimensional, rates by
/// b/(2 V), the rudder's with the same sense as `input`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RudderBankInputs {
    /// Lateral system matrix.
    pub system: Matrix4<f64>,
    /// Column of the rudder.
    pub input: Vector4<f64>,
    /// Lateral derivatives.
    pub derivatives: LateralDerivatives,
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Span, m.
    pub span_m: f64,
    /// Rudder at full stick, rad.
    pub throw_rad: f64,
    /// Time constant of the servo and dead time of the link together, s.
    pub actuation_delay_s: f64,
    /// Bank after one second of full stick as the nonlinear model flies it,
    /// rad; `None` takes the linear one.
    pub bank_flown_rad: Option<f64>,
}

/// Lateral derivatives per rad, stability axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LateralDerivatives {
    /// Roll due to sideslip; dihedral makes it negative.
    pub cl_beta: f64,
    /// Roll due to roll rate.
    pub cl_p: f64,
    /// Roll due to yaw rate.
    pub cl_r: f64,
    /// Roll due to rudder, in the sense of the stick.
    pub cl_rudder: f64,
    /// Yaw due to sideslip.
    pub cn_beta: f64,
    /// Yaw due to yaw rate.
    pub cn_r: f64,
    /// Yaw due to rudder, in the sense of the stick.
    pub cn_rudder: f64,
}

impl LateralDerivatives {
    /// Taken from all derivatives; the rudder's with the sign of the stick.
    pub fn of(all: &Derivatives) -> Self {
        Self {
            cl_beta: all.by_beta.rolling_moment,
            cl_p: all.by_roll_rate.rolling_moment,
            cl_r: all.by_yaw_rate.rolling_moment,
            cl_rudder: -all.by_rudder.rolling_moment,
            cn_beta: all.by_beta.yawing_moment,
            cn_r: all.by_yaw_rate.yawing_moment,
            cn_rudder: -all.by_rudder.yawing_moment,
        }
    }
}

impl RudderBankInputs {
    /// From a linear model and the derivatives about the same state.
    pub fn new(
        model: &LinearModel,
        derivatives: &Derivatives,
        span_m: f64,
        throw_rad: f64,
        actuation_delay_s: f64,
    ) -> Self {
        let StickModel { system, input } = StickModel::new(model, Channel::Rudder);
        Self {
            system,
            input,
            derivatives: LateralDerivatives::of(derivatives),
            airspeed_m_s: model.airspeed_m_s,
            span_m,
            throw_rad,
            actuation_delay_s,
            bank_flown_rad: None,
        }
    }
}

/// Where a held rudder leads.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HeldRudder {
    /// To a steady turn.
    Settles {
        /// Bank per rudder, rad per rad.
        bank_per_rad: f64,
        /// Sideslip per rudder there, rad per rad.
        sideslip_per_rad: f64,
    },
    /// The bank grows as long as the rudder is held: the spiral diverges.
    Tightens,
    /// The aircraft ends up banked against the rudder.
    Reverses,
}

/// The answer to a rudder step.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RudderStep {
    /// Bank after one second per rudder, rad per rad.
    pub bank_at_1_s_per_rad: f64,
    /// Sideslip after one second per rudder, rad per rad; nose right of the
    /// flight path is negative.
    pub sideslip_at_1_s_per_rad: f64,
    /// Greatest bank to the wrong side per rudder, rad per rad, not negative.
    pub adverse_bank_per_rad: f64,
    /// Time until the bank is on the right side, s, servo and link included;
    /// `None` where it is not within [`STEP_S`].
    pub delay_s: Option<f64>,
}

/// What a change of dihedral does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DihedralChange {
    /// The change of dihedral, rad, each side.
    pub change_rad: f64,
    /// Bank after one second per rudder with it, rad per rad.
    pub bank_at_1_s_per_rad: f64,
}

/// A quality of rudder-driven bank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RudderBankCriterion {
    /// Bank after one second at full stick, rad.
    BankAtOneSecond,
    /// Time until the bank starts the right way, s.
    Delay,
    /// Wrong-way bank over bank at one second.
    AdverseBank,
    /// Sideslip over bank, both after one second.
    SideslipPerBank,
}

/// One quality held against our estimated limits.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RudderBankRating {
    /// What is rated.
    pub criterion: RudderBankCriterion,
    /// Its value.
    pub value: f64,
    /// Limits of the three levels.
    pub limits: [Band; 3],
    /// The best level whose limits hold.
    pub level: Level,
    /// Side of the best band.
    pub side: Side,
    /// Always an estimate.
    pub source: Source,
}

/// All about banking by rudder.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RudderBank {
    /// Answer to a step.
    pub step: RudderStep,
    /// Bank after one second at full stick, rad: as flown where that is known,
    /// else by the linear model.
    pub bank_at_1_s_full_rad: f64,
    /// Where a held rudder leads.
    pub held: HeldRudder,
    /// Steady sideslip that rolls at one rad/s, rad: -cl_p b/(2 V cl_beta)
    /// with the sign left out; `None` without dihedral effect.
    pub sideslip_per_roll_rate_s: Option<f64>,
    /// Whether the rudder alone rolls the wrong way.
    pub adverse_first: bool,
    /// Two degrees less and two degrees more dihedral; empty until the aircraft
    /// was built anew with them.
    pub dihedral: Vec<DihedralChange>,
    /// The ratings.
    pub ratings: Vec<RudderBankRating>,
}

/// Length of the step that is looked at, s.
pub const STEP_S: f64 = 3.0;

/// Rates how the rudder banks; `None` where inputs are not finite, airspeed
/// or span are not positive, or the model blows up within [`STEP_S`].
pub fn rate_rudder_bank(inputs: &RudderBankInputs) -> Option<RudderBank> {
    let d = &inputs.derivatives;
    let derivatives = [d.cl_beta, d.cl_p, d.cl_r, d.cl_rudder, d.cn_beta, d.cn_r, d.cn_rudder];
    let numbers = [inputs.throw_rad, inputs.actuation_delay_s];
    if !(inputs.airspeed_m_s > 0.0
        && inputs.span_m > 0.0
        && derivatives.iter().all(|x| x.is_finite())
        && numbers.iter().all(|x| x.is_finite() && *x >= 0.0))
    {
        return None;
    }
    let step = rudder_step(inputs)?;
    let per_roll_rate = (d.cl_p * inputs.span_m / (2.0 * inputs.airspeed_m_s * d.cl_beta)).abs();
    let bank_at_1_s_full_rad = inputs
        .bank_flown_rad
        .filter(|bank| bank.is_finite())
        .unwrap_or(step.bank_at_1_s_per_rad * inputs.throw_rad);
    Some(RudderBank {
        bank_at_1_s_full_rad,
        held: held_rudder(d, inputs.airspeed_m_s, inputs.span_m),
        sideslip_per_roll_rate_s: per_roll_rate.is_finite().then_some(per_roll_rate),
        adverse_first: inputs.input[1] < 0.0,
        dihedral: Vec::new(),
        ratings: rate_step(&step, bank_at_1_s_full_rad),
        step,
    })
}

/// Steady turn with the rudder held: roll and yaw balance without roll rate,
/// bank from the turn rate g/V.
fn held_rudder(d: &LateralDerivatives, airspeed_m_s: f64, span_m: f64) -> HeldRudder {
    // cl_beta b + cl_r r + cl_rudder = 0 and the same in yaw, by Cramer; the
    // determinant is the spiral's: positive where it converges.
    let spiral = d.cl_beta * d.cn_r - d.cn_beta * d.cl_r;
    if spiral <= 0.0 {
        return HeldRudder::Tightens;
    }
    let sideslip_per_rad = (d.cl_r * d.cn_rudder - d.cn_r * d.cl_rudder) / spiral;
    let yaw_rate = (d.cn_beta * d.cl_rudder - d.cl_beta * d.cn_rudder) / spiral;
    let yaw_rate_rad_s = yaw_rate * 2.0 * airspeed_m_s / span_m;
    let bank_per_rad = airspeed_m_s / STANDARD_GRAVITY_M_S2 * yaw_rate_rad_s;
    if !(bank_per_rad.is_finite() && sideslip_per_rad.is_finite()) {
        HeldRudder::Tightens
    } else if bank_per_rad <= 0.0 {
        HeldRudder::Reverses
    } else {
        HeldRudder::Settles { bank_per_rad, sideslip_per_rad }
    }
}

/// Standard gravity, m/s2 (ISO 80000-3).
const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;

/// Steps the rudder by one rad.
fn rudder_step(inputs: &RudderBankInputs) -> Option<RudderStep> {
    let samples = step_response(&inputs.system, &inputs.input, STEP_S)?;
    let at_one_second = samples.get(SAMPLES_PER_S - 1)?;
    let start = samples.iter().position(|state| state[3] > 0.0);
    let adverse = samples[..start.unwrap_or(samples.len())]
        .iter()
        .fold(0.0_f64, |most, state| most.max(-state[3]));
    // Where the straight line between both samples passes zero.
    let started = start.map(|index| {
        let before = if index == 0 { 0.0 } else { samples[index - 1][3] };
        let part = -before / (samples[index][3] - before);
        (index as f64 + part) / SAMPLES_PER_S as f64
    });
    Some(RudderStep {
        bank_at_1_s_per_rad: at_one_second[3],
        sideslip_at_1_s_per_rad: at_one_second[0] / inputs.airspeed_m_s,
        adverse_bank_per_rad: adverse,
        delay_s: started.map(|time| time + inputs.actuation_delay_s),
    })
}

/// Estimates, from what builders of rudder-elevator models call brisk or
/// lazy: each good to a third or so.
fn rate_step(step: &RudderStep, bank_at_1_s_full_rad: f64) -> Vec<RudderBankRating> {
    let degrees = f64::to_radians;
    let bank = step.bank_at_1_s_per_rad;
    // Over a bank of nothing a ratio says nothing.
    let over_bank = |value: f64| if bank > 0.0 { Some(value / bank) } else { None };
    let at_most = |values: [f64; 3]| values.map(Band::at_most);
    let candidates = [
        (
            RudderBankCriterion::BankAtOneSecond,
            Some(bank_at_1_s_full_rad),
            [
                Band::between(degrees(20.0), degrees(70.0)),
                Band::between(degrees(10.0), degrees(110.0)),
                Band::at_least(degrees(5.0)),
            ],
        ),
        (RudderBankCriterion::Delay, step.delay_s, at_most([0.2, 0.4, 0.7])),
        (
            RudderBankCriterion::AdverseBank,
            over_bank(step.adverse_bank_per_rad),
            at_most([0.05, 0.15, 0.4]),
        ),
        (
            RudderBankCriterion::SideslipPerBank,
            over_bank(step.sideslip_at_1_s_per_rad.abs()),
            at_most([0.5, 1.0, 2.0]),
        ),
    ];
    candidates
        .into_iter()
        .filter_map(|(criterion, value, limits)| {
            let value = value.filter(|x| x.is_finite())?;
            let level = match limits.iter().position(|band| band.contains(value)) {
                Some(0) => Level::One,
                Some(1) => Level::Two,
                Some(_) => Level::Three,
                None => Level::Worse,
            };
            let side = limits[0].side(value);
            let source = Source::Estimate;
            Some(RudderBankRating { criterion, value, limits, level, side, source })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rudder-elevator trainer of our own invention: 0.6 kg, span 1.2 m,
    /// chord 0.2 m, 9 m/s; dihedral effect and tail as given.
    fn trainer(cl_beta: f64) -> RudderBankInputs {
        let (mass, span, area, v) = (0.6, 1.2, 0.24, 9.0);
        let (ixx, izz) = (0.020, 0.040);
        let d = LateralDerivatives {
            cl_beta,
            cl_p: -0.45,
            cl_r: 0.16,
            cl_rudder: -0.006,
            cn_beta: 0.07,
            cn_r: -0.09,
            cn_rudder: 0.07,
        };
        let qs = 0.5 * 1.225 * v * v * area;
        let rate = span / (2.0 * v);
        let roll = qs * span / ixx;
        let yaw = qs * span / izz;
        let (cy_beta, cy_rudder, cn_p) = (-0.35, -0.12, -0.05);
        #[rustfmt::skip]
        let system = Matrix4::new(
            qs * cy_beta / (mass * v), 0.0, -v, 9.806_65,
            roll * d.cl_beta / v, roll * d.cl_p * rate, roll * d.cl_r * rate, 0.0,
            yaw * d.cn_beta / v, yaw * cn_p * rate, yaw * d.cn_r * rate, 0.0,
            0.0, 1.0, 0.0, 0.0,
        );
        let input = Vector4::new(qs * cy_rudder / mass, roll * d.cl_rudder, yaw * d.cn_rudder, 0.0);
        RudderBankInputs {
            system,
            input,
            derivatives: d,
            airspeed_m_s: v,
            span_m: span,
            throw_rad: 25_f64.to_radians(),
            actuation_delay_s: 0.05,
            bank_flown_rad: None,
        }
    }

    #[test]
    fn dihedral_doubles_the_bank() {
        let flat = rate_rudder_bank(&trainer(-0.01)).unwrap();
        let dihedral = rate_rudder_bank(&trainer(-0.10)).unwrap();
        let (a, b) = (flat.bank_at_1_s_full_rad, dihedral.bank_at_1_s_full_rad);
        assert!(a > 0.0 && b > 1.7 * a, "{} and {} deg", a.to_degrees(), b.to_degrees());
    }

    /// cl_beta cn_r > cn_beta cl_r makes the spiral converge: 0.07 x 0.16 over
    /// 0.09 puts the boundary at cl_beta -0.124. At -0.15 by hand: determinant
    /// 0.0135 - 0.0112 = 0.0023, rate (0.0105 - 0.00042)/0.0023 = 4.383,
    /// bank 4.383 x 15 x 9/9.80665 = 60.33 per rad: 1 deg of rudder holds a
    /// steep turn. Sideslip (0.0112 - 0.00054)/0.0023 = 4.635 holds it off
    /// from overbanking.
    #[test]
    fn a_held_rudder_settles_only_with_a_converging_spiral() {
        assert_eq!(rate_rudder_bank(&trainer(-0.10)).unwrap().held, HeldRudder::Tightens);
        let held = rate_rudder_bank(&trainer(-0.15)).unwrap().held;
        let HeldRudder::Settles { bank_per_rad, sideslip_per_rad } = held else {
            panic!("{held:?}")
        };
        assert!((bank_per_rad - 60.33).abs() < 0.01);
        assert!((sideslip_per_rad - 4.635).abs() < 0.001);
    }

    /// The settled turn is the model's own equilibrium: solve the four
    /// equations for a constant rudder and compare.
    #[test]
    fn steady_turn_is_the_equilibrium_of_the_model() {
        let mut inputs = trainer(-0.20);
        // The quasi-steady balance leaves out the side force; with it gone and
        // the turn rate tied to bank alone both must agree exactly.
        inputs.system[(0, 0)] = 0.0;
        inputs.input[0] = 0.0;
        let steady = inputs.system.lu().solve(&-inputs.input).unwrap();
        let held = rate_rudder_bank(&inputs).unwrap().held;
        let HeldRudder::Settles { bank_per_rad, sideslip_per_rad } = held else {
            panic!("{held:?}")
        };
        assert!((steady[3] / bank_per_rad - 1.0).abs() < 1e-9);
        assert!((steady[0] / 9.0 / sideslip_per_rad - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_high_fin_rolls_the_wrong_way_first() {
        let mut high = trainer(-0.10);
        high.input[1] *= 5.0;
        let (low, high) =
            (rate_rudder_bank(&trainer(-0.10)).unwrap(), rate_rudder_bank(&high).unwrap());
        assert!(high.adverse_first && high.step.adverse_bank_per_rad > 0.0);
        assert!(high.step.adverse_bank_per_rad > low.step.adverse_bank_per_rad);
        assert!(high.step.delay_s.unwrap() > low.step.delay_s.unwrap());
        assert!(high.bank_at_1_s_full_rad < low.bank_at_1_s_full_rad);
    }

    #[test]
    fn nonsense_gives_nothing() {
        let mut inputs = trainer(-0.1);
        inputs.system[(1, 1)] = f64::NAN;
        assert_eq!(rate_rudder_bank(&inputs), None);
        assert_eq!(rate_rudder_bank(&RudderBankInputs { span_m: 0.0, ..trainer(-0.1) }), None);
        let no_dihedral = rate_rudder_bank(&trainer(0.0)).unwrap();
        assert_eq!(no_dihedral.sideslip_per_roll_rate_s, None);
    }

    /// Each derivative from its place; the rudder's turned to the sense of the stick.
    #[test]
    fn lateral_derivatives_come_from_their_places() {
        let none = crate::analysis::Coefficients::default();
        let by = |rolling_moment: f64, yawing_moment: f64| crate::analysis::Coefficients {
            rolling_moment,
            yawing_moment,
            ..none
        };
        let all = Derivatives {
            at_reference: none,
            by_speed: none,
            by_alpha: none,
            by_beta: by(-0.1, 0.07),
            by_roll_rate: by(-0.45, -0.05),
            by_pitch_rate: none,
            by_yaw_rate: by(0.16, -0.09),
            by_alpha_rate: none,
            by_elevator: none,
            by_aileron: by(-0.3, 0.02),
            by_rudder: by(0.006, -0.07),
            by_flap: none,
        };
        assert_eq!(LateralDerivatives::of(&all), trainer(-0.1).derivatives);
    }

    /// v' = c, p' = k v + l, phi' = p: the bank l t2 / 2 + k c t3 / 6 starts the
    /// wrong way by 2 |l|3 / (3 (k c)2) and comes right at 3 |l| / (k c).
    #[test]
    fn a_cubic_bank_is_read_right() {
        let mut inputs = RudderBankInputs { throw_rad: 0.3, ..trainer(-0.1) };
        inputs.system = Matrix4::zeros();
        inputs.system[(1, 0)] = 12.0;
        inputs.system[(3, 1)] = 1.0;
        inputs.input = Vector4::new(-2.0, 3.0, 0.0, 0.0);
        // Against the stick at last: no ratios, no delay to tell of.
        let wrong = rate_rudder_bank(&inputs).unwrap();
        assert!((wrong.step.bank_at_1_s_per_rad + 2.5).abs() < 1e-9);
        assert_eq!(wrong.ratings.len(), 2);
        assert_eq!((wrong.step.delay_s, wrong.adverse_first), (Some(0.05), false));
        inputs.input = Vector4::new(2.0, -3.0, 0.0, 0.0);
        let found = rate_rudder_bank(&inputs).unwrap();
        let close = |ours: f64, theirs: f64, by: f64| {
            assert!((ours - theirs).abs() < by, "{ours} {theirs}");
        };
        close(found.step.bank_at_1_s_per_rad, 2.5, 1e-9);
        close(found.bank_at_1_s_full_rad, 0.75, 1e-9);
        close(found.step.sideslip_at_1_s_per_rad, 2.0 / 9.0, 1e-9);
        close(found.step.adverse_bank_per_rad, 2.0 * 27.0 / (3.0 * 24.0 * 24.0), 1e-9);
        close(found.step.delay_s.unwrap(), 3.0 * 3.0 / 24.0 + 0.05, 2e-4);
        assert!(found.adverse_first);
        // Sideslip that rolls at 1 rad/s: 0.45 x 1.2 / (2 x 9 x 0.1).
        close(found.sideslip_per_roll_rate_s.unwrap(), 0.3, 1e-12);
        let values: Vec<f64> = found.ratings.iter().map(|rating| rating.value).collect();
        let wanted = [0.75, 0.425, 0.03125 / 2.5, 2.0 / 9.0 / 2.5];
        for (ours, theirs) in values.iter().zip(wanted) {
            close(*ours, theirs, 2e-4);
        }
        assert_eq!(values.len(), 4);
        // To the other side the sideslip counts as a size.
        (inputs.system[(1, 0)], inputs.input[0]) = (-12.0, -2.0);
        let mirrored = rate_rudder_bank(&inputs).unwrap();
        close(mirrored.step.sideslip_at_1_s_per_rad, -2.0 / 9.0, 1e-9);
        close(mirrored.ratings[3].value, 2.0 / 9.0 / 2.5, 1e-9);
        inputs.bank_flown_rad = Some(0.6);
        assert_eq!(rate_rudder_bank(&inputs).unwrap().bank_at_1_s_full_rad, 0.6);
    }
}

//! Advice for two models of our own invention, against common practice and in
//! the direction that the theory says.
//!
//! The linear models are built from round non-dimensional derivatives, so that
//! one of them can be changed at a time: balance point, fin, dihedral, delay.

use nalgebra::SMatrix;

use super::advice::{
    AdviceError, Binding, ChannelInputs, ConflictKind, EFFECTIVE_DEFLECTION_RAD, GeometryChange,
    Lever, PresentThrow, ThrowAdvice, assess_present, recommend_throws,
};
use super::authority::{AUTHORITY_MARGIN, Demand, Need, bank_recovery};
use super::sensitivity::{
    Answer, ChannelResponse, Condition, Duty, Phase, SensitivityCriterion, channel_response,
};
use crate::analysis::LinearModel;
use crate::handling::linear_step::{Channel, StickModel};
use crate::handling::pilot::{Pilot, Skill, View};

/// A model by round numbers: mass, span, chord, inertias, derivatives.
#[derive(Clone, Copy)]
struct Round {
    mass_kg: f64,
    span_m: f64,
    chord_m: f64,
    inertia: [f64; 3],
    static_margin: f64,
    tail_power: f64,
    cl_beta: f64,
    aileron_power: f64,
    rudder_area: f64,
    lift_max: f64,
}

/// 0.6 kg, rudder and elevator, 6 deg of dihedral a side.
const TRAINER: Round = Round {
    mass_kg: 0.6,
    span_m: 1.2,
    chord_m: 0.2,
    inertia: [0.020, 0.022, 0.040],
    static_margin: 0.10,
    tail_power: 1.0,
    cl_beta: -0.10,
    aileron_power: 0.0,
    rudder_area: 1.0,
    lift_max: 1.1,
};

/// 0.8 kg, ailerons, little dihedral.
const SPORT: Round = Round {
    mass_kg: 0.8,
    span_m: 1.0,
    inertia: [0.016, 0.024, 0.038],
    cl_beta: -0.03,
    aileron_power: 0.25,
    lift_max: 1.0,
    ..TRAINER
};

const CRUISE_OVER_STALL: f64 = 1.5;
const SERVO_LAG_S: f64 = 0.033;

impl Round {
    fn stall_m_s(&self) -> f64 {
        let area = self.span_m * self.chord_m;
        (2.0 * self.mass_kg * 9.806_65 / (1.225 * area * self.lift_max)).sqrt()
    }

    fn linear(&self, v: f64) -> LinearModel {
        let (m, b, c) = (self.mass_kg, self.span_m, self.chord_m);
        let [ixx, iyy, izz] = self.inertia;
        let g = 9.806_65;
        let qs = 0.5 * 1.225 * v * v * b * c;
        let (lift, lift_slope, drag) = (m * g / qs, 4.5, 0.08);
        let (per_span, per_chord) = (b / (2.0 * v), c / (2.0 * v));
        let (roll, pitch, yaw) = (qs * b / ixx, qs * c / iyy, qs * b / izz);
        let rudder = 0.07 * self.rudder_area;
        let mut a = SMatrix::<f64, 8, 8>::zeros();
        let mut put = |row: usize, column: usize, value: f64| a[(row, column)] = value;
        // u v w p q r phi theta
        put(0, 0, -2.0 * qs * drag / (m * v));
        put(0, 2, 0.7 * qs * lift / (m * v));
        put(0, 7, -g);
        put(2, 0, -2.0 * qs * lift / (m * v));
        put(2, 2, -qs * lift_slope / (m * v));
        put(2, 4, v);
        put(4, 2, -pitch * lift_slope * self.static_margin / v);
        put(4, 4, -pitch * 10.0 * self.tail_power * per_chord);
        put(7, 4, 1.0);
        put(1, 1, -qs * 0.35 / (m * v));
        put(1, 5, -v);
        put(1, 6, g);
        put(3, 1, roll * self.cl_beta / v);
        put(3, 3, -roll * 0.45 * per_span);
        put(3, 5, roll * (0.05 + lift / 4.0) * per_span);
        put(5, 1, yaw * 0.07 / v);
        put(5, 3, -yaw * lift / 8.0 * per_span);
        put(5, 5, -yaw * 0.09 * per_span);
        put(6, 3, 1.0);
        let mut controls = SMatrix::<f64, 8, 5>::zeros();
        let mut put = |row: usize, column: usize, value: f64| controls[(row, column)] = value;
        put(2, 0, -qs * 0.35 * self.tail_power / m);
        put(4, 0, -pitch * self.tail_power);
        put(3, 1, -roll * self.aileron_power);
        put(5, 1, yaw * 0.01 * self.aileron_power);
        put(1, 2, qs * 0.12 * self.rudder_area / m);
        put(3, 2, roll * 0.006 * self.rudder_area);
        put(5, 2, -yaw * rudder);
        let (a, b) = (a, controls);
        LinearModel {
            a,
            b,
            airspeed_m_s: v,
            alpha_rad: 0.0,
            beta_rad: 0.0,
            pitch_rad: 0.0,
            bank_rad: 0.0,
        }
    }

    fn responses(&self, duty: Duty, pilot: &Pilot) -> Vec<ChannelResponse> {
        let cruise = CRUISE_OVER_STALL * self.stall_m_s();
        [(Phase::Slow, 1.2 / 1.5, 0.3), (Phase::Cruise, 1.0, 0.5), (Phase::Fast, 1.4, 1.0)]
            .into_iter()
            .map(|(phase, over_cruise, throttle)| {
                let airspeed_m_s = over_cruise * cruise;
                let condition = Condition { phase, airspeed_m_s, throttle };
                let model = self.linear(airspeed_m_s);
                let to_stall = (airspeed_m_s / self.stall_m_s()).powi(2) - 1.0;
                channel_response(&model, duty, condition, to_stall, pilot, SERVO_LAG_S).unwrap()
            })
            .collect()
    }

    fn inputs(&self, duty: Duty, pilot: &Pilot) -> ChannelInputs {
        let responses = self.responses(duty, pilot);
        // Trim between cruise and stall takes static margin times the change
        // of lift over the elevator's power; forward balance adds 0.08.
        let cruise_lift = self.lift_max / CRUISE_OVER_STALL.powi(2);
        let elevator =
            (self.static_margin + 0.08) * (self.lift_max - cruise_lift) / self.tail_power;
        let demands = match duty {
            Duty::Pitch => vec![
                Demand { need: Need::StallTrim, deflection_rad: elevator },
                Demand { need: Need::Flare, deflection_rad: elevator + 0.06 },
                Demand { need: Need::SteepTurn, deflection_rad: 0.8 * elevator },
            ],
            Duty::Roll | Duty::BankByRudder => {
                let by_rudder = duty == Duty::BankByRudder;
                vec![bank_recovery(&responses[0].bank_at_1_s, pilot.skill, by_rudder)]
            }
            Duty::Yaw => {
                let need = Need::Crosswind;
                vec![Demand { need, deflection_rad: 0.2 / self.rudder_area }]
            }
        };
        ChannelInputs {
            duty,
            demands,
            responses,
            hinge_limit_rad: 35_f64.to_radians(),
            control_chord_m: 0.05,
            levers: Vec::new(),
        }
    }

    fn advice(&self, duty: Duty, pilot: &Pilot) -> ThrowAdvice {
        recommend_throws(&self.inputs(duty, pilot), pilot).unwrap()
    }
}

fn pilot(skill: Skill) -> Pilot {
    Pilot { skill, view: View::DirectSight }
}

fn degrees(advice: &ThrowAdvice) -> (f64, f64) {
    (advice.high_rate_rad.to_degrees(), advice.low_rate_rad.to_degrees())
}

/// Bands of common practice for one who can fly: elevator 10 to 15 deg, rudder
/// of a rudder-elevator trainer 20 to 30 deg, aileron 10 to 15 deg and more on
/// high rate, expo 20 to 40 % and up to 60 % on the high rate of a quick model. Low rates may lie some degrees below, since
/// they are meant for fast flight.
#[test]
fn an_experienced_builder_would_nod() {
    let practised = pilot(Skill::Practised);
    for (name, model, duty, high, low) in [
        ("trainer elevator", TRAINER, Duty::Pitch, 10.0..20.0, 7.0..15.0),
        ("trainer rudder", TRAINER, Duty::BankByRudder, 20.0..30.1, 14.0..25.0),
        ("sport elevator", SPORT, Duty::Pitch, 10.0..20.0, 7.0..15.0),
        ("sport aileron", SPORT, Duty::Roll, 10.0..25.0, 8.0..15.0),
        ("sport rudder", SPORT, Duty::Yaw, 20.0..30.1, 12.0..25.0),
    ] {
        let advice = model.advice(duty, &practised);
        let (high_deg, low_deg) = degrees(&advice);
        assert!(high.contains(&high_deg), "{name} high {high_deg}");
        assert!(low.contains(&low_deg), "{name} low {low_deg}");
        assert!((0.15..0.601).contains(&advice.expo), "{name} expo {}", advice.expo);
        assert_eq!(advice.conflict, None, "{name}");
    }
}

#[test]
fn skill_never_lowers_a_rate() {
    for duty in [Duty::Pitch, Duty::Roll, Duty::Yaw] {
        let low = |skill| SPORT.advice(duty, &pilot(skill)).low_rate_rad;
        assert!(low(Skill::Beginner) < low(Skill::Practised));
        assert!(low(Skill::Practised) < low(Skill::Expert));
    }
}

/// Half the rudder: what it does is linear in its area, so the throw borne
/// doubles; the advice follows until the section ends it.
#[test]
fn half_the_rudder_asks_for_more_throw() {
    let beginner = pilot(Skill::Beginner);
    let half = Round { rudder_area: 0.5, ..TRAINER };
    let (whole, half) =
        (TRAINER.advice(Duty::BankByRudder, &beginner), half.advice(Duty::BankByRudder, &beginner));
    assert!(matches!(half.high_binds, Binding::Section { .. }), "{:?}", half.high_binds);
    assert!(half.high_rate_rad > 1.3 * whole.high_rate_rad);
    assert!(half.low_rate_rad > 1.3 * whole.low_rate_rad);
}

#[test]
fn more_dihedral_asks_for_less_rudder() {
    let practised = pilot(Skill::Practised);
    let doubled = Round { cl_beta: 2.0 * TRAINER.cl_beta, ..TRAINER };
    let (once, twice) = (
        TRAINER.advice(Duty::BankByRudder, &practised),
        doubled.advice(Duty::BankByRudder, &practised),
    );
    assert!(twice.high_rate_rad < 0.9 * once.high_rate_rad);
}

/// A balance point further aft: the elevator needs less for the flare, and
/// the pilot bears less of it.
#[test]
fn an_aft_balance_point_cuts_the_elevator() {
    let practised = pilot(Skill::Practised);
    let aft = Round { static_margin: 0.02, ..TRAINER };
    let (now, then) =
        (TRAINER.advice(Duty::Pitch, &practised), aft.advice(Duty::Pitch, &practised));
    assert!(then.low_rate_rad < now.low_rate_rad);
    assert!(then.high_rate_rad < now.high_rate_rad);
}

#[test]
fn video_delay_cuts_pitch_and_roll() {
    let practised = pilot(Skill::Practised);
    let camera = Pilot { view: View::Camera { delay_s: 0.12 }, ..practised };
    for duty in [Duty::Pitch, Duty::Roll] {
        let (eyes, picture) = (SPORT.advice(duty, &practised), SPORT.advice(duty, &camera));
        assert!(picture.low_rate_rad < 0.9 * eyes.low_rate_rad, "{duty:?}");
    }
}

/// On high rate the stick around neutral moves the surface as on low rate.
#[test]
fn expo_makes_the_rates_feel_alike_around_neutral() {
    for (model, duty) in
        [(TRAINER, Duty::Pitch), (SPORT, Duty::Roll), (TRAINER, Duty::BankByRudder)]
    {
        let a = model.advice(duty, &pilot(Skill::Beginner));
        let slopes = (a.high_rate_rad * (1.0 - a.expo), a.low_rate_rad * (1.0 - a.low_expo));
        assert!((slopes.0 / slopes.1 - 1.0).abs() < 1e-9, "{duty:?} {slopes:?}");
        assert!((a.low_share - a.low_rate_rad / a.high_rate_rad).abs() < 1e-12);
    }
}

/// A hinge that gives 8 deg where the flare needs 0.17 rad with a quarter more:
/// the conflict says so, and asks for the balance point to go aft by
/// ln(0.2125/0.1396)/20 = 21.0 mm where each metre saves 20 times.
#[test]
fn too_little_hinge_is_a_conflict_with_its_remedy() {
    let practised = pilot(Skill::Practised);
    let mut inputs = TRAINER.inputs(Duty::Pitch, &practised);
    inputs.demands = vec![Demand { need: Need::Flare, deflection_rad: 0.17 }];
    inputs.hinge_limit_rad = 8_f64.to_radians();
    let lever = |change, demand_per_unit, range| Lever {
        change,
        demand_per_unit,
        bearable_per_unit: 0.0,
        range,
    };
    inputs.levers = vec![
        lever(GeometryChange::TailArea, -1.0, (-0.2, 0.2)),
        lever(GeometryChange::BalancePoint, -20.0, (-0.03, 0.03)),
        lever(GeometryChange::Dihedral, 0.0, (-0.1, 0.1)),
    ];
    let advice = recommend_throws(&inputs, &practised).unwrap();
    assert!(matches!(advice.high_binds, Binding::Hinge { .. }));
    let conflict = advice.conflict.unwrap();
    assert_eq!(conflict.kind, ConflictKind::AuthorityShort);
    assert!((conflict.authority_rad.unwrap() - 0.2125).abs() < 1e-12);
    let [best, second] = conflict.remedies[..] else { panic!("{conflict:?}") };
    assert_eq!(best.change, GeometryChange::BalancePoint);
    assert!(best.resolves && (best.amount - 0.0210).abs() < 1e-4, "{best:?}");
    // A fifth more tail saves a fifth where two fifths are wanting.
    assert!(!second.resolves && (second.amount - 0.2).abs() < 1e-12);
}

/// A turn that needs more than the pilot bears on low rate: the need wins, expo
/// softens the centre, and the conflict is told.
#[test]
fn everyday_needs_win_over_sensitivity() {
    let beginner = pilot(Skill::Beginner);
    let mut inputs = SPORT.inputs(Duty::Pitch, &beginner);
    inputs.demands = vec![Demand { need: Need::SteepTurn, deflection_rad: 0.15 }];
    let advice = recommend_throws(&inputs, &beginner).unwrap();
    assert!((advice.low_rate_rad - 0.15).abs() < 1e-12);
    assert!(advice.low_expo > 0.2);
    assert_eq!(advice.conflict.unwrap().kind, ConflictKind::LowRateTouchy);
    // Three times the elevator in the flare and no expo can soften it.
    inputs.demands = vec![Demand { need: Need::Flare, deflection_rad: 0.40 }];
    let advice = recommend_throws(&inputs, &beginner).unwrap();
    assert_eq!(advice.expo, super::advice::EXPO_MAX);
    assert_eq!(advice.conflict.unwrap().kind, ConflictKind::HighRateTouchy);
}

/// 'What I have now': 30 deg of elevator on the trainer, then far too little.
#[test]
fn present_throws_are_predicted_and_cut() {
    let practised = pilot(Skill::Practised);
    let inputs = TRAINER.inputs(Duty::Pitch, &practised);
    let advice = recommend_throws(&inputs, &practised).unwrap();
    let wild = PresentThrow { throw_rad: 30_f64.to_radians(), expo: 0.0 };
    let now = assess_present(&inputs, &practised, &advice, &wild).unwrap();
    assert!((now.high_over_present * wild.throw_rad - advice.high_rate_rad).abs() < 1e-12);
    assert!(now.high_over_present < 0.6 && now.low_over_present < now.high_over_present);
    assert!(now.exceeded.iter().any(|b| b.criterion == SensitivityCriterion::PilotLoop));
    assert!(now.unmet.is_empty());
    let fast = now.predicted[2];
    assert!(fast.share_of_limit.unwrap() > 1.0);
    // At 2.1 times stall speed the wing gives (2.1)2 - 1 = 3.41 g and no more.
    assert!((fast.load_factor - 3.41).abs() < 1e-6, "{}", fast.load_factor);
    // Expo softens the centre, so less is exceeded.
    let soft = PresentThrow { expo: 0.6, ..wild };
    let softened = assess_present(&inputs, &practised, &advice, &soft).unwrap();
    assert!(softened.exceeded.len() < now.exceeded.len());
    let timid = PresentThrow { throw_rad: 3_f64.to_radians(), expo: 0.0 };
    let little = assess_present(&inputs, &practised, &advice, &timid).unwrap();
    assert!(little.exceeded.is_empty() && little.unmet.len() == 3);
    let none = PresentThrow { throw_rad: f64::NAN, expo: 0.0 };
    assert!(assess_present(&inputs, &practised, &advice, &none).is_err());
}

#[test]
fn nothing_known_is_said() {
    let practised = pilot(Skill::Practised);
    let inputs = ChannelInputs {
        duty: Duty::Yaw,
        demands: Vec::new(),
        responses: Vec::new(),
        hinge_limit_rad: 0.5,
        control_chord_m: 0.05,
        levers: Vec::new(),
    };
    assert_eq!(recommend_throws(&inputs, &practised), Err(AdviceError::NothingKnown(Duty::Yaw)));
    let bad = ChannelInputs { control_chord_m: 0.0, ..inputs };
    let error = recommend_throws(&bad, &practised).unwrap_err();
    assert!(error.to_string().starts_with("control_chord_m: is 0"), "{error}");
}

/// The peaks of the response against the two closed forms that hold for a
/// second: steady roll rate -L_da/L_p, and load factor from the lift slope.
#[test]
fn responses_agree_with_hand_formulas() {
    // Without sideslip coupling the aileron's roll rate settles at
    // 2 V/b x 0.25/0.45.
    let pure = Round { cl_beta: 0.0, ..SPORT };
    let roll = pure.responses(Duty::Roll, &pilot(Skill::Practised))[1];
    let steady = 2.0 * roll.condition.airspeed_m_s / 1.0 * 0.25 / 0.45;
    let peak = roll.peak_rate.per_rad;
    assert!((peak / steady - 1.0).abs() < 0.15, "{peak} {steady}");
    // Load factor per elevator at constant speed: w and q in balance, 2 by 2.
    let pitch = TRAINER.responses(Duty::Pitch, &pilot(Skill::Practised))[1];
    let v = pitch.condition.airspeed_m_s;
    let stick = StickModel::new(&TRAINER.linear(v), Channel::Elevator);
    let short = stick.system.fixed_view::<2, 2>(1, 1).into_owned();
    let steady = short.lu().solve(&-stick.input.fixed_rows::<2>(1).into_owned()).unwrap();
    let load_factor = v * steady[1] / 9.806_65;
    // Within a second speed has changed little: 15 %.
    assert!((pitch.load_factor.per_rad / load_factor - 1.0).abs() < 0.15);
}

/// What no throw exceeds sets no bound: the throw is what hinge and section give,
/// as it is where the bound lies just short of never.
#[test]
fn what_is_never_too_much_leaves_the_whole_throw() {
    let practised = pilot(Skill::Practised);
    let mut inputs = SPORT.inputs(Duty::Yaw, &practised);
    // 30 deg of sideslip are borne; the answers tend to a little less, or more.
    let tending_to = |inputs: &ChannelInputs, degrees: f64| {
        let mut inputs = inputs.clone();
        for response in &mut inputs.responses {
            let sideslip = &mut response.sideslip;
            sideslip.knee_rad = Some(degrees.to_radians() / sideslip.per_rad);
        }
        recommend_throws(&inputs, &practised).unwrap().high_rate_rad
    };
    inputs.demands = vec![Demand { need: Need::Crosswind, deflection_rad: 0.1 }];
    let (never, hardly) = (tending_to(&inputs, 29.9), tending_to(&inputs, 30.1));
    assert_eq!((never, hardly), (EFFECTIVE_DEFLECTION_RAD, EFFECTIVE_DEFLECTION_RAD));
}

/// A bank that no rudder reaches: all there is, and said to be short.
#[test]
fn a_need_that_nothing_meets_asks_for_all_there_is() {
    let practised = pilot(Skill::Practised);
    let mut inputs = TRAINER.inputs(Duty::BankByRudder, &practised);
    let lost = inputs.responses[0].bank_at_1_s.lost();
    inputs.demands = vec![bank_recovery(&lost, practised.skill, true)];
    inputs.levers = vec![Lever {
        change: GeometryChange::FinArea,
        demand_per_unit: -1.0,
        bearable_per_unit: 0.0,
        range: (-0.4, 0.6),
    }];
    let advice = recommend_throws(&inputs, &practised).unwrap();
    let rates = (advice.high_rate_rad, advice.low_rate_rad);
    assert_eq!(rates, (EFFECTIVE_DEFLECTION_RAD, EFFECTIVE_DEFLECTION_RAD));
    let conflict = advice.conflict.unwrap();
    assert_eq!(conflict.kind, ConflictKind::AuthorityShort);
    assert_eq!(conflict.authority_rad, None);
    // All that makes sense, and no promise.
    let [fin] = conflict.remedies[..] else { panic!("{conflict:?}") };
    assert!(fin.amount == 0.6 && !fin.resolves);
}

/// Held against a crosswind with twice the rudder that is borne at full stick.
#[test]
fn a_need_beyond_full_stick_is_a_conflict() {
    let practised = pilot(Skill::Practised);
    let mut inputs = SPORT.inputs(Duty::Yaw, &practised);
    inputs.demands = vec![Demand { need: Need::Crosswind, deflection_rad: 0.3 }];
    let borne_rad = 0.5 * 0.3 * AUTHORITY_MARGIN;
    for response in &mut inputs.responses {
        // 30 deg of sideslip are borne.
        response.sideslip = Answer::straight(30_f64.to_radians() / borne_rad);
    }
    let advice = recommend_throws(&inputs, &practised).unwrap();
    let conflict = advice.conflict.unwrap();
    assert_eq!(conflict.kind, ConflictKind::HighRateStrong);
    assert!((conflict.ratio() - 2.0).abs() < 1e-9);
    // A tenth beyond says nothing, and neither does the same once it is set.
    inputs.demands[0].deflection_rad = 1.1 * borne_rad / AUTHORITY_MARGIN;
    let advice = recommend_throws(&inputs, &practised).unwrap();
    assert_eq!(advice.conflict, None);
    let set = PresentThrow { throw_rad: advice.high_rate_rad, expo: advice.expo };
    assert!(assess_present(&inputs, &practised, &advice, &set).unwrap().exceeded.is_empty());
}

#[test]
fn a_rate_that_cannot_be_set_is_a_conflict() {
    let practised = pilot(Skill::Practised);
    let mut inputs = SPORT.inputs(Duty::Yaw, &practised);
    inputs.demands.clear();
    for response in &mut inputs.responses {
        response.sideslip = Answer::straight(30_f64.to_radians() / 0.5_f64.to_radians());
    }
    let conflict = recommend_throws(&inputs, &practised).unwrap().conflict.unwrap();
    assert_eq!(conflict.kind, ConflictKind::RateTooFine);
}

//! How much deflection does a control need?
//!
//! Each need is a manoeuvre that must be possible; the deflection for it comes
//! from trim or from the response, at the speed and balance where it is
//! hardest. A margin covers what the model leaves out (gusts, a slack
//! linkage). The needs of everyday flight must also be met on low rate, there
//! without the margin, for nobody finds a switch in a fright.

use serde::Serialize;

use super::sensitivity::Answer;
use crate::handling::pilot::Skill;

/// A manoeuvre that must be possible.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Need {
    /// Elevator: hold the nose up at stall speed with the balance point at
    /// its forward limit.
    StallTrim,
    /// Elevator: flare at low height and speed, balance point forward.
    Flare,
    /// Elevator: hold a turn with 60 deg of bank, twice the weight.
    SteepTurn,
    /// Elevator: counter the change of trim when full power is opened.
    GoAround,
    /// Aileron, or rudder where there is none: level the wings from a bank.
    BankRecovery,
    /// Rudder, aileron: hold a crosswind on take-off and landing.
    Crosswind,
    /// Rudder, aileron: counter torque and swirl of the propeller at full
    /// power and low speed.
    PropellerTorque,
}

impl Need {
    /// Whether the need arises in everyday flight, so on low rate too.
    pub fn on_low_rate(self) -> bool {
        matches!(self, Self::SteepTurn | Self::BankRecovery)
    }
}

/// A need with the deflection that it takes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Demand {
    /// The manoeuvre.
    pub need: Need,
    /// Deflection from the trimmed position of normal flight, rad; infinite
    /// where none is enough.
    pub deflection_rad: f64,
}

/// Factor on every demand for the high rate. Estimate, 1.15 to 1.4.
pub const AUTHORITY_MARGIN: f64 = 1.25;

/// Bank (rad) by which the pilot wants to be able to roll in one second, with
/// ailerons or by the rudder alone. Estimate: from 60 deg to level in a second
/// is what a first model needs with ailerons; a rudder-driven one is allowed
/// three times as long.
pub fn bank_in_one_second_rad(skill: Skill, by_rudder: bool) -> f64 {
    let degrees: f64 = match (by_rudder, skill) {
        (false, Skill::Beginner) => 60.0,
        (false, Skill::Practised) => 75.0,
        (false, Skill::Expert) => 110.0,
        (true, Skill::Beginner) => 20.0,
        (true, Skill::Practised) => 25.0,
        (true, Skill::Expert) => 35.0,
    };
    degrees.to_radians()
}

/// The demand of [`Need::BankRecovery`] from the bank after one second at the
/// slowest speed flown; infinite where the control does not roll that far at all.
pub fn bank_recovery(bank_at_1_s: &Answer, skill: Skill, by_rudder: bool) -> Demand {
    let deflection_rad = bank_at_1_s.throw_for(bank_in_one_second_rad(skill, by_rudder));
    Demand { need: Need::BankRecovery, deflection_rad }
}

/// The greatest demand of a list that counts on high or on low rate, with the
/// margin on high rate; demands that are not numbers are passed over, those that
/// nothing meets are the greatest.
pub fn greatest_demand(demands: &[Demand], low_rate: bool) -> Option<Demand> {
    demands
        .iter()
        .filter(|demand| !demand.deflection_rad.is_nan())
        .filter(|demand| !low_rate || demand.need.on_low_rate())
        .map(|demand| {
            let factor = if low_rate { 1.0 } else { AUTHORITY_MARGIN };
            Demand { need: demand.need, deflection_rad: demand.deflection_rad.abs() * factor }
        })
        .max_by(|a, b| a.deflection_rad.total_cmp(&b.deflection_rad))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn margin_on_high_rate_and_everyday_needs_on_low() {
        let demands = [
            Demand { need: Need::Flare, deflection_rad: -0.2 },
            Demand { need: Need::SteepTurn, deflection_rad: 0.1 },
            Demand { need: Need::GoAround, deflection_rad: f64::NAN },
        ];
        let high = greatest_demand(&demands, false).unwrap();
        assert_eq!((high.need, high.deflection_rad), (Need::Flare, 0.25));
        let low = greatest_demand(&demands, true).unwrap();
        assert_eq!((low.need, low.deflection_rad), (Need::SteepTurn, 0.1));
        assert_eq!(greatest_demand(&demands[..1], true), None);
    }

    #[test]
    fn weak_roll_needs_more_and_no_throw_is_enough_where_none_rolls() {
        let demand =
            |per_rad, skill, by_rudder| bank_recovery(&Answer::straight(per_rad), skill, by_rudder);
        let strong = demand(8.0, Skill::Beginner, false);
        let weak = demand(4.0, Skill::Beginner, false);
        assert!((weak.deflection_rad / strong.deflection_rad - 2.0).abs() < 1e-12);
        // 60 deg over 8 per rad: 7.5 deg.
        assert!((strong.deflection_rad.to_degrees() - 7.5).abs() < 1e-9);
        for per_rad in [-1.0, 0.0] {
            let never = demand(per_rad, Skill::Expert, true);
            assert!(never.deflection_rad.is_infinite());
            assert_eq!(greatest_demand(&[strong, never], true), Some(never));
        }
    }
}

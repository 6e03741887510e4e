//! Which throws, rates and expo to set for one channel, and what binds them.
//!
//! The high rate is the greatest need with its margin, or more where the pilot
//! bears more in slow and ordinary flight, up to what hinge and section give.
//! The low rate is what the pilot bears anywhere in the flight, fast flight
//! included, and a step below the high rate, but never less than everyday
//! flight needs. What the pilot's loop bears bounds the slope around neutral,
//! not the end of the throw: usual expo is reckoned in. Expo makes the stick around neutral feel on high rate as on low:
//! the curve y = (1 - k) x + k x3 has the slope 1 - k there, so k is one less
//! the ratio of the rates. Where needs and what is borne contradict each
//! other, authority wins and the conflict is told, with the change of the
//! aircraft that would end it.
//!
//! Shares and limits are estimates or common practice and named as such.

use serde::{Deserialize, Serialize};

use super::authority::{Demand, greatest_demand};
use super::linkage::travel_at_trailing_edge_m;
use super::sensitivity::{
    Bearable, ChannelResponse, Condition, Duty, Phase, least_bearable, least_centre_rad,
    least_full_stick_rad,
};
use crate::handling::pilot::Pilot;
use crate::math::ordered_by;

/// Most expo that is advised. Common practice: beyond 0.6 the stick does
/// nothing around neutral and too much at its end.
pub const EXPO_MAX: f64 = 0.6;
/// Low over high rate where nothing else binds. Common practice: 60 to 75 %.
pub const LOW_SHARE: f64 = 0.75;
/// Deflection beyond which a plain flap gives little more, rad. Common
/// practice: the flow leaves its upper side between 20 and 30 deg.
pub const EFFECTIVE_DEFLECTION_RAD: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// Part by which a limit may be passed before it counts as a conflict: the
/// limits themselves are estimates good to a third, so a smaller gap says
/// nothing. Estimate, 0.1 to 0.2.
pub const CONFLICT_TOLERANCE: f64 = 0.15;
/// Least rate that can be set, rad: 1 deg. Common practice: play of linkage and
/// steps of the servo come to half of that.
pub const RATE_MIN_RAD: f64 = std::f64::consts::PI / 180.0;

/// What the advice for one channel rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct ChannelInputs {
    /// What the channel is used for.
    pub duty: Duty,
    /// The needs, from trim and response.
    pub demands: Vec<Demand>,
    /// The responses at the speeds and throttles of the flight.
    pub responses: Vec<ChannelResponse>,
    /// Deflection that the hinge allows, rad.
    pub hinge_limit_rad: f64,
    /// Chord of the control surface where the ruler is held, m.
    pub control_chord_m: f64,
    /// Changes of the aircraft that could end a conflict.
    pub levers: Vec<Lever>,
}

/// A change of the aircraft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GeometryChange {
    /// Balance point, m, positive aft.
    BalancePoint,
    /// Dihedral each side, rad.
    Dihedral,
    /// Area of the fin, as a fraction of the present one.
    FinArea,
    /// Area of the tailplane, as a fraction of the present one.
    TailArea,
    /// Chord of the control surface, as a fraction of the present one.
    ControlChord,
    /// Greatest deflection of the hinge, rad.
    HingeLimit,
}

/// What a change does, found by computing the aircraft twice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lever {
    /// The change.
    pub change: GeometryChange,
    /// Relative change of the deflection needed per unit of change.
    pub demand_per_unit: f64,
    /// Relative change of the throw borne, or given by the hinge, per unit.
    pub bearable_per_unit: f64,
    /// Least and greatest change that makes sense.
    pub range: (f64, f64),
}

/// What decides a rate.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Binding {
    /// A manoeuvre that needs it; with its margin on high rate.
    Need(Demand),
    /// What the pilot bears.
    Bearable(Bearable),
    /// The hinge goes no further.
    Hinge {
        /// Its limit, rad.
        limit_rad: f64,
    },
    /// More deflection gives no more.
    Section {
        /// Where that begins, rad.
        limit_rad: f64,
    },
    /// Nothing but a sensible step between the rates.
    ShareOfHigh {
        /// Low over high rate.
        share: f64,
    },
}

/// Which kind of contradiction there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ConflictKind {
    /// Hinge or section gives less than a manoeuvre needs, or no deflection is
    /// enough for it.
    AuthorityShort,
    /// The pilot bears less than can be set, [`RATE_MIN_RAD`].
    RateTooFine,
    /// Everyday flight needs more on low rate than the pilot bears.
    LowRateTouchy,
    /// Even with most expo the high rate is too touchy around neutral.
    HighRateTouchy,
    /// A manoeuvre needs more on high rate than the pilot bears at full stick.
    HighRateStrong,
}

/// Authority asks for more than hinge or pilot allow.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Conflict {
    /// Which kind.
    pub kind: ConflictKind,
    /// Deflection that is needed, or can be set, rad; `None` where none is enough.
    pub authority_rad: Option<f64>,
    /// Deflection that is there or is borne, rad.
    pub sensitivity_rad: f64,
    /// Changes that would end it, best first.
    pub remedies: Vec<Remedy>,
}

impl Conflict {
    /// What is needed over what is there; infinite where none is enough.
    pub fn ratio(&self) -> f64 {
        self.authority_rad.unwrap_or(f64::INFINITY) / self.sensitivity_rad
    }
}

/// A change of the aircraft by an amount.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Remedy {
    /// The change.
    pub change: GeometryChange,
    /// By how much, in the change's unit.
    pub amount: f64,
    /// Whether that ends the conflict; otherwise it helps. Tried out where the
    /// assessment gives it.
    pub resolves: bool,
}

/// Throws, rates and expo of one channel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ThrowAdvice {
    /// What the channel is used for.
    pub duty: Duty,
    /// High rate, rad each way.
    pub high_rate_rad: f64,
    /// Low rate, rad each way.
    pub low_rate_rad: f64,
    /// Low over high rate, what a radio calls its dual rate.
    pub low_share: f64,
    /// Expo on high rate, 0 to [`EXPO_MAX`].
    pub expo: f64,
    /// Expo on low rate; 0 unless its slope around neutral is more than the
    /// pilot bears.
    pub low_expo: f64,
    /// Travel at the trailing edge on high rate, m, by a ruler.
    pub high_travel_m: f64,
    /// Travel at the trailing edge on low rate, m, by a ruler.
    pub low_travel_m: f64,
    /// What decides the high rate.
    pub high_binds: Binding,
    /// What decides the low rate.
    pub low_binds: Binding,
    /// Contradiction, if there is one.
    pub conflict: Option<Conflict>,
}

/// Why no advice can be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AdviceError {
    /// Neither a need nor a response is known.
    #[error("the {0:?} channel has neither a need nor a response to rest an advice on")]
    NothingKnown(Duty),
    /// A measurement is unusable.
    #[error("{field}: is {value}, allowed is a number above 0")]
    NotPositive {
        /// The field.
        field: &'static str,
        /// Its value.
        value: f64,
    },
}

/// Advises throws, rates and expo for one channel.
///
/// # Errors
/// [`AdviceError`] where nothing is known of the channel, or hinge limit or
/// chord are not positive numbers.
pub fn recommend_throws(inputs: &ChannelInputs, pilot: &Pilot) -> Result<ThrowAdvice, AdviceError> {
    positive("hinge_limit_rad", inputs.hinge_limit_rad)?;
    positive("control_chord_m", inputs.control_chord_m)?;
    let bounds = Bounds::of(inputs, pilot);
    let (high_rate_rad, high_binds) =
        bounds.high_rate().ok_or(AdviceError::NothingKnown(inputs.duty))?;
    let (low_rate_rad, low_binds) = bounds.low_rate(high_rate_rad);
    let low_expo = expo_for(bounds.centre_anywhere_rad, low_rate_rad);
    let expo = expo_for(Some(low_rate_rad * (1.0 - low_expo)), high_rate_rad);
    let chord = inputs.control_chord_m;
    Ok(ThrowAdvice {
        duty: inputs.duty,
        high_rate_rad,
        low_rate_rad,
        low_share: low_rate_rad / high_rate_rad,
        expo,
        low_expo,
        high_travel_m: travel_at_trailing_edge_m(chord, high_rate_rad),
        low_travel_m: travel_at_trailing_edge_m(chord, low_rate_rad),
        high_binds,
        low_binds,
        conflict: bounds.conflict((high_rate_rad, expo), low_rate_rad, &inputs.levers),
    })
}

fn positive(field: &'static str, value: f64) -> Result<(), AdviceError> {
    if value.is_finite() && value > 0.0 {
        Ok(())
    } else {
        Err(AdviceError::NotPositive { field, value })
    }
}

/// Expo that brings the slope at neutral down to `wanted_rad`, bounded.
fn expo_for(wanted_rad: Option<f64>, throw_rad: f64) -> f64 {
    wanted_rad.map_or(0.0, |wanted| (1.0 - wanted / throw_rad).clamp(0.0, EXPO_MAX))
}

/// All that bounds the throws of one channel.
struct Bounds {
    high_need: Option<Demand>,
    low_need: Option<Demand>,
    anywhere: Option<Bearable>,
    not_fast: Option<Bearable>,
    /// Whether what full stick does is known, fast flight apart.
    answers_known: bool,
    full_stick_not_fast_rad: Option<f64>,
    centre_anywhere_rad: Option<f64>,
    centre_not_fast_rad: Option<f64>,
    cap: Binding,
    cap_rad: f64,
}

impl Bounds {
    fn of(inputs: &ChannelInputs, pilot: &Pilot) -> Self {
        let bears = |counts: fn(Phase) -> bool| {
            least_bearable(inputs.duty, &inputs.responses, pilot, counts)
        };
        let hinge = inputs.hinge_limit_rad;
        let (cap_rad, cap) = if hinge <= EFFECTIVE_DEFLECTION_RAD {
            (hinge, Binding::Hinge { limit_rad: hinge })
        } else {
            let limit_rad = EFFECTIVE_DEFLECTION_RAD;
            (limit_rad, Binding::Section { limit_rad })
        };
        let not_fast: fn(Phase) -> bool = |phase| phase != Phase::Fast;
        let responses = &inputs.responses;
        Self {
            high_need: greatest_demand(&inputs.demands, false),
            low_need: greatest_demand(&inputs.demands, true),
            anywhere: bears(|_| true),
            not_fast: bears(not_fast),
            answers_known: responses.iter().any(|response| not_fast(response.condition.phase)),
            full_stick_not_fast_rad: least_full_stick_rad(inputs.duty, responses, pilot, not_fast),
            centre_anywhere_rad: least_centre_rad(responses, |_| true),
            centre_not_fast_rad: least_centre_rad(responses, not_fast),
            cap,
            cap_rad,
        }
    }

    fn high_rate(&self) -> Option<(f64, Binding)> {
        let need = self.high_need.map(|demand| (demand.deflection_rad, Binding::Need(demand)));
        let bears = match self.not_fast {
            Some(bear) => Some((bear.usable_rad(), Binding::Bearable(bear))),
            // No throw is too much.
            None => self.answers_known.then_some((f64::INFINITY, self.cap)),
        };
        let wanted = [need, bears].into_iter().flatten().max_by(|a, b| a.0.total_cmp(&b.0))?;
        // A channel with no demand at all and a bound of nothing has no throw.
        if wanted.0 <= 0.0 {
            return None;
        }
        Some(if wanted.0 > self.cap_rad { (self.cap_rad, self.cap) } else { wanted })
    }

    fn low_rate(&self, high_rate_rad: f64) -> (f64, Binding) {
        let share = (LOW_SHARE * high_rate_rad, Binding::ShareOfHigh { share: LOW_SHARE });
        // What is borne binds only below the high rate; where the high rate is
        // itself what is borne, a sensible step below it.
        let bears = self
            .anywhere
            .map(|bear| (bear.usable_rad(), Binding::Bearable(bear)))
            .filter(|bear| bear.0 < high_rate_rad);
        let by_need = self.high_need.is_some_and(|need| need.deflection_rad >= high_rate_rad);
        let wanted = match bears {
            Some(bears) if by_need || bears.0 < share.0 => bears,
            _ => share,
        };
        let need = self.low_need.map(|demand| (demand.deflection_rad, Binding::Need(demand)));
        let (low, binding) = match need {
            Some(need) if need.0 > wanted.0 => need,
            _ => wanted,
        };
        if low > high_rate_rad { (high_rate_rad, self.cap) } else { (low, binding) }
    }

    /// The gravest contradiction of a high rate with its expo and a low rate.
    fn conflict(
        &self,
        (high_rate_rad, expo): (f64, f64),
        low_rate_rad: f64,
        levers: &[Lever],
    ) -> Option<Conflict> {
        let centre_rad = high_rate_rad * (1.0 - expo);
        let more = |a: f64, b: f64| a > b * (1.0 + CONFLICT_TOLERANCE);
        let conflict = |kind, authority_rad: f64, sensitivity_rad: f64| Conflict {
            kind,
            authority_rad: Some(authority_rad).filter(|authority| authority.is_finite()),
            sensitivity_rad,
            remedies: remedies(levers, authority_rad / sensitivity_rad),
        };
        if let Some(need) = self.high_need
            && more(need.deflection_rad, self.cap_rad)
        {
            let kind = ConflictKind::AuthorityShort;
            return Some(conflict(kind, need.deflection_rad, self.cap_rad));
        }
        if low_rate_rad < RATE_MIN_RAD {
            return Some(conflict(ConflictKind::RateTooFine, RATE_MIN_RAD, low_rate_rad));
        }
        if let (Some(need), Some(bear)) = (self.low_need, self.anywhere)
            && more(need.deflection_rad, bear.usable_rad())
        {
            let kind = ConflictKind::LowRateTouchy;
            return Some(conflict(kind, need.deflection_rad, bear.usable_rad()));
        }
        if let Some(bears_rad) = self.centre_not_fast_rad
            && more(centre_rad, bears_rad)
        {
            let kind = ConflictKind::HighRateTouchy;
            return Some(conflict(kind, centre_rad, bears_rad));
        }
        if let Some(bears_rad) = self.full_stick_not_fast_rad
            && more(high_rate_rad, bears_rad)
        {
            return Some(conflict(ConflictKind::HighRateStrong, high_rate_rad, bears_rad));
        }
        None
    }
}

/// Need and what is there, rad, of one kind of conflict, whether or not they
/// contradict each other; `None` where one of them is not known.
pub fn conflict_gap(
    inputs: &ChannelInputs,
    pilot: &Pilot,
    kind: ConflictKind,
) -> Option<(f64, f64)> {
    let bounds = Bounds::of(inputs, pilot);
    match kind {
        ConflictKind::AuthorityShort => Some((bounds.high_need?.deflection_rad, bounds.cap_rad)),
        ConflictKind::RateTooFine => Some((RATE_MIN_RAD, bounds.anywhere?.usable_rad())),
        ConflictKind::LowRateTouchy => {
            Some((bounds.low_need?.deflection_rad, bounds.anywhere?.usable_rad()))
        }
        ConflictKind::HighRateTouchy => {
            let centre = bounds.high_rate()?.0 * (1.0 - EXPO_MAX);
            Some((centre, bounds.centre_not_fast_rad?))
        }
        ConflictKind::HighRateStrong => {
            Some((bounds.high_rate()?.0, bounds.full_stick_not_fast_rad?))
        }
    }
}

/// The conflict with the changes that would end it, best first.
pub fn solve_remedies(conflict: &Conflict, levers: &[Lever]) -> Conflict {
    Conflict { remedies: remedies(levers, conflict.ratio()), ..conflict.clone() }
}

/// Greatest logarithm of need over what is there: beyond what any change mends.
const GAP_MAX: f64 = 1e6;

/// Solves for the amount of each change at which need and what is there meet:
/// both grow in proportion to e to the power of rate times amount.
fn remedies(levers: &[Lever], ratio: f64) -> Vec<Remedy> {
    // A need that nothing meets asks for all that makes sense.
    let gap = ratio.ln().min(GAP_MAX);
    let found: Vec<(f64, Remedy)> = levers
        .iter()
        .filter_map(|lever| {
            let rate = lever.bearable_per_unit - lever.demand_per_unit;
            let amount = gap / rate;
            if !amount.is_finite() {
                return None;
            }
            let (least, most) = (lever.range.0.min(0.0), lever.range.1.max(0.0));
            let end = if amount > 0.0 { most } else { least };
            // A change that makes no sense in that direction is no remedy.
            if end == 0.0 {
                return None;
            }
            let effort = amount / end;
            let resolves = effort <= 1.0;
            let amount = if resolves { amount } else { end };
            Some((effort, Remedy { change: lever.change, amount, resolves }))
        })
        .collect();
    ordered_by(&found, |(effort, _)| *effort).into_iter().map(|(_, remedy)| remedy).collect()
}

/// Throws that are set now.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PresentThrow {
    /// Deflection at full stick, rad.
    pub throw_rad: f64,
    /// Expo, 0 for a straight line.
    #[serde(default)]
    pub expo: f64,
}

/// What full stick does in one condition with the present throw.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Predicted {
    /// Where.
    pub condition: Condition,
    /// Pitch, roll or yaw rate, rad/s.
    pub peak_rate_rad_s: f64,
    /// Change of load factor, g; no more than the wing gives.
    pub load_factor: f64,
    /// Bank after one second, rad.
    pub bank_at_1_s_rad: f64,
    /// Sideslip, rad.
    pub sideslip_rad: f64,
    /// Slope around neutral over that at which the pilot over-controls; above
    /// 1 the aircraft will be chased. `None` where no loop is closed.
    pub share_of_limit: Option<f64>,
}

/// The present throw against the advice.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PresentAssessment {
    /// What full stick does in each condition.
    pub predicted: Vec<Predicted>,
    /// Advised high rate over the present throw: below 1 a cut.
    pub high_over_present: f64,
    /// Advised low rate over the present throw: the dual rate to set if the
    /// linkage stays as it is.
    pub low_over_present: f64,
    /// Needs that the present throw does not meet, without margin.
    pub unmet: Vec<Demand>,
    /// What is more than the pilot bears by more than [`CONFLICT_TOLERANCE`],
    /// one entry for each condition and criterion.
    pub exceeded: Vec<Bearable>,
}

/// Says what the present throw of a channel does, and by how much to cut it.
///
/// # Errors
/// [`AdviceError`] where the present throw is not a positive number.
pub fn assess_present(
    inputs: &ChannelInputs,
    pilot: &Pilot,
    advice: &ThrowAdvice,
    present: &PresentThrow,
) -> Result<PresentAssessment, AdviceError> {
    positive("throw_rad", present.throw_rad)?;
    let throw = present.throw_rad;
    let expo = if present.expo.is_finite() { present.expo.clamp(0.0, 1.0) } else { 0.0 };
    let centre = throw * (1.0 - expo);
    let predicted = inputs
        .responses
        .iter()
        .map(|response| Predicted {
            condition: response.condition,
            peak_rate_rad_s: response.peak_rate.at(throw),
            load_factor: response.load_factor.at(throw).min(response.load_factor_to_stall.max(0.0)),
            bank_at_1_s_rad: response.bank_at_1_s.at(throw),
            sideslip_rad: response.sideslip.at(throw),
            share_of_limit: response
                .pilot_loop
                .and_then(|closed| closed.throw_limit_rad)
                .map(|limit| centre / limit),
        })
        .collect();
    let exceeded = inputs
        .responses
        .iter()
        .flat_map(|response| super::sensitivity::bearable_throws(inputs.duty, response, pilot))
        .filter(|bearable| {
            let most_rad = bearable.throw_rad * (1.0 + CONFLICT_TOLERANCE);
            most_rad < bearable.concerned_throw(throw, centre)
        })
        .collect();
    Ok(PresentAssessment {
        predicted,
        high_over_present: advice.high_rate_rad / throw,
        low_over_present: advice.low_rate_rad / throw,
        unmet: inputs
            .demands
            .iter()
            .copied()
            .filter(|demand| demand.deflection_rad.abs() > throw)
            .collect(),
        exceeded,
    })
}

#[cfg(test)]
mod tests;

//! Which change of the aircraft would end a conflict, and by how much?
//!
//! Where need and tolerance contradict each other, the aircraft is walked once
//! more for each change that could matter, a small step away. The relative
//! change of need and of what is borne per unit gives a [`Lever`]; the advice
//! solves for the amount. Linear answers suffice for differences between like
//! aircraft. Then the aircraft is built with each change and asked again, with
//! steps flown: only a change after which no conflict is left is said to end it,
//! and one that does not help is dropped. Costs up to three walks for each
//! change, so it is not part of [`assess`](super::assess); [`bank_by_dihedral`]
//! costs two as well.

use super::throws::{Answers, channels, duties};
use super::vary::changed;
use super::walk::Walk;
use super::{ACTUATION_DELAY_S, Assessment, Question};
use crate::aero::grid::GridOptions;
use crate::aircraft::{ControlRole, SoundAircraft};
use crate::handling::rudder_bank::{
    DihedralChange, RudderBank, RudderBankInputs, rate_rudder_bank,
};
use crate::throws::advice::{
    ChannelInputs, Conflict, ConflictKind, GeometryChange, Lever, Remedy, ThrowAdvice,
    conflict_gap, recommend_throws, solve_remedies,
};
use crate::throws::sensitivity::Duty;

/// Step of a relative change, and of an angle in rad: small against what
/// matters, large against rounding.
const STEP: f64 = 0.03;
/// Step of the balance point over the mean chord.
const BALANCE_STEP_CHORDS: f64 = 0.02;
/// Furthest that a balance point is moved, over the mean chord.
const BALANCE_RANGE_CHORDS: f64 = 0.10;
/// Largest change of an area or a chord that makes sense on a built model.
const RELATIVE_RANGE: (f64, f64) = (-0.4, 0.6);
/// Largest change of dihedral each side, rad: 6 deg either way.
const DIHEDRAL_RANGE_RAD: f64 = 0.105;
/// What a hinge can be eased by, rad.
const HINGE_RANGE_RAD: f64 = 0.26;
/// The what-if of dihedral, rad.
const DIHEDRAL_CHANGE_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;
/// Part of need over what is there that a change must take off to count as help.
const HELP_MIN: f64 = 0.03;

/// The throws of an assessment, each conflict with the changes that would end
/// it, best first. Without a conflict nothing is computed.
#[inline]
pub fn with_remedies(
    aircraft: &SoundAircraft,
    question: &Question,
    throws: &[ThrowAdvice],
) -> Vec<ThrowAdvice> {
    let mut throws = throws.to_vec();
    if throws.iter().all(|advice| advice.conflict.is_none()) {
        return throws;
    }
    let Some(study) = Study::new(aircraft, question) else { return throws };
    for advice in &mut throws {
        if let Some(conflict) = &mut advice.conflict {
            let levers = study.levers(advice.duty, conflict);
            let solved = solve_remedies(conflict, &levers);
            let tried = solved.remedies.iter();
            let tried = tried.filter_map(|remedy| study.tried(advice.duty, conflict, remedy));
            let (mut remedies, help): (Vec<Remedy>, Vec<Remedy>) =
                tried.partition(|remedy| remedy.resolves);
            remedies.extend(help);
            *conflict = Conflict { remedies, ..solved };
        }
    }
    throws
}

/// The rating of the bank by rudder with its what-if of two degrees more and
/// less dihedral, each from the aircraft built anew: its speeds, its balance and
/// what rudder and fin do change with it, not the roll due to sideslip alone.
/// `None` where the assessment has no such rating.
#[inline]
pub fn bank_by_dihedral(
    aircraft: &SoundAircraft,
    question: &Question,
    assessment: &Assessment,
) -> Option<RudderBank> {
    let bank = assessment.rudder_bank.clone()?;
    let built = |change_rad: f64| {
        let varied = changed(aircraft, GeometryChange::Dihedral, change_rad, &[])?;
        let walk = Walk::new(&varied, question, GridOptions::default()).ok()?;
        let inputs = RudderBankInputs::new(
            &walk.linear,
            &walk.derivatives,
            walk.reference.span_m,
            0.0,
            ACTUATION_DELAY_S,
        );
        let bank_at_1_s_per_rad = rate_rudder_bank(&inputs)?.step.bank_at_1_s_per_rad;
        Some(DihedralChange { change_rad, bank_at_1_s_per_rad })
    };
    let changes = [-DIHEDRAL_CHANGE_RAD, DIHEDRAL_CHANGE_RAD];
    Some(RudderBank { dihedral: changes.into_iter().filter_map(built).collect(), ..bank })
}

/// An aircraft whose changes are studied.
struct Study<'a> {
    aircraft: &'a SoundAircraft,
    question: &'a Question,
    chord_m: f64,
    has_aileron: bool,
    tail_heavy: bool,
    base: Vec<ChannelInputs>,
}

/// What is left of a conflict on the aircraft built with a change.
struct Outcome {
    /// Need over what is there.
    ratio: f64,
    /// Whether no conflict is left on the channel.
    resolves: bool,
}

impl<'a> Study<'a> {
    #[inline]
    fn new(aircraft: &'a SoundAircraft, question: &'a Question) -> Option<Self> {
        let walk = Walk::new(aircraft, question, GridOptions::default()).ok()?;
        let base = channels(&walk, &walk.models().ok()?, Answers::Linear);
        let chord_m = aircraft.wing_size().mean_aerodynamic_chord_m;
        let has_aileron = walk.conditions.has_aileron;
        let tail_heavy = walk.balance.is_tail_heavy();
        Some(Self { aircraft, question, chord_m, has_aileron, tail_heavy, base })
    }

    #[inline]
    fn levers(&self, duty: Duty, conflict: &Conflict) -> Vec<Lever> {
        changes(duty, conflict.kind)
            .iter()
            .filter_map(|&change| self.lever(duty, conflict.kind, change))
            .collect()
    }

    /// The control surfaces that do a duty.
    #[inline]
    fn roles(&self, duty: Duty) -> &'static [ControlRole] {
        let own = duties(self.has_aileron).into_iter().find(|(own, _)| *own == duty);
        own.map_or(&[], |(_, roles)| roles)
    }

    /// Step of a change, and its least and greatest amount that makes sense.
    #[inline]
    fn scale(&self, change: GeometryChange) -> (f64, (f64, f64)) {
        match change {
            GeometryChange::BalancePoint => {
                let most = BALANCE_RANGE_CHORDS * self.chord_m;
                (BALANCE_STEP_CHORDS * self.chord_m, (-most, most))
            }
            GeometryChange::Dihedral => (STEP, (-DIHEDRAL_RANGE_RAD, DIHEDRAL_RANGE_RAD)),
            GeometryChange::HingeLimit => (STEP, (0.0, HINGE_RANGE_RAD)),
            _ => (STEP, RELATIVE_RANGE),
        }
    }

    /// The remedy as it turns out on the aircraft built with it; `None` where it
    /// does not help, or leaves the aircraft tail-heavy.
    #[inline]
    fn tried(&self, duty: Duty, conflict: &Conflict, remedy: &Remedy) -> Option<Remedy> {
        let change = remedy.change;
        let outcome = |amount| self.outcome(duty, conflict.kind, change, amount);
        let says = |amount, resolves| Some(Remedy { change, amount, resolves });
        let before = conflict.ratio();
        let first = outcome(remedy.amount)?;
        if first.resolves {
            // All that makes sense may be more than it takes.
            let half = 0.5 * remedy.amount;
            let enough = !remedy.resolves && outcome(half).is_some_and(|there| there.resolves);
            return says(if enough { half } else { remedy.amount }, true);
        }
        let helps = |there: &Outcome, so_far: f64| there.ratio < so_far * (1.0 - HELP_MIN);
        if !helps(&first, before) {
            return None;
        }
        if remedy.resolves {
            // Once more, along the line through both.
            let (_, (least, most)) = self.scale(change);
            let further = remedy.amount * before.ln() / (before / first.ratio).ln();
            let further = further.clamp(least, most);
            if let Some(second) = outcome(further)
                && (second.resolves || helps(&second, first.ratio))
            {
                return says(further, second.resolves);
            }
        }
        says(remedy.amount, false)
    }

    #[inline]
    fn outcome(
        &self,
        duty: Duty,
        kind: ConflictKind,
        change: GeometryChange,
        amount: f64,
    ) -> Option<Outcome> {
        let varied = changed(self.aircraft, change, amount, self.roles(duty))?;
        let walk = Walk::new(&varied, self.question, GridOptions::default()).ok()?;
        if walk.balance.is_tail_heavy() && !self.tail_heavy {
            return None;
        }
        let there = channels(&walk, &walk.models().ok()?, Answers::Flown);
        let own = there.iter().find(|channel| channel.duty == duty)?;
        let conflict = recommend_throws(own, &self.question.pilot).ok()?.conflict;
        let same = conflict.as_ref().filter(|left| left.kind == kind);
        let ratio = match same {
            Some(left) => left.ratio(),
            None => {
                let (need, there_is) = conflict_gap(own, &self.question.pilot, kind)?;
                need / there_is
            }
        };
        Some(Outcome { ratio, resolves: conflict.is_none() })
    }

    #[inline]
    fn lever(&self, duty: Duty, kind: ConflictKind, change: GeometryChange) -> Option<Lever> {
        let (step, range) = self.scale(change);
        let varied = changed(self.aircraft, change, step, self.roles(duty))?;
        let walk = Walk::new(&varied, self.question, GridOptions::default()).ok()?;
        let there = channels(&walk, &walk.models().ok()?, Answers::Linear);
        let gap = |list: &[ChannelInputs]| {
            let own = list.iter().find(|channel| channel.duty == duty)?;
            conflict_gap(own, &self.question.pilot, kind)
        };
        let (before, after) = (gap(&self.base)?, gap(&there)?);
        let per_unit = |after: f64, before: f64| (after / before).ln() / step;
        Some(Lever {
            change,
            demand_per_unit: per_unit(after.0, before.0),
            bearable_per_unit: per_unit(after.1, before.1),
            range,
        })
    }
}

/// The changes that could matter for a channel's conflict.
#[inline]
fn changes(duty: Duty, kind: ConflictKind) -> Vec<GeometryChange> {
    use GeometryChange::{BalancePoint, ControlChord, Dihedral, FinArea, HingeLimit, TailArea};
    let mut changes = match duty {
        Duty::Pitch => vec![BalancePoint, TailArea, ControlChord],
        Duty::Roll => vec![ControlChord, Dihedral],
        Duty::Yaw => vec![FinArea, ControlChord],
        Duty::BankByRudder => vec![Dihedral, FinArea, ControlChord],
    };
    if kind == ConflictKind::AuthorityShort {
        changes.push(HingeLimit);
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{EXAMPLES, SurfaceRole, read_aircraft};
    use crate::assess::{assess, scale_area};

    /// A trainer with half its fin, and a hinge that gives 7 deg of elevator. Each
    /// change that is said to end that is made, and the aircraft assessed anew;
    /// the others leave something.
    #[test]
    fn what_is_said_to_end_a_conflict_ends_it() {
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        assert!(scale_area(&mut aircraft, SurfaceRole::Fin, 0.49));
        for control in aircraft.surfaces.iter_mut().flat_map(|surface| &mut surface.controls) {
            if control.role == ControlRole::Elevator {
                control.throw_max_deg = 7.0;
            }
        }
        let aircraft = aircraft.check().unwrap();
        let question = Question::default();
        let plain = assess(&aircraft, &question).unwrap().throws;
        let mut ended = 0;
        for advice in with_remedies(&aircraft, &question, &plain) {
            let Some(conflict) = &advice.conflict else { continue };
            let (_, roles) =
                duties(false).into_iter().find(|(own, _)| *own == advice.duty).unwrap();
            for remedy in &conflict.remedies {
                let varied = changed(&aircraft, remedy.change, remedy.amount, roles).unwrap();
                let throws = assess(&varied, &question).unwrap().throws;
                let own = throws.iter().find(|own| own.duty == advice.duty).unwrap();
                assert_eq!(own.conflict.is_none(), remedy.resolves, "{remedy:?} {own:?}");
                ended += usize::from(remedy.resolves);
            }
        }
        assert!(ended > 0);
    }
}

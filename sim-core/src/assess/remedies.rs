//! Which change of the aircraft would end a conflict, and by how much?
//!
//! Where need and tolerance contradict each other, the aircraft is walked once
//! more for each change that could matter, a small step away. The relative
//! change of need and of what is borne per unit gives a [`Lever`]; the advice
//! solves for the amount. Linear answers suffice for differences between like
//! aircraft. Costs one walk for each change, so it is not part of
//! [`assess`](super::assess); [`bank_by_dihedral`] costs one as well.

use super::throws::{Answers, channels, duties};
use super::vary::changed;
use super::walk::Walk;
use super::{Assessment, Question, rudder_bank};
use crate::aero::grid::GridOptions;
use crate::aircraft::{ControlRole, SoundAircraft};
use crate::analysis::{LinearOptions, linearise};
use crate::handling::rudder_bank::RudderBank;
use crate::throws::advice::{
    ChannelInputs, Conflict, ConflictKind, GeometryChange, Lever, ThrowAdvice, conflict_gap,
    solve_remedies,
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

/// The throws of an assessment, each conflict with the changes that would end
/// it, best first. Without a conflict nothing is computed.
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
            *conflict = solve_remedies(conflict, &levers);
        }
    }
    throws
}

/// The rating of the bank by rudder with its what-if of two degrees more and
/// less dihedral; `None` where the assessment has no such rating.
pub fn bank_by_dihedral(
    aircraft: &SoundAircraft,
    question: &Question,
    assessment: &Assessment,
) -> Option<RudderBank> {
    assessment.rudder_bank.as_ref()?;
    let walk = Walk::new(aircraft, question, GridOptions::default()).ok()?;
    let raised = changed(aircraft, GeometryChange::Dihedral, STEP, &[])?;
    let aeroplane = super::aeroplane(&raised, question, GridOptions::default()).ok()?;
    let trim = &walk.conditions.cruise_trim;
    let model = linearise(&aeroplane, trim, &LinearOptions::default()).ok()?;
    let roll_per_v = |model: &crate::analysis::LinearModel| model.lateral().a[(1, 0)];
    let per_dihedral = (roll_per_v(&model) - roll_per_v(&walk.linear)) / STEP;
    rudder_bank(assessment, Some(per_dihedral))
}

/// An aircraft whose changes are studied.
struct Study<'a> {
    aircraft: &'a SoundAircraft,
    question: &'a Question,
    chord_m: f64,
    has_aileron: bool,
    base: Vec<ChannelInputs>,
}

impl<'a> Study<'a> {
    fn new(aircraft: &'a SoundAircraft, question: &'a Question) -> Option<Self> {
        let walk = Walk::new(aircraft, question, GridOptions::default()).ok()?;
        let base = channels(&walk, &walk.models().ok()?, Answers::Linear);
        let chord_m = aircraft.wing_size().mean_aerodynamic_chord_m;
        let has_aileron = walk.conditions.has_aileron;
        Some(Self { aircraft, question, chord_m, has_aileron, base })
    }

    fn levers(&self, duty: Duty, conflict: &Conflict) -> Vec<Lever> {
        let roles = duties(self.has_aileron)
            .into_iter()
            .find(|(own, _)| *own == duty)
            .map_or(&[] as &[ControlRole], |(_, roles)| roles);
        changes(duty, conflict.kind)
            .iter()
            .filter_map(|&change| self.lever(duty, conflict.kind, change, roles))
            .collect()
    }

    fn lever(
        &self,
        duty: Duty,
        kind: ConflictKind,
        change: GeometryChange,
        roles: &[ControlRole],
    ) -> Option<Lever> {
        let (step, range) = match change {
            GeometryChange::BalancePoint => {
                let most = BALANCE_RANGE_CHORDS * self.chord_m;
                (BALANCE_STEP_CHORDS * self.chord_m, (-most, most))
            }
            GeometryChange::Dihedral => (STEP, (-DIHEDRAL_RANGE_RAD, DIHEDRAL_RANGE_RAD)),
            GeometryChange::HingeLimit => (STEP, (0.0, HINGE_RANGE_RAD)),
            _ => (STEP, RELATIVE_RANGE),
        };
        let varied = changed(self.aircraft, change, step, roles)?;
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

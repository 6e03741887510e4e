//! The slowest flight: greatest lift with the moments balanced.
//!
//! The angle of attack is raised in steps with the motor off, the elevator going
//! along so that the pitching moment stays balanced: each step is flown with the
//! elevator of the last, and what is left of the moment and its lift follow from
//! the elevator's derivatives in attached flow. The first summit of the lift, with
//! a parabola through the three highest steps, gives the stall speed: what a
//! stalled plate may carry at a steeper angle still is no flight. Where the
//! elevator reaches its limit before, that ends it.

use serde::Serialize;

use super::AssessError;
use crate::analysis::{Coefficients, FlightPoint, ReferenceSizes};
use crate::atmosphere::{Atmosphere, GRAVITY_M_S2};
use crate::dynamics::{Aeroplane, Airframe, Controls};

/// The slowest steady flight with the motor off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stall {
    /// Stall speed in level flight, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack of the body at which that lift is all but reached, rad.
    pub alpha_rad: f64,
    /// Greatest trimmed lift coefficient.
    pub lift_coefficient_max: f64,
    /// Elevator that balances the moments there, rad.
    pub elevator_rad: f64,
    /// Lift per elevator in attached flow, per rad.
    pub lift_per_elevator: f64,
    /// Pitching moment per elevator in attached flow, per rad.
    pub moment_per_elevator: f64,
    /// Whether the elevator is at its limit there, before the wing stalls.
    pub elevator_ends_it: bool,
    /// Elevator that would stall the wing, rad: as above, or beyond the limit; on a
    /// foreplane what a tenth more than the slowest speed takes.
    pub elevator_to_stall_rad: f64,
}

/// What happens where the moments ask for more elevator than there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum AtLimit {
    /// That ends the search.
    Ends,
    /// The elevator stays there, the moments are not balanced.
    Stays,
    /// The lift is reckoned as if it turned on.
    TurnsOn,
}

/// One angle of attack with the moments balanced.
#[derive(Debug, Clone, Copy)]
struct Step {
    alpha_rad: f64,
    lift: f64,
    elevator_rad: f64,
}

impl Step {
    /// Part of the way from this step to the next.
    fn lerp(&self, next: &Self, share: f64) -> Self {
        let between = |a: f64, b: f64| a + share * (b - a);
        Self {
            alpha_rad: between(self.alpha_rad, next.alpha_rad),
            lift: between(self.lift, next.lift),
            elevator_rad: between(self.elevator_rad, next.elevator_rad),
        }
    }
}

/// Step of the angle of attack, rad.
const STEP_RAD: f64 = 0.035;
/// Angles tried, rad: from a dive to past the stall of a wing as wide as long.
const RANGE_RAD: (f64, f64) = (-0.10, 0.74);
/// Elevator for its derivatives, rad.
const ELEVATOR_STEP_RAD: f64 = 0.05;
/// Change of the elevator over which its derivatives are trusted, rad.
const STRAIGHT_RAD: f64 = 0.03;
/// Most evaluations of one angle.
const SETTLE_MAX: usize = 6;
/// How far the lift must fall from its greatest before the search ends: more
/// than one strip's letting go takes from a wing whose others still gain.
const FALL_SHARE: f64 = 0.995;
/// Lift at a tenth more than the slowest speed over the greatest.
const SLOW_SHARE: f64 = 0.83;
/// Slope of the lift over that at small angles from which on a wing counts as not
/// yet stalled (estimate: a foam wing's falls from 0.7 to nothing within 3 deg).
const RISING_SHARE: f64 = 0.25;
/// Share of the greatest lift at which the stall counts as reached: 3 % of
/// lift is 1.5 % of stall speed, less than anyone can measure.
const REACHED_SHARE: f64 = 0.97;

/// Finds the stall, with an elevator that turns by `elevator_max_rad` either way.
/// Where it balances the moments at no angle, as with a balance point far off,
/// the lift counts with the elevator at its limit.
///
/// # Errors
/// [`AssessError::NoLift`] where no angle gives lift.
pub fn find_stall(
    aeroplane: &Aeroplane,
    sizes: &ReferenceSizes,
    atmosphere: &Atmosphere,
    elevator_max_rad: f64,
) -> Result<Stall, AssessError> {
    let search = Search::new(aeroplane, sizes, atmosphere, elevator_max_rad);
    let mut found = search.climb(AtLimit::Ends);
    if found.lift() <= 0.0 {
        found = search.climb(AtLimit::Stays);
    }
    let lift = found.lift();
    if lift.is_nan() || lift <= 0.0 {
        return Err(AssessError::NoLift {
            from_deg: RANGE_RAD.0.to_degrees(),
            to_deg: RANGE_RAD.1.to_degrees(),
        });
    }
    // Where the elevator stalls before it is at its limit, no more of it would stall
    // the wing; and a foreplane is not meant to.
    let is_foreplane = search.lift_per_elevator * search.moment_per_elevator > 0.0;
    let there = found.reached();
    let at_limit = found.ended && there.elevator_rad.abs() == elevator_max_rad;
    let stalling = if is_foreplane {
        reached(&found.seen, found.best, SLOW_SHARE * lift)
    } else if at_limit {
        search.climb(AtLimit::TurnsOn).reached()
    } else {
        there
    };
    Ok(Stall {
        airspeed_m_s: search.airspeed_m_s / lift.sqrt(),
        alpha_rad: there.alpha_rad,
        lift_coefficient_max: lift,
        elevator_rad: there.elevator_rad,
        lift_per_elevator: search.lift_per_elevator,
        moment_per_elevator: search.moment_per_elevator,
        elevator_ends_it: found.ended,
        elevator_to_stall_rad: stalling.elevator_rad,
    })
}

/// Angles of attack one after the other.
struct Climb {
    seen: Vec<Step>,
    /// Place of the greatest lift.
    best: usize,
    /// Whether the elevator ended it there.
    ended: bool,
}

impl Climb {
    /// The greatest lift; none where nothing was seen.
    fn lift(&self) -> f64 {
        match self.seen.get(self.best) {
            Some(step) if self.ended => step.lift,
            Some(_) => summit(&self.seen, self.best),
            None => 0.0,
        }
    }

    /// Where that is all but reached, or where the elevator ended it.
    fn reached(&self) -> Step {
        if self.ended {
            self.seen[self.best]
        } else {
            reached(&self.seen, self.best, REACHED_SHARE * self.lift())
        }
    }

    /// Whether the lift rises in its last step by a good part of what it did in
    /// the first: the wing has not stalled.
    fn still_rises(&self) -> bool {
        let slope = |a: &Step, b: &Step| (b.lift - a.lift) / (b.alpha_rad - a.alpha_rad);
        match &self.seen[..] {
            [first, second, .., before, last] => {
                // A last step of no length has no slope, and nothing was flat before.
                let is_flat = slope(before, last) <= RISING_SHARE * slope(first, second);
                !is_flat
            }
            _ => true,
        }
    }

    /// Adds a step; whether the lift is past its summit.
    fn add(&mut self, step: Step) -> bool {
        self.seen.push(step);
        if step.lift > self.seen[self.best].lift {
            self.best = self.seen.len() - 1;
        }
        let best = self.seen[self.best].lift;
        best > 0.0 && step.lift < FALL_SHARE * best
    }
}

/// What a climb through the angles needs.
struct Search<'a> {
    aeroplane: &'a Aeroplane,
    sizes: &'a ReferenceSizes,
    atmosphere: &'a Atmosphere,
    elevator_max_rad: f64,
    airspeed_m_s: f64,
    lift_per_elevator: f64,
    moment_per_elevator: f64,
}

impl<'a> Search<'a> {
    fn new(
        aeroplane: &'a Aeroplane,
        sizes: &'a ReferenceSizes,
        atmosphere: &'a Atmosphere,
        elevator_max_rad: f64,
    ) -> Self {
        let weight = aeroplane.mass_kg() * GRAVITY_M_S2;
        let airspeed_m_s = (2.0 * weight / (atmosphere.density_kg_m3 * sizes.area_m2)).sqrt();
        let mut search = Self {
            aeroplane,
            sizes,
            atmosphere,
            elevator_max_rad,
            airspeed_m_s,
            lift_per_elevator: 0.0,
            moment_per_elevator: 0.0,
        };
        let [up, down] = [-1.0, 1.0].map(|sign| search.at(0.0, sign * ELEVATOR_STEP_RAD));
        let per_rad = 1.0 / (2.0 * ELEVATOR_STEP_RAD);
        search.lift_per_elevator = (down.lift - up.lift) * per_rad;
        search.moment_per_elevator = (down.pitching_moment - up.pitching_moment) * per_rad;
        search
    }

    fn at(&self, alpha_rad: f64, elevator_rad: f64) -> Coefficients {
        let point = FlightPoint {
            airspeed_m_s: self.airspeed_m_s,
            alpha_rad,
            beta_rad: 0.0,
            density_kg_m3: self.atmosphere.density_kg_m3,
            kinematic_viscosity_m2_s: self.atmosphere.kinematic_viscosity_m2_s,
            controls: Controls { elevator_rad, ..Controls::default() },
        };
        let wrench = self.aeroplane.loads(&point.air(), &point.controls);
        Coefficients::of(&wrench, alpha_rad, point.dynamic_pressure_pa(), self.sizes)
    }

    fn limited_rad(&self, elevator_rad: f64) -> f64 {
        elevator_rad.clamp(-self.elevator_max_rad, self.elevator_max_rad)
    }

    /// Turns the elevator until a straight line leads to what it would have to be,
    /// which is returned with the loads: at once, but for the first angle and
    /// surfaces that stall. Nothing where it never does, as the elevator no longer
    /// moves the nose.
    fn settle(&self, alpha_rad: f64, turned_rad: &mut f64) -> Option<(Coefficients, f64)> {
        for _ in 0..SETTLE_MAX {
            let loads = self.at(alpha_rad, *turned_rad);
            let more_rad = -loads.pitching_moment / self.moment_per_elevator;
            let has_elevator = self.moment_per_elevator.abs() > 1e-9;
            let wanted_rad = *turned_rad + if has_elevator { more_rad } else { 0.0 };
            let most_rad = self.limited_rad(wanted_rad);
            if (most_rad - *turned_rad).abs() <= STRAIGHT_RAD {
                return Some((loads, wanted_rad));
            }
            *turned_rad = most_rad;
        }
        None
    }

    fn climb(&self, at_limit: AtLimit) -> Climb {
        let mut climb = Climb { seen: Vec::new(), best: 0, ended: false };
        let mut turned_rad = 0.0;
        let steps = ((RANGE_RAD.1 - RANGE_RAD.0) / STEP_RAD) as usize;
        for i in 0..=steps {
            let alpha_rad = RANGE_RAD.0 + STEP_RAD * i as f64;
            let Some((loads, wanted_rad)) = self.settle(alpha_rad, &mut turned_rad) else {
                if climb.seen.is_empty() {
                    continue;
                }
                climb.ended = at_limit == AtLimit::Ends && climb.still_rises();
                return climb;
            };
            let most_rad = self.limited_rad(wanted_rad);
            let elevator_rad = if at_limit == AtLimit::TurnsOn { wanted_rad } else { most_rad };
            let lift = loads.lift + self.lift_per_elevator * (elevator_rad - turned_rad);
            turned_rad = most_rad;
            let step = Step { alpha_rad, lift, elevator_rad };
            if at_limit == AtLimit::Ends && wanted_rad != most_rad {
                let Some(last) = climb.seen.last().copied() else { continue };
                let share = (most_rad - last.elevator_rad) / (wanted_rad - last.elevator_rad);
                climb.add(last.lerp(&step, share.clamp(0.0, 1.0)));
                climb.ended = climb.still_rises();
                return climb;
            }
            if climb.add(step) {
                break;
            }
        }
        climb
    }
}

/// The top of the parabola through the highest point and its neighbours.
fn summit(seen: &[Step], best: usize) -> f64 {
    let middle = seen[best].lift;
    if best == 0 || best + 1 >= seen.len() {
        return middle;
    }
    let (before, after) = (seen[best - 1].lift, seen[best + 1].lift);
    let bend = before - 2.0 * middle + after;
    if bend >= 0.0 {
        return middle;
    }
    let share = (0.5 * (before - after) / bend).clamp(-0.5, 0.5);
    middle - 0.25 * (before - after) * share
}

/// Angle of attack and elevator at which the lift has reached a value below its
/// greatest. Foam wings stall gently: along a top that is nearly flat the place of
/// the very highest point is a matter of chance.
fn reached(seen: &[Step], best: usize, wanted: f64) -> Step {
    let first = seen[..=best].iter().position(|step| step.lift >= wanted).unwrap_or(best);
    match first.checked_sub(1).map(|before| seen[before]) {
        Some(before) => {
            let share = (wanted - before.lift) / (seen[first].lift - before.lift);
            before.lerp(&seen[first], share.clamp(0.0, 1.0))
        }
        None => seen[first],
    }
}

#[cfg(test)]
mod tests {
    use super::{Step, reached, summit};

    #[test]
    fn the_summit_of_a_parabola_is_exact_and_is_all_but_reached_before_it() {
        let at =
            |x: f64| Step { alpha_rad: x, lift: 1.0 - (x - 0.3).powi(2), elevator_rad: 2.0 * x };
        let seen = [at(0.0), at(0.25), at(0.5)];
        assert!((summit(&seen, 1) - 1.0).abs() < 1e-12);
        let there = reached(&seen, 1, 0.97);
        // Along the chord from (0, 0.91) to (0.25, 0.9975).
        assert!((there.alpha_rad - 0.25 * (0.97 - 0.91) / 0.0875).abs() < 1e-12);
        assert!((there.elevator_rad - 2.0 * there.alpha_rad).abs() < 1e-12);
    }
}

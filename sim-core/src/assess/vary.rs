//! The same aircraft with one thing changed, as a builder would change it.
//!
//! Areas change at the same shape, the root's leading edge staying where it
//! is. The balance point moves by shifting everything that is not glued to a
//! surface; foam that grows keeps its weight, so that one change is one change.

use crate::aircraft::{
    Aircraft, ControlRole, MassStatement, Part, Place, SoundAircraft, Spread, SurfaceRole,
};
use crate::mass::part_mass_kg;
use crate::throws::advice::GeometryChange;

/// The aircraft with a change by `amount` in the change's own unit; `None`
/// where there is nothing to change, or the result is no sound aircraft.
/// `roles` are the control surfaces that chord and hinge changes mean.
#[inline]
pub(super) fn changed(
    aircraft: &SoundAircraft,
    change: GeometryChange,
    amount: f64,
    roles: &[ControlRole],
) -> Option<SoundAircraft> {
    let mut varied: Aircraft = (**aircraft).clone();
    let done = match change {
        GeometryChange::BalancePoint => move_balance_point(&mut varied, amount),
        GeometryChange::Dihedral => add_dihedral(&mut varied, amount.to_degrees()),
        GeometryChange::FinArea => scale_area(&mut varied, SurfaceRole::Fin, 1.0 + amount),
        GeometryChange::TailArea => scale_area(&mut varied, SurfaceRole::Tailplane, 1.0 + amount),
        GeometryChange::ControlChord => scale_chord(&mut varied, roles, 1.0 + amount),
        GeometryChange::HingeLimit => open_hinge(&mut varied, roles, amount.to_degrees()),
    };
    if done { varied.check().ok() } else { None }
}

/// Moves the balance point aft, m, by shifting all that is not glued to a
/// surface; false where nothing is loose, which leaves the aircraft as it was.
#[inline]
pub fn move_balance_point(aircraft: &mut Aircraft, aft_m: f64) -> bool {
    let surfaces = aircraft.surfaces.clone();
    match &mut aircraft.mass {
        MassStatement::Known(known) => {
            known.balance_point.aft_m += aft_m;
            true
        }
        MassStatement::Parts(parts) => {
            let weigh = |part: &Part| part_mass_kg(part, &surfaces);
            let total: f64 = parts.iter().map(weigh).sum();
            let loose: f64 = parts.iter().filter(|part| is_loose(part)).map(weigh).sum();
            let shift = aft_m * total / loose;
            if !shift.is_finite() {
                return false;
            }
            for part in parts.iter_mut().filter(|part| is_loose(part)) {
                shift_part(part, shift);
            }
            true
        }
    }
}

#[inline]
fn is_loose(part: &Part) -> bool {
    !matches!(part.spread, Spread::Sheet { .. })
}

#[inline]
fn shift_part(part: &mut Part, aft_m: f64) {
    let shift = |place: &mut Place| place.aft_m += aft_m;
    match &mut part.spread {
        Spread::Point { at, .. } | Spread::Block { at, .. } => shift(at),
        Spread::Rod { from, to, .. } => {
            shift(from);
            shift(to);
        }
        Spread::Sheet { .. } => {}
    }
}

#[inline]
fn add_dihedral(aircraft: &mut Aircraft, degrees: f64) -> bool {
    let mut any = false;
    for surface in aircraft.surfaces.iter_mut().filter(|s| s.role == SurfaceRole::Wing) {
        for panel in &mut surface.panels {
            panel.dihedral_deg += degrees;
            any = true;
        }
    }
    any
}

/// Scales every weight by a factor, with the inertia that follows from it.
#[inline]
pub fn scale_mass(aircraft: &mut Aircraft, factor: f64) {
    match &mut aircraft.mass {
        MassStatement::Known(known) => {
            known.mass_kg *= factor;
            for inertia in [
                &mut known.ixx_kg_m2,
                &mut known.iyy_kg_m2,
                &mut known.izz_kg_m2,
                &mut known.ixz_kg_m2,
            ] {
                *inertia *= factor;
            }
        }
        MassStatement::Parts(parts) => {
            for part in parts {
                match &mut part.spread {
                    Spread::Point { mass_kg, .. }
                    | Spread::Rod { mass_kg, .. }
                    | Spread::Block { mass_kg, .. } => *mass_kg *= factor,
                    Spread::Sheet { areal_density_kg_m2, .. } => *areal_density_kg_m2 *= factor,
                }
            }
        }
    }
}

/// Scales the area of all surfaces of a role, and of a V-tail in their place,
/// at the same shape and weight; false where there are none.
#[inline]
pub fn scale_area(aircraft: &mut Aircraft, role: SurfaceRole, factor: f64) -> bool {
    if factor.is_nan() || factor <= 0.0 {
        return false;
    }
    let length = factor.sqrt();
    let mut names = Vec::new();
    for surface in &mut aircraft.surfaces {
        if surface.role != role && surface.role != SurfaceRole::VTail {
            continue;
        }
        names.push(surface.name.clone());
        for panel in &mut surface.panels {
            panel.span_m *= length;
            panel.root_chord_m *= length;
            panel.tip_chord_m *= length;
        }
    }
    if let MassStatement::Parts(parts) = &mut aircraft.mass {
        for part in parts {
            if let Spread::Sheet { surface, areal_density_kg_m2 } = &mut part.spread
                && names.contains(surface)
            {
                *areal_density_kg_m2 /= factor;
            }
        }
    }
    !names.is_empty()
}

#[inline]
fn scale_chord(aircraft: &mut Aircraft, roles: &[ControlRole], factor: f64) -> bool {
    let mut any = false;
    for control in aircraft.surfaces.iter_mut().flat_map(|surface| &mut surface.controls) {
        // An all-moving surface has no chord of its own to change.
        if roles.contains(&control.role) && control.inner_chord < 1.0 {
            control.inner_chord *= factor;
            control.outer_chord *= factor;
            any = true;
        }
    }
    any
}

#[inline]
fn open_hinge(aircraft: &mut Aircraft, roles: &[ControlRole], degrees: f64) -> bool {
    let mut any = false;
    for control in aircraft.surfaces.iter_mut().flat_map(|surface| &mut surface.controls) {
        if roles.contains(&control.role) {
            control.throw_max_deg += degrees;
            any = true;
        }
    }
    any
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{EXAMPLES, read_aircraft};
    use crate::mass::mass_properties;

    fn example() -> SoundAircraft {
        read_aircraft(EXAMPLES[0].text).unwrap().check().unwrap()
    }

    #[test]
    fn the_balance_point_moves_by_what_was_asked() {
        let before = mass_properties(&example()).unwrap();
        let moved = changed(&example(), GeometryChange::BalancePoint, 0.01, &[]).unwrap();
        let after = mass_properties(&moved).unwrap();
        assert!((after.balance_point.aft_m - before.balance_point.aft_m - 0.01).abs() < 1e-12);
        assert!((after.mass_kg - before.mass_kg).abs() < 1e-12);
    }

    #[test]
    fn weight_and_inertia_grow_alike_at_the_same_balance() {
        let before = mass_properties(&example()).unwrap();
        let mut heavier = example().into_inner();
        scale_mass(&mut heavier, 1.3);
        let after = mass_properties(&heavier.check().unwrap()).unwrap();
        assert!((after.mass_kg / before.mass_kg - 1.3).abs() < 1e-12);
        assert!((after.inertia_body / 1.3 - before.inertia_body).norm() < 1e-12);
        let moved = after.balance_point.to_body_axes() - before.balance_point.to_body_axes();
        assert!(moved.norm() < 1e-12);
    }

    #[test]
    fn areas_grow_at_the_same_weight() {
        let larger = changed(&example(), GeometryChange::TailArea, 0.2, &[]).unwrap();
        let area = |aircraft: &SoundAircraft| {
            let panel = aircraft.surfaces[1].panels[0];
            0.5 * (panel.root_chord_m + panel.tip_chord_m) * panel.span_m
        };
        assert!((area(&larger) / area(&example()) - 1.2).abs() < 1e-12);
        let mass = |aircraft| mass_properties(aircraft).unwrap().mass_kg;
        assert!((mass(&larger) - mass(&example())).abs() < 1e-9);
        assert_eq!(changed(&example(), GeometryChange::TailArea, -1.0, &[]), None);
    }

    #[test]
    fn what_is_not_there_cannot_be_changed() {
        let roles = [ControlRole::Aileron];
        assert_eq!(changed(&example(), GeometryChange::ControlChord, 0.1, &roles), None);
        // Beyond the hinge's range the result is not sound.
        let roles = [ControlRole::Rudder];
        assert_eq!(changed(&example(), GeometryChange::HingeLimit, 2.0, &roles), None);
    }
}

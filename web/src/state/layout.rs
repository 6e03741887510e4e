//! A new aeroplane laid out in proportion to its wing, to be measured and
//! corrected.

mod plan;

use sim_core::aircraft::{Aircraft, FORMAT_VERSION, MassStatement, Part, Spread};
use sim_core::assess::Assessment;
use sim_core::mass::part_mass_kg;

use super::Design;
use super::compute::Outcome;
use crate::text::kind;

use plan::{Plan, mm};

/// How the aeroplane is arranged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// Nothing but the sheet.
    Blank,
    /// Propeller in the nose, tail behind.
    Tractor,
    /// Wing on a pylon, propeller behind it, one boom.
    PylonPusher,
    /// Propeller behind the wing between two booms with two fins.
    TwinBoom,
    /// Propeller in the nose, V-tail.
    VTail,
    /// No tail: elevons, two fins at the tips.
    FlyingWing,
    /// Foreplane ahead, propeller behind.
    Canard,
    /// A motor on each side.
    TwinMotor,
}

/// What the layout is made to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Span from tip to tip, m.
    pub span_m: f64,
    /// Mean chord of the wing, m.
    pub chord_m: f64,
    /// Weight of the whole, kg.
    pub mass_kg: f64,
}

impl Default for Sizes {
    /// A foam model that fits into a car.
    fn default() -> Self {
        Self { span_m: 1.2, chord_m: 0.2, mass_kg: 0.8 }
    }
}

/// The aeroplane of a layout.
pub fn lay_out(layout: Layout, sizes: &Sizes) -> Aircraft {
    let mut aircraft = Aircraft {
        format_version: FORMAT_VERSION,
        name: kind::NEW_NAME.to_owned(),
        notes: String::new(),
        surfaces: Vec::new(),
        bodies: Vec::new(),
        propulsion: Vec::new(),
        mass: MassStatement::Parts(Vec::new()),
        reference: None,
        gear: None,
        launch: None,
    };
    let mut plan = Plan { span: sizes.span_m, chord: sizes.chord_m, mass: sizes.mass_kg };
    match layout {
        Layout::Blank => return aircraft,
        Layout::Tractor => plan.tractor(&mut aircraft),
        Layout::PylonPusher => plan.pylon_pusher(&mut aircraft),
        Layout::TwinBoom => plan.twin_boom(&mut aircraft),
        Layout::VTail => plan.v_tail(&mut aircraft),
        Layout::FlyingWing => plan.flying_wing(&mut aircraft),
        Layout::Canard => plan.canard(&mut aircraft),
        Layout::TwinMotor => plan.twin_motor(&mut aircraft),
    }
    // The usual shares of what this layout has are not the whole: what they come
    // to is brought up to the weight that was given.
    let parts = plan.weights(&aircraft);
    let sum: f64 = parts.iter().map(|part| part_mass_kg(part, &aircraft.surfaces)).sum();
    plan.mass *= plan.mass / sum;
    aircraft.mass = MassStatement::Parts(plan.weights(&aircraft));
    aircraft
}

/// The design with its pack slid so that the balance point comes to where a first
/// flight wants it. The window itself moves with the weights, hence the second
/// look: after the first a canard may still be outside.
pub fn balanced(mut design: Design) -> Design {
    for _ in 0..2 {
        let Some(assessment) = Outcome::begin(&design, None).0.assessment else { break };
        slide_pack(&mut design.aircraft, &assessment);
    }
    design
}

fn slide_pack(aircraft: &mut Aircraft, assessment: &Assessment) {
    let balance = &assessment.balance;
    let MassStatement::Parts(parts) = &mut aircraft.mass else { return };
    let pack = parts.iter_mut().find(|part| part.name == kind::PACK_NAME);
    if let Some(Part { spread: Spread::Block { mass_kg, at, .. }, .. }) = pack {
        let shift = (balance.first_flight_aft_m - balance.balance_point_aft_m)
            * assessment.mass.mass_kg
            / *mass_kg;
        at.aft_m = mm(at.aft_m + shift);
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    /// Whatever is laid out flies in the model: it is sound, balances within
    /// its window once the pack is slid, and gets throws.
    #[wasm_bindgen_test(unsupported = test)]
    fn every_layout_is_answered_at_any_size() {
        let sizes = [
            Sizes::default(),
            Sizes { span_m: 0.8, chord_m: 0.14, mass_kg: 0.25 },
            Sizes { span_m: 1.9, chord_m: 0.25, mass_kg: 2.2 },
        ];
        for (layout, name) in kind::LAYOUTS {
            for sizes in sizes.iter().filter(|_| layout != Layout::Blank) {
                let design = balanced(Design::from(lay_out(layout, sizes)));
                let found = Outcome::of(&design, None);
                assert_eq!(found.obstacle, None, "{name}");
                let after = found.assessment.expect(name);
                let at = after.balance.balance_point_aft_m;
                let window = after.balance.window_front_aft_m..=after.balance.window_rear_aft_m;
                assert!(window.contains(&at), "{name}, {sizes:?}: {at} in {window:?}");
                assert!(!after.throws.is_empty(), "{name}");
                let mass = after.mass.mass_kg / sizes.mass_kg;
                assert!((0.97..1.03).contains(&mass), "{name} weighs {mass} of what was asked");
            }
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_blank_sheet_says_what_it_lacks() {
        let blank = lay_out(Layout::Blank, &Sizes::default());
        let findings = blank.check().map(|_| ()).unwrap_err();
        assert!(findings.iter().any(|f| f.field == "surfaces"), "{findings:?}");
    }
}

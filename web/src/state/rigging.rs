//! Fields of what is set in the radio now and of what drives a control
//! surface: servo, arm, pushrod, horn.

use sim_core::aircraft::limits::{self as limit, Limits};
use sim_core::aircraft::{
    Aircraft, ControlLinkage, ControlSetting, ControlSurface, Linkage, Pushrod, RodMaterial, Servo,
    Supports,
};

use super::fields::control;
use super::form::{ChoiceField, NumberField};
use super::measure::{self as unit, INCH_M, Measure, OUNCE_KG};
use crate::text::linkage as label;

/// Holes, arms and play are measured finer than the airframe.
pub const FINE_LENGTH: Measure = Measure::new("mm", 1e3, 0.1).or("in", 1.0 / INCH_M, 0.005);
/// The weight of 1 kg on an arm of 1 cm, N m, by the standard gravity.
const KG_CM_N_M: f64 = 0.098_066_5;
/// Torque as data sheets print it.
pub const TORQUE: Measure = Measure::new("kg·cm", 1.0 / KG_CM_N_M, 0.1).or(
    "oz·in",
    1.0 / (KG_CM_N_M / 1e-2 * OUNCE_KG * INCH_M),
    1.0,
);
/// Servo speed as data sheets print it.
const TIME: Measure = Measure::new("s", 1.0, 0.01);

/// What of a control surface's radio and linkage has been entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entered {
    /// The present throw.
    pub setting: bool,
    /// A low rate beside it.
    pub low_rate: bool,
    /// Arm, horn and servo.
    pub linkage: bool,
}

/// What has been entered for a control surface.
pub fn entered(aircraft: &Aircraft, outer: usize, inner: usize) -> Option<Entered> {
    let own = control(outer, inner).of(aircraft)?;
    Some(Entered {
        setting: own.setting.is_some(),
        low_rate: own.setting.is_some_and(|setting| setting.low_rate_deg.is_some()),
        linkage: own.linkage.is_some(),
    })
}

/// Changes a control surface, where it still exists.
pub fn with_control(
    aircraft: &mut Aircraft,
    (outer, inner): (usize, usize),
    change: impl FnOnce(&mut ControlSurface),
) {
    let surface = aircraft.surfaces.get_mut(outer);
    if let Some(own) = surface.and_then(|surface| surface.controls.get_mut(inner)) {
        change(own);
    }
}

/// A setting to start from: a usual throw, no further than the hinge goes.
pub fn first_setting(hinge_deg: f64) -> ControlSetting {
    let high_rate_deg = hinge_deg.clamp(limit::SET_THROW.min, 20.0);
    ControlSetting { high_rate_deg, low_rate_deg: None, expo: 0.0, low_expo: 0.0 }
}

/// A linkage to start from: usual holes, a steel wire as pushrod, a 9 g servo.
pub fn first_linkage() -> ControlLinkage {
    let length_m = 0.25;
    ControlLinkage {
        geometry: Linkage {
            servo_arm_m: 0.010,
            horn_height_m: 0.014,
            horn_offset_m: 0.0,
            pushrod_m: length_m,
            shaft_height_m: 0.0,
            arm_neutral_deg: 0.0,
        },
        pushrod: Some(Pushrod {
            material: RodMaterial::Steel,
            diameter_m: 0.0012,
            inner_diameter_m: 0.0,
            length_m,
            free_length_m: length_m,
            supports: Supports::default(),
            bow_m: 0.0,
        }),
        // As round as data sheets print it.
        servo: Servo { stall_torque_n_m: 1.6 * KG_CM_N_M, ..Servo::default() },
        hole_play_m: 0.0002,
        arm_holes_m: Vec::new(),
        horn_holes_m: Vec::new(),
    }
}

type Leaf = fn(&mut ControlSurface) -> Option<&mut f64>;
type Row = (&'static str, &'static str, Measure, Limits, Leaf);

fn rows(outer: usize, inner: usize, rows: Vec<Row>) -> Vec<NumberField> {
    let item = control(outer, inner);
    rows.into_iter()
        .map(|(name, label, measure, limits, leaf)| item.number(name, label, measure, limits, leaf))
        .collect()
}

/// Present throw and expo, with those of the low rate where there is one.
pub fn setting_fields(outer: usize, inner: usize, low_rate: bool) -> Vec<NumberField> {
    let mut list: Vec<Row> = vec![
        ("setting.high_rate_deg", label::HIGH_NOW, unit::ANGLE, limit::SET_THROW, |c| {
            Some(&mut c.setting.as_mut()?.high_rate_deg)
        }),
        ("setting.expo", label::EXPO_NOW, unit::SHARE, limit::EXPO, |c| {
            Some(&mut c.setting.as_mut()?.expo)
        }),
    ];
    if low_rate {
        list.push(("setting.low_rate_deg", label::LOW_NOW, unit::ANGLE, limit::SET_THROW, |c| {
            c.setting.as_mut()?.low_rate_deg.as_mut()
        }));
        list.push(("setting.low_expo", label::LOW_EXPO_NOW, unit::SHARE, limit::EXPO, |c| {
            Some(&mut c.setting.as_mut()?.low_expo)
        }));
    }
    rows(outer, inner, list)
}

/// Arm and horn, as measured with the stick in the middle.
pub fn geometry_fields(outer: usize, inner: usize) -> Vec<NumberField> {
    let list: Vec<Row> = vec![
        ("linkage.geometry.servo_arm_m", label::ARM, FINE_LENGTH, limit::HOLE_DISTANCE, |c| {
            Some(&mut c.linkage.as_mut()?.geometry.servo_arm_m)
        }),
        ("linkage.geometry.horn_height_m", label::HORN, FINE_LENGTH, limit::OFFSET, |c| {
            Some(&mut c.linkage.as_mut()?.geometry.horn_height_m)
        }),
        ("linkage.geometry.horn_offset_m", label::HORN_OFFSET, FINE_LENGTH, limit::OFFSET, |c| {
            Some(&mut c.linkage.as_mut()?.geometry.horn_offset_m)
        }),
        (
            "linkage.geometry.pushrod_m",
            label::ROD_REACH,
            unit::LENGTH,
            limit::PUSHROD_LENGTH,
            |c| Some(&mut c.linkage.as_mut()?.geometry.pushrod_m),
        ),
        ("linkage.geometry.shaft_height_m", label::SHAFT, FINE_LENGTH, limit::OFFSET, |c| {
            Some(&mut c.linkage.as_mut()?.geometry.shaft_height_m)
        }),
        (
            "linkage.geometry.arm_neutral_deg",
            label::ARM_LEAN,
            unit::ANGLE,
            limit::ARM_NEUTRAL,
            |c| Some(&mut c.linkage.as_mut()?.geometry.arm_neutral_deg),
        ),
        ("linkage.hole_play_m", label::HOLE_PLAY, FINE_LENGTH, limit::HOLE_PLAY, |c| {
            Some(&mut c.linkage.as_mut()?.hole_play_m)
        }),
    ];
    rows(outer, inner, list)
}

/// The servo by its data sheet.
pub fn servo_fields(outer: usize, inner: usize) -> Vec<NumberField> {
    let list: Vec<Row> = vec![
        ("linkage.servo.stall_torque_n_m", label::STALL_TORQUE, TORQUE, limit::STALL_TORQUE, |c| {
            Some(&mut c.linkage.as_mut()?.servo.stall_torque_n_m)
        }),
        ("linkage.servo.speed_s_per_60deg", label::SPEED, TIME, limit::SERVO_SPEED, |c| {
            Some(&mut c.linkage.as_mut()?.servo.speed_s_per_60deg)
        }),
        ("linkage.servo.travel_deg", label::TRAVEL, unit::ANGLE, limit::SERVO_TRAVEL, |c| {
            Some(&mut c.linkage.as_mut()?.servo.travel_deg)
        }),
        ("linkage.servo.gear_play_deg", label::GEAR_PLAY, unit::ANGLE, limit::GEAR_PLAY, |c| {
            Some(&mut c.linkage.as_mut()?.servo.gear_play_deg)
        }),
    ];
    rows(outer, inner, list)
}

/// What the pushrod is made of and how it is held.
pub fn pushrod_choices(outer: usize, inner: usize) -> Vec<ChoiceField> {
    let item = control(outer, inner);
    vec![
        item.choice("linkage.pushrod.material", label::MATERIAL, &label::MATERIALS, |c| {
            Some(&mut c.linkage.as_mut()?.pushrod.as_mut()?.material)
        }),
        item.choice("linkage.pushrod.supports", label::SUPPORTS, &label::SUPPORT_KINDS, |c| {
            Some(&mut c.linkage.as_mut()?.pushrod.as_mut()?.supports)
        }),
    ]
}

/// Sizes of the pushrod.
pub fn pushrod_fields(outer: usize, inner: usize) -> Vec<NumberField> {
    let bore = Limits::new(0.0, limit::DIAMETER.max, "m");
    let list: Vec<Row> = vec![
        ("linkage.pushrod.diameter_m", label::DIAMETER, FINE_LENGTH, limit::DIAMETER, |c| {
            Some(&mut c.linkage.as_mut()?.pushrod.as_mut()?.diameter_m)
        }),
        ("linkage.pushrod.inner_diameter_m", label::BORE, FINE_LENGTH, bore, |c| {
            Some(&mut c.linkage.as_mut()?.pushrod.as_mut()?.inner_diameter_m)
        }),
        ("linkage.pushrod.length_m", label::ROD_LENGTH, unit::LENGTH, limit::FREE_LENGTH, |c| {
            Some(&mut c.linkage.as_mut()?.pushrod.as_mut()?.length_m)
        }),
        (
            "linkage.pushrod.free_length_m",
            label::FREE_LENGTH,
            unit::LENGTH,
            limit::FREE_LENGTH,
            |c| Some(&mut c.linkage.as_mut()?.pushrod.as_mut()?.free_length_m),
        ),
        ("linkage.pushrod.bow_m", label::BOW, FINE_LENGTH, limit::BOW, |c| {
            Some(&mut c.linkage.as_mut()?.pushrod.as_mut()?.bow_m)
        }),
    ];
    rows(outer, inner, list)
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::examples;
    use crate::state::form::path_in_the_form;

    /// An example whose first control has everything.
    fn rigged() -> (Aircraft, usize) {
        let mut aircraft = examples::all().remove(0);
        let outer = aircraft.surfaces.iter().position(|s| !s.controls.is_empty()).unwrap();
        with_control(&mut aircraft, (outer, 0), |control| {
            let first = first_setting(control.throw_max_deg);
            control.setting = Some(ControlSetting { low_rate_deg: Some(10.0), ..first });
            control.linkage = Some(first_linkage());
        });
        (aircraft, outer)
    }

    fn all_fields(outer: usize) -> Vec<NumberField> {
        let mut all = setting_fields(outer, 0, true);
        all.extend(geometry_fields(outer, 0));
        all.extend(servo_fields(outer, 0));
        all.extend(pushrod_fields(outer, 0));
        all
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn what_one_starts_from_is_sound() {
        let (aircraft, outer) = rigged();
        let all = Entered { setting: true, low_rate: true, linkage: true };
        assert_eq!(entered(&aircraft, outer, 0), Some(all));
        assert!(aircraft.check().is_ok());
    }

    /// The core reports a value out of range under the path that the field has,
    /// or the fault would stand beside no field.
    #[wasm_bindgen_test(unsupported = test)]
    fn findings_name_the_paths_of_the_fields() {
        let (aircraft, outer) = rigged();
        for field in all_fields(outer) {
            assert!(field.field.read(&aircraft).is_some(), "{}", field.field.path);
            let mut wrong = aircraft.clone();
            field.field.write(&mut wrong, field.limits.max * 2.0 + 1.0);
            let findings = wrong.check().expect_err(&field.field.path);
            assert!(
                findings.iter().any(|f| path_in_the_form(&f.field) == field.field.path),
                "{}: {findings:?}",
                field.field.path
            );
        }
    }
}

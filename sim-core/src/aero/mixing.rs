//! From the pilot's four surface commands to the deflection of every device.
//!
//! A device counts as deflected when its trailing edge moves away from the
//! strip's normal (down for a level wing, right for an upright fin). Commands
//! follow ISO 1151, see the crate's conventions.

use super::device::Device;
use super::model::DeviceDeflections;
use crate::airframe::Controls;

/// Fills in the deflections that `controls` ask of `devices`. No device turns
/// further than its hinge allows.
pub fn deflect(devices: &[Device], controls: &Controls, deflections: &mut DeviceDeflections) {
    deflections.right_rad.clear();
    deflections.left_rad.clear();
    for device in devices {
        let limit = device.throw_max_rad;
        let [right, left] = device.half_deflections(controls);
        deflections.right_rad.push(right.clamp(-limit, limit));
        deflections.left_rad.push(left.clamp(-limit, limit));
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::Vector3;

    use super::*;
    use crate::aircraft::ControlRole;

    /// Either way a hinge stops where it does, each half for itself.
    #[test]
    fn no_device_turns_further_than_its_hinge_allows() {
        let device = Device {
            surface: 0,
            control: 0,
            role: ControlRole::Elevon,
            throw_max_rad: 0.3,
            gap_sealed: true,
            rudder_sign: 1.0,
            elevator_sign: 1.0,
            normal: -Vector3::z(),
            mirrored: true,
        };
        let mut found = DeviceDeflections::default();
        for sense in [1.0, -1.0] {
            let controls = Controls {
                elevator_rad: 0.25 * sense,
                aileron_rad: 0.15 * sense,
                ..Controls::default()
            };
            deflect(&[device], &controls, &mut found);
            assert!((found.right_rad[0] - 0.3 * sense).abs() < 1e-15);
            assert!((found.left_rad[0] - 0.1 * sense).abs() < 1e-15);
            let opposed = Controls { aileron_rad: -0.15 * sense, ..controls };
            deflect(&[device], &opposed, &mut found);
            assert!((found.left_rad[0] - 0.3 * sense).abs() < 1e-15 && found.left_rad.len() == 1);
        }
    }
}

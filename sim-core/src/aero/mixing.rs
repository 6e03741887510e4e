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

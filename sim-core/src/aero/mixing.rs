//! From the pilot's four surface commands to the deflection of every device.
//!
//! A device counts as deflected when its trailing edge moves away from the
//! strip's normal (down for a level wing, right for an upright fin). Commands
//! follow ISO 1151, see the crate's conventions.

use super::grid::Device;
use super::model::DeviceDeflections;
use crate::aircraft::ControlRole;
use crate::airframe::Controls;

/// Fills in the deflections that `controls` ask of `devices`. No device turns
/// further than its hinge allows.
pub fn deflect(devices: &[Device], controls: &Controls, deflections: &mut DeviceDeflections) {
    deflections.right_rad.clear();
    deflections.left_rad.clear();
    for device in devices {
        let (together, opposed) = commands(device, controls);
        let limit = device.throw_max_rad;
        deflections.right_rad.push((together + opposed).clamp(-limit, limit));
        deflections.left_rad.push((together - opposed).clamp(-limit, limit));
    }
}

/// The part that both halves share, and the part that the right one adds and
/// the left one takes away.
fn commands(device: &Device, controls: &Controls) -> (f64, f64) {
    let rudder = device.rudder_sign * controls.rudder_rad;
    let elevator = device.elevator_sign * controls.elevator_rad;
    match device.role {
        ControlRole::Elevator => (elevator, 0.0),
        ControlRole::Flap => (controls.flap_rad, 0.0),
        ControlRole::Aileron => (0.0, controls.aileron_rad),
        ControlRole::Elevon => (elevator, controls.aileron_rad),
        ControlRole::Flaperon => (controls.flap_rad, controls.aileron_rad),
        ControlRole::Ruddervator => (elevator, rudder),
        // Twin fins lean to opposite sides, so their deflections are opposed;
        // a single fin counts as a right one.
        ControlRole::Rudder => (0.0, rudder),
    }
}

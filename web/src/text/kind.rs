//! Kinds in words, in the order in which they are offered.

use sim_core::aircraft::{
    BladeStyle, BodyKind, ControlRole, Mounting, Rotation, SectionKind, SurfaceRole,
};
use sim_core::handling::pilot::Skill;

pub const SECTIONS: [(SectionKind, &str); 6] = [
    (SectionKind::FlatSheet, "flat sheet, square edges"),
    (SectionKind::RoundedSheet, "flat sheet, rounded edges"),
    (SectionKind::FoldedSheet, "folded over a spar"),
    (SectionKind::SteppedSheet, "folded, with a step"),
    (SectionKind::CamberedPlate, "thin plate, bent"),
    (SectionKind::Profile, "shaped profile"),
];
pub const CONTROLS: [(ControlRole, &str); 7] = [
    (ControlRole::Elevator, "elevator"),
    (ControlRole::Rudder, "rudder"),
    (ControlRole::Aileron, "aileron"),
    (ControlRole::Elevon, "elevator and aileron in one"),
    (ControlRole::Ruddervator, "elevator and rudder in one"),
    (ControlRole::Flap, "flap"),
    (ControlRole::Flaperon, "flap and aileron in one"),
];
pub const BODIES: [(BodyKind, &str); 5] = [
    (BodyKind::Fuselage, "rounded fuselage or pod"),
    (BodyKind::BoxFuselage, "box fuselage"),
    (BodyKind::Boom, "boom"),
    (BodyKind::Strut, "strut or pylon"),
    (BodyKind::Wheel, "wheel"),
];
pub const MOUNTINGS: [(Mounting, &str); 2] = [
    (Mounting::Tractor, "before the motor, pulling"),
    (Mounting::Pusher, "behind the motor, pushing"),
];
pub const ROTATIONS: [(Rotation, &str); 2] =
    [(Rotation::Clockwise, "clockwise"), (Rotation::Counterclockwise, "anticlockwise")];
pub const BLADE_STYLES: [(BladeStyle, &str); 2] = [
    (BladeStyle::ThinElectric, "narrow, for fast flight"),
    (BladeStyle::SlowFlight, "wide, for slow flight"),
];
pub const BLADE_COUNTS: [(u8, &str); 5] = [(2, "2"), (3, "3"), (4, "4"), (5, "5"), (6, "6")];
pub const CELL_COUNTS: [(u8, &str); 12] = [
    (1, "1"),
    (2, "2"),
    (3, "3"),
    (4, "4"),
    (5, "5"),
    (6, "6"),
    (7, "7"),
    (8, "8"),
    (9, "9"),
    (10, "10"),
    (11, "11"),
    (12, "12"),
];

pub const SKILLS: [(Skill, &str); 3] = [
    (Skill::Beginner, "first flights"),
    (Skill::Practised, "practised"),
    (Skill::Expert, "expert"),
];

/// What a surface is, as a heading.
pub fn surface(role: SurfaceRole) -> &'static str {
    match role {
        SurfaceRole::Wing => "Wing",
        SurfaceRole::Tailplane => "Tailplane",
        SurfaceRole::Fin => "Fin",
        SurfaceRole::VTail => "V-tail",
    }
}

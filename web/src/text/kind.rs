//! Kinds in words, in the order in which they are offered.

use sim_core::aircraft::{
    BladeStyle, BodyKind, ControlRole, Mounting, Rotation, SectionKind, Spread, SurfaceRole,
};
use sim_core::handling::pilot::Skill;

use crate::state::layout::Layout;
use crate::state::parts::SpreadKind;

pub const LAYOUTS: [(Layout, &str); 8] = [
    (Layout::Tractor, "propeller in the nose, tail behind"),
    (Layout::PylonPusher, "wing on a pylon, propeller behind it"),
    (Layout::TwinBoom, "two booms, two fins, propeller between"),
    (Layout::VTail, "V-tail, propeller in the nose"),
    (Layout::FlyingWing, "flying wing, elevons"),
    (Layout::Canard, "foreplane ahead, propeller behind"),
    (Layout::TwinMotor, "a motor on each wing"),
    (Layout::Blank, "nothing: add part by part"),
];
pub const SURFACES: [(SurfaceRole, &str); 4] = [
    (SurfaceRole::Wing, "wing"),
    (SurfaceRole::Tailplane, "tailplane or foreplane"),
    (SurfaceRole::Fin, "fin"),
    (SurfaceRole::VTail, "V-tail"),
];
pub const SPREADS: [(SpreadKind, &str); 4] = [
    (SpreadKind::Point, "in one place"),
    (SpreadKind::Block, "in a box"),
    (SpreadKind::Rod, "along a line"),
    (SpreadKind::Sheet, "foam over a surface"),
];

/// Names of what is laid out anew.
pub const NEW_NAME: &str = "My aeroplane";
pub const MOTOR_NAME: &str = "motor";
pub const PACK_NAME: &str = "pack";
pub const CONTROLLER_NAME: &str = "controller";
pub const RECEIVER_NAME: &str = "receiver";
pub const SERVOS_NAME: &str = "servos";
pub const WIRING_NAME: &str = "wiring and glue";

/// Name of the foam of a surface.
pub fn foam_name(surface: &str) -> String {
    format!("{surface} foam")
}

/// Name of a new control surface.
pub fn control_name(role: ControlRole) -> &'static str {
    match role {
        ControlRole::Elevator => "elevator",
        ControlRole::Rudder => "rudder",
        ControlRole::Aileron => "aileron",
        ControlRole::Elevon => "elevon",
        ControlRole::Ruddervator => "ruddervator",
        ControlRole::Flap => "flap",
        ControlRole::Flaperon => "flaperon",
    }
}

/// Name of a new body.
pub fn body_name(kind: BodyKind) -> &'static str {
    match kind {
        BodyKind::Fuselage => "pod",
        BodyKind::BoxFuselage => "fuselage",
        BodyKind::Boom => "boom",
        BodyKind::Strut => "pylon",
        BodyKind::Wheel => "wheel",
    }
}

/// Name of a new weight.
pub fn weight_name(spread: &Spread) -> &'static str {
    match spread {
        Spread::Point { .. } => "new weight",
        Spread::Block { .. } => "new box",
        Spread::Rod { .. } => "new rod",
        Spread::Sheet { .. } => "foam",
    }
}

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

//! Every sentence and word that the page shows, and how errors are put to the
//! builder. No other file of the page holds prose.

use crate::state::form::TextFault;
use crate::state::measure::plain;

/// Name of the tool.
pub const TOOL: &str = "Fledge";
/// The job in a line.
pub const TAGLINE: &str = "From the bench to the throws for a first flight";

/// What is wrong with a number as typed.
pub fn text_fault(fault: TextFault, unit: &str) -> String {
    match fault {
        TextFault::Empty => "A number is needed here.".to_owned(),
        TextFault::NotANumber => "This is not a number. Write it as 12 or 12.5.".to_owned(),
        TextFault::OutOfRange { shown, min, max } => {
            format!("{} is outside {} to {} {unit}.", plain(shown, 3), plain(min, 3), plain(max, 3))
                .replace(" .", ".")
        }
    }
}

/// A finding of the core, put beside its field.
pub fn finding(message: &str) -> String {
    let mut sentence = message.to_owned();
    if let Some(first) = sentence.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    if !sentence.ends_with('.') {
        sentence.push('.');
    }
    sentence
}

/// How many faults the bench sheet has.
pub fn fault_count(count: usize) -> String {
    match count {
        1 => "One measurement needs a look before this can be computed again.".to_owned(),
        _ => format!("{count} measurements need a look before this can be computed again."),
    }
}

/// A mass.
pub fn grams(mass_kg: f64) -> String {
    format!("{} g", plain(mass_kg * 1e3, 0))
}

/// A length.
pub fn millimetres(length_m: f64) -> String {
    format!("{} mm", plain(length_m * 1e3, 0))
}

/// Where a finding lies, as a builder would say it: the parts of the path
/// counted from one, the unit dropped.
pub fn place_in_words(path: &str) -> String {
    let words: Vec<String> = path
        .split('.')
        .map(|step| {
            let (name, index) = match step.split_once('[') {
                Some((name, index)) => (name, index.trim_end_matches(']').parse::<usize>().ok()),
                None => (step, None),
            };
            let mut name = name.to_owned();
            for unit in ["_kg_m2", "_rpm_per_v", "_m_s", "_deg", "_kg", "_ohm", "_ah", "_m", "_n"] {
                if let Some(bare) = name.strip_suffix(unit) {
                    name.truncate(bare.len());
                    break;
                }
            }
            let name = name.replace('_', " ");
            match index {
                Some(index) => format!("{name} {}", index + 1),
                None => name,
            }
        })
        .collect();
    words.join(", ")
}

/// The builder's questions, which head the answers.
pub mod question {
    /// Balance point, neutral point and window.
    pub const BALANCE: &str = "Where does it balance?";
    /// Rudder step.
    pub const RUDDER: &str = "How does it answer the rudder?";
    /// Cautions.
    pub const BEFORE_FLIGHT: &str = "Before it flies";
}

/// What a computer cannot check.
pub mod caution {
    /// Each caution: its head and what to do.
    pub const ALL: [(&str, &str); 7] = [
        (
            "The propeller bites.",
            "Take it off while you set anything. Once it is on, stand behind it, and tie the model down for every run on the ground.",
        ),
        (
            "Lithium packs burn.",
            "Charge them watched, in a fireproof place, never when puffed or after a crash. The pack goes in last and comes out first.",
        ),
        (
            "Check each direction.",
            "Stick back raises the elevator, stick right turns the rudder's trailing edge right. Stand behind the model and look, before every flying day.",
        ),
        (
            "Try failsafe and range.",
            "Switch the transmitter off: the motor must stop. Walk the distance that your radio's manual asks for, with the motor running and with it stopped.",
        ),
        (
            "People first.",
            "Nobody in front, nobody under the flight path, wind in your face, room to land straight ahead.",
        ),
        ("Local rules hold.", "Field, height, registration, insurance: know them before you go."),
        (
            "A prediction is not a clearance.",
            "These numbers come from measurements and models with errors. Have an experienced pilot look the model over, and make the first flight theirs.",
        ),
    ];
}

/// Headings and buttons.
pub mod word {
    /// Tip to tip.
    pub const SPAN: &str = "Span";
    /// Area of the wing.
    pub const WING_AREA: &str = "Wing";
    /// Mass of the whole.
    pub const FLYING_WEIGHT: &str = "Weight";
    /// Mass over wing area.
    pub const WING_LOADING: &str = "Loading";
    /// Views of the drawing.
    pub const FROM_ABOVE: &str = "from above";
    /// As above.
    pub const FROM_THE_LEFT: &str = "from the left";
    /// As above.
    pub const FROM_THE_FRONT: &str = "from the front";
    /// What the drawing shows, for those who cannot see it.
    pub const DRAWING_DESCRIPTION: &str = "The aeroplane from above, from the left and from the front, all to one scale, with its balance point.";
    /// Heading of the form.
    pub const BENCH: &str = "On the bench";
    /// One line under the heading of the form.
    pub const BENCH_LEDE: &str = "What a ruler and a kitchen scale tell. All places are measured from one fixed point, the datum: usually the nose.";
    /// Heading of the drawing.
    pub const DRAWING: &str = "Drawn to scale";
    /// Picks a ready design.
    pub const START_FROM: &str = "Start from";
    /// First entry of the picker: what stands there is the builder's own.
    pub const OWN_DESIGN: &str = "my own measurements";
    /// Takes back the last change.
    pub const UNDO: &str = "Undo";
    /// Makes the change again.
    pub const REDO: &str = "Redo";
    /// Adds a panel to a surface.
    pub const ADD_PANEL: &str = "Add a panel";
    /// Removes the outermost panel.
    pub const REMOVE_PANEL: &str = "Remove this panel";
    /// Heading of the bodies.
    pub const BODIES: &str = "Body and gear";
    /// Heading of the weights.
    pub const WEIGHTS: &str = "Weights and their places";
    /// Adds a weight.
    pub const ADD_WEIGHT: &str = "Add a weight";
    /// Removes a weight.
    pub const REMOVE: &str = "Remove";
    /// Heading of propeller, motor and pack.
    pub const POWER: &str = "Propeller, motor, pack";
    /// A panel, by number.
    pub const PANEL: &str = "Panel";
    /// Name of a new weight.
    pub const NEW_WEIGHT: &str = "new weight";
    /// Parts of the page that a narrow screen shows one at a time.
    pub const PARTS: &str = "Parts of the page";
    /// As above.
    pub const GO_BENCH: &str = "Measure";
    /// As above.
    pub const GO_DRAWING: &str = "Drawing";
    /// As above.
    pub const GO_ANSWERS: &str = "Answers";
    /// Slider of the wing's outermost panel.
    pub const DIHEDRAL_SLIDER: &str = "Dihedral of the outer panel, each side";
}

/// Names of fields.
pub mod label {
    pub const AIRCRAFT_NAME: &str = "Aeroplane";
    pub const NAME: &str = "Name";
    pub const ROOT_AFT: &str = "Root, behind the datum";
    pub const ROOT_UP: &str = "Root, above the datum";
    pub const ROOT_RIGHT: &str = "Root, off the centre line";
    pub const MIRRORED: &str = "One on each side";
    pub const HALF_SPAN: &str = "Length, root to tip";
    pub const HEIGHT: &str = "Height";
    pub const WIDTH: &str = "Width";
    pub const ROOT_CHORD: &str = "Chord at the root";
    pub const TIP_CHORD: &str = "Chord at the tip";
    pub const SWEEP: &str = "Sweep back";
    pub const DIHEDRAL: &str = "Dihedral, each side";
    pub const INCIDENCE: &str = "Incidence";
    pub const TWIST: &str = "Twist to the tip";
    pub const SECTION_KIND: &str = "How it is made";
    pub const THICKNESS: &str = "Thickness of chord";
    pub const CAMBER: &str = "Camber of chord";
    pub const CONTROL_ROLE: &str = "What it does";
    pub const CONTROL_CHORD_INNER: &str = "Share of chord, inner end";
    pub const CONTROL_CHORD_OUTER: &str = "Share of chord, outer end";
    pub const CONTROL_FROM: &str = "From, share of span";
    pub const CONTROL_TO: &str = "To, share of span";
    pub const THROW_MAX: &str = "Hinge allows, each way";
    pub const BODY_KIND: &str = "What it is";
    pub const FRONT_AFT: &str = "Front, behind the datum";
    pub const FRONT_UP: &str = "Front, above the datum";
    pub const REAR_AFT: &str = "Rear, behind the datum";
    pub const REAR_UP: &str = "Rear, above the datum";
    pub const MOUNTING: &str = "Propeller sits";
    pub const ROTATION: &str = "Turns, seen from behind";
    pub const BLADE_STYLE: &str = "Blades";
    pub const BLADES: &str = "Number of blades";
    pub const DIAMETER: &str = "Diameter";
    pub const PITCH: &str = "Pitch";
    pub const HUB_AFT: &str = "Disc, behind the datum";
    pub const HUB_UP: &str = "Disc, above the datum";
    pub const DOWN_THRUST: &str = "Down-thrust";
    pub const RIGHT_THRUST: &str = "Right-thrust";
    pub const KV: &str = "Motor, turns per volt";
    pub const MOTOR_RESISTANCE: &str = "Motor resistance";
    pub const NO_LOAD_CURRENT: &str = "Current without propeller";
    pub const CONTROLLER_CURRENT: &str = "Controller bears";
    pub const CAPACITY: &str = "Pack holds";
    pub const CELL_RESISTANCE: &str = "Resistance of a cell";
    pub const CELLS: &str = "Cells in series";
    pub const STATIC_THRUST: &str = "Thrust at rest";
    pub const ZERO_THRUST_SPEED: &str = "No thrust left at";
    pub const MASS: &str = "Weight";
    pub const AFT: &str = "Behind the datum";
    pub const UP: &str = "Above the datum";
    pub const RIGHT: &str = "Right of centre";
    pub const FROM_AFT: &str = "Front end, behind";
    pub const TO_AFT: &str = "Rear end, behind";
    pub const FROM_UP: &str = "Front end, above";
    pub const TO_UP: &str = "Rear end, above";
    pub const AREAL_DENSITY: &str = "Weight of the sheet";
    pub const ROLL_INERTIA: &str = "Inertia in roll";
    pub const PITCH_INERTIA: &str = "Inertia in pitch";
    pub const YAW_INERTIA: &str = "Inertia in yaw";
}

/// Kinds in words, in the order in which they are offered.
pub mod kind {
    use sim_core::aircraft::{
        BladeStyle, BodyKind, ControlRole, Mounting, Rotation, SectionKind, SurfaceRole,
    };

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

    /// What a surface is, as a heading.
    pub fn surface(role: SurfaceRole) -> &'static str {
        match role {
            SurfaceRole::Wing => "Wing",
            SurfaceRole::Tailplane => "Tailplane",
            SurfaceRole::Fin => "Fin",
            SurfaceRole::VTail => "V-tail",
        }
    }
}

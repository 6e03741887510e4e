//! Headings, buttons and single words.

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
/// Shows a figure's values.
pub const AS_TABLE: &str = "Values as a table";
/// First stop of the keyboard.
pub const SKIP: &str = "Skip to the measurements";
/// Heading of the form.
pub const BENCH: &str = "On the bench";
/// One line under the heading of the form.
pub const BENCH_LEDE: &str = "What a ruler and a kitchen scale tell. All places are measured from one fixed point, the datum: usually the nose.";
/// Heading of the drawing.
pub const DRAWING: &str = "Drawn to scale";
/// Picks a ready design.
pub const START_FROM: &str = "Start from";
/// First entry of the picker: what stands there is the builder's own.
pub const OWN_DESIGN: &str = "my own";
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
/// Slider of the rudder's hinge.
pub const HINGE_SLIDER: &str = "Rudder hinge allows, each way";
/// Readouts of balance.
pub const BALANCE_POINT: &str = "Balance point";
/// On the drawing.
pub const AERODYNAMIC_CENTRE: &str = "Wing's aerodynamic centre";
/// As above.
pub const THRUST_LINE: &str = "Thrust line";
/// As above.
pub const PROPWASH: &str = "Propwash in ordinary flight";
/// As above.
pub const SWUNG: &str = "Controls on high rate";
/// As above.
pub const WINDOW: &str = "Window";
/// As above.
pub const STATIC_MARGIN: &str = "Steadiness";
/// As above.
pub const BEHIND_LEADING_EDGE: &str = "behind the leading edge at the root";
/// Ends of the window.
pub const FRONT_END: &str = "front";
/// As above.
pub const REAR_END: &str = "rear";
/// On the ruler.
pub const NEUTRAL_POINT: &str = "Neutral point";
/// What the ruler shows, for those who cannot see it.
pub const RULER_DESCRIPTION: &str =
    "The chord of the wing’s root with the window, the balance point and the neutral point on it.";
/// Readouts of steady flight.
pub const STALL_SPEED: &str = "Slowest flight";
/// As above.
pub const STALL_MEANING: &str = "motor off, just before the stall";
/// As above.
pub const THROTTLE: &str = "Throttle";
/// As above.
pub const THROTTLE_MEANING: &str = "to hold its height";
/// As above.
pub const ELEVATOR: &str = "Elevator";
/// As above.
pub const ELEVATOR_MEANING: &str = "to hold this speed";
/// Readouts of responses.
pub const PITCH_RATE: &str = "Nose turns";
/// As above.
pub const ROLL_RATE: &str = "Rolls";
/// As above.
pub const YAW_RATE: &str = "Nose turns";
/// As above.
pub const PEAK: &str = "at its quickest";
/// As above.
pub const PULL: &str = "Wing carries";
/// As above.
pub const PULL_MEANING: &str = "at most, in its own weights";
/// As above.
pub const BANK_AFTER_SECOND: &str = "Bank";
/// As above.
pub const BANK_AFTER_SECOND_MEANING: &str = "after one second";
/// As above.
pub const SIDESLIP: &str = "Skids by";
/// As above.
pub const SIDESLIP_MEANING: &str = "at most, nose off its path";
/// Titles of plots.
pub const SURFACE_PLOT: &str = "Surface, ° with the stick";
/// As above.
pub const RATES_PLOT: &str = "Turning, °/s";
/// As above.
pub const ATTITUDE_PLOT: &str = "Attitude, ° from steady flight";
/// Names of curves.
pub const SURFACE_CURVE: &str = "surface";
/// As above.
pub const PITCH_CURVE: &str = "pitch";
/// As above.
pub const ROLL_CURVE: &str = "roll";
/// As above.
pub const YAW_CURVE: &str = "yaw";
/// As above.
pub const BANK_CURVE: &str = "bank";
/// As above.
pub const SIDESLIP_CURVE: &str = "sideslip";
/// As above.
pub const ALPHA_CURVE: &str = "to airflow";
/// Heads of the table of throws.
pub const SURFACE: &str = "Surface";
/// As above.
pub const HIGH_RATE: &str = "High rate";
/// As above.
pub const LOW_RATE: &str = "Low rate";
/// As above.
pub const DUAL_RATE: &str = "Low of high";
/// As above.
pub const EXPO: &str = "Expo";
/// Where no surface can be moved.
pub const NO_CONTROLS: &str = "No control surface is on the bench sheet yet.";
/// How throws are measured.
pub const THROWS_NOTE: &str = "Each way from neutral. The travel is measured at the trailing edge where the surface is widest. Expo softens the stick around neutral.";
/// For whom.
pub const SKILL: &str = "Who flies with these throws";
/// Where not even an example can be read, which a test rules out.
pub const NOTHING_TO_SHOW: &str = "There is no aeroplane to show.";
/// Files and links.
pub const FILE: &str = "File";
/// As above.
pub const SAVE_FILE: &str = "Save to a file";
/// As above.
pub const OPEN_FILE: &str = "Open a file";
/// As above.
pub const COPY_LINK: &str = "Copy a link";
/// As above.
pub const LINK_COPIED: &str =
    "The link is copied. It carries the whole design; nothing is stored anywhere else.";
/// As above.
pub const FILE_NOT_SAVED: &str = "The browser refused to save the file. Copy a link instead.";
/// As above.
pub const FILE_NOT_OPENED: &str = "The file could not be opened.";
/// Closes a message.
pub const DISMISS: &str = "Close";
/// Switch of units.
pub const UNITS: &str = "Lengths and weights in";
/// As above.
pub const METRIC: &str = "mm, g";
/// As above.
pub const INCHES: &str = "in, oz";
/// Begins a new aeroplane.
pub const NEW: &str = "Begin a new aeroplane";
/// As above.
pub const NEW_LEDE: &str = "Give three sizes and what it looks like: the rest is laid out in proportion for you to correct. What is not measured yet is marked “usual”. Undo brings this one back.";
/// As above.
pub const NEW_LAYOUT: &str = "What it looks like";
/// As above.
pub const NEW_SPAN: &str = "Span, tip to tip";
/// As above.
pub const NEW_CHORD: &str = "Mean chord of the wing";
/// As above.
pub const NEW_MASS: &str = "Weight, ready to fly";
/// As above.
pub const NEW_GO: &str = "Lay it out";
/// Beside a value that nobody has measured.
pub const USUAL: &str = "usual";
/// As above, for those who cannot see it.
pub const USUAL_DESCRIPTION: &str = "a usual value, not yet measured";
/// Adds something to a list.
pub const ADD: &str = "Add";
/// As above.
pub const ADD_SURFACE: &str = "Add a wing or tail";
/// As above.
pub const ADD_CONTROL: &str = "Add a control surface";
/// As above.
pub const ADD_BODY: &str = "Add a body";
/// As above.
pub const ADD_PROPELLER: &str = "Add a propeller";
/// Copies something.
pub const DUPLICATE: &str = "Duplicate";
/// Choices that are no measurement.
pub const WEIGH_PARTS: &str = "List the weights one by one";
/// What is wrong with a size of a new aeroplane.
pub const NEW_SIZE_FAULT: &str = "A number above 0 is needed here.";

//! What the forces mean for flight: trim, linear model, modes, response.

mod derivatives;
mod linearise;
mod modes;
mod response;
mod trim;

pub use derivatives::{
    Cause, Coefficients, Derivatives, FlightPoint, LoadsPer, ReferenceSizes, derivatives,
};
pub use linearise::{LinearModel, LinearOptions, SubModel, linearise};
pub use modes::{
    Mode, ModeKind, ModePart, Modes, MotionVariable, coupling, find_modes, lateral_modes,
    longitudinal_modes,
};
pub use response::{
    Channel, Input, ResponseError, ResponseMetrics, ResponseOptions, Shape, StepResponse,
    linear_response, measure, quick_response, step_response,
};
pub use trim::{
    ControlLimits, Lateral, Path, Shortfall, Surface, Trim, TrimError, TrimTask, hold_lift,
    solve_trim,
};

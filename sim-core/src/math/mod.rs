//! Mathematics that the physics stands on and no library brings as we need it:
//! roots of several equations with a cap on the work, eigenvectors with a cap on
//! the iteration, exact steps of linear motion, order, and small products.

mod dense;
mod eigen;
mod exponential;
mod newton;
mod order;

pub use dense::{RowBlocks, solve_in_place};
pub use eigen::{EigenError, Eigenpair, find_eigenpairs, find_eigenvalues};
pub use exponential::{PHI_COUNT, exponential, phi_functions};
pub use newton::{Bounds, NewtonError, NewtonOptions, NewtonSolution, solve_newton};
pub use order::{ascending_places, ordered_by, sort_numbers};

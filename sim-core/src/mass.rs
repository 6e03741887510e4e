//! From parts to mass, balance point and inertia.
//!
//! Each part is a simple solid whose own inertia has a closed form (point,
//! rod, block, plate); the parallel-axis theorem brings them together about
//! the balance point. A sheet part is spread over the panels of its surface,
//! each panel cut into strips that are treated as plates, which is exact for
//! the mass and within a per cent for the inertia of a tapered panel.
//!
//! Reference: any text on rigid bodies; here Stevens, Lewis and Johnson,
//! Aircraft Control and Simulation, 3rd ed. 2016, section 1.7 (from memory).

use nalgebra::{Matrix3, SymmetricEigen, Vector3};
use serde::Serialize;

use crate::aircraft::outline::{mirror, panel_shapes};
use crate::aircraft::{Finding, MassStatement, Part, Place, SoundAircraft, Spread, Surface};

/// Mass, balance point and inertia of a whole aircraft.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MassProperties {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Balance point (centre of gravity) from the datum.
    pub balance_point: Place,
    /// Inertia tensor about the balance point, body axes, kg m2: products
    /// stand with the tensor's sign, so the x-z element is minus the integral
    /// of x z dm.
    pub inertia_body: Matrix3<f64>,
}

/// Strips into which a panel of sheet material is cut.
const SHEET_STRIPS: usize = 8;

/// Least moment of inertia about any axis, as a radius of gyration, m. A list
/// of points on one line would otherwise spin about it without resistance.
const GYRATION_RADIUS_MIN_M: f64 = 1e-3;

/// Computes mass, balance point and inertia.
///
/// # Errors
/// A [`Finding`] where the parts weigh nothing in all.
pub fn mass_properties(aircraft: &SoundAircraft) -> Result<MassProperties, Finding> {
    match &aircraft.mass {
        MassStatement::Known(known) => Ok(MassProperties {
            mass_kg: known.mass_kg,
            balance_point: known.balance_point,
            inertia_body: Matrix3::new(
                known.ixx_kg_m2,
                0.0,
                -known.ixz_kg_m2,
                0.0,
                known.iyy_kg_m2,
                0.0,
                -known.ixz_kg_m2,
                0.0,
                known.izz_kg_m2,
            ),
        }),
        MassStatement::Parts(parts) => {
            let mut solids = Vec::new();
            for part in parts {
                add_part(part, &aircraft.surfaces, &mut solids);
            }
            combine(&solids)
        }
    }
}

/// Mass of one part as the list states it, both halves, kg.
pub fn part_mass_kg(part: &Part, surfaces: &[Surface]) -> f64 {
    let mut solids = Vec::new();
    add_part(part, surfaces, &mut solids);
    solids.iter().map(|solid| solid.mass_kg).sum()
}

/// A piece with known own inertia.
struct Solid {
    mass_kg: f64,
    centre: Vector3<f64>,
    own_inertia: Matrix3<f64>,
}

impl Solid {
    /// A thin rod between two points.
    fn rod(mass_kg: f64, from: Vector3<f64>, to: Vector3<f64>) -> Self {
        let along = to - from;
        Self {
            mass_kg,
            centre: (from + to) / 2.0,
            own_inertia: about_origin(mass_kg, along) / 12.0,
        }
    }

    /// A parallelogram plate spanned by two edges, about its middle.
    fn plate(mass_kg: f64, centre: Vector3<f64>, edges: [Vector3<f64>; 2]) -> Self {
        let own = edges.iter().map(|edge| about_origin(mass_kg, *edge) / 12.0).sum();
        Self { mass_kg, centre, own_inertia: own }
    }

    fn mirrored(&self) -> Self {
        let flip = Matrix3::from_diagonal(&Vector3::new(1.0, -1.0, 1.0));
        Self {
            mass_kg: self.mass_kg,
            centre: mirror(self.centre),
            own_inertia: flip * self.own_inertia * flip,
        }
    }
}

/// Inertia of a point mass about the origin: m (r.r I - r r').
fn about_origin(mass_kg: f64, position: Vector3<f64>) -> Matrix3<f64> {
    mass_kg * (Matrix3::identity() * position.norm_squared() - position * position.transpose())
}

fn add_part(part: &Part, surfaces: &[Surface], solids: &mut Vec<Solid>) {
    let first = solids.len();
    match &part.spread {
        Spread::Point { mass_kg, at } => solids.push(Solid {
            mass_kg: *mass_kg,
            centre: at.to_body_axes(),
            own_inertia: Matrix3::zeros(),
        }),
        Spread::Rod { mass_kg, from, to } => {
            solids.push(Solid::rod(*mass_kg, from.to_body_axes(), to.to_body_axes()));
        }
        Spread::Block { mass_kg, at, length_m, width_m, height_m } => {
            let edges = Vector3::new(*length_m, *width_m, *height_m);
            let squares = edges.component_mul(&edges);
            let diagonal =
                Vector3::new(squares.y + squares.z, squares.z + squares.x, squares.x + squares.y);
            solids.push(Solid {
                mass_kg: *mass_kg,
                centre: at.to_body_axes(),
                own_inertia: Matrix3::from_diagonal(&(diagonal * (*mass_kg / 12.0))),
            });
        }
        Spread::Sheet { surface, areal_density_kg_m2 } => {
            if let Some(surface) = surfaces.iter().find(|s| s.name == *surface) {
                add_sheet(surface, *areal_density_kg_m2, solids);
            }
        }
    }
    if part.mirrored {
        let images: Vec<_> = solids[first..].iter().map(Solid::mirrored).collect();
        solids.extend(images);
    }
}

fn add_sheet(surface: &Surface, areal_density_kg_m2: f64, solids: &mut Vec<Solid>) {
    for shape in panel_shapes(surface) {
        let strip_span = shape.span_m() / SHEET_STRIPS as f64;
        for i in 0..SHEET_STRIPS {
            let middle = shape.station((i as f64 + 0.5) / SHEET_STRIPS as f64);
            let mass_kg = areal_density_kg_m2 * strip_span * middle.chord_m;
            let plate = Solid::plate(
                mass_kg,
                shape.point(&middle, 0.5),
                [shape.span_direction * strip_span, shape.aft_direction(&middle) * middle.chord_m],
            );
            if surface.mirrored {
                solids.push(plate.mirrored());
            }
            solids.push(plate);
        }
    }
}

fn combine(solids: &[Solid]) -> Result<MassProperties, Finding> {
    let mass_kg: f64 = solids.iter().map(|solid| solid.mass_kg).sum();
    let limits = crate::aircraft::limits::TOTAL_MASS;
    if !limits.contains(mass_kg) {
        return Err(Finding::new(
            "mass.parts",
            format!("weigh {mass_kg} kg in all, allowed is {}", limits.in_words()),
        ));
    }
    let centre: Vector3<f64> =
        solids.iter().map(|solid| solid.centre * solid.mass_kg).sum::<Vector3<f64>>() / mass_kg;
    let inertia: Matrix3<f64> = solids
        .iter()
        .map(|solid| solid.own_inertia + about_origin(solid.mass_kg, solid.centre - centre))
        .sum();
    let floor = mass_kg * GYRATION_RADIUS_MIN_M * GYRATION_RADIUS_MIN_M;
    let least = SymmetricEigen::new(inertia).eigenvalues.min();
    let padding = Matrix3::identity() * (floor - least).max(0.0);
    Ok(MassProperties {
        mass_kg,
        balance_point: Place::from_body_axes(centre),
        inertia_body: inertia + padding,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn only(spread: Spread, mirrored: bool) -> MassProperties {
        let mut solids = Vec::new();
        add_part(&Part { name: "part".into(), spread, mirrored }, &[], &mut solids);
        combine(&solids).unwrap()
    }

    #[test]
    fn a_rod_has_a_twelfth_of_mass_times_length_squared() {
        let rod = only(
            Spread::Rod {
                mass_kg: 0.3,
                from: Place::new(0.0, -1.0, 0.0),
                to: Place::new(0.0, 1.0, 0.0),
            },
            false,
        );
        assert!((rod.inertia_body[(0, 0)] - 0.3 * 4.0 / 12.0).abs() < 1e-6);
        assert!((rod.inertia_body[(2, 2)] - 0.3 * 4.0 / 12.0).abs() < 1e-6);
    }

    #[test]
    fn two_points_make_a_dumbbell() {
        let at = Place::new(0.2, 0.5, 0.1);
        let both = only(Spread::Point { mass_kg: 0.1, at }, true);
        assert_eq!(both.mass_kg, 0.2);
        assert!((both.balance_point.aft_m - 0.2).abs() < 1e-15);
        assert!((both.balance_point.up_m - 0.1).abs() < 1e-15);
        assert_eq!(both.balance_point.right_m, 0.0);
        assert!((both.inertia_body[(0, 0)] - 2.0 * 0.1 * 0.25).abs() < 1e-6);
    }

    #[test]
    fn a_block_has_the_inertia_of_a_box() {
        // Homogeneous box 8 x 4 x 2.25 in of 0.1554048 slug: Ix 0.00189422
        // slug ft2 (NASA/TM-2015-218675, case 2, from memory).
        let inch = 0.3048 / 12.0;
        let block = only(
            Spread::Block {
                mass_kg: 0.155_404_8 * 14.593_903,
                at: Place::default(),
                length_m: 8.0 * inch,
                width_m: 4.0 * inch,
                height_m: 2.25 * inch,
            },
            false,
        );
        let slug_ft2 = 14.593_903 * 0.3048 * 0.3048;
        assert!((block.inertia_body[(0, 0)] / slug_ft2 - 0.001_894_22).abs() < 1e-8);
    }

    /// The tensor of a stated mass: its product stands with minus the integral of
    /// x z dm, on both sides.
    #[test]
    fn a_stated_product_of_inertia_stands_with_the_tensors_sign() {
        let text = crate::aircraft::EXAMPLES[0].text;
        let mut aircraft = crate::aircraft::read_aircraft(text).unwrap();
        aircraft.mass = MassStatement::Known(crate::aircraft::KnownMass {
            mass_kg: 1.2,
            balance_point: Place::new(0.1, 0.0, 0.02),
            ixx_kg_m2: 0.05,
            iyy_kg_m2: 0.06,
            izz_kg_m2: 0.10,
            ixz_kg_m2: 0.004,
        });
        let known = mass_properties(&aircraft.check().unwrap()).unwrap();
        let wanted = Matrix3::new(0.05, 0.0, -0.004, 0.0, 0.06, 0.0, -0.004, 0.0, 0.10);
        assert_eq!(known.inertia_body, wanted);
        assert_eq!((known.mass_kg, known.balance_point.aft_m), (1.2, 0.1));
    }

    #[test]
    fn a_mirrored_part_weighs_twice() {
        let spread = Spread::Point { mass_kg: 0.1, at: Place::new(0.2, 0.5, 0.1) };
        let part = |mirrored| Part { name: "part".into(), spread: spread.clone(), mirrored };
        assert_eq!((part_mass_kg(&part(false), &[]), part_mass_kg(&part(true), &[])), (0.1, 0.2));
    }

    /// m (b2 + c2) / 12 about each axis, by the two edges across it.
    #[test]
    fn a_block_turns_about_each_axis_by_the_edges_across() {
        let (length_m, width_m, height_m) = (0.3, 0.2, 0.1);
        let at = Place::new(0.4, 0.0, -0.1);
        let block = only(Spread::Block { mass_kg: 1.2, at, length_m, width_m, height_m }, false);
        let wanted = Vector3::new(0.1 * 0.05, 0.1 * 0.10, 0.1 * 0.13);
        assert!((block.inertia_body - Matrix3::from_diagonal(&wanted)).norm() < 1e-12);
    }

    /// What would spin without resistance gets a millimetre of gyration about its
    /// easiest axis, and as much more about the others; what has more is left alone.
    #[test]
    fn nothing_spins_freely() {
        let at = Place::new(0.0, 0.5, 0.0);
        let pair = only(Spread::Point { mass_kg: 0.1, at }, true);
        let diagonal = |found: &MassProperties| found.inertia_body.diagonal();
        let wanted = Vector3::new(0.05 + 0.2e-6, 0.2e-6, 0.05 + 0.2e-6);
        assert!((diagonal(&pair) - wanted).norm() < 1e-15, "{}", diagonal(&pair));
        // Half a millimetre of its own, 0.25e-6 m2, is filled up to one.
        let edge = 0.5e-3 * 6.0f64.sqrt();
        let (length_m, width_m, height_m) = (0.6, edge, edge);
        let at = Place::default();
        let thin = only(Spread::Block { mass_kg: 1.0, at, length_m, width_m, height_m }, false);
        assert!((diagonal(&thin).x - 1e-6).abs() < 1e-14, "{}", diagonal(&thin));
        let across = (0.36 + edge * edge) / 12.0;
        assert!((diagonal(&thin).y - across - 0.75e-6).abs() < 1e-13);
        let thick = Spread::Block { mass_kg: 1.0, at, length_m, width_m: 0.01, height_m: 0.01 };
        assert!((diagonal(&only(thick, false)).x - 1e-4 / 6.0).abs() < 1e-16);
    }
}

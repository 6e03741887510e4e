//! Forces and moments of the surfaces and bodies in any state of flight.
//!
//! For each strip: the air that it meets (motion, rotation, slipstream, the
//! fuselage's cross-flow) gives the lattice's patterns; the lattice gives the
//! circulation; where the section cannot carry it, the strip is limited (see
//! [`super::limit`]). Then each strip's force follows from the
//! Kutta-Joukowski theorem with the velocity at its quarter chord, induced
//! part included, plus the section's drag and moment. Trailing legs lie along
//! the chord up to the trailing edge and carry force in a sideslip.
//!
//! Reference: Katz and Plotkin, Low-Speed Aerodynamics, 2nd ed. 2001, section
//! 12.1 (from memory). Valid from creeping flight to Mach 0.3, any attitude;
//! past the stall the sections' curves rule and errors of 20 % are usual.

mod solve;

use std::cell::RefCell;
use std::f64::consts::PI;

use nalgebra::{Matrix6, Vector3};

use super::AeroError;
use super::body::BodyModel;
use super::flaps::Flaps;
use super::grid::{Grid, GridOptions};
use super::ground::Ground;
use super::interference::{CrossFlow, CrossFlowBody};
use super::lattice::Lattice;
use super::limit::Limiter;
use super::sampling;
use super::section::{SectionCoefficients, SectionModel};
use super::unsteady;
use super::vortex_lift;
use crate::aircraft::outline::mirror;
use crate::aircraft::{Place, SoundAircraft};
use crate::airframe::{AirState, Wrench};
use solve::Potential;

/// How the aerodynamic model is built.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AeroOptions {
    /// Fineness of the lattice.
    pub grid: GridOptions,
    /// Airspeed for the sections' Reynolds numbers, m/s.
    pub airspeed_m_s: f64,
    /// Kinematic viscosity of the air, m2/s.
    pub kinematic_viscosity_m2_s: f64,
    /// Body angle of attack about which the wake swings, rad.
    pub wake_alpha_rad: f64,
}

/// Deflection of every device on the right (or centre) and on the left, rad,
/// positive when the trailing edge moves away from the strip's normal (down
/// for a level wing).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DeviceDeflections {
    /// Right half or plane of symmetry.
    pub right_rad: Vec<f64>,
    /// Left half.
    pub left_rad: Vec<f64>,
}

/// What one strip does in a state of flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripLoad {
    /// Quarter-chord point from the moment point, body axes, m.
    pub quarter_chord: Vector3<f64>,
    /// Angle of attack of the section, from its chord, rad.
    pub alpha_rad: f64,
    /// Section lift coefficient.
    pub section_cl: f64,
    /// Share of the flow that is attached, 0 to 1.
    pub attached: f64,
    /// Speed of the air at the strip, m/s.
    pub airspeed_m_s: f64,
}

/// The surfaces and bodies of one aircraft, ready to be evaluated.
#[derive(Debug, Clone)]
pub struct AeroModel {
    lattice: Lattice,
    strips: Vec<StripData>,
    flaps: Flaps,
    bodies: Vec<BodyModel>,
    limiter: Limiter,
    /// From the point that the model is built about, in the plane of symmetry,
    /// to the moment point, m.
    offset: Vector3<f64>,
    ground: Ground,
    added_mass: Matrix6<f64>,
    scratch: RefCell<Scratch>,
}

/// Fixed properties of a strip, right and centre ones first, then the left
/// images.
#[derive(Debug, Clone)]
pub(super) struct StripData {
    pub quarter_chord: Vector3<f64>,
    /// Length of the outer leg along the chord less the inner one's, m; of the
    /// image the other way round.
    pub legs_m: f64,
    /// The same of the legs' middles times their lengths, m2.
    pub legs_arm: Vector3<f64>,
    pub bound: Vector3<f64>,
    pub pitch_axis: Vector3<f64>,
    pub aft: Vector3<f64>,
    pub normal: Vector3<f64>,
    pub chord_m: f64,
    pub area_m2: f64,
    /// Velocity along the normal per circulation of attached flow, 1/m:
    /// 1 / (eta pi c cos(sweep)), eta being the lift slope over 2 pi.
    pub normal_per_circulation_1_m: f64,
    pub section: SectionModel,
    pub cross_flow: CrossFlow,
}

/// What a strip meets, and what it answers.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct StripFlow {
    pub air: Vector3<f64>,
    /// What the fuselages' cross-flow adds to it.
    pub bent: Vector3<f64>,
    pub tangential_m_s: f64,
    pub uniform_m_s: f64,
    pub flap_shift_rad: f64,
    pub blocked_m_s: f64,
    /// Blocked velocity from which the limiter's present step goes.
    pub blocked_before_m_s: f64,
    pub circulation: f64,
    pub moment: f64,
    pub speed_m_s: f64,
    /// The part of that speed through the strip.
    pub normal_m_s: f64,
    /// Angle from zero lift that the lattice gives the strip.
    pub own_angle_rad: f64,
    pub coefficients: SectionCoefficients,
}

impl StripFlow {
    /// Velocity along the normal that the lattice has to answer, m/s.
    pub fn through_m_s(&self) -> f64 {
        self.uniform_m_s - self.blocked_m_s
    }
}

#[derive(Debug, Clone, Default)]
pub(super) struct Scratch {
    pub flow: Vec<StripFlow>,
    /// Least and greatest own angle of every stretch of span.
    pub reaches_rad: Vec<(f64, f64)>,
    /// Strips beyond their straight range: index, mismatch, steepness.
    pub active: Vec<(usize, f64, f64)>,
    /// Sum of the squared mismatches before the limiter's last step.
    pub mismatch_squared: f64,
    /// Deflection of each motion on the right and on the left, rad, and its sine.
    pub turned: Vec<[(f64, f64); 2]>,
    pub flap_velocity: [Vec<f64>; 2],
    /// Whether that step has been shortened.
    pub shortened: bool,
    /// Half the sum of left and right, half the difference.
    pub potentials: [Potential; 2],
    /// Angle of attack and sideslip by which the wake swings, rad.
    pub wake_swing_rad: (f64, f64),
    /// The limiter's step, the last term of it, and what follows from that.
    pub step: Vec<f64>,
    pub term: Vec<f64>,
    pub felt: Vec<f64>,
    /// The last two by half the sum and half the difference of left and right.
    pub sent: [Vec<f64>; 2],
    pub answered: [Vec<f64>; 2],
}

impl AeroModel {
    /// Builds the model about `moment_point`, usually the balance point.
    ///
    /// # Errors
    /// [`AeroError`] where two surfaces coincide or the grid is too large.
    pub fn new(
        aircraft: &SoundAircraft,
        moment_point: Place,
        options: AeroOptions,
    ) -> Result<Self, AeroError> {
        // Everything is mirrored in the plane of symmetry, so the model is built
        // about the moment point's foot on it.
        let foot = Place { right_m: 0.0, ..moment_point };
        let origin = foot.to_body_axes();
        let offset = moment_point.to_body_axes() - origin;
        let grid = Grid::new(aircraft, origin, options.grid);
        let boxes = grid.strips.len() * grid.boxes;
        if boxes > AeroError::BOXES_MAX {
            return Err(AeroError::TooFine { boxes, limit: AeroError::BOXES_MAX });
        }
        let sections: Vec<SectionModel> = grid
            .strips
            .iter()
            .map(|strip| {
                let reynolds =
                    options.airspeed_m_s * strip.chord_m / options.kinematic_viscosity_m2_s;
                let section = SectionModel::new(&strip.section, reynolds);
                let role = aircraft.surfaces[strip.surface].role;
                vortex_lift::on_wing(section, &grid, strip, role)
            })
            .collect();
        let factors: Vec<f64> = sections.iter().map(SectionModel::lift_slope_factor).collect();
        let lattice = Lattice::new(grid, &factors, options.wake_alpha_rad)?;
        let mut strips = strip_data(&lattice.grid, &sections);
        let fuselages = CrossFlowBody::of_bodies(&aircraft.bodies, origin);
        for strip in &mut strips {
            strip.cross_flow = sampling::cross_flow(&fuselages, strip);
        }
        let limiter = Limiter::new(&lattice, &strips);
        let added_mass = unsteady::moved(unsteady::added_mass(&lattice, &strips), offset);
        Ok(Self {
            offset,
            added_mass,
            scratch: RefCell::new(Scratch::new(&lattice, strips.len())),
            flaps: Flaps::new(&lattice),
            strips,
            bodies: aircraft.bodies.iter().map(|b| BodyModel::new(b, foot)).collect(),
            ground: Ground::new(&lattice.grid),
            lattice,
            limiter,
        })
    }

    /// The grid behind the model.
    pub fn grid(&self) -> &Grid {
        &self.lattice.grid
    }

    /// Number of boxes on both halves.
    pub fn box_count(&self) -> usize {
        (self.lattice.grid.strips.len() + self.lattice.grid.right) * self.lattice.grid.boxes
    }

    /// Force and moment about the moment point that the surfaces hold back per
    /// acceleration (order u v w p q r, body axes): apparent mass and downwash
    /// lag.
    pub fn added_mass(&self, density_kg_m3: f64) -> Matrix6<f64> {
        self.added_mass * density_kg_m3
    }

    /// Where each strip feels the air, body axes from the moment point, m; see
    /// [`super::strip_mean`].
    pub fn strip_points(&self) -> impl Iterator<Item = [Vector3<f64>; 3]> {
        self.strips
            .iter()
            .map(|strip| sampling::strip_points(strip).map(|point| point - self.offset))
    }

    /// Loads about the moment point in a state of flight.
    ///
    /// `added_air` is the velocity of the air that propellers add, body axes,
    /// m/s: its mean over each strip in the order of
    /// [`AeroModel::strip_points`]; none where it ends. Deterministic: no memory
    /// of earlier calls.
    pub fn loads(
        &self,
        air: &AirState,
        deflections: &DeviceDeflections,
        added_air: &[Vector3<f64>],
    ) -> Wrench {
        let scratch = &mut *self.scratch.borrow_mut();
        let air = &AirState {
            velocity_body: air.velocity_body - air.rates_body.cross(&self.offset),
            ..*air
        };
        self.meet_air(air, added_air, scratch);
        self.flaps.turn(&self.lattice.grid, deflections, scratch);
        self.begin(air, scratch);
        self.meet_image(air, scratch);
        self.solve(scratch);
        let mut wrench = self.strip_wrench(air, scratch);
        for body in &self.bodies {
            let (force_body, moment_body) = body.loads(
                air.velocity_body,
                air.rates_body,
                air.density_kg_m3,
                air.kinematic_viscosity_m2_s,
            );
            wrench = wrench + Wrench { force_body, moment_body };
        }
        wrench.moment_body -= self.offset.cross(&wrench.force_body);
        wrench
    }

    /// What every strip did in the last call of [`AeroModel::loads`]: right
    /// half, plane of symmetry, left half.
    pub fn strip_loads(&self) -> Vec<StripLoad> {
        let scratch = self.scratch.borrow();
        self.strips
            .iter()
            .zip(&scratch.flow)
            .enumerate()
            .map(|(k, (strip, flow))| {
                let relative_rad = self.limiter.mean_angle_rad(k, &scratch);
                let zero_lift_rad = strip.section.zero_lift_angle_rad() - flow.flap_shift_rad;
                let alpha_rad = relative_rad + zero_lift_rad;
                let coefficients = strip.section.coefficients(alpha_rad, flow.flap_shift_rad);
                StripLoad {
                    quarter_chord: strip.quarter_chord - self.offset,
                    alpha_rad,
                    section_cl: coefficients.cl,
                    attached: coefficients.attached,
                    airspeed_m_s: flow.air.norm(),
                }
            })
            .collect()
    }

    fn meet_air(&self, air: &AirState, added_air: &[Vector3<f64>], scratch: &mut Scratch) {
        let added = added_air.iter().copied().chain(std::iter::repeat(Vector3::zeros()));
        for ((strip, flow), added) in self.strips.iter().zip(&mut scratch.flow).zip(added) {
            let motion = -(air.velocity_body + air.rates_body.cross(&strip.quarter_chord));
            let air = motion + added;
            let bent = strip.cross_flow.velocity_body(motion);
            let met = air + bent;
            let tangential_m_s = met.dot(&strip.aft);
            *flow = StripFlow {
                air,
                bent,
                tangential_m_s,
                uniform_m_s: met.dot(&strip.normal)
                    - strip.section.zero_lift_angle_rad() * tangential_m_s,
                ..StripFlow::default()
            };
        }
    }

    /// Near the ground: the air of the mirrored aircraft below, from the
    /// circulation that there would be without it.
    fn meet_image(&self, air: &AirState, scratch: &mut Scratch) {
        let share = self.ground.share(air.height_m, &air.velocity_body);
        let Some(height_m) = air.height_m.filter(|_| share > 0.0) else { return };
        let grid = &self.lattice.grid;
        let circulation = |k: usize| scratch.potentials[0].circulation[k];
        let velocity = &air.velocity_body;
        let image = self.ground.image(grid, circulation, height_m, velocity, share);
        for k in 0..grid.strips.len() {
            let added = image.velocity_body(self.strips[k].quarter_chord);
            let mut meet = |k: usize, added: Vector3<f64>| {
                let (strip, flow) = (&self.strips[k], &mut scratch.flow[k]);
                flow.air += added;
                flow.uniform_m_s += added.dot(&strip.normal);
            };
            meet(k, added);
            if k < grid.right {
                meet(grid.strips.len() + k, mirror(added));
            }
        }
        self.follow(scratch);
    }

    fn strip_wrench(&self, air: &AirState, scratch: &Scratch) -> Wrench {
        let (right, all) = (self.lattice.grid.right, self.lattice.grid.strips.len());
        let induced_at = |k: usize| -> Vector3<f64> {
            let of = |i: usize, strip: usize| -> Vector3<f64> {
                let induced = &scratch.potentials[i].induced;
                Vector3::new(induced[3 * strip], induced[3 * strip + 1], induced[3 * strip + 2])
            };
            if k < all { of(0, k) + of(1, k) } else { mirror(of(0, k - all) - of(1, k - all)) }
        };
        let mut wrench = Wrench::default();
        // Right and left images are added in pairs, so that what cancels in
        // symmetric flow cancels exactly.
        for k in 0..all {
            let own = self.one_strip(air, &self.strips[k], &scratch.flow[k], induced_at(k));
            if k < right {
                let (strip, flow) = (&self.strips[all + k], &scratch.flow[all + k]);
                let image = self.one_strip(air, strip, flow, induced_at(all + k));
                wrench = wrench + (own + image);
            } else {
                wrench = wrench + own;
            }
        }
        wrench
    }

    fn one_strip(
        &self,
        air: &AirState,
        strip: &StripData,
        flow: &StripFlow,
        induced: Vector3<f64>,
    ) -> Wrench {
        let density = air.density_kg_m3;
        let local = flow.air + induced;
        let speed = local.norm();
        let per_circulation = local.cross(&strip.bound) * density;
        // Legs along the chord: rear-going at the outer end, fore-going inside.
        let strength = density * flow.circulation;
        let held_back = |force: Vector3<f64>| across(&air.velocity_body, force * strength);
        let per_length =
            flow.air.cross(&strip.aft) * strength + held_back(flow.bent.cross(&strip.aft));
        let pressure_area = 0.5 * density * speed * strip.area_m2;
        let drag = local * (pressure_area * flow.coefficients.cd);
        let centre_force = per_circulation * flow.circulation
            + held_back(flow.bent.cross(&strip.bound))
            + drag
            + vortex_lift::force(density, strip, flow, local);
        let lattice_moment =
            strip.aft.cross(&per_circulation) * (flow.moment * flow.coefficients.attached);
        let section_moment = strip.pitch_axis
            * (pressure_area * speed * strip.chord_m * flow.coefficients.cm_quarter_chord);
        Wrench {
            force_body: centre_force + per_length * strip.legs_m,
            moment_body: strip.quarter_chord.cross(&centre_force)
                + strip.legs_arm.cross(&per_length)
                + lattice_moment
                + section_moment,
        }
    }
}

/// A force without its part along the flight: what a fuselage's cross-flow pulls
/// a wing forward with, the wing's vortices push the fuselage back with.
fn across(velocity: &Vector3<f64>, force: Vector3<f64>) -> Vector3<f64> {
    let along = velocity.dot(&force) / velocity.norm_squared().max(f64::MIN_POSITIVE);
    force - velocity * along
}

fn strip_data(grid: &Grid, sections: &[SectionModel]) -> Vec<StripData> {
    let own = |(strip, section): (&super::grid::Strip, &SectionModel)| {
        let (inner, outer) = (&grid.edges[strip.inner_edge], &grid.edges[strip.outer_edge]);
        let middle =
            |edge: &super::grid::Edge| edge.quarter_chord + strip.aft * (0.5 * edge.length_aft_m);
        StripData {
            quarter_chord: strip.quarter_chord,
            legs_m: outer.length_aft_m - inner.length_aft_m,
            legs_arm: middle(outer) * outer.length_aft_m - middle(inner) * inner.length_aft_m,
            bound: strip.bound,
            pitch_axis: strip.span_direction,
            aft: strip.aft,
            normal: strip.normal,
            chord_m: strip.chord_m,
            area_m2: strip.area_m2,
            normal_per_circulation_1_m: 1.0
                / (PI * strip.chord_m * strip.cos_sweep * section.lift_slope_factor()),
            section: *section,
            cross_flow: CrossFlow::default(),
        }
    };
    let mut list: Vec<StripData> = grid.strips.iter().zip(sections).map(own).collect();
    let images: Vec<StripData> = list[..grid.right].iter().map(StripData::mirrored).collect();
    list.extend(images);
    list
}

impl StripData {
    /// The image: points and directions are mirrored; what turns (circulation,
    /// moments) keeps its lifting sense, so its axis is mirrored and reversed.
    fn mirrored(&self) -> Self {
        Self {
            quarter_chord: mirror(self.quarter_chord),
            legs_m: -self.legs_m,
            legs_arm: -mirror(self.legs_arm),
            bound: -mirror(self.bound),
            pitch_axis: -mirror(self.pitch_axis),
            aft: mirror(self.aft),
            normal: mirror(self.normal),
            ..self.clone()
        }
    }
}

impl Scratch {
    fn new(lattice: &Lattice, strips: usize) -> Self {
        let flaps = lattice.flap_columns.len();
        Self {
            flow: vec![StripFlow::default(); strips],
            reaches_rad: vec![(0.0, 0.0); strips],
            active: Vec::with_capacity(strips),
            mismatch_squared: 0.0,
            turned: Vec::new(),
            shortened: false,
            flap_velocity: [vec![0.0; flaps], vec![0.0; flaps]],
            potentials: lattice
                .parities()
                .map(|parity| Potential::new(parity, lattice.grid.strips.len())),
            wake_swing_rad: (0.0, 0.0),
            step: vec![0.0; strips],
            term: vec![0.0; strips],
            felt: vec![0.0; strips],
            sent: lattice.parities().map(|parity| vec![0.0; parity.strips]),
            answered: lattice.parities().map(|parity| vec![0.0; parity.strips]),
        }
    }
}

#[cfg(test)]
mod tests;

//! Plane wings with ideal sections, for checks of the lattice alone.

use nalgebra::Vector3;
use sim_core::aero::grid::GridOptions;
use sim_core::aero::{AeroModel, AeroOptions, DeviceDeflections};
use sim_core::aircraft::{
    Aircraft, KnownMass, KnownSection, MassStatement, Panel, Place, Section, SectionKind, Surface,
    SurfaceRole,
};
use sim_core::dynamics::{AirState, Wrench};

/// A straight-tapered wing of mean chord 1 m.
#[derive(Clone, Copy)]
pub struct TestWing {
    pub aspect_ratio: f64,
    pub taper: f64,
    pub sweep_deg: f64,
    pub dihedral_deg: f64,
    pub grid: GridOptions,
}

impl Default for TestWing {
    fn default() -> Self {
        Self {
            aspect_ratio: 6.0,
            taper: 1.0,
            sweep_deg: 0.0,
            dihedral_deg: 0.0,
            grid: GridOptions::default(),
        }
    }
}

const AIRSPEED: f64 = 10.0;
const DENSITY: f64 = 1.225;

impl TestWing {
    pub fn surface(&self) -> Surface {
        let root_chord_m = 2.0 / (1.0 + self.taper);
        Surface {
            name: "wing".into(),
            role: SurfaceRole::Wing,
            root: Place::new(0.0, 0.0, 0.0),
            mirrored: true,
            panels: vec![Panel {
                span_m: 0.5 * self.aspect_ratio / self.dihedral_deg.to_radians().cos(),
                root_chord_m,
                tip_chord_m: root_chord_m * self.taper,
                sweep_deg: self.sweep_deg,
                sweep_line: 0.25,
                dihedral_deg: self.dihedral_deg,
                incidence_deg: 0.0,
                twist_deg: 0.0,
                section: ideal_section(),
            }],
            controls: Vec::new(),
        }
    }

    pub fn loads(&self, air: &AirState) -> Wrench {
        let aircraft = bare(vec![self.surface()]).check().unwrap();
        let options = AeroOptions {
            grid: self.grid,
            airspeed_m_s: AIRSPEED,
            kinematic_viscosity_m2_s: 1.46e-5,
            wake_alpha_rad: 0.0,
        };
        let model = AeroModel::new(&aircraft, Place::default(), options).unwrap();
        model.loads(air, &DeviceDeflections::default(), &[])
    }
}

/// Lift slope 2 pi, no stall within reach.
pub fn ideal_section() -> Section {
    Section {
        kind: SectionKind::Profile,
        thickness: 0.09,
        camber: 0.0,
        known: KnownSection {
            lift_slope_per_rad: Some(std::f64::consts::TAU),
            lift_coefficient_max: Some(3.0),
            drag_coefficient_min: Some(0.0),
            ..KnownSection::default()
        },
    }
}

/// An aircraft of surfaces only.
pub fn bare(surfaces: Vec<Surface>) -> Aircraft {
    Aircraft {
        format_version: 1,
        name: "test".into(),
        notes: String::new(),
        surfaces,
        bodies: Vec::new(),
        propulsion: Vec::new(),
        mass: MassStatement::Known(KnownMass {
            mass_kg: 1.0,
            balance_point: Place::default(),
            ixx_kg_m2: 1.0,
            iyy_kg_m2: 1.0,
            izz_kg_m2: 1.0,
            ixz_kg_m2: 0.0,
        }),
        reference: None,
        gear: None,
        launch: None,
    }
}

pub fn air(alpha_rad: f64, beta_rad: f64, rates_body: Vector3<f64>) -> AirState {
    let (sin_alpha, cos_alpha) = alpha_rad.sin_cos();
    let (sin_beta, cos_beta) = beta_rad.sin_cos();
    AirState {
        velocity_body: Vector3::new(cos_alpha * cos_beta, sin_beta, sin_alpha * cos_beta)
            * AIRSPEED,
        rates_body,
        density_kg_m3: DENSITY,
        kinematic_viscosity_m2_s: 1.46e-5,
        height_m: None,
    }
}

/// Lift and rolling-moment coefficient at an angle of attack and a roll rate
/// p b / 2V.
pub fn lift_and_roll(wing: &TestWing, alpha_rad: f64, roll_rate: f64) -> (f64, f64) {
    let rate = roll_rate * 2.0 * AIRSPEED / wing.aspect_ratio;
    let wrench = wing.loads(&air(alpha_rad, 0.0, Vector3::new(rate, 0.0, 0.0)));
    let pressure_area = 0.5 * DENSITY * AIRSPEED * AIRSPEED * wing.aspect_ratio;
    let (sin, cos) = alpha_rad.sin_cos();
    let lift = wrench.force_body.x * sin - wrench.force_body.z * cos;
    (lift / pressure_area, wrench.moment_body.x / (pressure_area * wing.aspect_ratio))
}

/// Rolling-moment coefficient in a sideslip.
pub fn roll_in_sideslip(wing: &TestWing, alpha_rad: f64, beta_rad: f64) -> f64 {
    let wrench = wing.loads(&air(alpha_rad, beta_rad, Vector3::zeros()));
    let pressure_area = 0.5 * DENSITY * AIRSPEED * AIRSPEED * wing.aspect_ratio;
    wrench.moment_body.x / (pressure_area * wing.aspect_ratio)
}

//! What every measurement and every method may be off by.
//!
//! Standard deviations. Measurements on the bench, common practice unless said
//! otherwise: what one gets with ruler, kitchen scale and set square, taken as
//! half of the error that is just plausible. Methods: the spreads that stand
//! beside their constants ([`SectionModel::uncertainty`],
//! [`crate::aero::hinge::EFFECTIVENESS_SEALED`]) or, for neutral point and fin,
//! what lattices miss against published aeroplanes.

use serde::{Deserialize, Serialize};

use crate::aero::section::SectionModel;
use crate::aircraft::outline::panel_shapes;
use crate::aircraft::{
    Aircraft, Drive, MassStatement, Part, Place, SoundAircraft, Spread, Surface, SurfaceRole,
};
use crate::assess::Question;
use crate::assess::vary::{move_balance_point, scale_area};
use crate::atmosphere::Atmosphere;

/// Span or chord: 0.5 %, at least 1 mm.
const LENGTH_SHARE: f64 = 0.005;
const LENGTH_M: f64 = 0.001;
/// Place of a surface or a part, m.
const PLACE_M: f64 = 0.0015;
/// Weight of a part.
const MASS_SHARE: f64 = 0.01;
/// Dihedral, deg; a foam wing also bends.
const DIHEDRAL_DEG: f64 = 0.5;
/// Incidence, deg.
const INCIDENCE_DEG: f64 = 0.25;
/// Camber over chord: 1 mm on a chord of 200 mm.
const CAMBER: f64 = 0.005;
/// Chord of a control surface.
const CONTROL_CHORD_SHARE: f64 = 0.02;
/// Motor speed constant as printed.
const KV_SHARE: f64 = 0.03;
/// Winding resistance.
const MOTOR_RESISTANCE_SHARE: f64 = 0.2;
/// Resistance of a cell: age and temperature.
const CELL_RESISTANCE_SHARE: f64 = 0.2;
/// Pitch as printed, and the blade's own shape (estimate).
const PITCH_SHARE: f64 = 0.05;
/// Effect of a flap (estimate, as beside its constant).
const FLAP_POWER_SHARE: f64 = 0.05;
/// Neutral point by the lattice over the mean chord. Estimate: published cases
/// are met within 1 to 3 %.
const NEUTRAL_POINT_CHORDS: f64 = 0.015;
/// What the fin feels behind body and wing. Estimate: directional stability is
/// met within 10 to 15 %.
const FIN_POWER_SHARE: f64 = 0.07;

/// A method whose result may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Lift slope of the sections.
    LiftSlope,
    /// Greatest lift of the sections.
    LiftMax,
    /// Drag of the sections.
    Drag,
    /// Effect of flaps.
    FlapPower,
    /// Neutral point.
    NeutralPoint,
    /// Effect of the fin.
    FinPower,
}

/// One input that may be off; numbers are places in the aircraft's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ErrorSource {
    /// Place of a surface along the body, m.
    SurfacePlace(usize),
    /// Span of a surface, as a fraction.
    Span(usize),
    /// Chords of a surface, as a fraction.
    Chord(usize),
    /// Dihedral of a surface, deg.
    Dihedral(usize),
    /// Incidence of a surface, deg.
    Incidence(usize),
    /// Camber of a surface over its chord.
    Camber(usize),
    /// Chord of the control surfaces of a surface, as a fraction.
    ControlChord(usize),
    /// Weight of a part, as a fraction.
    PartMass(usize),
    /// Place of a part along the body, m.
    PartPlace(usize),
    /// Whole mass, as a fraction.
    WholeMass,
    /// Balance point as measured, m.
    MeasuredBalance,
    /// Speed constant of a motor, as a fraction.
    MotorKv(usize),
    /// Resistance of a motor, as a fraction.
    MotorResistance(usize),
    /// Resistance of the cells, as a fraction.
    CellResistance(usize),
    /// Pitch of a propeller, as a fraction.
    Pitch(usize),
    /// A method, as a fraction; of the neutral point in mean chords.
    Method(Method),
}

impl ErrorSource {
    /// Whether it is measured on the bench and can be measured again.
    #[inline]
    pub fn is_measurement(&self) -> bool {
        !matches!(self, Self::Method(_))
    }
}

/// An input with its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SourceError {
    /// The input.
    pub source: ErrorSource,
    /// Standard deviation, in the source's unit.
    pub deviation: f64,
}

/// Everything that may be off about an aircraft.
#[inline]
pub(super) fn of_aircraft(aircraft: &SoundAircraft) -> Vec<SourceError> {
    let mut list = Vec::new();
    let mut add = |source, deviation| list.push(SourceError { source, deviation });
    for (i, surface) in aircraft.surfaces.iter().enumerate() {
        let shapes = panel_shapes(surface);
        let span: f64 = shapes.iter().map(|shape| shape.span_m()).sum();
        let area: f64 = shapes.iter().map(|shape| shape.area_m2()).sum();
        let length = |size_m: f64| LENGTH_SHARE.max(LENGTH_M / size_m);
        add(ErrorSource::SurfacePlace(i), PLACE_M);
        add(ErrorSource::Span(i), length(span));
        add(ErrorSource::Chord(i), length(area / span));
        if surface.mirrored {
            add(ErrorSource::Dihedral(i), DIHEDRAL_DEG);
            add(ErrorSource::Incidence(i), INCIDENCE_DEG);
        }
        if surface.role == SurfaceRole::Wing {
            add(ErrorSource::Camber(i), CAMBER);
        }
        if surface.controls.iter().any(|control| control.inner_chord < 1.0) {
            add(ErrorSource::ControlChord(i), CONTROL_CHORD_SHARE);
        }
    }
    match &aircraft.mass {
        MassStatement::Parts(parts) => {
            for (i, part) in parts.iter().enumerate() {
                add(ErrorSource::PartMass(i), MASS_SHARE);
                if !matches!(part.spread, Spread::Sheet { .. }) {
                    add(ErrorSource::PartPlace(i), PLACE_M);
                }
            }
        }
        MassStatement::Known(_) => {
            add(ErrorSource::WholeMass, MASS_SHARE);
            add(ErrorSource::MeasuredBalance, PLACE_M);
        }
    }
    for (i, unit) in aircraft.propulsion.iter().enumerate() {
        add(ErrorSource::Pitch(i), PITCH_SHARE);
        if matches!(unit.drive, Drive::Electric { .. }) {
            add(ErrorSource::MotorKv(i), KV_SHARE);
            add(ErrorSource::MotorResistance(i), MOTOR_RESISTANCE_SHARE);
            add(ErrorSource::CellResistance(i), CELL_RESISTANCE_SHARE);
        }
    }
    let section = wing_section(aircraft, 1e5).map(|model| model.uncertainty());
    if let Some(own) = section {
        add(ErrorSource::Method(Method::LiftSlope), own.lift_slope);
        add(ErrorSource::Method(Method::LiftMax), own.lift_coefficient_max);
        add(ErrorSource::Method(Method::Drag), own.drag_coefficient_min);
    }
    add(ErrorSource::Method(Method::FlapPower), FLAP_POWER_SHARE);
    add(ErrorSource::Method(Method::NeutralPoint), NEUTRAL_POINT_CHORDS);
    add(ErrorSource::Method(Method::FinPower), FIN_POWER_SHARE);
    list
}

#[inline]
fn wing_section(aircraft: &Aircraft, reynolds: f64) -> Option<SectionModel> {
    let wing = aircraft.surfaces.iter().find(|surface| surface.role == SurfaceRole::Wing)?;
    Some(SectionModel::new(&wing.panels.first()?.section, reynolds))
}

/// An aircraft with all its errors, and what has no place in it.
pub(super) struct Varied {
    pub aircraft: SoundAircraft,
    /// Factor on all control power.
    pub control_power: f64,
    /// How much further aft the neutral point is than the walk will find, m:
    /// the balance point has been moved the other way by as much.
    pub neutral_point_aft_m: f64,
}

/// The aircraft with its errors; `None` where it is no longer sound.
#[inline]
pub(super) fn apply(
    aircraft: &SoundAircraft,
    question: &Question,
    sources: &[SourceError],
    normals: &[f64],
) -> Option<Varied> {
    let mut varied: Aircraft = (**aircraft).clone();
    let (mut control_power, mut neutral_point_aft_m) = (1.0, 0.0);
    let mut sections = [1.0; 3];
    for (own, normal) in sources.iter().zip(normals) {
        let error = own.deviation * normal;
        // Three standard deviations of a fraction stay far from nothing.
        let factor = (1.0 + error).max(0.1);
        match own.source {
            ErrorSource::Method(Method::LiftSlope) => sections[0] = factor,
            ErrorSource::Method(Method::LiftMax) => sections[1] = factor,
            ErrorSource::Method(Method::Drag) => sections[2] = factor,
            ErrorSource::Method(Method::FlapPower) => control_power = factor,
            ErrorSource::Method(Method::NeutralPoint) => {
                neutral_point_aft_m = error * aircraft.wing_size().mean_aerodynamic_chord_m;
            }
            ErrorSource::Method(Method::FinPower) => {
                scale_area(&mut varied, SurfaceRole::Fin, factor);
            }
            source => apply_one(&mut varied, source, error, factor)?,
        }
    }
    scale_sections(&mut varied, question, sections);
    if neutral_point_aft_m != 0.0 && !move_balance_point(&mut varied, -neutral_point_aft_m) {
        neutral_point_aft_m = 0.0;
    }
    let aircraft = varied.check().ok()?;
    Some(Varied { aircraft, control_power, neutral_point_aft_m })
}

/// One measurement off by `error` in its unit; `None` where it is not there.
#[inline]
fn apply_one(aircraft: &mut Aircraft, source: ErrorSource, error: f64, factor: f64) -> Option<()> {
    match source {
        ErrorSource::SurfacePlace(i) => aircraft.surfaces.get_mut(i)?.root.aft_m += error,
        ErrorSource::Span(i)
        | ErrorSource::Chord(i)
        | ErrorSource::Dihedral(i)
        | ErrorSource::Incidence(i)
        | ErrorSource::Camber(i)
        | ErrorSource::ControlChord(i) => {
            apply_to_surface(aircraft.surfaces.get_mut(i)?, source, error, factor);
        }
        ErrorSource::PartMass(i) => scale_mass(part(aircraft, i)?, factor),
        ErrorSource::PartPlace(i) => shift(part(aircraft, i)?, error),
        ErrorSource::WholeMass | ErrorSource::MeasuredBalance => {
            let MassStatement::Known(known) = &mut aircraft.mass else { return None };
            if source == ErrorSource::WholeMass {
                known.mass_kg *= factor;
            } else {
                known.balance_point.aft_m += error;
            }
        }
        ErrorSource::Pitch(i) => aircraft.propulsion.get_mut(i)?.propeller.pitch_m *= factor,
        ErrorSource::MotorKv(i)
        | ErrorSource::MotorResistance(i)
        | ErrorSource::CellResistance(i) => {
            let drive = &mut aircraft.propulsion.get_mut(i)?.drive;
            let Drive::Electric { motor, pack, .. } = drive else { return None };
            match source {
                ErrorSource::MotorKv(_) => motor.kv_rpm_per_v *= factor,
                ErrorSource::MotorResistance(_) => motor.resistance_ohm *= factor,
                _ => pack.cell_resistance_ohm *= factor,
            }
        }
        ErrorSource::Method(_) => {}
    }
    Some(())
}

#[inline]
fn apply_to_surface(surface: &mut Surface, source: ErrorSource, error: f64, factor: f64) {
    if let ErrorSource::ControlChord(_) = source {
        for control in surface.controls.iter_mut().filter(|control| control.inner_chord < 1.0) {
            control.inner_chord *= factor;
            control.outer_chord *= factor;
        }
        return;
    }
    for panel in &mut surface.panels {
        match source {
            ErrorSource::Span(_) => panel.span_m *= factor,
            ErrorSource::Chord(_) => {
                panel.root_chord_m *= factor;
                panel.tip_chord_m *= factor;
            }
            ErrorSource::Dihedral(_) => {
                panel.dihedral_deg = (panel.dihedral_deg + error).clamp(-90.0, 90.0);
            }
            ErrorSource::Incidence(_) => panel.incidence_deg += error,
            _ => panel.section.camber += error,
        }
    }
}

#[inline]
fn part(aircraft: &mut Aircraft, index: usize) -> Option<&mut Part> {
    match &mut aircraft.mass {
        MassStatement::Parts(parts) => parts.get_mut(index),
        MassStatement::Known(_) => None,
    }
}

#[inline]
fn scale_mass(part: &mut Part, factor: f64) {
    match &mut part.spread {
        Spread::Point { mass_kg, .. }
        | Spread::Rod { mass_kg, .. }
        | Spread::Block { mass_kg, .. } => *mass_kg *= factor,
        Spread::Sheet { areal_density_kg_m2, .. } => *areal_density_kg_m2 *= factor,
    }
}

#[inline]
fn shift(part: &mut Part, aft_m: f64) {
    let move_aft = |place: &mut Place| place.aft_m += aft_m;
    match &mut part.spread {
        Spread::Point { at, .. } | Spread::Block { at, .. } => move_aft(at),
        Spread::Rod { from, to, .. } => {
            move_aft(from);
            move_aft(to);
        }
        Spread::Sheet { .. } => {}
    }
}

/// States lift slope, greatest lift and least drag of every section as known,
/// each off by its factor.
#[inline]
fn scale_sections(aircraft: &mut Aircraft, question: &Question, [slope, lift, drag]: [f64; 3]) {
    let viscosity = Atmosphere::standard(question.altitude_m)
        .map_or(1.5e-5, |atmosphere| atmosphere.kinematic_viscosity_m2_s);
    let airspeed = question.airspeed_m_s.unwrap_or(USUAL_AIRSPEED_M_S);
    for panel in aircraft.surfaces.iter_mut().flat_map(|surface| &mut surface.panels) {
        let chord = 0.5 * (panel.root_chord_m + panel.tip_chord_m);
        let model = SectionModel::new(&panel.section, airspeed * chord / viscosity);
        let known = &mut panel.section.known;
        let within = |value: f64, limits: crate::aircraft::limits::Limits| {
            Some(value.clamp(limits.min, limits.max))
        };
        use crate::aircraft::limits::{DRAG, SECTION_LIFT, SECTION_SLOPE};
        let slope_now = std::f64::consts::TAU * model.lift_slope_factor();
        known.lift_slope_per_rad = within(slope * slope_now, SECTION_SLOPE);
        known.lift_coefficient_max = within(lift * model.lift_coefficient_limits().1, SECTION_LIFT);
        known.drag_coefficient_min = within(drag * model.drag_coefficient_min(), DRAG);
    }
}

/// Airspeed for the sections' Reynolds numbers where none is asked for, m/s.
const USUAL_AIRSPEED_M_S: f64 = 12.0;

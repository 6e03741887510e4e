//! The parts of each layout. Proportions are common practice: tail volume about
//! 0.5, fin volume about 0.04, see the comments; weights as shares of the whole.

use sim_core::aircraft::{
    Aircraft, Body, BodyKind, ControlRole, ControlSurface, Mounting, Panel, Part, Place, Section,
    Spread, Surface, SurfaceRole,
};

use crate::state::parts::{TAIL_SECTION, WING_SECTION, control, panel, propulsion};
use crate::text::kind::{self, body_name};

/// To the millimetre, as a builder measures, m.
pub fn mm(length_m: f64) -> f64 {
    (length_m * 1e3).round() / 1e3
}

fn place(aft_m: f64, right_m: f64, up_m: f64) -> Place {
    Place::new(mm(aft_m), mm(right_m), mm(up_m))
}

/// Sizes in m and kg; places below count in chords behind the nose.
pub struct Plan {
    pub span: f64,
    pub chord: f64,
    pub mass: f64,
}

impl Plan {
    fn at(&self, aft: f64, right: f64, up: f64) -> Place {
        place(aft * self.chord, right * self.chord, up * self.chord)
    }

    fn wing(&self, aft: f64, up: f64, dihedral_deg: f64) -> Surface {
        let chord = mm(self.chord);
        Surface {
            name: kind::surface(SurfaceRole::Wing).to_ascii_lowercase(),
            role: SurfaceRole::Wing,
            root: self.at(aft, 0.0, up),
            mirrored: true,
            panels: vec![Panel {
                dihedral_deg,
                incidence_deg: 2.0,
                ..panel(mm(self.span / 2.0), chord, chord, WING_SECTION)
            }],
            controls: Vec::new(),
        }
    }

    fn ailerons(&self) -> ControlSurface {
        ControlSurface { from_span: 0.45, to_span: 0.95, ..control(ControlRole::Aileron, 0.25) }
    }

    /// A horizontal tail of `volume` (area times arm over wing area times
    /// chord) at an arm of `arm` chords, aspect ratio 4.
    fn tailplane(&self, aft: f64, up: f64, volume: f64, arm: f64) -> Surface {
        let area = volume * self.span * self.chord / arm;
        let chord = mm((area / 4.0).sqrt());
        Surface {
            name: kind::surface(SurfaceRole::Tailplane).to_ascii_lowercase(),
            role: SurfaceRole::Tailplane,
            root: self.at(aft, 0.0, up),
            mirrored: true,
            panels: vec![panel(mm(2.0 * chord), chord, chord, TAIL_SECTION)],
            controls: vec![control(ControlRole::Elevator, 0.3)],
        }
    }

    /// A fin, or one of `count`, of a volume of 0.04 (area times arm over wing
    /// area times span) at an arm of `arm` chords, aspect ratio 1.4.
    fn fin(&self, aft: f64, right: f64, up: f64, arm: f64, count: f64) -> Surface {
        let area = 0.04 * self.span * self.span / arm / count;
        let chord = (area / 1.4).sqrt();
        Surface {
            name: kind::surface(SurfaceRole::Fin).to_ascii_lowercase(),
            role: SurfaceRole::Fin,
            root: self.at(aft, right, up),
            mirrored: count > 1.0,
            panels: vec![Panel {
                dihedral_deg: 90.0,
                sweep_deg: 12.0,
                ..panel(mm(1.4 * chord), mm(1.15 * chord), mm(0.85 * chord), TAIL_SECTION)
            }],
            controls: vec![control(ControlRole::Rudder, 0.4)],
        }
    }

    fn body(&self, kind: BodyKind, from: Place, to: Place, width: f64, height: f64) -> Body {
        Body {
            name: body_name(kind).to_owned(),
            kind,
            front: from,
            rear: to,
            width_m: mm(width * self.chord),
            height_m: mm(height * self.chord),
            mirrored: from.right_m > 0.0,
            drag_coefficient: None,
        }
    }

    fn fuselage(&self, length: f64) -> Body {
        let (nose, rear) = (self.at(0.0, 0.0, 0.0), self.at(length, 0.0, 0.0));
        self.body(BodyKind::BoxFuselage, nose, rear, 0.32, 0.4)
    }

    pub fn tractor(&self, aircraft: &mut Aircraft) {
        let mut wing = self.wing(1.2, 0.25, 3.0);
        wing.controls.push(self.ailerons());
        aircraft.surfaces =
            vec![wing, self.tailplane(4.8, 0.1, 0.5, 3.5), self.fin(4.8, 0.0, 0.15, 3.5, 1.0)];
        aircraft.bodies = vec![self.fuselage(5.2)];
        aircraft.propulsion = vec![propulsion(Mounting::Tractor, self.at(-0.1, 0.0, 0.0))];
    }

    pub fn pylon_pusher(&self, aircraft: &mut Aircraft) {
        aircraft.surfaces = vec![
            self.wing(1.2, 0.8, 5.0),
            self.tailplane(4.7, 0.3, 0.5, 3.4),
            self.fin(4.7, 0.0, 0.32, 3.4, 1.0),
        ];
        aircraft.bodies = vec![
            self.fuselage(2.5),
            self.body(BodyKind::Strut, self.at(1.6, 0.0, 0.2), self.at(1.6, 0.0, 0.8), 0.1, 0.7),
            self.body(BodyKind::Boom, self.at(2.4, 0.0, 0.0), self.at(5.3, 0.0, 0.25), 0.05, 0.05),
        ];
        aircraft.propulsion = vec![propulsion(Mounting::Pusher, self.at(2.4, 0.0, 0.83))];
    }

    pub fn twin_boom(&self, aircraft: &mut Aircraft) {
        let aside = 0.1 * self.span / self.chord;
        let mut tail = self.tailplane(4.5, 0.05, 0.5, 3.3);
        // Between the booms.
        if let Some(panel) = tail.panels.first_mut() {
            let area = panel.span_m * panel.root_chord_m;
            panel.span_m = mm(aside * self.chord);
            panel.root_chord_m = mm(area / panel.span_m);
            panel.tip_chord_m = panel.root_chord_m;
        }
        let mut wing = self.wing(1.2, 0.2, 4.0);
        wing.controls.push(self.ailerons());
        aircraft.surfaces = vec![wing, tail, self.fin(4.4, aside, 0.05, 3.3, 2.0)];
        aircraft.bodies = vec![
            self.fuselage(2.2),
            self.body(
                BodyKind::Boom,
                self.at(1.4, aside, 0.15),
                self.at(5.4, aside, 0.05),
                0.05,
                0.05,
            ),
        ];
        aircraft.propulsion = vec![propulsion(Mounting::Pusher, self.at(2.35, 0.0, 0.1))];
    }

    pub fn v_tail(&self, aircraft: &mut Aircraft) {
        let mut wing = self.wing(1.2, 0.25, 3.0);
        wing.controls.push(self.ailerons());
        // Its area stands for tailplane and fin: 40 deg is common practice.
        let flat = self.tailplane(4.8, 0.1, 0.75, 3.5);
        let mut panels = flat.panels;
        for panel in &mut panels {
            panel.dihedral_deg = 40.0;
        }
        let tail = Surface {
            name: kind::surface(SurfaceRole::VTail).to_ascii_lowercase(),
            role: SurfaceRole::VTail,
            panels,
            controls: vec![control(ControlRole::Ruddervator, 0.35)],
            ..flat
        };
        aircraft.surfaces = vec![wing, tail];
        aircraft.bodies = vec![self.fuselage(5.2)];
        aircraft.propulsion = vec![propulsion(Mounting::Tractor, self.at(-0.1, 0.0, 0.0))];
    }

    pub fn flying_wing(&self, aircraft: &mut Aircraft) {
        let sweep_deg: f64 = 25.0;
        let (root, tip) = (mm(1.25 * self.chord), mm(0.75 * self.chord));
        // Symmetric, with the tips turned down: nothing else holds the nose up.
        let section = Section { camber: 0.0, ..WING_SECTION };
        let wing = self.wing(0.3, 0.0, 0.0);
        let wing = Surface {
            panels: vec![Panel {
                sweep_deg,
                twist_deg: -3.0,
                incidence_deg: 0.0,
                ..panel(mm(self.span / 2.0), root, tip, section)
            }],
            controls: vec![ControlSurface {
                from_span: 0.35,
                to_span: 0.95,
                ..control(ControlRole::Elevon, 0.25)
            }],
            ..wing
        };
        let half = 0.5 * self.span / self.chord;
        let back = 0.3 + half * sweep_deg.to_radians().tan();
        let mut fin = self.fin(back, half, 0.0, 1.8, 2.0);
        fin.controls.clear();
        aircraft.surfaces = vec![wing, fin];
        aircraft.bodies = vec![self.fuselage(1.5)];
        aircraft.propulsion = vec![propulsion(Mounting::Pusher, self.at(1.7, 0.0, 0.0))];
    }

    pub fn canard(&self, aircraft: &mut Aircraft) {
        let mut wing = self.wing(3.0, 0.1, 3.0);
        wing.controls.push(self.ailerons());
        // The foreplane stands steeper, so that it stalls first.
        let mut fore = self.tailplane(0.2, 0.15, 0.6, 3.0);
        for panel in &mut fore.panels {
            panel.incidence_deg = 4.0;
            panel.section = WING_SECTION;
        }
        aircraft.surfaces = vec![wing, fore, self.fin(3.9, 0.0, 0.15, 1.6, 1.0)];
        aircraft.bodies = vec![self.fuselage(4.2)];
        aircraft.propulsion = vec![propulsion(Mounting::Pusher, self.at(4.35, 0.0, 0.0))];
    }

    pub fn twin_motor(&self, aircraft: &mut Aircraft) {
        self.tractor(aircraft);
        let mut unit = propulsion(Mounting::Tractor, self.at(0.9, 1.2, 0.25));
        unit.mirrored = true;
        unit.propeller.diameter_m = 6.0 * 0.0254;
        unit.propeller.pitch_m = 4.0 * 0.0254;
        aircraft.propulsion = vec![unit];
    }

    /// Foam over the surfaces, the rest at its places, as shares of the whole
    /// (common practice for small electric foam models).
    pub fn weights(&self, aircraft: &Aircraft) -> Vec<Part> {
        let mut parts = Vec::new();
        let wing_share = if aircraft.surfaces.len() > 2 { 0.24 } else { 0.28 };
        for surface in &aircraft.surfaces {
            let halves = if surface.mirrored { 2.0 } else { 1.0 };
            let area = surface.panels.iter().map(|p| p.span_m * (p.root_chord_m + p.tip_chord_m));
            let area = 0.5 * halves * area.sum::<f64>();
            let share = if surface.role == SurfaceRole::Wing { wing_share } else { 0.03 };
            parts.push(Part {
                name: kind::foam_name(&surface.name),
                spread: Spread::Sheet {
                    surface: surface.name.clone(),
                    // To 10 g/m2, as a scale tells.
                    areal_density_kg_m2: (share * self.mass / area * 100.0).round().max(1.0)
                        / 100.0,
                },
                mirrored: false,
            });
        }
        let grams = |share: f64| ((share * self.mass * 1e3).round() / 1e3).max(1e-3);
        let mut point = |name: &str, share: f64, at: Place, mirrored: bool| {
            let mass_kg = grams(if mirrored { share / 2.0 } else { share });
            let spread = Spread::Point { mass_kg, at };
            parts.push(Part { name: name.to_owned(), spread, mirrored });
        };
        for unit in &aircraft.propulsion {
            // The motor sits between the disc and the rest.
            let ahead = if unit.mounting == Mounting::Pusher { -0.15 } else { 0.15 };
            let at = Place { aft_m: mm(unit.hub.aft_m + ahead * self.chord), ..unit.hub };
            point(kind::MOTOR_NAME, 0.1, at, unit.mirrored);
        }
        point(kind::CONTROLLER_NAME, 0.04, self.at(0.8, 0.0, 0.0), false);
        point(kind::RECEIVER_NAME, 0.02, self.at(1.3, 0.0, 0.0), false);
        point(kind::SERVOS_NAME, 0.04, self.at(1.5, 0.0, 0.0), false);
        point(kind::WIRING_NAME, 0.06, self.at(1.4, 0.0, 0.0), false);
        let long: Vec<&Body> = aircraft
            .bodies
            .iter()
            .filter(|b| matches!(b.kind, BodyKind::BoxFuselage | BodyKind::Boom))
            .collect();
        for body in &long {
            let share = if body.kind == BodyKind::Boom { 0.05 } else { 0.14 };
            let mass_kg = grams(if body.mirrored { share / 2.0 } else { share });
            let spread = Spread::Rod { mass_kg, from: body.front, to: body.rear };
            parts.push(Part { name: body.name.clone(), spread, mirrored: body.mirrored });
        }
        parts.push(Part {
            name: kind::PACK_NAME.to_owned(),
            spread: Spread::Block {
                mass_kg: grams(0.24),
                at: self.at(0.5, 0.0, 0.0),
                length_m: 0.1,
                width_m: 0.034,
                height_m: 0.026,
            },
            mirrored: false,
        });
        parts
    }
}

//! The hinged parts of the surfaces: where each stands, and which way a command
//! turns it.
//!
//! What an elevator must do to bring the nose up depends on where it stands: behind
//! the balance point its trailing edge goes up, ahead of it, as on a foreplane or
//! the front wing of a tandem, down. The same holds for rudders. The signs here
//! make a positive command always a negative moment (ISO 1151), and the checks on
//! the ground tell the builder what the same signs say.

use nalgebra::Vector3;
use serde::Serialize;

use super::hinge::{lift_per_deflection, moment_per_deflection};
use crate::aircraft::outline::{Covered, PanelShape, covered, panel_shapes};
use crate::aircraft::{Aircraft, ControlRole, ControlSurface};
use crate::airframe::Controls;

/// A control surface as the lattice sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Device {
    /// Surface and control index in the aircraft.
    pub surface: usize,
    /// Control index on that surface.
    pub control: usize,
    /// What it does.
    pub role: ControlRole,
    /// Greatest deflection, rad.
    pub throw_max_rad: f64,
    /// Whether the gap is sealed.
    pub gap_sealed: bool,
    /// Sign that turns rudder (nose left) into deflection of the right or centre
    /// part away from its normal.
    pub rudder_sign: f64,
    /// -1 for an elevator ahead of the moment point, where it must go up to bring
    /// the nose down; else 1.
    pub elevator_sign: f64,
    /// Mean normal of the right or only half, unit vector in body axes: upwards
    /// for a level tail, to the left for an upright fin.
    pub normal: Vector3<f64>,
    /// Whether there is a left half too.
    pub mirrored: bool,
}

/// The hinged parts of an aircraft, which turns about `moment_point_body`, in body
/// axes from the datum.
#[inline]
pub fn devices(aircraft: &Aircraft, moment_point_body: Vector3<f64>) -> Vec<Device> {
    let mut list = Vec::new();
    for (surface_index, surface) in aircraft.surfaces.iter().enumerate() {
        let shapes = panel_shapes(surface);
        for (control_index, control) in surface.controls.iter().enumerate() {
            let (acts_at, normal) = lift_of(control, &shapes);
            let ahead = if acts_at.x > moment_point_body.x { -1.0 } else { 1.0 };
            // Towards +y the trailing edge goes right: rudder positive is left.
            let leaning = if normal.y < 0.0 { -1.0 } else { 1.0 };
            list.push(Device {
                surface: surface_index,
                control: control_index,
                role: control.role,
                throw_max_rad: control.throw_max_deg.to_radians(),
                gap_sealed: control.gap_sealed,
                rudder_sign: leaning * ahead,
                elevator_sign: ahead,
                normal,
                mirrored: surface.mirrored,
            });
        }
    }
    list
}

/// Where the lift of a deflection acts, body axes from the datum, and its mean
/// direction: of each panel that the control covers at x/c = 1/4 - cm/cl of a thin
/// section's flap (Glauert, 1927).
#[inline]
fn lift_of(control: &ControlSurface, shapes: &[PanelShape]) -> (Vector3<f64>, Vector3<f64>) {
    let (mut moment, mut normal, mut total) = (Vector3::zeros(), Vector3::zeros(), 0.0);
    for Covered { shape, ends, chord_ratios } in covered(control, shapes) {
        let station = shape.station(0.5 * (ends[0] + ends[1]));
        let ratio = 0.5 * (chord_ratios[0] + chord_ratios[1]);
        let lift = lift_per_deflection(ratio);
        let place = 0.25 - moment_per_deflection(ratio) / lift;
        let weight = lift * station.chord_m * (ends[1] - ends[0]) * shape.span_m();
        moment += shape.point(&station, place) * weight;
        normal += shape.normal() * weight;
        total += weight;
    }
    let up = -Vector3::z();
    (moment / f64::max(total, f64::MIN_POSITIVE), normal.try_normalize(0.0).unwrap_or(up))
}

/// Where a trailing edge goes, seen from behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EdgeMotion {
    /// Up.
    Up,
    /// Down.
    Down,
    /// To the right.
    Right,
    /// To the left.
    Left,
}

impl EdgeMotion {
    /// The way of an angle whose positive way is this.
    #[inline]
    pub fn at(self, angle: f64) -> Self {
        match self {
            same if angle >= 0.0 => same,
            Self::Up => Self::Down,
            Self::Down => Self::Up,
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}

impl Device {
    /// What `controls` ask of the right (or only) and of the left half, rad, away
    /// from the normal; the hinge may allow less.
    #[inline]
    pub fn half_deflections(&self, controls: &Controls) -> [f64; 2] {
        let rudder = self.rudder_sign * controls.rudder_rad;
        let elevator = self.elevator_sign * controls.elevator_rad;
        let (together, opposed) = match self.role {
            ControlRole::Elevator => (elevator, 0.0),
            ControlRole::Flap => (controls.flap_rad, 0.0),
            ControlRole::Aileron => (0.0, controls.aileron_rad),
            ControlRole::Elevon => (elevator, controls.aileron_rad),
            ControlRole::Flaperon => (controls.flap_rad, controls.aileron_rad),
            ControlRole::Ruddervator => (elevator, rudder),
            // Twin fins lean to opposite sides, so their deflections are opposed;
            // a single fin counts as a right one.
            ControlRole::Rudder => (0.0, rudder),
        };
        [together + opposed, together - opposed]
    }

    /// Where the trailing edges of the right or only half and of the left half go
    /// at small commands. Of a rudder right or left is told, of all others up or
    /// down, however they lean.
    #[inline]
    pub fn edges(&self, controls: &Controls) -> [EdgeMotion; 2] {
        let [right, left] = self.half_deflections(controls);
        // Away from the normal; the left half is the right one's image.
        let mirrored = Vector3::new(self.normal.x, -self.normal.y, self.normal.z);
        let ways = [(self.normal, right), (mirrored, left)].map(|(normal, deflection)| {
            if self.role == ControlRole::Rudder {
                EdgeMotion::Right.at(-normal.y * deflection)
            } else {
                EdgeMotion::Down.at(-normal.z * deflection)
            }
        });
        if self.mirrored { ways } else { [ways[0]; 2] }
    }
}

/// Where the trailing edges go that the elevator's and the rudder's command moves
/// when it is positive (nose down, nose left): of the first such control.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct CommandEdges {
    /// The elevator's.
    pub elevator: EdgeMotion,
    /// The rudder's; of a V-tail the side that it points to.
    pub rudder: EdgeMotion,
}

impl CommandEdges {
    /// Read from the devices; as on a tail where there are none.
    #[inline]
    pub fn of(devices: &[Device]) -> Self {
        use ControlRole::{Elevator, Elevon, Rudder, Ruddervator};
        let elevator = devices.iter().find(|d| matches!(d.role, Elevator | Elevon | Ruddervator));
        let pitch = Controls { elevator_rad: 1.0, ..Controls::default() };
        let rudder = devices.iter().find(|d| matches!(d.role, Rudder | Ruddervator));
        let ahead = |device: &Device| device.elevator_sign < 0.0;
        Self {
            elevator: elevator.map_or(EdgeMotion::Down, |device| device.edges(&pitch)[0]),
            rudder: if rudder.is_some_and(ahead) { EdgeMotion::Right } else { EdgeMotion::Left },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{EXAMPLES, SurfaceRole, read_aircraft};

    /// The trainer with its tail, fin and all, so far ahead of the datum, m; its
    /// balance point is behind the nose.
    fn trainer(tail_ahead_m: f64) -> Aircraft {
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        for surface in &mut aircraft.surfaces {
            if surface.role != SurfaceRole::Wing {
                surface.root.aft_m -= tail_ahead_m;
            }
        }
        aircraft
    }

    fn first(list: &[Device], role: ControlRole) -> &Device {
        list.iter().find(|device| device.role == role).unwrap()
    }

    const PULL: Controls = Controls {
        elevator_rad: -0.1,
        aileron_rad: 0.0,
        rudder_rad: 0.0,
        flap_rad: 0.0,
        throttle: 0.0,
    };
    const YAW_RIGHT: Controls = Controls { elevator_rad: 0.0, rudder_rad: -0.1, ..PULL };

    #[test]
    fn ahead_of_the_balance_point_all_goes_the_other_way() {
        let at = Vector3::new(-0.3, 0.0, 0.0);
        for (ahead_m, pull, yaw) in
            [(0.0, EdgeMotion::Up, EdgeMotion::Right), (2.0, EdgeMotion::Down, EdgeMotion::Left)]
        {
            let list = devices(&trainer(ahead_m), at);
            assert_eq!(first(&list, ControlRole::Elevator).edges(&PULL), [pull; 2]);
            assert_eq!(first(&list, ControlRole::Rudder).edges(&YAW_RIGHT), [yaw; 2]);
            // By as much as is asked.
            let turned = first(&list, ControlRole::Elevator).half_deflections(&PULL);
            assert_eq!(turned.map(f64::abs), [0.1; 2]);
            let turned = first(&list, ControlRole::Rudder).half_deflections(&YAW_RIGHT);
            assert_eq!(turned.map(f64::abs), [0.1; 2]);
            let edges = CommandEdges::of(&list);
            assert_eq!((edges.elevator.at(-1.0), edges.rudder.at(-1.0)), (pull, yaw));
        }
    }

    #[test]
    fn the_two_elevators_of_a_tandem_work_against_each_other() {
        let mut aircraft = trainer(0.0);
        let tail = aircraft.surfaces.iter().find(|s| s.role == SurfaceRole::Tailplane).unwrap();
        let mut front = tail.clone();
        front.role = SurfaceRole::Wing;
        front.root.aft_m -= 2.0;
        aircraft.surfaces.push(front);
        let list = devices(&aircraft, Vector3::new(-0.3, 0.0, 0.0));
        let ways: Vec<EdgeMotion> = list
            .iter()
            .filter(|device| device.role == ControlRole::Elevator)
            .map(|device| device.edges(&PULL)[0])
            .collect();
        assert_eq!(ways, [EdgeMotion::Up, EdgeMotion::Down]);
    }

    /// Right rudder sends both edges of a V to the right: down on the right half
    /// of one that stands up, up on the right half of one that hangs.
    #[test]
    fn a_hanging_v_yaws_the_other_way_round() {
        for (dihedral_deg, yaw) in [
            (38.0, [EdgeMotion::Down, EdgeMotion::Up]),
            (-38.0, [EdgeMotion::Up, EdgeMotion::Down]),
        ] {
            let mut aircraft = trainer(0.0);
            let tail = aircraft.surfaces.iter_mut().find(|s| s.role == SurfaceRole::Tailplane);
            let tail = tail.unwrap();
            tail.panels[0].dihedral_deg = dihedral_deg;
            tail.controls[0].role = ControlRole::Ruddervator;
            let list = devices(&aircraft, Vector3::new(-0.3, 0.0, 0.0));
            let tail = first(&list, ControlRole::Ruddervator);
            assert_eq!(tail.edges(&PULL), [EdgeMotion::Up; 2]);
            assert_eq!(tail.edges(&YAW_RIGHT), yaw);
        }
    }

    /// Twin fins that lean apart: both trailing edges go the way of the rudder.
    #[test]
    fn leaning_fins_turn_the_same_way() {
        for dihedral_deg in [70.0, 110.0] {
            let mut aircraft = trainer(0.0);
            let fin = aircraft.surfaces.iter_mut().find(|s| s.role == SurfaceRole::Fin).unwrap();
            (fin.mirrored, fin.root.right_m) = (true, 0.15);
            fin.panels[0].dihedral_deg = dihedral_deg;
            let list = devices(&aircraft, Vector3::new(-0.3, 0.0, 0.0));
            let edges = first(&list, ControlRole::Rudder).edges(&YAW_RIGHT);
            assert_eq!(edges, [EdgeMotion::Right; 2], "{dihedral_deg}");
        }
    }

    /// The lift of a flap over two panels acts where each panel's part does, at
    /// 1/4 - cm/cl of the chord in the middle of what it covers, weighted with chord,
    /// length and effect; its direction is the mean of theirs.
    #[test]
    fn the_lift_of_a_flap_acts_on_the_panels_that_it_covers() {
        let mut aircraft = trainer(0.0);
        let wing = &mut aircraft.surfaces[0];
        let mut outer = wing.panels[0];
        (outer.root_chord_m, outer.tip_chord_m) = (0.18, 0.1);
        (outer.span_m, outer.dihedral_deg, outer.sweep_deg) = (0.4, 30.0, 10.0);
        wing.panels.push(outer);
        let flap = ControlSurface {
            // From 0.3 m to 0.8 m of one metre.
            from_span: 0.3,
            to_span: 0.8,
            inner_chord: 0.2,
            outer_chord: 0.4,
            ..first_control(&trainer(0.0))
        };
        let shapes = panel_shapes(&aircraft.surfaces[0]);
        let (acts_at, normal) = lift_of(&flap, &shapes);
        let (mut moment, mut sum, mut total) = (Vector3::zeros(), Vector3::zeros(), 0.0);
        // Middle of the covered part of each panel, its chord ratio there, its length.
        for (shape, middle_m, panel_m, ratio, length_m) in
            [(&shapes[0], 0.45, 0.6, 0.26, 0.3), (&shapes[1], 0.1, 0.4, 0.36, 0.2)]
        {
            let lift = lift_per_deflection(ratio);
            let station = shape.station(middle_m / panel_m);
            let weight = lift * station.chord_m * length_m;
            let place = 0.25 - moment_per_deflection(ratio) / lift;
            assert!(place > 0.25, "behind the quarter chord");
            moment += shape.point(&station, place) * weight;
            sum += shape.normal() * weight;
            total += weight;
        }
        assert!((acts_at - moment / total).norm() < 1e-12, "{acts_at}");
        assert!((normal - sum.normalize()).norm() < 1e-12, "{normal}");
        assert!(normal.y < 0.0 && normal.z < 0.0, "up and towards the middle");
    }

    /// What covers nothing lifts upwards.
    #[test]
    fn a_flap_without_length_still_has_a_direction() {
        let aircraft = trainer(0.0);
        let shapes = panel_shapes(&aircraft.surfaces[0]);
        let control = first_control(&aircraft);
        let flap = ControlSurface { from_span: 0.5, to_span: 0.5, ..control };
        assert_eq!(lift_of(&flap, &shapes), (Vector3::zeros(), -Vector3::z()));
    }

    fn first_control(aircraft: &Aircraft) -> ControlSurface {
        aircraft.surfaces.iter().find_map(|surface| surface.controls.first()).unwrap().clone()
    }
}

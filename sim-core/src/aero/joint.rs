//! Where surfaces meet each other, their own images and their own panels.
//!
//! A joint is tight: the circulation that one surface ends with passes on to
//! the other, as a fin's does to the tailplane that it stands on. A lattice
//! keeps to that only if the vortices on both sides lie on one line. So
//! surfaces are looked at along the flow, where each is a line, and
//!
//! * where two lines cross, both surfaces get an edge between two strips there;
//! * an end that stops just short of the other line is laid as far as there,
//!   and all strips of its panel share in the way, with their control points;
//! * within that, every edge at a joint is drawn along the span to the plane of
//!   the other surface, to the plane of symmetry, or half-way to the next panel
//!   (chords at an incidence turn about their own hinge lines and would part
//!   there), by less than would turn a strip over.
//!
//! Without that the flow leaks through a slot that no aeroplane has, the
//! more the finer the strips, or a vortex grazes a control point. Each joint
//! has a closure from 0 (apart) to 1 (tight) that changes smoothly with the
//! gap, so nothing jumps where a fin is moved through a tailplane.

use nalgebra::Vector3;

use super::interference::fullness;
use crate::aircraft::outline::{PanelShape, Station};
use crate::aircraft::{Aircraft, Body, BodyKind, Surface};

/// An end this close to another surface, as a share of its chord, stands on
/// it: glue and a fillet close the gap (common practice). What lies inside a
/// fuselage is no gap.
const CLOSED_SHARE: f64 = 0.03;

/// From here on nothing closes the gap. Without viscosity a slot of a few
/// hundredths of the chord already costs most of what the joint gives, so the
/// way between the two is a short one.
const OPEN_SHARE: f64 = 0.08;

/// Root of a mirrored surface this close to the plane of symmetry, as a share
/// of its chord, meets its image; at the second share it is apart from it.
const AXIS_SHARES: [f64; 2] = [0.02, 0.06];

/// Chords that lie beside each other over this share of the shorter one meet
/// in full, those of which one ends where the other begins not at all.
const OVERLAP_SHARE: f64 = 0.25;

/// Surfaces at a flatter angle to each other (its sine) do not cross, and
/// planes at such an angle are not drawn on to: the way would be long.
const MITRE_MIN: f64 = 0.3;

/// A plane that a surface's edge is drawn on to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mitre {
    /// Point of the plane, body axes from the datum, m.
    point: Vector3<f64>,
    /// At right angles to the plane, of any length.
    normal: Vector3<f64>,
}

impl Mitre {
    /// The way along the span from `point` to the plane, m.
    #[inline]
    pub fn way_m(&self, point: Vector3<f64>, span_direction: &Vector3<f64>) -> f64 {
        (self.point - point).dot(&self.normal) / span_direction.dot(&self.normal)
    }

    /// The plane half-way between two panels.
    #[inline]
    pub fn between(inner: &PanelShape, outer: &PanelShape) -> Option<Self> {
        let normal = (inner.span_direction + outer.span_direction) * 0.5;
        (normal.norm() > MITRE_MIN).then_some(Self { point: outer.inner.leading_edge, normal })
    }

    /// The plane of a panel at one of its stations.
    #[inline]
    fn of_station(panel: &PanelShape, station: &Station) -> Self {
        let (sin, cos) = station.incidence_rad.sin_cos();
        Self { point: station.leading_edge, normal: panel.normal() * cos - Vector3::x() * sin }
    }
}

/// Where another surface, or the plane of symmetry, meets a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Crossing {
    /// Distance from the root along the panels, m; below 0 or beyond the tip
    /// where the surface stops short of it.
    pub along_m: f64,
    /// 0 apart to 1 tight.
    pub closure: f64,
    /// Plane of what is met there.
    pub mitre: Option<Mitre>,
}

/// The joints of one surface.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Joints {
    /// Where others meet it.
    pub crossings: Vec<Crossing>,
    /// Surfaces that it is joined to, by index, and the closure.
    pub joined: Vec<(usize, f64)>,
}

impl Joints {
    /// The tightest of the crossings between two distances from the root.
    #[inline]
    pub fn tightest(&self, from_m: f64, to_m: f64) -> Option<Crossing> {
        let within = self.crossings.iter().filter(|c| (from_m..=to_m).contains(&c.along_m));
        within.copied().reduce(|best, next| if next.closure > best.closure { next } else { best })
    }
}

/// The joints of all surfaces, whose panels are `shapes`.
#[inline]
pub(super) fn joints(aircraft: &Aircraft, shapes: &[Vec<PanelShape>]) -> Vec<Joints> {
    let surfaces = &aircraft.surfaces;
    let mut list = vec![Joints::default(); surfaces.len()];
    for (index, panels) in shapes.iter().enumerate() {
        if let Some(image) = panels.first().and_then(|first| image(&surfaces[index], first)) {
            list[index].crossings.push(image);
        }
    }
    for one in 0..shapes.len() {
        for other in one + 1..shapes.len() {
            for own in panels(&shapes[one]) {
                for theirs in panels(&shapes[other]) {
                    let Some([here, there]) = meeting(&own, &theirs, &aircraft.bodies) else {
                        continue;
                    };
                    list[one].joined.push((other, here.closure));
                    list[other].joined.push((one, here.closure));
                    list[one].crossings.push(here);
                    list[other].crossings.push(there);
                }
            }
        }
    }
    list
}

/// 1 up to the first of two shares, 0 from the second on, smooth between.
#[inline]
fn closure(share: f64, [closed, open]: [f64; 2]) -> f64 {
    let way = ((share - closed) / (open - closed)).clamp(0.0, 1.0);
    1.0 - way * way * (3.0 - 2.0 * way)
}

#[inline]
fn image(surface: &Surface, first: &PanelShape) -> Option<Crossing> {
    let (root, outwards) = (&first.inner, first.span_direction.y);
    let closure = closure(root.leading_edge.y.abs() / root.chord_m, AXIS_SHARES);
    (surface.mirrored && outwards > MITRE_MIN && closure > 0.0).then(|| Crossing {
        along_m: (-root.leading_edge.y / outwards).min(0.0),
        closure,
        mitre: Some(Mitre { point: Vector3::zeros(), normal: Vector3::y() }),
    })
}

/// A panel as a part of its surface.
struct Part<'a> {
    shape: &'a PanelShape,
    /// Distance of its inner end from the root, m.
    start_m: f64,
    /// Whether it is the first and the last.
    ends: [bool; 2],
}

#[inline]
fn panels(shapes: &[PanelShape]) -> impl Iterator<Item = Part<'_>> {
    let last = shapes.len().saturating_sub(1);
    shapes.iter().enumerate().scan(0.0, move |next_m, (i, shape)| {
        let start_m = *next_m;
        *next_m += shape.span_m();
        Some(Part { shape, start_m, ends: [i == 0, i == last] })
    })
}

impl Part<'_> {
    /// Points at a share of the chord at both ends.
    #[inline]
    fn line(&self, chord_fraction: f64) -> [Vector3<f64>; 2] {
        [&self.shape.inner, &self.shape.outer].map(|end| self.shape.point(end, chord_fraction))
    }

    /// By how many chords the surface stops short of a place on this panel's
    /// line, but for what a body fills; nothing where the place belongs to a
    /// neighbouring panel.
    #[inline]
    fn gap(&self, fraction: f64, chord_fraction: f64, bodies: &[Body]) -> Option<f64> {
        const ROUNDING: f64 = 1e-9;
        let (short, outwards, end, is_end) = if fraction < 0.5 {
            (-fraction, -1.0, &self.shape.inner, self.ends[0])
        } else {
            (fraction - 1.0, 1.0, &self.shape.outer, self.ends[1])
        };
        if short < ROUNDING {
            return Some(0.0);
        }
        let short_m = short * self.shape.span_m();
        let from = self.shape.point(end, chord_fraction);
        let way = self.shape.span_direction * (outwards * short_m);
        let filled = bodies.iter().map(|body| filled_share(body, from, way));
        is_end.then(|| (1.0 - filled.fold(0.0, f64::max)) * short_m / end.chord_m)
    }

    #[inline]
    fn station(&self, fraction: f64) -> Station {
        self.shape.station(fraction.clamp(0.0, 1.0))
    }

    #[inline]
    fn crossing(&self, fraction: f64, closure: f64, mitre: Option<Mitre>) -> Crossing {
        Crossing { along_m: self.start_m + fraction * self.shape.span_m(), closure, mitre }
    }
}

/// How much of a short way across the flow lies inside a body. Its sides fade
/// over as much again, so that nothing jumps where a surface leaves it.
#[inline]
fn filled_share(body: &Body, from: Vector3<f64>, way: Vector3<f64>) -> f64 {
    let (front, rear) = (body.front.to_body_axes(), body.rear.to_body_axes());
    let along = ((front.x - from.x) / (front.x - rear.x).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    let size = match body.kind {
        BodyKind::Fuselage | BodyKind::BoxFuselage => fullness(along),
        BodyKind::Boom => 1.0,
        BodyKind::Strut | BodyKind::Wheel => return 0.0,
    };
    let beyond_m = (from.x - front.x).max(rear.x - from.x).max(0.0);
    let off = from - front.lerp(&rear, along);
    let (mut first, mut last, mut fade) = (0.0_f64, 1.0_f64, 1.0_f64);
    for (off, way, size_m) in [(off.y, way.y, body.width_m), (off.z, way.z, body.height_m)] {
        let half = (0.5 * size_m * size - beyond_m).max(f64::MIN_POSITIVE);
        if way.abs() > half * 1e-9 {
            let ends = [(-half - off) / way, (half - off) / way];
            first = first.max(ends[0].min(ends[1]));
            last = last.min(ends[0].max(ends[1]));
        } else {
            fade *= (2.0 - off.abs() / half).clamp(0.0, 1.0);
        }
    }
    fade * (last - first).max(0.0)
}

/// The part of two chords that lies beside each other, from front to rear along
/// x, m; its rear is ahead of its front where there is none.
#[inline]
fn beside(one: (&PanelShape, &Station), other: (&PanelShape, &Station)) -> [f64; 2] {
    let front = one.1.leading_edge.x.min(other.1.leading_edge.x);
    let rear = one.0.point(one.1, 1.0).x.max(other.0.point(other.1, 1.0).x);
    [front, rear]
}

/// How tightly chords meet that lie beside each other in this way.
#[inline]
fn overlap_closure([front, rear]: [f64; 2], chords_m: [f64; 2]) -> f64 {
    let share = (front - rear) / chords_m[0].min(chords_m[1]);
    closure(1.0 - share, [1.0 - OVERLAP_SHARE, 1.0])
}

/// Where two panels of different surfaces meet, as each sees it.
#[inline]
fn meeting(one: &Part, other: &Part, bodies: &[Body]) -> Option<[Crossing; 2]> {
    let mut chord_fractions = [0.25; 2];
    let mut found = None;
    // Chords at an incidence lie at another height where they meet than at
    // their quarter: the second pass looks there.
    for _ in 0..2 {
        let [start, end] = one.line(chord_fractions[0]);
        let [their_start, their_end] = other.line(chord_fractions[1]);
        let Some(fractions) = crossing_of_lines([start, end], [their_start, their_end]) else {
            return meeting_of_ends(one, other);
        };
        let stations = [one.station(fractions[0]), other.station(fractions[1])];
        let beside = beside((one.shape, &stations[0]), (other.shape, &stations[1]));
        let middle = 0.5 * (beside[0] + beside[1]);
        chord_fractions =
            stations.map(|s| ((s.leading_edge.x - middle) / s.chord_m).clamp(0.0, 1.0));
        found = Some((fractions, stations, beside));
    }
    let (fractions, stations, beside) = found?;
    let gap = one.gap(fractions[0], chord_fractions[0], bodies)?.hypot(other.gap(
        fractions[1],
        chord_fractions[1],
        bodies,
    )?);
    let closure = closure(gap, [CLOSED_SHARE, OPEN_SHARE])
        * overlap_closure(beside, stations.map(|station| station.chord_m));
    let mitre = |part: &Part, station| Some(Mitre::of_station(part.shape, station));
    (closure > 0.0).then(|| {
        [
            one.crossing(fractions[0], closure, mitre(other, &stations[1])),
            other.crossing(fractions[1], closure, mitre(one, &stations[0])),
        ]
    })
}

/// Where two lines cross, seen along x, as fractions of each from its first
/// point; nothing if they are nearly parallel.
#[inline]
fn crossing_of_lines(one: [Vector3<f64>; 2], other: [Vector3<f64>; 2]) -> Option<[f64; 2]> {
    let (d, e, r) = (one[1] - one[0], other[1] - other[0], other[0] - one[0]);
    let cross = |a: &Vector3<f64>, b: &Vector3<f64>| a.y * b.z - a.z * b.y;
    let sine = cross(&d, &e);
    let is_flat = sine.abs() <= MITRE_MIN * d.yz().norm() * e.yz().norm();
    (!is_flat).then(|| [cross(&r, &e) / sine, cross(&r, &d) / sine])
}

/// Where two panels of different surfaces that lie in line meet end to end.
#[inline]
fn meeting_of_ends(one: &Part, other: &Part) -> Option<[Crossing; 2]> {
    let mut best: Option<[Crossing; 2]> = None;
    for end in [0, 1].into_iter().filter(|end| one.ends[*end]) {
        for their_end in [0, 1].into_iter().filter(|end| other.ends[*end]) {
            let fractions = [end as f64, their_end as f64];
            let stations = [one.station(fractions[0]), other.station(fractions[1])];
            let chords_m = stations.map(|station| station.chord_m);
            let apart = one.line(0.25)[end] - other.line(0.25)[their_end];
            let gap = apart.yz().norm() / chords_m[0].min(chords_m[1]);
            let beside = beside((one.shape, &stations[0]), (other.shape, &stations[1]));
            let closure =
                closure(gap, [CLOSED_SHARE, OPEN_SHARE]) * overlap_closure(beside, chords_m);
            if closure > best.map_or(0.0, |[here, _]| here.closure) {
                best = Some([
                    one.crossing(fractions[0], closure, None),
                    other.crossing(fractions[1], closure, None),
                ]);
            }
        }
    }
    best
}

#[cfg(test)]
mod tests;

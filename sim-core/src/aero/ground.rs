//! Ground effect: near the ground a wing meets less of its own downwash.
//!
//! No air passes the ground, as if a mirrored aircraft flew below it. Every
//! surface with a left and a right half is seen by its mirror image as one
//! horseshoe of the same lift, whose legs stand pi/4 of the span apart, where
//! those of an elliptic wing roll up. The image's air (upwash, and a head wind
//! that slows the flow between wing and ground) is added to what each strip
//! meets, and the lattice does the rest: less induced drag, more lift slope,
//! less downwash at the tail and so a nose-down moment.
//!
//! Faded out from three quarters of a span to a whole one, where the effect is
//! below 2 %; above it costs nothing. The ground is taken as parallel to the
//! flight path and the wings as level: a bank near the ground cannot be large.
//!
//! References: C. Wieselsberger, NACA TM 77, 1922, formula after Prandtl; B. W.
//! McCormick, Aerodynamics, Aeronautics and Flight Mechanics, 1979, section 7.2
//! (the lumped horseshoe); both from memory.

use nalgebra::Vector3;

use super::grid::Grid;
use super::vortex::{Core, half_line, segment};
use crate::aircraft::outline::mirror;

/// Heights over span between which the effect fades out.
const FADE: (f64, f64) = (0.75, 1.0);
/// Least height over span; below it the wheels are long on the ground.
const HEIGHT_MIN: f64 = 0.03;
/// Distance of the legs over span for an elliptic lift distribution.
const LEGS_OVER_SPAN: f64 = std::f64::consts::FRAC_PI_4;

/// Which strips make up which surface.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    groups: Vec<Group>,
    span_m: f64,
}

#[derive(Debug, Clone)]
struct Group {
    strips: Vec<usize>,
    span_m: f64,
}

/// The mirrored aircraft in one state of flight.
#[derive(Debug, Clone)]
pub(super) struct Image {
    horseshoes: Vec<Horseshoe>,
    aft: Vector3<f64>,
    up: Vector3<f64>,
    height_m: f64,
    height_min_m: f64,
    share: f64,
}

#[derive(Debug, Clone, Copy)]
struct Horseshoe {
    right: Vector3<f64>,
    circulation: f64,
}

impl Ground {
    pub fn new(grid: &Grid) -> Self {
        let mut groups: Vec<(usize, Group)> = Vec::new();
        for (k, strip) in grid.strips.iter().enumerate().take(grid.right) {
            let reach_m = 2.0 * grid.edges[strip.outer_edge].quarter_chord.y.abs();
            match groups.iter_mut().find(|(surface, _)| *surface == strip.surface) {
                Some((_, group)) => {
                    group.strips.push(k);
                    group.span_m = group.span_m.max(reach_m);
                }
                None => groups.push((strip.surface, Group { strips: vec![k], span_m: reach_m })),
            }
        }
        let groups: Vec<Group> = groups.into_iter().map(|(_, group)| group).collect();
        let span_m = groups.iter().map(|group| group.span_m).fold(0.0, f64::max);
        Self { groups, span_m }
    }

    /// Share of the effect that is there, 0 to 1, at a height of the moment
    /// point over the ground and a velocity.
    pub fn share(&self, height_m: Option<f64>, velocity_body: &Vector3<f64>) -> f64 {
        let Some(height_m) = height_m else { return 0.0 };
        let over_span = height_m / self.span_m;
        if over_span >= FADE.1 || over_span.is_nan() || velocity_body.x <= 0.0 {
            return 0.0;
        }
        let t = ((FADE.1 - over_span) / (FADE.1 - FADE.0)).clamp(0.0, 1.0);
        t * t * (3.0 - 2.0 * t)
    }

    /// The image for the circulation of the right strips (mean of left and
    /// right); `velocity_body` goes forward.
    pub fn image(
        &self,
        grid: &Grid,
        circulation: impl Fn(usize) -> f64,
        height_m: f64,
        velocity_body: &Vector3<f64>,
        share: f64,
    ) -> Image {
        let ahead = Vector3::new(velocity_body.x, 0.0, velocity_body.z).normalize();
        let horseshoes = self
            .groups
            .iter()
            .filter_map(|group| {
                let (mut lift, mut level, mut place) = (0.0, 0.0, Vector3::zeros());
                for k in &group.strips {
                    let strip = &grid.strips[*k];
                    lift += 2.0 * circulation(*k) * strip.bound.y;
                    level += strip.bound.y;
                    place += strip.quarter_chord * strip.bound.y;
                }
                let legs_m = LEGS_OVER_SPAN * group.span_m;
                let middle = place / level;
                let sound = level > 0.0 && legs_m > 0.0;
                sound.then(|| Horseshoe {
                    right: Vector3::new(middle.x, 0.5 * legs_m, middle.z),
                    circulation: lift / legs_m,
                })
            })
            .collect();
        Image {
            horseshoes,
            aft: -ahead,
            up: Vector3::new(ahead.z, 0.0, -ahead.x),
            height_m,
            height_min_m: HEIGHT_MIN * self.span_m,
            share,
        }
    }
}

impl Image {
    /// Velocity of the air that the image adds at a point, body axes, m/s.
    pub fn velocity_body(&self, point: Vector3<f64>) -> Vector3<f64> {
        let over_ground = (self.height_m + self.up.dot(&point)).max(self.height_min_m);
        let below = point - self.up * (2.0 * over_ground);
        let mut real = Vector3::zeros();
        for horseshoe in &self.horseshoes {
            let (right, left) = (horseshoe.right, mirror(horseshoe.right));
            let at = segment(below, left, right, Core::Line)
                + half_line(below, right, self.aft, Core::Line)
                - half_line(below, left, self.aft, Core::Line);
            real += at * horseshoe.circulation;
        }
        // What the real one does below the ground, its image does here.
        (real - self.up * (2.0 * self.up.dot(&real))) * self.share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The mean upwash of the image over an elliptic wing, weighted with its
    /// lift, over the wing's own downwash G0 / 2b is Wieselsberger's sigma:
    /// (1 - 1.32 h/b) / (1.05 + 7.4 h/b) for h/b from 1/15 to 1/4 (Prandtl).
    /// The lumped horseshoe is good to a tenth there.
    #[test]
    fn induced_drag_falls_as_wieselsberger_says() {
        for over_span in [0.08, 0.1, 0.15, 0.2, 0.25] {
            let image = Image {
                horseshoes: vec![Horseshoe {
                    right: Vector3::new(0.0, 0.5 * LEGS_OVER_SPAN, 0.0),
                    circulation: 1.0,
                }],
                aft: -Vector3::x(),
                up: -Vector3::z(),
                height_m: over_span,
                height_min_m: HEIGHT_MIN,
                share: 1.0,
            };
            let (mut upwash, mut weight) = (0.0, 0.0);
            for step in -50..50 {
                let y: f64 = (f64::from(step) + 0.5) / 100.0;
                let lift = (1.0 - 4.0 * y * y).sqrt();
                upwash -= lift * image.velocity_body(Vector3::new(0.0, y, 0.0)).z;
                weight += lift;
            }
            let sigma = upwash / weight / 0.5;
            let published = (1.0 - 1.32 * over_span) / (1.05 + 7.4 * over_span);
            assert!(
                (sigma - published).abs() < 0.1 * published,
                "{over_span}: {sigma} {published}"
            );
        }
    }

    /// Method of images: wing and image together blow no air through the
    /// ground, wherever the nose points.
    #[test]
    fn no_air_passes_through_the_ground() {
        // Without a span there is no least height either.
        let ground = Ground { groups: Vec::new(), span_m: 0.0 };
        let example = crate::aircraft::read_aircraft(crate::aircraft::EXAMPLES[0].text).unwrap();
        let grid = Grid::new(&example, Vector3::zeros(), Default::default());
        for pitch in [-0.2f64, 0.0, 0.3] {
            let velocity_body = Vector3::new(10.0 * pitch.cos(), 0.5, 10.0 * pitch.sin());
            let real = Horseshoe { right: Vector3::new(0.1, 0.4, -0.05), circulation: 2.0 };
            let empty = ground.image(&grid, |_| 0.0, 0.5, &velocity_body, 1.0);
            let image = Image { horseshoes: vec![real], ..empty };
            let ahead = Vector3::new(pitch.cos(), 0.0, pitch.sin());
            let up = image.up;
            assert!(up.z < 0.0 && up.dot(&ahead).abs() < 1e-15);
            for (along, side) in [(0.0, 0.0), (-0.3, 0.2), (0.6, -0.7)] {
                let point = along * ahead + side * Vector3::y() - 0.5 * up;
                let (right, left) = (real.right, mirror(real.right));
                let own = segment(point, left, right, Core::Line)
                    + half_line(point, right, -ahead, Core::Line)
                    - half_line(point, left, -ahead, Core::Line);
                let through = own * real.circulation + image.velocity_body(point);
                assert!(through.dot(&up).abs() < 1e-12, "{pitch} {along} {side}");
            }
        }
    }

    #[test]
    fn the_ground_fades_in_and_never_acts_backwards() {
        let ground = Ground { groups: Vec::new(), span_m: 2.0 };
        let ahead = Vector3::x();
        assert_eq!(ground.share(None, &ahead), 0.0);
        assert_eq!(ground.share(Some(2.0 * FADE.1), &ahead), 0.0);
        assert_eq!(ground.share(Some(f64::NAN), &ahead), 0.0);
        assert_eq!(ground.share(Some(0.1), &-ahead), 0.0);
        assert_eq!(ground.share(Some(2.0 * FADE.0), &ahead), 1.0);
        let half = ground.share(Some(FADE.0 + FADE.1), &ahead);
        assert!((half - 0.5).abs() < 1e-12, "{half}");
    }

    /// Every surface's image lifts as much as the surface, from legs pi/4 of its
    /// span apart.
    #[test]
    fn the_image_lifts_as_much_as_the_wing() {
        let example = crate::aircraft::read_aircraft(crate::aircraft::EXAMPLES[0].text).unwrap();
        let grid = Grid::new(&example, Vector3::zeros(), Default::default());
        let ground = Ground::new(&grid);
        let velocity_body = Vector3::new(10.0, 0.0, 0.0);
        let image = ground.image(&grid, |k| 1.0 + 0.1 * k as f64, 0.5, &velocity_body, 1.0);
        assert_eq!(image.horseshoes.len(), ground.groups.len());
        for (group, horseshoe) in ground.groups.iter().zip(&image.horseshoes) {
            let surface = &example.surfaces[grid.strips[group.strips[0]].surface];
            let half: f64 = surface
                .panels
                .iter()
                .map(|panel| panel.span_m * panel.dihedral_deg.to_radians().cos())
                .sum();
            // A free tip is drawn in by a quarter of a strip, of at least six.
            let span_m = 2.0 * (half + surface.root.right_m);
            assert!((group.span_m / span_m - 1.0).abs() < 0.05, "{} {span_m}", group.span_m);
            let legs_m = 2.0 * horseshoe.right.y;
            assert!((legs_m / group.span_m - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
            let lift: f64 = group
                .strips
                .iter()
                .map(|k| 2.0 * (1.0 + 0.1 * *k as f64) * grid.strips[*k].bound.y)
                .sum();
            assert!((horseshoe.circulation * legs_m / lift - 1.0).abs() < 1e-12);
        }
        // From nearer than 0.03 of the span there is no more of it.
        let at = |height_m| ground.image(&grid, |_| 1.0, height_m, &velocity_body, 1.0);
        let least_m = 0.03 * ground.span_m;
        let [under, least, over] =
            [0.0, least_m, 1.01 * least_m].map(|h| at(h).velocity_body(Vector3::zeros()));
        assert!((under - least).norm() < 1e-12 && (least - over).norm() > 1e-6);
        let widest = ground.groups.iter().map(|group| group.span_m).fold(0.0, f64::max);
        assert_eq!(ground.span_m, widest);
    }

    /// The image is a horseshoe mirrored in the ground that turns the other way
    /// round, of which a share is felt; wherever the point is, but not from nearer
    /// than the least height.
    #[test]
    fn the_image_is_mirrored_in_the_ground() {
        let (aft, up) = (Vector3::new(-0.8, 0.0, -0.6), Vector3::new(0.6, 0.0, -0.8));
        let horseshoe = Horseshoe { right: Vector3::new(0.1, 0.4, -0.05), circulation: 2.0 };
        let (height_m, height_min_m, share) = (0.5, 0.1, 0.7);
        let image = Image { horseshoes: vec![horseshoe], aft, up, height_m, height_min_m, share };
        // The ground goes through the point so far below the moment point.
        let mirrored = |at: Vector3<f64>, height_m: f64| at - up * (2.0 * (up.dot(&at) + height_m));
        for (point, over_ground_m) in [
            (Vector3::new(-0.2, 0.3, 0.1), 0.3),
            (Vector3::new(0.4, -0.7, -0.2), 0.9),
            (0.45 * -up, 0.05),
        ] {
            let over: f64 = height_m + up.dot(&point);
            assert!((over - over_ground_m).abs() < 1e-12);
            // Nearer than the least height the image keeps its distance.
            let height_m = height_m + (height_min_m - over).max(0.0);
            let (right, left) = (horseshoe.right, mirror(horseshoe.right));
            let [right, left] = [right, left].map(|at| mirrored(at, height_m));
            let at = segment(point, left, right, Core::Line)
                + half_line(point, right, aft, Core::Line)
                - half_line(point, left, aft, Core::Line);
            let wanted = at * (-horseshoe.circulation * share);
            let found = image.velocity_body(point);
            assert!((found - wanted).norm() < 1e-12, "{point} {found} {wanted}");
        }
    }
}

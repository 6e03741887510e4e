//! Shapes made of triangles and ink lines, as a sheet is cut, scored and
//! folded: every facet is flat and has one shade, every fold may be inked.
//!
//! Coordinates are those of the caller, m. A triangle faces the side from which
//! its corners run anticlockwise, but is seen and lit from both.

use nalgebra::{Matrix4, Point3, Vector3};

/// A point of a scene, m.
pub type Point = Vector3<f32>;

/// Red, green, blue, 0 to 1.
pub type Paint = [f32; 3];

/// Floats for each corner: place, normal, colour.
pub const FLOATS_PER_CORNER: usize = 9;

/// A colour written as on the style sheet.
pub const fn paint(rgb: u32) -> Paint {
    [
        ((rgb >> 16) & 0xff) as f32 / 255.0,
        ((rgb >> 8) & 0xff) as f32 / 255.0,
        (rgb & 0xff) as f32 / 255.0,
    ]
}

/// A colour between two.
pub fn between(from: Paint, to: Paint, share: f32) -> Paint {
    std::array::from_fn(|i| from[i] + (to[i] - from[i]) * share)
}

/// Facets and lines, ready for the graphics card.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Mesh {
    /// Three corners for each facet.
    pub facets: Vec<f32>,
    /// Two corners for each line.
    pub lines: Vec<f32>,
}

impl Mesh {
    /// Adds a triangle; one without area is left out.
    pub fn triangle(&mut self, corners: [Point; 3], paint: Paint) {
        self.shaded_triangle(corners, [paint; 3]);
    }

    /// Adds a triangle that runs from colour to colour.
    pub fn shaded_triangle(&mut self, corners: [Point; 3], paints: [Paint; 3]) {
        let across = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
        let Some(normal) = across.try_normalize(1e-12) else { return };
        for (corner, paint) in corners.iter().zip(paints) {
            push_corner(&mut self.facets, corner, &normal, paint);
        }
    }

    /// Adds a four-cornered sheet.
    pub fn quad(&mut self, [a, b, c, d]: [Point; 4], paint: Paint) {
        self.triangle([a, b, c], paint);
        self.triangle([a, c, d], paint);
    }

    /// Inks a line.
    pub fn line(&mut self, from: Point, to: Point, paint: Paint) {
        for end in [from, to] {
            // Without a normal a corner is not shaded.
            push_corner(&mut self.lines, &end, &Vector3::zeros(), paint);
        }
    }

    /// Inks a closed outline.
    pub fn outline(&mut self, corners: &[Point], paint: Paint) {
        for (i, corner) in corners.iter().enumerate() {
            self.line(*corner, corners[(i + 1) % corners.len()], paint);
        }
    }

    /// Skins two outlines of equally many corners; seen from the second, each
    /// outline runs anticlockwise for facets that face outwards.
    pub fn skin(&mut self, from: &[Point], to: &[Point], paint: Paint) {
        self.skin_with(from, to, |_| paint);
    }

    /// Skins two outlines, each strip with a colour of its own.
    pub fn skin_with(&mut self, from: &[Point], to: &[Point], paint: impl Fn(usize) -> Paint) {
        let count = from.len().min(to.len());
        for i in 0..count {
            let next = (i + 1) % count;
            self.quad([from[i], from[next], to[next], to[i]], paint(i));
        }
    }

    /// Closes an outline by a fan; it faces the side from which it runs
    /// anticlockwise.
    pub fn cap(&mut self, outline: &[Point], paint: Paint) {
        for i in 1..outline.len().saturating_sub(1) {
            self.triangle([outline[0], outline[i], outline[i + 1]], paint);
        }
    }

    /// Adds a box around `centre`, its sides along the axes.
    pub fn cuboid(&mut self, centre: Point, size: Point, paint: Paint) {
        let h = size / 2.0;
        let ring = |z: f32| {
            [(-h.x, -h.y), (h.x, -h.y), (h.x, h.y), (-h.x, h.y)]
                .map(|(x, y)| centre + Point::new(x, y, z))
        };
        let (low, high) = (ring(-h.z), ring(h.z));
        self.skin(&low, &high, paint);
        self.cap(&high, paint);
        self.cap(&low.into_iter().rev().collect::<Vec<_>>(), paint);
    }

    /// Adds a copy of another mesh, moved.
    pub fn add(&mut self, other: &Self, placed: &Matrix4<f32>) {
        for (into, from) in [(&mut self.facets, &other.facets), (&mut self.lines, &other.lines)] {
            for corner in from.chunks_exact(FLOATS_PER_CORNER) {
                let place = Point3::new(corner[0], corner[1], corner[2]);
                let normal = Vector3::new(corner[3], corner[4], corner[5]);
                let normal = placed.transform_vector(&normal).try_normalize(1e-12);
                push_corner(
                    into,
                    &placed.transform_point(&place).coords,
                    &normal.unwrap_or_default(),
                    [corner[6], corner[7], corner[8]],
                );
            }
        }
    }
}

fn push_corner(list: &mut Vec<f32>, place: &Point, normal: &Vector3<f32>, paint: Paint) {
    list.extend_from_slice(place.as_slice());
    list.extend_from_slice(normal.as_slice());
    list.extend_from_slice(&paint);
}

/// Corners of a circle about `centre`, from `first` towards `second`, both at
/// right angles and as long as the radius.
pub fn circle(centre: Point, first: Point, second: Point, corners: usize) -> Vec<Point> {
    (0..corners)
        .map(|i| {
            let angle = std::f32::consts::TAU * i as f32 / corners as f32;
            centre + first * angle.cos() + second * angle.sin()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    /// The volume within closed facets by the divergence theorem: a third of
    /// the sum of centroid times area vector. Negative where facets face inwards.
    fn volume(mesh: &Mesh) -> f32 {
        let corner = |c: &[f32]| Point::new(c[0], c[1], c[2]);
        mesh.facets
            .chunks_exact(3 * FLOATS_PER_CORNER)
            .map(|f| {
                let [a, b, c] = [0, 1, 2].map(|i| corner(&f[i * FLOATS_PER_CORNER..]));
                a.dot(&b.cross(&c)) / 6.0
            })
            .sum()
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_box_holds_its_volume_wherever_it_stands() {
        let mut mesh = Mesh::default();
        mesh.cuboid(Point::new(3.0, -1.0, 2.0), Point::new(0.5, 0.4, 0.3), paint(0xffffff));
        assert_eq!(mesh.facets.len(), 12 * 3 * FLOATS_PER_CORNER);
        // Single precision at a distance of some 4 m.
        assert!((volume(&mesh) - 0.06).abs() < 1e-5, "{}", volume(&mesh));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_facet_without_area_is_left_out() {
        let mut mesh = Mesh::default();
        mesh.triangle([Point::zeros(); 3], paint(0));
        assert!(mesh.facets.is_empty());
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_copy_is_moved_and_its_normals_stay_unit_vectors() {
        let mut one = Mesh::default();
        one.cuboid(Point::zeros(), Point::repeat(1.0), paint(0x808080));
        let mut many = Mesh::default();
        many.add(&one, &Matrix4::new_scaling(2.0));
        assert!((volume(&many) - 8.0).abs() < 1e-5);
        for corner in many.facets.chunks_exact(FLOATS_PER_CORNER) {
            let length = Vector3::new(corner[3], corner[4], corner[5]).norm();
            assert!((length - 1.0).abs() < 1e-5);
        }
    }
}

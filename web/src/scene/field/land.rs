//! Ground and sky.

use super::{HAZE, STRIP_M, scatter_at};
use crate::scene::mesh::{Mesh, Paint, Point, between, paint};

const MEADOW: (Paint, Paint) = (paint(0x8fae66), paint(0xa4bd78));
const MOWN: (Paint, Paint) = (paint(0xb2c987), paint(0xa3be77));
const EARTH: Paint = paint(0xc9b48c);
const CHALK: Paint = paint(0xf6f3e6);
/// Crops of the parcels around.
const CROPS: [Paint; 6] = [
    paint(0xa9bf7c),
    paint(0x8aa866),
    paint(0xd3c68c),
    paint(0xb7c48a),
    paint(0x9c9a6c),
    paint(0x94b27a),
];
const ZENITH: Paint = paint(0x6fa5d2);

/// Half the side of the near ground, m, and its squares.
const NEAR_M: f32 = 192.0;
const NEAR_SQUARE_M: f32 = 8.0;
/// Half the side of the far ground, m, and its squares.
const FAR_M: f32 = 1920.0;
const FAR_SQUARE_M: f32 = 80.0;
/// Length of a mown band, m.
const BAND_M: f32 = 5.0;

/// Ground to the horizon with the strip on it, all at depth zero, in the order
/// in which it is laid.
pub fn land() -> Mesh {
    let mut mesh = Mesh::default();
    far_parcels(&mut mesh);
    meadow(&mut mesh);
    strip(&mut mesh);
    mesh
}

fn square(mesh: &mut Mesh, (x0, y0): (f32, f32), side: f32, paints: [Paint; 4]) {
    let corner = |x: f32, y: f32| Point::new(x, y, 0.0);
    let [a, b, c, d] = [
        corner(x0, y0),
        corner(x0 + side, y0),
        corner(x0 + side, y0 + side),
        corner(x0, y0 + side),
    ];
    mesh.shaded_triangle([a, b, c], [paints[0], paints[1], paints[2]]);
    mesh.shaded_triangle([a, c, d], [paints[0], paints[2], paints[3]]);
}

fn far_parcels(mesh: &mut Mesh) {
    let count = (FAR_M / FAR_SQUARE_M) as i32;
    for i in -count..count {
        for k in -count..count {
            let (x, y) = (i as f32 * FAR_SQUARE_M, k as f32 * FAR_SQUARE_M);
            let inside = |at: f32| at >= -NEAR_M && at + FAR_SQUARE_M <= NEAR_M;
            if inside(x) && inside(y) {
                continue;
            }
            // Parcels are longer one way; the way changes from farm to farm.
            let farm = scatter_at(i.div_euclid(6), k.div_euclid(6), 5) < 0.5;
            let (p, q) = if farm { (i.div_euclid(3), k) } else { (i, k.div_euclid(3)) };
            let crop = CROPS[(scatter_at(p, q, 11) * 5.999) as usize];
            let shade = between(crop, MEADOW.0, 0.25 * scatter_at(i, k, 3));
            square(mesh, (x, y), FAR_SQUARE_M, [shade; 4]);
        }
    }
}

fn meadow(mesh: &mut Mesh) {
    let count = (NEAR_M / NEAR_SQUARE_M) as i32;
    let shade = |i: i32, k: i32| {
        let wide = scatter_at(i.div_euclid(3), k.div_euclid(3), 29);
        let fine = scatter_at(i, k, 31);
        between(MEADOW.0, MEADOW.1, 0.55 * wide + 0.45 * fine)
    };
    for i in -count..count {
        for k in -count..count {
            let at = (i as f32 * NEAR_SQUARE_M, k as f32 * NEAR_SQUARE_M);
            let paints = [shade(i, k), shade(i + 1, k), shade(i + 1, k + 1), shade(i, k + 1)];
            square(mesh, at, NEAR_SQUARE_M, paints);
        }
    }
}

fn strip(mesh: &mut Mesh) {
    let (length, width) = STRIP_M;
    let bands = (2.0 * length / BAND_M) as i32;
    let sheet = |mesh: &mut Mesh, (x0, x1): (f32, f32), (y0, y1): (f32, f32), paint: Paint| {
        let corner = |x: f32, y: f32| Point::new(x, y, 0.0);
        mesh.quad([corner(x0, y0), corner(x1, y0), corner(x1, y1), corner(x0, y1)], paint);
    };
    for band in 0..bands {
        let from = -length + band as f32 * BAND_M;
        let paint = if band % 2 == 0 { MOWN.0 } else { MOWN.1 };
        sheet(mesh, (from, from + BAND_M), (-width, width), paint);
    }
    // The worn line that wheels leave, and where they touch.
    sheet(mesh, (-46.0, -20.0), (-0.5, 0.5), between(MOWN.0, EARTH, 0.45));
    sheet(mesh, (-14.0, 30.0), (-0.35, 0.35), between(MOWN.1, EARTH, 0.3));
    // Chalk at the corners and the middle.
    for (x, y) in [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)] {
        let (x, y) = (x * length, y * width);
        let (dx, dy) = (-4.0 * x.signum(), -1.6 * y.signum());
        let across = 0.35;
        sheet(mesh, (x.min(x + dx), x.max(x + dx)), (y - across, y + across), CHALK);
        sheet(mesh, (x - across, x + across), (y.min(y + dy), y.max(y + dy)), CHALK);
    }
    for y in [-width, width] {
        sheet(mesh, (-0.35, 0.35), (y - 0.8, y + 0.8), CHALK);
    }
}

/// The vault of the sky about an eye at the origin.
pub fn sky() -> Mesh {
    let mut mesh = Mesh::default();
    let rings: [(f32, Paint); 6] = [
        (-12.0, HAZE),
        (0.5, HAZE),
        (5.0, between(HAZE, ZENITH, 0.22)),
        (14.0, between(HAZE, ZENITH, 0.5)),
        (35.0, between(HAZE, ZENITH, 0.85)),
        (90.0, ZENITH),
    ];
    const AROUND: usize = 20;
    let place = |above_deg: f32, i: usize| {
        let around = std::f32::consts::TAU * i as f32 / AROUND as f32;
        let (sin, cos) = above_deg.to_radians().sin_cos();
        Point::new(cos * around.cos(), cos * around.sin(), -sin) * 100.0
    };
    for pair in rings.windows(2) {
        let ((low, low_paint), (high, high_paint)) = (pair[0], pair[1]);
        for i in 0..AROUND {
            let [a, b] = [place(low, i), place(low, i + 1)];
            let [d, c] = [place(high, i), place(high, i + 1)];
            unlit(&mut mesh, [a, b, c], [low_paint, low_paint, high_paint]);
            unlit(&mut mesh, [a, c, d], [low_paint, high_paint, high_paint]);
        }
    }
    mesh
}

/// A triangle that shines by itself: its normal is taken away.
fn unlit(mesh: &mut Mesh, corners: [Point; 3], paints: [Paint; 3]) {
    let from = mesh.facets.len();
    mesh.shaded_triangle(corners, paints);
    for corner in mesh.facets[from..].chunks_exact_mut(crate::scene::mesh::FLOATS_PER_CORNER) {
        corner[3..6].fill(0.0);
    }
}

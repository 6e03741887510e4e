//! What stands on the field and over it: tufts, trees, fence, hills, clouds,
//! the wind sock.

use nalgebra::{Matrix4, Rotation3, Vector3};

use super::{HAZE, PILOT_M, STRIP_M, is_clear, scatter};
use crate::scene::mesh::{Mesh, Paint, Point, between, circle, paint};

const TUFTS: (Paint, Paint) = (paint(0x7f9f58), paint(0xb5c784));
const TRUNK: Paint = paint(0x7d6650);
const CROWNS: [Paint; 4] = [paint(0x5f8a4e), paint(0x6f9a58), paint(0x4f7a4a), paint(0x88a65c)];
const WOOD: Paint = paint(0xd9cdb4);
const HILL: (Paint, Paint) = (paint(0x8aa58a), paint(0xa3b8a4));
const CLOUD: (Paint, Paint) = (paint(0xffffff), paint(0xd9e2e8));
const WALL: Paint = paint(0xe7d9bd);
const ROOF: Paint = paint(0xb5654a);
const SOCK: (Paint, Paint) = (paint(0xc2492a), paint(0xfaf6ea));

/// All that stands.
pub fn growth() -> Mesh {
    let mut mesh = Mesh::default();
    hills(&mut mesh);
    tufts(&mut mesh);
    fence(&mut mesh);
    trees(&mut mesh);
    for (at, turn) in [((96.0, 88.0), 0.4), ((-150.0, 120.0), -0.2)] {
        barn(&mut mesh, Point::new(at.0, at.1, 0.0), turn);
    }
    for (i, at) in [(30.0, 44.0), (39.0, 52.0), (18.0, 58.0), (-38.0, 47.0)].into_iter().enumerate()
    {
        bale(&mut mesh, Point::new(at.0, at.1, 0.0), i as f32);
    }
    mesh
}

fn tufts(mesh: &mut Mesh) {
    for i in 0..1900_u32 {
        // Denser near the pilot, where they are seen.
        let out = scatter(3 * i).powf(1.6);
        let angle = std::f32::consts::TAU * scatter(3 * i + 1);
        let r = 3.0 + 90.0 * out;
        let north = PILOT_M.0 + 1.5 * r * angle.cos();
        let at = Point::new(north, PILOT_M.1 + 8.0 + r * angle.sin(), 0.0);
        if !is_clear(at) {
            continue;
        }
        let size = 0.05 + 0.13 * scatter(3 * i + 2);
        let paint = between(TUFTS.0, TUFTS.1, scatter(7 * i + 5));
        // Blades that lean apart.
        for blade in 0..3_u32 {
            let turn = angle * 7.0 + 2.1 * blade as f32;
            let side = Point::new(turn.cos(), turn.sin(), 0.0) * (0.16 * size);
            let lean = Point::new(-turn.sin(), turn.cos(), 0.0) * (0.55 * size);
            mesh.triangle([at - side, at + side, at + lean - Point::z() * size], paint);
        }
    }
}

/// Posts every five metres and two rails, beyond the strip.
fn fence(mesh: &mut Mesh) {
    const SPACING_M: f32 = 5.0;
    let lines = [
        (Point::new(-110.0, 34.0, 0.0), Point::new(110.0, 34.0, 0.0)),
        (Point::new(110.0, 34.0, 0.0), Point::new(110.0, -40.0, 0.0)),
        (Point::new(-110.0, 34.0, 0.0), Point::new(-110.0, -40.0, 0.0)),
    ];
    for (from, to) in lines {
        let length = (to - from).norm();
        let along = (to - from) / length;
        let across = Point::new(-along.y, along.x, 0.0) * 0.03;
        let posts = (length / SPACING_M) as i32;
        for post in 0..=posts {
            let at = from + along * (post as f32 * SPACING_M);
            // The ways in and out over the ends of the strip stay open.
            if at.y.abs() < 14.0 && at.x.abs() > STRIP_M.0 {
                continue;
            }
            mesh.cuboid(at - Point::z() * 0.55, Point::new(0.1, 0.1, 1.1), WOOD);
            let next = at + along * SPACING_M;
            let open = next.y.abs() < 14.0 && next.x.abs() > STRIP_M.0;
            if post == posts || open {
                continue;
            }
            for height in [0.45, 0.95] {
                let up = Point::z() * height;
                let thick = Point::z() * 0.1;
                mesh.quad(
                    [
                        at - up + across,
                        next - up + across,
                        next - up - thick + across,
                        at - up - thick + across,
                    ],
                    WOOD,
                );
            }
        }
    }
}

fn trees(mesh: &mut Mesh) {
    let mut planted = 0;
    for i in 0..420_u32 {
        let (u, v) = (scatter(1000 + 2 * i), scatter(1001 + 2 * i));
        let angle = std::f32::consts::TAU * u;
        let r = 95.0 + 420.0 * v * v;
        let at = Point::new(r * angle.cos(), r * angle.sin(), 0.0);
        // The ways in and out stay free of trees, and the pilot's back.
        let in_way = at.y.abs() < 42.0 && at.x.abs() > 60.0 && at.x.abs() < 330.0;
        if in_way || planted >= 190 {
            continue;
        }
        planted += 1;
        let height = 6.0 + 9.0 * scatter(5000 + i);
        if scatter(6000 + i) < 0.35 {
            spruce(mesh, at, height * 1.15, i);
        } else {
            broadleaf(mesh, at, height, i);
        }
    }
}

fn trunk(mesh: &mut Mesh, at: Point, height: f32, radius: f32) {
    let ring = |z: f32, r: f32| circle(at - Point::z() * z, Point::x() * r, Point::y() * r, 5);
    mesh.skin(&ring(0.0, radius), &ring(height, radius * 0.7), TRUNK);
}

/// A crown of folded paper: three rings of six corners.
fn broadleaf(mesh: &mut Mesh, at: Point, height: f32, seed: u32) {
    trunk(mesh, at, 0.35 * height, 0.03 * height);
    let paint = CROWNS[seed as usize % CROWNS.len()];
    let (low, high) = (between(paint, TRUNK, 0.12), between(paint, CLOUD.0, 0.08));
    let turn = 6.0 * scatter(seed + 77);
    let ring = |share: f32, size: f32, twist: f32| -> Vec<Point> {
        (0..7)
            .map(|i| {
                let angle = turn + twist + std::f32::consts::TAU * i as f32 / 7.0;
                let r =
                    height * size * (0.9 + 0.2 * scatter(seed * 31 + i + (share * 100.0) as u32));
                at + Point::new(r * angle.cos(), r * angle.sin(), -height * share)
            })
            .collect()
    };
    let rings =
        [ring(0.24, 0.12, 0.0), ring(0.42, 0.31, 0.4), ring(0.7, 0.29, 0.8), ring(0.93, 0.13, 1.2)];
    for (pair, paint) in rings.windows(2).zip([low, paint, high]) {
        mesh.skin(&pair[0], &pair[1], paint);
    }
    mesh.cap(&rings[3], high);
}

fn spruce(mesh: &mut Mesh, at: Point, height: f32, seed: u32) {
    trunk(mesh, at, 0.2 * height, 0.025 * height);
    let paint = between(CROWNS[2], CROWNS[0], scatter(seed + 9));
    for (from, to, size) in [(0.14, 0.52, 0.22), (0.38, 0.76, 0.165), (0.62, 1.0, 0.105)] {
        let r = height * size;
        let ring = circle(at - Point::z() * (height * from), Point::x() * r, Point::y() * r, 7);
        let tip = at - Point::z() * (height * to);
        for i in 0..ring.len() {
            mesh.triangle([ring[i], ring[(i + 1) % ring.len()], tip], paint);
        }
    }
}

fn barn(mesh: &mut Mesh, at: Point, turn_rad: f32) {
    let mut one = Mesh::default();
    one.cuboid(Point::new(0.0, 0.0, -1.9), Point::new(14.0, 8.0, 3.8), WALL);
    let eave = |x: f32, y: f32| Point::new(x * 7.5, y * 4.6, -3.6);
    let ridge = |x: f32| Point::new(x * 7.5, 0.0, -6.6);
    for y in [-1.0, 1.0] {
        one.quad([eave(-1.0, y), eave(1.0, y), ridge(1.0), ridge(-1.0)], ROOF);
    }
    for x in [-1.0, 1.0] {
        let wall = |y: f32| Point::new(x * 7.0, y * 4.0, -3.8);
        one.triangle([wall(-1.0), wall(1.0), Point::new(x * 7.0, 0.0, -6.4)], WALL);
    }
    one.quad(
        [
            Point::new(-2.0, -4.05, 0.0),
            Point::new(2.0, -4.05, 0.0),
            Point::new(2.0, -4.05, -3.0),
            Point::new(-2.0, -4.05, -3.0),
        ],
        TRUNK,
    );
    let placed = Matrix4::new_translation(&at)
        * Rotation3::from_axis_angle(&Vector3::z_axis(), turn_rad).to_homogeneous();
    mesh.add(&one, &placed);
}

/// A round bale, 1.2 m across: a measure for the eye.
fn bale(mesh: &mut Mesh, at: Point, turn_rad: f32) {
    let axis = Point::new(turn_rad.cos(), turn_rad.sin(), 0.0);
    let side = Point::new(-turn_rad.sin(), turn_rad.cos(), 0.0);
    let ring =
        |along: f32| circle(at - Point::z() * 0.6 + axis * along, side * 0.6, Point::z() * 0.6, 10);
    let straw = paint(0xd8c07a);
    mesh.skin(&ring(-0.6), &ring(0.6), straw);
    for along in [-0.6, 0.6] {
        mesh.cap(&ring(along), between(straw, TRUNK, 0.25));
    }
}

fn hills(mesh: &mut Mesh) {
    const AROUND: u32 = 60;
    for (layer, (radius, rise)) in [(1750.0, 130.0), (1450.0, 70.0)].into_iter().enumerate() {
        let seed = 900 + 100 * layer as u32;
        let height = |i: u32| {
            let i = i % AROUND;
            let wave = scatter(seed + i / 3) * 0.6 + scatter(seed + 50 + i) * 0.4;
            rise * (0.25 + 0.75 * wave)
        };
        let place = |i: u32, up: f32| {
            let angle = std::f32::consts::TAU * (i % AROUND) as f32 / AROUND as f32;
            Point::new(radius * angle.cos(), radius * angle.sin(), -up)
        };
        let tone = between(HILL.0, HILL.1, layer as f32);
        for i in 0..AROUND {
            let paint = between(tone, HAZE, 0.12 * scatter(seed + 31 * i));
            mesh.quad(
                [
                    place(i, 0.0),
                    place(i + 1, 0.0),
                    place(i + 1, height(i + 1)),
                    place(i, height(i)),
                ],
                paint,
            );
        }
    }
}

/// Clouds about an eye at the origin: flat below, folded above.
pub fn clouds() -> Mesh {
    let mut mesh = Mesh::default();
    for i in 0..15_u32 {
        let around = std::f32::consts::TAU * (i as f32 + 0.7 * scatter(200 + i)) / 15.0;
        let above = (8.0 + 26.0 * scatter(300 + i)).to_radians();
        let centre =
            Point::new(above.cos() * around.cos(), above.cos() * around.sin(), -above.sin()) * 95.0;
        let side = Point::new(-around.sin(), around.cos(), 0.0);
        let puffs = 2 + (scatter(400 + i) * 2.9) as u32;
        for puff in 0..puffs {
            let s = scatter(500 + 10 * i + puff);
            let at = centre + side * (7.5 * (puff as f32 - 0.5 * (puffs - 1) as f32) + 2.0 * s);
            cloud_puff(&mut mesh, at, side, 4.2 + 2.6 * s);
        }
    }
    // Clouds are not shaded by the sun of the field: they shine.
    for corner in mesh.facets.chunks_exact_mut(crate::scene::mesh::FLOATS_PER_CORNER) {
        corner[3..6].fill(0.0);
    }
    mesh
}

fn cloud_puff(mesh: &mut Mesh, at: Point, side: Point, radius: f32) {
    let deep = side.cross(&Point::z());
    let ring = |up: f32, size: f32| {
        circle(at - Point::z() * (radius * up), side * (radius * size), deep * (radius * size), 9)
    };
    let rings = [ring(-0.16, 0.75), ring(0.0, 1.0), ring(0.3, 0.84), ring(0.52, 0.45)];
    let tone = |share: f32| between(CLOUD.1, CLOUD.0, share);
    for (i, pair) in rings.windows(2).enumerate() {
        mesh.skin_with(&pair[0], &pair[1], |k| tone(0.3 * i as f32 + 0.12 * (k % 3) as f32));
    }
    mesh.cap(&rings[3], tone(1.0));
    mesh.cap(&rings[0], tone(0.0));
}

/// Height of the sock's mast, m.
pub const MAST_M: f32 = 4.0;
/// Where the mast stands, north and east.
const MAST_AT: (f32, f32) = (16.0, 11.5);

/// The sock on its mast for a wind that blows towards a heading; in calm it
/// hangs, from 7 m/s it stands out.
pub fn wind_sock(towards_rad: f32, speed_m_s: f32) -> Mesh {
    let mut mesh = Mesh::default();
    let foot = Point::new(MAST_AT.0, MAST_AT.1, 0.0);
    let top = foot - Point::z() * MAST_M;
    mesh.cuboid((foot + top) / 2.0, Point::new(0.07, 0.07, MAST_M), WOOD);
    let out = (speed_m_s / 7.0).clamp(0.04, 1.0).sqrt() * 0.5 * std::f32::consts::PI;
    let along = Point::new(out.sin() * towards_rad.cos(), out.sin() * towards_rad.sin(), out.cos());
    let side = Point::new(-towards_rad.sin(), towards_rad.cos(), 0.0);
    let up = along.cross(&side);
    const LENGTH_M: f32 = 1.5;
    let ring = |share: f32| {
        let r = 0.22 - 0.12 * share;
        circle(top + along * (LENGTH_M * share), side * r, up * r, 8)
    };
    for band in 0..5 {
        let (from, to) = (band as f32 / 5.0, (band + 1) as f32 / 5.0);
        let paint = if band % 2 == 0 { SOCK.0 } else { SOCK.1 };
        mesh.skin(&ring(from), &ring(to), paint);
    }
    mesh
}

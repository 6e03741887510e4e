use super::super::grid::{Edge, Grid, GridOptions, Side};
use super::*;
use crate::aircraft::{EXAMPLES, Place, SurfaceRole, read_aircraft};

fn grid(aircraft: &Aircraft) -> Grid {
    Grid::new(aircraft, Vector3::new(-0.3, 0.0, 0.0), GridOptions::default())
}

fn example() -> Aircraft {
    read_aircraft(EXAMPLES[0].text).unwrap()
}

fn edges(grid: &Grid, surface: usize) -> Vec<&Edge> {
    grid.edges.iter().filter(|edge| edge.surface == surface).collect()
}

#[test]
fn a_bent_wing_has_no_slot() {
    let mut aircraft = example();
    let wing = &mut aircraft.surfaces[0];
    wing.panels[0].incidence_deg = 5.0;
    wing.panels[0].twist_deg = 0.0;
    let mut outer = wing.panels[0];
    outer.root_chord_m = outer.tip_chord_m;
    outer.dihedral_deg = 20.0;
    wing.panels.push(outer);
    let grid = grid(&aircraft);
    let edges = edges(&grid, 0);
    assert!(edges[0].nodes.iter().all(|node| node.y.abs() < 1e-12), "root");
    let meet = edges
        .windows(2)
        .any(|pair| pair[0].nodes.iter().zip(&pair[1].nodes).all(|(a, b)| (a - b).norm() < 1e-12));
    assert!(meet, "break");
    // A strip lies half-way between its edges, where these are drawn on to a joint too.
    for strip in grid.strips.iter().filter(|strip| strip.surface == 0) {
        let ends = [strip.inner_edge, strip.outer_edge].map(|edge| &grid.edges[edge]);
        let middle = (ends[0].quarter_chord + ends[1].quarter_chord) * 0.5;
        assert!((strip.quarter_chord - middle).norm() < 1e-12);
        // A control point half a box behind the vortices.
        for (i, point) in strip.control_points.iter().enumerate() {
            let places: [Vector3<f64>; 2] = ends.map(|edge| edge.nodes[i]);
            let off = point - (places[0] + places[1]) * 0.5;
            let chord_m = ends.iter().map(|edge| edge.length_aft_m).sum::<f64>() / 1.5;
            assert!((off.dot(&strip.aft) - 0.5 * chord_m / grid.boxes as f64).abs() < 1e-3);
        }
    }
}

#[test]
fn a_fin_stands_on_the_tailplane() {
    let aircraft = example();
    let role = |role| aircraft.surfaces.iter().position(|s| s.role == role).unwrap();
    let (tail, fin) = (role(SurfaceRole::Tailplane), role(SurfaceRole::Fin));
    let grid = grid(&aircraft);
    assert!(grid.closure(tail, fin) == 1.0 && grid.closure(fin, tail) == 1.0);
    let strip = grid.strips.iter().find(|strip| strip.surface == tail).unwrap();
    for node in &edges(&grid, fin)[0].nodes {
        let off = (node - strip.quarter_chord).dot(&strip.normal);
        assert!(off.abs() < 1e-12, "{off} m above the tailplane");
    }
}

#[test]
fn the_tailplane_has_an_edge_under_each_of_two_fins() {
    let mut aircraft = example();
    let tail = aircraft.surfaces.iter().position(|s| s.role == SurfaceRole::Tailplane).unwrap();
    let fin = aircraft.surfaces.iter().position(|s| s.role == SurfaceRole::Fin).unwrap();
    aircraft.surfaces[fin].mirrored = true;
    aircraft.surfaces[fin].root.right_m = 0.137;
    let grid = grid(&aircraft);
    assert!(grid.strips.iter().all(|strip| strip.side == Side::Right));
    let near = edges(&grid, tail)
        .iter()
        .map(|edge| (edge.quarter_chord.y - 0.137).abs())
        .fold(1.0, f64::min);
    assert!(near < 1e-9, "{near} m beside the fin");
    // Six strips over 0.21 m: four inside, two outside.
    let own = grid.strips.iter().filter(|strip| strip.surface == tail);
    let inside = own.clone().filter(|strip| strip.quarter_chord.y < 0.137).count();
    assert_eq!((inside, own.count() - inside), (4, 2));
    // The same tailplane in two panels: there it stands on the outer one.
    let panels = &mut aircraft.surfaces[tail].panels;
    let mut outer = panels[0];
    (panels[0].span_m, outer.span_m, outer.root_chord_m) = (0.07, 0.14, panels[0].tip_chord_m);
    outer.tip_chord_m = outer.root_chord_m;
    panels.push(outer);
    let grid = self::grid(&aircraft);
    let places = edges(&grid, tail).iter().map(|edge| edge.quarter_chord.y).collect::<Vec<_>>();
    assert!(places.iter().any(|y| (y - 0.137).abs() < 1e-9), "{places:?}");
    assert!(places.windows(2).all(|pair| pair[1] > pair[0] - 1e-9), "{places:?}");
}

/// A panel from a leading edge along `span` (m, body axes), so long and without sweep.
fn panel(leading_edge: Vector3<f64>, span: Vector3<f64>, chord_m: f64) -> PanelShape {
    let station = |leading_edge| Station { leading_edge, chord_m, incidence_rad: 0.0 };
    PanelShape {
        inner: station(leading_edge),
        outer: station(leading_edge + span),
        span_direction: span.normalize(),
    }
}

fn alone(shape: &PanelShape) -> Part<'_> {
    Part { shape, start_m: 0.0, ends: [true; 2] }
}

/// t t (3 - 2 t) by hand at a quarter, a half and three quarters of the way.
#[test]
fn a_joint_opens_smoothly() {
    let shares = [0.03, 0.08];
    for (share, wanted) in
        [(0.0, 1.0), (0.03, 1.0), (0.0425, 0.84375), (0.055, 0.5), (0.0675, 0.15625), (0.08, 0.0)]
    {
        assert!((closure(share, shares) - wanted).abs() < 1e-12, "{share}");
    }
    assert_eq!(closure(9.0, shares), 0.0);
}

/// Lines through one point cross there, whatever their lengths and their places
/// along the flow; those that lie at an angle of less than MITRE_MIN do not.
#[test]
fn lines_cross_where_they_meet_seen_along_the_flow() {
    let (d, e) = (Vector3::new(0.2, 1.2, 0.3), Vector3::new(-0.1, 0.1, -0.4));
    let (place, apart) = (Vector3::new(0.1, 0.3, -0.2), Vector3::new(0.7, 0.0, 0.0));
    for (f, g) in [(0.25, 0.5), (-0.3, 0.9), (1.4, -0.2)] {
        let (one, other) = (place - d * f, place + apart - e * g);
        let found = crossing_of_lines([one, one + d], [other, other + e]).unwrap();
        assert!((found[0] - f).abs() < 1e-12 && (found[1] - g).abs() < 1e-12, "{found:?}");
    }
    let along = |angle: f64, length: f64| {
        [Vector3::zeros(), Vector3::new(0.0, length * angle.cos(), -length * angle.sin())]
    };
    for (lengths, start) in [([0.3, 2.0], 0.0), ([2.0, 0.3], 1.0), ([1.0, 1.0], 2.0)] {
        let flat = (MITRE_MIN - 1e-6).asin();
        let steep = (MITRE_MIN + 1e-6).asin();
        let crosses = |angle: f64| {
            crossing_of_lines(along(start, lengths[0]), along(start + angle, lengths[1])).is_some()
        };
        assert!(!crosses(flat) && !crosses(-flat) && crosses(steep) && crosses(-steep));
    }
}

/// Of a way of 0.3 m across a bar of 0.2 by 0.1 m what lies inside; beside the bar it
/// fades over half its size, and ahead and behind over as much.
#[test]
fn a_way_through_a_body_is_filled_as_far_as_it_is_inside() {
    let mut bar = Body {
        name: "bar".into(),
        kind: BodyKind::Boom,
        front: Place::new(0.3, 0.0, 0.0),
        rear: Place::new(1.3, 0.1, 0.0),
        width_m: 0.2,
        height_m: 0.1,
        mirrored: false,
        drag_coefficient: None,
    };
    // Half-way along the bar, whose middle lies at 0.05 m there.
    let along_y = |body: &Body, x: f64, y: f64, z: f64, way_m: f64| {
        filled_share(body, Vector3::new(x - 0.3, y, z), Vector3::new(0.0, way_m, 0.0))
    };
    for (y, z, way_m, wanted) in [
        (0.05, 0.0, 0.3, 1.0 / 3.0),
        (0.1, 0.0, 0.3, 1.0 / 6.0),
        (-0.15, 0.0, 0.3, 2.0 / 3.0),
        (0.05, 0.0, -0.3, 1.0 / 3.0),
        (0.05, 0.0, 0.05, 1.0),
        (0.3, 0.0, 0.3, 0.0),
        (-0.15, 0.05, 0.3, 2.0 / 3.0),
        (-0.15, 0.075, 0.3, 1.0 / 3.0),
        (-0.15, -0.075, 0.3, 1.0 / 3.0),
        (-0.15, 0.1, 0.3, 0.0),
    ] {
        let found = along_y(&bar, -0.5, y, z, way_m);
        assert!((found - wanted).abs() < 1e-9, "{y} {z} {way_m}: {found}");
    }
    // Two centimetres off the ends half the width is two centimetres less.
    for (x, y) in [(0.02, 0.0), (-1.02, 0.1)] {
        let found = along_y(&bar, x, y, 0.0, 0.3);
        assert!((found - 0.08 / 0.3).abs() < 1e-9, "{x}: {found}");
    }
    let upright = filled_share(&bar, Vector3::new(-0.8, 0.05, 0.0), Vector3::new(0.0, 0.0, -0.2));
    assert!((upright - 0.25).abs() < 1e-9, "{upright}");
    // A fuselage is slimmer at its nose; struts fill nothing.
    bar.rear.right_m = 0.0;
    for (kind, wanted) in [
        (BodyKind::Fuselage, fullness(0.1) / 3.0),
        (BodyKind::BoxFuselage, fullness(0.1) / 3.0),
        (BodyKind::Strut, 0.0),
    ] {
        let found = along_y(&Body { kind, ..bar.clone() }, -0.1, 0.0, 0.0, 0.3);
        assert!((found - wanted).abs() < 1e-9, "{kind:?} {found}");
    }
}

/// A panel of half a metre and a chord of 0.2 m: what it stops short, in chords.
#[test]
fn a_gap_is_what_no_body_fills() {
    let shape = panel(Vector3::new(0.0, 0.1, 0.0), Vector3::new(0.0, 0.5, 0.0), 0.2);
    let part = alone(&shape);
    for (fraction, wanted) in [(-0.1, 0.25), (0.0, 0.0), (0.3, 0.0), (1.0, 0.0), (1.2, 0.5)] {
        let gap = part.gap(fraction, 0.4, &[]).unwrap();
        assert!((gap - wanted).abs() < 1e-9, "{fraction}: {gap}");
    }
    let inner_only = Part { ends: [true, false], ..alone(&shape) };
    let outer_only = Part { ends: [false, true], ..alone(&shape) };
    assert!(inner_only.gap(-0.1, 0.4, &[]).is_some() && inner_only.gap(1.1, 0.4, &[]).is_none());
    assert!(outer_only.gap(-0.1, 0.4, &[]).is_none() && outer_only.gap(1.1, 0.4, &[]).is_some());
    // Of five centimetres to the place a tube fills four, and of three tubes the
    // largest counts.
    let tube = |width_m: f64| Body {
        name: "tube".into(),
        kind: BodyKind::Boom,
        front: Place::new(-1.0, 0.06, 0.0),
        rear: Place::new(1.0, 0.06, 0.0),
        width_m,
        height_m: 0.1,
        mirrored: false,
        drag_coefficient: None,
    };
    let gap = part.gap(-0.1, 0.4, &[tube(0.02), tube(0.06), tube(0.03)]).unwrap();
    assert!((gap - 0.2 * 0.25).abs() < 1e-9, "{gap}");
}

/// Chords of 0.2 m and 0.1 m, the short one behind: they meet in full while an
/// eighth and more of it lies beside the other, half at an eighth.
#[test]
fn chords_meet_where_they_lie_beside_each_other() {
    let long = panel(Vector3::zeros(), Vector3::new(0.0, 1.0, 0.0), 0.2);
    for (front_m, wanted) in
        [(0.05, 1.0), (0.175, 1.0), (0.1875, 0.5), (0.2, 0.0), (0.3, 0.0), (-0.0875, 0.5)]
    {
        let at = Vector3::new(-front_m, 0.0, 0.0);
        let short = panel(at, Vector3::new(0.0, 1.0, 0.0), 0.1);
        let chords = (&long, &long.inner);
        let found = beside(chords, (&short, &short.inner));
        let ends = [-f64::max(front_m, 0.0), -f64::min(0.2, front_m + 0.1)];
        assert!((found[0] - ends[0]).abs() + (found[1] - ends[1]).abs() < 1e-12, "{found:?}");
        let closure = overlap_closure(found, [0.2, 0.1]);
        assert!((closure - wanted).abs() < 1e-9, "{front_m}: {closure}");
        assert_eq!(closure, overlap_closure(found, [0.1, 0.2]));
    }
}

/// A fin over a tailplane at an incidence: it meets the tailplane's chord where that
/// lies beside its own, each is drawn to the other's plane, and the gap closes.
#[test]
fn a_fin_meets_a_chord_at_an_incidence() {
    let incidence_rad = 0.1f64;
    let mut tail = panel(Vector3::new(-0.8, 0.0, -0.02), Vector3::new(0.0, 0.3, 0.0), 0.15);
    (tail.inner.incidence_rad, tail.outer.incidence_rad) = (incidence_rad, incidence_rad);
    // The fin's chord of 0.1 m begins at 0.05 m of the tailplane's, so its middle lies
    // at 0.1 m of it, where that is lower.
    let middle_m = 0.5 * (0.05 + f64::min(0.15 * incidence_rad.cos(), 0.15));
    let level_z = -0.02 + middle_m * incidence_rad.tan();
    for (gap_m, closure) in [(0.0, 1.0), (0.055 * 0.1, 0.5), (0.02, 0.0)] {
        let foot = Vector3::new(-0.85, 0.1, level_z - gap_m);
        let fin = panel(foot, Vector3::new(0.0, 0.0, -0.2), 0.1);
        let found = meeting(&Part { start_m: 0.4, ..alone(&tail) }, &alone(&fin), &[]);
        if closure == 0.0 {
            assert_eq!(found, None);
            continue;
        }
        let [here, there] = found.unwrap();
        assert!((here.along_m - 0.5).abs() < 1e-9, "{here:?}");
        // The chord's length is taken for the length along the flow.
        assert!((there.along_m + gap_m).abs() < 1e-4, "{there:?}");
        assert!((here.closure - closure).abs() < 0.02, "{here:?}");
        assert_eq!(here.closure, there.closure);
        let (fin_plane, tail_plane) = (here.mitre.unwrap(), there.mitre.unwrap());
        // From the tailplane's root it is 0.1 m to the fin's plane, from a point of the
        // fin down to the tailplane what it lies above its chord.
        let way = fin_plane.way_m(tail.inner.leading_edge, &tail.span_direction);
        assert!((way - 0.1).abs() < 1e-12, "{way}");
        let point = Vector3::new(-0.9, 0.1, -0.1);
        let way = tail_plane.way_m(point, &fin.span_direction);
        let above = -0.02 + 0.1 * incidence_rad.tan() + 0.1;
        assert!((way + above).abs() < 1e-12, "{way} {above}");
    }
}

/// Level panels of two surfaces, end to end with a gap of 0.055 of the shorter chord.
#[test]
fn panels_in_line_meet_with_their_ends() {
    let inner = panel(Vector3::zeros(), Vector3::new(0.0, 0.5, 0.0), 0.2);
    let outer = panel(Vector3::new(0.0, 0.5055, 0.0), Vector3::new(0.0, 0.3, 0.0), 0.1);
    let (one, other) = (alone(&inner), Part { start_m: 0.7, ..alone(&outer) });
    let [here, there] = meeting(&one, &other, &[]).unwrap();
    assert!((here.closure - 0.5).abs() < 1e-3 && here.closure == there.closure, "{here:?}");
    assert_eq!((here.along_m, there.along_m), (0.5, 0.7));
    assert!(here.mitre.is_none() && there.mitre.is_none());
    // The other way round, and not with an end that has a neighbour.
    let [there, here] = meeting(&other, &one, &[]).unwrap();
    assert_eq!((here.along_m, there.along_m), (0.5, 0.7));
    let bound = Part { ends: [true, false], ..alone(&inner) };
    assert_eq!(meeting(&bound, &other, &[]), None);
    // Behind each other they do not touch.
    let aft = panel(Vector3::new(-0.25, 0.5, 0.0), Vector3::new(0.0, 0.3, 0.0), 0.1);
    assert_eq!(meeting(&one, &alone(&aft), &[]), None);
}

/// A root of 0.2 m chord a centimetre beside the plane of symmetry, which is 0.05 of
/// it: three quarters of the way from 0.02 to 0.06.
#[test]
fn a_root_meets_its_image() {
    let aircraft = example();
    let mut surface = aircraft.surfaces[0].clone();
    let span = Vector3::new(0.0, 0.6, -0.8);
    let shape = panel(Vector3::new(0.0, 0.01, 0.0), span, 0.2);
    let found = image(&surface, &shape).unwrap();
    assert!((found.closure - 0.15625).abs() < 1e-9, "{found:?}");
    // Along a panel that rises so steeply it is 10 / 0.6 mm to the plane.
    assert!((found.along_m + 0.01 / 0.6).abs() < 1e-12, "{found:?}");
    let way = found.mitre.unwrap().way_m(shape.inner.leading_edge, &shape.span_direction);
    assert!((way - found.along_m).abs() < 1e-12);
    let steep = panel(Vector3::new(0.0, 0.01, 0.0), Vector3::new(0.0, 0.29, -0.957), 0.2);
    assert_eq!(image(&surface, &steep), None);
    let apart = panel(Vector3::new(0.0, 0.013, 0.0), span, 0.2);
    assert_eq!(image(&surface, &apart), None);
    surface.mirrored = false;
    assert_eq!(image(&surface, &shape), None);
}

/// The plane between two panels stands half-way between their directions.
#[test]
fn panels_at_a_kink_share_a_plane() {
    let inner = panel(Vector3::zeros(), Vector3::new(0.0, 0.5, 0.0), 0.2);
    let outer = |angle: f64| {
        panel(inner.outer.leading_edge, Vector3::new(0.0, angle.cos(), -angle.sin()), 0.2)
    };
    let mitre = Mitre::between(&inner, &outer(0.6)).unwrap();
    // A point of the plane, on its line of 0.3 rad from upright.
    let point = inner.outer.leading_edge + Vector3::new(-0.1, -0.3f64.sin(), -0.3f64.cos()) * 0.1;
    assert!(mitre.way_m(point, &inner.span_direction).abs() < 1e-12);
    assert!((mitre.way_m(Vector3::zeros(), &inner.span_direction) - 0.5).abs() < 1e-12);
    // Folded back on itself there is none: the mean direction is shorter than 0.3
    // from 2 acos 0.3 on.
    let most = 2.0 * 0.3f64.acos();
    assert!(Mitre::between(&inner, &outer(most - 1e-6)).is_some());
    assert!(Mitre::between(&inner, &outer(most + 1e-6)).is_none());
}

#[test]
fn the_tightest_joint_of_a_stretch_counts() {
    let crossing = |along_m: f64, closure: f64| Crossing { along_m, closure, mitre: None };
    let crossings = vec![crossing(0.1, 0.4), crossing(0.2, 0.9), crossing(0.3, 0.6)];
    let joints = Joints { crossings, joined: Vec::new() };
    let at = |from_m: f64, to_m: f64| joints.tightest(from_m, to_m).map(|c| c.along_m);
    assert_eq!(at(0.0, 1.0), Some(0.2));
    assert_eq!((at(0.0, 0.1), at(0.25, 1.0), at(0.31, 1.0)), (Some(0.1), Some(0.3), None));
}

#[test]
fn panels_follow_each_other_and_the_first_and_the_last_have_ends() {
    let shapes = [0.3, 0.2, 0.4].map(|m| panel(Vector3::zeros(), Vector3::new(0.0, m, 0.0), 0.2));
    let found: Vec<_> = panels(&shapes).map(|part| (part.start_m, part.ends)).collect();
    assert_eq!(found, [(0.0, [true, false]), (0.3, [false, false]), (0.5, [false, true])]);
    assert_eq!(panels(&shapes[..1]).next().unwrap().ends, [true, true]);
}

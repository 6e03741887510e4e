use super::*;
use crate::aircraft::{ControlRole, ControlSurface, EXAMPLES, Panel, SurfaceRole, read_aircraft};

/// The strips' shares of a control surface add up to it, and its chord is the
/// mean of its ends', wherever it begins and ends between the strips.
#[test]
fn shares_of_a_control_surface_add_up() {
    let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
    let panel = Panel { span_m: 0.6, ..aircraft.surfaces[0].panels[0] };
    let wing = &mut aircraft.surfaces[0];
    // In two panels, the outer as long as a quarter of both.
    let parts = [0.45, 0.15].map(|span_m| Panel { span_m, ..panel });
    wing.panels = parts.to_vec();
    let control = ControlSurface {
        name: "flap".into(),
        role: ControlRole::Flap,
        from_span: 0.0,
        to_span: 1.0,
        inner_chord: 0.2,
        outer_chord: 0.35,
        throw_max_deg: 30.0,
        gap_sealed: true,
        setting: None,
        linkage: None,
    };
    for (from_span, to_span) in [(0.31, 0.77), (0.1, 0.12), (0.45, 0.9)] {
        aircraft.surfaces[0].controls =
            vec![ControlSurface { from_span, to_span, ..control.clone() }];
        let grid = Grid::new(&aircraft, Vector3::zeros(), GridOptions::default());
        let device = grid.devices.iter().position(|device| device.surface == 0).unwrap();
        let (mut length, mut chord) = (0.0, 0.0);
        for strip in &grid.strips {
            for part in strip.hinged.iter().filter(|part| part.device == device) {
                assert!(part.cover > 0.0 && part.cover <= 1.0);
                length += part.cover * strip.width_m;
                chord += part.cover * strip.width_m * part.chord_ratio;
            }
        }
        let wanted = (to_span - from_span) * 0.6;
        assert!((length - wanted).abs() < 1e-12, "{length} {wanted}");
        assert!((chord / length - 0.275).abs() < 1e-12, "{chord} {length}");
    }
}

/// Strips tile the surface: their areas are its area, and every strip's
/// vortex and control points lie at a quarter and three quarters of a box.
#[test]
fn strips_tile_every_surface() {
    for example in EXAMPLES {
        let aircraft = read_aircraft(example.text).unwrap();
        let grid = Grid::new(&aircraft, Vector3::zeros(), GridOptions::default());
        for (index, surface) in aircraft.surfaces.iter().enumerate() {
            let shapes = panel_shapes(surface);
            let area: f64 = shapes.iter().map(PanelShape::area_m2).sum();
            let strips = grid.strips.iter().filter(|strip| strip.surface == index);
            let tiled: f64 = strips.map(|strip| strip.area_m2).sum();
            assert!((tiled / area - 1.0).abs() < 1e-9, "{} {tiled} {area}", surface.name);
        }
        for strip in &grid.strips {
            let boxes = grid.boxes as f64;
            for (i, point) in strip.control_points.iter().enumerate() {
                let aft_m = ((i as f64 + 0.75) / boxes - 0.25) * strip.chord_m;
                let wanted = strip.quarter_chord + strip.aft * aft_m;
                // Beside a joint it lies half-way between edges that are drawn
                // along the span.
                let off = point - wanted;
                let across = off - strip.span_direction * off.dot(&strip.span_direction);
                assert!(across.norm() < 1e-9, "{}", example.key);
                assert!(off.norm() < 0.5 * strip.width_m, "{}", example.key);
            }
            assert!((strip.normal.dot(&strip.aft)).abs() < 1e-12);
            assert!((strip.normal.dot(&strip.span_direction)).abs() < 1e-12);
            assert!((strip.normal.norm() - 1.0).abs() < 1e-12);
        }
    }
}

/// The trainer's fin alone, or its wing with this dihedral, cut into six strips.
fn cut(role: SurfaceRole, change: impl Fn(&mut Surface)) -> Grid {
    let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
    aircraft.bodies.clear();
    aircraft.surfaces.retain(|surface| surface.role == role);
    change(&mut aircraft.surfaces[0]);
    let options = GridOptions { strips: 6, strips_min: 6, boxes: 2 };
    Grid::new(&aircraft, Vector3::zeros(), options)
}

/// A free end is drawn in by a quarter of a strip, the root at the plane of symmetry
/// not; of a fin by itself both are.
#[test]
fn free_ends_are_drawn_in() {
    let wing = cut(SurfaceRole::Wing, |wing| wing.panels[0].dihedral_deg = 0.0);
    assert_eq!((wing.strips.len(), wing.right), (6, 6));
    let width_m = 0.6 / 6.25;
    for (k, edge) in wing.edges.iter().enumerate() {
        assert!((edge.quarter_chord.y - k as f64 * width_m).abs() < 1e-12);
        assert!((edge.width_m - width_m).abs() < 1e-12);
    }
    for (k, strip) in wing.strips.iter().enumerate() {
        assert!((strip.from_m - k as f64 * width_m).abs() < 1e-12);
        assert!((strip.width_m - width_m).abs() < 1e-12);
        assert_eq!((strip.inner_edge, strip.outer_edge), (k, k + 1));
        let middle = (k as f64 + 0.5) * width_m;
        assert!((strip.quarter_chord.y - middle).abs() < 1e-12);
        assert!((strip.chord_m - (0.2 - 0.02 * middle / 0.6)).abs() < 1e-12);
        // The panel's true strips are a sixth of it wide.
        let chord_m = 0.2 - 0.02 * (k as f64 + 0.5) / 6.0;
        assert!((strip.area_m2 - 0.1 * chord_m).abs() < 1e-12);
        let quarters = [k, k + 1].map(|edge| wing.edges[edge].quarter_chord);
        assert!((strip.bound - (quarters[1] - quarters[0])).norm() < 1e-15);
        assert!((strip.cos_sweep - width_m / strip.bound.norm()).abs() < 1e-12);
    }
    let fin = cut(SurfaceRole::Fin, |_| ());
    assert_eq!((fin.strips.len(), fin.right), (6, 0));
    for (k, edge) in fin.edges.iter().enumerate() {
        let up_m = 0.022 + 0.17 * (k as f64 + 0.25) / 6.5;
        assert!((edge.quarter_chord.z + up_m).abs() < 1e-12);
    }
    // Cut about another point all lies the other way by as much.
    let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
    aircraft.bodies.clear();
    let point = Vector3::new(-0.3, 0.0, 0.05);
    let [here, there] =
        [Vector3::zeros(), point].map(|at| Grid::new(&aircraft, at, GridOptions::default()));
    for (one, other) in here.strips.iter().zip(&there.strips) {
        assert!((one.quarter_chord - other.quarter_chord - point).norm() < 1e-15);
        assert!((one.swing_points[2] - other.swing_points[2] - point).norm() < 1e-15);
    }
    for (one, other) in here.edges.iter().zip(&there.edges) {
        assert!((one.nodes[1] - other.nodes[1] - point).norm() < 1e-15);
    }
}

/// An edge's vortices begin at a quarter of each box and end at the trailing edge.
#[test]
fn vortices_lie_at_a_quarter_of_each_box() {
    let wing = cut(SurfaceRole::Wing, |wing| {
        let panel = &mut wing.panels[0];
        (panel.incidence_deg, panel.dihedral_deg, panel.sweep_deg) = (3.0, 0.0, 10.0);
    });
    for edge in &wing.edges {
        let aft = edge.aft();
        let chord_m = edge.length_aft_m / 0.75;
        assert!(
            (aft - Vector3::new(-3f64.to_radians().cos(), 0.0, 3f64.to_radians().sin())).norm()
                < 1e-12
        );
        for (node, place) in edge.nodes.iter().zip([0.125, 0.625, 1.0]) {
            let wanted = edge.quarter_chord + aft * ((place - 0.25) * chord_m);
            assert!((node - wanted).norm() < 1e-12);
        }
    }
    // Along the span with the sweep of the quarter chord: 10 deg at the front edge, and
    // of the two centimetres of taper a quarter.
    let set_back_m = 0.6 * 10f64.to_radians().tan() - 0.25 * 0.02;
    for strip in &wing.strips {
        let slope = strip.bound.x / strip.bound.y;
        assert!((slope + set_back_m / 0.6).abs() < 2e-3, "{slope}");
    }
}

/// As many strips as a surface's length asks for, of the widest wing's, but at
/// least and at most so many.
#[test]
fn strips_go_by_length() {
    let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
    aircraft.bodies.clear();
    let count = |aircraft: &Aircraft, strips: usize, strips_min: usize| {
        let options = GridOptions { strips, strips_min, boxes: 1 };
        let grid = Grid::new(aircraft, Vector3::zeros(), options);
        (0..3).map(|s| grid.strips.iter().filter(|strip| strip.surface == s).count()).collect()
    };
    // The tailplane is 0.21 m of the wing's 0.6 m long, the fin 0.17 m.
    let found: Vec<usize> = count(&aircraft, 20, 2);
    assert_eq!(found, [20, 7, 6]);
    let found: Vec<usize> = count(&aircraft, 20, 12);
    assert_eq!(found, [20, 12, 10]);
    let found: Vec<usize> = count(&aircraft, 4, 1);
    assert_eq!(found, [4, 1, 1]);
    // A panel gets its share of them.
    let wing = &mut aircraft.surfaces[0];
    let mut outer = wing.panels[0];
    (outer.span_m, outer.root_chord_m) = (0.2, outer.tip_chord_m);
    wing.panels.push(outer);
    let grid =
        Grid::new(&aircraft, Vector3::zeros(), GridOptions { strips: 8, strips_min: 2, boxes: 1 });
    let kink = grid.edges.iter().filter(|edge| edge.surface == 0).nth(6).unwrap();
    assert!((kink.quarter_chord.y - 0.6 * 6f64.to_radians().cos()).abs() < 0.01, "{kink:?}");
}

/// Apart, nine tenths of the wider strip; joined, a fiftieth of the edge's; half-way
/// between where the joint is half closed. Of its own surface a line.
#[test]
fn cores_are_as_wide_as_strips_and_close_with_a_joint() {
    let aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
    let mut grid = Grid::new(&aircraft, Vector3::zeros(), GridOptions::default());
    let of = |surface: usize| grid.strips.iter().find(|s| s.surface == surface).unwrap().clone();
    let strips = [of(0), of(1), of(2)];
    let edge = grid.edges[strips[1].inner_edge].clone();
    assert_eq!(grid.core(&edge, &strips[1]), Core::Line);
    let radius = |grid: &Grid, strip: &Strip| match grid.core(&edge, strip) {
        Core::Sheet(radius_m) => radius_m,
        other => panic!("{other:?}"),
    };
    assert!(strips[0].width_m > edge.width_m);
    assert!((radius(&grid, &strips[0]) - 0.9 * strips[0].width_m).abs() < 1e-15);
    assert!((radius(&grid, &strips[2]) - 0.02 * edge.width_m).abs() < 1e-15);
    for (closure, width_m) in [(0.0, 0.01), (0.5, 0.01), (0.25, 0.2)] {
        grid.closures[(1, 2)] = closure;
        let strip = Strip { width_m, ..strips[2].clone() };
        let apart = 0.9 * f64::max(edge.width_m, width_m);
        let wanted = (1.0 - closure) * apart + closure * 0.02 * edge.width_m;
        assert!((radius(&grid, &strip) - wanted).abs() < 1e-15, "{closure}");
    }
}

/// A wake leaves along the air, but the tighter the joint the more along its chord.
#[test]
fn a_wake_leaves_a_joint_along_its_chord() {
    let wing = cut(SurfaceRole::Wing, |wing| wing.panels[0].incidence_deg = 20.0);
    let edge = &wing.edges[0];
    let air = Vector3::new(-0.6, 0.0, -0.8);
    assert_eq!(edge.leaving(air, 0.0), air);
    assert!((edge.leaving(air, 1.0) - edge.aft()).norm() < 1e-12);
    let half = (air + edge.aft()).normalize();
    assert!((edge.leaving(air, 0.5) - half).norm() < 1e-12);
}

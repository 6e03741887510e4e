//! What is held back of an acceleration, strip by strip on both sides.

use nalgebra::Vector6;

use super::plain::Plain;
use super::*;

/// Force and moment about the foot of the moment point that are held back when the
/// foot accelerates and the body's rates grow, for air of density one.
fn held_back(
    aircraft: &Aircraft,
    model: &AeroModel,
    acceleration: Vector3<f64>,
    growth: Vector3<f64>,
) -> Vector6<f64> {
    let grid = &model.lattice.grid;
    let factors: Vec<f64> = model.strips.iter().map(|s| s.section.lift_slope_factor()).collect();
    let plain = Plain::new(grid, &factors, WAKE_ALPHA_RAD);
    let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
    // A cylinder of air about each chord, about its middle; less of it on a short
    // surface.
    for strip in &plain.strips {
        let source = strip.source;
        let both = if source.side == crate::aero::grid::Side::Right { 2.0 } else { 1.0 };
        let panel = &aircraft.surfaces[source.surface].panels[0];
        let ratio = both * panel.span_m / (0.5 * (panel.root_chord_m + panel.tip_chord_m));
        let mass = 0.25 * PI * source.chord_m * source.area_m2 * ratio / (ratio + 0.7);
        let middle = strip.place(source.quarter_chord) + strip.aft() * (0.25 * source.chord_m);
        let speeding = acceleration + growth.cross(&middle);
        let push = strip.normal() * (mass * speeding.dot(&strip.normal()));
        force += push;
        moment += middle.cross(&push);
    }
    // Sinking faster: surfaces behind others feel the downwash of a moment ago.
    let count = plain.strips.len();
    let rising: Vec<f64> = plain
        .strips
        .iter()
        .map(|strip| (-Vector3::z()).dot(&strip.normal()) * acceleration.z)
        .collect();
    let level = |k: usize| plain.strips[k].source.side == crate::aero::grid::Side::Right;
    let mut through = plain.through(&rising, Vector3::zeros());
    for row in 0..through.len() {
        if !level(row / grid.boxes) {
            through[row] = 0.0;
        }
    }
    let [circulation, _] = plain.answer(&through);
    let mut late = vec![0.0; count];
    for k in (0..count).filter(|k| level(*k)) {
        for j in (0..count).filter(|j| level(*j)) {
            let (felt, source) = (plain.strips[k].source, plain.strips[j].source);
            let rear = source.quarter_chord + source.aft * (0.75 * source.chord_m);
            let behind_m = rear.x - felt.quarter_chord.x;
            if source.surface != felt.surface && behind_m > 0.0 {
                let brought = plain.gathered(j, k).dot(&plain.strips[k].normal());
                late[k] -= behind_m * brought * circulation[j];
            }
        }
    }
    let [more, _] = plain.answer(&plain.through(&late, Vector3::zeros()));
    for (k, strip) in plain.strips.iter().enumerate().filter(|(k, _)| level(*k)) {
        let [from, to] = strip.quarter_chords();
        let lift = -Vector3::x().cross(&(to - from)) * more[k];
        force -= lift;
        moment -= strip.place(strip.source.quarter_chord).cross(&lift);
    }
    Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z)
}

/// Of each acceleration by itself: apparent mass about half the chord, and lift that
/// comes early where downwash comes late.
#[test]
fn acceleration_is_held_back_by_air_and_late_downwash() {
    let aircraft = aircraft();
    let model = model(&aircraft);
    // About the moment point, which stands beside the foot.
    let offset = Vector3::new(0.0, POINT.right_m, 0.0);
    let found = model.added_mass(1.3) / 1.3;
    for axis in 0..6 {
        let mut unit = Vector6::zeros();
        unit[axis] = 1.0;
        let (linear, growth) =
            (unit.fixed_rows::<3>(0).into_owned(), unit.fixed_rows::<3>(3).into_owned());
        let mut wanted = held_back(&aircraft, &model, linear - growth.cross(&offset), growth);
        let force = wanted.fixed_rows::<3>(0).into_owned();
        let moved = wanted.fixed_rows::<3>(3) - offset.cross(&force);
        wanted.fixed_rows_mut::<3>(3).copy_from(&moved);
        assert_alike((found * unit).as_slice(), wanted.as_slice(), &format!("axis {axis}"));
    }
}

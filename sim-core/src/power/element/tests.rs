//! Elements against momentum, Prandtl and themselves.

use super::*;
use crate::aircraft::BladeStyle;

const REYNOLDS_PER_SPEED: f64 = 7e4;

#[test]
fn few_elements_do_as_well_as_many() {
    let many = 200;
    let width = (1.0 - HUB) / f64::from(many);
    for style in [BladeStyle::ThinElectric, BladeStyle::SlowFlight] {
        let blade = Blade::of(style);
        let few = BladeElements::new(blade, 1.5, 2);
        for axial in [0.0_f64, 0.1, 0.2, 0.25] {
            let mut sum = ScaledLoads::default();
            for index in 0..many {
                let station = HUB + (f64::from(index) + 0.5) * width;
                let element = Element::new(blade, 1.5, 2.0, station, width);
                let reynolds = REYNOLDS_PER_SPEED * element.chord * axial.hypot(station);
                let section = blade.section.at(reynolds, element.chord / station);
                let state =
                    State { element: &element, section, blades: 2.0, axial, tangential: station };
                state.add_loads(-axial, &mut None, &mut sum);
            }
            let ours = few.loads(axial, 1.0, REYNOLDS_PER_SPEED, &mut Inflow::default());
            for (ours, theirs) in [(ours.thrust, sum.thrust), (ours.torque, sum.torque)] {
                assert!((ours / theirs - 1.0).abs() < 0.015, "{axial}: {ours} {theirs}");
            }
        }
    }
}

#[test]
fn momentum_and_blade_force_agree_in_the_annulus() {
    // Thrust of the annulus from the velocities themselves: 4 pi r F rho
    // (Va + u) u dr, with u from the found angle and speed.
    let blade = Blade::of(BladeStyle::SlowFlight);
    let (width, station) = (0.01, 0.7);
    let element = Element::new(blade, 1.3, 2.0, station, width);
    for axial in [0.0, 0.05, 0.15, 0.22] {
        let section = blade.section.at(60_000.0, element.chord / station);
        let state = State { element: &element, section, blades: 2.0, axial, tangential: station };
        let angle = state.inflow_angle(None).unwrap();
        let loads = state.induced_loads(angle);
        // W from the tangential side: r - v = W cos, v = dQ / (4 pi r2 F
        // (Va + u) r dr).
        let loss = state.loss(angle.sin());
        let through = |speed: f64| speed * angle.sin();
        let speed = (1..200).map(|i| f64::from(i) * 0.005).min_by(|a, b| {
            let off = |w: f64| {
                let swirl =
                    loads.torque / (4.0 * PI * station * station * loss * through(w) * width);
                (station - swirl - w * angle.cos()).abs()
            };
            off(*a).total_cmp(&off(*b))
        });
        let through = through(speed.unwrap());
        let taken = 4.0 * PI * station * loss * through * (through - axial) * width;
        // The search above resolves the speed to 0.005 of 0.7.
        assert!((loads.thrust - taken).abs() < 0.05 * taken.abs().max(2e-4), "{axial}");
    }
}

/// Prandtl's loss in closed form, 2/pi acos(exp(-x)).
#[test]
fn losses_at_an_end_are_prandtls() {
    for x in [0.0f64, 0.01, 0.1, 0.5, 1.0, 3.0, 7.9, 8.1, 50.0] {
        let exact = 2.0 / PI * (-x).exp().acos();
        assert!((edge_loss(x) - exact).abs() < 3e-4, "{x}: {} {exact}", edge_loss(x));
    }
}

/// Stations and widths integrate from hub to tip; the blade's angle is that
/// of a screw, atan(pitch / (2 pi r)), and the solidity B c / (2 pi r).
#[test]
fn elements_cut_the_blade_from_hub_to_tip() {
    let blade = Blade::of(BladeStyle::ThinElectric);
    let cut = BladeElements::new(blade, 1.3, 3);
    let integral =
        |power: i32| -> f64 { cut.elements.iter().map(|e| e.width * e.station.powi(power)).sum() };
    for power in [0, 1, 4, 9] {
        let exact = (1.0 - HUB.powi(power + 1)) / f64::from(power + 1);
        assert!((integral(power) - exact).abs() < 1e-12, "{power}");
    }
    for e in &cut.elements {
        let advance = 2.0 * PI * e.station * e.angle.tan();
        assert!((advance - 1.3 * blade.pitch(e.station)).abs() < 1e-12);
        assert!((e.solidity * 2.0 * PI * e.station - 3.0 * e.chord).abs() < 1e-12);
    }
}

/// Without induction an element is a wing in the wind of its own motion: lift
/// across and drag along atan(Va / Vt).
#[test]
fn bare_loads_are_lift_and_drag_in_the_elements_wind() {
    let blade = Blade::of(BladeStyle::SlowFlight);
    let cut = BladeElements::new(blade, 1.1, 2);
    for element in &cut.elements {
        let (axial, tangential): (f64, f64) = (-20.0, 40.0 * element.station);
        let section = blade.section.at(8e4, element.chord / element.station);
        let state = State { element, section, blades: 2.0, axial, tangential };
        let bare = state.bare_loads();
        let (angle, speed) = (axial.atan2(tangential), axial.hypot(tangential));
        let alpha = element.angle - angle;
        let (lift, drag) = section.lift_and_drag(alpha, alpha.sin(), alpha.cos());
        let area = 0.5 * 2.0 * element.chord * element.width * speed * speed;
        let thrust = area * (lift * angle.cos() - drag * angle.sin());
        let torque = area * element.station * (lift * angle.sin() + drag * angle.cos());
        assert!((bare.thrust - thrust).abs() < 1e-9 && (bare.torque - torque).abs() < 1e-9);
    }
}

/// What a sideways motion does is half of what the same change of the
/// tangential speed does on one side, with the inflow kept as it is.
#[test]
fn sideways_terms_are_the_slope_by_tangential_speed() {
    let blade = Blade::of(BladeStyle::ThinElectric);
    let cut = BladeElements::new(blade, 1.3, 2);
    let element = &cut.elements[2];
    let section = blade.section.at(8e4, element.chord / element.station);
    let bare = |tangential: f64| {
        State { element, section, blades: 2.0, axial: 15.0, tangential }.bare_loads()
    };
    let step = 0.01;
    let slope = |of: &dyn Fn(&ScaledLoads) -> f64| {
        0.5 * (of(&bare(60.0 + step)) - of(&bare(60.0 - step))) / (2.0 * step)
    };
    let found = bare(60.0);
    let side = slope(&|loads| loads.torque / element.station);
    let yaw = slope(&|loads| loads.thrust * element.station);
    // The slope inside is by a forward step of 0.01 rad.
    assert!((found.side_per_speed / side - 1.0).abs() < 0.05, "{found:?} {side}");
    assert!((found.yaw_per_speed / yaw - 1.0).abs() < 0.05, "{found:?} {yaw}");
}

fn state_of<'a>(cut: &'a BladeElements, index: usize, axial: f64, tip: f64) -> State<'a> {
    let element = &cut.elements[index];
    let tangential = tip * element.station;
    // Reynolds number of the chord in the element's own wind.
    let reynolds = REYNOLDS_PER_SPEED * element.chord * axial.hypot(tangential);
    let section = cut.blade.section.at(reynolds, element.chord / element.station);
    State { element, section, blades: cut.blades, axial, tangential }
}

const FIELDS: [fn(&ScaledLoads) -> f64; 4] =
    [|l| l.thrust, |l| l.torque, |l| l.side_per_speed, |l| l.yaw_per_speed];

fn close(ours: f64, theirs: f64, relative: f64) {
    assert!((ours - theirs).abs() <= relative * theirs.abs(), "{ours} {theirs}");
}

/// Prandtl's losses at tip and hub, by his own f = B (R - r) / (2 r sin) and its
/// like at the hub.
#[test]
fn the_loss_is_that_of_tip_and_hub() {
    for (blades, sine) in [(2, 0.3), (3, 0.5)] {
        let cut = BladeElements::new(Blade::of(BladeStyle::ThinElectric), 1.3, blades);
        for index in 0..ELEMENTS {
            let station = cut.elements[index].station;
            let end = |distance: f64, from: f64| {
                let f = 0.5 * f64::from(blades) * distance / (from * sine);
                2.0 / PI * (-f).exp().acos()
            };
            let wanted = end(1.0 - station, station) * end(station - 0.12, 0.12);
            let found = state_of(&cut, index, 0.2, 1.0).loss(sine);
            assert!((found - wanted).abs() < 6e-4, "{station}: {found} {wanted}");
        }
    }
}

/// Blade force and momentum meet, along the shaft and about it: with the speed W
/// on the blade, 4 pi r F W sin (W sin - V) is the thrust and 4 pi r2 F W sin
/// (w r - W cos) the torque of an annulus of unit width.
#[test]
fn both_momenta_meet_the_blade_force() {
    for style in [BladeStyle::ThinElectric, BladeStyle::SlowFlight] {
        let cut = BladeElements::new(Blade::of(style), 1.2, 2);
        for (axial, index) in [(0.05, 0), (0.2, 2), (0.15, 4), (0.3, 6), (0.02, 1), (0.35, 3)] {
            let state = state_of(&cut, index, axial, 1.0);
            let angle = state.inflow_angle(None).unwrap();
            let (sine, cosine) = angle.sin_cos();
            let (along, across) = state.coefficients(angle, sine, cosine);
            let loads = state.induced_loads(angle);
            let element = state.element;
            let area = 0.5 * 2.0 * element.chord * element.width;
            let speed = (loads.thrust / (area * along)).sqrt();
            let ring = 4.0 * PI * element.station * state.loss(sine) * speed * sine;
            let thrust = ring * (speed * sine - axial) * element.width;
            let torque =
                ring * (state.tangential - speed * cosine) * element.station * element.width;
            // The angle is found to 1e-5.
            assert!((loads.thrust - thrust).abs() < 1e-3 * area, "{index} {axial}");
            assert!((loads.torque - torque).abs() < 1e-3 * area, "{index} {axial}");
            close(loads.torque, area * speed * speed * across * element.station, 1e-9);
            let side = term(&state, (angle, speed), (along, across)).side_per_speed;
            assert!((loads.side_per_speed - side).abs() < 1e-3 * area * speed, "{index}");
        }
    }
}

/// What sideways motion does to an element in a wind of this angle and speed: the
/// speed times 2 cos c - sin c' by a forward step of a hundredth, its sine and
/// cosine exact.
fn term(state: &State, (angle, speed): (f64, f64), here: (f64, f64)) -> ScaledLoads {
    let next = angle + 0.01;
    let there = state.coefficients(next, next.sin(), next.cos());
    let element = state.element;
    let area = 0.5 * state.blades * element.chord * element.width;
    let per_speed = |now: f64, next: f64| {
        0.5 * area * speed * (2.0 * angle.cos() * now - angle.sin() * (next - now) / 0.01)
    };
    ScaledLoads {
        side_per_speed: per_speed(here.1, there.1),
        yaw_per_speed: per_speed(here.0, there.0) * element.station,
        ..ScaledLoads::default()
    }
}

/// In the stall too.
#[test]
fn sideways_terms_look_at_the_next_angle() {
    let cut = BladeElements::new(Blade::of(BladeStyle::SlowFlight), 1.6, 2);
    for (index, axial) in [(2, -0.3), (4, -0.1), (0, 0.0), (3, 0.4)] {
        let state = state_of(&cut, index, axial, 1.0);
        let angle = axial.atan2(state.tangential);
        let here = state.coefficients(angle, angle.sin(), angle.cos());
        let wanted = term(&state, (angle, axial.hypot(state.tangential)), here);
        let found = state.bare_loads();
        close(found.side_per_speed, wanted.side_per_speed, 5e-4);
        close(found.yaw_per_speed, wanted.yaw_per_speed, 5e-4);
    }
}

/// Pushed backward by less than 0.15 of the tip speed a blade works with
/// induction, beyond 0.35 without, half way with half of it.
#[test]
fn induction_fades_in_backward_flow() {
    let cut = BladeElements::new(Blade::of(BladeStyle::SlowFlight), 1.3, 2);
    let mut faded = 0;
    for (axial, share) in [(0.1, 1.0), (-0.1, 1.0), (-0.2, 0.75), (-0.25, 0.5), (-0.4, 0.0)] {
        for index in 0..ELEMENTS {
            let state = state_of(&cut, index, axial, 1.0);
            let mut sum = ScaledLoads::default();
            let mut guess = None;
            state.add_loads(-axial, &mut guess, &mut sum);
            let induced = state.inflow_angle(None).map(|angle| state.induced_loads(angle));
            let share = if induced.is_some() { share } else { 0.0 };
            faded += usize::from(share > 0.0 && share < 1.0);
            let (induced, bare) = (induced.unwrap_or_default(), state.bare_loads());
            for of in FIELDS {
                let wanted = share * of(&induced) + (1.0 - share) * of(&bare);
                close(of(&sum), wanted, 1e-12);
            }
        }
    }
    assert!(faded > 2, "{faded}");
}

/// The whole is the sum over the elements, each at its own Reynolds number.
#[test]
fn loads_are_the_sum_of_the_elements() {
    for style in [BladeStyle::ThinElectric, BladeStyle::SlowFlight] {
        let cut = BladeElements::new(Blade::of(style), 1.3, 3);
        for (axial, tip) in [(0.3, 1.0), (4.0, 1.0), (-0.5, 2.0), (-1.0, 0.5)] {
            let mut sum = ScaledLoads::default();
            for index in 0..ELEMENTS {
                let state = state_of(&cut, index, axial, tip);
                state.add_loads(-axial / tip, &mut None, &mut sum);
            }
            let found = cut.loads(axial, tip, REYNOLDS_PER_SPEED, &mut Inflow::default());
            for of in FIELDS {
                close(of(&found), of(&sum), 1e-12);
            }
        }
    }
}
